/* journal_place.c: see journal_place.h; and what journal.h says of the place. */
#include "cli/keep/journal_place.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

/* ---- rounds and passes ---- */

void journal_add_pass(struct journal *journal, const char *text)
{
    journal->passes = memory_resize(journal->passes, (journal->pass_count + 1) * sizeof *journal->passes);
    journal->passes[journal->pass_count++] =
        (struct journal_pass){ .text = text != NULL && *text != '\0' ? memory_copy(text) : NULL };
}

/* Drop the passes behind the first count. */
static void drop_passes(struct journal *journal, size_t count)
{
    while (journal->pass_count > count) {
        struct journal_pass *last = &journal->passes[--journal->pass_count];
        free(last->text);
        row_set_clear(&last->made);
    }
}

/* What a journal of format 1 does not say of its ends: a list begins behind row 0, and divide closes a circle but on an arc. */
static bool is_old_list(const struct journal *journal)
{
    return journal->word_count > 0 && strcmp(journal->words[0], "angles") == 0;
}

static bool is_old_arc(const struct journal *journal)
{
    for (size_t i = 0; i < journal->word_count; i++)
        if (strncmp(journal->words[i], "--arc", 5) == 0)
            return true;
    return false;
}

static void take_ends(struct journal *journal)
{
    journal->course.only_start = is_old_list(journal);
    journal->course.closing = !is_old_list(journal) && !is_old_arc(journal);
}

/* Row comes next, come to by making the row before it or not. */
static void stand_at(struct journal *journal, uint64_t row, bool chosen)
{
    journal->next = row;
    journal->chosen = chosen;
    journal->checked = journal->measured = journal->missed = false;
}

static void begin_round(struct journal *journal, enum journal_round round)
{
    journal->came_round = journal->round != JOURNAL_SET_UP && journal->next > journal->steps;
    if (journal->round != round)        /* a movement that only marks takes another time */
        journal->time_count = 0;
    journal->round = round;
    journal->has_note = journal->has_right = false;
    row_set_clear(&journal->made);
    stand_at(journal, 0, false);
}

/* The rows of the pass at work go where those of the others are. */
static void put_pass_by(struct journal *journal)
{
    if (journal->round != JOURNAL_CUT)
        return;
    row_set_clear(&journal->passes[journal->pass - 1].made);
    journal->passes[journal->pass - 1].made = journal->made;
    journal->made = (struct row_set){ .n = 0 };
}

static bool take_pass(struct journal *journal, const struct journal_event *event)
{
    struct row_run open;

    if (event->step == 0 || event->step > journal->pass_count + 1)
        return false;
    if (event->step > journal->pass_count)
        journal_add_pass(journal, event->text);
    put_pass_by(journal);
    begin_round(journal, JOURNAL_CUT);
    struct journal_pass *at = &journal->passes[event->step - 1];
    journal->pass = event->step;
    journal->made = at->made;
    at->made = (struct row_set){ .n = 0 };
    if (at->begun)
        stand_at(journal, row_set_gap(&open, &journal->made, journal_first(journal), journal->steps) ? open.first
                                                                                                    : journal->steps + 1, true);
    at->begun = true;
    return true;
}

void journal_take_begun(struct journal *journal)
{
    if (journal->pass_count == 0)
        journal_add_pass(journal, NULL);
    journal->planned = journal->pass_count;
    if (journal->version == 1) {
        take_ends(journal);
        take_pass(journal, &(struct journal_event){ .step = 1 });
    }
}

static bool take_trial(struct journal *journal, const struct journal_event *event)
{
    (void)event;
    if (journal->round == JOURNAL_CUT)
        return false;
    begin_round(journal, JOURNAL_TRIAL);
    journal->tried = true;
    return true;
}

static bool take_piece(struct journal *journal, const struct journal_event *event)
{
    if (event->step != journal->piece + 1 || journal->round != JOURNAL_CUT)
        return false;
    journal->piece = event->step;
    journal->tried = false;
    drop_passes(journal, journal->planned);
    for (size_t i = 0; i < journal->pass_count; i++) {
        row_set_clear(&journal->passes[i].made);
        journal->passes[i].begun = false;
    }
    begin_round(journal, JOURNAL_CUT);
    journal->pass = 1;
    journal->passes[0].begun = true;
    return true;
}

/* ---- rows ---- */

static bool take_made(struct journal *journal, const struct journal_event *event)
{
    if (journal->round == JOURNAL_SET_UP || event->step != journal->next || event->step > journal->steps)
        return false;
    row_set_add(&journal->made, event->step, event->step);
    stand_at(journal, event->step + 1, false);
    journal->times[journal->time_count++ % JOURNAL_TIMES] = event->seconds < 1000000 ? (unsigned)event->seconds : 1000000U;
    return true;
}

static bool take_back(struct journal *journal, const struct journal_event *event)
{
    if (journal->round == JOURNAL_SET_UP || event->step > journal->steps)
        return false;
    row_set_remove(&journal->made, event->step);
    stand_at(journal, event->step, true);
    return true;
}

static bool take_go(struct journal *journal, const struct journal_event *event)
{
    if (journal->round == JOURNAL_SET_UP || event->step > journal->steps)
        return false;
    if (event->from < event->step)
        row_set_add(&journal->made, event->from, event->step - 1);
    stand_at(journal, event->step, true);
    return true;
}

