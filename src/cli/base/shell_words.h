/*
 * shell_words.h: one line cut into words as a POSIX shell would, and nothing more: no variable, no
 * command, no pattern is ever looked at.
 */
#ifndef CRANKCARD_CLI_BASE_SHELL_WORDS_H
#define CRANKCARD_CLI_BASE_SHELL_WORDS_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/status.h"

struct shell_words {
    char **argv;        /* NULL behind the last */
    int argc, room;
    char *text;         /* what they point into */
};

/* All zero is an empty one; it may be used for line after line. */
void shell_words_clear(struct shell_words *words);

/*
 * Blanks divide words; '...' takes everything as it is; "..." and a backslash work as in POSIX.1-2008,
 * XCU 2.2; a # that begins a word begins a comment. What a shell would act upon ($, `, |, &, ;, <, >, (, ) and a
 * leading ~, not quoted) is refused in words, for it would not mean here what it means there.
 */
bool shell_words_split(struct shell_words *words, const char *line, struct cc_error *err);

/* A word as a shell reads it back, in single quotes where it needs them; false where buf is too small. */
bool shell_quote(char *buf, size_t size, const char *word);

/* The words in one line, in quotes where a shell would not take them as they are; too long ends in "...". */
void shell_words_join(char *buf, size_t size, char *const *words, size_t count);

#endif
