/*
 * draw.h: the picture of a plan: the plate from the front, the work with its divisions, the set-up in words.
 *
 * The page is A4 upright, in millimetres; it is meant to be printed at that size or at half of it (A6).
 */
#ifndef CRANKCARD_CLI_OUT_DRAW_H
#define CRANKCARD_CLI_OUT_DRAW_H

#include "crankcard/angle.h"
#include "crankcard/plan.h"
#include "cli/job/job.h"
#include "cli/out/svg.h"

/* A whole picture of the job's plan, of its rows first ... last. */
void write_drawing(FILE *out, const struct job *job, uint64_t first, uint64_t last);

#define DRAW_WIDTH 210.0
#define DRAW_HEIGHT 297.0
#define DRAW_SMALL 3.6      /* mm, the smallest text: 5 points when the page is printed at half size */
#define DRAW_NUMBERED 60    /* steps that are numbered on the plate, most */

#define DRAW_THIN 0.18      /* strokes, mm */
#define DRAW_STRONG 0.5

#define DRAW_TURN (2 * CC_PI)            /* radians of a revolution */

struct drawing {
    struct svg svg;
    const struct job *job;
    uint64_t first, last;   /* rows asked for */
    bool bare;              /* some holes show only the first of their steps, for want of room */
};

/* The plate (or direct plate) about its centre; with its labels it reaches so far from there (mm). */
#define DRAW_PLATE_REACH_X 102.0
#define DRAW_PLATE_REACH_Y 88.0
void draw_plate(struct drawing *d, double x, double y);

/* Whether sector arms serve: one movement, of some holes and one pin. Gives its holes. */
bool draw_arms(int64_t *holes, const struct cc_plan *plan, const struct cc_request *request);

/* Samples of the signs used on the plate, with words, from the baseline y on. */
void draw_legend(struct drawing *d, double x, double y);

/* Dial and vernier at the first readings, two strips abreast, from their left upper corner. */
#define DRAW_READINGS 12
#define DRAW_STRIP_X 97.0
#define DRAW_STRIP_Y 29.5
void draw_dial(struct drawing *d, double x, double y);

/* The work with its divisions about its centre, and how far they reach; a caption stands below. */
#define DRAW_WORK_REACH_X 45.0
#define DRAW_WORK_REACH_Y 37.0
void draw_work(struct drawing *d, double x, double y);

#endif
