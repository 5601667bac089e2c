/* cmd_assess.c: measurements in, findings, a budget of pitch errors and a verdict out: arguments and flow. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"
#include "cli/subject/assess_job.h"

enum {
    OPT_DIVISIONS = OPT_OWN, OPT_LENGTH, OPT_CLASS, OPT_STANDARD, OPT_MODULE, OPT_BOTH_WAYS, OPT_HARMONICS,
    OPT_INDEXED, OPT_WRITE
};

static const struct option_row assess_options[] = {
    { OPT_RADIUS, 'r', "radius", "LENGTH", "radius of the work, for the budget" },
    { OPT_DIVISIONS, 'n', "divisions", "N", "divisions of the work, for the budget" },
    { OPT_LENGTH, 'l', "length", "LENGTH", "length of the work, for the footstock" },
    { OPT_TOLERANCE, 't', "tolerance", "ANGLE|LENGTH", "what pitch and cumulative pitch may be off: 1m, 0.02mm" },
    { OPT_CLASS, 0, "class", "CLASS", "take the tolerances of this flank class (with --module)" },
    { OPT_MODULE, 0, "module", "MM", "normal module, for --class" },
    { OPT_STANDARD, 0, "standard", "NAME", "iso2013, iso1995 or jis1976 (default iso2013)" },
    { OPT_BOTH_WAYS, 0, "both-ways", NULL, "positions are approached from both sides: backlash counts" },
    { OPT_HARMONICS, 0, "harmonics", "H", "highest harmonic of the runout to fit (default up to 5)" },
    { OPT_INDEXED, 0, "indexed", "HOW", "what the positions were indexed by: worm or direct (default worm)" },
    { OPT_WRITE, 0, "write", "FILE", "put the accuracy found into this profile" },
    OPTIONS_END
};

static const struct option_row *const assess_tables[] = { assess_options, head_options, output_options, NULL };

/* ---- reading the request ---- */

static bool take_word(int *choice, const char *text, const char *const *words, const char *what,
                      struct cc_error *err)
{
    char all[120] = "";
    size_t used = 0;

    for (int i = 0; words[i] != NULL; i++) {
        if (strcmp(words[i], text) == 0) {
            *choice = i;
            return true;
        }
        used += (size_t)snprintf(all + used, sizeof all - used, "%s%s", i > 0 ? " or " : "", words[i]);
    }
    cc_fail(err, CC_EPARSE, "%s: '%.40s': write %s", what, text, all);
    return false;
}

static bool take_class(struct assess_job *q, const char *text, struct cc_error *err)
{
    q->has_class = true;
    return value_number(&q->flank_class, text, "--class", 0, 12, err);
}

static bool take_option(struct assess_job *q, const struct args *args, struct cc_error *err)
{
    static const char *const standards[] = { "iso2013", "iso1995", "jis1976", NULL };
    static const char *const ways[] = { "worm", "direct", NULL };
    int choice = 0;

    switch (args->id) {
    case OPT_RADIUS:
        q->radius_text = args->text;
        return true;
    case OPT_DIVISIONS:
        return value_number(&q->divisions, args->text, "--divisions", 2, 1000000000, err);
    case OPT_LENGTH:
        q->length_text = args->text;
        return true;
    case OPT_TOLERANCE:
        q->tolerance_text = args->text;
        return true;
    case OPT_CLASS:
        return take_class(q, args->text, err);
    case OPT_MODULE:
        q->module_text = args->text;
        return true;
    case OPT_STANDARD:
        if (!take_word(&choice, args->text, standards, "--standard", err))
            return false;
        q->standard = (enum cc_flank_standard)choice;
        return true;
    case OPT_BOTH_WAYS:
        q->both_ways = true;
        return true;
    case OPT_HARMONICS:
        return value_number(&q->harmonics, args->text, "--harmonics", 1, CC_MAX_HARMONIC, err);
    case OPT_INDEXED:
        if (!take_word(&choice, args->text, ways, "--indexed", err))
            return false;
        q->direct = choice == 1;
        return true;
    case OPT_WRITE:
        q->write = args->text;
        return true;
    default:
        return head_option(&q->head_name, &q->mounted, args->id, args->text) ||
               output_option(&q->output, args->id, args->text, err);
    }
}

static bool check_request(const struct assess_job *q, const struct cli *cli, struct cc_error *err)
{
    bool budget = q->radius_text != NULL && q->divisions != 0;

    if (q->file == NULL)
        cc_fail(err, CC_EPARSE, "assess needs a FILE of measurements, or - for standard input");
    else if ((q->radius_text != NULL) != (q->divisions != 0))
        cc_fail(err, CC_EPARSE, "--radius and --divisions go together: both make the budget");
    else if ((q->tolerance_text != NULL || q->has_class) && !budget)
        cc_fail(err, CC_EPARSE, "a tolerance needs a budget to compare with: give --radius and --divisions");
    else if (q->tolerance_text != NULL && q->has_class)
        cc_fail(err, CC_EPARSE, "--tolerance and --class both say what is allowed: give one");
    else if (q->has_class != (q->module_text != NULL))
        cc_fail(err, CC_EPARSE, "--class and --module go together: a flank class depends on the module");
    else if (q->write != NULL && cli->in_batch)
        cc_fail(err, CC_EPARSE, "--write cannot stand in a batch line");
    else
        return true;
    return false;
}

