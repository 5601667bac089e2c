/* history.c: see history.h. */
#include "cli/keep/history.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"
#include "cli/keep/journal_text.h"

/* How a line of each kind begins; what stands behind that is read by read_rest. */
static const struct {
    const char *name, *begins;
    bool timed;         /* the time stands there at once, and no number */
} kinds[HISTORY_KINDS] = {
    [HISTORY_BEGUN] = { "begun", "begun at ", true },    [HISTORY_SET_UP] = { "set_up", "set up ", false },
    [HISTORY_TRIAL] = { "trial", "trial at ", true },    [HISTORY_PASS] = { "pass", "pass ", false },
    [HISTORY_MADE] = { "made", "made ", false },          [HISTORY_BACK] = { "back", "back to ", false },
    [HISTORY_GO] = { "go", "go to ", false },             [HISTORY_NOTE] = { "note", "note ", false },
    [HISTORY_CHECK] = { "check", "check ", false },       [HISTORY_MEASURED] = { "measured", "measured ", false },
    [HISTORY_MISSED] = { "closing_wrong", "closing wrong at ", true },
    [HISTORY_OPENED] = { "opened", "opened at ", true }, [HISTORY_PIECE] = { "piece", "piece ", false },
};

void history_init(struct history *history)
{
    memset(history, 0, sizeof *history);
}

void history_clear(struct history *history)
{
    for (size_t i = 0; i < history->n; i++)
        free(history->at[i].text);
    free(history->at);
    history_init(history);
}

const char *history_name(enum history_kind kind)
{
    return kinds[kind].name;
}

/* ---- times ---- */

/* Seconds since some day of "2025-05-02T09:14:07Z"; false where it is none. */
static bool seconds_of(long long *seconds, const char *at)
{
    static const char form[] = "dddd-dd-ddTdd:dd:ddZ";
    long long part[6] = { 0 };

    for (size_t i = 0, n = 0; i < sizeof form; i++) {
        bool digit = at[i] >= '0' && at[i] <= '9';
        if (form[i] == 'd' ? !digit : at[i] != form[i])
            return false;
        if (digit)
            part[n] = 10 * part[n] + (at[i] - '0');
        else
            n++;
    }
    /* Days by a year that begins in March, so that the odd day is its last (Gregorian calendar). */
    long long y = part[0] - (part[1] < 3), m = (part[1] + 9) % 12;
    long long days = 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + part[2];
    *seconds = ((days * 24 + part[3]) * 60 + part[4]) * 60 + part[5];
    return true;
}

/* How long nothing was written before the event at the end, which is one of HISTORY_OPENED. */
static void measure_pause(struct history *history)
{
    struct history_event *opened = &history->at[history->n - 1];
    long long now, then;

    for (size_t i = history->n - 1; i > 0; i--) {
        if (history->at[i - 1].at[0] == '\0')
            continue;
        opened->has_seconds = seconds_of(&now, opened->at) && seconds_of(&then, history->at[i - 1].at) && now >= then;
        opened->seconds = opened->has_seconds ? (uint64_t)(now - then) : 0;
        return;
    }
}

/* ---- lines ---- */

/* The number at the head of *text, and the blank behind it. */
static uint64_t cut_number(const char **text)
{
    uint64_t number = 0;

    for (; **text >= '0' && **text <= '9'; (*text)++)
        number = 10 * number + (uint64_t)(**text - '0');
    *text += **text == ' ';
    return number;
}

static bool cut_word(const char *word, const char **text)
{
    size_t n = strlen(word);
    bool is = strncmp(*text, word, n) == 0;

    *text += is ? n : 0;
    return is;
}

static void cut_time(struct history_event *event, const char **text)
{
    size_t n = strcspn(*text, " ");

    if (n < sizeof event->at)
        snprintf(event->at, sizeof event->at, "%.*s", (int)n, *text);
    *text += n + ((*text)[n] == ' ');
}

