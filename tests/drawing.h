/* drawing.h: heads drawn at random, written as the text of a profile, for the tests that hold a search to its witness. */
#ifndef CRANKCARD_TESTS_DRAWING_H
#define CRANKCARD_TESTS_DRAWING_H

#include <stdarg.h>
#include <stdio.h>

#include <gmp.h>

#include "support.h"

struct drawing {
    gmp_randstate_t state;
    char text[8000];        /* of the profile, of which so much is used */
    size_t used;
};

static inline unsigned long between(struct drawing *d, unsigned long low, unsigned long high)
{
    return low + gmp_urandomm_ui(d->state, high - low + 1);
}

static inline void put(struct drawing *d, const char *format, ...) CC_PRINTF(2, 3);

static inline void put(struct drawing *d, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    d->used += (size_t)vsnprintf(d->text + d->used, sizeof d->text - d->used, format, args);
    va_end(args);
    assert_true(d->used < sizeof d->text);
}

#endif
