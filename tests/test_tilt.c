/*
 * test_tilt.c: readings against MPFR and published rows; tilts for teeth against the geometry itself.
 *
 * The geometry test knows none of the formulas. It turns planes about axes: a cutter whose faces are
 * planes fixed in the machine, a blank tilted and indexed under it. The planes that the cutter leaves on
 * neighbouring teeth are intersected, and the tilt at which the edge between them lies as the job
 * asks is found by halving an interval.
 */
#include "support.h"

#include <math.h>
#include <mpfr.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/gear.h"
#include "crankcard/tilt.h"

static const double pi = 3.14159265358979323846;

/* ---- vectors ---- */

struct vec {
    double x, y, z;
};

static double dot(struct vec a, struct vec b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static struct vec cross(struct vec a, struct vec b)
{
    return (struct vec){ a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x };
}

static struct vec unit(struct vec a)
{
    double l = sqrt(dot(a, a));
    return (struct vec){ a.x / l, a.y / l, a.z / l };
}

/* v turned about the unit vector axis by angle (Rodrigues). */
static struct vec turned(struct vec v, struct vec axis, double angle)
{
    struct vec w = cross(axis, v);
    double c = cos(angle), s = sin(angle), d = dot(axis, v) * (1 - c);
    return (struct vec){ v.x * c + w.x * s + axis.x * d, v.y * c + w.y * s + axis.y * d,
                         v.z * c + w.z * s + axis.z * d };
}

/* ---- the machine: feed along x, y across, z up; the axis of the blank in the plane y = 0 ---- */

static const struct vec feed = { 1, 0, 0 }, across = { 0, 1, 0 }, up = { 0, 0, 1 };

/* The blank's axis, pointing out of the head, raised by tilt. */
static struct vec axis_at(double tilt)
{
    return turned(feed, across, -tilt);
}

/* Normal of a cutter face that holds the feed and leans from the upright by lean, towards +y. */
static struct vec face_normal(double lean)
{
    return turned(across, feed, -lean);
}

/* The line in which two planes meet, pointing away from the axis. */
static struct vec edge_of(struct vec normal1, struct vec normal2, struct vec axis)
{
    struct vec e = unit(cross(normal1, normal2));
    struct vec out = turned(up, across, -atan2(axis.z, axis.x));   /* upright on the axis, y = 0 */
    return dot(e, out) < 0 ? (struct vec){ -e.x, -e.y, -e.z } : e;
}

struct job {
    enum cc_teeth_kind kind;
    unsigned n;
    double cutter, cone;
};

/*
 * What must be 0 at the right tilt: the cosine between the tooth's edge and the axis, less what it
 * should be. The next groove is this one's, the blank turned one pitch.
 */
static double fault(const struct job *j, double tilt)
{
    struct vec axis = axis_at(tilt);
    double pitch = 2 * pi / j->n;
    struct vec slope, wall, edge, root = edge_of(face_normal(0), across, axis);

    if (j->kind == CC_TEETH_V_CLUTCH) {
        slope = face_normal(j->cutter / 2);
        wall = turned(face_normal(-j->cutter / 2), axis, -pitch);
        root = edge_of(face_normal(j->cutter / 2), face_normal(-j->cutter / 2), axis);
    } else {
        slope = face_normal(j->cutter);
        wall = turned(face_normal(0), axis, -pitch);
        root = edge_of(slope, face_normal(0), axis);
    }
    edge = edge_of(slope, wall, axis);
    if (j->kind == CC_TEETH_SAW_CLUTCH || j->kind == CC_TEETH_V_CLUTCH)
        /* Two halves mesh when crest and root lie alike on either side of the middle plane. */
        return dot(edge, axis) + dot(root, axis);
    if (j->kind == CC_TEETH_TAPER)  /* the edge runs along the cone, growing away from its end */
        return dot(edge, axis) + cos(j->cone);
    return dot(edge, axis);         /* the edge lies in the end face */
}

/* The tilt in (low, high) where fault changes its sign; false where it does not. */
static bool solve(double *tilt, const struct job *j, double low, double high)
{
    double at_low = fault(j, low), at_high = fault(j, high);

    if ((at_low < 0) == (at_high < 0))
        return false;
    for (int i = 0; i < 200; i++) {
        double middle = (low + high) / 2, at = fault(j, middle);
        if ((at < 0) == (at_low < 0))
            low = middle;
        else
            high = middle;
    }
    *tilt = (low + high) / 2;
    return true;
}

static void set_degrees(mpq_t rev, double degrees)
{
    mpq_set_d(rev, degrees / 360);
}

static enum cc_status formula(double *tilt, const struct job *j)
{
    struct cc_teeth t;
    mpq_t rev;

    mpq_init(rev);
    cc_teeth_init(&t);
    t.kind = j->kind;
    t.teeth = j->n;
    set_degrees(t.cutter, j->cutter * 180 / pi);
    set_degrees(t.cone, j->cone * 180 / pi);
    enum cc_status s = cc_tilt_for_teeth(rev, &t, NULL);
    *tilt = mpq_get_d(rev) * 2 * pi;
    cc_teeth_clear(&t);
    mpq_clear(rev);
    return s;
}

static void test_teeth_by_geometry(void **unused)
{
    static const enum cc_teeth_kind kinds[] = { CC_TEETH_END, CC_TEETH_SIDE, CC_TEETH_TAPER,
                                                CC_TEETH_SAW_CLUTCH, CC_TEETH_V_CLUTCH };
    unsigned long rounds = test_rounds(3000), solved[CC_TEETH_BEVEL + 1] = { 0 }, none = 0;
    gmp_randstate_t rs;

    (void)unused;
    test_random_init(rs);
    for (unsigned long r = 0; r < rounds; r++) {
        struct job j = { .kind = kinds[gmp_urandomm_ui(rs, 5)], .n = 5 + (unsigned)gmp_urandomm_ui(rs, 60) };
        j.cutter = (40 + (double)gmp_urandomm_ui(rs, 480) / 10) * pi / 180;
        j.cone = (1 + (double)gmp_urandomm_ui(rs, 880) / 10) * pi / 180;
        double by_formula, by_planes;
        enum cc_status s = formula(&by_formula, &j);
        bool found = solve(&by_planes, &j, 1e-6, pi / 2 - 1e-9);

        if (s == CC_ENOFIT && !found) {
            none++;
            continue;
        }
        if (s != CC_OK || !found || fabs(by_formula - by_planes) > 1e-8)
            fail_msg("seed %lu, round %lu: kind %d, %u teeth, cutter %.2f, cone %.2f: status %d, %.8f by "
                     "formula, %.8f by planes (found: %d)",
                     test_seed(), r, j.kind, j.n, j.cutter * 180 / pi, j.cone * 180 / pi, s,
                     by_formula * 180 / pi, found ? by_planes * 180 / pi : 0.0, found);
        solved[j.kind]++;
    }
    for (size_t i = 0; i < 5; i++)
        assert_true(solved[kinds[i]] > rounds / 20);
    assert_true(none > 0);
    gmp_randclear(rs);
}

/*
 * A bevel gear by rolling: the pitch line is where points of both gears move alike when they turn by
 * one over their teeth; the root line runs from the apex to a point one dedendum inside, square
 * to the pitch line.
 */
static double slip(double g, double shaft, unsigned n, unsigned mate)
{
    struct vec axis1 = feed, axis2 = turned(feed, across, -shaft), p = turned(feed, across, -g);
    struct vec v1 = cross(axis1, p), v2 = cross(axis2, p);
    return v1.y / n + v2.y / mate;
}

static void test_bevel_by_geometry(void **unused)
{
    unsigned long rounds = test_rounds(500);
    gmp_randstate_t rs;
    struct cc_teeth t;
    mpq_t rev;

    (void)unused;
    test_random_init(rs);
    cc_teeth_init(&t);
    mpq_init(rev);
    t.kind = CC_TEETH_BEVEL;
    for (unsigned long r = 0; r < rounds; r++) {
        t.teeth = 12 + (unsigned)gmp_urandomm_ui(rs, 50);
        t.mate = 12 + (unsigned)gmp_urandomm_ui(rs, 50);
        mpq_set_ui(t.shaft, 60 + gmp_urandomm_ui(rs, 31), 360);
        mpq_canonicalize(t.shaft);
        double shaft = mpq_get_d(t.shaft) * 2 * pi, low = 1e-9, high = shaft - 1e-9;
        for (int i = 0; i < 100; i++) {
            double g = (low + high) / 2;
            if ((slip(g, shaft, t.teeth, t.mate) < 0) == (slip(low, shaft, t.teeth, t.mate) < 0))
                low = g;
            else
                high = g;
        }
        if (low > pi / 2)
            continue;
        mpq_set_ui(t.dedendum, 1000 + gmp_urandomm_ui(rs, 500), 1000);
        mpq_canonicalize(t.dedendum);
        double depth = mpq_get_d(t.dedendum);
        /* Module 1: the pitch point lies teeth/2 from the axis. */
        struct vec line = turned(feed, across, -low);
        double distance = t.teeth / 2.0 / line.z;
        struct vec in = turned(line, across, pi / 2);
        struct vec point = { line.x * distance + in.x * depth, 0, line.z * distance + in.z * depth };
        double root = atan2(point.z, point.x);
        assert_int_equal(cc_tilt_for_teeth(rev, &t, NULL), CC_OK);
        if (fabs(mpq_get_d(rev) * 2 * pi - root) > 1e-9)
            fail_msg("seed %lu, round %lu: %u and %u teeth: %.8f, by geometry %.8f", test_seed(), r,
                     t.teeth, t.mate, mpq_get_d(rev) * 360, root * 180 / pi);
    }
    mpq_clear(rev);
    cc_teeth_clear(&t);
    gmp_randclear(rs);
}

/* Left to their defaults, the root angle that gear prints and the tilt for a bevel gear are one angle. */
static void test_bevel_as_gear_says(void **unused)
{
    struct cc_gear_request ask;
    struct cc_gear gear;
    struct cc_teeth teeth;
    mpq_t tilt;

    (void)unused;
    cc_gear_request_init(&ask);
    cc_gear_init(&gear);
    cc_teeth_init(&teeth);
    mpq_init(tilt);
    ask.kind = CC_GEAR_BEVEL;
    ask.teeth = teeth.teeth = 20;
    ask.mate = teeth.mate = 40;
    teeth.kind = CC_TEETH_BEVEL;
    mpq_set_ui(ask.module, 2, 1);
    assert_int_equal(cc_gear_compute(&gear, &ask, NULL), CC_OK);
    assert_int_equal(cc_tilt_for_teeth(tilt, &teeth, NULL), CC_OK);
    assert_true(fabs(mpq_get_d(tilt) * 360 - gear.root_angle_deg) < 1e-9);
    mpq_clear(tilt);
    cc_teeth_clear(&teeth);
    cc_gear_clear(&gear);
    cc_gear_request_clear(&ask);
}

/* ---- the square clutch: the width that just passes, by sliding a slot over the teeth ---- */

static void test_clutch_cutter_width(void **unused)
{
    mpq_t bore;

    (void)unused;
    mpq_init(bore);
    mpq_set_ui(bore, 30, 1);
    for (unsigned n = 2; n <= 24; n++) {
        /* One side of the cutter on the radial face at 0; the face of the next tooth stands at half a
         * pitch, from the bore outwards. Its lowest point limits the cutter. */
        double least = 1e9, face = pi / n;
        for (double r = 15; r < 40; r += 0.01)
            least = fmin(least, r * sin(face));
        assert_true(fabs(cc_clutch_cutter_width(bore, n) - least) < 1e-9);
    }
    mpq_clear(bore);
}

/* ---- rows from memory ---- */

/* The number behind name= in text. */
static double named(const char *text, const char *name)
{
    const char *p = strstr(text, name);
    assert_non_null(p);
    return strtod(p + strlen(name), NULL);
}

static void check_teeth_row(struct test_tsv *row, enum cc_teeth_kind kind)
{
    const char *given = test_tsv_get(row, "given");
    struct job j = { .kind = kind, .n = (unsigned)named(given, "N="),
                     .cutter = named(given, "cutter=") * pi / 180, .cone = 0 };
    double tilt, wanted = strtod(test_tsv_get(row, "value"), NULL);

    assert_int_equal(formula(&tilt, &j), CC_OK);
    if (fabs(tilt * 180 / pi - wanted) > 0.005)     /* the rows have two decimals */
        fail_msg("%s: %.4f, the row says %.2f", test_tsv_where(row), tilt * 180 / pi, wanted);
}

static void check_bevel_row(struct test_tsv *row)
{
    const char *given = test_tsv_get(row, "given");
    struct cc_teeth t;
    mpq_t tilt;

    mpq_init(tilt);
    cc_teeth_init(&t);
    t.kind = CC_TEETH_BEVEL;
    t.teeth = (unsigned)named(given, "N1=");
    t.mate = (unsigned)named(given, "N2=");
    mpq_set_ui(t.dedendum, 0, 1);       /* the row gives the pitch angle */
    assert_int_equal(cc_tilt_for_teeth(tilt, &t, NULL), CC_OK);
    assert_true(fabs(mpq_get_d(tilt) * 360 - strtod(test_tsv_get(row, "value"), NULL)) < 0.0005);
    cc_teeth_clear(&t);
    mpq_clear(tilt);
}

static void check_sine_bar_row(struct test_tsv *row)
{
    mpq_t tilt, length;

    assert_string_equal(test_tsv_get(row, "given"), "5 in 30d");
    test_mpq_init(tilt, "1/12");
    test_mpq_init(length, "5");
    assert_true(fabs(cc_tilt_over_bar(tilt, length) - strtod(test_tsv_get(row, "value"), NULL)) <
                0.00005);
    mpq_clear(tilt);
    mpq_clear(length);
}

/*
 * tests/reference/sine_bar.tsv: the stack for 18 degrees (its sine taken as 0.309), and how far a tenth of a
 * thousandth of an inch under it moves the angle at 30.
 */
static void test_published_sine_bar(void **unused)
{
    unsigned stacks = 0, moves = 0;
    struct test_tsv row;
    mpq_t tilt, length, tenth;

    (void)unused;
    mpq_inits(tilt, length, tenth, NULL);
    mpq_set_ui(tenth, 1, 10000);
    test_tsv_open(&row, "tests/reference/sine_bar.tsv");
    while (test_tsv_next(&row)) {
        const char *given = test_tsv_get(&row, "stack_in");
        double degrees;
        mpq_set_ui(tilt, test_tsv_count(&row, "angle_deg"), 360);
        mpq_canonicalize(tilt);
        mpq_set_ui(length, test_tsv_count(&row, "length_in"), 1);
        if (sscanf(given, "+0.0001 gives %lf deg", &degrees) != 1) {
            assert_true(fabs(cc_tilt_over_bar(tilt, length) - strtod(given, NULL)) < 0.0005);
            stacks++;
        } else if (!cc_tilt_is_steep(tilt)) {
            assert_true(fabs(cc_tilt_bar_arcsec(tilt, length, tenth) / 3600 - degrees) < 0.000005);
            moves++;
        }
    }
    assert_int_equal(row.rows, 3);
    assert_int_equal(stacks, 1);
    assert_int_equal(moves, 1);
    test_tsv_close(&row);
    mpq_clears(tilt, length, tenth, NULL);
}

/* tests/reference/memory.tsv: tilt and sine bar rows, from memory. */
static void test_memory_rows(void **unused)
{
    unsigned seen = 0;
    struct test_tsv row;

    (void)unused;
    test_tsv_open(&row, "tests/reference/memory.tsv");
    while (test_tsv_next(&row)) {
        const char *topic = test_tsv_get(&row, "topic");
        seen++;
        if (strcmp(topic, "tilt end teeth") == 0)
            check_teeth_row(&row, CC_TEETH_END);
        else if (strcmp(topic, "tilt saw-tooth clutch") == 0)
            check_teeth_row(&row, CC_TEETH_SAW_CLUTCH);
        else if (strcmp(topic, "tilt V clutch") == 0)
            check_teeth_row(&row, CC_TEETH_V_CLUTCH);
        else if (strcmp(topic, "tilt bevel") == 0)
            check_bevel_row(&row);
        else if (strcmp(topic, "sine bar") == 0)
            check_sine_bar_row(&row);
        else
            seen--;
    }
    test_tsv_close(&row);
    assert_int_equal(seen, 5);
}

/* ---- readings against MPFR ---- */

enum { BITS = 200 };

static bool near_mpfr(double got, mpfr_t wanted)
{
    double w = mpfr_get_d(wanted, MPFR_RNDN);
    return fabs(got - w) <= 4e-15 * fabs(w) + 1e-300;
}

static void test_readings_against_mpfr(void **unused)
{
    unsigned long rounds = test_rounds(2000), steep = 0;
    gmp_randstate_t rs;
    mpfr_t a, s, c, w;
    mpq_t tilt, length, dial;

    (void)unused;
    test_random_init(rs);
    mpfr_inits2(BITS, a, s, c, w, (mpfr_ptr)NULL);
    mpq_inits(tilt, length, dial, NULL);
    mpq_set_ui(dial, 1, 100);
    for (unsigned long r = 0; r < rounds; r++) {
        mpq_set_si(tilt, (long)gmp_urandomm_ui(rs, 1296001) - 324000, 1296000);   /* -90 to 270 degrees */
        mpq_canonicalize(tilt);
        mpq_set_ui(length, 1 + gmp_urandomm_ui(rs, 500), 1 + gmp_urandomm_ui(rs, 7));
        mpq_canonicalize(length);
        mpfr_const_pi(a, MPFR_RNDN);
        mpfr_mul_ui(a, a, 2, MPFR_RNDN);
        mpfr_mul_q(a, a, tilt, MPFR_RNDN);
        mpfr_sin_cos(s, c, a, MPFR_RNDN);
        if (mpfr_cmpabs(s, c) > 0) {    /* the upright measurement */
            mpfr_swap(s, c);
            steep++;
        }
        assert_int_equal(cc_tilt_is_steep(tilt), mpfr_cmpabs(s, c) < 0 ?
                         fabs(sin(mpq_get_d(tilt) * 2 * pi)) > fabs(cos(mpq_get_d(tilt) * 2 * pi)) : 0);

        mpfr_div(w, s, c, MPFR_RNDN);
        mpfr_mul_q(w, w, length, MPFR_RNDN);
        /* Beyond a right angle the argument itself is rounded to 2^-53 of itself: allow a few of them. */
        double travel = cc_tilt_over_travel(tilt, length), d = mpfr_get_d(w, MPFR_RNDN);
        if (fabs(travel - d) > 4e-15 * fabs(d) + 4e-15 * mpq_get_d(length))
            fail_msg("seed %lu, round %lu: %.17g, MPFR %.17g", test_seed(), r, travel, d);
        mpfr_mul_q(w, s, length, MPFR_RNDN);
        d = mpfr_get_d(w, MPFR_RNDN);
        if (fabs(cc_tilt_over_bar(tilt, length) - d) > 4e-15 * mpq_get_d(length))
            fail_msg("seed %lu, round %lu: over the bar", test_seed(), r);

        /* arcsec = 648000/pi * dial/length * c^2, or / c */
        mpfr_const_pi(a, MPFR_RNDN);
        mpfr_ui_div(a, 648000, a, MPFR_RNDN);
        mpfr_mul_q(a, a, dial, MPFR_RNDN);
        mpfr_div_q(a, a, length, MPFR_RNDN);
        mpfr_abs(c, c, MPFR_RNDN);
        mpfr_div(w, a, c, MPFR_RNDN);
        assert_true(near_mpfr(cc_tilt_bar_arcsec(tilt, length, dial), w));
        mpfr_sqr(c, c, MPFR_RNDN);
        mpfr_mul(w, a, c, MPFR_RNDN);
        assert_true(near_mpfr(cc_tilt_travel_arcsec(tilt, length, dial), w));
    }
    assert_true(steep > rounds / 4 && steep < rounds * 3 / 4);
    mpq_clears(tilt, length, dial, NULL);
    mpfr_clears(a, s, c, w, (mpfr_ptr)NULL);
    gmp_randclear(rs);
}

/* A misreading moves the angle by what the sensitivity says: turn the head by that much and read again. */
static void test_misreading_is_the_reading_turned_back(void **unused)
{
    static const char *const tilts[] = { "1/36", "1/12", "1/8", "1/6", "2/9", "-1/24" };
    mpq_t tilt, length, dial, moved, seconds;

    (void)unused;
    test_mpq_init(length, "100");
    test_mpq_init(dial, "1/100");
    mpq_inits(moved, seconds, NULL);
    for (size_t i = 0; i < sizeof tilts / sizeof tilts[0]; i++) {
        test_mpq_init(tilt, tilts[i]);
        mpq_set_d(seconds, cc_tilt_travel_arcsec(tilt, length, dial) / CC_ARCSEC_PER_REV);
        mpq_add(moved, tilt, seconds);
        double change = cc_tilt_over_travel(moved, length) - cc_tilt_over_travel(tilt, length);
        if (strcmp(tilts[i], "1/8") != 0)   /* at 45 degrees the measurement itself changes over */
            assert_true(fabs(fabs(change) - 0.01) < 1e-5);
        mpq_set_d(seconds, cc_tilt_bar_arcsec(tilt, length, dial) / CC_ARCSEC_PER_REV);
        mpq_sub(moved, tilt, seconds);
        change = cc_tilt_over_bar(moved, length) - cc_tilt_over_bar(tilt, length);
        assert_true(fabs(fabs(change) - 0.01) < 1e-5);
        mpq_clear(tilt);
    }
    mpq_clears(length, dial, moved, seconds, NULL);
}

/* ---- the head ---- */

static void test_range_of_the_head(void **unused)
{
    struct cc_head head;
    struct cc_error err;
    mpq_t tilt;

    (void)unused;
    cc_head_init(&head);
    assert_int_equal(cc_head_default(&head, NULL), CC_OK);      /* 0 to 90 degrees */
    test_mpq_init(tilt, "1/4");
    assert_int_equal(cc_tilt_check(tilt, &head, &err), CC_OK);
    mpq_set_ui(tilt, 1000001, 4000000);
    assert_int_equal(cc_tilt_check(tilt, &head, &err), CC_ENOFIT);
    mpq_set_si(tilt, -1, 360);
    assert_int_equal(cc_tilt_check(tilt, &head, &err), CC_ENOFIT);
    assert_non_null(strstr(err.text, "0d00m00s to 90d00m00s"));
    mpq_set_ui(tilt, 0, 1);
    assert_int_equal(cc_tilt_check(tilt, &head, &err), CC_OK);
    head.has_tilt = false;
    assert_int_equal(cc_tilt_check(tilt, &head, &err), CC_OK);
    mpq_set_ui(tilt, 1, 360);
    assert_int_equal(cc_tilt_check(tilt, &head, &err), CC_ENOFIT);
    mpq_clear(tilt);
    cc_head_clear(&head);
}

static void test_scale_with_a_zero_found_off(void **unused)
{
    mpq_t tilt, zero;

    (void)unused;
    test_mpq_init(tilt, "1/12");
    test_mpq_init(zero, "-1/1440");     /* it showed a quarter degree low: show 29 3/4 for 30 */
    cc_tilt_scale(tilt, tilt, zero);
    test_mpq_equal("30 degrees, zero a quarter low", tilt, "119/1440");
    mpq_clear(tilt);
    mpq_clear(zero);
}

static void refuse(enum cc_status wanted, const struct cc_teeth *t, int line)
{
    mpq_t tilt;

    test_mpq_init(tilt, "1/7");
    enum cc_status got = cc_tilt_for_teeth(tilt, t, NULL);
    if (got != wanted)
        fail_msg("line %d: status %d, not %d", line, got, wanted);
    test_mpq_equal("left alone", tilt, "1/7");
    mpq_clear(tilt);
}

static void test_refusals(void **unused)
{
    struct cc_teeth t;
    mpq_t tilt;

    (void)unused;
    cc_teeth_init(&t);
    mpq_set_ui(t.cutter, 70, 360);
    mpq_canonicalize(t.cutter);
    t.teeth = 4;
    refuse(CC_EDOM, &t, __LINE__);      /* a quarter turn on, the next tooth is out of reach */
    t.teeth = 5;
    refuse(CC_ENOFIT, &t, __LINE__);    /* tan 72 * cot 70 = 1.12 */
    t.teeth = 12;
    mpq_set_ui(t.cutter, 1, 4);
    refuse(CC_EDOM, &t, __LINE__);
    mpq_set_ui(t.cutter, 0, 1);
    refuse(CC_EDOM, &t, __LINE__);
    t.kind = CC_TEETH_V_CLUTCH;
    refuse(CC_EDOM, &t, __LINE__);
    mpq_set_ui(t.cutter, 1, 2);
    refuse(CC_EDOM, &t, __LINE__);
    t.kind = CC_TEETH_TAPER;
    mpq_set_ui(t.cutter, 1, 6);
    refuse(CC_EDOM, &t, __LINE__);      /* no cone */
    t.kind = CC_TEETH_SQUARE_CLUTCH;
    t.teeth = 1;
    refuse(CC_EDOM, &t, __LINE__);
    t.kind = CC_TEETH_BEVEL;
    refuse(CC_EDOM, &t, __LINE__);      /* no mate */
    t.teeth = 40;
    t.mate = 20;
    mpq_set_ui(t.shaft, 1, 2);
    refuse(CC_EDOM, &t, __LINE__);
    mpq_set_ui(t.shaft, 17, 36);        /* 170 degrees: 1/2 - 0.985 < 0 */
    refuse(CC_ENOFIT, &t, __LINE__);
    mpq_set_ui(t.shaft, 1, 4);
    mpq_set_si(t.dedendum, -1, 1);
    refuse(CC_EDOM, &t, __LINE__);

    t.kind = CC_TEETH_SQUARE_CLUTCH;
    test_mpq_init(tilt, "0");
    assert_int_equal(cc_tilt_for_teeth(tilt, &t, NULL), CC_OK);
    test_mpq_equal("square clutch", tilt, "1/4");
    mpq_clear(tilt);
    cc_teeth_clear(&t);
}

/* 83 degrees is shop judgement, docs/tilt.md: the edge itself counts. */
static void upright_from_83_degrees(void **state)
{
    (void)state;
    static const struct { const char *tilt; bool upright; } rows[] = {
        { "0", false }, { "83/360", true }, { "82999/360000", false }, { "1/4", true }, { "95/360", true }, { "-5/360", false },
    };
    mpq_t tilt;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        test_mpq_init(tilt, rows[i].tilt);
        assert_int_equal(cc_tilt_is_near_upright(tilt), rows[i].upright);
        mpq_clear(tilt);
    }
}

