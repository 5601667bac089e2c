/*
 * test_plates.c: what plates serve against published capability, the chosen circles against brute
 * force, and a plate's errors against exact sums done the long way.
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/arc.h"
#include "crankcard/makeplate.h"
#include "crankcard/plates.h"
#include "trade/cover.h"

static void default_head(struct cc_head *head)
{
    cc_head_init(head);
    assert_int_equal(cc_head_default(head, NULL), CC_OK);
}

/*
 * Capability as printed: three plates of six circles do all to 50, and even numbers to 100
 * except 96. The default head has those plates; its direct plate of 24 serves divisors of 24 only,
 * all below 50.
 */
static void published_capability(void **state)
{
    (void)state;
    struct test_tsv t;
    struct cc_head head;
    unsigned rows = 0;

    default_head(&head);
    test_tsv_open(&t, "tests/reference/capability.tsv");
    while (test_tsv_next(&t)) {
        if (strcmp(test_tsv_get(&t, "method"), "plain") != 0 ||
            strstr(test_tsv_get(&t, "plates"), "six circles") == NULL)
            continue;
        unsigned long last = test_tsv_count(&t, "last"), step = test_tsv_count(&t, "step");
        unsigned long except = *test_tsv_get(&t, "except") ? test_tsv_count(&t, "except") : 0;
        for (unsigned long n = test_tsv_count(&t, "first"); n <= last; n += step)
            if (cc_head_serves(&head, n) != (n != except))
                fail_msg("%s: %lu", test_tsv_where(&t), n);
        rows++;
    }
    test_tsv_close(&t);
    cc_head_clear(&head);
    assert_true(rows >= 2);
}

/* holes * R / N by GMP, worms whole and fractional. */
static void exactness(void **state)
{
    (void)state;
    static const char *worms[] = {"40", "60", "90", "5", "77/2", "119/3"};
    mpq_t worm, q;

    mpq_init(q);
    for (size_t w = 0; w < sizeof worms / sizeof worms[0]; w++) {
        test_mpq_init(worm, worms[w]);
        for (unsigned circle = 2; circle <= 70; circle++)
            for (unsigned long n = 1; n <= 300; n++) {
                mpq_set_ui(q, circle, n);
                mpq_canonicalize(q);
                mpq_mul(q, q, worm);
                bool whole = mpz_cmp_ui(mpq_denref(q), 1) == 0;
                if (cc_circle_serves(worm, circle, n) != whole)
                    fail_msg("worm %s, circle %u, N %lu", worms[w], circle, n);
            }
        assert_false(cc_circle_serves(worm, 49, 0));
        mpq_clear(worm);
    }
    mpq_clear(q);
}

/* ---- maximum cover ---- */

enum { MOST_SETS = 10, MOST_ITEMS = 16 };

struct instance {
    long long weight[MOST_ITEMS];
    size_t first[MOST_SETS + 1], member[MOST_SETS * MOST_ITEMS];
    unsigned mask[MOST_SETS];
    struct cci_cover p;
};

static void random_instance(struct instance *t, gmp_randstate_t rs)
{
    t->p = (struct cci_cover){.items = 1 + gmp_urandomm_ui(rs, MOST_ITEMS),
                              .sets = 1 + gmp_urandomm_ui(rs, MOST_SETS),
                              .weight = t->weight,
                              .first = t->first,
                              .member = t->member,
                              .choose = 1 + gmp_urandomm_ui(rs, 4),
                              .nodes = 1000000};
    unsigned long heaviest = gmp_urandomm_ui(rs, 2) ? 1 : 50;
    for (size_t i = 0; i < t->p.items; i++)
        t->weight[i] = 1 + (long long)gmp_urandomm_ui(rs, heaviest);
    size_t members = 0;
    for (size_t s = 0; s < t->p.sets; s++) {
        t->first[s] = members;
        t->mask[s] = 0;
        for (size_t i = 0; i < t->p.items; i++)
            if (gmp_urandomm_ui(rs, 3) == 0) {
                t->member[members++] = i;
                t->mask[s] |= 1u << i;
            }
    }
    t->first[t->p.sets] = members;
}

