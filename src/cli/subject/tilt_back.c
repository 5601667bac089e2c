/* tilt_back.c: the way back in a tilt: where the spindle stands by what was measured, and how its scale's zero is found the first time. */
#include <math.h>

#include "crankcard/angle.h"
#include "cli/out/quantities.h"
#include "cli/out/text.h"
#include "cli/subject/tilt_job.h"

#define FAR_OFF 10      /* degrees from the tilt asked for: shop judgement */

/* ---- where it stands ---- */

static const char *reading_words(const struct tilt_job *r)
{
    bool steep = cc_tilt_is_steep(r->tilt);

    switch (r->by) {
    case TILT_BY_TRAVEL:
        return steep ? "over a travel upright" : "over a level travel";
    case TILT_BY_BAR:
        return steep ? "across, between marks on the bar" : "in height, between marks on the bar";
    default:
        return "by the sine bar's stack";
    }
}

/* Nobody sets a head so far from the tilt asked for: something else was measured, or the tilt was mistyped. */
static void doubt_reading(struct text *t, const struct tilt_job *r)
{
    mpq_t degrees;

    mpq_init(degrees);
    cc_angle_degrees(degrees, r->found.off);
    double off = fabs(mpq_get_d(degrees));
    mpq_clear(degrees);
    if (off > FAR_OFF)
        text_cry(t, "THAT IS %.0f\xC2\xB0 OFF: look at the reading, the unit and --by.", off);
}

static void say_where(struct text *t, const struct tilt_job *r)
{
    char at[QUANTITY_SIZE], off[QUANTITY_SIZE], bar[QUANTITY_SIZE];
    mpq_t amount;

    mpq_init(amount);
    mpq_abs(amount, r->found.off);
    cc_angle_error_str(off, sizeof off, amount, 0, CC_MARKS_UTF8);
    if (mpq_cmp_ui(amount, 1, 2 * 1296000) < 0)
        text_labelled(t, "at", "%s, as it should be, %s", angle_text(at, r->found.at), reading_words(r));
    else
        text_labelled(t, "at", "%s, %s too %s, %s", angle_text(at, r->found.at), off, mpq_sgn(r->found.off) < 0 ? "low" : "high",
                      reading_words(r));
    mpq_abs(amount, r->found.bar);
    cc_angle_error_str(bar, sizeof bar, amount, 0, CC_MARKS_UTF8);
    mpq_clear(amount);
    if (r->has_turned)
        text_labelled(t, "bar", "stands %s off the spindle's axis; the mean of both readings is free of that", bar);
    else
        text_labelled(t, "bar", "its own runout is in this: turn the spindle half round, read again, and give both: --turned");
}

/* What to do about it. */
static void say_move(struct text *t, const struct tilt_job *r)
{
    enum cc_unit unit = r->output.unit;
    bool steep = cc_tilt_is_steep(r->tilt), raise = mpq_sgn(r->found.off) < 0;
    enum cc_tilt_way way = r->by == TILT_BY_TRAVEL ? CC_TILT_BY_TRAVEL : CC_TILT_BY_BAR;
    double change = r->found.correction_mm;
    char by[QUANTITY_SIZE], over[QUANTITY_SIZE], right[QUANTITY_SIZE];
    const char *verb = raise ? "raise" : "lower";
    mpq_t amount;

    mpq_init(amount);
    mpq_set_d(amount, change);
    mpq_abs(amount, amount);
    bool nothing = !length_shows(amount, unit);
    length_text(by, amount, unit);
    mpq_clear(amount);
    length_text(over, tilt_length(r), unit);
    length_text_d(right, cc_tilt_reading(way, tilt_length(r), r->tilt, r->tilt), unit);
    if (nothing)
        text_labelled(t, "move", "nothing: the reading is right");
    else if (steep)
        text_labelled(t, "move", "%s the far end of the bar until over %s it lies %s %s across: %s in all%s", verb, over, by,
                      change < 0 ? "less" : "more", right, r->has_turned ? ", as the mean of two" : "");
    else
        text_labelled(t, "move", "%s the far end of the bar by %s over %s: the reading must be %s%s", verb, by, over, right,
                      r->has_turned ? ", as the mean of two" : "");
    if (!nothing)
        text_labelled(t, "", "Hold the head while a bolt is slack; tap, tighten evenly, and measure again: tightening moves it.");
}

