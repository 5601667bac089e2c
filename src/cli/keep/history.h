/* history.h: what a journal says of how a job went: every event, when, and in which round of which piece. */
#ifndef CRANKCARD_CLI_KEEP_HISTORY_H
#define CRANKCARD_CLI_KEEP_HISTORY_H

#include "cli/ask/output.h"
#include "cli/keep/journal_text.h"
#include "cli/out/form.h"

struct history {
    struct journal_event *at;
    size_t n, room;
};

void history_init(struct history *history);
void history_clear(struct history *history);

/* All events of a journal that was read; seconds is of EVENT_OPENED too: the pause before it. */
void history_read(struct history *history, const struct journal *journal);

/* How many events of a kind; their seconds in all. */
uint64_t history_count(const struct history *history, enum journal_kind kind);
uint64_t history_seconds(const struct history *history, enum journal_kind kind);

void history_card(FILE *out, const struct output *output, const struct history *history, const struct journal *journal);
/* A job record and its events; in csv and tsv the events alone. */
extern const struct form job_form, event_form;
void history_records(FILE *out, const struct output *output, const struct history *history, const struct journal *journal);

#endif
