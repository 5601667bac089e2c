/* test_length.c: lengths in and out. */
#include <string.h>

#include "crankcard/length.h"
#include "support.h"

#include <mpfr.h>

static void grammar(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/cases/length.tsv");
    while (test_tsv_next(&t)) {
        enum cc_unit bare = strcmp(test_tsv_get(&t, "bare"), "in") == 0 ? CC_INCH : CC_MM;
        struct cc_error err;
        mpq_t mm;
        test_mpq_init(mm, TEST_UNTOUCHED);
        enum cc_status s = cc_length_parse(mm, test_tsv_get(&t, "text"), bare, &err);
        test_grammar_row(&t, s, &err, mm);
        mpq_clear(mm);
    }
    test_tsv_close(&t);
}

static void printed(void **state)
{
    static const struct {
        const char *mm;
        enum cc_unit unit;
        unsigned decimals;
        const char *want;
    } rows[] = {
        { "127/5", CC_INCH, 3, "1.000" },   { "127/5", CC_MM, 3, "25.400" },
        { "381/40", CC_INCH, 3, "0.375" },  { "1", CC_INCH, 6, "0.039370" },    /* 5/127 = 0.0393700787... */
        { "-1/100000", CC_MM, 3, "0.000" }, { "-127/10000", CC_INCH, 3, "-0.001" }, /* half away from 0 */
    };
    char buf[40];
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mpq_t mm;
        test_mpq_init(mm, rows[i].mm);
        assert_int_equal(cc_length_str(buf, sizeof buf, mm, rows[i].unit, rows[i].decimals),
                         strlen(rows[i].want));
        assert_string_equal(buf, rows[i].want);
        test_mpq_equal("the length printed", mm, rows[i].mm);
        mpq_clear(mm);
    }
    assert_string_equal(cc_unit_name(CC_MM), "mm");
    assert_string_equal(cc_unit_name(CC_INCH), "in");
}

/* 1 mm at 1000/(2 pi) mm is a thousandth of a turn; against MPFR's pi, and never more than the length asks. */
static void angle_at_a_radius(void **state)
{
    static const struct { const char *length, *radius; } rows[] = { { "1", "30" }, { "1/20", "30" }, { "127/5", "1/3" } };
    mpq_t length, radius, angle;
    mpfr_t pi, least, most;
    (void)state;

    mpfr_inits2(400, pi, least, most, (mpfr_ptr)NULL);
    mpfr_const_pi(pi, MPFR_RNDN);
    mpq_init(angle);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        test_mpq_init(length, rows[i].length);
        test_mpq_init(radius, rows[i].radius);
        cc_length_angle(angle, length, radius);
        mpfr_set_q(most, length, MPFR_RNDN);
        mpfr_div_q(most, most, radius, MPFR_RNDN);
        mpfr_div(most, most, pi, MPFR_RNDN);
        mpfr_div_2ui(most, most, 1, MPFR_RNDN);
        mpfr_mul_d(least, most, 1 - 1e-15, MPFR_RNDN);
        assert_true(mpfr_cmp_q(most, angle) > 0 && mpfr_cmp_q(least, angle) < 0);
        mpq_clears(length, radius, NULL);
    }
    mpq_clear(angle);
    mpfr_clears(pi, least, most, (mpfr_ptr)NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(grammar), cmocka_unit_test(printed),
                                        cmocka_unit_test(angle_at_a_radius) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
