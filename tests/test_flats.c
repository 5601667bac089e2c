/*
 * test_flats.c: flats against cuts that are made: the round and one half-plane for each flat, and the part that is left is
 * measured point by point. Nothing here knows a formula for a flat, a corner or a land.
 */
#include "support.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "crankcard/angle.h"
#include "crankcard/flats.h"

#define MOST 360
static const long double pi = 3.141592653589793238462643383279502884L;

/* ---- the part: a disc about (x, y) and half-planes p . u <= h ---- */

struct part {
    long double radius, x, y;
    unsigned n;
    long double turn[MOST], h[MOST];
    long double off[MOST];      /* of each flat, radians */
};

static long double dir(const struct part *p, unsigned k)
{
    return 2 * pi * p->turn[k] + p->off[k];
}

static bool inside(const struct part *p, long double x, long double y, unsigned but, unsigned but2)
{
    for (unsigned k = 0; k < p->n; k++)
        if (k != but && k != but2 && x * cosl(dir(p, k)) + y * sinl(dir(p, k)) > p->h[k] + 1e-13L * p->radius)
            return false;
    return true;
}

static bool in_disc(const struct part *p, long double x, long double y)
{
    return hypotl(x - p->x, y - p->y) <= p->radius * (1 + 1e-15L);
}

/* The two ends of flat k, as far along it as nothing else has cut; false where nothing is left of it. */
static bool ends_of(long double low_high[2], const struct part *p, unsigned k)
{
    long double c = cosl(dir(p, k)), s = sinl(dir(p, k)), h = p->h[k];
    long double foot = h - p->x * c - p->y * s;        /* from the disc's centre */
    long double along = -p->x * s + p->y * c, half = p->radius * p->radius - foot * foot;

    if (half < 0)
        return false;
    low_high[0] = along - sqrtl(half);
    low_high[1] = along + sqrtl(half);
    for (unsigned j = 0; j < p->n; j++) {
        long double cj = cosl(dir(p, j)), sj = sinl(dir(p, j));
        long double slope = -s * cj + c * sj, rest = p->h[j] - h * (c * cj + s * sj);  /* t slope <= rest */
        if (j == k || fabsl(slope) < 1e-12L)
            continue;
        if (slope > 0)
            low_high[1] = fminl(low_high[1], rest / slope);
        else
            low_high[0] = fmaxl(low_high[0], rest / slope);
    }
    return low_high[0] < low_high[1];
}

static long double width_of(const struct part *p, unsigned k)
{
    long double ends[2];
    return ends_of(ends, p, k) ? ends[1] - ends[0] : 0;
}

/* Points that may be farthest: the ends of all flats, and where the round is left those opposite to them. */
struct points {
    long double x[4 * MOST], y[4 * MOST];
    unsigned n;
};

static void add_point(struct points *points, long double x, long double y)
{
    points->x[points->n] = x;
    points->y[points->n++] = y;
}

static void extremes(struct points *points, const struct part *p)
{
    points->n = 0;
    for (unsigned k = 0; k < p->n; k++) {
        long double ends[2], c = cosl(dir(p, k)), s = sinl(dir(p, k));
        if (!ends_of(ends, p, k))
            continue;
        for (unsigned e = 0; e < 2; e++) {
            long double x = p->h[k] * c - ends[e] * s, y = p->h[k] * s + ends[e] * c;
            add_point(points, x, y);
            bool on_round = hypotl(x - p->x, y - p->y) > p->radius * (1 - 1e-12L);
            if (on_round && inside(p, 2 * p->x - x, 2 * p->y - y, MOST, MOST))
                add_point(points, 2 * p->x - x, 2 * p->y - y);
        }
    }
}

static long double farthest_apart(const struct points *points)
{
    long double most = 0;

    for (unsigned i = 0; i < points->n; i++)
        for (unsigned k = 0; k < i; k++)
            most = fmaxl(most, hypotl(points->x[i] - points->x[k], points->y[i] - points->y[k]));
    return most;
}

