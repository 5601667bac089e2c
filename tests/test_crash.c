/*
 * test_crash.c: the power goes at every moment: every state that may then be on the disk, and the job resumed from it.
 *
 * A file system promises that what was synced is there. Of what was written and not synced any part may be: the file
 * may have any length between the old and the new, and each sector that the new bytes touch may be on the disk or
 * not, whatever became of the others; bytes that are not read as zero. Sectors of 512 and of 4096 bytes.
 */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/keep/journal.h"
#include "support.h"

static char base[] = "/tmp/crankcard-crash-XXXXXX";
static const char *const typed[] = { "divide", "57", "--head", "shop.ini" };
#define HEAD "[head]\nworm = 40\n\n[plate A]\nside 1 = 19 15\n"
#define STEPS 57

/* One append: the file before and behind it, and the step that comes next by each. */
struct append {
    size_t from, to;
    uint64_t next_before, next_after;
};

struct states {
    unsigned long of[2];        /* states of the disk looked at, by sectors of 512 and of 4096 bytes */
    unsigned long torn, stepped;        /* of those: dropped, and read as the step after */
};

static void create(struct journal *journal)
{
    struct cc_error err;

    journal_init(journal);
    if (journal_create(journal, (char *const *)typed, 4, HEAD, "plain, plate A, 19 circle, 57 steps, 0", STEPS, NULL, &err) != CC_OK)
        fail_msg("%s", err.text);
}

static void put_file(const char *path, const char *data, size_t length)
{
    int fd = open(path, O_WRONLY | O_TRUNC);

    assert_true(fd >= 0);
    assert_int_equal(write(fd, data, length), length);
    close(fd);
}

/* Events of every kind, with remarks that make lines as long as they come. Returns how many. */
static size_t work(struct journal *journal, struct append *appends, size_t most)
{
    char remark[JOURNAL_NOTE + 1];
    size_t n = 0;

    memset(remark, '\x01', JOURNAL_NOTE);       /* four bytes each in the file */
    remark[JOURNAL_NOTE] = '\0';
    for (; n < most; n++) {
        struct append *a = &appends[n];
        a->from = journal->length;
        a->next_before = journal->next;
        enum cc_status s = n == 0       ? journal_set_up(journal, 1, NULL)
                           : n == 1     ? journal_trial(journal, NULL)
                           : n == 2     ? journal_go_pass(journal, 1, NULL, NULL)
                           : n == 8     ? journal_go(journal, 30, true, NULL)
                           : n == 9     ? journal_opened(journal, NULL)
                           : n == 10    ? journal_piece(journal, NULL)
                           : n == 11    ? journal_go_pass(journal, journal->pass_count + 1, remark, NULL)
                           : n == 14    ? journal_check(journal, false, NULL)
                           : n == 15    ? journal_measure(journal, NULL)
                           : n % 7 == 3 ? journal_note(journal, remark + n * 5 % JOURNAL_NOTE, NULL)
                           : n % 7 == 5 ? journal_back(journal, NULL)
                                        : journal_made(journal, 40, NULL);
        assert_int_equal(s, CC_OK);
        a->to = journal->length;
        a->next_after = journal->next;
    }
    return n;
}

/* The bytes of all good lines and the part of the new one that is on the disk. */
static void put_sectors(char *disk, const char *whole, size_t from, size_t length, size_t sector, unsigned subset)
{
    memcpy(disk, whole, from);
    for (size_t i = from; i < length; i++)
        disk[i] = (subset >> (i / sector - from / sector) & 1) != 0 ? whole[i] : '\0';
}

