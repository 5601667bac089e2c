/* card.h: the card of a plan, and its parts for the files that share them. */
#ifndef CRANKCARD_CLI_OUT_CARD_H
#define CRANKCARD_CLI_OUT_CARD_H

#include "crankcard/plan.h"
#include "cli/job/job.h"
#include "cli/out/text.h"

/* A whole card of the job's plan. */
void write_card(FILE *out, struct job *job);

/* Its parts, for a card that says more between them: from the title to the set-up; steps and closing check; cautions and foot. */
void card_set_up(struct text *t, struct job *job);
void card_run(struct text *t, const struct job *job);
void card_end(struct text *t, const struct job *job);

/* card_summary.c: title and first lines; and "57 divisions", "30 divisions of an arc", "5 positions". */
void card_summary(struct text *t, struct job *job);
/* Whether a list begins with 0: its first position is then where the start is, one row for both and no movement. */
bool card_starts_at_first(const struct job *job);
void card_choices(struct text *t, struct job *job);     /* "simpler", "more exact" and so on alone, each with its command */
void card_subject(char *buf, size_t size, const struct job *job);

/* card_working.c: the arithmetic of the plan, for pencil and paper. */
void card_working(struct text *t, const struct job *job);

/* card_closing.c: "Closing check", and the way-marks before it. */
void card_closing(struct text *t, const struct job *job);

#define CARD_STEPS 2000     /* on a card, unless asked for more */

/* card_steps.c: the table of steps first ... last. */
void card_steps(struct text *t, const struct job *job, uint64_t first, uint64_t last);

/* With --strip: what the strips mean, and the strip of one step. */
void card_strip_key(struct text *text, const struct job *job);
void card_strip(struct text *text, const struct job *job, const struct cc_step *step);

#endif
