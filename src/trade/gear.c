/*
 * gear.c: from a request to the blank, the cutter and the measurements. docs/gear.md derives every
 * formula; the involute itself is in tooth.c, the cutter series in cutter.c.
 */
#include "crankcard/gear.h"

#include <math.h>
#include <stdio.h>

#include "crankcard/number.h"
#include "trade/radians.h"
#include "trade/tooth.h"

static const double usual_pin = 1.728;     /* modules; common practice, from memory */
static const unsigned table_swing = 45;    /* degrees, the table of a universal mill; common practice */

static double degrees(double radians_in)
{
    return radians_in * (180 / CC_PI);
}

/* ---- lifetime ---- */

void cc_gear_request_init(struct cc_gear_request *request)
{
    *request = (struct cc_gear_request){ .kind = CC_GEAR_SPUR };
    mpq_inits(request->module, request->pressure_angle, request->helix, request->profile_shift, request->shaft_angle,
              request->face, request->pin, NULL);
    mpq_set_ui(request->module, 1, 1);
    mpq_set_ui(request->pressure_angle, 1, 18);
    mpq_set_ui(request->shaft_angle, 1, 4);
}

void cc_gear_request_clear(struct cc_gear_request *request)
{
    mpq_clears(request->pin, request->face, request->shaft_angle, request->profile_shift, request->helix,
               request->pressure_angle, request->module, NULL);
}

void cc_gear_init(struct cc_gear *gear)
{
    *gear = (struct cc_gear){ .kind = CC_GEAR_SPUR };
    mpq_inits(gear->module, gear->pitch_diameter, gear->outside_diameter, gear->addendum, gear->whole_depth,
              gear->centre_distance, NULL);
}

void cc_gear_clear(struct cc_gear *gear)
{
    mpq_clears(gear->centre_distance, gear->whole_depth, gear->addendum, gear->outside_diameter, gear->pitch_diameter,
               gear->module, NULL);
}

static void gear_swap(struct cc_gear *a, struct cc_gear *b)
{
    struct cc_gear tmp = *a;    /* GMP's types may be moved as a whole */

    *a = *b;
    *b = tmp;
}

enum cc_status cc_module_of_pitch(mpq_t module, const mpq_t diametral_pitch, struct cc_error *err)
{
    mpq_t inch;

    if (mpq_sgn(diametral_pitch) <= 0)
        return cc_fail(err, CC_EDOM, "diametral pitch must be more than 0");
    mpq_init(inch);
    mpq_set_ui(inch, 127, 5);
    mpq_div(module, inch, diametral_pitch);
    mpq_clear(inch);
    return CC_OK;
}

/* ---- the request ---- */

static bool is_14_5(const struct cc_gear_request *request)
{
    return mpq_cmp_ui(request->pressure_angle, 29, 720) == 0;
}

static enum cc_status check_helix(const struct cc_gear_request *request, struct cc_error *err)
{
    if (request->kind != CC_GEAR_HELICAL)
        return mpq_sgn(request->helix) == 0
                   ? CC_OK
                   : cc_fail(err, CC_EDOM, "a helix angle belongs to helical gears only");
    if (mpq_sgn(request->helix) < 0)
        return cc_fail(err, CC_EDOM, "the helix angle has no sign: say left or right hand instead");
    if (mpq_cmp_ui(request->helix, 1, CC_ARCSEC_PER_REV) < 0)
        return cc_fail(err, CC_EDOM, "a helix angle under 1 second is a spur gear");
    if (mpq_cmp_ui(request->helix, 1, 4) >= 0)
        return cc_fail(err, CC_EDOM,
                       "impossible helix: at 90 degrees or more to the axis teeth run round, not along");
    return CC_OK;
}

static enum cc_status check_bevel(const struct cc_gear_request *request, struct cc_error *err)
{
    if (request->kind != CC_GEAR_BEVEL)
        return mpq_sgn(request->face) == 0
                   ? CC_OK
                   : cc_fail(err, CC_EDOM, "a face width belongs to bevel gears only");
    if (request->mate == 0)
        return cc_fail(err, CC_EDOM, "a bevel gear needs the teeth of its mate");
    if (mpq_sgn(request->shaft_angle) <= 0 || mpq_cmp_ui(request->shaft_angle, 1, 2) >= 0)
        return cc_fail(err, CC_EDOM, "shaft angle must be more than 0 and less than 180 degrees");
    if (mpq_sgn(request->face) < 0)
        return cc_fail(err, CC_EDOM, "face width must be more than 0");
    if (mpq_sgn(request->profile_shift) != 0)
        return cc_fail(err, CC_EDOM, "profile shift is for spur and helical gears only");
    if (request->span != 0 || mpq_sgn(request->pin) != 0)
        return cc_fail(err, CC_EDOM, "bevel gears are measured by the chord, not by span or pins");
    return CC_OK;
}

