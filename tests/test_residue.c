/* The tried divisor against plain division. */
#include "plan/search.h"
#include "support.h"

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

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(divides_as_division_does) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
