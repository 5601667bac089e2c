/*
 * record.h: a record in any of the formats for programs, written from one place: a JSON object (jsonl), or a row under
 * a header (csv, tsv).
 *
 *     record_init(&r, out, output, &lead_form);
 *     record_begin(&r, &lead_form);
 *     record_number(&r, "rank", 1);
 *     record_end(&r);
 *     record_clear(&r);
 *
 * What a record holds is declared in its form (form.h), and in JSON held to it: a field that is not declared, or not
 * next, or of another kind, or left out, ends the program with its name. Any run that writes the record shows it.
 *
 * Objects and arrays are members of the JSON object. In a row a member of an object has the path to it for its name
 * ("movement.turns"), and what is in an array is left out; a list of counts is an array, or a cell "24 40".
 */
#ifndef CRANKCARD_CLI_OUT_RECORD_H
#define CRANKCARD_CLI_OUT_RECORD_H

#include <stdint.h>
#include <stdio.h> /* before gmp.h, which declares its stream functions only then */

#include "crankcard/length.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"

#define RECORD_MOST_COLUMNS 96
#define RECORD_MOST_DEPTH 8

struct record {
    FILE *out;
    enum cc_unit unit;      /* of lengths */
    bool table, tabs;       /* csv or tsv; tsv */
    /* JSON */
    bool comma;             /* before the next member */
    struct record_level {   /* what is open: the record, objects and arrays in it */
        const struct field *next;   /* of the members, the one to be written; NULL: an array */
        const struct field *each;   /* of an array of objects: the members of each */
    } level[RECORD_MOST_DEPTH];
    unsigned depth;
    /* a table */
    char path[48];          /* of the objects that are open */
    unsigned hidden;        /* arrays that are open */
    FILE *cells;            /* the cells of a row, into held */
    char *held;
    size_t length;
    size_t columns;
    struct record_column {
        char path[48];
        bool exact;
        long from, to;      /* its cell, in held */
    } column[RECORD_MOST_COLUMNS], *open;   /* the column whose cell is being written, or NULL */
};

/* form: that of the rows of a table, whose header is written at once. A cell that a record has not is empty. */
void record_init(struct record *r, FILE *out, const struct output *output, const struct form *form);
void record_clear(struct record *r);

/* Begin a record with what its form leads with: record, schema and command, as far as they are declared. */
void record_begin(struct record *r, const struct form *form, const char *command);
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

/* What could not be answered: on this line of a batch (0: none), for so many divisions (0: it is not said). */
extern const struct form error_form;
void record_error(struct record *r, uint64_t line, int status, const char *message, uint64_t divisions);

#endif
