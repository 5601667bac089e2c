/* wall_job.c: see wall_job.h. */
#include "cli/subject/wall_job.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "cli/base/memory.h"
#include "cli/out/circles.h"
#include "cli/out/readings.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

const char wall_plain_heading[] = "By one circle, or by the direct plate: every one that serves";
const char wall_other_heading[] = "By gears, by two circles, or not exact: the best there is";

void wall_init(struct wall *wall, const struct job *job, uint64_t first, uint64_t last)
{
    *wall = (struct wall){ .job = job, .first = first, .last = last };
}

void wall_clear(struct wall *wall)
{
    free(wall->plain.at);
    free(wall->other.at);
}

/* ---- rows ---- */

static struct wall_row *add_row(struct wall_part *part, uint64_t count)
{
    part->at = memory_grow(part->at, part->n, &part->room, sizeof *part->at);
    struct wall_row *row = &part->at[part->n++];
    *row = (struct wall_row){ .cell = { "" } };
    snprintf(row->cell[WALL_N], sizeof row->cell[0], "%" PRIu64, count);
    return row;
}

static void CC_PRINTF(3, 4) put(struct wall_row *row, int cell, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    vsnprintf(row->cell[cell], sizeof row->cell[cell], format, args);
    va_end(args);
}

static void put_plate(struct wall_row *row, const struct cc_head *head, size_t plate, unsigned side)
{
    bool two = head->plates[plate].side[0].n > 0 && head->plates[plate].side[1].n > 0;

    put(row, WALL_PLATE, "%s%s", head->plates[plate].name, !two ? "" : side == 2 ? " 2" : " 1");
}

static void put_gears(struct wall_row *row, const struct cc_train *train)
{
    if (train->pairs == 0)
        return;
    put(row, WALL_SPINDLE, "%u", train->driver[0]);
    put(row, WALL_WORM, "%u", train->driven[train->pairs - 1]);
    if (train->pairs == 2) {
        put(row, WALL_IN, "%u", train->driven[0]);
        put(row, WALL_OUT, "%u", train->driver[1]);
    }
    put(row, WALL_IDLERS, "%u%s", train->idlers, train->idlers > 0 && train->idlers_back > 0 ? " first" : "");
}

/* What is to be known besides: blocks, and how far off. */
static void put_note(struct wall *wall, struct wall_row *row, const struct cc_plan *plan)
{
    char block[32] = "", worst[WORDS] = "";

    if (plan->block > 1)
        snprintf(block, sizeof block, "by %" PRIu64 "s%s", plan->block, plan->exact ? "" : "; ");
    if (!plan->exact)
        cc_angle_error_str(worst, sizeof worst, plan->worst_error, 1, CC_MARKS_UTF8);
    wall->blocks = wall->blocks || plan->block > 1;
    wall->worst = wall->worst || !plan->exact;
    enum cc_grade grade = cc_plan_grade(plan, &wall->job->head);
    wall->beyond = wall->beyond || grade >= CC_GRADE_WITHIN_HEAD;
    put(row, WALL_NOTE, "%s%s%s", block, worst, grade == CC_GRADE_BEYOND ? " NOT WITHIN" : grade == CC_GRADE_WITHIN_HEAD ? " beyond" : "");
}

/* Turns and holes of the movement, of both pins where there are two. */
static void put_movement(struct wall *wall, struct wall_row *row, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;
    char amount[WORDS];

    if (!cc_plan_movement(&turns, &holes, &holes2, plan)) {
        put(row, WALL_HOLES, "varies");
        wall->varies = true;
        return;
    }
    put(row, WALL_TURNS, "%" PRId64, turns);
    if (cc_plan_is_dial(plan)) {
        dial_amount_words(amount, sizeof amount, plan, (uint64_t)holes);
        put(row, WALL_HOLES, "%.39s", amount);
    } else if (plan->circle2 != 0) {
        put(row, WALL_HOLES, "%" PRId64 "%+" PRId64, holes, holes2);
    } else if (plan->detent > 1) {
        put(row, WALL_HOLES, "%" PRId64 " %" PRId64 "/%u", holes / (int64_t)plan->detent, holes % (int64_t)plan->detent, plan->detent);
    } else {
        put(row, WALL_HOLES, "%" PRId64, holes);
    }
}

