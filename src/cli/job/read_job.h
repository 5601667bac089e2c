/*
 * read_job.h: a request as typed, read into a job that job_init has prepared. argv must outlive the job; all
 * return an exit status.
 */
#ifndef CRANKCARD_CLI_JOB_READ_JOB_H
#define CRANKCARD_CLI_JOB_READ_JOB_H

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/job/job.h"

extern const struct option_row divide_options[];       /* into a struct job */
extern const struct option_row angles_options[];
extern const struct option_table divide_tables[], angles_tables[], flats_tables[];

/* What may be said in a request, of divide, angles and flats. */
struct request_tables {
    const struct option_table *divide, *angles, *flats;
};

extern const char *const request_kinds[];           /* "divide", "angles", "flats", NULL: what job_read_any takes first */
extern const struct request_tables all_tables;      /* what these commands themselves take */

/* The request of divide, of angles and of flats, from the arguments behind the command's name. */
int job_read_divide(struct job *job, struct cli *cli, int argc, char **argv);
int job_read_angles(struct job *job, struct cli *cli, int argc, char **argv);
int job_read_flats(struct job *job, struct cli *cli, int argc, char **argv);

/* One count with the options of the tables given, which divide and methods share. */
int job_read_request(struct job *job, struct cli *cli, int argc, char **argv, const struct option_table *tables);
int job_read_list(struct job *job, struct cli *cli, int argc, char **argv, const struct option_table *tables);
int job_read_flat_words(struct job *job, struct cli *cli, int argc, char **argv, const struct option_table *tables);

/* Any of them, for commands that take a whole request: "[divide] N ...", "angles A ..." or "flats N ..."; job->command is set. */
int job_read_any(struct job *job, struct cli *cli, int argc, char **argv, const struct request_tables *tables);

#endif
