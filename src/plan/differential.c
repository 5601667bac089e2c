/*
 * differential.c: differential indexing. The plate is geared to the spindle and turns e times for
 * each of its turns; relative to the plate the pin moves t, and theta = t/(R - e).
 *
 * With R - e = p/q in lowest terms, a train and a circle C are exact for N when q divides C and N
 * divides p C/q. Every train of two and of four of the head's gears is listed once for a head, as p/q;
 * a request then costs a remainder or two for each.
 */
#include <stdlib.h>
#include <string.h>

#include "core/fit.h"
#include "plan/search.h"

/* ---- listing the trains of a head ---- */

/* One unsigned ratio: drivers / driven in lowest terms, and the gears that give it. */
struct ratio {
    uint32_t num, den;      /* two gears of at most 10^4 teeth each */
    uint32_t spread;        /* least_spread(), so that like gears come first */
    uint16_t driver[2], driven[2];
    uint8_t pairs;
    uint8_t can;            /* bit 0: fits with the fewest idlers, bit 1: with one more */
    uint8_t idlers_back;    /* of bit 1, as in cc_train */
};

struct trains {
    struct cci_gears gears;
    size_t in_all;                  /* gears, alike ones counted */
    struct ratio *at;
    size_t n, room;
    uint64_t tried;                 /* arrangements that fit, in either direction */
    bool failed;
};

/* Below 2^32: CC_MAX_TEETH / CC_MIN_TEETH is below 2^11. */
static uint32_t spread_of(unsigned a, unsigned b)
{
    return (uint32_t)(((uint64_t)(a > b ? a : b) << 20) / (a > b ? b : a));
}

static uint32_t larger(uint32_t a, uint32_t b)
{
    return a > b ? a : b;
}

static void add_ratio(struct trains *trains, const struct ratio *ratio)
{
    if (trains->n == trains->room) {
        size_t room = trains->room == 0 ? 1024 : 2 * trains->room;
        struct ratio *more = realloc(trains->at, room * sizeof *more);
        if (more == NULL) {
            trains->failed = true;
            return;
        }
        trains->at = more;
        trains->room = room;
    }
    trains->at[trains->n++] = *ratio;
}

static void lowest_terms(struct ratio *ratio)
{
    uint32_t g = (uint32_t)cci_gcd(ratio->num, ratio->den);
    ratio->num /= g;
    ratio->den /= g;
}

/* How unlike the gears of the widest pair are, paired as alike as they can be: a choice of gears is judged by it, not how it stands. */
static uint32_t least_spread(const struct cc_train *t)
{
    uint32_t straight = spread_of(t->driver[0], t->driven[0]), crossed;

    if (t->pairs == 1)
        return straight;
    straight = larger(straight, spread_of(t->driver[1], t->driven[1]));
    crossed = larger(spread_of(t->driver[0], t->driven[1]), spread_of(t->driver[1], t->driven[0]));
    return straight < crossed ? straight : crossed;
}

/* One arrangement into the list: what its train can, bits as in ratio. */
static void add_train(struct trains *trains, const struct cc_train *t, unsigned can)
{
    struct ratio ratio = { .num = 1, .den = 1, .pairs = (uint8_t)t->pairs, .can = (uint8_t)can,
                           .idlers_back = (uint8_t)t->idlers_back };

    for (unsigned i = 0; i < t->pairs; i++) {
        ratio.num *= t->driver[i];
        ratio.den *= t->driven[i];
        ratio.driver[i] = (uint16_t)t->driver[i];
        ratio.driven[i] = (uint16_t)t->driven[i];
    }
    ratio.spread = least_spread(t);
    lowest_terms(&ratio);
    add_ratio(trains, &ratio);
}

static bool is_same_arrangement(const struct cc_train *a, const struct cc_train *b)
{
    return memcmp(a->driver, b->driver, sizeof a->driver) == 0 && memcmp(a->driven, b->driven, sizeof a->driven) == 0;
}

/* The gears of t, taken from the set, with the fewest idlers and with one more: each way as it fits best. */
static void add_choice(struct trains *trains, const struct cc_train *t)
{
    struct cci_arranged way[2];
    struct cc_train fewest = *t;

    fewest.idlers = cc_train_idlers(t->pairs, true);
    cci_arrange_ways(way, 2, &fewest, &trains->gears, 0);
    for (unsigned more = 0; more < 2; more++)
        if (2 * t->pairs + fewest.idlers + more <= trains->in_all)
            trains->tried += way[more].fitting;
    if (way[0].fitting > 0 && way[1].fitting > 0 && is_same_arrangement(&way[0].train, &way[1].train)) {
        add_train(trains, &way[1].train, 3);
        return;
    }
    if (way[0].fitting > 0)
        add_train(trains, &way[0].train, 1);
    if (way[1].fitting > 0)
        add_train(trains, &way[1].train, 2);
}

