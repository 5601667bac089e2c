/*
 * command.h: what a command is. Each is one constant struct at the end of its file command/cmd_NAME.c and a row of
 * command/command_table.c; help, manual page, completion and the tests read these structs.
 */
#ifndef CRANKCARD_CLI_ASK_COMMAND_H
#define CRANKCARD_CLI_ASK_COMMAND_H

#include "cli/ask/args.h"
#include "cli/ask/cli.h"

struct form;

struct command {
    const char *name;
    const char *operands;                                /* "N", "RANGE...", "" */
    const struct option_table *options;                  /* TABLES_END at the end */
    const struct form *const *records;                   /* what it writes for programs, NULL at the end; NULL: nothing */
    const char *const *requests;                         /* words that may stand first, for what the rest asks; NULL at the end; NULL: none */
    bool any_defaults;                                   /* it runs, and says so, where the user's defaults cannot be read */
    const char *const *instead;                          /* options in place of a request that was made before, likewise */
    int (*run)(struct cli *cli, int argc, char **argv);  /* argv[0] is the first argument after the name */
    const char *summary;                                 /* one line for the overview */
    const char *about;                                   /* a few lines for --help, newline at the end */
    const char *examples;                                /* two or more lines, two blanks in front of each */
};

/* The command of that name among all there are (NULL at the end), or NULL. */
const struct command *command_find(const struct command *const *commands, const char *name);

/* Whether it has the option of that name, which may stand on its command line. */
bool command_has(const struct command *command, const char *option);

/* Whether it has the option of that name, and takes that word for it. */
bool command_takes(const struct command *command, const char *option, const char *word);

#endif
