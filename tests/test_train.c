/*
 * test_train.c: the train search against brute force in GMP rationals, over every way to put the gears
 * on the shafts.
 */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/train.h"

/* ---- brute force ---- */

struct brute {
    const struct cc_train_search *search;
    const mpq_t *wanted;
    struct cc_train *found;     /* every legal arrangement */
    size_t n, room;
};

static void error_of(mpq_t out, const struct brute *b, const struct cc_train *train)
{
    cc_train_ratio(out, train);
    if (b->search->quotient == CC_DRIVEN_OVER_DRIVERS)
        mpq_inv(out, out);
    mpq_sub(out, out, *b->wanted);
    mpq_abs(out, out);
}

static unsigned total_of(const struct cc_train *t)
{
    unsigned total = 0;
    for (unsigned i = 0; i < t->pairs; i++)
        total += t->driver[i] + t->driven[i];
    return total;
}

static int by_counts(const unsigned *a, const unsigned *b, unsigned n)
{
    for (unsigned i = 0; i < n; i++)
        if (a[i] != b[i])
            return a[i] < b[i] ? -1 : 1;
    return 0;
}

static int compare(const struct brute *b, const struct cc_train *x, const struct cc_train *y)
{
    mpq_t ex, ey;
    mpq_init(ex);
    mpq_init(ey);
    error_of(ex, b, x);
    error_of(ey, b, y);
    int c = mpq_cmp(ex, ey);
    mpq_clear(ex);
    mpq_clear(ey);
    if (c == 0)
        c = (int)x->pairs - (int)y->pairs;
    if (c == 0)
        c = (int)total_of(x) - (int)total_of(y);
    if (c == 0)
        c = by_counts(x->driver, y->driver, x->pairs);
    return c != 0 ? c : by_counts(x->driven, y->driven, x->pairs);
}

/* Gears a and b further apart by idlers of more teeth than c needs beside b; in half modules (naive.h says why). */
static int room_at(unsigned a, unsigned b, unsigned more, unsigned c)
{
    return (int)(a + b + 2 * more) - (int)(c + 2);
}

/* The narrowest place of the train with idlers of so many teeth in one mesh. */
static int least_room(const struct cc_train *t, unsigned mesh, unsigned more)
{
    int least = 1000000;

    for (unsigned i = 0; i + 1 < t->pairs; i++) {
        int before = room_at(t->driver[i], t->driven[i], i == mesh ? more : 0, t->driver[i + 1]);
        int behind = room_at(t->driven[i + 1], t->driver[i + 1], i + 1 == mesh ? more : 0, t->driven[i]);
        least = before < least ? before : least;
        least = behind < least ? behind : least;
    }
    return least;
}

static bool keeps_sum(const struct cc_train_search *s, unsigned a, unsigned b)
{
    return (s->least_sum == 0 || a + b >= s->least_sum) && (s->most_sum == 0 || a + b <= s->most_sum);
}

/* Whether gear a is joined to the driven gear of the mesh by so many of the gears not used, and the whole then stands. */
static bool joined(const struct cc_train_search *s, const struct cc_train *t, unsigned mesh, unsigned a, unsigned idlers,
                   unsigned more, unsigned used)
{
    bool can = idlers == 0 && keeps_sum(s, a, t->driven[mesh]) && least_room(t, mesh, more) > 0;

    for (unsigned i = 0; i < s->n && idlers > 0 && !can; i++)
        can = (used & 1u << i) == 0 && keeps_sum(s, a, s->teeth[i]) &&
              joined(s, t, mesh, s->teeth[i], idlers - 1, more + s->teeth[i], used | 1u << i);
    return can;
}

/* Whether a train of the gears of used can stand; its idlers_back is then the least there is. */
static bool legal(const struct cc_train_search *s, struct cc_train *t, unsigned used)
{
    if (s->last_multiple != 0 && t->driven[t->pairs - 1] % s->last_multiple != 0)
        return false;
    for (unsigned back = 0; back < t->pairs; back++) {
        unsigned mesh = t->pairs - 1 - back;
        bool others = true;
        for (unsigned i = 0; i < t->pairs; i++)
            others = others && (i == mesh || keeps_sum(s, t->driver[i], t->driven[i]));
        t->idlers_back = t->idlers > 0 ? back : 0;
        if (others && joined(s, t, mesh, t->driver[mesh], t->idlers, 0, used))
            return true;
    }
    return false;
}