static bool pin_too_large(const struct cc_gear_request *request)
{
    mpq_t most;
    bool large;

    mpq_init(most);
    cc_rational_times(most, request->module, 10, 1);
    large = mpq_cmp(request->pin, most) > 0;
    mpq_clear(most);
    return large;
}

/* Whether value lies outside least/den to most/1. */
static bool outside(const mpq_t value, long least, unsigned long den, long most)
{
    return mpq_cmp_si(value, least, den) < 0 || mpq_cmp_si(value, most, 1) > 0;
}

static enum cc_status check_request(const struct cc_gear_request *request, struct cc_error *err)
{
    enum cc_status s;

    if (request->teeth < 1 || request->teeth > CC_MAX_GEAR_TEETH || request->mate > CC_MAX_GEAR_TEETH)
        return cc_fail(err, CC_EDOM, "teeth must be 1 to %d", CC_MAX_GEAR_TEETH);
    if (outside(request->module, 1, CC_MAX_MODULE, CC_MAX_MODULE))
        return cc_fail(err, CC_EDOM, "module must be 1/%d to %d mm", CC_MAX_MODULE, CC_MAX_MODULE);
    if (!is_14_5(request) && mpq_cmp_ui(request->pressure_angle, 1, 18) != 0)
        return cc_fail(err, CC_EDOM, "pressure angle must be 14 1/2 or 20 degrees");
    if (outside(request->profile_shift, -1, 1, 1))
        return cc_fail(err, CC_EDOM, "profile shift must be -1 to 1 modules");
    if (request->span == 1 || (request->span != 0 && request->span >= request->teeth))
        return cc_fail(err, CC_EDOM, "span must be 2 teeth or more, and fewer than the gear has");
    if (mpq_sgn(request->pin) < 0 || pin_too_large(request))
        return cc_fail(err, CC_EDOM, "pin diameter must be more than 0 and at most 10 modules");
    s = check_helix(request, err);
    return s == CC_OK ? check_bevel(request, err) : s;
}

/* ---- common to all kinds ---- */

/* clearance: pi/20 module at 14 1/2 degrees, 1/4 module at 20 degrees. */
static void set_depths(struct cc_gear *gear, const struct cc_gear_request *request)
{
    mpq_t clearance;

    mpq_init(clearance);
    if (is_14_5(request))
        mpq_set_d(clearance, CC_PI / 20);
    else
        mpq_set_ui(clearance, 1, 4);
    mpq_set_ui(gear->whole_depth, 2, 1);
    mpq_add(gear->whole_depth, gear->whole_depth, clearance);
    mpq_mul(gear->whole_depth, gear->whole_depth, request->module);
    mpq_set_ui(gear->addendum, 1, 1);
    mpq_add(gear->addendum, gear->addendum, request->profile_shift);
    mpq_mul(gear->addendum, gear->addendum, request->module);
    mpq_clear(clearance);
}

static double dedendum(const struct cc_gear *gear)
{
    return mpq_get_d(gear->whole_depth) - mpq_get_d(gear->addendum);
}

static enum cc_status no_root(struct cc_error *err)
{
    return cc_fail(err, CC_EDOM, "no root is left: the teeth are as deep as the blank");
}

/*
 * A cutter serves from the first number of its range, for which it is formed, up; so what counts is
 * the whole part. A formative number that is whole on paper (60 degrees of helix, a bevel pair of 3 to 4)
 * may miss it by the last bits of a double, hence the 1e-9.
 */
static void set_cutters(struct cc_gear *gear)
{
    double whole = floor(gear->formative_teeth + 1e-9);
    unsigned long teeth = whole > 1e9 ? 1000000000 : (unsigned long)whole;

    if (cc_cutter_find(&gear->cutter, CC_CUTTERS_EIGHT, teeth, NULL) != CC_OK
        || cc_cutter_find(&gear->half_cutter, CC_CUTTERS_FIFTEEN, teeth, NULL) != CC_OK)
        gear->remarks |= CC_GEAR_NO_CUTTER;
}

/* ---- spur and helical ---- */

