/* flats_job.h: what the files of the command flats share: what is worked out for each ring, and the writers. */
#ifndef CRANKCARD_CLI_SUBJECT_FLATS_JOB_H
#define CRANKCARD_CLI_SUBJECT_FLATS_JOB_H

#include "cli/job/job.h"
#include "cli/out/form.h"

/* What the card, records and drawing say of a ring. */
struct flats_figures {
    struct cc_flats_sizes sizes;
    mpq_t off;              /* one flat against another: what the head is taken to hold by the plan, or the plan's own error if that is larger */
    bool stated;            /* the profile says so */
    bool has_centre;        /* of the first ring, where readings were given */
    struct cc_flats_centre centre;
};

/* figures is initialised here; flats_figures_clear frees it. False with err filled where the readings leave the centre open. */
bool flats_figures_of(struct flats_figures *figures, const struct job *job, size_t ring, struct cc_error *err);
void flats_figures_clear(struct flats_figures *figures);

/* EXIT_YES; EXIT_NO where a flat is cut too deep to end true, or a tolerance asked for is not met. */
int flats_verdict(const struct job *job);

void flats_write_card(FILE *out, struct job *job);
extern const struct form flats_form, flat_form;
void flats_write_records(FILE *out, const struct job *job);     /* those of rings and flats, before plan and steps */
void flats_write_drawing(FILE *out, const struct job *job);

#endif
