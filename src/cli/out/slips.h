/* slips.h: what the slips people make look like on this setting, in words; docs/follow.md has the whole table. */
#ifndef CRANKCARD_CLI_OUT_SLIPS_H
#define CRANKCARD_CLI_OUT_SLIPS_H

#include <stddef.h>

#include "cli/job/job.h"

/* "a lost turn: hole right, work out by 9°; ..." of a job through the worm; "" for direct. */
void slips_words(char *buf, size_t size, const struct job *job);

#endif
