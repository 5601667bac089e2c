/*
 * fit.h: whether the gears of a train can stand side by side.
 *
 * In teeth, so that it does not depend on the module. With driver A on the first shaft, driven B on a stud, driver C beside it
 * and driven D on the next shaft, on any bracket:
 *
 *     A + B > C + 2      gear C, of outside diameter C + 2 modules, clears the centre of A's shaft
 *     C + D > B + 2      gear B clears the centre of D's shaft
 *
 * An idler of I teeth in a mesh puts the shafts up to 2 I half modules further apart. Necessary, never sufficient: shafts and
 * collars need more, and a bracket has its own reach. Derivation and source: docs/method.md, "Which trains can stand".
 */
#ifndef CRANKCARD_FIT_H
#define CRANKCARD_FIT_H

#include <stdbool.h>

#include "crankcard/head.h"
#include "crankcard/train.h"

#ifdef __cplusplus
extern "C" {
#endif

#define CC_FREE_ROOM 1000000    /* room of a simple train: no stud carries two gears */

struct cc_fit {
    bool meshes;            /* every two gears that mesh, idlers too, keep the head's least_sum and most_sum */
    int room;               /* teeth: the narrowest place's sum less the gear that must clear it and 2, idlers left out */
    unsigned idlers_back;   /* the mesh in which the idlers stand, as in cc_train; where it fits */
};

/*
 * Whether a train can stand as it is on this head: its gears taken from the head's, the idlers, all in one mesh, from those
 * left. More than two idlers reach anywhere. fit says how much room there is, and what fails.
 */
bool cc_train_fits(struct cc_fit *fit, const struct cc_train *train, const struct cc_head *head);

/*
 * Let drivers change places among themselves, and driven likewise, to the arrangement of the same ratio that fits with the most
 * room; false, and the train left as it is, where none fits. Ties: smaller drivers first, then smaller driven.
 */
bool cc_train_arrange(struct cc_train *train, const struct cc_head *head);

#ifdef __cplusplus
}
#endif

#endif
