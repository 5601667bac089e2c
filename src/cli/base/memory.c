/* memory.c: see memory.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/base/memory.h"

#include <gmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/base/exit_status.h"
#include "cli/base/guard.h"

static void (*last_call)(void);
static bool in_child;

void memory_on_failure(void (*last)(void))
{
    last_call = last;
}

void memory_leave_to_parent(void)
{
    in_child = true;
    guard_leave_to_parent();
}

void memory_exhausted(void)
{
    static const char text[] = "crankcard: out of memory\n";

    if (!in_child) {
        if (last_call != NULL)
            last_call();
        ssize_t written = write(STDERR_FILENO, text, sizeof text - 1);
        (void)written;
        guard_remove();
    }
    _exit(EXIT_TROUBLE);
}

void *memory_get(size_t size)
{
    void *p = malloc(size > 0 ? size : 1);
    if (p == NULL)
        memory_exhausted();
    return p;
}

void *memory_resize(void *old, size_t size)
{
    void *p = realloc(old, size > 0 ? size : 1);
    if (p == NULL)
        memory_exhausted();
    return p;
}

void *memory_grow(void *list, size_t n, size_t *room, size_t bytes)
{
    if (n < *room)
        return list;
    *room = 2 * n + 16;
    return memory_resize(list, *room * bytes);
}

char *memory_copy(const char *text)
{
    size_t size = strlen(text) + 1;
    return memcpy(memory_get(size), text, size);
}

char *memory_text(const char *format, ...)
{
    va_list args, again;

    va_start(args, format);
    va_copy(again, args);
    size_t size = (size_t)vsnprintf(NULL, 0, format, args) + 1;
    char *text = memory_get(size);
    vsnprintf(text, size, format, again);
    va_end(again);
    va_end(args);
    return text;
}

FILE *memory_stream(char **text, size_t *length)
{
    FILE *stream = open_memstream(text, length);

    if (stream == NULL)
        memory_exhausted();
    return stream;
}

static void *gmp_reallocate(void *old, size_t old_size, size_t size)
{
    (void)old_size;
    return memory_resize(old, size);
}

static void gmp_release(void *p, size_t size)
{
    (void)size;
    free(p);
}

void memory_install(void)
{
    mp_set_memory_functions(memory_get, gmp_reallocate, gmp_release);
}
