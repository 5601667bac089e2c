/*
 * draw_plate.c: an index plate (or direct plate) from the front.
 *
 * Every hole stands at its true angle and all holes have one size, but a profile does not give radii: circles are
 * spaced evenly, the one with the most holes outermost. The start hole is at the top, holes are counted forward, and
 * what is drawn is the plate itself: where it turns under the pin, its holes keep their places in the picture.
 *
 * Angles here are forward; labels_x mirrors them where forward is counter-clockwise.
 */

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/out/draw.h"
#include "cli/out/labels.h"
#include "cli/out/svg.h"
#include "cli/out/words.h"

#define RIM 74.0            /* radii, mm */
#define OUTERMOST 69.0
#define INNERMOST 40.0
#define INNERMOST_COMPOUND 46.0     /* leaves room for numbers inside */
#define HUB 8.0
#define VERNIER_PINS 54.0
#define MOST_PITCH 6.0      /* between neighbouring circles, mm */
#define LARGEST_HOLE 2.6    /* diameters, mm */
#define SMALLEST_HOLE 0.6
#define LEAST_SPACING 1.2   /* holes that stand closer are drawn as a line */
#define LEAST_PITCH 1.0     /* of circles that stand closer only the first, the last and those in use are drawn */

#define MOST_CIRCLES (CC_MAX_CIRCLES + 1)
#define MOST_SCANNED 20000  /* rows whose holes are marked */
#define SHOWN_VISITS 3      /* steps written at one hole */
#define LARGE 5.2           /* text, mm */
#define RING_SPACING 4.6    /* between rows of numbers, mm */
#define LARGE_STEPS 3       /* steps after the first one that are written large */

struct ring {
    unsigned holes;
    double radius;
    bool drawn;             /* hole by hole, else as a line */
};

/* What ends in one hole. */
struct landing {
    uint64_t visits, step[SHOWN_VISITS], pin[SHOWN_VISITS];
};

struct plate {
    struct drawing *d;
    double x, y;
    struct ring ring[MOST_CIRCLES];
    size_t rings;
    double pitch, hole;     /* between circles; diameter of a hole */
    struct labels labels;
    bool numbered;          /* every step, else the first ones */
};

/* ---- what is drawn ---- */

bool draw_arms(int64_t *holes, const struct cc_plan *plan, const struct cc_request *request)
{
    int64_t turns, holes2;

    if (!cc_plan_has_plate(plan) || plan->circle2 != 0 || plan->detent > 1 || request->position_count > 0)
        return false;
    if (!plan->constant)
        cc_plan_rounded_movement(&turns, holes, &holes2, plan, cc_plan_usual_is_larger(plan));
    else if (!cc_plan_movement(&turns, holes, &holes2, plan))
        return false;
    return *holes != 0;
}

static int most_holes_first(const void *a, const void *b)
{
    const struct ring *x = a, *y = b;
    return (x->holes < y->holes) - (x->holes > y->holes);
}

static const struct cc_counts *circles_of(const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    return cc_plan_is_direct(plan) ? &job->head.direct : &job->head.plates[plan->plate].side[plan->side - 1];
}

static const struct ring *ring_of(const struct plate *p, unsigned holes)
{
    for (size_t i = 0; i < p->rings; i++)
        if (p->ring[i].holes == holes)
            return &p->ring[i];
    return NULL;
}

static void lay_out_rings(struct plate *p)
{
    const struct cc_plan *plan = &p->d->job->plan;
    const struct cc_counts *circles = circles_of(p->d->job);

    for (size_t i = 0; i < circles->n; i++)
        p->ring[p->rings++].holes = circles->at[i];
    if (cc_plan_is_compound(plan) && ring_of(p, plan->circle2) == NULL)    /* on the plate's other side */
        p->ring[p->rings++].holes = plan->circle2;
    qsort(p->ring, p->rings, sizeof *p->ring, most_holes_first);
    double innermost = cc_plan_is_compound(plan) ? INNERMOST_COMPOUND : INNERMOST;
    p->pitch = MOST_PITCH;
    if (p->rings > 1)
        p->pitch = fmin(MOST_PITCH, (OUTERMOST - innermost) / (double)(p->rings - 1));
    p->hole = fmin(LARGEST_HOLE, p->pitch / 2);
    for (size_t i = 0; i < p->rings; i++) {
        struct ring *r = &p->ring[i];
        bool in_use = r->holes == cc_plan_holes(plan) || (cc_plan_is_compound(plan) && r->holes == plan->circle2);
        r->radius = OUTERMOST - (double)i * p->pitch;
        double spacing = DRAW_TURN * r->radius / r->holes;
        r->drawn = spacing >= LEAST_SPACING && (in_use || p->pitch >= LEAST_PITCH);
        if (r->drawn || in_use)
            p->hole = fmin(p->hole, spacing / 2);
    }
    p->hole = fmax(p->hole, SMALLEST_HOLE);
}

