/* journal_store.h: where journals lie: names, the directory, opening, locking and making files; for journal.c. */
#ifndef CRANKCARD_CLI_KEEP_JOURNAL_STORE_H
#define CRANKCARD_CLI_KEEP_JOURNAL_STORE_H

#include <stdbool.h>
#include <stdint.h>
#include <sys/types.h>

#include "crankcard/status.h"

enum cc_status store_write(int fd, const char *data, size_t length, off_t at);

/* The whole of fd, to be freed. */
enum cc_status store_read(char **data, size_t *length, int fd, const char *path, struct cc_error *err);

/* A journal of that name in its directory. */
struct store {
    int directory, fd;      /* -1 where not open */
    char *file, *path;      /* in its directory, and whole; NULL where not found */
};

/* Open it, for writing and locked against other processes, or only for reading. CC_ENOFIT where there is none. */
enum cc_status store_open(struct store *store, const char *name, bool lock, struct cc_error *err);

/*
 * Open the directory alone, made where it is not there; file and path are those a journal of that name would have.
 */
enum cc_status store_prepare(struct store *store, const char *name, struct cc_error *err);

void store_close(struct store *store);

/*
 * Write a journal that is there whole, locked and synced, or not at all: store->fd. Without replace it is CC_ENOFIT
 * where one of that name exists.
 */
enum cc_status store_create(struct store *store, const char *data, size_t length, bool replace, struct cc_error *err);

/* Give the file a second name beside it, "FILE.damaged", or "FILE.damaged-2" and so on; path, to be freed. */
enum cc_status store_keep_damaged(char **path, const struct store *store, struct cc_error *err);

/* Whether fd is what path names, and has that many bytes. */
bool store_is_held(int fd, const char *path, uint64_t length);

#endif
