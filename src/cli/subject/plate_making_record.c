/* plate_making_record.c: the same for programs; docs/plates.md lists the fields. */
#include "cli/out/record.h"
#include "cli/subject/plate_making.h"
#include "cli/subject/plates_job.h"

static const struct field make_fields[] = {
    ANSWER_FIELDS("make"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("worm", EXACT, "R, turns of the crank for one of the spindle"),
    FIELD("holes", NUMBER, "of the circle that is made"),
    FIELD("method", TEXT, "by which plate 1 is drilled, as in plan"),
    FIELD("exact", BOOLEAN, "that is exact"),
    FIELD("circle", NUMBER, "holes of the crank pin's circle, or of the direct plate"),
    FIELD("circle2", NUMBER, "compound: holes of the second pin's circle; else null"),
    FIELD("worst_error_arcsec", ARCSEC, "largest error of a hole of plate 1, by arithmetic"),
    FIELD("worst_pitch_arcsec", ARCSEC, "and of the space between neighbours"),
    FIELD("worm_error_arcsec", ARCSEC, "what the worm holds"),
    FIELD("worm_error_assumed", BOOLEAN, "neither --holds nor the profile says so"),
    FIELD("drill_error_arcsec", ARCSEC, "how far the drill wanders, as an angle of the plate"),
    FIELD("hole_floor_arcsec", ARCSEC, "holes come no closer"),
    FIELD("work_floor_arcsec", ARCSEC, "work comes no closer"),
    FIELDS_END
};
const struct form make_form = { .name = "make", .fields = make_fields };

static const struct field generation_fields[] = {
    RECORD_FIELD("generation"),
    FIELD("plate", NUMBER, "1 is drilled by the setting above, each other through the one before"),
    FIELD("hole_rounding_arcsec", ARCSEC, "what is left in its holes of plate 1's setting"),
    FIELD("hole_error_arcsec", ARCSEC, "how far its holes are off at most"),
    FIELD("work_rounding_arcsec", ARCSEC, "the same of work that is indexed through it: of plate 1's setting"),
    FIELD("work_error_arcsec", ARCSEC, "and in all"),
    FIELDS_END
};
const struct form generation_form = { .name = "generation", .fields = generation_fields, .columns = OWN_COLUMNS };

static void put_make(struct record *r, const struct plates_job *q, const struct plate_making *m)
{
    const struct cc_plan *plan = &m->made.plan;

    record_begin(r, &make_form, "plates");
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

    record_init(r, out, &q->output, &generation_form);
    if (!r->table)
        put_make(r, q, m);
    for (size_t g = 0; g < m->made.generations; g++) {
        record_begin(r, &generation_form, NULL);
        record_number(r, "plate", (long long)g + 1);
        record_arcsec(r, "hole_rounding_arcsec", m->made.at[g].hole_arithmetic);
        record_arcsec(r, "hole_error_arcsec", m->made.at[g].hole_error);
        record_arcsec(r, "work_rounding_arcsec", m->made.at[g].work_arithmetic);
        record_arcsec(r, "work_error_arcsec", m->made.at[g].work_error);
        record_end(r);
    }
    record_clear(r);
}
