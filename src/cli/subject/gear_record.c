/*
 * gear_record.c: a gear as one record, for programs.
 */
#include "cli/ask/output.h"
#include "cli/out/record.h"
#include "cli/subject/gear_job.h"

/* ---- values that may not apply: null, or empty ---- */

static void put_count(struct record *r, const char *key, bool applies, long long value)
{
    if (applies)
        record_number(r, key, value);
    else
        record_null(r, key);
}

static void put_bool(struct record *r, const char *key, bool applies, bool value)
{
    if (applies)
        record_bool(r, key, value);
    else
        record_null(r, key);
}

static void put_double(struct record *r, const char *key, bool applies, double value, unsigned decimals)
{
    if (applies)
        record_double(r, key, value, decimals);
    else
        record_null(r, key);
}

/* ---- lengths in the unit asked for ---- */

struct gear_rows {
    struct record record;
    enum cc_unit unit;
};

static void put_length(struct gear_rows *rows, const char *stem, bool applies, const mpq_t mm)
{
    if (applies)
        record_length(&rows->record, stem, rows->unit, mm);
    else
        record_no_length(&rows->record, stem, rows->unit);
}

static void put_mm(struct gear_rows *rows, const char *stem, bool applies, double mm)
{
    if (applies)
        record_length_d(&rows->record, stem, rows->unit, mm);
    else
        record_no_length(&rows->record, stem, rows->unit);
}

/* ---- the parts of a record ---- */

static void put_train(struct record *r, const char *drivers, const char *driven, const char *idlers, const struct cc_train *train)
{
    if (train == NULL) {
        record_null(r, drivers);
        record_null(r, driven);
        record_null(r, idlers);
        return;
    }
    record_counts(r, drivers, train->driver, train->pairs);
    record_counts(r, driven, train->driven, train->pairs);
    record_number(r, idlers, train->idlers);
}

/* Names divided by blanks: one field in every format. */
static void put_remarks(struct record *r, const struct cc_gear *gear)
{
    char text[200] = "";
    size_t used = 0;

    for (unsigned bit = 1; bit < 1u << CC_GEAR_REMARKS; bit <<= 1)
        if (gear->remarks & bit)    /* ten names of at most 12 letters */
            used += (size_t)snprintf(text + used, sizeof text - used, "%s%s", used > 0 ? " " : "",
                                     cc_gear_remark_name((enum cc_gear_remark)bit));
    record_string(r, "remarks", text);
}

/* number, from, to (null for a rack) */
static void put_cutter(struct record *r, const char *stem, const struct cc_cutter *cutter)
{
    char name[64], number[16];

    cc_cutter_str(number, sizeof number, cutter);
    record_string(r, stem, cutter->halves != 0 ? number : NULL);
    snprintf(name, sizeof name, "%s_from", stem);
    put_count(r, name, cutter->halves != 0, cutter->first);
    snprintf(name, sizeof name, "%s_to", stem);
    put_count(r, name, cutter->last != 0, cutter->last);
}

static void put_request(struct record *r, const struct gear_item *item)
{
    const struct cc_gear_request *ask = &item->ask;
    bool helical = ask->kind == CC_GEAR_HELICAL, bevel = ask->kind == CC_GEAR_BEVEL;

    put_count(r, "teeth", true, (long long)ask->teeth);
    record_string(r, "kind", gear_kind_name(ask->kind));
    record_string(r, "name", item->name);
    record_rational(r, "module", ask->module);
    record_rational(r, "pressure_angle", ask->pressure_angle);
    record_rational(r, "helix", helical ? ask->helix : NULL);
    record_string(r, "hand", helical ? gear_hand_name(item->hand) : NULL);
    put_count(r, "mate", ask->mate != 0, (long long)ask->mate);
    record_rational(r, "shaft_angle", bevel ? ask->shaft_angle : NULL);
    record_rational(r, "profile_shift", !bevel ? ask->profile_shift : NULL);
}

