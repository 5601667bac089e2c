/*
 * naive.h: the planner's questions answered the long way, for tests to hold it to. Every setting of
 * a head is tried by a plain loop, every position is multiplied out as a GMP rational, and nothing of
 * src/plan is used. For one test program; only for heads with few gears.
 */
#ifndef CRANKCARD_TESTS_NAIVE_H
#define CRANKCARD_TESTS_NAIVE_H

#include <stdlib.h>
#include <string.h>

#include "crankcard/head.h"
#include "crankcard/plan.h"
#include "support.h"

enum naive_class {
    NAIVE_NONE,
    NAIVE_DIRECT,
    NAIVE_PLAIN,
    NAIVE_DIAL,
    NAIVE_DIFFERENTIAL,
    NAIVE_COMPOUND,
    NAIVE_DIFFERENTIAL_BLOCKS
};

/* A train by what it gives and what it costs to set up. */
struct naive_train {
    mpq_t ratio;            /* R - e > 0 */
    unsigned pairs, idlers;
};

/* A head and every R - e > 0 that its gears give, each value once, with the train that is cheapest to set up. */
struct naive {
    const struct cc_head *head;
    struct naive_train *train;
    size_t ratios, room;
    unsigned long trains, unfit;    /* arrangements, either direction: that can stand, that cannot */
};

/* ---- the rows of a request ---- */

static unsigned long naive_rows(const struct cc_request *r)
{
    return r->position_count > 0 ? r->position_count : mpz_get_ui(r->divisions);
}

static bool naive_is_circle(const struct cc_request *r)
{
    return r->position_count == 0 && mpq_cmp_ui(r->arc, 1, 1) == 0;
}

/* Where row i should stand: offset + i k arc / N, or the position asked for. */
static void naive_nominal(mpq_t theta, const struct cc_request *r, unsigned long k, unsigned long i)
{
    if (r->position_count > 0) {
        if (i == 0)
            mpq_set_ui(theta, 0, 1);
        else
            mpq_set(theta, r->position[i - 1]);
        return;
    }
    mpq_t part;
    mpq_init(part);
    mpz_set_ui(mpq_numref(part), i);
    mpz_mul_ui(mpq_numref(part), mpq_numref(part), k);
    mpz_set(mpq_denref(part), r->divisions);
    mpq_canonicalize(part);
    mpq_mul(part, part, r->arc);
    mpq_add(theta, part, r->offset);
    mpq_clear(part);
}

/* Whether scale units to a turn meet every row of the request, taken k at a time. */
static bool naive_fits(const mpq_t scale, const struct cc_request *r, unsigned long k)
{
    unsigned long rows = naive_rows(r);
    bool fits = true;
    mpq_t theta;

    mpq_init(theta);
    for (unsigned long i = 0; i <= rows && fits; i++) {
        naive_nominal(theta, r, k, i);
        mpq_mul(theta, theta, scale);
        fits = mpz_cmp_ui(mpq_denref(theta), 1) == 0;
    }
    mpq_clear(theta);
    return fits;
}

static unsigned long naive_gcd(unsigned long a, unsigned long b)
{
    return b == 0 ? a : naive_gcd(b, a % b);
}

/* The smallest block that makes the setting exact, or 0: the one asked for, or any where none is. */
static unsigned long naive_block(const mpq_t scale, const struct cc_request *r)
{
    unsigned long n = mpz_get_ui(r->divisions), found = 0;
    unsigned long asked = mpz_get_ui(r->block);

    if (asked > 0 || !naive_is_circle(r))
        return naive_fits(scale, r, asked > 0 ? asked : 1) ? (asked > 0 ? asked : 1) : 0;
    if (naive_fits(scale, r, 1))
        return 1;
    /* Rows stand k scale / N units apart, so k must take the denominator of scale / N away. */
    mpq_t each;
    mpq_init(each);
    mpz_set(mpq_denref(each), r->divisions);
    mpz_set_ui(mpq_numref(each), 1);
    mpq_mul(each, each, scale);
    if (mpz_cmp_ui(mpq_denref(each), n) < 0) {
        unsigned long step = mpz_get_ui(mpq_denref(each));
        for (unsigned long k = step; k < n && found == 0; k += step)
            if (k > 1 && naive_gcd(k, n) == 1 && naive_fits(scale, r, k))
                found = k;
    }
    mpq_clear(each);
    return found;
}

