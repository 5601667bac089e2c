/*
 * test_hands.c: hands that do what a card's set-up and movement items say, in their order and nothing else, on a model
 * of a head. At the end every cut must be where the work wants it; and when an item is left out, or two are exchanged that
 * matter, something must go wrong: a lock, a broken gear, a cut out of place.
 *
 * The model is mechanics, not the planner's arithmetic: a worm that turns the spindle 1/R and has play, a plate that stands
 * still, is held by a second pin, or is turned by the spindle through gears that have play of their own; a pin that drops
 * where a hole is; a dial on the crank's shaft that can be turned on it; a plunger that holds the spindle with a little
 * play; a clamp. What the cuts should be comes from the
 * request: i/N of a turn, or the list. Play and the state of the head at the start are assumed and drawn at random.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/dial.h"
#include "cli/out/setup.h"
#include "support.h"

/* ---- the head ---- */

struct bench {
    const struct job *job;
    double worm, gears;             /* R; turns of the plate in one of the spindle, 0 without gears */
    double worm_play, gear_play, plunger_play;      /* turns of the spindle, of the plate, of the spindle */
    /* how things stand */
    bool low, away;                 /* knee lowered; table not at its start */
    bool clamp, plunger, meshed, plate_on, stop, second, geared, pin, reach, arms, tried, zeroed;
    double crank, plate, spindle;   /* turns, seen from the head */
    double dial_from;               /* crank where the dial stands at 0 */
    double arm_from;                /* where the near arm stands: crank less plate */
    double zero_spindle, zero_pin, zero_plate;
    double second_at, plunger_at;   /* plate and spindle where the pin was in */
    double pin_first, pin_last, plate_first, plate_last;    /* in the plate, and of it, at the first position and the last */
    /* what was made */
    double cut[2048];
    size_t cuts;
    char trouble[200];              /* the first thing that went wrong; "" for nothing */
};

#define NEAR 1e-7
#define MOST_ROWS 400       /* of a job that is done: more tell no more */

static void trouble(struct bench *b, const char *what)
{
    if (b->trouble[0] == '\0')
        snprintf(b->trouble, sizeof b->trouble, "%s", what);
}

static bool on_hole(double turns, unsigned circle)
{
    return fabs(turns * circle - nearbyint(turns * circle)) < NEAR * circle;
}

/* The gears drag the plate along when their play is used up, either way. */
static void drag_plate(struct bench *b)
{
    if (!b->geared || b->gears == 0)    /* geared to a table that stands, the plate stands too */
        return;
    double driven = b->gears * b->spindle;
    if (b->plate < driven - b->gear_play)
        b->plate = driven - b->gear_play;
    if (b->plate > driven)
        b->plate = driven;
}

/* Crank (in space) to a place; the worm pushes the spindle when its play is used up, either way. */
static void crank_to(struct bench *b, double crank)
{
    b->crank = crank;
    if (!b->meshed)
        return;
    double pushed = crank / b->worm;
    if (b->spindle < pushed - b->worm_play)
        b->spindle = pushed - b->worm_play;
    if (b->spindle > pushed)
        b->spindle = pushed;
    drag_plate(b);
}

/* Turn until the pin has passed turns of the plate: the plate may move meanwhile. */
static void crank_past(struct bench *b, double turns)
{
    struct bench trial;
    double goal = b->crank - b->plate + turns, low = 0, high = turns;

    if (b->gears != 0 && b->geared)
        high = 4 * turns * fabs(b->worm / (b->worm - b->gears)) + copysign(1, turns);
    for (int i = 0; i < 200 && fabs(high - low) > 1e-13; i++) {
        double middle = (low + high) / 2;
        trial = *b;
        crank_to(&trial, b->crank + middle);
        if ((trial.crank - trial.plate - goal) * (turns < 0 ? -1 : 1) < 0)
            low = middle;
        else
            high = middle;
    }
    crank_to(b, b->crank + high);
}

static void may_turn_crank(struct bench *b)
{
    if (b->clamp)
        trouble(b, "crank forced against the spindle's clamp");
    if (b->plunger)
        trouble(b, "crank forced against the direct plunger");
    if (!b->meshed)
        trouble(b, "crank turned with the worm out of mesh");
    if (!b->low && job_is_helix(b->job))
        trouble(b, "work turned with the cutter in it");
    if (b->geared && (b->stop || b->second))
        trouble(b, "plate geared and held at once: the crank locks");
}

