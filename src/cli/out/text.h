/*
 * text.h: what a card says, for people: plain text, wrapped to a width, 7-bit on demand, paged on demand; or the same
 * as a page of HTML (html.h), where that format is asked for.
 *
 * A card calls these functions with what its lines are: a heading, a label and its words, a row to tick. What is said
 * in HTML too must not be laid out with blanks by the card itself.
 *
 * Text handed in is UTF-8. With ascii every sign we use has a stand-in of the same width
 * (° d, ′ m, ″ s), so a layout does not change; anything else becomes '?'.
 */
#ifndef CRANKCARD_CLI_OUT_TEXT_H
#define CRANKCARD_CLI_OUT_TEXT_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/status.h"
#include "cli/ask/output.h"
#include "cli/out/html.h"

#define LABELS "          "     /* as wide as a label is, for what stands under its words */
#define HEAD_SIZE 256
#define MOST_COLUMNS 16         /* of a table */

struct text {
    FILE *out;
    unsigned width;     /* columns */
    bool ascii;
    unsigned pages;     /* lines to a page, 0 = no pages */
    unsigned line;      /* lines written on this page */
    unsigned page;      /* pages before this one */
    char head[HEAD_SIZE]; /* what a page begins with, its number added: text_head, else the first line written */
    FILE *paper;        /* with pages: where all goes at the end; out is memory until then */
    char *held;
    size_t length;
    struct html html;   /* with its stream: the card is HTML */
    const char *sheet;  /* paper of such a page, or NULL */
};

/* text_end writes what paging has held back until the number of pages was known; it comes once, after the last line. */
void text_init(struct text *text, FILE *out, const struct output *output);
void text_end(struct text *text);

/* The same for a screen: without pages, and without an end. */
void text_init_screen(struct text *text, FILE *out, const struct output *output);

/* What every page begins with, this first one too; without pages nothing. Before the first line. */
void text_head(struct text *text, const char *format, ...) CC_PRINTF(2, 3);

/* Columns that UTF-8 text takes on the paper: one a character. */
unsigned text_columns(const char *s);

/* One line as it is, with its newline. Starts a new page first when this one is full. */
void text_line(struct text *text, const char *format, ...) CC_PRINTF(2, 3);
void text_plain_line(struct text *text, const char *line);
void text_blank(struct text *text);

/*
 * A paragraph wrapped at blanks: first in front of its first line, rest in front of the others
 * (the same number of columns looks best). A word that is wider than the line is cut.
 */
void text_para(struct text *text, const char *first, const char *rest, const char *format, ...)
    CC_PRINTF(4, 5);

/*
 * What a paragraph is: the card's first line, what it is; the heading of a part; the same with a box; what must not be
 * overlooked; something to tick off, "[ ] "; a line between two rows of a table.
 */
enum text_kind { TEXT_TITLE, TEXT_HEADING, TEXT_TASK, TEXT_CRY, TEXT_TICK, TEXT_ACROSS, TEXT_LABELLED };

void text_say(struct text *text, enum text_kind kind, const char *format, ...) CC_PRINTF(3, 4);

#define text_title(text, ...)   text_say(text, TEXT_TITLE, __VA_ARGS__)
#define text_heading(text, ...) text_say(text, TEXT_HEADING, __VA_ARGS__)
#define text_task(text, ...)    text_say(text, TEXT_TASK, __VA_ARGS__)
#define text_cry(text, ...)     text_say(text, TEXT_CRY, __VA_ARGS__)
#define text_tick(text, ...)    text_say(text, TEXT_TICK, __VA_ARGS__)
#define text_across(text, ...)  text_say(text, TEXT_ACROSS, __VA_ARGS__)

/* Words behind a label, "  plate   A, circle 20". With an empty label they go on with those before. */
void text_labelled(struct text *text, const char *label, const char *format, ...) CC_PRINTF(3, 4);

/*
 * A table: the row of its headings, then its rows, which go on until something else is written. Cells stand in the
 * widths of their columns; a column of no width is left out. box is in front of a row of a table with boxes: "[ ]". On a
 * page that is narrower than usual a row that is too wide goes on in further lines; elsewhere it is as wide as its content.
 */
void text_table(struct text *text, const struct table *table);
void text_row(struct text *text, const struct table *table, const char *const *cells, const char *box);

/* Lines that a row takes, most; what is wrapped within a cell not counted. */
unsigned text_row_lines(const struct text *text, const struct table *table);

/* In HTML, a stream that a drawing of svg.h goes to, up to its end; in plain text NULL. */
FILE *text_picture_begin(struct text *text);
void text_picture_end(struct text *text);

/* Whether this is HTML: for what only a narrow or a paged card needs. */
bool text_is_html(const struct text *text);

/* Numbered paragraphs: " 1. ", " 2. " ... in front, what follows indented. */
struct text_list {
    struct text *text;
    unsigned number;    /* of the last item written */
};

void text_item(struct text_list *list, const char *format, ...) CC_PRINTF(2, 3);

/* A step of a list to tick off, "[ ] 3. ", after the step before. */
void text_step(struct text *text, unsigned *step, const char *words);

/* Lines left on this page (a large number without pages). */
unsigned text_lines_left(const struct text *text);

/* End this page now if it has no room for so many lines. Nothing is done where not even an empty page has */
void text_keep(struct text *text, unsigned lines);

/* The same for all that is still to come, which stays together in HTML too. */
void text_keep_rest(struct text *text, unsigned lines);

/* End this page now, if anything is on it. */
void text_new_page(struct text *text);

/* s in buf, padded with blanks on the left (or right) to columns; for table cells. */
const char *text_pad_left(char *buf, size_t size, const char *s, unsigned columns);
const char *text_pad_right(char *buf, size_t size, const char *s, unsigned columns);

#endif
