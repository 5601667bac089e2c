/*
 * cmd_gear.c: one gear, or the whole train of a job: blanks, cutters, and a card for each.
 *
 * Options that describe a gear stand on the command line, where they hold for every gear, or on a line
 * of the job file, where they hold for that gear; a line of options alone sets them for the
 * lines below it.
 */
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
#include "cli/base/files.h"
#include "cli/base/memory.h"
#include "cli/base/plain_text.h"
#include "cli/out/text.h"
#include "cli/subject/gear_job.h"

enum {
    OPT_MODULE = OPT_OWN, OPT_DP, OPT_PRESSURE_ANGLE, OPT_HELIX, OPT_HAND, OPT_BEVEL, OPT_SPUR, OPT_MATE,
    OPT_SHAFT_ANGLE, OPT_FACE, OPT_PROFILE_SHIFT, OPT_SPAN, OPT_PIN, OPT_NAME,
    OPT_FILE, OPT_CUTTERS, OPT_SCREW    /* these and all below OPT_OWN belong on the command line */
};

/* What describes one gear: these may stand in a job file too. */
static const struct option_row gear_options[] = {
    { OPT_MODULE, 0, "module", "MM", "module (of a helical gear the normal one)" },
    { OPT_DP, 0, "dp", "P", "diametral pitch, teeth to an inch of pitch diameter" },
    { OPT_PRESSURE_ANGLE, 0, "pressure-angle", "ANGLE", "14.5 or 20 degrees (default 20)" },
    { OPT_HELIX, 0, "helix", "ANGLE", "helical, at this angle to the axis" },
    { OPT_HAND, 0, "hand", "right|left", "hand of the helix (default right)" },
    { OPT_BEVEL, 0, "bevel", NULL, "bevel gear; needs --mate" },
    { OPT_SPUR, 0, "spur", NULL, "spur gear, where the lines above say something else" },
    { OPT_MATE, 0, "mate", "N", "teeth of the gear it runs with: meshing is checked" },
    { OPT_SHAFT_ANGLE, 0, "shaft-angle", "ANGLE", "between the shafts of bevel gears (default 90)" },
    { OPT_FACE, 0, "face", "LENGTH", "face width of a bevel gear (default a third of the cone)" },
    { OPT_PROFILE_SHIFT, 0, "profile-shift", "X", "in modules, outward (default 0)" },
    { OPT_SPAN, 0, "span", "K", "teeth to measure across (default the usual number)" },
    { OPT_PIN, 0, "pin", "LENGTH", "diameter of measuring pins (default 1.728 modules)" },
    { OPT_NAME, 0, "name", "TEXT", "what to call it on the sheet" },
    OPTIONS_END
};

static const struct option_row job_options[] = {
    { OPT_FILE, 0, "file", "FILE", "job file, a gear a line: TEETH and options as above; - is standard input" },
    { OPT_CUTTERS, 0, "cutters", "8|15", "cutter series: eight, or fifteen with half numbers (default 8)" },
    { OPT_SCREW, 's', "screw", "PITCH", "pitch of the table screw (5mm, 1/4in, 4tpi): finds the gears for a helix" },
    { OPT_TOLERANCE, 't', "tolerance", "ANGLE", "largest error of a position that will do" },
    OPTIONS_END
};

static const struct option_row *const gear_tables[] = { gear_options, job_options, head_options, output_options, NULL };

/* ---- one gear's options ---- */

/* The gear being described: defaults, then what its own line or the command line says. */
struct typed_gear {
    struct gear_item item;
    enum cc_unit unit;
    bool has_pitch;         /* a module or a diametral pitch is known */
    bool has_shaft_angle;
    /* the option this line gave, else 0: two of them on one line are refused, one of a line above is overruled */
    int pitch_option;       /* OPT_MODULE or OPT_DP */
    int kind_option;        /* OPT_HELIX, OPT_BEVEL or OPT_SPUR */
};

