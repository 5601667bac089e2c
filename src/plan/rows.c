/*
 * rows.c: the rows of a plan in 64-bit integers.
 *
 * Let the position of row i be A/D, A = a0 + i a1 (whole), unit * ratio = s/t in lowest terms, T = D t.
 * The units wanted are x/T with x = A s.
 *
 *     rounded plans    units = x/T rounded, halves away from zero. With 2 x + T = 2 T q + r, 0 <= r < 2 T,
 *                      it is q, or q - 1 where r = 0 (a half) and x < 0. From row to row q and r grow by the
 *                      quotient and the rest of 2 a1 s / (2 T), so no row needs a division.
 *     lists            the same of a0 = the row's own position, D a common denominator of all; one division each
 *     constant plans   units = start + i move
 *     error            units t / s - A/D = (units T - A s) / (s D); rounded: numerator (T - r)/2, less T
 *                      where one was taken from q; constant: it grows by move T - a1 s.
 *
 * Everything below is under 2^62 once cc_rows_new has said yes; sums of two such fit 63 bits.
 */
#include "crankcard/rows.h"

#include <stdlib.h>

#include "plan/dial_reading.h"
#include "plan/lowest.h"
#include "plan/search.h"

#define WORD_BITS 62

struct movement {           /* one movement, split into the hands' parts */
    int64_t units, turns, holes, holes2;
    uint64_t hole_forward, hole2_forward;       /* the same modulo the circles */
};

struct cc_rows {
    const struct cc_plan *plan;
    const struct cc_request *list;          /* NULL for divisions */
    uint64_t next;
    bool circle, exact;
    uint64_t division, block, hole, hole2;
    int64_t units;                          /* where the spindle stands */
    struct movement movement[2];            /* the last ones used, by the parity of their units */
    uint64_t scale_num, scale_den;          /* unit * ratio */
    int64_t nominal, nominal_step;          /* numerators over nominal_den */
    uint64_t nominal_den;
    uint64_t one;                           /* nominal_den * scale_den: T above */
    int64_t error, error_step;              /* constant: numerators over error_den */
    uint64_t error_den;                     /* scale_num * nominal_den */
    int64_t floor, floor_step;              /* rounded: quotient and rest of (2 x + T) / (2 T) */
    uint64_t rest, rest_step;
    struct cci_denominator angle, crank, nominal_at, error_at;   /* what rows are fractions over */
    bool reads, dial_falls, rim_falls;
    uint64_t part, degrees;                 /* numerators of what a part of the dial and a unit of the rim are */
    struct cci_denominator dial_at, rim_at;
};

static bool fits(const mpz_t n)
{
    return mpz_sizeinbase(n, 2) <= WORD_BITS;
}

/* Whether a * b + c stays under 2^62 in size. */
static bool product_fits(int64_t *out, const mpz_t a, uint64_t b, const mpz_t c)
{
    mpz_t sum, factor;
    bool good;

    mpz_init(sum);
    mpz_init(factor);
    cc_set_u64(factor, b);
    mpz_mul(sum, a, factor);
    mpz_add(sum, sum, c);
    good = fits(sum);
    if (good && out != NULL)
        *out = cc_get_i64(sum);
    mpz_clear(factor);
    mpz_clear(sum);
    return good;
}

static void set_product(mpz_t out, int64_t a, uint64_t b)
{
    mpz_t factor;

    mpz_init(factor);
    cc_set_i64(out, a);
    cc_set_u64(factor, b);
    mpz_mul(out, out, factor);
    mpz_clear(factor);
}

/* Positions: A of rows 0 and 1 and D. False where they do not fit for all rows. */
static bool count_positions(struct cc_rows *rows, const struct cc_request *request, uint64_t from)
{
    const struct cc_plan *plan = rows->plan;
    mpq_t first, each;
    mpz_t den, a0, a1;
    bool good;

    mpq_init(first);
    mpq_init(each);
    mpz_init(den);
    mpz_init(a0);
    mpz_init(a1);
    cc_request_nominal(first, request, plan->block, 0);
    cc_request_nominal(each, request, plan->block, 1);
    mpq_sub(each, each, first);
    mpz_lcm(den, mpq_denref(first), mpq_denref(each));
    mpz_divexact(a0, den, mpq_denref(first));
    mpz_mul(a0, a0, mpq_numref(first));
    mpz_divexact(a1, den, mpq_denref(each));
    mpz_mul(a1, a1, mpq_numref(each));
    good = fits(den) && fits(a0) && fits(a1) && product_fits(NULL, a1, plan->steps, a0) &&
           product_fits(&rows->nominal, a1, from, a0);
    if (good) {
        rows->nominal_den = cc_get_u64(den);
        rows->nominal_step = cc_get_i64(a1);
    }
    mpz_clear(a1);
    mpz_clear(a0);
    mpz_clear(den);
    mpq_clear(each);
    mpq_clear(first);
    return good;
}

