/*
 * draw_dial.c: the dial and its vernier as they stand at each reading, rolled out flat: the dial's lines above the edge,
 * the vernier's below it, numbers rising to the right.
 *
 * The zero of the vernier stands where the reading is. Its lines are closer than the dial's, v of their spaces on v - 1: so
 * of all only the one that is to be read stands in line with one of the dial's. Both are drawn strong.
 */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "cli/job/job.h"
#include "cli/out/draw.h"
#include "cli/out/readings.h"
#include "cli/out/words.h"

/* mm, from the top of a strip: baselines of words and numbers, the edge between dial and vernier */
#define CAPTION 4.0
#define NUMBERS 10.5
#define EDGE 17.5
#define VERNIER_NUMBERS 24.8
#define HALF 44.0           /* of a strip, from its middle to its ends */
#define WIDEST 11.0         /* from line to line */

/* One strip: the reading it shows, and where things stand. */
struct strip {
    struct drawing *d;
    const struct cc_plan *plan;
    const struct cc_dial_reading *reading;
    double zero, edge;      /* the vernier's zero, or the index; the edge between dial and vernier */
    double left, right;
    double space;           /* mm from line to line of the dial */
    double value;           /* where zero stands, in lines of the dial */
};

static const struct svg_text_style small = { DRAW_SMALL, SVG_MIDDLE, false };

static double dial_x(const struct strip *s, int64_t line)
{
    return s->zero + ((double)line - s->value) * s->space;
}

static double vernier_x(const struct strip *s, unsigned line)
{
    double v = s->plan->dial.vernier;

    return s->zero + line * (v - 1) / v * s->space;
}

/* Lines of the dial that are seen, from the left; they may go on below 0 and past the last. */
static int64_t first_line(const struct strip *s)
{
    return (int64_t)ceil(s->value - (s->zero - s->left) / s->space);
}

static int64_t last_line(const struct strip *s)
{
    return (int64_t)floor(s->value + (s->right - s->zero) / s->space);
}

static uint64_t on_the_dial(const struct strip *s, int64_t line)
{
    int64_t lines = s->plan->dial.lines;

    return (uint64_t)((line % lines + lines) % lines);
}

/* The dial's line that the vernier's line to be read stands in line with; without a vernier the line at the index, or before it. */
static int64_t met_line(const struct strip *s)
{
    return (int64_t)(s->reading->line + s->reading->vernier);
}

static void put_mark(struct strip *s, const char *name, uint64_t number, double x, double y, bool strong)
{
    struct svg *svg = &s->d->svg;

    svg_open(svg, "line");
    svg_number(svg, "x1", x);
    svg_number(svg, "y1", s->edge);
    svg_number(svg, "x2", x);
    svg_number(svg, "y2", y);
    svg_number(svg, name, (double)number);
    if (strong)
        svg_number(svg, "stroke-width", 2 * DRAW_STRONG);
    svg_close(svg);
}

static void put_lines(struct strip *s)
{
    struct svg *svg = &s->d->svg;
    unsigned vernier = s->plan->dial.vernier;
    bool strong = vernier > 1 && s->reading->eye == 0;     /* by eye it is between two */

    svg_group(svg, "none", DRAW_THIN * 2, NULL);
    svg_line(svg, s->left, s->edge, s->right, s->edge);
    for (int64_t line = first_line(s); line <= last_line(s); line++) {
        uint64_t number = on_the_dial(s, line);
        put_mark(s, "data-line", number, dial_x(s, line), s->edge - (number % 10 == 0 ? 6 : number % 5 == 0 ? 5 : 3.5),
                 strong && line == met_line(s));
    }
    for (unsigned line = 0; vernier > 1 && line <= vernier; line++)
        put_mark(s, "data-vernier", line, vernier_x(s, line), s->edge + 3.2, strong && line == s->reading->vernier);
    svg_close(svg);
}

/* The index: the vernier's zero, or what stands in its place. */
static void put_index(struct strip *s)
{
    double tip = s->edge + (s->plan->dial.vernier > 1 ? 7.9 : 0.6);
    struct svg *svg = &s->d->svg;

    svg_group(svg, "#000", 0, NULL);
    svg_attr(svg, "class", "index");
    svg_path_begin(svg, 0);
    svg_path_move(svg, s->zero, tip);
    svg_path_line(svg, s->zero + 1.1, tip + 2.2);
    svg_path_line(svg, s->zero - 1.1, tip + 2.2);
    svg_path_end(svg, true);
    svg_close(svg);
}

