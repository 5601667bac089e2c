/* angle.c: angles in and out; the grammar stands in angle.h. */
#include "crankcard/angle.h"

#include <stdio.h>
#include <string.h>

#include "core/scan.h"
#include "core/wide.h"
#include "crankcard/number.h"

static const char what[] = "an angle";
static const char right[] = "write 12.5, 12d30m15s, 12:30:15, 22 1/2, 1/7rev or 50gon";

enum part { DEGREES, MINUTES, SECONDS, REVOLUTIONS, GON, NO_PART };

static const struct {
    const char *mark;
    enum part part;
} marks[] = {
    /* longer marks first; a mark of letters must not run into another letter */
    { "deg", DEGREES },      { "d", DEGREES },      { "\xC2\xB0", DEGREES },        /* ° */
    { "min", MINUTES },      { "m", MINUTES },      { "\xE2\x80\xB2", MINUTES },    /* ′ */
    { "\xE2\x80\x99", MINUTES },                                                     /* ’ */
    { "sec", SECONDS },      { "s", SECONDS },      { "\xE2\x80\xB3", SECONDS },    /* ″ */
    { "\xE2\x80\x9D", SECONDS },                                                     /* ” */
    { "''", SECONDS },       { "\"", SECONDS },     { "'", MINUTES },
    { "rev", REVOLUTIONS },  { "gon", GON },
};

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static enum part take_mark(const char **p)
{
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        const char *at = *p;
        if (!cci_take(&at, marks[i].mark))
            continue;
        if (is_letter(marks[i].mark[0]) && is_letter(*at))
            continue;
        *p = at;
        return marks[i].part;
    }
    return NO_PART;
}

/* One unit of each part, as 1/n of a revolution. */
static unsigned long per_revolution(enum part part)
{
    switch (part) {
    case DEGREES:
        return 360;
    case MINUTES:
        return 21600;
    case SECONDS:
        return CC_ARCSEC_PER_REV;
    case GON:
        return 400;
    default:
        return 1;
    }
}

struct reading {
    mpq_t sum;          /* revolutions so far */
    enum part last;     /* part of the last number, NO_PART before the first */
    bool last_plain;    /* it was a whole number */
};

/* Add number in units of part. */
static enum cc_status add_part(struct reading *r, mpq_t number, enum part part, bool plain,
                               const char *text, struct cc_error *err)
{
    mpq_t unit;

    if (r->last != NO_PART) {
        if (r->last >= SECONDS || part <= r->last || part > SECONDS)
            return cci_refuse(err, text, what, "", right);
        if (!r->last_plain)
            return cc_fail(err, CC_EPARSE,
                           "'%.60s' is not an angle: only its last part may have a fraction", text);
        if (mpq_cmp_ui(number, 60, 1) >= 0)
            return cc_fail(err, CC_EDOM, "'%.60s' is not an angle: %s must be under 60", text,
                           part == MINUTES ? "minutes" : "seconds");
    }
    mpq_init(unit);
    cc_rational_times(unit, number, 1, per_revolution(part));
    mpq_add(r->sum, r->sum, unit);
    mpq_clear(unit);
    r->last = part;
    r->last_plain = plain;
    return CC_OK;
}

/* Numbers divided by ':' after the first, which stands in number. */
static enum cc_status read_colons(struct reading *r, mpq_t number, bool plain, const char **p,
                                  const char *text, struct cc_error *err)
{
    enum cc_status s = add_part(r, number, DEGREES, plain, text, err);

    for (enum part part = MINUTES; s == CC_OK && part <= SECONDS && cci_take(p, ":"); part++) {
        s = cci_take_number(number, &plain, p, text, what, err);
        if (s == CC_OK)
            s = add_part(r, number, part, plain, text, err);
    }
    return s;
}

/*
 * What the number between start and *p counts: by the mark behind it, and *p moves past that; or by the part before
 * it (12d30 goes on with minutes). NO_PART where neither says.
 */
static enum part part_of(const struct reading *r, const char *start, const char **p, bool labelled)
{
    const char *at = labelled ? *p : cci_skip_blanks(*p);
    enum part part = take_mark(&at);

    if (part != NO_PART)
        *p = at;
    else if (r->last < SECONDS && start[-1] != ' ' && start[-1] != '\t')
        part = r->last + 1;     /* 12d30: what follows degrees is minutes */
    return part;
}

/* Whether a further part stands at *p or behind blanks there; *p moves to it. */
static bool part_follows(const struct reading *r, const char **p, bool labelled, const char *text)
{
    const char *at = cci_skip_blanks(*p), *look = at;
    bool plain, follows = r->last < SECONDS && *at >= '0' && *at <= '9';

    if (follows && labelled && at > *p) {
        /* "12° 30′" goes on, "12° 30 holes" has a label: look for a mark behind the number */
        mpq_t number;
        mpq_init(number);
        follows = cci_take_number(number, &plain, &look, text, what, NULL) == CC_OK && take_mark(&look) != NO_PART;
        mpq_clear(number);
    }
    if (follows)
        *p = at;
    return follows;
}

