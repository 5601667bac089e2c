/* journal_events.c: what journal.h says of adding events: each goes to the disk first, then into the place. */
#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "cli/keep/journal.h"
#include "cli/keep/journal_text.h"

/* The event, and when it is. */
static enum cc_status CC_PRINTF(3, 4) add_now(struct journal *journal, struct cc_error *err, const char *format, ...)
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
    return journal_add(journal, line, err);
}

enum cc_status journal_made(struct journal *journal, unsigned seconds, struct cc_error *err)
{
    return add_now(journal, err, "made %" PRIu64 " after %u s", journal->next, seconds);
}

enum cc_status journal_back(struct journal *journal, struct cc_error *err)
{
    return add_now(journal, err, "back to %" PRIu64, journal->next > 0 ? journal->next - 1 : 0);
}

enum cc_status journal_go(struct journal *journal, uint64_t row, bool cut, struct cc_error *err)
{
    if (cut && journal->next < row)
        return add_now(journal, err, "go to %" PRIu64 " cut from %" PRIu64, row, journal->next);
    return add_now(journal, err, "go to %" PRIu64, row);
}

enum cc_status journal_note(struct journal *journal, const char *text, struct cc_error *err)
{
    char line[4 * JOURNAL_NOTE + 64], escaped[4 * JOURNAL_NOTE + 1];

    if (strlen(text) > JOURNAL_NOTE)
        return cc_fail(err, CC_ELIMIT, "a remark has %d bytes at most", JOURNAL_NOTE);
    journal_escape(escaped, sizeof escaped, text);
    snprintf(line, sizeof line, "note %" PRIu64 " %s", journal->next, escaped);
    return journal_add(journal, line, err);
}

enum cc_status journal_opened(struct journal *journal, struct cc_error *err)
{
    return add_now(journal, err, "opened");
}

enum cc_status journal_piece(struct journal *journal, struct cc_error *err)
{
    return add_now(journal, err, "piece %" PRIu64, journal->piece + 1);
}

enum cc_status journal_set_up(struct journal *journal, uint64_t items, struct cc_error *err)
{
    return add_now(journal, err, "set up %" PRIu64, items);
}

enum cc_status journal_trial(struct journal *journal, struct cc_error *err)
{
    return add_now(journal, err, "trial");
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
    return journal_add(journal, line, err);
}

enum cc_status journal_check(struct journal *journal, bool right, struct cc_error *err)
{
    return add_now(journal, err, "check %" PRIu64 " %s", journal->next - 1, right ? "right" : "wrong");
}

enum cc_status journal_measure(struct journal *journal, struct cc_error *err)
{
    return add_now(journal, err, "measured %" PRIu64, journal->next - 1);
}

enum cc_status journal_miss(struct journal *journal, struct cc_error *err)
{
    return add_now(journal, err, "closing wrong");
}
