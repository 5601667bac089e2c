/* follow_check.h: where it is looked on the way, and what must be seen there. */
#ifndef CRANKCARD_CLI_KEEP_FOLLOW_CHECK_H
#define CRANKCARD_CLI_KEEP_FOLLOW_CHECK_H

#include "cli/keep/follow.h"

/*
 * The rows nearest to the quarters of the job at which the spindle's scale can be read off with certainty, on whole
 * degrees; none where it is short or where no such row lies within an eighth of the job of a quarter.
 */
void follow_find_quarters(struct follow *follow);

/* Whether it is to be looked, or measured, before the next movement. */
bool follow_check_due(const struct follow *follow);
bool follow_measure_due(const struct follow *follow);

/* What must be seen: a paragraph each. */
void follow_write_sights(struct text *t, const struct follow *follow);

#endif
