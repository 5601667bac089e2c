/* makeplate.c: a plate made on the head it is for, generation by generation. */
#include "crankcard/makeplate.h"

#include <stdbool.h>

void cc_generation_init(struct cc_generation *generation)
{
    mpq_init(generation->hole_arithmetic);
    mpq_init(generation->hole_error);
    mpq_init(generation->work_arithmetic);
    mpq_init(generation->work_error);
}

void cc_generation_clear(struct cc_generation *generation)
{
    mpq_clear(generation->hole_arithmetic);
    mpq_clear(generation->hole_error);
    mpq_clear(generation->work_arithmetic);
    mpq_clear(generation->work_error);
}

static bool divides(const mpq_t worm)
{
    return mpq_cmp_ui(worm, 1, 1) > 0;
}

enum cc_status cc_generation_next(struct cc_generation *generation,
                                  const struct cc_generation *previous, const mpq_t worm,
                                  const mpq_t first, const mpq_t worm_error,
                                  const mpq_t drill_error, struct cc_error *err)
{
    struct cc_generation *g = generation;

    if (!divides(worm))
        return cc_fail(err, CC_EDOM, "a worm ratio of 1 or less does not divide a plate's errors");
    if (mpq_sgn(first) < 0 || mpq_sgn(worm_error) < 0 || mpq_sgn(drill_error) < 0)
        return cc_fail(err, CC_EDOM, "an error bound must be 0 or more");
    if (previous == NULL) {
        mpq_set(g->hole_arithmetic, first);
        mpq_set(g->hole_error, first);
    } else {
        mpq_div(g->hole_arithmetic, previous->hole_arithmetic, worm);
        mpq_div(g->hole_error, previous->hole_error, worm);
    }
    mpq_add(g->hole_error, g->hole_error, worm_error);
    mpq_add(g->hole_error, g->hole_error, drill_error);
    mpq_div(g->work_arithmetic, g->hole_arithmetic, worm);
    mpq_div(g->work_error, g->hole_error, worm);
    mpq_add(g->work_error, g->work_error, worm_error);
    return CC_OK;
}

void cc_generation_floor(mpq_t hole_error, mpq_t work_error, const mpq_t worm,
                         const mpq_t worm_error, const mpq_t drill_error)
{
    mpq_t each, less_one, work;

    mpq_init(each);
    mpq_init(less_one);
    mpq_init(work);
    mpq_add(each, worm_error, drill_error);
    mpq_set_ui(less_one, 1, 1);
    mpq_sub(less_one, worm, less_one);
    mpq_div(each, each, less_one); /* (w + d)/(R - 1) */
    mpq_add(work, each, worm_error);
    mpq_mul(hole_error, each, worm);
    mpq_swap(work_error, work);
    mpq_clear(work);
    mpq_clear(less_one);
    mpq_clear(each);
}
