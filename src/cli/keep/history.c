/* history.c: see history.h. */
#include "cli/keep/history.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

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

/* How long nothing was written before the event at the end, which is one of EVENT_OPENED. */
static void measure_pause(struct history *history)
{
    struct journal_event *opened = &history->at[history->n - 1];
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

/* Which round of which piece an event is of: as the one before it, but where it begins another. */
static void place_event(struct history *history, const struct journal *journal)
{
    struct journal_event *event = &history->at[history->n - 1], *before = history->n > 1 ? event - 1 : NULL;

    event->piece = before != NULL ? before->piece : 1;
    event->in_round = before != NULL ? before->in_round : journal->version == 1;
    event->pass = before != NULL ? before->pass : event->in_round;
    if (event->kind == EVENT_TRIAL || event->kind == EVENT_PASS || event->kind == EVENT_PIECE) {
        event->in_round = true;
        event->piece = event->kind == EVENT_PIECE ? event->step : event->piece;
        event->pass = event->kind == EVENT_TRIAL ? 0 : event->kind == EVENT_PIECE ? 1 : event->step;
    }
    if (event->kind == EVENT_PASS && event->text == NULL && event->pass <= journal->planned &&
        journal->passes[event->pass - 1].text != NULL)
        event->text = memory_copy(journal->passes[event->pass - 1].text);
}

/* One line without its checksum; what is no event stands in the request. */
static void read_line(struct history *history, const struct journal *journal, const char *line, size_t length)
{
    struct journal_event event = { .piece = 0 };

    if (!journal_event_read(&event, line, length) || (history->n == 0 && event.kind != EVENT_BEGUN)) {
        free(event.text);
        return;
    }
    history->at = memory_grow(history->at, history->n, &history->room, sizeof *history->at);
    history->at[history->n++] = event;
    place_event(history, journal);
    if (event.kind == EVENT_OPENED)
        measure_pause(history);
}

void history_read(struct history *history, const struct journal *journal)
{
    const char *at = journal->good, *end = at + journal->length;

    while (at < end) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        size_t n = (size_t)((stop != NULL ? stop : end) - at);
        if (n > JOURNAL_SUM)
            read_line(history, journal, at + JOURNAL_SUM, n - JOURNAL_SUM);
        at = stop != NULL ? stop + 1 : end;
    }
}

uint64_t history_count(const struct history *history, enum journal_kind kind)
{
    uint64_t n = 0;

    for (size_t i = 0; i < history->n; i++)
        n += history->at[i].kind == kind;
    return n;
}

uint64_t history_seconds(const struct history *history, enum journal_kind kind)
{
    uint64_t seconds = 0;

    for (size_t i = 0; i < history->n; i++)
        seconds += history->at[i].kind == kind ? history->at[i].seconds : 0;
    return seconds;
}
