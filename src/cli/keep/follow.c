/* follow.c: what the keys do. */
#include "cli/keep/follow.h"

#include <inttypes.h>
#include <stdarg.h>
#include <string.h>

#include "crankcard/angle.h"
#include "cli/ask/values.h"
#include "cli/keep/follow_check.h"
#include "cli/keep/follow_parts.h"
#include "cli/keep/follow_stages.h"
#include "cli/keep/hands.h"
#include "cli/keep/terminal.h"
#include "cli/out/words.h"

/* ---- where it stands ---- */

/* Look at the journal's place anew. */
static void sync_place(struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    uint64_t next = journal->next;

    follow->has_from = next > 0;
    cc_cursor_seek(&follow->cursor, next > 0 ? next - 1 : 0);
    if (follow->has_from)
        cc_cursor_next(&follow->cursor, &follow->from);
    follow->has_now = cc_cursor_next(&follow->cursor, &follow->now) && !journal_round_done(journal);
}

/* The stage that follows from the journal. */
static void settle(struct follow *follow)
{
    const struct journal *journal = &follow->journal;

    sync_place(follow);
    if (journal->round == JOURNAL_SET_UP)
        follow->stage = journal->set_up < follow->setup.n ? FOLLOW_SET_UP : FOLLOW_ROUND;
    else if (journal->missed)
        follow->stage = FOLLOW_MISSED;
    else if (follow_measure_due(follow))
        follow->stage = FOLLOW_MEASURE;
    else if (follow_check_due(follow))
        follow->stage = FOLLOW_CHECK;
    else
        follow->stage = FOLLOW_AT_WORK;
}

void follow_begin(struct follow *follow, bool offer)
{
    follow->clock = terminal_clock();
    cc_step_init(&follow->now);
    cc_step_init(&follow->from);
    cc_cursor_init(&follow->cursor, &follow->job.plan, &follow->job.request);
    setup_make(&follow->setup, &follow->job);
    follow_find_quarters(follow);
    settle(follow);
    if (offer)
        follow->stage = FOLLOW_OFFER;
}

void follow_end(struct follow *follow)
{
    setup_clear(&follow->setup);
    cc_cursor_clear(&follow->cursor);
    cc_step_clear(&follow->from);
    cc_step_clear(&follow->now);
}

/* ---- what is said ---- */

static void CC_PRINTF(2, 3) say(struct follow *follow, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    vsnprintf(follow->message, sizeof follow->message, format, list);
    va_end(list);
}

void follow_hint(struct follow *follow)
{
    char keys[200];

    follow_keys(keys, sizeof keys, follow, false);
    if (follow->journal.adrift)
        say(follow, "NOT SAVED: s saves the journal beside, q leaves with the place as it is on the screen.");
    else
        say(follow, "These keys act here, and nothing else does anything: %s", keys);
}

/* What became of a change: it stands, or it could not be saved and nothing has changed. */
static bool saved(struct follow *follow, enum cc_status status)
{
    follow->unsaved = status != CC_OK && status != CC_ELIMIT;
    if (status != CC_OK) {
        say(follow, "NOT SAVED: %s", follow->err.text);
        return false;
    }
    settle(follow);
    return true;
}

/* saved, and the next movement is timed from now on. */
static bool timed(struct follow *follow, enum cc_status status)
{
    bool good = saved(follow, status);

    if (good)
        follow->clock = terminal_clock();
    return good;
}

/* After b or g the user has to move the pin to this step by hand: say where it must stand. */
static void say_place(struct follow *follow, const char *verb)
{
    char place[WORDS], angle[WORDS];

    if (!follow->has_from) {
        say(follow, "%s the start", verb);
        return;
    }
    place_words(place, sizeof place, &follow->job, &follow->from);
    spindle_words(angle, sizeof angle, follow->from.angle);
    say(follow, "%s step %" PRIu64 ". Before you make it, these must be so: %s%s; spindle at %s.", verb, follow->journal.next,
        place, cc_plan_is_direct(&follow->job.plan) ? "" : cc_plan_is_dial(&follow->job.plan) ? ", come up to forward" : ", come into forward",
        angle);
}