static bool take_pitch(struct typed_gear *w, struct args *args, struct cc_error *err)
{
    mpq_t value;
    enum cc_status s;

    if (w->pitch_option != 0 && w->pitch_option != args->id) {
        cc_fail(err, CC_EPARSE, "give --module or --dp, not both");
        return false;
    }
    mpq_init(value);
    s = cc_rational_parse(value, args->text, err);
    if (s == CC_OK && args->id == OPT_DP)
        s = cc_module_of_pitch(w->item.ask.module, value, err);
    else if (s == CC_OK && mpq_sgn(value) <= 0)
        s = cc_fail(err, CC_EDOM, "'%.40s': a module must be more than 0", args->text);
    else if (s == CC_OK)
        mpq_set(w->item.ask.module, value);
    mpq_clear(value);
    w->pitch_option = args->id;
    w->item.by_pitch = args->id == OPT_DP;
    w->has_pitch = true;
    return blame(s, err, "--%s", args->row->name) == CC_OK;
}

static bool take_hand(struct typed_gear *w, const char *text, struct cc_error *err)
{
    if (strcmp(text, "right") != 0 && strcmp(text, "left") != 0) {
        cc_fail(err, CC_EPARSE, "--hand: '%.40s' is not a hand: right or left", text);
        return false;
    }
    w->item.hand = text[0] == 'r' ? CC_RIGHT_HAND : CC_LEFT_HAND;
    w->item.has_hand = true;
    return true;
}

static bool take_name(struct typed_gear *w, const char *text, struct cc_error *err)
{
    for (size_t i = 0, n; text[i] != '\0'; i += n) {
        n = plain_character(text + i);
        if (n == 0) {
            cc_fail(err, CC_EPARSE, "--name: a name is printable UTF-8 text; byte %zu is not", i + 1);
            return false;
        }
    }
    free(w->item.name);
    w->item.name = memory_get(strlen(text) + 1);
    strcpy(w->item.name, text);
    return true;
}

/* Take the kind of gear; what lines above gave for another kind is dropped. */
static bool take_kind(struct typed_gear *w, int option, struct cc_error *err)
{
    static const enum cc_gear_kind kinds[] = { CC_GEAR_HELICAL, CC_GEAR_BEVEL, CC_GEAR_SPUR };
    struct cc_gear_request *ask = &w->item.ask;
    enum cc_gear_kind kind = kinds[option == OPT_HELIX ? 0 : option == OPT_BEVEL ? 1 : 2];

    if (w->kind_option != 0 && w->kind_option != option) {
        cc_fail(err, CC_EPARSE, "give one of --helix, --bevel and --spur");
        return false;
    }
    w->kind_option = option;
    if (kind == ask->kind)
        return true;
    if (ask->kind == CC_GEAR_HELICAL) {
        mpq_set_ui(ask->helix, 0, 1);
        w->item.hand = CC_RIGHT_HAND;
        w->item.has_hand = false;
    } else if (ask->kind == CC_GEAR_BEVEL) {
        mpq_set_ui(ask->face, 0, 1);
        w->has_shaft_angle = false;
        ask->mate = 0;
    }
    ask->kind = kind;
    return true;
}

/* Take one of gear_options. False with err filled for a bad value. */
static bool take_gear_option(struct typed_gear *w, struct args *args, struct cc_error *err)
{
    struct cc_gear_request *ask = &w->item.ask;

    switch (args->id) {
    case OPT_MODULE:
    case OPT_DP:
        return take_pitch(w, args, err);
    case OPT_PRESSURE_ANGLE:
        return option_angle(ask->pressure_angle, args, err);
    case OPT_HELIX:
        return take_kind(w, args->id, err) && option_angle(ask->helix, args, err);
    case OPT_HAND:
        return take_hand(w, args->text, err);
    case OPT_BEVEL:
    case OPT_SPUR:
        return take_kind(w, args->id, err);
    case OPT_MATE:
        return value_number(&ask->mate, args->text, "--mate", 1, CC_MAX_GEAR_TEETH, err);
    case OPT_SHAFT_ANGLE:
        w->has_shaft_angle = true;
        return option_angle(ask->shaft_angle, args, err);
    case OPT_FACE:
        return option_size(ask->face, args, w->unit, err);
    case OPT_PROFILE_SHIFT:
        return blame(cc_rational_parse(ask->profile_shift, args->text, err), err, "--%s", args->row->name) == CC_OK;
    case OPT_SPAN:
        return value_number(&ask->span, args->text, "--span", 2, CC_MAX_GEAR_TEETH, err);
    case OPT_PIN:
        return option_size(ask->pin, args, w->unit, err);
    default:
        return take_name(w, args->text, err);
    }
}

