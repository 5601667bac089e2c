/* setup.c: see setup.h. One function for each thing the hands do; setup_make puts them in order. */
#include "cli/out/setup.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "cli/ask/find_head.h"
#include "cli/base/memory.h"
#include "cli/out/gears.h"
#include "cli/out/quantities.h"
#include "cli/out/readings.h"
#include "cli/out/words.h"

/* Of a circle: above this share of it the arms do not open that far (assumed). */
#define ARMS_OPEN_NUM 17
#define ARMS_OPEN_DEN 20

#define ACTS(...) ((const enum act[]){ __VA_ARGS__, ACT_END })

struct build {
    struct setup *setup;
    const struct job *job;
    const struct cc_plan *plan;
};

static void CC_PRINTF(4, 5) item(const struct build *b, enum setup_kind kind, const enum act *acts, const char *format, ...)
{
    struct setup *setup = b->setup;
    char words[2048];
    va_list list;

    va_start(list, format);
    vsnprintf(words, sizeof words, format, list);
    va_end(list);
    setup->at = memory_grow(setup->at, setup->n, &setup->room, sizeof *setup->at);
    struct setup_item *new = &setup->at[setup->n++];
    memset(new, 0, sizeof *new);
    new->kind = kind;
    for (size_t i = 0; acts != NULL && i < SETUP_ACTS && acts[i] != ACT_END; i++)
        new->acts[i] = acts[i];
    new->words = memory_copy(words);
}

static bool is_rounded(const struct cc_plan *plan)
{
    return plan->method == CC_NEAREST_HOLE || plan->method == CC_NEAREST_COMPOUND;
}

/* ---- what is to be made ---- */

/* Whether some position of a list lies behind the one before it. */
static bool goes_back(const struct cc_request *request)
{
    bool back = request->position_count > 0 && mpq_sgn(request->position[0]) < 0;

    for (size_t i = 1; i < request->position_count && !back; i++)
        back = mpq_cmp(request->position[i], request->position[i - 1]) < 0;
    return back;
}

/* Whether row 0, the zero hole, is itself a position to cut. */
static bool cuts_at_zero(const struct job *job)
{
    return !job_is_list(job) && mpq_sgn(job->request.offset) == 0;
}

/* The trial stands at the end of the list, because it needs all the rest; it is made before this cut. */
static const char *first_cut(const struct build *b)
{
    return b->plan->has_closing ? "first cut here, after the trial round" : "first cut here, after the trial run";
}

/* ---- before the plate ---- */

static void fetch(const struct build *b)
{
    const struct cc_head *head = &b->job->head;

    if (head->nose != NULL && head->taper != NULL)
        item(b, SETUP_KNOW, NULL, "Spindle nose %s, taper %s: fetch the chuck or centre that fits.", head->nose, head->taper);
    else if (head->nose != NULL)
        item(b, SETUP_KNOW, NULL, "Spindle nose %s: fetch the chuck that fits.", head->nose);
    else if (head->taper != NULL)
        item(b, SETUP_KNOW, NULL, "Spindle taper %s: fetch the centre that fits.", head->taper);
}

/* The crank must turn the spindle, and nothing may hold it. */
static void engage_worm(const struct build *b)
{
    if (job_is_helix(b->job)) {
        item(b, SETUP_ONCE, ACTS(ACT_CLAMP_OFF, ACT_PLUNGER_OUT, ACT_WORM_IN), "Spindle clamp OFF, and it STAYS OFF: geared to the table "
             "the spindle turns while it cuts.%s Worm in mesh, its own clamp tight.",
             b->job->head.direct.n > 0 ? " Direct plunger out." : "");
        return;
    }
    if (b->job->head.direct.n > 0)
        item(b, SETUP_ONCE, ACTS(ACT_CLAMP_OFF, ACT_PLUNGER_OUT, ACT_WORM_IN),
             "Spindle clamp off, direct plunger out, worm in mesh and clamped.");
    else
        item(b, SETUP_ONCE, ACTS(ACT_CLAMP_OFF, ACT_WORM_IN), "Spindle clamp off, worm in mesh and clamped.");
}

/* ---- plate, pins, arms ---- */

static void mount_plate(const struct build *b)
{
    const struct cc_plan *plan = b->plan;
    const struct cc_plate *plate = &b->job->head.plates[plan->plate];
    bool two_sided = plate->side[0].n > 0 && plate->side[1].n > 0;
    const char *action = plan->is_mounted                                  ? ", which is on now"
                         : plan->plate == b->job->head.mounted_plate ? ": turn it over"
                                                                           : ": put it on";
    bool held = plan->circle2 == 0 && plan->train.pairs == 0 && !job_is_helix(b->job);
    char side[32] = "";

    if (two_sided)
        snprintf(side, sizeof side, ", side %u to the crank", plan->side);
    item(b, SETUP_ONCE, held ? ACTS(ACT_PLATE, ACT_STOP_IN, ACT_REACH) : ACTS(ACT_PLATE, ACT_REACH),
         "Plate %s%s%s%s. Crank pin to the %u circle: it must drop in freely.", plate->name,
         side, action, held ? ", its stop in" : "", cc_plan_holes(plan));
}

static void second_pin(const struct build *b)
{
    const struct cc_plan *plan = b->plan;

    item(b, SETUP_ONCE, ACTS(ACT_SECOND_PIN_IN, ACT_STOP_OUT),
         "Second pin, fixed to the head (often the plate's own stop), into the %u circle%s: it alone holds the plate; any other "
         "stop or screw is out.%s",
         plan->circle2, b->job->head.plate_pin == CC_PIN_OTHER ? " on the plate's other side" : "",
         b->job->head.plate_pin_circles.n > 0 ? "" : " See that it reaches that circle.");
}

/* Arms in front of the pin, or behind it where they do not open so far; none for single holes. */
enum arms { ARMS_NONE, ARMS_AHEAD, ARMS_BEHIND };

