/* journal_text.h: the lines of a journal, between journal.c and journal_text.c. */
#ifndef CRANKCARD_CLI_KEEP_JOURNAL_TEXT_H
#define CRANKCARD_CLI_KEEP_JOURNAL_TEXT_H

#include "cli/keep/journal.h"

#define JOURNAL_KIND "crankcard journal "       /* how the first line begins, its checksum aside */
#define JOURNAL_VERSION 2                       /* and what follows; what is read is up to this one */
#define JOURNAL_LINE 4096                       /* bytes of a line, and of a torn one, most */
#define JOURNAL_SUM 9                           /* bytes before a line's text: checksum, blank */
#define JOURNAL_FRAME 11                        /* bytes around a line's text: checksum, blank, newline, NUL */

/* CRC-32 of what sum stands for (0 for nothing) and data behind it. */
uint32_t journal_crc(uint32_t sum, const char *data, size_t length);

/* One line in buf, its checksum in front; returns its length. *sum goes on. */
size_t journal_line(char *buf, size_t size, uint32_t *sum, const char *text);

/* text with backslashes and what cannot be shown as \xHH for each byte; at most size bytes with the NUL, or false. */
bool journal_escape(char *buf, size_t size, const char *text);

/* The text that journal_escape was given, to be freed; NULL where it is not of that form. */
char *journal_unescape(const char *text, size_t length);

/* Put length bytes behind what is known good. */
void journal_keep(struct journal *journal, const char *data, size_t length);

/*
 * journal_add a line of format 2 to the file: one of format 1 becomes one of format 2 first. journal_add_line a line that both
 * have. CC_OK when it is on the disk. What it says of the place is for the caller to take in.
 */
enum cc_status journal_add(struct journal *journal, const char *text, struct cc_error *err);
enum cc_status journal_add_line(struct journal *journal, const char *text, struct cc_error *err);

/* The time now as the lines have it. */
void journal_now(char buf[32]);

#endif
