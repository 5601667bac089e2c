/* cmd_follow.c: follow a job at the machine, and the jobs that are kept. */
#define _POSIX_C_SOURCE 200809L
#include <inttypes.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>

#include "cli/commands.h"
#include "cli/follow.h"
#include "cli/memory.h"
#include "cli/request.h"
#include "cli/terminal.h"

enum { OPT_RESUME = OPT_OWN + 50, OPT_LIST, OPT_FORGET };

static const struct option_row follow_options[] = {
    { OPT_RESUME, 0, "resume", NULL, "go on with the job named, or with the only one that is not done" },
    { OPT_LIST, 0, "list", NULL, "the jobs that are kept, and where each stands" },
    { OPT_FORGET, 0, "forget", "JOB", "drop the journal of a job" },
    OPTIONS_END
};

const struct option_row *const follow_tables[] = { follow_options, divide_options, head_options, plan_options, NULL };

/* ---- what is written down of a job ---- */

static uint64_t mix(uint64_t sum, const char *text)
{
    for (; *text != '\0'; text++)
        sum = (sum ^ (unsigned char)*text) * UINT64_C(0x100000001B3);    /* FNV-1a */
    return (sum ^ 0xFF) * UINT64_C(0x100000001B3);
}

static uint64_t mix_rational(uint64_t sum, const mpq_t value)
{
    size_t size = cc_rational_str(NULL, 0, value) + 1;
    char *text = memory_get(size);

    cc_rational_str(text, size, value);
    sum = mix(sum, text);
    free(text);
    return sum;
}

/* Everything that the rows depend on, in 64 bits. */
static uint64_t digest(const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    const struct cc_request *request = &job->request;
    uint64_t sum = UINT64_C(0xCBF29CE484222325);
    char numbers[200];
    mpq_t divisions;

    mpq_init(divisions);
    mpq_set_z(divisions, request->divisions);
    sum = mix_rational(sum, divisions);
    sum = mix_rational(sum, request->arc);
    sum = mix_rational(sum, request->offset);
    for (size_t i = 0; i < request->position_count; i++) {
        sum = mix_rational(sum, request->position[i]);
        sum = mix(sum, request->label[i] != NULL ? request->label[i] : "");
    }
    sum = mix_rational(sum, plan->ratio);
    snprintf(numbers, sizeof numbers, "%" PRIu64 " %" PRIu64 " %d %" PRId64 " %" PRId64 " %" PRIu64, plan->block,
             plan->unit, plan->constant, plan->move, plan->start, plan->steps);
    sum = mix(sum, numbers);
    for (unsigned i = 0; i < plan->train.pairs; i++) {
        snprintf(numbers, sizeof numbers, "%u %u %u", plan->train.driver[i], plan->train.driven[i],
                 plan->train.idlers);
        sum = mix(sum, numbers);
    }
    mpq_clear(divisions);
    return sum;
}

/* "compound, plate A, side 1, circles 19 and 15, 57 steps, 0123456789abcdef" */
static void plan_line(char *buf, size_t size, const struct job *job)
{
    char setting[2 * WORDS];

    setting_words(setting, sizeof setting, &job->head, &job->plan);
    snprintf(buf, size, "%s, %s, %" PRIu64 " steps, %016" PRIx64, cc_method_name(job->plan.method), setting,
             job->plan.steps, digest(job));
}

static char *head_text(const struct cc_head *head)
{
    size_t size = cc_head_str(NULL, 0, head) + 1;
    char *text = memory_get(size);

    cc_head_str(text, size, head);
    return text;
}

/* The request in one line, words with blanks in quotes. */
static void title_of(char *buf, size_t size, char *const *words, size_t count)
{
    size_t used = 0;

    buf[0] = '\0';
    for (size_t i = 0; i < count && used + 1 < size; i++) {
        const char *quote = strpbrk(words[i], " \t\n") != NULL || words[i][0] == '\0' ? "'" : "";
        int n = snprintf(buf + used, size - used, "%s%s%s%s", i > 0 ? " " : "", quote, words[i], quote);
        used += n > 0 ? (size_t)n : 0;
    }
    if (used >= size && size > 4)
        memcpy(buf + size - 4, "...", 4);
    for (char *at = buf; *at != '\0'; at++)
        if ((unsigned char)*at < ' ' || *at == 0x7F)
            *at = '?';
}

/* ---- whether the head is still the head ---- */

/* The line at *text, which moves on behind it; its length without the newline. */
static size_t next_line(const char **line, const char **text)
{
    *line = *text;
    size_t n = strcspn(*text, "\n");
    *text += n + ((*text)[n] == '\n');
    return n;
}

static bool has_line(const char *text, const char *line, size_t length)
{
    const char *at;

    while (*text != '\0')
        if (next_line(&at, &text) == length && memcmp(at, line, length) == 0)
            return true;
    return false;
}

