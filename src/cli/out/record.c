/* record.c: see record.h. */
#define _POSIX_C_SOURCE 200809L     /* open_memstream */
#include "cli/out/record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/base/memory.h"
#include "cli/out/quantities.h"

/* ---- what is declared ---- */

static void refuse(const char *name)
{
    fprintf(stderr, "crankcard: a record's field '%s' is not what its form (form.h) has here\n", name);
    abort();
}

static bool is_named(const struct field *field, const char *key, enum cc_unit unit)
{
    char name[48];

    if (field->kind != KIND_LENGTH)
        return strcmp(field->name, key) == 0;
    field_name(name, sizeof name, field, unit);
    return strcmp(name, key) == 0;
}

/* JSON: the field of that name is written; it must be the next one, and of that kind. Returns it; NULL in an array. */
static const struct field *take(struct record *r, const char *key, enum json_kind json)
{
    const struct field *f = r->level[r->depth].next;

    if (f == NULL)
        return NULL;
    while (f->name != NULL && (f->where == IN_ROWS || (f->where == WHERE_ASKED && !is_named(f, key, r->unit))))
        f++;
    if (f->name == NULL || !is_named(f, key, r->unit) || (json != JSON_NULL && json != kind_json(f->kind)))
        refuse(key);
    r->level[r->depth].next = f + 1;
    return f;
}

/* JSON: nothing that must be there is left out. */
static void all_taken(const struct record *r)
{
    const struct field *f = r->level[r->depth].next;

    while (f->name != NULL && (f->where == IN_ROWS || f->where == WHERE_ASKED))
        f++;
    if (f->name != NULL)
        refuse(f->name);
}

/* ---- rows ---- */

static void put_header(struct record *r)
{
    struct csv csv;

    csv_init(&csv, r->out, r->csv.tabs);
    for (size_t i = 0; i < r->columns; i++) {
        const char *dot = strrchr(r->column[i].path, '.'), *name = dot != NULL ? dot + 1 : r->column[i].path;
        if (r->column[i].exact)
            csv_exact_name(&csv, name);
        else
            csv_name(&csv, name);
    }
    csv_end_row(&csv);
}

static void set_columns(struct record *r, const struct form *form)
{
    struct record_column *c = r->column;
    const struct field *f;

    while (r->columns < RECORD_MOST_COLUMNS && (f = form_column(c->path, sizeof c->path, form, r->columns)) != NULL) {
        if (f->kind == KIND_LENGTH)
            field_name(c->path, sizeof c->path, f, r->unit);
        c->exact = kind_json(f->kind) == JSON_FRACTION;
        r->columns = (size_t)(++c - r->column);
    }
    if (c->path[0] != '\0')
        refuse(c->path);
}

static void close_cell(struct record *r)
{
    if (r->open != NULL)
        r->open->to = ftell(r->csv.out);
    r->open = NULL;
}

/* The bytes of each cell; where there are none, as many empty fields as it has columns. */
static void put_row(struct record *r)
{
    for (const struct record_column *c = r->column; c < r->column + r->columns; c++) {
        if (c > r->column)
            putc(r->csv.tabs ? '\t' : ',', r->out);
        if (c->to > c->from)
            fwrite(r->held + c->from, 1, (size_t)(c->to - c->from), r->out);
        else if (c->exact && !r->csv.tabs)
            putc(',', r->out);
    }
    fputs(r->csv.tabs ? "\n" : "\r\n", r->out);
}

/* Begin a field: in a table a cell, and true. What has no column is written where nobody looks. */
static bool cell(struct record *r, const char *key, enum json_kind json)
{
    char path[64];

    if (!r->table) {
        take(r, key, json);
        return false;
    }
    close_cell(r);
    if (r->hidden == 0) {
        snprintf(path, sizeof path, "%s%s", r->path, key);
        for (size_t i = 0; i < r->columns && r->open == NULL; i++)
            if (strcmp(r->column[i].path, path) == 0)
                r->open = &r->column[i];
    }
    if (r->open != NULL)
        r->open->from = ftell(r->csv.out);
    r->csv.started = false;
    return true;
}

/* ---- records ---- */

void record_init(struct record *r, FILE *out, const struct output *output, const struct form *form)
{
    *r = (struct record){ .out = out, .unit = output->unit, .table = output->format != FORMAT_JSONL };
    if (!r->table)
        return;
    FILE *held = open_memstream(&r->held, &r->length);
    if (held == NULL)
        memory_exhausted();
    csv_init(&r->csv, held, output->format == FORMAT_TSV);
    set_columns(r, form);
    put_header(r);
}

