/*
 * naive.c: the long way (naive.h) as a program, for `make vote`. Standard input has lines
 *
 *     head FILE
 *     ask N ARC OFFSET BLOCK METHODS CIRCLE BY_EYE TOLERANCE LEAST FIRST  SCALE K MOVE ROWS  [POSITION ...]
 *
 * angles in turns as a/b; N 0 with POSITIONs for a list; METHODS a mask of enum cc_method. LEAST 1 asks for the smallest
 * worst error of all settings by rounding, FIRST 1 for the first plan (a full circle without an offset). SCALE a/b, K, MOVE are a setting to be judged ("-" for none): units to a turn
 * of the spindle, divisions at a time, units each time or "-" where each position is rounded; ROWS 1 asks for its rows. The answer is
 *
 *     CLASS EXISTS LEAST FIRST WORST PITCH CLOSING
 *
 * (EXISTS: whether an exact setting exists when nothing is left out; FIRST as class/effort/worst error), then "ANGLE ERROR" for each row asked for.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#pragma GCC diagnostic ignored "-Wunused-function"      /* what other tests ask naive.h for */
#include "../naive_first.h"

/* ---- numbers ---- */

static const char *word(void)
{
    return strtok(NULL, " \n");
}

static unsigned long count(void)
{
    return strtoul(word(), NULL, 10);
}

static void rational(mpq_t q, const char *text)
{
    if (text == NULL || mpq_set_str(q, text, 10) != 0)
        abort();
    mpq_canonicalize(q);
}

/* The whole number nearest to x, halves away from zero. */
static void nearest(mpz_t out, const mpq_t x)
{
    mpq_t half;

    mpq_init(half);
    mpq_set_si(half, mpq_sgn(x) < 0 ? -1 : 1, 2);
    mpq_add(half, half, x);
    mpz_tdiv_q(out, mpq_numref(half), mpq_denref(half));
    mpq_clear(half);
}

static void raise(mpq_t most, const mpq_t x)
{
    mpq_t size;

    mpq_init(size);
    mpq_abs(size, x);
    if (mpq_cmp(size, most) > 0)
        mpq_swap(most, size);
    mpq_clear(size);
}

/* ---- a setting, row by row ---- */

struct judged {
    mpq_t scale;
    unsigned long block;
    bool constant;
    mpz_t move;
    mpq_t *angle, *error;
    unsigned long rows;     /* after row 0 */
    mpq_t worst, pitch;
};

static void judged_init(struct judged *j, const struct cc_request *r)
{
    memset(j, 0, sizeof *j);
    mpq_inits(j->scale, j->worst, j->pitch, NULL);
    mpz_init(j->move);
    j->rows = naive_rows(r);
    j->block = 1;
    j->angle = malloc((j->rows + 1) * sizeof *j->angle);
    j->error = malloc((j->rows + 1) * sizeof *j->error);
    if (j->angle == NULL || j->error == NULL)
        abort();
    for (unsigned long i = 0; i <= j->rows; i++)
        mpq_inits(j->angle[i], j->error[i], NULL);
}

static void judged_clear(struct judged *j)
{
    for (unsigned long i = 0; i <= j->rows; i++)
        mpq_clears(j->angle[i], j->error[i], NULL);
    free(j->angle);
    free(j->error);
    mpz_clear(j->move);
    mpq_clears(j->scale, j->worst, j->pitch, NULL);
}

/* Every row: where it stands, and how far off. */
static void walk(struct judged *j, const struct cc_request *r)
{
    mpq_t nominal, wanted;
    mpz_t units;

    mpq_inits(nominal, wanted, NULL);
    mpz_init(units);
    for (unsigned long i = 0; i <= j->rows; i++) {
        naive_nominal(nominal, r, j->block, i);
        mpq_mul(wanted, nominal, j->scale);
        if (i > 0 && j->constant)
            mpz_add(units, units, j->move);
        else
            nearest(units, wanted);
        mpq_set_z(wanted, units);
        mpq_div(j->angle[i], wanted, j->scale);
        mpq_sub(j->error[i], j->angle[i], nominal);
        raise(j->worst, j->error[i]);
    }
    mpz_clear(units);
    mpq_clears(nominal, wanted, NULL);
}

