/* utf8.c: well-formed UTF-8, after the table of byte sequences in RFC 3629, section 4. */
#include "crankcard/utf8.h"

#include <stdbool.h>

static const struct {
    unsigned char first, last;      /* the lead byte */
    unsigned char low, high;        /* the byte after it; any further byte is 80..BF */
    size_t length;
} sequences[] = {
    { 0x00, 0x7F, 0, 0, 1 },
    { 0xC2, 0xDF, 0x80, 0xBF, 2 },
    { 0xE0, 0xE0, 0xA0, 0xBF, 3 },
    { 0xE1, 0xEC, 0x80, 0xBF, 3 },
    { 0xED, 0xED, 0x80, 0x9F, 3 },
    { 0xEE, 0xEF, 0x80, 0xBF, 3 },
    { 0xF0, 0xF0, 0x90, 0xBF, 4 },
    { 0xF1, 0xF3, 0x80, 0xBF, 4 },
    { 0xF4, 0xF4, 0x80, 0x8F, 4 },
};

size_t cc_utf8_char(const char *text, size_t length)
{
    const unsigned char *at = (const unsigned char *)text;
    size_t row = 0, count = sizeof sequences / sizeof sequences[0];

    if (length == 0)
        return 0;
    while (row < count && (at[0] < sequences[row].first || at[0] > sequences[row].last))
        row++;
    if (row == count || sequences[row].length > length)
        return 0;
    for (size_t i = 1; i < sequences[row].length; i++) {
        unsigned char low = i == 1 ? sequences[row].low : 0x80;
        unsigned char high = i == 1 ? sequences[row].high : 0xBF;
        if (at[i] < low || at[i] > high)
            return 0;
    }
    return sequences[row].length;
}

/* Whether the three bytes of a character stand for U+2028 to U+202E, or U+2066 to U+2069. */
static bool turns_text(const unsigned char *at)
{
    return at[0] == 0xE2 && ((at[1] == 0x80 && at[2] >= 0xA8 && at[2] <= 0xAE) || (at[1] == 0x81 && at[2] >= 0xA6 && at[2] <= 0xA9));
}

size_t cc_utf8_shown(const char *text, size_t length)
{
    const unsigned char *at = (const unsigned char *)text;
    size_t n = cc_utf8_char(text, length);
    bool control = (n == 1 && (at[0] < 0x20 || at[0] == 0x7F)) || (n == 2 && at[0] == 0xC2 && at[1] < 0xA0);

    return control || (n == 3 && turns_text(at)) ? 0 : n;
}
