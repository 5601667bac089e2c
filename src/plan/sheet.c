/* sheet.c: see sheet.h. */
#include "crankcard/sheet.h"

#include <stdio.h>
#include <stdlib.h>

#include "crankcard/order.h"

void cc_sheet_item_init(struct cc_sheet_item *item)
{
    *item = (struct cc_sheet_item){ .use = CC_HEAD_FREE };
    cc_request_init(&item->divide);
    cc_plan_init(&item->plan);
}

void cc_sheet_item_clear(struct cc_sheet_item *item)
{
    cc_plan_clear(&item->plan);
    cc_request_clear(&item->divide);
}

static unsigned methods_for(enum cc_head_use use)
{
    switch (use) {
    case CC_HEAD_GEARED:
        return 1U << CC_PLAIN | 1U << CC_NEAREST_HOLE;
    case CC_HEAD_TILTED:
        return CC_ALL_METHODS & ~(1U << CC_DIFFERENTIAL);
    case CC_HEAD_FREE:
        break;
    }
    return CC_ALL_METHODS;
}

/* The planner's words name what may be asked for; while the head is geared to the table the reason is another. */
static void say_no_plan(struct cc_sheet_item *item, const struct cc_head *head, const char *why)
{
    if (item->divide.methods == 0)
        snprintf(item->no_plan, sizeof item->no_plan, "%s",
                 item->use == CC_HEAD_GEARED ? "geared to the table only plain and nearest-hole can index it"
                                             : "tilted as for a bevel gear the head cannot be geared for differential indexing");
    else if (item->use != CC_HEAD_GEARED || item->divide.circle != 0)
        snprintf(item->no_plan, sizeof item->no_plan, "%.190s", why);
    else
        snprintf(item->no_plan, sizeof item->no_plan, "%s",
                 head->has_worm && head->plate_count == 0 ? "geared to the table it is indexed by a plate, and this head has none"
                 : head->has_worm ? "geared to the table only the circles of the worm can be used, and they do not "
                                  "keep so many apart"
                                : "this head has no worm to gear the table to");
}

/* The best plan of every item, whatever plate it takes. */
static enum cc_status find_best(struct cc_sheet_item *const *items, size_t n, const struct cc_head *head,
                                struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    enum cc_status s = cc_planner_new(&planner, head, err);

    for (size_t i = 0; i < n && s == CC_OK; i++) {
        struct cc_error why = { CC_OK, "" };
        items[i]->divide.methods &= methods_for(items[i]->use);
        s = items[i]->divide.methods == 0 ? CC_ENOFIT
                                          : cc_planner_best(&items[i]->plan, NULL, planner, &items[i]->divide, &why);
        items[i]->has_plan = s == CC_OK;
        if (s == CC_ENOFIT) {
            say_no_plan(items[i], head, why.text);
            s = CC_OK;
        } else if (s != CC_OK) {
            cc_fail(err, s, "%s", why.text);
        }
    }
    cc_planner_free(planner);
    return s;
}

/* ---- fewer changes of the plate ---- */

/* A mounting is a plate and a side, as one number. */
static size_t mount_of(const struct cc_plan *plan)
{
    return !cc_plan_has_plate(plan) ? CC_NO_MOUNT : plan->plate * CC_MAX_SIDES + plan->side - 1;
}

static size_t mounted_now(const struct cc_head *head)
{
    return head->mounted_side == 0 ? CC_NO_MOUNT
                                   : head->mounted_plate * CC_MAX_SIDES + head->mounted_side - 1;
}

/* Whether plan b equals the best plan a in all but its plate, circle and travel. */
static bool as_good(const struct cc_plan *a, const struct cc_plan *b)
{
    return a->rank == b->rank && a->exact == b->exact && a->within == b->within && a->holds == b->holds &&
           a->forward == b->forward && (a->exact || mpq_equal(a->worst_error, b->worst_error));
}

/* For every item and mounting: the plan there that equals the item's best, if one does. */
struct equals {
    struct cc_plan *plan;   /* [item * mounts + mount], where serves */
    bool *serves;
    size_t cells, mounts;
};

static bool equals_init(struct equals *table, size_t n, size_t mounts)
{
    *table = (struct equals){ .cells = n * mounts, .mounts = mounts };
    table->plan = malloc((table->cells + 1) * sizeof *table->plan);
    table->serves = calloc(table->cells + 1, sizeof *table->serves);
    if (table->plan == NULL || table->serves == NULL) {
        free(table->plan);
        free(table->serves);
        return false;
    }
    for (size_t k = 0; k < table->cells; k++)
        cc_plan_init(&table->plan[k]);
    return true;
}

