/*
 * assess_draw.c: what was measured on a head, as a picture: runout round the turn, and errors along it.
 *
 * The runout is a polar plot: a dashed circle stands for the mean reading, readings and the fitted curve lie off it by
 * their deviation, enlarged. 0 is at the right and angles grow counter-clockwise, as in the file's own formulas. Below
 * it, along one turn: how far the eccentricity moves what is cut there, and how far measured positions were off.
 */
#include <math.h>
#include <string.h>

#include "cli/out/draw.h"
#include "cli/out/quantities.h"
#include "cli/out/svg.h"
#include "cli/subject/assess_job.h"

#define MARGIN 12.0             /* mm */
#define POLAR_X (DRAW_WIDTH / 2)
#define POLAR_Y 112.0
#define BASE 42.0               /* radius of the mean reading */
#define MOST 18.0               /* the largest deviation drawn */
#define CHART_LEFT 34.0
#define CHART_WIDTH 160.0
#define CHART_HALF 14.0         /* from the zero line to either edge */
#define UPPER_Y 212.0           /* zero lines */
#define LOWER_Y 264.0

static const struct svg_text_style small_middle = { DRAW_SMALL, SVG_MIDDLE, false };
static const struct svg_text_style small_left = { DRAW_SMALL, SVG_START, false };
static const struct svg_text_style small_right = { DRAW_SMALL, SVG_END, false };

/* The largest of 1, 2 and 5 times a power of ten that is no more than value. */
static double round_below(double value)
{
    double power = 1e-9;

    while (power * 10 <= value)
        power *= 10;
    return power * (value >= 5 * power ? 5 : value >= 2 * power ? 2 : 1);
}

/* The least of 1, 2 and 5 times a power of ten that is no less than value. */
static double round_above(double value)
{
    return 10 / round_below(10 / value);
}

/* ---- runout ---- */

static double fitted(const struct cc_harmonics *h, double turn)
{
    double y = 0;

    for (unsigned k = 1; k <= h->order; k++)
        y += h->cosine[k] * cos(DRAW_TURN * k * turn) + h->sine[k] * sin(DRAW_TURN * k * turn);
    return y;
}

static double magnification(const struct assess_job *q)
{
    const struct cc_harmonics *h = &q->findings.runout;
    double most = 1e-6;

    for (size_t i = 0; i < q->measured.count[CC_RUNOUT]; i++)
        most = fmax(most, fabs(q->measured.row[CC_RUNOUT][i].first - h->mean));
    return round_below(MOST / most);
}

static double polar_x(double turn, double radius)
{
    return POLAR_X + radius * cos(DRAW_TURN * turn);
}

static double polar_y(double turn, double radius)
{
    return POLAR_Y - radius * sin(DRAW_TURN * turn);
}

static void draw_axes(struct svg *svg)
{
    double reach = BASE + MOST + 2;

    svg_group(svg, "none", DRAW_THIN, "2 1");
    svg_circle(svg, POLAR_X, POLAR_Y, BASE);
    svg_close(svg);
    svg_group(svg, "none", 0.1, NULL);
    svg_line(svg, POLAR_X - reach, POLAR_Y, POLAR_X + reach, POLAR_Y);
    svg_line(svg, POLAR_X, POLAR_Y - reach, POLAR_X, POLAR_Y + reach);
    svg_close(svg);
    svg_text(svg, POLAR_X + reach + 2, POLAR_Y + 1.3, small_left, "0°");
    svg_text(svg, POLAR_X, POLAR_Y - reach - 1.5, small_middle, "90°");
    svg_text(svg, POLAR_X - reach - 2, POLAR_Y + 1.3, small_right, "180°");
    svg_text(svg, POLAR_X, POLAR_Y + reach + 4, small_middle, "270°");
}

static void draw_curve(struct svg *svg, const struct cc_harmonics *h, double scale)
{
    svg_path_begin(svg, DRAW_STRONG * 0.7);
    svg_attr(svg, "fill", "none");
    for (int i = 0; i < 360; i++) {
        double r = BASE + scale * fitted(h, i / 360.0), x = polar_x(i / 360.0, r), y = polar_y(i / 360.0, r);
        if (i == 0)
            svg_path_move(svg, x, y);
        else
            svg_path_line(svg, x, y);
    }
    svg_path_end(svg, true);
}

