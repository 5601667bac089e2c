/*
 * card_summary.c: the first lines of a card, for an oily thumb: what, which plate and circle, arms, one movement, which way,
 * how much in all, how exact; and what else there is, each with its command.
 */
#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/base/memory.h"
#include "cli/base/shell_words.h"
#include "cli/out/card.h"
#include "cli/out/circles.h"
#include "cli/out/readings.h"
#include "cli/out/setup.h"
#include "cli/out/words.h"

/* ---- what it is ---- */

void card_subject(char *buf, size_t size, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    bool list = job_is_list(job);
    uint64_t n = list ? job->request.position_count : plan->steps;
    char count[WORDS];

    grouped(count, sizeof count, n);
    snprintf(buf, size, "%s %s%s%s", count, list ? "position" : "division", n == 1 ? "" : "s",
             list || plan->has_closing ? "" : " of an arc");
}

/* What one division is, and of what. */
static void write_division(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char angle[WORDS], arc[WORDS], count[WORDS];
    mpq_t step;

    mpq_init(step);
    job_space(step, job, 1);
    cc_angle_dms_str(angle, sizeof angle, step, 3, CC_MARKS_UTF8);
    cc_angle_dms_str(arc, sizeof arc, job->request.arc, 1, CC_MARKS_UTF8);
    grouped(count, sizeof count, plan->steps + 1);
    if (plan->has_closing)
        text_para(t, "  ", "  ", "%s; each division %s", job->head.title, angle);
    else
        text_para(t, "  ", "  ", "%s; arc %s, each division %s, %s positions with both ends", job->head.title, arc, angle, count);
    mpq_clear(step);
}

static void write_title(struct text *t, const struct job *job)
{
    bool list = job_is_list(job);
    char subject[2 * WORDS], method[WORDS], angle[WORDS];

    card_subject(subject, sizeof subject, job);
    method_words(method, sizeof method, &job->plan);
    text_say(t, job->flats.rings > 0 ? TEXT_HEADING : TEXT_TITLE, "%s: %s, %s", subject, method, job->plan.exact ? "exact" : "not exact");
    if (list)
        text_para(t, "  ", "  ", "%s", job->head.title);
    else
        write_division(t, job);
    if (mpq_sgn(job->request.offset) == 0)
        return;
    cc_angle_dms_str(angle, sizeof angle, job->request.offset, 3, CC_MARKS_UTF8);
    text_para(t, "  ", "  ", list ? "%s added to every position" : "First position at %s from the zero%s", angle,
              cc_plan_is_dial(&job->plan) ? "" : " hole");
}

/* ---- the setting ---- */

/* What is read: the dial's lines and what they are, and the rim. */
static void write_dial(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char turn[WORDS], space[WORDS], part[WORDS], finer[2 * WORDS] = "", rim[WORDS] = "";
    mpq_t angle;

    mpq_init(angle);
    mpq_inv(angle, plan->ratio);
    plain_angle_words(turn, sizeof turn, angle);
    dial_space(angle, plan);
    plain_angle_words(space, sizeof space, angle);
    dial_part(angle, plan);
    plain_angle_words(part, sizeof part, angle);
    mpq_clear(angle);
    if (cc_plan_by_eye(plan) > 1)
        snprintf(finer, sizeof finer, ", %sby eye to %s", plan->dial.vernier > 1 ? "vernier and " : "", part);
    else if (plan->dial.vernier > 1)
        snprintf(finer, sizeof finer, ", vernier to %s", part);
    if (job->head.rim.lines > 0)
        snprintf(rim, sizeof rim, "; rim of %u lines", job->head.rim.lines);
    text_labelled(t, "dial", "%u lines, a turn %s, a line %s%s%s", plan->dial.lines, turn, space, finer, rim);
}

static void write_plate(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char setting[2 * WORDS];

    if (cc_plan_is_dial(plan)) {
        write_dial(t, job);
        return;
    }
    setting_words(setting, sizeof setting, &job->head, plan);
    if (cc_plan_is_direct(plan)) {
        text_labelled(t, "plate", "the %s%s", setting, job->head.has_worm ? "; worm out of mesh" : "");
        return;
    }
    text_labelled(t, "plate", "%s%s; %s", setting + strlen("plate "),
         cc_plan_is_compound(plan) ? ", crank pin in the first, second pin in the other" : "",
         plan->is_mounted                                       ? "on now"
         : plan->plate == job->head.mounted_plate ? "turn it over"
                                                                : "put it on");
}

