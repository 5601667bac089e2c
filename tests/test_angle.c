/* test_angle.c: angles in and out. */
#include <locale.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/angle.h"
#include "support.h"

static void grammar(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/cases/angle.tsv");
    while (test_tsv_next(&t)) {
        struct cc_error err;
        mpq_t q;
        test_mpq_init(q, TEST_UNTOUCHED);
        enum cc_status s = cc_angle_parse(q, test_tsv_get(&t, "text"), &err);
        test_grammar_row(&t, s, &err, q);
        mpq_clear(q);
    }
    test_tsv_close(&t);
}

static void prefix(void **state)
{
    static const struct {
        const char *text, *value, *rest;    /* value NULL: refused */
    } rows[] = {
        { "37\xC2\xB0" "30' keyway", "5/48", "keyway" },
        { "37d30m keyway", "5/48", "keyway" },
        { "90 flat", "1/4", "flat" },           { "90", "1/4", "" },
        { "90  ", "1/4", "" },                  { "22 1/2 pin", "1/16", "pin" },
        { "12\xC2\xB0 30\xE2\x80\xB2 long", "5/144", "long" },
        { "12\xC2\xB0 30 holes", "1/30", "30 holes" },
        { "12:30 deep", "5/144", "deep" },      { "45 45", "1/8", "45" },
        { "1/7rev a, b", "1/7", "a, b" },       { "90 d", "1/4", "d" },
        { "90flat", NULL, NULL },               { "flat", NULL, NULL },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *rest = "untouched";
        mpq_t q;
        test_mpq_init(q, TEST_UNTOUCHED);
        enum cc_status s = cc_angle_parse_prefix(q, &rest, rows[i].text, NULL);
        if (s != (rows[i].value != NULL ? CC_OK : CC_EPARSE))
            fail_msg("'%s': status %d", rows[i].text, (int)s);
        test_mpq_equal(rows[i].text, q, s == CC_OK ? rows[i].value : TEST_UNTOUCHED);
        assert_string_equal(rest, s == CC_OK ? rows[i].rest : "untouched");
        mpq_clear(q);
    }
}

/* The columns of value are in seconds of arc, so that a row can be checked by eye. */
static void printed(void **state)
{
    static const struct {
        const char *arcsec;
        unsigned decimals;
        const char *dms, *error;
    } rows[] = {
        { "0", 3, "0d00m00.000s", "0s" },
        { "0", 0, "0d00m00s", "0s" },
        { "22736842/1000", 3, "6d18m56.842s", "6d18m56.842s" },
        { "1407/100", 2, "0d00m14.07s", "14.07s" },
        { "-16531/100", 2, "-0d02m45.31s", "-2m45.31s" },
        { "3723", 2, "1d02m03.00s", "1d02m03.00s" },
        { "1296000", 0, "360d00m00s", "360d00m00s" },
        { "-1296000", 0, "-360d00m00s", "-360d00m00s" },
        { "5999996/100000", 4, "0d01m00.0000s", "1m00.0000s" },     /* never 60.0000s */
        { "5999994/100000", 4, "0d00m59.9999s", "59.9999s" },
        { "359999999/100000", 1, "1d00m00.0s", "1d00m00.0s" },      /* nor 60m */
        { "-359999999/100000", 1, "-1d00m00.0s", "-1d00m00.0s" },
        { "1/2", 0, "0d00m01s", "1s" },     { "-1/2", 0, "-0d00m01s", "-1s" },
        { "-1/3", 0, "0d00m00s", "0s" },    { "-1/3000", 3, "0d00m00.000s", "0.000s" },
    };
    char buf[80];
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mpq_t q, turn;
        test_mpq_init(q, rows[i].arcsec);
        test_mpq_init(turn, "1/1296000");
        mpq_mul(q, q, turn);
        assert_int_equal(cc_angle_dms_str(buf, sizeof buf, q, rows[i].decimals, CC_MARKS_ASCII),
                         strlen(rows[i].dms));
        assert_string_equal(buf, rows[i].dms);
        assert_int_equal(cc_angle_error_str(buf, sizeof buf, q, rows[i].decimals, CC_MARKS_ASCII),
                         strlen(rows[i].error));
        assert_string_equal(buf, rows[i].error);
        mpq_clears(q, turn, NULL);
    }
}

