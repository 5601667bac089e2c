/*
 * stray.c: readings far from the others, by medians: a mean and a standard deviation are themselves drawn away by the
 * reading that is to be found.
 */
#include "trade/stray.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"

/* How many times the usual distance is far, and the least that counts as usual: finer than hand and eye read. */
static const double far_times = 6, least_usual_arcsec = 1, least_usual_mm = 0.001;

enum { TRUE_ORDER = 2, LEAST_ROUND = 8 };   /* of the curve a runout reading is held against; readings it takes */

/* A reading: its group, and what is compared within the group. */
struct sample {
    unsigned long line;
    double at;
    bool backward;
    double value;
    double distance;    /* from the median of the others: what is usual */
    double beyond;      /* their middle two: what is far, which one far reading among few does not make of the others */
};

static int compare_doubles(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* By group, then value, then line. */
static int compare_samples(const void *a, const void *b)
{
    const struct sample *x = a, *y = b;

    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    if (x->backward != y->backward)
        return x->backward ? 1 : -1;
    if (x->value != y->value)
        return x->value < y->value ? -1 : 1;
    return (x->line > y->line) - (x->line < y->line);
}

/* Hold sample i of n sorted ones, 2 or more, against the others. */
static void measure_one(struct sample *sample, size_t n, size_t i)
{
    size_t low = (n - 2) / 2, high = (n - 1) / 2;
    double value = sample[i].value;

    low += low >= i;
    high += high >= i;
    sample[i].distance = fabs(value - (sample[low].value + sample[high].value) / 2);
    sample[i].beyond = fmax(fmax(sample[low].value - value, value - sample[high].value), 0);
}

/* Runs at one target from one side; pairs, as angles, all of the table together. */
static void fill(struct sample *sample, const struct cc_reading *row, size_t count, bool pairs)
{
    for (size_t i = 0; i < count; i++) {
        sample[i] = (struct sample){ .line = row[i].line, .value = row[i].first };
        if (pairs) {
            sample[i].value = (row[i].second - row[i].first) / row[i].at * CC_ARCSEC_PER_REV / (2 * CC_PI);
        } else {
            sample[i].at = row[i].at;
            sample[i].backward = row[i].backward;
        }
    }
}

static void measure_groups(struct sample *sample, size_t count)
{
    qsort(sample, count, sizeof *sample, compare_samples);
    for (size_t from = 0, end; from < count; from = end) {
        for (end = from + 1; end < count && sample[end].at == sample[from].at &&
                             sample[end].backward == sample[from].backward; end++)
            ;
        for (size_t i = from; i < end && end - from > 1; i++)
            measure_one(sample + from, end - from, i - from);
    }
}

/* The farthest, where it is far; distances is room for count numbers. */
static void pick(struct cc_stray *stray, const struct sample *sample, size_t count, double *distances,
                 double least_usual)
{
    for (size_t i = 0; i < count; i++)
        distances[i] = sample[i].distance;
    qsort(distances, count, sizeof *distances, compare_doubles);
    stray->usual = (distances[(count - 1) / 2] + distances[count / 2]) / 2;
    for (size_t i = 0; i < count; i++) {
        if (sample[i].beyond <= far_times * fmax(stray->usual, least_usual))
            continue;
        stray->count++;
        if (sample[i].beyond > stray->distance) {
            stray->distance = sample[i].beyond;
            stray->line = sample[i].line;
        }
    }
}

/*
 * Distances from a curve of two harmonics, which one reading bends less than it would a curve of more. Where the angles do
 * not give so many, none is far. room is for twice count numbers.
 */
static enum cc_status measure_round(struct sample *sample, const struct cc_reading *row, size_t count,
                                    double *room, struct cc_error *err)
{
    struct cc_harmonics h;
    struct cc_error why = { .status = CC_OK };
    double *turn = room, *value = room + count;

    for (size_t i = 0; i < count; i++) {
        turn[i] = row[i].at;
        value[i] = row[i].first;
    }
    enum cc_status s = cc_harmonic_fit(&h, turn, value, count, TRUE_ORDER, &why);
    for (size_t i = 0; i < count; i++) {
        sample[i].line = row[i].line;
        if (s != CC_OK)
            continue;
        double t = 2 * CC_PI * row[i].at, curve = h.mean;
        for (unsigned k = 1; k <= h.order; k++)
            curve += h.cosine[k] * cos(k * t) + h.sine[k] * sin(k * t);
        sample[i].distance = sample[i].beyond = fabs(value[i] - curve);
    }
    return s == CC_ENOMEM ? cc_fail(err, s, "%s", why.text) : CC_OK;
}

static enum cc_status find_kind(struct cc_stray *stray, const struct cc_measurements *m, enum cc_measured kind,
                                struct cc_error *err)
{
    const struct cc_reading *row = m->row[kind];
    size_t count = m->count[kind];
    struct sample *sample = calloc(count, sizeof *sample);
    double *room = malloc(2 * count * sizeof *room);
    enum cc_status s = CC_OK;

    if (sample == NULL || room == NULL) {
        s = cc_fail(err, CC_ENOMEM, "memory ran out comparing readings");
    } else if (kind == CC_RUNOUT) {
        s = measure_round(sample, row, count, room, err);
    } else {
        fill(sample, row, count, kind != CC_POSITIONS);
        measure_groups(sample, count);
    }
    if (s == CC_OK)
        pick(stray, sample, count, room, kind == CC_RUNOUT ? least_usual_mm : least_usual_arcsec);
    free(room);
    free(sample);
    return s;
}

enum cc_status cci_strays_find(struct cc_stray stray[CC_MEASURED_KINDS], const struct cc_measurements *m,
                               struct cc_error *err)
{
    enum cc_status s = CC_OK;

    memset(stray, 0, CC_MEASURED_KINDS * sizeof *stray);
    for (enum cc_measured kind = CC_RUNOUT; s == CC_OK && kind < CC_FOOTSTOCK; kind++)
        if (m->count[kind] >= (kind == CC_RUNOUT ? LEAST_ROUND : 2))
            s = find_kind(&stray[kind], m, kind, err);
    return s;
}