static enum arms arms_for(int64_t holes, unsigned circle)
{
    int64_t rest = (int64_t)circle - holes;

    if (holes <= 1 || rest == 1)
        return ARMS_NONE;
    return holes * ARMS_OPEN_DEN > (int64_t)circle * ARMS_OPEN_NUM ? ARMS_BEHIND : ARMS_AHEAD;
}

bool setup_arms(int64_t *spaces, bool *behind, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    int64_t turns, holes, holes2;

    if (!cc_plan_has_plate(plan) || plan->detent > 1 || job_is_list(job))
        return false;
    if (!cc_plan_movement(&turns, &holes, &holes2, plan))
        cc_plan_rounded_movement(&turns, &holes, &holes2, plan, cc_plan_usual_is_larger(plan));
    enum arms arms = holes > 0 ? arms_for(holes, plan->circle) : ARMS_NONE;
    *behind = arms == ARMS_BEHIND;
    *spaces = *behind ? (int64_t)plan->circle - holes : holes;
    return arms == ARMS_AHEAD || (arms == ARMS_BEHIND && plan->circle2 == 0);
}

bool setup_step_arms(int64_t *spaces, bool *behind, const struct cc_plan *plan, const struct cc_step *step)
{
    if (cc_plan_is_direct(plan) || plan->detent > 1 || step->holes <= 0)
        return false;
    enum arms arms = arms_for(step->holes, plan->circle);
    *behind = arms == ARMS_BEHIND;
    *spaces = *behind ? (int64_t)plan->circle - step->holes : step->holes;
    return arms != ARMS_NONE;
}

static void set_arms(const struct build *b, int64_t holes, const char *odd_rows)
{
    unsigned circle = b->plan->circle;
    int64_t rest = (int64_t)circle - holes;

    if (holes == 0)
        item(b, SETUP_KNOW, NULL, "Sector arms are not needed: the pin comes back to the hole it left%s.",
             odd_rows[0] != '\0' ? ", or one further" : "");
    else if (holes == 1)
        item(b, SETUP_KNOW, NULL, "Sector arms are not needed: the pin goes into the next hole%s.%s",
             odd_rows[0] != '\0' ? ", or the one after it" : "", odd_rows);
    else if (rest == 1)
        item(b, SETUP_KNOW, NULL, "Sector arms are not needed: %" PRId64 " holes of %u are one turn less one hole; the pin goes "
             "into the hole before the one it left.%s", holes, circle, odd_rows);
    else if (arms_for(holes, circle) == ARMS_BEHIND)
        item(b, SETUP_ONCE, ACTS(ACT_ARMS), "Sector arms do not open to %" PRId64 " holes of %u, one turn less %" PRId64
             ". Set them behind the pin, %" PRId64 " spaces, %" PRId64 " holes with the pin's own; the pin goes forward all the way "
             "round to the rear arm.%s", holes, circle, rest, rest, rest + 1, odd_rows);
    else
        item(b, SETUP_ONCE, ACTS(ACT_ARMS), "Sector arms: %" PRId64 " spaces%s, %" PRId64 " holes with the pin's own.%s", holes,
             b->plan->circle2 != 0 ? " of the crank's circle" : " between them", holes + 1, odd_rows);
}

/* ---- gears ---- */

/* The command that draws them, of a card that was asked for with a head's own words. */
static void picture_words(char *buf, size_t size, const struct job *job)
{
    const struct cc_train *t = &job->plan.train;
    char movement[WORDS], drivers[64] = "", driven[64] = "", head[HEAD_WORDS];
    int64_t turns, holes, holes2;

    buf[0] = '\0';
    if (strcmp(job->command, "gear") == 0 || job->request.position_count > 0 ||
        !cc_plan_movement(&turns, &holes, &holes2, &job->plan))
        return;
    movement_notation(movement, &job->plan, turns, holes, holes2);
    for (unsigned i = 0; i < t->pairs; i++) {
        snprintf(drivers + strlen(drivers), sizeof drivers - strlen(drivers), "%s%u", i > 0 ? "," : "", t->driver[i]);
        snprintf(driven + strlen(driven), sizeof driven - strlen(driven), "%s%u", i > 0 ? "," : "", t->driven[i]);
    }
    put_head_words(head, sizeof head, job->choice.name, NULL);     /* which plate is on does not matter to the gears */
    snprintf(buf, size, " Drawn to scale: crankcard check %" PRIu64 " %s --drivers %s --driven %s --idlers %u%s --format svg.",
             cc_get_u64(job->request.divisions), movement, drivers, driven, t->idlers, head);
}

static void put_gears_on(const struct build *b)
{
    const struct cc_train *train = &b->plan->train;
    const struct cc_head *head = &b->job->head;
    enum cc_unit unit = b->job->output.unit;
    char gears[2 * WORDS], fit[GEAR_WORDS], others[GEAR_WORDS], studs[GEAR_WORDS], order[GEAR_WORDS], picture[GEAR_WORDS];

    picture_words(picture, sizeof picture, b->job);
    gear_words(gears, sizeof gears, train);
    fit_words(fit, sizeof fit, train, head, CC_FOR_DIFFERENTIAL, unit);
    arrangements_words(others, sizeof others, train, head, CC_FOR_DIFFERENTIAL);
    stud_words(studs, sizeof studs, train, head, CC_FOR_DIFFERENTIAL, unit);
    gear_order_words(order, sizeof order, train, head, CC_FOR_DIFFERENTIAL);
    item(b, SETUP_ONCE, ACTS(ACT_STOP_OUT), "Draw the plate's stop: the plate must turn with the gears. A crank that locks "
         "means a stop left in: never force it.");
    item(b, SETUP_ONCE, ACTS(ACT_GEARS), "Gears, machine isolated, handwheel off: %s. %s%s%s%s%s %s Guard back on before "
         "power.%s", gears, fit, others[0] != '\0' ? " " : "", others, studs[0] != '\0' ? " " : "", studs, order, picture);
}

