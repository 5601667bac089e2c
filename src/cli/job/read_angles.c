/*
 * read_angles.c: a request for positions in any spacing, from the arguments, files or standard input.
 *
 * First everything is read, in the order given, each angle with its label; then the pattern is repeated,
 * offset and perhaps sorted, and becomes the request's list of positions.
 */
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"
#include "cli/base/plain_text.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"

#define MOST_POSITIONS 1000000UL
#define MOST_LABEL 200          /* bytes */

const struct option_row angles_options[] = {
    { AMONG_OPERANDS, 0, "file", "FILE", "read angles from FILE, one a line, labels behind (may be given again)" },
    { TO_SWITCH(struct job, spacing.incremental), 'i', "incremental", NULL, "each angle is counted from the one before it" },
    { TO_SWITCH(struct job, spacing.sort), 0, "sort", NULL, "work the positions in ascending order" },
    { TO_COUNT(struct job, spacing.repeat, FROM(1, MOST_POSITIONS)),
      0, "repeat", "M", "repeat the pattern M times around the part" },
    { TO_ANGLE(struct job, request.offset, ANY_SIGN), 0, "offset", "ANGLE", "added to every position" },
    OPTIONS_END
};

const struct option_table angles_tables[] = {
    OWN_OPTIONS(angles_options), OWN_OPTIONS(hand_options), OWN_OPTIONS(helix_options), HEAD_OPTIONS(struct job, choice), OWN_OPTIONS(plan_options),
    OWN_OPTIONS(radius_options), OWN_OPTIONS(step_options), OWN_OPTIONS(drawn_options), DRAWING_OPTIONS(struct job, output), OUTPUT_OPTIONS(struct job, output),
    UNIT_OPTIONS(struct job, output), TABLES_END
};

struct entry {
    mpq_t at;           /* revolutions */
    char *label;        /* or NULL */
    size_t order;       /* as read */
};

struct pattern {
    struct entry *at;
    size_t n, room;
    bool incremental;
    mpq_t sum;          /* incremental: the last position */
    const char *last;   /* the operand before this one, or NULL */
};

static void pattern_init(struct pattern *pattern, bool incremental)
{
    *pattern = (struct pattern){ .incremental = incremental };
    mpq_init(pattern->sum);
}

static void pattern_clear(struct pattern *pattern)
{
    for (size_t i = 0; i < pattern->n; i++) {
        mpq_clear(pattern->at[i].at);
        free(pattern->at[i].label);
    }
    free(pattern->at);
    mpq_clear(pattern->sum);
}

static bool pattern_add(struct pattern *pattern, const mpq_t angle, const char *label, struct cc_error *err)
{
    if (pattern->n == MOST_POSITIONS) {
        cc_fail(err, CC_ELIMIT, "more than %lu angles: split the list", MOST_POSITIONS);
        return false;
    }
    pattern->at = memory_grow(pattern->at, pattern->n, &pattern->room, sizeof *pattern->at);
    struct entry *entry = &pattern->at[pattern->n];
    mpq_init(entry->at);
    mpq_set(entry->at, angle);
    entry->order = pattern->n;
    entry->label = label != NULL && *label != '\0' ? memory_copy(label) : NULL;
    pattern->n++;
    return true;
}

/* ---- reading ---- */

/* One angle with what stands behind it. in_file: a label that begins with # is a comment. */
static bool read_entry(struct pattern *pattern, const char *text, bool in_file, struct cc_error *err)
{
    const char *label;
    mpq_t angle;
    bool good;

    if (!is_plain_text(text)) {
        cc_fail(err, CC_EPARSE, "%s holds control characters, or bytes that are not UTF-8 text", in_file ? "the line" : "an angle");
        return false;
    }
    mpq_init(angle);
    good = cc_angle_parse_prefix(angle, &label, text, err) == CC_OK;
    if (good && in_file && *label == '#')
        label = "";
    if (good && strlen(label) > MOST_LABEL) {
        cc_fail(err, CC_ELIMIT, "'%.40s...' is a label of more than %d bytes", label, MOST_LABEL);
        good = false;
    }
    if (good && pattern->incremental) {
        mpq_add(pattern->sum, pattern->sum, angle);
        mpq_set(angle, pattern->sum);
    }
    if (good && (mpq_cmp_si(angle, CC_MAX_REVOLUTIONS, 1) > 0 || mpq_cmp_si(angle, -CC_MAX_REVOLUTIONS, 1) < 0)) {
        cc_fail(err, CC_EDOM, "'%.40s' leads beyond %d turns", text, CC_MAX_REVOLUTIONS);
        good = false;
    }
    good = good && pattern_add(pattern, angle, label, err);
    mpq_clear(angle);
    return good;
}