static void check_state(struct states *states, const char *disk, size_t length, const struct append *a, const char *path,
                        const char *name, bool on_disk)
{
    struct journal journal;
    struct cc_error err;

    journal_init(&journal);
    enum cc_status s = journal_read(&journal, disk, length, "journal", &err);
    if (s != CC_OK)
        fail_msg("append %zu..%zu, %zu bytes: refused: %s", a->from, a->to, length, err.text);
    if (journal.next != a->next_before && journal.next != a->next_after)
        fail_msg("append %zu..%zu, %zu bytes: step %lu", a->from, a->to, length, (unsigned long)journal.next);
    /* Ahead only where the line stands whole, its newline apart; and nothing is dropped in silence. */
    bool whole = length + 1 >= a->to && journal.length + 1 >= a->to;
    if (journal.next != a->next_before && !whole)
        fail_msg("append %zu..%zu, %zu bytes: ahead of a line that is not there", a->from, a->to, length);
    if (journal.tail == JOURNAL_WHOLE && length > a->from && !whole)
        fail_msg("append %zu..%zu, %zu bytes: dropped in silence", a->from, a->to, length);
    states->torn += journal.tail != JOURNAL_WHOLE;
    states->stepped += journal.next != a->next_before;
    uint64_t next = journal.next;
    journal_clear(&journal);
    if (!on_disk)
        return;
    put_file(path, disk, length);
    for (int again = 0; again < 2; again++) {
        s = journal_open(&journal, name, true, &err);
        bool set_up = journal.round == JOURNAL_SET_UP;
        if (s != CC_OK || journal.next != next + (set_up ? 0 : (unsigned)again) || (set_up && again == 1 && journal.set_up != 5))
            fail_msg("append %zu..%zu, %zu bytes, on the disk: %s", a->from, a->to, length, err.text);
        s = again > 0 ? CC_OK : set_up ? journal_set_up(&journal, 5, &err) : journal_made(&journal, 1, &err);
        if (s != CC_OK)
            fail_msg("append %zu..%zu, %zu bytes: not gone on with: %s", a->from, a->to, length, err.text);
        journal_clear(&journal);
    }
}

static unsigned sectors_touched(const struct append *a, size_t sector)
{
    return (unsigned)((a->to - 1) / sector - a->from / sector + 1);
}

/*
 * Every append, every length, every subset of the sectors; each state read, and where the line crosses a sector
 * resumed from the disk and gone on with.
 */
static void test_appends(void **state)
{
    static const size_t sectors[] = { 512, 4096 };
    enum { APPENDS = 40 };
    struct append appends[APPENDS];
    struct states states = { .torn = 0 };
    unsigned long expected[2] = { 0, 0 };
    struct journal journal;
    size_t length;
    char name[JOURNAL_NAME], path[300];
    (void)state;

    create(&journal);
    work(&journal, appends, APPENDS);
    strcpy(name, journal.name);
    snprintf(path, sizeof path, "%s", journal.path);
    char *whole = test_read_file(path, &length), *disk = malloc(length);
    assert_non_null(disk);
    assert_int_equal(length, appends[APPENDS - 1].to);
    journal_clear(&journal);
    unsigned crossings = 0;
    for (int k = 0; k < 2; k++) {
        for (size_t i = 0; i < APPENDS; i++) {
            const struct append *a = &appends[i];
            unsigned touched = sectors_touched(a, sectors[k]);
            crossings += touched > 1;
            expected[k] += (a->to - a->from + 1) << touched;
            for (size_t n = a->from; n <= a->to; n++) {
                for (unsigned subset = 0; subset < 1U << touched; subset++) {
                    put_sectors(disk, whole, a->from, n, sectors[k], subset);
                    check_state(&states, disk, n, a, path, name, touched > 1 && n % 128 == 0);
                    states.of[k]++;
                }
            }
        }
    }
    for (int k = 0; k < 2; k++) {
        assert_int_equal(states.of[k], expected[k]);
        assert_true(states.of[k] > 5000);
    }
    assert_true(crossings > 6);
    assert_true(states.torn > 5000);
    assert_true(states.stepped > APPENDS);
    free(disk);
    free(whole);
}

/* ---- the journal's beginning ---- */

/* What was made or synced, in order: directories and the file by their inodes. */
static struct {
    enum { MADE_FOLDER, SYNCED, LINKED } what;
    ino_t inode, above;
} events[64];
static size_t event_count;

int __real_mkdir(const char *path, mode_t mode);
int __real_fsync(int fd);
int __real_linkat(int from, const char *old, int to, const char *new, int flags);
int __wrap_mkdir(const char *path, mode_t mode);
int __wrap_fsync(int fd);
int __wrap_linkat(int from, const char *old, int to, const char *new, int flags);

static ino_t inode_of(const char *path)
{
    struct stat st;
    assert_int_equal(stat(path, &st), 0);
    return st.st_ino;
}

int __wrap_mkdir(const char *path, mode_t mode)
{
    int result = __real_mkdir(path, mode);

    if (result == 0 && event_count < 64) {
        char above[300];
        snprintf(above, sizeof above, "%s/..", path);
        events[event_count].what = MADE_FOLDER;
        events[event_count].inode = inode_of(path);
        events[event_count++].above = inode_of(above);
    }
    return result;
}

static unsigned fail_fsync;      /* so many of the next ones fail */

int __wrap_fsync(int fd)
{
    struct stat st;

    if (fail_fsync > 0) {
        fail_fsync--;
        errno = EIO;
        return -1;
    }

    if (event_count < 64 && fstat(fd, &st) == 0) {
        events[event_count].what = SYNCED;
        events[event_count++].inode = st.st_ino;
    }
    return __real_fsync(fd);
}

