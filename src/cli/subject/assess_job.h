/*
 * assess_job.h: what the files of the command assess share: the question, what was found in the measurements, and the
 * budget made of it.
 */
#ifndef CRANKCARD_CLI_SUBJECT_ASSESS_JOB_H
#define CRANKCARD_CLI_SUBJECT_ASSESS_JOB_H

#include "crankcard/crankcard.h"
#include "cli/ask/cli.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"

struct assess_job {
    struct output output;
    const char *file, *write;
    struct head_choice choice;
    struct cc_head head;
    const char *tolerance_text;
    mpq_t radius, length, module;       /* mm; 0 where not given */
    unsigned long divisions, flank_class, harmonics;
    bool has_radius, has_class, has_module, both_ways;
    enum cc_index indexed;
    enum cc_flank_standard standard;
    /* answers */
    struct cc_measurements measured;
    struct cc_findings findings;
    bool has_worm_share;                /* positions, indexed by the head's worm */
    double worm_share;                  /* see cc_accuracy_worm_share */
    bool has_budget, has_tolerance;
    bool plan_missing;                  /* the head has no plan for N */
    struct cc_budget budget;
    double pitch_mm, cumulative_mm;     /* tolerances */
    char tolerance_name[80];
    struct cc_judgement judgement;
};

extern const char *const assess_indexed_by[];       /* words of --indexed, and keys of a profile's [accuracy]; by enum cc_index */

void assess_job_init(struct assess_job *q);
void assess_job_clear(struct assess_job *q);

/* Read the measurements and find what they say; the head is loaded. */
bool assess_find(struct assess_job *q, struct cli *cli);

/* The budget and the verdict, where they were asked for; the head is loaded. */
bool assess_make_budget(struct assess_job *q, struct cc_error *err);

/* Whether the positions, indexed by the worm, do not show its error within a crank turn. */
bool assess_hides_worm(const struct assess_job *q);

/* "within", "likely", "outside" or "within-measured". */
const char *assess_verdict_name(enum cc_verdict verdict);

/* "runout, clamp": all that was not measured, "" where nothing is missing; the buffer has UNMEASURED_SIZE bytes. */
enum { UNMEASURED_SIZE = 160 };
const char *assess_unmeasured(char *buf, const struct assess_job *q);

void assess_write_card(FILE *out, const struct assess_job *q);
extern const struct form assess_form, item_form;
void assess_write_records(FILE *out, const struct assess_job *q);       /* jsonl, csv and tsv */
void assess_write_drawing(FILE *out, const struct assess_job *q);       /* findings with runout or positions */

#endif