static void add_other(struct wall *wall, const struct cc_plan *plan, uint64_t count)
{
    const struct cc_head *head = &wall->job->head;
    struct wall_row *row = add_row(&wall->other, count);

    put_movement(wall, row, plan);
    put_gears(row, &plan->train);
    put_note(wall, row, plan);
    if (cc_plan_is_dial(plan)) {
        put(row, WALL_PLATE, "dial");
    } else if (cc_plan_is_direct(plan)) {
        put(row, WALL_PLATE, "direct");
        put(row, WALL_CIRCLE, "%u", plan->circle);
    } else {
        put_plate(row, head, plan->plate, plan->side);
        put(row, WALL_CIRCLE, plan->circle2 != 0 ? "%u+%u" : "%u", cc_plan_holes(plan), plan->circle2);
        wall->compound = wall->compound || plan->circle2 != 0;
    }
}

/* The same movement by every other circle that gives it, the gears with it. */
static void add_circles(struct wall *wall, struct wall_part *part, const struct cc_plan *plan, uint64_t count, int64_t turns, int64_t holes)
{
    struct equal_circle circle = { 0 };

    while (next_equal_circle(&circle, wall->job, plan, holes)) {
        struct wall_row *row = add_row(part, count);
        put_plate(row, &wall->job->head, circle.plate, circle.side);
        put(row, WALL_CIRCLE, "%u", circle.circle);
        put(row, WALL_TURNS, "%" PRId64, turns);
        put(row, WALL_HOLES, "%" PRId64, circle.holes);
        put_gears(row, &plan->train);
        put_note(wall, row, plan);
    }
}

static void add_plain(struct wall *wall, const struct cc_plan *plan, uint64_t count)
{
    int64_t turns, holes, holes2;

    if (!cc_plan_movement(&turns, &holes, &holes2, plan))
        return;
    if (holes != 0) {
        add_circles(wall, &wall->plain, plan, count, turns, holes);
        return;
    }
    struct wall_row *row = add_row(&wall->plain, count);
    put(row, WALL_PLATE, "any");
    put(row, WALL_CIRCLE, "any");
    put(row, WALL_TURNS, "%" PRId64, turns);
    put(row, WALL_HOLES, "0");
    wall->any = true;
}

/* The circles of the direct plate that serve, and behind them those of plates. */
static void add_direct(struct wall *wall, struct job *job, const struct cc_plan *plan, uint64_t count)
{
    const struct cc_counts *direct = &job->head.direct;
    unsigned methods = job->request.methods;
    struct cc_plan plain;

    for (size_t i = 0; i < direct->n; i++) {
        if ((uint64_t)plan->move * direct->at[i] % plan->unit != 0)
            continue;
        struct wall_row *row = add_row(&wall->plain, count);
        put(row, WALL_PLATE, "direct");
        put(row, WALL_CIRCLE, "%u", direct->at[i]);
        put(row, WALL_HOLES, "%" PRIu64, (uint64_t)plan->move * direct->at[i] / plan->unit);
    }
    wall->direct = true;
    cc_plan_init(&plain);
    job->request.methods = methods & 1U << CC_PLAIN;
    if (job->request.methods != 0 && cc_planner_best(&plain, NULL, job->planner, &job->request, NULL) == CC_OK && plain.block == 1)
        add_plain(wall, &plain, count);
    job->request.methods = methods;
    cc_plan_clear(&plain);
}