/* ---- the way back ---- */

/* The reading that MPFR gives for a tilt, to so many bits, leads back to that tilt: either way, either side of 45 degrees. */
static void test_back_from_mpfr(void **unused)
{
    gmp_randstate_t rs;
    mpfr_t a, s, c;
    mpq_t tilt, length, reading, found, near;
    unsigned long steep = 0;

    (void)unused;
    test_random_init(rs);
    mpq_inits(tilt, length, reading, found, near, NULL);
    mpfr_inits2(BITS, a, s, c, (mpfr_ptr)NULL);
    for (unsigned long i = 0; i < test_rounds(1000); i++) {
        unsigned long den = 1 + gmp_urandomm_ui(rs, 1000000);
        mpq_set_ui(tilt, gmp_urandomm_ui(rs, den + 1), 4 * den);        /* 0 to 90 degrees */
        mpq_set_ui(length, 1 + gmp_urandomm_ui(rs, 300000), 1000);
        mpq_canonicalize(tilt);
        mpq_canonicalize(length);
        mpq_set_ui(near, 1 + (i % 2) * 8, 37);      /* 9.7 and 87.6 degrees: it is the way of measuring alone */
        mpfr_const_pi(a, MPFR_RNDN);
        mpfr_mul_ui(a, a, 2, MPFR_RNDN);
        mpfr_mul_q(a, a, tilt, MPFR_RNDN);
        mpfr_sin_cos(s, c, a, MPFR_RNDN);
        if (cc_tilt_is_steep(near)) {
            mpfr_swap(s, c);
            steep++;
        }
        enum cc_tilt_way way = i % 4 < 2 ? CC_TILT_BY_TRAVEL : CC_TILT_BY_BAR;
        if (way == CC_TILT_BY_TRAVEL && mpfr_cmp_d(c, 0.01) < 0)
            continue;       /* the tangent there is one that nobody reads */
        if (way == CC_TILT_BY_BAR && mpfr_cmp_d(s, 0.999) > 0)
            continue;       /* and the sine says nothing */
        if (way == CC_TILT_BY_TRAVEL)
            mpfr_div(s, s, c, MPFR_RNDN);
        mpfr_mul_q(s, s, length, MPFR_RNDN);
        mpq_set_d(reading, mpfr_get_d(s, MPFR_RNDN));
        assert_int_equal(cc_tilt_of_reading(found, way, length, reading, near, NULL), CC_OK);
        mpq_sub(found, found, tilt);
        if (fabs(mpq_get_d(found)) > 2e-14)
            fail_msg("round %lu: %g revolutions off", i, mpq_get_d(found));
        assert_true(fabs(cc_tilt_reading(way, length, tilt, near) - mpfr_get_d(s, MPFR_RNDN)) <=
                    1e-14 * (mpq_get_d(length) + fabs(mpfr_get_d(s, MPFR_RNDN))) * 100);
    }
    assert_true(steep > test_rounds(1000) / 4);
    mpfr_clears(a, s, c, (mpfr_ptr)NULL);
    mpq_clears(tilt, length, reading, found, near, NULL);
    gmp_randclear(rs);
}