/* The same gears otherwise arranged: whether x is the one to take. */
static bool is_better(const struct cc_train *x, const struct cc_train *y)
{
    int dx = least_room(x, 0, 0), dy = least_room(y, 0, 0);

    if (x->idlers_back != y->idlers_back)
        return x->idlers_back < y->idlers_back;
    if (dx != dy)
        return dx > dy;
    int c = by_counts(x->driver, y->driver, x->pairs);
    return (c != 0 ? c : by_counts(x->driven, y->driven, x->pairs)) < 0;
}

static bool same_gears(const struct cc_train *x, const struct cc_train *y)
{
    /* The same drivers and the same driven gears, in any order. */
    if (x->pairs != y->pairs)
        return false;
    for (unsigned i = 0; i < x->pairs; i++) {
        int drivers = 0, driven = 0;
        for (unsigned j = 0; j < x->pairs; j++) {
            drivers += (x->driver[j] == x->driver[i]) - (y->driver[j] == x->driver[i]);
            driven += (x->driven[j] == x->driven[i]) - (y->driven[j] == x->driven[i]);
        }
        if (drivers != 0 || driven != 0)
            return false;
    }
    return true;
}

/* Keep of each choice of drivers and driven the arrangement to take. */
static void keep(struct brute *b, const struct cc_train *t)
{
    for (size_t i = 0; i < b->n; i++)
        if (same_gears(&b->found[i], t)) {
            if (is_better(t, &b->found[i]))
                b->found[i] = *t;
            return;
        }
    if (b->n == b->room) {
        b->room = b->room * 2 + 64;
        b->found = realloc(b->found, b->room * sizeof *b->found);
        assert_non_null(b->found);
    }
    b->found[b->n++] = *t;
}

static void place(struct brute *b, struct cc_train *t, unsigned place_at, unsigned used)
{
    if (place_at == 2 * t->pairs) {
        if (legal(b->search, t, used))
            keep(b, t);
        return;
    }
    for (unsigned i = 0; i < b->search->n; i++) {
        if (used & 1u << i)
            continue;
        unsigned *to = place_at % 2 == 0 ? t->driver : t->driven;
        to[place_at / 2] = b->search->teeth[i];
        place(b, t, place_at + 1, used | 1u << i);
    }
}

static void sort_found(struct brute *b)
{
    for (size_t i = 1; i < b->n; i++)   /* insertion sort: small lists, and no state for qsort */
        for (size_t j = i; j > 0 && compare(b, &b->found[j], &b->found[j - 1]) < 0; j--) {
            struct cc_train t = b->found[j];
            b->found[j] = b->found[j - 1];
            b->found[j - 1] = t;
        }
}

static void run_brute(struct brute *b)
{
    for (unsigned p = b->search->least_pairs; p <= b->search->most_pairs; p++) {
        struct cc_train t = { .pairs = p, .idlers = b->search->idlers[p - 1] };
        if (b->search->n >= 2 * p + t.idlers)
            place(b, &t, 0, 0);
    }
    sort_found(b);
}

static bool same_train(const struct cc_train *x, const struct cc_train *y)
{
    return x->pairs == y->pairs && x->idlers == y->idlers && x->idlers_back == y->idlers_back &&
           by_counts(x->driver, y->driver, x->pairs) == 0 &&
           by_counts(x->driven, y->driven, x->pairs) == 0;
}

static unsigned pick(gmp_randstate_t rs, unsigned least, unsigned most)
{
    return least + (unsigned)gmp_urandomm_ui(rs, most - least + 1);
}

