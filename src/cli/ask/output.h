/* output.h: how results look, and the file they go to. */
#ifndef CRANKCARD_CLI_ASK_OUTPUT_H
#define CRANKCARD_CLI_ASK_OUTPUT_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/length.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/base/files.h"

enum format { FORMAT_CARD, FORMAT_CSV, FORMAT_TSV, FORMAT_JSONL, FORMAT_SVG };

struct output {
    enum format format;
    bool format_given;
    unsigned width;         /* columns of a card */
    bool ascii;
    unsigned pages;         /* lines to a page, 0 = one endless page */
    enum cc_unit unit;
    const char *path;       /* --output, or NULL */
    /* while a file is being written */
    FILE *saved_out;
    struct new_file file;
};

extern const struct option_row output_options[];

void output_init(struct output *output);

/* Take one of output_options. Returns false with err filled for a bad value. */
bool output_option(struct output *output, int id, const char *text, struct cc_error *err);

/* Take --units from the whole line, so that it counts for lengths in front of it too. */
bool output_units_first(struct output *output, int argc, char **argv, const struct option_row *const *tables,
                        struct cc_error *err);

/*
 * Begin and end the writing of results: with --output cli->out becomes a temporary file beside the
 * target, renamed over it only when everything was written (status is not EXIT_TROUBLE). Both return
 * the status to end with.
 */
int output_begin(struct output *output, struct cli *cli);
int output_end(struct output *output, struct cli *cli, int status);

#endif
