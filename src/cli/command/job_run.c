/* job_run.c: see job_run.h. */
#include "cli/command/job_run.h"

#include "cli/ask/output.h"
#include "cli/base/exit_status.h"
#include "cli/out/card.h"
#include "cli/out/draw.h"
#include "cli/out/plan_records.h"

/* Write plan and steps in the format asked for. Returns an exit status. */
static int write_job(struct job *job, struct cli *cli, const struct job_kind *kind)
{
    uint64_t first, last;
    struct record plan;
    int status;

    if (!job_rows(job, &first, &last, &cli->err))
        return EXIT_TROUBLE;
    status = output_begin(&job->output, cli);
    if (status != EXIT_YES)
        return status;
    switch (job->output.format) {
    case FORMAT_JSONL:
        if (kind->write_before != NULL)
            kind->write_before(cli->out, job);
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
        kind->write_drawing(cli->out, job, first, last);
        break;
    default:            /* a card, and the same as HTML */
        kind->write_card(cli->out, job);
    }
    return output_end(&job->output, cli, kind->verdict(job));
}

int job_run(struct cli *cli, const struct job_kind *kind, int argc, char **argv)
{
    struct job job;
    int status;

    job_init(&job, kind->command);
    job.words = cli->typed;
    job.word_count = (size_t)cli->typed_count;
    status = kind->read(&job, cli, argc, argv);
    if (status == EXIT_YES)
        status = job_plan(&job, cli);
    if (status == EXIT_YES && kind->check != NULL)
        status = kind->check(&job, cli);
    if (status == EXIT_YES)
        status = write_job(&job, cli, kind);
    job_clear(&job);
    return status;
}

int job_run_plain(struct cli *cli, const char *command,
                  int (*read)(struct job *job, struct cli *cli, int argc, char **argv), int argc, char **argv)
{
    const struct job_kind kind = { command, read, NULL, NULL, write_drawing, write_card, job_verdict };

    return job_run(cli, &kind, argc, argv);
}
