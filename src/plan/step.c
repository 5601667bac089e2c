/*
 * step.c: from a plan to its rows, in constant memory.
 *
 * The spindle stands at whole units (plan.h). A row's movement is the difference of two such
 * numbers, split into what the hand does.
 */
#include <stdlib.h>

#include "crankcard/number.h"
#include "plan/search.h"

void cci_splitter_init(struct cci_splitter *splitter, const struct cc_plan *plan)
{
    if (cc_plan_is_compound(plan))
        cci_splitter_of_pair(splitter, plan->circle, plan->circle2);
    else
        *splitter = (struct cci_splitter){ .single = true };
}

void cci_splitter_of_pair(struct cci_splitter *splitter, unsigned circle, unsigned circle2)
{
    uint64_t g = cci_gcd(circle, circle2), c1 = circle / g, c2 = circle2 / g;

    *splitter = (struct cci_splitter){ false, c1, c2, cci_inverse(c1 % c2, c2) };
}

struct cci_split cci_split_with(const struct cci_splitter *splitter, int64_t units)
{
    struct cci_split split = { units, 0 };

    if (splitter->single)
        return split;
    if (units < 0) {
        split = cci_split_with(splitter, -units);
        return (struct cci_split){ -split.pin, -split.plate };
    }
    /*
     * a / C1 + b / C2 = units / L, that is a c2 + b c1 = units with c1 = C1/g, c2 = C2/g coprime: b is
     * known modulo c2. The least b >= 0 leaves a >= 0 if any choice does; else one part goes back, and
     * the cheaper of the two neighbouring choices is taken. c1, c2 <= 10^4.
     */
    uint64_t c1 = splitter->c1, c2 = splitter->c2;
    uint64_t b = (uint64_t)units % c2 * splitter->inverse % c2;
    int64_t plate_units = (int64_t)(b * c1);
    if (plate_units > units) {
        int64_t pin_back = plate_units - units, plate_back = (int64_t)(c1 * c2) - plate_units;
        if (plate_back <= pin_back) {
            split.plate = (int64_t)b - (int64_t)c2;
            split.pin = (units + plate_back) / (int64_t)c2;
        } else {
            split.plate = (int64_t)b;
            split.pin = -(pin_back / (int64_t)c2);
        }
        return split;
    }
    split.plate = (int64_t)b;
    split.pin = (units - plate_units) / (int64_t)c2;
    return split;
}

struct cci_split cci_split_units(const struct cc_plan *plan, int64_t units)
{
    struct cci_splitter splitter;

    cci_splitter_init(&splitter, plan);
    return cci_split_with(&splitter, units);
}

uint64_t cci_split_travel(const struct cc_plan *plan, struct cci_split split)
{
    uint64_t pin = (uint64_t)llabs(split.pin), plate = (uint64_t)llabs(split.plate);

    if (plate == 0 && plan->unit == plan->circle)
        return pin;
    uint64_t per_hole2 = plan->circle2 > 0 ? plan->unit / plan->circle2 : 0;
    return pin * (plan->unit / plan->circle) + plate * per_hole2;
}

static void split_movement(int64_t *turns, int64_t *holes, int64_t *holes2,
                           const struct cc_plan *plan, int64_t units)
{
    struct cci_split split = cci_split_units(plan, units);
    int64_t circle = plan->circle;

    *turns = split.pin / circle;
    *holes = split.pin % circle;
    *holes2 = split.plate;
}

/* Pins of a vernier fixture: units to one hole of the direct plate. 1 elsewhere. */
static unsigned vernier_pins(const struct cc_plan *plan)
{
    return cc_plan_is_direct(plan) ? (unsigned)(plan->unit / plan->circle) : 1;
}

bool cc_plan_movement(int64_t *turns, int64_t *holes, int64_t *holes2, const struct cc_plan *plan)
{
    unsigned pins = vernier_pins(plan);

    if (!plan->constant || (uint64_t)plan->move % pins != 0)
        return false;
    split_movement(turns, holes, holes2, plan, plan->move / (int64_t)pins);
    return true;
}

void cc_plan_rounded_movement(int64_t *turns, int64_t *holes, int64_t *holes2,
                              const struct cc_plan *plan, bool larger)
{
    int64_t units = plan->move + (larger ? 1 : 0), pins = (int64_t)vernier_pins(plan);

    split_movement(turns, holes, holes2, plan, units / pins);
    if (pins > 1)
        *holes2 = units % pins;
}

