/* history_card.c: how a job went, on a card. */
#include <inttypes.h>
#include <string.h>

#include "cli/base/shell_words.h"
#include "cli/keep/follow_parts.h"
#include "cli/keep/history.h"
#include "cli/out/text.h"

/* The rows that were made one after the other, from event i on; how many events that are. */
static size_t run_of_made(const struct history *history, size_t i)
{
    size_t n = 1;

    while (i + n < history->n && history->at[i + n].kind == EVENT_MADE &&
           history->at[i + n].step == history->at[i].step + n)
        n++;
    return n;
}

static void write_made(struct text *t, const char *first, const struct journal_event *event, size_t n)
{
    const char *verb = event->pass == 0 ? "marked" : "made";
    char each[64], until[16] = "";
    uint64_t seconds = 0;

    for (size_t i = 0; i < n; i++)
        seconds += event[i].seconds;
    follow_duration(each, sizeof each, seconds / n);
    if (strlen(event[n - 1].at) > 16)
        snprintf(until, sizeof until, ", until %.5s", event[n - 1].at + 11);
    if (n == 1)
        text_para(t, first, "       ", "step %" PRIu64 " %s, %s", event->step, verb, each);
    else
        text_para(t, first, "       ", "steps %" PRIu64 " to %" PRIu64 " %s, %s each%s", event->step, event[n - 1].step, verb, each, until);
}

/* An event of a round, or a stop in it, but the making of a row. */
static void step_words(char *buf, size_t size, const struct journal_event *event)
{
    if (event->kind == EVENT_BACK)
        snprintf(buf, size, "back: step %" PRIu64 " is not made after all", event->step);
    else if (event->kind == EVENT_GO && event->has_from)
        snprintf(buf, size, "gone to step %" PRIu64 "; those from step %" PRIu64 " on were cut already", event->step, event->from);
    else if (event->kind == EVENT_GO)
        snprintf(buf, size, "gone to step %" PRIu64, event->step);
    else if (event->kind == EVENT_NOTE)
        snprintf(buf, size, "remark at step %" PRIu64 ": %s", event->step, event->text);
    else if (event->kind == EVENT_CHECK)
        snprintf(buf, size, "checked after step %" PRIu64 ": %s", event->step, event->right ? "all as it must be" : "NOT as it must be");
    else
        snprintf(buf, size, "measured after step %" PRIu64, event->step);
}

static void event_words(char *buf, size_t size, const struct journal_event *event)
{
    char pause[64];

    follow_duration(pause, sizeof pause, event->seconds);
    if (event->kind == EVENT_BEGUN)
        snprintf(buf, size, "begun");
    else if (event->kind == EVENT_SET_UP)
        snprintf(buf, size, "set-up: %" PRIu64 " item%s done", event->step, event->step == 1 ? "" : "s");
    else if (event->kind == EVENT_TRIAL)
        snprintf(buf, size, "trial round");
    else if (event->kind == EVENT_PASS)
        snprintf(buf, size, "pass %" PRIu64 "%s%s", event->pass, event->text != NULL ? ": " : "", event->text != NULL ? event->text : "");
    else if (event->kind == EVENT_PIECE)
        snprintf(buf, size, "piece %" PRIu64, event->piece);
    else if (event->kind == EVENT_OPENED)
        snprintf(buf, size, "gone on with%s%s", event->has_seconds ? " after a pause of " : "", event->has_seconds ? pause : "");
    else if (event->kind == EVENT_MISSED)
        snprintf(buf, size, "the closing did NOT fall on the first");
    else
        step_words(buf, size, event);
}

/* Every event with its time of day, under the day; ticks of the set-up are told once, by the last. */
static void write_events(struct text *t, const struct history *history)
{
    char day[16] = "", first[16], words[JOURNAL_NOTE + 100];

    for (size_t i = 0, n; i < history->n; i += n) {
        const struct journal_event *event = &history->at[i];
        n = event->kind == EVENT_MADE ? run_of_made(history, i) : 1;
        if (event->kind == EVENT_SET_UP && i + 1 < history->n && event[1].kind == EVENT_SET_UP)
            continue;
        if (strlen(event->at) > 16 && strncmp(day, event->at, 10) != 0) {
            snprintf(day, sizeof day, "%.10s", event->at);
            text_line(t, "%s (UTC)", day);
        }
        snprintf(first, sizeof first, "%-5.5s  ", strlen(event->at) > 16 ? event->at + 11 : "");
        if (event->kind == EVENT_MADE) {
            write_made(t, first, event, n);
        } else {
            event_words(words, sizeof words, event);
            text_para(t, first, "       ", "%s", words);
        }
    }
    text_blank(t);
}

static void write_sum(struct text *t, const struct history *history, const struct journal *journal)
{
    unsigned pace = journal_median(journal);
    char open[JOURNAL_ROWS], words[64];
    bool any = false;

    for (uint64_t pass = 1; journal->round == JOURNAL_CUT && pass <= journal->pass_count; pass++) {
        journal_open_words(open, sizeof open, journal, pass);
        any = any || open[0] != '\0';
        if (open[0] != '\0')
            text_para(t, "", "  ", "OPEN in piece %" PRIu64 ", pass %" PRIu64 ": %s", journal->piece, pass, open);
    }
    if (journal_done(journal))
        text_para(t, "", "", "Done: nothing is open.");
    else if (!any)
        text_para(t, "", "", "Not done.");
    follow_duration(words, sizeof words, history_seconds(history, EVENT_OPENED));
    text_para(t, "", "  ", "Movements confirmed: %" PRIu64 ". Back: %" PRIu64 ". Remarks: %" PRIu64 ". Pauses: %" PRIu64 ", %s in all.",
              history_count(history, EVENT_MADE), history_count(history, EVENT_BACK), history_count(history, EVENT_NOTE),
              history_count(history, EVENT_OPENED), words);
    if (pace > 0) {
        follow_duration(words, sizeof words, pace);
        text_para(t, "", "  ", "Pace: %s a movement (median of the last %zu).", words,
                  journal->time_count < JOURNAL_TIMES ? journal->time_count : (size_t)JOURNAL_TIMES);
    }
}

void history_card(FILE *out, const struct output *output, const struct history *history, const struct journal *journal)
{
    const char *digest = strrchr(journal->plan, ',');
    char title[200];
    struct text t;

    text_init(&t, out, output);
    shell_words_join(title, sizeof title, journal->words, journal->word_count);
    text_head(&t, "Record of %s", journal->name);
    text_para(&t, "", "  ", "Record of %s", journal->name);
    text_para(&t, "  ", "  ", "%s", title);
    text_para(&t, "  ", "  ", "%.*s", (int)(digest != NULL ? (size_t)(digest - journal->plan) : strlen(journal->plan)), journal->plan);
    text_blank(&t);
    write_events(&t, history);
    write_sum(&t, history, journal);
    text_end(&t);
}