/* ---- rounds ---- */

static void next_piece(struct follow *follow)
{
    if (timed(follow, journal_piece(&follow->journal, &follow->err)))
        say(follow, "piece %" PRIu64 " begun", follow->journal.piece);
}

static void go_on(struct follow *follow)
{
    if (journal_done(&follow->journal))
        next_piece(follow);
    else if (timed(follow, journal_opened(&follow->journal, &follow->err)))
        say(follow, "going on");
}

static void trial(struct follow *follow)
{
    bool again = follow->journal.round == JOURNAL_TRIAL;

    if (follow->journal.round == JOURNAL_CUT)
        follow_hint(follow);
    else if (timed(follow, journal_trial(&follow->journal, &follow->err)))
        say(follow, "trial round%s: mark, do not cut", again ? " again, from its start" : "");
}

static void go_pass(struct follow *follow, uint64_t pass, const char *text)
{
    char round[JOURNAL_NOTE + 64];

    if (!timed(follow, journal_go_pass(&follow->journal, pass, text, &follow->err)))
        return;
    follow_round_words(round, sizeof round, &follow->journal);
    if (follow->journal.next > 0 && follow->journal.next <= follow->journal.steps)
        say_place(follow, "gone to");
    else
        say(follow, "%s", round[0] != '\0' ? round : "now it is cut");
}

static void cut(struct follow *follow)
{
    go_pass(follow, 1, NULL);
}

/* The first pass that is not begun, or 0. */
static uint64_t fresh_pass(const struct journal *journal)
{
    for (uint64_t pass = 1; pass <= journal->pass_count; pass++)
        if (!journal->passes[pass - 1].begun)
            return pass;
    return 0;
}

/* p: the next pass; with a number that one; with words one more. */
static void choose_pass(struct follow *follow)
{
    uint64_t pass = fresh_pass(&follow->journal), count = follow->journal.pass_count;
    const char *text = follow->text;

    if (follow->journal.round == JOURNAL_TRIAL || (*text == '\0' && pass > 0)) {
        go_pass(follow, pass, NULL);
    } else if (*text == '\0') {
        say(follow, "all passes are begun: p with a number goes back to that one, p with words (a depth, say) is one more");
    } else if (text[strspn(text, "0123456789")] != '\0') {
        go_pass(follow, count + 1, text);
    } else if (!value_u64(&pass, text, "pass", 1, count + 1, &follow->err)) {
        say(follow, "%s", follow->err.text);
    } else {
        go_pass(follow, pass, NULL);
    }
}

/* ---- set-up ---- */

static void tick_to(struct follow *follow, uint64_t items)
{
    if (saved(follow, journal_set_up(&follow->journal, items, &follow->err)))
        follow->message[0] = '\0';
}

static void tick(struct follow *follow)
{
    tick_to(follow, follow->journal.set_up + 1);
}

static void untick(struct follow *follow)
{
    uint64_t done = follow->journal.set_up < follow->setup.n ? follow->journal.set_up : follow->setup.n;

    if (done == 0)
        say(follow, "this is the first item");
    else
        tick_to(follow, done - 1);
}

static void tick_all(struct follow *follow)
{
    tick_to(follow, follow->setup.n);
}

static void read_set_up(struct follow *follow)
{
    follow->before = follow->stage;
    follow->stage = FOLLOW_READ;
    follow->page = 0;
    say(follow, "u comes back to where it was");
}

static void stop_reading(struct follow *follow)
{
    follow->stage = follow->before;
    say(follow, "where it was");
}

static void next_item(struct follow *follow)
{
    follow->message[0] = '\0';
    if (follow->page + 1 < follow->setup.n)
        follow->page++;
    else
        stop_reading(follow);
}

