/* recover.c: from what can be seen to the places that fit, the likeliest kept. hunt.c looks for the rows. */
#include "crankcard/recover.h"

#include <stdlib.h>

#include "crankcard/number.h"
#include "plan/hunt.h"

void cc_seen_init(struct cc_seen *seen)
{
    *seen = (struct cc_seen){ .has_hole = false };
    mpq_inits(seen->reading, seen->uncertainty, NULL);
}

void cc_seen_clear(struct cc_seen *seen)
{
    mpq_clears(seen->uncertainty, seen->reading, NULL);
}

void cc_places_init(struct cc_places *places)
{
    *places = (struct cc_places){ .n = 0 };
}

void cc_places_clear(struct cc_places *places)
{
    for (size_t i = 0; i < places->room; i++)
        mpq_clear(places->at[i].off);
    free(places->at);
}

/* ---- a search ---- */

struct search {
    struct cc_places *places;
    size_t most;
    struct cci_hunt hunt;
};

/* ---- keeping the likeliest ---- */

static bool likelier(const struct cc_seen *seen, const struct cc_place *a, const struct cc_place *b)
{
    if (seen->has_last && a->row != b->row)
        return a->row < b->row;
    int order = cci_compare_sizes(a->off, b->off);
    return order != 0 ? order < 0 : a->row < b->row;
}

/* Room for most places, all initialised. */
static enum cc_status make_room(struct cc_places *places, size_t most, struct cc_error *err)
{
    if (places->room < most) {
        struct cc_place *more = realloc(places->at, most * sizeof *more);
        if (more == NULL)
            return cc_fail(err, CC_ENOMEM, "out of memory");
        places->at = more;
        for (; places->room < most; places->room++)
            mpq_init(places->at[places->room].off);
    }
    places->n = 0;
    places->total = 0;
    return CC_OK;
}

static void place_swap(struct cc_place *a, struct cc_place *b)
{
    struct cc_place t = *a;
    *a = *b;
    *b = t;
}

/* Add a place, its spindle at x. Where the list is full, the worst place in it makes way. */
static void keep(struct search *search, uint64_t row, uint64_t turns, uint64_t holes, uint64_t x)
{
    struct cc_places *places = search->places;
    const struct cci_hunt *hunt = &search->hunt;
    struct cc_place fresh = { .row = row, .turns = turns, .holes = holes };

    places->total++;
    if (search->most == 0)
        return;
    mpq_init(fresh.off);
    cci_find_off(fresh.off, hunt->seen, x, hunt->line.p);
    size_t i = places->n;
    if (i < search->most) {
        places->n++;
    } else if (!likelier(hunt->seen, &fresh, &places->at[i - 1])) {
        mpq_clear(fresh.off);
        return;
    } else {
        i--;
    }
    place_swap(&places->at[i], &fresh);
    mpq_clear(fresh.off);
    for (; i > 0 && likelier(hunt->seen, &places->at[i], &places->at[i - 1]); i--)
        place_swap(&places->at[i], &places->at[i - 1]);
}

static bool too_many(const struct search *search)
{
    return search->places->total > CC_MAX_PLACES;
}

/* ---- the two questions ---- */

#define MOST_TRIED 2000000      /* rows looked at one by one, of divisions too many to be held */

static bool found_row(struct cci_hunt *hunt, uint64_t row, uint64_t x)
{
    struct search *search = hunt->context;

    keep(search, row, 0, 0, x);
    return !too_many(search);
}

static enum cc_status begin(struct search *search, const struct cc_plan *plan, const struct cc_request *request,
                            const struct cc_seen *seen, struct cc_error *err)
{
    enum cc_status s = cci_hunt_begin(&search->hunt, plan, request, seen, err);

    if (s == CC_OK)
        s = make_room(search->places, search->most, err);
    if (s == CC_OK && seen->has_cuts)
        s = cci_rows_of_cuts(&search->hunt, err);
    if (s != CC_OK)
        cci_hunt_end(&search->hunt);
    if (seen->pin_circle != 0 && seen->pin_circle != plan->circle)
        search->hunt.high = 0, search->hunt.low = 1;
    search->hunt.found = found_row;
    search->hunt.context = search;
    search->hunt.budget = MOST_TRIED;
    return s;
}

