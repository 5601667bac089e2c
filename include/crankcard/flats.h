/*
 * flats.h: flats on a round bar: squares, hexagons, spanner flats, one flat; what they measure, what an indexing error does to
 * them, and where a blank that is not centred lies. Derivations: docs/flats.md.
 *
 * Lengths are millimetres, exact where they are sums and halves, doubles where a root or a tangent comes in. Angles are
 * revolutions on the work, counted from the first flat in the order in which flats come to the cutter.
 */
#ifndef CRANKCARD_FLATS_H
#define CRANKCARD_FLATS_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>

#include "crankcard/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MOST_FLATS 360

/* One ring of flats, evenly spaced, all as far from the axis. */
struct cc_flats {
    unsigned long n;    /* flats, 1 ... CC_MOST_FLATS */
    mpq_t across;       /* mm, > 0: twice the distance from the axis to a flat, for every n. A caliper measures it where n is even */
    mpq_t stock;        /* mm, > across: diameter of the round they are cut on */
};

/* What such a ring measures when all flats are cut. */
struct cc_flats_sizes {
    mpq_t depth;        /* mm below the round: (stock - across)/2 */
    mpq_t over_round;   /* mm from a flat to the round opposite, while nothing is cut there: (across + stock)/2 */
    double full_stock_mm;   /* least stock that gives full corners: across/cos(pi/n); NAN for n < 3, which has none */
    bool full;          /* the corners are full: the stock is that or more */
    double width_mm;    /* of a flat, across its length: across tan(pi/n) where full, else sqrt(stock^2 - across^2) */
    double corner_mm;   /* from the axis to a corner, or to the round where that is left: the smaller of the two */
    double land_mm;     /* round left between two neighbours, along the arc; 0 where full */
    double corners_mm;  /* the most that a caliper finds over corners or round */
    double over_far_mm; /* from a flat to what is opposite: a flat (n even), a corner, or the round that is left */
};

void cc_flats_init(struct cc_flats *flats);             /* n = 1, lengths 0 */
void cc_flats_clear(struct cc_flats *flats);
void cc_flats_sizes_init(struct cc_flats_sizes *sizes);
void cc_flats_sizes_clear(struct cc_flats_sizes *sizes);

/* The least stock, mm, for full corners: across/cos(pi/n); NAN for n < 3. */
double cc_flats_full_stock(const struct cc_flats *flats);

/*
 * Work out the sizes.
 *
 * Formulas: docs/flats.md, "Sizes". corners_mm, with r = corner_mm and half an arc b = land_mm/(2r) about each corner: 2r for even
 *           n and for n = 1, else 2r cos(max(0, pi/n - 2b)/2), which is across cos(pi/2n)/cos(pi/n) for full corners.
 * Errors:   CC_EDOM for n out of range or a length of 0 or less; CC_ENOFIT where across is not less than stock. sizes is
 *           initialised, and unchanged on an error.
 */
enum cc_status cc_flats_measure(struct cc_flats_sizes *sizes, const struct cc_flats *flats, struct cc_error *err);

/* ---- what an indexing error does; off: one flat turned by it, revolutions, small against 1/n ---- */

/* How much nearer together one edge of two opposite flats is than the other, mm: width tan(off). */
double cc_flats_taper(const struct cc_flats_sizes *sizes, const mpq_t off);

/*
 * How far a corner moves outward where its two flats stand further apart by off, mm: across/2 (1/cos(pi/n + off/2) - 1/cos(pi/n));
 * 0 where the round is left there.
 */
double cc_flats_corner_shift(const struct cc_flats *flats, const struct cc_flats_sizes *sizes, const mpq_t off);

/*
 * By how much the two neighbours of a flat turned by off differ in width, mm: across/2 (tan(pi/n + off/2) - tan(pi/n - off/2));
 * where round is left, the lands on its two sides differ, by stock times the angle.
 */
double cc_flats_neighbours(const struct cc_flats *flats, const struct cc_flats_sizes *sizes, const mpq_t off);

/* The angle, revolutions, that a difference of that kind stands for where it is small. n >= 2. */
double cc_flats_neighbours_angle(const struct cc_flats *flats, const struct cc_flats_sizes *sizes, double difference_mm);

/* ---- a blank that is not centred ---- */

/* One measurement of flats that were all cut at the same dial. */
struct cc_flats_reading {
    bool over_flats;    /* over two opposite flats; else from one flat to the round opposite */
    double turn;        /* of the flat, revolutions */
    double mm;
};

/*
 * Where the axis of the round lies, seen from the axis it was turned about: x towards the first flat, y towards a flat a
 * quarter turn later. A flat at a turn t, cut at a distance h from the axis it was turned about, is over the round opposite
 *
 *     h + stock/2 - x cos t - y sin t            and two opposite flats are 2h apart, wherever the round lies.
 */
struct cc_flats_centre {
    double flat_mm;     /* h */
    double x_mm, y_mm;
    double off_mm;      /* how far it lies off */
    double turn;        /* and towards where: revolutions from flat 1, 0 <= turn < 1 */
    bool one_way;       /* n = 2: what lies along the flats is not known, and 0 */
    double worst_mm;    /* largest difference between a reading and what this says of it */
};

/*
 * Find it: least squares over count readings, by Givens rotations.
 *
 * Errors: CC_EDOM where the readings leave it open; the message says what else to measure. out is then unchanged.
 */
enum cc_status cc_flats_centre_of(struct cc_flats_centre *out, const struct cc_flats *flats,
                                  const struct cc_flats_reading *reading, size_t count, struct cc_error *err);

/* What is to come off the flat at a turn so that all end across/2 from the axis of the round, mm; below 0: too much is off. */
double cc_flats_take_off(const struct cc_flats_centre *centre, const struct cc_flats *flats, double turn);

#ifdef __cplusplus
}
#endif

#endif