void record_clear(struct record *r)
{
    if (!r->table)
        return;
    fclose(r->csv.out);
    free(r->held);
}

void record_begin(struct record *r, const struct form *form, const char *command)
{
    if (r->table) {
        for (size_t i = 0; i < r->columns; i++)
            r->column[i].from = r->column[i].to = 0;
        rewind(r->csv.out);
    } else {
        r->depth = 0;
        r->level[0].next = form->fields;
        json_open(&r->json, r->out);
    }
    record_string(r, "record", form->name);
    if (!r->table && strcmp(form->fields[1].name, "schema") == 0)
        record_number(r, "schema", 1);
    if (command != NULL)
        record_string(r, "command", command);
}

void record_end(struct record *r)
{
    if (!r->table) {
        all_taken(r);
        json_close(&r->json);
        return;
    }
    close_cell(r);
    if (fflush(r->csv.out) != 0)
        memory_exhausted();
    put_row(r);
}

static void go_in(struct record *r, const struct field *next, const struct field *each)
{
    r->level[++r->depth] = (struct record_level){ next, each };
}

void record_object(struct record *r, const char *key)
{
    size_t used = strlen(r->path);

    if (!r->table) {
        const struct field *f = take(r, key, JSON_OBJECT);
        go_in(r, f != NULL ? f->members : r->level[r->depth].each, NULL);
        json_open_object(&r->json, key);
    } else if (r->hidden == 0) {
        snprintf(r->path + used, sizeof r->path - used, "%s.", key);
    }
}

void record_object_end(struct record *r)
{
    if (!r->table) {
        all_taken(r);
        r->depth--;
        json_close_object(&r->json);
    } else if (r->hidden == 0) {
        r->path[strlen(r->path) - 1] = '\0';
        char *dot = strrchr(r->path, '.');
        (dot != NULL ? dot + 1 : r->path)[0] = '\0';
    }
}

void record_array(struct record *r, const char *key)
{
    if (r->table) {
        r->hidden++;
        return;
    }
    go_in(r, NULL, take(r, key, JSON_ARRAY)->members);
    json_open_array(&r->json, key);
}

void record_array_end(struct record *r)
{
    if (r->table) {
        r->hidden--;
        return;
    }
    r->depth--;
    json_close_array(&r->json);
}

/* ---- fields ---- */

void record_string(struct record *r, const char *key, const char *text)
{
    if (cell(r, key, text != NULL ? JSON_STRING : JSON_NULL))
        csv_field(&r->csv, text);
    else
        json_string(&r->json, key, text);
}

void record_number(struct record *r, const char *key, long long value)
{
    if (cell(r, key, JSON_NUMBER))
        csv_number(&r->csv, value);
    else
        json_number(&r->json, key, value);
}

void record_count(struct record *r, const char *key, uint64_t value)
{
    mpz_t n;

    mpz_init(n);
    cc_set_u64(n, value);
    if (cell(r, key, JSON_COUNT))
        csv_count(&r->csv, n);
    else
        json_count(&r->json, key, n);
    mpz_clear(n);
}

void record_whole(struct record *r, const char *key, const mpz_t value)
{
    mpq_t n;

    if (cell(r, key, JSON_DIGITS)) {
        csv_count(&r->csv, value);
        return;
    }
    mpq_init(n);
    mpq_set_z(n, value);
    json_rational(&r->json, key, n);
    mpq_clear(n);
}

void record_bool(struct record *r, const char *key, bool value)
{
    if (cell(r, key, JSON_BOOLEAN))
        csv_bool(&r->csv, value);
    else
        json_bool(&r->json, key, value);
}

void record_null(struct record *r, const char *key)
{
    if (!cell(r, key, JSON_NULL))
        json_null(&r->json, key);
}

void record_rational(struct record *r, const char *key, mpq_srcptr value)
{
    bool table = cell(r, key, value != NULL ? JSON_FRACTION : JSON_NULL);

    if (value == NULL && !table)
        json_null(&r->json, key);
    else if (!table)
        json_rational(&r->json, key, value);
    else if (value != NULL)
        csv_rational(&r->csv, value);
}

static void record_decimal(struct record *r, const char *key, const mpq_t value, unsigned decimals)
{
    if (cell(r, key, JSON_DECIMAL))
        csv_decimal(&r->csv, value, decimals);
    else
        json_decimal(&r->json, key, value, decimals);
}

