/* cmd_tilt.c: a tilt of the head, asked for or worked out for teeth: how to set it and how to prove it. */
#include <string.h>

#include "cli/cli.h"
#include "cli/commands.h"
#include "cli/figures.h"
#include "cli/record.h"
#include "cli/text.h"

enum {
    OPT_FOR = OPT_OWN, OPT_TEETH, OPT_CUTTER, OPT_CONE, OPT_MATE, OPT_SHAFT, OPT_DEDENDUM, OPT_BORE,
    OPT_ZERO, OPT_TRAVEL, OPT_BAR, OPT_SINE
};

static const struct option_row tilt_options[] = {
    { OPT_FOR, 0, "for", "KIND", "work out the tilt for end, side, taper, square-clutch, saw-clutch, v-clutch "
                                 "or bevel teeth" },
    { OPT_TEETH, 'n', "teeth", "N", "teeth of the part (--for)" },
    { OPT_CUTTER, 0, "cutter", "ANGLE", "angle of the angular cutter (--for end, side, taper, saw-clutch, "
                                        "v-clutch)" },
    { OPT_CONE, 0, "cone", "ANGLE", "between tooth and axis, half the taper's angle (--for taper)" },
    { OPT_MATE, 0, "mate", "N", "teeth of the other gear (--for bevel)" },
    { OPT_SHAFT, 0, "shaft", "ANGLE", "between the shafts (--for bevel, default 90)" },
    { OPT_DEDENDUM, 0, "dedendum", "MODULES", "dedendum in modules (--for bevel, default 1.25, as at 20 degrees)" },
    { OPT_BORE, 0, "bore", "LENGTH", "inside diameter of the teeth: the widest cutter (--for square-clutch)" },
    { OPT_ZERO, 'z', "zero", "ANGLE", "what the head's scale shows with the spindle truly level (default 0)" },
    { OPT_TRAVEL, 0, "travel", "LENGTH", "machine travel to prove the tilt over (default 100mm, 4in)" },
    { OPT_BAR, 0, "bar", "LENGTH", "length on a true bar to prove it over (default 100mm, 4in)" },
    { OPT_SINE, 0, "sine", "LENGTH", "length of the sine bar (default 100mm, 5in)" },
    OPTIONS_END
};

const struct option_row *const tilt_tables[] = { tilt_options, head_options, output_options, NULL };

/* Which options a kind of teeth needs. */
enum { NEEDS_CUTTER = 1, NEEDS_CONE = 2, NEEDS_MATE = 4, TAKES_BORE = 8, TAKES_SHAFT = 16 };

static const struct kind_row {
    const char *name;
    enum cc_teeth_kind kind;
    unsigned needs;
    const char *title;
    const char *from;       /* what the angles are measured from */
    const char *cut;        /* how the cutter stands and how the cut is set */
} kinds[] = {
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

struct request {
    const char *angle;          /* the operand, or NULL */
    const struct kind_row *kind;        /* or NULL */
    struct cc_teeth teeth;
    mpq_t bore, zero, travel, bar, sine;    /* lengths are 0 where not given */
    mpq_t tilt, scale;
    bool zero_given;
    unsigned given;             /* needs that were met */
    struct output output;
    const char *head, *mounted;
};

static void request_init(struct request *r)
{
    *r = (struct request){ .angle = NULL };
    cc_teeth_init(&r->teeth);
    mpq_inits(r->bore, r->zero, r->travel, r->bar, r->sine, r->tilt, r->scale, (mpq_ptr)NULL);
    output_init(&r->output);
}

static void request_clear(struct request *r)
{
    cc_teeth_clear(&r->teeth);
    mpq_clears(r->bore, r->zero, r->travel, r->bar, r->sine, r->tilt, r->scale, (mpq_ptr)NULL);
}

static bool read_kind(struct request *r, const char *text, struct cc_error *err)
{
    const char *names[sizeof kinds / sizeof kinds[0] + 1] = { NULL };

    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        names[i] = kinds[i].name;
        if (strcmp(text, kinds[i].name) == 0) {
            r->kind = &kinds[i];
            r->teeth.kind = kinds[i].kind;
            return true;
        }
    }
    const char *near = nearest_name(text, names);
    if (near != NULL)
        cc_fail(err, CC_EPARSE, "--for: '%.40s' is not a kind of teeth: did you mean '%s'?", text, near);
    else
        cc_fail(err, CC_EPARSE, "--for: '%.40s' is not a kind of teeth: end, side, taper, square-clutch, "
                                "saw-clutch, v-clutch or bevel", text);
    return false;
}

