/* words.c: see words.h. */
#include "cli/out/words.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/arc.h"
#include "crankcard/number.h"
#include "cli/out/digits.h"
#include "cli/out/gears.h"
#include "cli/out/readings.h"

void method_words(char *buf, size_t size, const struct cc_plan *plan)
{
    static const char *const names[CC_METHODS] = {
        "direct indexing",       "plain indexing",        "differential indexing",
        "compound indexing",     "nearly exact compound indexing", "the nearest hole",
        "the nearest compound setting", "by the dial",
    };

    if (plan->block > 1)
        snprintf(buf, size, "%s by blocks of %" PRIu64, names[plan->method], plan->block);
    else
        snprintf(buf, size, "%s", names[plan->method]);
}

void choice_words(char *buf, size_t size, const struct cc_plan *plan, bool with_block)
{
    char circle[24] = "", block[32] = "";

    if (!cc_plan_is_dial(plan))
        snprintf(circle, sizeof circle, " -c %u", cc_plan_holes(plan));
    if (with_block && plan->block > 1)
        snprintf(block, sizeof block, " -k %" PRIu64, plan->block);
    snprintf(buf, size, "-m %s%s%s", cc_method_name(plan->method), circle, block);
}

void holes_words(char *buf, size_t size, int64_t turns, int64_t holes, unsigned circle)
{
    const char *back = turns < 0 || holes < 0 ? "back " : "";
    long long t = llabs(turns), h = llabs(holes);

    if (t == 0 && h == 0)
        snprintf(buf, size, "no movement");
    else if (h == 0)
        snprintf(buf, size, "%s%lld turn%s", back, t, t == 1 ? "" : "s");
    else if (t == 0)
        snprintf(buf, size, "%s%lld hole%s of %u", back, h, h == 1 ? "" : "s", circle);
    else
        snprintf(buf, size, "%s%lld turn%s and %lld hole%s of %u", back, t, t == 1 ? "" : "s", h,
                 h == 1 ? "" : "s", circle);
}

/* "12 turns and 3°25′40″", with a dial's parts in place of holes; between stands between the two. */
static void dial_movement(char *buf, size_t size, const struct cc_plan *plan, int64_t turns, int64_t parts, const char *back,
                          const char *between)
{
    unsigned long long t = (unsigned long long)llabs(turns);
    const char *sign = turns < 0 || parts < 0 ? back : "";
    char amount[WORDS];

    dial_amount_words(amount, sizeof amount, plan, (uint64_t)llabs(parts));
    if (t == 0)
        snprintf(buf, size, "%s%s", sign, amount);
    else if (parts == 0)
        snprintf(buf, size, "%s%llu turn%s", sign, t, t == 1 ? "" : "s");
    else
        snprintf(buf, size, "%s%llu turn%s%s%s", sign, t, t == 1 ? "" : "s", between, amount);
}

/* "5 turns and 35 3/10 holes of 49", of a circle with a detent. */
static void detent_movement(char *buf, size_t size, const struct cc_plan *plan, int64_t turns, int64_t parts, const char *back,
                            const char *between)
{
    unsigned long long t = (unsigned long long)llabs(turns), p = (unsigned long long)llabs(parts), whole = p / plan->detent;
    char amount[WORDS] = "";

    if (p % plan->detent == 0)
        snprintf(amount, sizeof amount, "%llu hole%s of %u", whole, whole == 1 ? "" : "s", cc_plan_holes(plan));
    else if (whole == 0)
        snprintf(amount, sizeof amount, "%llu/%u of a hole of %u", p, plan->detent, cc_plan_holes(plan));
    else
        snprintf(amount, sizeof amount, "%llu %llu/%u holes of %u", whole, p % plan->detent, plan->detent, cc_plan_holes(plan));
    if (t == 0)
        snprintf(buf, size, "%s%s", turns < 0 || parts < 0 ? back : "", amount);
    else
        snprintf(buf, size, "%s%llu turn%s%s%s", turns < 0 || parts < 0 ? back : "", t, t == 1 ? "" : "s", p == 0 ? "" : between,
                 p == 0 ? "" : amount);
}

static int64_t floor_quotient(int64_t a, int64_t b)
{
    return a / b - (a % b != 0 && a < 0 ? 1 : 0);
}

