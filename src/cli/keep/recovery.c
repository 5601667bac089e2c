/* recovery.c: see recovery.h. */
#include "cli/keep/recovery.h"

void recovery_row(struct cc_step *step, const struct job *job, uint64_t row)
{
    struct cc_cursor cursor;

    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, row);
    cc_cursor_next(&cursor, step);
    cc_cursor_clear(&cursor);
}

bool recovery_rows(struct cc_step *here, struct cc_step *next, const struct recovery *r, size_t i)
{
    const struct cc_place *place = &r->places.at[i];

    if (r->between) {
        recovery_row(here, &r->job, place->row - 1);
        recovery_row(next, &r->job, place->row);
        next->turns = (int64_t)place->turns;
        next->holes = (int64_t)place->holes;
        next->larger = cc_plan_usual_is_larger(&r->job.plan);   /* what is left of it: no arms */
        return true;
    }
    recovery_row(here, &r->job, place->row);
    if (place->row == r->job.plan.steps)
        return false;
    recovery_row(next, &r->job, place->row + 1);
    return true;
}
