/*
 * bench.h: a head, its planner, a request and what the planner finds for it, for the tests of plans.
 * Every helper fails the running test, with head and request in the message.
 */
#ifndef CRANKCARD_TESTS_BENCH_H
#define CRANKCARD_TESTS_BENCH_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/plan.h"
#include "support.h"

struct bench {
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan best;
    struct cc_plans all;
    struct cc_answer answer;
    char what[1200];        /* head and request, for messages */
};

static inline void bench_text(struct bench *b, const char *text, const char *name)
{
    struct cc_error err;

    memset(b, 0, sizeof *b);
    cc_head_init(&b->head);
    if (cc_head_read(&b->head, text, strlen(text), name, name, &err) != CC_OK)
        fail_msg("%s\n%s", err.text, text);
    assert_int_equal(cc_planner_new(&b->planner, &b->head, &err), CC_OK);
    cc_request_init(&b->request);
    cc_plan_init(&b->best);
    cc_plans_init(&b->all);
}

static inline void bench_open(struct bench *b, const char *name)
{
    char path[100], *text;

    snprintf(path, sizeof path, "data/heads/%s.ini", name);
    text = test_read_file(path, NULL);
    bench_text(b, text, name);
    free(text);
}

static inline void bench_close(struct bench *b)
{
    cc_plans_clear(&b->all);
    cc_plan_clear(&b->best);
    cc_request_clear(&b->request);
    cc_planner_free(b->planner);
    cc_head_clear(&b->head);
}

static inline void new_request(struct bench *b, unsigned long divisions)
{
    cc_request_clear(&b->request);
    cc_request_init(&b->request);
    mpz_set_ui(b->request.divisions, divisions);
}

/* Head and request in one text, so that a failure can be done again by hand. */
static inline const char *describe(struct bench *b)
{
    const struct cc_request *r = &b->request;
    char head[700];

    cc_head_str(head, sizeof head, &b->head);
    gmp_snprintf(b->what, sizeof b->what,
                 "seed %lu: %s\nN %Zd arc %Qd block %Zd offset %Qd methods %#x circle %u tolerance %d %Qd "
                 "most %Qd positions %zu", test_seed(), head, r->divisions, r->arc, r->block,
                 r->offset, r->methods, r->circle, r->has_tolerance, r->tolerance, r->most_turns,
                 r->position_count);
    return b->what;
}

static inline bool find_best(struct bench *b)
{
    struct cc_error err;
    enum cc_status s = cc_planner_best(&b->best, &b->answer, b->planner, &b->request, &err);

    if (s != CC_OK && s != CC_ENOFIT)
        fail_msg("%s\nstatus %d: %s", describe(b), (int)s, err.text);
    cc_planner_count_trains(&b->answer.searched, b->planner);
    return s == CC_OK;
}

static inline void find_all(struct bench *b, bool every)
{
    struct cc_error err;
    enum cc_status s;

    cc_plans_clear(&b->all);
    s = cc_planner_all(&b->all, &b->answer, b->planner, &b->request, every, &err);
    if (s != CC_OK && s != CC_ENOFIT)
        fail_msg("%s\nstatus %d: %s", describe(b), (int)s, err.text);
}

#endif
