/*
 * recovery_card.c: the lost place on a card: what fits, the way on from there, and what to do when
 * nothing fits. The bench procedures are common practice.
 */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "cli/job/job.h"
#include "cli/keep/hands.h"
#include "cli/keep/journal.h"
#include "cli/keep/recovery.h"
#include "cli/keep/recovery_slips.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

/* ---- what was seen ---- */

/* "hole 35"; with a detent "hole 35, the detent at 3", where hole counts the detent's parts. */
static const char *hole_text(char *buf, size_t size, const struct cc_plan *plan, uint64_t hole)
{
    if (plan->detent > 1)
        snprintf(buf, size, "hole %" PRIu64 ", the detent at %" PRIu64, hole / plan->detent, hole % plan->detent);
    else
        snprintf(buf, size, "hole %" PRIu64, hole);
    return buf;
}

/* What is known of the row, and how much is cut. */
static void write_known(struct text *t, const struct cc_seen *seen)
{
    if (seen->has_cuts)
        text_para(t, "  ", "  ", "Seen: %" PRIu64 " %s cut.", seen->cuts, seen->cuts == 1 ? "place" : "places");
    if (seen->has_row)
        text_para(t, "  ", "  ", "Known: you take yourself to be at step %" PRIu64 ".", seen->row);
    if (seen->has_right)
        text_para(t, "  ", "  ", "Known: at step %" PRIu64 " all was right.", seen->right);
}

/* Where the pins stand, or what the dial reads. */
static void write_pins(struct text *t, const struct recovery *r)
{
    const struct cc_seen *seen = &r->seen;
    char hole[WORDS];

    if (r->dial != NULL)
        text_para(t, "  ", "  ", "Seen: the dial at %s%s.", r->dial, seen->more_holes > 0 ? ", its line alone" : "");
    else if (seen->has_hole)
        text_para(t, "  ", "  ", "Seen: %s in %s.", cc_plan_is_direct(&r->job.plan) && !cc_plan_is_vernier(&r->job.plan) ? "plunger" : "pin",
                  hole_text(hole, sizeof hole, &r->job.plan, seen->hole));
    if (seen->has_hole2)
        text_para(t, "  ", "  ", cc_plan_is_direct(&r->job.plan) ? "Seen: pin %" PRIu64 " in use." :
                  "Seen: plate carried %" PRIu64 " %s.", seen->hole2, seen->hole2 == 1 ? "hole" : "holes");
    if (seen->pin_circle != 0 && seen->pin_circle != r->job.plan.circle)
        text_para(t, "  ", "  ", "Seen: the pin in the %u circle.", seen->pin_circle);
}

static void write_seen(struct text *t, const struct recovery *r)
{
    const struct cc_seen *seen = &r->seen;
    char setting[2 * WORDS], angle[WORDS], give[WORDS];

    setting_words(setting, sizeof setting, &r->job.head, &r->job.plan);
    text_para(t, "", "  ", "Recover the place: %s", setting);
    if (r->said[0] != '\0')
        text_para(t, "  ", "  ", "%s", r->said);
    if (r->job.view.grow != CC_WAY_UNKNOWN && job_forward(&r->job, &r->job.plan) == CC_COUNTER)
        text_para(t, "  ", "  ", "Forward is COUNTER-CLOCKWISE in this job.");
    write_pins(t, r);
    if (seen->has_reading) {
        spindle_words(angle, sizeof angle, seen->reading);
        cc_angle_error_str(give, sizeof give, seen->uncertainty, 0, CC_MARKS_UTF8);
        text_para(t, "  ", "  ", "Seen: spindle at %s from the start, give or take %s.", angle, give);
    }
    write_known(t, seen);
    if (r->has_tooth)
        text_para(t, "  ", "  ", "Known: number %" PRIu64 " is cut, step %" PRIu64 ".", r->tooth, seen->last);
    if (r->has_made)
        text_para(t, "  ", "  ", "Known: step %" PRIu64 " is made, by the journal.%s", seen->last,
                  r->journal.tail != JOURNAL_WHOLE ? " Its last line is not as it was written, by a power cut perhaps: one step "
                  "more may be made." : "");
    text_blank(t);
}

