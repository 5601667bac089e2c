/*
 * compound.c: compound indexing, t = a/C1 + b/C2 crank turns: the crank pin moves in C1, the plate, held
 * by a second pin, in C2. Together they reach every multiple of 1/L, L = lcm(C1, C2), so N is exact
 * when L R / N is whole. The parts a and b are found when a movement is split (step.c).
 *
 * nearly exact: the same movement every time, of k divisions, with k L P = r (mod N Q), |r| small.
 * Each movement is off by r/(N Q) of a unit, and the whole job by |r|/(L P) of a turn.
 */
#include "crankcard/number.h"
#include "plan/search.h"

/* Whether plain indexing is allowed and gives the request on this circle. */
static bool is_plain(const struct cci_search *search, unsigned circle)
{
    return (search->request->methods & (1U << CC_PLAIN)) != 0 &&
           cci_circle_allowed(search, circle, circle) && cc_pin_reaches(&search->head->crank_pin_circles, circle) &&
           cci_is_exact(search, circle, search->planner->worm_p, search->planner->worm_q);
}

void cci_find_compound(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    search->answer.searched.pairs = planner->pair_count;
    for (size_t i = 0; i < planner->pair_count; i++) {
        const struct cci_pair *pair = &planner->pairs[i];
        uint64_t block = search->block;
        if (!cci_pair_is_useful(pair) || !cci_circle_allowed(search, pair->circle, pair->circle2) ||
            is_plain(search, pair->circle) || is_plain(search, pair->circle2))
            continue;       /* the second circle would bring nothing */
        if (!cci_is_exact(search, pair->lcm, planner->worm_p, planner->worm_q)) {
            block = cci_exact_block(search, pair->lcm, planner->worm_p, planner->worm_q);
            if (block == 0)
                continue;
        }
        cci_pair_candidate(search, pair, CC_COMPOUND)->block = block;
        cci_offer_exact(search);
    }
}

/* ---- nearly exact ---- */

/* One pair's congruence: k a = r (mod m). */
struct congruence {
    uint64_t a, m;          /* L P and N Q, their common factor taken out */
    uint64_t most_block;    /* largest k that may be used */
};

/* |r| of block k. */
static uint64_t residue(const struct congruence *c, uint64_t k)
{
    uint64_t r = cci_wide_mul_mod(k, c->a, c->m);
    return r < c->m - r ? r : c->m - r;
}

/*
 * The smallest usable k >= from with 1 <= |r| <= most (r = 0 would be exact); 0 if there is none.
 */
static uint64_t next_block(const struct congruence *c, uint64_t n, uint64_t most, uint64_t from)
{
    for (uint64_t k = from; most > 0 && k <= c->most_block; k++) {
        uint64_t up = cci_first_hit(c->a, c->m, 1, most, k);
        uint64_t down = cci_first_hit(c->a, c->m, c->m - most, c->m - 1, k);
        k = up < down ? up : down;
        if (k > c->most_block)      /* CCI_NO_HIT too */
            return 0;
        if (cci_gcd(k, n) == 1)
            return k;
    }
    return 0;
}

/* Units of a crank turn nearest to k divisions. */
static int64_t units_of_block(const struct cci_search *search, const struct cci_pair *pair, uint64_t k)
{
    struct cc_planner *planner = search->planner;
    cci_u128 num = cci_wide_times(cci_wide_product(k, pair->lcm), planner->worm_p);
    uint64_t den = search->divisions * planner->worm_q;     /* below 2^61 (search_pair) */

    cci_u128 doubled = cci_wide_add(cci_wide_add(num, num), cci_wide(den));
    return (int64_t)cci_wide_low(cci_wide_quotient(doubled, cci_wide(2 * den)));
}

static bool goes_forward(struct cci_search *search, const struct cci_pair *pair, uint64_t k)
{
    const struct cc_plan *plan = cci_pair_candidate(search, pair, CC_NEARLY_EXACT);
    struct cci_split split = cci_split_units(plan, units_of_block(search, pair, k));

    return split.pin >= 0 && split.plate >= 0;
}

static void offer_block(struct cci_search *search, const struct cci_pair *pair, uint64_t k)
{
    struct cc_plan *plan = cci_pair_candidate(search, pair, CC_NEARLY_EXACT);

    plan->block = k;
    plan->move = units_of_block(search, pair, k);
    cci_offer_constant(search);
}

/* tolerance less the error that rounding the offset to a unit of this pair leaves in row 0; at least 0. */
static void tolerance_left(mpq_t left, const struct cci_search *search, const struct cci_pair *pair)
{
    mpq_t scale, units;
    mpz_t whole;

    mpq_set(left, search->tolerance);
    if (mpq_sgn(search->request->offset) == 0)
        return;
    mpq_init(scale);
    mpq_init(units);
    mpz_init(whole);
    cci_scale(scale, pair->lcm, search->head->worm);
    mpq_mul(units, search->request->offset, scale);
    cc_rational_round(whole, units);
    mpz_submul(mpq_numref(units), whole, mpq_denref(units));
    mpq_div(units, units, scale);
    mpq_abs(units, units);
    mpq_sub(left, left, units);
    if (mpq_sgn(left) < 0)
        mpq_set_ui(left, 0, 1);
    mpz_clear(whole);
    mpq_clear(units);
    mpq_clear(scale);
}

