/*
 * test_rows.c: rows counted in machine integers are those of the exact cursor, row for row; where the numbers do
 * not fit, cc_rows_new says so.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"
#include "support.h"

static const char *const heads[] = {
    "data/heads/small-tilting.ini",      "data/heads/small-tilting-geared.ini", "data/heads/five-to-one.ini",
    "data/heads/universal-two-sided.ini", "data/heads/rotary-table-90.ini",     "data/heads/spin-fixture-36.ini",
    "data/heads/dial-table-90.ini",      "data/heads/dial-table-72.ini",
};

/* Fractional worms and circles that no shipped head has. Invented. */
static const char fractional[] = "[head]\nworm = 77/2\n[direct]\nholes = 24 30\n"
                                 "[plate A]\nside 1 = 20 21 22\nside 2 = 33 35 36\n[dial]\nlines = 97\nvernier = 6\n[gears]\nteeth = 24 24 28 40 48 64 100\n";
static const char large[] = "[head]\nworm = 999983/1000\n[plate A]\nside 1 = 9973 9967 10000\n";

struct bench {
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
};

static unsigned long below(gmp_randstate_t rs, unsigned long n)
{
    return gmp_urandomm_ui(rs, n);
}

static void bench_init(struct bench *b, const char *text, size_t length)
{
    struct cc_error err = { .text = "" };

    cc_head_init(&b->head);
    if (cc_head_read(&b->head, text, length, "test", "test", &err) != CC_OK)
        fail_msg("%s", err.text);
    assert_int_equal(cc_planner_new(&b->planner, &b->head, &err), CC_OK);
    cc_plan_init(&b->plan);
}

static void bench_clear(struct bench *b)
{
    cc_plan_clear(&b->plan);
    cc_planner_free(b->planner);
    cc_head_clear(&b->head);
}

/* A rational in steps of 1/den, |q| < turns. */
static void random_angle(mpq_t q, gmp_randstate_t rs, unsigned long den, unsigned long turns)
{
    mpq_set_si(q, (long)below(rs, 2 * turns * den) - (long)(turns * den), den);
    mpq_canonicalize(q);
}

/* Positions within 1000 turns either way, now and then of a denominator of their own. */
static void invent_list(struct cc_request *r, gmp_randstate_t rs)
{
    unsigned long den = 1 + below(rs, 4000);
    mpq_t at;

    mpq_init(at);
    for (unsigned long n = 1 + below(rs, 30); n > 0; n--) {
        random_angle(at, rs, below(rs, 8) == 0 ? 1 + below(rs, 97) : den, below(rs, 4) == 0 ? 900 : 1);
        assert_int_equal(cc_request_add(r, at, NULL, NULL), CC_OK);
    }
    mpq_clear(at);
}

static void invent(struct bench *b, gmp_randstate_t rs)
{
    struct cc_request *r = &b->request;
    static const unsigned long most[] = { 12, 100, 100, 1000, 100000, 10000000 };

    cc_request_init(r);
    mpz_set_ui(r->divisions, 1 + below(rs, most[below(rs, 6)]));
    if (below(rs, 3) == 0) {
        random_angle(r->arc, rs, 1 + below(rs, 400), below(rs, 4) == 0 ? 900 : 1);
        mpq_abs(r->arc, r->arc);
        if (mpq_sgn(r->arc) == 0)
            mpq_set_ui(r->arc, 1, 4);
    }
    if (below(rs, 2) == 0)
        random_angle(r->offset, rs, below(rs, 2) == 0 ? 1 + below(rs, 1000) : 96, 2);
    if (below(rs, 5) == 0)
        invent_list(r, rs);
    if (below(rs, 3) == 0)
        r->methods = 1U << CC_NEAREST_HOLE | 1U << CC_NEAREST_COMPOUND;
    if (below(rs, 6) == 0)
        r->methods = 1U << CC_NEARLY_EXACT | 1U << CC_DIFFERENTIAL;
}

