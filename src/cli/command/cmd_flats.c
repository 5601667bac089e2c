/* cmd_flats.c: flats on a round bar: arguments and flow. */
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/base/exit_status.h"
#include "cli/command/job_run.h"
#include "cli/job/read_job.h"
#include "cli/out/plan_records.h"
#include "cli/subject/flats_job.h"

/* Whether all that will be written can be worked out. */
static int check_figures(const struct job *job, struct cli *cli)
{
    struct flats_figures figures;
    bool good = flats_figures_of(&figures, job, 0, &cli->err);

    flats_figures_clear(&figures);
    return good ? EXIT_YES : EXIT_TROUBLE;
}

/* The section is of the whole ring, whichever rows are asked for. */
static void write_section(FILE *out, const struct job *job, uint64_t first, uint64_t last)
{
    (void)first;
    (void)last;
    flats_write_drawing(out, job);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    static const struct job_kind flats = { "flats", job_read_flats, check_figures, flats_write_records, write_section,
                                           flats_write_card, flats_verdict };

    return job_run(cli, &flats, argc, argv);
}

const struct command cmd_flats = {
    .name = "flats",
    .operands = "N",
    .options = flats_tables,
    .records = (const struct form *const[]){ &flats_form, &flat_form, &plan_form, &step_form, NULL },
    .run = run_command,
    .summary = "flats on a round bar: depth, sizes, order of work and the indexing",
    .about = "N flats, --across their distance, on --stock of that diameter: how deep, how wide, what a caliper must\n"
             "show on the way, which cutter, and the card of the indexing. --ring and --holes add what is keyed to them.\n",
    .examples = "  crankcard flats 6 --across 17 --stock 20\n"
                "  crankcard flats 2 --across 13 --stock 16 --ring '6 across 10 stock 12 at 30'\n"
                "  crankcard flats 4 --across 10 --stock 15 --over 1=12.62 --over 2=12.48 --over flats=10.1\n",
};
