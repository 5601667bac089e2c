/* kept_job.c: see kept_job.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/keep/kept_job.h"

#include <fcntl.h>
#include <inttypes.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "crankcard/number.h"
#include "crankcard/utf8.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/base/plain_text.h"
#include "cli/out/words.h"

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

/*
 * Everything that the rows depend on, in 64 bits: first the request's part, then with it the plan's, its gears as they
 * stand in train.
 */
static uint64_t request_digest(const struct cc_request *request)
{
    uint64_t sum = UINT64_C(0xCBF29CE484222325);
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
    mpq_clear(divisions);
    return sum;
}

static uint64_t plan_digest(uint64_t sum, const struct cc_plan *plan, const struct cc_train *train)
{
    char numbers[200];

    sum = mix_rational(sum, plan->ratio);
    snprintf(numbers, sizeof numbers, "%" PRIu64 " %" PRIu64 " %d %" PRId64 " %" PRId64 " %" PRIu64, plan->block,
             plan->unit, plan->constant, plan->move, plan->start, plan->steps);
    sum = mix(sum, numbers);
    for (unsigned i = 0; i < train->pairs; i++) {
        snprintf(numbers, sizeof numbers, "%u %u %u", train->driver[i], train->driven[i], train->idlers);
        sum = mix(sum, numbers);
    }
    return sum;
}

/*
 * The plan as a line of the journal. Its form is part of the journal's format, whatever words a card has:
 *     METHOD, direct plate, C circle, N steps, DIGEST
 *     dial, dial, C circle, N steps, DIGEST
 *     METHOD, plate P[ side S], C circle, N steps, DIGEST
 *     METHOD, plate P[ side S], circles C and C2, N steps, DIGEST
 */
static void plan_line(char *buf, size_t size, const struct cc_head *head, uint64_t request, const struct cc_plan *plan,
                      const struct cc_train *train)
{
    char where[WORDS] = "direct plate", circles[64];

    if (cc_plan_is_dial(plan)) {
        snprintf(where, sizeof where, "dial");
    } else if (plan->side != 0) {
        const struct cc_plate *plate = &head->plates[plan->plate];
        bool two = plate->side[0].n > 0 && plate->side[1].n > 0;
        int n = snprintf(where, sizeof where, "plate %s", plate->name);
        if (two)
            snprintf(where + n, sizeof where - (size_t)n, " side %u", plan->side);
    }
    if (plan->side != 0 && plan->circle2 != 0)
        snprintf(circles, sizeof circles, "circles %u and %u", plan->circle, plan->circle2);
    else
        snprintf(circles, sizeof circles, "%u circle", plan->circle);
    snprintf(buf, size, "%s, %s, %s, %" PRIu64 " steps, %016" PRIx64, cc_method_name(plan->method), where, circles,
             plan->steps, plan_digest(request, plan, train));
}

void kept_plan_line(char *buf, size_t size, const struct job *job)
{
    plan_line(buf, size, &job->head, request_digest(&job->request), &job->plan, &job->plan.train);
}

char *kept_head_text(const struct cc_head *head)
{
    size_t size = cc_head_str(NULL, 0, head) + 1;
    char *text = memory_get(size);

    cc_head_str(text, size, head);
    return text;
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
        if (!has_line(other, line, n)) {
            fprintf(out, "%s ", mark);
            plain_put(out, line, n);
            putc('\n', out);
        }
    }
}

/* text with what a head says of itself, and nothing it does, left out. */
static char *working_text(struct cc_head *head)
{
    char *title = head->title;

    head->title = NULL;
    char *text = kept_head_text(head);
    head->title = title;
    return text;
}

/* Compare what the heads are, not how a profile words it. */
static int same_head(struct cli *cli, FILE *out, struct cc_head *now, struct cc_head *then, const char *name)
{
    char *was = working_text(then), *is = working_text(now);
    int status = EXIT_YES;

    if (strcmp(is, was) != 0) {
        if (out != NULL) {
            fprintf(out, "the head when the job was begun (-) and now (+):\n");
            print_missing(out, "-", was, is);
            print_missing(out, "+", is, was);
        }
        status = cli_trouble(cli, "the head is not the one this job was begun with: give that one back, or "
                             "crankcard follow --forget %s", name);
    }
    free(is);
    free(was);
    return status;
}

static void say(char *said, size_t size, const char *format, ...) CC_PRINTF(3, 4);
static void say(char *said, size_t size, const char *format, ...)
{
    size_t used = strlen(said);
    va_list args;

    if (used > 0 && used + 2 < size) {
        said[used++] = ' ';
        said[used] = '\0';
    }
    va_start(args, format);
    vsnprintf(said + used, size - used, format, args);
    va_end(args);
}

