/*
 * lowest.c: see lowest.h.
 *
 * The denominators of a plan's rows are products of circles and worm: of small primes, and of what the number of
 * divisions brings in. Whether an odd prime divides x, and the quotient where it does, is one multiplication by its inverse
 * modulo 2^64 (cci_divisor). Only what is left when primes below 4096 are taken out, and is over their square, needs a
 * greatest common divisor: no count of ten million has that.
 */
#include "plan/lowest.h"

#define MOST_TRIED 4096

void cci_denominator_init(struct cci_denominator *den, uint64_t n)
{
    den->n = n;
    den->twos = cci_twos(n);
    den->primes = 0;
    den->rest = n >> den->twos;
    for (uint64_t p = 3; p < MOST_TRIED && den->rest > 1; p += 2) {
        if (p * p > den->rest)
            p = den->rest;      /* a prime */
        if (den->rest % p != 0)
            continue;
        unsigned power = 0;
        for (; den->rest % p == 0; den->rest /= p)
            power++;
        cci_divisor_set(&den->prime[den->primes].by, p);
        den->prime[den->primes].power = power;
        den->primes++;
    }
}

struct cc_fraction cci_lowest(int64_t num, const struct cci_denominator *den)
{
    uint64_t size = num < 0 ? UINT64_C(0) - (uint64_t)num : (uint64_t)num, n = den->n;

    if (num == 0)
        return (struct cc_fraction){ 0, 1 };
    unsigned twos = cci_twos(size);
    if (twos > den->twos)
        twos = den->twos;
    size >>= twos;
    n >>= twos;
    for (unsigned i = 0; i < den->primes; i++) {
        const struct cci_divisor *by = &den->prime[i].by;
        uint64_t quotient;
        for (unsigned k = den->prime[i].power; k > 0 && (quotient = size * by->inverse) <= by->most; k--) {
            size = quotient;
            n *= by->inverse;       /* the prime divides n as well */
        }
    }
    if (den->rest > 1) {
        uint64_t g = cci_odd_gcd(size, den->rest);
        if (g > 1) {
            size /= g;
            n /= g;
        }
    }
    return (struct cc_fraction){ num < 0 ? -(int64_t)size : (int64_t)size, n };
}
