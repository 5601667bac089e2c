/*
 * cover.c: maximum cover by branch and bound.
 *
 * A node has some sets in and some ruled out. Two bounds on what it can still reach, with r sets to
 * choose:
 *
 *   - the r largest gains (weight of the items a set would add), because gains only shrink;
 *   - for any share z of an item's weight w, 0 <= z <= w: all uncovered items give up w - z for
 * nothing, and the r sets with the largest sum of shares earn theirs. Whatever the shares, this is
 * never too low: an item covered by a chosen set earns z at least once. Good shares come from a
 *     subgradient search, once, in doubles; they are then fixed as whole numbers, so the bound
 * itself is exact.
 *
 * The sets of a node are tried in order of gain; each is ruled out once it has been tried.
 */
#include "trade/cover.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Shares count in 1/1024 of a unit of weight. */
#define SCALE 1024

struct search {
    const struct cci_cover *p;
    size_t *holders, *holder_first; /* the sets that hold each item */
    long long *share;               /* z * SCALE of each item */
    long long *gain;                /* weight of the uncovered items of each set */
    long long *share_gain;          /* shares of the uncovered items of each set */
    long long loose;                /* sum of w * SCALE - z over uncovered items */
    unsigned *covered;              /* how many sets in hold each item */
    bool *out;                      /* ruled out, or in already */
    size_t *in;                     /* the sets in, depth of them */
    size_t depth;
    size_t *tried; /* a row of sets for each depth */
    long long value;
    size_t *best;
    size_t best_count;
    long long best_value;
    unsigned long long nodes;
    long long open_bound; /* highest bound of what was left unsearched */
    bool cut;             /* something was left unsearched */
    long long *top;       /* room for the largest r of something */
};

/* by 1: a set comes in; -1: it goes out. */
static void change(struct search *s, size_t set, int by)
{
    const struct cci_cover *p = s->p;

    for (size_t i = p->first[set]; i < p->first[set + 1]; i++) {
        size_t item = p->member[i];
        long long weight = by * p->weight[item], share = by * s->share[item];
        s->covered[item] += (unsigned)by;
        if (s->covered[item] != (by > 0 ? 1 : 0))
            continue;
        s->value += weight;
        s->loose -= weight * SCALE - share;
        for (size_t k = s->holder_first[item]; k < s->holder_first[item + 1]; k++) {
            s->gain[s->holders[k]] -= weight;
            s->share_gain[s->holders[k]] -= share;
        }
    }
}

static void put_in(struct search *s, size_t set)
{
    change(s, set, 1);
    s->in[s->depth++] = set;
}

static void take_out(struct search *s)
{
    change(s, s->in[--s->depth], -1);
}

/* The sum of the r largest of value over sets not ruled out. */
static long long sum_of_largest(struct search *s, const long long *value, size_t r)
{
    size_t n = 0;
    long long sum = 0;

    for (size_t set = 0; set < s->p->sets; set++) {
        if (s->out[set])
            continue;
        long long v = value[set];
        size_t i = n < r ? n++ : r;
        if (i == r) {
            if (v <= s->top[r - 1])
                continue;
            i = r - 1;
        }
        while (i > 0 && s->top[i - 1] < v) {
            s->top[i] = s->top[i - 1];
            i--;
        }
        s->top[i] = v;
    }
    for (size_t i = 0; i < n; i++)
        sum += s->top[i];
    return sum;
}

/* No way on from here reaches more than this. */
static long long reach(struct search *s)
{
    size_t r = s->p->choose - s->depth;
    long long by_gain = s->value + sum_of_largest(s, s->gain, r);

    if (by_gain <= s->best_value)
        return by_gain;
    long long by_share = s->value + (s->loose + sum_of_largest(s, s->share_gain, r)) / SCALE;
    return by_share < by_gain ? by_share : by_gain;
}

/* The set with the largest gain, the first of equals; p->sets where no set gains anything. */
static size_t pick(const struct search *s)
{
    size_t best = s->p->sets;

    for (size_t set = 0; set < s->p->sets; set++)
        if (!s->out[set] && s->gain[set] > 0 &&
            (best == s->p->sets || s->gain[set] > s->gain[best]))
            best = set;
    return best;
}

