/* quantities.h: lengths and angles as a card shows them. */
#ifndef CRANKCARD_CLI_OUT_QUANTITIES_H
#define CRANKCARD_CLI_OUT_QUANTITIES_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "crankcard/length.h"

enum { QUANTITY_SIZE = 96 };

/* Millimetres in the unit. */
double in_unit(double mm, enum cc_unit unit);
void in_unit_exact(mpq_t value, const mpq_t mm, enum cc_unit unit);

/* Fixed decimals, no negative zero. */
const char *fixed_text(char *buf, size_t size, double value, unsigned decimals);

/* "57.735 mm", "2.2730 in"; the buffers have QUANTITY_SIZE bytes. */
const char *length_text(char *buf, const mpq_t mm, enum cc_unit unit);
const char *length_text_d(char *buf, double mm, enum cc_unit unit);

/* Whether length_text shows more than zeros. */
bool length_shows(const mpq_t mm, enum cc_unit unit);

/* "30°00′00″ (30.0000°)" */
const char *angle_text(char *buf, const mpq_t revolutions);

/* Seconds of arc as a small angle: "20.6″", "1′08.4″". */
const char *arcsec_text(char *buf, double arcsec);

#endif
