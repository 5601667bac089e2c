/* train.c: what a change-gear train does, and which train comes nearest to a wanted quotient. */
#include "crankcard/train.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "core/fit.h"
#include "core/wide.h"
#include "crankcard/number.h"

void cc_train_ratio(mpq_t ratio, const struct cc_train *train)
{
    mpq_set_ui(ratio, train->pairs > 0 ? 1 : 0, 1);
    for (unsigned i = 0; i < train->pairs; i++) {
        mpz_mul_ui(mpq_numref(ratio), mpq_numref(ratio), train->driver[i]);
        mpz_mul_ui(mpq_denref(ratio), mpq_denref(ratio), train->driven[i]);
    }
    mpq_canonicalize(ratio);
}

unsigned cc_train_idlers(unsigned pairs, bool same_way)
{
    unsigned idlers = (pairs % 2 == 0) == same_way ? 0 : 1;
    return pairs == 1 && idlers == 0 ? 2 : idlers;
}

/* ---- searching ----
 *
 * A train's quotient is num/den, num the product of the gears above the line (the top), den of those
 * below (the bottom). It is put together from a left and a right half, both sorted by their
 * own quotient: as the left grows, the right that brings the product to the wanted number
 * sinks, so one pass over both meets every left with its best rights. Two ways to halve:
 *
 *   by the line    left = the top, right = 1/bottom. n^3 halves for 6 gears; used where pairs mesh freely.
 *   by the pairs   left = all meshing pairs but one, right = the last. Used where the limits leave few
 *                  meshing pairs: every half then keeps the limits, and nothing is tried in vain.
 */

/*
 * A search by the pairs is chosen only below these numbers of halves: above them it takes too much memory, or more
 * time than one by the line.
 */
#define MOST_PAIR_HALVES 1000000
#define PAIR_HALVES_PER_LINE_HALF 16

struct half {
    uint64_t num, den;              /* products of at most 3 counts of at most 10^4: at most 10^12 */
    uint8_t top[CC_MAX_PAIRS], bottom[CC_MAX_PAIRS];    /* places in gears.tooth */
    uint8_t tops, bottoms;
};

struct halves {
    struct half *at;
    size_t n, room;
};

struct candidate {
    uint64_t num, den;
    cci_u128 off;                   /* |num q - den p|, where wanted fits */
    unsigned total;                 /* teeth of all its gears */
    struct cc_train train;
};

struct state {
    const struct cc_train_search *search;
    struct cci_gears gears;
    struct cci_bracket bracket;
    bool fits;                      /* wanted fits the 128-bit comparisons */
    uint64_t p, q;                  /* wanted = p/q, where fits */
    mpz_t big_p, big_q, t, u;       /* wanted, and room to compare, where not */
    struct candidate *best;         /* sorted, best first */
    size_t n;                       /* at most search->most */
};

static bool make_room(struct halves *list, size_t room)
{
    struct half *at = realloc(list->at, room * sizeof *at);

    if (at == NULL)
        return false;
    list->at = at;
    list->room = room;
    return true;
}

static bool add_half(struct halves *list, const struct half *half)
{
    if (list->n == list->room && !make_room(list, list->room == 0 ? 256 : list->room * 2))
        return false;
    list->at[list->n++] = *half;
    return true;
}

static int compare_halves(const void *a, const void *b)
{
    const struct half *x = a, *y = b;
    return cci_wide_compare(cci_wide_product(x->num, y->den), cci_wide_product(y->num, x->den));
}

static void sort_halves(struct halves *list)
{
    if (list->n > 1)
        qsort(list->at, list->n, sizeof *list->at, compare_halves);
}

static void multiply(mpz_t out, const mpz_t a, uint64_t b)
{
    mpz_t factor;

    mpz_init(factor);
    cc_set_u64(factor, b);
    mpz_mul(out, a, factor);
    mpz_clear(factor);
}

