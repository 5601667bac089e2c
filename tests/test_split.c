/*
 * test_split.c: what the two pins of a compound setting do, against trying every movement of the plate
 * (docs/method.md, "Compound indexing": which a and b).
 */
#include "plan/search.h"
#include "support.h"

#include <stdlib.h>

static int64_t greatest_common(int64_t a, int64_t b)
{
    return b == 0 ? a : greatest_common(b, a % b);
}

/* The shortest travel in units 1/L; where both parts can go forward in several ways, all are as long: that with the least b. */
static struct cci_split by_trying(int64_t c1, int64_t c2, int64_t units)
{
    struct cci_split best = { 0, 0 };
    int64_t shortest = INT64_MAX;

    for (int64_t b = -2 * c2; b <= 2 * c2; b++) {
        if ((units - b * c1) % c2 != 0)
            continue;
        int64_t a = (units - b * c1) / c2, travel = llabs(a) * c2 + llabs(b) * c1;
        if (travel < shortest) {
            shortest = travel;
            best = (struct cci_split){ a, b };
        }
    }
    return best;
}

static void as_trying_does(void **state)
{
    static const unsigned pairs[][2] = { { 15, 16 }, { 16, 15 }, { 15, 18 }, { 19, 15 }, { 21, 33 }, { 33, 21 }, { 4, 6 },
                                         { 6, 4 }, { 3, 2 }, { 10, 25 } };
    unsigned long back = 0, forward = 0;

    (void)state;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        int64_t g = greatest_common(pairs[i][0], pairs[i][1]), c1 = pairs[i][0] / g, c2 = pairs[i][1] / g;
        struct cc_plan plan;
        cc_plan_init(&plan);
        plan.circle = pairs[i][0];
        plan.circle2 = pairs[i][1];
        plan.side = 1;
        plan.unit = (uint64_t)(g * c1 * c2);
        for (int64_t units = 0; units <= 3 * (int64_t)plan.unit; units++) {
            struct cci_split want = by_trying(c1, c2, units), got = cci_split_units(&plan, units);
            struct cci_split mirror = cci_split_units(&plan, -units);
            if (got.pin != want.pin || got.plate != want.plate)
                fail_msg("circles %u and %u, %lld units: pin %lld plate %lld, not %lld %lld", pairs[i][0], pairs[i][1],
                         (long long)units, (long long)got.pin, (long long)got.plate, (long long)want.pin,
                         (long long)want.plate);
            /* Backwards is the same movement the other way round. */
            assert_int_equal(mirror.pin, -want.pin);
            assert_int_equal(mirror.plate, -want.plate);
            assert_int_equal(cci_split_travel(&plan, got), llabs(want.pin) * c2 + llabs(want.plate) * c1);
            back += want.pin < 0 || want.plate < 0;
            forward += want.pin > 0 && want.plate > 0;
        }
        cc_plan_clear(&plan);
    }
    assert_true(back > 100 && forward > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(as_trying_does) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
