/*
 * read_job.h: a request as typed, read into a job that job_init has prepared. argv must outlive the job; all
 * return an exit status.
 */
#ifndef CRANKCARD_CLI_JOB_READ_JOB_H
#define CRANKCARD_CLI_JOB_READ_JOB_H

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/job/job.h"

extern const struct option_row divide_options[];
extern const struct option_row *const divide_tables[];
extern const struct option_row *const angles_tables[];

/* The request of divide, and of angles, from the arguments behind the command's name. */
int job_read_divide(struct job *job, struct cli *cli, int argc, char **argv);
int job_read_angles(struct job *job, struct cli *cli, int argc, char **argv);

/* One count with the options of the tables given, which divide and methods share. */
int job_read_request(struct job *job, struct cli *cli, int argc, char **argv,
                     const struct option_row *const *tables);

/* Either, for commands that take a whole request: "[divide] N ..." or "angles A ..."; job->command is set. */
int job_read_any(struct job *job, struct cli *cli, int argc, char **argv);

#endif
