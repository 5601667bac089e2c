/*
 * hunt.c: from what can be seen to the rows that fit.
 *
 * A plan of one movement m stands at start + i m units in row i (plan.h). Each pin hole seen is a congruence for i;
 * together they leave i = first + every * j. A reading asks that the angle fall within a window of the circle, and
 * cci_first_hit walks from hit to hit. Rounded divisions too many to be held are walked from window to window of where
 * the positions should be, and each row that comes so is looked at.
 */
#include "plan/hunt.h"

#include <stdlib.h>

#include "crankcard/number.h"

uint64_t cci_modulo(int64_t n, uint64_t m)
{
    int64_t r = n % (int64_t)m;
    return (uint64_t)(r < 0 ? r + (int64_t)m : r);
}

uint64_t cci_first_cut(const struct cc_request *request)
{
    return request->position_count > 0 ? 1 : 0;
}

uint64_t cci_last_cut(const struct cc_plan *plan)
{
    return plan->has_closing ? plan->steps - 1 : plan->steps;
}

/* ---- angles ---- */

struct cci_window cci_window_of(const mpq_t reading, const mpq_t uncertainty, uint64_t p)
{
    struct cci_window window = { 0, p };
    mpq_t edge, scale;
    mpz_t low, high, whole;

    mpq_inits(edge, scale, NULL);
    mpz_inits(low, high, whole, NULL);
    cc_set_u64(whole, p);
    mpq_set_z(scale, whole);
    mpq_sub(edge, reading, uncertainty);
    mpq_mul(edge, edge, scale);
    mpz_cdiv_q(low, mpq_numref(edge), mpq_denref(edge));
    mpq_add(edge, reading, uncertainty);
    mpq_mul(edge, edge, scale);
    mpz_fdiv_q(high, mpq_numref(edge), mpq_denref(edge));
    mpz_sub(high, high, low);
    mpz_add_ui(high, high, 1);
    mpz_fdiv_r(low, low, whole);
    window.low = cc_get_u64(low);
    if (mpz_cmp(high, whole) < 0)
        window.count = mpz_sgn(high) > 0 ? cc_get_u64(high) : 0;
    mpz_clears(whole, high, low, NULL);
    mpq_clears(scale, edge, NULL);
    return window;
}

bool cci_in_window(const struct cci_window *window, uint64_t x, uint64_t p)
{
    uint64_t after = x >= window->low ? x - window->low : x + (p - window->low);
    return after < window->count;
}

void cci_find_off(mpq_t off, const struct cc_seen *seen, uint64_t x, uint64_t p)
{
    mpz_t whole, twice;

    mpq_set_ui(off, 0, 1);
    if (!seen->has_reading)
        return;
    cc_set_u64(mpq_numref(off), x);
    cc_set_u64(mpq_denref(off), p);
    mpq_canonicalize(off);
    mpq_sub(off, seen->reading, off);
    /* ceil(off - 1/2) whole turns leave -1/2 < off <= 1/2. */
    mpz_inits(whole, twice, NULL);
    mpz_mul_2exp(whole, mpq_numref(off), 1);
    mpz_sub(whole, whole, mpq_denref(off));
    mpz_mul_2exp(twice, mpq_denref(off), 1);
    mpz_cdiv_q(whole, whole, twice);
    mpz_submul(mpq_numref(off), whole, mpq_denref(off));
    mpz_clears(twice, whole, NULL);
}

uint64_t cci_units_spindle(const struct cci_hunt *hunt, const mpz_t units)
{
    mpz_t x, p;
    uint64_t result;

    mpz_inits(x, p, NULL);
    cc_set_u64(x, hunt->line.q);
    cc_set_u64(p, hunt->line.p);
    mpz_mul(x, x, units);
    mpz_fdiv_r(x, x, p);
    result = cc_get_u64(x);
    mpz_clears(p, x, NULL);
    return result;
}

/* ---- one movement, every time ---- */

uint64_t cci_next_in(uint64_t stride, uint64_t p, uint64_t low, uint64_t count, uint64_t from)
{
    if (count >= p)
        return from;
    uint64_t most = p - low;
    uint64_t j = cci_first_hit(stride, p, low, low + (count < most ? count : most) - 1, from);
    uint64_t wrapped = count > most ? cci_first_hit(stride, p, 0, count - most - 1, from) : CCI_NO_HIT;
    return wrapped < j ? wrapped : j;
}

