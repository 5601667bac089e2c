/*
 * test_gearings.c: trains that are asked whether they stand when a plan wants them, against a list of all of which each was asked
 * before: the same values of R - e, in order, with the same gears and idlers, the same counts; and the same plans whether only
 * those were listed that a request can be exact with, or all of them.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/plan.h"
#include "drawing.h"
#include "plan/search.h"

/* ---- heads ---- */

/* A bracket of any measures, so that some trains go on and most do not. */
static void put_bracket(struct drawing *d)
{
    static const char *const slots[] = { "spindle", "worm", "straight" };

    put(d, "[bracket]\nslot = %s\n", slots[between(d, 0, 2)]);
    if (between(d, 0, 4) > 0)
        put(d, "module = %lu/100\n", between(d, 80, 200));
    if (between(d, 0, 2) > 0)
        put(d, "centres = %lu %lu\n", between(d, 40, 120), between(d, 120, 220));
    if (between(d, 0, 2) > 0)
        put(d, "reach = %lu %lu\n", between(d, 10, 60), between(d, 100, 250));
    if (between(d, 0, 2) > 0)
        put(d, "collar = %lu\n", between(d, 5, 40));
    if (between(d, 0, 2) == 0)
        put(d, "sleeve_least = %lu\n", between(d, 20, 40));
    if (between(d, 0, 2) == 0)
        put(d, "studs = %lu\n", between(d, 1, 2));
}

static void draw_head(struct drawing *d, struct cc_head *head)
{
    static const char *const worms[] = { "40", "60", "5", "77/2", "119/3", "1/3" };
    static const unsigned usual[] = { 24, 24, 28, 32, 40, 44, 48, 56, 64, 72, 86, 100 };
    struct cc_error err;
    unsigned long gears = between(d, 3, 7);

    d->used = 0;
    put(d, "[head]\nworm = %s\n[plate A]\nside 1 = 15 16 17 18 19 20\nside 2 = 37 39 41 43 47 49\n[gears]\nreversed = %s\nteeth =", worms[between(d, 0, 5)],
        between(d, 0, 1) == 0 ? "no" : "yes");
    for (unsigned long i = 0; i < gears; i++)
        put(d, " %lu", between(d, 0, 1) == 0 ? usual[between(d, 0, 11)] : between(d, 20, 60));
    put(d, "\n");
    if (between(d, 0, 2) == 0)
        put(d, "least-sum = %lu\n", between(d, 40, 90));
    if (between(d, 0, 2) == 0)
        put(d, "most-sum = %lu\n", between(d, 90, 160));
    if (between(d, 0, 1) == 0)
        put_bracket(d);
    cc_head_init(head);
    if (cc_head_read(head, d->text, d->used, "drawn", "drawn", &err) != CC_OK)
        fail_msg("seed %lu: %s\n%s", test_seed(), err.text, d->text);
}

/* ---- all of them, each asked ---- */

struct known {
    mpq_t value;            /* R - e */
    struct cc_train train;  /* the best that gives it; pairs 0: none that stands does */
    double spread;
    bool against;
};

struct list {
    struct known *at;
    size_t n, room;
    unsigned long fitting, all;
};

static double unlike(unsigned a, unsigned b)
{
    return a > b ? (double)a / b : (double)b / a;
}

static double widest(double a, double b)
{
    return a > b ? a : b;
}

static double spread_of(const struct cc_train *t)
{
    if (t->pairs == 1)
        return unlike(t->driver[0], t->driven[0]);
    double straight = widest(unlike(t->driver[0], t->driven[0]), unlike(t->driver[1], t->driven[1]));
    double crossed = widest(unlike(t->driver[0], t->driven[1]), unlike(t->driver[1], t->driven[0]));
    return straight < crossed ? straight : crossed;
}

static bool comes_first(const struct cc_train *t, double spread, const struct known *than)
{
    if (than->train.pairs == 0 || t->pairs != than->train.pairs)
        return than->train.pairs == 0 || t->pairs < than->train.pairs;
    if (spread < than->spread || spread > than->spread)
        return spread < than->spread;
    for (unsigned i = 0; i < 4; i++) {
        unsigned a = i < 2 ? t->driver[i] : t->driven[i - 2], b = i < 2 ? than->train.driver[i] : than->train.driven[i - 2];
        if (a != b)
            return a < b;
    }
    return false;
}