/* Holes of the circle that the plate goes by, the crank's way, while the crank makes n turns: n turns of R are a turn of the spindle. */
static void plate_holes(mpq_t holes, const struct build *b, unsigned n)
{
    mpq_set_ui(holes, n, 1);
    mpq_div(holes, holes, b->job->head.worm);
    mpq_mul(holes, holes, b->plan->plate_turns);
    mpz_mul_ui(mpq_numref(holes), mpq_numref(holes), b->plan->circle);
    mpq_canonicalize(holes);
}

/* Crank turns of the trial: so many that the pin comes over another hole of the circle, else ten. */
static unsigned trial_turns(mpq_t holes, const struct build *b)
{
    for (unsigned n = 5; n <= 40; n++) {
        plate_holes(holes, b, n);
        if (mpz_cmp_ui(mpq_denref(holes), 1) == 0 && !mpz_divisible_ui_p(mpq_numref(holes), b->plan->circle))
            return n;
    }
    plate_holes(holes, b, 10);
    return 10;
}

/* Where the pin then stands: the whole holes from the marked one forward, which the plate's own way lessens. */
static unsigned long trial_hole(const mpq_t holes, unsigned circle)
{
    mpz_t hole;

    mpz_init(hole);
    mpz_neg(hole, mpq_numref(holes));
    mpz_fdiv_q(hole, hole, mpq_denref(holes));
    unsigned long at = mpz_fdiv_ui(hole, circle);
    mpz_clear(hole);
    return at;
}

static void try_gears(const struct build *b)
{
    char plate[WORDS], hole[WORDS];
    bool against = mpq_sgn(b->plan->plate_turns) < 0;
    unsigned circle = b->plan->circle;
    mpq_t holes, turns;

    mpq_inits(holes, turns, NULL);
    unsigned n = trial_turns(holes, b);
    unsigned long at = trial_hole(holes, circle);
    if (mpz_cmp_ui(mpq_denref(holes), 1) == 0)
        snprintf(hole, sizeof hole, "over hole %lu", at);
    else
        snprintf(hole, sizeof hole, "between holes %lu and %lu", at, (at + 1) % circle);
    cc_rational_times(turns, holes, 1, circle);
    mpq_abs(turns, turns);
    mixed_words(plate, sizeof plate, turns);
    item(b, SETUP_ONCE, ACTS(ACT_PIN_OUT, ACT_TRY_GEARS), "Trial turn: mark the hole under the pin 0; pin out, crank forward %u whole "
         "turns. The plate goes %s the crank, %s turn%s: the pin stands %s of %u. The other way: one idler more, or one "
         "less. Another hole: a wrong gear.", n, against ? "against" : "with", plate, mpq_cmp_ui(turns, 1, 1) > 0 ? "s" : "",
         hole, circle);
    mpq_clears(turns, holes, NULL);
}

static void gear_to_table(const struct build *b)
{
    enum cc_unit unit = b->job->output.unit;
    char lead[QUANTITY_SIZE];

    length_text(lead, b->job->lead, unit);
    item(b, SETUP_ONCE, ACTS(ACT_STOP_OUT, ACT_TABLE_GEARED), "Head geared to the table for a lead of %s: gears, table's swing and hand "
         "by the card of lead. Plate's stop OUT, and it stays out: the gears hold the plate, and turn it while the table runs. "
         "Saddle and swing locked, the table's own lock off. No rapid traverse: it would spin the head through the gears.", lead);
}

/* ---- zero ---- */

/* Which way forward is, said with the zero because the play is taken up that way. */
static const char *forward_words(const struct build *b)
{
    if (job_is_helix(b->job) && !job_has_hand(b->job))
        return "Forward is the way the feed turns the crank while it cuts: the play of the worm then lies on one side all the time.";
    if (b->job->view.grow == CC_WAY_UNKNOWN)
        return "";
    return job_forward(b->job, b->plan) == CC_CLOCKWISE ? "Forward is clockwise, for this work has a hand."
                                                          : "Forward is COUNTER-CLOCKWISE, for this work has a hand.";
}

static void zero_of_helix(const struct build *b, bool arms)
{
    item(b, SETUP_ONCE,
         arms ? ACTS(ACT_CLEAR, ACT_PIN_IN, ACT_RETURN, ACT_PIN_OUT, ACT_TAKE_UP, ACT_PIN_IN, ACT_ZERO, ACT_ARMS_ROUND)
              : ACTS(ACT_CLEAR, ACT_PIN_IN, ACT_RETURN, ACT_PIN_OUT, ACT_TAKE_UP, ACT_PIN_IN, ACT_ZERO),
         "Zero: knee down until the cutter is clear, crank pin in; table back past its start and forward to it, so that the play of "
         "the gears is out. Pin out, turn the crank forward until the backlash is up and the spindle moves, pin into a hole of the "
         "circle, mark it 0%s. Note what the spindle's scale reads and where the handle stands, with the table at this start. %s",
         arms ? ", arms up to the pin" : "", forward_words(b));
    item(b, SETUP_KNOW, NULL, "The start lies so far before the work that the work is seen to turn before the cutter touches it%s. The "
         "end lies where the whole cutter is past the work; where a groove ends in the work, stop the feed at one line each time "
         "and lower the knee before anything else.", !job_has_hand(b->job) ? "" : "; further, where the feed turns the crank the other way");
    if (cuts_at_zero(b->job))
        item(b, SETUP_ONCE, ACTS(ACT_RAISE, ACT_CUT), "The %s: knee up to the depth, crank pin in, clamp off; feed from the start to the end.",
             first_cut(b));
}

