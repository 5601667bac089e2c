/*
 * flats_ask.h: what was asked of flats: rings of flats on one part, holes keyed to them, and what was measured on the blank.
 */
#ifndef CRANKCARD_CLI_JOB_FLATS_ASK_H
#define CRANKCARD_CLI_JOB_FLATS_ASK_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/flats.h"
#include "crankcard/length.h"
#include "cli/ask/args.h"

#define MOST_RINGS 12
#define MOST_READINGS 60

struct flats_ring {
    bool holes;             /* holes round the part, keyed to the flats: flats.n is their count, lengths are 0 */
    struct cc_flats flats;
    mpq_t at;               /* revolutions from flat 1 of the first ring to the first of these */
    mpq_t shy;              /* mm left on the first flat until it has been measured */
    uint64_t row;           /* of the list, or of the divisions, where the first of these is cut */
};

struct flats_reading {
    unsigned long flat;     /* over this flat and the round opposite; 0: over two opposite flats */
    mpq_t mm;
};

struct flats_ask {
    mpq_t across, stock, depth, shy, cutter;    /* mm; 0 where not given */
    struct flats_ring *ring;        /* the first as N and --across say, then rings and holes in the order typed */
    size_t rings;
    struct flats_reading *reading;      /* --over */
    size_t readings;
};

void flats_ask_init(struct flats_ask *ask);
void flats_ask_clear(struct flats_ask *ask);

/* When all options are taken: the first ring is there, whether or not others are. */
void flats_ask_begin(struct flats_ask *ask);

/* Of even rings the flat opposite to the first; of others 0. Flats are numbered from 1. */
unsigned long flats_opposite(const struct flats_ring *ring);

/* The row in which flat k of the ring (1 ... n) is cut to size. */
uint64_t flats_row_of(const struct flats_ring *ring, unsigned long k);

/* Round a least size up to the places that are shown: what is read there is enough. */
void flats_round_up(mpq_t mm, enum cc_unit unit);

/* Options into a struct flats_ask. */
extern const struct option_row flats_options[];
#define FLATS_OPTIONS(T, m) { flats_options, PLACE(T, m, struct flats_ask), NULL }

#endif
