/* plates.c: what a head's plates leave out, and the circles that would serve most of it. */
#include "crankcard/plates.h"

#include <stdlib.h>
#include <string.h>

#include "trade/cover.h"

/*
 * circle * P/Q / N is whole. P and Q are at most CC_MAX_WORM and a circle CC_MAX_CIRCLE, or the parts of a dial CC_MAX_LINES
 * times CC_MAX_VERNIER, so both products fit 64 bits once N is no larger than circle * P; a larger N never divides it.
 */
static bool serves(unsigned long long p, unsigned long long q, unsigned circle,
                   unsigned long long divisions)
{
    unsigned long long holes = circle * p;

    return divisions >= 1 && divisions <= holes && holes % (divisions * q) == 0;
}

bool cc_circle_serves(const mpq_t worm, unsigned circle, unsigned long divisions)
{
    return serves(mpz_get_ui(mpq_numref(worm)), mpz_get_ui(mpq_denref(worm)), circle, divisions);
}

bool cc_head_serves(const struct cc_head *head, unsigned long divisions)
{
    for (size_t i = 0; i < head->direct.n; i++)
        if (serves(cc_direct_pins(head, i), 1, head->direct.at[i], divisions))
            return true;
    if (!head->has_worm)
        return false;
    unsigned parts = head->dial.lines * head->dial.vernier;
    if (parts > 0 && cc_circle_serves(head->worm, parts, divisions))
        return true;
    for (size_t p = 0; p < head->plate_count; p++)
        for (int side = 0; side < CC_MAX_SIDES; side++)
            for (size_t i = 0; i < head->plates[p].side[side].n; i++)
                if (cc_pin_reaches(&head->crank_pin_circles, head->plates[p].side[side].at[i]) &&
                    cc_circle_serves(head->worm, head->plates[p].side[side].at[i], divisions))
                    return true;
    return false;
}

/* ---- candidates ---- */

/* The circles that serve anything, and what each serves: lists of indices, one after another. */
struct candidates {
    unsigned *circle;
    size_t *first; /* sets + 1 entries */
    size_t sets;
    size_t *member;
    size_t members, room;
};

static bool append(struct candidates *c, size_t number)
{
    if (c->members == c->room) {
        size_t room = c->room * 2 + 64;
        size_t *more = realloc(c->member, room * sizeof *more);
        if (more == NULL)
            return false;
        c->member = more;
        c->room = room;
    }
    c->member[c->members++] = number;
    return true;
}

static bool list_candidates(struct candidates *c, const mpq_t worm,
                            const struct cc_plates_question *q)
{
    size_t count = q->most - q->least + 1;

    c->circle = malloc(count * sizeof *c->circle);
    c->first = malloc((count + 1) * sizeof *c->first);
    if (c->circle == NULL || c->first == NULL)
        return false;
    c->first[0] = 0;
    for (unsigned circle = q->least; circle <= q->most; circle++) {
        for (size_t i = 0; i < q->numbers; i++)
            if (cc_circle_serves(worm, circle, q->number[i]) && !append(c, i))
                return false;
        if (c->members > c->first[c->sets]) {
            c->circle[c->sets++] = circle;
            c->first[c->sets] = c->members;
        }
    }
    return true;
}

static size_t size_of(const struct candidates *c, size_t set)
{
    return c->first[set + 1] - c->first[set];
}

/* Whether everything in set a is in set b; both lists ascend. */
static bool within(const struct candidates *c, size_t a, size_t b)
{
    size_t j = c->first[b];

    for (size_t i = c->first[a]; i < c->first[a + 1]; i++) {
        while (j < c->first[b + 1] && c->member[j] < c->member[i])
            j++;
        if (j == c->first[b + 1] || c->member[j] != c->member[i])
            return false;
    }
    return true;
}

/* A circle is idle where another serves all that it does and more, or the same and is smaller. */
static bool idle(const struct candidates *c, size_t a)
{
    for (size_t b = 0; b < c->sets; b++)
        if (b != a &&
            (size_of(c, b) > size_of(c, a) || (size_of(c, b) == size_of(c, a) && b < a)) &&
            within(c, a, b))
            return true;
    return false;
}

/* Leave out idle circles: a best choice without them always exists. */
static bool drop_idle(struct candidates *c)
{
    bool *drop = malloc(c->sets + 1);
    size_t kept = 0, members = 0;

    if (drop == NULL)
        return false;
    for (size_t set = 0; set < c->sets; set++)
        drop[set] = idle(c, set);
    for (size_t set = 0; set < c->sets; set++) {
        if (drop[set])
            continue;
        size_t start = c->first[set], n = size_of(c, set);
        memmove(c->member + members, c->member + start, n * sizeof *c->member);
        /* first[set + 1] is still to be read: kept <= set, so only entries up to set are written */
        c->circle[kept] = c->circle[set];
        c->first[kept++] = members;
        members += n;
    }
    c->first[kept] = members;
    c->sets = kept;
    c->members = members;
    free(drop);
    return true;
}

static void free_candidates(struct candidates *c)
{
    free(c->member);
    free(c->first);
    free(c->circle);
}

