/* slip_since.c: a count that is wrong at every movement since one. */
#include "plan/slip_search.h"

#include <stdlib.h>

#define ODDS_OWN_HOLE 50        /* of 10 000 jobs: the pin's own hole counted, or one past the arm, from the first movement on */
#define ODDS_OLD_ARMS 5         /* the arms at another count from the first movement on */

/* Movements up to row i in the sense of the first, less those in the other; and how many move the pin at all. */
static int64_t signs_up_to(const struct cci_slip_search *search, uint64_t i, const int64_t *held)
{
    return held != NULL ? held[i] : (int64_t)i * sign_of(search->hunt.line.pin);
}

struct since {
    struct cci_slip_search *search;
    int64_t *signs;         /* NULL: a line */
    int64_t *moves;         /* how many movements up to each row move the pin; NULL: all */
};

/* Where they begin and how far they go is the same for every row. */
static void count_since(const struct since *since, uint64_t k)
{
    struct cci_slip_search *search = since->search;
    const struct cci_line *line = &search->hunt.line;
    struct cci_counting *c = &search->counting;
    uint64_t p = line->p, on = cci_line_way(line, search->now.by, 0), way = 0;

    for (uint64_t i = k; i < c->n; i++) {
        int64_t sign = signs_up_to(search, i, since->signs) - signs_up_to(search, i - 1, since->signs);
        way = (way + (sign > 0 ? on : sign < 0 ? p - on : 0)) % p;
        c->slip[i] = (c->plan[i] + way) % p;
    }
    struct cci_angles angles = cci_slip_angles(search, k);
    cci_slip_count(search, &angles);
}

static bool since_allowed(const struct since *since, uint64_t row)
{
    struct cci_slip_search *search = since->search;
    uint64_t k = search->now.first;
    bool plainly;

    if (!cci_slip_counts(search, row, &plainly))
        return plainly;
    if (!cci_slip_is_counted(search, k))
        count_since(since, k);
    return cci_slip_fits(search, k, row);
}

/* A line: the slip began m movements before the row. */
static bool found_since(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct since *since = hunt->context;
    struct cci_slip_search *search = since->search;
    int64_t m = (int64_t)search->group.n;

    search->now.first = row - search->group.n + 1;
    if (!since_allowed(since, row))
        return search->status == CC_OK;
    return cci_slip_add_since(search, row, x, cci_slip_odds(CC_SLIP_COUNT), search->now.by * m * sign_of(hunt->line.pin));
}

#define MOST_BACK 100000    /* movements back that a count is looked for */

static void ask_since_line(struct since *since, uint64_t least)
{
    struct cci_slip_search *search = since->search;
    struct cci_hunt *hunt = &search->hunt;
    uint64_t most = search->high < MOST_BACK ? search->high : MOST_BACK;

    if (sign_of(hunt->line.pin) == 0)
        return;
    search->slips->cut_short |= most < search->high;
    for (uint64_t m = 2; m <= most && hunt->budget > 0; m++) {
        cci_slip_begin(search, search->now.by * (int64_t)m * sign_of(hunt->line.pin), 0, found_since);
        search->group.n = (size_t)m;
        uint64_t first = (least > search->from ? least : search->from) + m - 1;
        if (first > hunt->low)
            hunt->low = first;
        cci_hunt(hunt);
    }
}

/* Whether holes and spindle of a row that is held fit with the pin so many holes further on; *x is the spindle then. */
static bool held_fits(uint64_t *x, const struct cci_slip_search *search, uint64_t row, int64_t pin)
{
    const struct cci_hunt *hunt = &search->hunt;
    const struct cc_seen *seen = hunt->seen;
    const struct cci_row *held = &hunt->row[row];
    unsigned circle = hunt->plan->circle;

    if (seen->has_hole && (held->hole + cci_modulo(pin, circle)) % circle != seen->hole)
        return false;
    if (seen->has_hole2 && held->hole2 != seen->hole2)
        return false;
    *x = (held->x + cci_line_way(&hunt->line, pin, 0)) % hunt->line.p;
    return cci_in_window(&hunt->line.window, *x, hunt->line.p);
}

