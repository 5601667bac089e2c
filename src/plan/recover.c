/*
 * recover.c: from what can be seen to the rows that fit.
 *
 * A plan of one movement m stands at start + i m units in row i (plan.h). Each pin hole seen is a
 * congruence for i; together they leave i = first + every * j. A reading asks that the angle fall
 * within a window of the circle, and cci_first_hit walks from hit to hit.
 */
#include "crankcard/recover.h"

#include <stdlib.h>

#include "crankcard/number.h"
#include "plan/search.h"

void cc_seen_init(struct cc_seen *seen)
{
    *seen = (struct cc_seen){ .has_hole = false };
    mpq_init(seen->reading);
    mpq_init(seen->uncertainty);
}

void cc_seen_clear(struct cc_seen *seen)
{
    mpq_clear(seen->uncertainty);
    mpq_clear(seen->reading);
}

void cc_places_init(struct cc_places *places)
{
    *places = (struct cc_places){ .n = 0 };
}

void cc_places_clear(struct cc_places *places)
{
    for (size_t i = 0; i < places->room; i++)
        mpq_clear(places->at[i].off);
    free(places->at);
}

/* ---- a search ---- */

struct window {             /* angles that fit, in units of 1/p revolution */
    uint64_t low, count;    /* low ... low + count - 1, modulo p; count = p: all of the circle */
};

struct hunt {
    struct cc_places *places;
    const struct cc_plan *plan;
    const struct cc_request *request;
    const struct cc_seen *seen;
    size_t most;
    uint64_t p, q;          /* unit * ratio = p / q: u units are u q / p revolutions */
    struct window window;
};

/* Where the spindle is at units, modulo one revolution, in units of 1/p. */
static uint64_t spindle_at(const struct hunt *hunt, const mpz_t units)
{
    mpz_t x, p;
    uint64_t result;

    mpz_init(x);
    mpz_init(p);
    cc_set_u64(x, hunt->q);
    cc_set_u64(p, hunt->p);
    mpz_mul(x, x, units);
    mpz_fdiv_r(x, x, p);
    result = cc_get_u64(x);
    mpz_clear(p);
    mpz_clear(x);
    return result;
}

static bool in_window(const struct hunt *hunt, uint64_t x)
{
    const struct window *w = &hunt->window;
    uint64_t after = x >= w->low ? x - w->low : x + (hunt->p - w->low);
    return after < w->count;
}

/* The window that reading and uncertainty leave; all of the circle without a reading. */
static void find_window(struct hunt *hunt)
{
    const struct cc_seen *seen = hunt->seen;
    mpq_t edge, scale;
    mpz_t low, high, p;

    hunt->window = (struct window){ 0, hunt->p };
    if (!seen->has_reading)
        return;
    mpq_init(edge);
    mpq_init(scale);
    mpz_init(low);
    mpz_init(high);
    mpz_init(p);
    cc_set_u64(p, hunt->p);
    mpq_set_z(scale, p);
    mpq_sub(edge, seen->reading, seen->uncertainty);
    mpq_mul(edge, edge, scale);
    mpz_cdiv_q(low, mpq_numref(edge), mpq_denref(edge));
    mpq_add(edge, seen->reading, seen->uncertainty);
    mpq_mul(edge, edge, scale);
    mpz_fdiv_q(high, mpq_numref(edge), mpq_denref(edge));
    mpz_sub(high, high, low);
    mpz_add_ui(high, high, 1);
    mpz_fdiv_r(low, low, p);
    hunt->window.low = cc_get_u64(low);
    if (mpz_cmp(high, p) < 0)
        hunt->window.count = mpz_sgn(high) > 0 ? cc_get_u64(high) : 0;
    mpz_clear(p);
    mpz_clear(high);
    mpz_clear(low);
    mpq_clear(scale);
    mpq_clear(edge);
}

/* ---- keeping the likeliest ---- */

/* off = reading - x/p, brought within half a revolution. */
static void find_off(mpq_t off, const struct hunt *hunt, uint64_t x)
{
    mpz_t whole;

    mpq_set_ui(off, 0, 1);
    if (!hunt->seen->has_reading)
        return;
    cc_set_u64(mpq_numref(off), x);
    cc_set_u64(mpq_denref(off), hunt->p);
    mpq_canonicalize(off);
    mpq_sub(off, hunt->seen->reading, off);
    /* ceil(off - 1/2) whole turns leave -1/2 < off <= 1/2. */
    mpz_init(whole);
    mpz_mul_2exp(whole, mpq_numref(off), 1);
    mpz_sub(whole, whole, mpq_denref(off));
    mpz_t twice;
    mpz_init(twice);
    mpz_mul_2exp(twice, mpq_denref(off), 1);
    mpz_cdiv_q(whole, whole, twice);
    mpz_submul(mpq_numref(off), whole, mpq_denref(off));
    mpz_clear(twice);
    mpz_clear(whole);
}

