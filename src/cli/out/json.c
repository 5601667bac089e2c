/* json.c: see json.h. */
#include "cli/out/json.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "crankcard/utf8.h"
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

void json_text(FILE *out, const char *text)
{
    size_t length = strlen(text), good = 0;     /* from good on it is written as it is */

    putc('"', out);
    for (size_t i = 0, n; i < length; i += n) {
        n = text[i] >= ' ' && text[i] <= '~' ? 1 : cc_utf8_shown(text + i, length - i);     /* mostly ASCII */
        if (n > 0 && text[i] != '"' && text[i] != '\\')
            continue;
        fwrite(text + good, 1, i - good, out);
        if (n > 0)
            fprintf(out, "\\%c", text[i]);
        else
            n = put_hidden(out, text + i, length - i);
        good = i + n;
    }
    fwrite(text + good, 1, length - good, out);
    putc('"', out);
}

/*
 * value * 10^decimals is below 2^36, so that the product of doubles is within 2^-17 of it, and what is meant within 2^-12:
 * which way it is rounded is sure where it is further than that from a half.
 */
size_t json_near_double_str(char *buf, size_t size, double value, unsigned decimals)
{
    double power = 1, scaled;
    char *at = buf;

    if (decimals > 9 || size < 40)
        return 0;
    for (unsigned i = 0; i < decimals; i++)
        power *= 10;
    scaled = fabs(value) * power;
    if (!(scaled < 68719476736.0))
        return 0;
    uint64_t units = (uint64_t)scaled, unit = (uint64_t)power;
    double part = scaled - (double)units;
    if (fabs(part - 0.5) < 0.001)
        return 0;
    units += part > 0.5;
    if (value < 0 && units > 0)
        *at++ = '-';
    at = digits_part(digits_put(at, units / unit), units % unit, decimals);
    *at = '\0';
    return (size_t)(at - buf);
}

size_t json_double_str(char *buf, size_t size, double value, unsigned decimals)
{
    if (!isfinite(value))
        return (size_t)snprintf(buf, size, "null");
    size_t length = json_near_double_str(buf, size, value, decimals);
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