/* 10^48 turns and 180.5 degrees: too long for a dial, so a decimal, which reads back; snprintf manner. */
static void printed_long(void **state)
{
    mpq_t angle, half;
    char buf[80], small[8];

    (void)state;
    mpq_init(angle);
    mpq_init(half);
    assert_int_equal(mpq_set_str(angle, "1000000000000000000000000000000000000000000000000", 10), 0);
    mpq_set_ui(half, 361, 720);     /* 180.5 degrees */
    mpq_canonicalize(half);
    mpq_add(angle, angle, half);
    mpq_neg(angle, angle);
    size_t n = cc_angle_dms_str(buf, sizeof buf, angle, 3, CC_MARKS_ASCII);
    assert_int_equal(n, strlen(buf));
    assert_int_equal(buf[n - 1], 'd');
    assert_int_equal(strncmp(buf, "-36000", 6), 0);
    assert_non_null(strstr(buf, "000180.5d"));
    assert_int_equal(cc_angle_dms_str(small, sizeof small, angle, 3, CC_MARKS_ASCII), n);
    assert_int_equal(cc_angle_error_str(NULL, 0, angle, 3, CC_MARKS_ASCII), n);
    mpq_t back;
    mpq_init(back);
    assert_int_equal(cc_angle_parse(back, buf, NULL), CC_OK);
    assert_true(mpq_equal(back, angle));
    mpq_clear(back);
    mpq_clear(half);
    mpq_clear(angle);
}

static void marks(void **state)
{
    char buf[40], small[5] = "####";
    mpq_t q;
    (void)state;

    test_mpq_init(q, "3001/86400");
    cc_angle_dms_str(buf, sizeof buf, q, 0, CC_MARKS_UTF8);
    assert_string_equal(buf, "12\xC2\xB0" "30\xE2\x80\xB2" "15\xE2\x80\xB3");
    assert_int_equal(cc_angle_dms_str(small, 4, q, 0, CC_MARKS_ASCII), strlen("12d30m15s"));
    assert_memory_equal(small, "12d", 4);
    assert_int_equal(cc_angle_dms_str(NULL, 0, q, 0, CC_MARKS_ASCII), strlen("12d30m15s"));
    mpq_set_ui(q, 1, 86400);
    cc_angle_error_str(buf, sizeof buf, q, 0, CC_MARKS_UTF8);
    assert_string_equal(buf, "15\xE2\x80\xB3");
    mpq_clear(q);
}

static void units(void **state)
{
    mpq_t q, out;
    (void)state;

    test_mpq_init(q, "-1/7");
    mpq_init(out);
    cc_angle_arcsec(out, q);
    test_mpq_equal("seconds", out, "-1296000/7");
    cc_angle_degrees(out, q);
    test_mpq_equal("degrees", out, "-360/7");
    cc_angle_degrees(q, q);
    test_mpq_equal("aliased", q, "-360/7");
    mpq_clears(q, out, NULL);
}

/* A whole number of thousandths of a second prints exactly, so reading it back is the identity. */
static void parse_undoes_print(void **state)
{
    gmp_randstate_t random;
    char buf[80];
    mpq_t q, back;
    (void)state;

    test_random_init(random);
    mpq_inits(q, back, NULL);
    for (unsigned long i = 0, n = test_rounds(3000); i < n; i++) {
        unsigned long span = gmp_urandomm_ui(random, 3) == 0 ? 130000 : 1296000000;
        mpq_set_si(q, (long)gmp_urandomm_ui(random, 2 * span) - (long)span, 1296000000);
        mpq_canonicalize(q);
        enum cc_marks style = gmp_urandomm_ui(random, 2) == 0 ? CC_MARKS_UTF8 : CC_MARKS_ASCII;
        if (gmp_urandomm_ui(random, 2) == 0)
            cc_angle_dms_str(buf, sizeof buf, q, 3, style);
        else
            cc_angle_error_str(buf, sizeof buf, q, 3, style);
        if (cc_angle_parse(back, buf, NULL) != CC_OK || !mpq_equal(q, back))
            fail_msg("seed %lu, round %lu: %s does not come back", test_seed(), i, buf);
    }
    mpq_clears(q, back, NULL);
    gmp_randclear(random);
}

/* The same bytes in a locale whose decimal point is a comma. */
static void no_locale(void **state)
{
    static const char *const names[] = { "de_DE.UTF-8", "fr_FR.UTF-8", "de_DE", "fr_FR", "nl_NL.UTF-8" };
    size_t i = 0, count = sizeof names / sizeof names[0];
    char buf[40];
    mpq_t q;
    (void)state;

    while (i < count && (setlocale(LC_ALL, names[i]) == NULL ||
                         strcmp(localeconv()->decimal_point, ",") != 0))
        i++;
    if (i == count) {
        setlocale(LC_ALL, "C");
        print_message("no locale with a decimal comma is installed\n");
        skip();
    }
    mpq_init(q);
    enum cc_status s = cc_angle_parse(q, "12d30m15.5s", NULL);
    cc_angle_dms_str(buf, sizeof buf, q, 2, CC_MARKS_ASCII);
    setlocale(LC_ALL, "C");
    assert_int_equal(s, CC_OK);
    assert_string_equal(buf, "12d30m15.50s");
    mpq_clear(q);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grammar),
        cmocka_unit_test(prefix),
        cmocka_unit_test(printed),
        cmocka_unit_test(printed_long),
        cmocka_unit_test(marks),
        cmocka_unit_test(units),
        cmocka_unit_test(parse_undoes_print),
        cmocka_unit_test(no_locale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
