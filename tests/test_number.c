/* test_number.c: exact numbers in and out, and the messages every failure fills. */
#include <mpfr.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "support.h"

/* ---- input ---- */

static void rational_grammar(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/cases/number.tsv");
    while (test_tsv_next(&t)) {
        struct cc_error err;
        mpq_t q;
        test_mpq_init(q, TEST_UNTOUCHED);
        enum cc_status s = cc_rational_parse(q, test_tsv_get(&t, "text"), &err);
        test_grammar_row(&t, s, &err, q);
        mpq_clear(q);
    }
    test_tsv_close(&t);
}

static void counts(void **state)
{
    static const char *const bad[] = { "", "-1", "+1", " 1", "1 ", "1 0", "0x1", "1.0", "1/1", "one" };
    struct cc_error err;
    mpz_t n;
    (void)state;

    mpz_init_set_ui(n, 99);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        char want[100];
        snprintf(want, sizeof want, "'%s' is not a count: write digits only, as in 127", bad[i]);
        assert_int_equal(cc_count_parse(n, bad[i], &err), CC_EPARSE);
        assert_string_equal(err.text, want);
        assert_int_equal(mpz_get_ui(n), 99);
    }
    assert_int_equal(cc_count_parse(n, "010", &err), CC_OK);
    assert_int_equal(mpz_get_ui(n), 10);
    mpz_clear(n);
}

/* Text is what both ways are measured by: a long of 32 bits would lose the upper half. */
static void words_of_64_bits(void **state)
{
    static const struct { int64_t n; const char *text; } whole[] = {
        { 0, "0" }, { 1, "1" }, { -1, "-1" }, { 4294967295, "4294967295" }, { -4294967296, "-4294967296" },
        { 5000000000, "5000000000" }, { INT64_MAX, "9223372036854775807" }, { -INT64_MAX, "-9223372036854775807" },
    };
    char text[32];
    mpz_t n;
    (void)state;

    mpz_init(n);
    for (size_t i = 0; i < sizeof whole / sizeof whole[0]; i++) {
        cc_set_i64(n, whole[i].n);
        assert_string_equal(mpz_get_str(text, 10, n), whole[i].text);
        assert_true(cc_get_i64(n) == whole[i].n);
        assert_true(cc_get_u64(n) == (uint64_t)(whole[i].n < 0 ? -whole[i].n : whole[i].n));
    }
    cc_set_u64(n, UINT64_MAX);
    assert_string_equal(mpz_get_str(text, 10, n), "18446744073709551615");
    assert_true(cc_get_u64(n) == UINT64_MAX);
    assert_true(cc_get_i64(n) == INT64_MAX);
    mpz_neg(n, n);
    assert_true(cc_get_i64(n) == -INT64_MAX);
    mpz_set_str(n, "36893488147419103232", 10);     /* 2^65 */
    assert_true(cc_get_u64(n) == UINT64_MAX);
    mpz_clear(n);
}

static void digit_limit(void **state)
{
    static char text[CC_MAX_DIGITS + 3];
    struct cc_error err;
    mpq_t q;
    mpz_t n, want;
    (void)state;

    test_mpq_init(q, TEST_UNTOUCHED);
    mpz_inits(n, want, NULL);
    memset(text, '9', CC_MAX_DIGITS);
    assert_int_equal(cc_count_parse(n, text, &err), CC_OK);
    mpz_ui_pow_ui(want, 10, CC_MAX_DIGITS);
    mpz_sub_ui(want, want, 1);
    assert_int_equal(mpz_cmp(n, want), 0);

    text[CC_MAX_DIGITS] = '9';
    assert_int_equal(cc_count_parse(n, text, &err), CC_ELIMIT);
    assert_string_equal(err.text, "a number of 10001 digits is too long: at most 10000 digits");
    assert_int_equal(mpz_cmp(n, want), 0);
    assert_int_equal(cc_rational_parse(q, text, &err), CC_ELIMIT);
    text[0] = '.';
    text[CC_MAX_DIGITS + 1] = '9';
    assert_int_equal(cc_rational_parse(q, text, &err), CC_ELIMIT);
    test_mpq_equal("refused", q, TEST_UNTOUCHED);
    text[0] = '1';
    text[1] = '/';
    assert_int_equal(cc_rational_parse(q, text, &err), CC_OK);
    assert_int_equal(mpz_cmp(mpq_denref(q), want), 0);
    mpz_clears(n, want, NULL);
    mpq_clear(q);
}

/* ---- output ---- */

