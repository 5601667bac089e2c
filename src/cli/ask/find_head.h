/* find_head.h: which profile is meant, and where profiles lie. */
#ifndef CRANKCARD_CLI_ASK_FIND_HEAD_H
#define CRANKCARD_CLI_ASK_FIND_HEAD_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/head.h"
#include "cli/ask/args.h"

/* The profile asked for, and the plate (and side) that is on; NULL where nothing was asked. */
struct head_choice {
    const char *name, *mounted;
};

extern const struct option_row head_options[], mounted_options[];
#define HEAD_ALONE_OPTIONS(T, m)    { head_options, PLACE(T, m, struct head_choice), NULL }
#define HEAD_OPTIONS(T, m)          HEAD_ALONE_OPTIONS(T, m), { mounted_options, PLACE(T, m, struct head_choice), NULL }

/*
 * The same options as they were typed, for a command line that a card prints: " --head small-tilting --mounted B", in quotes
 * where a shell needs them; nothing of what was not given, or does not fit.
 */
#define HEAD_WORDS 600
void put_head_words(char *buf, size_t size, const char *name, const char *mounted);

/*
 * Load the head asked for (option may be NULL: CRANKCARD_HEAD, the user's head.ini, else the
 * built-in default), and mount what mounted names (may be NULL). What is there in a place looked at and cannot be
 * used is an error that names it, never passed over for another head.
 */
enum cc_status find_head(struct cc_head *head, const char *option, const char *mounted,
                         struct cc_error *err);

/* Print the places that are looked at, in order, and what was found there. */
void find_head_where(FILE *out);

/*
 * Call visit for every profile NAME.ini in the places looked at, nearest first, each name once. A place that
 * is not there is passed over; one that is there and cannot be used is an error, when the others have been visited.
 */
enum cc_status find_head_each(void (*visit)(void *context, const char *name, const char *path),
                              void *context, struct cc_error *err);

#endif
