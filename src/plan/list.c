/*
 * list.c: what a list of positions costs on one setting, and how far off it is.
 *
 * A list of 10^5 positions is looked at for every circle and every pair of circles, so this is where
 * the time goes. Positions that have a common denominator below 2^50 are worked in machine integers:
 *
 *     position = a / D,  |a| <= 1000 D < 2^60;  unit * ratio = s / t, s < 2^62;  T = D t < 2^62
 *     units wanted = a s / T, and |a s| < 2^122 fits 128 bits
 *     units = that rounded, halves away from zero;  error = (units T - a s) / T units, |error T| <= T / 2
 *
 * so every error has the same denominator T and the worst is found by comparing whole numbers. Other
 * lists go through GMP, number by number, with the same result. Either way a setting is given up at the first position that
 * is further off than the best so far allows: of a few positions one mostly is.
 *
 * Two positions nearer to each other than the setting can tell apart may fall in one hole: that is not
 * refused as it is for divisions, since each is still as near to its own angle as its error says.
 */
#include <stdlib.h>

#include "crankcard/number.h"
#include "plan/search.h"

#define MOST_WORD (UINT64_C(1) << 62)

/* ---- before the search: whole numbers ---- */

/*
 * The crank turns of a movement from angle to angle, whole ones added up, and how near to a whole number each is: on a circle of
 * 2^j holes or more a movement can have a whole turn more or less only if it is nearer than 2^-j. These come first in
 * list->by_nearness.
 */
static void count_turns(struct cci_list *list, const struct cc_planner *planner, size_t n, unsigned char *nearness)
{
    cci_u128 turn = cci_wide_product(list->den, planner->worm_q);
    size_t next[CCI_NEARNESSES] = { 0 };

    for (size_t i = 0; i < n; i++) {
        cci_u128 all = cci_wide_product(cci_size_of(list->at[i] - (i > 0 ? list->at[i - 1] : 0)), planner->worm_p);
        cci_u128 whole = cci_wide_quotient(all, turn), apart = cci_wide_sub(all, cci_wide_times(turn, cci_wide_low(whole)));
        list->turns = cci_wide_add(list->turns, whole);
        if (cci_wide_less(turn, cci_wide_add(apart, apart)))
            apart = cci_wide_sub(turn, apart);
        nearness[i] = 0;
        bool same = (cci_wide_high(apart) | cci_wide_low(apart)) == 0;      /* both ends are rounded alike */
        for (apart = cci_wide_add(apart, apart); !same && nearness[i] < CCI_NEARNESSES - 1 && cci_wide_less(apart, turn);
             nearness[i]++)
            apart = cci_wide_add(apart, apart);
        list->near[nearness[i]]++;
    }
    for (unsigned j = CCI_NEARNESSES - 1; j > 0; j--) {
        next[j - 1] = list->near[j];
        list->near[j - 1] += list->near[j];
    }
    for (size_t i = 0; i < n; i++)
        list->by_nearness[next[nearness[i]]++] = (uint32_t)i;
}

static enum cc_status prepare_turns(struct cci_list *list, const struct cc_planner *planner, size_t n, struct cc_error *err)
{
    unsigned char *nearness = malloc(n);

    list->by_nearness = malloc(n * sizeof *list->by_nearness);
    if (nearness != NULL && list->by_nearness != NULL)
        count_turns(list, planner, n, nearness);
    free(nearness);
    return nearness != NULL && list->by_nearness != NULL ? CC_OK : cc_fail(err, CC_ENOMEM, "out of memory");
}

void cci_list_clear(struct cci_list *list)
{
    free(list->by_nearness);
    free(list->at);
}

/* list->at: every position in 1/den of a turn; left NULL where that is too fine. */
enum cc_status cci_list_prepare(struct cci_list *list, const struct cci_search *search,
                                struct cc_error *err)
{
    const struct cc_request *r = search->request;
    mpz_t count;