/* ---- choosing ---- */

static int compare_circles(const void *a, const void *b)
{
    unsigned x = *(const unsigned *)a, y = *(const unsigned *)b;
    return (x > y) - (x < y);
}

static size_t count_served(const struct candidates *c, const size_t *chosen, size_t count,
                           bool *seen, size_t numbers)
{
    size_t served = 0;

    memset(seen, 0, numbers * sizeof *seen);
    for (size_t k = 0; k < count; k++)
        for (size_t i = c->first[chosen[k]]; i < c->first[chosen[k] + 1]; i++) {
            served += !seen[c->member[i]];
            seen[c->member[i]] = true;
        }
    return served;
}

static size_t count_servable(const struct candidates *c, bool *seen, size_t numbers)
{
    size_t servable = 0;

    memset(seen, 0, numbers * sizeof *seen);
    for (size_t i = 0; i < c->members; i++) {
        servable += !seen[c->member[i]];
        seen[c->member[i]] = true;
    }
    return servable;
}

static enum cc_status solve(struct cc_new_plate *plate, const struct candidates *c,
                            const struct cc_plates_question *q, const long long *weight, bool *seen,
                            struct cc_error *err)
{
    size_t chosen[CC_MAX_NEW_CIRCLES];
    struct cci_cover problem = {
        .items = q->numbers,
        .sets = c->sets,
        .weight = weight,
        .first = c->first,
        .member = c->member,
        .choose = q->circles,
        .nodes = q->nodes != 0 ? q->nodes : CC_PLATES_NODES,
    };
    struct cci_cover_result result = {.chosen = chosen};
    enum cc_status s = cci_cover_solve(&result, &problem, err);

    if (s != CC_OK)
        return s;
    for (size_t k = 0; k < result.count; k++)
        plate->circle[k] = c->circle[chosen[k]];
    qsort(plate->circle, result.count, sizeof *plate->circle, compare_circles);
    plate->circles = result.count;
    plate->served = count_served(c, chosen, result.count, seen, q->numbers);
    plate->servable = count_servable(c, seen, q->numbers);
    plate->weight = result.value;
    plate->bound = result.bound;
    plate->proved = result.bound == result.value;
    plate->nodes = result.nodes;
    return CC_OK;
}

/* Numbers that no circle serves weigh nothing, so that they do not loosen the bound. */
static void set_weights(long long *weight, const struct candidates *c,
                        const struct cc_plates_question *q)
{
    memset(weight, 0, q->numbers * sizeof *weight);
    for (size_t i = 0; i < c->members; i++)
        weight[c->member[i]] = q->weight != NULL ? q->weight[c->member[i]] : 1;
}

static enum cc_status check(const struct cc_plates_question *q, struct cc_error *err)
{
    long long total = 0;

    if (q->circles < 1 || q->circles > CC_MAX_NEW_CIRCLES)
        return cc_fail(err, CC_EDOM, "%u circles on one plate: 1 to %d", q->circles,
                       CC_MAX_NEW_CIRCLES);
    if (q->least < CC_MIN_CIRCLE || q->most > CC_MAX_CIRCLE || q->least > q->most)
        return cc_fail(err, CC_EDOM, "circles of %u to %u holes: least to most, from %d to %d",
                       q->least, q->most, CC_MIN_CIRCLE, CC_MAX_CIRCLE);
    if (q->most - q->least >= CC_MAX_CANDIDATES)
        return cc_fail(err, CC_EDOM,
                       "circles of %u to %u holes are too many to choose from; the most is %d",
                       q->least, q->most, CC_MAX_CANDIDATES);
    if (q->numbers > CC_MAX_PLATE_NUMBERS)
        return cc_fail(err, CC_EDOM, "%zu numbers; the most is %d", q->numbers,
                       CC_MAX_PLATE_NUMBERS);
    for (size_t i = 0; q->weight != NULL && i < q->numbers; i++) {
        if (q->weight[i] < 1 || q->weight[i] >= (1LL << 40) - total)
            return cc_fail(err, CC_EDOM, "weights must be 1 or more, and together below 2^40");
        total += q->weight[i];
    }
    return CC_OK;
}

enum cc_status cc_plates_choose(struct cc_new_plate *plate, const mpq_t worm,
                                const struct cc_plates_question *question, struct cc_error *err)
{
    struct candidates c = {.sets = 0};
    enum cc_status s = check(question, err);

    if (s != CC_OK)
        return s;
    long long *weight = malloc((question->numbers + 1) * sizeof *weight);
    bool *seen = malloc(question->numbers + 1);
    if (weight == NULL || seen == NULL || !list_candidates(&c, worm, question) || !drop_idle(&c)) {
        s = cc_fail(err, CC_ENOMEM, "memory ran out choosing circles");
    } else if (c.sets == 0) {
        s = cc_fail(err, CC_ENOFIT, "no circle of %u to %u holes serves any of these numbers",
                    question->least, question->most);
    } else {
        set_weights(weight, &c, question);
        s = solve(plate, &c, question, weight, seen, err);
    }
    free(seen);
    free(weight);
    free_candidates(&c);
    return s;
}
