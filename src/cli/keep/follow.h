/*
 * follow.h: one job being followed: where it stands, what may be done, how it is said. The screen
 * (follow_screen.c) and the lines (follow_lines.c) are two ways to the same.
 */
#ifndef CRANKCARD_CLI_KEEP_FOLLOW_H
#define CRANKCARD_CLI_KEEP_FOLLOW_H

#include "crankcard/plan.h"
#include "cli/ask/cli.h"
#include "cli/job/job.h"
#include "cli/keep/journal.h"
#include "cli/out/text.h"

enum follow_stage {
    FOLLOW_OFFER,           /* the job was begun before: go on, or (when done) once more */
    FOLLOW_AT_WORK,
    FOLLOW_ASK,             /* gone forward past rows that are not made: cut already, or left for later? */
    FOLLOW_LEFT
};

struct follow {
    struct cli *cli;
    struct job job;
    struct journal journal;
    enum follow_stage stage;
    struct cc_cursor cursor;
    struct cc_step now;             /* the movement to make, where has_now */
    struct cc_step from;            /* the row that stands, where has_from */
    bool has_now, has_from;
    unsigned long long clock;       /* milliseconds when the current cut began */
    uint64_t wanted;                /* FOLLOW_ASK: the row to go to */
    bool unsaved;                   /* the last change could not be written */
    char title[100];                /* the request, in one line */
    char message[900];              /* what the last key did */
};

enum follow_act { FOLLOW_CONFIRM, FOLLOW_BACK, FOLLOW_GO, FOLLOW_NOTE, FOLLOW_SAVE, FOLLOW_LEAVE,
                  FOLLOW_CUT, FOLLOW_LATER, FOLLOW_STAY /* the answers to FOLLOW_ASK */ };

/* When the job is planned and the journal open: ready to be followed. */
void follow_begin(struct follow *follow, enum follow_stage stage);
void follow_end(struct follow *follow);

/* Do it, and say so in message. text is the number of FOLLOW_GO, the remark of FOLLOW_NOTE. */
void follow_do(struct follow *follow, enum follow_act act, const char *text);

/* What a letter does that stands alone; false where it is none of those. */
bool follow_letter(enum follow_act *act, int letter);

/* The answer to any other key. */
void follow_hint(struct follow *follow);

/*
 * Say where the job stands. large draws the numbers of the movement large where they fit; airy puts
 * empty lines between; brief leaves out all but what the hands need.
 */
struct follow_look {
    bool large, airy, brief;
};
void follow_write(struct text *t, const struct follow *follow, struct follow_look look);

/* Follow until the job is left; cli->out or the whole terminal. */
void follow_lines(struct follow *follow);
void follow_screen(struct follow *follow);

#endif