static void draw_runout(struct svg *svg, const struct assess_job *q)
{
    const struct cc_harmonics *h = &q->findings.runout;
    double scale = magnification(q);

    draw_axes(svg);
    draw_curve(svg, h, scale);
    svg_group(svg, "#000", 0, NULL);
    svg_attr(svg, "class", "readings");
    for (size_t i = 0; i < q->measured.count[CC_RUNOUT]; i++) {
        const struct cc_reading *row = &q->measured.row[CC_RUNOUT][i];
        double r = BASE + scale * (row->first - h->mean);
        svg_circle(svg, polar_x(row->at, r), polar_y(row->at, r), 1);
    }
    svg_close(svg);
    svg_group(svg, "none", DRAW_STRONG * 1.6, NULL);
    svg_attr(svg, "class", "eccentricity");
    svg_line(svg, POLAR_X, POLAR_Y, polar_x(h->high_rev[1], scale * h->amplitude[1]),
             polar_y(h->high_rev[1], scale * h->amplitude[1]));
    svg_close(svg);
    svg_text(svg, MARGIN, POLAR_Y + BASE + MOST + 12, small_left,
             "Deviations × %.6g. Dashed: mean reading. Heavy line: the eccentricity, %.4f %s, high at %.1f°.", scale,
             in_unit(h->amplitude[1], q->output.unit), cc_unit_name(q->output.unit), h->high_rev[1] * 360);
}

/* ---- along the turn ---- */

struct chart {
    struct svg *svg;
    double zero_y, scale;       /* mm of paper for one unit of error */
};

static double chart_x(double turn)
{
    return CHART_LEFT + CHART_WIDTH * turn;
}

static void chart_begin(struct chart *c, struct svg *svg, double zero_y, double most, const char *unit,
                        const char *words)
{
    double edge = round_above(fmax(most, 1e-6));

    *c = (struct chart){ svg, zero_y, CHART_HALF / edge };
    svg_text(svg, MARGIN, zero_y - CHART_HALF - 5, small_left, "%s", words);
    svg_group(svg, "none", 0.1, NULL);
    for (int i = -1; i <= 1; i++)
        svg_line(svg, CHART_LEFT, zero_y + i * CHART_HALF, CHART_LEFT + CHART_WIDTH, zero_y + i * CHART_HALF);
    for (int i = 0; i <= 4; i++)
        svg_line(svg, chart_x(i / 4.0), zero_y - CHART_HALF, chart_x(i / 4.0), zero_y + CHART_HALF);
    svg_close(svg);
    svg_text(svg, CHART_LEFT - 2, zero_y - CHART_HALF + 1.3, small_right, "%.6g%s", edge, unit);
    svg_text(svg, CHART_LEFT - 2, zero_y + 1.3, small_right, "0");
    svg_text(svg, CHART_LEFT - 2, zero_y + CHART_HALF + 1.3, small_right, "−%.6g%s", edge, unit);
    for (int i = 0; i <= 4; i++)
        svg_text(svg, chart_x(i / 4.0), zero_y + CHART_HALF + 5, small_middle, "%d°", 90 * i);
}

/*
 * An eccentricity e toward t0 moves what is cut at t by its part along the tangent, e sin(t0 - t): docs/assess.md.
 */
static void draw_eccentric(struct svg *svg, const struct assess_job *q, double zero_y)
{
    const struct cc_harmonics *h = &q->findings.runout;
    double e = in_unit(h->amplitude[1], q->output.unit);
    struct chart c;
    char unit[16];

    snprintf(unit, sizeof unit, " %s", cc_unit_name(q->output.unit));
    chart_begin(&c, svg, zero_y, e, unit, "Along the turn: how far the eccentricity moves a division along its circle");
    svg_path_begin(svg, DRAW_STRONG * 0.7);
    svg_attr(svg, "fill", "none");
    for (int i = 0; i <= 180; i++) {
        double y = zero_y - c.scale * e * sin(DRAW_TURN * (h->high_rev[1] - i / 180.0));
        if (i == 0)
            svg_path_move(svg, chart_x(0), y);
        else
            svg_path_line(svg, chart_x(i / 180.0), y);
    }
    svg_path_end(svg, false);
    if (q->divisions == 0 || q->divisions > 120)
        return;
    svg_group(svg, "#000", 0, NULL);
    for (unsigned long i = 0; i < q->divisions; i++) {
        double t = (double)i / (double)q->divisions;
        svg_circle(svg, chart_x(t), zero_y - c.scale * e * sin(DRAW_TURN * (h->high_rev[1] - t)), 0.8);
    }
    svg_close(svg);
}

