/* test_lead.c: gearing for a helix against published figures, MPFR, and a machine turned by hand. */
#include "support.h"

#include <math.h>
#include <mpfr.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/lead.h"
#include "crankcard/length.h"
#include "crankcard/number.h"

static const double pi = 3.14159265358979323846;

static void set_text(mpq_t q, const char *text)
{
    assert_int_equal(cc_rational_parse(q, text, NULL), CC_OK);
}

/* A length in the request, "0.261in" or millimetres. */
static void set_length(mpq_t q, const char *text)
{
    assert_int_equal(cc_length_parse(q, text, CC_MM, NULL), CC_OK);
}

static const char geared[] = "data/heads/small-tilting-geared.ini";

/* ---- published figures ---- */

/* Half a unit of the last decimal printed. */
static double half_unit(const char *printed)
{
    const char *point = strchr(printed, '.');

    return point == NULL ? 0.5 : 0.5 * pow(10, -(double)strspn(point + 1, "0123456789"));
}

/*
 * tests/reference/helical.tsv: Practical Treatise on Milling and Milling Machines (Brown & Sharpe Mfg. Co.),
 * p. 62, 63 and 180: what the gears give, whether they go on or not. In the table's words the first gear on the stud drives the worm's, and the gear on the
 * screw drives the second on the stud.
 */
static void test_published_trains(void **unused)
{
    struct test_tsv row;
    mpq_t machine, lead, printed, off;

    (void)unused;
    mpq_inits(machine, lead, printed, off, NULL);
    test_tsv_open(&row, "tests/reference/helical.tsv");
    while (test_tsv_next(&row)) {
        struct cc_train train = {
            .pairs = 2,
            .driver = { (unsigned)test_tsv_count(&row, "gear_on_screw"),
                        (unsigned)test_tsv_count(&row, "first_gear_on_stud") },
            .driven = { (unsigned)test_tsv_count(&row, "second_gear_on_stud"),
                        (unsigned)test_tsv_count(&row, "gear_on_worm") },
        };
        set_text(machine, test_tsv_get(&row, "lead_of_machine_in"));
        set_text(printed, test_tsv_get(&row, "lead_in"));
        cc_lead_of_train(lead, machine, &train);
        mpq_sub(off, lead, printed);
        mpq_abs(off, off);
        if (mpq_get_d(off) > half_unit(test_tsv_get(&row, "lead_in")) * (1 + 1e-12))
            fail_msg("%s: %.6f in", test_tsv_where(&row), mpq_get_d(lead));
    }
    assert_int_equal(row.rows, 8);
    test_tsv_close(&row);
    mpq_clears(machine, lead, printed, off, NULL);
}

/* The same source, p. 180: 0.67 in is the shortest lead of the usual twelve gears and a machine of 10 in. */
static void test_published_shortest_lead(void **unused)
{
    struct cc_lead_request r;
    struct cc_gearing_list list;
    struct cc_head head;
    struct test_tsv row;
    bool found = false;

    (void)unused;
    test_head_load(&head, geared);
    cc_lead_request_init(&r);
    cc_gearing_list_init(&list);
    set_length(r.lead, "0.001in");
    set_length(r.screw, "1/4in");
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_OK);
    test_tsv_open(&row, "tests/reference/helical.tsv");
    while (!found && test_tsv_next(&row))
        found = strstr(test_tsv_get(&row, "note"), "shortest regular lead") != NULL;
    assert_true(found);
    assert_true(fabs(mpq_get_d(list.at[0].lead) / 25.4 - strtod(test_tsv_get(&row, "lead_in"), NULL)) < 0.005);
    test_tsv_close(&row);
    cc_gearing_list_clear(&list);
    cc_lead_request_clear(&r);
    cc_head_clear(&head);
}

