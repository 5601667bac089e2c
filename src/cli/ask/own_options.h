/* own_options.h: a command's own options, picked out of the words of a request. */
#ifndef CRANKCARD_CLI_ASK_OWN_OPTIONS_H
#define CRANKCARD_CLI_ASK_OWN_OPTIONS_H

#include "crankcard/status.h"
#include "cli/ask/args.h"

/*
 * Options of a command that stand among the words of a request. own_next gives them one by one
 * (ARG_OPTION with id and text, ARG_BAD, ARG_END); the other words gather in rest.
 */
struct own_options {
    const struct option_row *rows;
    int argc, at;
    char **argv;
    char **rest;            /* argc words at most, to be freed; the words themselves are argv's */
    int rest_count;
    int id;
    const char *text;
};

void own_init(struct own_options *own, const struct option_row *rows, int argc, char **argv);
void own_clear(struct own_options *own);
enum arg_kind own_next(struct own_options *own, struct cc_error *err);

#endif
