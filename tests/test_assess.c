/*
 * test_assess.c: measurements in, findings and budgets out. Tolerances against the formulas and
 * rows of tests/reference, ISO 230-2 quantities against a case worked by hand, budget lines against
 * positions computed one by one. The harmonic fit against PARI is in test_harmonic.c.
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/assess.h"
#include "crankcard/tolerance.h"

static const double two_pi = 6.283185307179586476925;
static const double arcsec_per_radian = 206264.80624709635516;

static void near(const char *what, double got, double want, double within)
{
    if (!(fabs(got - want) <= within))
        fail_msg("%s: %.12g, not %.12g", what, got, want);
}

/* ---- flank classes ---- */

/* memory.tsv: "A=5 d=100 mn=2" -> "fpT=5.900 FpT=19.100", before rounding. */
static void iso_2013_row(void **state)
{
    (void)state;
    struct test_tsv t;
    unsigned rows = 0;

    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        unsigned flank_class;
        double d, m, pitch, cumulative;
        struct cc_flank_tolerance got;
        if (strcmp(test_tsv_get(&t, "topic"), "iso1328:2013") != 0)
            continue;
        assert_int_equal(
            sscanf(test_tsv_get(&t, "given"), "A=%u d=%lf mn=%lf", &flank_class, &d, &m), 3);
        assert_int_equal(sscanf(test_tsv_get(&t, "value"), "fpT=%lf FpT=%lf", &pitch, &cumulative),
                         2);
        assert_int_equal(cc_flank_tolerance(&got, CC_ISO_1328_2013, flank_class, d, m, NULL),
                         CC_OK);
        near(test_tsv_where(&t), got.pitch_um, pitch, 0.0005);
        near(test_tsv_where(&t), got.cumulative_um, cumulative, 0.0005);
        rows++;
    }
    test_tsv_close(&t);
    assert_int_equal(rows, 1);
}

/* memory.tsv: "Q=6 d=50..125 m=2..3.5" -> "fpt=8.5 Fp=27", rounded; for every size within the
 * ranges. */
static void iso_1995_row(void **state)
{
    (void)state;
    struct test_tsv t;
    unsigned rows = 0;

    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        unsigned grade, d1, m1; /* whole, as "%lf" would take the first dot of the two */
        double d2, m2, pitch, cumulative;
        if (strcmp(test_tsv_get(&t, "topic"), "iso1328:1995") != 0)
            continue;
        assert_int_equal(sscanf(test_tsv_get(&t, "given"), "Q=%u d=%u..%lf m=%u..%lf", &grade, &d1,
                                &d2, &m1, &m2),
                         5);
        assert_int_equal(sscanf(test_tsv_get(&t, "value"), "fpt=%lf Fp=%lf", &pitch, &cumulative),
                         2);
        for (int i = 1; i <= 4; i++) {
            struct cc_flank_tolerance got;
            assert_int_equal(cc_flank_tolerance(&got, CC_ISO_1328_1995, grade,
                                                d1 + (d2 - d1) * i / 4, m1 + (m2 - m1) * i / 4,
                                                NULL),
                             CC_OK);
            near(test_tsv_where(&t), got.pitch_table_um, pitch, 0);
            near(test_tsv_where(&t), got.cumulative_table_um, cumulative, 0);
        }
        rows++;
    }
    test_tsv_close(&t);
    assert_int_equal(rows, 1);
}

/* gear_accuracy.tsv: "2.0W+5.6", W = cube root of d + 0.65 m, here with d = 64 and 125, m = 2
 * and 4. */
static void jis_rows(void **state)
{
    (void)state;
    struct test_tsv t;
    unsigned rows = 0;

    test_tsv_open(&t, "tests/reference/gear_accuracy.tsv");
    while (test_tsv_next(&t)) {
        double a, b, c, d;
        struct cc_flank_tolerance got;
        unsigned grade = (unsigned)test_tsv_count(&t, "grade");
        assert_int_equal(sscanf(test_tsv_get(&t, "single_pitch_error_um"), "%lfW+%lf", &a, &b), 2);
        assert_int_equal(sscanf(test_tsv_get(&t, "accumulated_pitch_error_um"), "%lfW+%lf", &c, &d),
                         2);
        assert_int_equal(cc_flank_tolerance(&got, CC_JIS_1702_1976, grade, 64, 2, NULL), CC_OK);
        near(test_tsv_where(&t), got.pitch_um, a * 5.3 + b, 1e-9);
        near(test_tsv_where(&t), got.cumulative_um, c * 5.3 + d, 1e-9);
        assert_int_equal(cc_flank_tolerance(&got, CC_JIS_1702_1976, grade, 125, 4, NULL), CC_OK);
        near(test_tsv_where(&t), got.pitch_um, a * 7.6 + b, 1e-9);
        rows++;
    }
    test_tsv_close(&t);
    assert_int_equal(rows, 9);
}

/* Two classes up doubles every tolerance of ISO 1328-1; and the roundings of the table values. */
static void iso_steps(void **state)
{
    (void)state;
    struct cc_flank_tolerance a, b;

    for (unsigned c = 1; c <= 9; c++) {
        assert_int_equal(cc_flank_tolerance(&a, CC_ISO_1328_2013, c, 80, 3, NULL), CC_OK);
        assert_int_equal(cc_flank_tolerance(&b, CC_ISO_1328_2013, c + 2, 80, 3, NULL), CC_OK);
        near("pitch", b.pitch_um, 2 * a.pitch_um, 1e-9);
        near("cumulative", b.cumulative_um, 2 * a.cumulative_um, 1e-9);
        near("table", a.pitch_table_um, a.pitch_um,
             a.pitch_um > 10  ? 0.5
             : a.pitch_um < 5 ? 0.05
                              : 0.25);
    }
}

