/*
 * test_choice.c: which plan comes first, line by line of docs/method.md. tests/cases/plan_pairs.tsv has pairs of
 * plans made by hand, tests/cases/plan_choice.tsv heads and requests on which a line decides.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "support.h"

/* ---- words such as "circle=20 forward=1" ---- */

struct words {
    char text[1000];
    char *key[30], *value[30];
    size_t n;
};

static void read_words(struct words *w, const char *text, const char *where)
{
    snprintf(w->text, sizeof w->text, "%s", text);
    w->n = 0;
    for (char *word = strtok(w->text, " "); word != NULL; word = strtok(NULL, " ")) {
        char *equals = strchr(word, '=');
        if (equals == NULL || w->n == sizeof w->key / sizeof w->key[0])
            fail_msg("%s: '%s' is not KEY=VALUE, or one too many", where, word);
        *equals = '\0';
        w->key[w->n] = word;
        w->value[w->n++] = equals + 1;
    }
}

static bool has_key(const struct words *w, const char *key)
{
    for (size_t i = 0; i < w->n; i++)
        if (strcmp(w->key[i], key) == 0)
            return true;
    return false;
}

static bool share_a_key(const struct words *a, const struct words *b)
{
    for (size_t i = 0; i < a->n; i++)
        if (has_key(b, a->key[i]))
            return true;
    return false;
}

/* ---- pairs made by hand ---- */

static bool set_flag(struct cc_plan *p, const char *key, bool value)
{
    struct { const char *key; bool *at; } flags[] = {
        { "within", &p->within }, { "holds", &p->holds }, { "exact", &p->exact }, { "mounted", &p->is_mounted },
    };

    for (size_t i = 0; i < sizeof flags / sizeof flags[0]; i++) {
        if (strcmp(flags[i].key, key) == 0) {
            *flags[i].at = value;
            return true;
        }
    }
    return false;
}

static bool set_count(struct cc_plan *p, const char *key, unsigned value)
{
    struct { const char *key; unsigned *at; } counts[] = {
        { "rank", &p->rank }, { "circle", &p->circle }, { "circle2", &p->circle2 }, { "side", &p->side },
        { "pairs", &p->train.pairs }, { "idlers", &p->train.idlers },
        { "driver1", &p->train.driver[0] }, { "driven1", &p->train.driven[0] },
        { "driver2", &p->train.driver[1] }, { "driven2", &p->train.driven[1] },
    };

    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        if (strcmp(counts[i].key, key) == 0) {
            *counts[i].at = value;
            return true;
        }
    }
    return false;
}

static bool set_rational(struct cc_plan *p, const char *key, const char *value)
{
    mpq_ptr at = strcmp(key, "worst") == 0            ? p->worst_error
                 : strcmp(key, "travel") == 0         ? p->travel
                 : strcmp(key, "turns_of_plate") == 0 ? p->plate_turns
                                                      : NULL;

    if (at == NULL)
        return false;
    assert_int_equal(mpq_set_str(at, value, 10), 0);
    return true;
}

static void set_word(struct cc_plan *p, const char *key, const char *value, const char *where)
{
    unsigned long number = strtoul(value, NULL, 10);

    if (set_flag(p, key, number != 0) || set_count(p, key, (unsigned)number) || set_rational(p, key, value))
        return;
    if (strcmp(key, "block") == 0)
        p->block = number;
    else if (strcmp(key, "unit") == 0)
        p->unit = number;
    else if (strcmp(key, "effort") == 0)
        p->effort = 10 * number;
    else if (strcmp(key, "move") == 0)
        p->move = (int64_t)number;
    else if (strcmp(key, "plate") == 0)
        p->plate = number;
    else
        fail_msg("%s: '%s' is no part of a plan", where, key);
}

/* A row of the table: what both plans have, and what sets the first and the second apart. */
struct pair_row {
    char where[200], line[10], why[200];
    struct words both, first, second;
};