bool cc_plan_usual_is_larger(const struct cc_plan *plan)
{
    return !plan->constant && plan->larger > plan->steps - plan->larger;
}

int cc_step_odd(const struct cc_step *step, const struct cc_plan *plan)
{
    return plan->constant || step->step == 0 ? 0 : (int)step->larger - (int)cc_plan_usual_is_larger(plan);
}

void cc_step_init(struct cc_step *step)
{
    mpq_init(step->crank);
    mpq_init(step->angle);
    mpq_init(step->nominal);
    mpq_init(step->error);
}

void cc_step_clear(struct cc_step *step)
{
    mpq_clear(step->error);
    mpq_clear(step->nominal);
    mpq_clear(step->angle);
    mpq_clear(step->crank);
}

void cc_cursor_init(struct cc_cursor *cursor, const struct cc_plan *plan,
                    const struct cc_request *request)
{
    cursor->plan = plan;
    cursor->request = request;
    cursor->next = 0;
    mpz_init(cursor->at);
    mpz_init(cursor->pin);
    mpz_init(cursor->plate);
    mpq_init(cursor->scale);
    cci_scale(cursor->scale, plan->unit, plan->ratio);
}

void cc_cursor_clear(struct cc_cursor *cursor)
{
    mpq_clear(cursor->scale);
    mpz_clear(cursor->plate);
    mpz_clear(cursor->pin);
    mpz_clear(cursor->at);
}

void cci_units_of_constant(mpz_t units, const struct cc_plan *plan, uint64_t i)
{
    mpz_t moves;

    mpz_init(moves);
    cc_set_u64(moves, i);
    cc_set_i64(units, plan->move);
    mpz_mul(moves, moves, units);
    cc_set_i64(units, plan->start);
    mpz_add(units, units, moves);
    mpz_clear(moves);
}

/* Units at which row i stands. */
static void units_of_row(mpz_t units, const struct cc_cursor *cursor, uint64_t i)
{
    const struct cc_plan *plan = cursor->plan;

    if (plan->constant) {
        cci_units_of_constant(units, plan, i);
        return;
    }
    mpq_t wanted;
    mpq_init(wanted);
    cc_request_nominal(wanted, cursor->request, plan->block, i);
    mpq_mul(wanted, wanted, cursor->scale);
    cc_rational_round(units, wanted);
    mpq_clear(wanted);
}

/* sum += count * holes, sum those of pin or plate in all; NULL: once. */
static void add_holes(mpz_t sum, int64_t holes, mpz_srcptr count)
{
    mpz_t part;

    mpz_init(part);
    cc_set_i64(part, holes);
    if (count != NULL)
        mpz_addmul(sum, part, count);
    else
        mpz_add(sum, sum, part);
    mpz_clear(part);
}

/* So many movements of so many units. */
static void add_movements(struct cc_cursor *cursor, int64_t units, mpz_srcptr count)
{
    struct cci_split split = cci_split_units(cursor->plan, units);

    add_holes(cursor->pin, split.pin, count);
    add_holes(cursor->plate, split.plate, count);
}

void cc_cursor_seek(struct cc_cursor *cursor, uint64_t i)
{
    const struct cc_plan *plan = cursor->plan;

    cursor->next = 0;
    mpz_set_ui(cursor->at, 0);
    mpz_set_ui(cursor->pin, 0);
    mpz_set_ui(cursor->plate, 0);
    if (i == 0)
        return;
    if (cursor->request->position_count > 0) {
        mpz_t units;
        mpz_init(units);
        for (uint64_t row = 0; row < i; row++) {
            units_of_row(units, cursor, row);
            mpz_sub(cursor->at, units, cursor->at);
            add_movements(cursor, cc_get_i64(cursor->at), NULL);
            mpz_swap(cursor->at, units);
        }
        mpz_clear(units);
        cursor->next = i;
        return;
    }
    /* Rows 1 ... i - 1 made i - 1 movements, of which `larger` were one unit more than move. */
    mpz_t count, larger;
    mpz_init(count);
    mpz_init(larger);
    add_movements(cursor, plan->start, NULL);
    units_of_row(cursor->at, cursor, i - 1);
    cc_set_u64(count, i - 1);
    cc_set_i64(larger, plan->move);
    mpz_mul(larger, larger, count);
    mpz_sub(larger, cursor->at, larger);
    mpz_t start;
    mpz_init(start);
    cc_set_i64(start, plan->start);
    mpz_sub(larger, larger, start);
    mpz_clear(start);
    mpz_sub(count, count, larger);
    add_movements(cursor, plan->move, count);
    if (mpz_sgn(larger) != 0)
        add_movements(cursor, plan->move + 1, larger);
    mpz_clear(larger);
    mpz_clear(count);
    cursor->next = i;
}