static void put_gear(struct gear_rows *rows, const struct cc_gear *gear)
{
    struct record *r = &rows->record;
    bool helical = gear->kind == CC_GEAR_HELICAL, bevel = gear->kind == CC_GEAR_BEVEL;

    put_length(rows, "pitch_diameter", true, gear->pitch_diameter);
    put_length(rows, "outside_diameter", true, gear->outside_diameter);
    put_length(rows, "addendum", true, gear->addendum);
    put_length(rows, "whole_depth", true, gear->whole_depth);
    put_double(r, "formative_teeth", true, gear->formative_teeth, 6);
    put_cutter(r, "cutter", &gear->cutter);
    put_cutter(r, "half_cutter", &gear->half_cutter);
    put_mm(rows, "chordal_thickness", true, gear->chordal_thickness_mm);
    put_mm(rows, "chordal_addendum", true, gear->chordal_addendum_mm);
    put_count(r, "span_teeth", gear->has_span, (long long)gear->span_teeth);
    put_mm(rows, "span", gear->has_span, gear->span_mm);
    put_mm(rows, "span_face", gear->has_span && helical, gear->span_face_mm);
    put_mm(rows, "pin", gear->has_pins, gear->pin_mm);
    put_mm(rows, "over_pins", gear->has_pins, gear->over_pins_mm);
    put_length(rows, "centre_distance", gear->has_pair && !bevel, gear->centre_distance);
    put_double(r, "contact_ratio", gear->has_pair, gear->contact_ratio, 6);
    put_mm(rows, "lead", helical, gear->lead_mm);
    put_double(r, "transverse_pressure_angle_deg", helical, gear->transverse_pressure_angle_deg, 9);
    put_double(r, "pitch_angle_deg", bevel, gear->pitch_angle_deg, 9);
    put_double(r, "face_angle_deg", bevel, gear->face_angle_deg, 9);
    put_double(r, "root_angle_deg", bevel, gear->root_angle_deg, 9);
    put_double(r, "addendum_angle_deg", bevel, gear->addendum_angle_deg, 9);
    put_double(r, "dedendum_angle_deg", bevel, gear->dedendum_angle_deg, 9);
    put_mm(rows, "cone_distance", bevel, gear->cone_distance_mm);
    put_mm(rows, "apex_to_crown", bevel, gear->apex_to_crown_mm);
    put_mm(rows, "face", bevel, gear->face_mm);
    put_double(r, "small_end", bevel, gear->small_end, 6);
    put_remarks(r, gear);
}

static void put_plan(struct record *r, const struct gear_job *job, const struct gear_item *item)
{
    const struct cc_plan *plan = &item->work.plan;
    bool has = item->work.has_plan, by_plate = has && !cc_plan_is_direct(plan), two = has && plan->circle2 != 0;
    int64_t turns = 0, holes = 0, holes2 = 0;
    bool constant = has && cc_plan_movement(&turns, &holes, &holes2, plan);

    record_string(r, "method", has ? cc_method_name(plan->method) : NULL);
    put_bool(r, "exact", has, plan->exact);
    put_bool(r, "within_tolerance", has, plan->within);
    put_count(r, "block", has, (long long)plan->block);
    record_string(r, "plate", by_plate ? job->head.plates[plan->plate].name : NULL);
    put_count(r, "side", by_plate, plan->side);
    put_count(r, "circle", has, plan->circle);
    put_count(r, "turns", constant, turns);
    put_count(r, "holes", constant, holes);
    put_count(r, "circle2", two, plan->circle2);
    put_count(r, "holes2", constant && two, holes2);
    put_train(r, "drivers", "driven", "idlers", has && plan->train.pairs > 0 ? &plan->train : NULL);
    if (has)
        record_arcsec(r, "worst_error_arcsec", plan->worst_error);
    else
        record_null(r, "worst_error_arcsec");
}

/* The gears between table screw and head, where --screw asked for them. */
static void put_gearing(struct gear_rows *rows, const struct gear_item *item)
{
    bool has = item->has_gearing;

    put_train(&rows->record, "lead_drivers", "lead_driven", "lead_idlers", has ? &item->gearing.train : NULL);
    put_length(rows, "geared_lead", has, item->gearing.lead);
    put_length(rows, "lead_error", has, item->gearing.error);
    put_double(&rows->record, "geared_helix_deg", has, item->gearing.angle_deg, 9);
}

void gear_write_records(FILE *out, const struct gear_job *job, enum format format, enum cc_unit unit)
{
    struct gear_rows rows = { .unit = unit };

    record_init(&rows.record, out, format);
    for (size_t i = 0; i < job->n; i++) {
        while (record_begin(&rows.record, "gear")) {
            record_string(&rows.record, "command", "gear");
            record_string(&rows.record, "head", job->head.title);
            record_number(&rows.record, "order", (long long)i + 1);
            put_request(&rows.record, &job->at[i]);
            put_gear(&rows, &job->at[i].gear);
            put_gearing(&rows, &job->at[i]);
            put_plan(&rows.record, job, &job->at[i]);
            record_end(&rows.record);
        }
    }
}