/* The place of a value that the plate gives turning that way, made where it is new. */
static struct known *place_of(struct list *list, const mpq_t value, bool against)
{
    for (size_t i = 0; i < list->n; i++)
        if (list->at[i].against == against && mpq_equal(list->at[i].value, value))
            return &list->at[i];
    if (list->n == list->room) {
        list->room = 2 * list->room + 64;
        list->at = realloc(list->at, list->room * sizeof *list->at);
        assert_non_null(list->at);
    }
    struct known *new = &list->at[list->n++];
    *new = (struct known){ .against = against };
    mpq_init(new->value);
    mpq_set(new->value, value);
    return new;
}

/* One choice of gears, the plate turning with the crank or against it. */
static void try_way(struct list *list, const struct cc_head *head, const struct cc_train *gears, bool against)
{
    struct cci_gears left;
    struct cci_bracket bracket;
    struct cc_train train = *gears;
    unsigned all, fitting;
    mpq_t value;

    train.idlers = cc_train_idlers(train.pairs, true) + (against != head->reversed ? 1 : 0);
    cc_train_arrangements(&all, &fitting, &train, head, CC_FOR_DIFFERENTIAL);
    list->fitting += fitting;
    list->all += 2 * train.pairs + train.idlers <= head->gears.n ? all : 0;
    mpq_init(value);
    cc_train_ratio(value, &train);
    if (against)
        mpq_neg(value, value);
    mpq_sub(value, head->worm, value);
    if (mpq_sgn(value) > 0) {
        struct known *known = place_of(list, value, against);
        cci_gears_of_head(&left, &bracket, &train, head, CC_FOR_DIFFERENTIAL);
        left.any = true;
        if (cci_arrange(&train, &left, 0) && comes_first(&train, spread_of(&train), known)) {
            known->train = train;
            known->spread = spread_of(&train);
        }
    }
    mpq_clear(value);
}

/* Gears at different places of the head's list, each choice once: drivers do not fall, nor driven, nor places of like gears. */
static bool is_choice(const struct cc_head *head, const size_t *at, unsigned n)
{
    const unsigned *teeth = head->gears.at;

    for (unsigned i = 0; i < n; i++)
        for (unsigned j = 0; j < i; j++)
            if (at[i] == at[j])
                return false;
    if (n == 4 && (teeth[at[0]] > teeth[at[1]] || teeth[at[2]] > teeth[at[3]]))
        return false;
    for (unsigned i = 0; i < n; i++)        /* of like gears those listed first, in order */
        for (size_t g = 0; g < at[i]; g++) {
            bool used = false;
            for (unsigned j = 0; j < i; j++)
                used = used || at[j] == g;
            if (teeth[g] == teeth[at[i]] && !used)
                return false;
        }
    return true;
}

static void list_all(struct list *list, const struct cc_head *head)
{
    const unsigned *teeth = head->gears.at;
    size_t n = head->gears.n, at[4];

    for (at[0] = 0; at[0] < n; at[0]++)
        for (at[1] = 0; at[1] < n; at[1]++) {
            struct cc_train two = { .pairs = 1, .driver = { teeth[at[0]] }, .driven = { teeth[at[1]] } };
            for (unsigned way = 0; way < 2 && is_choice(head, at, 2); way++)
                try_way(list, head, &two, way == 1);
            for (at[2] = 0; at[2] < n; at[2]++)
                for (at[3] = 0; at[3] < n; at[3]++) {
                    struct cc_train four = { .pairs = 2, .driver = { teeth[at[0]], teeth[at[1]] },
                                             .driven = { teeth[at[2]], teeth[at[3]] } };
                    for (unsigned way = 0; way < 2 && is_choice(head, at, 4); way++)
                        try_way(list, head, &four, way == 1);
                }
        }
}

static void clear_list(struct list *list)
{
    for (size_t i = 0; i < list->n; i++)
        mpq_clear(list->at[i].value);
    free(list->at);
    *list = (struct list){ .n = 0 };
}

/* ---- held to each other ---- */

