/*
 * test_check.c: published settings through cc_check_setting, and slips found again.
 *
 * Sources are named in the tables' own rows: tests/reference (.tsv files).
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"

static void read_setting(struct cc_setting *setting, const char *text)
{
    struct cc_error err = { 0 };

    memset(setting, 0, sizeof *setting);
    if (cc_setting_parse(setting, text, &err) != CC_OK)
        fail_msg("'%s': %s", text, err.text);
}

/* check of text for n divisions; returns the status. */
static enum cc_status run(struct cc_check *check, const struct cc_head *head, const struct cc_setting *setting,
                          unsigned long n, unsigned long block)
{
    mpz_t divisions, k;
    enum cc_status s;

    mpz_init_set_ui(divisions, n);
    mpz_init_set_ui(k, block);
    s = cc_check_setting(check, setting, head, divisions, k, NULL);
    mpz_clear(k);
    mpz_clear(divisions);
    return s;
}

/* "key=" in text as a number; 0 where it is "-" or not there. */
static unsigned value_of(const char *text, const char *key)
{
    const char *at = strstr(text, key);
    return at != NULL ? (unsigned)strtoul(at + strlen(key), NULL, 10) : 0;
}

/* The differential rows: N=... circle holes worm stud1 stud2 spindle idlers. */
static void differential_rows(void **state)
{
    struct test_tsv t;
    struct cc_head head;
    struct cc_check check;
    unsigned rows = 0;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    cc_check_init(&check);
    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        const char *value = test_tsv_get(&t, "value");
        unsigned n = value_of(test_tsv_get(&t, "given"), "N=");
        if (strcmp(test_tsv_get(&t, "topic"), "differential") != 0)
            continue;
        struct cc_setting s = { .holes = value_of(value, "holes="), .circle = value_of(value, "circle=") };
        unsigned stud1 = value_of(value, "stud1="), stud2 = value_of(value, "stud2=");
        s.train.driver[0] = value_of(value, "spindle=");
        if (stud1 > 0) {
            /* e = spindle * stud1 / (stud2 * worm): the spindle's gear drives stud2, stud1 beside it the worm's */
            s.train.pairs = 2;
            s.train.driven[0] = stud2;
            s.train.driver[1] = stud1;
            s.train.driven[1] = value_of(value, "worm=");
        } else {
            s.train.pairs = 1;
            s.train.driven[0] = value_of(value, "worm=");
        }
        s.train.idlers = value_of(value, "idlers=");
        assert_int_equal(run(&check, &head, &s, n, 1), CC_OK);
        if (!check.exact || mpq_cmp_ui(check.divisions, n, 1) != 0)
            fail_msg("%s (%s): not exact for %u", test_tsv_where(&t), test_tsv_get(&t, "note"), n);
        rows++;
    }
    test_tsv_close(&t);
    assert_true(rows >= 11);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* The compound rows: exact on a head that has the circles. */
static void compound_rows(void **state)
{
    struct test_tsv t;
    struct cc_head head;
    struct cc_check check;
    unsigned rows = 0;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting.ini");
    cc_check_init(&check);
    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        struct cc_setting s;
        unsigned n = value_of(test_tsv_get(&t, "given"), "N=");
        if (strcmp(test_tsv_get(&t, "topic"), "compound") != 0)
            continue;
        read_setting(&s, test_tsv_get(&t, "value"));
        assert_int_equal(run(&check, &head, &s, n, 0), CC_OK);
        if (!check.exact || check.repeats)
            fail_msg("%s (%s): not exact for %u", test_tsv_where(&t), test_tsv_get(&t, "note"), n);
        rows++;
    }
    test_tsv_close(&t);
    assert_true(rows >= 5);

    /* 106 by blocks of 5, approximate: closes to 1/31980 revolution as the row's note says. */
    test_tsv_open(&t, "tests/reference/compound.tsv");
    while (test_tsv_next(&t)) {
        char text[64];
        struct cc_setting s;
        if (strcmp(test_tsv_get(&t, "divisions"), "106") != 0)
            continue;
        snprintf(text, sizeof text, "%s %s/%s+%s/%s", test_tsv_get(&t, "turns"), test_tsv_get(&t, "holes1"),
                 test_tsv_get(&t, "circle1"), test_tsv_get(&t, "holes2"), test_tsv_get(&t, "circle2"));
        read_setting(&s, text);
        assert_int_equal(run(&check, &head, &s, 106, 0), CC_OK);
        assert_int_equal(mpz_get_ui(check.block), 5);
        assert_false(check.exact);
        test_mpq_equal(test_tsv_where(&t), check.closing, "1/31980");
        rows++;
    }
    test_tsv_close(&t);
    assert_true(rows >= 6);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* Parts of a turn: the movement's sum is the row's exact sum, and off by what the row says. */
