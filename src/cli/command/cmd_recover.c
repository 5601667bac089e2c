/* cmd_recover.c: the place is lost: what fits what can be seen, and the way back out. */
#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/own_options.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"
#include "cli/keep/journal.h"
#include "cli/keep/kept_job.h"
#include "cli/keep/recovery.h"

enum {
    OPT_HOLE = OPT_OWN + 50, OPT_HOLE2, OPT_READING, OPT_UNCERTAINTY, OPT_SCALE_ZERO, OPT_SCALE_FALLS, OPT_TOOTH,
    OPT_JOB, OPT_AT, OPT_MOST, OPT_RE_ZERO
};

static const struct option_row recover_options[] = {
    { OPT_HOLE, 0, "hole", "H", "hole the pin stands in, counted from the start hole the way the crank turns" },
    { OPT_HOLE2, 0, "hole2", "H", "compound: holes from the second pin back to the marked one; fixture: the pin in use" },
    { OPT_READING, 0, "reading", "ANGLE", "what the spindle's scale reads" },
    { OPT_UNCERTAINTY, 0, "uncertainty", "ANGLE", "how far off that may be, either way (default 1 degree)" },
    { OPT_SCALE_ZERO, 0, "scale-zero", "ANGLE", "what the scale read at the start (default 0)" },
    { OPT_SCALE_FALLS, 0, "scale-falls", NULL, "the scale's numbers fall as the crank turns forward" },
    { OPT_TOOTH, 0, "tooth", "D", "last division (of a list: position) that is known to be cut" },
    { OPT_JOB, 0, "job", "JOB", "in place of REQUEST: a job of follow, whose journal knows the last step confirmed" },
    { OPT_AT, 0, "at", "STEP", "take this step of those that fit as the place" },
    { OPT_MOST, 0, "most", "COUNT", "how many places to list (default 10)" },
    { OPT_RE_ZERO, 0, "re-zero", NULL, "how to set zero again on a slot that is cut, and after the worm slipped" },
    OPTIONS_END
};

static const struct option_row *const recover_tables[] = { recover_options, divide_options, head_options, plan_options,
                                                    output_options, NULL };

/* ---- what was typed ---- */

static bool take_option(struct recovery *r, int id, const char *text, struct cc_error *err)
{
    unsigned long n = 0;

    switch (id) {
    case OPT_HOLE:
        r->seen.has_hole = value_number(&n, text, "--hole", 0, CC_MAX_CIRCLE, err);
        r->seen.hole = n;
        return r->seen.has_hole;
    case OPT_HOLE2:
        r->seen.has_hole2 = value_number(&n, text, "--hole2", 0, CC_MAX_CIRCLE, err);
        r->seen.hole2 = n;
        return r->seen.has_hole2;
    case OPT_READING:
        r->seen.has_reading = value_angle(r->seen.reading, text, "--reading", err);
        return r->seen.has_reading;
    case OPT_UNCERTAINTY:
        r->has_uncertainty = value_angle(r->seen.uncertainty, text, "--uncertainty", err);
        if (r->has_uncertainty && mpq_sgn(r->seen.uncertainty) < 0)
            return cc_fail(err, CC_EDOM, "--uncertainty: '%.40s' is negative: it goes either way", text) == CC_OK;
        return r->has_uncertainty;
    case OPT_SCALE_ZERO:
        r->has_scale = true;
        return value_angle(r->scale_zero, text, "--scale-zero", err);
    case OPT_SCALE_FALLS:
        r->has_scale = true;
        r->scale_falls = true;
        return true;
    case OPT_TOOTH:
        r->has_tooth = value_u64(&r->tooth, text, "--tooth", 0, INT64_MAX, err);
        return r->has_tooth;
    case OPT_AT:
        r->has_at = value_u64(&r->at, text, "--at", 0, INT64_MAX, err);
        return r->has_at;
    case OPT_RE_ZERO:
        r->only_rezero = true;
        return true;
    default:
        if (!value_number(&n, text, "--most", 1, 1000, err))
            return false;
        r->most = n;
        return true;
    }
}