    if (search->fine || search->grain_den > CCI_MOST_LIST_DENOMINATOR)
        return CC_OK;
    list->at = malloc(r->position_count * sizeof *list->at);
    if (list->at == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    list->den = search->grain_den;
    mpz_init(count);
    for (size_t i = 0; i < r->position_count; i++) {
        mpz_divexact(count, mpq_denref(search->grain), mpq_denref(r->position[i]));
        mpz_mul(count, count, mpq_numref(r->position[i]));
        list->at[i] = cc_get_i64(count);
    }
    mpz_clear(count);
    return search->planner->worm_p > 0 ? prepare_turns(list, search->planner, r->position_count, err) : CC_OK;
}

/* ---- the movements ---- */

/* What the movements of a list add up to. */
struct movements {
    struct cci_splitter splitter;
    cci_u128 travel;    /* units */
    cci_u128 turns;     /* whole crank turns */
};

/*
 * plan->forward says whether every movement goes forward. Where the list itself turns back every method has to, so
 * such a movement says nothing about this one.
 */
static void add_movement(struct movements *m, struct cc_plan *plan, int64_t units)
{
    struct cci_split split = cci_split_with(&m->splitter, units);

    if (units >= 0 && (split.pin < 0 || split.plate < 0))
        plan->forward = false;
    m->travel = cci_wide_add(m->travel, cci_wide(cci_split_travel(plan, split)));
    m->turns = cci_wide_add(m->turns, cci_wide(cci_size_of(units) / plan->unit));
}

static void finish_travel(struct cc_plan *plan, const struct movements *m)
{
    uint64_t words[2] = { cci_wide_low(m->travel), cci_wide_high(m->travel) };

    if (cc_plan_is_direct(plan))
        return;
    mpz_import(mpq_numref(plan->travel), 2, -1, sizeof words[0], 0, 0, words);
    cc_set_u64(mpq_denref(plan->travel), plan->unit);
    mpq_canonicalize(plan->travel);
}

/* ---- in machine integers ---- */

/* a s / t rounded, halves away from zero; *error = rounded * t - a s. */
static int64_t round_quotient(int64_t *error, int64_t a, uint64_t s, uint64_t t)
{
    uint64_t rest, quotient = cci_wide_divide(&rest, cci_wide_product(cci_size_of(a), s), t);
    int64_t left = -(int64_t)rest;
    if (rest >= t - rest) {
        quotient++;
        left += (int64_t)t;
    }
    *error = a < 0 ? -left : left;
    return a < 0 ? -(int64_t)quotient : (int64_t)quotient;
}

/* Whole crank turns of all movements together, on a circle or pair of the worm: most do not depend on it. */
static cci_u128 turns_of(const struct cci_list *list, uint64_t unit, const struct cc_planner *planner, uint64_t s, uint64_t t)
{
    cci_u128 turns = list->turns, turn = cci_wide_product(list->den, planner->worm_q);
    unsigned j = 0;

    while (j < CCI_NEARNESSES - 1 && unit >> (j + 1) != 0)
        j++;
    for (size_t k = 0; k < list->near[j]; k++) {
        size_t i = list->by_nearness[k];
        int64_t error, before = i > 0 ? list->at[i - 1] : 0;
        int64_t units = round_quotient(&error, list->at[i], s, t) - round_quotient(&error, before, s, t);
        cci_u128 whole = cci_wide_quotient(cci_wide_product(cci_size_of(list->at[i] - before), planner->worm_p), turn);
        turns = cci_wide_sub(cci_wide_add(turns, cci_wide(cci_size_of(units) / unit)), whole);
    }
    return turns;
}

/* most units in whole 1/t of one, rounded down; UINT64_MAX where that is more than any error. */
static uint64_t most_error(const mpq_t most, uint64_t t)
{
    uint64_t out;
    mpz_t whole;

    mpz_init(whole);
    cc_set_u64(whole, t);
    mpz_mul(whole, whole, mpq_numref(most));
    mpz_fdiv_q(whole, whole, mpq_denref(most));
    out = mpz_sizeinbase(whole, 2) > 62 ? UINT64_MAX : cc_get_u64(whole);
    mpz_clear(whole);
    return out;
}

/* s and t, and whether the numbers of this setting fit. */
static bool set_words(uint64_t *s, uint64_t *t, const struct cci_list *list, const mpq_t scale)
{
    if (list->at == NULL || mpz_sizeinbase(mpq_numref(scale), 2) > 62 || mpz_sizeinbase(mpq_denref(scale), 2) > 62)
        return false;
    *s = cc_get_u64(mpq_numref(scale));
    *t = cc_get_u64(mpq_denref(scale));
    if (*t > MOST_WORD / list->den)
        return false;
    *t *= list->den;
    return true;
}

/* Whether all positions are off by most or less; asked first, for splitting the movements is the larger part of the work. */
static bool all_within(const struct cci_list *list, size_t n, uint64_t s, uint64_t t, uint64_t most)
{
    int64_t error = 0;

    for (size_t i = 0; i < n && cci_size_of(error) <= most; i++)
        (void)round_quotient(&error, list->at[i], s, t);
    return cci_size_of(error) <= most;
}

/* Returns false where a position is off by more than most. */
static bool figures_in_words(struct cc_plan *plan, struct cci_search *search, uint64_t s, uint64_t t, uint64_t most)
{
    const struct cci_list *list = &search->list;
    struct movements m = { .travel = cci_wide(0), .turns = cci_wide(0) };
    uint64_t worst = 0, worst_pitch = 0;
    int64_t last = 0, last_error = 0;

    if (most != UINT64_MAX && !all_within(list, search->request->position_count, s, t, most))
        return false;
    cci_splitter_init(&m.splitter, plan);
    for (size_t i = 0; i < search->request->position_count; i++) {
        int64_t error, units = round_quotient(&error, list->at[i], s, t);
        uint64_t size = cci_size_of(error), pitch = cci_size_of(error - last_error);
        if (size > worst)
            worst = size;
        if (pitch > worst_pitch)
            worst_pitch = pitch;
        add_movement(&m, plan, units - last);
        last = units;
        last_error = error;
    }
    finish_travel(plan, &m);
    search->turns = m.turns;
    cc_set_u64(mpq_numref(plan->worst_error), worst);
    cc_set_u64(mpq_denref(plan->worst_error), t);
    mpq_canonicalize(plan->worst_error);
    cc_set_u64(mpq_numref(plan->worst_pitch), worst_pitch);
    cc_set_u64(mpq_denref(plan->worst_pitch), t);
    mpq_canonicalize(plan->worst_pitch);
    return true;
}

/* ---- in exact fractions ---- */

/* Returns false where a position is off by more than most units; NULL: no matter by how much. */
static bool figures_in_fractions(struct cc_plan *plan, struct cci_search *search, const mpq_t scale, mpq_srcptr most)
{
    const struct cc_request *r = search->request;
    struct movements m = { .travel = cci_wide(0), .turns = cci_wide(0) };
    mpq_t units_wanted, error, last_error, pitch;
    mpz_t units, before;
    bool near = true;

    mpq_inits(units_wanted, error, last_error, pitch, NULL);
    mpz_inits(units, before, NULL);
    cci_splitter_init(&m.splitter, plan);
    for (size_t i = 0; i < r->position_count && near; i++) {
        mpq_mul(units_wanted, r->position[i], scale);
        cc_rational_round(units, units_wanted);
        mpq_set_z(error, units);
        mpq_sub(error, error, units_wanted);
        mpq_sub(pitch, error, last_error);
        mpq_set(last_error, error);
        mpq_abs(error, error);
        mpq_abs(pitch, pitch);
        near = most == NULL || mpq_cmp(error, most) <= 0;
        if (mpq_cmp(error, plan->worst_error) > 0)
            mpq_set(plan->worst_error, error);
        if (mpq_cmp(pitch, plan->worst_pitch) > 0)
            mpq_set(plan->worst_pitch, pitch);
        mpz_sub(before, units, before);
        add_movement(&m, plan, cc_get_i64(before));
        mpz_swap(before, units);
    }
    finish_travel(plan, &m);
    search->turns = m.turns;
    mpz_clears(before, units, NULL);
    mpq_clears(pitch, last_error, error, units_wanted, NULL);
    return near;
}

static void limit_error(mpq_t most, uint64_t off, uint64_t of, const mpq_t scale)
{
    cc_set_u64(mpq_numref(most), off);
    cc_set_u64(mpq_denref(most), of);
    mpq_canonicalize(most);
    mpq_mul(most, most, scale);
}

bool cci_list_figures(struct cc_plan *plan, struct cci_search *search)
{
    uint64_t off, of = 0, s = 0, t = 0;
    mpq_t scale, most;

    mpq_inits(scale, most, NULL);
    cci_scale(scale, plan->unit, plan->ratio);
    bool words = set_words(&s, &t, &search->list, scale), worm = !cc_plan_is_direct(plan) && plan->train.pairs == 0;
    if (words && worm && !search->planner->long_way)
        search->turns = turns_of(&search->list, plan->unit, search->planner, s, t);
    /* The errors of exact ones are alike. */
    bool good = !cci_is_outdone(search) && (plan->exact || cci_error_left(&off, &of, search, plan->holds, plan->effort));
    if (good && of > 0)
        limit_error(most, off, of, scale);
    if (good)
        good = words ? figures_in_words(plan, search, s, t, of > 0 ? most_error(most, t) : UINT64_MAX)
                     : figures_in_fractions(plan, search, scale, of > 0 ? most : NULL);
    mpq_div(plan->worst_error, plan->worst_error, scale);
    mpq_div(plan->worst_pitch, plan->worst_pitch, scale);
    mpq_clears(scale, most, NULL);
    return good;
}