/* ---- gears ---- */

static bool naive_mesh(const struct cc_head *head, unsigned a, unsigned b)
{
    return (head->least_sum == 0 || a + b >= head->least_sum) &&
           (head->most_sum == 0 || a + b <= head->most_sum);
}

/* Gears of the set that are in use, as a set of indices. */
struct naive_used {
    size_t at[6];
    size_t n;
};

static bool naive_is_used(const struct naive_used *used, size_t i)
{
    for (size_t j = 0; j < used->n; j++)
        if (used->at[j] == i)
            return true;
    return false;
}

/*
 * Two shafts joined by gears a and b with idlers between are furthest apart when all stand in a line: half of a, all of each
 * idler, half of b, in pitch diameters, which are as many modules as teeth. A gear of c teeth beside b is half of c and one module
 * high, and must not reach the centre of a's shaft. All doubled here, to stay whole.
 */
static bool naive_clears(unsigned a, unsigned b, unsigned idlers, unsigned c)
{
    unsigned centres = a + 2 * idlers + b, outside = c + 2;
    return outside < centres;
}

/* num / den by so many pairs and idlers; negative: the plate turns against the crank. */
static void naive_add_train(struct naive *naive, unsigned long num, unsigned long den, bool negative, unsigned pairs,
                            unsigned idlers)
{
    mpq_t ratio;

    mpq_init(ratio);
    mpq_set_ui(ratio, num, den);
    mpq_canonicalize(ratio);
    if (negative)
        mpq_neg(ratio, ratio);
    mpq_sub(ratio, naive->head->worm, ratio);
    if (mpq_sgn(ratio) > 0) {
        if (naive->ratios == naive->room) {
            naive->room = naive->room == 0 ? 64 : 2 * naive->room;
            naive->train = realloc(naive->train, naive->room * sizeof *naive->train);
            assert_non_null(naive->train);
        }
        struct naive_train *train = &naive->train[naive->ratios++];
        mpq_init(train->ratio);
        mpq_swap(train->ratio, ratio);
        train->pairs = pairs;
        train->idlers = idlers;
    }
    mpq_clear(ratio);
}

/* An arrangement in one direction: one that can stand gives a ratio, and is counted once for gears of the same counts. */
static void naive_count(struct naive *naive, bool stands, bool first)
{
    if (first)
        *(stands ? &naive->trains : &naive->unfit) += 1;
}

/* Whether gear i is the first of its count that is not one of used. */
static bool naive_is_first(const struct cc_head *head, const struct naive_used *used, size_t i)
{
    for (size_t j = 0; j < i; j++)
        if (head->gears.at[j] == head->gears.at[i] && !naive_is_used(used, j))
            return false;
    return true;
}

/* Whether a and b are joined by one or two idlers of the gears not in use. */
static bool naive_simple_stands(const struct cc_head *head, const struct naive_used *used, unsigned a, unsigned b,
                                unsigned idlers)
{
    const unsigned *gear = head->gears.at;

    for (size_t x = 0; x < head->gears.n; x++) {
        if (naive_is_used(used, x) || !naive_mesh(head, a, gear[x]))
            continue;
        if (idlers == 1 && naive_mesh(head, gear[x], b))
            return true;
        for (size_t y = 0; y < head->gears.n && idlers == 2; y++)
            if (y != x && !naive_is_used(used, y) && naive_mesh(head, gear[x], gear[y]) && naive_mesh(head, gear[y], b))
                return true;
    }
    return false;
}

