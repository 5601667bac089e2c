/*
 * journal.h: the place of a job, on the disk before the next movement is shown.
 *
 * A journal is a text file of one user's, one a job, in $XDG_STATE_HOME/crankcard/ (else
 * ~/.local/state/crankcard/). Every line begins with the CRC-32 of all text up to its end, the
 * checksums left out, in eight hexadecimal digits:
 *
 *     7b2f6e31 crankcard journal 1
 *     e1a2b3c4 word divide                     the request as typed, a line for each word
 *     ........ directory /home/shop            where it was typed; left out where that has no name
 *     ........ head worm = 40                  the profile of the head, a line for each line
 *     ........ plan compound ...               the setting, to see that it is still the same
 *     ........ steps 57
 *     ........ begun at 2025-05-02T09:14:07Z
 *     ........ made 0 after 41 s at 2025-05-02T09:14:48Z
 *     ........ back to 0
 *     ........ go to 12
 *     ........ go to 20 cut from 14           and rows 14 to 19 are cut, by the machinist's word
 *     ........ note 12 chatter
 *     ........ opened at ...                   followed again after a rest
 *     ........ piece 2 at ...                  the same job once more
 *
 * The file is created whole, then only grows. A last line that is not as written was being written when the power
 * went, or has been changed since: it is dropped, and the caller says so and asks before going on. Anything else
 * that is not as written is refused; what is good before it can be salvaged.
 */
#ifndef CRANKCARD_CLI_KEEP_JOURNAL_H
#define CRANKCARD_CLI_KEEP_JOURNAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/status.h"
#include "cli/keep/row_set.h"

#define JOURNAL_NAME 64         /* bytes of a job's name with its NUL, most */
#define JOURNAL_NAME_SUM 8      /* hexadecimal digits at its end, behind a hyphen */
#define JOURNAL_NOTE 200        /* bytes of a remark, most */
#define JOURNAL_ROWS 240        /* bytes for some runs of rows in words */
#define JOURNAL_TIMES 512       /* times per cut that are remembered, the latest */
#define JOURNAL_MOST (64UL * 1024 * 1024)       /* bytes of a journal, most */

enum journal_tail {
    JOURNAL_WHOLE,              /* the last line is as written */
    JOURNAL_TORN,               /* it is not all there, and was dropped */
    JOURNAL_WRONG               /* it is, but its checksum is not: dropped too */
};

struct journal {
    char name[JOURNAL_NAME];
    char *path;                 /* for messages */
    int fd;                     /* -1: read only, or not open */
    /* the request */
    char **words;
    size_t word_count;
    char *directory;            /* where the request was typed, for names of files in it; NULL: unknown */
    char *head;                 /* text of the profile */
    char *plan;
    uint64_t steps;
    /* the place */
    uint64_t next;              /* the row to be made next; steps + 1 behind the last one */
    struct row_set made;        /* the rows that were confirmed, of this piece */
    bool chosen;                /* next was gone to, or back to, not come to by making the row before it */
    uint64_t piece;             /* 1 for the first */
    char last_note[JOURNAL_NOTE + 1];   /* the latest remark on row `next` or the row before it */
    uint64_t last_note_row;
    bool has_note;
    unsigned times[JOURNAL_TIMES];      /* seconds each cut took, as a ring */
    size_t time_count;
    /* the file */
    char *good;                 /* the bytes known good */
    size_t length;              /* how many; in the file another line end may be missing behind them */
    uint32_t sum;
    unsigned long lines;        /* how many lines they are */
    enum journal_tail tail;
    bool no_newline;            /* the last line lacks its newline and nothing else */
    bool salvageable;           /* it was refused for a damaged line, and what stands before that makes a job */
    uint64_t on_disk;           /* bytes of the file when it was last looked at */
    bool adrift;                /* the file at its name is not the one that is held */
};

