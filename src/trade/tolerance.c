/* tolerance.c: pitch tolerances of flank classes; the formulas stand in tolerance.h. */
#include "crankcard/tolerance.h"

#include <math.h>
#include <stddef.h>

struct pair {
    double pitch, cumulative;
};

static const struct {
    const char *name;
    unsigned lowest, highest;
    double least_diameter, most_diameter, least_module, most_module;
} standards[] = {
    [CC_ISO_1328_2013] = {"ISO 1328-1:2013", 1, 11, 5, 15000, 0.5, 70},
    [CC_ISO_1328_1995] = {"ISO 1328-1:1995", 0, 12, 5, 10000, 0.5, 70},
    [CC_JIS_1702_1976] = {"JIS B 1702-1976", 0, 8, 5, 15000, 0.5, 70},
};

static double class_step(unsigned flank_class)
{
    return pow(2, ((double)flank_class - 5) / 2);
}

static struct pair iso_2013(unsigned flank_class, double d, double m)
{
    double step = class_step(flank_class);
    return (struct pair){(0.001 * d + 0.4 * m + 5) * step,
                         (0.002 * d + 0.55 * sqrt(d) + 0.7 * m + 12) * step};
}

/* Geometric mean of the ends of the range that value falls in; a value on an end belongs below. */
static double range_mean(const double *ends, size_t count, double value)
{
    size_t i = 1;
    while (i + 1 < count && value > ends[i])
        i++;
    return sqrt(ends[i - 1] * ends[i]);
}

static struct pair iso_1995(unsigned flank_class, double d, double m)
{
    static const double diameters[] = {5,    20,   50,   125,  280,  560,  1000,
                                       1600, 2500, 4000, 6000, 8000, 10000};
    static const double modules[] = {0.5, 2, 3.5, 6, 10, 16, 25, 40, 70};
    double step = class_step(flank_class);

    d = range_mean(diameters, sizeof diameters / sizeof diameters[0], d);
    m = range_mean(modules, sizeof modules / sizeof modules[0], m);
    return (struct pair){(0.3 * (m + 0.4 * sqrt(d)) + 4) * step,
                         (0.3 * m + 1.25 * sqrt(d) + 7) * step};
}

static struct pair jis_1976(unsigned grade, double d, double m)
{
    static const struct {
        double pitch_w, pitch_add, cumulative_w, cumulative_add;
    } rows[] = {
        {0.5, 1.4, 2.0, 5.6},    {0.71, 2.0, 2.8, 8.0},   {1.0, 2.8, 4.0, 11.2},
        {1.4, 4.0, 5.6, 16.0},   {2.0, 5.6, 8.0, 22.4},   {2.8, 8.0, 11.2, 31.5},
        {4.0, 11.2, 16.0, 45.0}, {8.0, 22.4, 32.0, 90.0}, {16.0, 45.0, 64.0, 180.0},
    };
    double w = cbrt(d) + 0.65 * m;

    return (struct pair){rows[grade].pitch_w * w + rows[grade].pitch_add,
                         rows[grade].cumulative_w * w + rows[grade].cumulative_add};
}

static double table_value(enum cc_flank_standard standard, double um)
{
    if (um > 10)
        return floor(um + 0.5);
    if (um < 5 && standard == CC_ISO_1328_2013)
        return floor(um * 10 + 0.5) / 10;
    return floor(um * 2 + 0.5) / 2;
}

enum cc_status cc_flank_tolerance(struct cc_flank_tolerance *out, enum cc_flank_standard standard,
                                  unsigned flank_class, double diameter_mm, double module_mm,
                                  struct cc_error *err)
{
    struct pair p;

    if (flank_class < standards[standard].lowest || flank_class > standards[standard].highest)
        return cc_fail(err, CC_EDOM, "class %u: %s has classes %u to %u", flank_class,
                       standards[standard].name, standards[standard].lowest,
                       standards[standard].highest);
    if (!(diameter_mm >= standards[standard].least_diameter &&
          diameter_mm <= standards[standard].most_diameter))
        return cc_fail(err, CC_EDOM, "pitch diameter %.6g mm: %s covers %.0f to %.0f mm",
                       diameter_mm, standards[standard].name, standards[standard].least_diameter,
                       standards[standard].most_diameter);
    if (!(module_mm >= standards[standard].least_module &&
          module_mm <= standards[standard].most_module))
        return cc_fail(err, CC_EDOM, "module %.6g mm: %s covers %.1f to %.0f mm", module_mm,
                       standards[standard].name, standards[standard].least_module,
                       standards[standard].most_module);

    switch (standard) {
    case CC_ISO_1328_1995:
        p = iso_1995(flank_class, diameter_mm, module_mm);
        break;
    case CC_JIS_1702_1976:
        p = jis_1976(flank_class, diameter_mm, module_mm);
        break;
    default:
        p = iso_2013(flank_class, diameter_mm, module_mm);
        break;
    }
    out->pitch_um = p.pitch;
    out->cumulative_um = p.cumulative;
    out->pitch_table_um = table_value(standard, p.pitch);
    out->cumulative_table_um = table_value(standard, p.cumulative);
    return CC_OK;
}

const char *cc_flank_standard_name(enum cc_flank_standard standard)
{
    return standards[standard].name;
}
