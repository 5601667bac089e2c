/* fuzz_setting.c: movements in handbook notation; what is printed reads back and moves the same. */
#include "fuzz.h"

static void check_on_head(const struct cc_setting *setting, const char *profile)
{
    struct cc_head head;
    struct cc_check check;
    struct cc_error err;
    mpz_t divisions, block;

    cc_head_init(&head);
    cc_check_init(&check);
    mpz_init_set_ui(divisions, 57);
    mpz_init(block);
    FUZZ_HOLDS(cc_head_read(&head, profile, strlen(profile), "head", "head", &err) == CC_OK);
    enum cc_status s = cc_check_setting(&check, setting, &head, divisions, block, &err);
    if (s != CC_OK)
        fuzz_check_error(&err, s);
    mpz_clear(block);
    mpz_clear(divisions);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size), out[256];
    struct cc_error err;
    struct cc_setting setting = { .turns = 0 }, again = { .turns = 0 };

    enum cc_status s = cc_setting_parse(&setting, text, &err);
    if (s != CC_OK) {
        fuzz_check_error(&err, s);
    } else {
        FUZZ_HOLDS(cc_setting_str(out, sizeof out, &setting) < sizeof out);
        FUZZ_HOLDS(cc_setting_parse(&again, out, &err) == CC_OK);
        /* "0/19" is written "0": a circle is kept only where holes are moved, or a second part needs it. */
        FUZZ_HOLDS(again.circle == setting.circle || (setting.holes == 0 && setting.circle2 == 0));
        FUZZ_HOLDS(again.circle2 == setting.circle2);
        FUZZ_HOLDS(again.turns == setting.turns && again.holes == setting.holes && again.holes2 == setting.holes2);
        FUZZ_HOLDS(again.dial_num == setting.dial_num && again.dial_den == setting.dial_den);
        FUZZ_HOLDS(again.part_num == setting.part_num && again.part_den == setting.part_den);
        check_on_head(&setting, cc_default_profile);
        check_on_head(&setting, "[head]\nworm = 90\n[dial]\nlines = 240\nvernier = 6\n");
    }
    free(text);
    return 0;
}