/* Whether a drives b, and c on b's stud drives d, with no idler, or with one: in the last mesh (back 0) or in the first. */
static bool naive_compound_stands(const struct cc_head *head, const struct naive_used *used, const unsigned gear[4],
                                  unsigned idlers, unsigned back)
{
    unsigned a = gear[0], b = gear[1], c = gear[2], d = gear[3];

    if (idlers == 0)
        return naive_mesh(head, a, b) && naive_mesh(head, c, d) && naive_clears(a, b, 0, c) && naive_clears(d, c, 0, b);
    for (size_t x = 0; x < head->gears.n; x++) {
        unsigned t = head->gears.at[x];
        if (naive_is_used(used, x))
            continue;
        if (back == 0 && naive_mesh(head, a, b) && naive_mesh(head, c, t) && naive_mesh(head, t, d) &&
            naive_clears(a, b, 0, c) && naive_clears(d, c, t, b))
            return true;
        if (back == 1 && naive_mesh(head, c, d) && naive_mesh(head, a, t) && naive_mesh(head, t, b) &&
            naive_clears(a, b, t, c) && naive_clears(d, c, 0, b))
            return true;
    }
    return false;
}

/* Simple train, one idler: the plate turns with the crank; two: against it. */
static void naive_simple(struct naive *naive, size_t i, size_t j, bool first)
{
    const struct cc_head *head = naive->head;
    unsigned a = head->gears.at[i], b = head->gears.at[j];
    struct naive_used used = { { i, j }, 2 };

    for (unsigned idlers = 1; idlers <= 2; idlers++) {
        bool stands = naive_simple_stands(head, &used, a, b, idlers);
        if (head->gears.n >= 2 + idlers)
            naive_count(naive, stands, first);
        if (stands)
            naive_add_train(naive, a, b, (idlers == 2) != head->reversed, 1, idlers);
    }
}

/* Compound train, no idler: with the crank; one, in either mesh: against it. */
static void naive_compound(struct naive *naive, size_t i, size_t j, size_t k, size_t l, bool first)
{
    const struct cc_head *head = naive->head;
    const unsigned *all = head->gears.at, gear[4] = { all[i], all[j], all[k], all[l] };
    struct naive_used used = { { i, j, k, l }, 4 };

    for (unsigned idlers = 0; idlers <= 1; idlers++) {
        bool stands = naive_compound_stands(head, &used, gear, idlers, 0) ||
                      (idlers > 0 && naive_compound_stands(head, &used, gear, idlers, 1));
        if (head->gears.n >= 4 + idlers)
            naive_count(naive, stands, first);
        if (stands)
            naive_add_train(naive, (unsigned long)gear[0] * gear[2], (unsigned long)gear[1] * gear[3],
                            (idlers == 1) != head->reversed, 2, idlers);
    }
}

static int naive_compare(const void *va, const void *vb)
{
    const struct naive_train *a = va, *b = vb;
    int d = mpq_cmp(a->ratio, b->ratio);

    if (d == 0)
        d = (int)a->pairs - (int)b->pairs;
    return d != 0 ? d : (int)a->idlers - (int)b->idlers;
}

static void naive_init(struct naive *naive, const struct cc_head *head)
{
    size_t n = head->has_worm ? head->gears.n : 0, kept = 0;

    *naive = (struct naive){ .head = head };
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            if (i == j)
                continue;
            struct naive_used used = { { i }, 1 }, none = { { 0 }, 0 };
            bool first = naive_is_first(head, &none, i) && naive_is_first(head, &used, j);
            if (n >= 3)
                naive_simple(naive, i, j, first);
            used = (struct naive_used){ { i, j }, 2 };
            for (size_t k = 0; k < n; k++)
                for (size_t l = 0; l < n; l++) {
                    if (k == i || k == j || l == i || l == j || l == k)
                        continue;
                    struct naive_used three = { { i, j, k }, 3 };
                    naive_compound(naive, i, j, k, l,
                                   first && naive_is_first(head, &used, k) && naive_is_first(head, &three, l));
                }
        }
    if (naive->ratios > 0)
        qsort(naive->train, naive->ratios, sizeof *naive->train, naive_compare);
    for (size_t i = 0; i < naive->ratios; i++) {
        if (kept > 0 && mpq_equal(naive->train[i].ratio, naive->train[kept - 1].ratio))
            mpq_clear(naive->train[i].ratio);
        else
            naive->train[kept++] = naive->train[i];
    }
    naive->ratios = kept;
}

