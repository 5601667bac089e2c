/* layout.c: points on a circle as dial settings, and chords. */
#include "crankcard/layout.h"

#include <math.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"

/* Sine and cosine of an angle in [0, 1/8] revolution. */
static void octant(double *sine, double *cosine, const mpq_t turn)
{
    *sine = sin(2 * CC_PI * mpq_get_d(turn));
    *cosine = cos(2 * CC_PI * mpq_get_d(turn));
    if (mpq_cmp_ui(turn, 1, 12) == 0)
        *sine = 0.5;
    if (mpq_cmp_ui(turn, 1, 8) == 0)
        *cosine = *sine; /* so that a square comes out square */
}

/* The same in [0, 1/4]. */
static void quadrant(double *sine, double *cosine, mpq_t turn)
{
    if (mpq_cmp_ui(turn, 1, 8) <= 0) {
        octant(sine, cosine, turn);
    } else {
        mpq_t quarter;
        mpq_init(quarter);
        mpq_set_ui(quarter, 1, 4);
        mpq_sub(turn, quarter, turn);
        octant(cosine, sine, turn);
        mpq_clear(quarter);
    }
}

/* Sine and cosine of any angle in revolutions, brought exactly into the first octant before
 * rounding. */
static void turn_sincos(double *sine, double *cosine, const mpq_t revolutions)
{
    mpq_t turn;
    mpz_t quarters;
    double s, c;

    mpq_init(turn);
    mpz_init(quarters);
    mpq_mul_2exp(turn, revolutions, 2); /* quarter turns, and what is over */
    mpz_fdiv_q(quarters, mpq_numref(turn), mpq_denref(turn));
    mpz_fdiv_r(mpq_numref(turn), mpq_numref(turn), mpq_denref(turn));
    mpq_div_2exp(turn, turn, 2);
    quadrant(&s, &c, turn);
    switch (mpz_fdiv_ui(quarters, 4)) {
    case 0:
        *sine = s;
        *cosine = c;
        break;
    case 1:
        *sine = c;
        *cosine = -s;
        break;
    case 2:
        *sine = -s;
        *cosine = -c;
        break;
    default:
        *sine = -c;
        *cosine = s;
        break;
    }
    mpz_clear(quarters);
    mpq_clear(turn);
}

void cc_layout_init(struct cc_layout *layout)
{
    mpq_inits(layout->diameter, layout->resolution, layout->centre_x, layout->centre_y, layout->start, NULL);
    layout->clockwise = false;
}

void cc_layout_clear(struct cc_layout *layout)
{
    mpq_clears(layout->diameter, layout->resolution, layout->centre_x, layout->centre_y, layout->start, NULL);
}

void cc_layout_point_init(struct cc_layout_point *point)
{
    mpq_inits(point->x, point->y, NULL);
    point->true_x_mm = point->true_y_mm = point->error_x_mm = point->error_y_mm = 0;
    point->off_mm = point->along_mm = point->out_mm = point->angle_error_arcsec = 0;
}

void cc_layout_point_clear(struct cc_layout_point *point)
{
    mpq_clears(point->x, point->y, NULL);
}

static const double most_steps = 1e12;

static bool too_many_steps(const mpq_t length, const mpq_t resolution)
{
    mpq_t steps, most;
    bool over;

    mpq_inits(steps, most, NULL);
    mpq_set_d(most, most_steps);
    mpq_div(steps, length, resolution);
    mpq_abs(steps, steps);
    over = mpq_cmp(steps, most) > 0;
    mpq_clears(most, steps, NULL);
    return over;
}

enum cc_status cc_layout_check(const struct cc_layout *layout, struct cc_error *err)
{
    mpq_t radius;
    bool coarse;

    if (mpq_sgn(layout->diameter) <= 0)
        return cc_fail(err, CC_EDOM, "the diameter of the circle must be more than 0");
    if (mpq_sgn(layout->resolution) <= 0)
        return cc_fail(err, CC_EDOM, "the resolution must be more than 0");
    mpq_init(radius);
    mpq_div_2exp(radius, layout->diameter, 1);
    coarse = mpq_cmp(layout->resolution, radius) > 0;
    mpq_clear(radius);
    if (coarse)
        return cc_fail(err, CC_EDOM, "the resolution is coarser than the radius of the circle");
    if (too_many_steps(layout->diameter, layout->resolution) ||
        too_many_steps(layout->centre_x, layout->resolution) ||
        too_many_steps(layout->centre_y, layout->resolution))
        return cc_fail(err, CC_ELIMIT, "the dial would have to count more than %.0e steps",
                       most_steps);
    return CC_OK;
}

/*
 * One axis: setting = the multiple of the resolution nearest to centre + radius * factor, computed
 * exactly from the factor as a double, so that a half-way case is one only where it truly is.
 */
static void axis(mpq_t setting, double *true_mm, double *error_mm, const mpq_t centre,
                 const mpq_t diameter, double factor, const mpq_t resolution)
{
    mpq_t place, steps;

    mpq_inits(place, steps, NULL);
    mpq_set_d(place, factor / 2);
    mpq_mul(place, place, diameter);
    mpq_add(place, place, centre);
    mpq_div(steps, place, resolution);
    cc_rational_round(mpq_numref(setting), steps);
    mpz_set_ui(mpq_denref(setting), 1);
    mpq_mul(setting, setting, resolution);
    *true_mm = mpq_get_d(place);
    mpq_sub(steps, setting, place);
    *error_mm = mpq_get_d(steps);
    mpq_clears(steps, place, NULL);
}

void cc_layout_at(struct cc_layout_point *point, const struct cc_layout *layout, const mpq_t angle)
{
    double sine, cosine, sense = layout->clockwise ? -1 : 1;
    mpq_t direction;

    mpq_init(direction);
    if (layout->clockwise)
        mpq_sub(direction, layout->start, angle);
    else
        mpq_add(direction, layout->start, angle);
    turn_sincos(&sine, &cosine, direction);
    mpq_clear(direction);

    axis(point->x, &point->true_x_mm, &point->error_x_mm, layout->centre_x, layout->diameter,
         cosine, layout->resolution);
    axis(point->y, &point->true_y_mm, &point->error_y_mm, layout->centre_y, layout->diameter, sine,
         layout->resolution);
    point->off_mm = hypot(point->error_x_mm, point->error_y_mm);
    point->out_mm = point->error_x_mm * cosine + point->error_y_mm * sine;
    point->along_mm = sense * (point->error_y_mm * cosine - point->error_x_mm * sine);
    point->angle_error_arcsec =
        point->along_mm / (mpq_get_d(layout->diameter) / 2) * (CC_ARCSEC_PER_REV / (2 * CC_PI));
}

double cc_chord(double diameter, const mpq_t apart)
{
    double sine, cosine;
    mpq_t half;

    mpq_init(half);
    mpq_div_2exp(half, apart, 1);
    turn_sincos(&sine, &cosine, half);
    mpq_clear(half);
    return diameter * fabs(sine);
}

double cc_layout_distance_mm(const struct cc_layout_point *a, const struct cc_layout_point *b)
{
    double dx, dy;
    mpq_t difference;

    mpq_init(difference);
    mpq_sub(difference, a->x, b->x);
    dx = mpq_get_d(difference);
    mpq_sub(difference, a->y, b->y);
    dy = mpq_get_d(difference);
    mpq_clear(difference);
    return hypot(dx, dy);
}