static void record_scaled(struct record *r, const char *key, mpq_srcptr value, unsigned decimals,
                          void (*scale)(mpq_t, const mpq_t))
{
    mpq_t scaled;

    if (value == NULL) {
        record_null(r, key);
        return;
    }
    mpq_init(scaled);
    scale(scaled, value);
    record_decimal(r, key, scaled, decimals);
    mpq_clear(scaled);
}

void record_degrees(struct record *r, const char *key, mpq_srcptr revolutions)
{
    record_scaled(r, key, revolutions, 9, cc_angle_degrees);
}

void record_arcsec(struct record *r, const char *key, mpq_srcptr revolutions)
{
    record_scaled(r, key, revolutions, 3, cc_angle_arcsec);
}

void record_double(struct record *r, const char *key, double value, unsigned decimals)
{
    mpq_t exact;

    if (!isfinite(value)) {
        record_null(r, key);
        return;
    }
    mpq_init(exact);
    mpq_set_d(exact, value);
    record_decimal(r, key, exact, decimals);
    mpq_clear(exact);
}

void record_measured(struct record *r, const char *key, double value, unsigned decimals)
{
    char text[400];

    if (!cell(r, key, JSON_DECIMAL)) {
        json_double(&r->json, key, value, decimals);
        return;
    }
    json_double_str(text, sizeof text, value, decimals);
    csv_digits(&r->csv, isfinite(value) ? text : NULL);
}

void record_counts(struct record *r, const char *key, const unsigned *at, size_t n)
{
    if (cell(r, key, JSON_COUNTS)) {
        csv_counts(&r->csv, at, n);
        return;
    }
    json_open_array(&r->json, key);
    for (size_t i = 0; i < n; i++)
        json_number(&r->json, NULL, at[i]);
    json_close_array(&r->json);
}

void record_number_if(struct record *r, bool applies, const char *key, long long value)
{
    if (applies)
        record_number(r, key, value);
    else
        record_null(r, key);
}

void record_count_if(struct record *r, bool applies, const char *key, uint64_t value)
{
    if (applies)
        record_count(r, key, value);
    else
        record_null(r, key);
}

void record_whole_if(struct record *r, bool applies, const char *key, uint64_t value)
{
    mpz_t n;

    if (!applies) {
        record_null(r, key);
        return;
    }
    mpz_init(n);
    cc_set_u64(n, value);
    record_whole(r, key, n);
    mpz_clear(n);
}

void record_bool_if(struct record *r, bool applies, const char *key, bool value)
{
    if (applies)
        record_bool(r, key, value);
    else
        record_null(r, key);
}

/* ---- lengths ---- */

void record_length(struct record *r, const char *stem, mpq_srcptr mm)
{
    char key[64];
    mpq_t value;

    snprintf(key, sizeof key, "%s_%s", stem, cc_unit_name(r->unit));
    if (mm == NULL) {
        record_null(r, key);
        return;
    }
    mpq_init(value);
    in_unit_exact(value, mm, r->unit);
    record_decimal(r, key, value, 6);
    mpq_clear(value);
}

void record_length_d(struct record *r, const char *stem, double mm)
{
    mpq_t exact;

    if (!isfinite(mm)) {
        record_length(r, stem, NULL);
        return;
    }
    mpq_init(exact);
    mpq_set_d(exact, mm);
    record_length(r, stem, exact);
    mpq_clear(exact);
}

/* ---- what could not be answered ---- */

static const struct field error_fields[] = {
    RECORD_FIELD("error"),
    FIELD("line", COUNT, "line of the batch file; null outside of a batch"),
    FIELD("status", NUMBER, "the exit status that the request would have had: 1 or 2"),
    FIELD("message", TEXT, "one line, as it would stand on standard error"),
    FIELD_ONLY(WHERE_ASKED, "divisions", DIGITS, "of table: the count"),
    FIELDS_END
};
const struct form error_form = { .name = "error", .fields = error_fields };

void record_error(struct record *r, uint64_t line, int status, const char *message, uint64_t divisions)
{
    record_begin(r, &error_form, NULL);
    record_count_if(r, line != 0, "line", line);
    record_number(r, "status", status);
    record_string(r, "message", message);
    if (divisions != 0)
        record_whole_if(r, true, "divisions", divisions);
    record_end(r);
}
