/* job.c: from options to a plan. */
#include "cli/job/job.h"

#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/length.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/job/head_cache.h"

static option_taker take_method, take_way;

const struct option_row plan_options[] = {
    { TO_TAKER(take_method),
      'm', "method", "NAME", "only this method (may be given again): direct, plain, compound ..." },
    { TO_COUNT(struct job, request.circle, FROM(CC_MIN_CIRCLE, CC_MAX_CIRCLE)),
      'c', "circle", "HOLES", "only settings that use this hole circle" },
    { TO_COUNT(struct job, request.by_eye, FROM(2, CC_MAX_BY_EYE)),
      0, "by-eye", "PARTS", "read the dial by eye to so many parts of what it shows" },
    { TO_TEXT(struct job, tolerance_text),
      't', "tolerance", "ANGLE|LENGTH", "the error that will do: 30s, 0.05mm with --radius (default a quarter of what the head holds)" },
    OPTIONS_END
};

const struct option_row block_options[] = {
    { TO_NUMBER(struct job, request.most_turns, ABOVE_ZERO),
      0, "most-turns", "TURNS", "crank turns in one movement, most, when going by blocks" },
    OPTIONS_END
};

const struct option_row radius_options[] = {
    { TO_LENGTH(struct job, view.radius, ABOVE_ZERO, GIVEN(struct job, view.has_radius)),
      'r', "radius", "LENGTH", "of the work: errors and tolerance are lengths there too" },
    OPTIONS_END
};

const struct option_row step_options[] = {
    { TO_COUNT(struct job, view.from, FROM(0, INT64_MAX), GIVEN(struct job, view.has_from)),
      0, "from", "STEP", "first step to show" },
    { TO_COUNT(struct job, view.to, FROM(0, INT64_MAX), GIVEN(struct job, view.has_to)), 0, "to", "STEP", "last step to show" },
    { TO_SWITCH(struct job, view.no_steps), 0, "no-steps", NULL, "the plan and its set-up alone" },
    { TO_SWITCH(struct job, view.all_steps), 0, "all-steps", NULL, "every step on the card, also above 2000" },
    { TO_SWITCH(struct job, view.brief), 0, "brief", NULL, "the card without what a practised hand knows: no set-up in words" },
    { TO_SWITCH(struct job, view.working), 0, "working", NULL, "the arithmetic of the plan on the card too" },
    { TO_TEXT(struct job, note), 0, "note", "TEXT", "to stand on the card" },
    { TO_SWITCH(struct job, view.tally), 0, "tally", NULL, "steps in groups of ten with crank turns in all" },
    { TO_SWITCH(struct job, view.decimal), 0, "decimal", NULL, "angles on the card in decimal degrees" },
    { TO_SWITCH(struct job, view.strip), 0, "strip", NULL, "a line under each step of the card that shows its error" },
    OPTIONS_END
};

const struct option_row drawn_options[] = {
    { TO_COUNT(struct job, view.exaggeration, FROM(1, 1000000)),
      0, "exaggerate", "FACTOR", "draw errors so many times as large (--format svg)" },
    OPTIONS_END
};

const struct option_row hand_options[] = {
    { TO_TAKER(take_way), 0, "clockwise", NULL, "positions follow each other clockwise, seen at the spindle nose" },
    { TO_TAKER(take_way), 0, "counter", NULL, "positions follow each other counter-clockwise" },
    OPTIONS_END
};

const struct option_row helix_options[] = {
    { TO_LENGTH(struct job, lead, ABOVE_ZERO),
      0, "lead", "LENGTH", "the head is geared to the table for a helix of this lead: the clamp stays off" },
    OPTIONS_END
};

void job_init(struct job *job, const char *command)
{
    memset(job, 0, sizeof *job);
    job->command = command;
    job->spacing.repeat = 1;
    cc_head_init(&job->head);
    cc_request_init(&job->request);
    cc_plan_init(&job->plan);
    mpq_inits(job->view.radius, job->lead, NULL);
    marks_init(&job->marks);
    flats_ask_init(&job->flats);
    output_init(&job->output);
}

void job_clear(struct job *job)
{
    if (!job->lent) {
        cc_planner_free(job->planner);
        cc_head_clear(&job->head);
    }
    flats_ask_clear(&job->flats);
    marks_clear(&job->marks);
    mpq_clears(job->lead, job->view.radius, NULL);
    cc_plan_clear(&job->plan);
    cc_request_clear(&job->request);
}

bool job_add_method(unsigned *methods, const struct option *option, struct cc_error *err)
{
    enum cc_method method;

    if (blame(cc_method_parse(&method, option->text, err), err, "--method") != CC_OK)
        return false;
    if (*methods == CC_ALL_METHODS)
        *methods = 0;
    *methods |= 1U << method;
    return true;
}

static bool take_method(void *place, const struct option *option, struct cc_error *err)
{
    struct job *job = place;
    return job_add_method(&job->request.methods, option, err);
}

