/* slip_circle.c: the pin in a neighbouring circle. */
#include "plan/slip_search.h"

#include <stdlib.h>

#define ODDS_WRONG_CIRCLE 20    /* the pin in the neighbouring circle from the start */

struct in_circle {
    struct cci_slip_search *search;
    struct cci_line line;   /* the pin in that circle; of rows that are held, pin0 and plate0 are where it stands now */
    int64_t turns, holes;   /* a line: of its movement */
    int64_t start_holes;    /* of the start's movement, where that was made in the circle too */
};

/* Of rows that are held, in->line stands at row now. */
static void fill_held(const struct in_circle *in, uint64_t k, uint64_t row, uint64_t scale)
{
    struct cci_slip_search *search = in->search;
    struct cci_line line = in->line;

    line.pin = line.plate = 0;
    for (uint64_t i = row + 1; i-- > k; ) {
        const struct cci_row *held = &search->hunt.row[i];
        line.pin0 -= held->turns * (int64_t)line.circle + held->holes;
        line.plate0 -= held->holes2;
    }
    for (uint64_t i = k; i < search->counting.n; i++) {
        const struct cci_row *held = &search->hunt.row[i];
        line.pin0 += held->turns * (int64_t)line.circle + held->holes;
        line.plate0 += held->holes2;
        search->counting.slip[i] = cci_line_spindle(&line, 0) * scale;
    }
}

/* Both in parts of which both have whole numbers; false where that would be too fine. */
static bool count_circle(const struct in_circle *in, uint64_t k, uint64_t row)
{
    struct cci_slip_search *search = in->search;
    uint64_t g = cci_gcd(search->hunt.line.p, in->line.p), by_circle = search->hunt.line.p / g;
    struct cci_angles angles = cci_slip_angles(search, k);

    angles.scale = in->line.p / g;
    if (cci_wide_high(cci_wide_product(search->hunt.line.p, angles.scale)) != 0)
        return false;
    if (search->hunt.row != NULL)
        fill_held(in, k, row, by_circle);
    else
        for (uint64_t i = k; i < search->counting.n; i++)
            search->counting.slip[i] = cci_line_spindle(&in->line, i) * by_circle;
    cci_slip_count(search, &angles);
    return true;
}

static bool circle_allowed(const struct in_circle *in, uint64_t row)
{
    struct cci_slip_search *search = in->search;
    uint64_t k = search->now.first;
    bool plainly;

    if (!cci_slip_counts(search, row, &plainly))
        return plainly;
    if (!cci_slip_is_counted(search, k) && !count_circle(in, k, row))
        return true;
    return cci_slip_fits(search, k, row);
}

/* holes: counted in the circle since, forward less back. */
static bool add_in_circle(const struct in_circle *in, uint64_t row, uint64_t x, int64_t holes, bool from_start)
{
    struct cci_slip_search *search = in->search;

    search->now.circle = in->line.circle;
    search->p = in->line.p;
    if (!circle_allowed(in, row))
        return search->status == CC_OK;
    return cci_slip_add_since(search, row, x, from_start ? ODDS_WRONG_CIRCLE : cci_slip_odds(CC_SLIP_CIRCLE), holes);
}

static bool found_in_circle(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    const struct in_circle *in = hunt->context;
    uint64_t first = in->search->now.first;
    int64_t holes = in->holes * (int64_t)(row + 1 - (first > 0 ? first : 1)) + (first == 0 ? in->start_holes : 0);

    return holes == 0 || add_in_circle(in, row, x, holes, in->search->group.which == ANY_MOVE);
}

#define MOST_STARTS 20000       /* times that the pin passes the start hole */

/* A line, from the row `stands` on where the pin was put over, or from the zero hole. */
static void ask_circle_line(struct in_circle *in, bool from_zero, uint64_t stands)
{
    struct cci_slip_search *search = in->search;
    struct cci_hunt *hunt = &search->hunt;
    int64_t circle = hunt->plan->circle, other = in->line.circle;
    struct cci_movement start = cci_movement_of(search, (struct cci_split){ hunt->line.pin0, hunt->line.plate0 });

    cci_slip_count_anew(search);
    cci_slip_begin(search, 0, 0, found_in_circle);
    search->group.which = from_zero ? ANY_MOVE : SMALLER_MOVE;
    search->now.first = from_zero ? (hunt->line.pin0 != 0 ? 0 : 1) : stands + 1;
    if (search->now.first < search->from)
        return;
    in->line.plate0 = hunt->line.plate0;
    in->line.plate = hunt->line.plate;
    in->line.pin = in->turns * other + in->holes;
    in->start_holes = start.holes;
    if (from_zero)
        in->line.pin0 = start.turns * other + start.holes;
    else
        in->line.pin0 = (hunt->line.pin0 + (int64_t)stands * hunt->line.pin) / circle * other - (int64_t)stands * in->line.pin;
    if (search->now.first > hunt->low)
        hunt->low = search->now.first;
    if (hunt->low <= hunt->high)
        cci_hunt_line(hunt, &in->line);
}

