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
        mpq_clear(slips->at[i].back);
        mpq_clear(slips->at[i].off);
        mpq_clear(slips->at[i].shift);
    }
    free(slips->at);
}

static int compare_numbers(uint64_t a, uint64_t b)
{
    return (a > b) - (a < b);
}

static int compare_slips(const void *p, const void *q)
{
    const struct cc_hand_slip *a = p, *b = q;
    int order = compare_numbers(b->odds, a->odds);

    if (order == 0)
        order = cci_compare_sizes(a->off, b->off);
    if (order == 0)
        order = compare_numbers(a->row, b->row);
    if (order == 0)
        order = compare_numbers(a->kind, b->kind);
    if (order == 0)
        order = (a->by > b->by) - (a->by < b->by);
    if (order == 0)
        order = compare_numbers(a->circle, b->circle);
    if (order == 0)
        order = compare_numbers(a->first, b->first);
    if (order == 0)
        order = (a->pin > b->pin) - (a->pin < b->pin);
    return order != 0 ? order : (a->plate > b->plate) - (a->plate < b->plate);
}

/* Room for so many, all initialised. */
static bool make_room(struct cc_hand_slips *slips, size_t room)
{
    if (slips->room >= room)
        return true;
    struct cc_hand_slip *more = realloc(slips->at, room * sizeof *more);
    if (more == NULL)
        return false;
    slips->at = more;
    for (; slips->room < room; slips->room++) {
        more[slips->room] = (struct cc_hand_slip){ .row = 0 };
        mpq_inits(more[slips->room].shift, more[slips->room].off, more[slips->room].back, NULL);
    }
    return true;
}

/* ---- a search ---- */

/* Some of the movements, where a slip has one effect: k[0 ... n - 1], or all from low to high that are of a kind. */
struct group {
    int64_t pin, plate;             /* the effect, in holes */
    const struct moment *k;         /* NULL: by range */
    size_t n;
    uint64_t low, high;
    enum { ANY_MOVE, SMALLER_MOVE, LARGER_MOVE } which;
    bool at_last;                   /* it counts at the last movement alone */
    bool before_last;               /* and here at all but the last */
};

struct moment {
    int64_t pin, plate;
    uint64_t k;
};

struct search {
    struct cc_hand_slips *slips;
    const struct cc_head *head;
    struct cci_hunt hunt;
    size_t most;
    uint64_t from;          /* the first movement at which a slip can have been made */
    uint64_t low, high;     /* rows that can stand */
    struct cc_hand_slip now;     /* what is looked for: kind, by, circle, first, last; its numbers are not initialised */
    struct group group;
    uint64_t p;             /* of the spindle's places that are found, where not the plan's */
    struct moment *moment;  /* room for one a movement, where rows are held */
    enum cc_status status;
};

static const struct cc_seen *seen_of(const struct search *search)
{
    return search->hunt.seen;
}

static bool is_direct(const struct search *search)
{
    return cc_plan_is_direct(search->hunt.plan);
}

static bool is_vernier(const struct search *search)
{
    return cc_plan_is_vernier(search->hunt.plan);
}

static bool is_dial(const struct search *search)
{
    return cc_plan_is_dial(search->hunt.plan);
}

/* A row is told by where it is, not by how far: what went wrong before it shows in other ways than by holes. */
static bool tells_places(const struct search *search)
{
    return is_vernier(search) || is_dial(search);
}

static bool is_list(const struct search *search)
{
    return search->hunt.request->position_count > 0;
}

/* Keep the likelier half when the room is full. */
static bool room_for_one(struct search *search)
{
    struct cc_hand_slips *slips = search->slips;

    if (slips->n < slips->room)
        return true;
    if (slips->room < 2 * search->most + 64)
        return make_room(slips, slips->room < 64 ? 64 : 2 * slips->room);
    qsort(slips->at, slips->n, sizeof *slips->at, compare_slips);
    slips->n = search->most;
    return true;
}

/* One more that fits: of `now`, at a row with the spindle at x/p, the pins so many holes further on than the plan. */
static bool add(struct search *search, uint64_t row, uint64_t x, uint64_t odds, int64_t pin, int64_t plate)
{
    struct cc_hand_slips *slips = search->slips;

    if (!room_for_one(search)) {
        search->status = CC_ENOMEM;
        return false;
    }
    struct cc_hand_slip *slip = &slips->at[slips->n++], numbers = *slip;
    *slip = search->now;
    *slip->shift = *numbers.shift;
    *slip->back = *numbers.back;
    *slip->off = *numbers.off;
    slip->row = row;
    slip->has_row = true;
    slip->odds = odds * slip->ways;
    slip->pin = -pin;
    slip->plate = -plate;
    cci_find_off(slip->off, seen_of(search), x, search->p != 0 ? search->p : search->hunt.p);
    if (++slips->total >= CC_MOST_HAND_SLIPS)
        search->hunt.budget = 0;        /* which is told as cut short */
    return search->hunt.budget > 0;
}

/* ---- how many places show a cut ---- */

static void ways_free(struct cci_ways *ways)
{
    free(ways->fits);
    free(ways->slip);
    free(ways->plan);
}

