/*
 * test_published.c: published indexing tables and examples (tests/reference) put through the library. A
 * row that fails is named by file, line and source.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "crankcard/angle.h"
#include "support.h"

/* "file:line (source)" of the current row. */
static const char *cite(struct test_tsv *t)
{
    static char text[600];
    bool memory = strcmp(t->path, "tests/reference/memory.tsv") == 0;

    snprintf(text, sizeof text, "%s (%s)", test_tsv_where(t),
             memory ? test_tsv_get(t, "confidence") : test_tsv_get(t, "source"));
    return text;
}

static long signed_count(struct test_tsv *t, const char *column)
{
    const char *text = test_tsv_get(t, column);
    char *end;
    long value = strtol(text, &end, 10);

    if (end == text || *end != '\0')
        fail_msg("%s: %s: '%s' is not a count", cite(t), column, text);
    return value;
}

/* A head of one circle. */
static void open_one_circle(struct bench *b, unsigned long worm, unsigned long circle)
{
    char text[100];

    snprintf(text, sizeof text, "[head]\nworm = %lu\n[plate A]\nside 1 = %lu\n", worm, circle);
    bench_text(b, text, "one circle");
}

/* Row 1 of a plan: the movement from the start to the first position. */
static void first_movement(struct cc_step *step, const struct cc_plan *plan,
                           const struct cc_request *request)
{
    struct cc_cursor cursor;

    cc_cursor_init(&cursor, plan, request);
    assert_true(cc_cursor_next(&cursor, step));
    assert_true(cc_cursor_next(&cursor, step));
    cc_cursor_clear(&cursor);
}

/* Every row of a plan stands exactly where it should, and there is a row for each step. */
static void all_rows_exact(const char *where, const struct cc_plan *plan,
                           const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;
    uint64_t rows = 0;

    cc_cursor_init(&cursor, plan, request);
    cc_step_init(&step);
    for (; cc_cursor_next(&cursor, &step); rows++)
        if (mpq_sgn(step.error) != 0)
            fail_msg("%s: row %lu is off", where, (unsigned long)step.step);
    if (rows != plan->steps + 1)
        fail_msg("%s: %lu rows", where, (unsigned long)rows);
    cc_step_clear(&step);
    cc_cursor_clear(&cursor);
}

/* The circle of a row; whole turns name none, and any will do. */
static unsigned long circle_of(struct test_tsv *t)
{
    return *test_tsv_get(t, "circle") == '\0' ? 20 : test_tsv_count(t, "circle");
}

/* The plan that uses these circles, in either order; circle2 = 0 for one circle. */
static const struct cc_plan *plan_on(const struct bench *b, unsigned long circle, unsigned long circle2)
{
    for (size_t i = 0; i < b->all.n; i++) {
        const struct cc_plan *p = &b->all.at[i];
        if (p->side > 0 && ((p->circle == circle && p->circle2 == circle2) ||
                            (circle2 > 0 && p->circle == circle2 && p->circle2 == circle)))
            return p;
    }
    return NULL;
}

/* ---- plain ---- */

static void plain(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/reference/plain.tsv");
    while (test_tsv_next(&t)) {
        unsigned long n = test_tsv_count(&t, "divisions");
        int64_t turns = -1, holes = -1, holes2 = -1;
        struct bench b;
        open_one_circle(&b, test_tsv_count(&t, "worm"), circle_of(&t));
        new_request(&b, n);
        if (!find_best(&b) || b.best.method != CC_PLAIN || !b.best.exact)
            fail_msg("%s: no plain setting for %lu", cite(&t), n);
        assert_true(cc_plan_movement(&turns, &holes, &holes2, &b.best));
        if ((unsigned long)turns != test_tsv_count(&t, "turns") ||
            (unsigned long)holes != test_tsv_count(&t, "holes"))
            fail_msg("%s: %ld turns %ld holes", cite(&t), (long)turns, (long)holes);
        all_rows_exact(cite(&t), &b.best, &b.request);
        bench_close(&b);
    }
    test_tsv_close(&t);
}

/* ---- what a set of plates and gears is said to divide ---- */

/* Whether N is exact on this head by these methods, one division at a time. */
static bool divides(struct bench *b, unsigned methods, unsigned long n)
{
    new_request(b, n);
    b->request.methods = methods;
    mpz_set_ui(b->request.block, 1);
    return find_best(b) && b->best.exact;
}

