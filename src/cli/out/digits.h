/* digits.h: whole numbers written into a buffer that has the room, for the rows of which there are many: no printf. */
#ifndef CRANKCARD_CLI_OUT_DIGITS_H
#define CRANKCARD_CLI_OUT_DIGITS_H

#include <stdint.h>
#include <stdio.h> /* before gmp.h, which declares its stream functions only then */
#include <string.h>

#include "crankcard/rows.h"

static inline uint64_t digits_size_of(int64_t n)
{
    return n < 0 ? UINT64_C(0) - (uint64_t)n : (uint64_t)n;
}

#define DIGITS_EIGHT UINT64_C(100000000)

/*
 * The eight digits of n < 10^8, a byte each, the first in the lowest: both fours of digits at once, then the four pairs, then the
 * eight. x 10486 >> 20 is x / 100 below 10^4, x 103 >> 10 is x / 10 below 100.
 */
static inline uint64_t digits_eight(uint64_t n)
{
    uint64_t fours = n / 10000 + (n % 10000 << 32);
    uint64_t pairs = (fours * 10486 >> 20) & UINT64_C(0x0000007F0000007F);
    pairs += (fours - 100 * pairs) << 16;
    uint64_t tens = (pairs * 103 >> 10) & UINT64_C(0x000F000F000F000F);
    return tens + ((pairs - 10 * tens) << 8);
}

/* Bytes of eight before its first digit that is not 0, or its last; and up to the last that is not 0. */
static inline unsigned digits_lead(uint64_t eight)
{
#if defined(__GNUC__)
    return (unsigned)__builtin_ctzll(eight | UINT64_C(1) << 56) / 8;
#else
    unsigned lead = 0;
    for (; lead < 7 && (eight >> 8 * lead & 0xFF) == 0; lead++)
        ;
    return lead;
#endif
}

static inline unsigned digits_length(uint64_t eight)
{
#if defined(__GNUC__)
    return eight == 0 ? 0 : 8 - (unsigned)__builtin_clzll(eight) / 8;
#else
    unsigned length = 8;
    for (; length > 0 && eight >> 8 * (length - 1) == 0; length--)
        ;
    return length;
#endif
}

/* All eight bytes, as one store where the compiler sees that. */
static inline void digits_store(char *at, uint64_t eight)
{
    eight |= UINT64_C(0x3030303030303030);
    at[0] = (char)(eight & 0xFF);
    at[1] = (char)(eight >> 8 & 0xFF);
    at[2] = (char)(eight >> 16 & 0xFF);
    at[3] = (char)(eight >> 24 & 0xFF);
    at[4] = (char)(eight >> 32 & 0xFF);
    at[5] = (char)(eight >> 40 & 0xFF);
    at[6] = (char)(eight >> 48 & 0xFF);
    at[7] = (char)(eight >> 56);
}

/* n < 10^8 */
static inline char *digits_short(char *at, uint64_t n)
{
    uint64_t eight = digits_eight(n);
    unsigned lead = digits_lead(eight);

    digits_store(at, eight >> 8 * lead);
    return at + 8 - lead;
}

/* The last eight digits of n, with zeros in front where it has fewer. */
static inline char *digits_next(char *at, uint64_t n)
{
    digits_store(at, digits_eight(n % DIGITS_EIGHT));
    return at + 8;
}

/* n at at; returns the end, where no NUL is put. This and what follows here may write eight bytes beyond. */
static inline char *digits_put(char *at, uint64_t n)
{
    if (n < 10) {
        *at = (char)('0' + n);
        return at + 1;
    }
    if (n < DIGITS_EIGHT)
        return digits_short(at, n);
    if (n < DIGITS_EIGHT * DIGITS_EIGHT)
        return digits_next(digits_short(at, n / DIGITS_EIGHT), n);
    return digits_next(digits_next(digits_short(at, n / DIGITS_EIGHT / DIGITS_EIGHT), n / DIGITS_EIGHT), n);
}

/* A point and n/10^decimals, below one, without zeros at the end; nothing for 0. At most 16 decimals. */
static inline char *digits_part(char *at, uint64_t n, unsigned decimals)
{
    if (n == 0)
        return at;
    *at++ = '.';
    if (decimals > 8) {
        digits_store(at, digits_eight(n / DIGITS_EIGHT) >> 8 * (16 - decimals));
        at += decimals - 8;
        n %= DIGITS_EIGHT;
        decimals = 8;
    }
    uint64_t eight = digits_eight(n) >> 8 * (8 - decimals);
    digits_store(at, eight);
    return at + digits_length(eight);
}

/* The same with a sign. */
static inline char *digits_signed(char *at, int64_t n)
{
    if (n < 0)
        *at++ = '-';
    return digits_put(at, digits_size_of(n));
}

/*
 * f * scale as the shortest decimal, rounded half away from zero to so many decimals, power = 10^decimals. Inline, so that
 * the divisors are constants where it is called.
 */
static inline char *digits_decimal(char *at, struct cc_fraction f, uint64_t scale, uint64_t power, unsigned decimals)
{
    uint64_t size, units = cc_fraction_split(&size, f, scale * power);

    units = units * scale + size / power;
    size %= power;
    if (f.num < 0 && (units | size) != 0)
        *at++ = '-';
    return digits_part(digits_put(at, units), size, decimals);
}

/* "-3/7", "4" */
static inline char *digits_fraction(char *at, struct cc_fraction f)
{
    at = digits_signed(at, f.num);
    if (f.den != 1) {
        *at++ = '/';
        at = digits_put(at, f.den);
    }
    return at;
}

/* Text at at. */
static inline char *digits_text(char *at, const char *text)
{
    size_t n = strlen(text);

    memcpy(at, text, n);
    return at + n;
}

#endif