static double angle_of(uint64_t hole, unsigned holes)
{
    return DRAW_TURN * (double)hole / holes;
}

static double at_x(const struct plate *p, double angle, double radius)
{
    return labels_x(&p->labels, angle, radius);
}

static double at_y(const struct plate *p, double angle, double radius)
{
    return labels_y(&p->labels, angle, radius);
}

/* ---- holes ---- */

static void put_hole(struct plate *p, const struct ring *r, uint64_t hole, double radius, bool named)
{
    struct svg *svg = &p->d->svg;

    svg_open(svg, "circle");
    if (named)
        svg_number(svg, "data-hole", (double)hole);
    svg_number(svg, "cx", at_x(p, angle_of(hole, r->holes), r->radius));
    svg_number(svg, "cy", at_y(p, angle_of(hole, r->holes), r->radius));
    svg_number(svg, "r", radius);
    svg_close(svg);
}

static void open_ring(struct plate *p, const struct ring *r, const char *fill, double stroke, const char *what)
{
    svg_group(&p->d->svg, fill, stroke, NULL);
    svg_attr(&p->d->svg, "class", what);
    svg_number(&p->d->svg, "data-circle", r->holes);
}

static void draw_ring(struct plate *p, const struct ring *r, bool in_use)
{
    open_ring(p, r, "#fff", in_use ? DRAW_STRONG : DRAW_THIN, "circle");
    if (!r->drawn) {
        svg_open(&p->d->svg, "circle");
        svg_attr(&p->d->svg, "fill", "none");
        svg_number(&p->d->svg, "cx", p->x);
        svg_number(&p->d->svg, "cy", p->y);
        svg_number(&p->d->svg, "r", r->radius);
        svg_close(&p->d->svg);
    }
    for (uint64_t h = 0; r->drawn && h < r->holes; h++)
        put_hole(p, r, h, p->hole / 2, true);
    svg_close(&p->d->svg);
}

/* The line that carries the holes of a circle in use: whole for the crank pin, dashed for the second pin. */
static void draw_guide(struct plate *p, const struct ring *r, bool second)
{
    svg_group(&p->d->svg, "none", DRAW_THIN * 1.5, second ? "1.6 1.2" : NULL);
    svg_circle(&p->d->svg, p->x, p->y, r->radius);
    svg_close(&p->d->svg);
}

static void draw_disc(struct plate *p)
{
    struct svg *svg = &p->d->svg;

    svg_group(svg, "none", DRAW_STRONG, NULL);
    svg_circle(svg, p->x, p->y, RIM);
    svg_circle(svg, p->x, p->y, HUB);
    svg_close(svg);
    svg_group(svg, "none", DRAW_THIN, NULL);
    svg_line(svg, p->x - HUB / 2, p->y, p->x + HUB / 2, p->y);
    svg_line(svg, p->x, p->y - HUB / 2, p->x, p->y + HUB / 2);
    svg_close(svg);
}

/* ---- sector arms and arrows ---- */

/* An arm whose working edge lies along angle and whose body lies to the given side of it (1 forward). */
static void draw_arm(struct plate *p, double angle, double tip, double side)
{
    struct svg *svg = &p->d->svg;
    double at_hub = angle + side * 0.55, at_tip = angle + side * 2.6 / tip;

    svg_path_begin(svg, 0);
    svg_path_move(svg, at_x(p, angle, HUB), at_y(p, angle, HUB));
    svg_path_line(svg, at_x(p, angle, tip), at_y(p, angle, tip));
    svg_path_line(svg, at_x(p, at_tip, tip), at_y(p, at_tip, tip));
    svg_path_line(svg, at_x(p, at_hub, HUB), at_y(p, at_hub, HUB));
    svg_path_end(svg, true);
}

