/*
 * csv.h: rows for spreadsheets (RFC 4180: CRLF, quotes where needed) and for pipes (TSV: LF, no quoting,
 * tabs and line ends inside a field become blanks).
 */
#ifndef CRANKCARD_CLI_OUT_CSV_H
#define CRANKCARD_CLI_OUT_CSV_H

#include <stdio.h> /* before gmp.h, which declares its stream functions only then */

#include <gmp.h>
#include <stdbool.h>

struct csv {
    FILE *out;
    bool tabs;          /* TSV */
    bool started;       /* a field was written in this row */
};

void csv_init(struct csv *csv, FILE *out, bool tabs);
void csv_field(struct csv *csv, const char *text);      /* NULL is an empty field */
void csv_bool(struct csv *csv, bool value);             /* true or false */
void csv_number(struct csv *csv, long long value);
void csv_rational(struct csv *csv, const mpq_t value);  /* 5/7 */
void csv_decimal(struct csv *csv, const mpq_t value, unsigned decimals);
void csv_degrees(struct csv *csv, const mpq_t revolutions);     /* to 9 decimals */
void csv_arcsec(struct csv *csv, const mpq_t revolutions);      /* to 3 decimals */
void csv_counts(struct csv *csv, const unsigned *at, size_t n); /* 24 40 */

void csv_end_row(struct csv *csv);

/* A header: names divided by commas. */
void csv_header(struct csv *csv, const char *names);

#endif
