/* tilt_card.c: how to set a tilt and prove it, and how the cut is set. */
#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/quantities.h"
#include "cli/out/text.h"
#include "cli/subject/tilt_job.h"

static void say_misreading(struct text *t, const struct tilt_job *r, const mpq_t length, bool over_bar)
{
    const char *misreading = tilt_misreadings[r->output.unit == CC_INCH ? 1 : 0];
    char shown[QUANTITY_SIZE];
    mpq_t off;

    mpq_init(off);
    (void)cc_length_parse(off, misreading, CC_MM, NULL);
    arcsec_text(shown, over_bar ? cc_tilt_bar_arcsec(r->tilt, length, off) : cc_tilt_travel_arcsec(r->tilt, length, off));
    mpq_clear(off);
    text_para(t, "       ", "       ", "%s misread is %s.", r->output.unit == CC_INCH ? "0.001 in" : "0.01 mm", shown);
}

static void write_sine_bar(struct text *t, const struct tilt_job *r)
{
    enum cc_unit unit = r->output.unit;
    char given[QUANTITY_SIZE], reading[QUANTITY_SIZE];

    length_text(given, r->sine, unit);
    length_text_d(reading, cc_tilt_over_bar(r->tilt, r->sine), unit);
    text_para(t, "  [ ] ", "       ", cc_tilt_is_steep(r->tilt)
              ? "By sine bar of %s, set against an upright face (an angle plate): a stack of %s. Run an indicator along it and "
                "along the bar in the spindle: over equal travel both must change alike."
              : "By sine bar of %s on the table: a stack of %s. Run an indicator along it and along the bar in the spindle: over "
                "equal travel both must rise alike.",
              given, reading);
    say_misreading(t, r, r->sine, true);
}

/* Where the stack would be next to nothing: two stacks near level, a square near upright. */
static void write_thin_stack(struct text *t, const struct tilt_job *r)
{
    enum cc_unit unit = r->output.unit;
    char given[QUANTITY_SIZE], reading[QUANTITY_SIZE];

    if (cc_tilt_is_steep(r->tilt)) {
        length_text(given, r->travel, unit);
        length_text_d(reading, cc_tilt_over_travel(r->tilt, r->travel), unit);
        text_para(t, "  [ ] ", "       ", "By a cylinder square or an angle plate on the table, in the plane of the tilt; no stack of blocks is so thin. Run "
                  "the indicator up the square over %s: what it shows is the machine's own. Up the bar it must show the same%s%s%s.", given,
                  mpq_cmp_ui(r->tilt, 1, 4) == 0 ? "" : ", but for ", mpq_cmp_ui(r->tilt, 1, 4) == 0 ? "" : reading,
                  mpq_cmp_ui(r->tilt, 1, 4) == 0 ? "" : " that the bar lies across");
        return;
    }
    length_text(given, r->sine, unit);
    length_text_d(reading, cc_tilt_over_bar(r->tilt, r->sine), unit);
    if (mpq_sgn(r->tilt) == 0)
        text_para(t, "  [ ] ", "       ", "By a level or a parallel under the bar: no sine bar is needed.");
    else
        text_para(t, "  [ ] ", "       ", "By sine bar of %s on the table: a stack under each roll, one %s thicker than the other, since none is so thin. "
                  "Run an indicator along it and along the bar in the spindle: over equal travel both must rise alike.", given, reading);
}

static void write_proof(struct text *t, const struct tilt_job *r)
{
    bool steep = cc_tilt_is_steep(r->tilt);
    enum cc_unit unit = r->output.unit;
    char given[QUANTITY_SIZE], reading[QUANTITY_SIZE];

    text_line(t, "Prove it (any one of these)");
    if (steep)
        text_para(t, "  ", "  ", "Past 45° measure from the upright: over a level travel the reading would be "
                                 "large and nervous.");
    length_text(given, r->travel, unit);
    length_text_d(reading, cc_tilt_over_travel(r->tilt, r->travel), unit);
    text_para(t, "  [ ] ", "       ", steep
              ? "By travel: indicator on the side of a true bar in the spindle, in the plane of the tilt. "
                "Move it upright by %s: the bar runs %s across."
              : "By travel: indicator on top of a true bar in the spindle. Move the table level by %s: the "
                "bar rises or falls by %s.", given, reading);
    say_misreading(t, r, r->travel, false);
    length_text(given, r->bar, unit);
    length_text_d(reading, cc_tilt_over_bar(r->tilt, r->bar), unit);
    text_para(t, "  [ ] ", "       ", steep
              ? "By length: between two marks %s apart on the bar the distance across is %s."
              : "By length: between two marks %s apart on the bar the height differs by %s.", given,
              reading);
    say_misreading(t, r, r->bar, true);
    if (tilt_stack_is_thin(r))
        write_thin_stack(t, r);
    else
        write_sine_bar(t, r);
    text_para(t, "  ", "  ", "A travel longer than the indicator's is taken up with gauge blocks or the "
                             "machine's dial. Turn the spindle half round and read again: the mean of both "
                             "is free of the bar's runout.");
}

