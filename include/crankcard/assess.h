/*
 * assess.h: from measurements to a budget of pitch errors at a radius, and a verdict.
 *
 * Every source of error gives two figures for N divisions at radius r, both lengths along the
 * pitch circle: what it can do between neighbours (pitch) and between any two divisions (cumulative).
 * Each budget adds them up twice: all at their worst at once, and as the root of the sum of squares.
 * docs/assess.md derives every line.
 */
#ifndef CRANKCARD_ASSESS_H
#define CRANKCARD_ASSESS_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/accuracy.h"
#include "crankcard/harmonic.h"
#include "crankcard/measure.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Two readings of the same thing at a radius, differenced: spindle clamp, push-pull. */
struct cc_shift {
    size_t readings;
    double mean_mm, worst_mm;       /* signed mean; largest |difference| */
    double mean_arcsec, worst_arcsec;   /* the same at the radius read */
    double range_arcsec;            /* largest less smallest difference */
};

/* A bar between spindle and footstock: straight lines through height and side. */
struct cc_alignment {
    size_t readings;
    double height_slope, side_slope;    /* mm per mm, signed, rising along the bar */
    double angle_arcsec;                /* between the axis of the work and that of the spindle */
    double residual_mm;                 /* largest distance of a reading from its line */
};

/*
 * Readings of one table far from their fellows. The fellows of a run are the others at its target from its side; those of
 * a clamp or push-pull pair, taken as an angle, all other pairs. The usual distance is the median, over the table, of each
 * reading's from the median of its fellows, at least 1 second. Far is more than six times that beyond the middle one,
 * or the middle two, of the fellows. A runout reading, of 8 or more, is held against a curve of two harmonics fitted to
 * all; there at least 0.001 mm is usual.
 */
struct cc_stray {
    size_t count;               /* of such readings; with two runs alone it is both */
    unsigned long line;         /* of the file: the farthest; 0 where there is none */
    double distance, usual;     /* of the farthest, and the usual one: runout mm, else seconds of arc */
};

/* All that a file of measurements says. */
struct cc_findings {
    bool has_runout;
    struct cc_harmonics runout;         /* mm */
    double indicator_range_mm;          /* largest less smallest reading */
    bool has_positions;
    struct cc_accuracy positions;
    bool has_clamp, has_push_pull, has_footstock;
    struct cc_shift clamp;              /* clamped less unclamped */
    struct cc_shift push_pull;          /* push less pull */
    struct cc_alignment footstock;
    struct cc_stray stray[CC_MEASURED_KINDS];   /* none of the footstock's */
};

void cc_findings_init(struct cc_findings *findings);
void cc_findings_clear(struct cc_findings *findings);

/*
 * Evaluate every table of m. harmonics as in cc_harmonic_fit (0: choose). where names the file in messages.
 *
 * Errors: those of cc_harmonic_fit and cc_accuracy_of. findings is initialised and replaced only on success.
 */
enum cc_status cc_findings_of(struct cc_findings *findings, const struct cc_measurements *m,
                              unsigned harmonics, const char *where, struct cc_error *err);

/* ---- budget ---- */

enum cc_budget_kind {
    CC_LINE_PLAN = 0,       /* arithmetic of an approximate plan */
    CC_LINE_INDEXING = 1,   /* worm or plate: systematic deviation, measured or as the profile states */
    CC_LINE_REPEAT = 2,     /* repeatability, coverage factor 2 */
    CC_LINE_REVERSAL = 3,   /* backlash, only where positions are approached from both sides */
    CC_LINE_ECCENTRIC = 4,  /* first harmonic of the runout */
    CC_LINE_FORM = 5,       /* higher harmonics of the runout */
    CC_LINE_CLAMP = 6,      /* scatter of the spindle clamp's shift */
    CC_LINE_PLAY = 7,       /* play found by push and pull */
    CC_LINE_FOOTSTOCK = 8   /* work axis at an angle to the spindle's, driven as by a joint */
};
#define CC_BUDGET_KINDS 9

struct cc_budget_line {
    enum cc_budget_kind kind;
    double pitch_mm, cumulative_mm;
};

struct cc_budget_question {
    double radius_mm;           /* of the work's pitch circle, > 0 */
    double divisions;           /* N, >= 2 */
    bool both_ways;             /* positions are approached from both sides: the worse side counts, and the reversal */
    double plan_pitch_arcsec;   /* of the plan's arithmetic; 0 for an exact plan */
    double plan_cumulative_arcsec;
    double holds_arcsec;        /* what the head is said to hold, used where no positions were measured; 0 = unknown */
    bool worm_hidden;           /* the targets do not show the worm's once-per-turn error: cc_accuracy_worm_share */
};

