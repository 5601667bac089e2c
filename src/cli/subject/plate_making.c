/* plate_making.c: see plate_making.h. */
#include "cli/subject/plate_making.h"

#include "crankcard/angle.h"
#include "crankcard/arc.h"
#include "cli/base/blame.h"

void plate_making_init(struct plate_making *m)
{
    cc_making_init(&m->made);
    mpq_inits(m->worm_error, m->drill_error, NULL);
    m->assumed = false;
}

void plate_making_clear(struct plate_making *m)
{
    mpq_clears(m->worm_error, m->drill_error, NULL);
    cc_making_clear(&m->made);
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

enum cc_status plate_making_find(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    enum cc_status s = take_worm_error(m, q, err);

    if (s == CC_OK)
        s = take_drill_error(m, q, err);
    if (s == CC_OK)
        s = cc_making_find(&m->made, &q->head, q->make, q->methods, m->worm_error, m->drill_error, err);
    return s;
}