static void item_before(struct follow *follow)
{
    follow->message[0] = '\0';
    if (follow->page > 0)
        follow->page--;
}

/* ---- movements ---- */

static void leave(struct follow *follow);

/* Behind the last row: what comes next. */
static void end_round(struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    uint64_t open = journal_open_pass(journal);

    if (!journal_round_done(journal) && journal->round == JOURNAL_TRIAL)
        follow_hint(follow);
    else if (!journal_round_done(journal))
        leave(follow);
    else if (open > 0)
        go_pass(follow, open, NULL);
    else if (journal->piece < journal->course.pieces)
        next_piece(follow);
    else
        leave(follow);
}

static void confirm(struct follow *follow)
{
    unsigned long long now = terminal_clock();
    uint64_t row = follow->journal.next;

    if (!follow->has_now) {
        end_round(follow);
        return;
    }
    if (!saved(follow, journal_made(&follow->journal, (unsigned)((now - follow->clock) / 1000), &follow->err)))
        return;
    follow->clock = now;
    say(follow, "%s %" PRIu64, follow->journal.round == JOURNAL_TRIAL ? "marked" : "made", row);
}

static void back(struct follow *follow)
{
    if (follow->journal.tail != JOURNAL_WHOLE || follow->journal.round == JOURNAL_SET_UP) {   /* first a yes to what was dropped */
        follow_hint(follow);
        return;
    }
    if (follow->journal.next == 0) {
        say(follow, "this is the start");
        return;
    }
    if (saved(follow, journal_back(&follow->journal, &follow->err)))
        say_place(follow, "back at");
}

static void go_to(struct follow *follow, bool made)
{
    if (saved(follow, journal_go(&follow->journal, follow->wanted, made, &follow->err)))
        say_place(follow, "gone to");
}

static void go(struct follow *follow)
{
    uint64_t row, next = follow->journal.next, first = journal_first(&follow->journal);
    struct row_run passed;
    uint64_t most = follow->journal.steps < INT64_MAX ? follow->journal.steps : INT64_MAX;

    if (!value_u64(&row, follow->text, "go to", 0, most, &follow->err)) {
        say(follow, "%s", follow->err.text);
        return;
    }
    follow->wanted = row;
    next = next > first ? next : first;
    if (row > next && row_set_gap(&passed, &follow->journal.made, next, row - 1)) {
        follow->stage = FOLLOW_ASK;
        say(follow, "which is true?");
    } else {
        go_to(follow, false);
    }
}

static void made_already(struct follow *follow)
{
    go_to(follow, true);
}

static void later(struct follow *follow)
{
    go_to(follow, false);
}

static void stay(struct follow *follow)
{
    settle(follow);
    say(follow, "stays as it was");
}

static void note(struct follow *follow)
{
    if (*follow->text == '\0')
        say(follow, "a remark has words");
    else if (saved(follow, journal_note(&follow->journal, follow->text, &follow->err)))
        say(follow, "noted");
}

/* ---- stops on the way ---- */

static void measured(struct follow *follow)
{
    if (timed(follow, journal_measure(&follow->journal, &follow->err)))
        say(follow, "measured");
}

static void all_is_so(struct follow *follow)
{
    if (timed(follow, journal_check(&follow->journal, true, &follow->err)))
        say(follow, "checked");
}

/* ---- the place is lost ---- */

/* Whether there is such a thing to be seen. */
static bool can_be_seen(const struct follow *follow, unsigned sight)
{
    const struct cc_plan *plan = &follow->job.plan;
    bool dial = cc_plan_is_dial(plan), rim = follow_has_rim(&follow->job);

    switch (sight) {
    case SIGHT_HOLE:
        return !dial;
    case SIGHT_HOLE2:
        return !dial && plan->circle2 != 0;
    case SIGHT_DIAL:
        return dial;
    case SIGHT_RIM:
        return rim;
    case SIGHT_READING:
        return !rim;
    default:
        return follow->journal.round == JOURNAL_CUT && follow->journal.pass == 1;
    }
}

