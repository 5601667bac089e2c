/*
 * cutter.c: which involute form cutter of a series cuts a number of teeth.
 */
#include <stdio.h>

#include "crankcard/gear.h"

/* Numbers 1 to 7 as in J. Rose, Modern Machine-Shop Practice (1887-88), vol. I; number 8 for 12 and
 * 13 and the half numbers are common practice, from memory. Descending by first. */
static const struct cc_cutter eight[] = {
    { 2, 135, 0 },  { 4, 55, 134 }, { 6, 35, 54 },  { 8, 26, 34 },
    { 10, 21, 25 }, { 12, 17, 20 }, { 14, 14, 16 }, { 16, 12, 13 },
};

static const struct cc_cutter fifteen[] = {
    { 2, 135, 0 },  { 3, 80, 134 }, { 4, 55, 79 },  { 5, 42, 54 },  { 6, 35, 41 },
    { 7, 30, 34 },  { 8, 26, 29 },  { 9, 23, 25 },  { 10, 21, 22 }, { 11, 19, 20 },
    { 12, 17, 18 }, { 13, 15, 16 }, { 14, 14, 14 }, { 15, 13, 13 }, { 16, 12, 12 },
};

enum cc_status cc_cutter_find(struct cc_cutter *cutter, enum cc_cutter_series series,
                              unsigned long teeth, struct cc_error *err)
{
    const struct cc_cutter *row = series == CC_CUTTERS_EIGHT ? eight : fifteen;
    size_t count = series == CC_CUTTERS_EIGHT ? sizeof eight / sizeof *eight
                                              : sizeof fifteen / sizeof *fifteen;

    for (size_t i = 0; i < count; i++) {
        if (teeth >= row[i].first) {
            *cutter = row[i];
            return CC_OK;
        }
    }
    return cc_fail(err, CC_ENOFIT, "no cutter of the series for %lu teeth: it begins at 12", teeth);
}

size_t cc_cutter_str(char *buf, size_t size, const struct cc_cutter *cutter)
{
    int n = cutter->halves == 0
                ? snprintf(buf, size, "none")
                : snprintf(buf, size, "%u%s", cutter->halves / 2, cutter->halves % 2 ? " 1/2" : "");
    return (size_t)n;
}

size_t cc_cutter_range_str(char *buf, size_t size, const struct cc_cutter *cutter)
{
    int n;

    if (cutter->halves == 0)
        n = snprintf(buf, size, "%s", "");
    else if (cutter->last == 0)
        n = snprintf(buf, size, "%u-rack", cutter->first);
    else if (cutter->first == cutter->last)
        n = snprintf(buf, size, "%u", cutter->first);
    else
        n = snprintf(buf, size, "%u-%u", cutter->first, cutter->last);
    return (size_t)n;
}
