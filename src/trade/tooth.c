/*
 * tooth.c: the involute tooth. Derivations are in docs/gear.md; every length here scales with the
 * module, every angle is in radians.
 */
#include "trade/tooth.h"

#include <math.h>

#include "crankcard/angle.h"

static double involute(double angle)
{
    return tan(angle) - angle;
}

double cci_involute_inverse(double v)
{
    /* inv(a) >= a^3/3 and tan(a) = v + a < v + pi/2: both starts are at or above the root, where
     * inv is convex, so Newton's steps only ever go down and stop at the root. */
    double angle = fmin(cbrt(3 * v), atan(v + CC_PI / 2));

    for (int i = 0; i < 100; i++) {
        double tangent = tan(angle), next = angle - (tangent - angle - v) / (tangent * tangent);
        if (!(next < angle))
            break;
        angle = next;
    }
    return angle;
}

double cci_transverse_angle(const struct cci_tooth *t)
{
    return atan(tan(t->pressure_angle) / cos(t->helix));
}

double cci_base_helix(const struct cci_tooth *t)
{
    return asin(sin(t->helix) * cos(t->pressure_angle));
}

double cci_pitch_diameter(const struct cci_tooth *t)
{
    return t->teeth * t->module / cos(t->helix);
}

static double base_diameter(const struct cci_tooth *t)
{
    return cci_pitch_diameter(t) * cos(cci_transverse_angle(t));
}

/* Half the angle that a tooth takes up on the reference circle. */
static double half_angle(const struct cci_tooth *t)
{
    return (CC_PI / 2 + 2 * t->shift * tan(t->pressure_angle)) / t->teeth;
}

void cci_chordal(double *thickness, double *addendum, const struct cci_tooth *t)
{
    double diameter = t->teeth * t->module, half = half_angle(t);

    *thickness = diameter * sin(half);
    /* (1 - cos) / 2 as a square, so that nothing cancels when the teeth are many */
    *addendum = diameter * sin(half / 2) * sin(half / 2) + t->module * (1 + t->shift);
}

unsigned long cci_span_teeth(const struct cci_tooth *t)
{
    double a = t->pressure_angle, base = base_diameter(t);
    double touch = cci_pitch_diameter(t) + 2 * t->shift * t->module;
    /* cci_span backwards: the span that touches there, and the number of teeth that has it */
    double span = sqrt(fmax(0, touch * touch - base * base)) / cos(cci_base_helix(t));
    double k = (span - 2 * t->shift * t->module * sin(a)) / (CC_PI * t->module * cos(a))
               - t->teeth * involute(cci_transverse_angle(t)) / CC_PI + 0.5;

    k = floor(k + 0.5);
    return k < 2 ? 2 : k > 1e9 ? 1000000000 : (unsigned long)k;
}

void cci_span(double *span, double *contact_diameter, const struct cci_tooth *t, double k)
{
    double a = t->pressure_angle;

    *span = t->module * cos(a)
                * (CC_PI * (k - 0.5) + t->teeth * involute(cci_transverse_angle(t)))
            + 2 * t->shift * t->module * sin(a);
    *contact_diameter = hypot(base_diameter(t), *span * cos(cci_base_helix(t)));
}

bool cci_pins(struct cci_pins *pins, const struct cci_tooth *t, double pin)
{
    double a = t->pressure_angle, base = base_diameter(t);
    double v = pin / (t->module * t->teeth * cos(a)) - CC_PI / (2 * t->teeth)
               + involute(cci_transverse_angle(t)) + 2 * t->shift * tan(a) / t->teeth;
    double angle, along;

    if (!(v > 0))
        return false;
    angle = cci_involute_inverse(v);
    /* Twice the way along the base tangent from the tangent point to the flank. */
    along = base * tan(angle) - pin * cos(cci_base_helix(t));
    if (along < 0)
        return false;
    pins->centre_diameter = base / cos(angle);
    pins->contact_diameter = hypot(base, along);
    pins->over = pins->centre_diameter * (fmod(t->teeth, 2) == 0 ? 1 : cos(CC_PI / 2 / t->teeth)) + pin;
    return true;
}

double cci_thickness_at(const struct cci_tooth *t, double diameter)
{
    double angle = acos(fmin(1, base_diameter(t) / diameter));

    return diameter * (half_angle(t) + involute(cci_transverse_angle(t)) - involute(angle));
}

/* From the base tangent point to where the tip circle cuts the line of action. */
static double tip_reach(const struct cci_tooth *t, double base_radius)
{
    double tip = cci_pitch_diameter(t) / 2 + t->module * (1 + t->shift);

    return tip > base_radius ? sqrt((tip - base_radius) * (tip + base_radius)) : 0;
}

void cci_pair(struct cci_pair *pair, const struct cci_tooth *a, const struct cci_tooth *b)
{
    double at = cci_transverse_angle(a);
    double shift = a->shift + b->shift;
    double inv = involute(at) + 2 * shift * tan(a->pressure_angle) / (a->teeth + b->teeth);
    /* Shifted inward so far that the base circles would overlap, the involutes never touch: angle 0. */
    double working = shift == 0 ? at : inv > 0 ? cci_involute_inverse(inv) : 0;
    double base_a = base_diameter(a) / 2, base_b = base_diameter(b) / 2;
    double reach_a = tip_reach(a, base_a), reach_b = tip_reach(b, base_b), line;

    pair->centres = (base_a + base_b) / cos(working);
    line = pair->centres * sin(working);
    /* Past the other's base tangent point there is no involute to touch. */
    pair->interference = reach_a > line || reach_b > line;
    pair->contact_ratio = (fmin(reach_a, line) + fmin(reach_b, line) - line)
                          / (CC_PI * a->module / cos(a->helix) * cos(at));
}
