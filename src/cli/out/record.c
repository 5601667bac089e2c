/* record.c: see record.h. */
#include "cli/out/record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/base/memory.h"
#include "cli/out/csv.h"
#include "cli/out/digits.h"
#include "cli/out/json.h"
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

static void put_header(const struct record *r)
{
    for (size_t i = 0; i < r->columns; i++) {
        const char *dot = strrchr(r->column[i].path, '.'), *name = dot != NULL ? dot + 1 : r->column[i].path;
        fprintf(r->out, "%s%s", i == 0 ? "" : r->tabs ? "\t" : ",", name);
        if (r->column[i].exact && !r->tabs)
            fprintf(r->out, "_num,%s_den", name);
    }
    fputs(r->tabs ? "\n" : "\r\n", r->out);
}

static void set_columns(struct record *r, const struct form *form)
{
    struct record_column *c = r->column;
    const struct field *f;

    while (r->columns < RECORD_MOST_COLUMNS && (f = form_column(c->path, sizeof c->path, form, r->columns)) != NULL) {
        char *dot = strrchr(c->path, '.'), *name = dot != NULL ? dot + 1 : c->path;
        if (f->kind == KIND_LENGTH)
            field_name(name, sizeof c->path - (size_t)(name - c->path), f, r->unit);
        c->exact = kind_json(f->kind) == JSON_FRACTION;
        r->columns = (size_t)(++c - r->column);
    }
    if (c->path[0] != '\0')
        refuse(c->path);
}

static void close_cell(struct record *r)
{
    if (r->open != NULL)
        r->open->to = ftell(r->cells);
    r->open = NULL;
}

/* The bytes of each cell; where there are none, as many empty fields as it has columns. */
static void put_row(struct record *r)
{
    for (const struct record_column *c = r->column; c < r->column + r->columns; c++) {
        if (c > r->column)
            putc(r->tabs ? '\t' : ',', r->out);
        if (c->to > c->from)
            fwrite(r->held + c->from, 1, (size_t)(c->to - c->from), r->out);
        else if (c->exact && !r->tabs)
            putc(',', r->out);
    }
    fputs(r->tabs ? "\n" : "\r\n", r->out);
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
        r->open->from = ftell(r->cells);
    return true;
}

/* ---- JSON ---- */

static void put_quoted(FILE *out, const char *text)
{
    putc('"', out);
    fputs(text, out);
    putc('"', out);
}

/* What stands before a value; key is NULL in an array. */
static void begin(struct record *r, const char *key)
{
    if (r->comma)
        putc(',', r->out);
    if (key != NULL) {
        put_quoted(r->out, key);
        putc(':', r->out);
    }
    r->comma = true;
}

static void open_list(struct record *r, const char *key, char bracket)
{
    begin(r, key);
    putc(bracket, r->out);
    r->comma = false;
}

static void close_list(struct record *r, char bracket)
{
    putc(bracket, r->out);
    r->comma = true;
    r->depth--;
}

/* ---- records ---- */

void record_init(struct record *r, FILE *out, const struct output *output, const struct form *form)
{
    *r = (struct record){ .out = out, .unit = output->unit, .table = output->format != FORMAT_JSONL, .tabs = output->format == FORMAT_TSV };
    if (!r->table)
        return;
    set_columns(r, form);
    put_header(r);
}

void record_clear(struct record *r)
{
    if (!r->table)
        return;
    if (r->cells != NULL)
        fclose(r->cells);
    free(r->held);
}

void record_begin(struct record *r, const struct form *form, const char *command)
{
    if (r->table) {
        if (r->cells == NULL)   /* only now: a table may be written by others (fast_plan.h) */
            r->cells = memory_stream(&r->held, &r->length);
        for (size_t i = 0; i < r->columns; i++)
            r->column[i].from = r->column[i].to = 0;
        rewind(r->cells);
    } else {
        r->depth = 0;
        r->level[0].next = form->fields;
        r->comma = false;
        open_list(r, NULL, '{');
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
        fputs("}\n", r->out);
        return;
    }
    close_cell(r);
    if (fflush(r->cells) != 0)
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
        open_list(r, key, '{');
    } else if (r->hidden == 0) {
        snprintf(r->path + used, sizeof r->path - used, "%s.", key);
    }
}

