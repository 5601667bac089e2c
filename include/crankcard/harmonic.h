/*
 * harmonic.h: readings around a turn taken apart into harmonics by least squares.
 *
 *   reading(t) = mean + sum over h = 1 .. order of  cosine[h] cos(2 pi h t) + sine[h] sin(2 pi h t)
 *
 * The first harmonic of an indicator on a round bar is the bar's eccentricity; what is left is the shape of the
 * bar, the spindle's own error and the noise of reading. docs/assess.md, "Runout".
 */
#ifndef CRANKCARD_HARMONIC_H
#define CRANKCARD_HARMONIC_H

#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_HARMONIC 24

struct cc_harmonics {
    unsigned order;                         /* highest harmonic fitted, >= 1 */
    double mean;                            /* all in the unit of the readings */
    double cosine[CC_MAX_HARMONIC + 1];     /* [0] is not used */
    double sine[CC_MAX_HARMONIC + 1];
    double amplitude[CC_MAX_HARMONIC + 1];
    double high_rev[CC_MAX_HARMONIC + 1];   /* where the harmonic is highest first, revolutions, [0, 1/h) */
    double residual_rms;                    /* root of (squares of the residuals / freedom); 0 without freedom */
    double residual_worst;                  /* largest |residual| */
    unsigned long freedom;                  /* readings less fitted numbers */
};

/*
 * Fit harmonics 1 to order.
 *
 *   out    out  the fit
 *   turn   in   count angles, revolutions, in any order, evenly spaced or not
 *   value  in   count readings
 *   order  in   1 .. CC_MAX_HARMONIC, or 0: the highest up to 5 that leaves the fit some freedom
 *
 * Solved by Householder reflections, never by normal equations.
 *
 * Errors: CC_EDOM for too few different angles for the order (2 order + 1 are needed), or angles
 * that leave half a turn or more unread, or that cannot tell the harmonics apart; CC_ENOMEM. out is then unchanged.
 */
enum cc_status cc_harmonic_fit(struct cc_harmonics *out, const double *turn, const double *value,
                               size_t count, unsigned order, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
