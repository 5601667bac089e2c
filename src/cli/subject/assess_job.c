/* assess_job.c: see assess_job.h. */
#include "cli/subject/assess_job.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/blame.h"
#include "cli/base/files.h"

const char *const assess_indexed_by[] = {
    [CC_INDEX_WORM] = "worm", [CC_INDEX_DIRECT] = "direct", [CC_INDEX_DIAL] = "dial", NULL
};

void assess_job_init(struct assess_job *q)
{
    *q = (struct assess_job){ .standard = CC_ISO_1328_2013 };
    output_init(&q->output);
    cc_head_init(&q->head);
    mpq_inits(q->radius, q->length, q->module, NULL);
    cc_measurements_init(&q->measured);
    cc_findings_init(&q->findings);
}

void assess_job_clear(struct assess_job *q)
{
    cc_findings_clear(&q->findings);
    cc_measurements_clear(&q->measured);
    mpq_clears(q->radius, q->length, q->module, NULL);
    cc_head_clear(&q->head);
}

/* ---- working it out ---- */

static enum cc_status find_worm_share(struct assess_job *q, struct cc_error *err)
{
    q->has_worm_share = q->findings.has_positions && q->indexed != CC_INDEX_DIRECT && q->head.has_worm;
    if (!q->has_worm_share)
        return CC_OK;
    return cc_accuracy_worm_share(&q->worm_share, &q->findings.positions, mpq_get_d(q->head.worm), err);
}

bool assess_find(struct assess_job *q, struct cli *cli)
{
    char *text;
    size_t length;
    const char *where = strcmp(q->file, "-") == 0 ? "standard input" : q->file;

    if (read_file(&text, &length, q->file, cli->in, &cli->err) != CC_OK)
        return false;
    enum cc_status s = cc_measurements_read(&q->measured, text, length, where, &cli->err);
    free(text);
    if (s == CC_OK)
        s = cc_findings_of(&q->findings, &q->measured, (unsigned)q->harmonics, where, &cli->err);
    if (s == CC_OK && q->output.format == FORMAT_SVG && !q->findings.has_runout && !q->findings.has_positions)
        s = cc_fail(&cli->err, CC_EDOM, "--format svg draws runout and positions, and '%.100s' has neither table", where);
    if (s == CC_OK)
        s = find_worm_share(q, &cli->err);
    const bool *measured = q->findings.positions.measured;
    if (s == CC_OK && q->both_ways && !(measured[CC_FORWARD] && measured[CC_BACKWARD]))
        s = cc_fail(&cli->err, CC_EDOM, "--both-ways needs positions measured from both sides, and '%.100s' has %s", where,
                    q->findings.has_positions ? "one side alone" : "none");
    return s == CC_OK;
}

bool assess_hides_worm(const struct assess_job *q)
{
    return q->has_worm_share && q->worm_share < CC_LEAST_WORM_SHARE;
}

static double arcsec_of(const mpq_t revolutions)
{
    return mpq_get_d(revolutions) * CC_ARCSEC_PER_REV;
}

/* What the head's plan for N adds, and what its profile says it holds by that method. */
static bool ask_plan(struct cc_budget_question *question, struct assess_job *q, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    struct cc_request request;
    struct cc_plan plan;
    enum cc_status s = cc_planner_new(&planner, &q->head, err);

    cc_request_init(&request);
    cc_plan_init(&plan);
    mpz_set_ui(request.divisions, q->divisions);
    if (s == CC_OK)
        s = cc_planner_best(&plan, NULL, planner, &request, err);
    q->plan_missing = s == CC_ENOFIT;
    if (s == CC_OK) {
        mpq_srcptr holds = cc_plan_holds(&plan, &q->head);
        mpq_t range;
        mpq_init(range);
        cc_plan_error_range(range, &plan, &request);
        question->plan_pitch_arcsec = arcsec_of(plan.worst_pitch);
        question->plan_cumulative_arcsec = arcsec_of(range);
        question->holds_arcsec = holds != NULL ? arcsec_of(holds) : 0;
        mpq_clear(range);
    }
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    if (q->plan_missing)
        *err = (struct cc_error){ .status = CC_OK };
    return s == CC_OK || q->plan_missing;
}

