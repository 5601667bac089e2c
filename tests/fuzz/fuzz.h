/*
 * fuzz.h: what the fuzz targets share. Each fuzz_X.c is one program: linked with libFuzzer it searches,
 * linked with replay.c it runs the files of tests/fuzz/corpus/X once.
 *
 * A target fails by abort(): on a crash, a finding of the sanitizers, or a broken promise (FUZZ_HOLDS).
 */
#ifndef CRANKCARD_TESTS_FUZZ_H
#define CRANKCARD_TESTS_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#define FUZZ_HOLDS(promise) \
    do { \
        if (!(promise)) { \
            fprintf(stderr, "%s:%d: broken: %s\n", __FILE__, __LINE__, #promise); \
            abort(); \
        } \
    } while (0)

/* The input as a string of its own, so that the sanitizers see a read behind it. */
static inline char *fuzz_text(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    if (text == NULL)
        abort();
    if (size > 0)
        memcpy(text, data, size);
    text[size] = '\0';
    return text;
}

/* A failure has a status and one line of words. */
static inline void fuzz_check_error(const struct cc_error *err, enum cc_status status)
{
    FUZZ_HOLDS(err->status == status);
    FUZZ_HOLDS(err->text[0] != '\0' && strchr(err->text, '\n') == NULL);
    FUZZ_HOLDS(strlen(err->text) < sizeof err->text);
}

#endif