static void classes_refused(void **state)
{
    (void)state;
    static const struct {
        enum cc_flank_standard standard;
        unsigned flank_class;
        double d, m;
    } rows[] = {
        {CC_ISO_1328_2013, 0, 50, 2},   {CC_ISO_1328_2013, 12, 50, 2},
        {CC_ISO_1328_1995, 13, 50, 2},  {CC_JIS_1702_1976, 9, 50, 2},
        {CC_ISO_1328_2013, 6, 4, 2},    {CC_ISO_1328_1995, 6, 10001, 2},
        {CC_ISO_1328_2013, 6, 50, 0.4}, {CC_ISO_1328_2013, 6, 50, 71},
        {CC_ISO_1328_2013, 6, NAN, 2},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_flank_tolerance got;
        struct cc_error err;
        if (cc_flank_tolerance(&got, rows[i].standard, rows[i].flank_class, rows[i].d, rows[i].m,
                               &err) != CC_EDOM)
            fail_msg("row %zu was not refused", i);
    }
}

/* ---- harmonics ---- */

/* A pure second and first harmonic, highest at known places. */
static void harmonic_directions(void **state)
{
    (void)state;
    double turn[12], value[12];
    struct cc_harmonics h;

    for (int i = 0; i < 12; i++) {
        turn[i] = i / 12.0;
        value[i] =
            1 + 0.02 * cos(two_pi * (turn[i] - 0.7)) + 0.005 * cos(2 * two_pi * (turn[i] - 0.4));
    }
    assert_int_equal(cc_harmonic_fit(&h, turn, value, 12, 0, NULL), CC_OK);
    assert_int_equal(h.order, 5);
    near("eccentricity", h.amplitude[1], 0.02, 1e-14);
    near("high spot", h.high_rev[1], 0.7, 1e-12);
    near("second", h.amplitude[2], 0.005, 1e-14);
    near("its high spot", h.high_rev[2], 0.4, 1e-12);
    near("third", h.amplitude[3], 0, 1e-14);
    near("residual", h.residual_worst, 0, 1e-14);
}

static void harmonics_refused(void **state)
{
    (void)state;
    static const double half[] = {0, 0.1, 0.2, 0.3, 0.4, 0.45};
    static const double quarters[] = {0, 0.25, 0.5, 0.75, 1, 1.25};
    static const double values[6] = {0};
    struct cc_harmonics h;
    struct cc_error err;

    assert_int_equal(cc_harmonic_fit(&h, half, values, 2, 1, &err), CC_EDOM);
    assert_int_equal(cc_harmonic_fit(&h, half, values, 6, 1, &err), CC_EDOM);
    assert_non_null(strstr(err.text, "198 degrees"));
    assert_int_equal(cc_harmonic_fit(&h, quarters, values, 6, 2, &err), CC_EDOM);
    assert_int_equal(cc_harmonic_fit(&h, quarters, values, 6, 25, &err), CC_EDOM);
    assert_int_equal(cc_harmonic_fit(&h, quarters, values, 6, 0, &err), CC_OK);
    assert_int_equal(h.order, 1);
}

/* ---- reading ---- */

static enum cc_status read_text(struct cc_measurements *m, const char *text, struct cc_error *err)
{
    return cc_measurements_read(m, text, strlen(text), "t.csv", err);
}

static void units_and_columns(void **state)
{
    (void)state;
    static const char text[] = "\xEF\xBB\xBF# a comment\r\n"
                               "indicator_um,angle_deg\r\n"
                               "10,0\r\n\"-2.5\", 90 \r\n1/2,270\r\n"
                               ",,\r\n"
                               "\r\n"
                               "target_deg\tdirection\trun\treading_deg\r\n"
                               "0\t+\t1\t359.999\n"
                               "90\t-\t2\t90.0005\n";
    struct cc_measurements m;
    struct cc_error err = {0};

    cc_measurements_init(&m);
    if (read_text(&m, text, &err) != CC_OK)
        fail_msg("%s", err.text);
    assert_int_equal(m.count[CC_RUNOUT], 3);
    assert_int_equal(m.header_line[CC_RUNOUT], 2);
    near("um", m.row[CC_RUNOUT][1].first, -0.0025, 1e-18);
    near("deg", m.row[CC_RUNOUT][1].at, 0.25, 0);
    assert_int_equal(m.row[CC_RUNOUT][2].line, 5);
    assert_int_equal(m.count[CC_POSITIONS], 2);
    near("across zero", m.row[CC_POSITIONS][0].first, -3.6, 1e-12);
    near("reading", m.row[CC_POSITIONS][1].first, 1.8, 1e-12);
    assert_true(m.row[CC_POSITIONS][1].backward && m.row[CC_POSITIONS][1].run == 2);
    assert_int_equal(m.header_line[CC_CLAMP], 0);
    cc_measurements_clear(&m);

    assert_int_equal(read_text(&m, "radius_in,push_in,pull_in\n2,0.001,0\n2,.002,-.001\n", NULL),
                     CC_OK);
    near("inches", m.row[CC_PUSH_PULL][0].at, 50.8, 0);
    near("inches", m.row[CC_PUSH_PULL][1].second, -0.0254, 1e-17);
    cc_measurements_clear(&m);
}