/* A common denominator of a list's positions: D. False where it is too large. */
static bool count_list(struct cc_rows *rows, const struct cc_request *request)
{
    uint64_t common = 1;

    for (size_t i = 0; i < request->position_count; i++) {
        mpz_srcptr part = mpq_denref(request->position[i]);
        uint64_t den = cc_get_u64(part);
        if (!fits(part))
            return false;
        if (common % den == 0)
            continue;
        den /= cci_gcd(den, common);
        if (den > CCI_MOST_LIST_DENOMINATOR / common)
            return false;
        common *= den;
    }
    rows->list = request;
    rows->nominal_den = common;
    return true;
}

static bool count_scale(struct cc_rows *rows)
{
    mpq_t scale;
    bool good;

    mpq_init(scale);
    cci_scale(scale, rows->plan->unit, rows->plan->ratio);
    good = fits(mpq_numref(scale)) && fits(mpq_denref(scale));
    if (good) {
        rows->scale_num = cc_get_u64(mpq_numref(scale));
        rows->scale_den = cc_get_u64(mpq_denref(scale));
        good = rows->scale_den < (UINT64_C(1) << 61) / rows->nominal_den &&
               rows->scale_num < (UINT64_C(1) << WORD_BITS) / rows->nominal_den;
        rows->one = rows->nominal_den * rows->scale_den;
        rows->error_den = rows->nominal_den * rows->scale_num;
    }
    mpq_clear(scale);
    return good;
}

/* Whether the spindle's units, times t, stay within bounds to the last row. */
static bool units_fit(const struct cc_rows *rows)
{
    const struct cc_plan *plan = rows->plan;
    uint64_t most = UINT64_C(1) << WORD_BITS;

    if (rows->list != NULL)
        return rows->scale_num < most / (CC_MAX_REVOLUTIONS + 1) && !plan->constant;
    if (plan->steps >> 61 != 0 || plan->move < 0 || plan->move >> 61 != 0)
        return false;
    cci_u128 last = cci_wide_product((uint64_t)plan->move + 1, plan->steps);
    last = cci_wide_add(last, cci_wide(cci_size_of(plan->start)));
    return cci_wide_less(last, cci_wide(most)) &&
           cci_wide_less(cci_wide_product(cci_wide_low(last), rows->scale_den), cci_wide(most));
}

/* 2 position s + more by 2 T: quotient downwards, and rest. */
static void divide_position(int64_t *quotient, uint64_t *rest, const struct cc_rows *rows, int64_t position,
                            uint64_t more)
{
    mpz_t x, by;

    mpz_init(x);
    mpz_init(by);
    set_product(x, 2 * position, rows->scale_num);
    cc_set_u64(by, more);
    mpz_add(x, x, by);
    cc_set_u64(by, 2 * rows->one);
    mpz_fdiv_qr(x, by, x, by);
    *quotient = cc_get_i64(x);
    *rest = cc_get_u64(by);
    mpz_clear(by);
    mpz_clear(x);
}

static void begin_rounded(struct cc_rows *rows)
{
    divide_position(&rows->floor, &rows->rest, rows, rows->nominal, rows->one);
    divide_position(&rows->floor_step, &rows->rest_step, rows, rows->nominal_step, 0);
}

/* units T - position s, units = start + i move; false where it reaches 2^61. */
static bool error_of(int64_t *error, const struct cc_rows *rows, int64_t start, uint64_t i, int64_t position)
{
    mpz_t x, y;
    bool good;

    mpz_init(x);
    mpz_init(y);
    set_product(x, rows->plan->move, i);
    cc_set_i64(y, start);
    mpz_add(x, x, y);
    cc_set_u64(y, rows->one);
    mpz_mul(x, x, y);
    set_product(y, position, rows->scale_num);
    mpz_sub(x, x, y);
    good = mpz_sizeinbase(x, 2) <= 61;
    *error = cc_get_i64(x);
    mpz_clear(y);
    mpz_clear(x);
    return good;
}

static bool begin_constant(struct cc_rows *rows, uint64_t from)
{
    const struct cc_plan *plan = rows->plan;
    int64_t each, error;
    mpz_t last, first;

    if (!error_of(&each, rows, 0, 1, rows->nominal_step) ||
        !error_of(&error, rows, plan->start, from, rows->nominal))
        return false;
    rows->error = error;
    rows->error_step = each;
    mpz_init(last);
    mpz_init(first);
    set_product(last, each, plan->steps - from);
    cc_set_i64(first, error);
    mpz_add(last, last, first);
    bool good = mpz_sizeinbase(last, 2) <= 61;
    mpz_clear(first);
    mpz_clear(last);
    return good;
}

