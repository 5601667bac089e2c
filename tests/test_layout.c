/*
 * test_layout.c: points on a circle and chords, against MPFR at 200 bits and a published factor.
 */
#include "support.h"

#include <math.h>
#include <mpfr.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/layout.h"

/* factor = sin or cos of an exact angle in revolutions, by MPFR. */
static void mpfr_turn(mpfr_t sine, mpfr_t cosine, const mpq_t revolutions)
{
    mpfr_t angle;

    mpfr_init2(angle, 200);
    mpfr_const_pi(angle, MPFR_RNDN);
    mpfr_mul_ui(angle, angle, 2, MPFR_RNDN);
    mpfr_mul_q(angle, angle, revolutions, MPFR_RNDN);
    mpfr_sin_cos(sine, cosine, angle, MPFR_RNDN);
    mpfr_clear(angle);
}

/* "n=7 D=1" -> 0.433884 */
static void chord_of_memory_row(void **state)
{
    (void)state;
    struct test_tsv t;
    unsigned rows = 0;

    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        unsigned n;
        double diameter, chord;
        if (strcmp(test_tsv_get(&t, "topic"), "chord") != 0)
            continue;
        assert_int_equal(sscanf(test_tsv_get(&t, "given"), "n=%u D=%lf", &n, &diameter), 2);
        assert_int_equal(sscanf(test_tsv_get(&t, "value"), "%lf", &chord), 1);
        mpq_t apart;
        mpq_init(apart);
        mpq_set_ui(apart, 1, n);
        if (fabs(cc_chord(diameter, apart) - chord) > 0.5e-6)
            fail_msg("%s: chord %.9f", test_tsv_where(&t), cc_chord(diameter, apart));
        mpq_clear(apart);
        rows++;
    }
    test_tsv_close(&t);
    assert_true(rows > 0);
}

/* tests/reference/chords.tsv: chord over diameter to four decimals. */
static void published_chords(void **state)
{
    (void)state;
    struct test_tsv t;
    mpq_t apart;

    mpq_init(apart);
    test_tsv_open(&t, "tests/reference/chords.tsv");
    while (test_tsv_next(&t)) {
        mpq_set_ui(apart, 1, test_tsv_count(&t, "divisions"));
        double chord = cc_chord(1, apart);
        if (fabs(chord - strtod(test_tsv_get(&t, "chord_over_diameter"), NULL)) > 0.5e-4)
            fail_msg("%s: chord %.9f", test_tsv_where(&t), chord);
    }
    assert_int_equal(t.rows, 18);
    test_tsv_close(&t);
    mpq_clear(apart);
}

/* sin(180/n) from MPFR, and the chords that plane geometry gives without trigonometry. */
static void chord_factors(void **state)
{
    (void)state;
    mpfr_t sine, cosine;
    mpq_t half, apart;

    mpfr_inits2(200, sine, cosine, (mpfr_ptr)0);
    mpq_init(half);
    mpq_init(apart);
    for (unsigned n = 1; n <= 2000; n++) {
        mpq_set_ui(half, 1, 2 * n);
        mpq_canonicalize(half);
        mpq_set_ui(apart, 1, n);
        mpfr_turn(sine, cosine, half);
        double want = n == 1 ? 0 : mpfr_get_d(sine, MPFR_RNDN);
        if (fabs(cc_chord(1, apart) - want) > 4e-16)
            fail_msg("n %u: %.17g, not %.17g", n, cc_chord(1, apart), want);
    }
    mpq_set_ui(apart, 1, 2);
    assert_true(cc_chord(80, apart) == 80); /* the diameter */
    mpq_set_ui(apart, 1, 6);
    assert_true(cc_chord(80, apart) == 40); /* hexagon: the radius */
    mpq_set_si(apart, -1, 6);       /* backwards, and more than half a turn on */
    assert_true(cc_chord(80, apart) == 40);
    mpq_set_ui(apart, 7, 6);
    assert_true(cc_chord(80, apart) == 40);
    mpq_set_ui(apart, 1, 4);
    assert_true(fabs(cc_chord(80, apart) - 40 * sqrt(2)) < 1e-13);
    mpq_clear(apart);
    mpq_clear(half);
    mpfr_clears(sine, cosine, (mpfr_ptr)0);
}

static void set_layout(struct cc_layout *l, const char *diameter, const char *resolution,
                       const char *x, const char *y, const char *start)
{
    cc_layout_init(l);
    mpq_set_str(l->diameter, diameter, 10);
    mpq_set_str(l->resolution, resolution, 10);
    mpq_set_str(l->centre_x, x, 10);
    mpq_set_str(l->centre_y, y, 10);
    mpq_set_str(l->start, start, 10);
}

static void expect_point(const struct cc_layout *l, const char *angle, const char *x, const char *y)
{
    struct cc_layout_point p;
    mpq_t a;

    test_mpq_init(a, angle);
    cc_layout_point_init(&p);
    cc_layout_at(&p, l, a);
    test_mpq_equal(angle, p.x, x);
    test_mpq_equal(angle, p.y, y);
    cc_layout_point_clear(&p);
    mpq_clear(a);
}

