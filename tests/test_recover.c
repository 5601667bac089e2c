/*
 * test_recover.c: random jobs on every shipped head, lost at a random row. What fits is worked out a
 * second way: the movements of every row are added up in the hands' terms (holes of both pins), put
 * through the kinematics of the head, and compared with what was seen.
 */
#define _POSIX_C_SOURCE 200809L
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"
#include "lost.h"
#include "support.h"

struct bench {              /* rows of a job as the hands make them */
    unsigned circle;
    uint64_t n, room;
    uint64_t *hole, *hole2;
    mpq_t *angle;
};

static void bench_clear(struct bench *bench)
{
    for (uint64_t i = 0; i < bench->room; i++)
        mpq_clear(bench->angle[i]);
    free(bench->angle);
    free(bench->hole);
    free(bench->hole2);
}

static void bench_room(struct bench *bench, uint64_t room)
{
    if (room <= bench->room)
        return;
    bench->hole = realloc(bench->hole, (size_t)room * sizeof *bench->hole);
    bench->hole2 = realloc(bench->hole2, (size_t)room * sizeof *bench->hole2);
    bench->angle = realloc(bench->angle, (size_t)room * sizeof *bench->angle);
    assert_true(bench->hole != NULL && bench->hole2 != NULL && bench->angle != NULL);
    for (; bench->room < room; bench->room++)
        mpq_init(bench->angle[bench->room]);
}

static unsigned long modulo(long n, long m)
{
    return (unsigned long)(((n % m) + m) % m);
}

/* Add up every movement: theta = (pin / C1 + plate / C2) / ratio; direct: (hole + pin / V) / D. */
static void bench_fill(struct bench *bench, const struct cc_plan *plan, const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;
    long pin = 0, plate = 0, circle = (long)plan->circle;
    long pins = plan->side == 0 ? (long)(plan->unit / plan->circle) : 1;
    mpq_t part;

    mpq_init(part);
    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, request);
    bench_room(bench, plan->steps + 1);
    bench->circle = plan->circle;
    for (bench->n = 0; cc_cursor_next(&cursor, &step); bench->n++) {
        mpq_t *angle = &bench->angle[bench->n];
        pin += (long)step.turns * circle + (long)step.holes;
        plate += (long)step.holes2;
        bench->hole[bench->n] = modulo(pin, circle);
        mpq_set_si(*angle, pin, (unsigned long)circle);
        mpq_canonicalize(*angle);
        bench->hole2[bench->n] = 0;
        if (plan->side == 0 && pins > 1) {
            bench->hole2[bench->n] = (unsigned long)plate;
            mpq_set_si(part, plate, (unsigned long)(circle * pins));
            mpq_canonicalize(part);
            mpq_add(*angle, *angle, part);
        } else if (plan->circle2 > 0) {
            bench->hole2[bench->n] = modulo(plate, (long)plan->circle2);
            mpq_set_si(part, plate, plan->circle2);
            mpq_canonicalize(part);
            mpq_add(*angle, *angle, part);
        }
        mpq_div(*angle, *angle, plan->ratio);
    }
    assert_int_equal(bench->n, plan->steps + 1);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    mpq_clear(part);
}

/* |a - b| on the circle. */
static void apart(mpq_t distance, const mpq_t a, const mpq_t b)
{
    mpq_t rest;

    mpq_init(rest);
    mpq_sub(distance, a, b);
    mpz_fdiv_r(mpq_numref(distance), mpq_numref(distance), mpq_denref(distance));
    mpq_set_ui(rest, 1, 1);
    mpq_sub(rest, rest, distance);
    if (mpq_cmp(rest, distance) < 0)
        mpq_set(distance, rest);
    mpq_clear(rest);
}

