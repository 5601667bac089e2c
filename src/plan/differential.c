/*
 * differential.c: differential indexing. The plate is geared to the spindle and turns e times for
 * each of its turns; relative to the plate the pin moves t, and theta = t/(R - e).
 *
 * With R - e = p/q in lowest terms, a train and a circle C are exact for N when q divides C and N
 * divides p C/q. The trains are listed in gearings.c.
 */
#include "plan/search.h"

/* Of n movements of k divisions each, k (R - e) / N crank turns with R - e = p/q. */
static cci_u128 whole_turns(uint64_t n, uint64_t k, uint64_t p, uint64_t q)
{
    cci_u128 each = cci_wide_quotient(cci_wide_product(k, p), cci_wide_product(q, n));

    return cci_wide_times(each, n);
}

/*
 * The largest q with which a train can be exact with any circle. One division at a time a C p/q / N is whole only if
 * q / gcd(a, q) divides C (a/N is the grain; p and q have no common factor); by blocks k = q N / gcd(q N, C p) is at least q/C,
 * and below N.
 */
static uint64_t largest_q(const struct cci_search *search, bool blocks)
{
    unsigned circle = 0;

    for (size_t i = 0; i < search->planner->spot_count; i++)
        if (search->planner->spots[i].circle > circle)
            circle = search->planner->spots[i].circle;
    uint64_t times = blocks ? search->divisions : cc_get_u64(mpq_numref(search->grain));
    return times > UINT64_MAX / CC_MAX_CIRCLE || mpq_sgn(search->grain) == 0 ? UINT64_MAX : times * circle;
}

/* The block with which a circle and R - e = p/q are exact, the request's or (blocks) another; 0 where they are not. */
static uint64_t block_with(const struct cci_search *search, uint64_t circle, uint64_t p, uint64_t q, bool blocks)
{
    if (blocks)
        return cci_exact_block(search, circle, p, q);
    return cci_is_exact(search, circle, p, q) ? search->block : 0;
}

static void search_exact(struct cci_search *search, bool blocks)
{
    struct cc_planner *planner = search->planner;

    if (search->head->gears.n == 0 || search->fine || (blocks && !search->free_block))
        return;
    search->answer.searched.geared = true;
    search->status = cci_sieve_gearings(search);
    uint64_t most = largest_q(search, blocks);
    struct cci_divisor n;       /* divides C p of all that are exact */
    cci_divisor_set(&n, blocks ? search->divisions : search->grain_den);
    for (size_t k = 0; k < planner->sieved_count && search->status == CC_OK; k++) {
        size_t g = planner->sieved[k];
        uint64_t p = planner->gearing_p[g], q = planner->gearings[g].q;
        for (size_t i = 0; i < planner->spot_count && q <= most; i++) {
            const struct cci_spot *spot = &planner->spots[i];
            planner->examined++;
            if (!cci_divides(&n, spot->circle * p) || !cci_circle_allowed(search, spot->circle, spot->circle))
                continue;
            uint64_t block = block_with(search, spot->circle, p, q, blocks);
            if (block == 0)
                continue;
            if (!cci_place_gearing(planner, g))
                break;
            cci_geared_candidate(search, spot, g);
            search->scratch.block = block;
            if (search->circle)
                search->turns = whole_turns(search->divisions, block, p, q);
            cci_offer_exact(search);
        }
    }
}

void cci_find_differential(struct cci_search *search)
{
    search_exact(search, false);
}

void cci_find_differential_blocks(struct cci_search *search)
{
    search_exact(search, true);
}
