/* cmd_tilt.c: a tilt of the head, asked for or worked out for teeth: arguments and flow. */
#include <string.h>

#include "crankcard/number.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/spelling.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/subject/tilt_job.h"

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

static const struct option_row *const tilt_tables[] = { tilt_options, head_options, output_options, NULL };

static bool read_kind(struct tilt_job *r, const char *text, struct cc_error *err)
{
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

static bool read_teeth(unsigned *teeth, const struct args *args, const char *what, struct cc_error *err)
{
    unsigned long n;

    if (!value_number(&n, args->text, what, 1, 100000, err))
        return false;
    *teeth = (unsigned)n;
    return true;
}

static bool read_dedendum(struct tilt_job *r, const struct args *args, struct cc_error *err)
{
    return blame(cc_rational_parse(r->teeth.dedendum, args->text, err), err, "--dedendum") == CC_OK;
}

static bool read_zero(struct tilt_job *r, const struct args *args, struct cc_error *err)
{
    if (!option_angle(r->zero, args, err))
        return false;
    if (mpq_cmp_si(r->zero, -1, 2) >= 0 && mpq_cmp_ui(r->zero, 1, 2) <= 0)
        return true;
    cc_fail(err, CC_EDOM, "--zero: '%.40s' is more than half a turn: what the scale shows when level", args->text);
    return false;
}

static bool take_option(struct tilt_job *r, const struct args *args, struct cc_error *err)
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

static bool read_request(struct tilt_job *r, int argc, char **argv, struct cc_error *err)
{
    struct args args;

    if (!output_units_first(&r->output, argc, argv, tilt_tables, err))
        return false;
    args_init(&args, argc, argv, tilt_tables);
    for (enum arg_kind kind; (kind = args_next(&args, err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION ? !take_option(r, &args, err)
                               : !args_only_operand(&r->angle, &args, "quote an angle with blanks, as '22 1/2'", err))
            return false;
    }
    return true;
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
    if (status == EXIT_YES && r.output.format == FORMAT_SVG)
        status = cli_trouble(cli, "--format: a tilt has no drawing: card, csv, tsv or jsonl");
    if (status == EXIT_YES)
        status = cli_status(find_head(&head, r.head, r.mounted, &cli->err));
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
    .run = run_command,
    .summary = "set and prove a tilt of the head, or find the tilt for teeth",
    .about = "With an ANGLE, how to set it and what an indicator or a sine bar must show. With --for KIND, the tilt\n"
             "that cutter teeth, a clutch, a taper or a bevel gear needs. Tilts are measured up from level.\n",
    .examples = "  crankcard tilt 30 --zero 0d15m\n"
                "  crankcard tilt --for end --teeth 20 --cutter 70\n",
};
