/* cli.c: see cli.h. */
#include "cli/ask/cli.h"

#include <stdarg.h>

#include "cli/base/exit_status.h"

int cli_trouble(struct cli *cli, const char *format, ...)
{
    char text[sizeof cli->err.text];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    cc_fail(&cli->err, CC_EPARSE, "%s", text);
    return EXIT_TROUBLE;
}

int cli_status(enum cc_status status)
{
    return status == CC_OK ? EXIT_YES : status == CC_ENOFIT ? EXIT_NO : EXIT_TROUBLE;
}
