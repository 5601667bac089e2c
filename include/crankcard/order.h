/*
 * order.h: several jobs on one head, in the order that changes plates least.
 */
#ifndef CRANKCARD_ORDER_H
#define CRANKCARD_ORDER_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_NO_MOUNT ((size_t)-1)

/*
 * Choose a mounting (a plate and side, 0 ... mounts - 1) for every job.
 *
 *   chosen   out  jobs entries: the mounting of each job; CC_NO_MOUNT for a job that none serves
 *   changes  out  how many mountings are used besides the one that is on now
 *   serves   in   jobs * mounts entries, row by row: serves[job * mounts + mount]
 *   mounted  in   what is on now (costs nothing), or CC_NO_MOUNT
 *
 * Every mounting that is used is used once, so the changes are least when the mountings are fewest. The
 * search is complete up to a fixed amount of work (far beyond any set of plates that is sold); above it
 * the answer may be one change too many. Ties go to the lower mounting, and what is on now first.
 *
 * Errors: CC_ENOMEM. A job that needs no plate (direct indexing) is left out by the caller.
 */
enum cc_status cc_order_changes(size_t *chosen, size_t *changes, const bool *serves, size_t jobs,
                                size_t mounts, size_t mounted, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
