/* command.c: see command.h. */
#include "cli/ask/command.h"

#include <stddef.h>
#include <string.h>

const struct command *command_find(const struct command *const *commands, const char *name)
{
    for (; *commands != NULL; commands++)
        if (strcmp((*commands)->name, name) == 0)
            return *commands;
    return NULL;
}
