/* draw_work.c: the work as it comes out: a mark for each division, with its number, errors exaggerated on demand. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "cli/job/job.h"
#include "cli/job/marks.h"
#include "cli/out/draw.h"
#include "cli/out/labels.h"
#include "cli/out/svg.h"
#include "cli/out/words.h"

#define RADIUS 27.0         /* mm */
#define MARK 5.0            /* length of a mark, inward from the edge */
#define TICK 1.4            /* of the tick where a mark should be, outward */
#define MOST_MARKS 360
#define MOST_LABEL 12       /* bytes of a position's own label that are shown */

struct work {
    struct drawing *d;
    double x, y;
    uint64_t rows, first, stride;   /* marks stand at so many rows from the row first on; every stride-th is drawn */
    uint64_t numbered;      /* one division in so many has its number */
    bool trying, crowded;   /* trying: place labels without drawing them; crowded: one found no room */
    struct labels labels;
};

static double mark_angle(const struct cc_step *step, double exaggeration)
{
    return DRAW_TURN * (mpq_get_d(step->nominal) + exaggeration * mpq_get_d(step->error));
}

static void put_mark(struct work *w, const struct cc_step *step, double angle, double from, double to)
{
    struct svg *svg = &w->d->svg;

    svg_open(svg, "line");
    svg_number(svg, "data-division", (double)step->division);
    svg_number(svg, "x1", labels_x(&w->labels, angle, from));
    svg_number(svg, "y1", labels_y(&w->labels, angle, from));
    svg_number(svg, "x2", labels_x(&w->labels, angle, to));
    svg_number(svg, "y2", labels_y(&w->labels, angle, to));
    svg_close(svg);
}

