/* journal_store.c: see journal_store.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/keep/journal_store.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/base/environment.h"
#include "cli/base/memory.h"
#include "cli/base/names.h"
#include "cli/keep/journal.h"

#define SUFFIX ".journal"
#define MOST_DAMAGED 99         /* damaged journals of one name that are kept */

static bool is_name(const char *name)
{
    size_t length = strlen(name);

    if (length == 0 || length >= JOURNAL_NAME || name[0] == '.')
        return false;
    for (; *name != '\0'; name++)
        if (!((*name >= '0' && *name <= '9') || (*name >= 'a' && *name <= 'z') ||
              (*name >= 'A' && *name <= 'Z') || *name == '.' || *name == '-'))
            return false;
    return true;
}

static enum cc_status cannot(struct cc_error *err, const char *verb, const char *path)
{
    return cc_fail(err, CC_EPARSE, "cannot %s '%.200s': %s", verb, path, strerror(errno));
}

/* ---- bytes ---- */

enum cc_status store_write(int fd, const char *data, size_t length, off_t at)
{
    while (length > 0) {
        ssize_t n = pwrite(fd, data, length, at);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0) {
            errno = n == 0 ? ENOSPC : errno;
            return CC_EPARSE;
        }
        data += n;
        length -= (size_t)n;
        at += n;
    }
    return CC_OK;
}

enum cc_status store_read(char **data, size_t *length, int fd, const char *path, struct cc_error *err)
{
    size_t size = 0, room = 65536;
    char *all = memory_get(room);

    for (;;) {
        if (size == room)
            all = memory_resize(all, room *= 2);
        ssize_t n = pread(fd, all + size, room - size, (off_t)size);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0 || size > JOURNAL_MOST) {
            enum cc_status s = n < 0 ? cannot(err, "read", path)
                                     : cc_fail(err, CC_ELIMIT, "'%.200s' is too large for a journal", path);
            free(all);
            return s;
        }
        if (n == 0)
            break;
        size += (size_t)n;
    }
    *data = all;
    *length = size;
    return CC_OK;
}

/* ---- the directory ---- */

/* The directory of all journals, to be freed; NULL where the environment names none. */
static char *directory_path(struct cc_error *err)
{
    char *state = environment_directory("XDG_STATE_HOME", ".local/state"), *path = NULL;

    if (state != NULL)
        path = memory_text("%s/crankcard", state);
    else
        cc_fail(err, CC_EPARSE, "no place for the journal: set HOME or XDG_STATE_HOME to an absolute path");
    free(state);
    return path;
}

/* Write the entries of a directory to the disk. Where it may not be read it cannot be synced either. */
static enum cc_status sync_directory(const char *path, struct cc_error *err)
{
    int fd = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    if (fd < 0)
        return errno == EACCES ? CC_OK : cannot(err, "open the directory", path);
    enum cc_status s = fsync(fd) == 0 || errno == EINVAL ? CC_OK : cannot(err, "sync the directory", path);
    close(fd);
    return s;
}

/* One directory, 0700 as the XDG specification asks, and its name in the one above it; one that is there will do. */
static enum cc_status make_directory(const char *path, const char *above, struct cc_error *err)
{
    struct stat st;

    if (mkdir(path, 0700) == 0)
        return sync_directory(above, err);
    int reason = errno;
    if (stat(path, &st) == 0 && S_ISDIR(st.st_mode))   /* whatever mkdir said of it */
        return CC_OK;
    errno = reason;
    return cannot(err, "make the directory", path);
}

/* Make path and what is above it. */
static enum cc_status make_directories(const char *path, struct cc_error *err)
{
    char *part = memory_copy(path), *above = memory_copy("/");
    enum cc_status s = CC_OK;

    for (size_t i = 1; s == CC_OK && i <= strlen(path); i++) {
        if (path[i] != '/' && path[i] != '\0')
            continue;
        part[i] = '\0';
        s = make_directory(part, above, err);
        free(above);
        above = memory_copy(part);
        part[i] = path[i];
    }
    free(above);
    free(part);
    return s;
}

/* Whether what is open belongs to this user and nobody else may write it. */
static enum cc_status check_owner(int fd, const char *path, struct cc_error *err)
{
    struct stat st;

    if (fstat(fd, &st) != 0)
        return cannot(err, "look at", path);
    if (st.st_uid != geteuid())
        return cc_fail(err, CC_EPARSE, "'%.200s' belongs to another user: it is left alone", path);
    if ((st.st_mode & 022) != 0)
        return cc_fail(err, CC_EPARSE, "'%.200s' can be written by others: chmod go-w it, if it is yours", path);
    return CC_OK;
}

