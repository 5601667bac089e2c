/*
 * hands.h: one movement in the order of the hands, and where it leaves the pins; follow and recover
 * say it the same way.
 */
#ifndef CRANKCARD_CLI_KEEP_HANDS_H
#define CRANKCARD_CLI_KEEP_HANDS_H

#include <stddef.h>

#include "crankcard/plan.h"
#include "cli/job/job.h"

enum hand_part { HAND_CRANK, HAND_PLATE, HAND_SPINDLE, HAND_PIN, HAND_DETENT };

struct hand_move {
    enum hand_part part;
    bool back;
    uint64_t turns, holes;      /* HAND_PIN: holes is the number of the pin to use; HAND_DETENT: what the detent is set to */
    unsigned circle;
};

/* The parts of a step's movement, the one to make first first; 0, 1 or 2. */
unsigned hand_moves(struct hand_move moves[2], const struct cc_plan *plan, const struct cc_step *step);

/* "crank 5 turns and 35 holes of 49", "plate back 10 holes of 39", "pin 3". */
void hand_words(char *buf, size_t size, const struct hand_move *move);

/* Where the pins stand: "hole 7 of the 49 circle", "hole 7 of the 19 circle, plate carried 5 holes of 15", "hole 5, pin 3". */
void pins_words(char *buf, size_t size, const struct cc_plan *plan, uint64_t hole, uint64_t hole2);

/* The same of a row, and by the dial what it and the rim read there: "dial at 2°19′ v0, rim at 6.3°". */
void place_words(char *buf, size_t size, const struct job *job, const struct cc_step *step);

/* What the dial reads at a row, and what the rim must show, "" where there is none. */
void dial_place_words(char *dial, char *rim, size_t size, const struct job *job, const struct cc_step *step);

/* A caution about the movement: it goes back, or one hole past the arms; "" where there is none. */
void caution_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_step *step);

#endif
