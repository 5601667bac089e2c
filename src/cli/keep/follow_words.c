/* follow_words.c: the movement to make now, in words to be read from the machine. */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/job/job.h"
#include "cli/keep/follow.h"
#include "cli/keep/follow_parts.h"
#include "cli/keep/follow_stages.h"
#include "cli/keep/hands.h"
#include "cli/keep/journal.h"
#include "cli/keep/large_move.h"
#include "cli/out/setup.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

static void write_step_name(struct text *t, const struct follow *follow, struct follow_look look)
{
    char round[JOURNAL_NOTE + 64];

    const struct cc_step *now = &follow->now;
    char division[48] = "", buf[LABEL_SIZE];
    const char *label = job_label(&follow->job, now, buf, sizeof buf);

    follow_round_words(round, sizeof round, &follow->journal);
    if (follow->job.plan.block > 1 && !now->closing)
        snprintf(division, sizeof division, ", division %" PRIu64, now->division);
    if (now->step == 0)
        text_para(t, "", "  ", "START%s%s%s", division, label != NULL ? ": " : "", label != NULL ? label : "");
    else if (now->closing)
        text_para(t, "", "  ", "CLOSING CHECK: move, do not %s", follow_mark_word(follow));
    else
        text_para(t, "", "  ", "STEP %" PRIu64 " of %" PRIu64 "%s%s%s", now->step, follow->journal.steps, division,
                  label != NULL ? ": " : "", label != NULL ? label : "");
    if (look.brief > 0 && round[0] != '\0' && follow->journal.round == JOURNAL_CUT)
        text_para(t, "", "  ", "%s", round);
    if (row_set_has(&follow->journal.made, now->step))
        text_para(t, "", "  ", "%s", follow->journal.round == JOURNAL_TRIAL ? "Marked before: move on." :
                  "Made before: move; do not cut here unless it is to be cut again.");
}

/* Whether a whole round came before this one: then it does not begin where the set-up has left it. */
static bool is_later_round(const struct journal *journal)
{
    return journal->round == JOURNAL_CUT && (journal->tried || journal->pass > 1 || journal->piece > 1);
}

static const char *start_hole_words(const struct cc_plan *plan)
{
    if (cc_plan_is_compound(plan))
        return "Crank pin and second pin, each in the hole marked for it.";
    if (cc_plan_is_dial(plan))
        return "Dial at 0, come up to forward; and the rim at 0, if there is one.";
    return follow_by_plunger(plan) ? "Plunger in the hole marked 0." : "Pin in the hole marked 0.";
}

/* How row 0 is come to; false where the movement of the row says so. */
static bool write_start(struct text *t, const struct follow *follow, bool moves)
{
    const struct job *job = &follow->job;

    if (!is_later_round(&follow->journal)) {
        if (!moves)
            text_para(t, "", "  ", "%s", start_hole_words(&job->plan));
        return !moves;
    }
    if (follow->journal.pass == 1 && follow->journal.piece > 1)
        text_para(t, "", "  ", "The next work in, and tight.");
    if (!job->plan.has_closing || !follow->journal.came_round) {
        text_para(t, "", "  ", "To the start: %s.", setup_back_to_zero(&job->plan));
        return !moves;
    }
    if (moves)
        text_para(t, "", "  ", "No movement: the last one of a whole round ends at the first position.");
    else
        text_para(t, "", "  ", "%s", start_hole_words(&job->plan));
    if (!setup_ends_where_it_began(job))
        text_para(t, "", "  ", "%s", cc_plan_is_dial(&job->plan)
                      ? "That is where the last round ended: set the dial to 0 anew there."
                      : "That is the hole in which the last round ended: number the holes from it, as from the first.");
    return true;
}

