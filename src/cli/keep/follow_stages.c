/* follow_stages.c: see follow_stages.h. The bench procedures are common practice. */
#include "cli/keep/follow_stages.h"

#include <inttypes.h>
#include <string.h>

#include "cli/keep/follow_check.h"
#include "cli/keep/follow_parts.h"
#include "cli/keep/hands.h"
#include "cli/out/slips.h"
#include "cli/out/words.h"

/* ---- the job was begun before ---- */

/* What must be seen on the head: "The pin must stand in hole 7 of the 19 circle, the spindle at 12°00′00″". */
static void seen_words(char *buf, size_t size, const struct follow *follow)
{
    const struct job *job = &follow->job;
    char place[WORDS], angle[WORDS], rim[WORDS];

    spindle_words(angle, sizeof angle, follow->from.angle);
    if (cc_plan_is_dial(&job->plan)) {
        dial_place_words(place, rim, sizeof place, job, &follow->from);
        snprintf(buf, size, "The dial must read %s, the %s %s", place, rim[0] != '\0' ? "rim" : "spindle's scale", rim[0] != '\0' ? rim : angle);
        return;
    }
    place_words(place, sizeof place, job, &follow->from);
    snprintf(buf, size, "The %s must stand in %s, the spindle at %s", follow_by_plunger(&job->plan) ? "plunger" : "pin", place, angle);
}

/* What must be seen on the head and the work before it goes on. */
static void write_what_stands(struct text *t, const struct follow *follow)
{
    char place[4 * WORDS];
    uint64_t made, all;

    if (!follow->has_from) {
        setting_words(place, sizeof place, &follow->job.head, &follow->job.plan);
        text_para(t, "", "", "The set-up of its card must stand: %s; u shows it. Look before you go on.", place);
        return;
    }
    journal_count(&made, &all, &follow->journal);
    seen_words(place, sizeof place, follow);
    text_para(t, "", "", "%s, and the work must have %" PRIu64 " %s%s%s. Look, and count the %ss, before you go on.", place, made,
              follow_mark_word(follow), made == 1 ? "" : "s", follow->journal.pass > 1 ? " of this pass" : "", follow_mark_word(follow));
}

static void write_done_before(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;

    text_para(t, "", "", "This job is done: all %" PRIu64 " steps are made.", journal->steps);
    follow_gap(t, look);
    text_para(t, "", "", "Enter begins piece %" PRIu64 " at the start; b goes back to the last step; q leaves.", journal->piece + 1);
}

static void write_where_it_is(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    char round[JOURNAL_NOTE + 64];

    follow_round_words(round, sizeof round, journal);
    const char *in = journal->round == JOURNAL_TRIAL || journal->pass_count > 1 ? round : "";
    if (journal->round == JOURNAL_SET_UP && journal->set_up < follow->setup.n)
        text_para(t, "", "", "This job was begun before. Item %" PRIu64 " of %zu of its set-up comes next; nothing is cut.",
                  journal->set_up + 1, follow->setup.n);
    else if (journal->round == JOURNAL_SET_UP)
        text_para(t, "", "", "This job was begun before. It is set up, and nothing is cut.");
    else if (journal->next > journal->steps)
        text_para(t, "", "", "This job was begun before%s%s. It is at its end, and not done.", *in != '\0' ? ", and is in its " : "", in);
    else
        text_para(t, "", "", "This job was begun before%s%s. Step %" PRIu64 " of %" PRIu64 " comes next.",
                  *in != '\0' ? ", and is in its " : "", in, journal->next, journal->steps);
}

static void write_offer(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;

    if (journal_done(journal)) {
        write_done_before(t, follow, look);
        return;
    }
    write_where_it_is(t, follow);
    if (journal->round != JOURNAL_SET_UP) {
        follow_write_progress(t, follow, look);
        follow_write_open(t, follow);
        write_what_stands(t, follow);
    }
    follow_gap(t, look);
    if (follow->has_from)
        text_para(t, "", "", "It stands elsewhere? Enter, then r; or q, then crankcard recover --job %s %s", journal->name,
                  cc_plan_is_dial(&follow->job.plan) ? "--dial READING" : "--hole H");
    text_para(t, "", "", "Enter goes on there; q leaves. To begin anew: crankcard follow --forget %s", journal->name);
}