/* Take one gear of each index from the set; false, and nothing taken, where it does not have them. */
static bool take(unsigned left[], const size_t index[], int n)
{
    for (int a = 0; a < n; a++) {
        if (left[index[a]] == 0) {
            while (a-- > 0)
                left[index[a]]++;
            return false;
        }
        left[index[a]]--;
    }
    return true;
}

static void put_back(unsigned left[], const size_t index[], int n)
{
    for (int a = 0; a < n; a++)
        left[index[a]]++;
}

static void list_simple(struct trains *trains)
{
    struct cci_gears *gears = &trains->gears;

    for (size_t i = 0; i < gears->n; i++)
        for (size_t j = 0; j < gears->n; j++) {
            const size_t index[2] = { i, j };
            struct cc_train t = { .pairs = 1, .driver = { gears->tooth[i] }, .driven = { gears->tooth[j] } };
            if (!take(gears->left, index, 2))
                continue;
            add_choice(trains, &t);
            put_back(gears->left, index, 2);
        }
}

static void list_compound(struct trains *trains)
{
    struct cci_gears *gears = &trains->gears;
    size_t n = gears->n;

    for (size_t i = 0; i < n; i++)
        for (size_t j = i; j < n; j++)
            for (size_t k = 0; k < n; k++)
                for (size_t l = k; l < n; l++) {
                    const size_t index[4] = { i, j, k, l };
                    struct cc_train t = { .pairs = 2, .driver = { gears->tooth[i], gears->tooth[j] },
                                          .driven = { gears->tooth[k], gears->tooth[l] } };
                    if (!take(gears->left, index, 4))
                        continue;
                    add_choice(trains, &t);
                    put_back(gears->left, index, 4);
                }
}

/* By value; of one ratio the best train first. Products of 32 bits. */
static int compare_ratios(const void *va, const void *vb)
{
    const struct ratio *a = va, *b = vb;
    uint64_t left = (uint64_t)a->num * b->den, right = (uint64_t)b->num * a->den;

    if (left != right)
        return left < right ? -1 : 1;

#define BY(field) \
    do { \
        if (a->field != b->field) \
            return a->field < b->field ? -1 : 1; \
    } while (0)
    BY(pairs);
    BY(spread);
    BY(driver[0]);
    BY(driver[1]);
    BY(driven[0]);
    BY(driven[1]);
#undef BY
    return 0;
}

/*
 * Put R - e for one ratio into the next place of *end, the plate turning with the crank or (negative) against it; nothing is
 * put there where R - e is not positive. False where no train of the ratio turns that way. The way follows from the idlers: a simple
 * train with 1 and a compound one with 0 turn the plate with the crank, one idler more reverses it, and a reversed
 * head swaps the two.
 */
static bool add_gearing(struct cc_planner *planner, size_t *end, const struct ratio *ratio, bool negative, bool second)
{
    const struct cc_head *head = planner->head;
    unsigned more = negative != head->reversed ? 1U : 0U;

    if ((ratio->can >> more & 1U) == 0)
        return false;
    /* P/Q -+ num/den = (P den -+ num Q) / (Q den) */
    uint64_t plus = planner->worm_p * ratio->den, minus = planner->worm_q * ratio->num;
    if (!negative && plus <= minus)
        return true;
    uint64_t p = negative ? plus + minus : plus - minus, q = planner->worm_q * ratio->den;
    uint64_t g = cci_gcd(p, q);
    planner->gearing_p[*end] = p / g;
    planner->gearings[(*end)++] = (struct cci_gearing){
        q / g,
        { ratio->driver[0], ratio->driver[1] },
        { ratio->driven[0], ratio->driven[1] },
        ratio->pairs,
        (uint8_t)(cc_train_idlers(ratio->pairs, true) + more),
        more > 0 ? ratio->idlers_back : 0,
        second,
    };
    return true;
}

