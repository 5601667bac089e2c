/*
 * number.c: counts and rationals in and out.
 *
 * GMP's own readers accept blanks inside a number and a zero denominator, so the grammar is
 * matched here first and GMP sees only runs of digits.
 */
#include "crankcard/number.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "core/scan.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static size_t digits_at(const char *p)
{
    size_t n = 0;
    while (is_digit(p[n]))
        n++;
    return n;
}

const char *cci_skip_blanks(const char *p)
{
    while (*p == ' ' || *p == '\t')
        p++;
    return p;
}

bool cci_take(const char **p, const char *word)
{
    size_t n = strlen(word);
    if (strncmp(*p, word, n) != 0)
        return false;
    *p += n;
    return true;
}

bool cci_take_sign(const char **p)
{
    if (cci_take(p, "-") || cci_take(p, "\xE2\x88\x92"))    /* U+2212 MINUS SIGN */
        return true;
    (void)cci_take(p, "+");
    return false;
}

enum cc_status cci_refuse(struct cc_error *err, const char *whole, const char *what, const char *p,
                          const char *right)
{
    if (*p == ',')
        return cc_fail(err, CC_EPARSE, "'%.60s' is not %s: write decimals with '.'", whole, what);
    return cc_fail(err, CC_EPARSE, "'%.60s' is not %s: %s", whole, what, right);
}

/* n digits at p, n >= 1, as a whole number. */
static enum cc_status set_digits(mpz_t out, const char *p, size_t n, struct cc_error *err)
{
    char small[64];
    char *buf = small;

    if (n > CC_MAX_DIGITS)
        return cc_fail(err, CC_ELIMIT, "a number of %zu digits is too long: at most %d digits", n,
                       CC_MAX_DIGITS);
    if (n >= sizeof small && (buf = malloc(n + 1)) == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    memcpy(buf, p, n);
    buf[n] = '\0';
    mpz_set_str(out, buf, 10);      /* base 10 by name: base 0 reads 010 as 8 */
    if (buf != small)
        free(buf);
    return CC_OK;
}

/* One of the vulgar fraction signs that keyboards and spreadsheets produce, added to value; whether one stood at *p. */
static bool add_vulgar(mpq_t value, const char **p)
{
    static const struct {
        const char *sign;
        unsigned long num, den;
    } vulgar[] = {
        { "\xC2\xBD", 1, 2 }, { "\xC2\xBC", 1, 4 }, { "\xC2\xBE", 3, 4 },
    };
    for (size_t i = 0; i < sizeof vulgar / sizeof vulgar[0]; i++) {
        if (cci_take(p, vulgar[i].sign)) {
            mpq_t part;
            mpq_init(part);
            mpq_set_ui(part, vulgar[i].num, vulgar[i].den);
            mpq_add(value, value, part);
            mpq_clear(part);
            return true;
        }
    }
    return false;
}

/* The fraction "n/d" at *p, added to value. The caller has seen that n and '/' stand there. */
static enum cc_status add_fraction(mpq_t value, const char **p, const char *whole,
                                   const char *what, struct cc_error *err)
{
    enum cc_status s;
    size_t n = digits_at(*p), d = digits_at(*p + n + 1);
    mpq_t part;

    if (d == 0)
        return cci_refuse(err, whole, what, *p + n + 1, "digits are missing after '/'");
    mpq_init(part);
    s = set_digits(mpq_numref(part), *p, n, err);
    if (s == CC_OK)
        s = set_digits(mpq_denref(part), *p + n + 1, d, err);
    if (s == CC_OK && mpz_sgn(mpq_denref(part)) == 0)
        s = cc_fail(err, CC_EDOM, "'%.60s' divides by zero", whole);
    if (s == CC_OK) {
        mpq_canonicalize(part);
        mpq_add(value, value, part);
        *p += n + 1 + d;
    }
    mpq_clear(part);
    return s;
}

/* The decimals at *p, '.' first, added to value. The caller has seen a digit behind the point. */
static enum cc_status add_decimals(mpq_t value, const char **p, struct cc_error *err)
{
    size_t n = digits_at(*p + 1);
    mpq_t part;

