/* quantities.c: see quantities.h. */
#include "cli/out/quantities.h"

#include <stdio.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"

double in_unit(double mm, enum cc_unit unit)
{
    return unit == CC_INCH ? mm / 25.4 : mm;
}

void in_unit_exact(mpq_t value, const mpq_t mm, enum cc_unit unit)
{
    cc_rational_times(value, mm, unit == CC_INCH ? 5 : 1, unit == CC_INCH ? 127 : 1);
}

const char *fixed_text(char *buf, size_t size, double value, unsigned decimals)
{
    snprintf(buf, size, "%.*f", (int)decimals, value);
    if (buf[0] == '-' && strspn(buf + 1, "0.") == strlen(buf + 1))
        memmove(buf, buf + 1, strlen(buf));
    return buf;
}

static unsigned length_decimals(enum cc_unit unit)
{
    return unit == CC_INCH ? 4 : 3;
}

bool length_shows(const mpq_t mm, enum cc_unit unit)
{
    unsigned long halves = 2;       /* of the last decimal in a unit */
    mpq_t value;

    for (unsigned i = 0; i < length_decimals(unit); i++)
        halves *= 10;
    mpq_init(value);
    in_unit_exact(value, mm, unit);
    mpq_abs(value, value);
    bool shows = mpq_cmp_ui(value, 1, halves) >= 0;
    mpq_clear(value);
    return shows;
}

const char *length_text(char *buf, const mpq_t mm, enum cc_unit unit)
{
    char number[QUANTITY_SIZE - 8];

    cc_length_str(number, sizeof number, mm, unit, length_decimals(unit));
    snprintf(buf, QUANTITY_SIZE, "%s %s", number, cc_unit_name(unit));
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
    snprintf(buf, QUANTITY_SIZE, "%s (%s°)", dms, decimal);
    mpq_clear(degrees);
    return buf;
}

const char *arcsec_text(char *buf, double arcsec)
{
    mpq_t revolutions;

    mpq_init(revolutions);
    mpq_set_d(revolutions, arcsec / CC_ARCSEC_PER_REV);
    cc_angle_error_str(buf, QUANTITY_SIZE, revolutions, 1, CC_MARKS_UTF8);
    mpq_clear(revolutions);
    return buf;
}
