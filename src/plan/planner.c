/*
 * planner.c: puts a request in the search's terms and walks the table of methods.
 *
 * The order of plans is docs/method.md, "Which plan comes first". To add a method: one file with a
 * find function, one row in the table below; what else must know it stands in DEVELOPERS.md.
 */
#include <inttypes.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "core/fit.h"
#include "plan/search.h"

/* ---- the table of methods, the preferred first ---- */

static const struct row {
    enum cc_method method;
    bool exact;             /* its plans are exact */
    void (*find)(struct cci_search *search);
} rows[] = {
    { CC_DIRECT, true, cci_find_direct },
    { CC_PLAIN, true, cci_find_plain },
    { CC_DIAL, true, cci_find_dial },
    { CC_DIFFERENTIAL, true, cci_find_differential },
    { CC_COMPOUND, true, cci_find_compound },
    { CC_DIFFERENTIAL, true, cci_find_differential_blocks },
    { CC_NEARLY_EXACT, false, cci_find_nearly_exact },
    { CC_NEAREST_HOLE, false, cci_find_nearest_hole },
    { CC_NEAREST_COMPOUND, false, cci_find_nearest_compound },
    { CC_DIAL, false, cci_find_nearest_reading },
    { CC_DIFFERENTIAL, false, cci_find_nearest_train },
};

#define ROWS (sizeof rows / sizeof rows[0])
#define MOST_DIGITS 46      /* of a count that is said in full */

/*
 * The order in which they are searched: roundings before the blocks of a nearly exact setting, whose number their effort
 * and error bound. Which plan comes first does not depend on it.
 */
static const unsigned char searched[] = { 0, 1, 2, 3, 4, 5, 8, 7, 9, 10, 6 };

/* ---- the request in the search's terms ---- */

/* out = the largest rational of which a and b are whole multiples: gcd of numerators over lcm of denominators. */
static void rational_gcd(mpq_t out, const mpq_t a, const mpq_t b)
{
    mpq_t tmp;

    mpq_init(tmp);
    mpz_gcd(mpq_numref(tmp), mpq_numref(a), mpq_numref(b));
    mpz_lcm(mpq_denref(tmp), mpq_denref(a), mpq_denref(b));
    mpq_canonicalize(tmp);
    mpq_swap(out, tmp);
    mpq_clear(tmp);
}

/* A block must be below N (for N = 1 it is 1) and prime to it; the message names one that would do. */
static enum cc_status check_block(const struct cc_request *r, struct cc_error *err)
{
    mpz_t g, right;
    char text[48];
    enum cc_status s = CC_OK;

    if (!cc_request_is_circle(r))
        return cc_fail(err, CC_EDOM, "blocks go round a full circle: leave out the arc or the block");
    mpz_init(g);
    mpz_init(right);
    mpz_gcd(g, r->block, r->divisions);
    bool below = mpz_cmp(r->block, r->divisions) < 0 || mpz_cmp_ui(r->block, 1) == 0;
    if (mpz_sgn(r->block) < 0 || mpz_cmp_ui(g, 1) != 0 || !below) {
        /* The next smaller number that is prime to N; 1 always is. */
        mpz_mod(right, r->block, r->divisions);
        do {
            mpz_sub_ui(right, right, 1);
            mpz_gcd(g, right, r->divisions);
        } while (mpz_cmp_ui(right, 1) > 0 && mpz_cmp_ui(g, 1) != 0);
        if (mpz_sgn(right) <= 0)
            mpz_set_ui(right, 1);
        if (mpz_sizeinbase(right, 10) < sizeof text - 1)
            mpz_get_str(text, 10, right);
        else
            text[0] = '\0';
        s = cc_fail(err, CC_EDOM,
                    "a block must be smaller than the divisions and have no factor in common with them, or "
                    "some are never reached%s%s%s", text[0] != '\0' ? ": " : "", text,
                    text[0] != '\0' ? " would do" : "");
    }
    mpz_clear(right);
    mpz_clear(g);
    return s;
}

static enum cc_status check_request(const struct cc_request *r, struct cc_error *err)
{
    mpq_t size;
    enum cc_status s = CC_OK;

