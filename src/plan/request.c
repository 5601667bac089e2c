/* request.c: what is wanted of the planner. */
#include <stdlib.h>
#include <string.h>

#include "plan/search.h"

static const char *const method_names[CC_METHODS] = {
    "direct",       "plain",        "differential",     "compound",
    "nearly-exact", "nearest-hole", "nearest-compound", "dial",
};

const char *cc_method_name(enum cc_method method)
{
    return method_names[method];
}

enum cc_status cc_method_parse(enum cc_method *method, const char *name, struct cc_error *err)
{
    for (int i = 0; i < CC_METHODS; i++) {
        if (strcmp(name, method_names[i]) == 0) {
            *method = (enum cc_method)i;
            return CC_OK;
        }
    }
    return cc_fail(err, CC_EPARSE,
                   "'%.40s' is not a method: direct, plain, differential, compound, nearly-exact, "
                   "nearest-hole, nearest-compound or dial", name);
}

void cc_request_init(struct cc_request *request)
{
    memset(request, 0, sizeof *request);
    mpz_init(request->divisions);
    mpq_init(request->arc);
    mpq_set_ui(request->arc, 1, 1);
    mpz_init(request->block);
    mpq_init(request->offset);
    mpq_init(request->tolerance);
    mpq_init(request->most_turns);
    request->methods = CC_ALL_METHODS;
}

void cc_request_clear(struct cc_request *request)
{
    for (size_t i = 0; i < request->position_count; i++) {
        mpq_clear(request->position[i]);
        free(request->label[i]);
    }
    free(request->position);
    free(request->label);
    mpq_clear(request->most_turns);
    mpq_clear(request->tolerance);
    mpq_clear(request->offset);
    mpz_clear(request->block);
    mpq_clear(request->arc);
    mpz_clear(request->divisions);
}

static bool within_reach(const mpq_t revolutions)
{
    mpq_t size;
    bool good;

    mpq_init(size);
    mpq_abs(size, revolutions);
    good = mpq_cmp_ui(size, CC_MAX_REVOLUTIONS, 1) <= 0;
    mpq_clear(size);
    return good;
}

enum cc_status cc_request_add(struct cc_request *request, const mpq_t position, const char *label,
                              struct cc_error *err)
{
    size_t n = request->position_count;

    if (!within_reach(position))
        return cc_fail(err, CC_EDOM, "a position lies beyond %d turns", CC_MAX_REVOLUTIONS);
    if ((n & (n - 1)) == 0) {       /* full at 0, 1, 2, 4, 8 ... */
        size_t room = n == 0 ? 1 : 2 * n;
        mpq_t *more = realloc(request->position, room * sizeof *more);
        if (more != NULL)
            request->position = more;
        char **labels = more != NULL ? realloc(request->label, room * sizeof *labels) : NULL;
        if (labels == NULL)
            return cc_fail(err, CC_ENOMEM, "out of memory");
        request->label = labels;
    }
    char *copy = NULL;
    if (label != NULL) {
        size_t size = strlen(label) + 1;
        if ((copy = malloc(size)) == NULL)
            return cc_fail(err, CC_ENOMEM, "out of memory");
        memcpy(copy, label, size);
    }
    mpq_init(request->position[n]);
    mpq_set(request->position[n], position);
    request->label[n] = copy;
    request->position_count++;
    return CC_OK;
}

bool cc_request_is_circle(const struct cc_request *request)
{
    return request->position_count == 0 && mpq_cmp_ui(request->arc, 1, 1) == 0;
}

void cc_request_nominal(mpq_t nominal, const struct cc_request *request, uint64_t block, uint64_t i)
{
    if (request->position_count > 0) {
        if (i == 0)
            mpq_set_ui(nominal, 0, 1);
        else
            mpq_set(nominal, request->position[i - 1]);
        return;
    }
    mpz_t count;
    mpz_init(count);
    cc_set_u64(count, i);
    mpz_mul(mpq_numref(nominal), mpq_numref(request->arc), count);
    if (cc_request_is_circle(request)) {
        cc_set_u64(count, block);
        mpz_mul(mpq_numref(nominal), mpq_numref(nominal), count);
    }
    mpz_mul(mpq_denref(nominal), mpq_denref(request->arc), request->divisions);
    mpq_canonicalize(nominal);
    if (mpq_sgn(request->offset) != 0)
        mpq_add(nominal, nominal, request->offset);
    mpz_clear(count);
}

/* holes = lcm(holes, the denominator of angle * worm) */
static void take_in(mpz_t holes, const mpq_t angle, const mpq_t worm)
{
    mpq_t turns;

    mpq_init(turns);
    mpq_mul(turns, angle, worm);
    mpz_lcm(holes, holes, mpq_denref(turns));
    mpq_clear(turns);
}

uint64_t cc_request_least_circle(const struct cc_request *request, const mpq_t worm)
{
    mpq_t step;
    mpz_t holes;

    mpq_init(step);
    mpz_init_set_ui(holes, 1);
    for (size_t i = 0; i < request->position_count && mpz_cmp_ui(holes, CC_MAX_CIRCLE) <= 0; i++)
        take_in(holes, request->position[i], worm);
    if (request->position_count == 0) {
        mpz_set(mpq_numref(step), mpq_numref(request->arc));
        mpz_mul(mpq_denref(step), mpq_denref(request->arc), request->divisions);
        mpq_canonicalize(step);
        take_in(holes, step, worm);
        take_in(holes, request->offset, worm);
    }
    uint64_t least = mpz_cmp_ui(holes, CC_MAX_CIRCLE) <= 0 ? mpz_get_ui(holes) : 0;
    mpz_clear(holes);
    mpq_clear(step);
    return least;
}

void cci_own_tolerance(mpq_t tolerance, const struct cc_head *head)
{
    (void)cc_head_taken_to_hold(tolerance, head, head->has_worm ? CC_INDEX_WORM : CC_INDEX_DIRECT);
    mpq_div_2exp(tolerance, tolerance, 2);
}

void cc_request_tolerance(mpq_t tolerance, const struct cc_request *request,
                          const struct cc_head *head)
{
    if (request->has_tolerance)
        mpq_set(tolerance, request->tolerance);
    else
        cci_own_tolerance(tolerance, head);
}
