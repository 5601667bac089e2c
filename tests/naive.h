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
};

typedef bool naive_visit(const struct naive_setting *setting, void *data);

/* Call visit for each circle of each plate until it returns true; whether it did. */
static bool naive_circles(const struct cc_head *head, naive_visit *visit, void *data)
{
    for (size_t p = 0; p < head->plate_count && head->has_worm; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES; s++)
            for (size_t i = 0; i < head->plates[p].side[s].n; i++) {
                unsigned c = head->plates[p].side[s].at[i];
                struct naive_setting setting = { p, s + 1, c, 0, c };
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
                    struct naive_setting setting = { p, s + 1, (unsigned)a, (unsigned)b, lcm };
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
    return r->circle == 0 || r->circle == s->circle || r->circle == s->circle2;
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
        struct naive_setting s = { 0, 0, holes, 0, (unsigned long)holes * head->vernier };
        serves = naive_serves(&s, &q);
    }
    mpq_clear(one);
    return serves;
}

/* ---- effort ---- */

/* What a way of doing it asks of the hands; seconds of docs/method.md, "Effort", written down again. */
struct naive_work {
    bool direct, pins;          /* by the direct plate; with pins of a fixture */
    bool second_pin;            /* compound */
    bool varies;                /* positions rounded one by one */
    bool list, back, blocks, mounted;
    unsigned pairs, idlers;
    unsigned long long movements, whole_turns;
};

static unsigned long long naive_setting_up(const struct naive_work *w, const struct cc_head *head)
{
    unsigned long long s = 75;

    if (w->direct)
        return head->has_worm ? 60 + 150 : 0;
    if (!w->mounted)
        s += 300;
    if (w->second_pin)
        s += 180;
    if (w->pairs == 1)
        s += w->idlers == 1 ? 900 + 600 : 1200 + 600;
    if (w->pairs == 2)
        s += w->idlers == 0 ? 1500 + 600 : 1800 + 600;
    return s;
}

/* Hands and risk of one movement, whole turns and blocks aside. */
static void naive_movement(unsigned *hands, unsigned *risk, const struct naive_work *w)
{
#define COST(a, b) (*hands = (a), *risk = (b))
    if (w->direct && w->pins)
        COST(12, 8);
    else if (w->direct && (w->varies || w->list))
        COST(14, 12);
    else if (w->direct)
        COST(7, 3);
    else if (w->second_pin && w->list)
        COST(42, 60);
    else if (w->second_pin && w->varies)
        COST(32, 40);
    else if (w->second_pin && w->back)
        COST(32, 30);
    else if (w->second_pin)
        COST(25, 25);
    else if (w->pairs > 0 && w->list)
        COST(24, 22);
    else if (w->pairs > 0)
        COST(12, 6);
    else if (w->list)
        COST(22, 20);
    else if (w->varies)
        COST(14, 12);
    else
        COST(10, 4);
#undef COST
}

/* Seconds: *time of the hands, the result with the risk. */
static unsigned long long naive_effort(unsigned long long *time, const struct naive_work *w, const struct cc_head *head)
{
    unsigned hands, risk;
    unsigned long long turns = w->direct ? 0 : w->whole_turns;

    naive_movement(&hands, &risk, w);
    if (w->blocks) {
        hands += 5;
        risk += 10;
    }
    *time = naive_setting_up(w, head) + w->movements * (2ULL * hands + 3) + 2 * 2 * turns;
    return *time + w->movements * risk + 2 * turns;
}

/* The first class, in the order of preference, that has an exact setting for the request. */
static enum naive_class naive_best(const struct naive *naive, const struct cc_request *r)
{
    const struct cc_head *head = naive->head;
    struct naive_question q = { r, head->worm, true };