static void files_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        enum cc_status status;
        const char *says;
    } rows[] = {
        {"", CC_EPARSE, "t.csv: no table"},
        {"# nothing\n\n", CC_EPARSE, "no table"},
        {"angle_deg\n0\n", CC_EPARSE,
         "t.csv:1: these columns are no table; the nearest, runout, has the columns angle, "
         "indicator"},
        {"angle_deg,indicator\n0,1\n", CC_EPARSE, "t.csv:1: column 'indicator' has no unit"},
        {"angle_deg,indicator_furlong\n", CC_EPARSE,
         "t.csv:1: column 'indicator_furlong': the unit must be _mm"},
        {"angle_deg,indicator_deg\n", CC_EPARSE, "'indicator_deg': the unit must be _mm"},
        {"angle_deg;indicator_mm\n0;1,5\n", CC_EPARSE, "t.csv:1: columns are divided by"},
        {"angel_deg,indicator_mm\n", CC_EPARSE, "t.csv:1: 'angel_deg' is not a column name"},
        {"angle_deg,angle_rev\n", CC_EPARSE, "t.csv:1: column 'angle' is there twice"},
        {"angle_deg,indicator_mm\n0,1\n120,nan\n", CC_EPARSE, "t.csv:3: indicator: 'nan'"},
        {"angle_deg,indicator_mm\n0,1\n120,inf\n", CC_EPARSE, "t.csv:3: indicator: 'inf'"},
        {"angle_deg,indicator_mm\n0,1\n120,1e-3\n", CC_EPARSE, "t.csv:3: indicator: '1e-3'"},
        {"angle_deg,indicator_mm\n0,1\n120,\n", CC_EPARSE, "t.csv:3: indicator is empty"},
        {"angle_deg,indicator_mm\n0,1\n120,0.1mm\n", CC_EPARSE,
         "the unit stands in the column name"},
        {"angle_deg,indicator_mm\n0,1\n120,0,1\n", CC_EPARSE,
         "t.csv:3: 3 cells where the table has 2"},
        {"angle_deg,indicator_mm\n0,1\n120\n", CC_EPARSE, "t.csv:3: 1 cells"},
        {"angle_deg,indicator_mm\n0,1\n120,9999999999\n", CC_EDOM,
         "t.csv:3: indicator: '9999999999' is too large"},
        {"angle_deg,indicator_mm\n0,1\n", CC_EDOM, "t.csv:2: the runout table has only one row"},
        {"angle_deg,indicator_mm\n", CC_EDOM, "t.csv:1: the runout table has no rows"},
        {"angle_deg,indicator_mm\n0,1\n360,1\n90,2\n", CC_EDOM,
         "t.csv:4: the runout table has fewer than 3 different"},
        {"angle_deg,indicator_mm\n0,1\n120,1\n240,2\n\nradius_in,push_in,pull_in\n", CC_EDOM,
         "t.csv:6: column 'radius_in': mixed units; line 1 has lengths in mm"},
        {"radius_mm,push_um,pull_in\n", CC_EDOM, "t.csv:1: column 'pull_in': mixed units"},
        {"angle_deg,indicator_mm\n0,1\n120,1\n240,2\n\nangle_deg,indicator_mm\n", CC_EDOM,
         "t.csv:6: a second runout table; the first begins on line 1"},
        {"angle_deg,indicator_mm\n0,1\n\n120,1\n", CC_EPARSE,
         "t.csv:4: '120' is not a column name"},
        {"radius_mm,push_mm,pull_mm\n0,1,1\n", CC_EDOM, "t.csv:2: radius '0' must be more than 0"},
        {"radius_mm,push_mm,pull_mm\n50,1,1\n", CC_EDOM,
         "t.csv:2: the push-pull table has only one row"},
        {"along_mm,height_mm,side_mm\n10,1,1\n10,2,2\n", CC_EDOM,
         "t.csv:3: the footstock readings are all at one place"},
        {"target_deg,direction,run,deviation_arcsec\n0,up,1,1\n", CC_EPARSE,
         "t.csv:2: direction 'up'; write + or -"},
        {"target_deg,direction,run,deviation_arcsec\n0,+,0,1\n", CC_EPARSE, "t.csv:2: run '0'"},
        {"target_deg,direction_deg,run,deviation_arcsec\n", CC_EPARSE,
         "t.csv:1: column 'direction_deg': direction has no unit"},
        {"target_deg,direction,run,deviation_arcsec,reading_deg,angle_deg\n", CC_EPARSE,
         "t.csv:1: more than 5 cells"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_measurements m;
        struct cc_error err = {0};
        cc_measurements_init(&m);
        enum cc_status s = read_text(&m, rows[i].text, &err);
        if (s != rows[i].status || strstr(err.text, rows[i].says) == NULL)
            fail_msg("row %zu: status %d, '%s', not '%s'", i, s, err.text, rows[i].says);
        for (int k = 0; k < CC_MEASURED_KINDS; k++)
            assert_null(m.row[k]);
    }
    struct cc_measurements m;
    struct cc_error err;
    char line[1000];
    memset(line, '1', sizeof line - 1);
    line[sizeof line - 1] = '\0';
    cc_measurements_init(&m);
    assert_int_equal(read_text(&m, line, &err), CC_ELIMIT);
    assert_int_equal(cc_measurements_read(&m, "a\0b\n", 4, "t.csv", &err), CC_EPARSE);
    assert_non_null(strstr(err.text, "zero byte"));
}

/* ---- positions ---- */

/*
 * Worked by hand, two targets, two runs each way, seconds of arc:
 *   0 deg    +: 1, 3    mean 2, s = sqrt 2       -: 5, 7    mean 6, s = sqrt 2      B = -4
 *   180 deg  +: 10, 10  mean 10, s = 0           -: 8, 12   mean 10, s = 2 sqrt 2   B = 0
 * B = 4, mean reversal -2
 * R(+) = 4 sqrt 2, R(-) = 8 sqrt 2; R at 0 = 4 sqrt 2 + 4, at 180 = max(4 sqrt 2, 8 sqrt 2) = 8
 * sqrt 2; R = 8 sqrt 2 E(+) = 8, E(-) = 4, E = 10 - 2 = 8; middles 4 and 10, M = 6 A(+) = 10 - (2 -
 * 2 sqrt 2) = 8 + 2 sqrt 2 A(-) = 10 + 4 sqrt 2 - min(6 - 2 sqrt 2, 10 - 4 sqrt 2) = 4 + 6 sqrt 2
 * (6 - 2 sqrt 2 = 3.17 < 4.34) A    = 10 + 4 sqrt 2 - (2 - 2 sqrt 2) = 8 + 6 sqrt 2
 */
static const char two_targets[] = "target_deg,direction,run,deviation_arcsec\n"
                                  "180,-,1,8\n0,+,1,1\n0,+,2,3\n0,-,1,5\n0,-,2,7\n"
                                  "180,+,1,10\n180,+,2,10\n180,-,2,12\n";

