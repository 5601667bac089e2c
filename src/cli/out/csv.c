/* csv.c: see csv.h. */
#include "cli/out/csv.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "crankcard/utf8.h"
#include "cli/base/memory.h"

void csv_init(struct csv *csv, FILE *out, bool tabs)
{
    *csv = (struct csv){ .out = out, .tabs = tabs };
}

bool csv_would_be_spoilt(const char *text)
{
    return text[0] != '\0' && (strchr("=+-@\t\r", text[0]) != NULL || text[strspn(text, "0123456789/-:., ")] == '\0');
}

/* kept: the spreadsheet is to take it as text, whatever it looks like. */
static void put_bytes(struct csv *csv, const char *text, size_t length, bool kept)
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
    if (quote)
        putc('"', csv->out);
    if (kept)
        putc('\'', csv->out);
    if (!quote) {
        fwrite(text, 1, length, csv->out);
        return;
    }
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
    if (text == NULL)
        text = "";
    put_bytes(csv, text, strlen(text), csv_would_be_spoilt(text));
    free(shown);
}

void csv_bool(struct csv *csv, bool value)
{
    csv_field(csv, value ? "true" : "false");
}

/* What is no text: kept as such where it has more digits than a spreadsheet's number. */
static void put_number(struct csv *csv, const char *text, bool kept)
{
    put_bytes(csv, text, strlen(text), kept);
}

static bool is_long(const char *count)
{
    return strlen(count) - (count[0] == '-') > CSV_MOST_DIGITS;
}

void csv_number(struct csv *csv, long long value)
{
    char text[24];

    snprintf(text, sizeof text, "%lld", value);
    put_number(csv, text, is_long(text));
}

void csv_count(struct csv *csv, const mpz_t value)
{
    char *text = memory_get(mpz_sizeinbase(value, 10) + 2);

    mpz_get_str(text, 10, value);
    put_number(csv, text, is_long(text));
    free(text);
}

void csv_rational(struct csv *csv, mpq_srcptr value)
{
    char small[256], *text = small;

    if (value == NULL) {
        for (int i = 0; i < (csv->tabs ? 1 : 2); i++)
            csv_field(csv, NULL);
        return;
    }
    size_t length = cc_rational_str(small, sizeof small, value);
    if (length >= sizeof small) {
        text = memory_get(length + 1);
        cc_rational_str(text, length + 1, value);
    }
    if (csv->tabs) {
        put_number(csv, text, false);
    } else {
        char *slash = strchr(text, '/'), one[] = "1", *den = slash != NULL ? slash + 1 : one;
        if (slash != NULL)
            *slash = '\0';
        bool kept = is_long(text) || is_long(den);
        put_number(csv, text, kept);
        put_number(csv, den, kept);
    }
    if (text != small)
        free(text);
}

void csv_decimal(struct csv *csv, const mpq_t value, unsigned decimals)
{
    char small[256];
    size_t length = cc_decimal_short_str(small, sizeof small, value, decimals);

    if (length < sizeof small) {
        put_number(csv, small, false);
        return;
    }
    char *large = memory_get(length + 1);
    cc_decimal_short_str(large, length + 1, value, decimals);
    put_number(csv, large, false);
    free(large);
}

void csv_digits(struct csv *csv, const char *text)
{
    put_number(csv, text != NULL ? text : "", false);
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

void csv_name(struct csv *csv, const char *name)
{
    put_bytes(csv, name, strlen(name), false);
}

void csv_exact_name(struct csv *csv, const char *name)
{
    char cell[64];

    if (csv->tabs) {
        csv_name(csv, name);
        return;
    }
    snprintf(cell, sizeof cell, "%s_num", name);
    csv_name(csv, cell);
    snprintf(cell, sizeof cell, "%s_den", name);
    csv_name(csv, cell);
}
