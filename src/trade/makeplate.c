/* makeplate.c: a plate made on the head it is for, generation by generation. */
#include "crankcard/makeplate.h"

#include <stdlib.h>

void cc_nearest_init(struct cc_nearest *nearest)
{
    nearest->plate = 0;
    nearest->side = nearest->circle = 0;
    mpq_init(nearest->worst);
    mpq_init(nearest->pitch);
}

void cc_nearest_clear(struct cc_nearest *nearest)
{
    mpq_clear(nearest->worst);
    mpq_clear(nearest->pitch);
}

/*
 * Rounding errors of i x / y, i = 0 .. n, in units of 1/y: the largest |error| and the largest
 * |difference| of neighbours. x = P C and y = Q N stay below 10^10, and only x mod y matters.
 */
static void rounding(long long *worst, long long *pitch, long long x, long long y, unsigned n)
{
    long long rest = 0, error, before = 0;

    *worst = *pitch = 0;
    x %= y;
    for (unsigned i = 1; i <= n; i++) {
        rest = (rest + x) % y;
        error = 2 * rest >= y ? y - rest : -rest; /* got less wanted; a half goes up */
        if (llabs(error) > *worst)
            *worst = llabs(error);
        if (llabs(error - before) > *pitch)
            *pitch = llabs(error - before);
        before = error;
    }
}

/* error / (y R C) revolutions, y = Q N: units of 1/y of a hole, R C holes to the revolution. */
static void to_revolutions(mpq_t out, long long error, long long y, const mpq_t worm,
                           unsigned circle)
{
    mpq_t unit;

    mpq_init(unit);
    mpq_set_si(out, (long)error, 1);
    mpz_set_si(mpq_numref(unit), (long)y);
    mpz_mul_ui(mpq_numref(unit), mpq_numref(unit), circle);
    mpq_mul(unit, unit, worm);
    mpq_div(out, out, unit);
    mpq_clear(unit);
}

/* Try one circle; keep it where it is better than what found has. */
static void try_circle(struct cc_nearest *found, size_t plate, unsigned side, unsigned circle,
                       const mpq_t worm, unsigned holes)
{
    long long x = mpz_get_si(mpq_numref(worm)) * (long long)circle;
    long long y = mpz_get_si(mpq_denref(worm)) * (long long)holes;
    long long worst, pitch;
    mpq_t error;

    if (x < y)
        return; /* fewer places than holes */
    rounding(&worst, &pitch, x, y, holes);
    mpq_init(error);
    to_revolutions(error, worst, y, worm, circle);
    int order = found->circle == 0 ? -1 : mpq_cmp(error, found->worst);
    if (order < 0 || (order == 0 && circle > found->circle)) {
        found->plate = plate;
        found->side = side;
        found->circle = circle;
        mpq_swap(found->worst, error);
        to_revolutions(found->pitch, pitch, y, worm, circle);
    }
    mpq_clear(error);
}

enum cc_status cc_nearest_circle(struct cc_nearest *nearest, const struct cc_head *head,
                                 unsigned holes, struct cc_error *err)
{
    struct cc_nearest found;
    enum cc_status s = CC_OK;

    if (holes < CC_MIN_CIRCLE || holes > CC_MAX_CIRCLE)
        return cc_fail(err, CC_EDOM, "a circle of %u holes: %d to %d", holes, CC_MIN_CIRCLE,
                       CC_MAX_CIRCLE);
    if (!head->has_worm)
        return cc_fail(err, CC_ENOFIT,
                       "this head has no worm, so a plate's errors are not divided");
    cc_nearest_init(&found);
    for (size_t p = 0; p < head->plate_count; p++)
        for (unsigned side = 0; side < CC_MAX_SIDES; side++)
            for (size_t i = 0; i < head->plates[p].side[side].n; i++)
                try_circle(&found, p, side + 1, head->plates[p].side[side].at[i], head->worm,
                           holes);
    if (found.circle == 0) {
        s = cc_fail(err, CC_ENOFIT, "no circle of this head can tell %u holes apart", holes);
    } else {
        nearest->plate = found.plate;
        nearest->side = found.side;
        nearest->circle = found.circle;
        mpq_swap(nearest->worst, found.worst);
        mpq_swap(nearest->pitch, found.pitch);
    }
    cc_nearest_clear(&found);
    return s;
}

/* ---- generations ---- */

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
