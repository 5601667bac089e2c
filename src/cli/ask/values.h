/* values.h: counts from operands and option values. */
#ifndef CRANKCARD_CLI_ASK_VALUES_H
#define CRANKCARD_CLI_ASK_VALUES_H

#include <gmp.h>
#include <stdbool.h>
#include <stdint.h>

#include "crankcard/status.h"
#include "crankcard/train.h"

/* A whole number low..high; what names it in the message ("--width"). */
bool value_u64(uint64_t *value, const char *text, const char *what, uint64_t low, uint64_t high, struct cc_error *err);
bool value_number(unsigned long *value, const char *text, const char *what, unsigned long low,
                 unsigned long high, struct cc_error *err);

/* A count of something, 1 or more; the message says what is right whatever was typed. */
bool value_count(mpz_t count, const char *text, const char *what, struct cc_error *err);

/* Teeth of gears, "32,28", CC_MAX_PAIRS of them at most. */
bool value_teeth(unsigned teeth[CC_MAX_PAIRS], unsigned *count, const char *text, const char *what, struct cc_error *err);

#endif