/* Diameter 100: the square, the hexagon, 43.301... = 25 sqrt 3 at a dial of 0.01 mm. */
static void known_points(void **state)
{
    (void)state;
    struct cc_layout l;

    set_layout(&l, "100", "1/100", "0", "0", "0");
    assert_int_equal(cc_layout_check(&l, NULL), CC_OK);
    expect_point(&l, "0", "50", "0");
    expect_point(&l, "1/12", "433/10", "25");
    expect_point(&l, "1/8", "884/25", "884/25"); /* 50 / sqrt 2 = 35.355 -> 35.36 */
    expect_point(&l, "1/5", "309/20", "951/20"); /* 15.451, 47.553 */
    expect_point(&l, "-1/3", "-25", "-433/10");
    cc_layout_clear(&l);
}

/* 12.505 lies exactly between two graduations: away from zero, on either side. */
static void ties(void **state)
{
    (void)state;
    struct cc_layout l;

    set_layout(&l, "2501/50", "1/100", "0", "0", "0");
    expect_point(&l, "1/6", "1251/100", "1083/50");
    expect_point(&l, "1/3", "-1251/100", "1083/50");
    expect_point(&l, "7/12", "-1083/50", "-1251/100");
    cc_layout_clear(&l);
}

/* From a corner, the start turned up to 12 o'clock, clockwise: 3, 6, 9 o'clock follow. */
static void corner_and_sense(void **state)
{
    (void)state;
    struct cc_layout l;

    set_layout(&l, "80", "1/200", "60", "45", "1/4");
    l.clockwise = true;
    expect_point(&l, "0", "60", "85");
    expect_point(&l, "1/4", "100", "45");
    expect_point(&l, "1/2", "60", "5");
    expect_point(&l, "3/4", "20", "45");
    expect_point(&l, "-1/4", "20", "45");
    expect_point(&l, "5", "60", "85");
    cc_layout_clear(&l);
}

static void random_layout(struct cc_layout *l, mpq_t angle, gmp_randstate_t rs)
{
    mpq_set_ui(l->diameter, 100 + gmp_urandomm_ui(rs, 500000), 1 + gmp_urandomm_ui(rs, 100));
    mpq_set_ui(l->resolution, 1 + gmp_urandomm_ui(rs, 3), 100 + gmp_urandomm_ui(rs, 2000));
    mpq_set_si(l->centre_x, (long)gmp_urandomm_ui(rs, 2000) - 1000, 7);
    mpq_set_si(l->centre_y, (long)gmp_urandomm_ui(rs, 2000) - 1000, 8);
    mpq_set_ui(l->start, gmp_urandomm_ui(rs, 360), 360);
    l->clockwise = gmp_urandomm_ui(rs, 2) == 1;
    mpq_set_si(angle, (long)gmp_urandomm_ui(rs, 20000) - 10000, 1 + gmp_urandomm_ui(rs, 3000));
    mpq_canonicalize(l->diameter);
    mpq_canonicalize(l->resolution);
    mpq_canonicalize(l->centre_x);
    mpq_canonicalize(l->centre_y);
    mpq_canonicalize(l->start);
    mpq_canonicalize(angle);
}

/* One axis against MPFR: on the dial's graduations, within half of one of the true place. */
static void check_axis(const char *where, const mpq_t setting, double true_mm, double error_mm,
                       const mpq_t centre, const mpq_t diameter, mpfr_t factor, const mpq_t res)
{
    mpfr_t place, error;
    mpq_t steps;

    mpq_init(steps);
    mpfr_inits2(200, place, error, (mpfr_ptr)0);
    mpq_div(steps, setting, res);
    if (mpz_cmp_ui(mpq_denref(steps), 1) != 0)
        fail_msg("%s: the setting is not on a graduation", where);
    mpfr_mul_q(place, factor, diameter, MPFR_RNDN);
    mpfr_div_ui(place, place, 2, MPFR_RNDN);
    mpfr_add_q(place, place, centre, MPFR_RNDN);
    mpfr_sub_q(error, place, setting, MPFR_RNDN);
    mpfr_neg(error, error, MPFR_RNDN);
    if (fabs(mpfr_get_d(place, MPFR_RNDN) - true_mm) > 1e-10)
        fail_msg("%s: true place %.17g", where, true_mm);
    if (fabs(mpfr_get_d(error, MPFR_RNDN) - error_mm) > 1e-10)
        fail_msg("%s: error %.17g", where, error_mm);
    if (fabs(error_mm) > mpq_get_d(res) / 2 + 1e-10)
        fail_msg("%s: error %.17g over half a graduation", where, error_mm);
    mpfr_clears(place, error, (mpfr_ptr)0);
    mpq_clear(steps);
}