/* The published stacks, back: 1.545 in under a 5 in bar is 18 degrees, as near as its four figures say. */
static void test_published_sine_bar_back(void **unused)
{
    struct test_tsv row;
    mpq_t tilt, near, length, stack;
    unsigned stacks = 0;

    (void)unused;
    mpq_inits(tilt, near, length, stack, NULL);
    test_tsv_open(&row, "tests/reference/sine_bar.tsv");
    while (test_tsv_next(&row)) {
        double angle = (double)test_tsv_count(&row, "angle_deg");
        if (test_tsv_get(&row, "stack_in")[0] == '+')
            continue;
        mpq_set_ui(length, test_tsv_count(&row, "length_in"), 1);
        mpq_set_d(stack, strtod(test_tsv_get(&row, "stack_in"), NULL));
        assert_int_equal(cc_tilt_of_reading(tilt, CC_TILT_BY_BAR, length, stack, near, NULL), CC_OK);
        assert_true(fabs(mpq_get_d(tilt) * 360 - angle) < 0.0015);      /* half of the last figure, 0.0005 in of 5 in */
        stacks++;
    }
    assert_int_equal(stacks, 1);
    test_tsv_close(&row);
    mpq_clears(tilt, near, length, stack, NULL);
}

/*
 * A bar in space that does not lie along the spindle: it leans off it by up to 4 minutes, to whichever side the spindle is turned
 * to. Read as an indicator on a slide reads it, half a turn apart, to a micrometre: the spindle's tilt and the bar's lean are found.
 */
