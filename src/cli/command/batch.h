/*
 * batch.h: the two ends of a batch. Workers run the requests and write what they answer into a pipe; the
 * program itself puts the line's number to every record and writes them out in the order of the lines.
 *
 * What goes through the pipe is lines. A line that begins with one of the bytes below is a note; records
 * never do, since JSON has no control characters.
 */
#ifndef CRANKCARD_CLI_COMMAND_BATCH_H
#define CRANKCARD_CLI_COMMAND_BATCH_H

#include "cli/ask/command.h"

#define NOTE_BEGIN '\x1D'       /* the line's number: its answer follows */
#define NOTE_DONE '\x1E'        /* exit status, a blank, and the failure's message, perhaps empty */
#define NOTE_BLOCK '\x1F'       /* a block of lines is done. "end" behind it: the input is at its end;
                                   "end " and a reason: it could not be read further */

#define BLOCK_LINES 8           /* lines that one worker takes at a time; the next has the next block */

/*
 * Work off the lines of in that are worker's, of workers in all, with those commands. prompt: hand out every answer
 * at once.
 * Returns false where in could not be read to its end.
 */
bool batch_work(FILE *in, FILE *out, const struct command *const *commands, unsigned worker, unsigned workers,
                bool prompt);

#endif