/* Neighbours on the work: of a circle division d and d + 1, the last and the first; else one row and the next. */
static void neighbours(struct judged *j, const struct cc_request *r)
{
    bool circle = naive_is_circle(r);
    unsigned long n = j->rows;
    mpq_t apart;

    mpq_init(apart);
    /* going on by one division is going on by so many rows */
    unsigned long rows = 1;
    while (circle && n > 1 && rows * (j->block % n) % n != 1)
        rows++;
    for (unsigned long i = 0; i < n; i++) {
        unsigned long next = circle ? (i + rows) % n : i + 1;
        mpq_sub(apart, j->error[next], j->error[i]);
        raise(j->pitch, apart);
    }
    mpq_clear(apart);
}

/* ---- the least worst error by rounding ---- */

struct least {
    const struct cc_request *request;
    mpq_srcptr ratio;
    bool any;
    mpq_t worst;
};

/* Positions stay apart: more than a unit, or one, and then not where a half may be rounded both ways. */
static bool is_apart(const mpq_t scale, const struct cc_request *r)
{
    bool apart = true;
    mpq_t division, first;

    if (r->position_count > 0)
        return true;
    mpq_inits(division, first, NULL);
    mpq_set_z(division, r->divisions);
    mpq_div(division, r->arc, division);
    mpq_mul(division, division, scale);
    mpq_mul(first, r->offset, scale);
    int more = mpq_cmp_ui(division, 1, 1);
    if (more < 0 || (more == 0 && naive_is_circle(r) && mpz_cmp_ui(mpq_denref(first), 2) == 0))
        apart = false;
    if (mpz_cmp_ui(r->block, 1) > 0 && mpz_cmp_ui(mpq_denref(scale), 1) != 0)
        apart = false;
    mpq_clears(division, first, NULL);
    return apart;
}

static bool try_rounding(const struct naive_setting *s, void *data)
{
    struct least *least = data;
    unsigned long block = mpz_cmp_ui(least->request->block, 1) > 0 ? mpz_get_ui(least->request->block) : 1;
    struct judged j;

    if (!naive_is_allowed(s, least->request))
        return false;
    judged_init(&j, least->request);
    mpq_set_ui(j.scale, s->unit, 1);
    mpq_mul(j.scale, j.scale, least->ratio);
    j.block = block;
    if (!naive_fits(j.scale, least->request, block) && is_apart(j.scale, least->request)) {
        walk(&j, least->request);
        if (!least->any || mpq_cmp(j.worst, least->worst) < 0)
            mpq_swap(least->worst, j.worst);
        least->any = true;
    }
    judged_clear(&j);
    return false;
}

static void least_by_rounding(struct least *least, const struct cc_head *head, const struct cc_request *r)
{
    mpq_t one;

    mpq_init(one);
    mpq_set_ui(one, 1, 1);
    least->request = r;
    if ((r->methods & 1U << CC_NEAREST_HOLE) != 0) {
        least->ratio = one;
        for (size_t i = 0; i < head->direct.n; i++) {
            unsigned holes = head->direct.at[i];
            struct naive_setting s = { 0, 0, holes, 0, (unsigned long)holes * naive_pins(head, i), false, 1 };
            try_rounding(&s, least);
        }
        least->ratio = head->worm;
        naive_circles(head, try_rounding, least);
        naive_fine(head, try_rounding, least);
    }
    least->ratio = head->worm;
    const struct naive_setting dial = naive_dial(head, r);
    if ((r->methods & 1U << CC_DIAL) != 0 && dial.unit > 0)
        try_rounding(&dial, least);
    if ((r->methods & 1U << CC_NEAREST_COMPOUND) != 0)
        naive_pairs(head, try_rounding, least);
    mpq_clear(one);
}

/* ---- one line ---- */