static void part_of_turn_rows(void **state)
{
    struct test_tsv t;
    struct cc_head three, two;
    struct cc_check check;
    mpq_t part, off;
    unsigned rows = 0;

    (void)state;
    test_head_load(&three, "data/heads/small-tilting.ini");
    test_head_load(&two, "data/heads/universal-two-sided.ini");
    cc_check_init(&check);
    mpq_init(part);
    mpq_init(off);
    test_tsv_open(&t, "tests/reference/part_of_turn.tsv");
    while (test_tsv_next(&t)) {
        char text[64], printed[64];
        const char *holes2 = test_tsv_get(&t, "holes2");
        struct cc_setting s;
        int n = snprintf(text, sizeof text, "%s/%s", test_tsv_get(&t, "holes1"), test_tsv_get(&t, "circle1"));
        if (*holes2 != '\0')
            snprintf(text + n, sizeof text - (size_t)n, "%s%s/%s", *holes2 == '-' ? "" : "+", holes2,
                     test_tsv_get(&t, "circle2"));
        read_setting(&s, text);
        cc_setting_str(printed, sizeof printed, &s);
        assert_string_equal(printed, text);
        const struct cc_head *head = strncmp(test_tsv_get(&t, "plate_set"), "three", 5) == 0 ? &three : &two;
        assert_int_equal(run(&check, head, &s, 200, 0), CC_OK);
        test_mpq_equal(test_tsv_where(&t), check.crank, test_tsv_get(&t, "exact_sum_computed"));
        if (!check.fits_head)
            fail_msg("%s: %s", test_tsv_where(&t), check.why_not);
        assert_int_equal(cc_rational_parse(part, test_tsv_get(&t, "part_of_turn"), NULL), CC_OK);
        mpq_sub(off, check.crank, part);
        cc_decimal_str(printed, sizeof printed, off, 8);
        if (strcmp(printed, test_tsv_get(&t, "deviation_turn_computed")) != 0 &&
            strtod(printed, NULL) != strtod(test_tsv_get(&t, "deviation_turn_computed"), NULL))
            fail_msg("%s: off by %s of a turn", test_tsv_where(&t), printed);
        rows++;
    }
    test_tsv_close(&t);
    assert_int_equal(rows, 84);
    mpq_clear(off);
    mpq_clear(part);
    cc_check_clear(&check);
    cc_head_clear(&two);
    cc_head_clear(&three);
}

/* A right setting with one thing changed: the change back is among the slips. */
static void slips(void **state)
{
    struct {
        const char *movement;
        unsigned n, drivers[2], driven[2], pairs, idlers;
        const char *what;
    } rows[] = {
        /* 57 is 7/19+5/15 (40/57 = 7/19 + 5/15); 6 is 6 12/18; 99 and 57 by gears from memory.tsv */
        { "7/18+5/15", 57, { 0 }, { 0 }, 0, 0, "19 circle instead of 18" },
        { "7/19-5/15", 57, { 0 }, { 0 }, 0, 0, "the second part forward" },
        { "6 11/18", 6, { 0 }, { 0 }, 0, 0, "12 holes of 18 instead of 11" },
        { "5 12/18", 6, { 0 }, { 0 }, 0, 0, "6 turns instead of 5" },
        { "15/21", 57, { 40 }, { 56 }, 1, 1, "two idlers instead of one idler" },
        { "15/21", 57, { 40 }, { 56 }, 1, 9, "eight idlers instead of more idlers" },
        { "15/21", 57, { 40 }, { 56 }, 1, 11, "more idlers instead of more idlers" },
        { "15/21", 57, { 56 }, { 40 }, 1, 2, "drivers and driven exchanged" },
        { "8/20", 99, { 32, 40 }, { 28, 56 }, 2, 0, "gears 40 and 28 exchanged" },
    };
    struct cc_head head;
    struct cc_check check;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    cc_check_init(&check);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting s;
        bool found = false;
        read_setting(&s, rows[i].movement);
        s.train.pairs = rows[i].pairs;
        s.train.idlers = rows[i].idlers;
        for (unsigned k = 0; k < rows[i].pairs; k++) {
            s.train.driver[k] = rows[i].drivers[k];
            s.train.driven[k] = rows[i].driven[k];
        }
        assert_int_equal(run(&check, &head, &s, rows[i].n, 1), CC_OK);
        assert_false(check.exact);
        for (size_t k = 0; k < check.slips; k++)
            found = found || strcmp(check.slip[k].what, rows[i].what) == 0;
        if (!found)
            fail_msg("%s for %u: no slip '%s' among %zu, the first is '%s'", rows[i].movement, rows[i].n,
                     rows[i].what, check.slips, check.slips > 0 ? check.slip[0].what : "none");
    }
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/*
 * Six gears: three meshes and i idlers turn the plate the crank's way where 3 + i is even, each mesh turning
 * the direction round (an independent count of meshes, as for two and four gears).
 */