/* What a caliper with one jaw on flat k meets on the other side. */
static long double over(const struct part *p, unsigned k)
{
    struct points points;
    long double c = cosl(dir(p, k)), s = sinl(dir(p, k)), far = -LDBL_MAX;
    long double x = p->x - p->radius * c, y = p->y - p->radius * s;        /* the round, if it is left there */

    extremes(&points, p);
    if (inside(p, x, y, MOST, MOST))
        add_point(&points, x, y);
    for (unsigned i = 0; i < points.n; i++)
        far = fmaxl(far, -points.x[i] * c - points.y[i] * s);
    return p->h[k] + far;
}

/* Round that is left, in all, along the arc: each cut takes an arc, and cuts may take some of it together. */
static long double round_left(const struct part *p)
{
    enum { STEPS = 200000 };
    unsigned long left = 0;

    for (unsigned i = 0; i < STEPS; i++) {
        long double t = 2 * pi * (i + 0.5L) / STEPS;
        left += inside(p, p->x + p->radius * cosl(t), p->y + p->radius * sinl(t), MOST, MOST);
    }
    return 2 * pi * p->radius * (long double)left / STEPS;
}

static void part_of(struct part *p, unsigned n, long double across, long double stock)
{
    *p = (struct part){ .radius = stock / 2, .n = n };
    for (unsigned k = 0; k < n; k++) {
        p->turn[k] = (long double)k / n;
        p->h[k] = across / 2;
    }
}

/* ---- helpers ---- */

static void flats_of(struct cc_flats *flats, unsigned n, unsigned long across, unsigned long stock, unsigned long den)
{
    cc_flats_init(flats);
    flats->n = n;
    mpq_set_ui(flats->across, across, den);
    mpq_set_ui(flats->stock, stock, den);
    mpq_canonicalize(flats->across);
    mpq_canonicalize(flats->stock);
}

static void expect(const char *what, unsigned n, long double got, long double want, long double within)
{
    if (!(fabsl(got - want) <= within))
        fail_msg("%u flats, %s: %.12Lf, the part measures %.12Lf", n, what, got, want);
}

static struct cc_flats_sizes measured(const struct cc_flats *flats)
{
    struct cc_flats_sizes sizes;

    cc_flats_sizes_init(&sizes);
    assert_int_equal(cc_flats_measure(&sizes, flats, NULL), CC_OK);
    return sizes;
}

/* ---- sizes ---- */

/* Random across and stock, half of them in the narrow room between a full corner and a flat that just touches. */
static void draw(struct cc_flats *flats, long double *across, long double *stock, unsigned n, gmp_randstate_t rs)
{
    unsigned long a = 1000 + gmp_urandomm_ui(rs, 50000), more = gmp_urandomm_ui(rs, 4) == 0 ? 3 * a : 1 + a / (n * n / 5 + 1);
    unsigned long s = a + 1 + gmp_urandomm_ui(rs, more);

    flats_of(flats, n, a, s, 1000);
    *across = a / 1000.0L;
    *stock = s / 1000.0L;
}

static void test_sizes_of_cuts(void **state)
{
    (void)state;
    gmp_randstate_t rs;
    unsigned long full = 0, partial = 0;

    test_random_init(rs);
    for (unsigned n = 1; n <= 60; n++) {
        for (unsigned long i = 0; i < test_rounds(n == 2 ? 60 : 12); i++) {
            struct cc_flats flats;
            struct part part, one;
            struct points points;
            long double across, stock, radius = 0;
            draw(&flats, &across, &stock, n, rs);
            struct cc_flats_sizes sizes = measured(&flats);
            part_of(&part, n, across, stock);
            part_of(&one, 1, across, stock);
            extremes(&points, &part);
            for (unsigned k = 0; k < points.n; k++)
                radius = fmaxl(radius, hypotl(points.x[k], points.y[k]));
            long double within = 1e-11L * stock;
            expect("depth", n, mpq_get_d(sizes.depth), stock / 2 - part.h[0], within);
            expect("width", n, sizes.width_mm, width_of(&part, 0), 3e-9L * stock);      /* a root near 0 doubles the digits lost */
            expect("corner", n, sizes.corner_mm, radius, within);
            expect("over the corners", n, sizes.corners_mm, farthest_apart(&points), 1e-9L * stock);
            expect("over a flat and what is opposite", n, sizes.over_far_mm, over(&part, 0), within);
            expect("over a flat and the round", n, mpq_get_d(sizes.over_round), over(&one, 0), within);
            assert_int_equal(sizes.full, n >= 3 && radius < part.radius * (1 - 1e-12L));
            *(sizes.full ? &full : &partial) += 1;
            cc_flats_sizes_clear(&sizes);
            cc_flats_clear(&flats);
        }
    }
    assert_true(full > 100 && partial > 100);
    gmp_randclear(rs);
}

