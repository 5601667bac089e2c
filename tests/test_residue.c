/* The number theory of the methods against plain counting. */
#include "plan/search.h"
#include "support.h"

#include "crankcard/crankcard.h"

static void divides_as_division_does(void **state)
{
    gmp_randstate_t random;
    unsigned long hits = 0, rounds = test_rounds(200000);

    (void)state;
    test_random_init(random);
    for (unsigned long i = 0; i < rounds; i++) {
        struct cci_divisor divisor;
        uint64_t n = 1 + gmp_urandomb_ui(random, 1 + i % 40), p = gmp_urandomb_ui(random, 64);
        if (i % 2 == 0)         /* half the rounds are made to divide */
            p = p / n * n;
        cci_divisor_set(&divisor, n);
        if (cci_divides(&divisor, p) != (p % n == 0))
            fail_msg("seed %lu, round %lu: %llu by %llu", test_seed(), i, (unsigned long long)p,
                     (unsigned long long)n);
        hits += p % n == 0;
    }
    assert_true(hits >= rounds / 2);
    gmp_randclear(random);
}

/* The first hit in both widths, against going through x = 0, 1, 2 ... */
static void first_hit_as_counting_does(void **state)
{
    gmp_randstate_t random;
    unsigned long rounds = test_rounds(20000), hits = 0;
    mpz_t x, za, zm, zl, zh;

    (void)state;
    test_random_init(random);
    mpz_inits(x, za, zm, zl, zh, NULL);
    for (unsigned long i = 0; i < rounds; i++) {
        unsigned long m = 2 + gmp_urandomm_ui(random, 300), a = gmp_urandomm_ui(random, m);
        unsigned long low = 1 + gmp_urandomm_ui(random, m - 1), high = low + gmp_urandomm_ui(random, m - low);
        uint64_t want = 0;
        while (want < m && (a * want % m < low || a * want % m > high))
            want++;
        if (want == m)
            want = CCI_NO_HIT;
        cc_set_u64(za, a);
        cc_set_u64(zm, m);
        cc_set_u64(zl, low);
        cc_set_u64(zh, high);
        bool fine = cci_first_hit_fine(x, za, zm, zl, zh);
        if (cci_first_hit(a, m, low, high, 0) != want || fine != (want != CCI_NO_HIT) ||
            (fine && cc_get_u64(x) != want))
            fail_msg("seed %lu, round %lu: %lu x mod %lu in %lu to %lu", test_seed(), i, a, m, low, high);
        hits += fine;
    }
    assert_true(hits > rounds / 4 && hits < rounds);
    mpz_clears(x, za, zm, zl, zh, NULL);
    gmp_randclear(random);
}

/* The first multiple near 0 but not on it, against going through x = 1, 2 ... */
static void first_close_as_counting_does(void **state)
{
    gmp_randstate_t random;
    unsigned long rounds = test_rounds(40000), hits = 0, on_zero = 0;

    (void)state;
    test_random_init(random);
    for (unsigned long i = 0; i < rounds; i++) {
        unsigned long m = 2 + gmp_urandomm_ui(random, 300), a = gmp_urandomm_ui(random, m);
        unsigned long most = gmp_urandomm_ui(random, i % 2 == 0 ? 4 : m / 2 + 1), last = gmp_urandomm_ui(random, m + 2), x = 1;
        for (; x <= last && (a * x % m == 0 || (a * x % m > most && m - a * x % m > most)); x++)
            on_zero += a * x % m == 0;
        uint64_t want = x <= last ? x : CCI_NO_HIT;
        if (cci_first_close(a, m, most, last) != want)
            fail_msg("seed %lu, round %lu: %lu x mod %lu within %lu, x to %lu", test_seed(), i, a, m, most, last);
        hits += want != CCI_NO_HIT;
    }
    assert_true(hits > rounds / 4 && hits < rounds && on_zero > 1000);
    gmp_randclear(random);
}

/* An arc or an offset too fine for 64 bits: the worst error of the plan is the worst of its rows. */
static void fine_worst_is_worst_of_rows(void **state)
{
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    gmp_randstate_t random;
    unsigned long rounds = test_rounds(60);

    (void)state;
    test_random_init(random);
    cc_head_init(&head);
    assert_int_equal(cc_head_default(&head, NULL), CC_OK);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    for (unsigned long i = 0; i < rounds; i++) {
        mpq_t worst, size;
        struct cc_cursor cursor;
        struct cc_step step;
        mpq_inits(worst, size, NULL);
        cc_request_init(&request);
        cc_plan_init(&plan);
        cc_step_init(&step);
        mpz_set_ui(request.divisions, 1 + gmp_urandomm_ui(random, 300));
        mpq_ptr fine = i % 2 == 0 ? request.arc : request.offset;
        mpz_urandomb(mpq_numref(fine), random, 80 + i);
        mpz_urandomb(mpq_denref(fine), random, 80 + i);
        mpz_setbit(mpq_denref(fine), 80 + i);
        mpz_add(mpq_numref(fine), mpq_numref(fine), mpq_denref(fine));
        mpq_canonicalize(fine);
        request.methods = 1U << (i % 3 == 0 ? CC_NEAREST_HOLE : CC_NEAREST_COMPOUND);
        assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, NULL), CC_OK);
        cc_cursor_init(&cursor, &plan, &request);
        while (cc_cursor_next(&cursor, &step)) {
            mpq_abs(size, step.error);
            if (mpq_cmp(size, worst) > 0)
                mpq_set(worst, size);
        }
        if (!mpq_equal(worst, plan.worst_error))
            fail_msg("seed %lu, round %lu: the plan's worst error is not that of its rows", test_seed(), i);
        cc_cursor_clear(&cursor);
        cc_step_clear(&step);
        cc_plan_clear(&plan);
        cc_request_clear(&request);
        mpq_clears(worst, size, NULL);
    }
    cc_planner_free(planner);
    cc_head_clear(&head);
    gmp_randclear(random);
}

