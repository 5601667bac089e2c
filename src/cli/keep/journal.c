/* journal.c: see journal.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/keep/journal.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "cli/base/memory.h"
#include "cli/keep/journal_text.h"

#define SUFFIX ".journal"
#define MOST_BYTES (64UL * 1024 * 1024)
#define MOST_WORD 2000          /* bytes of one word of the request, escaped */

void journal_init(struct journal *journal)
{
    memset(journal, 0, sizeof *journal);
    journal->fd = -1;
    journal->piece = 1;
}

void journal_clear(struct journal *journal)
{
    if (journal->fd >= 0)
        close(journal->fd);
    for (size_t i = 0; i < journal->word_count; i++)
        free(journal->words[i]);
    free(journal->words);
    free(journal->directory);
    free(journal->head);
    free(journal->plan);
    free(journal->path);
    journal_init(journal);
}

bool journal_done(const struct journal *journal)
{
    return journal->next > journal->steps;
}

/* ---- names ---- */

void journal_name(char name[JOURNAL_NAME], char *const *words, size_t count)
{
    uint32_t sum = 0;
    size_t used = 0;

    for (size_t i = 0; i < count; i++) {
        sum = journal_crc(sum, words[i], strlen(words[i]) + 1);
        for (const char *at = words[i]; *at != '\0' && used < JOURNAL_NAME - 24; at++) {
            bool good = (*at >= '0' && *at <= '9') || (*at >= 'a' && *at <= 'z') ||
                        (*at >= 'A' && *at <= 'Z') || (*at == '.' && used > 0);
            if (good)
                name[used++] = *at;
            else if (used > 0 && name[used - 1] != '-')
                name[used++] = '-';
        }
        if (used > 0 && used < JOURNAL_NAME - 24 && name[used - 1] != '-')
            name[used++] = '-';
    }
    while (used > 0 && name[used - 1] == '-')
        used--;
    snprintf(name + used, JOURNAL_NAME - used, "-%08" PRIx32, sum);
}

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

/* ---- the directory ---- */

static enum cc_status cannot(struct cc_error *err, const char *verb, const char *path)
{
    return cc_fail(err, CC_EPARSE, "cannot %s '%.200s': %s", verb, path, strerror(errno));
}

static char *join(const char *a, const char *b)
{
    size_t size = strlen(a) + strlen(b) + 2;
    char *path = memory_get(size);
    snprintf(path, size, "%s/%s", a, b);
    return path;
}

/* The directory of all journals, to be freed; NULL where the environment names none. */
static char *directory_path(struct cc_error *err)
{
    const char *state = getenv("XDG_STATE_HOME"), *home = getenv("HOME");

    if (state != NULL && state[0] == '/')
        return join(state, "crankcard");
    if (home != NULL && home[0] == '/')
        return join(home, ".local/state/crankcard");
    cc_fail(err, CC_EPARSE, "no place for the journal: set HOME or XDG_STATE_HOME to an absolute path");
    return NULL;
}

