/* cmd_lead.c: gears between the table screw and the head for a helix: arguments and flow. */
#include <stdlib.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/subject/lead_job.h"

enum {
    OPT_SCREW = OPT_OWN, OPT_HELIX, OPT_DIAMETER, OPT_LENGTH, OPT_HAND, OPT_STARTS, OPT_GEARS,
    OPT_MOST_GEARS, OPT_LIST, OPT_GEARED_TO, OPT_WITHIN
};

static const struct option_row lead_options[] = {
    { OPT_SCREW, 's', "screw", "PITCH", "pitch of the table screw: 5mm, 1/4in or 4tpi (needed)" },
    { OPT_HELIX, 0, "helix", "ANGLE", "helix angle to the axis, in place of LENGTH (needs --diameter)" },
    { OPT_DIAMETER, 'd', "diameter", "LENGTH", "diameter where the helix angle is taken" },
    { OPT_LENGTH, 'l', "length", "LENGTH", "length of the cut, over which the error in angle adds up" },
    { OPT_HAND, 0, "hand", "right|left", "hand of the helix (default right)" },
    { OPT_STARTS, 'n', "starts", "N", "flutes or starts, indexed plainly (default 1)" },
    { OPT_GEARS, 'g', "gears", "TEETH,...", "change gears to use in place of the head's own" },
    { OPT_MOST_GEARS, 0, "most-gears", "2|4|6", "gears in a train, most (default 4)" },
    { OPT_LIST, 0, "list", "COUNT", "trains to list, 1 to 1000 (default 5)" },
    { OPT_GEARED_TO, 0, "geared-to", "worm|spindle", "where the last gear sits; the spindle for short leads "
                                                     "(default worm)" },
    { OPT_WITHIN, 0, "within", "LENGTH", "largest error of the lead that will do (default a hundredth of it); status 1 where no train holds it" },
    OPTIONS_END
};

static const struct option_row *const lead_tables[] = { lead_options, head_options, output_options, NULL };

/* One of two words; *second is set to whether it is the second. */
static bool read_word(bool *second, const struct args *args, const char *a, const char *b,
                      struct cc_error *err)
{
    *second = strcmp(args->text, b) == 0;
    if (*second || strcmp(args->text, a) == 0)
        return true;
    cc_fail(err, CC_EPARSE, "--%s: '%.40s' is neither %s nor %s", args->row->name, args->text, a, b);
    return false;
}

/* "24,28 32": counts divided by commas or blanks. */
static bool read_gears(struct lead_job *r, const char *text, struct cc_error *err)
{
    static const char dividers[] = ", \t";

    r->gear_count = 0;
    for (const char *p = text + strspn(text, dividers); *p != '\0'; p += strspn(p, dividers)) {
        size_t length = strcspn(p, dividers);
        char word[41];
        unsigned long teeth;
        if (r->gear_count == CC_MAX_GEARS) {
            cc_fail(err, CC_ELIMIT, "--gears: more than %d gears", CC_MAX_GEARS);
            return false;
        }
        snprintf(word, sizeof word, "%.*s", (int)(length < 40 ? length : 40), p);
        if (!value_number(&teeth, word, "--gears", CC_MIN_TEETH, CC_MAX_TEETH, err))
            return false;
        r->gears[r->gear_count++] = (unsigned)teeth;
        p += length;
    }
    if (r->gear_count == 0)
        cc_fail(err, CC_EPARSE, "--gears: '%.40s' lists no gears: write --gears 24,28,32", text);
    return r->gear_count > 0;
}

static bool read_most_gears(unsigned *pairs, const char *text, struct cc_error *err)
{
    unsigned long gears;

    if (!value_number(&gears, text, "--most-gears", 2, 6, err))
        return false;
    if (gears % 2 != 0) {
        cc_fail(err, CC_EDOM, "--most-gears: '%s' is odd: a train has 2, 4 or 6 gears, idlers apart", text);
        return false;
    }
    *pairs = (unsigned)gears / 2;
    return true;
}

static bool read_pitch(struct lead_job *r, const struct args *args, struct cc_error *err)
{
    enum cc_status s = cc_pitch_parse(r->ask.screw, args->text, r->output.unit, err);

    return blame(s, err, "--screw") == CC_OK;
}

