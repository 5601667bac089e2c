/*
 * marks.h: graduating. Which lines of a dial are longer, and which carry a numeral: the label of a row.
 */
#ifndef CRANKCARD_CLI_JOB_MARKS_H
#define CRANKCARD_CLI_JOB_MARKS_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/status.h"
#include "cli/ask/args.h"

#define MAX_MARKS 8         /* classes of line */
#define MAX_MARK_NAME 24    /* bytes of a class's name */

struct marks {
    struct {
        uint64_t every;
        char name[MAX_MARK_NAME + 1];
    } at[MAX_MARKS];
    size_t n;
    uint64_t number;        /* a numeral at every such line; 0 for none */
    uint64_t first;         /* what the first line is counted as */
    bool has_value;
    mpq_t value;            /* of one division */
    unsigned decimals;      /* as typed in --value */
    bool fraction;          /* --value was typed as a fraction: numerals are fractions too */
};

void marks_init(struct marks *marks);
void marks_clear(struct marks *marks);

/* Whether rows get labels from here. */
bool marks_given(const struct marks *marks);

/* --mark, --number and --value, into a struct marks. */
extern const struct option_row marks_options[];
#define MARKS_OPTIONS(T, m) { marks_options, PLACE(T, m, struct marks), NULL }

/* After all options: whether they go together. */
bool marks_check(const struct marks *marks, struct cc_error *err);

/*
 * The label of line index, counted from 0: the class of the largest --mark that divides it, then its
 * numeral, as in "long 0.010". Returns buf (64 bytes or more), or NULL where the line has neither.
 */
const char *marks_label(const struct marks *marks, uint64_t index, char *buf, size_t size);

#endif
