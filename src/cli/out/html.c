/* html.c: see html.h. */
#include "cli/out/html.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"
#include "cli/out/markup.h"

/* ---- the document ---- */

void html_document_begin(FILE *out, const char *title, const char *paper)
{
    fputs("<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>", out);
    markup_text(out, title);
    fprintf(out, "</title>\n<style>\n%s", html_style);
    if (paper != NULL)
        fprintf(out, "@page{size:%s}\n", paper);
    fputs("</style>\n</head>\n<body>\n", out);
}

void html_document_end(FILE *out)
{
    fputs("</body>\n</html>\n", out);
}

void html_begin(struct html *html, const char *head, const char *paper)
{
    FILE *out = html->out;

    if (!html->in_pack)
        html_document_begin(out, head, paper);
    fputs("<table class=\"job\" role=\"presentation\"", out);
    if (html->in_pack)
        fprintf(out, " id=\"j%lu\"", html->job);
    fputs(">\n<thead><tr><td><div>", out);
    markup_text(out, head);
    fputs("</div></td></tr></thead>\n<tbody><tr><td>\n", out);
}

static void end_block(struct html *html)
{
    if (html->close != NULL)
        fprintf(html->out, "%s\n", html->close);
    html->close = NULL;
}

void html_end(struct html *html)
{
    end_block(html);
    if (html->keeping)
        fputs("</div>\n", html->out);
    fputs("</td></tr></tbody>\n</table>\n", html->out);
    if (!html->in_pack)
        html_document_end(html->out);
}

void html_keep_rest(struct html *html)
{
    end_block(html);
    fputs("<div class=\"keep\">\n", html->out);
    html->keeping = true;
}

/* ---- words ---- */

/* Go on with the block that ends so, or begin it. */
static void go_on(struct html *html, const char *open, const char *close)
{
    if (html->close != NULL && strcmp(html->close, close) == 0)
        return;
    end_block(html);
    fprintf(html->out, "%s\n", open);
    html->close = close;
}

static void element(struct html *html, const char *tag, const char *words, const char *end)
{
    fputs(tag, html->out);
    markup_text(html->out, words);
    fprintf(html->out, "%s\n", end);
}

/* The name of the box that is written, which its labels carry. */
static void put_name(struct html *html, const char *attribute)
{
    if (html->in_pack)
        fprintf(html->out, " %s=\"j%lu-%u\"", attribute, html->job, html->boxes);
    else
        fprintf(html->out, " %s=\"b%u\"", attribute, html->boxes);
}

static void put_label(struct html *html, const char *before)
{
    fprintf(html->out, "%s<label", before);
    put_name(html, "for");
}

static void put_box(struct html *html, bool check)
{
    fputs("<input type=\"checkbox\"", html->out);
    put_name(html, "id");
    fputs(check ? " class=\"check\"/>" : "/>", html->out);
}

void html_title(struct html *html, const char *words)
{
    end_block(html);
    element(html, "<h1>", words, "</h1>");
}

void html_heading(struct html *html, const char *words, bool box)
{
    end_block(html);
    if (!box) {
        element(html, "<h2>", words, "</h2>");
        return;
    }
    html->boxes++;
    put_label(html, "<h2 class=\"tick\">");
    putc('>', html->out);
    put_box(html, false);
    element(html, "<span>", words, "</span></label></h2>");
}

void html_paragraph(struct html *html, const char *lead, const char *words, bool indented, bool loud)
{
    end_block(html);
    fputs(indented ? "<p class=\"in\">" : "<p>", html->out);
    if (*lead != '\0')
        element(html, "<b>", lead, "</b>");
    if (loud)
        element(html, "<strong>", words, "</strong>");
    else
        markup_text(html->out, words);
    fputs("</p>\n", html->out);
}

void html_labelled(struct html *html, const char *label, const char *words)
{
    go_on(html, "<dl>", "</dl>");
    if (*label != '\0')
        element(html, "<dt>", label, "</dt>");
    element(html, "<dd>", words, "</dd>");
}

void html_item(struct html *html, unsigned number, const char *words)
{
    char open[32] = "<ol>";

    if (number > 1)
        snprintf(open, sizeof open, "<ol start=\"%u\">", number);
    go_on(html, open, "</ol>");
    element(html, "<li>", words, "</li>");
}

