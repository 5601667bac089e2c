/* job_run.h: a job from what was typed to what is printed, as divide and angles do it. */
#ifndef CRANKCARD_CLI_COMMAND_JOB_RUN_H
#define CRANKCARD_CLI_COMMAND_JOB_RUN_H

#include "cli/ask/cli.h"
#include "cli/job/job.h"

/* A whole command: read the request, plan, write plan and steps in the format asked for. Returns an exit status. */
int job_run(struct cli *cli, const char *command,
            int (*read)(struct job *job, struct cli *cli, int argc, char **argv), int argc, char **argv);

#endif