    if (r->position_count > 0)
        return CC_OK;
    if (mpz_sgn(r->divisions) <= 0)
        return cc_fail(err, CC_EDOM, "divisions must be 1 or more");
    if (mpq_sgn(r->arc) <= 0)
        return cc_fail(err, CC_EDOM, "an arc must be more than nothing");
    if (mpq_sgn(r->offset) != 0 || !cc_request_is_circle(r)) {
        mpq_init(size);
        mpq_abs(size, r->offset);
        if (mpq_cmp_ui(size, CC_MAX_REVOLUTIONS, 1) > 0 || mpq_cmp_ui(r->arc, CC_MAX_REVOLUTIONS, 1) > 0)
            s = cc_fail(err, CC_EDOM, "an arc or an offset is at most %d turns", CC_MAX_REVOLUTIONS);
        mpq_clear(size);
    }
    if (s == CC_OK && mpz_sgn(r->block) != 0)
        s = check_block(r, err);
    return s;
}

static void describe_divisions(struct cci_search *search)
{
    const struct cc_request *r = search->request;

    search->circle = cc_request_is_circle(r);
    search->too_many = cc_get_u64(r->divisions) > CCI_MOST_DIVISIONS;
    if (search->too_many)
        return;
    search->divisions = cc_get_u64(r->divisions);
    search->free_block = search->circle && mpz_sgn(r->block) == 0;
    search->block = mpz_sgn(r->block) > 0 ? cc_get_u64(r->block) : 1;
    mpz_set(mpq_numref(search->step), mpq_numref(r->arc));
    if (search->circle && search->block > 1)
        mpz_set(mpq_numref(search->step), r->block);
    mpz_mul(mpq_denref(search->step), mpq_denref(r->arc), r->divisions);
    if (mpz_cmp_ui(mpq_numref(search->step), 1) != 0)
        mpq_canonicalize(search->step);
    if (mpq_sgn(r->offset) == 0)
        mpq_set(search->grain, search->step);
    else
        rational_gcd(search->grain, search->step, r->offset);
}

/*
 * A grain whose denominator is beyond 64 bits: nothing can be exact. A common denominator only grows, so
 * a list need not be looked at any further.
 */
static bool is_fine(const mpq_t grain)
{
    return mpz_sizeinbase(mpq_denref(grain), 2) > 61;
}

/* Whether what the head is taken to hold so is within an asked tolerance. */
static bool head_can_hold(const struct cci_search *search, enum cc_index by)
{
    mpq_t holds;
    bool can;

    mpq_init(holds);
    (void)cc_head_taken_to_hold(holds, search->head, by);
    can = mpq_cmp(holds, search->tolerance) <= 0;
    mpq_clear(holds);
    return can;
}

static struct cci_search *search_begin(struct cc_planner *planner, const struct cc_request *request, enum cci_keep keep,
                                       struct cc_error *err)
{
    struct cci_search *search = planner->search;

    memset(search, 0, offsetof(struct cci_search, step));
    search->best.any = search->rounding.ready = false;
    search->planner = planner;
    search->head = planner->head;
    search->request = request;
    search->err = err;
    search->keep = keep;
    search->block = 1;
    search->tolerance = request->has_tolerance ? request->tolerance : planner->own_tolerance;
    mpq_set_ui(search->step, 0, 1);
    mpq_set_ui(search->grain, 0, 1);
    for (enum cc_index by = CC_INDEX_WORM; by <= CC_INDEX_DIAL; by++)
        search->holds[by] = !request->has_tolerance || head_can_hold(search, by);
    if (request->position_count > 0)
        for (size_t i = 0; i < request->position_count && !is_fine(search->grain); i++)
            rational_gcd(search->grain, search->grain, request->position[i]);
    else
        describe_divisions(search);
    search->fine = is_fine(search->grain);
    if (!search->fine)
        search->grain_den = cc_get_u64(mpq_denref(search->grain));
    search->grain_one = mpz_cmp_ui(mpq_numref(search->grain), 1) == 0;
    if (request->position_count > 0)
        search->status = cci_list_prepare(&search->list, search, err);
    cci_prepare_ranking(search);
    return search;
}

static void search_end(struct cci_search *search)
{
    cc_plans_clear(&search->found);
    cci_list_clear(&search->list);
}

/* ---- searching ---- */

static int compare_plans(const void *a, const void *b)
{
    return cc_plan_compare(a, b);
}

static bool is_unrestricted(const struct cc_request *r, const struct cc_head *head)
{
    unsigned exact = 0;
    if (r->circle != 0 || mpq_sgn(r->most_turns) != 0 || mpz_sgn(r->block) != 0)
        return false;
    if (r->methods == CC_ALL_METHODS)
        return true;
    for (size_t i = 0; i < ROWS; i++)
        if (rows[i].exact)
            exact |= 1U << rows[i].method;
    if (!cc_head_has_dial(head))    /* it is no limit to leave out what is not there */
        exact &= ~(1U << CC_DIAL);
    return (r->methods & exact) == exact;
}

