/*
 * test_angles.c: lists of positions. Published angular rows; random lists against a search done the long way,
 * every setting and every position in fractions.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"
#include "support.h"

struct bench {
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    struct cc_answer answer;
};

static void bench_init(struct bench *b, const char *text)
{
    struct cc_error err = { .text = "" };

    cc_head_init(&b->head);
    if (cc_head_read(&b->head, text, strlen(text), "test", "test", &err) != CC_OK)
        fail_msg("%s", err.text);
    assert_int_equal(cc_planner_new(&b->planner, &b->head, &err), CC_OK);
    cc_plan_init(&b->plan);
    cc_request_init(&b->request);
}

static void bench_clear(struct bench *b)
{
    cc_request_clear(&b->request);
    cc_plan_clear(&b->plan);
    cc_planner_free(b->planner);
    cc_head_clear(&b->head);
}

/* ---- published rows: tests/reference/angular.tsv, a source beside each ---- */

static void published_row(struct test_tsv *t)
{
    char text[200];
    struct bench b;
    struct cc_cursor cursor;
    struct cc_step step;
    mpq_t angle, arcsec;
    const char *circle = test_tsv_get(t, "circle");

    snprintf(text, sizeof text, "[head]\nworm = %s\n[plate A]\nside 1 = %s\n", test_tsv_get(t, "worm"),
             *circle != '\0' ? circle : "20");     /* whole turns need no circle of their own */
    bench_init(&b, text);
    mpq_init(angle);
    mpq_init(arcsec);
    cc_step_init(&step);
    if (cc_angle_parse(angle, test_tsv_get(t, "angle"), NULL) != CC_OK)
        fail_msg("%s: the angle is not read", test_tsv_where(t));
    cc_angle_arcsec(arcsec, angle);
    test_mpq_equal(test_tsv_where(t), arcsec, test_tsv_get(t, "angle_arcsec"));
    assert_int_equal(cc_request_add(&b.request, angle, NULL, NULL), CC_OK);
    assert_int_equal(cc_planner_best(&b.plan, &b.answer, b.planner, &b.request, NULL), CC_OK);
    cc_cursor_init(&cursor, &b.plan, &b.request);
    assert_true(cc_cursor_next(&cursor, &step));
    assert_true(cc_cursor_next(&cursor, &step));
    if (b.plan.method != CC_PLAIN || !b.plan.exact || step.turns != (int64_t)test_tsv_count(t, "turns") ||
        step.holes != (int64_t)test_tsv_count(t, "holes") || mpq_sgn(step.error) != 0)
        fail_msg("%s: %s, %d turns and %d holes", test_tsv_where(t), cc_method_name(b.plan.method), (int)step.turns,
                 (int)step.holes);
    assert_false(cc_cursor_next(&cursor, &step));
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    mpq_clear(arcsec);
    mpq_clear(angle);
    bench_clear(&b);
}

static void published(void **state)
{
    (void)state;
    struct test_tsv t;

    test_tsv_open(&t, "tests/reference/angular.tsv");
    while (test_tsv_next(&t))
        published_row(&t);
    assert_true(t.rows >= 10);
    test_tsv_close(&t);
}

/* ---- the long way ---- */

/* Units of a setting in one turn of the spindle (unit * R), and what the list makes of it. */
struct naive {
    mpq_t scale, worst, pitch;
    bool exact;
};

static void naive_init(struct naive *n)
{
    mpq_init(n->scale);
    mpq_init(n->worst);
    mpq_init(n->pitch);
}

static void naive_clear(struct naive *n)
{
    mpq_clear(n->pitch);
    mpq_clear(n->worst);
    mpq_clear(n->scale);
}

/* |q| rounded to the nearest whole number by floor(|q| + 1/2), the sign put back. */
static void naive_round(mpz_t out, const mpq_t q)
{
    mpq_t half;

    mpq_init(half);
    mpq_set_ui(half, 1, 2);
    if (mpq_sgn(q) < 0)
        mpq_sub(half, half, q);
    else
        mpq_add(half, half, q);
    mpz_fdiv_q(out, mpq_numref(half), mpq_denref(half));
    if (mpq_sgn(q) < 0)
        mpz_neg(out, out);
    mpq_clear(half);
}

