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

void cc_generation_init(struct cc_generation *generation);
void cc_generation_clear(struct cc_generation *generation);

/*
 * The plate after previous, or the first one where previous is NULL.
 *
 *   worm         R, > 1
 *   first        worst error of the setting that drills plate 1, revolutions of the spindle
 *   worm_error   w, what the worm holds, revolutions
 *   drill_error  d, how far a hole may be from where the spindle stood, as an angle at its circle
 *
 *   a(1) = first,  a(g) = a(g-1)/R                  hole_arithmetic
 *   h(1) = first + w + d,  h(g) = h(g-1)/R + w + d  hole_error
 *   work_arithmetic = a(g)/R,  work_error = h(g)/R + w
 *
 * Errors: CC_EDOM where R is 1 or less (nothing is divided) or an error is negative.
 */
enum cc_status cc_generation_next(struct cc_generation *generation,
                                  const struct cc_generation *previous, const mpq_t worm,
                                  const mpq_t first, const mpq_t worm_error,
                                  const mpq_t drill_error, struct cc_error *err);

/*
 * What no number of generations improves on: holes (w + d) R/(R - 1), work (w + d)/(R - 1) + w. R > 1.
 */
void cc_generation_floor(mpq_t hole_error, mpq_t work_error, const mpq_t worm,
                         const mpq_t worm_error, const mpq_t drill_error);

#ifdef __cplusplus
}
#endif

#endif
