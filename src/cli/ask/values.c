/* values.c: see values.h. */
#include "cli/ask/values.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/number.h"

bool value_u64(uint64_t *value, const char *text, const char *what, uint64_t low, uint64_t high, struct cc_error *err)
{
    mpz_t number;
    bool good;

    mpz_init(number);
    good = cc_count_parse(number, text, NULL) == CC_OK && mpz_sizeinbase(number, 2) <= 64 &&
           cc_get_u64(number) >= low && cc_get_u64(number) <= high;
    if (good)
        *value = cc_get_u64(number);
    else
        cc_fail(err, CC_EPARSE, "%s: '%.40s' is not a whole number from %" PRIu64 " to %" PRIu64, what, text, low,
                high);
    mpz_clear(number);
    return good;
}

bool value_number(unsigned long *value, const char *text, const char *what, unsigned long low,
                 unsigned long high, struct cc_error *err)
{
    uint64_t number;

    if (!value_u64(&number, text, what, low, high, err))
        return false;
    *value = (unsigned long)number;
    return true;
}

bool value_count(mpz_t count, const char *text, const char *what, struct cc_error *err)
{
    static const char right[] = "a count is a whole number, 1 or more, in digits";

    if (cc_count_parse(count, text, err) == CC_ELIMIT)
        return false;
    if (err->text[0] != '\0') {
        cc_fail(err, CC_EPARSE, "'%.40s' is not a count of %s: %s", text, what, right);
        return false;
    }
    if (mpz_sgn(count) > 0)
        return true;
    cc_fail(err, CC_EDOM, "'%.40s' is not a count of %s: %s", text, what, right);
    return false;
}

bool value_teeth(unsigned teeth[CC_MAX_PAIRS], unsigned *count, const char *text, const char *what, struct cc_error *err)
{
    char word[16];

    *count = 0;
    for (const char *p = text;; p++) {
        size_t n = strcspn(p, ",");
        unsigned long value;
        snprintf(word, sizeof word, "%.*s", (int)(n < 15 ? n : 15), p);
        if (*count == CC_MAX_PAIRS) {
            cc_fail(err, CC_ELIMIT, "%s: '%.40s' is more than %d gears", what, text, CC_MAX_PAIRS);
            return false;
        }
        if (!value_number(&value, word, what, CC_MIN_TEETH, CC_MAX_TEETH, err))
            return false;
        teeth[(*count)++] = (unsigned)value;
        p += n;
        if (*p == '\0')
            return true;
    }
}
