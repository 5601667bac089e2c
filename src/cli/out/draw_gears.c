/* draw_gears.c: see draw_gears.h. Millimetres throughout, x to the right and y down; drawn sizes are real ones times the scale. */
#include "cli/out/draw_gears.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/out/draw.h"
#include "cli/out/gears.h"
#include "cli/out/svg.h"
#include "cli/out/words.h"

#define MARGIN 12.0
#define PICTURE_TOP 32.0
#define PICTURE_HEIGHT 168.0
#define WORDS_TOP 216.0
#define LABEL 3.8
#define OUTSIDE_LABELS 9.0      /* about the picture, for the names of the shafts */

static const struct svg_text_style label_style = { LABEL, SVG_MIDDLE, true };
static const struct svg_text_style small_style = { DRAW_SMALL, SVG_MIDDLE, false };
static const struct svg_text_style plain_style = { 4.0, SVG_START, false };

struct point {
    double x, y;
};

struct gears {
    struct svg svg;
    const struct cc_head *head;
    enum cc_gear_use use;
    struct cc_placing placing;
    bool placed;                /* else in a row */
    double module;
    struct point at[sizeof((struct cc_placing *)0)->post / sizeof(struct cc_post)];    /* on paper */
    double scale;
    unsigned divisor;           /* 1 / scale, or 0 where the module is not known */
};

static double mm(uint64_t nm)
{
    return (double)nm / CC_NM_OF_MM;
}

static struct point towards(struct point from, struct point to)
{
    double x = to.x - from.x, y = to.y - from.y, length = hypot(x, y);

    return length > 0 ? (struct point){ x / length, y / length } : (struct point){ 1, 0 };
}

/* Radius of the tips of the largest gear on a post. */
static double widest(const struct gears *g, const struct cc_post *post)
{
    unsigned most = 0;

    for (unsigned plane = 0; plane < 3; plane++)
        most = post->tooth[plane] > most ? post->tooth[plane] : most;
    return (most + 2) * g->module / 2;
}

/* ---- where everything stands ---- */

/* The posts one after the other, from the first shaft to the last, as far apart as they mesh. */
static void put_in_a_row(struct gears *g, const struct cc_train *train)
{
    unsigned n = 0, with = train->pairs - 1 - train->idlers_back;
    double x = 0;

    memset(&g->placing, 0, sizeof g->placing);
    for (unsigned i = 0; i < train->pairs; i++) {
        unsigned last = train->driver[i], plane = i % 2;
        g->placing.post[n].tooth[plane] = last;
        for (unsigned k = 0; k <= (i == with ? train->idlers : 0); k++) {
            bool idler = i == with && k < train->idlers;
            unsigned next = idler ? train->idler[k] : train->driven[i];
            x += (last + next) * g->module / 2;
            last = next;
            g->at[++n] = (struct point){ x, 0 };
            g->placing.post[n].tooth[plane] = next;
        }
    }
    g->placing.n = n + 1;
}

/* The worm shaft at 0, the other shaft where it is seen: by drop and offset below it, else above, or below for a screw. */
static void put_on_bracket(struct gears *g)
{
    const struct cc_bracket *b = &g->head->bracket;
    double apart = mm(g->placing.post[0].from_last);
    struct point way = { 0, g->use == CC_FOR_DIFFERENTIAL ? -1 : 1 };

    if (g->use == CC_FOR_LEAD && b->has_drop)
        way = towards((struct point){ 0, 0 }, (struct point){ -mm(b->lead_offset), mm(b->lead_drop) });
    struct point side = way.y < 0 ? (struct point){ -way.y, way.x } : (struct point){ way.y, -way.x };
    for (unsigned i = 0; i < g->placing.n; i++) {
        double last = mm(g->placing.post[i].from_last), first = mm(g->placing.post[i].from_first);
        double along = (last * last + apart * apart - first * first) / (2 * apart);
        double off = sqrt(fmax(last * last - along * along, 0));
        g->at[i] = (struct point){ way.x * along + side.x * off, way.y * along + side.y * off };
    }
}