/* What was asked for that keeps plans out: "--method or --circle". */
static void limits_said(char *buf, size_t size, const struct cc_request *r)
{
    const struct {
        bool said;
        const char *option;
    } limits[] = {
        { r->methods != CC_ALL_METHODS, "--method" },
        { r->circle != 0, "--circle" },
        { mpz_sgn(r->block) != 0, "--block" },
        { mpq_sgn(r->most_turns) != 0, "--most-turns" },
    };

    buf[0] = '\0';
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        size_t used = strlen(buf);
        if (limits[i].said)
            snprintf(buf + used, size - used, "%s%s", used > 0 ? " or " : "", limits[i].option);
    }
}

/* What the head has not that all the methods allowed ask for, in brackets; empty where it is something else. */
static const char *lacking(const struct cci_search *search)
{
    const struct cc_head *head = search->head;
    unsigned methods = search->request->methods;

    if (methods == 1U << CC_DIRECT)
        return head->direct.n == 0 ? " (this head has no direct plate)" : "";
    if (methods == 1U << CC_DIAL)
        return !cc_head_has_dial(head) ? " (this head has no dial)" : "";
    if ((methods & (1U << CC_DIRECT | 1U << CC_DIAL)) != 0)
        return "";
    if (head->plate_count == 0)
        return " (this head has no plates)";
    if (methods != 1U << CC_DIFFERENTIAL)
        return "";
    if (head->gears.n == 0)
        return " (this head has no change gears)";
    struct cc_searched tried = search->answer.searched;
    if (head->bracket.stated)
        cc_planner_count_trains(&tried, search->planner);
    return tried.trains == 0 && tried.unfit > 0 ? " (none of its trains goes on its bracket)" : "";
}

/* Positions that the finest setting keeps apart, by the crank and without gears. */
static uint64_t kept_apart(const struct cc_planner *planner, const struct cc_request *r)
{
    const struct cc_head *head = planner->head;
    uint64_t dial = cc_head_has_dial(head) ? cci_units_apart(planner, cci_dial_parts(head, r)) : 0;

    return dial > planner->apart ? dial : planner->apart;
}

static enum cc_status too_many_divisions(const struct cc_planner *planner, const struct cc_request *r, struct cc_error *err)
{
    const struct cc_head *head = planner->head;
    const char *keeps = head->plate_count == 0 && cc_head_has_dial(head) ? "dial keeps" : "circles keep";
    char n[MOST_DIGITS + 2];
    uint64_t most = kept_apart(planner, r);
    size_t digits = mpz_sizeinbase(r->divisions, 10);

    if (digits > MOST_DIGITS)
        return cc_fail(err, CC_ENOFIT, "no setting of this head gives divisions by a number of %zu digits: its %s at most %" PRIu64
                       " apart", digits, keeps, most);
    mpz_get_str(n, 10, r->divisions);
    return cc_fail(err, CC_ENOFIT, "no setting of this head gives %s divisions: its %s at most %" PRIu64 " apart", n, keeps, most);
}

static enum cc_status no_plan(const struct cci_search *search)
{
    const struct cc_request *r = search->request;
    bool circle = cc_request_is_circle(r);
    char n[MOST_DIGITS + 2], limits[64];

    if (r->position_count > 0)
        return cc_fail(search->err, CC_ENOFIT, "no method allowed here serves this list of angles: leave out --method "
                       "or --circle");
    if (mpz_sizeinbase(r->divisions, 10) > MOST_DIGITS ||
        (circle && cc_get_u64(r->divisions) > kept_apart(search->planner, r)))
        return too_many_divisions(search->planner, r, search->err);
    mpz_get_str(n, 10, r->divisions);
    if (is_unrestricted(r, search->head) && r->methods == CC_ALL_METHODS)
        return cc_fail(search->err, CC_ENOFIT, "no setting of this head gives %s divisions%s: none keeps them apart", n,
                       circle ? "" : " of that arc");
    limits_said(limits, sizeof limits, r);
    return cc_fail(search->err, CC_ENOFIT, "no plan for %s by what is allowed%s: leave out %s, or see crankcard methods %s", n,
                   lacking(search), limits, n);
}

