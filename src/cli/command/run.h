/* run.h: one command line, from its first word to the command that it names. */
#ifndef CRANKCARD_CLI_COMMAND_RUN_H
#define CRANKCARD_CLI_COMMAND_RUN_H

#include "cli/ask/cli.h"

/* Run the command line argv[0..argc-1] (without the program's name); "57" alone means "divide 57". */
int cli_run(struct cli *cli, int argc, char **argv);

#endif
