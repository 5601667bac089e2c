/*
 * test_bracket.c: gears on the bracket that a profile describes. The decision at large is held to a search in coordinates by
 * tests/bracket.py; here are the published case, what is not known, and figures worked out by hand.
 */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "crankcard/crankcard.h"

#define HEAD "[head]\nworm = 40\n[plate A]\nside 1 = 20\n[gears]\nteeth = "
#define TWELVE HEAD "24 24 28 32 40 44 48 56 64 72 86 100\n[bracket]\n"

static void read_head(struct cc_head *head, const char *text)
{
    struct cc_error err;

    cc_head_init(head);
    if (cc_head_read(head, text, strlen(text), "bracket", "bracket", &err) != CC_OK)
        fail_msg("%s", err.text);
}

/* ---- the published case ---- */

/* The four arrangements of one train, the one that meshes by actual test first: tests/reference/helical.tsv. */
static unsigned published(struct cc_train *trains)
{
    struct test_tsv row;
    unsigned n = 1;

    test_tsv_open(&row, "tests/reference/helical.tsv");
    while (test_tsv_next(&row)) {
        const char *note = test_tsv_get(&row, "note");
        bool best = strstr(note, "the only one that meshes") != NULL;
        if (!best && strstr(note, "does not mesh") == NULL)
            continue;
        trains[best ? 0 : n++] = (struct cc_train){
            .pairs = 2,
            .driver = { (unsigned)test_tsv_count(&row, "gear_on_screw"), (unsigned)test_tsv_count(&row, "first_gear_on_stud") },
            .driven = { (unsigned)test_tsv_count(&row, "second_gear_on_stud"), (unsigned)test_tsv_count(&row, "gear_on_worm") },
        };
    }
    test_tsv_close(&row);
    return n;
}

/*
 * With a collar about the shafts of more than three modules exactly the published one remains: its rivals have 6 teeth, three
 * modules, from a shaft's middle to the gear that runs past it.
 */
static void published_with_a_collar(void **state)
{
    static const struct {
        const char *bracket;
        unsigned fitting;
    } rows[] = {
        { "module = 1.25\n", 2 },
        { "module = 1.25\nplay = 0\nclear = 0\ncollar = 7.4\n", 2 },    /* three modules are a diameter of 7.5 */
        { "module = 1.25\nplay = 0\nclear = 0\ncollar = 7.5\n", 1 },
        { "module = 1.25\ncollar = 12\n", 1 },
        { "dp = 20\ncollar = 1/2in\n", 1 },
    };
    struct cc_train trains[4];

    (void)state;
    assert_int_equal(published(trains), 4);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[400];
        struct cc_head head;
        struct cc_fit fit;
        unsigned fitting = 0, all, counted;
        snprintf(text, sizeof text, "%s%s", TWELVE, rows[i].bracket);
        read_head(&head, text);
        for (unsigned k = 0; k < 4; k++) {
            struct cc_train train = trains[k];
            bool fits = cc_train_fits(&fit, &train, &head, CC_FOR_LEAD);
            fitting += fits;
            assert_true(k > 0 || fits);
            assert_true(cc_train_arrange(&train, &head, CC_FOR_LEAD));
            assert_memory_equal(train.driver, trains[0].driver, sizeof train.driver);
            assert_memory_equal(train.driven, trains[0].driven, sizeof train.driven);
            cc_train_arrangements(&all, &counted, &trains[k], &head, CC_FOR_LEAD);
            assert_int_equal(all, 4);
            assert_int_equal(counted, rows[i].fitting);
        }
        assert_int_equal(fitting, rows[i].fitting);
        cc_head_clear(&head);
    }
}

/* ---- what is known ---- */

