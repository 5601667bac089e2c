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
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"
#include "cli/keep/journal.h"
#include "cli/keep/kept_job.h"
#include "cli/keep/recovery.h"

static const struct option_row recover_options[] = {
    { TO_COUNT(struct recovery, seen.hole, FROM(0, CC_MAX_CIRCLE), GIVEN(struct recovery, seen.has_hole)),
      0, "hole", "H", "hole the pin stands in, counted from the start hole the way the crank turns" },
    { TO_COUNT(struct recovery, seen.hole2, FROM(0, CC_MAX_CIRCLE), GIVEN(struct recovery, seen.has_hole2)),
      0, "hole2", "H", "compound: holes from the second pin back to the marked one; fixture: the pin in use" },
    { TO_ANGLE(struct recovery, seen.reading, ANY_SIGN, GIVEN(struct recovery, seen.has_reading)),
      0, "reading", "ANGLE", "what the spindle's scale reads" },
    { TO_TEXT(struct recovery, dial), 0, "dial", "READING", "what the dial reads: 3d25m40s, '3d25m v4', 71; the line alone where it has a vernier" },
    { TO_ANGLE(struct recovery, rim, ANY_SIGN, GIVEN(struct recovery, has_rim)),
      0, "rim", "ANGLE", "what the rim reads, set to 0 with the dial" },
    { TO_ANGLE(struct recovery, seen.uncertainty, NOT_NEGATIVE, GIVEN(struct recovery, has_uncertainty)),
      0, "uncertainty", "ANGLE", "how far off that may be, either way (default 1 degree)" },
    { TO_ANGLE(struct recovery, scale_zero, ANY_SIGN, GIVEN(struct recovery, has_scale)),
      0, "scale-zero", "ANGLE", "what the scale read at the start (default 0)" },
    { TO_SWITCH(struct recovery, scale_falls),
      0, "scale-falls", NULL, "the scale's numbers fall as the crank turns forward" },
    { TO_COUNT(struct recovery, tooth, FROM(0, INT64_MAX), GIVEN(struct recovery, has_tooth)),
      0, "tooth", "D", "last division (of a list: position) that is known to be cut" },
    { TO_COUNT(struct recovery, seen.row, FROM(0, INT64_MAX), GIVEN(struct recovery, seen.has_row)),
      0, "step", "STEP", "the step that you take yourself to be at" },
    { TO_COUNT(struct recovery, seen.right, FROM(0, INT64_MAX), GIVEN(struct recovery, seen.has_right)),
      0, "right", "STEP", "a step at which all was seen to be right: a slip came after it" },
    { TO_COUNT(struct recovery, seen.cuts, FROM(0, INT64_MAX), GIVEN(struct recovery, seen.has_cuts)),
      0, "cuts", "COUNT", "places in the work that show a cut" },
    { TO_COUNT(struct recovery, seen.pin_circle, FROM(2, CC_MAX_CIRCLE)),
      0, "pin-circle", "C", "circle that the pin stands in, if you looked: --hole is counted in it" },
    { TO_TEXT(struct recovery, job_given),
      0, "job", "JOB", "in place of REQUEST: a job of follow, whose journal knows the last step confirmed" },
    { TO_COUNT(struct recovery, at, FROM(0, INT64_MAX), GIVEN(struct recovery, has_at)),
      0, "at", "STEP", "take this step of those that fit as the place" },
    { TO_COUNT(struct recovery, most, FROM(1, 1000)), 0, "most", "COUNT", "how many places to list (default 10)" },
    { TO_SWITCH(struct recovery, all_slips),
      0, "slips", NULL, "the slips that fit, though steps fit without one; in csv and tsv in place of the steps" },
    { TO_SWITCH(struct recovery, only_rezero),
      0, "re-zero", NULL, "how to set zero again on a slot that is cut, and after the worm slipped" },
    OPTIONS_END
};

#define NOT_STEPS "is not for recover, which looks at every step"

