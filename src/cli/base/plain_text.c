/* plain_text.c: see plain_text.h. */
#include "cli/base/plain_text.h"

#include "crankcard/utf8.h"

size_t plain_character(const char *text)
{
    unsigned char first = (unsigned char)text[0], next = first != '\0' ? (unsigned char)text[1] : 0;

    /* The second row of control characters, U+0080 to U+009F, does things to a terminal too. */
    if (first < 0x20 || first == 0x7F || (first == 0xC2 && next < 0xA0))
        return 0;
    return cc_utf8_char(text, 4);
}

bool is_plain_text(const char *text)
{
    size_t n = 1;

    for (; *text != '\0' && n > 0; text += n)
        n = *text == '\t' ? 1 : plain_character(text);
    return n > 0;
}