/* num/den against wanted. In 128 bits: num <= 10^12 and q < 2^46, so at most 2^86. */
static int compare_to_wanted(struct state *st, uint64_t num, uint64_t den)
{
    if (st->fits)
        return cci_wide_compare(cci_wide_product(num, st->q), cci_wide_product(den, st->p));
    multiply(st->t, st->big_q, num);
    multiply(st->u, st->big_p, den);
    return mpz_cmp(st->t, st->u);
}

static cci_u128 distance(const struct state *st, uint64_t num, uint64_t den)
{
    return cci_wide_distance(cci_wide_product(num, st->q), cci_wide_product(den, st->p));
}

static void big_distance(mpz_t out, const struct state *st, uint64_t num, uint64_t den)
{
    mpz_t product;

    mpz_init(product);
    multiply(out, st->big_q, num);
    multiply(product, st->big_p, den);
    mpz_sub(out, out, product);
    mpz_abs(out, out);
    mpz_clear(product);
}

/*
 * |a - wanted| against |b - wanted|, where |num/den - p/q| = |num q - den p| / (den q). In 128 bits: the
 * distance is below 2^86 and den at most 10^12 < 2^40, together below 2^126.
 */
static int compare_errors(struct state *st, const struct candidate *a, const struct candidate *b)
{
    if (st->fits)
        return cci_wide_compare(cci_wide_times(a->off, b->den), cci_wide_times(b->off, a->den));
    big_distance(st->t, st, a->num, a->den);
    multiply(st->t, st->t, b->den);
    big_distance(st->u, st, b->num, b->den);
    multiply(st->u, st->u, a->den);
    return mpz_cmp(st->t, st->u);
}

static int compare_counts(const unsigned *a, const unsigned *b, unsigned n)
{
    for (unsigned i = 0; i < n; i++)
        if (a[i] != b[i])
            return a[i] < b[i] ? -1 : 1;
    return 0;
}

static int compare_candidates(struct state *st, const struct candidate *a, const struct candidate *b)
{
    int c = compare_errors(st, a, b);
    if (c == 0)
        c = compare_counts(&a->train.pairs, &b->train.pairs, 1);
    if (c == 0)
        c = compare_counts(&a->total, &b->total, 1);
    if (c == 0)
        c = compare_counts(a->train.driver, b->train.driver, a->train.pairs);
    if (c == 0)
        c = compare_counts(a->train.driven, b->train.driven, a->train.pairs);
    return c;
}

/* Whether the set has all the gears of both halves at once. */
static bool gears_suffice(const struct cci_gears *gears, const struct half *left,
                          const struct half *right)
{
    uint8_t used[2 * CC_MAX_PAIRS];
    unsigned n = 0;

    for (unsigned i = 0; i < left->tops; i++)
        used[n++] = left->top[i];
    for (unsigned i = 0; i < left->bottoms; i++)
        used[n++] = left->bottom[i];
    for (unsigned i = 0; i < right->tops; i++)
        used[n++] = right->top[i];
    for (unsigned i = 0; i < right->bottoms; i++)
        used[n++] = right->bottom[i];
    for (unsigned i = 0; i < n; i++) {
        unsigned same = 1;
        for (unsigned j = 0; j < i; j++)
            same += used[j] == used[i];
        if (same > gears->left[used[i]])
            return false;
    }
    return true;
}

static void take_counts(unsigned *out, unsigned *n, const struct cci_gears *gears, const uint8_t *at,
                        unsigned count)
{
    for (unsigned i = 0; i < count; i++)
        out[(*n)++] = gears->tooth[at[i]];
}

