/*
 * wall_job.h: the table for the wall: for each count every circle that serves, with turns and holes, and where no circle
 * alone does the best setting with its gears in their places.
 */
#ifndef CRANKCARD_CLI_SUBJECT_WALL_JOB_H
#define CRANKCARD_CLI_SUBJECT_WALL_JOB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "cli/job/job.h"
#include "cli/out/html.h"

#define WALL_COUNTS 3000    /* in one chart, most */

enum { WALL_N, WALL_PLATE, WALL_CIRCLE, WALL_TURNS, WALL_HOLES, WALL_SPINDLE, WALL_IN, WALL_OUT, WALL_WORM, WALL_IDLERS, WALL_NOTE, WALL_CELLS };

struct wall_row {
    char cell[WALL_CELLS][40];
};

/* A table of the chart: rows of some columns, those of no width left out. */
struct wall_part {
    struct wall_row *at;
    size_t n, room;
    struct table_column column[WALL_CELLS];
};

struct wall {
    const struct job *job;
    uint64_t first, last;           /* counts asked for */
    struct wall_part plain, other;  /* one circle or the direct plate; what takes more, or is not exact */
    bool direct, any, blocks, compound, varies, worst, beyond, below;      /* what the columns hold, for how they are read */
};

void wall_init(struct wall *wall, const struct job *job, uint64_t first, uint64_t last);
void wall_clear(struct wall *wall);

/* The job's plan is the best one for the count; the job's request is changed while this looks for others. */
void wall_add(struct wall *wall, struct job *job, uint64_t count);
void wall_add_none(struct wall *wall, uint64_t count);

/* When all are there: the widths of the columns. */
void wall_end(struct wall *wall);

/* "Counts 2 to 400: HEAD", and how each column is read, a sentence a line. */
void wall_title(char *buf, size_t size, const struct wall *wall);
void wall_key(char *buf, size_t size, const struct wall *wall);

/* The headings of the two parts. */
extern const char wall_plain_heading[], wall_other_heading[];

void wall_write_card(FILE *out, const struct wall *wall);

/* False with err filled where no paper up to A0 holds it. */
bool wall_write_drawing(FILE *out, const struct wall *wall, struct cc_error *err);

#endif
