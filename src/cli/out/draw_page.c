/* draw_page.c: the page around the drawings: title, set-up in words, key to the signs. */
#include <inttypes.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/dial.h"
#include "cli/job/job.h"
#include "cli/out/draw.h"
#include "cli/out/svg.h"
#include "cli/out/words.h"

#define MARGIN 12.0         /* mm */
#define PLATE_Y 126.0       /* centre of the plate */
#define DIAL_Y 37.0         /* top of the dial's strips */
#define WORDS_Y 223.0       /* first baseline below the plate */
#define WORDS_WIDTH 108.0
#define WORK_X 162.0
#define WORK_Y 250.0

/* Sentences, each on a line of its own. */
struct sentences {
    char text[4000];
    size_t used;
};

CC_PRINTF(2, 3)
static void say(struct sentences *s, const char *format, ...)
{
    va_list args;

    if (s->used > 0 && s->used + 1 < sizeof s->text)
        s->text[s->used++] = '\n';
    va_start(args, format);
    int n = vsnprintf(s->text + s->used, sizeof s->text - s->used, format, args);
    va_end(args);
    s->used += n > 0 ? (size_t)n : 0;
    if (s->used >= sizeof s->text)
        s->used = sizeof s->text - 1;
}

/* ---- title ---- */

static void title_words(char *buf, size_t size, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char count[WORDS], method[WORDS];
    size_t listed = job->request.position_count;

    method_words(method, sizeof method, plan);
    if (listed > 0) {
        snprintf(buf, size, "%zu position%s: %s%s", listed, listed == 1 ? "" : "s", method,
                 plan->exact ? ", exact" : "");
        return;
    }
    grouped(count, sizeof count, plan->steps);
    snprintf(buf, size, "%s division%s%s: %s%s", count, plan->steps == 1 ? "" : "s",
             plan->has_closing ? "" : " of an arc", method, plan->exact ? ", exact" : "");
}

/* The head, and how far apart the divisions are. */
static void subtitle_words(char *buf, size_t size, const struct job *job)
{
    char angle[WORDS];
    mpq_t step;

    if (job->request.position_count > 0) {
        snprintf(buf, size, "%s", job->head.title);
        return;
    }
    mpq_init(step);
    job_space(step, job, 1);
    cc_angle_dms_str(angle, sizeof angle, step, 3, CC_MARKS_UTF8);
    snprintf(buf, size, "%s; each division %s", job->head.title, angle);
    mpq_clear(step);
}

/* What is not as asked, or not exact; empty where all is well. */
static void verdict_words(struct sentences *s, const struct job *job)
{
    char words[4 * WORDS];

    if (!job->plan.within)
        say(s, "NOT WITHIN TOLERANCE.");
    if (!job->plan.exact) {
        error_words(words, sizeof words, job, &job->plan);
        say(s, "Not exact: %s.", words);
    }
}

/* ---- set-up ---- */

static void say_setting(struct sentences *s, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;

    if (cc_plan_is_vernier(plan)) {
        say(s, "Direct plate of %u holes with %u pins.", plan->circle, plan->circle2 / plan->circle);
        return;
    }
    if (cc_plan_is_direct(plan)) {
        say(s, "Direct plate, %u circle, worm out of mesh.", plan->circle);
        return;
    }
    if (cc_plan_is_dial(plan)) {
        char words[WORDS];
        setting_words(words, sizeof words, &job->head, plan);
        say(s, "By the %s; dial and rim at 0 together.", words);
        return;
    }
    const struct cc_plate *plate = &job->head.plates[plan->plate];
    char side[32] = "";
    if (plate->side[0].n > 0 && plate->side[1].n > 0)
        snprintf(side, sizeof side, ", side %u to the crank", plan->side);
    say(s, "Plate %s%s%s. Crank pin in the %u circle.", plate->name, side,
        plan->is_mounted ? ", which is on now" : ": put it on", cc_plan_holes(plan));
    if (plan->circle2 != 0)
        say(s, "Second pin in the %u circle%s.", plan->circle2,
            job->head.plate_pin == CC_PIN_OTHER ? " on the plate's other side" : "");
}

static void say_movement(struct sentences *s, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[3 * WORDS];
    int64_t turns, holes, holes2;

    if (cc_plan_movement(&turns, &holes, &holes2, plan)) {
        movement_words(words, sizeof words, plan, turns, holes, holes2);
        say(s, "Each movement: %s.", words);
    } else if (plan->circle2 != 0 || job->request.position_count > 0) {
        say(s, "Movements differ: the steps of the card give each.");
    } else {
        bool larger = cc_plan_usual_is_larger(plan);
        cc_plan_rounded_movement(&turns, &holes, &holes2, plan, larger);
        movement_words(words, sizeof words, plan, turns, holes, holes2);
        say(s, "Each movement: %s, or one %s %s: see the steps of the card.", words, cc_plan_is_dial(plan) ? "part" : "hole",
            larger ? "less" : "more");
    }
    if (draw_arms(&holes, plan, &job->request))
        say(s, "Sector arms: %" PRId64 " space%s between them, %" PRId64 " holes counted with the pin's own.",
            holes, holes == 1 ? "" : "s", holes + 1);
}

