/* digits.h: whole numbers written into a buffer that has the room, for the rows of which there are many: no printf. */
#ifndef CRANKCARD_CLI_OUT_DIGITS_H
#define CRANKCARD_CLI_OUT_DIGITS_H

#include <stdint.h>
#include <string.h>

static inline uint64_t digits_size_of(int64_t n)
{
    return n < 0 ? UINT64_C(0) - (uint64_t)n : (uint64_t)n;
}

/* n at at; returns the end, where no NUL is put. */
static inline char *digits_put(char *at, uint64_t n)
{
    static const char pairs[] =
        "00010203040506070809101112131415161718192021222324252627282930313233343536373839404142434445464748"
        "49505152535455565758596061626364656667686970717273747576777879808182838485868788899091929394959697"
        "9899";
    char digits[20], *p = digits + sizeof digits;

    while (n >= 100) {
        p -= 2;
        memcpy(p, pairs + 2 * (n % 100), 2);
        n /= 100;
    }
    if (n >= 10) {
        p -= 2;
        memcpy(p, pairs + 2 * n, 2);
    } else {
        *--p = (char)('0' + n);
    }
    size_t length = (size_t)(digits + sizeof digits - p);
    memcpy(at, p, length);
    return at + length;
}

/* The same of text. */
static inline char *digits_text(char *at, const char *text)
{
    size_t n = strlen(text);

    memcpy(at, text, n);
    return at + n;
}

#endif