    if ((r->methods & 1U << CC_DIRECT) != 0 && naive_direct(head, r))
        return NAIVE_DIRECT;
    if ((r->methods & 1U << CC_PLAIN) != 0 && naive_circles(head, naive_serves, &q))
        return NAIVE_PLAIN;
    bool geared = (r->methods & 1U << CC_DIFFERENTIAL) != 0;
    q.blocks = false;
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

/* ---- the first plan ---- */

/* What decides which of two plans comes first, down to the larger circle. */
struct naive_rank {
    bool any, within, holds, exact;
    unsigned class;             /* of exact plans */
    unsigned long long effort;  /* seconds */
    mpq_t worst;                /* revolutions */
};

/* While all settings are gone through; the request is a full circle without an offset. */
struct naive_search {
    const struct naive *naive;
    const struct cc_request *request;
    const struct naive_train *train;    /* of the settings at hand, or NULL */
    mpq_t tolerance;
    bool holds_worm, holds_direct;
    struct naive_rank best;
};

static bool naive_is_allowed_method(const struct naive_search *s, enum cc_method method)
{
    return (s->request->methods & 1U << method) != 0;
}

/* 2' through the worm and 5' by the direct plate where nothing is stated. */
static void naive_holds(mpq_t holds, const struct cc_head *head, bool direct)
{
    if (direct ? head->has_direct_accuracy : head->has_worm_accuracy)
        mpq_set(holds, direct ? head->direct_accuracy : head->worm_accuracy);
    else
        mpq_set_ui(holds, 1, direct ? 4320 : 10800);
}

static int naive_rank_compare(const struct naive_rank *a, const struct naive_rank *b)
{
    if (a->within != b->within)
        return a->within ? -1 : 1;
    if (!a->within && !mpq_equal(a->worst, b->worst))
        return mpq_cmp(a->worst, b->worst);
    if (a->holds != b->holds)
        return a->holds ? -1 : 1;
    if (a->exact != b->exact)
        return a->exact ? -1 : 1;
    if (a->exact && a->class != b->class)
        return a->class < b->class ? -1 : 1;
    if (a->effort != b->effort)
        return a->effort < b->effort ? -1 : 1;
    return mpq_cmp(a->worst, b->worst);
}

/* Offer a way of doing it: its worst error, exact class, and what it asks of the hands. */
static void naive_offer(struct naive_search *s, const mpq_t worst, unsigned class, const struct naive_work *work)
{
    unsigned long long time;
    struct naive_rank one = {
        .any = true, .within = mpq_cmp(worst, s->tolerance) <= 0, .exact = mpq_sgn(worst) == 0, .class = class,
        .holds = work->direct ? s->holds_direct : s->holds_worm,
        .effort = naive_effort(&time, work, s->naive->head),
    };

    mpq_init(one.worst);
    mpq_set(one.worst, worst);
    if (!s->best.any || naive_rank_compare(&one, &s->best) < 0) {
        mpq_clear(s->best.worst);
        s->best = one;
    } else {
        mpq_clear(one.worst);
    }
}

/* The nearest whole number to a positive q, halves up. */
static unsigned long naive_nearest(const mpq_t q)
{
    mpq_t half;
    mpz_t n;
    unsigned long whole;

    mpq_init(half);
    mpz_init(n);
    mpq_set_ui(half, 1, 2);
    mpq_add(half, half, q);
    mpz_fdiv_q(n, mpq_numref(half), mpq_denref(half));
    whole = mpz_get_ui(n);
    mpz_clear(n);
    mpq_clear(half);
    return whole;
}

/* Whether a movement of so many units of 1/lcm can be shared out with neither pin going back. */
static bool naive_goes_forward(const struct naive_setting *at, unsigned long units)
{
    unsigned long pin_hole = at->unit / at->circle, plate_hole = at->circle2 > 0 ? at->unit / at->circle2 : 1;

    if (at->circle2 == 0 || at->side == 0)
        return true;
    for (unsigned long b = 0; b * plate_hole <= units; b++)
        if ((units - b * plate_hole) % pin_hole == 0)
            return true;
    return false;
}

static struct naive_work naive_work_at(const struct naive_search *s, const struct naive_setting *at, unsigned long k)
{
    const struct cc_head *head = s->naive->head;