/* ---- set-up ---- */

static void write_item(struct text *t, const struct follow *follow, size_t i, const char *box)
{
    char first[32], rest[32];
    int n = snprintf(first, sizeof first, "%s%zu. ", box, i + 1);

    snprintf(rest, sizeof rest, "%*s", n, "");
    text_para(t, first, t->width < 50 ? "" : rest, "%s", follow->setup.at[i].words);
}

/* The item that is at hand, and some of those behind it. */
static void write_set_up(struct text *t, const struct follow *follow, struct follow_look look)
{
    size_t at = (size_t)follow->journal.set_up, n = follow->setup.n;

    if (at > 0)
        text_para(t, "", "  ", "SET-UP: %zu of %zu done", at, n);
    else
        text_para(t, "", "  ", "SET-UP: %zu items, each ticked when it is done", n);
    follow_gap(t, look);
    write_item(t, follow, at, "[ ] ");
    for (size_t i = at + 1; i < n && i <= at + look.more; i++)
        write_item(t, follow, i, "    ");
}

static void write_read(struct text *t, const struct follow *follow, struct follow_look look)
{
    text_para(t, "", "  ", "SET-UP, item %zu of %zu, to read again", follow->page + 1, follow->setup.n);
    follow_gap(t, look);
    for (size_t i = follow->page; i < follow->setup.n && i <= follow->page + look.more; i++)
        write_item(t, follow, i, "");
}

static void write_round(struct text *t, const struct follow *follow, struct follow_look look)
{
    bool round = follow->job.plan.has_closing;

    text_para(t, "", "  ", "SET UP");
    follow_gap(t, look);
    text_para(t, "", "", round ? "Now a trial round: each position is marked lightly, and nothing is cut; the last movement must fall on "
                                 "the first mark. It costs a few minutes, and a wrong setting costs the part."
                               : "Now a trial run: each position is marked lightly, and nothing is cut; then one gap is held against "
                                 "another. It costs a few minutes, and a wrong setting costs the part.");
    text_para(t, "", "", "Enter begins it. c cuts at once: where this setting has been proven already.");
}

/* ---- stops on the way ---- */

static void write_check(struct text *t, const struct follow *follow, struct follow_look look)
{
    text_para(t, "", "  ", "CHECK after step %" PRIu64 " of %" PRIu64 ": this must be seen", follow->from.step, follow->journal.steps);
    follow_gap(t, look);
    follow_write_sights(t, follow);
    follow_gap(t, look);
    text_para(t, "", "", "Machine off, then look. Enter: all is so. n: it is not.");
}

static void write_measure(struct text *t, const struct follow *follow, struct follow_look look)
{
    const char *text = follow_pass_text(&follow->journal);

    text_para(t, "", "  ", "MEASURE after step %" PRIu64 "%s%s", follow->from.step, *text != '\0' ? ": " : "", text);
    follow_gap(t, look);
    text_para(t, "", "", "Machine off, burr off, measure. m notes what it measures; Enter goes on when it is right.");
}

static void write_missed(struct text *t, const struct follow *follow, struct follow_look look)
{
    bool trial = follow->journal.round == JOURNAL_TRIAL;
    char slips[5 * WORDS];

    text_para(t, "", "  ", "IT DID NOT FALL ON THE FIRST %s: cut nothing.", trial ? "MARK" : "CUT");
    follow_gap(t, look);
    if (trial)
        text_para(t, "", "", "Nothing is spoiled yet. See how far off it fell, and which way; find why; wipe the marks off, go back past "
                  "the zero and come forward into it, and go round again.");
    else
        text_para(t, "", "", "See how far off it stands, and which way, and which cuts are spaced alike. r looks for the place with what "
                  "is seen; y where it falls right after all.");
    slips_words(slips, sizeof slips, &follow->job);
    if (look.brief == 0 && slips[0] != '\0')
        text_para(t, "", "", "What slips look like. %s", slips);
}

