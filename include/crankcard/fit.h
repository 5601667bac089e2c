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
 *
 * Where the profile describes the bracket (bracket.h), the studs are placed on it: every two gears that mesh at their distance, no
 * gear on a shaft, stud, collar or gear that it does not mesh with. In whole nanometres, without rounding.
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
    enum cc_fit_key key;    /* what it fails by; where it fits, the key without which that is not known, or CC_FIT_NOTHING */
    uint64_t margin;        /* nm, the least that any distance has to spare on the bracket; UINT64_MAX: none is known */
    unsigned idler[CC_NAMED_IDLERS];    /* the idlers with which it fits best, 0 where none */
};

/*
 * Whether a train can stand as it is on this head: its gears taken from the head's, the idlers, all in one mesh, from those
 * left, or those that it names in the mesh that it says. More than two idlers reach anywhere. fit says how much room there is,
 * and what fails.
 */
bool cc_train_fits(struct cc_fit *fit, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

/*
 * Let drivers change places among themselves, and driven likewise, to the arrangement of the same ratio that fits with the most
 * room, and name its idlers; false, and the train left as it is, where none fits. Ties: smaller drivers first, then smaller driven.
 */
bool cc_train_arrange(struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

/*
 * Name the idlers of a train that fits, from the head's gears: on the bracket those with the most room; where it is not known, of
 * those that will do the ones nearest to the middle of what is left. False where the train does not fit.
 */
bool cc_train_name_idlers(struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

/* How many arrangements of the train's gears there are, and how many of them fit. */
void cc_train_arrangements(unsigned *all, unsigned *fitting, const struct cc_train *train, const struct cc_head *head,
                           enum cc_gear_use use);

/*
 * Why a train does not fit, and which arrangement (or NULL) would: "a gear on a stud would run into the next shaft; drivers 100,32,
 * driven 24,48 would do". snprintf manner.
 */
size_t cc_unfit_str(char *buf, size_t size, const struct cc_fit *fit, const struct cc_train *would);

/* A margin below a hundredth of a module: measure and gear wheel alike may be off by more. */
bool cc_fit_is_barely(const struct cc_fit *fit, const struct cc_head *head);

/* ---- where the studs stand ---- */

struct cc_post {
    uint64_t from_first, from_last;     /* nm from the train's first and last shaft, rounded down */
    unsigned tooth[3];                  /* the gears on it, by their plane; 0: none */
};

struct cc_placing {
    struct cc_post post[CC_MAX_PAIRS + 1 + CC_NAMED_IDLERS];    /* the first shaft, the studs, the last shaft */
    unsigned n;
};

/*
 * Where the studs of a train stand, its idlers named and in the mesh that it says; false where the profile does not say enough,
 * or where they cannot stand so.
 */
bool cc_train_place(struct cc_placing *placing, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use);

#ifdef __cplusplus
}
#endif

#endif