static void naive_figures(struct naive *n, const struct cc_request *r)
{
    mpq_t wanted, error, last, gap;
    mpz_t units;

    mpq_init(wanted);
    mpq_init(error);
    mpq_init(last);
    mpq_init(gap);
    mpz_init(units);
    mpq_set_ui(n->worst, 0, 1);
    mpq_set_ui(n->pitch, 0, 1);
    for (size_t i = 0; i < r->position_count; i++) {
        mpq_mul(wanted, r->position[i], n->scale);
        naive_round(units, wanted);
        mpq_set_z(error, units);
        mpq_sub(error, error, wanted);
        mpq_div(error, error, n->scale);
        mpq_sub(gap, error, last);
        mpq_set(last, error);
        mpq_abs(error, error);
        mpq_abs(gap, gap);
        if (mpq_cmp(error, n->worst) > 0)
            mpq_set(n->worst, error);
        if (mpq_cmp(gap, n->pitch) > 0)
            mpq_set(n->pitch, gap);
    }
    n->exact = mpq_sgn(n->worst) == 0;
    mpz_clear(units);
    mpq_clear(gap);
    mpq_clear(last);
    mpq_clear(error);
    mpq_clear(wanted);
}

static unsigned long naive_lcm(unsigned long a, unsigned long b)
{
    unsigned long n = a;
    while (n % b != 0)
        n += a;
    return n;
}

/* The smallest worst error of circles, direct circles and pairs on one side; whether any is exact. */
static void naive_search(mpq_t best, bool *exact, struct naive *n, const struct bench *b)
{
    bool first = true;

    *exact = false;
    for (size_t d = 0; d <= b->head.plate_count; d++) {
        const struct cc_counts *c = d < b->head.plate_count ? &b->head.plates[d].side[0] : &b->head.direct;
        bool direct = d == b->head.plate_count;
        for (size_t i = 0; i < c->n; i++) {
            for (size_t j = i; j < (direct ? i + 1 : c->n); j++) {
                mpq_set_ui(n->scale, naive_lcm(c->at[i], c->at[j]), 1);
                if (!direct)
                    mpq_mul(n->scale, n->scale, b->head.worm);
                naive_figures(n, &b->request);
                *exact = *exact || n->exact;
                if (first || mpq_cmp(n->worst, best) < 0)
                    mpq_set(best, n->worst);
                first = false;
            }
        }
    }
}

/* ---- random lists ---- */

static unsigned long below(gmp_randstate_t rs, unsigned long n)
{
    return gmp_urandomm_ui(rs, n);
}

/*
 * Angles of a kind: whole multiples of what some pair of circles or the direct plate gives, so that many lists are
 * exact; minutes, seconds and decimals; and fractions with large prime denominators, which have no common denominator in 64 bits.
 */
static void invent_list(struct bench *b, gmp_randstate_t rs)
{
    static const unsigned long primes[] = { 1000003, 998244353, 2147483647, 4294967291 };
    static const unsigned long grains[] = { 360, 21600, 1296000, 3600000 };
    unsigned long kind = below(rs, 9), many = 1 + below(rs, 7);
    const struct cc_counts *c = &b->head.plates[below(rs, b->head.plate_count)].side[0];
    unsigned long lcm = naive_lcm(c->at[below(rs, c->n)], c->at[below(rs, c->n)]);
    mpq_t at;

    mpq_init(at);
    for (unsigned long i = 0; i < many; i++) {
        unsigned long den = kind < 3    ? lcm * mpz_get_ui(mpq_numref(b->head.worm))
                            : kind < 5  ? grains[below(rs, 4)]
                            : kind == 5 ? 360
                            : kind == 6 ? b->head.direct.at[0]
                                        : primes[(i + below(rs, 2)) % 4];
        mpz_set_ui(mpq_numref(at), below(rs, 2 * den));
        if (kind < 3)       /* whole holes of that pair: numerator times the worm's denominator */
            mpz_mul(mpq_numref(at), mpq_numref(at), mpq_denref(b->head.worm));
        mpz_set_ui(mpq_denref(at), den);
        if (below(rs, 5) == 0)
            mpz_neg(mpq_numref(at), mpq_numref(at));
        mpq_canonicalize(at);
        assert_int_equal(cc_request_add(&b->request, at, NULL, NULL), CC_OK);
    }
    mpq_clear(at);
}

struct seen {
    unsigned long exact, compound, direct;
};

