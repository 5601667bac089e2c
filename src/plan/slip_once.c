/* slip_once.c: slips made at one movement: they leave the pins so many holes further on ever since. */
#include "plan/slip_search.h"

#include <stdlib.h>

#include "crankcard/number.h"

/* Among LARGER_MOVE: how many of the first row movements of a rounded plan are one unit more. */
static uint64_t larger_up_to(const struct cci_slip_search *search, uint64_t row)
{
    const struct cci_hunt *hunt = &search->hunt;
    const struct cc_plan *plan = hunt->plan;
    mpq_t scale, nominal;
    mpz_t units, less;

    mpq_inits(scale, nominal, NULL);
    mpz_inits(units, less, NULL);
    cci_scale(scale, plan->unit, plan->ratio);
    cc_request_nominal(nominal, hunt->request, plan->block, row);
    mpq_mul(nominal, nominal, scale);
    cc_rational_round(units, nominal);
    cci_units_of_constant(less, plan, row);
    mpz_sub(units, units, less);
    uint64_t larger = cc_get_u64(units);
    mpz_clears(less, units, NULL);
    mpq_clears(nominal, scale, NULL);
    return larger;
}

/* How many moments of a group are from `from` to `to`; the first and the last (by range: no earlier and no later). */
static uint64_t moments_between(uint64_t *first, uint64_t *last, const struct cci_slip_search *search, uint64_t from, uint64_t to)
{
    const struct cci_group *group = &search->group;
    size_t begin = 0, end = 0;

    if (group->k != NULL) {
        for (size_t n = group->n; begin < n; ) {
            size_t middle = begin + (n - begin) / 2;
            if (group->k[middle].k < from)
                begin = middle + 1;
            else
                n = middle;
        }
        end = begin;
        for (size_t n = group->n; end < n; ) {
            size_t middle = end + (n - end) / 2;
            if (group->k[middle].k <= to)
                end = middle + 1;
            else
                n = middle;
        }
        if (begin == end)
            return 0;
        *first = group->k[begin].k;
        *last = group->k[end - 1].k;
        return end - begin;
    }
    *first = from > group->low ? from : group->low;
    *last = to < group->high ? to : group->high;
    if (*first > *last)
        return 0;
    uint64_t all = *last - *first + 1;
    if (group->which == ANY_MOVE)
        return all;
    uint64_t larger = larger_up_to(search, *last) - larger_up_to(search, *first - 1);
    return group->which == LARGER_MOVE ? larger : all - larger;
}

/* All rows from k on are as far on as the pins; where the spindle was not moved at k, that row is cut where the one before is. */
static void count_once(struct cci_slip_search *search, uint64_t k)
{
    struct cci_counting *c = &search->counting;
    struct cci_angles angles = cci_slip_angles(search, k);
    uint64_t p = search->hunt.line.p, way = cci_line_way(&search->hunt.line, search->group.pin, search->group.plate);

    for (uint64_t i = 0; i < c->n && c->filled != c->question; i++)
        c->slip[i] = (c->plan[i] + way) % p;
    c->filled = c->question;
    uint64_t moved = c->slip[k];
    if (search->group.before_last)
        c->slip[k] = k > 0 ? c->plan[k - 1] : 0;
    cci_slip_count(search, &angles);
    c->slip[k] = moved;
}

static bool fits_once(struct cci_slip_search *search, uint64_t k, uint64_t row)
{
    uint64_t first, last;

    if (!cci_slip_is_counted(search, k))
        count_once(search, k);
    return cci_slip_fits(search, k, row) && moments_between(&first, &last, search, k, k) > 0;
}

static bool found_once(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct cci_slip_search *search = hunt->context;
    const struct cci_group *group = &search->group;
    uint64_t from = search->from, to = row;
    bool plainly;

    if (group->at_last && row > from)
        from = row;
    if (group->before_last && to-- == 0)
        return true;
    if (from > to)
        return true;
    if (cci_slip_counts(search, row, &plainly))
        cci_slip_take(search, from, to, row, fits_once);
    else
        search->now.ways = plainly ? moments_between(&search->now.first, &search->now.last, search, from, to) : 0;
    if (search->now.ways == 0 || search->status != CC_OK)
        return search->status == CC_OK;
    return cci_slip_add(search, row, x, cci_slip_odds(search->now.kind), group->pin, group->plate);
}

/* Whether it would leave all where it was. */
static bool moves_nothing(const struct cci_slip_search *search, int64_t pin, int64_t plate)
{
    const struct cci_hunt *hunt = &search->hunt;

    return cci_line_way(&hunt->line, pin, plate) == 0 && cci_modulo(pin, hunt->plan->circle) == 0 &&
           (plate == 0 || cci_modulo(plate, hunt->holes2) == 0);
}