static void equals_clear(struct equals *table)
{
    for (size_t k = 0; k < table->cells; k++)
        cc_plan_clear(&table->plan[k]);
    free(table->serves);
    free(table->plan);
}

/* With another plate on, the planner, which is head's, prefers that one wherever it serves as well. */
static enum cc_status find_on(struct equals *table, struct cc_sheet_item *const *items, size_t n, struct cc_head *head,
                              struct cc_planner *planner, size_t mount, struct cc_error *err)
{
    enum cc_status s = CC_OK;

    head->mounted_plate = mount / CC_MAX_SIDES;
    head->mounted_side = (unsigned)(mount % CC_MAX_SIDES) + 1;
    if (head->plates[head->mounted_plate].side[head->mounted_side - 1].n == 0)
        return CC_OK;
    for (size_t i = 0; i < n && s == CC_OK; i++) {
        struct cc_plan *plan = &table->plan[i * table->mounts + mount];
        if (!items[i]->has_plan || mount_of(&items[i]->plan) == CC_NO_MOUNT)
            continue;
        s = cc_planner_best(plan, NULL, planner, &items[i]->divide, err);
        table->serves[i * table->mounts + mount] =
            s == CC_OK && mount_of(plan) == mount && as_good(&items[i]->plan, plan);
    }
    return s;
}

/* Move every item to a mounting such that there are few of them; chosen has room for n. */
static enum cc_status spare_changes(struct cc_sheet_item *const *items, size_t n, size_t *chosen, size_t *changes,
                                    const struct cc_head *head, struct cc_error *err)
{
    struct equals table;
    struct cc_head other = *head;   /* its lists stay head's, and one planner's for every plate that could be on */
    struct cc_planner *planner = NULL;
    size_t on = mounted_now(head);

    if (!equals_init(&table, n, head->plate_count * CC_MAX_SIDES))
        return cc_fail(err, CC_ENOMEM, "out of memory");
    enum cc_status s = cc_planner_new(&planner, &other, err);
    for (size_t mount = 0; mount < table.mounts && s == CC_OK; mount++)
        s = find_on(&table, items, n, &other, planner, mount, err);
    cc_planner_free(planner);
    if (s == CC_OK)
        s = cc_order_changes(chosen, changes, table.serves, n, table.mounts, on, err);
    for (size_t i = 0; i < n && s == CC_OK; i++) {
        if (chosen[i] == CC_NO_MOUNT)
            continue;
        cc_plan_swap(&items[i]->plan, &table.plan[i * table.mounts + chosen[i]]);
        items[i]->plan.is_mounted = chosen[i] == on;
    }
    equals_clear(&table);
    return s;
}

/* ---- the order of work ---- */

struct in_line {
    size_t item, mount, cutter;
};

static int compare_places(const void *left, const void *right)
{
    const struct in_line *a = left, *b = right;

    if (a->mount != b->mount)
        return a->mount < b->mount ? -1 : 1;
    if (a->cutter != b->cutter)
        return a->cutter < b->cutter ? -1 : 1;
    return a->item < b->item ? -1 : a->item > b->item;
}

static void put_in_order(size_t *order, struct in_line *places, struct cc_sheet_item *const *items, size_t n,
                         const struct cc_head *head)
{
    size_t on = mounted_now(head);

    for (size_t i = 0; i < n; i++) {
        size_t mount = items[i]->has_plan ? mount_of(&items[i]->plan) : CC_NO_MOUNT, first = 0;
        while (items[first]->cutter != items[i]->cutter)
            first++;
        /* no plate, and the one that is on, need no change: they come first */
        places[i] = (struct in_line){ i, mount == CC_NO_MOUNT || mount == on ? 0 : mount + 1, first };
    }
    qsort(places, n, sizeof *places, compare_places);
    for (size_t i = 0; i < n; i++)
        order[i] = places[i].item;
}

enum cc_status cc_sheet_plan(struct cc_sheet_item *const *items, size_t n, size_t *order, size_t *changes,
                             const struct cc_head *head, struct cc_error *err)
{
    struct in_line *places = malloc((n + 1) * sizeof *places);
    enum cc_status s = places != NULL ? find_best(items, n, head, err) : cc_fail(err, CC_ENOMEM, "out of memory");

    *changes = 0;
    if (s == CC_OK)
        s = spare_changes(items, n, order, changes, head, err);
    if (s == CC_OK)
        put_in_order(order, places, items, n, head);
    free(places);
    return s;
}
