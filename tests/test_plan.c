/*
 * test_plan.c: the planner against a search done the long way (naive.h), and every plan against the
 * sum of its own movements, worked out here with plain rationals.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "naive_first.h"
#include "support.h"

static const char *const shipped[] = {
    "small-tilting", "small-tilting-geared", "universal-two-sided", "rotary-table-60",
    "rotary-table-72", "rotary-table-90", "five-to-one", "spin-fixture-36", "slow-crank-4000",
    "dial-table-90", "dial-table-72", "dividing-head-dial",
};

#define SHIPPED (sizeof shipped / sizeof shipped[0])

static unsigned long below(gmp_randstate_t rs, unsigned long n)
{
    return gmp_urandomm_ui(rs, n);
}

/* ---- one plan, row by row ---- */

/* What the rows of a plan come to. */
struct audit {
    struct bench *bench;
    const struct cc_plan *plan;
    mpq_t ratio;            /* crank turns in one turn of the spindle, from the setting alone */
    mpq_t *error;           /* of each division (divisions), or of each row (arc, list) */
    unsigned long rows;
    mpz_t pin, plate;       /* holes in all */
    mpq_t travel, worst;
    bool forward;
    unsigned long long whole_turns;
    unsigned long larger, odd;      /* rows whose movement is the larger one; that are not as the arms stand */
};

static void bad_plan(const struct audit *a, const char *what, unsigned long row)
{
    const struct cc_plan *p = a->plan;

    describe(a->bench);
    fail_msg("%s\n%s side %u circle %u %u block %lu train %u: %u/%u %u/%u idlers %u move %ld start %ld, "
             "row %lu: %s", a->bench->what, cc_method_name(p->method), p->side, p->circle, p->circle2,
             (unsigned long)p->block, p->train.pairs, p->train.driver[0], p->train.driven[0],
             p->train.driver[1], p->train.driven[1], p->train.idlers, (long)p->move, (long)p->start,
             row, what);
}

static bool has_circle(const struct cc_counts *counts, unsigned circle)
{
    for (size_t i = 0; i < counts->n; i++)
        if (counts->at[i] == circle)
            return true;
    return false;
}

static bool is_direct(const struct cc_plan *p)
{
    return p->side == 0 && p->method != CC_DIAL;
}

/* Pins of the direct plate's circle of so many holes. */
static unsigned pins_of(const struct cc_head *head, unsigned holes)
{
    size_t i = 0;

    while (i + 1 < head->direct.n && head->direct.at[i] != holes)
        i++;
    return naive_pins(head, i);
}

static void check_direct_setting(const struct audit *a)
{
    const struct cc_plan *p = a->plan;
    const struct cc_head *head = &a->bench->head;
    unsigned fine = p->circle * pins_of(head, p->circle);

    if (!has_circle(&head->direct, p->circle) || p->plate != head->plate_count ||
        p->unit != fine || p->circle2 != (fine != p->circle ? fine : 0))
        bad_plan(a, "not a setting of the direct plate", 0);
}

static void check_worm_setting(const struct audit *a)
{
    const struct cc_plan *p = a->plan;
    const struct cc_head *head = &a->bench->head;

    if (p->plate >= head->plate_count || p->side > CC_MAX_SIDES ||
        !has_circle(&head->plates[p->plate].side[p->side - 1], cc_plan_holes(p)))
        bad_plan(a, "the crank pin's circle is not there", 0);
    if (p->detent != 1 && (p->detent != head->plates[p->plate].detent || (p->method != CC_PLAIN && p->method != CC_NEAREST_HOLE)))
        bad_plan(a, "no such detent", 0);
    if (!naive_reaches(&head->crank_pin_circles, cc_plan_holes(p)) ||
        (p->circle2 != 0 && !naive_reaches(&head->plate_pin_circles, p->circle2)))
        bad_plan(a, "a pin does not reach its circle", 0);
    if (p->circle2 == 0) {
        if (p->unit != p->circle)
            bad_plan(a, "unit is not the circle", 0);
        return;
    }
    unsigned back = head->plate_pin == CC_PIN_SAME ? p->side : 3 - p->side;
    if (head->plate_pin == CC_PIN_NONE ||
        !has_circle(&head->plates[p->plate].side[back - 1], p->circle2) ||
        p->unit != p->circle / naive_gcd(p->circle, p->circle2) * p->circle2)
        bad_plan(a, "the second pin's circle is not there", 0);
}

/* Gears are in the set, the idlers among those left, and all of them can stand so. */
static void check_gears(const struct audit *a)
{
    const struct cc_head *head = &a->bench->head;
    const struct cc_train *t = &a->plan->train;
    struct naive_used used = { { 0 }, 0 };

    for (unsigned i = 0; i < 2 * t->pairs; i++) {
        unsigned teeth = i % 2 == 0 ? t->driver[i / 2] : t->driven[i / 2];
        size_t g = 0;
        while (g < head->gears.n && (head->gears.at[g] != teeth || naive_is_used(&used, g)))
            g++;
        if (g == head->gears.n)
            bad_plan(a, "a gear is not in the set", 0);
        used.at[used.n++] = g;
    }
    bool stands = false;
    if (t->pairs == 1)
        stands = naive_simple_stands(head, &used, t->driver[0], t->driven[0], t->idlers);
    else if (t->pairs == 2)
        stands = naive_compound_stands(head, &used, (const unsigned[]){ t->driver[0], t->driven[0], t->driver[1],
                                                                        t->driven[1] }, t->idlers, t->idlers_back);
    if (!stands || t->idlers > (t->pairs == 1 ? 2U : 1U) || (t->pairs == 1 && t->idlers == 0))
        bad_plan(a, "the train does not go together", 0);
}

/* R - e, e signed by the rules for idlers; R; or 1. */
static void ratio_of_setting(struct audit *a)
{
    const struct cc_plan *p = a->plan;
    const struct cc_head *head = &a->bench->head;
    mpq_t e;

    if (p->method == CC_DIAL) {
        struct naive_setting dial = naive_dial(head, &a->bench->request);
        if (dial.unit == 0 || p->unit != dial.unit || p->circle != dial.unit || p->circle2 != 0 || p->side != 0)
            bad_plan(a, "not a setting of the dial", 0);
        mpq_set(a->ratio, head->worm);
        return;
    }
    if (p->side == 0) {
        check_direct_setting(a);
        mpq_set_ui(a->ratio, 1, 1);
        return;
    }
    check_worm_setting(a);
    mpq_set(a->ratio, head->worm);
    if (p->method != CC_DIFFERENTIAL) {
        if (p->train.pairs != 0 || mpq_sgn(p->plate_turns) != 0)
            bad_plan(a, "gears without differential indexing", 0);
        return;
    }
    check_gears(a);
    mpq_init(e);
    mpq_set_ui(e, 1, 1);
    for (unsigned i = 0; i < p->train.pairs; i++) {
        mpz_mul_ui(mpq_numref(e), mpq_numref(e), p->train.driver[i]);
        mpz_mul_ui(mpq_denref(e), mpq_denref(e), p->train.driven[i]);
    }
    mpq_canonicalize(e);
    bool with_crank = p->train.idlers == (p->train.pairs == 1 ? 1 : 0);
    if (with_crank == head->reversed)
        mpq_neg(e, e);
    if (!mpq_equal(e, p->plate_turns))
        bad_plan(a, "e is not what the train gives", 0);
    mpq_sub(a->ratio, a->ratio, e);
    mpq_clear(e);
    if (mpq_sgn(a->ratio) <= 0)
        bad_plan(a, "R - e is not positive", 0);
}

/* The crank turns (or turns of the direct plate) of one row's movement. */
static void movement_of_row(mpq_t turns, const struct audit *a, const struct cc_step *step)
{
    mpq_t part;

    mpq_init(part);
    mpq_set_si(turns, (long)step->turns, 1);
    mpq_set_si(part, (long)step->holes, a->plan->circle);
    mpq_canonicalize(part);
    mpq_add(turns, turns, part);
    if (a->plan->circle2 > 0) {
        mpq_set_si(part, (long)step->holes2, a->plan->circle2);
        mpq_canonicalize(part);
        mpq_add(turns, turns, part);
    } else if (step->holes2 != 0) {
        bad_plan(a, "holes2 without a second circle", (unsigned long)step->step);
    }
    mpq_clear(part);
}

static void add_size(mpq_t sum, long count, unsigned long of)
{
    mpq_t part;

    if (count == 0)
        return;
    mpq_init(part);
    mpq_set_ui(part, (unsigned long)labs(count), of);
    mpq_canonicalize(part);
    mpq_add(sum, sum, part);
    mpq_clear(part);
}

