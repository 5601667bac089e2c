/*
 * test_sheet.c: several jobs on one head, against what comes out by hand.
 *
 * Worm 40, so N is exact on a circle C where N divides 40 C:
 *
 *   A  15 16 17 18 19 20      34: 17           36: 18
 *   B  21 23 27 29 31 33      33: 33           36: 27       35: 21
 *   C  37 39 41 43 47 49      49: 49           35: 49
 *   direct plate 24           24, and without it 40/24 = 1 2/3 on A's 15 and 18 and on B's 21, 27 and 33
 */
#include <string.h>

#include "crankcard/sheet.h"
#include "support.h"

#define PLATES "[plate A]\nside 1 = 15 16 17 18 19 20\n[plate B]\nside 1 = 21 23 27 29 31 33\n" \
               "[plate C]\nside 1 = 37 39 41 43 47 49\n"
#define WORM "[head]\nworm = 40\nmounted = A 1\n[direct]\nholes = 24\n" PLATES
#define GEARS "[head]\nworm = 40\nplate_pin = none\n" PLATES "[gears]\nteeth = 24 24 28 32 40 44 48 56 64 72 86 100\n"

enum { A, B, C, DIRECT };

struct asked {
    unsigned long divisions;
    enum cc_head_use use;
    size_t cutter;
    size_t plate;           /* what is right */
    unsigned circle;
};

struct sheet {
    const char *mounted;
    size_t n;
    struct asked at[4];
    size_t changes, order[4];
};

static void load(struct cc_head *head, const char *profile, const char *mounted)
{
    struct cc_error err;

    cc_head_init(head);
    if (cc_head_read(head, profile, strlen(profile), "made", "made", &err) != CC_OK ||
        cc_head_mount(head, mounted, &err) != CC_OK)
        fail_msg("%s", err.text);
}

static void check_sheet(const struct sheet *sheet, size_t row)
{
    struct cc_head head;
    struct cc_sheet_item items[4], *at[4];
    size_t order[4], changes;

    load(&head, WORM, sheet->mounted);
    for (size_t i = 0; i < sheet->n; i++) {
        cc_sheet_item_init(&items[i]);
        mpz_set_ui(items[i].divide.divisions, sheet->at[i].divisions);
        items[i].use = sheet->at[i].use;
        items[i].cutter = sheet->at[i].cutter;
        at[i] = &items[i];
    }
    size_t plate = head.mounted_plate;
    assert_int_equal(cc_sheet_plan(at, sheet->n, order, &changes, &head, NULL), CC_OK);
    assert_int_equal(head.mounted_plate, plate);
    if (changes != sheet->changes)
        fail_msg("row %zu: %zu changes", row, changes);
    for (size_t i = 0; i < sheet->n; i++) {
        const struct cc_plan *plan = &items[i].plan;
        if (!items[i].has_plan || !plan->exact || plan->circle != sheet->at[i].circle ||
            (cc_plan_is_direct(plan) ? DIRECT : plan->plate) != sheet->at[i].plate)
            fail_msg("row %zu, item %zu: plate %zu, circle %u", row, i, plan->plate, plan->circle);
        if (plan->is_mounted != (cc_plan_is_direct(plan) || plan->plate == plate))
            fail_msg("row %zu, item %zu: mounted", row, i);
        if (order[i] != sheet->order[i])
            fail_msg("row %zu: item %zu at place %zu", row, order[i], i);
        cc_sheet_item_clear(&items[i]);
    }
    cc_head_clear(&head);
}