/* N stands in a blank-separated list. */
static bool is_listed(const char *list, unsigned long n)
{
    while (*list != '\0') {
        char *end;
        if (strtoul(list, &end, 10) == n)
            return true;
        list = *end == '\0' ? end : end + 1;
    }
    return false;
}

/*
 * Whether the row is about plates whose circles are known: the usual three of six circles. Of the larger index
 * centres and of a direct plate with several circles the source gives what they divide and not the circles.
 */
static bool has_known_plates(const struct test_tsv *t)
{
    const char *plates = test_tsv_get(t, "plates");

    return strstr(plates, "12 1/2 inch") == NULL && strstr(plates, "triple") == NULL;
}

static void capability(void **state)
{
    unsigned tested = 0;
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/reference/capability.tsv");
    while (test_tsv_next(&t)) {
        if (!has_known_plates(&t))
            continue;
        bool geared = strcmp(test_tsv_get(&t, "gears"), "none") != 0;
        bool differential = strcmp(test_tsv_get(&t, "method"), "plain or differential") == 0;
        unsigned methods = 1U << CC_PLAIN | (differential ? 1U << CC_DIFFERENTIAL : 0U);
        unsigned long last = test_tsv_count(&t, "last"), step = test_tsv_count(&t, "step");
        struct bench b;
        if (!differential)
            assert_string_equal(test_tsv_get(&t, "method"), "plain");
        bench_open(&b, geared ? "small-tilting-geared" : "small-tilting");
        for (unsigned long n = test_tsv_count(&t, "first"); n <= last; n += step)
            if (divides(&b, methods, n) == is_listed(test_tsv_get(&t, "except"), n))
                fail_msg("%s: %lu", cite(&t), n);
        bench_close(&b);
        tested++;
    }
    assert_int_equal(tested, 7);
    test_tsv_close(&t);
}

/* How far the geared head goes; printed, and at least as far as is published. */
static void reach_of_the_geared_head(void **state)
{
    unsigned long one_at_a_time = 0, any = 0;
    struct bench b;
    (void)state;

    bench_open(&b, "small-tilting-geared");
    for (unsigned long n = 2; n <= 400; n++) {
        one_at_a_time += divides(&b, 1U << CC_PLAIN | 1U << CC_DIFFERENTIAL, n) ? 1 : 0;
        new_request(&b, n);
        any += find_best(&b) && b.best.exact ? 1 : 0;
    }
    print_message("of 2 ... 400 on the geared head: %lu exact by plain or differential, %lu by any method\n",
                  one_at_a_time, any);
    assert_true(one_at_a_time >= 381);
    assert_true(any >= one_at_a_time);
    bench_close(&b);
}

/* ---- hole circles ---- */

/* One hole of circle C is 1/(40 C) of a turn: each circle of each row gives 40 C divisions, one hole each. */
static void hole_circles(void **state)
{
    struct test_tsv t;
    struct bench two_sided, three;
    unsigned sides = 0;
    (void)state;

    bench_open(&two_sided, "universal-two-sided");
    bench_open(&three, "small-tilting");
    test_tsv_open(&t, "tests/reference/hole_circles.tsv");
    while (test_tsv_next(&t)) {
        const char *circles = test_tsv_get(&t, "circles");
        char text[300];
        struct bench b;
        snprintf(text, sizeof text, "[head]\nworm = 40\n[plate P]\nside %s = %s\n",
                 test_tsv_get(&t, "side"), circles);
        bench_text(&b, text, "published plate");
        unsigned long side = test_tsv_count(&t, "side");
        const struct cc_counts *read = &b.head.plates[0].side[side - 1];
        for (size_t i = 0; i < read->n; i++) {
            if (!is_listed(circles, read->at[i]))
                fail_msg("%s: %u", cite(&t), read->at[i]);
            new_request(&b, 40UL * read->at[i]);
            b.request.circle = read->at[i];
            b.request.methods = 1U << CC_PLAIN;
            if (!find_best(&b) || !b.best.exact || b.best.move != 1)
                fail_msg("%s: circle %u", cite(&t), read->at[i]);
        }
        const char *set = test_tsv_get(&t, "set");
        const struct bench *shipped = strcmp(set, "two-sided-24-66") == 0 ? &two_sided :
                                      strcmp(set, "three-plate-15-49") == 0 ? &three : NULL;
        if (shipped != NULL) {
            const struct cc_counts *ours =
                &shipped->head.plates[test_tsv_count(&t, "plate") - 1].side[side - 1];
            if (ours->n != read->n || memcmp(ours->at, read->at, read->n * sizeof *read->at) != 0)
                fail_msg("%s: the shipped profile has other circles", cite(&t));
            sides++;
        }
        bench_close(&b);
    }
    assert_int_equal(sides, 5);
    test_tsv_close(&t);
    bench_close(&three);
    bench_close(&two_sided);
}