/* Count holes on, and check where the pins are said to stand. */
static void follow_pins(struct audit *a, const struct cc_step *step)
{
    const struct cc_plan *p = a->plan;
    long holes = (long)step->turns * (long)p->circle + (long)step->holes, plate = (long)step->holes2;
    bool counted = step->step > 0 || a->bench->request.position_count > 0;
    mpz_t more;

    mpz_init_set_si(more, holes);
    mpz_add(a->pin, a->pin, more);
    mpz_set_si(more, plate);
    mpz_add(a->plate, a->plate, more);
    mpz_clear(more);
    if (mpz_fdiv_ui(a->pin, p->circle) != step->hole)
        bad_plan(a, "hole is not the sum of holes", (unsigned long)step->step);
    if (p->circle2 == 0 ? step->hole2 != 0 : mpz_fdiv_ui(a->plate, p->circle2) != step->hole2)
        bad_plan(a, "hole2 is not the sum of holes2", (unsigned long)step->step);
    if ((step->turns < 0 && step->holes > 0) || (step->turns > 0 && step->holes < 0) ||
        labs((long)step->holes) >= (long)p->circle)
        bad_plan(a, "turns and holes are not of one sign, or a turn is left in holes",
                 (unsigned long)step->step);
    if (!counted || is_direct(p))
        return;
    add_size(a->travel, holes, p->circle);
    if (p->circle2 > 0)
        add_size(a->travel, plate, p->circle2);
    if (holes < 0 || plate < 0)
        a->forward = false;
}

/* Whole turns of a row's movement, crank and plate together. */
static void count_turns(struct audit *a, const struct cc_step *step, const mpq_t moved)
{
    mpz_t whole;

    if (step->step == 0)
        return;
    mpz_init(whole);
    mpz_tdiv_q(whole, mpq_numref(moved), mpq_denref(moved));
    a->whole_turns += (unsigned long long)llabs(mpz_get_si(whole));
    mpz_clear(whole);
}

/* The movement that the plan promises is the one the row makes. */
static void check_promised_movement(const struct audit *a, const struct cc_step *step)
{
    const struct cc_plan *p = a->plan;
    int64_t turns = 0, holes = 0, holes2 = 0;

    if (a->bench->request.position_count > 0 || step->step == 0 ||
        (p->side == 0 && p->circle2 > 0))
        return;
    if (p->constant) {
        if (!cc_plan_movement(&turns, &holes, &holes2, p) || step->larger)
            bad_plan(a, "a constant movement is not given", (unsigned long)step->step);
    } else {
        if (cc_plan_movement(&turns, &holes, &holes2, p))
            bad_plan(a, "a movement that differs is given as constant", (unsigned long)step->step);
        cc_plan_rounded_movement(&turns, &holes, &holes2, p, step->larger);
    }
    if (turns != step->turns || holes != step->holes || holes2 != step->holes2)
        bad_plan(a, "the row's movement is not the plan's", (unsigned long)step->step);
}

/*
 * Of all ways to share a movement between the two pins, one that sends neither against it, and else the one
 * with the least travel. Every count of plate holes up to one turn of the plate either way is tried.
 */
static void check_split(const struct audit *a, const struct cc_step *step)
{
    const struct cc_plan *p = a->plan;
    long c1 = (long)p->circle, c2 = (long)p->circle2;
    long pin = (long)step->turns * c1 + (long)step->holes, plate = (long)step->holes2;
    /* in units of 1/(C1 C2) of a turn a hole of C1 is C2, and the other way round */
    long moved = pin * c2 + plate * c1, travel = labs(pin) * c2 + labs(plate) * c1, least = travel;

    for (long other = -c2; other <= c2; other++) {
        long rest = moved - other * c1;
        if (rest % c2 == 0 && labs(rest) + labs(other) * c1 < least)
            least = labs(rest) + labs(other) * c1;
    }
    if (travel != least)
        bad_plan(a, "the pins could travel less", (unsigned long)step->step);
}

static void check_numbers(struct audit *a, const struct cc_step *step, mpq_t crank)
{
    const struct cc_plan *p = a->plan;
    const struct cc_request *r = &a->bench->request;
    unsigned long i = (unsigned long)step->step;
    mpq_t want;

    mpq_init(want);
    mpq_div(want, crank, a->ratio);
    if (!mpq_equal(want, step->angle))
        bad_plan(a, "angle is not the sum of movements", i);
    if (is_direct(p) ? mpq_sgn(step->crank) != 0 : !mpq_equal(step->crank, crank))
        bad_plan(a, "crank is not the sum of movements", i);
    naive_nominal(want, r, naive_is_circle(r) ? (unsigned long)p->block : 1, i);
    if (!mpq_equal(want, step->nominal))
        bad_plan(a, "nominal", i);
    mpq_sub(want, step->angle, want);
    if (!mpq_equal(want, step->error))
        bad_plan(a, "error is not angle - nominal", i);
    mpq_abs(want, want);
    if (mpq_cmp(want, a->worst) > 0)
        mpq_set(a->worst, want);
    mpq_clear(want);
}

static void walk_rows(struct audit *a)
{
    const struct cc_request *r = &a->bench->request;
    bool circle = naive_is_circle(r);
    struct cc_cursor cursor;
    struct cc_step step;
    mpq_t crank, moved;

    cc_cursor_init(&cursor, a->plan, r);
    cc_step_init(&step);
    mpq_init(crank);
    mpq_init(moved);
    for (unsigned long i = 0; i <= a->rows; i++) {
        if (!cc_cursor_next(&cursor, &step))
            bad_plan(a, "the row is missing", i);
        movement_of_row(moved, a, &step);
        mpq_add(crank, crank, moved);
        follow_pins(a, &step);
        count_turns(a, &step, moved);
        a->larger += step.larger ? 1 : 0;
        a->odd += cc_step_odd(&step, a->plan) != 0 ? 1 : 0;
        check_promised_movement(a, &step);
        if (a->plan->side > 0 && a->plan->circle2 > 0 && i <= 2)
            check_split(a, &step);
        check_numbers(a, &step, crank);
        unsigned long division = circle ? (unsigned long)(i * a->plan->block % a->rows) : i;
        if (step.step != i || step.division != division || step.closing != (circle && i == a->rows))
            bad_plan(a, "step, division or closing", i);
        if (circle && i == a->rows) {
            if (!mpq_equal(step.error, a->plan->closing_error))
                bad_plan(a, "closing error", i);
        } else {
            mpq_set(a->error[division], step.error);
        }
    }
    if (cc_cursor_next(&cursor, &step))
        bad_plan(a, "a row too many", a->rows + 1);
    if (r->position_count == 0 && (a->plan->larger != a->larger || 2 * a->odd > a->rows))
        bad_plan(a, "the arms stand at the rarer movement", a->rows);
    mpq_clear(moved);
    mpq_clear(crank);
    cc_step_clear(&step);
    cc_cursor_clear(&cursor);
}

/* Neighbours: their errors differ by the pitch error, and they stay in order, apart. */
static void check_neighbours(struct audit *a)
{
    const struct cc_request *r = &a->bench->request;
    bool circle = naive_is_circle(r), list = r->position_count > 0;
    unsigned long spaces = circle && a->rows == 1 ? 0 : a->rows;
    mpq_t pitch, worst, space;

    mpq_init(pitch);
    mpq_init(worst);
    mpq_init(space);
    for (unsigned long i = 0; i < spaces; i++) {
        unsigned long next = circle ? (i + 1) % a->rows : i + 1;
        mpq_sub(pitch, a->error[next], a->error[i]);
        mpz_set(mpq_numref(space), mpq_numref(r->arc));
        mpz_mul(mpq_denref(space), mpq_denref(r->arc), list ? mpq_denref(r->arc) : r->divisions);
        mpq_canonicalize(space);
        mpq_add(space, space, pitch);
        if (!list && mpq_sgn(space) <= 0)
            bad_plan(a, "two neighbours are not kept apart", i);
        mpq_abs(pitch, pitch);
        if (mpq_cmp(pitch, worst) > 0)
            mpq_set(worst, pitch);
    }
    /* One division of a circle has no neighbour: its worst is 0. */
    if (!mpq_equal(worst, a->plan->worst_pitch)) {
        char text[300];
        gmp_snprintf(text, sizeof text, "worst pitch is %Qd, said to be %Qd", worst, a->plan->worst_pitch);
        bad_plan(a, text, a->rows);
    }
    mpq_clear(space);
    mpq_clear(worst);
    mpq_clear(pitch);
}

/* What the head is taken to hold by a plan, or through the worm: as stated, else 2', 5' by the direct plate; by the dial as through the worm. */
static void held_by(mpq_t holds, const struct cc_head *head, const struct cc_plan *plan)
{
    bool direct = is_direct(plan);

    if (plan != NULL && plan->method == CC_DIAL && head->has_dial_accuracy)
        mpq_set(holds, head->dial_accuracy);
    else if (direct ? head->has_direct_accuracy : head->has_worm_accuracy)
        mpq_set(holds, direct ? head->direct_accuracy : head->worm_accuracy);
    else
        mpq_set_ui(holds, 1, direct ? 4320 : 10800);
}

