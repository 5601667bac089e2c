/* Movements in handbook notation: what is written is read back as the same movement of the same pins. */
#include <stdlib.h>

#include "crankcard/check.h"
#include "support.h"

static const char *const notes[] = {
    "2 14/21", "7/19+5/15", "10/39-10/49", "4", "-3", "1 7/39+29/41",
    /* nothing in the first circle: the second part stays the plate's */
    "4 0/19+5/15", "0/19-5/15", "-4 0/19+5/15",
};

static void written_and_read(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof notes / sizeof notes[0]; i++) {
        struct cc_setting setting = { .turns = 0 }, again = { .turns = 0 };
        struct cc_error err;
        char text[100];

        if (cc_setting_parse(&setting, notes[i], &err) != CC_OK)
            fail_msg("'%s': %s", notes[i], err.text);
        cc_setting_str(text, sizeof text, &setting);
        assert_string_equal(text, notes[i]);
        assert_int_equal(cc_setting_parse(&again, text, &err), CC_OK);
        assert_int_equal(again.turns, setting.turns);
        assert_int_equal(again.holes, setting.holes);
        assert_int_equal(again.circle, setting.circle);
        assert_int_equal(again.holes2, setting.holes2);
        assert_int_equal(again.circle2, setting.circle2);
    }
}

/* The pin cannot go two ways at once, in whichever order it is said; nothing more is nothing. */
static void both_ways(void **state)
{
    struct cc_setting setting = { .turns = 0 };
    struct cc_error err;

    (void)state;
    assert_int_equal(cc_setting_parse(&setting, "10/39-109", &err), CC_EPARSE);
    assert_int_equal(cc_setting_parse(&setting, "-109+10/39", &err), CC_EPARSE);
    assert_int_equal(cc_setting_parse(&setting, "-10/39-2", &err), CC_OK);
    assert_int_equal(setting.turns, -2);
    assert_int_equal(setting.holes, -10);
    assert_int_equal(cc_setting_parse(&setting, "4+0", &err), CC_OK);
    assert_int_equal(setting.turns, 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(written_and_read), cmocka_unit_test(both_ways) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
