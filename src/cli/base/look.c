/* look.c: see look.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/base/look.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/base/memory.h"

static enum cc_status cannot(struct cc_error *err, const char *path)
{
    return cc_fail(err, CC_EPARSE, "cannot use '%.200s': %s", path, strerror(errno));
}

/* stat, with words for what may be there instead. */
static enum cc_status look_at(struct stat *st, const char *path, struct cc_error *err)
{
    struct stat link;

    if (stat(path, st) == 0)
        return CC_OK;
    int reason = errno;
    if (reason == ENOENT && lstat(path, &link) == 0)
        return cc_fail(err, CC_EPARSE, "cannot use '%.200s': a symbolic link that leads to nothing", path);
    errno = reason;
    return cannot(err, path);
}

enum cc_status look_at_file(const char *path, struct cc_error *err)
{
    struct stat st;
    enum cc_status s = look_at(&st, path, err);

    if (s == CC_OK && !S_ISREG(st.st_mode))
        s = cc_fail(err, CC_EPARSE, "cannot use '%.200s': it is %s, not a file", path,
                    S_ISDIR(st.st_mode) ? "a directory" : S_ISFIFO(st.st_mode) ? "a pipe" : "a device");
    return s;
}

enum cc_status look_at_folder(const char *path, struct cc_error *err)
{
    struct stat st;
    enum cc_status s = look_at(&st, path, err);

    if (s == CC_OK && !S_ISDIR(st.st_mode))
        s = cc_fail(err, CC_EPARSE, "cannot use '%.200s': it is not a directory", path);
    return s;
}

/* Whether the last part of path is name, or a part before it. */
static bool is_below(const char *path, const char *name)
{
    size_t n = strlen(name);

    for (const char *at = strchr(path, '/'); at != NULL; at = strchr(at + 1, '/'))
        if (strncmp(at + 1, name, n) == 0 && (at[n + 1] == '/' || at[n + 1] == '\0'))
            return true;
    return false;
}

enum cc_status look_for(bool *there, const char *path, const char *own, struct cc_error *err)
{
    struct stat st;
    char *above = memory_copy(path), *slash;
    enum cc_status s = CC_OK;

    *there = lstat(path, &st) == 0;
    if (!*there && errno != ENOENT && errno != ENOTDIR)
        s = cannot(err, path);
    /* The nearest folder above it that is there must be one, or what lies behind it is not known. */
    for (bool found = *there; s == CC_OK && !found && (slash = strrchr(above, '/')) != NULL && slash > above;) {
        *slash = '\0';
        found = lstat(above, &st) == 0;
        if (found && is_below(above, own))
            s = look_at_folder(above, err);
        else if (found)
            s = look_at(&st, above, err);
    }
    free(above);
    return s;
}
