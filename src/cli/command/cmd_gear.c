/*
 * cmd_gear.c: one gear, or the whole train of a job: blanks, cutters, and a card for each.
 *
 * Options that describe a gear stand on the command line, where they hold for every gear, or on a line
 * of the job file, where they hold for that gear; a line of options alone sets them for the
 * lines below it.
 */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/ranges.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"
#include "cli/base/plain_text.h"
#include "cli/job/job.h"
#include "cli/out/text.h"
#include "cli/subject/gear_job.h"

#define MOST_GEARS 1000         /* of the command line */

/* ---- one gear's options ---- */

/* The gear being described: defaults, then what its own line or the command line says. */
struct typed_gear {
    struct gear_item item;
    struct output output;
    bool has_pitch;         /* a module or a diametral pitch is known */
    bool has_shaft_angle;
    /* the option this line gave, or NULL: two of them on one line are refused, one of a line above is overruled */
    const struct option_row *pitch_option;      /* --module or --dp */
    const struct option_row *kind_option;       /* --helix, --bevel or --spur */
    bool has_method;        /* this line gave one; its first takes the place of those of the lines above */
};

static bool both_pitches(struct typed_gear *w, const struct option *option, struct cc_error *err)
{
    bool both = w->pitch_option != NULL && w->pitch_option != option->row;

    if (both)
        cc_fail(err, CC_EPARSE, "give --module or --dp, not both");
    w->pitch_option = option->row;
    w->has_pitch = true;
    return both;
}

static bool take_gear_module(void *place, const struct option *option, struct cc_error *err)
{
    struct typed_gear *w = place;

    w->item.by_pitch = false;
    return !both_pitches(w, option, err) && take_module(&w->item.ask.module, option, err);
}

static bool take_diametral_pitch(void *place, const struct option *option, struct cc_error *err)
{
    struct typed_gear *w = place;
    mpq_t pitch;

    if (both_pitches(w, option, err))
        return false;
    mpq_init(pitch);
    bool good = take_number(&pitch, option, err) &&
                blame(cc_module_of_pitch(w->item.ask.module, pitch, err), err, "--dp") == CC_OK;
    mpq_clear(pitch);
    w->item.by_pitch = true;
    return good;
}

static bool take_name(void *place, const struct option *option, struct cc_error *err)
{
    struct typed_gear *w = place;
    const char *text = option->text;

    for (size_t i = 0, n; text[i] != '\0'; i += n) {
        n = plain_character(text + i);
        if (n == 0) {
            cc_fail(err, CC_EPARSE, "--name: a name is printable UTF-8 text; byte %zu is not", i + 1);
            return false;
        }
    }
    free(w->item.name);
    w->item.name = memory_copy(text);
    return true;
}

