/*
 * planner.c: walks the table of methods and keeps the best plans.
 *
 * The order of plans is docs/method.md, "Which plan comes first". To add a method: one file with a
 * find function, one row in the table below.
 */
#include <stdlib.h>
#include <string.h>

#include "crankcard/number.h"
#include "plan/search.h"

/* ---- the table of methods, the preferred first ---- */

static const struct row {
    enum cc_method method;
    bool exact;             /* its plans are exact */
    void (*find)(struct cci_search *search);
} rows[] = {
    { CC_DIRECT, true, cci_find_direct },
    { CC_PLAIN, true, cci_find_plain },
    { CC_DIFFERENTIAL, true, cci_find_differential },
    { CC_COMPOUND, true, cci_find_compound },
    { CC_DIFFERENTIAL, true, cci_find_differential_blocks },
    { CC_NEARLY_EXACT, false, cci_find_nearly_exact },
    { CC_NEAREST_HOLE, false, cci_find_nearest_hole },
    { CC_NEAREST_COMPOUND, false, cci_find_nearest_compound },
    { CC_DIFFERENTIAL, false, cci_find_nearest_train },
};

#define ROWS (sizeof rows / sizeof rows[0])

/* ---- plans ---- */

void cc_plan_init(struct cc_plan *plan)
{
    memset(plan, 0, sizeof *plan);
    mpq_init(plan->plate_turns);
    mpq_init(plan->ratio);
    mpq_init(plan->travel);
    mpq_init(plan->worst_error);
    mpq_init(plan->worst_pitch);
    mpq_init(plan->closing_error);
}

void cc_plan_clear(struct cc_plan *plan)
{
    mpq_clear(plan->closing_error);
    mpq_clear(plan->worst_pitch);
    mpq_clear(plan->worst_error);
    mpq_clear(plan->travel);
    mpq_clear(plan->ratio);
    mpq_clear(plan->plate_turns);
}

void cc_plan_swap(struct cc_plan *a, struct cc_plan *b)
{
    struct cc_plan tmp = *a;    /* GMP numbers may be moved whole */
    *a = *b;
    *b = tmp;
}

void cc_plan_set(struct cc_plan *to, const struct cc_plan *from)
{
    struct cc_plan copy = *from;

    if (to == from)
        return;
    /* Keep to's own numbers, then give them from's values. */
    memcpy(copy.plate_turns, to->plate_turns, sizeof copy.plate_turns);
    memcpy(copy.ratio, to->ratio, sizeof copy.ratio);
    memcpy(copy.travel, to->travel, sizeof copy.travel);
    memcpy(copy.worst_error, to->worst_error, sizeof copy.worst_error);
    memcpy(copy.worst_pitch, to->worst_pitch, sizeof copy.worst_pitch);
    memcpy(copy.closing_error, to->closing_error, sizeof copy.closing_error);
    *to = copy;
    mpq_set(to->plate_turns, from->plate_turns);
    mpq_set(to->ratio, from->ratio);
    mpq_set(to->travel, from->travel);
    mpq_set(to->worst_error, from->worst_error);
    mpq_set(to->worst_pitch, from->worst_pitch);
    mpq_set(to->closing_error, from->closing_error);
}

static int compare_u64(uint64_t a, uint64_t b)
{
    return a < b ? -1 : a > b;
}

/* Fewer gears, then smaller blocks, then less motion of the plate, then fewer idlers. */
static int compare_gearing(const struct cc_plan *a, const struct cc_plan *b)
{
    int d = compare_u64(a->train.pairs, b->train.pairs);

    if (d == 0 && a->train.pairs > 0)
        d = compare_u64(a->block, b->block);
    if (d == 0 && a->train.pairs > 0) {
        mpq_t ea, eb;
        mpq_init(ea);
        mpq_init(eb);
        mpq_abs(ea, a->plate_turns);
        mpq_abs(eb, b->plate_turns);
        d = mpq_cmp(ea, eb);
        mpq_clear(eb);
        mpq_clear(ea);
        if (d == 0)
            d = compare_u64(a->train.idlers, b->train.idlers);
    }
    return d;
}