static void keep_best(struct search *s)
{
    if (s->value <= s->best_value)
        return;
    s->best_value = s->value;
    s->best_count = s->depth;
    memcpy(s->best, s->in, s->depth * sizeof *s->in);
}

static void branch(struct search *s)
{
    size_t *tried = s->tried + s->p->sets * s->depth;
    size_t n = 0;

    keep_best(s);
    while (s->depth < s->p->choose && n < s->p->sets) {
        long long bound = reach(s);
        size_t set = pick(s);
        if (bound <= s->best_value || set == s->p->sets)
            break;
        if (s->nodes >= s->p->nodes) {
            s->cut = true;
            s->open_bound = bound > s->open_bound ? bound : s->open_bound;
            break;
        }
        s->nodes++;
        s->out[set] = true;
        tried[n++] = set;
        put_in(s, set);
        branch(s);
        take_out(s);
    }
    while (n > 0)
        s->out[tried[--n]] = false;
}

/* ---- shares ---- */

/* A round of the subgradient search: z, the sum of shares of each set, and how often the best sets
 * hold an item. */
struct shares {
    double *z, *best_z, *sum, *times;
    bool *taken;
};

#define ROUNDS 300

/* The bound that z gives; sh->times is filled with how often the sets that it would choose hold
 * each item. */
static double share_bound(const struct cci_cover *p, struct shares *sh)
{
    double bound = 0;

    for (size_t i = 0; i < p->items; i++) {
        bound += (double)p->weight[i] - sh->z[i];
        sh->times[i] = 0;
    }
    for (size_t set = 0; set < p->sets; set++) {
        sh->taken[set] = false;
        sh->sum[set] = 0;
        for (size_t i = p->first[set]; i < p->first[set + 1]; i++)
            sh->sum[set] += sh->z[p->member[i]];
    }
    for (size_t r = 0; r < p->choose && r < p->sets; r++) {
        size_t best = p->sets;
        for (size_t set = 0; set < p->sets; set++)
            if (!sh->taken[set] && (best == p->sets || sh->sum[set] > sh->sum[best]))
                best = set;
        sh->taken[best] = true;
        bound += sh->sum[best];
        for (size_t i = p->first[best]; i < p->first[best + 1]; i++)
            sh->times[p->member[i]] += 1;
    }
    return bound;
}

/* Move the shares against the slope of the bound, by Polyak's step towards low. */
static void step(const struct cci_cover *p, struct shares *sh, double bound, double low,
                 double pace)
{
    double square = 0;

    for (size_t i = 0; i < p->items; i++)
        square += (sh->times[i] - 1) * (sh->times[i] - 1);
    if (square == 0)
        return;
    for (size_t i = 0; i < p->items; i++) {
        double z = sh->z[i] - pace * (bound - low) / square * (sh->times[i] - 1);
        sh->z[i] = fmin(fmax(z, 0), (double)p->weight[i]);
    }
}

/* Whole-numbered shares into s->share; low is a cover already found. */
static enum cc_status find_shares(struct search *s, double low)
{
    const struct cci_cover *p = s->p;
    double *room = malloc((3 * p->items + p->sets) * sizeof *room);
    bool *taken = malloc(p->sets * sizeof *taken);
    double best = HUGE_VAL, pace = 1;

    if (room == NULL || taken == NULL) {
        free(taken);
        free(room);
        return CC_ENOMEM;
    }
    struct shares sh = {room, room + p->items, room + 3 * p->items, room + 2 * p->items, taken};
    for (size_t i = 0; i < p->items; i++)
        sh.z[i] = (double)p->weight[i];
    for (int round = 0; round < ROUNDS && best > low; round++) {
        double bound = share_bound(p, &sh);
        if (bound < best) {
            best = bound;
            memcpy(sh.best_z, sh.z, p->items * sizeof *sh.z);
        } else {
            pace *= 0.98;
        }
        step(p, &sh, bound, low, pace);
    }
    for (size_t i = 0; i < p->items; i++)
        s->share[i] = (long long)(sh.best_z[i] * SCALE);
    free(taken);
    free(room);
    return CC_OK;
}

