/* cmd_flats.c: flats on a round bar: arguments and flow. */
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/base/exit_status.h"
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

static int write_flats(struct job *job, struct cli *cli)
{
    uint64_t first, last;
    struct record plan;
    int status = job_rows(job, &first, &last, &cli->err) ? output_begin(&job->output, cli) : EXIT_TROUBLE;

    if (status != EXIT_YES)
        return status;
    switch (job->output.format) {
    case FORMAT_JSONL:
        flats_write_records(cli->out, job);
        plan_records_init(&plan, cli->out, job);
        write_plan_record(&plan, job, &job->plan);
        record_clear(&plan);
        write_step_records(cli->out, job, first, last);
        break;
    case FORMAT_CSV:
    case FORMAT_TSV:
        write_step_records(cli->out, job, first, last);
        break;
    case FORMAT_SVG:
        flats_write_drawing(cli->out, job);
        break;
    default:
        flats_write_card(cli->out, job);
    }
    return output_end(&job->output, cli, flats_verdict(job));
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct job job;

    job_init(&job, "flats");
    job.words = cli->typed;
    job.word_count = (size_t)cli->typed_count;
    int status = job_read_flats(&job, cli, argc, argv);
    if (status == EXIT_YES)
        status = job_plan(&job, cli);
    if (status == EXIT_YES)
        status = check_figures(&job, cli);
    if (status == EXIT_YES)
        status = write_flats(&job, cli);
    job_clear(&job);
    return status;
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
