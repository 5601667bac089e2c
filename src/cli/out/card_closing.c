/*
 * card_closing.c: "Closing check": what must be seen after the last movement, and on the way. The pin proves holes only;
 * whole turns are proved by the spindle's scale and by where the handle stands.
 */
#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/job/job.h"
#include "cli/out/card.h"
#include "cli/out/readings.h"
#include "cli/out/slips.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

#define MOST_WAY_MARKS 12

/* Where pins or plunger stand. */
static void where_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_step *step)
{
    if (cc_plan_is_vernier(plan))
        snprintf(buf, size, "the pin is number %" PRIu64 " and it is in hole %" PRIu64 " of the direct plate", step->hole2,
                 step->hole);
    else if (cc_plan_is_direct(plan))
        snprintf(buf, size, "the plunger is in hole %" PRIu64 " of the direct plate", step->hole);
    else if (plan->circle2 != 0 && step->hole2 == 0)
        snprintf(buf, size, "the crank pin is in hole %" PRIu64 " of the %u circle, and the second pin in the marked hole of the "
                 "%u circle", step->hole, plan->circle, plan->circle2);
    else if (plan->circle2 != 0)
        snprintf(buf, size, "the crank pin is in hole %" PRIu64 " of the %u circle, and the marked hole of the %u circle stands "
                 "%" PRIu64 " hole%s past the second pin", step->hole, plan->circle, plan->circle2, step->hole2, step->hole2 == 1 ? "" : "s");
    else if (plan->detent > 1)
        snprintf(buf, size, "the pin is in hole %" PRIu64 " of the %u circle, the detent at %" PRIu64, step->hole / plan->detent,
                 cc_plan_holes(plan), step->hole % plan->detent);
    else
        snprintf(buf, size, "the pin is in hole %" PRIu64 " of the %u circle%s", step->hole, plan->circle,
                 step->hole == 0 ? ", the hole it began in" : "");
}

/*
 * What the hand has turned, seen from the head and not from the plate: the worm turns ratio times the spindle, whatever
 * the plate does. Whole turns leave the handle where it stood, as on a clock. Source: kinematics of the worm.
 */
static void handle_words(char *buf, size_t size, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    char crank[WORDS], plate[WORDS];
    mpq_t turned;

    mpq_init(turned);
    mpq_mul(turned, job->head.worm, step->angle);
    mixed_words(crank, sizeof crank, turned);
    bool whole = mpz_cmp_ui(mpq_denref(turned), 1) == 0;
    bool back = mpq_sgn(turned) < 0;
    const char *count = crank + (back ? 1 : 0);
    bool once = strcmp(count, "1") == 0;
    int n = snprintf(buf, size, "The crank has turned %s%s%s%s", once ? "once" : count, once ? "" : " times", back ? " back" : "",
                     whole ? " in all and its handle stands where it began, as on a clock" : " in all");
    if (plan->train.pairs > 0 && n > 0 && (size_t)n < size) {
        mpq_mul(turned, plan->plate_turns, step->angle);
        mixed_words(plate, sizeof plate, turned);
        snprintf(buf + n, size - (size_t)n, "; the plate has turned %s times %s it, hence the hole",
                 plate + (mpq_sgn(turned) < 0 ? 1 : 0), mpq_sgn(turned) < 0 ? "against" : "with");
    }
    mpq_clear(turned);
}

/* The spindle's reading at the end, for what the pin cannot prove. */
static void scale_words(char *buf, size_t size, const struct job *job, const struct cc_step *step)
{
    char angle[WORDS];

    if (!job->plan.has_closing) {
        cc_angle_dms_str(angle, sizeof angle, step->angle, 0, CC_MARKS_UTF8);
        bool back = mpq_sgn(step->angle) < 0;
        snprintf(buf, size, "the spindle's scale has moved %s by %s", back ? "back" : "on", angle + (back ? 1 : 0));
    } else if (mpq_sgn(job->request.offset) == 0) {
        snprintf(buf, size, "the spindle's scale reads what it read at the zero");
    } else {        /* the zero hole is not where the round began */
        spindle_words(angle, sizeof angle, step->angle);
        snprintf(buf, size, "the spindle's scale has gone on from the zero by whole turns and %s", angle);
    }
}

static void gap_words(struct text *t, const struct job *job, const struct cc_step *step, const mpq_t first_error)
{
    char words[2 * WORDS];
    mpq_t gap;      /* from the first mark to the last movement */

    if (!job->plan.has_closing)
        return;
    mpq_init(gap);
    mpq_sub(gap, step->error, first_error);
    mpq_abs(gap, gap);
    if (mpq_sgn(gap) != 0) {
        angle_words(words, sizeof words, job, gap);
        text_para(t, "  ", "  ", "The last movement must fall on the first mark within %s, this setting's own closing error, and what the head "
                  "holds.", words);
    } else {
        text_para(t, "  ", "  ", "The last movement must fall on the first mark. If any of these fails, something was miscounted or has "
                  "slipped: do not cut on.");
    }
    mpq_clear(gap);
}

