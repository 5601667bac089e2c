/* names.c: see names.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/base/names.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

void names_clear(struct names *names)
{
    for (size_t i = 0; i < names->n; i++)
        free(names->at[i]);
    free(names->at);
    *names = (struct names){ NULL, 0 };
}

void names_add(struct names *names, const char *name, size_t length)
{
    names->at = memory_resize(names->at, (names->n + 2) * sizeof *names->at);
    names->at[names->n++] = memory_text("%.*s", (int)length, name);
    names->at[names->n] = NULL;
}

bool names_have(const struct names *names, const char *name)
{
    for (size_t i = 0; i < names->n; i++)
        if (strcmp(names->at[i], name) == 0)
            return true;
    return false;
}

static int compare(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

bool names_of_files(struct names *names, DIR *directory, const char *suffix)
{
    struct dirent *entry;

    while (errno = 0, (entry = readdir(directory)) != NULL) {
        size_t length = strlen(entry->d_name), end = strlen(suffix);
        if (length > end && entry->d_name[0] != '.' && strcmp(entry->d_name + length - end, suffix) == 0)
            names_add(names, entry->d_name, length - end);
    }
    int reason = errno;
    closedir(directory);
    if (names->n > 0)
        qsort(names->at, names->n, sizeof *names->at, compare);
    errno = reason;
    return reason == 0;
}