static void say_gears(struct sentences *s, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[2 * WORDS];

    if (plan->train.pairs == 0)
        return;
    gear_words(words, sizeof words, &plan->train);
    say(s, "Gears: %s. The plate's stop is out: the plate turns %s the crank.", words,
        mpq_sgn(plan->plate_turns) < 0 ? "against" : "with");
}

static void say_way(struct sentences *s, const struct job *job)
{
    const char *forward = job_forward(job, &job->plan) == CC_COUNTER ? "counter-clockwise" : "clockwise";

    if (cc_plan_is_direct(&job->plan))
        say(s, "Plate and work as seen at the spindle nose, which turns %s.", forward);
    else if (job_is_helix(job) && !job_has_hand(job))
        say(s, "Drawn for a crank that goes clockwise; forward is the way the feed turns it.");
    else
        say(s, "Forward is %s.", forward);
    if (job_grow(job, &job->plan) == CC_WAY_UNKNOWN && !cc_request_is_circle(&job->request))
        say(s, "The work is drawn clockwise: try on the head which way round it goes.");
}

static void say_reading(struct sentences *s, const struct drawing *d)
{
    const struct job *job = d->job;
    const struct cc_plan *plan = &job->plan;

    if (cc_plan_is_vernier(plan))
        say(s, "A number such as 3/7 is step 3 with pin 7: the hole is the one at the zero line. Pins are drawn one "
            "behind the other; yours may be spread otherwise.");
    else if (plan->circle2 != 0)
        say(s, "The %u circle's steps are numbered outside, the %u circle's inside%s.",
            plan->circle > plan->circle2 ? plan->circle : plan->circle2,
            plan->circle > plan->circle2 ? plan->circle2 : plan->circle,
            plan->constant ? "; an arrow shows each part of a movement" : "");
    if (cc_plan_is_dial(plan))
        say(s, "Drawn flat, numbers rising to the right.%s", plan->dial.vernier > 1 ? " The triangle is the vernier's zero; strong: its line that "
            "stands in line with one of the dial's." : " The triangle is the index.");
    if (cc_plan_is_dial(plan) && plan->dial.vernier > 1 && cc_plan_by_eye(plan) > 1)
        say(s, "None is strong where the reading is between two.");
    say_way(s, job);
    if (cc_plan_is_dial(plan) && d->last - d->first >= DRAW_READINGS)
        say(s, "The first readings; --from and --to give others.");
    else if (d->last - d->first > DRAW_NUMBERED)
        say(s, "The first steps are numbered; --from and --to give others.");
}

static void setup_words(struct sentences *s, const struct drawing *d)
{
    say_setting(s, d->job);
    say_movement(s, d->job);
    say_gears(s, d->job);
    say_reading(s, d);
}

/* ---- the page ---- */

/* A line made smaller to fit the page, or broken where that does not do. */
static double heading_line(struct drawing *d, double y, struct svg_text_style style, double least, const char *text)
{
    double width = DRAW_WIDTH - 2 * MARGIN, wanted = svg_text_width(text, style);

    if (wanted > width)
        style.size = style.size * width / wanted > least ? style.size * width / wanted : least;
    return svg_paragraph(&d->svg, MARGIN, y, width, style, text);
}

static void draw_heading(struct drawing *d, const char *title, const char *subtitle, const char *verdict)
{
    struct svg_text_style large = { 6.0, SVG_START, true }, plain = { 4.0, SVG_START, false };
    double y = heading_line(d, 15, large, 4.4, title) - 1.2;

    y = heading_line(d, y, plain, DRAW_SMALL, subtitle);
    svg_paragraph(&d->svg, MARGIN, y, DRAW_WIDTH - 2 * MARGIN, plain, verdict);
}

void write_drawing(FILE *out, const struct job *job, uint64_t first, uint64_t last)
{
    struct drawing d = { .job = job, .first = first, .last = last };
    struct svg_text_style style = { 4.0, SVG_START, false };
    struct sentences verdict = { .used = 0 }, setup = { .used = 0 }, description = { .used = 0 };
    char title[3 * WORDS], subtitle[4 * WORDS];

    title_words(title, sizeof title, job);
    subtitle_words(subtitle, sizeof subtitle, job);
    verdict_words(&verdict, job);
    setup_words(&setup, &d);
    say(&description, "%s.", subtitle);
    if (verdict.used > 0)
        say(&description, "%s", verdict.text);
    bool plate = !cc_plan_is_dial(&job->plan);
    say(&description, plate ? "%s The plate is seen from the front, its start hole at the top; beside it the work with its divisions."
                            : "%s Dial and vernier rolled out flat at each reading; below them the work with its divisions.", setup.text);
    svg_begin(&d.svg, out, DRAW_WIDTH, DRAW_HEIGHT, title, description.text);
    draw_heading(&d, title, subtitle, verdict.text);
    if (plate)
        draw_plate(&d, DRAW_WIDTH / 2, PLATE_Y);
    else
        draw_dial(&d, MARGIN, DIAL_Y);
    draw_work(&d, WORK_X, WORK_Y);
    double y = svg_paragraph(&d.svg, MARGIN, WORDS_Y, WORDS_WIDTH, style, setup.text);
    if (plate)
        draw_legend(&d, MARGIN, y < 281 ? 281 : y + 2);
    svg_end(&d.svg);
}
