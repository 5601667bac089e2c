/*
 * labels.h: labels around a circle of a drawing, placed so that none lies on another.
 *
 * Angles are radians from the top, clockwise as a plate or a dial is read unless the circle goes the other way.
 */
#ifndef CRANKCARD_CLI_OUT_LABELS_H
#define CRANKCARD_CLI_OUT_LABELS_H

#include "cli/out/svg.h"

struct labels {
    double x, y;                /* centre of the circle, mm */
    double way;                 /* 1: clockwise, -1: counter-clockwise */
    double reach_x, reach_y;    /* how far from it labels may go, mm */
    struct label_box *boxes;    /* what is taken */
    size_t box_count;
    struct label_leader *leaders;
    size_t leader_count;
};

/* How a row of labels stands: from the circle outward, or inward. */
struct label_rings {
    double first, spacing;      /* radius where the labels of the first ring begin, and from ring to ring, mm */
    unsigned count;             /* rings tried, one after the other */
    bool inward;
    bool leaders;               /* draw a thin line from the thing to its label */
};

void labels_init(struct labels *labels, double x, double y, double way, double reach_x, double reach_y);
void labels_restart(struct labels *labels);      /* forget what was placed */
void labels_clear(struct labels *labels);

/* The point at radius in the direction of angle. */
double labels_x(const struct labels *labels, double angle, double radius);
double labels_y(const struct labels *labels, double angle, double radius);

/*
 * Write text for the thing at angle and radius (mm, the end of its leader) in the first ring where it is clear of all
 * that was placed before. Returns false, with nothing drawn, where there is no room.
 */
bool labels_place(struct labels *labels, struct svg *svg, double angle, double radius,
                  const struct label_rings *rings, struct svg_text_style style, const char *text);

#endif
