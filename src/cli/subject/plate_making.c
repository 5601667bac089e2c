/* plate_making.c: see plate_making.h. */
#include "cli/subject/plate_making.h"

#include "crankcard/angle.h"
#include "crankcard/arc.h"
#include "cli/base/blame.h"

void plate_making_init(struct plate_making *m)
{
    cc_plan_init(&m->plan);
    mpq_inits(m->worm_error, m->drill_error, m->hole_floor, m->work_floor, NULL);
    m->assumed = false;
    m->generations = 0;
    for (size_t i = 0; i < MOST_GENERATIONS; i++)
        cc_generation_init(&m->at[i]);
}

void plate_making_clear(struct plate_making *m)
{
    for (size_t i = 0; i < MOST_GENERATIONS; i++)
        cc_generation_clear(&m->at[i]);
    mpq_clears(m->worm_error, m->drill_error, m->hole_floor, m->work_floor, NULL);
    cc_plan_clear(&m->plan);
}

static enum cc_status take_worm_error(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    if (q->holds != NULL) {
        enum cc_status s = blame(cc_angle_parse(m->worm_error, q->holds, err), err, "--holds");
        if (s != CC_OK)
            return s;
        if (mpq_sgn(m->worm_error) < 0)
            return cc_fail(err, CC_EDOM, "--holds: '%.40s' is negative: write 0 or more", q->holds);
        return CC_OK;
    }
    m->assumed = !cc_head_taken_to_hold(m->worm_error, &q->head, false);
    return CC_OK;
}

static enum cc_status take_drill_error(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    mpq_t off, radius;
    enum cc_status s;

    if (q->drill == NULL)
        return CC_OK;
    mpq_inits(off, radius, NULL);
    s = cc_length_parse(off, q->drill, q->output.unit, err);
    if (s == CC_OK && mpq_sgn(off) < 0)
        s = cc_fail(err, CC_EDOM, "'%.40s' is negative: write 0 or more", q->drill);
    blame(s, err, "--drill");
    if (s == CC_OK) {
        s = cc_length_parse(radius, q->diameter, q->output.unit, err);
        if (s == CC_OK && mpq_sgn(radius) <= 0)
            s = cc_fail(err, CC_EDOM, "'%.40s' must be more than 0", q->diameter);
        blame(s, err, "--diameter");
    }
    if (s == CC_OK) {
        mpq_div_2exp(radius, radius, 1);
        cc_arc_angle(m->drill_error, off, radius);
    }
    mpq_clears(off, radius, NULL);
    return s;
}

/* The plan for the first plate: the smallest worst error there is, of the methods allowed. */
static enum cc_status plan_first(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    struct cc_request request;
    enum cc_status s = cc_planner_new(&planner, &q->head, err);

    cc_request_init(&request);
    mpz_set_ui(request.divisions, q->make);
    /* without nearest compound: it moves the plate at every hole, for less error than the worm itself has */
    request.methods = q->methods != 0 ? q->methods : CC_ALL_METHODS & ~(1U << CC_NEAREST_COMPOUND);
    request.has_tolerance = true;       /* a tolerance of 0: the plan with the least error wins */
    if (s == CC_OK)
        s = cc_planner_best(&m->plan, NULL, planner, &request, err);
    cc_request_clear(&request);
    cc_planner_free(planner);
    return s;
}

/* Plate after plate, until the first plate's rounding adds less than a hundredth of the error that no plate can lose. */
static enum cc_status follow_generations(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    enum cc_status s = CC_OK;
    mpq_t hundredth;
    bool more = true;

    mpq_init(hundredth);
    for (size_t g = 0; s == CC_OK && more && g < MOST_GENERATIONS; g++) {
        s = cc_generation_next(&m->at[g], g > 0 ? &m->at[g - 1] : NULL, q->head.worm, m->plan.worst_error,
                               m->worm_error, m->drill_error, err);
        m->generations = g + 1;
        if (g == 0 && s == CC_OK)
            cc_generation_floor(m->hole_floor, m->work_floor, q->head.worm, m->worm_error, m->drill_error);
        mpq_set_ui(hundredth, 1, 100);
        mpq_mul(hundredth, hundredth, m->work_floor);
        more = !m->plan.exact && (g == 0 || mpq_cmp(m->at[g].work_arithmetic, hundredth) > 0);
    }
    mpq_clear(hundredth);
    return s;
}

enum cc_status plate_making_find(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    enum cc_status s = take_worm_error(m, q, err);

    if (s == CC_OK)
        s = take_drill_error(m, q, err);
    if (s == CC_OK)
        s = plan_first(m, q, err);
    if (s == CC_OK)
        s = follow_generations(m, q, err);
    return s;
}
