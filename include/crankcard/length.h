/*
 * length.h: lengths as exact millimetres, read from text and written as text.
 *
 * Unit: the millimetre, an mpq_t. 1 in = 127/5 mm exactly (ISO 31, since 1959).
 */
#ifndef CRANKCARD_LENGTH_H
#define CRANKCARD_LENGTH_H

#include <gmp.h>
#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum cc_unit { CC_MM = 0, CC_INCH = 1 };

/* A length is 0, or of a size from a millionth of a millimetre to a million metres: no machine has others, and all of them fit a double. */
#define CC_MOST_MM 1000000000UL
#define CC_PARTS_OF_MM 1000000UL

/*
 * Read a length: a rational as in cc_rational_parse, then mm, cm, m, in, " (or U+2033), or nothing,
 * which means bare_unit. "25mm", "0.5in", "1 1/2in", "3/8\"".
 *
 * Errors: CC_EPARSE, CC_EDOM, CC_ELIMIT as cc_rational_parse; CC_ELIMIT beyond the sizes above.
 */
enum cc_status cc_length_parse(mpq_t mm, const char *text, enum cc_unit bare_unit,
                               struct cc_error *err);

/* mm in the unit, as a decimal with that many decimals; no unit sign is written. */
size_t cc_length_str(char *buf, size_t size, const mpq_t mm, enum cc_unit unit, unsigned decimals);

/*
 * The angle, in revolutions, that an arc of so long is at a radius: length / (2 pi radius), both of one unit, radius > 0.
 * Pi is taken to 50 decimals and upwards, so that the angle is never more than the length asks.
 */
void cc_length_angle(mpq_t angle, const mpq_t length, const mpq_t radius);

/* "mm" or "in". */
const char *cc_unit_name(enum cc_unit unit);

#ifdef __cplusplus
}
#endif

#endif