static long long weigh(const struct instance *t, unsigned mask)
{
    long long sum = 0;
    for (size_t i = 0; i < t->p.items; i++)
        if (mask >> i & 1)
            sum += t->weight[i];
    return sum;
}

/* Every choice of at most choose sets. */
static long long best_by_force(const struct instance *t)
{
    long long best = 0;

    for (unsigned pick = 0; pick < 1u << t->p.sets; pick++) {
        unsigned mask = 0;
        size_t count = 0;
        for (size_t s = 0; s < t->p.sets; s++)
            if (pick >> s & 1) {
                mask |= t->mask[s];
                count++;
            }
        if (count <= t->p.choose && weigh(t, mask) > best)
            best = weigh(t, mask);
    }
    return best;
}

/* A search that may take as many steps as it needs proves its choice; with one fewer it is cut off there. */
static void needs_its_steps(struct instance *t, unsigned long long needed)
{
    size_t chosen[4];
    struct cci_cover_result r = {.chosen = chosen};

    t->p.nodes = needed;
    assert_int_equal(cci_cover_solve(&r, &t->p, NULL), CC_OK);
    assert_true(r.proved && r.nodes == needed);
    if (needed == 0)
        return;
    t->p.nodes = needed - 1;
    assert_int_equal(cci_cover_solve(&r, &t->p, NULL), CC_OK);
    assert_true(!r.proved && r.nodes == needed - 1);
}

static void cover_against_force(void **state)
{
    (void)state;
    gmp_randstate_t rs;
    unsigned long rounds = test_rounds(1500), searched = 0, cut = 0;

    test_random_init(rs);
    for (unsigned long i = 0; i < rounds; i++) {
        static struct instance t;
        size_t chosen[4];
        struct cci_cover_result r = {.chosen = chosen};
        random_instance(&t, rs);
        long long best = best_by_force(&t);
        if (i % 3 == 0)
            t.p.nodes = gmp_urandomm_ui(rs, 3);
        assert_int_equal(cci_cover_solve(&r, &t.p, NULL), CC_OK);
        unsigned mask = 0;
        for (size_t k = 0; k < r.count; k++)
            mask |= t.mask[chosen[k]];
        if (r.count > t.p.choose || weigh(&t, mask) != r.value)
            fail_msg("seed %lu, round %lu: the choice does not weigh %lld", test_seed(), i,
                     r.value);
        if (r.bound < best || r.value > best || (r.proved && r.value != best))
            fail_msg("seed %lu, round %lu: %lld, bound %lld, best %lld", test_seed(), i, r.value,
                     r.bound, best);
        if (i % 3 != 0 && !r.proved)
            fail_msg("seed %lu, round %lu: not proved", test_seed(), i);
        searched += r.nodes > 1;
        cut += !r.proved;
        if (r.nodes > t.p.nodes || (!r.proved && r.nodes != t.p.nodes))
            fail_msg("seed %lu, round %lu: %llu steps of %llu", test_seed(), i, r.nodes, t.p.nodes);
        if (i % 3 != 0)
            needs_its_steps(&t, r.nodes);
    }
    gmp_randclear(rs);
    assert_true(searched > rounds / 50); /* the search was needed, and was cut short */
    assert_true(cut > 0);
}

/* ---- circles of a new plate ---- */

static bool served_by(const mpq_t worm, const unsigned *circle, size_t circles, unsigned long n)
{
    for (size_t i = 0; i < circles; i++)
        if (cc_circle_serves(worm, circle[i], n))
            return true;
    return false;
}

