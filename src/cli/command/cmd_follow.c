/* cmd_follow.c: follow a job at the machine, and the jobs that are kept. */
#define _POSIX_C_SOURCE 200809L
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/shell_words.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"
#include "cli/keep/follow.h"
#include "cli/keep/journal.h"
#include "cli/keep/kept_job.h"
#include "cli/keep/terminal.h"
#include "cli/out/words.h"

struct follow_options {
    bool resume, list, ascii;
    const char *forget, *salvage;   /* a job */
};

static const struct option_row follow_options[] = {
    { TO_SWITCH(struct follow_options, resume),
      0, "resume", NULL, "go on with the job named, or with the only one that is not done" },
    { TO_SWITCH(struct follow_options, list), 0, "list", NULL, "the jobs that are kept, and where each stands" },
    { TO_TEXT(struct follow_options, forget), 0, "forget", "JOB", "drop the journal of a job" },
    { TO_TEXT(struct follow_options, salvage),
      0, "salvage", "JOB", "go on with what is good of a damaged journal; the damaged one is kept beside it" },
    { TO_SWITCH(struct follow_options, ascii), 0, "ascii", NULL, "7-bit characters" },
    OPTIONS_END
};

#define NOT_STEPS "is not for follow, which shows one step at a time"
#define NOT_FILES "is not for follow, which writes to the screen"

/* What a request of follow does not take; one that was kept before may hold it still. */
#define FOLLOW_OPTIONS \
    OWN_OPTIONS(hand_options), HEAD_OPTIONS(struct job, choice), OWN_OPTIONS(plan_options), OWN_OPTIONS(radius_options), \
    PAGE_OPTIONS(struct job, output), UNIT_OPTIONS(struct job, output), { step_options, 0, NOT_STEPS }, { drawn_options, 0, NOT_STEPS }, \
    { drawing_options, 0, NOT_FILES }, { file_options, 0, NOT_FILES }, TABLES_END

/* Its own, then those of a request. */
static const struct option_table follow_tables[] = {
    OWN_OPTIONS(follow_options), OWN_OPTIONS(divide_options), MARKS_OPTIONS(struct job, marks), OWN_OPTIONS(block_options),
    OWN_OPTIONS(helix_options), FOLLOW_OPTIONS
};
static const struct option_table follow_angles_tables[] = { OWN_OPTIONS(angles_options), OWN_OPTIONS(helix_options), FOLLOW_OPTIONS };
static const struct option_table follow_flats_tables[] = { FLATS_OPTIONS(struct job, flats), FOLLOW_OPTIONS };
static const struct request_tables follow_requests = { follow_tables + 1, follow_angles_tables, follow_flats_tables };

/* ---- opening ---- */

/* From words to a request. */
static int read_words(struct follow *follow, char **words, size_t count, const struct request_tables *tables)
{
    struct cli *cli = follow->cli;
    struct job *job = &follow->job;

    for (size_t i = 0; i < count; i++)
        if (strcmp(words[i], "-") == 0 || strcmp(words[i], "--file=-") == 0)
            return cli_trouble(cli, "'-': standard input is for the keys of follow: put the positions in a file");
    int status = job_read_any(job, cli, (int)count, words, tables);
    shell_words_join(follow->title, sizeof follow->title, words, count);
    return status;
}

static int run_to_the_end(struct follow *follow, enum follow_stage stage)
{
    struct cli *cli = follow->cli;

    follow_begin(follow, stage);
    if (terminal_usable())
        follow_screen(follow);
    else
        follow_lines(follow);
    follow_end(follow);
    if (follow->unsaved)
        return cli_trouble(cli, "the last change was not saved; the place is as the journal has it: step %" PRIu64
                           " comes next", follow->journal.next);
    return EXIT_YES;
}

static int create(struct follow *follow, char **words, size_t count)
{
    int status = job_plan(&follow->job, follow->cli);

    if (status != EXIT_YES)
        return status;
    char *head = kept_head_text(&follow->job.head), plan[3 * WORDS];
    kept_plan_line(plan, sizeof plan, &follow->job);
    enum cc_status s = journal_create(&follow->journal, words, count, head, plan, follow->job.plan.steps, &follow->cli->err);
    free(head);
    if (s != CC_OK)
        return EXIT_TROUBLE;
    if (!follow->job.plan.within)
        snprintf(follow->message, sizeof follow->message, "NOT WITHIN TOLERANCE: the card says by how much");
    return run_to_the_end(follow, FOLLOW_AT_WORK);
}

