/* ranges.c: see ranges.h. */
#include "cli/ask/ranges.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/blame.h"
#include "cli/base/memory.h"

void ranges_init(struct ranges *ranges)
{
    *ranges = (struct ranges){ NULL, 0, 0 };
}

void ranges_clear(struct ranges *ranges)
{
    free(ranges->at);
    ranges_init(ranges);
}

static void add_range(struct ranges *ranges, uint64_t first, uint64_t last)
{
    if (ranges->n == ranges->room) {
        ranges->room = ranges->room == 0 ? 16 : 2 * ranges->room;
        ranges->at = memory_resize(ranges->at, ranges->room * sizeof *ranges->at);
    }
    ranges->at[ranges->n++] = (struct range){ first, last };
}

static bool read_digits(uint64_t *value, const char **p)
{
    const char *at = *p;
    uint64_t n = 0;

    for (; *at >= '0' && *at <= '9'; at++) {
        if (n > MOST_COUNT)
            return false;
        n = 10 * n + (uint64_t)(*at - '0');
    }
    if (at == *p || n == 0 || n > MOST_COUNT)
        return false;
    *value = n;
    *p = at;
    return true;
}

bool ranges_read(struct ranges *ranges, const char *text, const char *where, struct cc_error *err)
{
    const char *p = text;
    unsigned long line = 1;

    for (;;) {
        while (*p == ' ' || *p == ',' || *p == '\n' || *p == '\r' || *p == '\t' || *p == '#') {
            if (*p == '\n')
                line++;
            if (*p == '#')
                p += strcspn(p, "\n");
            else
                p++;
        }
        if (*p == '\0')
            return true;
        const char *start = p;
        uint64_t first = 0, last = 0;
        bool good = read_digits(&first, &p);
        last = first;
        if (good && *p == '-') {
            p++;
            good = read_digits(&last, &p) && last >= first;
        }
        if (!good || strchr(" ,\n\r\t#", *p) == NULL) {
            int n = (int)strcspn(start, " ,\n\r\t#");
            enum cc_status s = cc_fail(err, CC_EPARSE, "'%.*s' is not a range of counts: write 57, 20,24,127 or 2-400",
                                       n < 40 ? n : 40, start);
            if (where != NULL)
                blame(s, err, "%s:%lu", where, line);
            return false;
        }
        add_range(ranges, first, last);
    }
}