static bool read_teeth(unsigned *teeth, const struct args *args, const char *what, struct cc_error *err)
{
    unsigned long n;

    if (!read_number(&n, args->text, what, 1, 100000, err))
        return false;
    *teeth = (unsigned)n;
    return true;
}

static bool read_dedendum(struct request *r, const struct args *args, struct cc_error *err)
{
    enum cc_status s = cc_rational_parse(r->teeth.dedendum, args->text, err);

    if (s != CC_OK)
        cc_fail(err, s, "--dedendum: %s", err->text);
    return s == CC_OK;
}

static bool read_zero(struct request *r, const struct args *args, struct cc_error *err)
{
    if (!option_angle(r->zero, args, err))
        return false;
    if (mpq_cmp_si(r->zero, -1, 2) >= 0 && mpq_cmp_ui(r->zero, 1, 2) <= 0)
        return true;
    cc_fail(err, CC_EDOM, "--zero: '%.40s' is more than half a turn: what the scale shows when level", args->text);
    return false;
}

static bool take_option(struct request *r, const struct args *args, struct cc_error *err)
{
    enum cc_unit unit = r->output.unit;

    switch (args->id) {
    case OPT_FOR:
        return read_kind(r, args->text, err);
    case OPT_TEETH:
        return read_teeth(&r->teeth.teeth, args, "--teeth", err);
    case OPT_CUTTER:
        r->given |= NEEDS_CUTTER;
        return option_angle(r->teeth.cutter, args, err);
    case OPT_CONE:
        r->given |= NEEDS_CONE;
        return option_angle(r->teeth.cone, args, err);
    case OPT_MATE:
        r->given |= NEEDS_MATE;
        return read_teeth(&r->teeth.mate, args, "--mate", err);
    case OPT_SHAFT:
        r->given |= TAKES_SHAFT;
        return option_angle(r->teeth.shaft, args, err);
    case OPT_DEDENDUM:
        r->given |= TAKES_SHAFT;
        return read_dedendum(r, args, err);
    case OPT_BORE:
        r->given |= TAKES_BORE;
        return option_size(r->bore, args, unit, err);
    case OPT_ZERO:
        r->zero_given = true;
        return read_zero(r, args, err);
    case OPT_TRAVEL:
        return option_size(r->travel, args, unit, err);
    case OPT_BAR:
        return option_size(r->bar, args, unit, err);
    case OPT_SINE:
        return option_size(r->sine, args, unit, err);
    default:
        return head_option(&r->head, &r->mounted, args->id, args->text) ||
               output_option(&r->output, args->id, args->text, err);
    }
}

static bool read_request(struct request *r, int argc, char **argv, struct cc_error *err)
{
    struct args args;
    enum arg_kind kind;

    if (!output_units_first(&r->output, argc, argv, tilt_tables, err))
        return false;
    args_init(&args, argc, argv, tilt_tables);
    while ((kind = args_next(&args, err)) != ARG_END) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION) {
            if (!take_option(r, &args, err))
                return false;
        } else if (r->angle != NULL) {
            cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: quote an angle with blanks, as '22 1/2'",
                    args.text);
            return false;
        } else {
            r->angle = args.text;
        }
    }
    return true;
}

