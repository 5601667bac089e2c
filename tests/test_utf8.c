/* test_utf8.c: where a character ends, against the bit patterns of RFC 3629, section 3. */
#include <string.h>

#include "crankcard/utf8.h"
#include "support.h"

/* The bytes of c in so many bytes, with whatever overlong form that makes. */
static void encode(char *out, unsigned long c, unsigned bytes)
{
    static const unsigned char lead[] = { 0, 0x00, 0xC0, 0xE0, 0xF0, 0xF8 };

    for (unsigned i = bytes; i-- > 0; c >>= i > 0 ? 6 : 0)
        out[i] = (char)(i > 0 ? 0x80 | (c & 0x3F) : lead[bytes] | c);
}

static unsigned fewest(unsigned long c)
{
    return c < 0x80 ? 1 : c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
}

/* Each scalar value in each number of bytes that can hold it: good in the fewest alone, and not when cut. */
static void every_character(void **state)
{
    static const unsigned long holds[] = { 0, 0x7F, 0x7FF, 0xFFFF, 0x1FFFFF };
    (void)state;

    for (unsigned long c = 0; c <= 0x1FFFFF; c++)
        for (unsigned bytes = fewest(c); bytes <= 4 && c <= holds[bytes]; bytes++) {
            char text[8] = "";
            bool scalar = c <= 0x10FFFF && (c < 0xD800 || c > 0xDFFF);
            size_t want = scalar && bytes == fewest(c) ? bytes : 0;
            encode(text, c, bytes);
            if (cc_utf8_char(text, 4) != want)
                fail_msg("U+%lX in %u bytes", c, bytes);
            if (cc_utf8_char(text, bytes - 1) != 0)
                fail_msg("U+%lX cut to %u bytes", c, bytes - 1);
        }
}

/* A lead byte and anything but what continues it; bytes that never lead. */
static void broken(void **state)
{
    char text[5] = "";
    (void)state;

    for (unsigned first = 0x80; first <= 0xFF; first++)
        for (unsigned next = 0; next <= 0xFF; next++) {
            memcpy(text, "\x80\x80\x80\x80", 4);
            text[0] = (char)first;
            text[1] = (char)next;
            bool leads = first >= 0xC2 && first <= 0xF4, continues = next >= 0x80 && next <= 0xBF;
            if ((!leads || !continues) && cc_utf8_char(text, 4) != 0)
                fail_msg("bytes %X %X", first, next);
        }
    assert_int_equal(cc_utf8_char("", 0), 0);
    assert_int_equal(cc_utf8_char("", 4), 1);       /* a NUL is a character too */
}

/*
 * What is not shown: general category Cc, line and paragraph separators, and the directional formatting characters of
 * Unicode Standard Annex 9, table 2 (embeddings, overrides, isolates and their ends). tests/safe_text.py has the same from
 * the Unicode database.
 */
static void shown(void **state)
{
    static const struct {
        unsigned long from, to;
    } hidden[] = { { 0x00, 0x1F }, { 0x7F, 0x9F }, { 0x2028, 0x2029 }, { 0x202A, 0x202E }, { 0x2066, 0x2069 } };
    (void)state;

    for (unsigned long c = 0; c <= 0x10FFFF; c++) {
        char text[8] = "";
        bool hide = false;
        for (size_t i = 0; i < sizeof hidden / sizeof hidden[0]; i++)
            hide = hide || (c >= hidden[i].from && c <= hidden[i].to);
        encode(text, c, fewest(c));
        size_t is = cc_utf8_char(text, 4);
        if (cc_utf8_shown(text, 4) != (hide ? 0 : is))
            fail_msg("U+%lX is %s", c, hide ? "shown" : "hidden");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(every_character), cmocka_unit_test(broken), cmocka_unit_test(shown) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