/* Gone forward past rows that are not made. */
static void write_ask(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;
    const char *mark = journal->round == JOURNAL_TRIAL ? "Marked" : "Cut";
    char rows[JOURNAL_ROWS];

    journal_rows_words(rows, sizeof rows, journal, journal->next, follow->wanted);
    text_para(t, "", "  ", "TO STEP %" PRIu64 " of %" PRIu64, follow->wanted, journal->steps);
    follow_gap(t, look);
    text_para(t, "", "  ", "Not confirmed on the way: %s.", rows);
    follow_gap(t, look);
    text_para(t, "", "   ", "c  %s already: look at the work. They count as made.", mark);
    text_para(t, "", "   ", "l  Left for later: they stay open until they are %s.", journal->round == JOURNAL_TRIAL ? "marked" : "cut");
    text_para(t, "", "   ", "n  Neither: stay where it was.");
}

/* ---- the end of a round ---- */

/* What comes behind a round that is done. */
static void write_next_round(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    uint64_t open = journal_open_pass(journal);

    if (journal->round == JOURNAL_TRIAL)
        text_para(t, "", "", "Enter begins to cut, from the start; t goes round once more.");
    else if (open > 0)
        text_para(t, "", "", journal->passes[open - 1].begun ? "Enter goes back to pass %" PRIu64 "%s%s; q leaves."
                                                             : "Enter begins pass %" PRIu64 "%s%s; q leaves.", open,
                  journal->passes[open - 1].text != NULL ? ": " : "", journal->passes[open - 1].text != NULL ? journal->passes[open - 1].text : "");
    else if (journal->piece < journal->course.pieces)
        text_para(t, "", "", "Enter begins piece %" PRIu64 " of %" PRIu64 ", when the next work is in; q leaves.", journal->piece + 1,
                  journal->course.pieces);
    else
        text_para(t, "", "", "Enter or q leaves; b goes back; p makes one more pass. What was made when: crankcard follow --record %s",
                  journal->name);
}

static void write_round_done(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    bool trial = journal->round == JOURNAL_TRIAL;

    if (trial && follow->job.plan.has_closing)
        text_para(t, "", "", "It fell on the first mark: the setting is proven. Wipe the marks off.");
    else if (trial)
        text_para(t, "", "", "Hold one gap against another, and the whole against the drawing, before you cut. Wipe the marks off.");
    else if (follow->job.plan.has_closing)
        text_para(t, "", "", "The last movement must have fallen on the first cut. If it did not, something was "
                  "miscounted or has slipped.");
    if (follow_pass_is(journal, "finish") && follow->job.plan.has_closing)
        text_para(t, "", "", "Finishing: cut the first spaces once more at the same depth, by the same movements, until the cutter "
                  "takes nothing.");
}

static void write_end(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;
    bool done = journal_round_done(journal), trial = journal->round == JOURNAL_TRIAL;
    char round[JOURNAL_NOTE + 64];

    follow_round_words(round, sizeof round, journal);
    if (!done)
        text_para(t, "", "", "NOT DONE: the end is reached, and some is open.");
    else if (journal_open_pass(journal) > 0 || journal->piece < journal->course.pieces)
        text_para(t, "", "  ", trial ? "ALL MARKED" : journal_open_pass(journal) > 0 ? "ALL MADE of this pass" : "ALL MADE of this piece");
    else
        text_para(t, "", "", "ALL MADE");
    follow_gap(t, look);
    follow_write_progress(t, follow, look);
    follow_write_open(t, follow);
    if (done)
        write_round_done(t, follow);
    if (done)
        write_next_round(t, follow);
    else
        text_para(t, "", "", trial ? "g and its number goes to one that is open; p begins to cut all the same; t goes round again."
                                   : "g and its number goes to one that is open; p goes on with another pass; Enter or q leaves.");
}