static void same_fraction(const char *what, const struct bench *b, uint64_t row, struct cc_fraction f,
                          const mpq_t exact)
{
    mpq_t q;
    bool same;

    mpq_init(q);
    cc_set_i64(mpq_numref(q), f.num);
    cc_set_u64(mpq_denref(q), f.den);
    same = mpz_cmp(mpq_numref(q), mpq_numref(exact)) == 0 && mpz_cmp(mpq_denref(q), mpq_denref(exact)) == 0;
    if (!same)
        fail_msg("seed %lu: %s of row %lu: %s, N %lu", test_seed(), what, (unsigned long)row,
                 cc_method_name(b->plan.method), mpz_get_ui(b->request.divisions));
    mpq_clear(q);
}

static void same_row(const struct bench *b, const struct cc_row *row, const struct cc_step *step)
{
    bool same = row->step == step->step && row->division == step->division && row->closing == step->closing &&
                row->turns == step->turns && row->holes == step->holes && row->holes2 == step->holes2 &&
                row->hole == step->hole && row->hole2 == step->hole2;

    if (!same)
        fail_msg("seed %lu: row %lu differs: %s, N %lu", test_seed(), (unsigned long)step->step,
                 cc_method_name(b->plan.method), mpz_get_ui(b->request.divisions));
    same_fraction("crank", b, step->step, row->crank, step->crank);
    same_fraction("angle", b, step->step, row->angle, step->angle);
    same_fraction("nominal", b, step->step, row->nominal, step->nominal);
    same_fraction("error", b, step->step, row->error, step->error);
}

/* Of a plan by the dial, whichever way is forward. Whether it was one. */
static bool same_reading(const struct bench *b, const struct cc_row *row, const struct cc_step *step, enum cc_way forward)
{
    struct cc_dial_reading reading;

    if (!cc_plan_is_dial(&b->plan))
        return false;
    cc_dial_reading_init(&reading);
    cc_dial_read(&reading, step, &b->plan, &b->head, forward);
    same_fraction("dial", b, step->step, row->dial, reading.dial);
    same_fraction("rim", b, step->step, row->rim, reading.rim);
    cc_dial_reading_clear(&reading);
    return true;
}

static unsigned long readings;

/* Rows from ... from + 60 both ways; the last rows too. Returns whether the plan could be counted in integers. */
static bool compare(const struct bench *b, uint64_t from)
{
    struct cc_rows *rows = cc_rows_new(&b->plan, &b->request, from);
    struct cc_row row;
    struct cc_cursor cursor;
    struct cc_step step;

    if (rows == NULL)
        return false;
    enum cc_way forward = from % 2 == 0 ? CC_CLOCKWISE : CC_COUNTER;
    if (cc_plan_is_dial(&b->plan))
        assert_true(cc_rows_read_dial(rows, &b->head, forward));
    cc_step_init(&step);
    cc_cursor_init(&cursor, &b->plan, &b->request);
    cc_cursor_seek(&cursor, from);
    for (int n = 0; n < 60; n++) {
        bool more = cc_cursor_next(&cursor, &step);
        assert_int_equal(cc_rows_next(rows, &row), more);
        if (!more)
            break;
        same_row(b, &row, &step);
        readings += same_reading(b, &row, &step, forward);
    }
    cc_rows_free(rows);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    return true;
}

static void random_plans(void **state)
{
    (void)state;
    unsigned long rounds = test_rounds(500), planned = 0, counted = 0, lists = 0, methods = 0, negative = 0;
    size_t head_count = sizeof heads / sizeof heads[0];
    gmp_randstate_t rs;

    test_random_init(rs);
    for (size_t h = 0; h < head_count + 2; h++) {
        size_t length = 0;
        char *text = h < head_count ? test_read_file(heads[h], &length) : NULL;
        const char *own = h == head_count ? fractional : large;
        struct bench b;
        bench_init(&b, text != NULL ? text : own, text != NULL ? length : strlen(own));
        for (unsigned long i = 0; i < rounds; i++) {
            invent(&b, rs);
            if (cc_planner_best(&b.plan, NULL, b.planner, &b.request, NULL) == CC_OK) {
                uint64_t from[] = { 1, 1 + below(rs, (unsigned long)b.plan.steps), b.plan.steps };
                planned++;
                for (int k = 0; k < 3; k++) {
                    if (!compare(&b, from[k]))
                        continue;
                    counted++;
                    lists += b.request.position_count > 0;
                    methods |= 1UL << b.plan.method;
                    negative += mpq_sgn(b.request.offset) < 0;
                }
            }
            cc_request_clear(&b.request);
        }
        bench_clear(&b);
        free(text);
    }
    gmp_randclear(rs);
    assert_true(planned > rounds * 3);          /* the property was really exercised */
    assert_true(counted > planned * 2);
    assert_true(lists > counted / 20);
    assert_true(negative > counted / 10);
    assert_int_equal(methods, CC_ALL_METHODS);
    assert_true(readings > rounds);
}

