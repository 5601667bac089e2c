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
    cc_sheet_item_init(&item->work);
    mpq_inits(item->gearing.lead, item->gearing.error, item->gearing.twist, (mpq_ptr)NULL);
}

void gear_item_clear(struct gear_item *item)
{
    free(item->name);
    mpq_clears(item->gearing.lead, item->gearing.error, item->gearing.twist, (mpq_ptr)NULL);
    cc_sheet_item_clear(&item->work);
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
    to->work.divide.methods = from->work.divide.methods;
    to->work.divide.circle = from->work.divide.circle;
    mpz_set(to->work.divide.block, from->work.divide.block);
    mpq_set(to->work.divide.most_turns, from->work.divide.most_turns);
    to->hand = from->hand;
    to->has_hand = from->has_hand;
    to->by_pitch = from->by_pitch;
    if (from->name != NULL)
        to->name = memory_copy(from->name);
}

struct gear_item *gear_job_add(struct gear_job *job, const struct gear_item *from)
{
    job->at = memory_grow(job->at, job->n, &job->room, sizeof *job->at);
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

bool gear_same_cutter(const struct gear_job *job, const struct gear_item *a, const struct gear_item *b)
{
    return gear_item_cutter(job, a)->halves == gear_item_cutter(job, b)->halves
           && mpq_equal(a->ask.module, b->ask.module) && mpq_equal(a->ask.pressure_angle, b->ask.pressure_angle)
           && (a->ask.kind == CC_GEAR_BEVEL) == (b->ask.kind == CC_GEAR_BEVEL);
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

/* ---- plans ---- */

/* What a gear asks of the sheet: its teeth, and a number for its cutter. */
static void set_work(struct gear_job *job, size_t i)
{
    static const enum cc_head_use uses[] = {
        [CC_GEAR_SPUR] = CC_HEAD_FREE, [CC_GEAR_HELICAL] = CC_HEAD_GEARED, [CC_GEAR_BEVEL] = CC_HEAD_TILTED,
    };
    struct gear_item *item = &job->at[i];

    item->work.use = uses[item->ask.kind];
    mpz_set_ui(item->work.divide.divisions, item->ask.teeth);
    /* nobody cuts teeth against plunger and clamp where a worm can hold the work (common practice), unless it is asked for */
    if (job->head.has_worm && item->work.divide.methods == CC_ALL_METHODS)
        item->work.divide.methods &= ~(1U << CC_DIRECT);
    item->work.divide.has_tolerance = job->has_tolerance;
    mpq_set(item->work.divide.tolerance, job->tolerance);
    item->work.cutter = 0;
    while (!gear_same_cutter(job, &job->at[item->work.cutter], item))
        item->work.cutter++;
}

static void put_in_order(struct gear_job *job, const size_t *order)
{
    struct gear_item *sorted = memory_get((job->n + 1) * sizeof *sorted);

    for (size_t i = 0; i < job->n; i++)
        sorted[i] = job->at[order[i]];      /* GMP's types may be moved as a whole */
    free(job->at);
    job->at = sorted;
    job->room = job->n + 1;
}

enum cc_status gear_job_plan(struct gear_job *job, struct cc_error *err)
{
    struct cc_sheet_item **items = memory_get((job->n + 1) * sizeof *items);
    size_t *order = memory_get((job->n + 1) * sizeof *order);

    for (size_t i = 0; i < job->n; i++) {
        set_work(job, i);
        items[i] = &job->at[i].work;
    }
    enum cc_status s = cc_sheet_plan(items, job->n, order, &job->plate_changes, &job->head, err);
    if (s == CC_OK)
        s = find_gearings(job, err);
    if (s == CC_OK)
        put_in_order(job, order);
    free(order);
    free(items);
    return s;
}
