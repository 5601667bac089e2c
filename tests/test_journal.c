/*
 * test_journal.c: the journal of follow: what is confirmed comes back, what is not as written is refused,
 * and a refused file is left byte for byte as it was.
 */
#define _POSIX_C_SOURCE 200809L
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <signal.h>
#include <unistd.h>

#include "cli/keep/journal_text.h"
#include "support.h"

static char base[] = "/tmp/crankcard-journal-XXXXXX";
static const char *const typed[] = { "divide", "57", "--head", "my \\ head\n.ini" };
#define HEAD "[head]\nworm = 40\n\n[plate A]\nside 1 = 19 15\n"
#define STEPS 57

static void path_of(char path[300], const char *name)
{
    snprintf(path, 300, "%s/crankcard/%s.journal", base, name);
}

static void remove_all(void)
{
    char command[200];
    snprintf(command, sizeof command, "rm -rf %s", base);
    assert_int_equal(system(command), 0);
    assert_int_equal(mkdir(base, 0700), 0);
}

/* A job before its set-up; how it is gone through has everything there is. */
static void create_fresh(struct journal *journal)
{
    static const char *const passes[] = { "roughing, 4 mm", "finishing \\ 4.5" };
    const struct journal_course course = { .passes = passes, .pass_count = 2, .pieces = 3, .has_measure = true, .measure = 4,
                                           .check_every = 10, .closing = true };
    struct cc_error err;

    journal_init(journal);
    if (journal_create(journal, (char *const *)typed, 4, HEAD, "compound, invented", STEPS, &course, &err) != CC_OK)
        fail_msg("%s", err.text);
}

/* One that is being cut, in one pass. */
static void create(struct journal *journal)
{
    struct cc_error err;

    journal_init(journal);
    if (journal_create(journal, (char *const *)typed, 4, HEAD, "compound, invented", STEPS, NULL, &err) != CC_OK ||
        journal_go_pass(journal, 1, NULL, &err) != CC_OK)
        fail_msg("%s", err.text);
}

static void open_good(struct journal *journal, const char *name)
{
    struct cc_error err;

    journal_init(journal);
    if (journal_open(journal, name, true, &err) != CC_OK)
        fail_msg("%s", err.text);
}

static void refused(const char *name, const char *words_of_it)
{
    struct journal journal;
    struct cc_error err;

    for (int locked = 0; locked < 2; locked++) {
        journal_init(&journal);
        assert_int_equal(journal_open(&journal, name, locked, &err), CC_EPARSE);
        if (strstr(err.text, words_of_it) == NULL)
            fail_msg("'%s' does not say '%s'", err.text, words_of_it);
        journal_clear(&journal);
    }
}

/* A small job. nexts gets the next row before and after each event; returns how many that are. */
static size_t work(struct journal *journal, uint64_t nexts[])
{
    size_t n = 0;

    nexts[n++] = journal->next;
    for (int i = 0; i < 5; i++) {
        assert_int_equal(journal_made(journal, 40 + (unsigned)i, NULL), CC_OK);
        nexts[n++] = journal->next;
    }
    assert_int_equal(journal_back(journal, NULL), CC_OK);
    nexts[n++] = journal->next;
    assert_int_equal(journal_note(journal, "chatter \x01 \\ here", NULL), CC_OK);
    nexts[n++] = journal->next;
    assert_int_equal(journal_go(journal, 20, false, NULL), CC_OK);
    nexts[n++] = journal->next;
    assert_int_equal(journal_made(journal, 3, NULL), CC_OK);
    nexts[n++] = journal->next;
    return n;
}

#define DONE(event) (assert_int_equal((event), CC_OK), nexts[n++] = journal->next)

/* Set-up, two trial rounds, and what can happen in a pass, up to a pass to work() in. */
static size_t begin_rounds(struct journal *journal, uint64_t nexts[])
{
    size_t n = 0;

    nexts[n++] = journal->next;
    DONE(journal_set_up(journal, 1, NULL));
    DONE(journal_set_up(journal, 11, NULL));
    DONE(journal_trial(journal, NULL));
    DONE(journal_made(journal, 5, NULL));
    DONE(journal_go(journal, STEPS, true, NULL));
    DONE(journal_miss(journal, NULL));
    DONE(journal_trial(journal, NULL));
    DONE(journal_go_pass(journal, 1, NULL, NULL));
    DONE(journal_made(journal, 6, NULL));
    DONE(journal_check(journal, false, NULL));
    DONE(journal_check(journal, true, NULL));
    DONE(journal_measure(journal, NULL));
    DONE(journal_go_pass(journal, 3, "second depth", NULL));
    return n - 1;
}