/* Cut the blanks at the end. */
static void trim(char *line)
{
    size_t n = strlen(line);
    while (n > 0 && strchr(" \t\r", line[n - 1]) != NULL)
        line[--n] = '\0';
}

static bool read_list(struct pattern *pattern, const char *path, FILE *in, struct cc_error *err)
{
    char *data, *line, *next;
    size_t length;
    unsigned long number = 0;
    bool good = true;

    if (read_file(&data, &length, path, in, err) != CC_OK)
        return false;
    line = strncmp(data, "\xEF\xBB\xBF", 3) == 0 ? data + 3 : data;    /* a byte order mark */
    for (; line < data + length && good; line = next) {
        char *end = memchr(line, '\n', (size_t)(data + length - line));
        next = end != NULL ? end + 1 : data + length;
        if (end != NULL)
            *end = '\0';
        number++;
        size_t all = (size_t)((end != NULL ? end : data + length) - line);
        if (strlen(line) != all) {
            cc_fail(err, CC_EPARSE, "a byte 0 stands in the line: this is not a text file");
            good = false;
        } else {
            trim(line);
            char *start = line + strspn(line, " \t");
            good = *start == '\0' || *start == '#' || read_entry(pattern, start, true, err);
        }
        if (!good)
            blame(err->status, err, "%.160s:%lu", path, number);
    }
    free(data);
    return good;
}

/* ---- two operands that were meant as one ---- */

enum mark { MARK_NONE, MARK_DEGREE, MARK_MINUTE, MARK_SECOND, MARK_OTHER };

static const struct {
    const char *text;
    enum mark mark;
} mark_names[] = {
    { "\xC2\xB0", MARK_DEGREE },     { "deg", MARK_DEGREE },  { "d", MARK_DEGREE }, { "\xE2\x80\xB2", MARK_MINUTE },
    { "'", MARK_MINUTE },            { "m", MARK_MINUTE },    { "\"", MARK_SECOND }, { "\xE2\x80\xB3", MARK_SECOND },
    { "s", MARK_SECOND },            { "rev", MARK_OTHER },   { "gon", MARK_OTHER },
};

/* The mark at the end of an angle; none for a bare number. */
static enum mark last_mark(const char *text)
{
    size_t length = strlen(text);

    for (size_t i = 0; i < sizeof mark_names / sizeof mark_names[0]; i++) {
        size_t n = strlen(mark_names[i].text);
        if (n <= length && strcmp(text + length - n, mark_names[i].text) == 0)
            return mark_names[i].mark;
    }
    return MARK_NONE;
}

/* The mark behind the number that begins text. */
static enum mark first_mark(const char *text)
{
    const char *p = text + strspn(text, "0123456789./");

    for (size_t i = 0; p > text && i < sizeof mark_names / sizeof mark_names[0]; i++)
        if (strncmp(p, mark_names[i].text, strlen(mark_names[i].text)) == 0)
            return mark_names[i].mark;
    return MARK_NONE;
}

static bool is_whole(const char *text)
{
    size_t n = strspn(text, "0123456789");
    return n > 0 && text[n] == '\0';
}

/* "1/2", "1/2d", or a sign for a quarter, a half or three quarters; not "1/7rev". */
static bool is_fraction(const char *text)
{
    size_t n = strspn(text, "0123456789");
    bool sign = (unsigned char)text[0] == 0xC2 && (unsigned char)text[1] >= 0xBC && (unsigned char)text[1] <= 0xBE;

    return sign || (n > 0 && text[n] == '/' && first_mark(text) != MARK_OTHER);
}

/*
 * "22 1/2", "37d 30m" and "37 30'" without quotes are refused, since two angles would be cut where one was meant.
 * Two that are meant are written "22d 1/2" and "37d 0d30m".
 */