static bool plate_held(const struct bench *b)
{
    return b->plate_on && (b->stop || b->second || b->geared);
}

/* ---- acts ---- */

struct row {                /* the movement of a row */
    double crank, plate;    /* turns of each part, signed; of the spindle for direct */
    double play_back;       /* how far past a hole the hand goes before it comes forward to it; 0: it does not */
    bool plate_first;
    double reading;         /* of the dial where the row ends, in turns of it as its numbers rise */
};

static void turn_crank(struct bench *b, const struct row *row)
{
    may_turn_crank(b);
    if (b->pin)
        trouble(b, "crank turned with its pin in the plate");
    if (!plate_held(b))
        trouble(b, "crank turned and nothing holds the plate");
    if (row->crank < 0) {
        crank_past(b, row->crank - row->play_back);
        crank_past(b, row->play_back);
    } else {
        crank_past(b, row->crank);
    }
}

/* By the dial: whole turns, and on to where it reads what the row says, from the side that the hand comes from. */
static void to_reading(struct bench *b, const struct row *row)
{
    const struct job *job = b->job;
    enum cc_way rises = job->head.dial.rises, forward = job_forward(job, &job->plan);
    bool falls = rises != CC_WAY_UNKNOWN && rises != forward;

    may_turn_crank(b);
    if (b->pin)
        trouble(b, "crank turned with its pin in the plate");
    crank_past(b, trunc(row->crank));
    double stands = falls ? b->dial_from - b->crank : b->crank - b->dial_from;
    double on = (falls ? -1 : 1) * (row->reading - stands);
    on -= floor(on + NEAR);     /* forward to the reading, less than a turn */
    if (row->crank < 0 && on > NEAR)
        on -= 1;
    if (row->crank >= 0) {
        crank_past(b, on);
        return;
    }
    crank_past(b, on - row->play_back);
    crank_past(b, row->play_back);
}

static void turn_plate(struct bench *b, const struct row *row)
{
    may_turn_crank(b);
    if (!b->pin)
        trouble(b, "plate turned with the crank's pin out");
    if (b->second || b->stop)
        trouble(b, "plate turned against what holds it");
    double crank = b->crank + row->plate;
    b->plate += row->plate;
    crank_to(b, crank);
}

static void pin_in(struct bench *b)
{
    unsigned circle = b->job->plan.circle;

    if (!b->plate_on || !b->reach)
        trouble(b, "no such hole under the pin");
    if (b->zeroed && !on_hole(b->crank - b->plate - b->zero_pin, circle))
        trouble(b, "the pin does not drop");
    b->pin = true;
}

/* Forward until the play is out, then to the next hole. */
static void take_up(struct bench *b)
{
    double turns = b->job->plan.train.pairs > 0 ? 2 : 1;

    may_turn_crank(b);
    if (b->pin)
        trouble(b, "crank turned with its pin in the plate");
    crank_past(b, turns);
}

static void try_gears(struct bench *b)
{
    double before = b->plate;

    may_turn_crank(b);
    if (b->pin)
        trouble(b, "crank turned with its pin in the plate");
    crank_to(b, b->crank + 6);
    if ((b->plate - before) * b->gears <= 0)
        trouble(b, "the plate does not go as the card says");
    b->tried = true;
}

static void plunger_in(struct bench *b, gmp_randstate_t rs)
{
    const struct cc_plan *plan = &b->job->plan;
    unsigned places = plan->circle2 != 0 ? plan->circle2 : plan->circle;

    if (b->zeroed && !on_hole(b->spindle - b->zero_spindle, places))
        trouble(b, "the plunger does not drop");
    b->plunger = true;
    b->plunger_at = b->spindle;
    b->spindle += b->plunger_play * (double)gmp_urandomm_ui(rs, 1000) / 1000;     /* somewhere in its play */
}

static void turn_spindle(struct bench *b, const struct row *row)
{
    if (b->clamp || b->plunger || b->meshed)
        trouble(b, "spindle forced by hand against clamp, plunger or worm");
    if (row->crank < 0 && row->play_back == 0)
        trouble(b, "turned back to a hole from the other side");
    b->spindle = b->plunger_at + row->crank;
}

static void return_table(struct bench *b)
{
    if (!b->low)
        trouble(b, "table returned with the cutter in the work");
    if (!b->pin)
        trouble(b, "table returned with the crank's pin out: the work stays behind");
    b->away = false;
}