/* All choices of three circles from 15 to 40 for what the default head leaves out of 2 .. 250. */
static void plate_against_force(void **state)
{
    (void)state;
    struct cc_head head;
    struct cc_new_plate plate;
    unsigned long number[250];
    long long weight[250], best = 0;
    size_t n = 0;

    default_head(&head);
    for (unsigned long i = 2; i <= 250; i++)
        if (!cc_head_serves(&head, i)) {
            weight[n] = i % 7 == 0 ? 9 : 1;
            number[n++] = i;
        }
    for (unsigned a = 15; a <= 40; a++)
        for (unsigned b = a + 1; b <= 40; b++)
            for (unsigned c = b + 1; c <= 40; c++) {
                unsigned three[3] = {a, b, c};
                long long sum = 0;
                for (size_t i = 0; i < n; i++)
                    sum += served_by(head.worm, three, 3, number[i]) ? weight[i] : 0;
                best = sum > best ? sum : best;
            }
    struct cc_plates_question q = {number, weight, n, 3, 15, 40, 0};
    assert_int_equal(cc_plates_choose(&plate, head.worm, &q, NULL), CC_OK);
    assert_true(plate.proved);
    assert_int_equal(plate.weight, best);
    assert_int_equal(plate.bound, best);
    long long sum = 0;
    size_t served = 0;
    for (size_t i = 0; i < n; i++)
        if (served_by(head.worm, plate.circle, plate.circles, number[i])) {
            sum += weight[i];
            served++;
        }
    assert_int_equal(sum, best);
    assert_int_equal(served, plate.served);
    cc_head_clear(&head);
}

/* A number that no circle in the range serves changes nothing, whatever it weighs. */
static void unservable_numbers(void **state)
{
    (void)state;
    struct cc_head head;
    unsigned long number[250];
    long long weight[250];
    size_t n = 0;

    default_head(&head);
    for (unsigned long i = 2; i <= 249; i++)
        if (!cc_head_serves(&head, i)) {
            weight[n] = 1 + (long long)(i % 7);
            number[n++] = i;
        }
    number[n] = 10007;  /* a prime */
    weight[n] = 100000;
    for (unsigned circles = 2; circles <= 20; circles++) {
        struct cc_new_plate with, without;
        struct cc_plates_question q = {number, weight, n, circles, 15, 200, 0};
        assert_int_equal(cc_plates_choose(&without, head.worm, &q, NULL), CC_OK);
        q.numbers = n + 1;
        assert_int_equal(cc_plates_choose(&with, head.worm, &q, NULL), CC_OK);
        assert_int_equal(with.weight, without.weight);
        assert_int_equal(with.bound, without.bound);
        assert_int_equal(with.servable, without.servable);
    }
    cc_head_clear(&head);
}

/* 127 needs a circle of 127 or a multiple: with worm 40 nothing else has the factor. */
static void the_127_circle(void **state)
{
    (void)state;
    static const unsigned long number[] = {127};
    struct cc_new_plate plate;
    struct cc_error err;
    mpq_t worm;

    test_mpq_init(worm, "40");
    struct cc_plates_question q = {number, NULL, 1, 6, 15, 66, 0};
    assert_int_equal(cc_plates_choose(&plate, worm, &q, &err), CC_ENOFIT);
    q.most = 300;
    assert_int_equal(cc_plates_choose(&plate, worm, &q, &err), CC_OK);
    assert_int_equal(plate.circles, 1);
    assert_int_equal(plate.circle[0], 127);
    mpq_clear(worm);
}

static void questions_refused(void **state)
{
    (void)state;
    static const unsigned long number[] = {53, 59};
    static const long long zero[] = {1, 0}, heavy[] = {1LL << 39, 1LL << 39};
    static const struct cc_plates_question rows[] = {
        {number, NULL, 2, 0, 15, 66, 0},     {number, NULL, 2, 61, 15, 66, 0},
        {number, NULL, 2, 6, 1, 66, 0},      {number, NULL, 2, 6, 67, 66, 0},
        {number, NULL, 2, 6, 15, 10001, 0},  {number, NULL, 2, 6, 15, 2100, 0},
        {number, zero, 2, 6, 15, 66, 0},     {number, heavy, 2, 6, 15, 66, 0},
        {number, NULL, 20001, 6, 15, 66, 0},
    };
    mpq_t worm;

    test_mpq_init(worm, "40");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_new_plate plate;
        struct cc_error err;
        if (cc_plates_choose(&plate, worm, &rows[i], &err) != CC_EDOM)
            fail_msg("row %zu was not refused", i);
    }
    mpq_clear(worm);
}

/* ---- making a plate ---- */

/* An arc of the radius's length is one radian; 180/pi degrees. */
static void arcs(void **state)
{
    (void)state;
    mpq_t angle, length, radius;

    mpq_init(angle);
    test_mpq_init(length, "127/5");
    test_mpq_init(radius, "127/5");
    cc_arc_angle(angle, length, radius);
    assert_true(fabs(mpq_get_d(angle) * 360 - 57.295779513082321) < 1e-13);
    mpq_set_ui(length, 0, 1);
    cc_arc_angle(angle, length, radius);
    assert_int_equal(mpq_sgn(angle), 0);
    mpq_clears(angle, length, radius, NULL);
}

