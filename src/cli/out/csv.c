/* csv.c: see csv.h. */
#include "cli/out/csv.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "crankcard/utf8.h"
#include "cli/base/memory.h"

void csv_init(struct csv *csv, FILE *out, bool tabs)
{
    *csv = (struct csv){ .out = out, .tabs = tabs };
}

static void put_bytes(struct csv *csv, const char *text, size_t length)
{
    if (csv->started)
        putc(csv->tabs ? '\t' : ',', csv->out);
    csv->started = true;
    if (csv->tabs) {
        for (size_t i = 0; i < length; i++)
            putc(text[i] == '\t' || text[i] == '\n' || text[i] == '\r' ? ' ' : text[i], csv->out);
        return;
    }
    bool quote = false;
    for (size_t i = 0; i < length && !quote; i++)
        quote = strchr(",\"\r\n", text[i]) != NULL;
    if (!quote) {
        fwrite(text, 1, length, csv->out);
        return;
    }
    putc('"', csv->out);
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '"')
            putc('"', csv->out);
        putc(text[i], csv->out);
    }
    putc('"', csv->out);
}

void csv_field(struct csv *csv, const char *text)
{
    char *shown = NULL;

    /* What the format has words for stays: an end of line in quotes, a tab that becomes a blank. */
    for (size_t i = 0, n; text != NULL && text[i] != '\0'; i += n) {
        n = strchr("\t\r\n", text[i]) != NULL ? 1 : cc_utf8_shown(text + i, 4);
        if (n > 0)
            continue;
        if (shown == NULL)
            text = shown = memory_copy(text);
        shown[i] = '?';
        n = 1;
    }
    put_bytes(csv, text != NULL ? text : "", text != NULL ? strlen(text) : 0);
    free(shown);
}

void csv_bool(struct csv *csv, bool value)
{
    csv_field(csv, value ? "true" : "false");
}

void csv_number(struct csv *csv, long long value)
{
    char text[24];

    snprintf(text, sizeof text, "%lld", value);
    csv_field(csv, text);
}

void csv_rational(struct csv *csv, const mpq_t value)
{
    char small[256];
    size_t length = cc_rational_str(small, sizeof small, value);

    if (length < sizeof small) {
        csv_field(csv, small);
        return;
    }
    char *large = memory_get(length + 1);
    cc_rational_str(large, length + 1, value);
    csv_field(csv, large);
    free(large);
}

void csv_decimal(struct csv *csv, const mpq_t value, unsigned decimals)
{
    char small[256];
    size_t length = cc_decimal_short_str(small, sizeof small, value, decimals);

    if (length < sizeof small) {
        csv_field(csv, small);
        return;
    }
    char *large = memory_get(length + 1);
    cc_decimal_short_str(large, length + 1, value, decimals);
    csv_field(csv, large);
    free(large);
}

void csv_degrees(struct csv *csv, const mpq_t revolutions)
{
    mpq_t degrees;

    mpq_init(degrees);
    cc_angle_degrees(degrees, revolutions);
    csv_decimal(csv, degrees, 9);
    mpq_clear(degrees);
}

void csv_arcsec(struct csv *csv, const mpq_t revolutions)
{
    mpq_t arcsec;

    mpq_init(arcsec);
    cc_angle_arcsec(arcsec, revolutions);
    csv_decimal(csv, arcsec, 3);
    mpq_clear(arcsec);
}

void csv_counts(struct csv *csv, const unsigned *at, size_t n)
{
    char text[1024] = "";
    size_t used = 0;

    for (size_t i = 0; i < n && used < sizeof text; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%u", i > 0 ? " " : "", at[i]);
    csv_field(csv, text);
}

void csv_end_row(struct csv *csv)
{
    fputs(csv->tabs ? "\n" : "\r\n", csv->out);
    csv->started = false;
}

void csv_header(struct csv *csv, const char *names)
{
    for (;;) {
        size_t n = strcspn(names, ",");
        put_bytes(csv, names, n);
        if (names[n] == '\0')
            break;
        names += n + 1;
    }
    csv_end_row(csv);
}
