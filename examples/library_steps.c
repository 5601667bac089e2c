/*
 * library_steps.c: a program of one's own on libcrankcard. It prints, for N divisions on the built-in
 * head, the step, the hole where the crank pin lands and the exact angle, divided by tabs.
 *
 *     cc -o library_steps library_steps.c $(pkg-config --cflags --libs crankcard gmp)
 *     ./library_steps 57
 *
 * docs/library.md goes through it.
 */
#include <crankcard/crankcard.h>
#include <inttypes.h>
#include <stdio.h>

/* An angle is as long as its numbers: ask for the length, as with snprintf, where a buffer may be too small. */
static void print_step(const struct cc_step *step)
{
    char angle[128];

    if (cc_rational_str(angle, sizeof angle, step->angle) < sizeof angle)
        printf("%" PRIu64 "\t%" PRIu64 "\t%s\n", step->step, step->hole, angle);
}

static void print_steps(const struct cc_plan *plan, const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;

    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, request);
    while (cc_cursor_next(&cursor, &step))
        print_step(&step);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

int main(int argc, char **argv)
{
    struct cc_head head;
    struct cc_request request;
    struct cc_plan plan;
    struct cc_planner *planner = NULL;
    struct cc_error err = { 0 };
    enum cc_status status;

    /* 1. Every object is initialised, and cleared once at the end whatever happens between. */
    cc_head_init(&head);
    cc_request_init(&request);
    cc_plan_init(&plan);

    /* 2. A head, and a planner for it: one planner serves many requests. */
    status = cc_head_default(&head, &err);
    if (status == CC_OK)
        status = cc_planner_new(&planner, &head, &err);

    /* 3. What is wanted: the field is a GMP integer. */
    if (status == CC_OK)
        status = cc_count_parse(request.divisions, argc > 1 ? argv[1] : "57", &err);

    /* 4. The best plan. CC_ENOFIT is an answer, "none", and no mistake in the question. */
    if (status == CC_OK)
        status = cc_planner_best(&plan, NULL, planner, &request, &err);
    if (status == CC_OK)
        print_steps(&plan, &request);
    else
        fprintf(stderr, "library_steps: %s\n", err.text);

    cc_planner_free(planner);
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_head_clear(&head);
    return status == CC_OK ? 0 : status == CC_ENOFIT ? 1 : 2;
}
