/*
 * nearest.c: nearest hole and nearest compound. Each position is rounded to the nearest unit, so the
 * error never adds up: at most half a unit, 1/(2 R C) or 1/(2 R L) of a turn.
 *
 * The finer settings are mostly the last of the planner's, and are tried first: the others are then soon given up, by the
 * least that they can cost and the least that they can be off by.
 */
#include "plan/search.h"

static void nearest_on_direct_plate(struct cci_search *search)
{
    const struct cc_head *head = search->head;

    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i];
        if (!cci_circle_allowed(search, holes, holes))
            continue;
        cci_direct_candidate(search, i, CC_NEAREST_HOLE);
        cci_offer_rounded(search);
    }
}

/* Circles from first to before end of one side, or one by the detent of its plate. */
static void nearest_on(struct cci_search *search, const struct cci_spot *spots, size_t first, size_t end)
{
    cci_spot_candidate(search, &spots[first], CC_NEAREST_HOLE);
    uint64_t effort = cci_least_effort(search, cci_wide(0)), least = cci_least_unit(search, effort);

    for (size_t i = end; i-- > first;) {
        const struct cci_spot *spot = &spots[i];
        if (spot->circle < least || !cci_circle_allowed(search, spot->circle, spot->circle / spot->parts))
            continue;
        cci_spot_candidate(search, spot, CC_NEAREST_HOLE);
        cci_offer_rounded(search);
        least = cci_least_unit(search, effort);
    }
}

void cci_find_nearest_hole(struct cci_search *search)
{
    const struct cc_planner *planner = search->planner;

    nearest_on_direct_plate(search);
    for (size_t i = planner->side_count; i-- > 0;)
        nearest_on(search, planner->spots, planner->sides[i].first_spot, planner->sides[i].end_spot);
    for (size_t i = planner->fine_count; i-- > 0;)
        nearest_on(search, planner->fine, i, i + 1);
}

static void nearest_on_pairs(struct cci_search *search, const struct cci_side *side)
{
    const struct cci_pair *pairs = search->planner->pairs;

    cci_pair_candidate(search, &pairs[side->first_pair], CC_NEAREST_COMPOUND);
    uint64_t effort = cci_least_effort(search, cci_wide(0)), least = cci_least_unit(search, effort);

    for (size_t i = side->end_pair; i-- > side->first_pair && side->finest >= least;) {
        if (pairs[i].lcm < least || !cci_pair_is_useful(&pairs[i]) ||
            !cci_circle_allowed(search, pairs[i].circle, pairs[i].circle2))
            continue;
        cci_pair_candidate(search, &pairs[i], CC_NEAREST_COMPOUND);
        cci_offer_rounded(search);
        least = cci_least_unit(search, effort);
    }
}

void cci_find_nearest_compound(struct cci_search *search)
{
    const struct cc_planner *planner = search->planner;

    for (size_t i = planner->side_count; i-- > 0;)
        if (planner->sides[i].end_pair > planner->sides[i].first_pair)
            nearest_on_pairs(search, &planner->sides[i]);
}
