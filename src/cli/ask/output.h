/* output.h: how results look, and the file they go to. */
#ifndef CRANKCARD_CLI_ASK_OUTPUT_H
#define CRANKCARD_CLI_ASK_OUTPUT_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/length.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/base/files.h"

enum format { FORMAT_CARD, FORMAT_CSV, FORMAT_TSV, FORMAT_JSONL, FORMAT_HTML, FORMAT_SVG };

struct output {
    enum format format;
    bool format_given;
    unsigned width;         /* columns of a card */
    bool ascii;
    unsigned pages;         /* lines to a page, 0 = one endless page */
    const char *paper;      /* "a4" ..., where that is known, or NULL */
    enum cc_unit unit;
    unsigned long page;     /* of a pack: the line of its request; 0: none */
    const char *path;       /* --output, or NULL */
    /* while a file is being written */
    FILE *saved_out;
    struct new_file file;
};

/* Before a page of a pack: this sign and the page's name, on a line of their own. */
#define OUTPUT_PAGE '\x1C'

/* Tables of options for member m, a struct output, of a command's struct T. */
extern const struct option_row format_options[], html_options[], drawing_options[];     /* html too; svg too */
extern const struct option_row page_options[], file_options[], unit_options[];

#define FORMAT_OPTIONS(T, m)    { format_options, PLACE(T, m, struct output), NULL }
#define HTML_OPTIONS(T, m)      { html_options, PLACE(T, m, struct output), NULL }
#define DRAWING_OPTIONS(T, m)   { drawing_options, PLACE(T, m, struct output), NULL }
#define PAGE_OPTIONS(T, m)      { page_options, PLACE(T, m, struct output), NULL }
#define FILE_OPTIONS(T, m)      { file_options, PLACE(T, m, struct output), NULL }
#define OUTPUT_OPTIONS(T, m)    PAGE_OPTIONS(T, m), FILE_OPTIONS(T, m)
#define UNIT_OPTIONS(T, m)      { unit_options, PLACE(T, m, struct output), NULL }

#define OUTPUT_LEAST_WIDTH 32
#define OUTPUT_MOST_WIDTH 200

void output_init(struct output *output);

/* From now on output_init sets this width (0: the program's own) and this paper (NULL: none). */
void output_defaults(unsigned width, const char *paper);

/* The paper of that name, which stays ("a4"), or NULL. */
const char *output_paper(const char *name);

/* Whether it is a card, as text or as HTML: for people. */
bool output_is_card(const struct output *output);

/*
 * Begin and end the writing of results: with --output cli->out becomes a temporary file beside the
 * target, renamed over it only when everything was written (status is not EXIT_TROUBLE). Both return
 * the status to end with.
 */
int output_begin(struct output *output, struct cli *cli);
int output_end(struct output *output, struct cli *cli, int status);

#endif
