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
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"
#include "cli/keep/follow.h"
#include "cli/keep/follow_parts.h"
#include "cli/keep/history.h"
#include "cli/keep/journal.h"
#include "cli/keep/kept_job.h"
#include "cli/keep/terminal.h"
#include "cli/out/words.h"

#define MOST_PASSES 20

struct follow_options {
    bool resume, list, any_key, ascii;
    const char *forget, *salvage, *record;      /* a job */
    const char *read_aloud;
    /* how a new job is gone through */
    bool ready, has_check_every;
    const char *pass[MOST_PASSES];
    struct journal_course course;               /* its passes are those of pass */
};

static bool take_pass(void *place, const struct option *option, struct cc_error *err);

static const struct option_row follow_options[] = {
    { TO_SWITCH(struct follow_options, resume),
      0, "resume", NULL, "go on with the job named, or with the only one that is not done" },
    { TO_SWITCH(struct follow_options, list), 0, "list", NULL, "the jobs that are kept, and where each stands" },
    { TO_TEXT(struct follow_options, forget), 0, "forget", "JOB", "drop the journal of a job" },
    { TO_TEXT(struct follow_options, salvage),
      0, "salvage", "JOB", "go on with what is good of a damaged journal; the damaged one is kept beside it" },
    { TO_TEXT(struct follow_options, record), 0, "record", "JOB", "what was made when, with --format jsonl for programs" },
    { TO_SWITCH(struct follow_options, ready), 0, "ready", NULL, "the head is set up and tried: begin with the first movement" },
    { TO_TAKER(take_pass), 0, "pass", "REMARK", "a pass round all positions, roughing or finishing, its depth; again for each one" },
    { TO_COUNT(struct follow_options, course.pieces, FROM(1, 1000000)), 0, "pieces", "COUNT", "so many pieces alike" },
    { TO_COUNT(struct follow_options, course.measure, FROM(0, INT64_MAX), GIVEN(struct follow_options, course.has_measure)),
      0, "measure-after", "STEP", "stop to measure when this step is made, in every pass" },
    { TO_COUNT(struct follow_options, course.check_every, FROM(0, INT64_MAX), GIVEN(struct follow_options, has_check_every)),
      0, "check-every", "STEPS", "look at head and work after so many steps (default: at quarters of the job; 0: never)" },
    { TO_SWITCH(struct follow_options, any_key), 0, "any-key", NULL, "a key that means nothing else confirms, as Enter does: for a pedal" },
    { TO_TEXT(struct follow_options, read_aloud),
      0, "read-aloud", "COMMAND", "each movement is a line on this program's standard input; no shell is asked" },
    { TO_SWITCH(struct follow_options, ascii), 0, "ascii", NULL, "7-bit characters" },
    OPTIONS_END
};

static bool take_pass(void *place, const struct option *option, struct cc_error *err)
{
    struct follow_options *own = place;

    if (option->text[0] == '\0' || strlen(option->text) > JOURNAL_NOTE)
        return cc_fail(err, CC_EPARSE, "--pass: a remark of 1 to %d bytes: 'roughing, 4 mm'", JOURNAL_NOTE) == CC_OK;
    if (own->course.pass_count == MOST_PASSES)
        return cc_fail(err, CC_EPARSE, "--pass: %d passes are the most", MOST_PASSES) == CC_OK;
    own->pass[own->course.pass_count++] = option->text;
    return true;
}

#define NOT_STEPS "is not for follow, which shows one step at a time"
#define NOT_FILES "is for follow --record: without it follow writes to the screen"

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

