/*
 * csv.h: rows for spreadsheets (RFC 4180: CRLF, quotes where needed) and for pipes (TSV: LF, no quoting,
 * tabs and line ends inside a field become blanks).
 */
#ifndef CRANKCARD_CLI_CSV_H
#define CRANKCARD_CLI_CSV_H

#include <stdbool.h>
#include <stdio.h>

struct csv {
    FILE *out;
    bool tabs;          /* TSV */
    bool started;       /* a field was written in this row */
};

void csv_init(struct csv *csv, FILE *out, bool tabs);
void csv_field(struct csv *csv, const char *text);      /* NULL is an empty field */
void csv_end_row(struct csv *csv);

/* A header: names divided by commas. */
void csv_header(struct csv *csv, const char *names);

#endif
