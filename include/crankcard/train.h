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

#include "crankcard/head.h"

#define CC_MAX_PAIRS 3

struct cc_train {
    unsigned pairs;                  /* 1 simple (2 gears), 2 compound (4 gears), 3 (6 gears); 0 = no train */
    unsigned driver[CC_MAX_PAIRS];   /* teeth */
    unsigned driven[CC_MAX_PAIRS];
    unsigned idlers;                 /* gears set between, from those left in the set */
};

/* Product of drivers over product of driven, exact; 0 for no train. */
void cc_train_ratio(mpq_t ratio, const struct cc_train *train);

/* Whether every meshing pair keeps the head's least_sum and most_sum (0 = no limit). */
bool cc_train_meshes(const struct cc_train *train, const struct cc_head *head);

#endif
