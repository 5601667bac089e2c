/*
 * card_setup.c: "Set up", numbered in the order of the hands.
 */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/out/card.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

struct list {
    struct text_list items;
    const struct job *job;
};

static bool is_rounded(const struct cc_plan *plan)
{
    return plan->method == CC_NEAREST_HOLE || plan->method == CC_NEAREST_COMPOUND;
}

/* ---- before the plate ---- */

static void fetch(struct list *list, const struct job *job)
{
    const struct cc_head *head = &job->head;

    if (head->nose != NULL && head->taper != NULL)
        text_item(&list->items, "Spindle nose %s, taper %s: fetch the chuck or centre that fits.", head->nose, head->taper);
    else if (head->nose != NULL)
        text_item(&list->items, "Spindle nose %s: fetch the chuck that fits.", head->nose);
    else if (head->taper != NULL)
        text_item(&list->items, "Spindle taper %s: fetch the centre that fits.", head->taper);
}

/* Whether some position of a list lies behind the one before it. */
static bool goes_back(const struct cc_request *request)
{
    bool back = request->position_count > 0 && mpq_sgn(request->position[0]) < 0;

    for (size_t i = 1; i < request->position_count && !back; i++)
        back = mpq_cmp(request->position[i], request->position[i - 1]) < 0;
    return back;
}

/* Movements that go back are made from the same side as all others. */
static void backward_rows(struct list *list, const struct job *job)
{
    if (!goes_back(&job->request))
        return;
    if (cc_plan_is_direct(&job->plan))
        text_item(&list->items, "A row with a minus goes back: turn back past the hole by one or two, then forward into it.");
    else
        text_item(&list->items, "A row with a minus goes back: turn back that much and half a turn or more beyond it, then "
             "forward to the hole, so that the backlash is up the same way each time. --sort does without.");
}

