/*
 * bench_train.c: the train search against plain nested loops over the same gears in 64 bits, each choice of drivers and
 * driven once, and against the products sorted and gone through with two pointers, as someone would write it for the best
 * train alone.
 *
 *   bench_train [ROUNDS]      prints, for each size: what, loops ms, search ms, times faster, pointers ms
 *
 * The best error found must be the same, or it ends with status 1.
 */
#define _POSIX_C_SOURCE 200809L
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "crankcard/train.h"

__extension__ typedef unsigned __int128 wide;

struct best {
    uint64_t num, den;
    wide off;       /* |num q - den p| */
};

static const uint64_t p = 22619, q = 7200;

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void offer(struct best *best, uint64_t num, uint64_t den)
{
    uint64_t a = num * q, b = den * p, off = a > b ? a - b : b - a;     /* below 2^40; off den below 2^60 */
    if (best->den == 0 || off * best->den < (uint64_t)best->off * den) {
        best->num = num;
        best->den = den;
        best->off = off;
    }
}

/* ---- sorted, with two pointers ---- */

struct product {
    uint64_t value, used;
};

static int by_value(const void *va, const void *vb)
{
    const struct product *a = va, *b = vb;
    return a->value < b->value ? -1 : a->value > b->value;
}

static size_t products(struct product *out, const unsigned *teeth, unsigned n, unsigned k)
{
    size_t count = 0;

    for (unsigned a = 0; a < n; a++)
        for (unsigned b = a + 1; b < n; b++) {
            if (k == 2)
                out[count++] = (struct product){ teeth[a] * teeth[b], 1ull << a | 1ull << b };
            for (unsigned c = b + 1; c < n && k == 3; c++)
                out[count++] = (struct product){ teeth[a] * teeth[b] * teeth[c], 1ull << a | 1ull << b | 1ull << c };
        }
    qsort(out, count, sizeof *out, by_value);
    return count;
}

/* For each product below the line the nearest above it, either way, until one has other gears or is no nearer than the best. */
static void pointers(struct best *best, const unsigned *teeth, unsigned n, unsigned k)
{
    static struct product at[8192];
    size_t count = products(at, teeth, n, k), up = 0;

    best->den = 0;
    for (size_t i = 0; i < count; i++) {
        uint64_t wanted = at[i].value * p;
        while (up < count && at[up].value * q < wanted)
            up++;
        for (size_t j = up; j < count; j++) {
            uint64_t off = at[j].value * q - wanted;
            if (best->den != 0 && (wide)off * best->den >= best->off * at[i].value)
                break;
            if ((at[i].used & at[j].used) == 0) {
                *best = (struct best){ at[j].value, at[i].value, off };
                break;
            }
        }
        for (size_t j = up; j-- > 0;) {
            uint64_t off = wanted - at[j].value * q;
            if (best->den != 0 && (wide)off * best->den >= best->off * at[i].value)
                break;
            if ((at[i].used & at[j].used) == 0) {
                *best = (struct best){ at[j].value, at[i].value, off };
                break;
            }
        }
    }
}

/* ---- loops ---- */

static void loops(struct best *best, const unsigned *teeth, unsigned n, unsigned k, unsigned first,
                  uint64_t num, uint64_t used, unsigned bottoms, uint64_t den)
{
    /* k tops still to choose, then bottoms below the line. */
    if (k == 0 && bottoms == 0) {
        offer(best, num, den);
        return;
    }
    for (unsigned i = first; i < n; i++) {
        if (used >> i & 1)
            continue;
        if (k > 0)
            loops(best, teeth, n, k - 1, k == 1 ? 0 : i + 1, num * teeth[i], used | 1ull << i,
                  bottoms, den);
        else
            loops(best, teeth, n, 0, i + 1, num, used | 1ull << i, bottoms - 1, den * teeth[i]);
    }
}

static int measure(unsigned n, unsigned pairs, unsigned rounds)
{
    unsigned teeth[64];
    struct best best = { 0, 0, 0 };
    struct cc_train_search s = { .teeth = teeth, .n = n, .least_pairs = pairs, .most_pairs = pairs,
                                 .most = 1 };
    struct cc_train_list list;
    mpq_t wanted, a, b;

    for (unsigned i = 0; i < n; i++)
        teeth[i] = 20 + i + 2 * (i / 9);
    double t0 = seconds();
    loops(&best, teeth, n, pairs, 0, 1, 0, pairs, 1);
    double t1 = seconds();
    mpq_init(wanted);
    mpq_init(a);
    mpq_init(b);
    mpq_set_ui(wanted, p, q);
    cc_train_list_init(&list);
    for (unsigned r = 0; r < rounds; r++)
        if (cc_train_search(&list, wanted, &s, NULL) != CC_OK)
            return 1;
    double t2 = seconds();
    struct best again = { 0, 0, 0 };
    for (unsigned r = 0; r < rounds; r++)
        pointers(&again, teeth, n, pairs);
    double two = (seconds() - t2) / rounds;
    cc_train_ratio(a, &list.at[0]);
    mpq_sub(a, a, wanted);
    mpq_abs(a, a);
    mpq_set_ui(b, best.num, best.den);
    mpq_canonicalize(b);
    mpq_sub(b, b, wanted);
    mpq_abs(b, b);
    int differ = !mpq_equal(a, b) || best.off * again.den != again.off * best.den;
    double search = (t2 - t1) / rounds;
    printf("%u gears from %-4u %9.3f ms %9.3f ms %7.0f times %9.3f ms%s\n", 2 * pairs, n, (t1 - t0) * 1e3,
           search * 1e3, (t1 - t0) / search, two * 1e3, differ ? "  THE BEST DIFFER" : "");
    cc_train_list_clear(&list);
    mpq_clear(wanted);
    mpq_clear(a);
    mpq_clear(b);
    return differ;
}

int main(int argc, char **argv)
{
    unsigned rounds = argc > 1 ? (unsigned)strtoul(argv[1], NULL, 10) : 50;

    if (rounds == 0)
        rounds = 1;
    int bad = measure(60, 2, rounds);
    bad |= measure(30, 3, rounds);
    return bad;
}
