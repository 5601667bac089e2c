/* layout_record.c: a layout for programs; docs/layout.md lists the fields. */
#include "cli/out/record.h"
#include "cli/subject/layout_job.h"

static const struct field layout_fields[] = {
    ANSWER_FIELDS("layout"),
    FIELD("divisions", DIGITS, "how many; null for a list"),
    FIELD("positions", NUMBER, "how many positions follow"),
    FIELD("diameter_mm", LENGTH, "of the circle"),
    FIELD("resolution_mm", LENGTH, "of the dials or the readout"),
    FIELD("centre_x_mm", LENGTH, "X of the centre"),
    FIELD("centre_y_mm", LENGTH, "Y of the centre"),
    FIELD("start", REVOLUTIONS, "where the first position is, from the X axis"),
    FIELD("clockwise", BOOLEAN, "positions follow each other clockwise"),
    FIELD("slot_diameter_mm", LENGTH, "of the circle where slots end; null without --slot"),
    FIELD("pin_mm", LENGTH, "diameter of the pins that are measured over; null without --pin"),
    FIELD("worst_off_mm", LENGTH, "largest off_mm of all positions"),
    FIELD("worst_error_arcsec", ARCSEC, "largest error_arcsec of all positions"),
    FIELDS_END
};
const struct form layout_form = { .name = "layout", .fields = layout_fields };

static const struct field point_fields[] = {
    RECORD_FIELD("point"),
    FIELD("position", NUMBER, "from 1"),
    FIELD("label", TEXT, "of a list's angle; else null"),
    FIELD("angle", REVOLUTIONS, "from the start"),
    FIELD("angle_deg", DEGREES, "the same"),
    FIELD("x_mm", LENGTH, "the setting in X"),
    FIELD("y_mm", LENGTH, "the setting in Y"),
    FIELD("error_x_mm", LENGTH, "setting less true place, by axis: X"),
    FIELD("error_y_mm", LENGTH, "and Y"),
    FIELD("off_mm", LENGTH, "the same as a distance"),
    FIELD("along_mm", LENGTH, "along the circle"),
    FIELD("out_mm", LENGTH, "outwards"),
    FIELD("error_arcsec", ARCSEC, "as an angle"),
    FIELD("chord_mm", LENGTH, "to the next position, from the last to the first: true"),
    FIELD("chord_set_mm", LENGTH, "and between the settings"),
    FIELD("across_to", NUMBER, "the position nearest opposite"),
    FIELD("across_mm", LENGTH, "to that one: true"),
    FIELD("across_set_mm", LENGTH, "and between the settings"),
    FIELD("end_x_mm", LENGTH, "X of a slot's other end; null without --slot"),
    FIELD("end_y_mm", LENGTH, "and Y"),
    FIELDS_END
};
const struct form point_form = { .name = "point", .fields = point_fields, .columns = OWN_COLUMNS };

static void put_summary(struct record *r, const struct layout_job *q)
{
    struct layout_summary s;

    layout_summarise(&s, q);
    record_begin(r, &layout_form, "layout");
    record_whole_if(r, q->angle == NULL, "divisions", q->count);
    record_number(r, "positions", (long long)q->count);
    record_length(r, "diameter", q->layout.diameter);
    record_length(r, "resolution", q->layout.resolution);
    record_length(r, "centre_x", q->layout.centre_x);
    record_length(r, "centre_y", q->layout.centre_y);
    record_rational(r, "start", q->layout.start);
    record_bool(r, "clockwise", q->layout.clockwise);
    record_length(r, "slot_diameter", q->slots ? q->slot.diameter : NULL);
    record_length(r, "pin", mpq_sgn(q->pin) > 0 ? q->pin : NULL);
    record_length_d(r, "worst_off", s.off_mm);
    record_double(r, "worst_error_arcsec", s.arcsec, 3);
    record_end(r);
}

static void put_point(struct record *r, const struct layout_job *q, const struct layout_position *p)
{
    record_begin(r, &point_form, NULL);
    record_number(r, "position", (long long)p->index + 1);
    record_string(r, "label", p->label[0] != '\0' ? p->label : NULL);
    record_rational(r, "angle", p->angle);
    record_degrees(r, "angle_deg", p->angle);
    record_length(r, "x", p->here.x);
    record_length(r, "y", p->here.y);
    record_length_d(r, "error_x", p->here.error_x_mm);
    record_length_d(r, "error_y", p->here.error_y_mm);
    record_length_d(r, "off", p->here.off_mm);
    record_length_d(r, "along", p->here.along_mm);
    record_length_d(r, "out", p->here.out_mm);
    record_double(r, "error_arcsec", p->here.angle_error_arcsec, 3);
    record_length_d(r, "chord", p->chord_mm);
    record_length_d(r, "chord_set", p->chord_set_mm);
    record_number(r, "across_to", (long long)p->far_index + 1);
    record_length_d(r, "across", p->far_mm);
    record_length_d(r, "across_set", p->far_set_mm);
    record_length(r, "end_x", q->slots ? p->slot.x : NULL);
    record_length(r, "end_y", q->slots ? p->slot.y : NULL);
    record_end(r);
}

void layout_write_records(FILE *out, const struct layout_job *q)
{
    struct layout_position p;
    struct record record;

    record_init(&record, out, &q->output, &point_form);
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
