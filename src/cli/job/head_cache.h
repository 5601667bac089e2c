/*
 * head_cache.h: heads that were loaded before, with their planners, so that a batch reads a profile once and
 * works out its gear trains once.
 */
#ifndef CRANKCARD_CLI_HEAD_CACHE_H
#define CRANKCARD_CLI_HEAD_CACHE_H

#include "cli/job/job.h"

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

/* Lend the job its head and planner; they stay the cache's, until it is asked for CACHED_HEADS others. */
enum cc_status head_cache_lend(struct head_cache *cache, struct job *job, struct cc_error *err);

#endif
