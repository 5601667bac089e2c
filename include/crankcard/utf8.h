/* utf8.h: where one character of UTF-8 ends. */
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

#ifdef __cplusplus
}
#endif

#endif
