/* blame.c: see blame.h. */
#include "cli/base/blame.h"

#include <stdarg.h>
#include <stdio.h>

enum cc_status blame(enum cc_status s, struct cc_error *err, const char *place, ...)
{
    char text[sizeof err->text];
    va_list args;

    if (s == CC_OK)
        return s;
    va_start(args, place);
    vsnprintf(text, sizeof text, place, args);
    va_end(args);
    return cc_fail(err, s, "%s: %s", text, err->text);
}
