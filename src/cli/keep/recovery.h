/* recovery.h: a lost place and what was found of it, between the command recover and what it prints. */
#ifndef CRANKCARD_CLI_KEEP_RECOVERY_H
#define CRANKCARD_CLI_KEEP_RECOVERY_H

#include "crankcard/plan.h"
#include "crankcard/recover.h"
#include "crankcard/slips.h"
#include "cli/job/job.h"
#include "cli/keep/journal.h"
#include "cli/out/form.h"

struct recovery {
    struct job job;
    const char *job_given;          /* --job, or NULL */
    struct journal journal;         /* of the job that --job names; without it, no words are in it */
    int here;                       /* the way back from that job's directory (kept_come_back) */
    char said[600];                 /* what is to be known of that job */
    struct cc_seen seen;            /* reading already from the start on, the way the crank turns */
    bool has_uncertainty, has_scale, scale_falls, has_tooth, has_at;
    bool has_made;                  /* the last step is known from the journal */
    bool only_rezero;               /* no question: how to set zero again */
    bool all_slips;                 /* the slips are what is asked for */
    mpq_t scale_zero;
    const char *dial;               /* what the dial reads, as typed, or NULL */
    bool has_rim;
    mpq_t rim;                      /* what the rim reads */
    uint64_t tooth, at;
    size_t most;                    /* places to list */
    struct cc_places places;        /* none: nothing fits */
    bool between;                   /* they lie within a movement */
    size_t chosen;                  /* the place to go on from */
    struct cc_hand_slips slips;     /* those that fit */
};

/*
 * The row that stands at place i (the last one made, where the place is within a movement), and the
 * next one with the movement to it from there. false where no row follows.
 */
bool recovery_rows(struct cc_step *here, struct cc_step *next, const struct recovery *recovery, size_t i);

/* When the plan is known: what dial and rim read becomes what is seen. CC_EDOM and CC_EPARSE name the option. */
enum cc_status recovery_read_dial(struct recovery *recovery, struct cc_error *err);

void recovery_card(FILE *out, const struct recovery *recovery);
extern const struct form candidate_form, slip_form;
void recovery_records(FILE *out, const struct recovery *recovery);      /* jsonl, csv and tsv */

#endif
