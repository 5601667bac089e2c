/* environment.c: see environment.h. */
#include "cli/base/environment.h"

#include <stdlib.h>

#include "cli/base/memory.h"

const char *environment_text(const char *name)
{
    const char *value = getenv(name);
    return value != NULL && value[0] != '\0' ? value : NULL;
}

char *environment_directory(const char *variable, const char *fallback)
{
    const char *value = getenv(variable), *home = getenv("HOME");

    if (value != NULL && value[0] == '/')
        return memory_copy(value);
    if (home == NULL || home[0] != '/')
        return NULL;
    return memory_text("%s/%s", home, fallback);
}