static void test_round_trip(void **state)
{
    struct journal journal;
    uint64_t nexts[16];
    char name[JOURNAL_NAME];
    (void)state;

    remove_all();
    create(&journal);
    assert_int_equal(journal.next, 0);
    work(&journal, nexts);
    strcpy(name, journal.name);
    journal_clear(&journal);

    open_good(&journal, name);
    assert_int_equal(journal.word_count, 4);
    for (size_t i = 0; i < 4; i++)
        assert_string_equal(journal.words[i], typed[i]);
    char here[PATH_MAX];
    assert_non_null(getcwd(here, sizeof here));
    assert_string_equal(journal.directory, here);
    assert_string_equal(journal.head, HEAD);
    assert_string_equal(journal.plan, "compound, invented");
    assert_int_equal(journal.steps, STEPS);
    assert_int_equal(journal.next, 21);
    assert_true(journal.has_note);
    assert_string_equal(journal.last_note, "chatter \x01 \\ here");
    assert_int_equal(journal.last_note_row, 4);
    assert_int_equal(journal_median(&journal), 42);     /* of 3, 40, 41, 42, 43, 44: the upper middle */
    assert_int_equal(journal_go(&journal, STEPS, false, NULL), CC_OK);
    assert_false(journal_done(&journal));
    assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
    assert_false(journal_done(&journal));               /* 4 to 19 and those behind 20 are open */
    for (uint64_t row = 4; row < STEPS; row++) {
        assert_int_equal(journal_go(&journal, row, false, NULL), CC_OK);
        assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
        assert_int_equal(journal_done(&journal), row + 1 == STEPS);
    }
    assert_int_equal(journal_piece(&journal, NULL), CC_OK);
    assert_int_equal(journal.next, 0);
    assert_int_equal(journal.piece, 2);
    journal_clear(&journal);
    open_good(&journal, name);
    assert_int_equal(journal.piece, 2);
    assert_int_equal(journal.next, 0);
    journal_clear(&journal);
}

static void same_place(const struct journal *a, const struct journal *b)
{
    assert_int_equal(a->round, b->round);
    assert_int_equal(a->set_up, b->set_up);
    assert_int_equal(a->tried, b->tried);
    assert_int_equal(a->pass, b->pass);
    assert_int_equal(a->pass_count, b->pass_count);
    assert_int_equal(a->planned, b->planned);
    assert_int_equal(a->piece, b->piece);
    assert_int_equal(a->next, b->next);
    assert_int_equal(a->chosen, b->chosen);
    assert_int_equal(a->checked, b->checked);
    assert_int_equal(a->measured, b->measured);
    assert_int_equal(a->missed, b->missed);
    assert_int_equal(row_set_count(&a->made, 0, STEPS), row_set_count(&b->made, 0, STEPS));
    for (size_t i = 0; i < a->pass_count; i++) {
        assert_int_equal(a->passes[i].begun, b->passes[i].begun);
        assert_int_equal(row_set_count(&a->passes[i].made, 0, STEPS), row_set_count(&b->passes[i].made, 0, STEPS));
        assert_int_equal(a->passes[i].text == NULL, b->passes[i].text == NULL);
        if (a->passes[i].text != NULL)
            assert_string_equal(a->passes[i].text, b->passes[i].text);
    }
}

/* Read from the bytes that it has written so far, it stands at the same place. */
static void reads_the_same(const struct journal *journal)
{
    struct journal again;
    struct cc_error err;

    journal_init(&again);
    if (journal_read(&again, journal->good, journal->length, "x", &err) != CC_OK)
        fail_msg("%s", err.text);
    same_place(&again, journal);
    journal_clear(&again);
}

/* A whole round is made, or all of it but row `but`. */
static void make_round(struct journal *journal, uint64_t but)
{
    if (but < STEPS) {
        assert_int_equal(journal_go(journal, but, true, NULL), CC_OK);
        assert_int_equal(journal_go(journal, but + 1, false, NULL), CC_OK);
    }
    assert_int_equal(journal_go(journal, STEPS, true, NULL), CC_OK);
    assert_int_equal(journal_made(journal, 1, NULL), CC_OK);
    reads_the_same(journal);
}

/* Set-up, trial, passes and pieces: which is at work, what is made of each, and when all is done. */
static void test_passes(void **state)
{
    struct journal journal;
    char open[JOURNAL_ROWS];
    (void)state;

    remove_all();
    create_fresh(&journal);
    assert_int_equal(journal.version, 2);
    assert_int_equal(journal.course.pieces, 3);
    assert_true(journal.course.has_measure && journal.course.measure == 4 && journal.course.check_every == 10);
    assert_true(journal.course.closing && !journal.course.check_quarters);
    assert_string_equal(journal.passes[0].text, "roughing, 4 mm");
    assert_string_equal(journal.passes[1].text, "finishing \\ 4.5");
    assert_int_equal(journal.round, JOURNAL_SET_UP);
    assert_int_equal(journal_set_up(&journal, 7, NULL), CC_OK);
    reads_the_same(&journal);
    assert_int_equal(journal.set_up, 7);
    assert_int_equal(journal_trial(&journal, NULL), CC_OK);
    make_round(&journal, STEPS);
    assert_true(journal_round_done(&journal));
    assert_false(journal_done(&journal));               /* marked, and nothing is cut */
    assert_int_equal(journal_open_pass(&journal), 1);
    assert_int_equal(journal_go_pass(&journal, 1, NULL, NULL), CC_OK);
    assert_int_equal(journal.time_count, 0);            /* a mark's time is no cut's */
    make_round(&journal, STEPS);
    assert_int_equal(journal_open_pass(&journal), 2);
    assert_int_equal(journal_go_pass(&journal, 2, NULL, NULL), CC_OK);
    make_round(&journal, 5);                            /* one left out */
    assert_false(journal_round_done(&journal));
    assert_int_equal(journal_go_pass(&journal, 3, "second depth", NULL), CC_OK);
    assert_int_equal(journal.pass_count, 3);
    make_round(&journal, STEPS);
    assert_int_equal(journal_open_pass(&journal), 2);   /* and it is not forgotten */
    journal_open_words(open, sizeof open, &journal, 2);
    assert_string_equal(open, "step 5");
    assert_int_equal(journal_go_pass(&journal, 2, NULL, NULL), CC_OK);
    assert_int_equal(journal.next, 5);
    reads_the_same(&journal);
    assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
    assert_int_equal(journal_open_pass(&journal), 0);
    assert_false(journal_done(&journal));               /* two pieces more */
    for (int piece = 2; piece <= 3; piece++) {
        assert_int_equal(journal_piece(&journal, NULL), CC_OK);
        assert_int_equal(journal.pass_count, 2);        /* the third was for that piece */
        assert_int_equal(journal_open_pass(&journal), 1);
        make_round(&journal, STEPS);
        assert_int_equal(journal_go_pass(&journal, 2, NULL, NULL), CC_OK);
        make_round(&journal, STEPS);
        assert_int_equal(journal_done(&journal), piece == 3);
    }
    journal_clear(&journal);
}

