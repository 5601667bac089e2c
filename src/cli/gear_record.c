/*
 * gear_record.c: a gear as one record, for programs. One list of fields serves the JSON object, the
 * header and the row, so they cannot drift apart.
 */
#include <string.h>

#include "cli/csv.h"
#include "cli/gear_job.h"
#include "cli/json.h"

enum sink_kind { SINK_JSON, SINK_HEADER, SINK_ROW };

struct sink {
    enum sink_kind kind;
    struct json json;
    struct csv csv;
    enum cc_unit unit;
};

/* A field that does not apply is null, or empty. Every put_ function ends here or in the JSON writer. */
static void put_text(struct sink *s, const char *name, const char *text)
{
    if (s->kind == SINK_JSON)
        json_string(&s->json, name, text);
    else
        csv_field(&s->csv, s->kind == SINK_HEADER ? name : text);
}

static void put_count(struct sink *s, const char *name, bool applies, long long value)
{
    char text[32];

    snprintf(text, sizeof text, "%lld", value);
    if (s->kind == SINK_JSON && applies)
        json_number(&s->json, name, value);
    else
        put_text(s, name, applies ? text : NULL);
}

static void put_bool(struct sink *s, const char *name, bool applies, bool value)
{
    if (s->kind == SINK_JSON && applies)
        json_bool(&s->json, name, value);
    else
        put_text(s, name, !applies ? NULL : value ? "true" : "false");
}

static void put_exact(struct sink *s, const char *name, bool applies, const mpq_t value)
{
    char text[400];

    if (s->kind == SINK_JSON && applies) {
        json_rational(&s->json, name, value);
        return;
    }
    cc_rational_str(text, sizeof text, value);
    put_text(s, name, applies ? text : NULL);
}

static void put_decimal(struct sink *s, const char *name, bool applies, const mpq_t value, unsigned decimals)
{
    char text[400];

    if (s->kind == SINK_JSON && applies) {
        json_decimal(&s->json, name, value, decimals);
        return;
    }
    cc_decimal_short_str(text, sizeof text, value, decimals);
    put_text(s, name, applies ? text : NULL);
}

static void put_double(struct sink *s, const char *name, bool applies, double value, unsigned decimals)
{
    mpq_t exactly;

    mpq_init(exactly);
    mpq_set_d(exactly, value);
    put_decimal(s, name, applies, exactly, decimals);
    mpq_clear(exactly);
}

/* stem_mm, or stem_in with --units in. */
static void put_length(struct sink *s, const char *stem, bool applies, const mpq_t mm)
{
    char name[64];
    mpq_t value, inch;

    mpq_init(value);
    mpq_init(inch);
    mpq_set_ui(inch, 127, 5);
    if (s->unit == CC_INCH)
        mpq_div(value, mm, inch);
    else
        mpq_set(value, mm);
    snprintf(name, sizeof name, "%s_%s", stem, cc_unit_name(s->unit));
    put_decimal(s, name, applies, value, 6);
    mpq_clear(inch);
    mpq_clear(value);
}

static void put_mm(struct sink *s, const char *stem, bool applies, double mm)
{
    mpq_t exactly;

    mpq_init(exactly);
    mpq_set_d(exactly, mm);
    put_length(s, stem, applies, exactly);
    mpq_clear(exactly);
}

