/* readings.c: see readings.h. */
#include "cli/out/readings.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"

void dial_part(mpq_t revolutions, const struct cc_plan *plan)
{
    mpq_set_ui(revolutions, 1, 1);
    cc_set_u64(mpq_denref(revolutions), plan->unit);
    mpq_div(revolutions, revolutions, plan->ratio);
}

void dial_space(mpq_t revolutions, const struct cc_plan *plan)
{
    mpq_set_ui(revolutions, 1, plan->dial.lines);
    mpq_div(revolutions, revolutions, plan->ratio);
}

static bool whole_seconds(unsigned long *seconds, const mpq_t revolutions)
{
    mpq_t arcsec;

    mpq_init(arcsec);
    cc_angle_arcsec(arcsec, revolutions);
    bool whole = mpz_cmp_ui(mpq_denref(arcsec), 1) == 0;
    *seconds = mpz_get_ui(mpq_numref(arcsec));
    mpq_clear(arcsec);
    return whole;
}

void plain_angle_words(char *buf, size_t size, const mpq_t revolutions)
{
    unsigned long seconds;

    if (!whole_seconds(&seconds, revolutions)) {
        cc_angle_error_str(buf, size, revolutions, 2, CC_MARKS_UTF8);
        return;
    }
    char degrees[40] = "", minutes[16] = "", rest[16] = "";
    if (seconds >= 3600)
        snprintf(degrees, sizeof degrees, "%lu°", seconds / 3600);
    if (seconds / 60 % 60 > 0)
        snprintf(minutes, sizeof minutes, "%lu′", seconds / 60 % 60);
    if (seconds % 60 > 0 || seconds == 0)
        snprintf(rest, sizeof rest, "%lu″", seconds % 60);
    snprintf(buf, size, "%s%s%s", degrees, minutes, rest);
}

/* Degrees and minutes of so many seconds; the seconds too where they are wanted. */
static void marks_words(char *buf, size_t size, unsigned long seconds, bool with_seconds)
{
    if (with_seconds)
        snprintf(buf, size, "%lu°%02lu′%02lu″", seconds / 3600, seconds / 60 % 60, seconds % 60);
    else
        snprintf(buf, size, "%lu°%02lu′", seconds / 3600, seconds / 60 % 60);
}

/* Seconds of the spindle in one space; a dial numbered in angles has whole ones (profile.c). */
static unsigned long space_seconds(const struct cc_plan *plan)
{
    unsigned long seconds;
    mpq_t space;

    mpq_init(space);
    dial_space(space, plan);
    (void)whole_seconds(&seconds, space);
    mpq_clear(space);
    return seconds;
}

void dial_line_words(char *buf, size_t size, const struct cc_plan *plan, uint64_t line)
{
    unsigned long space;

    if (plan->dial.numbered == CC_NUMBERED_LINES) {
        snprintf(buf, size, "%" PRIu64, line);
        return;
    }
    space = space_seconds(plan);
    marks_words(buf, size, (unsigned long)line * space, space % 60 != 0);
}

void dial_part_words(char *buf, size_t size, const struct cc_plan *plan, unsigned vernier, unsigned eye)
{
    unsigned by_eye = cc_plan_by_eye(plan);

    buf[0] = '\0';
    if (plan->dial.vernier > 1 && eye > 0)
        snprintf(buf, size, "%u %u/%u", vernier, eye, by_eye);
    else if (plan->dial.vernier > 1)
        snprintf(buf, size, "%u", vernier);
    else if (eye > 0)
        snprintf(buf, size, "%u/%u", eye, by_eye);
}

void dial_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_dial_reading *reading)
{
    char line[64], part[64];

    dial_line_words(line, sizeof line, plan, reading->line);
    dial_part_words(part, sizeof part, plan, reading->vernier, reading->eye);
    snprintf(buf, size, "%s%s%s", line, part[0] == '\0' ? "" : plan->dial.vernier > 1 ? " v" : " +", part);
}

void dial_amount_words(char *buf, size_t size, const struct cc_plan *plan, uint64_t parts)
{
    uint64_t in_space = plan->unit / plan->dial.lines, line = parts / in_space, over = parts % in_space;
    char whole[64];
    unsigned long seconds = 0;
    mpq_t amount;

    mpq_init(amount);
    dial_part(amount, plan);
    bool by_seconds = plan->dial.numbered == CC_NUMBERED_ANGLE && whole_seconds(&seconds, amount);
    mpq_clear(amount);
    if (by_seconds) {
        marks_words(buf, size, seconds * (unsigned long)parts, in_space > 1 || space_seconds(plan) % 60 != 0);
        return;
    }
    dial_line_words(whole, sizeof whole, plan, line);
    snprintf(buf, size, "%s", whole);
    size_t used = strlen(buf);
    if (over > 0 && used < size)
        used += (size_t)snprintf(buf + used, size - used, " %" PRIu64 "/%" PRIu64, over, in_space);
    if (plan->dial.numbered == CC_NUMBERED_LINES && used < size)
        snprintf(buf + used, size - used, line == 1 && over == 0 ? " line" : " lines");
}

/* rim * scale to the nearest whole number, which goes round at turn. */
static unsigned long rim_units(const mpq_t rim, unsigned long num, unsigned long den, unsigned long turn)
{
    mpq_t units;
    mpz_t whole;

    mpq_init(units);
    mpz_init(whole);
    cc_rational_times(units, rim, num, den);
    cc_rational_round(whole, units);
    unsigned long n = mpz_get_ui(whole) % turn;
    mpz_clear(whole);
    mpq_clear(units);
    return n;
}

void rim_words(char *buf, size_t size, const struct cc_rim *rim, const struct cc_dial_reading *reading)
{
    unsigned long parts = (unsigned long)rim->lines * rim->vernier;

    if (rim->vernier == 1) {
        unsigned long tenths = rim_units(reading->rim, 10, 1, 3600);
        snprintf(buf, size, "%lu.%lu°", tenths / 10, tenths % 10);
        return;
    }
    unsigned long at = rim_units(reading->rim, parts, 360, parts);
    bool whole = (uint64_t)CC_ARCSEC_PER_REV % parts == 0 && CC_ARCSEC_PER_REV / parts % 60 == 0;
    mpq_t angle;
    mpq_init(angle);
    mpq_set_ui(angle, at, parts);
    mpq_canonicalize(angle);
    unsigned long seconds;
    if (whole && whole_seconds(&seconds, angle))
        marks_words(buf, size, seconds, false);
    else
        cc_angle_dms_str(buf, size, angle, 0, CC_MARKS_UTF8);
    mpq_clear(angle);
}