static void same_train(const struct drawing *d, const struct cci_gearing *gearing, const struct cc_train *train)
{
    bool same = gearing->pairs == train->pairs;

    for (unsigned i = 0; i < train->pairs && same; i++)
        same = gearing->driver[i] == train->driver[i] && gearing->driven[i] == train->driven[i];
    if (train->pairs > 0)
        same = same && gearing->idlers == train->idlers && gearing->idlers_back == train->idlers_back;
    if (!same)
        fail_msg("seed %lu: %u pairs %u %u / %u %u, %u idlers in %u; %u pairs %u %u / %u %u, %u idlers in %u\n%s", test_seed(), gearing->pairs,
                 gearing->driver[0], gearing->driver[1], gearing->driven[0], gearing->driven[1], gearing->idlers, gearing->idlers_back,
                 train->pairs, train->driver[0], train->driver[1], train->driven[0], train->driven[1], train->idlers, train->idlers_back, d->text);
}

/* Every value once each way, ascending, each with the train known; returns how many do not stand. */
static unsigned long check_list(const struct drawing *d, struct cc_planner *planner, struct list *list)
{
    unsigned long unfit = 0;
    mpq_t value, before;

    mpq_init(value);
    mpq_init(before);
    assert_int_equal(cci_list_gearings(planner, NULL), CC_OK);
    assert_int_equal(planner->gearing_count, list->n);
    assert_int_equal(planner->arranged, 0);
    for (size_t g = 0; g < planner->gearing_count; g++) {
        cc_set_u64(mpq_numref(value), planner->gearing_p[g]);
        cc_set_u64(mpq_denref(value), planner->gearings[g].q);
        assert_true(mpq_cmp(before, value) < 0);
        mpq_swap(before, value);
        struct known *known = place_of(list, before, g >= planner->gearings_with);
        assert_true(known < list->at + planner->gearing_count);
        assert_int_equal(cci_place_gearing(planner, g), known->train.pairs > 0);
        same_train(d, &planner->gearings[g], &known->train);
        unfit += known->train.pairs == 0;
    }
    uint64_t arranged = planner->arranged;
    for (size_t g = 0; g < planner->gearing_count; g++)
        cci_place_gearing(planner, g);
    assert_int_equal(planner->arranged, arranged);
    mpq_clear(before);
    mpq_clear(value);
    return unfit;
}

/*
 * Placed in any order, of a new planner: a walk goes on at the first one up, or the last one down, that stands or has not been placed.
 * Which stand is known from the other one. Returns how many walks passed over one.
 */
static unsigned long check_walks(struct drawing *d, const struct cc_planner *known)
{
    size_t n = known->gearing_count;
    bool *fallen = calloc(n + 1, sizeof *fallen);
    unsigned long passed = 0;
    struct cc_planner *new;

    assert_non_null(fallen);
    assert_int_equal(cc_planner_new(&new, known->head, NULL), CC_OK);
    assert_int_equal(cci_list_gearings(new, NULL), CC_OK);
    for (size_t k = 0; k < (n < 400 ? n : 400); k++) {
        size_t at = between(d, 0, n - 1), from = between(d, at > 20 ? at - 20 : 0, n), up = from, down = from;
        for (size_t g = at; g < n && g < at + between(d, 1, 30); g++)
            fallen[g] = !cci_place_gearing(new, g);
        while (up < n && fallen[up])
            up++;
        while (down > 0 && fallen[down - 1])
            down--;
        assert_int_equal(cci_gearing_from(new, from), up);
        assert_int_equal(cci_gearing_before(new, from), down);
        passed += up > from || down < from;
    }
    for (size_t g = 0; g < n; g++)
        assert_true(!fallen[g] || known->gearings[g].pairs == 0);
    cc_planner_free(new);
    free(fallen);
    return passed;
}

static void check_counts(const struct drawing *d, struct cc_planner *planner, const struct list *list)
{
    for (unsigned again = 0; again < 2; again++) {
        struct cc_searched searched = { .geared = true };
        cc_planner_count_trains(&searched, planner);
        if (searched.trains != list->fitting || searched.unfit != list->all - list->fitting)
            fail_msg("seed %lu: %lu stand, %lu do not; one by one %lu and %lu\n%s", test_seed(), (unsigned long)searched.trains,
                     (unsigned long)searched.unfit, list->fitting, list->all - list->fitting, d->text);
    }
}