static int check_options(struct recovery *r, struct cli *cli)
{
    struct cc_seen *seen = &r->seen;

    if ((r->has_uncertainty || r->has_scale) && !seen->has_reading)
        return cli_trouble(cli, "--uncertainty, --scale-zero and --scale-falls say how to take a --reading: there is none");
    if (r->only_rezero)
        return EXIT_YES;
    if (!seen->has_hole && !seen->has_hole2 && !seen->has_reading && !r->has_tooth && !r->has_made)
        return cli_trouble(cli, "say what can be seen: --hole 7, --reading 45, --tooth 12");
    if (!r->has_uncertainty)
        mpq_set_ui(seen->uncertainty, 1, 360);
    mpq_sub(seen->reading, seen->reading, r->scale_zero);
    if (r->scale_falls)
        mpq_neg(seen->reading, seen->reading);
    return EXIT_YES;
}

/* ---- the answer ---- */

static enum cc_status search_places(struct recovery *r, size_t most, struct cc_error *err)
{
    const struct job *job = &r->job;
    enum cc_status s = cc_recover(&r->places, &job->plan, &job->request, &r->seen, most, err);

    r->between = false;
    if (s != CC_ENOFIT)
        return s;
    s = cc_recover_between(&r->places, &job->plan, &job->request, &r->seen, most, err);
    r->between = s == CC_OK;
    return s;
}

static int find_places(struct recovery *r, struct cli *cli)
{
    const struct job *job = &r->job;

    if (r->has_made) {
        r->seen.last = r->journal.next - 1;
        r->seen.has_last = true;
    }
    if (r->has_tooth) {
        enum cc_status found = cc_row_of_division(&r->seen.last, &job->plan, &job->request, r->tooth, &cli->err);
        if (blame(found, &cli->err, "--tooth") != CC_OK)
            return EXIT_TROUBLE;
        r->seen.has_last = true;
    }
    if (r->only_rezero)
        return EXIT_YES;
    enum cc_status s = search_places(r, r->most, &cli->err);
    if (s == CC_OK && r->has_at)    /* all of them, to look for that one */
        s = search_places(r, (size_t)r->places.total, &cli->err);
    if (s != CC_OK && s != CC_ENOFIT)
        return EXIT_TROUBLE;
    if (s == CC_ENOFIT || !r->has_at)
        return cli_status(s);
    for (size_t i = 0; i < r->places.n; i++) {
        if (r->places.at[i].row == r->at) {
            r->chosen = i;
            return EXIT_YES;
        }
    }
    return cli_trouble(cli, "--at: step %" PRIu64 " is not one of the %" PRIu64 " that fit what is seen", r->at,
                       r->places.total);
}

static int write_recovery(struct recovery *r, struct cli *cli, int status)
{
    struct output *output = &r->job.output;
    bool card = output->format == FORMAT_CARD && !cli->in_batch;

    if (output->format == FORMAT_SVG)
        return cli_trouble(cli, "--format svg is not for recover: card, csv, tsv or jsonl");
    if (r->only_rezero && !card)
        return cli_trouble(cli, "--re-zero is a procedure for people: it has the format card only");
    if (status == EXIT_NO && !card)
        return EXIT_NO;                 /* one line on standard error says it */
    cli->err.text[0] = '\0';
    int begun = output_begin(output, cli);
    if (begun != EXIT_YES)
        return begun;
    if (card)
        recovery_card(cli->out, r);
    else
        recovery_records(cli->out, r);
    return output_end(output, cli, status);
}

/* ---- the command ---- */

/*
 * The words of the request, to be freed. With --job they are the words that follow keeps, and those typed now
 * (options of how the answer is shown) stand behind them, but before a "--", which would make operands of them.
 */
static char **request_words(const struct recovery *r, const struct own_options *own, int *count)
{
    size_t kept = r->journal.word_count, n = 0, i = 0;
    char **words = memory_get((kept + (size_t)own->rest_count + 1) * sizeof *words);

    while (i < kept && strcmp(r->journal.words[i], "--") != 0)
        words[n++] = r->journal.words[i++];
    for (int k = 0; k < own->rest_count; k++)
        words[n++] = own->rest[k];
    while (i < kept)
        words[n++] = r->journal.words[i++];
    *count = (int)n;
    return words;
}