static void zero(const struct build *b, bool arms, const char *also)
{
    if (job_is_helix(b->job)) {
        zero_of_helix(b, arms);
        return;
    }
    const enum act *acts = cuts_at_zero(b->job)
        ? (arms ? ACTS(ACT_PIN_OUT, ACT_TAKE_UP, ACT_PIN_IN, ACT_ZERO, ACT_ARMS_ROUND, ACT_CLAMP_ON, ACT_CUT)
                : ACTS(ACT_PIN_OUT, ACT_TAKE_UP, ACT_PIN_IN, ACT_ZERO, ACT_CLAMP_ON, ACT_CUT))
        : (arms ? ACTS(ACT_PIN_OUT, ACT_TAKE_UP, ACT_PIN_IN, ACT_ZERO, ACT_ARMS_ROUND)
                : ACTS(ACT_PIN_OUT, ACT_TAKE_UP, ACT_PIN_IN, ACT_ZERO));
    const char *play = b->plan->train.pairs > 0
                           ? "crank forward one or two turns, until you have seen the plate move with it"
                           : "crank forward until the backlash is up and the spindle moves";
    const char *forward = forward_words(b);
    bool cut = cuts_at_zero(b->job);

    item(b, SETUP_ONCE, acts, "Zero: %s, %s; pin into a hole, mark it 0%s%s. Note the spindle's scale and where the handle "
         "stands.%s%s%s%s%s", b->plan->circle2 != 0 ? "second pin in, crank pin out" : "pin out", play, also, arms ? ", arms up to the pin" : "",
         forward[0] != '\0' ? " " : "", forward, cut ? " Spindle clamp on; the " : "", cut ? first_cut(b) : "", cut ? "." : "");
}

static const char *first_move(const struct build *b)
{
    if (cc_plan_is_direct(b->plan))
        return "plunger out, turn the spindle by hand ";
    return b->plan->circle2 != 0 ? "" : "pin out, crank ";
}

/* What goes into a hole at the end of a movement, and with a detent into which. */
static void pin_lands(char *buf, size_t size, const struct cc_plan *plan, const struct cc_step *step)
{
    if (cc_plan_is_direct(plan))
        snprintf(buf, size, ", plunger in; push the spindle back against it");
    else if (plan->detent > 1)
        snprintf(buf, size, ", pin in: hole %" PRIu64 ", the detent at %" PRIu64, step->hole / plan->detent, step->hole % plan->detent);
    else
        snprintf(buf, size, "%s", plan->circle2 == 0 ? ", pin in" : "");
}

/* With an offset: the movement that comes after the zero and before all others. */
static void first_position(const struct build *b, bool arms)
{
    const struct job *job = b->job;
    struct cc_step step;
    char words[2 * WORDS];

    if (mpq_sgn(job->request.offset) == 0 || job_is_list(job))      /* a list has it in every row */
        return;
    cc_step_init(&step);
    cc_step_at(&step, &job->plan, &job->request, 0);
    movement_words(words, sizeof words, &job->plan, step.turns, step.holes, step.holes2);
    bool back = mpq_sgn(step.angle) < 0 && !cc_plan_is_direct(b->plan);
    char lands[WORDS];
    pin_lands(lands, sizeof lands, b->plan, &step);
    item(b, SETUP_ONCE,
         cc_plan_is_direct(b->plan) ? ACTS(ACT_CLAMP_OFF, ACT_PLUNGER_OUT, ACT_TURN_SPINDLE, ACT_PLUNGER_IN, ACT_SETTLE, ACT_CLAMP_ON, ACT_CUT)
         : b->plan->circle2 != 0 ? ACTS(ACT_PARTS, ACT_CLAMP_ON, ACT_CUT)
         : job_is_helix(job)
             ? (arms ? ACTS(ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_ARMS_ROUND, ACT_RAISE, ACT_CUT)
                     : ACTS(ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_RAISE, ACT_CUT))
         : arms ? ACTS(ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_ARMS_ROUND, ACT_CLAMP_ON, ACT_CUT)
                : ACTS(ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_CLAMP_ON, ACT_CUT),
         "From the zero hole to the first position: %s%s%s%s%s. %s; the %s.", first_move(b), words,
         back ? "; go back half a turn more than that and come forward to it" : "",
         lands,
         arms ? "; arms up to the pin" : "", job_is_helix(job) ? "Knee up to the depth, clamp off" : "Spindle clamp on", first_cut(b));
    cc_step_clear(&step);
}

/* ---- movements ---- */

/* What a block is, for the one who has always gone from each division to the next. */
static void by_blocks(const struct build *b)
{
    uint64_t block = b->plan->block;

    if (block > 1)
        item(b, SETUP_KNOW, NULL, "By blocks: each movement goes on by %" PRIu64 " divisions, not to the next. The work goes round "
             "%" PRIu64 " times and meets every division once; the steps name it.", block, block);
}

/* The clamp stays off; the table goes back first, with the cutter clear, and the pin moves last. */
static void each_of_helix(const struct build *b, bool arms_round, const char *movement)
{
    item(b, SETUP_EACH,
         arms_round ? ACTS(ACT_CLEAR, ACT_RETURN, ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_ARMS_ROUND, ACT_RAISE, ACT_CUT)
                    : ACTS(ACT_CLEAR, ACT_RETURN, ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_RAISE, ACT_CUT),
         "Each movement: cutter stopped, knee down until it is clear; table back past its start and forward to it; pin out, crank "
         "forward %s; knee up to the same reading, spindle running; cut from the start to the end. THE CLAMP STAYS OFF.", movement);
}

static void each_by_crank(const struct build *b, bool arms_round, const char *movement)
{
    if (job_is_helix(b->job)) {
        each_of_helix(b, arms_round, movement);
        return;
    }
    item(b, SETUP_EACH,
         arms_round ? ACTS(ACT_CLAMP_OFF, ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_ARMS_ROUND, ACT_CLAMP_ON, ACT_CUT)
                    : ACTS(ACT_CLAMP_OFF, ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_CLAMP_ON, ACT_CUT),
         "Each movement: clamp off; pin out, crank forward %s; clamp on; cut.", movement);
}

