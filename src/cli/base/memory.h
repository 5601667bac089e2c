/* memory.h: the program ends in words when memory runs out; the library only reports it. */
#ifndef CRANKCARD_CLI_BASE_MEMORY_H
#define CRANKCARD_CLI_BASE_MEMORY_H

#include <stddef.h>
#include <stdio.h>

#include "crankcard/status.h"

/* Give GMP allocation functions that end the program with a message and status 2. */
void memory_install(void);

/* Call last before the program ends so, to leave a terminal as it was found; it must not allocate. */
void memory_on_failure(void (*last)(void));

/* End the program so: for a CC_ENOMEM that the caller has no other way to report. */
_Noreturn void memory_exhausted(void);

/* In a child process: end without a word and without touching files. The parent sees that it ended. */
void memory_leave_to_parent(void);

/* malloc, realloc, a copy of text, that never return NULL, as the others below. */
void *memory_get(size_t size);
void *memory_resize(void *old, size_t size);
char *memory_copy(const char *text);

/* A list of n things of so many bytes each, with room for one more at least. */
void *memory_grow(void *list, size_t n, size_t *room, size_t bytes);

/* Text made as printf would. */
char *memory_text(const char *format, ...) CC_PRINTF(1, 2);

/* open_memstream, so. */
FILE *memory_stream(char **text, size_t *length);

#endif
