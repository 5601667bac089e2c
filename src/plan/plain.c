/*
 * plain.c: plain indexing, t = w + h/C crank turns with theta = t/R: exact for N when C R / N is
 * whole; with a fractional R perhaps by blocks of k divisions (docs/method.md, "Blocks").
 */
#include "plan/search.h"

void cci_find_plain(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    search->answer.searched.circles = planner->spot_count;
    for (size_t i = 0; i < planner->spot_count; i++) {
        const struct cci_spot *spot = &planner->spots[i];
        uint64_t block = search->block;
        if (!cci_circle_allowed(search, spot->circle, spot->circle))
            continue;
        if (!cci_is_exact(search, spot->circle, planner->worm_p, planner->worm_q)) {
            block = cci_exact_block(search, spot->circle, planner->worm_p, planner->worm_q);
            if (block == 0)
                continue;
        }
        cci_spot_candidate(search, spot, CC_PLAIN)->block = block;
        cci_offer_exact(search);
    }
}
