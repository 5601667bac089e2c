/* lowest.h: many fractions over one denominator brought to lowest terms, mostly without a division. Not public. */
#ifndef CRANKCARD_PLAN_LOWEST_H
#define CRANKCARD_PLAN_LOWEST_H

#include <stdint.h>

#include "crankcard/rows.h"
#include "plan/search.h"

/* So many different odd primes at most have a product that fits a word: 3 * 5 * ... * 53. */
#define CCI_MOST_PRIMES 15

struct cci_denominator {
    uint64_t n;                 /* 1 <= n < 2^63 */
    unsigned twos, primes;
    struct {
        struct cci_divisor by;
        unsigned power;         /* of the prime in n */
    } prime[CCI_MOST_PRIMES];
    uint64_t rest;              /* what is left of n without those */
};

/* Finds n's prime factors, but for what is left when the small ones are out and has no small square. */
void cci_denominator_init(struct cci_denominator *den, uint64_t n);

/* num/n, |num| < 2^63 */
struct cc_fraction cci_lowest(int64_t num, const struct cci_denominator *den);

#endif