void html_tick(struct html *html, const char *words)
{
    go_on(html, "<ul class=\"tick\">", "</ul>");
    html->boxes++;
    put_label(html, "<li>");
    putc('>', html->out);
    put_box(html, false);
    element(html, "<span>", words, "</span></label></li>");
}

void html_blank(struct html *html)
{
    end_block(html);
}

/* ---- tables ---- */

#define WIDE 30     /* characters that a row has room for on the narrowest telephone, 320 px wide */
#define FEW 10      /* rows that stand in one column */
#define LONG 16     /* a cell of text that may be broken */

static const char *cell_class(const struct table_column *column)
{
    return !column->left ? "" : column->width > LONG ? " class=\"l long\"" : " class=\"l\"";
}

void html_table(struct html *html, const struct table *table)
{
    unsigned width = table->boxes ? 3 : 0;

    end_block(html);
    for (size_t c = 0; c < table->n; c++)
        width += table->column[c].width > 0 ? table->column[c].width + 1 : 0;
    fputs("<div class=\"columns\"", html->out);
    if (table->rows == 0 || table->rows > FEW)
        fprintf(html->out, " style=\"columns:%uch\"", width - width / 8);
    fprintf(html->out, "><table class=\"rows%s%s\">\n<thead><tr>", table->boxes ? " tick" : "", width > WIDE ? " wide" : "");
    html->columns = table->boxes ? 1 : 0;
    if (table->boxes)
        fputs("<td></td>", html->out);
    for (size_t c = 0; c < table->n; c++) {
        if (table->column[c].width == 0)
            continue;
        html->columns++;
        bool named = table->column[c].heading[0] != '\0';
        fprintf(html->out, named ? "<th scope=\"col\"%s>" : "<td%s>", cell_class(&table->column[c]));
        element(html, "", table->column[c].heading, named ? "</th>" : "</td>");
    }
    fputs("</tr></thead>\n<tbody>\n", html->out);
    html->close = "</tbody></table></div>";
    html->rows = 0;
}

/* A cell; on a narrow screen the heading of its column may stand in front of it. */
static void put_cell(struct html *html, const struct table *table, size_t c, const char *words)
{
    const struct table_column *column = &table->column[c];

    fprintf(html->out, "<td%s>", cell_class(column));
    if (table->boxes)
        put_label(html, "");
    else
        fputs("<span", html->out);
    if (column->heading[0] != '\0' && words[0] != '\0') {
        fputs(" data-h=\"", html->out);
        markup_text(html->out, column->heading);
        putc('"', html->out);
    }
    putc('>', html->out);
    markup_text(html->out, words[0] != '\0' ? words : "\xC2\xA0");      /* a blank that keeps its place */
    fputs(table->boxes ? "</label></td>" : "</span></td>", html->out);
}

void html_row(struct html *html, const struct table *table, const char *const *cells, bool check)
{
    fputs(html->rows++ % 10 == 9 ? "<tr class=\"ten\">" : "<tr>", html->out);
    if (table->boxes) {
        html->boxes++;
        put_label(html, "<td>");
        putc('>', html->out);
        put_box(html, check);
        fputs("</label></td>", html->out);
    }
    for (size_t c = 0; c < table->n; c++)
        if (table->column[c].width > 0)
            put_cell(html, table, c, cells[c]);
    fputs("</tr>\n", html->out);
}

void html_across(struct html *html, const char *words)
{
    fprintf(html->out, "<tr><td class=\"l\" colspan=\"%u\">", html->columns);
    element(html, "<span>", words, "</span></td></tr>");
}

/* ---- pictures ---- */

FILE *html_picture_begin(struct html *html)
{
    end_block(html);
    html->picture = memory_stream(&html->drawn, &html->drawn_length);
    return html->picture;
}

/*
 * Without the declaration of XML, which a drawing begins with, and without the names of its parts, of which there must be
 * no two in a page. No text holds such a name: its quotes are escaped.
 */
void html_picture_end(struct html *html)
{
    if (fclose(html->picture) != 0)
        memory_exhausted();
    const char *s = strchr(html->drawn, '\n');
    fputs("<figure>", html->out);
    while (s != NULL && *s != '\0') {
        bool name = strncmp(s, " id=\"", 5) == 0 || strncmp(s, " aria-labelledby=\"", 18) == 0;
        if (name)
            s = strchr(strchr(s, '"') + 1, '"') + 1;
        else
            putc(*s++, html->out);
    }
    fputs("</figure>\n", html->out);
    free(html->drawn);
    html->picture = NULL;
}