static void test_land(void **state)
{
    (void)state;
    static const unsigned long cases[][3] = { { 1, 5, 6 }, { 2, 13, 16 }, { 3, 10, 15 }, { 4, 10, 13 }, { 6, 17, 18 }, { 7, 20, 21 }, { 12, 100, 101 } };

    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct cc_flats flats;
        struct part part;
        flats_of(&flats, (unsigned)cases[i][0], cases[i][1], cases[i][2], 1);
        struct cc_flats_sizes sizes = measured(&flats);
        part_of(&part, (unsigned)cases[i][0], cases[i][1], cases[i][2]);
        expect("land", part.n, sizes.land_mm * part.n, round_left(&part), 1e-3L * part.radius);
        cc_flats_sizes_clear(&sizes);
        cc_flats_clear(&flats);
    }
}

/* Squares of lengths are rational for 3, 4 and 6 flats: corners^2 = 4, 2, 4/3 across^2; common knowledge of the trade as 2, 1.4142, 1.1547. */
static void test_known_polygons(void **state)
{
    (void)state;
    static const struct {
        unsigned n;
        double corners, width;
    } known[] = { { 3, 2, 1.7320508075688772935 }, { 4, 1.4142135623730950488, 1 }, { 6, 1.1547005383792515290, 0.57735026918962576451 } };

    for (size_t i = 0; i < 3; i++) {
        struct cc_flats flats;
        flats_of(&flats, known[i].n, 17, 170, 1);
        struct cc_flats_sizes sizes = measured(&flats);
        expect("least stock", known[i].n, sizes.full_stock_mm, 17 * known[i].corners, 1e-13L);
        expect("width", known[i].n, sizes.width_mm, 17 * known[i].width, 1e-13L);
        cc_flats_sizes_clear(&sizes);
        cc_flats_clear(&flats);
    }
    struct cc_flats triangle;       /* stock of exactly twice across has full corners, to the last digit of a cosine */
    flats_of(&triangle, 3, 7, 14, 1);
    struct cc_flats_sizes sizes = measured(&triangle);
    assert_true(sizes.full && sizes.land_mm == 0);
    cc_flats_sizes_clear(&sizes);
    cc_flats_clear(&triangle);
}

/* The published chord of neighbours on a circle of diameter 1 is the flat that ends in corners on that circle. */
static void test_published_chords(void **state)
{
    (void)state;
    struct test_tsv t;

    test_tsv_open(&t, "tests/reference/chords.tsv");
    while (test_tsv_next(&t)) {
        struct cc_flats flats;
        unsigned n = (unsigned)test_tsv_count(&t, "divisions");
        double printed = strtod(test_tsv_get(&t, "chord_over_diameter"), NULL);
        flats_of(&flats, n, 1, 3, 1);
        struct cc_flats_sizes sizes = measured(&flats);
        if (fabs(sizes.width_mm / sizes.full_stock_mm - printed) > 0.00006)
            fail_msg("%s: %.5f", test_tsv_where(&t), sizes.width_mm / sizes.full_stock_mm);
        cc_flats_sizes_clear(&sizes);
        cc_flats_clear(&flats);
    }
    assert_true(t.rows > 10);
    test_tsv_close(&t);
}

static void test_refused(void **state)
{
    (void)state;
    static const struct {
        unsigned n;
        unsigned long across, stock;
        enum cc_status status;
    } cases[] = {
        { 0, 1, 2, CC_EDOM },     { 361, 1, 2, CC_EDOM }, { 6, 0, 2, CC_EDOM }, { 6, 1, 0, CC_EDOM },
        { 6, 17, 17, CC_ENOFIT }, { 6, 20, 17, CC_ENOFIT }, { 1, 6, 5, CC_ENOFIT },
    };

    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct cc_flats flats;
        struct cc_flats_sizes sizes;
        struct cc_error err;
        flats_of(&flats, cases[i].n, cases[i].across, cases[i].stock, 1);
        cc_flats_sizes_init(&sizes);
        sizes.width_mm = 7;
        assert_int_equal(cc_flats_measure(&sizes, &flats, &err), cases[i].status);
        assert_int_equal(err.status, cases[i].status);
        assert_true(sizes.width_mm == 7 && mpq_sgn(sizes.depth) == 0);
        cc_flats_sizes_clear(&sizes);
        cc_flats_clear(&flats);
    }
}