static void set_diameters(struct cc_gear *gear, const struct cc_gear_request *request,
                          const struct cci_tooth *tooth)
{
    if (request->kind == CC_GEAR_SPUR)
        cc_rational_times(gear->pitch_diameter, request->module, request->teeth, 1);
    else
        mpq_set_d(gear->pitch_diameter, cci_pitch_diameter(tooth));
    mpq_add(gear->outside_diameter, gear->pitch_diameter, gear->addendum);
    mpq_add(gear->outside_diameter, gear->outside_diameter, gear->addendum);
}

static void set_span(struct cc_gear *gear, const struct cc_gear_request *request,
                     const struct cci_tooth *tooth, double root_diameter)
{
    double contact;

    gear->span_teeth = request->span != 0 ? request->span : cci_span_teeth(tooth);
    if (gear->span_teeth >= gear->teeth) {
        gear->span_teeth = 0;       /* too few teeth to span any */
        return;
    }
    cci_span(&gear->span_mm, &contact, tooth, (double)gear->span_teeth);
    gear->span_face_mm = gear->span_mm * sin(cci_base_helix(tooth));
    gear->has_span = contact > root_diameter && contact < mpq_get_d(gear->outside_diameter);
    if (!gear->has_span)
        gear->remarks |= CC_GEAR_BAD_SPAN;
}

static void set_pins(struct cc_gear *gear, const struct cc_gear_request *request,
                     const struct cci_tooth *tooth)
{
    double outside = mpq_get_d(gear->outside_diameter);
    struct cci_pins pins;

    gear->pin_mm = mpq_sgn(request->pin) > 0 ? mpq_get_d(request->pin) : usual_pin * tooth->module;
    if (gear->teeth < 5)
        return;         /* two pins would not stand opposite each other in any useful way */
    /* On the flanks, and above the tips: then it is far too wide to reach the bottom. */
    gear->has_pins = cci_pins(&pins, tooth, gear->pin_mm) && pins.contact_diameter < outside
                     && pins.centre_diameter + gear->pin_mm > outside;
    if (gear->has_pins)
        gear->over_pins_mm = pins.over;
    else
        gear->remarks |= CC_GEAR_BAD_PIN;
}

static void set_pair(struct cc_gear *gear, const struct cc_gear_request *request,
                     const struct cci_tooth *tooth)
{
    struct cci_tooth mate = *tooth;
    struct cci_pair pair;

    mate.teeth = (double)request->mate;
    mate.shift = 0;
    cci_pair(&pair, tooth, &mate);
    gear->has_pair = true;
    gear->contact_ratio = pair.contact_ratio;
    if (request->kind == CC_GEAR_SPUR && mpq_sgn(request->profile_shift) == 0)
        cc_rational_times(gear->centre_distance, request->module, request->teeth + request->mate, 2);
    else
        mpq_set_d(gear->centre_distance, pair.centres);
    if (pair.interference)
        gear->remarks |= CC_GEAR_INTERFERENCE;
    /* A helical pair carries over along the face as well, so that less than 1 may still do. */
    if (pair.contact_ratio < 1 && (request->kind == CC_GEAR_SPUR || pair.contact_ratio <= 0))
        gear->remarks |= CC_GEAR_NO_MESH;
}

static enum cc_status compute_cylindrical(struct cc_gear *gear, const struct cc_gear_request *request,
                                          struct cc_error *err)
{
    double helix = cci_radians(request->helix), secant = 1 / cos(helix), root, sine;
    struct cci_tooth tooth = {
        .teeth = (double)request->teeth,
        .module = mpq_get_d(request->module),
        .pressure_angle = cci_radians(request->pressure_angle),
        .helix = helix,
        .shift = mpq_get_d(request->profile_shift),
    };
    struct cci_tooth formative = tooth;     /* of the spur gear that the normal section resembles */

    set_diameters(gear, request, &tooth);
    root = mpq_get_d(gear->outside_diameter) - 2 * mpq_get_d(gear->whole_depth);
    if (root <= 0)
        return no_root(err);
    gear->formative_teeth = tooth.teeth * secant * secant * secant;
    formative.teeth = gear->formative_teeth;
    formative.helix = 0;
    set_cutters(gear);
    cci_chordal(&gear->chordal_thickness_mm, &gear->chordal_addendum_mm, &formative);
    set_span(gear, request, &tooth, root);
    gear->deepen = 1 / (2 * sin(tooth.pressure_angle));
    set_pins(gear, request, &tooth);
    sine = sin(cci_transverse_angle(&tooth));
    gear->undercut_teeth = 2 * (1 - tooth.shift) * cos(helix) / (sine * sine);
    if (tooth.teeth < gear->undercut_teeth)
        gear->remarks |= CC_GEAR_UNDERCUT;
    if (cci_thickness_at(&tooth, mpq_get_d(gear->outside_diameter)) < 0)
        gear->remarks |= CC_GEAR_POINTED;
    if (tooth.shift != 0)
        gear->remarks |= CC_GEAR_SHIFTED;
    if (request->mate != 0)
        set_pair(gear, request, &tooth);
    if (request->kind == CC_GEAR_HELICAL) {
        gear->helix_deg = degrees(helix);
        gear->lead_mm = CC_PI * mpq_get_d(gear->pitch_diameter) / tan(helix);
        gear->transverse_pressure_angle_deg = degrees(cci_transverse_angle(&tooth));
        if (mpq_cmp_ui(request->helix, table_swing, 360) > 0)
            gear->remarks |= CC_GEAR_STEEP;
    }
    return CC_OK;
}