static int cmp_abs(const mpq_t a, const mpq_t b)
{
    mpq_t size_a, size_b;
    int order;

    mpq_init(size_a);
    mpq_init(size_b);
    mpq_abs(size_a, a);
    mpq_abs(size_b, b);
    order = mpq_cmp(size_a, size_b);
    mpq_clear(size_b);
    mpq_clear(size_a);
    return order;
}

static bool likelier(const struct hunt *hunt, const struct cc_place *a, const struct cc_place *b)
{
    if (hunt->seen->has_last && a->row != b->row)
        return a->row < b->row;
    int order = cmp_abs(a->off, b->off);
    return order != 0 ? order < 0 : a->row < b->row;
}

/* Room for most places, all initialised. */
static enum cc_status make_room(struct cc_places *places, size_t most, struct cc_error *err)
{
    if (places->room < most) {
        struct cc_place *more = realloc(places->at, most * sizeof *more);
        if (more == NULL)
            return cc_fail(err, CC_ENOMEM, "out of memory");
        places->at = more;
        for (; places->room < most; places->room++)
            mpq_init(places->at[places->room].off);
    }
    places->n = 0;
    places->total = 0;
    return CC_OK;
}

static void place_swap(struct cc_place *a, struct cc_place *b)
{
    struct cc_place t = *a;
    *a = *b;
    *b = t;
}

/* Add a place, its spindle at x. Where the list is full, the worst place in it makes way. */
static void keep(struct hunt *hunt, uint64_t row, uint64_t turns, uint64_t holes, uint64_t x)
{
    struct cc_places *places = hunt->places;
    struct cc_place fresh = { .row = row, .turns = turns, .holes = holes };

    places->total++;
    if (hunt->most == 0)
        return;
    mpq_init(fresh.off);
    find_off(fresh.off, hunt, x);
    size_t i = places->n;
    if (i < hunt->most) {
        places->n++;
    } else if (!likelier(hunt, &fresh, &places->at[i - 1])) {
        mpq_clear(fresh.off);
        return;
    } else {
        i--;
    }
    place_swap(&places->at[i], &fresh);
    mpq_clear(fresh.off);
    for (; i > 0 && likelier(hunt, &places->at[i], &places->at[i - 1]); i--)
        place_swap(&places->at[i], &places->at[i - 1]);
}

static bool too_many(const struct hunt *hunt)
{
    return hunt->places->total > CC_MAX_PLACES;
}

/* ---- one movement, every time ---- */

struct rows {               /* first + every * j, j = 0, 1, ...; none */
    bool none;
    uint64_t first, every;
};

static uint64_t modulo(int64_t n, uint64_t m)
{
    int64_t r = n % (int64_t)m;
    return (uint64_t)(r < 0 ? r + (int64_t)m : r);
}

/* The i with start + i * move congruent to hole modulo circle. */
static struct rows rows_at_hole(int64_t start, int64_t move, uint64_t circle, uint64_t hole)
{
    uint64_t a = modulo(move, circle), g = cci_gcd(a, circle), m = circle / g;
    uint64_t d = (hole + circle - modulo(start, circle)) % circle;

    if (d % g != 0)
        return (struct rows){ .none = true };
    return (struct rows){ false, cci_wide_mul_mod(d / g, cci_inverse(a / g % m, m), m), m };
}

/* Rows in both (Chinese remainder; the modules are circles, so their product fits). */
static struct rows rows_in_both(struct rows a, struct rows b)
{
    if (a.none || b.none)
        return (struct rows){ .none = true };
    uint64_t g = cci_gcd(a.every, b.every), m = b.every / g;
    uint64_t d = (b.first + b.every - a.first % b.every) % b.every;
    if (d % g != 0)
        return (struct rows){ .none = true };
    uint64_t j = cci_wide_mul_mod(d / g % m, cci_inverse(a.every / g % m, m), m);
    return (struct rows){ false, a.first + a.every * j, a.every * m };
}

static struct rows rows_by_pins(const struct hunt *hunt)
{
    const struct cc_plan *plan = hunt->plan;
    const struct cc_seen *seen = hunt->seen;
    struct cci_split start = cci_split_units(plan, plan->start);
    struct cci_split move = cci_split_units(plan, plan->move);
    struct rows rows = { false, 0, 1 };

    if (seen->has_hole)
        rows = rows_at_hole(start.pin, move.pin, plan->circle, seen->hole);
    if (seen->has_hole2)
        rows = rows_in_both(rows, rows_at_hole(start.plate, move.plate, plan->circle2, seen->hole2));
    if (!rows.none && seen->has_last && rows.first < seen->last) {
        uint64_t behind = seen->last - rows.first;
        rows.first += (behind + rows.every - 1) / rows.every * rows.every;
    }
    return rows;
}