void record_object_end(struct record *r)
{
    if (!r->table) {
        all_taken(r);
        close_list(r, '}');
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
    open_list(r, key, '[');
}

void record_array_end(struct record *r)
{
    if (r->table) {
        r->hidden--;
        return;
    }
    close_list(r, ']');
}

/* ---- fields ---- */

static bool is_quoted(enum json_kind json, const char *text)
{
    return json == JSON_STRING || json == JSON_DIGITS || json == JSON_FRACTION || (json == JSON_COUNT && strtoull(text, NULL, 10) >> 53 != 0);
}

/* A field as text; NULL is null, or empty. */
static void put(struct record *r, const char *key, enum json_kind json, const char *text)
{
    if (!cell(r, key, text != NULL ? json : JSON_NULL)) {
        begin(r, key);
        if (text == NULL)
            fputs("null", r->out);
        else if (json == JSON_STRING)
            json_text(r->out, text);
        else if (is_quoted(json, text))
            put_quoted(r->out, text);
        else
            fputs(text, r->out);
    } else if (text != NULL) {
        if (json == JSON_STRING || json == JSON_COUNTS)
            csv_text(r->cells, text, r->tabs);
        else if (r->tabs || json == JSON_DECIMAL)
            fputs(text, r->cells);
        else if (json == JSON_FRACTION)
            csv_fraction(r->cells, text);
        else
            csv_whole(r->cells, text);
    }
}

void record_string(struct record *r, const char *key, const char *text)
{
    put(r, key, JSON_STRING, text);
}

void record_null(struct record *r, const char *key)
{
    put(r, key, JSON_NULL, NULL);
}

void record_bool(struct record *r, const char *key, bool value)
{
    put(r, key, JSON_BOOLEAN, value ? "true" : "false");
}

void record_number(struct record *r, const char *key, long long value)
{
    char text[24];

    *digits_signed(text, value) = '\0';
    put(r, key, JSON_NUMBER, text);
}

void record_count(struct record *r, const char *key, uint64_t value)
{
    char text[24];

    *digits_put(text, value) = '\0';
    put(r, key, JSON_COUNT, text);
}

void record_whole_if(struct record *r, bool applies, const char *key, uint64_t value)
{
    char text[24];

    *digits_put(text, value) = '\0';
    put(r, key, JSON_DIGITS, applies ? text : NULL);
}

/* An exact value, as fraction or decimal, of any length. */
static void put_exact(struct record *r, const char *key, enum json_kind json, const mpq_t value, unsigned decimals)
{
    char small[256], *text = small;
    size_t size = sizeof small;

    for (;;) {
        size_t length = json == JSON_DECIMAL ? cc_decimal_short_str(text, size, value, decimals) : cc_rational_str(text, size, value);
        if (length < size)
            break;
        size = length + 1;
        text = memory_get(size);
    }
    put(r, key, json, text);
    if (text != small)
        free(text);
}

void record_whole(struct record *r, const char *key, const mpz_t value)
{
    mpq_t n;

    mpq_init(n);
    mpq_set_z(n, value);
    put_exact(r, key, JSON_DIGITS, n, 0);
    mpq_clear(n);
}

void record_rational(struct record *r, const char *key, mpq_srcptr value)
{
    if (value != NULL)
        put_exact(r, key, JSON_FRACTION, value, 0);
    else
        record_null(r, key);
}

static void put_scaled(struct record *r, const char *key, mpq_srcptr value, unsigned decimals, void (*scale)(mpq_t, const mpq_t))
{
    mpq_t scaled;

    if (value == NULL) {
        record_null(r, key);
        return;
    }
    mpq_init(scaled);
    scale(scaled, value);
    put_exact(r, key, JSON_DECIMAL, scaled, decimals);
    mpq_clear(scaled);
}

void record_degrees(struct record *r, const char *key, mpq_srcptr revolutions)
{
    put_scaled(r, key, revolutions, 9, cc_angle_degrees);
}

void record_arcsec(struct record *r, const char *key, mpq_srcptr revolutions)
{
    put_scaled(r, key, revolutions, 3, cc_angle_arcsec);
}

void record_double(struct record *r, const char *key, double value, unsigned decimals)
{
    mpq_t exact;

    mpq_init(exact);
    if (isfinite(value))
        mpq_set_d(exact, value);
    put_scaled(r, key, isfinite(value) ? exact : NULL, decimals, mpq_set);
    mpq_clear(exact);
}

void record_measured(struct record *r, const char *key, double value, unsigned decimals)
{
    char text[400];

    json_double_str(text, sizeof text, value, decimals);
    put(r, key, JSON_DECIMAL, isfinite(value) ? text : NULL);
}

void record_counts(struct record *r, const char *key, const unsigned *at, size_t n)
{
    char text[2048];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", r->table ? "" : "[");

    for (size_t i = 0; i < n && used < sizeof text - 16; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%u", i == 0 ? "" : r->table ? " " : ",", at[i]);
    snprintf(text + used, sizeof text - used, "%s", r->table ? "" : "]");
    put(r, key, JSON_COUNTS, text);
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

void record_bool_if(struct record *r, bool applies, const char *key, bool value)
{
    if (applies)
        record_bool(r, key, value);
    else
        record_null(r, key);
}

static void in_inches(mpq_t value, const mpq_t mm)
{
    in_unit_exact(value, mm, CC_INCH);
}

void record_length(struct record *r, const char *stem, mpq_srcptr mm)
{
    char key[64];

    snprintf(key, sizeof key, "%s_%s", stem, cc_unit_name(r->unit));
    put_scaled(r, key, mm, 6, r->unit == CC_INCH ? in_inches : mpq_set);
}

void record_length_d(struct record *r, const char *stem, double mm)
{
    mpq_t exact;

    mpq_init(exact);
    if (isfinite(mm))
        mpq_set_d(exact, mm);
    record_length(r, stem, isfinite(mm) ? exact : NULL);
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
