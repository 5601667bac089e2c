/* assess.c: findings from measurements, the budget of pitch errors, and the verdict. */
#include "crankcard/assess.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "trade/stray.h"

static const double arcsec_per_radian = CC_ARCSEC_PER_REV / (2 * CC_PI);

/* ---- findings ---- */

void cc_findings_init(struct cc_findings *findings)
{
    memset(findings, 0, sizeof *findings);
    cc_accuracy_init(&findings->positions);
}

void cc_findings_clear(struct cc_findings *findings)
{
    cc_accuracy_clear(&findings->positions);
    cc_findings_init(findings);
}

/* The largest less the smallest of count values, 1 or more. */
static double range_of(const double *value, size_t count)
{
    double low = value[0], high = value[0];

    for (size_t i = 1; i < count; i++) {
        low = fmin(low, value[i]);
        high = fmax(high, value[i]);
    }
    return high - low;
}

static enum cc_status find_runout(struct cc_findings *f, const struct cc_measurements *m,
                                  unsigned harmonics, const char *where, struct cc_error *err)
{
    const struct cc_reading *row = m->row[CC_RUNOUT];
    size_t count = m->count[CC_RUNOUT];
    double *turn = malloc(count * sizeof *turn);
    double *value = malloc(count * sizeof *value);
    enum cc_status s;

    if (turn == NULL || value == NULL) {
        s = cc_fail(err, CC_ENOMEM, "memory ran out fitting harmonics");
    } else {
        for (size_t i = 0; i < count; i++) {
            turn[i] = row[i].at;
            value[i] = row[i].first;
        }
        struct cc_error why = {.status = CC_OK};
        s = cc_harmonic_fit(&f->runout, turn, value, count, harmonics, &why);
        if (s != CC_OK)
            cc_fail(err, s, "%.100s:%lu: the runout table: %.250s", where,
                    m->header_line[CC_RUNOUT], why.text);
        f->indicator_range_mm = range_of(value, count);
        f->has_runout = s == CC_OK;
    }
    free(value);
    free(turn);
    return s;
}

/* The difference within each pair of readings: second less first, times sign. */
static void find_shift(struct cc_shift *shift, const struct cc_reading *row, size_t count,
                       double sign)
{
    double low = 0, high = 0;

    *shift = (struct cc_shift){.readings = count};
    for (size_t i = 0; i < count; i++) {
        double mm = sign * (row[i].second - row[i].first);
        double arcsec = mm / row[i].at * arcsec_per_radian;
        shift->mean_mm += mm / (double)count;
        shift->mean_arcsec += arcsec / (double)count;
        shift->worst_mm = fmax(shift->worst_mm, fabs(mm));
        shift->worst_arcsec = fmax(shift->worst_arcsec, fabs(arcsec));
        low = i == 0 ? arcsec : fmin(low, arcsec);
        high = i == 0 ? arcsec : fmax(high, arcsec);
    }
    shift->range_arcsec = high - low;
}

/* A straight line through the readings by least squares; height or side. */
struct line {
    double slope, level;
};

static double ordinate(const struct cc_reading *row, bool side)
{
    return side ? row->second : row->first;
}

static struct line fit_line(const struct cc_reading *row, size_t count, bool side)
{
    double mean_at = 0, mean = 0, product = 0, square = 0;

    for (size_t i = 0; i < count; i++) {
        mean_at += row[i].at / (double)count;
        mean += ordinate(&row[i], side) / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        double at = row[i].at - mean_at;
        product += at * (ordinate(&row[i], side) - mean);
        square += at * at;
    }
    double slope = product / square;
    return (struct line){slope, mean - slope * mean_at};
}

static void find_alignment(struct cc_alignment *a, const struct cc_reading *row, size_t count)
{
    struct line height = fit_line(row, count, false), side = fit_line(row, count, true);

    *a = (struct cc_alignment){
        .readings = count, .height_slope = height.slope, .side_slope = side.slope};
    a->angle_arcsec = atan(hypot(height.slope, side.slope)) * arcsec_per_radian;
    for (size_t i = 0; i < count; i++) {
        double h = row[i].first - (height.level + height.slope * row[i].at);
        double s = row[i].second - (side.level + side.slope * row[i].at);
        a->residual_mm = fmax(a->residual_mm, hypot(h, s));
    }
}

