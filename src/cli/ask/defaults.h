/*
 * defaults.h: the user's own defaults, defaults.ini beside head.ini: units, width and paper, where no option says otherwise.
 *
 *     units = in
 *     width = 60
 *     paper = a5
 *
 * Width and paper are how an answer looks, and output_init takes them. Units are what a request means: they are put into
 * the request as an option, so that a card, a kept job and a command that a card prints say them.
 */
#ifndef CRANKCARD_CLI_ASK_DEFAULTS_H
#define CRANKCARD_CLI_ASK_DEFAULTS_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/status.h"

/* Read them, once in a run; the answer stays. False with err filled where the file is there and cannot be used whole. */
bool defaults_load(struct cc_error *err);

/* "mm" or "in" where the file says; else NULL. */
const char *defaults_units(void);

/* Print where they are looked for, and what was found; when they were read. */
void defaults_where(FILE *out);

#endif
