/* cmd_tilt.c: a tilt of the head, asked for or worked out for teeth: arguments and flow. */
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/profile_file.h"
#include "cli/ask/spelling.h"
#include "cli/base/exit_status.h"
#include "cli/subject/tilt_job.h"

static bool take_kind(void *place, const struct option *option, struct cc_error *err)
{
    struct tilt_job *r = place;
    const char *text = option->text;
    const char *names[TILT_KINDS + 1] = { NULL };

    for (size_t i = 0; i < TILT_KINDS; i++) {
        names[i] = tilt_kinds[i].name;
        if (strcmp(text, names[i]) == 0) {
            r->kind = &tilt_kinds[i];
            r->teeth.kind = tilt_kinds[i].kind;
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

static const char *const measured_by[] = { "travel", "bar", "sine", NULL };

static const struct option_row tilt_options[] = {
    { TO_TAKER(take_kind),
      0, "for", "KIND", "work out the tilt for end, side, taper, square-clutch, saw-clutch, v-clutch or bevel teeth" },
    { TO_COUNT(struct tilt_job, teeth.teeth, FROM(1, 100000)), 0, "teeth", "N", "teeth of the part (--for)" },
    { TO_ANGLE(struct tilt_job, teeth.cutter, ANY_SIGN, GIVEN(struct tilt_job, has_cutter)),
      0, "cutter", "ANGLE", "angle of the angular cutter (--for end, side, taper, saw-clutch, v-clutch)" },
    { TO_ANGLE(struct tilt_job, teeth.cone, ANY_SIGN, GIVEN(struct tilt_job, has_cone)),
      0, "cone", "ANGLE", "between tooth and axis, half the taper's angle (--for taper)" },
    { TO_COUNT(struct tilt_job, teeth.mate, FROM(1, 100000), GIVEN(struct tilt_job, has_mate)),
      0, "mate", "N", "teeth of the other gear (--for bevel)" },
    { TO_ANGLE(struct tilt_job, teeth.shaft, ANY_SIGN, GIVEN(struct tilt_job, has_shaft)),
      0, "shaft-angle", "ANGLE", "between the shafts (--for bevel, default 90)" },
    { TO_NUMBER(struct tilt_job, teeth.dedendum, ANY_SIGN, GIVEN(struct tilt_job, has_shaft)),
      0, "dedendum", "MODULES", "dedendum in modules (--for bevel, default 1.25, as at 20 degrees)" },
    { TO_LENGTH(struct tilt_job, bore, ABOVE_ZERO, GIVEN(struct tilt_job, has_bore)),
      0, "bore", "LENGTH", "inside diameter of the teeth: the widest cutter (--for square-clutch)" },
    { TO_ANGLE(struct tilt_job, zero, ANY_SIGN, GIVEN(struct tilt_job, zero_given)),
      'z', "zero", "ANGLE", "what the head's scale shows with the spindle truly level (default 0)" },
    { TO_LENGTH(struct tilt_job, travel, ABOVE_ZERO),
      0, "travel", "LENGTH", "machine travel to prove the tilt over (default 100mm, 4in)" },
    { TO_LENGTH(struct tilt_job, bar, ABOVE_ZERO),
      0, "bar", "LENGTH", "length on a true bar to prove it over (default 100mm, 4in)" },
    { TO_LENGTH(struct tilt_job, sine, ABOVE_ZERO), 0, "sine", "LENGTH", "length of the sine bar (default 100mm, 5in)" },
    { TO_LENGTH(struct tilt_job, reading, ANY_SIGN, GIVEN(struct tilt_job, has_reading)),
      0, "measured", "LENGTH", "what was read: where the spindle stands, and what to do about it" },
    { TO_LENGTH(struct tilt_job, turned, ANY_SIGN, GIVEN(struct tilt_job, has_turned)),
      0, "turned", "LENGTH", "the same with the spindle turned half round: free of the bar's runout (--measured)" },
    { TO_WORD(struct tilt_job, by, measured_by, TILT_BY_TRAVEL, GIVEN(struct tilt_job, has_by)),
      0, "by", "NAME", "it was measured over the travel, along the bar, or as a sine bar's stack: travel, bar or sine (default travel)" },
    { TO_ANGLE(struct tilt_job, shown, ANY_SIGN, GIVEN(struct tilt_job, has_shown)),
      0, "scale-shows", "ANGLE", "what the head's scale shows there: finds its zero (--measured)" },
    { TO_TEXT(struct tilt_job, write), 0, "write", "FILE", "put the scale's zero that was found into this profile (--scale-shows)" },
    { TO_SWITCH(struct tilt_job, first), 0, "first", NULL, "how the scale's zero mark is made trustworthy, the first time" },
    OPTIONS_END
};

static const struct option_table tilt_tables[] = {
    OWN_OPTIONS(tilt_options), HEAD_ALONE_OPTIONS(struct tilt_job, choice), FORMAT_OPTIONS(struct tilt_job, output),
    OUTPUT_OPTIONS(struct tilt_job, output), UNIT_OPTIONS(struct tilt_job, output), TABLES_END
};

/* What of the teeth was said. */
static unsigned needs_met(const struct tilt_job *r)
{
    const bool has[] = { r->has_cutter, r->has_cone, r->has_mate, r->has_bore, r->has_shaft };
    const unsigned need[] = { NEEDS_CUTTER, NEEDS_CONE, NEEDS_MATE, TAKES_BORE, TAKES_SHAFT };
    unsigned met = 0;

    for (size_t i = 0; i < sizeof has / sizeof has[0]; i++)
        met |= has[i] ? need[i] : 0;
    return met;
}

static bool beyond_half_turn(const mpq_t angle)
{
    return mpq_cmp_si(angle, -1, 2) < 0 || mpq_cmp_ui(angle, 1, 2) > 0;
}

static bool read_request(struct tilt_job *r, int argc, char **argv, struct cc_error *err)
{
    bool good = args_read_one(&r->angle, "quote an angle with blanks, as '22 1/2'", r, tilt_tables, argc, argv, err);

    r->given = needs_met(r);
    if (good && beyond_half_turn(r->zero)) {
        cc_fail(err, CC_EDOM, "--zero: more than half a turn is not what the scale shows when the spindle is level");
        return false;
    }
    return good;
}

/* What was measured, and what is made of it. */
static int check_measured(struct cli *cli, const struct tilt_job *r)
{
    if (!r->has_reading && (r->has_turned || r->has_by || r->has_shown))
        return cli_trouble(cli, "--turned, --by and --scale-shows belong to a reading: --measured LENGTH");
    if (r->write != NULL && !r->has_shown)
        return cli_trouble(cli, "--write keeps the scale's zero: give what was --measured, and what the scale shows there, --scale-shows");
    if (r->write != NULL && cli->in_batch)
        return cli_trouble(cli, "--write cannot stand in a batch line");
    if (r->has_shown && r->zero_given)
        return cli_trouble(cli, "--scale-shows finds the scale's zero, and --zero says it: leave one out");
    if (r->has_shown && beyond_half_turn(r->shown))
        return cli_trouble(cli, "--scale-shows: more than half a turn is on no scale of a tilt");
    return EXIT_YES;
}

/* The card of the first time takes nothing else. */
static int check_first(struct cli *cli, const struct tilt_job *r)
{
    bool length = mpq_sgn(r->travel) != 0 || mpq_sgn(r->bar) != 0 || mpq_sgn(r->sine) != 0;

    if (r->angle != NULL || r->kind != NULL || r->given != 0 || r->teeth.teeth != 0 || r->has_reading || r->zero_given || length)
        return cli_trouble(cli, "--first is a card of its own: crankcard tilt --first");
    if (r->output.format != FORMAT_CARD)
        return cli_trouble(cli, "--first is a card: it has no other format");
    return EXIT_YES;
}

/* Whether one tilt is asked for, and all that it is worked out from. */
static int check_asked(struct cli *cli, const struct tilt_job *r)
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

static int check_request(struct cli *cli, const struct tilt_job *r)
{
    if (check_measured(cli, r) != EXIT_YES)
        return EXIT_TROUBLE;
    return r->first ? check_first(cli, r) : check_asked(cli, r);
}

static int write_tilt(struct cli *cli, struct tilt_job *r, const struct cc_head *head)
{
    int status = output_begin(&r->output, cli);

    if (status != EXIT_YES)
        return status;
    if (r->first)
        tilt_write_first(cli->out, r, head);
    else if (r->output.format == FORMAT_CARD)
        tilt_write_card(cli->out, r, head);
    else
        tilt_write_record(cli->out, r, head);
    return output_end(&r->output, cli, EXIT_YES);
}

/* The scale's zero, where it is to be kept. */
static bool keep_zero(struct cli *cli, const struct tilt_job *r)
{
    char value[80];

    if (r->write == NULL)
        return true;
    tilt_zero_text(value, sizeof value, r);
    return profile_file_set(cli, r->write, "head", "tilt_zero", value);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct tilt_job r;
    struct cc_head head;
    int status = EXIT_TROUBLE;

    tilt_job_init(&r);
    cc_head_init(&head);
    if (read_request(&r, argc, argv, &cli->err))
        status = check_request(cli, &r);
    if (status == EXIT_YES)
        status = cli_status(find_head(&head, r.choice.name, r.choice.mounted, &cli->err));
    if (status == EXIT_YES && !r.first)
        status = cli_status(tilt_work_out(&r, &head, &cli->err));
    if (status == EXIT_YES)
        status = keep_zero(cli, &r) ? write_tilt(cli, &r, &head) : EXIT_TROUBLE;
    cc_head_clear(&head);
    tilt_job_clear(&r);
    return status;
}

const struct command cmd_tilt = {
    .name = "tilt",
    .operands = "[ANGLE]",
    .options = tilt_tables,
    .records = (const struct form *const[]){ &tilt_form, NULL },
    .run = run_command,
    .summary = "set and prove a tilt of the head, or find the tilt for teeth",
    .about = "With an ANGLE, how to set it and what an indicator or a sine bar must show. With --for KIND, the tilt\n"
             "that cutter teeth, a clutch, a taper or a bevel gear needs. Tilts are measured up from level. With --measured, where\n"
             "the spindle stands by what was read, and what to do about it.\n",
    .examples = "  crankcard tilt 30 --zero 0d15m\n"
                "  crankcard tilt 37.5 --measured 76.60 --turned 76.64\n"
                "  crankcard tilt 37.5 --measured 76.60 --scale-shows 37.5 --write my-head.ini\n"
                "  crankcard tilt --for end --teeth 20 --cutter 70\n",
};