static void ask_since_held(struct since *since, uint64_t least)
{
    struct cci_slip_search *search = since->search;
    const int64_t *signs = since->signs, *moves = since->moves;
    uint64_t from = least > search->from ? least : search->from, x;

    cci_slip_begin(search, 0, 0, NULL);
    for (uint64_t m = 2; m <= search->high; m++) {
        for (uint64_t row = search->low > from + m - 1 ? search->low : from + m - 1; row <= search->high; row++) {
            uint64_t k = row - m + 1;
            int64_t pin = search->now.by * (signs[row] - signs[k - 1]);
            if (!cci_slip_spend(search))
                return;
            if (moves[k] == moves[k - 1] || moves[row] - moves[k - 1] < 2 || !held_fits(&x, search, row, pin))
                continue;
            search->now.first = k;
            if (since_allowed(since, row) && !cci_slip_add_since(search, row, x, cci_slip_odds(CC_SLIP_COUNT), pin))
                return;
        }
    }
}

/* By now.by holes, from the least movement on or a later one. */
static void ask_since(struct since *since, uint64_t least)
{
    if (since->search->now.by == 0)
        return;
    cci_slip_count_anew(since->search);
    if (since->search->hunt.has_line)
        ask_since_line(since, least);
    else
        ask_since_held(since, least);
}

/* From the first movement on: any count that arms can stand at. */
static bool found_from_start(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct since *since = hunt->context;
    struct cci_slip_search *search = since->search;
    int64_t by = search->now.by;

    uint64_t moves = since->moves != NULL ? (uint64_t)since->moves[row] : row;

    /* One hole, once, is CC_SLIP_HOLE. */
    if (moves < (llabs(by) == 1 ? 2 : 1) || !since_allowed(since, row))
        return search->status == CC_OK;
    return cci_slip_add_since(search, row, x, llabs(by) == 1 ? ODDS_OWN_HOLE : ODDS_OLD_ARMS,
                     by * signs_up_to(search, row, since->signs));
}

static void ask_from_start(struct since *since, int64_t by)
{
    struct cci_slip_search *search = since->search;
    struct cci_hunt *hunt = &search->hunt;
    uint64_t x;

    if (by == 0)
        return;
    search->now.by = by;
    search->now.first = 1;
    cci_slip_count_anew(search);
    cci_slip_begin(search, 0, 0, found_from_start);
    if (hunt->has_line) {
        struct cci_line line = hunt->line;
        line.pin += by * sign_of(line.pin);
        if (line.pin != hunt->line.pin)
            cci_hunt_line(hunt, &line);
        return;
    }
    for (uint64_t row = search->low; row <= search->high && cci_slip_spend(search); row++)
        if (held_fits(&x, search, row, by * since->signs[row]) && !found_from_start(hunt, row, x))
            return;
}

static bool since_init(struct since *since, struct cci_slip_search *search)
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
static int64_t holes_counted(const struct cci_slip_search *search)
{
    const struct cc_plan *plan = search->hunt.plan;
    int64_t pins = is_vernier(search) ? (int64_t)search->hunt.holes2 : 1, more = cc_plan_usual_is_larger(plan) ? 1 : 0;

    if (search->hunt.has_line)
        return llabs(search->hunt.line.pin % (int64_t)plan->circle);
    return llabs(cci_movement_of_units(search, (plan->move + more) / pins).holes);
}

/* Of divisions the arms stand somewhere in their circle; the movements of a list differ. */
static void ask_every_count(struct since *since)
{
    struct cci_slip_search *search = since->search;
    bool list = is_list(search);
    int64_t holes = holes_counted(search), room = (int64_t)search->hunt.plan->circle - 1 - holes, most = list ? 1 : 2;

    for (int64_t by = -holes; !list && search->from <= 1 && by <= room && search->status == CC_OK; by++)
        ask_from_start(since, by);
    int64_t low = list || holes > most ? -most : -holes, high = list || room > most ? most : room;
    for (search->now.by = low; search->now.by <= high && search->status == CC_OK; search->now.by++)
        ask_since(since, list ? 1 : 2);
}

/* A rounded plan too long to be held is left out: it is told as cut short. */
void cci_ask_counts(struct cci_slip_search *search)
{
    struct since since;

    if (is_dial(search) || has_detent(search))      /* a dial is read, and a detent set, not counted */
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
