/* flats.c: flats on a round bar. Derivations: docs/flats.md. */
#include "crankcard/flats.h"

#include <math.h>
#include <string.h>

#include "crankcard/number.h"
#include "trade/radians.h"

void cc_flats_init(struct cc_flats *flats)
{
    flats->n = 1;
    mpq_inits(flats->across, flats->stock, (mpq_ptr)NULL);
}

void cc_flats_clear(struct cc_flats *flats)
{
    mpq_clears(flats->across, flats->stock, (mpq_ptr)NULL);
}

void cc_flats_sizes_init(struct cc_flats_sizes *sizes)
{
    memset(sizes, 0, sizeof *sizes);
    mpq_inits(sizes->depth, sizes->over_round, (mpq_ptr)NULL);
}

void cc_flats_sizes_clear(struct cc_flats_sizes *sizes)
{
    mpq_clears(sizes->depth, sizes->over_round, (mpq_ptr)NULL);
}

/* ---- sizes ---- */

/* Half the angle between neighbours. */
static double half_pitch(const struct cc_flats *flats)
{
    return CC_PI / (double)flats->n;
}

/* Half a flat that ends in the round on both sides; exact under the root, so that the shallowest keeps its digits. */
static double half_width_on_round(const struct cc_flats *flats)
{
    mpq_t square, less;

    mpq_inits(square, less, (mpq_ptr)NULL);
    mpq_mul(square, flats->stock, flats->stock);
    mpq_mul(less, flats->across, flats->across);
    mpq_sub(square, square, less);
    double width = sqrt(mpq_get_d(square));
    mpq_clears(square, less, (mpq_ptr)NULL);
    return width / 2;
}

double cc_flats_full_stock(const struct cc_flats *flats)
{
    return flats->n < 3 ? NAN : mpq_get_d(flats->across) / cos(half_pitch(flats));
}

static enum cc_status check(const struct cc_flats *flats, struct cc_error *err)
{
    if (flats->n < 1 || flats->n > CC_MOST_FLATS)
        return cc_fail(err, CC_EDOM, "%lu flats: 1 to %d can be reckoned with", flats->n, CC_MOST_FLATS);
    if (mpq_sgn(flats->across) <= 0 || mpq_sgn(flats->stock) <= 0)
        return cc_fail(err, CC_EDOM, "across flats and stock are lengths above 0");
    if (mpq_cmp(flats->across, flats->stock) >= 0)
        return cc_fail(err, CC_ENOFIT, "flats that far across lie outside this stock: nothing is cut");
    return CC_OK;
}

/* The farthest two points of the corners or lands: two as nearly opposite as there are. */
static double over_corners(const struct cc_flats *flats, const struct cc_flats_sizes *sizes)
{
    double r = sizes->corner_mm;

    if (flats->n == 1 || flats->n % 2 == 0)
        return 2 * r;
    return 2 * r * cos(fmax(0, half_pitch(flats) - sizes->land_mm / r) / 2);
}

enum cc_status cc_flats_measure(struct cc_flats_sizes *sizes, const struct cc_flats *flats, struct cc_error *err)
{
    enum cc_status s = check(flats, err);

    if (s != CC_OK)
        return s;
    double across = mpq_get_d(flats->across), stock = mpq_get_d(flats->stock), full = cc_flats_full_stock(flats);
    mpq_sub(sizes->depth, flats->stock, flats->across);
    mpq_div_2exp(sizes->depth, sizes->depth, 1);
    mpq_add(sizes->over_round, flats->stock, flats->across);
    mpq_div_2exp(sizes->over_round, sizes->over_round, 1);
    sizes->full_stock_mm = full;
    sizes->full = flats->n >= 3 && stock >= full * (1 - 1e-14);     /* 2 across for a triangle, whatever the cosine's last digit */
    sizes->corner_mm = (sizes->full ? full : stock) / 2;
    double half = half_width_on_round(flats);
    sizes->width_mm = sizes->full ? across * tan(half_pitch(flats)) : 2 * half;
    sizes->land_mm = sizes->full ? 0 : stock * (half_pitch(flats) - atan2(2 * half, across));
    sizes->corners_mm = over_corners(flats, sizes);
    sizes->over_far_mm = flats->n % 2 == 0 ? across : across / 2 + sizes->corner_mm;
    return CC_OK;
}

/* ---- what an indexing error does ---- */

double cc_flats_taper(const struct cc_flats_sizes *sizes, const mpq_t off)
{
    return sizes->width_mm * tan(cci_radians(off));
}

double cc_flats_corner_shift(const struct cc_flats *flats, const struct cc_flats_sizes *sizes, const mpq_t off)
{
    double half = half_pitch(flats);

    if (!sizes->full)
        return 0;
    return mpq_get_d(flats->across) / 2 * (1 / cos(half + cci_radians(off) / 2) - 1 / cos(half));
}

