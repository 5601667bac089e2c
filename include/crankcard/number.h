/*
 * number.h: exact numbers in and out.
 *
 * Exact values are GMP's mpz_t and mpq_t. Every mpq_t that crosses this API is canonical
 * (lowest terms, positive denominator). Outputs come first; the caller owns everything and
 * has initialised it. Decimals are text made last, from the exact value, rounded once.
 *
 * Functions that write text work as snprintf does: at most size bytes with the closing NUL
 * (buf may be NULL when size is 0), and they return the length the whole text needs.
 * No function here knows a locale: the decimal point is '.'.
 */
#ifndef CRANKCARD_NUMBER_H
#define CRANKCARD_NUMBER_H

#include <gmp.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_DIGITS 10000 /* digits in any one number read from text */

/* ---- input ---- */

/*
 * A count of things: decimal digits only, no sign, no blanks around them, no leading '+'.
 *
 * Errors: CC_EPARSE where text is not that, CC_ELIMIT over CC_MAX_DIGITS digits.
 */
enum cc_status cc_count_parse(mpz_t count, const char *text, struct cc_error *err);

/*
 * A rational: [+-] then a whole number "12", a decimal "2.5" or ".5", a fraction "1/7", or a
 * whole number and a fraction "22 1/2"; one of the vulgar fraction signs for a half and the
 * quarters may stand for a fraction ("22½"). U+2212 MINUS SIGN is read as '-'. Blanks around are
 * ignored. Decimals are read exactly: 2.5 is 5/2.
 *
 * Errors: CC_EPARSE, CC_EDOM for a zero denominator, CC_ELIMIT.
 */
enum cc_status cc_rational_parse(mpq_t value, const char *text, struct cc_error *err);

/* ---- computing ---- */

/* The whole number nearest to value, halves away from zero. */
void cc_rational_round(mpz_t whole, const mpq_t value);

/* out = value * num / den, den not 0; out and value may be the same. */
void cc_rational_times(mpq_t out, const mpq_t value, unsigned long num, unsigned long den);

/*
 * Between GMP's integers and those of 64 bits. (GMP's own functions take long, which has 32 bits on many machines.)
 * Reading back, u64 gives |n|, UINT64_MAX where it is more; i64 gives INT64_MAX or -INT64_MAX beyond those.
 */
void cc_set_u64(mpz_t out, uint64_t n);
uint64_t cc_get_u64(const mpz_t n);
void cc_set_i64(mpz_t out, int64_t n);
int64_t cc_get_i64(const mpz_t n);

/* n modulo m, 0 to m - 1. */
uint64_t cc_mod_u64(const mpz_t n, uint64_t m);

/* ---- output ---- */

/* Reduced fraction in decimal digits: "5/7", "-3", "0". */
size_t cc_rational_str(char *buf, size_t size, const mpq_t value);

/*
 * Decimal with exactly decimals digits after the point, rounded half away from zero; a value
 * that rounds to zero has no sign.
 */
size_t cc_decimal_str(char *buf, size_t size, const mpq_t value, unsigned decimals);

/*
 * The same with trailing zeros and a bare point dropped: the shortest form of the rounded value,
 * a valid JSON number ("6.315789474", "15", "0").
 */
size_t cc_decimal_short_str(char *buf, size_t size, const mpq_t value, unsigned decimals);

#ifdef __cplusplus
}
#endif

#endif