/* By the dial: whole turns, then on to a reading. */
static void write_dial_move(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct cc_step *now = &follow->now;
    uint64_t turns = (uint64_t)llabs(now->turns);
    char dial[WORDS], rim[WORDS], all[3 * WORDS], count[40] = "";

    dial_place_words(dial, rim, sizeof dial, &follow->job, now);
    if (now->turns == 0 && now->holes == 0) {
        text_para(t, "", "  ", "No movement: stay at this reading.");
        return;
    }
    if (turns > 0)
        snprintf(count, sizeof count, "%" PRIu64 " whole turn%s, then ", turns, turns == 1 ? "" : "s");
    if (now->turns < 0 || now->holes < 0)
        text_para(t, "", "  ", "crank back %s%s to %s", count, turns > 0 ? "back" : "", dial);
    else
        text_para(t, "", "  ", "crank %son to %s", count, dial);
    snprintf(count, sizeof count, "%" PRIu64 " turn%s", turns, turns == 1 ? "" : "s");
    snprintf(all, sizeof all, "%s%s", turns > 0 ? count : "", dial);
    large_words(t, all, look.large);
}

static void write_moves(struct text *t, const struct follow *follow, struct follow_look look)
{
    struct hand_move moves[2];
    unsigned n = hand_moves(moves, &follow->job.plan, &follow->now);
    char words[WORDS];

    if (follow->now.step == 0 && write_start(t, follow, n > 0))
        return;
    if (cc_plan_is_dial(&follow->job.plan)) {
        write_dial_move(t, follow, look);
        return;
    }
    if (n == 0)
        text_para(t, "", "  ", "No movement: stay in this hole.");
    for (unsigned i = 0; i < n; i++) {
        hand_words(words, sizeof words, &moves[i]);
        text_para(t, "", "  ", "%s%s", i > 0 ? "then " : "", words);
        large_move(t, &moves[i], look.large);
    }
}

/* Which way is forward; brief: in a word or two. */
static const char *forward_words(const struct job *job, bool brief)
{
    if (cc_plan_is_direct(&job->plan))
        return brief ? "one way" : "always turn the same way";
    if (job_is_helix(job) && !job_has_hand(job))
        return brief ? "as the feed turns" : "forward as the feed turns the crank";
    if (job->view.grow == CC_WAY_UNKNOWN)
        return brief ? "clockwise" : "forward clockwise, or the one way you began";
    if (job_forward(job, &job->plan) == CC_COUNTER)
        return brief ? "COUNTER-CLOCKWISE" : "forward COUNTER-CLOCKWISE";
    return brief ? "clockwise" : "forward clockwise";
}

/* What the arms stand at, and which way is forward. */
static void write_arms(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct job *job = &follow->job;
    const struct cc_plan *plan = &job->plan;
    int64_t spaces;
    bool behind = false, once = setup_arms(&spaces, &behind, job);
    bool arms = once || (job_is_list(job) && setup_step_arms(&spaces, &behind, plan, &follow->now));
    char set[WORDS] = "";

    if (cc_plan_is_dial(plan)) {
        text_para(t, "", "  ", "%s", setup_forward_by_dial(job));
        return;
    }
    if (arms)
        snprintf(set, sizeof set, "arms %s%" PRId64 " spaces, %" PRId64 " holes%s ", behind ? "behind the pin, " : "", spaces, spaces + 1,
                 look.brief > 1 ? "," : ";");
    text_para(t, "", "  ", "%s%s", set, forward_words(job, look.brief > 1));
}

/* Where it lands, and what shows that it has. */
static void write_landing(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct job *job = &follow->job;
    char lands[WORDS], from[WORDS], angle[WORDS], mind[WORDS], rim[WORDS] = "";

    if (cc_plan_is_dial(&job->plan))
        dial_place_words(lands, rim, sizeof lands, job, &follow->now);
    else
        pins_words(lands, sizeof lands, &job->plan, follow->now.hole, follow->now.hole2);
    text_para(t, "", "  ", cc_plan_is_dial(&job->plan) ? "LANDS at %s on the dial" : "LANDS in %s", lands);
    if (rim[0] != '\0')
        text_para(t, "", "  ", "THE RIM MUST SHOW %s%s", rim, follow->now.step > 0 ? ": if not, a turn is lost" : "");
    if (follow->has_from && look.brief < 2) {
        place_words(from, sizeof from, job, &follow->from);
        text_para(t, "", "  ", "from %s", from);
    }
    spindle_words(angle, sizeof angle, follow->now.angle);
    if (look.brief < 2 && rim[0] == '\0')
        text_para(t, "", "  ", "spindle then at %s", angle);
    write_arms(t, follow, look);
    caution_words(mind, sizeof mind, &job->plan, &follow->now);
    if (mind[0] != '\0')
        text_para(t, "", "", "%s", mind);
}

