/* help.h: help that is made from the structs of the commands. */
#ifndef CRANKCARD_CLI_COMMAND_HELP_H
#define CRANKCARD_CLI_COMMAND_HELP_H

#include <stdio.h>

#include "cli/ask/command.h"

void help_overview(FILE *out, const struct command *const *commands);
void help_command(FILE *out, const struct command *command);
void help_fields(FILE *out, const struct command *const *commands);      /* of the records for programs */
void help_version(FILE *out);

#endif
