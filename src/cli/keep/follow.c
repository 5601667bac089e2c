/* follow.c: what the keys do. */
#include "cli/keep/follow.h"

#include <inttypes.h>
#include <string.h>

#include "cli/ask/values.h"
#include "cli/keep/hands.h"
#include "cli/keep/terminal.h"
#include "cli/out/words.h"

/* Look at the journal's place anew. */
static void sync_place(struct follow *follow)
{
    uint64_t next = follow->journal.next;

    follow->has_from = next > 0;
    cc_cursor_seek(&follow->cursor, next > 0 ? next - 1 : 0);
    if (follow->has_from)
        cc_cursor_next(&follow->cursor, &follow->from);
    follow->has_now = cc_cursor_next(&follow->cursor, &follow->now) && !journal_done(&follow->journal);
}

void follow_begin(struct follow *follow, enum follow_stage stage)
{
    follow->stage = stage;
    follow->clock = terminal_clock();
    cc_step_init(&follow->now);
    cc_step_init(&follow->from);
    cc_cursor_init(&follow->cursor, &follow->job.plan, &follow->job.request);
    sync_place(follow);
}

void follow_end(struct follow *follow)
{
    cc_cursor_clear(&follow->cursor);
    cc_step_clear(&follow->from);
    cc_step_clear(&follow->now);
}

void follow_hint(struct follow *follow)
{
    snprintf(follow->message, sizeof follow->message, "%s",
             follow->journal.adrift ? "NOT SAVED: s saves the journal beside, q leaves with the place as it is on the screen."
             : follow->stage == FOLLOW_ASK ? "c: cut already; l: left for later; n: stay. Nothing else does anything here."
             : follow->stage == FOLLOW_OFFER ? "Enter goes on, q leaves; nothing else does anything here."
                                           : "Enter or space, b, g, m and q: nothing else does anything.");
}

/* What became of a change: it stands, or it could not be saved and nothing has changed. */
static bool saved(struct follow *follow, enum cc_status status, const struct cc_error *err)
{
    follow->unsaved = status != CC_OK && status != CC_ELIMIT;
    if (status != CC_OK) {
        snprintf(follow->message, sizeof follow->message, "NOT SAVED: %s", err->text);
        return false;
    }
    sync_place(follow);
    return true;
}

static void go_on(struct follow *follow)
{
    struct cc_error err;
    bool again = journal_done(&follow->journal);
    enum cc_status s = again ? journal_piece(&follow->journal, &err) : journal_opened(&follow->journal, &err);

    if (!saved(follow, s, &err))
        return;
    follow->stage = FOLLOW_AT_WORK;
    follow->clock = terminal_clock();
    if (again)
        snprintf(follow->message, sizeof follow->message, "piece %" PRIu64 " begun", follow->journal.piece);
    else
        snprintf(follow->message, sizeof follow->message, "going on");
}

static void confirm(struct follow *follow)
{
    unsigned long long now = terminal_clock();
    uint64_t row = follow->journal.next;
    struct cc_error err;

    if (follow->stage == FOLLOW_OFFER) {
        go_on(follow);
        return;
    }
    if (!follow->has_now) {
        follow_do(follow, FOLLOW_LEAVE, NULL);
        return;
    }
    enum cc_status s = journal_made(&follow->journal, (unsigned)((now - follow->clock) / 1000), &err);
    if (!saved(follow, s, &err))
        return;
    follow->clock = now;
    snprintf(follow->message, sizeof follow->message, "made %" PRIu64, row);
}

/* After b or g the user has to move the pin to this step by hand: say where it must stand. */
static void say_place(struct follow *follow, const char *verb)
{
    char place[WORDS], angle[WORDS];

    if (!follow->has_from) {
        snprintf(follow->message, sizeof follow->message, "%s the start", verb);
        return;
    }
    pins_words(place, sizeof place, &follow->job.plan, follow->from.hole, follow->from.hole2);
    spindle_words(angle, sizeof angle, follow->from.angle);
    snprintf(follow->message, sizeof follow->message,
             "%s step %" PRIu64 ". Before you make it, these must be so: %s%s; spindle at %s.", verb, follow->journal.next,
             place, cc_plan_is_direct(&follow->job.plan) ? "" : ", come into forward", angle);
}

static void back(struct follow *follow)
{
    struct cc_error err;

    if (follow->journal.tail != JOURNAL_WHOLE) {     /* first a yes to what was dropped */
        follow_hint(follow);
        return;
    }
    if (follow->journal.next == 0) {
        snprintf(follow->message, sizeof follow->message, "this is the start");
        return;
    }
    if (saved(follow, journal_back(&follow->journal, &err), &err)) {
        follow->stage = FOLLOW_AT_WORK;
        say_place(follow, "back at");
    }
}

