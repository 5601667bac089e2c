/* lead_card.c: the trains, best first, and how to set one up and cut with it. */
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/gears.h"
#include "cli/out/quantities.h"
#include "cli/out/text.h"
#include "cli/out/words.h"
#include "cli/subject/lead_job.h"

static const char *error_text(char *buf, const mpq_t error, enum cc_unit unit)
{
    char size[QUANTITY_SIZE];
    mpq_t amount;

    mpq_init(amount);
    mpq_abs(amount, error);
    length_text(size, amount, unit);
    /* An error too small for the figures shown is still no exact lead. */
    if (mpq_sgn(error) == 0)
        snprintf(buf, 2 * QUANTITY_SIZE, "exact");
    else if (!length_shows(amount, unit))
        snprintf(buf, 2 * QUANTITY_SIZE, "not exact, but off by less than the last figure");
    else
        snprintf(buf, 2 * QUANTITY_SIZE, "%s too %s", size, mpq_sgn(error) > 0 ? "long" : "short");
    mpq_clear(amount);
    return buf;
}

/* "24 on the screw drives 48; 28 on its stud drives 40 on the worm shaft" */
static void train_text(char *buf, size_t size, const struct cc_train *t, const char *last)
{
    size_t used = 0;

    for (unsigned i = 0; i < t->pairs && used < size; i++)
        used += (size_t)snprintf(buf + used, size - used, "%s%u %s drives %u%s%s", i > 0 ? "; " : "",
                                 t->driver[i], i == 0 ? "on the table screw" : "on its stud",
                                 t->driven[i], i + 1 == t->pairs ? " on the " : " on a stud",
                                 i + 1 == t->pairs ? last : "");
}

static void write_gearing(struct text *t, const struct lead_job *r, const struct cc_gearing *g, size_t rank)
{
    char train[300], first[32], length[QUANTITY_SIZE], error[2 * QUANTITY_SIZE], small[QUANTITY_SIZE];

    train_text(train, sizeof train, &g->train, last_shaft(cc_lead_use(r->ask.geared_to)));
    idler_words(small, sizeof small, &g->train);
    snprintf(first, sizeof first, "%3zu. ", rank);
    text_para(t, first, "     ", "%s; %s", train, small);
    text_para(t, "     ", "     ", "lead %s, %s", length_text(length, g->lead, r->output.unit),
              error_text(error, g->error, r->output.unit));
    if (mpq_sgn(g->twist) != 0) {
        mpq_t amount;
        mpq_init(amount);
        mpq_abs(amount, g->twist);
        cc_angle_error_str(small, sizeof small, amount, 1, CC_MARKS_UTF8);
        text_para(t, "     ", "     ", "over %s the work turns %s too %s",
                  length_text(length, r->ask.length, r->output.unit), small,
                  mpq_sgn(g->twist) > 0 ? "much" : "little");
        mpq_clear(amount);
    }
    if (mpq_sgn(r->ask.diameter) != 0) {
        mpq_t angle;
        mpq_init(angle);
        mpq_set_d(angle, g->angle_deg / 360);
        text_para(t, "     ", "     ", "helix angle %s", angle_text(small, angle));
        mpq_clear(angle);
    }
}

/* Where the table stops swinging on the machines that can swing at all (common practice). */
static const double most_swing_deg = 45;

static void write_swing(struct text *t, unsigned *step, const struct lead_job *r, const struct cc_gearing *g)
{
    bool right = r->ask.hand == CC_RIGHT_HAND;
    char words[600], angle[QUANTITY_SIZE] = "the helix angle";

    if (mpq_sgn(r->ask.diameter) != 0) {
        mpq_t rev;
        mpq_init(rev);
        mpq_set_d(rev, g->angle_deg / 360);
        angle_text(angle, rev);
        mpq_clear(rev);
    }
    if (mpq_sgn(r->ask.diameter) == 0 || g->angle_deg <= most_swing_deg)
        snprintf(words, sizeof words,
                 "Swing the table by %s: for a %s-hand helix push its %s end away from you (common "
                 "practice; the trial line below must lie along the cutter).",
                 angle, right ? "right" : "left", right ? "right" : "left");
    else
        snprintf(words, sizeof words, "The helix angle is %s, more than a table swings: turn the cutter instead, "
                                      "as below.", angle);
    text_step(t, step, words);
    text_para(t, "       ", "       ", "Where the table cannot swing: set a vertical head over by the same angle and cut "
              "at the side of the work, at the height of its axis, with a cutter on a stub arbor; or use an end "
              "mill upright above the axis, which needs no swing (common practice).");
}

/* A quarter turn of the work, or less where that is a long way for a table. */
static void trial_part(mpq_t travel, char *turn, size_t size, const mpq_t lead)
{
    static const struct {
        unsigned long parts;
        const char *name;
    } rows[] = { { 4, "a quarter" }, { 8, "an eighth" }, { 36, "10°" }, { 360, "1°" } };
    static const unsigned long long_way_mm = 200;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cc_rational_times(travel, lead, 1, rows[i].parts);
        snprintf(turn, size, "%s", rows[i].name);
        if (mpq_cmp_ui(travel, long_way_mm, 1) <= 0)
            break;
    }
}