static int read_journal(struct recovery *r, struct cli *cli, const char *given)
{
    char name[JOURNAL_NAME];

    if (cli->in_batch)
        return cli_trouble(cli, "--job reads what follow keeps: it cannot stand in a batch");
    int status = kept_choose(name, cli, given, KEPT_BEGINNING);
    if (status != EXIT_YES)
        return status;
    struct cc_error err;
    enum cc_status s = journal_open(&r->journal, name, false, &err);
    if (s != CC_OK && !r->journal.salvageable) {
        cli->err = err;
        return cli_status(s);
    }
    if (s != CC_OK)
        snprintf(r->said, sizeof r->said, "The journal is damaged behind line %lu: what came after step %" PRIu64 " is not known.",
                 r->journal.lines, r->journal.next > 0 ? r->journal.next - 1 : 0);
    r->has_made = !r->has_tooth && r->journal.next > 0;
    r->here = kept_go_there(&r->journal);
    return EXIT_YES;
}

static int read_recovery(struct recovery *r, struct cli *cli, int argc, char **argv, struct own_options *own)
{
    const char *given = NULL;
    enum arg_kind kind;
    int count;

    own_init(own, recover_options, argc, argv);
    while ((kind = own_next(own, &cli->err)) == ARG_OPTION) {
        if (own->id == OPT_JOB)
            given = own->text;
        else if (!take_option(r, own->id, own->text, &cli->err))
            return EXIT_TROUBLE;
    }
    if (kind == ARG_BAD)
        return EXIT_TROUBLE;
    if (given == NULL && own->rest_count == 0)
        return cli_trouble(cli, "what was being made is missing: crankcard recover 57 --hole 7, or --job for a job of follow");
    int status = given != NULL ? read_journal(r, cli, given) : EXIT_YES;
    if (status != EXIT_YES)
        return status;
    char **words = request_words(r, own, &count);
    status = job_read_any(&r->job, cli, count, words);
    free(words);
    return status == EXIT_YES ? check_options(r, cli) : status;
}

/* A job of follow must still be the one that was begun. */
static int plan_recovery(struct recovery *r, struct cli *cli)
{
    bool card = r->job.output.format == FORMAT_CARD;

    if (r->journal.word_count == 0)
        return job_plan(&r->job, cli);
    return kept_plan(&r->job, cli, card ? cli->out : NULL, &r->journal, r->said, sizeof r->said);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct recovery r = { .most = 10, .here = -1 };
    struct own_options own;

    job_init(&r.job, "divide");
    journal_init(&r.journal);
    cc_seen_init(&r.seen);
    cc_places_init(&r.places);
    mpq_init(r.scale_zero);
    int status = read_recovery(&r, cli, argc, argv, &own);
    if (status == EXIT_YES)
        status = plan_recovery(&r, cli);
    if (!kept_come_back(r.here))
        status = cli_trouble(cli, "cannot come back to where this was called: %s", strerror(errno));
    if (status == EXIT_YES) {
        status = find_places(&r, cli);
        if (status != EXIT_TROUBLE)
            status = write_recovery(&r, cli, status);
    }
    own_clear(&own);
    mpq_clear(r.scale_zero);
    cc_places_clear(&r.places);
    cc_seen_clear(&r.seen);
    job_clear(&r.job);
    journal_clear(&r.journal);
    return status;
}

const struct command cmd_recover = {
    .name = "recover",
    .operands = "REQUEST",
    .options = recover_tables,
    .run = run_command,
    .summary = "the place is lost: which steps fit what can be seen",
    .about = "REQUEST is what divide or angles takes. From the hole the pin stands in, a rough reading of the spindle's\n"
             "scale and the last cut that is sure, the steps that fit, the movement to the next one, and how to set\n"
             "zero again when none fits. Status 1 when none does.\n",
    .examples = "  crankcard recover 57 --hole 16 --hole2 0 --reading 151\n"
                "  crankcard recover 95 --hole 5 --reading 155 --uncertainty 2 --tooth 38\n"
                "  crankcard recover --job divide-57 --hole 16\n",
};
