/* journal_events.c: what journal.h says of adding events: each goes to the disk first, then into the place. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "cli/keep/journal.h"
#include "cli/keep/journal_place.h"
#include "cli/keep/journal_text.h"

enum cc_status journal_made(struct journal *journal, unsigned seconds, struct cc_error *err)
{
    char line[128], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "made %" PRIu64 " after %u s at %s", journal->next, seconds, now);
    enum cc_status s = journal_add_line(journal, line, err);
    if (s == CC_OK) {
        (void)journal_take_made(journal, journal->next);
        journal_remember_time(journal, seconds);
    }
    return s;
}

enum cc_status journal_back(struct journal *journal, struct cc_error *err)
{
    char line[96], now[32];
    uint64_t row = journal->next > 0 ? journal->next - 1 : 0;

    journal_now(now);
    snprintf(line, sizeof line, "back to %" PRIu64 " at %s", row, now);
    enum cc_status s = journal_add_line(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_back(journal, row);
    return s;
}

enum cc_status journal_go(struct journal *journal, uint64_t row, bool cut, struct cc_error *err)
{
    char line[128], now[32];
    uint64_t from = cut && journal->next < row ? journal->next : row;

    journal_now(now);
    if (from < row)
        snprintf(line, sizeof line, "go to %" PRIu64 " cut from %" PRIu64 " at %s", row, from, now);
    else
        snprintf(line, sizeof line, "go to %" PRIu64 " at %s", row, now);
    enum cc_status s = journal_add_line(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_go(journal, row, from);
    return s;
}

enum cc_status journal_note(struct journal *journal, const char *text, struct cc_error *err)
{
    char line[4 * JOURNAL_NOTE + 64], escaped[4 * JOURNAL_NOTE + 1];

    if (strlen(text) > JOURNAL_NOTE)
        return cc_fail(err, CC_ELIMIT, "a remark has %d bytes at most", JOURNAL_NOTE);
    journal_escape(escaped, sizeof escaped, text);
    snprintf(line, sizeof line, "note %" PRIu64 " %s", journal->next, escaped);
    enum cc_status s = journal_add_line(journal, line, err);
    if (s == CC_OK)
        journal_remember_note(journal, journal->next, text);
    return s;
}

enum cc_status journal_opened(struct journal *journal, struct cc_error *err)
{
    char line[64], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "opened at %s", now);
    return journal_add_line(journal, line, err);
}

enum cc_status journal_piece(struct journal *journal, struct cc_error *err)
{
    char line[96], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "piece %" PRIu64 " at %s", journal->piece + 1, now);
    enum cc_status s = journal_add_line(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_piece(journal, journal->piece + 1);
    return s;
}

enum cc_status journal_set_up(struct journal *journal, uint64_t items, struct cc_error *err)
{
    char line[96], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "set up %" PRIu64 " at %s", items, now);
    enum cc_status s = journal_add(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_set_up(journal, items);
    return s;
}

enum cc_status journal_trial(struct journal *journal, struct cc_error *err)
{
    char line[64], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "trial at %s", now);
    enum cc_status s = journal_add(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_trial(journal);
    return s;
}

enum cc_status journal_go_pass(struct journal *journal, uint64_t pass, const char *text, struct cc_error *err)
{
    char line[4 * JOURNAL_NOTE + 96], escaped[4 * JOURNAL_NOTE + 1] = "", now[32];
    bool more = pass > journal->pass_count && text != NULL && *text != '\0';

    if (more && strlen(text) > JOURNAL_NOTE)
        return cc_fail(err, CC_ELIMIT, "the remark of a pass has %d bytes at most", JOURNAL_NOTE);
    if (more)
        journal_escape(escaped, sizeof escaped, text);
    journal_now(now);
    snprintf(line, sizeof line, "pass %" PRIu64 " at %s%s%s", pass, now, more ? " " : "", escaped);
    enum cc_status s = journal_add(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_pass(journal, pass, text);
    return s;
}

enum cc_status journal_check(struct journal *journal, bool right, struct cc_error *err)
{
    char line[96], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "check %" PRIu64 " %s at %s", journal->next - 1, right ? "right" : "wrong", now);
    enum cc_status s = journal_add(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_check(journal, journal->next - 1, right);
    return s;
}

enum cc_status journal_measure(struct journal *journal, struct cc_error *err)
{
    char line[96], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "measured %" PRIu64 " at %s", journal->next - 1, now);
    enum cc_status s = journal_add(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_measure(journal, journal->next - 1);
    return s;
}

enum cc_status journal_miss(struct journal *journal, struct cc_error *err)
{
    char line[64], now[32];

    journal_now(now);
    snprintf(line, sizeof line, "closing wrong at %s", now);
    enum cc_status s = journal_add(journal, line, err);
    if (s == CC_OK)
        (void)journal_take_miss(journal);
    return s;
}
