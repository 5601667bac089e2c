/* harmonic.c: least-squares harmonics of readings around a turn. */
#include "crankcard/harmonic.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"

/* Angles closer than this are one angle (about a thousandth of a second of arc). */
static const double same_turn = 1e-9;

static int compare_doubles(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* How many different angles there are, and the widest gap between neighbours, in revolutions. */
static enum cc_status survey(size_t *different, double *gap, const double *turn, size_t count,
                             struct cc_error *err)
{
    double *sorted = malloc(count * sizeof *sorted);

    if (sorted == NULL)
        return cc_fail(err, CC_ENOMEM, "memory ran out fitting harmonics");
    for (size_t i = 0; i < count; i++)
        sorted[i] = turn[i] - floor(turn[i]);
    qsort(sorted, count, sizeof *sorted, compare_doubles);
    *different = 1;
    *gap = sorted[0] + 1 - sorted[count - 1];
    if (*gap <= same_turn && count > 1)
        *different = 0; /* the last angle is the first, once round */
    for (size_t i = 1; i < count; i++) {
        double step = sorted[i] - sorted[i - 1];
        *different += step > same_turn;
        *gap = fmax(*gap, step);
    }
    free(sorted);
    return CC_OK;
}

/* One row of the system: 1, cos, sin, cos 2, sin 2, ... */
static void basis(double *row, size_t columns, double turn)
{
    double t = 2 * CC_PI * (turn - floor(turn));

    row[0] = 1;
    for (size_t c = 1; c < columns; c += 2) {
        double h = (double)((c + 1) / 2);
        row[c] = cos(h * t);
        row[c + 1] = sin(h * t);
    }
}

/*
 * Reflect column c of the system a (rows x columns, row after row) into its diagonal, and
 * everything right of it and the right-hand side b with it. Returns the diagonal.
 */
static double reflect(double *a, double *b, size_t rows, size_t columns, size_t c)
{
    double norm = 0;

    for (size_t i = c; i < rows; i++)
        norm = hypot(norm, a[i * columns + c]);
    double alpha = a[c * columns + c] > 0 ? -norm : norm;
    double v0 = a[c * columns + c] - alpha;
    if (norm == 0 || v0 == 0)
        return norm;
    /* H = I - v v' / k with k = v'v/2 = -alpha v0 */
    double k = -alpha * v0;
    for (size_t j = c + 1; j <= columns; j++) {
        double dot = v0 * (j < columns ? a[c * columns + j] : b[c]);
        for (size_t i = c + 1; i < rows; i++)
            dot += a[i * columns + c] * (j < columns ? a[i * columns + j] : b[i]);
        double f = dot / k;
        if (j < columns) {
            a[c * columns + j] -= f * v0;
            for (size_t i = c + 1; i < rows; i++)
                a[i * columns + j] -= f * a[i * columns + c];
        } else {
            b[c] -= f * v0;
            for (size_t i = c + 1; i < rows; i++)
                b[i] -= f * a[i * columns + c];
        }
    }
    a[c * columns + c] = alpha;
    return alpha;
}

/* Least squares; x gets the columns numbers, b is used up. Returns 0 where the system is singular.
 */
static int solve(double *x, double *a, double *b, size_t rows, size_t columns)
{
    double largest = 0, smallest = HUGE_VAL;

    for (size_t c = 0; c < columns; c++) {
        double d = fabs(reflect(a, b, rows, columns, c));
        largest = fmax(largest, d);
        smallest = fmin(smallest, d);
    }
    if (smallest < 1e-6 * largest)
        return 0;
    for (size_t c = columns; c-- > 0;) {
        double sum = b[c];
        for (size_t j = c + 1; j < columns; j++)
            sum -= a[c * columns + j] * x[j];
        x[c] = sum / a[c * columns + c];
    }
    return 1;
}

static void fill(struct cc_harmonics *h, const double *x, unsigned order)
{
    memset(h, 0, sizeof *h);
    h->order = order;
    h->mean = x[0];
    for (unsigned k = 1; k <= order; k++) {
        h->cosine[k] = x[2 * k - 1];
        h->sine[k] = x[2 * k];
        h->amplitude[k] = hypot(h->cosine[k], h->sine[k]);
        double high = atan2(h->sine[k], h->cosine[k]) / (2 * CC_PI);
        h->high_rev[k] = (high < 0 ? high + 1 : high) / k;
    }
}

static void residuals(struct cc_harmonics *h, const double *turn, const double *value, size_t count)
{
    double row[2 * CC_MAX_HARMONIC + 1], squares = 0;

    for (size_t i = 0; i < count; i++) {
        basis(row, 2 * (size_t)h->order + 1, turn[i]);
        double r = value[i] - h->mean;
        for (unsigned k = 1; k <= h->order; k++)
            r -= h->cosine[k] * row[2 * k - 1] + h->sine[k] * row[2 * k];
        squares += r * r;
        h->residual_worst = fmax(h->residual_worst, fabs(r));
    }
    h->freedom = (unsigned long)(count - (2 * (size_t)h->order + 1));
    h->residual_rms = h->freedom > 0 ? sqrt(squares / (double)h->freedom) : 0;
}

static enum cc_status fit(struct cc_harmonics *out, const double *turn, const double *value,
                          size_t count, unsigned order, struct cc_error *err)
{
    size_t columns = 2 * (size_t)order + 1;
    double *a = malloc(count * columns * sizeof *a);
    double *b = malloc(count * sizeof *b);
    double x[2 * CC_MAX_HARMONIC + 1];
    enum cc_status s = CC_OK;

    if (a == NULL || b == NULL) {
        s = cc_fail(err, CC_ENOMEM, "memory ran out fitting harmonics");
    } else {
        for (size_t i = 0; i < count; i++)
            basis(a + i * columns, columns, turn[i]);
        memcpy(b, value, count * sizeof *b);
        if (solve(x, a, b, count, columns)) {
            fill(out, x, order);
            residuals(out, turn, value, count);
        } else {
            s = cc_fail(err, CC_EDOM,
                        "the angles read cannot tell %u harmonics apart; space them evenly round "
                        "the turn or ask for fewer harmonics",
                        order);
        }
    }
    free(b);
    free(a);
    return s;
}

#define USUAL_ORDER 5

enum cc_status cc_harmonic_fit(struct cc_harmonics *out, const double *turn, const double *value,
                               size_t count, unsigned order, struct cc_error *err)
{
    size_t different = 0;
    double gap = 0;

    if (order > CC_MAX_HARMONIC)
        return cc_fail(err, CC_EDOM, "harmonic %u: the highest is %d", order, CC_MAX_HARMONIC);
    if (count < 3)
        return cc_fail(err, CC_EDOM, "%zu readings: eccentricity needs 3 or more round the turn",
                       count);
    enum cc_status s = survey(&different, &gap, turn, count, err);
    if (s != CC_OK)
        return s;
    if (gap >= 0.5)
        return cc_fail(err, CC_EDOM,
                       "the readings leave %.0f degrees of the turn unread; spread them round the "
                       "whole turn",
                       gap * 360);
    size_t most = (different - 1) / 2;
    if (order == 0) {
        order = most < USUAL_ORDER ? (unsigned)most : USUAL_ORDER;
        if (order > 1 && count == 2 * (size_t)order + 1)
            order--;
    }
    if (order > most)
        return cc_fail(err, CC_EDOM,
                       "%zu different angles are too few for %u harmonics; %zu are needed",
                       different, order, 2 * (size_t)order + 1);
    return fit(out, turn, value, count, order, err);
}