/* Time and effort from what the rows did. */
static void check_effort(const struct audit *a)
{
    const struct cc_plan *p = a->plan;
    const struct cc_head *head = &a->bench->head;
    unsigned long long time, effort;
    struct naive_work work = {
        .direct = is_direct(p), .pins = is_direct(p) && pins_of(head, p->circle) > 1,
        .dial = p->method == CC_DIAL, .parts = p->method == CC_DIAL && p->unit > head->dial.lines, .second_pin = p->side > 0 && p->circle2 > 0,
        .varies = p->method == CC_NEAREST_HOLE || p->method == CC_NEAREST_COMPOUND,
        .list = a->bench->request.position_count > 0 || p->detent > 1, .back = !a->forward, .blocks = p->block > 1,
        .mounted = p->plate == head->mounted_plate && p->side == head->mounted_side,
        .pairs = p->train.pairs, .idlers = p->train.idlers, .movements = a->rows, .whole_turns = a->whole_turns,
    };

    effort = naive_effort(&time, &work, head);
    if (p->time != 10 * time || p->effort != 10 * effort)
        bad_plan(a, "time or effort", a->rows);
}

static void check_figures(const struct audit *a)
{
    const struct cc_plan *p = a->plan;
    const struct bench *b = a->bench;
    const struct cc_request *r = &b->request;
    mpq_t tolerance, holds;

    if (!mpq_equal(a->worst, p->worst_error))
        bad_plan(a, "worst error", a->rows);
    if (p->exact != (mpq_sgn(a->worst) == 0))
        bad_plan(a, "exact", a->rows);
    if (!mpq_equal(a->travel, p->travel))
        bad_plan(a, "travel", a->rows);
    if (r->position_count == 0 && a->forward != p->forward)
        bad_plan(a, "forward", a->rows);
    if (p->has_closing != naive_is_circle(r))
        bad_plan(a, "has_closing", a->rows);
    mpq_init(tolerance);
    if (r->has_tolerance) {
        mpq_set(tolerance, r->tolerance);
    } else {
        naive_holds(tolerance, &b->head, !b->head.has_worm);
        mpq_div_2exp(tolerance, tolerance, 2);
    }
    if (p->within != (mpq_cmp(a->worst, tolerance) <= 0))
        bad_plan(a, "within", a->rows);
    mpq_init(holds);
    held_by(holds, &b->head, p);
    if (p->holds != (!r->has_tolerance || mpq_cmp(holds, tolerance) <= 0))
        bad_plan(a, "holds", a->rows);
    mpq_clear(holds);
    check_effort(a);
    if (p->is_mounted != (p->side == 0 || (p->plate == b->head.mounted_plate &&
                                           p->side == b->head.mounted_side)))
        bad_plan(a, "is_mounted", a->rows);
    mpq_clear(tolerance);
}

/* seek(i) and one step give row i as walking there does. */
static void check_seek(const struct audit *a, unsigned long i)
{
    struct cc_cursor walked, sought;
    struct cc_step x, y;

    cc_cursor_init(&walked, a->plan, &a->bench->request);
    cc_cursor_init(&sought, a->plan, &a->bench->request);
    cc_step_init(&x);
    cc_step_init(&y);
    for (unsigned long j = 0; j <= i; j++)
        cc_cursor_next(&walked, &x);
    cc_cursor_seek(&sought, a->rows);
    cc_cursor_seek(&sought, i);
    if (!cc_cursor_next(&sought, &y))
        bad_plan(a, "no row after seek", i);
    if (x.step != y.step || x.division != y.division || x.closing != y.closing ||
        x.turns != y.turns || x.holes != y.holes || x.holes2 != y.holes2 || x.larger != y.larger ||
        x.hole != y.hole || x.hole2 != y.hole2 || x.label != y.label ||
        !mpq_equal(x.crank, y.crank) || !mpq_equal(x.angle, y.angle) ||
        !mpq_equal(x.nominal, y.nominal) || !mpq_equal(x.error, y.error))
        bad_plan(a, "seek gives another row than walking", i);
    cc_step_clear(&y);
    cc_step_clear(&x);
    cc_cursor_clear(&sought);
    cc_cursor_clear(&walked);
}

static void check_plan(struct bench *b, const struct cc_plan *plan)
{
    unsigned long rows = naive_rows(&b->request);
    struct audit a = { .bench = b, .plan = plan, .rows = rows, .forward = true };

    mpq_init(a.ratio);
    mpz_init(a.pin);
    mpz_init(a.plate);
    mpq_init(a.travel);
    mpq_init(a.worst);
    a.error = malloc((rows + 1) * sizeof *a.error);
    assert_non_null(a.error);
    for (unsigned long i = 0; i <= rows; i++)
        mpq_init(a.error[i]);
    if (plan->steps != rows)
        bad_plan(&a, "steps", rows);
    if (plan->block < 1 || (mpz_sgn(b->request.block) > 0 &&
                            mpz_cmp_ui(b->request.block, (unsigned long)plan->block) != 0))
        bad_plan(&a, "block", 0);
    if (b->request.circle != 0 && b->request.circle != plan->circle && b->request.circle != cc_plan_holes(plan) &&
        b->request.circle != plan->circle2)
        bad_plan(&a, "a circle that was not allowed", 0);
    if ((b->request.methods & 1U << plan->method) == 0)
        bad_plan(&a, "a method that was not allowed", 0);
    ratio_of_setting(&a);
    walk_rows(&a);
    check_neighbours(&a);
    check_figures(&a);
    check_seek(&a, 0);
    check_seek(&a, rows / 2);
    check_seek(&a, rows);
    for (unsigned long i = 0; i <= rows; i++)
        mpq_clear(a.error[i]);
    free(a.error);
    mpq_clear(a.worst);
    mpq_clear(a.travel);
    mpz_clear(a.plate);
    mpz_clear(a.pin);
    mpq_clear(a.ratio);
}

/* ---- sets of plans ---- */

static void check_order(struct bench *b, gmp_randstate_t rs)
{
    const struct cc_plans *all = &b->all;

    for (size_t i = 0; i + 1 < all->n; i++)
        if (cc_plan_compare(&all->at[i], &all->at[i + 1]) >= 0)
            fail_msg("%s\nplans %zu and %zu of %zu are not in order", describe(b), i, i + 1, all->n);
    for (int round = 0; round < 200 && all->n > 0; round++) {
        size_t i = below(rs, all->n), j = below(rs, all->n), k = below(rs, all->n);
        int ij = cc_plan_compare(&all->at[i], &all->at[j]);
        int ji = cc_plan_compare(&all->at[j], &all->at[i]);
        int jk = cc_plan_compare(&all->at[j], &all->at[k]);
        int ik = cc_plan_compare(&all->at[i], &all->at[k]);
        if ((ij == 0) != (i == j) || (ij < 0) != (ji > 0) || (ij < 0 && jk < 0 && ik >= 0))
            fail_msg("%s\nplans %zu %zu %zu: no total order", describe(b), i, j, k);
    }
}

/* The rows of the planner's table: one for each method, and two more of differential. */
static unsigned row_of(const struct cc_plan *p)
{
    if (p->method == CC_DIFFERENTIAL && !p->exact)
        return CC_METHODS;
    return p->method == CC_DIFFERENTIAL && p->block > 1 ? CC_METHODS + 1 : (unsigned)p->method;
}

/* Classes of exact plans, the preferred first; all others are one. Where a block was asked for, every plan has it. */
static unsigned class_rank(const struct cc_plan *p, const struct cc_request *r)
{
    bool blocks = p->block > 1 && mpz_sgn(r->block) == 0;

    if (!p->exact)
        return 9;
    switch (p->method) {
    case CC_DIRECT:
        return 0;
    case CC_PLAIN:
        return blocks ? 3 : 2;
    case CC_DIAL:
        return 4;
    case CC_DIFFERENTIAL:
        return blocks ? 8 : 5;
    default:
        return blocks ? 7 : 6;
    }
}

static void check_best(struct bench *b)
{
    const struct cc_plans *all = &b->all;
    bool found = find_best(b);
    const struct cc_plan *best = &b->best;

    if (found != (all->n > 0))
        fail_msg("%s\nbest finds %d, all find %zu", describe(b), found, all->n);
    if (!found)
        return;
    if (best->method != all->at[0].method || cc_plan_compare(best, &all->at[0]) != 0)
        fail_msg("%s\nbest is %s %u, all begin with %s %u", describe(b), cc_method_name(best->method),
                 best->circle, cc_method_name(all->at[0].method), all->at[0].circle);
    for (size_t i = 0; i < all->n; i++) {
        const struct cc_plan *p = &all->at[i];
        bool better = false;
        if (p->within != best->within)
            better = p->within;
        else if (!p->within)
            better = mpq_cmp(p->worst_error, best->worst_error) < 0;
        else if (p->holds != best->holds)
            better = p->holds;
        else if (p->exact != best->exact)
            better = p->exact;
        else if (class_rank(p, &b->request) != class_rank(best, &b->request))
            better = class_rank(p, &b->request) < class_rank(best, &b->request);
        else if (p->effort != best->effort)
            better = p->effort < best->effort;
        else
            better = mpq_cmp(p->worst_error, best->worst_error) < 0;
        if (better)
            fail_msg("%s\n%s %u goes before the best, %s %u", describe(b), cc_method_name(p->method),
                     p->circle, cc_method_name(best->method), best->circle);
    }
}

