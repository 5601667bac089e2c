/* head_cache.c: see head_cache.h. */
#include "cli/job/head_cache.h"

#include <stdlib.h>
#include <string.h>

#include "crankcard/plan.h"
#include "cli/ask/find_head.h"
#include "cli/base/memory.h"

void head_cache_init(struct head_cache *cache)
{
    cache->n = cache->next = 0;
}

static void drop(struct cached_head *entry)
{
    cc_planner_free(entry->planner);
    cc_head_clear(&entry->head);
    free(entry->name);
    free(entry->mounted);
}

void head_cache_clear(struct head_cache *cache)
{
    for (size_t i = 0; i < cache->n; i++)
        drop(&cache->at[i]);
    head_cache_init(cache);
}

static bool same(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

static char *copy_of(const char *text)
{
    return text != NULL ? memory_copy(text) : NULL;
}

static struct cached_head *find(struct head_cache *cache, const char *name, const char *mounted)
{
    for (size_t i = 0; i < cache->n; i++)
        if (same(cache->at[i].name, name) && same(cache->at[i].mounted, mounted))
            return &cache->at[i];
    return NULL;
}

/* A place for one more, the oldest's where all are taken. */
static struct cached_head *make_room(struct head_cache *cache)
{
    if (cache->n < CACHED_HEADS)
        return &cache->at[cache->n++];
    struct cached_head *entry = &cache->at[cache->next];
    cache->next = (cache->next + 1) % CACHED_HEADS;
    drop(entry);
    return entry;
}

/* The planner points to its head, so the head is read into its place at once. */
static enum cc_status load(struct cached_head **loaded, struct head_cache *cache, const char *name, const char *mounted,
                           struct cc_error *err)
{
    struct cc_head head;
    enum cc_status s;

    cc_head_init(&head);
    s = find_head(&head, name, mounted, err);
    if (s == CC_OK) {
        struct cached_head *entry = make_room(cache);
        *entry = (struct cached_head){ copy_of(name), copy_of(mounted), head, NULL };
        s = cc_planner_new(&entry->planner, &entry->head, err);
        if (s == CC_OK)
            *loaded = entry;
        return s;
    }
    cc_head_clear(&head);
    return s;
}

enum cc_status head_cache_lend(const struct cached_head **lent, struct head_cache *cache, const char *name,
                               const char *mounted, struct cc_error *err)
{
    struct cached_head *entry = find(cache, name, mounted);

    if (entry == NULL || entry->planner == NULL) {
        enum cc_status s = load(&entry, cache, name, mounted, err);
        if (s != CC_OK)
            return s;
    }
    *lent = entry;
    return CC_OK;
}
