/*
 * draw_table.c: see draw_table.h.
 *
 * Full signs are exact, open ones are not; a bar below a sign says by blocks, a stroke through it not within
 * tolerance. Rows without any count are left out.
 */
#include "cli/out/draw_table.h"

#include <inttypes.h>
#include <stdlib.h>

#include "cli/out/draw.h"
#include "cli/out/svg.h"
#include "cli/out/words.h"

#define MARGIN 12.0         /* mm */
#define LEFT 28.0           /* where the cells begin */
#define TOP 50.0
#define BOTTOM 246.0
#define WIDTH 170.0         /* of a row of cells */
#define KEY_BELOW 12.0      /* from the field to the key */
#define KEY_COLUMN 62.0

/* A sign for each method, for a dial that is not exact, and for no method. */
enum { NEAREST_READING = CC_METHODS + 1, SIGNS };

struct field {
    struct svg svg;
    unsigned columns;
    double cell, key_y;
    uint64_t used[SIGNS];
    bool blocks, outside;
};

static int by_count(const void *a, const void *b)
{
    const struct field_count *x = a, *y = b;
    return (x->count > y->count) - (x->count < y->count);
}

static size_t rows_of(const struct field_count *counts, size_t n, unsigned columns)
{
    size_t rows = 0;

    for (size_t i = 0; i < n; i++)
        if (i == 0 || counts[i].count / columns != counts[i - 1].count / columns)
            rows++;
    return rows;
}

/* ---- signs ---- */

static void put_square(struct svg *svg, double x, double y, double r)
{
    svg_rectangle(svg, x - 0.85 * r, y - 0.85 * r, 1.7 * r, 1.7 * r);
}

static void put_triangle(struct svg *svg, double x, double y, double r)
{
    svg_path_begin(svg, 0);
    svg_path_move(svg, x, y - r);
    svg_path_line(svg, x + r, y + 0.8 * r);
    svg_path_line(svg, x - r, y + 0.8 * r);
    svg_path_end(svg, true);
}

/* As the mark that a dial is read at. */
static void put_index(struct svg *svg, double x, double y, double r)
{
    svg_path_begin(svg, 0);
    svg_path_move(svg, x, y + r);
    svg_path_line(svg, x + r, y - 0.8 * r);
    svg_path_line(svg, x - r, y - 0.8 * r);
    svg_path_end(svg, true);
}

static void put_diamond(struct svg *svg, double x, double y, double r)
{
    svg_path_begin(svg, 0);
    svg_path_move(svg, x, y - 1.1 * r);
    svg_path_line(svg, x + 1.1 * r, y);
    svg_path_line(svg, x, y + 1.1 * r);
    svg_path_line(svg, x - 1.1 * r, y);
    svg_path_end(svg, true);
}

static void put_cross(struct svg *svg, double x, double y, double r)
{
    svg_line(svg, x - r, y - r, x + r, y + r);
    svg_line(svg, x - r, y + r, x + r, y - r);
}

static const struct sign {
    void (*put)(struct svg *svg, double x, double y, double r);
    bool full, dot;
    const char *words;
} signs[SIGNS] = {
    [CC_DIRECT] = { put_square, true, false, "direct" },
    [CC_PLAIN] = { svg_circle, true, false, "plain" },
    [CC_DIFFERENTIAL] = { put_triangle, true, false, "differential" },
    [CC_COMPOUND] = { put_diamond, true, false, "compound" },
    [CC_NEARLY_EXACT] = { put_diamond, false, true, "nearly exact" },
    [CC_NEAREST_HOLE] = { svg_circle, false, false, "nearest hole" },
    [CC_NEAREST_COMPOUND] = { put_diamond, false, false, "nearest compound" },
    [CC_DIAL] = { put_index, true, false, "dial" },
    [NEAREST_READING] = { put_index, false, false, "dial, nearest reading" },
    [CC_METHODS] = { put_cross, false, false, "no method" },
};

static unsigned sign_of(const struct field_count *c)
{
    return c->method == CC_DIAL && !c->exact ? NEAREST_READING : c->method;
}

static void put_sign(struct field *f, double x, double y, double r, const struct field_count *c)
{
    const struct sign *sign = &signs[sign_of(c)];
    struct svg *svg = &f->svg;
    double stroke = r > 2 ? 0.4 : 0.28;

    svg_group(svg, sign->full ? "#000" : "none", stroke, NULL);
    if (c->count > 0) {
        svg_attr(svg, "class", signs[c->method].words);
        svg_number(svg, "data-count", (double)c->count);
    }
    sign->put(svg, x, y, r);
    if (c->blocks)
        svg_line(svg, x - r, y + 1.55 * r, x + r, y + 1.55 * r);
    if (!c->within)
        svg_line(svg, x - 1.4 * r, y + 1.2 * r, x + 1.4 * r, y - 1.2 * r);
    svg_close(svg);
    if (!sign->dot)
        return;
    svg_group(svg, "#000", 0, NULL);
    svg_circle(svg, x, y, 0.35 * r);
    svg_close(svg);
}

/* ---- the field ---- */

static double cell_x(const struct field *f, uint64_t column)
{
    return LEFT + ((double)column + 0.5) * f->cell;
}

