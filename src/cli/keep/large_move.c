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
    unsigned n = text_columns(text);

    for (unsigned r = 0; r <= FIGURE_ROWS; r++) {
        size_t used = strlen(banner->row[r]);
        if (r == FIGURE_ROWS)
            snprintf(banner->row[r] + used, sizeof banner->row[r] - used, "%s", text);
        else
            snprintf(banner->row[r] + used, sizeof banner->row[r] - used, "%*s", (int)n, "");
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

static void begin(struct banner *banner, const struct text *t, unsigned size)
{
    memset(banner, 0, sizeof *banner);
    banner->ink = t->ascii ? "#" : "\xE2\x96\x88";
    banner->wide = sizes[size - 1].wide;
}

/* Each line of dots so often as a dot is tall; the words at the foot once. */
static bool write_banner(struct text *t, struct banner *banner, unsigned size)
{
    unsigned tall = sizes[size - 1].tall;

    if (banner->columns > t->width)
        return false;
    for (unsigned r = 0; r < FIGURE_ROWS; r++)
        for (unsigned i = r + 1 == FIGURE_ROWS; i < tall; i++)
            text_plain_line(t, banner->row[r]);
    text_plain_line(t, banner->row[FIGURE_ROWS]);
    return true;
}

/* Digits become figures, each with a space before it; what stands between them is the words at the foot. */
static bool write_words(struct text *t, const char *words, unsigned size)
{
    static const char digits[] = "0123456789.";
    struct banner banner;
    char part[64];

    begin(&banner, t, size);
    while (*words != '\0') {
        size_t n = strcspn(words, digits);
        snprintf(part, sizeof part, "%.*s", (int)n, words);
        put_text(&banner, part);
        for (words += n; *words != '\0' && strchr(digits, *words) != NULL; words++) {
            put_text(&banner, banner.wide > 1 ? "  " : " ");
            put_figure(&banner, *words == '.' ? 10 : (unsigned)(*words - '0'));
        }
        if (*words != '\0' && *words != ' ')
            put_text(&banner, " ");
    }
    return write_banner(t, &banner, size);
}

void large_words(struct text *t, const char *words, unsigned size)
{
    if (strlen(words) > 60)
        return;
    while (size > 0 && !write_words(t, words, size))
        size--;
}

void large_move(struct text *t, const struct hand_move *move, unsigned size)
{
    char words[80] = "", turns[40] = "";

    if (move->turns > 9999 || move->holes > 9999)
        return;
    if (move->turns > 0)
        snprintf(turns, sizeof turns, "%" PRIu64 " turn%s", move->turns, move->turns == 1 ? "" : "s");
    if (move->part == HAND_PIN)
        snprintf(words, sizeof words, "pin%" PRIu64, move->holes);
    else if (move->holes > 0)
        snprintf(words, sizeof words, "%s%" PRIu64 " hole%s", turns, move->holes, move->holes == 1 ? "" : "s");
    else
        snprintf(words, sizeof words, "%s", turns);
    large_words(t, words, size);
}
