/* job.c: from options to a plan. */
#include "cli/job/job.h"

#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/length.h"
#include "crankcard/number.h"
#include "cli/ask/find_head.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/job/head_cache.h"

const struct option_row plan_options[] = {
    { OPT_METHOD, 'm', "method", "NAME", "only this method (may be given again): direct, plain, compound ..." },
    { OPT_CIRCLE, 'c', "circle", "HOLES", "only settings that use this hole circle" },
    { OPT_TOLERANCE, 't', "tolerance", "ANGLE|LENGTH", "the error that will do: 30s, 0.05mm with --radius (default a quarter of what the head holds)" },
    { OPT_RADIUS, 'r', "radius", "LENGTH", "radius of the work: errors are shown as a length too" },
    { OPT_MOST_TURNS, 0, "most-turns", "TURNS", "crank turns in one movement, most, when going by blocks" },
    OPTIONS_END
};

const struct option_row step_options[] = {
    { OPT_FROM, 0, "from", "STEP", "first step to show" },
    { OPT_TO, 0, "to", "STEP", "last step to show" },
    { OPT_NO_STEPS, 0, "no-steps", NULL, "the plan and its set-up alone" },
    { OPT_ALL_STEPS, 0, "all-steps", NULL, "every step on the card, also above 2000" },
    { OPT_TALLY, 0, "tally", NULL, "steps in groups of ten with crank turns in all" },
    { OPT_DECIMAL, 0, "decimal", NULL, "angles on the card in decimal degrees" },
    { OPT_STRIP, 0, "strip", NULL, "a line under each step of the card that shows its error" },
    { OPT_EXAGGERATE, 0, "exaggerate", "FACTOR", "draw errors so many times as large (--format svg)" },
    OPTIONS_END
};

const struct option_row hand_options[] = {
    { OPT_GROW_CLOCKWISE, 0, "clockwise", NULL, "positions follow each other clockwise, seen at the spindle nose" },
    { OPT_GROW_COUNTER, 0, "counter", NULL, "positions follow each other counter-clockwise" },
    { OPT_LEAD, 0, "lead", "LENGTH", "the head is geared to the table for a helix of this lead: the clamp stays off" },
    OPTIONS_END
};

void job_init(struct job *job, const char *command)
{
    memset(job, 0, sizeof *job);
    job->command = command;
    cc_head_init(&job->head);
    cc_request_init(&job->request);
    cc_plan_init(&job->plan);
    mpq_init(job->view.radius);
    mpq_init(job->lead);
    marks_init(&job->marks);
    output_init(&job->output);
}

void job_clear(struct job *job)
{
    if (!job->lent) {
        cc_planner_free(job->planner);
        cc_head_clear(&job->head);
    }
    marks_clear(&job->marks);
    mpq_clear(job->lead);
    mpq_clear(job->view.radius);
    cc_plan_clear(&job->plan);
    cc_request_clear(&job->request);
}

static bool read_method(struct job *job, const char *text, struct cc_error *err)
{
    enum cc_method method;

    if (blame(cc_method_parse(&method, text, err), err, "--method") != CC_OK)
        return false;
    if (job->request.methods == CC_ALL_METHODS)
        job->request.methods = 0;
    job->request.methods |= 1U << method;
    return true;
}

/* An angle, or a length at the radius, which may come later: settle_tolerance(). */
static bool read_tolerance(struct job *job, const char *text, struct cc_error *err)
{
    mpq_ptr tolerance = job->request.tolerance;

    job->tolerance_is_length = false;
    if (cc_angle_parse(tolerance, text, NULL) != CC_OK && cc_length_parse(tolerance, text, job->output.unit, NULL) == CC_OK)
        job->tolerance_is_length = true;
    else if (!value_angle(tolerance, text, "--tolerance", err))
        return false;
    if (mpq_sgn(tolerance) < 0) {
        cc_fail(err, CC_EDOM, "--tolerance: '%.40s' is negative: an error that will do is 0 or more", text);
        return false;
    }
    job->request.has_tolerance = true;
    return true;
}

