/* files.c: see files.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/base/files.h"

#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/base/memory.h"

static enum cc_status cannot(struct cc_error *err, const char *verb, const char *path)
{
    return cc_fail(err, CC_EPARSE, "cannot %s '%.200s': %s", verb, path, strerror(errno));
}

bool flush_stream(FILE *file)
{
    bool earlier = ferror(file) != 0;   /* of an earlier write only this is known: its errno is gone */

    errno = 0;
    if (fflush(file) != 0)
        return false;
    if (earlier)
        errno = EIO;
    return !earlier;
}

enum cc_status read_file(char **data, size_t *length, const char *path, FILE *in,
                         struct cc_error *err)
{
    bool standard = strcmp(path, "-") == 0;
    FILE *file = standard ? in : fopen(path, "rb");
    enum cc_status s = CC_OK;
    size_t size = 0, room = 0;
    char *all = NULL;

    if (file == NULL)
        return cannot(err, "read", path);
    for (;;) {
        if (size + 1 >= room) {
            room = room == 0 ? 65536 : 2 * room;
            char *more = realloc(all, room);
            if (more == NULL) {
                s = cc_fail(err, CC_ENOMEM, "out of memory");
                break;
            }
            all = more;
        }
        size_t n = fread(all + size, 1, room - size - 1, file);
        size += n;
        if (size > MAX_FILE) {
            s = cc_fail(err, CC_ELIMIT, "'%.200s' is too large: at most %lu MiB", path,
                        MAX_FILE / (1024 * 1024));
            break;
        }
        if (n == 0 || ferror(file))
            break;
    }
    if (s == CC_OK && ferror(file))
        s = cannot(err, "read", path);
    if (!standard)
        fclose(file);
    if (s != CC_OK) {
        free(all);
        return s;
    }
    all[size] = '\0';
    *data = all;
    *length = size;
    return CC_OK;
}

/* Whether path is there and is no ordinary file: a device or a pipe is written to, never replaced. */
static bool is_special(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && !S_ISREG(st.st_mode);
}

FILE *start_file(char **temp_path, const char *path, struct cc_error *err)
{
    static const char suffix[] = ".XXXXXX";

    *temp_path = NULL;
    if (is_special(path)) {
        FILE *special = fopen(path, "wb");
        if (special == NULL)
            cannot(err, "write", path);
        return special;
    }
    size_t n = strlen(path);
    char *temp = malloc(n + sizeof suffix);
    if (temp == NULL) {
        cc_fail(err, CC_ENOMEM, "out of memory");
        return NULL;
    }
    memcpy(temp, path, n);
    memcpy(temp + n, suffix, sizeof suffix);
    int fd = mkstemp(temp);
    FILE *file = fd < 0 ? NULL : fdopen(fd, "wb");
    if (file == NULL) {
        cannot(err, "write", path);
        if (fd >= 0) {
            close(fd);
            unlink(temp);
        }
        free(temp);
        return NULL;
    }
    *temp_path = temp;
    memory_guard_file(temp);
    return file;
}

/* The temporary file is no more, or has become the file itself. */
static void forget(char *temp_path)
{
    memory_guard_file(NULL);
    free(temp_path);
}

void drop_file(FILE *file, char *temp_path)
{
    fclose(file);
    if (temp_path != NULL)
        unlink(temp_path);
    forget(temp_path);
}

enum cc_status finish_file(FILE *file, char *temp_path, const char *path, struct cc_error *err)
{
    struct stat old;

    if (temp_path == NULL) {
        bool failed = !flush_stream(file);
        int reason = errno;
        if (fclose(file) == 0 && !failed)
            return CC_OK;
        if (failed)
            errno = reason;
        return cannot(err, "write", path);
    }
    /* An existing file keeps its permissions; a new one gets what the umask leaves of 0666. */
    mode_t mask = umask(0);
    umask(mask);
    mode_t mode = stat(path, &old) == 0 ? old.st_mode & 07777 : 0666 & ~mask;

    if (!flush_stream(file) || fchmod(fileno(file), mode) != 0 || fsync(fileno(file)) != 0) {
        cannot(err, "write", path);
        drop_file(file, temp_path);
        return CC_EPARSE;
    }
    if (fclose(file) != 0 || rename(temp_path, path) != 0) {
        cannot(err, "write", path);
        unlink(temp_path);
        forget(temp_path);
        return CC_EPARSE;
    }
    forget(temp_path);
    return CC_OK;
}