static void random_search(struct cc_train_search *s, unsigned *teeth, gmp_randstate_t rs)
{
    memset(s, 0, sizeof *s);
    s->teeth = teeth;
    s->n = pick(rs, 3, 7);
    for (size_t i = 0; i < s->n; i++)   /* few different counts, so that some come twice */
        teeth[i] = 20 + 4 * pick(rs, 0, pick(rs, 1, 20));
    s->least_pairs = pick(rs, 1, 3);
    s->most_pairs = pick(rs, s->least_pairs, 3);
    if (pick(rs, 0, 2) == 0)
        s->least_sum = pick(rs, 60, 120);
    if (pick(rs, 0, 2) == 0)
        s->most_sum = s->least_sum + pick(rs, 0, 80);
    for (unsigned i = 0; i < CC_MAX_PAIRS; i++)
        s->idlers[i] = pick(rs, 0, 2);
    if (pick(rs, 0, 3) == 0)
        s->last_multiple = pick(rs, 2, 8);
    s->quotient = pick(rs, 0, 1) == 0 ? CC_DRIVERS_OVER_DRIVEN : CC_DRIVEN_OVER_DRIVERS;
    s->most = pick(rs, 1, 12);
}

/* Near 1, or exactly what some train of the set gives, or too long for the 128-bit comparisons. */
static void random_wanted(mpq_t wanted, const struct cc_train_search *s, gmp_randstate_t rs)
{
    const unsigned *t = s->teeth;

    mpq_set_ui(wanted, pick(rs, 1, 500), pick(rs, 1, 500));
    if (pick(rs, 0, 1) == 0)
        mpq_set_ui(wanted, (unsigned long)t[0] * t[s->n / 2], (unsigned long)t[1] * t[s->n - 1]);
    if (pick(rs, 0, 2) == 0) {
        mpz_ui_pow_ui(mpq_denref(wanted), 10, 25);
        mpz_urandomm(mpq_numref(wanted), rs, mpq_denref(wanted));
        mpz_add_ui(mpq_numref(wanted), mpq_numref(wanted), 1);
    }
    mpq_canonicalize(wanted);
}

static void test_best_against_brute_force(void **unused)
{
    unsigned long seed = test_seed(), rounds = test_rounds(400);
    unsigned long compared = 0, none = 0, exact = 0, limited = 0;
    gmp_randstate_t rs;
    mpq_t wanted, error;

    (void)unused;
    test_random_init(rs);
    mpq_init(wanted);
    mpq_init(error);
    for (unsigned long r = 0; r < rounds; r++) {
        unsigned teeth[16];
        struct cc_train_search s;
        struct cc_train_list list;
        struct brute b = { .search = &s, .wanted = (const mpq_t *)&wanted };

        random_search(&s, teeth, rs);
        random_wanted(wanted, &s, rs);
        run_brute(&b);
        cc_train_list_init(&list);
        enum cc_status status = cc_train_search(&list, wanted, &s, NULL);
        if (status != (b.n > 0 ? CC_OK : CC_ENOFIT))
            fail_msg("seed %lu, round %lu: status %d, %zu trains exist", seed, r, status, b.n);
        if (list.n != (b.n < s.most ? b.n : s.most))
            fail_msg("seed %lu, round %lu: %zu listed of %zu", seed, r, list.n, b.n);
        for (size_t i = 0; i < list.n; i++)
            if (!same_train(&list.at[i], &b.found[i]))
                fail_msg("seed %lu, round %lu: train %zu differs", seed, r, i);
        compared += list.n;
        none += b.n == 0;
        limited += s.least_sum != 0 || s.most_sum != 0;
        if (list.n > 0) {
            error_of(error, &b, &list.at[0]);
            exact += mpq_sgn(error) == 0;
        }
        cc_train_list_clear(&list);
        free(b.found);
    }
    assert_true(compared > rounds && none > rounds / 20 && exact > rounds / 40);
    assert_true(limited > rounds / 4);
    mpq_clear(wanted);
    mpq_clear(error);
    gmp_randclear(rs);
}

/* ---- sets too large to try every arrangement: only of those choices of gears that are near enough for the list ---- */

