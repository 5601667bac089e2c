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

/* The same, but a named pipe that nobody writes to is empty and not waited for. */
enum cc_status read_file_now(char **data, size_t *length, const char *path, FILE *in, struct cc_error *err);

/*
 * Streams for what the program writes. A stream of the C library forgets why an earlier write failed; these remember it.
 * stream_flush writes out what is held: false, errno being the reason of the first write that failed, where not
 * all was written. stream_to is NULL where memory runs out, and fd stays open; fclose closes it.
 */
FILE *stream_to(int fd);
bool stream_flush(FILE *stream);

/*
 * A file that is replaced when all is written: a temporary one beside the file that path leads to, over whatever
 * symbolic links. Where that is a device or a pipe it is written to directly.
 */
struct new_file {
    FILE *stream;       /* NULL: none is being written */
    char *path;         /* with the last link followed */
    char *temp;         /* NULL where it is written to directly */
    int fd;
};

/*
 * Begin; on failure nothing is left. An interrupt, a hang-up or a request to end removes the temporary file, and ends the
 * program as it would have.
 */
enum cc_status new_file_begin(struct new_file *file, const char *path, struct cc_error *err);

/*
 * All is written: sync it, rename it over path, and sync the directory. A failure names the call that failed and its
 * reason; the file is then as it was, or whole where only the last of these failed.
 */
enum cc_status new_file_end(struct new_file *file, struct cc_error *err);

/* Never mind: path stays as it was. */
void new_file_drop(struct new_file *file);

#endif
