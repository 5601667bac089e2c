/* follow_words.c: where the job stands and what to do now, in words to be read from the machine. */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/job/job.h"
#include "cli/keep/follow.h"
#include "cli/keep/hands.h"
#include "cli/keep/journal.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

/* ---- large numbers ---- */

#define DIGIT_ROWS 5

/* Three dots a row, the left one worth 4. */
static const unsigned char dots[10][DIGIT_ROWS] = {
    { 7, 5, 5, 5, 7 }, { 2, 6, 2, 2, 7 }, { 7, 1, 7, 4, 7 }, { 7, 1, 7, 1, 7 }, { 5, 5, 7, 1, 1 },
    { 7, 4, 7, 1, 7 }, { 7, 4, 7, 5, 7 }, { 7, 1, 1, 1, 1 }, { 7, 5, 7, 5, 7 }, { 7, 5, 7, 1, 7 },
};

struct banner {
    char row[DIGIT_ROWS][400];
    unsigned columns;
    unsigned dot;               /* columns of a dot */
    const char *ink;
};

static void banner_text(struct banner *banner, const char *text)
{
    unsigned n = (unsigned)strlen(text);

    for (unsigned r = 0; r < DIGIT_ROWS; r++) {
        size_t used = strlen(banner->row[r]);
        snprintf(banner->row[r] + used, sizeof banner->row[r] - used, "%*s", (int)n,
                 r + 1 == DIGIT_ROWS ? text : "");
    }
    banner->columns += n;
}

static void banner_digit(struct banner *banner, unsigned digit)
{
    for (unsigned r = 0; r < DIGIT_ROWS; r++) {
        char *row = banner->row[r];
        for (unsigned bit = 4; bit > 0; bit /= 2)
            for (unsigned i = 0; i < banner->dot; i++)
                strcat(row, (dots[digit][r] & bit) != 0 ? banner->ink : " ");
    }
    banner->columns += 3 * banner->dot;
}

static void banner_number(struct banner *banner, uint64_t number, const char *unit)
{
    char digits[24];

    snprintf(digits, sizeof digits, "%" PRIu64, number);
    for (const char *d = digits; *d != '\0'; d++) {
        banner_text(banner, banner->dot > 1 ? "  " : " ");
        banner_digit(banner, (unsigned)(*d - '0'));
    }
    banner_text(banner, " ");
    banner_text(banner, unit);
}

/* The numbers of a movement, five lines high, if they fit with dots of this width. */
static bool draw_move(struct text *t, const struct hand_move *move, unsigned dot)
{
    struct banner banner = { .dot = dot, .ink = t->ascii ? "#" : "\xE2\x96\x88" };

    if (move->turns > 9999 || move->holes > 9999)
        return false;
    if (move->part == HAND_PIN)
        banner_text(&banner, "pin");
    if (move->turns > 0)
        banner_number(&banner, move->turns, move->turns == 1 ? "turn" : "turns");
    if (move->holes > 0 || move->part == HAND_PIN)
        banner_number(&banner, move->holes,
                      move->part == HAND_PIN ? "" : move->holes == 1 ? "hole" : "holes");
    if (banner.columns > t->width)
        return false;
    for (unsigned r = 0; r < DIGIT_ROWS; r++) {
        size_t n = strlen(banner.row[r]);
        while (n > 0 && banner.row[r][n - 1] == ' ')
            banner.row[r][--n] = '\0';
        fprintf(t->out, "%s\n", banner.row[r]);
        t->line++;
    }
    return true;
}

/* ---- parts of the picture ---- */

static void gap(struct text *t, struct follow_look look)
{
    if (look.airy)
        text_blank(t);
}

static void duration(char *buf, size_t size, uint64_t seconds)
{
    if (seconds >= 3600)
        snprintf(buf, size, "%" PRIu64 " h %" PRIu64 " min", seconds / 3600, seconds / 60 % 60);
    else if (seconds >= 600 || (seconds >= 60 && seconds % 60 == 0))
        snprintf(buf, size, "%" PRIu64 " min", seconds / 60);
    else if (seconds >= 60)
        snprintf(buf, size, "%" PRIu64 " min %" PRIu64 " s", seconds / 60, seconds % 60);
    else
        snprintf(buf, size, "%" PRIu64 " s", seconds);
}

/* How many positions are cut, and how many there are; the start of a list and the closing check are none. */
static void count_cuts(uint64_t *made, uint64_t *all, const struct follow *follow)
{
    uint64_t first = follow->job.request.position_count > 0 ? 1 : 0;
    uint64_t end = follow->journal.steps + (follow->job.plan.has_closing && first == 0 ? 0 : 1);

    *all = end - first;
    *made = end > first ? row_set_count(&follow->journal.made, first, end - 1) : 0;
}

