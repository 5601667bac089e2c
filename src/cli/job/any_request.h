/* any_request.h: any request as typed, for commands that take one whole: "57 --head X", "angles 0 30 75". */
#ifndef CRANKCARD_CLI_REQUEST_H
#define CRANKCARD_CLI_REQUEST_H

#include "cli/job/job.h"

/*
 * Read the request argv, "[divide] N ..." or "angles A ...", into job, which job_init has prepared;
 * job->command is set. argv must outlive job. Returns an exit status.
 */
int read_any_request(struct job *job, struct cli *cli, int argc, char **argv);

/*
 * Options of a command that stand among the words of a request. own_next gives them one by one
 * (ARG_OPTION with id and text, ARG_BAD, ARG_END); the other words gather in rest.
 */
struct own_options {
    const struct option_row *rows;
    int argc, at;
    char **argv;
    char **rest;            /* argc words at most, to be freed; the words themselves are argv's */
    int rest_count;
    int id;
    const char *text;
};

void own_init(struct own_options *own, const struct option_row *rows, int argc, char **argv);
void own_clear(struct own_options *own);
enum arg_kind own_next(struct own_options *own, struct cc_error *err);

#endif