static void write_trial(struct text *t, unsigned *step, const struct lead_job *r, const struct cc_gearing *g)
{
    const char *hand = r->ask.hand == CC_RIGHT_HAND ? "right" : "left";
    char words[400], length[QUANTITY_SIZE], turn[24];
    mpq_t travel;

    mpq_init(travel);
    trial_part(travel, turn, sizeof turn, g->lead);
    snprintf(words, sizeof words,
             "Trial, cutter clear: move the table by hand over %s and the work turns %s. Hold a pencil "
             "still on top of the work meanwhile: looked at from the end of the work, a %s-hand line runs away "
             "from you and to the %s. The wrong hand: one idler more, or one less.",
             length_text(length, travel, r->output.unit), turn, hand, hand);
    text_step(t, step, words);
    mpq_clear(travel);
}

/* Where the table starts and ends, and which way the play lies. The reach of a cutter past its centre is a chord: h (D - h). */
static void write_run(struct text *t, unsigned *step, const struct lead_job *r, const struct cc_gearing *g, const struct cc_head *head)
{
    char words[900], play[2 * QUANTITY_SIZE] = "", length[QUANTITY_SIZE];
    mpq_t travel;

    if (r->ask.geared_to == CC_TO_WORM) {
        mpq_init(travel);
        mpq_div(travel, g->lead, head->worm);
        snprintf(play, sizeof play, " (a whole turn of the crank is %s of table)", length_text(length, travel, r->output.unit));
        mpq_clear(travel);
    }
    snprintf(words, sizeof words, "Run-in: start so far before the work that the work is seen to turn before the cutter touches it; less, "
             "and the groove begins straight, by the play of screw, gears and worm%s. Run-out: the whole cutter past the end; it "
             "reaches beyond its centre by the square root of depth times (its diameter less the depth). Where the groove ends in the "
             "work, stop the feed at one line each time, and lower the knee before anything else.", play);
    text_step(t, step, words);
    text_step(t, step, "Cut one way only, from the same start. Then cutter stopped and the knee DOWN until it is clear: on the way back the "
                       "play would spoil the groove. Return past the start and come forward to it, so that the play is taken up; there the work is indexed, "
                       "and the knee comes up to the same reading.");
}

/* Which gears, whether they go on, where their studs stand, and in which order. */
static void write_gears(struct text *t, unsigned *step, const struct lead_job *r, const struct cc_gearing *g, const struct cc_head *head)
{
    enum cc_gear_use use = cc_lead_use(r->ask.geared_to);
    struct cc_head with = lead_head(r, head);
    char words[5 * GEAR_WORDS], train[300], idlers[QUANTITY_SIZE], fit[GEAR_WORDS], others[GEAR_WORDS], studs[GEAR_WORDS],
        order[GEAR_WORDS];

    train_text(train, sizeof train, &g->train, last_shaft(use));
    idler_words(idlers, sizeof idlers, &g->train);
    fit_words(fit, sizeof fit, &g->train, &with, use, r->output.unit);
    arrangements_words(others, sizeof others, &g->train, &with, use);
    stud_words(studs, sizeof studs, &g->train, &with, use, r->output.unit);
    gear_order_words(order, sizeof order, &g->train, &with, use);
    snprintf(words, sizeof words, "Gears: %s; %s. %s%s%s%s%s %s A little play at each mesh, nuts tight; handwheel off, guard back on. --format svg draws them to scale.", train,
             idlers, fit, others[0] != '\0' ? " " : "", others, studs[0] != '\0' ? " " : "", studs, order);
    text_step(t, step, words);
}

static void write_set_up(struct text *t, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head)
{
    const struct cc_gearing *g = &a->list.at[0];
    bool worm = r->ask.geared_to == CC_TO_WORM;
    unsigned step = 0;

    text_heading(t, "Set up");
    text_step(t, &step, "Machine stopped and isolated. Head and tailstock in line with the table, the work held so "
                        "that it cannot slip: a driver without play, not friction alone.");
    text_step(t, &step, "Spindle clamp OFF, direct pin out: the spindle turns during the cut. It stays off until "
                        "the gears are taken down.");
    text_step(t, &step, worm ? "Worm in mesh. Crank pin IN, plate stop OUT: the gears turn the plate, the plate "
                               "turns the crank by its pin."
                             : "Worm OUT of mesh, crank left alone: the gears turn the spindle itself.");
    write_gears(t, &step, r, g, head);
    text_step(t, &step, "Cutter over the axis of the work before the table swings, and the pivot of the swing under the cutter: "
                        "else the swing takes it off centre.");
    write_swing(t, &step, r, g);
    write_trial(t, &step, r, g);
    text_step(t, &step, "Locks: swing and saddle locked, the knee for each cut; the table's own lock off. Power rapid traverse "
                        "is not for a geared table: it would spin the head through the gears.");
    write_run(t, &step, r, g, head);
}