static void naive_clear(struct naive *naive)
{
    for (size_t i = 0; i < naive->ratios; i++)
        mpq_clear(naive->train[i].ratio);
    free(naive->train);
}

/* ---- settings ---- */

/* A setting of the crank pin and perhaps the plate: scale units to a turn of the spindle. */
struct naive_setting {
    size_t plate;
    unsigned side, circle, circle2;
    unsigned long unit;
    bool dial;              /* no pin: the reading of the dial */
    unsigned detent;        /* parts of a hole space that circle counts; 0 and 1: none */
};

/* The dial, read to lines x vernier x eye parts. */
static struct naive_setting naive_dial(const struct cc_head *head, const struct cc_request *r)
{
    unsigned long parts = (unsigned long)head->dial.lines * head->dial.vernier * (r->by_eye > 0 ? r->by_eye : 1);

    return (struct naive_setting){ .plate = head->plate_count, .circle = (unsigned)parts, .unit = parts, .dial = true };
}

/* Pins of circle i of the direct plate. */
static unsigned naive_pins(const struct cc_head *head, size_t i)
{
    return head->vernier.n > 0 ? head->vernier.at[i] : 1;
}

/* Whether the profile lets a pin stand in a circle of so many holes; one that it says nothing of reaches all. */
static bool naive_reaches(const struct cc_counts *circles, unsigned long holes)
{
    bool reaches = circles->n == 0;

    for (size_t i = 0; i < circles->n; i++)
        reaches = reaches || circles->at[i] == holes;
    return reaches;
}

static bool naive_pins_reach(const struct cc_head *head, unsigned long crank, unsigned long second)
{
    return naive_reaches(&head->crank_pin_circles, crank) && naive_reaches(&head->plate_pin_circles, second);
}

typedef bool naive_visit(const struct naive_setting *setting, void *data);

/* Call visit for each circle of each plate until it returns true; whether it did. */
static bool naive_circles(const struct cc_head *head, naive_visit *visit, void *data)
{
    for (size_t p = 0; p < head->plate_count && head->has_worm; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES; s++)
            for (size_t i = 0; i < head->plates[p].side[s].n; i++) {
                unsigned c = head->plates[p].side[s].at[i];
                if (!naive_reaches(&head->crank_pin_circles, c))
                    continue;
                struct naive_setting setting = { p, s + 1, c, 0, c, false, 1 };
                if (visit(&setting, data))
                    return true;
            }
    return false;
}

/* The same for each circle of a plate with a detent, as one of so many times the holes. */
static bool naive_fine(const struct cc_head *head, naive_visit *visit, void *data)
{
    for (size_t p = 0; p < head->plate_count && head->has_worm; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES && head->plates[p].detent > 1; s++)
            for (size_t i = 0; i < head->plates[p].side[s].n; i++) {
                unsigned parts = head->plates[p].detent, c = head->plates[p].side[s].at[i];
                if (!naive_reaches(&head->crank_pin_circles, c))
                    continue;
                struct naive_setting setting = { p, s + 1, c * parts, 0, c * parts, false, parts };
                if (visit(&setting, data))
                    return true;
            }
    return false;
}

