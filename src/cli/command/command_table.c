/* command_table.c: a row for each command, in the order of the overview. */
#include "cli/command/command_table.h"

#include <stddef.h>

/* Each stands at the end of its file, cmd_NAME.c. */
extern const struct command cmd_divide, cmd_angles, cmd_methods, cmd_table, cmd_check, cmd_gear, cmd_heads, cmd_tilt, cmd_flats,
    cmd_lead, cmd_layout, cmd_assess, cmd_plates, cmd_batch, cmd_follow, cmd_recover;

const struct command *const command_table[] = {
    &cmd_divide, &cmd_angles, &cmd_methods, &cmd_table, &cmd_check, &cmd_gear, &cmd_heads,
    &cmd_tilt, &cmd_flats, &cmd_lead, &cmd_layout, &cmd_assess, &cmd_plates, &cmd_batch, &cmd_follow, &cmd_recover, NULL
};
