/* gear_job.c: the gears of a job, their plans, and the order in which they are cut. */
#include "cli/subject/gear_job.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

void gear_item_init(struct gear_item *item)
{
    *item = (struct gear_item){ .hand = CC_RIGHT_HAND };
    cc_gear_request_init(&item->ask);
    cc_gear_init(&item->gear);
    cc_request_init(&item->divide);
    cc_plan_init(&item->plan);
    mpq_inits(item->gearing.lead, item->gearing.error, item->gearing.twist, (mpq_ptr)NULL);
}

void gear_item_clear(struct gear_item *item)
{
    free(item->name);
    mpq_clears(item->gearing.lead, item->gearing.error, item->gearing.twist, (mpq_ptr)NULL);
    cc_plan_clear(&item->plan);
    cc_request_clear(&item->divide);
    cc_gear_clear(&item->gear);
    cc_gear_request_clear(&item->ask);
}

void gear_job_init(struct gear_job *job)
{
    *job = (struct gear_job){ .series = CC_CUTTERS_EIGHT };
    cc_head_init(&job->head);
    mpq_inits(job->tolerance, job->screw, (mpq_ptr)NULL);
}

void gear_job_clear(struct gear_job *job)
{
    for (size_t i = 0; i < job->n; i++)
        gear_item_clear(&job->at[i]);
    free(job->at);
    mpq_clears(job->tolerance, job->screw, (mpq_ptr)NULL);
    cc_head_clear(&job->head);
}

static void copy_request(struct cc_gear_request *to, const struct cc_gear_request *from)
{
    to->kind = from->kind;
    to->teeth = from->teeth;
    to->mate = from->mate;
    to->span = from->span;
    mpq_set(to->module, from->module);
    mpq_set(to->pressure_angle, from->pressure_angle);
    mpq_set(to->helix, from->helix);
    mpq_set(to->profile_shift, from->profile_shift);
    mpq_set(to->shaft_angle, from->shaft_angle);
    mpq_set(to->face, from->face);
    mpq_set(to->pin, from->pin);
}

void gear_item_copy(struct gear_item *to, const struct gear_item *from)
{
    gear_item_init(to);
    copy_request(&to->ask, &from->ask);
    to->hand = from->hand;
    to->has_hand = from->has_hand;
    to->by_pitch = from->by_pitch;
    if (from->name != NULL) {
        to->name = memory_get(strlen(from->name) + 1);
        strcpy(to->name, from->name);
    }
}

struct gear_item *gear_job_add(struct gear_job *job, const struct gear_item *from)
{
    if (job->n == job->room) {
        job->room = job->room == 0 ? 8 : 2 * job->room;
        job->at = memory_resize(job->at, job->room * sizeof *job->at);
    }
    gear_item_copy(&job->at[job->n], from);
    return &job->at[job->n++];
}

const struct cc_cutter *gear_item_cutter(const struct gear_job *job, const struct gear_item *item)
{
    return job->series == CC_CUTTERS_EIGHT ? &item->gear.cutter : &item->gear.half_cutter;
}

const char *gear_kind_name(enum cc_gear_kind kind)
{
    return kind == CC_GEAR_SPUR ? "spur" : kind == CC_GEAR_HELICAL ? "helical" : "bevel";
}

const char *gear_hand_name(enum cc_hand hand)
{
    return hand == CC_LEFT_HAND ? "left" : "right";
}

bool gear_can_tilt(const struct gear_job *job, const struct gear_item *item)
{
    mpq_t root;

    if (item->ask.kind != CC_GEAR_BEVEL)
        return true;
    mpq_init(root);
    mpq_set_d(root, item->gear.root_angle_deg / 360);
    bool can = cc_tilt_check(root, &job->head, NULL) == CC_OK;
    mpq_clear(root);
    return can;
}

/* ---- plans ---- */

/* While a helix is cut the head is geared to the table; while it is tilted, it cannot be geared at all. */
static unsigned methods_for(enum cc_gear_kind kind)
{
    switch (kind) {
    case CC_GEAR_HELICAL:
        return 1u << CC_PLAIN | 1u << CC_NEAREST_HOLE;
    case CC_GEAR_BEVEL:
        return CC_ALL_METHODS & ~(1u << CC_DIFFERENTIAL);
    case CC_GEAR_SPUR:
        break;
    }
    return CC_ALL_METHODS;
}

/* Whether plan b equals the best plan a in all but its plate and its travel. */
static bool as_good(const struct cc_plan *a, const struct cc_plan *b)
{
    return a->rank == b->rank && a->exact == b->exact && a->within == b->within && a->holds == b->holds
           && a->forward == b->forward && (a->exact || mpq_equal(a->worst_error, b->worst_error));
}

