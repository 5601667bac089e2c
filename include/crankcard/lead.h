/*
 * lead.h: cutting a helix: change gears between the table screw and the head.
 *
 * Lengths are exact millimetres, angles exact revolutions, as everywhere; a helix angle is a double in
 * degrees. Derivations: docs/lead.md.
 */
#ifndef CRANKCARD_LEAD_H
#define CRANKCARD_LEAD_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "crankcard/head.h"
#include "crankcard/length.h"
#include "crankcard/status.h"
#include "crankcard/train.h"

#ifdef __cplusplus
extern "C" {
#endif

enum cc_hand { CC_RIGHT_HAND = 0, CC_LEFT_HAND = 1 };

enum cc_geared_to {
    CC_TO_WORM = 0,     /* the last driven gear is on the worm shaft: the usual way */
    CC_TO_SPINDLE = 1   /* on the spindle itself, the worm out of mesh: short leads */
};

struct cc_lead_request {
    mpq_t lead;         /* mm of table travel for one turn of the work, > 0 */
    mpq_t screw;        /* mm, lead of the table screw, > 0 */
    mpq_t diameter;     /* mm, where the helix angle is taken; 0 = not given */
    mpq_t length;       /* mm of table travel over which errors add up; 0 = not given */
    enum cc_hand hand;
    enum cc_geared_to geared_to;
    unsigned starts;    /* flutes or starts, >= 1; matters to the gears only on the spindle */
    unsigned most_pairs;    /* 1 to CC_MAX_PAIRS */
    size_t most;        /* gearings to list, 1 to CC_MAX_TRAINS */
};

void cc_lead_request_init(struct cc_lead_request *request);     /* 1 start, 2 pairs, 5 gearings, rest 0 */
void cc_lead_request_clear(struct cc_lead_request *request);

struct cc_gearing {
    struct cc_train train;  /* driver[0] on the table screw; idlers for the hand */
    mpq_t lead;             /* mm, exactly what these gears give */
    mpq_t error;            /* mm, lead less lead wanted */
    mpq_t twist;            /* revolutions, turn of the work over the length, less what it should be; 0
                               without a length */
    double angle_deg;       /* helix angle these gears give at the diameter; 0 without a diameter */
};

struct cc_gearing_list {
    struct cc_gearing *at;  /* best first; owned by the list */
    size_t n;
};

void cc_gearing_list_init(struct cc_gearing_list *list);
void cc_gearing_list_clear(struct cc_gearing_list *list);

/*
 * Read the pitch of a table screw: a length as cc_length_parse reads it, or threads to the inch, "4tpi", "4 tpi".
 * mm is the pitch in millimetres, > 0.
 *
 * Errors: as cc_length_parse; CC_EDOM for 0 or less, and for a bare number of 1 inch or more: threads to the inch
 * are meant, and the message asks.
 */
enum cc_status cc_pitch_parse(mpq_t mm, const char *text, enum cc_unit bare_unit,
                              struct cc_error *err);

/* The shafts that the gears of a lead join. */
enum cc_gear_use cc_lead_use(enum cc_geared_to geared_to);

/*
 * Lead of the machine: what equal gears give.
 *
 *   lead of the machine = R * lead of the table screw       geared to the worm
 *                       = lead of the table screw           geared to the spindle
 *
 * Source: Practical Treatise on Milling and Milling Machines (Brown & Sharpe Mfg. Co.), p. 63: 10 in for
 * a screw of 1/4 in and R = 40, and the lead divided by 40 with the train on the spindle.
 */
void cc_lead_of_machine(mpq_t mm, const mpq_t worm, const mpq_t screw, enum cc_geared_to geared_to);

/*
 * Lead of a train, mm: lead of the machine * product of driven / product of drivers (same source). 0 for
 * no train.
 */
void cc_lead_of_train(mpq_t mm, const mpq_t lead_of_machine, const struct cc_train *train);

/*
 * Gearings for a lead, best first by the error of the lead: cc_train_search over gears (n of them; the
 * head's own with gears = NULL), with the head's mesh limits.
 *
 * Hand: with the table screw and the worm both right-handed, a train whose last gear turns as its
 * first cuts a right-hand helix (common practice); head->reversed says the other way round.
 * Geared to the spindle, the last driven gear has a multiple of starts teeth, so that the work is
 * indexed by slipping that gear round tooth by tooth.
 *
 * Errors: CC_EDOM for a length or count out of range; CC_ENOFIT for a head without a worm (geared to
 * the worm), without change gears, or where no train can be made; CC_ENOMEM.
 */
enum cc_status cc_lead_find(struct cc_gearing_list *list, const struct cc_lead_request *request,
                            const struct cc_head *head, const unsigned *gears, size_t n,
                            struct cc_error *err);

/*
 * One train as it is given, in place of those that are found: its lead, and how far off that is. Whether it goes on is for
 * cc_train_fits. Its idlers are named where it does.
 *
 * Errors: as cc_lead_find; CC_ENOFIT where the gears (n of them; the head's own with gears = NULL) lack some of the train's;
 * CC_EDOM where it cuts the other hand.
 */
enum cc_status cc_lead_of_gears(struct cc_gearing_list *list, const struct cc_lead_request *request, const struct cc_head *head,
                                const unsigned *gears, size_t n, const struct cc_train *train, struct cc_error *err);

/* ---- helix angle ---- */

/*
 * Degrees between the helix and the axis, at a diameter: atan(pi * diameter / lead). The table swings by it.
 *
 * Source: Joshua Rose, Modern Machine-Shop Practice (1887-88), vol. II, milling spirals: the tangent of the
 * angle is circumference over lead.
 */
double cc_helix_angle_deg(const mpq_t diameter, const mpq_t lead);

/*
 * The lead, mm, of a helix at an angle to the axis: pi * diameter / tan(angle), rounded to a millionth
 * of a millimetre, because it is not rational.
 *
 * Errors: CC_EDOM unless 0 < angle < 90 degrees and diameter > 0.
 */
enum cc_status cc_lead_of_helix(mpq_t lead, const mpq_t diameter, const mpq_t angle,
                                struct cc_error *err);

/* ---- starts ---- */

struct cc_start_index {
    size_t plate;           /* in head->plates */
    unsigned side;          /* 1 or 2 */
    unsigned circle;        /* holes */
    unsigned turns;
    unsigned holes;
};

/*
 * Plain indexing from one start to the next, the only indexing left while the head is geared to the
 * worm: R / starts turns. The mounted side is preferred, then the larger circle.
 *
 * Errors: CC_EDOM for starts < 1; CC_ENOFIT where the head has no worm or no circle that serves.
 */
enum cc_status cc_start_index_find(struct cc_start_index *index, const struct cc_head *head,
                                   unsigned starts, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
