/* slip_search.c: see slip_search.h. */
#include "plan/slip_search.h"

#include <stdlib.h>

#include "crankcard/number.h"

/* In 10 000 movements, assumed; docs/follow.md gives the reasons. */
static const unsigned odds_of[CC_SLIPS] = {
    [CC_SLIP_HOLE] = 8, [CC_SLIP_HOLE2] = 6,  [CC_SLIP_TURN] = 4,  [CC_SLIP_TWICE] = 3,  [CC_SLIP_LEFT_OUT] = 3,
    [CC_SLIP_PART] = 4, [CC_SLIP_COUNT] = 1,  [CC_SLIP_ARMS] = 10, [CC_SLIP_CIRCLE] = 1, [CC_SLIP_PLATE] = 2,
    [CC_SLIP_PLATE_ON] = 1, [CC_SLIP_NOT_CUT] = 3, [CC_SLIP_VERNIER] = 10, [CC_SLIP_LINE] = 10, [CC_SLIP_DIAL] = 2,
    [CC_SLIP_DIAL_ON] = 1, [CC_SLIP_BACKLASH] = 10,
};

unsigned cci_slip_odds(enum cc_slip_kind kind)
{
    return odds_of[kind];
}

int cci_slips_compare(const void *p, const void *q)
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

/* Keep the likelier half when the room is full. */
static bool room_for_one(struct cci_slip_search *search)
{
    struct cc_hand_slips *slips = search->slips;

    if (slips->n < slips->room)
        return true;
    if (slips->room < 2 * search->most + 64)
        return make_room(slips, slips->room < 64 ? 64 : 2 * slips->room);
    qsort(slips->at, slips->n, sizeof *slips->at, cci_slips_compare);
    slips->n = search->most;
    return true;
}

bool cci_slip_add(struct cci_slip_search *search, uint64_t row, uint64_t x, uint64_t odds, int64_t pin, int64_t plate)
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
    cci_find_off(slip->off, seen_of(search), x, search->p != 0 ? search->p : search->hunt.line.p);
    if (++slips->total >= CC_MOST_HAND_SLIPS)
        search->hunt.budget = 0;        /* which is told as cut short */
    return search->hunt.budget > 0;
}

bool cci_slip_add_since(struct cci_slip_search *search, uint64_t row, uint64_t x, uint64_t odds, int64_t pin)
{
    search->now.last = search->now.first;
    search->now.ways = 1;
    return cci_slip_add(search, row, x, odds, pin, 0);
}

bool cci_slip_spend(struct cci_slip_search *search)
{
    if (search->hunt.budget > 0)
        search->hunt.budget--;
    return search->hunt.budget > 0 && search->status == CC_OK;
}

void cci_slip_begin(struct cci_slip_search *search, int64_t pin, int64_t plate, bool (*found)(struct cci_hunt *, uint64_t, uint64_t))
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

uint64_t cci_slip_first_movement(const struct cci_slip_search *search)
{
    const struct cci_hunt *hunt = &search->hunt;
    bool none = hunt->row != NULL ? hunt->row[0].turns == 0 && hunt->row[0].holes == 0 && hunt->row[0].holes2 == 0
                                  : hunt->plan->start == 0;

    return search->from == 0 && none ? 1 : search->from;
}

void cci_slip_holes_of(uint64_t *hole, uint64_t *hole2, const struct cci_slip_search *search, uint64_t row)
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
        struct cc_step step;
        cc_step_init(&step);
        cc_step_at(&step, hunt->plan, hunt->request, row);
        *hole = step.hole;
        *hole2 = step.hole2;
        cc_step_clear(&step);
    }
}

void cci_slip_neighbours(unsigned neighbour[2], const struct cci_slip_search *search)
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

struct cci_movement cci_movement_of(const struct cci_slip_search *search, struct cci_split split)
{
    int64_t circle = search->hunt.plan->circle;

    return (struct cci_movement){ split.pin / circle, split.pin % circle, split.plate, 0, 0, 0 };
}

struct cci_movement cci_movement_of_units(const struct cci_slip_search *search, int64_t units)
{
    return cci_movement_of(search, cci_split_units(search->hunt.plan, units));
}

/* ---- how many places show a cut ---- */

static bool make_counting(struct cci_slip_search *search)
{
    struct cci_counting *c = &search->counting;
    uint64_t steps = search->hunt.plan->steps;

    c->n = (steps < CC_MOST_CUTS_COUNTED ? steps : CC_MOST_CUTS_COUNTED) + 1;
    c->plan = malloc((size_t)c->n * sizeof *c->plan);
    c->slip = malloc((size_t)c->n * sizeof *c->slip);
    c->at = calloc((size_t)c->n, sizeof *c->at);
    if (c->plan == NULL || c->slip == NULL || c->at == NULL || !cci_places_init(&c->places, (size_t)c->n)) {
        search->status = CC_ENOMEM;
        return false;
    }
    for (uint64_t i = 0; i < c->n; i++)
        c->plan[i] = cci_hunt_spindle(&search->hunt, i);
    return true;
}

void cci_slip_count_end(struct cci_slip_search *search)
{
    struct cci_counting *c = &search->counting;

    cci_places_free(&c->places);
    free(c->at);
    free(c->slip);
    free(c->plan);
}

bool cci_slip_counts(struct cci_slip_search *search, uint64_t row, bool *plainly)
{
    const struct cc_seen *seen = seen_of(search);
    const struct cci_hunt *hunt = &search->hunt;

    *plainly = !seen->has_cuts || seen->cuts <= row + 1 - cci_first_cut(hunt->request);
    if (!seen->has_cuts || !*plainly || row > CC_MOST_CUTS_COUNTED || (!hunt->has_line && hunt->row == NULL))
        return false;
    *plainly = search->counting.n > 0 || make_counting(search);
    return *plainly;
}

void cci_slip_count_anew(struct cci_slip_search *search)
{
    search->counting.question++;
}

bool cci_slip_is_counted(const struct cci_slip_search *search, uint64_t k)
{
    return search->counting.at[k].of == search->counting.question;
}

struct cci_angles cci_slip_angles(const struct cci_slip_search *search, uint64_t k)
{
    return (struct cci_angles){ search->counting.plan, search->counting.slip, 1, k, search->counting.n, false };
}

void cci_slip_count(struct cci_slip_search *search, const struct cci_angles *angles)
{
    struct cci_counting *c = &search->counting;

    c->at[angles->k].of = c->question;
    c->at[angles->k].ends = cci_ends_of_cuts(&c->places, &search->hunt, angles);
}

bool cci_slip_fits(const struct cci_slip_search *search, uint64_t k, uint64_t row)
{
    return cci_ends_fit(&search->counting.at[k].ends, &search->hunt, row);
}

void cci_slip_take(struct cci_slip_search *search, uint64_t from, uint64_t to, uint64_t row,
                   bool (*fits)(struct cci_slip_search *, uint64_t k, uint64_t row))
{
    search->now.ways = 0;
    for (uint64_t k = from; k <= to; k++) {
        if (!fits(search, k, row))
            continue;
        if (search->now.ways++ == 0)
            search->now.first = k;
        search->now.last = k;
    }
}
