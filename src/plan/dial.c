/*
 * dial.c: the crank set by the reading of its dial, without pin and plate: a circle of lines x parts that is read and not
 * counted. Exact for N when R m v / N is whole; else each position stands at the reading nearest to it, so that errors do
 * not add up (docs/method.md, "The dial").
 */
#include "plan/search.h"

/* Whether there is a dial that the request allows. */
static bool dial_serves(const struct cci_search *search)
{
    if (!cc_head_has_dial(search->head))
        return false;
    uint64_t parts = cci_dial_parts(search->head, search->request);
    return cci_circle_allowed(search, (unsigned)parts, (unsigned)parts);
}

void cci_find_dial(struct cci_search *search)
{
    if (!dial_serves(search))
        return;
    const struct cc_plan *plan = cci_dial_candidate(search);
    if (cci_is_exact(search, plan->unit, search->ratio_p, search->ratio_q))
        cci_offer_exact(search);
}

void cci_find_nearest_reading(struct cci_search *search)
{
    if (!dial_serves(search))
        return;
    cci_dial_candidate(search);
    cci_offer_rounded(search);
}
