/*
 * test_edges.c: what a user can type that stands at the edge of what is taken, where no other test asks: the last
 * character of a kind, the first number too large, a blank of the other kind, a reading too many. Expectations are
 * from the headers, and where a number is compared, worked out beside the row.
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"

/* count times character, NUL behind; the caller frees. */
static char *repeat(char character, size_t count)
{
    char *text = malloc(count + 1);

    assert_non_null(text);
    memset(text, character, count);
    text[count] = '\0';
    return text;
}

/* ---- numbers and angles ---- */

static void angles(void **state)
{
    static const struct {
        const char *text, *value;   /* NULL: refused */
    } rows[] = {
        { "12d", "1/30" },          { "12dX", NULL },           { "12dz", NULL },       { "12da", NULL },
        { "12dA", NULL },           { "12dZ", NULL },           { "12d_", NULL },       { "12d\t30m", "5/144" },
        { "12d 30", NULL },         { "12d\t30", NULL },        { "12d30", "5/144" },   { "1rev 30", NULL },
        { "1rev30m", NULL },        { "15s 3m", NULL },         { "5m 3m 7s", NULL },       { "12d 1/2m 30s", NULL },   { "12d 0.5m 30s", NULL },       { "70d 3m 90s 1s", NULL },         { ".", NULL },          { ".5", "1/720" },
        { ".x", NULL },             { "\xC2\xB0", NULL },       { "\xC2\xBD", "1/720" }, { "12\xC2\xBC", "49/1440" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mpq_t angle;
        test_mpq_init(angle, TEST_UNTOUCHED);
        if ((cc_angle_parse(angle, rows[i].text, NULL) == CC_OK) != (rows[i].value != NULL))
            fail_msg("'%s'", rows[i].text);
        test_mpq_equal(rows[i].text, angle, rows[i].value != NULL ? rows[i].value : TEST_UNTOUCHED);
        mpq_clear(angle);
    }
}

/* A label that looks as if the angle went on: it does not. */
static void labels(void **state)
{
    static const struct {
        const char *text, *value, *rest;
    } rows[] = {
        { "12\xC2\xB0 30/x", "1/30", "30/x" }, { "12\xC2\xB0 3/0 y", "1/30", "3/0 y" },
        { "12\xC2\xB0 30' 7 up", "5/144", "7 up" }, { "12d\t30m\tkeyway", "5/144", "keyway" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *rest = "";
        mpq_t angle;
        mpq_init(angle);
        assert_int_equal(cc_angle_parse_prefix(angle, &rest, rows[i].text, NULL), CC_OK);
        test_mpq_equal(rows[i].text, angle, rows[i].value);
        assert_string_equal(rest, rows[i].rest);
        mpq_clear(angle);
    }
}

/* A unit ends where its letters end: what goes on is neither a unit nor a label. */
static void no_unit(void **state)
{
    static const char *const rows[] = { "90dflat", "90dFlat", "90d_", "90degrees", "30mz", "30ma up", "1/7revs" };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *rest = "untouched";
        mpq_t angle;
        test_mpq_init(angle, TEST_UNTOUCHED);
        if (cc_angle_parse_prefix(angle, &rest, rows[i], NULL) != CC_EPARSE)
            fail_msg("'%s' is read", rows[i]);
        test_mpq_equal(rows[i], angle, TEST_UNTOUCHED);
        assert_string_equal(rest, "untouched");
        mpq_clear(angle);
    }
}

/* Seconds are printed to at most 9 decimals, whatever is asked for: 1/7 turn is 51°25′42.857142857…″. */
static void many_decimals(void **state)
{
    char text[80];
    mpq_t angle;

    (void)state;
    test_mpq_init(angle, "1/7");
    cc_angle_dms_str(text, sizeof text, angle, 12, CC_MARKS_ASCII);
    assert_string_equal(text, "51d25m42.857142857s");
    mpq_set_ui(angle, 1, 7 * 1296000UL);        /* 1/7 second */
    cc_angle_error_str(text, sizeof text, angle, 40, CC_MARKS_ASCII);
    assert_string_equal(text, "0.142857143s");
    mpq_clear(angle);
}

/* A number may have 10 000 digits above the line, below it, and behind the point; not one more. */
static void long_numbers(void **state)
{
    char *most = repeat('7', 10000), *more = repeat('7', 10001);
    char *text = malloc(20100);
    mpq_t value;

    (void)state;
    assert_non_null(text);
    test_mpq_init(value, "0");
    sprintf(text, "1/%s", most);
    assert_int_equal(cc_rational_parse(value, text, NULL), CC_OK);
    assert_int_equal(mpz_sizeinbase(mpq_denref(value), 10), 10000);
    sprintf(text, "1/%s", more);
    assert_int_equal(cc_rational_parse(value, text, NULL), CC_ELIMIT);
    sprintf(text, "%s/3", more);
    assert_int_equal(cc_rational_parse(value, text, NULL), CC_ELIMIT);
    sprintf(text, "0.%s", more);
    assert_int_equal(cc_rational_parse(value, text, NULL), CC_ELIMIT);
    mpq_clear(value);
    free(text);
    free(more);
    free(most);
}

/* In snprintf's manner also where there is room for a part only of the zeros behind the point. */
static void short_buffers(void **state)
{
    mpq_t value;

    (void)state;
    test_mpq_init(value, "-1/1000");
    for (size_t size = 1; size <= 7; size++) {
        char text[8] = "*******";
        assert_int_equal(cc_decimal_str(text, size, value, 3), 6);
        assert_int_equal(strlen(text), size - 1 < 6 ? size - 1 : 6);
        assert_memory_equal(text, "-0.001", strlen(text));
    }
    mpq_clear(value);
}

/* ---- heads ---- */

static void mounting(void **state)
{
    static const struct {
        const char *text;
        size_t plate;
        unsigned side;      /* 0: refused */
    } rows[] = {
        { "B 1\t", 1, 1 }, { "\tB\t2 ", 1, 2 }, { "B1", 1, 1 }, { "none ", 2, 0 }, { "nona", 0, 9 }, { "A 2", 0, 9 },
        { "2", 0, 9 }, { "", 0, 9 },
    };
    static const char profile[] = "[head]\nworm = 40\n[plate A]\nside 1 = 15\n[plate B]\nside 1 = 20\nside 2 = 21\n";
    struct cc_head head;

    (void)state;
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, profile, sizeof profile - 1, "made", "made", NULL), CC_OK);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        head.mounted_plate = 0;
        head.mounted_side = 1;
        enum cc_status s = cc_head_mount(&head, rows[i].text, NULL);
        if (s != (rows[i].side == 9 ? CC_EDOM : CC_OK))
            fail_msg("'%s': status %d", rows[i].text, (int)s);
        assert_int_equal(head.mounted_plate, rows[i].plate);
        assert_int_equal(head.mounted_side, rows[i].side == 9 ? 1 : rows[i].side);
    }
    cc_head_clear(&head);
}