static void cut(struct bench *b)
{
    bool helix = job_is_helix(b->job);

    if (!b->clamp && !helix)
        trouble(b, "cut with the spindle's clamp off");
    if (b->clamp && helix)
        trouble(b, "the table drives the spindle against its clamp");
    if (helix && (b->low || b->away || !b->geared || b->stop))
        trouble(b, "no helix: knee, table, gears or stop are not as they must be");
    b->away = helix;
    if (b->job->plan.side != 0 && !b->pin)
        trouble(b, "cut with the crank's pin out");
    if (b->cuts < sizeof b->cut / sizeof b->cut[0])
        b->cut[b->cuts++] = b->spindle - b->zero_spindle;
}

static void run_acts(struct bench *b, const struct setup *setup, const enum act *acts, const struct row *row, gmp_randstate_t rs);

static void run_kind(struct bench *b, const struct setup *setup, enum setup_kind kind, const struct row *row, gmp_randstate_t rs)
{
    bool known = false;

    for (size_t i = 0; i < setup->n; i++)
        if (setup->at[i].kind == kind) {
            run_acts(b, setup, setup->at[i].acts, row, rs);
            known = true;
        }
    if (!known)
        trouble(b, "the card does not say how this part is made");
}

/* The parts of a movement that has two, in the order written: what goes back comes first. */
static void run_parts(struct bench *b, const struct setup *setup, const struct row *row, gmp_randstate_t rs)
{
    for (int part = 0; part < 2; part++) {
        bool plate = (part == 0) == row->plate_first;
        if (plate && row->plate != 0)
            run_kind(b, setup, SETUP_PLATE_PART, row, rs);
        if (!plate && row->crank != 0)
            run_kind(b, setup, SETUP_CRANK_PART, row, rs);
    }
}

static void run_act(struct bench *b, const struct setup *setup, enum act act, const struct row *row, gmp_randstate_t rs)
{
    switch (act) {
    case ACT_END:
        break;
    case ACT_CLAMP_OFF:
        b->clamp = false;
        break;
    case ACT_CLAMP_ON:
        b->clamp = true;
        break;
    case ACT_PLUNGER_OUT:
        b->plunger = false;
        break;
    case ACT_PLUNGER_IN:
        plunger_in(b, rs);
        break;
    case ACT_WORM_OUT:
        b->meshed = false;
        break;
    case ACT_WORM_IN:
        if (!b->meshed)     /* it comes in somewhere in its play */
            b->crank = b->worm * (b->spindle + b->worm_play * (double)gmp_urandomm_ui(rs, 1000) / 1000);
        b->meshed = true;
        break;
    case ACT_PLATE:
        if (!b->plate_on)
            b->pin = false;     /* another plate does not go on with the pin in it */
        b->plate_on = true;
        break;
    case ACT_STOP_IN:
        b->stop = true;
        break;
    case ACT_STOP_OUT:
        b->stop = false;
        break;
    case ACT_SECOND_PIN_IN:
        if (b->zeroed && !on_hole(b->plate - b->zero_plate, b->job->plan.circle2))
            trouble(b, "the second pin does not drop");
        b->second = true;
        break;
    case ACT_SECOND_PIN_OUT:
        if (!b->pin)
            trouble(b, "both pins out at once");
        b->second = false;
        break;
    case ACT_REACH:
        b->reach = true;
        break;
    case ACT_ARMS:
        b->arms = true;
        break;
    case ACT_ARMS_ROUND:
        if (!b->arms)
            trouble(b, "arms that were never set");
        b->arm_from = b->crank - b->plate;
        break;
    case ACT_GEARS:
        b->geared = true;
        b->plate = b->gears * b->spindle - b->gear_play * (double)gmp_urandomm_ui(rs, 1000) / 1000;
        break;
    case ACT_TABLE_GEARED:
        b->geared = true;       /* meshing moves the plate a little */
        b->plate += 0.01 * (double)(1 + gmp_urandomm_ui(rs, 100)) / 100;
        break;
    case ACT_CLEAR:
        b->low = true;
        break;
    case ACT_RETURN:
        return_table(b);
        break;
    case ACT_RAISE:
        b->low = false;
        break;
    case ACT_TRY_GEARS:
        try_gears(b);
        break;
    case ACT_PIN_OUT:
        if (b->job->plan.circle2 != 0 && !b->second)
            trouble(b, "both pins out at once");
        b->pin = false;
        break;
    case ACT_PIN_IN:
        pin_in(b);
        break;
    case ACT_TAKE_UP:
        take_up(b);
        break;
    case ACT_ZERO:
        b->zeroed = true;
        b->zero_spindle = b->plunger ? b->plunger_at : b->spindle;
        b->zero_pin = b->crank - b->plate;
        b->zero_plate = b->plate;
        b->dial_from = b->crank;
        break;
    case ACT_TURN_CRANK:
        if (b->arms && row->play_back == 0 && fabs(b->crank - b->plate - b->arm_from) > NEAR)
            trouble(b, "counted from an arm that was not brought round");
        turn_crank(b, row);
        break;
    case ACT_TO_READING:
        to_reading(b, row);
        break;
    case ACT_TURN_PLATE:
        turn_plate(b, row);
        break;
    case ACT_TURN_SPINDLE:
        turn_spindle(b, row);
        break;
    case ACT_PARTS:
        run_parts(b, setup, row, rs);
        break;
    case ACT_SETTLE:
        if (b->plunger && !b->clamp)
            b->spindle = b->plunger_at;
        break;
    case ACT_CUT:
        cut(b);
        break;
    }
}