static enum naive_class class_of(const struct cc_plan *p, const struct cc_request *r)
{
    if (!p->exact)
        return NAIVE_NONE;
    switch (p->method) {
    case CC_DIRECT:
        return NAIVE_DIRECT;
    case CC_PLAIN:
        return NAIVE_PLAIN;
    case CC_DIAL:
        return NAIVE_DIAL;
    case CC_COMPOUND:
        return NAIVE_COMPOUND;
    case CC_DIFFERENTIAL:
        return p->block > 1 && mpz_sgn(r->block) == 0 ? NAIVE_DIFFERENTIAL_BLOCKS : NAIVE_DIFFERENTIAL;
    default:
        return NAIVE_NONE;
    }
}

/* What exact settings there are: the best class, the proof, and nothing approximate put before them. */
static enum naive_class check_class(struct bench *b, const struct naive *naive)
{
    enum naive_class want = naive_best(naive, &b->request), got = NAIVE_NONE;
    const unsigned exact = 1U << CC_DIRECT | 1U << CC_PLAIN | 1U << CC_COMPOUND | 1U << CC_DIFFERENTIAL |
                           (b->head.dial.lines > 0 ? 1U << CC_DIAL : 0U);
    bool unrestricted = (b->request.methods & exact) == exact && b->request.circle == 0 &&
                        mpz_sgn(b->request.block) == 0;

    if (find_best(b))
        got = class_of(&b->best, &b->request);
    if (got != want)
        fail_msg("%s\nclass %d, the long way finds %d", describe(b), (int)got, (int)want);
    enum cc_proof proof = want != NAIVE_NONE ? CC_EXISTS : unrestricted ? CC_ABSENT : CC_UNPROVED;
    if (b->answer.exact != proof)
        fail_msg("%s\nproof %d, expected %d", describe(b), (int)b->answer.exact, (int)proof);
    if (proof == CC_ABSENT && b->head.has_worm &&
        (b->answer.searched.trains != naive->trains || b->answer.searched.unfit != naive->unfit))
        fail_msg("%s\n%lu trains fit, %lu do not; the long way %lu and %lu", describe(b), b->answer.searched.trains,
                 b->answer.searched.unfit, naive->trains, naive->unfit);
    return want;
}

/* ---- the shipped heads ---- */

static void classes_of_shipped_heads(void **state)
{
    /* Every N to 2000 in a long run; else the small ones, and a few of each head beyond. */
    bool everything = test_rounds(1) >= 50;
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (size_t h = 0; h < SHIPPED; h++) {
        struct bench b;
        struct naive naive;
        unsigned long seen[NAIVE_DIFFERENTIAL_BLOCKS + 1] = { 0 };
        bench_open(&b, shipped[h]);
        naive_init(&naive, &b.head);
        unsigned long often = b.head.gears.n > 0 ? 80 : 16;
        for (unsigned long n = 2; n <= 2000; n++) {
            if (!everything && n > 60 && below(rs, often) != 0)
                continue;
            new_request(&b, n);
            seen[check_class(&b, &naive)]++;
            if (find_best(&b))
                check_plan(&b, &b.best);
        }
        assert_true(seen[NAIVE_NONE] > 0 || b.head.gears.n > 0);
        assert_true(seen[b.head.plate_count > 0 ? NAIVE_PLAIN : b.head.has_worm ? NAIVE_DIAL : NAIVE_DIRECT] > 0);
        if (b.head.gears.n > 0)
            assert_true(seen[NAIVE_DIFFERENTIAL] > 0);
        naive_clear(&naive);
        bench_close(&b);
    }
    gmp_randclear(rs);
}

/* Walk plans until so many rows have been seen: all of them, or a sample. */
static void check_some(struct bench *b, gmp_randstate_t rs, unsigned long budget)
{
    unsigned long each = naive_rows(&b->request) + 1;
    bool sample = b->all.n * each > budget;

    for (size_t i = 0; i < b->all.n; i++)
        if (!sample || i < 2 || below(rs, b->all.n * each) < budget)
            check_plan(b, &b->all.at[i]);
}

static void plans_of_shipped_heads(void **state)
{
    unsigned long rounds = test_rounds(6);
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (size_t h = 0; h < SHIPPED; h++) {
        struct bench b;
        bench_open(&b, shipped[h]);
        for (unsigned long round = 0; round < rounds; round++) {
            new_request(&b, 1 + below(rs, round % 2 == 0 ? 60 : 700));
            find_all(&b, true);
            check_order(&b, rs);
            check_best(&b);
            check_some(&b, rs, 3000);
        }
        bench_close(&b);
    }
    gmp_randclear(rs);
}

/* ---- invented heads and requests ---- */

static int list_counts(char *at, size_t room, gmp_randstate_t rs, unsigned long n, unsigned long low,
                       unsigned long high)
{
    bool taken[200] = { false };
    int used = 0;

    for (unsigned long i = 0; i < n; i++) {
        unsigned long c = low + below(rs, high - low + 1);
        if (taken[c])
            continue;
        taken[c] = true;
        used += snprintf(at + used, room - (size_t)used, " %lu", c);
    }
    return used;
}

static void invent_head(char *at, size_t room, gmp_randstate_t rs)
{
    static const char *const worms[] = { "40", "60", "77/2", "5", "72", "9/2", "41/3", "90", "7/5", "120" };
    static const char *const pins[] = { "same", "other", "none" };
    int n = snprintf(at, room, "[head]\nworm = %s\nplate_pin = %s\n", worms[below(rs, 10)],
                     pins[below(rs, 3)]);
#define ADD(...) n += snprintf(at + n, room - (size_t)n, __VA_ARGS__)
    if (below(rs, 2) == 0)
        ADD("mounted = A 1\n");
    if (below(rs, 2) == 0) {
        unsigned long rows = 1 + below(rs, 3);
        ADD("[direct]\nholes =");
        if (below(rs, 3) == 0) {
            for (unsigned long i = 0; i < rows; i++)
                ADD(" %lu", 6 + 12 * i + below(rs, 12));
            ADD("\nvernier =");
            for (unsigned long i = 0; i < rows; i++)
                ADD(" %lu", 1 + below(rs, 10));
        } else {
            n += list_counts(at + n, room - (size_t)n, rs, rows, 6, 40);
        }
        ADD("\n");
    }
    for (unsigned long p = 0; p < 1 + below(rs, 2); p++) {
        ADD("[plate %c]\n", (char)('A' + (int)p));
        if (below(rs, 4) == 0)
            ADD("detent = %lu\n", 2 + below(rs, 9));
        ADD("side 1 =");
        n += list_counts(at + n, room - (size_t)n, rs, 1 + below(rs, 5), 2, 50);
        if (below(rs, 2) == 0) {
            ADD("\nside 2 =");
            n += list_counts(at + n, room - (size_t)n, rs, 1 + below(rs, 4), 8, 60);
        }
        ADD("\n");
    }
    if (below(rs, 2) == 0) {
        ADD("[gears]\nteeth =");
        for (unsigned long i = 1 + below(rs, 7); i > 0; i--)
            ADD(" %lu", 20 + 4 * below(rs, 16));
        ADD("\nreversed = %s\n", below(rs, 3) == 0 ? "yes" : "no");
        if (below(rs, 3) == 0)
            ADD("least-sum = %lu\n", 60 + below(rs, 40));
        if (below(rs, 3) == 0)
            ADD("most-sum = %lu\n", 100 + below(rs, 60));
    }
    bool dial = below(rs, 3) == 0;
    if (dial)
        ADD("[dial]\nlines = %lu\nvernier = %lu\nnumbered = lines\n", 2 + below(rs, below(rs, 2) == 0 ? 40 : 300), 1 + below(rs, 10));
    if (below(rs, 3) == 0)
        ADD("[accuracy]\nworm = 1'\ndirect = 3'\n%s", dial && below(rs, 2) == 0 ? "dial = 2'\n" : "");
#undef ADD
}

/* Pins that do not reach every circle: some of those there are, or no others than the first. */
static void shorten_pin(struct cc_counts *reached, const struct cc_head *head, gmp_randstate_t rs)
{
    for (size_t p = 0; p < head->plate_count; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES; s++)
            for (size_t i = 0; i < head->plates[p].side[s].n; i++) {
                if (reached->n > 0 && below(rs, 3) == 0)
                    continue;
                reached->at = realloc(reached->at, (reached->n + 1) * sizeof *reached->at);
                assert_non_null(reached->at);
                reached->at[reached->n++] = head->plates[p].side[s].at[i];
            }
}

static void invent_bench(struct bench *b, gmp_randstate_t rs)
{
    char text[2000];

    invent_head(text, sizeof text, rs);
    bench_text(b, text, "invented");
    if (below(rs, 4) == 0)
        shorten_pin(&b->head.plate_pin_circles, &b->head, rs);
    if (below(rs, 6) == 0)
        shorten_pin(&b->head.crank_pin_circles, &b->head, rs);
    cc_planner_free(b->planner);
    assert_int_equal(cc_planner_new(&b->planner, &b->head, NULL), CC_OK);
}

