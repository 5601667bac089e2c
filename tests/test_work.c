/*
 * test_work.c: how many settings a search looks at one by one, on heads that are large or made to be awkward. Not the time,
 * which is the machine's: the count is bounded by what a search that goes through everything would look at, and by how many
 * movements there are.
 */
#include <stdio.h>
#include <string.h>

#include "crankcard/plan.h"
#include "plan/search.h"
#include "support.h"

struct shop {
    struct cc_head head;
    struct cc_planner *planner;
    char text[20000];
    size_t used;
};

static void put(struct shop *s, const char *text)
{
    s->used += (size_t)snprintf(s->text + s->used, sizeof s->text - s->used, "%s", text);
    assert_true(s->used < sizeof s->text);
}

static void put_count(struct shop *s, unsigned n)
{
    s->used += (size_t)snprintf(s->text + s->used, sizeof s->text - s->used, " %u", n);
    assert_true(s->used < sizeof s->text);
}

/* Counts from first on, so far apart, as a profile lists them. */
static void put_counts(struct shop *s, const char *key, unsigned n, unsigned first, unsigned apart)
{
    put(s, key);
    for (unsigned i = 0; i < n; i++) {
        if (i > 0 && i % 20 == 0)
            put(s, "\n ");
        put_count(s, first + i * apart);
    }
    put(s, "\n");
}

static void open_shop(struct shop *s)
{
    struct cc_error err;

    cc_head_init(&s->head);
    if (cc_head_read(&s->head, s->text, s->used, "shop", "shop", &err) != CC_OK)
        fail_msg("%s\n%s", err.text, s->text);
    assert_int_equal(cc_planner_new(&s->planner, &s->head, NULL), CC_OK);
}

static void close_shop(struct shop *s)
{
    cc_planner_free(s->planner);
    cc_head_clear(&s->head);
}

/* What one request looks at; every: the best of each method. */
static uint64_t looked_at(struct shop *s, const struct cc_request *r, bool every)
{
    uint64_t before = s->planner->examined;
    struct cc_plan plan;
    struct cc_plans plans;

    cc_plan_init(&plan);
    cc_plans_init(&plans);
    assert_int_equal(every ? cc_planner_all(&plans, NULL, s->planner, r, false, NULL)
                           : cc_planner_best(&plan, NULL, s->planner, r, NULL), CC_OK);
    cc_plans_clear(&plans);
    cc_plan_clear(&plan);
    return s->planner->examined - before;
}

/*
 * Plates of many circles: each circle and each pair is looked at a few times at most, whatever blocks there are; and of those that
 * words cannot rank to the end, with an offset, a limit of turns, over an arc, next to none is worked out in fractions.
 */
static void test_many_pairs(void **state)
{
    static struct shop s;
    struct cc_request r;

    (void)state;
    put(&s, "[head]\nworm = 40\n");
    for (unsigned plate = 0; plate < 8; plate++) {
        char name[32];
        snprintf(name, sizeof name, "[plate P%u]\n", plate);
        put(&s, name);
        put_counts(&s, "side 1 =", 40, 50 + plate, 7);
        put_counts(&s, "side 2 =", 40, 331 + plate, 3);
    }
    open_shop(&s);
    cc_request_init(&r);
    mpz_set_ui(r.divisions, 10007);
    uint64_t settings = s.planner->spot_count + s.planner->pair_count;
    assert_true(settings > 12000);
    assert_true(looked_at(&s, &r, false) < 3 * settings);
    assert_true(looked_at(&s, &r, true) < 4 * settings);
    for (unsigned kind = 0; kind < 4; kind++) {
        static const char *const offsets[] = { "1/7", "123456789/360000000000", "0", "0" };
        static const unsigned turns[] = { 0, 0, 2, 0 }, arcs[] = { 1, 1, 1, 3 };
        uint64_t before = s.planner->in_fractions;
        mpq_set_str(r.offset, offsets[kind], 10);
        mpq_set_ui(r.most_turns, turns[kind], 1);
        mpq_set_ui(r.arc, 1, arcs[kind]);
        assert_true(looked_at(&s, &r, true) < 4 * settings);
        if (s.planner->in_fractions - before > settings / 10)
            fail_msg("case %u: %llu of %llu in fractions", kind, (unsigned long long)(s.planner->in_fractions - before),
                     (unsigned long long)settings);
    }
    cc_request_clear(&r);
    close_shop(&s);
}

/*
 * A worm near 1 and gears of thousands of teeth, nothing of which is exact. A movement of m holes is served by trains whose
 * R - e is near m N / C: at most C (R - e) / N movements a circle, R - e below 1 + (7000/5000)^2 < 3, and few trains to each.
 */