/* Its own, then those of a request, into its job. */
#define RECOVER_OPTIONS \
    OWN_OPTIONS(hand_options), HEAD_OPTIONS(struct job, choice), OWN_OPTIONS(plan_options), \
    FORMAT_OPTIONS(struct job, output), OUTPUT_OPTIONS(struct job, output), UNIT_OPTIONS(struct job, output), \
    OWN_OPTIONS(radius_options), { step_options, 0, NOT_STEPS }, { drawn_options, 0, NOT_STEPS }, TABLES_END

static const struct option_table recover_tables[] = {
    OWN_OPTIONS(recover_options), OWN_OPTIONS(divide_options), MARKS_OPTIONS(struct job, marks), OWN_OPTIONS(block_options),
    OWN_OPTIONS(helix_options), RECOVER_OPTIONS
};
static const struct option_table recover_angles_tables[] = { OWN_OPTIONS(angles_options), OWN_OPTIONS(helix_options), RECOVER_OPTIONS };
static const struct option_table recover_flats_tables[] = { FLATS_OPTIONS(struct job, flats), RECOVER_OPTIONS };
static const struct request_tables recover_requests = { recover_tables + 1, recover_angles_tables, recover_flats_tables };

/* ---- what was typed ---- */

/* What says how to take a reading, and what says the same twice. */
static int check_readings(const struct recovery *r, struct cli *cli)
{
    const struct cc_seen *seen = &r->seen;

    if (r->has_rim && (seen->has_reading || r->has_scale || r->scale_falls))
        return cli_trouble(cli, "--rim is a reading, and the profile says which way it goes: leave out --reading and what belongs to it");
    if (r->dial != NULL && seen->has_hole)
        return cli_trouble(cli, "--dial and --hole say the same: leave one out");
    if ((r->has_uncertainty || r->has_scale || r->scale_falls) && !seen->has_reading && !r->has_rim)
        return cli_trouble(cli, "--uncertainty, --scale-zero and --scale-falls say how to take a --reading: there is none");
    return EXIT_YES;
}

