/* command.c: see command.h. */
#include "cli/ask/command.h"

#include <stddef.h>
#include <string.h>

bool command_has(const struct command *command, const char *option)
{
    for (const struct option_table *table = command->options; table->rows != NULL; table++)
        for (const struct option_row *row = table->rows; row->name != NULL && table->refuse == NULL; row++)
            if (strcmp(row->name, option) == 0)
                return true;
    return false;
}

bool command_takes(const struct command *command, const char *option, const char *word)
{
    for (const struct option_table *table = command->options; table->rows != NULL; table++)
        for (const struct option_row *row = table->rows; row->name != NULL; row++)
            for (const char *const *words = row->to.words; strcmp(row->name, option) == 0 && words != NULL && *words != NULL; words++)
                if (strcmp(*words, word) == 0)
                    return true;
    return false;
}

const struct command *command_find(const struct command *const *commands, const char *name)
{
    for (; *commands != NULL; commands++)
        if (strcmp((*commands)->name, name) == 0)
            return *commands;
    return NULL;
}
