/*
 * rows.h: the rows of a plan in machine integers, for writing millions of them.
 *
 * cc_rows gives the same rows as cc_cursor (plan.h) where every number of the plan fits 62 bits, which is
 * decided once, by cc_rows_init; where one does not, and for lists and vernier fixtures, the cursor serves.
 */
#ifndef CRANKCARD_ROWS_H
#define CRANKCARD_ROWS_H

#include <stdbool.h>
#include <stdint.h>

#include "crankcard/plan.h"

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
};

struct cc_rows_movement {   /* one movement, split into the hands' parts */
    int64_t units, turns, holes, holes2;
    uint64_t hole_forward, hole2_forward;       /* the same modulo the circles */
};

struct cc_rows {            /* for the library's use */
    const struct cc_plan *plan;
    uint64_t next;
    bool circle, exact;
    uint64_t division, block, hole, hole2;
    int64_t units;                          /* where the spindle stands */
    struct cc_rows_movement movement[2];    /* the last ones used, by the parity of their units */
    uint64_t scale_num, scale_den;          /* unit * ratio */
    int64_t nominal, nominal_step;          /* numerators over nominal_den */
    uint64_t nominal_den;
    uint64_t one;                           /* nominal_den * scale_den: T of rows.c */
    int64_t error, error_step;              /* constant: numerators over error_den */
    uint64_t error_den;                     /* scale_num * nominal_den */
    int64_t floor, floor_step;              /* rounded: quotient and rest of (2 x + T) / (2 T) */
    uint64_t rest, rest_step;
};

/*
 * Rows before row `from` (1 or more); false where the plan's numbers do not fit. plan and request must
 * outlive rows. There is nothing to clear.
 */
bool cc_rows_init(struct cc_rows *rows, const struct cc_plan *plan, const struct cc_request *request,
                  uint64_t from);

/* The next row; false when there is none. */
bool cc_rows_next(struct cc_rows *rows, struct cc_row *row);

/*
 * The size of f as a decimal is made from: its whole part is returned, *part is what is below one, in 1/scale,
 * rounded once, halves up: 0 to scale.
 */
uint64_t cc_fraction_split(uint64_t *part, struct cc_fraction f, uint64_t scale);

/* out = f, canonical. */
void cc_fraction_get(mpq_t out, struct cc_fraction f);

#endif