/* Movements of a list that go back are made from the same side as all others. */
static void backward_rows(const struct build *b)
{
    if (!goes_back(&b->job->request))
        return;
    if (cc_plan_is_direct(b->plan))
        item(b, SETUP_BACK, NULL, "A row with a minus goes back: turn back past the hole by one or two, then forward into it.");
    else
        item(b, SETUP_BACK, NULL, "A row with a minus goes back: turn back that much and %s beyond it, then forward to the hole, "
             "so that the backlash is up the same way each time. --sort does without.",
             b->plan->train.pairs > 0 ? "two turns" : "half a turn or more");
}

static void overshoot(const struct build *b)
{
    if (b->plan->train.pairs > 0)
        item(b, SETUP_KNOW, NULL, "Past the hole? Back two turns, for the gears have play of their own, and forward to it again; never "
             "step back to a hole.");
    else if (b->plan->circle2 != 0)
        item(b, SETUP_KNOW, NULL, "Past the hole? The same pin out, back half a turn or more and forward to the row's hole again; never "
             "step back to a hole.");
    else
        item(b, SETUP_KNOW, NULL, "Past the hole? Back half a turn or more and forward to it again; never step back to a hole.");
}

/* ---- direct ---- */

static void set_up_direct(const struct build *b)
{
    const struct job *job = b->job;
    const struct cc_plan *plan = b->plan;
    char words[2 * WORDS], circle[WORDS];
    int64_t turns, holes, holes2;
    char cut[WORDS] = "";
    if (cuts_at_zero(job))
        snprintf(cut, sizeof cut, " Push the spindle back against the plunger, clamp on; the %s.", first_cut(b));
    const enum act *once = cut[0] != '\0' ? ACTS(ACT_PLUNGER_IN, ACT_ZERO, ACT_SETTLE, ACT_CLAMP_ON, ACT_CUT)
                                          : ACTS(ACT_PLUNGER_IN, ACT_ZERO);
    const enum act *each = ACTS(ACT_CLAMP_OFF, ACT_PLUNGER_OUT, ACT_TURN_SPINDLE, ACT_PLUNGER_IN, ACT_SETTLE, ACT_CLAMP_ON, ACT_CUT);

    if (job->head.has_worm)
        item(b, SETUP_ONCE, ACTS(ACT_CLAMP_OFF, ACT_WORM_OUT),
             "Hold the work, for what is heavy on one side swings: spindle clamp off, worm out of mesh.");
    else
        item(b, SETUP_ONCE, ACTS(ACT_CLAMP_OFF), "Hold the work, for what is heavy on one side swings: spindle clamp off.");
    direct_circle_words(circle, sizeof circle, &b->job->head, plan);
    if (plan->circle2 != 0)
        item(b, SETUP_ONCE, once,
             "Direct plate, %s with %u pins. Pin 0 into a hole: mark that hole 0.%s", circle, plan->circle2 / plan->circle, cut);
    else
        item(b, SETUP_ONCE, once,
             "Direct plate, %s. Plunger into a hole: mark that hole 0.%s", circle, cut);
    first_position(b, false);
    by_blocks(b);
    if (cc_plan_movement(&turns, &holes, &holes2, plan)) {
        movement_words(words, sizeof words, plan, turns, holes, holes2);
        item(b, SETUP_EACH, each, "Each movement: clamp off, plunger out, turn the spindle by hand %s, always the same "
             "way, plunger in. Count from the hole you leave as 0. Push the spindle gently back against the plunger, the way it "
             "came; clamp on, and see that it did not shift; cut.", words);
    } else {
        item(b, SETUP_EACH, each, "Movements differ: each row says the hole%s. Clamp off, plunger out, turn by hand "
             "always the same way, plunger in; push the spindle gently back against the plunger, the way it came; clamp on, and "
             "see that it did not shift; cut.", plan->circle2 != 0 ? " and the pin" : "");
        backward_rows(b);
    }
    if (!goes_back(&job->request))      /* else the row with a minus has said so */
        item(b, SETUP_KNOW, NULL, "Past the hole? Turn back past it by one or two, then forward into it.");
    item(b, SETUP_KNOW, NULL, "Only plunger and clamp hold the work this way: light cuts, and no climb milling.");
}

/* ---- one circle, with or without gears ---- */

/* The list of one position: the sector arms can be set for it. */
static void set_up_one(const struct build *b)
{
    struct cc_step step;
    char words[2 * WORDS];

    cc_step_init(&step);
    cc_step_at(&step, b->plan, &b->job->request, 1);
    holes_words(words, sizeof words, step.turns, step.holes, b->plan->circle);
    set_arms(b, step.holes, "");
    zero(b, arms_for(step.holes, b->plan->circle) != ARMS_NONE, "");
    snprintf(words + strlen(words), sizeof words - strlen(words), ", pin in");
    each_by_crank(b, false, words);
    cc_step_clear(&step);
}

/* How the pin comes to its hole: "9 holes of 41 to the far arm, pin in; arms round to the pin". */
static void crank_to_arm(char *buf, size_t size, enum arms arms, const char *holes, const char *odd)
{
    if (arms == ARMS_NONE)
        snprintf(buf, size, "%s, pin in%s", holes, odd);
    else
        snprintf(buf, size, "%s to the %s arm, pin in%s; arms round to the pin", holes,
                 arms == ARMS_AHEAD ? "far" : "rear", odd);
}

