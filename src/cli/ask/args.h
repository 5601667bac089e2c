/*
 * args.h: the options a command has, and the one reader of what was typed after its name.
 *
 * A command lists tables of option rows; args_next hands it operands and options one by one.
 */
#ifndef CRANKCARD_CLI_ASK_ARGS_H
#define CRANKCARD_CLI_ASK_ARGS_H

#include <stdbool.h>

#include "crankcard/status.h"

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
    OPT_GROW_CLOCKWISE, OPT_GROW_COUNTER, OPT_LEAD,         /* hand_options */
    OPT_EVERY,                                              /* --all of methods */
    OPT_FORMAT, OPT_WIDTH, OPT_ASCII, OPT_PAGES, OPT_UNITS, OPT_OUTPUT,     /* output_options */
    OPT_OWN = 100
};

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

#endif