bool cci_rows_at(uint64_t *first, uint64_t *every, int64_t start, int64_t move, uint64_t circle, uint64_t hole)
{
    uint64_t a = cci_modulo(move, circle), g = cci_gcd(a, circle), m = circle / g;
    uint64_t d = (hole + circle - cci_modulo(start, circle)) % circle;

    if (d % g != 0)
        return false;
    *first = cci_wide_mul_mod(d / g, cci_inverse(a / g % m, m), m);
    *every = m;
    return true;
}

/* Those of first + every * j that are also b_first + b_every * j (Chinese remainder; a product of two circles fits). */
static bool rows_in_both(uint64_t *first, uint64_t *every, uint64_t b_first, uint64_t b_every)
{
    uint64_t g = cci_gcd(*every, b_every), m = b_every / g;
    uint64_t d = (b_first + b_every - *first % b_every) % b_every;

    if (d % g != 0)
        return false;
    *first += *every * cci_wide_mul_mod(d / g % m, cci_inverse(*every / g % m, m), m);
    *every *= m;
    return true;
}

static bool rows_by_pins(uint64_t *first, uint64_t *every, const struct cci_hunt *hunt, const struct cci_line *line)
{
    const struct cc_seen *seen = hunt->seen;
    uint64_t first2, every2;

    *first = 0;
    *every = 1;
    if (!hunt->any_hole && seen->has_hole &&
        (hunt->hole >= line->circle || !cci_rows_at(first, every, line->pin0, line->pin, line->circle, hunt->hole)))
        return false;
    if (!hunt->any_hole && seen->has_hole2 &&
        (!cci_rows_at(&first2, &every2, line->plate0, line->plate, line->circle2, seen->hole2) ||
         !rows_in_both(first, every, first2, every2)))
        return false;
    if (*first < hunt->low) {
        uint64_t behind = hunt->low - *first;
        *first += (behind + *every - 1) / *every * *every;
    }
    return true;
}

uint64_t cci_line_way(const struct cci_line *line, int64_t pin, int64_t plate)
{
    uint64_t p = line->p;
    uint64_t x = cci_wide_mul_mod(cci_modulo(pin, p), line->unit / line->circle % p, p);

    if (plate != 0)
        x = (x + cci_wide_mul_mod(cci_modulo(plate, p), line->unit / line->circle2 % p, p)) % p;
    return cci_wide_mul_mod(x, line->q % p, p);
}

uint64_t cci_line_spindle(const struct cci_line *line, uint64_t i)
{
    uint64_t p = line->p, stride = cci_line_way(line, line->pin, line->plate);

    return (cci_line_way(line, line->pin0, line->plate0) + cci_wide_mul_mod(stride, i % p, p)) % p;
}

struct cci_line cci_line_of(unsigned circle, unsigned circle2, const struct cc_plan *plan, const struct cc_seen *seen)
{
    struct cci_line line = { .circle = circle, .circle2 = circle2, .unit = circle };
    mpq_t scale;

    if (circle2 != 0)
        line.unit *= circle2 / cci_gcd(circle, circle2);
    mpq_init(scale);
    cci_scale(scale, line.unit, plan->ratio);
    line.p = cc_get_u64(mpq_numref(scale));
    line.q = cc_get_u64(mpq_denref(scale));
    mpq_clear(scale);
    line.window = seen->has_reading ? cci_window_of(seen->reading, seen->uncertainty, line.p) : (struct cci_window){ 0, line.p };
    return line;
}

static bool spend(struct cci_hunt *hunt)
{
    if (hunt->budget > 0)
        hunt->budget--;
    return hunt->budget > 0;
}