void detent_move(int64_t *turns, int64_t *holes, unsigned *part, const struct cc_plan *plan, const struct cc_step *step)
{
    int64_t parts = plan->detent, after = (int64_t)step->hole, circle = cc_plan_holes(plan);

    *part = (unsigned)(step->hole % plan->detent);
    *holes = floor_quotient(after, parts) - floor_quotient(after - step->holes, parts);
    *turns = step->turns;
    if (*holes == circle || *holes == -circle) {
        *turns += *holes / circle;
        *holes = 0;
    }
}

void detent_notation(char *buf, const struct cc_plan *plan, const struct cc_step *step)
{
    struct cc_plan whole = *plan;       /* its numbers are only read */
    int64_t turns, holes;
    unsigned part;

    whole.circle = cc_plan_holes(plan);
    whole.detent = 1;
    detent_move(&turns, &holes, &part, plan, step);
    movement_notation(buf, &whole, turns, holes, 0);
}

/* "5 35/49" behind a sign; returns the end. */
static char *part_notation(char *at, const char *sign, int64_t turns, int64_t holes, unsigned circle)
{
    at = digits_text(at, sign);
    if (turns != 0 || holes == 0)
        at = digits_put(at, digits_size_of(turns));
    if (turns != 0 && holes != 0)
        *at++ = ' ';
    if (holes != 0) {
        at = digits_put(at, digits_size_of(holes));
        *at++ = '/';
        at = digits_put(at, circle);
    }
    return at;
}

/* Crank and plate: what goes back is made first, so it is written first. */
static char *pair_notation(char *at, const struct cc_plan *plan, int64_t turns, int64_t holes, int64_t holes2)
{
    bool back = turns < 0 || holes < 0;

    if (turns == 0 && holes == 0)
        return part_notation(at, holes2 < 0 ? "-" : "", 0, holes2, plan->circle2);
    if (holes2 < 0 && !back) {
        at = part_notation(at, "-", 0, holes2, plan->circle2);
        return part_notation(at, "+", turns, holes, plan->circle);
    }
    at = part_notation(at, back ? "-" : "", turns, holes, plan->circle);
    return part_notation(at, holes2 < 0 ? "-" : "+", 0, holes2, plan->circle2);
}

void movement_notation(char *buf, const struct cc_plan *plan, int64_t turns, int64_t holes, int64_t holes2)
{
    char *at;

    if (cc_plan_is_dial(plan)) {
        dial_movement(buf, WORDS, plan, turns, holes, "-", " ");
        return;
    }
    if (plan->detent > 1) {
        detent_movement(buf, WORDS, plan, turns, holes, "-", " ");
        return;
    }
    if (cc_plan_is_compound(plan) && holes2 != 0)
        at = pair_notation(buf, plan, turns, holes, holes2);
    else
        at = part_notation(buf, turns < 0 || holes < 0 ? "-" : "", turns, holes, plan->circle);
    if (cc_plan_is_vernier(plan) && holes2 != 0) {
        at = digits_put(digits_text(at, holes2 < 0 ? "-" : "+"), digits_size_of(holes2));
        at = digits_text(at, " pin");
    }
    *at = '\0';
}

/* What crank and plate do, pin and plate being their amounts, in the order of the hands: what goes back goes first. */
static void pair_words(char *buf, size_t size, const char *pin, const char *plate, int crank_way, int plate_way)
{
    if (crank_way == 0 && plate_way == 0)
        snprintf(buf, size, "%s", pin);
    else if (plate_way == 0)
        snprintf(buf, size, "crank %s%s", crank_way < 0 ? "" : "forward ", pin);
    else if (crank_way == 0)
        snprintf(buf, size, "plate %s%s", plate_way < 0 ? "" : "forward ", plate);
    else if (plate_way < 0 && crank_way < 0)
        snprintf(buf, size, "crank %s, then plate %s", pin, plate);
    else if (plate_way < 0)
        snprintf(buf, size, "plate %s first, then crank forward %s", plate, pin);
    else if (crank_way < 0)
        snprintf(buf, size, "crank %s first, then plate forward %s", pin, plate);
    else
        snprintf(buf, size, "crank forward %s, then plate forward %s", pin, plate);
}