static void write_arms(struct text *t, const struct job *job)
{
    int64_t spaces;
    bool behind;

    if (setup_arms(&spaces, &behind, job))
        text_labelled(t, "arms", "%" PRId64 " spaces, %" PRId64 " holes with the pin's own%s", spaces, spaces + 1, behind ? ", behind the pin" : "");
}

static void write_gears(struct text *t, const struct job *job)
{
    char gears[2 * WORDS];

    if (job_is_helix(job)) {
        text_labelled(t, "gears", "head geared to the table for the lead: clamp OFF, stop out");
        return;
    }
    if (job->plan.train.pairs == 0)
        return;
    gear_words(gears, sizeof gears, &job->plan.train);
    text_labelled(t, "gears", "%s", gears);
}

/* The movement, or the two there are. */
static void write_move(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    int64_t turns, holes, holes2;
    char a[2 * WORDS], b[2 * WORDS];

    if (job_is_list(job)) {
        text_labelled(t, "move", "as each row says");
        return;
    }
    if (cc_plan_is_vernier(plan)) {
        text_labelled(t, "move", "to the hole and with the pin that each row says");
        return;
    }
    if (cc_plan_movement(&turns, &holes, &holes2, plan)) {
        movement_words(a, sizeof a, plan, turns, holes, holes2);
        text_labelled(t, "move", "%s", a);
        return;
    }
    if (cc_plan_is_dial(plan) && (plan->larger == 0 || plan->larger == plan->steps)) {
        cc_plan_rounded_movement(&turns, &holes, &holes2, plan, plan->larger > 0);
        movement_words(a, sizeof a, plan, turns, holes, holes2);
        text_labelled(t, "move", "%s", a);
        return;
    }
    cc_plan_rounded_movement(&turns, &holes, &holes2, plan, false);
    movement_words(a, sizeof a, plan, turns, holes, holes2);
    cc_plan_rounded_movement(&turns, &holes, &holes2, plan, true);
    movement_words(b, sizeof b, plan, turns, holes, holes2);
    text_labelled(t, "move", cc_plan_is_compound(plan) ? "A: %s; B: %s" : "%s, or %s, as the row says", a, b);
}

static void write_way(struct text *t, const struct job *job)
{
    bool hand = job->view.grow != CC_WAY_UNKNOWN;

    if (hand)
        text_labelled(t, "way", "%s turned %s, for this work has a hand", cc_plan_is_direct(&job->plan) ? "spindle" : "crank",
             job_forward(job, &job->plan) == CC_CLOCKWISE ? "clockwise" : "COUNTER-CLOCKWISE");
    else if (job_is_helix(job) && !job_has_hand(job))
        text_labelled(t, "way", "crank the way the feed turns it; always the same");
    else if (cc_plan_is_dial(&job->plan))
        text_labelled(t, "way", "%s; keep to it", job->head.dial.rises == CC_CLOCKWISE ? "clockwise, as the dial's numbers rise"
             : job->head.dial.rises == CC_COUNTER ? "COUNTER-CLOCKWISE, as the dial's numbers rise" : "the way in which the dial's numbers rise");
    else if (!cc_plan_is_direct(&job->plan))
        text_labelled(t, "way", "crank clockwise is forward unless the work needs the other way");
}

static void write_amount(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char time[WORDS], turns[WORDS], count[WORDS];
    mpq_t hand;

    time_words(time, sizeof time, plan->time);
    uint64_t moves = plan->steps - (card_starts_at_first(job) ? 1 : 0);
    grouped(count, sizeof count, moves);
    if (cc_plan_is_direct(plan)) {
        text_labelled(t, "in all", "%s movement%s, %s with set-up and trial", count, moves == 1 ? "" : "s", time);
        return;
    }
    mpq_init(hand);
    mpq_set(hand, plan->travel);
    if (plan->train.pairs > 0 && plan->has_closing) {   /* the plate goes round under the pin: the hand sees the worm's turns */
        cc_set_u64(mpq_numref(hand), plan->block);
        mpz_set_ui(mpq_denref(hand), 1);
        mpq_mul(hand, hand, job->head.worm);
    }
    cc_decimal_short_str(turns, sizeof turns, hand, 1);
    mpq_clear(hand);
    text_labelled(t, "in all", "%s movement%s, %s turn%s, %s with set-up and trial", count, moves == 1 ? "" : "s",
         turns, strcmp(turns, "1") == 0 ? "" : "s", time);
}

