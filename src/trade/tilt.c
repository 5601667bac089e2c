/* tilt.c: proving the tilt of the head, and the tilt for teeth. Derivations: docs/tilt.md. */
#include "crankcard/tilt.h"

#include <math.h>

#include "trade/radians.h"

/* The angle from the other side of 90 degrees, taken exactly, so that cot keeps its digits there. */
static double complement(const mpq_t revolutions)
{
    mpq_t rest;

    mpq_init(rest);
    mpq_set_ui(rest, 1, 4);
    mpq_sub(rest, rest, revolutions);
    double r = cci_radians(rest);
    mpq_clear(rest);
    return r;
}

/* ---- setting and proving ---- */

enum cc_status cc_tilt_check(const mpq_t tilt, const struct cc_head *head, struct cc_error *err)
{
    char asked[64], low[64], high[64];

    if (head->has_tilt ? mpq_cmp(tilt, head->tilt_low) >= 0 && mpq_cmp(tilt, head->tilt_high) <= 0
                       : mpq_sgn(tilt) == 0)
        return CC_OK;
    cc_angle_dms_str(asked, sizeof asked, tilt, 0, CC_MARKS_ASCII);
    if (!head->has_tilt)
        return cc_fail(err, CC_ENOFIT, "a tilt of %s: this head does not tilt", asked);
    cc_angle_dms_str(low, sizeof low, head->tilt_low, 0, CC_MARKS_ASCII);
    cc_angle_dms_str(high, sizeof high, head->tilt_high, 0, CC_MARKS_ASCII);
    return cc_fail(err, CC_ENOFIT, "a tilt of %s: this head tilts from %s to %s", asked, low, high);
}

void cc_tilt_scale(mpq_t scale, const mpq_t tilt, const mpq_t zero)
{
    mpq_add(scale, tilt, zero);
}

bool cc_tilt_is_steep(const mpq_t tilt)
{
    mpq_t rest;

    /* How far from the nearest level way to point, which comes every half turn. */
    mpq_init(rest);
    mpq_mul_2exp(rest, tilt, 1);
    mpz_fdiv_r(mpq_numref(rest), mpq_numref(rest), mpq_denref(rest));
    bool steep = mpq_cmp_ui(rest, 1, 4) > 0 && mpq_cmp_ui(rest, 3, 4) < 0;
    mpq_clear(rest);
    return steep;
}

bool cc_tilt_is_near_upright(const mpq_t tilt)
{
    return mpq_cmp_ui(tilt, 83, 360) >= 0;
}

double cc_tilt_over_travel(const mpq_t tilt, const mpq_t travel)
{
    double slope = tan(cc_tilt_is_steep(tilt) ? complement(tilt) : cci_radians(tilt));
    return mpq_get_d(travel) * slope;
}

double cc_tilt_over_bar(const mpq_t tilt, const mpq_t length)
{
    double part = sin(cc_tilt_is_steep(tilt) ? complement(tilt) : cci_radians(tilt));
    return mpq_get_d(length) * part;
}

static double in_arcsec(double angle)
{
    return angle * (CC_ARCSEC_PER_REV / (2 * CC_PI));
}

/* d tan = da / cos^2, d cot = da / sin^2 (in amount): either way the far side's square. */
double cc_tilt_travel_arcsec(const mpq_t tilt, const mpq_t travel, const mpq_t misreading)
{
    double far = cc_tilt_is_steep(tilt) ? sin(cci_radians(tilt)) : cos(cci_radians(tilt));
    return in_arcsec(mpq_get_d(misreading) * far * far / mpq_get_d(travel));
}

double cc_tilt_bar_arcsec(const mpq_t tilt, const mpq_t length, const mpq_t misreading)
{
    double far = cc_tilt_is_steep(tilt) ? sin(cci_radians(tilt)) : cos(cci_radians(tilt));
    return in_arcsec(mpq_get_d(misreading) / (mpq_get_d(length) * fabs(far)));
}

