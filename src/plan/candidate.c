/*
 * candidate.c: what methods ask about a request, and the candidate they fill in.
 */
#include <string.h>

#include "plan/search.h"

/*
 * grain = n/d in lowest terms, unit * p fits 61 bits: n unit p / (d q) is whole exactly when
 * d (q / gcd(n, q)) divides unit p, because d is prime to n and p prime to q.
 */
bool cci_is_exact(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q)
{
    if (mpq_sgn(search->grain) == 0)
        return true;
    if (search->fine)
        return false;
    uint64_t left = q;
    if (q > 1 && !search->grain_one)
        left = q / cci_gcd(cc_mod_u64(mpq_numref(search->grain), q), q);
    cci_u128 need = cci_wide_product(search->grain_den, left);
    uint64_t low = cci_wide_low(need);
    return cci_wide_high(need) == 0 && low <= unit * p && unit * p % low == 0;
}

/* Whether the offset is a whole number of units. */
static bool offset_fits(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q)
{
    mpq_t units, scale;
    bool whole;

    if (mpq_sgn(search->request->offset) == 0)
        return true;
    mpq_init(units);
    mpq_init(scale);
    cc_set_u64(mpq_numref(scale), p);
    cc_set_u64(mpq_denref(scale), q);
    mpq_canonicalize(scale);
    cci_scale(scale, unit, scale);
    mpq_mul(units, scale, search->request->offset);
    whole = mpz_cmp_ui(mpq_denref(units), 1) == 0;
    mpq_clear(scale);
    mpq_clear(units);
    return whole;
}

uint64_t cci_exact_block(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q)
{
    uint64_t n = search->divisions;

    if (!search->free_block || q == 1 || n < 3 || n > unit * p || unit * p % n != 0)
        return 0;
    /* k must make k unit p / (q n) whole: the least is q n / gcd(q n, unit p). */
    cci_u128 qn = cci_wide_product(q, n);
    uint64_t g = cci_gcd(unit * p, cci_wide_rest(qn, unit * p));
    cci_u128 quotient = cci_wide_quotient(qn, cci_wide(g));
    uint64_t k = cci_wide_low(quotient);
    if (cci_wide_high(quotient) != 0 || k < 2 || k >= n || cci_gcd(k, n) != 1 ||
        !offset_fits(search, unit, p, q))
        return 0;
    return k;
}

/* An exact block needs N to divide P unit, and then it divides P all. */
bool cci_side_can_be_exact(const struct cci_search *search, const struct cci_side *side)
{
    const struct cc_planner *planner = search->planner;

    return side->all == 0 || cci_is_exact(search, side->all, planner->worm_p, planner->worm_q) ||
           (search->free_block && planner->worm_q > 1 && side->all * planner->worm_p % search->divisions == 0);
}

bool cci_turns_allowed(const struct cci_search *search, const struct cc_plan *plan)
{
    mpq_t turns;
    bool allowed;

    if (mpq_sgn(search->request->most_turns) == 0 || plan->block < 2)
        return true;
    mpq_init(turns);
    cc_set_i64(mpq_numref(turns), plan->move);
    cc_set_u64(mpq_denref(turns), plan->unit);
    mpq_canonicalize(turns);
    allowed = mpq_cmp(turns, search->request->most_turns) <= 0;
    mpq_clear(turns);
    return allowed;
}

/* Nothing of the setting yet but its ratio p/q. Its fractions wait until they are asked for (cci_set_fractions). */
static struct cc_plan *bare_candidate(struct cci_search *search, enum cc_method method, uint64_t p, uint64_t q)
{
    struct cc_plan *plan = &search->scratch;

    search->ratio_p = p;
    search->ratio_q = q;
    search->pair = NULL;
    plan->method = method;
    plan->rank = search->rank;
    plan->exact = false;
    plan->plate = search->head->plate_count;
    plan->side = 0;
    plan->circle = plan->circle2 = 0;
    plan->dial.lines = 0;
    plan->detent = 1;
    memset(&plan->train, 0, sizeof plan->train);
    plan->block = search->block;
    plan->unit = 0;
    plan->constant = false;
    plan->move = plan->start = 0;
    plan->larger = 0;
    search->turns = cci_wide(0);
    plan->steps = search->request->position_count > 0 ? search->request->position_count
                                                      : search->divisions;
    plan->has_closing = search->circle;
    return plan;
}