/* Halves on both sides of zero: away from it, as the cursor does. */
static void halves(void **state)
{
    (void)state;
    static const char one_circle[] = "[head]\nworm = 1\n[plate A]\nside 1 = 20\n";
    struct bench b;

    bench_init(&b, one_circle, strlen(one_circle));
    cc_request_init(&b.request);
    mpz_set_ui(b.request.divisions, 7);
    mpq_set_ui(b.request.arc, 7, 20);           /* each division one hole ... */
    mpq_set_si(b.request.offset, -7, 40);       /* ... from -3 1/2 holes on */
    assert_int_equal(cc_planner_best(&b.plan, NULL, b.planner, &b.request, NULL), CC_OK);
    assert_int_equal(b.plan.method, CC_NEAREST_HOLE);
    assert_true(compare(&b, 1));
    struct cc_row row;
    static const int64_t moved[] = { 1, 1, 1, 2, 1, 1, 1 };     /* -4 -3 -2 -1 1 2 3 4 */
    struct cc_rows *rows = cc_rows_new(&b.plan, &b.request, 1);
    assert_non_null(rows);
    for (int i = 0; i < 7; i++) {
        assert_true(cc_rows_next(rows, &row));
        assert_int_equal(row.holes, moved[i]);
        assert_int_equal(row.error.num, i < 3 ? -1 : 1);
        assert_int_equal(row.error.den, 40);
    }
    assert_false(cc_rows_next(rows, &row));
    cc_rows_free(rows);
    cc_request_clear(&b.request);
    bench_clear(&b);
}

static void refused(void **state)
{
    (void)state;
    struct bench b;
    mpq_t at;

    bench_init(&b, cc_default_profile, strlen(cc_default_profile));
    cc_request_init(&b.request);
    mpz_set_ui(b.request.divisions, 12);
    assert_int_equal(cc_planner_best(&b.plan, NULL, b.planner, &b.request, NULL), CC_OK);
    assert_null(cc_rows_new(&b.plan, &b.request, 0));     /* the start is the cursor's */
    assert_null(cc_rows_new(&b.plan, &b.request, 13));
    struct cc_rows *rows = cc_rows_new(&b.plan, &b.request, 12);
    assert_non_null(rows);
    cc_rows_free(rows);
    mpz_set_ui(mpq_numref(b.request.offset), 1);                   /* an offset too fine for 62 bits */
    mpz_ui_pow_ui(mpq_denref(b.request.offset), 3, 60);
    assert_int_equal(cc_planner_best(&b.plan, NULL, b.planner, &b.request, NULL), CC_OK);
    assert_null(cc_rows_new(&b.plan, &b.request, 1));
    mpq_set_ui(b.request.offset, 0, 1);
    mpq_init(at);
    mpq_set_ui(at, 1, 9);
    assert_int_equal(cc_request_add(&b.request, at, NULL, NULL), CC_OK);
    assert_int_equal(cc_planner_best(&b.plan, NULL, b.planner, &b.request, NULL), CC_OK);
    assert_true(compare(&b, 1));
    mpz_ui_pow_ui(mpq_denref(at), 3, 32);                          /* denominators of a list that have none in common below 2^50 */
    assert_int_equal(cc_request_add(&b.request, at, NULL, NULL), CC_OK);
    assert_int_equal(cc_planner_best(&b.plan, NULL, b.planner, &b.request, NULL), CC_OK);
    assert_null(cc_rows_new(&b.plan, &b.request, 1));
    mpq_clear(at);
    cc_request_clear(&b.request);
    bench_clear(&b);
}

