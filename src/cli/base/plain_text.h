/* plain_text.h: whether bytes from outside can be shown and put in JSON as they are. */
#ifndef CRANKCARD_CLI_BASE_PLAIN_TEXT_H
#define CRANKCARD_CLI_BASE_PLAIN_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Bytes of the character at text, which ends with a NUL, where it may be shown as it is (cc_utf8_shown); else 0. */
size_t plain_character(const char *text);

/* Of such characters only, and tabs. */
bool is_plain_text(const char *text);

/* Write such text; each byte of what cannot be shown becomes a '?'. */
void plain_put(FILE *out, const char *text, size_t length);
void plain_line(FILE *out, const char *text);     /* the whole of it, and a newline */

#endif