/* ---- the way back ---- */

double cc_tilt_reading(enum cc_tilt_way way, const mpq_t length, const mpq_t tilt, const mpq_t near)
{
    double angle = cc_tilt_is_steep(near) ? complement(tilt) : cci_radians(tilt);
    return mpq_get_d(length) * (way == CC_TILT_BY_TRAVEL ? tan(angle) : sin(angle));
}

enum cc_status cc_tilt_of_reading(mpq_t tilt, enum cc_tilt_way way, const mpq_t length, const mpq_t reading, const mpq_t near,
                                  struct cc_error *err)
{
    double ratio = mpq_get_d(reading) / mpq_get_d(length);
    mpq_t quarter;

    if (way == CC_TILT_BY_BAR && fabs(ratio) > 1)
        return cc_fail(err, CC_EDOM, "the ends of a bar never differ by more than its length");
    mpq_set_d(tilt, (way == CC_TILT_BY_TRAVEL ? atan(ratio) : asin(ratio)) / (2 * CC_PI));
    if (!cc_tilt_is_steep(near))
        return CC_OK;
    mpq_init(quarter);
    mpq_set_ui(quarter, 1, 4);
    mpq_sub(tilt, quarter, tilt);
    mpq_clear(quarter);
    return CC_OK;
}

/* ---- tilt for teeth ---- */

void cc_teeth_init(struct cc_teeth *teeth)
{
    teeth->kind = CC_TEETH_END;
    teeth->teeth = 0;
    teeth->mate = 0;
    mpq_inits(teeth->cutter, teeth->cone, teeth->shaft, teeth->dedendum, NULL);
    mpq_set_ui(teeth->shaft, 1, 4);
    mpq_set_ui(teeth->dedendum, 5, 4);
}

void cc_teeth_clear(struct cc_teeth *teeth)
{
    mpq_clears(teeth->cutter, teeth->cone, teeth->shaft, teeth->dedendum, NULL);
}

static bool between(const mpq_t angle, unsigned long num, unsigned long den)
{
    return mpq_sgn(angle) > 0 && mpq_cmp_ui(angle, num, den) < 0;
}

static enum cc_status publish(mpq_t tilt, double angle)
{
    mpq_set_d(tilt, angle / (2 * CC_PI));
    return CC_OK;
}

static enum cc_status too_blunt(const struct cc_teeth *t, struct cc_error *err)
{
    return cc_fail(err, CC_ENOFIT,
                   "no tilt gives %u teeth with this cutter: its slope does not reach the next tooth; more "
                   "teeth or a cutter of a larger angle would",
                   t->teeth);
}

/* "90d00m00s: words", the angle being the one that was given. */
static enum cc_status bad_angle(const mpq_t angle, const char *words, struct cc_error *err)
{
    char given[80];

    cc_angle_dms_str(given, sizeof given, angle, 0, CC_MARKS_ASCII);
    return cc_fail(err, CC_EDOM, "%.60s: %s", given, words);
}

static enum cc_status check_cutter(const struct cc_teeth *t, unsigned least_teeth,
                                   struct cc_error *err)
{
    if (t->teeth < least_teeth)
        return cc_fail(err, CC_EDOM, "teeth: %u is too few for this kind: at least %u", t->teeth,
                       least_teeth);
    if (t->kind == CC_TEETH_V_CLUTCH) {
        if (!between(t->cutter, 1, 2))
            return bad_angle(t->cutter, "the angle of a double-angle cutter lies between 0 and 180 degrees", err);
    } else if (!between(t->cutter, 1, 4)) {
        return bad_angle(t->cutter, "the angle of a single-angle cutter lies between 0 and 90 degrees", err);
    }
    return CC_OK;
}

/*
 * How far a slope reaches: tan(step) * cot(half), step and half in radians. At 1 the tilt would be 0, the
 * groove as deep at one end as at the other, and beyond it there is none; 1 is meant also where it
 * comes out a last digit below, as tan 45 cot 45 does.
 */
