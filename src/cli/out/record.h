/*
 * record.h: one flat record in any of the formats for programs, written from one place: a JSON
 * object (jsonl), or a row under a header (csv, tsv). A list of counts is an array, or a cell "24 40".
 *
 *     record_init(&r, out, format);
 *     while (record_begin(&r, "lead")) {       once for a JSON object; for the first row of a table
 *         record_number(&r, "rank", 1);        twice: the header's names, then the values
 *         record_end(&r);
 *     }
 */
#ifndef CRANKCARD_CLI_OUT_RECORD_H
#define CRANKCARD_CLI_OUT_RECORD_H

#include "crankcard/length.h"
#include "cli/ask/output.h"
#include "cli/out/csv.h"
#include "cli/out/json.h"

struct record {
    FILE *out;
    bool table;         /* csv or tsv */
    bool header_done;
    bool open;          /* a record was begun and waits to be asked again */
    bool header;        /* this pass writes names */
    struct json json;
    struct csv csv;
};

void record_init(struct record *r, FILE *out, enum format format);

/* Begin a pass; false when the record is complete. */
bool record_begin(struct record *r, const char *name);
void record_end(struct record *r);

void record_string(struct record *r, const char *key, const char *text);    /* NULL is null or empty */
void record_number(struct record *r, const char *key, long long value);
void record_bool(struct record *r, const char *key, bool value);
void record_null(struct record *r, const char *key);
void record_rational(struct record *r, const char *key, mpq_srcptr value);     /* NULL is null or empty */
void record_degrees(struct record *r, const char *key, const mpq_t revolutions);    /* to 9 decimals */
void record_arcsec(struct record *r, const char *key, const mpq_t revolutions);     /* to 3 decimals */
void record_double(struct record *r, const char *key, double value, unsigned decimals);

/* A length under the name stem_mm, or stem_in where inches were asked for, rounded once to 6 decimals. */
void record_length(struct record *r, const char *stem, enum cc_unit unit, const mpq_t mm);
void record_length_d(struct record *r, const char *stem, enum cc_unit unit, double mm);
void record_no_length(struct record *r, const char *stem, enum cc_unit unit);     /* null */

void record_counts(struct record *r, const char *key, const unsigned *at, size_t n);

#endif
