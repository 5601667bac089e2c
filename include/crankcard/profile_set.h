/* profile_set.h: change one value in a profile's text and leave the rest, comments and all, as it stands. */
#ifndef CRANKCARD_PROFILE_SET_H
#define CRANKCARD_PROFILE_SET_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/*
 * The text of a profile (length bytes) with "key = value" in [section]: in place of the key's line where the section has
 * one, else as the section's first line, else in a new section at the end. New lines end as the first one does: LF or CRLF.
 *
 * Writes at most size bytes with the closing NUL (buf may be NULL when size is 0) and returns the length that the
 * whole needs, as snprintf does. The result is text: reading it with cc_head_read says whether it is a profile.
 */
size_t cc_profile_set(char *buf, size_t size, const char *text, size_t length, const char *section,
                      const char *key, const char *value);

#ifdef __cplusplus
}
#endif

#endif