static int check_request(struct cli *cli, const struct request *r)
{
    static const struct {
        unsigned need;
        const char *option, *sample;
    } needs[] = {
        { NEEDS_CUTTER, "--cutter", "--cutter 70" },
        { NEEDS_CONE, "--cone", "--cone 5" },
        { NEEDS_MATE, "--mate", "--mate 40" },
    };
    unsigned takes = r->kind != NULL ? r->kind->needs : 0;

    if (r->kind == NULL && r->angle == NULL)
        return cli_trouble(cli, "what to tilt for is missing: crankcard tilt 30, or crankcard tilt --for end "
                                "--teeth 20 --cutter 70");
    if (r->kind != NULL && r->angle != NULL)
        return cli_trouble(cli, "'%.40s' and --for both name a tilt: leave one out", r->angle);
    if (r->kind == NULL && (r->teeth.teeth != 0 || r->given != 0))
        return cli_trouble(cli, "--teeth, --cutter and their like need --for KIND; '%.40s' is set as it is",
                           r->angle);
    if (r->kind != NULL && r->teeth.teeth == 0)
        return cli_trouble(cli, "--for %s needs the number of teeth: --teeth 20", r->kind->name);
    for (size_t i = 0; i < sizeof needs / sizeof needs[0]; i++)
        if ((takes & needs[i].need) != 0 && (r->given & needs[i].need) == 0)
            return cli_trouble(cli, "--for %s needs %s: as in %s", r->kind->name, needs[i].option,
                               needs[i].sample);
    if ((r->given & ~takes) != 0)
        return cli_trouble(cli, "an option does not belong to --for %s: see crankcard tilt --help",
                           r->kind->name);
    return EXIT_YES;
}

static void default_length(mpq_t mm, enum cc_unit unit, const char *text_mm, const char *text_in)
{
    if (mpq_sgn(mm) == 0)
        (void)cc_length_parse(mm, unit == CC_INCH ? text_in : text_mm, unit, NULL);
}

static enum cc_status work_out(struct request *r, const struct cc_head *head, struct cc_error *err)
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

/* ---- for programs ---- */

static const char *const misreadings[] = { "0.01mm", "0.001in" };

static void record_teeth(struct record *rec, const struct request *r)
{
    unsigned needs = r->kind != NULL ? r->kind->needs : 0;

    record_string(rec, "purpose", r->kind != NULL ? r->kind->name : "angle");
    if (r->kind != NULL)
        record_number(rec, "teeth", r->teeth.teeth);
    else
        record_null(rec, "teeth");
    const struct {
        const char *key;
        mpq_srcptr angle;
        unsigned need;
    } angles[] = {
        { "cutter_deg", r->teeth.cutter, NEEDS_CUTTER },
        { "cone_deg", r->teeth.cone, NEEDS_CONE },
        { "shaft_deg", r->teeth.shaft, TAKES_SHAFT },
    };
    for (size_t i = 0; i < sizeof angles / sizeof angles[0]; i++) {
        if ((needs & angles[i].need) != 0)
            record_degrees(rec, angles[i].key, angles[i].angle);
        else
            record_null(rec, angles[i].key);
    }
    if ((needs & NEEDS_MATE) != 0) {
        record_number(rec, "mate", r->teeth.mate);
        record_rational(rec, "dedendum", r->teeth.dedendum);
    } else {
        record_null(rec, "mate");
        record_null(rec, "dedendum");
    }
    if ((r->given & TAKES_BORE) != 0)
        record_length_d(rec, "cutter_width", r->output.unit, cc_clutch_cutter_width(r->bore, r->teeth.teeth));
    else
        record_no_length(rec, "cutter_width", r->output.unit);
}

/* An angle that is only as good as a double has no exact fraction. */
static void record_tilt_angle(struct record *rec, const struct request *r, const char *key,
                              const char *key_deg, const mpq_t angle)
{
    bool exact = r->kind == NULL || r->kind->kind == CC_TEETH_SQUARE_CLUTCH;

    if (exact)
        record_rational(rec, key, angle);
    else
        record_null(rec, key);
    record_degrees(rec, key_deg, angle);
}

