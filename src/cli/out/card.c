/*
 * card.c: the card that lies beside the machine: what, set up, steps, closing check, cautions.
 */
#include "cli/out/card.h"

#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "cli/base/memory.h"
#include "cli/out/setup.h"
#include "cli/out/circles.h"
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

/* The tolerance, and how what is not exact stands to it and to the head. */
static void write_grade(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    enum cc_grade grade = cc_plan_grade(plan, &job->head);
    char holds[2 * WORDS], tolerance[WORDS];
    mpq_t allowed;

    mpq_init(allowed);
    cc_request_tolerance(allowed, &job->request, &job->head);
    cc_angle_error_str(tolerance, sizeof tolerance, allowed, 2, CC_MARKS_UTF8);
    held_words(holds, sizeof holds, &job->head, cc_plan_is_direct(plan));
    bool within_head = grade == CC_GRADE_WITHIN_HEAD;
    if (grade >= CC_GRADE_WITHIN_HEAD && job->request.has_tolerance)
        text_para(t, "", "  ", "NOT WITHIN TOLERANCE: %s was asked for. It is %s what the head itself is taken to hold, %s.",
                  tolerance, within_head ? "within" : "beyond", holds);
    else if (within_head)
        text_para(t, "  ", "  ", "Beyond the tolerance, %s, a quarter of what the head is taken to hold; but within that, %s.",
                  tolerance, holds);
    else if (grade == CC_GRADE_BEYOND)
        text_para(t, "", "  ", "NOT WITHIN TOLERANCE: neither %s nor what the head itself is taken to hold, %s.", tolerance,
                  holds);
    else if (grade == CC_GRADE_WITHIN)
        text_para(t, "  ", "  ", "Within the tolerance, %s%s.", tolerance,
                  job->request.has_tolerance ? "" : ", a quarter of what the head is taken to hold");
    mpq_clear(allowed);
}

/* A tolerance was asked for that the head is not taken to hold by this method. */
static void write_held(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char holds[2 * WORDS];

    if (!plan->within || plan->holds)
        return;
    held_words(holds, sizeof holds, &job->head, cc_plan_is_direct(plan));
    text_para(t, "  ", "  ", "By arithmetic only: the head itself is taken to hold %s.", holds);
}

/* What a direct job gives away, where the head has a worm. */
static void write_direct_holds(struct text *t, const struct job *job)
{
    char direct[2 * WORDS], worm[2 * WORDS];

    if (!cc_plan_is_direct(&job->plan) || !job->head.has_worm)
        return;
    held_words(direct, sizeof direct, &job->head, true);
    held_words(worm, sizeof worm, &job->head, false);
    text_para(t, "  ", "  ", "The head is taken to hold %s; %s.", direct, worm);
}

static void write_verdict(struct text *t, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char words[4 * WORDS];

    write_grade(t, job);
    if (!plan->exact) {
        error_words(words, sizeof words, job, plan);
        text_para(t, "  ", "  ", "Not exact: %s.", words);
    }
    write_held(t, job);
    write_direct_holds(t, job);
    time_words(words, sizeof words, plan->time);
    text_para(t, "  ", "  ", "By hand %s, set-up and trial round with it.", words);
    if (job->answer.exact == CC_ABSENT) {
        proof_words(words, sizeof words, job);
        text_para(t, "  ", "  ", "%s", words);
    }
}

/* ---- other ways to do it ---- */

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

/* Compound indexing where the profile does not say that the plate can turn: the condition, and the way without. */
static void second_pin_needed(struct text *t, struct job *job)
{
    const unsigned by_pin = 1U << CC_COMPOUND | 1U << CC_NEARLY_EXACT | 1U << CC_NEAREST_COMPOUND;
    struct cc_plan other;
    char words[4 * WORDS];

    if (job->head.plate_pin_stated)
        return;
    text_para(t, "  ", "  ", "Needs a plate that is free to turn and a second pin; the profile does not say that this head has "
              "them (plate_pin = same, other or none).");
    cc_plan_init(&other);
    if (best_of(&other, job, CC_ALL_METHODS & ~by_pin, false)) {
        plan_words(words, sizeof words, job, &other);
        text_para(t, "  ", "  ", "Bolted fast? Then %s; by -m %s -c %u.", words, cc_method_name(other.method), other.circle);
    }
    cc_plan_clear(&other);
}

/* An exact plan that asks twice the effort of one within the tolerance. */
static void quicker(struct text *t, struct job *job, struct cc_plan *other)
{
    const unsigned approximate = 1U << CC_NEARLY_EXACT | 1U << CC_NEAREST_HOLE | 1U << CC_NEAREST_COMPOUND;
    char words[4 * WORDS], time[WORDS];

    if (!job->plan.exact || !best_of(other, job, approximate, false) || !other->within ||
        other->effort > job->plan.effort / 2)
        return;
    plan_words(words, sizeof words, job, other);
    time_words(time, sizeof time, other->time);
    text_para(t, "  ", "  ", "Quicker, and within the tolerance: %s, %s; by -m %s -c %u.", words, time,
              cc_method_name(other->method), other->circle);
}

/* A simpler setting whose error may do, and a nearer one where the head has it: the user chooses. */
static void other_choices(struct text *t, struct job *job)
{
    struct cc_plan other;
    char words[4 * WORDS];
    enum cc_method method = job->plan.method;

    if (!job->plan.exact)
        write_wanted_circles(t, "  ", job);
    write_equal_circles(t, "  ", job, &job->plan);
    if (method == CC_DIRECT || method == CC_PLAIN)
        return;
    if (cc_plan_is_compound(&job->plan))
        second_pin_needed(t, job);
    cc_plan_init(&other);
    if (method != CC_NEAREST_HOLE && (job->plan.circle2 == 0 || job->head.plate_pin_stated) &&
        best_of(&other, job, 1U << CC_NEAREST_HOLE, true)) {
        plan_words(words, sizeof words, job, &other);
        text_para(t, "  ", "  ", "Simpler: %s; by -m nearest-hole -c %u.", words, other.circle);
    }
    quicker(t, job, &other);
    if (!job->plan.exact && best_of(&other, job, CC_ALL_METHODS, true) &&
        mpq_cmp(other.worst_error, job->plan.worst_error) < 0) {
        plan_words(words, sizeof words, job, &other);
        text_para(t, "  ", "  ", "More exact: %s.", words);
    }
    cc_plan_clear(&other);
}

/* ---- set up ---- */

static void write_setup(struct text *t, const struct job *job)
{
    struct text_list list = { t, 0 };
    struct setup setup;

    text_line(t, "Set up");
    setup_make(&setup, job);
    for (size_t i = 0; i < setup.n; i++)
        text_item(&list, "%s", setup.at[i].words);
    setup_clear(&setup);
}

/* ---- the end of the job ---- */

static void write_cautions(struct text *t, const struct job *job)
{
    text_line(t, "Cautions");
    text_para(t, "  ", "  ",
              "Cutter stopped and clear of the work before your hands go to the head. %s"
              "%swork secure before every cut. Eyes protected. The machine's own "
              "instructions and your shop's rules come first; if in doubt ask someone qualified.",
              job_is_helix(job) ? "Fingers and sleeves away from the gears, covers on, " : "Spindle clamp on, ",
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
    other_choices(&t, job);
    text_blank(&t);
    write_setup(&t, job);
    text_blank(&t);
    write_steps(&t, job);
    keep_paragraph(&t, 330);
    card_closing(&t, job);
    text_blank(&t);
    keep_paragraph(&t, 290);
    write_cautions(&t, job);
}