/* ---- angles ---- */

static void angular_row(struct test_tsv *t, const char *angle, unsigned long worm, unsigned long turns,
                        unsigned long holes, unsigned long circle)
{
    struct cc_error err;
    struct cc_step step;
    struct bench b;
    mpq_t at;

    mpq_init(at);
    if (cc_angle_parse(at, angle, &err) != CC_OK)
        fail_msg("%s: %s", cite(t), err.text);
    open_one_circle(&b, worm, circle);
    assert_int_equal(cc_request_add(&b.request, at, NULL, &err), CC_OK);
    if (!find_best(&b) || b.best.method != CC_PLAIN || !b.best.exact)
        fail_msg("%s: %s is not exact", cite(t), angle);
    cc_step_init(&step);
    first_movement(&step, &b.best, &b.request);
    if ((unsigned long)step.turns != turns || (unsigned long)step.holes != holes ||
        !mpq_equal(step.angle, at))
        fail_msg("%s: %ld turns %ld holes of %lu", cite(t), (long)step.turns, (long)step.holes, circle);
    cc_step_clear(&step);
    bench_close(&b);
    mpq_clear(at);
}

static void angular(void **state)
{
    struct test_tsv t;
    mpq_t at;
    (void)state;

    mpq_init(at);
    test_tsv_open(&t, "tests/reference/angular.tsv");
    while (test_tsv_next(&t)) {
        const char *angle = test_tsv_get(&t, "angle");
        assert_string_equal(test_tsv_get(&t, "exact"), "yes");
        assert_int_equal(cc_angle_parse(at, angle, NULL), CC_OK);
        cc_angle_arcsec(at, at);
        test_mpq_equal(cite(&t), at, test_tsv_get(&t, "angle_arcsec"));
        angular_row(&t, angle, test_tsv_count(&t, "worm"), test_tsv_count(&t, "turns"),
                    test_tsv_count(&t, "holes"), circle_of(&t));
    }
    test_tsv_close(&t);
    mpq_clear(at);
}

/* ---- the direct plate ---- */

static void direct(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/reference/direct.tsv");
    while (test_tsv_next(&t)) {
        int64_t turns = -1, holes = -1, holes2 = -1;
        char text[60];
        struct bench b;
        snprintf(text, sizeof text, "[head]\n[direct]\nholes = %lu\n", test_tsv_count(&t, "circle"));
        bench_text(&b, text, "direct plate");
        new_request(&b, test_tsv_count(&t, "divisions"));
        if (!find_best(&b) || b.best.method != CC_DIRECT || !b.best.exact)
            fail_msg("%s: not exact", cite(&t));
        assert_true(cc_plan_movement(&turns, &holes, &holes2, &b.best));
        if (turns != 0 || (unsigned long)holes != test_tsv_count(&t, "every_nth_hole"))
            fail_msg("%s: %ld turns %ld holes", cite(&t), (long)turns, (long)holes);
        all_rows_exact(cite(&t), &b.best, &b.request);
        bench_close(&b);
    }
    assert_int_equal(t.rows, 4);
    test_tsv_close(&t);
}

/* ---- worms ---- */

/* "40, 72 or 90" and "9, 5 or 4 deg": one turn of the crank, no hole more, for each. */
static void worms(void **state)
{
    unsigned tested = 0;
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/reference/worm.tsv");
    while (test_tsv_next(&t)) {
        const char *ratio = test_tsv_get(&t, "ratio"), *degrees = test_tsv_get(&t, "degrees_per_turn");
        for (; (ratio = strpbrk(ratio, "0123456789")) != NULL; tested++) {
            char *end, angle[30];
            unsigned long worm = strtoul(ratio, &end, 10);
            ratio = end;
            degrees = strpbrk(degrees, "0123456789");
            assert_non_null(degrees);
            snprintf(angle, sizeof angle, "%lud", strtoul(degrees, &end, 10));
            degrees = end;
            angular_row(&t, angle, worm, 1, 0, 20);
        }
    }
    assert_int_equal(tested, 6);
    test_tsv_close(&t);
}