/* The head as it is found now, if it is the journal's; where none is found, the journal's. */
static int load_head(struct job *job, struct cli *cli, FILE *out, const struct journal *journal, char *said, size_t size)
{
    struct cc_head then;
    char reason[sizeof cli->err.text];

    cc_head_init(&then);
    int status = cli_status(cc_head_read(&then, journal->head, strlen(journal->head), "journal", journal->path, &cli->err));
    if (status != EXIT_YES) {
        cc_head_clear(&then);
        return EXIT_TROUBLE;
    }
    if (job_load_head(job, cli) == EXIT_YES) {
        status = same_head(cli, out, &job->head, &then, journal->name);
    } else {
        snprintf(reason, sizeof reason, "%s", cli->err.text);
        cli->err = (struct cc_error){ .text = "" };
        say(said, size, "The head cannot be had now (%s); it goes on with the one that the journal holds.", reason);
        cc_head_swap(&job->head, &then);
        status = cli_status(cc_planner_new(&job->planner, &job->head, &cli->err));
    }
    cc_head_clear(&then);
    return status;
}

/* Make the next arrangement of n numbers in the order of the dictionary; false after the last, and they are sorted then. */
static bool next_arrangement(unsigned *at, unsigned n)
{
    unsigned i = n, k = n;

    while (i > 1 && at[i - 2] >= at[i - 1])
        i--;
    if (i > 1) {
        while (at[k - 1] <= at[i - 2])
            k--;
        unsigned t = at[i - 2];
        at[i - 2] = at[k - 1];
        at[k - 1] = t;
    }
    for (unsigned a = i > 0 ? i - 1 : 0, b = n; a + 1 < b; a++) {
        unsigned t = at[a];
        at[a] = at[--b];
        at[b] = t;
    }
    return i > 1;
}

/* Whether plan is the one of the line, its drivers and its driven gears in any order; it then has them in the line's. */
static bool is_plan_of(const char *line, const struct cc_head *head, uint64_t request, struct cc_plan *plan)
{
    struct cc_train train = plan->train;
    char made[3 * WORDS];

    /* A turn through all arrangements, beginning anywhere, ends after the sorted one: from there to where it began. */
    for (int rounds = 0; rounds < (train.pairs > 0 ? 2 : 1); rounds++) {
        do {
            do {
                plan_line(made, sizeof made, head, request, plan, &train);
                if (strcmp(made, line) == 0) {
                    plan->train = train;
                    return true;
                }
            } while (next_arrangement(train.driven, train.pairs));
        } while (next_arrangement(train.driver, train.pairs));
    }
    return false;
}

/* Look for the journal's plan among all there are by its method. */
static bool find_plan_of(struct job *job, const struct journal *journal, uint64_t request, enum cc_method method)
{
    struct cc_plans plans;
    struct cc_error err;
    unsigned methods = job->request.methods;
    bool found = false;

    cc_plans_init(&plans);
    job->request.methods &= 1U << method;
    if (cc_planner_all(&plans, NULL, job->planner, &job->request, true, &err) == CC_OK)
        for (size_t i = 0; i < plans.n && !found; i++)
            if ((found = is_plan_of(journal->plan, &job->head, request, &plans.at[i])))
                cc_plan_swap(&job->plan, &plans.at[i]);
    job->request.methods = methods;
    cc_plans_clear(&plans);
    return found;
}

/*
 * As it is asked now, and as it was asked when a tolerance that nobody named was a quarter of 1 minute: which blocks are
 * worth an offer depends on it.
 */
static bool find_plan(struct job *job, const struct journal *journal)
{
    struct cc_error err;
    uint64_t request = request_digest(&job->request);
    size_t n = strcspn(journal->plan, ",");
    char name[32];
    enum cc_method method;

    snprintf(name, sizeof name, "%.*s", (int)n, journal->plan);
    if (cc_method_parse(&method, name, &err) != CC_OK)
        return false;
    if (find_plan_of(job, journal, request, method))
        return true;
    if (job->request.has_tolerance)
        return false;
    job->request.has_tolerance = true;
    mpq_set_ui(job->request.tolerance, 1, 4 * 21600);
    bool found = find_plan_of(job, journal, request, method);
    job->request.has_tolerance = false;
    mpq_set_ui(job->request.tolerance, 0, 1);
    return found;
}

int kept_plan(struct job *job, struct cli *cli, FILE *out, const struct journal *journal, char *said, size_t size)
{
    char first[3 * WORDS], setting[2 * WORDS];
    int status = load_head(job, cli, out, journal, said, size);

    if (status == EXIT_YES)
        status = job_plan_loaded(job, cli);
    if (status != EXIT_YES || is_plan_of(journal->plan, &job->head, request_digest(&job->request), &job->plan))
        return status;
    kept_plan_line(first, sizeof first, job);
    setting_words(setting, sizeof setting, &job->head, &job->plan);
    const char *method = cc_method_name(job->plan.method);
    if (find_plan(job, journal)) {
        say(said, size, "The first choice for this would now be %s, %s; the job goes on as it was begun.", method, setting);
        return EXIT_YES;
    }
    if (out != NULL) {
        fprintf(out, "the plan when the job was begun (-) and now (+):\n- ");
        plain_line(out, journal->plan);
        fprintf(out, "+ %s\n", first);
    }
    return cli_trouble(cli, "the request gives another plan than when this job was begun: "
                       "crankcard follow --forget %s begins anew", journal->name);
}

