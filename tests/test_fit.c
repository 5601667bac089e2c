/*
 * test_fit.c: gears that can stand side by side.
 *
 * Source of the published case: tests/reference/helical.tsv. The rule itself is held to shafts and gears laid out in a line.
 */
#include "support.h"

#include <string.h>

#include "crankcard/crankcard.h"

static const char geared[] = "data/heads/small-tilting-geared.ini";

/* As in test_lead.c: the gear on the screw drives the second on the stud, the first on the stud drives the worm's. */
static struct cc_train published_train(struct test_tsv *row)
{
    return (struct cc_train){
        .pairs = 2,
        .driver = { (unsigned)test_tsv_count(row, "gear_on_screw"), (unsigned)test_tsv_count(row, "first_gear_on_stud") },
        .driven = { (unsigned)test_tsv_count(row, "second_gear_on_stud"), (unsigned)test_tsv_count(row, "gear_on_worm") },
    };
}

/*
 * Four arrangements of one ratio, of which one meshes by actual test: that one is taken, whichever is asked for. The others have
 * less room: two of them none at all, one a little, for the rule is necessary and not sufficient.
 */
static void published_arrangements(void **state)
{
    struct test_tsv row;
    struct cc_head head;
    struct cc_train works = { 0 };
    struct cc_fit fit, best;
    unsigned shut = 0, others = 0;

    (void)state;
    test_head_load(&head, geared);
    test_tsv_open(&row, "tests/reference/helical.tsv");
    while (test_tsv_next(&row))
        if (strstr(test_tsv_get(&row, "note"), "the only one that meshes") != NULL)
            works = published_train(&row);
    test_tsv_close(&row);
    assert_int_equal(works.pairs, 2);
    assert_true(cc_train_fits(&best, &works, &head, CC_FOR_DIFFERENTIAL));
    test_tsv_open(&row, "tests/reference/helical.tsv");
    while (test_tsv_next(&row)) {
        if (strstr(test_tsv_get(&row, "note"), "does not mesh") == NULL)
            continue;
        struct cc_train train = published_train(&row);
        shut += !cc_train_fits(&fit, &train, &head, CC_FOR_DIFFERENTIAL);
        assert_true(fit.room < best.room);
        assert_true(cc_train_arrange(&train, &head, CC_FOR_DIFFERENTIAL));
        assert_memory_equal(train.driver, works.driver, sizeof train.driver);
        assert_memory_equal(train.driven, works.driven, sizeof train.driven);
        others++;
    }
    assert_int_equal(others, 3);
    assert_int_equal(shut, 2);
    test_tsv_close(&row);
    cc_head_clear(&head);
}

/* ---- shafts in a line ---- */

/* Shafts of a train as far apart as its gears allow, in modules; each gear reaches to its outside radius. */
static bool clears(const struct cc_train *t, double with_idler, unsigned mesh)
{
    double shaft[CC_MAX_PAIRS + 1] = { 0 };

    for (unsigned i = 0; i < t->pairs; i++)
        shaft[i + 1] = shaft[i] + t->driver[i] / 2.0 + t->driven[i] / 2.0 + (i == mesh ? with_idler : 0);
    for (unsigned i = 1; i < t->pairs; i++) {       /* the stud of shaft i carries driven i - 1 and driver i */
        if (shaft[i] - (t->driver[i] / 2.0 + 1) <= shaft[i - 1] || shaft[i] + t->driven[i - 1] / 2.0 + 1 >= shaft[i + 1])
            return false;
    }
    return true;
}

static bool clears_somehow(const struct cc_train *t, const struct cc_head *head, const bool *used)
{
    if (t->idlers == 0)
        return clears(t, 0, 0);
    for (unsigned mesh = 0; mesh < t->pairs; mesh++)
        for (size_t g = 0; g < head->gears.n; g++)
            if (!used[g] && clears(t, head->gears.at[g], mesh))
                return true;
    return false;
}