/* A fixed order on the numbers of two settings: never 0 for different ones. */
static int compare_numbers(const struct cc_plan *a, const struct cc_plan *b)
{
    struct cci_split sa = cci_split_units(a, a->move), sb = cci_split_units(b, b->move);
    int d = compare_u64((uint64_t)(llabs(sa.pin) + llabs(sa.plate)),
                        (uint64_t)(llabs(sb.pin) + llabs(sb.plate)));

    if (d == 0)
        d = compare_u64(a->circle2, b->circle2);
    if (d == 0)
        d = compare_u64(a->block, b->block);
    if (d == 0)
        d = compare_u64(a->plate, b->plate);
    if (d == 0)
        d = compare_u64(a->side, b->side);
    if (d == 0)
        d = compare_u64((uint64_t)a->move, (uint64_t)b->move);
    for (unsigned i = 0; i < CC_MAX_PAIRS && d == 0; i++) {
        d = compare_u64(a->train.driver[i], b->train.driver[i]);
        if (d == 0)
            d = compare_u64(a->train.driven[i], b->train.driven[i]);
    }
    return d != 0 ? d : mpq_cmp(a->plate_turns, b->plate_turns);
}

int cc_plan_compare(const struct cc_plan *a, const struct cc_plan *b)
{
    int d = compare_u64(!a->within, !b->within);

    if (d == 0 && !a->within)
        d = mpq_cmp(a->worst_error, b->worst_error);
    if (d == 0)
        d = compare_u64(!a->holds, !b->holds);
    if (d == 0)
        d = compare_u64(!a->exact, !b->exact);
    if (d == 0)
        d = compare_u64(a->rank, b->rank);
    if (d == 0)
        d = compare_u64(a->block > 1, b->block > 1);
    if (d == 0)
        d = compare_u64(!a->is_mounted, !b->is_mounted);
    if (d == 0)
        d = compare_u64(!a->forward, !b->forward);
    if (d == 0)
        d = compare_gearing(a, b);
    if (d == 0)
        d = mpq_cmp(a->travel, b->travel);
    if (d == 0)
        d = compare_u64(b->circle, a->circle);
    return d != 0 ? d : compare_numbers(a, b);
}

void cc_plans_init(struct cc_plans *plans)
{
    *plans = (struct cc_plans){ NULL, 0, 0 };
}

void cc_plans_clear(struct cc_plans *plans)
{
    for (size_t i = 0; i < plans->n; i++)
        cc_plan_clear(&plans->at[i]);
    free(plans->at);
    cc_plans_init(plans);
}

/* One more plan at the end, a copy. */
static bool append_plan(struct cc_plans *plans, const struct cc_plan *plan)
{
    if (plans->n == plans->room) {
        size_t room = plans->room == 0 ? 8 : 2 * plans->room;
        struct cc_plan *more = realloc(plans->at, room * sizeof *more);
        if (more == NULL)
            return false;
        plans->at = more;
        plans->room = room;
    }
    cc_plan_init(&plans->at[plans->n]);
    cc_plan_set(&plans->at[plans->n], plan);
    plans->n++;
    return true;
}

/* ---- the planner: what depends on the head alone ---- */

static bool add_spot(struct cc_planner *planner, size_t plate, unsigned side, unsigned circle)
{
    size_t n = planner->spot_count;
    struct cci_spot *more = realloc(planner->spots, (n + 1) * sizeof *more);

    if (more == NULL)
        return false;
    planner->spots = more;
    more[n] = (struct cci_spot){ plate, side, circle };
    planner->spot_count++;
    return true;
}

static bool add_pair(struct cc_planner *planner, size_t plate, unsigned side, unsigned circle,
                     unsigned circle2)
{
    size_t n = planner->pair_count;
    struct cci_pair *more = realloc(planner->pairs, (n + 1) * sizeof *more);

    if (more == NULL)
        return false;
    planner->pairs = more;
    uint64_t g = cci_gcd(circle, circle2);
    more[n] = (struct cci_pair){ plate, side, circle, circle2, (unsigned)(circle / g),
                                 (unsigned)(circle2 / g), (uint64_t)circle / g * circle2 };
    planner->pair_count++;
    return true;
}

/* The pairs of one side with itself: the crank pin in the larger circle. */
static bool add_pairs_same(struct cc_planner *planner, size_t plate, unsigned side,
                           const struct cc_counts *c)
{
    bool good = true;
    for (size_t i = 0; i < c->n && good; i++)
        for (size_t j = i + 1; j < c->n && good; j++) {
            unsigned a = c->at[i], b = c->at[j];
            good = add_pair(planner, plate, side, a > b ? a : b, a > b ? b : a);
        }
    return good;
}