static void draw_sector_arms(struct plate *p, const struct ring *r, int64_t holes)
{
    double beside = asin(fmin(1, (p->hole / 2 + DRAW_STRONG) / r->radius));

    svg_group(&p->d->svg, "#eee", DRAW_STRONG * 0.8, NULL);
    svg_attr(&p->d->svg, "class", "arms");
    draw_arm(p, -beside, r->radius + 3, -1);
    draw_arm(p, angle_of((uint64_t)holes, r->holes) + beside, r->radius + 3, 1);
    svg_close(&p->d->svg);
}

/* An arc with an arrow's head, from one angle to another (forward where that is the greater). */
static void draw_arrow(struct plate *p, double radius, double from, double to)
{
    struct svg *svg = &p->d->svg;
    double way = to > from ? 1 : -1, head = 2.4 / radius, neck = to - way * head;

    if (fabs(to - from) < 1.5 * head)
        return;
    svg_path_begin(svg, DRAW_STRONG * 0.8);
    svg_path_move(svg, at_x(p, from, radius), at_y(p, from, radius));
    svg_path_arc(svg, radius, fabs(neck - from) > DRAW_TURN / 2, way * p->labels.way > 0, at_x(p, neck, radius),
                 at_y(p, neck, radius));
    svg_path_end(svg, false);
    svg_group(svg, "#000", 0, NULL);
    svg_path_begin(svg, 0);
    svg_path_move(svg, at_x(p, to, radius), at_y(p, to, radius));
    svg_path_line(svg, at_x(p, neck, radius + 0.9), at_y(p, neck, radius + 0.9));
    svg_path_line(svg, at_x(p, neck, radius - 0.9), at_y(p, neck, radius - 0.9));
    svg_path_end(svg, true);
    svg_close(svg);
}

/* "5 turns" and "35 of 49" between hub and arrow, on the side that the arms leave free. */
static void write_movement(struct plate *p, int64_t turns, int64_t holes, unsigned circle)
{
    struct svg_text_style style = { 4.2, SVG_MIDDLE, false };
    double span = angle_of((uint64_t)holes, circle);
    double angle = span > DRAW_TURN / 2 ? span / 2 : (span + DRAW_TURN) / 2;
    double x = at_x(p, angle, 21), y = at_y(p, angle, 21);

    if (turns > 0)
        svg_text(&p->d->svg, x, y - 0.6, style, "%" PRId64 " turn%s", turns, turns == 1 ? "" : "s");
    svg_text(&p->d->svg, x, y + (turns > 0 ? 4.8 : 2), style, "%" PRId64 " of %u", holes, circle);
}

static void draw_movement(struct plate *p)
{
    const struct cc_plan *plan = &p->d->job->plan;
    const struct ring *r = ring_of(p, cc_plan_holes(plan));
    int64_t turns, holes, holes2;

    svg_group(&p->d->svg, "none", 0, NULL);
    if (draw_arms(&holes, plan, &p->d->job->request)) {
        turns = plan->move / plan->circle;
        draw_sector_arms(p, r, holes);
        draw_arrow(p, INNERMOST - 6, 0, angle_of((uint64_t)holes, r->holes));
        svg_close(&p->d->svg);
        write_movement(p, turns, holes, r->holes);
        return;
    }
    if (cc_plan_is_compound(plan) && cc_plan_movement(&turns, &holes, &holes2, plan)) {
        const struct ring *second = ring_of(p, plan->circle2);
        double aside = (r->radius > second->radius ? 0.34 : -0.34) * p->pitch;   /* between the two circles */
        draw_arrow(p, r->radius - aside, 0, DRAW_TURN * (double)holes / r->holes);
        draw_arrow(p, second->radius + aside, -DRAW_TURN * (double)holes2 / second->holes, 0);
    }
    svg_close(&p->d->svg);
}

/* ---- where the pins land ---- */

static void add_visit(struct landing *landing, const struct cc_step *step)
{
    if (landing->visits < SHOWN_VISITS) {
        landing->step[landing->visits] = step->step;
        landing->pin[landing->visits] = step->hole2;
    }
    landing->visits++;
}

