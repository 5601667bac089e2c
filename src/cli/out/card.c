/*
 * card.c: the card that lies beside the machine: what, set up, steps, closing check, cautions.
 */
#include "cli/out/card.h"

#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/words.h"

#define MOST_STEPS 2000     /* on a card, unless asked for more */

/* "57 divisions", "30 divisions of an arc", "5 positions". */
static void subject_words(char *buf, size_t size, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    bool list = job->request.position_count > 0;
    uint64_t n = list ? job->request.position_count : plan->steps;
    char count[WORDS];

    grouped(count, sizeof count, n);
    snprintf(buf, size, "%s %s%s%s", count, list ? "position" : "division", n == 1 ? "" : "s",
             list || plan->has_closing ? "" : " of an arc");
}

static void write_title(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char subject[2 * WORDS], method[WORDS], angle[WORDS];
    mpq_t first, step;

    subject_words(subject, sizeof subject, job);
    method_words(method, sizeof method, plan);
    mpq_init(first);
    mpq_init(step);
    text_para(t, "", "  ", "%s: %s, %s", subject, method, plan->exact ? "exact" : "not exact");
    if (job->request.position_count > 0) {
        text_para(t, "  ", "  ", "%s", job->head.title);
    } else {
        cc_request_nominal(first, &job->request, 1, 0);
        cc_request_nominal(step, &job->request, 1, 1);
        mpq_sub(step, step, first);
        cc_angle_dms_str(angle, sizeof angle, step, 3, CC_MARKS_UTF8);
        if (plan->has_closing) {
            text_para(t, "  ", "  ", "%s; each division %s", job->head.title, angle);
        } else {
            char arc[WORDS], count[WORDS];
            mpq_set(first, job->request.arc);
            cc_angle_dms_str(arc, sizeof arc, first, 1, CC_MARKS_UTF8);
            grouped(count, sizeof count, plan->steps + 1);
            text_para(t, "  ", "  ", "%s; arc %s, each division %s, %s positions with both ends",
                      job->head.title, arc, angle, count);
        }
    }
    if (mpq_sgn(job->request.offset) != 0) {
        cc_angle_dms_str(angle, sizeof angle, job->request.offset, 3, CC_MARKS_UTF8);
        if (job->request.position_count > 0)
            text_para(t, "  ", "  ", "%s added to every position", angle);
        else
            text_para(t, "  ", "  ", "First position at %s from the zero hole", angle);
    }
    mpq_clear(step);
    mpq_clear(first);
}

static void write_verdict(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[4 * WORDS], tolerance[WORDS];
    mpq_t allowed;

    mpq_init(allowed);
    cc_request_tolerance(allowed, &job->request, &job->head);
    cc_angle_error_str(tolerance, sizeof tolerance, allowed, 2, CC_MARKS_UTF8);
    if (!plan->within && job->request.has_tolerance)
        text_para(t, "", "  ", "NOT WITHIN TOLERANCE: %s was asked for", tolerance);
    else if (!plan->within)
        text_para(t, "", "  ", "NOT WITHIN TOLERANCE: %s, a quarter of %s", tolerance,
                  cc_head_holds(&job->head, false) != NULL ? "what the head holds"
                                                            : "1 minute, assumed of the head");
    if (!plan->exact) {
        error_words(words, sizeof words, job, plan);
        text_para(t, "  ", "  ", "Not exact: %s.", words);
    }
    if (plan->within && !plan->holds && job->request.has_tolerance) {
        mpq_srcptr holds = cc_head_holds(&job->head, cc_plan_is_direct(plan));
        if (holds == NULL) {
            text_para(t, "  ", "  ", "By arithmetic only: the profile does not say what the head holds.");
        } else {
            cc_angle_error_str(words, sizeof words, holds, 1, CC_MARKS_UTF8);
            text_para(t, "  ", "  ", "By arithmetic only: the head itself holds %s this way.", words);
        }
    }
    if (job->answer.exact == CC_ABSENT) {
        proof_words(words, sizeof words, job);
        text_para(t, "  ", "  ", "%s", words);
    }
    mpq_clear(allowed);
}

/* ---- the end of the job ---- */

/* "42 1/3", "-2 1/3", "40". */
static void mixed_number(char *buf, size_t size, const mpq_t value)
{
    mpq_t whole, fraction;
    mpz_t turns;

    mpq_init(whole);
    mpq_init(fraction);
    mpz_init(turns);
    mpz_tdiv_q(turns, mpq_numref(value), mpq_denref(value));
    mpq_set_z(whole, turns);
    mpq_sub(fraction, value, whole);
    if (mpz_sgn(turns) == 0 || mpq_sgn(fraction) == 0) {
        cc_rational_str(buf, size, value);
    } else {
        mpq_abs(fraction, fraction);
        size_t n = cc_rational_str(buf, size, whole);
        if (n + 1 < size) {
            buf[n] = ' ';
            cc_rational_str(buf + n + 1, size - n - 1, fraction);
        }
    }
    mpz_clear(turns);
    mpq_clear(fraction);
    mpq_clear(whole);
}