/* Events where they cannot be are no good lines, whatever their checksum. */
static void test_out_of_place(void **state)
{
    static const char *const lines[] = {
        "made 0 after 1 s at x", "back to 0", "go to 3", "closing wrong at x", "pass 0 at x", "pass 4 at x", "check 0 right at x", "measured 0 at x",
        "piece 2 at x", "set up x", "trial", "check", "pass 1",
    };
    struct journal journal, again;
    struct cc_error err;
    char line[JOURNAL_LINE];
    (void)state;

    remove_all();
    create_fresh(&journal);
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        uint32_t sum = journal.sum;
        char *longer = malloc(journal.length + sizeof line);
        assert_non_null(longer);
        memcpy(longer, journal.good, journal.length);
        size_t n = journal_line(line, sizeof line, &sum, lines[i]);
        memcpy(longer + journal.length, line, n);
        journal_init(&again);
        if (journal_read(&again, longer, journal.length + n, "x", &err) != CC_EPARSE)
            fail_msg("'%s' is taken", lines[i]);
        journal_clear(&again);
        free(longer);
    }
    assert_int_equal(journal_go_pass(&journal, 1, NULL, NULL), CC_OK);
    journal_clear(&journal);
}

/* The check value of CRC-32 (ISO-HDLC): every catalogue of such codes gives it for these nine digits. */
static void test_checksum(void **state)
{
    (void)state;

    assert_int_equal(journal_crc(0, "123456789", 9), 0xCBF43926);
    assert_int_equal(journal_crc(journal_crc(0, "1234", 4), "56789", 5), 0xCBF43926);
}

static void rows_are(const struct journal *journal, const char *open, uint64_t made)
{
    char words[JOURNAL_ROWS];

    journal_rows_words(words, sizeof words, journal, 0, journal_passed(journal));
    assert_string_equal(words, open);
    assert_int_equal(row_set_count(&journal->made, 0, STEPS), made);
}

/* What was confirmed is made, and nothing else, unless it was said to be cut already; the same when it is read again. */
static void test_account(void **state)
{
    struct journal journal;
    char name[JOURNAL_NAME];
    (void)state;

    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    assert_int_equal(journal_go(&journal, 3, false, NULL), CC_OK);
    rows_are(&journal, "the start, steps 1 to 2", 0);
    for (int i = 0; i < 2; i++)
        assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
    assert_int_equal(journal_go(&journal, 10, true, NULL), CC_OK);         /* 5 to 9 are cut */
    rows_are(&journal, "the start, steps 1 to 2", 7);
    assert_int_equal(journal_back(&journal, NULL), CC_OK);                  /* 9 is not after all */
    rows_are(&journal, "the start, steps 1 to 2", 6);
    assert_int_equal(journal_go(&journal, STEPS, false, NULL), CC_OK);
    assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
    rows_are(&journal, "the start, steps 1 to 2, steps 9 to 56", 7);
    assert_int_equal(journal_go(&journal, 1, true, NULL), CC_OK);           /* going back says nothing of what lies between */
    assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
    for (int again = 0; again < 2; again++) {
        rows_are(&journal, "the start, step 2, steps 9 to 56", 8);
        assert_int_equal(journal.next, 2);
        assert_true(row_set_has(&journal.made, 8));
        assert_false(row_set_has(&journal.made, 9));
        journal_clear(&journal);
        open_good(&journal, name);
    }
    assert_int_equal(journal_go(&journal, STEPS, true, NULL), CC_OK);
    assert_int_equal(journal_go(&journal, 0, false, NULL), CC_OK);
    assert_false(journal_done(&journal));
    assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
    assert_true(journal_done(&journal));                                    /* the last that was open */
    assert_int_equal(journal_go(&journal, 5, false, NULL), CC_OK);
    assert_false(journal_done(&journal));                                   /* asked for once more */
    assert_int_equal(journal_piece(&journal, NULL), CC_OK);
    rows_are(&journal, "", 0);
    journal_clear(&journal);
}