/* ---- exercises: a worm, a number, five circles ---- */

/* The plans are exactly those of the answer: "2 + 18/27; 2 + 20/30", or "15 turns exactly" on every circle. */
static void check_answer(struct test_tsv *t, struct bench *b, const char *answer)
{
    const struct cc_counts *circles = &b->head.plates[0].side[0];
    size_t given = 0;
    bool whole = strstr(answer, "turns exactly") != NULL;

    b->request.methods = 1U << CC_PLAIN;
    mpz_set_ui(b->request.block, b->request.position_count > 0 ? 0 : 1);
    find_all(b, true);
    for (size_t i = 0; whole && i < circles->n; i++, given++)
        assert_non_null(plan_on(b, circles->at[i], 0));
    for (const char *at = answer; !whole && at != NULL; at = strchr(at, ';'), given++) {
        unsigned long turns, holes, circle;
        struct cc_step step;
        at += *at == ';' ? 1 : 0;
        assert_int_equal(sscanf(at, "%lu + %lu/%lu", &turns, &holes, &circle), 3);
        const struct cc_plan *p = plan_on(b, circle, 0);
        if (p == NULL) {
            fail_msg("%s: nothing on circle %lu", cite(t), circle);
            return;
        }
        cc_step_init(&step);
        first_movement(&step, p, &b->request);
        if ((unsigned long)step.turns != turns || (unsigned long)step.holes != holes)
            fail_msg("%s: %ld turns %ld holes of %lu", cite(t), (long)step.turns, (long)step.holes, circle);
        cc_step_clear(&step);
        all_rows_exact(cite(t), p, &b->request);
    }
    if (b->all.n != given)
        fail_msg("%s: %zu plans for '%s'", cite(t), b->all.n, answer);
}

static void exercises(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/reference/exercises.tsv");
    while (test_tsv_next(&t)) {
        unsigned long number = test_tsv_count(&t, "number");
        char text[100];
        struct bench b;
        mpq_t at;
        snprintf(text, sizeof text, "[head]\nworm = %s\n[plate A]\nside 1 = %s\n", test_tsv_get(&t, "worm"),
                 test_tsv_get(&t, "circles"));
        bench_text(&b, text, "exercise");
        new_request(&b, number);
        check_answer(&t, &b, test_tsv_get(&t, "as_divisions_computed"));
        new_request(&b, 0);
        mpq_init(at);
        mpq_set_ui(at, number, 360);
        mpq_canonicalize(at);
        assert_int_equal(cc_request_add(&b.request, at, NULL, NULL), CC_OK);
        check_answer(&t, &b, test_tsv_get(&t, "as_degrees_computed"));
        mpq_clear(at);
        bench_close(&b);
    }
    assert_int_equal(t.rows, 10);
    test_tsv_close(&t);
}

/* ---- parts of a crank turn, by one circle or two of one side ---- */

/* The decimal "0.1910" as an exact fraction. */
static void decimal(mpq_t q, const char *text)
{
    const char *digits = strchr(text, '.') + 1;

    assert_int_equal(mpz_set_str(mpq_numref(q), digits, 10), 0);
    mpz_ui_pow_ui(mpq_denref(q), 10, strlen(digits));
    mpq_canonicalize(q);
}

/*
 * Asked for that part of a crank turn, the published circle or pair comes, rounded to its nearest hole or holes,
 * to exactly the published sum, and its error is the deviation to the eight decimals given.
 */
