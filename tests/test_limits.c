/*
 * test_limits.c: a head near the limits of docs/testing.md, where numbers leave 64 bits on the way, against fractions.
 *
 * Worm 999983/7 and change gears of almost 10 000 teeth: C p is over 10^18, and times a block over 2^64.
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"

static const char profile[] = "[head]\nworm = 999983/7\nplate_pin = none\n[plate A]\nside 1 = 9929 9923\n"
                              "[gears]\nteeth = 9973 9967 9949 9941 24\n";

/* value rounded to the nearest whole, halves up, for value > 0. */
static void nearest(mpz_t out, const mpq_t value)
{
    mpq_t half;

    mpq_init(half);
    mpq_set_ui(half, 1, 2);
    mpq_add(half, half, value);
    mpz_fdiv_q(out, mpq_numref(half), mpq_denref(half));
    mpq_clear(half);
}

/* A train's plan: the movement is the whole number of holes nearest to C (R - e) k / N, and it closes as the fractions say. */
static void check_plan(const struct cc_plan *plan, const struct cc_head *head, const mpz_t divisions)
{
    mpq_t scale, wanted, closing;
    mpz_t move;

    mpq_inits(scale, wanted, closing, NULL);
    mpz_init(move);
    mpq_sub(scale, head->worm, plan->plate_turns);
    mpz_mul_ui(mpq_numref(scale), mpq_numref(scale), plan->circle);
    mpq_canonicalize(scale);                            /* C (R - e) */
    mpq_set_ui(wanted, (unsigned long)plan->block, 1);
    mpz_set(mpq_denref(wanted), divisions);
    mpq_canonicalize(wanted);
    mpq_mul(wanted, wanted, scale);
    nearest(move, wanted);
    assert_int_equal(mpz_get_ui(move), plan->move);
    mpq_set_z(closing, move);
    mpz_mul(mpq_numref(closing), mpq_numref(closing), divisions);
    mpq_div(closing, closing, scale);
    mpz_submul_ui(mpq_numref(closing), mpq_denref(closing), (unsigned long)plan->block);
    mpq_canonicalize(closing);
    if (!mpq_equal(closing, plan->closing_error))
        fail_msg("block %llu: closes otherwise", (unsigned long long)plan->block);
    mpz_clear(move);
    mpq_clears(scale, wanted, closing, NULL);
}

/* Try circle and R - e; keep in least the smallest |closing| that leaves neighbours apart. */
static void try_scale(mpq_t least, const struct cc_head *head, const mpq_t e, unsigned circle, const mpz_t divisions,
                      unsigned long block)
{
    mpq_t scale, wanted;
    mpz_t move, back;

    mpq_inits(scale, wanted, NULL);
    mpz_inits(move, back, NULL);
    mpq_sub(scale, head->worm, e);
    mpz_mul_ui(mpq_numref(scale), mpq_numref(scale), circle);
    mpq_canonicalize(scale);
    mpq_set_ui(wanted, block, 1);
    mpz_set(mpq_denref(wanted), divisions);
    mpq_canonicalize(wanted);
    mpq_mul(wanted, wanted, scale);
    nearest(move, wanted);
    mpq_set_z(wanted, move);
    mpz_mul(mpq_numref(wanted), mpq_numref(wanted), divisions);
    mpq_div(wanted, wanted, scale);
    mpz_submul_ui(mpq_numref(wanted), mpq_denref(wanted), block);
    mpq_canonicalize(wanted);
    mpq_abs(wanted, wanted);                            /* |closing| */
    mpz_set_ui(back, block);
    mpz_invert(back, back, divisions);                  /* neighbours are so many rows apart, or N less that */
    mpz_sub(move, divisions, back);
    if (mpz_cmp(move, back) < 0)
        mpz_set(move, back);
    mpq_set_z(scale, move);
    mpq_mul(scale, scale, wanted);                      /* widest |closing| / N < 1 / N */
    if (mpq_sgn(wanted) > 0 && mpq_cmp_ui(scale, 1, 1) < 0 && mpq_cmp(wanted, least) < 0)
        mpq_set(least, wanted);
    mpz_clears(move, back, NULL);
    mpq_clears(scale, wanted, NULL);
}

/* Every train of two and of four gears, turning the plate either way, on every circle. */
static void try_trains(mpq_t least, const struct cc_head *head, const mpz_t divisions, unsigned long block)
{
    const unsigned *tooth = head->gears.at;
    size_t n = head->gears.n, at[4];
    mpq_t e;

    mpq_init(e);
    for (size_t choice = 0; choice < n * n * n * n; choice++) {
        size_t rest = choice;
        bool pair = false, four = true;
        for (int i = 0; i < 4; i++, rest /= n)
            at[i] = rest % n;
        pair = at[0] != at[1] && at[2] == 0 && at[3] == 0;
        for (int i = 0; i < 4; i++)
            for (int k = 0; k < i; k++)
                four = four && at[i] != at[k];
        if (!pair && !four)
            continue;
        mpz_set_ui(mpq_numref(e), (unsigned long)tooth[at[0]] * (four ? tooth[at[2]] : 1));
        mpz_set_ui(mpq_denref(e), (unsigned long)tooth[at[1]] * (four ? tooth[at[3]] : 1));
        mpq_canonicalize(e);
        for (int way = 0; way < 2; way++, mpq_neg(e, e))
            for (size_t c = 0; c < head->plates[0].side[0].n; c++)
                try_scale(least, head, e, head->plates[0].side[0].at[c], divisions, block);
    }
    mpq_clear(e);
}

static void nearest_trains(void **state)
{
    static const unsigned long counts[] = { 1000003, 524287, 999979, 786433 };
    static const unsigned long blocks[] = { 11, 101, 1009, 10007, 100003, 250007, 400009 };
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    unsigned long seen = 0;
    mpq_t least, size;

    (void)state;
    mpq_inits(least, size, NULL);
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, profile, sizeof profile - 1, "made", "made", NULL), CC_OK);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&request);
    request.methods = 1U << CC_DIFFERENTIAL;
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        for (size_t k = 0; k < sizeof blocks / sizeof blocks[0]; k++) {
            struct cc_plans plans;
            cc_plans_init(&plans);
            mpz_set_ui(request.divisions, counts[i]);
            mpz_set_ui(request.block, blocks[k]);
            bool found = false;
            mpq_set_ui(least, 1, 1);
            try_trains(least, &head, request.divisions, blocks[k]);
            if (cc_planner_all(&plans, NULL, planner, &request, true, NULL) == CC_OK) {
                for (size_t n = 0; n < plans.n; n++, seen++) {
                    check_plan(&plans.at[n], &head, request.divisions);
                    mpq_abs(size, plans.at[n].closing_error);
                    assert_true(mpq_cmp(size, least) >= 0);
                    found = found || mpq_equal(size, least);
                }
            }
            if (found != (mpq_cmp_ui(least, 1, 1) < 0))
                fail_msg("%lu by blocks of %lu: the nearest train is not found", counts[i], blocks[k]);
            cc_plans_clear(&plans);
        }
    }
    assert_true(seen > 12);
    mpq_clears(least, size, NULL);
    cc_request_clear(&request);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(nearest_trains) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
