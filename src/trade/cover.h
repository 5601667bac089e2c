/*
 * cover.h: maximum cover: which few of many sets have the heaviest union. Not public.
 */
#ifndef CRANKCARD_TRADE_COVER_H
#define CRANKCARD_TRADE_COVER_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/status.h"

/* Set s holds the items member[first[s]] .. member[first[s + 1] - 1], each once. */
struct cci_cover {
    size_t items, sets;
    const long long *weight;    /* of each item, >= 0, together below 2^40 */
    const size_t *first;        /* sets + 1 entries */
    const size_t *member;
    size_t choose;              /* sets to choose, at most */
    unsigned long long nodes;   /* search at most this many nodes */
};

struct cci_cover_result {
    size_t *chosen;             /* room for choose sets, the caller's */
    size_t count;               /* how many were chosen */
    long long value;            /* weight covered */
    long long bound;            /* no choice covers more: value itself where that is proved */
    bool proved;
    unsigned long long nodes;   /* searched */
};

/* Branch and bound. Errors: CC_ENOMEM. */
enum cc_status cci_cover_solve(struct cci_cover_result *result, const struct cci_cover *problem,
                               struct cc_error *err);

#endif