/* Holes and pins of a vernier fixture, between two places on its fine circle. */
static void vernier_step(struct cc_step *step, const struct cc_plan *plan, const mpz_t before,
                         const mpz_t after, unsigned pins)
{
    mpz_t hole_before, hole_after;
    unsigned long pin_before, pin_after;

    mpz_init(hole_before);
    mpz_init(hole_after);
    pin_before = mpz_fdiv_q_ui(hole_before, before, pins);
    pin_after = mpz_fdiv_q_ui(hole_after, after, pins);
    mpz_sub(hole_before, hole_after, hole_before);
    int64_t holes = cc_get_i64(hole_before);
    step->turns = holes / (int64_t)plan->circle;
    step->holes = holes % (int64_t)plan->circle;
    step->holes2 = (int64_t)pin_after - (int64_t)pin_before;
    step->hole = mpz_fdiv_ui(hole_after, plan->circle);
    step->hole2 = pin_after;
    mpz_clear(hole_after);
    mpz_clear(hole_before);
}

static uint64_t division_of(const struct cc_cursor *cursor, uint64_t i)
{
    if (cursor->request->position_count > 0 || !cursor->plan->has_closing)
        return i;
    uint64_t n = cursor->plan->steps;
    return cci_wide_mul_mod(i, cursor->plan->block, n);
}

bool cc_cursor_next(struct cc_cursor *cursor, struct cc_step *step)
{
    const struct cc_plan *plan = cursor->plan;
    uint64_t i = cursor->next;
    unsigned pins = vernier_pins(plan);
    mpz_t units, moved;

    if (i > plan->steps)
        return false;
    mpz_init(units);
    mpz_init(moved);
    units_of_row(units, cursor, i);
    mpz_sub(moved, units, cursor->at);
    int64_t d = cc_get_i64(moved);

    step->step = i;
    step->division = division_of(cursor, i);
    step->closing = plan->has_closing && i == plan->steps;
    step->larger = !plan->constant && cursor->request->position_count == 0 && i > 0 && d > plan->move;
    step->label = cursor->request->position_count > 0 && i > 0 ? cursor->request->label[i - 1] : NULL;
    if (pins > 1) {
        vernier_step(step, plan, cursor->at, units, pins);
    } else {
        split_movement(&step->turns, &step->holes, &step->holes2, plan, d);
        add_movements(cursor, d, NULL);
        step->hole = mpz_fdiv_ui(cursor->pin, plan->circle);
        step->hole2 = plan->circle2 > 0 ? mpz_fdiv_ui(cursor->plate, plan->circle2) : 0;
    }

    /* angle = units / (unit * ratio) */
    mpz_mul(mpq_numref(step->angle), units, mpq_denref(cursor->scale));
    mpz_set(mpq_denref(step->angle), mpq_numref(cursor->scale));
    mpq_canonicalize(step->angle);
    if (cc_plan_is_direct(plan)) {
        mpq_set_ui(step->crank, 0, 1);
    } else {
        mpz_set(mpq_numref(step->crank), units);
        cc_set_u64(mpq_denref(step->crank), plan->unit);
        mpq_canonicalize(step->crank);
    }
    cc_request_nominal(step->nominal, cursor->request, plan->block, i);
    mpq_sub(step->error, step->angle, step->nominal);

    mpz_swap(cursor->at, units);
    cursor->next++;
    mpz_clear(moved);
    mpz_clear(units);
    return true;
}

void cc_step_at(struct cc_step *step, const struct cc_plan *plan, const struct cc_request *request, uint64_t i)
{
    struct cc_cursor cursor;

    cc_cursor_init(&cursor, plan, request);
    cc_cursor_seek(&cursor, i);
    (void)cc_cursor_next(&cursor, step);
    cc_cursor_clear(&cursor);
}
