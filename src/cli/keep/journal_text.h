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

/* Put length bytes behind what is known good. */
void journal_keep(struct journal *journal, const char *data, size_t length);

enum journal_kind {
    EVENT_BEGUN, EVENT_SET_UP, EVENT_TRIAL, EVENT_PASS, EVENT_MADE, EVENT_BACK, EVENT_GO, EVENT_NOTE, EVENT_CHECK, EVENT_MEASURED,
    EVENT_MISSED, EVENT_OPENED, EVENT_PIECE, EVENT_KINDS
};

/* What a line from "begun" on says. */
struct journal_event {
    enum journal_kind kind;
    char at[24];                /* UTC, as the journal has it; "": not known */
    bool has_step, has_seconds, has_from, right;
    uint64_t step;              /* row; of EVENT_SET_UP how many items are ticked; of a pass or a piece its number */
    uint64_t from;              /* EVENT_GO: rows from here up to step were cut already; step itself: none */
    uint64_t seconds;           /* of a cut */
    char *text;                 /* of a remark, a pass; or NULL; to be freed */
    /* which round of which piece it is of: history.c fills it in */
    uint64_t piece, pass;       /* pass 0: the trial round */
    bool in_round;              /* false: during the set-up */
};

/* Read a line, its checksum aside. false where it is none of an event. */
bool journal_event_read(struct journal_event *event, const char *text, size_t length);

/* The format that a kind came with. */
unsigned journal_event_since(enum journal_kind kind);

/* "made", "back", ...: as in the records. */
const char *journal_event_name(enum journal_kind kind);

/*
 * Add the line of an event to the file, one of format 1 becoming one of format 2 first where it must, and then to the place.
 * CC_OK when it is on the disk.
 */
enum cc_status journal_add(struct journal *journal, const char *text, struct cc_error *err);

/* The time now as the lines have it. */
void journal_now(char buf[32]);

#endif