static void test_hostile_gears(void **state)
{
    static const char *const kinds[] = { "0", "1/7", "0", "0" };
    static const unsigned blocks[] = { 0, 0, 2, 0 }, turns[] = { 0, 0, 0, 2 };
    static struct shop s;

    (void)state;
    put(&s, "[head]\nworm = 999983/999979\n[plate A]\nside 1 = 9973 9967 9949\n[gears]\n");
    put_counts(&s, "teeth =", 32, 5003, 61);
    open_shop(&s);
    for (unsigned i = 0; i < 4; i++) {
        struct cc_request r;
        cc_request_init(&r);
        mpz_set_ui(r.divisions, 57);
        mpz_set_ui(r.block, blocks[i]);
        mpq_set_str(r.offset, kinds[i], 10);
        mpq_set_ui(r.most_turns, turns[i], 1);
        uint64_t examined = looked_at(&s, &r, true), all = 3 * (uint64_t)s.planner->gearing_count;
        uint64_t movements = 3 * 10000 * 3 * (blocks[i] > 0 ? blocks[i] : 1) / 57;
        if (all < 900000 || examined > 60 * movements || examined > all / 4)
            fail_msg("case %u: %llu of %llu, %llu movements", i, (unsigned long long)examined, (unsigned long long)all,
                     (unsigned long long)movements);
        cc_request_clear(&r);
    }
    close_shop(&s);
}

/*
 * All plans on the same head: of the settings within the tolerance each is looked at once by its value; those beyond it that come
 * before the first of them in the list are few.
 */
static void test_all_of_hostile_gears(void **state)
{
    static struct shop s;
    struct cc_request r;
    struct cc_plans plans;

    (void)state;
    put(&s, "[head]\nworm = 999983/999979\n[plate A]\nside 1 = 9973 9967 9949\n[gears]\n");
    put_counts(&s, "teeth =", 32, 5003, 61);
    open_shop(&s);
    cc_request_init(&r);
    cc_plans_init(&plans);
    mpz_set_ui(r.divisions, 57);
    assert_int_equal(cc_planner_all(&plans, NULL, s.planner, &r, true, NULL), CC_OK);
    uint64_t all = 3 * (uint64_t)s.planner->gearing_count, movements = 3 * 10000 * 3 / 57;
    if (plans.n < 5000 || s.planner->examined > 2 * plans.n + 4 * movements || s.planner->arranged > 2 * plans.n)
        fail_msg("%llu of %llu, %llu arranged, %zu plans", (unsigned long long)s.planner->examined, (unsigned long long)all,
                 (unsigned long long)s.planner->arranged, plans.n);
    cc_plans_clear(&plans);
    cc_request_clear(&r);
    close_shop(&s);
}

/* Gears so unlike that C (R - e) / N passes millions of whole numbers, and few trains: only movements that one is near are looked at. */
static void test_more_movements_than_trains(void **state)
{
    static struct shop s;
    struct cc_request r;
    struct cc_plans plans;

    (void)state;
    put(&s, "[head]\nworm = 40\n[plate A]\nside 1 = 9961 9967 9973 9931\n[gears]\nteeth = 12 12 13 14 9999 10000\n");
    open_shop(&s);
    cc_request_init(&r);
    cc_plans_init(&plans);
    mpz_set_ui(r.divisions, 7);
    assert_int_equal(cc_planner_all(&plans, NULL, s.planner, &r, false, NULL), CC_OK);
    assert_in_range(s.planner->gearing_count, 100, 1000);
    assert_in_range(s.planner->examined, 1, 4 * 10 * s.planner->gearing_count);
    cc_plans_clear(&plans);
    cc_request_clear(&r);
    close_shop(&s);
}

/*
 * None of the trains goes on the bracket. Each is near some movement of each of thirty circles, but that it does not stand is found
 * once, and walks pass over it from then on; what they try beyond, a train each way where each ends, is few for few movements.
 */
static void test_trains_that_do_not_stand(void **state)
{
    static struct shop s;
    struct cc_request r;

    (void)state;
    put(&s, "[head]\nworm = 90\nplate_pin = none\n[plate A]\n");
    put_counts(&s, "side 1 =", 30, 31, 1);
    put(&s, "[gears]\n");
    put_counts(&s, "teeth =", 24, 347, 371);
    put(&s, "[bracket]\nmodule = 1\nreach = 38 150\nslot = worm\n");
    open_shop(&s);
    cc_request_init(&r);
    mpz_set_ui(r.divisions, 127);
    uint64_t examined = looked_at(&s, &r, true), all = (uint64_t)s.planner->gearing_count, stand = 0;
    for (size_t g = 0; g < all; g++)
        stand += cci_place_gearing(s.planner, g);
    if (all < 100000 || stand > 0 || examined > 2 * all)
        fail_msg("%llu of %llu, %llu stand", (unsigned long long)examined, (unsigned long long)all, (unsigned long long)stand);
    cc_request_clear(&r);
    close_shop(&s);
}