static int run_to_the_end(struct follow *follow, bool offer)
{
    struct cli *cli = follow->cli;

    follow_begin(follow, offer);
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

/* What was asked for of the course, with what is known now. */
static bool complete_course(struct journal_course *course, const struct follow *follow, const struct follow_options *own)
{
    const struct cc_plan *plan = &follow->job.plan;

    *course = own->course;
    course->passes = own->pass;
    course->closing = plan->has_closing;
    course->only_start = job_is_list(&follow->job);
    course->check_quarters = !own->has_check_every;
    if (course->has_measure && course->measure > plan->steps)
        cli_trouble(follow->cli, "--measure-after: step %" PRIu64 " is behind the last one, %" PRIu64, course->measure, plan->steps);
    return !course->has_measure || course->measure <= plan->steps;
}

static int create(struct follow *follow, char **words, size_t count, const struct follow_options *own)
{
    struct journal_course course;
    int status = job_plan(&follow->job, follow->cli);

    if (status != EXIT_YES)
        return status;
    if (!complete_course(&course, follow, own))
        return EXIT_TROUBLE;
    char *head = kept_head_text(&follow->job.head), plan[3 * WORDS];
    kept_plan_line(plan, sizeof plan, &follow->job);
    follow->pace = kept_pace(head, NULL);
    enum cc_status s = journal_create(&follow->journal, words, count, head, plan, follow->job.plan.steps, &course,
                                      &follow->cli->err);
    free(head);
    if (s == CC_OK && own->ready)
        s = journal_go_pass(&follow->journal, 1, NULL, &follow->cli->err);
    if (s != CC_OK)
        return EXIT_TROUBLE;
    if (!follow->job.plan.within)
        snprintf(follow->message, sizeof follow->message, "NOT WITHIN TOLERANCE: the card says by how much");
    return run_to_the_end(follow, false);
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
    follow->pace = kept_pace(follow->journal.head, follow->journal.name);
    say_tail(follow);
    return run_to_the_end(follow, true);
}

/* Whether what was asked for now of the course is what the job was begun with; what was not asked for is no other. */
static bool is_same_course(const struct journal *journal, const struct follow_options *own)
{
    const struct journal_course *is = &journal->course, *asked = &own->course;
    bool same = asked->pass_count == 0 || asked->pass_count == journal->planned;

    for (size_t i = 0; i < asked->pass_count && same; i++)
        same = journal->passes[i].text != NULL && strcmp(journal->passes[i].text, own->pass[i]) == 0;
    return same && (asked->pieces == 0 || asked->pieces == is->pieces) &&
           (!asked->has_measure || (is->has_measure && asked->measure == is->measure)) &&
           (!own->has_check_every || (!is->check_quarters && asked->check_every == is->check_every));
}

static int start(struct follow *follow, char **words, size_t count, const struct follow_options *own)
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
        return create(follow, words, count, own);
    }
    if (s != CC_OK) {
        follow->cli->err = err;
        return EXIT_TROUBLE;
    }
    if (own->ready && follow->journal.round == JOURNAL_SET_UP &&
        journal_go_pass(&follow->journal, 1, NULL, &follow->cli->err) != CC_OK)
        return EXIT_TROUBLE;
    if (!is_same_course(&follow->journal, own))
        snprintf(follow->message, sizeof follow->message, "Passes, pieces and checks are as when the job was begun.");
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

/* What recover is to be told: what was seen, and what the journal knows. */
struct told {
    char name[JOURNAL_NAME], step[24], right[24];
    bool has_right;
};

static void tell(struct told *told, const struct journal *journal)
{
    memcpy(told->name, journal->name, sizeof told->name);
    /* The closing movement that fell wrong is made, though it does not count. */
    snprintf(told->step, sizeof told->step, "%" PRIu64, journal->missed ? journal->next : journal->next > 0 ? journal->next - 1 : 0);
    snprintf(told->right, sizeof told->right, "%" PRIu64, journal->right);
    told->has_right = journal->has_right && journal->right < journal->next;
}

/* The place was lost: recover looks for it. The journal is closed by now. */
static int look_for_place(struct cli *cli, struct follow *follow, struct told *told)
{
    static char job[] = "--job", step[] = "--step", right[] = "--right", slips[] = "--slips", ascii[] = "--ascii";
    static char names[FOLLOW_SIGHTS][12] = { "--hole", "--hole2", "--dial", "--rim", "--reading", "--cuts" };
    char *argv[2 * FOLLOW_SIGHTS + 8], line[400];
    int argc = 0;

    argv[argc++] = job;
    argv[argc++] = told->name;
    argv[argc++] = step;
    argv[argc++] = told->step;
    if (told->has_right) {
        argv[argc++] = right;
        argv[argc++] = told->right;
    }
    for (unsigned i = 0; i < FOLLOW_SIGHTS; i++) {
        if (follow->seen[i][0] == '\0')
            continue;
        argv[argc++] = names[i];
        argv[argc++] = follow->seen[i];
    }
    argv[argc++] = slips;
    shell_words_join(line, sizeof line, argv, (size_t)argc);
    fprintf(cli->out, "crankcard recover %s\n\n", line);
    if (follow->job.output.ascii)
        argv[argc++] = ascii;
    return command_find(cli->commands, "recover")->run(cli, argc, argv);
}

