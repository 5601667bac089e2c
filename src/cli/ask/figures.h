/* figures.h: angles and lengths as an option gives them and as a card shows them. */
#ifndef CRANKCARD_CLI_FIGURES_H
#define CRANKCARD_CLI_FIGURES_H

#include "cli/cli.h"

enum { FIGURE_SIZE = 96 };

/*
 * Read the value of the option just read by args; err then begins with its name. A size is a length of a millionth of
 * a millimetre or more.
 */
bool option_angle(mpq_t revolutions, const struct args *args, struct cc_error *err);
bool option_size(mpq_t mm, const struct args *args, enum cc_unit unit, struct cc_error *err);

/* Refuse a length beyond what any machine has (1000 km) and any card could show. */
bool length_in_reach(const mpq_t mm, const char *text, struct cc_error *err);

/* Millimetres in the unit. */
double in_unit(double mm, enum cc_unit unit);
void in_unit_exact(mpq_t value, const mpq_t mm, enum cc_unit unit);

/* Fixed decimals, no negative zero. */
const char *fixed_text(char *buf, size_t size, double value, unsigned decimals);

/* "57.735 mm", "2.2730 in"; the buffers have FIGURE_SIZE bytes. */
const char *length_text(char *buf, const mpq_t mm, enum cc_unit unit);
const char *length_text_d(char *buf, double mm, enum cc_unit unit);

/* "30°00′00″ (30.0000°)" */
const char *angle_text(char *buf, const mpq_t revolutions);

/* Seconds of arc as a small angle: "20.6″", "1′08.4″". */
const char *arcsec_text(char *buf, double arcsec);

#endif
