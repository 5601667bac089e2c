/*
 * makeplate.h: making an index plate on the head it is for, and what becomes of its errors.
 *
 * The first plate is drilled by the best setting the planner finds, near rather than exact. The holes of a plate are
 * used at the crank, so the worm divides their errors by its ratio R: a second plate drilled through the
 * first is R times better in that respect, and so on, down to what the worm itself and the
 * drilling put in each time. docs/plates.md derives the formulas.
 */
#ifndef CRANKCARD_MAKEPLATE_H
#define CRANKCARD_MAKEPLATE_H

#include <gmp.h>

#include "crankcard/head.h"
#include "crankcard/plan.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One plate after another, each drilled through the one before; number 1 through the head's own. Revolutions. */
struct cc_generation {
    mpq_t hole_arithmetic;  /* what is left of the first plate's rounding in the holes of this one */
    mpq_t hole_error;       /* worst error of its holes: that, the worm's error and the drilling's */
    mpq_t work_arithmetic;  /* what is left of the rounding in work indexed through it */
    mpq_t work_error;       /* worst error of work indexed through it: the worm's own included */
};

#define CC_MAX_GENERATIONS 8

struct cc_making {
    struct cc_plan plan;                /* drills plate 1 */
    struct cc_generation at[CC_MAX_GENERATIONS];
    size_t generations;
    mpq_t hole_floor, work_floor;       /* what no number of plates improves on */
};

void cc_making_init(struct cc_making *making);
void cc_making_clear(struct cc_making *making);

/*
 * A plate of so many holes made on head: the plan for plate 1, the one with the least worst error that the methods
 * (bits, as in struct cc_request) give, and plate after plate until one more gains nothing: the first plate's rounding
 * adds less than a hundredth of the floor to work indexed through it, or plate 1 is exact. At most
 * CC_MAX_GENERATIONS.
 *
 *   methods      0: all but the nearest compound setting, which moves the plate at every hole for less error than a
 *                worm has
 *   worm_error   w, what the worm holds, revolutions
 *   drill_error  d, how far a hole may be from where the spindle stood, as an angle at its circle
 *
 * With the worm's ratio R and the plan's worst error a, plate g of 1, 2, ... has
 *
 *   a(1) = a,  a(g) = a(g-1)/R                      hole_arithmetic
 *   h(1) = a + w + d,  h(g) = h(g-1)/R + w + d      hole_error
 *   work_arithmetic = a(g)/R,  work_error = h(g)/R + w
 *
 * and the floor is (w + d) R/(R - 1) for holes, (w + d)/(R - 1) + w for work.
 *
 * Errors: as cc_planner_best; CC_EDOM where R is 1 or less (nothing is divided) or an error is negative. making is
 * then of no use but to be cleared.
 */
enum cc_status cc_making_find(struct cc_making *making, const struct cc_head *head, unsigned long holes,
                              unsigned methods, const mpq_t worm_error, const mpq_t drill_error,
                              struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