/* The same page: 10 in is the lead of a machine with a screw of 1/4 in and a worm of 40. */
static void test_lead_of_the_machine(void **unused)
{
    mpq_t worm, screw, machine, wanted;

    (void)unused;
    mpq_inits(worm, screw, machine, wanted, NULL);
    mpq_set_ui(worm, 40, 1);
    set_length(screw, "1/4in");
    cc_lead_of_machine(machine, worm, screw, CC_TO_WORM);
    set_length(wanted, "10in");
    assert_true(mpq_equal(machine, wanted));
    cc_lead_of_machine(machine, worm, screw, CC_TO_SPINDLE);
    assert_true(mpq_equal(machine, screw));
    mpq_clears(worm, screw, machine, wanted, NULL);
}

static void test_pitch_of_the_screw(void **unused)
{
    static const struct {
        const char *text;
        enum cc_unit bare;
        enum cc_status status;
        const char *mm;
    } rows[] = {
        { "4tpi", CC_MM, CC_OK, "127/20" },        /* 25.4 / 4 */
        { " 4 tpi", CC_INCH, CC_OK, "127/20" },
        { "2 1/2tpi", CC_MM, CC_OK, "254/25" },    /* 25.4 / 2.5 */
        { "1/4in", CC_MM, CC_OK, "127/20" },
        { "5", CC_MM, CC_OK, "5" },
        { "1/4", CC_INCH, CC_OK, "127/20" },
        { "4", CC_INCH, CC_EDOM, NULL },           /* four inches to the thread: threads to the inch are meant */
        { "1", CC_INCH, CC_EDOM, NULL },
        { "4in", CC_INCH, CC_OK, "508/5" },
        { "4", CC_MM, CC_OK, "4" },
        { "1/4", CC_INCH, CC_OK, "127/20" },
        { "0tpi", CC_MM, CC_EDOM, NULL },
        { "-4tpi", CC_MM, CC_EDOM, NULL },
        { "tpi", CC_MM, CC_EPARSE, NULL },
        { "0", CC_MM, CC_EDOM, NULL },
        { "-5mm", CC_MM, CC_EDOM, NULL },
        { "5 threads", CC_MM, CC_EPARSE, NULL },
        { "1/0tpi", CC_MM, CC_EDOM, NULL },
        { "1111111111111111111111111111111111111111111111111111111111111tpi", CC_MM, CC_ELIMIT, NULL },
    };
    mpq_t mm;

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        test_mpq_init(mm, "3/7");
        enum cc_status s = cc_pitch_parse(mm, rows[i].text, rows[i].bare, NULL);
        if (s != rows[i].status)
            fail_msg("'%s': status %d", rows[i].text, s);
        test_mpq_equal(rows[i].text, mm, s == CC_OK ? rows[i].mm : "3/7");
        mpq_clear(mm);
    }
}

static const char *value_of(struct test_tsv *row, const char *item)
{
    test_tsv_open(row, "tests/reference/helical_angle.tsv");
    while (test_tsv_next(row))
        if (strcmp(test_tsv_get(row, "item"), item) == 0)
            return test_tsv_get(row, "value");
    fail_msg("no row '%s'", item);
    return "";
}

/*
 * tests/reference/helical_angle.tsv, from the same page: a lead of 0.261 in is cut on the spindle, with
 * gears for 10.440 in on the worm, of which 10.467 can be had, 0.0007 too long.
 */
static void test_published_short_lead(void **unused)
{
    struct test_tsv row;
    mpq_t worm, lead, forty, had, error;

    (void)unused;
    mpq_inits(worm, lead, forty, had, error, NULL);
    mpq_set_ui(worm, 40, 1);
    set_text(lead, "0.261");
    cc_lead_of_machine(forty, worm, lead, CC_TO_WORM);
    set_text(had, "10.440");
    assert_string_equal(value_of(&row, "short lead, wanted"), "10.440 in");
    assert_true(mpq_equal(forty, had));
    test_tsv_close(&row);
    set_text(had, "10.467");
    mpq_div(error, had, worm);
    mpq_sub(error, error, lead);
    assert_string_equal(value_of(&row, "short lead, error"), "0.0007 in");
    assert_true(fabs(mpq_get_d(error) - 0.0007) < 0.00005);
    test_tsv_close(&row);
    mpq_clears(worm, lead, forty, had, error, NULL);
}

