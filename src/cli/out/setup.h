/*
 * setup.h: what the hands do before the first cut and between two cuts, in their order: the items of a card's "Set up",
 * each with its words and with the acts that the words ask for.
 *
 * The card prints the words. A test's hands (tests/test_hands.c) do the acts, in the order given and nothing else, on a
 * model of a head; so an item that is missing, or stands where it cannot be done, shows there.
 */
#ifndef CRANKCARD_CLI_OUT_SETUP_H
#define CRANKCARD_CLI_OUT_SETUP_H

#include <stddef.h>

#include "cli/job/job.h"

enum act {
    ACT_END = 0,
    ACT_CLAMP_OFF,          /* the spindle's clamp */
    ACT_CLAMP_ON,
    ACT_PLUNGER_OUT,        /* of the direct plate */
    ACT_PLUNGER_IN,
    ACT_WORM_OUT,           /* of mesh */
    ACT_WORM_IN,            /* in mesh, and its own clamp tight */
    ACT_PLATE,              /* the plan's plate on, the plan's side to the crank */
    ACT_STOP_IN,            /* of the plate */
    ACT_STOP_OUT,
    ACT_SECOND_PIN_IN,
    ACT_SECOND_PIN_OUT,
    ACT_REACH,              /* the crank pin set to the plan's circle */
    ACT_ARMS,               /* set to the movement */
    ACT_ARMS_ROUND,         /* brought on to the pin */
    ACT_TABLE_GEARED,       /* the head geared to the table screw for a lead */
    ACT_CLEAR,              /* knee lowered: the cutter is clear of the work */
    ACT_RETURN,             /* table back past its start and forward to it, so that the play of the gears is out */
    ACT_RAISE,              /* knee up again, to the depth */
    ACT_GEARS,              /* the plan's gears and idlers on */
    ACT_TRY_GEARS,          /* crank forward, see that the plate goes the right way */
    ACT_PIN_OUT,            /* of the crank; direct fixtures: the fixture's pin */
    ACT_PIN_IN,
    ACT_TAKE_UP,            /* crank forward until the play of worm (and gears) is out */
    ACT_ZERO,               /* by the dial: dial and rim at 0 together; else mark hole and second pin's hole, note the spindle's scale */
    ACT_TURN_CRANK,         /* the row's part of the crank */
    ACT_TURN_PLATE,         /* the row's part of the plate, crank and plate together */
    ACT_TURN_SPINDLE,       /* the row's part by hand, on the direct plate */
    ACT_PARTS,              /* the row's parts in the order written, each by its own item */
    ACT_TO_READING,         /* crank forward: the row's whole turns, then up to its reading on the dial */
    ACT_SETTLE,             /* spindle pushed back against the plunger */
    ACT_CUT
};

enum setup_kind {
    SETUP_ONCE,             /* before the first position */
    SETUP_EACH,             /* every movement */
    SETUP_CRANK_PART,       /* how one part of a movement is made */
    SETUP_PLATE_PART,
    SETUP_BACK,             /* how a row that goes back is made */
    SETUP_KNOW              /* to know or to mind; no act */
};

#define SETUP_ACTS 8

struct setup_item {
    enum setup_kind kind;
    enum act acts[SETUP_ACTS + 1];      /* ACT_END behind the last */
    char *words;                        /* a paragraph */
};

struct setup {
    struct setup_item *at;
    size_t n, room;
};

/* The items for the job's plan. setup_clear frees them. */
void setup_make(struct setup *setup, const struct job *job);
void setup_clear(struct setup *setup);

/*
 * Whether sector arms are set once for the whole job; the spaces between them, and whether they stand behind the pin
 * because they do not open so far in front of it.
 */
bool setup_arms(int64_t *spaces, bool *behind, const struct job *job);

/* The same for one movement alone, of which the arms are set anew each time. */
bool setup_step_arms(int64_t *spaces, bool *behind, const struct cc_plan *plan, const struct cc_step *step);

/* Which way is forward by the dial: "Forward is clockwise, and the dial's numbers rise; keep to it." */
const char *setup_forward_by_dial(const struct job *job);

/* Whether a round ends with all pins in the holes in which the first position stands. */
bool setup_ends_where_it_began(const struct job *job);

/* "back half a turn or more past the zero, and forward to it": for a round that does not end where it began. */
const char *setup_back_to_zero(const struct cc_plan *plan);

#endif
