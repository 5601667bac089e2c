/*
 * plate_making.h: a plate drilled on the head itself, then through that one another, and so on: how good each gets.
 */
#ifndef CRANKCARD_CLI_SUBJECT_PLATE_MAKING_H
#define CRANKCARD_CLI_SUBJECT_PLATE_MAKING_H

#include "crankcard/makeplate.h"
#include "crankcard/plan.h"
#include "cli/out/form.h"
#include "cli/subject/plates_job.h"

struct plate_making {
    mpq_t worm_error, drill_error;
    bool assumed;                       /* the worm's error is */
    struct cc_making made;
};

void plate_making_init(struct plate_making *m);
void plate_making_clear(struct plate_making *m);

/* The plan for the first plate, and generations until more of them gain nothing; the head has a worm. */
enum cc_status plate_making_find(struct plate_making *m, const struct plates_job *q, struct cc_error *err);

void plate_making_write_card(FILE *out, const struct plates_job *q, const struct plate_making *m);
extern const struct form make_form, generation_form;
void plate_making_write_records(FILE *out, const struct plates_job *q, const struct plate_making *m);   /* jsonl, csv and tsv */

#endif