static bool bench_fits(const struct bench *bench, uint64_t row, const struct cc_seen *seen)
{
    mpq_t distance;
    bool fits = true;

    if (seen->has_last && row < seen->last)
        return false;
    if (seen->has_hole && modulo((long)bench->hole[row] - (long)seen->hole, (long)bench->circle) > seen->more_holes)
        return false;
    if (seen->has_hole2 && bench->hole2[row] != seen->hole2)
        return false;
    if (seen->has_reading) {
        mpq_init(distance);
        apart(distance, seen->reading, bench->angle[row]);
        fits = mpq_cmp(distance, seen->uncertainty) <= 0;
        mpq_clear(distance);
    }
    return fits;
}

/* ---- random jobs and lost places ---- */

struct tally {
    unsigned long jobs, lost, alone, without, by_method[CC_METHODS];
};

/* -amount ... amount in steps of amount / 64. */
static void random_error(mpq_t error, const mpq_t amount, gmp_randstate_t random)
{
    mpq_set_si(error, (long)gmp_urandomm_ui(random, 129) - 64, 64);
    mpq_canonicalize(error);
    mpq_mul(error, error, amount);
}

static void random_request(struct cc_request *request, gmp_randstate_t random)
{
    static const unsigned long denominators[] = { 360, 24, 97, 720, 1000 };
    unsigned long kind = gmp_urandomm_ui(random, 8);

    if (kind == 0) {
        unsigned long n = 1 + gmp_urandomm_ui(random, 30);
        mpq_t position;
        mpq_init(position);
        for (unsigned long i = 0; i < n; i++) {
            unsigned long d = denominators[gmp_urandomm_ui(random, 5)];
            mpq_set_si(position, (long)gmp_urandomm_ui(random, 2 * d) - (long)d / 2, d);
            mpq_canonicalize(position);
            assert_int_equal(cc_request_add(request, position, NULL, NULL), CC_OK);
        }
        mpq_clear(position);
        return;
    }
    mpz_set_ui(request->divisions, 1 + gmp_urandomm_ui(random, kind < 3 ? 1500 : 150));
    if (kind == 3) {
        mpq_set_ui(request->arc, 1 + gmp_urandomm_ui(random, 40), 24);
        mpq_canonicalize(request->arc);
    }
    if (kind == 4) {
        mpq_set_ui(request->offset, gmp_urandomm_ui(random, 360), 360);
        mpq_canonicalize(request->offset);
    }
    if (gmp_urandomm_ui(random, 2) == 0)    /* every method gets its turn */
        request->methods = 1U << gmp_urandomm_ui(random, CC_METHODS);
}

static void check_order(const struct cc_places *places, const struct cc_seen *seen, const char *where)
{
    for (size_t i = 1; i < places->n; i++) {
        const struct cc_place *a = &places->at[i - 1], *b = &places->at[i];
        if (seen->has_last ? a->row >= b->row : mpq_sgn(a->off) == 0 && mpq_sgn(b->off) == 0 && a->row >= b->row)
            fail_msg("%s: rows %llu and %llu are out of order", where, (unsigned long long)a->row,
                     (unsigned long long)b->row);
        mpq_t size_a, size_b;
        mpq_init(size_a);
        mpq_init(size_b);
        mpq_abs(size_a, a->off);
        mpq_abs(size_b, b->off);
        if (!seen->has_last && mpq_cmp(size_a, size_b) > 0)
            fail_msg("%s: a place further off comes first", where);
        mpq_clear(size_b);
        mpq_clear(size_a);
    }
}

static uint64_t count_fits(const struct bench *bench, const struct cc_seen *seen)
{
    uint64_t fits = 0;

    for (uint64_t row = 0; row < bench->n; row++)
        fits += bench_fits(bench, row, seen);
    return fits;
}