/* Room for so many gearings; false, and none, where memory ran out. */
static bool make_room(struct cc_planner *planner, size_t n)
{
    planner->gearings = malloc(n * sizeof *planner->gearings);
    planner->gearing_p = malloc(n * sizeof *planner->gearing_p);
    planner->sieved = malloc(n * sizeof *planner->sieved);
    if (planner->gearings != NULL && planner->gearing_p != NULL && planner->sieved != NULL)
        return true;
    free(planner->sieved);
    free(planner->gearing_p);
    free(planner->gearings);
    planner->sieved = NULL;
    planner->gearing_p = NULL;
    planner->gearings = NULL;
    return false;
}

static void swap_gearings(struct cc_planner *planner, size_t a, size_t b)
{
    struct cci_gearing gearing = planner->gearings[a];
    uint64_t p = planner->gearing_p[a];

    planner->gearings[a] = planner->gearings[b];
    planner->gearing_p[a] = planner->gearing_p[b];
    planner->gearings[b] = gearing;
    planner->gearing_p[b] = p;
}

/*
 * The best train of each ratio each way, R - e ascending: first those that turn the plate with the crank, the largest ratio
 * first, then the others. Of one ratio, the best stands first.
 */
static void keep_best(struct cc_planner *planner, const struct trains *trains)
{
    size_t ahead = 0, behind = trains->n;
    bool with = false, against = false;

    for (size_t i = 0; i < trains->n; i++) {
        const struct ratio *ratio = &trains->at[i];
        if (i == 0 || ratio->num != ratio[-1].num || ratio->den != ratio[-1].den)
            with = against = false;
        with = with || add_gearing(planner, &ahead, ratio, false, against);
        against = against || add_gearing(planner, &behind, ratio, true, with);
    }
    for (size_t i = 0; i < ahead / 2; i++)
        swap_gearings(planner, i, ahead - 1 - i);
    planner->gearing_count = ahead + behind - trains->n;
    memmove(planner->gearings + ahead, planner->gearings + trains->n, (behind - trains->n) * sizeof *planner->gearings);
    memmove(planner->gearing_p + ahead, planner->gearing_p + trains->n, (behind - trains->n) * sizeof *planner->gearing_p);
}

enum cc_status cci_build_gearings(struct cc_planner *planner, struct cc_error *err)
{
    struct trains trains = { .in_all = planner->head->gears.n };
    const struct cc_head *head = planner->head;
    struct cci_bracket bracket;

    if (planner->gearings_built || planner->worm_p == 0 || head->gears.n < 3)
        return CC_OK;
    cci_gears_init(&trains.gears, head->gears.at, head->gears.n, head->least_sum, head->most_sum);
    if (cci_bracket_prepare(&bracket, &head->bracket, CC_FOR_DIFFERENTIAL))
        trains.gears.bracket = &bracket;
    trains.gears.any = true;
    list_simple(&trains);
    list_compound(&trains);
    if (!trains.failed && trains.n > 0) {
        qsort(trains.at, trains.n, sizeof *trains.at, compare_ratios);
        trains.failed = !make_room(planner, 2 * trains.n);
        if (!trains.failed)
            keep_best(planner, &trains);
    }
    free(trains.at);
    if (trains.failed)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    planner->trains_tried = trains.tried;
    memcpy(planner->trains_unfit, trains.gears.unfit, sizeof planner->trains_unfit);
    planner->gearings_built = true;
    return CC_OK;
}

/* ---- using them ---- */

/*
 * A train is exact with circle C only if the grain's denominator d divides C p, that is if d / gcd(d, C) divides p.
 * These values, one a circle, are tried on the p of every train, which costs a multiplication each and rules most
 * trains out. A value that is a multiple of another is left out: whatever it divides, the other divides too.
 */
struct sieve {
    uint64_t rest[CC_MAX_CIRCLES];      /* values of d / gcd(d, C), none a multiple of another */
    struct cci_divisor divisor[CC_MAX_CIRCLES];
    size_t n;
    bool any;                           /* there are more than the table holds, or no d */
};

static void add_rest(struct sieve *sieve, uint64_t rest)
{
    size_t kept = 0;

    for (size_t k = 0; k < sieve->n; k++)
        if (rest % sieve->rest[k] == 0)
            return;
    for (size_t k = 0; k < sieve->n; k++)
        if (sieve->rest[k] % rest != 0)
            sieve->rest[kept++] = sieve->rest[k];
    sieve->n = kept;
    sieve->any = sieve->n == CC_MAX_CIRCLES;
    if (!sieve->any)
        sieve->rest[sieve->n++] = rest;
}

