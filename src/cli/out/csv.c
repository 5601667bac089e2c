/* csv.c: see csv.h. */
#include "cli/out/csv.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/utf8.h"
#include "cli/base/memory.h"

bool csv_would_be_spoilt(const char *text)
{
    return text[0] != '\0' && (strchr("=+-@\t\r", text[0]) != NULL || text[strspn(text, "0123456789/-:., ")] == '\0');
}

static void put_quoted(FILE *out, const char *text)
{
    bool quote = text[strcspn(text, ",\"\r\n")] != '\0';

    if (quote)
        putc('"', out);
    if (csv_would_be_spoilt(text))
        putc('\'', out);
    for (; *text != '\0'; text++) {
        if (*text == '"')
            putc('"', out);
        putc(*text, out);
    }
    if (quote)
        putc('"', out);
}

void csv_text(FILE *out, const char *text, bool tabs)
{
    char *shown = memory_copy(text);

    /* What the format has words for stays: an end of line in quotes, a tab that becomes a blank. */
    for (size_t i = 0, n; text[i] != '\0'; i += n > 0 ? n : 1) {
        bool blank = strchr("\t\r\n", text[i]) != NULL;
        n = blank ? 1 : cc_utf8_shown(text + i, 4);
        if (n == 0 || (blank && tabs))
            shown[i] = n == 0 ? '?' : ' ';
    }
    if (tabs)
        fputs(shown, out);
    else
        put_quoted(out, shown);
    free(shown);
}

/* More digits than a spreadsheet's number keeps. */
static bool is_long(const char *digits, size_t length)
{
    return length - (digits[0] == '-') > CSV_MOST_DIGITS;
}

void csv_whole(FILE *out, const char *digits)
{
    fprintf(out, "%s%s", is_long(digits, strlen(digits)) ? "'" : "", digits);
}

void csv_fraction(FILE *out, const char *text)
{
    size_t n = strcspn(text, "/");
    const char *den = text[n] == '/' ? text + n + 1 : "1", *mark = is_long(text, n) || is_long(den, strlen(den)) ? "'" : "";

    fprintf(out, "%s%.*s,%s%s", mark, (int)n, text, mark, den);
}