static void three_pairs(void **state)
{
    struct cc_head head;
    struct cc_check check;
    struct cc_setting s;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    cc_check_init(&check);
    read_setting(&s, "1");
    s.train = (struct cc_train){ .pairs = 3, .driver = { 24, 28, 32 }, .driven = { 48, 56, 64 } };
    for (unsigned idlers = 0; idlers <= 3; idlers++) {
        s.train.idlers = idlers;
        assert_int_equal(run(&check, &head, &s, 40, 1), CC_OK);
        assert_int_equal(mpq_cmp_si(check.plate_turns, idlers % 2 == 1 ? 1 : -1, 8), 0);
        assert_int_equal(mpq_sgn(check.plate_turns) > 0, cc_train_idlers(3, true) % 2 == idlers % 2);
    }
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* What the planner says goes together, with limits on what two gears may have in teeth, check says as well. */
static void limited_trains_fit(void **state)
{
    static const char profile[] = "[head]\nworm = 40\n[plate A]\nside 1 = 15 16 18 20 21 27 33 49\n[gears]\n"
                                  "teeth = 24 24 28 32 40 44 48 56 64 72 86 100\nleast-sum = 76\nmost-sum = 130\n";
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    struct cc_check check;
    unsigned seen = 0, idler_apart = 0;

    (void)state;
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, profile, sizeof profile - 1, "limits", "limits", NULL), CC_OK);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&request);
    request.methods = 1U << CC_DIFFERENTIAL;
    cc_plan_init(&plan);
    cc_check_init(&check);
    for (unsigned n = 51; n < 400; n++) {
        struct cc_setting s = { 0 };
        mpz_set_ui(request.divisions, n);
        if (cc_planner_best(&plan, NULL, planner, &request, NULL) != CC_OK || !plan.exact)
            continue;
        assert_true(cc_plan_movement(&s.turns, &s.holes, &s.holes2, &plan));
        s.circle = plan.circle;
        s.train = plan.train;
        assert_int_equal(run(&check, &head, &s, n, (unsigned long)plan.block), CC_OK);
        if (!check.exact || !check.fits_head)
            fail_msg("%u: the plan's own train: exact %d, %s", n, check.exact, check.why_not);
        seen++;
        for (unsigned i = 0; i < s.train.pairs && s.train.pairs == 2; i++) {
            unsigned sum = s.train.driver[i] + s.train.driven[i];
            idler_apart += sum < head.least_sum || sum > head.most_sum;     /* the idler stands between these */
        }
    }
    assert_true(seen > 100 && idler_apart > 0);
    cc_check_clear(&check);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