/* ---- how good it is ---- */

static void tolerance_words(char *buf, size_t size, const struct job *job)
{
    mpq_t allowed;

    mpq_init(allowed);
    cc_request_tolerance(allowed, &job->request, &job->head);
    cc_angle_error_str(buf, size, allowed, 2, CC_MARKS_UTF8);
    mpq_clear(allowed);
}

/* What is beyond the tolerance is cried out; it stands before everything else. */
static void write_cry(struct text *t, const struct job *job)
{
    enum cc_grade grade = cc_plan_grade(&job->plan, &job->head);
    char holds[2 * WORDS], tolerance[WORDS];

    tolerance_words(tolerance, sizeof tolerance, job);
    held_words(holds, sizeof holds, &job->head, cc_plan_index(&job->plan));
    if (grade >= CC_GRADE_WITHIN_HEAD && job->request.has_tolerance)
        text_cry(t, "NOT WITHIN TOLERANCE: %s was asked for. It is %s what the head itself is taken to hold, %s.",
                  tolerance, grade == CC_GRADE_WITHIN_HEAD ? "within" : "beyond", holds);
    else if (grade == CC_GRADE_BEYOND)
        text_cry(t, "NOT WITHIN TOLERANCE: neither %s nor what the head itself is taken to hold, %s.", tolerance,
                  holds);
}

/* A head's own tolerance goes by its worm, also for a dial that holds something else. */
static bool by_other_than_worm(const struct job *job)
{
    return cc_plan_is_dial(&job->plan) && job->head.has_dial_accuracy;
}

static const char *quarter_words(const struct job *job)
{
    if (by_other_than_worm(job))
        return job->head.has_worm_accuracy ? "a quarter of what the worm is stated to hold" : "a quarter of the 2′ assumed for the worm";
    return "a quarter of what the head is taken to hold";
}

/* How a plan that is not exact stands to the tolerance, where that is no cry. */
static void grade_words(char *buf, size_t size, const struct job *job)
{
    enum cc_grade grade = cc_plan_grade(&job->plan, &job->head);
    char holds[2 * WORDS], tolerance[WORDS];

    buf[0] = '\0';
    tolerance_words(tolerance, sizeof tolerance, job);
    held_words(holds, sizeof holds, &job->head, cc_plan_index(&job->plan));
    if (grade == CC_GRADE_WITHIN)
        snprintf(buf, size, "; within the tolerance, %s%s%s", tolerance,
                 job->request.has_tolerance ? "" : ", ", job->request.has_tolerance ? "" : quarter_words(job));
    else if (grade == CC_GRADE_WITHIN_HEAD && !job->request.has_tolerance)
        snprintf(buf, size, "; beyond the tolerance, %s, %s, but within %s, %s", tolerance, quarter_words(job),
                 by_other_than_worm(job) ? "what the head is taken to hold" : "that", holds);
}

static void write_errors(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char errors[4 * WORDS], grade[4 * WORDS], holds[2 * WORDS], worm[2 * WORDS];

    grade_words(grade, sizeof grade, job);
    error_words(errors, sizeof errors, job, plan);
    text_labelled(t, "error", "%s%s%s", plan->exact ? "" : "worst ", plan->exact ? "0″, exact" : errors + strlen("worst error "), grade);
    held_words(holds, sizeof holds, &job->head, cc_plan_index(plan));
    held_words(worm, sizeof worm, &job->head, CC_INDEX_WORM);
    if (plan->within && !plan->holds)
        text_labelled(t, "holds", "by arithmetic only: the head itself is taken to hold %s", holds);
    if (cc_plan_is_direct(plan) && job->head.has_worm)
        text_labelled(t, "holds", "%s; %s", holds, worm);
}

/* ---- what else there is ---- */

/*
 * The best plan of these methods: in the planner's order, or by error alone. False where there is none.
 */
static bool best_of(struct cc_plan *plan, struct job *job, unsigned methods, bool by_error)
{
    struct cc_request *r = &job->request;
    unsigned old_methods = r->methods;
    bool old_has = r->has_tolerance, good;
    mpq_t old;

    mpq_init(old);
    if (by_error) {
        mpq_swap(old, r->tolerance);    /* a tolerance of 0: the smallest worst error wins */
        r->has_tolerance = true;
    }
    r->methods = methods & old_methods;
    enum cc_status s = r->methods == 0 ? CC_ENOFIT : cc_planner_best(plan, NULL, job->planner, r, NULL);
    if (s == CC_ENOMEM)
        memory_exhausted();
    good = s == CC_OK;
    r->methods = old_methods;
    r->has_tolerance = old_has;
    if (by_error)
        mpq_swap(old, r->tolerance);
    mpq_clear(old);
    return good;
}