/* A shop's three plates with many change gears: a table looks at a small part of its trains for each count. */
static void test_table_with_many_gears(void **state)
{
    static struct shop s;
    uint64_t examined = 0;

    (void)state;
    put(&s, "[head]\nworm = 40\n[plate A]\nside 1 = 15 16 17 18 19 20\n[plate B]\nside 1 = 21 23 27 29 31 33\n"
            "[plate C]\nside 1 = 37 39 41 43 47 49\n[gears]\n");
    put_counts(&s, "teeth =", 28, 20, 2);
    open_shop(&s);
    for (unsigned n = 2; n <= 400; n++) {
        struct cc_request r;
        cc_request_init(&r);
        mpz_set_ui(r.divisions, n);
        examined += looked_at(&s, &r, false);
        cc_request_clear(&r);
    }
    uint64_t all = 399 * 18 * (uint64_t)s.planner->gearing_count;
    if (examined > all / 100)
        fail_msg("%llu of %llu", (unsigned long long)examined, (unsigned long long)all);
    close_shop(&s);
}

/*
 * More divisions than a head has places for are refused without a search. A fixture of 36 holes and ten pins has 360; 49 holes
 * and 40/3 turns put the holes of one turn of the work between those of the next, 49 40 = 1960 places in three turns, and
 * by a vernier of two parts on 100 lines and 40 turns it is 200 40 = 8000.
 */
static void test_too_many_divisions(void **state)
{
    static const struct {
        const char *profile;
        unsigned places;
    } cases[] = {
        { "[direct]\nholes = 36\nvernier = 10\n", 360 },
        { "[head]\nworm = 40/3\n[plate A]\nside 1 = 47 49\n", 47 * 49 * 40 },
        { "[head]\nworm = 40/3\nplate_pin = none\n[plate A]\nside 1 = 47 49\n", 49 * 40 },
        { "[head]\nworm = 40\nplate_pin = none\n[plate A]\nside 1 = 49\n[dial]\nlines = 100\nvernier = 2\n", 200 * 40 },
    };

    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct shop s = { .used = 0 };
        struct cc_request r;
        struct cc_plan plan;

        put(&s, cases[i].profile);
        open_shop(&s);
        cc_request_init(&r);
        cc_plan_init(&plan);
        mpz_set_ui(r.divisions, cases[i].places);
        assert_int_equal(cc_planner_best(&plan, NULL, s.planner, &r, NULL), CC_OK);
        uint64_t examined = s.planner->examined;
        assert_true(examined > 0);
        mpz_add_ui(r.divisions, r.divisions, 1);
        assert_int_equal(cc_planner_best(&plan, NULL, s.planner, &r, NULL), CC_ENOFIT);
        assert_int_equal(s.planner->examined, examined);
        s.planner->long_way = true;
        assert_int_equal(cc_planner_best(&plan, NULL, s.planner, &r, NULL), CC_ENOFIT);
        assert_true(s.planner->examined > examined);
        cc_plan_clear(&plan);
        cc_request_clear(&r);
        close_shop(&s);
    }
}

/*
 * Whether gears can stand is asked of a few choices alone: for one count those of a ratio that it can be exact with, for a table
 * each once, however often it is asked.
 */
static void test_few_arranged(void **state)
{
    static const unsigned counts[] = { 127, 383, 997 };
    static struct shop s;

    (void)state;
    put(&s, "[head]\nworm = 40\n[plate A]\nside 1 = 15 16 17 18 19 20\n[plate B]\nside 1 = 37 39 41 43 47 49\n[gears]\n");
    put_counts(&s, "teeth =", 24, 20, 3);
    for (unsigned i = 0; i < 3; i++) {
        struct cc_request r;
        open_shop(&s);
        cc_request_init(&r);
        mpz_set_ui(r.divisions, counts[i]);
        (void)looked_at(&s, &r, false);
        uint64_t first = s.planner->arranged, listed = s.planner->choice_count;
        assert_int_equal(cci_list_gearings(s.planner, NULL), CC_OK);
        /* Of these counts, all prime, about one p in N is a multiple, either way: a twentieth is three times that or more. */
        if (s.planner->choice_count < 60000 || listed > s.planner->choice_count / 20 || first > listed)
            fail_msg("%u: %llu of %llu of %llu", counts[i], (unsigned long long)first, (unsigned long long)listed,
                     (unsigned long long)s.planner->choice_count);
        (void)looked_at(&s, &r, false);
        uint64_t again = s.planner->arranged;
        (void)looked_at(&s, &r, false);
        assert_true(again <= 2 * first && s.planner->arranged == again);
        cc_request_clear(&r);
        close_shop(&s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_many_pairs),
        cmocka_unit_test(test_hostile_gears),
        cmocka_unit_test(test_all_of_hostile_gears),
        cmocka_unit_test(test_more_movements_than_trains),
        cmocka_unit_test(test_trains_that_do_not_stand),
        cmocka_unit_test(test_table_with_many_gears),
        cmocka_unit_test(test_too_many_divisions),
        cmocka_unit_test(test_few_arranged),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