/* Take the kind of gear; what lines above gave for another kind is dropped. */
static bool is_of_kind(struct typed_gear *w, enum cc_gear_kind kind, const struct option *option, struct cc_error *err)
{
    struct cc_gear_request *ask = &w->item.ask;

    if (w->kind_option != NULL && w->kind_option != option->row) {
        cc_fail(err, CC_EPARSE, "give one of --helix, --bevel and --spur");
        return false;
    }
    w->kind_option = option->row;
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

static bool take_helix(void *place, const struct option *option, struct cc_error *err)
{
    struct typed_gear *w = place;
    return is_of_kind(w, CC_GEAR_HELICAL, option, err) && take_angle(&w->item.ask.helix, option, err);
}

static bool take_bevel(void *place, const struct option *option, struct cc_error *err)
{
    return is_of_kind(place, CC_GEAR_BEVEL, option, err);
}

static bool take_spur(void *place, const struct option *option, struct cc_error *err)
{
    return is_of_kind(place, CC_GEAR_SPUR, option, err);
}

static bool take_gear_method(void *place, const struct option *option, struct cc_error *err)
{
    struct typed_gear *w = place;

    if (!w->has_method)
        w->item.work.divide.methods = CC_ALL_METHODS;
    w->has_method = true;
    return job_add_method(&w->item.work.divide.methods, option, err);
}

static const char *const hands[] = { "right", "left", NULL };

/* What describes one gear: these may stand in a job file too. The kind comes before what belongs to one kind. */
static const struct option_row gear_options[] = {
    { TO_TAKER(take_gear_module, ABOVE_ZERO), 0, "module", "MM", "module (of a helical gear the normal one)" },
    { TO_TAKER(take_diametral_pitch), 0, "dp", "P", "diametral pitch, teeth to an inch of pitch diameter" },
    { TO_ANGLE(struct typed_gear, item.ask.pressure_angle, ANY_SIGN),
      0, "pressure-angle", "ANGLE", "14.5 or 20 degrees (default 20)" },
    { TO_TAKER(take_helix), 0, "helix", "ANGLE", "helical, at this angle to the axis" },
    { TO_TAKER(take_bevel), 0, "bevel", NULL, "bevel gear; needs --mate" },
    { TO_TAKER(take_spur), 0, "spur", NULL, "spur gear, where the lines above say something else" },
    { TO_WORD(struct typed_gear, item.hand, hands, CC_RIGHT_HAND, GIVEN(struct typed_gear, item.has_hand)),
      0, "hand", "right|left", "hand of the helix (default right)" },
    { TO_COUNT(struct typed_gear, item.ask.mate, FROM(1, CC_MAX_GEAR_TEETH)),
      0, "mate", "N", "teeth of the gear it runs with: meshing is checked" },
    { TO_ANGLE(struct typed_gear, item.ask.shaft_angle, ANY_SIGN, GIVEN(struct typed_gear, has_shaft_angle)),
      0, "shaft-angle", "ANGLE", "between the shafts of bevel gears (default 90)" },
    { TO_LENGTH(struct typed_gear, item.ask.face, ABOVE_ZERO),
      0, "face", "LENGTH", "face width of a bevel gear (default a third of the cone)" },
    { TO_NUMBER(struct typed_gear, item.ask.profile_shift, ANY_SIGN),
      0, "profile-shift", "X", "in modules, outward (default 0)" },
    { TO_COUNT(struct typed_gear, item.ask.span, FROM(2, CC_MAX_GEAR_TEETH)),
      0, "span", "K", "teeth to measure across (default the usual number)" },
    { TO_LENGTH(struct typed_gear, item.ask.pin, ABOVE_ZERO),
      0, "pin", "LENGTH", "diameter of measuring pins (default 1.728 modules)" },
    { TO_TAKER(take_name), 0, "name", "TEXT", "what to call it on the sheet" },
    { TO_TAKER(take_gear_method),
      'm', "method", "NAME", "only this method (may be given again); direct is left out unless named here" },
    { TO_COUNT(struct typed_gear, item.work.divide.circle, FROM(CC_MIN_CIRCLE, CC_MAX_CIRCLE)),
      'c', "circle", "HOLES", "only settings that use this hole circle" },
    { TO_BIG_COUNT(struct typed_gear, item.work.divide.block), 'k', "block", "K", "index K divisions at a time" },
    { TO_NUMBER(struct typed_gear, item.work.divide.most_turns, ABOVE_ZERO),
      0, "most-turns", "TURNS", "crank turns in one movement, most, when going by blocks" },
    OPTIONS_END
};

struct arguments {
    struct typed_gear words;    /* what holds for every gear */
    struct gear_job job;
    struct ranges teeth;        /* operands */
    const char *file;
    struct head_choice choice;
};

static bool take_tolerance(void *place, const struct option *option, struct cc_error *err)
{
    struct arguments *all = place;

    all->job.tolerance_text = option->text;
    return take_angle(&all->job.tolerance, option, err);
}

static const char *const cutters[] = { "8", "15", NULL };

static const struct option_row job_options[] = {
    { TO_TEXT(struct arguments, file),
      0, "file", "FILE", "job file, a gear a line: TEETH and options as above; - is standard input" },
    { TO_WORD(struct arguments, job.series, cutters, CC_CUTTERS_EIGHT),
      0, "cutters", "8|15", "cutter series: eight, or fifteen with half numbers (default 8)" },
    { TO_PITCH(struct arguments, job.screw),
      's', "screw", "PITCH", "pitch of the table screw (5mm, 1/4in, 4tpi): finds the gears for a helix" },
    { TO_TAKER(take_tolerance, NOT_NEGATIVE, GIVEN(struct arguments, job.has_tolerance)),
      't', "tolerance", "ANGLE", "largest error of a position that will do" },
    OPTIONS_END
};

static const struct option_table gear_tables[] = {
    { gear_options, PLACE(struct arguments, words, struct typed_gear), NULL }, OWN_OPTIONS(job_options),
    HEAD_OPTIONS(struct arguments, choice), HTML_OPTIONS(struct arguments, words.output),
    OUTPUT_OPTIONS(struct arguments, words.output), UNIT_OPTIONS(struct arguments, words.output), TABLES_END
};

/* The same on a line of a job file; only the unit's place is looked at of the others. */
#define NOT_ON_A_LINE "belongs on the command line"
static const struct option_table line_tables[] = {
    OWN_OPTIONS(gear_options), { job_options, 0, NOT_ON_A_LINE }, { head_options, 0, NOT_ON_A_LINE },
    { mounted_options, 0, NOT_ON_A_LINE }, { format_options, 0, NOT_ON_A_LINE }, { page_options, 0, NOT_ON_A_LINE },
    { file_options, 0, NOT_ON_A_LINE },
    { unit_options, PLACE(struct typed_gear, output, struct output), NOT_ON_A_LINE }, TABLES_END
};

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
static char *cut_word(char **from, struct cc_error *err)
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
        words[*count] = cut_word(&line, err);
        if (words[*count] == NULL)
            return false;
    }
}

