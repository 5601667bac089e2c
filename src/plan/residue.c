/*
 * residue.c: the number theory that the methods stand on: greatest common divisors, inverses, and
 * the first multiple that falls in a window of residues.
 */
#include "plan/search.h"

/* The binary algorithm: shifts and subtractions, a division only to begin with. */
uint64_t cci_odd_gcd(uint64_t a, uint64_t b)
{
    a %= b;
    if (a == 0)
        return b;
    a >>= cci_twos(a);
    while (a != b) {
        uint64_t left = a - b;      /* as many twos as b - a */
        unsigned twos = cci_twos(left);
        left = a < b ? b - a : left;
        b = a < b ? a : b;
        a = left >> twos;
    }
    return a;
}

uint64_t cci_gcd(uint64_t a, uint64_t b)
{
    if (a == 0 || b == 0)
        return a + b;
    unsigned twos = cci_twos(a | b);
    return cci_odd_gcd(a >> twos, b >> cci_twos(b)) << twos;
}

void cci_divisor_set(struct cci_divisor *divisor, uint64_t n)
{
    divisor->most = UINT64_MAX / n;
    divisor->twos = 0;
    for (; n % 2 == 0; n /= 2)
        divisor->twos++;
    /* Newton's step doubles the bits that are right: 5, 10, 20, 40, 64. */
    divisor->inverse = 3 * n ^ 2;
    for (int i = 0; i < 4; i++)
        divisor->inverse *= 2 - n * divisor->inverse;
}

uint64_t cci_inverse(uint64_t a, uint64_t m)
{
    /* Extended Euclid on (a, m); the coefficients of a stay below m in size, and their signs alternate. */
    uint64_t old = 0, now = 1, r0 = m, r1 = m > 0 ? a % m : 0;
    bool negative = false;

    if (m <= 1)
        return 0;
    while (r1 > 1) {
        uint64_t quotient = r0 / r1, r2 = r0 % r1;
        uint64_t next = old + quotient * now;
        old = now;
        now = next;
        r0 = r1;
        r1 = r2;
        negative = !negative;
    }
    return negative ? m - now : now;
}

#define MOST_HIT ((UINT64_C(1) << 62) - 1)    /* no limit: x is below m */

/*
 * The smallest x >= 0 with low <= (a x) mod m <= high; CCI_NO_HIT, or any beyond last, where there is none up to last.
 *
 * If a multiple of a below m lies in the window, it is the first that reaches low. Otherwise the
 * window lies between two neighbouring multiples of a, and a x - m y must fall in it for some y;
 * modulo a this asks for m y mod a in the mirrored window, a smaller problem of the same kind (as in
 * Euclid's algorithm); x follows from the smallest such y. Replacing a by m - a first where that is
 * smaller, a halves at each step, and there are at most log2 m of them. That y is not 0, and x is at
 * least m/a times it: so the search ends where the product of these passes last. a < m < 2^62.
 */
static uint64_t first_from_zero(uint64_t a, uint64_t m, uint64_t low, uint64_t high, uint64_t last)
{
    struct {
        uint64_t a, m, low;
    } step[64];
    unsigned steps = 0;
    uint64_t x = 0, least = 1, rest;

    while (low > 0) {
        if (a == 0)
            return CCI_NO_HIT;
        if (2 * a > m) {
            uint64_t mirrored = m - high;
            a = m - a;
            high = m - low;
            low = mirrored;
        }
        x = (low + a - 1) / a;
        uint64_t reached = x * a, times = m / a;
        if (reached <= high)
            break;
        if (times > last)
            return CCI_NO_HIT;
        cci_u128 product = cci_wide_product(least, times);
        least = cci_wide_low(product);
        if (cci_wide_high(product) != 0 || least > last)
            return CCI_NO_HIT;
        step[steps].a = a;
        step[steps].m = m;
        step[steps++].low = low;
        rest = m - times * a;
        m = a;
        a = rest;
        uint64_t mirrored = reached - high;
        high = reached - low;
        low = mirrored;
    }
    if (low == 0)
        x = 0;
    while (steps > 0) {
        steps--;
        x = cci_wide_divide(&rest, cci_wide_add(cci_wide_product(step[steps].m, x), cci_wide(step[steps].low + step[steps].a - 1)),
                            step[steps].a);
    }
    return x;
}

uint64_t cci_first_hit(uint64_t a, uint64_t m, uint64_t low, uint64_t high, uint64_t from)
{
    /* Shift the window back by a * from, so that the search starts at 0. */
    uint64_t shift = cci_wide_mul_mod(a % m, from % m, m);
    uint64_t l = low >= shift ? low - shift : low + m - shift;
    uint64_t h = high >= shift ? high - shift : high + m - shift;

    if (l > h)      /* the window wraps round zero: x = 0 is in it */
        return from;
    uint64_t x = first_from_zero(a % m, m, l, h, MOST_HIT);
    return x == CCI_NO_HIT ? CCI_NO_HIT : from + x;
}