static bool complete(struct state *st, struct candidate *c, unsigned pairs, const struct half *left,
                     const struct half *right)
{
    bool inverse = st->search->quotient == CC_DRIVEN_OVER_DRIVERS;
    unsigned *top = inverse ? c->train.driven : c->train.driver;
    unsigned *bottom = inverse ? c->train.driver : c->train.driven;
    unsigned tops = 0, bottoms = 0;

    if (!gears_suffice(&st->gears, left, right))
        return false;
    memset(&c->train, 0, sizeof c->train);
    take_counts(top, &tops, &st->gears, left->top, left->tops);
    take_counts(top, &tops, &st->gears, right->top, right->tops);
    take_counts(bottom, &bottoms, &st->gears, left->bottom, left->bottoms);
    take_counts(bottom, &bottoms, &st->gears, right->bottom, right->bottoms);
    c->train.pairs = pairs;
    c->train.idlers = st->search->idlers[pairs - 1];
    c->total = 0;
    for (unsigned i = 0; i < pairs; i++)
        c->total += c->train.driver[i] + c->train.driven[i];
    cci_gears_take(&st->gears, &c->train);
    bool fits = cci_arrange(&c->train, &st->gears, st->search->last_multiple);
    cci_gears_put_back(&st->gears, &c->train);
    return fits;
}

/* Put c into its place in the list, unless it is there already; where the list is full, the last one goes. */
static void insert(struct state *st, const struct candidate *c)
{
    size_t at = st->n;

    while (at > 0) {
        int order = compare_candidates(st, c, &st->best[at - 1]);
        if (order == 0)
            return;
        if (order > 0)
            break;
        at--;
    }
    if (at == st->search->most)
        return;
    if (st->n < st->search->most)
        st->n++;
    memmove(&st->best[at + 1], &st->best[at], (st->n - 1 - at) * sizeof *c);
    st->best[at] = *c;
}

/* Try left with right; false when it, and so everything beyond it, is too far off to be listed. */
static bool offer(struct state *st, unsigned pairs, const struct half *left,
                  const struct half *right)
{
    struct candidate c;

    c.num = left->num * right->num;
    c.den = left->den * right->den;
    c.off = st->fits ? distance(st, c.num, c.den) : cci_wide(0);
    if (st->n == st->search->most && compare_errors(st, &c, &st->best[st->n - 1]) > 0)
        return false;
    if (complete(st, &c, pairs, left, right))
        insert(st, &c);
    return true;
}

/* Whether left with right reaches wanted or passes it. */
static bool reaches(struct state *st, const struct half *left, const struct half *right)
{
    return compare_to_wanted(st, left->num * right->num, left->den * right->den) >= 0;
}

/* Offer left's best rights; right[above] and up reach wanted or pass it. */
static void offer_around(struct state *st, unsigned pairs, const struct half *left, const struct halves *right, size_t above)
{
    for (size_t j = above; j < right->n && offer(st, pairs, left, &right->at[j]); j++)
        ;
    for (size_t j = above; j > 0 && offer(st, pairs, left, &right->at[j - 1]); j--)
        ;
}

/* From the middle up, then down: near the ends no right brings left close, and each would be the best so far for a moment. */
static void meet(struct state *st, unsigned pairs, const struct halves *left,
                 const struct halves *right)
{
    size_t middle = left->n / 2, above = right->n;

    for (size_t i = middle; i < left->n; i++) {
        while (above > 0 && reaches(st, &left->at[i], &right->at[above - 1]))
            above--;
        offer_around(st, pairs, &left->at[i], right, above);
    }
    above = 0;
    for (size_t i = 0; i < middle; i++) {
        const struct half *l = &left->at[middle - 1 - i];
        while (above < right->n && !reaches(st, l, &right->at[above]))
            above++;
        offer_around(st, pairs, l, right, above);
    }
}

/*
 * Products of gears, each with the places of its gears below it in the same word: 40 bits and 3 times 6. Sorted as words,
 * they are sorted as products.
 */
#define PLACE_BITS 6
#define PLACES_BITS (CC_MAX_PAIRS * PLACE_BITS)
#define DIGIT_BITS 8

_Static_assert(CC_MAX_GEARS <= 1 << PLACE_BITS, "a gear's place fits its bits");

struct products {
    uint64_t *at;
    size_t n;
};

/* Every choice of k gears more, from the first-th on, of which so many are used. */
static void add_choices(struct products *out, const struct cci_gears *gears, uint64_t product, uint64_t places,
                        size_t first, unsigned used, unsigned k)
{
    if (k == 0) {
        out->at[out->n++] = product << PLACES_BITS | places;
        return;
    }
    for (size_t i = first; i < gears->n; i++, used = 0)
        if (used < gears->left[i])
            add_choices(out, gears, product * gears->tooth[i], places << PLACE_BITS | i, i, used + 1, k - 1);
}