/* Walk the hits of one stretch low ... high, modulo p, of base + j * stride. Returns false where enough was found. */
static bool walk_hits(struct cci_hunt *hunt, const struct cci_line *line, uint64_t first, uint64_t every, uint64_t low,
                      uint64_t high)
{
    uint64_t p = line->p, last = (hunt->high - first) / every, base = cci_line_spindle(line, first);
    uint64_t stride = cci_wide_mul_mod(cci_line_way(line, line->pin, line->plate), every % p, p);

    for (uint64_t j = 0; j <= last; j++) {
        j = cci_first_hit(stride, p, low, high, j);
        if (j > last)
            return true;
        uint64_t x = cci_wide_rest(cci_wide_add(cci_wide_product(stride, j), cci_wide(base)), p);
        if (!spend(hunt) || !hunt->found(hunt, first + every * j, x))
            return false;
    }
    return true;
}

void cci_hunt_line(struct cci_hunt *hunt, const struct cci_line *line)
{
    uint64_t first, every, p = line->p;
    struct cci_window w = hunt->any_angle ? (struct cci_window){ 0, p } : line->window;

    if (w.count == 0 || hunt->low > hunt->high || !rows_by_pins(&first, &every, hunt, line) || first > hunt->high)
        return;
    if (w.count >= p) {
        walk_hits(hunt, line, first, every, 0, p - 1);
        return;
    }
    uint64_t low = (w.low + (p - cci_line_spindle(line, first))) % p, most = p - low;
    if (walk_hits(hunt, line, first, every, low, low + (w.count < most ? w.count : most) - 1) && w.count > most)
        walk_hits(hunt, line, first, every, 0, w.count - most - 1);
}

/* ---- rows that are held ---- */

uint64_t cci_hunt_spindle(const struct cci_hunt *hunt, uint64_t i)
{
    return hunt->has_line ? cci_line_spindle(&hunt->line, i) : hunt->row[i].x;
}

/* A row from where the pins are now, further on by what is asked. */
static void try_row(struct cci_hunt *hunt, uint64_t i, uint64_t hole, uint64_t hole2, uint64_t x)
{
    const struct cc_seen *seen = hunt->seen;
    unsigned circle = hunt->plan->circle;
    bool vernier = cc_plan_is_vernier(hunt->plan);

    if (!hunt->any_hole && seen->has_hole && (hole + cci_modulo(hunt->pin, circle)) % circle != hunt->hole)
        return;
    /* A vernier's pins do not go round: what is beyond the last is none. */
    if (vernier && (hunt->plate < 0 ? hole2 < (uint64_t)-hunt->plate : hole2 + (uint64_t)hunt->plate >= hunt->holes2))
        return;
    if (!hunt->any_hole && seen->has_hole2 && (hole2 + cci_modulo(hunt->plate, hunt->holes2)) % hunt->holes2 != seen->hole2)
        return;
    x = (x + cci_line_way(&hunt->line, hunt->pin, hunt->plate)) % hunt->line.p;
    if ((hunt->any_angle || cci_in_window(&hunt->line.window, x, hunt->line.p)) && !hunt->found(hunt, i, x))
        hunt->budget = 0;
}

static void hunt_held(struct cci_hunt *hunt)
{
    const struct cc_seen *seen = hunt->seen;
    unsigned circle = hunt->plan->circle;

    if (hunt->any_hole || !seen->has_hole) {
        for (uint64_t i = hunt->low; i <= hunt->high && spend(hunt); i++)
            try_row(hunt, i, hunt->row[i].hole, hunt->row[i].hole2, hunt->row[i].x);
        return;
    }
    uint64_t hole = (hunt->hole + cci_modulo(-hunt->pin, circle)) % circle;
    uint32_t at = hole > 0 ? hunt->hole_end[hole - 1] : 0, end = hunt->hole_end[hole];
    for (uint32_t low = at, high = end; low < high; ) {     /* the first at or behind low */
        uint32_t middle = low + (high - low) / 2;
        if (hunt->in_hole[middle] < hunt->low)
            at = low = middle + 1;
        else
            at = high = middle;
    }
    for (; at < end && hunt->in_hole[at] <= hunt->high && spend(hunt); at++)
        try_row(hunt, hunt->in_hole[at], hole, hunt->row[hunt->in_hole[at]].hole2, hunt->row[hunt->in_hole[at]].x);
}

