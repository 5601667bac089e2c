/*
 * plain.c: plain indexing, t = w + h/C crank turns with theta = t/R: exact for N when C R / N is
 * whole; with a fractional R perhaps by blocks of k divisions (docs/method.md, "Blocks").
 */
#include "plan/search.h"

static void plain_on(struct cci_search *search, const struct cci_spot *spot)
{
    struct cc_planner *planner = search->planner;
    uint64_t block = search->block;

    if (!cci_circle_allowed(search, spot->circle, spot->circle / spot->parts))
        return;
    if (!cci_is_exact(search, spot->circle, planner->worm_p, planner->worm_q)) {
        block = cci_exact_block(search, spot->circle, planner->worm_p, planner->worm_q);
        if (block == 0)
            return;
    }
    cci_spot_candidate(search, spot, CC_PLAIN)->block = block;
    cci_offer_exact(search);
}

void cci_find_plain(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    search->answer.searched.circles = planner->spot_count;
    for (size_t s = 0; s < planner->side_count; s++) {
        const struct cci_side *side = &planner->sides[s];
        bool can = cci_side_can_be_exact(search, side);
        for (size_t i = side->first_spot; i < side->end_spot && can; i++)
            plain_on(search, &planner->spots[i]);
    }
    for (size_t i = 0; i < planner->fine_count; i++)    /* a detent is for what the holes alone do not serve */
        if (!cci_is_exact(search, planner->fine[i].circle / planner->fine[i].parts, planner->worm_p, planner->worm_q))
            plain_on(search, &planner->fine[i]);
}