static bool take_set_up(struct journal *journal, const struct journal_event *event)
{
    if (journal->round != JOURNAL_SET_UP)
        return false;
    journal->set_up = event->step;
    return true;
}

static bool take_check(struct journal *journal, const struct journal_event *event)
{
    if (event->step + 1 != journal->next)
        return false;
    journal->checked = event->right;
    if (event->right) {
        journal->has_right = true;
        journal->right = event->step;
    }
    return true;
}

static bool take_measure(struct journal *journal, const struct journal_event *event)
{
    if (event->step + 1 != journal->next)
        return false;
    journal->measured = true;
    return true;
}

static bool take_miss(struct journal *journal, const struct journal_event *event)
{
    (void)event;
    if (journal->next != journal->steps)
        return false;
    journal->missed = true;
    return true;
}

static bool take_note(struct journal *journal, const struct journal_event *event)
{
    snprintf(journal->last_note, sizeof journal->last_note, "%s", event->text);
    journal->last_note_row = event->step;
    journal->has_note = true;
    return true;
}

bool journal_take(struct journal *journal, const struct journal_event *event)
{
    static bool (*const take[EVENT_KINDS])(struct journal *, const struct journal_event *) = {
        [EVENT_SET_UP] = take_set_up, [EVENT_TRIAL] = take_trial, [EVENT_PASS] = take_pass,   [EVENT_MADE] = take_made,
        [EVENT_BACK] = take_back,     [EVENT_GO] = take_go,       [EVENT_NOTE] = take_note,   [EVENT_CHECK] = take_check,
        [EVENT_MEASURED] = take_measure, [EVENT_MISSED] = take_miss, [EVENT_PIECE] = take_piece,
    };

    if (event->kind == EVENT_OPENED)        /* changes nothing */
        return true;
    return take[event->kind] != NULL && take[event->kind](journal, event);
}

/* ---- what is done, and what is open ---- */

uint64_t journal_first(const struct journal *journal)
{
    return journal->course.only_start ? 1 : 0;
}

static bool has_all(const struct journal *journal, const struct row_set *made)
{
    uint64_t first = journal_first(journal);

    return row_set_count(made, first, journal->steps) == journal->steps - first + 1;
}

bool journal_round_done(const struct journal *journal)
{
    return journal->round != JOURNAL_SET_UP && has_all(journal, &journal->made) &&
           (journal->next > journal->steps || !journal->chosen);
}

uint64_t journal_open_pass(const struct journal *journal)
{
    for (uint64_t pass = 1; pass <= journal->pass_count; pass++) {
        bool at_work = journal->round == JOURNAL_CUT && pass == journal->pass;
        if (at_work ? !journal_round_done(journal) : !has_all(journal, &journal->passes[pass - 1].made))
            return pass;
    }
    return 0;
}

bool journal_done(const struct journal *journal)
{
    return journal->round == JOURNAL_CUT && journal->piece >= journal->course.pieces && journal_open_pass(journal) == 0;
}

uint64_t journal_passed(const struct journal *journal)
{
    const struct row_set *made = &journal->made;
    uint64_t end = made->n > 0 ? made->run[made->n - 1].last + 1 : 0;

    return journal->next > end ? journal->next : end;
}

void journal_count(uint64_t *made, uint64_t *all, const struct journal *journal)
{
    uint64_t first = journal_first(journal), end = journal->steps + !journal->course.closing;

    *all = end - first;
    *made = end > first ? row_set_count(&journal->made, first, end - 1) : 0;
}

static void rows_words(char *buf, size_t size, const struct row_set *made, uint64_t first, uint64_t end)
{
    struct row_run run;
    size_t used = 0;

    buf[0] = '\0';
    for (; first < end && row_set_gap(&run, made, first, end - 1); first = run.last + 1) {
        const char *between = used > 0 ? ", " : "";
        int n;
        if (used + JOURNAL_ROWS / 3 > size) {
            snprintf(buf + used, size - used, " and more");
            return;
        }
        if (run.first == 0) {
            run.last = 0;
            n = snprintf(buf, size, "the start");
        } else if (run.first == run.last) {
            n = snprintf(buf + used, size - used, "%sstep %" PRIu64, between, run.first);
        } else {
            n = snprintf(buf + used, size - used, "%ssteps %" PRIu64 " to %" PRIu64, between, run.first, run.last);
        }
        used += (size_t)n;
    }
}

void journal_rows_words(char *buf, size_t size, const struct journal *journal, uint64_t first, uint64_t end)
{
    uint64_t least = journal_first(journal);

    rows_words(buf, size, &journal->made, first > least ? first : least, end);
}

const struct row_set *journal_begun_pass(const struct journal *journal, uint64_t pass, uint64_t *end)
{
    bool at_work = journal->round != JOURNAL_CUT || pass == journal->pass;

    *end = at_work ? journal_passed(journal) : journal->steps + 1;
    if (at_work)
        return &journal->made;
    return journal->passes[pass - 1].begun ? &journal->passes[pass - 1].made : NULL;
}

void journal_open_words(char *buf, size_t size, const struct journal *journal, uint64_t pass)
{
    uint64_t end;
    const struct row_set *made = journal_begun_pass(journal, pass, &end);

    buf[0] = '\0';
    if (made != NULL)
        rows_words(buf, size, made, journal_first(journal), end);
}
