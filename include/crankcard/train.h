/*
 * train.h: change-gear trains, for differential indexing and for leads.
 *
 * driver[0] sits on the input shaft (the spindle for differential indexing, the table screw for a
 * lead) and meshes with driven[0]; driven[0] shares a stud with driver[1], which meshes with driven[1],
 * and so on; the last driven gear sits on the output shaft (the head's worm shaft). Idlers change
 * the direction, never the ratio.
 *
 *   ratio = product of drivers / product of driven       (turns of the output per turn of the input)
 */
#ifndef CRANKCARD_TRAIN_H
#define CRANKCARD_TRAIN_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/head.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_MAX_PAIRS 3
#define CC_NAMED_IDLERS 2   /* idlers whose teeth a train names */
#define CC_MAX_TRAINS 1000 /* trains in one answer of cc_train_search, most */

struct cc_train {
    unsigned pairs;                  /* 1 simple (2 gears), 2 compound (4 gears), 3 (6 gears); 0 = no train */
    unsigned driver[CC_MAX_PAIRS];   /* teeth */
    unsigned driven[CC_MAX_PAIRS];
    unsigned idlers;                 /* gears set between, from those left in the set, all in one mesh */
    unsigned idlers_back;            /* which mesh, counted back from the last: 0 is the last */
    unsigned idler[CC_NAMED_IDLERS]; /* their teeth, from the first shaft on; 0: not named, as of more idlers than these */
};

/* Product of drivers over product of driven, exact; 0 for no train. */
void cc_train_ratio(mpq_t ratio, const struct cc_train *train);

/*
 * The fewest idlers with which a train of pairs pairs (1 to 3) turns its last gear the same way as
 * its first (same_way), or the other way.
 *
 * Every mesh of two gears turns the direction round, and a train of p pairs and i idlers has p + i
 * meshes: the same way when p + i is even. A simple train always has an idler, because two gears
 * alone do not reach from shaft to shaft (common practice). So 1 or 2, 0 or 1, 1 or 0 idlers.
 */
unsigned cc_train_idlers(unsigned pairs, bool same_way);

/* ---- searching ---- */

enum cc_quotient {              /* what is to come near the wanted number */
    CC_DRIVERS_OVER_DRIVEN = 0, /* the ratio of cc_train_ratio: differential indexing */
    CC_DRIVEN_OVER_DRIVERS = 1  /* its inverse: leads, whose error is measured in the lead */
};

struct cc_train_search {
    const unsigned *teeth;          /* the gears to be had, any order; a count twice means two gears */
    size_t n;                       /* at most CC_MAX_GEARS */
    unsigned least_sum, most_sum;   /* teeth of two gears that mesh, idlers too, together; 0 = no limit */
    unsigned least_pairs, most_pairs;   /* 1 to CC_MAX_PAIRS */
    unsigned idlers[CC_MAX_PAIRS];  /* idlers of a train of 1, 2, 3 pairs: that many gears must be left */
    unsigned last_multiple;         /* the last driven gear's teeth are a multiple of this; 0 = any */
    enum cc_quotient quotient;
    const struct cc_bracket *bracket;   /* that carries the studs; NULL = nothing is known of it */
    enum cc_gear_use use;           /* the shafts that the train joins */
    size_t most;                    /* trains to return, 1 to CC_MAX_TRAINS */
};

struct cc_train_list {
    struct cc_train *at;    /* best first; owned by the list */
    size_t n;
    uint64_t unfit[CC_FIT_KEYS];    /* arrangements met in the search and set aside, by what they fail by */
};

void cc_train_list_init(struct cc_train_list *list);
void cc_train_list_clear(struct cc_train_list *list);

/*
 * The best trains for a wanted quotient, out of every train the gears make.
 *
 *   list    out  the best search->most trains, or as many as there are
 *   wanted  in   > 0, exact
 *
 * Order: smallest |quotient - wanted| first, so exact trains lead; then fewer gears; then fewer
 * teeth in all; then the driver counts and the driven counts, smaller first. The order is total: the
 * answer does not depend on the order of teeth. A choice of drivers and driven is listed once, in the
 * arrangement that fits with the most room (fit.h), its idlers named; a choice that fits in none is left out.
 *
 * Method: the products of all choices of 1, 2 or 3 gears are sorted and met in the middle, so
 * that 6 gears out of n cost about n^3, not n^6. Integers only.
 *
 * Errors: CC_EDOM for wanted <= 0 or a field out of range; CC_ELIMIT for more than CC_MAX_GEARS
 * gears; CC_ENOFIT where no train of these gears fits; CC_ENOMEM.
 */
enum cc_status cc_train_search(struct cc_train_list *list, const mpq_t wanted,
                               const struct cc_train_search *search, struct cc_error *err);

#ifdef __cplusplus
}
#endif

#endif
