/*
 * fit.h: gears of a set, and arrangements of them that can stand. Not public; include/crankcard/fit.h has the rule.
 */
#ifndef CRANKCARD_CORE_FIT_H
#define CRANKCARD_CORE_FIT_H

#include <stddef.h>

#include "crankcard/fit.h"

/* A set of gears, and which of them are still to be had. */
struct cci_gears {
    unsigned tooth[CC_MAX_GEARS];   /* different counts, ascending */
    unsigned left[CC_MAX_GEARS];    /* how many of each */
    size_t n;
    unsigned least_sum, most_sum;   /* teeth of two gears that mesh, together; 0 = no limit */
};

/* n <= CC_MAX_GEARS counts in any order. */
void cci_gears_init(struct cci_gears *gears, const unsigned *teeth, size_t n, unsigned least_sum, unsigned most_sum);

/* Take the train's gears from those left, and put them back; gears that the set does not have are passed over. */
void cci_gears_take(struct cci_gears *gears, const struct cc_train *train);
void cci_gears_put_back(struct cci_gears *gears, const struct cc_train *train);

/*
 * Whether gears a and b can be joined through so many of the gears left, of teeth teeth together or more. The gears left are
 * meanwhile counted down, and are as before when it returns.
 */
bool cci_joins(struct cci_gears *gears, unsigned a, unsigned b, unsigned idlers, unsigned teeth);

/*
 * As cc_train_arrange, the train's own gears no longer among those left: how many different arrangements fit, and in all (which may be NULL), of those whose last driven gear is
 * a multiple of last_multiple (0: any).
 */
unsigned cci_arrange(struct cc_train *train, unsigned *all, struct cci_gears *gears, unsigned last_multiple);

#endif