/* Open the directory; create makes it. *fd = -1 with CC_OK where there is none and create is false. */
static enum cc_status open_directory(int *fd, char **path, bool create, struct cc_error *err)
{
    *fd = -1;
    *path = directory_path(err);
    if (*path == NULL || (create && make_directories(*path, err) != CC_OK))
        return CC_EPARSE;
    *fd = open(*path, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (*fd < 0 && errno == ENOENT && !create)
        return CC_OK;
    if (*fd < 0) {
        struct stat st;
        int reason = errno;
        if (lstat(*path, &st) == 0 && S_ISLNK(st.st_mode))
            return cc_fail(err, CC_EPARSE, "'%.200s' is a symbolic link: journals are not written through one", *path);
        errno = reason;
        return cannot(err, "open", *path);
    }
    enum cc_status s = check_owner(*fd, *path, err);
    if (s != CC_OK) {
        close(*fd);
        *fd = -1;
    }
    return s;
}

/* ---- files ---- */

/* Lock the whole of fd against other processes. */
static enum cc_status lock_file(int fd, const char *path, struct cc_error *err)
{
    struct flock wanted = { .l_type = F_WRLCK, .l_whence = SEEK_SET };

    if (fcntl(fd, F_SETLK, &wanted) == 0)
        return CC_OK;
    if (errno != EACCES && errno != EAGAIN)
        return cannot(err, "lock", path);
    if (fcntl(fd, F_GETLK, &wanted) == 0 && wanted.l_type != F_UNLCK)
        return cc_fail(err, CC_EPARSE, "this job is being followed in another terminal (process %ld): leave it there first",
                       (long)wanted.l_pid);
    return cc_fail(err, CC_EPARSE, "this job is being followed in another terminal: leave it there first");
}

static bool same_file(const struct stat *a, const struct stat *b)
{
    return a->st_ino == b->st_ino && a->st_dev == b->st_dev;
}

/* Whether fd is still what file names: it may have been removed or replaced before it was locked. */
static bool is_current(int fd, int directory, const char *file)
{
    struct stat st, named;

    return fstat(fd, &st) == 0 && fstatat(directory, file, &named, AT_SYMLINK_NOFOLLOW) == 0 && same_file(&st, &named);
}

bool store_is_held(int fd, const char *path, uint64_t length)
{
    struct stat st, named;

    return fstat(fd, &st) == 0 && lstat(path, &named) == 0 && same_file(&st, &named) && (uint64_t)st.st_size == length;
}

/* Open a file of the directory, a regular one of this user's, never through a link. */
static enum cc_status open_file(int *fd, int directory, const char *file, const char *path, int flags,
                                struct cc_error *err)
{
    struct stat st;

    *fd = openat(directory, file, flags | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK, 0600);
    if (*fd < 0 && errno == ELOOP)
        return cc_fail(err, CC_EPARSE, "'%.200s' is a symbolic link: journals are not read or written through one", path);
    if (*fd < 0 && errno == ENOENT)
        return cc_fail(err, CC_ENOFIT, "there is no '%.200s'", path);
    if (*fd < 0)
        return cannot(err, "open", path);
    enum cc_status s = fstat(*fd, &st) != 0 ? cannot(err, "look at", path) : CC_OK;
    if (s == CC_OK && !S_ISREG(st.st_mode))
        s = cc_fail(err, CC_EPARSE, "'%.200s' is not a regular file: it is left alone", path);
    if (s == CC_OK)
        s = check_owner(*fd, path, err);
    if (s != CC_OK) {
        close(*fd);
        *fd = -1;
    }
    return s;
}

/* ---- one journal ---- */

static enum cc_status no_job(const char *name, struct cc_error *err)
{
    return cc_fail(err, CC_ENOFIT, "there is no job '%.60s': crankcard follow --list shows those there are", name);
}

/* The directory, and the names in it. *store is clean to be closed whatever comes back. */
static enum cc_status open_store(struct store *store, const char *name, bool create, struct cc_error *err)
{
    char *directory;

    *store = (struct store){ -1, -1, NULL, NULL };
    if (!is_name(name))
        return no_job(name, err);
    enum cc_status s = open_directory(&store->directory, &directory, create, err);
    if (s == CC_OK && store->directory < 0)
        s = no_job(name, err);
    if (s == CC_OK) {
        store->file = memory_text("%s" SUFFIX, name);
        store->path = memory_text("%s/%s", directory, store->file);
    }
    free(directory);
    return s;
}

enum cc_status store_open(struct store *store, const char *name, bool lock, struct cc_error *err)
{
    enum cc_status s = open_store(store, name, false, err);

