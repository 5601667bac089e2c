/* recovery_slips.c: see recovery_slips.h. What each slip does is arithmetic; how to tell it at the bench is common practice. */
#include "cli/keep/recovery_slips.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/layout.h"
#include "crankcard/number.h"
#include "cli/keep/hands.h"
#include "cli/keep/recovery.h"
#include "cli/out/quantities.h"
#include "cli/out/words.h"

static const char *too_far(const struct cc_hand_slip *slip)
{
    return slip->by > 0 ? "too far" : "short";
}

/* A slip of which nothing is to be told but its name. */
static const char *plain_words(enum cc_slip_kind kind)
{
    switch (kind) {
    case CC_SLIP_TWICE:
        return "a movement made twice";
    case CC_SLIP_LEFT_OUT:
        return "a movement left out";
    case CC_SLIP_PLATE:
        return "the plate moved with the pin out, and the crank stood";
    case CC_SLIP_PLATE_ON:
        return "the plate moved with the pin out, in the middle of a movement";
    case CC_SLIP_DIAL:
        return "the dial slipped on its shaft, and the crank stood";
    case CC_SLIP_DIAL_ON:
        return "the dial slipped on its shaft in the middle of a movement";
    case CC_SLIP_BACKLASH:
        return "the reading come up to from behind, the backlash not taken up";
    default:
        return "a place moved to and not cut";
    }
}

static void count_words(char *buf, size_t size, const struct job *job, const struct cc_hand_slip *slip)
{
    const char *arms = cc_plan_is_direct(&job->plan) ? "a wrong count" : "the arms at another count";
    long long n = llabs(slip->by);

    snprintf(buf, size, "%lld %s too %s each time: %s%s", n, n == 1 ? "hole" : "holes", slip->by > 0 ? "many" : "few",
             slip->by == -1 ? "the pin's own hole counted, or " : "", arms);
}

/* One hole, or a line, too far or short. */
static void off_words(char *buf, size_t size, const struct job *job, const struct cc_hand_slip *slip)
{
    bool direct = cc_plan_is_direct(&job->plan);

    if (slip->kind == CC_SLIP_HOLE)
        snprintf(buf, size, "%s one hole %s", direct ? "the plunger" : "the pin", too_far(slip));
    else if (slip->kind == CC_SLIP_HOLE2 && direct)
        snprintf(buf, size, "pin %" PRIu64 " in use and not pin %" PRIu64, slip->hole2 + (uint64_t)slip->by, slip->hole2);
    else if (slip->kind == CC_SLIP_HOLE2)
        snprintf(buf, size, "the second pin one hole %s", too_far(slip));
    else
        snprintf(buf, size, "the %s misread by a line, too far %s", slip->kind == CC_SLIP_LINE ? "dial" : "vernier",
                 slip->by > 0 ? "forward" : "back");
}

static void what_words(char *buf, size_t size, const struct job *job, const struct cc_hand_slip *slip)
{
    switch (slip->kind) {
    case CC_SLIP_HOLE:
    case CC_SLIP_HOLE2:
    case CC_SLIP_LINE:
    case CC_SLIP_VERNIER:
        off_words(buf, size, job, slip);
        break;
    case CC_SLIP_TURN:
        snprintf(buf, size, "a whole turn %s", slip->by > 0 ? "too many" : "lost");
        break;
    case CC_SLIP_PART:
        snprintf(buf, size, "the %s part of a movement left out", slip->by == 1 ? "crank's" : "plate's");
        break;
    case CC_SLIP_COUNT:
        count_words(buf, size, job, slip);
        break;
    case CC_SLIP_ARMS:
        snprintf(buf, size, "the arms left as they stood for the movement before, %lld %s %s", (long long)llabs(slip->by),
                 llabs(slip->by) == 1 ? "hole" : "holes", too_far(slip));
        break;
    case CC_SLIP_CIRCLE:
        snprintf(buf, size, "%s in the %u circle and not in the %u", cc_plan_is_direct(&job->plan) ? "the plunger" : "the pin", slip->circle,
                 job->plan.circle);
        break;
    default:
        snprintf(buf, size, "%s", plain_words(slip->kind));
        break;
    }
}