static void part_of_turn(void **state)
{
    struct test_tsv t;
    mpq_t part, at, sum, term;
    (void)state;

    mpq_inits(part, at, sum, term, NULL);
    test_tsv_open(&t, "tests/reference/part_of_turn.tsv");
    while (test_tsv_next(&t)) {
        bool three = strcmp(test_tsv_get(&t, "plate_set"), "three-plate-15-49") == 0;
        bool pair = *test_tsv_get(&t, "circle2") != '\0';
        unsigned long c1 = test_tsv_count(&t, "circle1"), c2 = pair ? test_tsv_count(&t, "circle2") : 0;
        struct cc_step step;
        struct bench b;
        bench_open(&b, three ? "small-tilting" : "universal-two-sided");
        mpq_set_si(sum, signed_count(&t, "holes1"), c1);
        mpq_canonicalize(sum);
        if (pair) {
            mpq_set_si(term, signed_count(&t, "holes2"), c2);
            mpq_canonicalize(term);
            mpq_add(sum, sum, term);
        }
        test_mpq_equal(cite(&t), sum, test_tsv_get(&t, "exact_sum_computed"));
        decimal(part, test_tsv_get(&t, "part_of_turn"));
        mpq_div(at, part, b.head.worm);
        assert_int_equal(cc_request_add(&b.request, at, NULL, NULL), CC_OK);
        b.request.methods = pair ? 1U << CC_COMPOUND | 1U << CC_NEAREST_COMPOUND
                                 : 1U << CC_PLAIN | 1U << CC_NEAREST_HOLE;
        find_all(&b, true);
        const struct cc_plan *p = plan_on(&b, c1, c2);
        if (p == NULL) {
            fail_msg("%s: no plan on circles %lu %lu", cite(&t), c1, c2);
            return;
        }
        cc_step_init(&step);
        first_movement(&step, p, &b.request);
        if (!mpq_equal(step.crank, sum))
            fail_msg("%s: the crank does not come to the published sum", cite(&t));
        mpq_mul(term, step.error, b.head.worm);
        double deviation = strtod(test_tsv_get(&t, "deviation_turn_computed"), NULL);
        if (fabs(mpq_get_d(term) - deviation) > 0.51e-8 || p->exact != (mpq_sgn(term) == 0))
            fail_msg("%s: off by %.10f of a crank turn", cite(&t), mpq_get_d(term));
        cc_step_clear(&step);
        bench_close(&b);
    }
    test_tsv_close(&t);
    mpq_clears(part, at, sum, term, NULL);
}

/* ---- compound ---- */

/* turns + holes1/circle1 + holes2/circle2 of the row. */
static void movement_of_row(mpq_t t, struct test_tsv *row)
{
    mpq_t part;

    mpq_init(part);
    mpq_set_si(t, signed_count(row, "turns"), 1);
    mpq_set_si(part, signed_count(row, "holes1"), test_tsv_count(row, "circle1"));
    mpq_canonicalize(part);
    mpq_add(t, t, part);
    mpq_set_si(part, signed_count(row, "holes2"), test_tsv_count(row, "circle2"));
    mpq_canonicalize(part);
    mpq_add(t, t, part);
    mpq_clear(part);
}

/* The plan's constant movement is t crank turns. */
static bool moves(const struct cc_plan *p, const mpq_t t)
{
    mpq_t units;
    bool same;

    mpq_init(units);
    mpq_set_si(units, (long)p->move, (unsigned long)p->unit);
    mpq_canonicalize(units);
    same = p->constant && mpq_equal(units, t);
    mpq_clear(units);
    return same;
}

static void compound(void **state)
{
    unsigned blocks = 0, principles = 0;
    struct test_tsv t;
    mpq_t turn, at, closing;
    (void)state;

    mpq_inits(turn, at, closing, NULL);
    test_tsv_open(&t, "tests/reference/compound.tsv");
    while (test_tsv_next(&t)) {
        unsigned long c1 = test_tsv_count(&t, "circle1"), c2 = test_tsv_count(&t, "circle2");
        struct bench b;
        bench_open(&b, "small-tilting");
        assert_int_equal(test_tsv_count(&t, "worm"), 40);
        movement_of_row(turn, &t);
        if (*test_tsv_get(&t, "divisions") == '\0') {
            /* One hole and one hole the same way: asked for that sum, the two pins do just this. */
            struct cc_step step;
            mpq_div(at, turn, b.head.worm);
            assert_int_equal(cc_request_add(&b.request, at, NULL, NULL), CC_OK);
            b.request.methods = 1U << CC_COMPOUND;
            find_all(&b, true);
            const struct cc_plan *p = plan_on(&b, c1, c2);
            assert_non_null(p);
            cc_step_init(&step);
            first_movement(&step, p, &b.request);
            if (!p->exact || step.turns != 0 || step.holes != 1 || step.holes2 != 1)
                fail_msg("%s: %ld turns %ld holes, plate %ld holes", cite(&t), (long)step.turns,
                         (long)step.holes, (long)step.holes2);
            cc_step_clear(&step);
            principles++;
        } else {
            const char *stated = strstr(test_tsv_get(&t, "note"), "close to 1/");
            assert_non_null(stated);
            new_request(&b, test_tsv_count(&t, "divisions"));
            mpz_set_ui(b.request.block, test_tsv_count(&t, "block"));
            b.request.methods = 1U << CC_NEARLY_EXACT;
            find_all(&b, true);
            const struct cc_plan *p = plan_on(&b, c1, c2);
            if (p == NULL || p->exact || !moves(p, turn))
                fail_msg("%s: the planner has another movement on these circles", cite(&t));
            mpq_set_ui(at, 1, strtoul(stated + strlen("close to 1/"), NULL, 10));
            mpq_abs(closing, p->closing_error);
            if (!mpq_equal(closing, at))
                fail_msg("%s: the closing error is not the stated one", cite(&t));
            blocks++;
        }
        bench_close(&b);
    }
    assert_int_equal(blocks, 1);
    assert_int_equal(principles, 1);
    test_tsv_close(&t);
    mpq_clears(turn, at, closing, NULL);
}