static void ask_next(struct follow *follow)
{
    while (follow->asked < FOLLOW_SIGHTS && !can_be_seen(follow, follow->asked))
        follow->asked++;
}

static void ask_what_is_seen(struct follow *follow)
{
    follow->before = follow->stage;
    follow->stage = FOLLOW_SEEN;
    follow->asked = 0;
    memset(follow->seen, 0, sizeof follow->seen);
    ask_next(follow);
    say(follow, "Touch nothing yet.");
}

static void not_so(struct follow *follow)
{
    if (saved(follow, journal_check(&follow->journal, false, &follow->err)))
        ask_what_is_seen(follow);
}

/* At the closing row only: elsewhere n is no key. */
static void did_not_fall(struct follow *follow)
{
    if (!follow->has_now || !follow->now.closing)
        follow_hint(follow);
    else if (saved(follow, journal_miss(&follow->journal, &follow->err)))
        say(follow, "the closing is not right");
}

static void lost(struct follow *follow)
{
    if (follow->has_from && follow->journal.next > 0)
        ask_what_is_seen(follow);
    else
        say(follow, "Nothing is made yet: set zero anew, as the set-up has it (u).");
}

const char *follow_asks(const struct follow *follow)
{
    static const char *const asks[FOLLOW_SIGHTS] = {
        "Pin in hole", "Plate carried, holes", "Dial reads", "Rim shows", "Spindle reads", "Cuts on the work"
    };

    if (follow->stage != FOLLOW_SEEN)
        return NULL;
    if (follow->asked == SIGHT_HOLE && follow_by_plunger(&follow->job.plan))
        return "Plunger in hole";
    if (follow->asked == SIGHT_HOLE && follow->job.plan.detent > 1)
        return "Pin's hole, times the parts of its detent, and the number there";
    return follow->asked == SIGHT_HOLE2 && cc_plan_is_direct(&follow->job.plan) ? "Pin in use" : asks[follow->asked];
}

/* Whether what was typed can be what was asked for; it is said what would be right where it cannot. */
static bool can_be(struct follow *follow)
{
    const char *text = follow->text;
    uint64_t number;
    mpq_t angle;

    if (*text == '\0' || follow->asked == SIGHT_DIAL)      /* what a dial can read is known to recover */
        return true;
    mpq_init(angle);
    bool good = follow->asked == SIGHT_READING || follow->asked == SIGHT_RIM ? cc_angle_parse(angle, text, &follow->err) == CC_OK
                : value_u64(&number, text, follow_asks(follow), 0, follow->asked == SIGHT_CUTS ? INT64_MAX : CC_MAX_CIRCLE, &follow->err);
    mpq_clear(angle);
    if (!good)
        say(follow, "%s", follow->err.text);
    return good;
}

static void answer(struct follow *follow)
{
    bool any = false;

    if (!can_be(follow))
        return;
    snprintf(follow->seen[follow->asked++], sizeof follow->seen[0], "%s", follow->text);
    follow->message[0] = '\0';
    ask_next(follow);
    if (follow->asked < FOLLOW_SIGHTS)
        return;
    for (unsigned i = 0; i < FOLLOW_SIGHTS; i++)
        any = any || follow->seen[i][0] != '\0';
    follow->recover = any;
    if (any) {
        leave(follow);
    } else {
        settle(follow);
        say(follow, "With nothing seen there is nothing to look with: count the pin's hole, or read the spindle's scale.");
    }
}

static void never_mind(struct follow *follow)
{
    settle(follow);
    say(follow, "where it was");
}

/* ---- the file ---- */

