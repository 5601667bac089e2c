/* draw_table.h: the counts that a head serves, and how, as a field of signs. */
#ifndef CRANKCARD_CLI_OUT_DRAW_TABLE_H
#define CRANKCARD_CLI_OUT_DRAW_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "crankcard/status.h"

#define FIELD_MOST 3000     /* counts in one field, most */

struct field_count {
    uint64_t count;
    unsigned method;        /* enum cc_method; CC_METHODS where there is none */
    bool blocks, within, exact;
};

/*
 * Draw the n counts (sorted here). Returns false with err filled where they are spread over more rows than a page has.
 */
bool write_field(FILE *out, const char *head_title, const char *summary, struct field_count *counts, size_t n,
                 struct cc_error *err);

#endif
