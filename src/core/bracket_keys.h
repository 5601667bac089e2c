/* bracket_keys.h: the keys of a profile's [bracket]. Not public. */
#ifndef CRANKCARD_CORE_BRACKET_KEYS_H
#define CRANKCARD_CORE_BRACKET_KEYS_H

#include "crankcard/bracket.h"
#include "crankcard/status.h"

/* A key with its value. Errors say what is wrong with the value, without the key's name. */
enum cc_status cci_bracket_set(struct cc_bracket *bracket, const char *key, const char *value, struct cc_error *err);

/* What only the whole section can tell. */
enum cc_status cci_bracket_check(const struct cc_bracket *bracket, struct cc_error *err);

#endif
