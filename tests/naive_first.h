/*
 * naive_first.h: the order of plans the long way. Every setting, block and train of a head is priced and ranked by plain
 * loops; the seconds of docs/method.md, "Effort", are written down again. For one test program.
 */
#ifndef CRANKCARD_TESTS_NAIVE_FIRST_H
#define CRANKCARD_TESTS_NAIVE_FIRST_H

#include "naive.h"

/* ---- effort ---- */

/* What a way of doing it asks of the hands; seconds of docs/method.md, "Effort", written down again. */
struct naive_work {
    bool direct, pins;          /* by the direct plate; with pins of a fixture */
    bool dial, parts;           /* by the dial; finer than its lines */
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
    if (w->dial)
        return 0;
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
    if (w->dial)
        COST(w->parts ? 16 : 12, 10);
    else if (w->direct && w->pins)
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
    bool holds_worm, holds_direct, holds_dial;
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
        .holds = work->direct ? s->holds_direct : work->dial ? s->holds_dial : s->holds_worm,
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

    if (at->circle2 == 0 || at->side == 0 || at->dial)
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
        .direct = at->side == 0 && !at->dial, .pins = at->side == 0 && at->unit != at->circle,
        .list = at->detent > 1, .dial = at->dial, .parts = at->dial && at->unit > head->dial.lines,
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

/* Classes: 1 direct, 2 plain, 4 dial, 5 differential, 6 compound, one more (differential: 8) by blocks that nobody asked for. */
static bool naive_try(const struct naive_setting *at, void *data)
{
    struct naive_search *s = data;
    const struct cc_request *r = s->request;
    unsigned long n = mpz_get_ui(r->divisions), asked = mpz_get_ui(r->block), k = asked > 0 ? asked : 1;
    bool single = at->circle2 == 0 || at->side == 0;
    enum cc_method exact = at->dial          ? CC_DIAL
                           : at->side == 0   ? CC_DIRECT
                           : s->train != NULL ? CC_DIFFERENTIAL
                           : single          ? CC_PLAIN
                                             : CC_COMPOUND;
    unsigned class = exact == CC_DIRECT ? 1 : exact == CC_PLAIN ? 2 : exact == CC_DIAL ? 4 : exact == CC_DIFFERENTIAL ? 5 : 6;
    mpq_t scale, count;

    if (!naive_is_allowed(at, r))
        return false;
    mpq_init(scale);
    mpq_init(count);
    mpq_set_ui(scale, at->unit, 1);
    if (at->side > 0 || at->dial)
        mpq_mul(scale, scale, s->train != NULL ? s->train->ratio : s->naive->head->worm);
    unsigned long block = at->side == 0 || at->dial ? (naive_fits(scale, r, k) ? k : 0) : naive_block(scale, r);
    if (block > 0 && block != k)
        class = exact == CC_DIFFERENTIAL ? 8 : class + 1;
    if (block > 0 && naive_is_allowed_method(s, exact))
        naive_constant(s, at, scale, block, 0, class);
    bool fits = naive_fits(scale, r, k);
    mpq_set_z(count, r->divisions);
    bool whole = mpz_cmp_ui(mpq_denref(scale), 1) == 0;
    if (!fits && s->train == NULL && mpq_cmp(count, scale) <= 0 && (k == 1 || whole) &&
        naive_is_allowed_method(s, at->dial ? CC_DIAL : single ? CC_NEAREST_HOLE : CC_NEAREST_COMPOUND))
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
    if (head->has_dial_accuracy)
        mpq_set(holds, head->dial_accuracy);
    else
        naive_holds(holds, head, false);
    s.holds_dial = !r->has_tolerance || mpq_cmp(holds, s.tolerance) <= 0;
    struct naive_setting dial = naive_dial(head, r);
    if (dial.unit > 0)
        naive_try(&dial, &s);
    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i];
        struct naive_setting at = { head->plate_count, 0, holes, 0, (unsigned long)holes * naive_pins(head, i), false, 1 };
        naive_try(&at, &s);
    }
    naive_circles(head, naive_try, &s);
    naive_fine(head, naive_try, &s);
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
