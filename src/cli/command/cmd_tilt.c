/* cmd_tilt.c: a tilt of the head, asked for or worked out for teeth: arguments and flow. */
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
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

static bool read_request(struct tilt_job *r, int argc, char **argv, struct cc_error *err)
{
    struct args args;
    bool good = args_read(&args, r, tilt_tables, argc, argv, err) &&
                args_only_operand(&r->angle, &args, "quote an angle with blanks, as '22 1/2'", err);

    args_clear(&args);
    r->given = needs_met(r);
    if (good && (mpq_cmp_si(r->zero, -1, 2) < 0 || mpq_cmp_ui(r->zero, 1, 2) > 0)) {
        cc_fail(err, CC_EDOM, "--zero: more than half a turn is not what the scale shows when the spindle is level");
        return false;
    }
    return good;
}

static int check_request(struct cli *cli, const struct tilt_job *r)
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
    if (status == EXIT_YES)
        status = cli_status(tilt_work_out(&r, &head, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&r.output, cli);
    if (status == EXIT_YES) {
        if (r.output.format == FORMAT_CARD)
            tilt_write_card(cli->out, &r, &head);
        else
            tilt_write_record(cli->out, &r, &head);
        status = output_end(&r.output, cli, EXIT_YES);
    }
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
             "that cutter teeth, a clutch, a taper or a bevel gear needs. Tilts are measured up from level.\n",
    .examples = "  crankcard tilt 30 --zero 0d15m\n"
                "  crankcard tilt --for end --teeth 20 --cutter 70\n",
};