/* Runs of rows against a table of them. */
static void test_row_set(void **state)
{
    struct row_set set = { .n = 0 };
    bool in[64] = { false };
    struct row_run gap;
    uint64_t seed = 20240229;
    (void)state;

    for (int n = 0; n < 20000; n++) {
        seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
        uint64_t first = (seed >> 33) % 64, last = first + (seed >> 45) % (64 - first), count = 0, open = first;
        if ((seed >> 60) < 5) {
            row_set_add(&set, first, last);
            memset(in + first, true, (size_t)(last - first + 1));
        } else {
            row_set_remove(&set, first);
            in[first] = false;
        }
        for (uint64_t i = first; i <= last; i++)
            count += in[i];
        while (open <= last && in[open])
            open++;
        assert_int_equal(row_set_count(&set, first, last), count);
        assert_int_equal(row_set_has(&set, last), in[last]);
        assert_int_equal(row_set_gap(&gap, &set, first, last), open <= last);
        if (open <= last) {
            assert_int_equal(gap.first, open);
            while (open <= last && !in[open])
                open++;
            assert_int_equal(gap.last, open - 1);
        }
        for (size_t i = 1; i < set.n; i++)
            assert_true(set.run[i - 1].last + 1 < set.run[i].first);
    }
    row_set_clear(&set);
}

static void test_names(void **state)
{
    char a[JOURNAL_NAME], b[JOURNAL_NAME];
    const char *const one[] = { "divide", "57" }, *const other[] = { "divid", "e57" };
    const char *const odd[] = { "../../etc", ".." };
    struct journal journal;
    struct cc_error err;
    (void)state;

    journal_name(a, (char *const *)one, 2);
    journal_name(b, (char *const *)other, 2);
    assert_string_not_equal(a, b);
    assert_memory_equal(a, "divide-57-", 10);
    journal_name(a, (char *const *)odd, 2);
    assert_null(strchr(a, '/'));
    assert_true(a[0] != '.');
    journal_init(&journal);
    assert_int_equal(journal_open(&journal, "../crankcard/x", false, &err), CC_ENOFIT);
    assert_int_equal(journal_forget("../x", &err), CC_ENOFIT);
    journal_clear(&journal);
}

static void test_permissions_given(void **state)
{
    struct journal journal;
    struct stat st;
    char path[300];
    mode_t old = umask(0);
    (void)state;

    remove_all();
    create(&journal);
    umask(old);
    assert_int_equal(stat(journal.path, &st), 0);
    assert_int_equal(st.st_mode & 07777, 0600);
    snprintf(path, sizeof path, "%s/crankcard", base);
    assert_int_equal(stat(path, &st), 0);
    assert_int_equal(st.st_mode & 07777, 0700);
    journal_clear(&journal);
}

/* A second process cannot have a job that is held; it can when it is let go. */
static void test_lock(void **state)
{
    struct journal journal, other;
    struct cc_error err;
    char name[JOURNAL_NAME];
    int status;
    (void)state;

    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    for (int held = 1; held >= 0; held--) {
        pid_t child = fork();
        if (child == 0) {
            journal_init(&other);
            enum cc_status s = journal_open(&other, name, true, &err);
            bool said = s == CC_EPARSE && strstr(err.text, "followed in another terminal (process ") != NULL;
            enum cc_status f = journal_forget(name, &err);
            _exit(held ? (said && f == CC_EPARSE ? 0 : 1) : (s == CC_OK ? 0 : 2));
        }
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFEXITED(status));
        assert_int_equal(WEXITSTATUS(status), 0);
        journal_clear(&journal);
    }
}

/* Killed between giving the new file its name and taking the first one away: two names of one journal. */
static void test_two_names(void **state)
{
    struct journal journal;
    struct cc_error err;
    char path[300], other[300], name[JOURNAL_NAME];
    (void)state;

    remove_all();
    create(&journal);
    assert_int_equal(journal_made(&journal, 1, &err), CC_OK);
    strcpy(name, journal.name);
    path_of(path, name);
    snprintf(other, sizeof other, "%s/crankcard/.%s.journal.new", base, name);
    journal_clear(&journal);
    assert_int_equal(link(path, other), 0);
    journal_init(&journal);
    assert_int_equal(journal_create(&journal, (char *const *)typed, 4, HEAD, "p", STEPS, NULL, &err), CC_ENOFIT);
    journal_clear(&journal);
    open_good(&journal, name);
    assert_int_equal(journal.next, 1);
    journal_clear(&journal);

    /* Killed before: a beginning that has no name yet is begun again. */
    assert_int_equal(journal_forget(name, &err), CC_OK);
    FILE *file = fopen(other, "wb");
    assert_non_null(file);
    fputs("ccf0f23e crankcard jour", file);
    fclose(file);
    create(&journal);
    assert_int_equal(journal.next, 0);
    journal_clear(&journal);
}