static void say_zero(struct text *t, const struct tilt_job *r)
{
    char shown[QUANTITY_SIZE], zero[QUANTITY_SIZE], written[QUANTITY_SIZE];

    if (!r->has_shown)
        return;
    cc_angle_dms_str(shown, sizeof shown, r->shown, 0, CC_MARKS_UTF8);
    cc_angle_dms_str(zero, sizeof zero, r->found.zero, 0, CC_MARKS_UTF8);
    tilt_zero_text(written, sizeof written, r);
    text_labelled(t, "scale", "shows %s here, so its zero is %s: at the right tilt it shows that much %s", shown, zero,
                  mpq_sgn(r->found.zero) < 0 ? "less" : "more");
    if (r->write != NULL)
        text_labelled(t, "", "Written: tilt_zero = %s in '%.200s', and used from then on with that profile.", written, r->write);
    else
        text_labelled(t, "", "To keep it: --write FILE puts tilt_zero = %s into your profile, or --zero %s each time.", written, written);
}

void tilt_write_back(struct text *t, const struct tilt_job *r)
{
    text_heading(t, "Where it stands");
    doubt_reading(t, r);
    say_where(t, r);
    say_move(t, r);
    say_zero(t, r);
    text_blank(t);
}

/* ---- the first time ---- */

static const char *const first_steps[] = {
    "Machine spindle stopped and isolated, cutter away. Clean taper, bar, table and the faces of the head's clamp. A true bar in the taper; "
    "hold the head before its bolts are slackened.",
    "Plan first. Indicator on the side of the bar at the height of its axis, table moved along the bar: no change over all of it. Else swing the head "
    "on the table, or see to its keys. A head that is skew in plan reads wrong at every tilt.",
    "Level. Indicator on top of the bar, table moved along all of it. Read, turn the spindle half round, read again over the same "
    "travel: two readings alike but for their sign are a level spindle, however the bar runs out. Tap until they are.",
    "Tighten the bolts evenly, as for work, and read both again. A head that moves as it is tightened is set over by as much beforehand, until it "
    "is level TIGHT. Only that counts.",
    "The scale, by an eye square to it or a glass. If its mark can be moved, move it to 0, fix it, and try that it holds. If not, write "
    "down what it shows, to a part of a division: tilt 0 with --measured 0, --scale-shows and --write keeps it in your profile.",
    "Is it worth anything? Slacken, swing up to 45\xC2\xB0 and back to the same reading, always from below; tighten, measure again. Three times. The largest "
    "difference between them is what the mark is worth, however fine it looks.",
    "Is it the same elsewhere? At 30\xC2\xB0 and at 60\xC2\xB0 by sine bar, at 90\xC2\xB0 against a cylinder square: --measured and --scale-shows give the zero that "
    "each asks for. Zeros that agree within what the mark is worth: keep one. Zeros that do not: the scale is divided "
    "wrong or set off centre; take the zero found nearest to the tilt of the job.",
    "After a knock, a crash or a new bolt: again from the second step.",
};

void tilt_write_first(FILE *out, const struct tilt_job *r, const struct cc_head *head)
{
    struct text t;
    unsigned step = 0;

    text_init(&t, out, &r->output);
    text_title(&t, "The tilt's zero mark, the first time");
    text_para(&t, "  ", "  ", "%s", head->title);
    text_blank(&t);
    for (size_t i = 0; i < sizeof first_steps / sizeof first_steps[0]; i++)
        text_step(&t, &step, first_steps[i]);
    text_blank(&t);
    text_para(&t, "", "", "%s. The scale is a start and no more: every tilt that matters is proved, tight.",
              r->output.unit == CC_INCH ? "0.001 in over 4 in is 51.6\xE2\x80\xB3" : "0.01 mm over 100 mm is 20.6\xE2\x80\xB3");
    text_end(&t);
}
