/* status.c: the message context that every failing function fills. */
#include "crankcard/status.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/utf8.h"

/*
 * One line that can be shown, whatever the user typed: each byte of what cannot (cc_utf8_shown) becomes a '?'. Half
 * a character at the very end, where the text did not fit, is dropped.
 */
static void tidy(char *text, bool cut)
{
    size_t length = strlen(text);

    for (size_t i = 0, n; i < length; i += n) {
        n = cc_utf8_shown(text + i, length - i);
        if (n == 0 && cut && length - i < 4 && (unsigned char)text[i] >= 0xC2 && cc_utf8_char(text + i, length - i) == 0) {
            text[i] = '\0';
            return;
        }
        if (n == 0) {
            text[i] = '?';
            n = 1;
        }
    }
}

enum cc_status cc_fail(struct cc_error *err, enum cc_status status, const char *format, ...)
{
    va_list args;
    int length;

    if (err == NULL)
        return status;
    /* Messages quote their own error's text ("file:3: ..."), so format aside and copy. */
    char text[sizeof err->text];
    va_start(args, format);
    length = vsnprintf(text, sizeof text, format, args);
    va_end(args);
    if (length < 0)
        text[0] = '\0';
    tidy(text, length >= (int)sizeof text);
    err->status = status;
    memcpy(err->text, text, sizeof text);
    return status;
}

const char *cc_version(void)
{
    return CC_VERSION;
}