static void run_acts(struct bench *b, const struct setup *setup, const enum act *acts, const struct row *row, gmp_randstate_t rs)
{
    for (size_t i = 0; acts[i] != ACT_END && b->trouble[0] == '\0'; i++)
        run_act(b, setup, acts[i], row, rs);
}

/* ---- a whole job ---- */

/* A head as it may be found: nothing is as the card wants it, but for the plate that the profile says is on. */
static void find_bench(struct bench *b, const struct job *job, gmp_randstate_t rs)
{
    memset(b, 0, sizeof *b);
    b->job = job;
    b->worm = job->head.has_worm ? mpq_get_d(job->head.worm) : 1;
    b->gears = mpq_get_d(job->plan.plate_turns);
    b->worm_play = 0.04 / b->worm;
    b->gear_play = 0.03;
    b->plunger_play = 0.0004;
    b->clamp = true;
    b->plunger = !cc_plan_is_direct(&job->plan) && job->head.direct.n > 0;
    b->meshed = cc_plan_is_direct(&job->plan) && job->head.has_worm;
    b->pin = !cc_plan_is_dial(&job->plan) || job->head.plate_count > 0;
    b->dial_from = (double)gmp_urandomm_ui(rs, 1000) / 1000;
    b->away = true;
    b->stop = job_is_helix(job) || job->plan.train.pairs > 0 || job->plan.circle2 != 0;
    b->plate_on = job->plan.side != 0 && job->plan.is_mounted;
    b->spindle = (double)gmp_urandomm_ui(rs, 360) / 360;
    b->crank = b->worm * b->spindle + b->worm * b->worm_play * (double)gmp_urandomm_ui(rs, 1000) / 1000;
    if (job->plan.side != 0)
        b->plate = b->crank;        /* the pin is in some hole */
}

static void row_of(struct row *row, const struct job *job, const struct cc_step *step, bool told_back)
{
    const struct cc_plan *plan = &job->plan;

    memset(row, 0, sizeof *row);
    row->crank = (double)step->turns + (double)step->holes / plan->circle;
    if (plan->circle2 != 0 && plan->side == 0)
        row->crank += (double)step->holes2 / plan->circle2;
    else if (plan->circle2 != 0)
        row->plate = (double)step->holes2 / plan->circle2;
    if (cc_plan_is_dial(plan)) {
        struct cc_dial_reading reading;
        cc_dial_reading_init(&reading);
        cc_dial_read(&reading, step, plan, &job->head, job_forward(job, plan));
        row->reading = (double)reading.parts / (double)plan->unit;
        cc_dial_reading_clear(&reading);
    }
    row->plate_first = row->plate < 0 && row->crank > 0;
    if (told_back && row->crank < 0 && row->plate <= 0)
        row->play_back = plan->train.pairs > 0 ? 2 : 0.6;
}

/* Where the pins stand must be what the row says. */
static void see_holes(struct bench *b, const struct cc_step *step)
{
    const struct cc_plan *plan = &b->job->plan;

    if (plan->side == 0 || b->trouble[0] != '\0')
        return;
    double pin = (b->crank - b->plate - b->zero_pin) * plan->circle - (double)step->hole;
    double plate = plan->circle2 != 0 ? (b->plate - b->zero_plate) * plan->circle2 - (double)step->hole2 : 0;
    if (fabs(pin / plan->circle - nearbyint(pin / plan->circle)) > NEAR ||
        (plan->circle2 != 0 && fabs(plate / plan->circle2 - nearbyint(plate / plan->circle2)) > NEAR))
        trouble(b, "the pins do not stand where the row says");
}

