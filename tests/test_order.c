/* test_order.c: the fewest plate changes, against trying every set of mountings. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "crankcard/order.h"

enum { JOBS = 9, MOUNTS = 7 };

static size_t bits(unsigned set)
{
    size_t n = 0;
    for (; set != 0; set &= set - 1)
        n++;
    return n;
}

/* Every set of mountings that holds the mounted one: the least number of others that serves all. */
static size_t least_changes(const bool *serves, size_t jobs, size_t mounts, size_t mounted)
{
    size_t least = mounts;

    for (unsigned set = 0; set < 1u << mounts; set++) {
        unsigned with = mounted < mounts ? set | 1u << mounted : set;
        bool all = true;
        for (size_t j = 0; j < jobs && all; j++) {
            unsigned row = 0;
            for (size_t m = 0; m < mounts; m++)
                row |= (unsigned)serves[j * mounts + m] << m;
            all = row == 0 || (row & with) != 0;
        }
        size_t others = bits(with) - (mounted < mounts ? 1 : 0);
        if (all && others < least)
            least = others;
    }
    return least;
}

static void test_least_changes(void **state)
{
    gmp_randstate_t random;
    unsigned long several = 0;
    (void)state;

    test_random_init(random);
    for (unsigned long i = 0; i < test_rounds(3000); i++) {
        bool serves[JOBS * MOUNTS];
        size_t chosen[JOBS], changes, jobs = gmp_urandomm_ui(random, JOBS + 1);
        size_t mounts = 1 + gmp_urandomm_ui(random, MOUNTS);
        size_t mounted = gmp_urandomm_ui(random, mounts + 1);
        unsigned used = 0;
        unsigned long odds = 2 + gmp_urandomm_ui(random, 5);    /* 1 in 2 to 1 in 6 */
        if (mounted == mounts)
            mounted = CC_NO_MOUNT;
        for (size_t k = 0; k < jobs * mounts; k++)
            serves[k] = gmp_urandomm_ui(random, odds) == 0;
        assert_int_equal(cc_order_changes(chosen, &changes, serves, jobs, mounts, mounted, NULL), CC_OK);
        for (size_t j = 0; j < jobs; j++) {
            bool some = false;
            for (size_t m = 0; m < mounts; m++)
                some = some || serves[j * mounts + m];
            if (some != (chosen[j] != CC_NO_MOUNT) || (some && !serves[j * mounts + chosen[j]]))
                fail_msg("seed %lu, round %lu: job %zu has mounting %zu", test_seed(), i, j, chosen[j]);
            if (some && chosen[j] != mounted)
                used |= 1u << chosen[j];
        }
        size_t least = least_changes(serves, jobs, mounts, mounted);
        if (changes != least || bits(used) > changes)
            fail_msg("seed %lu, round %lu: %zu changes, %zu used, least %zu", test_seed(), i, changes, bits(used), least);
        several += least >= 2;
    }
    assert_true(several > test_rounds(3000) / 10);     /* the search was really needed */
    gmp_randclear(random);
}

/* 60 mountings and as many jobs, each served by one of its own: more than the search tries, still an answer. */
static void test_large(void **state)
{
    static bool serves[60 * 60];
    size_t chosen[60], changes;
    (void)state;

    for (size_t j = 0; j < 60; j++)
        for (size_t m = 0; m < 60; m++)
            serves[j * 60 + m] = m == j || m == (j + 1) % 60 || (m * 7 + j) % 11 == 0;
    assert_int_equal(cc_order_changes(chosen, &changes, serves, 60, 60, CC_NO_MOUNT, NULL), CC_OK);
    assert_true(changes >= 1 && changes <= 60);
    for (size_t j = 0; j < 60; j++)
        assert_true(chosen[j] < 60 && serves[j * 60 + chosen[j]]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_least_changes),
        cmocka_unit_test(test_large),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
