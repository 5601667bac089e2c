/*
 * check_dial.c: "12 turns 3d25m40s", "2 turns 205 4/6 lines", "12 turns 3d25m v4": whole turns of the crank and a part of one
 * more, which the dial shows as an angle of the spindle or as its lines; v counts parts of its vernier.
 */
#include "plan/check_dial.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/scan.h"
#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "plan/search.h"

#define MOST_BITS 40        /* above and below the line of a part: finer than any dial */

static const char right[] = "write whole turns and what the dial goes on by, as in 12 turns 3d25m40s or 2 turns 35 lines";

/* ---- reading ---- */

bool cci_is_dial_notation(const char *text)
{
    static const char *const marks[] = { "turn", "line", "rev", "\xC2\xB0", "\xE2\x80\xB2", "'" };

    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
        if (strstr(text, marks[i]) != NULL)
            return true;
    for (const char *d = strchr(text, 'd'); d != NULL; d = strchr(d + 1, 'd'))
        if (d > text && d[-1] >= '0' && d[-1] <= '9')
            return true;
    return false;
}

/* "12 turns" at the head of it; without the word there are no whole turns. */
static enum cc_status take_turns(int64_t *turns, const char **p, const char *text, struct cc_error *err)
{
    const char *at = *p;
    bool plain;
    mpq_t n;

    *turns = 0;
    if (strstr(text, "turn") == NULL)
        return CC_OK;
    mpq_init(n);
    enum cc_status s = cci_take_number(n, &plain, &at, text, "a movement", err);
    if (s == CC_OK) {
        bool fits = plain && mpz_sizeinbase(mpq_numref(n), 2) <= 30;
        *turns = fits ? cc_get_i64(mpq_numref(n)) : 0;
        at = cci_skip_blanks(at);
        if (!fits || !(cci_take(&at, "turns") || cci_take(&at, "turn")))
            s = cci_refuse(err, text, "a movement", at, right);
    }
    mpq_clear(n);
    at = cci_skip_blanks(at);
    if (s == CC_OK && (cci_take(&at, "and") || *at == ','))
        at = cci_skip_blanks(at + (*at == ','));
    *p = at;
    return s;
}

static bool keep(int64_t *num, int64_t *den, const mpq_t value)
{
    if (mpz_sizeinbase(mpq_numref(value), 2) > MOST_BITS || mpz_sizeinbase(mpq_denref(value), 2) > MOST_BITS)
        return false;
    *num = cc_get_i64(mpq_numref(value));
    *den = cc_get_i64(mpq_denref(value));
    return true;
}

/* " v4" at the end of what is left of a copy: parts of the vernier, cut off. */
static enum cc_status cut_vernier(struct cc_setting *s, char *rest, const char *text, struct cc_error *err)
{
    char *v = strstr(rest, " v");
    enum cc_status status;
    mpq_t parts;

    if (v == NULL)
        return CC_OK;
    mpq_init(parts);
    status = cc_rational_parse(parts, v + 2, NULL);
    if (status != CC_OK || mpq_sgn(parts) < 0 || !keep(&s->part_num, &s->part_den, parts))
        status = cci_refuse(err, text, "a movement", v, right);
    mpq_clear(parts);
    *v = '\0';
    return status;
}

static enum cc_status goes_back(const char *text, struct cc_error *err)
{
    return cc_fail(err, CC_EDOM, "'%.60s' goes back: the dial is come up to forward, as in 12 turns 3d25m40s", text);
}

/* An angle, or a number of lines. */
static enum cc_status read_amount(struct cc_setting *s, char *rest, const char *text, struct cc_error *err)
{
    char *lines = strstr(rest, "line");
    enum cc_status status;
    mpq_t value;

    if (lines != NULL && strcmp(lines, "lines") != 0 && strcmp(lines, "line") != 0)
        return cci_refuse(err, text, "a movement", lines, right);
    if (lines != NULL)
        *lines = '\0';
    else if (!cci_is_dial_notation(rest))       /* a bare number could be either */
        return cci_refuse(err, text, "a movement", rest, right);
    mpq_init(value);
    status = lines != NULL ? cc_rational_parse(value, rest, err) : cc_angle_parse(value, rest, err);
    s->dial = lines != NULL ? CC_DIAL_LINES : CC_DIAL_ANGLE;
    if (status == CC_OK && mpq_sgn(value) < 0)
        status = goes_back(text, err);
    else if (status == CC_OK && !keep(&s->dial_num, &s->dial_den, value))
        status = cc_fail(err, CC_ELIMIT, "'%.60s' has too many digits: no dial is that fine", text);
    mpq_clear(value);
    return status;
}

