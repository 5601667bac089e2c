/*
 * wide.h: whole numbers of 128 bits, without sign. Not public.
 *
 * The compiler's own type where it has one, else two words of 64 bits (also with CCI_TWO_WORDS defined). Only the
 * functions below are used, never an operator, so that what compiles here compiles everywhere. Results are
 * modulo 2^128; divisors are not 0. tests/test_wide.c holds both forms to GMP.
 */
#ifndef CRANKCARD_CORE_WIDE_H
#define CRANKCARD_CORE_WIDE_H

#include <stdbool.h>
#include <stdint.h>

#if defined(__SIZEOF_INT128__) && !defined(CCI_TWO_WORDS)

__extension__ typedef unsigned __int128 cci_u128;

static inline cci_u128 cci_wide_of(uint64_t high, uint64_t low)
{
    return (cci_u128)high << 64 | low;
}

static inline uint64_t cci_wide_high(cci_u128 a)
{
    return (uint64_t)(a >> 64);
}

static inline uint64_t cci_wide_low(cci_u128 a)
{
    return (uint64_t)a;
}

static inline bool cci_wide_less(cci_u128 a, cci_u128 b)
{
    return a < b;
}

static inline cci_u128 cci_wide_add(cci_u128 a, cci_u128 b)
{
    return a + b;
}

static inline cci_u128 cci_wide_sub(cci_u128 a, cci_u128 b)
{
    return a - b;
}

/* a * b of two words: exact */
static inline cci_u128 cci_wide_product(uint64_t a, uint64_t b)
{
    return (cci_u128)a * b;
}

static inline cci_u128 cci_wide_times(cci_u128 a, uint64_t b)
{
    return a * b;
}

static inline cci_u128 cci_wide_quotient(cci_u128 a, cci_u128 b)
{
    return a / b;
}

static inline uint64_t cci_wide_rest(cci_u128 a, uint64_t b)
{
    return (uint64_t)(a % b);
}

#else

typedef struct { uint64_t high, low; } cci_u128;

static inline cci_u128 cci_wide_of(uint64_t high, uint64_t low)
{
    return (cci_u128){ high, low };
}

static inline uint64_t cci_wide_high(cci_u128 a)
{
    return a.high;
}

static inline uint64_t cci_wide_low(cci_u128 a)
{
    return a.low;
}

static inline bool cci_wide_less(cci_u128 a, cci_u128 b)
{
    return a.high < b.high || (a.high == b.high && a.low < b.low);
}

static inline cci_u128 cci_wide_add(cci_u128 a, cci_u128 b)
{
    uint64_t low = a.low + b.low;
    return (cci_u128){ a.high + b.high + (low < a.low), low };
}

static inline cci_u128 cci_wide_sub(cci_u128 a, cci_u128 b)
{
    return (cci_u128){ a.high - b.high - (a.low < b.low), a.low - b.low };
}

static inline cci_u128 cci_wide_product(uint64_t a, uint64_t b)
{
    uint64_t a0 = (uint32_t)a, a1 = a >> 32, b0 = (uint32_t)b, b1 = b >> 32;
    uint64_t middle = a1 * b0 + (a0 * b0 >> 32);            /* below 2^64: at most (2^32 - 1) 2^32 */
    uint64_t other = a0 * b1 + (uint32_t)middle;

    return (cci_u128){ a1 * b1 + (middle >> 32) + (other >> 32), a * b };
}

static inline cci_u128 cci_wide_times(cci_u128 a, uint64_t b)
{
    cci_u128 out = cci_wide_product(a.low, b);

    out.high += a.high * b;
    return out;
}

/*
 * One digit, to base 2^32, of a quotient: (*rest 2^32 + next) / b with *rest < b and the top bit of b set. The
 * upper half of b alone gives at most two too many (Knuth, The Art of Computer Programming 2, 4.3.1, theorem B).
 */
