/*
 * ranking.c: which candidate comes first, without a fraction. Divisions of a full circle from the zero hole have all that
 * the order of plans asks for in words of 64 bits, products of two of them in 128. Only the winner then gets its fractions,
 * and what does not fit is worked out in them, and decides as before (figures.c). tests/test_ranking.c holds the two ways to
 * each other.
 *
 * With R - e = p/q and a unit of 1/unit crank turn, N divisions are unit p / (N q) units each (docs/method.md, "Errors").
 */
#include <stdlib.h>

#include "crankcard/number.h"
#include "plan/search.h"

#define MOST (UINT64_C(1) << 61)
#define MOST_ODD 17     /* looked for no further */

void cci_prepare_ranking(struct cci_search *search)
{
    const struct cc_request *r = search->request;

    cci_words_above(&search->tolerance_p, &search->tolerance_q, search->tolerance);
    search->exact_in_words = !search->planner->long_way && search->keep != CCI_KEEP_ALL && search->circle &&
                             search->divisions > 0;
    search->in_words = search->exact_in_words && mpq_sgn(r->offset) == 0 &&
                       mpz_sizeinbase(mpq_numref(search->tolerance), 2) <= 61 &&
                       mpz_sizeinbase(mpq_denref(search->tolerance), 2) <= 61;
    if (!search->in_words)
        return;
    search->odd = 3;
    while (search->odd < MOST_ODD && search->divisions % search->odd != 0)
        search->odd += 2;
}

uint64_t cci_least_unit(const struct cci_search *search, uint64_t effort)
{
    const struct cc_planner *planner = search->planner;
    const struct cci_ranked *best = &search->best;
    bool holds = search->holds[CC_INDEX_WORM];
    uint64_t off = best->off, of = best->of;

    if (!search->in_words || search->block != 1 || !best->any)
        return 0;
    if (best->plan.within && cci_is_hopeless(search, holds, effort, 0, 1))
        return UINT64_MAX;
    if (best->plan.within && (effort != best->plan.effort || best->plan.holds != holds)) {
        off = search->tolerance_p;
        of = search->tolerance_q;
    }
    /*
     * floor(b/2)/b / (unit P) <= off/of, and b even or at least odd: unit P >= of floor(odd/2) / (off odd). Where R is a fraction
     * and b does not divide N, the closing row is off by 1/Q of a unit or more, which is 1 / (unit P).
     */
    return off > MOST / MOST_ODD ? 0 : cci_floor_of(of, off * search->odd, search->odd / 2) / planner->worm_p;
}

bool cci_is_within(const struct cci_search *search, uint64_t off, uint64_t of)
{
    return !cci_wide_less(cci_wide_product(search->tolerance_p, of), cci_wide_product(off, search->tolerance_q));
}

/* Holes of both pins in one movement, in units, parts that go back counted forward; plan->forward. */
static uint64_t travel_of(struct cci_search *search, uint64_t units)
{
    if (search->pair == NULL)
        return units;
    struct cci_split split = cci_split_with(&search->pair->splitter, (int64_t)units);
    if (split.pin < 0 || split.plate < 0)
        search->scratch.forward = false;
    return (uint64_t)llabs(split.pin) * search->pair->splitter.c2 + (uint64_t)llabs(split.plate) * search->pair->splitter.c1;
}

/* The candidate, whose effort and error stand, against the best so far. */
static void keep_better(struct cci_search *search, enum cci_kind kind, uint64_t off, uint64_t of, uint64_t travel)
{
    struct cci_ranked one;

    one.any = true;
    one.built = false;
    one.kind = kind;
    one.pair = search->pair;
    one.p = search->ratio_p;
    one.q = search->ratio_q;
    one.off = off;
    one.of = of;
    one.travel = travel;
    one.plan = search->scratch;     /* its fractions are not looked at */
    if (!search->best.any || cci_ranked_compare(&one, &search->best) < 0)
        search->best = one;
}

/* move = k unit p / (N q) to the nearest; the same movement N times: off by |N q move - k unit p| / (unit p) of a turn. */
static bool rank_constant(struct cci_search *search, enum cci_kind kind)
{
    struct cc_plan *plan = &search->scratch;
    uint64_t n = search->divisions, p = search->ratio_p, q = search->ratio_q, up = plan->unit * p, off = 0, rest;

    if (n > MOST / q)
        return false;
    cci_u128 wanted = cci_wide_product(plan->block, up);
    if (kind == CCI_EXACT) {
        plan->move = (int64_t)cci_wide_divide(&rest, wanted, n * q);
    } else {
        cci_u128 apart = cci_wide_distance(cci_wide_product(n * q, (uint64_t)plan->move), wanted);
        off = cci_wide_low(apart);
        if (cci_wide_high(apart) != 0)
            return false;
    }
    uint64_t move = (uint64_t)plan->move;
    if (move > MOST / n || plan->unit > MOST / n)
        return false;
    if (!cci_turns_allowed(search, plan))
        return true;
    search->any_exact = search->any_exact || kind == CCI_EXACT;
    cci_set_standing(search);
    uint64_t travel = n * travel_of(search, move);
    search->turns = cci_wide_product(n, move / plan->unit);
    cci_plan_effort(plan, search, search->turns);
    plan->within = cci_is_within(search, off, up);
    plan->constant = true;
    keep_better(search, kind, off, up, travel);
    return true;
}

