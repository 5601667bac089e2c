/*
 * nearest_train.c: a differential that is not exact: the same movement of m holes every time, with a train whose R - e = p/q
 * is near m N / C. For each train and circle m is the whole number nearest to C (R - e) k / N, and the job closes to
 * |N m / (C (R - e)) - k| of a turn.
 *
 * Ranked in words, it goes from m to the trains: they stand in order of R - e, and those near m N / C are found by halving.
 * Otherwise all trains are gone through.
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

/* ---- from the movement to the trains ---- */

/* One circle and movement, one division at a time. */
struct wanted {
    const struct cci_spot *spot;
    uint64_t m;
    uint64_t nm;            /* N m, about C (R - e) */
    uint64_t n;
    uint64_t effort;        /* least there is: a simple train with one idler */
};

/* C p of gearing g and q N m: the larger of the two numbers whose difference is the error. */
static cci_u128 wanted_of(const struct cc_planner *planner, const struct wanted *w, size_t g)
{
    return cci_wide_product(planner->gearings[g].q, w->nm);
}

static uint64_t cp_of(const struct cc_planner *planner, const struct wanted *w, size_t g)
{
    return planner->gearing_p[g] * w->spot->circle;     /* below 2^61 */
}

/* The first gearing with C (R - e) >= N m. */
static size_t first_from(const struct cc_planner *planner, const struct wanted *w)
{
    size_t low = 0, high = planner->gearing_count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (cci_wide_less(cci_wide(cp_of(planner, w, middle)), wanted_of(planner, w, middle)))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/*
 * Offer gearing g; false where it and any that is further off can be left out: neighbours meet, another movement is nearer,
 * or the best so far comes before it. Beyond the tolerance only the next one can come first. One that is exact is passed
 * over.
 */
static bool try_gearing(bool *next, struct cci_search *search, const struct wanted *w, size_t g)
{
    struct cc_planner *planner = search->planner;
    uint64_t cp = cp_of(planner, w, g), q = planner->gearings[g].q;
    cci_u128 distance = cci_wide_distance(wanted_of(planner, w, g), cci_wide(cp));
    uint64_t off = cci_wide_low(distance), widest = w->n > 2 ? w->n - 1 : 1;

    if (cci_wide_high(distance) != 0 || off >= cp || !cci_wide_less(cci_wide_product(off, widest), cci_wide(cp)))
        return false;
    if (off == 0)
        return true;
    if (nearest_quotient(cci_wide(cp), cci_wide_product(w->n, q)) != w->m || cci_is_hopeless(search, search->holds[CC_INDEX_WORM], w->effort, off, cp))
        return false;
    bool within = cci_is_within(search, off, cp);
    if (!within && !*next)
        return false;
    *next = false;
    cci_geared_candidate(search, w->spot, g);
    search->scratch.move = (int64_t)w->m;
    cci_offer_constant(search);
    return within;
}

static void search_movement(struct cci_search *search, struct wanted *w)
{
    struct cc_planner *planner = search->planner;
    struct cc_plan *plan = cci_spot_candidate(search, w->spot, CC_DIFFERENTIAL);
    size_t from = first_from(planner, w);
    bool above = true, below = true;

    plan->train.pairs = plan->train.idlers = 1;
    cci_set_standing(search);
    cci_plan_effort(plan, search, cci_wide_product(w->n, w->m / w->spot->circle));
    w->effort = plan->effort;
    if (cci_is_hopeless(search, search->holds[CC_INDEX_WORM], w->effort, 0, 1))
        return;
    for (size_t g = from; g < planner->gearing_count && try_gearing(&above, search, w, g); g++) {}
    for (size_t g = from; g > 0 && try_gearing(&below, search, w, g - 1); g--) {}
}

/* The movement nearest to one division with a circle and gearing g. */
static uint64_t movement_with(const struct cci_search *search, const struct cci_spot *spot, size_t g)
{
    const struct cc_planner *planner = search->planner;

    return nearest_quotient(cci_wide(spot->circle * planner->gearing_p[g]),
                            cci_wide_product(search->divisions, planner->gearings[g].q));
}

static void search_by_value(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;

    for (size_t i = 0; i < planner->spot_count && planner->gearing_count > 0; i++) {
        struct wanted w = { .spot = &planner->spots[i], .n = search->divisions };
        if (!cci_circle_allowed(search, w.spot->circle, w.spot->circle))
            continue;
        uint64_t last = movement_with(search, w.spot, planner->gearing_count - 1);
        for (w.m = movement_with(search, w.spot, 0); w.m <= last; w.m++) {
            w.nm = w.n * w.m;
            if (w.m > 0)
                search_movement(search, &w);
        }
    }
}

/* ---- all trains ---- */

/* tolerance * 2^40 rounded up, and at most 2^40: a whole turn. */
static uint64_t tolerance_scaled(const struct cci_search *search)
{
    mpz_t scaled;
    uint64_t out;

    mpz_init(scaled);
    mpz_mul_2exp(scaled, mpq_numref(search->tolerance), 40);
    mpz_cdiv_q(scaled, scaled, mpq_denref(search->tolerance));
    out = mpz_sizeinbase(scaled, 2) > 40 ? UINT64_C(1) << 40 : cc_get_u64(scaled);
    mpz_clear(scaled);
    return out;
}

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
    bool second;
};