/* Room, and the angles by the plan; slip is the caller's to fill. */
static bool ways_get(struct cci_ways *ways, struct search *search, uint64_t row)
{
    size_t n = (size_t)row + 1;

    *ways = (struct cci_ways){ .plan = malloc(n * sizeof *ways->plan), .slip = malloc(n * sizeof *ways->slip),
                               .fits = calloc(n, sizeof *ways->fits) };
    if (ways->plan == NULL || ways->slip == NULL || ways->fits == NULL) {
        ways_free(ways);
        search->status = CC_ENOMEM;
        return false;
    }
    for (size_t i = 0; i < n; i++)
        ways->slip[i] = ways->plan[i] = cci_hunt_spindle(&search->hunt, i);
    return true;
}

static void ways_find(struct cci_ways *ways, struct search *search, uint64_t row)
{
    if (!cci_ways_of_cuts(ways, &search->hunt, row))
        search->status = CC_ENOMEM;
}

/* Whether the count is to be held against a slip at all; where it cannot be, *plainly is whether it is possible. */
static bool counts(const struct search *search, uint64_t row, bool *plainly)
{
    const struct cc_seen *seen = seen_of(search);
    const struct cci_hunt *hunt = &search->hunt;

    *plainly = !seen->has_cuts || seen->cuts <= row + 1 - cci_first_cut(hunt->request);
    return seen->has_cuts && *plainly && row <= CC_MOST_CUTS_COUNTED && (hunt->has_line || hunt->row != NULL);
}

/* ---- a slip made once ---- */

/* Among LARGER_MOVE: how many of the first row movements of a rounded plan are one unit more. */
static uint64_t larger_up_to(const struct search *search, uint64_t row)
{
    const struct cci_hunt *hunt = &search->hunt;
    const struct cc_plan *plan = hunt->plan;
    mpq_t scale, nominal;
    mpz_t units, less;

    mpq_init(scale);
    mpq_init(nominal);
    mpz_init(units);
    mpz_init(less);
    cci_scale(scale, plan->unit, plan->ratio);
    cc_request_nominal(nominal, hunt->request, plan->block, row);
    mpq_mul(nominal, nominal, scale);
    cc_rational_round(units, nominal);
    cci_units_of_constant(less, plan, row);
    mpz_sub(units, units, less);
    uint64_t larger = cc_get_u64(units);
    mpz_clear(less);
    mpz_clear(units);
    mpq_clear(nominal);
    mpq_clear(scale);
    return larger;
}