    mpq_init(part);
    enum cc_status s = set_digits(mpq_numref(part), *p + 1, n, err);
    if (s == CC_OK) {
        mpz_ui_pow_ui(mpq_denref(part), 10, n);
        mpq_canonicalize(part);
        mpq_add(value, value, part);
        *p += 1 + n;
    }
    mpq_clear(part);
    return s;
}

/* Whether a blank and "n/d" stand at p, behind a whole number. */
static bool fraction_follows(const char *p)
{
    const char *next = cci_skip_blanks(p);
    size_t n = digits_at(next);

    return next > p && n > 0 && next[n] == '/' && is_digit(next[n + 1]);
}

/* The number at *p, which begins with n digits or with the point of its decimals, added to value = 0. */
static enum cc_status add_number(mpq_t value, bool *plain, const char **p, size_t n, const char *whole,
                                 const char *what, struct cc_error *err)
{
    enum cc_status s = CC_OK;

    if (n > 0 && (*p)[n] == '/')
        return add_fraction(value, p, whole, what, err);
    if (n > 0)
        s = set_digits(mpq_numref(value), *p, n, err);
    if (s != CC_OK)
        return s;
    *p += n;
    if (**p == '.' && is_digit((*p)[1]))
        return add_decimals(value, p, err);
    if (fraction_follows(*p)) {
        *p = cci_skip_blanks(*p);
        return add_fraction(value, p, whole, what, err);
    }
    *plain = !add_vulgar(value, p);
    return CC_OK;
}

enum cc_status cci_take_number(mpq_t value, bool *plain, const char **p, const char *whole,
                               const char *what, struct cc_error *err)
{
    enum cc_status s = CC_OK;
    const char *at = *p;
    size_t n = digits_at(at);
    mpq_t tmp;

    *plain = false;
    mpq_init(tmp);
    if (n > 0 || (at[0] == '.' && is_digit(at[1])))
        s = add_number(tmp, plain, &at, n, whole, what, err);
    else if (!add_vulgar(tmp, &at))
        s = cci_refuse(err, whole, what, at, *at == '\0' ? "a number is missing" : "a number must stand first");
    if (s == CC_OK) {
        mpq_swap(value, tmp);
        *p = at;
    }
    mpq_clear(tmp);
    return s;
}

enum cc_status cc_count_parse(mpz_t count, const char *text, struct cc_error *err)
{
    size_t n = digits_at(text);

    if (n == 0 || text[n] != '\0')
        return cc_fail(err, CC_EPARSE, "'%.60s' is not a count: write digits only, as in 127", text);
    return set_digits(count, text, n, err);
}

enum cc_status cc_rational_parse(mpq_t value, const char *text, struct cc_error *err)
{
    static const char what[] = "a number";
    const char *p = cci_skip_blanks(text);
    bool negative = cci_take_sign(&p), plain;
    enum cc_status s;
    mpq_t tmp;

