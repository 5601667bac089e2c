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

/* What a block's rows come to, in fractions of a turn. */
struct errors {
    mpq_t worst;        /* the largest of rows 0 ... N */
    mpq_t closing;      /* of row N, signed */
    mpq_t pitch;        /* the largest difference between two divisions that are neighbours on the work */
    mpq_t sure;         /* what worst cannot exceed whichever way its parts go: row 0, and what the job closes to */
};

static void errors_init(struct errors *e)
{
    mpq_inits(e->worst, e->closing, e->pitch, e->sure, NULL);
}

static void errors_clear(struct errors *e)
{
    mpq_clears(e->worst, e->closing, e->pitch, e->sure, NULL);
}

static void keep_larger(mpq_t most, const mpq_t a, const mpq_t b)
{
    mpq_t size;

    mpq_init(size);
    mpq_sub(size, a, b);
    mpq_abs(size, size);
    if (mpq_cmp(size, most) > 0)
        mpq_set(most, size);
    mpq_clear(size);
}

enum { MOST_ROWS = 128 };

/*
 * Each movement is the whole number of units nearest to k divisions, and the first row stands at the unit nearest to the
 * offset (>= 0); units is units in a turn of the spindle. Every row is worked out by itself.
 */
static void errors_of(struct errors *e, const mpq_t units, unsigned long n, unsigned long k, const mpq_t offset)
{
    mpq_t value, zero, of_division[MOST_ROWS];
    mpz_t move, start, at;

    mpq_inits(value, zero, NULL);
    mpz_inits(move, start, at, NULL);
    mpq_set_ui(value, k, n);
    mpq_mul(value, value, units);
    nearest(move, value);
    mpq_mul(value, offset, units);
    nearest(start, value);
    mpq_set_ui(e->worst, 0, 1);
    mpq_set_ui(e->pitch, 0, 1);
    for (unsigned long i = 0; i < n; i++)
        mpq_init(of_division[i]);
    for (unsigned long i = 0; i <= n; i++) {
        mpz_mul_ui(at, move, i);
        mpz_add(at, at, start);
        mpq_set_z(e->closing, at);
        mpq_div(e->closing, e->closing, units);
        mpq_sub(e->closing, e->closing, offset);
        mpq_set_ui(value, k * i, n);
        mpq_canonicalize(value);
        mpq_sub(e->closing, e->closing, value);
        keep_larger(e->worst, e->closing, zero);
        if (i < n)
            mpq_set(of_division[k * i % n], e->closing);
    }
    for (unsigned long i = 0; i < n && greatest_common(k, n) == 1; i++)
        keep_larger(e->pitch, of_division[i], of_division[(i + 1) % n]);
    mpq_sub(e->sure, e->closing, of_division[0]);       /* row 0 is division 0 */
    mpq_abs(e->sure, e->sure);
    mpq_abs(value, of_division[0]);
    mpq_add(e->sure, e->sure, value);
    for (unsigned long i = 0; i < n; i++)
        mpq_clear(of_division[i]);
    mpz_clears(move, start, at, NULL);
    mpq_clears(value, zero, NULL);
}

/* Whether the movement of k divisions can be made with both parts forward, by trying every movement of the plate. */
static bool goes_forward(const struct bench *b, const mpq_t units, unsigned long n, unsigned long k)
{
    const unsigned *circle = b->head.plates[0].side[0].at;
    unsigned long g = greatest_common(circle[0], circle[1]), c1 = circle[0] / g, c2 = circle[1] / g;
    mpq_t value;
    mpz_t move;
    bool can = false;

    mpq_init(value);
    mpz_init(move);
    mpq_set_ui(value, k, n);
    mpq_mul(value, value, units);
    nearest(move, value);
    for (unsigned long plate = 0; plate < c2 && plate * c1 <= mpz_get_ui(move) && !can; plate++)
        can = (mpz_get_ui(move) - plate * c1) % c2 == 0;
    mpz_clear(move);
    mpq_clear(value);
    return can;
}