/* A head with more plates than a message can name says so. */
static void many_plates(void **state)
{
    char profile[8000];
    size_t used = (size_t)sprintf(profile, "[head]\nworm = 40\n");
    struct cc_head head;
    struct cc_error err = { 0 };

    (void)state;
    for (unsigned i = 10; i < 40; i++)
        used += (size_t)sprintf(profile + used, "[plate a-long-name-%u]\nside 1 = %u\n", i, i);
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, profile, used, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_head_mount(&head, "B", &err), CC_EDOM);
    assert_non_null(strstr(err.text, "this head has a-long-name-10 1, a-long-name-11 1, "));
    assert_string_equal(err.text + strlen(err.text) - 4, " ...");
    cc_head_clear(&head);
}

static void profile_lines(void **state)
{
    static const struct {
        const char *text;
        enum cc_status status;
    } rows[] = {
        { "[direct]\nholes = 24\n", CC_OK },
        { "\xEF\xBB[direct]\nholes = 24\n", CC_EPARSE },            /* half a byte order mark */
        { "\xEF\xBB\xBF[direct]\nholes = 24\n", CC_OK },
        { "\xEF\xBB\xBE[direct]\nholes = 24\n", CC_EPARSE },
        { "[direct]\nholes = 24\x7F\n", CC_EPARSE },
        { "[direct]\nholes = 24\x1F\n", CC_EPARSE },
        { "[direct]\nholes = 24\n:5 6\n", CC_EPARSE },              /* ':' stands behind '9': no line of counts */
        { "[direct]\nholes = 24\n90 100\n", CC_OK },
        { "[direct]\nholes = 24\n/0\n", CC_EPARSE },
        { "[direct]   \nholes = 24\n", CC_OK },
        { "[direct] ; the nose\nholes = 24\n", CC_OK },
        { "[direct]; the nose\nholes = 24\n", CC_EPARSE },
        { "[direct]\tx\nholes = 24\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate Zz09-_.+]\nside 1 = 20\n", CC_OK },
        { "[head]\nworm = 40\n[plate A@]\nside 1 = 20\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate A[]\nside 1 = 20\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate A`]\nside 1 = 20\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate A{]\nside 1 = 20\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate A:]\nside 1 = 20\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate A/]\nside 1 = 20\n", CC_EPARSE },
        { "[head]\nworm = 40\n[plate nine]\nside 1 = 20\n", CC_OK },
        { "[head]\nworm = 40\n[plate \xC3\xA9]\nside 1 = 20\n", CC_OK },
        { "[head]\ntilt = -180 180\n[direct]\nholes = 24\n", CC_OK },
        { "[head]\ntilt = -181 0\n[direct]\nholes = 24\n", CC_EDOM },
        { "[direct]\nholes = 24\n[accuracy]\ndirect = 1/1152921504606846975rev\n", CC_OK },    /* 2^60 - 1 */
        { "[direct]\nholes = 24\n[accuracy]\ndirect = 1/1152921504606846976rev\n", CC_ELIMIT },
        { "[direct]\nholes = 24\n[accuracy]\ndirect = 1152921504606846975/2305843009213693951rev\n", CC_ELIMIT },
        { "[direct]\nholes = 24\n[accuracy]\ndirect = 1152921504606846975rev\n", CC_EDOM },       /* a head holds less than that */
        { "[direct]\nholes = 24\n[accuracy]\ndirect = 1152921504606846976rev\n", CC_ELIMIT },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_head head;
        struct cc_error err = { 0 };
        cc_head_init(&head);
        enum cc_status s = cc_head_read(&head, rows[i].text, strlen(rows[i].text), "made", "made", &err);
        if (s != rows[i].status)
            fail_msg("row %zu: status %d: %s", i, (int)s, err.text);
        cc_head_clear(&head);
    }
}

/* Only a list of counts goes on in a second line; no other key takes one. */
static void second_lines(void **state)
{
    static const char *const keys[] = { "title = x", "worm = 40", "mounted = A", "tilt = 0 90", "spindle = with", "plate_pin = same",
                                        "nose = x", "taper = MT2", "vernier = 1", "reversed = no", "least-sum = 9",
                                        "most-sum = 9", "direct = 1'" };

    (void)state;
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        char text[200], want[100];
        struct cc_head head;
        struct cc_error err = { 0 };
        const char *section = i < 8 ? "head" : i == 8 ? "direct" : i < 12 ? "gears" : "accuracy";
        snprintf(text, sizeof text, "[%s]\n%s\n90\n", section, keys[i]);
        snprintf(want, sizeof want, "made:3: %.*s: only a list of counts goes on in a second line", (int)strcspn(keys[i], " "),
                 keys[i]);
        cc_head_init(&head);
        if (i != 8) {       /* pins need a circle before them */
            assert_int_equal(cc_head_read(&head, text, strlen(text), "made", "made", &err), CC_EPARSE);
            assert_string_equal(err.text, want);
        }
        cc_head_clear(&head);
    }
}

