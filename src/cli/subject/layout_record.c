/* layout_record.c: a layout for programs; docs/layout.md lists the fields. */
#include "cli/ask/output.h"
#include "cli/out/csv.h"
#include "cli/out/json.h"
#include "cli/out/quantities.h"
#include "cli/subject/layout_job.h"

/* ---- csv and tsv ---- */

static void csv_mm(struct csv *csv, const struct layout_job *q, double mm)
{
    char buf[400];
    csv_digits(csv, fixed_text(buf, sizeof buf, in_unit(mm, q->output.unit), 6));
}

static void csv_setting(struct csv *csv, const struct layout_job *q, const mpq_t mm)
{
    char buf[100];
    csv_digits(csv, layout_setting(buf, sizeof buf, q, mm));
}

static void csv_row(struct csv *csv, const struct layout_job *q, const struct layout_position *p)
{
    char buf[100];

    csv_number(csv, (long long)p->index + 1);
    csv_field(csv, p->label);
    csv_rational(csv, p->angle);
    csv_degrees(csv, p->angle);
    csv_setting(csv, q, p->here.x);
    csv_setting(csv, q, p->here.y);
    csv_mm(csv, q, p->here.error_x_mm);
    csv_mm(csv, q, p->here.error_y_mm);
    csv_mm(csv, q, p->here.off_mm);
    csv_mm(csv, q, p->here.along_mm);
    csv_mm(csv, q, p->here.out_mm);
    csv_digits(csv, fixed_text(buf, sizeof buf, p->here.angle_error_arcsec, 3));
    csv_mm(csv, q, p->chord_mm);
    csv_mm(csv, q, p->chord_set_mm);
    csv_number(csv, (long long)p->far_index + 1);
    csv_mm(csv, q, p->far_mm);
    csv_mm(csv, q, p->far_set_mm);
    if (q->slots) {
        csv_setting(csv, q, p->slot.x);
        csv_setting(csv, q, p->slot.y);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
    csv_end_row(csv);
}

void layout_write_rows(FILE *out, const struct layout_job *q)
{
    struct csv csv;
    struct layout_position p;

    csv_init(&csv, out, q->output.format == FORMAT_TSV);
    csv_header(&csv, q->output.unit == CC_INCH
                         ? "position,label,angle/,angle_deg,x_in,y_in,error_x_in,error_y_in,off_in,along_in,out_in,"
                           "error_arcsec,chord_in,chord_set_in,across_to,across_in,across_set_in,end_x_in,end_y_in"
                         : "position,label,angle/,angle_deg,x_mm,y_mm,error_x_mm,error_y_mm,off_mm,along_mm,out_mm,"
                           "error_arcsec,chord_mm,chord_set_mm,across_to,across_mm,across_set_mm,end_x_mm,end_y_mm");
    layout_position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        layout_position_at(&p, q, i);
        csv_row(&csv, q, &p);
    }
    layout_position_clear(&p);
}

/* ---- JSON ---- */

/* KEY_mm or KEY_in. */
static const char *key_of(char *buf, size_t size, const struct layout_job *q, const char *key)
{
    snprintf(buf, size, "%s_%s", key, cc_unit_name(q->output.unit));
    return buf;
}

static void json_length(struct json *json, const struct layout_job *q, const char *key, double mm)
{
    char buf[64];
    json_double(json, key_of(buf, sizeof buf, q, key), in_unit(mm, q->output.unit), 6);
}

static void json_setting(struct json *json, const struct layout_job *q, const char *key, const mpq_t mm)
{
    char buf[64];
    mpq_t value;

    mpq_init(value);
    in_unit_exact(value, mm, q->output.unit);
    json_decimal(json, key_of(buf, sizeof buf, q, key), value, 6);
    mpq_clear(value);
}

static void json_setting_or_null(struct json *json, const struct layout_job *q, const char *key, bool given,
                                 const mpq_t mm)
{
    char buf[64];

    if (given)
        json_setting(json, q, key, mm);
    else
        json_null(json, key_of(buf, sizeof buf, q, key));
}

static void json_summary(FILE *out, const struct layout_job *q)
{
    struct json json;
    struct layout_summary s;
    char n[40];

    layout_summarise(&s, q);
    json_open(&json, out);
    json_string(&json, "record", "layout");
    json_number(&json, "schema", 1);
    json_string(&json, "command", "layout");
    snprintf(n, sizeof n, "%zu", q->count);
    json_string(&json, "divisions", q->angle == NULL ? n : NULL);
    json_number(&json, "positions", (long long)q->count);
    json_setting(&json, q, "diameter", q->layout.diameter);
    json_setting(&json, q, "resolution", q->layout.resolution);
    json_setting(&json, q, "centre_x", q->layout.centre_x);
    json_setting(&json, q, "centre_y", q->layout.centre_y);
    json_rational(&json, "start", q->layout.start);
    json_bool(&json, "clockwise", q->layout.clockwise);
    json_setting_or_null(&json, q, "slot_diameter", q->slots, q->slot.diameter);
    json_setting_or_null(&json, q, "pin", mpq_sgn(q->pin) > 0, q->pin);
    json_length(&json, q, "worst_off", s.off_mm);
    json_double(&json, "worst_error_arcsec", s.arcsec, 3);
    json_close(&json);
}

static void json_point(struct json *json, const struct layout_job *q, const struct layout_position *p)
{
    json_string(json, "record", "point");
    json_number(json, "position", (long long)p->index + 1);
    json_string(json, "label", p->label[0] != '\0' ? p->label : NULL);
    json_rational(json, "angle", p->angle);
    json_degrees(json, "angle_deg", p->angle);
    json_setting(json, q, "x", p->here.x);
    json_setting(json, q, "y", p->here.y);
    json_length(json, q, "error_x", p->here.error_x_mm);
    json_length(json, q, "error_y", p->here.error_y_mm);
    json_length(json, q, "off", p->here.off_mm);
    json_length(json, q, "along", p->here.along_mm);
    json_length(json, q, "out", p->here.out_mm);
    json_double(json, "error_arcsec", p->here.angle_error_arcsec, 3);
    json_length(json, q, "chord", p->chord_mm);
    json_length(json, q, "chord_set", p->chord_set_mm);
    json_number(json, "across_to", (long long)p->far_index + 1);
    json_length(json, q, "across", p->far_mm);
    json_length(json, q, "across_set", p->far_set_mm);
    json_setting_or_null(json, q, "end_x", q->slots, p->slot.x);
    json_setting_or_null(json, q, "end_y", q->slots, p->slot.y);
}

void layout_write_records(FILE *out, const struct layout_job *q)
{
    struct layout_position p;
    struct json json;

    json_summary(out, q);
    layout_position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        layout_position_at(&p, q, i);
        json_open(&json, out);
        json_point(&json, q, &p);
        json_close(&json);
    }
    layout_position_clear(&p);
}