/* By digits from the lowest up, each pass keeping the order of the one before; spare has room for as many. */
static void sort_products(struct products *list, uint64_t *spare)
{
    uint64_t all = 0;

    for (size_t i = 0; i < list->n; i++)
        all |= list->at[i];
    for (unsigned shift = PLACES_BITS; shift < 64 && all >> shift != 0; shift += DIGIT_BITS) {
        size_t start[(1 << DIGIT_BITS) + 1] = { 0 };
        for (size_t i = 0; i < list->n; i++)
            start[(list->at[i] >> shift) % (1 << DIGIT_BITS) + 1]++;
        for (size_t d = 1; d < 1 << DIGIT_BITS; d++)
            start[d] += start[d - 1];
        for (size_t i = 0; i < list->n; i++)
            spare[start[(list->at[i] >> shift) % (1 << DIGIT_BITS)]++] = list->at[i];
        uint64_t *sorted = spare;
        spare = list->at;
        list->at = sorted;
    }
}

static const struct half unity = { .num = 1, .den = 1 };

/* The products as tops, and from the last to the first as bottoms. */
static void part_products(struct halves *left, struct halves *right, const struct products *of, unsigned pairs)
{
    for (size_t i = 0; i < of->n; i++) {
        struct half *top = &left->at[i], *bottom = &right->at[of->n - 1 - i];
        *top = *bottom = unity;
        top->num = bottom->den = of->at[i] >> PLACES_BITS;
        top->tops = bottom->bottoms = (uint8_t)pairs;
        for (unsigned k = 0; k < pairs; k++)
            top->top[pairs - 1 - k] = bottom->bottom[pairs - 1 - k] = (of->at[i] >> k * PLACE_BITS) % (1 << PLACE_BITS);
    }
    left->n = right->n = of->n;
}

static bool halves_by_line(struct halves *left, struct halves *right, const struct state *st,
                           unsigned pairs)
{
    size_t n = st->gears.n, most = pairs == 1 ? n : pairs == 2 ? n * (n + 1) / 2 : n * (n + 1) * (n + 2) / 6;
    uint64_t *room = malloc(2 * most * sizeof *room);
    bool ok = room != NULL && make_room(left, most) && make_room(right, most);

    if (ok) {
        struct products products = { .at = room };
        add_choices(&products, &st->gears, 1, 0, 0, 0, pairs);
        sort_products(&products, room + most);
        part_products(left, right, &products, pairs);
    }
    free(room);
    return ok;
}

/* Whether gears i and j of the set can be a pair with so many idlers between; what else the train uses is not known here. */
static bool can_pair(struct state *st, size_t i, size_t j, unsigned idlers)
{
    struct cci_gears *gears = &st->gears;

    return (i != j || gears->left[i] >= 2) && cci_joins(gears, gears->tooth[i], gears->tooth[j], idlers, 0);
}

static bool add_meshing_pairs(struct halves *list, struct state *st, unsigned idlers)
{
    const struct cci_gears *gears = &st->gears;

    for (size_t i = 0; i < gears->n; i++)
        for (size_t j = 0; j < gears->n; j++) {
            if (!can_pair(st, i, j, 0) && (idlers == 0 || !can_pair(st, i, j, idlers)))
                continue;
            struct half pair = { .num = gears->tooth[i], .den = gears->tooth[j], .tops = 1,
                                 .bottoms = 1 };
            pair.top[0] = (uint8_t)i;
            pair.bottom[0] = (uint8_t)j;
            if (!add_half(list, &pair))
                return false;
        }
    return true;
}