/* A slip is a setting that can be written down and read again as itself. */
static void slips_read_back(void **state)
{
    static const struct {
        const char *movement;
        unsigned n;
    } rows[] = { { "1 0/20", 40 }, { "2 0/20", 41 }, { "1 1/20", 40 }, { "15/16+14/15", 48 }, { "1 15/16-14/15", 96 },
                 { "1 0/18", 6 }, { "2 0/20", 800 }, { "1 0/20+1/15", 57 } };
    struct cc_head head;
    struct cc_check check;
    size_t seen = 0;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    cc_check_init(&check);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting s;
        read_setting(&s, rows[i].movement);
        for (unsigned n = rows[i].n; n < rows[i].n + 60; n++) {
            if (run(&check, &head, &s, n, 1) != CC_OK)
                continue;
            for (size_t k = 0; k < check.slips; k++, seen++) {
                const struct cc_setting *slip = &check.slip[k].setting;
                struct cc_setting again;
                char text[128];
                cc_setting_str(text, sizeof text, slip);
                read_setting(&again, text);
                if (again.turns != slip->turns || again.holes != slip->holes || again.holes2 != slip->holes2)
                    fail_msg("%s for %u: slip '%s' reads back as another setting", rows[i].movement, n, text);
            }
        }
    }
    assert_true(seen > 0);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

static void refused(void **state)
{
    static const struct {
        const char *text;
        enum cc_status status;
    } rows[] = {
        { "", CC_EPARSE },          { "x", CC_EPARSE },         { "7/", CC_EPARSE },
        { "7/19/3", CC_EPARSE },    { "7/1", CC_EDOM },         { "7/10001", CC_EDOM },
        { "2 3", CC_EPARSE },       { "1/15+1/16+1/17", CC_EPARSE }, { "7/19,5/15", CC_EPARSE },
        { "99999999999/19", CC_EPARSE }, { "1/0", CC_EDOM },    { "7/19+", CC_EPARSE },
    };
    struct cc_head head, fixture;
    struct cc_check check;
    struct cc_setting s = { .holes = 1, .circle = 20 };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting got = { .turns = 77 };
        struct cc_error err = { 0 };
        enum cc_status status = cc_setting_parse(&got, rows[i].text, &err);
        if (status != rows[i].status || err.text[0] == '\0')
            fail_msg("'%s' gives %d: %s", rows[i].text, (int)status, err.text);
        assert_int_equal(got.turns, 77);    /* as it was */
    }
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    test_head_load(&fixture, "data/heads/spin-fixture-36.ini");
    cc_check_init(&check);
    assert_int_equal(run(&check, &fixture, &s, 20, 0), CC_EDOM);    /* no worm */
    assert_int_equal(run(&check, &head, &s, 0, 0), CC_EDOM);
    s.train = (struct cc_train){ 1, { 40 }, { 56 }, 0, 0, { 0 } };            /* do not reach without an idler */
    assert_int_equal(run(&check, &head, &s, 20, 0), CC_EDOM);
    s.train = (struct cc_train){ 0 };
    s.holes = -1;
    assert_int_equal(run(&check, &head, &s, 20, 0), CC_EDOM);       /* backwards */
    cc_check_clear(&check);
    cc_head_clear(&fixture);
    cc_head_clear(&head);
}

