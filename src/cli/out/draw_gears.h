/*
 * draw_gears.h: a train of change gears on its bracket, at scale: pitch circles, shafts, studs, which way each turns.
 *
 * Seen from the side of the gears. Where it is not known where the studs stand they are drawn in a row, and the page says so.
 */
#ifndef CRANKCARD_CLI_OUT_DRAW_GEARS_H
#define CRANKCARD_CLI_OUT_DRAW_GEARS_H

#include <stdio.h>

#include "crankcard/fit.h"
#include "crankcard/length.h"

/* A whole page; title and subtitle are its heading. The train's idlers are named. */
void write_gear_drawing(FILE *out, const char *title, const char *subtitle, const struct cc_train *train,
                        const struct cc_head *head, enum cc_gear_use use, enum cc_unit unit);

#endif
