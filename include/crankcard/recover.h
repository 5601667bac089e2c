/*
 * recover.h: the place is lost: which rows of a plan fit what can be seen on the head.
 *
 * What can be seen: the hole the crank pin stands in, counted from the start hole the way the crank
 * turns (cc_step.hole); for compound the holes of the second circle that the plate has been carried
 * (cc_step.hole2), for a vernier fixture the pin; a rough reading of the spindle's scale; a cut that
 * is known to be made. A pin stands in a hole or it does not, so holes are taken as certain; a scale
 * is believed only as far as its uncertainty.
 */
#ifndef CRANKCARD_RECOVER_H
#define CRANKCARD_RECOVER_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_PLACES 1000000   /* rows that may fit before it is called too little to go by */

struct cc_seen {
    bool has_hole, has_hole2, has_reading, has_last;
    uint64_t hole, hole2;
    mpq_t reading;          /* revolutions since the start, the way the crank turns the spindle; whole turns do not count */
    mpq_t uncertainty;      /* revolutions, >= 0: the reading is no further off than this */
    uint64_t last;          /* a row that is known to be made: only it and later ones are looked at */
    bool has_row, has_right, has_cuts;
    uint64_t row;           /* the row that the hands take themselves to be at: only it is looked at */
    uint64_t right;         /* a row at which all was seen to be right: only it and later ones are looked at */
    uint64_t cuts;          /* places in the work that show a cut; the row that stands may be cut already or not */
    unsigned more_holes;    /* as many holes after hole fit too, round the circle: of a dial read to its line, the parts beyond */
    unsigned pin_circle;    /* the circle the crank pin was seen to stand in, hole counted in it; 0: nobody looked */
};

void cc_seen_init(struct cc_seen *seen);    /* nothing seen */
void cc_seen_clear(struct cc_seen *seen);

struct cc_place {
    uint64_t row;           /* the row that stands; cc_recover_between: the row that comes next */
    uint64_t turns, holes;  /* cc_recover_between: what is still to be cranked to that row; else 0 */
    mpq_t off;              /* reading - place, revolutions, above -1/2, at most 1/2; 0 without a reading */
};

struct cc_places {
    struct cc_place *at;    /* most likely first */
    size_t n;               /* how many are here: total or the most that were asked for */
    size_t room;
    uint64_t total;         /* how many fit */
    bool cut_short;         /* it was given up before all rows were looked at: others may fit too */
};

void cc_places_init(struct cc_places *places);
void cc_places_clear(struct cc_places *places);

/*
 * Every row of plan (the start and the closing row included) that fits, the `most` likeliest of them
 * in places. Likelier is: with a known cut, fewer rows after it; then the smaller |off|; then the
 * earlier row. Congruences lead from place to place, in time that grows with the places found and not with the rows;
 * lists and some roundings by two pins are gone through row by row. After two million rows looked at it is given up
 * (cut_short).
 *
 * Errors: CC_EDOM where a hole is not of the plan's circle, there is no second circle, the known cut
 * is no row, or uncertainty < 0; CC_ENOFIT where no row fits; CC_ELIMIT where more than CC_MAX_PLACES
 * do, or none of those looked at before it was given up; CC_ENOMEM.
 */
enum cc_status cc_recover(struct cc_places *places, const struct cc_plan *plan,
                          const struct cc_request *request, const struct cc_seen *seen, size_t most,
                          struct cc_error *err);

/*
 * Where the crank pin can stand between two rows: left in the middle of a movement. For plans that
 * turn the crank forward in one circle, with hole and reading seen; elsewhere CC_ENOFIT, as where no
 * place fits. A hole and a reading good to half a crank turn leave one place.
 */
enum cc_status cc_recover_between(struct cc_places *places, const struct cc_plan *plan,
                                  const struct cc_request *request, const struct cc_seen *seen,
                                  size_t most, struct cc_error *err);

/*
 * The row that makes division d of a plan (cc_step.division), the closing row aside; for a list the
 * row of position d, counted from 1. CC_EDOM where there is none.
 */
enum cc_status cc_row_of_division(uint64_t *row, const struct cc_plan *plan,
                                  const struct cc_request *request, uint64_t division,
                                  struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
