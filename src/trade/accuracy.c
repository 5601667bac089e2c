/* accuracy.c: ISO 230-2 quantities of indexed positions; accuracy.h has the formulas. */
#include "crankcard/accuracy.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"

void cc_accuracy_init(struct cc_accuracy *accuracy)
{
    memset(accuracy, 0, sizeof *accuracy);
    accuracy->target = NULL;
}

void cc_accuracy_clear(struct cc_accuracy *accuracy)
{
    free(accuracy->target);
    cc_accuracy_init(accuracy);
}

/* By target, then direction, then run, then line. */
static int compare_readings(const void *a, const void *b)
{
    const struct cc_reading *x = a, *y = b;

    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    if (x->backward != y->backward)
        return x->backward ? 1 : -1;
    if (x->run != y->run)
        return x->run < y->run ? -1 : 1;
    return (x->line > y->line) - (x->line < y->line);
}

/* Mean and standard deviation of the n readings of one target and direction. */
static void take_mean(struct cc_target *t, const struct cc_reading *row, size_t n)
{
    enum cc_approach d = row->backward ? CC_BACKWARD : CC_FORWARD;
    double sum = 0, squares = 0;

    for (size_t i = 0; i < n; i++)
        sum += row[i].first;
    double mean = sum / (double)n;
    for (size_t i = 0; i < n; i++)
        squares += (row[i].first - mean) * (row[i].first - mean);
    t->runs[d] = (unsigned long)n;
    t->mean_arcsec[d] = mean;
    t->deviation_arcsec[d] = sqrt(squares / (double)(n - 1));
}

static size_t group_end(const struct cc_reading *row, size_t from, size_t count)
{
    size_t i = from;
    while (i < count && row[i].at == row[from].at && row[i].backward == row[from].backward)
        i++;
    return i;
}

/* The runs of one target and direction: two or more, each once. */
static enum cc_status check_group(const struct cc_reading *row, size_t n, const char *where,
                                  struct cc_error *err)
{
    if (n < 2)
        return cc_fail(err, CC_EDOM,
                       "%.100s:%lu: the only run at %.6g degrees in direction %s; repeatability "
                       "needs 2 runs or more",
                       where, row->line, row->at * 360, row->backward ? "-" : "+");
    for (size_t i = 1; i < n; i++)
        if (row[i].run == row[i - 1].run)
            return cc_fail(err, CC_EDOM,
                           "%.100s:%lu: run %lu at %.6g degrees in direction %s stands on line %lu "
                           "already",
                           where, row[i].line, row[i].run, row[i].at * 360,
                           row[i].backward ? "-" : "+", row[i - 1].line);
    return CC_OK;
}

/* Cut the sorted rows into targets. */
static enum cc_status collect(struct cc_accuracy *a, const struct cc_reading *row, size_t count,
                              const char *where, struct cc_error *err)
{
    for (size_t i = 0; i < count;) {
        size_t end = group_end(row, i, count);
        enum cc_status s = check_group(row + i, end - i, where, err);
        if (s != CC_OK)
            return s;
        if (a->targets == 0 || a->target[a->targets - 1].turn != row[i].at) {
            a->target[a->targets] = (struct cc_target){.turn = row[i].at};
            a->targets++;
        }
        take_mean(&a->target[a->targets - 1], row + i, end - i);
        a->measured[row[i].backward ? CC_BACKWARD : CC_FORWARD] = true;
        i = end;
    }
    if (a->targets < 2)
        return cc_fail(err, CC_EDOM,
                       "%.100s:%lu: every position is at one target; accuracy needs 2 or more",
                       where, row->line);
    for (size_t i = 0; i < a->targets; i++)
        for (int d = 0; d < 2; d++)
            if (a->measured[d] && a->target[i].runs[d] == 0)
                return cc_fail(err, CC_EDOM,
                               "%.100s: the target at %.6g degrees has no run in direction %s, and "
                               "others have",
                               where, a->target[i].turn * 360, d == CC_BACKWARD ? "-" : "+");
    return CC_OK;
}

/* A range that grows as values come in. */
struct range {
    double low, high;
    bool any;
};

static void stretch(struct range *r, double low, double high)
{
    r->low = r->any ? fmin(r->low, low) : low;
    r->high = r->any ? fmax(r->high, high) : high;
    r->any = true;
}

static double width(const struct range *r)
{
    return r->any ? r->high - r->low : 0;
}

static void one_target(struct cc_accuracy *a, struct cc_target *t, bool both)
{
    double forward = 4 * t->deviation_arcsec[CC_FORWARD];
    double backward = 4 * t->deviation_arcsec[CC_BACKWARD];

    t->repeatability_arcsec = fmax(forward, backward);
    if (both) {
        t->reversal_arcsec = t->mean_arcsec[CC_FORWARD] - t->mean_arcsec[CC_BACKWARD];
        t->repeatability_arcsec =
            fmax(t->repeatability_arcsec, (forward + backward) / 2 + fabs(t->reversal_arcsec));
    }
    a->repeatability_of[CC_FORWARD] = fmax(a->repeatability_of[CC_FORWARD], forward);
    a->repeatability_of[CC_BACKWARD] = fmax(a->repeatability_of[CC_BACKWARD], backward);
    a->repeatability = fmax(a->repeatability, t->repeatability_arcsec);
    a->reversal = fmax(a->reversal, fabs(t->reversal_arcsec));
    a->mean_reversal += t->reversal_arcsec / (double)a->targets;
}