enum cc_status cc_findings_of(struct cc_findings *findings, const struct cc_measurements *m,
                              unsigned harmonics, const char *where, struct cc_error *err)
{
    struct cc_findings work;
    enum cc_status s = CC_OK;

    cc_findings_init(&work);
    if (m->count[CC_RUNOUT] > 0)
        s = find_runout(&work, m, harmonics, where, err);
    if (s == CC_OK && m->count[CC_POSITIONS] > 0) {
        s = cc_accuracy_of(&work.positions, m, where, err);
        work.has_positions = s == CC_OK;
    }
    if (s == CC_OK)
        s = cci_strays_find(work.stray, m, err);
    if (s != CC_OK) {
        cc_findings_clear(&work);
        return s;
    }
    work.has_clamp = m->count[CC_CLAMP] > 0;
    if (work.has_clamp)
        find_shift(&work.clamp, m->row[CC_CLAMP], m->count[CC_CLAMP], 1);
    work.has_push_pull = m->count[CC_PUSH_PULL] > 0;
    if (work.has_push_pull)
        find_shift(&work.push_pull, m->row[CC_PUSH_PULL], m->count[CC_PUSH_PULL], -1);
    work.has_footstock = m->count[CC_FOOTSTOCK] > 0;
    if (work.has_footstock)
        find_alignment(&work.footstock, m->row[CC_FOOTSTOCK], m->count[CC_FOOTSTOCK]);
    cc_findings_clear(findings);
    *findings = work;
    return CC_OK;
}

/* The direction work is approached in: forward wherever that was measured. */
static enum cc_approach working_direction(const struct cc_accuracy *a)
{
    return a->measured[CC_FORWARD] ? CC_FORWARD : CC_BACKWARD;
}

double cc_findings_holds(const struct cc_findings *findings, bool both_ways)
{
    const struct cc_accuracy *a = &findings->positions;

    if (!findings->has_positions)
        return 0;
    return both_ways ? a->accuracy : a->accuracy_of[working_direction(a)];
}

/* ---- budget ---- */

static void add(struct cc_budget *b, enum cc_budget_kind kind, double pitch_mm,
                double cumulative_mm)
{
    b->line[b->lines++] = (struct cc_budget_line){kind, pitch_mm, cumulative_mm};
}

static void add_angle(struct cc_budget *b, enum cc_budget_kind kind, double pitch_arcsec,
                      double cumulative_arcsec)
{
    add(b, kind, pitch_arcsec / b->arcsec_per_mm, cumulative_arcsec / b->arcsec_per_mm);
}

/*
 * Between any two neighbours of N, harmonic h of amplitude a differs by 2 a sin(pi h/N) at most:
 * the difference of two sines 2 pi h/N apart.
 */
static double neighbours(double amplitude, double harmonic, double divisions)
{
    return 2 * amplitude * fabs(sin(CC_PI * harmonic / divisions));
}

static void add_positions(struct cc_budget *b, const struct cc_findings *f,
                          const struct cc_budget_question *q)
{
    const struct cc_accuracy *a = &f->positions;
    double step = 0, systematic = 0, repeat = 0;

    if (!f->has_positions) {
        if (q->holds_arcsec > 0)
            add_angle(b, CC_LINE_INDEXING, q->holds_arcsec, q->holds_arcsec);
        return;
    }
    /* |x(i,+) - x(j,-)| is at most the difference of i and j in either one direction, and |B| of one of them. */
    for (enum cc_approach d = CC_FORWARD; d <= CC_BACKWARD; d++) {
        if (!a->measured[d] || (!q->both_ways && d != working_direction(a)))
            continue;
        step = fmax(step, cc_accuracy_step(a, d, 1 / q->divisions));
        systematic = fmax(systematic, a->systematic_of[d]);
        repeat = fmax(repeat, a->repeatability_of[d]);
    }
    add_angle(b, CC_LINE_INDEXING, step, systematic);
    add_angle(b, CC_LINE_REPEAT, repeat, repeat);
    if (q->both_ways)
        add_angle(b, CC_LINE_REVERSAL, a->reversal, a->reversal);
}