static bool take_teeth(struct typed_gear *w, const char *text, struct cc_error *err)
{
    return value_number(&w->item.ask.teeth, text, "teeth", 1, CC_MAX_GEAR_TEETH, err);
}

/* One gear, as it stands in w, to the end of the job, computed. */
static enum cc_status add_gear(struct gear_job *job, const struct typed_gear *w, struct cc_error *err)
{
    if (!w->has_pitch)
        return cc_fail(err, CC_EPARSE, "%lu teeth of what size? say --module MM or --dp P",
                       w->item.ask.teeth);
    if (w->item.has_hand && w->item.ask.kind != CC_GEAR_HELICAL)
        return cc_fail(err, CC_EPARSE, "--hand needs --helix");
    if (w->has_shaft_angle && w->item.ask.kind != CC_GEAR_BEVEL)
        return cc_fail(err, CC_EPARSE, "--shaft-angle needs --bevel");
    struct gear_item *item = gear_job_add(job, &w->item);
    return blame(cc_gear_compute(&item->gear, &item->ask, err), err, "%lu teeth", w->item.ask.teeth);
}

/* ---- the job file ---- */

enum { MAX_WORDS = 60 };

/*
 * The word that begins at *from, in place; quotes ("14 1/2") hold it together. Returns where it begins, *from behind
 * its end; NULL with err filled where a quote is not closed.
 */
static char *take_word(char **from, struct cc_error *err)
{
    char *p = *from, *to = p, quote = '\0';

    for (; *p != '\0' && (quote != '\0' || strchr(" \t\r", *p) == NULL); p++) {
        if (quote == '\0' && (*p == '"' || *p == '\''))
            quote = *p;
        else if (*p == quote)
            quote = '\0';
        else
            *to++ = *p;
    }
    if (quote != '\0') {
        cc_fail(err, CC_EPARSE, "a quote %c is not closed", quote);
        return NULL;
    }
    char *word = *from;
    *from = *p != '\0' ? p + 1 : p;
    *to = '\0';
    return word;
}

/* Split a line at blanks, in place; '#' begins a comment. */
static bool split_line(char **words, int *count, char *line, struct cc_error *err)
{
    for (*count = 0;; (*count)++) {
        line += strspn(line, " \t\r");
        if (*line == '\0' || *line == '#')
            return true;
        if (*count == MAX_WORDS) {
            cc_fail(err, CC_ELIMIT, "more than %d words on a line", MAX_WORDS);
            return false;
        }
        words[*count] = take_word(&line, err);
        if (words[*count] == NULL)
            return false;
    }
}

/* One line: a gear with its own options, or options alone, which stay for the lines below. */
static enum cc_status read_line(struct gear_job *job, struct typed_gear *defaults, char *line,
                                struct cc_error *err)
{
    char *words[MAX_WORDS];
    int count;
    bool is_gear = false, good = true;
    struct typed_gear own;
    struct args args;
    enum cc_status s = CC_OK;

