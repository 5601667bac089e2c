/* fuzz_rational.c: counts and rationals; what is printed reads back as the same number. */
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size), out[512];
    struct cc_error err;
    mpq_t value, again;
    mpz_t count;

    mpq_init(value);
    mpq_init(again);
    mpz_init(count);
    enum cc_status s = cc_rational_parse(value, text, &err);
    if (s != CC_OK) {
        fuzz_check_error(&err, s);
        FUZZ_HOLDS(mpq_sgn(value) == 0);        /* as it was */
    } else if (cc_rational_str(out, sizeof out, value) < sizeof out) {
        FUZZ_HOLDS(cc_rational_parse(again, out, &err) == CC_OK && mpq_equal(value, again));
        cc_decimal_str(out, sizeof out, value, 9);
        cc_decimal_short_str(out, sizeof out, value, 9);
        cc_rational_round(count, value);
    }
    s = cc_count_parse(count, text, &err);
    if (s != CC_OK)
        fuzz_check_error(&err, s);
    else
        FUZZ_HOLDS(mpz_sgn(count) >= 0);
    mpz_clear(count);
    mpq_clear(again);
    mpq_clear(value);
    free(text);
    return 0;
}