/* ---- rows from memory ---- */

/* "name=12" in a blank-separated list; 0 for "name=-". */
static unsigned long named(struct test_tsv *t, const char *name)
{
    char key[20];
    const char *at;

    snprintf(key, sizeof key, "%s=", name);
    at = strstr(test_tsv_get(t, "value"), key);
    if (at == NULL)
        fail_msg("%s: no %s", cite(t), name);
    else
        at += strlen(key);
    return at == NULL || *at == '-' ? 0 : strtoul(at, NULL, 10);
}

static unsigned long divisions_of(struct test_tsv *t)
{
    const char *given = test_tsv_get(t, "given");

    assert_memory_equal(given, "N=", 2);
    return strtoul(given + 2, NULL, 10);
}

/* The planner has a setting on this circle with these holes and this many turns of the plate. */
static void check_offered(struct test_tsv *t, struct bench *b, unsigned long circle, int64_t move,
                       const mpq_t plate_turns)
{
    b->request.methods = 1U << CC_DIFFERENTIAL;
    find_all(b, true);
    for (size_t i = 0; i < b->all.n; i++) {
        const struct cc_plan *p = &b->all.at[i];
        if (p->exact && p->block == 1 && p->circle == circle && p->move == move &&
            mpq_equal(p->plate_turns, plate_turns))
            return;
    }
    fail_msg("%s: the planner does not have this setting", cite(t));
}

/*
 * The published gears as they stand: the spindle's drives the second on the stud, the first on the stud drives
 * the worm's. A plan made of them, not found by the planner, must divide exactly; and the planner must have
 * the same e on the same circle with the same holes (perhaps by other gears: 40/100 for 32/40 x 28/56).
 */
static void differential_row(struct test_tsv *t, struct bench *b)
{
    unsigned long circle = named(t, "circle"), holes = named(t, "holes"), idlers = named(t, "idlers");
    bool is_compound = named(t, "stud1") > 0;
    struct cc_plan made;

    new_request(b, divisions_of(t));
    cc_plan_init(&made);
    made.method = CC_DIFFERENTIAL;
    made.side = 1;
    made.circle = (unsigned)circle;
    made.unit = circle;
    made.block = 1;
    made.constant = true;
    made.move = (int64_t)holes;
    made.steps = mpz_get_ui(b->request.divisions);
    made.has_closing = true;
    made.train.pairs = is_compound ? 2 : 1;
    made.train.idlers = (unsigned)idlers;
    made.train.driver[0] = (unsigned)named(t, "spindle");
    made.train.driven[is_compound ? 1 : 0] = (unsigned)named(t, "worm");
    if (is_compound) {
        made.train.driven[0] = (unsigned)named(t, "stud2");
        made.train.driver[1] = (unsigned)named(t, "stud1");
    }
    cc_train_ratio(made.plate_turns, &made.train);
    if (idlers != (is_compound ? 0 : 1))
        mpq_neg(made.plate_turns, made.plate_turns);
    mpq_sub(made.ratio, b->head.worm, made.plate_turns);
    all_rows_exact(cite(t), &made, &b->request);

    check_offered(t, b, circle, made.move, made.plate_turns);
    cc_plan_clear(&made);
}