static void random_rational(mpq_t q, gmp_randstate_t rs, long low, long high, unsigned long most_den)
{
    unsigned long den = 1 + below(rs, most_den);
    mpq_set_si(q, low * (long)den + (long)below(rs, (unsigned long)(high - low) * den), den);
    mpq_canonicalize(q);
}

static void invent_list(struct bench *b, gmp_randstate_t rs)
{
    unsigned long den = 1 + below(rs, 200);
    mpq_t at;

    mpq_init(at);
    mpz_set_ui(b->request.divisions, 0);
    for (unsigned long i = 1 + below(rs, 12); i > 0; i--) {
        mpq_set_si(at, (long)below(rs, 3 * den) - (long)den, below(rs, 4) == 0 ? den : 360);
        mpq_canonicalize(at);
        assert_int_equal(cc_request_add(&b->request, at, i % 2 == 0 ? "slot" : NULL, NULL), CC_OK);
    }
    mpq_clear(at);
}

static void invent_request(struct bench *b, gmp_randstate_t rs)
{
    struct cc_request *r = &b->request;
    static const unsigned long most[] = { 20, 130, 130, 130, 130, 1500 };
    unsigned long n = 1 + below(rs, most[below(rs, 6)]);

    new_request(b, n);
    switch (below(rs, 6)) {
    case 0:
        invent_list(b, rs);
        break;
    case 1:
        random_rational(r->arc, rs, 0, 1, 90);
        if (mpq_sgn(r->arc) == 0)
            mpq_set_ui(r->arc, 1, 4);
        break;
    case 2:
        mpz_set_ui(r->block, 1 + below(rs, n));
        if (naive_gcd(mpz_get_ui(r->block), n) != 1 || mpz_cmp_ui(r->block, n) >= 0)
            mpz_set_ui(r->block, n > 2 ? n - 1 : 1);
        break;
    default:
        break;
    }
    if (r->position_count == 0 && below(rs, 4) == 0)
        random_rational(r->offset, rs, -2, 2, below(rs, 2) == 0 ? 8 : 2 * 40 * 21);
    if (below(rs, 6) == 0)
        r->methods = 1 + (unsigned)below(rs, CC_ALL_METHODS);
    if (b->head.dial.lines > 0 && below(rs, 4) == 0)
        r->by_eye = 1 + (unsigned)below(rs, 10);
}

/* What narrows a request beyond what the long way looks at. */
static void narrow_request(struct bench *b, gmp_randstate_t rs)
{
    struct cc_request *r = &b->request;

    if (below(rs, 3) == 0) {
        r->has_tolerance = true;
        mpq_set_ui(r->tolerance, below(rs, 3), 1 + below(rs, 20000));
        mpq_canonicalize(r->tolerance);
    }
    if (below(rs, 3) == 0)
        random_rational(r->most_turns, rs, 0, 40, 4);
}

static void invented_heads(void **state)
{
    unsigned long rounds = test_rounds(150), exact = 0;
    unsigned long seen[CC_METHODS] = { 0 };
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (unsigned long round = 0; round < rounds; round++) {
        struct bench b;
        struct naive naive;
        invent_bench(&b, rs);
        naive_init(&naive, &b.head);
        for (int i = 0; i < 4; i++) {
            invent_request(&b, rs);
            if (below(rs, 4) == 0 && b.head.plates[0].side[0].n > 0)
                b.request.circle = b.head.plates[0].side[0].at[0];
            exact += check_class(&b, &naive) != NAIVE_NONE ? 1 : 0;
            narrow_request(&b, rs);
            find_all(&b, true);
            check_order(&b, rs);
            check_best(&b);
            check_some(&b, rs, 600);
            for (size_t p = 0; p < b.all.n; p++)
                seen[b.all.at[p].method]++;
        }
        naive_clear(&naive);
        bench_close(&b);
    }
    /* The properties were really put to the test. */
    assert_true(exact > rounds / 2);
    for (int m = 0; m < CC_METHODS; m++)
        if (seen[m] <= rounds / 60)
            fail_msg("only %lu plans by %s", seen[m], cc_method_name((enum cc_method)m));
    gmp_randclear(rs);
}

/* With every = false: of each row of the planner's table the first of its kind. */
static void best_of_each_method(void **state)
{
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (size_t h = 0; h < SHIPPED; h++) {
        struct bench b;
        bench_open(&b, shipped[h]);
        for (unsigned long round = test_rounds(5); round > 0; round--) {
            struct cc_plans each;
            new_request(&b, 2 + below(rs, 300));
            find_all(&b, false);
            check_order(&b, rs);
            each = b.all;
            cc_plans_init(&b.all);
            find_all(&b, true);
            size_t next = 0, firsts = 0;
            unsigned had = 0;
            for (size_t i = 0; i < b.all.n; i++) {
                unsigned bit = 1U << row_of(&b.all.at[i]);
                if ((had & bit) != 0)
                    continue;
                had |= bit;
                firsts++;
                for (next = 0; next < each.n; next++)
                    if (row_of(&each.at[next]) == row_of(&b.all.at[i]))
                        break;
                if (next == each.n || cc_plan_compare(&each.at[next], &b.all.at[i]) != 0)
                    fail_msg("%s\nplan %zu, %s, is the first of its kind and is not given", describe(&b),
                             i, cc_method_name(b.all.at[i].method));
            }
            assert_int_equal(firsts, each.n);
            cc_plans_clear(&each);
        }
        bench_close(&b);
    }
    gmp_randclear(rs);
}

/* ---- the first plan against the long way ---- */

static unsigned naive_class_of(const struct cc_plan *p, const struct cc_request *r)
{
    static const unsigned classes[] = { 1, 0, 2, 3, 4, 5, 6, 7, 8 };   /* by class_rank */
    return p->exact ? classes[class_rank(p, r)] : 0;
}

/* Every setting, block and train by plain loops: what comes first has the same rank as what the planner gives. */
static void check_first(struct bench *b, const struct naive *naive)
{
    struct naive_rank want;
    bool found = find_best(b);
    const struct cc_plan *p = &b->best;

    naive_first(&want, naive, &b->request);
    if (found != want.any)
        fail_msg("%s\nfound %d, the long way %d", describe(b), found, want.any);
    if (found && (p->within != want.within || p->holds != want.holds || p->exact != want.exact ||
                  naive_class_of(p, &b->request) != want.class || p->effort != 10 * want.effort ||
                  !mpq_equal(p->worst_error, want.worst))) {
        char text[300];
        gmp_snprintf(text, sizeof text, "within %d holds %d exact %d class %u effort %llu worst %Qd", want.within,
                     want.holds, want.exact, want.class, want.effort, want.worst);
        fail_msg("%s\nfirst is %s %u %u block %lu effort %lu; the long way finds %s", describe(b),
                 cc_method_name(p->method), p->circle, p->circle2, (unsigned long)p->block,
                 (unsigned long)p->effort / 10, text);
    }
    mpq_clear(want.worst);
}

static void first_against_the_long_way(void **state)
{
    unsigned long rounds = test_rounds(60), exact = 0, found = 0;
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (unsigned long round = 0; round < rounds + SHIPPED; round++) {
        struct bench b;
        struct naive naive;
        if (round < SHIPPED) {
            bench_open(&b, shipped[round]);
        } else {
            invent_bench(&b, rs);
        }
        naive_init(&naive, &b.head);
        for (unsigned long i = round < SHIPPED ? test_rounds(3) : 4; i > 0; i--) {
            unsigned long n = 2 + below(rs, below(rs, 3) > 0 ? 60 : 140);
            new_request(&b, n);
            if (below(rs, 4) == 0 && n > 2)
                mpz_set_ui(b.request.block, n - 1);
            if (below(rs, 3) == 0) {
                b.request.has_tolerance = true;
                mpq_set_ui(b.request.tolerance, below(rs, 20), 21600);
                mpq_canonicalize(b.request.tolerance);
            }
            if (below(rs, 4) == 0)
                b.request.methods = 1 + (unsigned)below(rs, CC_ALL_METHODS);
            check_first(&b, &naive);
            if (find_best(&b)) {
                found++;
                exact += b.best.exact ? 1 : 0;
            }
        }
        naive_clear(&naive);
        bench_close(&b);
    }
    assert_true(found > 2 * rounds && exact > found / 8 && exact < found - found / 8);
    gmp_randclear(rs);
}

/* ---- what a good machinist would not forgive ---- */

/* Whether p is within the tolerance, as good as best in error, effort and class, and better in one. */
static bool dominates(const struct cc_plan *p, const struct cc_plan *best, const struct cc_request *r)
{
    int error = mpq_cmp(p->worst_error, best->worst_error);
    unsigned class = class_rank(p, r), best_class = class_rank(best, r);

    return p->within && error <= 0 && p->effort <= best->effort && class <= best_class &&
           (error < 0 || p->effort < best->effort || class < best_class);
}