/* The holes where the crank pin (or plunger) stops, and those that the plate brings under the second pin: backward ones. */
static void find_landings(struct plate *p, struct landing *pin, struct landing *second)
{
    const struct cc_plan *plan = &p->d->job->plan;
    struct cc_cursor cursor;
    struct cc_step step;

    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, &p->d->job->request);
    cc_cursor_seek(&cursor, p->d->first);
    for (unsigned n = 0; n < MOST_SCANNED && cc_cursor_next(&cursor, &step) && step.step <= p->d->last; n++) {
        add_visit(&pin[plan->detent > 1 ? step.hole / plan->detent : step.hole], &step);
        if (second != NULL)
            add_visit(&second[(plan->circle2 - step.hole2) % plan->circle2], &step);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

/* The steps that end in a hole, most of them shown: "3, 22, 41", "3, 22 …", bare "3"; with a vernier "3/7", the pin behind. */
static void landing_words(char *buf, size_t size, const struct plate *p, const struct landing *landing, uint64_t most,
                          bool bare)
{
    bool vernier = cc_plan_is_vernier(&p->d->job->plan);
    uint64_t shown = landing->visits < most ? landing->visits : most;
    size_t used = 0;

    for (size_t i = 0; i < shown && used < size; i++) {
        used += (size_t)snprintf(buf + used, size - used, "%s%" PRIu64, i > 0 ? ", " : "", landing->step[i]);
        if (vernier && used < size)
            used += (size_t)snprintf(buf + used, size - used, "/%" PRIu64, landing->pin[i]);
    }
    if (landing->visits > shown && !bare && used < size)
        snprintf(buf + used, size - used, " …");
}

/* Landing holes full, those of the second pin with a bright middle; the start hole in a ring of its own. */
static void draw_landings(struct plate *p, const struct ring *r, const struct landing *landings, bool second)
{
    open_ring(p, r, "#000", 0, second ? "second landings" : "landings");
    for (uint64_t h = 0; h < r->holes; h++)
        if (landings[h].visits > 0)
            put_hole(p, r, h, p->hole / 2 + DRAW_STRONG / 2, true);
    svg_close(&p->d->svg);
    if (second) {
        svg_group(&p->d->svg, "#fff", 0, NULL);
        for (uint64_t h = 0; h < r->holes; h++)
            if (landings[h].visits > 0)
                put_hole(p, r, h, p->hole / 5, false);
        svg_close(&p->d->svg);
    }
    open_ring(p, r, "none", DRAW_STRONG, "start");
    put_hole(p, r, 0, p->hole * 0.95 + 0.3, true);
    svg_close(&p->d->svg);
}

/* Whether labels stand so close along the ring that every other one belongs in the next ring. */
static bool is_crowded(const struct ring *r, const struct landing *landings, double ring)
{
    struct svg_text_style style = { DRAW_SMALL, SVG_MIDDLE, false };
    unsigned labels = 0;

    for (uint64_t h = 0; h < r->holes; h++)
        labels += landings[h].visits > 0;
    return labels * (svg_text_width("00", style) + 1.2) > DRAW_TURN * ring;
}

/* How much is written at a hole: less, where not every hole could have its number. */
enum detail { THREE_STEPS, TWO_STEPS, ONE_STEP, ONE_SMALL_STEP, ONE_BARE_STEP };

/* Where the numbers of a circle stand. */
struct numbering {
    const struct ring *ring;
    struct label_rings rings;
    double from;                        /* where a leader begins */
    bool crowded;
    uint64_t shown;                     /* steps written at one hole, most */
    bool bare;                          /* without a sign that there are more */
    struct svg_text_style small, large;
    struct svg *svg;                    /* NULL: only tried */
};

static void lay_out_numbers(struct numbering *n, const struct plate *p, const struct ring *r,
                            const struct landing *landings, bool inward, enum detail detail)
{
    double large = detail >= ONE_SMALL_STEP ? DRAW_SMALL : cc_plan_is_vernier(&p->d->job->plan) ? LARGE * 0.8 : LARGE;

    n->ring = r;
    n->rings = (struct label_rings){ RIM + 2, RING_SPACING, 3, inward, true };
    n->small = (struct svg_text_style){ DRAW_SMALL, SVG_MIDDLE, false };
    n->large = (struct svg_text_style){ large, SVG_MIDDLE, true };
    if (inward) {
        n->rings.first = p->ring[p->rings - 1].radius - p->hole / 2 - 2;
        n->rings.count = 6;
    }
    n->from = r->radius + (inward ? -1 : 1) * (p->hole / 2 + DRAW_STRONG);
    n->crowded = p->numbered && is_crowded(r, landings, n->rings.first);
    n->bare = detail >= ONE_BARE_STEP;
    n->shown = !p->numbered || detail >= ONE_STEP ? 1
               : detail == TWO_STEPS || cc_plan_is_vernier(&p->d->job->plan) ? 2 : SHOWN_VISITS;
}

/* The steps of a hole, in the next ring or in the first with room. */
static bool number_hole(struct plate *p, const struct numbering *n, uint64_t hole, const struct landing *landing,
                        bool is_large, bool next_ring)
{
    struct svg_text_style style = is_large ? n->large : n->small;
    uint64_t shown = is_large && n->shown > 2 ? 2 : n->shown;
    double angle = angle_of(hole, n->ring->holes);
    struct label_rings rings = n->rings;
    char words[WORDS];

    landing_words(words, sizeof words, p, landing, shown, n->bare);
    rings.first += (rings.inward ? -1 : 1) * rings.spacing;
    rings.count--;
    return (next_ring && labels_place(&p->labels, n->svg, angle, n->from, &rings, style, words)) ||
           labels_place(&p->labels, n->svg, angle, n->from, &n->rings, style, words);
}

/* Number the landing holes of a circle, the first ones first. Returns how many found no room. */
static unsigned number_ring(struct plate *p, const struct numbering *n, const struct landing *landings)
{
    uint64_t most = p->d->first + LARGE_STEPS;
    unsigned left = 0;

    for (int pass = 0; pass < 2; pass++) {
        bool odd = false;
        for (uint64_t h = 0; h < n->ring->holes; h++) {
            bool is_large = landings[h].step[0] <= most;
            if (landings[h].visits == 0 || (!p->numbered && !is_large))
                continue;
            odd = !odd;
            if (is_large == (pass == 0))
                left += !number_hole(p, n, h, &landings[h], is_large, n->crowded && odd);
        }
    }
    return left;
}

/* Number the landing holes of a circle in as much detail as leaves none without a number. */
static void number_landings(struct plate *p, const struct ring *r, const struct landing *landings, bool inward)
{
    struct numbering n = { .svg = NULL };
    enum detail detail = THREE_STEPS;

    for (;; detail++) {
        labels_restart(&p->labels);
        lay_out_numbers(&n, p, r, landings, inward, detail);
        if (number_ring(p, &n, landings) == 0 || detail == ONE_BARE_STEP)
            break;
    }
    labels_restart(&p->labels);
    n.svg = &p->d->svg;
    (void)number_ring(p, &n, landings);
    p->d->bare |= n.bare;
}

/* A triangle on the rim, pointing at the start hole. */
static void mark_start(struct plate *p)
{
    struct svg *svg = &p->d->svg;

    svg_group(svg, "#000", 0, NULL);
    svg_path_begin(svg, 0);
    svg_path_move(svg, p->x, p->y - RIM + 3);
    svg_path_line(svg, p->x - 1.8, p->y - RIM);
    svg_path_line(svg, p->x + 1.8, p->y - RIM);
    svg_path_end(svg, true);
    svg_close(svg);
}

/* Pins of a spin fixture, drawn a hole less one vernier step apart; each is over a hole when its number is called. */
static void draw_vernier_pins(struct plate *p)
{
    const struct cc_plan *plan = &p->d->job->plan;
    struct label_rings rings = { VERNIER_PINS - 2.5, RING_SPACING, 2, true, false };
    struct svg_text_style style = { DRAW_SMALL, SVG_MIDDLE, false };
    unsigned pins = plan->circle2 / plan->circle;
    char number[16];

    for (unsigned i = 0; i < pins; i++) {
        double angle = DRAW_TURN * i * (pins - 1) / plan->circle2;
        double x = at_x(p, angle, VERNIER_PINS), y = at_y(p, angle, VERNIER_PINS);
        svg_group(&p->d->svg, "#fff", DRAW_STRONG, NULL);
        svg_rectangle(&p->d->svg, x - 1.2, y - 1.2, 2.4, 2.4);
        svg_close(&p->d->svg);
        snprintf(number, sizeof number, "%u", i);
        (void)labels_place(&p->labels, &p->d->svg, angle, VERNIER_PINS, &rings, style, number);
    }
}

/* A crank's pin goes over the plate's holes forward; a direct plate's holes come to the plunger from the other side. */
static double way_of_holes(const struct job *job)
{
    bool counter = job_forward(job, &job->plan) == CC_COUNTER;
    return counter == cc_plan_is_direct(&job->plan) ? 1 : -1;
}

void draw_plate(struct drawing *d, double x, double y)
{
    const struct cc_plan *plan = &d->job->plan;
    struct plate p = { .d = d, .x = x, .y = y, .numbered = d->last - d->first <= DRAW_NUMBERED };
    struct landing *pin, *second = NULL;

    labels_init(&p.labels, x, y, way_of_holes(d->job), DRAW_PLATE_REACH_X, DRAW_PLATE_REACH_Y);
    lay_out_rings(&p);
    const struct ring *r = ring_of(&p, cc_plan_holes(plan)), *r2 = NULL;
    pin = memory_get(r->holes * sizeof *pin);
    memset(pin, 0, r->holes * sizeof *pin);
    if (cc_plan_is_compound(plan)) {
        r2 = ring_of(&p, plan->circle2);
        second = memory_get(r2->holes * sizeof *second);
        memset(second, 0, r2->holes * sizeof *second);
    }
    find_landings(&p, pin, second);
    svg_open(&d->svg, "g");
    svg_attr(&d->svg, "id", "plate");
    draw_disc(&p);
    for (size_t i = 0; i < p.rings; i++)
        if (&p.ring[i] != r && &p.ring[i] != r2 && (p.pitch >= LEAST_PITCH || i == 0 || i + 1 == p.rings))
            draw_ring(&p, &p.ring[i], false);
    draw_movement(&p);
    draw_guide(&p, r, false);
    draw_ring(&p, r, true);
    if (r2 != NULL) {
        draw_guide(&p, r2, true);
        draw_ring(&p, r2, true);
    }
    draw_landings(&p, r, pin, false);
    if (r2 != NULL)
        draw_landings(&p, r2, second, true);
    mark_start(&p);
    if (cc_plan_is_vernier(plan))
        draw_vernier_pins(&p);
    svg_close(&d->svg);
    svg_open(&d->svg, "g");
    svg_attr(&d->svg, "id", "steps");
    number_landings(&p, r, pin, r2 != NULL && r2->radius > r->radius);
    if (r2 != NULL)
        number_landings(&p, r2, second, r2->radius < r->radius);
    svg_close(&d->svg);
    free(pin);
    free(second);
    labels_clear(&p.labels);
}

/* ---- what the signs mean ---- */

void draw_legend(struct drawing *d, double x, double y)
{
    static const struct svg_text_style style = { DRAW_SMALL, SVG_START, false };
    struct svg *svg = &d->svg;
    bool second = cc_plan_is_compound(&d->job->plan);
    double middle = y - 1.3, column = 52;

    svg_group(svg, "none", DRAW_STRONG, NULL);
    svg_circle(svg, x + 2, middle, 2);
    svg_circle(svg, x + column + 2, middle, 1.1);
    svg_close(svg);
    svg_group(svg, "#000", 0, NULL);
    svg_circle(svg, x + 2, middle, 1.2);
    svg_circle(svg, x + 2, middle + 5.4, 1.2);
    if (second)
        svg_circle(svg, x + column + 2, middle + 5.4, 1.2);
    svg_close(svg);
    svg_text(svg, x + 6, y, style, "start hole");
    svg_text(svg, x + column + 6, y, style, second ? "circles in use" : "circle in use");
    svg_text(svg, x + 6, y + 5.4, style, "%s, %s", second ? "crank pin" : "landing hole",
             d->bare ? "first step" : "its steps");
    if (second) {
        svg_group(svg, "#fff", 0, NULL);
        svg_circle(svg, x + column + 2, middle + 5.4, 0.5);
        svg_close(svg);
        svg_text(svg, x + column + 6, y + 5.4, style, "under the second pin");
    } else if (circles_of(d->job)->n > 1) {
        svg_group(svg, "none", DRAW_THIN, NULL);
        svg_circle(svg, x + column + 2, middle + 5.4, 1.1);
        svg_close(svg);
        svg_text(svg, x + column + 6, y + 5.4, style, "other circles");
    }
}
