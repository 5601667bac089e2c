/* plan_errors.c: what a plan, and its head as it is stated to be, add to the errors of the work. */
#include "crankcard/plan.h"

mpq_srcptr cc_plan_holds(const struct cc_plan *plan, const struct cc_head *head)
{
    return cc_head_holds(head, cc_plan_index(plan));
}

void cc_plan_error_range(mpq_t range, const struct cc_plan *plan, const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;
    mpq_t low, high;
    bool any = false;

    if (plan->steps > CC_MOST_WALKED) {
        mpq_mul_2exp(range, plan->worst_error, 1);
        return;
    }
    mpq_inits(low, high, NULL);
    cc_cursor_init(&cursor, plan, request);
    cc_step_init(&step);
    while (cc_cursor_next(&cursor, &step) && !step.closing) {
        if (!any || mpq_cmp(step.error, low) < 0)
            mpq_set(low, step.error);
        if (!any || mpq_cmp(step.error, high) > 0)
            mpq_set(high, step.error);
        any = true;
    }
    mpq_sub(range, high, low);
    cc_step_clear(&step);
    cc_cursor_clear(&cursor);
    mpq_clears(high, low, NULL);
}