static void record_proof(struct record *rec, const struct request *r)
{
    static const char *const keys[3][2] = {
        { "travel_arcsec_per_hundredth_mm", "travel_arcsec_per_thou" },
        { "bar_arcsec_per_hundredth_mm", "bar_arcsec_per_thou" },
        { "sine_arcsec_per_hundredth_mm", "sine_arcsec_per_thou" },
    };
    enum cc_unit unit = r->output.unit;
    mpq_t off[2];

    for (int i = 0; i < 2; i++) {
        mpq_init(off[i]);
        (void)cc_length_parse(off[i], misreadings[i], CC_MM, NULL);
    }
    record_string(rec, "measured", cc_tilt_is_steep(r->tilt) ? "upright" : "level");
    record_length(rec, "travel", unit, r->travel);
    record_length_d(rec, "travel_reading", unit, cc_tilt_over_travel(r->tilt, r->travel));
    for (int i = 0; i < 2; i++)
        record_double(rec, keys[0][i], cc_tilt_travel_arcsec(r->tilt, r->travel, off[i]), 3);
    record_length(rec, "bar", unit, r->bar);
    record_length_d(rec, "bar_reading", unit, cc_tilt_over_bar(r->tilt, r->bar));
    for (int i = 0; i < 2; i++)
        record_double(rec, keys[1][i], cc_tilt_bar_arcsec(r->tilt, r->bar, off[i]), 3);
    record_length(rec, "sine", unit, r->sine);
    record_length_d(rec, "sine_stack", unit, cc_tilt_over_bar(r->tilt, r->sine));
    for (int i = 0; i < 2; i++) {
        record_double(rec, keys[2][i], cc_tilt_bar_arcsec(r->tilt, r->sine, off[i]), 3);
        mpq_clear(off[i]);
    }
}

static void write_record(FILE *out, const struct request *r, const struct cc_head *head)
{
    struct record rec;

    record_init(&rec, out, r->output.format);
    while (record_begin(&rec, "tilt")) {
        record_string(&rec, "command", "tilt");
        record_string(&rec, "head", head->title);
        record_teeth(&rec, r);
        record_tilt_angle(&rec, r, "tilt", "tilt_deg", r->tilt);
        record_rational(&rec, "zero", r->zero);
        record_tilt_angle(&rec, r, "scale", "scale_deg", r->scale);
        record_proof(&rec, r);
        record_end(&rec);
    }
}

/* ---- the card ---- */

static void say_misreading(struct text *t, const struct request *r, const mpq_t length, bool over_bar)
{
    char a[2][FIGURE_SIZE];
    mpq_t off;

    mpq_init(off);
    for (int i = 0; i < 2; i++) {
        (void)cc_length_parse(off, misreadings[i], CC_MM, NULL);
        arcsec_text(a[i], over_bar ? cc_tilt_bar_arcsec(r->tilt, length, off)
                                   : cc_tilt_travel_arcsec(r->tilt, length, off));
    }
    mpq_clear(off);
    text_para(t, "       ", "       ", "0.01 mm misread is %s, 0.001 in is %s.", a[0], a[1]);
}

static void write_proof(struct text *t, const struct request *r)
{
    bool steep = cc_tilt_is_steep(r->tilt);
    enum cc_unit unit = r->output.unit;
    char given[FIGURE_SIZE], reading[FIGURE_SIZE];

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
    length_text(given, r->sine, unit);
    length_text_d(reading, cc_tilt_over_bar(r->tilt, r->sine), unit);
    text_para(t, "  [ ] ", "       ", steep
              ? "By sine bar of %s, set against an upright face (an angle plate): a stack of %s, and the bar "
                "in the spindle lies along it."
              : "By sine bar of %s on the table: a stack of %s, and the bar in the spindle lies along it.",
              given, reading);
    say_misreading(t, r, r->sine, true);
    text_para(t, "  ", "  ", "A travel longer than the indicator's is taken up with gauge blocks or the "
                             "machine's dial. Turn the spindle half round and read again: the mean of both "
                             "is free of the bar's runout.");
}

