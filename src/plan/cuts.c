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

/* Cuts come and go; how many places have one. */
struct count {
    size_t n;               /* rows, from row 0 on */
    size_t *plan, *slip;    /* the place of each by the plan and after the slip; plan[n] is that of the zero hole */
    size_t *cuts;           /* at each place */
    size_t places;
    void *held;
};

static int compare_angles(const void *a, const void *b)
{
    const struct place *p = a, *q = b;

    return (p->x > q->x) - (p->x < q->x);
}

/* Number the places of rows 0 ... n - 1; of two for each row, and the zero hole's, the one by the plan stands first. */
static bool count_init(struct count *count, size_t n, const uint64_t *plan, const uint64_t *slip, bool apart)
{
    struct place *all = calloc(2 * n + 1, sizeof *all);
    size_t id = 0;

    *count = (struct count){ .n = n, .held = calloc(6 * n + 3, sizeof *count->cuts) };
    if (all == NULL || count->held == NULL) {
        free(count->held);
        free(all);
        return false;
    }
    count->plan = count->held;
    count->slip = count->plan + n + 1;
    count->cuts = count->slip + n;
    for (size_t i = 0; i < n; i++) {
        all[2 * i] = (struct place){ plan[i], 2 * i };
        all[2 * i + 1] = (struct place){ slip[i], 2 * i + 1 };
    }
    all[2 * n] = (struct place){ 0, 2 * n };
    qsort(all, 2 * n + 1, sizeof *all, compare_angles);
    for (size_t i = 0; i < 2 * n + 1; i++) {
        id += i > 0 && all[i].x != all[i - 1].x;
        if (all[i].row % 2 == 0)
            count->plan[all[i].row / 2] = id;
        else
            count->slip[all[i].row / 2] = apart ? 2 * n + 1 + id : id;
    }
    free(all);
    return true;
}

static void put_cut(struct count *count, size_t place)
{
    count->places += count->cuts[place]++ == 0;
}

static void take_cut(struct count *count, size_t place)
{
    count->places -= --count->cuts[place] == 0;
}

/* One cut elsewhere for a moment. */
static bool fits_moved(struct count *count, size_t from, size_t to, uint64_t cuts)
{
    take_cut(count, from);
    put_cut(count, to);
    bool fits = count->places == cuts;
    take_cut(count, to);
    put_cut(count, from);
    return fits;
}

/* Of the rows cut, the last being last, which is at or behind the first one. */
static bool ways_up_to(const struct cci_ways *ways, const struct cci_hunt *hunt, uint64_t row, uint64_t last)
{
    uint64_t first = cci_first_cut(hunt->request), cuts = hunt->seen->cuts;
    struct count count;

    if (!count_init(&count, (size_t)last + 1, ways->plan, ways->slip, ways->apart))
        return false;
    for (uint64_t i = first; i <= last; i++)
        put_cut(&count, count.slip[i]);
    for (uint64_t k = 0; k <= row; k++) {
        if (k > first && k - 1 <= last) {
            take_cut(&count, count.slip[k - 1]);
            put_cut(&count, count.plan[k - 1]);
        }
        if (ways->stays && k >= first && k <= last)
            ways->fits[k] |= fits_moved(&count, count.slip[k], count.plan[k > 0 ? k - 1 : count.n], cuts);
        else
            ways->fits[k] |= count.places == cuts;
    }
    free(count.held);
    return true;
}

static bool uncut_up_to(const struct cci_ways *ways, const struct cci_hunt *hunt, uint64_t last)
{
    uint64_t first = cci_first_cut(hunt->request);
    struct count count;

    if (!count_init(&count, (size_t)last + 1, ways->plan, ways->plan, false))
        return false;
    for (uint64_t i = first; i <= last; i++)
        put_cut(&count, count.plan[i]);
    for (uint64_t i = first; i <= last; i++) {
        take_cut(&count, count.plan[i]);
        ways->fits[i] |= count.places == hunt->seen->cuts;
        put_cut(&count, count.plan[i]);
    }
    free(count.held);
    return true;
}

bool cci_ways_of_cuts(const struct cci_ways *ways, const struct cci_hunt *hunt, uint64_t row)
{
    uint64_t last = cci_last_cut(hunt->plan), first = cci_first_cut(hunt->request);

    /* The row that stands is cut, or not yet. */
    for (uint64_t end = row <= last ? row + 1 : last + 1, least = row <= last ? row : last + 1; ; end--) {
        if (end > first) {
            if (!ways_up_to(ways, hunt, row, end - 1))
                return false;
        } else if (hunt->seen->cuts == 0) {
            for (uint64_t k = 0; k <= row; k++)
                ways->fits[k] = true;
        }
        if (end == least)
            return true;
    }
}

bool cci_ways_of_uncut(const struct cci_ways *ways, const struct cci_hunt *hunt, uint64_t row)
{
    uint64_t last = cci_last_cut(hunt->plan), first = cci_first_cut(hunt->request);

    if (row <= last && !uncut_up_to(ways, hunt, row))
        return false;
    return row == 0 || row - 1 < first || uncut_up_to(ways, hunt, row <= last ? row - 1 : last);
}