/* Every exact plan of the planner, written as a setting, checks as exact and fits the head. */
static void plans_check_right(void **state)
{
    static const char *const heads[] = { "data/heads/small-tilting-geared.ini",
                                         "data/heads/universal-two-sided.ini",
                                         "data/heads/five-to-one.ini" };
    unsigned tried = 0;

    (void)state;
    for (size_t h = 0; h < 3; h++) {
        struct cc_head head;
        struct cc_planner *planner;
        struct cc_request request;
        struct cc_check check;
        test_head_load(&head, heads[h]);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        cc_request_init(&request);
        cc_check_init(&check);
        for (unsigned n = 2; n < 400; n += 7) {
            struct cc_plans plans;
            cc_plans_init(&plans);
            mpz_set_ui(request.divisions, n);
            if (cc_planner_all(&plans, NULL, planner, &request, false, NULL) == CC_OK) {
                for (size_t i = 0; i < plans.n; i++) {
                    const struct cc_plan *plan = &plans.at[i];
                    struct cc_setting s = { .circle = plan->circle, .train = plan->train };
                    if (plan->side == 0 || !plan->constant)
                        continue;
                    if (!cc_plan_movement(&s.turns, &s.holes, &s.holes2, plan))
                        continue;
                    s.circle2 = plan->circle2;
                    assert_int_equal(run(&check, &head, &s, n, (unsigned long)plan->block), CC_OK);
                    if (check.exact != plan->exact || mpq_cmp(check.closing, plan->closing_error) != 0 ||
                        !check.fits_head || check.repeats)
                        fail_msg("%s, %u divisions, plan %zu: check and plan differ", heads[h], n, i);
                    tried++;
                }
            }
            cc_plans_clear(&plans);
        }
        cc_check_clear(&check);
        cc_request_clear(&request);
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
    assert_true(tried > 150);
}

/*
 * A movement that takes k of N divisions and has a factor in common with N comes back to the start too soon. Walked hole
 * by hole with machine integers, 40 turns to one of the spindle: how many places are there?
 */
static void divisions_missed(void **state)
{
    static const struct {
        const char *movement;
        unsigned long divisions, circle, holes;
    } rows[] = {
        { "4", 20, 1, 4 }, { "1 6/18", 60, 18, 24 }, { "13 6/18", 6, 18, 240 }, { "2", 20, 1, 2 },
        { "6", 20, 1, 6 }, { "30", 8, 1, 30 }, { "15", 8, 1, 15 }, { "12 24/27", 18, 27, 348 },
    };
    struct cc_head head;
    struct cc_check check;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting.ini");
    cc_check_init(&check);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting s;
        unsigned long turn = 40 * rows[i].circle, places = 0, at = 0;
        do {
            at = (at + rows[i].holes) % turn;
            places++;
        } while (at != 0);
        read_setting(&s, rows[i].movement);
        assert_int_equal(run(&check, &head, &s, rows[i].divisions, 0), CC_OK);
        if (mpz_sgn(mpq_numref(check.closing)) == 0 && mpq_cmp_ui(check.divisions, places, 1) != 0)
            fail_msg("%s: not %lu divisions", rows[i].movement, places);
        if (check.exact != (places == rows[i].divisions) || (check.repeats && check.exact))
            fail_msg("%s for %lu: %s", rows[i].movement, rows[i].divisions, check.exact ? "exact" : "not exact");
        if (check.repeats && mpq_sgn(check.closing) == 0)
            assert_true(check.slips > 0);
    }
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* The differential rows of memory.tsv typed without their gears: gears of the head that make them right are named. */
static void gears_left_out(void **state)
{
    struct test_tsv t;
    struct cc_head head;
    struct cc_check check, right;
    unsigned rows = 0;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    cc_check_init(&check);
    cc_check_init(&right);
    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        const char *value = test_tsv_get(&t, "value");
        unsigned n = value_of(test_tsv_get(&t, "given"), "N=");
        if (strcmp(test_tsv_get(&t, "topic"), "differential") != 0)
            continue;
        struct cc_setting s = { .holes = value_of(value, "holes="), .circle = value_of(value, "circle=") };
        assert_int_equal(run(&check, &head, &s, n, 1), CC_OK);
        assert_true(!check.exact && check.slips > 0);
        const struct cc_slip *slip = &check.slip[0];
        if (slip->setting.train.pairs == 0 || slip->setting.circle != s.circle || slip->setting.holes != s.holes)
            fail_msg("%s: no gears named", test_tsv_where(&t));
        assert_int_equal(run(&right, &head, &slip->setting, n, 1), CC_OK);
        assert_true(right.exact && right.fits_head);
        rows++;
    }
    test_tsv_close(&t);
    assert_true(rows >= 11);
    cc_check_clear(&right);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/*
 * Seconds of arc. Nothing asked: a quarter of what the worm holds, of 1' = 60" where that is not stated. The largest error
 * of the job is its closing error, on either side; a division left out is no error of so many seconds at all.
 */
static void within(void **state)
{
    static const struct {
        long closing;
        bool repeats;
        long asked, holds;      /* -1: not */
        bool within;
    } rows[] = {
        { 30, false, -1, -1, true }, { 31, false, -1, -1, false },
        { -30, false, -1, -1, true }, { -31, false, -1, -1, false },
        { 2, false, -1, 8, true }, { 3, false, -1, 8, false }, { -3, false, -1, 8, false },
        { 3, false, 3, 8, true }, { -4, false, 3, 8, false },
        { 0, false, 0, -1, true }, { 1, false, 0, -1, false }, { -1, false, 0, -1, false },
        { 0, true, -1, -1, false }, { 0, true, 3, 8, false },
    };
    struct cc_head head;
    struct cc_request request;
    struct cc_check check;
    (void)state;

    cc_head_init(&head);
    head.has_worm = true;
    cc_request_init(&request);
    cc_check_init(&check);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        head.has_worm_accuracy = rows[i].holds >= 0;
        mpq_set_si(head.worm_accuracy, rows[i].holds, 1296000);
        request.has_tolerance = rows[i].asked >= 0;
        mpq_set_si(request.tolerance, rows[i].asked, 1296000);
        mpq_set_si(check.closing, rows[i].closing, 1296000);
        check.repeats = rows[i].repeats;
        mpq_canonicalize(head.worm_accuracy);
        mpq_canonicalize(request.tolerance);
        mpq_canonicalize(check.closing);
        if (cc_check_is_within(&check, &request, &head) != rows[i].within)
            fail_msg("row %zu", i);
    }
    cc_check_clear(&check);
    cc_request_clear(&request);
    cc_head_clear(&head);
}

