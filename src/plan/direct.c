/*
 * direct.c: direct indexing. The worm is out of mesh and the spindle's own plate is the index:
 * theta = h/D, or h/D + p/(D V) on a fixture with V vernier pins.
 */
#include "plan/search.h"

void cci_find_direct(struct cci_search *search)
{
    const struct cc_head *head = search->head;

    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i], unit = holes * head->vernier;
        if (!cci_circle_allowed(search, holes, holes) || !cci_is_exact(search, unit, 1, 1))
            continue;
        struct cc_plan *plan = cci_candidate(search, CC_DIRECT);
        plan->circle = holes;
        plan->circle2 = head->vernier > 1 ? unit : 0;
        plan->unit = unit;
        cci_offer_exact(search);
    }
}