/* What a line says: its options, and the teeth of a gear, if it names one. */
static bool read_words(struct typed_gear *own, bool *is_gear, int count, char **words, struct cc_error *err)
{
    struct args args;
    bool good = args_read(&args, own, line_tables, count, words, err);

    *is_gear = args.n > 0;
    if (good && args.n > 1) {
        cc_fail(err, CC_EPARSE, "'%.40s': one gear a line, then its options", args.operand[1].text);
        good = false;
    }
    good = good && (!*is_gear || take_teeth(own, args.operand[0].text, err));
    args_clear(&args);
    return good;
}

/* One line: a gear with its own options, or options alone, which stay for the lines below. */
static enum cc_status read_line(struct gear_job *job, struct typed_gear *defaults, char *line,
                                struct cc_error *err)
{
    char *words[MAX_WORDS];
    int count;
    bool is_gear;
    struct typed_gear own;
    enum cc_status s = CC_OK;

    if (!split_line(words, &count, line, err))
        return err->status;
    own = *defaults;
    own.pitch_option = own.kind_option = NULL;
    own.has_method = false;
    gear_item_copy(&own.item, &defaults->item);
    if (!read_words(&own, &is_gear, count, words, err))
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

/* The words typed that are not teeth: with the teeth of one gear before them they ask for that gear alone. */
static void keep_options(struct arguments *all, const struct cli *cli, const struct args *args)
{
    struct gear_job *job = &all->job;

    job->words = memory_get(((size_t)cli->typed_count + 1) * sizeof *job->words);
    for (int i = 1; all->file == NULL && i < cli->typed_count; i++) {
        size_t k = 0;
        while (k < args->n && args->operand[k].text != cli->typed[i])
            k++;
        if (strcmp(cli->typed[i], "--") != 0 && k == args->n)
            job->words[job->word_count++] = cli->typed[i];
    }
}

static int read_arguments(struct arguments *all, struct cli *cli, int argc, char **argv)
{
    struct args args;
    bool good = args_read(&args, all, gear_tables, argc, argv, &cli->err);

    if (good)
        keep_options(all, cli, &args);
    for (size_t i = 0; good && i < args.n; i++)
        good = ranges_read(&all->teeth, args.operand[i].text, NULL, &cli->err);
    args_clear(&args);
    if (!good)
        return EXIT_TROUBLE;
    if (all->teeth.n == 0 && all->file == NULL)
        return cli_trouble(cli, "how many teeth? gear N --module M, or gear --file FILE");
    if (cli->in_batch && all->file != NULL && strcmp(all->file, "-") == 0)
        return cli_trouble(cli, "--file: a batch line cannot read standard input: name a file");
    return EXIT_YES;
}

/* The gears of a range of teeth. */
static enum cc_status add_range(struct arguments *all, const struct range *range, struct cc_error *err)
{
    unsigned long *teeth = &all->words.item.ask.teeth;
    enum cc_status s = CC_OK;

