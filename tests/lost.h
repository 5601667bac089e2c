/* lost.h: a job on the built-in head and what is seen of it when the place is lost, for the tests of recover and slips. */
#ifndef CRANKCARD_TESTS_LOST_H
#define CRANKCARD_TESTS_LOST_H

#include "crankcard/crankcard.h"
#include "support.h"

struct fixture {
    struct cc_head head;
    struct cc_planner *planner;
    struct cc_request request;
    struct cc_plan plan;
    struct cc_seen seen;
    struct cc_places places;
    struct cc_hand_slips slips;
};

static inline void begin(struct fixture *f, unsigned long divisions, unsigned methods, unsigned circle)
{
    struct cc_error err;

    cc_head_init(&f->head);
    assert_int_equal(cc_head_default(&f->head, NULL), CC_OK);
    assert_int_equal(cc_planner_new(&f->planner, &f->head, NULL), CC_OK);
    cc_request_init(&f->request);
    mpz_set_ui(f->request.divisions, divisions);
    f->request.methods = methods;
    f->request.circle = circle;
    cc_plan_init(&f->plan);
    if (cc_planner_best(&f->plan, NULL, f->planner, &f->request, &err) != CC_OK)
        fail_msg("%s", err.text);
    cc_seen_init(&f->seen);
    cc_places_init(&f->places);
    cc_hand_slips_init(&f->slips);
}

static inline void end(struct fixture *f)
{
    cc_hand_slips_clear(&f->slips);
    cc_places_clear(&f->places);
    cc_seen_clear(&f->seen);
    cc_plan_clear(&f->plan);
    cc_request_clear(&f->request);
    cc_planner_free(f->planner);
    cc_head_clear(&f->head);
}

#endif
