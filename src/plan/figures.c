/*
 * figures.c: what a candidate costs and how far off it is: travel, worst error, pitch error, closing
 * error. docs/method.md, "Errors", derives each.
 */
#include <stdlib.h>

#include "crankcard/number.h"
#include "plan/search.h"

/* travel += count times the pin travel of one movement of so many units, in crank turns. */
static void add_travel(struct cc_plan *plan, int64_t units, const mpz_t count)
{
    struct cci_split split = cci_split_units(plan, units);
    mpq_t part;

    if (split.pin < 0 || split.plate < 0)
        plan->forward = false;
    if (cc_plan_is_direct(plan))
        return;
    mpq_init(part);
    cc_set_u64(mpq_numref(part), cci_split_travel(plan, split));
    mpz_mul(mpq_numref(part), mpq_numref(part), count);
    cc_set_u64(mpq_denref(part), plan->unit);
    mpq_canonicalize(part);
    mpq_add(plan->travel, plan->travel, part);
    mpq_clear(part);
}

/* ---- constant movements ---- */

/* Whole crank turns of all its movements. */
static cci_u128 turns_of_constant(const struct cci_search *search)
{
    return cci_wide_product(search->divisions, (uint64_t)search->scratch.move / search->scratch.unit);
}

static void travel_of_constant(struct cc_plan *plan, struct cci_search *search)
{
    mpz_t count;

    search->turns = turns_of_constant(search);
    mpz_init(count);
    cc_set_u64(count, search->divisions);
    add_travel(plan, plan->move, count);
    mpz_clear(count);
}

/* Units nearest to the offset. */
static int64_t start_units(const struct cci_search *search, const mpq_t scale)
{
    mpq_t units;
    mpz_t whole;
    int64_t start;

    if (mpq_sgn(search->request->offset) == 0)
        return 0;
    mpq_init(units);
    mpz_init(whole);
    mpq_mul(units, search->request->offset, scale);
    cc_rational_round(whole, units);
    start = cc_get_i64(whole);
    mpz_clear(whole);
    mpq_clear(units);
    return start;
}

/* A list, on the setting of the candidate in hand. */
static void offer_list(struct cci_search *search)
{
    cci_set_fractions(search);
    if (cci_list_figures(&search->scratch, search))
        cci_offer(search);
}

static void exact_in_fractions(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;

    if (search->request->position_count > 0) {
        offer_list(search);
        return;
    }
    cci_set_fractions(search);
    if (cci_is_outdone(search))
        return;
    mpq_t scale, units;
    mpq_init(scale);
    mpq_init(units);
    cci_scale(scale, plan->unit, plan->ratio);
    plan->constant = true;
    plan->start = start_units(search, scale);
    mpq_mul(units, search->step, scale);
    if (plan->block != search->block) {     /* a block the method chose: step holds block 1 */
        mpz_t k;
        mpz_init(k);
        cc_set_u64(k, plan->block);
        mpz_mul(mpq_numref(units), mpq_numref(units), k);
        mpq_canonicalize(units);
        mpz_clear(k);
    }
    plan->move = cc_get_i64(mpq_numref(units));
    mpq_clear(units);
    mpq_clear(scale);
    travel_of_constant(plan, search);
    if (cci_turns_allowed(search, plan))
        cci_offer(search);
}

void cci_offer_exact(struct cci_search *search)
{
    search->scratch.exact = true;
    search->planner->examined++;
    if (!cci_rank(search, CCI_EXACT))
        exact_in_fractions(search);
}

/*
 * Closing and worst error; drift = N move / scale - k, what all the movements together add. Row 0 is off by what its start was
 * rounded by, and the closing row by that and the drift.
 */
static void errors_of_constant(mpq_t drift, struct cc_plan *plan, const struct cci_search *search)
{
    mpq_t scale, first;
    mpz_t n;

    mpq_init(scale);
    mpq_init(first);
    mpz_init(n);
    cci_scale(scale, plan->unit, plan->ratio);
    plan->start = start_units(search, scale);
    cc_set_u64(n, search->divisions);
    cc_set_i64(mpq_numref(drift), plan->move);
    mpz_mul(mpq_numref(drift), mpq_numref(drift), n);
    mpq_div(drift, drift, scale);
    cc_set_u64(n, plan->block);
    mpz_submul(mpq_numref(drift), mpq_denref(drift), n);    /* a whole number less: still in lowest terms */
    if (mpq_sgn(search->request->offset) != 0) {
        cc_set_i64(mpq_numref(first), plan->start);
        mpq_div(first, first, scale);
        mpq_sub(first, first, search->request->offset);
    }
    mpq_add(plan->closing_error, drift, first);
    mpq_abs(plan->worst_error, plan->closing_error);
    mpq_abs(first, first);
    if (mpq_cmp(first, plan->worst_error) > 0)
        mpq_set(plan->worst_error, first);
    mpz_clear(n);
    mpq_clear(first);
    mpq_clear(scale);
}