/* Trains of two and three pairs out of the twelve gears, without idlers and with one: as laid out in a line. */
static void rule_in_a_line(void **state)
{
    unsigned long rounds = test_rounds(20000), fit_count = 0, by_idler = 0;
    struct cc_head head;
    gmp_randstate_t rs;

    (void)state;
    test_random_init(rs);
    test_head_load(&head, geared);
    for (unsigned long r = 0; r < rounds; r++) {
        struct cc_train t = { .pairs = 2 + (unsigned)gmp_urandomm_ui(rs, 2), .idlers = (unsigned)gmp_urandomm_ui(rs, 2) };
        bool used[CC_MAX_GEARS] = { false };
        struct cc_fit fit;
        for (unsigned i = 0; i < 2 * t.pairs; i++) {
            size_t g;
            do
                g = gmp_urandomm_ui(rs, head.gears.n);
            while (used[g]);
            used[g] = true;
            *(i % 2 == 0 ? &t.driver[i / 2] : &t.driven[i / 2]) = head.gears.at[g];
        }
        bool fits = cc_train_fits(&fit, &t, &head, CC_FOR_DIFFERENTIAL);
        if (fits != clears_somehow(&t, &head, used) || (fit.room > 0) != clears(&t, 0, 0))
            fail_msg("round %lu: %u pairs, %u idlers: fits %d, room %d", r, t.pairs, t.idlers, fits, fit.room);
        fit_count += fits;
        by_idler += fits && fit.room <= 0;
        struct cc_train arranged = t;
        assert_true(cc_train_arrange(&arranged, &head, CC_FOR_DIFFERENTIAL));   /* larger drivers first, smaller driven first: always stands */
        struct cc_fit best;
        assert_true(cc_train_fits(&best, &arranged, &head, CC_FOR_DIFFERENTIAL) && best.room > 0);
    }
    assert_true(fit_count > rounds / 4 && fit_count < rounds && by_idler > 0);
    cc_head_clear(&head);
    gmp_randclear(rs);
}

/* ---- what is offered first ---- */

/* The train first offered for leads of 2 to 60 in, by quarters, and for counts to 1000 stands with any idler or none. */
static void first_offers(void **state)
{
    struct cc_head head;
    struct cc_lead_request lead;
    struct cc_gearing_list list;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    unsigned compound = 0;

    (void)state;
    test_head_load(&head, geared);
    cc_lead_request_init(&lead);
    cc_gearing_list_init(&list);
    mpq_set_ui(lead.screw, 127, 20);        /* 4 threads to the inch */
    for (unsigned quarters = 8; quarters <= 240; quarters++) {
        mpq_set_ui(lead.lead, 127UL * quarters, 20);
        mpq_canonicalize(lead.lead);
        lead.hand = quarters % 2 == 0 ? CC_RIGHT_HAND : CC_LEFT_HAND;
        assert_int_equal(cc_lead_find(&list, &lead, &head, NULL, 0, NULL), CC_OK);
        assert_true(clears(&list.at[0].train, 0, 0));
        compound += list.at[0].train.pairs > 1;
    }
    cc_gearing_list_clear(&list);
    cc_lead_request_clear(&lead);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&request);
    cc_plan_init(&plan);
    request.methods = 1U << CC_DIFFERENTIAL;
    for (unsigned n = 2; n <= 1000; n++) {
        mpz_set_ui(request.divisions, n);
        if (cc_planner_best(&plan, NULL, planner, &request, NULL) != CC_OK)
            continue;
        assert_true(clears(&plan.train, 0, 0));
        compound += plan.train.pairs > 1;
    }
    assert_true(compound > 500);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

/* Limits under which 100 meshes with 24 alone: the idler must be that 24, between 100 and what it drives. */
static void idler_in_the_first_mesh(void **state)
{
    static const char profile[] = "[head]\nworm = 40\n[plate A]\nside 1 = 15 16\n[gears]\nteeth = 100 24 24 32 40\n"
                                  "most-sum = 126\n";
    struct cc_head head;
    struct cc_train train = { .pairs = 2, .driver = { 24, 100 }, .driven = { 32, 40 }, .idlers = 1 };
    struct cc_fit fit;

    (void)state;
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, profile, sizeof profile - 1, "limits", "limits", NULL), CC_OK);
    assert_false(cc_train_fits(&fit, &train, &head, CC_FOR_DIFFERENTIAL));
    assert_true(cc_train_arrange(&train, &head, CC_FOR_DIFFERENTIAL));
    assert_int_equal(train.idlers_back, 1);
    assert_int_equal(train.driver[0], 100);
    assert_int_equal(train.driven[0], 32);     /* 24 and 40 leave 32 more room than 24 and 32 leave 40 */
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_arrangements),
        cmocka_unit_test(rule_in_a_line),
        cmocka_unit_test(first_offers),
        cmocka_unit_test(idler_in_the_first_mesh),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