    if (range->last > CC_MAX_GEAR_TEETH)
        return cc_fail(err, CC_EDOM, "teeth: '%" PRIu64 "' is not a whole number from 1 to %d", range->last,
                       CC_MAX_GEAR_TEETH);
    if (range->last - range->first >= MOST_GEARS - all->job.n)
        return cc_fail(err, CC_ELIMIT, "more than %d gears", MOST_GEARS);
    for (*teeth = (unsigned long)range->first; s == CC_OK && *teeth <= range->last; ++*teeth)
        s = add_gear(&all->job, &all->words, err);
    return s;
}

static int read_gears(struct arguments *all, struct cli *cli)
{
    for (size_t i = 0; i < all->teeth.n; i++)
        if (add_range(all, &all->teeth.at[i], &cli->err) != CC_OK)
            return EXIT_TROUBLE;
    if (all->file != NULL && read_job(&all->job, &all->words, all->file, cli->in, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    if (all->job.n == 0)
        return cli_trouble(cli, "%.100s names no gear: a gear is a line that begins with TEETH",
                           file_name(all->file));
    return EXIT_YES;
}

/* 1 where a gear has no cutter, does not mesh, cannot be tilted or geared for, or has no plan (within an asked tolerance). */
static int answer_status(const struct gear_job *job)
{
    for (size_t i = 0; i < job->n; i++) {
        const struct gear_item *item = &job->at[i];
        if (item->gear.remarks & CC_GEAR_NOT_SERVED || !item->work.has_plan || !gear_can_tilt(job, item)
            || item->no_gearing[0] != '\0')
            return EXIT_NO;
        if (job->has_tolerance && !(item->work.plan.within && item->work.plan.holds))
            return EXIT_NO;
    }
    return EXIT_YES;
}

static int write_job(struct cli *cli, struct output *output, const struct gear_job *job)
{
    int status = output_begin(output, cli);

    if (status != EXIT_YES)
        return status;
    if (output_is_card(output)) {
        struct text text;
        text_init(&text, cli->out, output);
        gear_write_card(&text, job, output->unit);
        text_end(&text);
    } else {
        gear_write_records(cli->out, job, output);
    }
    return output_end(output, cli, answer_status(job));
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct arguments all = { .file = NULL };

    gear_job_init(&all.job);
    output_init(&all.words.output);
    gear_item_init(&all.words.item);
    ranges_init(&all.teeth);
    if (cli->in_batch)
        all.words.output.format = FORMAT_JSONL;
    int status = read_arguments(&all, cli, argc, argv);
    if (status == EXIT_YES)
        status = read_gears(&all, cli);
    put_head_words(all.job.head_words, sizeof all.job.head_words, all.choice.name, all.choice.mounted);
    if (status == EXIT_YES)
        status = cli_status(find_head(&all.job.head, all.choice.name, all.choice.mounted, &cli->err));
    if (status == EXIT_YES)
        status = cli_status(gear_job_plan(&all.job, &cli->err));
    if (status == EXIT_YES)
        status = write_job(cli, &all.words.output, &all.job);
    ranges_clear(&all.teeth);
    gear_item_clear(&all.words.item);
    free(all.job.words);
    gear_job_clear(&all.job);
    return status;
}

const struct command cmd_gear = {
    .name = "gear",
    .operands = "RANGE...",
    .options = gear_tables,
    .records = (const struct form *const[]){ &gear_form, NULL },
    .run = run_command,
    .summary = "a gear or a train of gears: blanks, cutters, and a card for each",
    .about = "RANGE is teeth as table takes them: 20, 12-20, 20,24,127. Sizes of the blanks, the cutters to fetch (each once), and for every gear a short card: set-up,\n"
             "movement and measurements, in the order that changes plates least. Spur, --helix or --bevel.\n"
             "In a job file a line is TEETH and options; a line of options alone holds for the lines below.\n",
    .examples = "  crankcard gear 20 24 30 127 --module 1\n"
                "  crankcard gear 24 --dp 10 --pressure-angle 14.5 --helix 15 --hand left --screw 4tpi\n"
                "  crankcard gear 18 --bevel --mate 36 --module 2\n"
                "  crankcard gear --file train.gears --cutters 15\n",
};
