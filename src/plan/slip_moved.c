/* slip_moved.c: what moves by itself, a plate or a dial; what is come up to from behind; a place that was not cut. */
#include "plan/slip_search.h"

#include <stdlib.h>

/* Since k the cuts are at the angles of slip, or row k alone is not cut. */
static bool fits_along(struct cci_slip_search *search, uint64_t k, uint64_t row, const uint64_t *slip, bool left_out)
{
    struct cci_angles angles = cci_slip_angles(search, k);

    angles.slip = slip;
    angles.left_out = left_out;
    if (!cci_slip_is_counted(search, k))
        cci_slip_count(search, &angles);
    return cci_slip_fits(search, k, row);
}

static bool fits_as_planned(struct cci_slip_search *search, uint64_t k, uint64_t row)
{
    return fits_along(search, k, row, search->counting.plan, false);
}

static bool fits_uncut(struct cci_slip_search *search, uint64_t k, uint64_t row)
{
    return fits_along(search, k, row, search->counting.plan, true);
}

/* What is cut since comes to places of its own, beyond a whole turn. */
static bool fits_apart(struct cci_slip_search *search, uint64_t k, uint64_t row)
{
    struct cci_counting *c = &search->counting;

    for (uint64_t i = 0; i < c->n && c->filled != c->question; i++)
        c->slip[i] = c->plan[i] + search->hunt.line.p;
    c->filled = c->question;
    return fits_along(search, k, row, c->slip, false);
}

/* How often it can have happened up to row: `now` has from when to when. */
static bool count_since(struct cci_slip_search *search, uint64_t row, bool apart)
{
    uint64_t first = search->now.first;
    bool plainly;

    search->now.ways = row - first + 1;
    if (!cci_slip_counts(search, row, &plainly))
        return plainly;
    cci_slip_take(search, first, row, row, apart ? fits_apart : fits_as_planned);
    return search->now.ways > 0;
}

static bool add_since(struct cci_slip_search *search, uint64_t row, uint64_t x, bool apart)
{
    if (!count_since(search, row, apart))
        return search->status == CC_OK;
    return cci_slip_add(search, row, x, cci_slip_odds(search->now.kind), 0, 0);
}

static bool found_standing(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct cci_slip_search *search = hunt->context;
    uint64_t hole, hole2;

    cci_slip_holes_of(&hole, &hole2, search, row);
    if (cci_hole_fits(hunt, hole) && (!hunt->seen->has_hole2 || hole2 == hunt->seen->hole2))
        return true;
    search->now.first = search->from < row ? search->from : row;
    search->now.last = row;
    return add_since(search, row, x, false);
}

/* The window, its reading believed no further than so much of a crank turn more: n / d. */
static struct cci_window wider_window(const struct cci_slip_search *search, unsigned long n, unsigned long d)
{
    const struct cci_hunt *hunt = &search->hunt;
    struct cci_window window = hunt->line.window;
    mpq_t give;

    if (!hunt->seen->has_reading)
        return window;
    mpq_init(give);
    mpq_set_ui(give, n, d);
    mpq_div(give, give, hunt->plan->ratio);
    mpq_add(give, give, hunt->seen->uncertainty);
    window = cci_window_of(hunt->seen->reading, give, hunt->line.p);
    mpq_clear(give);
    return window;
}

/* Hunt with the reading believed so much less, for this question alone. */
static void hunt_wider(struct cci_slip_search *search, unsigned long n, unsigned long d)
{
    struct cci_window window = search->hunt.line.window;

    search->hunt.line.window = wider_window(search, n, d);
    cci_hunt(&search->hunt);
    search->hunt.line.window = window;
}

static bool found_moving(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct cci_slip_search *search = hunt->context;

    search->now.first = cci_slip_first_movement(search);
    search->now.last = row;
    return row < search->now.first || add_since(search, row, x, true);
}

#define MOST_COUNTED 64     /* rows: the first that can show as many places nearly always does */

