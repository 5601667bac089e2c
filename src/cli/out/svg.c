/* svg.c: see svg.h. */
#include "cli/out/svg.h"

#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "cli/out/markup.h"

static const char typefaces[] = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/* ---- numbers ---- */

/* At most three decimals, trailing zeros left out, no negative zero. */
static void put_number(FILE *out, double value)
{
    int64_t thousandths = llround(value * 1000);
    uint64_t size = (uint64_t)llabs(thousandths);
    unsigned decimals = 3, rest = (unsigned)(size % 1000);

    fprintf(out, "%s%" PRIu64, thousandths < 0 ? "-" : "", size / 1000);
    if (rest == 0)
        return;
    while (rest % 10 == 0) {
        rest /= 10;
        decimals--;
    }
    fprintf(out, ".%0*u", (int)decimals, rest);
}

/* ---- elements ---- */

static void end_tag(struct svg *svg)
{
    if (svg->in_tag)
        putc('>', svg->out);
    svg->in_tag = false;
}

void svg_open(struct svg *svg, const char *name)
{
    end_tag(svg);
    fprintf(svg->out, "\n%*s<%s", (int)svg->depth, "", name);
    svg->open[svg->depth++] = name;
    svg->in_tag = true;
    svg->has_text = false;
}

void svg_attr(struct svg *svg, const char *name, const char *value)
{
    fprintf(svg->out, " %s=\"", name);
    markup_text(svg->out, value);
    putc('"', svg->out);
}

void svg_number(struct svg *svg, const char *name, double value)
{
    fprintf(svg->out, " %s=\"", name);
    put_number(svg->out, value);
    putc('"', svg->out);
}

static void put_content(struct svg *svg, const char *text)
{
    end_tag(svg);
    markup_text(svg->out, text);
    svg->has_text = true;
}

void svg_close(struct svg *svg)
{
    const char *name = svg->open[--svg->depth];

    if (svg->in_tag)
        fputs("/>", svg->out);
    else if (svg->has_text)
        fprintf(svg->out, "</%s>", name);
    else
        fprintf(svg->out, "\n%*s</%s>", (int)svg->depth, "", name);
    svg->in_tag = svg->has_text = false;
}

static void put_element(struct svg *svg, const char *name, const char *id, const char *text)
{
    svg_open(svg, name);
    svg_attr(svg, "id", id);
    put_content(svg, text);
    svg_close(svg);
}

static void millimetres(struct svg *svg, const char *name, double value)
{
    fprintf(svg->out, " %s=\"", name);
    put_number(svg->out, value);
    fputs("mm\"", svg->out);
}

void svg_begin(struct svg *svg, FILE *out, double width, double height, const char *title,
               const char *description)
{
    *svg = (struct svg){ .out = out };
    fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>", out);
    svg_open(svg, "svg");
    svg_attr(svg, "xmlns", "http://www.w3.org/2000/svg");
    millimetres(svg, "width", width);
    millimetres(svg, "height", height);
    fputs(" viewBox=\"0 0 ", out);
    put_number(out, width);
    putc(' ', out);
    put_number(out, height);
    putc('"', out);
    svg_attr(svg, "role", "img");
    svg_attr(svg, "aria-labelledby", "title desc");
    svg_attr(svg, "font-family", typefaces);
    put_element(svg, "title", "title", title);
    put_element(svg, "desc", "desc", description);
    svg_open(svg, "rect");
    svg_number(svg, "width", width);
    svg_number(svg, "height", height);
    svg_attr(svg, "fill", "#fff");
    svg_close(svg);
}

void svg_end(struct svg *svg)
{
    svg_close(svg);
    putc('\n', svg->out);
}

static void put_stroke(struct svg *svg, double stroke)
{
    if (stroke > 0) {
        svg_attr(svg, "stroke", "#000");
        svg_number(svg, "stroke-width", stroke);
    }
}

void svg_group(struct svg *svg, const char *fill, double stroke, const char *dashes)
{
    svg_open(svg, "g");
    svg_attr(svg, "fill", fill);
    put_stroke(svg, stroke);
    if (dashes != NULL)
        svg_attr(svg, "stroke-dasharray", dashes);
}

/* ---- shapes ---- */

void svg_circle(struct svg *svg, double x, double y, double radius)
{
    svg_open(svg, "circle");
    svg_number(svg, "cx", x);
    svg_number(svg, "cy", y);
    svg_number(svg, "r", radius);
    svg_close(svg);
}

void svg_line(struct svg *svg, double x1, double y1, double x2, double y2)
{
    svg_open(svg, "line");
    svg_number(svg, "x1", x1);
    svg_number(svg, "y1", y1);
    svg_number(svg, "x2", x2);
    svg_number(svg, "y2", y2);
    svg_close(svg);
}