/* More than a thousand crank turns, and p within the tolerance asks a tenth. */
static bool shames(const struct cc_plan *p, const struct cc_plan *best)
{
    mpq_t tenth;
    bool less;

    mpq_init(tenth);
    mpq_set_ui(tenth, 1, 10);
    mpq_mul(tenth, tenth, best->travel);
    less = mpq_cmp_ui(best->travel, 1000, 1) > 0 && p->within && mpq_cmp(p->travel, tenth) <= 0;
    mpq_clear(tenth);
    return less;
}

static void no_first_plan_is_dominated(void **state)
{
    bool everything = test_rounds(1) >= 50;
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (size_t h = 0; h < SHIPPED; h++) {
        struct bench b;
        bench_open(&b, shipped[h]);
        for (unsigned long n = 2; n <= 1000; n++) {
            if (!everything && below(rs, 25) != 0 && n != 127 && n != 317)
                continue;
            new_request(&b, n);
            if (!find_best(&b))
                continue;
            find_all(&b, true);
            for (size_t i = 0; i < b.all.n; i++) {
                const struct cc_plan *p = &b.all.at[i];
                if (dominates(p, &b.best, &b.request) || (n <= 400 && shames(p, &b.best)))
                    fail_msg("%s\nfirst is %s %u %u, and there is %s %u %u", describe(&b), cc_method_name(b.best.method),
                             b.best.circle, b.best.circle2, cc_method_name(p->method), p->circle, p->circle2);
            }
        }
        bench_close(&b);
    }
    gmp_randclear(rs);
}

/* ---- approximate methods against the long way ---- */

/* Count settings that are not exact and keep N positions apart; sum their worst errors by rounding. */
struct rounding_count {
    const struct cc_request *request;
    const struct cc_head *head;
    unsigned long settings;
    mpq_t worst;            /* smallest worst error, revolutions */
};

static void rounded_worst(mpq_t worst, const mpq_t scale, const struct cc_request *r)
{
    unsigned long rows = naive_rows(r);
    mpq_t wanted, half;
    mpz_t hole;

    mpq_init(wanted);
    mpq_init(half);
    mpz_init(hole);
    mpq_set_ui(worst, 0, 1);
    for (unsigned long i = 0; i <= rows; i++) {
        naive_nominal(wanted, r, 1, i);
        mpq_mul(wanted, wanted, scale);
        mpq_set_ui(half, 1, 2);
        mpq_add(half, half, wanted);
        mpz_fdiv_q(hole, mpq_numref(half), mpq_denref(half));
        mpq_set_z(half, hole);
        mpq_sub(half, half, wanted);
        mpq_abs(half, half);
        if (mpq_cmp(half, worst) > 0)
            mpq_set(worst, half);
    }
    mpq_div(worst, worst, scale);
    mpz_clear(hole);
    mpq_clear(half);
    mpq_clear(wanted);
}

static bool count_rounded(const struct naive_setting *s, void *data)
{
    struct rounding_count *count = data;
    mpq_t scale, worst;

    mpq_init(scale);
    mpq_init(worst);
    mpq_set_ui(scale, s->unit, 1);
    if (s->side > 0)
        mpq_mul(scale, scale, count->head->worm);
    mpq_set_z(worst, count->request->divisions);
    if (!naive_fits(scale, count->request, 1) && mpq_cmp(worst, scale) <= 0) {
        rounded_worst(worst, scale, count->request);
        if (count->settings == 0 || mpq_cmp(worst, count->worst) < 0)
            mpq_set(count->worst, worst);
        count->settings++;
    }
    mpq_clear(worst);
    mpq_clear(scale);
    return false;
}

static void check_rounded(struct bench *b, enum cc_method method, struct rounding_count *count)
{
    mpq_t least;

    mpq_init(least);
    b->request.methods = 1U << method;
    find_all(b, true);
    for (size_t i = 0; i < b->all.n; i++)
        if (i == 0 || mpq_cmp(b->all.at[i].worst_error, least) < 0)
            mpq_set(least, b->all.at[i].worst_error);
    if (b->all.n != count->settings || !mpq_equal(least, count->worst))
        fail_msg("%s\n%zu plans, the long way finds %lu, or another least worst error", describe(b),
                 b->all.n, count->settings);
    mpq_clear(least);
}

static void nearest_against_the_long_way(void **state)
{
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (unsigned long round = 0; round < test_rounds(40); round++) {
        struct bench b;
        struct rounding_count count = { 0 };
        if (round < SHIPPED) {
            bench_open(&b, shipped[round]);
        } else {
            invent_bench(&b, rs);
        }
        new_request(&b, 2 + below(rs, 400));
        count.request = &b.request;
        count.head = &b.head;
        mpq_init(count.worst);
        for (size_t i = 0; i < b.head.direct.n; i++) {
            unsigned holes = b.head.direct.at[i];
            struct naive_setting s = { 0, 0, holes, 0, (unsigned long)holes * naive_pins(&b.head, i), false, 1 };
            count_rounded(&s, &count);
        }
        naive_circles(&b.head, count_rounded, &count);
        naive_fine(&b.head, count_rounded, &count);
        check_rounded(&b, CC_NEAREST_HOLE, &count);
        count.settings = 0;
        mpq_set_ui(count.worst, 0, 1);
        naive_pairs(&b.head, count_rounded, &count);
        check_rounded(&b, CC_NEAREST_COMPOUND, &count);
        mpq_clear(count.worst);
        bench_close(&b);
    }
    gmp_randclear(rs);
}

/*
 * Nearly exact: the same movement of m units for k divisions closes to N m / (L R) - k. The long way
 * tries every k prime to N; bound < 1 keeps neighbours apart whatever k is.
 */
struct closing_search {
    struct bench *bench;
    unsigned long pairs;    /* pairs that have such a setting */
};

static bool closing_of_block(mpq_t closing, const mpq_t scale, unsigned long n, unsigned long k)
{
    mpq_t wanted;
    mpz_t m;

    mpq_init(wanted);
    mpz_init(m);
    mpq_set_ui(wanted, k, n);
    mpq_canonicalize(wanted);
    mpq_mul(wanted, wanted, scale);
    mpq_set_ui(closing, 1, 2);
    mpq_add(closing, closing, wanted);
    mpz_fdiv_q(m, mpq_numref(closing), mpq_denref(closing));
    mpq_set_z(closing, m);
    mpq_div(closing, closing, scale);
    mpz_mul_ui(mpq_numref(closing), mpq_numref(closing), n);
    mpq_canonicalize(closing);
    mpq_set_ui(wanted, k, 1);
    mpq_sub(closing, closing, wanted);
    mpq_abs(closing, closing);
    mpz_clear(m);
    mpq_clear(wanted);
    return mpq_sgn(closing) != 0;
}

static bool best_closing(const struct naive_setting *s, void *data)
{
    struct closing_search *search = data;
    struct bench *b = search->bench;
    unsigned long n = mpz_get_ui(b->request.divisions), first_within = 0;
    mpq_t scale, closing, least, tolerance, apart;
    bool any = false, offered = false, exact;

    mpq_init(scale);
    mpq_init(closing);
    mpq_init(least);
    mpq_init(tolerance);
    mpq_init(apart);
    cc_request_tolerance(tolerance, &b->request, &b->head);
    mpq_set_ui(apart, 1, n > 1 ? n - 1 : 1);
    mpq_set_ui(scale, s->unit, 1);
    mpq_mul(scale, scale, b->head.worm);
    exact = naive_fits(scale, &b->request, 1);
    for (unsigned long k = 1; k < n && !exact; k++) {
        if (naive_gcd(k, n) != 1 || !closing_of_block(closing, scale, n, k) ||
            mpq_cmp(closing, apart) >= 0)
            continue;
        if (first_within == 0 && mpq_cmp(closing, tolerance) <= 0)
            first_within = k;
        if (!any || mpq_cmp(closing, least) < 0)
            mpq_set(least, closing);
        any = true;
    }
    bool smallest = first_within == 0;
    for (size_t i = 0; i < b->all.n; i++) {
        const struct cc_plan *p = &b->all.at[i];
        if (p->plate != s->plate || p->side != s->side ||
            !((p->circle == s->circle && p->circle2 == s->circle2) ||
              (b->head.plate_pin == CC_PIN_SAME && p->circle == s->circle2 &&
               p->circle2 == s->circle)))
            continue;
        offered = true;
        if (first_within != 0) {
            if (p->block < first_within)
                fail_msg("%s\n%u %u: block %lu, the smallest within is %lu", describe(b), s->circle,
                         s->circle2, (unsigned long)p->block, first_within);
            smallest = smallest || p->block == first_within;
        } else {
            smallest = false;
            if (mpq_cmp(p->worst_error, least) < 0)
                fail_msg("%s\n%u %u: closes nearer than the long way", describe(b), s->circle, s->circle2);
        }
    }
    if (offered != any)
        fail_msg("%s\n%u %u: offered %d, the long way %d", describe(b), s->circle, s->circle2, offered,
                 any);
    for (size_t i = 0; i < b->all.n && first_within == 0; i++) {
        const struct cc_plan *p = &b->all.at[i];
        if (p->plate == s->plate && p->side == s->side && p->unit == s->unit &&
            mpq_equal(p->worst_error, least))
            smallest = true;
    }
    if (any && !smallest)
        fail_msg("%s\n%u %u: the %s is not offered", describe(b), s->circle, s->circle2,
                 first_within != 0 ? "smallest block within the tolerance" : "least closing error");
    search->pairs += any ? 1 : 0;
    mpq_clear(apart);
    mpq_clear(tolerance);
    mpq_clear(least);
    mpq_clear(closing);
    mpq_clear(scale);
    return false;
}