/* In a child: make one step of the job, whoever must create it and however long another holds it. */
static void make_one(void)
{
    struct journal journal;
    char name[JOURNAL_NAME];

    journal_name(name, (char *const *)typed, 4);
    for (unsigned tries = 0; tries < 1000000; tries++) {
        journal_init(&journal);
        enum cc_status s = journal_open(&journal, name, true, NULL);
        if (s == CC_ENOFIT) {
            journal_clear(&journal);
            s = journal_create(&journal, (char *const *)typed, 4, HEAD, "p", STEPS, NULL, NULL);
        }
        if (s == CC_OK && journal.round == JOURNAL_SET_UP)
            s = journal_go_pass(&journal, 1, NULL, NULL);
        if (s == CC_OK)
            _exit(journal_made(&journal, 1, NULL) == CC_OK ? 0 : 1);
        journal_clear(&journal);
    }
    _exit(2);
}

/* Several terminals at once, from nothing: every step of each stands in the end. */
static void test_race(void **state)
{
    enum { TERMINALS = 4 };
    struct journal journal;
    char name[JOURNAL_NAME];
    int status;
    (void)state;

    journal_name(name, (char *const *)typed, 4);
    for (unsigned long i = 0; i < test_rounds(25); i++) {
        remove_all();
        pid_t child[TERMINALS];
        for (int k = 0; k < TERMINALS; k++)
            if ((child[k] = fork()) == 0)
                make_one();
        for (int k = 0; k < TERMINALS; k++) {
            assert_int_equal(waitpid(child[k], &status, 0), child[k]);
            assert_true(WIFEXITED(status));
            assert_int_equal(WEXITSTATUS(status), 0);
        }
        open_good(&journal, name);
        assert_int_equal(journal.next, TERMINALS);
        assert_int_equal(journal.tail, JOURNAL_WHOLE);
        journal_clear(&journal);
    }
}

static void test_twice(void **state)
{
    struct journal journal, other;
    struct cc_error err;
    (void)state;

    remove_all();
    create(&journal);
    assert_int_equal(journal_made(&journal, 1, &err), CC_OK);
    journal_init(&other);
    assert_int_equal(journal_create(&other, (char *const *)typed, 4, HEAD, "compound, invented", STEPS, NULL, &err), CC_ENOFIT);
    journal_clear(&other);
    char name[JOURNAL_NAME];
    strcpy(name, journal.name);
    journal_clear(&journal);
    open_good(&journal, name);
    assert_int_equal(journal.next, 1);
    journal_clear(&journal);
    assert_int_equal(journal_forget(name, &err), CC_OK);
    journal_init(&journal);
    assert_int_equal(journal_open(&journal, name, true, &err), CC_ENOFIT);
    journal_clear(&journal);
}

/* ---- damage ---- */

struct bytes {
    char *at;
    size_t length;
    size_t ends[96];            /* behind each newline */
    size_t lines, first_event;  /* lines in all; lines of the request */
    uint64_t nexts[40];
};

static void make_bytes(struct bytes *bytes, char name[JOURNAL_NAME])
{
    struct journal journal;

    remove_all();
    create_fresh(&journal);
    strcpy(name, journal.name);
    bytes->first_event = 0;
    size_t events = begin_rounds(&journal, bytes->nexts);
    events += work(&journal, bytes->nexts + events) - 1;
    bytes->at = test_read_file(journal.path, &bytes->length);
    bytes->lines = 0;
    for (size_t i = 0; i < bytes->length; i++)
        if (bytes->at[i] == '\n')
            bytes->ends[bytes->lines++] = i + 1;
    bytes->first_event = bytes->lines - events;
    journal_clear(&journal);
}

/* Every length: refused in the request; later the place as of the whole lines, the rest dropped. */
static void test_truncated(void **state)
{
    struct bytes bytes;
    char name[JOURNAL_NAME];
    struct journal journal;
    struct cc_error err;
    (void)state;

    make_bytes(&bytes, name);
    for (size_t n = 0; n <= bytes.length; n++) {
        size_t whole = 0;
        while (whole < bytes.lines && bytes.ends[whole] <= n)
            whole++;
        journal_init(&journal);
        enum cc_status s = journal_read(&journal, bytes.at, n, "x", &err);
        if (whole < bytes.first_event) {
            if (s != CC_EPARSE)
                fail_msg("cut to %zu bytes: not refused", n);
        } else {
            /* With nothing but the newline gone the line is whole. */
            bool only_newline = whole < bytes.lines && n + 1 == bytes.ends[whole];
            bool torn = !only_newline && n > bytes.ends[whole - 1];
            size_t events = whole - bytes.first_event + only_newline;
            if (s != CC_OK || journal.next != bytes.nexts[events] || (journal.tail == JOURNAL_TORN) != torn)
                fail_msg("cut to %zu bytes: %s, next %lu instead of %lu", n, s == CC_OK ? "read" : err.text,
                         (unsigned long)journal.next, (unsigned long)bytes.nexts[events]);
        }
        journal_clear(&journal);
    }
    free(bytes.at);
}

