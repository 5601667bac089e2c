/* commands.h: the run function of every command; the table stands in command_table.c. */
#ifndef CRANKCARD_CLI_COMMANDS_H
#define CRANKCARD_CLI_COMMANDS_H

struct cli;
struct option_row;

int cmd_angles(struct cli *cli, int argc, char **argv);
int cmd_assess(struct cli *cli, int argc, char **argv);
int cmd_batch(struct cli *cli, int argc, char **argv);
int cmd_check(struct cli *cli, int argc, char **argv);
int cmd_divide(struct cli *cli, int argc, char **argv);
int cmd_gear(struct cli *cli, int argc, char **argv);
int cmd_heads(struct cli *cli, int argc, char **argv);
int cmd_layout(struct cli *cli, int argc, char **argv);
int cmd_lead(struct cli *cli, int argc, char **argv);
int cmd_methods(struct cli *cli, int argc, char **argv);
int cmd_plates(struct cli *cli, int argc, char **argv);
int cmd_table(struct cli *cli, int argc, char **argv);
int cmd_tilt(struct cli *cli, int argc, char **argv);

extern const struct option_row *const angles_tables[];
extern const struct option_row *const assess_tables[];
extern const struct option_row *const batch_tables[];
extern const struct option_row *const check_tables[];
extern const struct option_row *const divide_tables[];
extern const struct option_row *const gear_tables[];
extern const struct option_row *const heads_tables[];
extern const struct option_row *const layout_tables[];
extern const struct option_row *const lead_tables[];
extern const struct option_row *const methods_tables[];
extern const struct option_row *const plates_tables[];
extern const struct option_row *const table_tables[];
extern const struct option_row *const tilt_tables[];

int cmd_follow(struct cli *cli, int argc, char **argv);
extern const struct option_row *const follow_tables[];
int cmd_recover(struct cli *cli, int argc, char **argv);
extern const struct option_row *const recover_tables[];

#endif