static void write_set_up(struct text *t, const struct request *r)
{
    char scale[FIGURE_SIZE], zero[FIGURE_SIZE], words[400];
    unsigned step = 0;

    text_line(t, "Set up");
    text_step(t, &step, "Machine spindle stopped and isolated, cutter away from the head. Hold the head "
                        "before its clamp bolts are slackened: its weight swings it down.");
    text_step(t, &step, "Bring the spindle level: indicator along a true bar, no change over the whole bar. "
                        "Read the scale now: what it shows is its zero, given with --zero.");
    angle_text(scale, r->scale);
    cc_angle_error_str(zero, sizeof zero, r->zero, 0, CC_MARKS_UTF8);
    if (r->zero_given && mpq_sgn(r->zero) != 0)
        snprintf(words, sizeof words, "Tilt until the scale shows %s: the tilt and the %s it shows when "
                                      "level. Nip the clamps.", scale, zero);
    else
        snprintf(words, sizeof words, "Tilt until the scale shows %s. Nip the clamps.", scale);
    text_step(t, &step, words);
    text_step(t, &step, "Prove the angle as below, tap it right, tighten evenly, and prove it again: "
                        "tightening moves it. What the scale then shows, less the tilt, is its zero for "
                        "the next time.");
}

static void write_teeth(struct text *t, const struct request *r)
{
    char width[FIGURE_SIZE];

    text_line(t, "Measured from");
    if (r->kind == NULL) {
        text_para(t, "  ", "  ", "The tilt is the angle of the spindle axis above the table: 0° is level, 90° "
                                 "upright.");
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

static void write_card(FILE *out, const struct request *r, const struct cc_head *head)
{
    struct text t;
    char angle[FIGURE_SIZE];

    text_init(&t, out, &r->output);
    angle_text(angle, r->tilt);
    if (r->kind != NULL)
        text_para(&t, "", "  ", "Tilt %s: %s, %u teeth", angle, r->kind->title, r->teeth.teeth);
    else
        text_para(&t, "", "  ", "Tilt %s", angle);
    text_para(&t, "", "  ", "%s", head->title);
    text_blank(&t);
    write_teeth(&t, r);
    text_blank(&t);
    write_set_up(&t, r);
    text_blank(&t);
    write_proof(&t, r);
    text_blank(&t);
    text_para(&t, "", "", "A tilted head cannot be geared for differential indexing. Check that "
                          "cutter, arbor and head clear each other over the whole travel before the first "
                          "cut; local rules and the machine's own instructions come first.");
}

int cmd_tilt(struct cli *cli, int argc, char **argv)
{
    struct request r;
    struct cc_head head;
    int status = EXIT_TROUBLE;

    request_init(&r);
    cc_head_init(&head);
    if (read_request(&r, argc, argv, &cli->err))
        status = check_request(cli, &r);
    if (status == EXIT_YES && r.output.format == FORMAT_SVG)
        status = cli_trouble(cli, "--format: a tilt has no drawing: card, csv, tsv or jsonl");
    if (status == EXIT_YES)
        status = cli_status(find_head(&head, r.head, r.mounted, &cli->err));
    if (status == EXIT_YES)
        status = cli_status(work_out(&r, &head, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&r.output, cli);
    if (status == EXIT_YES) {
        if (r.output.format == FORMAT_CARD)
            write_card(cli->out, &r, &head);
        else
            write_record(cli->out, &r, &head);
        status = output_end(&r.output, cli, EXIT_YES);
    }
    cc_head_clear(&head);
    request_clear(&r);
    return status;
}
