/*
 * fit.h: gears of a set, and arrangements of them that can stand. Not public; include/crankcard/fit.h has the rule.
 */
#ifndef CRANKCARD_CORE_FIT_H
#define CRANKCARD_CORE_FIT_H

#include <stddef.h>

#include "core/bracket.h"
#include "crankcard/fit.h"

/* A set of gears, and which of them are still to be had. */
struct cci_gears {
    unsigned tooth[CC_MAX_GEARS];   /* different counts, ascending */
    unsigned left[CC_MAX_GEARS];    /* how many of each */
    size_t n;
    unsigned least_sum, most_sum;   /* teeth of two gears that mesh, together; 0 = no limit */
    const struct cci_bracket *bracket;  /* that carries the studs; NULL: nothing is known of it */
    bool any;                       /* on the bracket any idlers will do, and no margin is asked for: a search's first look */
    uint64_t unfit[CC_FIT_KEYS];    /* arrangements tried that do not fit, by what they fail by */
};

/* n <= CC_MAX_GEARS counts in any order. */
void cci_gears_init(struct cci_gears *gears, const unsigned *teeth, size_t n, unsigned least_sum, unsigned most_sum);

/* Take the train's gears from those left, and put them back; gears that the set does not have are passed over. */
void cci_gears_take(struct cci_gears *gears, const struct cc_train *train);
void cci_gears_put_back(struct cci_gears *gears, const struct cc_train *train);

/* What is left of a head's gears beside the train's, and its bracket, which must outlive them. */
void cci_gears_of_head(struct cci_gears *gears, struct cci_bracket *bracket, const struct cc_train *train,
                       const struct cc_head *head, enum cc_gear_use use);

/* Whether a set of n gears lacks some of the train's, or has none left for its idlers; why says which. */
bool cci_gears_lack(char *why, size_t size, const struct cc_train *train, const unsigned *teeth, size_t n);

/*
 * Whether gears a and b can be joined through so many of the gears left, of teeth teeth together or more. The gears left are
 * meanwhile counted down, and are as before when it returns.
 */
bool cci_joins(struct cci_gears *gears, unsigned a, unsigned b, unsigned idlers, unsigned teeth);

/* As cc_train_arrange; the train's own gears are no longer among those left. last_multiple: of the last driven gear (0: any). */
bool cci_arrange(struct cc_train *train, struct cci_gears *gears, unsigned last_multiple);

/* The best arrangement on the bracket of a train that fits in some, its idlers named; no longer any that will do. */
void cci_settle(struct cc_train *train, struct cci_gears *gears, unsigned last_multiple);

/* Smaller drivers first, then smaller driven. */
int cci_compare_arrangements(const struct cc_train *a, const struct cc_train *b);

struct cci_arranged {
    struct cc_train train;      /* the arrangement that fits with the most room; untouched where none does */
    unsigned fitting;           /* how many different ones fit */
};

/* The same with the train's idlers, and (ways 2) with one more; returns how many different arrangements there are. */
unsigned cci_arrange_ways(struct cci_arranged *way, unsigned ways, const struct cc_train *train, struct cci_gears *gears,
                          unsigned last_multiple);

#endif