/* ---- setting up ---- */

static void list_holders(struct search *s)
{
    const struct cci_cover *p = s->p;
    size_t members = p->first[p->sets];

    memset(s->holder_first, 0, (p->items + 2) * sizeof *s->holder_first);
    for (size_t i = 0; i < members; i++)
        s->holder_first[p->member[i] + 2]++;
    for (size_t i = 2; i < p->items + 2; i++)
        s->holder_first[i] += s->holder_first[i - 1];
    for (size_t set = 0; set < p->sets; set++)
        for (size_t i = p->first[set]; i < p->first[set + 1]; i++)
            s->holders[s->holder_first[p->member[i] + 1]++] = set;
}

static void begin(struct search *s)
{
    const struct cci_cover *p = s->p;

    s->loose = 0;
    for (size_t i = 0; i < p->items; i++) {
        s->covered[i] = 0;
        s->loose += p->weight[i] * SCALE - s->share[i];
    }
    for (size_t set = 0; set < p->sets; set++) {
        s->out[set] = false;
        s->gain[set] = 0;
        s->share_gain[set] = 0;
        for (size_t i = p->first[set]; i < p->first[set + 1]; i++) {
            s->gain[set] += p->weight[p->member[i]];
            s->share_gain[set] += s->share[p->member[i]];
        }
    }
}

/* The largest gain, again and again: a good cover to begin with. */
static void greedy(struct search *s)
{
    while (s->depth < s->p->choose) {
        size_t set = pick(s);
        if (set == s->p->sets)
            break;
        put_in(s, set);
    }
    keep_best(s);
    while (s->depth > 0)
        take_out(s);
}

static bool make_room(struct search *s)
{
    const struct cci_cover *p = s->p;
    size_t members = p->first[p->sets];

    s->holders = malloc((members + 1) * sizeof *s->holders);
    s->holder_first = malloc((p->items + 2) * sizeof *s->holder_first);
    s->share = calloc(p->items + 1, sizeof *s->share);
    s->gain = malloc((p->sets + 1) * sizeof *s->gain);
    s->share_gain = malloc((p->sets + 1) * sizeof *s->share_gain);
    s->covered = malloc((p->items + 1) * sizeof *s->covered);
    s->out = malloc(p->sets + 1);
    s->in = malloc((p->choose + 1) * sizeof *s->in);
    s->tried = malloc((p->sets * p->choose + 1) * sizeof *s->tried);
    s->top = malloc((p->choose + 1) * sizeof *s->top);
    return s->holders != NULL && s->holder_first != NULL && s->share != NULL && s->gain != NULL &&
           s->share_gain != NULL && s->covered != NULL && s->out != NULL && s->in != NULL &&
           s->tried != NULL && s->top != NULL;
}

static void free_room(struct search *s)
{
    free(s->top);
    free(s->tried);
    free(s->in);
    free(s->out);
    free(s->covered);
    free(s->share_gain);
    free(s->gain);
    free(s->share);
    free(s->holder_first);
    free(s->holders);
}

static enum cc_status run(struct search *s)
{
    enum cc_status status;

    list_holders(s);
    begin(s);
    greedy(s);
    status = find_shares(s, (double)s->best_value);
    if (status != CC_OK)
        return status;
    begin(s);
    branch(s);
    return CC_OK;
}

enum cc_status cci_cover_solve(struct cci_cover_result *result, const struct cci_cover *problem,
                               struct cc_error *err)
{
    struct search s = {.p = problem, .best = result->chosen, .best_value = -1};
    enum cc_status status = CC_ENOMEM;

    if (make_room(&s))
        status = run(&s);
    free_room(&s);
    if (status != CC_OK)
        return cc_fail(err, status, "memory ran out choosing circles");
    result->count = s.best_count;
    result->value = s.best_value;
    result->nodes = s.nodes;
    result->proved = !s.cut;
    result->bound = s.cut && s.open_bound > s.best_value ? s.open_bound : s.best_value;
    return CC_OK;
}
