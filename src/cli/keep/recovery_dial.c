/* recovery_dial.c: from what dial and rim read, as typed, to what is seen. */
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/dial.h"
#include "crankcard/number.h"
#include "cli/base/blame.h"
#include "cli/keep/recovery.h"
#include "cli/out/readings.h"

static bool in_lines(const struct cc_plan *plan)
{
    return plan->dial.numbered == CC_NUMBERED_LINES;
}

/* A number of lines, or an angle in degrees, as the dial is numbered. */
static enum cc_status read_front(mpq_t reading, const char *text, size_t length, const struct cc_plan *plan, struct cc_error *err)
{
    char front[64];

    while (length > 0 && text[length - 1] == ' ')
        length--;
    if (length == 0 || length >= sizeof front)
        return cc_fail(err, CC_EPARSE, "'%s' is no reading of this dial: %s would be one", text, in_lines(plan) ? "71" : "3d25m");
    memcpy(front, text, length);
    front[length] = '\0';
    if (in_lines(plan))
        return cc_rational_parse(reading, front, err);
    enum cc_status s = cc_angle_parse(reading, front, err);
    if (s == CC_OK)
        cc_angle_degrees(reading, reading);
    return s;
}

/* A line as it is typed: "3d25m00s", "71". */
static void line_text(char *buf, size_t size, uint64_t line, const struct cc_plan *plan)
{
    mpq_t value, space;

    mpq_inits(value, space, NULL);
    cc_set_u64(mpq_numref(value), line);
    if (!in_lines(plan)) {
        dial_space(space, plan);
        mpq_mul(value, value, space);
        cc_angle_dms_str(buf, size, value, 0, CC_MARKS_ASCII);
    } else {
        cc_rational_str(buf, size, value);
    }
    mpq_clears(space, value, NULL);
}

/* Add the vernier's line, "4" or "4 1/2", to the reading. */
static enum cc_status add_vernier(mpq_t reading, const char *text, const struct cc_plan *plan, struct cc_error *err)
{
    mpq_t part, line;

    mpq_inits(part, line, NULL);
    enum cc_status s = cc_rational_parse(part, text + strspn(text, " "), err);
    if (s == CC_OK && (mpq_sgn(part) < 0 || mpq_cmp_ui(part, plan->dial.vernier, 1) >= 0))
        s = plan->dial.vernier > 1 ? cc_fail(err, CC_EDOM, "v%s: the vernier's lines are 0 to %u", text, plan->dial.vernier - 1)
                                   : cc_fail(err, CC_EDOM, "%s: this dial has no vernier: say the line alone, or with a part by eye behind it, "
                                             "as in '%s +1/2'", text - 1, in_lines(plan) ? "71" : "3d25m");
    if (s == CC_OK) {       /* one line of the dial as it is numbered, in so many parts */
        mpq_set_ui(line, 1, 1);
        if (!in_lines(plan)) {
            dial_space(line, plan);
            cc_angle_degrees(line, line);
        }
        mpq_mul(line, line, part);
        cc_rational_times(line, line, 1, plan->dial.vernier);
        mpq_add(reading, reading, line);
    }
    mpq_clears(line, part, NULL);
    return s;
}

/* Where the part beyond the line begins: v of a vernier, + by eye alone, as a card has it. NULL for a line alone. */
static const char *part_mark(const char *dial, const struct cc_plan *plan)
{
    return strpbrk(dial, plan->dial.vernier > 1 ? "v" : "v+");
}

/* What stands before it is a line: part of one would count twice. */
static enum cc_status check_line(const struct recovery *r, const mpq_t reading, size_t length, struct cc_error *err)
{
    const struct cc_plan *plan = &r->job.plan;
    uint64_t at, parts = plan->circle / plan->dial.lines;
    unsigned more;
    enum cc_status s = cc_dial_find(&at, &more, reading, false, plan, &r->job.head, CC_WAY_UNKNOWN, err);
    char line[80];

    if (s != CC_OK || at % parts == 0)
        return s;
    while (length > 0 && r->dial[length - 1] == ' ')
        length--;
    line_text(line, sizeof line, at / parts, plan);
    const char *mark = part_mark(r->dial, plan);
    return cc_fail(err, CC_EDOM, "%.*s stands between two lines, and %c counts from a line: write '%s %s' or %.*s", (int)length, r->dial,
                   *mark, line, mark, (int)length, r->dial);
}

/* "3d25m40s", "3d25m v4", "71", "71 v3 1/2", "71 +1/2". The line alone may be all that was read of a dial that shows more. */
static enum cc_status find_hole(struct recovery *r, mpq_t reading, struct cc_error *err)
{
    const struct job *job = &r->job;
    const struct cc_plan *plan = &job->plan;
    const char *v = part_mark(r->dial, plan);
    enum cc_way forward = job_forward(job, plan);
    struct cc_seen *seen = &r->seen;
    enum cc_status s = read_front(reading, r->dial, v != NULL ? (size_t)(v - r->dial) : strlen(r->dial), plan, err);

    if (s == CC_OK && v != NULL)
        s = check_line(r, reading, (size_t)(v - r->dial), err);
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
    mpq_srcptr rim = r->rim;

    if (head->rim.lines == 0)
        return cc_fail(err, CC_EDOM, "this head has no graduated rim: --reading is for another scale");
    if (mpq_sgn(rim) < 0 || mpq_cmp_ui(rim, 1, 1) > 0)
        return cc_fail(err, CC_EDOM, "the rim reads from 0 to 360 degrees");
    cc_rim_find(r->seen.reading, rim, head, job_forward(&r->job, &r->job.plan));
    if (!r->has_uncertainty)
        mpq_set_ui(r->seen.uncertainty, 1, head->rim.lines);    /* with a vernier too: it may be the line alone */
    r->seen.has_reading = true;
    return CC_OK;
}

/* By the dial there is no pin to be seen. */
static enum cc_status check_no_pin(const struct recovery *r, struct cc_error *err)
{
    const struct cc_seen *seen = &r->seen;

    if (!cc_plan_is_dial(&r->job.plan) || (!seen->has_hole && !seen->has_hole2 && seen->pin_circle == 0))
        return CC_OK;
    return cc_fail(err, CC_EDOM, "%s: this job goes by the dial: say --dial",
                   seen->has_hole ? "--hole" : seen->has_hole2 ? "--hole2" : "--pin-circle");
}

enum cc_status recovery_read_dial(struct recovery *r, struct cc_error *err)
{
    if (check_no_pin(r, err) != CC_OK)
        return CC_EDOM;
    enum cc_status s = r->dial != NULL ? blame(read_dial(r, err), err, "--dial") : CC_OK;

    return s == CC_OK && r->has_rim ? blame(read_rim(r, err), err, "--rim") : s;
}