static bool take_option(struct lead_job *r, const struct args *args, struct cc_error *err)
{
    unsigned long number = 0;
    bool second, good;

    switch (args->id) {
    case OPT_SCREW:
        return read_pitch(r, args, err);
    case OPT_HELIX:
        r->helix_given = true;
        return option_angle(r->helix, args, err);
    case OPT_DIAMETER:
        return option_size(r->ask.diameter, args, r->output.unit, err);
    case OPT_LENGTH:
        return option_size(r->ask.length, args, r->output.unit, err);
    case OPT_HAND:
        good = read_word(&second, args, "right", "left", err);
        r->ask.hand = second ? CC_LEFT_HAND : CC_RIGHT_HAND;
        return good;
    case OPT_STARTS:
        good = value_number(&number, args->text, "--starts", 1, 1000000, err);
        r->ask.starts = (unsigned)number;
        return good;
    case OPT_GEARS:
        return read_gears(r, args->text, err);
    case OPT_MOST_GEARS:
        return read_most_gears(&r->ask.most_pairs, args->text, err);
    case OPT_LIST:
        good = value_number(&number, args->text, "--list", 1, CC_MAX_TRAINS, err);
        r->ask.most = number;
        return good;
    case OPT_GEARED_TO:
        good = read_word(&second, args, "worm", "spindle", err);
        r->ask.geared_to = second ? CC_TO_SPINDLE : CC_TO_WORM;
        return good;
    case OPT_WITHIN:
        r->within_text = args->text;
        return option_size(r->within, args, r->output.unit, err);
    default:
        return head_option(&r->head, &r->mounted, args->id, args->text) ||
               output_option(&r->output, args->id, args->text, err);
    }
}

static bool read_request(struct lead_job *r, int argc, char **argv, struct cc_error *err)
{
    struct args args;

    if (!output_units_first(&r->output, argc, argv, lead_tables, err))
        return false;
    args_init(&args, argc, argv, lead_tables);
    for (enum arg_kind kind; (kind = args_next(&args, err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION ? !take_option(r, &args, err)
                               : !args_only_operand(&r->lead, &args, "quote a length with blanks, as '8 1/2in'", err))
            return false;
    }
    return true;
}

static int check_request(struct cli *cli, struct lead_job *r)
{
    enum cc_status s;

    if (r->lead == NULL && !r->helix_given)
        return cli_trouble(cli, "the lead is missing: crankcard lead 200mm --screw 5mm, or --helix 30 "
                                "--diameter 25mm in its place");
    if (r->lead != NULL && r->helix_given)
        return cli_trouble(cli, "'%.40s' and --helix both name a lead: leave one out", r->lead);
    if (mpq_sgn(r->ask.screw) == 0)
        return cli_trouble(cli, "the pitch of the table screw is missing: --screw 5mm, --screw 1/4in or "
                                "--screw 4tpi");
    if (r->helix_given && mpq_sgn(r->ask.diameter) == 0)
        return cli_trouble(cli, "--helix needs the diameter where the angle is taken: --diameter 25mm");
    if (r->output.format == FORMAT_SVG)
        return cli_trouble(cli, "--format: a lead has no drawing: card, csv, tsv or jsonl");
    if (r->helix_given)
        s = cc_lead_of_helix(r->ask.lead, r->ask.diameter, r->helix, &cli->err);
    else
        s = cc_length_parse(r->ask.lead, r->lead, r->output.unit, &cli->err);
    if (s == CC_OK && mpq_sgn(r->ask.lead) <= 0)
        return cli_trouble(cli, "a lead of '%.40s' cannot be: more than 0; --hand says which way it winds",
                           r->lead);
    return cli_status(s);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct lead_job *r = memory_get(sizeof *r);
    struct lead_answer a = { .index = { .side = 0 } };
    struct cc_head head;
    int status = EXIT_TROUBLE;

    lead_job_init(r);
    cc_gearing_list_init(&a.list);
    mpq_init(a.machine);
    cc_head_init(&head);
    if (read_request(r, argc, argv, &cli->err))
        status = check_request(cli, r);
    if (status == EXIT_YES)
        status = cli_status(find_head(&head, r->head, r->mounted, &cli->err));
    if (status == EXIT_YES)
        status = cli_status(lead_work_out(&a, r, &head, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&r->output, cli);
    if (status == EXIT_YES) {
        if (r->output.format == FORMAT_CARD)
            lead_write_card(cli->out, r, &a, &head);
        else
            lead_write_records(cli->out, r, &a, &head);
        status = output_end(&r->output, cli, lead_is_within(r, &a.list.at[0]) ? EXIT_YES : EXIT_NO);
    }
    cc_head_clear(&head);
    mpq_clear(a.machine);
    cc_gearing_list_clear(&a.list);
    lead_job_clear(r);
    free(r);
    return status;
}

const struct command cmd_lead = {
    .name = "lead",
    .operands = "[LENGTH]",
    .options = lead_tables,
    .run = run_command,
    .summary = "change gears between the table screw and the head, for a helix",
    .about = "LENGTH is the table travel for one turn of the work; with --helix and --diameter it is worked out.\n"
             "Every train of 2 and 4 gears (6 with --most-gears 6) is tried; the nearest leads come first.\n",
    .examples = "  crankcard lead 8in --screw 4tpi --diameter 2in --head small-tilting-geared\n"
                "  crankcard lead --helix 30 --diameter 25 --screw 5 --starts 6 --head small-tilting-geared\n",
};
