/* cmd_angles.c: positions in any spacing, each with its own angle. */
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/command/job_run.h"
#include "cli/job/read_job.h"
#include "cli/out/plan_records.h"

static int run_command(struct cli *cli, int argc, char **argv)
{
    return job_run_plain(cli, "angles", job_read_angles, argc, argv);
}

const struct command cmd_angles = {
    .name = "angles",
    .operands = "A...",
    .options = angles_tables,
    .records = (const struct form *const[]){ &plan_form, &step_form, NULL },
    .run = run_command,
    .summary = "positions in any spacing, each with its own angle",
    .about = "One set-up for a whole list of angles: exact for all of them where the head can do that, else with\n"
             "the smallest worst error. Each operand is one angle, perhaps with a label behind it in the same\n"
             "quotes; - reads standard input. Angles are counted from the zero hole, in the order given.\n",
    .examples = "  crankcard angles 37d30m\n"
                "  crankcard angles 0 \"37d30m keyway\" 120 240\n"
                "  crankcard angles --file flutes.txt --repeat 2 --radius 6mm\n",
};
