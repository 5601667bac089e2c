/*
 * test_blocks.c: nearly exact plans and limits on a movement, on heads with one pair of circles, against going through
 * every block and every row in fractions (docs/method.md, "Nearly exact compound indexing").
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"

struct bench {
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plans plans;
};

static void open_bench(struct bench *b, unsigned c1, unsigned c2, const char *worm)
{
    char profile[200];
    int n = snprintf(profile, sizeof profile, "[head]\nworm = %s\nplate_pin = same\n[plate A]\nside 1 = %u %u\n", worm, c1, c2);

    cc_head_init(&b->head);
    assert_int_equal(cc_head_read(&b->head, profile, (size_t)n, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_planner_new(&b->planner, &b->head, NULL), CC_OK);
    cc_request_init(&b->request);
    cc_plans_init(&b->plans);
}

static void close_bench(struct bench *b)
{
    cc_plans_clear(&b->plans);
    cc_request_clear(&b->request);
    cc_planner_free(b->planner);
    cc_head_clear(&b->head);
}

static unsigned long greatest_common(unsigned long a, unsigned long b)
{
    return b == 0 ? a : greatest_common(b, a % b);
}

/* n/d nearest whole, halves away from zero. */
static void nearest(mpz_t out, const mpq_t value)
{
    mpq_t twice;

    mpq_init(twice);
    mpq_set_ui(twice, 2, 1);
    mpq_mul(twice, twice, value);
    mpz_add(mpq_numref(twice), mpq_numref(twice), mpq_denref(twice));
    mpz_mul_ui(mpq_denref(twice), mpq_denref(twice), 2);        /* (2 value + 1) / 2, down */
    mpz_fdiv_q(out, mpq_numref(twice), mpq_denref(twice));
    mpq_clear(twice);
}

/*
 * The largest error of rows 0 ... N where each movement is the whole number of units nearest to k divisions and the first
 * stands at the unit nearest to the offset (> 0); units is units in a turn of the spindle. sure is what it cannot exceed
 * whichever way the two errors go: that of row 0, and what the job closes to.
 */
static void worst_of(mpq_t worst, mpq_t sure, const mpq_t units, unsigned long n, unsigned long k, const mpq_t offset)
{
    mpq_t value, error, first;
    mpz_t move, start, at;

    mpq_inits(value, error, first, NULL);
    mpz_inits(move, start, at, NULL);
    mpq_set_ui(value, k, n);
    mpq_mul(value, value, units);
    nearest(move, value);
    mpq_mul(value, offset, units);
    nearest(start, value);
    mpq_set_ui(worst, 0, 1);
    for (unsigned long i = 0; i <= n; i++) {
        mpz_mul_ui(at, move, i);
        mpz_add(at, at, start);
        mpq_set_z(error, at);
        mpq_div(error, error, units);
        mpq_sub(error, error, offset);
        mpq_set_ui(value, k * i, n);
        mpq_canonicalize(value);
        mpq_sub(error, error, value);
        if (i == 0)
            mpq_set(first, error);
        mpq_sub(sure, error, first);
        mpq_abs(error, error);
        if (mpq_cmp(error, worst) > 0)
            mpq_set(worst, error);
    }
    mpq_abs(sure, sure);
    mpq_abs(first, first);
    mpq_add(sure, sure, first);
    mpz_clears(move, start, at, NULL);
    mpq_clears(value, error, first, NULL);
}

/* One head, N and offset: every plan's error is that of its block, and if a block is surely within the tolerance, one is found. */
static void one_count(struct bench *b, const mpq_t units, unsigned long n, unsigned long *within, unsigned long *beyond)
{
    struct cc_request *r = &b->request;
    mpq_t worst, sure, least;

    mpq_inits(worst, sure, least, NULL);
    mpz_set_ui(r->divisions, n);
    mpq_set_ui(least, 1, 1);
    for (unsigned long k = 1; k < n; k++) {
        worst_of(worst, sure, units, n, k, r->offset);
        if (greatest_common(k, n) == 1 && mpq_cmp(sure, least) < 0)
            mpq_set(least, sure);
    }
    cc_plans_clear(&b->plans);
    enum cc_status s = cc_planner_all(&b->plans, NULL, b->planner, r, true, NULL);
    bool found = false;
    for (size_t i = 0; s == CC_OK && i < b->plans.n; i++) {
        const struct cc_plan *plan = &b->plans.at[i];
        worst_of(worst, sure, units, n, (unsigned long)plan->block, r->offset);
        if (!mpq_equal(worst, plan->worst_error))
            fail_msg("%lu divisions by blocks of %llu: worst error differs", n, (unsigned long long)plan->block);
        assert_int_equal(plan->within, mpq_cmp(worst, r->tolerance) <= 0);
        found = found || plan->within;
    }
    if (!found && mpq_cmp(least, r->tolerance) <= 0)
        fail_msg("%u and %u, %lu divisions: within the tolerance, and not found", b->head.plates[0].side[0].at[0],
                 b->head.plates[0].side[0].at[1], n);
    *(found ? within : beyond) += 1;
    mpq_clears(worst, sure, least, NULL);
}

