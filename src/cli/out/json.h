/*
 * json.h: texts and decimals as JSON has them (RFC 8259). Written here because the output contract wants decimals rounded
 * once from the exact value: a general JSON library writes doubles only.
 */
#ifndef CRANKCARD_CLI_OUT_JSON_H
#define CRANKCARD_CLI_OUT_JSON_H

#include <stdio.h>

void json_text(FILE *out, const char *text);

/* A result of trigonometry, to so many decimals: "null" where it is not finite. snprintf manner; 64 bytes for values below 10^50. */
size_t json_double_str(char *buf, size_t size, double value, unsigned decimals);

/*
 * The same without printf, where all that is within 2^-48 of value, in proportion, is written so; else 0, nothing of use in buf. So
 * value need not be the very double that is meant.
 */
size_t json_near_double_str(char *buf, size_t size, double value, unsigned decimals);

#endif