uint64_t cc_planner_most_divisions(const struct cc_planner *planner, const struct cc_request *r)
{
    bool known = planner->head->gears.n == 0 && !planner->long_way && cc_request_is_circle(r);

    return known ? kept_apart(planner, r) : UINT64_MAX;
}

/* A table may have thousands of such counts, and they need no search. */
static bool is_beyond(const struct cc_planner *planner, const struct cc_request *r)
{
    return cc_get_u64(r->divisions) > cc_planner_most_divisions(planner, r);
}

/* No search is needed to refuse it; why, where somebody reads it. */
static enum cc_status refuse(struct cc_answer *answer, const struct cc_planner *planner, const struct cc_request *r,
                             struct cc_error *err)
{
    if (answer != NULL) {
        memset(answer, 0, sizeof *answer);
        answer->exact = is_unrestricted(r, planner->head) ? CC_ABSENT : CC_UNPROVED;
    }
    return err == NULL ? CC_ENOFIT : too_many_divisions(planner, r, err);
}

/* Walk the table, to its end where more than the first plan is wanted. */
static enum cc_status run_search(struct cci_search *search)
{
    const struct cc_request *r = search->request;

    if (!search->too_many) {
        for (size_t i = 0; i < ROWS && search->status == CC_OK; i++) {
            size_t row = searched[i];
            if ((r->methods & search->planner->serving & (1U << rows[row].method)) == 0)
                continue;
            if (search->keep == CCI_KEEP_FIRST && cci_is_settled(search))
                break;
            search->rank = (unsigned)row;
            rows[row].find(search);
            if (search->keep == CCI_KEEP_ROWS) {
                cci_build_best(search);
                search->best.any = false;
                search->kept = (struct cci_mark){ .any = false };
            }
        }
        cci_build_best(search);
    }
    if (search->status != CC_OK)
        return search->status;
    search->answer.exact = search->any_exact    ? CC_EXISTS
                           : is_unrestricted(r, search->head) ? CC_ABSENT
                                                : CC_UNPROVED;
    if (search->first_in_hand)
        return CC_OK;
    if (search->found.n == 0)
        return search->err == NULL ? CC_ENOFIT : no_plan(search);   /* why, where somebody reads it */
    qsort(search->found.at, search->found.n, sizeof *search->found.at, compare_plans);
    return CC_OK;
}

/* The gears of a plan found in their best arrangement on the bracket, idlers named. */
static void settle_gears(struct cc_plan *plan, const struct cc_head *head)
{
    struct cc_train *train = &plan->train;
    struct cci_gears gears;
    struct cci_bracket bracket;

    if (train->pairs == 0 || (train->idlers == 0 && !head->bracket.stated))
        return;
    cci_gears_of_head(&gears, &bracket, train, head, CC_FOR_DIFFERENTIAL);
    cci_settle(train, &gears, 0);
}

enum cc_status cc_planner_best(struct cc_plan *plan, struct cc_answer *answer,
                               struct cc_planner *planner, const struct cc_request *request,
                               struct cc_error *err)
{
    enum cc_status s = check_request(request, err);

    if (s != CC_OK)
        return s;
    if (is_beyond(planner, request))
        return refuse(answer, planner, request, err);
    struct cci_search *search = search_begin(planner, request, CCI_KEEP_FIRST, err);
    s = run_search(search);
    if (answer != NULL)
        *answer = search->answer;
    if (s == CC_OK) {
        cc_plan_swap(plan, search->first_in_hand ? &search->scratch : &search->found.at[0]);
        settle_gears(plan, planner->head);
    }
    search_end(search);
    return s;
}

enum cc_status cc_planner_all(struct cc_plans *plans, struct cc_answer *answer,
                              struct cc_planner *planner, const struct cc_request *request,
                              bool every, struct cc_error *err)
{
    enum cc_status s = check_request(request, err);

    if (s != CC_OK)
        return s;
    if (is_beyond(planner, request))
        return refuse(answer, planner, request, err);
    struct cci_search *search = search_begin(planner, request, every ? CCI_KEEP_ALL : CCI_KEEP_ROWS, err);
    s = run_search(search);
    if (answer != NULL)
        *answer = search->answer;
    if (s == CC_OK) {
        struct cc_plans old = *plans;
        *plans = search->found;
        search->found = old;
        for (size_t i = 0; i < plans->n; i++)
            settle_gears(&plans->at[i], planner->head);
    }
    search_end(search);
    return s;
}