static void set_up_divisions(const struct build *b)
{
    const struct cc_plan *plan = b->plan;
    bool rounded = is_rounded(plan);
    bool differs = rounded && plan->larger > 0 && plan->larger < plan->steps, larger = cc_plan_usual_is_larger(plan);
    const char *odd = !differs ? "" : larger ? " (a hole less where the row says -1)" : " (a hole further where the row says +1)";
    char words[2 * WORDS], move[4 * WORDS];
    int64_t turns, holes, holes2;

    if (rounded)
        cc_plan_rounded_movement(&turns, &holes, &holes2, plan, larger);
    else
        (void)cc_plan_movement(&turns, &holes, &holes2, plan);
    enum arms arms = arms_for(holes, plan->circle);
    holes_words(words, sizeof words, turns, holes, plan->circle);
    set_arms(b, holes, !differs ? "" : larger ? " Rows marked -1 stop one hole short." : " Rows marked +1 go one hole further.");
    zero(b, arms != ARMS_NONE, "");
    first_position(b, arms != ARMS_NONE);
    by_blocks(b);
    crank_to_arm(move, sizeof move, arms, words, odd);
    each_by_crank(b, arms != ARMS_NONE, move);
}

/* Every row has its own hole and its own part of the detent. */
static void set_up_detent(const struct build *b)
{
    item(b, SETUP_KNOW, NULL, "The pin's detent shifts it by 1/%u of a hole space. Each row says turns and holes, from the hole that the pin "
         "leaves as 0, and the number to set the detent to: the crank goes with it, forward.", b->plan->detent);
    zero(b, false, ", the detent at 0");
    first_position(b, false);
    by_blocks(b);
    each_by_crank(b, false, "as the row says, pin in, the detent to its number from below");
    backward_rows(b);
}

static void set_up_single(const struct build *b)
{
    engage_worm(b);
    mount_plate(b);
    if (b->plan->train.pairs > 0) {
        put_gears_on(b);
        try_gears(b);
    }
    if (job_is_helix(b->job))
        gear_to_table(b);
    if (b->plan->detent > 1) {
        set_up_detent(b);
    } else if (!job_is_list(b->job)) {
        set_up_divisions(b);
    } else if (b->job->request.position_count == 1 && !goes_back(&b->job->request)) {
        set_up_one(b);
    } else {
        item(b, SETUP_KNOW, NULL, "Movements differ: each row says turns and holes. Set the sector arms anew for each, or "
             "count from the pin's own hole as 0.");
        zero(b, false, "");
        each_by_crank(b, false, "as the row says, pin in");
        backward_rows(b);
    }
    overshoot(b);
    if (b->plan->train.pairs > 0)
        item(b, SETUP_KNOW, NULL, "The plate moves under the pin while you crank: count holes from the arm, not from a mark on "
             "the head. The head stays level: geared like this it can be neither tilted nor geared for a lead.");
}

/* ---- compound ---- */

static void parts_of_compound(const struct build *b, bool arms)
{
    item(b, SETUP_CRANK_PART,
         arms ? ACTS(ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN, ACT_ARMS_ROUND) : ACTS(ACT_PIN_OUT, ACT_TURN_CRANK, ACT_PIN_IN),
         "Crank part: second pin in, crank pin out; turn%s, pin in%s.", arms ? " to the far arm" : "",
         arms ? ", arms round to it" : "");
    item(b, SETUP_PLATE_PART, ACTS(ACT_SECOND_PIN_OUT, ACT_TURN_PLATE, ACT_SECOND_PIN_IN),
         "Plate part: crank pin in, second pin out; turn crank and plate together, second pin in; count at the second pin, from "
         "the hole it leaves. Never both pins out at once: the place would be lost.");
}

/* Of a rounded circle or arc: movement of row to row is one of two numbers of units, so there are two movements and no more. */
static void two_movements(const struct build *b, const enum act *each)
{
    char a[3 * WORDS], other[3 * WORDS];
    int64_t turns, holes, holes2;

    cc_plan_rounded_movement(&turns, &holes, &holes2, b->plan, false);
    movement_words(a, sizeof a, b->plan, turns, holes, holes2);
    cc_plan_rounded_movement(&turns, &holes, &holes2, b->plan, true);
    movement_words(other, sizeof other, b->plan, turns, holes, holes2);
    item(b, SETUP_EACH, each, "Each movement is A or B, as the row says: clamp off; A: %s; B: %s; clamp on; cut.", a, other);
}

static void set_up_compound(const struct build *b)
{
    const struct cc_plan *plan = b->plan;
    const enum act *each = ACTS(ACT_CLAMP_OFF, ACT_PARTS, ACT_CLAMP_ON, ACT_CUT);
    char words[3 * WORDS];
    int64_t turns, holes, holes2;

    engage_worm(b);
    mount_plate(b);
    second_pin(b);
    int64_t spaces;
    bool same = cc_plan_movement(&turns, &holes, &holes2, plan), behind, arms = setup_arms(&spaces, &behind, b->job);
    if (arms)
        set_arms(b, spaces, same ? "" : " The other movement's holes are counted from the pin's own.");
    parts_of_compound(b, arms);
    zero(b, arms, ", mark the second pin's hole too");
    first_position(b, arms);
    by_blocks(b);
    if (same) {
        movement_words(words, sizeof words, plan, turns, holes, holes2);
        item(b, SETUP_EACH, each, "Each movement: clamp off; %s; clamp on; cut.", words);
    } else if (!job_is_list(b->job)) {
        two_movements(b, each);
    } else {
        item(b, SETUP_EACH, each, "Movements differ: each row gives the crank's part and the plate's part, in the order "
             "written. Spindle clamp off, move, clamp on, cut.");
        backward_rows(b);
    }
    if (!b->job->view.no_steps)
        item(b, SETUP_KNOW, NULL, "Hole a|b in the steps: crank pin a holes of %u on from its marked hole, plate carried b holes of "
             "%u past the second pin.", plan->circle, plan->circle2);
    if (!plan->forward)
        item(b, SETUP_KNOW, NULL, "A part that goes back is made first, so that the last motion is always forward.");
    overshoot(b);
}

/* ---- by the dial ---- */