static void read_request(struct cc_request *r, bool *wants_least, bool *wants_first)
{
    mpz_set_ui(r->divisions, count());
    rational(r->arc, word());
    rational(r->offset, word());
    mpz_set_ui(r->block, count());
    r->methods = (unsigned)count();
    r->circle = (unsigned)count();
    r->by_eye = (unsigned)count();
    const char *tolerance = word();
    r->has_tolerance = strcmp(tolerance, "-") != 0;
    if (r->has_tolerance)
        rational(r->tolerance, tolerance);
    *wants_least = count() == 1;
    *wants_first = count() == 1;
}

static void read_positions(struct cc_request *r)
{
    mpq_t at;

    mpq_init(at);
    for (const char *text; (text = word()) != NULL;) {
        rational(at, text);
        if (cc_request_add(r, at, NULL, NULL) != CC_OK)
            abort();
    }
    mpq_clear(at);
}

static void judge(struct judged *j, const struct cc_request *r, bool wants_rows)
{
    bool closes = naive_is_circle(r);

    walk(j, r);
    neighbours(j, r);
    gmp_printf(closes ? " %Qd %Qd %Qd\n" : " %Qd %Qd -\n", j->worst, j->pitch, j->error[j->rows]);
    for (unsigned long i = 0; i <= j->rows && wants_rows; i++)
        gmp_printf("%Qd %Qd\n", j->angle[i], j->error[i]);
}

static void answer(const struct naive *naive)
{
    static const char *const names[] = { "none", "direct", "plain", "dial", "differential", "compound",
                                         "differential-by-blocks" };
    struct cc_request r, whole;
    struct least least = { .any = false };
    struct judged j;
    struct naive_rank first;
    bool wants_least, wants_first;

    cc_request_init(&r);
    cc_request_init(&whole);
    mpq_init(least.worst);
    read_request(&r, &wants_least, &wants_first);
    const char *scale = word(), *block = word(), *move = word();
    bool wants_rows = count() == 1;
    read_positions(&r);
    mpz_set(whole.divisions, r.divisions);
    mpq_set(whole.arc, r.arc);
    mpq_set(whole.offset, r.offset);
    whole.by_eye = r.by_eye;
    for (size_t i = 0; i < r.position_count; i++)
        if (cc_request_add(&whole, r.position[i], NULL, NULL) != CC_OK)
            abort();
    printf("%s %d ", names[naive_best(naive, &r)], naive_best(naive, &whole) != NAIVE_NONE);
    if (wants_least)
        least_by_rounding(&least, naive->head, &r);
    if (least.any)
        gmp_printf("%Qd", least.worst);
    else
        putchar('-');
    if (wants_first) {
        naive_first(&first, naive, &r);
        gmp_printf(" %u/%llu/%Qd", first.exact ? first.class : 0, first.effort, first.worst);
        mpq_clear(first.worst);
    } else {
        fputs(" -", stdout);
    }
    if (strcmp(scale, "-") == 0) {
        puts(" - - -");
    } else {
        judged_init(&j, &r);
        rational(j.scale, scale);
        j.block = strtoul(block, NULL, 10);
        j.constant = strcmp(move, "-") != 0;
        if (j.constant && mpz_set_str(j.move, move, 10) != 0)
            abort();
        judge(&j, &r, wants_rows);
        judged_clear(&j);
    }
    mpq_clear(least.worst);
    cc_request_clear(&whole);
    cc_request_clear(&r);
}

int main(void)
{
    static char line[1 << 20];
    struct cc_head head;
    struct naive naive;
    bool is_open = false;

    while (fgets(line, sizeof line, stdin) != NULL) {
        const char *what = strtok(line, " \n");
        if (what != NULL && strcmp(what, "ask") == 0 && is_open) {
            answer(&naive);
            continue;
        }
        if (what == NULL || strcmp(what, "head") != 0)
            abort();
        if (is_open) {
            naive_clear(&naive);
            cc_head_clear(&head);
        }
        test_head_load(&head, word());
        naive_init(&naive, &head);
        is_open = true;
    }
    if (is_open) {
        naive_clear(&naive);
        cc_head_clear(&head);
    }
    return 0;
}
