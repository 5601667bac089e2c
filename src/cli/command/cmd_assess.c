/* cmd_assess.c: measurements in, findings, a budget of pitch errors and a verdict out: arguments and flow. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/profile_file.h"
#include "cli/base/exit_status.h"
#include "cli/subject/assess_job.h"

static const char *const standards[] = { "iso2013", "iso1995", "jis1976", NULL };

static const struct option_row assess_options[] = {
    { TO_LENGTH(struct assess_job, radius, ABOVE_ZERO, GIVEN(struct assess_job, has_radius)),
      'r', "radius", "LENGTH", "radius of the work, for the budget" },
    { TO_COUNT(struct assess_job, divisions, FROM(2, 1000000000)),
      'n', "divisions", "N", "divisions of the work, for the budget" },
    { TO_LENGTH(struct assess_job, length, ABOVE_ZERO), 'l', "length", "LENGTH", "length of the work, for the footstock" },
    { TO_TEXT(struct assess_job, tolerance_text),
      't', "tolerance", "ANGLE|LENGTH", "what pitch and cumulative pitch may be off: 1m, 0.02mm" },
    { TO_COUNT(struct assess_job, flank_class, FROM(0, 12), GIVEN(struct assess_job, has_class)),
      0, "class", "CLASS", "take the tolerances of this flank class (with --module)" },
    { TO_MODULE(struct assess_job, module, ABOVE_ZERO, GIVEN(struct assess_job, has_module)),
      0, "module", "MM", "normal module, for --class" },
    { TO_WORD(struct assess_job, standard, standards, CC_ISO_1328_2013),
      0, "standard", "NAME", "iso2013, iso1995 or jis1976 (default iso2013)" },
    { TO_SWITCH(struct assess_job, both_ways),
      0, "both-ways", NULL, "positions are approached from both sides: backlash counts" },
    { TO_COUNT(struct assess_job, harmonics, FROM(1, CC_MAX_HARMONIC)),
      0, "harmonics", "H", "highest harmonic of the runout to fit (default up to 5)" },
    { TO_WORD(struct assess_job, indexed, assess_indexed_by, CC_INDEX_WORM),
      0, "indexed", "HOW", "what the positions were indexed by: worm, direct or dial (default worm)" },
    { TO_TEXT(struct assess_job, write), 0, "write", "FILE", "put the accuracy found into this profile" },
    OPTIONS_END
};

static const struct option_table assess_tables[] = {
    OWN_OPTIONS(assess_options), HEAD_OPTIONS(struct assess_job, choice), DRAWING_OPTIONS(struct assess_job, output),
    OUTPUT_OPTIONS(struct assess_job, output), UNIT_OPTIONS(struct assess_job, output), TABLES_END
};

/* ---- reading the request ---- */

#define LONGEST_MM 100000       /* of any length asked for */

static bool check_request(const struct assess_job *q, const struct cli *cli, struct cc_error *err)
{
    bool budget = q->has_radius && q->divisions != 0;

    if (q->file == NULL)
        cc_fail(err, CC_EPARSE, "assess needs a FILE of measurements, or - for standard input");
    else if (q->has_radius != (q->divisions != 0))
        cc_fail(err, CC_EPARSE, "--radius and --divisions go together: both make the budget");
    else if ((q->tolerance_text != NULL || q->has_class) && !budget)
        cc_fail(err, CC_EPARSE, "a tolerance needs a budget to compare with: give --radius and --divisions");
    else if (q->tolerance_text != NULL && q->has_class)
        cc_fail(err, CC_EPARSE, "--tolerance and --class both say what is allowed: give one");
    else if (q->has_class != q->has_module)
        cc_fail(err, CC_EPARSE, "--class and --module go together: a flank class depends on the module");
    else if (q->write != NULL && cli->in_batch)
        cc_fail(err, CC_EPARSE, "--write cannot stand in a batch line");
    else if (mpq_cmp_ui(q->radius, LONGEST_MM, 1) > 0 || mpq_cmp_ui(q->length, LONGEST_MM, 1) > 0 ||
             mpq_cmp_ui(q->module, LONGEST_MM, 1) > 0)
        cc_fail(err, CC_ELIMIT, "--radius, --length and --module are at most %d m", LONGEST_MM / 1000);
    else
        return true;
    return false;
}

static bool read_request(struct assess_job *q, struct cli *cli, int argc, char **argv)
{
    return args_read_one(&q->file, "assess takes one FILE", q, assess_tables, argc, argv, &cli->err) &&
           check_request(q, cli, &cli->err);
}

/* ---- into the profile ---- */

/* Whether what was found may stand in a profile; err says why not. */
static bool check_found(const struct assess_job *q, struct cc_error *err)
{
    const struct cc_accuracy *a = &q->findings.positions;

    if (!q->findings.has_positions)
        cc_fail(err, CC_EDOM, "--write: '%.100s' has no positions table, so no accuracy was found", q->file);
    else if (a->least_runs < CC_LEAST_STATED_RUNS)
        cc_fail(err, CC_EDOM, "--write: %lu runs at a target are too few to state an accuracy: make %d, or better 5",
                a->least_runs, CC_LEAST_STATED_RUNS);
    else if (assess_hides_worm(q))
        cc_fail(err, CC_EDOM, "--write: the targets hide the worm's error within a crank turn (%.0f %% of it is sure to "
                "show): take some that end in thirds or fifths of one", q->worm_share * 100);
    else
        return true;
    return false;
}

static bool write_profile(const struct assess_job *q, struct cli *cli)
{
    char value[60];

    if (q->write == NULL)
        return true;
    if (!check_found(q, &cli->err))
        return false;
    snprintf(value, sizeof value, "%.1fs", ceil(cc_findings_holds(&q->findings, q->both_ways) * 10 - 1e-6) / 10);
    return profile_file_set(cli, q->write, "accuracy", assess_indexed_by[q->indexed], value);
}

/* ---- command ---- */

static int write_assess(struct cli *cli, struct assess_job *q)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    if (q->output.format == FORMAT_SVG)
        assess_write_drawing(cli->out, q);
    else if (output_is_card(&q->output))
        assess_write_card(cli->out, q);
    else
        assess_write_records(cli->out, q);
    return output_end(&q->output, cli,
                      q->has_tolerance && q->judgement.verdict != CC_WITHIN ? EXIT_NO : EXIT_YES);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct assess_job q;
    int status = EXIT_TROUBLE;

    assess_job_init(&q);
    if (read_request(&q, cli, argc, argv) &&
        find_head(&q.head, q.choice.name, q.choice.mounted, &cli->err) == CC_OK && assess_find(&q, cli) &&
        assess_make_budget(&q, &cli->err) && write_profile(&q, cli))
        status = write_assess(cli, &q);
    assess_job_clear(&q);
    return status;
}

const struct command cmd_assess = {
    .name = "assess",
    .operands = "FILE",
    .options = assess_tables,
    .records = (const struct form *const[]){ &assess_form, &item_form, NULL },
    .run = run_command,
    .summary = "measurements of a head: what they say, and whether it is good enough",
    .about = "Reads runout, indexed positions, clamp, push-pull and footstock readings (docs/assess.md has the\n"
             "format). With --radius and --divisions, adds up what each does to the work; with a tolerance, says\n"
             "whether that will do and what helps most.\n",
    .examples = "  crankcard assess bench.csv\n"
                "  crankcard assess bench.csv --radius 30 --divisions 57 --tolerance 0.02mm\n"
                "  crankcard assess bench.csv --radius 30 --divisions 60 --class 9 --module 1 --write my-head.ini\n",
};