/* ---- bevel ---- */

/* Pitch angle of a gear of teeth with a mate, shafts at shaft (radians). */
static double pitch_angle(double teeth, double mate, double shaft)
{
    return atan2(sin(shaft), mate / teeth + cos(shaft));
}

static void set_bevel_pair(struct cc_gear *gear, const struct cci_tooth *formative, double mate_formative)
{
    struct cci_tooth mate = *formative;
    struct cci_pair pair;

    mate.teeth = mate_formative;
    cci_pair(&pair, formative, &mate);
    gear->has_pair = true;
    gear->contact_ratio = pair.contact_ratio;
    if (pair.interference)
        gear->remarks |= CC_GEAR_INTERFERENCE;
    if (pair.contact_ratio < 1)
        gear->remarks |= CC_GEAR_NO_MESH;
}

static enum cc_status set_cones(struct cc_gear *gear, const struct cc_gear_request *request,
                                double pitch, struct cc_error *err)
{
    double module = mpq_get_d(request->module), face = mpq_get_d(request->face);
    double cone = module * (double)request->teeth / (2 * sin(pitch));
    double above = atan2(module, cone), below = atan2(dedendum(gear), cone);

    if (pitch - below <= 0)
        return no_root(err);
    gear->cone_distance_mm = cone;
    gear->face_most_mm = cone / 3;
    gear->face_mm = face > 0 ? face : cone / 3;
    if (gear->face_mm >= cone)
        return cc_fail(err, CC_EDOM, "face width must be less than the cone distance, %.3f mm", cone);
    if (face > gear->face_most_mm)
        gear->remarks |= CC_GEAR_LONG_FACE;
    gear->small_end = (cone - gear->face_mm) / cone;
    gear->pitch_angle_deg = degrees(pitch);
    gear->addendum_angle_deg = degrees(above);
    gear->dedendum_angle_deg = degrees(below);
    gear->face_angle_deg = degrees(pitch + above);
    gear->root_angle_deg = degrees(pitch - below);
    gear->apex_to_crown_mm = cone * cos(pitch) - module * sin(pitch);
    mpq_set_d(gear->outside_diameter, module * ((double)request->teeth + 2 * cos(pitch)));
    return CC_OK;
}

static enum cc_status compute_bevel(struct cc_gear *gear, const struct cc_gear_request *request,
                                    struct cc_error *err)
{
    double shaft = cci_radians(request->shaft_angle);
    double pitch = pitch_angle((double)request->teeth, (double)request->mate, shaft);
    double mate_pitch = pitch_angle((double)request->mate, (double)request->teeth, shaft);
    double flat = CC_PI / 2 - 1e-9, sine;
    struct cci_tooth formative = {
        .teeth = (double)request->teeth / cos(pitch),
        .module = mpq_get_d(request->module),
        .pressure_angle = cci_radians(request->pressure_angle),
    };
    enum cc_status s;

    if (pitch > flat || mate_pitch > flat)
        return cc_fail(err, CC_EDOM,
                       "%lu and %lu teeth do not pair at that shaft angle: the %lu would be a crown or "
                       "internal bevel gear",
                       request->teeth, request->mate, pitch > flat ? request->teeth : request->mate);
    cc_rational_times(gear->pitch_diameter, request->module, request->teeth, 1);
    s = set_cones(gear, request, pitch, err);
    if (s != CC_OK)
        return s;
    gear->formative_teeth = formative.teeth;
    set_cutters(gear);
    cci_chordal(&gear->chordal_thickness_mm, &gear->chordal_addendum_mm, &formative);
    sine = sin(formative.pressure_angle);
    gear->undercut_teeth = 2 * cos(pitch) / (sine * sine);
    if ((double)request->teeth < gear->undercut_teeth)
        gear->remarks |= CC_GEAR_UNDERCUT;
    gear->cutter_most_mm = CC_PI / 2 * mpq_get_d(request->module) * gear->small_end;
    gear->roll_deg = 90.0 / (double)request->teeth;
    set_bevel_pair(gear, &formative, (double)request->mate / cos(mate_pitch));
    return CC_OK;
}

