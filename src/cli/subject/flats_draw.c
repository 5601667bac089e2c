/*
 * flats_draw.c: the section of the flats at a round scale, with the stock they are cut from: flat 1 on top, where the cutter stands.
 * All rings of a part lie over one another, as they are keyed.
 */
#include <math.h>

#include "crankcard/angle.h"
#include "cli/out/quantities.h"
#include "cli/out/svg.h"
#include "cli/subject/flats_job.h"

#define WIDTH 190.0
#define MIDDLE (WIDTH / 2)
#define ROOM 100.0          /* that the widest stock may take, mm on paper */
#define TEXT 3.6
#define THIN 0.18
#define STRONG 0.5
#define NUMBERED 48         /* flats of a ring that are numbered, most */

struct section {
    struct svg svg;
    const struct job *job;
    double scale;           /* paper over part */
    double reach;           /* radius of the widest stock on paper */
    double y;               /* of the axis */
};

/* The largest of 10:1, 5:1, 2:1, 1:1, 1:2, 1:5 ... that has room. */
static double round_scale(double stock)
{
    static const double steps[] = { 5, 2, 1 };
    double tenth = 10;

    while (stock * tenth > ROOM && tenth > 1e-12)
        for (size_t i = 0; i < 3; i++)
            if (stock * tenth * steps[i] / 10 <= ROOM)
                return tenth * steps[i] / 10;
            else if (i == 2)
                tenth /= 10;
    return tenth;
}

/* A point of the part: a turn on from flat 1, clockwise, so far from the axis. */
static double point_x(const struct section *s, double turn, double mm)
{
    return MIDDLE + s->scale * mm * sin(2 * CC_PI * turn);
}

static double point_y(const struct section *s, double turn, double mm)
{
    return s->y - s->scale * mm * cos(2 * CC_PI * turn);
}

static double turn_of(const struct flats_ring *ring, unsigned long k)
{
    return mpq_get_d(ring->at) + (double)k / (double)ring->flats.n;
}

/* The outline: flats, and arcs where the round is left between them. */
static void draw_outline(struct section *s, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    double half = atan2(sizes->width_mm, mpq_get_d(ring->flats.across)) / (2 * CC_PI), r = sizes->corner_mm;

    svg_path_begin(&s->svg, 0);
    svg_path_move(&s->svg, point_x(s, turn_of(ring, 0) - half, r), point_y(s, turn_of(ring, 0) - half, r));
    for (unsigned long k = 0; k < ring->flats.n; k++) {
        double end = turn_of(ring, k) + half, next = turn_of(ring, k + 1) - half;
        svg_path_line(&s->svg, point_x(s, end, r), point_y(s, end, r));
        if (!sizes->full)
            svg_path_arc(&s->svg, r * s->scale, next - end > 0.5, true, point_x(s, next, r), point_y(s, next, r));
    }
    svg_path_end(&s->svg, true);
}

static void draw_holes(struct section *s, const struct flats_ring *ring)
{
    svg_group(&s->svg, "none", THIN, "3 1 0.6 1");
    for (unsigned long k = 0; k < ring->flats.n; k++)
        svg_line(&s->svg, point_x(s, turn_of(ring, k), 0), point_y(s, turn_of(ring, k), 0),
                 point_x(s, turn_of(ring, k), s->reach / s->scale + 2 / s->scale), point_y(s, turn_of(ring, k), s->reach / s->scale + 2 / s->scale));
    svg_close(&s->svg);
}

/* Numbers of the first ring stand outside the stock, of later rings inside the outline. */
static void number_flats(struct section *s, size_t which, const struct flats_ring *ring)
{
    static const struct svg_text_style style = { TEXT, SVG_MIDDLE, false };
    double across = mpq_get_d(ring->flats.across) / 2 * s->scale;
    double at = which == 0 || ring->holes ? s->reach + (which == 0 ? 5 : 9) : across - 5;
    double room = 2 * CC_PI * at / (double)ring->flats.n;

    for (unsigned long k = 0; k < ring->flats.n && at > 4 && ring->flats.n <= NUMBERED && room > 6; k++)
        svg_text(&s->svg, point_x(s, turn_of(ring, k), at / s->scale), point_y(s, turn_of(ring, k), at / s->scale) + TEXT / 3, style,
                 ring->holes ? "h%lu" : "%lu", k + 1);
}

static void draw_ring(struct section *s, size_t which)
{
    const struct flats_ring *ring = &s->job->flats.ring[which];
    struct flats_figures figures;

    (void)flats_figures_of(&figures, s->job, which, NULL);
    if (ring->holes) {
        draw_holes(s, ring);
    } else {
        svg_group(&s->svg, "none", THIN, "2 1");
        svg_circle(&s->svg, MIDDLE, s->y, mpq_get_d(ring->flats.stock) / 2 * s->scale);
        svg_close(&s->svg);
        svg_group(&s->svg, "none", which == 0 ? STRONG : STRONG / 2, NULL);
        draw_outline(s, ring, &figures.sizes);
        svg_close(&s->svg);
    }
    number_flats(s, which, ring);
    flats_figures_clear(&figures);
}

