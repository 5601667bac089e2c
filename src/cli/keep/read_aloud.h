/*
 * read_aloud.h: a line handed to a program of the user's choice, which reads it aloud: on its standard input, and never
 * through a shell. Its own output is dropped. Whatever it does, nobody waits for it: it is stopped after ten seconds, or when
 * the next line comes.
 */
#ifndef CRANKCARD_CLI_KEEP_READ_ALOUD_H
#define CRANKCARD_CLI_KEEP_READ_ALOUD_H

#include <stdbool.h>

#include "cli/base/shell_words.h"

struct read_aloud {
    struct shell_words command;
    long process;           /* that watches over it; 0: none runs */
    bool failed;            /* once, and it was told */
};

/* command as a shell would cut it into words. false with err filled where it is none. read_aloud_clear in any case. */
bool read_aloud_init(struct read_aloud *aloud, const char *command, struct cc_error *err);
void read_aloud_clear(struct read_aloud *aloud);      /* what is being read goes on */

void read_aloud_line(struct read_aloud *aloud, const char *line);

/* Whether the last line could not be read aloud, and that was not told before. */
bool read_aloud_has_failed(struct read_aloud *aloud);

#endif