/* Where the pins are after a step. */
static void landing_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_step *step)
{
    if (cc_plan_is_vernier(plan))
        snprintf(buf, size, "the pin is number %" PRIu64 " and it is in hole %" PRIu64
                 " of the direct plate", step->hole2, step->hole);
    else if (cc_plan_is_direct(plan))
        snprintf(buf, size, "the plunger is in hole %" PRIu64 " of the direct plate", step->hole);
    else if (plan->circle2 != 0 && step->hole2 == 0)
        snprintf(buf, size, "the crank pin is in hole %" PRIu64 " of the %u circle, and the second "
                 "pin in the marked hole of the %u circle", step->hole, plan->circle, plan->circle2);
    else if (plan->circle2 != 0)
        snprintf(buf, size, "the crank pin is in hole %" PRIu64 " of the %u circle, and the "
                 "marked hole of the %u circle stands %" PRIu64 " holes past the second pin", step->hole,
                 plan->circle, plan->circle2, step->hole2);
    else
        snprintf(buf, size, "the pin is in hole %" PRIu64 " of the %u circle%s", step->hole,
                 plan->circle, step->hole == 0 ? ", the hole it began in" : "");
}

/* How far crank and plate have turned in all. */
static void describe_landing(struct text *t, const struct cc_plan *plan, const struct cc_step *step)
{
    char crank[WORDS], where[2 * WORDS], turned[2 * WORDS] = "", plate[2 * WORDS] = "";

    landing_words(where, sizeof where, plan, step);
    mixed_number(crank, sizeof crank, step->crank);
    if (!cc_plan_is_direct(plan))
        snprintf(turned, sizeof turned, "; crank turned %s times in all", crank);
    if (plan->train.pairs > 0) {
        mpq_t turns;
        mpq_init(turns);
        mpq_mul(turns, plan->plate_turns, step->angle);
        mixed_number(crank, sizeof crank, turns);
        snprintf(plate, sizeof plate, ", and the plate has turned %s times %s the crank",
                 crank + (mpq_sgn(turns) < 0 ? 1 : 0), mpq_sgn(turns) < 0 ? "against" : "with");
        mpq_clear(turns);
    }
    text_para(t, "  ", "  ", "After the last movement %s%s%s.", where, turned, plate);
}

static void describe_closing(struct text *t, const struct job *job, const struct cc_step *step,
                             const mpq_t first_error)
{
    const struct cc_plan *plan = &job->plan;
    char words[WORDS];
    mpq_t gap;      /* from the first mark to the last movement */

    describe_landing(t, plan, step);
    if (!plan->has_closing)
        return;
    if (plan->block > 1)
        text_para(t, "  ", "  ", "The work has gone round %" PRIu64 " times.", plan->block);
    mpq_init(gap);
    mpq_sub(gap, step->error, first_error);
    mpq_abs(gap, gap);
    if (mpq_sgn(gap) != 0) {
        angle_words(words, sizeof words, job, gap);
        text_para(t, "  ", "  ", "It must fall on the first mark within %s, this setting's own closing "
                  "error, and what the head holds.", words);
    } else {
        text_para(t, "  ", "  ", "It must fall on the first mark. If it does not, something was "
                  "miscounted or has slipped: do not cut on.");
    }
    mpq_clear(gap);
}

static void write_closing(struct text *t, const struct job *job)
{
    struct cc_cursor cursor;
    struct cc_step first, last;

    text_line(t, "Closing check");
    cc_step_init(&first);
    cc_step_init(&last);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    bool good = cc_cursor_next(&cursor, &first);
    cc_cursor_seek(&cursor, job->plan.steps);
    if (good && cc_cursor_next(&cursor, &last))
        describe_closing(t, job, &last, first.error);
    cc_cursor_clear(&cursor);
    cc_step_clear(&last);
    cc_step_clear(&first);
}

static void write_cautions(struct text *t, const struct job *job)
{
    text_line(t, "Cautions");
    text_para(t, "  ", "  ",
              "Cutter stopped and clear of the work before your hands go to the head. Spindle clamp on, "
              "%swork secure before every cut. Eyes protected. The machine's own "
              "instructions and your shop's rules come first; if in doubt ask someone qualified.",
              cc_plan_is_direct(&job->plan) ? "" : "worm clamp tight and ");
}

static void write_steps(struct text *t, const struct job *job)
{
    uint64_t first, last;
    struct cc_error err;

    if (job->view.no_steps || !job_rows(job, &first, &last, &err))
        return;
    text_keep(t, 5);
    text_line(t, "Steps");
    if (last - first > MOST_STEPS && !job->view.all_steps) {
        char count[WORDS];
        grouped(count, sizeof count, job->plan.steps);
        text_para(t, "  ", "  ", "%s steps are too many for a card. A part: --from 1 --to 100. All: "
                  "--all-steps, or --format csv.", count);
    } else {
        card_steps(t, job, first, last);
    }
    text_blank(t);
}

/* Room for a heading and a paragraph of so many characters, so that no page break falls into them. */
static void keep_paragraph(struct text *t, unsigned length)
{
    text_keep(t, 2 + length / (t->width - 8));
}

void write_card(FILE *out, struct job *job)
{
    struct text t;
    char subject[2 * WORDS];

    text_init(&t, out, &job->output);
    subject_words(subject, sizeof subject, job);
    t.title = subject;
    write_title(&t, job);
    write_verdict(&t, job);
    text_blank(&t);
    card_setup(&t, job);
    text_blank(&t);
    write_steps(&t, job);
    keep_paragraph(&t, 330);
    write_closing(&t, job);
    text_blank(&t);
    keep_paragraph(&t, 290);
    write_cautions(&t, job);
}