/* ---- what fits ---- */

static void place_name(char *buf, size_t size, const struct cc_step *here, const struct recovery *r)
{
    char division[40] = "", text[LABEL_SIZE];
    const char *label = job_label(&r->job, here, text, sizeof text);

    if (r->job.plan.block > 1 && !here->closing)
        snprintf(division, sizeof division, ", division %" PRIu64, here->division);
    if (r->between)
        snprintf(buf, size, "between step %" PRIu64 " and step %" PRIu64, here->step, here->step + 1);
    else if (here->step == 0)
        snprintf(buf, size, "the start");
    else if (here->closing)
        snprintf(buf, size, "the end: step %" PRIu64 " closes the circle", here->step);
    else
        snprintf(buf, size, "step %" PRIu64 "%s%s%.60s", here->step, division, label != NULL ? ", " : "",
                 label != NULL ? label : "");
}

static void write_place(struct text *t, const struct recovery *r, size_t i)
{
    struct cc_step here, next;
    char name[WORDS], angle[WORDS], lands[2 * WORDS], off[WORDS], first[32];

    cc_step_init(&here);
    cc_step_init(&next);
    recovery_rows(&here, &next, r, i);
    place_name(name, sizeof name, &here, r);
    spindle_words(angle, sizeof angle, here.angle);
    if (r->between)
        here.hole = r->seen.hole;
    if (r->between && cc_plan_is_dial(&r->job.plan))
        snprintf(lands, sizeof lands, "the dial as it is");
    else
        place_words(lands, sizeof lands, &r->job, &here);
    snprintf(first, sizeof first, "%3zu) ", i + 1);
    if (r->seen.has_reading) {
        cc_angle_error_str(off, sizeof off, r->places.at[i].off, 0, CC_MARKS_UTF8);
        text_para(t, first, "     ", "%s: %s, %s; the reading is %s off", name, lands,
                  r->between ? "on the way" : angle, off);
    } else {
        text_para(t, first, "     ", "%s: %s, %s", name, lands, angle);
    }
    cc_step_clear(&next);
    cc_step_clear(&here);
}

static void write_places(struct text *t, const struct recovery *r)
{
    uint64_t total = r->places.total;
    size_t shown = r->places.n < r->most ? r->places.n : r->most;

    if (r->between)
        text_para(t, "", "", "No step fits; but the %s can stand within a movement that was not finished:",
                  cc_plan_is_dial(&r->job.plan) ? "crank" : "pin");
    else if (total == 1)
        text_para(t, "", "", "One step fits:");
    else
        text_para(t, "", "", "%" PRIu64 " steps fit, %s:", total, r->seen.has_reading || r->seen.has_last
                  ? "the most likely first" : "one as likely as another");
    for (size_t i = 0; i < shown; i++)
        write_place(t, r, i);
    if (total > shown)
        text_para(t, "     ", "     ", "and %" PRIu64 " more: --most lists them", total - shown);
    if (total > 1)
        text_para(t, "", "", "To tell them apart: %s%scount the cuts in the work (--cuts). Take another than "
                  "the first with --at STEP.", r->seen.has_hole ? "" : cc_plan_is_dial(&r->job.plan) ? "read the dial (--dial); " :
                  "count the pin's hole (--hole); ", r->seen.has_reading ? "" : "read the spindle's scale (--reading, --rim); ");
    text_blank(t);
}

/* ---- the way on ---- */