/* Make path and what is above it, 0700 as the XDG specification asks. */
static void make_directories(char *path)
{
    for (char *at = path + 1; *at != '\0'; at++) {
        if (*at == '/') {
            *at = '\0';
            mkdir(path, 0700);
            *at = '/';
        }
    }
    mkdir(path, 0700);
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
    if (*path == NULL)
        return CC_EPARSE;
    if (create)
        make_directories(*path);
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

/* ---- writing lines ---- */

static enum cc_status write_all(int fd, const char *data, size_t length, off_t at)
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

static enum cc_status add_line(struct journal *journal, const char *text, struct cc_error *err)
{
    char buf[JOURNAL_LINE];
    uint32_t sum = journal->sum;
    size_t length = journal_line(buf, sizeof buf, &sum, text);

    if (write_all(journal->fd, buf, length, (off_t)journal->length) != CC_OK || fsync(journal->fd) != 0) {
        int reason = errno;
        /* Where the cut does not succeed either, the part written has no end and is dropped later. */
        if (ftruncate(journal->fd, (off_t)journal->length) != 0)
            errno = reason;
        return cc_fail(err, CC_EPARSE, "cannot save this in '%.160s': %s; nothing is lost, the place is as before", journal->path,
                       strerror(reason));
    }
    journal->length += length;
    journal->sum = sum;
    return CC_OK;
}

static void now_text(char buf[32])
{
    time_t now = time(NULL);
    struct tm tm;

    if (gmtime_r(&now, &tm) == NULL || strftime(buf, 32, "%Y-%m-%dT%H:%M:%SZ", &tm) == 0)
        snprintf(buf, 32, "unknown");
}

enum cc_status journal_made(struct journal *journal, unsigned seconds, struct cc_error *err)
{
    char line[128], now[32];

    now_text(now);
    snprintf(line, sizeof line, "made %" PRIu64 " after %u s at %s", journal->next, seconds, now);
    enum cc_status s = add_line(journal, line, err);
    if (s == CC_OK) {
        journal->next++;
        journal_remember_time(journal, seconds);
    }
    return s;
}

enum cc_status journal_back(struct journal *journal, struct cc_error *err)
{
    char line[64];
    uint64_t row = journal->next > 0 ? journal->next - 1 : 0;

    snprintf(line, sizeof line, "back to %" PRIu64, row);
    enum cc_status s = add_line(journal, line, err);
    if (s == CC_OK)
        journal->next = row;
    return s;
}

enum cc_status journal_go(struct journal *journal, uint64_t row, struct cc_error *err)
{
    char line[64];

    snprintf(line, sizeof line, "go to %" PRIu64, row);
    enum cc_status s = add_line(journal, line, err);
    if (s == CC_OK)
        journal->next = row;
    return s;
}

enum cc_status journal_note(struct journal *journal, const char *text, struct cc_error *err)
{
    char line[4 * JOURNAL_NOTE + 64], escaped[4 * JOURNAL_NOTE + 1];

    if (strlen(text) > JOURNAL_NOTE)
        return cc_fail(err, CC_ELIMIT, "a remark has %d bytes at most", JOURNAL_NOTE);
    journal_escape(escaped, sizeof escaped, text);
    snprintf(line, sizeof line, "note %" PRIu64 " %s", journal->next, escaped);
    enum cc_status s = add_line(journal, line, err);
    if (s == CC_OK)
        journal_remember_note(journal, journal->next, text);
    return s;
}

enum cc_status journal_opened(struct journal *journal, struct cc_error *err)
{
    char line[64], now[32];

    now_text(now);
    snprintf(line, sizeof line, "opened at %s", now);
    return add_line(journal, line, err);
}

enum cc_status journal_piece(struct journal *journal, struct cc_error *err)
{
    char line[96], now[32];

    now_text(now);
    snprintf(line, sizeof line, "piece %" PRIu64 " at %s", journal->piece + 1, now);
    enum cc_status s = add_line(journal, line, err);
    if (s == CC_OK) {
        journal->piece++;
        journal->next = 0;
        journal->has_note = false;
    }
    return s;
}

static int compare_times(const void *a, const void *b)
{
    unsigned x = *(const unsigned *)a, y = *(const unsigned *)b;
    return x < y ? -1 : x > y;
}

unsigned journal_median(const struct journal *journal)
{
    unsigned sorted[JOURNAL_TIMES];
    size_t n = journal->time_count < JOURNAL_TIMES ? journal->time_count : JOURNAL_TIMES;

    if (n == 0)
        return 0;
    memcpy(sorted, journal->times, n * sizeof *sorted);
    qsort(sorted, n, sizeof *sorted, compare_times);
    return sorted[n / 2];
}

/* ---- files ---- */

/* Lock the whole of fd against other processes. */
static enum cc_status lock(int fd, const char *path, struct cc_error *err)
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

/* Whether fd is still what file names: it may have been removed or replaced before it was locked. */
static bool is_current(int fd, int directory, const char *file)
{
    struct stat st, named;

    return fstat(fd, &st) == 0 && fstatat(directory, file, &named, AT_SYMLINK_NOFOLLOW) == 0 &&
           st.st_ino == named.st_ino && st.st_dev == named.st_dev;
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

static enum cc_status read_all(char **data, size_t *length, int fd, const char *path, struct cc_error *err)
{
    size_t size = 0, room = 65536;
    char *all = memory_get(room);

    for (;;) {
        if (size == room)
            all = memory_resize(all, room *= 2);
        ssize_t n = pread(fd, all + size, room - size, (off_t)size);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0 || size > MOST_BYTES) {
            free(all);
            return n < 0 ? cannot(err, "read", path)
                         : cc_fail(err, CC_ELIMIT, "'%.200s' is too large for a journal", path);
        }
        if (n == 0)
            break;
        size += (size_t)n;
    }
    *data = all;
    *length = size;
    return CC_OK;
}

/* Cut off a torn line, and close the last one where only its newline was torn off. */
static enum cc_status mend_tail(struct journal *journal, const char *data, size_t length,
                                struct cc_error *err)
{
    int fd = journal->fd;

    if (journal->length > 0 && data[journal->length - 1] != '\n') {
        if (write_all(fd, "\n", 1, (off_t)journal->length) != CC_OK || fsync(fd) != 0)
            return cannot(err, "mend", journal->path);
        journal->length++;
    } else if (journal->length < length) {
        if (ftruncate(fd, (off_t)journal->length) != 0 || fsync(fd) != 0)
            return cannot(err, "mend", journal->path);
    }
    return CC_OK;
}

static char *file_of(const char *name)
{
    size_t size = strlen(name) + sizeof SUFFIX;
    char *file = memory_get(size);
    snprintf(file, size, "%s" SUFFIX, name);
    return file;
}

static enum cc_status no_job(const char *name, struct cc_error *err)
{
    return cc_fail(err, CC_ENOFIT, "there is no job '%.60s': crankcard follow --list shows those there are", name);
}

/* Where a job's journal lies, opened. */
struct place {
    int directory, fd;      /* -1 where not open */
    char *file, *path;      /* in its directory, and whole; NULL where not found */
};

/* The journal of that name, and with lock_it nobody else's and still the one in the directory. */
static enum cc_status open_place(struct place *place, const char *name, bool lock_it, struct cc_error *err)
{
    char *directory;

    *place = (struct place){ -1, -1, NULL, NULL };
    if (!is_name(name))
        return no_job(name, err);
    enum cc_status s = open_directory(&place->directory, &directory, false, err);
    if (s == CC_OK && place->directory < 0)
        s = no_job(name, err);
    if (s == CC_OK) {
        place->file = file_of(name);
        place->path = join(directory, place->file);
        s = open_file(&place->fd, place->directory, place->file, place->path, lock_it ? O_RDWR : O_RDONLY, err);
        if (s == CC_ENOFIT)
            s = no_job(name, err);
    }
    free(directory);
    if (s == CC_OK && lock_it)
        s = lock(place->fd, place->path, err);
    if (s == CC_OK && lock_it && !is_current(place->fd, place->directory, place->file))
        s = no_job(name, err);
    return s;
}

static void close_place(struct place *place)
{
    if (place->fd >= 0)
        close(place->fd);
    if (place->directory >= 0)
        close(place->directory);
    free(place->path);
    free(place->file);
}

enum cc_status journal_open(struct journal *journal, const char *name, bool lock_it, struct cc_error *err)
{
    struct place place;
    char *data = NULL;
    size_t length = 0;
    enum cc_status s = open_place(&place, name, lock_it, err);

    if (place.path != NULL) {
        snprintf(journal->name, sizeof journal->name, "%s", name);
        free(journal->path);
        journal->path = place.path;
        place.path = NULL;
    }
    if (s == CC_OK)
        s = read_all(&data, &length, place.fd, journal->path, err);
    if (s == CC_OK)
        s = journal_read(journal, data, length, journal->path, err);
    if (s == CC_OK && lock_it) {
        journal->fd = place.fd;
        place.fd = -1;
        s = mend_tail(journal, data, length, err);
    }
    free(data);
    close_place(&place);
    return s;
}

/* ---- a new job ---- */

struct grown_text {
    char *at;
    size_t length, room;
    uint32_t sum;
};

static void text_add(struct grown_text *text, const char *line)
{
    size_t need = strlen(line) + JOURNAL_FRAME;

    if (text->length + need > text->room) {
        text->room = 2 * (text->length + need);
        text->at = memory_resize(text->at, text->room);
    }
    text->length += journal_line(text->at + text->length, need, &text->sum, line);
}

static void text_addf(struct grown_text *text, const char *format, ...) CC_PRINTF(2, 3);
static void text_addf(struct grown_text *text, const char *format, ...)
{
    char line[JOURNAL_LINE];
    va_list args;

    va_start(args, format);
    vsnprintf(line, sizeof line, format, args);
    va_end(args);
    text_add(text, line);
}

/* A directory with too long a name is left out: without it files are looked for where the job is resumed. */
static void add_directory(struct grown_text *text)
{
    char path[MOST_WORD], escaped[MOST_WORD];

    if (getcwd(path, sizeof path) != NULL && journal_escape(escaped, sizeof escaped, path))
        text_addf(text, "directory %s", escaped);
}

/* The request as text. */
static enum cc_status describe(struct grown_text *text, char *const *words, size_t count, const char *head,
                               const char *plan, uint64_t steps, struct cc_error *err)
{
    char escaped[MOST_WORD], now[32];

    text_add(text, JOURNAL_FIRST);
    for (size_t i = 0; i < count; i++) {
        if (!journal_escape(escaped, sizeof escaped, words[i]))
            return cc_fail(err, CC_ELIMIT, "'%.40s...' is too long a word to follow: put the positions in a file", words[i]);
        text_addf(text, "word %s", escaped);
    }
    add_directory(text);
    for (const char *at = head; *at != '\0';) {
        size_t n = strcspn(at, "\n");
        text_addf(text, "head %.*s", (int)n, at);
        at += n + (at[n] == '\n');
    }
    text_addf(text, "plan %s", plan);
    text_addf(text, "steps %" PRIu64, steps);
    now_text(now);
    text_addf(text, "begun at %s", now);
    return CC_OK;
}

/* Whether fd is a file still to be written: under its first name, and not yet under the real one. */
static bool is_fresh(int fd, int directory, const char *file)
{
    struct stat st;

    return is_current(fd, directory, file) && fstat(fd, &st) == 0 && st.st_nlink == 1;
}

/*
 * The file is written under a name of its own, which the lock makes one process's, and linked to its
 * real name when it is whole: link fails where that exists.
 */
static enum cc_status write_new(struct journal *journal, int directory, const char *file,
                                const struct grown_text *text, struct cc_error *err)
{
    size_t size = strlen(file) + sizeof "..new";
    char *fresh = memory_get(size);
    int fd;

    snprintf(fresh, size, ".%s.new", file);
    enum cc_status s = open_file(&fd, directory, fresh, journal->path, O_RDWR | O_CREAT, err);
    if (s == CC_OK)
        s = lock(fd, journal->path, err);
    if (s != CC_OK) {
        if (fd >= 0)
            close(fd);
        free(fresh);
        return s;
    }
    if (!is_fresh(fd, directory, fresh))
        s = cc_fail(err, CC_ENOFIT, "this job has a journal already");
    else if (ftruncate(fd, 0) != 0 || write_all(fd, text->at, text->length, 0) != CC_OK || fsync(fd) != 0)
        s = cannot(err, "write", journal->path);
    else if (linkat(directory, fresh, directory, file, 0) != 0)
        s = errno == EEXIST ? cc_fail(err, CC_ENOFIT, "this job has a journal already")
                            : cannot(err, "create", journal->path);
    if (is_current(fd, directory, fresh))
        unlinkat(directory, fresh, 0);
    if (s == CC_OK && fsync(directory) != 0)
        s = cannot(err, "write", journal->path);
    free(fresh);
    if (s != CC_OK) {
        close(fd);
        return s;
    }
    journal->fd = fd;
    return CC_OK;
}

enum cc_status journal_create(struct journal *journal, char *const *words, size_t count,
                              const char *head, const char *plan, uint64_t steps,
                              struct cc_error *err)
{
    struct grown_text text = { .room = 0 };
    int directory;
    char *path;
    enum cc_status s = describe(&text, words, count, head, plan, steps, err);

    if (s == CC_OK) {
        journal_name(journal->name, words, count);
        s = open_directory(&directory, &path, true, err);
        if (s == CC_OK) {
            char *file = file_of(journal->name);
            free(journal->path);
            journal->path = join(path, file);
            s = write_new(journal, directory, file, &text, err);
            free(file);
            close(directory);
        }
        free(path);
    }
    if (s == CC_OK)
        s = journal_read(journal, text.at, text.length, journal->path, err);
    free(text.at);
    return s;
}

enum cc_status journal_forget(const char *name, struct cc_error *err)
{
    struct place place;
    enum cc_status s = open_place(&place, name, true, err);

    if (s == CC_OK && unlinkat(place.directory, place.file, 0) != 0)
        s = cannot(err, "remove", place.path);
    close_place(&place);
    return s;
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

enum cc_status journal_names(char ***names, size_t *count, struct cc_error *err)
{
    int directory;
    char *path;
    struct dirent *entry;
    enum cc_status s = open_directory(&directory, &path, false, err);
    DIR *dir = NULL;

    *names = NULL;
    *count = 0;
    if (s == CC_OK && directory >= 0 && (dir = fdopendir(directory)) == NULL) {
        s = cannot(err, "read", path);
        close(directory);
    }
    while (dir != NULL && (entry = readdir(dir)) != NULL) {
        size_t length = strlen(entry->d_name), suffix = sizeof SUFFIX - 1;
        if (length <= suffix || strcmp(entry->d_name + length - suffix, SUFFIX) != 0)
            continue;
        char *name = memory_get(length - suffix + 1);
        memcpy(name, entry->d_name, length - suffix);
        name[length - suffix] = '\0';
        if (!is_name(name)) {
            free(name);
            continue;
        }
        *names = memory_resize(*names, (*count + 1) * sizeof **names);
        (*names)[(*count)++] = name;
    }
    if (dir != NULL)
        closedir(dir);
    free(path);
    if (*count > 0)
        qsort(*names, *count, sizeof **names, compare_names);
    return s;
}

void journal_free_names(char **names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(names[i]);
    free(names);
}