/* Do all that the items say; every cut as the request wants it, else trouble. */
static void make_job(struct bench *b, const struct job *job, const struct setup *setup, gmp_randstate_t rs)
{
    bool told_back = false, list = job->request.position_count > 0;
    struct cc_cursor cursor;
    struct cc_step step;
    struct row row = { 0 };
    mpq_t wanted;

    find_bench(b, job, rs);
    cc_step_init(&step);
    mpq_init(wanted);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    for (size_t i = 0; i < setup->n; i++)
        told_back = told_back || setup->at[i].kind == SETUP_BACK;
    for (uint64_t i = 0; b->trouble[0] == '\0' && cc_cursor_next(&cursor, &step) && i < MOST_ROWS; i++) {
        row_of(&row, job, &step, told_back || i == 0);
        if (i == 0) {
            for (size_t k = 0; k < setup->n; k++)
                if (setup->at[k].kind == SETUP_ONCE)
                    run_acts(b, setup, setup->at[k].acts, &row, rs);
        } else {
            run_kind(b, setup, SETUP_EACH, &row, rs);
        }
        see_holes(b, &step);
        b->pin_last = b->crank - b->plate;
        b->plate_last = job->plan.circle2 != 0 ? b->plate : 0;     /* geared, it goes where it likes */
        if (i == 0) {
            b->pin_first = b->pin_last;
            b->plate_first = b->plate_last;
        }
        if (b->trouble[0] != '\0' || (i == 0 && list))
            continue;
        cc_request_nominal(wanted, &job->request, job->plan.block, i);
        if (b->cuts != i + (list ? 0 : 1))
            trouble(b, "not as many cuts as positions");
        else if (fabs(b->cut[b->cuts - 1] - mpq_get_d(wanted)) > mpq_get_d(job->plan.worst_error) + NEAR)
            trouble(b, "a cut is out of place");
    }
    if (!b->zeroed)
        trouble(b, "no zero was ever set");
    cc_cursor_clear(&cursor);
    mpq_clear(wanted);
    cc_step_clear(&step);
}

/* ---- the cards that are tried ---- */

struct sample {
    const char *name, *head, *divisions;
    enum cc_method method;
    unsigned circle;
    const char *arc, *offset;
    const char *list[6];
    const char *lead;
};

#define SMALL "data/heads/small-tilting.ini"
#define GEARED "data/heads/small-tilting-geared.ini"
#define DETENT "tests/cases/detent.ini"
#define DIAL "data/heads/dial-table-90.ini"
#define DIAL_FALLS "data/heads/dial-table-72.ini"
#define DIAL_PLATES "data/heads/dividing-head-dial.ini"

