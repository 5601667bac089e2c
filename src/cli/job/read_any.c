/* read_any.c: a request of any command that has steps. */

#include <stdlib.h>
#include <string.h>

#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"

const char *const request_kinds[] = { "divide", "angles", "flats", NULL };
const struct request_tables all_tables = { divide_tables, angles_tables, flats_tables };

int job_read_any(struct job *job, struct cli *cli, int argc, char **argv, const struct request_tables *tables)
{
    bool named = argc > 0 && strcmp(argv[0], "divide") == 0;

    if (argc > 0 && strcmp(argv[0], "angles") == 0) {
        job->command = "angles";
        return job_read_list(job, cli, argc - 1, argv + 1, tables->angles);
    }
    if (argc > 0 && strcmp(argv[0], "flats") == 0) {
        job->command = "flats";
        return job_read_flat_words(job, cli, argc - 1, argv + 1, tables->flats);
    }
    job->command = "divide";            /* a count alone, as for the program itself */
    if (named)
        return job_read_request(job, cli, argc - 1, argv + 1, tables->divide);
    if (argc > 0 && command_find(cli->commands, argv[0]) != NULL)
        return cli_trouble(cli, "'%.40s' has no steps to follow: give a count, angles or flats", argv[0]);
    return job_read_request(job, cli, argc, argv, tables->divide);
}