static void write_starts(struct text *t, const struct lead_job *r, const struct lead_answer *a,
                         const struct cc_head *head)
{
    const struct cc_start_index *i = &a->index;
    const char *name = lead_indexes_plainly(r) ? head->plates[i->plate].name : "";
    char lead[QUANTITY_SIZE], at[HEAD_WORDS];

    if (r->ask.starts == 1)
        return;
    text_blank(t);
    text_heading(t, "From start to start: %u", r->ask.starts);
    if (lead_indexes_plainly(r) && i->holes > 0)
        text_para(t, "  ", "  ", "Plate %s, side %u, circle %u: %u turn%s and %u hole%s. Sector arms %u hole%s apart, "
                                 "the pin's own hole not counted.",
                  name, i->side, i->circle, i->turns, i->turns == 1 ? "" : "s", i->holes, i->holes == 1 ? "" : "s", i->holes,
                  i->holes == 1 ? "" : "s");
    else if (lead_indexes_plainly(r))
        text_para(t, "  ", "  ", "Plate %s, side %u, circle %u: %u whole turn%s.", name, i->side, i->circle, i->turns, i->turns == 1 ? "" : "s");
    else
        text_para(t, "  ", "  ", "Mark the mesh, take the %u on the spindle out of mesh, turn the work on by %u "
                                 "of its teeth and mesh again. (For another train of the list: its last gear "
                                 "over %u.)",
                  lead_last_driven(&a->list.at[0].train), lead_last_driven(&a->list.at[0].train) / r->ask.starts,
                  r->ask.starts);
    if (lead_indexes_plainly(r)) {
        fixed_text(lead, sizeof lead, in_unit(mpq_get_d(r->ask.lead), r->output.unit), r->output.unit == CC_INCH ? 4 : 3);
        put_head_words(at, sizeof at, r->choice.name, r->choice.mounted);
        text_para(t, "  ", "  ", "Every step, with the clamp off: crankcard follow %u --lead %s%s%s.", r->ask.starts, lead,
                  cc_unit_name(r->output.unit), at);
    }
    text_para(t, "  ", "  ", "Table back at its start, cutter clear, and nothing but the %s moved. Compound, differential and "
                             "direct indexing are out while the head is geared to the table.",
              lead_indexes_plainly(r) ? "crank" : "work");
}

/* Gears that were given and do not go on. */
static void write_unfit(struct text *t, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head)
{
    struct cc_head with = lead_head(r, head);
    char why[GEAR_WORDS];

    if (a->goes_on)
        return;
    unfit_why_words(why, sizeof why, &a->list.at[0].train, &with, cc_lead_use(r->ask.geared_to));
    text_cry(t, "THESE GEARS DO NOT GO ON: %s.", why);
    text_blank(t);
}

void lead_write_card(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head)
{
    char lead[QUANTITY_SIZE], screw[QUANTITY_SIZE], machine[QUANTITY_SIZE], error[2 * QUANTITY_SIZE];
    struct text t;

    text_init(&t, out, &r->output);
    text_title(&t, "Lead %s, %s hand: %s", length_text(lead, r->ask.lead, r->output.unit),
              r->ask.hand == CC_LEFT_HAND ? "left" : "right",
              error_text(error, a->list.at[0].error, r->output.unit));
    if (r->within_text != NULL && !lead_is_within(r, &a->list.at[0]))
        text_para(&t, "", "  ", "NOT WITHIN %s, which was asked for: no train of these gears comes nearer.",
                  r->within_text);
    if (!lead_is_near(r, &a->list.at[0]))
        text_para(&t, "", "  ", "NOT NEAR: these gears miss the lead by more than 1 in 100, the most taken for near; more gears in a train "
                                "(--most-gears 6) or other gears might reach it.");
    text_para(&t, "", "  ", "%s; table screw %s, lead of the machine %s", head->title,
              length_text(screw, r->ask.screw, r->output.unit),
              length_text(machine, a->machine, r->output.unit));
    text_blank(&t);
    write_unfit(&t, r, a, head);
    text_heading(&t, r->train.pairs > 0 ? "Gears, as given" : "Gears, best first");
    for (size_t i = 0; i < a->list.n; i++)
        write_gearing(&t, r, &a->list.at[i], i + 1);
    text_blank(&t);
    FILE *picture = text_picture_begin(&t);
    if (picture != NULL) {
        lead_write_drawing(picture, r, a, head);
        text_picture_end(&t);
    }
    if (!a->goes_on) {
        text_end(&t);
        return;
    }
    write_set_up(&t, r, a, head);
    write_starts(&t, r, a, head);
    text_blank(&t);
    text_para(&t, "", "", "Fingers and sleeves away from the gears: the table feed turns them. Leads much below that of the "
                          "machine load the gears and the screw: feed by hand, and slowly (common practice). "
                          "Local rules and the machine's own instructions come first.");
    text_end(&t);
}
