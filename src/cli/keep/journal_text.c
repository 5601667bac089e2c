/*
 * journal_text.c: the lines of a journal: checksums, escapes, and what they say when they are read again.
 */
#include "cli/keep/journal_text.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/utf8.h"
#include "cli/base/memory.h"
#include "cli/keep/journal_place.h"

#define SUM_DIGITS (JOURNAL_SUM - 1)

static char *copy_text(const char *text, size_t length)
{
    char *copy = memory_get(length + 1);
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

/* ---- checksums ---- */

/* As in IEEE 802.3 (reflected, polynomial EDB88320), four bits at a time. */
uint32_t journal_crc(uint32_t sum, const char *data, size_t length)
{
    static const uint32_t table[16] = {
        0x00000000, 0x1DB71064, 0x3B6E20C8, 0x26D930AC, 0x76DC4190, 0x6B6B51F4,
        0x4DB26158, 0x5005713C, 0xEDB88320, 0xF00F9344, 0xD6D6A3E8, 0xCB61B38C,
        0x9B64C2B0, 0x86D3D2D4, 0xA00AE278, 0xBDBDF21C,
    };

    sum = ~sum;
    for (size_t i = 0; i < length; i++) {
        sum ^= (unsigned char)data[i];
        sum = (sum >> 4) ^ table[sum & 15];
        sum = (sum >> 4) ^ table[sum & 15];
    }
    return ~sum;
}

size_t journal_line(char *buf, size_t size, uint32_t *sum, const char *text)
{
    *sum = journal_crc(journal_crc(*sum, text, strlen(text)), "\n", 1);
    return (size_t)snprintf(buf, size, "%08" PRIx32 " %s\n", *sum, text);
}

/* ---- text that may hold anything ---- */

bool journal_escape(char *buf, size_t size, const char *text)
{
    size_t used = 0;

    for (size_t n; *text != '\0'; text += n) {
        n = *text != '\\' ? cc_utf8_shown(text, 4) : 0;
        if (used + (n > 0 ? n : 4) >= size)
            return false;
        if (n > 0)
            memcpy(buf + used, text, n);
        else
            snprintf(buf + used, size - used, "\\x%02x", (unsigned char)*text);
        used += n > 0 ? n : 4;
        n = n > 0 ? n : 1;
    }
    buf[used] = '\0';
    return true;
}

static int hex_value(char c)
{
    return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

/* The text that journal_escape was given, to be freed; NULL where it is not of that form. */
static char *unescape(const char *text, size_t length)
{
    char *out = memory_get(length + 1);
    size_t used = 0;

    for (size_t i = 0; i < length; i++) {
        char c = text[i];
        if (c == '\\') {
            int high = i + 3 < length ? hex_value(text[i + 2]) : -1;
            int low = i + 3 < length ? hex_value(text[i + 3]) : -1;
            if (high < 0 || low < 0 || text[i + 1] != 'x' || (high == 0 && low == 0)) {
                free(out);
                return NULL;
            }
            c = (char)(16 * high + low);
            i += 3;
        }
        out[used++] = c;
    }
    out[used] = '\0';
    return out;
}

/* ---- reading lines ---- */

struct line {
    const char *text;           /* behind the checksum and its blank */
    size_t length;
    uint32_t sum;               /* up to and with this line */
};

/*
 * Take the line data[0 .. length-1], its newline not counted. Returns false where its checksum does
 * not belong to it and all before it.
 */
static bool take_line(struct line *line, const char *data, size_t length, uint32_t before)
{
    uint32_t written = 0;

    if (length < JOURNAL_SUM || data[SUM_DIGITS] != ' ')
        return false;
    for (int i = 0; i < SUM_DIGITS; i++) {
        int digit = hex_value(data[i]);
        if (digit < 0)
            return false;
        written = written * 16 + (uint32_t)digit;
    }
    line->text = data + JOURNAL_SUM;
    line->length = length - JOURNAL_SUM;
    line->sum = journal_crc(journal_crc(before, line->text, line->length), "\n", 1);
    return line->sum == written;
}

/* Whether line begins with word and a blank (or is word alone); *rest is what follows. */
static bool begins(const struct line *line, const char *word, const char **rest, size_t *rest_length)
{
    size_t n = strlen(word);

    if (line->length < n || memcmp(line->text, word, n) != 0)
        return false;
    if (line->length > n && line->text[n] != ' ')
        return false;
    *rest = line->text + n + (line->length > n);
    *rest_length = line->length - n - (line->length > n);
    return true;
}

/* The number at the head of text; *rest behind it and its blank. false where there is none. */
static bool take_number(uint64_t *number, const char **text, size_t *length)
{
    size_t i = 0;
    uint64_t n = 0;

    for (; i < *length && (*text)[i] >= '0' && (*text)[i] <= '9' && n < UINT64_MAX / 10 - 1; i++)
        n = 10 * n + (uint64_t)((*text)[i] - '0');
    if (i == 0 || (i < *length && (*text)[i] != ' '))
        return false;
    i += i < *length;
    *text += i;
    *length -= i;
    *number = n;
    return true;
}

/* Whether the text begins with word, which is taken off then. */
static bool take_word(const char *word, const char **text, size_t *length)
{
    size_t n = strlen(word);

    if (*length < n || memcmp(*text, word, n) != 0)
        return false;
    *text += n;
    *length -= n;
    return true;
}

/* ---- events ---- */

static const struct {
    const char *name, *word;    /* in the records, in the journal */
    bool numbered;              /* a number stands behind the word; else the time */
    unsigned since;             /* this version of the format */
} events[EVENT_KINDS] = {
    [EVENT_BEGUN] = { "begun", "begun at", false, 1 },     [EVENT_SET_UP] = { "set_up", "set up", true, 2 },
    [EVENT_TRIAL] = { "trial", "trial at", false, 2 },     [EVENT_PASS] = { "pass", "pass", true, 2 },
    [EVENT_MADE] = { "made", "made", true, 1 },            [EVENT_BACK] = { "back", "back to", true, 1 },
    [EVENT_GO] = { "go", "go to", true, 1 },               [EVENT_NOTE] = { "note", "note", true, 1 },
    [EVENT_CHECK] = { "check", "check", true, 2 },         [EVENT_MEASURED] = { "measured", "measured", true, 2 },
    [EVENT_MISSED] = { "closing_wrong", "closing wrong at", false, 2 },
    [EVENT_OPENED] = { "opened", "opened at", false, 1 },  [EVENT_PIECE] = { "piece", "piece", true, 1 },
};

const char *journal_event_name(enum journal_kind kind)
{
    return events[kind].name;
}

unsigned journal_event_since(enum journal_kind kind)
{
    return events[kind].since;
}

/* What stands between the number and the time. */
static bool read_middle(struct journal_event *event, const char **text, size_t *length)
{
    if (event->kind == EVENT_MADE) {
        event->has_seconds = take_word("after ", text, length) && take_number(&event->seconds, text, length);
        take_word("s ", text, length);
        return event->has_seconds;
    }
    if (event->kind == EVENT_CHECK) {
        event->right = take_word("right ", text, length);
        return event->right || take_word("wrong ", text, length);
    }
    event->from = event->step;
    event->has_from = event->kind == EVENT_GO && take_word("cut from ", text, length);
    return !event->has_from || (take_number(&event->from, text, length) && event->from < event->step);
}

static void take_time(struct journal_event *event, const char **text, size_t *length)
{
    const char *blank = memchr(*text, ' ', *length);
    size_t n = blank != NULL ? (size_t)(blank - *text) : *length;

    if (n < sizeof event->at)
        memcpy(event->at, *text, n);
    n += blank != NULL;
    *text += n;
    *length -= n;
}

/* What stands behind the number: the time, and behind that the remark of a pass that was not planned; of a remark that alone. */
static bool read_rest(struct journal_event *event, const char *text, size_t length)
{
    bool note = event->kind == EVENT_NOTE, timed = !note && (!events[event->kind].numbered || take_word("at ", &text, &length));

    if (timed)
        take_time(event, &text, &length);
    if (event->kind == EVENT_PASS && !timed)
        return false;
    if (!note && (event->kind != EVENT_PASS || length == 0))
        return true;
    event->text = unescape(text, length);
    return event->text != NULL;
}

bool journal_event_read(struct journal_event *event, const char *text, size_t length)
{
    const struct line line = { text, length, 0 };
    int kind = EVENT_BEGUN;

    while (kind < EVENT_KINDS && !begins(&line, events[kind].word, &text, &length))
        kind++;
    *event = (struct journal_event){ .kind = (enum journal_kind)kind };
    if (kind == EVENT_KINDS)
        return false;
    bool numbered = events[kind].numbered;
    event->has_step = numbered && kind != EVENT_PASS && kind != EVENT_PIECE;
    return (!numbered || take_number(&event->step, &text, &length)) && read_middle(event, &text, &length) &&
           read_rest(event, text, length);
}

/* What a line says of the place. Returns false where it cannot be so. */
static bool replay(struct journal *journal, const struct line *line)
{
    struct journal_event event;
    bool good = journal_event_read(&event, line->text, line->length) && journal->version >= events[event.kind].since &&
                journal_take(journal, &event);

    free(event.text);
    return good;
}

/* ---- the request ---- */

static void add_word(struct journal *journal, char *word)
{
    journal->words = memory_resize(journal->words, (journal->word_count + 1) * sizeof *journal->words);
    journal->words[journal->word_count++] = word;
}

static void add_head_line(struct journal *journal, const char *text, size_t length)
{
    size_t old = journal->head != NULL ? strlen(journal->head) : 0;
    journal->head = memory_resize(journal->head, old + length + 2);
    memcpy(journal->head + old, text, length);
    memcpy(journal->head + old + length, "\n", 2);
}

static bool replay_word(struct journal *journal, const char *rest, size_t length)
{
    char *word = unescape(rest, length);

    if (word != NULL)
        add_word(journal, word);
    return word != NULL;
}

/* The pass that a line plans. */
static bool replay_planned(struct journal *journal, const char *rest, size_t length)
{
    char *text = unescape(rest, length);

    if (text != NULL)
        journal_add_pass(journal, text);
    free(text);
    return text != NULL;
}

/* A line of how the job is to be gone through; they stand behind the steps. */
static bool replay_course(struct journal *journal, const struct line *line)
{
    struct journal_course *course = &journal->course;
    const char *rest;
    size_t length;

    if (begins(line, "closing", &rest, &length))
        return course->closing = true;
    if (begins(line, "only start", &rest, &length))
        return course->only_start = true;
    if (begins(line, "pass", &rest, &length))
        return replay_planned(journal, rest, length);
    if (begins(line, "pieces", &rest, &length))
        return take_number(&course->pieces, &rest, &length);
    if (begins(line, "measure after", &rest, &length))
        return course->has_measure = take_number(&course->measure, &rest, &length);
    if (begins(line, "checks quarters", &rest, &length))
        return course->check_quarters = true;
    return begins(line, "checks every", &rest, &length) && take_number(&course->check_every, &rest, &length);
}

static bool has_request(const struct journal *journal)
{
    return journal->word_count > 0 && journal->head != NULL && journal->plan != NULL;
}

/* A line of the request proper: the words, the directory, the lines of the head, the plan, the steps, in this order. */
static bool replay_request(struct journal *journal, const struct line *line)
{
    bool before_directory = journal->directory == NULL && journal->head == NULL, before_plan = journal->plan == NULL;
    const char *rest;
    size_t length;

    if (before_directory && begins(line, "word", &rest, &length))
        return replay_word(journal, rest, length);
    if (before_directory && begins(line, "directory", &rest, &length)) {
        journal->directory = unescape(rest, length);
        return journal->directory != NULL;
    }
    if (before_plan && begins(line, "head", &rest, &length) && memchr(rest, '\0', length) == NULL) {
        add_head_line(journal, rest, length);
        return true;
    }
    if (before_plan && begins(line, "plan", &rest, &length)) {
        journal->plan = copy_text(rest, length);
        return true;
    }
    return begins(line, "steps", &rest, &length) && take_number(&journal->steps, &rest, &length) && length == 0;
}

/* A line before "begun"; *begun is set by that line. What is said of how it is gone through stands behind the request. */
static bool replay_beginning(struct journal *journal, const struct line *line, bool *begun)
{
    const char *rest;
    size_t length;

    if (!begins(line, "begun at", &rest, &length))
        return replay_request(journal, line) || (journal->version > 1 && has_request(journal) && replay_course(journal, line));
    *begun = has_request(journal);
    if (*begun)
        journal_take_begun(journal);
    return *begun;
}

void journal_keep(struct journal *journal, const char *data, size_t length)
{
    size_t room = 4096;

    while (room < journal->length + length)
        room *= 2;
    if (journal->good == NULL || room > 4096)
        journal->good = memory_resize(journal->good, room);
    memcpy(journal->good + journal->length, data, length);
    journal->length += length;
}

/* ---- a whole journal ---- */

static enum cc_status foreign(struct cc_error *err, const char *what)
{
    return cc_fail(err, CC_EPARSE, "'%.200s' is not a journal of crankcard: it is left as it is", what);
}

/* The line behind the good ones is not as written. begun: those before it make a job. */
static enum cc_status damaged(struct journal *journal, bool begun, const char *what, struct cc_error *err)
{
    unsigned long line = journal->lines + 1;
    const char *name = journal->name[0] != '\0' ? journal->name : "JOB";

    journal->salvageable = begun;
    if (!begun)
        return cc_fail(err, CC_EPARSE, "%.160s:%lu: the journal is damaged here, in the request: it is left as it is; "
                       "crankcard recover with the request finds the place from the head", what, line);
    return cc_fail(err, CC_EPARSE, "%.120s:%lu: damaged here, good to line %lu: step %" PRIu64 " is next. crankcard follow "
                   "--salvage %s goes on from there, crankcard recover --job %s finds the place from the head", what, line,
                   journal->lines, journal->next, name, name);
}

/* The first line says what the file is. */
static enum cc_status read_first(struct journal *journal, const struct line *line, const char *what, struct cc_error *err)
{
    const size_t kind = strlen(JOURNAL_KIND);
    const char *rest = line->text + kind;
    size_t length = line->length - kind;
    uint64_t version;

    if (line->length <= kind || memcmp(line->text, JOURNAL_KIND, kind) != 0)
        return foreign(err, what);
    if (!take_number(&version, &rest, &length) || length > 0 || version == 0)
        return foreign(err, what);
    if (version > JOURNAL_VERSION)
        return cc_fail(err, CC_EPARSE, "'%.200s' was written by a later version of crankcard (journal %" PRIu64 ", and this one "
                       "reads %d): follow it with that version; it is left as it is", what, version, JOURNAL_VERSION);
    journal->version = (unsigned)version;
    return CC_OK;
}

/* Keep what a good line was read from. */
static void count_line(struct journal *journal, const char *data, size_t length, const struct line *line)
{
    journal_keep(journal, data, length);
    journal->sum = line->sum;
    journal->lines++;
}

/*
 * Whether the last size bytes, which are no good line, are what a single line may have become: then it was the last
 * one. Where they begin with a good line, its newline was changed and another line lies behind it.
 */
static bool is_one_line(const struct journal *journal, const char *data, size_t size)
{
    struct line line;

    for (size_t n = JOURNAL_SUM; n + 1 < size && size <= JOURNAL_LINE; n++)
        if (take_line(&line, data, n, journal->sum))
            return false;
    return size <= JOURNAL_LINE;
}

/* What became of the last line: bytes that were never written are zero. */
static enum journal_tail kind_of_tail(const char *data, size_t size)
{
    bool whole = size > JOURNAL_SUM && data[size - 1] == '\n' && memchr(data, '\0', size) == NULL;

    return whole ? JOURNAL_WRONG : JOURNAL_TORN;
}

/* One line behind those that are good; ended: with its newline. */
static enum cc_status read_line(struct journal *journal, bool *begun, const char *at, size_t size, bool ended,
                                const char *what, struct cc_error *err)
{
    struct line line = { .sum = 0 };
    bool good = take_line(&line, at, size - ended, journal->sum);

    if (journal->lines == 0) {
        enum cc_status s = good && ended ? read_first(journal, &line, what, err) : foreign(err, what);
        if (s != CC_OK)
            return s;
    } else if (!*begun) {
        if (!good || !ended || !replay_beginning(journal, &line, begun))
            return damaged(journal, false, what, err);
    } else if (!good || !replay(journal, &line)) {
        return damaged(journal, true, what, err);
    }
    count_line(journal, at, size, &line);
    journal->no_newline = !ended;
    return CC_OK;
}

/* Whether the last size bytes of a journal are a line that is dropped. */
static bool is_dropped(const struct journal *journal, const char *at, size_t size, bool ended)
{
    struct line line;

    return !take_line(&line, at, size - ended, journal->sum) && is_one_line(journal, at, size);
}

enum cc_status journal_read(struct journal *journal, const char *data, size_t length,
                            const char *what, struct cc_error *err)
{
    const char *end = data + length;
    enum cc_status s = CC_OK;
    bool begun = false;
    size_t size;

    journal->on_disk = length;
    for (const char *at = data; s == CC_OK && at < end; at += size) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        size = (size_t)((stop != NULL ? stop + 1 : end) - at);
        if (begun && at + size == end && is_dropped(journal, at, size, stop != NULL)) {
            journal->tail = kind_of_tail(at, size);
            return CC_OK;
        }
        s = read_line(journal, &begun, at, size, stop != NULL, what, err);
    }
    if (s == CC_OK && journal->lines == 0)
        s = foreign(err, what);
    else if (s == CC_OK && !begun)
        s = damaged(journal, false, what, err);
    return s;
}