static void write_progress(struct text *t, const struct follow *follow)
{
    unsigned each = journal_median(&follow->journal);
    uint64_t made, all;
    char one[64], rest[64];

    count_cuts(&made, &all, follow);
    if (each == 0 || made == all) {
        text_para(t, "", "", "%" PRIu64 " made, %" PRIu64 " left", made, all - made);
        return;
    }
    duration(one, sizeof one, each);
    duration(rest, sizeof rest, (all - made) * each);
    text_para(t, "", "", "%" PRIu64 " made, %" PRIu64 " left; %s each, about %s to go", made, all - made, one, rest);
}

/* Rows that were passed over and left for later. */
static void write_open(struct text *t, const struct follow *follow)
{
    char open[JOURNAL_ROWS];

    journal_rows_words(open, sizeof open, &follow->journal, 0, journal_passed(&follow->journal));
    if (open[0] != '\0')
        text_para(t, "", "  ", "OPEN: %s", open);
}

static void write_title(struct text *t, const struct follow *follow)
{
    char setting[2 * WORDS];

    setting_words(setting, sizeof setting, &follow->job.head, &follow->job.plan);
    if (follow->journal.piece > 1)
        text_para(t, "", "  ", "%s, piece %" PRIu64, follow->title, follow->journal.piece);
    else
        text_para(t, "", "  ", "%s", follow->title);
    text_para(t, "", "  ", "%s", setting);
}

static void write_step_name(struct text *t, const struct follow *follow)
{
    const struct cc_step *now = &follow->now;
    char division[48] = "", buf[LABEL_SIZE];
    const char *label = job_label(&follow->job, now, buf, sizeof buf);

    if (follow->job.plan.block > 1 && !now->closing)
        snprintf(division, sizeof division, ", division %" PRIu64, now->division);
    if (now->step == 0)
        text_para(t, "", "  ", "START%s%s%s", division, label != NULL ? ": " : "", label != NULL ? label : "");
    else if (now->closing)
        text_para(t, "", "  ", "CLOSING CHECK: move, do not cut");
    else
        text_para(t, "", "  ", "STEP %" PRIu64 " of %" PRIu64 "%s%s%s", now->step, follow->journal.steps, division,
                  label != NULL ? ": " : "", label != NULL ? label : "");
    if (row_set_has(&follow->journal.made, now->step))
        text_para(t, "", "  ", "Made before: move; do not cut here unless it is to be cut again.");
}

/* One plunger of a direct plate; a fixture has pins there. */
static bool by_plunger(const struct cc_plan *plan)
{
    return cc_plan_is_direct(plan) && plan->circle2 == 0;
}

static const char *start_words(const struct cc_plan *plan)
{
    if (cc_plan_is_compound(plan))
        return "Crank pin and second pin, each in the hole marked for it.";
    return by_plunger(plan) ? "Plunger in the hole marked 0." : "Pin in the hole marked 0.";
}

static void write_moves(struct text *t, const struct follow *follow, struct follow_look look)
{
    struct hand_move moves[2];
    unsigned n = hand_moves(moves, &follow->job.plan, &follow->now);
    char words[WORDS];

    if (n == 0) {
        text_para(t, "", "  ", "%s", follow->now.step == 0 ? start_words(&follow->job.plan) : "No movement: stay in this hole.");
        return;
    }
    for (unsigned i = 0; i < n; i++) {
        hand_words(words, sizeof words, &moves[i]);
        text_para(t, "", "  ", "%s%s", i > 0 ? "then " : "", words);
        if (look.large && !draw_move(t, &moves[i], 2))
            draw_move(t, &moves[i], 1);
    }
}

static void write_landing(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct cc_plan *plan = &follow->job.plan;
    char lands[WORDS], from[WORDS], angle[WORDS], mind[WORDS];

    pins_words(lands, sizeof lands, plan, follow->now.hole, follow->now.hole2);
    text_para(t, "", "  ", "LANDS in %s", lands);
    if (follow->has_from) {
        pins_words(from, sizeof from, plan, follow->from.hole, follow->from.hole2);
        text_para(t, "", "  ", "from %s", from);
    }
    spindle_words(angle, sizeof angle, follow->now.angle);
    if (!look.brief)
        text_para(t, "", "  ", "spindle then at %s", angle);
    if (follow->job.view.grow != CC_WAY_UNKNOWN && job_forward(&follow->job, plan) == CC_COUNTER)
        text_para(t, "", "  ", "Forward is COUNTER-CLOCKWISE in this job.");
    caution_words(mind, sizeof mind, plan, &follow->now);
    if (mind[0] != '\0')
        text_para(t, "", "", "%s", mind);
}

static void write_what_to_cut(struct text *t, const struct follow *follow)
{
    const struct cc_step *now = &follow->now;

    if (now->step == 0 && follow->job.request.position_count > 0)
        text_para(t, "", "", "Nothing is cut at the start.");
    else if (now->step == 0)
        text_para(t, "", "", "Cut the first position here.");
    else if (now->closing)
        text_para(t, "", "", "It must fall on the first cut. If it does not, do not cut on.");
}