/*
 * A plan made by hand that goes wrong by almost a turn each time: one hole to a crank turn, 1 + 2^-40 crank turns to
 * one of the spindle. After N movements it is off by about N turns, N^2 2^40 in units of its errors; they have to
 * stay below 2^61, so N = 1400 can be counted from any row and N = 1500 not from the first.
 */
static void last_error(void **state)
{
    (void)state;
    struct bench b = { .planner = NULL };

    cc_plan_init(&b.plan);
    cc_request_init(&b.request);
    b.plan.method = CC_PLAIN;
    b.plan.side = b.plan.circle = 1;
    b.plan.unit = b.plan.block = 1;
    b.plan.constant = b.plan.has_closing = true;
    b.plan.move = 1;
    mpz_ui_pow_ui(mpq_denref(b.plan.ratio), 2, 40);
    mpz_add_ui(mpq_numref(b.plan.ratio), mpq_denref(b.plan.ratio), 1);
    b.plan.steps = 1400;
    mpz_set_ui(b.request.divisions, 1400);
    assert_true(compare(&b, 1));
    assert_true(compare(&b, 1400));
    b.plan.steps = 1500;
    mpz_set_ui(b.request.divisions, 1500);
    assert_null(cc_rows_new(&b.plan, &b.request, 1));
    cc_request_clear(&b.request);
    cc_plan_clear(&b.plan);
}

/* |f| * scale in GMP, rounded halves up, is whole part times scale and part together. */
static void fractions(void **state)
{
    static const uint64_t scales[] = { 1, 2, 3, 1000, UINT64_C(360000000000), UINT64_C(1) << 39 };
    unsigned long rounds = test_rounds(5000), words = 0;
    gmp_randstate_t rs;
    mpq_t q, back;
    mpz_t want, got, factor;
    (void)state;

    test_random_init(rs);
    mpq_inits(q, back, NULL);
    mpz_inits(want, got, factor, NULL);
    for (unsigned long i = 0; i < rounds; i++) {
        mp_bitcnt_t bits = 1 + gmp_urandomm_ui(rs, 62);
        mpz_rrandomb(mpq_numref(q), rs, bits);
        mpz_rrandomb(mpq_denref(q), rs, 1 + gmp_urandomm_ui(rs, 62));
        mpq_canonicalize(q);
        if (i % 2 == 0)
            mpq_neg(q, q);
        struct cc_fraction f = { cc_get_i64(mpq_numref(q)), cc_get_u64(mpq_denref(q)) };
        cc_fraction_get(back, f);
        assert_true(mpq_equal(back, q));
        uint64_t scale = scales[i % (sizeof scales / sizeof scales[0])], part, whole = cc_fraction_split(&part, f, scale);
        cc_set_u64(factor, scale);
        mpz_mul(want, mpq_numref(q), factor);       /* floor((2 |n| scale + d) / (2 d)) */
        mpz_abs(want, want);
        mpz_mul_2exp(want, want, 1);
        mpz_add(want, want, mpq_denref(q));
        mpz_fdiv_q(want, want, mpq_denref(q));
        mpz_fdiv_q_2exp(want, want, 1);
        cc_set_u64(got, whole);
        mpz_mul(got, got, factor);
        cc_set_u64(factor, part);
        mpz_add(got, got, factor);
        if (part > scale || mpz_cmp(got, want) != 0)
            fail_msg("seed %lu, round %lu", test_seed(), i);
        words += f.den >> 32 != 0 && part > 0;
    }
    assert_true(words > rounds / 10);
    mpz_clears(want, got, factor, NULL);
    mpq_clears(q, back, NULL);
    gmp_randclear(rs);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fractions),
        cmocka_unit_test(random_plans),
        cmocka_unit_test(halves),
        cmocka_unit_test(refused),
        cmocka_unit_test(last_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