/* Print the lines of one profile that the other has not. */
static void print_missing(FILE *out, const char *mark, const char *text, const char *other)
{
    const char *line;

    while (*text != '\0') {
        size_t n = next_line(&line, &text);
        if (!has_line(other, line, n))
            fprintf(out, "%s %.*s\n", mark, (int)n, line);
    }
}

static int check_unchanged(struct follow *follow)
{
    struct cli *cli = follow->cli;
    const struct journal *journal = &follow->journal;
    char *head = head_text(&follow->job.head), plan[3 * WORDS];
    int status = EXIT_YES;

    plan_line(plan, sizeof plan, &follow->job);
    if (strcmp(head, journal->head) != 0) {
        fprintf(cli->out, "the head when the job was begun (-) and now (+):\n");
        print_missing(cli->out, "-", journal->head, head);
        print_missing(cli->out, "+", head, journal->head);
        status = cli_trouble(cli, "the head is not the one this job was begun with: give that one back, or "
                             "crankcard follow --forget %s", journal->name);
    } else if (strcmp(plan, journal->plan) != 0) {
        fprintf(cli->out, "the plan when the job was begun (-) and now (+):\n- %s\n+ %s\n", journal->plan, plan);
        status = cli_trouble(cli, "the request gives another plan than when this job was begun: "
                             "crankcard follow --forget %s begins anew", journal->name);
    }
    free(head);
    return status;
}

/* ---- opening ---- */

/* From the words of a request to its plan. */
static int plan_words_of(struct follow *follow, char **words, size_t count)
{
    struct cli *cli = follow->cli;
    struct job *job = &follow->job;

    for (size_t i = 0; i < count; i++)
        if (strcmp(words[i], "-") == 0 || strcmp(words[i], "--file=-") == 0)
            return cli_trouble(cli, "'-': standard input is for the keys of follow: put the positions in a file");
    int status = read_any_request(job, cli, (int)count, words);
    if (status == EXIT_YES && (job->output.format_given || job->output.path != NULL))
        status = cli_trouble(cli, "follow has neither --format nor --output: they are for %s", job->command);
    if (status == EXIT_YES)
        status = job_plan(job, cli);
    title_of(follow->title, sizeof follow->title, words, count);
    return status;
}

static int run_to_the_end(struct follow *follow, enum follow_stage stage)
{
    struct cli *cli = follow->cli;

    if (follow->journal.torn)
        snprintf(follow->message, sizeof follow->message,
                 "the last line was torn, by a power cut perhaps, and is dropped: see whether the cut is made");
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
    char *head = head_text(&follow->job.head), plan[3 * WORDS];
    enum cc_status s;

    plan_line(plan, sizeof plan, &follow->job);
    s = journal_create(&follow->journal, words, count, head, plan, follow->job.plan.steps, &follow->cli->err);
    free(head);
    if (s != CC_OK)
        return EXIT_TROUBLE;
    if (!follow->job.plan.within)
        snprintf(follow->message, sizeof follow->message, "NOT WITHIN TOLERANCE: the card says by how much");
    return run_to_the_end(follow, FOLLOW_AT_WORK);
}

static int start(struct follow *follow, char **words, size_t count)
{
    char name[JOURNAL_NAME];
    struct cc_error err;
    int status = plan_words_of(follow, words, count);

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
    status = check_unchanged(follow);
    return status == EXIT_YES ? run_to_the_end(follow, FOLLOW_OFFER) : status;
}

static int resume(struct follow *follow, const char *name)
{
    struct cli *cli = follow->cli;
    enum cc_status s = journal_open(&follow->journal, name, true, &cli->err);

    if (s != CC_OK)
        return cli_status(s);
    int status = plan_words_of(follow, follow->journal.words, follow->journal.word_count);
    if (status == EXIT_YES)
        status = check_unchanged(follow);
    if (status == EXIT_YES && journal_opened(&follow->journal, &cli->err) != CC_OK)
        status = EXIT_TROUBLE;
    return status == EXIT_YES ? run_to_the_end(follow, FOLLOW_AT_WORK) : status;
}

static int with_follow(struct cli *cli, char **words, size_t count, const char *name)
{
    struct follow follow = { .cli = cli };

    signal(SIGXFSZ, SIG_IGN);   /* a limit on file sizes is then an error like a full disk */
    job_init(&follow.job, "divide");
    journal_init(&follow.journal);
    int status = name != NULL ? resume(&follow, name) : start(&follow, words, count);
    job_clear(&follow.job);
    journal_clear(&follow.journal);
    return status;
}

/* ---- the jobs that are kept ---- */