static enum cc_status finish(struct search *search, struct cc_error *err)
{
    bool given_up = search->hunt.budget == 0;

    cci_hunt_end(&search->hunt);
    if (too_many(search))
        return cc_fail(err, CC_ELIMIT, "more than %d places fit: say more of what can be seen", CC_MAX_PLACES);
    search->places->cut_short = given_up;
    if (search->places->total == 0 && given_up)
        return cc_fail(err, CC_ELIMIT, "none of the %d rows looked at fits, and there are more: say more of what can be seen",
                       MOST_TRIED);
    if (search->places->total == 0)
        return cc_fail(err, CC_ENOFIT, "no step of this job fits what is seen");
    return CC_OK;
}

enum cc_status cc_recover(struct cc_places *places, const struct cc_plan *plan,
                          const struct cc_request *request, const struct cc_seen *seen, size_t most,
                          struct cc_error *err)
{
    struct search search = { .places = places, .most = most };
    enum cc_status s = begin(&search, plan, request, seen, err);

    if (s != CC_OK)
        return s;
    cci_hunt(&search.hunt);
    return finish(&search, err);
}

/* ---- between two rows ---- */

/* The units of a row, as a cursor gives them. */
static void units_at(mpz_t units, struct cc_cursor *cursor, struct cc_step *step, uint64_t row)
{
    cc_cursor_seek(cursor, row);
    cc_cursor_next(cursor, step);
    mpz_set(units, cursor->at);
}

/* The first row of low + 1 ... high that stands at or behind units: the units of rows grow. */
static uint64_t row_behind(struct cc_cursor *cursor, struct cc_step *step, const mpz_t units, uint64_t low, uint64_t high)
{
    mpz_t at;

    mpz_init(at);
    while (high - low > 1) {
        uint64_t middle = low + (high - low) / 2;
        units_at(at, cursor, step, middle);
        if (mpz_cmp(at, units) < 0)
            low = middle;
        else
            high = middle;
    }
    mpz_clear(at);
    return high;
}

/* The pin at units: whether that lies within the movement to a row, and what is left of that. */
static void try_between(struct search *search, struct cc_cursor *cursor, struct cc_step *step, const mpz_t units, uint64_t x)
{
    struct cci_hunt *hunt = &search->hunt;
    unsigned circle = hunt->plan->circle;
    uint64_t row = row_behind(cursor, step, units, hunt->low, hunt->high);
    mpz_t at;

    mpz_init(at);
    units_at(at, cursor, step, row);
    mpz_sub(at, at, units);
    if (mpz_sgn(at) > 0) {
        uint64_t holes = cc_get_u64(at);
        keep(search, row, holes / circle, holes % circle, x);
    }
    mpz_clear(at);
}

/*
 * Divisions: every crank turn of the job comes once through the hole seen. Those of one turn of the work whose spindle
 * lies in the window are looked at turn after turn.
 */
static void between_divisions(struct search *search, struct cc_cursor *cursor, struct cc_step *step)
{
    struct cci_hunt *hunt = &search->hunt;
    unsigned circle = hunt->plan->circle;
    mpz_t at, end, x, p, q;

    mpz_inits(at, end, x, p, q, NULL);
    cc_set_u64(p, hunt->line.p);
    cc_set_u64(q, hunt->line.q);
    units_at(end, cursor, step, hunt->high);
    units_at(at, cursor, step, hunt->low);
    mpz_add_ui(at, at, 1);
    unsigned long behind = mpz_fdiv_ui(at, circle);
    mpz_add_ui(at, at, (unsigned long)((hunt->seen->hole + circle - behind) % circle));
    /* The window, as crank turns from here: j with (at + j circle) q in it, modulo p. */
    uint64_t stride = cci_wide_mul_mod(circle % hunt->line.p, hunt->line.q % hunt->line.p, hunt->line.p);
    mpz_mul(x, at, q);
    mpz_fdiv_r(x, x, p);
    uint64_t base = cc_get_u64(x), w = hunt->line.window.count, low = (hunt->line.window.low + (hunt->line.p - base)) % hunt->line.p;
    for (uint64_t j = 0; w > 0 && mpz_cmp(at, end) < 0 && hunt->budget > 0 && !too_many(search); hunt->budget--) {
        uint64_t next = cci_next_in(stride, hunt->line.p, low, w, j);
        if (next == CCI_NO_HIT)
            break;
        cc_set_u64(x, next - j);
        mpz_addmul_ui(at, x, circle);
        if (mpz_cmp(at, end) >= 0)
            break;
        uint64_t way = cci_wide_mul_mod(stride, next % hunt->line.p, hunt->line.p);
        try_between(search, cursor, step, at, (base + way) % hunt->line.p);
        mpz_add_ui(at, at, circle);
        j = next + 1;
    }
    mpz_clears(at, end, x, p, q, NULL);
}