/* How many moments of a group are from `from` to `to`; the first and the last (by range: no earlier and no later). */
static uint64_t moments_between(uint64_t *first, uint64_t *last, const struct search *search, uint64_t from, uint64_t to)
{
    const struct group *group = &search->group;
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

/* The same of those that the count of cuts leaves. */
static uint64_t moments_counted(uint64_t *first, uint64_t *last, struct search *search, uint64_t from, uint64_t to, uint64_t row)
{
    struct cci_ways ways;
    uint64_t n = 0, way = cci_hunt_way(&search->hunt, search->group.pin, search->group.plate), a, b;

    if (!ways_get(&ways, search, row))
        return 0;
    for (size_t i = 0; i <= row; i++)
        ways.slip[i] = (ways.plan[i] + way) % search->hunt.p;
    ways.stays = search->group.before_last;
    ways_find(&ways, search, row);
    for (uint64_t k = from; k <= to; k++) {
        if (!ways.fits[k] || moments_between(&a, &b, search, k, k) == 0)
            continue;
        *first = n == 0 ? k : *first;
        *last = k;
        n++;
    }
    ways_free(&ways);
    return n;
}

static bool found_once(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct search *search = hunt->context;
    const struct group *group = &search->group;
    uint64_t from = search->from, to = row, ways;
    bool plainly;

    if (group->at_last && row > from)
        from = row;
    if (group->before_last && to-- == 0)
        return true;
    if (from > to)
        return true;
    if (counts(search, row, &plainly))
        ways = moments_counted(&search->now.first, &search->now.last, search, from, to, row);
    else
        ways = plainly ? moments_between(&search->now.first, &search->now.last, search, from, to) : 0;
    search->now.ways = ways;
    return search->status == CC_OK && (ways == 0 || add(search, row, x, odds_of[search->now.kind], group->pin, group->plate));
}

/* Whether it would leave all where it was. */
static bool moves_nothing(const struct search *search, int64_t pin, int64_t plate)
{
    const struct cci_hunt *hunt = &search->hunt;

    return cci_hunt_way(hunt, pin, plate) == 0 && cci_modulo(pin, hunt->plan->circle) == 0 &&
           (plate == 0 || cci_modulo(plate, hunt->holes2) == 0);
}

static void begin_question(struct search *search, int64_t pin, int64_t plate, bool (*found)(struct cci_hunt *, uint64_t, uint64_t))
{
    struct cci_hunt *hunt = &search->hunt;

    hunt->pin = pin;
    hunt->plate = plate;
    hunt->any_hole = hunt->any_angle = false;
    hunt->found = found;
    hunt->low = search->low;
    hunt->high = search->high;
    search->now.has_shift = true;
    search->now.circle = hunt->plan->circle;
    search->p = 0;
}

static void ask_group(struct search *search, struct group group)
{
    if (moves_nothing(search, group.pin, group.plate))
        return;
    search->group = group;
    if (search->now.kind == CC_SLIP_ARMS)
        search->now.by = group.pin;
    begin_question(search, group.pin, group.plate, found_once);
    uint64_t first = group.k != NULL ? group.k[0].k : group.low;
    if (first > search->hunt.low)
        search->hunt.low = first;
    cci_hunt(&search->hunt);
}

/* A movement in the hands' terms. */
struct movement {
    int64_t turns, holes, holes2;
    int64_t before;         /* holes that the arms stood at for the movement before; 0: none */
    int64_t turns_after, holes_after;   /* of the next movement */
};

static int sign_of(int64_t n)
{
    return (n > 0) - (n < 0);
}

/* What a slip does when made at a movement; false where it cannot be made there. */
typedef bool effect_fn(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m);

/* Holes of the crank pin in all. */
static int64_t whole(const struct search *search, const struct movement *m)
{
    return m->turns * (int64_t)search->hunt.plan->circle + m->holes;
}

static bool hole_off(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    *plate = 0;
    *pin = search->now.by * sign_of(whole(search, m));
    return *pin != 0;
}

static bool hole2_off(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    *pin = 0;
    *plate = is_vernier(search) ? search->now.by : search->now.by * sign_of(m->holes2);
    return *plate != 0;
}

static bool turn_off(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    hole_off(pin, plate, search, m);
    *pin *= search->hunt.plan->circle;
    return *pin != 0 && !is_direct(search) && (search->now.by > 0 || m->turns != 0);
}

/* A vernier's pin is told by its number, and so not moved twice; left out, it stays where it was until the next. */
static bool made_twice(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    *pin = is_dial(search) && !search->group.at_last ? m->turns * (int64_t)search->hunt.plan->circle : whole(search, m);
    *plate = is_vernier(search) && !search->group.at_last ? 0 : m->holes2;
    return *pin != 0 || *plate != 0;
}

/* By the dial: the next movement's whole turns, and on in its own way to its reading, for both. */
static bool left_out_by_dial(int64_t *pin, const struct search *search, const struct movement *m)
{
    int64_t circle = search->hunt.plan->circle, after = m->turns_after * circle + m->holes_after, both = whole(search, m) + after;
    int64_t on = (int64_t)cci_modulo(after < 0 ? -both : both, (uint64_t)circle);

    *pin = m->turns_after * circle + (after < 0 ? -on : on) - both;
    return whole(search, m) != 0 && *pin != 0;
}

static bool left_out(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    *plate = 0;
    if (is_dial(search) && !search->group.at_last)
        return left_out_by_dial(pin, search, m);
    bool any = made_twice(pin, plate, search, m);

    *pin = -*pin;
    *plate = -*plate;
    return any;
}

static bool part_left_out(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    bool both = whole(search, m) != 0 && m->holes2 != 0;

    *pin = search->now.by == 1 ? -whole(search, m) : 0;
    *plate = search->now.by == 2 ? -m->holes2 : 0;
    return both;
}

static bool arms_as_before(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    *plate = 0;
    *pin = sign_of(whole(search, m)) * (llabs(m->before) - llabs(m->holes));
    return *pin != 0 && m->holes != 0 && m->before != 0;
}

/* Parts of the dial to one of its lines. */
static int64_t parts_of_line(const struct search *search)
{
    return (int64_t)(search->hunt.plan->circle / search->hunt.plan->dial.lines);
}

static bool line_misread(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
{
    *plate = 0;
    *pin = search->now.by * parts_of_line(search);
    return whole(search, m) != 0;
}

static bool vernier_misread(int64_t *pin, int64_t *plate, const struct search *search, const struct movement *m)
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

static struct movement movement_of(const struct search *search, struct cci_split split)
{
    int64_t circle = search->hunt.plan->circle;

    return (struct movement){ split.pin / circle, split.pin % circle, split.plate, 0, 0, 0 };
}

static struct movement movement_of_units(const struct search *search, int64_t units)
{
    return movement_of(search, cci_split_units(search->hunt.plan, units));
}

static int compare_moments(const void *a, const void *b)
{
    const struct moment *p = a, *q = b;

    if (p->pin != q->pin)
        return p->pin < q->pin ? -1 : 1;
    if (p->plate != q->plate)
        return p->plate < q->plate ? -1 : 1;
    return compare_numbers(p->k, q->k);
}

/* Rows that are held: the movements sorted by what the slip does to each. */
static void ask_held(struct search *search)
{
    const struct cci_hunt *hunt = &search->hunt;
    struct group group = search->group;
    int64_t before = 0;
    size_t n = 0;

    for (uint64_t k = 0; k <= hunt->plan->steps; k++) {
        const struct cci_row *row = &hunt->row[k];
        struct movement m = { row->turns, row->holes, row->holes2, before, 0, 0 };
        int64_t pin, plate;
        if (row->holes != 0)
            before = row->holes;
        if (k < hunt->plan->steps) {
            m.turns_after = row[1].turns;
            m.holes_after = row[1].holes;
        }
        if (k >= search->from && k <= search->high && effects[search->now.kind](&pin, &plate, search, &m))
            search->moment[n++] = (struct moment){ pin, plate, k };
    }
    qsort(search->moment, n, sizeof *search->moment, compare_moments);
    for (size_t i = 0, end; i < n && search->status == CC_OK && search->hunt.budget > 0; i = end) {
        const struct moment *m = &search->moment[i];
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
static void ask_ranges(struct search *search)
{
    const struct cc_plan *plan = search->hunt.plan;
    bool line = search->hunt.has_line;
    effect_fn *effect = effects[search->now.kind];
    struct group each[3], base = search->group;
    struct movement start = movement_of_units(search, plan->start), m = movement_of_units(search, plan->move);
    size_t n = 0;

    if (line)
        m = movement_of(search, (struct cci_split){ search->hunt.line.pin, search->hunt.line.plate });
    start.turns_after = m.turns_after = m.turns;
    start.holes_after = m.holes_after = m.holes;
    if (plan->start != 0 && effect(&base.pin, &base.plate, search, &start))
        each[n++] = base;
    base.low = 1;
    base.high = plan->steps;
    base.which = line ? ANY_MOVE : SMALLER_MOVE;
    if (effect(&base.pin, &base.plate, search, &m))
        each[n++] = base;
    m = movement_of_units(search, plan->move + 1);
    base.which = LARGER_MOVE;
    if (!line && effect(&base.pin, &base.plate, search, &m))
        each[n++] = base;
    while (n-- > 0) {
        struct group *last = &each[n], *other = n > 0 ? &each[n - 1] : NULL;
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
static void ask_once(struct search *search, enum cc_slip_kind kind, int64_t by, struct group when)
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
static void ask_misread(struct search *search, int by)
{
    const struct group at_last = { .at_last = true };

    if (search->hunt.plan->dial.vernier > 1)
        ask_once(search, CC_SLIP_VERNIER, by, at_last);
    ask_once(search, CC_SLIP_LINE, by, at_last);
}

static void ask_left_out(struct search *search)
{
    const struct group any = { .n = 0 }, at_last = { .at_last = true }, before_last = { .before_last = true };
    bool unknown = is_dial(search) && !search->hunt.has_line && search->hunt.row == NULL;    /* which movement is next */

    search->slips->cut_short |= unknown;
    if (!unknown)
        ask_once(search, CC_SLIP_LEFT_OUT, 1, tells_places(search) ? before_last : any);
    if (tells_places(search))       /* pin or reading too stays what it was */
        ask_once(search, CC_SLIP_LEFT_OUT, 1, at_last);
}

static void ask_all_once(struct search *search)
{
    const struct group any = { .n = 0 }, at_last = { .at_last = true };

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
    if (is_list(search) && cc_plan_has_plate(search->hunt.plan))
        ask_once(search, CC_SLIP_ARMS, 0, any);
}

/* ---- a slip made at every movement since ---- */

/* What a slip from now.first on leaves fits the count of cuts: slip holds the angles that it leaves, of all rows up to row. */
static bool count_allows(struct search *search, struct cci_ways *ways, uint64_t row)
{
    ways_find(ways, search, row);
    return ways->fits[search->now.first];
}

static bool add_since(struct search *search, uint64_t row, uint64_t x, uint64_t odds, int64_t pin)
{
    search->now.last = search->now.first;
    search->now.ways = 1;
    return add(search, row, x, odds, pin, 0);
}

/* Movements up to row i in the sense of the first, less those in the other; and how many move the pin at all. */
static int64_t signs_up_to(const struct search *search, uint64_t i, const int64_t *held)
{
    return held != NULL ? held[i] : (int64_t)i * sign_of(search->hunt.line.pin);
}

struct since {
    struct search *search;
    int64_t *signs;         /* NULL: a line */
    int64_t *moves;         /* how many movements up to each row move the pin; NULL: all */
};

static bool since_allowed(const struct since *since, uint64_t row)
{
    struct search *search = since->search;
    int64_t by = search->now.by, before = signs_up_to(search, search->now.first - 1, since->signs);
    struct cci_ways ways;
    bool plainly;

    if (!counts(search, row, &plainly))
        return plainly;
    if (!ways_get(&ways, search, row))
        return false;
    for (uint64_t i = search->now.first; i <= row; i++)
        ways.slip[i] = (ways.plan[i] + cci_hunt_way(&search->hunt, by * (signs_up_to(search, i, since->signs) - before), 0)) %
                       search->hunt.p;
    bool allowed = count_allows(search, &ways, row);
    ways_free(&ways);
    return allowed;
}

/* A line: the slip began m movements before the row. */
static bool found_since(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct since *since = hunt->context;
    struct search *search = since->search;
    int64_t m = (int64_t)search->group.n;

    search->now.first = row - search->group.n + 1;
    if (!since_allowed(since, row))
        return search->status == CC_OK;
    return add_since(search, row, x, odds_of[CC_SLIP_COUNT], search->now.by * m * sign_of(hunt->line.pin));
}

#define MOST_BACK 100000    /* movements back that a count is looked for */

static void ask_since_line(struct since *since, uint64_t least)
{
    struct search *search = since->search;
    struct cci_hunt *hunt = &search->hunt;
    uint64_t most = search->high < MOST_BACK ? search->high : MOST_BACK;

    if (sign_of(hunt->line.pin) == 0)
        return;
    search->slips->cut_short |= most < search->high;
    for (uint64_t m = 2; m <= most && hunt->budget > 0; m++) {
        begin_question(search, search->now.by * (int64_t)m * sign_of(hunt->line.pin), 0, found_since);
        search->group.n = (size_t)m;
        uint64_t first = (least > search->from ? least : search->from) + m - 1;
        if (first > hunt->low)
            hunt->low = first;
        cci_hunt(hunt);
    }
}

/* Whether holes and spindle of a row that is held fit with the pin so many holes further on; *x is the spindle then. */
static bool held_fits(uint64_t *x, const struct search *search, uint64_t row, int64_t pin)
{
    const struct cci_hunt *hunt = &search->hunt;
    const struct cc_seen *seen = hunt->seen;
    const struct cci_row *held = &hunt->row[row];
    unsigned circle = hunt->plan->circle;

    if (seen->has_hole && (held->hole + cci_modulo(pin, circle)) % circle != seen->hole)
        return false;
    if (seen->has_hole2 && held->hole2 != seen->hole2)
        return false;
    *x = (held->x + cci_hunt_way(hunt, pin, 0)) % hunt->p;
    return cci_in_window(&hunt->window, *x, hunt->p);
}

static bool spend(struct search *search)
{
    if (search->hunt.budget > 0)
        search->hunt.budget--;
    return search->hunt.budget > 0 && search->status == CC_OK;
}

static void ask_since_held(struct since *since, uint64_t least)
{
    struct search *search = since->search;
    const int64_t *signs = since->signs, *moves = since->moves;
    uint64_t from = least > search->from ? least : search->from, x;

    begin_question(search, 0, 0, NULL);
    for (uint64_t m = 2; m <= search->high; m++) {
        for (uint64_t row = search->low > from + m - 1 ? search->low : from + m - 1; row <= search->high; row++) {
            uint64_t k = row - m + 1;
            int64_t pin = search->now.by * (signs[row] - signs[k - 1]);
            if (!spend(search))
                return;
            if (moves[k] == moves[k - 1] || moves[row] - moves[k - 1] < 2 || !held_fits(&x, search, row, pin))
                continue;
            search->now.first = k;
            if (since_allowed(since, row) && !add_since(search, row, x, odds_of[CC_SLIP_COUNT], pin))
                return;
        }
    }
}

/* By now.by holes, from the least movement on or a later one. */
static void ask_since(struct since *since, uint64_t least)
{
    if (since->search->now.by == 0)
        return;
    if (since->search->hunt.has_line)
        ask_since_line(since, least);
    else
        ask_since_held(since, least);
}

/* From the first movement on: any count that arms can stand at. */
static bool found_from_start(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct since *since = hunt->context;
    struct search *search = since->search;
    int64_t by = search->now.by;

    uint64_t moves = since->moves != NULL ? (uint64_t)since->moves[row] : row;

    /* One hole, once, is CC_SLIP_HOLE. */
    if (moves < (llabs(by) == 1 ? 2 : 1) || !since_allowed(since, row))
        return search->status == CC_OK;
    return add_since(search, row, x, llabs(by) == 1 ? ODDS_OWN_HOLE : ODDS_OLD_ARMS,
                     by * signs_up_to(search, row, since->signs));
}

static void ask_from_start(struct since *since, int64_t by)
{
    struct search *search = since->search;
    struct cci_hunt *hunt = &search->hunt;
    uint64_t x;

    if (by == 0)
        return;
    search->now.by = by;
    search->now.first = 1;
    begin_question(search, 0, 0, found_from_start);
    if (hunt->has_line) {
        struct cci_line line = hunt->line;
        line.pin += by * sign_of(line.pin);
        if (line.pin != hunt->line.pin)
            cci_hunt_line(hunt, &line);
        return;
    }
    for (uint64_t row = search->low; row <= search->high && spend(search); row++)
        if (held_fits(&x, search, row, by * since->signs[row]) && !found_from_start(hunt, row, x))
            return;
}

static bool since_init(struct since *since, struct search *search)
{
    size_t n = (size_t)search->hunt.plan->steps + 1;

    *since = (struct since){ search, NULL, NULL };
    if (search->hunt.row == NULL)
        return true;
    since->signs = calloc(n, sizeof *since->signs);
    since->moves = calloc(n, sizeof *since->moves);
    if (since->signs == NULL || since->moves == NULL)
        return false;
    for (size_t i = 1; i < n; i++) {
        const struct cci_row *row = &search->hunt.row[i];
        int sign = sign_of(row->turns != 0 ? row->turns : row->holes);
        since->signs[i] = since->signs[i - 1] + sign;
        since->moves[i] = since->moves[i - 1] + (sign != 0);
    }
    return true;
}

/* The holes beyond whole turns that the arms, or who counts, have to do with. */
static int64_t holes_counted(const struct search *search)
{
    const struct cc_plan *plan = search->hunt.plan;
    int64_t pins = is_vernier(search) ? (int64_t)search->hunt.holes2 : 1, more = cc_plan_usual_is_larger(plan) ? 1 : 0;

    if (search->hunt.has_line)
        return llabs(search->hunt.line.pin % (int64_t)plan->circle);
    return llabs(movement_of_units(search, (plan->move + more) / pins).holes);
}

/* Of divisions the arms stand somewhere in their circle; the movements of a list differ. */
static void ask_every_count(struct since *since)
{
    struct search *search = since->search;
    bool list = is_list(search);
    int64_t holes = holes_counted(search), room = (int64_t)search->hunt.plan->circle - 1 - holes, most = list ? 1 : 2;

    for (int64_t by = -holes; !list && search->from <= 1 && by <= room && search->status == CC_OK; by++)
        ask_from_start(since, by);
    int64_t low = list || holes > most ? -most : -holes, high = list || room > most ? most : room;
    for (search->now.by = low; search->now.by <= high && search->status == CC_OK; search->now.by++)
        ask_since(since, list ? 1 : 2);
}

/* A rounded plan too long to be held is left out: it is told as cut short. */
static void ask_counts(struct search *search)
{
    struct since since;

    if (cc_plan_is_dial(search->hunt.plan))     /* a dial is read, not counted */
        return;
    if (!search->hunt.has_line && search->hunt.row == NULL) {
        search->slips->cut_short = true;
        return;
    }
    if (!since_init(&since, search))
        search->status = CC_ENOMEM;
    search->hunt.context = &since;
    search->now.kind = CC_SLIP_COUNT;
    if (search->status == CC_OK)
        ask_every_count(&since);
    search->hunt.context = search;
    free(since.moves);
    free(since.signs);
}

/* ---- the pin in a neighbouring circle ---- */

/* The circles with the next fewer and the next more holes on the pin's side; 0 where there is none. */
static void find_neighbours(unsigned neighbour[2], const struct search *search)
{
    const struct cc_plan *plan = search->hunt.plan;
    const struct cc_head *head = search->head;
    const struct cc_counts *circles = is_direct(search) ? &head->direct : &head->plates[plan->plate].side[plan->side - 1];

    neighbour[0] = neighbour[1] = 0;
    for (size_t i = 0; i < circles->n; i++) {
        unsigned c = circles->at[i];
        if (!is_direct(search) && !cc_pin_reaches(&head->crank_pin_circles, c))
            continue;
        if (c < plan->circle && c > neighbour[0])
            neighbour[0] = c;
        if (c > plan->circle && (neighbour[1] == 0 || c < neighbour[1]))
            neighbour[1] = c;
    }
}

struct in_circle {
    struct search *search;
    struct cci_line line;   /* the pin in that circle; of rows that are held, pin0 and plate0 are where it stands now */
    int64_t turns, holes;   /* a line: of its movement */
    int64_t start_holes;    /* of the start's movement, where that was made in the circle too */
};

/* The angles of both, in parts of which both have whole numbers; false where that would be too fine. */
static bool circle_angles(struct cci_ways *ways, const struct in_circle *in, uint64_t row)
{
    const struct search *search = in->search;
    uint64_t g = cci_gcd(search->hunt.p, in->line.p), by_plan = in->line.p / g, by_circle = search->hunt.p / g;
    struct cci_line line = in->line;

    if (cci_wide_high(cci_wide_product(search->hunt.p, by_plan)) != 0)
        return false;
    for (uint64_t i = row + 1; search->hunt.row != NULL && i-- > search->now.first; ) {
        const struct cci_row *held = &search->hunt.row[i];      /* back from where it stands */
        line.pin = line.plate = 0;
        ways->slip[i] = cci_line_spindle(&line, 0) * by_circle;
        line.pin0 -= held->turns * (int64_t)line.circle + held->holes;
        line.plate0 -= held->holes2;
    }
    for (uint64_t i = 0; i <= row; i++) {
        ways->plan[i] *= by_plan;
        if (i < search->now.first)
            ways->slip[i] = ways->plan[i];
        else if (search->hunt.row == NULL)
            ways->slip[i] = cci_line_spindle(&in->line, i) * by_circle;
    }
    return true;
}

static bool circle_allowed(const struct in_circle *in, uint64_t row)
{
    struct search *search = in->search;
    struct cci_ways ways;
    bool plainly, allowed = true;

    if (!counts(search, row, &plainly))
        return plainly;
    if (!ways_get(&ways, search, row))
        return false;
    if (circle_angles(&ways, in, row))
        allowed = count_allows(search, &ways, row);
    ways_free(&ways);
    return allowed;
}

/* holes: counted in the circle since, forward less back. */
static bool add_in_circle(const struct in_circle *in, uint64_t row, uint64_t x, int64_t holes, bool from_start)
{
    struct search *search = in->search;

    search->now.circle = in->line.circle;
    search->p = in->line.p;
    if (!circle_allowed(in, row))
        return search->status == CC_OK;
    return add_since(search, row, x, from_start ? ODDS_WRONG_CIRCLE : odds_of[CC_SLIP_CIRCLE], holes);
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
    struct search *search = in->search;
    struct cci_hunt *hunt = &search->hunt;
    int64_t circle = hunt->plan->circle, other = in->line.circle;
    struct movement start = movement_of(search, (struct cci_split){ hunt->line.pin0, hunt->line.plate0 });

    begin_question(search, 0, 0, found_in_circle);
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
    struct search *search = in->search;
    struct cci_hunt *hunt = &search->hunt;
    struct movement m = movement_of(search, (struct cci_split){ hunt->line.pin, hunt->line.plate });
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
static bool circle_fits(const struct in_circle *in, const struct cci_window *window, uint64_t row, uint64_t x)
{
    const struct search *search = in->search;
    const struct cc_seen *seen = seen_of(search);

    return row >= search->low && (!seen->has_hole || cci_modulo(in->line.pin0, in->line.circle) == seen->hole) &&
           (!seen->has_hole2 || search->hunt.row[row].hole2 == seen->hole2) &&
           (!seen->has_reading || cci_in_window(window, x, in->line.p));
}

/* Rows that are held: on from row `stands`, or from the zero hole, where both pins stand in whole turns. */
static bool walk_circle(struct in_circle *in, bool from_zero, uint64_t stands, int64_t turns, int64_t plate)
{
    struct search *search = in->search;
    struct cci_hunt *hunt = &search->hunt;
    const struct cc_seen *seen = hunt->seen;
    int64_t circle = in->line.circle, holes = 0;
    bool any = false;       /* movements of whole turns alone are the same in every circle */
    struct cci_window window = cci_window_of(seen->reading, seen->uncertainty, in->line.p);

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
        if (!spend(search))
            return false;
        uint64_t x = cci_line_spindle(&in->line, 0);
        if (any && circle_fits(in, &window, i, x) && !add_in_circle(in, i, x, holes, from_zero))
            return false;
    }
    return true;
}

static void ask_circle_held(struct in_circle *in)
{
    struct search *search = in->search;
    const struct cci_hunt *hunt = &search->hunt;
    int64_t circle = hunt->plan->circle, pin = 0, plate = 0;

    begin_question(search, 0, 0, NULL);
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

static void ask_circles(struct search *search)
{
    unsigned neighbour[2], seen = seen_of(search)->pin_circle;
    struct in_circle in = { .search = search };

    if (is_vernier(search) || cc_plan_is_dial(search->hunt.plan))
        return;
    if (!search->hunt.has_line && search->hunt.row == NULL) {
        search->slips->cut_short = true;
        return;
    }
    find_neighbours(neighbour, search);
    search->now.kind = CC_SLIP_CIRCLE;
    search->hunt.context = &in;
    for (int i = 0; i < 2 && search->status == CC_OK; i++) {
        if (neighbour[i] == 0 || (seen != 0 && seen != neighbour[i]))
            continue;
        search->now.by = (int64_t)neighbour[i] - (int64_t)search->hunt.plan->circle;
        in.line = (struct cci_line){ .circle = neighbour[i], .circle2 = search->hunt.plan->circle2 };
        cci_line_scale(&in.line, search->hunt.plan);
        if (search->hunt.has_line)
            ask_circle_lines(&in);
        else
            ask_circle_held(&in);
    }
    search->hunt.context = search;
}

/* ---- the plate ---- */

/* Where the pins of a row belong. */
static void holes_of(uint64_t *hole, uint64_t *hole2, const struct search *search, uint64_t row)
{
    const struct cci_hunt *hunt = &search->hunt;
    const struct cci_line *line = &hunt->line;

    if (hunt->row != NULL) {
        *hole = hunt->row[row].hole;
        *hole2 = hunt->row[row].hole2;
    } else if (hunt->has_line) {
        unsigned c = line->circle, c2 = line->circle2;
        *hole = (cci_modulo(line->pin0, c) + row % c * cci_modulo(line->pin, c)) % c;
        *hole2 = c2 == 0 ? 0 : (cci_modulo(line->plate0, c2) + row % c2 * cci_modulo(line->plate, c2)) % c2;
    } else {
        struct cc_cursor cursor;
        struct cc_step step;
        cc_step_init(&step);
        cc_cursor_init(&cursor, hunt->plan, hunt->request);
        cc_cursor_seek(&cursor, row);
        cc_cursor_next(&cursor, &step);
        *hole = step.hole;
        *hole2 = step.hole2;
        cc_cursor_clear(&cursor);
        cc_step_clear(&step);
    }
}

/* How often it can have happened up to row: `now` has from when to when. apart: what is cut since comes to places of its own. */
static bool count_since(struct search *search, uint64_t row, bool apart)
{
    uint64_t first = search->now.first, n = 0;
    struct cci_ways ways;
    bool plainly;

    search->now.ways = row - first + 1;
    if (!counts(search, row, &plainly))
        return plainly;
    if (!ways_get(&ways, search, row))
        return false;
    ways.apart = apart;
    ways_find(&ways, search, row);
    for (uint64_t k = first; k <= row; k++) {
        if (!ways.fits[k])
            continue;
        search->now.first = n == 0 ? k : search->now.first;
        search->now.last = k;
        n++;
    }
    search->now.ways = n;
    ways_free(&ways);
    return n > 0;
}

static bool found_standing(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct search *search = hunt->context;
    uint64_t hole, hole2;

    holes_of(&hole, &hole2, search, row);
    if (cci_hole_fits(hunt, hole) && (!hunt->seen->has_hole2 || hole2 == hunt->seen->hole2))
        return true;
    search->now.first = search->from < row ? search->from : row;
    search->now.last = row;
    return !count_since(search, row, false) ? search->status == CC_OK
                                            : add(search, row, x, odds_of[search->now.kind], 0, 0);
}

/* The first movement at which a slip can have been made: from the zero hole to the start, where there is one. */
static uint64_t first_movement(const struct search *search)
{
    const struct cci_hunt *hunt = &search->hunt;
    bool none = hunt->row != NULL ? hunt->row[0].turns == 0 && hunt->row[0].holes == 0 && hunt->row[0].holes2 == 0
                                  : hunt->plan->start == 0;

    return search->from == 0 && none ? 1 : search->from;
}

/* The window, its reading believed no further than so much of a crank turn more: n / d. */
static struct cci_window wider_window(const struct search *search, unsigned long n, unsigned long d)
{
    const struct cci_hunt *hunt = &search->hunt;
    struct cci_window window = hunt->window;
    mpq_t give;

    if (!hunt->seen->has_reading)
        return window;
    mpq_init(give);
    mpq_set_ui(give, n, d);
    mpq_div(give, give, hunt->plan->ratio);
    mpq_add(give, give, hunt->seen->uncertainty);
    window = cci_window_of(hunt->seen->reading, give, hunt->p);
    mpq_clear(give);
    return window;
}

static bool found_moving(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct search *search = hunt->context;

    search->now.first = first_movement(search);
    search->now.last = row;
    if (row < search->now.first)
        return true;
    return !count_since(search, row, true) ? search->status == CC_OK
                                           : add(search, row, x, odds_of[search->now.kind], 0, 0);
}

/* The plate may have moved at any row: nothing tells which it is. */
static void add_anywhere(struct search *search)
{
    search->now.first = search->from;
    search->now.last = search->high;
    search->now.ways = 1;
    add(search, 0, 0, odds_of[search->now.kind], 0, 0);
    if (search->status == CC_OK)
        search->slips->at[search->slips->n - 1].has_row = false;
}

static void ask_plate(struct search *search)
{
    struct cci_hunt *hunt = &search->hunt;
    const struct cc_seen *seen = hunt->seen;
    struct cci_window window = hunt->window;

    if ((!cc_plan_has_plate(hunt->plan) && (!is_dial(search) || hunt->plan->dial.fixed)) || (!seen->has_hole && !seen->has_hole2))
        return;
    search->now.by = 0;
    search->now.kind = is_dial(search) ? CC_SLIP_DIAL : CC_SLIP_PLATE;
    begin_question(search, 0, 0, found_standing);
    search->now.has_shift = false;
    if (!seen->has_reading && !seen->has_row) {
        add_anywhere(search);
        return;
    }
    hunt->window = wider_window(search, 1, 2 * (unsigned long)hunt->plan->circle);
    hunt->any_hole = true;
    cci_hunt(hunt);
    search->now.kind = is_dial(search) ? CC_SLIP_DIAL_ON : CC_SLIP_PLATE_ON;
    begin_question(search, 0, 0, found_moving);
    search->now.has_shift = false;
    hunt->window = wider_window(search, 1, 1);
    cci_hunt(hunt);
    hunt->window = window;
}

/* ---- by the dial: come up to a reading from behind ---- */

static bool found_slack(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct search *search = hunt->context;

    if (row < first_movement(search))
        return true;
    search->now.first = search->now.last = row;
    return !count_since(search, row, true) ? search->status == CC_OK : add(search, row, x, odds_of[CC_SLIP_BACKLASH], 0, 0);
}

static void ask_backlash(struct search *search)
{
    struct cci_hunt *hunt = &search->hunt;
    struct cci_window window = hunt->window;

    if (!is_dial(search) || !hunt->seen->has_hole)
        return;
    search->now.kind = CC_SLIP_BACKLASH;
    search->now.by = 0;
    begin_question(search, 0, 0, found_slack);
    search->now.has_shift = false;
    hunt->window = wider_window(search, 1, 10);
    cci_hunt(hunt);
    hunt->window = window;
}

/* ---- moved to and not cut ---- */

static bool found_uncut(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct search *search = hunt->context;
    uint64_t least = cci_first_cut(hunt->request), n = 0;
    struct cci_ways ways;
    bool plainly;

    least = search->from > least ? search->from : least;
    if (least >= row)
        return true;
    search->now.first = least;
    search->now.last = row - 1;
    search->now.ways = row - least;
    if (counts(search, row, &plainly)) {
        if (!ways_get(&ways, search, row))
            return false;
        if (!cci_ways_of_uncut(&ways, hunt, row))
            search->status = CC_ENOMEM;
        for (uint64_t k = least; k < row; k++) {
            if (!ways.fits[k])
                continue;
            search->now.first = n == 0 ? k : search->now.first;
            search->now.last = k;
            n++;
        }
        search->now.ways = n;
        ways_free(&ways);
    } else if (hunt->seen->cuts + cci_first_cut(hunt->request) != row && hunt->seen->cuts + cci_first_cut(hunt->request) + 1 != row) {
        return true;
    }
    return search->now.ways == 0 || search->status != CC_OK ? search->status == CC_OK
                                                            : add(search, row, x, odds_of[CC_SLIP_NOT_CUT], 0, 0);
}

static void ask_uncut(struct search *search)
{
    if (!seen_of(search)->has_cuts)
        return;
    search->now.kind = CC_SLIP_NOT_CUT;
    search->now.by = 0;
    begin_question(search, 0, 0, found_uncut);
    cci_hunt(&search->hunt);
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
    cc_set_i64(mpq_numref(slip->back), slip->pin);
    mpz_set_ui(mpq_denref(slip->back), plan->circle);
    mpq_canonicalize(slip->back);
    if (slip->kind == CC_SLIP_CIRCLE) {     /* pin is less the holes: back is that by the plan's circle less by the other */
        cc_set_i64(mpq_numref(part), slip->pin);
        mpz_set_ui(mpq_denref(part), slip->circle);
        mpq_canonicalize(part);
        mpq_sub(slip->back, part, slip->back);
        slip->pin = 0;
    }
    if (slip->plate != 0) {
        cc_set_i64(mpq_numref(part), slip->plate);
        mpz_set_ui(mpq_denref(part), plan->circle2);
        mpq_canonicalize(part);
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
    if (!cc_plan_is_dial(search->hunt.plan)) {
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
    free(search.moment);
    cci_hunt_end(&search.hunt);
    return s;
}
