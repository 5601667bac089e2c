/* plan_records.h: plans and steps for programs. */
#ifndef CRANKCARD_CLI_OUT_PLAN_RECORDS_H
#define CRANKCARD_CLI_OUT_PLAN_RECORDS_H

#include "crankcard/plan.h"
#include "cli/job/job.h"
#include "cli/out/record.h"

extern const struct form plan_form, step_form;

/* Plans, as records or rows of r. */
void plan_records_init(struct record *r, FILE *out, const struct job *job);
void write_plan_record(struct record *r, const struct job *job, const struct cc_plan *plan);

/* The steps first ... last, unless none were asked for. */
void write_step_records(FILE *out, const struct job *job, uint64_t first, uint64_t last);

/* Of a train, whose drivers and driven gears are named from the spindle on. */
#define TRAIN_FIELDS \
    FIELD("drivers", COUNTS, "the first is on the spindle"), \
    FIELD("driven", COUNTS, "the last is on the worm shaft"), \
    FIELD("idlers", NUMBER, "between them")
void record_train(struct record *r, const struct cc_train *train);

#endif