static const struct sample samples[] = {
    { "plain", SMALL, "7", CC_PLAIN, 0, NULL, NULL, { NULL }, NULL },
    { "plain, whole turns", SMALL, "20", CC_PLAIN, 0, NULL, NULL, { NULL }, NULL },
    { "plain, one turn less one hole", SMALL, "41", CC_PLAIN, 0, NULL, NULL, { NULL }, NULL },
    { "plain, arms behind", SMALL, "46", CC_NEAREST_HOLE, 47, NULL, NULL, { NULL }, NULL },
    { "plain, one hole", "data/heads/rotary-table-90.ini", "1800", CC_PLAIN, 20, NULL, NULL, { NULL }, NULL },
    { "nearest hole", SMALL, "97", CC_NEAREST_HOLE, 0, NULL, NULL, { NULL }, NULL },
    { "arc", SMALL, "30", CC_PLAIN, 0, "1/4", NULL, { NULL }, NULL },
    { "offset", SMALL, "9", CC_PLAIN, 0, NULL, "1/20", { NULL }, NULL },
    { "offset back", SMALL, "9", CC_PLAIN, 0, NULL, "-1/20", { NULL }, NULL },
    { "direct", SMALL, "8", CC_DIRECT, 0, NULL, NULL, { NULL }, NULL },
    { "direct, offset", SMALL, "8", CC_DIRECT, 0, NULL, "1/24", { NULL }, NULL },
    { "pins of a fixture", "data/heads/spin-fixture-36.ini", "40", CC_DIRECT, 0, NULL, NULL, { NULL }, NULL },
    { "compound", SMALL, "57", CC_COMPOUND, 0, NULL, NULL, { NULL }, NULL },
    { "compound, a part back", SMALL, "69", CC_COMPOUND, 0, NULL, NULL, { NULL }, NULL },
    { "nearly exact", SMALL, "127", CC_NEARLY_EXACT, 0, NULL, NULL, { NULL }, NULL },
    { "nearest compound", SMALL, "127", CC_NEAREST_COMPOUND, 0, NULL, NULL, { NULL }, NULL },
    { "differential, against", GEARED, "127", CC_DIFFERENTIAL, 0, NULL, NULL, { NULL }, NULL },
    { "differential, with", GEARED, "99", CC_DIFFERENTIAL, 0, NULL, NULL, { NULL }, NULL },
    { "differential by blocks", GEARED, "383", CC_DIFFERENTIAL, 0, NULL, NULL, { NULL }, NULL },
    { "helix", SMALL, "7", CC_PLAIN, 0, NULL, NULL, { NULL }, "600" },
    { "helix, offset", SMALL, "9", CC_PLAIN, 0, NULL, "1/20", { NULL }, "600" },
    { "helix, nearest hole", SMALL, "97", CC_NEAREST_HOLE, 0, NULL, NULL, { NULL }, "600" },
    { "helix, list", SMALL, NULL, CC_NEAREST_HOLE, 0, NULL, NULL, { "1/12", "1/7", "1/3", NULL }, "600" },
    { "one angle", SMALL, NULL, CC_PLAIN, 0, NULL, NULL, { "5/48", NULL }, NULL },
    { "list", SMALL, NULL, CC_NEAREST_HOLE, 0, NULL, NULL, { "1/12", "1/7", "1/3", "3/4", NULL }, NULL },
    { "list that goes back", SMALL, NULL, CC_NEAREST_HOLE, 0, NULL, NULL, { "1/3", "1/12", "3/4", "1/7", NULL }, NULL },
    { "dial", DIAL, "7", CC_DIAL, 0, NULL, NULL, { NULL }, NULL },
    { "dial, whole turns", DIAL, "9", CC_DIAL, 0, NULL, NULL, { NULL }, NULL },
    { "dial, numbers counter-clockwise", DIAL_FALLS, "13", CC_DIAL, 0, NULL, NULL, { NULL }, NULL },
    { "dial beside plates, offset", DIAL_PLATES, "11", CC_DIAL, 0, NULL, "1/20", { NULL }, NULL },
    { "dial, offset back", DIAL, "127", CC_DIAL, 0, NULL, "-1/20", { NULL }, NULL },
    { "dial, arc", DIAL, "30", CC_DIAL, 0, "1/4", NULL, { NULL }, NULL },
    { "dial, list that goes back", DIAL, NULL, CC_DIAL, 0, NULL, NULL, { "1/3", "1/12", "3/4", "1/7", NULL }, NULL },
    { "detent", DETENT, "125", CC_PLAIN, 20, NULL, NULL, { NULL }, NULL },
    { "detent, nearest, offset", DETENT, "11", CC_NEAREST_HOLE, 49, NULL, "1/20", { NULL }, NULL },
    { "detent, list that goes back", DETENT, NULL, CC_NEAREST_HOLE, 49, NULL, NULL, { "1/3", "1/12", "3/4", "1/7", NULL }, NULL },
    { "list on the direct plate", SMALL, NULL, CC_DIRECT, 0, NULL, NULL, { "1/3", "1/12", "3/4", NULL }, NULL },
};

static void begin_job(struct job *job, const struct sample *sample)
{
    mpq_t at;

    job_init(job, sample->divisions != NULL ? "divide" : "angles");
    cc_head_clear(&job->head);
    test_head_load(&job->head, sample->head);
    job->request.methods = 1U << sample->method;
    job->request.circle = sample->circle;
    if (sample->divisions != NULL)
        mpz_set_str(job->request.divisions, sample->divisions, 10);
    if (sample->arc != NULL)
        mpq_set_str(job->request.arc, sample->arc, 10);
    if (sample->offset != NULL)
        mpq_set_str(job->request.offset, sample->offset, 10);
    if (sample->lead != NULL)
        mpq_set_str(job->lead, sample->lead, 10);
    for (size_t i = 0; sample->list[i] != NULL; i++) {
        test_mpq_init(at, sample->list[i]);
        assert_int_equal(cc_request_add(&job->request, at, NULL, NULL), CC_OK);
        mpq_clear(at);
    }
    assert_int_equal(cc_planner_new(&job->planner, &job->head, NULL), CC_OK);
    if (cc_planner_best(&job->plan, NULL, job->planner, &job->request, NULL) != CC_OK)
        fail_msg("%s: no plan", sample->name);
}

