/*
 * test_ranking.c: candidates ranked in words of 64 bits, and trains found by the movement, against all of them gone
 * through and ranked in exact fractions, which tests/test_plan.c holds to a naive search: the same first plan, and the same first plan of each method, on heads and
 * counts drawn at random and on such as come near every bound.
 */
#include <stdio.h>
#include <string.h>

#include "crankcard/number.h"
#include "crankcard/plan.h"
#include "drawing.h"
#include "plan/search.h"

/* ---- heads ---- */

static unsigned long below(struct drawing *d, unsigned long n)
{
    return between(d, 0, n - 1);
}

/* n different counts in rising order. */
static void put_counts(struct drawing *d, unsigned long n, unsigned long low, unsigned long high)
{
    unsigned long step = (high - low) / n > 0 ? (high - low) / n : 1, at = low;

    for (unsigned long i = 0; i < n && at <= high; i++) {
        put(d, " %lu", at);
        at += between(d, 1, step);
    }
    put(d, "\n");
}

/* A head as a shop has it, or (extreme) with numbers as large as a profile may have. */
static void draw_head(struct drawing *d, struct cc_head *head, bool extreme)
{
    static const char *const worms[] = { "40", "60", "90", "5", "4000", "77/2", "9/2", "119/3", "1/3", "999983/999979", "360/7" };
    static const char *const pins[] = { "same", "other", "none" };
    struct cc_error err = { .text = "" };
    unsigned long most = extreme ? 10000 : 70;

    d->used = 0;
    put(d, "[head]\ntitle = Drawn\nplate_pin = %s\nmounted = A 1\n", pins[below(d, 3)]);
    if (extreme && below(d, 2) == 0)
        put(d, "worm = %lu/%lu\n", between(d, 1, 1000000), between(d, 1, 1000000));
    else
        put(d, "worm = %s\n", worms[below(d, sizeof worms / sizeof worms[0])]);
    if (below(d, 2) == 0) {
        put(d, "[direct]\nholes =");
        put_counts(d, between(d, 1, 3), 2, 60);
    }
    for (char plate = 'A'; plate < 'D'; plate++) {
        put(d, "[plate %c]\n", plate);
        for (unsigned side = 1; side <= 2; side++) {
            put(d, "side %u =", side);
            put_counts(d, between(d, 1, 6), between(d, 2, most - 8), most);
        }
    }
    if (below(d, 3) == 0)
        put(d, "[dial]\nlines = %lu\nvernier = %lu\n", between(d, 2, extreme ? 10000 : 250), between(d, 1, extreme ? 100 : 6));
    if (below(d, 2) == 0) {
        put(d, "[gears]\nteeth =");
        put_counts(d, between(d, 3, 9), extreme ? 5000 : 20, extreme ? 10000 : 100);
    }
    cc_head_init(head);
    if (cc_head_read(head, d->text, d->used, "drawn", "drawn", &err) != CC_OK)
        fail_msg("seed %lu: %s\n%s", test_seed(), err.text, d->text);
}

/* ---- both ways ---- */

static void assert_same(const struct cc_plan *a, const struct cc_plan *b, const char *head, const mpz_t n)
{
    bool same = a->method == b->method && a->exact == b->exact && a->plate == b->plate && a->side == b->side &&
                a->circle == b->circle && a->circle2 == b->circle2 && a->block == b->block && a->move == b->move &&
                a->start == b->start && a->steps == b->steps && a->larger == b->larger && a->constant == b->constant &&
                a->forward == b->forward && a->is_mounted == b->is_mounted && a->time == b->time && a->effort == b->effort &&
                a->within == b->within && a->holds == b->holds && a->rank == b->rank &&
                memcmp(&a->train, &b->train, sizeof a->train) == 0 && mpq_equal(a->plate_turns, b->plate_turns) &&
                mpq_equal(a->ratio, b->ratio) && mpq_equal(a->travel, b->travel) && mpq_equal(a->worst_error, b->worst_error) &&
                mpq_equal(a->worst_pitch, b->worst_pitch) && mpq_equal(a->closing_error, b->closing_error);
    if (!same) {
        char count[64];
        gmp_snprintf(count, sizeof count, "%Zd", n);
        fail_msg("seed %lu, N = %s: %s, block %lu, against %s, block %lu\n%s", test_seed(), count, cc_method_name(a->method),
                 (unsigned long)a->block, cc_method_name(b->method), (unsigned long)b->block, head);
    }
}

static unsigned long exact, approximate, refused, beyond;

enum { FIRST, EACH_METHOD, ALL_GEARED, LISTS };

static enum cc_status make_list(struct cc_plans *plans, struct cc_answer *answer, struct cc_planner *planner, const struct cc_request *r, int list)
{
    struct cc_request geared = *r;      /* its numbers stay the request's */
    struct cc_plan plan;