/* 1 forward, -1 back, 0 not at all. */
static int way_of(int64_t turns, int64_t holes)
{
    return turns < 0 || holes < 0 ? -1 : turns > 0 || holes > 0;
}

void movement_words(char *buf, size_t size, const struct cc_plan *plan, int64_t turns,
                    int64_t holes, int64_t holes2)
{
    char pin[WORDS], plate[WORDS];

    if (cc_plan_is_dial(plan)) {
        dial_movement(buf, size, plan, turns, holes, "back ", " and ");
        return;
    }
    if (plan->detent > 1) {
        detent_movement(buf, size, plan, turns, holes, "back ", " and ");
        return;
    }
    holes_words(pin, sizeof pin, turns, holes, plan->circle);
    if (cc_plan_is_compound(plan)) {
        holes_words(plate, sizeof plate, 0, holes2, plan->circle2);
        pair_words(buf, size, pin, plate, way_of(turns, holes), way_of(0, holes2));
    } else if (cc_plan_is_vernier(plan) && holes2 != 0) {
        snprintf(buf, size, "%s, pin %+lld", pin, (long long)holes2);
    } else {
        snprintf(buf, size, "%s", pin);
    }
}

void hole_words(char *buf, const struct cc_plan *plan, const struct cc_step *step)
{
    char *at = digits_put(buf, plan->detent > 1 ? step->hole / plan->detent : step->hole);

    if (plan->detent > 1)
        at = digits_put(digits_text(at, " d"), step->hole % plan->detent);
    if (cc_plan_is_vernier(plan))
        at = digits_put(digits_text(at, " pin "), step->hole2);
    else if (cc_plan_is_compound(plan))
        at = digits_put(digits_text(at, "|"), step->hole2);
    *at = '\0';
}

/* "between them", "between the last two": the two gears that a train's idlers join. */
static const char *idlers_between(const struct cc_train *train)
{
    if (train->pairs == 1)
        return "between them";
    if (train->idlers_back == 0)
        return "between the last two";
    return train->idlers_back + 1 == train->pairs ? "between the first two" : "between the middle two";
}

void idler_words(char *buf, size_t size, const struct cc_train *t)
{
    const char *between = idlers_between(t);

    if (t->idlers == 0)
        snprintf(buf, size, "no idler");
    else if (t->idlers > CC_NAMED_IDLERS)
        snprintf(buf, size, "%u idlers %s", t->idlers, between);
    else if (t->idler[0] == 0)
        snprintf(buf, size, "%s %s", t->idlers == 1 ? "one idler" : "two idlers", between);
    else if (t->idlers == 1)
        snprintf(buf, size, "idler %u %s", t->idler[0], between);
    else
        snprintf(buf, size, "idlers %u and %u %s", t->idler[0], t->idler[1], between);
}

void gear_words(char *buf, size_t size, const struct cc_train *train)
{
    bool simple = train->pairs == 1;
    char idlers[60], studs[CC_MAX_PAIRS * 40] = "";
    size_t used = 0;

    idler_words(idlers, sizeof idlers, train);
    for (unsigned i = 1; i < train->pairs; i++)
        used += (size_t)snprintf(studs + used, sizeof studs - used, "; on its stud %u drives %u", train->driver[i],
                                 train->driven[i]);
    snprintf(buf, size, "%u on the spindle drives %u%s on the worm shaft%s %s", train->driver[0], train->driven[0],
             studs, simple ? "," : ";", idlers);
}

double error_at_radius(const struct job *job, mpq_srcptr error)
{
    return cc_arc_length(error, job->view.radius) / (job->output.unit == CC_INCH ? 25.4 : 1);
}

void radius_words(char *buf, size_t size, const struct job *job, mpq_srcptr error)
{
    snprintf(buf, size, "%.4f", error_at_radius(job, error));
    if (strcmp(buf, "-0.0000") == 0)
        snprintf(buf, size, "0.0000");
}

void angle_words(char *buf, size_t size, const struct job *job, mpq_srcptr error)
{
    size_t used = cc_angle_error_str(buf, size, error, 2, CC_MARKS_UTF8);
    char length[WORDS];

    if (job->view.has_radius && used < size) {
        radius_words(length, sizeof length, job, error);
        snprintf(buf + used, size - used, " (%s %s)", length, cc_unit_name(job->output.unit));
    }
}