/* Read parts until the text ends, or, with labelled, until a blank that no further part follows. */
static enum cc_status read_parts(struct reading *r, const char **p, bool labelled,
                                 const char *text, struct cc_error *err)
{
    enum cc_status s;
    mpq_t number;
    bool plain, more;

    mpq_init(number);
    do {
        const char *start = *p;
        s = cci_take_number(number, &plain, p, text, what, err);
        if (s != CC_OK)
            break;
        if (r->last == NO_PART && **p == ':') {
            s = read_colons(r, number, plain, p, text, err);
            break;
        }
        enum part part = part_of(r, start, p, labelled);
        bool bare = part == NO_PART && r->last == NO_PART;      /* a number alone is degrees */
        if (part == NO_PART && !bare) {
            *p = start;         /* a number of its own: the caller's label, or a mistake */
            break;
        }
        s = add_part(r, number, bare ? DEGREES : part, plain, text, err);
        more = s == CC_OK && !bare && part_follows(r, p, labelled, text);
    } while (more);
    mpq_clear(number);
    return s;
}

static enum cc_status read_angle(mpq_t revolutions, const char **p, bool labelled,
                                 const char *text, struct cc_error *err)
{
    struct reading r = { .last = NO_PART };
    enum cc_status s;

    *p = cci_skip_blanks(text);
    bool negative = cci_take_sign(p);
    *p = cci_skip_blanks(*p);
    mpq_init(r.sum);
    s = read_parts(&r, p, labelled, text, err);
    if (s == CC_OK) {
        const char *end = cci_skip_blanks(*p);
        if (*end != '\0' && (!labelled || end == *p))
            s = cci_refuse(err, text, what, end, right);
        *p = end;
    }
    if (s == CC_OK) {
        if (negative)
            mpq_neg(r.sum, r.sum);
        mpq_swap(revolutions, r.sum);
    }
    mpq_clear(r.sum);
    return s;
}

enum cc_status cc_angle_parse(mpq_t revolutions, const char *text, struct cc_error *err)
{
    const char *p;
    return read_angle(revolutions, &p, false, text, err);
}

enum cc_status cc_angle_parse_prefix(mpq_t revolutions, const char **rest, const char *text,
                                     struct cc_error *err)
{
    const char *p;
    enum cc_status s = read_angle(revolutions, &p, true, text, err);
    if (s == CC_OK)
        *rest = p;
    return s;
}

void cc_angle_arcsec(mpq_t arcsec, const mpq_t revolutions)
{
    cc_rational_times(arcsec, revolutions, CC_ARCSEC_PER_REV, 1);
}

void cc_angle_degrees(mpq_t degrees, const mpq_t revolutions)
{
    cc_rational_times(degrees, revolutions, 360, 1);
}

/*
 * |angle| rounded once to the last decimal of the second, then split: degrees as text, minutes
 * and the seconds' whole and decimal parts as numbers below 60 and 10^decimals.
 */
struct split {
    char degrees[48];
    unsigned minutes, seconds;
    uint64_t fraction;
    bool negative, exact_zero, long_degrees;
};

/* Room for a split as text: a sign, degrees, and what follows them. */
#define SPLIT_TEXT 96

/* n in digits, at least so many; returns the end. */
static char *put_number(char *at, uint64_t n, unsigned digits)
{
    char reversed[20];
    unsigned have = 0;

    for (; n > 0 || have < digits; n /= 10)
        reversed[have++] = (char)('0' + n % 10);
    while (have > 0)
        *at++ = reversed[--have];
    return at;
}

static char *put_text(char *at, const char *text)
{
    size_t n = strlen(text);
    memcpy(at, text, n);
    return at + n;
}

/* units of 1/per_second second, below a minute's and so on: what is left are degrees. */
static uint64_t split_units(struct split *out, uint64_t units, uint64_t per_second)
{
    uint64_t seconds = units / per_second, minutes = seconds / 60;

    out->fraction = units % per_second;
    out->seconds = (unsigned)(seconds % 60);
    out->minutes = (unsigned)(minutes % 60);
    return minutes / 60;
}

/* In machine integers: fewer than 4096 turns, so below 2^12 * 1 296 000 * 10^9 < 2^63 units. False where it does not fit. */
static bool split_in_words(struct split *out, const mpq_t revolutions, uint64_t per_second)
{
    mpz_srcptr num = mpq_numref(revolutions), den = mpq_denref(revolutions);

    if (mpz_sizeinbase(num, 2) > 62 || mpz_sizeinbase(den, 2) > 62)
        return false;
    uint64_t n = cc_get_u64(num), d = cc_get_u64(den), scale = CC_ARCSEC_PER_REV * per_second, rest;
    if (n / d >> 12 != 0)
        return false;
    uint64_t units = cci_wide_divide(&rest, cci_wide_product(n % d, scale), d) + n / d * scale;
    if (rest >= d - rest)
        units++;
    out->negative = mpz_sgn(num) < 0 && units > 0;
    *put_number(out->degrees, split_units(out, units, per_second), 1) = '\0';
    out->long_degrees = false;
    return true;
}

