/*
 * nearest_train.c: a differential that is not exact: the same movement of m holes every time, with a train whose R - e = p/q
 * is near m N / C. For each train and circle m is the whole number nearest to C (R - e) k / N, and the job closes to
 * |N m / (C (R - e)) - k| of a turn.
 *
 * It goes from m to the trains: they stand in order of R - e, and those near m N / (k C) are found by halving. For a list of
 * all plans all trains are gone through.
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

/* ---- from the movement to the trains ---- */

#define MOST_BY_VALUE (UINT64_C(1) << 32)   /* divisions, */
#define MOST_BLOCK (UINT64_C(1) << 28)      /* and how many at a time: k C (R - e) fits a word, and products of two words */

/* One circle and movement. */
struct wanted {
    const struct cci_spot *spot;
    uint64_t n, k;          /* divisions, and how many at a time */
    uint64_t m;
    uint64_t nm;            /* N m, about k C (R - e) */
    uint64_t widest;        /* rows between neighbours */
    uint64_t effort;        /* least there is: a simple train with one idler */
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

/*
 * Whether a train that closes off by off/cp, and any further off, can be left out. With an offset the worst error can be less
 * than the closing one, down to half of it: then the zero hole is off by as much the other way.
 */
static bool is_too_far(const struct cci_search *search, const struct wanted *w, uint64_t off, uint64_t cp)
{
    return cci_is_hopeless(search, search->holds[CC_INDEX_WORM], w->effort, off, search->in_words ? cp : 2 * cp);
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
    cci_geared_candidate(search, w->spot, g);
    search->scratch.move = (int64_t)w->m;
    cci_offer_constant(search);
    return goes_on;
}

static void search_movement(struct cci_search *search, struct wanted *w)
{
    struct cc_planner *planner = search->planner;
    bool above = true, below = true;

    w->effort = cci_geared_effort(search, w->spot, cci_wide_product(w->n, w->m / w->spot->circle));
    if (is_too_far(search, w, 0, 1))
        return;
    size_t from = first_from(planner, w);
    for (size_t g = from; g < planner->gearing_count && try_gearing(&above, search, w, g); g++) {}
    for (size_t g = from; g > 0 && try_gearing(&below, search, w, g - 1); g--) {}
}

static void search_by_value(struct cci_search *search, uint64_t widest)
{
    struct cc_planner *planner = search->planner;

    for (size_t i = 0; i < planner->spot_count && planner->gearing_count > 0; i++) {
        struct wanted w = { .spot = &planner->spots[i], .n = search->divisions, .k = search->block, .widest = widest };
        if (!cci_circle_allowed(search, w.spot->circle, w.spot->circle))
            continue;
        uint64_t last = movement_with(planner, &w, planner->gearing_count - 1);
        for (w.m = movement_with(planner, &w, 0); w.m <= last; w.m++) {
            w.nm = w.n * w.m;
            if (w.m > 0)
                search_movement(search, &w);
        }
    }
}

/* ---- all trains ---- */

/*
 * A setting that is surely beyond the tolerance and closes worse than one before it is passed over. (With an offset the
 * closing error alone does not say which is worse; with a limit on turns the one before may not have been allowed.) So it
 * matters to a list of all plans in which order they are gone through.
 */

/* The smallest closing error so far, as |N m q - k C p| / (C p); den = 0 before the first. */
struct closing {
    uint64_t num, den;
};

/*
 * The movement of one train and circle that comes nearest to N: true, with *movement set. False where neighbours
 * would meet; and, if skip is set, where the job closes outside the tolerance and worse than *closest, the best so
 * far.
 */
static bool nearest_movement(uint64_t *movement, struct closing *closest, const struct cci_search *search, uint64_t cp,
                             uint64_t q, uint64_t widest, bool skip, uint64_t within)
{
    cci_u128 wanted = cci_wide_product(search->block, cp), step = cci_wide_product(search->divisions, q);

    if (cci_wide_high(step) >> 36 != 0 || cci_wide_high(wanted) >> 36 != 0)
        return false;
    uint64_t m = nearest_quotient(wanted, step);    /* at most C p + 1, since k <= N */
    cci_u128 distance = cci_wide_distance(cci_wide_times(step, m), wanted);
    uint64_t off = cci_wide_low(distance);
    /* Neighbours stay apart while their error, widest off / (N C p), is below 1/N. */
    if (m == 0 || cci_wide_high(distance) != 0 || off == 0 || off >= cp ||
        !cci_wide_less(cci_wide_product(off, widest), cci_wide(cp)))
        return false;
    int nearer = cci_wide_compare(cci_wide_product(off, closest->den), cci_wide_product(closest->num, cp));
    if (skip && closest->den != 0 && nearer > 0 &&
        cci_wide_less(cci_wide_product(within, cp), cci_wide_product(off, UINT64_C(1) << 40)))
        return false;
    if (closest->den == 0 || nearer < 0)
        *closest = (struct closing){ off, cp };
    *movement = m;
    return true;
}

struct listed {
    uint64_t num, den;      /* |e| in lowest terms */
    uint32_t gearing;
};

static int compare_listed(const void *va, const void *vb)
{
    const struct listed *a = va, *b = vb;

    if (a->num != b->num)
        return a->num < b->num ? -1 : 1;
    if (a->den != b->den)
        return a->den < b->den ? -1 : 1;
    return a->gearing < b->gearing ? -1 : 1;
}

/* All gearings that stand by the numbers of their |e|, once; of one |e| the one with the better train first. */
static enum cc_status order_gearings(struct cc_planner *planner, struct cc_error *err)
{
    size_t n = planner->gearing_count;
    struct listed *at;

