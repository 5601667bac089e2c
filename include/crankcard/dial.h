/*
 * dial.h: what dial and rim show where the spindle stands (docs/method.md, "The dial").
 *
 * Turned forward, a dial's readings rise or fall; readings are always of the engraved numbers.
 */
#ifndef CRANKCARD_DIAL_H
#define CRANKCARD_DIAL_H

#include <gmp.h>
#include <stdbool.h>
#include <stdint.h>

#include "crankcard/head.h"
#include "crankcard/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

struct cc_dial_reading {
    int64_t turns;          /* whole crank turns from the zero to here, downwards: with the dial at 0 they are complete */
    uint64_t parts;         /* of the dial past its zero, as its numbers rise: 0 ... plan->circle - 1 */
    uint64_t line;          /* the line at the index, or the last one before it: 0 ... lines - 1 */
    unsigned vernier;       /* the vernier's line that stands in line with one of the dial's: 0 ... vernier - 1 */
    unsigned eye;           /* parts by eye beyond that: 0 ... by eye - 1 */
    mpq_t dial;             /* as read, exact: degrees of the spindle, or lines, as the dial is numbered */
    mpq_t rim;              /* degrees, exact, 0 <= rim < 360; what the rim stands at, however fine its lines */
};

void cc_dial_reading_init(struct cc_dial_reading *reading);
void cc_dial_reading_clear(struct cc_dial_reading *reading);

/* The readings at a step of a plan by the dial; forward is the way of the job (way.h). */
void cc_dial_read(struct cc_dial_reading *reading, const struct cc_step *step, const struct cc_plan *plan,
                   const struct cc_head *head, enum cc_way forward);

/*
 * The other way round: from what dial (as it is numbered) or rim (revolutions) reads to where the job stands. hole is
 * cc_step.hole, angle the spindle's since the zero. A dial read to the line alone, line_only, leaves more parts that can be meant:
 * so many beyond hole. Errors: CC_EDOM where a dial so divided does not read that.
 */
enum cc_status cc_dial_find(uint64_t *hole, unsigned *more, const mpq_t dial, bool line_only, const struct cc_plan *plan,
                            const struct cc_head *head, enum cc_way forward, struct cc_error *err);
void cc_rim_find(mpq_t angle, const mpq_t rim, const struct cc_head *head, enum cc_way forward);

/* Parts by eye of a plan by the dial; 1 where nothing is read by eye. */
unsigned cc_plan_by_eye(const struct cc_plan *plan);

#ifdef __cplusplus
}
#endif

#endif
