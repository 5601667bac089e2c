/* files.c: see files.h. */
#define _GNU_SOURCE     /* fopencookie: a stream that keeps its errno; beside POSIX.1-2008 */
#include "cli/base/files.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/base/guard.h"
#include "cli/base/memory.h"

static enum cc_status cannot(struct cc_error *err, const char *verb, const char *path)
{
    return cc_fail(err, CC_EPARSE, "cannot %s '%.200s': %s", verb, path, strerror(errno));
}

/* ---- streams ---- */

#define MOST_STREAMS 4      /* at a time: standard output, and the files being written */

static struct stream {
    FILE *file;             /* NULL: free */
    int fd;
    int reason;             /* errno of the first write that failed, 0 for none */
} streams[MOST_STREAMS];

static char buffers[MOST_STREAMS][1 << 14];     /* of the streams; more is no faster, and a page written for the first time costs */

static ssize_t stream_write(void *cookie, const char *data, size_t size)
{
    struct stream *stream = cookie;
    size_t written = 0;

    while (written < size) {
        ssize_t n = write(stream->fd, data + written, size - written);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0) {
            if (stream->reason == 0)
                stream->reason = n == 0 ? ENOSPC : errno;
            errno = stream->reason;
            return 0;       /* whatever is given back but size is a failure */
        }
        written += (size_t)n;
    }
    return (ssize_t)size;
}

static int stream_close(void *cookie)
{
    struct stream *stream = cookie;

    stream->file = NULL;
    return close(stream->fd);
}

FILE *stream_to(int fd)
{
    static const cookie_io_functions_t calls = { .write = stream_write, .close = stream_close };
    struct stream *stream = streams;

    while (stream < streams + MOST_STREAMS && stream->file != NULL)
        stream++;
    if (stream == streams + MOST_STREAMS) {
        errno = EMFILE;
        return NULL;
    }
    *stream = (struct stream){ NULL, fd, 0 };
    stream->file = fopencookie(stream, "w", calls);
    if (stream->file != NULL)
        setvbuf(stream->file, buffers[stream - streams], _IOFBF, sizeof *buffers);
    return stream->file;
}

bool stream_flush(FILE *file)
{
    bool good = fflush(file) == 0 && !ferror(file);

    for (size_t i = 0; i < MOST_STREAMS; i++)
        if (streams[i].file == file && streams[i].reason != 0) {
            errno = streams[i].reason;
            return false;
        }
    return good;
}

/* ---- whole files in ---- */

/* The whole of an open file. */
static enum cc_status read_stream(char **data, size_t *length, const char *path, FILE *file, struct cc_error *err)
{
    enum cc_status s = CC_OK;
    size_t size = 0, room = 0;
    char *all = NULL;

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
    if (s != CC_OK) {
        free(all);
        return s;
    }
    all[size] = '\0';
    *data = all;
    *length = size;
    return CC_OK;
}

static enum cc_status read_and_close(char **data, size_t *length, const char *path, FILE *file, struct cc_error *err)
{
    if (file == NULL)
        return cannot(err, "read", path);
    enum cc_status s = read_stream(data, length, path, file, err);
    fclose(file);
    return s;
}

enum cc_status read_file(char **data, size_t *length, const char *path, FILE *in,
                         struct cc_error *err)
{
    if (strcmp(path, "-") == 0)
        return read_stream(data, length, path, in, err);
    return read_and_close(data, length, path, fopen(path, "rb"), err);
}

enum cc_status read_file_now(char **data, size_t *length, const char *path, FILE *in, struct cc_error *err)
{
    if (strcmp(path, "-") == 0)
        return read_stream(data, length, path, in, err);
    int fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (fd < 0)
        return cannot(err, "read", path);
    fcntl(fd, F_SETFL, 0);      /* a writer that is there may take its time */
    FILE *file = fdopen(fd, "rb");
    if (file == NULL)
        close(fd);
    return read_and_close(data, length, path, file, err);
}

/* ---- whole files out ---- */

#define MOST_LINKS 40       /* as many as Linux follows */

/* path with its last part, as long as that is a symbolic link, replaced by what it leads to; to be freed; NULL with errno. */
static char *follow_links(const char *path)
{
    char *at = memory_copy(path), target[PATH_MAX];

    for (int i = 0; i <= MOST_LINKS; i++) {
        ssize_t n = readlink(at, target, sizeof target - 1);
        if (n < 0)      /* no link, or nothing there: this is the one */
            return at;
        target[n] = '\0';
        char *slash = strrchr(at, '/');
        size_t folder = target[0] == '/' || slash == NULL ? 0 : (size_t)(slash + 1 - at);
        char *next = memory_get(folder + (size_t)n + 1);
        memcpy(next, at, folder);
        memcpy(next + folder, target, (size_t)n + 1);
        free(at);
        at = next;
    }
    free(at);
    errno = ELOOP;
    return NULL;
}