static int compare_listed(const void *va, const void *vb)
{
    const struct listed *a = va, *b = vb;

    if (a->num != b->num)
        return a->num < b->num ? -1 : 1;
    if (a->den != b->den)
        return a->den < b->den ? -1 : 1;
    return a->second - b->second;
}

/* All gearings by the numbers of their |e|, once. */
static enum cc_status list_gearings(struct cc_planner *planner, struct cc_error *err)
{
    size_t n = planner->gearing_count;
    struct listed *at;

    if (planner->listed != NULL || n == 0)
        return CC_OK;
    at = malloc(n * sizeof *at);
    planner->listed = malloc(n * sizeof *planner->listed);
    for (size_t g = 0; g < n && at != NULL && planner->listed != NULL; g++) {
        const struct cci_gearing *gearing = &planner->gearings[g];
        uint64_t num = 1, den = 1;
        for (unsigned i = 0; i < gearing->pairs; i++) {
            num *= gearing->driver[i];
            den *= gearing->driven[i];
        }
        uint64_t common = cci_gcd(num, den);
        at[g] = (struct listed){ num / common, den / common, (uint32_t)g, gearing->second };
    }
    if (at == NULL || planner->listed == NULL) {
        free(at);
        free(planner->listed);
        planner->listed = NULL;
        return cc_fail(err, CC_ENOMEM, "out of memory");
    }
    qsort(at, n, sizeof *at, compare_listed);
    for (size_t g = 0; g < n; g++)
        planner->listed[g] = at[g].gearing;
    free(at);
    return CC_OK;
}

static void search_all(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;
    uint64_t n = search->divisions, within = tolerance_scaled(search), m;
    bool skip = mpq_sgn(search->request->offset) == 0 &&
                mpq_sgn(search->request->most_turns) == 0;
    struct closing closest = { 0 };

    uint64_t j = cci_inverse(search->block % n, n), widest = n - j > j ? n - j : j;     /* neighbours: rows apart */
    search->status = list_gearings(planner, search->err);
    for (size_t at = 0; at < planner->gearing_count && search->status == CC_OK; at++) {
        size_t g = planner->listed[at];
        for (size_t i = 0; i < planner->spot_count; i++) {
            const struct cci_spot *spot = &planner->spots[i];
            uint64_t cp = spot->circle * planner->gearing_p[g];     /* below 2^61 */
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
    search->status = cci_build_gearings(search->planner, search->err);
    if (search->status != CC_OK)
        return;
    if (search->in_words && search->block == 1 && search->divisions < UINT64_C(1) << 32)
        search_by_value(search);
    else
        search_all(search);
}
