/* fit.c: whether the gears of a train can stand side by side, and in which arrangement they have the most room. */
#include "core/fit.h"

#include <stdlib.h>
#include <string.h>

#define MOST_TRIED_IDLERS 2     /* more of them reach anywhere */

/* ---- the set ---- */

static int compare_teeth(const void *a, const void *b)
{
    unsigned x = *(const unsigned *)a, y = *(const unsigned *)b;
    return x < y ? -1 : x > y;
}

void cci_gears_init(struct cci_gears *gears, const unsigned *teeth, size_t n, unsigned least_sum, unsigned most_sum)
{
    unsigned sorted[CC_MAX_GEARS];

    gears->n = 0;
    gears->least_sum = least_sum;
    gears->most_sum = most_sum;
    if (n == 0)
        return;
    memcpy(sorted, teeth, n * sizeof sorted[0]);
    qsort(sorted, n, sizeof sorted[0], compare_teeth);
    for (size_t i = 0; i < n; i++) {
        if (gears->n > 0 && gears->tooth[gears->n - 1] == sorted[i]) {
            gears->left[gears->n - 1]++;
        } else {
            gears->tooth[gears->n] = sorted[i];
            gears->left[gears->n++] = 1;
        }
    }
}

static void move_gear(struct cci_gears *gears, unsigned tooth, bool take)
{
    for (size_t i = 0; i < gears->n; i++)
        if (gears->tooth[i] == tooth && (gears->left[i] > 0 || !take))
            gears->left[i] += take ? -1U : 1U;
}

void cci_gears_take(struct cci_gears *gears, const struct cc_train *train)
{
    for (unsigned i = 0; i < train->pairs; i++) {
        move_gear(gears, train->driver[i], true);
        move_gear(gears, train->driven[i], true);
    }
}

void cci_gears_put_back(struct cci_gears *gears, const struct cc_train *train)
{
    for (unsigned i = 0; i < train->pairs; i++) {
        move_gear(gears, train->driver[i], false);
        move_gear(gears, train->driven[i], false);
    }
}

/* ---- one arrangement ---- */

static bool meshes(const struct cci_gears *gears, unsigned a, unsigned b)
{
    return (gears->least_sum == 0 || a + b >= gears->least_sum) && (gears->most_sum == 0 || a + b <= gears->most_sum);
}

bool cci_joins(struct cci_gears *gears, unsigned a, unsigned b, unsigned idlers, unsigned teeth)
{
    bool joined = false;

    if (idlers == 0)
        return teeth == 0 && meshes(gears, a, b);
    /* The largest first, so that the first that will do is soon found. */
    for (size_t i = gears->n; i > 0 && !joined; i--) {
        unsigned tooth = gears->tooth[i - 1];
        if (idlers == 1 && tooth < teeth)
            break;
        if (gears->left[i - 1] == 0 || !meshes(gears, a, tooth))
            continue;
        gears->left[i - 1]--;
        joined = cci_joins(gears, tooth, b, idlers - 1, teeth > tooth ? teeth - tooth : 0);
        gears->left[i - 1]++;
    }
    return joined;
}

/* Teeth by which the two shafts of mesh i stand further apart than the gears beside its own need; idlers left out. */
static int room_of(const struct cc_train *t, unsigned i)
{
    unsigned need = 0;

    if (i + 1 < t->pairs)
        need = t->driver[i + 1];
    if (i > 0 && t->driven[i - 1] > need)
        need = t->driven[i - 1];
    return t->pairs == 1 ? CC_FREE_ROOM : (int)(t->driver[i] + t->driven[i]) - (int)need - 2;
}

/* Whether the idlers go into mesh with: the others keep limits and room by themselves, this one with the idlers' help. */
static bool fits_with(bool *reached, const struct cc_train *t, struct cci_gears *gears, unsigned with)
{
    int room = room_of(t, with);
    bool stands = true, reaches = true;

    for (unsigned i = 0; i < t->pairs; i++) {
        if (i == with)
            continue;
        reaches = reaches && meshes(gears, t->driver[i], t->driven[i]);
        stands = stands && room_of(t, i) > 0;
    }
    if (t->idlers > MOST_TRIED_IDLERS) {
        *reached = *reached || reaches;
        return reaches && stands;
    }
    reaches = reaches && cci_joins(gears, t->driver[with], t->driven[with], t->idlers, 0);
    *reached = *reached || reaches;
    if (!reaches || !stands || room > 0)
        return reaches && stands;
    /* 2 T > -room */
    return t->idlers > 0 && cci_joins(gears, t->driver[with], t->driven[with], t->idlers, (unsigned)-room / 2 + 1);
}