/* A mounting is a plate and a side, as one number. */
static size_t mount_of(const struct cc_plan *plan)
{
    return cc_plan_is_direct(plan) ? CC_NO_MOUNT : plan->plate * CC_MAX_SIDES + plan->side - 1;
}

static size_t mounted_now(const struct cc_head *head)
{
    return head->mounted_side == 0 ? CC_NO_MOUNT
                                   : head->mounted_plate * CC_MAX_SIDES + head->mounted_side - 1;
}

static void set_request(struct gear_item *item, const struct gear_job *job)
{
    mpz_set_ui(item->divide.divisions, item->ask.teeth);
    item->divide.methods = methods_for(item->ask.kind);
    item->divide.has_tolerance = job->has_tolerance;
    mpq_set(item->divide.tolerance, job->tolerance);
}

/* The planner's words name options of divide; while the head is geared to the table the reason is another. */
static void say_no_plan(struct gear_item *item, const struct cc_head *head, const char *why)
{
    if (item->ask.kind != CC_GEAR_HELICAL)
        snprintf(item->no_plan, sizeof item->no_plan, "%.190s", why);
    else
        snprintf(item->no_plan, sizeof item->no_plan, "%s",
                 head->has_worm ? "geared to the table only the circles of the worm can be used, and they do not "
                                  "keep so many apart"
                                : "this head has no worm to gear the table to");
}

/* The best plan of every item, whatever plate it takes. */
static enum cc_status find_best(struct gear_job *job, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    enum cc_status s = cc_planner_new(&planner, &job->head, err);

    for (size_t i = 0; i < job->n && s == CC_OK; i++) {
        struct gear_item *item = &job->at[i];
        struct cc_error why = { CC_OK, "" };
        set_request(item, job);
        s = cc_planner_best(&item->plan, NULL, planner, &item->divide, &why);
        item->has_plan = s == CC_OK;
        if (s == CC_ENOFIT) {
            say_no_plan(item, &job->head, why.text);
            s = CC_OK;
        } else if (s != CC_OK) {
            cc_fail(err, s, "%s", why.text);
        }
    }
    cc_planner_free(planner);
    return s;
}

/* For every item and mounting: the plan there that equals the item's best, if one does. */
struct equal_plans {
    struct cc_plan *plan;   /* [item * mounts + mount], where serves */
    bool *serves;
    size_t mounts;
};

/* With another plate on, the planner prefers that one wherever it serves as well. */
static enum cc_status find_on(struct equal_plans *table, struct gear_job *job, size_t mount, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    enum cc_status s = CC_OK;

    if (job->head.plates[mount / CC_MAX_SIDES].side[mount % CC_MAX_SIDES].n == 0)
        return CC_OK;
    job->head.mounted_plate = mount / CC_MAX_SIDES;
    job->head.mounted_side = (unsigned)(mount % CC_MAX_SIDES) + 1;
    s = cc_planner_new(&planner, &job->head, err);
    for (size_t i = 0; i < job->n && s == CC_OK; i++) {
        struct gear_item *item = &job->at[i];
        struct cc_plan *plan = &table->plan[i * table->mounts + mount];
        if (!item->has_plan || mount_of(&item->plan) == CC_NO_MOUNT)
            continue;
        s = cc_planner_best(plan, NULL, planner, &item->divide, err);
        table->serves[i * table->mounts + mount] =
            s == CC_OK && mount_of(plan) == mount && as_good(&item->plan, plan);
    }
    cc_planner_free(planner);
    return s;
}

/* Move every item to a mounting such that there are few of them. */
static enum cc_status spare_changes(struct gear_job *job, struct equal_plans *table, struct cc_error *err)
{
    size_t on = mounted_now(&job->head), plate = job->head.mounted_plate;
    unsigned side = job->head.mounted_side;
    size_t *chosen = memory_get((job->n + 1) * sizeof *chosen);
    enum cc_status s = CC_OK;

    for (size_t mount = 0; mount < table->mounts && s == CC_OK; mount++)
        s = find_on(table, job, mount, err);
    job->head.mounted_plate = plate;
    job->head.mounted_side = side;
    if (s == CC_OK)
        s = cc_order_changes(chosen, &job->plate_changes, table->serves, job->n, table->mounts, on, err);
    for (size_t i = 0; i < job->n && s == CC_OK; i++) {
        if (chosen[i] == CC_NO_MOUNT)
            continue;
        cc_plan_swap(&job->at[i].plan, &table->plan[i * table->mounts + chosen[i]]);
        job->at[i].plan.is_mounted = chosen[i] == on;
    }
    free(chosen);
    return s;
}