/*
 * By the dial: what is written, on which head, and the spindle's angle in one movement from theta = t/R, t the whole turns and
 * the dial's part: an angle of the spindle is R times that of the crank, a line 1/lines of a turn of it.
 */
static void by_the_dial(void **state)
{
    static const char minutes[] = "[head]\nworm = 90\n[dial]\nlines = 240\nvernier = 6\n";
    static const char hundred[] = "[head]\nworm = 40\n[dial]\nlines = 100\nvernier = 10\n";
    static const char plates[] = "[head]\nworm = 40\n[plate A]\nside 1 = 20\n";
    static const struct {
        const char *text, *head, *angle, *printed;      /* angle NULL: refused */
        bool fits;
    } rows[] = {
        /* 12/90 + (3 * 3600 + 25 * 60 + 40)/1296000 = 172800/1296000 + 12340/1296000 */
        { "12 turns 3d25m40s", minutes, "185140/1296000", "12 turns 3\xC2\xB0""25\xE2\x80\xB2""40\xE2\x80\xB3", true },
        { "12 turns and 3\xC2\xB0""25\xE2\x80\xB2""40\xE2\x80\xB3", minutes, "185140/1296000", NULL, true },
        { "12 turns 3d25m v4", minutes, "185140/1296000", "12 turns 3\xC2\xB0""25\xE2\x80\xB2""00\xE2\x80\xB3 v4", true },
        { "12 turns 3d25m43s", minutes, "185143/1296000", NULL, false },      /* no part of 10 seconds */
        { "1 turn", minutes, "1/90", "1 turn", true },
        { "3d25m40s", minutes, "12340/1296000", NULL, true },
        { "2 turns 205 2/3 lines", minutes, "2057/64800", "2 turns 205 2/3 lines", true },      /* (2 + 617/720)/90 */
        { "2 turns 4d", minutes, "3/90", NULL, false },                        /* 4 degrees are a whole turn more */
        { "16 lines", hundred, "16/4000", "16 lines", true },
        { "3 turns 35 lines v7", hundred, "3357/40000", "3 turns 35 lines v7", true },         /* (3 + 35/100 + 7/1000)/40 */
        { "3 turns 1/77rev", hundred, "271/3080", "3 turns 1/77rev", false },                   /* 3/40 + 1/77 */
        { "3 turns 9d", plates, "1/10", NULL, false },                                          /* 3/40 + 1/40 */
        { "1 turn 1 line", hundred, "101/4000", "1 turn 1 line", true },                        /* (1 + 1/100)/40 */
        { "16 lines", plates, NULL, NULL, false },
        { "12 turns 3d25m v6", minutes, NULL, NULL, false },         /* a whole space, which the vernier never reads */
        { "12 turns 3d25m40s v4", minutes, NULL, NULL, false },      /* 40 seconds are the 4 parts already */
        { "2 turns 205 1/2 lines v3", minutes, NULL, NULL, false },
        { "3 turns 9d v2", plates, NULL, NULL, false },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting s, again;
        struct cc_check check;
        struct cc_head head;
        char text[200];
        mpq_t angle;
        read_setting(&s, rows[i].text);
        cc_setting_str(text, sizeof text, &s);
        if (rows[i].printed != NULL)
            assert_string_equal(text, rows[i].printed);
        read_setting(&again, text);
        cc_head_init(&head);
        cc_check_init(&check);
        assert_int_equal(cc_head_read(&head, rows[i].head, strlen(rows[i].head), "h", "h", NULL), CC_OK);
        assert_int_equal(run(&check, &head, &s, 7, 0), rows[i].angle != NULL ? CC_OK : CC_EDOM);
        if (rows[i].angle != NULL) {
            test_mpq_init(angle, rows[i].angle);
            if (!mpq_equal(check.angle, angle) || check.fits_head != rows[i].fits)
                fail_msg("'%s': angle or whether it fits", rows[i].text);
            assert_int_equal(run(&check, &head, &again, 7, 0), CC_OK);
            if (!mpq_equal(check.angle, angle))
                fail_msg("'%s' reads back as another angle", text);
            mpq_clear(angle);
        }
        cc_check_clear(&check);
        cc_head_clear(&head);
    }
}