void cci_set_fractions(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;

    search->planner->in_fractions++;
    cc_set_u64(mpq_numref(plan->ratio), search->ratio_p);
    cc_set_u64(mpq_denref(plan->ratio), search->ratio_q);
    mpq_set_ui(plan->plate_turns, 0, 1);
    if (plan->train.pairs > 0)      /* e = R - ratio */
        mpq_sub(plan->plate_turns, search->head->worm, plan->ratio);
    mpq_set_ui(plan->travel, 0, 1);
    mpq_set_ui(plan->worst_error, 0, 1);
    mpq_set_ui(plan->worst_pitch, 0, 1);
    mpq_set_ui(plan->closing_error, 0, 1);
}

struct cc_plan *cci_direct_candidate(struct cci_search *search, size_t i, enum cc_method method)
{
    const struct cc_head *head = search->head;
    struct cc_plan *plan = bare_candidate(search, method, 1, 1);

    plan->circle = head->direct.at[i];
    plan->unit = (uint64_t)plan->circle * cc_direct_pins(head, i);
    plan->circle2 = cc_direct_pins(head, i) > 1 ? (unsigned)plan->unit : 0;
    return plan;
}

struct cc_plan *cci_spot_candidate(struct cci_search *search, const struct cci_spot *spot,
                                   enum cc_method method)
{
    struct cc_plan *plan = bare_candidate(search, method, search->planner->worm_p, search->planner->worm_q);

    plan->plate = spot->plate;
    plan->side = spot->side;
    plan->circle = spot->circle;
    plan->detent = spot->parts;
    plan->unit = spot->circle;
    return plan;
}

struct cc_plan *cci_geared_candidate(struct cci_search *search, const struct cci_spot *spot, size_t g)
{
    const struct cci_gearing *gearing = &search->planner->gearings[g];
    struct cc_plan *plan = cci_spot_candidate(search, spot, CC_DIFFERENTIAL);

    plan->train.pairs = gearing->pairs;
    plan->train.idlers = gearing->idlers;
    plan->train.idlers_back = gearing->idlers_back;
    for (unsigned i = 0; i < gearing->pairs; i++) {
        plan->train.driver[i] = gearing->driver[i];
        plan->train.driven[i] = gearing->driven[i];
    }
    search->ratio_p = search->planner->gearing_p[g];
    search->ratio_q = gearing->q;
    return plan;
}

uint64_t cci_dial_parts(const struct cc_head *head, const struct cc_request *request)
{
    const struct cc_dial *dial = &head->dial;

    return (uint64_t)dial->lines * dial->vernier * (request->by_eye > 1 ? request->by_eye : 1);
}

struct cc_plan *cci_dial_candidate(struct cci_search *search)
{
    struct cc_plan *plan = bare_candidate(search, CC_DIAL, search->planner->worm_p, search->planner->worm_q);

    plan->unit = cci_dial_parts(search->head, search->request);
    plan->circle = (unsigned)plan->unit;
    plan->dial = search->head->dial;
    return plan;
}

uint64_t cci_least_effort(struct cci_search *search, cci_u128 turns)
{
    cci_set_standing(search);
    cci_plan_effort(&search->scratch, search, turns);
    return search->scratch.effort;
}

uint64_t cci_geared_effort(struct cci_search *search, const struct cci_spot *spot, cci_u128 turns)
{
    struct cc_plan *plan = cci_spot_candidate(search, spot, CC_DIFFERENTIAL);

    plan->train.pairs = plan->train.idlers = 1;
    return cci_least_effort(search, turns);
}

struct cc_plan *cci_pair_candidate(struct cci_search *search, const struct cci_pair *pair,
                                   enum cc_method method)
{
    const struct cci_spot spot = { pair->plate, pair->side, pair->circle, 1 };
    struct cc_plan *plan = cci_spot_candidate(search, &spot, method);

    search->pair = pair;
    plan->circle2 = pair->circle2;
    plan->unit = pair->lcm;
    return plan;
}