/* Walk the hits of one stretch low ... high, modulo p, of first's spindle + j * stride. */
static void walk_hits(struct hunt *hunt, struct rows rows, uint64_t stride, uint64_t base,
                      uint64_t low, uint64_t high)
{
    uint64_t last = (hunt->plan->steps - rows.first) / rows.every;

    for (uint64_t j = 0; j <= last && !too_many(hunt); j++) {
        j = cci_first_hit(stride, hunt->p, low, high, j);
        if (j > last)
            return;
        keep(hunt, rows.first + rows.every * j, 0, 0,
             cci_wide_rest(cci_wide_add(cci_wide_product(stride, j), cci_wide(base)), hunt->p));
    }
}

static void hunt_constant(struct hunt *hunt)
{
    struct rows rows = rows_by_pins(hunt);
    const struct window *w = &hunt->window;
    uint64_t p = hunt->p;
    mpz_t units;

    if (rows.none || rows.first > hunt->plan->steps || w->count == 0)
        return;
    mpz_init(units);
    cci_units_of_constant(units, hunt->plan, rows.first);
    uint64_t base = spindle_at(hunt, units);
    mpz_clear(units);
    uint64_t stride = cci_wide_mul_mod(cci_wide_mul_mod(modulo(hunt->plan->move, p), rows.every % p, p), hunt->q % p, p);
    if (w->count >= p) {
        walk_hits(hunt, rows, stride, base, 0, p - 1);
        return;
    }
    uint64_t low = (w->low + (p - base)) % p, most = p - low;
    walk_hits(hunt, rows, stride, base, low, low + (w->count < most ? w->count : most) - 1);
    if (w->count > most)
        walk_hits(hunt, rows, stride, base, 0, w->count - most - 1);
}

/* ---- row by row ---- */

/* x of a step's angle. */
static uint64_t spindle_of(const struct hunt *hunt, const struct cc_step *step)
{
    mpz_t x, p;
    uint64_t result;

    mpz_init(x);
    mpz_init(p);
    cc_set_u64(p, hunt->p);
    mpz_mul(x, mpq_numref(step->angle), p);
    mpz_divexact(x, x, mpq_denref(step->angle));
    mpz_fdiv_r(x, x, p);
    result = cc_get_u64(x);
    mpz_clear(p);
    mpz_clear(x);
    return result;
}