static void sort_by_hole(struct cci_hunt *hunt)
{
    uint64_t n = hunt->plan->steps + 1;
    unsigned circle = hunt->plan->circle;

    for (uint64_t i = 0; i < n; i++)
        hunt->hole_end[hunt->row[i].hole]++;
    for (unsigned h = 1; h < circle; h++)
        hunt->hole_end[h] += hunt->hole_end[h - 1];
    for (uint64_t i = n; i-- > 0; )             /* afterwards it is where those of a hole begin */
        hunt->in_hole[--hunt->hole_end[hunt->row[i].hole]] = (uint32_t)i;
    for (unsigned h = 0; h + 1 < circle; h++)
        hunt->hole_end[h] = hunt->hole_end[h + 1];
    hunt->hole_end[circle - 1] = (uint32_t)n;
}

static enum cc_status hold_rows(struct cci_hunt *hunt, struct cc_error *err)
{
    size_t n = (size_t)hunt->plan->steps + 1;
    struct cc_cursor cursor;
    struct cc_step step;

    hunt->row = calloc(n, sizeof *hunt->row);
    hunt->in_hole = calloc(n, sizeof *hunt->in_hole);
    hunt->hole_end = calloc(hunt->plan->circle, sizeof *hunt->hole_end);
    if (hunt->row == NULL || hunt->in_hole == NULL || hunt->hole_end == NULL) {
        cci_hunt_end(hunt);
        return cc_fail(err, CC_ENOMEM, "out of memory");
    }
    cc_step_init(&step);
    cc_cursor_init(&cursor, hunt->plan, hunt->request);
    for (size_t i = 0; cc_cursor_next(&cursor, &step); i++)
        hunt->row[i] = (struct cci_row){ step.turns, step.holes, step.holes2, (uint32_t)step.hole, (uint32_t)step.hole2,
                                         cci_units_spindle(hunt, cursor.at) };
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    sort_by_hole(hunt);
    return CC_OK;
}

/* ---- rounded divisions, too many to be held ---- */

/*
 * Where a row should be, in turns of the work modulo `turns`: offset + i step. An arc of it, from low to high, is
 * looked at; what lands in there is tried.
 */
struct arcs {
    struct cci_hunt *hunt;
    struct cc_cursor cursor;
    struct cc_step row;
    mpq_t step, low, high, half;    /* half a unit, revolutions: so far from where it should be a row may stand */
    mpz_t turns, scale, a, m, from, to, i, part;
};

static void arcs_init(struct arcs *arcs, struct cci_hunt *hunt)
{
    const struct cc_plan *plan = hunt->plan;

    arcs->hunt = hunt;
    cc_step_init(&arcs->row);
    cc_cursor_init(&arcs->cursor, plan, hunt->request);
    mpq_inits(arcs->step, arcs->low, arcs->high, arcs->half, NULL);
    mpz_inits(arcs->turns, arcs->scale, arcs->a, arcs->m, arcs->from, arcs->to, arcs->i, arcs->part, NULL);
    cc_request_nominal(arcs->step, hunt->request, plan->block, 1);
    mpq_sub(arcs->step, arcs->step, hunt->request->offset);
    cc_set_u64(mpq_numref(arcs->half), hunt->line.q);
    cc_set_u64(mpq_denref(arcs->half), hunt->line.p);
    mpq_canonicalize(arcs->half);
    mpq_div_2exp(arcs->half, arcs->half, 1);
}

static void arcs_clear(struct arcs *arcs)
{
    mpz_clears(arcs->turns, arcs->scale, arcs->a, arcs->m, arcs->from, arcs->to, arcs->i, arcs->part, NULL);
    mpq_clears(arcs->half, arcs->high, arcs->low, arcs->step, NULL);
    cc_cursor_clear(&arcs->cursor);
    cc_step_clear(&arcs->row);
}

static void arcs_try(struct arcs *arcs, uint64_t i)
{
    cc_cursor_seek(&arcs->cursor, i);
    cc_cursor_next(&arcs->cursor, &arcs->row);
    try_row(arcs->hunt, i, arcs->row.hole, arcs->row.hole2, cci_units_spindle(arcs->hunt, arcs->cursor.at));
}