static void write_note(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;

    if (journal->has_note && journal->last_note_row == journal->next)
        text_para(t, "", "  ", "note: %s", journal->last_note);
}

/* What must be seen on the head and the work before it goes on. */
static void write_what_stands(struct text *t, const struct follow *follow)
{
    char place[WORDS], angle[WORDS];
    uint64_t made, all;

    pins_words(place, sizeof place, &follow->job.plan, follow->from.hole, follow->from.hole2);
    spindle_words(angle, sizeof angle, follow->from.angle);
    count_cuts(&made, &all, follow);
    text_para(t, "", "", "The %s must stand in %s, the spindle at %s, and the work must have %" PRIu64 " cut%s. Look, and "
              "count the cuts, before you go on.", by_plunger(&follow->job.plan) ? "plunger" : "pin", place, angle,
              made, made == 1 ? "" : "s");
}

static void write_offer(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;

    gap(t, look);
    if (journal_done(journal)) {
        text_para(t, "", "", "This job is done: all %" PRIu64 " steps are made.", journal->steps);
        gap(t, look);
        text_para(t, "", "", "Enter begins piece %" PRIu64 " at the start; b goes back to the last step; q leaves.",
                  journal->piece + 1);
        return;
    }
    if (journal->next > journal->steps)
        text_para(t, "", "", "This job was begun before. It is at its end, and not done.");
    else
        text_para(t, "", "", "This job was begun before. Step %" PRIu64 " of %" PRIu64 " comes next.", journal->next,
                  journal->steps);
    write_progress(t, follow);
    write_open(t, follow);
    if (follow->has_from)
        write_what_stands(t, follow);
    gap(t, look);
    if (follow->has_from)
        text_para(t, "", "", "It stands elsewhere? q, then crankcard recover --job %s --hole H", journal->name);
    text_para(t, "", "", "Enter goes on there; q leaves. To begin anew: crankcard follow --forget %s", journal->name);
}

static void write_work(struct text *t, const struct follow *follow, struct follow_look look)
{
    gap(t, look);
    write_step_name(t, follow);
    gap(t, look);
    write_moves(t, follow, look);
    gap(t, look);
    write_landing(t, follow, look);
    write_what_to_cut(t, follow);
    write_note(t, follow);
    gap(t, look);
    write_progress(t, follow);
    write_open(t, follow);
    if (!look.brief)
        text_para(t, "", "", "%s", job_is_helix(&follow->job)
                      ? "CLAMP STAYS OFF. Cutter stopped and clear, table back past its start and forward to it; move, knee up, cut."
                      : cc_plan_is_direct(&follow->job.plan)
                      ? "Cutter stopped and clear before hands go in. Clamp off, move, plunger in, push back against it, clamp on, cut."
                      : cc_plan_is_compound(&follow->job.plan)
                      ? "Cutter stopped and clear before hands go in. Clamp off, move, never both pins out, clamp on, cut."
                      : "Cutter stopped and clear before hands go in. Clamp off, move, clamp on, cut.");
}

static void write_done(struct text *t, const struct follow *follow, struct follow_look look)
{
    bool done = journal_done(&follow->journal);

    gap(t, look);
    text_para(t, "", "", done ? "ALL MADE" : "NOT DONE: the end is reached, and some is open.");
    gap(t, look);
    write_progress(t, follow);
    write_open(t, follow);
    if (follow->job.plan.has_closing && row_set_has(&follow->journal.made, follow->journal.steps))
        text_para(t, "", "", "The last movement must have fallen on the first cut. If it did not, something was "
                  "miscounted or has slipped.");
    text_para(t, "", "", done ? "Enter or q leaves; b goes back."
                              : "g and its number goes to one that is open; Enter or q leaves; b goes back.");
}

/* Gone forward past rows that are not made. */
static void write_question(struct text *t, const struct follow *follow, struct follow_look look)
{
    const struct journal *journal = &follow->journal;
    char rows[JOURNAL_ROWS];

    journal_rows_words(rows, sizeof rows, journal, journal->next, follow->wanted);
    gap(t, look);
    text_para(t, "", "  ", "TO STEP %" PRIu64 " of %" PRIu64, follow->wanted, journal->steps);
    gap(t, look);
    text_para(t, "", "  ", "Not confirmed on the way: %s.", rows);
    gap(t, look);
    text_para(t, "", "   ", "c  Cut already: look at the work. They count as made.");
    text_para(t, "", "   ", "l  Left for later: they stay open until they are cut.");
    text_para(t, "", "   ", "n  Neither: stay where it was.");
}

void follow_write(struct text *t, const struct follow *follow, struct follow_look look)
{
    if (!look.brief)
        write_title(t, follow);
    if (follow->stage == FOLLOW_OFFER)
        write_offer(t, follow, look);
    else if (follow->stage == FOLLOW_ASK)
        write_question(t, follow, look);
    else if (follow->has_now)
        write_work(t, follow, look);
    else
        write_done(t, follow, look);
}
