/* look.h: whether something is there, so that what is there and cannot be used is never passed over. */
#ifndef CRANKCARD_CLI_BASE_LOOK_H
#define CRANKCARD_CLI_BASE_LOOK_H

#include <stdbool.h>

#include "crankcard/status.h"

/*
 * Whether path is there: a file, a directory, a pipe, a link even to nothing. Not there is only what surely is not.
 * Errors: CC_EPARSE where that cannot be known: a folder above it is a link to nothing or to itself, may not be
 * searched, or is none of a folder below `own`, the name from which on folders are the program's own ("crankcard").
 */
enum cc_status look_for(bool *there, const char *path, const char *own, struct cc_error *err);

/* CC_OK where path is an ordinary file, or a directory; else CC_EPARSE says what it is. */
enum cc_status look_at_file(const char *path, struct cc_error *err);
enum cc_status look_at_folder(const char *path, struct cc_error *err);

#endif
