/*
 * layout_draw.c: a template at true scale, in millimetres throughout; the circle's centre lies at (half, half) of the
 * sheet, whose Y grows downward.
 */
#include <math.h>

#include "cli/out/quantities.h"
#include "cli/out/svg.h"
#include "cli/subject/layout_job.h"

struct template {
    struct svg svg;
    const struct layout_job *q;
    double half, height;
    double hole;            /* radius of what is drawn at a position */
};

#define SHEET_TEXT 2.8
#define SHEET_LINE 0.1
#define BAR_BELOW 14.0      /* height of the strip that holds the check bar */
#define LEAST_CHORD 4.0     /* between neighbours that are numbered */

static void lay_out_sheet(struct template *s, const struct layout_job *q)
{
    double d = mpq_get_d(q->layout.diameter);

    if (q->slots)
        d = fmax(d, mpq_get_d(q->slot.diameter));
    s->q = q;
    s->half = fmax(d / 2 + 15, 32);
    s->height = 2 * s->half + BAR_BELOW;
    s->hole = mpq_sgn(q->pin) > 0 ? mpq_get_d(q->pin) / 2 : 0.75;
}

static double sheet_x(const struct template *s, double x)
{
    return s->half + x - mpq_get_d(s->q->layout.centre_x);
}

static double sheet_y(const struct template *s, double y)
{
    return s->half - (y - mpq_get_d(s->q->layout.centre_y));
}

static void draw_cross(struct svg *svg, double x, double y, double arm)
{
    svg_line(svg, x - arm, y, x + arm, y);
    svg_line(svg, x, y - arm, x, y + arm);
}

static void draw_bar(struct template *s)
{
    static const struct svg_text_style style = { SHEET_TEXT, SVG_MIDDLE, false };
    bool inches = s->q->output.unit == CC_INCH;
    double y = s->height - 6;

    svg_bar(&s->svg, s->half, y, SHEET_LINE, inches);
    svg_text(&s->svg, s->half, y + 4.5, style, "this bar is %s when printed at true scale", inches ? "2 in" : "50 mm");
}

static void draw_position(struct template *s, const struct layout_position *p)
{
    double x = sheet_x(s, p->here.true_x_mm), y = sheet_y(s, p->here.true_y_mm);

    if (s->q->slots)
        svg_line(&s->svg, x, y, sheet_x(s, p->slot.true_x_mm), sheet_y(s, p->slot.true_y_mm));
    draw_cross(&s->svg, x, y, 1);
    svg_open(&s->svg, "circle");
    svg_number(&s->svg, "data-position", (double)(p->index + 1));
    svg_number(&s->svg, "cx", x);
    svg_number(&s->svg, "cy", y);
    svg_number(&s->svg, "r", s->hole);
    svg_close(&s->svg);
}

/* Numbers stand outside the circle, where neighbours leave them room. */
static void number_position(struct template *s, const struct layout_position *p)
{
    static const struct svg_text_style style = { SHEET_TEXT, SVG_MIDDLE, false };
    double x = sheet_x(s, p->here.true_x_mm) - s->half, y = sheet_y(s, p->here.true_y_mm) - s->half;
    double r = hypot(x, y);

    if (s->q->count == 1 || p->chord_mm > LEAST_CHORD)
        svg_text(&s->svg, s->half + x * (r + 5) / r, s->half + y * (r + 5) / r + 1, style, "%zu", p->index + 1);
}

static void each_position(struct template *s, void (*draw)(struct template *s, const struct layout_position *p))
{
    struct layout_position p;

    layout_position_init(&p);
    for (size_t i = 0; i < s->q->count; i++) {
        layout_position_at(&p, s->q, i);
        draw(s, &p);
    }
    layout_position_clear(&p);
}

void layout_write_drawing(FILE *out, const struct layout_job *q)
{
    struct template s;
    char title[200];

    lay_out_sheet(&s, q);
    snprintf(title, sizeof title, "%zu positions on a circle of %.6g %s, true scale", q->count,
             in_unit(mpq_get_d(q->layout.diameter), q->output.unit), cc_unit_name(q->output.unit));
    svg_begin(&s.svg, out, 2 * s.half, s.height, title,
              "A template at true scale: a cross and a hole at every position, numbered in order, the circle through them, "
              "and below it a bar to be measured after printing.");
    svg_group(&s.svg, "none", SHEET_LINE, "4 1 1 1");
    svg_circle(&s.svg, s.half, s.half, mpq_get_d(q->layout.diameter) / 2);
    svg_close(&s.svg);
    svg_group(&s.svg, "none", SHEET_LINE, NULL);
    draw_cross(&s.svg, s.half, s.half, 3);
    each_position(&s, draw_position);
    svg_close(&s.svg);
    each_position(&s, number_position);
    draw_bar(&s);
    svg_end(&s.svg);
}