/* "21/23-11/33" */
static void compound_row(struct test_tsv *t, struct bench *b)
{
    const char *value = test_tsv_get(t, "value");
    long holes[2];
    unsigned long circle[2];
    char *at;
    mpq_t sum, part;

    mpq_inits(sum, part, NULL);
    for (int i = 0; i < 2; i++) {
        holes[i] = strtol(value, &at, 10);
        assert_int_equal(*at, '/');
        circle[i] = strtoul(at + 1, &at, 10);
        value = at;
        mpq_set_si(part, holes[i], circle[i]);
        mpq_canonicalize(part);
        mpq_add(sum, sum, part);
    }
    new_request(b, divisions_of(t));
    b->request.methods = 1U << CC_COMPOUND;
    find_all(b, true);
    const struct cc_plan *p = plan_on(b, circle[0], circle[1]);
    if (p == NULL || !p->exact || !moves(p, sum))
        fail_msg("%s: the planner does not have this movement", cite(t));
    else
        all_rows_exact(cite(t), p, &b->request);
    mpq_clears(sum, part, NULL);
}

/* "24 24 28 ..." are the change gears of the shipped geared head. */
static void gears_row(struct test_tsv *t, const struct cc_head *head)
{
    const char *at = test_tsv_get(t, "value");
    size_t n = 0;

    for (; *at != '\0'; n++) {
        char *end;
        if (n >= head->gears.n || strtoul(at, &end, 10) != head->gears.at[n]) {
            fail_msg("%s: data/heads/small-tilting-geared.ini has other gears", cite(t));
            return;
        }
        at = *end == '\0' ? end : end + 1;
    }
    assert_int_equal(n, head->gears.n);
}

static void from_memory(void **state)
{
    unsigned differential = 0, pairs = 0, angles = 0, sets = 0;
    struct bench geared, plates;
    struct test_tsv t;
    (void)state;

    bench_open(&geared, "small-tilting-geared");
    bench_open(&plates, "small-tilting");
    test_tsv_open(&t, "tests/reference/memory.tsv");
    while (test_tsv_next(&t)) {
        const char *topic = test_tsv_get(&t, "topic");
        if (strcmp(topic, "differential") == 0) {
            differential_row(&t, &geared);
            differential++;
        } else if (strcmp(topic, "compound") == 0) {
            compound_row(&t, &plates);
            pairs++;
        } else if (strcmp(topic, "angular") == 0) {
            unsigned long turns, holes, circle;
            assert_int_equal(sscanf(test_tsv_get(&t, "value"), "%lu turns, %lu/%lu", &turns, &holes,
                                    &circle), 3);
            angular_row(&t, test_tsv_get(&t, "given"), 40, turns, holes, circle);
            angles++;
        } else if (strcmp(topic, "change gears") == 0) {
            gears_row(&t, &geared.head);
            sets++;
        }
    }
    assert_int_equal(differential, 11);
    assert_int_equal(pairs, 5);
    assert_int_equal(angles, 1);
    assert_int_equal(sets, 1);
    test_tsv_close(&t);
    bench_close(&plates);
    bench_close(&geared);
}

/* The movement is published, the gears are not: any with the e that was worked out from it. */
static void differential(void **state)
{
    struct bench geared;
    struct test_tsv t;
    mpq_t e;
    (void)state;

    bench_open(&geared, "small-tilting-geared");
    test_tsv_open(&t, "tests/reference/differential.tsv");
    while (test_tsv_next(&t)) {
        assert_int_equal(test_tsv_count(&t, "worm"), 40);
        assert_int_equal(test_tsv_count(&t, "turns"), 0);
        new_request(&geared, test_tsv_count(&t, "divisions"));
        test_mpq_init(e, test_tsv_get(&t, "e_required_computed"));
        check_offered(&t, &geared, test_tsv_count(&t, "circle"), (int64_t)test_tsv_count(&t, "holes"), e);
        mpq_clear(e);
    }
    assert_int_equal(t.rows, 1);
    test_tsv_close(&t);
    bench_close(&geared);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain),
        cmocka_unit_test(capability),
        cmocka_unit_test(reach_of_the_geared_head),
        cmocka_unit_test(hole_circles),
        cmocka_unit_test(angular),
        cmocka_unit_test(direct),
        cmocka_unit_test(worms),
        cmocka_unit_test(exercises),
        cmocka_unit_test(part_of_turn),
        cmocka_unit_test(compound),
        cmocka_unit_test(from_memory),
        cmocka_unit_test(differential),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
