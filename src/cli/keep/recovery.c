/* recovery.c: see recovery.h. */
#include "cli/keep/recovery.h"

bool recovery_rows(struct cc_step *here, struct cc_step *next, const struct recovery *r, size_t i)
{
    const struct cc_place *place = &r->places.at[i];
    const struct cc_request *request = &r->job.request;
    const struct cc_plan *plan = &r->job.plan;

    if (r->between) {
        cc_step_at(here, plan, request, place->row - 1);
        cc_step_at(next, plan, request, place->row);
        next->turns = (int64_t)place->turns;
        next->holes = (int64_t)place->holes;
        next->larger = cc_plan_usual_is_larger(plan);   /* what is left of it: no arms */
        return true;
    }
    cc_step_at(here, plan, request, place->row);
    if (place->row == plan->steps)
        return false;
    cc_step_at(next, plan, request, place->row + 1);
    return true;
}
