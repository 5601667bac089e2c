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

/* "mm" or "in". */
const char *cc_unit_name(enum cc_unit unit);

#ifdef __cplusplus
}
#endif

#endif
