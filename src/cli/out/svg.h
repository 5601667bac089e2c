/*
 * svg.h: drawings as SVG: elements, escaped text, numbers with three decimals whatever the locale.
 *
 * A drawing is self-contained, black on white, measured in millimetres (its viewBox is its size on
 * paper), and begins with <title> and <desc> for screen readers. y grows downward.
 */
#ifndef CRANKCARD_CLI_OUT_SVG_H
#define CRANKCARD_CLI_OUT_SVG_H

#include <stdbool.h>
#include <stdio.h>

#include "crankcard/status.h"

#define SVG_DEPTH 16        /* elements open at once, most */

struct svg {
    FILE *out;
    const char *open[SVG_DEPTH];
    unsigned depth;
    bool in_tag;            /* attributes may still follow */
    bool has_text;          /* the innermost element holds text: no line break before its end */
    bool in_path;           /* the data of a path have begun */
};

enum svg_anchor { SVG_START, SVG_MIDDLE, SVG_END };

/* A drawing of width x height mm on white paper, and its end. */
void svg_begin(struct svg *svg, FILE *out, double width, double height, const char *title,
               const char *description);
void svg_end(struct svg *svg);

/* ---- elements ---- */

/* name is kept until the element is closed. Attributes come before anything inside. */
void svg_open(struct svg *svg, const char *name);
void svg_attr(struct svg *svg, const char *name, const char *value);
void svg_number(struct svg *svg, const char *name, double value);
void svg_close(struct svg *svg);

/* <g> of the given fill, stroke width (mm; 0 for none) and dashes ("2 1", or NULL); svg_close ends it. */
void svg_group(struct svg *svg, const char *fill, double stroke, const char *dashes);

/* ---- shapes, whole ---- */

void svg_circle(struct svg *svg, double x, double y, double radius);
void svg_line(struct svg *svg, double x1, double y1, double x2, double y2);
void svg_rectangle(struct svg *svg, double x, double y, double width, double height);

/* A bar of 50 mm, or 2 in, about (x, y), to be measured after printing. */
void svg_bar(struct svg *svg, double x, double y, double stroke, bool inches);

/*
 * A path: begin (with a stroke width of its own, or 0 for that of its group), other attributes if any, moves, lines
 * and arcs, then the end (closed or not).
 */
void svg_path_begin(struct svg *svg, double stroke);
void svg_path_move(struct svg *svg, double x, double y);
void svg_path_line(struct svg *svg, double x, double y);
void svg_path_arc(struct svg *svg, double radius, bool large, bool clockwise, double x, double y);
void svg_path_end(struct svg *svg, bool closed);

/* ---- text ---- */

struct svg_text_style {
    double size;            /* mm */
    enum svg_anchor anchor;
    bool bold;
};

/* One line of text; y is its baseline. */
void svg_text(struct svg *svg, double x, double y, struct svg_text_style style, const char *format, ...)
    CC_PRINTF(5, 6);

/* How wide text is at most in the typefaces named, mm. */
double svg_text_width(const char *text, struct svg_text_style style);

/* Text broken at line ends, and at blanks to lines of the width; returns the baseline after the last line. */
double svg_paragraph(struct svg *svg, double x, double y, double width, struct svg_text_style style,
                     const char *text);

#define SVG_LINE 1.3        /* from baseline to baseline, in sizes */
#define SVG_CAPITAL 0.73    /* height of capitals and digits above the baseline, in sizes */

#endif