/* Keep what stands of the choice's six gears with these drivers. */
static void keep_standing(struct brute *b, const struct cc_train *choice)
{
    unsigned teeth[2 * CC_MAX_PAIRS];
    struct cc_train_search of = *b->search;
    struct brute few = { .search = &of, .wanted = b->wanted };
    struct cc_train t = { .pairs = CC_MAX_PAIRS };

    memcpy(teeth, choice->driver, sizeof choice->driver);
    memcpy(teeth + CC_MAX_PAIRS, choice->driven, sizeof choice->driven);
    of.teeth = teeth;
    of.n = 2 * CC_MAX_PAIRS;
    place(&few, &t, 0, 0);
    for (size_t i = 0; i < few.n; i++)
        if (same_gears(&few.found[i], choice))
            keep(b, &few.found[i]);
    free(few.found);
}

/* Three drivers, then three driven gears, each three ascending in the set: those at most so far off. */
static void choose(struct brute *b, const mpq_t farthest, struct cc_train *t, unsigned at, unsigned first, unsigned used)
{
    if (at == 2 * CC_MAX_PAIRS) {
        mpq_t error;
        mpq_init(error);
        error_of(error, b, t);
        if (mpq_cmp(error, farthest) <= 0)
            keep_standing(b, t);
        mpq_clear(error);
        return;
    }
    for (unsigned i = at == CC_MAX_PAIRS ? 0 : first; i < b->search->n; i++) {
        if (used & 1u << i)
            continue;
        *(at < CC_MAX_PAIRS ? &t->driver[at] : &t->driven[at - CC_MAX_PAIRS]) = b->search->teeth[i];
        choose(b, farthest, t, at + 1, i + 1, used | 1u << i);
    }
}

/* Some counts twice; as many teeth as there may be, or gears as they are. */
static void large_random_search(struct cc_train_search *s, unsigned *teeth, gmp_randstate_t rs)
{
    unsigned most = pick(rs, 0, 1) == 0 ? 90 : CC_MAX_TEETH;

    memset(s, 0, sizeof *s);
    s->teeth = teeth;
    s->n = pick(rs, 9, 12);
    for (size_t i = 0; i < s->n; i++)
        teeth[i] = i > 0 && pick(rs, 0, 4) == 0 ? teeth[i - 1] : pick(rs, most / 3, most);
    s->least_pairs = s->most_pairs = CC_MAX_PAIRS;
    s->quotient = pick(rs, 0, 1) == 0 ? CC_DRIVERS_OVER_DRIVEN : CC_DRIVEN_OVER_DRIVERS;
    s->most = pick(rs, 1, 8);
}

static void test_six_gears_from_many(void **unused)
{
    unsigned long seed = test_seed(), rounds = test_rounds(20);
    gmp_randstate_t rs;
    mpq_t wanted, farthest;

    (void)unused;
    test_random_init(rs);
    mpq_init(wanted);
    mpq_init(farthest);
    for (unsigned long r = 0; r < rounds; r++) {
        unsigned teeth[16];
        struct cc_train_search s;
        struct cc_train_list list;
        struct cc_train t = { .pairs = CC_MAX_PAIRS };
        struct brute b = { .search = &s, .wanted = (const mpq_t *)&wanted };

        large_random_search(&s, teeth, rs);
        random_wanted(wanted, &s, rs);
        cc_train_list_init(&list);
        assert_int_equal(cc_train_search(&list, wanted, &s, NULL), CC_OK);
        assert_int_equal(list.n, s.most);
        error_of(farthest, &b, &list.at[list.n - 1]);
        choose(&b, farthest, &t, 0, 0, 0);
        sort_found(&b);
        if (b.n < list.n)
            fail_msg("seed %lu, round %lu: only %zu of %zu listed exist", seed, r, b.n, list.n);
        for (size_t i = 0; i < list.n; i++)
            if (!same_train(&list.at[i], &b.found[i]))
                fail_msg("seed %lu, round %lu: train %zu differs", seed, r, i);
        cc_train_list_clear(&list);
        free(b.found);
    }
    mpq_clear(wanted);
    mpq_clear(farthest);
    gmp_randclear(rs);
}