/* Travel of a single circle: every movement counted forward, in turns. */
static void check_travel(const struct bench *b, const mpq_t scale)
{
    mpq_t wanted, travel;
    mpz_t units, last, sum;

    mpq_init(wanted);
    mpq_init(travel);
    mpz_init(units);
    mpz_init(last);
    mpz_init(sum);
    for (size_t i = 0; i < b->request.position_count; i++) {
        mpq_mul(wanted, b->request.position[i], scale);
        naive_round(units, wanted);
        mpz_sub(last, units, last);
        mpz_abs(last, last);
        mpz_add(sum, sum, last);
        mpz_set(last, units);
    }
    mpz_set(mpq_numref(travel), sum);
    mpz_set_ui(mpq_denref(travel), b->plan.circle);
    mpq_canonicalize(travel);
    if (!mpq_equal(travel, b->plan.travel))
        fail_msg("seed %lu: travel of a list", test_seed());
    mpz_clear(sum);
    mpz_clear(last);
    mpz_clear(units);
    mpq_clear(travel);
    mpq_clear(wanted);
}

/* The plan's own figures, and with all else equal the smallest error there is. */
static void check_list(struct bench *b, struct naive *n, struct seen *seen, unsigned long round)
{
    mpq_t best;
    bool exact;

    mpq_init(best);
    naive_search(best, &exact, n, b);
    b->request.has_tolerance = true;    /* of nothing: then the smallest worst error wins */
    assert_int_equal(cc_planner_best(&b->plan, &b->answer, b->planner, &b->request, NULL), CC_OK);
    if (b->plan.exact != exact || b->plan.within != exact || (b->answer.exact == CC_EXISTS) != exact)
        fail_msg("seed %lu, list %lu: exact %d, the long way %d", test_seed(), round, b->plan.exact, exact);
    if (!mpq_equal(b->plan.worst_error, best))
        fail_msg("seed %lu, list %lu: %s is not the smallest error", test_seed(), round, cc_method_name(b->plan.method));
    mpq_set_ui(n->scale, 1, 1);
    cc_set_u64(mpq_numref(n->scale), b->plan.unit);
    if (b->plan.side != 0)
        mpq_mul(n->scale, n->scale, b->head.worm);
    naive_figures(n, &b->request);
    if (!mpq_equal(b->plan.worst_error, n->worst) || !mpq_equal(b->plan.worst_pitch, n->pitch))
        fail_msg("seed %lu, list %lu: figures of %s", test_seed(), round, cc_method_name(b->plan.method));
    if (b->plan.side != 0 && b->plan.circle2 == 0)
        check_travel(b, n->scale);
    seen->exact += exact;
    seen->compound += b->plan.side != 0 && b->plan.circle2 != 0;
    seen->direct += b->plan.side == 0;
    mpq_clear(best);
}