/* The same on the disk for some lengths: the file can be gone on with, and holds what it must. */
static void test_torn_on_disk(void **state)
{
    struct bytes bytes;
    char name[JOURNAL_NAME], path[300];
    struct journal journal;
    (void)state;

    make_bytes(&bytes, name);
    path_of(path, name);
    for (size_t n = bytes.ends[bytes.lines - 2]; n <= bytes.length; n++) {
        FILE *file = fopen(path, "wb");
        assert_non_null(file);
        assert_int_equal(fwrite(bytes.at, 1, n, file), n);
        fclose(file);
        open_good(&journal, name);
        uint64_t next = journal.next;
        assert_int_equal(next, n + 1 >= bytes.length ? 21 : 20);
        assert_int_equal(journal_made(&journal, 1, NULL), CC_OK);
        journal_clear(&journal);
        open_good(&journal, name);
        assert_int_equal(journal.next, next + 1);
        assert_int_equal(journal.tail, JOURNAL_WHOLE);
        journal_clear(&journal);
    }
    free(bytes.at);
}

/* Zeros behind the last line, as a file system may leave after a power cut. */
static void test_zeros(void **state)
{
    struct bytes bytes;
    char name[JOURNAL_NAME];
    struct journal journal;
    struct cc_error err;
    (void)state;

    make_bytes(&bytes, name);
    char *longer = calloc(1, bytes.length + 10000);
    assert_non_null(longer);
    memcpy(longer, bytes.at, bytes.length);
    journal_init(&journal);
    assert_int_equal(journal_read(&journal, longer, bytes.length + 300, "x", &err), CC_OK);
    assert_int_equal(journal.tail, JOURNAL_TORN);
    assert_int_equal(journal.next, 21);
    journal_clear(&journal);
    assert_int_equal(journal_read(&journal, longer, bytes.length + 10000, "x", &err), CC_EPARSE);
    journal_clear(&journal);
    free(longer);
    free(bytes.at);
}

/*
 * Every bit of the file, one at a time. In the request it is refused; in a line of the job too, and what stands before
 * is the salvage; in the last line it is dropped, and said.
 */
static void test_bit_flips(void **state)
{
    struct bytes bytes;
    char name[JOURNAL_NAME];
    struct journal journal;
    struct cc_error err;
    (void)state;

    make_bytes(&bytes, name);
    for (size_t i = 0; i < bytes.length * 8; i++) {
        size_t line = 0;
        while (bytes.ends[line] <= i / 8)
            line++;
        bool request = line < bytes.first_event, last = line + 1 == bytes.lines;
        bytes.at[i / 8] = (char)(bytes.at[i / 8] ^ (1 << i % 8));
        journal_init(&journal);
        enum cc_status s = journal_read(&journal, bytes.at, bytes.length, "x", &err);
        if (s != (last ? CC_OK : CC_EPARSE) || (last && journal.tail == JOURNAL_WHOLE))
            fail_msg("bit %zu of byte %zu: %s", i % 8, i / 8, s == CC_OK ? "not refused" : err.text);
        if (journal.salvageable != (!request && !last))
            fail_msg("bit %zu of byte %zu: salvageable is %d", i % 8, i / 8, journal.salvageable);
        if (!request && (journal.lines != line || journal.next != bytes.nexts[line - bytes.first_event] ||
                         journal.length != bytes.ends[line - 1]))
            fail_msg("bit %zu of byte %zu: good to line %lu", i % 8, i / 8, journal.lines);
        journal_clear(&journal);
        bytes.at[i / 8] = (char)(bytes.at[i / 8] ^ (1 << i % 8));
    }
    free(bytes.at);
}

/* Random bytes put in, taken out, lines swapped and doubled: refused, or the very state of a beginning. */
static void test_random_damage(void **state)
{
    struct bytes bytes;
    char name[JOURNAL_NAME];
    struct journal journal;
    struct cc_error err;
    gmp_randstate_t random;
    unsigned long refusals = 0, rounds = test_rounds(20000);
    (void)state;

    make_bytes(&bytes, name);
    test_random_init(random);
    char *copy = malloc(2 * bytes.length + 64);
    assert_non_null(copy);
    for (unsigned long i = 0; i < rounds; i++) {
        size_t n = bytes.length, at = gmp_urandomm_ui(random, n), size = 1 + gmp_urandomm_ui(random, 40);
        memcpy(copy, bytes.at, n);
        if (at + size > n)
            size = n - at;
        switch (gmp_urandomm_ui(random, 4)) {
        case 0:     /* change */
            for (size_t k = 0; k < size; k++)
                copy[at + k] = (char)gmp_urandomm_ui(random, 256);
            break;
        case 1:     /* take out */
            memmove(copy + at, copy + at + size, n - at - size);
            n -= size;
            break;
        case 2:     /* double a stretch */
            memmove(copy + at + size, copy + at, n - at);
            n += size;
            break;
        default: {  /* double a line */
            size_t line = 1 + gmp_urandomm_ui(random, bytes.lines - 1);
            size_t from = bytes.ends[line - 1], long_ = bytes.ends[line] - from;
            memmove(copy + from + long_, copy + from, n - from);
            n += long_;
        }
        }
        if (n == bytes.length && memcmp(copy, bytes.at, n) == 0)
            continue;
        journal_init(&journal);
        enum cc_status s = journal_read(&journal, copy, n, "x", &err);
        refusals += s != CC_OK || journal.tail != JOURNAL_WHOLE;
        /* Accepted only where all good lines are the journal's own: the damage lies in the last line. */
        if (s == CC_OK && (journal.length > bytes.length || memcmp(copy, bytes.at, (size_t)journal.length) != 0))
            fail_msg("seed %lu, round %lu: damage accepted", test_seed(), i);
        journal_clear(&journal);
    }
    assert_true(refusals > rounds / 2);
    free(copy);
    gmp_randclear(random);
    free(bytes.at);
}