/* With an offset: the movement that comes after the zero and before all others. */
static void first_position(struct list *list)
{
    const struct job *job = list->job;
    struct cc_cursor cursor;
    struct cc_step step;
    char words[2 * WORDS];

    if (mpq_sgn(job->request.offset) == 0 || job->request.position_count > 0)   /* a list has it in every row */
        return;
    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    if (cc_cursor_next(&cursor, &step)) {
        movement_words(words, sizeof words, &job->plan, step.turns, step.holes, step.holes2);
        text_item(&list->items, "From the zero hole to the first position: %s%s.", words,
             mpq_sgn(step.angle) < 0 && !cc_plan_is_direct(&job->plan)
                 ? "; go back half a turn more than that and come forward to it" : "");
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

/* What a block is, for the one who has always gone from each division to the next. */
static void by_blocks(struct list *list)
{
    uint64_t block = list->job->plan.block;

    if (block > 1)
        text_item(&list->items, "By blocks: each movement goes on by %" PRIu64 " divisions, not to the next one. The work goes "
             "round %" PRIu64 " times and meets every division once; the steps name it.", block, block);
}

/* ---- direct ---- */

static void set_up_direct(struct list *list, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[2 * WORDS];
    int64_t turns, holes, holes2;

    if (job->head.has_worm)
        text_item(&list->items, "Spindle clamp off. Swing the worm out of mesh, so that the spindle turns by hand.");
    if (plan->circle2 != 0)
        text_item(&list->items, "Direct plate of %u holes with %u pins. Pin 0 into a hole: mark that hole 0.",
             plan->circle, plan->circle2 / plan->circle);
    else
        text_item(&list->items, "Direct plate, %u circle. Plunger into a hole: mark that hole 0.", plan->circle);
    first_position(list);
    by_blocks(list);
    if (cc_plan_movement(&turns, &holes, &holes2, plan)) {
        movement_words(words, sizeof words, plan, turns, holes, holes2);
        text_item(&list->items, "Each movement: clamp off, plunger out, turn the spindle by hand %s, always the same "
             "way, plunger in. Count from the hole you leave as 0.", words);
    } else {
        text_item(&list->items, "Movements differ: each row says the hole%s. Clamp off, plunger out, turn by hand "
             "always the same way, plunger in.", plan->circle2 != 0 ? " and the pin" : "");
        backward_rows(list, job);
    }
    text_item(&list->items, "Before each cut: push the spindle gently back against the plunger, the way it came, clamp "
         "on, and see that it did not shift. Cut.");
}

/* ---- plates ---- */

static void mount_plate(struct list *list, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    const struct cc_plate *plate = &job->head.plates[plan->plate];
    bool two_sided = plate->side[0].n > 0 && plate->side[1].n > 0;
    const char *action = plan->is_mounted                               ? ", which is on now"
                         : plan->plate == job->head.mounted_plate ? ": turn it over"
                                                                        : ": put it on";
    char side[32] = "";

    if (two_sided)
        snprintf(side, sizeof side, ", side %u to the crank", plan->side);
    text_item(&list->items, "Plate %s%s%s. Crank pin to the %u circle: set the crank's reach so that the pin drops in "
         "freely.", plate->name, side, action, plan->circle);
}

static void set_arms(struct list *list, int64_t holes, unsigned circle, bool rounded)
{
    if (holes == 0) {
        text_item(&list->items, "Sector arms are not needed: the pin comes back to the hole it left%s.",
             rounded ? ", or one further" : "");
        return;
    }
    text_item(&list->items, "Sector arms: %" PRId64 " space%s of the %u circle between them, that is %" PRId64
         " holes counted with the pin's own%s.", holes, holes == 1 ? "" : "s", circle, holes + 1,
         rounded ? ". Rows marked +1 go one hole further" : "");
}

static void engage_worm(struct list *list, bool plate_held)
{
    text_item(&list->items, "Worm in mesh, its clamp tight%s. %s", list->job->head.direct.n > 0 ? ", direct plunger out" : "",
         plate_held ? "The plate is held by its stop." : "The plate's stop stays out: it must turn freely.");
}

static void zero(struct list *list, const char *more)
{
    text_item(&list->items, "Zero: turn the crank forward until the backlash is up, pin into a hole of the circle, mark it "
         "0%s. Forward is clockwise unless the work needs the other way; keep to one way.", more);
    first_position(list);
    by_blocks(list);
}

static void overshoot(struct list *list)
{
    text_item(&list->items, "Past the hole? Go back half a turn or more and come forward to it again. Never step back "
         "to a hole: the backlash would shift the work.");
}

static void clamp_and_cut(struct list *list, const char *movement)
{
    text_item(&list->items, "Each movement: spindle clamp off; %s; spindle clamp on; cut.", movement);
}

/* The list of one position: the sector arms can be set for it. */
static void set_up_one(struct list *list, const struct job *job)
{
    struct cc_cursor cursor;
    struct cc_step step;
    char words[2 * WORDS];

    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, 1);
    if (cc_cursor_next(&cursor, &step)) {
        holes_words(words, sizeof words, step.turns, step.holes, job->plan.circle);
        set_arms(list, step.holes, job->plan.circle, false);
        engage_worm(list, job->plan.train.pairs == 0);
        zero(list, "");
        text_item(&list->items, "The movement: spindle clamp off; crank forward %s, pin in; spindle clamp on; cut.", words);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    overshoot(list);
}

static void set_up_single(struct list *list, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[2 * WORDS], move[3 * WORDS];
    int64_t turns, holes, holes2;
    bool rounded = is_rounded(plan);

    mount_plate(list, job);
    if (job->request.position_count == 1 && !goes_back(&job->request)) {
        set_up_one(list, job);
        return;
    }
    if (job->request.position_count > 0) {
        text_item(&list->items, "Movements differ: each row says turns and holes. Set the sector arms anew for each, or "
             "count from the pin's own hole as 0.");
        engage_worm(list, plan->train.pairs == 0);
        zero(list, "");
        clamp_and_cut(list, "crank forward as the row says, pin in");
        backward_rows(list, job);
        overshoot(list);
        return;
    }
    if (rounded)
        cc_plan_rounded_movement(&turns, &holes, &holes2, plan, false);
    else
        (void)cc_plan_movement(&turns, &holes, &holes2, plan);
    holes_words(words, sizeof words, turns, holes, plan->circle);
    set_arms(list, holes, plan->circle, rounded);
    engage_worm(list, plan->train.pairs == 0);
    zero(list, "");
    if (holes == 0)
        snprintf(move, sizeof move, "crank forward %s, pin in%s", words,
                 rounded ? " (a hole further where the row says +1)" : "");
    else
        snprintf(move, sizeof move, "crank forward %s to the far arm, pin in%s; bring the arms round to the pin",
                 words, rounded ? " (a hole further where the row says +1)" : "");
    clamp_and_cut(list, move);
    overshoot(list);
}

/* ---- compound ---- */

static void set_up_compound(struct list *list, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[3 * WORDS];
    int64_t turns, holes, holes2;

    mount_plate(list, job);
    text_item(&list->items, "Second pin, fixed to the head, into the %u circle%s: it holds the plate. This needs a plate "
         "that is free to turn and a second pin; if yours is bolted fast, put plate_pin = none in the profile.",
         plan->circle2, job->head.plate_pin == CC_PIN_OTHER ? " on the plate's other side" : "");
    bool same = cc_plan_movement(&turns, &holes, &holes2, plan);
    if (same && holes > 0)
        set_arms(list, holes, plan->circle, false);
    engage_worm(list, false);
    zero(list, ", and mark the hole of the second pin too");
    if (same) {
        movement_words(words, sizeof words, plan, turns, holes, holes2);
        text_item(&list->items, "Each movement: spindle clamp off; %s; spindle clamp on; cut.", words);
    } else {
        text_item(&list->items, "Movements differ: each row gives the crank's part and the plate's part, in the order "
             "written. Spindle clamp off, move, clamp on, cut.");
        backward_rows(list, job);
    }
    text_item(&list->items, "To move the crank: its pin out, the plate held by the second pin%s. To move the plate: crank pin "
         "in, second pin out, turn crank and plate together, second pin in. Never both pins out at once, "
         "or the place is lost.", same && holes > 0 ? "; to the far arm, pin in, bring the arms round" : "");
    if (!job->view.no_steps)
        text_item(&list->items, "Hole a|b in the steps: the crank pin stands a holes of %u on from its marked hole, and the plate "
             "has been carried b holes of %u past the second pin.", plan->circle, plan->circle2);
    if (!plan->forward)
        text_item(&list->items, "A part that goes back is made first, so that the last motion is always forward.");
    overshoot(list);
}

/* ---- differential ---- */

static void set_up_differential(struct list *list, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char gears[2 * WORDS], turns[WORDS];

    gear_words(gears, sizeof gears, &plan->train);
    cc_rational_str(turns, sizeof turns, plan->plate_turns);
    text_item(&list->items, "Head level: it can be neither tilted nor geared for a lead while the plate is geared.");
    text_item(&list->items, "Gears: %s. Covers back on before power.", gears);
    text_item(&list->items, "Draw the plate's stop: the plate must turn with the gears. Try it: crank forward, and the plate "
         "turns %s the crank, %s turns for one of the spindle.", mpq_sgn(plan->plate_turns) < 0 ? "against" : "with",
         turns + (turns[0] == '-' ? 1 : 0));
    set_up_single(list, job);
    text_item(&list->items, "The plate moves under the pin while you crank: count holes from the arm, not from a mark on "
         "the head.");
}

/* ---- what all share ---- */

/* The way in which angles grow, for anything that would be wrong if it were mirrored. */
static void hand_of_work(struct list *list, const struct job *job)
{
    bool circle = cc_request_is_circle(&job->request);

    if (circle && mpq_sgn(job->request.offset) == 0 && job->view.grow == WAY_UNKNOWN && job->marks.number == 0)
        return;
    if (job->view.grow != WAY_UNKNOWN) {
        bool clockwise = job_forward(job, &job->plan) == WAY_CLOCKWISE;
        text_item(&list->items, "This work has a hand: positions follow each other %s on the work, seen at the spindle nose. For "
             "that, forward is the %s turned %s, and holes are counted that way.",
             job->view.grow == WAY_CLOCKWISE ? "clockwise" : "counter-clockwise",
             cc_plan_is_direct(&job->plan) ? "spindle" : "crank", clockwise ? "clockwise" : "counter-clockwise");
        return;
    }
    if (cc_plan_is_direct(&job->plan)) {
        text_item(&list->items, "This work has a hand: seen at the spindle nose, turning the spindle clockwise makes the "
             "positions follow each other counter-clockwise on the work.");
    } else if (job->head.spindle == CC_SPINDLE_UNKNOWN) {
        text_item(&list->items, "This work has a hand, and the profile does not say which way the spindle turns: try one "
             "movement first and see which way the positions follow each other.");
    } else {
        bool with = job->head.spindle == CC_SPINDLE_WITH;
        text_item(&list->items, "This work has a hand: with the crank turned clockwise the spindle turns %s, seen at its "
             "nose, so the positions follow each other %s on the work.",
             with ? "clockwise" : "counter-clockwise", with ? "counter-clockwise" : "clockwise");
    }
}

/* The best plan of these methods by error alone, where it exists. */
static bool best_by_error(struct cc_plan *plan, struct job *job, unsigned methods)
{
    struct cc_request *r = &job->request;
    unsigned old_methods = r->methods;
    bool old_has = r->has_tolerance, good;
    mpq_t old;

    mpq_init(old);
    mpq_swap(old, r->tolerance);    /* a tolerance of 0: the smallest worst error wins */
    r->has_tolerance = true;
    r->methods = methods & old_methods;
    enum cc_status s = r->methods == 0 ? CC_ENOFIT : cc_planner_best(plan, NULL, job->planner, r, NULL);
    if (s == CC_ENOMEM)
        memory_exhausted();
    good = s == CC_OK;
    r->methods = old_methods;
    r->has_tolerance = old_has;
    mpq_swap(old, r->tolerance);
    mpq_clear(old);
    return good;
}

/* What a hand would take instead, if its error will do; and what is nearer, if there is such. */
static void other_choices(struct text *t, struct job *job)
{
    struct cc_plan other;
    char words[4 * WORDS];
    enum cc_method method = job->plan.method;

    if (method == CC_DIRECT || method == CC_PLAIN)
        return;
    cc_plan_init(&other);
    if (method != CC_NEAREST_HOLE && best_by_error(&other, job, 1U << CC_NEAREST_HOLE)) {
        plan_words(words, sizeof words, job, &other);
        text_para(t, "    ", "    ", "Simpler: %s; by -m nearest-hole -c %u.", words, other.circle);
    }
    if (!job->plan.exact && best_by_error(&other, job, CC_ALL_METHODS) &&
        mpq_cmp(other.worst_error, job->plan.worst_error) < 0) {
        plan_words(words, sizeof words, job, &other);
        text_para(t, "    ", "    ", "More exact: %s.", words);
    }
    cc_plan_clear(&other);
}

static void trial_round(struct list *list, const struct job *job)
{
    if (job->plan.has_closing)
        text_item(&list->items, "Trial round: scratch each position lightly, all the way round. The last movement must "
             "fall on the first scratch.");
    else if (job->request.position_count != 1)
        text_item(&list->items, "Trial run: scratch each position lightly from first to last, and check one gap with "
             "another before you cut.");
}

void card_setup(struct text *t, struct job *job)
{
    struct list list = { .items = { t, 0 }, .job = job };
    const struct cc_plan *plan = &job->plan;

    text_line(t, "Set up");
    fetch(&list, job);
    if (cc_plan_is_direct(plan))
        set_up_direct(&list, job);
    else if (plan->train.pairs > 0)
        set_up_differential(&list, job);
    else if (plan->circle2 != 0)
        set_up_compound(&list, job);
    else
        set_up_single(&list, job);
    hand_of_work(&list, job);
    trial_round(&list, job);
    other_choices(t, job);
}