static void test_half_turn_is_free_of_runout(void **unused)
{
    gmp_randstate_t rs;
    mpq_t first, second, bar, length, reading, near;

    (void)unused;
    test_random_init(rs);
    mpq_inits(first, second, bar, length, reading, near, NULL);
    mpq_set_ui(length, 100, 1);
    for (unsigned long i = 0; i < test_rounds(400); i++) {
        double tilt = pi / 2 * (double)gmp_urandomm_ui(rs, 10001) / 10000, lean = pi / 10800 * 4 * (double)gmp_urandomm_ui(rs, 1001) / 1000;
        double side = 2 * pi * (double)gmp_urandomm_ui(rs, 3600) / 3600;
        bool upright = tilt > pi / 4;
        struct vec axis = axis_at(tilt), aside = turned(across, axis, side);
        mpq_set_ui(near, upright ? 2 : 1, 9);
        for (int half = 0; half < 2; half++) {
            struct vec along = turned(turned(axis, aside, lean), axis, pi * half);
            double slope = upright ? along.x / along.z : along.z / along.x;
            mpq_set_d(reading, round(slope * 1e5) / 1e3);
            assert_int_equal(cc_tilt_of_reading(half ? second : first, CC_TILT_BY_TRAVEL, length, reading, near, NULL), CC_OK);
        }
        mpq_sub(bar, first, second);
        double mean = (mpq_get_d(first) + mpq_get_d(second)) / 2 * 360, seen = mpq_get_d(bar) / 2 * 2 * pi;
        double in_plane = fabs(lean * cos(side));       /* turning about an axis that is square to the plane of the tilt */
        /* a micrometre over 100 mm is 2 seconds; what leans out of the plane shortens its shadow by next to nothing */
        if (fabs(mean - tilt * 180 / pi) * 3600 > 1.6)
            fail_msg("round %lu: tilt %.6f found as %.6f", i, tilt * 180 / pi, mean);
        if (fabs(fabs(seen) - in_plane) * 648000 / pi > 1.6)
            fail_msg("round %lu: the bar leans %.2f\", found as %.2f\"", i, in_plane * 648000 / pi, fabs(seen) * 648000 / pi);
    }
    mpq_clears(first, second, bar, length, reading, near, NULL);
    gmp_randclear(rs);
}

