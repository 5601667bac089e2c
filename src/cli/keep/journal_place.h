/*
 * journal_place.h: what each event does to the place, for those that read a journal again and those that add to it. Each
 * is false, and does nothing, where it cannot be so.
 */
#ifndef CRANKCARD_CLI_KEEP_JOURNAL_PLACE_H
#define CRANKCARD_CLI_KEEP_JOURNAL_PLACE_H

#include "cli/keep/journal.h"

/* A pass more, with a copy of its remark (NULL: none). */
void journal_add_pass(struct journal *journal, const char *text);

/* The request is read: what it does not say is as it was in format 1. */
void journal_take_begun(struct journal *journal);

bool journal_take_made(struct journal *journal, uint64_t row);
bool journal_take_back(struct journal *journal, uint64_t row);
bool journal_take_go(struct journal *journal, uint64_t row, uint64_t cut_from);     /* rows from cut_from up to row are made */
bool journal_take_piece(struct journal *journal, uint64_t piece);
bool journal_take_set_up(struct journal *journal, uint64_t items);
bool journal_take_trial(struct journal *journal);
bool journal_take_pass(struct journal *journal, uint64_t pass, const char *text);
bool journal_take_check(struct journal *journal, uint64_t row, bool right);
bool journal_take_measure(struct journal *journal, uint64_t row);
bool journal_take_miss(struct journal *journal);

void journal_remember_time(struct journal *journal, uint64_t seconds);
void journal_remember_note(struct journal *journal, uint64_t row, const char *text);

#endif