/* The file at the journal's name is another, or none: write down all there is again, where nothing is lost. */
static void save(struct follow *follow)
{
    if (!follow->journal.adrift)
        follow_hint(follow);
    else if (saved(follow, journal_save_beside(&follow->journal, &follow->err)))
        say(follow, "saved as job %s, step %" PRIu64 " comes next: the last key did nothing, press it again",
            follow->journal.name, follow->journal.next);
}

static void say_where_kept(struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    char round[JOURNAL_NOTE + 64];

    follow_round_words(round, sizeof round, journal);
    if (journal->round == JOURNAL_SET_UP && journal->set_up < follow->setup.n)
        say(follow, "set-up kept at item %" PRIu64 " of %zu: crankcard follow --resume %s", journal->set_up + 1, follow->setup.n,
            journal->name);
    else if (journal->round == JOURNAL_SET_UP)
        say(follow, "set up; nothing is cut: crankcard follow --resume %s", journal->name);
    else
        say(follow, "place kept at step %" PRIu64 " of %" PRIu64 "%s%s: crankcard follow --resume %s",
            journal->next < journal->steps ? journal->next : journal->steps, journal->steps, round[0] != '\0' ? ", " : "", round,
            journal->name);
}

static void leave(struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    char open[JOURNAL_ROWS];

    follow->stage = FOLLOW_LEFT;
    journal_open_words(open, sizeof open, journal, journal->pass);
    if (journal_done(journal))
        say(follow, "all made; crankcard follow --record %s shows what was made when, --forget %s drops the journal", journal->name,
            journal->name);
    else if (journal->round == JOURNAL_CUT && journal->next > journal->steps && open[0] != '\0')
        say(follow, "NOT DONE, open: %s: crankcard follow --resume %s", open, journal->name);
    else
        say_where_kept(follow);
}

/* ---- keys ---- */

bool follow_letter(enum follow_act *act, const char **typed, int letter)
{
    static const struct {
        int letter;
        enum follow_act act;
        const char *typed;
    } letters[] = {
        { 'b', FOLLOW_BACK, NULL },         { 'q', FOLLOW_LEAVE, NULL },          { 's', FOLLOW_SAVE, NULL },
        { 'c', FOLLOW_CUT, NULL },          { 'l', FOLLOW_LATER, NULL },          { 'n', FOLLOW_NO, NULL },
        { 'y', FOLLOW_YES, NULL },          { 'a', FOLLOW_ALL, NULL },            { 't', FOLLOW_TRIAL, NULL },
        { 'u', FOLLOW_SET_UP_AGAIN, NULL }, { 'r', FOLLOW_RECOVER, NULL },        { 'g', FOLLOW_GO, "Go to step" },
        { 'm', FOLLOW_NOTE, "Note" },       { 'p', FOLLOW_PASS, "Pass (Enter: the next; a number: that one; words: one more)" },
    };

    for (size_t i = 0; i < sizeof letters / sizeof letters[0]; i++)
        if (letters[i].letter == letter) {
            *act = letters[i].act;
            *typed = letters[i].typed;
            return true;
        }
    return false;
}

typedef void key_handler(struct follow *follow);