/* Call put for every row that has a mark. */
static void each_mark(struct work *w, void (*put)(struct work *w, const struct cc_step *step))
{
    struct cc_cursor cursor;
    struct cc_step step;

    cc_step_init(&step);
    cc_cursor_init(&cursor, &w->d->job->plan, &w->d->job->request);
    for (uint64_t i = 0; i < w->rows; i += w->stride) {
        if (i == 0 || w->stride > 1)
            cc_cursor_seek(&cursor, w->first + i);
        if (!cc_cursor_next(&cursor, &step))
            break;
        put(w, &step);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

/* Length of a mark: of a graduation, longer by each class of line that is coarser. */
static double mark_length(const struct marks *marks, uint64_t division)
{
    uint64_t widest = 0;
    unsigned rank = 0;

    if (marks->n == 0)
        return MARK;
    for (size_t i = 0; i < marks->n; i++)
        if (division % marks->at[i].every == 0 && marks->at[i].every > widest)
            widest = marks->at[i].every;
    for (size_t i = 0; i < marks->n; i++)
        rank += marks->at[i].every <= widest;
    return MARK * (0.5 + 0.5 * rank / (double)marks->n);
}

static void put_cut(struct work *w, const struct cc_step *step)
{
    unsigned long factor = w->d->job->view.exaggeration;
    double length = mark_length(&w->d->job->marks, step->division);

    put_mark(w, step, mark_angle(step, factor > 0 ? (double)factor : 1), RADIUS - length, RADIUS);
}

static void put_tick(struct work *w, const struct cc_step *step)
{
    put_mark(w, step, mark_angle(step, 0), RADIUS, RADIUS + TICK);
}

/* What stands at a mark; empty where its number is left out. */
static void label_words(char *buf, size_t size, const struct work *w, const struct cc_step *step)
{
    bool list = w->d->job->request.position_count > 0;
    struct marks numerals = w->d->job->marks;   /* without the names of its lines */

    numerals.n = 0;
    buf[0] = '\0';
    if (numerals.number > 0) {
        if (step->division % w->numbered == 0 && marks_label(&numerals, step->division, buf, size) == NULL)
            buf[0] = '\0';
    } else if (list && step->label != NULL)
        snprintf(buf, size, "%" PRIu64 " %.*s", step->division, MOST_LABEL, step->label);
    else if (list || step->division % w->numbered == 0)
        snprintf(buf, size, "%" PRIu64, step->division);
}

static bool place_label(struct work *w, const struct cc_step *step, const char *words)
{
    static const struct svg_text_style style = { DRAW_SMALL, SVG_MIDDLE, false };
    struct label_rings rings = { RADIUS + TICK + 0.8, 4.2, w->d->job->request.position_count > 0 ? 2 : 1,
                                 false, false };

    return labels_place(&w->labels, w->trying ? NULL : &w->d->svg, mark_angle(step, 0), RADIUS, &rings, style, words);
}

static void put_label(struct work *w, const struct cc_step *step)
{
    char words[MOST_LABEL + 32];

    label_words(words, sizeof words, w, step);
    if (words[0] == '\0' || place_label(w, step, words))
        return;
    if (step->label != NULL) {      /* the number alone has more often room */
        snprintf(words, sizeof words, "%" PRIu64, step->division);
        if (place_label(w, step, words))
            return;
    }
    if (w->rows - step->division >= w->numbered)    /* the last may give way to the first */
        w->crowded = true;
}

static void try_labels(struct work *w, bool trying)
{
    labels_restart(&w->labels);
    w->trying = trying;
    w->crowded = false;
    each_mark(w, put_label);
}

/* Number every division, or every 2nd, 5th, 10th ...: as many as stand clear. In a list what has no room is left out. */
static void draw_labels(struct work *w)
{
    static const unsigned factor[] = { 2, 5, 10 };

    w->numbered = w->stride;
    try_labels(w, true);
    for (unsigned i = 0, tens = 1; w->crowded && w->numbered < w->rows; i++) {
        w->numbered = w->stride * tens * factor[i % 3];
        tens *= i % 3 == 2 ? 10 : 1;
        try_labels(w, true);
    }
    svg_open(&w->d->svg, "g");
    svg_attr(&w->d->svg, "id", "divisions");
    try_labels(w, false);
    svg_close(&w->d->svg);
}

static void draw_marks(struct work *w)
{
    svg_group(&w->d->svg, "none", w->rows > 120 ? DRAW_THIN : DRAW_STRONG, NULL);
    svg_attr(&w->d->svg, "class", "cuts");
    each_mark(w, put_cut);
    svg_close(&w->d->svg);
    if (w->d->job->view.exaggeration > 0) {
        svg_group(&w->d->svg, "none", DRAW_THIN, NULL);
        svg_attr(&w->d->svg, "class", "wanted");
        each_mark(w, put_tick);
        svg_close(&w->d->svg);
    }
    draw_labels(w);
}

static void caption(char *buf, size_t size, const struct work *w)
{
    const struct job *job = w->d->job;
    unsigned long factor = job->view.exaggeration;

    if (factor > 0 && job->plan.exact)
        snprintf(buf, size, "The work: every division exact");
    else if (factor > 0)
        snprintf(buf, size, "The work: errors × %lu", factor);
    else if (w->stride > 1)
        snprintf(buf, size, "The work: one mark in %" PRIu64 " drawn", w->stride);
    else
        snprintf(buf, size, "The work and its divisions");
}

void draw_work(struct drawing *d, double x, double y)
{
    static const struct svg_text_style style = { DRAW_SMALL, SVG_MIDDLE, false };
    const struct job *job = d->job;
    struct work w = { .d = d, .x = x, .y = y };
    char words[WORDS];

    labels_init(&w.labels, x, y, job_grow(job, &job->plan) == CC_COUNTER ? -1 : 1,
                DRAW_WORK_REACH_X, DRAW_WORK_REACH_Y);
    w.first = job->request.position_count > 0 ? 1 : 0;
    w.rows = job->plan.steps + (job->plan.has_closing || w.first > 0 ? 0 : 1);
    w.stride = (w.rows + MOST_MARKS - 1) / MOST_MARKS;
    svg_open(&d->svg, "g");
    svg_attr(&d->svg, "id", "work");
    svg_group(&d->svg, "none", DRAW_STRONG, NULL);
    svg_circle(&d->svg, x, y, RADIUS);
    svg_close(&d->svg);
    svg_group(&d->svg, "none", DRAW_THIN, NULL);
    svg_line(&d->svg, x - 3, y, x + 3, y);
    svg_line(&d->svg, x, y - 3, x, y + 3);
    svg_close(&d->svg);
    draw_marks(&w);
    caption(words, sizeof words, &w);
    svg_text(&d->svg, x, y + RADIUS + 12, style, "%s", words);
    svg_close(&d->svg);
    labels_clear(&w.labels);
}