/* A tolerance that was given as a length becomes the angle that it is at the radius. */
static bool settle_tolerance(struct job *job, struct cc_error *err)
{
    if (!job->tolerance_is_length)
        return true;
    if (!job->view.has_radius) {
        cc_fail(err, CC_EDOM, "--tolerance is a length: say at which radius, such as --radius 30mm");
        return false;
    }
    cc_length_angle(job->request.tolerance, job->request.tolerance, job->view.radius);
    job->tolerance_is_length = false;
    return true;
}

static bool read_positive(mpq_t value, const char *text, const char *what, struct cc_error *err)
{
    if (mpq_sgn(value) > 0)
        return true;
    cc_fail(err, CC_EDOM, "%s: '%.40s' must be more than 0", what, text);
    return false;
}

static bool take_radius(struct job *job, const char *text, struct cc_error *err)
{
    struct view *view = &job->view;

    view->has_radius = true;
    return blame(cc_length_parse(view->radius, text, job->output.unit, err), err, "--radius") == CC_OK &&
           read_positive(view->radius, text, "--radius", err);
}

static bool take_lead(struct job *job, const char *text, struct cc_error *err)
{
    return blame(cc_length_parse(job->lead, text, job->output.unit, err), err, "--lead") == CC_OK &&
           read_positive(job->lead, text, "--lead", err);
}

/* Which steps are shown, and how. */
static bool view_option(struct job *job, int id, const char *text, struct cc_error *err)
{
    struct view *view = &job->view;

    switch (id) {
    case OPT_RADIUS:
        return take_radius(job, text, err);
    case OPT_FROM:
        view->has_from = true;
        return value_u64(&view->from, text, "--from", 0, INT64_MAX, err);
    case OPT_TO:
        view->has_to = true;
        return value_u64(&view->to, text, "--to", 0, INT64_MAX, err);
    case OPT_NO_STEPS:
        view->no_steps = true;
        return true;
    case OPT_ALL_STEPS:
        view->all_steps = true;
        return true;
    case OPT_TALLY:
        view->tally = true;
        return true;
    case OPT_DECIMAL:
        view->decimal = true;
        return true;
    case OPT_STRIP:
        view->strip = true;
        return true;
    case OPT_EXAGGERATE:
        return value_number(&view->exaggeration, text, "--exaggerate", 1, 1000000, err);
    default:
        return head_option(&job->head_name, &job->mounted, id, text) || output_option(&job->output, id, text, err);
    }
}

bool job_option(struct job *job, int id, const char *text, struct cc_error *err)
{
    unsigned long number = 0;

    switch (id) {
    case OPT_METHOD:
        return read_method(job, text, err);
    case OPT_CIRCLE:
        if (!value_number(&number, text, "--circle", CC_MIN_CIRCLE, CC_MAX_CIRCLE, err))
            return false;
        job->request.circle = (unsigned)number;
        return true;
    case OPT_TOLERANCE:
        return read_tolerance(job, text, err);
    case OPT_MOST_TURNS:
        return blame(cc_rational_parse(job->request.most_turns, text, err), err, "--most-turns") == CC_OK &&
               read_positive(job->request.most_turns, text, "--most-turns", err);
    case OPT_GROW_CLOCKWISE:
    case OPT_GROW_COUNTER:
        job->view.grow = id == OPT_GROW_CLOCKWISE ? CC_CLOCKWISE : CC_COUNTER;
        return true;
    case OPT_LEAD:
        return take_lead(job, text, err);
    case OPT_EVERY:
        job->every = true;
        return true;
    default:
        return view_option(job, id, text, err);
    }
}