/* What was dropped of the journal's end. */
static void say_tail(struct follow *follow)
{
    size_t used = strlen(follow->message);

    if (follow->journal.tail != JOURNAL_WHOLE)
        snprintf(follow->message + used, sizeof follow->message - used,
                 "%sThe journal's last line %s, and is dropped. Step %" PRIu64 " may have been made: LOOK at the work.",
                 used > 0 ? " " : "", follow->journal.tail == JOURNAL_TORN ? "is not whole, by a power cut perhaps"
                                                                         : "does not agree with its checksum",
                 follow->journal.next);
}

/* The journal is open: go on with it, after a yes to what must be seen. */
static int go_on(struct follow *follow)
{
    struct cli *cli = follow->cli;
    int status = kept_plan(&follow->job, cli, cli->out, &follow->journal, follow->message, sizeof follow->message);

    if (status != EXIT_YES)
        return status;
    say_tail(follow);
    return run_to_the_end(follow, FOLLOW_OFFER);
}

static int start(struct follow *follow, char **words, size_t count)
{
    char name[JOURNAL_NAME];
    struct cc_error err;
    int status = read_words(follow, words, count, &follow_requests);

    if (status != EXIT_YES)
        return status;
    journal_name(name, words, count);
    enum cc_status s = journal_open(&follow->journal, name, true, &err);
    if (s == CC_ENOFIT) {
        journal_clear(&follow->journal);
        return create(follow, words, count);
    }
    if (s != CC_OK) {
        follow->cli->err = err;
        return EXIT_TROUBLE;
    }
    return go_on(follow);
}

static int resume(struct follow *follow, const char *name, bool salvage)
{
    struct cli *cli = follow->cli;
    struct journal *journal = &follow->journal;
    char *kept = NULL;
    enum cc_status s = salvage ? journal_salvage(journal, name, &kept, &cli->err) : journal_open(journal, name, true, &cli->err);

    if (salvage && s == CC_OK)
        snprintf(follow->message, sizeof follow->message, "Salvaged up to step %" PRIu64 ", which comes next. What was done "
                 "after that is not known: LOOK at the work. The damaged journal is '%.160s'.", journal->next, kept);
    free(kept);
    if (s != CC_OK)
        return cli_status(s);
    int here = kept_go_there(journal);
    int status = read_words(follow, journal->words, journal->word_count, &all_tables);
    if (status == EXIT_YES)
        status = go_on(follow);
    kept_come_back(here);
    return status;
}

static int with_follow(struct cli *cli, char **words, size_t count, const char *name, bool salvage, bool ascii)
{
    struct follow follow = { .cli = cli };

    job_init(&follow.job, "divide");
    follow.job.output.ascii = ascii;
    journal_init(&follow.journal);
    int status = name != NULL ? resume(&follow, name, salvage) : start(&follow, words, count);
    job_clear(&follow.job);
    journal_clear(&follow.journal);
    return status;
}

/* ---- the jobs that are kept ---- */

static void list_job(FILE *out, const char *name)
{
    struct journal journal;
    struct cc_error err;
    char title[200], open[JOURNAL_ROWS];

    journal_init(&journal);
    if (journal_open(&journal, name, false, &err) != CC_OK) {
        fprintf(out, "%s\n  %s\n", name, err.text);
    } else {
        shell_words_join(title, sizeof title, journal.words, journal.word_count);
        journal_rows_words(open, sizeof open, &journal, 0, journal_passed(&journal));
        if (journal_done(&journal))
            fprintf(out, "%s\n  %s: done, %" PRIu64 " steps\n", name, title, journal.steps);
        else if (journal.next > journal.steps)
            fprintf(out, "%s\n  %s: not done, the end of %" PRIu64 " steps is reached\n", name, title, journal.steps);
        else
            fprintf(out, "%s\n  %s: step %" PRIu64 " of %" PRIu64 " comes next\n", name, title, journal.next,
                    journal.steps);
        if (open[0] != '\0')
            fprintf(out, "  open: %s\n", open);
    }
    journal_clear(&journal);
}