/* A card that is looked at: its sample, the job, the items, and how many changes were tried in all. */
struct look {
    const struct sample *sample;
    struct job job;
    struct setup setup;
    gmp_randstate_t rs;
    unsigned tried, told;       /* told: of a trial round that ends in another hole */
};

/* Look at every card; how many changes were tried, and how many of them told (may be NULL). */
static unsigned every_card(void (*at)(struct look *look), unsigned *told)
{
    struct look look = { .tried = 0 };

    test_random_init(look.rs);
    for (size_t i = 0; i < sizeof samples / sizeof samples[0]; i++) {
        look.sample = &samples[i];
        begin_job(&look.job, look.sample);
        setup_make(&look.setup, &look.job);
        at(&look);
        setup_clear(&look.setup);
        job_clear(&look.job);
    }
    gmp_randclear(look.rs);
    if (told != NULL)
        *told = look.told;
    return look.tried;
}

static void serves(struct look *look)
{
    struct bench bench;

    for (unsigned long k = 0; k < test_rounds(8); k++) {
        make_job(&bench, &look->job, &look->setup, look->rs);
        if (bench.trouble[0] != '\0')
            fail_msg("%s, seed %lu: %s", look->sample->name, test_seed(), bench.trouble);
    }
}

static void each_card_serves(void **state)
{
    (void)state;
    every_card(serves, NULL);
}

/*
 * The trial that the card asks for is a whole round. Where its pins come to stand in other holes than at the first
 * position, the card must say so, or the cuts that follow are looked for in a hole that is no longer theirs.
 */
static void trial_ends(struct look *look)
{
    const struct cc_plan *plan = &look->job.plan;
    const char *words = look->setup.at[look->setup.n - 1].words;
    struct bench bench;

    make_job(&bench, &look->job, &look->setup, look->rs);
    bool says = strstr(words, "another hole") != NULL;
    bool other = !on_hole(bench.pin_last - bench.pin_first, 1) || !on_hole(bench.plate_last - bench.plate_first, 1);
    if (!plan->has_closing || plan->side == 0 || plan->steps >= MOST_ROWS)
        return;
    if (strncmp(words, "Trial round", 11) != 0 || says != other)
        fail_msg("%s: the round ends %.4f turns on, the card says: %s", look->sample->name, bench.pin_last - bench.pin_first, words);
    look->tried++;
    look->told += other;
}

static void trial_ends_in_another_hole_where_told(void **state)
{
    (void)state;
    unsigned told, rounds = every_card(trial_ends, &told);

    if (told == 0 || told == rounds)
        fail_msg("of %u rounds %u end in another hole: the samples do not tell", rounds, told);
}

/* Whether hands that follow these items come to grief on one head or another. */
static bool goes_wrong(struct look *look, const struct setup *setup)
{
    struct bench bench;

    for (int k = 0; k < 6; k++) {
        make_job(&bench, &look->job, setup, look->rs);
        if (bench.trouble[0] != '\0')
            return true;
    }
    return false;
}

/* An item that can be missing without harm on a head that happens to be set so, or because it only tries what is done. */
static bool may_be_missing(const struct setup_item *item)
{
    return item->acts[0] == ACT_END || (item->acts[0] == ACT_PIN_OUT && item->acts[1] == ACT_TRY_GEARS);
}

static void without_each_item(struct look *look)
{
    const struct setup *setup = &look->setup;

    for (size_t k = 0; k < setup->n; k++) {
        struct setup without = *setup;
        struct setup_item item[64];
        assert_true(setup->n <= 64);
        memcpy(item, setup->at, setup->n * sizeof item[0]);
        memmove(&item[k], &item[k + 1], (setup->n - k - 1) * sizeof item[0]);
        without.at = item;
        without.n = setup->n - 1;
        if (!may_be_missing(&setup->at[k]) && !goes_wrong(look, &without))
            fail_msg("%s: nothing goes wrong without \"%s\"", look->sample->name, setup->at[k].words);
    }
}

static void no_item_is_idle(void **state)
{
    (void)state;
    every_card(without_each_item, NULL);
}