    geared.methods &= 1U << CC_DIFFERENTIAL;
    if (mpq_sgn(r->offset) != 0 || mpq_sgn(r->most_turns) != 0)     /* these lists are long: nothing is passed over */
        geared.circle = planner->spots[0].circle;
    if (list != FIRST)
        return cc_planner_all(plans, answer, planner, list == ALL_GEARED ? &geared : r, list == ALL_GEARED, NULL);
    cc_plan_init(&plan);
    enum cc_status status = cc_planner_best(&plan, answer, planner, r, NULL);
    if (status == CC_OK)
        assert_true(cci_plans_append(plans, &plan));
    cc_plan_clear(&plan);
    return status;
}

/* The first plan, the first of each method, and all with gears, ranked in words and in fractions. */
static void compare_ways(struct cc_planner *planner, const struct cc_request *r, const char *head)
{
    struct cc_plans words[LISTS], fractions[LISTS];
    struct cc_answer answer[2];
    enum cc_status status[2];

    for (int rows = 0; rows < LISTS; rows++) {
        cc_plans_init(&words[rows]);
        cc_plans_init(&fractions[rows]);
        for (int way = 0; way < 2; way++) {
            planner->long_way = way == 1;
            memset(&answer[way], 0, sizeof answer[way]);
            status[way] = make_list(way == 0 ? &words[rows] : &fractions[rows], &answer[way], planner, r, rows);
        }
        if (status[0] != status[1] || answer[0].exact != answer[1].exact || words[rows].n != fractions[rows].n)
            fail_msg("seed %lu: %zu plans against %zu, status %d against %d, exact %d against %d\n%s", test_seed(), words[rows].n,
                     fractions[rows].n, status[0], status[1], answer[0].exact, answer[1].exact, head);
        for (size_t i = 0; i < words[rows].n; i++)
            assert_same(&words[rows].at[i], &fractions[rows].at[i], head, r->divisions);
    }
    refused += words[0].n == 0;
    exact += words[0].n > 0 && words[0].at[0].exact;
    approximate += words[0].n > 0 && !words[0].at[0].exact;
    for (size_t i = 0; i < words[ALL_GEARED].n && mpq_sgn(r->offset) == 0 && mpq_sgn(r->most_turns) == 0; i++)
        beyond += !words[ALL_GEARED].at[i].exact && !words[ALL_GEARED].at[i].within;
    for (int rows = 0; rows < LISTS; rows++) {
        cc_plans_clear(&fractions[rows]);
        cc_plans_clear(&words[rows]);
    }
}

/* Mostly such as a shop asks for; some far beyond; some that every circle and pair serves. */
static void draw_divisions(mpz_t n, struct drawing *d, const struct cc_planner *planner)
{
    switch (below(d, 5)) {
    case 0:
        mpz_urandomb(n, d->state, 1 + below(d, 63));
        break;
    case 1:     /* a divisor of what a pair or a circle reaches, times a little */
        if (planner->pair_count > 0)
            cc_set_u64(n, planner->pairs[below(d, planner->pair_count)].lcm);
        else
            mpz_set_ui(n, planner->spots[below(d, planner->spot_count)].circle);
        mpz_mul(n, n, mpq_numref(planner->head->worm));
        mpz_fdiv_q_ui(n, n, between(d, 1, 50));
        break;
    default:
        mpz_set_ui(n, between(d, 1, below(d, 2) == 0 ? 400 : 20000));
    }
    if (mpz_sgn(n) == 0)
        mpz_set_ui(n, 1);
}

/* A third with an offset: round, of many digits, or one that leaves a place half a unit off; some over an arc. */
static void draw_offset_and_arc(struct cc_request *r, struct drawing *d, const struct cc_planner *planner)
{
    static const unsigned long below_the_line[] = { 360, 1296000, 999983, 4294967291 };
    unsigned long kind = below(d, 9);

    if (kind < 2) {
        mpq_set_si(r->offset, (long)between(d, 1, 800) - 400, below_the_line[below(d, 4)]);
    } else if (kind == 2) {
        mpq_set_si(r->offset, 2 * (long)between(d, 1, 800) - 801, 2 * planner->spots[below(d, planner->spot_count)].circle);
        mpz_mul(mpq_denref(r->offset), mpq_denref(r->offset), mpq_numref(planner->head->worm));
    }
    mpq_canonicalize(r->offset);
    if (below(d, 6) == 0 && mpz_sgn(r->block) == 0) {
        mpq_set_ui(r->arc, between(d, 1, 2000), below_the_line[below(d, 2)]);
        mpq_canonicalize(r->arc);
    }
}