enum cc_status cc_gear_compute(struct cc_gear *gear, const struct cc_gear_request *request,
                               struct cc_error *err)
{
    enum cc_status s = check_request(request, err);
    struct cc_gear work;

    if (s != CC_OK)
        return s;
    cc_gear_init(&work);
    work.kind = request->kind;
    work.teeth = request->teeth;
    work.mate = request->mate;
    mpq_set(work.module, request->module);
    set_depths(&work, request);
    if (request->kind == CC_GEAR_BEVEL)
        s = compute_bevel(&work, request, err);
    else
        s = compute_cylindrical(&work, request, err);
    if (s == CC_OK)
        gear_swap(gear, &work);
    cc_gear_clear(&work);
    return s;
}

/* ---- remarks ---- */

const char *cc_gear_remark_name(enum cc_gear_remark remark)
{
    switch (remark) {
    case CC_GEAR_NO_CUTTER:
        return "no-cutter";
    case CC_GEAR_UNDERCUT:
        return "undercut";
    case CC_GEAR_POINTED:
        return "pointed";
    case CC_GEAR_STEEP:
        return "steep-helix";
    case CC_GEAR_NO_MESH:
        return "no-mesh";
    case CC_GEAR_INTERFERENCE:
        return "interference";
    case CC_GEAR_SHIFTED:
        return "shifted";
    case CC_GEAR_LONG_FACE:
        return "long-face";
    case CC_GEAR_BAD_SPAN:
        return "bad-span";
    case CC_GEAR_BAD_PIN:
        return "bad-pin";
    }
    return "";
}

size_t cc_gear_remark_str(char *buf, size_t size, const struct cc_gear *gear,
                          enum cc_gear_remark remark)
{
    unsigned long n = gear->teeth;
    int length = 0;

    switch (remark) {
    case CC_GEAR_NO_CUTTER:
        length = snprintf(buf, size,
                          "%lu teeth: no cutter of the series (formative teeth %.2f, it begins at 12)", n,
                          gear->formative_teeth);
        break;
    case CC_GEAR_UNDERCUT:
        length = snprintf(buf, size,
                          "%lu teeth: a hob or rack would undercut it (under %.1f teeth); the cutters of the series are shaped "
                          "for that, down to 12",
                          n, gear->undercut_teeth);
        break;
    case CC_GEAR_POINTED:
        length = snprintf(buf, size, "%lu teeth: the tips come to a point below the outside diameter", n);
        break;
    case CC_GEAR_STEEP:
        length = snprintf(buf, size,
                          "%lu teeth: helix %.2f degrees, most tables swing %u; swivel the cutter with a "
                          "universal attachment instead",
                          n, gear->helix_deg, table_swing);
        break;
    case CC_GEAR_NO_MESH:
        length = snprintf(buf, size,
                          "%lu and %lu teeth do not mesh: one pair of teeth leaves before the next takes "
                          "over (contact ratio %.2f)",
                          n, gear->mate, gear->contact_ratio);
        break;
    case CC_GEAR_INTERFERENCE:
        length = snprintf(buf, size,
                          "%lu and %lu teeth interfere: tips reach past the involute; form cutters ease "
                          "this, try the pair and relieve tips that bind",
                          n, gear->mate);
        break;
    case CC_GEAR_SHIFTED:
        length = snprintf(buf, size, "%lu teeth: form cutters are made for gears without profile shift", n);
        break;
    case CC_GEAR_LONG_FACE:
        length = snprintf(buf, size,
                          "%lu teeth: face over a third of the cone distance (%.3f mm); the cutter will "
                          "not pass the small end",
                          n, gear->face_most_mm);
        break;
    case CC_GEAR_BAD_SPAN:
        length = snprintf(buf, size, "%lu teeth: the jaws do not touch the flanks over %lu teeth", n,
                          gear->span_teeth);
        break;
    case CC_GEAR_BAD_PIN:
        length = snprintf(buf, size,
                          "%lu teeth: a pin of %.3f mm does not rest on the flanks and stand above the tips "
                          "(usual: %.3f mm)",
                          n, gear->pin_mm, usual_pin * mpq_get_d(gear->module));
        break;
    }
    return (size_t)length;
}