    return (struct naive_work){
        .direct = at->side == 0, .pins = at->side == 0 && head->vernier > 1,
        .second_pin = at->side > 0 && at->circle2 > 0, .blocks = k > 1,
        .mounted = at->plate == head->mounted_plate && at->side == head->mounted_side,
        .pairs = s->train != NULL ? s->train->pairs : 0, .idlers = s->train != NULL ? s->train->idlers : 0,
        .movements = mpz_get_ui(s->request->divisions),
    };
}

/* The same movement of the nearest units every time, k divisions: offered where neighbours are surely kept apart. */
static void naive_constant(struct naive_search *s, const struct naive_setting *at, const mpq_t scale, unsigned long k,
                           unsigned long widest, unsigned class)
{
    unsigned long n = mpz_get_ui(s->request->divisions);
    struct naive_work work = naive_work_at(s, at, k);
    mpq_t wanted, error;

    mpq_init(wanted);
    mpq_init(error);
    mpq_set_ui(wanted, k, n);
    mpq_canonicalize(wanted);
    mpq_mul(wanted, wanted, scale);
    unsigned long units = naive_nearest(wanted);
    mpq_set_ui(error, units, 1);
    mpq_sub(error, error, wanted);
    mpq_div(error, error, scale);
    mpq_abs(error, error);
    mpz_mul_ui(mpq_numref(error), mpq_numref(error), n);
    mpq_canonicalize(error);
    work.whole_turns = (unsigned long long)n * (units / at->unit);
    work.back = !naive_goes_forward(at, units);
    mpq_set_ui(wanted, 1, widest > 0 ? widest : 1);
    if (units > 0 && mpq_cmp(error, wanted) < 0 && (mpq_sgn(error) == 0) == (class > 0))
        naive_offer(s, error, class, &work);
    mpq_clear(error);
    mpq_clear(wanted);
}

/* Each position rounded by itself. */
static void naive_rounded(struct naive_search *s, const struct naive_setting *at, const mpq_t scale, unsigned long k)
{
    unsigned long n = mpz_get_ui(s->request->divisions), last = 0;
    struct naive_work work = naive_work_at(s, at, k);
    mpq_t wanted, error, worst;

    mpq_init(wanted);
    mpq_init(error);
    mpq_init(worst);
    for (unsigned long i = 1; i <= n; i++) {
        mpq_set_ui(wanted, i * k, n);
        mpq_canonicalize(wanted);
        mpq_mul(wanted, wanted, scale);
        unsigned long units = naive_nearest(wanted);
        mpq_set_ui(error, units, 1);
        mpq_sub(error, error, wanted);
        mpq_abs(error, error);
        if (mpq_cmp(error, worst) > 0)
            mpq_set(worst, error);
        work.whole_turns += (units - last) / at->unit;
        last = units;
    }
    mpq_div(worst, worst, scale);
    work.varies = true;
    naive_offer(s, worst, 0, &work);
    mpq_clear(worst);
    mpq_clear(error);
    mpq_clear(wanted);
}

/* Classes: 1 direct, 2 plain, 4 differential, 5 compound, one more (differential: 7) by blocks that nobody asked for. */
static bool naive_try(const struct naive_setting *at, void *data)
{
    struct naive_search *s = data;
    const struct cc_request *r = s->request;
    unsigned long n = mpz_get_ui(r->divisions), asked = mpz_get_ui(r->block), k = asked > 0 ? asked : 1;
    bool single = at->circle2 == 0 || at->side == 0;
    enum cc_method exact = at->side == 0     ? CC_DIRECT
                           : s->train != NULL ? CC_DIFFERENTIAL
                           : single          ? CC_PLAIN
                                             : CC_COMPOUND;
    unsigned class = exact == CC_DIRECT ? 1 : exact == CC_PLAIN ? 2 : exact == CC_DIFFERENTIAL ? 4 : 5;
    mpq_t scale, count;

    if (!naive_is_allowed(at, r))
        return false;
    mpq_init(scale);
    mpq_init(count);
    mpq_set_ui(scale, at->unit, 1);
    if (at->side > 0)
        mpq_mul(scale, scale, s->train != NULL ? s->train->ratio : s->naive->head->worm);
    unsigned long block = at->side == 0 ? (naive_fits(scale, r, k) ? k : 0) : naive_block(scale, r);
    if (block > 0 && block != k)
        class = exact == CC_DIFFERENTIAL ? 7 : class + 1;
    if (block > 0 && naive_is_allowed_method(s, exact))
        naive_constant(s, at, scale, block, 0, class);
    bool fits = naive_fits(scale, r, k);
    mpq_set_z(count, r->divisions);
    bool whole = mpz_cmp_ui(mpq_denref(scale), 1) == 0;
    if (!fits && s->train == NULL && mpq_cmp(count, scale) <= 0 && (k == 1 || whole) &&
        naive_is_allowed_method(s, single ? CC_NEAREST_HOLE : CC_NEAREST_COMPOUND))
        naive_rounded(s, at, scale, k);
    for (unsigned long b = asked > 0 ? asked : 1; !single && b < (asked > 0 ? asked + 1 : n) &&
         naive_is_allowed_method(s, CC_NEARLY_EXACT); b++)
        if (naive_gcd(b, n) == 1)
            naive_constant(s, at, scale, b, n - 1, 0);
    if (s->train != NULL && naive_is_allowed_method(s, CC_DIFFERENTIAL)) {
        unsigned long j = 1;
        while (n > 1 && j * k % n != 1)
            j++;
        naive_constant(s, at, scale, k, n - j > j ? n - j : j, 0);
    }
    mpq_clear(count);
    mpq_clear(scale);
    return false;
}

/* The rank of the first plan there is; the caller clears first->worst. */
static void naive_first(struct naive_rank *first, const struct naive *naive, const struct cc_request *r)
{
    const struct cc_head *head = naive->head;
    struct naive_search s = { .naive = naive, .request = r };
    mpq_t holds;

    mpq_init(s.tolerance);
    mpq_init(s.best.worst);
    mpq_init(holds);
    naive_holds(s.tolerance, head, !head->has_worm);
    mpq_div_2exp(s.tolerance, s.tolerance, 2);
    if (r->has_tolerance)
        mpq_set(s.tolerance, r->tolerance);
    naive_holds(holds, head, false);
    s.holds_worm = !r->has_tolerance || mpq_cmp(holds, s.tolerance) <= 0;
    naive_holds(holds, head, true);
    s.holds_direct = !r->has_tolerance || mpq_cmp(holds, s.tolerance) <= 0;
    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i];
        struct naive_setting at = { head->plate_count, 0, holes, 0, (unsigned long)holes * head->vernier };
        naive_try(&at, &s);
    }
    naive_circles(head, naive_try, &s);
    naive_pairs(head, naive_try, &s);
    for (size_t i = 0; i < naive->ratios; i++) {
        s.train = &naive->train[i];
        naive_circles(head, naive_try, &s);
    }
    *first = s.best;
    mpq_clear(holds);
    mpq_clear(s.tolerance);
}

#endif
