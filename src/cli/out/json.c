/* json.c: see json.h. */
#include "cli/out/json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "crankcard/utf8.h"
#include "cli/base/memory.h"
#include "cli/out/digits.h"

/* What cannot be shown, as \uXXXX: a character of at most three bytes, or a byte that belongs to none. Returns its bytes. */
static size_t put_hidden(FILE *out, const char *text, size_t length)
{
    const unsigned char *at = (const unsigned char *)text;
    size_t n = cc_utf8_char(text, length);
    unsigned code = n == 1   ? at[0]
                    : n == 2 ? (at[0] & 0x1FU) << 6 | (at[1] & 0x3FU)
                    : n == 3 ? (at[0] & 0x0FU) << 12 | (at[1] & 0x3FU) << 6 | (at[2] & 0x3FU)
                             : 0xFFFDU;

    fprintf(out, "\\u%04x", code);
    return n > 0 ? n : 1;
}

static void put_string(FILE *out, const char *text)
{
    size_t length = strlen(text);

    putc('"', out);
    for (size_t i = 0, n; i < length; i += n) {
        n = cc_utf8_shown(text + i, length - i);
        if (n == 0)
            n = put_hidden(out, text + i, length - i);
        else if (text[i] == '"' || text[i] == '\\')
            fprintf(out, "\\%c", text[i]);
        else
            fwrite(text + i, 1, n, out);
    }
    putc('"', out);
}

static void begin(struct json *json, const char *key)
{
    if (json->comma)
        putc(',', json->out);
    json->comma = true;
    if (key != NULL) {
        put_string(json->out, key);
        putc(':', json->out);
    }
}

void json_open(struct json *json, FILE *out)
{
    json->out = out;
    json->comma = false;
    putc('{', out);
}

void json_close(struct json *json)
{
    fputs("}\n", json->out);
}

void json_open_object(struct json *json, const char *key)
{
    begin(json, key);
    putc('{', json->out);
    json->comma = false;
}

void json_close_object(struct json *json)
{
    putc('}', json->out);
    json->comma = true;
}

void json_open_array(struct json *json, const char *key)
{
    begin(json, key);
    putc('[', json->out);
    json->comma = false;
}

void json_close_array(struct json *json)
{
    putc(']', json->out);
    json->comma = true;
}

void json_string(struct json *json, const char *key, const char *text)
{
    begin(json, key);
    if (text != NULL)
        put_string(json->out, text);
    else
        fputs("null", json->out);
}

void json_number(struct json *json, const char *key, long long value)
{
    begin(json, key);
    fprintf(json->out, "%lld", value);
}

void json_bool(struct json *json, const char *key, bool value)
{
    begin(json, key);
    fputs(value ? "true" : "false", json->out);
}

void json_null(struct json *json, const char *key)
{
    begin(json, key);
    fputs("null", json->out);
}

/* Text of any length from a snprintf-like writer of exact values. */
static void put_exact(FILE *out, size_t (*write)(char *, size_t, const mpq_t, unsigned),
                      const mpq_t value, unsigned decimals)
{
    char small[128];
    size_t length = write(small, sizeof small, value, decimals);

    if (length < sizeof small) {
        fwrite(small, 1, length, out);
        return;
    }
    char *large = memory_get(length + 1);
    write(large, length + 1, value, decimals);
    fwrite(large, 1, length, out);
    free(large);
}

static size_t write_rational(char *buf, size_t size, const mpq_t value, unsigned unused)
{
    (void)unused;
    return cc_rational_str(buf, size, value);
}

static size_t write_decimal(char *buf, size_t size, const mpq_t value, unsigned decimals)
{
    return cc_decimal_short_str(buf, size, value, decimals);
}

void json_rational(struct json *json, const char *key, const mpq_t value)
{
    begin(json, key);
    putc('"', json->out);
    put_exact(json->out, write_rational, value, 0);
    putc('"', json->out);
}

void json_count(struct json *json, const char *key, const mpz_t value)
{
    bool quoted = mpz_sizeinbase(value, 2) > 53;

    begin(json, key);
    if (quoted)
        putc('"', json->out);
    mpz_out_str(json->out, 10, value);
    if (quoted)
        putc('"', json->out);
}

void json_decimal(struct json *json, const char *key, const mpq_t value, unsigned decimals)
{
    begin(json, key);
    put_exact(json->out, write_decimal, value, decimals);
}

/*
 * value as json_double_str writes it, without printf; 0 where that is not sure to be the same. value * 10^decimals is
 * below 2^40, so a product of doubles is within 2^-13 of it: which way it is rounded is sure where it is further than
 * that from a half.
 */
static size_t short_double(char *buf, size_t size, double value, unsigned decimals)
{
    double power = 1, scaled;
    char *at = buf;

    if (decimals > 9 || size < 40)
        return 0;
    for (unsigned i = 0; i < decimals; i++)
        power *= 10;
    scaled = fabs(value) * power;
    if (!(scaled < 1099511627776.0))
        return 0;
    uint64_t units = (uint64_t)scaled, unit = (uint64_t)power;
    double part = scaled - (double)units;
    if (fabs(part - 0.5) < 0.001)
        return 0;
    units += part > 0.5;
    if (value < 0 && units > 0)
        *at++ = '-';
    at = digits_put(at, units / unit);
    if (units % unit != 0) {
        *at++ = '.';
        at = digits_fixed(at, units % unit, decimals);
        while (at[-1] == '0')
            at--;
    }
    *at = '\0';
    return (size_t)(at - buf);
}

size_t json_double_str(char *buf, size_t size, double value, unsigned decimals)
{
    if (!isfinite(value))
        return (size_t)snprintf(buf, size, "null");
    size_t length = short_double(buf, size, value, decimals);
    if (length > 0)
        return length;
    int n = snprintf(buf, size, "%.*f", (int)decimals, value);
    if (n < 0 || (size_t)n >= size)
        return n < 0 ? 0 : (size_t)n;
    if (decimals > 0) {
        while (n > 1 && buf[n - 1] == '0')
            n--;
        if (buf[n - 1] == '.')
            n--;
    }
    buf[n] = '\0';
    return strcmp(buf, "-0") == 0 ? (size_t)snprintf(buf, size, "0") : (size_t)n;
}

void json_double(struct json *json, const char *key, double value, unsigned decimals)
{
    char text[400];

    begin(json, key);
    json_double_str(text, sizeof text, value, decimals);
    fputs(text, json->out);
}
