/* journal_events.c: what journal.h says of adding events: each goes to the disk first, then into the place. */
#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "cli/keep/journal.h"
#include "cli/keep/journal_place.h"
#include "cli/keep/journal_text.h"

/* The event of that format of the journal, and when it is. */
static enum cc_status CC_PRINTF(4, 5) add_now(struct journal *journal, unsigned since, struct cc_error *err, const char *format, ...)
{
    char line[256], now[32];
    va_list list;
    size_t used;

    va_start(list, format);
    vsnprintf(line, sizeof line, format, list);
    va_end(list);
    used = strlen(line);
    journal_now(now);
    snprintf(line + used, sizeof line - used, " at %s", now);
    return since > 1 ? journal_add(journal, line, err) : journal_add_line(journal, line, err);
}

enum cc_status journal_made(struct journal *journal, unsigned seconds, struct cc_error *err)
{
    enum cc_status s = add_now(journal, 1, err, "made %" PRIu64 " after %u s", journal->next, seconds);

    if (s == CC_OK) {
        (void)journal_take_made(journal, journal->next);
        journal_remember_time(journal, seconds);
    }
    return s;
}

enum cc_status journal_back(struct journal *journal, struct cc_error *err)
{
    uint64_t row = journal->next > 0 ? journal->next - 1 : 0;
    enum cc_status s = add_now(journal, 1, err, "back to %" PRIu64, row);

    if (s == CC_OK)
        (void)journal_take_back(journal, row);
    return s;
}

enum cc_status journal_go(struct journal *journal, uint64_t row, bool cut, struct cc_error *err)
{
    uint64_t from = cut && journal->next < row ? journal->next : row;
    enum cc_status s = from < row ? add_now(journal, 1, err, "go to %" PRIu64 " cut from %" PRIu64, row, from)
                                  : add_now(journal, 1, err, "go to %" PRIu64, row);

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
    return add_now(journal, 1, err, "opened");
}

enum cc_status journal_piece(struct journal *journal, struct cc_error *err)
{
    enum cc_status s = add_now(journal, 1, err, "piece %" PRIu64, journal->piece + 1);

    if (s == CC_OK)
        (void)journal_take_piece(journal, journal->piece + 1);
    return s;
}

enum cc_status journal_set_up(struct journal *journal, uint64_t items, struct cc_error *err)
{
    enum cc_status s = add_now(journal, 2, err, "set up %" PRIu64, items);

    if (s == CC_OK)
        (void)journal_take_set_up(journal, items);
    return s;
}

enum cc_status journal_trial(struct journal *journal, struct cc_error *err)
{
    enum cc_status s = add_now(journal, 2, err, "trial");

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
    enum cc_status s = add_now(journal, 2, err, "check %" PRIu64 " %s", journal->next - 1, right ? "right" : "wrong");

    if (s == CC_OK)
        (void)journal_take_check(journal, journal->next - 1, right);
    return s;
}

enum cc_status journal_measure(struct journal *journal, struct cc_error *err)
{
    enum cc_status s = add_now(journal, 2, err, "measured %" PRIu64, journal->next - 1);

    if (s == CC_OK)
        (void)journal_take_measure(journal, journal->next - 1);
    return s;
}

enum cc_status journal_miss(struct journal *journal, struct cc_error *err)
{
    enum cc_status s = add_now(journal, 2, err, "closing wrong");

    if (s == CC_OK)
        (void)journal_take_miss(journal);
    return s;
}