int __wrap_linkat(int from, const char *old, int to, const char *new, int flags)
{
    struct stat file, folder;
    int result = __real_linkat(from, old, to, new, flags);

    if (result == 0 && event_count < 64 && fstatat(to, new, &file, 0) == 0 && fstat(to, &folder) == 0) {
        events[event_count].what = LINKED;
        events[event_count].inode = file.st_ino;
        events[event_count++].above = folder.st_ino;
    }
    return result;
}

static bool is_synced(ino_t inode, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++)
        if (events[i].what == SYNCED && events[i].inode == inode)
            return true;
    return false;
}

/*
 * A new job in a home where nothing is: every directory's name is synced in the one above it, the file before it gets its
 * name, and the name after that. So a power cut leaves the whole journal or none, and none that was said to be there is lost.
 */
static void test_beginning(void **state)
{
    char home[200], deep[300];
    struct journal journal;
    size_t made = 0, linked = 0;
    (void)state;

    snprintf(home, sizeof home, "%s/home", base);
    assert_int_equal(__real_mkdir(home, 0700), 0);
    snprintf(deep, sizeof deep, "%s/of/a/user", home);
    setenv("XDG_STATE_HOME", deep, 1);
    event_count = 0;
    create(&journal);
    size_t count = event_count;
    journal_clear(&journal);
    setenv("XDG_STATE_HOME", base, 1);
    assert_true(count < 64);
    for (size_t i = 0; i < count; i++) {
        made += events[i].what == MADE_FOLDER;
        linked += events[i].what == LINKED;
        if (events[i].what != SYNCED && !is_synced(events[i].above, i, count))
            fail_msg("event %zu: the name of what was made is not synced in the directory above it", i);
        if (events[i].what == LINKED && !is_synced(events[i].inode, 0, i))
            fail_msg("event %zu: the file has its name before it is synced", i);
    }
    assert_int_equal(made, 4);      /* of, a, user, crankcard */
    assert_int_equal(linked, 1);
}

/* The mending itself fails, once or twice: nothing is taken for saved, and nothing for taken away. */
static void test_mending_fails(void **state)
{
    static const char *const ends[] = { "0123abcd made 2 aft", "" };
    struct journal journal;
    struct cc_error err;
    char name[JOURNAL_NAME], path[300];
    (void)state;

    journal_name(name, (char *const *)typed, 4);
    journal_forget(name, &err);
    for (size_t i = 0; i < 2; i++) {
        for (unsigned fails = 1; fails < 4; fails++) {
            create(&journal);
            assert_int_equal(journal_go_pass(&journal, 1, NULL, &err), CC_OK);
            assert_int_equal(journal_made(&journal, 1, &err), CC_OK);
            strcpy(name, journal.name);
            snprintf(path, sizeof path, "%s", journal.path);
            size_t length = journal.length;
            journal_clear(&journal);
            int fd = open(path, O_WRONLY | O_APPEND);
            assert_true(fd >= 0);
            if (i == 0)
                assert_int_equal(write(fd, ends[i], strlen(ends[i])), strlen(ends[i]));
            else
                assert_int_equal(ftruncate(fd, (off_t)length - 1), 0);      /* only the newline is missing */
            close(fd);
            assert_int_equal(journal_open(&journal, name, true, &err), CC_OK);
            fail_fsync = fails;
            while (journal_made(&journal, 1, &err) != CC_OK) {
                if (journal.adrift || journal.next != 1 || strstr(err.text, "nothing is lost") == NULL)
                    fail_msg("end %zu, %u failures: %s", i, fails, err.text);
            }
            assert_int_equal(fail_fsync, 0);
            assert_int_equal(journal.next, 2);
            journal_clear(&journal);
            assert_int_equal(journal_open(&journal, name, true, &err), CC_OK);
            assert_int_equal(journal.next, 2);
            assert_int_equal(journal.tail, JOURNAL_WHOLE);
            journal_clear(&journal);
            assert_int_equal(journal_forget(name, &err), CC_OK);
        }
    }
}

static int begin(void **state)
{
    (void)state;
    if (mkdtemp(base) == NULL)
        return -1;
    return setenv("XDG_STATE_HOME", base, 1);
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
    const struct CMUnitTest tests[] = { cmocka_unit_test(test_appends), cmocka_unit_test(test_beginning),
                                       cmocka_unit_test(test_mending_fails) };
    return cmocka_run_group_tests(tests, begin, end);
}