static void take_up_backlash(struct text_list *items, const struct recovery *r, const struct cc_step *here)
{
    uint64_t hole = r->between ? r->seen.hole : here->hole;
    char words[WORDS];

    if (cc_plan_is_dial(&r->job.plan)) {
        text_item(items, "Take the backlash up anew, for nobody knows which way the crank came: crank back half a turn or more, and come "
                  "forward up to the reading again.");
        return;
    }
    if (cc_plan_is_direct(&r->job.plan)) {
        text_item(items, "Plunger home in its hole, spindle pushed gently back against it, as for every cut.");
        return;
    }
    text_item(items, "Take the backlash up anew, for nobody knows which way the crank came: %spin out, crank back %s, "
         "and come forward into %s again. The count stays as it is.",
         r->job.plan.circle2 != 0 ? "second pin in, crank " : "",
         r->job.plan.train.pairs > 0 ? "two turns, for the gears have play of their own" : "half a turn or more",
         hole_text(words, sizeof words, &r->job.plan, hole));
}

/* The step that stands may have been moved to and not cut: then the next movement would leave it out. */
static void prove_place(struct text_list *items, const struct recovery *r, const struct cc_step *here)
{
    bool cut = here->closing || (r->seen.has_last && r->seen.last == here->step);

    text_item(items, "Prove it before you cut: with the machine off bring the cutter to the work by hand. It must lie in %s "
         "without touching its sides%s.%s", here->closing ? "the first cut" : "the cut of this step",
         cut ? "" : ", or, if this step is not cut yet, stand its gap on from the last cut: then cut here first",
         r->seen.has_last || r->places.total == 1 ? "" : " If it does not, it is another of the steps above.");
}

/* By the dial: whole turns, then on to a reading. */
static void dial_move_words(char *buf, size_t size, const struct cc_step *next)
{
    bool back = next->turns < 0 || next->holes < 0;
    unsigned long long turns = (unsigned long long)llabs(next->turns);

    if (turns > 0)
        snprintf(buf, size, "crank %s%llu %s and on%s, up to the reading", back ? "back " : "", turns, turns == 1 ? "turn" : "turns",
                 back ? " back" : "");
    else
        snprintf(buf, size, "crank %s, up to the reading", back ? "back" : "on");
}

static void move_words(char *buf, size_t size, const struct cc_plan *plan, const struct cc_step *next)
{
    struct hand_move moves[2];
    unsigned n = hand_moves(moves, plan, next);
    char first[WORDS], then[WORDS] = "";

    if (n == 0)
        snprintf(first, sizeof first, "no movement");
    else if (cc_plan_is_dial(plan))
        dial_move_words(first, sizeof first, next);
    else
        hand_words(first, sizeof first, &moves[0]);
    if (n == 2)
        hand_words(then, sizeof then, &moves[1]);
    snprintf(buf, size, "%s%s%s", first, n == 2 ? ", then " : "", then);
}

static void write_movement(struct text_list *items, const struct recovery *r, const struct cc_step *next)
{
    char move[2 * WORDS], lands[2 * WORDS], mind[WORDS], angle[WORDS];

    move_words(move, sizeof move, &r->job.plan, next);
    place_words(lands, sizeof lands, &r->job, next);
    caution_words(mind, sizeof mind, &r->job.plan, next);
    spindle_words(angle, sizeof angle, next->angle);
    text_item(items, "To step %" PRIu64 "%s: %s. It lands %s %s, spindle at %s.%s%s", next->step,
         next->closing ? ", which closes the circle and is not cut" : "", move, cc_plan_is_dial(&r->job.plan) ? "with the" : "in", lands,
         angle, mind[0] != '\0' ? " " : "", mind);
}