static void positions_by_hand(void **state)
{
    (void)state;
    struct cc_measurements m;
    struct cc_accuracy a;
    const double root = sqrt(2);

    cc_measurements_init(&m);
    cc_accuracy_init(&a);
    assert_int_equal(read_text(&m, two_targets, NULL), CC_OK);
    assert_int_equal(cc_accuracy_of(&a, &m, "t.csv", NULL), CC_OK);
    assert_int_equal(a.targets, 2);
    assert_int_equal(a.least_runs, 2);
    near("B", a.reversal, 4, 1e-12);
    near("mean B", a.mean_reversal, -2, 1e-12);
    near("R+", a.repeatability_of[CC_FORWARD], 4 * root, 1e-12);
    near("R-", a.repeatability_of[CC_BACKWARD], 8 * root, 1e-12);
    near("R at 0", a.target[0].repeatability_arcsec, 4 * root + 4, 1e-12);
    near("R", a.repeatability, 8 * root, 1e-12);
    near("E+", a.systematic_of[CC_FORWARD], 8, 1e-12);
    near("E-", a.systematic_of[CC_BACKWARD], 4, 1e-12);
    near("E", a.systematic, 8, 1e-12);
    near("M", a.mean_range, 6, 1e-12);
    near("A+", a.accuracy_of[CC_FORWARD], 8 + 2 * root, 1e-12);
    near("A-", a.accuracy_of[CC_BACKWARD], 4 + 6 * root, 1e-12);
    near("A", a.accuracy, 8 + 6 * root, 1e-12);
    near("step", cc_accuracy_step(&a, CC_FORWARD, 0.01), 8, 1e-12);
    cc_accuracy_clear(&a);
    cc_measurements_clear(&m);
}

/* One direction only: nothing of the other is invented. */
static void positions_one_way(void **state)
{
    (void)state;
    static const char text[] =
        "target_deg,direction,run,deviation_arcsec\n"
        "0,-,1,0\n0,-,2,0\n90,-,1,3\n90,-,2,5\n180,-,1,-2\n180,-,2,-2\n270,-,1,0\n270,-,2,0\n";
    struct cc_measurements m;
    struct cc_accuracy a;

    cc_measurements_init(&m);
    cc_accuracy_init(&a);
    assert_int_equal(read_text(&m, text, NULL), CC_OK);
    assert_int_equal(cc_accuracy_of(&a, &m, "t.csv", NULL), CC_OK);
    assert_false(a.measured[CC_FORWARD]);
    near("B", a.reversal, 0, 0);
    near("M", a.mean_range, 0, 0);
    near("E", a.systematic, 6, 1e-12);
    near("A", a.accuracy, 6 + 2 * sqrt(2), 1e-12);
    /* neighbours differ by 4, 6, 2, 0; half a turn apart no pair differs by more than 6 */
    near("step 1/4", cc_accuracy_step(&a, CC_BACKWARD, 0.25), 6, 1e-12);
    near("step 1/2", cc_accuracy_step(&a, CC_BACKWARD, 0.5), 6, 1e-12);
    cc_accuracy_clear(&a);
    cc_measurements_clear(&m);
}

/* Up and down in six steps of 1: neighbours differ by 1, round the closing gap too, and 1/3 turn apart by 2. */
static void steps_go_round(void **state)
{
    (void)state;
    static const int deviation[] = { 0, 1, 2, 3, 2, 1 };
    struct cc_measurements m;
    struct cc_accuracy a;
    char text[600] = "target_deg,direction,run,deviation_arcsec\n";

    for (int i = 0; i < 12; i++) {
        size_t used = strlen(text);
        snprintf(text + used, sizeof text - used, "%d,+,%d,%d\n", i / 2 * 60, i % 2 + 1, deviation[i / 2]);
    }
    cc_measurements_init(&m);
    cc_accuracy_init(&a);
    assert_int_equal(read_text(&m, text, NULL), CC_OK);
    assert_int_equal(cc_accuracy_of(&a, &m, "t.csv", NULL), CC_OK);
    near("neighbours", cc_accuracy_step(&a, CC_FORWARD, 0.01), 1, 1e-12);
    near("a sixth", cc_accuracy_step(&a, CC_FORWARD, 1 / 6.0), 1, 1e-12);
    near("a third", cc_accuracy_step(&a, CC_FORWARD, 1 / 3.0), 2, 1e-12);
    near("half", cc_accuracy_step(&a, CC_FORWARD, 0.5), 3, 1e-12);
    cc_accuracy_clear(&a);
    cc_measurements_clear(&m);
}

/*
 * A sine over a crank turn read at some places of it: the range it shows is the width of those points of a circle across
 * the direction of its phase. At one place, or at two, some phase shows nothing; a third of a turn apart the least width
 * is a triangle's height, 3/2 of the radius; at 0, 1/4, 1/2 the height over the diameter, 1; a square's side, sqrt 2; a
 * pentagon's height, 1 + cos 36.
 */
static void worm_shown(void **state)
{
    (void)state;
    static const struct {
        double ratio, share;
        double turn[6];
        size_t targets;
    } rows[] = {
        { 40, 0, { 0, 0.025, 0.25, 0.5 }, 4 },                  /* 0, 9, 90, 180 degrees: whole crank turns */
        { 40, 0, { 0.0125, 0.2625 }, 2 },                       /* the same half of it each time */
        { 40, 0, { 0, 0.0125, 0.5, 0.7625 }, 4 },               /* whole and half turns */
        { 90, 0.5, { 0, 33 / 360.0, 66 / 360.0 }, 3 },          /* 8 1/4 turns apart: 0, 1/4, 1/2 */
        { 40, 0.75, { 0, 33 / 360.0, 66 / 360.0 }, 3 },         /* 3 2/3 turns apart */
        { 1, 0.5, { 0, 0.25, 0.5 }, 3 },
        { 1, 0.70710678118654752, { 0, 0.25, 0.5, 0.75 }, 4 },
        { 3, 0.90450849718747371, { 0, 0.4, 0.8, 0.2, 0.6 }, 5 },
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_target target[6];
        struct cc_accuracy a = { .target = target, .targets = rows[i].targets };
        double share = -1;
        for (size_t k = 0; k < a.targets; k++)
            target[k] = (struct cc_target){ .turn = rows[i].turn[k] };
        assert_int_equal(cc_accuracy_worm_share(&share, &a, rows[i].ratio, NULL), CC_OK);
        if (!(fabs(share - rows[i].share) <= 1e-9))
            fail_msg("row %zu: %.12g, not %.12g", i, share, rows[i].share);
        share = -1;
        assert_int_equal(cc_accuracy_worm_share(&share, &a, 0, NULL), CC_EDOM);
        assert_true(share < 0);
    }
}

