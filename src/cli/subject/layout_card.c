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

/* In HTML: the circle, beside the card. */
static void put_picture(struct text *t, const struct layout_job *q)
{
    FILE *picture = text_picture_begin(t);

    if (picture == NULL)
        return;
    layout_write_drawing(picture, q);
    text_picture_end(t);
}

static void setup_lines(struct text *t, const struct layout_job *q, const struct layout_summary *s)
{
    char a[80], b[80], c[120];
    const char *unit = cc_unit_name(q->output.unit);

    if (q->angle != NULL)
        text_title(t, "%zu position%s on a circle of %s %s", q->count, q->count == 1 ? "" : "s",
                  layout_setting(a, sizeof a, q, q->layout.diameter), unit);
    else
        text_title(t, "%zu equal division%s on a circle of %s %s", q->count,
                  q->count == 1 ? "" : "s", layout_setting(a, sizeof a, q, q->layout.diameter), unit);
    text_para(t, "", "  ", "Rounded to %s %s: at most %s %s off, %s″ along the circle.",
              layout_setting(a, sizeof a, q, q->layout.resolution), unit,
              fixed_text(b, sizeof b, in_unit(s->off_mm, q->output.unit), layout_decimals(q) + 2), unit,
              fixed_text(c, sizeof c, s->arcsec, 1));
    text_blank(t);
    put_picture(t, q);
    text_heading(t, "Set up");
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

enum { NUMBER, ANGLE, X, Y, X_END, Y_END, OFF, MARK, CELLS };

/* Columns that a length takes: the farthest there is. */
static unsigned length_width(const struct layout_job *q)
{
    char length[80];
    mpq_t most, other;

    mpq_inits(most, other, NULL);
    mpq_abs(most, q->layout.centre_x);
    mpq_abs(other, q->layout.centre_y);
    if (mpq_cmp(other, most) > 0)
        mpq_set(most, other);
    mpq_add(most, most, q->layout.diameter);
    unsigned width = (unsigned)strlen(layout_setting(length, sizeof length, q, most)) + 1;
    mpq_clears(most, other, NULL);
    return width;
}

/* What a narrow card has no room for is left out: the error, then the angle. Labels have a line of their own in text. */
static void choose_columns(struct table_column *column, const struct text *t, const struct layout_job *q)
{
    static const char *const headings[CELLS] = { "", "angle", "X", "Y", "X end", "Y end", "off", "mark" };
    char number[40];
    unsigned x = length_width(q), n = (unsigned)snprintf(number, sizeof number, "%zu", q->count);
    unsigned angle = 14, off = 8, fixed = 4 + n + (2 + x) * (q->slots ? 4 : 2);

    if (!text_is_html(t) && fixed + 2 + angle + 2 + off > t->width)
        off = 0;
    if (!text_is_html(t) && fixed + 2 + angle + (off > 0 ? 2 + off : 0) > t->width)
        angle = 0;
    const unsigned widths[CELLS] = { n, angle, x, x, q->slots ? x : 0, q->slots ? x : 0, off, text_is_html(t) && q->label != NULL ? 12 : 0 };
    for (int c = 0; c < CELLS; c++)
        column[c] = (struct table_column){ headings[c], widths[c], c > 0 ? 2 : 0, c == MARK };
}

static void card_row(struct text *t, const struct layout_job *q, const struct layout_position *p, const struct table *table)
{
    char buf[CELLS][100] = { "" };
    const char *cell[CELLS];

    snprintf(buf[NUMBER], sizeof buf[0], "%zu", p->index + 1);
    cc_angle_dms_str(buf[ANGLE], sizeof buf[0], p->angle, 1, t->ascii ? CC_MARKS_ASCII : CC_MARKS_UTF8);
    layout_setting(buf[X], sizeof buf[0], q, p->here.x);
    layout_setting(buf[Y], sizeof buf[0], q, p->here.y);
    if (q->slots) {
        layout_setting(buf[X_END], sizeof buf[0], q, p->slot.x);
        layout_setting(buf[Y_END], sizeof buf[0], q, p->slot.y);
    }
    fixed_text(buf[OFF], sizeof buf[0], in_unit(p->here.off_mm, q->output.unit), layout_decimals(q) + 2);
    for (int c = 0; c < CELLS; c++)
        cell[c] = buf[c];
    cell[MARK] = p->label;
    text_row(t, table, cell, "[ ]");
    if (p->label[0] != '\0' && table->column[MARK].width == 0)
        text_para(t, "      ", "      ", "%s", p->label);
}

static void card_rows(struct text *t, const struct layout_job *q)
{
    struct table_column column[CELLS];
    const struct table table = { column, CELLS, true, q->count };
    struct layout_position p;

    choose_columns(column, t, q);
    text_heading(t, "Positions, %s", cc_unit_name(q->output.unit));
    text_table(t, &table);
    layout_position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        layout_position_at(&p, q, i);
        card_row(t, q, &p, &table);
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
    text_heading(t, "Check with calipers, %s", cc_unit_name(q->output.unit));
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