double cc_flats_neighbours(const struct cc_flats *flats, const struct cc_flats_sizes *sizes, const mpq_t off)
{
    double half = half_pitch(flats), turn = cci_radians(off);

    if (!sizes->full)
        return mpq_get_d(flats->stock) * turn;
    return mpq_get_d(flats->across) / 2 * (tan(half + turn / 2) - tan(half - turn / 2));
}

double cc_flats_neighbours_angle(const struct cc_flats *flats, const struct cc_flats_sizes *sizes, double difference_mm)
{
    double cosine = cos(half_pitch(flats));
    double per_radian = sizes->full ? mpq_get_d(flats->across) / 2 / (cosine * cosine) : mpq_get_d(flats->stock);

    return difference_mm / per_radian / (2 * CC_PI);
}

/* ---- a blank that is not centred ---- */

enum { UNKNOWNS = 3 };      /* h, x, y */

/* Rows of an upper triangle, the right side behind the unknowns. */
struct triangle {
    double row[UNKNOWNS][UNKNOWNS + 1];
};

/* Take one more equation in: Givens rotations turn it into the triangle. */
static void take_in(struct triangle *t, double row[UNKNOWNS + 1])
{
    for (int k = 0; k < UNKNOWNS; k++) {
        double length = hypot(t->row[k][k], row[k]);
        if (length < 1e-300)
            continue;
        double c = t->row[k][k] / length, s = row[k] / length;
        for (int j = k; j <= UNKNOWNS; j++) {
            double top = t->row[k][j], bottom = row[j];
            t->row[k][j] = c * top + s * bottom;
            row[j] = c * bottom - s * top;
        }
    }
}

static void equation(double row[UNKNOWNS + 1], const struct cc_flats *flats, const struct cc_flats_reading *reading)
{
    double turn = 2 * CC_PI * reading->turn;

    row[0] = reading->over_flats ? 2 : 1;
    row[1] = reading->over_flats ? 0 : -cos(turn);
    row[2] = reading->over_flats ? 0 : -sin(turn);
    row[3] = reading->over_flats ? reading->mm : reading->mm - mpq_get_d(flats->stock) / 2;
}

/* Back from the triangle to the unknowns; false where one of them is left open. */
static bool solve(double x[UNKNOWNS], const struct triangle *t)
{
    for (int k = UNKNOWNS - 1; k >= 0; k--) {
        if (fabs(t->row[k][k]) < 1e-6)
            return false;
        x[k] = t->row[k][UNKNOWNS];
        for (int j = k + 1; j < UNKNOWNS; j++)
            x[k] -= t->row[k][j] * x[j];
        x[k] /= t->row[k][k];
    }
    return true;
}

enum cc_status cc_flats_centre_of(struct cc_flats_centre *out, const struct cc_flats *flats,
                                  const struct cc_flats_reading *reading, size_t count, struct cc_error *err)
{
    struct triangle t = { { { 0 } } };
    double row[UNKNOWNS + 1], x[UNKNOWNS];
    bool one_way = flats->n == 2;

    for (size_t i = 0; i < count; i++) {
        equation(row, flats, &reading[i]);
        take_in(&t, row);
    }
    if (one_way) {      /* two flats say nothing of y, nor does it matter to them */
        double nothing[UNKNOWNS + 1] = { 0, 0, 1, 0 };
        take_in(&t, nothing);
    }
    if (!solve(x, &t))
        return cc_fail(err, CC_EDOM, "the readings leave open where the blank lies: measure one more flat to the round opposite, "
                       "not opposite to one that is given, or over two opposite flats");
    *out = (struct cc_flats_centre){ .flat_mm = x[0], .x_mm = x[1], .y_mm = x[2], .one_way = one_way };
    out->off_mm = hypot(out->x_mm, out->y_mm);
    out->turn = atan2(out->y_mm, out->x_mm) / (2 * CC_PI);
    if (out->turn < 0)
        out->turn = out->turn + 1 < 1 ? out->turn + 1 : 0;
    for (size_t i = 0; i < count; i++) {
        equation(row, flats, &reading[i]);
        double off = fabs(row[0] * x[0] + row[1] * x[1] + row[2] * x[2] - row[3]);
        out->worst_mm = off > out->worst_mm ? off : out->worst_mm;
    }
    return CC_OK;
}

double cc_flats_take_off(const struct cc_flats_centre *centre, const struct cc_flats *flats, double turn)
{
    double t = 2 * CC_PI * turn;

    return centre->flat_mm - mpq_get_d(flats->across) / 2 - centre->x_mm * cos(t) - centre->y_mm * sin(t);
}
