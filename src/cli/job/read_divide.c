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

enum { OPT_BLOCK = OPT_OWN, OPT_ARC, OPT_OFFSET, OPT_ENDS, OPT_MARK, OPT_NUMBER, OPT_VALUE };

const struct option_row divide_options[] = {
    { OPT_BLOCK, 'k', "block", "K", "index K divisions at a time" },
    { OPT_ARC, 0, "arc", "ANGLE", "divide this part of a turn instead of all of it" },
    { OPT_OFFSET, 0, "offset", "ANGLE", "from the zero hole to the first position" },
    { OPT_ENDS, 0, "ends", NULL, "with --arc: N counts the marks, one at each end, not the spaces" },
    { OPT_MARK, 0, "mark", "K=CLASS", "every K-th line is of this class, such as 5=mid, 10=long (may be given again)" },
    { OPT_NUMBER, 0, "number", "K", "a numeral at every K-th line" },
    { OPT_VALUE, 0, "value", "X", "what one division is worth, for the numerals (default 1)" },
    OPTIONS_END
};

const struct option_row *const divide_tables[] = { divide_options, hand_options,   head_options, plan_options,
                                                   step_options,   output_options, NULL };

static bool divide_option(struct job *job, struct args *args, struct cc_error *err)
{
    switch (args->id) {
    case OPT_BLOCK:
        return value_count(job->request.block, args->text, "divisions to a block (--block)", err);
    case OPT_ARC:
        if (!value_angle(job->request.arc, args->text, "--arc", err))
            return false;
        if (mpq_sgn(job->request.arc) > 0)
            return true;
        cc_fail(err, CC_EDOM, "--arc: '%.40s' must be more than 0", args->text);
        return false;
    case OPT_OFFSET:
        return value_angle(job->request.offset, args->text, "--offset", err);
    case OPT_ENDS:
        job->count_ends = true;
        return true;
    case OPT_MARK:
        return marks_add(&job->marks, args->text, err);
    case OPT_NUMBER:
        return marks_number(&job->marks, args->text, err);
    case OPT_VALUE:
        return marks_value(&job->marks, args->text, err);
    default:
        return job_option(job, args->id, args->text, err);
    }
}

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

int job_read_request(struct job *job, struct cli *cli, int argc, char **argv,
                     const struct option_row *const *tables)
{
    struct args args;
    bool counted = false;

    args_init(&args, argc, argv, tables);
    for (enum arg_kind kind; (kind = args_next(&args, &cli->err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return EXIT_TROUBLE;
        if (kind == ARG_OPTION) {
            if (!divide_option(job, &args, &cli->err))
                return EXIT_TROUBLE;
            continue;
        }
        if (counted)
            return cli_trouble(cli, "'%.40s' is one operand too many: %s takes one count", args.text,
                               job->command);
        if (!value_count(job->request.divisions, args.text, "divisions", &cli->err))
            return EXIT_TROUBLE;
        counted = true;
    }
    if (!counted)
        return cli_trouble(cli, "a count is missing: crankcard %s 57", job->command);
    if (!marks_check(&job->marks, &cli->err) || (job->count_ends && !spaces_of_ends(job, &cli->err)))
        return EXIT_TROUBLE;
    return EXIT_YES;
}

int job_read_divide(struct job *job, struct cli *cli, int argc, char **argv)
{
    return job_read_request(job, cli, argc, argv, divide_tables);
}