/* ---- files that are not ours to touch ---- */

static void put_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static void unchanged(const char *path, const char *text)
{
    char *now = test_read_file(path, NULL);
    assert_string_equal(now, text);
    free(now);
}

static void test_foreign(void **state)
{
    static const char *const foreign[] = { "", "\n", "hello\n", "7b2f6e31 crankcard journal 1\n", "crankcard journal 1\n",
                                           "# notes\n1 2 3\n" };
    struct journal journal;
    struct cc_error err;
    char path[300], name[JOURNAL_NAME];
    (void)state;

    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    path_of(path, name);
    journal_clear(&journal);
    for (size_t i = 0; i < sizeof foreign / sizeof foreign[0]; i++) {
        put_file(path, foreign[i]);
        refused(name, "is not a journal of crankcard: it is left as it is");
        journal_init(&journal);
        assert_int_equal(journal_create(&journal, (char *const *)typed, 4, HEAD, "p", STEPS, NULL, &err), CC_ENOFIT);
        journal_clear(&journal);
        unchanged(path, foreign[i]);
    }
}

static void test_not_a_file(void **state)
{
    struct journal journal;
    char path[300], target[300], name[JOURNAL_NAME];
    struct cc_error err;
    (void)state;

    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    path_of(path, name);
    journal_clear(&journal);

    snprintf(target, sizeof target, "%s/target", base);
    assert_int_equal(rename(path, target), 0);
    assert_int_equal(symlink(target, path), 0);
    char *before = test_read_file(target, NULL);
    refused(name, "is a symbolic link");
    assert_int_equal(journal_forget(name, &err), CC_EPARSE);
    unchanged(target, before);
    free(before);

    assert_int_equal(unlink(path), 0);
    assert_int_equal(symlink("/nowhere/at/all", path), 0);     /* must not be created through it */
    refused(name, "is a symbolic link");
    journal_init(&journal);
    assert_int_equal(journal_create(&journal, (char *const *)typed, 4, HEAD, "p", STEPS, NULL, &err), CC_ENOFIT);
    journal_clear(&journal);

    assert_int_equal(unlink(path), 0);
    assert_int_equal(mkfifo(path, 0600), 0);
    refused(name, "is not a regular file");
    assert_int_equal(unlink(path), 0);
    assert_int_equal(mkdir(path, 0700), 0);
    refused(name, "");
}

static void test_permissions_found(void **state)
{
    struct journal journal;
    char path[300], directory[300], name[JOURNAL_NAME];
    struct cc_error err;
    (void)state;

    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    path_of(path, name);
    journal_clear(&journal);
    snprintf(directory, sizeof directory, "%s/crankcard", base);

    assert_int_equal(chmod(path, 0666), 0);
    refused(name, "can be written by others");
    assert_int_equal(chmod(path, 0600), 0);
    assert_int_equal(chmod(directory, 0777), 0);
    refused(name, "can be written by others");
    assert_int_equal(chmod(directory, 0700), 0);
    open_good(&journal, name);
    journal_clear(&journal);
    if (geteuid() == 0) {       /* only root can give a file away */
        assert_int_equal(chown(path, 12345, 12345), 0);
        refused(name, "belongs to another user");
        assert_int_equal(chown(path, 0, 0), 0);
        assert_int_equal(chown(directory, 12345, 12345), 0);
        refused(name, "belongs to another user");
        assert_int_equal(chown(directory, 0, 0), 0);
    } else {
        assert_int_equal(chmod(path, 0), 0);
        refused(name, "Permission denied");
    }

    /* A directory that is a link. */
    remove_all();
    char real[300];
    snprintf(real, sizeof real, "%s/real", base);
    assert_int_equal(mkdir(real, 0700), 0);
    assert_int_equal(symlink(real, directory), 0);
    journal_init(&journal);
    assert_int_equal(journal_create(&journal, (char *const *)typed, 4, HEAD, "p", STEPS, NULL, &err), CC_EPARSE);
    assert_non_null(strstr(err.text, "is a symbolic link"));
    journal_clear(&journal);
}

/* No room: the event is refused in words, the place stays, and it can be tried again. */
static void test_no_room(void **state)
{
    struct journal journal;
    struct rlimit old, tight;
    struct cc_error err;
    char name[JOURNAL_NAME];
    (void)state;

    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    assert_int_equal(journal_made(&journal, 1, &err), CC_OK);
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &old), 0);
    for (rlim_t more = 0; more < 20; more++) {
        tight = old;
        tight.rlim_cur = (rlim_t)(journal.length + more);
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &tight), 0);
        assert_int_equal(journal_made(&journal, 1, &err), CC_EPARSE);
        assert_int_equal(setrlimit(RLIMIT_FSIZE, &old), 0);
        assert_non_null(strstr(err.text, "cannot save this in"));
        assert_int_equal(journal.next, 1);
    }
    assert_int_equal(journal_made(&journal, 1, &err), CC_OK);
    journal_clear(&journal);
    open_good(&journal, name);
    assert_int_equal(journal.next, 2);
    assert_int_equal(journal.tail, JOURNAL_WHOLE);
    journal_clear(&journal);
}