/*
 * One head, N and offset: a plan's errors are those of its block, and the smallest block that is surely
 * within the tolerance, the least work, is listed.
 */
static void one_count(struct bench *b, const mpq_t units, unsigned long n, unsigned long *within, unsigned long *beyond)
{
    struct cc_request *r = &b->request;
    struct errors e;
    unsigned long smallest = 0;
    bool found = false, forward = false, can_forward = false, has_smallest = false;

    errors_init(&e);
    mpz_set_ui(r->divisions, n);
    for (unsigned long k = 1; k < n; k++) {
        errors_of(&e, units, n, k, r->offset);
        if (greatest_common(k, n) != 1)
            continue;
        if (smallest == 0 && mpq_cmp(e.sure, r->tolerance) <= 0)
            smallest = k;
        can_forward = can_forward || (mpq_cmp(e.sure, r->tolerance) <= 0 && goes_forward(b, units, n, k));
    }
    cc_plans_clear(&b->plans);
    enum cc_status s = cc_planner_all(&b->plans, NULL, b->planner, r, true, NULL);
    for (size_t i = 0; s == CC_OK && i < b->plans.n; i++) {
        const struct cc_plan *plan = &b->plans.at[i];
        errors_of(&e, units, n, (unsigned long)plan->block, r->offset);
        if (!mpq_equal(e.worst, plan->worst_error) || !mpq_equal(e.closing, plan->closing_error) ||
            !mpq_equal(e.pitch, plan->worst_pitch))
            fail_msg("%lu divisions by blocks of %llu: errors differ", n, (unsigned long long)plan->block);
        assert_int_equal(plan->within, mpq_cmp(e.worst, r->tolerance) <= 0);
        found = found || plan->within;
        forward = forward || (plan->within && plan->forward);
        has_smallest = has_smallest || plan->block == smallest;
    }
    if (smallest != 0 && !has_smallest)
        fail_msg("%lu divisions: %lu is the smallest block within the tolerance, and not found", n, smallest);
    if (!forward && can_forward)
        fail_msg("%lu divisions: a block with both parts forward is within the tolerance, and not found", n);
    *(found ? within : beyond) += 1;
    errors_clear(&e);
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
        /* the offset's own rounding takes a part of the tolerance: 0.4 of 3 units, 0.36 of 4, 0.4 of 3 */
        { 15, 16, "40", "1/1000", "1/3200" },   { 15, 16, "40", "1/777", "1/2400" },    { 15, 18, "40", "1/1000", "1/1200" },
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

/* A pair of which one circle serves by plain indexing brings nothing, nor does one whose count divides the other's: not listed. */
static void pairs_that_bring_nothing(void **state)
{
    struct bench b;
    unsigned long listed = 0;

    (void)state;
    cc_head_init(&b.head);
    static const char profile[] = "[head]\nworm = 40\nplate_pin = same\n[plate A]\nside 1 = 15 16 18 20 21 30 45\n";
    assert_int_equal(cc_head_read(&b.head, profile, sizeof profile - 1, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_planner_new(&b.planner, &b.head, NULL), CC_OK);
    cc_request_init(&b.request);
    cc_plans_init(&b.plans);
    for (unsigned long n = 2; n < 300; n++) {
        mpz_set_ui(b.request.divisions, n);
        cc_plans_clear(&b.plans);
        if (cc_planner_all(&b.plans, NULL, b.planner, &b.request, true, NULL) != CC_OK)
            continue;
        for (size_t i = 0; i < b.plans.n; i++) {
            const struct cc_plan *plan = &b.plans.at[i];
            if (plan->method != CC_COMPOUND)
                continue;
            unsigned long c1 = plan->circle, c2 = plan->circle2;
            if (c1 % c2 == 0 || c2 % c1 == 0 || (plan->block == 1 && (40 * c1 % n == 0 || 40 * c2 % n == 0)))
                fail_msg("%lu divisions: circles %lu and %lu are listed", n, c1, c2);
            listed++;
        }
    }
    assert_true(listed > 10);
    close_bench(&b);
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

/* With a limit on a movement a nearly exact plan is found if there is any block within the limit that keeps neighbours apart. */
static void most_turns_nearly_exact(void **state)
{
    static const unsigned long primes[] = { 13, 23, 37, 53, 97, 127 };
    struct bench b;
    unsigned long some = 0, none = 0;

    (void)state;
    open_bench(&b, 15, 16, "40");
    b.request.methods = 1U << CC_NEARLY_EXACT;
    for (size_t p = 0; p < sizeof primes / sizeof primes[0]; p++) {
        unsigned long n = primes[p];
        for (unsigned long quarters = 1; quarters < 60; quarters++) {
            bool can = false;
            mpz_set_ui(b.request.divisions, n);
            mpq_set_ui(b.request.most_turns, quarters, 4);
            mpq_canonicalize(b.request.most_turns);
            for (unsigned long k = 1; k < n; k++) {
                /* k divisions are 9600 k / n units of 1/240 turn, m the nearest; it misses by r / n units. */
                unsigned long m = (2 * 9600 * k + n) / (2 * n);
                long r = (long)(9600 * k) - (long)(m * n);
                can = can || (160 * k <= quarters * n && m > 0 && m * 4 <= quarters * 240 &&
                              (unsigned long)labs(r) * (n - 1) < 9600);
            }
            cc_plans_clear(&b.plans);
            bool found = cc_planner_all(&b.plans, NULL, b.planner, &b.request, true, NULL) == CC_OK && b.plans.n > 0;
            if (found != can)
                fail_msg("%lu divisions, %lu quarter turns: %s", n, quarters, found ? "found" : "not found");
            for (size_t i = 0; found && i < b.plans.n; i++)
                assert_true((unsigned long)b.plans.at[i].move * 4 <= quarters * 240);
            *(can ? &some : &none) += 1;
        }
    }
    assert_true(some > 100 && none > 5);
    close_bench(&b);
}

/*
 * As many divisions as the spindle has holes of the crank, the first half a hole off: rounded halves away from zero a
 * position before the zero hole and one behind it could meet. Any plan given keeps all in holes of their own.
 */
static void half_a_hole_off(void **state)
{
    unsigned long given = 0;

    (void)state;
    for (int twice = -3; twice <= 3; twice++) {
        struct bench b;
        struct cc_cursor cursor;
        struct cc_step step;
        unsigned char seen[800] = { 0 };
        open_bench(&b, 20, 21, "40");
        mpz_set_ui(b.request.divisions, 800);
        mpq_set_si(b.request.offset, twice, 1600);
        mpq_canonicalize(b.request.offset);
        b.request.methods = 1U << CC_NEAREST_HOLE | 1U << CC_PLAIN;
        b.request.circle = 20;
        if (cc_planner_all(&b.plans, NULL, b.planner, &b.request, true, NULL) == CC_OK) {
            cc_step_init(&step);
            cc_cursor_init(&cursor, &b.plans.at[0], &b.request);
            for (unsigned i = 0; i < 800 && cc_cursor_next(&cursor, &step); i++) {
                mpz_t hole;
                mpz_init(hole);
                mpz_mul_ui(hole, mpq_numref(step.angle), 800);
                mpz_fdiv_q(hole, hole, mpq_denref(step.angle));
                unsigned long at = mpz_fdiv_ui(hole, 800);
                if (seen[at]++ != 0)
                    fail_msg("offset %d half holes: two divisions in hole %lu", twice, at);
                mpz_clear(hole);
            }
            cc_cursor_clear(&cursor);
            cc_step_clear(&step);
            given++;
        }
        close_bench(&b);
    }
    assert_true(given >= 3);        /* whole holes off it is plain indexing */
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(every_block), cmocka_unit_test(most_turns),
                                        cmocka_unit_test(pairs_that_bring_nothing),
                                        cmocka_unit_test(most_turns_nearly_exact), cmocka_unit_test(half_a_hole_off) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
