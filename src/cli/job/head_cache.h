/*
 * head_cache.h: heads that were loaded before, with their planners, so that a batch reads a profile once and
 * works out its gear trains once.
 */
#ifndef CRANKCARD_CLI_JOB_HEAD_CACHE_H
#define CRANKCARD_CLI_JOB_HEAD_CACHE_H

#include "crankcard/head.h"

#define CACHED_HEADS 16

struct cached_head {
    char *name, *mounted;   /* as asked for; NULL where nothing was asked */
    struct cc_head head;
    struct cc_planner *planner;
};

struct head_cache {
    struct cached_head at[CACHED_HEADS];
    size_t n, next;         /* next: the one to give way */
};

void head_cache_init(struct head_cache *cache);
void head_cache_clear(struct head_cache *cache);

/*
 * Lend the head of that name with that plate (and side) mounted, either NULL where nothing was asked, and its planner.
 * They stay the cache's, until it is asked for CACHED_HEADS others.
 */
enum cc_status head_cache_lend(const struct cached_head **lent, struct head_cache *cache, const char *name,
                               const char *mounted, struct cc_error *err);

#endif