static void write_way_on(struct text *t, const struct recovery *r)
{
    struct text_list items = { t, 0 };
    struct cc_step here, next;
    char name[WORDS], go[40] = "";

    cc_step_init(&here);
    cc_step_init(&next);
    bool more = recovery_rows(&here, &next, r, r->chosen);
    if (more && r->journal.next != next.step)
        snprintf(go, sizeof go, ", then g %" PRIu64, next.step);
    place_name(name, sizeof name, &here, r);
    text_para(t, "", "  ", "On from %s%s", r->between ? "there" : name,
              r->places.total > 1 && !r->has_at ? ", if it is that one" : "");
    text_item(&items, job_is_helix(&r->job) ? "Cutter stopped and clear of the work, table back past its start and forward to it, crank pin in. The spindle clamp is off, "
              "and stays off." : "Cutter stopped and clear of the work. Spindle clamp off.");
    take_up_backlash(&items, r, &here);
    if (!r->between && (here.step > 0 || r->job.request.position_count == 0))
        prove_place(&items, r, &here);
    if (more) {
        write_movement(&items, r, &next);
        if (r->between)
            text_item(&items, "Before you cut there, hold the gap to the last cut against the gaps before it.");
        if (r->journal.word_count > 0)
            text_item(&items, "Go on from there: crankcard follow --resume %s%s.", r->journal.name, go);
        else
            text_item(&items, "Keep the place from now on: crankcard follow with the same request, then g %" PRIu64 ".",
                 next.step);
    } else {
        text_item(&items, "No step follows: the job is done.");
    }
    cc_step_clear(&next);
    cc_step_clear(&here);
    text_blank(t);
}

/* ---- nothing fits ---- */

/* With the work where the slot reads alike: pin, plunger or dial put right for it. */
static void set_index(struct text_list *items, const struct recovery *r)
{
    const struct cc_plan *plan = &r->job.plan;
    bool helix = job_is_helix(&r->job);

    if (cc_plan_is_direct(plan))
        text_item(items, "The plunger will hardly meet a hole: clamp off, plunger into the nearest hole, then turn the work "
             "in its chuck or on its arbor until the slot reads alike again.");
    else if (cc_plan_is_dial(plan))
        text_item(items, "The dial will hardly read what it should: hold the crank and set the dial to that reading on its shaft. A dial that "
                  "cannot be set: clamp off, come forward up to the nearest right reading, clamp on, and turn the work until the slot reads "
                  "alike again.");
    else if (plan->circle2 != 0 || plan->train.pairs > 0 || helix)
        text_item(items, "The pin will hardly meet a hole: %scome forward into the nearest one%s%s, then turn the work in its "
             "chuck or on its arbor until the slot reads alike again.", helix ? "" : "clamp off, ",
             plan->circle2 != 0 ? ", the second pin in a hole too" : "; leave the gears in mesh", helix ? "" : "; clamp on");
    else
        text_item(items, "The pin will hardly meet a hole: without moving crank or spindle, loosen the plate's stop, turn "
             "the plate until the pin drops in, tighten, and see that the indicator has not moved. Where the plate "
             "is bolted fast: clamp off, come forward into the nearest hole, clamp on, and turn the work in its chuck or on its arbor "
             "until the slot reads alike again.");
}

static void write_rezero(struct text *t, const struct recovery *r)
{
    const struct cc_plan *plan = &r->job.plan;
    struct text_list items = { t, 0 };
    /* Equal movements fit any slot. Rounded ones differ, each in its place: from another they would miss what is cut. */
    bool helix = job_is_helix(&r->job);
    bool any = cc_request_is_circle(&r->job.request) && plan->constant;

    text_heading(t, "To set zero again on a slot that is cut");
    text_item(&items, "Machine off, cutter clear%s. Indicator on the table or the machine's frame, not on the head.",
              helix ? ", table at the start of the cut and come forward to it" : "");
    text_item(&items, "Pick a clean slot%s.", any ? "; of equal movements any will do, and it becomes the new step 0"
                                                 : plan->constant ? " whose step you know"
                                                                  : " whose step you know: the movements differ, and fit only from "
                                                                    "their own slot");
    text_item(&items, "Turn the work until the indicator, swept on both sides of the slot at one depth, reads alike "
         "(a snug round pin in the slot gives a better feel).%s%s",
         cc_plan_is_direct(plan) ? "" : " Let the last of the turning be forward, so that the backlash is up.",
         helix ? " The spindle clamp stays off; touch nothing." : " Clamp the spindle.");
    set_index(&items, r);
    text_item(&items, "%s", any ? "This place is 0 now: mark it, and begin the request anew from here, over slots that are cut."
              : cc_plan_is_dial(plan) ? "This place is that step now: follow the request, and g to the step after it."
                              : "This place is that step now: number the holes so that the pin's has the number the "
                                "card gives for it, follow the request, and g to the step after it.");
    text_item(&items, "Prove it on two other slots, far round the work, before you cut.");
    text_blank(t);
}