enum cc_status cci_dial_parse(struct cc_setting *setting, const char *text, struct cc_error *err)
{
    struct cc_setting s = { .train = setting->train, .by_eye = setting->by_eye, .dial = CC_DIAL_ANGLE, .dial_den = 1, .part_den = 1 };
    const char *p = cci_skip_blanks(text);
    char rest[120];

    if (*p == '-')
        return goes_back(text, err);
    enum cc_status status = take_turns(&s.turns, &p, text, err);
    if (status != CC_OK)
        return status;
    size_t length = strlen(p);
    while (length > 0 && (p[length - 1] == ' ' || p[length - 1] == '\t'))
        length--;
    if (length >= sizeof rest)
        return cc_fail(err, CC_ELIMIT, "'%.60s' is too long for a movement", text);
    memcpy(rest, p, length);
    rest[length] = '\0';
    status = cut_vernier(&s, rest, text, err);
    if (status == CC_OK && *cci_skip_blanks(rest) != '\0')
        status = read_amount(&s, rest, text, err);
    if (status == CC_OK)
        *setting = s;
    return status;
}

/* ---- writing ---- */

/* "3°25′40″"; finer than whole seconds as a fraction of a revolution, which reads back to the same. */
static void angle_str(char *buf, size_t size, const mpq_t revolutions)
{
    mpq_t seconds;

    mpq_init(seconds);
    cc_angle_arcsec(seconds, revolutions);
    if (mpz_cmp_ui(mpq_denref(seconds), 1) == 0) {
        cc_angle_dms_str(buf, size, revolutions, 0, CC_MARKS_UTF8);
    } else {
        size_t n = cc_rational_str(buf, size, revolutions);
        snprintf(buf + n, size - n, "rev");
    }
    mpq_clear(seconds);
}

/* "205 2/3": a fraction behind its whole part. */
static void lines_str(char *buf, size_t size, const mpq_t lines)
{
    mpz_t whole, rest;

    mpz_inits(whole, rest, NULL);
    mpz_fdiv_qr(whole, rest, mpq_numref(lines), mpq_denref(lines));
    if (mpz_sgn(rest) == 0)
        gmp_snprintf(buf, size, "%Zd", whole);
    else if (mpz_sgn(whole) == 0)
        gmp_snprintf(buf, size, "%Zd/%Zd", rest, mpq_denref(lines));
    else
        gmp_snprintf(buf, size, "%Zd %Zd/%Zd", whole, rest, mpq_denref(lines));
    mpz_clears(rest, whole, NULL);
}

void cci_dial_str(char *buf, size_t size, const struct cc_setting *s)
{
    char turns[40] = "", amount[80] = "", part[96] = "";
    mpq_t value;

    mpq_init(value);
    if (s->turns != 0)
        snprintf(turns, sizeof turns, "%lld turn%s", (long long)s->turns, s->turns == 1 ? "" : "s");
    cci_set_fraction(value, s->part_num, s->part_den);
    if (s->part_num != 0) {
        lines_str(amount, sizeof amount, value);
        snprintf(part, sizeof part, " v%s", amount);
    }
    cci_set_fraction(value, s->dial_num, s->dial_den);
    if (s->dial_num == 0 && s->part_num == 0 && s->turns != 0) {
        amount[0] = '\0';
    } else if (s->dial == CC_DIAL_ANGLE) {
        angle_str(amount, sizeof amount, value);
    } else {
        lines_str(amount, sizeof amount, value);
    }
    snprintf(buf, size, "%s%s%s%s%s", turns, turns[0] != '\0' && amount[0] != '\0' ? " " : "", amount,
             s->dial != CC_DIAL_LINES || amount[0] == '\0' ? "" : strcmp(amount, "1") == 0 ? " line" : " lines", part);
    mpq_clear(value);
}

/* ---- on a head ---- */

void cci_add_dial(mpq_t crank, const struct cc_setting *s, const struct cc_head *head)
{
    unsigned long lines = head->dial.lines, parts = lines * head->dial.vernier;
    mpq_t part;

    mpq_init(part);
    cci_set_fraction(part, s->dial_num, s->dial_den);
    if (s->dial == CC_DIAL_ANGLE) {
        mpq_mul(part, part, head->worm);
    } else {
        cc_rational_times(part, part, lines > 0 ? 1 : 0, lines > 0 ? lines : 1);
    }
    mpq_add(crank, crank, part);
    if (s->part_num != 0 && lines > 0) {
        cci_set_fraction(part, s->part_num, s->part_den);
        cc_rational_times(part, part, 1, parts);
        mpq_add(crank, crank, part);
    }
    mpq_clear(part);
}

