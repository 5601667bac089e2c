/* plain_text.c: see plain_text.h. */
#include "cli/base/plain_text.h"

/* Bytes that follow the first one; -1 for a byte that cannot be first. */
static int following(unsigned char c)
{
    return c < 0x80 ? 0 : c >= 0xC2 && c <= 0xDF ? 1 : c >= 0xE0 && c <= 0xEF ? 2 : c >= 0xF0 && c <= 0xF4 ? 3 : -1;
}

bool is_plain_text(const char *text)
{
    for (const unsigned char *p = (const unsigned char *)text; *p != '\0'; p++) {
        int more = following(*p);
        if (more < 0 || *p == 0x7F || (*p < 0x20 && *p != '\t'))
            return false;
        /* Overlong forms, surrogates and what lies beyond U+10FFFF show in the second byte. */
        if ((*p == 0xE0 && p[1] < 0xA0) || (*p == 0xED && p[1] > 0x9F) || (*p == 0xF0 && p[1] < 0x90) ||
            (*p == 0xF4 && p[1] > 0x8F))
            return false;
        if (*p == 0xC2 && p[1] < 0xA0)      /* control characters of a terminal, U+0080 to U+009F */
            return false;
        for (; more > 0; more--)
            if ((*++p & 0xC0) != 0x80)
                return false;
    }
    return true;
}
