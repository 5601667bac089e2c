/*
 * rows.h: the rows of a plan in machine integers, for writing millions of them.
 *
 * cc_rows gives the same rows as cc_cursor (plan.h) where every number of the plan fits 62 bits, which is
 * decided once, by cc_rows_new; where one does not, and for vernier fixtures, the cursor serves.
 */
#ifndef CRANKCARD_ROWS_H
#define CRANKCARD_ROWS_H

#include <stdbool.h>
#include <stdint.h>

#include "crankcard/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

struct cc_fraction {        /* lowest terms */
    int64_t num;
    uint64_t den;           /* > 0 */
};

struct cc_row {             /* the members of struct cc_step, in the same units */
    uint64_t step, division;
    bool closing;
    int64_t turns, holes, holes2;
    uint64_t hole, hole2;
    struct cc_fraction crank;       /* turns; 0 for direct */
    struct cc_fraction angle, nominal, error;       /* revolutions */
    struct cc_fraction dial, rim;   /* where cc_rows_read_dial was called: as in struct cc_dial_reading (dial.h) */
};

struct cc_rows;

/*
 * Rows from row `from` (1 or more) on; NULL where the plan's numbers do not fit, or where memory ran out: the
 * cursor serves then too. plan and request must outlive it.
 */
struct cc_rows *cc_rows_new(const struct cc_plan *plan, const struct cc_request *request, uint64_t from);
void cc_rows_free(struct cc_rows *rows);        /* NULL is allowed */

/*
 * Of a plan by the dial: from here on each row says what dial and rim read, forward being the way of the job (way.h). False where the
 * readings do not fit.
 */
bool cc_rows_read_dial(struct cc_rows *rows, const struct cc_head *head, enum cc_way forward);

/* The next row; false when there is none. */
bool cc_rows_next(struct cc_rows *rows, struct cc_row *row);

/*
 * The size of f as a decimal is made from: its whole part is returned, *part is what is below one, in 1/scale,
 * rounded once, halves up: 0 to scale.
 */
uint64_t cc_fraction_split(uint64_t *part, struct cc_fraction f, uint64_t scale);

/* out = f, canonical. */
void cc_fraction_get(mpq_t out, struct cc_fraction f);

#ifdef __cplusplus
}
#endif

#endif