static bool fits(struct cc_fit *fit, const struct cc_train *train, struct cci_gears *gears)
{
    *fit = (struct cc_fit){ .room = CC_FREE_ROOM };
    for (unsigned i = 0; i < train->pairs; i++)
        if (room_of(train, i) < fit->room)
            fit->room = room_of(train, i);
    for (unsigned back = 0; back < train->pairs; back++) {
        fit->idlers_back = back;
        if (fits_with(&fit->meshes, train, gears, train->pairs - 1 - back))
            return true;
        if (train->idlers == 0)
            break;
    }
    return false;
}

/* ---- all of them ---- */

/* Orders of 3 things, in lexicographic order; the first 1, 2 or 6 are not those of fewer things, which stand in first. */
static const unsigned char orders[6][CC_MAX_PAIRS] = {
    { 0, 1, 2 }, { 1, 0, 2 }, { 0, 2, 1 }, { 1, 2, 0 }, { 2, 0, 1 }, { 2, 1, 0 },
};
static const unsigned order_count[CC_MAX_PAIRS + 1] = { 1, 1, 2, 6 };

static int compare_arrangements(const struct cc_train *a, const struct cc_train *b)
{
    for (unsigned i = 0; i < a->pairs; i++)
        if (a->driver[i] != b->driver[i])
            return a->driver[i] < b->driver[i] ? -1 : 1;
    for (unsigned i = 0; i < a->pairs; i++)
        if (a->driven[i] != b->driven[i])
            return a->driven[i] < b->driven[i] ? -1 : 1;
    return 0;
}

struct arranging {
    struct cc_train other, best;
    struct cc_fit best_fit;
    unsigned all, fitting;
};

/* Idlers in the last mesh before any other; then more room. */
static bool comes_first(const struct cc_train *train, const struct cc_fit *fit, const struct cc_train *best,
                        const struct cc_fit *best_fit)
{
    if (fit->idlers_back != best_fit->idlers_back)
        return fit->idlers_back < best_fit->idlers_back;
    if (fit->room != best_fit->room)
        return fit->room > best_fit->room;
    return compare_arrangements(train, best) < 0;
}

/* Whether an order before this one puts the same counts in the same places. */
static bool is_repeat(const unsigned *value, unsigned n, unsigned order)
{
    for (unsigned earlier = 0; earlier < order; earlier++) {
        bool same = true;
        for (unsigned k = 0; k < n && same; k++)
            same = value[orders[earlier][k]] == value[orders[order][k]];
        if (same)
            return true;
    }
    return false;
}

static void put_order(unsigned *out, const unsigned *in, unsigned n, unsigned order)
{
    for (unsigned k = 0; k < n; k++)
        out[k] = in[orders[order][k]];
}

/* One arrangement more: counted where it fits, kept where it is the best so far. */
static void try_arrangement(struct arranging *a, struct cci_gears *gears)
{
    struct cc_fit fit;

    a->all++;
    if (!fits(&fit, &a->other, gears))
        return;
    a->fitting++;
    if (a->fitting > 1 && !comes_first(&a->other, &fit, &a->best, &a->best_fit))
        return;
    a->best = a->other;
    a->best.idlers_back = fit.idlers_back;
    a->best_fit = fit;
}

unsigned cci_arrange(struct cc_train *train, unsigned *all, struct cci_gears *gears, unsigned last_multiple)
{
    struct arranging a = { .other = *train };
    unsigned n = train->pairs;

    for (unsigned i = 0; i < order_count[n]; i++) {
        if (is_repeat(train->driver, n, i))
            continue;
        put_order(a.other.driver, train->driver, n, i);
        for (unsigned j = 0; j < order_count[n]; j++) {
            if (is_repeat(train->driven, n, j))
                continue;
            put_order(a.other.driven, train->driven, n, j);
            if (last_multiple == 0 || a.other.driven[n - 1] % last_multiple == 0)
                try_arrangement(&a, gears);
        }
    }
    if (a.fitting > 0)
        *train = a.best;
    if (all != NULL)
        *all = a.all;
    return a.fitting;
}

/* ---- a head's ---- */

bool cc_train_fits(struct cc_fit *fit, const struct cc_train *train, const struct cc_head *head)
{
    struct cci_gears gears;

    cci_gears_init(&gears, head->gears.at, head->gears.n, head->least_sum, head->most_sum);
    cci_gears_take(&gears, train);
    return fits(fit, train, &gears);
}

bool cc_train_arrange(struct cc_train *train, const struct cc_head *head)
{
    struct cci_gears gears;

    cci_gears_init(&gears, head->gears.at, head->gears.n, head->least_sum, head->most_sum);
    cci_gears_take(&gears, train);
    return cci_arrange(train, NULL, &gears, 0) > 0;
}
