/* follow_check.c: see follow_check.h. */
#include "cli/keep/follow_check.h"

#include <inttypes.h>
#include <string.h>

#include "crankcard/number.h"
#include "cli/keep/follow_parts.h"
#include "cli/keep/hands.h"
#include "cli/out/words.h"

#define SHORT_JOB 16        /* fewer rows are counted at a glance */
#define MOST_LOOKED 500     /* rows looked at on either side of a quarter */

/* ---- where ---- */

/* Whether row, which is none of the two ends, leaves the spindle on a whole degree. */
static bool is_readable(struct follow *follow, uint64_t row)
{
    struct cc_step step;

    if (row == 0 || row >= follow->journal.steps)
        return false;
    cc_step_init(&step);
    cc_cursor_seek(&follow->cursor, row);
    bool whole = cc_cursor_next(&follow->cursor, &step) && mpz_cmp_ui(mpq_denref(step.angle), 360) <= 0 &&
                 360 % mpz_get_ui(mpq_denref(step.angle)) == 0;
    cc_step_clear(&step);
    return whole;
}

static bool find_near(uint64_t *row, struct follow *follow, uint64_t quarter, uint64_t reach)
{
    for (uint64_t off = 0; off <= reach; off++) {
        *row = quarter - off;
        if (is_readable(follow, *row))
            return true;
        *row = quarter + off;
        if (is_readable(follow, *row))
            return true;
    }
    return false;
}

void follow_find_quarters(struct follow *follow)
{
    uint64_t steps = follow->journal.steps, reach = steps / 8 < MOST_LOOKED ? steps / 8 : MOST_LOOKED, row;

    follow->checks = 0;
    if (!follow->journal.course.check_quarters || steps < SHORT_JOB)
        return;
    for (uint64_t q = 1; q <= FOLLOW_CHECKS; q++)
        if (find_near(&row, follow, steps / 4 * q + steps % 4 * q / 4, reach) &&
            (follow->checks == 0 || follow->check[follow->checks - 1] < row))
            follow->check[follow->checks++] = row;
}

/* Whether the row before next has just been made, in a round that cuts. */
static bool has_just_made(const struct follow *follow)
{
    const struct journal *journal = &follow->journal;

    return journal->round == JOURNAL_CUT && journal->next > journal_first(journal) && !journal->chosen;
}

bool follow_check_due(const struct follow *follow)
{
    const struct journal *journal = &follow->journal;
    uint64_t row = journal->next - 1, every = journal->course.check_every;

    if (!has_just_made(follow) || journal->checked || row == 0 || row >= journal->steps)
        return false;
    for (unsigned i = 0; i < follow->checks; i++)
        if (follow->check[i] == row)
            return true;
    return every > 0 && row % every == 0;
}

bool follow_measure_due(const struct follow *follow)
{
    const struct journal *journal = &follow->journal;

    return has_just_made(follow) && journal->course.has_measure && !journal->measured && journal->next == journal->course.measure + 1;
}

/* ---- what ---- */

/* The direct plate turns with the spindle: a row that falls on one of its holes is seen there. */
static void write_direct_hole(struct text *t, const struct follow *follow)
{
    const struct cc_head *head = &follow->job.head;
    mpq_t holes;
    mpz_t hole;

    if (cc_plan_is_direct(&follow->job.plan))
        return;
    mpq_init(holes);
    mpz_init(hole);
    for (size_t i = 0; i < head->direct.n; i++) {
        cc_rational_times(holes, follow->from.angle, head->direct.at[i], 1);
        if (mpz_cmp_ui(mpq_denref(holes), 1) != 0)
            continue;
        mpz_fdiv_r_ui(hole, mpq_numref(holes), head->direct.at[i]);
        text_para(t, " - ", "   ", "direct plate, %u circle: %lu holes on from where it stood at the start", head->direct.at[i],
                  mpz_get_ui(hole));
        break;
    }
    mpz_clear(hole);
    mpq_clear(holes);
}

/* Of an even number of divisions, one after the other, each has one straight opposite. */
static void write_opposite(struct text *t, const struct follow *follow)
{
    uint64_t row = follow->from.step, half = follow->journal.steps / 2;

    if (job_is_list(&follow->job) || !follow->job.plan.has_closing || follow->job.plan.block > 1 ||
        follow->journal.steps % 2 != 0 || row < half || !row_set_has(&follow->journal.made, row - half))
        return;
    if (row == half)
        text_para(t, " - ", "   ", "the first cut straight opposite the cutter");
    else
        text_para(t, " - ", "   ", "the cut of step %" PRIu64 " straight opposite the cutter", row - half);
}

void follow_write_sights(struct text *t, const struct follow *follow)
{
    char place[WORDS], angle[WORDS];
    uint64_t made, all;

    place_words(place, sizeof place, &follow->job, &follow->from);
    spindle_words(angle, sizeof angle, follow->from.angle);
    journal_count(&made, &all, &follow->journal);
    text_para(t, " - ", "   ", "%s", place);
    if (!follow_has_rim(&follow->job))
        text_para(t, " - ", "   ", "spindle at %s from the start", angle);
    write_direct_hole(t, follow);
    text_para(t, " - ", "   ", "%" PRIu64 " cut%s %s", made, made == 1 ? "" : "s", follow->journal.pass > 1 ? "of this pass" : "on the work");
    write_opposite(t, follow);
}