/* The same for each pair of circles that the two pins can use and that gives more than either alone. */
static bool naive_pairs(const struct cc_head *head, naive_visit *visit, void *data)
{
    if (!head->has_worm || head->plate_pin == CC_PIN_NONE)
        return false;
    for (size_t p = 0; p < head->plate_count; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES; s++) {
            bool same = head->plate_pin == CC_PIN_SAME;
            const struct cc_counts *pin = &head->plates[p].side[s];
            const struct cc_counts *back = &head->plates[p].side[same ? s : 1 - s];
            for (size_t i = 0; i < pin->n; i++)
                for (size_t j = same ? i + 1 : 0; j < back->n; j++) {
                    unsigned long a = pin->at[i], b = back->at[j], lcm = a / naive_gcd(a, b) * b;
                    struct naive_setting setting = { p, s + 1, (unsigned)a, (unsigned)b, lcm, false, 1 };
                    if (same && !naive_pins_reach(head, a, b) && !naive_pins_reach(head, b, a))
                        continue;
                    if (!same && !naive_pins_reach(head, a, b))
                        continue;
                    if (lcm != a && lcm != b && visit(&setting, data))
                        return true;
                }
        }
    return false;
}

/* What is asked of one setting while the loops run. */
struct naive_question {
    const struct cc_request *request;
    mpq_srcptr ratio;       /* crank turns in one turn of the spindle */
    bool blocks;            /* blocks other than the one asked for, too */
};

static bool naive_is_allowed(const struct naive_setting *s, const struct cc_request *r)
{
    return r->circle == 0 || r->circle == s->circle || r->circle == s->circle2 ||
           (s->detent > 1 && r->circle == s->circle / s->detent);
}

static bool naive_serves(const struct naive_setting *s, void *data)
{
    const struct naive_question *q = data;
    bool serves;
    mpq_t scale;

    if (!naive_is_allowed(s, q->request))
        return false;
    mpq_init(scale);
    mpq_set_ui(scale, s->unit, 1);
    mpq_mul(scale, scale, q->ratio);
    unsigned long asked = mpz_get_ui(q->request->block);
    serves = q->blocks ? naive_block(scale, q->request) > 0
                       : naive_fits(scale, q->request, asked > 0 ? asked : 1);
    mpq_clear(scale);
    return serves;
}

static bool naive_direct(const struct cc_head *head, const struct cc_request *r)
{
    mpq_t one;
    bool serves = false;

    mpq_init(one);
    mpq_set_ui(one, 1, 1);
    struct naive_question q = { r, one, false };
    for (size_t i = 0; i < head->direct.n && !serves; i++) {
        unsigned holes = head->direct.at[i];
        struct naive_setting s = { 0, 0, holes, 0, (unsigned long)holes * naive_pins(head, i), false, 1 };
        serves = naive_serves(&s, &q);
    }
    mpq_clear(one);
    return serves;
}

/* The first class, in the order of preference, that has an exact setting for the request. */
static enum naive_class naive_best(const struct naive *naive, const struct cc_request *r)
{
    const struct cc_head *head = naive->head;
    struct naive_question q = { r, head->worm, true };

    if ((r->methods & 1U << CC_DIRECT) != 0 && naive_direct(head, r))
        return NAIVE_DIRECT;
    if ((r->methods & 1U << CC_PLAIN) != 0 &&
        (naive_circles(head, naive_serves, &q) || naive_fine(head, naive_serves, &q)))
        return NAIVE_PLAIN;
    bool geared = (r->methods & 1U << CC_DIFFERENTIAL) != 0;
    q.blocks = false;
    const struct naive_setting dial = naive_dial(head, r);
    if ((r->methods & 1U << CC_DIAL) != 0 && dial.unit > 0 && naive_serves(&dial, &q))
        return NAIVE_DIAL;
    for (size_t i = 0; i < naive->ratios && geared; i++) {
        q.ratio = naive->train[i].ratio;
        if (naive_circles(head, naive_serves, &q))
            return NAIVE_DIFFERENTIAL;
    }
    q.blocks = true;
    q.ratio = head->worm;
    if ((r->methods & 1U << CC_COMPOUND) != 0 && naive_pairs(head, naive_serves, &q))
        return NAIVE_COMPOUND;
    for (size_t i = 0; i < naive->ratios && geared; i++) {
        q.ratio = naive->train[i].ratio;
        if (naive_circles(head, naive_serves, &q))
            return NAIVE_DIFFERENTIAL_BLOCKS;
    }
    return NAIVE_NONE;
}

#endif
