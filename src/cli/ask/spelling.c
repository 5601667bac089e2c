/* spelling.c: see spelling.h. */
#include "cli/ask/spelling.h"

#include <stddef.h>
#include <string.h>

/* Edit distance with a swap of neighbours as one edit, for words under 64 bytes. */
static size_t distance(const char *a, const char *b)
{
    size_t la = strlen(a), lb = strlen(b), row[3][64];

    if (la >= 64 || lb >= 64)
        return 64;
    for (size_t j = 0; j <= lb; j++)
        row[0][j] = j;
    for (size_t i = 1; i <= la; i++) {
        size_t *now = row[i % 3], *one = row[(i + 2) % 3], *two = row[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= lb; j++) {
            size_t best = one[j - 1] + (a[i - 1] != b[j - 1]);
            if (one[j] + 1 < best)
                best = one[j] + 1;
            if (now[j - 1] + 1 < best)
                best = now[j - 1] + 1;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
                two[j - 2] + 1 < best)
                best = two[j - 2] + 1;
            now[j] = best;
        }
    }
    return row[la % 3][lb];
}

const char *nearest_name(const char *word, const char *const *names)
{
    const char *best = NULL;
    size_t length = strlen(word), least = length < 6 ? 1 : 2;      /* a third of the word at most */

    for (; *names != NULL; names++) {
        size_t d = distance(word, *names);
        if (length >= 3 && strncmp(*names, word, length) == 0)
            d = d > 0 ? 1 : 0;      /* a beginning of the name */
        if (d < least || (d == least && best == NULL && d < length)) {
            least = d;
            best = *names;
        }
    }
    return best;
}
