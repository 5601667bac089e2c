/*
 * tilt.h: the tilt of the head: proving it with an indicator, and the tilt that teeth ask for.
 *
 * A tilt is the angle of the spindle axis above the table, an exact part of a revolution: 0 with the
 * spindle level, 1/4 with it upright. Readings are doubles, in millimetres. Derivations: docs/tilt.md.
 */
#ifndef CRANKCARD_TILT_H
#define CRANKCARD_TILT_H

#include <gmp.h>
#include <stdbool.h>

#include "crankcard/head.h"
#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- setting and proving ---- */

/*
 * Whether the head can be set to tilt. Errors: CC_ENOFIT outside its range, or where it does not tilt
 * (a level spindle, 0, is always possible).
 */
enum cc_status cc_tilt_check(const mpq_t tilt, const struct cc_head *head, struct cc_error *err);

/*
 * What the head's own scale shows at tilt, when it showed zero with the spindle truly level: the
 * sum of the two. scale may be either of the others.
 */
void cc_tilt_scale(mpq_t scale, const mpq_t tilt, const mpq_t zero);

/*
 * Nearer to upright than to level: past 45 degrees up or down. A level travel then gives a large and ever more nervous reading, so
 * the functions below turn to the upright travel and what the indicator shows across it.
 */
bool cc_tilt_is_steep(const mpq_t tilt);

/* From 83 degrees on (shop judgement): the scale's zero is then taken at upright, since nothing near it is seen at level. */
bool cc_tilt_is_near_upright(const mpq_t tilt);

/*
 * Indicator reading, mm, over a machine travel (mm) along a true bar held in the spindle:
 *
 *   rise over a level travel          travel * tan(tilt)
 *   run over an upright travel        travel * cot(tilt)      where cc_tilt_is_steep
 */
double cc_tilt_over_travel(const mpq_t tilt, const mpq_t travel);

/*
 * Difference, mm, between the two ends of a length (mm) measured on the bar itself; a sine bar of that
 * length needs the same stack of gauge blocks:
 *
 *   in height      length * sin(tilt)
 *   across         length * cos(tilt)      where cc_tilt_is_steep
 */
double cc_tilt_over_bar(const mpq_t tilt, const mpq_t length);

/*
 * Seconds of arc that a small misreading (mm) stands for, with the travel or the length above; the
 * derivatives of the two. travel and length > 0.
 */
double cc_tilt_travel_arcsec(const mpq_t tilt, const mpq_t travel, const mpq_t misreading);
double cc_tilt_bar_arcsec(const mpq_t tilt, const mpq_t length, const mpq_t misreading);

/* ---- the way back: from what was measured to where the spindle stands ---- */

enum cc_tilt_way {
    CC_TILT_BY_TRAVEL = 0,  /* over a machine travel: cc_tilt_over_travel */
    CC_TILT_BY_BAR = 1      /* between the ends of a length, or a sine bar's stack: cc_tilt_over_bar */
};

/*
 * The reading, mm, at a tilt, over a length (mm, > 0), measured as for the tilt near: level, or upright where that is steep. Unlike
 * the functions above it stays with that way on the other side of 45 degrees, and has a sign: below 0 the bar hangs, or leans over.
 */
double cc_tilt_reading(enum cc_tilt_way way, const mpq_t length, const mpq_t tilt, const mpq_t near);

/*
 * Where the spindle stands by a reading, mm: the inverse, the nearest double as a fraction.
 *
 *   travel      atan(reading/length)       upright: 1/4 - that
 *   bar         asin(reading/length)       upright: 1/4 - that
 *
 * Two readings with the spindle turned half round: the bar stands at the same angle to the spindle on either side, so the
 * mean of the two tilts is the spindle's, and half their difference the bar's. docs/tilt.md, "The way back".
 * Errors: CC_EDOM for a reading longer than the bar. tilt is then unchanged; it may not be near.
 */
enum cc_status cc_tilt_of_reading(mpq_t tilt, enum cc_tilt_way way, const mpq_t length, const mpq_t reading, const mpq_t near,
                                  struct cc_error *err);

/* ---- tilt for teeth ---- */

enum cc_teeth_kind {
    CC_TEETH_END = 0,           /* teeth on the end of a milling cutter */
    CC_TEETH_SIDE = 1,          /* teeth on the side of a side mill: the same geometry */
    CC_TEETH_TAPER = 2,         /* teeth along a cone: taper reamers, angular cutters */
    CC_TEETH_SQUARE_CLUTCH = 3, /* straight teeth, all faces along the axis */
    CC_TEETH_SAW_CLUTCH = 4,    /* one face along the axis, one sloping */
    CC_TEETH_V_CLUTCH = 5,      /* both faces sloping alike */
    CC_TEETH_BEVEL = 6          /* root of a straight bevel gear */
};

struct cc_teeth {
    enum cc_teeth_kind kind;
    unsigned teeth;     /* N */
    mpq_t cutter;       /* revolutions. END, SIDE, TAPER, SAW_CLUTCH: between the upright face and the
                           sloping face of a single-angle cutter, 0 to 1/4. V_CLUTCH: the whole angle of
                           a double-angle cutter, 0 to 1/2. Not used by the others. */
    mpq_t cone;         /* revolutions, TAPER: between the tooth edge and the axis, half the angle of the
                           taper, 0 to 1/4 */
    unsigned mate;      /* BEVEL: teeth of the other gear */
    mpq_t shaft;        /* BEVEL: revolutions between the axes, 0 to 1/2; 1/4 is the usual */
    mpq_t dedendum;     /* BEVEL: in modules (= inches at diametral pitch 1), >= 0; 1.25 is usual at 20 degrees, 1.157 at 14 1/2 */
};

void cc_teeth_init(struct cc_teeth *teeth);     /* END, 0 teeth; shaft 1/4, dedendum 5/4 */
void cc_teeth_clear(struct cc_teeth *teeth);

/*
 * The tilt for teeth, in revolutions: the nearest double, exactly, where it is not rational.
 *
 *   END, SIDE      cos a = tan(360/N) cot(cutter)
 *   TAPER          tan b = cos(360/N) tan(cone);  sin c = tan(360/N) cot(cutter) sin b;  a = b - c
 *   SAW_CLUTCH     cos a = tan(180/N) cot(cutter)
 *   V_CLUTCH       cos a = tan(90/N) cot(cutter/2)
 *   SQUARE_CLUTCH  a = 90 degrees
 *   BEVEL          tan g = sin(shaft) / (mate/N + cos(shaft));  tan d = 2 dedendum sin(g) / N;  a = g - d
 *
 * (END: TAPER with cone = 90 degrees.) END to V_CLUTCH assume the upright face of the cutter (for a V, the
 * middle of the cutter) in the vertical plane through the axis of the blank, and the feed level in it.
 *
 * Errors: CC_EDOM for an angle or count out of range; CC_ENOFIT where no tilt gives such teeth with
 * this cutter (the message says which way to go).
 */
enum cc_status cc_tilt_for_teeth(mpq_t tilt, const struct cc_teeth *teeth, struct cc_error *err);

/*
 * The widest cutter, mm, that passes through the spaces of a straight-tooth clutch, where they are
 * narrowest: bore/2 * sin(180/N). bore is the inside diameter of the teeth, mm; N >= 2.
 */
double cc_clutch_cutter_width(const mpq_t bore, unsigned teeth);

#ifdef __cplusplus
}
#endif

#endif
