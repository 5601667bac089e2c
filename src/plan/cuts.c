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
    uint64_t p = hunt->p, stride = (cci_line_spindle(&hunt->line, 1) + (p - cci_line_spindle(&hunt->line, 0))) % p;
    rows_of_period(hunt, p / cci_gcd(stride, p));
    return CC_OK;
}
