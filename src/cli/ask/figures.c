/* figures.c: see figures.h. */
#include "cli/ask/figures.h"

#include <string.h>

static bool named(enum cc_status status, const struct args *args, struct cc_error *err)
{
    if (status != CC_OK)
        cc_fail(err, status, "--%s: %s", args->row->name, err->text);
    return status == CC_OK;
}

bool option_angle(mpq_t revolutions, const struct args *args, struct cc_error *err)
{
    return named(cc_angle_parse(revolutions, args->text, err), args, err);
}

bool length_in_reach(const mpq_t mm, const char *text, struct cc_error *err)
{
    static const unsigned long most_mm = 1000000000;

    if (mpq_cmp_ui(mm, most_mm, 1) <= 0)
        return true;
    cc_fail(err, CC_ELIMIT, "'%.40s' is too large: at most 1000000 m", text);
    return false;
}

static bool option_length(mpq_t mm, const struct args *args, enum cc_unit unit, struct cc_error *err)
{
    enum cc_status s = cc_length_parse(mm, args->text, unit, err);

    if (s == CC_OK && !length_in_reach(mm, args->text, err))
        s = CC_ELIMIT;
    return named(s, args, err);
}

bool option_size(mpq_t mm, const struct args *args, enum cc_unit unit, struct cc_error *err)
{
    if (!option_length(mm, args, unit, err))
        return false;
    if (mpq_cmp_ui(mm, 1, 1000000) >= 0)
        return true;
    if (mpq_sgn(mm) > 0)
        cc_fail(err, CC_EDOM, "--%s: '%.40s' is too small: at least 0.000001 mm", args->row->name, args->text);
    else
        cc_fail(err, CC_EDOM, "--%s: '%.40s' must be greater than 0", args->row->name, args->text);
    return false;
}

double in_unit(double mm, enum cc_unit unit)
{
    return unit == CC_INCH ? mm / 25.4 : mm;
}

void in_unit_exact(mpq_t value, const mpq_t mm, enum cc_unit unit)
{
    static const unsigned long inch_num = 127, inch_den = 5;    /* mm */
    mpq_t size;

    mpq_init(size);
    if (unit == CC_INCH)
        mpq_set_ui(size, inch_num, inch_den);
    else
        mpq_set_ui(size, 1, 1);
    mpq_div(value, mm, size);
    mpq_clear(size);
}

const char *fixed_text(char *buf, size_t size, double value, unsigned decimals)
{
    snprintf(buf, size, "%.*f", (int)decimals, value);
    if (buf[0] == '-' && strspn(buf + 1, "0.") == strlen(buf + 1))
        memmove(buf, buf + 1, strlen(buf));
    return buf;
}

const char *length_text(char *buf, const mpq_t mm, enum cc_unit unit)
{
    char number[FIGURE_SIZE - 8];

    cc_length_str(number, sizeof number, mm, unit, unit == CC_INCH ? 4 : 3);
    snprintf(buf, FIGURE_SIZE, "%s %s", number, cc_unit_name(unit));
    return buf;
}

const char *length_text_d(char *buf, double mm, enum cc_unit unit)
{
    mpq_t exact;

    mpq_init(exact);
    mpq_set_d(exact, mm);
    length_text(buf, exact, unit);
    mpq_clear(exact);
    return buf;
}

const char *angle_text(char *buf, const mpq_t revolutions)
{
    char dms[40], decimal[40];
    mpq_t degrees;

    mpq_init(degrees);
    cc_angle_degrees(degrees, revolutions);
    cc_angle_dms_str(dms, sizeof dms, revolutions, 0, CC_MARKS_UTF8);
    cc_decimal_str(decimal, sizeof decimal, degrees, 4);
    snprintf(buf, FIGURE_SIZE, "%s (%s°)", dms, decimal);
    mpq_clear(degrees);
    return buf;
}

const char *arcsec_text(char *buf, double arcsec)
{
    mpq_t revolutions;

    mpq_init(revolutions);
    mpq_set_d(revolutions, arcsec / CC_ARCSEC_PER_REV);
    cc_angle_error_str(buf, FIGURE_SIZE, revolutions, 1, CC_MARKS_UTF8);
    mpq_clear(revolutions);
    return buf;
}