/*
 * Neighbours are j rows apart one way and N - j the other, j k = 1 (mod N), and every row adds 1/N of the drift. One division has
 * no neighbours.
 */
static void pitch_of_constant(struct cc_plan *plan, const mpq_t drift, uint64_t n)
{
    uint64_t j = cci_inverse(plan->block % n, n), widest = n - j > j ? n - j : j;
    mpz_t count;

    mpz_init(count);
    mpq_abs(plan->worst_pitch, drift);
    cc_set_u64(count, n > 1 ? widest : 0);
    mpz_mul(mpq_numref(plan->worst_pitch), mpq_numref(plan->worst_pitch), count);
    cc_set_u64(count, n);
    mpz_mul(mpq_denref(plan->worst_pitch), mpq_denref(plan->worst_pitch), count);
    mpq_canonicalize(plan->worst_pitch);
    mpz_clear(count);
}

static void constant_in_fractions(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;
    mpq_t drift;

    search->turns = turns_of_constant(search);
    if (cci_is_dearer(search))
        return;
    cci_set_fractions(search);
    if (cci_is_outdone(search))
        return;
    plan->constant = true;
    mpq_init(drift);
    errors_of_constant(drift, plan, search);
    if (!cci_is_outdone_by_error(search)) {
        pitch_of_constant(plan, drift, search->divisions);
        travel_of_constant(plan, search);
        if (cci_turns_allowed(search, plan))
            cci_offer(search);
    }
    mpq_clear(drift);
}

void cci_offer_constant(struct cci_search *search)
{
    search->planner->examined++;
    if (!cci_rank(search, CCI_CONSTANT))
        constant_in_fractions(search);
}

/* ---- each position rounded to the nearest hole ---- */

/*
 * The rows of a rounded plan in units: row i is round(first + i * each), i = 0 ... rows.
 */
struct rounding {
    mpq_t each, first;
    uint64_t rows;
};

static void row_units(mpz_t units, const struct rounding *r, uint64_t i)
{
    mpq_t wanted;
    mpz_t count;

    mpq_init(wanted);   /* a common factor does no harm where it is only rounded */
    mpz_init(count);
    cc_set_u64(count, i);
    mpz_mul(mpq_numref(wanted), mpq_numref(r->each), count);
    mpz_mul(mpq_numref(wanted), mpq_numref(wanted), mpq_denref(r->first));
    mpz_addmul(mpq_numref(wanted), mpq_numref(r->first), mpq_denref(r->each));
    mpz_mul(mpq_denref(wanted), mpq_denref(r->each), mpq_denref(r->first));
    cc_rational_round(units, wanted);
    mpz_clear(count);
    mpq_clear(wanted);
}

/*
 * Where rows >= b - 1, each = a/b: the fractions of first + i each are (j + f)/b for every j = 0 ... b - 1,
 * f the fraction of b * first. The worst is the one nearest to a half: 1/2 less its distance from a half.
 */