/* What stands between the number and the time. */
static void read_middle(struct history_event *event, const char **text)
{
    if (event->kind == HISTORY_MADE && cut_word("after ", text)) {
        event->has_seconds = true;
        event->seconds = cut_number(text);
        cut_word("s ", text);
    } else if (event->kind == HISTORY_GO && cut_word("cut from ", text)) {
        event->has_from = true;
        event->from = cut_number(text);
    } else if (event->kind == HISTORY_CHECK) {
        event->right = cut_word("right ", text) || !cut_word("wrong ", text);
    }
}

/* What stands behind the word that a line begins with. The lines are good: they have been read as a journal. */
static void read_rest(struct history_event *event, const char *text)
{
    bool timed = kinds[event->kind].timed;

    event->has_step = !timed && event->kind != HISTORY_PASS && event->kind != HISTORY_PIECE;
    if (!timed)
        event->step = cut_number(&text);
    if (event->kind != HISTORY_NOTE) {
        read_middle(event, &text);
        if (timed || cut_word("at ", &text))
            cut_time(event, &text);
    }
    if (event->kind == HISTORY_NOTE || (event->kind == HISTORY_PASS && *text != '\0'))
        event->text = journal_unescape(text, strlen(text));
}

static struct history_event *new_event(struct history *history)
{
    if (history->n == history->room) {
        history->room = history->room == 0 ? 64 : 2 * history->room;
        history->at = memory_resize(history->at, history->room * sizeof *history->at);
    }
    struct history_event *event = &history->at[history->n++];
    memset(event, 0, sizeof *event);
    return event;
}

/* Which round of which piece an event is of: as the one before it, but where it begins another. */
static void place_event(struct history *history, const struct journal *journal)
{
    struct history_event *event = &history->at[history->n - 1], *before = history->n > 1 ? event - 1 : NULL;

    event->piece = before != NULL ? before->piece : 1;
    event->in_round = before != NULL ? before->in_round : journal->version == 1;
    event->pass = before != NULL ? before->pass : event->in_round;
    if (event->kind == HISTORY_TRIAL || event->kind == HISTORY_PASS || event->kind == HISTORY_PIECE) {
        event->in_round = true;
        event->piece = event->kind == HISTORY_PIECE ? event->step : event->piece;
        event->pass = event->kind == HISTORY_TRIAL ? 0 : event->kind == HISTORY_PIECE ? 1 : event->step;
    }
    if (event->kind == HISTORY_PASS && event->text == NULL && event->pass <= journal->planned &&
        journal->passes[event->pass - 1].text != NULL)
        event->text = memory_copy(journal->passes[event->pass - 1].text);
}

/* One line without its checksum; what is of no kind stands in the request. */
static void read_line(struct history *history, const struct journal *journal, const char *line, bool begun)
{
    for (int kind = HISTORY_BEGUN; kind < HISTORY_KINDS; kind++) {
        size_t n = strlen(kinds[kind].begins);
        if (strncmp(line, kinds[kind].begins, n) != 0 || (!begun && kind != HISTORY_BEGUN))
            continue;
        struct history_event *event = new_event(history);
        event->kind = (enum history_kind)kind;
        read_rest(event, line + n);
        place_event(history, journal);
        if (kind == HISTORY_OPENED)
            measure_pause(history);
        return;
    }
}

void history_read(struct history *history, const struct journal *journal)
{
    const char *at = journal->good, *end = at + journal->length;

    while (at < end) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        size_t n = (size_t)((stop != NULL ? stop : end) - at);
        if (n > JOURNAL_SUM) {
            char line[JOURNAL_LINE];
            snprintf(line, sizeof line, "%.*s", (int)(n - JOURNAL_SUM), at + JOURNAL_SUM);
            read_line(history, journal, line, history->n > 0);
        }
        at = stop != NULL ? stop + 1 : end;
    }
}

uint64_t history_count(const struct history *history, enum history_kind kind)
{
    uint64_t n = 0;

    for (size_t i = 0; i < history->n; i++)
        n += history->at[i].kind == kind;
    return n;
}

uint64_t history_seconds(const struct history *history, enum history_kind kind)
{
    uint64_t seconds = 0;

    for (size_t i = 0; i < history->n; i++)
        seconds += history->at[i].kind == kind ? history->at[i].seconds : 0;
    return seconds;
}