static void decimals(void **state)
{
    static const struct {
        const char *value;
        unsigned decimals;
        const char *plain, *shortest;
    } rows[] = {
        { "0", 0, "0", "0" },               { "0", 3, "0.000", "0" },
        { "1/2", 0, "1", "1" },             { "-1/2", 0, "-1", "-1" },      /* half away from zero */
        { "1/3", 0, "0", "0" },             { "-1/3", 0, "0", "0" },        /* no negative zero */
        { "-1/3000", 3, "0.000", "0" },     { "-1/2000", 3, "-0.001", "-0.001" },
        { "1/2000", 3, "0.001", "0.001" },  { "1/20000", 3, "0.000", "0" },
        { "5/2", 0, "3", "3" },             { "5/2", 1, "2.5", "2.5" },
        { "5/2", 4, "2.5000", "2.5" },      { "100", 0, "100", "100" },
        { "100", 2, "100.00", "100" },      { "120/19", 9, "6.315789474", "6.315789474" },
        { "15", 9, "15.000000000", "15" },  { "9995/1000", 2, "10.00", "10" },
        { "-9995/1000", 2, "-10.00", "-10" }, { "1/8", 2, "0.13", "0.13" },
        { "101/100", 4, "1.0100", "1.01" }, { "1/100", 2, "0.01", "0.01" },
        { "1000000000000000000001/10", 1, "100000000000000000000.1", "100000000000000000000.1" },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char buf[80];
        mpq_t q;
        test_mpq_init(q, rows[i].value);
        assert_int_equal(cc_decimal_str(buf, sizeof buf, q, rows[i].decimals), strlen(rows[i].plain));
        assert_string_equal(buf, rows[i].plain);
        assert_int_equal(cc_decimal_short_str(buf, sizeof buf, q, rows[i].decimals),
                         strlen(rows[i].shortest));
        assert_string_equal(buf, rows[i].shortest);
        mpq_clear(q);
    }
}

static void snprintf_manner(void **state)
{
    char buf[8];
    mpq_t q;
    (void)state;

    test_mpq_init(q, "-355/113");
    for (size_t size = 0; size < sizeof buf; size++) {
        memset(buf, '#', sizeof buf);
        assert_int_equal(cc_rational_str(buf, size, q), 8);
        if (size > 0) {
            assert_memory_equal(buf, "-355/113", size - 1);
            assert_int_equal(buf[size - 1], '\0');
        }
        assert_int_equal(buf[size], '#');
        memset(buf, '#', sizeof buf);
        assert_int_equal(cc_decimal_str(buf, size, q, 5), 8);
        if (size > 0) {
            assert_memory_equal(buf, "-3.14159", size - 1);
            assert_int_equal(buf[size - 1], '\0');
        }
        assert_int_equal(buf[size], '#');
    }
    assert_int_equal(cc_rational_str(NULL, 0, q), 8);
    assert_int_equal(cc_decimal_str(NULL, 0, q, 5), 8);
    mpq_clear(q);
}

static void rounding(void **state)
{
    static const struct {
        const char *value;
        long whole;
    } rows[] = {
        { "0", 0 },    { "1/2", 1 },  { "-1/2", -1 }, { "3/2", 2 },   { "-3/2", -2 }, { "49/100", 0 },
        { "-49/100", 0 }, { "51/100", 1 }, { "-51/100", -1 }, { "7", 7 }, { "-7", -7 },
    };
    mpz_t whole;
    (void)state;

    mpz_init(whole);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mpq_t q;
        test_mpq_init(q, rows[i].value);
        cc_rational_round(whole, q);
        assert_int_equal(mpz_get_si(whole), rows[i].whole);
        cc_rational_round(mpq_numref(q), q);        /* the output may be part of the input */
        assert_int_equal(mpz_get_si(mpq_numref(q)), rows[i].whole);
        mpq_clear(q);
    }
    mpz_clear(whole);
}

static void random_rational(mpq_t q, gmp_randstate_t random)
{
    mpz_rrandomb(mpq_numref(q), random, 1 + gmp_urandomm_ui(random, 90));
    mpz_rrandomb(mpq_denref(q), random, 1 + gmp_urandomm_ui(random, 60));
    if (mpz_sgn(mpq_denref(q)) == 0)
        mpz_set_ui(mpq_denref(q), 1);
    if (gmp_urandomm_ui(random, 2) == 0)
        mpz_neg(mpq_numref(q), mpq_numref(q));
    mpq_canonicalize(q);
}

static void parse_undoes_print(void **state)
{
    gmp_randstate_t random;
    char buf[200];
    mpq_t q, back;
    (void)state;

    test_random_init(random);
    mpq_inits(q, back, NULL);
    for (unsigned long i = 0, n = test_rounds(2000); i < n; i++) {
        random_rational(q, random);
        cc_rational_str(buf, sizeof buf, q);
        if (cc_rational_parse(back, buf, NULL) != CC_OK || !mpq_equal(q, back))
            fail_msg("seed %lu, round %lu: %s does not come back", test_seed(), i, buf);
    }
    mpq_clears(q, back, NULL);
    gmp_randclear(random);
}

