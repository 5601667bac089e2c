/* large_move.c: see large_move.h. */
#include "cli/keep/large_move.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#define FIGURE_ROWS 5

/* Three dots a row, the left one worth 4; the point stands behind the ten digits. */
static const unsigned char dots[11][FIGURE_ROWS] = {
    { 7, 5, 5, 5, 7 }, { 2, 6, 2, 2, 7 }, { 7, 1, 7, 4, 7 }, { 7, 1, 7, 1, 7 }, { 5, 5, 7, 1, 1 },
    { 7, 4, 7, 1, 7 }, { 7, 4, 7, 5, 7 }, { 7, 1, 1, 1, 1 }, { 7, 5, 7, 5, 7 }, { 7, 5, 7, 1, 7 },
    { 0, 0, 0, 0, 2 },
};

/* Columns and lines of a dot, by size: about square on a terminal. */
static const struct { unsigned wide, tall; } sizes[LARGE_SIZES] = {
    { 1, 1 }, { 2, 1 }, { 3, 1 }, { 4, 2 }, { 5, 2 }, { 6, 3 }, { 7, 3 }, { 8, 4 },
};

struct banner {
    const char *ink;
    unsigned wide;
    unsigned columns;
    char row[FIGURE_ROWS + 1][2000];    /* the last is the foot once more, with the words */
};

static void put_text(struct banner *banner, const char *text)
{
    unsigned n = (unsigned)strlen(text);

    for (unsigned r = 0; r <= FIGURE_ROWS; r++) {
        size_t used = strlen(banner->row[r]);
        snprintf(banner->row[r] + used, sizeof banner->row[r] - used, "%*s", (int)n, r == FIGURE_ROWS ? text : "");
    }
    banner->columns += n;
}

static void put_figure(struct banner *banner, unsigned figure)
{
    for (unsigned r = 0; r <= FIGURE_ROWS; r++) {
        unsigned line = dots[figure][r < FIGURE_ROWS ? r : FIGURE_ROWS - 1];
        char *row = banner->row[r];
        for (unsigned bit = 4; bit > 0; bit /= 2)
            for (unsigned i = 0; i < banner->wide; i++)
                strcat(row, (line & bit) != 0 ? banner->ink : " ");
    }
    banner->columns += 3 * banner->wide;
}

static void put_number(struct banner *banner, const char *number, const char *unit)
{
    for (; *number != '\0'; number++) {
        put_text(banner, banner->wide > 1 ? "  " : " ");
        put_figure(banner, *number == '.' ? 10 : (unsigned)(*number - '0'));
    }
    put_text(banner, " ");
    put_text(banner, unit);
}

static void put_count(struct banner *banner, uint64_t count, const char *unit)
{
    char digits[24];

    snprintf(digits, sizeof digits, "%" PRIu64, count);
    put_number(banner, digits, unit);
}

static void begin(struct banner *banner, const struct text *t, unsigned size)
{
    memset(banner, 0, sizeof *banner);
    banner->ink = t->ascii ? "#" : "\xE2\x96\x88";
    banner->wide = sizes[size - 1].wide;
}

static void write_line(struct text *t, char *row)
{
    size_t n = strlen(row);

    while (n > 0 && row[n - 1] == ' ')
        row[--n] = '\0';
    fprintf(t->out, "%s\n", row);
    t->line++;
}

/* Each line of dots so often as a dot is tall; the words at the foot once. */
static bool write_banner(struct text *t, struct banner *banner, unsigned size)
{
    unsigned tall = sizes[size - 1].tall;

    if (banner->columns > t->width)
        return false;
    for (unsigned r = 0; r < FIGURE_ROWS; r++)
        for (unsigned i = r + 1 == FIGURE_ROWS; i < tall; i++)
            write_line(t, banner->row[r]);
    write_line(t, banner->row[FIGURE_ROWS]);
    return true;
}

static bool write_move(struct text *t, const struct hand_move *move, unsigned size)
{
    struct banner banner;

    begin(&banner, t, size);
    if (move->part == HAND_PIN)
        put_text(&banner, "pin");
    if (move->turns > 0)
        put_count(&banner, move->turns, move->turns == 1 ? "turn" : "turns");
    if (move->holes > 0 || move->part == HAND_PIN)
        put_count(&banner, move->holes, move->part == HAND_PIN ? "" : move->holes == 1 ? "hole" : "holes");
    return write_banner(t, &banner, size);
}

bool large_move(struct text *t, const struct hand_move *move, unsigned size)
{
    if (move->turns > 9999 || move->holes > 9999)
        return false;
    while (size > 0 && !write_move(t, move, size))
        size--;
    return size > 0;
}