/* |r| that the tolerance allows: closing error |r| g / (L P), g the common factor taken out. */
static uint64_t residue_within(const struct cci_search *search, const struct cci_pair *pair, uint64_t g)
{
    mpq_t most, scale;
    mpz_t whole;
    uint64_t out;

    mpq_init(most);
    mpq_init(scale);
    mpz_init(whole);
    tolerance_left(most, search, pair);
    cc_set_u64(mpq_numref(scale), pair->lcm * search->planner->worm_p);
    cc_set_u64(mpq_denref(scale), g);
    mpq_canonicalize(scale);
    mpq_mul(most, most, scale);
    mpz_fdiv_q(whole, mpq_numref(most), mpq_denref(most));
    out = mpz_sizeinbase(whole, 2) > 61 ? UINT64_MAX : cc_get_u64(whole);
    mpz_clear(whole);
    mpq_clear(scale);
    mpq_clear(most);
    return out;
}

/* k R / N <= most_turns */
static void limit_block(struct congruence *c, const struct cci_search *search, uint64_t n)
{
    mpq_t k;
    mpz_t whole;

    mpq_init(k);
    mpz_init(whole);
    cc_set_u64(mpq_numref(k), n);
    mpq_div(k, k, search->head->worm);
    mpq_mul(k, k, search->request->most_turns);
    mpz_fdiv_q(whole, mpq_numref(k), mpq_denref(k));
    if (mpz_sizeinbase(whole, 2) <= 61 && cc_get_u64(whole) < c->most_block)
        c->most_block = cc_get_u64(whole);
    mpz_clear(whole);
    mpq_clear(k);
}

/*
 * Of the blocks within the tolerance (|r| <= most) those that can come first: the smallest has the fewest whole turns
 * and so the least effort, and of as many turns the nearest is wanted; one without a part that goes back costs less
 * again. (A part goes back only where the movement is less than a turn.)
 */
static bool offer_within(struct cci_search *search, const struct cci_pair *pair, const struct congruence *c, uint64_t most,
                         uint64_t first)
{
    uint64_t n = search->divisions, nearest = UINT64_MAX, turns = UINT64_MAX;
    bool any = false;

    for (uint64_t k = next_block(c, n, most, first); k != 0; k = next_block(c, n, most, k + 1)) {
        uint64_t whole = (uint64_t)units_of_block(search, pair, k) / pair->lcm, r = residue(c, k);
        bool forward = goes_forward(search, pair, k);
        if (whole > turns)
            break;
        any = true;
        if (forward || r < nearest)
            offer_block(search, pair, k);
        nearest = r < nearest ? r : nearest;
        if (forward) {
            turns = whole;
            most = r - 1;
        }
        if (forward && k == 1)
            break;
    }
    return any;
}

/*
 * Within the tolerance, or, if none is, each block that is nearer than all smaller ones (or as near, where those have a
 * part that goes back).
 */
static void search_pair(struct cci_search *search, const struct cci_pair *pair)
{
    struct cc_planner *planner = search->planner;
    uint64_t n = search->divisions, lp = pair->lcm * planner->worm_p;
    uint64_t nq = n * planner->worm_q;

    if (n < 2 || n > ((UINT64_C(1) << 61) - 1) / planner->worm_q)
        return;
    uint64_t g = cci_gcd(lp, nq);
    struct congruence c = { lp / g, nq / g, n - 1 };
    if (c.m < 2)
        return;
    c.a %= c.m;
    uint64_t first = 1;
    if (!search->free_block)
        first = c.most_block = search->block;
    else if (mpq_sgn(search->request->most_turns) > 0)
        limit_block(&c, search, n);
    /*
     * The error of neighbours is up to (N - 1)/N of the closing error |r| g / (L P), and has to stay below
     * 1/N of a turn, or they meet: |r| (N - 1) < L P / g.
     */
    uint64_t apart = (lp / g - 1) / (n - 1);
    if (apart > c.m / 2)
        apart = c.m / 2;
    uint64_t most = residue_within(search, pair, g);
    if (most > apart)
        most = apart;
    if (offer_within(search, pair, &c, most, first))
        return;
    /*
     * None is within the tolerance. The first block is any that keeps neighbours apart; each further one must come
     * nearer, or as near without a part that goes back.
     */
    most = apart;
    for (uint64_t k = next_block(&c, n, most, first); k != 0; k = next_block(&c, n, most, k + 1)) {
        offer_block(search, pair, k);
        most = residue(&c, k) - (goes_forward(search, pair, k) ? 1 : 0);
    }
}

void cci_find_nearly_exact(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    if (!search->circle)
        return;
    for (size_t i = 0; i < planner->pair_count && search->status == CC_OK; i++) {
        const struct cci_pair *pair = &planner->pairs[i];
        if (cci_pair_is_useful(pair) && cci_circle_allowed(search, pair->circle, pair->circle2))
            search_pair(search, pair);
    }
}