static void write_slipped(struct text *t, const struct recovery *r)
{
    const struct cc_head *head = &r->job.head;
    struct text_list items = { t, 0 };
    char tooth[WORDS];
    mpq_t angle;

    if (cc_plan_is_direct(&r->job.plan))
        return;
    text_heading(t, "If the worm has slipped out of mesh");
    text_item(&items, "Hold the work, for what is heavy on one side swings. Spindle clamp off. %s. Worm into full mesh, its clamp "
              "tight.", cc_plan_is_dial(&r->job.plan) ? "Leave the crank as it is" : "Leave the pin in its hole");
    if (mpz_cmp_ui(mpq_denref(head->worm), 1) == 0 && r->job.plan.train.pairs == 0 && !cc_plan_is_dial(&r->job.plan)) {
        mpq_init(angle);
        mpq_inv(angle, head->worm);
        cc_angle_dms_str(tooth, sizeof tooth, angle, 0, CC_MARKS_UTF8);
        mpq_clear(angle);
        text_item(&items, "A worm of one start goes in at whole teeth only, and a tooth is one crank turn, %s of the spindle. "
             "So where the crank, the plate and the work have not moved, the pin's hole is still right and only whole "
             "turns are lost.", tooth);
        text_item(&items, "Crank whole turns, forward, until the slot of a step with this hole lies under the cutter: "
             "recover with --hole alone lists those steps.");
        text_item(&items, "No slot comes right so: set zero again as above.");
    } else {
        text_item(&items, cc_plan_is_dial(&r->job.plan) ? "The dial may be right, and whole turns be lost: what the rim then shows tells; if in doubt "
                  "set zero again as above." :
                  "With a worm of several starts, or the plate geared to the spindle, the pin's hole tells nothing "
                  "any more: set zero again as above.");
    }
    text_item(&items, "Prove it on two cut slots before you cut.");
    text_blank(t);
}

/* Whether everything seen, apart from the scale, fits this step. */
static bool holes_fit(const struct cc_seen *seen, const struct cc_step *step)
{
    return (seen->has_hole || seen->has_hole2) && (!seen->has_hole || seen->hole == step->hole) &&
           (!seen->has_hole2 || seen->hole2 == step->hole2) && (!seen->has_last || seen->last <= step->step);
}

#define FIRST_SLIPS 4       /* of those that fit, where they were not asked for */

/* The slips that fit. */
static void list_slips(struct text *t, const struct recovery *r)
{
    uint64_t total = r->slips.total;
    size_t most = r->all_slips || r->most < FIRST_SLIPS ? r->most : FIRST_SLIPS;

    text_para(t, "", "", "%s%s%" PRIu64 " %s:", r->between ? "Or it is a slip, and nothing is unfinished: " : "",
              !r->slips.cut_short ? "" : r->between ? "at least " : "At least ", total, total == 1 ? "slip of the hands explains it"
                                                                       : "slips of the hands, each alone, explain it");
    recovery_slips_write(t, &r->job, &r->slips, most);
    text_blank(t);
}

/* The slips, or how many there are. */
static void write_slips(struct text *t, const struct recovery *r)
{
    uint64_t total = r->slips.total;
    bool fits = r->places.total > 0 && !r->between;

    if (total > 0 && (!fits || r->all_slips)) {
        list_slips(t, r);
    } else if (total > 0) {
        text_para(t, "", "", "%s%" PRIu64 " %s of the hands would look the same: where the cuts do not agree, --slips lists them.",
                  r->slips.cut_short ? "At least " : "", total, total == 1 ? "slip" : "slips");
    } else if (!r->between && (!fits || r->all_slips)) {
        text_para(t, "", "", "No one slip of the hands explains it%s.", fits ? "" : cc_plan_is_dial(&r->job.plan)
                  ? ": the work or the dial has moved" : ": the work, the plate or the pin has moved");
        text_blank(t);
    }
}