/* A line too few of 25 divisions: 3 turns 2d24m are exact, 90/25 = 3 3/5 turns and 3/5 of 4 degrees is 2d24m. */
static void misread_dial(void **state)
{
    static const char minutes[] = "[head]\nworm = 90\n[dial]\nlines = 240\nvernier = 6\n";
    static const char *const texts[] = { "3 turns 2d23m", "3 turns 2d14m", "3 turns 2d29m", "3 turns 2d23m v5", "2 turns 2d24m" };
    struct cc_check check;
    struct cc_setting s;
    struct cc_head head;
    (void)state;

    cc_head_init(&head);
    cc_check_init(&check);
    assert_int_equal(cc_head_read(&head, minutes, strlen(minutes), "h", "h", NULL), CC_OK);
    read_setting(&s, "3 turns 2d24m");
    assert_int_equal(run(&check, &head, &s, 25, 0), CC_OK);
    assert_true(check.exact);
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        bool found = false;
        read_setting(&s, texts[i]);
        assert_int_equal(run(&check, &head, &s, 25, 1), CC_OK);
        assert_false(check.exact);
        for (size_t k = 0; k < check.slips; k++) {
            struct cc_check right;
            cc_check_init(&right);
            assert_int_equal(run(&right, &head, &check.slip[k].setting, 25, 1), CC_OK);
            assert_true(right.exact && right.fits_head);
            cc_check_clear(&right);
            found = true;
        }
        if (!found)
            fail_msg("'%s': no slip is found", texts[i]);
    }
    cc_check_clear(&check);
    cc_head_clear(&head);
}

static void refused_by_the_dial(void **state)
{
    static const struct {
        const char *text;
        enum cc_status status;
    } rows[] = {
        { "12 turns 3", CC_EPARSE }, { "turns 3d", CC_EPARSE }, { "1/2 turns 3d", CC_EPARSE }, { "12 turns 3d lines", CC_EPARSE },
        { "12 turns 3d25m v", CC_EPARSE }, { "12 turns -3d", CC_EDOM }, { "-12 turns 3d", CC_EDOM }, { "12 turns 3 lines 4", CC_EPARSE },
        { "12 turns 0.12345678901234567d", CC_ELIMIT }, { "12 turns 3d75m", CC_EDOM }, { "12 turns 3d turns", CC_EPARSE },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting s = { .turns = 77 };
        enum cc_status status = cc_setting_parse(&s, rows[i].text, NULL);
        if (status != rows[i].status || s.turns != 77)
            fail_msg("'%s': %d", rows[i].text, (int)status);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(divisions_missed),  cmocka_unit_test(within),
        cmocka_unit_test(gears_left_out),
        cmocka_unit_test(differential_rows), cmocka_unit_test(compound_rows),
        cmocka_unit_test(part_of_turn_rows), cmocka_unit_test(slips),
        cmocka_unit_test(three_pairs),       cmocka_unit_test(slips_read_back),
        cmocka_unit_test(limited_trains_fit),
        cmocka_unit_test(by_the_dial),       cmocka_unit_test(misread_dial),
        cmocka_unit_test(refused_by_the_dial),
        cmocka_unit_test(refused),           cmocka_unit_test(plans_check_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
