/* wall_card.c: the chart as text, in as many columns of rows as the card has room for, and as HTML, where the browser makes them. */
#include <stdlib.h>

#include "cli/base/memory.h"
#include "cli/out/text.h"
#include "cli/subject/wall_job.h"

#define BETWEEN 4           /* blanks between two columns of rows */

static unsigned row_width(const struct wall_part *part)
{
    unsigned width = 0;

    for (int c = 0; c < WALL_CELLS; c++)
        width += part->column[c].width > 0 ? part->column[c].width + part->column[c].gap : 0;
    return width;
}

/* A row's cells behind what stands in the line. */
static size_t put_row(char *line, size_t size, size_t used, const struct wall_part *part, const struct wall_row *row)
{
    char padded[200];

    for (int c = 0; c < WALL_CELLS && used < size; c++) {
        const struct table_column *column = &part->column[c];
        const char *cell = row != NULL ? row->cell[c] : column->heading;
        if (column->width == 0)
            continue;
        (column->left ? text_pad_right : text_pad_left)(padded, sizeof padded, cell, column->width);
        used += (size_t)snprintf(line + used, size - used, "%*s%s", (int)column->gap, "", padded);
    }
    return used;
}

/* Rows at and behind, in columns of so many lines. */
static void write_block(struct text *t, const struct wall_part *part, size_t at, size_t lines, size_t columns)
{
    size_t size = columns * (row_width(part) + BETWEEN) * 4 + 1;
    char *line = memory_get(size);

    for (size_t k = 0; k <= lines; k++) {           /* the headings are line 0 */
        size_t used = 0;
        line[0] = '\0';
        for (size_t c = 0; c < columns; c++) {
            size_t row = at + c * lines + (k > 0 ? k - 1 : 0);
            if (row >= part->n)
                break;
            if (c > 0)
                used += (size_t)snprintf(line + used, size - used, "%*s", BETWEEN, "");
            used = put_row(line, size, used, part, k > 0 ? &part->at[row] : NULL);
        }
        text_plain_line(t, line);
    }
    free(line);
}

static void write_columns(struct text *t, const struct wall_part *part)
{
    size_t columns = (t->width + BETWEEN) / (row_width(part) + BETWEEN), at = 0;

    if (columns == 0)
        columns = 1;
    while (at < part->n) {
        size_t need = (part->n - at + columns - 1) / columns, room = text_lines_left(t);
        if (room < 4 && t->pages > 0) {
            text_new_page(t);
            continue;
        }
        size_t lines = need < room - 1 ? need : room - 1;
        write_block(t, part, at, lines, columns);
        at += lines * columns;
    }
}

static void write_part(struct text *t, const struct wall_part *part, const char *heading)
{
    const struct table table = { part->column, WALL_CELLS, false, part->n };
    const char *cells[WALL_CELLS];

    if (part->n == 0)
        return;
    text_blank(t);
    text_keep(t, 6);
    text_heading(t, "%s", heading);
    if (!text_is_html(t) && row_width(part) <= t->width) {
        write_columns(t, part);
        return;
    }
    text_table(t, &table);
    for (size_t i = 0; i < part->n; i++) {
        if (text_lines_left(t) < text_row_lines(t, &table)) {
            text_new_page(t);
            text_table(t, &table);
        }
        for (int c = 0; c < WALL_CELLS; c++)
            cells[c] = part->at[i].cell[c];
        text_row(t, &table, cells, "");
    }
}

void wall_write_card(FILE *out, const struct wall *wall)
{
    char title[300], key[1500];
    struct text t;

    wall_title(title, sizeof title, wall);
    wall_key(key, sizeof key, wall);
    text_init(&t, out, &wall->job->output);
    text_head(&t, "%s", title);
    text_title(&t, "%s", title);
    text_para(&t, "", "  ", "%s", key);
    write_part(&t, &wall->plain, wall_plain_heading);
    write_part(&t, &wall->other, wall_other_heading);
    text_end(&t);
}