/* A list may go back: movement by movement, those that go forward. */
static void between_positions(struct search *search, struct cc_cursor *cursor, struct cc_step *step)
{
    struct cci_hunt *hunt = &search->hunt;
    unsigned circle = hunt->plan->circle;
    uint64_t last = hunt->high;

    mpz_t at, end;
    mpz_inits(at, end, NULL);
    cc_cursor_seek(cursor, hunt->low);
    cc_cursor_next(cursor, step);
    mpz_set(at, cursor->at);
    while (!too_many(search) && cursor->next <= last && cc_cursor_next(cursor, step)) {
        mpz_set(end, cursor->at);
        mpz_add_ui(at, at, 1);
        unsigned long behind = mpz_fdiv_ui(at, circle);
        mpz_add_ui(at, at, (unsigned long)((hunt->seen->hole + circle - behind) % circle));
        for (; mpz_cmp(at, end) < 0 && !too_many(search); mpz_add_ui(at, at, circle)) {
            uint64_t x = cci_units_spindle(hunt, at);
            mpz_sub(end, end, at);
            uint64_t holes = cc_get_u64(end);
            mpz_add(end, end, at);
            if (cci_in_window(&hunt->line.window, x, hunt->line.p))
                keep(search, step->step, holes / circle, holes % circle, x);
        }
        mpz_set(at, end);
    }
    mpz_clears(at, end, NULL);
}

enum cc_status cc_recover_between(struct cc_places *places, const struct cc_plan *plan,
                                  const struct cc_request *request, const struct cc_seen *seen,
                                  size_t most, struct cc_error *err)
{
    struct search search = { .places = places, .most = most };
    struct cc_cursor cursor;
    struct cc_step step;
    enum cc_status s = begin(&search, plan, request, seen, err);

    if (s != CC_OK)
        return s;
    if (cc_plan_is_direct(plan) || plan->circle2 != 0 || !seen->has_hole || !seen->has_reading || seen->more_holes > 0 ||
        search.hunt.low >= search.hunt.high)
        return finish(&search, err);
    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, request);
    if (request->position_count > 0)
        between_positions(&search, &cursor, &step);
    else
        between_divisions(&search, &cursor, &step);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    return finish(&search, err);
}

enum cc_status cc_row_of_division(uint64_t *row, const struct cc_plan *plan,
                                  const struct cc_request *request, uint64_t division,
                                  struct cc_error *err)
{
    bool list = request->position_count > 0;
    uint64_t least = cci_first_cut(request), most = list ? plan->steps : cci_last_cut(plan);

    if (division < least || division > most)
        return cc_fail(err, CC_EDOM, "'%llu' is not a %s of this job: they are numbered %llu to %llu",
                       (unsigned long long)division, list ? "position" : "division", (unsigned long long)least,
                       (unsigned long long)most);
    /* Row i makes division i k mod N, gcd(k, N) = 1. */
    if (!list && plan->has_closing && plan->steps > 1)
        *row = cci_wide_mul_mod(division, cci_inverse(plan->block % plan->steps, plan->steps), plan->steps);
    else
        *row = division;
    return CC_OK;
}