/* Whether path is there and is no ordinary file: a device or a pipe is written to, never replaced. */
static bool is_special(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && !S_ISREG(st.st_mode);
}

static enum cc_status open_special(struct new_file *file, struct cc_error *err)
{
    file->fd = open(file->path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    return file->fd >= 0 ? CC_OK : cannot(err, "open", file->path);
}

static enum cc_status open_beside(struct new_file *file, struct cc_error *err)
{
    static const char suffix[] = ".XXXXXX";
    size_t n = strlen(file->path);

    file->temp = memory_get(n + sizeof suffix);
    memcpy(file->temp, file->path, n);
    memcpy(file->temp + n, suffix, sizeof suffix);
    guard_hold();           /* no signal between making it and knowing of it */
    file->fd = mkstemp(file->temp);
    int reason = errno;
    if (file->fd >= 0)
        guard_file(file->temp);
    guard_release();
    errno = reason;
    if (file->fd >= 0)
        return CC_OK;
    cannot(err, "make a file beside", file->path);
    free(file->temp);
    file->temp = NULL;
    return CC_EPARSE;
}

/* Nothing is being written any more; the temporary file is gone or has become the file itself. */
static void forget(struct new_file *file)
{
    if (file->temp != NULL)
        guard_forget(file->temp);
    free(file->temp);
    free(file->path);
    *file = (struct new_file){ .fd = -1 };
}

enum cc_status new_file_begin(struct new_file *file, const char *path, struct cc_error *err)
{
    *file = (struct new_file){ .path = follow_links(path), .fd = -1 };
    if (file->path == NULL)
        return cannot(err, "follow the links of", path);
    enum cc_status s = is_special(file->path) ? open_special(file, err) : open_beside(file, err);
    if (s == CC_OK) {
        file->stream = stream_to(file->fd);
        if (file->stream == NULL) {
            s = cannot(err, "write", path);
            if (file->temp != NULL)
                unlink(file->temp);
            close(file->fd);
        }
    }
    if (s != CC_OK)
        forget(file);
    return s;
}

void new_file_drop(struct new_file *file)
{
    fclose(file->stream);
    if (file->temp != NULL)
        unlink(file->temp);
    forget(file);
}

/* An existing file keeps its permissions; a new one gets what the umask leaves of 0666. */
static mode_t mode_of(const char *path)
{
    struct stat old;
    mode_t mask = umask(0);

    umask(mask);
    return stat(path, &old) == 0 ? old.st_mode & 07777 : 0666 & ~mask;
}

/* The temporary file whole on the disk, and renamed. */
static enum cc_status replace(struct new_file *file, struct cc_error *err)
{
    if (!stream_flush(file->stream))
        return cannot(err, "write", file->path);
    if (fchmod(file->fd, mode_of(file->path)) != 0)
        return cannot(err, "set the permissions of", file->temp);
    if (fsync(file->fd) != 0)
        return cannot(err, "sync", file->temp);
    FILE *stream = file->stream;
    file->stream = NULL;
    if (fclose(stream) != 0)
        return cannot(err, "close", file->temp);
    return rename(file->temp, file->path) == 0 ? CC_OK : cannot(err, "rename a file to", file->path);
}

/* The rename too on the disk. A directory that may not be read cannot be synced, nor one of some file systems. */
static enum cc_status sync_folder(const char *path, struct cc_error *err)
{
    char *folder = memory_copy(path), *slash = strrchr(folder, '/');
    enum cc_status s = CC_OK;

    if (slash != NULL)
        slash[slash == folder] = '\0';
    int fd = open(slash != NULL ? folder : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if ((fd < 0 && errno != EACCES) || (fd >= 0 && fsync(fd) != 0 && errno != EINVAL))
        s = cc_fail(err, CC_EPARSE, "'%.160s' is written, but its directory cannot be synced: %s: a power cut now may undo it",
                    path, strerror(errno));
    if (fd >= 0)
        close(fd);
    free(folder);
    return s;
}

enum cc_status new_file_end(struct new_file *file, struct cc_error *err)
{
    enum cc_status s = CC_OK;

    if (file->temp != NULL) {
        s = replace(file, err);
        if (s != CC_OK && file->stream != NULL) {
            new_file_drop(file);
            return s;
        }
        if (s != CC_OK)
            unlink(file->temp);
        else
            s = sync_folder(file->path, err);
    } else {
        bool good = stream_flush(file->stream);
        int reason = errno;
        if (fclose(file->stream) != 0 || !good) {
            errno = good ? errno : reason;
            s = cannot(err, good ? "close" : "write", file->path);
        }
    }
    forget(file);
    return s;
}
