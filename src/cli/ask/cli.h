/*
 * cli.h: one run of a command: its streams, what was handed down to it, and how it fails.
 *
 * A command prints nothing to standard error: a failure fills cli->err and the exit status says the rest, so that
 * batch can run the same commands.
 */
#ifndef CRANKCARD_CLI_ASK_CLI_H
#define CRANKCARD_CLI_ASK_CLI_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/status.h"

struct cli {
    FILE *out;              /* where results go */
    FILE *in;               /* what the operand '-' reads */
    struct cc_error err;    /* filled when a run function returns EXIT_TROUBLE, or EXIT_NO without output */
    bool in_batch;          /* the request is a line of a batch: jsonl, no --output, no nested batch */
    unsigned long page;     /* the request's line where the batch is a pack of pages, all html; else 0 */
    struct head_cache *heads;                   /* heads loaded before, of a batch; else NULL */
    int typed_count;        /* the line as typed, without the program's name */
    char **typed;
    const struct command *const *commands;      /* all there are, NULL at the end; see ask/command.h */
};

/* Fill cli->err and return EXIT_TROUBLE. */
int cli_trouble(struct cli *cli, const char *format, ...) CC_PRINTF(2, 3);

/* The exit status that goes with a library status: CC_ENOFIT is a "no". */
int cli_status(enum cc_status status);

#endif
