/*
 * test_way.c: which way forward is and which way positions follow each other, worked out with a disc of paper.
 *
 * A disc marked like a clock face turns clockwise under a pencil that stays at the top. When it has turned by one hour,
 * what lies under the pencil is the 11: the marks that follow each other are 12, 11, 10, counter-clockwise on the
 * disc. So positions follow each other against the way the work turns.
 */
#include "crankcard/way.h"
#include "support.h"

#define NO CC_WAY_UNKNOWN
#define CW CC_CLOCKWISE
#define CCW CC_COUNTER

static void table(void **state)
{
    static const struct {
        unsigned side;              /* 0: the direct plate, turned by hand */
        enum cc_spindle spindle;    /* with the crank clockwise */
        enum cc_way asked, positions, forward;
    } rows[] = {
        /* The spindle goes with the crank: crank clockwise, work clockwise, positions counter-clockwise. */
        { 1, CC_SPINDLE_WITH, NO, CCW, CW },
        { 1, CC_SPINDLE_WITH, CCW, CCW, CW },
        { 1, CC_SPINDLE_WITH, CW, CW, CCW },
        /* Against it: crank clockwise, work counter-clockwise, positions clockwise. */
        { 1, CC_SPINDLE_AGAINST, NO, CW, CW },
        { 1, CC_SPINDLE_AGAINST, CW, CW, CW },
        { 1, CC_SPINDLE_AGAINST, CCW, CCW, CCW },
        /* Nobody knows: what is asked for holds for the work, but not how to get it. */
        { 1, CC_SPINDLE_UNKNOWN, NO, NO, CW },
        { 1, CC_SPINDLE_UNKNOWN, CW, CW, NO },
        { 1, CC_SPINDLE_UNKNOWN, CCW, CCW, NO },
        /* By hand the spindle is what turns, however the worm is cut. */
        { 0, CC_SPINDLE_AGAINST, NO, CCW, CW },
        { 0, CC_SPINDLE_WITH, NO, CCW, CW },
        { 0, CC_SPINDLE_UNKNOWN, NO, CCW, CW },
        { 0, CC_SPINDLE_UNKNOWN, CCW, CCW, CW },
        { 0, CC_SPINDLE_AGAINST, CW, CW, CCW },
    };
    struct cc_head head;
    struct cc_plan plan;
    (void)state;

    cc_head_init(&head);
    cc_plan_init(&plan);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        plan.side = rows[i].side;
        head.spindle = rows[i].spindle;
        if (cc_way_of_positions(&plan, &head, rows[i].asked) != rows[i].positions)
            fail_msg("row %zu: positions", i);
        if (cc_way_of_forward(&plan, &head, rows[i].asked) != rows[i].forward)
            fail_msg("row %zu: forward", i);
    }
    cc_plan_clear(&plan);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(table) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
