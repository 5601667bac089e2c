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
#include "cli/keep/read_aloud.h"
#include "cli/out/setup.h"
#include "cli/out/text.h"

/* What is shown and which keys act; all but the offer, the questions and the end follow from the journal. */
enum follow_stage {
    FOLLOW_OFFER,           /* the job was begun before: go on, or (when done) once more */
    FOLLOW_SET_UP,          /* the next item of the set-up */
    FOLLOW_ROUND,           /* it is set up: a trial round first, or not */
    FOLLOW_AT_WORK,
    FOLLOW_MEASURE,         /* the row before next is made, and to be measured */
    FOLLOW_CHECK,           /* the same, and what must be seen is to be looked for */
    FOLLOW_MISSED,          /* the closing row did not fall on the first */
    FOLLOW_ASK,             /* gone forward past rows that are not made: cut already, or left for later? */
    FOLLOW_READ,            /* the set-up, to be read again */
    FOLLOW_SEEN,            /* what is seen is asked for, to look for the place with */
    FOLLOW_LEFT
};

#define FOLLOW_CHECKS 3     /* quarters of a job */

/* What can be seen of a place, in the order it is asked for; dial and rim in place of pins and scale. */
enum follow_sight { SIGHT_HOLE, SIGHT_HOLE2, SIGHT_DIAL, SIGHT_RIM, SIGHT_READING, SIGHT_CUTS, FOLLOW_SIGHTS };

struct follow {
    struct cli *cli;
    struct job job;
    struct journal journal;
    struct setup setup;
    enum follow_stage stage, before;    /* before: where FOLLOW_READ and FOLLOW_SEEN go back to */
    struct cc_cursor cursor;
    struct cc_step now;             /* the movement to make, where has_now */
    struct cc_step from;            /* the row that stands, where has_from */
    bool has_now, has_from;
    unsigned long long clock;       /* milliseconds when the current cut began */
    uint64_t check[FOLLOW_CHECKS];  /* rows behind which it is looked, where the journal says quarters */
    unsigned checks;
    unsigned pace;                  /* median seconds of a cut in other jobs on this head; 0: none is known */
    size_t page;                    /* FOLLOW_READ: the item that is shown */
    uint64_t wanted;                /* FOLLOW_ASK: the row to go to */
    char seen[FOLLOW_SIGHTS][64];   /* FOLLOW_SEEN: what was answered; "": not known */
    unsigned asked;                 /* the sight that is asked for */
    bool recover;                   /* left to look for the place with what was seen */
    bool unsaved;                   /* the last change could not be written */
    bool any_key;                   /* a key that has no meaning where it stands confirms */
    struct read_aloud *aloud;       /* NULL: nothing is read aloud */
    char spoken[200];               /* what was read aloud last */
    char title[100];                /* the request, in one line */
    const char *text;               /* what was typed with the last key, as follow_do has it */
    char message[900];              /* what the last key did */
    struct cc_error err;            /* why the last change could not be made */
};

enum follow_act {
    FOLLOW_CONFIRM, FOLLOW_BACK, FOLLOW_GO, FOLLOW_NOTE, FOLLOW_SAVE, FOLLOW_LEAVE,
    FOLLOW_ALL,             /* all of the set-up is done */
    FOLLOW_CUT, FOLLOW_LATER, FOLLOW_NO, FOLLOW_YES,
    FOLLOW_TRIAL, FOLLOW_PASS, FOLLOW_SET_UP_AGAIN, FOLLOW_RECOVER,
    FOLLOW_ANSWER           /* to follow_asks */
};

/* When the job is planned and the journal open: ready to be followed. offer: it was begun before. */
void follow_begin(struct follow *follow, bool offer);
void follow_end(struct follow *follow);

/* Do it, and say so in message. text is the number of FOLLOW_GO, the remark of FOLLOW_NOTE, the answer. */
void follow_do(struct follow *follow, enum follow_act act, const char *text);

/* Whether it does anything at this stage. */
bool follow_takes(const struct follow *follow, enum follow_act act);

/* What a letter does; false where it is none. typed: what a text is asked for by, NULL where it stands alone. */
bool follow_letter(enum follow_act *act, const char **typed, int letter);

/* What is asked for that is typed, and goes to FOLLOW_ANSWER; NULL where nothing is. */
const char *follow_asks(const struct follow *follow);

/* The answer to any other key. */
void follow_hint(struct follow *follow);

/*
 * Say where the job stands. large: figures of the movement of this size where the width has room, 0 for none; airy puts
 * empty lines between; more is how many items of the set-up stand behind the one that comes next; brief 1 leaves out what
 * is the same for every movement, 2 all but what the hands need.
 */
struct follow_look {
    unsigned large, more, brief;
    bool airy;
};
void follow_write(struct text *t, const struct follow *follow, struct follow_look look);

/*
 * Read aloud what is to be done now, where that is wished and it was not read before. Returns whether it failed before, which
 * message says then, once.
 */
bool follow_speak(struct follow *follow);

/* Follow until the job is left; cli->out or the whole terminal. */
void follow_lines(struct follow *follow);
void follow_screen(struct follow *follow);

#endif
