/*
 * test_witness.c: PARI, a general-purpose number theory library, asked the same question as the planner:
 * is a circle of C holes exact for N divisions on a worm of ratio R? One at a time it is when the
 * denominator of C R / N is 1; by blocks when a k prime to N, smaller than N, takes that denominator away.
 */
#include <pari/pari.h>

#include "crankcard/plan.h"
#include "support.h"

enum { TRIPLES = 100000 };

struct triple {
    unsigned long worm_p, worm_q, divisions;
    unsigned circle;
};

/* Half of the triples are made to fit: N a divisor of C P, or of that times a small factor. */
static struct triple invent(gmp_randstate_t rs)
{
    struct triple t;
    unsigned long p = 1 + gmp_urandomm_ui(rs, 120), q = 1;

    if (gmp_urandomm_ui(rs, 2) == 0)
        q = 1 + gmp_urandomm_ui(rs, 6);
    t.circle = 2 + (unsigned)gmp_urandomm_ui(rs, 100);
    t.worm_p = p / (unsigned long)ugcd(p, q);
    t.worm_q = q / (unsigned long)ugcd(p, q);
    t.divisions = 1 + gmp_urandomm_ui(rs, 400);
    if (gmp_urandomm_ui(rs, 2) == 0)
        t.divisions = (unsigned long)ugcd(t.divisions * (1 + gmp_urandomm_ui(rs, 60)),
                                          t.circle * t.worm_p);
    return t;
}

static void witness_says(bool *one_at_a_time, bool *by_blocks, const struct triple *t)
{
    pari_sp before = avma;
    GEN n = utoipos(t->divisions);
    GEN holes = gdiv(gmul(utoipos(t->circle), gdiv(utoipos(t->worm_p), utoipos(t->worm_q))), n);
    GEN left = denom_i(holes);

    *one_at_a_time = gequal1(left) != 0;
    *by_blocks = *one_at_a_time || (gequal1(ggcd(left, n)) != 0 && gcmp(left, n) < 0);
    set_avma(before);
}

/* The planner's answer: plain indexing on a head that has this worm and this circle alone. */
static bool planner_says(struct cc_head *head, const struct triple *t, bool blocks)
{
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    enum cc_status s;

    mpq_set_ui(head->worm, t->worm_p, t->worm_q);
    head->plates[0].side[0].at[0] = t->circle;
    assert_int_equal(cc_planner_new(&planner, head, NULL), CC_OK);
    cc_request_init(&request);
    cc_plan_init(&plan);
    mpz_set_ui(request.divisions, t->divisions);
    request.methods = 1U << CC_PLAIN;
    if (!blocks)
        mpz_set_ui(request.block, 1);
    s = cc_planner_best(&plan, NULL, planner, &request, NULL);
    if (s != CC_OK && s != CC_ENOFIT)
        fail_msg("%lu/%lu %lu %u: status %d", t->worm_p, t->worm_q, t->divisions, t->circle, (int)s);
    if (s == CC_OK && !plan.exact)
        fail_msg("%lu/%lu %lu %u: a plain plan that is not exact", t->worm_p, t->worm_q, t->divisions,
                 t->circle);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    return s == CC_OK;
}

static void plain_on_one_circle(void **state)
{
    static const char one_circle[] = "[head]\nworm = 40\n[plate A]\nside 1 = 20\n";
    unsigned long triples = test_rounds(TRIPLES), exact = 0, blocks_only = 0;
    gmp_randstate_t rs;
    struct cc_head head;
    (void)state;

    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, one_circle, sizeof one_circle - 1, "one", "one", NULL), CC_OK);
    test_random_init(rs);
    for (unsigned long i = 0; i < triples; i++) {
        struct triple t = invent(rs);
        bool single, blocks;
        witness_says(&single, &blocks, &t);
        if (planner_says(&head, &t, false) != single || planner_says(&head, &t, true) != blocks)
            fail_msg("seed %lu, round %lu: worm %lu/%lu, %lu divisions, circle %u: PARI says %d, by blocks %d",
                     test_seed(), i, t.worm_p, t.worm_q, t.divisions, t.circle, single, blocks);
        exact += single ? 1 : 0;
        blocks_only += blocks && !single ? 1 : 0;
    }
    /* The property was really put to the test, both ways. */
    assert_true(exact > triples / 5 && exact < triples * 4 / 5);
    assert_true(blocks_only > triples / 100);
    gmp_randclear(rs);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_on_one_circle),
    };

    pari_init(8000000, 2);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    pari_close();
    return failed;
}
