/*
 * support.h: what the test programs share. Every helper fails the running test, with its reason,
 * rather than return an error. Programs run from the root of the source tree.
 */
#ifndef CRANKCARD_TESTS_SUPPORT_H
#define CRANKCARD_TESTS_SUPPORT_H

#include <gmp.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "crankcard/status.h"

/* ---- random tests ---- */

/* The seed of random tests: $CRANKCARD_SEED, else a fixed one. Print it in every failure. */
unsigned long test_seed(void);

/* n times $CRANKCARD_TEST_MULT (1 where that is not set). */
unsigned long test_rounds(unsigned long n);

/* A generator begun with test_seed(); the caller clears it with gmp_randclear. */
void test_random_init(gmp_randstate_t state);

/* ---- files ---- */

/* A whole file, a NUL put behind it; *length (may be NULL) without the NUL. The caller frees. */
char *test_read_file(const char *path, size_t *length);

/*
 * A table of tab-separated values: '#' lines and empty lines are skipped, the first other line
 * names the columns.
 *
 *     struct test_tsv t;
 *     test_tsv_open(&t, "tests/reference/plain.tsv");
 *     while (test_tsv_next(&t))
 *         ... test_tsv_get(&t, "divisions") ... fail_msg("%s: ...", test_tsv_where(&t));
 *     test_tsv_close(&t);
 */
enum { TEST_TSV_COLUMNS = 40 };

struct test_tsv {
    const char *path;
    char *text, *at;            /* the whole file; the next line */
    char *name[TEST_TSV_COLUMNS], *cell[TEST_TSV_COLUMNS];
    size_t columns, cells;      /* a row may have fewer cells: the rest are empty */
    unsigned long line, rows;   /* line of the current row; data rows read so far */
    char where[200];
};

void test_tsv_open(struct test_tsv *t, const char *path);
bool test_tsv_next(struct test_tsv *t);
const char *test_tsv_get(const struct test_tsv *t, const char *column);
unsigned long test_tsv_count(const struct test_tsv *t, const char *column);    /* digits only */
const char *test_tsv_where(struct test_tsv *t);     /* "file:line" */
void test_tsv_close(struct test_tsv *t);

struct cc_head;

/* Initialise head and read the profile at path into it; its name is path. The caller clears it. */
void test_head_load(struct cc_head *head, const char *path);

/* Circles of all sides of all plates, a circle counted as often as it is drilled. */
size_t test_circle_count(const struct cc_head *head);

/* ---- rationals ---- */

/* Initialise q to text, "a" or "a/b" with an optional '-'; read by GMP, not by the library. */
void test_mpq_init(mpq_t q, const char *text);

/* Fail with where unless q is canonical and equal to text. */
void test_mpq_equal(const char *where, const mpq_t q, const char *text);

/*
 * One row of a grammar table (columns value, status, message): status and err are what the reader
 * answered, got what it left in an output that held "-77/13" before the call.
 */
void test_grammar_row(struct test_tsv *t, enum cc_status status, const struct cc_error *err,
                      const mpq_t got);
#define TEST_UNTOUCHED "-77/13"

#endif
