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

static void compound_on(struct cci_search *search, const struct cci_pair *pair)
{
    const struct cc_planner *planner = search->planner;
    uint64_t block = search->block;

    if (!cci_pair_is_useful(pair) || !cci_circle_allowed(search, pair->circle, pair->circle2))
        return;
    if (!cci_is_exact(search, pair->lcm, planner->worm_p, planner->worm_q)) {
        block = cci_exact_block(search, pair->lcm, planner->worm_p, planner->worm_q);
        if (block == 0)
            return;
    }
    if (is_plain(search, pair->circle) || is_plain(search, pair->circle2))
        return;     /* the second circle would bring nothing */
    cci_pair_candidate(search, pair, CC_COMPOUND)->block = block;
    cci_offer_exact(search);
}

void cci_find_compound(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    search->answer.searched.pairs = planner->pair_count;
    for (size_t s = 0; s < planner->side_count; s++) {
        const struct cci_side *side = &planner->sides[s];
        bool can = cci_side_can_be_exact(search, side);
        for (size_t i = side->first_pair; i < side->end_pair && can; i++)
            compound_on(search, &planner->pairs[i]);
    }
}

/* ---- nearly exact ---- */

/* One pair's congruence: k L P = r (mod N Q). With a common factor g of L P and N Q every r is a multiple of g. */
struct congruence {
    uint64_t n;             /* N */
    uint64_t lp, nq;        /* L P and N Q, both below 2^61 */
    uint64_t rest;          /* L P mod N Q */
    uint64_t most_block;    /* largest k that may be used */
};

/* |r| of block k. */
static uint64_t residue(const struct congruence *c, uint64_t k)
{
    uint64_t r, rest;

    (void)cci_wide_divide(&r, cci_wide_product(k, c->rest), c->nq);
    rest = c->nq - r;
    return r < rest ? r : rest;
}

/*
 * The smallest k >= from with 1 <= |r| <= most (r = 0 would be exact), 2 most <= N Q; CCI_NO_HIT, or any beyond the largest that
 * may be used, if there is none. Both sides of 0 are one window; only where a block with r = 0 stands in the way are they
 * looked at one by one.
 */
static uint64_t next_near(const struct congruence *c, uint64_t most, uint64_t from)
{
    if (from == 1)
        return cci_first_close(c->rest, c->nq, most, c->most_block);
    uint64_t k = cci_first_near(c->rest, c->nq, most, from, c->most_block);
    if (k > c->most_block || residue(c, k) > 0)
        return k;
    uint64_t up = cci_first_hit(c->rest, c->nq, 1, most, k + 1);
    uint64_t down = cci_first_hit(c->rest, c->nq, c->nq - most, c->nq - 1, k + 1);
    return up < down ? up : down;
}

/* The smallest of these that is usable, 0 if there is none. What divides N and k divides r. */
static uint64_t next_block(const struct congruence *c, uint64_t most, uint64_t from)
{
    for (uint64_t k = from; most > 0 && k <= c->most_block; k++) {
        k = next_near(c, most, k);
        if (k > c->most_block)      /* CCI_NO_HIT too */
            return 0;
        if (most == 1 || cci_gcd(c->n, k) == 1)
            return k;
    }
    return 0;
}

/* Units of a crank turn nearest to k divisions. */
static uint64_t units_of_block(const struct congruence *c, uint64_t k)
{
    uint64_t rest, units = cci_wide_divide(&rest, cci_wide_product(k, c->lp), c->nq);

    return rest >= c->nq - rest ? units + 1 : units;
}

static bool goes_forward(const struct cci_pair *pair, uint64_t units)
{
    struct cci_split split = cci_split_with(&pair->splitter, (int64_t)units);

    return split.pin >= 0 && split.plate >= 0;
}