/* ---- one flat turned by a little ---- */

static void test_one_flat_wrong(void **state)
{
    (void)state;
    static const unsigned long cases[][3] = { { 3, 10, 30 }, { 4, 10, 20 }, { 5, 20, 30 }, { 6, 17, 20 }, { 6, 17, 18 }, { 12, 90, 100 }, { 2, 13, 16 }, { 4, 9, 10 } };
    mpq_t off;

    mpq_init(off);
    mpq_set_ui(off, 1, 2160);       /* 10' */
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct cc_flats flats;
        struct part part;
        struct points points;
        unsigned n = (unsigned)cases[i][0], k = n > 2 ? 1 : 0;
        flats_of(&flats, n, cases[i][1], cases[i][2], 1);
        struct cc_flats_sizes sizes = measured(&flats);
        part_of(&part, n, cases[i][1], cases[i][2]);
        part.off[k] = 2 * pi / 2160;
        if (sizes.full) {
            expect("difference of widths", n, cc_flats_neighbours(&flats, &sizes, off), width_of(&part, 0) - width_of(&part, k + 1), 1e-11L);
            extremes(&points, &part);       /* the corner between flat 0 and this one: the end of flat 0 in its direction */
            long double ends[2];
            assert_true(ends_of(ends, &part, 0));
            expect("corner", n, cc_flats_corner_shift(&flats, &sizes, off), hypotl(part.h[0], ends[1]) - sizes.corner_mm, 1e-11L);
        } else {
            expect("difference of lands", n, cc_flats_neighbours(&flats, &sizes, off), 2 * part.radius * 2 * pi / 2160, 1e-11L);
            assert_true(cc_flats_corner_shift(&flats, &sizes, off) == 0);
        }
        /* a caliper's jaw lies on the one flat; the other leans to it over its width */
        expect("taper", n, cc_flats_taper(&sizes, off), sizes.width_mm * tanl(2 * pi / 2160), 1e-13L);
        double back = cc_flats_neighbours_angle(&flats, &sizes, cc_flats_neighbours(&flats, &sizes, off));
        expect("back to the angle", n, back, 1.0L / 2160, 1e-5L / 2160 + 1e-9L);
        cc_flats_sizes_clear(&sizes);
        cc_flats_clear(&flats);
    }
    mpq_clear(off);
}

/* ---- blanks that are not centred ---- */

/* The part as it is when flat k is cut and measured: the disc off the spindle's axis, and that flat alone. */
static double reading_of(unsigned n, unsigned k, long double h, long double stock, long double x, long double y)
{
    struct part part = { .radius = stock / 2, .x = x, .y = y, .n = 1 };

    part.turn[0] = (long double)k / n;
    part.h[0] = h;
    assert_true(in_disc(&part, x, y));
    return (double)over(&part, 0);
}