void wall_add(struct wall *wall, struct job *job, uint64_t count)
{
    const struct cc_plan *plan = &job->plan;
    int64_t turns, holes, holes2;
    bool single = plan->exact && plan->block == 1 && !cc_plan_is_vernier(plan);

    if (single && plan->method == CC_DIRECT) {
        add_direct(wall, job, plan, count);
    } else if (single && plan->method == CC_PLAIN) {
        add_plain(wall, plan, count);
    } else {
        put(add_row(&wall->plain, count), WALL_PLATE, "below");
        wall->below = true;
        if (cc_plan_has_plate(plan) && plan->circle2 == 0 && cc_plan_movement(&turns, &holes, &holes2, plan) && holes > 0)
            add_circles(wall, &wall->other, plan, count, turns, holes);
        else
            add_other(wall, plan, count);
    }
}

void wall_add_none(struct wall *wall, uint64_t count)
{
    put(add_row(&wall->plain, count), WALL_PLATE, "none");
}

/* ---- when all are there ---- */

static void measure(struct wall_part *part)
{
    static const char *const headings[WALL_CELLS] = {
        "N", "plate", "circle", "turns", "holes", "spindle", "in", "out", "worm", "idlers", "note"
    };

    for (int c = 0; c < WALL_CELLS; c++) {
        unsigned width = 0;
        for (size_t i = 0; i < part->n; i++) {
            unsigned n = text_columns(part->at[i].cell[c]);
            width = n > width ? n : width;
        }
        unsigned least = text_columns(headings[c]);
        part->column[c] = (struct table_column){ headings[c], width > 0 && width < least ? least : width, c > 0, c == WALL_PLATE || c == WALL_NOTE };
    }
}

/* Whether all rows only lead to the second table. */
static bool only_below(const struct wall_part *part)
{
    for (size_t i = 0; i < part->n; i++)
        if (strcmp(part->at[i].cell[WALL_PLATE], "below") != 0)
            return false;
    return true;
}

void wall_end(struct wall *wall)
{
    if (only_below(&wall->plain)) {
        wall->plain.n = 0;
        wall->below = false;
    }
    measure(&wall->plain);
    measure(&wall->other);
}

void wall_title(char *buf, size_t size, const struct wall *wall)
{
    if (wall->first == wall->last)
        snprintf(buf, size, "%" PRIu64 " division%s: %s", wall->first, wall->first == 1 ? "" : "s", wall->job->head.title);
    else
        snprintf(buf, size, "%" PRIu64 " to %" PRIu64 " divisions: %s", wall->first, wall->last, wall->job->head.title);
}

void wall_key(char *buf, size_t size, const struct wall *wall)
{
    const struct wall_part *other = &wall->other;

    snprintf(buf, size, "N: divisions of a full turn. Plate and circle: where the crank pin goes. Turns and holes: the crank forward, every "
             "movement; the pin's own hole is not counted.%s%s%s%s%s%s%s%s%s",
             wall->any ? " Any: whole turns, any circle." : "",
             wall->direct ? " Direct: worm out of mesh, the plunger so many holes of the direct plate on." : "",
             wall->below ? " Below: in the second table." : "",
             wall->compound ? " 19+18, 7+6: the crank pin 7 holes of the 19 circle on, then the plate 6 of the 18 circle with it; 7-6: "
                              "against it." : "",
             other->column[WALL_SPINDLE].width > 0 ? " Gears: the one on the spindle drives in on the stud, out on the same stud drives the one "
                                                     "on the worm shaft; no stud: one pair. Idlers: how many, before the worm shaft's; first: before the stud's." : "",
             wall->varies ? " Varies: the card of divide has each movement." : "",
             wall->blocks ? " By 4s: every movement passes 4 divisions." : "",
             wall->worst ? " An angle in the note: not exact, so far off at worst." : "",
             wall->beyond ? " Beyond: beyond the tolerance, but within what the head is taken to hold; NOT WITHIN: beyond that too." : "");
}