    if (planner->listed != NULL || n == 0)
        return CC_OK;
    at = malloc(n * sizeof *at);
    planner->listed = malloc(n * sizeof *planner->listed);
    size_t listed = 0;
    for (size_t g = 0; g < n && at != NULL && planner->listed != NULL; g++) {
        if (!cci_place_gearing(planner, g))
            continue;
        const struct cci_choice *choice = &planner->choices[planner->gearings[g].choice];
        uint64_t common = cci_gcd(choice->num, choice->den);
        at[listed++] = (struct listed){ choice->num / common, choice->den / common, (uint32_t)g };
    }
    if (at == NULL || planner->listed == NULL) {
        free(at);
        free(planner->listed);
        planner->listed = NULL;
        return cc_fail(err, CC_ENOMEM, "out of memory");
    }
    qsort(at, listed, sizeof *at, compare_listed);
    for (size_t i = 0; i < listed; i++) {
        bool second = i > 0 && at[i].num == at[i - 1].num && at[i].den == at[i - 1].den &&
                      cci_gearing_is_better(planner, at[i].gearing, at[i - 1].gearing);
        planner->listed[i] = at[second ? i - 1 : i].gearing;
        if (second)
            planner->listed[i - 1] = at[i].gearing;
    }
    planner->listed_count = listed;
    free(at);
    return CC_OK;
}

static void search_all(struct cci_search *search, uint64_t widest)
{
    struct cc_planner *planner = search->planner;
    uint64_t within = scaled(search->tolerance), m;
    bool skip = mpq_sgn(search->request->offset) == 0 &&
                mpq_sgn(search->request->most_turns) == 0;
    struct closing closest = { 0 };

    search->status = order_gearings(planner, search->err);
    for (size_t at = 0; search->status == CC_OK && at < planner->listed_count; at++) {
        size_t g = planner->listed[at];
        for (size_t i = 0; i < planner->spot_count; i++) {
            const struct cci_spot *spot = &planner->spots[i];
            uint64_t cp = spot->circle * planner->gearing_p[g];     /* below 2^61 */
            planner->examined++;
            if (!cci_circle_allowed(search, spot->circle, spot->circle) ||
                !nearest_movement(&m, &closest, search, cp, planner->gearings[g].q, widest, skip, within))
                continue;
            cci_geared_candidate(search, spot, g);
            search->scratch.move = (int64_t)m;
            cci_offer_constant(search);
        }
    }
}

void cci_find_nearest_train(struct cci_search *search)
{
    if (!search->circle || search->head->gears.n == 0)
        return;
    search->status = cci_list_gearings(search->planner, search->err);
    if (search->status != CC_OK)
        return;
    uint64_t n = search->divisions, j = cci_inverse(search->block % n, n), widest = n - j > j ? n - j : j;
    if (search->keep != CCI_KEEP_ALL && !search->planner->long_way && n <= MOST_BY_VALUE && search->block <= MOST_BLOCK)
        search_by_value(search, widest);
    else
        search_all(search, widest);
}
