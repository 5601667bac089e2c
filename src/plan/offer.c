/*
 * offer.c: keeps what the methods offer: the best plan of each row of the table, or all of them.
 */
#include "plan/search.h"

static bool stands_mounted(const struct cci_search *search, const struct cc_plan *plan)
{
    return cc_plan_is_direct(plan) || (plan->plate == search->head->mounted_plate &&
                               plan->side == search->head->mounted_side);
}

/* The plan of this row so far, where only the best is kept; or NULL. */
static struct cc_plan *best_of_row(struct cci_search *search, unsigned rank)
{
    for (size_t i = 0; i < search->found.n && !search->collect_all; i++)
        if (search->found.at[i].rank == rank)
            return &search->found.at[i];
    return NULL;
}

bool cci_is_outdone(struct cci_search *search)
{
    const struct cc_plan *best = best_of_row(search, search->scratch.rank);

    search->scratch.is_mounted = stands_mounted(search, &search->scratch);
    return best != NULL && cci_plan_is_outdone(&search->scratch, best);
}

/* Whether what the head holds by the worm, or by the direct plate, is within an asked tolerance. */
static bool head_can_hold(const struct cci_search *search, bool direct)
{
    mpq_srcptr holds = cc_head_holds(search->head, direct);

    return !search->request->has_tolerance || (holds != NULL && mpq_cmp(holds, search->tolerance) <= 0);
}

/* Work out what ranks the finished candidate, and keep it if it is the best of its row (or all are wanted). */
void cci_offer(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;

    plan->within = mpq_cmp(plan->worst_error, search->tolerance) <= 0;
    plan->holds = head_can_hold(search, cc_plan_is_direct(plan));
    plan->is_mounted = stands_mounted(search, plan);
    struct cc_plan *best = best_of_row(search, plan->rank);
    if (best != NULL) {
        if (cc_plan_compare(plan, best) < 0)
            cc_plan_set(best, plan);
        return;
    }
    if (!cci_plans_append(&search->found, plan))
        search->status = cc_fail(search->err, CC_ENOMEM, "out of memory");
}

bool cci_is_settled(const struct cci_search *search)
{
    bool any_holds = (search->head->has_worm && head_can_hold(search, false)) ||
                     (search->head->direct.n > 0 && head_can_hold(search, true));

    for (size_t i = 0; i < search->found.n; i++)
        if (search->found.at[i].within && search->found.at[i].holds == any_holds)
            return true;
    return false;
}