static int with_follow(struct cli *cli, char **words, size_t count, const char *name, const struct follow_options *own)
{
    struct follow follow = { .cli = cli };
    struct told told;
    struct read_aloud aloud = { .process = 0 };

    if (own->read_aloud != NULL && !read_aloud_init(&aloud, own->read_aloud, &cli->err)) {
        read_aloud_clear(&aloud);
        (void)blame(CC_EPARSE, &cli->err, "--read-aloud");
        return EXIT_TROUBLE;
    }
    follow.any_key = own->any_key;
    follow.aloud = own->read_aloud != NULL ? &aloud : NULL;
    job_init(&follow.job, "divide");
    follow.job.output.ascii = own->ascii;
    journal_init(&follow.journal);
    int status = name != NULL ? resume(&follow, name, own->salvage != NULL) : start(&follow, words, count, own);
    read_aloud_clear(&aloud);
    tell(&told, &follow.journal);
    journal_clear(&follow.journal);
    if (status == EXIT_YES && follow.recover)
        status = look_for_place(cli, &follow, &told);
    job_clear(&follow.job);
    return status;
}

/* ---- the jobs that are kept ---- */

/* "step 4 of 12 comes next, 3 made", and in which round of which piece. */
static void list_place(FILE *out, const struct journal *journal)
{
    char round[JOURNAL_NOTE + 64];
    uint64_t made, all;

    journal_count(&made, &all, journal);
    follow_round_words(round, sizeof round, journal);
    if (journal->round == JOURNAL_SET_UP) {
        fprintf(out, "set-up, %" PRIu64 " item%s done, nothing cut", journal->set_up, journal->set_up == 1 ? "" : "s");
        return;
    }
    if (journal->round == JOURNAL_TRIAL && journal_round_done(journal)) {
        fprintf(out, "trial round done, nothing cut");
        return;
    }
    if (journal->next > journal->steps)
        fprintf(out, "not done, the end of %" PRIu64 " steps is reached, ", journal->steps);
    else
        fprintf(out, "step %" PRIu64 " of %" PRIu64 " comes next, ", journal->next, journal->steps);
    fprintf(out, "%" PRIu64 " of %" PRIu64 " %s", made, all, journal->round == JOURNAL_TRIAL ? "marked" : "made");
    if (journal->course.pieces > 0)
        fprintf(out, ", piece %" PRIu64 " of %" PRIu64, journal->piece, journal->course.pieces);
    fprintf(out, "%s%s", round[0] != '\0' ? ", " : "", round);
}

static void list_open(FILE *out, const struct journal *journal)
{
    char open[JOURNAL_ROWS];

    for (uint64_t pass = 1; pass <= journal->pass_count; pass++) {
        if (journal->round != JOURNAL_CUT && pass > 1)
            break;
        journal_open_words(open, sizeof open, journal, pass);
        if (open[0] != '\0' && journal->pass_count > 1)
            fprintf(out, "  open in pass %" PRIu64 ": %s\n", pass, open);
        else if (open[0] != '\0')
            fprintf(out, "  open: %s\n", open);
    }
}