/* An item's place in the order of work: the mounted side first, then side by side, then cutter by cutter. */
struct in_line {
    size_t from, mount, cutter;
};

static int compare_places(const void *left, const void *right)
{
    const struct in_line *a = left, *b = right;

    if (a->mount != b->mount)
        return a->mount < b->mount ? -1 : 1;
    if (a->cutter != b->cutter)
        return a->cutter < b->cutter ? -1 : 1;
    return a->from < b->from ? -1 : a->from > b->from;
}

bool gear_same_cutter(const struct gear_job *job, const struct gear_item *a, const struct gear_item *b)
{
    return gear_item_cutter(job, a)->halves == gear_item_cutter(job, b)->halves
           && mpq_equal(a->ask.module, b->ask.module) && mpq_equal(a->ask.pressure_angle, b->ask.pressure_angle)
           && (a->ask.kind == CC_GEAR_BEVEL) == (b->ask.kind == CC_GEAR_BEVEL);
}

static void sort_items(struct gear_job *job)
{
    struct in_line *places = memory_get((job->n + 1) * sizeof *places);
    struct gear_item *sorted = memory_get((job->n + 1) * sizeof *sorted);
    size_t on = mounted_now(&job->head);

    for (size_t i = 0; i < job->n; i++) {
        size_t mount = job->at[i].has_plan ? mount_of(&job->at[i].plan) : CC_NO_MOUNT;
        size_t cutter = 0;
        while (!gear_same_cutter(job, &job->at[cutter], &job->at[i]))
            cutter++;
        /* no plate, and the one that is on, need no change: they come first */
        places[i] = (struct in_line){ i, mount == CC_NO_MOUNT || mount == on ? 0 : mount + 1, cutter };
    }
    qsort(places, job->n, sizeof *places, compare_places);
    for (size_t i = 0; i < job->n; i++)
        sorted[i] = job->at[places[i].from];
    free(job->at);
    job->at = sorted;
    job->room = job->n + 1;
    free(places);
}

/* ---- gears for a helix ---- */

static enum cc_status find_gearing(struct gear_item *item, const struct gear_job *job, struct cc_error *err)
{
    struct cc_lead_request ask;
    struct cc_gearing_list list;
    enum cc_status s;

    cc_lead_request_init(&ask);
    cc_gearing_list_init(&list);
    ask.most = 1;
    ask.hand = item->hand;
    mpq_set(ask.screw, job->screw);
    mpq_set(ask.diameter, item->gear.pitch_diameter);
    s = cc_lead_of_helix(ask.lead, ask.diameter, item->ask.helix, err);
    if (s == CC_OK)
        s = cc_lead_find(&list, &ask, &job->head, NULL, 0, err);
    if (s == CC_OK) {
        struct cc_gearing old = item->gearing;      /* GMP's types may be moved as a whole */
        item->gearing = list.at[0];
        list.at[0] = old;
        item->has_gearing = true;
    } else if (s == CC_ENOFIT) {
        snprintf(item->no_gearing, sizeof item->no_gearing, "%.190s", err->text);
        *err = (struct cc_error){ CC_OK, "" };
        s = CC_OK;
    }
    cc_gearing_list_clear(&list);
    cc_lead_request_clear(&ask);
    return s;
}

static enum cc_status find_gearings(struct gear_job *job, struct cc_error *err)
{
    enum cc_status s = CC_OK;

    for (size_t i = 0; i < job->n && s == CC_OK; i++)
        if (job->at[i].ask.kind == CC_GEAR_HELICAL && mpq_sgn(job->screw) > 0)
            s = find_gearing(&job->at[i], job, err);
    return s;
}

enum cc_status gear_job_plan(struct gear_job *job, struct cc_error *err)
{
    struct equal_plans table = { .mounts = job->head.plate_count * CC_MAX_SIDES };
    size_t cells = job->n * table.mounts;
    enum cc_status s = find_best(job, err);

    if (s == CC_OK)
        s = find_gearings(job, err);
    if (s != CC_OK)
        return s;
    table.plan = memory_get((cells + 1) * sizeof *table.plan);
    table.serves = memory_get((cells + 1) * sizeof *table.serves);
    memset(table.serves, 0, (cells + 1) * sizeof *table.serves);
    for (size_t k = 0; k < cells; k++)
        cc_plan_init(&table.plan[k]);
    s = spare_changes(job, &table, err);
    for (size_t k = 0; k < cells; k++)
        cc_plan_clear(&table.plan[k]);
    free(table.serves);
    free(table.plan);
    if (s == CC_OK)
        sort_items(job);
    return s;
}
