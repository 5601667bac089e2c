/* plate_making.c: see plate_making.h. */
#include "cli/subject/plate_making.h"

#include "crankcard/arc.h"

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

static void take_worm_error(struct plate_making *m, const struct plates_job *q)
{
    if (q->has_holds)
        mpq_set(m->worm_error, q->holds);
    else
        m->assumed = !cc_head_taken_to_hold(m->worm_error, &q->head, CC_INDEX_WORM);
}

static void take_drill_error(struct plate_making *m, const struct plates_job *q)
{
    mpq_t radius;

    if (!q->has_drill)
        return;
    mpq_init(radius);
    mpq_div_2exp(radius, q->diameter, 1);
    cc_arc_angle(m->drill_error, q->drill, radius);
    mpq_clear(radius);
}

enum cc_status plate_making_find(struct plate_making *m, const struct plates_job *q, struct cc_error *err)
{
    take_worm_error(m, q);
    take_drill_error(m, q);
    return cc_making_find(&m->made, &q->head, q->make, q->methods, m->worm_error, m->drill_error, err);
}
