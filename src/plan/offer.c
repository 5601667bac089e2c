/*
 * offer.c: keeps what the methods offer: the first plan, the first of each row of the table, or all of them.
 */
#include "plan/search.h"

static bool stands_mounted(const struct cci_search *search, const struct cc_plan *plan)
{
    return !cc_plan_has_plate(plan) || (plan->plate == search->head->mounted_plate &&
                               plan->side == search->head->mounted_side);
}

/* The best plan so far, of this row where the best of each is kept; or NULL. */
static struct cc_plan *best_so_far(struct cci_search *search)
{
    for (size_t i = 0; i < search->found.n && search->keep != CCI_KEEP_ALL; i++)
        if (search->keep == CCI_KEEP_FIRST || search->found.at[i].rank == search->scratch.rank)
            return &search->found.at[i];
    return NULL;
}

void cci_set_standing(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;

    plan->is_mounted = stands_mounted(search, plan);
    plan->holds = search->holds[cc_plan_index(plan)];
    plan->forward = true;
}

bool cci_is_dearer(struct cci_search *search)
{
    const struct cc_plan *best = best_so_far(search);
    struct cc_plan *plan = &search->scratch;

    if (best == NULL || !best->within || best->exact)
        return false;
    cci_set_standing(search);
    cci_plan_effort(plan, search, search->turns);
    return best->holds >= plan->holds && plan->effort > best->effort;
}

bool cci_is_outdone(struct cci_search *search)
{
    const struct cc_plan *best = best_so_far(search);
    struct cc_plan *plan = &search->scratch;

    cci_set_standing(search);
    if (best == NULL)
        return false;
    cci_plan_effort(plan, search, search->turns);
    return cci_plan_is_outdone(plan, best);
}

bool cci_is_outdone_by_error(struct cci_search *search)
{
    const struct cc_plan *best = best_so_far(search);
    struct cc_plan *plan = &search->scratch;

    if (best == NULL)
        return false;
    plan->within = mpq_cmp(plan->worst_error, search->tolerance) <= 0;
    if (plan->within && best->within)
        return cci_plan_is_outdone(plan, best);
    return !plan->within && (best->within || mpq_cmp(plan->worst_error, best->worst_error) > 0);
}

void cci_offer(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;

    plan->within = mpq_cmp(plan->worst_error, search->tolerance) <= 0;
    cci_plan_effort(plan, search, search->turns);
    search->any_exact = search->any_exact || plan->exact;
    cci_keep(search);
}

/* Words of what has to be beaten from now on. */
static void set_mark(struct cci_search *search, const struct cc_plan *best)
{
    struct cci_mark *mark = &search->kept;

    *mark = (struct cci_mark){ true, best->within, best->exact, best->holds, best->effort, 0, 0 };
    cci_words_above(&mark->off, &mark->of, best->worst_error);
}

void cci_keep(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;
    struct cc_plan *best = best_so_far(search);
    bool first = best == NULL || cc_plan_compare(plan, best) < 0;

    if (best != NULL && first)
        cc_plan_set(best, plan);
    else if (best == NULL && !cci_plans_append(&search->found, plan))
        search->status = cc_fail(search->err, CC_ENOMEM, "out of memory");
    if (first && search->keep != CCI_KEEP_ALL && !search->planner->long_way)
        set_mark(search, plan);
}

bool cci_is_settled(const struct cci_search *search)
{
    const struct cc_head *head = search->head;
    if (!search->any_exact)
        return false;
    bool any_holds = (head->plate_count > 0 && search->holds[CC_INDEX_WORM]) ||
                     (head->direct.n > 0 && search->holds[CC_INDEX_DIRECT]) ||
                     (cc_head_has_dial(head) && search->holds[CC_INDEX_DIAL]);

    if (search->best.any && search->best.plan.exact && search->best.plan.holds == any_holds)
        return true;
    for (size_t i = 0; i < search->found.n; i++)
        if (search->found.at[i].exact && search->found.at[i].holds == any_holds)
            return true;
    return false;
}
