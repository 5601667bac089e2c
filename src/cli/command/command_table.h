/* command_table.h: every command. */
#ifndef CRANKCARD_CLI_COMMAND_COMMAND_TABLE_H
#define CRANKCARD_CLI_COMMAND_COMMAND_TABLE_H

#include "cli/ask/command.h"

extern const struct command *const command_table[];      /* NULL at the end */

#endif
