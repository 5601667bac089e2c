/*
 * plan.c: plans and lists of plans; which of two comes first (docs/method.md, "Which plan comes first").
 */
#include <stdlib.h>
#include <string.h>

#include "plan/search.h"

void cc_plan_init(struct cc_plan *plan)
{
    memset(plan, 0, sizeof *plan);
    mpq_init(plan->plate_turns);
    mpq_init(plan->ratio);
    mpq_init(plan->travel);
    mpq_init(plan->worst_error);
    mpq_init(plan->worst_pitch);
    mpq_init(plan->closing_error);
}

void cc_plan_clear(struct cc_plan *plan)
{
    mpq_clear(plan->closing_error);
    mpq_clear(plan->worst_pitch);
    mpq_clear(plan->worst_error);
    mpq_clear(plan->travel);
    mpq_clear(plan->ratio);
    mpq_clear(plan->plate_turns);
}

void cc_plan_swap(struct cc_plan *a, struct cc_plan *b)
{
    struct cc_plan tmp = *a;    /* GMP numbers may be moved whole */
    *a = *b;
    *b = tmp;
}

void cci_plan_set_words(struct cc_plan *to, const struct cc_plan *from)
{
    struct cc_plan copy = *from;

    /* Keep to's own numbers. */
    memcpy(copy.plate_turns, to->plate_turns, sizeof copy.plate_turns);
    memcpy(copy.ratio, to->ratio, sizeof copy.ratio);
    memcpy(copy.travel, to->travel, sizeof copy.travel);
    memcpy(copy.worst_error, to->worst_error, sizeof copy.worst_error);
    memcpy(copy.worst_pitch, to->worst_pitch, sizeof copy.worst_pitch);
    memcpy(copy.closing_error, to->closing_error, sizeof copy.closing_error);
    *to = copy;
}

void cc_plan_set(struct cc_plan *to, const struct cc_plan *from)
{
    if (to == from)
        return;
    cci_plan_set_words(to, from);
    mpq_set(to->plate_turns, from->plate_turns);
    mpq_set(to->ratio, from->ratio);
    mpq_set(to->travel, from->travel);
    mpq_set(to->worst_error, from->worst_error);
    mpq_set(to->worst_pitch, from->worst_pitch);
    mpq_set(to->closing_error, from->closing_error);
}

static int compare_u64(uint64_t a, uint64_t b)
{
    return a < b ? -1 : a > b;
}

/* The fractions of two plans that their order asks for, compared; how depends on what they are kept in. */
struct compared {
    int worst;              /* the worst errors */
    const struct cci_ranked *a, *b;     /* in words; NULL where the plans have their fractions */
};

/* What meets the tolerance; beyond it what is less far off. Then what the head holds, then what is exact. */
static int compare_errors(const struct cc_plan *a, const struct cc_plan *b, int worst)
{
    int d = compare_u64(!a->within, !b->within);

    if (d == 0 && !a->within)
        d = worst;
    if (d == 0)
        d = compare_u64(!a->holds, !b->holds);
    return d != 0 ? d : compare_u64(!a->exact, !b->exact);
}

/* Exact plans: the method; by blocks after one division at a time. Others have no class. */
static int compare_class(const struct cc_plan *a, const struct cc_plan *b)
{
    int d = 0;

    if (a->exact)
        d = compare_u64(a->rank, b->rank);
    if (d == 0 && a->exact)
        d = compare_u64(a->block > 1, b->block > 1);
    return d;
}

static uint64_t product_of(const unsigned *teeth, unsigned n)
{
    uint64_t product = 1;

    for (unsigned i = 0; i < n; i++)
        product *= teeth[i];
    return product;
}

/* |e|, the product of the drivers over that of the driven gears. Three gears of 10^4 teeth are below 2^40. */
static int compare_ratios(const struct cc_train *a, const struct cc_train *b)
{
    return cci_wide_compare(cci_wide_product(product_of(a->driver, a->pairs), product_of(b->driven, b->pairs)),
                            cci_wide_product(product_of(b->driver, b->pairs), product_of(a->driven, a->pairs)));
}

void cci_set_fraction(mpq_t out, int64_t num, int64_t den)
{
    cc_set_i64(mpq_numref(out), num);
    cc_set_i64(mpq_denref(out), den);
    mpq_canonicalize(out);
}

int cci_compare_sizes(const mpq_t a, const mpq_t b)
{
    mpq_t size_a, size_b;

    mpq_init(size_a);
    mpq_init(size_b);
    mpq_abs(size_a, a);
    mpq_abs(size_b, b);
    int order = mpq_cmp(size_a, size_b);
    mpq_clear(size_b);
    mpq_clear(size_a);
    return order;
}

/* Smaller blocks, then less motion of the plate, then fewer idlers. */
static int compare_gearing(const struct cc_plan *a, const struct cc_plan *b, const struct compared *in)
{
    int d = compare_u64(a->train.pairs, b->train.pairs);

    if (d != 0 || a->train.pairs == 0)
        return d;
    if ((d = compare_u64(a->block, b->block)) != 0)
        return d;
    d = in->a != NULL ? compare_ratios(&a->train, &b->train) : cci_compare_sizes(a->plate_turns, b->plate_turns);
    return d != 0 ? d : compare_u64(a->train.idlers, b->train.idlers);
}

/* Crank turns of the whole job; by the direct plate there are none. */
static int compare_travel(const struct cci_ranked *a, const struct cci_ranked *b)
{
    uint64_t of_a = cc_plan_is_direct(&a->plan) ? 0 : a->travel, of_b = cc_plan_is_direct(&b->plan) ? 0 : b->travel;

    return cci_wide_compare(cci_wide_product(of_a, b->plan.unit), cci_wide_product(of_b, a->plan.unit));
}

