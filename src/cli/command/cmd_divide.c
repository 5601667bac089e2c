/* cmd_divide.c: N equal divisions of a turn or of an arc. */
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/command/job_run.h"
#include "cli/job/read_job.h"
#include "cli/out/plan_records.h"

static int run_command(struct cli *cli, int argc, char **argv)
{
    return job_run_plain(cli, "divide", job_read_divide, argc, argv);
}

const struct command cmd_divide = {
    .name = "divide",
    .operands = "N",
    .options = divide_tables,
    .records = (const struct form *const[]){ &plan_form, &step_form, NULL },
    .run = run_command,
    .summary = "N equal divisions: the set-up and every step",
    .about = "Finds the best setting of the head for N divisions of a turn and prints a card: how to set\n"
             "up, every movement with its hole and angle, how far off each is, and how to check.\n"
             "Methods: direct, plain, differential, compound, nearly-exact, nearest-hole, nearest-compound, dial.\n",
    .examples = "  crankcard divide 57 --head small-tilting-geared\n"
                "  crankcard divide 30 --arc 90 --radius 40mm --format csv --output marks.csv\n",
};