/* ---- how long a cut takes ---- */

/* Put the times of the job called name into pool, if it is on this head. */
static void add_times(struct journal *pool, const char *name, const char *head)
{
    struct journal journal;
    struct cc_error err;

    journal_init(&journal);
    if (journal_open(&journal, name, false, &err) == CC_OK && journal.round == JOURNAL_CUT && strcmp(journal.head, head) == 0)
        for (size_t i = 0; i < journal.time_count && i < JOURNAL_TIMES; i++)
            pool->times[pool->time_count++ % JOURNAL_TIMES] = journal.times[i];
    journal_clear(&journal);
}

unsigned kept_pace(const char *head, const char *but)
{
    struct journal pool;
    struct cc_error err;
    char **names;
    size_t count;

    journal_init(&pool);
    if (journal_names(&names, &count, &err) != CC_OK)
        return 0;
    for (size_t i = 0; i < count; i++)
        if (but == NULL || strcmp(names[i], but) != 0)
            add_times(&pool, names[i], head);
    journal_free_names(names, count);
    return journal_median(&pool);
}

/* ---- which job ---- */

/* One that cannot be read may be unfinished: opening it says what is the matter. */
static bool is_unfinished(const char *name)
{
    struct journal journal;
    struct cc_error err;

    journal_init(&journal);
    bool unfinished = journal_open(&journal, name, false, &err) != CC_OK || !journal_done(&journal);
    journal_clear(&journal);
    return unfinished;
}

/* Whether given stands for name, as enum kept_match has it. */
static bool is_meant(const char *name, const char *given, enum kept_match match)
{
    static const char divide[] = "divide-";
    size_t length = strlen(given);

    /* "12" is divide-12-..., as follow 12 is follow divide 12. */
    if (given[0] >= '0' && given[0] <= '9' && strncmp(name, divide, sizeof divide - 1) == 0 &&
        strncmp(name + sizeof divide - 1, given, length) == 0 && name[sizeof divide - 1 + length] == '-')
        return match == KEPT_BEGINNING;
    if (length == 0 || strncmp(name, given, length) != 0)
        return false;
    return match == KEPT_BEGINNING || name[length] == '\0' ||
           (name[length] == '-' && strlen(name + length) == 1 + JOURNAL_NAME_SUM);
}

static void no_such_job(struct cli *cli, const char *given, enum kept_match match)
{
    if (given == NULL)
        cc_fail(&cli->err, CC_ENOFIT, "no job is kept that is not done");
    else if (given[0] >= '0' && given[0] <= '9' && match == KEPT_BEGINNING)
        cc_fail(&cli->err, CC_ENOFIT, "no job '%.60s' is kept: crankcard follow %.60s begins it, crankcard follow --list shows those "
                "there are", given, given);
    else
        cc_fail(&cli->err, CC_ENOFIT, "there is no job '%.60s': crankcard follow --list shows those there are", given);
}

int kept_choose(char name[JOURNAL_NAME], struct cli *cli, const char *given, enum kept_match match)
{
    char **names, found[200] = "";
    size_t count, hits = 0, used = 0;

    if (journal_names(&names, &count, &cli->err) != CC_OK)
        return EXIT_TROUBLE;
    for (size_t i = 0; i < count; i++) {
        bool whole = given != NULL && strcmp(names[i], given) == 0;
        if (given != NULL ? !is_meant(names[i], given, match) : !is_unfinished(names[i]))
            continue;
        if (hits == 0 || whole)
            snprintf(name, JOURNAL_NAME, "%s", names[i]);
        if (used + 1 < sizeof found)
            used += (size_t)snprintf(found + used, sizeof found - used, "%s%s", hits > 0 ? ", " : "", names[i]);
        hits++;
        if (whole) {
            hits = 1;
            break;
        }
    }
    journal_free_names(names, count);
    if (hits == 1)
        return EXIT_YES;
    if (hits > 1)
        return cli_trouble(cli, "which job? %s", found);
    no_such_job(cli, given, match);
    return EXIT_NO;
}

int kept_go_there(const struct journal *journal)
{
    int here = open(".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    /* Where that directory is gone, files are looked for from here; what they give is compared in any case. */
    if (here >= 0 && journal->directory != NULL && chdir(journal->directory) == 0)
        return here;
    if (here >= 0)
        close(here);
    return -1;
}

bool kept_come_back(int here)
{
    bool back = here < 0 || fchdir(here) == 0;

    if (here >= 0)
        close(here);
    return back;
}
