/*
 * cli.h: what every command of the program shares: the tables, the way arguments are read,
 * the way results leave.
 *
 * A command is one file cmd_NAME.c with one run function and one row in command.c. It reads its
 * arguments with args_next, calls the library, and hands results to a writer (text.h, json.h,
 * csv.h). It prints nothing to standard error: a failure fills cli->err and the status says the
 * rest, so that batch can run the same commands.
 */
#ifndef CRANKCARD_CLI_H
#define CRANKCARD_CLI_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/crankcard.h"

enum exit_status {
    EXIT_YES = 0,       /* done */
    EXIT_NO = 1,        /* a valid question whose answer is no */
    EXIT_TROUBLE = 2    /* usage, malformed input, output that could not be written */
};

struct cli {
    FILE *out;              /* where results go */
    FILE *in;               /* what the operand '-' reads */
    struct cc_error err;    /* filled when a run function returns EXIT_TROUBLE, or EXIT_NO without output */
    bool in_batch;          /* the request is a line of a batch: jsonl, no --output, no nested batch */
    struct head_cache *heads;   /* heads loaded before, of a batch; else NULL */
};

/* ---- options ---- */

struct option_row {
    int id;                 /* unique among the tables of one command */
    char letter;            /* 'f' for -f, or 0 */
    const char *name;       /* "format" for --format */
    const char *value;      /* what the value is called in help: "NAME"; NULL for a switch */
    const char *help;       /* one line, no capital, no full stop */
};

#define OPTIONS_END { 0, 0, NULL, NULL, NULL }

/* Ids of options that many commands take; those of a command's own start at OPT_OWN. */
enum option_id {
    OPT_HELP = 1,
    OPT_VERSION,
    OPT_HEAD, OPT_MOUNTED,                                  /* head_options */
    OPT_METHOD, OPT_CIRCLE, OPT_TOLERANCE, OPT_MOST_TURNS,  /* plan_options */
    OPT_RADIUS, OPT_FROM, OPT_TO, OPT_NO_STEPS, OPT_ALL_STEPS, OPT_TALLY, OPT_DECIMAL, OPT_STRIP, OPT_EXAGGERATE,
                                                            /* step_options */
    OPT_GROW_CLOCKWISE, OPT_GROW_COUNTER,                   /* hand_options */
    OPT_EVERY,                                              /* --all of methods */
    OPT_FORMAT, OPT_WIDTH, OPT_ASCII, OPT_PAGES, OPT_UNITS, OPT_OUTPUT,     /* output_options */
    OPT_OWN = 100
};

struct command {
    const char *name;
    int (*run)(struct cli *cli, int argc, char **argv);  /* argv[0] is the first argument after the name */
    const struct option_row *const *options;             /* tables, NULL at the end */
    const char *operands;                                /* "N", "RANGE...", "" */
    const char *summary;                                 /* one line for the overview */
    const char *about;                                   /* a few lines for --help, newline at the end */
    const char *examples;                                /* two or more lines, two blanks in front of each */
};

extern const struct command commands[];                  /* a row with a NULL name ends it */

/* The command of that name, or NULL. */
const struct command *command_find(const char *name);

/* Run the command line argv[0..argc-1] (without the program's name); "57" alone means "divide 57". */
int cli_run(struct cli *cli, int argc, char **argv);

/* ---- reading arguments ---- */

enum arg_kind { ARG_END, ARG_OPERAND, ARG_OPTION, ARG_BAD };

struct args {
    int argc, at;
    char **argv;
    const char *cluster;            /* rest of -abc */
    bool options_ended;             /* after -- */
    const struct option_row *const *tables;
    /* the item just read */
    int id;                         /* of an option */
    const char *text;               /* operand, or value of an option that takes one */
    const struct option_row *row;
};

void args_init(struct args *args, int argc, char **argv, const struct option_row *const *tables);

/*
 * The next item. POSIX utility syntax with GNU long options, options and operands in any order;
 * a word like -5 or -37.5 is an operand; "-" is an operand. ARG_BAD: err says why.
 */
enum arg_kind args_next(struct args *args, struct cc_error *err);

/* Keep the only operand of a command (*operand is NULL before); one too many is refused, with what would be right. */
bool args_only_operand(const char **operand, const struct args *args, const char *right, struct cc_error *err);

/* ---- words for failures ---- */

/* Fill cli->err and return EXIT_TROUBLE. */
int cli_trouble(struct cli *cli, const char *format, ...) CC_PRINTF(2, 3);

/* The exit status that goes with a library status: CC_ENOFIT is a "no". */
int cli_status(enum cc_status status);

/* The name in names (NULL at the end) that word most likely means, or NULL when none is near. */
const char *nearest_name(const char *word, const char *const *names);

/* ---- help ---- */

void help_overview(FILE *out);
void help_command(FILE *out, const struct command *command);
void help_version(FILE *out);

/* ---- finding a head ---- */

extern const struct option_row head_options[];

/* Take one of head_options; false where it is another. */
bool head_option(const char **name, const char **mounted, int id, const char *text);

/*
 * Load the head asked for (option may be NULL: CRANKCARD_HEAD, the user's head.ini, else the
 * built-in default), and mount what mounted names (may be NULL).
 */
enum cc_status find_head(struct cc_head *head, const char *option, const char *mounted,
                         struct cc_error *err);

/* Print the places that are looked at, in order, and what was found there. */
void find_head_where(FILE *out);

/*
 * Call visit for every profile NAME.ini in the places looked at, nearest first, each name once. A place that
 * is not there, or not open to the user, is passed over; a failure to read is an error.
 */
enum cc_status find_head_each(void (*visit)(void *context, const char *name, const char *path),
                              void *context, struct cc_error *err);

/* ---- where results go ---- */

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
    char *temp_path;
    char *target;           /* path with its links followed; NULL where there is nothing yet */
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

/* ---- small readers of option values ---- */

/* A whole number low..high; what names it in the message ("--width"). */
bool read_number(unsigned long *value, const char *text, const char *what, unsigned long low,
                 unsigned long high, struct cc_error *err);

#endif
