/* journal_text.h: the lines of a journal, between journal.c and journal_text.c. */
#ifndef CRANKCARD_CLI_KEEP_JOURNAL_TEXT_H
#define CRANKCARD_CLI_KEEP_JOURNAL_TEXT_H

#include "cli/keep/journal.h"

#define JOURNAL_KIND "crankcard journal "       /* how the first line begins, its checksum aside */
#define JOURNAL_VERSION 1                       /* and what follows; what is read is up to this one */
#define JOURNAL_LINE 4096                       /* bytes of a line, and of a torn one, most */
#define JOURNAL_FRAME 11                        /* bytes around a line's text: checksum, blank, newline, NUL */

/* CRC-32 of what sum stands for (0 for nothing) and data behind it. */
uint32_t journal_crc(uint32_t sum, const char *data, size_t length);

/* One line in buf, its checksum in front; returns its length. *sum goes on. */
size_t journal_line(char *buf, size_t size, uint32_t *sum, const char *text);

/* text with backslashes and what cannot be shown as \xHH for each byte; at most size bytes with the NUL, or false. */
bool journal_escape(char *buf, size_t size, const char *text);

/* Put length bytes behind what is known good. */
void journal_keep(struct journal *journal, const char *data, size_t length);

/* What the events do to the place: the next row made; back to row; gone to row, those from cut_from on made; piece begun. */
void journal_take_made(struct journal *journal);
void journal_take_back(struct journal *journal, uint64_t row);
void journal_take_go(struct journal *journal, uint64_t row, uint64_t cut_from);
void journal_take_piece(struct journal *journal);

void journal_remember_time(struct journal *journal, uint64_t seconds);
void journal_remember_note(struct journal *journal, uint64_t row, const char *text);

#endif