/* Every row: holes and turns put through theta = t/R give the angle; angle less position is the error. */
static void check_rows(const struct bench *b, unsigned long round)
{
    struct cc_cursor cursor;
    struct cc_step step;
    mpq_t sum, part, size;

    if (b->plan.side == 0)
        return;
    mpq_init(sum);
    mpq_init(part);
    mpq_init(size);
    cc_step_init(&step);
    cc_cursor_init(&cursor, &b->plan, &b->request);
    for (uint64_t i = 0; cc_cursor_next(&cursor, &step); i++) {
        cc_set_i64(mpq_numref(part), step.turns * (int64_t)b->plan.circle + step.holes);
        mpz_set_ui(mpq_denref(part), b->plan.circle);
        mpq_canonicalize(part);
        mpq_add(sum, sum, part);
        if (b->plan.circle2 != 0) {
            cc_set_i64(mpq_numref(part), step.holes2);
            mpz_set_ui(mpq_denref(part), b->plan.circle2);
            mpq_canonicalize(part);
            mpq_add(sum, sum, part);
        }
        mpq_div(part, sum, b->head.worm);
        bool good = mpq_equal(part, step.angle);
        if (i > 0)
            mpq_sub(part, part, b->request.position[i - 1]);
        mpq_abs(size, part);
        if (!good || !mpq_equal(part, step.error) || mpq_cmp(size, b->plan.worst_error) > 0)
            fail_msg("seed %lu, list %lu, row %lu", test_seed(), round, (unsigned long)i);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    mpq_clear(size);
    mpq_clear(part);
    mpq_clear(sum);
}

static void random_lists(const char *profile, unsigned long rounds)
{
    struct seen seen = { 0, 0, 0 };
    struct naive n;
    gmp_randstate_t rs;
    struct bench b;

    test_random_init(rs);
    naive_init(&n);
    bench_init(&b, profile);
    for (unsigned long i = 0; i < rounds; i++) {
        cc_request_clear(&b.request);
        cc_request_init(&b.request);
        invent_list(&b, rs);
        check_list(&b, &n, &seen, i);
        check_rows(&b, i);
    }
    bench_clear(&b);
    naive_clear(&n);
    gmp_randclear(rs);
    assert_true(seen.exact > rounds / 6 && seen.exact < rounds);
    assert_true(seen.compound > rounds / 4);
    assert_true(seen.direct > 0);
}

/* Few circles, so that 10^4 lists can be searched the long way. */
static void many_lists(void **state)
{
    (void)state;
    random_lists("[head]\nworm = 40\n[direct]\nholes = 24\n[plate A]\nside 1 = 15 18 20\n[plate B]\nside 1 = 21 33\n",
                 test_rounds(10000));
}

static void fractional_worm(void **state)
{
    (void)state;
    random_lists("[head]\nworm = 77/2\n[direct]\nholes = 24\n[plate A]\nside 1 = 15 18 20\n[plate B]\nside 1 = 21 33\n",
                 test_rounds(1000));
}

static void default_head(void **state)
{
    (void)state;
    random_lists(cc_default_profile, test_rounds(200));
}

/* ---- large numbers ---- */

/* 1000 turns in grains of 1/2^50 of a turn, the edge of the machine integers, and one past it. */
static void edges(void **state)
{
    (void)state;
    struct naive n;

    naive_init(&n);
    for (unsigned long bits = 49; bits <= 52; bits++) {
        struct bench b;
        struct seen seen = { 0, 0, 0 };
        mpq_t at;
        mpq_init(at);
        bench_init(&b, cc_default_profile);
        for (int i = 0; i < 4; i++) {
            mpz_ui_pow_ui(mpq_denref(at), 2, bits);
            mpz_mul_ui(mpq_numref(at), mpq_denref(at), i < 2 ? 1000 : 999);
            if (i >= 2)
                mpz_add_ui(mpq_numref(at), mpq_numref(at), 1);
            if (i % 2 == 1)
                mpz_neg(mpq_numref(at), mpq_numref(at));
            mpq_canonicalize(at);
            assert_int_equal(cc_request_add(&b.request, at, NULL, NULL), CC_OK);
            mpq_set_ui(at, 0, 1);
        }
        check_list(&b, &n, &seen, bits);
        check_rows(&b, bits);
        mpq_clear(at);
        bench_clear(&b);
    }
    naive_clear(&n);
}

/* Two positions in one hole are served, with their errors; the second movement is none. */
static void nearer_than_a_hole(void **state)
{
    (void)state;
    struct bench b;
    struct cc_cursor cursor;
    struct cc_step step;
    mpq_t at;

    bench_init(&b, "[head]\nworm = 40\n[plate A]\nside 1 = 20\n");
    mpq_init(at);
    cc_step_init(&step);
    mpq_set_ui(at, 1, 3);
    assert_int_equal(cc_request_add(&b.request, at, "one", NULL), CC_OK);
    mpq_set_ui(at, 333, 1000);
    assert_int_equal(cc_request_add(&b.request, at, "two", NULL), CC_OK);
    assert_int_equal(cc_planner_best(&b.plan, &b.answer, b.planner, &b.request, NULL), CC_OK);
    cc_cursor_init(&cursor, &b.plan, &b.request);
    for (int i = 0; i < 3; i++)
        assert_true(cc_cursor_next(&cursor, &step));
    /* 800/3 = 266 2/3 goes to 267; 266 2/5 to 266 */
    assert_int_equal(step.turns * 20 + step.holes, -1);
    assert_string_equal(step.label, "two");
    mpq_set_ui(at, 3335, 10000);    /* 266 4/5: 267 again */
    mpq_canonicalize(at);
    mpq_set(b.request.position[1], at);
    assert_int_equal(cc_planner_best(&b.plan, &b.answer, b.planner, &b.request, NULL), CC_OK);
    cc_cursor_seek(&cursor, 2);
    assert_true(cc_cursor_next(&cursor, &step));
    assert_int_equal(step.turns * 20 + step.holes, 0);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    mpq_clear(at);
    bench_clear(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published),       cmocka_unit_test(many_lists), cmocka_unit_test(fractional_worm),
        cmocka_unit_test(default_head),    cmocka_unit_test(edges),      cmocka_unit_test(nearer_than_a_hole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