static bool ask_class(struct assess_job *q, struct cc_error *err)
{
    struct cc_flank_tolerance t;

    if (cc_flank_tolerance(&t, q->standard, (unsigned)q->flank_class, 2 * mpq_get_d(q->radius), mpq_get_d(q->module),
                           err) != CC_OK)
        return false;
    q->pitch_mm = t.pitch_table_um / 1000;
    q->cumulative_mm = t.cumulative_table_um / 1000;
    snprintf(q->tolerance_name, sizeof q->tolerance_name, "%s class %lu", cc_flank_standard_name(q->standard),
             q->flank_class);
    return true;
}

/* An angle (1m, 15s) or, where it is not one, a length with its unit. */
static bool ask_tolerance(struct assess_job *q, struct cc_error *err)
{
    mpq_t value;

    mpq_init(value);
    if (cc_angle_parse(value, q->tolerance_text, NULL) == CC_OK && mpq_cmp_ui(value, 1, 1) > 0)
        cc_fail(err, CC_EDOM, "--tolerance: '%.40s' is more than a turn", q->tolerance_text);
    else if (cc_angle_parse(value, q->tolerance_text, NULL) == CC_OK)
        q->pitch_mm = arcsec_of(value) / q->budget.arcsec_per_mm;
    else if (cc_length_parse(value, q->tolerance_text, q->output.unit, NULL) == CC_OK)
        q->pitch_mm = mpq_get_d(value);
    else
        cc_fail(err, CC_EPARSE, "--tolerance: '%.40s' is neither an angle (15s, 1m30s) nor a length (0.02mm)",
                q->tolerance_text);
    if (err->status == CC_OK && mpq_sgn(value) <= 0)
        cc_fail(err, CC_EDOM, "--tolerance: '%.40s' must be more than 0", q->tolerance_text);
    mpq_clear(value);
    q->cumulative_mm = q->pitch_mm;
    snprintf(q->tolerance_name, sizeof q->tolerance_name, "%.60s", q->tolerance_text);
    return err->status == CC_OK;
}

bool assess_make_budget(struct assess_job *q, struct cc_error *err)
{
    struct cc_budget_question question = {
        .radius_mm = mpq_get_d(q->radius),
        .divisions = (double)q->divisions,
        .both_ways = q->both_ways,
        .worm_hidden = assess_hides_worm(q),
    };

    if (q->divisions == 0)
        return true;
    if (!ask_plan(&question, q, err) ||
        cc_budget_of(&q->budget, &q->findings, &question, err) != CC_OK)
        return false;
    q->has_budget = true;
    q->has_tolerance = q->has_class || q->tolerance_text != NULL;
    if (!q->has_tolerance)
        return true;
    if (!(q->has_class ? ask_class(q, err) : ask_tolerance(q, err)))
        return false;
    cc_budget_judge(&q->judgement, &q->budget, q->pitch_mm, q->cumulative_mm);
    return true;
}

const char *assess_verdict_name(enum cc_verdict verdict)
{
    static const char *const names[] = { "within", "likely", "outside", "within-measured" };
    return names[verdict];
}

const char *assess_unmeasured(char *buf, const struct assess_job *q)
{
    size_t used = 0;

    buf[0] = '\0';
    for (unsigned k = 0; k < CC_UNMEASURED_KINDS; k++)
        if ((q->budget.unmeasured & 1u << k) != 0)
            used += (size_t)snprintf(buf + used, UNMEASURED_SIZE - used, "%s%s", used > 0 ? ", " : "",
                                     cc_unmeasured_name((enum cc_unmeasured)(1u << k)));
    return buf;
}