/* The largest scale at which all of it has room, and everything moved to its place on the page. */
static void put_on_page(struct gears *g)
{
    static const unsigned divisors[] = { 1, 2, 3, 4, 5, 10, 20, 50, 100, 1000, 10000 };
    double left = INFINITY, right = -INFINITY, top = INFINITY, bottom = -INFINITY;
    double width = DRAW_WIDTH - 2 * MARGIN - 2 * OUTSIDE_LABELS, height = PICTURE_HEIGHT - 2 * OUTSIDE_LABELS;
    unsigned d = 0;

    for (unsigned i = 0; i < g->placing.n; i++) {
        double r = widest(g, &g->placing.post[i]);
        left = fmin(left, g->at[i].x - r);
        right = fmax(right, g->at[i].x + r);
        top = fmin(top, g->at[i].y - r);
        bottom = fmax(bottom, g->at[i].y + r);
    }
    while (d + 1 < sizeof divisors / sizeof divisors[0] &&
           ((right - left) / divisors[d] > width || (bottom - top) / divisors[d] > height))
        d++;
    g->divisor = divisors[d];
    g->scale = 1.0 / divisors[d];
    for (unsigned i = 0; i < g->placing.n; i++)
        g->at[i] = (struct point){ DRAW_WIDTH / 2 + (g->at[i].x - (left + right) / 2) * g->scale,
                                   PICTURE_TOP + PICTURE_HEIGHT / 2 + (g->at[i].y - (top + bottom) / 2) * g->scale };
}

/* ---- drawing ---- */

/* A way from the post on which none of its neighbours lies. */
static struct point free_side(const struct gears *g, unsigned i)
{
    struct point a = towards(g->at[i], g->at[i > 0 ? i - 1 : i + 1]);
    struct point b = towards(g->at[i], g->at[i + 1 < g->placing.n ? i + 1 : i - 1]);
    struct point away = { -a.x - b.x, -a.y - b.y };
    double length = hypot(away.x, away.y);

    if (i == 0 || i + 1 == g->placing.n || length < 0.3)
        return i == 0 ? (struct point){ a.y, -a.x } : (struct point){ -a.y, a.x };
    return (struct point){ away.x / length, away.y / length };
}

/* An arrow round the middle of a post, the way it turns. */
static void draw_way(struct gears *g, unsigned i, double radius, bool clockwise)
{
    struct point side = free_side(g, i), c = g->at[i];
    double middle = atan2(-side.y, -side.x), half = fmin(0.5, 7 / radius), sign = clockwise ? 1 : -1;
    double from = middle - sign * half, to = middle + sign * half;
    struct point tip = { c.x + radius * cos(to), c.y + radius * sin(to) };
    struct point along = { -sign * sin(to), sign * cos(to) }, out = { cos(to), sin(to) };

    svg_path_begin(&g->svg, 0);
    svg_path_move(&g->svg, c.x + radius * cos(from), c.y + radius * sin(from));
    svg_path_arc(&g->svg, radius, false, clockwise, tip.x, tip.y);
    svg_path_end(&g->svg, false);
    svg_path_begin(&g->svg, 0);
    svg_path_move(&g->svg, tip.x - 2.2 * along.x + 1.1 * out.x, tip.y - 2.2 * along.y + 1.1 * out.y);
    svg_path_line(&g->svg, tip.x, tip.y);
    svg_path_line(&g->svg, tip.x - 2.2 * along.x - 1.1 * out.x, tip.y - 2.2 * along.y - 1.1 * out.y);
    svg_path_end(&g->svg, false);
}

static void draw_gear_circles(struct gears *g, unsigned plane)
{
    static const char *const dashes[] = { NULL, "3 1.2", "0.8 1" };

    svg_group(&g->svg, "none", DRAW_STRONG, dashes[plane]);
    for (unsigned i = 0; i < g->placing.n; i++)
        if (g->placing.post[i].tooth[plane] != 0)
            svg_circle(&g->svg, g->at[i].x, g->at[i].y, g->placing.post[i].tooth[plane] * g->module / 2 * g->scale);
    svg_close(&g->svg);
}

/* Radius on paper of the smallest gear on a post, or of its only one. */
static double smallest(const struct gears *g, const struct cc_post *post)
{
    unsigned least = 0;

    for (unsigned plane = 0; plane < 3; plane++)
        if (post->tooth[plane] != 0 && (least == 0 || post->tooth[plane] < least))
            least = post->tooth[plane];
    return least * g->module / 2 * g->scale;
}

/*
 * Teeth inside the pitch circle, or outside where there is no room; of two gears on a stud the larger on one side and the smaller
 * on the other.
 */