static void draw_grid(struct field *f, size_t rows)
{
    struct svg *svg = &f->svg;
    struct svg_text_style style = { DRAW_SMALL, SVG_MIDDLE, false };
    unsigned each = f->cell > 6 ? 2 : 5;

    for (unsigned c = 0; c < f->columns; c += each)
        svg_text(svg, cell_x(f, c), TOP - 2, style, "+%u", c);
    svg_group(svg, "none", 0.1, NULL);
    for (unsigned c = 0; c <= f->columns; c += 5)
        svg_line(svg, LEFT + c * f->cell, TOP, LEFT + c * f->cell, TOP + (double)rows * f->cell);
    for (size_t r = 0; r <= rows; r += f->cell > 6 ? 1 : 5)
        svg_line(svg, LEFT, TOP + (double)r * f->cell, LEFT + WIDTH, TOP + (double)r * f->cell);
    svg_close(svg);
}

static void draw_counts(struct field *f, const struct field_count *counts, size_t n)
{
    struct svg_text_style style = { DRAW_SMALL, SVG_END, false };
    double last_label = 0;
    size_t row = 0;

    for (size_t i = 0; i < n; i++) {
        uint64_t begin = counts[i].count - counts[i].count % f->columns;
        bool is_new = i == 0 || begin != counts[i - 1].count - counts[i - 1].count % f->columns;
        row += is_new && i > 0;
        double y = TOP + ((double)row + 0.5) * f->cell;
        if (is_new && (i == 0 || y - last_label > DRAW_SMALL + 0.6)) {
            svg_text(&f->svg, LEFT - 2, y + SVG_CAPITAL * DRAW_SMALL / 2, style, "%" PRIu64, begin);
            last_label = y;
        }
        put_sign(f, cell_x(f, counts[i].count % f->columns), y, 0.29 * f->cell, &counts[i]);
        f->used[sign_of(&counts[i])]++;
        f->blocks |= counts[i].blocks;
        f->outside |= !counts[i].within;
    }
}

static void put_key(struct field *f, unsigned *place, const struct field_count *sample, const char *words)
{
    static const struct svg_text_style style = { DRAW_SMALL, SVG_START, false };
    double x = MARGIN + 2 + *place % 3 * KEY_COLUMN, y = f->key_y + *place / 3 * 7.5;

    put_sign(f, x, y, 1.6, sample);
    svg_text(&f->svg, x + 5, y + 1.3, style, "%s", words);
    ++*place;
}

static void draw_key(struct field *f)
{
    char words[WORDS];
    unsigned place = 0;

    for (unsigned m = 0; m < SIGNS; m++) {
        struct field_count sample = { 0, m == NEAREST_READING ? CC_DIAL : m, false, true, m != NEAREST_READING };
        if (f->used[m] == 0)
            continue;
        snprintf(words, sizeof words, "%s: %" PRIu64, signs[m].words, f->used[m]);
        put_key(f, &place, &sample, words);
    }
    if (f->blocks)
        put_key(f, &place, &(struct field_count){ 0, CC_PLAIN, true, true, true }, "bar: by blocks");
    if (f->outside)
        put_key(f, &place, &(struct field_count){ 0, CC_NEAREST_HOLE, false, false, false }, "stroke: not within tolerance");
}

bool write_field(FILE *out, const char *head_title, const char *summary, struct field_count *counts, size_t n,
                 struct cc_error *err)
{
    struct field f = { .columns = 20 };
    struct svg_text_style large = { 6.0, SVG_START, true }, plain = { 4.0, SVG_START, false };
    double width = DRAW_WIDTH - 2 * MARGIN, y;
    char title[WORDS], description[2000];

    if (n > 0)
        qsort(counts, n, sizeof *counts, by_count);
    if ((double)rows_of(counts, n, f.columns) > (BOTTOM - TOP) * f.columns / WIDTH)
        f.columns = 50;
    f.cell = WIDTH / f.columns;
    if ((double)rows_of(counts, n, f.columns) > (BOTTOM - TOP) / f.cell) {
        cc_fail(err, CC_ELIMIT, "--format svg: these counts do not fit on a page: give a shorter range, 2-2500 at most");
        return false;
    }
    if (n == 0)
        snprintf(title, sizeof title, "No count to show");
    else
        snprintf(title, sizeof title, "Divisions from %" PRIu64 " to %" PRIu64 " on this head", counts[0].count,
                 counts[n - 1].count);
    snprintf(description, sizeof description, "%s. %s. A field of signs, a row for every %u counts: the shape is the "
             "method, full signs are exact, open ones are not.", head_title, summary, f.columns);
    svg_begin(&f.svg, out, DRAW_WIDTH, DRAW_HEIGHT, title, description);
    y = svg_paragraph(&f.svg, MARGIN, 15, width, large, title);
    y = svg_paragraph(&f.svg, MARGIN, y - 1.2, width, plain, head_title);
    svg_paragraph(&f.svg, MARGIN, y, width, plain, summary);
    f.key_y = TOP + (double)rows_of(counts, n, f.columns) * f.cell + KEY_BELOW;
    draw_grid(&f, rows_of(counts, n, f.columns));
    draw_counts(&f, counts, n);
    draw_key(&f);
    svg_end(&f.svg);
    return true;
}
