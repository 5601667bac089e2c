/* large_move.h: the numbers of a movement in figures that are read from the machine. */
#ifndef CRANKCARD_CLI_KEEP_LARGE_MOVE_H
#define CRANKCARD_CLI_KEEP_LARGE_MOVE_H

#include <stdbool.h>

#include "cli/keep/hands.h"
#include "cli/out/text.h"

/* Sizes there are, 1 the smallest; a figure of size s is less than 6 * s columns wide. */
#define LARGE_SIZES 8

/* As large as size or less, as the width has room; false, and nothing, where not even the smallest fits. */
bool large_move(struct text *t, const struct hand_move *move, unsigned size);

#endif