static void draw_direction(struct chart *c, const struct cc_accuracy *a, enum cc_approach way)
{
    bool any = false;

    svg_path_begin(c->svg, DRAW_THIN * 1.5);
    svg_attr(c->svg, "fill", "none");
    if (way == CC_BACKWARD)
        svg_attr(c->svg, "stroke-dasharray", "1.6 1.2");
    for (size_t i = 0; i < a->targets; i++) {
        const struct cc_target *t = &a->target[i];
        if (t->runs[way] == 0)
            continue;
        if (!any)
            svg_path_move(c->svg, chart_x(t->turn), c->zero_y - c->scale * t->mean_arcsec[way]);
        else
            svg_path_line(c->svg, chart_x(t->turn), c->zero_y - c->scale * t->mean_arcsec[way]);
        any = true;
    }
    svg_path_end(c->svg, false);
    svg_group(c->svg, way == CC_FORWARD ? "#000" : "#fff", DRAW_THIN * 1.5, NULL);
    svg_attr(c->svg, "class", way == CC_FORWARD ? "forward" : "backward");
    for (size_t i = 0; i < a->targets; i++)
        if (a->target[i].runs[way] > 0)
            svg_circle(c->svg, chart_x(a->target[i].turn), c->zero_y - c->scale * a->target[i].mean_arcsec[way], 0.9);
    svg_close(c->svg);
}

static void draw_positions(struct svg *svg, const struct assess_job *q, double zero_y)
{
    const struct cc_accuracy *a = &q->findings.positions;
    double most = 0;
    struct chart c;

    for (size_t i = 0; i < a->targets; i++)
        for (int d = 0; d < 2; d++)
            if (a->target[i].runs[d] > 0)
                most = fmax(most, fabs(a->target[i].mean_arcsec[d]));
    chart_begin(&c, svg, zero_y, most, "″",
                a->measured[CC_FORWARD] && a->measured[CC_BACKWARD]
                    ? "Positions: mean deviation, approached forward (full) and backward (open)"
                    : "Positions: mean deviation");
    for (int d = 0; d < 2; d++)
        if (a->measured[d])
            draw_direction(&c, a, (enum cc_approach)d);
}

/* ---- the page ---- */

static void describe(char *buf, size_t size, const struct assess_job *q)
{
    const struct cc_findings *f = &q->findings;
    size_t used = (size_t)snprintf(buf, size, "%.300s, measurements %.300s.", q->head.title, q->file);

    if (f->has_runout && used < size)
        used += (size_t)snprintf(buf + used, size - used, " Eccentricity %.4f %s, high at %.1f degrees.",
                                 in_unit(f->runout.amplitude[1], q->output.unit), cc_unit_name(q->output.unit),
                                 f->runout.high_rev[1] * 360);
    if (f->has_positions && used < size)
        snprintf(buf + used, size - used, " %zu positions, systematic deviation %.1f seconds of arc.",
                 f->positions.targets, f->positions.systematic);
}

void assess_write_drawing(FILE *out, const struct assess_job *q)
{
    struct svg_text_style large = { 6.0, SVG_START, true }, plain = { 4.0, SVG_START, false };
    const struct cc_findings *f = &q->findings;
    double width = DRAW_WIDTH - 2 * MARGIN, y;
    char words[1000];
    struct svg svg;
    const char *title = f->has_runout ? "Runout round one turn" : "Positions round one turn";

    describe(words, sizeof words, q);
    svg_begin(&svg, out, DRAW_WIDTH, DRAW_HEIGHT, title, words);
    y = svg_paragraph(&svg, MARGIN, 15, width, large, title);
    svg_paragraph(&svg, MARGIN, y - 1.2, width, plain, words);
    if (f->has_runout) {
        draw_runout(&svg, q);
        draw_eccentric(&svg, q, UPPER_Y);
    }
    if (f->has_positions)
        draw_positions(&svg, q, f->has_runout ? LOWER_Y : POLAR_Y);
    svg_end(&svg);
}