/* A count of 70 digits is refused, and said as far as its 60th. */
static void long_count(void **state)
{
    char *digits = repeat('7', 70), text[120], want[200];
    struct cc_head head;
    struct cc_error err = { 0 };

    (void)state;
    snprintf(text, sizeof text, "[direct]\nholes = %s\n", digits);
    snprintf(want, sizeof want, "made:2: holes: circle '%.60s': a hole circle has 2 to 10000 holes", digits);
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, text, strlen(text), "made", "made", &err), CC_EDOM);
    assert_string_equal(err.text, want);
    digits[69] = 'x';
    snprintf(text, sizeof text, "[direct]\nholes = %s\n", digits);
    snprintf(want, sizeof want, "made:2: holes: '%.60s' is not a count: write digits only, as in 24", digits);
    assert_int_equal(cc_head_read(&head, text, strlen(text), "made", "made", &err), CC_EPARSE);
    assert_string_equal(err.text, want);
    cc_head_clear(&head);
    free(digits);
}

/* ---- settings in handbook notation ---- */

static void notation(void **state)
{
    static const struct {
        const char *text, *printed;     /* NULL: refused */
    } rows[] = {
        { "4-5/15", NULL },         { "-4+5/15", NULL },        { "4+5/15", "4 5/15" },     { "-4-5/15", "-4 5/15" },
        { "7/19+1 5/15", NULL },    { "5/15-4", NULL },         { "5/15+4", "4 5/15" },     { "2 99999999999/19", NULL },
        { "1000000000/19", "1000000000/19" },                   { "99999999999/19", NULL },
        { "7:19", NULL },           { "2 :", NULL },            { "2 /", NULL },            { "7/19\xE2\x88\x92" "5/15", "7/19-5/15" },
        { "-2", "-2" },             { "3+4", NULL },            { "0+5/15", "5/15" },       { "5/15+0", "5/15" },
        { "1 0/19-5/15", "1 0/19-5/15" },                       { "9/9", "9/9" },           { "2+3/10000", "2 3/10000" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_setting setting = { 0 };
        char text[80];
        enum cc_status s = cc_setting_parse(&setting, rows[i].text, NULL);
        if ((s == CC_OK) != (rows[i].printed != NULL))
            fail_msg("'%s': status %d", rows[i].text, (int)s);
        if (s != CC_OK)
            continue;
        cc_setting_str(text, sizeof text, &setting);
        assert_string_equal(text, rows[i].printed);
    }
}

/* ---- requests, trains, leads ---- */

/* The block that would do is named where it is short enough to be read. */
static void blocks_refused(void **state)
{
    static const struct {
        unsigned zeros;
        const char *says;
    } rows[] = { { 2, ": 1 would do" }, { 70, "some are never reached" } };
    struct cc_head head;
    struct cc_planner *planner;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting.ini");
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    for (size_t i = 0; i < 2; i++) {
        struct cc_request request;
        struct cc_plan plan;
        struct cc_error err = { 0 };
        cc_request_init(&request);
        cc_plan_init(&plan);
        mpz_ui_pow_ui(request.divisions, 10, rows[i].zeros);    /* below a power of ten's half the next prime to it is near */
        mpz_fdiv_q_ui(request.block, request.divisions, 2);
        if (rows[i].zeros == 2)
            mpz_set_ui(request.block, 2);
        assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, &err), CC_EDOM);
        if (strlen(err.text) < strlen(rows[i].says) ||
            strcmp(err.text + strlen(err.text) - strlen(rows[i].says), rows[i].says) != 0)
            fail_msg("'%s'", err.text);
        cc_plan_clear(&plan);
        cc_request_clear(&request);
    }
    cc_planner_free(planner);
    cc_head_clear(&head);
}

/*
 * Why there is no plan. The fixture has 36 holes and 10 pins, 360 places; the head 40 turns of 15 and 16 holes, lcm 240, 9600
 * places; the head of 77/2 turns 77 x 20 in two turns, which fall between each other.
 */
