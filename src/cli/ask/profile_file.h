/* profile_file.h: one value into a profile that is a file of the user's. */
#ifndef CRANKCARD_CLI_ASK_PROFILE_FILE_H
#define CRANKCARD_CLI_ASK_PROFILE_FILE_H

#include <stdbool.h>

#include "cli/ask/cli.h"

/*
 * "key = value" into [section] of the profile in the file path, for --write: the rest, comments and all, stays as it stands, what
 * comes out is read before it takes the file's place, and it takes it as a whole. False with err filled; the file is then as it was.
 */
bool profile_file_set(struct cli *cli, const char *path, const char *section, const char *key, const char *value);

#endif
