/* files.h: whole files in, whole files out. */
#ifndef CRANKCARD_CLI_BASE_FILES_H
#define CRANKCARD_CLI_BASE_FILES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "crankcard/status.h"

#define MAX_FILE (64UL * 1024 * 1024)   /* bytes of any file read whole */

/*
 * The whole of path (or of in when path is "-") in *data, closed by a NUL that *length does not
 * count; the caller frees. Errors: CC_EPARSE with the path and the reason; CC_ELIMIT over MAX_FILE.
 */
enum cc_status read_file(char **data, size_t *length, const char *path, FILE *in,
                         struct cc_error *err);

/*
 * A temporary file beside path, for writing; *temp_path is to be freed. finish_file flushes it to
 * the disk and renames it over path; drop_file removes it. Where path is a device or a pipe it is
 * written to directly, and *temp_path is NULL.
 */
FILE *start_file(char **temp_path, const char *path, struct cc_error *err);
enum cc_status finish_file(FILE *file, char *temp_path, const char *path, struct cc_error *err);
void drop_file(FILE *file, char *temp_path);

/* Write out what a stream still holds. Returns false, errno set, if that or any earlier write failed. */
bool flush_stream(FILE *file);

#endif