static const struct {
    enum follow_stage stage;
    enum follow_act act;
    key_handler *handle;
} handlers[] = {
    { FOLLOW_OFFER, FOLLOW_CONFIRM, go_on },
    { FOLLOW_OFFER, FOLLOW_BACK, back },
    { FOLLOW_OFFER, FOLLOW_SET_UP_AGAIN, read_set_up },

    { FOLLOW_SET_UP, FOLLOW_CONFIRM, tick },
    { FOLLOW_SET_UP, FOLLOW_BACK, untick },
    { FOLLOW_SET_UP, FOLLOW_ALL, tick_all },
    { FOLLOW_SET_UP, FOLLOW_NOTE, note },

    { FOLLOW_ROUND, FOLLOW_CONFIRM, trial },
    { FOLLOW_ROUND, FOLLOW_TRIAL, trial },
    { FOLLOW_ROUND, FOLLOW_CUT, cut },
    { FOLLOW_ROUND, FOLLOW_BACK, untick },
    { FOLLOW_ROUND, FOLLOW_SET_UP_AGAIN, read_set_up },

    { FOLLOW_AT_WORK, FOLLOW_CONFIRM, confirm },
    { FOLLOW_AT_WORK, FOLLOW_BACK, back },
    { FOLLOW_AT_WORK, FOLLOW_GO, go },
    { FOLLOW_AT_WORK, FOLLOW_NOTE, note },
    { FOLLOW_AT_WORK, FOLLOW_NO, did_not_fall },
    { FOLLOW_AT_WORK, FOLLOW_TRIAL, trial },
    { FOLLOW_AT_WORK, FOLLOW_PASS, choose_pass },
    { FOLLOW_AT_WORK, FOLLOW_SET_UP_AGAIN, read_set_up },
    { FOLLOW_AT_WORK, FOLLOW_RECOVER, lost },

    { FOLLOW_MEASURE, FOLLOW_CONFIRM, measured },
    { FOLLOW_MEASURE, FOLLOW_NOTE, note },
    { FOLLOW_MEASURE, FOLLOW_BACK, back },
    { FOLLOW_MEASURE, FOLLOW_SET_UP_AGAIN, read_set_up },

    { FOLLOW_CHECK, FOLLOW_CONFIRM, all_is_so },
    { FOLLOW_CHECK, FOLLOW_YES, all_is_so },
    { FOLLOW_CHECK, FOLLOW_NO, not_so },
    { FOLLOW_CHECK, FOLLOW_NOTE, note },
    { FOLLOW_CHECK, FOLLOW_BACK, back },
    { FOLLOW_CHECK, FOLLOW_SET_UP_AGAIN, read_set_up },

    { FOLLOW_MISSED, FOLLOW_CONFIRM, trial },
    { FOLLOW_MISSED, FOLLOW_TRIAL, trial },
    { FOLLOW_MISSED, FOLLOW_YES, confirm },
    { FOLLOW_MISSED, FOLLOW_BACK, back },
    { FOLLOW_MISSED, FOLLOW_GO, go },
    { FOLLOW_MISSED, FOLLOW_NOTE, note },
    { FOLLOW_MISSED, FOLLOW_SET_UP_AGAIN, read_set_up },
    { FOLLOW_MISSED, FOLLOW_RECOVER, lost },

    { FOLLOW_ASK, FOLLOW_CUT, made_already },
    { FOLLOW_ASK, FOLLOW_LATER, later },
    { FOLLOW_ASK, FOLLOW_NO, stay },

    { FOLLOW_READ, FOLLOW_CONFIRM, next_item },
    { FOLLOW_READ, FOLLOW_BACK, item_before },
    { FOLLOW_READ, FOLLOW_SET_UP_AGAIN, stop_reading },

    { FOLLOW_SEEN, FOLLOW_ANSWER, answer },
    { FOLLOW_SEEN, FOLLOW_NO, never_mind },
};

static key_handler *find_handler(const struct follow *follow, enum follow_act act)
{
    if (act == FOLLOW_LEAVE || act == FOLLOW_SAVE)
        return act == FOLLOW_LEAVE ? leave : save;
    for (size_t i = 0; i < sizeof handlers / sizeof handlers[0]; i++)
        if (handlers[i].stage == follow->stage && handlers[i].act == act)
            return handlers[i].handle;
    return NULL;
}

bool follow_takes(const struct follow *follow, enum follow_act act)
{
    return find_handler(follow, act) != NULL;
}

void follow_do(struct follow *follow, enum follow_act act, const char *text)
{
    key_handler *handle = find_handler(follow, act);

    follow->text = text;
    if (handle != NULL)
        handle(follow);
    else
        follow_hint(follow);
}
