/* plain_text.h: whether bytes from outside can be shown and put in JSON as they are. */
#ifndef CRANKCARD_CLI_BASE_PLAIN_TEXT_H
#define CRANKCARD_CLI_BASE_PLAIN_TEXT_H

#include <stdbool.h>

/* Well-formed UTF-8 (RFC 3629) without control characters, tabs apart. */
bool is_plain_text(const char *text);

#endif