static bool add_pairs_of_pairs(struct halves *list, const struct cci_gears *gears,
                               const struct halves *pairs)
{
    for (size_t i = 0; i < pairs->n; i++)
        for (size_t j = i; j < pairs->n; j++) {
            const struct half *a = &pairs->at[i], *b = &pairs->at[j];
            if (!gears_suffice(gears, a, b))
                continue;
            struct half two = *a;
            two.num *= b->num;
            two.den *= b->den;
            two.top[two.tops++] = b->top[0];
            two.bottom[two.bottoms++] = b->bottom[0];
            if (!add_half(list, &two))
                return false;
        }
    return true;
}

/* With idlers one pair is joined by them, and it may be any: so each half may have it, and arrange() sees to the rest. */
static bool halves_by_pairs(struct halves *left, struct halves *right, struct state *st,
                            unsigned pairs)
{
    unsigned idlers = st->search->idlers[pairs - 1];
    bool ok = add_meshing_pairs(right, st, idlers);

    if (ok && pairs == 1)
        ok = add_half(left, &unity);
    else if (ok && pairs == 2)
        ok = add_meshing_pairs(left, st, idlers);
    else if (ok)
        ok = add_pairs_of_pairs(left, &st->gears, right);
    if (ok) {
        sort_halves(left);
        sort_halves(right);
    }
    return ok;
}

/* Whether few enough pairs mesh for a search by the pairs. (64 gears at most: all far below 2^64.) */
static bool few_pairs_mesh(struct state *st, unsigned pairs)
{
    const struct cci_gears *gears = &st->gears;
    uint64_t mesh = 0, choices = 1, orders_of = 1;     /* about choices / orders_of halves by the line */

    if (st->search->least_sum == 0 && st->search->most_sum == 0)
        return false;
    for (size_t i = 0; i < gears->n; i++)
        for (size_t j = 0; j < gears->n; j++)
            mesh += can_pair(st, i, j, 0) || can_pair(st, i, j, st->search->idlers[pairs - 1]) ? 1 : 0;
    for (unsigned i = 0; i < pairs; i++) {
        choices *= gears->n;
        orders_of *= i + 1;
    }
    uint64_t halves = pairs == CC_MAX_PAIRS ? mesh * mesh / 2 : mesh;
    return halves <= MOST_PAIR_HALVES && halves * orders_of <= PAIR_HALVES_PER_LINE_HALF * choices;
}

/* Whether a gear of the set can be the last one driven. */
static bool has_last(const struct state *st)
{
    unsigned multiple = st->search->last_multiple;

    for (size_t i = 0; i < st->gears.n; i++)
        if (multiple == 0 || st->gears.tooth[i] % multiple == 0)
            return true;
    return false;
}

static bool search_pairs(struct state *st, unsigned pairs)
{
    if (!has_last(st))
        return true;
    struct halves left = { 0 }, right = { 0 };
    bool ok = few_pairs_mesh(st, pairs) ? halves_by_pairs(&left, &right, st, pairs)
                                        : halves_by_line(&left, &right, st, pairs);

    if (ok)
        meet(st, pairs, &left, &right);
    free(left.at);
    free(right.at);
    return ok;
}

static enum cc_status check_search(const mpq_t wanted, const struct cc_train_search *search,
                                   struct cc_error *err)
{
    if (mpq_sgn(wanted) <= 0)
        return cc_fail(err, CC_EDOM, "a gear ratio must be greater than 0");
    if (search->n > CC_MAX_GEARS)
        return cc_fail(err, CC_ELIMIT, "%zu change gears are too many: at most %d", search->n,
                       CC_MAX_GEARS);
    if (search->least_pairs < 1 || search->most_pairs > CC_MAX_PAIRS ||
        search->least_pairs > search->most_pairs)
        return cc_fail(err, CC_EDOM, "a train has 1 to %d pairs of gears", CC_MAX_PAIRS);
    if (search->most < 1 || search->most > CC_MAX_TRAINS)
        return cc_fail(err, CC_EDOM, "1 to %d trains can be listed", CC_MAX_TRAINS);
    for (size_t i = 0; i < search->n; i++)
        if (search->teeth[i] < CC_MIN_TEETH || search->teeth[i] > CC_MAX_TEETH)
            return cc_fail(err, CC_EDOM, "a change gear of %u teeth: %d to %d are possible",
                           search->teeth[i], CC_MIN_TEETH, CC_MAX_TEETH);
    return CC_OK;
}

