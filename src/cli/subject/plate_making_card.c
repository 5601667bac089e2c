/* plate_making_card.c: how to make the first plate, and what each plate after it comes to. */
#include "crankcard/angle.h"
#include "crankcard/layout.h"
#include "crankcard/number.h"
#include "cli/ask/find_head.h"
#include "cli/out/quantities.h"
#include "cli/out/text.h"
#include "cli/out/words.h"
#include "cli/subject/plate_making.h"
#include "cli/subject/plates_job.h"

static const char *error_text(char *buf, size_t size, const struct text *t, const mpq_t angle)
{
    cc_angle_error_str(buf, size, angle, 2, t->ascii ? CC_MARKS_ASCII : CC_MARKS_UTF8);
    return buf;
}

/* The least tolerance, in whole thousandths of a second, within which the plan is: asked for less, divide would answer no. */
static void tolerance_words(char *buf, size_t size, const struct cc_plan *plan)
{
    mpq_t seconds;

    mpq_init(seconds);
    mpq_set_ui(seconds, 1000, 1);
    mpz_mul_ui(mpq_numref(seconds), mpq_numref(seconds), CC_ARCSEC_PER_REV);
    mpq_mul(seconds, seconds, plan->worst_error);
    mpz_cdiv_q(mpq_numref(seconds), mpq_numref(seconds), mpq_denref(seconds));
    mpz_set_ui(mpq_denref(seconds), 1000);
    mpq_canonicalize(seconds);
    size_t used = cc_decimal_short_str(buf, size, seconds, 3);
    if (!plan->exact && used + 1 < size)
        snprintf(buf + used, size - used, "s");
    mpq_clear(seconds);
}

static void card_first_plate(struct text *t, const struct plates_job *q, const struct plate_making *m)
{
    char worst[80], pitch[80], tolerance[80], where[200] = "", head[HEAD_WORDS];
    const struct cc_plan *p = &m->made.plan;

    if (cc_plan_is_dial(p)) {
        char dial[120];
        setting_words(dial, sizeof dial, &q->head, p);
        snprintf(where, sizeof where, ", %s", dial);
    }
    if (p->circle2 != 0 && p->plate < q->head.plate_count)
        snprintf(where, sizeof where, ", plate %.60s side %u, circles %u and %u", q->head.plates[p->plate].name,
                 p->side, p->circle, p->circle2);
    else if (p->plate < q->head.plate_count)
        snprintf(where, sizeof where, ", plate %.60s side %u, circle %u", q->head.plates[p->plate].name, p->side,
                 cc_plan_holes(p));
    text_para(t, "", "  ", "%s", q->head.title);
    text_para(t, "", "  ", "A circle of %lu holes, made on this head", q->make);
    text_blank(t);
    text_para(t, "Plate 1: ", "         ", "%s indexing%s. %s", cc_method_name(p->method), where,
              p->exact ? "Exact by arithmetic." : "Not exact:");
    if (!p->exact)
        text_para(t, "         ", "         ", "holes up to %s off, up to %s from one to the next.",
                  error_text(worst, sizeof worst, t, p->worst_error),
                  error_text(pitch, sizeof pitch, t, p->worst_pitch));
    put_head_words(head, sizeof head, q->choice.name, q->choice.mounted);
    tolerance_words(tolerance, sizeof tolerance, p);
    text_para(t, "         ", "         ", "The movements: crankcard divide %lu --method %s --tolerance %s%s", q->make,
              cc_method_name(p->method), tolerance, head);
    if (!p->exact)
        text_para(t, "Then:    ", "         ", "drill plate 2 through plate 1, and so on; each is used on the crank, "
                  "where the worm divides its errors.");
}

/* From hole to hole, at the least, that a pin's hole and a wall need (assumed: holes of 2 mm, 0.5 mm between them). */
#define LEAST_CHORD_MM 2.5

