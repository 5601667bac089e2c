/* plate_making_record.c: the same for programs; docs/plates.md lists the fields. */
#include "cli/out/record.h"
#include "cli/subject/plate_making.h"
#include "cli/subject/plates_job.h"

static void put_make(struct record *r, const struct plates_job *q, const struct plate_making *m)
{
    const struct cc_plan *plan = &m->made.plan;

    record_lead(r, "make", "plates");
    record_string(r, "head", q->head.title);
    record_rational(r, "worm", q->head.worm);
    record_number(r, "holes", (long long)q->make);
    record_string(r, "method", cc_method_name(plan->method));
    record_bool(r, "exact", plan->exact);
    record_number(r, "circle", plan->circle);
    record_number_if(r, plan->circle2 != 0, "circle2", plan->circle2);
    record_arcsec(r, "worst_error_arcsec", plan->worst_error);
    record_arcsec(r, "worst_pitch_arcsec", plan->worst_pitch);
    record_arcsec(r, "worm_error_arcsec", m->worm_error);
    record_bool(r, "worm_error_assumed", m->assumed);
    record_arcsec(r, "drill_error_arcsec", m->drill_error);
    record_arcsec(r, "hole_floor_arcsec", m->made.hole_floor);
    record_arcsec(r, "work_floor_arcsec", m->made.work_floor);
    record_end(r);
}

void plate_making_write_records(FILE *out, const struct plates_job *q, const struct plate_making *m)
{
    struct record record, *r = &record;

    record_init(r, out, &q->output, "plate,hole_rounding_arcsec,hole_error_arcsec,work_rounding_arcsec,work_error_arcsec");
    if (!r->table)
        put_make(r, q, m);
    for (size_t g = 0; g < m->made.generations; g++) {
        record_begin(r, "generation");
        record_number(r, "plate", (long long)g + 1);
        record_arcsec(r, "hole_rounding_arcsec", m->made.at[g].hole_arithmetic);
        record_arcsec(r, "hole_error_arcsec", m->made.at[g].hole_error);
        record_arcsec(r, "work_rounding_arcsec", m->made.at[g].work_arithmetic);
        record_arcsec(r, "work_error_arcsec", m->made.at[g].work_error);
        record_end(r);
    }
    record_clear(r);
}
