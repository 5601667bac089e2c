/* circles.h: which other hole circles would serve a request, in words: those of this head, and those it would take. */
#ifndef CRANKCARD_CLI_OUT_CIRCLES_H
#define CRANKCARD_CLI_OUT_CIRCLES_H

#include "cli/job/job.h"
#include "cli/out/text.h"

/* A circle of the head; the first is asked for with all 0. */
struct equal_circle {
    size_t plate;
    unsigned side, circle;
    size_t index;           /* of the next to look at, among those of its plate's side */
    int64_t holes;          /* of it, in the movement */
};

/* The next circle, the plan's own among them, that stands where so many holes of the plan's circle do; false: no more. */
bool next_equal_circle(struct equal_circle *circle, const struct job *job, const struct cc_plan *plan, int64_t holes);

/*
 * Of a plan on one circle whose movement is always the same: "35/49 is also 15/21 on plate B.", where other circles of
 * the head give it; else nothing.
 */
void write_equal_circles(struct text *t, const char *indent, const struct job *job, const struct cc_plan *plan);

/* Where no circle of the head is exact: "A circle of 127, 254, 381 ... holes is exact", and what one made here would hold. */
void write_wanted_circles(struct text *t, const char *indent, const struct job *job);

#endif
