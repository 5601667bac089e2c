/*
 * text.h: plain text for people: wrapped to a width, 7-bit on demand, paged on demand.
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

struct text {
    FILE *out;
    unsigned width;     /* columns */
    bool ascii;
    unsigned pages;     /* lines to a page, 0 = no pages */
    unsigned line;      /* lines written on this page */
    unsigned page;      /* pages before this one */
    char head[256];     /* what a page begins with, its number added: text_head, else the first line written */
    FILE *paper;        /* with pages: where all goes at the end; out is memory until then */
    char *held;
    size_t length;
};

/* text_end writes what paging has held back until the number of pages was known; it comes once, after the last line. */
void text_init(struct text *text, FILE *out, const struct output *output);
void text_end(struct text *text);

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

/* End this page now if it has no room for so many lines. Nothing is done where not even an empty page has. */
void text_keep(struct text *text, unsigned lines);

/* End this page now, if anything is on it. */
void text_new_page(struct text *text);

/* s in buf, padded with blanks on the left (or right) to columns; for table cells. */
const char *text_pad_left(char *buf, size_t size, const char *s, unsigned columns);
const char *text_pad_right(char *buf, size_t size, const char *s, unsigned columns);

#endif