/*
 * tests/reference/helical_angle.tsv: E. Buckingham's tangent for a pitch radius of 3 and a lead of 21, and the angle
 * worked out from it; a thread's lead angle, which is what is left to a right angle, its circumference rounded
 * to 2.1520; the lead of a machine with a screw of 5 mm.
 */
static void test_published_angles(void **unused)
{
    struct test_tsv row;
    mpq_t diameter, lead, machine;
    double angle;

    (void)unused;
    mpq_inits(diameter, lead, machine, NULL);
    set_text(diameter, "6");
    set_text(lead, "21");
    angle = cc_helix_angle_deg(diameter, lead);
    assert_true(fabs(tan(angle * pi / 180) - strtod(value_of(&row, "tangent of helix angle"), NULL)) < 5e-6);
    test_tsv_close(&row);
    assert_true(fabs(angle - strtod(value_of(&row, "helix angle (worked out)"), NULL)) < 5e-4);
    test_tsv_close(&row);
    set_text(diameter, "0.6850");
    set_text(lead, "0.1000");
    angle = 90 - cc_helix_angle_deg(diameter, lead);
    assert_true(fabs(angle - strtod(value_of(&row, "lead angle"), NULL)) < 2e-5);
    test_tsv_close(&row);
    mpq_set_ui(machine, 40, 1);
    set_text(lead, "5");
    cc_lead_of_machine(machine, machine, lead, CC_TO_WORM);
    assert_string_equal(value_of(&row, "lead of machine"), "200 mm");
    assert_int_equal(mpq_cmp_ui(machine, 200, 1), 0);
    test_tsv_close(&row);
    mpq_clears(diameter, lead, machine, NULL);
}

/* The same page: 9 divisions with a gear of 72 on the spindle, 8 teeth each. */
static void test_published_slipping_of_the_spindle_gear(void **unused)
{
    const unsigned gears[] = { 24, 32, 40, 56, 72, 100 };
    struct cc_lead_request r;
    struct cc_gearing_list list;
    struct cc_head head;
    struct test_tsv row;

    (void)unused;
    assert_string_equal(value_of(&row, "gear teeth advanced per division"), "8");
    test_tsv_close(&row);
    test_head_load(&head, geared);
    cc_lead_request_init(&r);
    cc_gearing_list_init(&list);
    set_length(r.lead, "0.261in");
    set_length(r.screw, "0.25in");
    r.geared_to = CC_TO_SPINDLE;
    r.starts = 9;
    assert_int_equal(cc_lead_find(&list, &r, &head, gears, 6, NULL), CC_OK);
    for (size_t i = 0; i < list.n; i++) {
        const struct cc_train *t = &list.at[i].train;
        assert_int_equal(t->driven[t->pairs - 1], 72);  /* the only multiple of 9 */
        assert_int_equal(t->driven[t->pairs - 1] / r.starts, 8);
    }
    r.starts = 11;
    assert_int_equal(cc_lead_find(&list, &r, &head, gears, 6, NULL), CC_ENOFIT);
    cc_gearing_list_clear(&list);
    cc_lead_request_clear(&r);
    cc_head_clear(&head);
}

/*
 * US Navy training manual NAVEDTRA 14345, chapter 14: slots that fill 10 in measured square to them
 * need a circumference of 10.6 in when they lie at 19d22m. Square to the slots a circumference
 * counts by its cosine.
 */
static void test_published_circumference(void **unused)
{
    struct test_tsv row;
    mpq_t diameter, angle, lead;

    (void)unused;
    assert_string_equal(
        value_of(&row, "circumference of a blank whose slots lie at a helix angle"), "10.6 in");
    test_tsv_close(&row);
    mpq_inits(diameter, angle, lead, NULL);
    assert_int_equal(cc_angle_parse(angle, "19d22m", NULL), CC_OK);
    mpq_set_d(diameter, 10.6 * 25.4 / pi);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_OK);
    double square = 10.6 * cos(cc_helix_angle_deg(diameter, lead) * pi / 180);
    assert_true(fabs(square - 10) < 0.05 * square / 10.6);      /* 10.6 has one decimal */
    mpq_clears(diameter, angle, lead, NULL);
}

