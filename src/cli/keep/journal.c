/* journal.c: see journal.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/keep/journal.h"

#include <errno.h>
#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "cli/base/memory.h"
#include "cli/keep/journal_place.h"
#include "cli/keep/journal_store.h"
#include "cli/keep/journal_text.h"

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
    free(journal->good);
    row_set_clear(&journal->made);
    for (size_t i = 0; i < journal->pass_count; i++) {
        free(journal->passes[i].text);
        row_set_clear(&journal->passes[i].made);
    }
    free(journal->passes);
    journal_init(journal);
}

/* ---- names ---- */

/* What stands in a name as it is: letters, digits and, inside it, a point. */
static bool is_kept(char c, bool inside)
{
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c == '.' && inside);
}

void journal_name(char name[JOURNAL_NAME], char *const *words, size_t count)
{
    uint32_t sum = 0;
    size_t used = 0;

    for (size_t i = 0; i < count; i++) {
        sum = journal_crc(sum, words[i], strlen(words[i]) + 1);
        for (const char *at = words[i]; *at != '\0' && used < JOURNAL_NAME - 24; at++) {
            if (is_kept(*at, used > 0))
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

/* ---- writing lines ---- */

/* How long a failed change has left the file. errno stays. */
static void look_at_length(struct journal *journal)
{
    struct stat st;
    int reason = errno;

    if (fstat(journal->fd, &st) == 0)
        journal->on_disk = (uint64_t)st.st_size;
    errno = reason;
}

/* Cut off a dropped last line, or give the last one the newline that it lacks; synced. */
static bool mend_tail(struct journal *journal)
{
    int fd = journal->fd;
    bool good = true;

    if (journal->no_newline)
        good = store_write(fd, "\n", 1, (off_t)journal->length) == CC_OK && fsync(fd) == 0;
    else if (journal->on_disk != journal->length)
        good = ftruncate(fd, (off_t)journal->length) == 0 && fsync(fd) == 0;
    look_at_length(journal);
    if (!good)
        return false;
    if (journal->no_newline)
        journal_keep(journal, "\n", 1);
    journal->no_newline = false;
    journal->tail = JOURNAL_WHOLE;
    return true;
}

/*
 * Take back what is written of a line, and for good: the next one must not mingle with it. Where that does not succeed
 * it is no whole line, and is dropped later.
 */
static void take_back(struct journal *journal)
{
    if (ftruncate(journal->fd, (off_t)journal->length) == 0)
        (void)!fsync(journal->fd);      /* the change has failed, and says so, whatever becomes of this */
    look_at_length(journal);
}

static enum cc_status not_saved(struct journal *journal, int reason, struct cc_error *err)
{
    return cc_fail(err, CC_EPARSE, "cannot save this in '%.160s': %s; nothing is lost, the place is as before", journal->path,
                   strerror(reason));
}

/* Whether the file at the journal's name is still the one that is held, as long as it was left. */
static bool is_held(struct journal *journal, struct cc_error *err)
{
    journal->adrift = !store_is_held(journal->fd, journal->path, journal->on_disk);
    if (journal->adrift)
        cc_fail(err, CC_EPARSE, "'%.160s' has been removed or replaced since it was opened, by a sync tool or a restore perhaps; "
                "the place is as before: s saves it beside", journal->path);
    return !journal->adrift;
}

/* A line on the disk. */
static enum cc_status add_line(struct journal *journal, const char *text, struct cc_error *err)
{
    char buf[JOURNAL_LINE];
    uint32_t sum = journal->sum;
    size_t length = journal_line(buf, sizeof buf, &sum, text);

    if (journal->length + length + 1 > JOURNAL_MOST)
        return cc_fail(err, CC_EPARSE, "'%.160s' is full, %lu MiB: the place is as before. Write down the step, "
                       "crankcard follow --forget %s, follow it anew and go to that step", journal->path,
                       JOURNAL_MOST / (1024 * 1024), journal->name);
    if (!is_held(journal, err))
        return CC_EPARSE;
    if (!mend_tail(journal))
        return not_saved(journal, errno, err);
    if (store_write(journal->fd, buf, length, (off_t)journal->length) != CC_OK || fsync(journal->fd) != 0) {
        int reason = errno;
        take_back(journal);
        return not_saved(journal, reason, err);
    }
    journal->on_disk = journal->length + length;
    if (!is_held(journal, err)) {
        take_back(journal);
        return CC_EPARSE;
    }
    journal_keep(journal, buf, length);
    journal->sum = sum;
    return CC_OK;
}

void journal_now(char buf[32])
{
    time_t now = time(NULL);
    struct tm tm;

    if (gmtime_r(&now, &tm) == NULL || strftime(buf, 32, "%Y-%m-%dT%H:%M:%SZ", &tm) == 0)
        snprintf(buf, 32, "unknown");
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

/* The journal takes over what store has opened. */
static void take_store(struct journal *journal, struct store *store)
{
    journal->fd = store->fd;
    store->fd = -1;
    free(journal->path);
    journal->path = store->path;
    store->path = NULL;
}

/* Open and read; the file stays with store. */
static enum cc_status open_and_read(struct journal *journal, struct store *store, const char *name, bool lock,
                                    struct cc_error *err)
{
    char *data = NULL;
    size_t length = 0;
    enum cc_status s = store_open(store, name, lock, err);

    snprintf(journal->name, sizeof journal->name, "%s", name);
    if (s == CC_OK)
        s = store_read(&data, &length, store->fd, store->path, err);
    if (s == CC_OK)
        s = journal_read(journal, data, length, store->path, err);
    free(data);
    return s;
}

enum cc_status journal_open(struct journal *journal, const char *name, bool lock, struct cc_error *err)
{
    struct store store;
    enum cc_status s = open_and_read(journal, &store, name, lock, err);

    if (s == CC_OK && lock)
        take_store(journal, &store);
    store_close(&store);
    return s;
}

enum cc_status journal_salvage(struct journal *journal, const char *name, char **kept, struct cc_error *err)
{
    struct store store;
    struct cc_error why;
    enum cc_status s = open_and_read(journal, &store, name, true, &why);

    *kept = NULL;
    if (s != CC_OK && !journal->salvageable)
        cc_fail(err, s, "%s", why.text);
    else if (s == CC_OK)
        s = cc_fail(err, CC_EPARSE, "the journal of '%.60s' is not damaged: crankcard follow --resume %.60s", name, name);
    else
        s = store_keep_damaged(kept, &store, err);
    if (s == CC_OK)
        s = store_create(&store, journal->good, journal->length, true, err);
    if (s == CC_OK) {
        journal->on_disk = journal->length;
        take_store(journal, &store);
    }
    store_close(&store);
    return s;
}

/* "divide-57-1a2b3c4d" -> "divide-57-beside-1a2b3c4d", then "divide-57-beside-2-...": the end stays a checksum's. */
static void beside_name(char name[JOURNAL_NAME], const char *base, int n)
{
    char number[16] = "";
    size_t end = strlen(base), stem = end > JOURNAL_NAME_SUM + 1 ? end - JOURNAL_NAME_SUM - 1 : end;

    if (n > 1)
        snprintf(number, sizeof number, "-%d", n);
    snprintf(name, JOURNAL_NAME, "%.*s-beside%s%s", (int)(stem < 40 ? stem : 40), base, number, base + stem);
}

enum cc_status journal_save_beside(struct journal *journal, struct cc_error *err)
{
    struct store store;
    char name[JOURNAL_NAME];
    enum cc_status s = CC_ENOFIT;

    if (journal->no_newline)
        journal_keep(journal, "\n", 1);
    journal->no_newline = false;
    for (int n = 0; s == CC_ENOFIT && n < 100; n++) {
        if (n == 0)
            strcpy(name, journal->name);
        else
            beside_name(name, journal->name, n);
        s = store_prepare(&store, name, err);
        if (s == CC_OK)
            s = store_create(&store, journal->good, journal->length, false, err);
        if (s == CC_OK) {
            close(journal->fd);
            take_store(journal, &store);
            strcpy(journal->name, name);
            journal->on_disk = journal->length;
            journal->tail = JOURNAL_WHOLE;
            journal->adrift = false;
        }
        store_close(&store);
    }
    return s == CC_OK ? CC_OK : CC_EPARSE;
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

/* What its first and last rows are. */
static void add_ends(struct grown_text *text, const struct journal_course *course)
{
    if (course->only_start)
        text_add(text, "only start");
    if (course->closing)
        text_add(text, "closing");
}

/* How it is to be gone through. A remark too long for a line has been refused before. */
static void describe_course(struct grown_text *text, const struct journal_course *course)
{
    char escaped[MOST_WORD];

    add_ends(text, course);
    for (size_t i = 0; i < course->pass_count; i++)
        if (journal_escape(escaped, sizeof escaped, course->passes[i]))
            text_addf(text, "pass %s", escaped);
    if (course->pieces > 0)
        text_addf(text, "pieces %" PRIu64, course->pieces);
    if (course->has_measure)
        text_addf(text, "measure after %" PRIu64, course->measure);
    if (course->check_quarters)
        text_add(text, "checks quarters");
    else if (course->check_every > 0)
        text_addf(text, "checks every %" PRIu64, course->check_every);
}

/* The request as text. */
static enum cc_status describe(struct grown_text *text, char *const *words, size_t count, const char *head,
                               const char *plan, uint64_t steps, const struct journal_course *course, struct cc_error *err)
{
    char escaped[MOST_WORD], now[32];

    text_addf(text, JOURNAL_KIND "%d", JOURNAL_VERSION);
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
    if (course != NULL)
        describe_course(text, course);
    journal_now(now);
    text_addf(text, "begun at %s", now);
    return CC_OK;
}

enum cc_status journal_create(struct journal *journal, char *const *words, size_t count,
                              const char *head, const char *plan, uint64_t steps,
                              const struct journal_course *course, struct cc_error *err)
{
    struct grown_text text = { .room = 0 };
    struct store store = { -1, -1, NULL, NULL };
    enum cc_status s = describe(&text, words, count, head, plan, steps, course, err);

    if (s == CC_OK) {
        journal_name(journal->name, words, count);
        s = store_prepare(&store, journal->name, err);
    }
    if (s == CC_OK)
        s = store_create(&store, text.at, text.length, false, err);
    if (s == CC_OK) {
        take_store(journal, &store);
        s = journal_read(journal, text.at, text.length, journal->path, err);
    }
    store_close(&store);
    free(text.at);
    return s;
}

/* ---- a journal of format 1 that gets a line of format 2 ---- */

/* A line of format 1 as format 2 has it: what went without saying is said where the request ends. */
static void add_again(struct grown_text *text, const struct journal *journal, const char *line, size_t length)
{
    static const char begun[] = "begun at ";
    bool ends = length > sizeof begun && memcmp(line, begun, sizeof begun - 1) == 0;

    if (ends)
        add_ends(text, &journal->course);
    text_addf(text, "%.*s", (int)length, line);
    if (ends)
        text_addf(text, "pass 1 at %.*s", (int)(length - sizeof begun + 1), line + sizeof begun - 1);
}

/* The same lines under the first one of this format, with checksums of their own. */
static void describe_again(struct grown_text *text, const struct journal *journal)
{
    const char *at = memchr(journal->good, '\n', journal->length), *end = journal->good + journal->length, *stop;

    text_addf(text, JOURNAL_KIND "%d", JOURNAL_VERSION);
    while (at != NULL && ++at < end) {
        stop = memchr(at, '\n', (size_t)(end - at));
        add_again(text, journal, at + JOURNAL_SUM, (size_t)((stop != NULL ? stop : end) - at) - JOURNAL_SUM);
        at = stop;
    }
}

static enum cc_status raise_format(struct journal *journal, struct cc_error *err)
{
    struct grown_text text = { .room = 0 };
    struct store store;

    if (!is_held(journal, err))
        return CC_EPARSE;
    describe_again(&text, journal);
    enum cc_status s = store_prepare(&store, journal->name, err);
    if (s == CC_OK)
        s = store_create(&store, text.at, text.length, true, err);
    if (s == CC_OK) {
        close(journal->fd);
        take_store(journal, &store);
        journal->length = 0;
        journal_keep(journal, text.at, text.length);
        journal->sum = text.sum;
        journal->on_disk = text.length;
        journal->tail = JOURNAL_WHOLE;
        journal->no_newline = false;
        journal->version = JOURNAL_VERSION;
    }
    store_close(&store);
    free(text.at);
    return s;
}

enum cc_status journal_add(struct journal *journal, const char *text, struct cc_error *err)
{
    struct journal_event event;
    enum cc_status s = CC_OK;

    (void)journal_event_read(&event, text, strlen(text));
    if (journal->version < journal_event_since(event.kind))
        s = raise_format(journal, err);
    if (s == CC_OK)
        s = add_line(journal, text, err);
    if (s == CC_OK)
        (void)journal_take(journal, &event);
    free(event.text);
    return s;
}
