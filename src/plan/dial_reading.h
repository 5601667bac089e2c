/* dial_reading.h: what dial_reading.c and rows.c share of how a dial is numbered. Not public. */
#ifndef CRANKCARD_PLAN_DIAL_READING_H
#define CRANKCARD_PLAN_DIAL_READING_H

#include "crankcard/dial.h"

/* Whether what is read falls, forward. */
bool cci_dial_falls(const struct cc_head *head, enum cc_way forward);
bool cci_rim_falls(const struct cc_head *head, enum cc_way forward);

/* What so many parts are, as the dial is numbered: degrees of the spindle, or lines. */
void cci_dial_value(mpq_t value, uint64_t parts, const struct cc_plan *plan);

#endif
