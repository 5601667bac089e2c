/* test_lowest.c: fractions brought to lowest terms over one denominator are those of GMP. */
#include "crankcard/number.h"
#include "plan/lowest.h"
#include "support.h"

static void check(int64_t num, const struct cci_denominator *den)
{
    struct cc_fraction got = cci_lowest(num, den);
    mpq_t want, have;

    mpq_inits(want, have, NULL);
    cc_set_i64(mpq_numref(want), num);
    cc_set_u64(mpq_denref(want), den->n);
    mpq_canonicalize(want);
    cc_set_i64(mpq_numref(have), got.num);
    cc_set_u64(mpq_denref(have), got.den);
    /* not mpq_equal, which would have both in lowest terms already */
    if (mpz_cmp(mpq_numref(want), mpq_numref(have)) != 0 || mpz_cmp(mpq_denref(want), mpq_denref(have)) != 0)
        fail_msg("seed %lu: %lld/%llu", test_seed(), (long long)num, (unsigned long long)den->n);
    mpq_clears(want, have, NULL);
}

static void extremes(void **state)
{
    static const uint64_t dens[] = {
        1, 2, 3, 4, 9, 97, 101, 97 * 97, 97 * 101, 101 * 103, UINT64_C(1) << 62, UINT64_C(4052555153018976267) /* 3^39 */,
        UINT64_C(16294579238595022365) / 5 /* 3 7 11 ... 53 */, UINT64_C(9223372036854775783) /* prime */,
        UINT64_C(99990000), INT64_MAX,
    };
    (void)state;

    for (size_t i = 0; i < sizeof dens / sizeof dens[0]; i++) {
        struct cci_denominator den;
        cci_denominator_init(&den, dens[i]);
        for (size_t k = 0; k < sizeof dens / sizeof dens[0]; k++) {
            int64_t n = (int64_t)dens[k];
            const int64_t nums[] = { 0, 1, -1, n, -n, n - 1, 1 - n, n / 2, n / 3 * 2, -(n / 97) };
            for (size_t j = 0; j < sizeof nums / sizeof nums[0]; j++)
                check(nums[j], &den);
        }
    }
}

/* Products of a few factors, as circles and worms make them; the numerator shares some of them. */
static void products(void **state)
{
    unsigned long rounds = test_rounds(20000);
    gmp_randstate_t rs;
    (void)state;

    test_random_init(rs);
    for (unsigned long i = 0; i < rounds; i++) {
        uint64_t n = 1, shared = 1;
        struct cci_denominator den;
        while (n < (UINT64_C(1) << 50)) {
            uint64_t factor = 1 + gmp_urandomm_ui(rs, gmp_urandomm_ui(rs, 8) == 0 ? 8000 : 120);
            n *= factor;
            if (gmp_urandomm_ui(rs, 2) == 0)
                shared *= factor;
            if (gmp_urandomm_ui(rs, 6) == 0)
                break;
        }
        cci_denominator_init(&den, n);
        for (int k = 0; k < 4; k++) {
            uint64_t times = gmp_urandomm_ui(rs, 1000);
            int64_t num = (int64_t)(shared * times % (UINT64_C(1) << 62));
            check(k % 2 == 0 ? num : -num, &den);
        }
    }
    gmp_randclear(rs);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(extremes),
        cmocka_unit_test(products),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