/* A movement by the dial: whole lines of its part, rounded down, as that part is written. */
static bool down_to_line(struct cc_setting *s, mpq_t lines, const struct cc_head *head)
{
    mpz_fdiv_q(mpq_numref(lines), mpq_numref(lines), mpq_denref(lines));
    mpz_set_ui(mpq_denref(lines), s->dial == CC_DIAL_ANGLE ? head->dial.lines : 1);
    mpq_canonicalize(lines);
    if (s->dial == CC_DIAL_ANGLE)
        mpq_div(lines, lines, head->worm);
    return keep(&s->dial_num, &s->dial_den, lines);
}

enum cc_status cci_dial_counts_once(const struct cc_setting *setting, const struct cc_head *head, struct cc_error *err)
{
    struct cc_setting alone = *setting, on_line = *setting;
    char part[160], line[160];
    mpq_t lines;

    if (setting->part_num == 0)
        return CC_OK;
    if (setting->part_num / setting->part_den >= head->dial.vernier)
        return head->dial.vernier == 1 ? cc_fail(err, CC_EDOM, "this dial has no vernier: leave out the v")
                                       : cc_fail(err, CC_EDOM, "the vernier reads a space in %u parts: its v goes from 0 to %u",
                                                 head->dial.vernier, head->dial.vernier - 1);
    alone.turns = on_line.turns = 0;
    alone.part_num = 0;
    mpq_init(lines);
    cci_add_dial(lines, &alone, head);
    mpz_mul_ui(mpq_numref(lines), mpq_numref(lines), head->dial.lines);
    mpq_canonicalize(lines);
    bool good = mpz_cmp_ui(mpq_denref(lines), 1) == 0, kept = good || down_to_line(&on_line, lines, head);
    mpq_clear(lines);
    if (good)
        return CC_OK;
    cci_dial_str(part, sizeof part, &alone);
    cci_dial_str(line, sizeof line, &on_line);
    return cc_fail(err, CC_EDOM, "%s stands between two lines, and v counts from a line: write %s%s%s", part, kept ? line : "",
                   kept ? " or " : "", part);
}

bool cci_dial_fits(char *why, size_t size, const struct cc_setting *s, const struct cc_head *head)
{
    unsigned long parts = (unsigned long)head->dial.lines * head->dial.vernier * (s->by_eye > 1 ? s->by_eye : 1);
    char each[60];
    mpq_t crank, reads;

    if (!cc_head_has_dial(head)) {
        snprintf(why, size, "it has no dial to be read");
        return false;
    }
    mpq_inits(crank, reads, NULL);
    cci_add_dial(crank, s, head);
    mpq_set_ui(reads, parts, 1);
    mpq_mul(crank, crank, reads);
    bool fits = mpz_cmp_ui(mpq_denref(crank), 1) == 0 && mpz_cmp_ui(mpq_numref(crank), parts) < 0;
    mpq_inv(reads, reads);
    mpq_div(reads, reads, head->worm);
    cc_angle_error_str(each, sizeof each, reads, 2, CC_MARKS_UTF8);
    if (mpz_cmp_ui(mpq_denref(crank), 1) != 0)
        snprintf(why, size, "its dial reads every %s, and this falls between two readings", each);
    else if (!fits)
        snprintf(why, size, "the dial's part is a turn or more: write whole turns as turns");
    mpq_clears(reads, crank, NULL);
    return fits;
}

bool cci_dial_more(struct cc_setting *s, const struct cc_head *head, int64_t spaces, int64_t parts)
{
    mpq_t value, more, by;

    mpq_inits(value, more, by, NULL);
    cci_set_fraction(value, s->dial_num, s->dial_den);
    cci_set_fraction(more, spaces * head->dial.vernier + parts, (int64_t)head->dial.lines * head->dial.vernier);
    if (parts != 0 && s->part_num != 0) {       /* v is never written behind part of a line */
        cci_set_fraction(by, s->part_num, s->part_den * head->dial.lines * head->dial.vernier);
        mpq_add(more, more, by);
        s->part_num = 0;
    }
    if (s->dial == CC_DIAL_ANGLE) {
        mpq_div(more, more, head->worm);
    } else {
        mpz_mul_ui(mpq_numref(more), mpq_numref(more), head->dial.lines);
        mpq_canonicalize(more);
    }
    mpq_add(value, value, more);
    bool good = mpq_sgn(value) >= 0 && keep(&s->dial_num, &s->dial_den, value);
    mpq_clears(by, more, value, NULL);
    return good;
}