static void add_runout(struct cc_budget *b, const struct cc_harmonics *h, double divisions)
{
    double pitch = 0, cumulative = 0;

    add(b, CC_LINE_ECCENTRIC, neighbours(h->amplitude[1], 1, divisions), 2 * h->amplitude[1]);
    for (unsigned k = 2; k <= h->order; k++) {
        pitch += neighbours(h->amplitude[k], k, divisions);
        cumulative += 2 * h->amplitude[k];
    }
    if (h->order > 1)
        add(b, CC_LINE_FORM, pitch, cumulative);
}

/* A joint at angle b turns its shaft by -b^2/4 sin 2t too much: amplitude b^2/4, second harmonic.
 */
static void add_footstock(struct cc_budget *b, const struct cc_alignment *a, double divisions)
{
    double angle = a->angle_arcsec / arcsec_per_radian;
    double amplitude = angle * angle / 4 * arcsec_per_radian;

    add_angle(b, CC_LINE_FOOTSTOCK, neighbours(amplitude, 2, fmax(divisions, 4)), 2 * amplitude);
}

static unsigned what_is_unmeasured(const struct cc_findings *f, const struct cc_budget_question *q)
{
    unsigned all = 0;

    if (!f->has_positions)
        all |= CC_NO_POSITIONS;
    else if (q->worm_hidden)
        all |= CC_NO_WORM_TURN;
    if (!f->has_runout)
        all |= CC_NO_RUNOUT;
    if (!f->has_clamp)
        all |= CC_NO_CLAMP;
    if (!f->has_push_pull)
        all |= CC_NO_PLAY;
    return all;
}

static void add_up(struct cc_budget *b)
{
    double pitch = 0, cumulative = 0;

    for (size_t i = 0; i < b->lines; i++) {
        b->worst_pitch_mm += b->line[i].pitch_mm;
        b->worst_cumulative_mm += b->line[i].cumulative_mm;
        pitch = hypot(pitch, b->line[i].pitch_mm);
        cumulative = hypot(cumulative, b->line[i].cumulative_mm);
    }
    b->rss_pitch_mm = pitch;
    b->rss_cumulative_mm = cumulative;
}

enum cc_status cc_budget_of(struct cc_budget *budget, const struct cc_findings *findings,
                            const struct cc_budget_question *question, struct cc_error *err)
{
    const struct cc_budget_question *q = question;
    struct cc_budget b = {.lines = 0};

    if (!(q->radius_mm > 0) || !isfinite(q->radius_mm))
        return cc_fail(err, CC_EDOM, "the radius of the work must be more than 0");
    if (!(q->divisions >= 2))
        return cc_fail(err, CC_EDOM, "a pitch error needs 2 divisions or more");
    b.arcsec_per_mm = arcsec_per_radian / q->radius_mm;
    if (q->plan_pitch_arcsec > 0 || q->plan_cumulative_arcsec > 0)
        add_angle(&b, CC_LINE_PLAN, q->plan_pitch_arcsec, q->plan_cumulative_arcsec);
    add_positions(&b, findings, q);
    if (findings->has_runout)
        add_runout(&b, &findings->runout, q->divisions);
    if (findings->has_clamp)
        add_angle(&b, CC_LINE_CLAMP, findings->clamp.range_arcsec, findings->clamp.range_arcsec);
    if (findings->has_push_pull)
        add_angle(&b, CC_LINE_PLAY, findings->push_pull.worst_arcsec,
                  findings->push_pull.worst_arcsec);
    if (findings->has_footstock)
        add_footstock(&b, &findings->footstock, q->divisions);
    if (b.lines == 0)
        return cc_fail(err, CC_EDOM, "nothing was measured and nothing is stated");
    add_up(&b);
    b.unmeasured = what_is_unmeasured(findings, q);
    *budget = b;
    return CC_OK;
}