    if (!split_line(words, &count, line, err))
        return err->status;
    own = *defaults;
    own.pitch_option = own.kind_option = 0;
    gear_item_copy(&own.item, &defaults->item);
    args_init(&args, count, words, gear_tables);
    for (enum arg_kind kind; good && (kind = args_next(&args, err)) != ARG_END;) {
        if (kind == ARG_BAD) {
            good = false;
        } else if (kind == ARG_OPTION && (args.id < OPT_OWN || args.id >= OPT_FILE)) {
            cc_fail(err, CC_EPARSE, "--%s belongs on the command line", args.row->name);
            good = false;
        } else if (kind == ARG_OPTION) {
            good = take_gear_option(&own, &args, err);
        } else if (is_gear) {
            cc_fail(err, CC_EPARSE, "'%.40s': one gear a line, then its options", args.text);
            good = false;
        } else {
            is_gear = true;
            good = take_teeth(&own, args.text, err);
        }
    }
    if (!good)
        s = err->status;
    else if (is_gear)
        s = add_gear(job, &own, err);
    if (s == CC_OK && !is_gear) {
        struct typed_gear old = *defaults;
        *defaults = own;
        own = old;
    }
    gear_item_clear(&own.item);
    return s;
}

static const char *file_name(const char *path)
{
    return strcmp(path, "-") == 0 ? "standard input" : path;
}

static enum cc_status read_job(struct gear_job *job, struct typed_gear *defaults, const char *path, FILE *in,
                               struct cc_error *err)
{
    char *text, *line, *next;
    size_t length;
    unsigned long number = 0;
    enum cc_status s = read_file(&text, &length, path, in, err);

    if (s != CC_OK)
        return s;
    if (strlen(text) != length)
        s = cc_fail(err, CC_EPARSE, "'%.100s' is not a text file", path);
    for (line = text; s == CC_OK && *line != '\0'; line = next) {
        size_t end = strcspn(line, "\n");
        next = line + end + (line[end] == '\n');
        line[end] = '\0';
        number++;
        s = blame(read_line(job, defaults, line, err), err, "%.100s:%lu", file_name(path), number);
    }
    free(text);
    return s;
}

/* ---- the command ---- */

struct arguments {
    struct typed_gear words;    /* what holds for every gear */
    const char **teeth;         /* operands */
    size_t n;
    const char *file, *head, *mounted;
};

static bool take_job_option(struct arguments *all, struct gear_job *job, struct output *output,
                            struct args *args, struct cc_error *err)
{
    switch (args->id) {
    case OPT_FILE:
        all->file = args->text;
        return true;
    case OPT_CUTTERS:
        if (strcmp(args->text, "8") != 0 && strcmp(args->text, "15") != 0) {
            cc_fail(err, CC_EPARSE, "--cutters: '%.40s' is not a series: 8 or 15", args->text);
            return false;
        }
        job->series = args->text[0] == '8' ? CC_CUTTERS_EIGHT : CC_CUTTERS_FIFTEEN;
        return true;
    case OPT_SCREW:
        return blame(cc_pitch_parse(job->screw, args->text, all->words.unit, err), err, "--screw") == CC_OK;
    case OPT_TOLERANCE:
        job->has_tolerance = true;
        job->tolerance_text = args->text;
        if (!option_angle(job->tolerance, args, err))
            return false;
        if (mpq_sgn(job->tolerance) < 0)
            cc_fail(err, CC_EDOM, "--tolerance: '%.40s' must not be negative", args->text);
        return mpq_sgn(job->tolerance) >= 0;
    default:
        if (args->id >= OPT_OWN)
            return take_gear_option(&all->words, args, err);
        return head_option(&all->head, &all->mounted, args->id, args->text) ||
               output_option(output, args->id, args->text, err);
    }
}

static int read_arguments(struct arguments *all, struct gear_job *job, struct output *output,
                          struct cli *cli, int argc, char **argv)
{
    struct args args;
    struct cc_error ignored;

