/* tilt_job.c: see tilt_job.h. */
#include "cli/subject/tilt_job.h"

#include <math.h>

#include "crankcard/angle.h"
#include "cli/base/blame.h"

const struct tilt_kind tilt_kinds[TILT_KINDS] = {
    { "end", CC_TEETH_END, NEEDS_CUTTER, "end teeth of a milling cutter",
      "The tilt is the angle of the blank's axis above the table: 90° is upright. The cutter angle lies "
      "between the flat face of the cutter, which runs upright, and its sloping face.",
      "The flat face cuts the front of the teeth: set it to the vertical plane through the axis of the "
      "blank (for radial fronts), the feed level and in that plane. Raise the table by small cuts, two "
      "neighbouring teeth at a time, until the land between them is as wide as wanted: at this tilt it "
      "comes out as wide at the inside as at the outside." },
    { "side", CC_TEETH_SIDE, NEEDS_CUTTER, "side teeth of a side milling cutter",
      "The tilt is the angle of the blank's axis above the table: 90° is upright. The cutter angle lies "
      "between the flat face of the cutter, which runs upright, and its sloping face.",
      "The flat face cuts the front of the teeth and follows the front of the tooth on the circumference; "
      "the feed is level. Raise the table by small cuts, two neighbouring teeth at a time, until the "
      "land is as wide as wanted: at this tilt it is even. For the second side turn the blank round and "
      "find a tooth again before the first cut." },
    { "taper", CC_TEETH_TAPER, NEEDS_CUTTER | NEEDS_CONE, "teeth along a taper",
      "The tilt is the angle of the blank's axis above the table, its thin end up. The cone angle lies between "
      "the tooth and the axis: half the angle of the taper, and for an angular cutter 90° less the angle "
      "that its teeth make with the end face. The cutter angle lies between the flat face of the cutter, "
      "which runs upright, and its sloping face.",
      "The flat face stands in the vertical plane through the axis (radial fronts), the feed level and in "
      "that plane. Raise the table by small cuts, two neighbouring teeth at a time, until the land is as "
      "wide as wanted: at this tilt it is even from the thin end to the thick." },
    { "square-clutch", CC_TEETH_SQUARE_CLUTCH, TAKES_BORE, "straight-tooth clutch",
      "The tilt is the angle of the axis above the table: the blank stands upright, its teeth on top.",
      "One side of the cutter stands in the vertical plane through the axis. With an odd number of teeth "
      "each cut goes right across and makes one side of two teeth: as many cuts as teeth, all with the "
      "same side of the cutter. With an even number a cut must stop before the tooth opposite, and the "
      "other sides are a second round of cuts with the other side of the cutter on the centre line. Teeth "
      "are usually cut a little narrower than the spaces (common practice)." },
    { "saw-clutch", CC_TEETH_SAW_CLUTCH, NEEDS_CUTTER, "saw-tooth clutch",
      "The tilt is the angle of the axis above the table: 90° is upright. The cutter angle lies between the "
      "flat face of the cutter, which runs upright, and its sloping face.",
      "The flat face stands in the vertical plane through the axis, the feed level and in that plane. At this "
      "tilt crest and root slope alike, so that both halves, cut the same, touch over the whole face. Cut "
      "until the crests are sharp, or a narrow land is left for safety." },
    { "v-clutch", CC_TEETH_V_CLUTCH, NEEDS_CUTTER, "V-tooth clutch",
      "The tilt is the angle of the axis above the table: 90° is upright. The cutter angle is the whole angle "
      "of a double-angle cutter, the same on both sides of the upright.",
      "The middle of the cutter stands in the vertical plane through the axis, the feed level and in that "
      "plane. At this tilt crest and root slope alike, so that both halves, cut the same, touch over the "
      "whole face." },
    { "bevel", CC_TEETH_BEVEL, NEEDS_MATE | TAKES_SHAFT, "root of a straight bevel gear",
      "The tilt is the root angle: the angle between the axis of the blank and the bottom of its teeth. With the "
      "axis so far above the table, the small end up, the bottom lies level.",
      "Feed level, from the small end or the large one; the depth is set at the large end. A cutter of one "
      "form cannot cut both ends right: the blank is rolled and offset for a second cut on each side of the "
      "tooth, and the small end may need filing (common practice)." },
};

/* Blocks of a common set make no stack thinner than this (common practice). */
#define LEAST_STACK_MM 2

const char *const tilt_misreadings[TILT_MISREADINGS] = { "0.01mm", "0.001in" };

