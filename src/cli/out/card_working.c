/*
 * card_working.c: the arithmetic of the chosen plan, to be followed with pencil and paper. docs/method.md derives it; the
 * names are those of that page: R crank turns in a turn of the spindle, N divisions, C holes of a circle.
 */
#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/card.h"
#include "cli/out/words.h"

#define PARAGRAPH "  ", "  "

/* "40/7 = 5 5/7", or "40" where there is nothing to reduce or split. */
static void fraction(char *buf, size_t size, const mpq_t value)
{
    char mixed[WORDS];

    size_t n = cc_rational_str(buf, size, value);
    mixed_words(mixed, sizeof mixed, value);
    if (n < size && strcmp(buf, mixed) != 0)
        snprintf(buf + n, size - n, " = %s", mixed);
}

/* So many parts of a turn. */
static void parts_of_turn(mpq_t turns, int64_t parts, uint64_t unit)
{
    cc_set_i64(mpq_numref(turns), parts);
    cc_set_u64(mpq_denref(turns), unit);
    mpq_canonicalize(turns);
}

/* Crank turns of one movement, k R / N (of an arc its share), before anything is rounded; "k" is said where it is not 1. */
static void movement_wanted(mpq_t turns, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;

    cc_set_u64(mpq_numref(turns), plan->block);
    mpz_set(mpq_denref(turns), job->request.divisions);
    mpq_canonicalize(turns);
    mpq_mul(turns, turns, job->request.arc);
    mpq_mul(turns, turns, plan->ratio);
}

static void say_wanted(struct text *t, const struct job *job, const mpq_t turns)
{
    const struct cc_plan *plan = &job->plan;
    char ratio[WORDS], wanted[2 * WORDS], arc[WORDS], block[3 * WORDS] = "";

    cc_rational_str(ratio, sizeof ratio, plan->ratio);
    cc_rational_str(arc, sizeof arc, job->request.arc);
    fraction(wanted, sizeof wanted, turns);
    if (plan->block > 1)
        snprintf(block, sizeof block, "%" PRIu64 " x ", plan->block);
    if (mpq_cmp_ui(job->request.arc, 1, 1) != 0)
        snprintf(block + strlen(block), sizeof block - strlen(block), "%s x ", arc);
    text_para(t, PARAGRAPH, "%s%s / %" PRIu64 " = %s turn%s of the %s for one movement.", block, ratio, plan->steps, wanted,
              strcmp(wanted, "1") == 0 ? "" : "s", cc_plan_is_direct(plan) ? "spindle" : "crank");
}

/* unit x turns: how many holes, or parts of the pair, that is. */
static void say_units(struct text *t, const struct job *job, const mpq_t turns)
{
    const struct cc_plan *plan = &job->plan;
    char words[2 * WORDS], half[WORDS];
    mpq_t units;

    mpq_init(units);
    cc_set_u64(mpq_numref(units), plan->unit);
    mpz_set_ui(mpq_denref(units), 1);
    mpq_mul(units, units, turns);
    fraction(words, sizeof words, units);
    if (cc_plan_is_compound(plan))
        text_para(t, PARAGRAPH, "Circles %u and %u together reach every 1/%" PRIu64 " of a turn, their least common multiple: "
                  "%" PRIu64 " x that = %s.", plan->circle, plan->circle2, plan->unit, plan->unit, words);
    else if (cc_plan_is_dial(plan))
        text_para(t, PARAGRAPH, "The dial reads %u lines x %" PRIu64 " parts = %" PRIu64 " to a turn: x that = %s%s.", plan->dial.lines,
                  plan->unit / plan->dial.lines, plan->unit, words,
                  mpz_cmp_ui(mpq_denref(units), 1) == 0 ? ", a whole number, so the dial serves" : " parts");
    else if (plan->detent > 1)
        text_para(t, PARAGRAPH, "%u holes of %u parts of the detent are %" PRIu64 ": x that = %s%s.", cc_plan_holes(plan), plan->detent,
                  plan->unit, words, mpz_cmp_ui(mpq_denref(units), 1) == 0 ? ", a whole number, so the circle serves" : " parts");
    else
        text_para(t, PARAGRAPH, "%" PRIu64 " holes x that = %s%s.", plan->unit, words,
                  mpz_cmp_ui(mpq_denref(units), 1) == 0 ? ", a whole number, so the circle serves" : " holes");
    if (!plan->constant) {
        cc_set_u64(mpq_numref(units), plan->unit);
        mpz_set_ui(mpq_denref(units), 1);
        mpq_mul(units, units, plan->ratio);
        mpq_mul_2exp(units, units, 1);
        mpq_inv(units, units);
        cc_angle_error_str(half, sizeof half, units, 2, CC_MARKS_UTF8);
        text_para(t, PARAGRAPH, "Position i takes the whole number nearest to i times that, from the start: never more than half a "
                  "part off, %s, and errors do not add up.", half);
    }
    mpq_clear(units);
}

