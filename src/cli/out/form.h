/*
 * form.h: what the records for programs hold. Every field of every record is declared once, with its kind, which says its
 * unit, and a line of meaning, in a table beside its writer:
 *
 *     static const struct field step_fields[] = {
 *         FIELD("steps", COUNT, "movements after row 0"),
 *         MEMBERS("movement", OBJECT, movement_fields, "the movement that is always the same"),
 *         FIELDS_END
 *     };
 *     const struct form step_form = { .name = "step", .fields = step_fields };
 *
 * record.h writes what is declared, in this order, and nothing else. A command names its forms in its struct; from them
 * `crankcard help fields` prints these tables, and docs/generate.py makes those of docs.
 */
#ifndef CRANKCARD_CLI_OUT_FORM_H
#define CRANKCARD_CLI_OUT_FORM_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/length.h"

/* Kinds: name, what it is in JSON (below), in words, and what those mean. */
#define FIELD_KINDS(X) \
    X(TEXT, STRING, "text", "a string") \
    X(DIGITS, DIGITS, "digits", "a whole number of any size: a string of digits") \
    X(NUMBER, NUMBER, "number", "a whole number") \
    X(COUNT, COUNT, "count", "a whole number; beyond 53 bits a string of digits") \
    X(SECONDS, COUNT, "seconds", "a count of seconds of time") \
    X(BOOLEAN, BOOLEAN, "boolean", "true or false") \
    X(EXACT, FRACTION, "exact", "a string holding a fraction in lowest terms, or a whole number") \
    X(REVOLUTIONS, FRACTION, "exact, revolutions", "the same: an angle, of the spindle where nothing else is said") \
    X(TURNS, FRACTION, "exact, crank turns", "the same: turns of the crank") \
    X(MILLIMETRES, FRACTION, "exact, mm", "the same: a length in millimetres, whatever --units says") \
    X(DEGREES, DECIMAL, "degrees", "a number, to 9 decimals") \
    X(ANGLE, DECIMAL, "degrees, 3 decimals", "a number, to 3 decimals: an angle that was measured") \
    X(ARCSEC, DECIMAL, "arcsec", "a number, seconds of arc, to 3 decimals") \
    X(LENGTH, DECIMAL, "mm", "a number, to 6 decimals; with --units in inches, and the name ends in _in") \
    X(DECIMAL, DECIMAL, "decimal", "a number, to 9 decimals at most") \
    X(COUNTS, COUNTS, "counts", "a list of whole numbers; in CSV and TSV divided by blanks") \
    X(NUMBERS, ARRAY, "list of numbers", "a list of whole numbers") \
    X(TEXTS, ARRAY, "list of texts", "a list of strings") \
    X(OBJECT, OBJECT, "object", "its members have its name, a dot and their own in front") \
    X(OBJECTS, ARRAY, "list of objects", "the members of each have [] behind its name")

enum field_kind {
#define X(KIND, JSON, WORDS, MEANING) KIND_##KIND,
    FIELD_KINDS(X)
#undef X
    KINDS
};

/* What is written: which of record.h's functions may write it. */
enum json_kind {
    JSON_STRING, JSON_DIGITS, JSON_NUMBER, JSON_COUNT, JSON_BOOLEAN, JSON_FRACTION, JSON_DECIMAL, JSON_COUNTS, JSON_ARRAY,
    JSON_OBJECT, JSON_NULL  /* null can stand for any */
};

enum field_where { EVERYWHERE, IN_JSON, IN_ROWS /* CSV and TSV */, WHERE_ASKED /* and as a column always */ };

struct field {
    const char *name;               /* of a length: that in millimetres */
    const char *meaning;            /* a line; ends without a full stop */
    const struct field *members;    /* of an object, or of each in a list */
    enum field_kind kind;
    enum field_where where;
};

#define FIELD(NAME, KIND, MEANING) { .name = NAME, .kind = KIND_##KIND, .meaning = MEANING }
#define FIELD_ONLY(WHERE, NAME, KIND, MEANING) { .name = NAME, .kind = KIND_##KIND, .meaning = MEANING, .where = WHERE }
#define MEMBERS(NAME, KIND, TABLE, MEANING) { .name = NAME, .kind = KIND_##KIND, .meaning = MEANING, .members = TABLE }
#define FIELDS_END { .name = NULL }

/* The fields that the first record of an answer begins with, and any other. */
#define LEADING_FIELDS(NAME) FIELD("record", TEXT, "\"" NAME "\""), FIELD_ONLY(IN_JSON, "schema", NUMBER, "1")
#define ANSWER_FIELDS(NAME) LEADING_FIELDS(NAME), FIELD("command", TEXT, "the command that was given")
#define RECORD_FIELD(NAME) FIELD("record", TEXT, "\"" NAME "\"")

struct form {
    const char *name;
    const struct field *fields;     /* FIELDS_END at the end */
    /*
     * The columns of CSV and TSV, by name, a member of an object by the path to it ("movement.turns": its header is what stands
     * behind the last dot), divided by commas. NULL: all fields that are not lists; OWN_COLUMNS: those behind the leading ones.
     */
    const char *columns;
};

#define OWN_COLUMNS ""

/* What a kind is. */
enum json_kind kind_json(enum field_kind kind);
const char *kind_words(enum field_kind kind);
const char *kind_meaning(enum field_kind kind);

/* The field's name in this unit. */
void field_name(char *buf, size_t size, const struct field *field, enum cc_unit unit);

/* The i-th column of CSV and TSV, from 0, and the path to it; NULL, and an empty path, behind the last. */
const struct field *form_column(char *path, size_t size, const struct form *form, size_t i);

#endif