static bool take_way(void *place, const struct option *option, struct cc_error *err)
{
    struct job *job = place;
    enum cc_way way = option->row->name[1] == 'l' ? CC_CLOCKWISE : CC_COUNTER;

    if (job->view.grow != CC_WAY_UNKNOWN && job->view.grow != way) {
        cc_fail(err, CC_EPARSE, "--clockwise and --counter are two ways: give one");
        return false;
    }
    job->view.grow = way;
    return true;
}

/* The head and planner of a batch that asked for the same before. */
static int borrow_head(struct job *job, struct cli *cli)
{
    const struct cached_head *lent;
    enum cc_status s = head_cache_lend(&lent, cli->heads, job->choice.name, job->choice.mounted, &cli->err);

    if (s != CC_OK)
        return cli_status(s);
    cc_head_clear(&job->head);
    job->head = lent->head;
    job->planner = lent->planner;
    job->lent = true;
    return EXIT_YES;
}

/* What was given as the tolerance: an angle, or a length, which is an angle at the radius. */
static bool settle_tolerance(struct job *job, struct cc_error *err)
{
    mpq_ptr tolerance = job->request.tolerance;
    const char *text = job->tolerance_text;
    struct cc_error no_angle;

    if (text == NULL)
        return true;
    bool is_angle = cc_angle_parse(tolerance, text, &no_angle) == CC_OK;
    if (!is_angle && cc_length_parse(tolerance, text, job->output.unit, NULL) != CC_OK) {
        *err = no_angle;
        return blame(err->status, err, "--tolerance") == CC_OK;
    }
    if (mpq_sgn(tolerance) < 0) {
        cc_fail(err, CC_EDOM, "--tolerance: '%.40s' is negative: an error that will do is 0 or more", text);
        return false;
    }
    if (!is_angle && !job->view.has_radius) {
        cc_fail(err, CC_EDOM, "--tolerance: '%.40s' is a length: say at which radius, such as --radius 30mm", text);
        return false;
    }
    if (!is_angle)
        cc_length_angle(tolerance, tolerance, job->view.radius);
    job->request.has_tolerance = true;
    return true;
}

/* What only a head with a dial can do. */
static bool dial_is_there(const struct job *job, struct cc_error *err)
{
    if (job->request.by_eye < 2 || cc_head_has_dial(&job->head))
        return true;
    cc_fail(err, CC_EDOM, "--by-eye: the profile of this head has no [dial] to be read: leave it out");
    return false;
}

int job_load(struct job *job, struct cli *cli)
{
    int status = job_load_head(job, cli);

    return status == EXIT_YES && !dial_is_there(job, &cli->err) ? EXIT_TROUBLE : status;
}

int job_load_head(struct job *job, struct cli *cli)
{
    if (!settle_tolerance(job, &cli->err))
        return EXIT_TROUBLE;
    if (cli->heads != NULL)
        return borrow_head(job, cli);
    enum cc_status s = find_head(&job->head, job->choice.name, job->choice.mounted, &cli->err);

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
    if (job->head.has_worm && job->head.plate_count == 0) {
        cc_fail(err, CC_EDOM, "--lead: while the head is geared to the table a plate holds its place, and this head has none");
        return false;
    }
    job->request.methods &= 1U << CC_PLAIN | 1U << CC_NEAREST_HOLE;
    if (job->request.methods != 0)
        return true;
    cc_fail(err, CC_EDOM, "--lead: while the head is geared to the table only plain and nearest-hole can index it");
    return false;
}

/* Why the hand of the work cannot be had: what the profile does not say. */
static int unknown_way(const struct job *job, struct cli *cli)
{
    const char *way = job->view.grow == CC_CLOCKWISE ? "clockwise" : "counter";

    if (cc_plan_is_dial(&job->plan) && job->head.spindle != CC_SPINDLE_UNKNOWN)
        return cli_trouble(cli, "--%s: the profile does not say which way the dial's numbers rise: add rises = clockwise or "
                           "rises = counter to its [dial], or leave this out and try one movement", way);
    return cli_trouble(cli, "--%s: the profile does not say which way the spindle turns: add spindle = with or "
                       "spindle = against to it, or leave this out and try one movement", way);
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
    bool blind = cc_plan_is_dial(&job->plan) && job->head.dial.rises == CC_WAY_UNKNOWN;
    if (status == EXIT_YES && job->view.grow != CC_WAY_UNKNOWN &&
        (blind || job_forward(job, &job->plan) == CC_WAY_UNKNOWN))
        return unknown_way(job, cli);
    return status;
}

bool job_has_hand(const struct job *job)
{
    if (job->mirrors)
        return false;
    return !cc_request_is_circle(&job->request) || mpq_sgn(job->request.offset) != 0 || job->view.grow != CC_WAY_UNKNOWN ||
           job->marks.number != 0;
}

enum cc_way job_grow(const struct job *job, const struct cc_plan *plan)
{
    return cc_way_of_positions(plan, &job->head, job->view.grow);
}

void job_space(mpq_t angle, const struct job *job, uint64_t divisions)
{
    cc_request_nominal(angle, &job->request, divisions, 1);
    mpq_sub(angle, angle, job->request.offset);
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
