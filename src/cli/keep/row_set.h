/*
 * row_set.h: which rows of a job are made: runs of rows, so that a job of any length takes little room.
 */
#ifndef CRANKCARD_CLI_KEEP_ROW_SET_H
#define CRANKCARD_CLI_KEEP_ROW_SET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct row_run {
    uint64_t first, last;
};

struct row_set {            /* all zero: empty */
    struct row_run *run;    /* in order; at least one row lies between two of them */
    size_t n, room;
};

void row_set_clear(struct row_set *set);

/* first is at most last, and last below UINT64_MAX. */
void row_set_add(struct row_set *set, uint64_t first, uint64_t last);
void row_set_remove(struct row_set *set, uint64_t row);

bool row_set_has(const struct row_set *set, uint64_t row);

/* How many of the rows first to last are in it. */
uint64_t row_set_count(const struct row_set *set, uint64_t first, uint64_t last);

/* The first run of rows from *first on, up to last, that are not in it; false where all are. */
bool row_set_gap(struct row_run *gap, const struct row_set *set, uint64_t first, uint64_t last);

#endif