void error_words(char *buf, size_t size, const struct job *job, const struct cc_plan *plan)
{
    char worst[WORDS], pitch[WORDS], closing[WORDS];

    if (plan->exact) {
        snprintf(buf, size, "exact");
        return;
    }
    angle_words(worst, sizeof worst, job, plan->worst_error);
    angle_words(pitch, sizeof pitch, job, plan->worst_pitch);
    if (plan->has_closing) {
        angle_words(closing, sizeof closing, job, plan->closing_error);
        snprintf(buf, size, "worst error %s, from neighbour to neighbour %s, closing %s", worst, pitch,
                 closing);
    } else {
        snprintf(buf, size, "worst error %s, from neighbour to neighbour %s", worst, pitch);
    }
}

void direct_circle_words(char *buf, size_t size, const struct cc_head *head, const struct cc_plan *plan)
{
    const char *name = cc_direct_name(head, plan->circle);

    snprintf(buf, size, "%u circle%s%s", plan->circle, name != NULL ? ", engraved " : "", name != NULL ? name : "");
}

static void dial_setting(char *buf, size_t size, const struct cc_plan *plan)
{
    char vernier[40] = "", eye[40] = "";

    if (plan->dial.vernier > 1)
        snprintf(vernier, sizeof vernier, ", vernier to 1/%u", plan->dial.vernier);
    if (cc_plan_by_eye(plan) > 1)
        snprintf(eye, sizeof eye, ", by eye to 1/%u", cc_plan_by_eye(plan));
    snprintf(buf, size, "dial of %u lines%s%s", plan->dial.lines, vernier, eye);
}

void setting_words(char *buf, size_t size, const struct cc_head *head, const struct cc_plan *plan)
{
    char side[32] = "";

    if (cc_plan_is_direct(plan)) {
        char circle[WORDS];
        direct_circle_words(circle, sizeof circle, head, plan);
        snprintf(buf, size, "direct plate, %s", circle);
        return;
    }
    if (cc_plan_is_dial(plan)) {
        dial_setting(buf, size, plan);
        return;
    }
    const struct cc_plate *plate = &head->plates[plan->plate];
    if (plate->side[0].n > 0 && plate->side[1].n > 0)
        snprintf(side, sizeof side, " side %u", plan->side);
    if (plan->circle2 != 0)
        snprintf(buf, size, "plate %s%s, circles %u and %u", plate->name, side, plan->circle, plan->circle2);
    else
        snprintf(buf, size, "plate %s%s, %u circle", plate->name, side, cc_plan_holes(plan));
    if (plan->detent > 1) {
        size_t n = strlen(buf);
        snprintf(buf + n, n < size ? size - n : 0, ", detent to 1/%u of a hole space", plan->detent);
    }
}

void plan_words(char *buf, size_t size, const struct job *job, const struct cc_plan *plan)
{
    char method[WORDS], worst[WORDS], setting[WORDS];

    method_words(method, sizeof method, plan);
    setting_words(setting, sizeof setting, &job->head, plan);
    if (plan->exact) {
        snprintf(buf, size, "%s, %s: exact", method, setting);
    } else {
        angle_words(worst, sizeof worst, job, plan->worst_error);
        snprintf(buf, size, "%s, %s: worst %s", method, setting, worst);
    }
}

void time_words(char *buf, size_t size, uint64_t tenths)
{
    uint64_t minutes = (cc_plan_seconds(tenths) + 30) / 60, half_hours = (minutes + 15) / 30;
    char hours[40];

    if (minutes < 10) {
        snprintf(buf, size, "about %" PRIu64 " min", minutes > 0 ? minutes : 1);
    } else if (minutes < 118) {     /* to five minutes */
        snprintf(buf, size, "about %" PRIu64 " min", (minutes + 2) / 5 * 5);
    } else {
        grouped(hours, sizeof hours, half_hours / 2);
        snprintf(buf, size, "about %s%s h", hours, half_hours < 20 && half_hours % 2 == 1 ? " 1/2" : "");
    }
}