static int list_jobs(struct cli *cli)
{
    char **names;
    size_t count;

    if (journal_names(&names, &count, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    for (size_t i = 0; i < count; i++)
        list_job(cli->out, names[i]);
    if (count == 0)
        fprintf(cli->out, "no jobs are kept\n");
    journal_free_names(names, count);
    return EXIT_YES;
}

static int forget_job(struct cli *cli, const char *given)
{
    char name[JOURNAL_NAME];
    int status = kept_choose(name, cli, given, KEPT_NAME);

    if (status != EXIT_YES)
        return status;
    status = cli_status(journal_forget(name, &cli->err));
    if (status == EXIT_YES)
        fprintf(cli->out, "forgotten: %s\n", name);
    return status;
}

/* ---- the command ---- */

/* rest with the word "divide" in front, where it begins with a count or an option. */
static char **whole_request(size_t *count, const struct cli *cli, char **rest, size_t n)
{
    size_t extra = n > 0 && command_find(cli->commands, rest[0]) != NULL ? 0 : 1;
    char **words = memory_get((n + 1) * sizeof *words);
    static char divide[] = "divide";

    words[0] = divide;
    for (size_t i = 0; i < n; i++)
        words[i + extra] = rest[i];
    *count = n + extra;
    return words;
}

static int run(struct cli *cli, const struct follow_options *own, char **rest, size_t n)
{
    char name[JOURNAL_NAME];
    size_t count;
    int modes = own->resume + own->list + (own->forget != NULL) + (own->salvage != NULL);

    if (modes > 1)
        return cli_trouble(cli, "one of --resume, --list, --forget and --salvage at a time");
    if (modes > 0 && !own->resume && n > 0)
        return cli_trouble(cli, "'%.40s': --list, --forget and --salvage take no request", rest[0]);
    if (own->list)
        return list_jobs(cli);
    if (own->forget != NULL)
        return forget_job(cli, own->forget);
    if (own->salvage != NULL) {
        int status = kept_choose(name, cli, own->salvage, KEPT_NAME);
        return status == EXIT_YES ? with_follow(cli, NULL, 0, name, true, own->ascii) : status;
    }
    if (own->resume) {
        if (n > 1)
            return cli_trouble(cli, "'%.40s' is one operand too many: --resume takes one job", rest[1]);
        int status = kept_choose(name, cli, n > 0 ? rest[0] : NULL, KEPT_BEGINNING);
        return status == EXIT_YES ? with_follow(cli, NULL, 0, name, false, own->ascii) : status;
    }
    if (n == 0)
        return cli_trouble(cli, "what is to be followed is missing: crankcard follow 57, or --resume");
    char **words = whole_request(&count, cli, rest, n);
    int status = with_follow(cli, words, count, NULL, false, own->ascii);
    free(words);
    return status;
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct follow_options own = { .resume = false };
    char **rest = memory_get(((size_t)argc + 1) * sizeof *rest);
    int n = args_read_own(rest, &own, follow_options, argc, argv, &cli->err);
    int status = n >= 0 ? run(cli, &own, rest, (size_t)n) : EXIT_TROUBLE;

    free(rest);
    return status;
}

const struct command cmd_follow = {
    .name = "follow",
    .operands = "REQUEST",
    .options = follow_tables,
    .run = run_command,
    .summary = "keep the place at the machine: one movement at a time",
    .about = "REQUEST is what divide, angles or flats takes: follow 57, follow angles 0 30 75. Enter or space: the movement\n"
             "is made and cut; b: one back; g N: go to step N (past some not made: c, they are cut already, or l, left\n"
             "for later); m: note a remark; q: leave, the place is kept. Every step is on the disk before the next is\n"
             "shown. Without a terminal, the same keys are read as lines.\n",
    .examples = "  crankcard follow 57 --head small-tilting-geared\n"
                "  crankcard follow --resume\n"
                "  crankcard follow --list\n",
};