/* A number above a line of the dial, where it stands between the two. */
static void put_number(struct strip *s, int64_t line, double low, double high)
{
    char words[WORDS];
    double x = dial_x(s, line);

    dial_line_words(words, sizeof words, s->plan, on_the_dial(s, line));
    double half = svg_text_width(words, small) / 2;
    if (x - half > low && x + half < high)
        svg_text(&s->d->svg, x, s->edge - EDGE + NUMBERS, small, "%s", words);
}

/* The line that is read always has its number, and every fifth line where that leaves room. */
static void put_dial_numbers(struct strip *s)
{
    int64_t read = (int64_t)s->reading->line;
    char words[WORDS];

    dial_line_words(words, sizeof words, s->plan, s->reading->line);
    double reach = svg_text_width(words, small) / 2 + 1.5, x = dial_x(s, read);
    put_number(s, read, s->left - 20, s->right + 20);
    for (int64_t line = first_line(s); line <= last_line(s); line++) {
        if (on_the_dial(s, line) % 5 != 0 || line == read)
            continue;
        put_number(s, line, line > read ? x + reach : s->left, line > read ? s->right : x - reach);
    }
}

static void put_vernier_numbers(struct strip *s)
{
    unsigned last = s->plan->dial.vernier, every = 1;
    double step = vernier_x(s, 1) - vernier_x(s, 0);

    if (last <= 1)
        return;
    while (every * step < 6)
        every = every == 1 ? 2 : every == 2 ? 5 : 2 * every;
    for (unsigned line = 0; line <= last; line++) {
        bool read = line == s->reading->vernier;
        bool near = !read && fabs((double)line - s->reading->vernier) * step < 6;
        if (read || (line % every == 0 && !near))
            svg_text(&s->d->svg, vernier_x(s, line), s->edge - EDGE + VERNIER_NUMBERS, (struct svg_text_style){ DRAW_SMALL, SVG_MIDDLE, read },
                     "%u", line);
    }
}

static void caption_words(char *buf, size_t size, const struct strip *s, const struct cc_step *step)
{
    const struct cc_rim *rim = &s->d->job->head.rim;
    char row[32], dial[WORDS], shown[WORDS] = "";

    snprintf(row, sizeof row, "%" PRIu64, step->step);
    dial_words(dial, sizeof dial, s->plan, s->reading);
    if (rim->lines > 0)
        rim_words(shown, sizeof shown, rim, s->reading);
    snprintf(buf, size, "%s: %s%s%s", step->closing ? "end" : row, dial, shown[0] != '\0' ? ", rim " : "", shown);
}

static void draw_strip(struct drawing *d, double x, double y, const struct cc_step *step, const struct cc_dial_reading *reading)
{
    static const struct svg_text_style bold = { 4.0, SVG_START, true };
    const struct cc_plan *plan = &d->job->plan;
    unsigned vernier = plan->dial.vernier;
    double space = 2 * HALF / (vernier > 1 ? vernier + 2.5 : 7);
    struct strip s = { .d = d, .plan = plan, .reading = reading, .edge = y + EDGE, .left = x, .right = x + 2 * HALF };
    char words[3 * WORDS];

    s.space = space < WIDEST ? space : WIDEST;
    s.zero = vernier > 1 ? x + HALF - (vernier - 1) * s.space / 2 : x + HALF;
    s.value = (double)reading->parts / (double)(vernier * cc_plan_by_eye(plan));
    caption_words(words, sizeof words, &s, step);
    svg_open(&d->svg, "g");
    svg_attr(&d->svg, "class", "reading");
    svg_number(&d->svg, "data-step", (double)step->step);
    svg_text(&d->svg, x, y + CAPTION, bold, "%s", words);
    put_lines(&s);
    put_index(&s);
    put_dial_numbers(&s);
    put_vernier_numbers(&s);
    svg_close(&d->svg);
}

void draw_dial(struct drawing *d, double x, double y)
{
    const struct job *job = d->job;
    struct cc_dial_reading reading;
    struct cc_cursor cursor;
    struct cc_step step;
    unsigned n = 0;

    cc_dial_reading_init(&reading);
    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, d->first);
    svg_open(&d->svg, "g");
    svg_attr(&d->svg, "id", "dial");
    while (n < DRAW_READINGS && cc_cursor_next(&cursor, &step) && step.step <= d->last) {
        cc_dial_read(&reading, &step, &job->plan, &job->head, job_forward(job, &job->plan));
        draw_strip(d, x + (n % 2 == 0 ? 0 : DRAW_STRIP_X), y + n / 2 * DRAW_STRIP_Y, &step, &reading);
        n++;
    }
    svg_close(&d->svg);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    cc_dial_reading_clear(&reading);
}