/* Where pin, plate and spindle stand before row `from`. */
static void begin_place(struct cc_rows *rows, const struct cc_request *request, uint64_t from)
{
    struct cc_cursor cursor;
    struct cc_step step;

    cc_step_init(&step);
    cc_cursor_init(&cursor, rows->plan, request);
    cc_cursor_seek(&cursor, from - 1);
    (void)cc_cursor_next(&cursor, &step);
    rows->hole = step.hole;
    rows->hole2 = step.hole2;
    rows->units = cc_get_i64(cursor.at);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

static void set_movement(struct movement *m, const struct cc_plan *plan, int64_t units)
{
    struct cci_split split = cci_split_units(plan, units);
    int64_t circle = plan->circle, circle2 = plan->circle2;

    m->units = units;
    m->turns = split.pin / circle;
    m->holes = split.pin % circle;
    m->holes2 = split.plate;
    m->hole_forward = (uint64_t)(m->holes < 0 ? m->holes + circle : m->holes);
    m->hole2_forward = circle2 == 0 ? 0 : (uint64_t)((split.plate % circle2 + circle2) % circle2);
}

static bool rows_begin(struct cc_rows *rows, const struct cc_plan *plan, const struct cc_request *request,
                       uint64_t from)
{
    if (from == 0 || from > plan->steps || cc_plan_is_vernier(plan))
        return false;
    *rows = (struct cc_rows){ .plan = plan, .next = from };
    rows->circle = plan->has_closing;
    if (!(request->position_count > 0 ? count_list(rows, request) : count_positions(rows, request, from)) ||
        !count_scale(rows) || !units_fit(rows))
        return false;
    if (rows->list != NULL)
        ;                   /* nothing goes on from row to row */
    else if (!plan->constant)
        begin_rounded(rows);
    else if (!begin_constant(rows, from))
        return false;
    cci_denominator_init(&rows->angle, rows->scale_num);
    cci_denominator_init(&rows->crank, plan->unit);
    cci_denominator_init(&rows->nominal_at, rows->nominal_den);
    cci_denominator_init(&rows->error_at, rows->error_den);
    rows->exact = plan->constant && rows->error == 0 && rows->error_step == 0;
    rows->block = rows->circle ? plan->block % plan->steps : 1;
    rows->division = rows->circle ? cci_wide_mul_mod(from, plan->block, plan->steps) : from;
    begin_place(rows, request, from);
    set_movement(&rows->movement[plan->move & 1], plan, plan->move);
    set_movement(&rows->movement[(plan->move + 1) & 1], plan, plan->move + 1);
    return true;
}

struct cc_rows *cc_rows_new(const struct cc_plan *plan, const struct cc_request *request, uint64_t from)
{
    struct cc_rows *rows = malloc(sizeof *rows);

    if (rows != NULL && !rows_begin(rows, plan, request, from)) {
        free(rows);
        rows = NULL;
    }
    return rows;
}

void cc_rows_free(struct cc_rows *rows)
{
    free(rows);
}

/*
 * A part of the dial is part/q in lowest terms, so a reading is parts/q in lowest terms, times part. The rim stands at x of scale_num in a
 * turn, 360 x / scale_num degrees: what the two numbers share is taken out here.
 */
bool cc_rows_read_dial(struct cc_rows *rows, const struct cc_head *head, enum cc_way forward)
{
    uint64_t most = UINT64_C(1) << WORD_BITS, shared = cci_gcd(360, rows->scale_num);
    mpq_t part;
    bool good;

    mpq_init(part);
    cci_dial_value(part, 1, rows->plan);
    good = fits(mpq_numref(part)) && fits(mpq_denref(part));
    rows->part = cc_get_u64(mpq_numref(part));
    rows->degrees = 360 / shared;
    good = good && rows->part < most / rows->plan->unit && rows->scale_num < most / rows->degrees;
    if (good) {
        cci_denominator_init(&rows->dial_at, cc_get_u64(mpq_denref(part)));
        cci_denominator_init(&rows->rim_at, rows->scale_num / shared);
    }
    mpq_clear(part);
    rows->dial_falls = cci_dial_falls(head, forward);
    rows->rim_falls = cci_rim_falls(head, forward);
    rows->reads = good;
    return good;
}

/* ---- rows ---- */

/* num/den in lowest terms, times what den has nothing in common with */
static struct cc_fraction times_lowest(uint64_t num, const struct cci_denominator *den, uint64_t times)
{
    struct cc_fraction f = cci_lowest((int64_t)num, den);

    f.num *= (int64_t)times;
    return f;
}

static void read_dial(struct cc_row *row, const struct cc_rows *rows)
{
    uint64_t turn = rows->scale_num, rest = cci_size_of(rows->units) % turn, parts = rows->hole;

    rest = cci_wide_mul_mod(rest, rows->scale_den, turn);
    if ((rows->units < 0) != rows->rim_falls && rest > 0)
        rest = turn - rest;
    if (rows->dial_falls && parts > 0)
        parts = rows->plan->unit - parts;
    row->dial = times_lowest(parts, &rows->dial_at, rows->part);
    row->rim = times_lowest(rest, &rows->rim_at, rows->degrees);
}

/* Of a list's row: its position, and its units and error by a division of their sizes, halves upwards. */
static int64_t list_units(struct cc_rows *rows, int64_t *error)
{
    mpq_srcptr position = rows->list->position[rows->next - 1];
    uint64_t rest, wide = rows->nominal_den / cc_get_u64(mpq_denref(position));

    rows->nominal = cc_get_i64(mpq_numref(position)) * (int64_t)wide;
    cci_u128 twice = cci_wide_product(2 * cci_size_of(rows->nominal), rows->scale_num);
    int64_t units = (int64_t)cci_wide_divide(&rest, cci_wide_add(twice, cci_wide(rows->one)), 2 * rows->one);
    *error = ((int64_t)rows->one - (int64_t)rest) / 2;
    if (rows->nominal >= 0)
        return units;
    *error = -*error;
    return -units;
}

/* Units of the row whose position stands in rows->nominal, and its error's numerator. */
static int64_t row_units(struct cc_rows *rows, int64_t *error)
{
    if (rows->list != NULL)
        return list_units(rows, error);
    if (rows->plan->constant) {
        *error = rows->error;
        rows->error += rows->error_step;
        return rows->units + rows->plan->move;
    }
    int64_t units = rows->floor;
    *error = ((int64_t)rows->one - (int64_t)rows->rest) / 2;
    if (rows->rest == 0 && rows->nominal < 0) {
        units--;
        *error -= (int64_t)rows->one;
    }
    rows->floor += rows->floor_step;
    rows->rest += rows->rest_step;
    if (rows->rest >= 2 * rows->one) {
        rows->rest -= 2 * rows->one;
        rows->floor++;
    }
    return units;
}

bool cc_rows_next(struct cc_rows *rows, struct cc_row *row)
{
    const struct cc_plan *plan = rows->plan;
    int64_t error;

    if (rows->next > plan->steps)
        return false;
    int64_t units = row_units(rows, &error), moved = units - rows->units;
    struct movement *m = &rows->movement[moved & 1];
    if (m->units != moved)
        set_movement(m, plan, moved);
    rows->units = units;
    rows->hole += m->hole_forward;
    if (rows->hole >= plan->circle)
        rows->hole -= plan->circle;
    rows->hole2 += m->hole2_forward;
    if (rows->hole2 >= plan->circle2 && plan->circle2 > 0)
        rows->hole2 -= plan->circle2;

    row->step = rows->next;
    row->division = rows->division;
    row->closing = rows->circle && rows->next == plan->steps;
    row->turns = m->turns;
    row->holes = m->holes;
    row->holes2 = m->holes2;
    row->hole = rows->hole;
    row->hole2 = rows->hole2;
    row->angle = cci_lowest(units, &rows->angle);   /* t is prime to s */
    row->angle.num *= (int64_t)rows->scale_den;
    if (cc_plan_is_direct(plan))
        row->crank = (struct cc_fraction){ 0, 1 };
    else
        row->crank = cci_lowest(units, &rows->crank);
    row->nominal = rows->exact ? row->angle : cci_lowest(rows->nominal, &rows->nominal_at);
    row->error = cci_lowest(error, &rows->error_at);
    if (rows->reads)
        read_dial(row, rows);

    rows->nominal += rows->nominal_step;
    rows->division += rows->block;
    if (rows->circle && rows->division >= plan->steps)
        rows->division -= plan->steps;
    rows->next++;
    return true;
}

uint64_t cc_fraction_split(uint64_t *part, struct cc_fraction f, uint64_t scale)
{
    uint64_t size = cci_size_of(f.num), rest;

    *part = cci_wide_divide(&rest, cci_wide_product(size % f.den, scale), f.den);
    if (rest >= f.den - rest)
        ++*part;
    return size / f.den;
}

void cc_fraction_get(mpq_t out, struct cc_fraction f)
{
    cc_set_i64(mpq_numref(out), f.num);
    cc_set_u64(mpq_denref(out), f.den);
}