static double reach_of(double step, double half)
{
    double reach = tan(step) / tan(half);
    return reach > 1 - 1e-12 ? 1 : reach;
}

static enum cc_status from_cosine(mpq_t tilt, double step, double half, const struct cc_teeth *t,
                                  struct cc_error *err)
{
    double cosine = reach_of(step, half);
    return cosine >= 1 ? too_blunt(t, err) : publish(tilt, acos(cosine));
}

static enum cc_status for_taper(mpq_t tilt, const struct cc_teeth *t, struct cc_error *err)
{
    if (!between(t->cone, 1, 4))
        return bad_angle(t->cone, "the angle between tooth and axis lies between 0 and 90 degrees", err);
    double step = 2 * CC_PI / t->teeth;
    double reach = reach_of(step, cci_radians(t->cutter));
    double b = atan(cos(step) * tan(cci_radians(t->cone)));
    return reach >= 1 ? too_blunt(t, err) : publish(tilt, b - asin(reach * sin(b)));
}

static enum cc_status for_bevel(mpq_t tilt, const struct cc_teeth *t, struct cc_error *err)
{
    if (t->teeth < 1 || t->mate < 1)
        return cc_fail(err, CC_EDOM, "a bevel gear and its mate need 1 tooth or more each");
    if (!between(t->shaft, 1, 2))
        return bad_angle(t->shaft, "the shafts of bevel gears meet at more than 0 and less than 180 degrees", err);
    if (mpq_sgn(t->dedendum) < 0)
        return cc_fail(err, CC_EDOM, "a dedendum cannot be negative");
    double shaft = cci_radians(t->shaft);
    double pitch = atan2(sin(shaft), (double)t->mate / t->teeth + cos(shaft));
    if (pitch > CC_PI / 2)
        return cc_fail(err, CC_ENOFIT, "with these teeth and shafts the gear is an internal one: a head "
                                       "cannot cut it");
    double dedendum = atan(2 * mpq_get_d(t->dedendum) * sin(pitch) / t->teeth);
    return publish(tilt, pitch - dedendum);
}

enum cc_status cc_tilt_for_teeth(mpq_t tilt, const struct cc_teeth *teeth, struct cc_error *err)
{
    enum cc_status s = CC_OK;
    unsigned n = teeth->teeth;

    switch (teeth->kind) {
    case CC_TEETH_END:
    case CC_TEETH_SIDE:
        s = check_cutter(teeth, 5, err);
        return s != CC_OK ? s : from_cosine(tilt, 2 * CC_PI / n, cci_radians(teeth->cutter), teeth, err);
    case CC_TEETH_TAPER:
        s = check_cutter(teeth, 5, err);
        return s != CC_OK ? s : for_taper(tilt, teeth, err);
    case CC_TEETH_SAW_CLUTCH:
        s = check_cutter(teeth, 3, err);
        return s != CC_OK ? s : from_cosine(tilt, CC_PI / n, cci_radians(teeth->cutter), teeth, err);
    case CC_TEETH_V_CLUTCH:
        s = check_cutter(teeth, 3, err);
        return s != CC_OK ? s : from_cosine(tilt, CC_PI / 2 / n, cci_radians(teeth->cutter) / 2, teeth, err);
    case CC_TEETH_SQUARE_CLUTCH:
        if (n < 2)
            return cc_fail(err, CC_EDOM, "a clutch has 2 teeth or more");
        mpq_set_ui(tilt, 1, 4);
        return CC_OK;
    case CC_TEETH_BEVEL:
        return for_bevel(tilt, teeth, err);
    }
    return cc_fail(err, CC_EDOM, "unknown kind of teeth");
}

double cc_clutch_cutter_width(const mpq_t bore, unsigned teeth)
{
    return mpq_get_d(bore) / 2 * sin(CC_PI / teeth);
}
