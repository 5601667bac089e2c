/*
 * lead_job.h: what the files of the command lead share: the helix asked for, and the gears found for it.
 */
#ifndef CRANKCARD_CLI_SUBJECT_LEAD_JOB_H
#define CRANKCARD_CLI_SUBJECT_LEAD_JOB_H

#include "crankcard/head.h"
#include "crankcard/lead.h"
#include "crankcard/train.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"

struct lead_job {
    const char *lead;           /* the operand, or NULL */
    struct cc_lead_request ask;
    mpq_t helix, within;
    bool helix_given;
    const char *within_text;    /* the limit of the error as it was typed, or NULL */
    unsigned gears[CC_MAX_GEARS];
    size_t gear_count;          /* 0: the head's own */
    struct cc_train train;      /* the gears to look at in place of the best; pairs = 0 until it is known that there are */
    unsigned drivers, driven;   /* how many of them were given */
    bool has_idlers;
    struct output output;
    struct head_choice choice;
};

struct lead_answer {
    struct cc_gearing_list list;
    struct cc_start_index index;
    mpq_t machine;              /* lead of the machine, mm */
    bool goes_on;               /* the first train, as far as is known */
};

void lead_job_init(struct lead_job *r);
void lead_job_clear(struct lead_job *r);

/* Find the gears, and how to index the starts; the lists of a are initialised. */
enum cc_status lead_work_out(struct lead_answer *a, const struct lead_job *r, const struct cc_head *head,
                             struct cc_error *err);

/* The head with the gears asked for in place of its own: to be looked at, never changed or cleared. */
struct cc_head lead_head(const struct lead_job *r, const struct cc_head *head);

/* Whether the error is small enough: as asked, else near. */
bool lead_is_within(const struct lead_job *r, const struct cc_gearing *g);

/* A lead that the gears miss by more than a hundredth is beyond them, or the request is mistaken. */
bool lead_is_near(const struct lead_job *r, const struct cc_gearing *g);

/* Whether the crank goes from start to start; with gears on the spindle a mesh is moved on instead. */
bool lead_indexes_plainly(const struct lead_job *r);

/* Teeth of the last gear of the train, on worm shaft or spindle. */
unsigned lead_last_driven(const struct cc_train *train);

void lead_write_card(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head);
extern const struct form lead_form;
void lead_write_drawing(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head);
void lead_write_records(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head);

#endif