static void card_chord(struct text *t, const struct plates_job *q)
{
    char chord[QUANTITY_SIZE], circle[QUANTITY_SIZE], least[QUANTITY_SIZE], factor[QUANTITY_SIZE];
    mpq_t apart;

    if (q->make < 2)
        return;
    mpq_init(apart);
    mpq_set_ui(apart, 1, q->make);
    double one = cc_chord(1, apart);
    mpq_clear(apart);
    length_text_d(least, LEAST_CHORD_MM / one, q->output.unit);
    if (!q->has_diameter) {
        text_para(t, "Chord:   ", "         ", "from hole to hole %s of the circle's diameter: %s or more, for holes of 2 mm with 0.5 mm "
                  "between them (assumed).", fixed_text(factor, sizeof factor, one, 5), least);
        return;
    }
    double mm = one * mpq_get_d(q->diameter);
    length_text_d(chord, mm, q->output.unit);
    length_text(circle, q->diameter, q->output.unit);
    text_para(t, "Chord:   ", "         ", "from hole to hole %s on %s; less the hole, that is the wall between them.", chord, circle);
    if (mm < LEAST_CHORD_MM)
        text_para(t, "         ", "         ", "TOO NEAR each other: holes of 2 mm with 0.5 mm between them (assumed) need a circle of "
                  "%s or more.", least);
}

/* The other way, on a machine whose dials or readout are better than the head. */
static void card_coordinates(struct text *t, const struct plates_job *q)
{
    char diameter[QUANTITY_SIZE] = "";

    if (q->has_diameter)
        snprintf(diameter, sizeof diameter, "%.80s%s", fixed_text((char[80]){ 0 }, 80, in_unit(mpq_get_d(q->diameter), q->output.unit),
                 q->output.unit == CC_INCH ? 4 : 3), cc_unit_name(q->output.unit));
    if (q->has_diameter)
        text_para(t, "Or:      ", "         ", "drilled by coordinates, which asks nothing of this head's worm: crankcard layout %lu "
                  "--diameter %s", q->make, diameter);
    else
        text_para(t, "Or:      ", "         ", "drilled by coordinates, which asks nothing of this head's worm: the command layout.");
}

static void card_assumptions(struct text *t, const struct plate_making *m)
{
    char worm[80], drill[80];

    text_para(t, "", "  ", "The worm holds %s%s; drilling is off by up to %s.",
              error_text(worm, sizeof worm, t, m->worm_error), m->assumed ? " (assumed)" : "",
              error_text(drill, sizeof drill, t, m->drill_error));
}

static void card_generation_cells(struct text *t, const char *name, const char *hole, const char *work, const char *rounding)
{
    char a[120], b[120], c[120];
    unsigned columns = t->width < 40 ? 8 : 10;

    text_line(t, "%5s %s %s %s", name, text_pad_left(a, sizeof a, hole, columns), text_pad_left(b, sizeof b, work, columns),
              text_pad_left(c, sizeof c, rounding, columns));
}

static void card_generation_row(struct text *t, const char *name, const mpq_t hole, const mpq_t work,
                                const char *rounding)
{
    char a[80], b[80];

    card_generation_cells(t, name, error_text(a, sizeof a, t, hole), error_text(b, sizeof b, t, work), rounding);
}

void plate_making_write_card(FILE *out, const struct plates_job *q, const struct plate_making *m)
{
    struct text t;
    char rounding[80], name[24];

    text_init(&t, out, &q->output);
    card_first_plate(&t, q, m);
    card_coordinates(&t, q);
    card_chord(&t, q);
    text_blank(&t);
    card_assumptions(&t, m);
    text_line(&t, "Worst error at most");
    card_generation_cells(&t, "plate", "holes", "work", "rounding");
    for (size_t g = 0; g < m->made.generations; g++) {
        snprintf(name, sizeof name, "%zu", g + 1);
        card_generation_row(&t, name, m->made.at[g].hole_error, m->made.at[g].work_error,
                            error_text(rounding, sizeof rounding, &t, m->made.at[g].work_arithmetic));
    }
    card_generation_row(&t, "floor", m->made.hole_floor, m->made.work_floor, "");
    text_blank(&t);
    text_para(&t, "", "", "Work is what is indexed through the plate; rounding is what is left in it of plate 1's "
              "setting. The floor is set by the worm and the drilling: %s.",
              m->made.plan.exact ? "with plate 1 exact by arithmetic, a second plate gains nothing"
                            : "more plates come nearer to it and never pass it");
    text_para(&t, "", "", "Spot each hole before it is drilled, deburr both faces. Clamp the blank well, keep hands clear of the drill; local rules come first.");
    text_end(&t);
}
