/* layout_card.c: the card of a layout: set-up, positions to tick off, and what calipers find. */
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/quantities.h"
#include "cli/out/text.h"
#include "cli/subject/layout_job.h"

/* Lengths that are not dial settings: a digit more than the dial shows. */
static const char *measure(char *buf, size_t size, const struct layout_job *q, double mm)
{
    return fixed_text(buf, size, in_unit(mm, q->output.unit), layout_decimals(q) + 1);
}

static void start_text(char *buf, size_t size, const struct layout_job *q)
{
    char degrees[60];
    mpq_t deg;

    mpq_init(deg);
    cc_angle_degrees(deg, q->layout.start);
    cc_decimal_short_str(degrees, sizeof degrees, deg, 6);
    if (mpq_sgn(deg) == 0)
        snprintf(buf, size, "along X");
    else
        snprintf(buf, size, "%s° counter-clockwise from X", degrees);
    mpq_clear(deg);
}

static void setup_lines(struct text *t, const struct layout_job *q, const struct layout_summary *s)
{
    char a[80], b[80], c[120];
    const char *unit = cc_unit_name(q->output.unit);

    if (q->angle != NULL)
        text_para(t, "", "  ", "%zu position%s on a circle of %s %s", q->count, q->count == 1 ? "" : "s",
                  layout_setting(a, sizeof a, q, q->layout.diameter), unit);
    else
        text_para(t, "", "  ", "%zu equal division%s on a circle of %s %s", q->count,
                  q->count == 1 ? "" : "s", layout_setting(a, sizeof a, q, q->layout.diameter), unit);
    text_para(t, "", "  ", "Rounded to %s %s: at most %s %s off, %s″ along the circle.",
              layout_setting(a, sizeof a, q, q->layout.resolution), unit,
              fixed_text(b, sizeof b, in_unit(s->off_mm, q->output.unit), layout_decimals(q) + 2), unit,
              fixed_text(c, sizeof c, s->arcsec, 1));
    text_blank(t);
    text_line(t, "Set up");
    if (mpq_sgn(q->layout.centre_x) == 0 && mpq_sgn(q->layout.centre_y) == 0)
        text_para(t, "  ", "  ", "Dials or readout to zero at the centre of the circle.");
    else
        text_para(t, "  ", "  ", "Dials or readout to zero at the corner; the centre is X %s, Y %s.",
                  layout_setting(a, sizeof a, q, q->layout.centre_x),
                  layout_setting(b, sizeof b, q, q->layout.centre_y));
    start_text(c, sizeof c, q);
    text_para(t, "  ", "  ", "X grows to the right, Y away from you. Angle 0 lies %s; positions follow %s. "
              "Come to every setting from the same side.", c,
              q->layout.clockwise ? "clockwise" : "counter-clockwise");
    text_para(t, "  ", "  ", "Part clamped fast, and the spindle stopped before hands or calipers come near; local "
              "rules come first.");
    text_blank(t);
}

/* Widths of the card's columns; 0 leaves one out. */
struct widths {
    unsigned number, angle, x, off;
};

static struct widths choose_widths(const struct text *t, const struct layout_job *q)
{
    char number[40], length[80];
    mpq_t most;
    struct widths w;

    mpq_init(most);
    mpq_abs(most, q->layout.centre_x);
    mpq_t other;
    mpq_init(other);
    mpq_abs(other, q->layout.centre_y);
    if (mpq_cmp(other, most) > 0)
        mpq_set(most, other);
    mpq_add(most, most, q->layout.diameter);
    w.x = (unsigned)strlen(layout_setting(length, sizeof length, q, most)) + 1;
    mpq_clear(other);
    mpq_clear(most);
    w.number = (unsigned)snprintf(number, sizeof number, "%zu", q->count);
    w.angle = 14;
    w.off = 8;
    unsigned fixed = 4 + w.number + (2 + w.x) * (q->slots ? 4 : 2);
    if (fixed + 2 + w.angle + 2 + w.off > t->width)
        w.off = 0;
    if (fixed + 2 + w.angle + (w.off > 0 ? 2 + w.off : 0) > t->width)
        w.angle = 0;
    return w;
}

static void append_cell(char *line, size_t size, const char *cell, unsigned width)
{
    char padded[200];
    size_t used = strlen(line);

    if (width > 0)
        snprintf(line + used, size - used, "%s%s", used > 0 ? "  " : "",
                 text_pad_left(padded, sizeof padded, cell, width));
}

