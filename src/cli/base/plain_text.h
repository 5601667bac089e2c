/* plain_text.h: whether bytes from outside can be shown and put in JSON as they are. */
#ifndef CRANKCARD_CLI_BASE_PLAIN_TEXT_H
#define CRANKCARD_CLI_BASE_PLAIN_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Bytes of the character at text, which ends with a NUL, well-formed UTF-8 (RFC 3629) and no control character; else 0. */
size_t plain_character(const char *text);

/* Of such characters only, and tabs. */
bool is_plain_text(const char *text);

#endif
