/* fuzz_angle.c: angles, alone and before a label; degrees as a fraction read back as the same angle. */
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size), out[512];
    const char *rest = NULL;
    struct cc_error err;
    mpq_t angle, again;

    mpq_init(angle);
    mpq_init(again);
    enum cc_status s = cc_angle_parse(angle, text, &err);
    if (s != CC_OK) {
        fuzz_check_error(&err, s);
        FUZZ_HOLDS(mpq_sgn(angle) == 0);
    } else {
        cc_angle_degrees(again, angle);
        if (cc_rational_str(out, sizeof out, again) < sizeof out)
            FUZZ_HOLDS(cc_angle_parse(again, out, &err) == CC_OK && mpq_equal(angle, again));
        cc_angle_dms_str(out, sizeof out, angle, 3, CC_MARKS_UTF8);
        cc_angle_error_str(out, sizeof out, angle, 2, CC_MARKS_ASCII);
    }
    s = cc_angle_parse_prefix(again, &rest, text, &err);
    if (s != CC_OK)
        fuzz_check_error(&err, s);
    else
        FUZZ_HOLDS(rest >= text && rest <= text + strlen(text));
    mpq_clear(again);
    mpq_clear(angle);
    free(text);
    return 0;
}
