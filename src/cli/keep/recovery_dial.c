/* recovery_dial.c: from what dial and rim read, as typed, to what is seen. */
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/dial.h"
#include "crankcard/number.h"
#include "cli/base/blame.h"
#include "cli/keep/recovery.h"

static bool in_lines(const struct cc_plan *plan)
{
    return plan->dial.numbered == CC_NUMBERED_LINES;
}

/* A number of lines, or an angle in degrees, as the dial is numbered. */
static enum cc_status read_front(mpq_t reading, const char *text, size_t length, const struct cc_plan *plan, struct cc_error *err)
{
    char front[64];
    mpq_t turn;

    while (length > 0 && text[length - 1] == ' ')
        length--;
    if (length == 0 || length >= sizeof front)
        return cc_fail(err, CC_EPARSE, "'%s' is no reading of this dial: %s would be one", text, in_lines(plan) ? "71" : "3d25m");
    memcpy(front, text, length);
    front[length] = '\0';
    if (in_lines(plan))
        return cc_rational_parse(reading, front, err);
    enum cc_status s = cc_angle_parse(reading, front, err);
    if (s != CC_OK)
        return s;
    mpq_init(turn);
    mpq_set_ui(turn, 360, 1);
    mpq_mul(reading, reading, turn);
    mpq_clear(turn);
    return CC_OK;
}

/* Add the vernier's line, "4" or "4 1/2", to the reading. */
static enum cc_status add_vernier(mpq_t reading, const char *text, const struct cc_plan *plan, struct cc_error *err)
{
    mpq_t part, line;

    mpq_init(part);
    mpq_init(line);
    enum cc_status s = cc_rational_parse(part, text + strspn(text, " "), err);
    if (s == CC_OK && (mpq_sgn(part) < 0 || mpq_cmp_ui(part, plan->dial.vernier, 1) >= 0))
        s = cc_fail(err, CC_EDOM, "v%s: the vernier's lines are 0 to %u", text, plan->dial.vernier - 1);
    if (s == CC_OK) {       /* one line of the dial as it is numbered, in so many parts */
        mpq_set_ui(line, in_lines(plan) ? 1 : 360, in_lines(plan) ? 1 : plan->dial.lines);
        mpq_canonicalize(line);
        if (!in_lines(plan))
            mpq_div(line, line, plan->ratio);
        mpq_mul(line, line, part);
        mpq_set_ui(part, 1, plan->dial.vernier);
        mpq_mul(line, line, part);
        mpq_add(reading, reading, line);
    }
    mpq_clear(line);
    mpq_clear(part);
    return s;
}

/* "3d25m40s", "3d25m v4", "71", "71 v3 1/2". The line alone may be all that was read of a dial that shows more. */
static enum cc_status find_hole(struct recovery *r, mpq_t reading, struct cc_error *err)
{
    const struct job *job = &r->job;
    const struct cc_plan *plan = &job->plan;
    const char *v = strchr(r->dial, 'v');
    enum cc_way forward = job_forward(job, plan);
    struct cc_seen *seen = &r->seen;
    enum cc_status s = read_front(reading, r->dial, v != NULL ? (size_t)(v - r->dial) : strlen(r->dial), plan, err);

    if (s == CC_OK && v != NULL)
        s = add_vernier(reading, v + 1, plan, err);
    if (s == CC_OK)
        s = cc_dial_find(&seen->hole, &seen->more_holes, reading, false, plan, &job->head, forward, err);
    if (s == CC_OK && v == NULL && seen->hole % (plan->circle / plan->dial.lines) == 0)
        s = cc_dial_find(&seen->hole, &seen->more_holes, reading, true, plan, &job->head, forward, err);
    seen->has_hole = s == CC_OK;
    return s;
}

static enum cc_status read_dial(struct recovery *r, struct cc_error *err)
{
    mpq_t reading;

    if (!cc_plan_is_dial(&r->job.plan))
        return cc_fail(err, CC_EDOM, "this job goes by a plate: say --hole");
    mpq_init(reading);
    enum cc_status s = find_hole(r, reading, err);
    mpq_clear(reading);
    return s;
}

static enum cc_status read_rim(struct recovery *r, struct cc_error *err)
{
    const struct cc_head *head = &r->job.head;

    if (head->rim.lines == 0)
        return cc_fail(err, CC_EDOM, "this head has no graduated rim: --reading is for another scale");
    cc_rim_find(r->seen.reading, r->rim, head, job_forward(&r->job, &r->job.plan));
    if (!r->has_uncertainty)
        mpq_set_ui(r->seen.uncertainty, 1, (unsigned long)head->rim.lines * head->rim.vernier);
    r->seen.has_reading = true;
    return CC_OK;
}

enum cc_status recovery_read_dial(struct recovery *r, struct cc_error *err)
{
    enum cc_status s = r->dial != NULL ? blame(read_dial(r, err), err, "--dial") : CC_OK;

    return s == CC_OK && r->has_rim ? blame(read_rim(r, err), err, "--rim") : s;
}
