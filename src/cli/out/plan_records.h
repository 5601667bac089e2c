/* plan_records.h: plans and steps for programs. */
#ifndef CRANKCARD_CLI_OUT_PLAN_RECORDS_H
#define CRANKCARD_CLI_OUT_PLAN_RECORDS_H

#include <stdint.h>
#include <stdio.h>

#include "crankcard/plan.h"
#include "cli/job/job.h"

/* A plan as one object (jsonl). */
void write_plan_record(FILE *out, const struct job *job, const struct cc_plan *plan);

/* The step records (jsonl) or rows with their header (csv, tsv) first ... last. */
void write_step_records(FILE *out, const struct job *job, uint64_t first, uint64_t last);
void write_step_rows(FILE *out, const struct job *job, uint64_t first, uint64_t last, bool tabs);

#endif
