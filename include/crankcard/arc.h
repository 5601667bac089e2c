/* arc.h: lengths along a circle and the angles they stand for, in doubles. */
#ifndef CRANKCARD_ARC_H
#define CRANKCARD_ARC_H

#include <gmp.h>

#ifdef __cplusplus
extern "C" {
#endif

/*
 * The angle, in revolutions, of an arc of that length at that radius (both in one unit, radius > 0): what a hole that is
 * off by a length is off by as an angle. The nearest double to length / (2 pi radius).
 */
void cc_arc_angle(mpq_t revolutions, const mpq_t length, const mpq_t radius);

/* The length, in the unit of radius, of that angle at that radius: 2 pi radius * revolutions. */
double cc_arc_length(const mpq_t revolutions, const mpq_t radius);

#ifdef __cplusplus
}
#endif

#endif
