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

/* ---- rows ---- */

/* The next of the names in columns, which goes on behind it; false at the end. exact: a / stood behind it. */
static bool next_column(char *name, size_t size, bool *exact, const char **columns)
{
    size_t n = strcspn(*columns, ",");

    if (n == 0)
        return false;
    *exact = (*columns)[n - 1] == '/';
    snprintf(name, size, "%.*s", (int)(n - *exact), *columns);
    *columns += n + ((*columns)[n] == ',');
    return true;
}

static void put_name(struct csv *csv, const char *path, bool exact)
{
    const char *dot = strrchr(path, '.'), *name = dot != NULL ? dot + 1 : path;

    if (exact)
        csv_exact_name(csv, name);
    else
        csv_name(csv, name);
}

static void put_header(struct record *r)
{
    struct csv csv;
    char name[48];
    bool exact;

    csv_init(&csv, r->out, r->csv.tabs);
    for (const char *at = r->columns; at != NULL && next_column(name, sizeof name, &exact, &at); )
        put_name(&csv, name, exact);
    for (size_t i = 0; r->columns == NULL && i < r->cells; i++)
        put_name(&csv, r->cell[i].name, r->cell[i].exact);
    csv_end_row(&csv);
    r->header_done = true;
}

/* The bytes of cell i; where there is none, or an exact one is empty, as many empty fields as it has columns. */
static void put_cell(struct record *r, size_t i, bool exact)
{
    if (i < r->cells && r->cell[i + 1].start > r->cell[i].start)
        fwrite(r->held + r->cell[i].start, 1, (size_t)(r->cell[i + 1].start - r->cell[i].start), r->out);
    else if (exact && !r->csv.tabs)
        putc(',', r->out);
}

static void put_row(struct record *r)
{
    char separator = r->csv.tabs ? '\t' : ',', name[48];
    bool exact;
    size_t i, written = 0;

    for (const char *at = r->columns; at != NULL && next_column(name, sizeof name, &exact, &at); ) {
        for (i = r->cells; i-- > 0 && strcmp(r->cell[i].name, name) != 0; ) {}
        if (written++ > 0)
            putc(separator, r->out);
        put_cell(r, i, exact);
    }
    for (i = 0; r->columns == NULL && i < r->cells; i++) {
        if (written++ > 0)
            putc(separator, r->out);
        put_cell(r, i, r->cell[i].exact);
    }
    fputs(r->csv.tabs ? "\n" : "\r\n", r->out);
}

/* Begin a cell; false in JSON. In an array there are no cells: then it is written where nobody looks. */
static bool cell(struct record *r, const char *key, bool exact)
{
    if (!r->table)
        return false;
    if (r->hidden == 0 && r->cells < RECORD_MOST_CELLS - 1) {
        struct record_cell *c = &r->cell[r->cells++];
        snprintf(c->name, sizeof c->name, "%s%s", r->path, key);
        c->start = ftell(r->csv.out);
        c->exact = exact;
    }
    r->csv.started = false;
    return true;
}

/* ---- records ---- */

void record_init(struct record *r, FILE *out, const struct output *output, const char *columns)
{
    *r = (struct record){ .out = out, .unit = output->unit, .columns = columns, .table = output->format != FORMAT_JSONL };
    if (!r->table)
        return;
    FILE *held = open_memstream(&r->held, &r->length);
    if (held == NULL)
        memory_exhausted();
    csv_init(&r->csv, held, output->format == FORMAT_TSV);
    if (columns != NULL)
        put_header(r);
}

void record_clear(struct record *r)
{
    if (!r->table)
        return;
    fclose(r->csv.out);
    free(r->held);
}

void record_begin(struct record *r, const char *name)
{
    r->cells = 0;
    if (r->table)
        rewind(r->csv.out);
    else
        json_open(&r->json, r->out);
    record_string(r, "record", name);
}

void record_lead(struct record *r, const char *name, const char *command)
{
    record_begin(r, name);
    if (!r->table)
        record_number(r, "schema", 1);
    if (command != NULL)
        record_string(r, "command", command);
}

void record_end(struct record *r)
{
    if (!r->table) {
        json_close(&r->json);
        return;
    }
    r->cell[r->cells].start = ftell(r->csv.out);
    if (fflush(r->csv.out) != 0)
        memory_exhausted();
    if (!r->header_done)
        put_header(r);
    put_row(r);
}

void record_object(struct record *r, const char *key)
{
    size_t used = strlen(r->path);

    if (!r->table)
        json_open_object(&r->json, key);
    else if (r->hidden == 0)
        snprintf(r->path + used, sizeof r->path - used, "%s.", key);
}

void record_object_end(struct record *r)
{
    if (!r->table) {
        json_close_object(&r->json);
    } else if (r->hidden == 0) {
        r->path[strlen(r->path) - 1] = '\0';
        char *dot = strrchr(r->path, '.');
        (dot != NULL ? dot + 1 : r->path)[0] = '\0';
    }
}

void record_array(struct record *r, const char *key)
{
    if (r->table)
        r->hidden++;
    else
        json_open_array(&r->json, key);
}

void record_array_end(struct record *r)
{
    if (r->table)
        r->hidden--;
    else
        json_close_array(&r->json);
}

/* ---- fields ---- */

void record_string(struct record *r, const char *key, const char *text)
{
    if (cell(r, key, false))
        csv_field(&r->csv, text);
    else
        json_string(&r->json, key, text);
}

void record_number(struct record *r, const char *key, long long value)
{
    if (cell(r, key, false))
        csv_number(&r->csv, value);
    else
        json_number(&r->json, key, value);
}

void record_count(struct record *r, const char *key, uint64_t value)
{
    mpz_t n;

    mpz_init(n);
    cc_set_u64(n, value);
    if (cell(r, key, false))
        csv_count(&r->csv, n);
    else
        json_count(&r->json, key, n);
    mpz_clear(n);
}

void record_whole(struct record *r, const char *key, const mpz_t value)
{
    mpq_t n;

    if (cell(r, key, false)) {
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
    if (cell(r, key, false))
        csv_bool(&r->csv, value);
    else
        json_bool(&r->json, key, value);
}

void record_null(struct record *r, const char *key)
{
    if (!cell(r, key, false))
        json_null(&r->json, key);
}

void record_rational(struct record *r, const char *key, mpq_srcptr value)
{
    bool table = cell(r, key, true);

    if (value == NULL && !table)
        json_null(&r->json, key);
    else if (!table)
        json_rational(&r->json, key, value);
    else if (value != NULL)
        csv_rational(&r->csv, value);
}

static void record_decimal(struct record *r, const char *key, const mpq_t value, unsigned decimals)
{
    if (cell(r, key, false))
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

    if (!cell(r, key, false)) {
        json_double(&r->json, key, value, decimals);
        return;
    }
    json_double_str(text, sizeof text, value, decimals);
    csv_digits(&r->csv, isfinite(value) ? text : NULL);
}

void record_counts(struct record *r, const char *key, const unsigned *at, size_t n)
{
    if (cell(r, key, false)) {
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