/* The crank pin on this side, the second pin in the circles of the other. */
static bool add_pairs_other(struct cc_planner *planner, size_t plate, unsigned side,
                            const struct cc_counts *front, const struct cc_counts *back)
{
    bool good = true;
    for (size_t i = 0; i < front->n && good; i++)
        for (size_t j = 0; j < back->n && good; j++)
            if (front->at[i] != back->at[j])
                good = add_pair(planner, plate, side, front->at[i], back->at[j]);
    return good;
}

static bool list_settings(struct cc_planner *planner)
{
    const struct cc_head *head = planner->head;
    bool good = true;

    for (size_t p = 0; p < head->plate_count && good; p++) {
        const struct cc_counts *side = head->plates[p].side;
        for (unsigned s = 0; s < CC_MAX_SIDES && good; s++) {
            for (size_t i = 0; i < side[s].n && good; i++)
                good = add_spot(planner, p, s + 1, side[s].at[i]);
            if (good && head->plate_pin == CC_PIN_SAME)
                good = add_pairs_same(planner, p, s + 1, &side[s]);
            if (good && head->plate_pin == CC_PIN_OTHER)
                good = add_pairs_other(planner, p, s + 1, &side[s], &side[1 - s]);
        }
    }
    return good;
}

enum cc_status cc_planner_new(struct cc_planner **planner, const struct cc_head *head,
                              struct cc_error *err)
{
    struct cc_planner *p = calloc(1, sizeof *p);

    if (p == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    p->head = head;
    if (head->has_worm) {
        p->worm_p = mpz_get_ui(mpq_numref(head->worm));
        p->worm_q = mpz_get_ui(mpq_denref(head->worm));
        if (!list_settings(p)) {
            cc_planner_free(p);
            return cc_fail(err, CC_ENOMEM, "out of memory");
        }
    }
    *planner = p;
    return CC_OK;
}

void cc_planner_free(struct cc_planner *planner)
{
    if (planner == NULL)
        return;
    free(planner->sieved);
    free(planner->gearing_p);
    free(planner->gearings);
    free(planner->pairs);
    free(planner->spots);
    free(planner);
}

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

/* A block must be below N and prime to it; the message names one that would do. */
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
    bool below = mpz_cmp(r->block, r->divisions) < 0 || mpz_cmp_ui(r->divisions, 1) == 0;
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
    mpq_init(size);
    mpq_abs(size, r->offset);
    if (mpq_cmp_ui(size, CC_MAX_REVOLUTIONS, 1) > 0 || mpq_cmp_ui(r->arc, CC_MAX_REVOLUTIONS, 1) > 0)
        s = cc_fail(err, CC_EDOM, "an arc or an offset is at most %d turns", CC_MAX_REVOLUTIONS);
    mpq_clear(size);
    if (s == CC_OK && mpz_sgn(r->block) != 0)
        s = check_block(r, err);
    return s;
}