static void test_centre_found_again(void **state)
{
    (void)state;
    gmp_randstate_t rs;

    test_random_init(rs);
    for (unsigned n = 2; n <= 60; n++) {
        for (unsigned long i = 0; i < test_rounds(6); i++) {
            long double x = ((long double)gmp_urandomm_ui(rs, 2001) - 1000) / 1000, y = ((long double)gmp_urandomm_ui(rs, 2001) - 1000) / 1000;
            long double h = 8 + (long double)gmp_urandomm_ui(rs, 1000) / 1000;
            struct cc_flats flats;
            struct cc_flats_reading reading[4] = { { false, 0, 0 } };
            struct cc_flats_centre centre;
            size_t count = 0;
            flats_of(&flats, n, 15, 25, 1);
            if (n == 2)
                y = 0;      /* nothing tells of it */
            for (unsigned k = 0; k < (n == 2 ? 2u : 3u); k++)
                reading[count++] = (struct cc_flats_reading){ false, (double)k / n, reading_of(n, k, h, 25, x, y) };
            if (n % 2 == 0 && i % 2 == 0)
                reading[n > 2 ? 2 : count++] = (struct cc_flats_reading){ true, 0.3, (double)(2 * h) };
            assert_int_equal(cc_flats_centre_of(&centre, &flats, reading, count, NULL), CC_OK);
            long double within = 1e-9L * n * n;
            expect("x", n, centre.x_mm, x, within);
            expect("y", n, centre.y_mm, y, within);
            expect("h", n, centre.flat_mm, h, within);
            expect("off", n, centre.off_mm * cosl(2 * pi * centre.turn), x, within);
            expect("off", n, centre.off_mm * sinl(2 * pi * centre.turn), y, within);
            assert_true(centre.turn >= 0 && centre.turn < 1);
            assert_int_equal(centre.one_way, n == 2);
            assert_true(centre.worst_mm < 1e-9);
            for (unsigned k = 0; k < n; k++) {      /* once that is off, the flat is 7.5 from the round's own axis */
                long double t = 2 * pi * k / n, left = h - cc_flats_take_off(&centre, &flats, (double)k / n);
                expect("to the round's axis", n, left - x * cosl(t) - y * sinl(t), 7.5L, 4 * within);
            }
            cc_flats_clear(&flats);
        }
    }
    gmp_randclear(rs);
}

/* More readings than are needed, each misread by up to 5 micrometres: the answer is out by no more, and says that they disagree. */
static void test_centre_of_many(void **state)
{
    (void)state;
    gmp_randstate_t rs;
    struct cc_flats flats;

    test_random_init(rs);
    flats_of(&flats, 6, 15, 25, 1);
    for (unsigned long i = 0; i < test_rounds(200); i++) {
        struct cc_flats_reading reading[9];
        struct cc_flats_centre centre;
        for (unsigned k = 0; k < 9; k++) {
            double wrong = ((double)gmp_urandomm_ui(rs, 1001) - 500) / 1e5;
            double mm = k < 6 ? reading_of(6, k, 8, 25, 0.3L, -0.2L) : 16;
            reading[k] = (struct cc_flats_reading){ k >= 6, k < 6 ? k / 6.0 : 0, mm + wrong };
        }
        assert_int_equal(cc_flats_centre_of(&centre, &flats, reading, 9, NULL), CC_OK);
        assert_true(fabs(centre.x_mm - 0.3) < 0.0075 && fabs(centre.y_mm + 0.2) < 0.0075 && fabs(centre.flat_mm - 8) < 0.005);
        assert_true(centre.worst_mm < 0.02 && centre.worst_mm > 1e-6);
    }
    cc_flats_clear(&flats);
    gmp_randclear(rs);
}

static void test_readings_that_leave_it_open(void **state)
{
    (void)state;
    struct cc_flats flats;
    static const struct cc_flats_reading sets[][3] = {
        { { true, 0, 16 }, { true, 0, 16 }, { true, 0, 16 } },
        { { false, 0, 20 }, { false, 0, 20 }, { false, 0, 20 } },
        { { false, 0, 20 }, { false, 1 / 6.0, 20 }, { false, 0, 20 } },
        { { false, 0, 20 }, { false, 0.5, 20 }, { true, 0, 16 } },
    };

    flats_of(&flats, 6, 15, 25, 1);
    for (size_t i = 0; i < sizeof sets / sizeof sets[0]; i++) {
        struct cc_flats_centre centre = { .flat_mm = 7 };
        struct cc_error err;
        assert_int_equal(cc_flats_centre_of(&centre, &flats, sets[i], 3, &err), CC_EDOM);
        assert_true(centre.flat_mm == 7);
    }
    cc_flats_clear(&flats);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sizes_of_cuts),
        cmocka_unit_test(test_land),
        cmocka_unit_test(test_known_polygons),
        cmocka_unit_test(test_published_chords),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_one_flat_wrong),
        cmocka_unit_test(test_centre_found_again),
        cmocka_unit_test(test_centre_of_many),
        cmocka_unit_test(test_readings_that_leave_it_open),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
