/* plate_making_record.c: the same for programs; docs/plates.md lists the fields. */
#include "cli/ask/output.h"
#include "cli/out/csv.h"
#include "cli/out/json.h"
#include "cli/subject/plate_making.h"
#include "cli/subject/plates_job.h"

void plate_making_write_records(FILE *out, const struct plates_job *q, const struct plate_making *m)
{
    struct json json;

    json_open(&json, out);
    json_string(&json, "record", "make");
    json_number(&json, "schema", 1);
    json_string(&json, "command", "plates");
    json_string(&json, "head", q->head.title);
    json_rational(&json, "worm", q->head.worm);
    json_number(&json, "holes", (long long)q->make);
    json_string(&json, "method", cc_method_name(m->made.plan.method));
    json_bool(&json, "exact", m->made.plan.exact);
    json_number(&json, "circle", m->made.plan.circle);
    if (m->made.plan.circle2 != 0)
        json_number(&json, "circle2", m->made.plan.circle2);
    else
        json_null(&json, "circle2");
    json_arcsec(&json, "worst_error_arcsec", m->made.plan.worst_error);
    json_arcsec(&json, "worst_pitch_arcsec", m->made.plan.worst_pitch);
    json_arcsec(&json, "worm_error_arcsec", m->worm_error);
    json_bool(&json, "worm_error_assumed", m->assumed);
    json_arcsec(&json, "drill_error_arcsec", m->drill_error);
    json_arcsec(&json, "hole_floor_arcsec", m->made.hole_floor);
    json_arcsec(&json, "work_floor_arcsec", m->made.work_floor);
    json_close(&json);
    for (size_t g = 0; g < m->made.generations; g++) {
        json_open(&json, out);
        json_string(&json, "record", "generation");
        json_number(&json, "plate", (long long)g + 1);
        json_arcsec(&json, "hole_rounding_arcsec", m->made.at[g].hole_arithmetic);
        json_arcsec(&json, "hole_error_arcsec", m->made.at[g].hole_error);
        json_arcsec(&json, "work_rounding_arcsec", m->made.at[g].work_arithmetic);
        json_arcsec(&json, "work_error_arcsec", m->made.at[g].work_error);
        json_close(&json);
    }
}

void plate_making_write_rows(FILE *out, const struct plates_job *q, const struct plate_making *m)
{
    struct csv csv;

    csv_init(&csv, out, q->output.format == FORMAT_TSV);
    csv_header(&csv, "plate,hole_rounding_arcsec,hole_error_arcsec,work_rounding_arcsec,work_error_arcsec");
    for (size_t g = 0; g < m->made.generations; g++) {
        csv_number(&csv, (long long)g + 1);
        csv_arcsec(&csv, m->made.at[g].hole_arithmetic);
        csv_arcsec(&csv, m->made.at[g].hole_error);
        csv_arcsec(&csv, m->made.at[g].work_arithmetic);
        csv_arcsec(&csv, m->made.at[g].work_error);
        csv_end_row(&csv);
    }
}
