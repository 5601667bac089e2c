/*
 * measure.h: measurements made on a head, read from comma- or tab-separated text.
 *
 * A file holds one table or several, one of each kind at most, parted by blank lines. A table begins with its column
 * names, and every quantity's name ends in its unit: indicator_um, target_deg. '#' begins a comment line.
 * The columns may stand in any order.
 *
 *   kind        columns
 *   runout      angle, indicator                      around one turn, 3 different angles or more
 *   positions   target, direction, run, deviation     (or reading in place of deviation)
 *   clamp       radius, unclamped, clamped            the indicator before and after the spindle clamp
 *   push-pull   radius, push, pull                    the indicator with the spindle pushed, then pulled
 *   footstock   along, height, side                   along a bar between spindle and footstock
 *
 * Units of length: mm, um, in; of angle: deg, arcmin, arcsec, rev, gon. direction is + or -, run a count.
 * Metric and inch columns do not stand in one file. docs/assess.md has examples.
 */
#ifndef CRANKCARD_MEASURE_H
#define CRANKCARD_MEASURE_H

#include <stdbool.h>
#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_READINGS 20000 /* rows in a file */

enum cc_measured {
    CC_RUNOUT = 0,
    CC_POSITIONS = 1,
    CC_CLAMP = 2,
    CC_PUSH_PULL = 3,
    CC_FOOTSTOCK = 4
};
#define CC_MEASURED_KINDS 5

struct cc_reading {
    unsigned long line; /* of the file, from 1 */
    double at;          /* runout, positions: revolutions; clamp, push-pull: radius, mm;
                           footstock: place along the bar, mm */
    double first;       /* runout: indicator, mm; positions: deviation, seconds of arc;
                           clamp: unclamped, mm; push-pull: push, mm; footstock: height, mm */
    double second;      /* clamp: clamped, mm; push-pull: pull, mm; footstock: side, mm; else 0 */
    unsigned long run;  /* positions only */
    bool backward;      /* positions only: approached in the - direction */
};

struct cc_measurements {
    struct cc_reading *row[CC_MEASURED_KINDS];      /* NULL where the file has no such table */
    size_t count[CC_MEASURED_KINDS];
    unsigned long header_line[CC_MEASURED_KINDS];   /* 0 where the file has no such table */
};

/* No measurements. */
void cc_measurements_init(struct cc_measurements *m);
void cc_measurements_clear(struct cc_measurements *m);

/*
 * Read a file's text (length bytes). where is put before every message: "bar.csv:7: what".
 * m is initialised and is replaced only on success.
 *
 * Errors: CC_EPARSE for text that is not the format, CC_EDOM for values or tables that cannot be
 * used (one row, a radius of 0, inches among millimetres), CC_ELIMIT, CC_ENOMEM.
 */
enum cc_status cc_measurements_read(struct cc_measurements *m, const char *text, size_t length,
                                    const char *where, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
