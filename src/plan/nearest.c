/*
 * nearest.c: nearest hole and nearest compound. Each position is rounded to the nearest unit, so the
 * error never adds up: at most half a unit, 1/(2 R C) or 1/(2 R L) of a turn.
 *
 * The finer settings are mostly the last of the planner's, and are tried first: the others are then soon given up.
 */
#include "plan/search.h"

static void nearest_on_direct_plate(struct cci_search *search)
{
    const struct cc_head *head = search->head;

    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i];
        if (!cci_circle_allowed(search, holes, holes) ||
            cci_is_exact(search, (uint64_t)holes * cc_direct_pins(head, i), 1, 1))
            continue;
        cci_direct_candidate(search, i, CC_NEAREST_HOLE);
        cci_offer_rounded(search);
    }
}

static void nearest_on(struct cci_search *search, const struct cci_spot *spots, size_t n)
{
    const struct cc_planner *planner = search->planner;

    for (size_t i = n; i-- > 0;) {
        if (!cci_circle_allowed(search, spots[i].circle, spots[i].circle / spots[i].parts) ||
            cci_is_exact(search, spots[i].circle, planner->worm_p, planner->worm_q))
            continue;
        cci_spot_candidate(search, &spots[i], CC_NEAREST_HOLE);
        cci_offer_rounded(search);
    }
}

void cci_find_nearest_hole(struct cci_search *search)
{
    const struct cc_planner *planner = search->planner;

    nearest_on_direct_plate(search);
    nearest_on(search, planner->spots, planner->spot_count);
    nearest_on(search, planner->fine, planner->fine_count);
}

void cci_find_nearest_compound(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    for (size_t i = planner->pair_count; i-- > 0;) {
        const struct cci_pair *pair = &planner->pairs[i];
        if (!cci_pair_is_useful(pair) || !cci_circle_allowed(search, pair->circle, pair->circle2) ||
            cci_is_exact(search, pair->lcm, planner->worm_p, planner->worm_q))
            continue;
        cci_pair_candidate(search, pair, CC_NEAREST_COMPOUND);
        cci_offer_rounded(search);
    }
}
