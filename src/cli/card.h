/* card.h: the parts of a card, each its own function, for the files that share them. */
#ifndef CRANKCARD_CLI_CARD_H
#define CRANKCARD_CLI_CARD_H

#include "cli/job.h"
#include "cli/text.h"

/* card_setup.c: "Set up", in the order of the hands. */
void card_setup(struct text *t, struct job *job);

/* card_steps.c: the table of steps first ... last. */
void card_steps(struct text *t, const struct job *job, uint64_t first, uint64_t last);

#endif
