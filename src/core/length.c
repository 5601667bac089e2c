/* length.c: lengths in and out; the grammar stands in length.h. */
#include "crankcard/length.h"

#include "core/scan.h"
#include "crankcard/number.h"

static const char what[] = "a length";
static const char right[] = "write 25mm, 0.5in, 1/2in or 1 1/2in";

static const struct {
    const char *mark;
    unsigned long num, den; /* one unit in millimetres */
} units[] = {
    { "mm", 1, 1 },      { "cm", 10, 1 },       { "m", 1000, 1 },
    { "in", 127, 5 },    { "\"", 127, 5 },      { "\xE2\x80\xB3", 127, 5 },
};

static enum cc_status check_reach(const mpq_t mm, const char *text, struct cc_error *err)
{
    if (mpq_cmp_ui(mm, CC_MOST_MM, 1) > 0)
        return cc_fail(err, CC_ELIMIT, "'%.40s' is too large: at most %lu m", text, CC_MOST_MM / 1000);
    if (mpq_sgn(mm) > 0 && mpq_cmp_ui(mm, 1, CC_PARTS_OF_MM) < 0)
        return cc_fail(err, CC_ELIMIT, "'%.40s' is too small: at least 0.000001 mm", text);
    return CC_OK;
}

enum cc_status cc_length_parse(mpq_t mm, const char *text, enum cc_unit bare_unit,
                               struct cc_error *err)
{
    const char *p = cci_skip_blanks(text);
    bool negative = cci_take_sign(&p), plain;
    enum cc_status s;
    mpq_t tmp;

    mpq_init(tmp);
    s = cci_take_number(tmp, &plain, &p, text, what, err);
    if (s == CC_OK) {
        size_t u, count = sizeof units / sizeof units[0];
        p = cci_skip_blanks(p);
        for (u = 0; u < count; u++) {
            const char *at = p;
            if (cci_take(&at, units[u].mark) && *cci_skip_blanks(at) == '\0')
                break;
        }
        if (u < count)
            cc_rational_times(tmp, tmp, units[u].num, units[u].den);
        else if (*p != '\0')
            s = cci_refuse(err, text, what, p, right);
        else if (bare_unit == CC_INCH)
            cc_rational_times(tmp, tmp, 127, 5);
    }
    if (s == CC_OK)
        s = check_reach(tmp, text, err);
    if (s == CC_OK) {
        if (negative)
            mpq_neg(tmp, tmp);
        mpq_swap(mm, tmp);
    }
    mpq_clear(tmp);
    return s;
}

size_t cc_length_str(char *buf, size_t size, const mpq_t mm, enum cc_unit unit, unsigned decimals)
{
    mpq_t value;
    size_t n;

    mpq_init(value);
    mpq_set(value, mm);
    if (unit == CC_INCH)
        cc_rational_times(value, value, 5, 127);
    n = cc_decimal_str(buf, size, value, decimals);
    mpq_clear(value);
    return n;
}

void cc_length_angle(mpq_t angle, const mpq_t length, const mpq_t radius)
{
    mpq_t round;        /* 2 pi radius */

    mpq_init(round);
    mpz_set_str(mpq_numref(round), "314159265358979323846264338327950288419716939937511", 10);
    mpz_ui_pow_ui(mpq_denref(round), 10, 50);
    mpq_canonicalize(round);
    mpq_mul_2exp(round, round, 1);
    mpq_mul(round, round, radius);
    mpq_div(angle, length, round);
    mpq_clear(round);
}

const char *cc_unit_name(enum cc_unit unit)
{
    return unit == CC_INCH ? "in" : "mm";
}
