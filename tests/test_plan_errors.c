/*
 * test_plan_errors.c: what a plan adds to the errors of the work, by hand.
 *
 * Worm 4 and circle 20: 80 units a turn, so a unit is 1/80.
 *
 *   N = 3     80/3 apart: at 0, 27 for 26 2/3 and 53 for 53 1/3: off by 0, 1/3, -1/3, so 2/3 unit from least to most
 *   N = 32    2 1/2 apart, halves away from zero: off by 0 or 1/2
 *   N = 2 from 1/160 on: 1/2 and 40 1/2, both off by 1/2, so that nothing lies between them
 *   N = 27 with circles 20 and 21 by the same movement: 27 of them end 1/560 off, so 26 reach 26/27 of that
 *
 * Worm 40 and circle 1000: 40000 units. N = 16000: 0 or 1/2 again. N = 32000, 1 1/4 apart, is not walked: twice 1/2.
 */
#include <stdio.h>
#include <string.h>

#include "crankcard/plan.h"
#include "support.h"

static void ranges(void **state)
{
    static const struct {
        const char *worm, *circles;
        unsigned long divisions;
        const char *offset;
        enum cc_method method;
        const char *range;
    } rows[] = {
        { "4", "20", 3, "0", CC_NEAREST_HOLE, "1/120" },
        { "4", "20", 32, "0", CC_NEAREST_HOLE, "1/160" },
        { "4", "20", 2, "1/160", CC_NEAREST_HOLE, "0" },
        { "4", "20 21", 27, "0", CC_NEARLY_EXACT, "13/7560" },
        { "4", "20", 16, "0", CC_PLAIN, "0" },
        { "40", "1000", 16000, "0", CC_NEAREST_HOLE, "1/80000" },
        { "40", "1000", 32000, "0", CC_NEAREST_HOLE, "1/40000" },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char profile[100];
        struct cc_head head;
        struct cc_planner *planner = NULL;
        struct cc_request request;
        struct cc_plan plan;
        mpq_t range;
        snprintf(profile, sizeof profile, "[head]\nworm = %s\n[plate A]\nside 1 = %s\n", rows[i].worm, rows[i].circles);
        cc_head_init(&head);
        cc_request_init(&request);
        cc_plan_init(&plan);
        mpq_init(range);
        mpz_set_ui(request.divisions, rows[i].divisions);
        request.methods = 1U << rows[i].method;
        mpq_clear(request.offset);
        test_mpq_init(request.offset, rows[i].offset);
        assert_int_equal(cc_head_read(&head, profile, strlen(profile), "made", "made", NULL), CC_OK);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, NULL), CC_OK);
        cc_plan_error_range(range, &plan, &request);
        test_mpq_equal("range", range, rows[i].range);
        mpq_clear(range);
        cc_plan_clear(&plan);
        cc_request_clear(&request);
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
}

/* By the direct plate what that holds counts, whatever the method is called: the worm is out of mesh. */
static void holds_by_plan(void **state)
{
    static const char both[] = "[head]\nworm = 40\n[direct]\nholes = 24\n[plate A]\nside 1 = 20\n"
                               "[accuracy]\nworm = 20s\ndirect = 30s\n";
    static const enum cc_method methods[] = { CC_DIRECT, CC_PLAIN, CC_NEAREST_HOLE };
    struct cc_head head;
    struct cc_plan plan;
    (void)state;

    cc_head_init(&head);
    cc_plan_init(&plan);
    assert_int_equal(cc_head_read(&head, both, sizeof both - 1, "made", "made", NULL), CC_OK);
    for (size_t i = 0; i < sizeof methods / sizeof methods[0]; i++) {
        plan.method = methods[i];
        plan.side = 0;
        test_mpq_equal("by the direct plate", cc_plan_holds(&plan, &head), "1/43200");
        plan.side = 1;
        test_mpq_equal("by the worm", cc_plan_holds(&plan, &head), "1/64800");
    }
    head.has_direct_accuracy = head.has_worm_accuracy = false;
    assert_null(cc_plan_holds(&plan, &head));
    plan.side = 0;
    assert_null(cc_plan_holds(&plan, &head));
    cc_plan_clear(&plan);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(ranges), cmocka_unit_test(holds_by_plan) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
