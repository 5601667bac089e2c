/*
 * record.h: a record in any of the formats for programs, written from one place: a JSON object (jsonl), or a row under
 * a header (csv, tsv).
 *
 *     record_init(&r, out, output, NULL);
 *     record_lead(&r, "lead", "lead");
 *     record_number(&r, "rank", 1);
 *     record_end(&r);
 *     record_clear(&r);
 *
 * Objects and arrays are members of the JSON object. In a row a member of an object has the path to it for its name
 * ("movement.turns"), and what is in an array is left out; a list of counts is an array, or a cell "24 40".
 */
#ifndef CRANKCARD_CLI_OUT_RECORD_H
#define CRANKCARD_CLI_OUT_RECORD_H

#include <stdint.h>

#include "crankcard/length.h"
#include "cli/ask/output.h"
#include "cli/out/csv.h"
#include "cli/out/json.h"

#define RECORD_MOST_CELLS 128

struct record {
    FILE *out;
    enum cc_unit unit;      /* of lengths */
    bool table;             /* csv or tsv */
    const char *columns;
    bool header_done;
    char path[48];          /* of the objects that are open, in a table */
    unsigned hidden;        /* arrays that are open, in a table */
    struct json json;
    struct csv csv;         /* writes the cells of a row into memory */
    char *held;
    size_t length;
    size_t cells;
    struct record_cell {
        char name[48];
        long start;         /* in held; it goes to where the next begins */
        bool exact;
    } cell[RECORD_MOST_CELLS];
};

/*
 * columns: the names of the cells that make a row, in this order, divided by commas, a / behind those of exact values;
 * the header, written at once, has what stands behind the last dot. A cell that a record has twice counts as the later one
 * says, one that it has not is empty. NULL: all cells, as they come, under a header with the first record.
 */
void record_init(struct record *r, FILE *out, const struct output *output, const char *columns);
void record_clear(struct record *r);

void record_begin(struct record *r, const char *name);
void record_lead(struct record *r, const char *name, const char *command);     /* that of an answer; command may be NULL */
void record_end(struct record *r);

void record_object(struct record *r, const char *key);      /* key is NULL in an array */
void record_object_end(struct record *r);
void record_array(struct record *r, const char *key);
void record_array_end(struct record *r);

void record_string(struct record *r, const char *key, const char *text);    /* NULL is null or empty */
void record_number(struct record *r, const char *key, long long value);
void record_count(struct record *r, const char *key, uint64_t value);       /* a string beyond 53 bits */
void record_whole(struct record *r, const char *key, const mpz_t value);    /* always a string in JSON */
void record_bool(struct record *r, const char *key, bool value);
void record_null(struct record *r, const char *key);
void record_rational(struct record *r, const char *key, mpq_srcptr value);  /* NULL is null or empty, in the next two too */
void record_degrees(struct record *r, const char *key, mpq_srcptr revolutions);     /* to 9 decimals */
void record_arcsec(struct record *r, const char *key, mpq_srcptr revolutions);      /* to 3 decimals */
void record_double(struct record *r, const char *key, double value, unsigned decimals);  /* not finite is null */
void record_measured(struct record *r, const char *key, double value, unsigned decimals);    /* the same, as json_double rounds */
void record_counts(struct record *r, const char *key, const unsigned *at, size_t n);

/* Null, or empty, unless it applies. */
void record_number_if(struct record *r, bool applies, const char *key, long long value);
void record_count_if(struct record *r, bool applies, const char *key, uint64_t value);
void record_whole_if(struct record *r, bool applies, const char *key, uint64_t value);
void record_bool_if(struct record *r, bool applies, const char *key, bool value);

/* A length under the name stem_mm, or stem_in where inches were asked for, rounded once to 6 decimals; NULL is null. */
void record_length(struct record *r, const char *stem, mpq_srcptr mm);
void record_length_d(struct record *r, const char *stem, double mm);        /* not finite is null */

#endif