/*
 * On the plates the larger circle: a hole's own error of place turns the crank less; and a second pin that stands
 * further out. By hand on the direct plate the count is the risk: fewer holes, that is a smaller circle.
 */
static int compare_circles(const struct cc_plan *a, const struct cc_plan *b)
{
    int d = compare_u64(!cc_plan_is_direct(a), !cc_plan_is_direct(b));

    if (d != 0)
        return d;
    if (cc_plan_is_direct(a)) {
        d = compare_u64(a->circle, b->circle);
        return d != 0 ? d : compare_u64(a->circle2, b->circle2);
    }
    d = compare_u64(b->circle, a->circle);
    return d != 0 ? d : compare_u64(b->circle2, a->circle2);
}

/* A fixed order on the numbers of two settings: never 0 for different ones. */
static int compare_numbers(const struct cc_plan *a, const struct cc_plan *b)
{
    struct cci_split sa = cci_split_units(a, a->move), sb = cci_split_units(b, b->move);
    int d = compare_u64((uint64_t)(llabs(sa.pin) + llabs(sa.plate)),
                        (uint64_t)(llabs(sb.pin) + llabs(sb.plate)));

    if (d == 0)
        d = compare_u64(a->rank, b->rank);
    if (d == 0)
        d = compare_u64(a->block, b->block);
    if (d == 0)
        d = compare_u64(a->plate, b->plate);
    if (d == 0)
        d = compare_u64(a->side, b->side);
    if (d == 0)
        d = compare_u64((uint64_t)a->move, (uint64_t)b->move);
    for (unsigned i = 0; i < CC_MAX_PAIRS && d == 0; i++) {
        d = compare_u64(a->train.driver[i], b->train.driver[i]);
        if (d == 0)
            d = compare_u64(a->train.driven[i], b->train.driven[i]);
    }
    return d;
}

static int compare_all(const struct cc_plan *a, const struct cc_plan *b, const struct compared *in)
{
    int d = compare_errors(a, b, in->worst);

    if (d == 0)
        d = compare_class(a, b);
    if (d == 0)
        d = compare_u64(a->effort, b->effort);
    if (d == 0)
        d = in->worst;
    if (d == 0)
        d = compare_u64(!a->is_mounted, !b->is_mounted);
    if (d == 0)
        d = compare_gearing(a, b, in);
    if (d == 0)
        d = in->a != NULL ? compare_travel(in->a, in->b) : mpq_cmp(a->travel, b->travel);
    if (d == 0)
        d = compare_circles(a, b);
    if (d == 0)
        d = compare_numbers(a, b);
    /* In words it need not be asked: trains of the same gears and idlers turn the plate the same way. */
    return d != 0 || in->a != NULL ? d : mpq_cmp(a->plate_turns, b->plate_turns);
}

int cc_plan_compare(const struct cc_plan *a, const struct cc_plan *b)
{
    const struct compared in = { mpq_cmp(a->worst_error, b->worst_error), NULL, NULL };

    return compare_all(a, b, &in);
}

int cci_ranked_compare(const struct cci_ranked *a, const struct cci_ranked *b)
{
    const struct compared in = {
        cci_wide_compare(cci_wide_product(a->off, b->of), cci_wide_product(b->off, a->of)), a, b
    };

    return compare_all(&a->plan, &b->plan, &in);
}

bool cci_plan_is_outdone(const struct cc_plan *plan, const struct cc_plan *best)
{
    int d = compare_u64(!plan->holds, !best->holds);

    if (!best->within)
        return false;
    if (d == 0)
        d = compare_u64(!plan->exact, !best->exact);
    if (d == 0)
        d = compare_class(plan, best);
    if (d == 0)
        d = compare_u64(plan->effort, best->effort);
    if (d == 0 && !plan->exact)     /* 0 while it is not known */
        return mpq_cmp(plan->worst_error, best->worst_error) > 0;
    if (d == 0)                     /* no error decides between exact ones */
        d = compare_u64(!plan->is_mounted, !best->is_mounted);
    if (d == 0 && plan->exact && plan->train.pairs > 0)
        d = compare_u64(plan->train.pairs, best->train.pairs);
    if (d == 0 && plan->exact && plan->train.pairs > 0)
        d = compare_u64(plan->block, best->block);
    return d > 0;
}

enum cc_grade cc_plan_grade(const struct cc_plan *plan, const struct cc_head *head)
{
    enum cc_grade grade;
    mpq_t holds;

    if (plan->exact || plan->within)
        return plan->exact ? CC_GRADE_EXACT : CC_GRADE_WITHIN;
    mpq_init(holds);
    (void)cc_head_taken_to_hold(holds, head, cc_plan_index(plan));
    grade = mpq_cmp(plan->worst_error, holds) <= 0 ? CC_GRADE_WITHIN_HEAD : CC_GRADE_BEYOND;
    mpq_clear(holds);
    return grade;
}

void cc_plans_init(struct cc_plans *plans)
{
    *plans = (struct cc_plans){ NULL, 0, 0 };
}

void cc_plans_clear(struct cc_plans *plans)
{
    for (size_t i = 0; i < plans->n; i++)
        cc_plan_clear(&plans->at[i]);
    free(plans->at);
    cc_plans_init(plans);
}

bool cci_plans_append(struct cc_plans *plans, const struct cc_plan *plan)
{
    if (plans->n == plans->room) {
        size_t room = plans->room == 0 ? 8 : 2 * plans->room;
        struct cc_plan *more = realloc(plans->at, room * sizeof *more);
        if (more == NULL)
            return false;
        plans->at = more;
        plans->room = room;
    }
    cc_plan_init(&plans->at[plans->n]);
    cc_plan_set(&plans->at[plans->n], plan);
    plans->n++;
    return true;
}