/* Whether it goes on from the movement it began at. */
static bool goes_on(const struct cc_hand_slip *slip)
{
    return slip->kind == CC_SLIP_COUNT || slip->kind == CC_SLIP_CIRCLE;
}

/* What the crank has no part in. */
static bool is_standing(const struct cc_hand_slip *slip)
{
    return slip->kind == CC_SLIP_PLATE || slip->kind == CC_SLIP_DIAL;
}

static void when_words(char *buf, size_t size, const struct cc_hand_slip *slip)
{
    if (slip->kind == CC_SLIP_NOT_CUT && slip->ways == 1)
        snprintf(buf, size, "step %" PRIu64, slip->first);
    else if (slip->kind == CC_SLIP_NOT_CUT)
        snprintf(buf, size, "one of steps %" PRIu64 " to %" PRIu64, slip->first, slip->last);
    else if (goes_on(slip))
        snprintf(buf, size, "from the movement to step %" PRIu64 " on", slip->first);
    else if (!slip->has_row || (is_standing(slip) && slip->ways > 1))
        snprintf(buf, size, "at any time");
    else if (slip->first == slip->last)
        snprintf(buf, size, "at the movement to step %" PRIu64, slip->first);
    else
        snprintf(buf, size, "at one of the movements to steps %" PRIu64 " to %" PRIu64, slip->first, slip->last);
}

/* The angle from one row's cut to the next: of divisions one beside the other. */
static bool has_space(const struct job *job)
{
    return !job_is_list(job) && job->plan.block == 1;
}

/* "11′01″", and ": 2.213 mm across and not 2.309" of the space between two cuts that is so much wider. */
static void space_words(char *buf, size_t size, const struct job *job, mpq_srcptr by)
{
    char angle[WORDS], odd[QUANTITY_SIZE], even[QUANTITY_SIZE];
    mpq_t space, size_of;
    int n;

    mpq_inits(space, size_of, NULL);
    mpq_abs(size_of, by);
    cc_angle_error_str(angle, sizeof angle, size_of, 0, CC_MARKS_UTF8);
    n = snprintf(buf, size, "%s %s", angle, mpq_sgn(by) > 0 ? "wider" : "narrower");
    if (job->view.has_radius && n > 0 && (size_t)n < size) {
        mpq_set_z(space, job->request.divisions);
        mpq_div(space, job->request.arc, space);
        length_text_d(even, cc_chord(2 * mpq_get_d(job->view.radius), space), job->output.unit);
        mpq_add(space, space, by);
        length_text_d(odd, cc_chord(2 * mpq_get_d(job->view.radius), space), job->output.unit);
        snprintf(buf + n, size - (size_t)n, ", %s across and not %s", odd, even);
    }
    mpq_clears(size_of, space, NULL);
}

/* "The cuts since stand", or that of the step alone where it can have happened at none before. */
static const char *cut_words(char *buf, size_t size, const struct cc_hand_slip *slip)
{
    if (slip->first == slip->row)
        snprintf(buf, size, "The cut of step %" PRIu64 ", if it is made, stands", slip->row);
    else
        snprintf(buf, size, "The cuts since stand");
    return buf;
}

/* What no number tells of: where nobody knows how far it went, or nothing stands wrong. NULL: there is one. */
static const char *untold_effect(enum cc_slip_kind kind)
{
    switch (kind) {
    case CC_SLIP_PLATE:
        return "The cuts made so far are right; the number of the pin's hole tells nothing any more. To tell: the stopped cutter lies in the "
               "last cut without touching its sides.";
    case CC_SLIP_DIAL:
        return "The cuts made so far are right; the dial's reading tells nothing any more. To tell: the stopped cutter lies in the last cut "
               "without touching its sides.";
    case CC_SLIP_PLATE_ON:
    case CC_SLIP_DIAL_ON:
        return "The cuts since are all off by the same, nobody knows how much. To tell: lay the stopped cutter into the last cut, and into "
               "one before it that is sure.";
    case CC_SLIP_BACKLASH:
        return "The cut of that step alone stands off, by the backlash; the next ones are right. To tell: push the spindle the way it is "
               "cranked: it gives.";
    case CC_SLIP_NOT_CUT:
        return "All cuts are right. To tell: one space is two spaces wide.";
    default:
        return NULL;
    }
}

