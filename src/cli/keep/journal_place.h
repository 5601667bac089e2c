/* journal_place.h: what each event does to the place, for those that read a journal again and those that add to it. */
#ifndef CRANKCARD_CLI_KEEP_JOURNAL_PLACE_H
#define CRANKCARD_CLI_KEEP_JOURNAL_PLACE_H

#include "cli/keep/journal_text.h"

/* A pass more, with a copy of its remark (NULL: none). */
void journal_add_pass(struct journal *journal, const char *text);

/* The request is read: what it does not say is as it was in format 1. */
void journal_take_begun(struct journal *journal);

/* An event behind "begun". false, and nothing is done, where it cannot be so. */
bool journal_take(struct journal *journal, const struct journal_event *event);

#endif