/* pi = 3.14159265358979323846...: a quarter of 2 pi r at r = 50 is 25 pi; one second at r = 100 is pi/6480. */
static void lengths(void **state)
{
    static const struct {
        const char *angle, *radius;
        double length;
    } rows[] = {
        { "1/4", "50", 78.539816339744831 },
        { "-1/4", "50", -78.539816339744831 },
        { "1/1296000", "100", 0.00048481368110953599 },
        { "-1/1296000", "127/5", -0.00012314267500182214 },    /* of that, 0.254 */
        { "0", "50", 0 },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mpq_t angle, radius;
        test_mpq_init(angle, rows[i].angle);
        test_mpq_init(radius, rows[i].radius);
        double got = cc_arc_length(angle, radius);
        if (fabs(got - rows[i].length) > 4e-16 * fabs(rows[i].length))
            fail_msg("row %zu: %.17g", i, got);
        mpq_clears(angle, radius, NULL);
    }
}

/*
 * Worm 4, circle 20, 27 holes: 13/2160 off (see makings). With w = 1/2160 and d = 2/2160, by hand:
 *   plate 1: holes 13/2160 + 3/2160 = 16/2160, work 4/2160 + 1/2160 = 5/2160
 *   plate 2: holes 4/2160 + 3/2160 = 7/2160, work 7/8640 + 1/2160 = 11/8640
 *   floor: holes 3/2160 * 4/3 = 4/2160, work 3/2160 / 3 + 1/2160 = 2/2160
 */
