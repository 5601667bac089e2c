/* follow_parts.h: what the pictures of follow have in common. */
#ifndef CRANKCARD_CLI_KEEP_FOLLOW_PARTS_H
#define CRANKCARD_CLI_KEEP_FOLLOW_PARTS_H

#include "cli/keep/follow.h"

void follow_gap(struct text *t, struct follow_look look);       /* an empty line, where there is room */

/* "41 s", "3 min 20 s", "2 h 5 min". */
void follow_duration(char *buf, size_t size, uint64_t seconds);

/* What a round leaves on the work: "mark" of the trial round, else "cut". */
const char *follow_mark_word(const struct follow *follow);

/* "pass 2 of 3: finishing", "trial round"; "" of a job of one pass, without a remark. */
void follow_round_words(char *buf, size_t size, const struct journal *journal);

/* The remark of the pass at work; "" for none. */
const char *follow_pass_text(const struct journal *journal);

/* Whether that remark begins with this word. */
bool follow_pass_is(const struct journal *journal, const char *word);

void follow_write_title(struct text *t, const struct follow *follow);       /* request, piece, pass; setting */
void follow_write_progress(struct text *t, const struct follow *follow, struct follow_look look);    /* made, left, about how long */
void follow_write_open(struct text *t, const struct follow *follow);        /* passed over and left for later, of all passes */

/* By the dial, with a rim that says where the spindle stands. */
bool follow_has_rim(const struct job *job);

/* One plunger of a direct plate; a fixture has pins there. */
bool follow_by_plunger(const struct cc_plan *plan);

#endif
