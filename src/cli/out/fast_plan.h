/* fast_plan.h: the row of a plan whose numbers fit machine words, written without GMP and without printf. */
#ifndef CRANKCARD_CLI_OUT_FAST_PLAN_H
#define CRANKCARD_CLI_OUT_FAST_PLAN_H

#include "cli/job/job.h"

/*
 * Write the row of a plan as csv or tsv, the same bytes as plan_records.c writes. Returns false, nothing written, where the
 * plan is not one of those it serves.
 */
bool fast_plan(FILE *out, const struct job *job, const struct cc_plan *plan);

#endif
