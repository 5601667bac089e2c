/*
 * plates.h: which numbers a head's plates leave out, and which circles on one more plate would serve most.
 *
 * "Served" here means by direct or plain indexing: a whole number of holes of one circle, the same
 * for every division; or by a dial, a whole number of its parts. docs/plates.md has the search and its proof.
 */
#ifndef CRANKCARD_PLATES_H
#define CRANKCARD_PLATES_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "crankcard/head.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_PLATE_NUMBERS 20000   /* numbers to be served, most */
#define CC_MAX_NEW_CIRCLES 60        /* circles on a new plate, most */
#define CC_MAX_CANDIDATES 2000       /* circles to choose from, most */
#define CC_PLATES_NODES 1000000      /* steps of the search before it settles for the best found */

/* Whether N divisions are exact on a circle of holes with worm ratio R: holes * R / N is whole. */
bool cc_circle_serves(const mpq_t worm, unsigned circle, unsigned long divisions);

/* Whether the head serves N exactly, directly or plainly, on any circle of any plate, or by its dial. */
bool cc_head_serves(const struct cc_head *head, unsigned long divisions);

struct cc_plates_question {
    const unsigned long *number;    /* the numbers not served yet, ascending, each once */
    const long long *weight;        /* of each, >= 1; NULL: all 1. Together below 2^40 */
    size_t numbers;
    unsigned circles;               /* circles on the new plate, 1 .. CC_MAX_NEW_CIRCLES */
    unsigned least, most;           /* holes in a circle */
    unsigned long long nodes;       /* search limit; 0: CC_PLATES_NODES */
};

struct cc_new_plate {
    unsigned circle[CC_MAX_NEW_CIRCLES];    /* ascending */
    size_t circles;                 /* may be fewer than asked: then these serve all that can be served */
    size_t served;                  /* how many of the numbers they serve */
    size_t servable;                /* how many any circle from least to most serves */
    long long weight;               /* of the numbers served */
    long long bound;                /* no choice of so many circles serves more weight */
    bool proved;                    /* bound == weight: the choice is the best there is */
    unsigned long long nodes;       /* steps the search took */
};

/*
 * Choose the circles. Of circles that serve the same numbers the smallest is taken.
 *
 * Exact as long as the search ends within its limit; else the best found, with proved false and bound what was proved.
 *
 * Errors: CC_EDOM for a question outside the ranges above; CC_ENOFIT where no circle in the range
 * serves any of the numbers; CC_ENOMEM.
 */
enum cc_status cc_plates_choose(struct cc_new_plate *plate, const mpq_t worm,
                                const struct cc_plates_question *question, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
