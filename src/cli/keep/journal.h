/*
 * journal.h: the place of a job, on the disk before the next movement is shown.
 *
 * A journal is a text file of one user's, one a job, in $XDG_STATE_HOME/crankcard/ (else
 * ~/.local/state/crankcard/). Every line begins with the CRC-32 of all text up to its end, the
 * checksums left out, in eight hexadecimal digits:
 *
 *     7b2f6e31 crankcard journal 2
 *     e1a2b3c4 word divide                     the request as typed, a line for each word
 *     ........ directory /home/shop            where it was typed; left out where that has no name
 *     ........ head worm = 40                  the profile of the head, a line for each line
 *     ........ plan compound ...               the setting, to see that it is still the same
 *     ........ steps 57
 *     ........ closing                         the last row closes a circle; or: only start, row 0 is no position of a list
 *     ........ pass roughing, 4 mm             a pass that is planned, a line for each
 *     ........ pieces 8
 *     ........ measure after 3
 *     ........ checks quarters                 or: checks every 10
 *     ........ begun at 2025-05-02T09:14:07Z
 *     ........ set up 3 at ...                 three items of the set-up are ticked
 *     ........ trial at ...                    a trial round begins, from row 0
 *     ........ pass 1 at ...                   a pass is gone on with, where it is not begun from row 0
 *     ........ made 0 after 41 s at 2025-05-02T09:14:48Z
 *     ........ back to 0 at ...
 *     ........ go to 12 at ...
 *     ........ go to 20 cut from 14 at ...    and rows 14 to 19 are cut, by the machinist's word
 *     ........ note 12 chatter
 *     ........ opened at ...                   followed again after a rest
 *     ........ check 14 right at ...           what must be seen behind row 14 was seen; or: wrong
 *     ........ measured 3 at ...
 *     ........ closing wrong at ...            the last row did not fall on the first
 *     ........ piece 2 at ...                  the same job once more, from pass 1
 *
 * What stands between "steps" and "begun", and the events from "set up" to "pass" and from "check" to "closing", came with
 * format 2. A journal of format 1 is read as one whose first pass is being cut, and stays what it is until one of these is
 * added; then it is written anew, whole, as format 2.
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

enum journal_round {
    JOURNAL_SET_UP,             /* before all rounds */
    JOURNAL_TRIAL,              /* each position is marked, not cut */
    JOURNAL_CUT
};

/* How a job is to be gone through. */
struct journal_course {
    const char *const *passes;  /* the remark of each; NULL where count is 0: one pass, of which nothing is said */
    size_t pass_count;
    uint64_t pieces;            /* 0: not said */
    bool has_measure;           /* stop to measure when row `measure` is made */
    uint64_t measure;
    bool check_quarters;        /* what must be seen is asked for at quarters of the job */
    uint64_t check_every;       /* or after so many rows; 0: never */
    bool closing;               /* the last row closes a circle, and is not cut */
    bool only_start;            /* row 0 is the start of a list, and not cut */
};

struct journal_pass {
    char *text;                 /* its remark, or NULL */
    struct row_set made;        /* while it is not the one at work */
    bool begun;
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
    unsigned version;           /* of the file's format */
    struct journal_course course;       /* its passes aside, which stand in passes */
    /* the place */
    enum journal_round round;
    bool came_round;            /* the round before this one was left behind its last row */
    bool tried;                 /* a trial round was begun for this piece */
    uint64_t set_up;            /* items of the set-up that are ticked */
    struct journal_pass *passes;
    size_t pass_count, planned; /* 1 at least; how many of them were planned */
    uint64_t pass;              /* the one at work, from 1; 0 before the first */
    uint64_t next;              /* the row to be made next; steps + 1 behind the last one */
    struct row_set made;        /* the rows that were confirmed, of this round */
    bool checked, measured;     /* since the row before next was made */
    bool has_right;
    uint64_t right;             /* the last row behind which all was as it must be, in this round */
    bool missed;                /* next is the closing row, and it did not fall on the first */
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
 * Create and lock the journal of a new job, before its set-up. course NULL: one pass, and nothing else. Errors: CC_ENOFIT where the job has one already (nothing
 * is touched), CC_EPARSE with the reason where it cannot be written or another terminal holds it.
 */
enum cc_status journal_create(struct journal *journal, char *const *words, size_t count,
                              const char *head, const char *plan, uint64_t steps,
                              const struct journal_course *course, struct cc_error *err);

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

/* So many items of the set-up are ticked. Only before the first round. */
enum cc_status journal_set_up(struct journal *journal, uint64_t items, struct cc_error *err);

/* A trial round from row 0: before the first pass only. */
enum cc_status journal_trial(struct journal *journal, struct cc_error *err);

/*
 * Go on with this pass, from its first row that is not made; pass is at most one more than there are, which adds one with
 * the remark text, or without where it is NULL. What is made of the pass that was at work stays.
 */
enum cc_status journal_go_pass(struct journal *journal, uint64_t pass, const char *text, struct cc_error *err);

/* What must be seen behind the row before next was looked for; that row was measured; the closing row did not fall right. */
enum cc_status journal_check(struct journal *journal, bool right, struct cc_error *err);
enum cc_status journal_measure(struct journal *journal, struct cc_error *err);
enum cc_status journal_miss(struct journal *journal, struct cc_error *err);

/*
 * Write the journal anew under its own name where that is free, else under one beside it ("divide-57-beside-1a2b3c4d");
 * name and path are then those.
 */
enum cc_status journal_save_beside(struct journal *journal, struct cc_error *err);

/* Row 0, or 1 where row 0 is only the start of a list. */
uint64_t journal_first(const struct journal *journal);

/* Whether every row of this round is made, and none was gone to to be made again. */
bool journal_round_done(const struct journal *journal);

/* The first pass that has rows to be made, of those there are; 0 where all are done. The trial round is none. */
uint64_t journal_open_pass(const struct journal *journal);

/* Whether all passes are done, of all pieces that were asked for. */
bool journal_done(const struct journal *journal);

/* How many positions are made in this round, and how many there are: the start of a list and the closing row are none. */
void journal_count(uint64_t *made, uint64_t *all, const struct journal *journal);

/* How many rows from row 0 on have been passed in this round: made, or with a later one made or next. */
uint64_t journal_passed(const struct journal *journal);

/*
 * The rows from first up to end, end left out, that are not made: "the start, step 3, steps 5 to 9"; "" where all are.
 * Up to journal_passed these are open: left for later. size is JOURNAL_ROWS at least.
 */
void journal_rows_words(char *buf, size_t size, const struct journal *journal, uint64_t first, uint64_t end);

/* The rows made of a pass of this piece, and where what is passed of it ends; NULL where it is not begun. */
const struct row_set *journal_begun_pass(const struct journal *journal, uint64_t pass, uint64_t *end);

/* The same of what is open of a pass that was begun; of the round at work, where that is none, whatever pass is. */
void journal_open_words(char *buf, size_t size, const struct journal *journal, uint64_t pass);

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