/* What was not measured and can still spoil the work; the budget has no line for it, or a stated one. Values are stable. */
enum cc_unmeasured {
    CC_NO_POSITIONS = 1,    /* what worm and plate do, and how they repeat */
    CC_NO_WORM_TURN = 2,    /* the worm's error within a crank turn */
    CC_NO_RUNOUT = 4,
    CC_NO_CLAMP = 8,
    CC_NO_PLAY = 16
};
#define CC_UNMEASURED_KINDS 5

/* The least cc_accuracy_worm_share with which the targets are taken to show the worm's error. */
#define CC_LEAST_WORM_SHARE 0.5

/* The fewest runs from which an accuracy is worth stating: two give a scatter that means nothing. */
#define CC_LEAST_STATED_RUNS 3

struct cc_budget {
    struct cc_budget_line line[CC_BUDGET_KINDS];
    size_t lines;               /* those that apply, in the order of the enum */
    double worst_pitch_mm, worst_cumulative_mm;     /* sums */
    double rss_pitch_mm, rss_cumulative_mm;         /* roots of sums of squares */
    double arcsec_per_mm;       /* at the radius: 648000 / (pi r) */
    unsigned unmeasured;        /* enum cc_unmeasured, added up */
};

/*
 * Formulas, eps the amplitude of the first harmonic, angles turned into lengths by the radius:
 *
 *   plan, indexing    as given or measured: E of the direction, neighbours by cc_accuracy_step
 *                     (both ways: the larger of the two directions, in each column)
 *   repeatability     R(+) (or R(-); both ways the larger) in both columns: two positions, each within 2 s
 *   reversal          B in both columns
 *   eccentricity      2 eps sin(pi/N)  and  2 eps; for N = 2 both are 2 eps
 *   form              sum over h >= 2 of 2 a_h |sin(pi h/N)|  and of 2 a_h
 *   clamp             range of the shift (a shift that is always the same moves all divisions alike)
 *   play              the largest push-pull
 *   footstock         b^2/2 sin(2 pi/N) (b^2/2 for N <= 4)  and  b^2/2, b the angle between the axes:
 *                     a universal joint's error b^2/4 sin 2t, peak to peak
 *
 * Errors: CC_EDOM for a radius of 0 or less, fewer than 2 divisions, or nothing to add up.
 */
enum cc_status cc_budget_of(struct cc_budget *budget, const struct cc_findings *findings,
                            const struct cc_budget_question *question, struct cc_error *err);

/* ---- verdict ---- */

enum cc_verdict {
    CC_WITHIN = 0,  /* even with everything at its worst */
    CC_LIKELY = 1,  /* the root of the sum of squares is within, the worst case is not */
    CC_OUTSIDE = 2,
    CC_WITHIN_MEASURED = 3  /* as CC_WITHIN, of what was measured; the budget's unmeasured is not 0 */
};

struct cc_judgement {
    enum cc_verdict verdict;        /* the worse of the two figures' verdicts */
    bool pitch_rules;               /* whether pitch, not cumulative, takes up more of its tolerance */
    size_t best;                    /* index of the line whose removal helps most */
    double without_pitch_mm;        /* worst case without that line */
    double without_cumulative_mm;
    enum cc_verdict then;           /* the verdict without it */
};

/*
 * Compare a budget with the tolerances for pitch and cumulative pitch, mm (an angle or a length asked for as one tolerance
 * is given twice). The best improvement is the line that takes most of the worst case of the
 * figure that rules.
 */
void cc_budget_judge(struct cc_judgement *judgement, const struct cc_budget *budget,
                     double pitch_tolerance_mm, double cumulative_tolerance_mm);

/* "runout" and so on: what was not measured. kind is one of the enum. */
const char *cc_unmeasured_name(enum cc_unmeasured kind);

/* "eccentricity" and so on: the line's name. */
const char *cc_budget_name(enum cc_budget_kind kind);

/* What to do about it at the bench: one clause. */
const char *cc_budget_advice(enum cc_budget_kind kind);

/*
 * What the head holds as a profile's accuracy states it: the largest angle by which any position
 * may be off from any other, approached one way (A(+), or A(-) where only that was measured) or, with both_ways, A.
 * Seconds of arc; 0 without positions.
 */
double cc_findings_holds(const struct cc_findings *findings, bool both_ways);

#ifdef __cplusplus
}
#endif

#endif