/* By the dial: what it and the rim read. */
static void closing_readings(struct text *t, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    struct cc_dial_reading reading;
    char dial[WORDS], rim[WORDS];

    cc_dial_reading_init(&reading);
    cc_dial_read(&reading, step, plan, &job->head, job_forward(job, plan));
    dial_words(dial, sizeof dial, plan, &reading);
    rim_words(rim, sizeof rim, &job->head.rim, &reading);
    if (job->head.rim.lines > 0)
        text_para(t, "  ", "  ", "After the last movement the dial reads %s and the rim %s. The rim proves whole turns of the crank, the "
                  "dial the rest.", dial, rim);
    else
        text_para(t, "  ", "  ", "After the last movement the dial reads %s. It cannot prove whole turns of the crank: a mark on the spindle "
                  "can.", dial);
    cc_dial_reading_clear(&reading);
}

static void describe_closing(struct text *t, const struct job *job, const struct cc_step *step, const mpq_t first_error)
{
    const struct cc_plan *plan = &job->plan;
    char where[2 * WORDS], scale[2 * WORDS], handle[3 * WORDS], slips[5 * WORDS];

    where_words(where, sizeof where, plan, step);
    if (cc_plan_is_dial(plan)) {
        closing_readings(t, job, step);
    } else if (cc_plan_is_direct(plan)) {
        text_para(t, "  ", "  ", "After the last movement %s.", where);
    } else {
        scale_words(scale, sizeof scale, job, step);
        handle_words(handle, sizeof handle, job, step);
        text_para(t, "  ", "  ", "After the last movement%s %s, and %s. The pin proves holes; the scale and the handle prove whole "
                  "turns.", job_is_helix(job) ? ", with the table at its start," : "", where, scale);
        text_para(t, "  ", "  ", "%s.", handle);
    }
    if (plan->has_closing && plan->block > 1)
        text_para(t, "  ", "  ", "The work has gone round %" PRIu64 " times.", plan->block);
    gap_words(t, job, step, first_error);
    slips_words(slips, sizeof slips, job);
    if (slips[0] != '\0' && !job->view.brief)
        text_para(t, "  ", "  ", "%s", slips);
}

/* Movements after which all pins are back in their first holes, where that divides the job into a few equal parts; else 0. */
static uint64_t way_mark_every(const struct job *job)
{
    const struct cc_plan *plan = &job->plan;

    if (!plan->constant || !plan->has_closing || plan->block > 1 || mpq_sgn(job->request.offset) != 0 || plan->move <= 0)
        return 0;
    uint64_t a = plan->unit, b = (uint64_t)plan->move % plan->unit;
    while (b != 0) {
        uint64_t rest = a % b;
        a = b;
        b = rest;
    }
    uint64_t every = plan->unit / a;
    if (every == 1 || plan->steps % every != 0 || plan->steps / every < 2 || plan->steps / every > MOST_WAY_MARKS)
        return 0;
    return every;
}

/* "90°", "51°25′43″". */
static void round_angle(char *buf, size_t size, const mpq_t revolutions)
{
    mpq_t degrees;

    mpq_init(degrees);
    cc_angle_degrees(degrees, revolutions);
    if (mpz_cmp_ui(mpq_denref(degrees), 1) == 0) {
        size_t n = cc_rational_str(buf, size, degrees);
        if (n < size)
            snprintf(buf + n, size - n, "\xC2\xB0");
    } else {
        cc_angle_dms_str(buf, size, revolutions, 0, CC_MARKS_UTF8);
    }
    mpq_clear(degrees);
}

static void way_marks(struct text *t, const struct job *job)
{
    uint64_t every = way_mark_every(job);
    char words[MOST_WAY_MARKS * 64] = "", angle[WORDS];
    size_t used = 0;
    mpq_t at;

    if (every == 0)
        return;
    mpq_init(at);
    for (uint64_t i = every; i < job->plan.steps && used < sizeof words; i += every) {
        cc_request_nominal(at, &job->request, 1, i);
        round_angle(angle, sizeof angle, at);
        used += (size_t)snprintf(words + used, sizeof words - used, "%s%" PRIu64 " at %s", used > 0 ? ", " : "", i, angle);
    }
    text_para(t, "  ", "  ", "On the way %s 0 after movement %s.",
              cc_plan_is_dial(&job->plan)       ? "the dial reads"
              : cc_plan_is_direct(&job->plan)   ? "the plunger is in hole"
              : job->plan.circle2 != 0 ? "both pins are in hole"
                                       : "the pin is in hole", words);
    mpq_clear(at);
}

void card_closing(struct text *t, const struct job *job)
{
    struct cc_step first, last;

    text_heading(t, "Closing check");
    way_marks(t, job);
    cc_step_init(&first);
    cc_step_init(&last);
    cc_step_at(&first, &job->plan, &job->request, 0);
    cc_step_at(&last, &job->plan, &job->request, job->plan.steps);
    describe_closing(t, job, &last, first.error);
    cc_step_clear(&last);
    cc_step_clear(&first);
}
