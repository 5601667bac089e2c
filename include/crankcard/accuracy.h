/*
 * accuracy.h: what a series of indexed positions says of a rotary axis, in the manner of ISO 230-2.
 *
 * Every target is approached several times in the + direction, in the - direction, or both. Deviation =
 * actual less target position. For target i and direction d with n runs (mean x, standard deviation
 * s with n - 1 in the denominator), and coverage factor 2:
 *
 *   reversal        B_i = x(+) - x(-)                     B = largest |B_i|
 *   repeatability   R_i(d) = 4 s_i(d),  R_i = largest of 2 s(+) + 2 s(-) + |B_i|, R_i(+), R_i(-)
 *   systematic      E(d) = largest x(d) less smallest x(d);  E the same over both directions
 *   mean bidirectional deviation   M = largest less smallest of (x(+) + x(-)) / 2
 *   accuracy        A(d) = largest x + 2 s less smallest x - 2 s;  A the same over both directions
 *
 * The definitions are ISO 230-2's, written down from memory; docs/assess.md says so and how the tests check them.
 */
#ifndef CRANKCARD_ACCURACY_H
#define CRANKCARD_ACCURACY_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/measure.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum cc_approach { CC_FORWARD = 0, CC_BACKWARD = 1 };

struct cc_target {
    double turn;                /* revolutions */
    unsigned long runs[2];      /* by enum cc_approach; 0 where not measured from that side */
    double mean_arcsec[2];
    double deviation_arcsec[2]; /* standard deviation s */
    double reversal_arcsec;     /* B_i; 0 unless measured from both sides */
    double repeatability_arcsec;/* R_i, of one direction where there is only one */
};

/* All in seconds of arc. Entries by direction are 0 where the direction was not measured. */
struct cc_accuracy {
    struct cc_target *target;   /* ascending turn; owned */
    size_t targets;
    bool measured[2];           /* directions */
    unsigned long least_runs;   /* fewest runs at any target and direction; ISO 230-2 asks for 5 */
    double reversal;            /* B */
    double mean_reversal;       /* mean of B_i, with sign */
    double repeatability_of[2]; /* R(+), R(-) */
    double repeatability;       /* R */
    double systematic_of[2];    /* E(+), E(-) */
    double systematic;          /* E */
    double mean_range;          /* M; 0 unless both directions were measured */
    double accuracy_of[2];      /* A(+), A(-) */
    double accuracy;            /* A */
};

void cc_accuracy_init(struct cc_accuracy *accuracy);
void cc_accuracy_clear(struct cc_accuracy *accuracy);

/*
 * Work out all of the above from the positions table of a file (m->row[CC_POSITIONS]).
 *
 * Errors: CC_EDOM where a target lacks a second run in a direction that other targets have, a run
 * is there twice, or there is only one target; the message names file (where) and line. CC_ENOMEM. accuracy is
 * initialised and replaced only on success.
 */
enum cc_status cc_accuracy_of(struct cc_accuracy *accuracy, const struct cc_measurements *m,
                              const char *where, struct cc_error *err);

/*
 * The largest difference of mean deviation between two targets no further apart than apart (revolutions,
 * round the circle) or than next neighbours are, approached in one direction, seconds of arc. With apart = 1/N it
 * bounds the pitch error of N divisions as far as the targets show it.
 */
double cc_accuracy_step(const struct cc_accuracy *accuracy, enum cc_approach direction,
                        double apart);

/*
 * How much of an error that comes back with every crank turn the targets are sure to show, whatever its phase: the
 * range of a sine over the places of the crank turn they fall at, over its whole range, at the phase that shows least.
 *
 *   share       out  0 (all at one place, or at two half a turn apart) to 1
 *   worm_ratio  in   crank turns in one turn of the spindle, > 0
 *
 * Formula:  the places are points of a circle, and the share is the least width of the polygon they make, over the
 *           circle's diameter: docs/assess.md, "Positions: ISO 230-2".
 * Errors:   CC_EDOM for a ratio of 0 or less, CC_ENOMEM; share is then unchanged.
 */
enum cc_status cc_accuracy_worm_share(double *share, const struct cc_accuracy *accuracy, double worm_ratio,
                                      struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
