/* tilt_job.c: see tilt_job.h. */
#include "cli/subject/tilt_job.h"

#include "crankcard/angle.h"

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

const char *const tilt_misreadings[TILT_MISREADINGS] = { "0.01mm", "0.001in" };

void tilt_job_init(struct tilt_job *r)
{
    *r = (struct tilt_job){ .angle = NULL };
    cc_teeth_init(&r->teeth);
    mpq_inits(r->bore, r->zero, r->travel, r->bar, r->sine, r->tilt, r->scale, (mpq_ptr)NULL);
    output_init(&r->output);
}

void tilt_job_clear(struct tilt_job *r)
{
    cc_teeth_clear(&r->teeth);
    mpq_clears(r->bore, r->zero, r->travel, r->bar, r->sine, r->tilt, r->scale, (mpq_ptr)NULL);
}

static void default_length(mpq_t mm, enum cc_unit unit, const char *text_mm, const char *text_in)
{
    if (mpq_sgn(mm) == 0)
        (void)cc_length_parse(mm, unit == CC_INCH ? text_in : text_mm, unit, NULL);
}

enum cc_status tilt_work_out(struct tilt_job *r, const struct cc_head *head, struct cc_error *err)
{
    enum cc_status s = r->kind != NULL ? cc_tilt_for_teeth(r->tilt, &r->teeth, err)
                                       : cc_angle_parse(r->tilt, r->angle, err);

    if (s == CC_OK)
        s = cc_tilt_check(r->tilt, head, err);
    if (s != CC_OK)
        return s;
    cc_tilt_scale(r->scale, r->tilt, r->zero);
    default_length(r->travel, r->output.unit, "100mm", "4in");
    default_length(r->bar, r->output.unit, "100mm", "4in");
    default_length(r->sine, r->output.unit, "100mm", "5in");
    return CC_OK;
}
