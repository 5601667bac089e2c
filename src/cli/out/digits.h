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

static inline unsigned digits_of(uint64_t n)
{
#if defined(__GNUC__)
    static const uint64_t powers[] = {
        1, 10, 100, 1000, 10000, 100000, 1000000, 10000000, 100000000, 1000000000, 10000000000, 100000000000,
        1000000000000, 10000000000000, 100000000000000, 1000000000000000, 10000000000000000, 100000000000000000,
        1000000000000000000, UINT64_C(10000000000000000000),
    };
    /* bits log10(2), a little less: right, or one too few */
    unsigned less = (64 - (unsigned)__builtin_clzll(n | 1)) * 1233 >> 12;
    return less + (n >= powers[less]);
#else
    unsigned digits = 1;
    for (; n >= 10; n /= 10)
        digits++;
    return digits;
#endif
}

/* The last digits of n at at, with zeros in front where it has fewer; returns the end, where no NUL is put. */
static inline char *digits_fixed(char *at, uint64_t n, unsigned digits)
{
    static const char pairs[] =
        "00010203040506070809101112131415161718192021222324252627282930313233343536373839404142434445464748"
        "49505152535455565758596061626364656667686970717273747576777879808182838485868788899091929394959697"
        "9899";
    char *p = at + digits;

    while (p - at >= 2) {
        p -= 2;
        memcpy(p, pairs + 2 * (n % 100), 2);
        n /= 100;
    }
    if (p > at)
        *at = (char)('0' + n % 10);
    return at + digits;
}

/* n at at */
static inline char *digits_put(char *at, uint64_t n)
{
    unsigned digits = digits_of(n);
    return digits_fixed(at, n, digits > 0 ? digits : 1);
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
    at = digits_put(at, units);
    if (size == 0)
        return at;
    *at++ = '.';
    at = digits_fixed(at, size, decimals);
    while (at[-1] == '0')
        at--;
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