static void label_gears(struct gears *g, unsigned i)
{
    const struct cc_post *post = &g->placing.post[i];
    struct point side = free_side(g, i);
    double inner = smallest(g, post), outer = (widest(g, post) - g->module) * g->scale;

    for (unsigned plane = 0; plane < 3; plane++) {
        double radius = post->tooth[plane] * g->module / 2 * g->scale;
        if (post->tooth[plane] == 0)
            continue;
        double sign = radius < outer ? -1 : 1, free = radius > inner ? radius - inner : radius;
        double at = free < 7 || radius < 8.5 ? radius + 4 : radius - 4;
        svg_text(&g->svg, g->at[i].x + sign * side.x * at, g->at[i].y + sign * side.y * at + LABEL * SVG_CAPITAL / 2, label_style, "%u",
                 post->tooth[plane]);
    }
}

static void draw_post(struct gears *g, unsigned i)
{
    bool shaft = i == 0 || i + 1 == g->placing.n;
    struct point c = g->at[i];
    double collar = mm(g->head->bracket.collar) / 2 * g->scale;

    svg_group(&g->svg, "none", DRAW_THIN, NULL);
    if (g->placed && collar > 1.6 && collar < 0.7 * smallest(g, &g->placing.post[i]))
        svg_circle(&g->svg, c.x, c.y, collar);
    svg_line(&g->svg, c.x - 2.4, c.y, c.x + 2.4, c.y);
    svg_line(&g->svg, c.x, c.y - 2.4, c.x, c.y + 2.4);
    draw_way(g, i, widest(g, &g->placing.post[i]) * g->scale + 2, i % 2 == 0);
    svg_close(&g->svg);
    if (shaft) {
        svg_group(&g->svg, "#000", 0, NULL);
        svg_circle(&g->svg, c.x, c.y, 1.3);
        svg_close(&g->svg);
    } else {
        svg_text(&g->svg, c.x + 2.2, c.y - 1.2, (struct svg_text_style){ DRAW_SMALL, SVG_START, false }, "%c", (int)('a' + i - 1));
    }
    label_gears(g, i);
}

/* The names of the shafts, on the side away from the other shaft; in a row below. */
static void name_shafts(struct gears *g)
{
    unsigned last = g->placing.n - 1;

    for (unsigned k = 0; k < 2; k++) {
        unsigned i = k == 0 ? 0 : last;
        struct point away = g->placed ? towards(g->at[k == 0 ? last : 0], g->at[i]) : (struct point){ 0, 1 };
        double radius = widest(g, &g->placing.post[i]) * g->scale + (g->placed ? 3.5 : 7.5);
        struct svg_text_style style = small_style;
        style.anchor = away.x > 0.3 ? SVG_START : away.x < -0.3 ? SVG_END : SVG_MIDDLE;
        svg_text(&g->svg, g->at[i].x + away.x * radius, g->at[i].y + away.y * radius + DRAW_SMALL * SVG_CAPITAL / 2, style, "%s",
                 k == 0 ? first_shaft(g->use) : last_shaft(g->use));
    }
}

/* The slot, from where it begins to where it ends, along the studs. */
static void draw_slot(struct gears *g)
{
    const struct cc_bracket *b = &g->head->bracket;
    bool from_first = b->slot == (g->use == CC_FOR_DIFFERENTIAL ? CC_SLOT_SPINDLE : CC_SLOT_SCREW);
    unsigned pivot = from_first ? 0 : g->placing.n - 1, stud = from_first ? 1 : g->placing.n - 2;

    if (!g->placed || b->reach.high == 0 || g->placing.n < 3)
        return;
    struct point way = towards(g->at[pivot], g->at[stud]), c = g->at[pivot];
    double low = mm(b->reach.low) * g->scale, high = mm(b->reach.high) * g->scale, half = 1.6;
    svg_group(&g->svg, "none", DRAW_THIN, NULL);
    svg_path_begin(&g->svg, 0);
    svg_path_move(&g->svg, c.x + way.x * low - way.y * half, c.y + way.y * low + way.x * half);
    svg_path_line(&g->svg, c.x + way.x * high - way.y * half, c.y + way.y * high + way.x * half);
    svg_path_arc(&g->svg, half, false, false, c.x + way.x * high + way.y * half, c.y + way.y * high - way.x * half);
    svg_path_line(&g->svg, c.x + way.x * low + way.y * half, c.y + way.y * low - way.x * half);
    svg_path_arc(&g->svg, half, false, false, c.x + way.x * low - way.y * half, c.y + way.y * low + way.x * half);
    svg_path_end(&g->svg, true);
    svg_close(&g->svg);
}