/*
 * MPFR as the witness: at 400 bits a value of 90 bits over one of 60 is known far better than to
 * the digits printed, and MPFR's "%.*RNf" rounds to nearest; exact halves are left to the table.
 */
static void decimals_agree_with_mpfr(void **state)
{
    gmp_randstate_t random;
    unsigned long compared = 0, n = test_rounds(2000);
    char got[200], want[200];
    mpfr_t x;
    mpq_t q, twice;
    (void)state;

    test_random_init(random);
    mpq_inits(q, twice, NULL);
    mpfr_init2(x, 400);
    for (unsigned long i = 0; i < n; i++) {
        unsigned places = (unsigned)gmp_urandomm_ui(random, 12);
        random_rational(q, random);
        mpz_ui_pow_ui(mpq_numref(twice), 10, places);
        mpz_mul_ui(mpq_numref(twice), mpq_numref(twice), 2);
        mpz_set_ui(mpq_denref(twice), 1);
        mpq_mul(twice, twice, q);
        if (mpz_cmp_ui(mpq_denref(twice), 1) == 0 && mpz_odd_p(mpq_numref(twice)))
            continue;
        compared++;
        mpfr_set_q(x, q, MPFR_RNDN);
        mpfr_snprintf(want, sizeof want, "%.*RNf", (int)places, x);
        if (want[0] == '-' && strspn(want + 1, "0.") == strlen(want + 1))
            memmove(want, want + 1, strlen(want));      /* the witness has a negative zero */
        cc_decimal_str(got, sizeof got, q, places);
        if (strcmp(got, want) != 0)
            fail_msg("seed %lu, round %lu: %s, MPFR has %s", test_seed(), i, got, want);
    }
    assert_true(compared > n / 2);
    mpfr_clear(x);
    mpq_clears(q, twice, NULL);
    gmp_randclear(random);
}

/* ---- messages ---- */

static void message_is_cut_between_characters(void **state)
{
    struct cc_error err;
    char text[500];
    size_t room = sizeof err.text - 1;
    (void)state;

    assert_int_equal(cc_fail(NULL, CC_EDOM, "nobody reads this"), CC_EDOM);
    memset(text, 'x', sizeof text);
    for (size_t pad = 0; pad < 4; pad++) {      /* the character ends before, at and behind the cut */
        memcpy(text + room - pad, "\xE2\x80\xB3yyyyyy", 10);
        assert_int_equal(cc_fail(&err, CC_EPARSE, "%s", text), CC_EPARSE);
        assert_int_equal(err.status, CC_EPARSE);
        if (pad < 3) {
            assert_int_equal(strlen(err.text), room - pad);
            assert_null(strchr(err.text, '\xE2'));
        } else {
            assert_int_equal(strlen(err.text), room);
            assert_string_equal(err.text + room - 3, "\xE2\x80\xB3");
        }
    }
}

static void message_is_one_line_of_utf8(void **state)
{
    static const struct {
        const char *text, *want;
    } rows[] = {
        { "a\nb\tc\x7F" "d\x1B", "a?b?c?d?" },
        { "caf\xE9 ole", "caf? ole" },              /* Latin-1 */
        { "\xC0\xAF", "??" },                       /* overlong '/' */
        { "\xED\xA0\x80", "???" },                  /* a surrogate */
        { "\xF4\x90\x80\x80", "????" },             /* over U+10FFFF */
        { "12\xC2\xB0 30\xE2\x80\xB2 \xF0\x9F\x94\xA7", "12\xC2\xB0 30\xE2\x80\xB2 \xF0\x9F\x94\xA7" },
        { "\xE2\x80", "??" },                       /* half a character */
    };
    struct cc_error err;
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cc_fail(&err, CC_EPARSE, "%s", rows[i].text);
        assert_string_equal(err.text, rows[i].want);
    }
    cc_fail(&err, CC_EPARSE, "old");
    cc_fail(&err, CC_EDOM, "f:3: %s", err.text);    /* a message may quote the one before */
    assert_string_equal(err.text, "f:3: old");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rational_grammar),
        cmocka_unit_test(counts),
        cmocka_unit_test(words_of_64_bits),
        cmocka_unit_test(digit_limit),
        cmocka_unit_test(decimals),
        cmocka_unit_test(snprintf_manner),
        cmocka_unit_test(rounding),
        cmocka_unit_test(parse_undoes_print),
        cmocka_unit_test(decimals_agree_with_mpfr),
        cmocka_unit_test(message_is_cut_between_characters),
        cmocka_unit_test(message_is_one_line_of_utf8),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