static void list_job(FILE *out, const char *name)
{
    struct journal journal;
    struct cc_error err;
    char title[200];

    journal_init(&journal);
    if (journal_open(&journal, name, false, &err) != CC_OK) {
        fprintf(out, "%s\n  %s\n", name, err.text);
    } else {
        shell_words_join(title, sizeof title, journal.words, journal.word_count);
        fprintf(out, "%s\n  %s: ", name, title);
        if (journal_done(&journal))
            fprintf(out, "done, %" PRIu64 " step%s%s", journal.steps, journal.steps == 1 ? "" : "s", journal.course.pieces > 1 ? " of each piece" : "");
        else
            list_place(out, &journal);
        putc('\n', out);
        list_open(out, &journal);
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

/* ---- the record of a job ---- */

/* What record takes beside the job: how it is written, and where to. */
static const struct option_table record_tables[] = {
    FORMAT_OPTIONS(struct job, output), OUTPUT_OPTIONS(struct job, output), TABLES_END
};

static int write_record(struct cli *cli, const struct output *output, const struct journal *journal)
{
    struct history history;

    history_init(&history);
    history_read(&history, journal);
    if (output->format == FORMAT_CARD)
        history_card(cli->out, output, &history, journal);
    else
        history_records(cli->out, output, &history, journal);
    history_clear(&history);
    return EXIT_YES;
}

static int record_job(struct cli *cli, const char *given, char **rest, size_t n, bool ascii)
{
    char name[JOURNAL_NAME];
    const char *operand = NULL;
    struct journal journal;
    struct job job;

    job_init(&job, "divide");
    journal_init(&journal);
    bool good = args_read_one(&operand, "--record takes one job", &job, record_tables, (int)n, rest, &cli->err);
    int status = good ? EXIT_YES : EXIT_TROUBLE;
    if (status == EXIT_YES && operand != NULL)
        status = cli_trouble(cli, "'%.40s' is one operand too many: --record takes one job", operand);
    job.output.ascii = job.output.ascii || ascii;
    if (status == EXIT_YES)
        status = kept_choose(name, cli, given, KEPT_BEGINNING);
    if (status == EXIT_YES)
        status = cli_status(journal_open(&journal, name, false, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&job.output, cli);
    if (status == EXIT_YES)
        status = output_end(&job.output, cli, write_record(cli, &job.output, &journal));
    journal_clear(&journal);
    job_clear(&job);
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

/* Whether anything was asked for of how a new job is gone through. */
static bool has_course(const struct follow_options *own)
{
    return own->ready || own->has_check_every || own->course.pass_count > 0 || own->course.pieces > 0 || own->course.has_measure;
}

static int resume_job(struct cli *cli, const struct follow_options *own, char **rest, size_t n)
{
    char name[JOURNAL_NAME];

    if (n > 1)
        return cli_trouble(cli, "'%.40s' is one operand too many: --resume takes one job", rest[1]);
    int status = kept_choose(name, cli, n > 0 ? rest[0] : NULL, KEPT_BEGINNING);
    return status == EXIT_YES ? with_follow(cli, NULL, 0, name, own) : status;
}

static int salvage_job(struct cli *cli, const struct follow_options *own)
{
    char name[JOURNAL_NAME];
    int status = kept_choose(name, cli, own->salvage, KEPT_NAME);

    return status == EXIT_YES ? with_follow(cli, NULL, 0, name, own) : status;
}

/* A request: its job is begun, or gone on with. */
static int start_job(struct cli *cli, const struct follow_options *own, char **rest, size_t n)
{
    size_t count;

    if (n == 0)
        return cli_trouble(cli, "what is to be followed is missing: crankcard follow 57, or --resume");
    char **words = whole_request(&count, cli, rest, n);
    int status = with_follow(cli, words, count, NULL, own);
    free(words);
    return status;
}

/* What cannot stand together. */
static int check_modes(struct cli *cli, const struct follow_options *own, const char *operand)
{
    int kept = own->list + (own->forget != NULL) + (own->record != NULL), modes = kept + own->resume + (own->salvage != NULL);

    if (modes > 1)
        return cli_trouble(cli, "one of --resume, --list, --record, --forget and --salvage at a time");
    if (kept > 0 && (own->read_aloud != NULL || own->any_key))
        return cli_trouble(cli, "--read-aloud and --any-key are for a job that is followed");
    if (modes > 0 && has_course(own))
        return cli_trouble(cli, "--ready, --pass, --pieces, --measure-after and --check-every are for a new job");
    if (modes > 0 && !own->resume && own->record == NULL && operand != NULL)
        return cli_trouble(cli, "'%.40s': --list, --forget and --salvage take no request", operand);
    return EXIT_YES;
}

static int run(struct cli *cli, const struct follow_options *own, char **rest, size_t n)
{
    int status = check_modes(cli, own, n > 0 ? rest[0] : NULL);

    if (status != EXIT_YES)
        return status;
    if (own->record != NULL)
        return record_job(cli, own->record, rest, n, own->ascii);
    if (own->resume)
        return resume_job(cli, own, rest, n);
    if (own->list)
        return list_jobs(cli);
    if (own->forget != NULL)
        return forget_job(cli, own->forget);
    return own->salvage != NULL ? salvage_job(cli, own) : start_job(cli, own, rest, n);
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
    .requests = request_kinds,
    .instead = (const char *const[]){ "--list", "--forget", "--salvage", "--record", "--resume", NULL },
    .run = run_command,
    .records = (const struct form *const[]){ &job_form, &event_form, NULL },
    .summary = "keep the place at the machine: one movement at a time",
    .about = "REQUEST is what divide, angles or flats takes: follow 57, follow angles 0 30 75. First the set-up, ticked item by\n"
             "item, then a trial round, then the cuts. Enter or space: it is done; b: one back; g N: go to step N (past some\n"
             "not made: c, they are cut already, or l, left for later); m: note a remark; u: the set-up again; p: another\n"
             "pass; n: it is not as it must be; r: the place is lost; q: leave, the place is kept. Every step is on the disk\n"
             "before the next is shown. Without a terminal, the same keys are read as lines. --record takes --format jsonl,\n"
             "csv or tsv, and --output.\n",
    .examples = "  crankcard follow 57 --head small-tilting-geared\n"
                "  crankcard follow 28 --pass 'roughing, 4 mm' --pass 'finishing, 4.5 mm' --pieces 8\n"
                "  crankcard follow --resume\n"
                "  crankcard follow --list\n",
};