static void nearly_exact_against_the_long_way(void **state)
{
    struct closing_search search = { 0 };
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (unsigned long round = 0; round < test_rounds(60); round++) {
        struct bench b;
        if (round < SHIPPED) {
            bench_open(&b, shipped[round]);
        } else {
            invent_bench(&b, rs);
        }
        new_request(&b, 2 + below(rs, round < SHIPPED ? 90 : 200));
        b.request.methods = 1U << CC_NEARLY_EXACT;
        if (round % 3 == 0) {       /* nothing is within 0: the nearest of all is wanted */
            b.request.has_tolerance = true;
        } else if (round % 3 == 1) {
            b.request.has_tolerance = true;
            mpq_set_ui(b.request.tolerance, 1, 100 + below(rs, 100000));
        }
        find_all(&b, true);
        search.bench = &b;
        naive_pairs(&b.head, best_closing, &search);
        bench_close(&b);
    }
    assert_true(search.pairs > 100);
    gmp_randclear(rs);
}

/* ---- settings known by hand ---- */

/* On the default head 7 divides no circle but 21 and 49 (and 40 is no help): plain must use one of them. */
static void sevens(void **state)
{
    static const unsigned long sevens_of[] = { 7, 14, 21, 28, 49 };
    struct bench b;
    (void)state;

    bench_open(&b, "small-tilting");
    for (size_t i = 0; i < sizeof sevens_of / sizeof sevens_of[0]; i++) {
        new_request(&b, sevens_of[i]);
        find_all(&b, true);
        assert_int_equal(b.all.at[0].method, CC_PLAIN);
        for (size_t p = 0; p < b.all.n; p++)
            if (b.all.at[p].method == CC_PLAIN && b.all.at[p].circle % 7 != 0)
                fail_msg("%s\nplain on %u", describe(&b), b.all.at[p].circle);
    }
    bench_close(&b);
}

/* 40/57 = 7/19 + 6/18 of a crank turn, both on plate A; of 5/15, 6/18 the circle of more holes lies further out. */
static void fifty_seven(void **state)
{
    int64_t turns, holes, holes2;
    struct bench b;
    (void)state;

    bench_open(&b, "small-tilting");
    new_request(&b, 57);
    assert_true(find_best(&b));
    assert_int_equal(b.best.method, CC_COMPOUND);
    assert_int_equal(b.best.circle, 19);
    assert_int_equal(b.best.circle2, 18);
    assert_true(cc_plan_movement(&turns, &holes, &holes2, &b.best));
    assert_int_equal(turns, 0);
    assert_int_equal(holes, 7);
    assert_int_equal(holes2, 6);
    check_plan(&b, &b.best);
    bench_close(&b);
}

/*
 * 127 is prime and divides neither 40 nor a circle. The tolerance is a quarter of 2', 30 seconds of arc. Circles 47 and 49
 * reach 1/2303 of a crank turn, so rounding is at most 1296000 / (2 x 40 x 2303) = 7.04 seconds off, and the crank turns
 * some 40 times; the same movement every time needs blocks, and with them hundreds of turns.
 */
static void hundred_and_twenty_seven(void **state)
{
    struct bench b;
    mpq_t most, turns;
    (void)state;

    bench_open(&b, "small-tilting");
    new_request(&b, 127);
    assert_true(find_best(&b));
    assert_int_equal(b.answer.exact, CC_ABSENT);
    assert_int_equal(b.best.method, CC_NEAREST_COMPOUND);
    assert_int_equal(b.best.circle, 49);
    assert_int_equal(b.best.circle2, 47);
    check_plan(&b, &b.best);
    test_mpq_init(most, "1/184240");
    test_mpq_init(turns, "100");
    assert_true(mpq_cmp(b.best.worst_error, most) <= 0);
    assert_true(mpq_cmp(b.best.travel, turns) < 0);
    bench_close(&b);
    mpq_clear(turns);
    mpq_clear(most);

    bench_open(&b, "small-tilting-geared");
    new_request(&b, 127);
    assert_true(find_best(&b));
    assert_true(b.best.exact);
    assert_int_equal(b.answer.exact, CC_EXISTS);
    check_plan(&b, &b.best);
    bench_close(&b);
}

/*
 * 127 on a circle of 50 at 40 to 1 is 2000/127 = 15 95/127 holes: 16 holes 95 times and 15 holes 32 times. Arms at 16. On
 * a circle of 18 it is 5 85/127; on one of 21 it is 6 78/127; 160 on 21 are 5 1/4: three in four go 5 holes. 80 on 21
 * are 10 1/2, as often 11 as 10: arms at 10.
 */
static void arms_at_the_commoner(void **state)
{
    static const struct { unsigned divisions, circle; int64_t arms; unsigned odd; int which; } rows[] = {
        { 127, 50, 16, 32, -1 }, { 127, 18, 6, 42, -1 }, { 127, 21, 7, 49, -1 }, { 160, 21, 5, 40, 1 }, { 80, 21, 10, 40, 1 },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct bench b;
        char head[100];
        int64_t turns, holes, holes2;
        struct cc_cursor cursor;
        struct cc_step step;
        unsigned odd = 0;
        snprintf(head, sizeof head, "[head]\nworm = 40\n[plate A]\nside 1 = %u\n", rows[i].circle);
        bench_text(&b, head, "invented");
        new_request(&b, rows[i].divisions);
        assert_true(find_best(&b));
        cc_plan_rounded_movement(&turns, &holes, &holes2, &b.best, cc_plan_usual_is_larger(&b.best));
        assert_int_equal(holes, rows[i].arms);
        cc_step_init(&step);
        cc_cursor_init(&cursor, &b.best, &b.request);
        while (cc_cursor_next(&cursor, &step)) {
            if (cc_step_odd(&step, &b.best) == 0)
                continue;
            assert_int_equal(cc_step_odd(&step, &b.best), rows[i].which);
            assert_int_equal(step.holes, rows[i].arms + rows[i].which);
            odd++;
        }
        assert_int_equal(odd, rows[i].odd);
        cc_cursor_clear(&cursor);
        cc_step_clear(&step);
        bench_close(&b);
    }
}

/* 383: k = 4, e = 301/132, t = 13/33: (40 - 301/132) 4/383 = 4979/132 x 4/383 = 13/33. */
static void three_hundred_and_eighty_three(void **state)
{
    bool by_hand = false;
    struct bench b;
    mpq_t e;
    (void)state;

    bench_open(&b, "small-tilting-geared");
    test_mpq_init(e, "301/132");
    new_request(&b, 383);
    find_all(&b, true);
    assert_int_equal(b.all.at[0].method, CC_DIFFERENTIAL);
    assert_true(b.all.at[0].exact);
    assert_true(b.all.at[0].block > 1);
    for (size_t i = 0; i < b.all.n; i++) {
        const struct cc_plan *p = &b.all.at[i];
        if (p->exact && p->block == 4 && mpq_equal(p->plate_turns, e) && p->circle == 33) {
            by_hand = true;
            assert_int_equal(p->move, 13);
            check_plan(&b, p);
        }
    }
    assert_true(by_hand);
    check_plan(&b, &b.all.at[0]);
    mpq_clear(e);
    bench_close(&b);
}

/* Worm 77/2, circle 21, seven divisions: two at a time are 2 x 77/2 / 7 = 11 turns; one at a time 5 1/2. */
static void fractional_worm(void **state)
{
    struct bench b;
    (void)state;

    bench_text(&b, "[head]\nworm = 77/2\n[plate A]\nside 1 = 21\n", "invented");
    new_request(&b, 7);
    assert_true(find_best(&b));
    assert_int_equal(b.best.method, CC_PLAIN);
    assert_true(b.best.exact);
    assert_int_equal(b.best.block, 2);
    assert_int_equal(b.best.move, 11 * 21);
    check_plan(&b, &b.best);
    bench_close(&b);
}

/* 36 holes and ten pins: 360 positions and no worm. */
static void vernier(void **state)
{
    struct bench b;
    (void)state;

    bench_open(&b, "spin-fixture-36");
    for (unsigned long n = 1; n <= 400; n++) {
        new_request(&b, n);
        bool found = find_best(&b);
        assert_int_equal(found, n <= 360);
        assert_int_equal(b.answer.exact, 360 % n == 0 ? CC_EXISTS : CC_ABSENT);
        if (!found)
            continue;
        assert_int_equal(b.best.exact, 360 % n == 0);
        assert_int_equal(b.best.method, 360 % n == 0 ? CC_DIRECT : CC_NEAREST_HOLE);
        check_plan(&b, &b.best);
    }
    bench_close(&b);
}

