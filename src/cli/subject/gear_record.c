/*
 * gear_record.c: a gear as one record, for programs.
 */
#include <math.h>

#include "cli/ask/output.h"
#include "cli/out/gears.h"
#include "cli/out/plan_records.h"
#include "cli/subject/gear_job.h"

#define CUTTER(NAME, MEANING) \
    FIELD(NAME, TEXT, MEANING "; null where the series has none, as the next two are"), \
    FIELD(NAME "_from", NUMBER, "fewest teeth that it cuts"), FIELD(NAME "_to", NUMBER, "most teeth; null for a rack")

static const struct field gear_fields[] = {
    ANSWER_FIELDS("gear"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("order", NUMBER, "1, 2, ... in the order of work"),
    FIELD("teeth", NUMBER, "as asked, like the next nine"),
    FIELD("kind", TEXT, "spur, helical or bevel"),
    FIELD("name", TEXT, "of the gear"),
    FIELD("module", MILLIMETRES, "normal; bevel: of the large end"),
    FIELD("pressure_angle", REVOLUTIONS, "normal"),
    FIELD("helix", REVOLUTIONS, "helical: helix angle at the pitch cylinder"),
    FIELD("hand", TEXT, "helical: right or left"),
    FIELD("mate", NUMBER, "teeth of the mating gear"),
    FIELD("shaft_angle", REVOLUTIONS, "bevel: between the shafts"),
    FIELD("profile_shift", EXACT, "in modules, outward; null for a bevel gear"),
    FIELD("pitch_diameter_mm", LENGTH, "the blank, like the next three"),
    FIELD("outside_diameter_mm", LENGTH, "what it is turned to"),
    FIELD("addendum_mm", LENGTH, "height of a tooth above the pitch circle"),
    FIELD("whole_depth_mm", LENGTH, "depth of cut"),
    FIELD("formative_teeth", DECIMAL, "teeth by which the cutter is chosen, to 6 decimals"),
    CUTTER("cutter", "number in the series of eight"),
    CUTTER("half_cutter", "number in the series of fifteen"),
    FIELD("chordal_thickness_mm", LENGTH, "of a tooth at the pitch circle; helical: in the normal section, bevel: at the large end"),
    FIELD("chordal_addendum_mm", LENGTH, "height of the tip above that chord"),
    FIELD("span_teeth", NUMBER, "teeth that are spanned; null where the jaws do not touch the flanks, like the next two"),
    FIELD("span_mm", LENGTH, "length over them"),
    FIELD("span_face_mm", LENGTH, "helical: face width that it needs"),
    FIELD("pin_mm", LENGTH, "diameter of the pins; null where they do not rest on the flanks, like the next"),
    FIELD("over_pins_mm", LENGTH, "length over them"),
    FIELD("centre_distance_mm", LENGTH, "with a mate, not bevel"),
    FIELD("contact_ratio", DECIMAL, "with a mate, to 6 decimals"),
    FIELD("lead_mm", LENGTH, "helical: lead of the teeth"),
    FIELD("transverse_pressure_angle_deg", DEGREES, "helical"),
    FIELD("pitch_angle_deg", DEGREES, "bevel, like the next eight"),
    FIELD("face_angle_deg", DEGREES, "of the blank's tip cone"),
    FIELD("root_angle_deg", DEGREES, "the tilt of the head"),
    FIELD("addendum_angle_deg", DEGREES, "face angle less pitch angle"),
    FIELD("dedendum_angle_deg", DEGREES, "pitch angle less root angle"),
    FIELD("cone_distance_mm", LENGTH, "from the apex to the pitch circle"),
    FIELD("apex_to_crown_mm", LENGTH, "along the axis, from the apex to the tip circle of the large end"),
    FIELD("face_mm", LENGTH, "face width: as asked, or a third of the cone distance"),
    FIELD("small_end", DECIMAL, "size of a tooth at the small end over that at the large end, to 6 decimals"),
    FIELD("remarks", TEXT, "divided by blanks: no-cutter, undercut, pointed, steep-helix, no-mesh, interference, shifted, long-face, bad-span, "
          "bad-pin"),
    FIELD("lead_drivers", COUNTS, "helical with --screw, like the next five: the best train of up to four gears; the first is on the table screw"),
    FIELD("lead_driven", COUNTS, "the last is on the worm shaft"),
    FIELD("lead_idlers", NUMBER, "between them"),
    FIELD("geared_lead_mm", LENGTH, "what these gears give"),
    FIELD("lead_error_mm", LENGTH, "that less lead_mm"),
    FIELD("geared_helix_deg", DEGREES, "helix angle that it gives"),
    FIELD("method", TEXT, "of the plan, like all that follows, as in the record plan; null where there is none"),
    FIELD("exact", BOOLEAN, "every position is met exactly"),
    FIELD("within_tolerance", BOOLEAN, "the worst error is within the tolerance"),
    FIELD("block", DIGITS, "divisions in one movement"),
    FIELD("plate", TEXT, "its name; null for direct"),
    FIELD("side", NUMBER, "the side in front; null for direct"),
    FIELD("circle", NUMBER, "holes of the crank pin's circle, or of the direct plate"),
    FIELD("turns", NUMBER, "whole turns; null where movements differ"),
    FIELD("holes", NUMBER, "and holes; null where movements differ"),
    FIELD("circle2", NUMBER, "compound: holes of the second pin's circle; direct by pins: holes times pins"),
    FIELD("holes2", NUMBER, "compound: the plate's holes of circle2; direct by pins: the pin's change"),
    TRAIN_FIELDS,
    FIELD("worst_error_arcsec", ARCSEC, "largest error of any row, its size"),
    FIELD("idler_teeth", COUNTS, "teeth of the idlers, from the first shaft on; none without idlers, or for more than two"),
    FIELD("fit", TEXT, "whether the plan's gears go on the bracket: yes, barely or unknown, as in gearing of the record plan"),
    FIELD("lead_idler_teeth", COUNTS, "the same of the lead's gears"),
    FIELD("lead_fit", TEXT, "the same"),
    FIELDS_END
};
const struct form gear_form = { .name = "gear", .fields = gear_fields };

/* Null where it does not apply. */
static double applying(bool applies, double value)
{
    return applies ? value : NAN;
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
    record_number_if(r, cutter->halves != 0, name, cutter->first);
    snprintf(name, sizeof name, "%s_to", stem);
    record_number_if(r, cutter->last != 0, name, cutter->last);
}

static void put_request(struct record *r, const struct gear_item *item)
{
    const struct cc_gear_request *ask = &item->ask;
    bool helical = ask->kind == CC_GEAR_HELICAL, bevel = ask->kind == CC_GEAR_BEVEL;

    record_number(r, "teeth", (long long)ask->teeth);
    record_string(r, "kind", gear_kind_name(ask->kind));
    record_string(r, "name", item->name);
    record_rational(r, "module", ask->module);
    record_rational(r, "pressure_angle", ask->pressure_angle);
    record_rational(r, "helix", helical ? ask->helix : NULL);
    record_string(r, "hand", helical ? gear_hand_name(item->hand) : NULL);
    record_number_if(r, ask->mate != 0, "mate", (long long)ask->mate);
    record_rational(r, "shaft_angle", bevel ? ask->shaft_angle : NULL);
    record_rational(r, "profile_shift", !bevel ? ask->profile_shift : NULL);
}

static void put_gear(struct record *r, const struct cc_gear *gear)
{
    bool helical = gear->kind == CC_GEAR_HELICAL, bevel = gear->kind == CC_GEAR_BEVEL;

    record_length(r, "pitch_diameter", gear->pitch_diameter);
    record_length(r, "outside_diameter", gear->outside_diameter);
    record_length(r, "addendum", gear->addendum);
    record_length(r, "whole_depth", gear->whole_depth);
    record_double(r, "formative_teeth", gear->formative_teeth, 6);
    put_cutter(r, "cutter", &gear->cutter);
    put_cutter(r, "half_cutter", &gear->half_cutter);
    record_length_d(r, "chordal_thickness", gear->chordal_thickness_mm);
    record_length_d(r, "chordal_addendum", gear->chordal_addendum_mm);
    record_number_if(r, gear->has_span, "span_teeth", (long long)gear->span_teeth);
    record_length_d(r, "span", applying(gear->has_span, gear->span_mm));
    record_length_d(r, "span_face", applying(gear->has_span && helical, gear->span_face_mm));
    record_length_d(r, "pin", applying(gear->has_pins, gear->pin_mm));
    record_length_d(r, "over_pins", applying(gear->has_pins, gear->over_pins_mm));
    record_length(r, "centre_distance", gear->has_pair && !bevel ? gear->centre_distance : NULL);
    record_double(r, "contact_ratio", applying(gear->has_pair, gear->contact_ratio), 6);
    record_length_d(r, "lead", applying(helical, gear->lead_mm));
    record_double(r, "transverse_pressure_angle_deg", applying(helical, gear->transverse_pressure_angle_deg), 9);
    record_double(r, "pitch_angle_deg", applying(bevel, gear->pitch_angle_deg), 9);
    record_double(r, "face_angle_deg", applying(bevel, gear->face_angle_deg), 9);
    record_double(r, "root_angle_deg", applying(bevel, gear->root_angle_deg), 9);
    record_double(r, "addendum_angle_deg", applying(bevel, gear->addendum_angle_deg), 9);
    record_double(r, "dedendum_angle_deg", applying(bevel, gear->dedendum_angle_deg), 9);
    record_length_d(r, "cone_distance", applying(bevel, gear->cone_distance_mm));
    record_length_d(r, "apex_to_crown", applying(bevel, gear->apex_to_crown_mm));
    record_length_d(r, "face", applying(bevel, gear->face_mm));
    record_double(r, "small_end", applying(bevel, gear->small_end), 6);
    put_remarks(r, gear);
}

static void put_plan(struct record *r, const struct gear_job *job, const struct gear_item *item)
{
    const struct cc_plan *plan = &item->work.plan;
    bool has = item->work.has_plan, by_plate = has && cc_plan_has_plate(plan), two = has && plan->circle2 != 0;
    int64_t turns = 0, holes = 0, holes2 = 0;
    bool constant = has && cc_plan_movement(&turns, &holes, &holes2, plan);

    record_string(r, "method", has ? cc_method_name(plan->method) : NULL);
    record_bool_if(r, has, "exact", plan->exact);
    record_bool_if(r, has, "within_tolerance", plan->within);
    record_whole_if(r, has, "block", plan->block);
    record_string(r, "plate", by_plate ? job->head.plates[plan->plate].name : NULL);
    record_number_if(r, by_plate, "side", plan->side);
    record_number_if(r, has, "circle", plan->circle);
    record_number_if(r, constant, "turns", turns);
    record_number_if(r, constant, "holes", holes);
    record_number_if(r, two, "circle2", plan->circle2);
    record_number_if(r, constant && two, "holes2", holes2);
    put_train(r, "drivers", "driven", "idlers", has && plan->train.pairs > 0 ? &plan->train : NULL);
    record_arcsec(r, "worst_error_arcsec", has ? plan->worst_error : NULL);
}

/* The gears between table screw and head, where --screw asked for them. */
static void put_gearing(struct record *r, const struct gear_item *item)
{
    bool has = item->has_gearing;

    put_train(r, "lead_drivers", "lead_driven", "lead_idlers", has ? &item->gearing.train : NULL);
    record_length(r, "geared_lead", has ? item->gearing.lead : NULL);
    record_length(r, "lead_error", has ? item->gearing.error : NULL);
    record_double(r, "geared_helix_deg", has ? item->gearing.angle_deg : NAN, 9);
}

/* The idlers of a train by their teeth, and its fit. */
static void put_fit(struct record *r, const char *idlers, const char *fit, const struct cc_train *train, const struct cc_head *head,
                    enum cc_gear_use use)
{
    if (train == NULL) {
        record_null(r, idlers);
        record_null(r, fit);
        return;
    }
    const struct fit_said said = fit_said(train, head, use);
    record_counts(r, idlers, train->idler, said.idlers);
    record_string(r, fit, said.fit);
}

static void put_fits(struct record *r, const struct gear_job *job, const struct gear_item *item)
{
    bool geared = item->work.has_plan && item->work.plan.train.pairs > 0;

    put_fit(r, "idler_teeth", "fit", geared ? &item->work.plan.train : NULL, &job->head, CC_FOR_DIFFERENTIAL);
    put_fit(r, "lead_idler_teeth", "lead_fit", item->has_gearing ? &item->gearing.train : NULL, &job->head, CC_FOR_LEAD);
}

void gear_write_records(FILE *out, const struct gear_job *job, const struct output *output)
{
    struct record r;

    record_init(&r, out, output, &gear_form);
    for (size_t i = 0; i < job->n; i++) {
        record_begin(&r, &gear_form, "gear");
        record_string(&r, "head", job->head.title);
        record_number(&r, "order", (long long)i + 1);
        put_request(&r, &job->at[i]);
        put_gear(&r, &job->at[i].gear);
        put_gearing(&r, &job->at[i]);
        put_plan(&r, job, &job->at[i]);
        put_fits(&r, job, &job->at[i]);
        record_end(&r);
    }
    record_clear(&r);
}