static inline uint64_t cci_wide_digit(uint64_t *rest, uint32_t next, uint64_t b)
{
    uint64_t top = b >> 32, bottom = (uint32_t)b;
    uint64_t digit = *rest / top, left = *rest % top;

    while (digit * bottom > (left << 32 | next)) {
        digit--;
        left += top;
        if (left >> 32 != 0)
            break;
    }
    *rest = (*rest << 32 | next) - digit * b;   /* modulo 2^64: the true rest is below b */
    return digit;
}

/* (high 2^64 + low) / b and its rest, high < b */
static inline uint64_t cci_wide_word(uint64_t *rest, uint64_t high, uint64_t low, uint64_t b)
{
    unsigned shift = 0;

    if (high == 0) {
        *rest = low % b;
        return low / b;
    }
    while (b >> 63 == 0) {
        b <<= 1;
        shift++;
    }
    if (shift > 0)
        high = high << shift | low >> (64 - shift);
    low <<= shift;
    uint64_t upper = cci_wide_digit(&high, (uint32_t)(low >> 32), b);
    uint64_t lower = cci_wide_digit(&high, (uint32_t)low, b);
    *rest = high >> shift;
    return upper << 32 | lower;
}

/* The divisor has more than a word, so that the quotient has one: bit by bit. */
static inline uint64_t cci_wide_long_quotient(cci_u128 a, cci_u128 b)
{
    uint64_t quotient = 0;
    unsigned bits = 1;

    while (b.high >> 63 == 0 && cci_wide_less(b, a)) {
        b = cci_wide_add(b, b);
        bits++;
    }
    for (; bits > 0; bits--) {
        quotient <<= 1;
        if (!cci_wide_less(a, b)) {
            a = cci_wide_sub(a, b);
            quotient |= 1;
        }
        b = (cci_u128){ b.high >> 1, b.high << 63 | b.low >> 1 };
    }
    return quotient;
}

static inline cci_u128 cci_wide_quotient(cci_u128 a, cci_u128 b)
{
    uint64_t rest;

    if (b.high != 0)
        return (cci_u128){ 0, cci_wide_long_quotient(a, b) };
    uint64_t high = a.high / b.low;
    return (cci_u128){ high, cci_wide_word(&rest, a.high % b.low, a.low, b.low) };
}

static inline uint64_t cci_wide_rest(cci_u128 a, uint64_t b)
{
    uint64_t rest;

    (void)cci_wide_word(&rest, a.high % b, a.low, b);
    return rest;
}

#endif

/* ---- from the functions above ---- */

static inline cci_u128 cci_wide(uint64_t n)
{
    return cci_wide_of(0, n);
}

static inline int cci_wide_compare(cci_u128 a, cci_u128 b)
{
    return cci_wide_less(a, b) ? -1 : cci_wide_less(b, a);
}

static inline cci_u128 cci_wide_distance(cci_u128 a, cci_u128 b)
{
    return cci_wide_less(a, b) ? cci_wide_sub(b, a) : cci_wide_sub(a, b);
}

/* a / b and its rest, b a word and so the quotient: one machine division where a is a word too, instead of a call. */
static inline uint64_t cci_wide_divide(uint64_t *rest, cci_u128 a, uint64_t b)
{
    if (cci_wide_high(a) == 0) {
        *rest = cci_wide_low(a) % b;
        return cci_wide_low(a) / b;
    }
    *rest = cci_wide_rest(a, b);
    return cci_wide_low(cci_wide_quotient(a, cci_wide(b)));
}

/* a b modulo m */
static inline uint64_t cci_wide_mul_mod(uint64_t a, uint64_t b, uint64_t m)
{
    return cci_wide_rest(cci_wide_product(a, b), m);
}

/* |n|, of the least number too. */
static inline uint64_t cci_size_of(int64_t n)
{
    return n < 0 ? UINT64_C(0) - (uint64_t)n : (uint64_t)n;
}

#endif