static void test_reading_longer_than_the_bar(void **unused)
{
    mpq_t tilt, near, length, reading;
    struct cc_error err;

    (void)unused;
    mpq_inits(tilt, near, length, reading, NULL);
    mpq_set_ui(tilt, 3, 7);
    mpq_set_ui(length, 100, 1);
    for (int sign = -1; sign <= 1; sign += 2) {
        mpq_set_si(reading, sign * 1001, 10);
        mpq_canonicalize(reading);
        assert_int_equal(cc_tilt_of_reading(tilt, CC_TILT_BY_BAR, length, reading, near, &err), CC_EDOM);
        test_mpq_equal("tilt", tilt, "3/7");
    }
    assert_int_equal(cc_tilt_of_reading(tilt, CC_TILT_BY_TRAVEL, length, reading, near, &err), CC_OK);
    mpq_clears(tilt, near, length, reading, NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(upright_from_83_degrees),
        cmocka_unit_test(test_teeth_by_geometry),
        cmocka_unit_test(test_bevel_by_geometry),
        cmocka_unit_test(test_bevel_as_gear_says),
        cmocka_unit_test(test_clutch_cutter_width),
        cmocka_unit_test(test_memory_rows),
        cmocka_unit_test(test_published_sine_bar),
        cmocka_unit_test(test_readings_against_mpfr),
        cmocka_unit_test(test_misreading_is_the_reading_turned_back),
        cmocka_unit_test(test_range_of_the_head),
        cmocka_unit_test(test_scale_with_a_zero_found_off),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_back_from_mpfr),
        cmocka_unit_test(test_published_sine_bar_back),
        cmocka_unit_test(test_half_turn_is_free_of_runout),
        cmocka_unit_test(test_reading_longer_than_the_bar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
