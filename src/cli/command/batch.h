/*
 * batch.h: the two ends of a batch. A worker, a child process, runs the requests and writes what they answer into a pipe; the
 * program itself puts the line's number to every record and writes them out. So whatever ends the worker, out of memory
 * above all, ends neither the file that is written nor what was answered before.
 *
 * What goes through the pipe is lines. A line that begins with one of the bytes below is a note; records
 * never do, since JSON has no control characters.
 */
#ifndef CRANKCARD_CLI_COMMAND_BATCH_H
#define CRANKCARD_CLI_COMMAND_BATCH_H

#include "cli/ask/command.h"

#define NOTE_BEGIN '\x1D'       /* the line's number: its answer follows */
#define NOTE_DONE '\x1E'        /* exit status, a blank, and the failure's message, perhaps empty */
#define NOTE_END '\x1F'         /* the input is at its end; a reason behind it: it could not be read further */

/*
 * Work off the lines of in with those commands. prompt: hand out every answer at once; pack: as a page of HTML (OUTPUT_PAGE and its
 * name in front), else as records. False where in could not be read to its end.
 */
bool batch_work(FILE *in, FILE *out, const struct command *const *commands, bool prompt, bool pack);

#endif