/* ---- sets too large for the rationals: the best error against plain nested loops ---- */

static unsigned gcd(unsigned a, unsigned b)
{
    return b == 0 ? a : gcd(b, a % b);
}

/* A made set: n gears from 20 teeth up, some counts left out, some twice. */
static void make_set(unsigned *teeth, unsigned n)
{
    for (unsigned i = 0; i < n; i++)
        teeth[i] = 20 + i + (i % 7 == 3) + 2 * (i / 9);
}

static void test_four_gears_from_sixty(void **unused)
{
    unsigned teeth[60];
    struct cc_train_list list;
    struct cc_train_search s = { .teeth = teeth, .n = 60, .least_pairs = 2, .most_pairs = 2,
                                 .most = 1 };
    const unsigned p = 22619, q = 7200;     /* in lowest terms; no pair of products hits it */
    double least = 1e300;
    mpq_t wanted, got;

    (void)unused;
    make_set(teeth, 60);
    for (unsigned a = 0; a < 60; a++)
        for (unsigned b = a + 1; b < 60; b++)
            for (unsigned c = 0; c < 60; c++)
                for (unsigned d = c + 1; d < 60; d++) {
                    if (a == c || a == d || b == c || b == d)
                        continue;
                    /* Exact in double: below 10^9. */
                    double num = (double)teeth[a] * teeth[b], den = (double)teeth[c] * teeth[d];
                    double error = num * q - den * p;
                    error = (error < 0 ? -error : error) / den;
                    if (error < least)
                        least = error;
                }
    assert_int_equal(gcd(p, q), 1);
    mpq_init(wanted);
    mpq_init(got);
    mpq_set_ui(wanted, p, q);
    cc_train_list_init(&list);
    assert_int_equal(cc_train_search(&list, wanted, &s, NULL), CC_OK);
    cc_train_ratio(got, &list.at[0]);
    mpq_sub(got, got, wanted);
    mpq_abs(got, got);
    assert_true(mpq_get_d(got) <= least / q * (1 + 1e-12));
    assert_true(mpq_get_d(got) >= least / q * (1 - 1e-12));
    cc_train_list_clear(&list);
    mpq_clear(wanted);
    mpq_clear(got);
}

/* Limits that shut nothing out change nothing, although trains of 2 and 4 gears are then sought by pairs. */
static void test_limits_that_shut_nothing_out(void **unused)
{
    unsigned teeth[30];
    struct cc_train_list open, limited;
    struct cc_train_search s = { .teeth = teeth, .n = 30, .least_pairs = 1, .most_pairs = 3,
                                 .most = 50 };
    mpq_t wanted;

    (void)unused;
    make_set(teeth, 30);
    mpq_init(wanted);
    mpq_set_ui(wanted, 355, 113);
    cc_train_list_init(&open);
    cc_train_list_init(&limited);
    assert_int_equal(cc_train_search(&open, wanted, &s, NULL), CC_OK);
    s.least_sum = 1;
    s.most_sum = 1000;
    assert_int_equal(cc_train_search(&limited, wanted, &s, NULL), CC_OK);
    assert_int_equal(open.n, 50);
    assert_int_equal(limited.n, 50);
    for (size_t i = 0; i < open.n; i++)
        assert_true(same_train(&open.at[i], &limited.at[i]));
    cc_train_list_clear(&open);
    cc_train_list_clear(&limited);
    mpq_clear(wanted);
}