static void generations_by_hand(void **state)
{
    static const char profile[] = "[head]\nworm = 4\n[plate A]\nside 1 = 20\n";
    (void)state;
    struct cc_head head;
    struct cc_making making;
    mpq_t w, d;

    cc_head_init(&head);
    cc_making_init(&making);
    test_mpq_init(w, "1/2160");
    test_mpq_init(d, "1/1080");
    assert_int_equal(cc_head_read(&head, profile, sizeof profile - 1, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_making_find(&making, &head, 27, 0, w, d, NULL), CC_OK);
    test_mpq_equal("holes 1", making.at[0].hole_error, "1/135");
    test_mpq_equal("work 1", making.at[0].work_error, "1/432");
    test_mpq_equal("holes 2", making.at[1].hole_error, "7/2160");
    test_mpq_equal("holes 2, arithmetic", making.at[1].hole_arithmetic, "13/8640");
    test_mpq_equal("work 2", making.at[1].work_error, "11/8640");
    test_mpq_equal("work 2, arithmetic", making.at[1].work_arithmetic, "13/34560");
    test_mpq_equal("floor of holes", making.hole_floor, "1/540");
    test_mpq_equal("floor of work", making.work_floor, "1/1080");
    for (size_t g = 1; g < making.generations; g++) {      /* the floor is reached from above */
        assert_true(mpq_cmp(making.at[g].work_error, making.at[g - 1].work_error) < 0);
        assert_true(mpq_cmp(making.at[g].work_error, making.work_floor) > 0);
    }
    mpq_neg(w, w);
    assert_int_equal(cc_making_find(&making, &head, 27, 0, w, d, NULL), CC_EDOM);
    mpq_neg(w, w);
    mpq_set_ui(head.worm, 1, 1);
    assert_int_equal(cc_making_find(&making, &head, 27, 0, w, d, NULL), CC_EDOM);
    mpq_clears(w, d, NULL);
    cc_making_clear(&making);
    cc_head_clear(&head);
}

/*
 * Worm 4, so a circle C has 4 C units. 27 holes, worked by hand:
 *
 *   circle 20: 80/27 units apart, rounded: fractions j/27, the worst next to a half, 13/27 unit = 13/2160 turn
 *   circles 20 and 21, 1680 units: 560/9 apart. Rounded (nearest compound): 4/9 unit = 1/3780. The same movement every
 *   time (nearly exact): 4 divisions are 2240/9 = 249 - 1/9 units, after 27 movements 3 units = 1/560 off
 *
 * What is left of 13/2160 in work is 13/2160 / 4^g; with w = d = 1/2160 the floor is 2/3/2160 + 1/2160 = 1/1296, a
 * hundredth of it 1/129600, so that 4^g >= 780 ends it: plate 5 (4^5 = 1024). With twice the errors 4^g >= 390 does not,
 * with half 1560 needs plate 6; without any it goes on to the last. 28 holes: 21 * 4 / 28 = 3, exact.
 *
 * Errors of a tenth of a turn drown the rounding of plate 1 (13/8640 against 1/600), but plate 2 is shown. With worm 40
 * both circles are far within any usual tolerance for 9 holes: 2001 is off by 1/3 of its 80040 units, 2002, the
 * larger, by 4/9 of 80080; the least error is wanted.
 */
static void makings(void **state)
{
    static const struct {
        const char *worm, *circles, *errors;    /* w = d */
        unsigned long holes;
        unsigned methods;
        enum cc_method method;
        const char *first;
        size_t generations;
    } rows[] = {
        { "4", "20", "1/2160", 27, 0, CC_NEAREST_HOLE, "13/2160", 5 },
        { "4", "20", "1/1080", 27, 0, CC_NEAREST_HOLE, "13/2160", 5 },
        { "4", "20", "1/4320", 27, 0, CC_NEAREST_HOLE, "13/2160", 6 },
        { "4", "20", "0", 27, 0, CC_NEAREST_HOLE, "13/2160", 8 },
        { "4", "20 21", "1/2160", 27, 0, CC_NEARLY_EXACT, "1/560", 4 },    /* 4^g >= 129600/560 = 231.4; 4^4 = 256 */
        { "4", "20 21", "1/2160", 27, 1U << CC_NEAREST_COMPOUND, CC_NEAREST_COMPOUND, "1/3780", 3 },     /* 34.3; 4^3 = 64 */
        { "4", "20 21", "1/2160", 28, 0, CC_PLAIN, "0", 1 },
        { "4", "20", "1/10", 27, 0, CC_NEAREST_HOLE, "13/2160", 2 },
        { "40", "2001 2002", "1/2160", 9, 1U << CC_NEAREST_HOLE, CC_NEAREST_HOLE, "1/240120", 2 },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char profile[100];
        struct cc_head head;
        struct cc_making making;
        mpq_t error;
        snprintf(profile, sizeof profile, "[head]\nworm = %s\n[plate A]\nside 1 = %s\n", rows[i].worm,
                 rows[i].circles);
        cc_head_init(&head);
        cc_making_init(&making);
        test_mpq_init(error, rows[i].errors);
        assert_int_equal(cc_head_read(&head, profile, strlen(profile), "made", "made", NULL), CC_OK);
        assert_int_equal(cc_making_find(&making, &head, rows[i].holes, rows[i].methods, error, error, NULL), CC_OK);
        assert_int_equal(making.plan.method, rows[i].method);
        test_mpq_equal("worst error of plate 1", making.plan.worst_error, rows[i].first);
        if (making.generations != rows[i].generations)
            fail_msg("row %zu: %zu plates", i, making.generations);
        test_mpq_equal("rounding in plate 1", making.at[0].hole_arithmetic, rows[i].first);
        if (i == 0) {
            test_mpq_equal("floor of work", making.work_floor, "1/1296");
            test_mpq_equal("floor of holes", making.hole_floor, "1/810");       /* 2/2160 * 4/3 */
            test_mpq_equal("rounding in work, plate 5", making.at[4].work_arithmetic, "13/2211840");
        }
        mpq_clear(error);
        cc_making_clear(&making);
        cc_head_clear(&head);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_capability),  cmocka_unit_test(exactness),
        cmocka_unit_test(cover_against_force),   cmocka_unit_test(plate_against_force),
        cmocka_unit_test(unservable_numbers),
        cmocka_unit_test(the_127_circle),        cmocka_unit_test(questions_refused),
        cmocka_unit_test(arcs),                  cmocka_unit_test(lengths),
        cmocka_unit_test(generations_by_hand),   cmocka_unit_test(makings),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
