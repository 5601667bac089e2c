/* utf8.h: where one character of UTF-8 ends, and which may be shown. */
#ifndef CRANKCARD_UTF8_H
#define CRANKCARD_UTF8_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/*
 * Bytes of the well-formed UTF-8 character at text, of which length bytes may be read; 0 where
 * there is none (RFC 3629: no overlong forms, no surrogates, nothing over U+10FFFF). Where text ends
 * with a NUL no byte behind it is read, whatever length says: 4 will do.
 */
size_t cc_utf8_char(const char *text, size_t length);

/*
 * The same, and 0 too for what does something to a terminal or to the text around it instead of being shown: control
 * characters (U+0000 to U+001F, U+007F to U+009F), ends of line and paragraph (U+2028, U+2029), and what turns the
 * direction of writing round (U+202A to U+202E, U+2066 to U+2069; Unicode Standard Annex 9, "Directional formatting
 * characters", marks apart, which turn nothing).
 */
size_t cc_utf8_shown(const char *text, size_t length);

#ifdef __cplusplus
}
#endif

#endif