static void what_is_missing(void **state)
{
    static const struct {
        const char *bracket;
        enum cc_gear_use use;
        enum cc_fit_key key;
    } rows[] = {
        { "studs = 2\n", CC_FOR_LEAD, CC_FIT_MODULE },
        { "module = 1.25\ncentres = 100\n", CC_FOR_LEAD, CC_FIT_CENTRES },
        { "module = 1.25\nlead_centres = 100\n", CC_FOR_LEAD, CC_FIT_REACH },
        { "module = 1.25\nlead_centres = 100\nreach = 30 120\n", CC_FOR_LEAD, CC_FIT_COLLAR },
        { "module = 1.25\nlead_drop = 60\nlead_offset = 80\nreach = 30 120\ncollar = 20\n", CC_FOR_LEAD, CC_FIT_NOTHING },
        /* A slot that swings about the spindle says nothing of a lead's train from screw to worm shaft. */
        { "module = 1.25\nlead_centres = 100\nreach = 30 120\ncollar = 20\nslot = spindle\n", CC_FOR_LEAD, CC_FIT_REACH },
        { "module = 1.25\nshort_centres = 100\nreach = 30 120\ncollar = 20\nslot = spindle\n", CC_FOR_SHORT_LEAD, CC_FIT_NOTHING },
        { "module = 1.25\nlead_centres = 100\nreach = 30 120\ncollar = 20\nslot = screw\n", CC_FOR_LEAD, CC_FIT_NOTHING },
        { "module = 1.25\ncentres = 100\nreach = 30 120\ncollar = 20\n", CC_FOR_DIFFERENTIAL, CC_FIT_NOTHING },
    };
    /* 100 drives 24, 32 drives 48: 77.6 and 50.1 mm, which span 100 mm. */
    const struct cc_train train = { .pairs = 2, .driver = { 100, 32 }, .driven = { 24, 48 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[400];
        struct cc_head head;
        struct cc_fit fit;
        snprintf(text, sizeof text, "%s%s", TWELVE, rows[i].bracket);
        read_head(&head, text);
        assert_true(cc_train_fits(&fit, &train, &head, rows[i].use));
        if (fit.key != rows[i].key)
            fail_msg("row %zu: key %d", i, fit.key);
        cc_head_clear(&head);
    }
}

/* What one key after the other is against, in a train that goes on otherwise. */
static void what_fails(void **state)
{
    static const struct {
        const char *bracket;
        enum cc_fit_key key;
    } rows[] = {
        { "", CC_FIT_NOTHING },
        { "sleeve_least = 25\n", CC_FIT_SLEEVE },
        { "sleeve_least = 24\n", CC_FIT_NOTHING },
        { "screw_most = 127.5\n", CC_FIT_NOTHING },     /* (100 + 2) 1.25 */
        { "screw_most = 127.499999\n", CC_FIT_MOST },
        { "worm_most = 62.4\n", CC_FIT_MOST },          /* (48 + 2) 1.25 = 62.5 */
        { "spindle_most = 20\n", CC_FIT_NOTHING },      /* no shaft of a lead to the worm */
        { "studs = 1\n", CC_FIT_NOTHING },
        { "collar = 63.7\n", CC_FIT_COLLAR },          /* 50.1 less the 24's 16.25 and 2 mm of air, twice */
        { "collar = 63.699999\n", CC_FIT_NOTHING },
        { "reach = 50.1 60\n", CC_FIT_NOTHING },        /* (32 + 48) 1.25 / 2 + 0.1 */
        { "reach = 50.100001 60\n", CC_FIT_REACH },
        { "reach = 20 50.099999\n", CC_FIT_REACH },
        { "lead_centres = 127.7\n", CC_FIT_NOTHING },   /* 77.6 + 50.1 */
        { "lead_centres = 127.700001\n", CC_FIT_CENTRES },
        { "lead_centres = 127.700001 140\n", CC_FIT_CENTRES },
        { "slot = straight\nlead_centres = 127.7\n", CC_FIT_NOTHING },
        { "slot = straight\nlead_centres = 127.6\n", CC_FIT_CENTRES },
        { "slot = straight\nlead_centres = 120 130\n", CC_FIT_NOTHING },
    };
    const struct cc_train train = { .pairs = 2, .driver = { 100, 32 }, .driven = { 24, 48 } };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[600];
        struct cc_head head;
        struct cc_fit fit;
        const char *more = rows[i].bracket;
        snprintf(text, sizeof text, "%smodule = 1.25\n%s%s%s%s", TWELVE, strstr(more, "lead_centres") ? "" : "lead_centres = 110\n",
                 strstr(more, "reach") ? "" : "reach = 30 120\n", strstr(more, "collar") ? "" : "collar = 24\n", more);
        read_head(&head, text);
        bool fits = cc_train_fits(&fit, &train, &head, CC_FOR_LEAD);
        if (fit.key != rows[i].key || fits != (rows[i].key == CC_FIT_NOTHING))
            fail_msg("row %zu, %s: fits %d, key %d", i, more, fits, fit.key);
        cc_head_clear(&head);
    }
}

/* ---- places ---- */