static void worst_of_all_residues(mpq_t worst, const struct rounding *r)
{
    mpq_t f, x, half;
    mpz_t whole, j;

    mpq_init(f);
    mpq_init(x);
    mpq_init(half);
    mpz_init(whole);
    mpz_init(j);
    mpq_set_ui(half, 1, 2);
    mpz_set(mpq_numref(x), mpq_denref(r->each));        /* b */
    mpq_mul(f, x, r->first);
    mpz_fdiv_q(whole, mpq_numref(f), mpq_denref(f));
    mpz_submul(mpq_numref(f), whole, mpq_denref(f));    /* fraction of b * first */
    mpq_mul(x, x, half);
    mpq_sub(x, x, f);                                   /* the j wanted: b/2 - f, taken to a whole number */
    cc_rational_round(j, x);
    mpz_sub_ui(whole, mpq_denref(r->each), 1);
    if (mpz_sgn(j) < 0)
        mpz_set_ui(j, 0);
    if (mpz_cmp(j, whole) > 0)
        mpz_set(j, whole);
    /* distance = |j + f - b/2| / b = |j - x| / b */
    mpq_set_ui(f, 0, 1);
    mpz_set(mpq_numref(f), j);
    mpq_sub(f, f, x);
    mpq_abs(f, f);
    mpq_set_ui(x, 0, 1);
    mpz_set(mpq_numref(x), mpq_denref(r->each));
    mpq_div(f, f, x);
    mpq_sub(worst, half, f);
    mpz_clear(j);
    mpz_clear(whole);
    mpq_clear(half);
    mpq_clear(x);
    mpq_clear(f);
}

/* The same with first = 0: the fractions are j/b, and of these floor(b/2)/b is the nearest to a half. */
static void worst_from_zero(mpq_t worst, const struct rounding *r)
{
    mpz_fdiv_q_2exp(mpq_numref(worst), mpq_denref(r->each), 1);
    mpz_set(mpq_denref(worst), mpq_denref(r->each));
    mpq_canonicalize(worst);
}

/* Is there a row i <= rows with a i mod m in the window of d on both sides of centre? */
static bool window_is_hit(uint64_t a, uint64_t m, uint64_t centre, uint64_t d, uint64_t rows)
{
    if (2 * d + 1 >= m)
        return true;
    uint64_t low = (centre + m - d) % m, high = (centre + d) % m;
    if (low <= high)
        return cci_first_hit(a, m, low, high, 0) <= rows;
    return true;        /* it wraps round 0, which row 0 hits */
}

/*
 * Some residues only: with all fractions over m = 2 lcm of the denominators, row i lies
 * |a i + b - m/2| mod m from a half; the least such distance is found by halving, each time asking whether
 * any row falls in the window.
 */
static bool worst_of_some_residues(mpq_t worst, const struct rounding *r)
{
    mpz_t m, a, b;
    bool good;

    mpz_init(m);
    mpz_init(a);
    mpz_init(b);
    mpz_lcm(m, mpq_denref(r->each), mpq_denref(r->first));
    mpz_mul_2exp(m, m, 1);
    good = mpz_sizeinbase(m, 2) <= 61;
    if (good) {
        mpz_divexact(a, m, mpq_denref(r->each));
        mpz_mul(a, a, mpq_numref(r->each));
        mpz_mod(a, a, m);
        mpz_divexact(b, m, mpq_denref(r->first));
        mpz_mul(b, b, mpq_numref(r->first));
        mpz_mod(b, b, m);
        uint64_t modulus = cc_get_u64(m), step = cc_get_u64(a), first = cc_get_u64(b);
        uint64_t centre = (modulus / 2 + modulus - first) % modulus;
        uint64_t low = 0, high = modulus / 2;   /* the least distance lies in low ... high */
        while (low < high) {
            uint64_t middle = low + (high - low) / 2;
            if (window_is_hit(step, modulus, centre, middle, r->rows))
                high = middle;
            else
                low = middle + 1;
        }
        cc_set_u64(mpq_numref(worst), modulus / 2 - low);
        cc_set_u64(mpq_denref(worst), modulus);
        mpq_canonicalize(worst);
    }
    mpz_clear(b);
    mpz_clear(a);
    mpz_clear(m);
    return good;
}

/* Distance of x from centre round the circle of m. */
static void distance_round(mpz_t out, const mpz_t x, const mpz_t centre, const mpz_t m)
{
    mpz_t other;

    mpz_init(other);
    mpz_sub(out, x, centre);
    mpz_mod(out, out, m);
    mpz_sub(other, m, out);
    if (mpz_cmp(other, out) < 0)
        mpz_swap(out, other);
    mpz_clear(other);
}

/*
 * Look for the first row whose residue lies within d of centre, d < best: true, and best becomes its distance; false
 * where no row does.
 */