/* ---- two movements ---- */

/* A circle or arc whose positions may lie half way between two units, on either side of zero, where rounding turns round. */
static void draw_rounded_request(struct cc_request *request, gmp_randstate_t random)
{
    static const unsigned circles[] = { 15, 17, 18, 20, 27, 33, 39, 43, 49 };
    unsigned circle = circles[gmp_urandomm_ui(random, sizeof circles / sizeof circles[0])];
    long offset = (long)gmp_urandomm_ui(random, 2001) - 1000;
    bool pair = gmp_urandomm_ui(random, 2) == 0;

    cc_request_init(request);
    mpz_set_ui(request->divisions, 2 + gmp_urandomm_ui(random, 400));
    request->methods = 1U << (pair ? CC_NEAREST_COMPOUND : CC_NEAREST_HOLE);
    request->circle = circle;
    if (gmp_urandomm_ui(random, 3) == 0)
        mpz_set_ui(request->divisions, 40 * circle / (1 + gmp_urandomm_ui(random, 6)));     /* a whole number of holes, or nearly */
    mpq_set_si(request->offset, offset, 2 * 40 * circle);
    mpq_canonicalize(request->offset);
    if (gmp_urandomm_ui(random, 3) == 0) {
        mpq_set_ui(request->arc, 1 + gmp_urandomm_ui(random, 99), 100);
        mpq_canonicalize(request->arc);
    }
}

/*
 * docs/method.md, "Two movements and no more": from the first position on every movement is one of the two that the plan
 * names, which a card calls A and B.
 */
static void rounded_rows_have_two_movements(void **state)
{
    struct cc_head head;
    struct cc_planner *planner;
    gmp_randstate_t random;
    unsigned long rounds = test_rounds(600), planned[2] = { 0, 0 }, both = 0;

    (void)state;
    test_random_init(random);
    cc_head_init(&head);
    assert_int_equal(cc_head_default(&head, NULL), CC_OK);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    for (unsigned long i = 0; i < rounds; i++) {
        struct cc_request request;
        struct cc_plan plan;
        struct cc_cursor cursor;
        struct cc_step step;
        int64_t named[2][3];
        unsigned long seen[2] = { 0, 0 };
        draw_rounded_request(&request, random);
        cc_plan_init(&plan);
        cc_step_init(&step);
        if (cc_planner_best(&plan, NULL, planner, &request, NULL) == CC_OK) {
            planned[plan.circle2 != 0]++;
            for (int k = 0; k < 2; k++)
                cc_plan_rounded_movement(&named[k][0], &named[k][1], &named[k][2], &plan, k == 1);
            cc_cursor_init(&cursor, &plan, &request);
            (void)cc_cursor_next(&cursor, &step);       /* row 0 has the offset */
            while (cc_cursor_next(&cursor, &step)) {
                int k = step.turns == named[0][0] && step.holes == named[0][1] && step.holes2 == named[0][2] ? 0 : 1;
                if (step.turns != named[k][0] || step.holes != named[k][1] || step.holes2 != named[k][2])
                    fail_msg("seed %lu, round %lu: row %lu has a third movement", test_seed(), i, (unsigned long)step.step);
                seen[k]++;
            }
            both += seen[0] > 0 && seen[1] > 0;
            cc_cursor_clear(&cursor);
        }
        cc_step_clear(&step);
        cc_plan_clear(&plan);
        cc_request_clear(&request);
    }
    if (planned[0] < rounds / 10 || planned[1] < rounds / 10 || both < rounds / 10)
        fail_msg("seed %lu: too few plans to tell: %lu on a circle, %lu on a pair, %lu with both movements", test_seed(), planned[0],
                 planned[1], both);
    cc_planner_free(planner);
    cc_head_clear(&head);
    gmp_randclear(random);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(divides_as_division_does),
        cmocka_unit_test(first_hit_as_counting_does),
        cmocka_unit_test(first_close_as_counting_does),
        cmocka_unit_test(fine_worst_is_worst_of_rows),
        cmocka_unit_test(rounded_rows_have_two_movements),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