static bool read_request(struct assess_job *q, struct cli *cli, int argc, char **argv)
{
    struct args args;

    args_init(&args, argc, argv, assess_tables);
    for (enum arg_kind kind; (kind = args_next(&args, &cli->err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION ? !take_option(q, &args, &cli->err)
                               : !args_only_operand(&q->file, &args, "assess takes one FILE", &cli->err))
            return false;
    }
    return check_request(q, cli, &cli->err) &&
           assess_take_positive(q->radius, q->radius_text, "--radius", q->output.unit, &cli->err) &&
           assess_take_positive(q->length, q->length_text, "--length", q->output.unit, &cli->err);
}

/* ---- into the profile ---- */

/* The profile's text with the accuracy found, checked; to be freed. NULL with err filled. */
static char *new_profile(const struct assess_job *q, const char *text, size_t length, size_t *new_length,
                         struct cc_error *err)
{
    char value[60];
    struct cc_head head;
    const char *key = q->direct ? "direct" : "worm";

    snprintf(value, sizeof value, "%.1fs", ceil(cc_findings_holds(&q->findings, q->both_ways) * 10 - 1e-6) / 10);
    *new_length = cc_profile_set(NULL, 0, text, length, "accuracy", key, value);
    char *all = memory_get(*new_length + 1);
    cc_profile_set(all, *new_length + 1, text, length, "accuracy", key, value);
    cc_head_init(&head);
    enum cc_status s = cc_head_read(&head, all, *new_length, q->write, q->write, err);
    cc_head_clear(&head);
    if (s == CC_OK)
        return all;
    free(all);
    return NULL;
}

static bool write_profile(const struct assess_job *q, struct cli *cli)
{
    char *text, *all;
    size_t length, new_length;
    struct new_file file;

    if (q->write == NULL)
        return true;
    if (!q->findings.has_positions) {
        cc_fail(&cli->err, CC_EDOM, "--write: '%.100s' has no positions table, so no accuracy was found", q->file);
        return false;
    }
    if (strcmp(q->write, "-") == 0) {
        cc_fail(&cli->err, CC_EPARSE, "--write: '-' is not a profile's file");
        return false;
    }
    if (read_file(&text, &length, q->write, cli->in, &cli->err) != CC_OK)
        return false;
    all = new_profile(q, text, length, &new_length, &cli->err);
    free(text);
    if (all == NULL)
        return false;
    bool good = new_file_begin(&file, q->write, &cli->err) == CC_OK;
    if (good) {
        fwrite(all, 1, new_length, file.stream);
        good = new_file_end(&file, &cli->err) == CC_OK;
    }
    free(all);
    return good;
}

/* ---- command ---- */

static int write_assess(struct cli *cli, struct assess_job *q)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    switch (q->output.format) {
    case FORMAT_JSONL:
        assess_write_records(cli->out, q);
        break;
    case FORMAT_CSV:
    case FORMAT_TSV:
        assess_write_rows(cli->out, q);
        break;
    case FORMAT_SVG:
        assess_write_drawing(cli->out, q);
        break;
    default:
        assess_write_card(cli->out, q);
        break;
    }
    return output_end(&q->output, cli,
                      q->has_tolerance && q->judgement.verdict != CC_WITHIN ? EXIT_NO : EXIT_YES);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct assess_job q;
    int status = EXIT_TROUBLE;

    assess_job_init(&q);
    if (read_request(&q, cli, argc, argv) &&
        find_head(&q.head, q.head_name, q.mounted, &cli->err) == CC_OK && assess_find(&q, cli) &&
        assess_make_budget(&q, &cli->err) && write_profile(&q, cli))
        status = write_assess(cli, &q);
    assess_job_clear(&q);
    return status;
}

const struct command cmd_assess = {
    .name = "assess",
    .operands = "FILE",
    .options = assess_tables,
    .run = run_command,
    .summary = "measurements of a head: what they say, and whether it is good enough",
    .about = "Reads runout, indexed positions, clamp, push-pull and footstock readings (docs/assess.md has the\n"
             "format). With --radius and --divisions, adds up what each does to the work; with a tolerance, says\n"
             "whether that will do and what helps most.\n",
    .examples = "  crankcard assess bench.csv\n"
                "  crankcard assess bench.csv --radius 30 --divisions 57 --tolerance 0.02mm\n"
                "  crankcard assess bench.csv --radius 30 --divisions 60 --class 9 --module 1 --write my-head.ini\n",
};
