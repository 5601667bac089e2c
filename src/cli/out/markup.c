/* markup.c: see markup.h. */
#include "cli/out/markup.h"

#include <stdbool.h>
#include <string.h>

#include "crankcard/utf8.h"

/* Bytes of the character at s that may stand in XML as it is; 0 for one that may not. */
static size_t good_character(const char *s)
{
    bool no_character = strncmp(s, "\xEF\xBF\xBE", 3) == 0 || strncmp(s, "\xEF\xBF\xBF", 3) == 0;

    return *s == '\n' ? 1 : no_character ? 0 : cc_utf8_shown(s, 4);
}

void markup_text(FILE *out, const char *s)
{
    while (*s != '\0') {
        size_t n = good_character(s);
        if (n == 0)
            putc('?', out);
        else if (*s == '<')
            fputs("&lt;", out);
        else if (*s == '>')
            fputs("&gt;", out);
        else if (*s == '&')
            fputs("&amp;", out);
        else if (*s == '"')
            fputs("&quot;", out);
        else
            fwrite(s, 1, n, out);
        s += n == 0 ? 1 : n;
    }
}