static bool row_within(mpz_t best, const mpz_t d, const mpz_t a, const mpz_t m, const mpz_t centre, uint64_t rows)
{
    mpz_t low, high, row, most;
    bool hit;

    mpz_init(low);
    mpz_init(high);
    mpz_init(row);
    mpz_init(most);
    mpz_sub(low, centre, d);        /* row 0, at 0, is not within d: the window does not wrap round it */
    mpz_add(high, centre, d);
    cc_set_u64(most, rows);
    hit = cci_first_hit_fine(row, a, m, low, high) && mpz_cmp(row, most) <= 0;
    if (hit) {
        mpz_mul(row, row, a);
        distance_round(best, row, centre, m);
    }
    mpz_clear(most);
    mpz_clear(row);
    mpz_clear(high);
    mpz_clear(low);
    return hit;
}

/*
 * best = the least distance between centre and a i mod m over the rows i = 0 ... rows. Each round asks whether any
 * row lies within the middle of the range that is left.
 */
static void least_distance(mpz_t best, const mpz_t a, const mpz_t m, const mpz_t centre, uint64_t rows)
{
    mpz_t low, d;

    mpz_init(low);
    mpz_init(d);
    distance_round(best, low, centre, m);   /* of row 0 */
    while (mpz_cmp(low, best) < 0) {        /* it lies in low ... best, and some row has best */
        mpz_add(d, low, best);
        mpz_fdiv_q_2exp(d, d, 1);
        if (row_within(best, d, a, m, centre, rows))
            continue;
        mpz_add_ui(low, d, 1);
        mpz_sub_ui(d, best, 1);
        if (mpz_cmp(low, d) <= 0 && !row_within(best, d, a, m, centre, rows))
            break;
    }
    mpz_clear(d);
    mpz_clear(low);
}

/* The same as worst_of_some_residues for fractions too fine for 64 bits. */
static void worst_of_fine_residues(mpq_t worst, const struct rounding *r)
{
    mpz_t m, a, centre, best;

    mpz_init(m);
    mpz_init(a);
    mpz_init(centre);
    mpz_init(best);
    mpz_lcm(m, mpq_denref(r->each), mpq_denref(r->first));
    mpz_mul_2exp(m, m, 1);
    mpz_divexact(a, m, mpq_denref(r->each));
    mpz_mul(a, a, mpq_numref(r->each));
    mpz_mod(a, a, m);
    mpz_divexact(centre, m, mpq_denref(r->first));
    mpz_mul(centre, centre, mpq_numref(r->first));
    mpz_fdiv_q_2exp(best, m, 1);
    mpz_sub(centre, best, centre);
    mpz_mod(centre, centre, m);
    least_distance(best, a, m, centre, r->rows);
    mpz_fdiv_q_2exp(mpq_numref(worst), m, 1);
    mpz_sub(mpq_numref(worst), mpq_numref(worst), best);
    mpz_set(mpq_denref(worst), m);
    mpq_canonicalize(worst);
    mpz_clear(best);
    mpz_clear(centre);
    mpz_clear(a);
    mpz_clear(m);
}

/* Largest |error| of rows 0 ... rows, in units. */
static void worst_rounding(mpq_t worst, const struct rounding *r)
{
    mpz_t all;

    mpz_init(all);
    cc_set_u64(all, r->rows);
    mpz_add_ui(all, all, 1);
    if (mpz_cmp(mpq_denref(r->each), all) <= 0 && mpq_sgn(r->first) == 0)
        worst_from_zero(worst, r);
    else if (mpz_cmp(mpq_denref(r->each), all) <= 0)
        worst_of_all_residues(worst, r);
    else if (!worst_of_some_residues(worst, r))
        worst_of_fine_residues(worst, r);
    mpz_clear(all);
}

/*
 * Spaces between neighbours are floor(each) units or one more. The space that closes the circle, from the last
 * position to the first, can be another: a turn need not be a whole number of units, and halves are rounded away from
 * zero.
 */