/* The range that a sine shows at the targets, for every phase: never less than the share, and at one phase no more. */
static void worm_shown_by_force(void **state)
{
    enum { TARGETS = 7, PHASES = 7200 };
    gmp_randstate_t rs;

    (void)state;
    test_random_init(rs);
    for (unsigned round = 0; round < 50; round++) {
        struct cc_target target[TARGETS];
        struct cc_accuracy a = { .target = target, .targets = 1 + gmp_urandomm_ui(rs, TARGETS) };
        double share, ratio = 1 + (double)gmp_urandomm_ui(rs, 900) / 10, least = 2;
        for (size_t k = 0; k < a.targets; k++)
            target[k] = (struct cc_target){ .turn = (double)gmp_urandomm_ui(rs, 3600) / 3600 };
        assert_int_equal(cc_accuracy_worm_share(&share, &a, ratio, NULL), CC_OK);
        for (unsigned phase = 0; phase < PHASES; phase++) {
            double low = 1, high = -1;
            for (size_t k = 0; k < a.targets; k++) {
                double error = sin(two_pi * (target[k].turn * ratio + phase / (double)PHASES));
                low = fmin(low, error);
                high = fmax(high, error);
            }
            least = fmin(least, high - low);
        }
        assert_true(share <= least / 2 + 1e-9);
        near("share", share, least / 2, two_pi / PHASES);
    }
    gmp_randclear(rs);
}