static void sheets(void **state)
{
    static const struct sheet rows[] = {
        /* 36 stays where it is; 33 has to have B */
        { "A 1", 2, { { 33, 0, 0, B, 33 }, { 36, 0, 0, A, 18 } }, 1, { 1, 0 } },
        /* of two plates that serve as well, the one that is on, else the first of the head */
        { "B 1", 1, { { 36, 0, 0, B, 27 } }, 0, { 0 } },
        { "C 1", 1, { { 36, 0, 0, A, 18 } }, 1, { 0 } },
        { "C 1", 2, { { 36, 0, 0, B, 27 }, { 33, 0, 0, B, 33 } }, 1, { 0, 1 } },
        /* 35 by itself has B; 49 takes it along to C; A, where it would not be exact, is no place for it */
        { "A 1", 1, { { 35, 0, 0, B, 21 } }, 1, { 0 } },
        { "A 1", 2, { { 35, 0, 0, B, 21 }, { 33, 0, 0, B, 33 } }, 1, { 0, 1 } },
        { "A 1", 2, { { 35, 0, 0, C, 49 }, { 49, 0, 0, C, 49 } }, 1, { 0, 1 } },
        { "A 1", 2, { { 35, 0, 0, B, 21 }, { 34, 0, 0, A, 17 } }, 1, { 1, 0 } },
        /* what is on, and what needs no plate, first; then plate by plate */
        { "C 1", 4, { { 33, 0, 0, B, 33 }, { 34, 0, 0, A, 17 }, { 49, 0, 0, C, 49 }, { 24, 0, 0, DIRECT, 24 } }, 2,
          { 2, 3, 1, 0 } },
        /* cutter by cutter, the one that came first before the other, however they are numbered */
        { "A 1", 4, { { 34, 0, 9, A, 17 }, { 36, 0, 5, A, 18 }, { 38, 0, 9, A, 19 }, { 30, 0, 5, A, 18 } }, 0,
          { 0, 2, 1, 3 } },
        /* geared to the table the worm has to be in: not the direct plate */
        { "A 1", 1, { { 24, CC_HEAD_GEARED, 0, A, 18 } }, 0, { 0 } },
        { "A 1", 1, { { 24, CC_HEAD_TILTED, 0, DIRECT, 24 } }, 0, { 0 } },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        check_sheet(&rows[i], i);
}

static void check_method_of(unsigned asked, const char *profile, unsigned long divisions, enum cc_head_use use, int method,
                            const char *why)
{
    struct cc_head head;
    struct cc_sheet_item item, *at = &item;
    size_t order, changes;

    load(&head, profile, "none");
    cc_sheet_item_init(&item);
    item.use = use;
    item.divide.methods = asked;
    mpz_set_ui(item.divide.divisions, divisions);
    assert_int_equal(cc_sheet_plan(&at, 1, &order, &changes, &head, NULL), CC_OK);
    assert_int_equal(item.has_plan, method >= 0);
    if (method >= 0 && (int)item.plan.method != method)
        fail_msg("%lu: %s", divisions, cc_method_name(item.plan.method));
    if (method < 0)
        assert_non_null(strstr(item.no_plan, why));
    cc_sheet_item_clear(&item);
    cc_head_clear(&head);
}

static void check_method(const char *profile, unsigned long divisions, enum cc_head_use use, int method, const char *why)
{
    check_method_of(CC_ALL_METHODS, profile, divisions, use, method, why);
}

/* 127 is prime and in no circle: gears give it, where the head is free for them; else, with no second pin, a hole near it. */
static void methods(void **state)
{
    static const char no_worm[] = "[head]\n[direct]\nholes = 24\n";
    (void)state;

    check_method(GEARS, 127, CC_HEAD_FREE, CC_DIFFERENTIAL, NULL);
    check_method(GEARS, 127, CC_HEAD_GEARED, CC_NEAREST_HOLE, NULL);
    check_method(GEARS, 127, CC_HEAD_TILTED, CC_NEAREST_HOLE, NULL);
    check_method(WORM, 57, CC_HEAD_FREE, CC_COMPOUND, NULL);       /* 40/57 = 7/19 + 5/15: 105/285 + 95/285 = 200/285 */
    check_method(WORM, 57, CC_HEAD_TILTED, CC_COMPOUND, NULL);
    check_method(WORM, 57, CC_HEAD_GEARED, CC_NEAREST_HOLE, NULL);
    check_method(WORM, 5000, CC_HEAD_GEARED, -1, "geared to the table");       /* 49 circle: 1960 holes a turn */
    check_method(no_worm, 24, CC_HEAD_GEARED, -1, "no worm");
    check_method(no_worm, 24, CC_HEAD_TILTED, CC_DIRECT, NULL);
    /* only by what the head cannot do so: not a mistake in the question, but no plan, and why */
    check_method_of(1U << CC_DIFFERENTIAL | 1U << CC_COMPOUND, WORM, 24, CC_HEAD_GEARED, -1, "only plain and nearest-hole");
    check_method_of(1U << CC_DIFFERENTIAL, GEARS, 24, CC_HEAD_TILTED, -1, "cannot be geared");
    check_method_of(1U << CC_DIFFERENTIAL | 1U << CC_NEAREST_HOLE, GEARS, 127, CC_HEAD_TILTED, CC_NEAREST_HOLE, NULL);
}

/*
 * No plate is on, and any error is allowed: of the nearest holes the largest circle's comes first, 49. On A a hole would do
 * as well by the tolerance, but it is further off: no reason to take the first plate of the head.
 */
static void further_off(void **state)
{
    struct cc_head head;
    struct cc_sheet_item item, *at = &item;
    size_t order, changes;
    (void)state;

    load(&head, WORM, "none");
    cc_sheet_item_init(&item);
    item.use = CC_HEAD_GEARED;
    mpz_set_ui(item.divide.divisions, 127);
    item.divide.has_tolerance = true;
    mpq_set_ui(item.divide.tolerance, 1, 100);
    assert_int_equal(cc_sheet_plan(&at, 1, &order, &changes, &head, NULL), CC_OK);
    assert_int_equal(item.plan.plate, C);
    assert_int_equal(item.plan.circle, 49);
    assert_int_equal(changes, 1);
    cc_sheet_item_clear(&item);
    cc_head_clear(&head);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(sheets), cmocka_unit_test(methods), cmocka_unit_test(further_off) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