/* A bar by which the print is measured. */
static void draw_bar(struct gears *g, enum cc_unit unit)
{
    bool inches = unit == CC_INCH;
    double length = (inches ? 25.4 : 20) * (g->divisor > 4 ? 5 : 2) * g->scale, y = WORDS_TOP - 9, x = MARGIN;

    svg_group(&g->svg, "none", DRAW_THIN, NULL);
    svg_line(&g->svg, x, y, x + length, y);
    svg_line(&g->svg, x, y - 1.5, x, y + 1.5);
    svg_line(&g->svg, x + length, y - 1.5, x + length, y + 1.5);
    svg_close(&g->svg);
    svg_text(&g->svg, x + length + 2, y + 1.3, (struct svg_text_style){ DRAW_SMALL, SVG_START, false }, "%u %s; scale 1:%u",
             (inches ? 1 : 20) * (g->divisor > 4 ? 5 : 2), inches ? "in" : "mm", g->divisor);
}

/* ---- words ---- */

/* The studs by their letters, with what is set on the slot. */
static double write_studs(struct gears *g, double y, enum cc_unit unit)
{
    char words[GEAR_WORDS], line[GEAR_WORDS + 8];

    for (unsigned i = 1; i + 1 < g->placing.n; i++) {
        post_words(words, sizeof words, &g->placing.post[i], g->placed, g->use, unit);
        snprintf(line, sizeof line, "%c: %s", (int)('a' + i - 1), words);
        y = svg_paragraph(&g->svg, MARGIN, y, DRAW_WIDTH - 2 * MARGIN, plain_style, line);
    }
    return y;
}

static void write_words(struct gears *g, const struct cc_train *train, enum cc_unit unit)
{
    char fit[GEAR_WORDS], order[GEAR_WORDS], words[3 * GEAR_WORDS];
    double y = write_studs(g, WORDS_TOP, unit);

    fit_words(fit, sizeof fit, train, g->head, g->use, unit);
    gear_order_words(order, sizeof order, train, g->head, g->use);
    snprintf(words, sizeof words, "%s%s%s Gears drawn in full stand in the first plane, dashed ones in the next. Arrows: the %s turning "
             "clockwise.%s", fit, g->placed ? "" : " Drawn in a row, for it is not known where the studs stand.",
             g->head->bracket.module == 0 ? " Drawn for module 1." : "", first_shaft(g->use),
             g->placed && !(g->use == CC_FOR_LEAD && g->head->bracket.has_drop) ? " Turn the page until the shafts lie as on your head." : "");
    y = svg_paragraph(&g->svg, MARGIN, y + 1, DRAW_WIDTH - 2 * MARGIN, plain_style, words);
    svg_paragraph(&g->svg, MARGIN, y + 1, DRAW_WIDTH - 2 * MARGIN, plain_style, order);
}

void write_gear_drawing(FILE *out, const char *title, const char *subtitle, const struct cc_train *train,
                        const struct cc_head *head, enum cc_gear_use use, enum cc_unit unit)
{
    struct gears g = { .head = head, .use = use, .module = head->bracket.module != 0 ? mm(head->bracket.module) : 1 };

    g.placed = cc_train_place(&g.placing, train, head, use);
    if (g.placed)
        put_on_bracket(&g);
    else
        put_in_a_row(&g, train);
    put_on_page(&g);
    svg_begin(&g.svg, out, DRAW_WIDTH, DRAW_HEIGHT, title, subtitle);
    svg_paragraph(&g.svg, MARGIN, 15, DRAW_WIDTH - 2 * MARGIN, (struct svg_text_style){ 5.4, SVG_START, true }, title);
    svg_paragraph(&g.svg, MARGIN, 23, DRAW_WIDTH - 2 * MARGIN, plain_style, subtitle);
    draw_slot(&g);
    for (unsigned plane = 0; plane < 3; plane++)
        draw_gear_circles(&g, plane);
    for (unsigned i = 0; i < g.placing.n; i++)
        draw_post(&g, i);
    name_shafts(&g);
    draw_bar(&g, unit);
    write_words(&g, train, unit);
    svg_end(&g.svg);
}
