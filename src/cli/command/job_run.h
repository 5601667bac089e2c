/* job_run.h: a job from what was typed to what is printed, as divide, angles and flats do it. */
#ifndef CRANKCARD_CLI_COMMAND_JOB_RUN_H
#define CRANKCARD_CLI_COMMAND_JOB_RUN_H

#include <stdio.h>

#include "cli/ask/cli.h"
#include "cli/job/job.h"

/* What one of these commands has of its own. */
struct job_kind {
    const char *command;
    int (*read)(struct job *job, struct cli *cli, int argc, char **argv);
    int (*check)(const struct job *job, struct cli *cli);       /* what can go wrong behind the plan; NULL: nothing */
    void (*write_before)(FILE *out, const struct job *job);     /* records before that of the plan; NULL: none */
    void (*write_drawing)(FILE *out, const struct job *job, uint64_t first, uint64_t last);
    void (*write_card)(FILE *out, struct job *job);             /* as a card and as HTML */
    int (*verdict)(const struct job *job);
};

/* A whole command: read the request, plan, write plan and steps in the format asked for. Returns an exit status. */
int job_run(struct cli *cli, const struct job_kind *kind, int argc, char **argv);

/* The same for the kinds that are an indexing and no more: divide and angles. */
int job_run_plain(struct cli *cli, const char *command,
                  int (*read)(struct job *job, struct cli *cli, int argc, char **argv), int argc, char **argv);

#endif