/*
 * The error split along and away from the circle: put back together it must lead from the true
 * place to the setting; to first order the setting's own angle and radius say the same.
 */
static void check_split(const char *where, const struct cc_layout_point *p,
                        const struct cc_layout *l)
{
    double cx = mpq_get_d(l->centre_x), cy = mpq_get_d(l->centre_y);
    double r = mpq_get_d(l->diameter) / 2;
    double x = mpq_get_d(p->x) - cx, y = mpq_get_d(p->y) - cy;
    double tx = p->true_x_mm - cx, ty = p->true_y_mm - cy;
    double turned = atan2(tx * y - ty * x, tx * x + ty * y); /* counter-clockwise */

    if (fabs(p->off_mm - hypot(p->along_mm, p->out_mm)) > 1e-10)
        fail_msg("%s: off %.17g", where, p->off_mm);
    if (r < 100 * p->off_mm)
        return;
    if (fabs((l->clockwise ? -1 : 1) * turned * r - p->along_mm) >
        2 * p->off_mm * p->off_mm / r + 1e-10)
        fail_msg("%s: along %.17g, turned %.17g", where, p->along_mm, turned * r);
    if (fabs(hypot(x, y) - r - p->out_mm) > 2 * p->off_mm * p->off_mm / r + 1e-10)
        fail_msg("%s: out %.17g", where, p->out_mm);
    if (fabs(p->angle_error_arcsec / 206264.806247 - p->along_mm / r) > 1e-10)
        fail_msg("%s: angle %.17g", where, p->angle_error_arcsec);
}

static void random_points(void **state)
{
    (void)state;
    gmp_randstate_t rs;
    struct cc_layout l;
    struct cc_layout_point p;
    mpfr_t sine, cosine;
    mpq_t angle, direction;
    unsigned long rounds = test_rounds(3000);

    test_random_init(rs);
    cc_layout_init(&l);
    cc_layout_point_init(&p);
    mpfr_inits2(200, sine, cosine, (mpfr_ptr)0);
    mpq_init(angle);
    mpq_init(direction);
    for (unsigned long i = 0; i < rounds; i++) {
        char where[60];
        snprintf(where, sizeof where, "seed %lu, round %lu", test_seed(), i);
        random_layout(&l, angle, rs);
        if (cc_layout_check(&l, NULL) != CC_OK)
            fail_msg("%s: refused", where);
        cc_layout_at(&p, &l, angle);
        if (l.clockwise)
            mpq_sub(direction, l.start, angle);
        else
            mpq_add(direction, l.start, angle);
        mpfr_turn(sine, cosine, direction);
        check_axis(where, p.x, p.true_x_mm, p.error_x_mm, l.centre_x, l.diameter, cosine,
                   l.resolution);
        check_axis(where, p.y, p.true_y_mm, p.error_y_mm, l.centre_y, l.diameter, sine,
                   l.resolution);
        check_split(where, &p, &l);
    }
    mpq_clear(direction);
    mpq_clear(angle);
    mpfr_clears(sine, cosine, (mpfr_ptr)0);
    cc_layout_point_clear(&p);
    cc_layout_clear(&l);
    gmp_randclear(rs);
}

/* A 3-4-5 triangle between two settings. */
static void distances(void **state)
{
    (void)state;
    struct cc_layout_point a, b;

    cc_layout_point_init(&a);
    cc_layout_point_init(&b);
    mpq_set_si(a.x, -3, 10);
    mpq_set_si(b.y, 2, 5);
    assert_true(fabs(cc_layout_distance_mm(&a, &b) - 0.5) < 1e-15);
    cc_layout_point_clear(&b);
    cc_layout_point_clear(&a);
}

static void refused(void **state)
{
    (void)state;
    static const struct {
        const char *diameter, *resolution, *centre;
        enum cc_status status;
    } rows[] = {
        {"0", "1/100", "0", CC_EDOM},
        {"-5", "1/100", "0", CC_EDOM},
        {"50", "0", "0", CC_EDOM},
        {"50", "-1/100", "0", CC_EDOM},
        {"1", "2", "0", CC_EDOM},
        {"50", "1/1000000000000", "0", CC_ELIMIT},
        {"50", "1/1000", "-9999999999", CC_ELIMIT},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_layout l;
        struct cc_error err;
        set_layout(&l, rows[i].diameter, rows[i].resolution, rows[i].centre, "0", "0");
        if (cc_layout_check(&l, &err) != rows[i].status)
            fail_msg("row %zu was not refused as it should be", i);
        assert_true(err.text[0] != '\0');
        cc_layout_clear(&l);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chord_of_memory_row), cmocka_unit_test(chord_factors),
        cmocka_unit_test(known_points),        cmocka_unit_test(ties),
        cmocka_unit_test(corner_and_sense),    cmocka_unit_test(random_points),
        cmocka_unit_test(distances),           cmocka_unit_test(refused),
        cmocka_unit_test(published_chords),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