/* ---- verdict ---- */

static enum cc_verdict judge(double worst, double rss, double tolerance)
{
    if (worst <= tolerance)
        return CC_WITHIN;
    return rss <= tolerance ? CC_LIKELY : CC_OUTSIDE;
}

static enum cc_verdict judge_both(const struct cc_budget *b, double pitch_mm, double cumulative_mm)
{
    enum cc_verdict pitch = judge(b->worst_pitch_mm, b->rss_pitch_mm, pitch_mm);
    enum cc_verdict cumulative = judge(b->worst_cumulative_mm, b->rss_cumulative_mm, cumulative_mm);

    if (pitch == CC_WITHIN && cumulative == CC_WITHIN && b->unmeasured != 0)
        return CC_WITHIN_MEASURED;
    return pitch > cumulative ? pitch : cumulative;
}

static double line_size(const struct cc_budget_line *line, bool pitch)
{
    return pitch ? line->pitch_mm : line->cumulative_mm;
}

void cc_budget_judge(struct cc_judgement *judgement, const struct cc_budget *budget,
                     double pitch_tolerance_mm, double cumulative_tolerance_mm)
{
    struct cc_judgement j;
    struct cc_budget without = {.arcsec_per_mm = budget->arcsec_per_mm, .unmeasured = budget->unmeasured};

    j.verdict = judge_both(budget, pitch_tolerance_mm, cumulative_tolerance_mm);
    j.pitch_rules = budget->worst_pitch_mm * cumulative_tolerance_mm >
                    budget->worst_cumulative_mm * pitch_tolerance_mm;
    j.best = 0;
    for (size_t i = 1; i < budget->lines; i++)
        if (line_size(&budget->line[i], j.pitch_rules) >
            line_size(&budget->line[j.best], j.pitch_rules))
            j.best = i;
    for (size_t i = 0; i < budget->lines; i++)
        if (i != j.best)
            without.line[without.lines++] = budget->line[i];
    add_up(&without);
    j.without_pitch_mm = without.worst_pitch_mm;
    j.without_cumulative_mm = without.worst_cumulative_mm;
    j.then = judge_both(&without, pitch_tolerance_mm, cumulative_tolerance_mm);
    *judgement = j;
}

static const struct {
    const char *name, *advice;
} lines[CC_BUDGET_KINDS] = {
    [CC_LINE_PLAN] = {"plan's arithmetic", "use an exact plan, or a plate that gives one"},
    [CC_LINE_INDEXING] = {"worm and plate",
                          "correct each position by its measured deviation, or index on another "
                          "part of the wheel"},
    [CC_LINE_REPEAT] = {"repeatability",
                        "clean the holes and the pin, fit a pin that does not shake, adjust the "
                        "worm's mesh"},
    [CC_LINE_REVERSAL] = {"backlash", "come to every position from the same side"},
    [CC_LINE_ECCENTRIC] = {"eccentricity",
                           "set the work true to the indicator, or clean and bed the taper"},
    [CC_LINE_FORM] = {"roundness, spindle",
                      "look for dirt or bruises on bar and centre, then at the spindle's bearings"},
    [CC_LINE_CLAMP] = {"clamp", "draw the spindle clamp up to the same feel every time"},
    [CC_LINE_PLAY] = {"play", "take up the worm's end play and mesh, and cut with the clamp on"},
    [CC_LINE_FOOTSTOCK] = {"footstock",
                           "set the footstock in line, height first, to a bar between centres"},
};

const char *cc_budget_name(enum cc_budget_kind kind)
{
    return lines[kind].name;
}

const char *cc_budget_advice(enum cc_budget_kind kind)
{
    return lines[kind].advice;
}

const char *cc_unmeasured_name(enum cc_unmeasured kind)
{
    switch (kind) {
    case CC_NO_POSITIONS:
        return "worm and plate";
    case CC_NO_WORM_TURN:
        return "the worm's error within a crank turn";
    case CC_NO_RUNOUT:
        return "runout";
    case CC_NO_CLAMP:
        return "clamp";
    default:
        return "play";
    }
}