/* How far the cuts since stand off, and the space that is odd by it. */
static void write_shift(struct text *t, const struct job *job, const struct cc_hand_slip *slip, const char *angle, const char *space)
{
    const char *side = mpq_sgn(slip->shift) > 0 ? "ahead" : "behind";
    char which[WORDS], where[WORDS] = "the space before the first of them is ";

    if (slip->first == slip->last)
        snprintf(where, sizeof where, "the space before step %" PRIu64 " is ", slip->first);
    if (slip->kind == CC_SLIP_LEFT_OUT)
        text_para(t, "     ", "     ", "The cuts since stand %s %s, the first of them in the cut before it. To tell: one cut less than "
                  "the steps say; that one was cut twice.", angle, side);
    else if (goes_on(slip))
        text_para(t, "     ", "     ", "Each cut since stands further off, the last %s %s. To tell: %s%s.", angle, side,
                  has_space(job) ? "every space since is " : "hold cuts before and after it against the card", has_space(job) ? space : "");
    else
        text_para(t, "     ", "     ", "%s %s %s. To tell: %s%s.", cut_words(which, sizeof which, slip), angle, side,
                  has_space(job) ? where : "hold a cut before it and one after it against the card", has_space(job) ? space : "");
}

/* What it did to the cuts since, and what shows it. */
static void write_effect(struct text *t, const struct job *job, const struct cc_hand_slip *slip)
{
    const char *untold = untold_effect(slip->kind);
    char angle[WORDS], space[2 * WORDS];
    mpq_t size, each;

    if (untold != NULL) {
        text_para(t, "     ", "     ", "%s", untold);
        return;
    }
    mpq_inits(size, each, NULL);
    mpq_abs(size, slip->shift);
    cc_angle_error_str(angle, sizeof angle, size, 0, CC_MARKS_UTF8);
    mpq_set(each, slip->shift);
    if (goes_on(slip)) {
        mpq_set_ui(size, 1, 1);
        cc_set_u64(mpq_numref(size), slip->row - slip->first + 1);
        mpq_div(each, each, size);
    }
    space_words(space, sizeof space, job, each);
    write_shift(t, job, slip, angle, space);
    mpq_clears(each, size, NULL);
}

/* The movement that takes it back, as a step's. */
static void back_step(struct cc_step *step, const struct cc_plan *plan, const struct cc_hand_slip *slip)
{
    step->turns = slip->pin / (int64_t)plan->circle;
    step->holes = slip->pin % (int64_t)plan->circle;
    step->holes2 = slip->plate;
    step->hole = slip->hole;
    step->hole2 = slip->hole2;
}

static void write_movement_back(struct text *t, const struct job *job, const struct cc_hand_slip *slip, const char *lands)
{
    char part[2][2 * WORDS] = { "no movement", "" }, amount[WORDS], mind[WORDS];
    struct hand_move moves[2];
    struct cc_step step;

    cc_step_init(&step);
    step.step = 0;
    back_step(&step, &job->plan, slip);
    unsigned n = hand_moves(moves, &job->plan, &step);
    for (unsigned i = 0; i < n; i++)
        hand_words(part[i], sizeof part[i], &moves[i]);
    if (cc_plan_is_dial(&job->plan)) {
        movement_words(amount, sizeof amount, &job->plan, step.turns, step.holes, 0);
        snprintf(part[0], sizeof part[0], "crank %s", amount);
    }
    caution_words(mind, sizeof mind, &job->plan, &step);
    text_para(t, "     ", "     ", "The way back: %s%s%s, to %s, where step %" PRIu64 " belongs.%s%s", part[0], n == 2 ? ", then " : "", part[1],
              lands, slip->row, mind[0] != '\0' ? " " : "", mind);
    cc_step_clear(&step);
}

