/* ranges.c: see ranges.h. */
#include "cli/ask/ranges.h"

#include <inttypes.h>
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

static void add_range(struct ranges *ranges, struct range range)
{
    ranges->at = memory_grow(ranges->at, ranges->n, &ranges->room, sizeof *ranges->at);
    ranges->at[ranges->n++] = range;
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

#define DIVIDERS " ,\n\r\t#"

/* Behind blanks, commas, line ends (counted) and comments. */
static const char *skip_dividers(const char *p, unsigned long *line)
{
    for (;; p++) {
        if (*p == '#')
            p += strcspn(p, "\n");
        if (*p == '\0' || strchr(DIVIDERS, *p) == NULL)
            return p;
        if (*p == '\n')
            ++*line;
    }
}

/* One count or range, either end first; *from is left behind it. Returns false where what stands there is neither. */
static bool read_range(struct range *range, const char **from)
{
    bool good = read_digits(&range->first, from);

    range->last = range->first;
    if (good && **from == '-') {
        ++*from;
        good = read_digits(&range->last, from);
    }
    return good && strchr(DIVIDERS, **from) != NULL;
}

/* False, with the place put before the message where the text is a file's. */
static bool not_a_range(enum cc_status s, struct cc_error *err, const char *where, unsigned long line)
{
    if (where != NULL)
        blame(s, err, "%s:%lu", where, line);
    return false;
}

bool ranges_read(struct ranges *ranges, const char *text, const char *where, struct cc_error *err)
{
    const char *p = text;
    unsigned long line = 1;

    while (*(p = skip_dividers(p, &line)) != '\0') {
        const char *start = p;
        struct range range = { 0, 0 };
        if (!read_range(&range, &p)) {
            int n = (int)strcspn(start, DIVIDERS);
            return not_a_range(cc_fail(err, CC_EPARSE, "'%.*s' is not a range of counts: write 57, 20,24,127 or 2-400",
                                       n < 40 ? n : 40, start), err, where, line);
        }
        if (range.last < range.first)
            return not_a_range(cc_fail(err, CC_EPARSE, "%" PRIu64 "-%" PRIu64 " runs backwards: write %" PRIu64 "-%" PRIu64,
                                       range.first, range.last, range.last, range.first), err, where, line);
        add_range(ranges, range);
    }
    return true;
}
