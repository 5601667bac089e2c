/* fuzz_length.c: lengths; what is printed as a fraction of a millimetre reads back. */
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size), out[512];
    struct cc_error err;
    mpq_t mm, again;

    mpq_init(mm);
    mpq_init(again);
    enum cc_status s = cc_length_parse(mm, text, CC_INCH, &err);
    if (s != CC_OK) {
        fuzz_check_error(&err, s);
        FUZZ_HOLDS(mpq_sgn(mm) == 0);
    } else {
        if (cc_rational_str(out, sizeof out, mm) < sizeof out)
            FUZZ_HOLDS(cc_length_parse(again, out, CC_MM, &err) == CC_OK && mpq_equal(mm, again));
        cc_length_str(out, sizeof out, mm, CC_INCH, 4);
    }
    mpq_clear(again);
    mpq_clear(mm);
    free(text);
    return 0;
}
