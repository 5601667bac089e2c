/*
 * nearest_train.c: a differential that is not exact: the same movement of m holes every time, with a train whose R - e = p/q
 * is near m N / C. For each train and circle m is the whole number nearest to C (R - e) k / N, and the job closes to
 * |N m / (C (R - e)) - k| of a turn.
 *
 * It goes from m to the trains: they stand in order of R - e, and those near m N / (k C) are found by halving.
 */
#include <stdlib.h>

#include "plan/search.h"

/* The whole number nearest to a / b, halves up; a and b are below 2^101. */
static uint64_t nearest_quotient(cci_u128 a, cci_u128 b)
{
    cci_u128 num = cci_wide_add(cci_wide_add(a, a), b), den = cci_wide_add(b, b);

    if ((cci_wide_high(num) | cci_wide_high(den)) == 0)     /* one machine division instead of a call */
        return cci_wide_low(num) / cci_wide_low(den);
    return cci_wide_less(num, den) ? 0 : cci_wide_low(cci_wide_quotient(num, den));
}

/* q as a part of a whole, times 2^40, rounded up; at most 2^40, a whole turn. */
static uint64_t scaled(const mpq_t q)
{
    mpz_t most;
    uint64_t out;

    mpz_init(most);
    mpz_mul_2exp(most, mpq_numref(q), 40);
    mpz_cdiv_q(most, most, mpq_denref(q));
    out = mpz_sizeinbase(most, 2) > 40 ? UINT64_C(1) << 40 : cc_get_u64(most);
    mpz_clear(most);
    return out;
}

/* A gearing by its |e|, num/den in lowest terms. */
struct listed {
    uint64_t num, den;
    uint32_t gearing;
};

static struct listed listed_of(const struct cc_planner *planner, size_t g)
{
    const struct cci_choice *choice = &planner->choices[planner->gearings[g].choice];
    uint64_t common = cci_gcd(choice->num, choice->den);

    return (struct listed){ choice->num / common, choice->den / common, (uint32_t)g };
}

static int compare_listed(const void *va, const void *vb)
{
    const struct listed *a = va, *b = vb;

    if (a->num != b->num)
        return a->num < b->num ? -1 : 1;
    if (a->den != b->den)
        return a->den < b->den ? -1 : 1;
    return a->gearing < b->gearing ? -1 : a->gearing > b->gearing;
}

/* ---- from the movement to the trains ---- */

#define MOST_BLOCK (UINT64_C(1) << 28)      /* divisions at a time: k C (R - e) fits a word, and products of two words */

/* One circle and movement. */
struct wanted {
    const struct cci_spot *spot;
    uint64_t n, k;          /* divisions, and how many at a time */
    uint64_t m;
    uint64_t nm;            /* N m, about k C (R - e) */
    uint64_t widest;        /* rows between neighbours */
    uint64_t within;        /* of a list of all: the tolerance, scaled, beyond which a setting is passed over; else UINT64_MAX */
    uint64_t effort;        /* least there is: a simple train with one idler */
    struct listed *first;   /* of those offered, by |e|: num 0 where none was yet */
};

/* k C p of gearing g, and q N m: their difference is the error. */
static cci_u128 reached_by(const struct cc_planner *planner, const struct wanted *w, size_t g)
{
    return cci_wide_product(planner->gearing_p[g] * w->spot->circle, w->k);     /* C p is below 2^61 */
}

static cci_u128 wanted_of(const struct cc_planner *planner, const struct wanted *w, size_t g)
{
    return cci_wide_product(planner->gearings[g].q, w->nm);
}

