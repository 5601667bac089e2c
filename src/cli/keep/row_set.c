/* row_set.c: see row_set.h. */
#include "cli/keep/row_set.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

void row_set_clear(struct row_set *set)
{
    free(set->run);
    *set = (struct row_set){ .n = 0 };
}

/* The first run that ends at row or behind it; n where there is none. */
static size_t find(const struct row_set *set, uint64_t row)
{
    size_t low = 0, high = set->n;

    while (low < high) {
        size_t mid = low + (high - low) / 2;
        if (set->run[mid].last < row)
            low = mid + 1;
        else
            high = mid;
    }
    return low;
}

/* Put count runs in place of those at .. end-1. */
static void replace(struct row_set *set, size_t at, size_t end, const struct row_run *with, size_t count)
{
    if (set->n + count > set->room) {
        set->room = 2 * (set->n + count);
        set->run = memory_resize(set->run, set->room * sizeof *set->run);
    }
    if (set->n > end)
        memmove(set->run + at + count, set->run + end, (set->n - end) * sizeof *set->run);
    if (count > 0)
        memcpy(set->run + at, with, count * sizeof *with);
    set->n = set->n - (end - at) + count;
}

void row_set_add(struct row_set *set, uint64_t first, uint64_t last)
{
    size_t at = find(set, first > 0 ? first - 1 : 0), end = at;
    struct row_run run = { first, last };

    for (; end < set->n && set->run[end].first <= last + 1; end++) {    /* what it touches becomes one with it */
        run.first = set->run[end].first < run.first ? set->run[end].first : run.first;
        run.last = set->run[end].last > run.last ? set->run[end].last : run.last;
    }
    replace(set, at, end, &run, 1);
}

void row_set_remove(struct row_set *set, uint64_t row)
{
    struct row_run left[2];
    size_t at = find(set, row), count = 0;

    if (!row_set_has(set, row))
        return;
    if (set->run[at].first < row)
        left[count++] = (struct row_run){ set->run[at].first, row - 1 };
    if (set->run[at].last > row)
        left[count++] = (struct row_run){ row + 1, set->run[at].last };
    replace(set, at, at + 1, left, count);
}

bool row_set_has(const struct row_set *set, uint64_t row)
{
    size_t at = find(set, row);
    return at < set->n && set->run[at].first <= row;
}

uint64_t row_set_count(const struct row_set *set, uint64_t first, uint64_t last)
{
    uint64_t count = 0;

    for (size_t i = find(set, first); i < set->n && set->run[i].first <= last; i++) {
        uint64_t from = set->run[i].first > first ? set->run[i].first : first;
        uint64_t to = set->run[i].last < last ? set->run[i].last : last;
        count += to - from + 1;
    }
    return count;
}

bool row_set_gap(struct row_run *gap, const struct row_set *set, uint64_t first, uint64_t last)
{
    size_t at = find(set, first);

    if (at < set->n && set->run[at].first <= first)
        first = set->run[at++].last + 1;
    *gap = (struct row_run){ first, at < set->n && set->run[at].first <= last ? set->run[at].first - 1 : last };
    return first <= last;
}
