/*
 * sheet.h: several jobs of dividing on one head, such as the gears of a train: a plan for each, on as few plates as can
 * be, in the order in which to work them.
 */
#ifndef CRANKCARD_SHEET_H
#define CRANKCARD_SHEET_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/head.h"
#include "crankcard/plan.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum cc_head_use {          /* what else the head does while it divides */
    CC_HEAD_FREE = 0,
    CC_HEAD_GEARED = 1,     /* to the table, for a helix: plain indexing and the nearest hole of the worm's circles remain */
    CC_HEAD_TILTED = 2      /* as for a bevel gear: it cannot be geared, so that differential indexing falls away */
};

struct cc_sheet_item {
    enum cc_head_use use;
    size_t cutter;              /* any number, the same for items that one cutter serves */
    struct cc_request divide;   /* divisions, tolerance, methods; those that the head cannot use so are taken out */
    bool has_plan;              /* answers */
    struct cc_plan plan;
    char no_plan[200];          /* why there is none */
};

void cc_sheet_item_init(struct cc_sheet_item *item);
void cc_sheet_item_clear(struct cc_sheet_item *item);

/*
 * Plan n items.
 *
 *   items    in, out  their answers are filled in
 *   order    out      n numbers of items: what needs no other plate than the one that is on, then plate by plate and
 *                     side by side; there cutter by cutter, in the order in which the cutters first come up; else as given
 *   changes  out      changes of the plate (order.h)
 *
 * Each item gets the plan that comes first for it, and of the plates where one is as good in all but plate, circle and
 * travel (of the same method, as exact, as far off, as well held, as far forward) the one with which the sheet has
 * the fewest changes: the one that is on before others, then the first of the head.
 *
 * Errors: as cc_planner_best, but an item without a plan (CC_ENOFIT) is an answer; CC_ENOMEM.
 */
enum cc_status cc_sheet_plan(struct cc_sheet_item *const *items, size_t n, size_t *order, size_t *changes,
                             const struct cc_head *head, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