static void worst_rounded_pitch(struct cc_plan *plan, const struct rounding *r)
{
    mpz_t floor_units, last, first, larger;
    mpq_t fraction, gap;
    uint64_t spaces = plan->has_closing ? r->rows - 1 : r->rows;

    mpz_init(floor_units);
    mpz_init(last);
    mpz_init(first);
    mpz_init(larger);
    mpq_init(fraction);
    mpq_init(gap);
    mpz_fdiv_q(floor_units, mpq_numref(r->each), mpq_denref(r->each));
    row_units(first, r, 0);
    row_units(last, r, spaces);
    /* larger = spaces that have one unit more */
    cc_set_u64(larger, spaces);
    mpz_mul(larger, larger, floor_units);
    mpz_add(larger, larger, first);
    mpz_sub(larger, last, larger);
    mpq_set_z(gap, floor_units);
    mpq_sub(fraction, r->each, gap);
    mpq_set_ui(plan->worst_pitch, 0, 1);
    mpz_t all;
    mpz_init(all);
    cc_set_u64(all, spaces);
    if (mpz_cmp(larger, all) < 0)
        mpq_set(plan->worst_pitch, fraction);
    mpz_clear(all);
    if (mpz_sgn(larger) > 0) {
        mpq_set_ui(gap, 1, 1);
        mpq_sub(gap, gap, fraction);
        if (mpq_cmp(gap, plan->worst_pitch) > 0)
            mpq_set(plan->worst_pitch, gap);
    }
    if (plan->has_closing) {
        /* error of the first less error of the last: first - last + (rows - 1) each */
        mpz_sub(first, first, last);
        mpq_set_z(gap, first);
        cc_set_u64(larger, spaces);
        mpq_set_z(fraction, larger);
        mpq_mul(fraction, fraction, r->each);
        mpq_add(gap, gap, fraction);
        mpq_abs(gap, gap);
        if (mpq_cmp(gap, plan->worst_pitch) > 0)
            mpq_set(plan->worst_pitch, gap);
    }
    mpq_clear(gap);
    mpq_clear(fraction);
    mpz_clear(larger);
    mpz_clear(first);
    mpz_clear(last);
    mpz_clear(floor_units);
}

/*
 * By blocks the work goes round several times and may pass zero, and halves are rounded away from zero, so to one side before it
 * and to the other behind, in one turn or another. Where a division is a whole number of units all or none are halves, and two
 * neighbours are then a unit nearer or further than they should be; elsewhere such a space has the floor or one more like any
 * other, and both occur.
 */
static void pitch_across_zero(struct cc_plan *plan, const struct rounding *one, const struct rounding *worked)
{
    mpz_t first, last;

    if (mpz_cmp_ui(mpq_denref(one->each), 1) != 0)
        return;
    mpz_init(first);
    mpz_init(last);
    row_units(first, worked, 0);
    row_units(last, worked, worked->rows - 1);
    mpz_sub(last, last, first);
    cc_set_u64(first, worked->rows - 1);
    mpz_submul(last, first, mpq_numref(worked->each));
    if (mpz_sgn(last) != 0)
        mpq_set_ui(plan->worst_pitch, 1, 1);
    mpz_clear(last);
    mpz_clear(first);
}

/* Movements in the order worked: how many are the larger one, and what all cost. */
static void travel_of_rounded(struct cc_plan *plan, const struct rounding *worked, struct cci_search *search)
{
    mpz_t first, last, larger, smaller;

    mpz_init(first);
    mpz_init(last);
    mpz_init(larger);
    mpz_init(smaller);
    mpz_fdiv_q(larger, mpq_numref(worked->each), mpq_denref(worked->each));
    plan->move = cc_get_i64(larger);
    row_units(first, worked, 0);
    plan->start = cc_get_i64(first);
    row_units(last, worked, worked->rows);
    cc_set_u64(smaller, worked->rows);
    mpz_submul(last, smaller, larger);
    mpz_sub(larger, last, first);
    mpz_sub(smaller, smaller, larger);
    plan->larger = cc_get_u64(larger);
    search->turns = cci_wide_add(cci_wide_product(cc_get_u64(smaller), (uint64_t)plan->move / plan->unit),
                                 cci_wide_product(plan->larger, ((uint64_t)plan->move + 1) / plan->unit));
    if (mpz_sgn(smaller) > 0)
        add_travel(plan, plan->move, smaller);
    if (mpz_sgn(larger) > 0)
        add_travel(plan, plan->move + 1, larger);
    mpz_clear(smaller);
    mpz_clear(larger);
    mpz_clear(last);
    mpz_clear(first);
}

