/*
 * lowest.c: see lowest.h.
 *
 * The denominators of a plan's rows are products of circles and worm: of small primes, and of what the number of
 * divisions brings in. Whether an odd prime divides x, and the quotient where it does, is one multiplication by its inverse
 * modulo 2^64 (cci_divisor). Only what is left when primes
 * below 100 are taken out needs a greatest common divisor.
 */
#include "plan/lowest.h"

void cci_denominator_init(struct cci_denominator *den, uint64_t n)
{
    static const uint8_t primes[] = { 3,  5,  7,  11, 13, 17, 19, 23, 29, 31, 37, 41,
                                      43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97 };

    den->n = n;
    den->twos = cci_twos(n);
    den->primes = 0;
    den->rest = n >> den->twos;
    for (unsigned i = 0; i < sizeof primes && den->rest > 1; i++) {
        uint64_t p = primes[i];
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
