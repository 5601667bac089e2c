/* follow_stages.h: what is shown where no movement is to be made, and which keys act at each stage. */
#ifndef CRANKCARD_CLI_KEEP_FOLLOW_STAGES_H
#define CRANKCARD_CLI_KEEP_FOLLOW_STAGES_H

#include "cli/keep/follow.h"

/* At any stage but FOLLOW_AT_WORK with a movement to make. */
void follow_write_stage(struct text *t, const struct follow *follow, struct follow_look look);

/* "Enter made and cut  b back  g go to ..."; brief: "Enter made and cut  b  g ...". */
void follow_keys(char *buf, size_t size, const struct follow *follow, bool brief);

#endif