void tilt_job_init(struct tilt_job *r)
{
    *r = (struct tilt_job){ .angle = NULL };
    cc_teeth_init(&r->teeth);
    mpq_inits(r->bore, r->zero, r->travel, r->bar, r->sine, r->tilt, r->scale, r->reading, r->turned, r->shown, r->found.at, r->found.off,
              r->found.bar, r->found.zero, (mpq_ptr)NULL);
    output_init(&r->output);
}

void tilt_job_clear(struct tilt_job *r)
{
    cc_teeth_clear(&r->teeth);
    mpq_clears(r->bore, r->zero, r->travel, r->bar, r->sine, r->tilt, r->scale, r->reading, r->turned, r->shown, r->found.at, r->found.off,
               r->found.bar, r->found.zero, (mpq_ptr)NULL);
}

static void default_length(mpq_t mm, enum cc_unit unit, const char *text_mm, const char *text_in)
{
    if (mpq_sgn(mm) == 0)
        (void)cc_length_parse(mm, unit == CC_INCH ? text_in : text_mm, unit, NULL);
}

bool tilt_stack_is_thin(const struct tilt_job *r)
{
    return fabs(cc_tilt_over_bar(r->tilt, r->sine)) < LEAST_STACK_MM;
}

/* ---- the way back ---- */

mpq_srcptr tilt_length(const struct tilt_job *r)
{
    return r->by == TILT_BY_TRAVEL ? r->travel : r->by == TILT_BY_BAR ? r->bar : r->sine;
}

void tilt_zero_text(char *buf, size_t size, const struct tilt_job *r)
{
    cc_angle_dms_str(buf, size, r->found.zero, 0, CC_MARKS_ASCII);
}

/* To a whole second, half away from zero: a scale is never read finer, and a profile keeps no more. */
static void to_seconds(mpq_t angle)
{
    mpz_t twice;

    mpz_init(twice);
    mpz_mul_ui(mpq_numref(angle), mpq_numref(angle), 1296000);
    mpz_mul_2exp(mpq_numref(angle), mpq_numref(angle), 1);
    mpz_mul_2exp(twice, mpq_denref(angle), 1);
    if (mpz_sgn(mpq_numref(angle)) < 0)
        mpz_sub(mpq_numref(angle), mpq_numref(angle), mpq_denref(angle));
    else
        mpz_add(mpq_numref(angle), mpq_numref(angle), mpq_denref(angle));
    mpz_tdiv_q(mpq_numref(angle), mpq_numref(angle), twice);
    mpz_set_ui(mpq_denref(angle), 1296000);
    mpq_canonicalize(angle);
    mpz_clear(twice);
}

static enum cc_status find_tilt(struct tilt_job *r, struct cc_error *err)
{
    enum cc_tilt_way way = r->by == TILT_BY_TRAVEL ? CC_TILT_BY_TRAVEL : CC_TILT_BY_BAR;
    struct tilt_found *f = &r->found;
    mpq_srcptr length = tilt_length(r);
    enum cc_status s = cc_tilt_of_reading(f->at, way, length, r->reading, r->tilt, err);

    if (s == CC_OK && r->has_turned) {
        s = cc_tilt_of_reading(f->bar, way, length, r->turned, r->tilt, err);
        mpq_sub(f->bar, f->at, f->bar);
        mpq_div_2exp(f->bar, f->bar, 1);
        mpq_sub(f->at, f->at, f->bar);
    }
    if (s != CC_OK)
        return blame(s, err, "--measured");
    mpq_sub(f->off, f->at, r->tilt);
    f->correction_mm = cc_tilt_reading(way, length, r->tilt, r->tilt) - cc_tilt_reading(way, length, f->at, r->tilt);
    mpq_sub(f->zero, r->shown, f->at);
    to_seconds(f->zero);
    return CC_OK;
}

enum cc_status tilt_work_out(struct tilt_job *r, const struct cc_head *head, struct cc_error *err)
{
    enum cc_status s = r->kind != NULL ? cc_tilt_for_teeth(r->tilt, &r->teeth, err)
                                       : cc_angle_parse(r->tilt, r->angle, err);

    if (s == CC_OK)
        s = cc_tilt_check(r->tilt, head, err);
    if (s != CC_OK)
        return s;
    if (!r->zero_given && head->has_tilt_zero)
        mpq_set(r->zero, head->tilt_zero);
    cc_tilt_scale(r->scale, r->tilt, r->zero);
    default_length(r->travel, r->output.unit, "100mm", "4in");
    default_length(r->bar, r->output.unit, "100mm", "4in");
    default_length(r->sine, r->output.unit, "100mm", "5in");
    s = r->has_reading ? find_tilt(r, err) : CC_OK;
    if (s == CC_OK && r->has_shown) {
        mpq_set(r->zero, r->found.zero);
        cc_tilt_scale(r->scale, r->tilt, r->zero);
    }
    return s;
}
