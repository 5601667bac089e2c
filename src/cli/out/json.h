/*
 * json.h: one JSON object a line (RFC 8259, jsonlines.org), written as it comes.
 *
 * Written here because the output contract wants decimals rounded once from the exact value;
 * a general JSON library writes doubles only. Every json_ function takes the key, or NULL inside
 * an array.
 */
#ifndef CRANKCARD_CLI_OUT_JSON_H
#define CRANKCARD_CLI_OUT_JSON_H

#include <stdio.h> /* before gmp.h, which declares its stream functions only then */

#include <gmp.h>
#include <stdbool.h>

struct json {
    FILE *out;
    bool comma;     /* a member was written at this level */
};

void json_open(struct json *json, FILE *out);            /* { */
void json_close(struct json *json);                      /* } and the newline */
void json_open_object(struct json *json, const char *key);
void json_close_object(struct json *json);
void json_open_array(struct json *json, const char *key);
void json_close_array(struct json *json);
void json_string(struct json *json, const char *key, const char *text);  /* NULL text is null */
void json_number(struct json *json, const char *key, long long value);
void json_bool(struct json *json, const char *key, bool value);
void json_null(struct json *json, const char *key);
void json_rational(struct json *json, const char *key, const mpq_t value);       /* "5/7" */
void json_count(struct json *json, const char *key, const mpz_t value);          /* number when it fits 53 bits, else string */
void json_decimal(struct json *json, const char *key, const mpq_t value, unsigned decimals);
void json_double(struct json *json, const char *key, double value, unsigned decimals); /* trig results; not finite is null */

/* The text that json_double writes, snprintf manner; at least 64 bytes for values below 10^50. */
size_t json_double_str(char *buf, size_t size, double value, unsigned decimals);

#endif