static void positions_refused(void **state)
{
    (void)state;
    static const struct {
        const char *rows, *says;
    } cases[] = {
        {"0,+,1,0\n0,+,2,0\n90,+,1,3\n", "t.csv:4: the only run at 90 degrees in direction +"},
        {"0,+,1,0\n0,+,1,0\n90,+,1,3\n",
         "t.csv:3: run 1 at 0 degrees in direction + stands on line 2"},
        {"0,+,1,0\n0,+,2,0\n", "every position is at one target"},
        {"0,+,1,0\n0,+,2,0\n90,+,1,0\n90,+,2,0\n90,-,1,0\n90,-,2,0\n",
         "the target at 0 degrees has no run in direction -"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct cc_measurements m;
        struct cc_accuracy a;
        struct cc_error err = {0};
        char text[400];
        snprintf(text, sizeof text, "target_deg,direction,run,deviation_arcsec\n%s", cases[i].rows);
        cc_measurements_init(&m);
        cc_accuracy_init(&a);
        assert_int_equal(read_text(&m, text, NULL), CC_OK);
        if (cc_accuracy_of(&a, &m, "t.csv", &err) != CC_EDOM ||
            strstr(err.text, cases[i].says) == NULL)
            fail_msg("case %zu: '%s'", i, err.text);
        cc_measurements_clear(&m);
    }
}

/* ---- findings and budget ---- */

static void findings_from(struct cc_findings *f, const char *text)
{
    struct cc_measurements m;
    struct cc_error err = {0};

    cc_measurements_init(&m);
    cc_findings_init(f);
    if (read_text(&m, text, &err) != CC_OK || cc_findings_of(f, &m, 0, "t.csv", &err) != CC_OK)
        fail_msg("%s", err.text);
    cc_measurements_clear(&m);
}

/*
 * Worked by hand. At 0 degrees 0 0 1 1 2: from the median of the other four 1 1 1/2 1/2 3/2. At 90 degrees 10 10 11 11 60:
 * 1 1 1/2 1/2 and 49 1/2. The median of the ten is 1. 60 is 49 beyond the middle two of its fellows, 10 and 11.
 */
static void stray_position(void **state)
{
    (void)state;
    static const char text[] = "target_deg,direction,run,deviation_arcsec\n"
                               "0,+,1,0\n0,+,2,1\n0,+,3,2\n0,+,4,0\n0,+,5,1\n"
                               "90,+,1,11\n90,+,2,60\n90,+,3,10\n90,+,4,11\n90,+,5,10\n";
    struct cc_findings f;

    findings_from(&f, text);
    const struct cc_stray *s = &f.stray[CC_POSITIONS];
    assert_int_equal(s->count, 1);
    assert_int_equal(s->line, 8);
    near("distance", s->distance, 49, 1e-9);
    near("usual", s->usual, 1, 1e-9);
    assert_int_equal(f.stray[CC_RUNOUT].count, 0);
    cc_findings_clear(&f);
}

/* Three runs, one far off: the other two are each far from the median of their fellows, but not beyond the nearer one. */
static void stray_of_three(void **state)
{
    (void)state;
    struct cc_findings f;

    findings_from(&f, "target_deg,direction,run,deviation_arcsec\n0,+,1,0\n0,+,2,1\n0,+,3,1\n90,+,1,3\n90,+,2,3\n"
                      "90,+,3,-113\n180,+,1,2\n180,+,2,1\n180,+,3,2\n");
    assert_int_equal(f.stray[CC_POSITIONS].count, 1);
    assert_int_equal(f.stray[CC_POSITIONS].line, 7);
    near("distance", f.stray[CC_POSITIONS].distance, 116, 1e-9);
    cc_findings_clear(&f);
}

/* Shifts of 5 5 6 5 25 um at 100 mm: from the median of the others 1/2 1/2 1 1/2 and 20 um. Of two runs apart, both. */
static void stray_pairs(void **state)
{
    (void)state;
    struct cc_findings f;

    findings_from(&f, "radius_mm,unclamped_um,clamped_um\n100,0,5\n100,0,5\n100,1,7\n100,0,5\n100,0,25\n\n"
                      "target_deg,direction,run,deviation_arcsec\n"
                      "0,+,1,0\n0,+,2,1\n90,+,1,4\n90,+,2,3\n180,+,1,0\n180,+,2,7\n");
    const struct cc_stray *s = &f.stray[CC_CLAMP];
    assert_int_equal(s->count, 1);
    assert_int_equal(s->line, 6);
    near("distance", s->distance, 0.02 / 100 * arcsec_per_radian, 1e-9);
    near("usual", s->usual, 0.0005 / 100 * arcsec_per_radian, 1e-9);
    assert_int_equal(f.stray[CC_POSITIONS].count, 2);
    assert_int_equal(f.stray[CC_POSITIONS].line, 13);
    near("both", f.stray[CC_POSITIONS].distance, 7, 1e-9);
    near("both", f.stray[CC_POSITIONS].usual, 1, 1e-9);
    cc_findings_clear(&f);
}

/*
 * A cosine of 10 um, 16 readings evenly round, the one at 90 degrees 16 um too high. A fit of five numbers moves by
 * (1 + 2 cos t + 2 cos 2t)/16 of it at an angle t away: 5 um there, so 11 are left, and 1 um is the median of all.
 */
static void stray_runout(void **state)
{
    (void)state;
    struct cc_findings f;
    char text[1000] = "angle_deg,indicator_um\n";

    for (unsigned i = 0; i < 16; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%.1f,%.9f\n", i * 22.5,
                 10 * cos(two_pi * i / 16) + (i == 4 ? 16 : 0));
    findings_from(&f, text);
    assert_int_equal(f.stray[CC_RUNOUT].count, 1);
    assert_int_equal(f.stray[CC_RUNOUT].line, 6);
    near("distance", f.stray[CC_RUNOUT].distance, 0.011, 1e-9);
    near("usual", f.stray[CC_RUNOUT].usual, 0.001, 1e-9);
    cc_findings_clear(&f);
}

/* A half-read turn is refused with the line its table begins on. */
static void findings_refused(void **state)
{
    (void)state;
    struct cc_measurements m;
    struct cc_findings f;
    struct cc_error err = { 0 };

    cc_measurements_init(&m);
    cc_findings_init(&f);
    assert_int_equal(read_text(&m, "# x\nangle_deg,indicator_mm\n0,0\n90,1\n180,2\n", &err), CC_OK);
    assert_int_equal(cc_findings_of(&f, &m, 0, "t.csv", &err), CC_EDOM);
    assert_non_null(strstr(err.text, "t.csv:2: the runout table: the readings leave 180 degrees"));
    assert_false(f.has_runout);
    cc_measurements_clear(&m);
}

static const struct cc_budget_line *line_of(const struct cc_budget *b, enum cc_budget_kind kind)
{
    for (size_t i = 0; i < b->lines; i++)
        if (b->line[i].kind == kind)
            return &b->line[i];
    fail_msg("no line %s", cc_budget_name(kind));
    return NULL;
}

/*
 * Clamp at 50 mm: shifts +10 and +14 um, 41.25 and 57.75 seconds; range 4 um = 16.50 seconds.
 * Play at 100 mm: 5 um and 3 um; the worst 10.31 seconds.
 * Footstock over 200 mm: 0.04 up, 0.03 to the side: slopes 2 and 1.5 in 10000, together 2.5.
 */
static const char bench[] = "radius_mm,unclamped_um,clamped_um\n50,0,10\n50,2,16\n\n"
                            "radius_mm,push_um,pull_um\n100,5,0\n100,1,-2\n\n"
                            "along_mm,height_mm,side_mm\n0,0,0\n200,0.04,-0.03\n";

static void shifts_and_alignment(void **state)
{
    (void)state;
    struct cc_findings f;

    findings_from(&f, bench);
    near("clamp mean", f.clamp.mean_mm, 0.012, 1e-15);
    near("clamp worst", f.clamp.worst_arcsec, 0.014 / 50 * arcsec_per_radian, 1e-9);
    near("clamp range", f.clamp.range_arcsec, 0.004 / 50 * arcsec_per_radian, 1e-9);
    near("play", f.push_pull.worst_arcsec, 0.005 / 100 * arcsec_per_radian, 1e-9);
    near("play mean", f.push_pull.mean_mm, 0.004, 1e-15);
    near("height", f.footstock.height_slope, 2e-4, 1e-15);
    near("side", f.footstock.side_slope, -1.5e-4, 1e-15);
    near("angle", f.footstock.angle_arcsec, 2.5e-4 * arcsec_per_radian, 1e-5);
    near("residual", f.footstock.residual_mm, 0, 1e-12);
    cc_findings_clear(&f);
}

static struct cc_budget budget_of(const struct cc_findings *f, double radius, double n)
{
    struct cc_budget b;
    struct cc_budget_question q = {.radius_mm = radius, .divisions = n};
    struct cc_error err;

    if (cc_budget_of(&b, f, &q, &err) != CC_OK)
        fail_msg("%s", err.text);
    return b;
}

/* Eccentric work by the definition: eps sin(2 pi i/N + phi), every division, many phases. */
static void eccentricity_by_force(void **state)
{
    (void)state;
    struct cc_findings f;
    static const unsigned counts[] = {2, 3, 4, 7, 20, 127};

    findings_from(&f, "angle_deg,indicator_mm\n0,0.02\n90,0\n180,-0.02\n270,0\n");
    near("eps", f.runout.amplitude[1], 0.02, 1e-15);
    near("range", f.indicator_range_mm, 0.04, 1e-15);
    for (size_t c = 0; c < sizeof counts / sizeof counts[0]; c++) {
        struct cc_budget b = budget_of(&f, 30, counts[c]);
        double pitch = 0, low = 0, high = 0, total = 0;
        for (int phase = 0; phase < 720; phase++) {
            low = 1;
            high = -1;
            for (unsigned i = 0; i < counts[c]; i++) {
                double p = 0.02 * sin(two_pi * (i / (double)counts[c] + phase / 720.0));
                double q = 0.02 * sin(two_pi * ((i + 1) / (double)counts[c] + phase / 720.0));
                pitch = fmax(pitch, fabs(p - q));
                low = fmin(low, p);
                high = fmax(high, p);
            }
            total = fmax(total, high - low);
        }
        near("pitch", line_of(&b, CC_LINE_ECCENTRIC)->pitch_mm, pitch, 1e-5 * pitch);
        double bound = line_of(&b, CC_LINE_ECCENTRIC)->cumulative_mm;
        assert_true(bound >= total - 1e-12);
        if (counts[c] % 2 == 0)
            near("cumulative", bound, total, 1e-12);
    }
    cc_findings_clear(&f);
}

/* A joint at an angle b: tan(out) = tan(in) cos(b); its error over a turn, peak to peak. */
static void footstock_by_force(void **state)
{
    (void)state;
    struct cc_findings f;
    double low = 0, high = 0, angle = atan(0.05);

    findings_from(&f, "along_mm,height_mm,side_mm\n0,0,0\n100,3,4\n");
    struct cc_budget b = budget_of(&f, 40, 200);
    for (int i = 0; i < 3600; i++) {
        double in = two_pi * i / 3600;
        double off = remainder(atan2(sin(in) * cos(angle), cos(in)) - in, two_pi);
        low = fmin(low, off);
        high = fmax(high, off);
    }
    near("footstock", line_of(&b, CC_LINE_FOOTSTOCK)->cumulative_mm, 40 * (high - low),
         0.002 * 40 * (high - low));
    near("neighbours", line_of(&b, CC_LINE_FOOTSTOCK)->pitch_mm,
         line_of(&b, CC_LINE_FOOTSTOCK)->cumulative_mm * sin(two_pi / 200), 1e-15);
    /* divisions as far apart as the error's own quarter turns, or further: nothing smaller can be promised */
    for (unsigned n = 2; n <= 4; n++) {
        b = budget_of(&f, 40, n);
        near("few divisions", line_of(&b, CC_LINE_FOOTSTOCK)->pitch_mm, line_of(&b, CC_LINE_FOOTSTOCK)->cumulative_mm,
             1e-15);
    }
    cc_findings_clear(&f);
}

static void sums(void **state)
{
    (void)state;
    struct cc_findings f;
    char text[1000];

    snprintf(text, sizeof text, "%s\n%s", two_targets, bench);
    findings_from(&f, text);
    struct cc_budget_question q = {.radius_mm = 50,
                                   .divisions = 10,
                                   .both_ways = true,
                                   .plan_pitch_arcsec = 2,
                                   .plan_cumulative_arcsec = 1,
                                   .holds_arcsec = 60};
    struct cc_budget b;
    assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_OK);
    assert_int_equal(b.lines, 7);
    near("arcsec per mm", b.arcsec_per_mm, arcsec_per_radian / 50, 1e-9);
    near("plan", line_of(&b, CC_LINE_PLAN)->pitch_mm * b.arcsec_per_mm, 2, 1e-12);
    near("indexing", line_of(&b, CC_LINE_INDEXING)->cumulative_mm * b.arcsec_per_mm, 8, 1e-12);
    near("repeat", line_of(&b, CC_LINE_REPEAT)->cumulative_mm * b.arcsec_per_mm, 8 * sqrt(2),
         1e-12);
    near("reversal", line_of(&b, CC_LINE_REVERSAL)->pitch_mm * b.arcsec_per_mm, 4, 1e-12);
    near("clamp", line_of(&b, CC_LINE_CLAMP)->pitch_mm, 0.004, 1e-12);
    near("play", line_of(&b, CC_LINE_PLAY)->pitch_mm, 0.0025, 1e-12);
    double pitch = 0, cumulative = 0, pitch2 = 0, cumulative2 = 0;
    for (size_t i = 0; i < b.lines; i++) {
        pitch += b.line[i].pitch_mm;
        cumulative += b.line[i].cumulative_mm;
        pitch2 += b.line[i].pitch_mm * b.line[i].pitch_mm;
        cumulative2 += b.line[i].cumulative_mm * b.line[i].cumulative_mm;
    }
    near("worst pitch", b.worst_pitch_mm, pitch, 1e-15);
    near("worst", b.worst_cumulative_mm, cumulative, 1e-15);
    near("rss pitch", b.rss_pitch_mm, sqrt(pitch2), 1e-15);
    near("rss", b.rss_cumulative_mm, sqrt(cumulative2), 1e-15);
    near("holds", cc_findings_holds(&f, false), 8 + 2 * sqrt(2), 1e-12);
    near("holds", cc_findings_holds(&f, true), 8 + 6 * sqrt(2), 1e-12);
    cc_findings_clear(&f);
}

