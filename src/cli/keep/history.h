/* history.h: what a journal says of how a job went: every event, when, and in which round of which piece. */
#ifndef CRANKCARD_CLI_KEEP_HISTORY_H
#define CRANKCARD_CLI_KEEP_HISTORY_H

#include "cli/ask/output.h"
#include "cli/keep/journal.h"
#include "cli/out/form.h"

enum history_kind {
    HISTORY_BEGUN, HISTORY_SET_UP, HISTORY_TRIAL, HISTORY_PASS, HISTORY_MADE, HISTORY_BACK, HISTORY_GO, HISTORY_NOTE,
    HISTORY_CHECK, HISTORY_MEASURED, HISTORY_MISSED, HISTORY_OPENED, HISTORY_PIECE, HISTORY_KINDS
};

struct history_event {
    enum history_kind kind;
    char at[24];                /* UTC, as the journal has it; "": not known */
    uint64_t piece, pass;       /* pass 0: the trial round */
    bool in_round;              /* false: during the set-up */
    bool has_step, has_seconds, has_from, right;
    uint64_t step;              /* row; of HISTORY_SET_UP how many items are ticked */
    uint64_t from;              /* HISTORY_GO: rows from here up to step were cut already */
    uint64_t seconds;           /* of a cut; of HISTORY_OPENED the pause before it */
    char *text;                 /* of a remark, a pass; or NULL */
};

struct history {
    struct history_event *at;
    size_t n, room;
};

void history_init(struct history *history);
void history_clear(struct history *history);

/* All events of a journal that was read. */
void history_read(struct history *history, const struct journal *journal);

/* "made", "back", ...: as in the records. */
const char *history_name(enum history_kind kind);

/* How many events of a kind; their seconds in all. */
uint64_t history_count(const struct history *history, enum history_kind kind);
uint64_t history_seconds(const struct history *history, enum history_kind kind);

void history_card(FILE *out, const struct output *output, const struct history *history, const struct journal *journal);
/* A job record and its events; in csv and tsv the events alone. */
extern const struct form job_form, event_form;
void history_records(FILE *out, const struct output *output, const struct history *history, const struct journal *journal);

#endif
