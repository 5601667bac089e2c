/* tilt_record.c: a tilt and its proofs for programs; docs/tilt.md lists the fields. */
#include <math.h>

#include "cli/out/record.h"
#include "cli/subject/tilt_job.h"

#define MISREAD(WHAT) \
    FIELD(WHAT "_arcsec_per_hundredth_mm", ARCSEC, "seconds of arc that a misreading of 0.01 mm there stands for"), \
    FIELD(WHAT "_arcsec_per_thou", ARCSEC, "and of 0.001 in")

static const struct field tilt_fields[] = {
    ANSWER_FIELDS("tilt"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("purpose", TEXT, "angle for a tilt that was given; else end, side, taper, square-clutch, saw-clutch, v-clutch or bevel"),
    FIELD("teeth", NUMBER, "what it was worked out from, like the next six: null where it does not belong to the purpose"),
    FIELD("cutter_deg", DEGREES, "angle of the cutter"),
    FIELD("cone_deg", DEGREES, "angle of the cone"),
    FIELD("shaft_deg", DEGREES, "angle between the shafts"),
    FIELD("mate", NUMBER, "teeth of the mating gear"),
    FIELD("dedendum", EXACT, "in modules"),
    FIELD("cutter_width_mm", LENGTH, "square clutch with --bore: the widest cutter that passes; else null"),
    FIELD("tilt", REVOLUTIONS, "the spindle axis above the table; null where it is not rational"),
    FIELD("tilt_deg", DEGREES, "the same"),
    FIELD("zero", REVOLUTIONS, "what the scale shows when level"),
    FIELD("scale", REVOLUTIONS, "what the scale must show: the sum of the two; null where it is not rational"),
    FIELD("scale_deg", DEGREES, "the same"),
    FIELD("measured", TEXT, "level, or upright past 45°"),
    FIELD("travel_mm", LENGTH, "over this machine travel"),
    FIELD("travel_reading_mm", LENGTH, "the indicator must show this"),
    MISREAD("travel"),
    FIELD("bar_mm", LENGTH, "between marks this far apart on the bar"),
    FIELD("bar_reading_mm", LENGTH, "this difference"),
    MISREAD("bar"),
    FIELD("sine_mm", LENGTH, "under a sine bar of this length"),
    FIELD("sine_stack_mm", LENGTH, "this stack"),
    MISREAD("sine"),
    FIELD("measured_by", TEXT, "with --measured: travel, bar or sine; else null, like all that follow"),
    FIELD("reading_mm", LENGTH, "what was read"),
    FIELD("turned_mm", LENGTH, "with the spindle turned half round; null where it was not"),
    FIELD("found_deg", DEGREES, "where the spindle stands by that"),
    FIELD("off_arcsec", ARCSEC, "less the tilt asked for: below 0 it is too low"),
    FIELD("runout_arcsec", ARCSEC, "the bar against the spindle's axis; null without --turned"),
    FIELD("change_mm", LENGTH, "by this much the reading must change"),
    FIELD("shown", REVOLUTIONS, "what the scale shows there; null where it was not said. Its zero, to a second, is then the zero above"),
    FIELDS_END
};
const struct form tilt_form = { .name = "tilt", .fields = tilt_fields };

static void record_teeth(struct record *rec, const struct tilt_job *r)
{
    unsigned needs = r->kind != NULL ? r->kind->needs : 0;

    record_string(rec, "purpose", r->kind != NULL ? r->kind->name : "angle");
    record_number_if(rec, r->kind != NULL, "teeth", r->teeth.teeth);
    const struct {
        const char *key;
        mpq_srcptr angle;
        unsigned need;
    } angles[] = {
        { "cutter_deg", r->teeth.cutter, NEEDS_CUTTER },
        { "cone_deg", r->teeth.cone, NEEDS_CONE },
        { "shaft_deg", r->teeth.shaft, TAKES_SHAFT },
    };
    for (size_t i = 0; i < sizeof angles / sizeof angles[0]; i++)
        record_degrees(rec, angles[i].key, (needs & angles[i].need) != 0 ? angles[i].angle : NULL);
    record_number_if(rec, (needs & NEEDS_MATE) != 0, "mate", r->teeth.mate);
    record_rational(rec, "dedendum", (needs & NEEDS_MATE) != 0 ? r->teeth.dedendum : NULL);
    if ((r->given & TAKES_BORE) != 0)
        record_length_d(rec, "cutter_width", cc_clutch_cutter_width(r->bore, r->teeth.teeth));
    else
        record_length(rec, "cutter_width", NULL);
}

/* An angle that is only as good as a double has no exact fraction. */
static void record_tilt_angle(struct record *rec, const struct tilt_job *r, const char *key,
                              const char *key_deg, const mpq_t angle)
{
    bool exact = r->kind == NULL || r->kind->kind == CC_TEETH_SQUARE_CLUTCH;

    record_rational(rec, key, exact ? angle : NULL);
    record_degrees(rec, key_deg, angle);
}

static void record_proof(struct record *rec, const struct tilt_job *r)
{
    static const char *const keys[3][2] = {
        { "travel_arcsec_per_hundredth_mm", "travel_arcsec_per_thou" },
        { "bar_arcsec_per_hundredth_mm", "bar_arcsec_per_thou" },
        { "sine_arcsec_per_hundredth_mm", "sine_arcsec_per_thou" },
    };
    mpq_t off[2];

    for (int i = 0; i < TILT_MISREADINGS; i++) {
        mpq_init(off[i]);
        (void)cc_length_parse(off[i], tilt_misreadings[i], CC_MM, NULL);
    }
    record_string(rec, "measured", cc_tilt_is_steep(r->tilt) ? "upright" : "level");
    record_length(rec, "travel", r->travel);
    record_length_d(rec, "travel_reading", cc_tilt_over_travel(r->tilt, r->travel));
    for (int i = 0; i < TILT_MISREADINGS; i++)
        record_double(rec, keys[0][i], cc_tilt_travel_arcsec(r->tilt, r->travel, off[i]), 3);
    record_length(rec, "bar", r->bar);
    record_length_d(rec, "bar_reading", cc_tilt_over_bar(r->tilt, r->bar));
    for (int i = 0; i < TILT_MISREADINGS; i++)
        record_double(rec, keys[1][i], cc_tilt_bar_arcsec(r->tilt, r->bar, off[i]), 3);
    record_length(rec, "sine", r->sine);
    record_length_d(rec, "sine_stack", cc_tilt_over_bar(r->tilt, r->sine));
    for (int i = 0; i < TILT_MISREADINGS; i++) {
        record_double(rec, keys[2][i], cc_tilt_bar_arcsec(r->tilt, r->sine, off[i]), 3);
        mpq_clear(off[i]);
    }
}

static void record_found(struct record *rec, const struct tilt_job *r)
{
    static const char *const by[] = { [TILT_BY_TRAVEL] = "travel", [TILT_BY_BAR] = "bar", [TILT_BY_SINE] = "sine" };
    bool has = r->has_reading;

    record_string(rec, "measured_by", has ? by[r->by] : NULL);
    record_length(rec, "reading", has ? r->reading : NULL);
    record_length(rec, "turned", has && r->has_turned ? r->turned : NULL);
    record_degrees(rec, "found_deg", has ? r->found.at : NULL);
    record_arcsec(rec, "off_arcsec", has ? r->found.off : NULL);
    record_arcsec(rec, "runout_arcsec", has && r->has_turned ? r->found.bar : NULL);
    record_length_d(rec, "change", has ? r->found.correction_mm : NAN);
    record_rational(rec, "shown", r->has_shown ? r->shown : NULL);
}

void tilt_write_record(FILE *out, const struct tilt_job *r, const struct cc_head *head)
{
    struct record rec;

    record_init(&rec, out, &r->output, &tilt_form);
    record_begin(&rec, &tilt_form, "tilt");
    record_string(&rec, "head", head->title);
    record_teeth(&rec, r);
    record_tilt_angle(&rec, r, "tilt", "tilt_deg", r->tilt);
    record_rational(&rec, "zero", r->zero);
    record_tilt_angle(&rec, r, "scale", "scale_deg", r->scale);
    record_proof(&rec, r);
    record_found(&rec, r);
    record_end(&rec);
    record_clear(&rec);
}