/* Any two positions, each come to from either side: no further off each other than the two lines together allow. */
static void both_ways_by_force(void **state)
{
    enum { TARGETS = 8, ROUNDS = 200 };
    struct cc_findings f;
    gmp_randstate_t rs;

    (void)state;
    test_random_init(rs);
    for (unsigned round = 0; round < ROUNDS; round++) {
        double mean[TARGETS][2];
        char text[2000] = "target_deg,direction,run,deviation_arcsec\n";
        for (unsigned i = 0; i < TARGETS; i++)
            for (unsigned d = 0; d < 2; d++) {
                mean[i][d] = (double)gmp_urandomm_ui(rs, d == 0 ? 10 : 400);
                for (unsigned run = 1; run <= 2; run++)
                    snprintf(text + strlen(text), sizeof text - strlen(text), "%u,%c,%u,%.0f\n", i * 360 / TARGETS,
                             d == 0 ? '+' : '-', run, mean[i][d]);
            }
        findings_from(&f, text);
        struct cc_budget_question q = {.radius_mm = 50, .divisions = TARGETS, .both_ways = true};
        struct cc_budget b;
        assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_OK);
        const struct cc_budget_line *worm = line_of(&b, CC_LINE_INDEXING), *back = line_of(&b, CC_LINE_REVERSAL);
        double worst = 0, pitch = 0;
        for (unsigned i = 0; i < TARGETS * 2; i++)
            for (unsigned j = 0; j < TARGETS * 2; j++) {
                double off = fabs(mean[i / 2][i % 2] - mean[j / 2][j % 2]);
                worst = fmax(worst, off);
                if ((i / 2 + 1) % TARGETS == j / 2)
                    pitch = fmax(pitch, off);
            }
        assert_true((worm->cumulative_mm + back->cumulative_mm) * b.arcsec_per_mm >= worst - 1e-9);
        assert_true((worm->pitch_mm + back->pitch_mm) * b.arcsec_per_mm >= pitch - 1e-9);
        near("worse side", worm->cumulative_mm * b.arcsec_per_mm,
             fmax(f.positions.systematic_of[CC_FORWARD], f.positions.systematic_of[CC_BACKWARD]), 1e-9);
        cc_findings_clear(&f);
    }
    gmp_randclear(rs);
}