static void describe_divisions(struct cci_search *search)
{
    const struct cc_request *r = search->request;
    mpz_t most;

    mpz_init(most);
    cci_set_u64(most, CCI_MOST_DIVISIONS);
    search->circle = cc_request_is_circle(r);
    search->too_many = mpz_cmp(r->divisions, most) > 0;
    mpz_clear(most);
    if (search->too_many)
        return;
    search->divisions = cci_get_u64(r->divisions);
    search->free_block = search->circle && mpz_sgn(r->block) == 0;
    search->block = mpz_sgn(r->block) > 0 ? cci_get_u64(r->block) : 1;
    mpz_set(mpq_numref(search->step), mpq_numref(r->arc));
    if (search->circle && search->block > 1)
        mpz_set(mpq_numref(search->step), r->block);
    mpz_mul(mpq_denref(search->step), mpq_denref(r->arc), r->divisions);
    mpq_canonicalize(search->step);
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

static void search_init(struct cci_search *search, struct cc_planner *planner,
                        const struct cc_request *request, bool collect_all, struct cc_error *err)
{
    memset(search, 0, sizeof *search);
    search->planner = planner;
    search->head = planner->head;
    search->request = request;
    search->err = err;
    search->collect_all = collect_all;
    search->block = 1;
    mpq_init(search->step);
    mpq_init(search->grain);
    mpq_init(search->tolerance);
    cc_plan_init(&search->scratch);
    cc_request_tolerance(search->tolerance, request, planner->head);
    if (request->position_count > 0)
        for (size_t i = 0; i < request->position_count && !is_fine(search->grain); i++)
            rational_gcd(search->grain, search->grain, request->position[i]);
    else
        describe_divisions(search);
    search->fine = is_fine(search->grain);
    if (!search->fine)
        search->grain_den = cci_get_u64(mpq_denref(search->grain));
    if (request->position_count > 0)
        search->status = cci_list_prepare(&search->list, search, err);
}

static void search_clear(struct cci_search *search)
{
    cc_plan_clear(&search->scratch);
    cc_plans_clear(&search->found);
    free(search->list.at);
    mpq_clear(search->tolerance);
    mpq_clear(search->grain);
    mpq_clear(search->step);
}

/* ---- questions that methods ask ---- */

bool cci_circle_allowed(const struct cci_search *search, unsigned circle, unsigned circle2)
{
    unsigned only = search->request->circle;
    return only == 0 || only == circle || only == circle2;
}

/*
 * grain = n/d in lowest terms, unit * p fits 61 bits: n unit p / (d q) is whole exactly when
 * d (q / gcd(n, q)) divides unit p, because d is prime to n and p prime to q.
 */
bool cci_is_exact(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q)
{
    if (mpq_sgn(search->grain) == 0)
        return true;
    if (search->fine)
        return false;
    uint64_t left = q;
    if (q > 1)
        left = q / cci_gcd(mpz_fdiv_ui(mpq_numref(search->grain), q), q);
    cci_u128 need = (cci_u128)search->grain_den * left;
    return need <= unit * p && unit * p % (uint64_t)need == 0;
}

/* Whether the offset is a whole number of units. */
static bool offset_fits(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q)
{
    mpq_t units, scale;
    bool whole;

    if (mpq_sgn(search->request->offset) == 0)
        return true;
    mpq_init(units);
    mpq_init(scale);
    cci_set_u64(mpq_numref(scale), p);
    cci_set_u64(mpq_denref(scale), q);
    mpq_canonicalize(scale);
    cci_scale(scale, unit, scale);
    mpq_mul(units, scale, search->request->offset);
    whole = mpz_cmp_ui(mpq_denref(units), 1) == 0;
    mpq_clear(scale);
    mpq_clear(units);
    return whole;
}

uint64_t cci_exact_block(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q)
{
    uint64_t n = search->divisions;

    if (!search->free_block || q == 1 || n < 3 || n > unit * p || unit * p % n != 0)
        return 0;
    /* k must make k unit p / (q n) whole: the least is q n / gcd(q n, unit p). */
    cci_u128 a = (cci_u128)q * n, b = unit * p;
    while (b != 0) {
        cci_u128 r = a % b;
        a = b;
        b = r;
    }
    cci_u128 k = (cci_u128)q * n / a;
    if (k < 2 || k >= n || cci_gcd((uint64_t)k, n) != 1 || !offset_fits(search, unit, p, q))
        return 0;
    return (uint64_t)k;
}

bool cci_turns_allowed(const struct cci_search *search, const struct cc_plan *plan)
{
    mpq_t turns;
    bool allowed;

    if (mpq_sgn(search->request->most_turns) == 0 || plan->block < 2)
        return true;
    mpq_init(turns);
    cci_set_i64(mpq_numref(turns), plan->move);
    cci_set_u64(mpq_denref(turns), plan->unit);
    mpq_canonicalize(turns);
    allowed = mpq_cmp(turns, search->request->most_turns) <= 0;
    mpq_clear(turns);
    return allowed;
}

struct cc_plan *cci_candidate(struct cci_search *search, enum cc_method method)
{
    struct cc_plan *plan = &search->scratch;

    plan->method = method;
    plan->rank = search->rank;
    plan->exact = false;
    plan->plate = search->head->plate_count;
    plan->side = 0;
    plan->circle = plan->circle2 = 0;
    memset(&plan->train, 0, sizeof plan->train);
    mpq_set_ui(plan->plate_turns, 0, 1);
    plan->block = search->block;
    plan->unit = 0;
    mpq_set_ui(plan->ratio, 1, 1);
    plan->constant = false;
    plan->move = plan->start = 0;
    plan->steps = search->request->position_count > 0 ? search->request->position_count
                                                      : search->divisions;
    plan->has_closing = search->circle;
    mpq_set_ui(plan->travel, 0, 1);
    mpq_set_ui(plan->worst_error, 0, 1);
    mpq_set_ui(plan->worst_pitch, 0, 1);
    mpq_set_ui(plan->closing_error, 0, 1);
    return plan;
}

struct cc_plan *cci_direct_candidate(struct cci_search *search, size_t i, enum cc_method method)
{
    const struct cc_head *head = search->head;
    struct cc_plan *plan = cci_candidate(search, method);

    plan->circle = head->direct.at[i];
    plan->unit = (uint64_t)plan->circle * head->vernier;
    plan->circle2 = head->vernier > 1 ? (unsigned)plan->unit : 0;
    return plan;
}

struct cc_plan *cci_spot_candidate(struct cci_search *search, const struct cci_spot *spot,
                                   enum cc_method method)
{
    struct cc_plan *plan = cci_candidate(search, method);

    plan->plate = spot->plate;
    plan->side = spot->side;
    plan->circle = spot->circle;
    plan->unit = spot->circle;
    mpq_set(plan->ratio, search->head->worm);
    return plan;
}

struct cc_plan *cci_pair_candidate(struct cci_search *search, const struct cci_pair *pair,
                                   enum cc_method method)
{
    struct cc_plan *plan = cci_candidate(search, method);

    plan->plate = pair->plate;
    plan->side = pair->side;
    plan->circle = pair->circle;
    plan->circle2 = pair->circle2;
    plan->unit = pair->lcm;
    mpq_set(plan->ratio, search->head->worm);
    return plan;
}

bool cci_pair_is_useful(const struct cci_pair *pair)
{
    return pair->lcm != pair->circle && pair->lcm != pair->circle2;
}

/* ---- collecting ---- */

static bool stands_mounted(const struct cci_search *search, const struct cc_plan *plan)
{
    return plan->side == 0 || (plan->plate == search->head->mounted_plate &&
                               plan->side == search->head->mounted_side);
}

/* The plan of this row so far, where only the best is kept; or NULL. */
static struct cc_plan *best_of_row(struct cci_search *search, unsigned rank)
{
    for (size_t i = 0; i < search->found.n && !search->collect_all; i++)
        if (search->found.at[i].rank == rank)
            return &search->found.at[i];
    return NULL;
}

bool cci_is_outdone(struct cci_search *search)
{
    const struct cc_plan *plan = &search->scratch, *best = best_of_row(search, plan->rank);

    /* Nothing is better than best in what cc_plan_compare looks at first. */
    if (best == NULL || !best->within || !best->holds)
        return false;
    int d = compare_u64(plan->block > 1, best->block > 1);
    if (d == 0)
        d = compare_u64(!stands_mounted(search, plan), !best->is_mounted);
    if (d == 0 && best->forward)
        d = compare_u64(plan->train.pairs, best->train.pairs);
    if (d == 0 && best->forward && plan->train.pairs > 0)
        d = compare_u64(plan->block, best->block);
    return d > 0;
}

/* Work out what ranks the finished candidate, and keep it if it is the best of its row (or all are wanted). */
void cci_offer(struct cci_search *search)
{
    struct cc_plan *plan = &search->scratch;
    mpq_srcptr holds = cc_head_holds(search->head, plan->side == 0);

    plan->within = mpq_cmp(plan->worst_error, search->tolerance) <= 0;
    plan->holds = !search->request->has_tolerance ||
                  (holds != NULL && mpq_cmp(holds, search->tolerance) <= 0);
    plan->is_mounted = stands_mounted(search, plan);
    struct cc_plan *best = best_of_row(search, plan->rank);
    if (best != NULL) {
        if (cc_plan_compare(plan, best) < 0)
            cc_plan_set(best, plan);
        return;
    }
    if (!append_plan(&search->found, plan))
        search->status = cc_fail(search->err, CC_ENOMEM, "out of memory");
}

static int compare_plans(const void *a, const void *b)
{
    return cc_plan_compare(a, b);
}

/* Whether no later row can bring anything better: the rows stand in the order of preference. */
static bool is_settled(const struct cci_search *search)
{
    for (size_t i = 0; i < search->found.n; i++)
        if (search->found.at[i].within && search->found.at[i].holds)
            return true;
    return false;
}

static bool is_unrestricted(const struct cc_request *r)
{
    unsigned exact = 0;
    for (size_t i = 0; i < ROWS; i++)
        if (rows[i].exact)
            exact |= 1U << rows[i].method;
    return (r->methods & exact) == exact && r->circle == 0 && mpq_sgn(r->most_turns) == 0 &&
           mpz_sgn(r->block) == 0;
}

static enum cc_status no_plan(const struct cci_search *search)
{
    const struct cc_request *r = search->request;
    char most[64], n[48] = "";
    mpq_t units;
    mpz_t best;

    /*
     * The most positions any setting keeps apart: units in one turn of the spindle; where that is p/q, the
     * units of q turns fall between each other, and there are p.
     */
    mpq_init(units);
    mpz_init(best);
    for (size_t i = 0; i < search->head->direct.n; i++)
        if (search->head->direct.at[i] * search->head->vernier > mpz_get_ui(best))
            mpz_set_ui(best, (unsigned long)search->head->direct.at[i] * search->head->vernier);
    for (size_t i = 0; i < search->planner->spot_count + search->planner->pair_count; i++) {
        bool single = i < search->planner->spot_count;
        cci_scale(units, single ? search->planner->spots[i].circle
                                : search->planner->pairs[i - search->planner->spot_count].lcm,
                  search->head->worm);
        if (mpz_cmp(mpq_numref(units), best) > 0)
            mpz_set(best, mpq_numref(units));
    }
    mpq_set_z(units, best);
    cc_rational_str(most, sizeof most, units);
    enum cc_status s;
    if (r->position_count > 0) {
        s = cc_fail(search->err, CC_ENOFIT, "no method allowed here serves this list of angles: leave out --method "
                    "or --circle");
    } else if (mpz_sizeinbase(r->divisions, 10) < sizeof n - 1) {
        mpz_get_str(n, 10, r->divisions);
        if (mpz_cmp(r->divisions, best) > 0 && cc_request_is_circle(r))
            s = cc_fail(search->err, CC_ENOFIT,
                        "no setting of this head gives %s divisions: its circles keep at most %s apart", n, most);
        else
            s = cc_fail(search->err, CC_ENOFIT,
                        "no plan for %s by what is allowed: leave out --method, --circle, --block or "
                        "--most-turns, or see crankcard methods %s", n, n);
    } else {
        s = cc_fail(search->err, CC_ENOFIT,
                    "no setting of this head gives divisions by a number of %zu digits: its circles keep "
                    "at most %s apart", mpz_sizeinbase(r->divisions, 10), most);
    }
    mpz_clear(best);
    mpq_clear(units);
    return s;
}

/* Walk the table; with every, to its end. */
static enum cc_status run_search(struct cci_search *search, bool to_the_end)
{
    const struct cc_request *r = search->request;
    bool found_exact = false;

    if (!search->too_many) {
        for (size_t row = 0; row < ROWS && search->status == CC_OK; row++) {
            if ((r->methods & (1U << rows[row].method)) == 0)
                continue;
            if (!to_the_end && is_settled(search))
                break;
            search->rank = (unsigned)row;
            rows[row].find(search);
        }
    }
    if (search->status != CC_OK)
        return search->status;
    for (size_t i = 0; i < search->found.n; i++)
        found_exact = found_exact || search->found.at[i].exact;
    search->answer.exact = found_exact          ? CC_EXISTS
                           : is_unrestricted(r) ? CC_ABSENT
                                                : CC_UNPROVED;
    if (search->found.n == 0)
        return no_plan(search);
    qsort(search->found.at, search->found.n, sizeof *search->found.at, compare_plans);
    return CC_OK;
}

static enum cc_status search_for(struct cc_plans *plans, struct cc_answer *answer,
                                 struct cc_planner *planner, const struct cc_request *request,
                                 bool every, bool to_the_end, struct cc_error *err)
{
    struct cci_search search;
    enum cc_status s = check_request(request, err);

    if (s != CC_OK)
        return s;
    search_init(&search, planner, request, every, err);
    s = run_search(&search, to_the_end);
    if (answer != NULL)
        *answer = search.answer;
    if (s == CC_OK) {
        struct cc_plans old = *plans;
        *plans = search.found;
        search.found = old;
    }
    search_clear(&search);
    return s;
}

enum cc_status cc_planner_best(struct cc_plan *plan, struct cc_answer *answer,
                               struct cc_planner *planner, const struct cc_request *request,
                               struct cc_error *err)
{
    struct cc_plans plans;
    enum cc_status s;

    cc_plans_init(&plans);
    s = search_for(&plans, answer, planner, request, false, false, err);
    if (s == CC_OK)
        cc_plan_swap(plan, &plans.at[0]);
    cc_plans_clear(&plans);
    return s;
}

enum cc_status cc_planner_all(struct cc_plans *plans, struct cc_answer *answer,
                              struct cc_planner *planner, const struct cc_request *request,
                              bool every, struct cc_error *err)
{
    return search_for(plans, answer, planner, request, every, true, err);
}
