/*
 * cuts.c: how many places in the work show a cut. Cuts at one angle are one place, so this asks which rows of a job
 * come to the same angle.
 */
#include "plan/hunt.h"

#include <stdlib.h>

struct place {
    uint64_t x, row;
};

static int compare_places(const void *a, const void *b)
{
    const struct place *p = a, *q = b;

    return p->x != q->x ? (p->x > q->x) - (p->x < q->x) : (p->row > q->row) - (p->row < q->row);
}

/* Only rows low to high fit the cuts. */
static void narrow(struct cci_hunt *hunt, uint64_t low, uint64_t high)
{
    if (low > hunt->low)
        hunt->low = low;
    if (high < hunt->high)
        hunt->high = high;
}

static void narrow_to_none(struct cci_hunt *hunt)
{
    hunt->low = 1;
    hunt->high = 0;
}

/* Rows whose places are all different up to the period-th, which comes to the first one's. */
static void rows_of_period(struct cci_hunt *hunt, uint64_t period)
{
    uint64_t cuts = hunt->seen->cuts, last = cci_last_cut(hunt->plan), most = last + 1 < period ? last + 1 : period;

    if (cuts > most)
        narrow_to_none(hunt);
    else
        narrow(hunt, cuts > 0 ? cuts - 1 : 0, cuts == most ? hunt->plan->steps : cuts);
}

static enum cc_status rows_of_held(struct cci_hunt *hunt, struct cc_error *err)
{
    uint64_t first = cci_first_cut(hunt->request), cuts = hunt->seen->cuts, places = 0;
    size_t n = (size_t)(cci_last_cut(hunt->plan) + 1 - first);
    struct place *at = calloc(n + 1, sizeof *at);
    bool *fresh = calloc(n + 1, sizeof *fresh);

    if (at == NULL || fresh == NULL) {
        free(fresh);
        free(at);
        return cc_fail(err, CC_ENOMEM, "out of memory");
    }
    for (size_t i = 0; i < n; i++)
        at[i] = (struct place){ hunt->row[first + i].x, i };
    qsort(at, n, sizeof *at, compare_places);
    for (size_t i = 0; i < n; i++)
        fresh[at[i].row] = i == 0 || at[i].x != at[i - 1].x;
    /* Row r stands where the cuts before it, or those and its own, show as many places. */
    uint64_t low = UINT64_MAX, high = 0;
    for (uint64_t row = 0; row <= hunt->plan->steps; row++) {
        bool cut = row >= first && row - first < n;
        uint64_t before = places;
        if (cut)
            places += fresh[row - first];
        if (before == cuts || places == cuts) {
            low = row < low ? row : low;
            high = row;
        }
    }
    free(fresh);
    free(at);
    if (low > high)
        narrow_to_none(hunt);
    else
        narrow(hunt, low, high);
    return CC_OK;
}

enum cc_status cci_rows_of_cuts(struct cci_hunt *hunt, struct cc_error *err)
{
    if (hunt->row != NULL)
        return rows_of_held(hunt, err);
    if (!hunt->has_line) {      /* rounding keeps the positions apart, for one turn */
        rows_of_period(hunt, UINT64_MAX);
        return CC_OK;
    }
    uint64_t p = hunt->line.p, stride = (cci_line_spindle(&hunt->line, 1) + (p - cci_line_spindle(&hunt->line, 0))) % p;
    rows_of_period(hunt, p / cci_gcd(stride, p));
    return CC_OK;
}

/* ---- after a slip ---- */

bool cci_places_init(struct cci_places *places, size_t most)
{
    *places = (struct cci_places){ .room = 2 };
    while (places->room < 2 * most)
        places->room *= 2;
    places->angle = malloc(places->room * sizeof *places->angle);
    places->of = calloc(places->room, sizeof *places->of);
    return places->angle != NULL && places->of != NULL;
}

void cci_places_free(struct cci_places *places)
{
    free(places->of);
    free(places->angle);
}

/* Whether an angle is new to this question. */
static bool is_new(struct cci_places *places, uint64_t angle)
{
    size_t at = (size_t)((angle * UINT64_C(0x9e3779b97f4a7c15)) >> 32) & (places->room - 1);

    for (; places->of[at] == places->question; at = (at + 1) & (places->room - 1))
        if (places->angle[at] == angle)
            return false;
    places->of[at] = places->question;
    places->angle[at] = angle;
    return true;
}

struct cci_ends cci_ends_of_cuts(struct cci_places *places, const struct cci_hunt *hunt, const struct cci_angles *angles)
{
    uint64_t first = cci_first_cut(hunt->request), last = cci_last_cut(hunt->plan), cuts = hunt->seen->cuts, shown = 0;
    struct cci_ends ends = { 1, 0 };

    if (cuts == 0)
        ends = (struct cci_ends){ 0, first };
    places->question++;
    for (uint64_t i = first; i < angles->n && i <= last && shown <= cuts; i++) {
        if (i != angles->k || !angles->left_out)
            shown += is_new(places, i < angles->k ? angles->plan[i] * angles->scale : angles->slip[i]) ? 1 : 0;
        if (shown != cuts)
            continue;
        if (ends.low > ends.high)
            ends.low = i + 1;
        ends.high = i + 1;
    }
    return ends;
}

bool cci_ends_fit(const struct cci_ends *ends, const struct cci_hunt *hunt, uint64_t row)
{
    uint64_t all = cci_last_cut(hunt->plan) + 1, least = row < all ? row : all, most = row < all ? row + 1 : all;

    return ends->low <= ends->high && ends->low <= most && least <= ends->high;
}