static bool were_one(const char *last, const char *text, struct cc_error *err)
{
    enum mark before = is_whole(last) ? MARK_DEGREE : last_mark(last), behind = first_mark(text);

    if (is_whole(last) && is_fraction(text)) {
        cc_fail(err, CC_EPARSE, "'%.40s' behind '%.40s': quote '%.40s %.40s' if that is one angle, or write %.40sd %.40s "
                "for two", text, last, last, text, last, text);
        return true;
    }
    if ((before == MARK_DEGREE || before == MARK_MINUTE) && behind > before && behind != MARK_OTHER) {
        cc_fail(err, CC_EPARSE, "'%.40s' behind '%.40s': quote \"%.40s %.40s\" if that is one angle, or write 0d%.40s "
                "for an angle of its own", text, last, last, text, text);
        return true;
    }
    return false;
}

static bool read_operand(struct pattern *pattern, const char *text, FILE *in, struct cc_error *err)
{
    const char *last = pattern->last;

    pattern->last = text;
    if (strcmp(text, "-") == 0)
        return read_list(pattern, text, in, err);
    if (last != NULL && were_one(last, text, err))
        return false;
    if (read_entry(pattern, text, false, err))
        return true;
    if (pattern->n > 0 && strpbrk(text, "0123456789") == NULL) {
        cc_fail(err, CC_EPARSE, "'%.40s' is not an angle: a label stands in quotes with its angle, as in "
                "\"37.5 keyway\"", text);
    }
    return false;
}

/* ---- from the pattern to the request ---- */

static int compare_entries(const void *a, const void *b)
{
    const struct entry *x = a, *y = b;
    int d = mpq_cmp(x->at, y->at);

    return d != 0 ? d : x->order < y->order ? -1 : x->order > y->order;
}

/* Copies 1 ... M - 1 of the pattern behind the first. */
static bool repeat_pattern(struct pattern *pattern, unsigned long repeat, struct cc_error *err)
{
    size_t n = pattern->n;
    mpq_t at;
    bool good = true;

    if (repeat > MOST_POSITIONS / n) {
        cc_fail(err, CC_ELIMIT, "--repeat: %lu times %zu angles are more than %lu positions", repeat, n,
                MOST_POSITIONS);
        return false;
    }
    mpq_init(at);
    for (unsigned long copy = 1; copy < repeat && good; copy++) {
        for (size_t i = 0; i < n && good; i++) {
            mpq_set_ui(at, copy, repeat);
            mpq_canonicalize(at);
            mpq_add(at, at, pattern->at[i].at);
            good = pattern_add(pattern, at, pattern->at[i].label, err);
        }
    }
    mpq_clear(at);
    return good;
}

static bool fill_request(struct job *job, struct pattern *pattern, struct cc_error *err)
{
    if (!repeat_pattern(pattern, job->spacing.repeat, err))
        return false;
    for (size_t i = 0; i < pattern->n; i++)
        mpq_add(pattern->at[i].at, pattern->at[i].at, job->request.offset);
    if (job->spacing.sort)
        qsort(pattern->at, pattern->n, sizeof *pattern->at, compare_entries);
    for (size_t i = 0; i < pattern->n; i++)
        if (cc_request_add(&job->request, pattern->at[i].at, pattern->at[i].label, err) != CC_OK)
            return false;
    return true;
}

static bool read_all(struct job *job, struct pattern *pattern, const struct args *args, struct cli *cli)
{
    for (size_t i = 0; i < args->n; i++) {
        const struct operand *operand = &args->operand[i];
        bool in_file = operand->row != NULL;
        if (!(in_file ? read_list(pattern, operand->text, cli->in, &cli->err)
                      : read_operand(pattern, operand->text, cli->in, &cli->err)))
            return false;
        if (in_file)
            pattern->last = NULL;
    }
    if (pattern->n == 0) {
        cc_fail(&cli->err, CC_EPARSE, "an angle is missing: crankcard angles 37.5, or --file FILE");
        return false;
    }
    return fill_request(job, pattern, &cli->err);
}

int job_read_list(struct job *job, struct cli *cli, int argc, char **argv, const struct option_table *tables)
{
    struct pattern pattern;
    struct args args;
    bool good;

    good = args_read(&args, job, tables, argc, argv, &cli->err);
    pattern_init(&pattern, job->spacing.incremental);
    good = good && read_all(job, &pattern, &args, cli);
    pattern_clear(&pattern);
    args_clear(&args);
    return good ? EXIT_YES : EXIT_TROUBLE;
}

int job_read_angles(struct job *job, struct cli *cli, int argc, char **argv)
{
    return job_read_list(job, cli, argc, argv, angles_tables);
}
