/*
 * html.h: a card as one file for a telephone and for any paper: HTML that is XML too, without a script and without
 * anything from elsewhere. text.h writes it where that format is asked for; nobody else calls this.
 *
 * Everything stands in one cell of a table whose head is the job's name: browsers repeat it on every printed page. What
 * is to be ticked has a box, and the whole row or line is the label of the box.
 */
#ifndef CRANKCARD_CLI_OUT_HTML_H
#define CRANKCARD_CLI_OUT_HTML_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

struct html {
    FILE *out;              /* NULL: the card is plain text */
    bool in_pack;           /* it is one of several in a document */
    unsigned long job;      /* of a pack: its number there, for names of its own */
    const char *close;      /* what ends the block that is open: a list, a table; or NULL */
    bool keeping;           /* what is written now is to stay on one page */
    unsigned boxes;         /* so far, for their ids */
    unsigned rows, columns; /* of the table that is open */
    FILE *picture;          /* memory, while one is drawn */
    char *drawn;
    size_t drawn_length;
};

/* A column of a table; the widths are those of plain text, in characters. */
struct table_column {
    const char *heading;
    unsigned width;
    unsigned gap;           /* blanks in front of it in plain text */
    bool left;              /* cells begin at the left */
};

struct table {
    const struct table_column *column;
    size_t n;
    bool boxes;             /* every row has one */
    uint64_t rows;          /* how many there will be, 0 where that is not known: few stand in one column of rows */
};

/* What every printed page begins with: the title too of the document that a card is by itself, on that paper ("a4"; NULL: any). */
void html_begin(struct html *html, const char *head, const char *paper);
void html_end(struct html *html);

/* A document for several cards. */
void html_document_begin(FILE *out, const char *title, const char *paper);
void html_document_end(FILE *out);

/* All from here to the end stays on one page. */
void html_keep_rest(struct html *html);

/* ---- blocks: each ends the one before unless it goes on with it ---- */

void html_title(struct html *html, const char *words);
void html_heading(struct html *html, const char *words, bool box);
void html_paragraph(struct html *html, const char *lead, const char *words, bool indented, bool loud);
void html_labelled(struct html *html, const char *label, const char *words);    /* an empty label goes on with the last */
void html_item(struct html *html, unsigned number, const char *words);          /* of a numbered list */
void html_tick(struct html *html, const char *words);
void html_blank(struct html *html);

void html_table(struct html *html, const struct table *table);
/* check: what is ticked there is a check and no cut; its box is round. */
void html_row(struct html *html, const struct table *table, const char *const *cells, bool check);
void html_across(struct html *html, const char *words);     /* between two rows */

/* A picture: a stream that a whole drawing of svg.h goes to. */
FILE *html_picture_begin(struct html *html);
void html_picture_end(struct html *html);

extern const char html_style[];

#endif
