/*
 * residue.c: the number theory that the methods stand on: greatest common divisors, inverses, and
 * the first multiple that falls in a window of residues.
 */
#include "plan/search.h"

uint64_t cci_gcd(uint64_t a, uint64_t b)
{
    while (b != 0) {
        uint64_t r = a % b;
        a = b;
        b = r;
    }
    return a;
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

/*
 * The smallest x >= 0 with low <= (a x) mod m <= high.
 *
 * If a multiple of a below m lies in the window, it is the first that reaches low. Otherwise the
 * window lies between two neighbouring multiples of a, and a x - m y must fall in it for some y;
 * modulo a this asks for m y mod a in the mirrored window, a smaller problem of the same kind (as in
 * Euclid's algorithm); x follows from the smallest such y. Doubling a first replaces a by m - a, so
 * that a halves at each step and the depth is at most log2 m. a < m < 2^62.
 */
static uint64_t first_from_zero(uint64_t a, uint64_t m, uint64_t low, uint64_t high)
{
    if (low == 0)
        return 0;
    if (a == 0)
        return CCI_NO_HIT;
    if (2 * a > m)
        return first_from_zero(m - a, m, m - high, m - low);
    uint64_t x = (low + a - 1) / a, reached = x * a, rest;
    if (reached <= high)
        return x;
    uint64_t y = first_from_zero(m % a, a, reached - high, reached - low);
    if (y == CCI_NO_HIT)
        return CCI_NO_HIT;
    return cci_wide_divide(&rest, cci_wide_add(cci_wide_product(m, y), cci_wide(low + a - 1)), a);
}

uint64_t cci_first_hit(uint64_t a, uint64_t m, uint64_t low, uint64_t high, uint64_t from)
{
    /* Shift the window back by a * from, so that the search starts at 0. */
    uint64_t shift = cci_wide_mul_mod(a % m, from % m, m);
    uint64_t l = low >= shift ? low - shift : low + m - shift;
    uint64_t h = high >= shift ? high - shift : high + m - shift;

    if (l > h)      /* the window wraps round zero: x = 0 is in it */
        return from;
    uint64_t x = first_from_zero(a % m, m, l, h);
    return x == CCI_NO_HIT ? CCI_NO_HIT : from + x;
}

uint64_t cci_first_near(uint64_t a, uint64_t m, uint64_t most, uint64_t from)
{
    /* The window -most ... most is moved to 0 ... 2 most, and then back by where from stands. */
    uint64_t at, shift;

    (void)cci_wide_divide(&at, cci_wide_product(a, from), m);
    shift = at >= m - most ? at - (m - most) : at + most;
    if (shift <= 2 * most)
        return from;
    uint64_t x = first_from_zero(a % m, m, m - shift, m - shift + 2 * most);
    return x == CCI_NO_HIT ? CCI_NO_HIT : from + x;
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