static void no_plan(void **state)
{
    static const struct {
        const char *profile, *divisions, *arc;
        unsigned circle;
        const char *says;
    } rows[] = {
        { "[direct]\nholes = 36\nvernier = 10\n", "361", "1", 0,
          "no setting of this head gives 361 divisions: its circles keep at most 360 apart" },
        { "[direct]\nholes = 24 36 30\n", "37", "1", 0, "no setting of this head gives 37 divisions: its circles keep at most 36 apart" },
        { "[head]\nworm = 40\n[plate A]\nside 1 = 15 16\n", "9601", "1", 0,
          "no setting of this head gives 9601 divisions: its circles keep at most 9600 apart" },
        { "[head]\nworm = 40\nplate_pin = none\n[plate A]\nside 1 = 15 16\n", "641", "1", 0,
          "no setting of this head gives 641 divisions: its circles keep at most 640 apart" },
        { "[head]\nworm = 77/2\nplate_pin = none\n[plate A]\nside 1 = 15\n", "1156", "1", 0,
          "no setting of this head gives 1156 divisions: its circles keep at most 1155 apart" },
        { "[direct]\nholes = 36\n", "100", "1/4", 0, "no setting of this head gives 100 divisions of that arc: none keeps them apart" },
        { "[head]\nworm = 40\nplate_pin = none\n[plate A]\nside 1 = 15 16\n", "640", "1", 15,
          "no plan for 640 by what is allowed: leave out --circle, or see crankcard methods 640" },
        { "[direct]\nholes = 36\n", "1000000000000000000000000000000000000000000000000", "1", 0,
          "no setting of this head gives divisions by a number of 49 digits: its circles keep at most 36 apart" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_head head;
        struct cc_planner *planner;
        struct cc_request request;
        struct cc_plan plan;
        struct cc_error err = { 0 };
        cc_head_init(&head);
        assert_int_equal(cc_head_read(&head, rows[i].profile, strlen(rows[i].profile), "made", "made", NULL), CC_OK);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        cc_request_init(&request);
        cc_plan_init(&plan);
        mpz_set_str(request.divisions, rows[i].divisions, 10);
        mpq_set_str(request.arc, rows[i].arc, 10);
        request.circle = rows[i].circle;
        enum cc_status s = cc_planner_best(&plan, NULL, planner, &request, &err);
        if (s != CC_ENOFIT || strcmp(err.text, rows[i].says) != 0)
            fail_msg("row %zu: status %d, '%s'", i, (int)s, err.text);
        cc_plan_clear(&plan);
        cc_request_clear(&request);
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
}

static void trains_refused(void **state)
{
    static const struct {
        unsigned least, most_pairs;
        size_t most;
        unsigned tooth;
        enum cc_status status;
    } rows[] = {
        { 1, 2, 1, 24, CC_OK },     { 0, 2, 1, 24, CC_EDOM },   { 1, 4, 1, 24, CC_EDOM },   { 2, 1, 1, 24, CC_EDOM },
        { 1, 2, 0, 24, CC_EDOM },   { 1, 2, CC_MAX_TRAINS + 1, 24, CC_EDOM },
        { 1, 2, CC_MAX_TRAINS, 24, CC_OK },
        { 1, 2, 1, 4, CC_EDOM },    { 1, 2, 1, 5, CC_OK },      { 1, 2, 1, 10000, CC_OK },  { 1, 2, 1, 10001, CC_EDOM },
    };
    mpq_t wanted;

    (void)state;
    test_mpq_init(wanted, "1/2");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        unsigned teeth[] = { 48, 40, 56, rows[i].tooth };
        struct cc_train_search search = { .teeth = teeth, .n = 4, .least_pairs = rows[i].least,
                                          .most_pairs = rows[i].most_pairs, .most = rows[i].most };
        struct cc_train_list list;
        cc_train_list_init(&list);
        enum cc_status s = cc_train_search(&list, wanted, &search, NULL);
        if (s != rows[i].status)
            fail_msg("row %zu: status %d", i, (int)s);
        cc_train_list_clear(&list);
    }
    mpq_clear(wanted);
}

static void leads_refused(void **state)
{
    struct cc_head worm, fixture;
    struct cc_start_index index;
    struct cc_train none = { .pairs = 0 };
    mpq_t lead, diameter, angle;

    (void)state;
    test_head_load(&worm, "data/heads/small-tilting.ini");
    test_head_load(&fixture, "data/heads/spin-fixture-36.ini");
    assert_int_equal(cc_start_index_find(&index, &worm, 0, NULL), CC_EDOM);
    assert_int_equal(cc_start_index_find(&index, &fixture, 3, NULL), CC_ENOFIT);
    assert_int_equal(cc_start_index_find(&index, &worm, 3, NULL), CC_OK);
    test_mpq_init(lead, "200");
    cc_lead_of_train(lead, lead, &none);        /* the table does not move */
    test_mpq_equal("no gears", lead, "0");
    /* pi d / tan(89.9 deg) of a thousandth of a thousandth is under a millionth of a millimetre; of 10^15, too long */
    test_mpq_init(diameter, "1/10000000");
    test_mpq_init(angle, "1/8");
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_EDOM);
    mpq_set_str(diameter, "1000000000000000", 10);
    assert_int_equal(cc_lead_of_helix(lead, diameter, angle, NULL), CC_EDOM);
    mpq_clears(lead, diameter, angle, NULL);
    cc_head_clear(&fixture);
    cc_head_clear(&worm);
}

/* Starts are indexed on the plate that is on, if it serves, whichever it is; else on the largest circle there is. */
static void starts_on_the_mounted_plate(void **state)
{
    static const struct {
        const char *mounted;
        unsigned starts;
        size_t plate;
        unsigned side, circle;
    } rows[] = {
        /* 40 / 16 = 2 1/2: circles of even count; 40 / 9: multiples of 9 */
        { "A 1", 16, 0, 1, 20 }, { "A 2", 16, 0, 2, 16 }, { "B 1", 16, 1, 1, 18 }, { "none", 16, 0, 1, 20 },
        { "A 1", 9, 1, 1, 18 },  { "B 1", 9, 1, 1, 18 },
    };
    static const char profile[] = "[head]\nworm = 40\n[plate A]\nside 1 = 15 20\nside 2 = 16 17\n[plate B]\nside 1 = 18 19\n";
    struct cc_head head;

    (void)state;
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, profile, sizeof profile - 1, "made", "made", NULL), CC_OK);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_start_index index;
        assert_int_equal(cc_head_mount(&head, rows[i].mounted, NULL), CC_OK);
        assert_int_equal(cc_start_index_find(&index, &head, rows[i].starts, NULL), CC_OK);
        if (index.plate != rows[i].plate || index.side != rows[i].side || index.circle != rows[i].circle)
            fail_msg("row %zu: plate %zu side %u circle %u", i, index.plate, index.side, index.circle);
    }
    cc_head_clear(&head);
}

/* The message is of what is wrong, though a later check would refuse the request as well. */
static void lead_requests_refused(void **state)
{
    static const struct {
        const char *lead, *screw, *diameter, *length, *says;
    } rows[] = {
        { "0", "5", "0", "0", "a lead must be greater than 0; the hand says which way it winds" },
        { "-1", "5", "0", "0", "a lead must be greater than 0; the hand says which way it winds" },
        { "200", "0", "0", "0", "the pitch of the table screw must be greater than 0" },
        { "200", "-5", "0", "0", "the pitch of the table screw must be greater than 0" },
        { "200", "5", "-1", "0", "diameter and length cannot be negative" },
        { "200", "5", "0", "-1", "diameter and length cannot be negative" },
        { "200", "5", "0", "0", "" },
    };
    struct cc_head head;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting-geared.ini");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_lead_request r;
        struct cc_gearing_list list;
        struct cc_error err = { 0 };
        cc_lead_request_init(&r);
        cc_gearing_list_init(&list);
        mpq_set_str(r.lead, rows[i].lead, 10);
        mpq_set_str(r.screw, rows[i].screw, 10);
        mpq_set_str(r.diameter, rows[i].diameter, 10);
        mpq_set_str(r.length, rows[i].length, 10);
        cc_lead_find(&list, &r, &head, NULL, 0, &err);
        if (strcmp(err.text, rows[i].says) != 0)
            fail_msg("row %zu: '%s'", i, err.text);
        cc_gearing_list_clear(&list);
        cc_lead_request_clear(&r);
    }
    cc_head_clear(&head);
}