/* Exactly the rows that fit are found, and each with the right distance. */
static void check_places(const struct cc_places *places, const struct bench *bench,
                         const struct cc_seen *seen, const char *where)
{
    uint64_t fits = count_fits(bench, seen);
    mpq_t distance, size;

    mpq_init(distance);
    mpq_init(size);
    if (places->total != fits || places->n != fits)
        fail_msg("%s: %llu rows fit, %llu found", where, (unsigned long long)fits,
                 (unsigned long long)places->total);
    for (size_t i = 0; i < places->n; i++) {
        uint64_t row = places->at[i].row;
        if (row >= bench->n || !bench_fits(bench, row, seen))
            fail_msg("%s: row %llu does not fit", where, (unsigned long long)row);
        if (!seen->has_reading)
            continue;
        apart(distance, seen->reading, bench->angle[row]);
        mpq_abs(size, places->at[i].off);
        if (!mpq_equal(distance, size))
            fail_msg("%s: row %llu: wrong distance to the reading", where, (unsigned long long)row);
    }
    check_order(places, seen, where);
    mpq_clear(size);
    mpq_clear(distance);
}

/* Something was read wrong: the rows that fit by the long way, or none, and no crash. */
static void misread(const struct cc_plan *plan, const struct cc_request *request, const struct bench *bench,
                    struct cc_seen *seen, gmp_randstate_t random, struct tally *tally, const char *where)
{
    struct cc_places places;
    struct cc_error err;

    cc_places_init(&places);
    seen->hole = gmp_urandomm_ui(random, plan->circle);
    if (seen->has_hole2)
        seen->hole2 = gmp_urandomm_ui(random, plan->side == 0 ? (unsigned long)(plan->unit / plan->circle) : plan->circle2);
    enum cc_status s = cc_recover(&places, plan, request, seen, (size_t)bench->n, &err);
    if (s == CC_ENOFIT && count_fits(bench, seen) > 0)
        fail_msg("%s: a misread place is not found", where);
    else if (s == CC_OK)
        check_places(&places, bench, seen, where);
    else if (s != CC_ENOFIT)
        fail_msg("%s: %s", where, err.text);
    tally->without += s == CC_ENOFIT;
    cc_places_clear(&places);
}

static bool has_row(const struct cc_places *places, uint64_t row)
{
    for (size_t i = 0; i < places->n; i++)
        if (places->at[i].row == row)
            return true;
    return false;
}

static void lose_place(const struct cc_plan *plan, const struct cc_request *request,
                       const struct bench *bench, gmp_randstate_t random, struct tally *tally,
                       const char *where)
{
    unsigned long truth = gmp_urandomm_ui(random, (unsigned long)bench->n);
    bool second = plan->circle2 > 0;
    struct cc_places places;
    struct cc_error err;
    struct cc_seen seen;
    mpq_t error;

    mpq_init(error);
    cc_seen_init(&seen);
    cc_places_init(&places);
    seen.has_hole = gmp_urandomm_ui(random, 5) > 0;
    seen.hole = bench->hole[truth];
    if (cc_plan_is_dial(plan) && gmp_urandomm_ui(random, 2) == 0) {     /* a dial of which the line alone was read */
        seen.more_holes = plan->circle / plan->dial.lines - 1;
        seen.hole -= seen.hole % (seen.more_holes + 1);
    }
    seen.has_hole2 = second && gmp_urandomm_ui(random, 3) > 0;
    seen.hole2 = bench->hole2[truth];
    seen.has_reading = gmp_urandomm_ui(random, 4) > 0;
    mpq_set_ui(seen.uncertainty, gmp_urandomm_ui(random, 300), 36000);  /* up to 3 degrees */
    mpq_canonicalize(seen.uncertainty);
    random_error(error, seen.uncertainty, random);
    mpq_add(seen.reading, bench->angle[truth], error);
    mpq_set_si(error, (long)gmp_urandomm_ui(random, 5) - 2, 1);         /* whole turns do not count */
    mpq_add(seen.reading, seen.reading, error);
    seen.has_last = gmp_urandomm_ui(random, 3) == 0;
    seen.last = gmp_urandomm_ui(random, truth + 1);
    if (cc_recover(&places, plan, request, &seen, (size_t)bench->n, &err) != CC_OK)
        fail_msg("%s: row %llu: %s", where, (unsigned long long)truth, err.text);
    check_places(&places, bench, &seen, where);
    if (!has_row(&places, truth))
        fail_msg("%s: the true row %llu is not among the candidates", where, (unsigned long long)truth);
    tally->lost++;
    tally->alone += places.total == 1;

    /* Fewer asked for: the same total, the same beginning. */
    uint64_t total = places.total, first = places.at[0].row;
    assert_int_equal(cc_recover(&places, plan, request, &seen, 1, &err), CC_OK);
    assert_int_equal(places.n, 1);
    assert_int_equal(places.total, total);
    assert_int_equal(places.at[0].row, first);
    misread(plan, request, bench, &seen, random, tally, where);
    cc_places_clear(&places);
    cc_seen_clear(&seen);
    mpq_clear(error);
}