/* ---- any of them ---- */

void follow_write_stage(struct text *t, const struct follow *follow, struct follow_look look)
{
    static void (*const writers[])(struct text *, const struct follow *, struct follow_look) = {
        [FOLLOW_OFFER] = write_offer,     [FOLLOW_SET_UP] = write_set_up, [FOLLOW_ROUND] = write_round,
        [FOLLOW_AT_WORK] = write_end,     [FOLLOW_CHECK] = write_check,   [FOLLOW_MEASURE] = write_measure,
        [FOLLOW_MISSED] = write_missed,   [FOLLOW_ASK] = write_ask,       [FOLLOW_READ] = write_read,
    };

    follow_gap(t, look);
    if (follow->stage < FOLLOW_SEEN)
        writers[follow->stage](t, follow, look);
    else
        text_para(t, "", "", "What is seen now, to look for the place with; Enter alone: not known.");
}

/* ---- keys ---- */

static const char *keys_at_work(const struct follow *follow)
{
    bool trial = follow->journal.round == JOURNAL_TRIAL;

    if (!follow->has_now)
        return trial ? "Enter cut  t again  b back  g go to  u set-up  p cut  q leave"
                     : "Enter go on  b back  g go to  u set-up  p pass  q leave";
    if (follow->now.closing)
        return trial ? "Enter it falls on the first mark  n it does not  b back  g go to  t again  m note  u set-up  r lost  q leave"
                     : "Enter made and checked  n it does not fall right  b back  g go to  m note  u set-up  r lost  q leave";
    if (follow->now.step < journal_first(&follow->journal))
        return "Enter ready  g go to  m note  u set-up  r lost  q leave";
    return trial ? "Enter marked  b back  g go to  t again  m note  u set-up  p cut  r lost  q leave"
                 : "Enter made and cut  b back  g go to  m note  u set-up  p pass  r lost  q leave";
}

static const char *all_keys(const struct follow *follow)
{
    static const char *const keys[] = {
        [FOLLOW_OFFER] = "Enter go on  u set-up  q leave",
        [FOLLOW_SET_UP] = "Enter done  b back  a all is done  m note  q leave",
        [FOLLOW_ROUND] = "Enter trial round  c cut at once  b back  u set-up  q leave",
        [FOLLOW_CHECK] = "Enter all is so  n it is not  b back  m note  u set-up  q leave",
        [FOLLOW_MEASURE] = "Enter measured  m note  b back  u set-up  q leave",
        [FOLLOW_ASK] = "c cut already  l later  n stay  q leave",
        [FOLLOW_READ] = "Enter next  b the one before  u back to the work  q leave",
        [FOLLOW_SEEN] = "q leave",
    };

    if (follow->journal.adrift)
        return "s save beside  q leave";
    if (follow->stage == FOLLOW_MISSED)
        return follow->journal.round == JOURNAL_TRIAL ? "Enter trial again  y it falls right  r lost  b back  m note  u set-up  q leave"
                                                      : "y it falls right  r lost  b back  g go to  m note  u set-up  q leave";
    return follow->stage == FOLLOW_AT_WORK ? keys_at_work(follow) : keys[follow->stage];
}

/* Two blanks stand between keys, and one behind the key itself. */
void follow_keys(char *buf, size_t size, const struct follow *follow, bool brief)
{
    const char *keys = all_keys(follow), *next = strstr(keys, "  ");
    size_t used;

    if (!brief || next == NULL) {
        snprintf(buf, size, "%s", keys);
        return;
    }
    snprintf(buf, size, "%.*s", (int)(next - keys), keys);
    for (; next != NULL; next = strstr(next + 2, "  ")) {
        used = strlen(buf);
        snprintf(buf + used, size - used, "  %.1s", next + 2);
    }
}
