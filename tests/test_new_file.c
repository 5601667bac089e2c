/*
 * test_new_file.c: a file that is replaced is at every moment the old one or the new one, whole, wherever the power goes.
 *
 * The calls that new_file_begin and new_file_end make are noted as they come (the linker's --wrap). After each of them the
 * power may go; then the disk has what was synced, and of the rest any part:
 *
 *   - of bytes that were written and not synced, any number, and of the sectors of 512 bytes they lie in any subset;
 *   - of the names made in a directory or renamed since it was synced, the change or not.
 */
#define _POSIX_C_SOURCE 200809L
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

#include "cli/base/files.h"
#include "support.h"

#define SECTOR 512

enum what { MADE, WRITTEN, SYNCED, RENAMED, FOLDER_SYNCED };
static struct call {
    enum what what;
    size_t bytes;
} calls[64];
static size_t call_count;
static bool noting;
static char base[] = "/tmp/crankcard-file-XXXXXX";

static void note(enum what what, size_t bytes)
{
    if (!noting)
        return;
    assert_true(call_count < sizeof calls / sizeof calls[0]);
    calls[call_count++] = (struct call){ what, bytes };
}

int __real_mkstemp(char *template);
ssize_t __real_write(int fd, const void *data, size_t size);
int __real_fsync(int fd);
int __real_rename(const char *from, const char *to);
int __wrap_mkstemp(char *template);
ssize_t __wrap_write(int fd, const void *data, size_t size);
int __wrap_fsync(int fd);
int __wrap_rename(const char *from, const char *to);

int __wrap_mkstemp(char *template)
{
    note(MADE, 0);
    return __real_mkstemp(template);
}

ssize_t __wrap_write(int fd, const void *data, size_t size)
{
    ssize_t n = __real_write(fd, data, size);
    note(WRITTEN, n > 0 ? (size_t)n : 0);
    return n;
}

int __wrap_fsync(int fd)
{
    struct stat st;

    assert_int_equal(fstat(fd, &st), 0);
    note(S_ISDIR(st.st_mode) ? FOLDER_SYNCED : SYNCED, 0);
    return __real_fsync(fd);
}

int __wrap_rename(const char *from, const char *to)
{
    note(RENAMED, 0);
    return __real_rename(from, to);
}

static void path_of(char path[200], const char *name)
{
    snprintf(path, 200, "%s/%s", base, name);
}

static void write_whole(const char *path, size_t size)
{
    struct new_file file;
    struct cc_error err;

    call_count = 0;
    noting = true;
    assert_int_equal(new_file_begin(&file, path, &err), CC_OK);
    for (size_t i = 0; i < size; i++)
        putc((int)('a' + i % 26), file.stream);
    enum cc_status s = new_file_end(&file, &err);
    noting = false;
    if (s != CC_OK)
        fail_msg("%s", err.text);
}

/* What of the new bytes may be on the disk when `written` were written and the first `synced` of them synced. */
static unsigned long contents(bool *whole, size_t synced, size_t written, size_t size)
{
    unsigned long states = 0;

    *whole = synced == size;
    for (size_t length = synced; length <= written; length++) {
        size_t sectors = length == synced ? 0 : (length - 1) / SECTOR - synced / SECTOR + 1;
        states += 1UL << sectors;
    }
    return states;
}

struct disk {
    bool made, made_kept, renamed, renamed_kept;
    size_t written, synced;
};

static void after(struct disk *disk, const struct call *call)
{
    switch (call->what) {
    case MADE:
        disk->made = true;
        break;
    case WRITTEN:
        disk->written += call->bytes;
        break;
    case SYNCED:
        disk->synced = disk->written;
        break;
    case RENAMED:
        disk->renamed = true;
        break;
    case FOLDER_SYNCED:
        disk->made_kept = disk->made;
        disk->renamed_kept = disk->renamed;
        break;
    }
}

/* Every state that the power may leave after the call; returns how many. may_be_new: that the name may lead to the new file. */
static unsigned long states_of(const struct disk *disk, size_t size, bool *may_be_old, bool *may_be_new)
{
    bool whole;
    unsigned long inside = contents(&whole, disk->synced, disk->written, size);

    *may_be_old = !disk->renamed_kept;
    *may_be_new = disk->renamed;
    if (disk->renamed && !whole)
        fail_msg("renamed with %zu of %zu bytes synced: the name may lead to a part of the file", disk->synced, size);
    return (unsigned long)(*may_be_old + *may_be_new) * inside;
}

static void test_orders(void **state)
{
    static const size_t sizes[] = { 0, 1, 511, 512, 513, 1500, 3000 };
    char path[200];
    (void)state;

    path_of(path, "list.csv");
    for (size_t k = 0; k < 2 * sizeof sizes / sizeof sizes[0]; k++) {
        size_t size = sizes[k / 2];
        struct disk disk = { .made = false };
        unsigned long states = 0, expected = 0;
        bool may_be_old = true, may_be_new = false;
        if (k % 2 == 0)         /* new, and over an old one */
            unlink(path);
        write_whole(path, size);
        for (size_t i = 0; i < call_count; i++) {
            after(&disk, &calls[i]);
            states += states_of(&disk, size, &may_be_old, &may_be_new);
        }
        /* When it is said to be written it is the new one, whatever happens. */
        assert_false(may_be_old);
        assert_true(may_be_new);
        assert_int_equal(disk.written, size);
        /*
         * make, write (nothing where there is nothing), sync, rename, sync the folder: one state each, but all contents
         * between write and sync, and either name between rename and sync.
         */
        bool whole;
        expected = 1 + (size > 0 ? contents(&whole, 0, size, size) : 0) + 1 + 2 + 1;
        assert_int_equal(states, expected);
        assert_int_equal(call_count, size > 0 ? 5 : 4);
        size_t length;
        char *data = test_read_file(path, &length);
        assert_int_equal(length, size);
        free(data);
    }
}

/* Links are followed, a last one that leads to nothing too; a circle of them is refused. */
static void test_links(void **state)
{
    char link_path[200], folder[200], target[200], loop[200];
    struct new_file file;
    struct cc_error err;
    struct stat st;
    (void)state;

    path_of(folder, "real");
    path_of(target, "real/target.csv");
    path_of(link_path, "link.csv");
    path_of(loop, "loop.csv");
    assert_int_equal(mkdir(folder, 0700), 0);
    assert_int_equal(symlink("second.csv", link_path), 0);
    char second[200];
    path_of(second, "second.csv");
    assert_int_equal(symlink("real/target.csv", second), 0);
    for (int again = 0; again < 2; again++) {
        write_whole(link_path, 10);
        assert_int_equal(lstat(link_path, &st), 0);
        assert_true(S_ISLNK(st.st_mode));
        assert_int_equal(lstat(target, &st), 0);
        assert_true(S_ISREG(st.st_mode));
        assert_int_equal(st.st_size, 10);
    }
    assert_int_equal(symlink("loop.csv", loop), 0);
    assert_int_equal(new_file_begin(&file, loop, &err), CC_EPARSE);
    assert_non_null(strstr(err.text, "cannot follow the links of"));
    assert_non_null(strstr(err.text, "symbolic links"));        /* ELOOP, as every C library words it */
}

static int begin(void **state)
{
    (void)state;
    return mkdtemp(base) == NULL ? -1 : 0;
}

static int end(void **state)
{
    char command[200];
    (void)state;
    snprintf(command, sizeof command, "rm -rf %s", base);
    return system(command);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(test_orders), cmocka_unit_test(test_links) };
    return cmocka_run_group_tests(tests, begin, end);
}