void held_words(char *buf, size_t size, const struct cc_head *head, enum cc_index by)
{
    static const char *const words[] = {
        [CC_INDEX_WORM] = "through the worm", [CC_INDEX_DIRECT] = "by the direct plate", [CC_INDEX_DIAL] = "by the dial",
    };
    char angle[WORDS];
    mpq_t holds;

    mpq_init(holds);
    bool stated = cc_head_taken_to_hold(holds, head, by);
    cc_angle_error_str(angle, sizeof angle, holds, 0, CC_MARKS_UTF8);
    snprintf(buf, size, "%s %s%s", angle, words[by], stated ? "" : " (assumed)");
    mpq_clear(holds);
}

void counts_words(char *buf, size_t size, const struct cc_counts *counts)
{
    size_t used = 0;
    buf[0] = '\0';
    for (size_t i = 0; i < counts->n && used < size; i++)
        used += (size_t)snprintf(buf + used, size - used, "%s%u", i > 0 ? " " : "", counts->at[i]);
}

void grouped(char *buf, size_t size, uint64_t n)
{
    char digits[32];
    int length = snprintf(digits, sizeof digits, "%" PRIu64, n);
    size_t used = 0;

    for (int i = 0; i < length && used + 2 < size; i++) {
        if (i > 0 && (length - i) % 3 == 0)
            buf[used++] = ' ';
        buf[used++] = digits[i];
    }
    buf[used] = '\0';
}

void mixed_words(char *buf, size_t size, const mpq_t value)
{
    mpq_t whole, fraction;
    mpz_t turns;

    mpq_inits(whole, fraction, NULL);
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
    mpq_clears(fraction, whole, NULL);
}

/* "1 circle", "17 142 trains". */
static void counted(char *buf, size_t size, uint64_t n, const char *what)
{
    char number[40];

    grouped(number, sizeof number, n);
    snprintf(buf, size, "%s %s%s", number, what, n == 1 ? "" : "s");
}

void proof_words(char *buf, size_t size, const struct job *job)
{
    struct cc_searched tried = job->answer.searched;
    const struct cc_searched *searched = &tried;
    char circles[WORDS], pairs[WORDS], trains[WORDS], unfit[WORDS], by[UNFIT_WORDS], aside[2 * WORDS + UNFIT_WORDS] = "";

    cc_planner_count_trains(&tried, job->planner);
    bool one = searched->unfit == 1;
    counted(unfit, sizeof unfit, searched->unfit, "arrangement");
    unfit_words(by, sizeof by, searched);
    if (searched->unfit > searched->unfit_by[CC_FIT_ROOM])
        snprintf(aside, sizeof aside, "; %s of gears that %s not go on %s set aside, by %s", unfit, one ? "does" : "do", one ? "was" : "were", by);
    else if (searched->unfit > 0)
        snprintf(aside, sizeof aside, "; %s of gears that cannot stand side by side %s set aside", unfit, one ? "was" : "were");
    counted(circles, sizeof circles, searched->circles, "circle");
    counted(pairs, sizeof pairs, searched->pairs, "pair");
    counted(trains, sizeof trains, searched->trains, "train");
    const char *dial = cc_head_has_dial(&job->head) ? " and the dial" : "";
    if (!job->head.has_worm)
        snprintf(buf, size, "No exact setting on this head: the direct plate is all it has, and was tried.");
    else if (job->head.plate_count == 0)
        snprintf(buf, size, "No exact setting on this head: its dial was tried, and it has no plates.");
    else if (job->head.gears.n > 0)
        snprintf(buf, size, "No exact setting on this head: %s%s, %s, %s tried%s.", circles, dial, pairs,
                 trains, aside);
    else if (searched->pairs > 0)
        snprintf(buf, size, "No exact setting on this head: %s%s, %s tried, and it has no change gears.",
                 circles, dial, pairs);
    else
        snprintf(buf, size, "No exact setting on this head: %s%s tried; it has neither a second pin nor change "
                 "gears.", circles, dial);
}

void spindle_words(char *buf, size_t size, const mpq_t revolutions)
{
    mpq_t angle;

    mpq_init(angle);
    mpq_set(angle, revolutions);
    mpz_fdiv_r(mpq_numref(angle), mpq_numref(angle), mpq_denref(angle));
    cc_angle_dms_str(buf, size, angle, 0, CC_MARKS_UTF8);
    mpq_clear(angle);
}