/*
 * 49 divisions, 40 holes of 49 each, 1960 a turn, begun a turn and 20 1/2 holes before zero: every place is half a hole off,
 * rounded down before zero and up behind it. Two at a time the rows end behind zero. By hand: division 0 is row 0, at -1980.5, to
 * -1981; division 1 is row 25, at 25 times 80 more, 19.5, to 20, a turn before that -1940: the two are 41 holes apart.
 */
static void half_holes_by_blocks(void **state)
{
    struct bench b;
    mpq_t hole;
    (void)state;

    bench_open(&b, "small-tilting");
    new_request(&b, 49);
    mpz_set_ui(b.request.block, 2);
    mpq_set_si(b.request.offset, -3961, 2 * 49 * 40);
    b.request.circle = 49;
    b.request.methods = 1U << CC_NEAREST_HOLE;
    assert_true(find_best(&b));
    check_plan(&b, &b.best);
    test_mpq_init(hole, "1/1960");
    assert_true(mpq_equal(b.best.worst_pitch, hole));
    mpz_set_ui(b.request.block, 1);
    assert_true(find_best(&b));
    check_plan(&b, &b.best);
    assert_int_equal(mpq_sgn(b.best.worst_pitch), 0);   /* one at a time all are before zero */
    mpq_set_si(b.request.offset, 41, 2 * 49 * 40);      /* all behind it */
    mpz_set_ui(b.request.block, 2);
    assert_true(find_best(&b));
    check_plan(&b, &b.best);
    assert_int_equal(mpq_sgn(b.best.worst_pitch), 0);
    mpq_clear(hole);
    bench_close(&b);
}

/*
 * The circle it would take: C R/N whole. 40/127; 40/7 = 5 5/7; 40/24 = 1 2/3; 77/14 = 5 1/2; 30 degrees in 5 parts are
 * 40/60 = 2/3 turn each; with 4 1/2 degrees before them, half a turn, 6; 37 1/2 and 10 degrees 4 1/6 and 1 1/9 turns.
 */
static void circle_it_takes(void **state)
{
    static const struct { const char *worm, *divisions, *arc, *offset; unsigned least; } rows[] = {
        { "40", "127", "1", "0", 127 }, { "40", "7", "1", "0", 7 }, { "40", "24", "1", "0", 3 }, { "77/2", "7", "1", "0", 2 },
        { "40", "20", "1", "0", 1 }, { "40", "5", "1/12", "0", 3 }, { "40", "5", "1/12", "1/80", 6 },
        { "40", "10007", "1", "0", 0 }, { "40", "9973", "1", "0", 9973 },
    };
    struct cc_request r;
    mpq_t worm, at;
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cc_request_init(&r);
        test_mpq_init(worm, rows[i].worm);
        mpz_set_str(r.divisions, rows[i].divisions, 10);
        mpq_set_str(r.arc, rows[i].arc, 10);
        mpq_set_str(r.offset, rows[i].offset, 10);
        if (cc_request_least_circle(&r, worm) != rows[i].least)
            fail_msg("%s at %s to 1: %lu", rows[i].divisions, rows[i].worm, (unsigned long)cc_request_least_circle(&r, worm));
        mpq_clear(worm);
        cc_request_clear(&r);
    }
    cc_request_init(&r);
    test_mpq_init(worm, "40");
    test_mpq_init(at, "5/48");
    assert_int_equal(cc_request_add(&r, at, NULL, NULL), CC_OK);
    mpq_set_ui(at, 1, 36);
    assert_int_equal(cc_request_add(&r, at, NULL, NULL), CC_OK);
    assert_int_equal(cc_request_least_circle(&r, worm), 18);
    mpq_clears(at, worm, NULL);
    cc_request_clear(&r);
}

/* Grades: the tolerance is a quarter of 2' by default; 1 hole of 20 at 40 to 1 is 27'. */
static void grades(void **state)
{
    static const struct { const char *worst; bool exact; enum cc_grade grade; } rows[] = {
        { "0", true, CC_GRADE_EXACT }, { "1/43200", false, CC_GRADE_WITHIN }, { "1/43199", false, CC_GRADE_WITHIN_HEAD },
        { "1/10800", false, CC_GRADE_WITHIN_HEAD }, { "1/10799", false, CC_GRADE_BEYOND },
    };
    struct bench b;
    mpq_t tolerance;
    (void)state;

    bench_open(&b, "small-tilting");
    new_request(&b, 20);
    assert_true(find_best(&b));
    mpq_init(tolerance);
    cc_request_tolerance(tolerance, &b.request, &b.head);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        b.best.exact = rows[i].exact;
        mpq_set_str(b.best.worst_error, rows[i].worst, 10);
        b.best.within = mpq_cmp(b.best.worst_error, tolerance) <= 0;
        b.best.side = 1;
        assert_int_equal(cc_plan_grade(&b.best, &b.head), rows[i].grade);
    }
    b.best.side = 0;        /* 5' by the direct plate */
    assert_int_equal(cc_plan_grade(&b.best, &b.head), CC_GRADE_WITHIN_HEAD);
    mpq_clear(tolerance);
    bench_close(&b);
}

/* ---- requests that are refused ---- */

static void refused(struct bench *b, const char *about)
{
    struct cc_error err = { .text = "" };
    enum cc_status s = cc_planner_best(&b->best, NULL, b->planner, &b->request, &err);

    if (s != CC_EDOM || err.status != CC_EDOM || strstr(err.text, about) == NULL)
        fail_msg("%s\nstatus %d: %s\nexpected a word about %s", describe(b), (int)s, err.text, about);
    assert_int_equal(cc_planner_all(&b->all, NULL, b->planner, &b->request, true, NULL), CC_EDOM);
}

static void refusals(void **state)
{
    struct bench b;
    (void)state;

    bench_open(&b, "small-tilting");
    new_request(&b, 0);
    refused(&b, "divisions");
    new_request(&b, 12);
    mpq_set_ui(b.request.arc, 0, 1);
    refused(&b, "arc");
    new_request(&b, 12);
    mpz_set_ui(b.request.block, 4);
    refused(&b, "block");
    mpz_set_si(b.request.block, -5);
    refused(&b, "block");
    mpz_set_ui(b.request.block, 13);
    refused(&b, "block");
    mpz_set_ui(b.request.block, 5);
    mpq_set_ui(b.request.arc, 1, 2);
    refused(&b, "full circle");
    new_request(&b, 12);
    mpq_set_si(b.request.offset, -1001, 1);
    refused(&b, "1000 turns");
    mpq_set_si(b.request.offset, -1000, 1);
    assert_true(find_best(&b));
    mpq_set_ui(b.request.arc, 1001, 1);
    refused(&b, "1000 turns");
    bench_close(&b);
}

/* The request has no plan, that is proved, and the message says how many this head keeps apart. */
static void beyond(struct bench *b, const char *most)
{
    struct cc_error err;

    assert_int_equal(cc_planner_best(&b->best, &b->answer, b->planner, &b->request, &err), CC_ENOFIT);
    assert_int_equal(b->answer.exact, CC_ABSENT);
    if (strstr(err.text, most) == NULL)
        fail_msg("%s: expected %s in it", err.text, most);
}

/*
 * The most positions: 40 x 47 x 49 = 92120 on the default head; 21 x 77 = 1617, two at a time, with worm 77/2
 * and circle 21, which has a hole at every 2/1617 of a turn and so in two turns at every 1/1617.
 */
static void most_positions(void **state)
{
    struct bench b;
    (void)state;

    bench_open(&b, "small-tilting");
    new_request(&b, 92120);
    assert_true(find_best(&b));
    assert_true(b.best.exact);
    new_request(&b, 92121);
    beyond(&b, " 92120 ");
    mpz_ui_pow_ui(b.request.divisions, 10, 999);
    beyond(&b, " 92120 ");
    bench_close(&b);

    bench_text(&b, "[head]\nworm = 77/2\n[plate A]\nside 1 = 21\n", "invented");
    new_request(&b, 1617);
    assert_true(find_best(&b));
    assert_true(b.best.exact);
    assert_int_equal(b.best.block, 2);
    new_request(&b, 1618);
    beyond(&b, " 1617 ");
    bench_close(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sevens),
        cmocka_unit_test(fifty_seven),
        cmocka_unit_test(hundred_and_twenty_seven),
        cmocka_unit_test(arms_at_the_commoner),
        cmocka_unit_test(circle_it_takes),
        cmocka_unit_test(grades),
        cmocka_unit_test(three_hundred_and_eighty_three),
        cmocka_unit_test(fractional_worm),
        cmocka_unit_test(vernier),
        cmocka_unit_test(half_holes_by_blocks),
        cmocka_unit_test(refusals),
        cmocka_unit_test(most_positions),
        cmocka_unit_test(classes_of_shipped_heads),
        cmocka_unit_test(plans_of_shipped_heads),
        cmocka_unit_test(best_of_each_method),
        cmocka_unit_test(first_against_the_long_way),
        cmocka_unit_test(no_first_plan_is_dominated),
        cmocka_unit_test(nearest_against_the_long_way),
        cmocka_unit_test(nearly_exact_against_the_long_way),
        cmocka_unit_test(invented_heads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
