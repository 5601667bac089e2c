/* support.c: see support.h. */
#include "support.h"

#include "crankcard/head.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- random tests ---- */

static unsigned long from_environment(const char *name, unsigned long otherwise)
{
    const char *text = getenv(name);
    char *end;

    if (text == NULL || *text == '\0')
        return otherwise;
    unsigned long value = strtoul(text, &end, 10);
    if (*end != '\0')
        fail_msg("%s: '%s' is not a number", name, text);
    return value;
}

unsigned long test_seed(void)
{
    return from_environment("CRANKCARD_SEED", 20240229);
}

unsigned long test_rounds(unsigned long n)
{
    return n * from_environment("CRANKCARD_TEST_MULT", 1);
}

void test_random_init(gmp_randstate_t state)
{
    gmp_randinit_default(state);
    gmp_randseed_ui(state, test_seed());
}

/* ---- files ---- */

char *test_read_file(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    size_t n = 0, size = 4096, got;
    char *text = malloc(size);

    if (file == NULL)
        fail_msg("%s: cannot be opened (run from the root of the source tree)", path);
    while (text != NULL && (got = fread(text + n, 1, size - n - 1, file)) > 0) {
        n += got;
        if (n + 1 == size)
            text = realloc(text, size *= 2);
    }
    if (text == NULL || ferror(file))
        fail_msg("%s: cannot be read", path);
    fclose(file);
    text[n] = '\0';
    if (length != NULL)
        *length = n;
    return text;
}

/* The line at t->at, its end replaced by NUL, or NULL at the end of the file. */
static char *take_line(struct test_tsv *t)
{
    char *line = t->at, *end;

    if (*line == '\0')
        return NULL;
    t->line++;
    end = line + strcspn(line, "\n");
    t->at = *end == '\n' ? end + 1 : end;
    if (end > line && end[-1] == '\r')
        end--;
    *end = '\0';
    return line;
}

static size_t split(char *line, char *cells[], const char *path, unsigned long number)
{
    size_t n = 0;
    for (char *at = line; at != NULL; n++) {
        if (n == TEST_TSV_COLUMNS)
            fail_msg("%s:%lu: too many columns", path, number);
        cells[n] = at;
        at = strchr(at, '\t');
        if (at != NULL)
            *at++ = '\0';
    }
    return n;
}

static char *take_row(struct test_tsv *t)
{
    char *line;
    do
        line = take_line(t);
    while (line != NULL && (*line == '#' || *line == '\0'));
    return line;
}

void test_tsv_open(struct test_tsv *t, const char *path)
{
    memset(t, 0, sizeof *t);
    t->path = path;
    t->text = t->at = test_read_file(path, NULL);
    char *line = take_row(t);
    if (line == NULL)
        fail_msg("%s: no header line", path);
    else
        t->columns = split(line, t->name, path, t->line);
}

bool test_tsv_next(struct test_tsv *t)
{
    char *line = take_row(t);
    if (line == NULL)
        return false;
    t->cells = split(line, t->cell, t->path, t->line);
    if (t->cells > t->columns)
        fail_msg("%s:%lu: more cells than columns", t->path, t->line);
    t->rows++;
    return true;
}

const char *test_tsv_get(const struct test_tsv *t, const char *column)
{
    for (size_t i = 0; i < t->columns; i++)
        if (strcmp(t->name[i], column) == 0)
            return i < t->cells ? t->cell[i] : "";
    fail_msg("%s: no column '%s'", t->path, column);
    return "";
}

unsigned long test_tsv_count(const struct test_tsv *t, const char *column)
{
    const char *text = test_tsv_get(t, column);
    if (*text == '\0' || text[strspn(text, "0123456789")] != '\0')
        fail_msg("%s:%lu: %s: '%s' is not a count", t->path, t->line, column, text);
    return strtoul(text, NULL, 10);
}

const char *test_tsv_where(struct test_tsv *t)
{
    snprintf(t->where, sizeof t->where, "%s:%lu", t->path, t->line);
    return t->where;
}

void test_tsv_close(struct test_tsv *t)
{
    if (t->rows == 0)
        fail_msg("%s: no row was read", t->path);
    free(t->text);
}

/* ---- rationals ---- */

void test_mpq_init(mpq_t q, const char *text)
{
    mpq_init(q);
    if (mpq_set_str(q, text, 10) != 0 || mpz_sgn(mpq_denref(q)) == 0)
        fail_msg("'%s' is not a rational", text);
    mpq_canonicalize(q);
}

void test_mpq_equal(const char *where, const mpq_t q, const char *text)
{
    mpq_t want;
    char *got = mpq_get_str(NULL, 10, q);

    test_mpq_init(want, text);
    /* mpq_equal compares the parts, so a fraction that is not canonical differs. */
    if (!mpq_equal(q, want))
        fail_msg("%s: %s, expected %s", where, got, text);
    free(got);
    mpq_clear(want);
}

static enum cc_status status_of_word(const struct test_tsv *t)
{
    const char *word = test_tsv_get(t, "status");
    if (strcmp(word, "parse") == 0)
        return CC_EPARSE;
    if (strcmp(word, "domain") == 0)
        return CC_EDOM;
    if (strcmp(word, "limit") == 0)
        return CC_ELIMIT;
    if (*word != '\0')
        fail_msg("%s:%lu: status '%s' is not known", t->path, t->line, word);
    return CC_OK;
}

void test_grammar_row(struct test_tsv *t, enum cc_status status, const struct cc_error *err,
                      const mpq_t got)
{
    const char *where = test_tsv_where(t);
    enum cc_status want = status_of_word(t);

    if (status != want)
        fail_msg("%s: status %d, expected %d: %s", where, (int)status, (int)want,
                 status != CC_OK ? err->text : "");
    if (status != CC_OK && strcmp(err->text, test_tsv_get(t, "message")) != 0)
        fail_msg("%s: \"%s\", expected \"%s\"", where, err->text, test_tsv_get(t, "message"));
    if (status != CC_OK && err->status != status)
        fail_msg("%s: err->status is %d", where, (int)err->status);
    test_mpq_equal(where, got, status == CC_OK ? test_tsv_get(t, "value") : TEST_UNTOUCHED);
}

void test_head_load(struct cc_head *head, const char *path)
{
    struct cc_error err = { 0 };
    size_t length;
    char *text = test_read_file(path, &length);

    cc_head_init(head);
    if (cc_head_read(head, text, length, path, path, &err) != CC_OK)
        fail_msg("%s", err.text);
    free(text);
}

size_t test_circle_count(const struct cc_head *head)
{
    size_t count = 0;

    for (size_t i = 0; i < head->plate_count; i++)
        for (size_t side = 0; side < CC_MAX_SIDES; side++)
            count += head->plates[i].side[side].n;
    return count;
}
