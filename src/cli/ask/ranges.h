/* ranges.h: counts and ranges of counts, as table takes them. */
#ifndef CRANKCARD_CLI_ASK_RANGES_H
#define CRANKCARD_CLI_ASK_RANGES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/status.h"

#define MOST_COUNT UINT64_C(1000000000000000)   /* ends of a range; beyond it no head has settings */

struct range {
    uint64_t first, last;       /* 1 <= first <= last <= MOST_COUNT */
};

struct ranges {
    struct range *at;
    size_t n, room;
};

void ranges_init(struct ranges *ranges);
void ranges_clear(struct ranges *ranges);

/*
 * Append what text names: "2-400", "20,24,127", and both mixed; blanks, line ends and # comments
 * may stand between. where (may be NULL) names the file in messages. Returns false with err filled;
 * what was read before the mistake stays.
 */
bool ranges_read(struct ranges *ranges, const char *text, const char *where, struct cc_error *err);

#endif