/* Options that another choice would say once more, or that would write over a file. */
static bool can_be_added_to(const struct job *job)
{
    static const char *const taken[] = { "-m", "--me", "-c", "--ci", "-o", "--ou" };

    for (size_t i = 0; i < job->word_count; i++)
        for (size_t k = 0; k < sizeof taken / sizeof taken[0]; k++)
            if (strncmp(job->words[i], taken[k], strlen(taken[k])) == 0)
                return false;
    return job->word_count > 0;
}

/* Another plan, with the command that gives it: the request as it was typed and what picks that plan out. */
static void write_choice(struct text *t, const struct job *job, const char *name, const struct cc_plan *plan)
{
    char words[4 * WORDS], time[WORDS], typed[1024] = "", choice[WORDS];

    plan_words(words, sizeof words, job, plan);
    time_words(time, sizeof time, plan->time);
    if (can_be_added_to(job)) {
        char request[900];
        shell_words_join(request, sizeof request, job->words, job->word_count);
        snprintf(typed, sizeof typed, "crankcard %s ", request);
    }
    choice_words(choice, sizeof choice, plan, mpz_sgn(job->request.block) == 0);
    text_labelled(t, "or", "%s: %s, %s; by %s%s", name, words, time, typed, choice);
}

/* Compound indexing where the profile does not say that the plate can turn: the condition, and the way without. */
static void second_pin_needed(struct text *t, struct job *job, struct cc_plan *other)
{
    const unsigned by_pin = 1U << CC_COMPOUND | 1U << CC_NEARLY_EXACT | 1U << CC_NEAREST_COMPOUND;

    text_labelled(t, "needs", "a plate free to turn and a second pin; the profile does not say that this head has them (plate_pin)");
    if (best_of(other, job, CC_ALL_METHODS & ~by_pin, false))
        write_choice(t, job, "bolted fast", other);
}

/*
 * An exact plan that asks twice the effort of one within the tolerance: of the nearest hole, since no other costs so
 * little (docs/method.md, "Effort").
 */
static void write_quicker(struct text *t, struct job *job, struct cc_plan *other)
{
    if (job->plan.exact && best_of(other, job, 1U << CC_NEAREST_HOLE, false) && other->within && other->effort <= job->plan.effort / 2)
        write_choice(t, job, "quicker, and within the tolerance", other);
}

/* A simpler setting whose error may do, and a nearer one where the head has it: the user chooses. */
void card_choices(struct text *t, struct job *job)
{
    struct cc_plan other;
    enum cc_method method = job->plan.method;
    bool unsure = cc_plan_is_compound(&job->plan) && !job->head.plate_pin_stated;

    if (job->answer.exact == CC_ABSENT) {
        char words[4 * WORDS];
        proof_words(words, sizeof words, job);
        text_labelled(t, "proof", "%s", words);
    }
    if (!job->plan.exact)
        write_wanted_circles(t, LABELS, job);
    write_equal_circles(t, LABELS, job, &job->plan);
    if (method == CC_DIRECT || method == CC_PLAIN || (method == CC_DIAL && job->plan.exact))
        return;
    cc_plan_init(&other);
    if (unsure)
        second_pin_needed(t, job, &other);
    else if (method != CC_NEAREST_HOLE && method != CC_DIAL && best_of(&other, job, 1U << CC_NEAREST_HOLE, true))
        write_choice(t, job, "simpler", &other);
    write_quicker(t, job, &other);
    if (!job->plan.exact && best_of(&other, job, CC_ALL_METHODS, true) &&
        mpq_cmp(other.worst_error, job->plan.worst_error) < 0)
        write_choice(t, job, "more exact", &other);
    cc_plan_clear(&other);
}

void card_summary(struct text *t, struct job *job)
{
    write_title(t, job);
    write_cry(t, job);
    text_blank(t);
    write_plate(t, job);
    write_gears(t, job);
    write_arms(t, job);
    write_move(t, job);
    write_way(t, job);
    write_amount(t, job);
    write_errors(t, job);
    card_choices(t, job);
}
