/*
 * bracket.h: whether a train goes on a bracket. Not public.
 *
 * All lengths here are doubled: diameters, and distances times two. So a mesh of A and B teeth stands module (A + B) apart and
 * a gear reaches module (A + 2) far, whole numbers of nanometres. docs/method.md, "Which trains go on the bracket", derives it.
 */
#ifndef CRANKCARD_CORE_BRACKET_H
#define CRANKCARD_CORE_BRACKET_H

#include "core/wide.h"
#include "crankcard/bracket.h"
#include "crankcard/train.h"

#define CCI_MOST_PLANES 3
#define CCI_MOST_POSTS (CC_MAX_PAIRS + 1 + CC_NAMED_IDLERS)    /* shafts and studs of a train */

enum cci_pivot {
    CCI_ANYWHERE,       /* where the studs stand is not known: no reach, or a slot of another shaft */
    CCI_ON_FIRST,       /* the slot swings about the train's first shaft */
    CCI_ON_LAST,
    CCI_STRAIGHT
};

/* A bracket made ready for one use. */
struct cci_bracket {
    const struct cc_bracket *stated;
    enum cc_gear_use use;
    enum cci_pivot pivot;
    unsigned planes;
    uint64_t clear, play, reach_low, reach_high;
    uint64_t low, high;             /* shaft to shaft, rounded down; high 0: not known */
    cci_u128 low_square, high_square;       /* the same squared, exact */
    uint64_t first_most, last_most; /* 0: any size */
    enum cc_fit_key missing;        /* without which fit is not known */
};

/* False, and nothing made ready, where the profile says nothing of its bracket. */
bool cci_bracket_prepare(struct cci_bracket *out, const struct cc_bracket *stated, enum cc_gear_use use);

/* Shafts and studs, from the one about which the slot swings (or the last shaft) to the other shaft. */
struct cci_posts {
    unsigned n;
    unsigned tooth[CCI_MOST_POSTS][CCI_MOST_PLANES];    /* 0: no gear */
    unsigned plane[CCI_MOST_POSTS];     /* in which a post meshes with the next */
    uint64_t gap[CCI_MOST_POSTS];       /* to the next */
    uint64_t at[CCI_MOST_POSTS];        /* from the first post, in line with it; the other shaft's own is not */
    cci_u128 across;                    /* shaft to shaft, squared: as far as they can stand */
};

/* The train with its idlers named, as they stand. The train has CC_NAMED_IDLERS idlers at most. */
void cci_posts_of(struct cci_posts *posts, const struct cci_bracket *bracket, const struct cc_train *train);

/*
 * How many teeth the train's idlers must have together, least and most, to reach from shaft to shaft and stay within the slot's
 * reach: necessary, so that what is outside need not be tried. (low is rounded down, which can only widen it.) Why no idlers at
 * all will do, or CC_FIT_NOTHING.
 */
enum cc_fit_key cci_idler_window(unsigned *least, unsigned *most, const struct cci_bracket *bracket, const struct cc_train *train);

/*
 * Why a train does not go on, or CC_FIT_NOTHING: first by the sizes of its gears and their number, then by where its posts stand.
 * Where it does, margin (if not NULL) becomes what is to spare wherever that is less, in whole nanometres (not doubled), rounded down.
 */
enum cc_fit_key cci_sizes_fail(uint64_t *margin, const struct cci_bracket *bracket, const struct cc_train *train);
enum cc_fit_key cci_places_fail(uint64_t *margin, const struct cci_bracket *bracket, struct cci_posts *posts);

/* From one post to the other, doubled, rounded down. After cci_places_fail found nothing. */
uint64_t cci_post_distance(const struct cci_posts *posts, unsigned i, unsigned j);

#endif
