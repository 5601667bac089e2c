/*
 * angle.h: angles as exact fractions of a revolution, read from text and written as text.
 *
 * Unit: the revolution (one turn of the spindle), an mpq_t. 1 revolution = 360 degrees =
 * 21600 minutes = 1296000 seconds of arc = 400 gon.
 */
#ifndef CRANKCARD_ANGLE_H
#define CRANKCARD_ANGLE_H

#include <gmp.h>
#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_ARCSEC_PER_REV 1296000
#define CC_PI 3.14159265358979323846    /* for what is measured or drawn; no exact value depends on it */

/*
 * Read an angle, sign first, blanks allowed between its parts:
 *
 *   12.5   12.5d   12.5°   12.5deg        degrees (a bare number is degrees)
 *   22 1/2   22½                          fractions anywhere a number stands
 *   12d30m15s   12°30′15″   12°30'15"     degrees, minutes, seconds; any part may be left out
 *   12d30' 12°30′                         and signs of either kind mixed
 *   12:30:15   12:30                      sexagesimal
 *   1/7rev                                revolutions
 *   50gon                                 gon (400 to the turn)
 *
 * Only the last part given may have a fraction or decimals; a minutes or seconds part below
 * another must be under 60. A sign belongs to the whole angle.
 *
 * Errors: CC_EPARSE, CC_EDOM, CC_ELIMIT as cc_rational_parse.
 */
enum cc_status cc_angle_parse(mpq_t revolutions, const char *text, struct cc_error *err);

/*
 * As cc_angle_parse for an angle at the head of text; *rest is set to what follows it (blanks
 * skipped), which is empty or begins a label. "37°30' keyway" leaves "keyway". A blank must
 * stand between the angle and the label.
 */
enum cc_status cc_angle_parse_prefix(mpq_t revolutions, const char **rest, const char *text,
                                     struct cc_error *err);

/* angle * 1296000: seconds of arc; out may be revolutions. */
void cc_angle_arcsec(mpq_t arcsec, const mpq_t revolutions);

/* angle * 360: degrees; out may be revolutions. */
void cc_angle_degrees(mpq_t degrees, const mpq_t revolutions);

enum cc_marks {
    CC_MARKS_UTF8 = 0, /* ° ′ ″ */
    CC_MARKS_ASCII = 1 /* d m s */
};

/*
 * Degrees, minutes, seconds, all three always: 6°18′56.842″ (decimals = 3), or 6d18m56.842s. Rounded
 * once to the last decimal of the second, half away from zero, and split afterwards, so that
 * neither 60″ nor 60′ is ever written. Degrees of 48 digits and more stand alone, as a decimal.
 */
size_t cc_angle_dms_str(char *buf, size_t size, const mpq_t revolutions, unsigned decimals,
                        enum cc_marks marks);

/*
 * A small angle in its shortest readable form, for errors: 0″, 14.07″, -2′45.31″, 1°02′03.00″. Seconds have
 * decimals digits unless the value is exactly zero.
 */
size_t cc_angle_error_str(char *buf, size_t size, const mpq_t revolutions, unsigned decimals,
                          enum cc_marks marks);

#ifdef __cplusplus
}
#endif

#endif
