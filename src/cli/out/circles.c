/* circles.c: see circles.h. */
#include "cli/out/circles.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/makeplate.h"
#include "cli/base/memory.h"
#include "cli/out/words.h"

/* ---- circles of the head ---- */

bool next_equal_circle(struct equal_circle *at, const struct job *job, const struct cc_plan *plan, int64_t holes)
{
    const struct cc_head *head = &job->head;

    if (at->side == 0)
        at->side = 1;
    while (at->plate < head->plate_count) {
        const struct cc_counts *circles = &head->plates[at->plate].side[at->side - 1];
        if (at->index < circles->n) {
            at->circle = circles->at[at->index++];
            at->holes = holes * at->circle / plan->circle;
            if (cc_pin_reaches(&head->crank_pin_circles, at->circle) && (uint64_t)holes * at->circle % plan->circle == 0)
                return true;
            continue;
        }
        at->index = 0;
        at->plate += at->side == CC_MAX_SIDES;
        at->side = at->side == CC_MAX_SIDES ? 1 : at->side + 1;
    }
    return false;
}

/* "15/21 on plate B, 10/14 ..." of the other circles that stand where turns and holes of the plan's circle do. */
static void other_circles(char *buf, size_t size, const struct job *job, const struct cc_plan *plan, int64_t turns,
                          int64_t holes)
{
    struct equal_circle circle = { 0 };
    struct cc_plan other = *plan;   /* its numbers are only read */
    size_t used = 0;
    char movement[WORDS];

    buf[0] = '\0';
    while (used + WORDS <= size && next_equal_circle(&circle, job, plan, holes)) {
        if (circle.circle == plan->circle && circle.plate == plan->plate && circle.side == plan->side)
            continue;
        other.circle = circle.circle;
        movement_notation(movement, &other, turns, circle.holes, 0);
        used += (size_t)snprintf(buf + used, size - used, "%s%s on plate %s%s", used > 0 ? ", " : "", movement,
                                 job->head.plates[circle.plate].name, circle.side == 2 ? " side 2" : "");
    }
}

void write_equal_circles(struct text *t, const char *indent, const struct job *job, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;
    char movement[WORDS], others[8 * WORDS];

    if (!cc_plan_has_plate(plan) || plan->detent > 1 || plan->circle2 != 0 || !cc_plan_movement(&turns, &holes, &holes2, plan) || holes == 0)
        return;
    other_circles(others, sizeof others, job, plan, turns, holes);
    if (others[0] == '\0')
        return;
    movement_notation(movement, plan, turns, holes, 0);
    text_para(t, indent, indent, "%s is also %s.", movement, others);
}

/* ---- circles it would take ---- */

/* What work through such a circle is off by at most, if this head makes it; false where it cannot. */
static bool work_through_it(mpq_t work, const struct job *job, uint64_t holes)
{
    struct cc_making making;
    mpq_t worm_error, drill_error;

    cc_making_init(&making);
    mpq_inits(worm_error, drill_error, NULL);
    (void)cc_head_taken_to_hold(worm_error, &job->head, CC_INDEX_WORM);
    enum cc_status s = cc_making_find(&making, &job->head, (unsigned long)holes, 0, worm_error, drill_error, NULL);
    if (s == CC_ENOMEM)
        memory_exhausted();
    if (s == CC_OK)
        mpq_set(work, making.at[0].work_error);
    mpq_clears(drill_error, worm_error, NULL);
    cc_making_clear(&making);
    return s == CC_OK;
}

#define MOST_NAMED 400      /* holes: no plate has more */
#define MOST_DRILLED 200    /* and few that are made in a shop have as many */

void write_wanted_circles(struct text *t, const char *indent, const struct job *job)
{
    uint64_t least = job->head.plate_count > 0 ? cc_request_least_circle(&job->request, job->head.worm) : 0;
    char work[WORDS], made[4 * WORDS] = "";
    mpq_t error;

    if (least == 0 || least > MOST_NAMED)
        return;
    mpq_init(error);
    if (least <= MOST_DRILLED && work_through_it(error, job, least)) {
        cc_angle_error_str(work, sizeof work, error, 1, CC_MARKS_UTF8);
        snprintf(made, sizeof made, " This head can drill it, and then holds %s%s: crankcard plates --make %" PRIu64 ".", work,
                 cc_head_holds(&job->head, CC_INDEX_WORM) != NULL ? "" : ", the worm's 2′ assumed", least);
    }
    mpq_clear(error);
    text_para(t, indent, indent, "A circle of %" PRIu64 ", %" PRIu64 ", %" PRIu64 " %s holes would be exact.%s", least, 2 * least,
              3 * least, t->ascii ? "..." : "…", made);
}
