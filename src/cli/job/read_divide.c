/* read_divide.c: a request for N equal divisions of a turn or of an arc. */
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/exit_status.h"
#include "cli/job/job.h"
#include "cli/job/marks.h"
#include "cli/job/read_job.h"

const struct option_row divide_options[] = {
    { TO_BIG_COUNT(struct job, request.block), 'k', "block", "K", "index K divisions at a time" },
    { TO_ANGLE(struct job, request.arc, ABOVE_ZERO), 0, "arc", "ANGLE", "divide this part of a turn instead of all of it" },
    { TO_ANGLE(struct job, request.offset, ANY_SIGN), 0, "offset", "ANGLE", "from the zero hole to the first position" },
    { TO_SWITCH(struct job, count_ends), 0, "ends", NULL, "with --arc: N counts the marks, one at each end, not the spaces" },
    OPTIONS_END
};

const struct option_table divide_tables[] = {
    OWN_OPTIONS(divide_options), MARKS_OPTIONS(struct job, marks), OWN_OPTIONS(hand_options), OWN_OPTIONS(helix_options),
    HEAD_OPTIONS(struct job, choice), OWN_OPTIONS(plan_options), OWN_OPTIONS(block_options),
    OWN_OPTIONS(radius_options), OWN_OPTIONS(step_options), OWN_OPTIONS(drawn_options), DRAWING_OPTIONS(struct job, output), OUTPUT_OPTIONS(struct job, output), UNIT_OPTIONS(struct job, output), TABLES_END
};

/* --ends: N marks have N - 1 spaces between them. */
static bool spaces_of_ends(struct job *job, struct cc_error *err)
{
    if (cc_request_is_circle(&job->request)) {
        cc_fail(err, CC_EDOM, "--ends is for an arc: round a full circle there are as many spaces as marks; give --arc");
        return false;
    }
    if (mpz_cmp_ui(job->request.divisions, 2) < 0) {
        cc_fail(err, CC_EDOM, "--ends: an arc has a mark at each end, so 2 marks are the least");
        return false;
    }
    mpz_sub_ui(job->request.divisions, job->request.divisions, 1);
    return true;
}

int job_read_request(struct job *job, struct cli *cli, int argc, char **argv, const struct option_table *tables)
{
    char right[80];
    const char *count = NULL;

    snprintf(right, sizeof right, "%s takes one count", job->command);
    bool good = args_read_one(&count, right, job, tables, argc, argv, &cli->err);
    if (good && count == NULL)
        return cli_trouble(cli, "a count is missing: crankcard %s 57", job->command);
    good = good && value_count(job->request.divisions, count, "divisions", &cli->err) && marks_check(&job->marks, &cli->err) &&
           (!job->count_ends || spaces_of_ends(job, &cli->err));
    return good ? EXIT_YES : EXIT_TROUBLE;
}

int job_read_divide(struct job *job, struct cli *cli, int argc, char **argv)
{
    return job_read_request(job, cli, argc, argv, divide_tables);
}