/* Why there is no train: the last gear, or all of them. */
static void no_train(void **state)
{
    static const struct {
        size_t n;
        unsigned multiple, least_sum;
        const char *says;
    } rows[] = {
        { 4, 7, 0, "no train can be made: the last gear needs a multiple of 7 teeth, and there is no such gear" },
        { 4, 8, 0, "" },
        { 4, 0, 97, "no train can be made of the 4 gears there are: too few with the idlers, or none mesh within the limits" },
        { 1, 0, 0, "no train can be made of the 1 gear there is: too few with the idlers, or none mesh within the limits" },
        { 4, 8, 97, "no train can be made of the 4 gears there are: too few with the idlers, or none mesh within the limits" },
    };
    static const unsigned teeth[] = { 48, 40, 48, 30 };
    mpq_t wanted;

    (void)state;
    test_mpq_init(wanted, "1/2");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_train_search search = { .teeth = teeth, .n = rows[i].n, .least_pairs = 1, .most_pairs = 2, .most = 3,
                                          .last_multiple = rows[i].multiple, .least_sum = rows[i].least_sum };
        struct cc_train_list list;
        struct cc_error err = { 0 };
        cc_train_list_init(&list);
        enum cc_status s = cc_train_search(&list, wanted, &search, &err);
        if (strcmp(err.text, rows[i].says) != 0 || s != (rows[i].says[0] == '\0' ? CC_OK : CC_ENOFIT))
            fail_msg("row %zu: '%s'", i, err.text);
        cc_train_list_clear(&list);
    }
    mpq_clear(wanted);
}

/* What a head without a worm serves: the divisors of its holes, or of holes times pins. */
static void heads_without_worm(void **state)
{
    static const char plate[] = "[direct]\nholes = 24 30\n", pins[] = "[direct]\nholes = 36\nvernier = 10\n";
    struct cc_head direct, fixture;

    (void)state;
    cc_head_init(&direct);
    cc_head_init(&fixture);
    assert_int_equal(cc_head_read(&direct, plate, sizeof plate - 1, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_head_read(&fixture, pins, sizeof pins - 1, "made", "made", NULL), CC_OK);
    for (unsigned long n = 2; n <= 400; n++) {
        assert_int_equal(cc_head_serves(&direct, n), 24 % n == 0 || 30 % n == 0);
        assert_int_equal(cc_head_serves(&fixture, n), 360 % n == 0);
    }
    cc_head_clear(&fixture);
    cc_head_clear(&direct);
}

/* By a dial of 7 lines, 5 parts each, on a worm of 3/2: 105/2 parts in a turn, so N where 105 / (2 N) is whole: none; on 6: 210 / N. */
static void heads_with_a_dial(void **state)
{
    static const char half[] = "[head]\nworm = 3/2\n[dial]\nlines = 7\nvernier = 5\n";
    static const char whole[] = "[head]\nworm = 6\n[dial]\nlines = 7\nvernier = 5\n";
    struct cc_head a, b;

    (void)state;
    cc_head_init(&a);
    cc_head_init(&b);
    assert_int_equal(cc_head_read(&a, half, sizeof half - 1, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_head_read(&b, whole, sizeof whole - 1, "made", "made", NULL), CC_OK);
    for (unsigned long n = 1; n <= 400; n++) {
        assert_false(cc_head_serves(&a, n));
        assert_int_equal(cc_head_serves(&b, n), 210 % n == 0);
    }
    cc_head_clear(&b);
    cc_head_clear(&a);
}

/* 37 of 360 on 36 holes and 10 pins is 3 holes and 7 pins; a pin more where the row is the larger one. */
static void rounded_on_pins(void **state)
{
    struct cc_plan plan;
    int64_t turns = 9, holes = 9, holes2 = 9;

    (void)state;
    cc_plan_init(&plan);
    plan.circle = 36;
    plan.circle2 = 360;
    plan.unit = 360;
    plan.move = 37;
    cc_plan_rounded_movement(&turns, &holes, &holes2, &plan, false);
    assert_true(turns == 0 && holes == 3 && holes2 == 7);
    cc_plan_rounded_movement(&turns, &holes, &holes2, &plan, true);
    assert_true(turns == 0 && holes == 3 && holes2 == 8);
    plan.move = 39;
    cc_plan_rounded_movement(&turns, &holes, &holes2, &plan, true);
    assert_true(turns == 0 && holes == 4 && holes2 == 0);
    cc_plan_clear(&plan);
}

/* A place between two rows is looked for only with one pin turned by the crank, a hole and a reading. */
static void between_refused(void **state)
{
    static const struct {
        const char *head;
        unsigned divisions;
        bool hole, reading;
    } rows[] = {
        { "data/heads/spin-fixture-36.ini", 36, true, true }, { "data/heads/small-tilting.ini", 57, true, true },
        { "data/heads/small-tilting.ini", 7, false, true },   { "data/heads/small-tilting.ini", 7, true, false },
        { "data/heads/small-tilting.ini", 7, true, true },    /* the last: a place there is */
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_head head;
        struct cc_planner *planner;
        struct cc_request request;
        struct cc_plan plan;
        struct cc_seen seen;
        struct cc_places places;
        test_head_load(&head, rows[i].head);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        cc_request_init(&request);
        cc_plan_init(&plan);
        cc_seen_init(&seen);
        cc_places_init(&places);
        mpz_set_ui(request.divisions, rows[i].divisions);
        if (rows[i].divisions == 57)
            request.methods = 1U << CC_COMPOUND;
        assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, NULL), CC_OK);
        seen.has_hole = rows[i].hole;
        seen.has_reading = rows[i].reading;
        seen.hole = 1;
        mpq_set_ui(seen.reading, 1, 20);
        mpq_set_ui(seen.uncertainty, 1, 40);
        mpq_canonicalize(seen.uncertainty);
        enum cc_status s = cc_recover_between(&places, &plan, &request, &seen, 5, NULL);
        if (s != (i + 1 == sizeof rows / sizeof rows[0] ? CC_OK : CC_ENOFIT))
            fail_msg("row %zu: status %d", i, (int)s);
        cc_places_clear(&places);
        cc_seen_clear(&seen);
        cc_plan_clear(&plan);
        cc_request_clear(&request);
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
}

/* A pin that stands at a row is not between two: 7 divisions are 5 35/49 each, so row 1 is hole 35 at a seventh of a turn. */
static void at_a_row_is_not_between(void **state)
{
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    struct cc_seen seen;
    struct cc_places places;

    (void)state;
    test_head_load(&head, "data/heads/small-tilting.ini");
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&request);
    cc_plan_init(&plan);
    cc_seen_init(&seen);
    cc_places_init(&places);
    mpz_set_ui(request.divisions, 7);
    request.circle = 49;
    assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, NULL), CC_OK);
    seen.has_hole = seen.has_reading = true;
    seen.hole = 35;
    mpq_set_ui(seen.reading, 1, 7);
    mpq_set_ui(seen.uncertainty, 1, 1000);      /* a crank turn is 1/40 */
    assert_int_equal(cc_recover_between(&places, &plan, &request, &seen, 5, NULL), CC_ENOFIT);
    mpq_set_ui(seen.reading, 47, 280);          /* one crank turn on, 1/7 + 1/40: 4 35/49 to go, to row 2, hole 21 */
    assert_int_equal(cc_recover_between(&places, &plan, &request, &seen, 5, NULL), CC_OK);
    assert_int_equal(places.n, 1);
    assert_int_equal(places.at[0].row, 2);
    assert_int_equal(places.at[0].turns, 4);
    assert_int_equal(places.at[0].holes, 35);
    cc_places_clear(&places);
    cc_seen_clear(&seen);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

