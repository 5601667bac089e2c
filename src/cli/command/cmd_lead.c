/* cmd_lead.c: gears between the table screw and the head for a helix: arguments and flow. */
#include <stdlib.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/subject/lead_job.h"

/* "24,28 32": counts divided by commas or blanks. */
static bool take_gears(void *place, const struct option *option, struct cc_error *err)
{
    struct lead_job *r = place;
    const char *text = option->text;
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

static bool take_most_gears(void *place, const struct option *option, struct cc_error *err)
{
    struct lead_job *r = place;
    unsigned long gears;

    if (!value_number(&gears, option->text, "--most-gears", 2, 6, err))
        return false;
    if (gears % 2 != 0)
        return cc_fail(err, CC_EDOM, "--most-gears: '%s' is odd: a train has 2, 4 or 6 gears, idlers apart",
                       option->text) == CC_OK;
    r->ask.most_pairs = (unsigned)gears / 2;
    return true;
}

static bool take_within(void *place, const struct option *option, struct cc_error *err)
{
    struct lead_job *r = place;

    r->within_text = option->text;
    return take_length(&r->within, option, err);
}

static bool take_drivers(void *place, const struct option *option, struct cc_error *err)
{
    struct lead_job *r = place;
    return value_teeth(r->train.driver, &r->drivers, option->text, "--drivers", err);
}

static bool take_driven(void *place, const struct option *option, struct cc_error *err)
{
    struct lead_job *r = place;
    return value_teeth(r->train.driven, &r->driven, option->text, "--driven", err);
}

static const char *const hands[] = { "right", "left", NULL };
static const char *const last_gears[] = { "worm", "spindle", NULL };

static const struct option_row lead_options[] = {
    { TO_PITCH(struct lead_job, ask.screw), 's', "screw", "PITCH", "pitch of the table screw: 5mm, 1/4in or 4tpi (needed)" },
    { TO_ANGLE(struct lead_job, helix, ANY_SIGN, GIVEN(struct lead_job, helix_given)),
      0, "helix", "ANGLE", "helix angle to the axis, in place of LENGTH (needs --diameter)" },
    { TO_LENGTH(struct lead_job, ask.diameter, ABOVE_ZERO),
      'd', "diameter", "LENGTH", "diameter where the helix angle is taken" },
    { TO_LENGTH(struct lead_job, ask.length, ABOVE_ZERO),
      'l', "length", "LENGTH", "length of the cut, over which the error in angle adds up" },
    { TO_WORD(struct lead_job, ask.hand, hands, CC_RIGHT_HAND),
      0, "hand", "right|left", "hand of the helix (default right)" },
    { TO_COUNT(struct lead_job, ask.starts, FROM(1, 1000000)),
      0, "starts", "N", "flutes or starts, indexed plainly (default 1)" },
    { TO_TAKER(take_gears), 0, "gears", "TEETH,...", "change gears to use in place of the head's own" },
    { TO_TAKER(take_drivers), 0, "drivers", "TEETH,...", "look at these gears alone: the drivers, the one on the table screw first" },
    { TO_TAKER(take_driven), 0, "driven", "TEETH,...", "and the driven gears, the one on the worm shaft (or the spindle) last" },
    { TO_COUNT(struct lead_job, train.idlers, FROM(0, 8), GIVEN(struct lead_job, has_idlers)),
      0, "idlers", "COUNT", "idlers between those (default: for the hand)" },
    { TO_TAKER(take_most_gears), 0, "most-gears", "2|4|6", "gears in a train, most (default 4)" },
    { TO_COUNT(struct lead_job, ask.most, FROM(1, CC_MAX_TRAINS)),
      0, "list", "COUNT", "trains to list, 1 to 1000 (default 5)" },
    { TO_WORD(struct lead_job, ask.geared_to, last_gears, CC_TO_WORM),
      0, "geared-to", "worm|spindle", "where the last gear sits; the spindle for short leads (default worm)" },
    { TO_TAKER(take_within, ABOVE_ZERO),
      0, "within", "LENGTH", "largest error of the lead that will do (default a hundredth of it); status 1 where no train holds it" },
    OPTIONS_END
};

static const struct option_table lead_tables[] = {
    OWN_OPTIONS(lead_options), HEAD_OPTIONS(struct lead_job, choice), DRAWING_OPTIONS(struct lead_job, output),
    OUTPUT_OPTIONS(struct lead_job, output), UNIT_OPTIONS(struct lead_job, output), TABLES_END
};

static int check_request(struct cli *cli, struct lead_job *r)
{
    enum cc_status s;

    if (r->lead == NULL && !r->helix_given)
        return cli_trouble(cli, "the lead is missing: crankcard lead 200mm --screw 5mm, or --helix 30 "
                                "--diameter 25mm in its place");
    if (r->lead != NULL && r->helix_given)
        return cli_trouble(cli, "'%.40s' and --helix both name a lead: leave one out", r->lead);
    if (r->drivers != r->driven)
        return cli_trouble(cli, "%u drivers and %u driven gears: there must be as many of one as of the other", r->drivers, r->driven);
    if (r->has_idlers && r->drivers == 0)
        return cli_trouble(cli, "--idlers without gears: name them with --drivers and --driven");
    r->train.pairs = r->drivers;
    if (mpq_sgn(r->ask.screw) == 0)
        return cli_trouble(cli, "the pitch of the table screw is missing: --screw 5mm, --screw 1/4in or "
                                "--screw 4tpi");
    if (r->helix_given && mpq_sgn(r->ask.diameter) == 0)
        return cli_trouble(cli, "--helix needs the diameter where the angle is taken: --diameter 25mm");
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
    if (args_read_one(&r->lead, "quote a length with blanks, as '8 1/2in'", r, lead_tables, argc, argv, &cli->err))
        status = check_request(cli, r);
    if (status == EXIT_YES)
        status = cli_status(find_head(&head, r->choice.name, r->choice.mounted, &cli->err));
    if (status == EXIT_YES && r->train.pairs > 0 && !r->has_idlers)
        r->train.idlers = cc_train_idlers(r->train.pairs, (r->ask.hand == CC_RIGHT_HAND) != head.reversed);
    if (status == EXIT_YES)
        status = cli_status(lead_work_out(&a, r, &head, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&r->output, cli);
    if (status == EXIT_YES) {
        if (r->output.format == FORMAT_SVG)
            lead_write_drawing(cli->out, r, &a, &head);
        else if (output_is_card(&r->output))
            lead_write_card(cli->out, r, &a, &head);
        else
            lead_write_records(cli->out, r, &a, &head);
        status = output_end(&r->output, cli, a.goes_on && lead_is_within(r, &a.list.at[0]) ? EXIT_YES : EXIT_NO);
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
    .records = (const struct form *const[]){ &lead_form, NULL },
    .run = run_command,
    .summary = "change gears between the table screw and the head, for a helix",
    .about = "LENGTH is the table travel for one turn of the work; with --helix and --diameter it is worked out.\n"
             "Every train of 2 and 4 gears (6 with --most-gears 6) is tried; the nearest leads come first.\n",
    .examples = "  crankcard lead 8in --screw 4tpi --diameter 2in --head small-tilting-geared\n"
                "  crankcard lead 3.6in --screw 4tpi --drivers 32,100 --driven 24,48 --head small-tilting-geared\n"
                "  crankcard lead --helix 30 --diameter 25 --screw 5 --starts 6 --head small-tilting-geared\n",
};
