/* plain_text.c: see plain_text.h. */
#include "cli/base/plain_text.h"

#include <string.h>

#include "crankcard/utf8.h"

size_t plain_character(const char *text)
{
    return *text != '\0' ? cc_utf8_shown(text, 4) : 0;
}

bool is_plain_text(const char *text)
{
    size_t n = 1;

    for (; *text != '\0' && n > 0; text += n)
        n = *text == '\t' ? 1 : plain_character(text);
    return n > 0;
}

void plain_put(FILE *out, const char *text, size_t length)
{
    size_t good = 0;

    for (size_t i = 0, n; i < length; i += n) {
        n = text[i] >= ' ' && text[i] <= '~' ? 1 : cc_utf8_shown(text + i, length - i);     /* mostly ASCII */
        if (n == 0) {
            fwrite(text + good, 1, i - good, out);
            putc('?', out);
            n = 1;
            good = i + 1;
        }
    }
    fwrite(text + good, 1, length - good, out);
}

void plain_line(FILE *out, const char *text)
{
    plain_put(out, text, strlen(text));
    putc('\n', out);
}