static void list_job(FILE *out, const char *name)
{
    struct journal journal;
    struct cc_error err;
    char title[200];

    journal_init(&journal);
    if (journal_open(&journal, name, false, &err) != CC_OK) {
        fprintf(out, "%s\n  %s\n", name, err.text);
    } else {
        title_of(title, sizeof title, journal.words, journal.word_count);
        if (journal_done(&journal))
            fprintf(out, "%s\n  %s: done, %" PRIu64 " steps\n", name, title, journal.steps);
        else
            fprintf(out, "%s\n  %s: step %" PRIu64 " of %" PRIu64 " comes next\n", name, title, journal.next,
                    journal.steps);
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

static bool is_unfinished(const char *name)
{
    struct journal journal;
    struct cc_error err;

    journal_init(&journal);
    bool unfinished = journal_open(&journal, name, false, &err) == CC_OK && !journal_done(&journal);
    journal_clear(&journal);
    return unfinished;
}

/*
 * The job that given means: its name or the beginning of one name; NULL for the only one that is not
 * done. Returns an exit status.
 */
static int choose_job(char name[JOURNAL_NAME], struct cli *cli, const char *given)
{
    char **names, found[200] = "";
    size_t count, hits = 0, used = 0;

    if (journal_names(&names, &count, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    for (size_t i = 0; i < count; i++) {
        if (given != NULL ? strncmp(names[i], given, strlen(given)) != 0 : !is_unfinished(names[i]))
            continue;
        if (hits == 0 || (given != NULL && strcmp(names[i], given) == 0))
            snprintf(name, JOURNAL_NAME, "%s", names[i]);
        if (used + 1 < sizeof found)
            used += (size_t)snprintf(found + used, sizeof found - used, "%s%s", hits > 0 ? ", " : "", names[i]);
        hits++;
        if (given != NULL && strcmp(names[i], given) == 0) {
            hits = 1;
            break;
        }
    }
    journal_free_names(names, count);
    if (hits == 1)
        return EXIT_YES;
    if (hits > 1)
        return cli_trouble(cli, "which job? %s", found);
    if (given != NULL)
        cc_fail(&cli->err, CC_ENOFIT, "there is no job '%.60s': crankcard follow --list shows those there are", given);
    else
        cc_fail(&cli->err, CC_ENOFIT, "no job is kept that is not done");
    return EXIT_NO;
}

static int forget_job(struct cli *cli, const char *given)
{
    char name[JOURNAL_NAME];
    int status = choose_job(name, cli, given);

    if (status != EXIT_YES)
        return status;
    status = cli_status(journal_forget(name, &cli->err));
    if (status == EXIT_YES)
        fprintf(cli->out, "forgotten: %s\n", name);
    return status;
}

/* ---- the command ---- */

/* rest with the word "divide" in front, where it begins with a count or an option. */
static char **whole_request(size_t *count, const struct own_options *own)
{
    size_t n = (size_t)own->rest_count, extra = n > 0 && command_find(own->rest[0]) != NULL ? 0 : 1;
    char **words = memory_get((n + 1) * sizeof *words);
    static char divide[] = "divide";

    words[0] = divide;
    for (size_t i = 0; i < n; i++)
        words[i + extra] = own->rest[i];
    *count = n + extra;
    return words;
}

static int run(struct cli *cli, struct own_options *own, int mode, const char *forget)
{
    char name[JOURNAL_NAME];
    size_t count;

    if ((mode == OPT_LIST || mode == OPT_FORGET) && own->rest_count > 0)
        return cli_trouble(cli, "'%.40s': --list and --forget take no request", own->rest[0]);
    if (mode == OPT_LIST)
        return list_jobs(cli);
    if (mode == OPT_FORGET)
        return forget_job(cli, forget);
    if (mode == OPT_RESUME) {
        if (own->rest_count > 1)
            return cli_trouble(cli, "'%.40s' is one operand too many: --resume takes one job", own->rest[1]);
        int status = choose_job(name, cli, own->rest_count > 0 ? own->rest[0] : NULL);
        return status == EXIT_YES ? with_follow(cli, NULL, 0, name) : status;
    }
    if (own->rest_count == 0)
        return cli_trouble(cli, "what is to be followed is missing: crankcard follow 57, or --resume");
    char **words = whole_request(&count, own);
    int status = with_follow(cli, words, count, NULL);
    free(words);
    return status;
}

int cmd_follow(struct cli *cli, int argc, char **argv)
{
    struct own_options own;
    const char *forget = NULL;
    int mode = 0, status = EXIT_YES;
    enum arg_kind kind;

    own_init(&own, follow_options, argc, argv);
    while ((kind = own_next(&own, &cli->err)) == ARG_OPTION && status == EXIT_YES) {
        if (mode != 0)
            status = cli_trouble(cli, "one of --resume, --list and --forget at a time");
        mode = own.id;
        forget = own.text;
    }
    if (kind == ARG_BAD)
        status = EXIT_TROUBLE;
    if (status == EXIT_YES)
        status = run(cli, &own, mode, forget);
    own_clear(&own);
    return status;
}
