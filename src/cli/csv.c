/* csv.c: see csv.h. */
#include "cli/csv.h"

#include <string.h>

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
    put_bytes(csv, text != NULL ? text : "", text != NULL ? strlen(text) : 0);
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