static void make_sieve(struct sieve *sieve, const struct cci_search *search)
{
    const struct cc_planner *planner = search->planner;

    sieve->n = 0;
    sieve->any = mpq_sgn(search->grain) == 0;
    for (size_t i = 0; i < planner->spot_count && !sieve->any; i++)
        add_rest(sieve, search->grain_den / cci_gcd(search->grain_den, planner->spots[i].circle));
    for (size_t k = 0; k < sieve->n; k++)
        cci_divisor_set(&sieve->divisor[k], sieve->rest[k]);
}

static bool passes(const struct sieve *sieve, uint64_t p)
{
    if (sieve->any)
        return true;
    for (size_t i = 0; i < sieve->n; i++)
        if (cci_divides(&sieve->divisor[i], p))
            return true;
    return false;
}

/*
 * The gearings that can be exact with some circle. Two rows of the table ask for them in one search; the second finds
 * them here.
 */
static void sieve_gearings(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;
    struct sieve sieve;

    if (planner->sieved_den == search->grain_den && mpq_sgn(search->grain) != 0)
        return;
    make_sieve(&sieve, search);
    planner->sieved_count = 0;
    for (size_t g = 0; g < planner->gearing_count; g++)
        if (passes(&sieve, planner->gearing_p[g]))
            planner->sieved[planner->sieved_count++] = (uint32_t)g;
    planner->sieved_den = mpq_sgn(search->grain) != 0 ? search->grain_den : 0;
}

/* Of n movements of k divisions each, k (R - e) / N crank turns with R - e = p/q. */
static cci_u128 whole_turns(uint64_t n, uint64_t k, uint64_t p, uint64_t q)
{
    cci_u128 each = cci_wide_quotient(cci_wide_product(k, p), cci_wide_product(q, n));

    return cci_wide_times(each, n);
}

static void count_unfit(struct cc_searched *searched, const struct cc_planner *planner)
{
    searched->unfit = 0;
    for (unsigned key = 0; key < CC_FIT_KEYS; key++) {
        searched->unfit_by[key] = planner->trains_unfit[key];
        searched->unfit += planner->trains_unfit[key];
    }
}

/*
 * The largest q with which a train can be exact with any circle. One division at a time a C p/q / N is whole only if
 * q / gcd(a, q) divides C (a/N is the grain; p and q have no common factor); by blocks k = q N / gcd(q N, C p) is at least q/C,
 * and below N.
 */
static uint64_t largest_q(const struct cci_search *search, bool blocks)
{
    unsigned circle = 0;

    for (size_t i = 0; i < search->planner->spot_count; i++)
        if (search->planner->spots[i].circle > circle)
            circle = search->planner->spots[i].circle;
    uint64_t times = blocks ? search->divisions : cc_get_u64(mpq_numref(search->grain));
    return times > UINT64_MAX / CC_MAX_CIRCLE || mpq_sgn(search->grain) == 0 ? UINT64_MAX : times * circle;
}

static void search_exact(struct cci_search *search, bool blocks)
{
    struct cc_planner *planner = search->planner;

    if (search->head->gears.n == 0 || search->fine || (blocks && !search->free_block))
        return;
    search->status = cci_build_gearings(planner, search->err);
    search->answer.searched.trains = planner->trains_tried;
    count_unfit(&search->answer.searched, planner);
    if (search->status != CC_OK)
        return;
    sieve_gearings(search);
    uint64_t most = largest_q(search, blocks);
    for (size_t k = 0; k < planner->sieved_count && search->status == CC_OK; k++) {
        size_t g = planner->sieved[k];
        uint64_t p = planner->gearing_p[g], q = planner->gearings[g].q;
        for (size_t i = 0; i < planner->spot_count && q <= most; i++) {
            const struct cci_spot *spot = &planner->spots[i];
            uint64_t block = search->block;
            planner->examined++;
            if (!cci_circle_allowed(search, spot->circle, spot->circle))
                continue;
            if (blocks)
                block = cci_exact_block(search, spot->circle, p, q);
            else if (!cci_is_exact(search, spot->circle, p, q))
                continue;
            if (block == 0)
                continue;
            cci_geared_candidate(search, spot, g);
            search->scratch.block = block;
            if (search->circle)
                search->turns = whole_turns(search->divisions, block, p, q);
            cci_offer_exact(search);
        }
    }
}

void cci_find_differential(struct cci_search *search)
{
    search_exact(search, false);
}

void cci_find_differential_blocks(struct cci_search *search)
{
    search_exact(search, true);
}