/* a/C1 + b/C2 over their common denominator. */
static void say_parts(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    int64_t turns, holes, holes2;
    char move[WORDS], sum[WORDS];
    mpq_t total;

    if (!cc_plan_is_compound(plan) || !cc_plan_movement(&turns, &holes, &holes2, plan))
        return;
    movement_notation(move, plan, turns, holes, holes2);
    mpq_init(total);
    parts_of_turn(total, plan->move, plan->unit);
    cc_rational_str(sum, sizeof sum, total);
    text_para(t, PARAGRAPH, "%s = %" PRId64 "/%" PRIu64 " = %s.", move, plan->move, plan->unit, sum);
    mpq_clear(total);
}

/* Why no circle alone: the denominator divides none. */
static void say_why_not_one(struct text *t, const struct job *job)
{
    char circle[WORDS];
    uint64_t least;

    if (!cc_plan_is_compound(&job->plan))
        return;
    least = cc_request_least_circle(&job->request, job->head.worm);
    if (least == 0)
        return;
    grouped(circle, sizeof circle, least);
    text_para(t, PARAGRAPH, "A single circle would need a multiple of %s holes, and this head has none.", circle);
}

/* R - e, and the textbook's trial number. */
static void say_gears(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char e[WORDS], worm[WORDS], ratio[WORDS], trial[WORDS], product[WORDS] = "", by[WORDS] = "";
    mpq_t a;

    if (plan->train.pairs == 0)
        return;
    for (unsigned i = 0; i < plan->train.pairs; i++) {
        snprintf(product + strlen(product), sizeof product - strlen(product), "%s%u", i > 0 ? " x " : "", plan->train.driver[i]);
        snprintf(by + strlen(by), sizeof by - strlen(by), "%s%u", i > 0 ? " x " : "", plan->train.driven[i]);
    }
    cc_rational_str(e, sizeof e, plan->plate_turns);
    cc_rational_str(worm, sizeof worm, job->head.worm);
    cc_rational_str(ratio, sizeof ratio, plan->ratio);
    text_para(t, PARAGRAPH, "Gears (%s) / (%s): the plate turns e = %s times for one turn of the spindle. Past the plate the crank goes "
              "R - e = %s - (%s) = %s turns.", product, by, e, worm, e, ratio);
    if (plan->block > 1 || !plan->exact)
        return;
    mpq_init(a);
    parts_of_turn(a, plan->move, plan->unit);
    mpq_div(a, job->head.worm, a);
    cc_rational_str(trial, sizeof trial, a);
    text_para(t, PARAGRAPH, "The same by trial number: without gears this movement gives A = %s; e = R (A - N) / A = %s (%s - %" PRIu64
              ") / %s = %s.", trial, worm, trial, plan->steps, trial, e);
    mpq_clear(a);
}

static void say_drift(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char closing[WORDS];

    if (!plan->constant || plan->exact || !plan->has_closing)
        return;
    cc_angle_error_str(closing, sizeof closing, plan->closing_error, 2, CC_MARKS_UTF8);
    text_para(t, PARAGRAPH, "%" PRId64 " is taken every time; what that is off by adds up to %s over the whole job.", plan->move, closing);
}

void card_working(struct text *t, const struct job *job)
{
    mpq_t turns;

    text_heading(t, "Working");
    if (job->request.position_count > 0) {
        text_para(t, PARAGRAPH, cc_plan_is_dial(&job->plan)
                  ? "Each position, in turns of the spindle, times %" PRIu64 " parts of the dial and the ratio of the worm, is the reading it "
                    "falls on, rounded to a whole part."
                  : "Each position, in turns of the spindle, times %" PRIu64 " holes and the ratio of the worm, is the hole it "
                    "falls in, rounded to a whole one.", job->plan.unit);
        text_blank(t);
        return;
    }
    mpq_init(turns);
    movement_wanted(turns, job);
    say_gears(t, job);
    say_wanted(t, job, turns);
    say_why_not_one(t, job);
    say_units(t, job, turns);
    say_parts(t, job);
    say_drift(t, job);
    mpq_clear(turns);
    text_blank(t);
}