static void ask_group(struct cci_slip_search *search, struct cci_group group)
{
    if (moves_nothing(search, group.pin, group.plate))
        return;
    search->group = group;
    if (search->now.kind == CC_SLIP_ARMS)
        search->now.by = group.pin;
    cci_slip_count_anew(search);
    cci_slip_begin(search, group.pin, group.plate, found_once);
    uint64_t first = group.k != NULL ? group.k[0].k : group.low;
    if (first > search->hunt.low)
        search->hunt.low = first;
    cci_hunt(&search->hunt);
}

/* What a slip does when made at a movement; false where it cannot be made there. */
typedef bool effect_fn(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m);

/* Holes of the crank pin in all. */
static int64_t whole(const struct cci_slip_search *search, const struct cci_movement *m)
{
    return m->turns * (int64_t)search->hunt.plan->circle + m->holes;
}

static bool hole_off(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *plate = 0;
    *pin = search->now.by * sign_of(whole(search, m)) * (has_detent(search) ? (int64_t)search->hunt.plan->detent : 1);
    return *pin != 0;
}

static bool hole2_off(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *pin = 0;
    *plate = is_vernier(search) ? search->now.by : search->now.by * sign_of(m->holes2);
    return *plate != 0;
}

static bool turn_off(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *plate = 0;
    *pin = search->now.by * sign_of(whole(search, m)) * (int64_t)search->hunt.plan->circle;
    return *pin != 0 && !is_direct(search) && (search->now.by > 0 || m->turns != 0);
}

/* A vernier's pin is told by its number, and so not moved twice; left out, it stays where it was until the next. */
static bool made_twice(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *pin = is_dial(search) && !search->group.at_last ? m->turns * (int64_t)search->hunt.plan->circle : whole(search, m);
    *plate = is_vernier(search) && !search->group.at_last ? 0 : m->holes2;
    return *pin != 0 || *plate != 0;
}

/* By the dial: the next movement's whole turns, and on in its own way to its reading, for both. */
static bool left_out_by_dial(int64_t *pin, const struct cci_slip_search *search, const struct cci_movement *m)
{
    int64_t circle = search->hunt.plan->circle, after = m->turns_after * circle + m->holes_after, both = whole(search, m) + after;
    int64_t on = (int64_t)cci_modulo(after < 0 ? -both : both, (uint64_t)circle);

    *pin = m->turns_after * circle + (after < 0 ? -on : on) - both;
    return whole(search, m) != 0 && *pin != 0;
}

static bool left_out(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *plate = 0;
    if (is_dial(search) && !search->group.at_last)
        return left_out_by_dial(pin, search, m);
    bool any = made_twice(pin, plate, search, m);

    *pin = -*pin;
    *plate = -*plate;
    return any;
}

static bool part_left_out(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    bool both = whole(search, m) != 0 && m->holes2 != 0;

    *pin = search->now.by == 1 ? -whole(search, m) : 0;
    *plate = search->now.by == 2 ? -m->holes2 : 0;
    return both;
}

static bool arms_as_before(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *plate = 0;
    *pin = sign_of(whole(search, m)) * (llabs(m->before) - llabs(m->holes));
    return *pin != 0 && m->holes != 0 && m->before != 0;
}

/* Parts of the dial to one of its lines. */
static int64_t parts_of_line(const struct cci_slip_search *search)
{
    return (int64_t)(search->hunt.plan->circle / search->hunt.plan->dial.lines);
}

static bool line_misread(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    *plate = 0;
    *pin = search->now.by * parts_of_line(search);
    return whole(search, m) != 0;
}

static bool vernier_misread(int64_t *pin, int64_t *plate, const struct cci_slip_search *search, const struct cci_movement *m)
{
    bool made = line_misread(pin, plate, search, m);

    *pin /= search->hunt.plan->dial.vernier;
    return made;
}

static effect_fn *const effects[CC_SLIPS] = {
    [CC_SLIP_HOLE] = hole_off, [CC_SLIP_HOLE2] = hole2_off,     [CC_SLIP_TURN] = turn_off,       [CC_SLIP_TWICE] = made_twice,
    [CC_SLIP_LEFT_OUT] = left_out, [CC_SLIP_PART] = part_left_out, [CC_SLIP_ARMS] = arms_as_before,
    [CC_SLIP_VERNIER] = vernier_misread, [CC_SLIP_LINE] = line_misread,
};

static int compare_moments(const void *a, const void *b)
{
    const struct cci_moment *p = a, *q = b;

    if (p->pin != q->pin)
        return p->pin < q->pin ? -1 : 1;
    if (p->plate != q->plate)
        return p->plate < q->plate ? -1 : 1;
    return compare_numbers(p->k, q->k);
}