static void write_what_to_mark(struct text *t, const struct follow *follow)
{
    if (follow->now.step < journal_first(&follow->journal))
        text_para(t, "", "", "Nothing is marked at the start.");
    else if (follow->now.closing)
        text_para(t, "", "", "It must fall on the first mark. Look: a mark of its own beside it is a setting that is wrong.");
    else
        text_para(t, "", "", "TRIAL: mark it lightly, do not cut.");
}

static void write_what_to_cut(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;
    const struct cc_step *now = &follow->now;
    const char *text = follow_pass_text(journal);

    if (now->step < journal_first(journal))
        text_para(t, "", "", "Nothing is cut at the start.");
    else if (now->closing)
        text_para(t, "", "", "It must fall on the first cut. If it does not, do not cut on.");
    else if (*text != '\0' && look.brief > 1)
        return;         /* the remark stands beside the step */
    else if (follow_pass_is(journal, "rough"))
        text_para(t, "", "  ", "%s: to its depth here, in as many cuts as it takes.", text);
    else if (*text != '\0')
        text_para(t, "", "  ", "%s: one depth all the way round.", text);
    else if (now->step == 0)
        text_para(t, "", "", "Cut the first position here.");
}

static void write_note(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;

    if (journal->has_note && journal->last_note_row == journal->next)
        text_para(t, "", "  ", "note: %s", journal->last_note);
}

/* What the hands do each time, before they cut or mark. */
static const char *each_words(const struct job *job, bool trial)
{
    if (job_is_helix(job) && trial)
        return "CLAMP STAYS OFF. Cutter stopped and clear, table back past its start and forward to it; move, and there, with the knee down";
    if (job_is_helix(job))
        return "CLAMP STAYS OFF. Cutter stopped and clear, table back past its start and forward to it; move, knee up";
    if (cc_plan_is_direct(&job->plan))
        return "Cutter stopped and clear before hands go in. Clamp off, move, plunger in, push back against it, clamp on";
    if (cc_plan_is_dial(&job->plan))
        return "Cutter stopped and clear before hands go in. Clamp off, crank up to the reading, clamp on";
    if (cc_plan_is_compound(&job->plan))
        return "Cutter stopped and clear before hands go in. Clamp off, move, never both pins out, clamp on";
    return "Cutter stopped and clear before hands go in. Clamp off, move, clamp on";
}

static void write_work(struct text *t, const struct follow *follow, struct follow_look look)
{
    bool trial = follow->journal.round == JOURNAL_TRIAL;

    follow_gap(t, look);
    write_step_name(t, follow, look);
    follow_gap(t, look);
    write_moves(t, follow, look);
    follow_gap(t, look);
    write_landing(t, follow, look);
    if (trial)
        write_what_to_mark(t, follow);
    else
        write_what_to_cut(t, follow, look);
    write_note(t, follow);
    follow_gap(t, look);
    follow_write_progress(t, follow, look);
    follow_write_open(t, follow);
    if (look.brief == 0)
        text_para(t, "", "", "%s, %s.", each_words(&follow->job, trial), follow_mark_word(follow));
}

void follow_write(struct text *t, const struct follow *follow, struct follow_look look)
{
    if (look.brief == 0)
        follow_write_title(t, follow);
    if (follow->stage == FOLLOW_AT_WORK && follow->has_now)
        write_work(t, follow, look);
    else
        follow_write_stage(t, follow, look);
}
