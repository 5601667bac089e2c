/*
 * csv.h: rows for spreadsheets (RFC 4180: CRLF, quotes where needed) and for pipes (TSV: LF, no quoting,
 * tabs and line ends inside a field become blanks).
 *
 * A spreadsheet takes 10/7 for a date, =1+1 for something to work out, and keeps 15 digits of a number. So in CSV an
 * exact value is two cells, NAME_num and NAME_den, and what would be taken for something else has a ' in front.
 */
#ifndef CRANKCARD_CLI_OUT_CSV_H
#define CRANKCARD_CLI_OUT_CSV_H

#include <stdio.h> /* before gmp.h, which declares its stream functions only then */

#include <gmp.h>
#include <stdbool.h>

#define CSV_MOST_DIGITS 15

struct csv {
    FILE *out;
    bool tabs;          /* TSV */
    bool started;       /* a field was written in this row */
};

void csv_init(struct csv *csv, FILE *out, bool tabs);
void csv_field(struct csv *csv, const char *text);      /* a text; NULL is an empty field */
void csv_bool(struct csv *csv, bool value);             /* true or false */
void csv_number(struct csv *csv, long long value);
void csv_count(struct csv *csv, const mpz_t value);
void csv_rational(struct csv *csv, mpq_srcptr value);   /* 5/7, in CSV two fields; NULL is empty */
void csv_decimal(struct csv *csv, const mpq_t value, unsigned decimals);
void csv_digits(struct csv *csv, const char *text);     /* a number already written; NULL is an empty field */
void csv_counts(struct csv *csv, const unsigned *at, size_t n); /* 24 40: a text */

/* Whether a spreadsheet would make a number, a date or a formula of the text. */
bool csv_would_be_spoilt(const char *text);

void csv_end_row(struct csv *csv);

/* Of a header: a name, and the names of an exact value. */
void csv_name(struct csv *csv, const char *name);
void csv_exact_name(struct csv *csv, const char *name);

#endif
