/* status.c: the message context that every failing function fills. */
#include "crankcard/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

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
    if (length >= (int)sizeof text) {
        /* Do not leave half a UTF-8 character at the cut. */
        size_t end = sizeof text - 1;
        while (end > 0 && ((unsigned char)text[end - 1] & 0xC0) == 0x80)
            end--;
        if (end > 0 && (unsigned char)text[end - 1] >= 0xC0)
            end--;
        text[end] = '\0';
    }
    for (char *c = text; *c != '\0'; c++)   /* one line, whatever the user typed */
        if ((unsigned char)*c < 0x20 || *c == 0x7F)
            *c = '?';
    err->status = status;
    memcpy(err->text, text, sizeof text);
    return status;
}

const char *cc_version(void)
{
    return CC_VERSION;
}
