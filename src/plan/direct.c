/*
 * direct.c: direct indexing. The worm is out of mesh and the spindle's own plate is the index:
 * theta = h/D, or h/D + p/(D V) on a fixture with V vernier pins.
 */
#include "plan/search.h"

void cci_find_direct(struct cci_search *search)
{
    const struct cc_head *head = search->head;

    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i];
        if (!cci_circle_allowed(search, holes, holes) ||
            !cci_is_exact(search, (uint64_t)holes * cc_direct_pins(head, i), 1, 1))
            continue;
        cci_direct_candidate(search, i, CC_DIRECT);
        cci_offer_exact(search);
    }
}