uint64_t cci_first_near(uint64_t a, uint64_t m, uint64_t most, uint64_t from, uint64_t last)
{
    /* The window -most ... most is moved to 0 ... 2 most, and then back by where from stands. */
    uint64_t at, shift;

    (void)cci_wide_divide(&at, cci_wide_product(a, from), m);
    shift = at >= m - most ? at - (m - most) : at + most;
    if (shift <= 2 * most)
        return from;
    uint64_t x = from <= last ? first_from_zero(a % m, m, m - shift, m - shift + 2 * most, last - from) : CCI_NO_HIT;
    return x == CCI_NO_HIT ? CCI_NO_HIT : from + x;
}

/*
 * The first that comes so near is nearer than all before it, and so the denominator of a convergent of a/m (from memory: A.
 * Khinchin, Continued Fractions, theorem 16): Euclid's algorithm passes them all. Where it comes to a rest of 0,
 * every multiple that is not 0 is as far off as the rest before, or further.
 */
uint64_t cci_first_close(uint64_t a, uint64_t m, uint64_t most, uint64_t last)
{
    uint64_t before = m, rest = a, x_before = 0, x = 1;

    while (rest > most && x <= last) {
        uint64_t times = before / rest, next = before - times * rest, x_next = x_before + times * x;
        before = rest;
        rest = next;
        x_before = x;
        x = x_next;     /* at most m */
    }
    return rest == 0 || x > last ? CCI_NO_HIT : x;
}

uint64_t cci_floor_of(uint64_t p, uint64_t q, uint64_t factor)
{
    cci_u128 product = cci_wide_product(p, factor);
    uint64_t rest;

    if (cci_wide_high(product) >= q)
        return UINT64_MAX;
    uint64_t quotient = cci_wide_divide(&rest, product, q);
    return quotient >> 61 != 0 ? UINT64_MAX : quotient;
}

/* Each level at least doubles x, so that deeper ones would lie beyond every row. */
#define FINE_LEVELS 64

/* first_from_zero in numbers of any size, 1 <= low. */
static bool first_fine(mpz_t x, const mpz_t a, const mpz_t m, const mpz_t low, const mpz_t high, int level)
{
    mpz_t step, rest, from, to;
    bool hit = false;

    if (mpz_sgn(a) == 0 || level > FINE_LEVELS)
        return false;
    mpz_init(step);
    mpz_init(rest);
    mpz_init_set(from, low);
    mpz_init_set(to, high);
    mpz_sub(step, m, a);
    if (mpz_cmp(step, a) < 0) {     /* 2 a > m: mirrored */
        mpz_sub(from, m, high);
        mpz_sub(to, m, low);
    } else {
        mpz_set(step, a);
    }
    mpz_cdiv_q(x, from, step);
    mpz_mul(rest, x, step);
    if (mpz_cmp(rest, to) <= 0) {
        hit = true;
    } else {
        mpz_t down, up;
        mpz_init(down);
        mpz_init(up);
        mpz_cdiv_r(down, to, step);         /* -(-to mod step) */
        mpz_neg(down, down);
        mpz_cdiv_r(up, from, step);
        mpz_neg(up, up);
        mpz_fdiv_r(rest, m, step);
        hit = first_fine(x, rest, step, down, up, level + 1);
        if (hit) {
            mpz_mul(x, x, m);
            mpz_add(x, x, from);
            mpz_cdiv_q(x, x, step);
        }
        mpz_clear(up);
        mpz_clear(down);
    }
    mpz_clear(to);
    mpz_clear(from);
    mpz_clear(rest);
    mpz_clear(step);
    return hit;
}

bool cci_first_hit_fine(mpz_t x, const mpz_t a, const mpz_t m, const mpz_t low, const mpz_t high)
{
    return first_fine(x, a, m, low, high, 0);
}

void cci_scale(mpq_t out, uint64_t unit, const mpq_t ratio)
{
    mpz_t factor;

    mpz_init(factor);
    cc_set_u64(factor, unit);
    mpz_mul(mpq_numref(out), mpq_numref(ratio), factor);
    mpz_set(mpq_denref(out), mpq_denref(ratio));
    if (mpz_cmp_ui(mpq_denref(out), 1) != 0)
        mpq_canonicalize(out);
    mpz_clear(factor);
}

void cci_words_above(uint64_t *off, uint64_t *of, const mpq_t q)
{
    size_t num = mpz_sizeinbase(mpq_numref(q), 2), den = mpz_sizeinbase(mpq_denref(q), 2), most = num > den ? num : den;
    mpz_t part;

    if (most <= 61) {
        *off = cc_get_u64(mpq_numref(q));
        *of = cc_get_u64(mpq_denref(q));
        return;
    }
    mpz_init(part);
    mpz_cdiv_q_2exp(part, mpq_numref(q), most - 60);
    *off = cc_get_u64(part);
    mpz_fdiv_q_2exp(part, mpq_denref(q), most - 60);
    *of = mpz_sgn(part) > 0 ? cc_get_u64(part) : 1;     /* 2^60 revolutions, more than any error */
    mpz_clear(part);
}
