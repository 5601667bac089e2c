/* test_profile_set.c: one value of a profile replaced, every other byte as it was. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/head.h"
#include "crankcard/profile_set.h"

static void rows_of_text(void **state)
{
    (void)state;
    static const struct {
        const char *before, *after;
    } rows[] = {
        { "", "[accuracy]\nworm = 41.3s\n" },
        { "[head]\nworm = 40", "[head]\nworm = 40\n\n[accuracy]\nworm = 41.3s\n" },
        { "[head]\nworm = 40\n", "[head]\nworm = 40\n\n[accuracy]\nworm = 41.3s\n" },
        { "[accuracy]", "[accuracy]\nworm = 41.3s\n" },
        { "[accuracy]\nworm = 1'  ; guessed\ndirect = 5'\n", "[accuracy]\nworm = 41.3s\ndirect = 5'\n" },
        { "[accuracy]\r\n  worm: 1'\r\n; keep\r\n", "[accuracy]\r\nworm = 41.3s\r\n; keep\r\n" },
        { "[head]\r\nworm = 40\r\n", "[head]\r\nworm = 40\r\n\r\n[accuracy]\r\nworm = 41.3s\r\n" },
        { "[head]\r\nworm = 40", "[head]\r\nworm = 40\r\n\r\n[accuracy]\r\nworm = 41.3s\r\n" },
        { "[head]\r\nworm = 40\r\n[accuracy]", "[head]\r\nworm = 40\r\n[accuracy]\r\nworm = 41.3s\r\n" },
        { "\n[head]\r\nworm = 40\r\n", "\n[head]\r\nworm = 40\r\n\n[accuracy]\nworm = 41.3s\n" },
        { " [accuracy] ; what it holds\ndirect = 5'\n[head]\nworm = 40\n",
          " [accuracy] ; what it holds\nworm = 41.3s\ndirect = 5'\n[head]\nworm = 40\n" },
        { "; [accuracy]\n[head]\nworm = 40\n[accuracy]\n", "; [accuracy]\n[head]\nworm = 40\n[accuracy]\nworm = 41.3s\n" },
        { "[accuracy]\nworms = 2\nworm = 1'", "[accuracy]\nworms = 2\nworm = 41.3s\n" },
        { "\xEF\xBB\xBF[accuracy]\nworm = 1'\n", "\xEF\xBB\xBF[accuracy]\nworm = 41.3s\n" },
        { "[accuracy]\nwarm = 2\nworm\nworm\r = 1'\n", "[accuracy]\nwarm = 2\nworm\nworm = 41.3s\n" },
        { "[accuracy]\nworm\ndirect = 5'\n", "[accuracy]\nworm = 41.3s\nworm\ndirect = 5'\n" },
        { "[ accuracy ]\n", "[ accuracy ]\nworm = 41.3s\n" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char buf[200], small[5];
        size_t length = strlen(rows[i].before);
        size_t n = cc_profile_set(buf, sizeof buf, rows[i].before, length, "accuracy", "worm", "41.3s");
        if (strcmp(buf, rows[i].after) != 0 || n != strlen(rows[i].after))
            fail_msg("row %zu: '%s'", i, buf);
        assert_int_equal(cc_profile_set(NULL, 0, rows[i].before, length, "accuracy", "worm", "41.3s"), n);
        assert_int_equal(cc_profile_set(small, sizeof small, rows[i].before, length, "accuracy", "worm", "41.3s"), n);
        assert_int_equal(strlen(small), 4);
        assert_memory_equal(small, rows[i].after, 4);
    }
}

/* The built-in profile, written to and read back: the accuracy is there and nothing else has changed. */
static void read_back(void **state)
{
    (void)state;
    static const char *const keys[] = { "worm", "direct" };

    for (int direct = 0; direct < 2; direct++) {
        char buf[4000];
        struct cc_head head, was;
        struct cc_error err;
        size_t n = cc_profile_set(buf, sizeof buf, cc_default_profile, strlen(cc_default_profile),
                                  "accuracy", keys[direct], "41.3s");
        assert_true(n < sizeof buf);
        cc_head_init(&head);
        cc_head_init(&was);
        if (cc_head_read(&head, buf, n, "x", "x.ini", &err) != CC_OK)
            fail_msg("%s", err.text);
        assert_int_equal(cc_head_default(&was, &err), CC_OK);
        assert_non_null(cc_head_holds(&head, direct));
        assert_int_equal(mpq_cmp_ui(cc_head_holds(&head, direct), 413, 12960000), 0);
        assert_int_equal(test_circle_count(&head), test_circle_count(&was));
        assert_true(mpq_equal(head.worm, was.worm));
        cc_head_clear(&was);
        cc_head_clear(&head);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_of_text),
        cmocka_unit_test(read_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