/* A fixture of 36 holes and 10 pins: pins are counted from 0 to 9, holes from 0 to 35. */
static void fixture_places_refused(void **state)
{
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    struct cc_seen seen;
    struct cc_places places;

    (void)state;
    test_head_load(&head, "data/heads/spin-fixture-36.ini");
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&request);
    cc_plan_init(&plan);
    cc_seen_init(&seen);
    cc_places_init(&places);
    mpz_set_ui(request.divisions, 40);      /* 9 of 360: the pins take part */
    assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, NULL), CC_OK);
    seen.has_hole = seen.has_hole2 = true;
    for (uint64_t hole = 34; hole <= 37; hole++) {
        for (uint64_t pin = 8; pin <= 11; pin++) {
            struct cc_error err = { 0 };
            seen.hole = hole;
            seen.hole2 = pin;
            enum cc_status s = cc_recover(&places, &plan, &request, &seen, 10, &err);
            if ((s == CC_EDOM) != (hole > 35 || pin > 9))
                fail_msg("hole %u, pin %u: status %d", (unsigned)hole, (unsigned)pin, (int)s);
            if (hole == 35 && pin == 10)
                assert_string_equal(err.text, "hole2 10: 10 are counted from 0 to 9");
        }
    }
    seen.hole = seen.hole2 = 0;         /* how many fit, and none of them: hole 0, pin 0 stands at row 0 and, closed, at row 40 */
    assert_int_equal(cc_recover(&places, &plan, &request, &seen, 0, NULL), CC_OK);
    assert_int_equal(places.n, 0);
    assert_int_equal(places.total, 2);
    cc_places_clear(&places);
    cc_seen_clear(&seen);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

/* ---- gears ---- */

/* A bevel's teeth are undercut below 2 cos(pitch angle) / sin^2(pressure angle): 2 cos 45 / sin^2 20 = 12.09. */
static void bevel_undercut(void **state)
{
    (void)state;
    for (unsigned long teeth = 10; teeth <= 15; teeth++) {
        struct cc_gear_request r;
        struct cc_gear gear;
        cc_gear_request_init(&r);
        cc_gear_init(&gear);
        r.kind = CC_GEAR_BEVEL;
        r.teeth = r.mate = teeth;
        mpq_set_ui(r.module, 2, 1);
        mpq_set_ui(r.shaft_angle, 1, 4);
        assert_int_equal(cc_gear_compute(&gear, &r, NULL), CC_OK);
        if (((gear.remarks & CC_GEAR_UNDERCUT) != 0) != (teeth < 13))
            fail_msg("%lu teeth", teeth);
        cc_gear_clear(&gear);
        cc_gear_request_clear(&r);
    }
}

