/*
 * wall_draw.c: the chart as a drawing on the smallest upright sheet, from A4 to A0, that holds it; its letters have the same
 * height on all of them.
 */
#include <math.h>
#include <stdio.h>

#include "cli/out/draw.h"
#include "cli/out/svg.h"
#include "cli/subject/wall_job.h"

#define MARGIN 12.0         /* mm */
#define ROW 4.6             /* from baseline to baseline */
#define GAP 2.4             /* between two cells */
#define BETWEEN 8.0         /* between two columns of rows */

static const struct sheet {
    double width, height;
} sheets[] = { { 210, 297 }, { 297, 420 }, { 420, 594 }, { 594, 841 }, { 841, 1189 } };     /* ISO 216 */

static const struct svg_text_style plain = { DRAW_SMALL, SVG_START, false };
static const struct svg_text_style bold = { DRAW_SMALL, SVG_START, true };

/* Where the cells of a part's rows begin; a row's width is where the next would. */
struct measure {
    double at[WALL_CELLS + 1];
    size_t columns, lines;      /* columns of rows on a sheet, and the lines of each */
};

static void measure_cells(struct measure *m, const struct wall_part *part)
{
    double x = 0;

    for (int c = 0; c < WALL_CELLS; c++) {
        m->at[c] = x;
        if (part->column[c].width == 0)
            continue;
        double widest = svg_text_width(part->column[c].heading, bold);
        for (size_t i = 0; i < part->n; i++)
            widest = fmax(widest, svg_text_width(part->at[i].cell[c], plain));
        x += widest + GAP;
    }
    m->at[WALL_CELLS] = x - GAP;
}

static void fill_sheet(struct measure *m, const struct wall_part *part, double width)
{
    double columns = floor((width - 2 * MARGIN + BETWEEN) / (m->at[WALL_CELLS] + BETWEEN));

    m->columns = columns < 1 ? 0 : (size_t)columns;
    m->lines = m->columns == 0 ? 0 : (part->n + m->columns - 1) / m->columns;
}

/* mm from the first baseline of a part's heading to behind its last row. */
static double part_height(const struct measure *m, const struct wall_part *part)
{
    return part->n == 0 ? 0 : ((double)m->lines + 4) * ROW;
}

/* Lines that the key takes, at most: blanks may leave a tenth of each empty. */
static double key_height(const char *key, double width)
{
    return (ceil(svg_text_width(key, plain) / (0.9 * (width - 2 * MARGIN))) + 1) * DRAW_SMALL * SVG_LINE;
}

static void put_cells(struct svg *svg, const struct wall_part *part, const struct measure *m, double x, double y, const struct wall_row *row)
{
    for (int c = 0; c < WALL_CELLS; c++) {
        const char *cell = row != NULL ? row->cell[c] : part->column[c].heading;
        struct svg_text_style style = row != NULL ? plain : bold;
        if (part->column[c].width == 0 || cell[0] == '\0')
            continue;
        double right = m->at[c + 1] - (c + 1 < WALL_CELLS ? GAP : 0);
        style.anchor = part->column[c].left ? SVG_START : SVG_END;
        svg_text(svg, x + (part->column[c].left ? m->at[c] : right), y, style, "%s", cell);
    }
}

/* Returns the baseline behind it. */
static double draw_part(struct svg *svg, const struct wall_part *part, const struct measure *m, double y, const char *heading)
{
    if (part->n == 0)
        return y;
    svg_text(svg, MARGIN, y + ROW, (struct svg_text_style){ 4.4, SVG_START, true }, "%s", heading);
    double top = y + 2.5 * ROW;
    for (size_t c = 0; c < m->columns && c * m->lines < part->n; c++) {
        double x = MARGIN + (double)c * (m->at[WALL_CELLS] + BETWEEN);
        svg_open(svg, "g");
        svg_attr(svg, "class", "column");
        put_cells(svg, part, m, x, top, NULL);
        svg_group(svg, "none", DRAW_THIN, NULL);
        svg_line(svg, x, top + 1.3, x + m->at[WALL_CELLS], top + 1.3);
        svg_close(svg);
        for (size_t k = 0; k < m->lines && c * m->lines + k < part->n; k++) {
            svg_open(svg, "g");
            svg_attr(svg, "class", "row");
            put_cells(svg, part, m, x, top + (double)(k + 1) * ROW, &part->at[c * m->lines + k]);
            svg_close(svg);
        }
        svg_close(svg);
    }
    return y + part_height(m, part);
}

bool wall_write_drawing(FILE *out, const struct wall *wall, struct cc_error *err)
{
    const size_t n = sizeof sheets / sizeof sheets[0];
    struct measure plain_part, other_part;
    char title[300], key[1500];
    double height = 0;
    size_t i = 0;
    struct svg svg;

    wall_title(title, sizeof title, wall);
    wall_key(key, sizeof key, wall);
    measure_cells(&plain_part, &wall->plain);
    measure_cells(&other_part, &wall->other);
    for (; i < n; i++) {
        fill_sheet(&plain_part, &wall->plain, sheets[i].width);
        fill_sheet(&other_part, &wall->other, sheets[i].width);
        height = 24 + key_height(key, sheets[i].width) + part_height(&plain_part, &wall->plain) + part_height(&other_part, &wall->other) + MARGIN;
        if (plain_part.columns > 0 && (wall->other.n == 0 || other_part.columns > 0) && height <= sheets[i].height)
            break;
    }
    if (i == n) {
        cc_fail(err, CC_ELIMIT, "--wall: no sheet up to A0 holds so many counts: give a shorter range");
        return false;
    }
    svg_begin(&svg, out, sheets[i].width, sheets[i].height, title, key);
    double y = svg_paragraph(&svg, MARGIN, 17, sheets[i].width - 2 * MARGIN, (struct svg_text_style){ 6, SVG_START, true }, title);
    y = svg_paragraph(&svg, MARGIN, y, sheets[i].width - 2 * MARGIN, plain, key);
    y = draw_part(&svg, &wall->plain, &plain_part, y, wall_plain_heading);
    draw_part(&svg, &wall->other, &other_part, y, wall_other_heading);
    svg_end(&svg);
    return true;
}
