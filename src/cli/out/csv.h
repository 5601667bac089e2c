/*
 * csv.h: what stands in a field of a table for spreadsheets (CSV, RFC 4180: quotes where needed) or for pipes (TSV: no
 * quoting, tabs and line ends inside a field become blanks).
 *
 * A spreadsheet takes 10/7 for a date, =1+1 for something to work out, and keeps 15 digits of a number. So in CSV an
 * exact value is two fields, and what would be taken for something else has a ' in front.
 */
#ifndef CRANKCARD_CLI_OUT_CSV_H
#define CRANKCARD_CLI_OUT_CSV_H

#include <stdbool.h>
#include <stdio.h>

#define CSV_MOST_DIGITS 15

/* Whether a spreadsheet would make a number, a date or a formula of the text. */
bool csv_would_be_spoilt(const char *text);

void csv_text(FILE *out, const char *text, bool tabs);
void csv_whole(FILE *out, const char *digits);      /* CSV: a whole number */
void csv_fraction(FILE *out, const char *text);     /* CSV: 5/7 or 5, two fields */

#endif
