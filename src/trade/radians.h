/* radians.h: pi, and angles as sines and tangents take them. Not public. */
#ifndef CRANKCARD_TRADE_RADIANS_H
#define CRANKCARD_TRADE_RADIANS_H

#include <gmp.h>

#include "crankcard/angle.h"

static inline double cci_radians(const mpq_t revolutions)
{
    return 2 * CC_PI * mpq_get_d(revolutions);
}

#endif