static int check_options(struct recovery *r, struct cli *cli)
{
    struct cc_seen *seen = &r->seen;
    bool pins = seen->has_hole || seen->has_hole2 || r->dial != NULL, scale = seen->has_reading || r->has_rim;
    int status = check_readings(r, cli);

    if (status != EXIT_YES || r->only_rezero)
        return status;
    if (!pins && !scale && !seen->has_cuts && !r->has_tooth && !r->has_made)
        return cli_trouble(cli, "say what can be seen: --hole 7, --reading 45, --tooth 12, --cuts 13; by the dial --dial 3d25m");
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

/* The slips: none is no trouble. */
static int find_slips(struct recovery *r, struct cli *cli)
{
    const struct job *job = &r->job;
    struct cc_error err;
    enum cc_status s = cc_hand_slips_find(&r->slips, &job->head, &job->plan, &job->request, &r->seen, r->most, &err);

    if (s == CC_OK || s == CC_ENOFIT)
        return EXIT_YES;
    cli->err = err;
    return EXIT_TROUBLE;
}

/* What is known of the row must not speak against itself. */
static int check_rows(const struct cc_seen *seen, struct cli *cli)
{
    if (seen->has_row && seen->has_right && seen->row < seen->right)
        return cli_trouble(cli, "--step %" PRIu64 ": it comes before step %" PRIu64 ", where all was right", seen->row, seen->right);
    if (seen->has_row && seen->has_last && seen->row < seen->last)
        return cli_trouble(cli, "--step %" PRIu64 ": it comes before step %" PRIu64 ", which is made", seen->row, seen->last);
    return EXIT_YES;
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
    if (check_rows(&r->seen, cli) != EXIT_YES)
        return EXIT_TROUBLE;
    enum cc_status s = search_places(r, r->most, &cli->err);
    if (s == CC_OK && r->has_at)    /* all of them, to look for that one */
        s = search_places(r, (size_t)r->places.total, &cli->err);
    if (s != CC_OK && s != CC_ENOFIT)
        return EXIT_TROUBLE;
    if (find_slips(r, cli) != EXIT_YES)
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
    if (status == EXIT_NO && !card && !(r->all_slips && r->slips.n > 0))
        return EXIT_NO;                 /* one line on standard error says it */
    if (card)
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
static char **request_words(const struct recovery *r, char **rest, size_t rest_count, int *count)
{
    size_t kept = r->journal.word_count, n = 0, i = 0;
    char **words = memory_get((kept + rest_count + 1) * sizeof *words);

    while (i < kept && strcmp(r->journal.words[i], "--") != 0)
        words[n++] = r->journal.words[i++];
    for (size_t k = 0; k < rest_count; k++)
        words[n++] = rest[k];
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
    /* Cut out of order, or with some open, the hands may be before the last step as well as behind it. */
    uint64_t next = r->journal.next;
    r->has_made = !r->has_tooth && next > 0 && journal_passed(&r->journal) == next &&
                  row_set_count(&r->journal.made, 0, next - 1) == next;
    r->here = kept_go_there(&r->journal);
    return EXIT_YES;
}

static int read_request(struct recovery *r, struct cli *cli, char **rest, size_t rest_count)
{
    int count;

    if (r->job_given == NULL && rest_count == 0)
        return cli_trouble(cli, "what was being made is missing: crankcard recover 57 --hole 7, or --job for a job of follow");
    int status = r->job_given != NULL ? read_journal(r, cli, r->job_given) : EXIT_YES;
    if (status != EXIT_YES)
        return status;
    char **words = request_words(r, rest, rest_count, &count);
    status = job_read_any(&r->job, cli, count, words, r->job_given != NULL ? &all_tables : &recover_requests);
    free(words);
    return status == EXIT_YES ? check_options(r, cli) : status;
}

static int read_recovery(struct recovery *r, struct cli *cli, int argc, char **argv)
{
    char **rest = memory_get(((size_t)argc + 1) * sizeof *rest);
    int n = args_read_own(rest, r, recover_options, argc, argv, &cli->err);
    int status = n >= 0 ? read_request(r, cli, rest, (size_t)n) : EXIT_TROUBLE;

    free(rest);
    return status;
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

    job_init(&r.job, "divide");
    journal_init(&r.journal);
    cc_seen_init(&r.seen);
    cc_places_init(&r.places);
    cc_hand_slips_init(&r.slips);
    mpq_inits(r.scale_zero, r.rim, NULL);
    int status = read_recovery(&r, cli, argc, argv);
    if (status == EXIT_YES)
        status = plan_recovery(&r, cli);
    if (!kept_come_back(r.here))
        status = cli_trouble(cli, "cannot come back to where this was called: %s", strerror(errno));
    if (status == EXIT_YES)
        status = cli_status(recovery_read_dial(&r, &cli->err));
    if (status == EXIT_YES) {
        status = find_places(&r, cli);
        if (status != EXIT_TROUBLE)
            status = write_recovery(&r, cli, status);
    }
    mpq_clears(r.rim, r.scale_zero, NULL);
    cc_hand_slips_clear(&r.slips);
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
    .records = (const struct form *const[]){ &candidate_form, &slip_form, NULL },
    .requests = request_kinds,
    .instead = (const char *const[]){ "--job", NULL },
    .run = run_command,
    .summary = "the place is lost: which steps fit what can be seen",
    .about = "REQUEST is what divide or angles takes. From the hole the pin stands in, a rough reading of the spindle's\n"
             "scale and the last cut that is sure, the steps that fit and the movement to the next one. Where none\n"
             "fits, the slips of the hands that would have led there, each with what to measure and the way back,\n"
             "and how to set zero again. Status 1 when no step fits.\n",
    .examples = "  crankcard recover 57 --hole 16 --hole2 0 --reading 151\n"
                "  crankcard recover 95 --hole 6 --reading 155 --step 41 --radius 40\n"
                "  crankcard recover 7 --head dial-table-90 --dial 3d25m40s --rim 51\n"
                "  crankcard recover 95 --hole 5 --reading 155 --uncertainty 2 --tooth 38\n"
                "  crankcard recover --job divide-57 --hole 16\n",
};