void journal_init(struct journal *journal);
void journal_clear(struct journal *journal);     /* closes, and so unlocks */

/* The name of the job that these words ask for: "divide-57-1a2b3c". */
void journal_name(char name[JOURNAL_NAME], char *const *words, size_t count);

/*
 * Create and lock the journal of a new job. Errors: CC_ENOFIT where the job has one already (nothing
 * is touched), CC_EPARSE with the reason where it cannot be written or another terminal holds it.
 */
enum cc_status journal_create(struct journal *journal, char *const *words, size_t count,
                              const char *head, const char *plan, uint64_t steps,
                              struct cc_error *err);

/*
 * Open the journal called name. With lock it is held against other terminals; without, it is only read. A last line
 * that was dropped stays in the file until the next event is added. Errors: CC_ENOFIT where there is none of that
 * name; CC_EPARSE with the reason where it is damaged (salvageable: the journal is what stands before the damage),
 * foreign, of a later version, held, or not the user's alone.
 */
enum cc_status journal_open(struct journal *journal, const char *name, bool lock,
                            struct cc_error *err);

/*
 * Go on from what is good of a damaged journal: the damaged file keeps its bytes under the name *kept, to be freed, and
 * a new one that ends before the damage takes its place. Errors as journal_open; CC_EPARSE where it is not damaged,
 * or nothing can be salvaged.
 */
enum cc_status journal_salvage(struct journal *journal, const char *name, char **kept, struct cc_error *err);

/* The same as journal_open from bytes in memory; journal->fd stays -1. what names the file in messages. */
enum cc_status journal_read(struct journal *journal, const char *data, size_t length,
                            const char *what, struct cc_error *err);

/*
 * Add an event and wait until it is on the disk; journal changes only then. A failure says why, and the same call may
 * be made again. Nothing is added where the file at its name is not the one that is held, or has another length than
 * it was left with: adrift is set then, and journal_save_beside is the way on.
 */
enum cc_status journal_made(struct journal *journal, unsigned seconds, struct cc_error *err);
enum cc_status journal_back(struct journal *journal, struct cc_error *err);
/*
 * Row comes next. Rows in between that are not made stay open; with cut, those from the row that came next up to it are
 * made.
 */
enum cc_status journal_go(struct journal *journal, uint64_t row, bool cut, struct cc_error *err);
enum cc_status journal_note(struct journal *journal, const char *text, struct cc_error *err);
enum cc_status journal_opened(struct journal *journal, struct cc_error *err);
enum cc_status journal_piece(struct journal *journal, struct cc_error *err);

/*
 * Write the journal anew under its own name where that is free, else under one beside it ("divide-57-beside-1a2b3c4d");
 * name and path are then those.
 */
enum cc_status journal_save_beside(struct journal *journal, struct cc_error *err);

/* Whether every row is made, and none was gone to to be made again. */
bool journal_done(const struct journal *journal);

/* How many rows from row 0 on have been passed: made, or with a later one made or next. */
uint64_t journal_passed(const struct journal *journal);

/*
 * The rows from first up to end, end left out, that are not made: "the start, step 3, steps 5 to 9"; "" where all are.
 * Up to journal_passed these are open: left for later. size is JOURNAL_ROWS at least.
 */
void journal_rows_words(char *buf, size_t size, const struct journal *journal, uint64_t first, uint64_t end);

/* Median seconds of a cut; 0 where none is known. */
unsigned journal_median(const struct journal *journal);

/* Remove the job called name. Errors as journal_open, but a damaged journal can be removed. */
enum cc_status journal_forget(const char *name, struct cc_error *err);

/*
 * The names of all jobs, sorted; the caller frees each and the array. Errors: CC_EPARSE where the
 * directory cannot be read; there being none is no error.
 */
enum cc_status journal_names(char ***names, size_t *count, struct cc_error *err);

/* Free what journal_names gave. */
void journal_free_names(char **names, size_t count);

#endif
