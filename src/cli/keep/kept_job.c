/* kept_job.c: see kept_job.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/keep/kept_job.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "crankcard/number.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
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

void kept_plan_line(char *buf, size_t size, const struct job *job)
{
    char setting[2 * WORDS];

    setting_words(setting, sizeof setting, &job->head, &job->plan);
    snprintf(buf, size, "%s, %s, %" PRIu64 " steps, %016" PRIx64, cc_method_name(job->plan.method), setting,
             job->plan.steps, digest(job));
}

char *kept_head_text(const struct cc_head *head)
{
    size_t size = cc_head_str(NULL, 0, head) + 1;
    char *text = memory_get(size);

    cc_head_str(text, size, head);
    return text;
}

/* The request in one line, words with blanks in quotes. */
void kept_title(char *buf, size_t size, char *const *words, size_t count)
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

int kept_unchanged(struct cli *cli, FILE *out, const struct job *job, const struct journal *journal)
{
    char *head = kept_head_text(&job->head), plan[3 * WORDS];
    int status = EXIT_YES;

    kept_plan_line(plan, sizeof plan, job);
    if (strcmp(head, journal->head) != 0) {
        if (out != NULL) {
            fprintf(out, "the head when the job was begun (-) and now (+):\n");
            print_missing(out, "-", journal->head, head);
            print_missing(out, "+", head, journal->head);
        }
        status = cli_trouble(cli, "the head is not the one this job was begun with: give that one back, or "
                             "crankcard follow --forget %s", journal->name);
    } else if (strcmp(plan, journal->plan) != 0) {
        if (out != NULL)
            fprintf(out, "the plan when the job was begun (-) and now (+):\n- %s\n+ %s\n", journal->plan, plan);
        status = cli_trouble(cli, "the request gives another plan than when this job was begun: "
                             "crankcard follow --forget %s begins anew", journal->name);
    }
    free(head);
    return status;
}

/* ---- which job ---- */

static bool is_unfinished(const char *name)
{
    struct journal journal;
    struct cc_error err;

    journal_init(&journal);
    bool unfinished = journal_open(&journal, name, false, &err) == CC_OK && !journal_done(&journal);
    journal_clear(&journal);
    return unfinished;
}

/* Whether given stands for name, as enum kept_match has it. */
static bool is_meant(const char *name, const char *given, enum kept_match match)
{
    size_t length = strlen(given);

    if (length == 0 || strncmp(name, given, length) != 0)
        return false;
    return match == KEPT_BEGINNING || name[length] == '\0' ||
           (name[length] == '-' && strlen(name + length) == 1 + JOURNAL_NAME_SUM);
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
    if (given != NULL)
        cc_fail(&cli->err, CC_ENOFIT, "there is no job '%.60s': crankcard follow --list shows those there are", given);
    else
        cc_fail(&cli->err, CC_ENOFIT, "no job is kept that is not done");
    return EXIT_NO;
}

void kept_go_there(const struct journal *journal)
{
    /* Where that directory is gone, files are looked for from here; what they give is compared in any case. */
    if (journal->directory != NULL && chdir(journal->directory) != 0)
        return;
}