/*
 * Each position rounded, a division being a/b units in lowest terms: floor(b/2)/b of a unit at worst.
 * Whether each has a hole of its own is seen first. By blocks it is left to fractions.
 */
static bool rank_rounded(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;
    uint64_t n = search->divisions, p = search->ratio_p, q = search->ratio_q, up = plan->unit * p, nq;

    if (plan->block != 1)
        return false;
    if (n > MOST / q || up < n * q)
        return true;
    nq = n * q;
    cci_set_standing(search);
    uint64_t move = up / nq, all = up / q + (up % q >= q - up % q ? 1 : 0), larger = all - n * move;
    search->turns = cci_wide_add(cci_wide_product(n - larger, move / plan->unit),
                                 cci_wide_product(larger, (move + 1) / plan->unit));
    cci_plan_effort(plan, search, search->turns);
    uint64_t b = nq / cci_gcd(up, nq);
    if (b == 1)
        return true;
    if (b > n + 1 || b > MOST / up || q > MOST / b || plan->unit > MOST / n / 4)
        return false;
    if (cci_is_hopeless(search, plan->holds, plan->effort, b / 2 * q, b * up))
        return true;
    plan->move = (int64_t)move;
    plan->larger = larger;
    plan->constant = false;
    uint64_t travel = larger < n ? (n - larger) * travel_of(search, move) : 0;
    travel += larger > 0 ? larger * travel_of(search, move + 1) : 0;
    plan->within = cci_is_within(search, b / 2 * q, b * up);
    keep_better(search, CCI_ROUNDED, b / 2 * q, b * up, travel);
    return true;
}

bool cci_rank(struct cci_search *search, enum cci_kind kind)
{
    if (kind == CCI_EXACT ? !search->exact_in_words : !search->in_words)
        return false;
    return kind == CCI_ROUNDED ? rank_rounded(search) : rank_constant(search, kind);
}

/* ---- the fractions of the winner ---- */

static void set_fraction(mpq_t out, uint64_t num, uint64_t den)
{
    uint64_t g = cci_gcd(num, den);

    cc_set_u64(mpq_numref(out), num / g);
    cc_set_u64(mpq_denref(out), den / g);
}

/* Neighbours are j rows apart one way and N - j the other, j k = 1 (mod N), and every row adds 1/N of the error. */
static bool set_constant(struct cc_plan *plan, const struct cci_ranked *best, uint64_t n)
{
    uint64_t j = cci_inverse(plan->block % n, n), widest = n > 1 ? (n - j > j ? n - j : j) : 0;
    uint64_t g = cci_gcd(best->off, best->of), off = best->off / g, of = best->of / g;

    if ((widest > 0 && off > MOST / widest) || of > MOST / n)
        return false;
    set_fraction(plan->worst_error, off, of);
    set_fraction(plan->worst_pitch, off * widest, of * n);
    mpq_set(plan->closing_error, plan->worst_error);
    cci_u128 wanted = cci_wide_product(plan->block, plan->unit * best->p);
    if (cci_wide_less(cci_wide_product(n * best->q, (uint64_t)plan->move), wanted))
        mpq_neg(plan->closing_error, plan->closing_error);
    return true;
}

/*
 * Divisions are a/b units: the spaces between them are the floor or one more, and the one that closes the circle can be
 * another. In 1/b of a unit; a unit is q / (unit p) of a turn. b unit p is below 2^61 (rank_rounded).
 */
static void set_rounded(struct cc_plan *plan, const struct cci_ranked *best, uint64_t n)
{
    uint64_t up = plan->unit * best->p, g = cci_gcd(up, n * best->q), a = up / g, b = n * best->q / g;
    uint64_t spaces = n - 1, first = spaces * (uint64_t)plan->move, over = spaces * (a % b);
    uint64_t larger = over / b + (over % b >= b - over % b ? 1 : 0), pitch = larger < spaces ? a % b : 0;
    uint64_t last = (first + larger) * b, wanted = spaces * a, closing = last > wanted ? last - wanted : wanted - last;
    uint64_t all = ((uint64_t)plan->move * n + plan->larger) * best->q;

    if (larger > 0 && b - a % b > pitch)
        pitch = b - a % b;
    if (closing > pitch)
        pitch = closing;
    set_fraction(plan->worst_error, best->off, best->of);
    set_fraction(plan->worst_pitch, pitch * best->q, b * up);
    set_fraction(plan->closing_error, all > up ? all - up : up - all, up);
    if (all < up)
        mpq_neg(plan->closing_error, plan->closing_error);
}

bool cci_set_figures(struct cci_search *search)
{
    const struct cci_ranked *best = &search->best;
    struct cc_plan *plan = &search->scratch;

    if (mpq_sgn(search->request->offset) != 0)
        return false;
    cci_set_fractions(search);
    if (best->kind == CCI_ROUNDED)
        set_rounded(plan, best, search->divisions);
    else if (best->kind == CCI_CONSTANT && !set_constant(plan, best, search->divisions))
        return false;
    if (!cc_plan_is_direct(plan))
        set_fraction(plan->travel, best->travel, plan->unit);
    return true;
}