static void go_to(struct follow *follow, bool cut)
{
    struct cc_error err;

    if (saved(follow, journal_go(&follow->journal, follow->wanted, cut, &err), &err)) {
        follow->stage = FOLLOW_AT_WORK;
        say_place(follow, "gone to");
    }
}

static void go(struct follow *follow, const char *text)
{
    uint64_t row, next = follow->journal.next;
    struct row_run passed;
    struct cc_error err;
    uint64_t most = follow->journal.steps < INT64_MAX ? follow->journal.steps : INT64_MAX;

    if (!value_u64(&row, text, "go to", 0, most, &err)) {
        snprintf(follow->message, sizeof follow->message, "%s", err.text);
        return;
    }
    follow->wanted = row;
    if (row > next && row_set_gap(&passed, &follow->journal.made, next, row - 1)) {
        follow->stage = FOLLOW_ASK;
        snprintf(follow->message, sizeof follow->message, "which is true?");
    } else {
        go_to(follow, false);
    }
}

static void answer(struct follow *follow, enum follow_act act)
{
    if (act == FOLLOW_STAY) {
        follow->stage = FOLLOW_AT_WORK;
        snprintf(follow->message, sizeof follow->message, "stays as it was");
    } else if (act == FOLLOW_CUT || act == FOLLOW_LATER) {
        go_to(follow, act == FOLLOW_CUT);
    } else {
        follow_hint(follow);
    }
}

static void note(struct follow *follow, const char *text)
{
    struct cc_error err;

    if (*text == '\0')
        snprintf(follow->message, sizeof follow->message, "a remark has words");
    else if (saved(follow, journal_note(&follow->journal, text, &err), &err))
        snprintf(follow->message, sizeof follow->message, "noted");
}

/* The file at the journal's name is another, or none: write down all there is again, where nothing is lost. */
static void save(struct follow *follow)
{
    struct cc_error err;

    if (!follow->journal.adrift)
        follow_hint(follow);
    else if (saved(follow, journal_save_beside(&follow->journal, &err), &err))
        snprintf(follow->message, sizeof follow->message, "saved as job %s, step %" PRIu64 " comes next: the last key did "
                 "nothing, press it again", follow->journal.name, follow->journal.next);
}

static void leave(struct follow *follow)
{
    const struct journal *journal = &follow->journal;

    char open[JOURNAL_ROWS];

    follow->stage = FOLLOW_LEFT;
    journal_rows_words(open, sizeof open, journal, 0, journal_passed(journal));
    if (journal_done(journal))
        snprintf(follow->message, sizeof follow->message, "all made; crankcard follow --forget %s drops the journal",
                 journal->name);
    else if (journal->next > journal->steps)
        snprintf(follow->message, sizeof follow->message, "NOT DONE, open: %s: crankcard follow --resume %s", open,
                 journal->name);
    else
        snprintf(follow->message, sizeof follow->message,
                 "place kept at step %" PRIu64 " of %" PRIu64 ": crankcard follow --resume %s",
                 journal->next, journal->steps, journal->name);
}

bool follow_letter(enum follow_act *act, int letter)
{
    static const struct {
        int letter;
        enum follow_act act;
    } letters[] = {
        { 'b', FOLLOW_BACK }, { 'q', FOLLOW_LEAVE }, { 's', FOLLOW_SAVE },
        { 'c', FOLLOW_CUT },  { 'l', FOLLOW_LATER }, { 'n', FOLLOW_STAY },
    };

    for (size_t i = 0; i < sizeof letters / sizeof letters[0]; i++)
        if (letters[i].letter == letter) {
            *act = letters[i].act;
            return true;
        }
    return false;
}

void follow_do(struct follow *follow, enum follow_act act, const char *text)
{
    if (act == FOLLOW_LEAVE)
        leave(follow);
    else if (act == FOLLOW_SAVE)
        save(follow);
    else if (follow->stage == FOLLOW_ASK)
        answer(follow, act);
    else if (act == FOLLOW_CONFIRM)
        confirm(follow);
    else if (act == FOLLOW_BACK)
        back(follow);
    else if (follow->stage == FOLLOW_OFFER || act >= FOLLOW_CUT)
        follow_hint(follow);
    else if (act == FOLLOW_GO)
        go(follow, text);
    else
        note(follow, text);
}