/* A journal as long as its reader takes: the next line is refused in words, and what there is still reads. */
static void test_full(void **state)
{
    struct journal journal;
    struct cc_error err;
    char name[JOURNAL_NAME], path[300], line[100], words[80];
    (void)state;

#ifdef __SANITIZE_ADDRESS__
    skip();                     /* minutes, for nothing that the shorter journals do not pass through */
#endif
    remove_all();
    create(&journal);
    strcpy(name, journal.name);
    path_of(path, name);
    uint32_t sum = journal.sum;
    size_t room = JOURNAL_MOST - journal.length - 40;
    journal_clear(&journal);
    FILE *file = fopen(path, "ab");
    assert_non_null(file);
    while (room >= 64) {        /* 64 bytes a line: checksum, blank, 54 bytes, newline */
        snprintf(words, sizeof words, "opened at %-44s", "a day");
        assert_int_equal(journal_line(line, sizeof line, &sum, words), 64);
        fputs(line, file);
        room -= 64;
    }
    assert_int_equal(fclose(file), 0);

    open_good(&journal, name);
    for (int i = 0; i < 4 && journal_go(&journal, 30, false, &err) == CC_OK; i++)
        ;
    assert_int_equal(journal_made(&journal, 1, &err), CC_EPARSE);
    assert_non_null(strstr(err.text, "is full, 64 MiB: the place is as before"));
    assert_true(journal.length <= JOURNAL_MOST);
    journal_clear(&journal);
    open_good(&journal, name);
    assert_int_equal(journal.next, 30);
    journal_clear(&journal);
    remove_all();
}

static void test_no_place(void **state)
{
    struct journal journal;
    struct cc_error err;
    char **names;
    size_t count;
    char home[100];
    (void)state;

    remove_all();
    assert_int_equal(journal_names(&names, &count, &err), CC_OK);
    assert_int_equal(count, 0);
    journal_free_names(names, count);
    snprintf(home, sizeof home, "%s", getenv("HOME") != NULL ? getenv("HOME") : "/");
    setenv("XDG_STATE_HOME", "relative", 1);    /* ignored, as the specification says */
    setenv("HOME", base, 1);
    create(&journal);
    char wanted[300];
    snprintf(wanted, sizeof wanted, "%s/.local/state/crankcard/", base);
    assert_memory_equal(journal.path, wanted, strlen(wanted));
    journal_clear(&journal);
    unsetenv("HOME");
    journal_init(&journal);
    assert_int_equal(journal_create(&journal, (char *const *)typed, 4, HEAD, "p", STEPS, NULL, &err), CC_EPARSE);
    assert_non_null(strstr(err.text, "set HOME or XDG_STATE_HOME"));
    journal_clear(&journal);
    setenv("HOME", home, 1);
    setenv("XDG_STATE_HOME", base, 1);
}

static void test_too_long(void **state)
{
    struct journal journal;
    struct cc_error err;
    char longest[3000];
    char *const words_too_long[] = { longest };
    (void)state;

    remove_all();
    memset(longest, 'x', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    journal_init(&journal);
    assert_int_equal(journal_create(&journal, words_too_long, 1, HEAD, "p", STEPS, NULL, &err), CC_ELIMIT);
    journal_clear(&journal);
    create(&journal);
    longest[JOURNAL_NOTE + 1] = '\0';
    assert_int_equal(journal_note(&journal, longest, &err), CC_ELIMIT);
    memset(longest, '\x01', JOURNAL_NOTE);
    longest[JOURNAL_NOTE] = '\0';
    assert_int_equal(journal_note(&journal, longest, &err), CC_OK);
    char name[JOURNAL_NAME];
    strcpy(name, journal.name);
    journal_clear(&journal);
    open_good(&journal, name);
    assert_string_equal(journal.last_note, longest);
    journal_clear(&journal);
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
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_checksum),          cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_passes),            cmocka_unit_test(test_out_of_place),
        cmocka_unit_test(test_account),           cmocka_unit_test(test_row_set),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_permissions_given), cmocka_unit_test(test_lock),
        cmocka_unit_test(test_two_names),         cmocka_unit_test(test_race),
                   cmocka_unit_test(test_twice),
                   cmocka_unit_test(test_truncated),
        cmocka_unit_test(test_torn_on_disk),      cmocka_unit_test(test_zeros),
        cmocka_unit_test(test_bit_flips),         cmocka_unit_test(test_random_damage),
        cmocka_unit_test(test_foreign),           cmocka_unit_test(test_not_a_file),
        cmocka_unit_test(test_permissions_found), cmocka_unit_test(test_no_room),
        cmocka_unit_test(test_full),              cmocka_unit_test(test_no_place),          cmocka_unit_test(test_too_long),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
