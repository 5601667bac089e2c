/* bracket_keys.h: the keys of a profile's [bracket]. Not public. */
#ifndef CRANKCARD_CORE_BRACKET_KEYS_H
#define CRANKCARD_CORE_BRACKET_KEYS_H

#include <stddef.h>

#include "crankcard/bracket.h"
#include "crankcard/status.h"

/* A key with its value. Errors say what is wrong with the value, without the key's name. */
enum cc_status cci_bracket_set(struct cc_bracket *bracket, const char *key, const char *value, struct cc_error *err);

/* What only the whole section can tell. */
enum cc_status cci_bracket_check(const struct cc_bracket *bracket, struct cc_error *err);

/* Text that grows past its buffer: length counts what the whole needs. */
struct cci_out {
    char *buf;
    size_t size, length;
};

/* Where the next byte goes, NULL beyond the buffer, and how many there is room for. */
char *cci_out_at(const struct cci_out *out);
size_t cci_out_left(const struct cci_out *out);

CC_PRINTF(2, 3) void cci_put(struct cci_out *out, const char *format, ...);

#endif