/* What its lines are, and how a part between them is read. */
static void how_to_read(const struct build *b)
{
    const struct cc_plan *plan = b->plan;
    char space[WORDS], step[WORDS], vernier[2 * WORDS] = "", eye[2 * WORDS] = "";
    unsigned by_eye = cc_plan_by_eye(plan);
    mpq_t angle;

    mpq_init(angle);
    dial_space(angle, plan);
    plain_angle_words(space, sizeof space, angle);
    mpq_set_ui(angle, 1, 1);
    mpz_set_ui(mpq_denref(angle), plan->dial.vernier);
    mpq_div(angle, angle, plan->ratio);
    mpz_mul_ui(mpq_denref(angle), mpq_denref(angle), plan->dial.lines);
    mpq_canonicalize(angle);
    plain_angle_words(step, sizeof step, angle);
    mpq_clear(angle);
    if (plan->dial.vernier > 1)
        snprintf(vernier, sizeof vernier, " Vernier: v in the steps is the number of its line that stands in line with one of the dial's, "
                 "counted from its zero; each is %s more.", step);
    if (by_eye > 1 && plan->dial.vernier > 1)
        snprintf(eye, sizeof eye, " A part such as 1/%u behind it is by eye, so much of the way to the vernier's next line.", by_eye);
    else if (by_eye > 1)
        snprintf(eye, sizeof eye, " A part such as 1/%u is by eye, so much of the way from that line to the next higher one; on: on the line itself.", by_eye);
    item(b, SETUP_KNOW, NULL, "Dial: %u lines, each %s of the spindle; the steps name the line at the index%s.%s%s", plan->dial.lines,
         space, by_eye > 1 || plan->dial.vernier > 1 ? ", or the next lower one" : "", vernier, eye);
}

static const char *forward_by_dial(const struct build *b)
{
    enum cc_way forward = job_forward(b->job, b->plan), rises = b->job->head.dial.rises;

    if (b->job->view.grow == CC_WAY_UNKNOWN && rises == CC_WAY_UNKNOWN)
        return "Forward is the way in which the dial's numbers rise; keep to it.";
    if (b->job->view.grow == CC_WAY_UNKNOWN)
        return rises == CC_CLOCKWISE ? "Forward is clockwise, and the dial's numbers rise; keep to it."
                                     : "Forward is COUNTER-CLOCKWISE, and the dial's numbers rise; keep to it.";
    if (forward == CC_CLOCKWISE)
        return forward == rises ? "Forward is clockwise, for this work has a hand."
                                : "Forward is clockwise, for this work has a hand, and the dial's numbers FALL.";
    return forward == rises ? "Forward is COUNTER-CLOCKWISE, for this work has a hand."
                            : "Forward is COUNTER-CLOCKWISE, for this work has a hand, and the dial's numbers FALL.";
}

const char *setup_forward_by_dial(const struct job *job)
{
    const struct build build = { .job = job, .plan = &job->plan };

    return forward_by_dial(&build);
}

static void zero_of_dial(const struct build *b)
{
    const struct cc_head *head = &b->job->head;
    bool cut = cuts_at_zero(b->job), rim = head->rim.lines > 0;
    const enum act *acts = cut ? ACTS(ACT_TAKE_UP, ACT_ZERO, ACT_CLAMP_ON, ACT_CUT)
                               : ACTS(ACT_TAKE_UP, ACT_ZERO);
    const char *set = head->dial.fixed && rim ? "turn the crank forward until the dial comes up to its 0 where the rim is nearest to 0. "
                                                "If the rim stands a little off, note by how much: all its readings will"
                      : head->dial.fixed      ? "turn the crank forward until the backlash is up, and on until the dial comes up to its 0"
                      : rim                   ? "turn the crank forward until the rim comes up to 0. Hold the crank, set the dial to 0 on its "
                                                "shaft, tighten it: dial and rim stand at 0 together"
                                              : "turn the crank forward until the backlash is up and the spindle moves. Hold the crank, set "
                                                "the dial to 0 on its shaft, tighten it, and mark the spindle";

    item(b, SETUP_ONCE, acts, "Zero: %s. %s%s%s%s", set, forward_by_dial(b), cut ? " Spindle clamp on; the " : "",
         cut ? first_cut(b) : "", cut ? "." : "");
}

static void first_reading(const struct build *b)
{
    const struct job *job = b->job;
    struct cc_dial_reading reading;
    struct cc_step step;
    char move[2 * WORDS], dial[WORDS], rim[WORDS];

    if (mpq_sgn(job->request.offset) == 0 || job_is_list(job))
        return;
    cc_step_init(&step);
    cc_dial_reading_init(&reading);
    cc_step_at(&step, b->plan, &job->request, 0);
    cc_dial_read(&reading, &step, b->plan, &job->head, job_forward(job, b->plan));
    movement_words(move, sizeof move, b->plan, step.turns, step.holes, 0);
    dial_words(dial, sizeof dial, b->plan, &reading);
    rim_words(rim, sizeof rim, &job->head.rim, &reading);
    item(b, SETUP_ONCE, ACTS(ACT_TO_READING, ACT_CLAMP_ON, ACT_CUT),
         "From the zero to the first position: crank %s%s, up to %s on the dial%s%s. Spindle clamp on; the %s.", move,
         mpq_sgn(step.angle) < 0 ? "; go back half a turn more than that and come forward to it" : "", dial,
         job->head.rim.lines > 0 ? "; the rim shows " : "", job->head.rim.lines > 0 ? rim : "", first_cut(b));
    cc_dial_reading_clear(&reading);
    cc_step_clear(&step);
}

