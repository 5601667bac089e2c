/* record.c: see record.h. */
#include "cli/out/record.h"

#include <math.h>

#include "crankcard/angle.h"
#include "cli/out/quantities.h"

void record_init(struct record *r, FILE *out, enum format format)
{
    *r = (struct record){ .out = out, .table = format == FORMAT_CSV || format == FORMAT_TSV };
    csv_init(&r->csv, out, format == FORMAT_TSV);
}

bool record_begin(struct record *r, const char *name)
{
    if (r->open && !r->header) {
        r->open = false;
        return false;
    }
    r->header = r->table && !r->header_done;
    r->header_done = true;
    r->open = true;
    if (!r->table)
        json_open(&r->json, r->out);
    record_string(r, "record", name);
    if (!r->table)
        record_number(r, "schema", 1);
    return true;
}

void record_end(struct record *r)
{
    if (r->table)
        csv_end_row(&r->csv);
    else
        json_close(&r->json);
}

/* In a table: the name in the header pass, else the text. False for JSON, where nothing is done. */
static bool cell(struct record *r, const char *key, const char *text)
{
    if (r->table && r->header)
        csv_name(&r->csv, key);
    else if (r->table)
        csv_field(&r->csv, text);
    return r->table;
}

void record_string(struct record *r, const char *key, const char *text)
{
    if (!cell(r, key, text))
        json_string(&r->json, key, text);
}

void record_number(struct record *r, const char *key, long long value)
{
    if (!r->table)
        json_number(&r->json, key, value);
    else if (r->header)
        csv_name(&r->csv, key);
    else
        csv_number(&r->csv, value);
}

void record_bool(struct record *r, const char *key, bool value)
{
    if (!cell(r, key, value ? "true" : "false"))
        json_bool(&r->json, key, value);
}

void record_null(struct record *r, const char *key)
{
    if (!cell(r, key, NULL))
        json_null(&r->json, key);
}

void record_rational(struct record *r, const char *key, mpq_srcptr value)
{
    if (!r->table && value == NULL)
        json_null(&r->json, key);
    else if (!r->table)
        json_rational(&r->json, key, value);
    else if (r->header)
        csv_exact_name(&r->csv, key);
    else
        csv_rational(&r->csv, value);
}

static void record_decimal(struct record *r, const char *key, const mpq_t value, unsigned decimals)
{
    if (!r->table)
        json_decimal(&r->json, key, value, decimals);
    else if (r->header)
        csv_name(&r->csv, key);
    else
        csv_decimal(&r->csv, value, decimals);
}

void record_degrees(struct record *r, const char *key, const mpq_t revolutions)
{
    mpq_t degrees;

    mpq_init(degrees);
    cc_angle_degrees(degrees, revolutions);
    record_decimal(r, key, degrees, 9);
    mpq_clear(degrees);
}

void record_arcsec(struct record *r, const char *key, const mpq_t revolutions)
{
    mpq_t arcsec;

    mpq_init(arcsec);
    cc_angle_arcsec(arcsec, revolutions);
    record_decimal(r, key, arcsec, 3);
    mpq_clear(arcsec);
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

static const char *length_key(char *buf, size_t size, const char *stem, enum cc_unit unit)
{
    snprintf(buf, size, "%s_%s", stem, cc_unit_name(unit));
    return buf;
}

void record_length(struct record *r, const char *stem, enum cc_unit unit, const mpq_t mm)
{
    char key[64];
    mpq_t value;

    mpq_init(value);
    in_unit_exact(value, mm, unit);
    record_decimal(r, length_key(key, sizeof key, stem, unit), value, 6);
    mpq_clear(value);
}

void record_length_d(struct record *r, const char *stem, enum cc_unit unit, double mm)
{
    mpq_t exact;

    if (!isfinite(mm)) {
        record_no_length(r, stem, unit);
        return;
    }
    mpq_init(exact);
    mpq_set_d(exact, mm);
    record_length(r, stem, unit, exact);
    mpq_clear(exact);
}

void record_no_length(struct record *r, const char *stem, enum cc_unit unit)
{
    char key[64];

    record_null(r, length_key(key, sizeof key, stem, unit));
}

void record_counts(struct record *r, const char *key, const unsigned *at, size_t n)
{
    if (r->table && r->header)
        csv_name(&r->csv, key);
    else if (r->table)
        csv_counts(&r->csv, at, n);
    if (r->table)
        return;
    json_open_array(&r->json, key);
    for (size_t i = 0; i < n; i++)
        json_number(&r->json, NULL, at[i]);
    json_close_array(&r->json);
}
