/*
 * test_check_fit.c: whether a head can be set so, and why not; every slip of the hand that would explain a setting.
 *
 * The heads are made for it, and small: what fits can be seen by looking. The slips of a setting are found again by
 * walking all settings one slip away.
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"

static void read_head(struct cc_head *head, const char *profile)
{
    struct cc_error err = { 0 };

    cc_head_init(head);
    if (cc_head_read(head, profile, strlen(profile), "made", "made", &err) != CC_OK)
        fail_msg("%s: %s", profile, err.text);
}

static enum cc_status run(struct cc_check *check, const struct cc_head *head, const struct cc_setting *s,
                          unsigned long divisions, unsigned long block)
{
    mpz_t n, k;
    enum cc_status status;

    mpz_init_set_ui(n, divisions);
    mpz_init_set_ui(k, block);
    status = cc_check_setting(check, s, head, n, k, NULL);
    mpz_clear(k);
    mpz_clear(n);
    return status;
}

#define PLATES "[plate A]\nside 1 = 15 16\nside 2 = 17 18\n[plate B]\nside 1 = 19 20\n"
#define ONE_PLATE "[head]\nworm = 40\n[plate A]\nside 1 = 20 21\n[gears]\nteeth = "

/* One row a reason, "" where the head can be set so. */
static void reasons(void **state)
{
    static const struct {
        const char *profile, *movement;
        struct cc_train train;
        const char *why;
    } rows[] = {
        /* Plates: the pins reach circles of one side, or of both sides, or there is no second pin. */
        { "[head]\nworm = 40\nplate_pin = same\n" PLATES, "3/15+1/16", { 0 }, "" },
        { "[head]\nworm = 40\nplate_pin = same\n" PLATES, "3/19+1/20", { 0 }, "" },
        { "[head]\nworm = 40\nplate_pin = same\n" PLATES, "3/15+1/17", { 0 },
          "no plate of this head has 15 and 17 where the two pins reach" },
        { "[head]\nworm = 40\nplate_pin = same\n" PLATES, "3/15+1/19", { 0 },
          "no plate of this head has 15 and 19 where the two pins reach" },
        { "[head]\nworm = 40\nplate_pin = other\n" PLATES, "3/15+1/17", { 0 }, "" },
        { "[head]\nworm = 40\nplate_pin = other\n" PLATES, "3/18+1/16", { 0 }, "" },
        { "[head]\nworm = 40\nplate_pin = other\n" PLATES, "3/15+1/16", { 0 },
          "no plate of this head has 15 and 16 where the two pins reach" },
        { "[head]\nworm = 40\nplate_pin = none\n" PLATES, "3/15+1/16", { 0 },
          "the plate is bolted fast: no compound indexing" },
        { "[head]\nworm = 40\nplate_pin = none\n" PLATES, "3/15", { 0 }, "" },
        { "[head]\nworm = 40\nplate_pin = none\n" PLATES, "3/20", { 0 }, "" },
        { "[head]\nworm = 40\nplate_pin = none\n" PLATES, "3", { 0 }, "" },
        { "[head]\nworm = 40\n" PLATES, "3/21", { 0 }, "it has no circle of 21 holes" },
        { "[head]\nworm = 40\n" PLATES, "3/21+1/15", { 0 }, "it has no circle of 21 holes" },
        /* Gears: enough of each, and some left for the idlers. */
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 1, { 24 }, { 40 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 1, { 25 }, { 40 }, 1, 0, { 0 } }, "this head has no gear of 25 teeth" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 1, { 24 }, { 48 }, 1, 0, { 0 } }, "this head has no gear of 48 teeth" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 2, { 24, 24 }, { 40, 40 }, 0, 0, { 0 } }, "" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 2, { 30, 24 }, { 30, 40 }, 0, 0, { 0 } }, "this head has only one gear of 30 teeth" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 2, { 24, 24 }, { 24, 40 }, 0, 0, { 0 } }, "this head has only 2 gears of 24 teeth" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 2, { 24, 24 }, { 40, 40 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 24 40 40\n", "1/20", { 2, { 24, 24 }, { 40, 40 }, 1, 0, { 0 } }, "no gears are left for 1 idler" },
        { ONE_PLATE "24 24 30 40 40\n", "1/20", { 2, { 24, 24 }, { 40, 40 }, 2, 0, { 0 } }, "no gears are left for 2 idlers" },
        { ONE_PLATE "24 24 40 40\n", "1/20", { 1, { 24 }, { 40 }, 2, 0, { 0 } }, "" },
        { ONE_PLATE "24 24 40 40\n", "1/20", { 1, { 24 }, { 40 }, 3, 0, { 0 } }, "no gears are left for 3 idlers" },
        /* Two gears in mesh have 60 to 90 teeth together: an idler must reach both, and be one that is left. */
        { ONE_PLATE "24 40 48 50\nleast-sum = 60\nmost-sum = 90\n", "1/20", { 1, { 24 }, { 48 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 40 48 50\nleast-sum = 60\nmost-sum = 90\n", "1/20", { 1, { 24 }, { 50 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 40 48 50\nleast-sum = 60\nmost-sum = 90\n", "1/20", { 1, { 24 }, { 40 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 20 48 60\nleast-sum = 60\nmost-sum = 90\n", "1/20", { 1, { 24 }, { 20 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 20 28 60\nleast-sum = 60\nmost-sum = 80\n", "1/20", { 1, { 24 }, { 20 }, 1, 0, { 0 } },
          "two of these gears do not reach each other on this head" },
        { ONE_PLATE "24 20 28 60\nleast-sum = 60\nmost-sum = 90\n", "1/20", { 1, { 24 }, { 20 }, 1, 0, { 0 } }, "" },
        /* 24-60-28: then 28 and 20 are 48 together */
        { ONE_PLATE "24 20 28 60\nleast-sum = 60\nmost-sum = 90\n", "1/20", { 1, { 24 }, { 20 }, 2, 0, { 0 } },
          "two of these gears do not reach each other on this head" },
        { ONE_PLATE "24 20 62 60\nleast-sum = 80\nmost-sum = 130\n", "1/20", { 1, { 24 }, { 20 }, 2, 0, { 0 } }, "" },
        /* Two pairs: the mesh without the idler must reach by itself; the idler may be in either. */
        { ONE_PLATE "24 40 48 32 60\nleast-sum = 64\nmost-sum = 90\n", "1/20", { 2, { 24, 32 }, { 40, 48 }, 0, 0, { 0 } }, "" },
        { ONE_PLATE "24 40 48 32 60\nleast-sum = 65\nmost-sum = 90\n", "1/20", { 2, { 24, 32 }, { 40, 48 }, 0, 0, { 0 } },
          "two of these gears do not reach each other on this head; drivers 32,24, driven 40,48 would do" },   /* 72 and 72 */
        { ONE_PLATE "24 40 48 32 45\nleast-sum = 65\nmost-sum = 90\n", "1/20", { 2, { 24, 32 }, { 40, 48 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 40 48 32 45\nleast-sum = 65\nmost-sum = 90\n", "1/20", { 2, { 32, 24 }, { 48, 40 }, 1, 0, { 0 } }, "" },
        { ONE_PLATE "24 40 48 32 60\nleast-sum = 65\nmost-sum = 90\n", "1/20", { 2, { 24, 32 }, { 40, 48 }, 1, 0, { 0 } },
          "two of these gears do not reach each other on this head" },   /* 60 and 40 are 100 */
        { ONE_PLATE "24 40 48 32 45\nleast-sum = 81\nmost-sum = 95\n", "1/20", { 2, { 24, 32 }, { 40, 48 }, 1, 0, { 0 } },
          "two of these gears do not reach each other on this head" },   /* neither mesh reaches */
    };
    struct cc_check check;

    (void)state;
    cc_check_init(&check);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct cc_head head;
        struct cc_setting s = { .train = rows[i].train };
        read_head(&head, rows[i].profile);
        assert_int_equal(cc_setting_parse(&s, rows[i].movement, NULL), CC_OK);
        assert_int_equal(run(&check, &head, &s, 57, 1), CC_OK);
        if (strcmp(check.why_not, rows[i].why) != 0 || check.fits_head != (rows[i].why[0] == '\0'))
            fail_msg("row %zu, %s: '%s', not '%s'", i, rows[i].movement, check.why_not, rows[i].why);
        cc_head_clear(&head);
    }
    cc_check_clear(&check);
}

/* ---- slips ---- */

/* A setting's crank turns, and whether N of its movements are whole turns k of a 40:1 spindle, by machine integers. */
static bool is_exact(const struct cc_setting *s, int64_t divisions, int64_t k)
{
    int64_t c = s->circle != 0 ? s->circle : 1, c2 = s->circle2 != 0 ? s->circle2 : 1;
    int64_t units = (s->turns * c + s->holes) * c2 + s->holes2 * c;     /* of 1/(c c2) turn */

    return units > 0 && units * divisions == 40 * k * c * c2;
}

static bool one_way(const struct cc_setting *s)
{
    return s->turns == 0 || s->holes == 0 || (s->turns < 0) == (s->holes < 0);
}

enum { MOST_NEAR = 200 };

struct near {
    struct cc_setting at[MOST_NEAR];
    char what[MOST_NEAR][120];
    size_t n;
};

static void add_near(struct near *near, const struct cc_setting *s, int64_t divisions, const char *what)
{
    if (!one_way(s) || !is_exact(s, divisions, 1))
        return;
    assert_true(near->n < MOST_NEAR);
    near->at[near->n] = *s;
    snprintf(near->what[near->n++], sizeof near->what[0], "%s", what);
}

/* All that is one slip away and right: another circle, one hole or turn more or less, the second part the other way. */
static void walk_near(struct near *near, const struct cc_setting *s, const unsigned circle[], size_t circles,
                      int64_t divisions)
{
    char what[120];

    near->n = 0;
    for (size_t i = 0; i < circles; i++) {
        for (int second = 0; second < 2; second++) {
            struct cc_setting other = *s;
            unsigned was = second ? s->circle2 : s->circle;
            if (was == 0 || circle[i] == s->circle || circle[i] == s->circle2)
                continue;
            *(second ? &other.circle2 : &other.circle) = circle[i];
            snprintf(what, sizeof what, "%u circle instead of %u", circle[i], was);
            add_near(near, &other, divisions, what);
        }
    }
    for (int64_t d = -1; d <= 1; d += 2) {
        struct cc_setting other = *s;
        other.holes += d;
        snprintf(what, sizeof what, "%lld holes of %u instead of %lld", llabs(other.holes), s->circle, llabs(s->holes));
        if (s->circle != 0)
            add_near(near, &other, divisions, what);
        other = *s;
        other.holes2 += d;
        snprintf(what, sizeof what, "%lld holes of %u instead of %lld", llabs(other.holes2), s->circle2, llabs(s->holes2));
        if (s->circle2 != 0)
            add_near(near, &other, divisions, what);
        other = *s;
        other.turns += d;
        snprintf(what, sizeof what, "%lld turns instead of %lld", llabs(other.turns), llabs(s->turns));
        add_near(near, &other, divisions, what);
    }
    if (s->circle2 != 0) {
        struct cc_setting other = *s;
        other.holes2 = -s->holes2;
        add_near(near, &other, divisions, other.holes2 < 0 ? "the second part back" : "the second part forward");
    }
}

static bool same_setting(const struct cc_setting *a, const struct cc_setting *b)
{
    return a->turns == b->turns && a->holes == b->holes && a->circle == b->circle && a->holes2 == b->holes2 &&
           a->circle2 == b->circle2;
}

/* Each slip that is near is found once, with its words; and none else. */
static void compare_slips(const struct near *near, const struct cc_check *check, const char *where)
{
    if (check->slips != (near->n < CC_MAX_SLIPS ? near->n : CC_MAX_SLIPS))
        fail_msg("%s: %zu slips, %zu settings are near", where, check->slips, near->n);
    for (size_t i = 0; i < check->slips; i++) {
        bool found = false;
        for (size_t k = 0; k < near->n && !found; k++)
            found = same_setting(&near->at[k], &check->slip[i].setting) &&
                    strcmp(near->what[k], check->slip[i].what) == 0;
        if (!found)
            fail_msg("%s: '%s' is not near", where, check->slip[i].what);
        for (size_t k = 0; k < i; k++)
            if (strcmp(check->slip[k].what, check->slip[i].what) == 0)
                fail_msg("%s: '%s' is said twice", where, check->slip[i].what);
    }
}

/* Right settings of a head with two small plates, each spoilt in every way that one slip spoils it. */
static void every_slip(void **state)
{
    static const char profile[] = "[head]\nworm = 40\nplate_pin = same\n"
                                  "[plate A]\nside 1 = 15 18 20 21\n[plate B]\nside 1 = 20 27\nside 2 = 33\n";
    static const unsigned circle[] = { 15, 18, 20, 21, 27, 33 };
    const size_t circles = sizeof circle / sizeof circle[0];
    struct cc_head head;
    struct cc_check check;
    struct near near;
    size_t with = 0, pairs = 0;

    (void)state;
    read_head(&head, profile);
    cc_check_init(&check);
    for (int64_t n = 2; n <= 40; n++) {
        for (size_t i = 0; i < circles * (circles + 1); i++) {
            unsigned c = circle[i % circles], c2 = i < circles ? 0 : circle[i / circles - 1];
            for (int64_t holes2 = c2 == 0 ? 0 : -4; holes2 <= (c2 == 0 ? 0 : 4); holes2++) {
                int64_t most = 40 * c / n + 3, least = most > 6 ? most - 6 : 0;
                for (int64_t units = least; units <= most; units++) {
                    struct cc_setting s = { .turns = units / c, .holes = units % c, .circle = c, .holes2 = holes2,
                                            .circle2 = c2 };
                    char where[120];
                    if (c == c2 || is_exact(&s, n, 1) || run(&check, &head, &s, (unsigned long)n, 1) != CC_OK)
                        continue;
                    snprintf(where, sizeof where, "%lld %lld/%u%+lld/%u for %lld", (long long)s.turns,
                             (long long)s.holes, c, (long long)holes2, c2, (long long)n);
                    walk_near(&near, &s, circle, circles, n);
                    compare_slips(&near, &check, where);
                    with += near.n > 0;
                    pairs += near.n > 0 && c2 != 0;
                }
            }
        }
    }
    assert_true(with > 500 && pairs > 100);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* More different circles than one side can have: a slip in any of the first 200 is found, and the rest do no harm. */
static void many_circles(void **state)
{
    char profile[3000];
    size_t used = (size_t)sprintf(profile, "[head]\nworm = 40\n");
    struct cc_head head;
    struct cc_check check;
    struct cc_setting s = { .holes = 40, .circle = 56 };

    (void)state;
    for (unsigned i = 0; i < 400; i++)
        used += (size_t)sprintf(profile + used, "%s%u%s", i % 100 == 0 ? i % 200 == 0 ? "[plate P" : "side 2 = " : "",
                                i % 200 == 0 ? i / 200 : 20 + i, i % 200 == 0 ? "]\nside 1 = " : i % 25 == 24 ? "\n" : " ");
    read_head(&head, profile);
    cc_check_init(&check);
    /* 40 holes of 57 in each of 57 movements is 40 turns; 56 stands for 57. */
    assert_int_equal(run(&check, &head, &s, 57, 1), CC_OK);
    assert_int_equal(check.slips, 1);
    assert_string_equal(check.slip[0].what, "57 circle instead of 56");
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* ---- slips of gears ---- */

/* theta of one movement h/c with a train of two pairs, and whether N of them are one turn; fractions in GMP. */
static bool train_is_right(const struct cc_train *t, unsigned long holes, unsigned long circle, unsigned long divisions)
{
    mpq_t e, angle;
    bool right;

    mpq_inits(e, angle, NULL);
    mpq_set_ui(e, 1, 1);
    for (unsigned i = 0; i < t->pairs; i++) {
        mpz_mul_ui(mpq_numref(e), mpq_numref(e), t->driver[i]);
        mpz_mul_ui(mpq_denref(e), mpq_denref(e), t->driven[i]);
    }
    mpq_canonicalize(e);
    if ((t->pairs + t->idlers) % 2 != 0)    /* every mesh turns the direction round */
        mpq_neg(e, e);
    mpq_set_ui(angle, 40, 1);
    mpq_sub(angle, angle, e);               /* R - e */
    right = mpq_sgn(angle) > 0;
    if (right) {
        mpq_set_ui(e, holes * divisions, circle);
        mpq_canonicalize(e);
        right = mpq_equal(e, angle);        /* N h/c = R - e */
    }
    mpq_clears(e, angle, NULL);
    return right;
}

static void swap_two(unsigned *a, unsigned *b)
{
    unsigned t = *a;
    *a = *b;
    *b = t;
}

/* Whether a slip of check has these drivers and driven in these places, and so many idlers. */
static bool has_train(const struct cc_check *check, const struct cc_train *t)
{
    bool found = false;

    for (size_t i = 0; i < check->slips && !found; i++) {
        const struct cc_train *s = &check->slip[i].setting.train;
        found = s->idlers == t->idlers;
        for (unsigned k = 0; k < t->pairs && found; k++)
            found = s->driver[k] == t->driver[k] && s->driven[k] == t->driven[k];
    }
    return found;
}

/*
 * A right train, spoilt by each exchange of a driver with a driven gear, by an idler, and by both: the way back is found.
 */
static void every_exchange(void **state)
{
    static const struct {
        struct cc_train right;
        unsigned long holes, circle, divisions;
    } rows[] = {
        /* N h/c = 40 - e: e = 24 28 / (32 56) = 3/8, 39 5/8 = 317/8 = 317 x 1/8; e = -3/8: 323/8; 3/4 with one pair */
        { { 2, { 24, 28 }, { 32, 56 }, 0, 0, { 0 } }, 3, 24, 317 },
        { { 2, { 24, 28 }, { 32, 56 }, 1, 0, { 0 } }, 3, 24, 323 },
        { { 2, { 28, 24 }, { 56, 32 }, 0, 0, { 0 } }, 3, 24, 317 },
        { { 1, { 24 }, { 32 }, 1, 0, { 0 } }, 6, 24, 157 },       /* 39 1/4 = 157/4 */
        { { 1, { 24 }, { 32 }, 2, 0, { 0 } }, 6, 24, 163 },
    };
    struct cc_head head;
    struct cc_check check;
    unsigned seen = 0;

    (void)state;
    read_head(&head, "[head]\nworm = 40\n[plate A]\nside 1 = 24\n[gears]\nteeth = 24 28 32 36 40 56\n");
    cc_check_init(&check);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct cc_train *right = &rows[i].right;
        assert_true(train_is_right(right, rows[i].holes, rows[i].circle, rows[i].divisions));
        for (unsigned a = 0; a < right->pairs; a++) {
            for (unsigned b = 0; b < 2 * right->pairs; b++) {      /* b >= pairs: with the idler changed too */
                struct cc_setting s = { .holes = (int64_t)rows[i].holes, .circle = (unsigned)rows[i].circle, .train = *right };
                unsigned k = b % right->pairs, least = right->pairs == 1 ? 1 : 0;
                swap_two(&s.train.driver[a], &s.train.driven[k]);
                if (b >= right->pairs)
                    s.train.idlers = right->idlers > least ? right->idlers - 1 : right->idlers + 1;
                if (train_is_right(&s.train, rows[i].holes, rows[i].circle, rows[i].divisions))
                    continue;
                assert_int_equal(run(&check, &head, &s, rows[i].divisions, 1), CC_OK);
                assert_false(check.exact);
                if (!has_train(&check, right))
                    fail_msg("row %zu: driver %u and driven %u exchanged%s, and not found", i, a, k,
                             b >= right->pairs ? " and an idler" : "");
                for (size_t n = 0; n < check.slips; n++)
                    assert_true(train_is_right(&check.slip[n].setting.train, (unsigned long)check.slip[n].setting.holes,
                                               check.slip[n].setting.circle, rows[i].divisions));
                seen++;
            }
        }
        struct cc_setting s = { .holes = (int64_t)rows[i].holes, .circle = (unsigned)rows[i].circle, .train = *right };
        s.train.idlers = right->idlers == 2 ? 1 : right->idlers + 1;
        assert_int_equal(run(&check, &head, &s, rows[i].divisions, 1), CC_OK);
        assert_true(has_train(&check, right));
    }
    assert_true(seen > 20);
    cc_check_clear(&check);
    cc_head_clear(&head);
}

/* ---- every train that fits ---- */

enum { MOST_COUNT = 260 };

/* Mark the counts that a train which fits the head makes exact on its one circle: N h = C (R - e) for a whole h. */
static void mark_counts(bool exact[MOST_COUNT + 1], const struct cc_head *head, const struct cc_train *train)
{
    struct cc_setting s = { .turns = 1, .train = *train };
    unsigned circle = head->plates[0].side[0].at[0];
    struct cc_check check;

    cc_check_init(&check);
    if (run(&check, head, &s, 40, 1) == CC_OK && check.fits_head) {
        mpq_t scale;
        mpq_init(scale);
        mpq_sub(scale, head->worm, check.plate_turns);
        mpz_mul_ui(mpq_numref(scale), mpq_numref(scale), circle);
        mpq_canonicalize(scale);
        for (unsigned long n = 2; n <= MOST_COUNT; n++)
            exact[n] = exact[n] || (mpz_cmp_ui(mpq_denref(scale), 1) == 0 && mpz_divisible_ui_p(mpq_numref(scale), n));
        mpq_clear(scale);
    }
    cc_check_clear(&check);
}

static void mark_trains(bool exact[MOST_COUNT + 1], const struct cc_head *head)
{
    const unsigned *tooth = head->gears.at;
    size_t n = head->gears.n, at[4];

    for (size_t choice = 0; choice < n * n * n * n; choice++) {
        size_t rest = choice;
        bool four = true;
        for (int i = 0; i < 4; i++, rest /= n)
            at[i] = rest % n;
        for (int i = 0; i < 4; i++)
            for (int k = 0; k < i; k++)
                four = four && at[i] != at[k];
        bool two = at[0] != at[1] && at[2] == 0 && at[3] == 0;
        for (unsigned idlers = 0; idlers <= 1 && four; idlers++)
            mark_counts(exact, head, &(struct cc_train){ .pairs = 2, .driver = { tooth[at[0]], tooth[at[1]] },
                                                          .driven = { tooth[at[2]], tooth[at[3]] }, .idlers = idlers });
        for (unsigned idlers = 1; idlers <= 2 && two; idlers++)
            mark_counts(exact, head, &(struct cc_train){ .pairs = 1, .driver = { tooth[at[0]] }, .driven = { tooth[at[1]] },
                                                          .idlers = idlers });
    }
}

/* Where gears reach each other only within limits, the planner finds an exact train for just those counts that have one. */
static void every_train_that_fits(void **state)
{
    static const char *const profiles[] = {
        "[head]\nworm = 40\n[plate A]\nside 1 = 21\n[gears]\nteeth = 24 28 32 40 56 72\n",
        "[head]\nworm = 40\n[plate A]\nside 1 = 21\n[gears]\nteeth = 24 28 32 40 56 72\nleast-sum = 60\nmost-sum = 100\n",
        "[head]\nworm = 40\n[plate A]\nside 1 = 20\n[gears]\nteeth = 24 28 32 40 56 72\nleast-sum = 64\nmost-sum = 84\n",
        "[head]\nworm = 40\n[plate A]\nside 1 = 21\n[gears]\nteeth = 24 24 36 36 48 64\nleast-sum = 60\nmost-sum = 84\n",
        "[head]\nworm = 40\n[plate A]\nside 1 = 18\n[gears]\nteeth = 24 30 32 48 50 56 64\nmost-sum = 80\nreversed = yes\n",
        "[head]\nworm = 40\n[plate A]\nside 1 = 18\n[gears]\nteeth = 24 30 32 48 50 56 64\nleast-sum = 90\n",
    };
    unsigned some = 0, none = 0;

    (void)state;
    for (size_t i = 0; i < sizeof profiles / sizeof profiles[0]; i++) {
        bool exact[MOST_COUNT + 1] = { false };
        struct cc_head head;
        struct cc_planner *planner;
        struct cc_request request;
        read_head(&head, profiles[i]);
        mark_trains(exact, &head);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        cc_request_init(&request);
        request.methods = 1U << CC_DIFFERENTIAL;
        mpz_set_ui(request.block, 1);
        for (unsigned long n = 2; n <= MOST_COUNT; n++) {
            struct cc_plans plans;
            bool found = false;
            cc_plans_init(&plans);
            mpz_set_ui(request.divisions, n);
            if (cc_planner_all(&plans, NULL, planner, &request, true, NULL) == CC_OK)
                for (size_t k = 0; k < plans.n; k++)
                    found = found || plans.at[k].exact;
            if (found != exact[n])
                fail_msg("head %zu, %lu divisions: an exact train is %s", i, n, found ? "found that does not fit" : "not found");
            *(found ? &some : &none) += 1;
            cc_plans_clear(&plans);
        }
        cc_request_clear(&request);
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
    assert_true(some > 100 && none > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(reasons), cmocka_unit_test(every_slip), cmocka_unit_test(many_circles), cmocka_unit_test(every_exchange),
                                        cmocka_unit_test(every_train_that_fits) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