static void set_up_dial(const struct build *b)
{
    bool rim = b->job->head.rim.lines > 0;

    engage_worm(b);
    if (b->job->head.plate_count > 0)
        item(b, SETUP_ONCE, ACTS(ACT_PIN_OUT), "Crank pin out of the plate, and kept out: the dial says where the crank stands.");
    how_to_read(b);
    zero_of_dial(b);
    first_reading(b);
    by_blocks(b);
    item(b, SETUP_EACH, ACTS(ACT_CLAMP_OFF, ACT_TO_READING, ACT_CLAMP_ON, ACT_CUT),
         "Each movement: spindle clamp off; crank forward the row's whole turns, until the dial reads what it read before; then on, up to "
         "the row's reading.%s Spindle clamp on; cut.", rim ? " The rim shows what the row says, or a turn is lost." : "");
    if (goes_back(&b->job->request))
        item(b, SETUP_BACK, NULL, "A row with a minus goes back: that many whole turns back, on back past the reading by half a turn or more, "
             "then forward up to it. --sort does without.");
    item(b, SETUP_KNOW, NULL, "Past the reading? Go back half a turn or more and come forward up to it again. Never turn back to a "
         "reading: the backlash would shift the work.");
}

/* ---- what all share ---- */

/* The same by the dial, whose forward is the way of its numbers where nothing is asked. */
static void hand_by_dial(const struct build *b)
{
    enum cc_way grow = job_grow(b->job, b->plan);

    if (grow != CC_WAY_UNKNOWN)
        item(b, SETUP_KNOW, NULL, "This work has a hand: going forward, the positions follow each other %s on the work, seen at the "
             "spindle nose.", grow == CC_CLOCKWISE ? "clockwise" : "counter-clockwise");
    else
        item(b, SETUP_KNOW, NULL, "This work has a hand, and the profile does not say which way %s: try one movement first and see which "
             "way the positions follow each other.", b->job->head.dial.rises == CC_WAY_UNKNOWN ? "the dial's numbers rise" : "the spindle turns");
}

/* The way in which angles grow, for anything that would be wrong if it were mirrored. */
static void hand_of_work(const struct build *b)
{
    const struct job *job = b->job;

    if (!job_has_hand(job))
        return;
    if (job->view.grow != CC_WAY_UNKNOWN) {
        bool clockwise = job_forward(job, b->plan) == CC_CLOCKWISE;
        item(b, SETUP_KNOW, NULL, "This work has a hand: positions follow each other %s on the work, seen at the spindle nose. For "
             "that, forward is the %s turned %s%s.",
             job->view.grow == CC_CLOCKWISE ? "clockwise" : "counter-clockwise",
             cc_plan_is_direct(b->plan) ? "spindle" : "crank", clockwise ? "clockwise" : "counter-clockwise",
             cc_plan_is_dial(b->plan) ? "" : ", and holes are counted that way");
        return;
    }
    if (cc_plan_is_dial(b->plan)) {
        hand_by_dial(b);
        return;
    }
    if (cc_plan_is_direct(b->plan)) {
        item(b, SETUP_KNOW, NULL, "This work has a hand: seen at the spindle nose, turning the spindle clockwise makes the "
             "positions follow each other counter-clockwise on the work.");
    } else if (job->head.spindle == CC_SPINDLE_UNKNOWN) {
        item(b, SETUP_KNOW, NULL, "This work has a hand, and the profile does not say which way the spindle turns: try one "
             "movement first and see which way the positions follow each other.");
    } else {
        bool with = job->head.spindle == CC_SPINDLE_WITH;
        item(b, SETUP_KNOW, NULL, "This work has a hand: with the crank turned clockwise the spindle turns %s, seen at its "
             "nose, so the positions follow each other %s on the work.",
             with ? "clockwise" : "counter-clockwise", with ? "counter-clockwise" : "clockwise");
    }
}

bool setup_ends_where_it_began(const struct job *job)
{
    struct cc_step first, last;

    cc_step_init(&first);
    cc_step_init(&last);
    cc_step_at(&first, &job->plan, &job->request, 0);
    cc_step_at(&last, &job->plan, &job->request, job->plan.steps);
    bool same = first.hole == last.hole && first.hole2 == last.hole2;
    cc_step_clear(&last);
    cc_step_clear(&first);
    return same;
}

const char *setup_back_to_zero(const struct cc_plan *plan)
{
    if (cc_plan_is_direct(plan))
        return "back to the hole marked 0";
    if (plan->circle2 != 0)
        return "back half a turn or more past the zero, and forward until both marked holes are at their pins";
    return plan->train.pairs > 0 ? "back two turns past the zero, and forward to it"
                                 : "back half a turn or more past the zero, and forward to it";
}

static void trial_round(const struct build *b)
{
    char mark[WORDS];

    snprintf(mark, sizeof mark, "%sin blue or pencil, or on a scrap ring where the surface is finished",
             job_is_helix(b->job) ? "with the table at its start, " : "");
    if (b->plan->has_closing)
        item(b, SETUP_KNOW, NULL, "Trial round, before you cut: mark every position lightly, %s. The last movement must fall on the "
             "first mark%s.", mark, setup_ends_where_it_began(b->job) ? "" : cc_plan_is_dial(b->plan) ? "; it ends at "
             "another reading than the first: set the dial to zero anew there" : "; it ends in another hole than the first: begin "
             "anew there, and number the holes from it as from the first");
    else if (b->job->request.position_count != 1)
        item(b, SETUP_KNOW, NULL, "Trial run, before you cut: mark every position lightly, %s, and check one gap with another. Then %s.", mark, setup_back_to_zero(b->plan));
}

void setup_make(struct setup *setup, const struct job *job)
{
    struct build build = { .setup = setup, .job = job, .plan = &job->plan };

    memset(setup, 0, sizeof *setup);
    fetch(&build);
    if (cc_plan_is_direct(&job->plan))
        set_up_direct(&build);
    else if (cc_plan_is_dial(&job->plan))
        set_up_dial(&build);
    else if (cc_plan_is_compound(&job->plan))
        set_up_compound(&build);
    else
        set_up_single(&build);
    hand_of_work(&build);
    trial_round(&build);
}

void setup_clear(struct setup *setup)
{
    for (size_t i = 0; i < setup->n; i++)
        free(setup->at[i].words);
    free(setup->at);
    memset(setup, 0, sizeof *setup);
}
