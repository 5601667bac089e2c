/* large_move.h: words whose numbers stand in figures that are read from the machine. */
#ifndef CRANKCARD_CLI_KEEP_LARGE_MOVE_H
#define CRANKCARD_CLI_KEEP_LARGE_MOVE_H

#include "cli/keep/hands.h"
#include "cli/out/text.h"

#define LARGE_SIZES 8       /* 1 the smallest */

/* As large as size or less, as the width has room; nothing where not even the smallest fits. */
void large_words(struct text *t, const char *words, unsigned size);

/* The numbers of a movement so: "5 turns  35 holes". */
void large_move(struct text *t, const struct hand_move *move, unsigned size);

#endif
