/* follow_parts.c: see follow_parts.h. */
#include "cli/keep/follow_parts.h"

#include <inttypes.h>
#include <string.h>

#include "cli/out/words.h"

void follow_gap(struct text *t, struct follow_look look)
{
    if (look.airy)
        text_blank(t);
}

void follow_duration(char *buf, size_t size, uint64_t seconds)
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

const char *follow_mark_word(const struct follow *follow)
{
    return follow->journal.round == JOURNAL_TRIAL ? "mark" : "cut";
}

/* ---- passes ---- */

const char *follow_pass_text(const struct journal *journal)
{
    const char *text = journal->round == JOURNAL_CUT ? journal->passes[journal->pass - 1].text : NULL;

    return text != NULL ? text : "";
}

bool follow_pass_is(const struct journal *journal, const char *word)
{
    return strncmp(follow_pass_text(journal), word, strlen(word)) == 0;
}

void follow_round_words(char *buf, size_t size, const struct journal *journal)
{
    const char *text = follow_pass_text(journal);

    buf[0] = '\0';
    if (journal->round == JOURNAL_TRIAL)
        snprintf(buf, size, "trial round");
    else if (journal->round == JOURNAL_CUT && journal->pass_count > 1)
        snprintf(buf, size, "pass %" PRIu64 " of %zu%s%s", journal->pass, journal->pass_count, *text != '\0' ? ": " : "", text);
    else if (journal->round == JOURNAL_CUT)
        snprintf(buf, size, "%s", text);
}

/* ---- lines ---- */

void follow_write_title(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    char setting[2 * WORDS], round[JOURNAL_NOTE + 64], piece[64] = "";

    setting_words(setting, sizeof setting, &follow->job.head, &follow->job.plan);
    follow_round_words(round, sizeof round, journal);
    if (journal->course.pieces > 0)
        snprintf(piece, sizeof piece, ", piece %" PRIu64 " of %" PRIu64, journal->piece, journal->course.pieces);
    else if (journal->piece > 1)
        snprintf(piece, sizeof piece, ", piece %" PRIu64, journal->piece);
    text_para(t, "", "  ", "%s%s%s%s", follow->title, piece, round[0] != '\0' ? ", " : "", round);
    text_para(t, "", "  ", "%s", setting);
}

void follow_write_progress(struct text *t, const struct follow *follow, struct follow_look look)
{
    unsigned own = journal_median(&follow->journal);
    unsigned each = own > 0 || follow->journal.round == JOURNAL_TRIAL ? own : follow->pace;
    const char *verb = follow->journal.round == JOURNAL_TRIAL ? "marked" : "made";
    uint64_t made, all;
    char one[64], rest[64];

    journal_count(&made, &all, &follow->journal);
    if (each == 0 || made == all || look.brief > 1) {
        text_para(t, "", "", "%" PRIu64 " %s, %" PRIu64 " left", made, verb, all - made);
        return;
    }
    follow_duration(one, sizeof one, each);
    follow_duration(rest, sizeof rest, (all - made) * each);
    if (own == 0)
        text_para(t, "", "", "%" PRIu64 " %s, %" PRIu64 " left; your pace on this head: %s a movement, about %s to go", made, verb,
                  all - made, one, rest);
    else
        text_para(t, "", "", "%" PRIu64 " %s, %" PRIu64 " left; %s each, about %s to go", made, verb, all - made, one, rest);
}

void follow_write_open(struct text *t, const struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    char open[JOURNAL_ROWS];

    journal_open_words(open, sizeof open, journal, journal->pass);
    if (open[0] != '\0')
        text_para(t, "", "  ", "OPEN: %s", open);
    for (uint64_t pass = 1; journal->round == JOURNAL_CUT && pass <= journal->pass_count; pass++) {
        if (pass == journal->pass)
            continue;
        journal_open_words(open, sizeof open, journal, pass);
        if (open[0] != '\0')
            text_para(t, "", "  ", "OPEN in pass %" PRIu64 ": %s", pass, open);
    }
}

bool follow_has_rim(const struct job *job)
{
    return cc_plan_is_dial(&job->plan) && job->head.rim.lines > 0;
}

bool follow_by_plunger(const struct cc_plan *plan)
{
    return cc_plan_is_direct(plan) && plan->circle2 == 0;
}