/* The first i at or behind *i with from <= i a <= to modulo m, 0 <= from < m, from <= to < from + m. */
static bool arcs_next(struct arcs *arcs)
{
    mpz_t low, high;
    bool hit;

    mpz_mul(arcs->part, arcs->a, arcs->i);
    mpz_inits(low, high, NULL);
    mpz_sub(low, arcs->from, arcs->part);
    mpz_fdiv_r(low, low, arcs->m);
    mpz_sub(high, arcs->to, arcs->from);
    mpz_add(high, high, low);
    hit = mpz_sgn(low) == 0 || mpz_cmp(high, arcs->m) >= 0;      /* i itself */
    if (!hit) {
        hit = cci_first_hit_fine(arcs->part, arcs->a, arcs->m, low, high);
        if (hit)
            mpz_add(arcs->i, arcs->i, arcs->part);
    }
    mpz_clears(high, low, NULL);
    return hit;
}

/* Try the rows that should be between low and high, widened by half a unit. */
static void arcs_walk(struct arcs *arcs)
{
    struct cci_hunt *hunt = arcs->hunt;
    mpq_t edge;

    mpq_init(edge);
    mpz_mul(arcs->scale, mpq_denref(arcs->step), mpq_denref(hunt->request->offset));
    mpz_mul(arcs->a, mpq_numref(arcs->step), mpq_denref(hunt->request->offset));
    mpz_mul(arcs->m, arcs->turns, arcs->scale);
    mpz_fdiv_r(arcs->a, arcs->a, arcs->m);
    mpq_set_z(edge, arcs->scale);
    mpq_sub(arcs->low, arcs->low, arcs->half);
    mpq_add(arcs->high, arcs->high, arcs->half);
    mpq_sub(arcs->low, arcs->low, hunt->request->offset);
    mpq_sub(arcs->high, arcs->high, hunt->request->offset);
    mpq_mul(arcs->low, arcs->low, edge);
    mpq_mul(arcs->high, arcs->high, edge);
    mpz_cdiv_q(arcs->from, mpq_numref(arcs->low), mpq_denref(arcs->low));
    mpz_fdiv_q(arcs->to, mpq_numref(arcs->high), mpq_denref(arcs->high));
    mpq_clear(edge);
    mpz_sub(arcs->to, arcs->to, arcs->from);
    if (mpz_sgn(arcs->to) < 0)
        return;
    mpz_fdiv_r(arcs->from, arcs->from, arcs->m);
    mpz_add(arcs->to, arcs->to, arcs->from);
    cc_set_u64(arcs->i, hunt->low);
    while (hunt->budget > 0 && arcs_next(arcs)) {
        if (!mpz_fits_ulong_p(arcs->i) && mpz_sizeinbase(arcs->i, 2) > 64)
            return;
        uint64_t i = cc_get_u64(arcs->i);
        if (i > hunt->high || !spend(hunt))
            return;
        arcs_try(arcs, i);
        mpz_add_ui(arcs->i, arcs->i, 1);
    }
}

#define MOST_ARCS 4096

/* What the plan's units are, modulo so many, by the holes seen: false where holes alone do not tell them. */
static bool units_seen(uint64_t *units, const struct cci_hunt *hunt)
{
    const struct cc_plan *plan = hunt->plan;
    const struct cc_seen *seen = hunt->seen;

    if (hunt->any_hole || !seen->has_hole || cc_plan_is_vernier(plan))
        return false;
    uint64_t hole = (hunt->hole + cci_modulo(-hunt->pin, plan->circle)) % plan->circle;
    *units = hole;
    if (plan->circle2 == 0)
        return true;
    if (!seen->has_hole2 || cci_gcd(plan->circle, plan->circle2) != 1)
        return false;
    uint64_t hole2 = (seen->hole2 + cci_modulo(-hunt->plate, plan->circle2)) % plan->circle2;
    *units = (hole * plan->circle2 + hole2 * plan->circle) % plan->unit;
    return true;
}