/* ---- words ---- */

static double say_ring(struct section *s, size_t which, double y)
{
    static const struct svg_text_style style = { TEXT, SVG_START, false };
    const struct flats_ring *ring = &s->job->flats.ring[which];
    enum cc_unit unit = s->job->output.unit;
    struct flats_figures f;
    char name[32] = "", words[600], across[QUANTITY_SIZE], stock[QUANTITY_SIZE], depth[QUANTITY_SIZE], width[QUANTITY_SIZE], corners[QUANTITY_SIZE],
        at[QUANTITY_SIZE];

    (void)flats_figures_of(&f, s->job, which, NULL);
    cc_angle_dms_str(at, sizeof at, ring->at, 0, CC_MARKS_UTF8);
    if (s->job->flats.rings > 1)
        snprintf(name, sizeof name, "%zu: ", which + 1);
    if (ring->holes)
        snprintf(words, sizeof words, "%s%lu hole%s, the first %s on from flat 1.", name, ring->flats.n, ring->flats.n == 1 ? "" : "s", at);
    else
        snprintf(words, sizeof words, "%s%lu flat%s, %s across on %s of stock: %s deep, each %s wide, %s over %s; the first at %s.", name,
                 ring->flats.n, ring->flats.n == 1 ? "" : "s", length_text(across, ring->flats.across, unit),
                 length_text(stock, ring->flats.stock, unit), length_text(depth, f.sizes.depth, unit), length_text_d(width, f.sizes.width_mm, unit),
                 length_text_d(corners, f.sizes.corners_mm, unit), f.sizes.full ? "the corners" : "the round that is left", at);
    flats_figures_clear(&f);
    return svg_paragraph(&s->svg, 12, y, WIDTH - 24, style, words);
}

/* A bar to be measured after printing, and the scale. */
static void draw_bar(struct section *s, double y)
{
    static const struct svg_text_style style = { TEXT, SVG_MIDDLE, false };
    bool inches = s->job->output.unit == CC_INCH;

    svg_bar(&s->svg, MIDDLE, y, THIN, inches);
    svg_text(&s->svg, MIDDLE, y + 5, style, "scale %g : %g; this bar is %s when printed true", s->scale > 1 ? s->scale : 1,
             s->scale < 1 ? 1 / s->scale : 1, inches ? "2 in" : "50 mm");
}

static double widest_stock(const struct flats_ask *ask)
{
    double most = 0;

    for (size_t i = 0; i < ask->rings; i++)
        most = fmax(most, mpq_get_d(ask->ring[i].flats.stock));
    return most;
}

void flats_write_drawing(FILE *out, const struct job *job)
{
    const struct flats_ask *ask = &job->flats;
    double stock = widest_stock(ask);
    struct section s = { .job = job, .scale = round_scale(stock) };
    struct svg_text_style style = { 5, SVG_START, true }, plain = { TEXT, SVG_START, false };
    char title[200], across[QUANTITY_SIZE], on[QUANTITY_SIZE];

    s.reach = stock / 2 * s.scale;
    s.y = 34 + s.reach;
    snprintf(title, sizeof title, "%lu flat%s, %s across, on %s of stock", ask->ring[0].flats.n, ask->ring[0].flats.n == 1 ? "" : "s",
             length_text(across, ask->ring[0].flats.across, job->output.unit), length_text(on, ask->ring[0].flats.stock, job->output.unit));
    svg_begin(&s.svg, out, WIDTH, s.y + s.reach + 34 + 12 * (double)ask->rings, title,
              "The section at scale: the stock dashed, the flats that are left of it, numbered in the order in which they come to the cutter, "
              "the first on top; below it the sizes and a bar to be measured after printing.");
    svg_text(&s.svg, 12, 12, style, "%s", title);
    svg_text(&s.svg, 12, 18, plain, "Flat 1 on top; flats are numbered as they come to the cutter, drawn clockwise.");
    svg_group(&s.svg, "none", THIN, NULL);
    svg_line(&s.svg, MIDDLE - 4, s.y, MIDDLE + 4, s.y);
    svg_line(&s.svg, MIDDLE, s.y - 4, MIDDLE, s.y + 4);
    svg_close(&s.svg);
    for (size_t i = 0; i < ask->rings; i++)
        draw_ring(&s, i);
    double y = s.y + s.reach + 18;
    for (size_t i = 0; i < ask->rings; i++)
        y = say_ring(&s, i, y);
    draw_bar(&s, y + 2);
    svg_end(&s.svg);
}