static void work_out(struct cc_accuracy *a)
{
    bool both = a->measured[CC_FORWARD] && a->measured[CC_BACKWARD];
    struct range systematic[2] = {{0}}, accuracy[2] = {{0}}, middle = {0};
    struct range all_systematic = {0}, all_accuracy = {0};

    for (size_t i = 0; i < a->targets; i++) {
        struct cc_target *t = &a->target[i];
        one_target(a, t, both);
        for (int d = 0; d < 2; d++) {
            if (!a->measured[d])
                continue;
            double x = t->mean_arcsec[d], two_s = 2 * t->deviation_arcsec[d];
            stretch(&systematic[d], x, x);
            stretch(&accuracy[d], x - two_s, x + two_s);
            stretch(&all_systematic, x, x);
            stretch(&all_accuracy, x - two_s, x + two_s);
            if (a->least_runs == 0 || t->runs[d] < a->least_runs)
                a->least_runs = t->runs[d];
        }
        if (both) {
            double mean = (t->mean_arcsec[CC_FORWARD] + t->mean_arcsec[CC_BACKWARD]) / 2;
            stretch(&middle, mean, mean);
        }
    }
    for (int d = 0; d < 2; d++) {
        a->systematic_of[d] = width(&systematic[d]);
        a->accuracy_of[d] = width(&accuracy[d]);
    }
    a->systematic = width(&all_systematic);
    a->accuracy = width(&all_accuracy);
    a->mean_range = width(&middle);
}

enum cc_status cc_accuracy_of(struct cc_accuracy *accuracy, const struct cc_measurements *m,
                              const char *where, struct cc_error *err)
{
    size_t count = m->count[CC_POSITIONS];
    struct cc_accuracy work;
    enum cc_status s;

    if (count == 0)
        return cc_fail(err, CC_EDOM, "%.100s: no positions table", where);
    struct cc_reading *row = malloc(count * sizeof *row);
    cc_accuracy_init(&work);
    work.target = malloc(count * sizeof *work.target);
    if (row == NULL || work.target == NULL) {
        s = cc_fail(err, CC_ENOMEM, "memory ran out working out positions");
    } else {
        memcpy(row, m->row[CC_POSITIONS], count * sizeof *row);
        qsort(row, count, sizeof *row, compare_readings);
        s = collect(&work, row, count, where, err);
    }
    free(row);
    if (s != CC_OK) {
        cc_accuracy_clear(&work);
        return s;
    }
    work_out(&work);
    cc_accuracy_clear(accuracy);
    *accuracy = work;
    return CC_OK;
}

/* The shorter way round between two angles, revolutions. */
static double between(double a, double b)
{
    double d = fabs(a - b);
    d -= floor(d);
    return fmin(d, 1 - d);
}

double cc_accuracy_step(const struct cc_accuracy *accuracy, enum cc_approach direction,
                        double apart)
{
    const struct cc_target *t = accuracy->target;
    double worst = 0;

    for (size_t i = 0; i < accuracy->targets; i++) {
        size_t next = (i + 1) % accuracy->targets;
        /* a hair more than apart: targets are rounded, and next neighbours always count */
        double reach = fmax(apart, between(t[i].turn, t[next].turn)) + 1e-9;
        for (size_t k = 0; k < accuracy->targets; k++)
            if (between(t[i].turn, t[k].turn) <= reach)
                worst =
                    fmax(worst, fabs(t[i].mean_arcsec[direction] - t[k].mean_arcsec[direction]));
    }
    return worst;
}

static int compare_places(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The side of the polygon from place a to place b (turns, a <= b), and the corner farthest from it: the distance, radius 1. */
static double width_at(const double *place, size_t count, double a, double b)
{
    double middle = (a + b) / 2, inset = cos(CC_PI * (b - a)), far = 0;

    for (size_t i = 0; i < count; i++)
        far = fmax(far, inset - cos(2 * CC_PI * (place[i] - middle)));
    return far;
}

enum cc_status cc_accuracy_worm_share(double *share, const struct cc_accuracy *accuracy, double worm_ratio,
                                      struct cc_error *err)
{
    size_t count = accuracy->targets;
    double least = 2;

    if (!(worm_ratio > 0) || !isfinite(worm_ratio))
        return cc_fail(err, CC_EDOM, "the worm's ratio must be more than 0");
    double *place = malloc((count + 1) * sizeof *place);
    if (place == NULL)
        return cc_fail(err, CC_ENOMEM, "memory ran out working out positions");
    for (size_t i = 0; i < count; i++) {
        place[i] = accuracy->target[i].turn * worm_ratio;
        place[i] -= floor(place[i]);
    }
    qsort(place, count, sizeof *place, compare_places);
    /* A polygon is narrowest across one of its sides; the last closes it. */
    for (size_t i = 0; i + 1 < count; i++)
        least = fmin(least, width_at(place, count, place[i], place[i + 1]));
    if (count > 0)
        least = fmin(least, width_at(place, count, place[count - 1], place[0] + 1));
    free(place);
    *share = count > 0 ? least / 2 : 0;
    return CC_OK;
}