static void describe_plan(struct cc_plan *p, const struct pair_row *row, bool first)
{
    static const char plain[] = "within=1 holds=1 exact=1 rank=1 block=1 side=1 circle=20 unit=20 move=20 travel=20";
    struct words usual;
    const struct words *own = first ? &row->first : &row->second;

    if (p->unit == 0) {
        read_words(&usual, plain, "base");
        p->method = CC_PLAIN;
        p->constant = true;
        for (size_t i = 0; i < usual.n; i++)
            set_word(p, usual.key[i], usual.value[i], row->where);
    }
    for (size_t i = 0; i < row->both.n; i++)
        set_word(p, row->both.key[i], row->both.value[i], row->where);
    for (size_t i = 0; i < own->n; i++)
        set_word(p, own->key[i], own->value[i], row->where);
}

/* a goes before b, and b behind a. */
static void goes_before(const struct cc_plan *a, const struct cc_plan *b, const struct pair_row *row,
                        const struct pair_row *against)
{
    if (cc_plan_compare(a, b) >= 0 || cc_plan_compare(b, a) <= 0)
        fail_msg("%s: line %s: %s%s%s", row->where, row->line, row->why, against != NULL ? ", whatever " : "",
                 against != NULL ? against->why : "");
}

/* The pair of row; with against, a later row that would have it the other way round. */
static void check_pair(const struct pair_row *row, const struct pair_row *against)
{
    struct cc_plan a, b;

    cc_plan_init(&a);
    cc_plan_init(&b);
    describe_plan(&a, row, true);
    describe_plan(&b, row, false);
    if (against != NULL) {
        describe_plan(&a, against, false);
        describe_plan(&b, against, true);
    }
    goes_before(&a, &b, row, against);
    cc_plan_clear(&b);
    cc_plan_clear(&a);
}

/* Whether both rows can be true of one pair: none says what the other says too. */
static bool can_meet(const struct pair_row *a, const struct pair_row *b)
{
    return !share_a_key(&a->both, &b->both) && !share_a_key(&a->both, &b->first) &&
           !share_a_key(&a->first, &b->both) && !share_a_key(&a->first, &b->first);
}

static void read_pair(struct pair_row *row, struct test_tsv *t)
{
    snprintf(row->where, sizeof row->where, "%s", test_tsv_where(t));
    snprintf(row->line, sizeof row->line, "%s", test_tsv_get(t, "line"));
    snprintf(row->why, sizeof row->why, "%s", test_tsv_get(t, "why"));
    read_words(&row->both, test_tsv_get(t, "both"), row->where);
    read_words(&row->first, test_tsv_get(t, "first"), row->where);
    read_words(&row->second, test_tsv_get(t, "second"), row->where);
    if (row->first.n == 0 || row->first.n != row->second.n || share_a_key(&row->both, &row->first))
        fail_msg("%s: first and second say something, of the same, and both says nothing of it", row->where);
    for (size_t i = 0; i < row->first.n; i++)
        if (!has_key(&row->second, row->first.key[i]))
            fail_msg("%s: second says nothing of %s", row->where, row->first.key[i]);
}

static void pairs_by_hand(void **state)
{
    static struct pair_row rows[60];
    struct test_tsv t;
    size_t n = 0, met = 0;
    (void)state;

    test_tsv_open(&t, "tests/cases/plan_pairs.tsv");
    while (test_tsv_next(&t)) {
        assert_true(n < sizeof rows / sizeof rows[0]);
        read_pair(&rows[n++], &t);
    }
    test_tsv_close(&t);
    for (size_t i = 0; i < n; i++) {
        check_pair(&rows[i], NULL);
        for (size_t j = i + 1; j < n; j++) {
            if (!can_meet(&rows[i], &rows[j]))
                continue;
            check_pair(&rows[i], &rows[j]);
            met++;
        }
    }
    assert_true(met > n * (n - 1) / 4);
}

/* ---- heads and requests on which a line decides ---- */