/* Shafts 100 mm apart and a stud 60 from one and 80 from the other: a right angle at the stud. */
#define RIGHT_ANGLE "[bracket]\nmodule = 1\nplay = 0\nclear = 0\ncollar = 4\nreach = 20 70\n"

static void one_stud(void **state)
{
    const struct cc_train train = { .pairs = 2, .driver = { 100, 50 }, .driven = { 60, 70 } };
    struct cc_placing placing;
    struct cc_head head;

    (void)state;
    read_head(&head, HEAD "100 50 60 70\n" RIGHT_ANGLE "centres = 100\n");
    assert_true(cc_train_place(&placing, &train, &head, CC_FOR_DIFFERENTIAL));
    assert_int_equal(placing.n, 3);
    assert_int_equal(placing.post[1].from_first, 80000000);
    assert_int_equal(placing.post[1].from_last, 60000000);
    assert_int_equal(placing.post[1].tooth[0], 60);
    assert_int_equal(placing.post[1].tooth[1], 50);
    assert_int_equal(placing.post[0].from_last, 100000000);
    assert_int_equal(placing.post[2].from_last, 0);
    cc_head_clear(&head);
    /* The same by drop and offset, of a lead. */
    read_head(&head, HEAD "100 50 60 70\n" RIGHT_ANGLE "lead_drop = 60\nlead_offset = 80\n");
    assert_false(cc_train_place(&placing, &train, &head, CC_FOR_DIFFERENTIAL));
    assert_true(cc_train_place(&placing, &train, &head, CC_FOR_LEAD));
    assert_int_equal(placing.post[0].from_last, 100000000);
    cc_head_clear(&head);
}

/* The slot goes through the worm shaft, so a stud half way to that one is the root of 7300 from the spindle (cosine 0.6). */
static void two_studs(void **state)
{
    /* 50 on the worm shaft and idler 10: 30 mm; idlers 10 and 50: 30 mm; idler 50 and 110 on the spindle: 80 mm */
    const struct cc_train train = { .pairs = 1, .driver = { 110 }, .driven = { 50 }, .idlers = 2, .idler = { 50, 10 } };
    struct cc_train other = train;
    struct cc_placing placing;
    struct cc_head head;
    struct cc_fit fit;

    (void)state;
    read_head(&head, HEAD "10 50 50 110\n" RIGHT_ANGLE "centres = 100\n");
    assert_true(cc_train_fits(&fit, &train, &head, CC_FOR_DIFFERENTIAL));
    assert_int_equal(fit.idler[0], 50);
    assert_int_equal(fit.idler[1], 10);
    assert_int_equal(fit.margin, 8000000);     /* 60 less two outside radii of 26: the worm's gear and the idler of 50 */
    assert_false(cc_fit_is_barely(&fit, &head));
    assert_true(cc_train_place(&placing, &train, &head, CC_FOR_DIFFERENTIAL));
    assert_int_equal(placing.n, 4);
    assert_int_equal(placing.post[1].from_last, 60000000);
    assert_int_equal(placing.post[1].from_first, 80000000);
    assert_int_equal(placing.post[2].from_last, 30000000);
    assert_int_equal(placing.post[2].from_first, 85440037);
    other.idler[0] = 10;        /* the other way round the studs would stand at 50 and 80 */
    other.idler[1] = 50;
    assert_false(cc_train_place(&placing, &other, &head, CC_FOR_DIFFERENTIAL));
    cc_head_clear(&head);
}

/* Idlers by name where no bracket is known: of those that mesh the one nearest to the middle of what is left, 24 28 32 40 44. */
static void named_idlers(void **state)
{
    struct cc_train train = { .pairs = 1, .driver = { 100 }, .driven = { 86 }, .idlers = 1 };
    struct cc_head head;

    (void)state;
    read_head(&head, HEAD "24 28 32 40 44 86 100\n");
    assert_true(cc_train_name_idlers(&train, &head, CC_FOR_DIFFERENTIAL));
    assert_int_equal(train.idler[0], 32);
    cc_head_clear(&head);
    read_head(&head, HEAD "24 28 32 40 44 86 100\nmost-sum = 127\n");        /* no other reaches the 100 */
    train.idler[0] = 0;
    assert_true(cc_train_name_idlers(&train, &head, CC_FOR_DIFFERENTIAL));
    assert_int_equal(train.idler[0], 24);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_with_a_collar), cmocka_unit_test(what_is_missing), cmocka_unit_test(what_fails),
        cmocka_unit_test(one_stud),                cmocka_unit_test(two_studs),
        cmocka_unit_test(named_idlers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
