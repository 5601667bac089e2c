/*
 * test_hand_words.c: what the program tells the hands: the parts of a movement in the order in which they are made. The
 * part that goes back comes first, so that the last movement is forward and takes up the backlash (common practice).
 */
#include "support.h"

#include <string.h>

#include "cli/keep/hands.h"
#include "cli/out/words.h"

static void set_plan(struct cc_plan *plan, unsigned side, unsigned circle, unsigned circle2, uint64_t unit)
{
    cc_plan_init(plan);
    plan->side = side;
    plan->circle = circle;
    plan->circle2 = circle2;
    plan->unit = unit;
}

static void parts_of_a_movement(void **state)
{
    static const struct {
        unsigned side, circle, circle2;
        uint64_t unit;
        struct cc_step step;
        const char *first, *second, *caution;   /* NULL: no such part */
    } rows[] = {
        { 1, 49, 0, 49, { .turns = 5, .holes = 35 }, "crank 5 turns and 35 holes of 49", NULL, "" },
        { 1, 49, 0, 49, { .step = 1, .holes = 35, .larger = true }, "crank 35 holes of 49", NULL,
          "One hole further than the far sector arm." },
        { 1, 49, 0, 49, { .turns = 0 }, NULL, NULL, "" },
        { 1, 49, 0, 49, { .turns = -2, .holes = -3 }, "crank back 2 turns and 3 holes of 49", NULL,
          "Going back: pass the hole by half a turn or more, then come forward into it." },
        { 1, 49, 0, 49, { .step = 1, .holes = -3, .larger = true }, "crank back 3 holes of 49", NULL,
          "Going back: pass the hole by half a turn or more, then come forward into it." },
        /* two pins */
        { 1, 19, 15, 285, { .holes = 7, .holes2 = 5 }, "crank 7 holes of 19", "plate 5 holes of 15", "" },
        { 1, 39, 49, 1911, { .holes = 10, .holes2 = -10 }, "plate back 10 holes of 49", "crank 10 holes of 39", "" },
        { 1, 23, 33, 759, { .holes = -2, .holes2 = 22 }, "crank back 2 holes of 23", "plate 22 holes of 33", "" },
        { 1, 23, 33, 759, { .holes = -2, .holes2 = -3 }, "crank back 2 holes of 23", "plate back 3 holes of 33",
          "Going back: pass the hole by half a turn or more, then come forward into it." },
        { 1, 19, 15, 285, { .holes2 = 5 }, "plate 5 holes of 15", NULL, "" },
        { 1, 19, 15, 285, { .step = 1, .turns = 1, .larger = true }, "crank 1 turn", NULL, "" },
        /* spindle by hand, and a fixture's pins */
        { 0, 24, 0, 24, { .holes = 5 }, "turn the spindle 5 holes of 24", NULL, "" },
        { 0, 24, 0, 24, { .step = 1, .holes = -5, .larger = true }, "turn the spindle back 5 holes of 24", NULL, "" },
        { 0, 36, 360, 360, { .holes = 4, .holes2 = 3, .hole2 = 3 }, "turn the spindle 4 holes of 36", "use pin 3", "" },
        { 0, 36, 360, 360, { .holes2 = -1, .hole2 = 2 }, "use pin 2", NULL, "" },
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_plan plan;
        struct hand_move moves[2];
        char text[200];
        set_plan(&plan, rows[i].side, rows[i].circle, rows[i].circle2, rows[i].unit);
        const char *const want[] = { rows[i].first, rows[i].second };
        unsigned n = hand_moves(moves, &plan, &rows[i].step);
        assert_int_equal(n, (rows[i].first != NULL) + (rows[i].second != NULL));
        for (unsigned k = 0; k < n; k++) {
            hand_words(text, sizeof text, &moves[k]);
            if (strcmp(text, want[k]) != 0)
                fail_msg("row %zu, part %u: '%s', not '%s'", i, k, text, want[k]);
        }
        caution_words(text, sizeof text, &plan, &rows[i].step);
        if (strcmp(text, rows[i].caution) != 0)
            fail_msg("row %zu: caution '%s'", i, text);
        cc_plan_clear(&plan);
    }
}

/* The arms stand at the larger movement where it is the commoner: two of three. */
static void short_of_the_arm(void **state)
{
    const struct cc_step larger = { .step = 1, .holes = 35, .larger = true }, smaller = { .step = 2, .holes = 34 };
    struct cc_plan plan;
    char text[200];

    (void)state;
    set_plan(&plan, 1, 49, 0, 49);
    plan.steps = 3;
    plan.larger = 2;
    caution_words(text, sizeof text, &plan, &larger);
    assert_string_equal(text, "");
    caution_words(text, sizeof text, &plan, &smaller);
    assert_string_equal(text, "One hole short of the far sector arm.");
    cc_plan_clear(&plan);
}

static void where_the_pins_stand(void **state)
{
    static const struct {
        unsigned side, circle, circle2;
        uint64_t unit;
        const char *want;
    } rows[] = {
        { 1, 49, 0, 49, "hole 7 of the 49 circle" },
        { 0, 24, 0, 24, "hole 7 of the 24 circle" },
        { 1, 19, 15, 285, "hole 7 of the 19 circle, plate carried 5 of 15" },
        { 0, 36, 360, 360, "hole 7, pin 5" },
    };
    mpq_t turns;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_plan plan;
        char text[200];
        set_plan(&plan, rows[i].side, rows[i].circle, rows[i].circle2, rows[i].unit);
        pins_words(text, sizeof text, &plan, 7, 5);
        assert_string_equal(text, rows[i].want);
        cc_plan_clear(&plan);
    }
    test_mpq_init(turns, "-9/4");       /* a quarter short of a whole number of turns: 270 degrees */
    char text[60];
    spindle_words(text, sizeof text, turns);
    assert_string_equal(text, "270\xC2\xB0" "00\xE2\x80\xB2" "00\xE2\x80\xB3");
    mpq_clear(turns);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(parts_of_a_movement), cmocka_unit_test(short_of_the_arm), cmocka_unit_test(where_the_pins_stand) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
