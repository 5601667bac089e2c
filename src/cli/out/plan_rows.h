/* plan_rows.h: one CSV or TSV row a plan, for methods and table. */
#ifndef CRANKCARD_CLI_OUT_PLAN_ROWS_H
#define CRANKCARD_CLI_OUT_PLAN_ROWS_H

#include "crankcard/plan.h"
#include "cli/job/job.h"
#include "cli/out/csv.h"

struct plan_rows {
    struct csv csv;
};

/* Writes the header. */
void plan_rows_begin(struct plan_rows *rows, FILE *out, bool tabs);
void plan_rows_add(struct plan_rows *rows, const struct job *job, const struct cc_plan *plan);

#endif
