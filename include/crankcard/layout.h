/*
 * layout.h: holes or slots on a circle as coordinates for two dials or a readout, and as chords to
 * check with calipers.
 *
 * X grows to the right and Y away from the operator, seen from above the work. Angles grow from the X axis,
 * counter-clockwise unless the layout says clockwise. Coordinates are rounded to what the dial
 * can show, and every rounding is reported as an error. docs/layout.md has the derivations.
 */
#ifndef CRANKCARD_LAYOUT_H
#define CRANKCARD_LAYOUT_H

#include <gmp.h>
#include <stdbool.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

struct cc_layout {
    mpq_t diameter;     /* of the circle of centres, mm, > 0 */
    mpq_t resolution;   /* one graduation of the dial or one count of the readout, mm, > 0 */
    mpq_t centre_x;     /* the centre of the circle as the dials count it, mm; 0 0 = from the centre */
    mpq_t centre_y;
    mpq_t start;        /* where angle 0 lies, counter-clockwise from the X axis, revolutions */
    bool clockwise;     /* positions follow one another clockwise */
};

struct cc_layout_point {
    mpq_t x, y;         /* dial setting, mm, whole multiples of the resolution */
    double true_x_mm;   /* where the point should be, in the same axes */
    double true_y_mm;
    double error_x_mm;  /* setting less true */
    double error_y_mm;
    double off_mm;      /* distance between setting and true place */
    double along_mm;    /* the part of it along the circle, in the direction positions follow */
    double out_mm;      /* the part of it away from the centre */
    double angle_error_arcsec;  /* along_mm as an angle at the circle's radius */
};

void cc_layout_init(struct cc_layout *layout);
void cc_layout_clear(struct cc_layout *layout);
void cc_layout_point_init(struct cc_layout_point *point);
void cc_layout_point_clear(struct cc_layout_point *point);

/*
 * Check the fields of a layout, once, before points are asked for.
 *
 * Errors: CC_EDOM for a diameter or resolution that is zero or less, or a resolution coarser than the
 * radius; CC_ELIMIT where a coordinate would need more than 10^12 steps of the dial.
 */
enum cc_status cc_layout_check(const struct cc_layout *layout, struct cc_error *err);

/*
 * The point at an angle (revolutions, from the layout's start, in its sense).
 *
 *   X = centre_x + D/2 cos(start +- angle), Y = centre_y + D/2 sin(start +- angle)
 *
 * rounded half away from zero to the resolution. Sine and cosine are exact where they are 0, 1/2 or 1.
 */
void cc_layout_at(struct cc_layout_point *point, const struct cc_layout *layout,
                  const mpq_t angle);

/*
 * Straight distance between two points of a circle an angle apart, in the unit of the diameter:
 * diameter * |sin(pi * apart)|, apart in revolutions. For n equal divisions the neighbour's
 * chord factor sin(180/n) is cc_chord(1, 1/n).
 */
double cc_chord(double diameter, const mpq_t apart);

/* Distance between the dial settings of two points, mm: what calipers should find, less or plus a pin. */
double cc_layout_distance_mm(const struct cc_layout_point *a, const struct cc_layout_point *b);

#ifdef __cplusplus
}
#endif

#endif
