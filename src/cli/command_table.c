/* command_table.c: one row a command. Help, the overview, completions and the tests read these rows. */
#include <stddef.h>

#include "cli/cli.h"
#include "cli/commands.h"

const struct command commands[] = {
    { "divide", cmd_divide, divide_tables, "N",
      "N equal divisions: the set-up and every step",
      "Finds the best setting of the head for N divisions of a turn and prints a card: how to set\n"
      "up, every movement with its hole and angle, how far off each is, and how to check.\n",
      "  crankcard divide 57 --head small-tilting-geared\n"
      "  crankcard divide 30 --arc 90 --radius 40mm --format csv --output marks.csv\n" },
    { "heads", cmd_heads, heads_tables, "[NAME]",
      "list, show, check and print the profiles of dividing heads",
      "Without a name, lists the heads that can be given to --head. With one, shows what it is and\n"
      "what it can divide.\n",
      "  crankcard heads\n"
      "  crankcard heads small-tilting --print > my-head.ini\n"
      "  crankcard heads my-head.ini --prove\n" },
    { NULL, NULL, NULL, NULL, NULL, NULL, NULL }
};