/* Tooth counts: an array, or words. */
static void put_teeth(struct sink *s, const char *name, const unsigned *teeth, unsigned n)
{
    char text[64];
    size_t used = 0;

    if (s->kind == SINK_JSON && n > 0) {
        json_open_array(&s->json, name);
        for (unsigned i = 0; i < n; i++)
            json_number(&s->json, NULL, teeth[i]);
        json_close_array(&s->json);
        return;
    }
    for (unsigned i = 0; i < n; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%u", i > 0 ? " " : "", teeth[i]);
    put_text(s, name, n > 0 ? text : NULL);
}

static void put_remarks(struct sink *s, const struct cc_gear *gear)
{
    char text[200] = "";

    if (s->kind == SINK_JSON)
        json_open_array(&s->json, "remarks");
    for (unsigned bit = 1; bit < 1u << CC_GEAR_REMARKS; bit <<= 1) {
        const char *name = cc_gear_remark_name((enum cc_gear_remark)bit);
        if (!(gear->remarks & bit))
            continue;
        if (s->kind == SINK_JSON)
            json_string(&s->json, NULL, name);
        if (text[0] != '\0')
            strcat(text, " ");
        strcat(text, name);     /* ten names of at most 12 letters */
    }
    if (s->kind == SINK_JSON)
        json_close_array(&s->json);
    else
        put_text(s, "remarks", text);
}

/* number, from, to (null for a rack) */
static void put_cutter(struct sink *s, const char *stem, const struct cc_cutter *cutter)
{
    char name[64], number[16];

    cc_cutter_str(number, sizeof number, cutter);
    put_text(s, stem, cutter->halves != 0 ? number : NULL);
    snprintf(name, sizeof name, "%s_from", stem);
    put_count(s, name, cutter->halves != 0, cutter->first);
    snprintf(name, sizeof name, "%s_to", stem);
    put_count(s, name, cutter->last != 0, cutter->last);
}

static void put_request(struct sink *s, const struct gear_item *item)
{
    const struct cc_gear_request *ask = &item->ask;
    bool helical = ask->kind == CC_GEAR_HELICAL, bevel = ask->kind == CC_GEAR_BEVEL;

    put_count(s, "teeth", true, (long long)ask->teeth);
    put_text(s, "kind", gear_kind_name(ask->kind));
    put_text(s, "name", item->name);
    put_exact(s, "module", true, ask->module);
    put_exact(s, "pressure_angle", true, ask->pressure_angle);
    put_exact(s, "helix", helical, ask->helix);
    put_text(s, "hand", gear_hand_name(item->hand));
    put_count(s, "mate", ask->mate != 0, (long long)ask->mate);
    put_exact(s, "shaft_angle", bevel, ask->shaft_angle);
    put_exact(s, "profile_shift", !bevel, ask->profile_shift);
}

static void put_gear(struct sink *s, const struct cc_gear *gear)
{
    bool helical = gear->kind == CC_GEAR_HELICAL, bevel = gear->kind == CC_GEAR_BEVEL;

    put_length(s, "pitch_diameter", true, gear->pitch_diameter);
    put_length(s, "outside_diameter", true, gear->outside_diameter);
    put_length(s, "addendum", true, gear->addendum);
    put_length(s, "whole_depth", true, gear->whole_depth);
    put_double(s, "formative_teeth", true, gear->formative_teeth, 6);
    put_cutter(s, "cutter", &gear->cutter);
    put_cutter(s, "half_cutter", &gear->half_cutter);
    put_mm(s, "chordal_thickness", true, gear->chordal_thickness_mm);
    put_mm(s, "chordal_addendum", true, gear->chordal_addendum_mm);
    put_count(s, "span_teeth", gear->has_span, (long long)gear->span_teeth);
    put_mm(s, "span", gear->has_span, gear->span_mm);
    put_mm(s, "span_face", gear->has_span && helical, gear->span_face_mm);
    put_mm(s, "pin", gear->has_pins, gear->pin_mm);
    put_mm(s, "over_pins", gear->has_pins, gear->over_pins_mm);
    put_length(s, "centre_distance", gear->has_pair && !bevel, gear->centre_distance);
    put_double(s, "contact_ratio", gear->has_pair, gear->contact_ratio, 6);
    put_mm(s, "lead", helical, gear->lead_mm);
    put_double(s, "transverse_pressure_angle_deg", helical, gear->transverse_pressure_angle_deg, 9);
    put_double(s, "pitch_angle_deg", bevel, gear->pitch_angle_deg, 9);
    put_double(s, "face_angle_deg", bevel, gear->face_angle_deg, 9);
    put_double(s, "root_angle_deg", bevel, gear->root_angle_deg, 9);
    put_double(s, "addendum_angle_deg", bevel, gear->addendum_angle_deg, 9);
    put_double(s, "dedendum_angle_deg", bevel, gear->dedendum_angle_deg, 9);
    put_mm(s, "cone_distance", bevel, gear->cone_distance_mm);
    put_mm(s, "apex_to_crown", bevel, gear->apex_to_crown_mm);
    put_mm(s, "face", bevel, gear->face_mm);
    put_double(s, "small_end", bevel, gear->small_end, 6);
    put_remarks(s, gear);
}

static void put_plan(struct sink *s, const struct gear_job *job, const struct gear_item *item)
{
    const struct cc_plan *plan = &item->plan;
    bool has = item->has_plan, geared = has && plan->train.pairs > 0;
    int64_t turns = 0, holes = 0, holes2 = 0;
    bool constant = has && cc_plan_movement(&turns, &holes, &holes2, plan);
    mpq_t arcsec;

    put_text(s, "method", has ? cc_method_name(plan->method) : NULL);
    put_bool(s, "exact", has, plan->exact);
    put_bool(s, "within_tolerance", has, plan->within);
    put_count(s, "block", has, (long long)plan->block);
    put_text(s, "plate", has && plan->side != 0 ? job->head.plates[plan->plate].name : NULL);
    put_count(s, "side", has && plan->side != 0, plan->side);
    put_count(s, "circle", has, plan->circle);
    put_count(s, "turns", constant, turns);
    put_count(s, "holes", constant, holes);
    put_count(s, "circle2", has && plan->circle2 != 0, plan->circle2);
    put_count(s, "holes2", constant && plan->circle2 != 0, holes2);
    put_teeth(s, "drivers", plan->train.driver, geared ? plan->train.pairs : 0);
    put_teeth(s, "driven", plan->train.driven, geared ? plan->train.pairs : 0);
    put_count(s, "idlers", geared, plan->train.idlers);
    mpq_init(arcsec);
    if (has)
        cc_angle_arcsec(arcsec, plan->worst_error);
    put_decimal(s, "worst_error_arcsec", has, arcsec, 3);
    mpq_clear(arcsec);
}

static void put_item(struct sink *s, const struct gear_job *job, size_t i)
{
    put_count(s, "order", true, (long long)i + 1);
    put_request(s, &job->at[i]);
    put_gear(s, &job->at[i].gear);
    put_plan(s, job, &job->at[i]);
}

void gear_write_jsonl(FILE *out, const struct gear_job *job, enum cc_unit unit)
{
    struct sink s = { .kind = SINK_JSON, .unit = unit };

    for (size_t i = 0; i < job->n; i++) {
        json_open(&s.json, out);
        json_string(&s.json, "record", "gear");
        json_number(&s.json, "schema", 1);
        json_string(&s.json, "command", "gear");
        json_string(&s.json, "head", job->head.name);
        put_item(&s, job, i);
        json_close(&s.json);
    }
}

void gear_write_rows(FILE *out, const struct gear_job *job, enum cc_unit unit, bool tabs)
{
    struct sink s = { .kind = SINK_HEADER, .unit = unit };

    csv_init(&s.csv, out, tabs);
    put_item(&s, job, 0);
    csv_end_row(&s.csv);
    s.kind = SINK_ROW;
    for (size_t i = 0; i < job->n; i++) {
        put_item(&s, job, i);
        csv_end_row(&s.csv);
    }
}
