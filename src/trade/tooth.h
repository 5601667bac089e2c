/*
 * tooth.h: the involute tooth, in doubles. Angles are radians. Not public.
 */
#ifndef CRANKCARD_TRADE_TOOTH_H
#define CRANKCARD_TRADE_TOOTH_H

#include <gmp.h>
#include <stdbool.h>

/* An external gear with involute teeth; spur where helix = 0. */
struct cci_tooth {
    double teeth;          /* a formative number need not be whole */
    double module;         /* normal */
    double pressure_angle; /* normal */
    double helix;
    double shift;          /* in modules */
};

/* The a in (0, pi/2) with inv(a) = tan(a) - a = v; v > 0. */
double cci_involute_inverse(double v);

/* Pressure angle in the transverse plane: tan(at) = tan(an) / cos(helix). */
double cci_transverse_angle(const struct cci_tooth *t);
double cci_base_helix(const struct cci_tooth *t);
double cci_pitch_diameter(const struct cci_tooth *t);

/* Thickness along the chord of the reference circle, and the height of the tip over that chord. */
void cci_chordal(double *thickness, double *addendum, const struct cci_tooth *t);

/* The number of teeth to span so that the jaws touch near the reference circle; at least 2. */
unsigned long cci_span_teeth(const struct cci_tooth *t);

/* Span over k teeth, and the diameter at which the jaws touch. */
void cci_span(double *span, double *contact_diameter, const struct cci_tooth *t, double k);

struct cci_pins {
    double over;             /* over two pins in opposite spaces, or as nearly so as odd teeth allow */
    double centre_diameter;  /* of the circle of the pins' centres */
    double contact_diameter; /* where the pins touch the flanks */
};

/* False where the pin is so small that it would touch below the base circle. */
bool cci_pins(struct cci_pins *pins, const struct cci_tooth *t, double pin);

/* Thickness at that diameter, along the arc in the transverse plane; negative above a pointed tip. */
double cci_thickness_at(const struct cci_tooth *t, double diameter);

/* ---- a pair, both without backlash ---- */

struct cci_pair {
    double centres;
    double contact_ratio; /* transverse; 0 or less where the tips do not reach each other */
    bool interference;    /* a tip reaches past the other's base tangent point */
};
void cci_pair(struct cci_pair *pair, const struct cci_tooth *a, const struct cci_tooth *b);

#endif
