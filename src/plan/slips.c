/*
 * slips.c: every slip of slips.h that fits what is seen.
 *
 * A slip made once leaves both pins so many holes further on than the plan, ever since: the rows that fit are those of
 * the plan for holes and angle moved back by as much (hunt.h). What depends on when it began, a count or a circle, is a
 * line of its own, or is gone through movement by movement.
 */
#include "plan/slip_search.h"

#include <stdlib.h>

#include "crankcard/number.h"

const char *cc_hand_slip_name(enum cc_slip_kind kind)
{
    static const char *const names[CC_SLIPS] = {
        "hole", "second-pin", "turn", "twice", "left-out", "part-left-out", "count", "arms", "circle", "plate-standing",
        "plate-moving", "not-cut", "vernier", "line", "dial-standing", "dial-moving", "backlash",
    };

    return kind < CC_SLIPS ? names[kind] : "";
}

/* ---- the answers ---- */

void cc_hand_slips_init(struct cc_hand_slips *slips)
{
    *slips = (struct cc_hand_slips){ .n = 0 };
}

void cc_hand_slips_clear(struct cc_hand_slips *slips)
{
    for (size_t i = 0; i < slips->room; i++) {
        mpq_clears(slips->at[i].back, slips->at[i].off, slips->at[i].shift, NULL);
    }
    free(slips->at);
}

/* ---- the whole question ---- */

/* From holes to revolutions: what was found keeps the way back alone, of a circle the holes counted in it. */
static void finish_slip(struct cc_hand_slip *slip, const struct cci_slip_search *search)
{
    const struct cc_plan *plan = search->hunt.plan;
    mpq_t part;

    mpq_init(part);
    if (slip->has_row)
        cci_slip_holes_of(&slip->hole, &slip->hole2, search, slip->row);
    cci_set_fraction(slip->back, slip->pin, plan->circle);
    if (slip->kind == CC_SLIP_CIRCLE) {     /* pin is less the holes: back is that by the plan's circle less by the other */
        cci_set_fraction(part, slip->pin, slip->circle);
        mpq_sub(slip->back, part, slip->back);
        slip->pin = 0;
    }
    if (slip->plate != 0) {
        cci_set_fraction(part, slip->plate, plan->circle2);
        mpq_add(slip->back, slip->back, part);
    }
    mpq_div(slip->shift, slip->back, plan->ratio);
    mpq_neg(slip->shift, slip->shift);
    mpq_clear(part);
}

static enum cc_status check_circle(const struct cci_slip_search *search, struct cc_error *err)
{
    unsigned neighbour[2], circle = seen_of(search)->pin_circle;

    if (circle == 0 || circle == search->hunt.plan->circle)
        return CC_OK;
    if (!is_dial(search) && !has_detent(search)) {
        cci_slip_neighbours(neighbour, search);
        if (circle == neighbour[0] || circle == neighbour[1])
            return CC_OK;
    }
    return cc_fail(err, CC_EDOM, "circle %u is not the one of this job, %u, nor beside it on its plate", circle,
                   search->hunt.plan->circle);
}

#define MOST_TRIED 20000000     /* rows and movements looked at */
#define MOST_WORKED_OUT 300000  /* where rows are not held, and each is worked out anew */

static void ask_all(struct cci_slip_search *search)
{
    struct cci_hunt *hunt = &search->hunt;

    if (seen_of(search)->pin_circle == 0 || seen_of(search)->pin_circle == hunt->plan->circle) {
        cci_ask_once(search);
        cci_ask_plate(search);
        cci_ask_backlash(search);
        cci_ask_uncut(search);
        cci_ask_circles(search);
        cci_ask_counts(search);
    } else {
        cci_ask_circles(search);
    }
}

static enum cc_status begin(struct cci_slip_search *search, struct cc_error *err)
{
    struct cci_hunt *hunt = &search->hunt;
    const struct cc_seen *seen = seen_of(search);

    search->slips->n = 0;
    search->slips->total = 0;
    search->slips->cut_short = false;
    search->low = hunt->low;
    search->high = hunt->high;
    search->from = seen->has_right ? seen->right + 1 : 0;
    hunt->context = search;
    hunt->budget = hunt->has_line || hunt->row != NULL ? MOST_TRIED : MOST_WORKED_OUT;
    if (hunt->row != NULL) {
        search->moment = malloc(((size_t)hunt->plan->steps + 1) * sizeof *search->moment);
        if (search->moment == NULL)
            return cc_fail(err, CC_ENOMEM, "out of memory");
    }
    return check_circle(search, err);
}

/* The likeliest of what was found, in order and in revolutions. */
static void finish(struct cci_slip_search *search)
{
    struct cc_hand_slips *slips = search->slips;

    slips->cut_short |= search->hunt.budget == 0;
    if (slips->n > 0)
        qsort(slips->at, slips->n, sizeof *slips->at, cci_slips_compare);
    if (slips->n > search->most)
        slips->n = search->most;
    for (size_t i = 0; i < slips->n; i++)
        finish_slip(&slips->at[i], search);
}

static enum cc_status find(struct cci_slip_search *search, struct cc_error *err)
{
    const struct cc_seen *seen = seen_of(search);
    enum cc_status s = begin(search, err);

    if (s != CC_OK)
        return s;
    if (search->low <= search->high && (seen->has_hole || seen->has_hole2 || seen->has_reading || seen->has_cuts))
        ask_all(search);
    if (search->status != CC_OK)
        return cc_fail(err, search->status, "out of memory");
    finish(search);
    return search->slips->total > 0 ? CC_OK : cc_fail(err, CC_ENOFIT, "no slip that is known fits what is seen");
}

enum cc_status cc_hand_slips_find(struct cc_hand_slips *slips, const struct cc_head *head, const struct cc_plan *plan,
                             const struct cc_request *request, const struct cc_seen *seen, size_t most,
                             struct cc_error *err)
{
    struct cci_slip_search search = { .slips = slips, .head = head, .most = most };
    enum cc_status s = cci_hunt_begin(&search.hunt, plan, request, seen, err);

    if (s != CC_OK)
        return s;
    s = find(&search, err);
    cci_slip_count_end(&search);
    free(search.moment);
    cci_hunt_end(&search.hunt);
    return s;
}