/* Limits so narrow that hardly a pair meshes, on the largest set: answered, and kept. */
static void test_narrow_limits_on_a_large_set(void **unused)
{
    unsigned teeth[CC_MAX_GEARS];
    struct cc_train_list list;
    struct cc_train_search s = { .teeth = teeth, .n = CC_MAX_GEARS, .least_sum = 150,
                                 .most_sum = 151, .least_pairs = 3, .most_pairs = 3, .most = 5 };
    mpq_t wanted;

    (void)unused;
    for (unsigned i = 0; i < CC_MAX_GEARS; i++)
        teeth[i] = 20 + i;
    mpq_init(wanted);
    mpq_set_ui(wanted, 97, 89);
    cc_train_list_init(&list);
    assert_int_equal(cc_train_search(&list, wanted, &s, NULL), CC_OK);
    assert_int_equal(list.n, 5);
    for (size_t i = 0; i < list.n; i++)
        assert_true(least_room(&list.at[i], 0, 0) > 0 && keeps_sum(&s, list.at[i].driver[0], list.at[i].driven[0]) &&
                    keeps_sum(&s, list.at[i].driver[1], list.at[i].driven[1]) &&
                    keeps_sum(&s, list.at[i].driver[2], list.at[i].driven[2]));
    cc_train_list_clear(&list);
    mpq_clear(wanted);
}

/* Three pairs all alike, where the limits leave nothing else for 1/8. */
static void test_the_same_pair_three_times(void **unused)
{
    unsigned teeth[] = { 48, 24, 48, 24, 24, 48 };
    struct cc_train_list list;
    struct cc_train_search s = { .teeth = teeth, .n = 6, .least_sum = 72, .most_sum = 72,
                                 .least_pairs = 3, .most_pairs = 3, .most = 1 };
    mpq_t wanted, got;

    (void)unused;
    test_mpq_init(wanted, "1/8");
    mpq_init(got);
    cc_train_list_init(&list);
    assert_int_equal(cc_train_search(&list, wanted, &s, NULL), CC_OK);
    cc_train_ratio(got, &list.at[0]);
    test_mpq_equal("24/48 three times", got, "1/8");
    cc_train_list_clear(&list);
    mpq_clear(wanted);
    mpq_clear(got);
}

static void test_refusals(void **unused)
{
    unsigned teeth[] = { 24, 48, 4 };
    struct cc_train_list list;
    struct cc_train_search good = { .teeth = teeth, .n = 2, .least_pairs = 1, .most_pairs = 1,
                                    .most = 1 }, s;
    struct cc_error err;
    mpq_t wanted;

    (void)unused;
    mpq_init(wanted);
    cc_train_list_init(&list);
    assert_int_equal(cc_train_search(&list, wanted, &good, &err), CC_EDOM);
    mpq_set_ui(wanted, 1, 2);
    assert_int_equal(cc_train_search(&list, wanted, &good, &err), CC_OK);
    assert_int_equal(list.n, 1);
    s = good, s.n = CC_MAX_GEARS + 1;
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_ELIMIT);
    s = good, s.n = 3;
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_EDOM);
    s = good, s.most_pairs = 4;
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_EDOM);
    s = good, s.least_pairs = 0;
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_EDOM);
    s = good, s.most = 0;
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_EDOM);
    s = good, s.n = 0;
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_ENOFIT);
    s = good, s.idlers[0] = 1;      /* two gears leave none for an idler */
    assert_int_equal(cc_train_search(&list, wanted, &s, &err), CC_ENOFIT);
    assert_int_equal(list.n, 1);    /* as it was */
    assert_int_equal(list.at[0].driver[0], 24);
    cc_train_list_clear(&list);
    mpq_clear(wanted);
}

/* Idlers by turning the gears one by one: each mesh turns the next shaft the other way. */
static void test_idlers(void **unused)
{
    (void)unused;
    for (unsigned pairs = 1; pairs <= CC_MAX_PAIRS; pairs++)
        for (int same = 0; same <= 1; same++) {
            unsigned idlers = cc_train_idlers(pairs, same);
            int way = 1;
            for (unsigned mesh = 0; mesh < pairs + idlers; mesh++)
                way = -way;
            assert_int_equal(way == 1, same);
            assert_true(idlers <= 2);
            assert_true(pairs > 1 ? idlers <= 1 : idlers >= 1);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_best_against_brute_force),
        cmocka_unit_test(test_six_gears_from_many),
        cmocka_unit_test(test_four_gears_from_sixty),
        cmocka_unit_test(test_limits_that_shut_nothing_out),
        cmocka_unit_test(test_narrow_limits_on_a_large_set),
        cmocka_unit_test(test_the_same_pair_three_times),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_idlers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
