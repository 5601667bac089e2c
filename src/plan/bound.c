/*
 * bound.c: candidates that cannot come first, told before their fractions are made. It is for what ranking.c leaves to
 * fractions: an offset, an arc, a list, roundings by blocks, a tolerance of more digits than a word has. What has to be beaten
 * is kept in words, rounded so that it is never too hard to beat; a candidate is dropped only where it surely comes after,
 * and else decided upon as ever. tests/test_ranking.c holds that to a search without.
 */
#include "crankcard/number.h"
#include "plan/search.h"

struct cci_mark cci_to_beat(const struct cci_search *search)
{
    const struct cci_ranked *best = &search->best;

    if (best->any)
        return (struct cci_mark){ true, best->plan.within, best->plan.exact, best->plan.holds, best->plan.effort, best->off, best->of };
    return search->kept;
}

bool cci_error_left(uint64_t *off, uint64_t *of, const struct cci_search *search, bool holds, uint64_t effort)
{
    const struct cci_mark best = cci_to_beat(search);

    *off = best.off;
    *of = best.of;
    if (!best.within)
        return true;
    bool alike = !best.exact && best.holds == holds;
    if (alike ? effort > best.effort : best.holds >= holds)
        return false;
    if (!alike || effort < best.effort) {
        *off = search->tolerance_p;
        *of = search->tolerance_q;
    }
    return true;
}

bool cci_is_hopeless(const struct cci_search *search, bool holds, uint64_t effort, uint64_t off, uint64_t of)
{
    uint64_t most_off, most_of;

    return !cci_error_left(&most_off, &most_of, search, holds, effort) ||
           (most_of > 0 && cci_wide_less(cci_wide_product(most_off, of), cci_wide_product(off, most_of)));
}

/* ---- roundings of divisions ---- */

/* The fraction of q, times 2^128, rounded down. */
static cci_u128 fraction_of(const mpq_t q)
{
    mpz_t part, word;
    cci_u128 out;

    mpz_init(part);
    mpz_init(word);
    mpz_fdiv_r(part, mpq_numref(q), mpq_denref(q));
    mpz_mul_2exp(part, part, 128);
    mpz_fdiv_q(part, part, mpq_denref(q));
    mpz_fdiv_q_2exp(word, part, 64);
    mpz_fdiv_r_2exp(part, part, 64);
    out = cci_wide_of(cc_get_u64(word), cc_get_u64(part));
    mpz_clear(word);
    mpz_clear(part);
    return out;
}

/*
 * What does not depend on the setting: a crank turn's worth of one division and of the offset, over P, and the whole crank turns
 * of a movement, which are those of all of them, at least.
 */
static void prepare_rounding(struct cci_search *search)
{
    const struct cc_request *r = search->request;
    struct cci_rounding *all = &search->rounding;
    mpq_t q, part;
    mpz_t turns;

    mpq_init(q);
    mpq_init(part);
    mpz_init(turns);
    cc_set_u64(mpq_numref(q), search->planner->worm_q);
    mpz_set(mpq_numref(part), mpq_numref(r->arc));
    mpz_mul(mpq_denref(part), mpq_denref(r->arc), r->divisions);
    mpq_canonicalize(part);
    mpq_div(part, part, q);
    all->each = fraction_of(part);
    mpq_div(part, r->offset, q);
    all->first = fraction_of(part);
    mpq_mul(part, search->step, search->head->worm);
    mpz_fdiv_q(turns, mpq_numref(part), mpq_denref(part));
    all->turns = mpz_sizeinbase(turns, 2) > 61 ? 0 : cc_get_u64(turns);
    all->ready = true;
    mpz_clear(turns);
    mpq_clear(part);
    mpq_clear(q);
}

/* factor times a fraction of 128 bits, its own fraction times 2^64: up to two too small. */
static uint64_t fraction_times(cci_u128 fraction, uint64_t factor)
{
    return factor * cci_wide_high(fraction) + cci_wide_high(cci_wide_product(factor, cci_wide_low(fraction)));
}

/* off/of revolutions in units, times 2^64, rounded up; UINT64_MAX for a unit and more. A unit is q/up of a revolution. */
static uint64_t error_in_units(uint64_t off, uint64_t of, uint64_t up, uint64_t q)
{
    uint64_t rest, crank;
    cci_u128 product = cci_wide_product(off, up);

    if (of == 0 || cci_wide_high(product) >= of)
        return UINT64_MAX;
    crank = cci_wide_divide(&rest, product, of);
    if (crank >= q)
        return UINT64_MAX;
    uint64_t part = cci_wide_low(cci_wide_quotient(cci_wide_of(rest, 0), cci_wide(of)));
    uint64_t units = cci_wide_low(cci_wide_quotient(cci_wide_of(crank, part), cci_wide(q)));
    return units > UINT64_MAX - 2 ? UINT64_MAX : units + 2;
}

enum { ROWS = 64 };     /* looked at: mostly the first few show that it is too far off */

bool cci_is_rounding_hopeless(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;
    uint64_t off, of, up = plan->unit * search->ratio_p, rows = search->divisions;

    if (!cci_to_beat(search).any || cc_plan_is_direct(plan))
        return false;
    if (!search->rounding.ready)
        prepare_rounding(search);
    cci_set_standing(search);
    search->turns = cci_wide_product(search->divisions, search->rounding.turns);
    cci_plan_effort(plan, search, search->turns);
    if (!cci_error_left(&off, &of, search, plan->holds, plan->effort))
        return true;
    uint64_t most = error_in_units(off, of, up, search->ratio_q);
    uint64_t each = fraction_times(search->rounding.each, up), at = fraction_times(search->rounding.first, up);
    for (uint64_t i = 0; i <= rows && i < ROWS && most < UINT64_MAX - 3 * ROWS; i++, at += each)
        if ((at < UINT64_MAX - at ? at : UINT64_MAX - at) > most + 3 * ROWS)
            return true;
    return false;
}
