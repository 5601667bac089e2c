/* names.h: a list of names, and those of the files in a directory. */
#ifndef CRANKCARD_CLI_BASE_NAMES_H
#define CRANKCARD_CLI_BASE_NAMES_H

#include <dirent.h>
#include <stdbool.h>
#include <stddef.h>

struct names {          /* all zero: empty */
    char **at;          /* NULL behind the last */
    size_t n;
};

void names_clear(struct names *names);
void names_add(struct names *names, const char *name, size_t length);
bool names_have(const struct names *names, const char *name);

/* The files whose names end in suffix, without it, sorted; none that begins with a point. The directory is closed; false with errno. */
bool names_of_files(struct names *names, DIR *directory, const char *suffix);

#endif