/* Where the pins, or dial and rim, belong. */
static void belongs_words(char *buf, size_t size, const struct job *job, const struct cc_hand_slip *slip)
{
    struct cc_step step;

    cc_step_init(&step);
    cc_step_at(&step, &job->plan, &job->request, slip->row);
    place_words(buf, size, job, &step);
    cc_step_clear(&step);
}

static void write_setting_back(struct text *t, const struct cc_hand_slip *slip, const char *lands)
{
    if (slip->kind == CC_SLIP_BACKLASH)
        text_para(t, "     ", "     ", "The way back: crank back half a turn or more, and come forward up to the reading.");
    else if (!is_standing(slip) || !slip->has_row)
        text_para(t, "     ", "     ", "The way back: set zero again on a cut that is sure (recover --re-zero).");
    else if (slip->kind == CC_SLIP_DIAL)
        text_para(t, "     ", "     ", "The way back: leave the crank as it is and set on its shaft the %s: that is step %" PRIu64 ".", lands, slip->row);
    else
        text_para(t, "     ", "     ", "The way back: leave crank and spindle as they are, loosen the plate's stop, turn the plate until the pin drops into "
                  "%s, and tighten: that is step %" PRIu64 ".", lands, slip->row);
}

static void write_way_back(struct text *t, const struct job *job, const struct cc_hand_slip *slip)
{
    char lands[2 * WORDS], turns[WORDS];
    mpq_t size;

    belongs_words(lands, sizeof lands, job, slip);
    if (slip->kind == CC_SLIP_NOT_CUT) {
        text_para(t, "     ", "     ", "The way back: none. Go to that step and cut it.");
    } else if (!slip->has_shift) {
        write_setting_back(t, slip, lands);
    } else if (slip->kind == CC_SLIP_CIRCLE) {
        mpq_init(size);
        mpq_abs(size, slip->back);
        mixed_words(turns, sizeof turns, size);
        text_para(t, "     ", "     ", "The way back: put the pin over to the %u circle, crank %s %s of a turn, to %s, where step %" PRIu64 " belongs.",
                  job->plan.circle, mpq_sgn(slip->back) < 0 ? "back" : "on", turns, lands, slip->row);
        mpq_clear(size);
    } else {
        write_movement_back(t, job, slip, lands);
    }
}

static void write_slip(struct text *t, const struct job *job, const struct cc_hand_slip *slip, size_t i)
{
    char number[32], what[2 * WORDS], when[WORDS], taken[WORDS] = "";

    what_words(what, sizeof what, job, slip);
    when_words(when, sizeof when, slip);
    if (slip->has_row)
        snprintf(taken, sizeof taken, " You take yourself to be at step %" PRIu64 ".", slip->row);
    snprintf(number, sizeof number, "%3zu) ", i + 1);
    if (what[0] >= 'a' && what[0] <= 'z')
        what[0] = (char)(what[0] - 'a' + 'A');
    text_para(t, number, "     ", "%s, %s.%s", what, when, taken);
    write_effect(t, job, slip);
    write_way_back(t, job, slip);
}

void recovery_slips_write(struct text *t, const struct job *job, const struct cc_hand_slips *slips, size_t most)
{
    size_t shown = slips->n < most ? slips->n : most;

    for (size_t i = 0; i < shown; i++)
        write_slip(t, job, &slips->at[i], i);
    if (slips->total > shown)
        text_para(t, "     ", "     ", "and %s%" PRIu64 " more", slips->cut_short ? "at least " : "", slips->total - shown);
    text_para(t, "", "", "The likeliest first, by how often such a slip is assumed to be made. Measure before you believe one.");
}