/* Lines of 3 and 4 um: worst 7, root of squares 5. */
static void verdicts(void **state)
{
    (void)state;
    struct cc_findings f;
    struct cc_judgement j;

    findings_from(&f, "radius_mm,unclamped_um,clamped_um\n50,0,0\n50,0,3\n\n"
                      "radius_mm,push_um,pull_um\n50,4,0\n50,4,0\n");
    struct cc_budget b = budget_of(&f, 50, 6);
    near("worst", b.worst_pitch_mm, 0.007, 1e-12);
    near("rss", b.rss_pitch_mm, 0.005, 1e-12);
    static const struct {
        double pitch, cumulative;
        enum cc_verdict verdict, then;
        bool pitch_rules;
    } rows[] = {
        {0.0071, 0.0080, CC_WITHIN_MEASURED, CC_WITHIN_MEASURED, true},
        {0.0060, 0.0080, CC_LIKELY, CC_WITHIN_MEASURED, true},
        {0.0080, 0.0051, CC_LIKELY, CC_WITHIN_MEASURED, false},
        {0.0080, 0.0049, CC_OUTSIDE, CC_WITHIN_MEASURED, false},
        {0.0020, 0.0020, CC_OUTSIDE, CC_OUTSIDE, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cc_budget_judge(&j, &b, rows[i].pitch, rows[i].cumulative);
        if (j.verdict != rows[i].verdict || j.then != rows[i].then ||
            j.pitch_rules != rows[i].pitch_rules)
            fail_msg("row %zu: %d, then %d", i, j.verdict, j.then);
        assert_int_equal(b.line[j.best].kind, CC_LINE_PLAY);
        near("without", j.without_pitch_mm, 0.003, 1e-12);
    }
    cc_findings_clear(&f);
}

/* Within is said of a file with all of positions, runout, clamp and play, and targets that show the worm; else it is of part. */
static void unmeasured(void **state)
{
    (void)state;
    static const char *const tables[] = {
        "target_deg,direction,run,deviation_arcsec\n0,+,1,0\n0,+,2,1\n90,+,1,3\n90,+,2,3\n",
        "angle_deg,indicator_um\n0,1\n90,0\n180,-1\n270,0\n",
        "radius_mm,unclamped_um,clamped_um\n50,0,1\n50,0,2\n",
        "radius_mm,push_um,pull_um\n50,1,0\n50,1,0\n",
    };
    static const unsigned bits[] = { CC_NO_POSITIONS, CC_NO_RUNOUT, CC_NO_CLAMP, CC_NO_PLAY };

    for (unsigned set = 1; set < 16; set++)
        for (int hidden = 0; hidden < 2; hidden++) {
            struct cc_findings f;
            struct cc_budget b;
            struct cc_judgement j;
            struct cc_budget_question q = { .radius_mm = 50, .divisions = 6, .worm_hidden = hidden };
            char text[600] = "";
            unsigned want = 0;
            for (unsigned k = 0; k < 4; k++) {
                if ((set & 1u << k) != 0)
                    snprintf(text + strlen(text), sizeof text - strlen(text), "%s\n", tables[k]);
                else
                    want += bits[k];
            }
            if (hidden && (set & 1) != 0)
                want += CC_NO_WORM_TURN;
            findings_from(&f, text);
            assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_OK);
            assert_int_equal(b.unmeasured, want);
            cc_budget_judge(&j, &b, 1, 1);
            assert_int_equal(j.verdict, want == 0 ? CC_WITHIN : CC_WITHIN_MEASURED);
            assert_int_equal(j.then, want == 0 ? CC_WITHIN : CC_WITHIN_MEASURED);
            cc_budget_judge(&j, &b, 1e-9, 1);
            assert_int_equal(j.verdict, CC_OUTSIDE);
            cc_findings_clear(&f);
        }
}

static void budgets_refused(void **state)
{
    (void)state;
    struct cc_findings f;
    struct cc_budget b;
    struct cc_budget_question q = {.radius_mm = 0, .divisions = 10, .holds_arcsec = 60};

    cc_findings_init(&f);
    assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_EDOM);
    q.radius_mm = HUGE_VAL;
    assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_EDOM);
    q.radius_mm = 10;
    q.divisions = 1;
    assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_EDOM);
    q.divisions = 10;
    assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_OK); /* the stated accuracy alone */
    near("stated", b.worst_cumulative_mm, 60 / arcsec_per_radian * 10, 1e-15);
    q.holds_arcsec = 0;
    assert_int_equal(cc_budget_of(&b, &f, &q, NULL), CC_EDOM);
    assert_true(cc_findings_holds(&f, true) == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(iso_2013_row),
        cmocka_unit_test(iso_1995_row),
        cmocka_unit_test(jis_rows),
        cmocka_unit_test(iso_steps),
        cmocka_unit_test(classes_refused),
        cmocka_unit_test(harmonic_directions),
        cmocka_unit_test(harmonics_refused),
        cmocka_unit_test(units_and_columns),
        cmocka_unit_test(files_refused),
        cmocka_unit_test(positions_by_hand),
        cmocka_unit_test(positions_one_way),
        cmocka_unit_test(positions_refused),     cmocka_unit_test(steps_go_round),
        cmocka_unit_test(worm_shown),
        cmocka_unit_test(worm_shown_by_force),
        cmocka_unit_test(stray_position),
        cmocka_unit_test(stray_of_three),
        cmocka_unit_test(stray_pairs),
        cmocka_unit_test(stray_runout),
        cmocka_unit_test(unmeasured),
        cmocka_unit_test(shifts_and_alignment),
        cmocka_unit_test(eccentricity_by_force),
        cmocka_unit_test(footstock_by_force),
        cmocka_unit_test(sums),
        cmocka_unit_test(both_ways_by_force),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(budgets_refused),
        cmocka_unit_test(findings_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