/* Every crank turn of the turns of the work in which the pins can come round, held against the reading. */
static void hunt_crank_turns(struct arcs *arcs, uint64_t units, uint64_t crank_turns)
{
    struct cci_hunt *hunt = arcs->hunt;
    const struct cc_plan *plan = hunt->plan;
    uint64_t way = cci_line_way(&hunt->line, hunt->pin, hunt->plate), p = hunt->line.p;
    mpz_t at, whole;

    mpz_inits(at, whole, NULL);
    cc_set_u64(whole, hunt->line.q);
    for (uint64_t j = 0; j < crank_turns && hunt->budget > 0; j++) {
        /* units + j unit units: in 1/p of a turn of the work */
        cc_set_u64(at, j);
        cc_set_u64(arcs->part, plan->unit);
        mpz_mul(at, at, arcs->part);
        cc_set_u64(arcs->part, units);
        mpz_add(at, at, arcs->part);
        mpz_mul(at, at, whole);
        cc_set_u64(arcs->part, p);
        mpz_fdiv_r(arcs->part, at, arcs->part);
        if (!hunt->any_angle && !cci_in_window(&hunt->line.window, (cc_get_u64(arcs->part) + way) % p, p))
            continue;
        mpz_set(mpq_numref(arcs->low), at);
        cc_set_u64(mpq_denref(arcs->low), p);
        mpq_canonicalize(arcs->low);
        mpq_set(arcs->high, arcs->low);
        arcs_walk(arcs);
    }
    mpz_clears(whole, at, NULL);
}

/* The spindle's window alone, pulled back by how far the pins are further on. */
static void hunt_reading(struct arcs *arcs)
{
    struct cci_hunt *hunt = arcs->hunt;
    uint64_t p = hunt->line.p, low = (hunt->line.window.low + (p - cci_line_way(&hunt->line, hunt->pin, hunt->plate))) % p;

    if (hunt->any_angle || hunt->line.window.count >= p) {
        for (uint64_t i = hunt->low; i <= hunt->high && spend(hunt); i++)
            arcs_try(arcs, i);
        return;
    }
    if (hunt->line.window.count == 0)
        return;
    mpz_set_ui(arcs->turns, 1);
    cc_set_u64(mpq_numref(arcs->low), low);
    cc_set_u64(mpq_denref(arcs->low), p);
    mpq_canonicalize(arcs->low);
    cc_set_u64(mpq_numref(arcs->high), hunt->line.window.count - 1);
    cc_set_u64(mpq_denref(arcs->high), p);
    mpq_canonicalize(arcs->high);
    mpq_add(arcs->high, arcs->high, arcs->low);
    arcs_walk(arcs);
}

static void hunt_arcs(struct cci_hunt *hunt)
{
    struct arcs arcs;
    uint64_t units;

    arcs_init(&arcs, hunt);
    /* The pins come round in whole turns of the crank, R's numerator of them in its denominator's turns of the work. */
    mpz_set(arcs.turns, mpq_denref(hunt->plan->ratio));
    mpz_set(arcs.part, mpq_numref(hunt->plan->ratio));
    if (units_seen(&units, hunt) && mpz_cmp_ui(arcs.part, MOST_ARCS) <= 0)
        hunt_crank_turns(&arcs, units, cc_get_u64(arcs.part));
    else
        hunt_reading(&arcs);
    arcs_clear(&arcs);
}

/* ---- one question ---- */

bool cci_hole_fits(const struct cci_hunt *hunt, uint64_t hole)
{
    const struct cc_seen *seen = hunt->seen;
    unsigned circle = hunt->plan->circle;

    return !seen->has_hole || (hole + circle - seen->hole) % circle <= seen->more_holes;
}

static void hunt_hole(struct cci_hunt *hunt)
{
    if (hunt->has_line) {
        struct cci_line line = hunt->line;
        line.pin0 += hunt->pin;
        line.plate0 += hunt->plate;
        cci_hunt_line(hunt, &line);
    } else if (hunt->row != NULL) {
        hunt_held(hunt);
    } else {
        hunt_arcs(hunt);
    }
}

void cci_hunt(struct cci_hunt *hunt)
{
    const struct cc_seen *seen = hunt->seen;

    if (hunt->low > hunt->high)
        return;
    for (unsigned i = 0; i <= (hunt->any_hole || !seen->has_hole ? 0 : seen->more_holes) && hunt->budget > 0; i++) {
        hunt->hole = (seen->hole + i) % hunt->plan->circle;
        if (i == 0)         /* as it was seen: in another circle it may be any */
            hunt->hole = seen->hole;
        hunt_hole(hunt);
    }
    hunt->hole = seen->hole;
}

static enum cc_status check_holes(const struct cci_hunt *hunt, struct cc_error *err)
{
    const struct cc_seen *seen = hunt->seen;
    unsigned circle = seen->pin_circle != 0 ? seen->pin_circle : hunt->plan->circle;