/* Whether the work shows as many places cut as were seen at any row, whatever a plate that moved did to them. */
static bool count_is_possible(struct cci_slip_search *search)
{
    const struct cci_hunt *hunt = &search->hunt;
    uint64_t row = hunt->seen->cuts + cci_first_cut(hunt->request);

    row = row > 0 && row - 1 > search->low ? row - 1 : search->low;
    for (int apart = 0; apart < 2; apart++) {
        cci_slip_count_anew(search);
        for (uint64_t at = row; at <= search->high && at < row + MOST_COUNTED; at++) {
            search->now.first = at < search->from ? at : search->from;
            if (count_since(search, at, apart == 1))
                return true;
        }
    }
    return false;
}

/* The plate may have moved at any row: nothing tells which it is. */
static void add_anywhere(struct cci_slip_search *search)
{
    if (seen_of(search)->has_cuts && !count_is_possible(search))
        return;
    search->now.first = search->from;
    search->now.last = search->high;
    search->now.ways = 1;
    cci_slip_add(search, 0, 0, cci_slip_odds(search->now.kind), 0, 0);
    if (search->status == CC_OK)
        search->slips->at[search->slips->n - 1].has_row = false;
}

void cci_ask_plate(struct cci_slip_search *search)
{
    struct cci_hunt *hunt = &search->hunt;
    const struct cc_seen *seen = hunt->seen;

    if ((!cc_plan_has_plate(hunt->plan) && (!is_dial(search) || hunt->plan->dial.fixed)) || (!seen->has_hole && !seen->has_hole2))
        return;
    search->now.by = 0;
    search->now.kind = is_dial(search) ? CC_SLIP_DIAL : CC_SLIP_PLATE;
    cci_slip_count_anew(search);
    cci_slip_begin(search, 0, 0, found_standing);
    search->now.has_shift = false;
    if (!seen->has_reading && !seen->has_row) {
        add_anywhere(search);
        return;
    }
    hunt->any_hole = true;
    hunt_wider(search, 1, 2 * (unsigned long)hunt->plan->circle);
    search->now.kind = is_dial(search) ? CC_SLIP_DIAL_ON : CC_SLIP_PLATE_ON;
    cci_slip_count_anew(search);
    cci_slip_begin(search, 0, 0, found_moving);
    search->now.has_shift = false;
    hunt_wider(search, 1, 1);
}

/* ---- by the dial: come up to a reading from behind ---- */

static bool found_slack(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct cci_slip_search *search = hunt->context;

    if (row < cci_slip_first_movement(search))
        return true;
    search->now.first = search->now.last = row;
    return add_since(search, row, x, true);
}

void cci_ask_backlash(struct cci_slip_search *search)
{
    if (!is_dial(search) || !search->hunt.seen->has_hole)
        return;
    search->now.kind = CC_SLIP_BACKLASH;
    search->now.by = 0;
    cci_slip_count_anew(search);
    cci_slip_begin(search, 0, 0, found_slack);
    search->now.has_shift = false;
    hunt_wider(search, 1, 10);
}

/* ---- moved to and not cut ---- */

static bool found_uncut(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct cci_slip_search *search = hunt->context;
    uint64_t first = cci_first_cut(hunt->request), least = search->from > first ? search->from : first, cuts = hunt->seen->cuts;
    bool plainly;

    if (least >= row)
        return true;
    search->now.first = least;
    search->now.last = row - 1;
    search->now.ways = row - least;
    if (cci_slip_counts(search, row, &plainly)) {
        cci_slip_take(search, least, row - 1, row, fits_uncut);
    } else if (cuts + first != row && cuts + first + 1 != row) {
        return true;
    }
    if (search->now.ways == 0 || search->status != CC_OK)
        return search->status == CC_OK;
    return cci_slip_add(search, row, x, cci_slip_odds(CC_SLIP_NOT_CUT), 0, 0);
}

void cci_ask_uncut(struct cci_slip_search *search)
{
    if (!seen_of(search)->has_cuts)
        return;
    search->now.kind = CC_SLIP_NOT_CUT;
    search->now.by = 0;
    cci_slip_count_anew(search);
    cci_slip_begin(search, 0, 0, found_uncut);
    cci_hunt(&search->hunt);
}