/* ---- the gears, turned ---- */

/*
 * Turn the table screw once and follow the teeth from gear to gear to the spindle: how far the work turns,
 * and which way.
 */
static void turn_of_work(mpq_t turn, const struct cc_train *t, const struct cc_head *head,
                         enum cc_geared_to geared_to)
{
    mpq_t teeth;
    int way = 1;

    mpq_init(teeth);
    mpq_set_ui(turn, 1, 1);
    for (unsigned i = 0; i < t->pairs; i++) {
        mpq_set_ui(teeth, t->driver[i], t->driven[i]);  /* as many teeth pass on both */
        mpq_canonicalize(teeth);
        mpq_mul(turn, turn, teeth);
        way = -way;
    }
    for (unsigned i = 0; i < t->idlers; i++)
        way = -way;
    if (geared_to == CC_TO_WORM)
        mpq_div(turn, turn, head->worm);
    if (way < 0)
        mpq_neg(turn, turn);
    mpq_clear(teeth);
}

static void random_request(struct cc_lead_request *r, gmp_randstate_t rs)
{
    static const char *const screws[] = { "5", "6", "1/4in", "1/5in", "1/10in", "4" };

    set_length(r->screw, screws[gmp_urandomm_ui(rs, 6)]);
    mpq_set_ui(r->lead, 1 + gmp_urandomm_ui(rs, 90000), 100);
    mpq_canonicalize(r->lead);
    mpq_set_ui(r->diameter, 5 + gmp_urandomm_ui(rs, 100), 1);
    mpq_set_ui(r->length, gmp_urandomm_ui(rs, 300), 1);
    r->hand = gmp_urandomm_ui(rs, 2) == 0 ? CC_RIGHT_HAND : CC_LEFT_HAND;
    r->geared_to = gmp_urandomm_ui(rs, 4) == 0 ? CC_TO_SPINDLE : CC_TO_WORM;
    r->most_pairs = 1 + (unsigned)gmp_urandomm_ui(rs, 3);
    r->most = 1 + gmp_urandomm_ui(rs, 8);
}

static void check_gearing(const struct cc_gearing *g, const struct cc_lead_request *r,
                          const struct cc_head *head, unsigned long round)
{
    bool right = (r->hand == CC_RIGHT_HAND) != head->reversed;
    mpq_t turn, a, b;

    mpq_inits(turn, a, b, NULL);
    turn_of_work(turn, &g->train, head, r->geared_to);
    assert_int_equal(mpq_sgn(turn) > 0, right);
    mpq_abs(turn, turn);
    mpq_div(a, r->screw, turn);     /* travel of the table for one turn of the work */
    if (!mpq_equal(a, g->lead))
        fail_msg("seed %lu, round %lu: lead %.9f, turned %.9f", test_seed(), round,
                 mpq_get_d(g->lead), mpq_get_d(a));
    mpq_sub(b, a, r->lead);
    assert_true(mpq_equal(b, g->error));
    /* Over the length: turns there are, less turns there should be. */
    mpq_div(a, r->length, r->screw);
    mpq_mul(a, a, turn);
    mpq_div(b, r->length, r->lead);
    mpq_sub(a, a, b);
    assert_true(mpq_equal(a, g->twist));
    mpq_clears(turn, a, b, NULL);
}

static void test_gearings_turned(void **unused)
{
    unsigned long rounds = test_rounds(150), gearings = 0;
    gmp_randstate_t rs;
    struct cc_lead_request r;
    struct cc_gearing_list list;
    struct cc_head head;
    mpq_t error, least;

    (void)unused;
    test_random_init(rs);
    mpq_inits(error, least, NULL);
    test_head_load(&head, geared);
    cc_lead_request_init(&r);
    cc_gearing_list_init(&list);
    for (unsigned long i = 0; i < rounds; i++) {
        random_request(&r, rs);
        head.reversed = gmp_urandomm_ui(rs, 2) == 0;
        assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_OK);
        assert_true(list.n > 0 && list.n <= r.most);
        mpq_set_ui(least, 0, 1);
        for (size_t g = 0; g < list.n; g++) {
            check_gearing(&list.at[g], &r, &head, i);
            mpq_abs(error, list.at[g].error);
            assert_true(mpq_cmp(least, error) <= 0);
            mpq_set(least, error);
        }
        gearings += list.n;
    }
    assert_true(gearings > rounds);
    mpq_clears(error, least, NULL);
    cc_gearing_list_clear(&list);
    cc_lead_request_clear(&r);
    cc_head_clear(&head);
    gmp_randclear(rs);
}