static void card_row(struct text *t, const struct layout_job *q, const struct layout_position *p,
                     const struct widths *w)
{
    char line[600], cell[100], number[40];

    snprintf(number, sizeof number, "%zu", p->index + 1);
    snprintf(line, sizeof line, "[ ] %s", text_pad_left(cell, sizeof cell, number, w->number));
    cc_angle_dms_str(cell, sizeof cell, p->angle, 1, t->ascii ? CC_MARKS_ASCII : CC_MARKS_UTF8);
    append_cell(line, sizeof line, cell, w->angle);
    append_cell(line, sizeof line, layout_setting(cell, sizeof cell, q, p->here.x), w->x);
    append_cell(line, sizeof line, layout_setting(cell, sizeof cell, q, p->here.y), w->x);
    if (q->slots) {
        append_cell(line, sizeof line, layout_setting(cell, sizeof cell, q, p->slot.x), w->x);
        append_cell(line, sizeof line, layout_setting(cell, sizeof cell, q, p->slot.y), w->x);
    }
    fixed_text(cell, sizeof cell, in_unit(p->here.off_mm, q->output.unit), layout_decimals(q) + 2);
    append_cell(line, sizeof line, cell, w->off);
    text_line(t, "%s", line);
    if (p->label[0] != '\0')
        text_para(t, "      ", "      ", "%s", p->label);
}

static void card_rows(struct text *t, const struct layout_job *q)
{
    struct layout_position p;
    struct widths w = choose_widths(t, q);
    char head[600], pad[40];

    snprintf(head, sizeof head, "    %s", text_pad_left(pad, sizeof pad, "", w.number));
    append_cell(head, sizeof head, "angle", w.angle);
    append_cell(head, sizeof head, "X", w.x);
    append_cell(head, sizeof head, "Y", w.x);
    if (q->slots) {
        append_cell(head, sizeof head, "X end", w.x);
        append_cell(head, sizeof head, "Y end", w.x);
    }
    append_cell(head, sizeof head, "off", w.off);
    text_line(t, "Positions, %s", cc_unit_name(q->output.unit));
    text_line(t, "%s", head);
    layout_position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        layout_position_at(&p, q, i);
        card_row(t, q, &p, &w);
    }
    layout_position_clear(&p);
    text_blank(t);
}

static void pin_lines(struct text *t, const struct layout_job *q, double chord_mm)
{
    char a[80], b[80];
    double pin = mpq_get_d(q->pin);

    if (pin >= chord_mm)
        text_para(t, "    ", "    ", "pins of %s do not go in side by side: take thinner ones", measure(a, sizeof a, q, pin));
    else if (pin > 0)
        text_para(t, "    ", "    ", "over the pins %s, between them %s",
                  measure(a, sizeof a, q, chord_mm + pin), measure(b, sizeof b, q, chord_mm - pin));
}

/* Equal divisions have one chord; a list has one each. */
static void card_checks(struct text *t, const struct layout_job *q, const struct layout_summary *s)
{
    struct layout_position p;
    char a[80], b[80], c[80];

    if (q->count < 2)
        return;
    text_line(t, "Check with calipers, %s", cc_unit_name(q->output.unit));
    layout_position_init(&p);
    if (q->angle == NULL) {
        layout_position_at(&p, q, 0);
        text_para(t, "  ", "    ", "neighbours: %s (as set %s to %s)", measure(a, sizeof a, q, p.chord_mm),
                  measure(b, sizeof b, q, s->least_chord_mm), measure(c, sizeof c, q, s->most_chord_mm));
        pin_lines(t, q, p.chord_mm);
        text_para(t, "  ", "    ", "across, 1 to %zu and so on: %s (as set %s to %s)", p.far_index + 1,
                  measure(a, sizeof a, q, p.far_mm), measure(b, sizeof b, q, s->least_far_mm),
                  measure(c, sizeof c, q, s->most_far_mm));
        pin_lines(t, q, p.far_mm);
    } else {
        for (size_t i = 0; i < q->count; i++) {
            layout_position_at(&p, q, i);
            text_para(t, "  ", "    ", "%zu to %zu: %s (as set %s)", i + 1, (i + 1) % q->count + 1,
                      measure(a, sizeof a, q, p.chord_mm), measure(b, sizeof b, q, p.chord_set_mm));
            pin_lines(t, q, p.chord_mm);
        }
    }
    layout_position_clear(&p);
}

void layout_write_card(FILE *out, const struct layout_job *q)
{
    struct text t;
    struct layout_summary s;

    layout_summarise(&s, q);
    text_init(&t, out, &q->output);
    setup_lines(&t, q, &s);
    card_rows(&t, q);
    card_checks(&t, q, &s);
    text_end(&t);
}
