/* makeplate.c: a plate made on the head it is for, generation by generation. */
#include "crankcard/makeplate.h"

#include <stdbool.h>

#include "crankcard/number.h"

static void generation_init(struct cc_generation *generation)
{
    mpq_inits(generation->hole_arithmetic, generation->hole_error, generation->work_arithmetic, generation->work_error,
              NULL);
}

static void generation_clear(struct cc_generation *generation)
{
    mpq_clears(generation->hole_arithmetic, generation->hole_error, generation->work_arithmetic, generation->work_error,
               NULL);
}

/* The plate after previous, or the first one where previous is NULL. */
static void generation_next(struct cc_generation *g, const struct cc_generation *previous, const mpq_t worm,
                            const mpq_t first, const mpq_t worm_error, const mpq_t drill_error)
{
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
}

static void find_floor(mpq_t hole_error, mpq_t work_error, const mpq_t worm, const mpq_t worm_error,
                       const mpq_t drill_error)
{
    mpq_t each, less_one, work;

    mpq_inits(each, less_one, work, NULL);
    mpq_add(each, worm_error, drill_error);
    mpq_set_ui(less_one, 1, 1);
    mpq_sub(less_one, worm, less_one);
    mpq_div(each, each, less_one); /* (w + d)/(R - 1) */
    mpq_add(work, each, worm_error);
    mpq_mul(hole_error, each, worm);
    mpq_swap(work_error, work);
    mpq_clears(work, less_one, each, NULL);
}

/* ---- making a plate ---- */

void cc_making_init(struct cc_making *making)
{
    cc_plan_init(&making->plan);
    mpq_inits(making->hole_floor, making->work_floor, NULL);
    making->generations = 0;
    for (size_t g = 0; g < CC_MAX_GENERATIONS; g++)
        generation_init(&making->at[g]);
}

void cc_making_clear(struct cc_making *making)
{
    for (size_t g = 0; g < CC_MAX_GENERATIONS; g++)
        generation_clear(&making->at[g]);
    mpq_clears(making->work_floor, making->hole_floor, NULL);
    cc_plan_clear(&making->plan);
}

static enum cc_status plan_first(struct cc_plan *plan, const struct cc_head *head, unsigned long holes,
                                 unsigned methods, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    struct cc_request request;
    enum cc_status s = cc_planner_new(&planner, head, err);

    cc_request_init(&request);
    mpz_set_ui(request.divisions, holes);
    request.methods = methods != 0 ? methods : CC_ALL_METHODS & ~(1U << CC_NEAREST_COMPOUND);
    request.has_tolerance = true;       /* of 0: the plan with the least error comes first */
    if (s == CC_OK)
        s = cc_planner_best(plan, NULL, planner, &request, err);
    cc_request_clear(&request);
    cc_planner_free(planner);
    return s;
}

/* Whether a hundredth of the floor is still less than what is left of plate 1's rounding. */
static bool gains(const struct cc_making *making, const struct cc_generation *last)
{
    mpq_t hundredth;

    mpq_init(hundredth);
    cc_rational_times(hundredth, making->work_floor, 1, 100);
    bool more = mpq_cmp(last->work_arithmetic, hundredth) > 0;
    mpq_clear(hundredth);
    return more;
}

enum cc_status cc_making_find(struct cc_making *making, const struct cc_head *head, unsigned long holes,
                              unsigned methods, const mpq_t worm_error, const mpq_t drill_error,
                              struct cc_error *err)
{
    bool more = true;

    if (!head->has_worm || mpq_cmp_ui(head->worm, 1, 1) <= 0)
        return cc_fail(err, CC_EDOM, "a worm ratio of 1 or less does not divide a plate's errors");
    if (mpq_sgn(worm_error) < 0 || mpq_sgn(drill_error) < 0)
        return cc_fail(err, CC_EDOM, "an error bound must be 0 or more");
    enum cc_status s = plan_first(&making->plan, head, holes, methods, err);
    if (s != CC_OK)
        return s;
    find_floor(making->hole_floor, making->work_floor, head->worm, worm_error, drill_error);
    for (size_t g = 0; more && g < CC_MAX_GENERATIONS; g++) {
        generation_next(&making->at[g], g > 0 ? &making->at[g - 1] : NULL, head->worm, making->plan.worst_error,
                        worm_error, drill_error);
        making->generations = g + 1;
        /* Plate 2 is always looked at where plate 1 is not exact. */
        more = !making->plan.exact && (g == 0 || gains(making, &making->at[g]));
    }
    return CC_OK;
}