/* ---- helix angle against MPFR ---- */

static void test_helix_angle_against_mpfr(void **unused)
{
    unsigned long rounds = test_rounds(1000);
    gmp_randstate_t rs;
    mpfr_t a, b;
    mpq_t diameter, lead, angle, back;

    (void)unused;
    test_random_init(rs);
    mpfr_inits2(200, a, b, (mpfr_ptr)NULL);
    mpq_inits(diameter, lead, angle, back, NULL);
    for (unsigned long r = 0; r < rounds; r++) {
        mpq_set_ui(diameter, 1 + gmp_urandomm_ui(rs, 100000), 100);
        mpq_set_ui(lead, 1 + gmp_urandomm_ui(rs, 1000000), 1 + gmp_urandomm_ui(rs, 1000));
        mpq_canonicalize(diameter);
        mpq_canonicalize(lead);
        mpfr_const_pi(a, MPFR_RNDN);
        mpfr_mul_q(b, a, diameter, MPFR_RNDN);
        mpfr_div_q(b, b, lead, MPFR_RNDN);
        mpfr_atan(b, b, MPFR_RNDN);
        mpfr_mul_ui(b, b, 180, MPFR_RNDN);
        mpfr_div(b, b, a, MPFR_RNDN);
        double wanted = mpfr_get_d(b, MPFR_RNDN);
        if (fabs(cc_helix_angle_deg(diameter, lead) - wanted) > 2e-15 * wanted)
            fail_msg("seed %lu, round %lu: not %.17g", test_seed(), r, wanted);

        /* The way back: pi d / tan(angle), to a millionth of a millimetre. */
        mpq_set_ui(angle, 1 + gmp_urandomm_ui(rs, 899), 3600);
        mpq_canonicalize(angle);
        mpfr_mul_ui(b, a, 2, MPFR_RNDN);
        mpfr_mul_q(b, b, angle, MPFR_RNDN);
        mpfr_tan(b, b, MPFR_RNDN);
        mpfr_div(b, a, b, MPFR_RNDN);
        mpfr_mul_q(b, b, diameter, MPFR_RNDN);
        assert_int_equal(cc_lead_of_helix(back, diameter, angle, NULL), CC_OK);
        wanted = mpfr_get_d(b, MPFR_RNDN);
        if (fabs(mpq_get_d(back) - wanted) > 0.50001e-6 + 4e-15 * wanted)
            fail_msg("seed %lu, round %lu: lead of a helix", test_seed(), r);
        assert_true(mpz_cmp_ui(mpq_denref(back), 1000000) <= 0);
    }
    mpfr_clears(a, b, (mpfr_ptr)NULL);
    mpq_clears(diameter, lead, angle, back, NULL);
    gmp_randclear(rs);
}

static void test_helix_refusals(void **unused)
{
    mpq_t diameter, angle, lead;

    (void)unused;
    mpq_inits(diameter, angle, lead, NULL);
    mpq_set_ui(angle, 1, 8);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_EDOM);
    mpq_set_ui(diameter, 20, 1);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_OK);
    mpq_set_ui(angle, 1, 4);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_EDOM);
    mpq_set_ui(angle, 0, 1);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_EDOM);
    mpz_ui_pow_ui(mpq_denref(angle), 10, 30);
    mpz_set_ui(mpq_numref(angle), 1);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_EDOM);
    mpq_clears(diameter, angle, lead, NULL);
}

/* ---- starts: the movement taken starts times is R turns, and no better circle is there ---- */