static void split_by_gmp(struct split *out, const mpq_t revolutions, uint64_t per_second)
{
    mpz_t units, degree;
    mpq_t scaled;

    mpz_init(units);
    mpz_init(degree);
    mpq_init(scaled);
    cc_set_u64(mpq_numref(scaled), CC_ARCSEC_PER_REV * per_second);
    mpq_mul(scaled, scaled, revolutions);
    cc_rational_round(units, scaled);
    out->negative = mpz_sgn(units) < 0;
    mpz_abs(units, units);
    cc_set_u64(degree, 3600 * per_second);
    mpz_fdiv_qr(units, degree, units, degree);
    (void)split_units(out, cc_get_u64(degree), per_second);
    out->long_degrees = mpz_sizeinbase(units, 10) >= sizeof out->degrees;
    if (!out->long_degrees)
        mpz_get_str(out->degrees, 10, units);
    mpq_clear(scaled);
    mpz_clear(degree);
    mpz_clear(units);
}

static void split_angle(struct split *out, const mpq_t revolutions, unsigned decimals)
{
    uint64_t per_second = 1;

    for (unsigned i = 0; i < decimals; i++)
        per_second *= 10;
    out->exact_zero = mpq_sgn(revolutions) == 0;
    if (!split_in_words(out, revolutions, per_second))
        split_by_gmp(out, revolutions, per_second);
}

#define MAX_SECOND_DECIMALS 9

/* text, which ends at end, in the manner of snprintf. */
static size_t give(char *buf, size_t size, const char *text, const char *end)
{
    size_t n = (size_t)(end - text), fits = n < size ? n : size - 1;

    if (size > 0) {
        memcpy(buf, text, fits);
        buf[fits] = '\0';
    }
    return n;
}

/* Degrees of 48 digits and more, which no dial shows: in decimals, with their mark. */
static size_t long_degrees_str(char *buf, size_t size, const mpq_t revolutions, unsigned decimals, const char *mark)
{
    mpq_t degrees;
    size_t n;

    mpq_init(degrees);
    cc_angle_degrees(degrees, revolutions);
    n = cc_decimal_short_str(buf, size, degrees, decimals);
    mpq_clear(degrees);
    int m = snprintf(n < size ? buf + n : NULL, n < size ? size - n : 0, "%s", mark);
    return m < 0 ? n : n + (size_t)m;
}

/* Marks of degrees, minutes and seconds. */
static const char *const signs[][3] = {
    [CC_MARKS_UTF8] = { "\xC2\xB0", "\xE2\x80\xB2", "\xE2\x80\xB3" },
    [CC_MARKS_ASCII] = { "d", "m", "s" },
};

/* "56.842" and its mark: whole seconds in so many digits. */
static char *put_seconds(char *at, const struct split *a, unsigned digits, unsigned decimals, enum cc_marks style)
{
    at = put_number(at, a->seconds, digits);
    if (decimals > 0) {
        *at++ = '.';
        at = put_number(at, a->fraction, decimals);
    }
    return put_text(at, signs[style][2]);
}

/* In full, or of a small angle without the degrees, and minutes, that it has not. */
static size_t angle_str(char *buf, size_t size, const mpq_t revolutions, unsigned decimals, enum cc_marks style, bool in_full)
{
    struct split a;
    char text[SPLIT_TEXT], *at = text;

    if (decimals > MAX_SECOND_DECIMALS)
        decimals = MAX_SECOND_DECIMALS;
    split_angle(&a, revolutions, decimals);
    if (a.long_degrees)
        return long_degrees_str(buf, size, revolutions, decimals, signs[style][0]);
    in_full = in_full || strcmp(a.degrees, "0") != 0;
    bool minutes = in_full || a.minutes != 0;
    if (a.negative)
        *at++ = '-';
    if (in_full)
        at = put_text(put_text(at, a.degrees), signs[style][0]);
    if (minutes)
        at = put_text(put_number(at, a.minutes, in_full ? 2 : 1), signs[style][1]);
    at = put_seconds(at, &a, minutes ? 2 : 1, !in_full && a.exact_zero ? 0 : decimals, style);
    return give(buf, size, text, at);
}

size_t cc_angle_dms_str(char *buf, size_t size, const mpq_t revolutions, unsigned decimals, enum cc_marks style)
{
    return angle_str(buf, size, revolutions, decimals, style, true);
}

size_t cc_angle_error_str(char *buf, size_t size, const mpq_t revolutions, unsigned decimals, enum cc_marks style)
{
    return angle_str(buf, size, revolutions, decimals, style, false);
}