static void hunt_rows(struct hunt *hunt)
{
    const struct cc_seen *seen = hunt->seen;
    struct cc_cursor cursor;
    struct cc_step step;

    cc_step_init(&step);
    cc_cursor_init(&cursor, hunt->plan, hunt->request);
    if (seen->has_last)
        cc_cursor_seek(&cursor, seen->last);
    while (!too_many(hunt) && cc_cursor_next(&cursor, &step)) {
        if ((seen->has_hole && step.hole != seen->hole) ||
            (seen->has_hole2 && step.hole2 != seen->hole2))
            continue;
        uint64_t x = spindle_of(hunt, &step);
        if (in_window(hunt, x))
            keep(hunt, step.step, 0, 0, x);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

/* ---- the two questions ---- */

static enum cc_status check_seen(const struct cc_plan *plan, const struct cc_seen *seen,
                                 struct cc_error *err)
{
    uint64_t holes2 = cc_plan_is_vernier(plan) ? plan->unit / plan->circle : plan->circle2;

    if (seen->has_hole && seen->hole >= plan->circle)
        return cc_fail(err, CC_EDOM, "hole %llu: the circle has %u holes, counted from 0 to %u",
                       (unsigned long long)seen->hole, plan->circle, plan->circle - 1);
    if (seen->has_hole2 && holes2 == 0)
        return cc_fail(err, CC_EDOM, "hole2 %llu: this plan (%s) moves one pin only",
                       (unsigned long long)seen->hole2, cc_method_name(plan->method));
    if (seen->has_hole2 && seen->hole2 >= holes2)
        return cc_fail(err, CC_EDOM, "hole2 %llu: %llu are counted from 0 to %llu",
                       (unsigned long long)seen->hole2, (unsigned long long)holes2,
                       (unsigned long long)(holes2 - 1));
    if (seen->has_last && seen->last > plan->steps)
        return cc_fail(err, CC_EDOM, "step %llu is beyond the last step, %llu",
                       (unsigned long long)seen->last, (unsigned long long)plan->steps);
    if (mpq_sgn(seen->uncertainty) < 0)
        return cc_fail(err, CC_EDOM, "the uncertainty of a reading is 0 or more");
    return CC_OK;
}

static enum cc_status begin(struct hunt *hunt, struct cc_error *err)
{
    enum cc_status s = check_seen(hunt->plan, hunt->seen, err);
    mpq_t scale;

    if (s == CC_OK)
        s = make_room(hunt->places, hunt->most, err);
    if (s != CC_OK)
        return s;
    mpq_init(scale);
    cci_scale(scale, hunt->plan->unit, hunt->plan->ratio);
    hunt->p = cc_get_u64(mpq_numref(scale));
    hunt->q = cc_get_u64(mpq_denref(scale));
    mpq_clear(scale);
    find_window(hunt);
    return CC_OK;
}

static enum cc_status finish(const struct hunt *hunt, struct cc_error *err)
{
    if (too_many(hunt))
        return cc_fail(err, CC_ELIMIT, "more than %d places fit: say more of what can be seen", CC_MAX_PLACES);
    if (hunt->places->total == 0)
        return cc_fail(err, CC_ENOFIT, "no step of this job fits what is seen");
    return CC_OK;
}

enum cc_status cc_recover(struct cc_places *places, const struct cc_plan *plan,
                          const struct cc_request *request, const struct cc_seen *seen, size_t most,
                          struct cc_error *err)
{
    struct hunt hunt = { places, plan, request, seen, most, 0, 0, { 0, 0 } };
    enum cc_status s = begin(&hunt, err);

    if (s != CC_OK)
        return s;
    if (plan->constant && !cc_plan_is_vernier(plan))
        hunt_constant(&hunt);
    else
        hunt_rows(&hunt);
    return finish(&hunt, err);
}

/* Add the places at seen->hole that the pin passes on its way to row, strictly between `from` and `to` units. */
static void hunt_between(struct hunt *hunt, uint64_t row, const mpz_t from, const mpz_t to)
{
    unsigned circle = hunt->plan->circle;
    mpz_t at, left;

    mpz_init(at);
    mpz_init(left);
    mpz_add_ui(at, from, 1);
    unsigned long behind = mpz_fdiv_ui(at, circle);
    mpz_add_ui(at, at, (unsigned long)((hunt->seen->hole + circle - behind) % circle));
    for (; mpz_cmp(at, to) < 0 && !too_many(hunt); mpz_add_ui(at, at, circle)) {
        uint64_t x = spindle_at(hunt, at);
        if (!in_window(hunt, x))
            continue;
        mpz_sub(left, to, at);
        uint64_t holes = cc_get_u64(left);
        keep(hunt, row, holes / circle, holes % circle, x);
    }
    mpz_clear(left);
    mpz_clear(at);
}

enum cc_status cc_recover_between(struct cc_places *places, const struct cc_plan *plan,
                                  const struct cc_request *request, const struct cc_seen *seen,
                                  size_t most, struct cc_error *err)
{
    struct hunt hunt = { places, plan, request, seen, most, 0, 0, { 0, 0 } };
    struct cc_cursor cursor;
    struct cc_step step;
    enum cc_status s = begin(&hunt, err);

    if (s != CC_OK)
        return s;
    if (cc_plan_is_direct(plan) || plan->circle2 != 0 || !seen->has_hole || !seen->has_reading)
        return finish(&hunt, err);
    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, request);
    mpz_t before;
    mpz_init(before);
    if (seen->has_last)
        cc_cursor_seek(&cursor, seen->last);
    cc_cursor_next(&cursor, &step);
    mpz_set(before, cursor.at);
    /* A movement of one circle is at most the whole job, so this is bounded by its crank turns. */
    while (!too_many(&hunt) && cc_cursor_next(&cursor, &step)) {
        hunt_between(&hunt, step.step, before, cursor.at);
        mpz_set(before, cursor.at);
    }
    mpz_clear(before);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    return finish(&hunt, err);
}

enum cc_status cc_row_of_division(uint64_t *row, const struct cc_plan *plan,
                                  const struct cc_request *request, uint64_t division,
                                  struct cc_error *err)
{
    bool list = request->position_count > 0;
    uint64_t least = list ? 1 : 0, most = plan->has_closing && !list ? plan->steps - 1 : plan->steps;

    if (division < least || division > most)
        return cc_fail(err, CC_EDOM, "'%llu' is not a %s of this job: they are numbered %llu to %llu",
                       (unsigned long long)division, list ? "position" : "division", (unsigned long long)least,
                       (unsigned long long)most);
    /* Row i makes division i k mod N, gcd(k, N) = 1. */
    if (!list && plan->has_closing && plan->steps > 1)
        *row = cci_wide_mul_mod(division, cci_inverse(plan->block % plan->steps, plan->steps), plan->steps);
    else
        *row = division;
    return CC_OK;
}