/* A number of a plan by its name in the table, as text. */
static void tell(char *buf, size_t size, const struct cc_plan *p, const char *key, const char *where)
{
    if (strcmp(key, "method") == 0)
        snprintf(buf, size, "%s", cc_method_name(p->method));
    else if (strcmp(key, "circle") == 0)
        snprintf(buf, size, "%u", p->circle);
    else if (strcmp(key, "circle2") == 0)
        snprintf(buf, size, "%u", p->circle2);
    else if (strcmp(key, "exact") == 0)
        snprintf(buf, size, "%d", p->exact);
    else if (strcmp(key, "block") == 0)
        snprintf(buf, size, "%llu", (unsigned long long)p->block);
    else if (strcmp(key, "plate") == 0)
        snprintf(buf, size, "%zu", p->plate);
    else if (strcmp(key, "side") == 0)
        snprintf(buf, size, "%u", p->side);
    else if (strcmp(key, "move") == 0)
        snprintf(buf, size, "%lld", (long long)p->move);
    else if (strcmp(key, "gears") == 0)
        snprintf(buf, size, "%u", 2 * p->train.pairs);
    else if (strcmp(key, "idlers") == 0)
        snprintf(buf, size, "%u", p->train.idlers);
    else if (strcmp(key, "driver") == 0)
        snprintf(buf, size, "%u", p->train.driver[0]);
    else if (strcmp(key, "driven") == 0)
        snprintf(buf, size, "%u", p->train.driven[0]);
    else if (strcmp(key, "turns_of_plate") == 0)
        gmp_snprintf(buf, size, "%Qd", p->plate_turns);
    else
        fail_msg("%s: '%s' is not known of a plan", where, key);
}

static bool is_so(const struct cc_plan *p, const struct words *w, const char *where)
{
    char got[60];

    for (size_t i = 0; i < w->n; i++) {
        tell(got, sizeof got, p, w->key[i], where);
        if (strcmp(got, w->value[i]) != 0)
            return false;
    }
    return true;
}

static void ask_word(struct cc_request *r, const char *key, const char *value, const char *where)
{
    enum cc_method method;

    if (strcmp(key, "divisions") == 0) {
        mpz_set_str(r->divisions, value, 10);
    } else if (strcmp(key, "tolerance") == 0) {     /* minutes of arc */
        r->has_tolerance = true;
        mpq_set_ui(r->tolerance, strtoul(value, NULL, 10), 21600);
        mpq_canonicalize(r->tolerance);
    } else if (strcmp(key, "block") == 0) {
        mpz_set_str(r->block, value, 10);
    } else if (strcmp(key, "method") == 0) {        /* more than once: any of them */
        assert_int_equal(cc_method_parse(&method, value, NULL), CC_OK);
        r->methods = (r->methods == CC_ALL_METHODS ? 0 : r->methods) | 1U << method;
    } else {
        fail_msg("%s: '%s' cannot be asked", where, key);
    }
}

/* A head: the name of a shipped one, or a profile with '|' for each end of line. */
static void open_head(struct bench *b, const char *head)
{
    char text[600];

    if (strchr(head, '|') == NULL) {
        bench_open(b, head);
        return;
    }
    snprintf(text, sizeof text, "%s", head);
    for (char *at = strchr(text, '|'); at != NULL; at = strchr(at, '|'))
        *at = '\n';
    bench_text(b, text, "invented");
}

static void check_choice(struct test_tsv *t)
{
    struct words request, first, beaten;
    const char *where = test_tsv_where(t);
    struct bench b;
    bool also = false;

    read_words(&request, test_tsv_get(t, "request"), where);
    read_words(&first, test_tsv_get(t, "first"), where);
    read_words(&beaten, test_tsv_get(t, "beaten"), where);
    open_head(&b, test_tsv_get(t, "head"));
    new_request(&b, 1);
    for (size_t i = 0; i < request.n; i++)
        ask_word(&b.request, request.key[i], request.value[i], where);
    find_all(&b, true);
    assert_true(find_best(&b));
    if (!is_so(&b.best, &first, where) || cc_plan_compare(&b.best, &b.all.at[0]) != 0)
        fail_msg("%s: line %s: first is %s %u %u block %llu\n%s", where, test_tsv_get(t, "line"),
                 cc_method_name(b.best.method), b.best.circle, b.best.circle2, (unsigned long long)b.best.block,
                 describe(&b));
    if (is_so(&b.best, &beaten, where))
        fail_msg("%s: the first is also what is beaten", where);
    for (size_t i = 1; i < b.all.n; i++)
        also = also || is_so(&b.all.at[i], &beaten, where);
    if (!also)
        fail_msg("%s: no plan is what is beaten\n%s", where, describe(&b));
    bench_close(&b);
}

static void choices(void **state)
{
    struct test_tsv t;
    (void)state;

    test_tsv_open(&t, "tests/cases/plan_choice.tsv");
    while (test_tsv_next(&t))
        check_choice(&t);
    test_tsv_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pairs_by_hand),
        cmocka_unit_test(choices),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