static void ask_circle_lines(struct in_circle *in)
{
    struct cci_slip_search *search = in->search;
    struct cci_hunt *hunt = &search->hunt;
    struct cci_movement m = cci_movement_of(search, (struct cci_split){ hunt->line.pin, hunt->line.plate });
    uint64_t first, every;

    in->turns = m.turns;
    in->holes = m.holes;
    ask_circle_line(in, true, 0);
    if (!cci_rows_at(&first, &every, hunt->line.pin0, hunt->line.pin, hunt->plan->circle, 0))
        return;
    if (first == 0 && hunt->line.pin0 == 0)
        first += every;
    for (uint64_t k = first, n = 0; k < search->high && hunt->budget > 0; k += every, n++) {
        if (n == MOST_STARTS) {
            search->slips->cut_short = true;
            return;
        }
        ask_circle_line(in, false, k);
    }
}

/* Whether the pins stand at row of those that are held as they are seen to, x being where the spindle stands. */
static bool circle_fits(const struct in_circle *in, uint64_t row, uint64_t x)
{
    const struct cci_slip_search *search = in->search;
    const struct cc_seen *seen = seen_of(search);

    return row >= search->low && (!seen->has_hole || cci_modulo(in->line.pin0, in->line.circle) == seen->hole) &&
           (!seen->has_hole2 || search->hunt.row[row].hole2 == seen->hole2) &&
           cci_in_window(&in->line.window, x, in->line.p);
}

/* Rows that are held: on from row `stands`, or from the zero hole, where both pins stand in whole turns. */
static bool walk_circle(struct in_circle *in, bool from_zero, uint64_t stands, int64_t turns, int64_t plate)
{
    struct cci_slip_search *search = in->search;
    struct cci_hunt *hunt = &search->hunt;
    int64_t circle = in->line.circle, holes = 0;
    bool any = false;       /* movements of whole turns alone are the same in every circle */

    cci_slip_count_anew(search);
    in->line.pin0 = turns * circle;
    in->line.plate0 = plate;
    in->line.pin = in->line.plate = 0;
    search->now.first = from_zero ? (hunt->row[0].turns != 0 || hunt->row[0].holes != 0 ? 0 : 1) : stands + 1;
    if (search->now.first < search->from)
        return true;
    for (uint64_t i = search->now.first; i <= search->high; i++) {
        const struct cci_row *row = &hunt->row[i];
        in->line.pin0 += row->turns * circle + row->holes;
        in->line.plate0 += row->holes2;
        holes += row->holes;
        any |= row->holes != 0;
        if (!cci_slip_spend(search))
            return false;
        uint64_t x = cci_line_spindle(&in->line, 0);
        if (any && circle_fits(in, i, x) && !add_in_circle(in, i, x, holes, from_zero))
            return false;
    }
    return true;
}

static void ask_circle_held(struct in_circle *in)
{
    struct cci_slip_search *search = in->search;
    const struct cci_hunt *hunt = &search->hunt;
    int64_t circle = hunt->plan->circle, pin = 0, plate = 0;

    cci_slip_begin(search, 0, 0, NULL);
    if (!walk_circle(in, true, 0, 0, 0))
        return;
    for (uint64_t k = 0; k < search->high; k++) {
        const struct cci_row *row = &hunt->row[k];
        pin += row->turns * circle + row->holes;
        plate += row->holes2;
        if (row->hole == 0 && (k > 0 || pin != 0) && !walk_circle(in, false, k, pin / circle, plate))
            return;
    }
}

void cci_ask_circles(struct cci_slip_search *search)
{
    unsigned neighbour[2], seen = seen_of(search)->pin_circle;
    struct in_circle in = { .search = search };

    if (is_vernier(search) || is_dial(search) || has_detent(search))
        return;
    if (!search->hunt.has_line && search->hunt.row == NULL) {
        search->slips->cut_short = true;
        return;
    }
    cci_slip_neighbours(neighbour, search);
    search->now.kind = CC_SLIP_CIRCLE;
    search->hunt.context = &in;
    for (int i = 0; i < 2 && search->status == CC_OK; i++) {
        if (neighbour[i] == 0 || (seen != 0 && seen != neighbour[i]))
            continue;
        search->now.by = (int64_t)neighbour[i] - (int64_t)search->hunt.plan->circle;
        in.line = cci_line_of(neighbour[i], search->hunt.plan->circle2, search->hunt.plan, search->hunt.seen);
        if (search->hunt.has_line)
            ask_circle_lines(&in);
        else
            ask_circle_held(&in);
    }
    search->hunt.context = search;
}