static void gears_refused(void **state)
{
    static const struct {
        enum cc_gear_kind kind;
        const char *helix, *face, *pin;
        unsigned long span, mate;
        const char *says;   /* NULL: taken */
    } rows[] = {
        { CC_GEAR_SPUR, "0", "0", "0", 0, 0, NULL },
        { CC_GEAR_SPUR, "1/24", "0", "0", 0, 0, "a helix angle belongs to helical gears only" },
        { CC_GEAR_SPUR, "0", "10", "0", 0, 0, "a face width belongs to bevel gears only" },
        { CC_GEAR_SPUR, "0", "0", "-1", 0, 0, "pin diameter must be more than 0 and at most 10 modules" },
        { CC_GEAR_SPUR, "0", "0", "21", 0, 0, "pin diameter must be more than 0 and at most 10 modules" },
        { CC_GEAR_SPUR, "0", "0", "0", 1, 0, "span must be 2 teeth or more, and fewer than the gear has" },
        { CC_GEAR_SPUR, "0", "0", "0", 20, 0, "span must be 2 teeth or more, and fewer than the gear has" },
        { CC_GEAR_SPUR, "0", "0", "0", 0, CC_MAX_GEAR_TEETH + 1UL, "teeth must be 1 to 100000" },
        { CC_GEAR_HELICAL, "1/24", "0", "0", 0, 0, NULL },
        { CC_GEAR_HELICAL, "1/24", "10", "0", 0, 0, "a face width belongs to bevel gears only" },
        { CC_GEAR_BEVEL, "0", "0", "0", 0, 20, NULL },
        { CC_GEAR_BEVEL, "0", "-1", "0", 0, 20, "face width must be more than 0" },
        { CC_GEAR_BEVEL, "1/24", "0", "0", 0, 20, "a helix angle belongs to helical gears only" },
        { CC_GEAR_BEVEL, "0", "0", "0", 3, 20, "bevel gears are measured by the chord, not by span or pins" },
        { CC_GEAR_BEVEL, "0", "0", "3", 0, 20, "bevel gears are measured by the chord, not by span or pins" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_gear_request r;
        struct cc_gear gear;
        struct cc_error err = { 0 };
        cc_gear_request_init(&r);
        cc_gear_init(&gear);
        r.kind = rows[i].kind;
        r.teeth = 20;
        r.mate = rows[i].mate;
        r.span = rows[i].span;
        mpq_set_ui(r.module, 2, 1);
        mpq_set_str(r.helix, rows[i].helix, 10);
        mpq_set_str(r.face, rows[i].face, 10);
        mpq_set_str(r.pin, rows[i].pin, 10);
        mpq_set_ui(r.shaft_angle, rows[i].kind == CC_GEAR_BEVEL ? 1 : 0, 4);
        mpq_canonicalize(r.shaft_angle);
        enum cc_status s = cc_gear_compute(&gear, &r, &err);
        if (s != (rows[i].says == NULL ? CC_OK : CC_EDOM) || strcmp(err.text, rows[i].says != NULL ? rows[i].says : "") != 0)
            fail_msg("row %zu: status %d, '%s'", i, (int)s, err.text);
        cc_gear_clear(&gear);
        cc_gear_request_clear(&r);
    }
}

/* Profile shift lies between -1 and 1 module, both taken. */
static void shifts_refused(void **state)
{
    static const struct {
        const char *shift;
        bool taken;
    } rows[] = { { "-1", true }, { "-101/100", false }, { "-3/2", false }, { "1", true }, { "101/100", false }, { "3/2", false } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_gear_request r;
        struct cc_gear gear;
        struct cc_error err = { 0 };
        cc_gear_request_init(&r);
        cc_gear_init(&gear);
        r.teeth = 40;
        mpq_set_ui(r.module, 2, 1);
        mpq_set_str(r.profile_shift, rows[i].shift, 10);
        mpq_canonicalize(r.profile_shift);
        cc_gear_compute(&gear, &r, &err);
        if ((strcmp(err.text, "profile shift must be -1 to 1 modules") != 0) != rows[i].taken)
            fail_msg("shift %s: '%s'", rows[i].shift, err.text);
        cc_gear_clear(&gear);
        cc_gear_request_clear(&r);
    }
}

/* Each cutter of a series goes on where the one before it ends, from 12 teeth to the rack. */
static void cutters_leave_no_gap(void **state)
{
    (void)state;
    for (int series = 0; series < 2; series++) {
        enum cc_cutter_series which = series == 0 ? CC_CUTTERS_EIGHT : CC_CUTTERS_FIFTEEN;
        struct cc_cutter cutter;
        unsigned count = 1;
        assert_int_equal(cc_cutter_find(&cutter, which, 12, NULL), CC_OK);
        assert_int_equal(cutter.halves, 16);
        assert_int_equal(cutter.first, 12);
        while (cutter.last != 0) {
            struct cc_cutter next;
            for (unsigned long teeth = cutter.first; teeth <= cutter.last; teeth++) {
                assert_int_equal(cc_cutter_find(&next, which, teeth, NULL), CC_OK);
                assert_int_equal(next.halves, cutter.halves);
            }
            assert_int_equal(cc_cutter_find(&next, which, cutter.last + 1UL, NULL), CC_OK);
            assert_int_equal(next.first, cutter.last + 1);
            assert_int_equal(next.halves, cutter.halves - (series == 0 ? 2 : 1));
            cutter = next;
            count++;
        }
        assert_int_equal(cutter.halves, 2);
        assert_int_equal(count, series == 0 ? 8 : 15);
    }
}

/* ---- measurements ---- */

static void measurements_refused(void **state)
{
    static const struct {
        const char *text, *says;    /* says NULL: taken */
    } rows[] = {
        { "target_deg,direction,run,deviation_arcsec\n0,+,0,0\n", "run '0'; write a count, 1 or more" },
        { "target_deg,direction,run,deviation_arcsec\n0,+,1000001,0\n", "run '1000001'; write a count, 1 or more" },
        { "target_deg,direction,run,deviation_arcsec\n0,+,1000000,0\n0,+,1,0\n", NULL },
        { "target_deg,direction,run,deviation_arcsec\n0,+,x,0\n", "run 'x'; write a count, 1 or more" },
        { "radius_mm,push_mm,pull_mm\n0,0,0\n", "radius '0' must be more than 0" },
        { "radius_mm,push_mm,pull_mm\n-1,0,0\n", "radius '-1' must be more than 0" },
        { "target_mm,direction,run,deviation_arcsec\n0,+,1,0\n",
          "column 'target_mm': the unit must be _deg, _arcmin, _arcsec, _rev or _gon" },
        { "angle_deg,indicator_mm\n0,1\n\t120\t,\t2 \n240,\"3\"\n", NULL },
        { "angle_deg,indicator_mm\n0,1\n120,2\n240,\"3\n", "indicator: '\"3'" },
        { "angle_deg,indicator_mm\n0,1\n120,2\n240,3\"\n", "indicator: '3\"'" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_measurements m;
        struct cc_error err = { 0 };
        cc_measurements_init(&m);
        enum cc_status s = cc_measurements_read(&m, rows[i].text, strlen(rows[i].text), "t.csv", &err);
        if ((s == CC_OK) != (rows[i].says == NULL) || (s != CC_OK && strstr(err.text, rows[i].says) == NULL))
            fail_msg("row %zu: status %d, '%s'", i, (int)s, err.text);
        cc_measurements_clear(&m);
    }
}

/* 20 000 rows can be read, and no more. */
static void many_readings(void **state)
{
    char *text = malloc(40 * (CC_MAX_READINGS + 2)), *last = text;
    struct cc_measurements m;
    struct cc_error err = { 0 };

    (void)state;
    assert_non_null(text);
    last += sprintf(last, "angle_deg,indicator_mm\n");
    for (int i = 0; i < CC_MAX_READINGS; i++)
        last += sprintf(last, "%d,0\n", i % 360);
    cc_measurements_init(&m);
    assert_int_equal(cc_measurements_read(&m, text, (size_t)(last - text), "t.csv", NULL), CC_OK);
    assert_int_equal(m.count[CC_RUNOUT], CC_MAX_READINGS);
    cc_measurements_clear(&m);
    last += sprintf(last, "0,0\n");
    assert_int_equal(cc_measurements_read(&m, text, (size_t)(last - text), "t.csv", &err), CC_ELIMIT);
    assert_non_null(strstr(err.text, "more than 20000 rows"));
    cc_measurements_clear(&m);
    free(text);
}

/* The direction a complaint names is that of its rows; without a positions table there is nothing to work out. */
static void positions_refused(void **state)
{
    static const struct {
        const char *rows, *says;
    } rows[] = {
        { "0,-,1,0\n0,-,2,0\n90,-,1,3\n", "the only run at 90 degrees in direction -" },
        { "0,-,1,0\n0,-,1,0\n90,-,1,3\n", "run 1 at 0 degrees in direction - stands on line 2" },
        { "0,-,1,0\n0,-,2,0\n90,-,1,0\n90,-,2,0\n90,+,1,0\n90,+,2,0\n", "the target at 0 degrees has no run in direction +" },
    };
    struct cc_accuracy a;
    struct cc_measurements m;

    (void)state;
    cc_accuracy_init(&a);
    cc_measurements_init(&m);
    assert_int_equal(cc_accuracy_of(&a, &m, "t.csv", NULL), CC_EDOM);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[300];
        struct cc_error err = { 0 };
        int n = snprintf(text, sizeof text, "target_deg,direction,run,deviation_arcsec\n%s", rows[i].rows);
        assert_int_equal(cc_measurements_read(&m, text, (size_t)n, "t.csv", NULL), CC_OK);
        assert_int_equal(cc_accuracy_of(&a, &m, "t.csv", &err), CC_EDOM);
        if (strstr(err.text, rows[i].says) == NULL)
            fail_msg("'%s'", err.text);
        cc_measurements_clear(&m);
    }
}

/*
 * Two targets read twice each way, of which the first has a reversal of the sign given: means m and 0, deviations
 * sqrt(1/2) forward and 0 backward. Half of 4 s forward and backward, and the reversal's size: 2 sqrt(1/2) + |m|.
 */
static void reversal_either_way(void **state)
{
    (void)state;
    for (int m = -5; m <= 5; m += 10) {
        struct cc_measurements readings;
        struct cc_accuracy a;
        char text[300];
        int n = snprintf(text, sizeof text, "target_deg,direction,run,deviation_arcsec\n"
                         "0,+,1,%d.5\n0,+,2,%d.5\n0,-,1,0\n0,-,2,0\n90,+,1,0\n90,+,2,0\n90,-,1,0\n90,-,2,0\n",
                         m, m < 0 ? m + 1 : m - 1);     /* the mean is m */
        cc_measurements_init(&readings);
        cc_accuracy_init(&a);
        assert_int_equal(cc_measurements_read(&readings, text, (size_t)n, "t.csv", NULL), CC_OK);
        assert_int_equal(cc_accuracy_of(&a, &readings, "t.csv", NULL), CC_OK);
        assert_true(fabs(a.target[0].reversal_arcsec - m) < 1e-12);
        assert_true(fabs(a.reversal - 5) < 1e-12);
        assert_true(fabs(a.repeatability - (2 * sqrt(0.5) + 5)) < 1e-12);
        cc_accuracy_clear(&a);
        cc_measurements_clear(&readings);
    }
}

/*
 * Angles that are crowded: five different ones, but four within a ten-millionth of a turn, cannot tell two harmonics
 * apart. Six readings of which the last is the first once round are five.
 */
static void crowded_angles(void **state)
{
    static const double crowded[] = { 0, 0.3, 0.3 + 1e-7, 0.7, 0.7 + 1e-7 };
    static const double round[] = { 0, 0.2, 0.4, 0.6, 0.8, 1 - 1e-13 };
    double values[6];
    struct cc_harmonics h;
    struct cc_error err = { 0 };

    (void)state;
    for (size_t i = 0; i < 6; i++)
        values[i] = 3 + cos(2 * 3.14159265358979324 * round[i]);
    assert_int_equal(cc_harmonic_fit(&h, crowded, values, 5, 2, &err), CC_EDOM);
    assert_non_null(strstr(err.text, "cannot tell 2 harmonics apart"));
    assert_int_equal(cc_harmonic_fit(&h, round, values, 6, 3, &err), CC_EDOM);
    assert_non_null(strstr(err.text, "5 different angles are too few for 3 harmonics; 7 are needed"));
    assert_int_equal(cc_harmonic_fit(&h, round, values, 6, 0, NULL), CC_OK);
    assert_int_equal(h.order, 2);
    /* Five readings could fit two harmonics exactly and leave nothing to judge them by: one is fitted. */
    assert_int_equal(cc_harmonic_fit(&h, round, values, 5, 0, NULL), CC_OK);
    assert_int_equal(h.order, 1);
    assert_true(fabs(h.amplitude[1] - 1) < 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(angles),           cmocka_unit_test(labels),           cmocka_unit_test(no_unit),                  cmocka_unit_test(many_decimals),
        cmocka_unit_test(long_numbers),     cmocka_unit_test(short_buffers),    cmocka_unit_test(mounting),
        cmocka_unit_test(many_plates),      cmocka_unit_test(second_lines),     cmocka_unit_test(long_count),
            cmocka_unit_test(profile_lines),    cmocka_unit_test(notation),
        cmocka_unit_test(blocks_refused),   cmocka_unit_test(trains_refused),   cmocka_unit_test(leads_refused),
        cmocka_unit_test(gears_refused),    cmocka_unit_test(measurements_refused),
        cmocka_unit_test(starts_on_the_mounted_plate),
        cmocka_unit_test(lead_requests_refused),                                cmocka_unit_test(no_train),
        cmocka_unit_test(heads_without_worm), cmocka_unit_test(heads_with_a_dial), cmocka_unit_test(rounded_on_pins), cmocka_unit_test(between_refused), cmocka_unit_test(at_a_row_is_not_between),
        cmocka_unit_test(fixture_places_refused),                               cmocka_unit_test(bevel_undercut),
        cmocka_unit_test(reversal_either_way),                                  cmocka_unit_test(shifts_refused),
        cmocka_unit_test(cutters_leave_no_gap),                                 cmocka_unit_test(no_plan),
        cmocka_unit_test(many_readings),    cmocka_unit_test(positions_refused), cmocka_unit_test(crowded_angles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
