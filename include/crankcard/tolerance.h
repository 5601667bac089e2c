/*
 * tolerance.h: what a gear's flank class allows for pitch, in micrometres.
 *
 * Two figures per class: the single pitch error (one tooth to the next) and the cumulative (total)
 * pitch error (the largest less the smallest position error round the gear). Formulas and the
 * grain of salt each deserves stand in docs/assess.md, "Flank classes".
 */
#ifndef CRANKCARD_TOLERANCE_H
#define CRANKCARD_TOLERANCE_H

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum cc_flank_standard {
    CC_ISO_1328_2013 = 0, /* classes 1 to 11; formulas from memory */
    CC_ISO_1328_1995 = 1, /* grades 0 to 12, geometric means of size ranges; formulas from memory */
    CC_JIS_1702_1976 = 2  /* grades 0 to 8; Elements of Metric Gear Technology, table 15-1 */
};

struct cc_flank_tolerance {
    double pitch_um;            /* single pitch, as the formula gives it */
    double cumulative_um;       /* cumulative pitch, as the formula gives it */
    double pitch_table_um;      /* the same two rounded as the standard's tables are */
    double cumulative_table_um;
};

/*
 * The tolerances of a flank class.
 *
 *   out          out  micrometres
 *   flank_class  in   class or grade of the standard, its range as listed above
 *   diameter_mm  in   reference (pitch) diameter, mm
 *   module_mm    in   normal module, mm
 *
 * ISO 1328-1:2013   fpT = (0.001 d + 0.4 m + 5) sqrt(2)^(A-5)
 *                   FpT = (0.002 d + 0.55 sqrt(d) + 0.7 m + 12) sqrt(2)^(A-5)
 *                   5 <= d <= 15000, 0.5 <= m <= 70
 * ISO 1328-1:1995   fpt = (0.3 (m + 0.4 sqrt(d)) + 4) sqrt(2)^(Q-5)
 *                   Fp  = (0.3 m + 1.25 sqrt(d) + 7) sqrt(2)^(Q-5)
 *                   d and m the geometric means of the ends of the size range each falls in,
 *                   5 <= d <= 10000, 0.5 <= m <= 70
 * JIS B 1702-1976   a W + b by grade, W = cube root of d + 0.65 m
 *
 * Rounding of the table values: over 10 to whole micrometres, else to halves (ISO 2013 below 5: to tenths).
 *
 * Errors: CC_EDOM for a class, diameter or module outside the standard's range. out is then
 * unchanged.
 */
enum cc_status cc_flank_tolerance(struct cc_flank_tolerance *out, enum cc_flank_standard standard,
                                  unsigned flank_class, double diameter_mm, double module_mm,
                                  struct cc_error *err);

/* "ISO 1328-1:2013" and so on. */
const char *cc_flank_standard_name(enum cc_flank_standard standard);

#ifdef __cplusplus
}
#endif

#endif
