/* arc.c: see arc.h. */
#include "crankcard/arc.h"

#include "crankcard/angle.h"

void cc_arc_angle(mpq_t revolutions, const mpq_t length, const mpq_t radius)
{
    mpq_set_d(revolutions, mpq_get_d(length) / (2 * CC_PI * mpq_get_d(radius)));
}

double cc_arc_length(const mpq_t revolutions, const mpq_t radius)
{
    return 2 * CC_PI * mpq_get_d(radius) * mpq_get_d(revolutions);
}