/* The step nearest to the reading, which is let be further and further off. */
static bool find_nearest(struct cc_places *places, struct cc_seen *loose, const struct recovery *r)
{
    struct cc_error err;

    mpq_set_ui(loose->uncertainty, 1, 1UL << 24);
    for (; mpq_cmp_ui(loose->uncertainty, 1, 2) <= 0; mpq_mul_2exp(loose->uncertainty, loose->uncertainty, 1))
        if (cc_recover(places, &r->job.plan, &r->job.request, loose, 1, &err) == CC_OK)
            return true;
    return false;
}

/* Nothing fits both: what each says alone. */
static void write_contradiction(struct text *t, const struct recovery *r)
{
    struct cc_seen loose;
    struct cc_places places;
    struct cc_step step;
    char scale[WORDS], lands[2 * WORDS];

    text_para(t, "", "", "No step fits what is seen. Look again: %s.", cc_plan_is_dial(&r->job.plan)
              ? "the dial is read at the index, the line before it and the vernier's line that stands in line; the rim from 0 at the start"
              : "the hole is counted from the start hole, 0, the way the crank turns; the scale from what it read at the start");
    cc_seen_init(&loose);
    cc_places_init(&places);
    cc_step_init(&step);
    loose.has_reading = r->seen.has_reading;
    mpq_set(loose.reading, r->seen.reading);
    if (r->seen.has_reading && find_nearest(&places, &loose, r)) {
        cc_step_at(&step, &r->job.plan, &r->job.request, places.at[0].row);
        spindle_words(scale, sizeof scale, step.angle);
        place_words(lands, sizeof lands, &r->job, &step);
        text_para(t, "  ", "  ", "By the scale alone the nearest is step %" PRIu64 ", at %s: %s.%s%s", step.step, scale, lands,
                  !holes_fit(&r->seen, &step) ? "" : cc_plan_is_dial(&r->job.plan) ? " That is what the dial reads"
                  : " That is where the pin is seen",
                  holes_fit(&r->seen, &step) ? ": if the scale can be so far off, ask again with a larger --uncertainty." : "");
    }
    text_para(t, "", "", "If it was read right, cut nothing until it is known what happened. Lay the stopped cutter into the nearest cut "
              "that is sure: how far the work stands from it tells more than the scale.");
    text_blank(t);
    write_slips(t, r);
    cc_step_clear(&step);
    cc_places_clear(&places);
    cc_seen_clear(&loose);
}

static void write_cautions(struct text *t)
{
    text_line(t, "Cautions");
    text_para(t, "  ", "  ", "Machine off, not just stopped, while your hands, eyes or an indicator are at the cutter. "
              "A wrong guess spoils the part and can break a cutter: prove the place first. The machine's own "
              "instructions and your shop's rules come first; if in doubt ask someone qualified.");
}

void recovery_card(FILE *out, const struct recovery *r)
{
    struct text t;

    text_init(&t, out, &r->job.output);
    write_seen(&t, r);
    if (r->places.total > 0) {
        write_places(&t, r);
        if (r->all_slips)
            write_slips(&t, r);
        write_way_on(&t, r);
        if (!r->all_slips)
            write_slips(&t, r);
        text_para(&t, "", "", "If no cut lies where it should, %s or the work has moved: the same with --re-zero says how to set "
                  "zero again.", cc_plan_is_dial(&r->job.plan) ? "the dial" : "the plate, the pin");
        text_blank(&t);
    } else {
        if (!r->only_rezero)
            write_contradiction(&t, r);
        write_rezero(&t, r);
        write_slipped(&t, r);
    }
    write_cautions(&t);
    text_end(&t);
}