static void one_job(struct cc_planner *planner, gmp_randstate_t random, struct bench *bench,
                    struct tally *tally, const char *where)
{
    struct cc_request request;
    struct cc_plan plan;
    char place[320], divisions[64];

    cc_request_init(&request);
    cc_plan_init(&plan);
    random_request(&request, random);
    if (cc_planner_best(&plan, NULL, planner, &request, NULL) == CC_OK) {
        gmp_snprintf(divisions, sizeof divisions, "%Zd", request.divisions);
        snprintf(place, sizeof place, "%s: divide %s, %s", where, divisions, cc_method_name(plan.method));
        tally->jobs++;
        tally->by_method[plan.method]++;
        bench_fill(bench, &plan, &request);
        for (int i = 0; i < 5; i++)
            lose_place(&plan, &request, bench, random, tally, place);
    }
    cc_plan_clear(&plan);
    cc_request_clear(&request);
}

/* 10^4 jobs take CRANKCARD_TEST_MULT=20. */
static void test_random_jobs(void **state)
{
    struct tally tally = { 0 };
    struct bench bench = { 0 };
    gmp_randstate_t random;
    char where[200];
    glob_t heads;
    (void)state;

    assert_int_equal(glob("data/heads/*.ini", 0, NULL, &heads), 0);     /* sorted */
    test_random_init(random);
    for (size_t h = 0; h < heads.gl_pathc; h++) {
        struct cc_planner *planner;
        struct cc_head head;
        test_head_load(&head, heads.gl_pathv[h]);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        for (unsigned long i = 0; i < test_rounds(100); i++) {
            snprintf(where, sizeof where, "seed %lu, %s, job %lu", test_seed(), heads.gl_pathv[h], i);
            one_job(planner, random, &bench, &tally, where);
        }
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
    bench_clear(&bench);
    gmp_randclear(random);
    globfree(&heads);
    assert_true(tally.jobs > test_rounds(400));
    assert_true(tally.alone > tally.lost / 4);      /* often the observation settles it */
    assert_true(tally.without > tally.lost / 10);   /* and a misread one is often impossible */
    for (int m = 0; m < CC_METHODS; m++)
        assert_true(tally.by_method[m] >= 5);
    print_message("%lu jobs, %lu places, %lu settled\n", tally.jobs, tally.lost, tally.alone);
}

/* Rounded divisions too many to be held in memory: what windows and residues find is what every row says. */
static void test_long_jobs(void **state)
{
    struct tally tally = { 0 };
    struct bench bench = { 0 };
    struct cc_planner *planner;
    struct cc_head head;
    struct cc_request request;
    struct cc_plan plan;
    gmp_randstate_t random;
    char where[200];
    (void)state;

    test_random_init(random);
    test_head_load(&head, "data/heads/slow-crank-4000.ini");
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    for (unsigned long i = 0; i < test_rounds(6); i++) {
        cc_request_init(&request);
        cc_plan_init(&plan);
        mpz_set_ui(request.divisions, 50001 + gmp_urandomm_ui(random, 9000));
        mpz_setbit(request.divisions, 0);
        request.methods = 1U << (i % 2 == 0 ? CC_NEAREST_COMPOUND : CC_NEAREST_HOLE);
        mpq_set_ui(request.offset, i % 3, 7);
        mpz_set_ui(request.block, i % 4 == 2 && mpz_fdiv_ui(request.divisions, 3) != 0 ? 3 : 0);
        if (i % 4 == 3)
            mpq_set_ui(request.arc, 3, 2);
        mpq_canonicalize(request.offset);
        snprintf(where, sizeof where, "seed %lu, long job %lu", test_seed(), i);
        if (cc_planner_best(&plan, NULL, planner, &request, NULL) == CC_OK) {
            tally.jobs++;
            bench_fill(&bench, &plan, &request);
            for (int k = 0; k < 4; k++)
                lose_place(&plan, &request, &bench, random, &tally, where);
        }
        cc_plan_clear(&plan);
        cc_request_clear(&request);
    }
    assert_true(tally.jobs >= test_rounds(3));
    cc_planner_free(planner);
    cc_head_clear(&head);
    bench_clear(&bench);
    gmp_randclear(random);
}

/* ---- by hand ---- */

/* Number of rows found, or the negative status. */
static long ask(struct fixture *f, struct cc_error *err)
{
    enum cc_status s = cc_recover(&f->places, &f->plan, &f->request, &f->seen, 100, err);
    return s == CC_OK ? (long)f->places.total : -(long)s;
}

static void test_by_hand(void **state)
{
    struct fixture f;
    struct cc_error err;
    (void)state;

    /* 95 = 5 x 19: 40/95 = 8/19. Row i stands in hole 8 i mod 19: hole 5 at 8 i = 5 (mod 19); the
     * inverse of 8 is 12 (96 = 5 x 19 + 1), so i = 60 = 3 (mod 19): rows 3, 22, 41, 60, 79. */
    begin(&f, 95, 1U << CC_PLAIN, 19);
    f.seen.has_hole = true;
    f.seen.hole = 5;
    assert_int_equal(ask(&f, &err), 5);
    for (unsigned i = 0; i < 5; i++)
        assert_int_equal(f.places.at[i].row, 3 + 19 * i);

    /* Row 41 is at 41 x 360/95 = 155.37 degrees; its neighbours in hole 5 are 72 degrees away. */
    f.seen.has_reading = true;
    mpq_set_ui(f.seen.reading, 155, 360);
    mpq_canonicalize(f.seen.reading);
    mpq_set_ui(f.seen.uncertainty, 1, 360);
    assert_int_equal(ask(&f, &err), 1);
    assert_int_equal(f.places.at[0].row, 41);

    mpq_set_ui(f.seen.uncertainty, 1, 1000);    /* 0.36 degrees: the reading is 0.37 off */
    assert_int_equal(ask(&f, &err), -CC_ENOFIT);
    assert_string_equal(err.text, "no step of this job fits what is seen");

    /* With row 40 known and no reading, the next in hole 5 comes first. */
    f.seen.has_reading = false;
    f.seen.has_last = true;
    f.seen.last = 40;
    assert_int_equal(ask(&f, &err), 3);
    assert_int_equal(f.places.at[0].row, 41);
    end(&f);
}

static void refused(struct fixture *f, const char *text)
{
    struct cc_error err;

    assert_int_equal(ask(f, &err), -CC_EDOM);
    assert_string_equal(err.text, text);
}

static void test_refusals(void **state)
{
    struct fixture f;
    (void)state;

    begin(&f, 95, 1U << CC_PLAIN, 19);
    f.seen.has_hole = true;
    f.seen.hole = 19;
    refused(&f, "hole 19: the circle has 19 holes, counted from 0 to 18");
    f.seen.has_hole = false;
    f.seen.has_hole2 = true;
    refused(&f, "hole2 0: this plan (plain) moves one pin only");
    f.seen.has_hole2 = false;
    f.seen.has_last = true;
    f.seen.last = 96;
    refused(&f, "step 96 is beyond the last step, 95");
    f.seen.last = 95;
    mpq_set_si(f.seen.uncertainty, -1, 360);
    refused(&f, "the uncertainty of a reading is 0 or more");
    end(&f);

    begin(&f, 57, 1U << CC_COMPOUND, 19);     /* 7/19 + 6/18 */
    f.seen.has_hole2 = true;
    f.seen.hole2 = f.plan.circle2;
    assert_int_equal(f.plan.circle2, 18);
    refused(&f, "hole2 18: 18 are counted from 0 to 17");
    end(&f);
}

/* Left in a movement: 7 divisions take 5 turns and 15 holes of 21; after 3 turns and 4 holes of the
 * third movement 1 turn... 5 15/21 - 3 4/21 = 2 turns and 11 holes are left. */
static void test_between(void **state)
{
    struct fixture f;
    struct cc_error err;
    mpq_t turns;
    (void)state;

    begin(&f, 7, 1U << CC_PLAIN, 21);
    mpq_init(turns);
    f.seen.has_hole = true;
    f.seen.hole = (2 * 15 + 4) % 21;
    f.seen.has_reading = true;
    mpq_set_ui(turns, 2 * 120 + 3 * 21 + 4, 21 * 40);  /* spindle revolutions */
    mpq_canonicalize(turns);
    mpq_set_ui(f.seen.uncertainty, 1, 90);              /* 4 degrees; a crank turn is 9 */
    mpq_add(f.seen.reading, turns, f.seen.uncertainty);
    assert_int_equal(ask(&f, &err), -CC_ENOFIT);
    assert_int_equal(cc_recover_between(&f.places, &f.plan, &f.request, &f.seen, 10, &err), CC_OK);
    assert_int_equal(f.places.total, 1);
    assert_int_equal(f.places.at[0].row, 3);
    assert_int_equal(f.places.at[0].turns, 2);
    assert_int_equal(f.places.at[0].holes, 11);
    assert_true(mpq_equal(f.places.at[0].off, f.seen.uncertainty));

    f.seen.has_last = true;                             /* not before a cut that is made */
    f.seen.last = 3;
    assert_int_equal(cc_recover_between(&f.places, &f.plan, &f.request, &f.seen, 10, &err), CC_ENOFIT);
    mpq_clear(turns);
    end(&f);
}

/* Divisions and the rows that make them, against the cursor: a plan by blocks, an arc, a list. */
static void check_divisions(const struct cc_plan *plan, const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;
    uint64_t row;
    bool list = request->position_count > 0;

    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, request);
    while (cc_cursor_next(&cursor, &step)) {
        if (step.closing || (list && step.step == 0))
            continue;
        assert_int_equal(cc_row_of_division(&row, plan, request, step.division, NULL), CC_OK);
        assert_int_equal(row, step.step);
    }
    assert_int_equal(cc_row_of_division(&row, plan, request, plan->steps + 1, NULL), CC_EDOM);
    if (plan->has_closing)
        assert_int_equal(cc_row_of_division(&row, plan, request, plan->steps, NULL), CC_EDOM);
    if (list)
        assert_int_equal(cc_row_of_division(&row, plan, request, 0, NULL), CC_EDOM);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

static void test_divisions(void **state)
{
    struct fixture f;
    mpq_t position;
    (void)state;

    begin(&f, 127, 1U << CC_NEARLY_EXACT, 0);
    assert_true(f.plan.block > 1);
    check_divisions(&f.plan, &f.request);
    end(&f);

    begin(&f, 1, 1U << CC_PLAIN, 0);
    check_divisions(&f.plan, &f.request);
    end(&f);

    begin(&f, 10, 1U << CC_PLAIN, 0);
    mpq_set_ui(f.request.arc, 1, 4);
    assert_int_equal(cc_planner_best(&f.plan, NULL, f.planner, &f.request, NULL), CC_OK);
    check_divisions(&f.plan, &f.request);
    mpz_set_ui(f.request.divisions, 0);
    mpq_set_ui(f.request.arc, 1, 1);
    mpq_init(position);
    for (unsigned i = 1; i < 4; i++) {
        mpq_set_ui(position, i, 40);
        mpq_canonicalize(position);
        assert_int_equal(cc_request_add(&f.request, position, NULL, NULL), CC_OK);
    }
    assert_int_equal(cc_planner_best(&f.plan, NULL, f.planner, &f.request, NULL), CC_OK);
    check_divisions(&f.plan, &f.request);
    mpq_clear(position);
    end(&f);
}

/* A million rows fit, and more are not counted. */
static void test_limit(void **state)
{
    struct fixture f;
    struct cc_error err;
    (void)state;

    begin(&f, 95, 1U << CC_PLAIN, 19);
    f.plan.steps = UINT64_C(100) * CC_MAX_PLACES;
    assert_int_equal(ask(&f, &err), -CC_ELIMIT);
    end(&f);
}

/* ---- dial and rim ---- */

/* 90:1, 240 lines of a minute, a vernier to 10 seconds: 1440 parts in a turn of 4 degrees. */
static void test_dial(void **state)
{
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_head head;
    struct cc_plan plan;
    struct cc_error err;
    uint64_t hole;
    unsigned more;
    mpq_t reading;
    (void)state;

    test_head_load(&head, "data/heads/dial-table-90.ini");
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    cc_request_init(&request);
    mpz_set_ui(request.divisions, 7);
    cc_plan_init(&plan);
    assert_int_equal(cc_planner_best(&plan, NULL, planner, &request, NULL), CC_OK);
    mpq_init(reading);
    /* 3 degrees 25 minutes 40 seconds are 205 x 6 + 4 parts. The numbers fall where forward is counter to them. */
    mpq_set_ui(reading, 3 * 3600 + 25 * 60 + 40, 3600);
    mpq_canonicalize(reading);
    assert_int_equal(cc_dial_find(&hole, &more, reading, false, &plan, &head, CC_CLOCKWISE, &err), CC_OK);
    assert_int_equal(hole, 1234);
    assert_int_equal(more, 0);
    assert_int_equal(cc_dial_find(&hole, &more, reading, false, &plan, &head, CC_COUNTER, &err), CC_OK);
    assert_int_equal(hole, 1440 - 1234);
    /* The line alone: parts 1230 to 1235; falling, 205 to 210. */
    mpq_set_ui(reading, 205, 60);
    mpq_canonicalize(reading);
    assert_int_equal(cc_dial_find(&hole, &more, reading, true, &plan, &head, CC_CLOCKWISE, &err), CC_OK);
    assert_int_equal(hole, 1230);
    assert_int_equal(more, 5);
    assert_int_equal(cc_dial_find(&hole, &more, reading, true, &plan, &head, CC_COUNTER, &err), CC_OK);
    assert_int_equal(hole, 205);
    mpq_set_ui(reading, 0, 1);
    assert_int_equal(cc_dial_find(&hole, &more, reading, true, &plan, &head, CC_COUNTER, &err), CC_OK);
    assert_int_equal(hole, 1435);
    mpq_set_ui(reading, 4, 1);
    assert_int_equal(cc_dial_find(&hole, &more, reading, false, &plan, &head, CC_CLOCKWISE, &err), CC_EDOM);
    mpq_set_ui(reading, 1, 7);
    assert_int_equal(cc_dial_find(&hole, &more, reading, false, &plan, &head, CC_CLOCKWISE, &err), CC_EDOM);
    mpq_set_ui(reading, 1, 4);
    mpq_t angle;
    mpq_init(angle);
    cc_rim_find(angle, reading, &head, CC_CLOCKWISE);
    test_mpq_equal("rim", angle, "1/4");
    cc_rim_find(angle, reading, &head, CC_COUNTER);
    test_mpq_equal("rim", angle, "-1/4");
    mpq_clear(angle);
    mpq_clear(reading);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),  cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_between),  cmocka_unit_test(test_limit),
        cmocka_unit_test(test_divisions),
        cmocka_unit_test(test_random_jobs), cmocka_unit_test(test_long_jobs), cmocka_unit_test(test_dial),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