/* Why none does: what most arrangements fail by. */
static enum cc_status none_goes_on(const struct state *st, struct cc_error *err)
{
    const uint64_t *unfit = st->gears.unfit;
    enum cc_fit_key most = CC_FIT_NOTHING;

    for (unsigned key = 1; key < CC_FIT_KEYS; key++)
        if (unfit[key] > unfit[most])
            most = (enum cc_fit_key)key;
    const char *name = cc_fit_key_name(most, st->search->use);
    return cc_fail(err, CC_ENOFIT, "no train of the %zu gear%s goes on this head's bracket%s%s%s", st->search->n, st->search->n == 1 ? " there is" : "s there are",
                   name != NULL ? ": most fail by " : "", name != NULL ? name : "", name != NULL ? " of its profile" : "");
}

static enum cc_status publish(struct cc_train_list *list, struct state *st,
                              struct cc_error *err)
{
    struct cc_train *at;

    if (st->n == 0 && !has_last(st))
        return cc_fail(err, CC_ENOFIT, "no train can be made: the last gear needs a multiple of %u teeth, and "
                                       "there is no such gear", st->search->last_multiple);
    if (st->n == 0 && st->gears.bracket != NULL)
        return none_goes_on(st, err);
    if (st->n == 0)
        return cc_fail(err, CC_ENOFIT,
                       "no train can be made of the %zu gear%s: too few with the idlers, or none mesh "
                       "within the limits",
                       st->search->n, st->search->n == 1 ? " there is" : "s there are");
    at = malloc(st->n * sizeof *at);
    if (at == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    for (size_t i = 0; i < st->n; i++) {
        at[i] = st->best[i].train;
        cci_gears_take(&st->gears, &at[i]);
        cci_settle(&at[i], &st->gears, st->search->last_multiple);
        cci_gears_put_back(&st->gears, &at[i]);
    }
    cc_train_list_clear(list);
    list->at = at;
    list->n = st->n;
    memcpy(list->unfit, st->gears.unfit, sizeof list->unfit);
    return CC_OK;
}

enum cc_status cc_train_search(struct cc_train_list *list, const mpq_t wanted,
                               const struct cc_train_search *search, struct cc_error *err)
{
    struct state st = { .search = search };
    enum cc_status s = check_search(wanted, search, err);

    if (s != CC_OK)
        return s;
    st.best = malloc(search->most * sizeof *st.best);
    if (st.best == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    cci_gears_init(&st.gears, search->teeth, search->n, search->least_sum, search->most_sum);
    if (search->bracket != NULL && cci_bracket_prepare(&st.bracket, search->bracket, search->use))
        st.gears.bracket = &st.bracket;
    st.gears.any = true;
    mpz_init_set(st.big_p, mpq_numref(wanted));
    mpz_init_set(st.big_q, mpq_denref(wanted));
    mpz_init(st.t);
    mpz_init(st.u);
    st.fits = mpz_sizeinbase(st.big_p, 2) <= 46 && mpz_sizeinbase(st.big_q, 2) <= 46;
    st.p = st.fits ? cc_get_u64(st.big_p) : 0;
    st.q = st.fits ? cc_get_u64(st.big_q) : 0;
    for (unsigned p = search->least_pairs; s == CC_OK && p <= search->most_pairs; p++)
        if (search->n >= 2 * (size_t)p + search->idlers[p - 1] && !search_pairs(&st, p))
            s = cc_fail(err, CC_ENOMEM, "out of memory");
    if (s == CC_OK)
        s = publish(list, &st, err);
    free(st.best);
    mpz_clear(st.big_p);
    mpz_clear(st.big_q);
    mpz_clear(st.t);
    mpz_clear(st.u);
    return s;
}

void cc_train_list_init(struct cc_train_list *list)
{
    memset(list, 0, sizeof *list);
}

void cc_train_list_clear(struct cc_train_list *list)
{
    free(list->at);
    cc_train_list_init(list);
}
