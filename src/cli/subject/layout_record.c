/* layout_record.c: a layout for programs; docs/layout.md lists the fields. */
#include "cli/out/quantities.h"
#include "cli/out/record.h"
#include "cli/subject/layout_job.h"

/* A length that was computed, as KEY_mm or KEY_in. */
static void put_mm(struct record *r, const char *key, double mm)
{
    char name[64];

    snprintf(name, sizeof name, "%s_%s", key, cc_unit_name(r->unit));
    record_measured(r, name, in_unit(mm, r->unit), 6);
}

static void put_summary(struct record *r, const struct layout_job *q)
{
    struct layout_summary s;
    char n[40];

    layout_summarise(&s, q);
    record_lead(r, "layout", "layout");
    snprintf(n, sizeof n, "%zu", q->count);
    record_string(r, "divisions", q->angle == NULL ? n : NULL);
    record_number(r, "positions", (long long)q->count);
    record_length(r, "diameter", q->layout.diameter);
    record_length(r, "resolution", q->layout.resolution);
    record_length(r, "centre_x", q->layout.centre_x);
    record_length(r, "centre_y", q->layout.centre_y);
    record_rational(r, "start", q->layout.start);
    record_bool(r, "clockwise", q->layout.clockwise);
    record_length(r, "slot_diameter", q->slots ? q->slot.diameter : NULL);
    record_length(r, "pin", mpq_sgn(q->pin) > 0 ? q->pin : NULL);
    put_mm(r, "worst_off", s.off_mm);
    record_measured(r, "worst_error_arcsec", s.arcsec, 3);
    record_end(r);
}

static void put_point(struct record *r, const struct layout_job *q, const struct layout_position *p)
{
    record_begin(r, "point");
    record_number(r, "position", (long long)p->index + 1);
    record_string(r, "label", p->label[0] != '\0' ? p->label : NULL);
    record_rational(r, "angle", p->angle);
    record_degrees(r, "angle_deg", p->angle);
    record_length(r, "x", p->here.x);
    record_length(r, "y", p->here.y);
    put_mm(r, "error_x", p->here.error_x_mm);
    put_mm(r, "error_y", p->here.error_y_mm);
    put_mm(r, "off", p->here.off_mm);
    put_mm(r, "along", p->here.along_mm);
    put_mm(r, "out", p->here.out_mm);
    record_measured(r, "error_arcsec", p->here.angle_error_arcsec, 3);
    put_mm(r, "chord", p->chord_mm);
    put_mm(r, "chord_set", p->chord_set_mm);
    record_number(r, "across_to", (long long)p->far_index + 1);
    put_mm(r, "across", p->far_mm);
    put_mm(r, "across_set", p->far_set_mm);
    record_length(r, "end_x", q->slots ? p->slot.x : NULL);
    record_length(r, "end_y", q->slots ? p->slot.y : NULL);
    record_end(r);
}

#define POINT_COLUMNS(U) \
    "position,label,angle/,angle_deg,x_" U ",y_" U ",error_x_" U ",error_y_" U ",off_" U ",along_" U ",out_" U ",error_arcsec," \
    "chord_" U ",chord_set_" U ",across_to,across_" U ",across_set_" U ",end_x_" U ",end_y_" U

void layout_write_records(FILE *out, const struct layout_job *q)
{
    struct layout_position p;
    struct record record;

    record_init(&record, out, &q->output, q->output.unit == CC_INCH ? POINT_COLUMNS("in") : POINT_COLUMNS("mm"));
    if (!record.table)
        put_summary(&record, q);
    layout_position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        layout_position_at(&p, q, i);
        put_point(&record, q, &p);
    }
    layout_position_clear(&p);
    record_clear(&record);
}