/* Acts of which the first must come before the second; from how a dividing head works (common practice). */
static const enum act before[][2] = {
    { ACT_CLAMP_OFF, ACT_TAKE_UP },     { ACT_PLUNGER_OUT, ACT_TAKE_UP }, { ACT_WORM_IN, ACT_TAKE_UP },
    { ACT_CLAMP_OFF, ACT_TRY_GEARS },   { ACT_WORM_IN, ACT_TRY_GEARS },   { ACT_STOP_OUT, ACT_TRY_GEARS },
    { ACT_GEARS, ACT_TRY_GEARS },       { ACT_GEARS, ACT_TAKE_UP },       { ACT_PLATE, ACT_PIN_IN },
    { ACT_REACH, ACT_PIN_IN },          { ACT_SECOND_PIN_IN, ACT_TAKE_UP }, { ACT_ARMS, ACT_ARMS_ROUND },
    { ACT_ZERO, ACT_CUT },              { ACT_TABLE_GEARED, ACT_ZERO },
};

static bool has_act(const struct setup_item *item, enum act act)
{
    for (size_t i = 0; item->acts[i] != ACT_END; i++)
        if (item->acts[i] == act)
            return true;
    return false;
}

static bool order_matters(const struct setup_item *first, const struct setup_item *second)
{
    for (size_t i = 0; i < sizeof before / sizeof before[0]; i++)
        if (has_act(first, before[i][0]) && has_act(second, before[i][1]))
            return true;
    return false;
}

static void exchanged_items(struct look *look)
{
    struct setup_item *at = look->setup.at;

    for (size_t a = 0; a < look->setup.n; a++)
        for (size_t z = a + 1; z < look->setup.n; z++) {
            if (at[a].kind != SETUP_ONCE || at[z].kind != SETUP_ONCE || !order_matters(&at[a], &at[z]))
                continue;
            struct setup_item keep = at[a];
            at[a] = at[z];
            at[z] = keep;
            look->tried++;
            if (!goes_wrong(look, &look->setup))
                fail_msg("%s: \"%s\" may as well come after \"%s\"", look->sample->name, at[z].words, at[a].words);
            at[z] = at[a];
            at[a] = keep;
        }
}

static void order_of_items_matters(void **state)
{
    (void)state;
    assert_true(every_card(exchanged_items, NULL) > 60);
}

/* Within a movement: no act can be left out, and none exchanged with the next but for the arms and the clamp. */
/* Acts that may follow one another either way. */
static bool either_way(enum act first, enum act second)
{
    return first == ACT_ARMS_ROUND || second == ACT_ARMS_ROUND || (first == ACT_CLAMP_OFF && second != ACT_PARTS) ||
           (first == ACT_PIN_IN && (second == ACT_CLAMP_ON || second == ACT_RAISE));
}

static void changed_movements(struct look *look)
{
    for (size_t k = 0; k < look->setup.n; k++) {
        struct setup_item *item = &look->setup.at[k], keep = *item;
        if (item->kind == SETUP_ONCE || item->kind == SETUP_KNOW)
            continue;
        for (size_t a = 0; keep.acts[a] != ACT_END; a++) {
            memmove(&item->acts[a], &item->acts[a + 1], (SETUP_ACTS - a) * sizeof item->acts[0]);
            look->tried++;
            if (!goes_wrong(look, &look->setup) && !(keep.acts[a] == ACT_CLAMP_OFF && look->job.request.position_count == 1))
                fail_msg("%s: act %zu of \"%s\" can be left out", look->sample->name, a, item->words);
            *item = keep;
            if (keep.acts[a + 1] == ACT_END || either_way(keep.acts[a], keep.acts[a + 1]))
                continue;
            item->acts[a] = keep.acts[a + 1];
            item->acts[a + 1] = keep.acts[a];
            look->tried++;
            if (!goes_wrong(look, &look->setup))
                fail_msg("%s: acts %zu and %zu of \"%s\" can be exchanged", look->sample->name, a, a + 1, item->words);
            *item = keep;
        }
    }
}

static void order_within_a_movement(void **state)
{
    (void)state;
    assert_true(every_card(changed_movements, NULL) > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_card_serves),
        cmocka_unit_test(trial_ends_in_another_hole_where_told),
        cmocka_unit_test(no_item_is_idle),
        cmocka_unit_test(order_of_items_matters),
        cmocka_unit_test(order_within_a_movement),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
