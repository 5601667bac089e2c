/* read_any.c: a request of any command that has steps. */

#include <stdlib.h>
#include <string.h>

#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"

static const struct {
    const char *name;
    int (*read)(struct job *job, struct cli *cli, int argc, char **argv);
} requests[] = {
    { "divide", job_read_divide },
    { "angles", job_read_angles },
};

int job_read_any(struct job *job, struct cli *cli, int argc, char **argv)
{
    for (size_t i = 0; argc > 0 && i < sizeof requests / sizeof requests[0]; i++) {
        if (strcmp(argv[0], requests[i].name) == 0) {
            job->command = requests[i].name;
            return requests[i].read(job, cli, argc - 1, argv + 1);
        }
    }
    if (argc > 0 && command_find(cli->commands, argv[0]) != NULL)
        return cli_trouble(cli, "'%.40s' has no steps to follow: give a count, or angles", argv[0]);
    job->command = requests[0].name;    /* a count alone, as for the program itself */
    return requests[0].read(job, cli, argc, argv);
}