    /* Bad words are found by the second reading. */
    (void)output_units_first(output, argc, argv, gear_tables, &ignored);
    all->words.unit = output->unit;
    args_init(&args, argc, argv, gear_tables);
    for (enum arg_kind kind; (kind = args_next(&args, &cli->err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return EXIT_TROUBLE;
        if (kind == ARG_OPERAND)
            all->teeth[all->n++] = args.text;
        else if (!take_job_option(all, job, output, &args, &cli->err))
            return EXIT_TROUBLE;
    }
    if (all->n == 0 && all->file == NULL)
        return cli_trouble(cli, "how many teeth? gear N --module M, or gear --file FILE");
    if (cli->in_batch && all->file != NULL && strcmp(all->file, "-") == 0)
        return cli_trouble(cli, "--file: a batch line cannot read standard input: name a file");
    if (output->format == FORMAT_SVG)
        return cli_trouble(cli, "--format: gear writes card, csv, tsv or jsonl");
    return EXIT_YES;
}

static int read_gears(struct arguments *all, struct gear_job *job, struct cli *cli)
{
    for (size_t i = 0; i < all->n; i++) {
        if (!take_teeth(&all->words, all->teeth[i], &cli->err) || add_gear(job, &all->words, &cli->err) != CC_OK)
            return EXIT_TROUBLE;
    }
    if (all->file != NULL && read_job(job, &all->words, all->file, cli->in, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    if (job->n == 0)
        return cli_trouble(cli, "%.100s names no gear: a gear is a line that begins with TEETH",
                           file_name(all->file));
    return EXIT_YES;
}

/* 1 where a gear has no cutter, does not mesh, cannot be tilted or geared for, or has no plan (within an asked tolerance). */
static int answer_status(const struct gear_job *job)
{
    for (size_t i = 0; i < job->n; i++) {
        const struct gear_item *item = &job->at[i];
        if (item->gear.remarks & CC_GEAR_NOT_SERVED || !item->has_plan || !gear_can_tilt(job, item)
            || item->no_gearing[0] != '\0')
            return EXIT_NO;
        if (job->has_tolerance && !(item->plan.within && item->plan.holds))
            return EXIT_NO;
    }
    return EXIT_YES;
}

static int write_job(struct cli *cli, struct output *output, const struct gear_job *job)
{
    int status = output_begin(output, cli);

    if (status != EXIT_YES)
        return status;
    if (output->format == FORMAT_CARD) {
        struct text text;
        text_init(&text, cli->out, output);
        gear_write_card(&text, job, output->unit);
        text_end(&text);
    } else {
        gear_write_records(cli->out, job, output->format, output->unit);
    }
    return output_end(output, cli, answer_status(job));
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct arguments all = { .n = 0 };
    struct gear_job job;
    struct output output;
    int status;

    gear_job_init(&job);
    output_init(&output);
    gear_item_init(&all.words.item);
    all.teeth = memory_get(((size_t)argc + 1) * sizeof *all.teeth);
    if (cli->in_batch)
        output.format = FORMAT_JSONL;
    status = read_arguments(&all, &job, &output, cli, argc, argv);
    if (status == EXIT_YES)
        status = read_gears(&all, &job, cli);
    put_head_words(job.head_words, sizeof job.head_words, all.head, all.mounted);
    if (status == EXIT_YES)
        status = cli_status(find_head(&job.head, all.head, all.mounted, &cli->err));
    if (status == EXIT_YES)
        status = cli_status(gear_job_plan(&job, &cli->err));
    if (status == EXIT_YES)
        status = write_job(cli, &output, &job);
    free(all.teeth);
    gear_item_clear(&all.words.item);
    gear_job_clear(&job);
    return status;
}

const struct command cmd_gear = {
    .name = "gear",
    .operands = "N...",
    .options = gear_tables,
    .run = run_command,
    .summary = "a gear or a train of gears: blanks, cutters, and a card for each",
    .about = "Sizes of the blanks, the cutters to fetch (each once), and for every gear a short card: set-up,\n"
             "movement and measurements, in the order that changes plates least. Spur, --helix or --bevel.\n"
             "In a job file a line is TEETH and options; a line of options alone holds for the lines below.\n",
    .examples = "  crankcard gear 20 24 30 127 --module 1\n"
                "  crankcard gear 24 --dp 10 --pressure-angle 14.5 --helix 15 --hand left --screw 4tpi\n"
                "  crankcard gear 18 --bevel --mate 36 --module 2\n"
                "  crankcard gear --file train.gears --cutters 15\n",
};