/* The first gearing with k C (R - e) >= N m. */
static size_t first_from(const struct cc_planner *planner, const struct wanted *w)
{
    size_t low = 0, high = planner->gearing_count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (cci_wide_less(reached_by(planner, w, middle), wanted_of(planner, w, middle)))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Whether off/of of a turn is surely beyond a tolerance that is scaled. */
static bool is_beyond(uint64_t within, uint64_t off, uint64_t of)
{
    return within != UINT64_MAX && cci_wide_less(cci_wide_product(within, of), cci_wide_product(off, UINT64_C(1) << 40));
}

/*
 * Whether a train that closes off by off/cp, and any further off, can be left out. With an offset the worst error can be less
 * than the closing one, down to half of it: then the zero hole is off by as much the other way.
 */
static bool is_too_far(const struct cci_search *search, const struct wanted *w, uint64_t off, uint64_t cp)
{
    return is_beyond(w->within, off, cp) ||
           cci_is_hopeless(search, search->holds[CC_INDEX_WORM], w->effort, off, search->in_words ? cp : 2 * cp);
}

/* The movement nearest to k divisions with gearing g. */
static uint64_t movement_with(const struct cc_planner *planner, const struct wanted *w, size_t g)
{
    return nearest_quotient(reached_by(planner, w, g), cci_wide_product(w->n, planner->gearings[g].q));
}

/*
 * Offer gearing g; false where it and any that is further off can be left out: neighbours meet, another movement is nearer,
 * or the best so far comes before it. Beyond the tolerance only the next one can come first (in words, where nothing but
 * the closing error counts). One that is exact is passed over.
 */
static bool try_gearing(bool *next, struct cci_search *search, struct wanted *w, size_t g)
{
    struct cc_planner *planner = search->planner;
    uint64_t cp = planner->gearing_p[g] * w->spot->circle;
    cci_u128 distance = cci_wide_distance(wanted_of(planner, w, g), reached_by(planner, w, g));
    uint64_t off = cci_wide_low(distance);

    planner->examined++;
    if (cci_wide_high(distance) != 0 || off >= cp || !cci_wide_less(cci_wide_product(off, w->widest), cci_wide(cp)))
        return false;
    if (off == 0)
        return true;
    if (movement_with(planner, w, g) != w->m || is_too_far(search, w, off, cp))
        return false;
    bool goes_on = !search->in_words || cci_is_within(search, off, cp);
    if (!goes_on && !*next)
        return false;
    if (!cci_place_gearing(planner, g))
        return true;
    *next = false;
    if (w->within != UINT64_MAX) {
        struct listed this = listed_of(planner, g);
        if (w->first->num == 0 || compare_listed(&this, w->first) < 0)
            *w->first = this;
    }
    cci_geared_candidate(search, w->spot, g);
    search->scratch.move = (int64_t)w->m;
    cci_offer_constant(search);
    return goes_on;
}

/* What does not stand decides nothing: errors grow along a walk, so that where it would have ended it, the next one does. */
static void search_movement(struct cci_search *search, struct wanted *w)
{
    struct cc_planner *planner = search->planner;
    bool above = true, below = true;

    w->effort = cci_geared_effort(search, w->spot, cci_wide_product(w->n, w->m / w->spot->circle));
    if (is_too_far(search, w, 0, 1))
        return;
    size_t from = first_from(planner, w);
    size_t up = cci_gearing_from(planner, from), down = cci_gearing_before(planner, from);
    while (up < planner->gearing_count && try_gearing(&above, search, w, up))
        up = cci_gearing_from(planner, up + 1);
    while (down > 0 && try_gearing(&below, search, w, down - 1))
        down = cci_gearing_before(planner, down - 1);
}

/* The next movement that is nearest to k divisions with any gearing; beyond last where there is none. */
static uint64_t next_movement(const struct cc_planner *planner, struct wanted *w, uint64_t last)
{
    w->nm = w->n * (w->m + 1);
    size_t from = first_from(planner, w);

    if (from > 0 && movement_with(planner, w, from - 1) > w->m)
        return w->m + 1;
    return from < planner->gearing_count ? movement_with(planner, w, from) : last + 1;
}

/* Offer those within, whatever is found before where that is UINT64_MAX; first: as in wanted. */
static void search_by_value(struct listed *first, struct cci_search *search, uint64_t widest, uint64_t within)
{
    struct cc_planner *planner = search->planner;

    for (size_t i = 0; i < planner->spot_count && planner->gearing_count > 0; i++) {
        struct wanted w = { .spot = &planner->spots[i], .n = search->divisions, .k = search->block, .widest = widest,
                            .within = within, .first = first };
        if (!cci_circle_allowed(search, w.spot->circle, w.spot->circle))
            continue;
        uint64_t last = movement_with(planner, &w, planner->gearing_count - 1);
        for (w.m = movement_with(planner, &w, 0); w.m <= last; w.m = next_movement(planner, &w, last)) {
            w.nm = w.n * w.m;
            search->planner->examined++;
            if (w.m > 0)
                search_movement(search, &w);
        }
    }
}

/* ---- from the trains to the movement ---- */

/*
 * A list of all plans passes over what is surely beyond the tolerance and closes worse than one before it, so it matters in
 * which order the trains are gone through. (With an offset the closing error alone does not say which is worse; with a limit on turns
 * the one before may not have been allowed: nothing is passed over.) Behind the first that is within the tolerance nothing
 * beyond it is left, and all within it are found by value.
 */

/* The smallest closing error so far, as |N m q - k C p| / (C p); den = 0 before the first. */
struct closing {
    uint64_t num, den;
};

/*
 * The movement of one train and circle that comes nearest to N: true, with *movement and *closes set. False where neighbours
 * would meet.
 */
static bool nearest_movement(uint64_t *movement, struct closing *closes, const struct cci_search *search, uint64_t cp, uint64_t q,
                             uint64_t widest)
{
    cci_u128 wanted = cci_wide_product(search->block, cp), step = cci_wide_product(search->divisions, q);

    if (cci_wide_high(step) >> 36 != 0 || cci_wide_high(wanted) >> 36 != 0)
        return false;
    uint64_t m = nearest_quotient(wanted, step);    /* at most C p + 1, since k <= N */
    cci_u128 distance = cci_wide_distance(cci_wide_times(step, m), wanted);
    uint64_t off = cci_wide_low(distance);
    *movement = m;
    *closes = (struct closing){ off, cp };
    /* Neighbours stay apart while their error, widest off / (N C p), is below 1/N. */
    return m != 0 && cci_wide_high(distance) == 0 && off != 0 && off < cp &&
           cci_wide_less(cci_wide_product(off, widest), cci_wide(cp));
}

/* Those that stand by the numbers of their |e|, of one |e| the one with the better train first: up to last, or all where its num is 0. */
static struct listed *order_gearings(size_t *count, struct cc_planner *planner, const struct listed *last)
{
    size_t n = planner->gearing_count;
    struct listed *at = malloc((n + 1) * sizeof *at);

    *count = 0;
    for (size_t g = 0; g < n && at != NULL; g++) {
        at[*count] = listed_of(planner, g);
        bool before = last->num == 0 || at[*count].num < last->num || (at[*count].num == last->num && at[*count].den <= last->den);
        if (before && cci_place_gearing(planner, g))
            ++*count;
    }
    if (at == NULL)
        return NULL;
    qsort(at, *count, sizeof *at, compare_listed);
    for (size_t i = 1; i < *count; i++) {
        struct listed one = at[i];
        if (one.num == at[i - 1].num && one.den == at[i - 1].den && cci_gearing_is_better(planner, one.gearing, at[i - 1].gearing)) {
            at[i] = at[i - 1];
            at[i - 1] = one;
        }
    }
    return at;
}

/* Offer one train and circle, unless it is passed over; false where it is the first within the tolerance, and those have been offered. */
static bool try_setting(struct closing *closest, struct cci_search *search, const struct cci_spot *spot, size_t g, uint64_t widest,
                        uint64_t within, bool offered)
{
    struct closing closes;
    uint64_t m;

    search->planner->examined++;
    if (!cci_circle_allowed(search, spot->circle, spot->circle) ||
        !nearest_movement(&m, &closes, search, spot->circle * search->planner->gearing_p[g], search->planner->gearings[g].q, widest))
        return true;
    bool beyond = is_beyond(within, closes.num, closes.den);
    int nearer = cci_wide_compare(cci_wide_product(closes.num, closest->den), cci_wide_product(closest->num, closes.den));
    if (!beyond && offered)
        return false;
    if (beyond && closest->den != 0 && nearer > 0)
        return true;
    if (closest->den == 0 || nearer < 0)
        *closest = closes;
    cci_geared_candidate(search, spot, g);
    search->scratch.move = (int64_t)m;
    cci_offer_constant(search);
    return true;
}

/* Offer those up to last; all where its num is 0. offered: those within have been. */
static void search_in_order(struct cci_search *search, uint64_t widest, uint64_t within, const struct listed *last, bool offered)
{
    struct cc_planner *planner = search->planner;
    struct closing closest = { 0 };
    size_t count;
    struct listed *at = order_gearings(&count, planner, last);
    bool goes_on = at != NULL;

    if (at == NULL)
        search->status = cc_fail(search->err, CC_ENOMEM, "out of memory");
    for (size_t i = 0; i < count && goes_on; i++)
        for (size_t k = 0; k < planner->spot_count && goes_on && search->status == CC_OK; k++)
            goes_on = try_setting(&closest, search, &planner->spots[k], at[i].gearing, widest, within, offered);
    free(at);
}

void cci_find_nearest_train(struct cci_search *search)
{
    struct listed first = { .num = 0 };

    if (!search->circle || search->head->gears.n == 0)
        return;
    search->status = cci_list_gearings(search->planner, search->err);
    if (search->status != CC_OK)
        return;
    uint64_t n = search->divisions, j = cci_inverse(search->block % n, n), widest = n - j > j ? n - j : j;
    bool by_value = !search->planner->long_way && search->block <= MOST_BLOCK, all = search->keep == CCI_KEEP_ALL || !by_value;
    bool passes = all && mpq_sgn(search->request->offset) == 0 && mpq_sgn(search->request->most_turns) == 0;
    uint64_t within = passes ? scaled(search->tolerance) : UINT64_MAX;
    if (by_value)
        search_by_value(&first, search, widest, within);
    if (passes || !by_value)
        search_in_order(search, widest, within, &first, by_value);
}