    if (seen->has_hole && seen->hole >= circle && hunt->plan->detent > 1)
        return cc_fail(err, CC_EDOM, "hole %llu: %u holes of %u parts of the detent are counted from 0 to %u", (unsigned long long)seen->hole,
                       circle / hunt->plan->detent, hunt->plan->detent, circle - 1);
    if (seen->has_hole && seen->hole >= circle)
        return cc_fail(err, CC_EDOM, "hole %llu: the circle has %u holes, counted from 0 to %u",
                       (unsigned long long)seen->hole, circle, circle - 1);
    if (seen->more_holes >= circle)
        return cc_fail(err, CC_EDOM, "%u more holes: the circle has %u in all", seen->more_holes, circle);
    if (seen->has_hole2 && hunt->holes2 == 0)
        return cc_fail(err, CC_EDOM, "hole2 %llu: this plan (%s) moves one pin only",
                       (unsigned long long)seen->hole2, cc_method_name(hunt->plan->method));
    if (seen->has_hole2 && seen->hole2 >= hunt->holes2)
        return cc_fail(err, CC_EDOM, "hole2 %llu: %llu are counted from 0 to %llu",
                       (unsigned long long)seen->hole2, (unsigned long long)hunt->holes2,
                       (unsigned long long)(hunt->holes2 - 1));
    return CC_OK;
}

static enum cc_status check_seen(const struct cci_hunt *hunt, struct cc_error *err)
{
    const struct cc_seen *seen = hunt->seen;
    const struct { bool given; uint64_t row; } rows[] = {
        { seen->has_last, seen->last }, { seen->has_row, seen->row }, { seen->has_right, seen->right },
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (rows[i].given && rows[i].row > hunt->plan->steps)
            return cc_fail(err, CC_EDOM, "step %llu is beyond the last step, %llu", (unsigned long long)rows[i].row,
                           (unsigned long long)hunt->plan->steps);
    if (mpq_sgn(seen->uncertainty) < 0)
        return cc_fail(err, CC_EDOM, "the uncertainty of a reading is 0 or more");
    return check_holes(hunt, err);
}

static void known_rows(struct cci_hunt *hunt)
{
    const struct cc_seen *seen = hunt->seen;

    hunt->low = seen->has_last ? seen->last : 0;
    hunt->high = hunt->plan->steps;
    if (seen->has_right && seen->right > hunt->low)
        hunt->low = seen->right;
    if (seen->has_row) {
        hunt->high = seen->row;
        if (seen->row > hunt->low)
            hunt->low = seen->row;
    }
}

static void find_line(struct cci_hunt *hunt)
{
    const struct cc_plan *plan = hunt->plan;
    struct cci_split start = cci_split_units(plan, plan->start), move = cci_split_units(plan, plan->move);

    hunt->line.pin0 = start.pin;
    hunt->line.plate0 = start.plate;
    hunt->line.pin = move.pin;
    hunt->line.plate = move.plate;
}

enum cc_status cci_hunt_begin(struct cci_hunt *hunt, const struct cc_plan *plan, const struct cc_request *request,
                              const struct cc_seen *seen, struct cc_error *err)
{
    bool vernier = cc_plan_is_vernier(plan), list = request->position_count > 0;

    *hunt = (struct cci_hunt){ .plan = plan, .request = request, .seen = seen, .has_line = plan->constant && !vernier };
    hunt->holes2 = vernier ? plan->unit / plan->circle : plan->circle2;
    enum cc_status s = check_seen(hunt, err);
    if (s != CC_OK)
        return s;
    hunt->line = cci_line_of(plan->circle, plan->circle2, plan, seen);
    hunt->hole = seen->hole;
    known_rows(hunt);
    if (hunt->has_line)
        find_line(hunt);
    else if (list || plan->steps <= CCI_MOST_HELD)
        return hold_rows(hunt, err);
    return CC_OK;
}

void cci_hunt_end(struct cci_hunt *hunt)
{
    free(hunt->hole_end);
    free(hunt->in_hole);
    free(hunt->row);
    hunt->hole_end = NULL;
    hunt->in_hole = NULL;
    hunt->row = NULL;
}