static void every_block(void **state)
{
    static const struct {
        unsigned c1, c2;
        const char *worm, *offset, *tolerance;
    } rows[] = {
        { 15, 16, "40", "0", "1/9600" },        { 15, 16, "40", "1/1000", "1/9600" },   { 15, 16, "40", "1/1000", "1/19200" },
        { 15, 16, "40", "1/777", "1/12345" },   { 15, 18, "40", "1/1000", "1/6000" },   { 21, 20, "77/2", "1/333", "1/16170" },
        { 21, 20, "77/2", "0", "1/16170" },     { 18, 20, "5", "1/100", "1/850" },      { 47, 49, "40", "1/3", "1/92120" },
    };
    static const unsigned long primes[] = { 13, 17, 19, 23, 29, 31, 37, 41, 43, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97, 113 };
    unsigned long within = 0, beyond = 0;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct bench b;
        mpq_t units;
        unsigned long lcm = (unsigned long)rows[i].c1 * rows[i].c2 / greatest_common(rows[i].c1, rows[i].c2);
        open_bench(&b, rows[i].c1, rows[i].c2, rows[i].worm);
        test_mpq_init(units, rows[i].worm);
        mpz_mul_ui(mpq_numref(units), mpq_numref(units), lcm);
        mpq_canonicalize(units);
        mpq_set_str(b.request.offset, rows[i].offset, 10);
        mpq_set_str(b.request.tolerance, rows[i].tolerance, 10);
        b.request.has_tolerance = true;
        b.request.methods = 1U << CC_NEARLY_EXACT;
        for (size_t k = 0; k < sizeof primes / sizeof primes[0]; k++)
            one_count(&b, units, primes[k], &within, &beyond);
        mpq_clear(units);
        close_bench(&b);
    }
    assert_true(within > 40 && beyond > 40);
}

/* No movement by blocks is longer than what was allowed, and what is allowed is still found. */
static void most_turns(void **state)
{
    struct bench b;
    unsigned long blocks = 0, none = 0;
    mpq_t turns;

    (void)state;
    open_bench(&b, 21, 20, "77/2");
    mpq_init(turns);
    for (unsigned long n = 7; n < 120; n += 7) {
        /* 77/2 / 7 is 5 1/2; by blocks of k (k odd) it is k times as much and still no hole of 20 or 21; even k fit. */
        for (unsigned long most = 1; most < 40; most += 3) {
            unsigned long shortest = 0;
            bool any = false;
            mpz_set_ui(b.request.divisions, n);
            mpq_set_ui(b.request.most_turns, most, 1);
            b.request.methods = 1U << CC_PLAIN;
            cc_plans_clear(&b.plans);
            enum cc_status s = cc_planner_all(&b.plans, NULL, b.planner, &b.request, false, NULL);
            for (size_t i = 0; s == CC_OK && i < b.plans.n; i++) {
                const struct cc_plan *plan = &b.plans.at[i];
                mpq_set_ui(turns, (unsigned long)plan->move, (unsigned long)plan->unit);
                mpq_canonicalize(turns);
                any = true;
                if (plan->block > 1 && mpq_cmp_ui(turns, most, 1) > 0)
                    fail_msg("%lu divisions: a movement of more than %lu turns", n, most);
                blocks += plan->block > 1;
            }
            /* By hand: k divisions are 77 k / (2 n) turns; exact in 20 or 21 holes if 2 n divides 77 k 20 or 77 k 21. */
            for (unsigned long k = 1; k < n && shortest == 0; k++)
                if (greatest_common(k, n) == 1 && (77 * k * 20 % (2 * n) == 0 || 77 * k * 21 % (2 * n) == 0))
                    shortest = k;
            if (any != (shortest == 1 || (shortest > 1 && 77 * shortest <= 2 * n * most)))
                fail_msg("%lu divisions, at most %lu turns: %s", n, most, any ? "found" : "not found");
            none += !any;
        }
    }
    assert_true(blocks > 20 && none > 20);
    mpq_clear(turns);
    close_bench(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(every_block), cmocka_unit_test(most_turns) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
