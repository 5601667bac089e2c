/* hands.c: see hands.h. */
#include "cli/keep/hands.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/dial.h"
#include "cli/out/readings.h"
#include "cli/out/words.h"

/* The crank from hole to hole, and the detent. */
static unsigned detent_moves(struct hand_move moves[2], const struct cc_plan *plan, const struct cc_step *step)
{
    int64_t turns, holes;
    unsigned part, n = 0;

    detent_move(&turns, &holes, &part, plan, step);
    if (turns != 0 || holes != 0)
        moves[n++] = (struct hand_move){ .part = HAND_CRANK, .back = step->turns < 0 || step->holes < 0, .turns = (uint64_t)llabs(turns),
                                         .holes = (uint64_t)llabs(holes), .circle = cc_plan_holes(plan) };
    if (step->holes % (int64_t)plan->detent != 0)
        moves[n++] = (struct hand_move){ .part = HAND_DETENT, .back = step->turns < 0 || step->holes < 0, .holes = part };
    return n;
}

unsigned hand_moves(struct hand_move moves[2], const struct cc_plan *plan, const struct cc_step *step)
{
    if (plan->detent > 1)
        return detent_moves(moves, plan, step);

    struct hand_move first = {
        .part = cc_plan_is_direct(plan) ? HAND_SPINDLE : HAND_CRANK,
        .back = step->turns < 0 || step->holes < 0,
        .turns = (uint64_t)llabs(step->turns),
        .holes = (uint64_t)llabs(step->holes),
        .circle = plan->circle,
    };
    unsigned n = 0;

    if (first.turns != 0 || first.holes != 0)
        moves[n++] = first;
    if (step->holes2 == 0)
        return n;
    if (cc_plan_is_vernier(plan)) {
        moves[n++] = (struct hand_move){ .part = HAND_PIN, .holes = step->hole2 };
        return n;
    }
    if (!cc_plan_is_compound(plan))
        return n;
    struct hand_move plate = { .part = HAND_PLATE, .back = step->holes2 < 0,
                               .holes = (uint64_t)llabs(step->holes2), .circle = plan->circle2 };
    moves[n++] = plate;
    if (n == 2 && plate.back && !first.back) {      /* the part that goes back is made first */
        moves[1] = moves[0];
        moves[0] = plate;
    }
    return n;
}

void hand_words(char *buf, size_t size, const struct hand_move *move)
{
    static const char *const parts[] = { "crank", "plate", "turn the spindle" };
    char amount[WORDS];

    if (move->part == HAND_PIN) {
        snprintf(buf, size, "use pin %" PRIu64, move->holes);
        return;
    }
    if (move->part == HAND_DETENT) {
        snprintf(buf, size, "detent to %" PRIu64, move->holes);
        return;
    }
    int64_t sign = move->back ? -1 : 1;
    holes_words(amount, sizeof amount, sign * (int64_t)move->turns, sign * (int64_t)move->holes, move->circle);
    snprintf(buf, size, "%s %s", parts[move->part], amount);
}

void pins_words(char *buf, size_t size, const struct cc_plan *plan, uint64_t hole, uint64_t hole2)
{
    if (cc_plan_is_vernier(plan))
        snprintf(buf, size, "hole %" PRIu64 ", pin %" PRIu64, hole, hole2);
    else if (cc_plan_is_compound(plan))
        snprintf(buf, size, "hole %" PRIu64 " of the %u circle, plate carried %" PRIu64 " of %u", hole,
                 plan->circle, hole2, plan->circle2);
    else if (plan->detent > 1)
        snprintf(buf, size, "hole %" PRIu64 " of the %u circle, detent at %" PRIu64, hole / plan->detent, cc_plan_holes(plan),
                 hole % plan->detent);
    else
        snprintf(buf, size, "hole %" PRIu64 " of the %u circle", hole, plan->circle);
}

void dial_place_words(char *dial, char *rim, size_t size, const struct job *job, const struct cc_step *step)
{
    struct cc_dial_reading reading;

    cc_dial_reading_init(&reading);
    cc_dial_read(&reading, step, &job->plan, &job->head, job_forward(job, &job->plan));
    dial_words(dial, size, &job->plan, &reading);
    rim[0] = '\0';
    if (job->head.rim.lines > 0)
        rim_words(rim, size, &job->head.rim, &reading);
    cc_dial_reading_clear(&reading);
}

void place_words(char *buf, size_t size, const struct job *job, const struct cc_step *step)
{
    char dial[WORDS], rim[WORDS];

    if (!cc_plan_is_dial(&job->plan)) {
        pins_words(buf, size, &job->plan, step->hole, step->hole2);
        return;
    }
    dial_place_words(dial, rim, sizeof dial, job, step);
    snprintf(buf, size, "dial at %s%s%s", dial, rim[0] != '\0' ? ", rim at " : "", rim);
}

void caution_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_step *step)
{
    struct hand_move moves[2];
    unsigned n = hand_moves(moves, plan, step);

    buf[0] = '\0';
    if (cc_plan_is_dial(plan) && n > 0 && moves[n - 1].back)
        snprintf(buf, size, "Going back: past the reading by half a turn or more, then come forward up to it.");
    else if (cc_plan_is_dial(plan))
        return;
    else if (n > 0 && !cc_plan_is_direct(plan) && moves[n - 1].back)
        snprintf(buf, size, "Going back: pass the hole by %s, then come forward into it.",
                 plan->train.pairs > 0 ? "two turns" : "half a turn or more");
    else if (cc_step_odd(step, plan) != 0 && plan->circle2 == 0 && plan->detent <= 1 && !cc_plan_is_direct(plan))
        snprintf(buf, size, cc_step_odd(step, plan) > 0 ? "One hole further than the far sector arm."
                                                        : "One hole short of the far sector arm.");
}
