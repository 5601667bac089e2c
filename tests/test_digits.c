/* test_digits.c: numbers written without printf are those of printf. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>

#include "cli/out/digits.h"
#include "cli/out/json.h"
#include "support.h"

static void check_whole(uint64_t n)
{
    char want[32], got[32];

    snprintf(want, sizeof want, "%" PRIu64, n);
    *digits_put(got, n) = '\0';
    assert_string_equal(got, want);
}

/* n/10^decimals behind a point as printf has it, without the zeros at its end. */
static void check_part(uint64_t n, unsigned decimals)
{
    char want[32], got[32];
    size_t length = (size_t)snprintf(want, sizeof want, ".%0*" PRIu64, (int)decimals, n);

    while (length > 0 && (want[length - 1] == '0' || want[length - 1] == '.'))
        length--;
    want[length] = '\0';
    *digits_part(got, n, decimals) = '\0';
    assert_string_equal(got, want);
}

static void parts(void **state)
{
    uint64_t power = 1;
    (void)state;

    for (unsigned decimals = 1; decimals <= 9; decimals++) {
        power *= 10;
        check_part(0, decimals);
        for (uint64_t one = 1; one < power; one *= 10) {
            check_part(one, decimals);
            check_part(power - one, decimals);
            check_part(one * (power / one / 3), decimals);
        }
    }
}

static void whole_numbers(void **state)
{
    uint64_t power = 1;
    (void)state;

    check_whole(0);
    check_whole(UINT64_MAX);
    for (int digits = 1; digits < 20; digits++) {
        power *= 10;
        check_whole(power - 1);
        check_whole(power);
        check_whole(power + 1);
    }
    for (unsigned bits = 0; bits < 64; bits++)
        for (uint64_t off = 0; off < 3; off++)
            check_whole((UINT64_C(1) << bits) + off - 1);
}

static unsigned long near;

/* printf's digits without the zeros at the end, and without a sign where nothing else is left. */
static void check_double(double value, unsigned decimals)
{
    char want[400], got[400];
    int n = snprintf(want, sizeof want, "%.*f", (int)decimals, value);

    while (decimals > 0 && want[n - 1] == '0')
        n--;
    n -= want[n - 1] == '.';
    want[n] = '\0';
    size_t length = json_double_str(got, sizeof got, value, decimals);
    assert_int_equal(length, strlen(got));
    if (strcmp(want, "-0") == 0)
        strcpy(want, "0");
    assert_string_equal(got, want);
    /* what is a little beside it is written so too, or not at all */
    for (int way = -1; way <= 1; way += 2) {
        if (json_near_double_str(got, sizeof got, value * (1 + way * 0x1p-48), decimals) > 0) {
            assert_string_equal(got, want);
            near++;
        }
    }
}

static void doubles(void **state)
{
    unsigned long rounds = test_rounds(100000);
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (unsigned long i = 0; i < rounds; i++) {
        double value = (double)gmp_urandomb_ui(rs, 31) - 1073741824.0;
        unsigned decimals = (unsigned)gmp_urandomm_ui(rs, 12);
        check_double(ldexp(value, (int)gmp_urandomm_ui(rs, 90) - 80), decimals);
        check_double((floor(value / 1000) + 0.5) / pow(10, decimals), decimals);       /* about a half */
        check_double((floor(value / 1000) + 0.5) / 1024, decimals);                    /* exactly one, at times */
    }
    check_double(0, 6);
    check_double(-0.0, 6);
    check_double(-0.0000001, 6);
    check_double(1e300, 3);
    assert_true(near > rounds);
    gmp_randclear(rs);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(whole_numbers),
        cmocka_unit_test(parts),
        cmocka_unit_test(doubles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