static void offer_block(struct cci_search *search, const struct cci_pair *pair, uint64_t k, uint64_t units)
{
    struct cc_plan *plan = cci_pair_candidate(search, pair, CC_NEARLY_EXACT);

    plan->block = k;
    plan->move = (int64_t)units;
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

/* |r| that the tolerance allows: closing error |r| / (L P). */
static uint64_t residue_within(const struct cci_search *search, const struct cci_pair *pair, uint64_t lp)
{
    mpq_t most;
    mpz_t whole;
    uint64_t out;

    if (search->in_words)
        return cci_floor_of(search->tolerance_p, search->tolerance_q, lp);
    mpq_init(most);
    mpz_init(whole);
    tolerance_left(most, search, pair);
    cci_scale(most, lp, most);
    mpz_fdiv_q(whole, mpq_numref(most), mpq_denref(most));
    out = mpz_sizeinbase(whole, 2) > 61 ? UINT64_MAX : cc_get_u64(whole);
    mpz_clear(whole);
    mpq_clear(most);
    return out;
}

/* k R / N <= most_turns */
static void limit_block(struct congruence *c, const struct cci_search *search)
{
    mpq_t k;
    mpz_t whole;

    mpq_init(k);
    mpz_init(whole);
    cc_set_u64(mpq_numref(k), c->n);
    mpq_div(k, k, search->head->worm);
    mpq_mul(k, k, search->request->most_turns);
    mpz_fdiv_q(whole, mpq_numref(k), mpq_denref(k));
    if (mpz_sizeinbase(whole, 2) <= 61 && cc_get_u64(whole) < c->most_block)
        c->most_block = cc_get_u64(whole);
    mpz_clear(whole);
    mpq_clear(k);
}

/*
 * The error of neighbours is up to (N - 1)/N of the closing error |r| / (L P), and has to stay below
 * 1/N of a turn, or they meet: |r| (N - 1) < L P. And |r| is the nearer of two.
 */
static uint64_t most_apart(const struct congruence *c)
{
    uint64_t apart = (c->lp - 1) / (c->n - 1);

    return apart < c->nq / 2 ? apart : c->nq / 2;
}

/* Whether blocks are ranked in words and the best so far is within the tolerance. (With an offset a block need not close within it.) */
static bool is_within(const struct cci_search *search)
{
    return search->in_words && search->best.any && search->best.plan.within;
}

/* What nearly exact plans of one side cost at least, and what the best so far, if it is within the tolerance, leaves for them. */
struct room {
    uint64_t single;        /* effort of one division at a time, no whole turn in a movement */
    uint64_t blocks, turn;  /* of blocks without a whole turn; more for each */
    uint64_t effort;        /* the best so far for which the following stand */
    uint64_t most_block;    /* larger ones are more work; without blocks more turns may be worth it */
    uint64_t turns;         /* whole turns with which a block is as much work, exactly; UINT64_MAX: none */
};

static struct room room_on(struct cci_search *search, const struct cci_side *side)
{
    struct cc_plan *plan = cci_pair_candidate(search, &search->planner->pairs[side->first_pair], CC_NEARLY_EXACT);
    struct room room = { .effort = UINT64_MAX, .most_block = UINT64_MAX, .turns = UINT64_MAX };

    plan->block = 1;
    room.single = cci_least_effort(search, cci_wide(0));
    plan->block = 2;
    room.blocks = cci_least_effort(search, cci_wide(0));
    room.turn = cci_least_effort(search, cci_wide(search->divisions)) - room.blocks;
    return room;
}

static void set_room(struct room *room, const struct cci_search *search, uint64_t effort, uint64_t nq)
{
    room->effort = effort;
    room->most_block = 1;
    room->turns = UINT64_MAX;
    if (room->effort < room->blocks)
        return;
    uint64_t turns = (room->effort - room->blocks) / room->turn;
    uint64_t block = cci_floor_of(turns + 1, search->planner->worm_p, nq);      /* (turns + 1) N Q / P */
    if (block > 1)
        room->most_block = block;
    if (turns * room->turn == room->effort - room->blocks)
        room->turns = turns;
}

/*
 * Where the best so far is within the tolerance, blocks of more work are left out, and such as are as much work and not as
 * near; where it is not, such as are not as near. Returns |r| as near as the best, where that matters.
 */
static uint64_t leave_out(struct congruence *c, uint64_t *within, const struct cci_search *search, struct room *room)
{
    const struct cci_ranked *best = &search->best;

    if (!best->any || best->plan.exact || best->plan.holds != search->holds[CC_INDEX_WORM])
        return UINT64_MAX;
    if (best->plan.within) {
        if (room->effort != best->plan.effort)
            set_room(room, search, best->plan.effort, c->nq);
        if (room->most_block < c->most_block)
            c->most_block = room->most_block;
        if (room->turns == UINT64_MAX)
            return UINT64_MAX;
    }
    uint64_t nearest = cci_floor_of(best->off, best->of, c->lp);
    if (room->turns == 0 && residue(c, 1) > *within && nearest < *within)
        *within = nearest;
    return nearest;
}

/*
 * Of the blocks within the tolerance (|r| <= most) those that can come first: the smallest has the fewest whole turns
 * and so the least effort, and of as many turns the nearest is wanted; one without a part that goes back costs less
 * again. (A part goes back only where the movement is less than a turn.) With so many whole turns, equal, only such as are as
 * near as best can come before the best so far.
 */
static bool offer_within(struct cci_search *search, const struct cci_pair *pair, const struct congruence *c, uint64_t most,
                         uint64_t first, uint64_t equal, uint64_t best)
{
    uint64_t nearest = UINT64_MAX, turns = UINT64_MAX;
    bool any = false;

    for (uint64_t k = next_block(c, most, first); k != 0; k = next_block(c, most, k + 1)) {
        uint64_t units = units_of_block(c, k), whole = units / pair->lcm, r = residue(c, k);
        if (whole > turns)
            break;
        any = true;
        if (k > 1 && whole == equal && most > best)
            most = best;
        if (k > 1 && r > most)
            continue;
        bool forward = goes_forward(pair, units);
        if (forward || r < nearest)
            offer_block(search, pair, k, units);
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

static uint64_t smaller(uint64_t a, uint64_t b)
{
    return a < b ? a : b;
}

/* Whether one division at a time, off by half of r or more, can come first. */
static bool single_is_worth_it(struct cci_search *search, const struct cci_pair *pair, const struct congruence *c)
{
    cci_pair_candidate(search, pair, CC_NEARLY_EXACT);
    return !cci_is_hopeless(search, search->holds[CC_INDEX_WORM],
                            cci_least_effort(search, cci_wide_product(c->n, units_of_block(c, 1) / pair->lcm)), residue(c, 1), 2 * c->lp);
}

/*
 * Whether any block of a pair can come first, where fractions decide: what an offset leaves of the tolerance takes many of
 * them. With an offset a block can be off by half of what it closes by, the zero hole by as much the other way. Blocks with
 * fewer turns than the best need only be within the tolerance.
 */
static bool is_worth_it(struct cci_search *search, const struct cci_pair *pair, const struct congruence *all, uint64_t first,
                        struct room *room)
{
    const struct cci_mark best = cci_to_beat(search);
    struct congruence c = *all, fewer;

    if (!best.any || best.exact || best.holds != search->holds[CC_INDEX_WORM])
        return true;
    uint64_t nearest = smaller(c.nq / 2, cci_floor_of(best.off, best.of, 2 * c.lp)), most = nearest;
    if (best.within) {
        if (room->effort != best.effort)
            set_room(room, search, best.effort, c.nq);
        c.most_block = smaller(c.most_block, room->most_block);
        most = smaller(c.nq / 2, cci_floor_of(search->tolerance_p, search->tolerance_q, 2 * c.lp));
    }
    if (first == 1 && residue(&c, 1) <= most && single_is_worth_it(search, pair, &c))
        return true;
    fewer = c;
    if (best.within && room->turns != UINT64_MAX)
        fewer.most_block = smaller(c.most_block, cci_floor_of(room->turns, search->planner->worm_p, c.nq));
    first = first < 2 ? 2 : first;
    return next_block(&fewer, most, first) != 0 ||
           next_block(&c, nearest, first > fewer.most_block ? first : fewer.most_block + 1) != 0;
}

/*
 * Within the tolerance, or, if none is, each block that is nearer than all smaller ones (or as near, where those have a
 * part that goes back).
 */
static void search_pair(struct cci_search *search, const struct cci_pair *pair, struct room *room)
{
    uint64_t n = search->divisions, lp = pair->lcm * search->planner->worm_p, nq = n * search->planner->worm_q, first = 1;
    struct congruence c = { n, lp, nq, lp % nq, n - 1 };

    search->planner->examined++;
    if (c.rest == 0)
        return;
    if (!search->free_block)
        first = c.most_block = search->block;
    else if (mpq_sgn(search->request->most_turns) > 0)
        limit_block(&c, search);
    if (!search->in_words && !is_worth_it(search, pair, &c, first, room))
        return;
    uint64_t apart = most_apart(&c), most = residue_within(search, pair, lp);
    if (most > apart)
        most = apart;
    uint64_t nearest = leave_out(&c, &most, search, room);
    if (offer_within(search, pair, &c, most, first, room->turns, nearest) || is_within(search))
        return;
    /*
     * None is within the tolerance. The first block is any that keeps neighbours apart; each further one must come
     * nearer, or as near without a part that goes back.
     */
    most = apart < nearest ? apart : nearest;
    for (uint64_t k = next_block(&c, most, first); k != 0; k = next_block(&c, most, k + 1)) {
        uint64_t units = units_of_block(&c, k);
        offer_block(search, pair, k, units);
        most = residue(&c, k) - (goes_forward(pair, units) ? 1 : 0);
    }
}

/*
 * Where the best so far is within the tolerance: the fewest units to a turn with which a block that is not exact is too. What
 * divides P and N Q divides r, so that it is off by gcd(P, N Q) / (L P) at least.
 */
static uint64_t fewest_units(const struct cci_search *search)
{
    uint64_t p = search->planner->worm_p, g = cci_gcd(p, search->divisions * search->planner->worm_q);

    return is_within(search) ? cci_floor_of(search->tolerance_q, search->tolerance_p, g) / p : 0;
}

static void search_side(struct cci_search *search, const struct cci_side *side)
{
    struct room room = room_on(search, side);

    if (cci_to_beat(search).within && cci_is_hopeless(search, search->holds[CC_INDEX_WORM], room.single, 0, 1))
        return;
    uint64_t fewest = fewest_units(search);
    for (size_t i = side->end_pair; i-- > side->first_pair && search->status == CC_OK && side->finest >= fewest;) {
        const struct cci_pair *pair = &search->planner->pairs[i];
        if (pair->lcm >= fewest && cci_pair_is_useful(pair) && cci_circle_allowed(search, pair->circle, pair->circle2))
            search_pair(search, pair, &room);
    }
}

void cci_find_nearly_exact(struct cci_search *search)
{
    const struct cc_planner *planner = search->planner;

    if (!search->circle || planner->pair_count == 0 || search->divisions < 2 ||
        search->divisions > ((UINT64_C(1) << 61) - 1) / planner->worm_q)
        return;
    for (size_t i = planner->side_count; i-- > 0;)
        if (planner->sides[i].end_pair > planner->sides[i].first_pair)
            search_side(search, &planner->sides[i]);
}
