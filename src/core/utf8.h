/* utf8.h: where one character of UTF-8 ends. Not public. */
#ifndef CRANKCARD_CORE_UTF8_H
#define CRANKCARD_CORE_UTF8_H

#include <stddef.h>

/*
 * Bytes of the well-formed UTF-8 character at text, of which length bytes may be read; 0 where
 * there is none (RFC 3629: no overlong forms, no surrogates, nothing over U+10FFFF).
 */
size_t cci_utf8_char(const char *text, size_t length);

#endif