    if (s != CC_OK)
        return s;
    s = open_file(&store->fd, store->directory, store->file, store->path, lock ? O_RDWR : O_RDONLY, err);
    if (s == CC_ENOFIT)
        s = no_job(name, err);
    if (s == CC_OK && lock)
        s = lock_file(store->fd, store->path, err);
    if (s == CC_OK && lock && !is_current(store->fd, store->directory, store->file))
        s = no_job(name, err);
    return s;
}

enum cc_status store_prepare(struct store *store, const char *name, struct cc_error *err)
{
    return open_store(store, name, true, err);
}

void store_close(struct store *store)
{
    if (store->fd >= 0)
        close(store->fd);
    if (store->directory >= 0)
        close(store->directory);
    free(store->path);
    free(store->file);
    *store = (struct store){ -1, -1, NULL, NULL };
}

static enum cc_status exists(struct cc_error *err)
{
    return cc_fail(err, CC_ENOFIT, "this job has a journal already");
}

/* Whether fd is a file still to be written: under its first name, and not yet under the real one. */
static bool is_fresh(int fd, int directory, const char *file)
{
    struct stat st;

    return is_current(fd, directory, file) && fstat(fd, &st) == 0 && st.st_nlink == 1;
}

/* Fill fd, whose name is still fresh, and give it the real one. */
static enum cc_status fill_and_name(const struct store *store, int fd, const char *fresh, const char *data, size_t length,
                                    bool replace, struct cc_error *err)
{
    int directory = store->directory;

    if (!is_fresh(fd, directory, fresh))
        return exists(err);
    if (ftruncate(fd, 0) != 0 || store_write(fd, data, length, 0) != CC_OK)
        return cannot(err, "write", store->path);
    if (fsync(fd) != 0)
        return cannot(err, "sync", store->path);
    if (replace)
        return renameat(directory, fresh, directory, store->file) == 0 ? CC_OK : cannot(err, "replace", store->path);
    if (linkat(directory, fresh, directory, store->file, 0) != 0)
        return errno == EEXIST ? exists(err) : cannot(err, "create", store->path);
    return CC_OK;
}

/*
 * The file is written under a name of its own, which the lock makes one process's, and linked to its
 * real name when it is whole: link fails where that exists.
 */
enum cc_status store_create(struct store *store, const char *data, size_t length, bool replace, struct cc_error *err)
{
    char *fresh = memory_text(".%s.new", store->file);
    int fd, directory = store->directory;

    enum cc_status s = open_file(&fd, directory, fresh, store->path, O_RDWR | O_CREAT, err);
    if (s == CC_OK)
        s = lock_file(fd, store->path, err);
    if (s == CC_OK) {
        s = fill_and_name(store, fd, fresh, data, length, replace, err);
        if (is_current(fd, directory, fresh))
            unlinkat(directory, fresh, 0);
        if (s == CC_OK && fsync(directory) != 0)
            s = cannot(err, "sync the directory of", store->path);
    }
    free(fresh);
    if (s != CC_OK) {
        if (fd >= 0)
            close(fd);
        return s;
    }
    if (store->fd >= 0)
        close(store->fd);
    store->fd = fd;
    return CC_OK;
}

enum cc_status store_keep_damaged(char **path, const struct store *store, struct cc_error *err)
{
    char number[16] = "";

    *path = NULL;
    for (int i = 1; i <= MOST_DAMAGED && *path == NULL; i++) {
        if (i > 1)
            snprintf(number, sizeof number, "-%d", i);
        char *file = memory_text("%s.damaged%s", store->file, number);
        if (linkat(store->directory, store->file, store->directory, file, 0) == 0)
            *path = memory_text("%s.damaged%s", store->path, number);
        int reason = errno;
        free(file);
        errno = reason;
        if (*path == NULL && errno != EEXIST)
            break;
    }
    return *path != NULL ? CC_OK : cannot(err, "keep the damaged journal beside", store->path);
}

enum cc_status journal_forget(const char *name, struct cc_error *err)
{
    struct store store;
    enum cc_status s = store_open(&store, name, true, err);

    if (s == CC_OK && unlinkat(store.directory, store.file, 0) != 0)
        s = cannot(err, "remove", store.path);
    store_close(&store);
    return s;
}

/* ---- all of them ---- */

enum cc_status journal_names(char ***names, size_t *count, struct cc_error *err)
{
    int directory;
    char *path;
    enum cc_status s = open_directory(&directory, &path, false, err);
    DIR *dir = NULL;
    struct names files = { .n = 0 }, jobs = { .n = 0 };

    if (s == CC_OK && directory >= 0 && (dir = fdopendir(directory)) == NULL) {
        s = cannot(err, "read", path);
        close(directory);
    }
    if (dir != NULL)
        names_of_files(&files, dir, SUFFIX);
    for (size_t i = 0; i < files.n; i++)
        if (is_name(files.at[i]))
            names_add(&jobs, files.at[i], strlen(files.at[i]));
    names_clear(&files);
    free(path);
    *names = jobs.at;
    *count = jobs.n;
    return s;
}

void journal_free_names(char **names, size_t count)
{
    names_clear(&(struct names){ names, count });
}