static void draw_limits(struct cc_request *r, struct drawing *d, const struct cc_planner *planner)
{
    static const unsigned methods[] = { 1U << CC_NEARLY_EXACT, 1U << CC_NEAREST_COMPOUND, 1U << CC_NEAREST_HOLE,
                                        1U << CC_DIFFERENTIAL, 1U << CC_COMPOUND | 1U << CC_NEARLY_EXACT };

    r->methods = below(d, 3) == 0 ? methods[below(d, 5)] : CC_ALL_METHODS;
    r->circle = below(d, 6) == 0 ? planner->spots[below(d, planner->spot_count)].circle : 0;
    mpz_set_ui(r->block, below(d, 6) == 0 && mpz_cmp_ui(r->divisions, 8) > 0 ? 7 : 0);
    if (mpz_divisible_ui_p(r->divisions, 7))
        mpz_set_ui(r->block, 0);
    draw_offset_and_arc(r, d, planner);
    mpq_set_ui(r->most_turns, below(d, 8) == 0 ? between(d, 1, 3) : 0, 1);
    r->has_tolerance = below(d, 3) == 0;
    if (r->has_tolerance) {
        mpq_set_ui(r->tolerance, below(d, 4) == 0 ? 0 : between(d, 1, 600), below(d, 4) == 0 ? 1200 : 1296000);
        if (below(d, 4) == 0) {     /* more digits than a word has */
            mpz_urandomb(mpq_numref(r->tolerance), d->state, 60);
            mpz_ui_pow_ui(mpq_denref(r->tolerance), 10, 22);
        }
        mpq_canonicalize(r->tolerance);
    }
}

/* A list in place of divisions: a few angles round, or many, near whole crank turns too; some too fine for words. */
static void draw_list(struct cc_request *r, struct drawing *d, const struct cc_planner *planner)
{
    static const char *const below_the_line[] = { "24", "360", "1001", "999983", "1125899906842597", "2305843009213693973" };
    mpq_t at, turn;
    mpz_t den;

    mpz_init_set_str(den, below_the_line[below(d, 6)], 10);
    mpq_init(at);
    mpq_init(turn);
    mpq_inv(turn, planner->head->worm);
    for (unsigned long i = between(d, 1, below(d, 3) == 0 ? 40 : 5); i > 0; i--) {
        mpz_urandomb(mpq_numref(at), d->state, 62);
        mpz_mod(mpq_numref(at), mpq_numref(at), den);
        mpz_set(mpq_denref(at), den);
        mpq_canonicalize(at);
        if (below(d, 3) == 0) {         /* whole turns, perhaps a little more */
            mpq_set_ui(at, below(d, 30), 1);
            mpq_mul(at, at, turn);
            if (mpq_cmp_ui(at, CC_MAX_REVOLUTIONS / 2, 1) > 0)
                mpq_set(at, turn);
            mpz_mul_ui(mpq_denref(at), mpq_denref(at), 1000);
            mpz_mul_ui(mpq_numref(at), mpq_numref(at), below(d, 2) == 0 ? 1000 : 1001);
            mpq_canonicalize(at);
        }
        if (below(d, 4) == 0)
            mpq_neg(at, at);
        assert_int_equal(cc_request_add(r, at, NULL, NULL), CC_OK);
    }
    mpq_clear(turn);
    mpq_clear(at);
    mpz_clear(den);
}

static void compare_drawn(bool extreme, unsigned long heads, unsigned long requests)
{
    struct drawing d = { .used = 0 };

    test_random_init(d.state);
    for (unsigned long i = 0; i < test_rounds(heads); i++) {
        struct cc_planner *planner;
        struct cc_head head;
        draw_head(&d, &head, extreme);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        for (unsigned long j = 0; j < requests; j++) {
            struct cc_request r;
            cc_request_init(&r);
            draw_divisions(r.divisions, &d, planner);
            draw_limits(&r, &d, planner);
            if (below(&d, 4) == 0)
                draw_list(&r, &d, planner);
            compare_ways(planner, &r, d.text);
            cc_request_clear(&r);
        }
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
    gmp_randclear(d.state);
}

static void test_usual_heads(void **state)
{
    (void)state;
    exact = approximate = refused = beyond = 0;
    compare_drawn(false, 80, 40);
    /* Each kind of answer was really met. */
    assert_true(exact > 300 && approximate > 300 && refused > 50 && beyond > 300);
}

static void test_extreme_heads(void **state)
{
    (void)state;
    exact = approximate = refused = beyond = 0;
    compare_drawn(true, 30, 20);
    assert_true(exact > 20 && approximate > 100 && refused > 20 && beyond > 20);
}

/*
 * N = 10 on a worm of 209/7: a division is 29051/70 = 415 1/70 holes of the 139 circle, so rows 0 ... 10 are off by 10/70 of a
 * hole at most, 1/29051 of a turn; a third of a hole, which rounding leaves where there are rows for every seventieth, is more
 * than what the 237 circle leaves, 33/70 of its holes and 1/15010 of a turn.
 */
static void test_fewer_rows_than_residues(void **state)
{
    static const char text[] = "[head]\nworm = 209/7\n[plate A]\nside 1 = 7 139 237 245\n";
    struct cc_planner *planner;
    struct cc_request r;
    struct cc_plan plan;
    struct cc_head head;

    (void)state;
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, text, sizeof text - 1, "few", "few", NULL), CC_OK);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&r);
    cc_plan_init(&plan);
    mpz_set_ui(r.divisions, 10);
    r.methods = 1U << CC_NEAREST_HOLE;
    assert_int_equal(cc_planner_best(&plan, NULL, planner, &r, NULL), CC_OK);
    assert_int_equal(plan.circle, 139);
    cc_plan_clear(&plan);
    cc_request_clear(&r);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fewer_rows_than_residues),
        cmocka_unit_test(test_usual_heads),
        cmocka_unit_test(test_extreme_heads),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