static void test_starts(void **unused)
{
    static const char *const heads[] = { "data/heads/small-tilting.ini",
                                         "data/heads/universal-two-sided.ini",
                                         "data/heads/rotary-table-90.ini" };
    unsigned served = 0, none = 0;
    mpq_t turn, worm;

    (void)unused;
    mpq_inits(turn, worm, NULL);
    for (size_t h = 0; h < 3; h++) {
        struct cc_head head;
        test_head_load(&head, heads[h]);
        for (unsigned n = 1; n <= 400; n++) {
            struct cc_start_index index = { .circle = 1 };
            enum cc_status s = cc_start_index_find(&index, &head, n, NULL);
            bool possible = false;
            unsigned best = 0;      /* largest circle that serves on the mounted side, else on any */
            bool best_mounted = false;
            for (size_t p = 0; p < head.plate_count; p++)
                for (size_t side = 0; side < CC_MAX_SIDES; side++)
                    for (size_t c = 0; c < head.plates[p].side[side].n; c++) {
                        mpq_set_ui(turn, head.plates[p].side[side].at[c], n);
                        mpq_canonicalize(turn);
                        mpq_mul(turn, turn, head.worm);
                        if (mpz_cmp_ui(mpq_denref(turn), 1) != 0)
                            continue;
                        unsigned circle = head.plates[p].side[side].at[c];
                        bool on = p == head.mounted_plate && side + 1 == head.mounted_side;
                        if ((on && !best_mounted) || (on == best_mounted && circle > best)) {
                            best = circle;
                            best_mounted = on;
                        }
                        possible = true;
                    }
            assert_int_equal(s, possible ? CC_OK : CC_ENOFIT);
            if (s != CC_OK) {
                none++;
                continue;
            }
            assert_int_equal(index.circle, best);
            assert_int_equal(index.plate == head.mounted_plate && index.side == head.mounted_side,
                             best_mounted);
            assert_true(index.holes < index.circle);
            mpq_set_ui(turn, index.turns * index.circle + index.holes, index.circle);
            mpq_canonicalize(turn);
            mpq_set_ui(worm, n, 1);
            mpq_mul(turn, turn, worm);
            assert_true(mpq_equal(turn, head.worm));
            served++;
        }
        cc_head_clear(&head);
    }
    assert_true(served > 200 && none > 200);
    mpq_clears(turn, worm, NULL);
}

static void test_refusals(void **unused)
{
    struct cc_lead_request r;
    struct cc_gearing_list list;
    struct cc_head head;

    (void)unused;
    test_head_load(&head, geared);
    cc_lead_request_init(&r);
    cc_gearing_list_init(&list);
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_EDOM);   /* no lead */
    mpq_set_ui(r.lead, 200, 1);
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_EDOM);   /* no screw */
    mpq_set_ui(r.screw, 5, 1);
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_OK);
    mpq_set_si(r.length, -1, 1);
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_EDOM);
    mpq_set_ui(r.length, 0, 1);
    r.starts = 0;
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_EDOM);
    r.starts = 1;
    head.has_worm = false;
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_ENOFIT);
    cc_head_clear(&head);
    cc_head_init(&head);
    assert_int_equal(cc_head_default(&head, NULL), CC_OK);      /* no change gears */
    assert_int_equal(cc_lead_find(&list, &r, &head, NULL, 0, NULL), CC_ENOFIT);
    assert_true(list.n > 0);        /* as the last answer left it */
    cc_gearing_list_clear(&list);
    cc_lead_request_clear(&r);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_published_trains),
        cmocka_unit_test(test_published_shortest_lead),
        cmocka_unit_test(test_published_angles),
        cmocka_unit_test(test_lead_of_the_machine),
        cmocka_unit_test(test_pitch_of_the_screw),
        cmocka_unit_test(test_published_short_lead),
        cmocka_unit_test(test_published_slipping_of_the_spindle_gear),
        cmocka_unit_test(test_published_circumference),
        cmocka_unit_test(test_gearings_turned),
        cmocka_unit_test(test_helix_angle_against_mpfr),
        cmocka_unit_test(test_helix_refusals),
        cmocka_unit_test(test_starts),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
