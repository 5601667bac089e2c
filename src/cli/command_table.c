/* command_table.c: one row a command. Help, the overview, completions and the tests read these rows. */
#include <stddef.h>

#include "cli/cli.h"
#include "cli/commands.h"

const struct command commands[] = {
    { "heads", cmd_heads, heads_tables, "[NAME]",
      "list, show, check and print the profiles of dividing heads",
      "Without a name, lists the heads that can be given to --head. With one, shows what it is and\n"
      "what it can divide.\n",
      "  crankcard heads\n"
      "  crankcard heads small-tilting --print > my-head.ini\n"
      "  crankcard heads my-head.ini --prove\n" },
    { NULL, NULL, NULL, NULL, NULL, NULL, NULL }
};