/* closing = round(first + k * turn) / turn - (offset + k), signed. */
static void closing_of_rounded(struct cc_plan *plan, const struct cci_search *search,
                               const struct rounding *worked, const mpq_t scale)
{
    mpz_t units;
    mpq_t nominal;

    mpz_init(units);
    mpq_init(nominal);
    row_units(units, worked, worked->rows);
    mpq_set_z(plan->closing_error, units);
    mpq_div(plan->closing_error, plan->closing_error, scale);
    cc_set_u64(mpq_numref(nominal), plan->block);
    mpq_add(nominal, nominal, search->request->offset);
    mpq_sub(plan->closing_error, plan->closing_error, nominal);
    mpq_clear(nominal);
    mpz_clear(units);
}

/*
 * Whether every division gets a hole of its own. It does where a division is more than one unit. Where it is just one
 * unit it does too, except round a full circle with positions half a unit off: those before the zero hole are rounded
 * the other way than those behind it, and two of them meet.
 */
static bool keeps_apart(const struct rounding *r, bool circle)
{
    int more = mpq_cmp_ui(r->each, 1, 1);

    return more > 0 || (more == 0 && (!circle || mpz_cmp_ui(mpq_denref(r->first), 2) != 0));
}

/* Divisions by rounding. Returns false where there is no such plan, or none that could come first. */
static bool rounded_divisions(struct cc_plan *plan, struct cci_search *search)
{
    struct rounding one = { .rows = search->divisions }, worked = { .rows = search->divisions };
    mpq_t scale;
    bool good, whole_turn;

    mpq_init(scale);
    mpq_init(one.each);
    mpq_init(one.first);
    mpq_init(worked.each);
    mpq_init(worked.first);
    cci_scale(scale, plan->unit, plan->ratio);
    whole_turn = mpz_cmp_ui(mpq_denref(scale), 1) == 0;
    mpq_mul(one.first, search->request->offset, scale);
    mpq_set(worked.first, one.first);
    mpq_mul(worked.each, search->step, scale);
    if (plan->block == 1) {
        mpq_set(one.each, worked.each);
    } else {
        cc_set_u64(mpq_numref(one.each), plan->block);
        mpq_div(one.each, worked.each, one.each);   /* one division */
    }
    /* Apart; and by blocks only where every turn of the work finds the same holes again. */
    good = keeps_apart(&one, plan->has_closing) && (plan->block == 1 || whole_turn);
    if (good) {
        worst_rounding(plan->worst_error, &one);
        mpq_div(plan->worst_error, plan->worst_error, scale);
        good = !cci_is_outdone_by_error(search);
    }
    if (good) {
        worst_rounded_pitch(plan, &one);
        if (plan->block > 1)
            pitch_across_zero(plan, &one, &worked);
        mpq_div(plan->worst_pitch, plan->worst_pitch, scale);
        travel_of_rounded(plan, &worked, search);
        if (plan->has_closing)
            closing_of_rounded(plan, search, &worked, scale);
    }
    mpq_clear(worked.first);
    mpq_clear(worked.each);
    mpq_clear(one.first);
    mpq_clear(one.each);
    mpq_clear(scale);
    return good;
}

static void rounded_in_fractions(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;

    if (cci_is_exact(search, plan->unit, search->ratio_p, search->ratio_q))
        return;
    if (search->request->position_count > 0) {
        offer_list(search);
        return;
    }
    if (cci_is_rounding_hopeless(search))
        return;
    cci_set_fractions(search);
    if (cci_is_outdone(search))
        return;
    plan->constant = false;
    if (rounded_divisions(plan, search) && cci_turns_allowed(search, plan))
        cci_offer(search);
}

void cci_offer_rounded(struct cci_search *search)
{
    search->planner->examined++;
    if (!cci_rank(search, CCI_ROUNDED))
        rounded_in_fractions(search);
}

/* ---- the best of those ranked without fractions ---- */

void cci_build_best(struct cci_search *search)
{
    struct cci_ranked *best = &search->best;

    if (!best->any || best->built)
        return;
    best->built = true;
    cci_plan_set_words(&search->scratch, &best->plan);
    search->ratio_p = best->p;
    search->ratio_q = best->q;
    search->pair = best->pair;
    search->turns = cci_wide(0);
    if (cci_set_figures(search)) {
        search->first_in_hand = search->keep == CCI_KEEP_FIRST && search->found.n == 0;
        if (!search->first_in_hand)
            cci_keep(search);
        return;
    }
    if (best->kind == CCI_EXACT)
        exact_in_fractions(search);
    else if (best->kind == CCI_CONSTANT)
        constant_in_fractions(search);
    else
        rounded_in_fractions(search);
}