/* Of a planner that has all listed, and of a new one: the same plans, the first and of each row. Returns whether one is geared. */
static bool same_plans(struct drawing *d, struct cc_planner *planner, unsigned long n)
{
    struct cc_planner *new;
    struct cc_request r;
    struct cc_plans plans[2];
    bool geared = false;

    cc_request_init(&r);
    mpz_set_ui(r.divisions, n);
    if (between(d, 0, 3) == 0)
        mpq_set_ui(r.offset, 1, between(d, 1, 50));
    for (unsigned every = 0; every < 2; every++) {
        assert_int_equal(cc_planner_new(&new, planner->head, NULL), CC_OK);     /* the second request has all listed */
        for (unsigned i = 0; i < 2; i++) {
            cc_plans_init(&plans[i]);
            cc_planner_all(&plans[i], NULL, i == 0 ? new : planner, &r, every == 1, NULL);
        }
        assert_int_equal(plans[0].n, plans[1].n);
        for (size_t i = 0; i < plans[0].n; i++) {
            const struct cc_plan *a = &plans[0].at[i], *b = &plans[1].at[i];
            geared = geared || a->train.pairs > 0;
            if (cc_plan_compare(a, b) != 0 || memcmp(&a->train, &b->train, sizeof a->train) != 0)
                fail_msg("seed %lu: plan %zu of %lu differs\n%s", test_seed(), i, n, d->text);
        }
        cc_plans_clear(&plans[1]);
        cc_plans_clear(&plans[0]);
        cc_planner_free(new);
    }
    cc_request_clear(&r);
    return geared;
}

static void drawn_heads(void **state)
{
    unsigned long rounds = test_rounds(150), unfit = 0, stated = 0, geared = 0, many = 0, indexed = 0, passed = 0;
    struct drawing d;

    (void)state;
    test_random_init(d.state);
    for (unsigned long i = 0; i < rounds; i++) {
        struct cc_head head;
        struct cc_planner *planner;
        struct list list = { .n = 0 };
        draw_head(&d, &head);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        list_all(&list, &head);
        check_counts(&d, planner, &list);
        unfit += check_list(&d, planner, &list);
        passed += check_walks(&d, planner);
        check_counts(&d, planner, &list);
        for (unsigned k = 0; k < 6; k++)
            geared += same_plans(&d, planner, between(&d, 2, k < 4 ? 400 : 20000));
        stated += head.bracket.stated;
        indexed += planner->by_p != NULL;
        many += list.n;
        clear_list(&list);
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
    assert_true(indexed > rounds / 4 && stated > rounds / 4 && unfit > many / 20 && unfit < many && geared > rounds && passed > rounds);
    gmp_randclear(d.state);
}

/* Twelve gears and counts of a table: most are looked up by multiples, some of two values of the sieve. */
static void counts_of_a_table(void **state)
{
    static const unsigned twice[] = { 276, 286, 325, 338, 350, 372, 374, 384, 572, 578, 640, 665, 715 };
    unsigned long rounds = test_rounds(60), geared = 0;
    struct cc_planner *planner;
    struct cc_head head;
    struct cc_error err;
    struct drawing d = { .used = 0 };

    (void)state;
    test_random_init(d.state);
    put(&d, "[head]\nworm = 40\n[plate A]\nside 1 = 15 16 17 18 19 20\nside 2 = 37 39 41 43 47 49\n"
            "[gears]\nteeth = 24 24 28 32 40 44 48 56 64 72 86 100\n");
    cc_head_init(&head);
    assert_int_equal(cc_head_read(&head, d.text, d.used, "twelve", "twelve", &err), CC_OK);
    assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
    for (unsigned long i = 0; i < rounds; i++)
        geared += same_plans(&d, planner, i < sizeof twice / sizeof twice[0] ? twice[i] : between(&d, 2, 3000));
    assert_true(planner->by_p != NULL && geared > rounds / 2);
    cc_planner_free(planner);
    cc_head_clear(&head);
    gmp_randclear(d.state);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(drawn_heads), cmocka_unit_test(counts_of_a_table) };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
