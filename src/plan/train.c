/* train.c: what a change-gear train does. */
#include "crankcard/train.h"

void cc_train_ratio(mpq_t ratio, const struct cc_train *train)
{
    mpq_set_ui(ratio, train->pairs > 0 ? 1 : 0, 1);
    for (unsigned i = 0; i < train->pairs; i++) {
        mpz_mul_ui(mpq_numref(ratio), mpq_numref(ratio), train->driver[i]);
        mpz_mul_ui(mpq_denref(ratio), mpq_denref(ratio), train->driven[i]);
    }
    mpq_canonicalize(ratio);
}

bool cc_train_meshes(const struct cc_train *train, const struct cc_head *head)
{
    for (unsigned i = 0; i < train->pairs; i++) {
        unsigned sum = train->driver[i] + train->driven[i];
        if (head->least_sum > 0 && sum < head->least_sum)
            return false;
        if (head->most_sum > 0 && sum > head->most_sum)
            return false;
    }
    return true;
}
