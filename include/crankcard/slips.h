/*
 * slips.h: the slips that hands make, and which of them fit what can be seen on the head.
 *
 * One slip is looked for at a time: the hands went by the plan, slipped once (or from one movement on), went on by the
 * plan, and take themselves to be at a row. What they did is added up exactly, in holes of both pins; it fits where the
 * pins stand where they are seen, the spindle within the uncertainty of the reading, and, where the cuts were counted,
 * the work shows as many places. Every slip below that fits is found, and no other.
 *
 * How often a slip is made is assumed, in 10 000 movements or jobs (docs/follow.md has the figures and why); they order
 * the answers and prove nothing: each answer says what to measure.
 */
#ifndef CRANKCARD_SLIPS_H
#define CRANKCARD_SLIPS_H

#include "crankcard/head.h"
#include "crankcard/recover.h"

#ifdef __cplusplus
extern "C" {
#endif

enum cc_slip_kind {         /* stable; new ones are added at the end */
    CC_SLIP_HOLE = 0,       /* the pin (the plunger) one hole too far, by = 1, or short, -1, once */
    CC_SLIP_HOLE2 = 1,      /* the second pin likewise; of a vernier: the pin beside the right one, at the last movement */
    CC_SLIP_TURN = 2,       /* a whole crank turn too many, 1, or too few, -1, once */
    CC_SLIP_TWICE = 3,      /* a movement made twice; by the dial its whole turns are: the reading is there already */
    CC_SLIP_LEFT_OUT = 4,   /* a movement left out; by the dial the next one leads to its own reading all the same */
    CC_SLIP_PART = 5,       /* compound: of one movement the crank's part, by = 1, or the plate's, 2, left out */
    CC_SLIP_COUNT = 6,      /* each movement from first on `by` holes too many or too few: the arms at another count; up to
                               two holes, or from the first movement on any count that arms can stand at (a list: one hole) */
    CC_SLIP_ARMS = 7,       /* list: the arms left as they were for the movement before, `by` holes too many or too few */
    CC_SLIP_CIRCLE = 8,     /* the pin in a neighbouring circle from first on, put there at the start or where it stood in
                               the start hole: circles are taken to begin on one line */
    CC_SLIP_PLATE = 9,      /* the plate moved while pin and crank stood: the spindle is right within half a hole, the holes are not */
    CC_SLIP_PLATE_ON = 10,  /* the plate moved in the middle of a movement: the holes are right, the spindle is off by no
                               more than a crank turn */
    CC_SLIP_NOT_CUT = 11,   /* a row moved to and not cut, an earlier one; where cuts were counted */
    CC_SLIP_VERNIER = 12,   /* by the dial, the last movement: the vernier misread by a line, forward (1) or back (-1) */
    CC_SLIP_LINE = 13,      /* the same: the dial misread by a line */
    CC_SLIP_DIAL = 14,      /* as CC_SLIP_PLATE: a dial that can be set slipped on its shaft while the crank stood */
    CC_SLIP_DIAL_ON = 15,   /* as CC_SLIP_PLATE_ON: it slipped in the middle of a movement */
    CC_SLIP_BACKLASH = 16,  /* by the dial, the last movement: come up to the reading from behind; up to a tenth of a turn */
    CC_SLIPS = 17           /* how many there are */
};

/* "hole", "second-pin", "turn", ... as in the output contract. */
const char *cc_hand_slip_name(enum cc_slip_kind kind);

struct cc_hand_slip {
    enum cc_slip_kind kind;
    int64_t by;
    unsigned circle;        /* the circle that the pin stands in */
    bool has_row, has_shift;
    uint64_t row;           /* the row that the hands take themselves to be at; CC_SLIP_PLATE may leave it unknown */
    uint64_t first, last;   /* it happened at one of the movements to these rows */
    uint64_t ways;          /* at how many of them it can have */
    mpq_t shift;            /* revolutions that the spindle stands further on than row's place; has_shift */
    mpq_t off;              /* reading - where the slip leaves the spindle, above -1/2, at most 1/2; 0 without a reading */
    int64_t pin, plate;     /* the way back to row's place, in holes of the plan's circles, signed: has_shift, not CC_SLIP_CIRCLE */
    mpq_t back;             /* the same in crank turns (direct: turns of the spindle); has_shift */
    uint64_t hole, hole2;   /* where the pins belong at row */
    uint64_t odds;          /* in 10 000, assumed: of one such movement, times ways */
};

struct cc_hand_slips {
    struct cc_hand_slip *at;     /* the likeliest first: odds, then |off|, row, kind, by, first */
    size_t n;               /* how many are here */
    size_t room;
    uint64_t total;         /* how many were found */
    bool cut_short;         /* it was given up before all were looked for */
};

void cc_hand_slips_init(struct cc_hand_slips *slips);
void cc_hand_slips_clear(struct cc_hand_slips *slips);

#define CC_MOST_HAND_SLIPS 200000        /* slips that are looked for */
#define CC_MOST_CUTS_COUNTED 5000   /* a job with more rows before the one that stands: the count of cuts is not held against a slip */

/*
 * The `most` likeliest slips that fit what is seen, none made at a row up to seen->right. head is the plan's.
 *
 * Errors: as cc_recover; CC_EDOM also where the pin was seen in a circle that its plate has not.
 */
enum cc_status cc_hand_slips_find(struct cc_hand_slips *slips, const struct cc_head *head, const struct cc_plan *plan,
                             const struct cc_request *request, const struct cc_seen *seen, size_t most,
                             struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
