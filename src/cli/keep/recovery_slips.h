/* recovery_slips.h: the slips that fit what is seen, in words: for recover, and for a check of follow that is answered with no. */
#ifndef CRANKCARD_CLI_KEEP_RECOVERY_SLIPS_H
#define CRANKCARD_CLI_KEEP_RECOVERY_SLIPS_H

#include "crankcard/slips.h"
#include "cli/job/job.h"
#include "cli/out/text.h"

/*
 * The first `most` of those that cc_hand_slips_find found for the job: what each has done, how to tell it, the way back. In the
 * middle of a job seen.row is the row that was confirmed last, seen.right the one where all was last seen to be right.
 */
void recovery_slips_write(struct text *t, const struct job *job, const struct cc_hand_slips *slips, size_t most);

#endif