/* The head and planner of a batch that asked for the same before. */
static int borrow_head(struct job *job, struct cli *cli)
{
    const struct cached_head *lent;
    enum cc_status s = head_cache_lend(&lent, cli->heads, job->head_name, job->mounted, &cli->err);

    if (s != CC_OK)
        return cli_status(s);
    cc_head_clear(&job->head);
    job->head = lent->head;
    job->planner = lent->planner;
    job->lent = true;
    return EXIT_YES;
}

int job_load(struct job *job, struct cli *cli)
{
    if (!settle_tolerance(job, &cli->err))
        return EXIT_TROUBLE;
    if (cli->heads != NULL)
        return borrow_head(job, cli);
    enum cc_status s = find_head(&job->head, job->head_name, job->mounted, &cli->err);

    if (s == CC_OK)
        s = cc_planner_new(&job->planner, &job->head, &cli->err);
    return cli_status(s);
}

bool job_is_helix(const struct job *job)
{
    return mpq_sgn(job->lead) > 0;
}

/* While the spindle is geared to the table the worm must drive it, and the gears hold the plate: one circle, no more. */
static bool methods_of_helix(struct job *job, struct cc_error *err)
{
    if (!job_is_helix(job))
        return true;
    job->request.methods &= 1U << CC_PLAIN | 1U << CC_NEAREST_HOLE;
    if (job->request.methods != 0)
        return true;
    cc_fail(err, CC_EDOM, "--lead: while the head is geared to the table only plain and nearest-hole can index it");
    return false;
}

int job_plan(struct job *job, struct cli *cli)
{
    int status = job_load(job, cli);

    return status == EXIT_YES ? job_plan_loaded(job, cli) : status;
}

int job_plan_loaded(struct job *job, struct cli *cli)
{
    if (!methods_of_helix(job, &cli->err))
        return EXIT_TROUBLE;
    int status = cli_status(cc_planner_best(&job->plan, &job->answer, job->planner, &job->request, &cli->err));
    if (status == EXIT_YES && job->view.grow != CC_WAY_UNKNOWN && job_forward(job, &job->plan) == CC_WAY_UNKNOWN)
        return cli_trouble(cli, "--%s: the profile does not say which way the spindle turns: add spindle = with or "
                           "spindle = against to it, or leave this out and try one movement",
                           job->view.grow == CC_CLOCKWISE ? "clockwise" : "counter");
    return status;
}

enum cc_way job_grow(const struct job *job, const struct cc_plan *plan)
{
    return cc_way_of_positions(plan, &job->head, job->view.grow);
}

enum cc_way job_forward(const struct job *job, const struct cc_plan *plan)
{
    return cc_way_of_forward(plan, &job->head, job->view.grow);
}

int job_verdict(const struct job *job)
{
    return job->request.has_tolerance && !job->plan.within ? EXIT_NO : EXIT_YES;
}

bool job_rows(const struct job *job, uint64_t *first, uint64_t *last, struct cc_error *err)
{
    const struct view *view = &job->view;
    uint64_t steps = job->plan.steps;

    *first = view->has_from ? view->from : 0;
    *last = view->has_to ? view->to : steps;
    if (view->has_from && view->from > steps)
        cc_fail(err, CC_EDOM, "--from: %" PRIu64 " is beyond the last step, %" PRIu64, view->from, steps);
    else if (view->has_to && view->to > steps)
        cc_fail(err, CC_EDOM, "--to: %" PRIu64 " is beyond the last step, %" PRIu64, view->to, steps);
    else if (*first > *last)
        cc_fail(err, CC_EDOM, "--from %" PRIu64 " is beyond --to %" PRIu64, *first, *last);
    else
        return true;
    return false;
}

const char *job_label(const struct job *job, const struct cc_step *step, char *buf, size_t size)
{
    if (job->request.position_count > 0)
        return step->label;
    if (!marks_given(&job->marks) || step->closing)
        return NULL;
    return marks_label(&job->marks, step->division, buf, size);
}