    mpq_init(tmp);
    s = cci_take_number(tmp, &plain, &p, text, what, err);
    if (s == CC_OK) {
        p = cci_skip_blanks(p);
        if (*p != '\0')
            s = cci_refuse(err, text, what, p, "write it as 40, 2.5, 77/2 or 22 1/2");
    }
    if (s == CC_OK) {
        if (negative)
            mpq_neg(tmp, tmp);
        mpq_swap(value, tmp);
    }
    mpq_clear(tmp);
    return s;
}

void cc_rational_round(mpz_t whole, const mpq_t value)
{
    mpz_t num, den;

    /* Half away from zero: floor((2|n| + d) / 2d) with the sign put back. */
    mpz_init(num);
    mpz_init(den);
    mpz_abs(num, mpq_numref(value));
    mpz_mul_2exp(num, num, 1);
    mpz_add(num, num, mpq_denref(value));
    mpz_mul_2exp(den, mpq_denref(value), 1);
    int sign = mpq_sgn(value);
    mpz_fdiv_q(whole, num, den);
    if (sign < 0)
        mpz_neg(whole, whole);
    mpz_clear(num);
    mpz_clear(den);
}

void cc_rational_times(mpq_t out, const mpq_t value, unsigned long num, unsigned long den)
{
    mpq_t factor;

    mpq_init(factor);
    mpq_set_ui(factor, num, den);
    if (den != 1)
        mpq_canonicalize(factor);
    mpq_mul(out, value, factor);
    mpq_clear(factor);
}

/* ---- 64-bit integers ---- */

void cc_set_u64(mpz_t out, uint64_t n)
{
#if ULONG_MAX >= UINT64_MAX
    mpz_set_ui(out, n);
#else
    mpz_import(out, 1, 1, sizeof n, 0, 0, &n);
#endif
}

uint64_t cc_get_u64(const mpz_t n)
{
#if ULONG_MAX >= UINT64_MAX
    return mpz_size(n) > 1 ? UINT64_MAX : mpz_get_ui(n);
#else
    uint64_t out = 0;
    if (mpz_sizeinbase(n, 2) > 64)
        return UINT64_MAX;
    mpz_export(&out, NULL, 1, sizeof out, 0, 0, n);
    return out;
#endif
}

void cc_set_i64(mpz_t out, int64_t n)
{
    cc_set_u64(out, n < 0 ? UINT64_C(0) - (uint64_t)n : (uint64_t)n);
    if (n < 0)
        mpz_neg(out, out);
}

uint64_t cc_mod_u64(const mpz_t n, uint64_t m)
{
#if ULONG_MAX >= UINT64_MAX
    return mpz_fdiv_ui(n, m);
#else
    uint64_t out;
    mpz_t rest;
    mpz_init(rest);
    cc_set_u64(rest, m);
    mpz_fdiv_r(rest, n, rest);
    out = cc_get_u64(rest);
    mpz_clear(rest);
    return out;
#endif
}

int64_t cc_get_i64(const mpz_t n)
{
    uint64_t size = cc_get_u64(n);

    if (size > INT64_MAX)
        size = INT64_MAX;
    return mpz_sgn(n) < 0 ? -(int64_t)size : (int64_t)size;
}

/* What GMP allocated goes back to the function that GMP names. */
static void gmp_free(char *text)
{
    void (*release)(void *, size_t);
    mp_get_memory_functions(NULL, NULL, &release);
    release(text, strlen(text) + 1);
}

static size_t put(char *buf, size_t size, const char *text, size_t length)
{
    if (size > 0) {
        size_t n = length < size ? length : size - 1;
        memcpy(buf, text, n);
        buf[n] = '\0';
    }
    return length;
}

size_t cc_rational_str(char *buf, size_t size, const mpq_t value)
{
    char *text = mpq_get_str(NULL, 10, value);
    size_t length = put(buf, size, text, strlen(text));

    gmp_free(text);
    return length;
}

/* Text that is counted also where there is no room for it. */
struct line {
    char *buf;
    size_t size, length;
};

static void add(struct line *line, const char *text, size_t n)
{
    for (size_t i = 0; i < n; i++, line->length++)
        if (line->length + 1 < line->size)
            line->buf[line->length] = text[i];
}

/* out = |value| * 10^decimals, rounded; whether value is then below 0. */
static bool scaled(mpz_t out, const mpq_t value, unsigned decimals)
{
    mpq_t times;

    mpq_init(times);
    mpz_ui_pow_ui(mpq_denref(times), 10, decimals);
    mpz_mul(mpq_numref(times), mpq_numref(value), mpq_denref(times));
    mpz_set(mpq_denref(times), mpq_denref(value));      /* not canonical; rounding does not care */
    cc_rational_round(out, times);
    mpq_clear(times);
    bool negative = mpz_sgn(out) < 0;
    mpz_abs(out, out);
    return negative;
}

/* As cc_decimal_str; trim drops trailing zeros. */
static size_t decimal_str(char *buf, size_t size, const mpq_t value, unsigned decimals, bool trim)
{
    struct line line = { .buf = buf, .size = size };
    mpz_t whole;

    mpz_init(whole);
    bool negative = scaled(whole, value, decimals);
    char *text = mpz_get_str(NULL, 10, whole);
    /* Of n digits, point stand before the decimal point; those from end on are not shown. */
    size_t n = strlen(text), end = n, point = n > decimals ? n - decimals : 0;
    if (trim)
        while (end > 0 && n - end < decimals && text[end - 1] == '0')
            end--;
    if (negative)
        add(&line, "-", 1);
    if (point == 0)
        add(&line, "0", 1);
    add(&line, text, point);
    if (end > point) {
        add(&line, ".", 1);
        for (size_t i = n; i < decimals; i++)       /* where the number is shorter than its decimals */
            add(&line, "0", 1);
        add(&line, text + point, end - point);
    }
    if (size > 0)
        buf[line.length < size ? line.length : size - 1] = '\0';
    gmp_free(text);
    mpz_clear(whole);
    return line.length;
}

size_t cc_decimal_str(char *buf, size_t size, const mpq_t value, unsigned decimals)
{
    return decimal_str(buf, size, value, decimals, false);
}

size_t cc_decimal_short_str(char *buf, size_t size, const mpq_t value, unsigned decimals)
{
    return decimal_str(buf, size, value, decimals, true);
}