void svg_rectangle(struct svg *svg, double x, double y, double width, double height)
{
    svg_open(svg, "rect");
    svg_number(svg, "x", x);
    svg_number(svg, "y", y);
    svg_number(svg, "width", width);
    svg_number(svg, "height", height);
    svg_close(svg);
}

void svg_bar(struct svg *svg, double x, double y, double stroke, bool inches)
{
    double reach = (inches ? 50.8 : 50) / 2;

    svg_group(svg, "none", stroke, NULL);
    svg_attr(svg, "class", "bar");
    svg_line(svg, x - reach, y, x + reach, y);
    svg_line(svg, x - reach, y - 2, x - reach, y + 2);
    svg_line(svg, x + reach, y - 2, x + reach, y + 2);
    svg_close(svg);
}

void svg_path_begin(struct svg *svg, double stroke)
{
    svg_open(svg, "path");
    put_stroke(svg, stroke);
    svg->in_path = false;
}

static void put_pair(struct svg *svg, double x, double y)
{
    put_number(svg->out, x);
    putc(' ', svg->out);
    put_number(svg->out, y);
}

static void put_point(struct svg *svg, char letter, double x, double y)
{
    if (!svg->in_path)
        fputs(" d=\"", svg->out);
    svg->in_path = true;
    putc(letter, svg->out);
    put_pair(svg, x, y);
}

void svg_path_move(struct svg *svg, double x, double y)
{
    put_point(svg, 'M', x, y);
}

void svg_path_line(struct svg *svg, double x, double y)
{
    put_point(svg, 'L', x, y);
}

void svg_path_arc(struct svg *svg, double radius, bool large, bool clockwise, double x, double y)
{
    put_point(svg, 'A', radius, radius);
    fprintf(svg->out, " 0 %d %d ", large, clockwise);
    put_pair(svg, x, y);
}

void svg_path_end(struct svg *svg, bool closed)
{
    fputs(closed ? "Z\"" : "\"", svg->out);
    svg_close(svg);
}

/* ---- text ---- */

void svg_text(struct svg *svg, double x, double y, struct svg_text_style style, const char *format, ...)
{
    static const char *const anchors[] = { NULL, "middle", "end" };
    char text[1024];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    svg_open(svg, "text");
    svg_number(svg, "x", x);
    svg_number(svg, "y", y);
    svg_number(svg, "font-size", style.size);
    if (anchors[style.anchor] != NULL)
        svg_attr(svg, "text-anchor", anchors[style.anchor]);
    if (style.bold)
        svg_attr(svg, "font-weight", "bold");
    put_content(svg, text);
    svg_close(svg);
}

/*
 * Advance widths in thousandths of the size, ' ' to '~', of DejaVu Sans, the widest of the typefaces named (read
 * from its hmtx table): a line that fits in it fits in the others.
 */
static const unsigned short advance[] = {
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775,
    752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390,
    337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,
    635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
};

#define ADVANCE_OTHER 1000      /* of any other sign */
#define BOLD_WIDER 1.15         /* its bold face, against the table */

static double width_of(const char *text, size_t length, struct svg_text_style style)
{
    unsigned long total = 0;

    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c >= ' ' && c <= '~')
            total += advance[c - ' '];
        else if ((c & 0xC0) != 0x80)
            total += ADVANCE_OTHER;
    }
    return (double)total / 1000 * style.size * (style.bold ? BOLD_WIDER : 1);
}

double svg_text_width(const char *text, struct svg_text_style style)
{
    return width_of(text, strlen(text), style);
}

/* Bytes of text that fit in the width, ended at a blank where there is one. */
static size_t bytes_that_fit(const char *text, double width, struct svg_text_style style)
{
    size_t end = 0, blank = 0;

    while (text[end] != '\0' && text[end] != '\n') {
        size_t next = end + 1;
        while (((unsigned char)text[next] & 0xC0) == 0x80)
            next++;
        if (width_of(text, next, style) > width && end > 0)
            return blank > 0 ? blank : end;
        if (text[end] == ' ')
            blank = end;
        end = next;
    }
    return end;
}

double svg_paragraph(struct svg *svg, double x, double y, double width, struct svg_text_style style,
                     const char *text)
{
    while (*text != '\0') {
        size_t n = bytes_that_fit(text, width, style);
        svg_text(svg, x, y, style, "%.*s", (int)n, text);
        y += SVG_LINE * style.size;
        text += n;
        text += strspn(text, " \n");
    }
    return y;
}