/* Rows that are held: the movements sorted by what the slip does to each. */
static void ask_held(struct cci_slip_search *search)
{
    const struct cci_hunt *hunt = &search->hunt;
    struct cci_group group = search->group;
    int64_t before = 0;
    size_t n = 0;

    for (uint64_t k = 0; k <= hunt->plan->steps; k++) {
        const struct cci_row *row = &hunt->row[k];
        struct cci_movement m = { row->turns, row->holes, row->holes2, before, 0, 0 };
        int64_t pin, plate;
        if (row->holes != 0)
            before = row->holes;
        if (k < hunt->plan->steps) {
            m.turns_after = row[1].turns;
            m.holes_after = row[1].holes;
        }
        if (k >= search->from && k <= search->high && effects[search->now.kind](&pin, &plate, search, &m))
            search->moment[n++] = (struct cci_moment){ pin, plate, k };
    }
    qsort(search->moment, n, sizeof *search->moment, compare_moments);
    for (size_t i = 0, end; i < n && search->status == CC_OK && search->hunt.budget > 0; i = end) {
        const struct cci_moment *m = &search->moment[i];
        for (end = i + 1; end < n && search->moment[end].pin == m->pin && search->moment[end].plate == m->plate; end++)
            ;
        group.pin = m->pin;
        group.plate = m->plate;
        group.k = m;
        group.n = end - i;
        ask_group(search, group);
    }
}

/* Divisions that are not: the start's movement, and one or two that all the others are. */
static void ask_ranges(struct cci_slip_search *search)
{
    const struct cc_plan *plan = search->hunt.plan;
    bool line = search->hunt.has_line;
    effect_fn *effect = effects[search->now.kind];
    struct cci_group each[3], base = search->group;
    struct cci_movement start = cci_movement_of_units(search, plan->start), m = cci_movement_of_units(search, plan->move);
    size_t n = 0;

    if (line)
        m = cci_movement_of(search, (struct cci_split){ search->hunt.line.pin, search->hunt.line.plate });
    start.turns_after = m.turns_after = m.turns;
    start.holes_after = m.holes_after = m.holes;
    if (plan->start != 0 && effect(&base.pin, &base.plate, search, &start))
        each[n++] = base;
    base.low = 1;
    base.high = plan->steps;
    base.which = line ? ANY_MOVE : SMALLER_MOVE;
    if (effect(&base.pin, &base.plate, search, &m))
        each[n++] = base;
    m = cci_movement_of_units(search, plan->move + 1);
    base.which = LARGER_MOVE;
    if (!line && effect(&base.pin, &base.plate, search, &m))
        each[n++] = base;
    while (n-- > 0) {
        struct cci_group *last = &each[n], *other = n > 0 ? &each[n - 1] : NULL;
        if (other != NULL && other->pin == last->pin && other->plate == last->plate &&
            (last->which == ANY_MOVE || other->which == SMALLER_MOVE)) {
            other->which = ANY_MOVE;
            other->high = last->high;
        } else {
            ask_group(search, *last);
        }
    }
}

/* when: where in the job it counts. */
static void ask_once(struct cci_slip_search *search, enum cc_slip_kind kind, int64_t by, struct cci_group when)
{
    search->now.kind = kind;
    search->now.by = by;
    search->group = when;
    if (search->hunt.row != NULL)
        ask_held(search);
    else
        ask_ranges(search);
}

/* By the dial: what was misread at the last movement; no reading depends on the one before. */
static void ask_misread(struct cci_slip_search *search, int by)
{
    const struct cci_group at_last = { .at_last = true };

    if (search->hunt.plan->dial.vernier > 1)
        ask_once(search, CC_SLIP_VERNIER, by, at_last);
    ask_once(search, CC_SLIP_LINE, by, at_last);
}

static void ask_left_out(struct cci_slip_search *search)
{
    const struct cci_group any = { .n = 0 }, at_last = { .at_last = true }, before_last = { .before_last = true };
    bool unknown = is_dial(search) && !search->hunt.has_line && search->hunt.row == NULL;    /* which movement is next */

    search->slips->cut_short |= unknown;
    if (!unknown)
        ask_once(search, CC_SLIP_LEFT_OUT, 1, tells_places(search) ? before_last : any);
    if (tells_places(search))       /* pin or reading too stays what it was */
        ask_once(search, CC_SLIP_LEFT_OUT, 1, at_last);
}

void cci_ask_once(struct cci_slip_search *search)
{
    const struct cci_group any = { .n = 0 }, at_last = { .at_last = true };

    for (int by = 1; by >= -1; by -= 2) {
        if (is_dial(search))
            ask_misread(search, by);
        else
            ask_once(search, CC_SLIP_HOLE, by, any);
        ask_once(search, CC_SLIP_TURN, by, any);
        if (search->hunt.holes2 > 0)
            ask_once(search, CC_SLIP_HOLE2, by, is_vernier(search) ? at_last : any);
    }
    ask_once(search, CC_SLIP_TWICE, 1, any);
    ask_left_out(search);
    if (cc_plan_is_compound(search->hunt.plan)) {
        ask_once(search, CC_SLIP_PART, 1, any);
        ask_once(search, CC_SLIP_PART, 2, any);
    }
    if (is_list(search) && cc_plan_has_plate(search->hunt.plan) && !has_detent(search))
        ask_once(search, CC_SLIP_ARMS, 0, any);
}