static void write_set_up(struct text *t, const struct tilt_job *r)
{
    char scale[QUANTITY_SIZE], zero[QUANTITY_SIZE], words[500];
    unsigned step = 0;
    bool known = r->zero_given || mpq_sgn(r->zero) != 0;

    text_line(t, "Set up");
    text_step(t, &step, "Machine spindle stopped and isolated, cutter away from the head. Hold the head "
                        "before its clamp bolts are slackened: its weight swings it down.");
    text_step(t, &step, "Square it in plan, the spindle about level: indicator along the side of the bar at the height of its axis, no change over the "
                        "whole bar; else swing the head on the table. A head that is skew in plan proves wrong at every tilt.");
    snprintf(words, sizeof words, cc_tilt_is_near_upright(r->tilt)
                            ? "Bring the spindle upright: run an indicator across a true face held in it, in the plane of the tilt, "
                              "no change over the whole face. Read the scale now: what it shows above 90° is its zero%s; at this "
                              "tilt its zero at level says little."
                            : "Bring the spindle level: indicator along a true bar, no change over the whole bar. "
                              "Read the scale now: what it shows is its zero%s.",
             known ? ", and must be the one known here" : ": add it to the next item's figure, or print this again with --zero");
    text_step(t, &step, words);
    angle_text(scale, r->scale);
    cc_angle_error_str(zero, sizeof zero, r->zero, 0, CC_MARKS_UTF8);
    if (mpq_sgn(r->zero) != 0)
        snprintf(words, sizeof words, "Tilt until the scale shows %s: the tilt and the %s it shows when "
                                      "level. Nip the clamps.", scale, zero);
    else
        snprintf(words, sizeof words, "Tilt until the scale shows %s. Nip the clamps.", scale);
    text_step(t, &step, words);
    text_step(t, &step, "Prove the angle as below, tap it right, tighten evenly, and prove it again: "
                        "tightening moves it. What is measured, and what the scale then shows, go in with --measured and --scale-shows: they "
                        "say what to do, and the scale's zero for the next time.");
}

static void write_teeth(struct text *t, const struct tilt_job *r)
{
    char width[QUANTITY_SIZE];

    text_line(t, "Measured from");
    if (r->kind == NULL) {
        text_para(t, "  ", "  ", "The tilt is the angle of the spindle axis above the table: 0° is level, 90° "
                                 "upright, for a cutter on a horizontal arbor. With an upright cutter the same angle can come from "
                                 "swinging the level head round on the table, where that serves the work.");
        return;
    }
    text_para(t, "  ", "  ", "%s", r->kind->from);
    text_blank(t);
    text_line(t, "The cut");
    text_para(t, "  ", "  ", "%s", r->kind->cut);
    if (r->kind->kind == CC_TEETH_BEVEL) {
        char dedendum[40];
        cc_decimal_short_str(dedendum, sizeof dedendum, r->teeth.dedendum, 4);
        text_para(t, "  ", "  ", "The bottom lies %s modules under the pitch cone at the large end. Where the depth "
                                 "engraved on the cutter is another: --dedendum.", dedendum);
    }
    if ((r->given & TAKES_BORE) != 0)
        text_para(t, "  ", "  ", "Widest cutter that passes between the teeth at the bore: %s.",
                  length_text_d(width, cc_clutch_cutter_width(r->bore, r->teeth.teeth), r->output.unit));
}

void tilt_write_card(FILE *out, const struct tilt_job *r, const struct cc_head *head)
{
    struct text t;
    char angle[QUANTITY_SIZE];

    text_init(&t, out, &r->output);
    angle_text(angle, r->tilt);
    if (r->kind != NULL)
        text_para(&t, "", "  ", "Tilt %s: %s, %u teeth", angle, r->kind->title, r->teeth.teeth);
    else
        text_para(&t, "", "  ", "Tilt %s", angle);
    text_para(&t, "", "  ", "%s", head->title);
    text_blank(&t);
    if (r->has_reading) {
        tilt_write_back(&t, r);
    } else {
        write_teeth(&t, r);
        text_blank(&t);
        write_set_up(&t, r);
        text_blank(&t);
    }
    write_proof(&t, r);
    text_blank(&t);
    text_para(&t, "", "", "Tilted or one-sided work runs ahead through the backlash of the worm: keep a slight drag on the spindle clamp "
                          "while you index. A tilted head cannot be geared for differential indexing. Check that "
                          "cutter, arbor and head clear each other over the whole travel before the first "
                          "cut; local rules and the machine's own instructions come first.");
    text_end(&t);
}
