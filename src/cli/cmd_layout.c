/* cmd_layout.c: holes and slots on a circle as dial settings and chords, as text, tables and a drawing. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/commands.h"
#include "cli/csv.h"
#include "cli/figures.h"
#include "cli/json.h"
#include "cli/memory.h"
#include "cli/svg.h"
#include "cli/text.h"

enum {
    OPT_DIAMETER = OPT_OWN, OPT_ANGLES, OPT_RESOLUTION, OPT_CORNER, OPT_CENTRE, OPT_START,
    OPT_CLOCKWISE, OPT_SLOT, OPT_PIN
};

static const struct option_row layout_options[] = {
    { OPT_DIAMETER, 'd', "diameter", "LENGTH", "diameter of the circle of centres (needed)" },
    { OPT_ANGLES, 'a', "angles", NULL, "the operands are angles, each with a label if you like" },
    { OPT_RESOLUTION, 'r', "resolution", "LENGTH", "what the dials or the readout show (default 0.01mm, 0.001in)" },
    { OPT_CORNER, 0, "corner", NULL, "count from the lower left corner of the square around the circle" },
    { OPT_CENTRE, 'c', "centre", "X,Y", "where the centre lies from the corner counted from" },
    { OPT_START, 's', "start", "ANGLE", "first direction, counter-clockwise from the X axis (default 0)" },
    { OPT_CLOCKWISE, 0, "clockwise", NULL, "positions follow one another clockwise" },
    { OPT_SLOT, 0, "slot", "LENGTH", "slots: the diameter of the circle of their other ends" },
    { OPT_PIN, 'p', "pin", "LENGTH", "diameter of the pins for checking with calipers" },
    OPTIONS_END
};

const struct option_row *const layout_tables[] = { layout_options, output_options, NULL };

#define MOST_POSITIONS 1000000
#define MOST_ANGLES 500

struct request {
    struct output output;
    struct cc_layout layout, slot;      /* slot: the other ends, diameter 0 without slots */
    bool slots, angles, corner;
    mpq_t pin;
    const char *diameter, *resolution, *centre, *start, *slot_text, *pin_text;
    const char **operand;
    size_t operands;
    /* positions */
    size_t count;
    mpq_t *angle;                       /* of a list; NULL for equal divisions */
    const char **label;                 /* "" without one */
};

/* ---- reading the request ---- */

static enum cc_status take_length(mpq_t mm, const char *text, const char *what,
                                  const struct request *q, struct cc_error *err)
{
    struct cc_error why;
    enum cc_status s = cc_length_parse(mm, text, q->output.unit, &why);

    if (s != CC_OK)
        return cc_fail(err, s, "%s: %.300s", what, why.text);
    return CC_OK;
}

static enum cc_status take_centre(struct request *q, struct cc_error *err)
{
    char x[100];
    const char *comma = strchr(q->centre, ',');

    if (comma == NULL || strchr(comma + 1, ',') != NULL || (size_t)(comma - q->centre) >= sizeof x)
        return cc_fail(err, CC_EPARSE, "--centre: '%.60s' is not two lengths: write X,Y", q->centre);
    memcpy(x, q->centre, (size_t)(comma - q->centre));
    x[comma - q->centre] = '\0';
    enum cc_status s = take_length(q->layout.centre_x, x, "--centre", q, err);
    if (s == CC_OK)
        s = take_length(q->layout.centre_y, comma + 1, "--centre", q, err);
    return s;
}

static enum cc_status take_start(struct request *q, struct cc_error *err)
{
    struct cc_error why;
    enum cc_status s = cc_angle_parse(q->layout.start, q->start, &why);

    return s == CC_OK ? s : cc_fail(err, s, "--start: %.300s", why.text);
}

static enum cc_status take_slot(struct request *q, struct cc_error *err)
{
    enum cc_status s = take_length(q->slot.diameter, q->slot_text, "--slot", q, err);

    if (s == CC_OK && mpq_sgn(q->slot.diameter) <= 0)
        s = cc_fail(err, CC_EDOM, "--slot: '%.40s': the diameter must be more than 0", q->slot_text);
    if (s == CC_OK && mpq_equal(q->slot.diameter, q->layout.diameter))
        s = cc_fail(err, CC_EDOM, "--slot: '%.40s' is the circle itself: a slot ends on another circle", q->slot_text);
    q->slots = true;
    return s;
}

static enum cc_status take_pin(struct request *q, struct cc_error *err)
{
    enum cc_status s = take_length(q->pin, q->pin_text, "--pin", q, err);

    if (s == CC_OK && mpq_sgn(q->pin) <= 0)
        s = cc_fail(err, CC_EDOM, "--pin: '%.40s': the diameter must be more than 0", q->pin_text);
    return s;
}

/* The option values, once all are known: --units may stand behind a length. */
static enum cc_status take_values(struct request *q, struct cc_error *err)
{
    enum cc_status s;

    if (q->diameter == NULL)
        return cc_fail(err, CC_EPARSE, "layout needs the circle: --diameter LENGTH");
    s = take_length(q->layout.diameter, q->diameter, "--diameter", q, err);
    if (s == CC_OK)
        s = take_length(q->layout.resolution,
                        q->resolution != NULL            ? q->resolution
                        : q->output.unit == CC_INCH ? "0.001in"
                                                    : "0.01mm",
                        "--resolution", q, err);
    if (s == CC_OK && q->corner) {
        mpq_div_2exp(q->layout.centre_x, q->layout.diameter, 1);
        mpq_set(q->layout.centre_y, q->layout.centre_x);
    }
    if (s == CC_OK && q->centre != NULL)
        s = q->corner ? cc_fail(err, CC_EPARSE, "--corner and --centre both say where the centre lies: give one")
                      : take_centre(q, err);
    if (s == CC_OK && q->start != NULL)
        s = take_start(q, err);
    if (s == CC_OK && q->slot_text != NULL)
        s = take_slot(q, err);
    if (s == CC_OK && q->pin_text != NULL)
        s = take_pin(q, err);
    if (s == CC_OK)
        s = cc_layout_check(&q->layout, err);
    if (s != CC_OK || !q->slots)
        return s;
    mpq_set(q->slot.resolution, q->layout.resolution);
    mpq_set(q->slot.centre_x, q->layout.centre_x);
    mpq_set(q->slot.centre_y, q->layout.centre_y);
    mpq_set(q->slot.start, q->layout.start);
    q->slot.clockwise = q->layout.clockwise;
    return cc_layout_check(&q->slot, err);
}

static enum cc_status take_angles(struct request *q, struct cc_error *err)
{
    if (q->operands > MOST_ANGLES)
        return cc_fail(err, CC_ELIMIT, "%zu angles: at most %d", q->operands, MOST_ANGLES);
    q->angle = memory_get(q->operands * sizeof *q->angle);
    q->label = memory_get(q->operands * sizeof *q->label);
    for (size_t i = 0; i < q->operands; i++) {
        mpq_init(q->angle[i]);
        q->count = i + 1;
        enum cc_status s = cc_angle_parse_prefix(q->angle[i], &q->label[i], q->operand[i], err);
        if (s != CC_OK)
            return s;
    }
    return CC_OK;
}

static enum cc_status take_operands(struct request *q, struct cc_error *err)
{
    unsigned long n = 0;

    if (q->operands == 0)
        return cc_fail(err, CC_EPARSE, "layout needs a count, or --angles and the angles: crankcard layout 7 --diameter 80");
    if (q->angles)
        return take_angles(q, err);
    if (q->operands > 1)
        return cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: layout takes one N, or angles after --angles",
                       q->operand[1]);
    if (!read_number(&n, q->operand[0], "N", 1, MOST_POSITIONS, err))
        return err->status;
    q->count = n;
    return CC_OK;
}

static bool take_option(struct request *q, const struct args *args, struct cc_error *err)
{
    switch (args->id) {
    case OPT_DIAMETER:
        q->diameter = args->text;
        return true;
    case OPT_ANGLES:
        q->angles = true;
        return true;
    case OPT_RESOLUTION:
        q->resolution = args->text;
        return true;
    case OPT_CORNER:
        q->corner = true;
        return true;
    case OPT_CENTRE:
        q->centre = args->text;
        return true;
    case OPT_START:
        q->start = args->text;
        return true;
    case OPT_CLOCKWISE:
        q->layout.clockwise = true;
        return true;
    case OPT_SLOT:
        q->slot_text = args->text;
        return true;
    case OPT_PIN:
        q->pin_text = args->text;
        return true;
    default:
        return output_option(&q->output, args->id, args->text, err);
    }
}

static enum cc_status read_request(struct request *q, int argc, char **argv, struct cc_error *err)
{
    struct args args;

    args_init(&args, argc, argv, layout_tables);
    for (enum arg_kind kind; (kind = args_next(&args, err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return err->status;
        if (kind == ARG_OPERAND)
            q->operand[q->operands++] = args.text;
        else if (!take_option(q, &args, err))
            return err->status;
    }
    enum cc_status s = take_operands(q, err);
    return s == CC_OK ? take_values(q, err) : s;
}

static void request_init(struct request *q, int argc)
{
    *q = (struct request){ .slots = false };
    output_init(&q->output);
    cc_layout_init(&q->layout);
    cc_layout_init(&q->slot);
    mpq_init(q->pin);
    q->operand = memory_get(((size_t)argc + 1) * sizeof *q->operand);
}

static void request_clear(struct request *q)
{
    for (size_t i = 0; q->angle != NULL && i < q->count; i++)
        mpq_clear(q->angle[i]);
    free(q->angle);
    free(q->label);
    free(q->operand);
    mpq_clear(q->pin);
    cc_layout_clear(&q->slot);
    cc_layout_clear(&q->layout);
}

/* ---- the positions ---- */

/* One position and what it is checked by. */
struct position {
    size_t index;
    const char *label;
    mpq_t angle;
    struct cc_layout_point here, next, far, slot;
    size_t far_index;           /* the position nearest opposite */
    double chord_mm, chord_set_mm;      /* to the next, round to the first: true and as set */
    double far_mm, far_set_mm;          /* across */
};

static void position_init(struct position *p)
{
    mpq_init(p->angle);
    cc_layout_point_init(&p->here);
    cc_layout_point_init(&p->next);
    cc_layout_point_init(&p->far);
    cc_layout_point_init(&p->slot);
}

static void position_clear(struct position *p)
{
    cc_layout_point_clear(&p->slot);
    cc_layout_point_clear(&p->far);
    cc_layout_point_clear(&p->next);
    cc_layout_point_clear(&p->here);
    mpq_clear(p->angle);
}

static void angle_of(mpq_t angle, const struct request *q, size_t i)
{
    if (q->angle != NULL) {
        mpq_set(angle, q->angle[i]);
        return;
    }
    mpq_set_ui(angle, i, q->count);
    mpq_canonicalize(angle);
}

/* The chord from position i to k. */
static double chord_to(const struct request *q, const mpq_t from, size_t k)
{
    mpq_t apart;

    mpq_init(apart);
    angle_of(apart, q, k);
    mpq_sub(apart, apart, from);
    double chord = cc_chord(mpq_get_d(q->layout.diameter), apart);
    mpq_clear(apart);
    return chord;
}

static size_t farthest(const struct request *q, const mpq_t from, size_t i)
{
    size_t best = i;
    double longest = 0;

    if (q->angle == NULL)
        return (i + q->count / 2) % q->count;
    for (size_t k = 0; k < q->count; k++) {
        double chord = chord_to(q, from, k);
        if (chord > longest) {
            longest = chord;
            best = k;
        }
    }
    return best;
}

static void at_index(struct cc_layout_point *point, const struct request *q, size_t i)
{
    mpq_t angle;

    mpq_init(angle);
    angle_of(angle, q, i);
    cc_layout_at(point, &q->layout, angle);
    mpq_clear(angle);
}

static void position_at(struct position *p, const struct request *q, size_t i)
{
    size_t next = (i + 1) % q->count;

    p->index = i;
    p->label = q->label != NULL ? q->label[i] : "";
    angle_of(p->angle, q, i);
    at_index(&p->here, q, i);
    at_index(&p->next, q, next);
    p->far_index = farthest(q, p->angle, i);
    at_index(&p->far, q, p->far_index);
    p->chord_mm = chord_to(q, p->angle, next);
    p->chord_set_mm = cc_layout_distance_mm(&p->here, &p->next);
    p->far_mm = chord_to(q, p->angle, p->far_index);
    p->far_set_mm = cc_layout_distance_mm(&p->here, &p->far);
    if (q->slots)
        cc_layout_at(&p->slot, &q->slot, p->angle);
}

/* The worst of all positions, and the range of chords as set. */
struct summary {
    double off_mm, arcsec;
    double least_chord_mm, most_chord_mm, least_far_mm, most_far_mm;
};

static void summarise(struct summary *s, const struct request *q)
{
    struct position p;

    *s = (struct summary){ .least_chord_mm = HUGE_VAL, .least_far_mm = HUGE_VAL };
    position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        position_at(&p, q, i);
        s->off_mm = fmax(s->off_mm, p.here.off_mm);
        s->arcsec = fmax(s->arcsec, fabs(p.here.angle_error_arcsec));
        s->least_chord_mm = fmin(s->least_chord_mm, p.chord_set_mm);
        s->most_chord_mm = fmax(s->most_chord_mm, p.chord_set_mm);
        s->least_far_mm = fmin(s->least_far_mm, p.far_set_mm);
        s->most_far_mm = fmax(s->most_far_mm, p.far_set_mm);
    }
    position_clear(&p);
}

/* ---- numbers as text ---- */

/* Decimals that show every multiple of the resolution, 6 at most. */
static unsigned setting_decimals(const struct request *q)
{
    mpq_t r;
    unsigned decimals = 0;

    mpq_init(r);
    in_unit_exact(r, q->layout.resolution, q->output.unit);
    while (decimals < 6 && mpz_cmp_ui(mpq_denref(r), 1) != 0) {
        mpz_mul_ui(mpq_numref(r), mpq_numref(r), 10);
        mpq_canonicalize(r);
        decimals++;
    }
    mpq_clear(r);
    return decimals;
}

static const char *setting(char *buf, size_t size, const struct request *q, const mpq_t mm)
{
    cc_length_str(buf, size, mm, q->output.unit, setting_decimals(q));
    return buf;
}

/* Lengths that are not dial settings: a digit more than the dial shows. */
static const char *measure(char *buf, size_t size, const struct request *q, double mm)
{
    return fixed_text(buf, size, in_unit(mm, q->output.unit), setting_decimals(q) + 1);
}

/* ---- card ---- */

static void start_text(char *buf, size_t size, const struct request *q)
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

static void card_setup(struct text *t, const struct request *q, const struct summary *s)
{
    char a[80], b[80], c[120];
    const char *unit = cc_unit_name(q->output.unit);

    if (q->angle != NULL)
        text_para(t, "", "  ", "%zu position%s on a circle of %s %s", q->count, q->count == 1 ? "" : "s",
                  setting(a, sizeof a, q, q->layout.diameter), unit);
    else
        text_para(t, "", "  ", "%zu equal division%s on a circle of %s %s", q->count,
                  q->count == 1 ? "" : "s", setting(a, sizeof a, q, q->layout.diameter), unit);
    text_para(t, "", "  ", "Rounded to %s %s: at most %s %s off, %s″ along the circle.",
              setting(a, sizeof a, q, q->layout.resolution), unit,
              fixed_text(b, sizeof b, in_unit(s->off_mm, q->output.unit), setting_decimals(q) + 2), unit,
              fixed_text(c, sizeof c, s->arcsec, 1));
    text_blank(t);
    text_line(t, "Set up");
    if (mpq_sgn(q->layout.centre_x) == 0 && mpq_sgn(q->layout.centre_y) == 0)
        text_para(t, "  ", "  ", "Dials or readout to zero at the centre of the circle.");
    else
        text_para(t, "  ", "  ", "Dials or readout to zero at the corner; the centre is X %s, Y %s.",
                  setting(a, sizeof a, q, q->layout.centre_x), setting(b, sizeof b, q, q->layout.centre_y));
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

static struct widths choose_widths(const struct text *t, const struct request *q)
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
    w.x = (unsigned)strlen(setting(length, sizeof length, q, most)) + 1;
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

static void card_row(struct text *t, const struct request *q, const struct position *p,
                     const struct widths *w)
{
    char line[600], cell[100], number[40];

    snprintf(number, sizeof number, "%zu", p->index + 1);
    snprintf(line, sizeof line, "[ ] %s", text_pad_left(cell, sizeof cell, number, w->number));
    cc_angle_dms_str(cell, sizeof cell, p->angle, 1, t->ascii ? CC_MARKS_ASCII : CC_MARKS_UTF8);
    append_cell(line, sizeof line, cell, w->angle);
    append_cell(line, sizeof line, setting(cell, sizeof cell, q, p->here.x), w->x);
    append_cell(line, sizeof line, setting(cell, sizeof cell, q, p->here.y), w->x);
    if (q->slots) {
        append_cell(line, sizeof line, setting(cell, sizeof cell, q, p->slot.x), w->x);
        append_cell(line, sizeof line, setting(cell, sizeof cell, q, p->slot.y), w->x);
    }
    fixed_text(cell, sizeof cell, in_unit(p->here.off_mm, q->output.unit), setting_decimals(q) + 2);
    append_cell(line, sizeof line, cell, w->off);
    text_line(t, "%s", line);
    if (p->label[0] != '\0')
        text_para(t, "      ", "      ", "%s", p->label);
}

static void card_rows(struct text *t, const struct request *q)
{
    struct position p;
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
    position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        position_at(&p, q, i);
        card_row(t, q, &p, &w);
    }
    position_clear(&p);
    text_blank(t);
}

static void pin_lines(struct text *t, const struct request *q, double chord_mm)
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
static void card_checks(struct text *t, const struct request *q, const struct summary *s)
{
    struct position p;
    char a[80], b[80], c[80];

    if (q->count < 2)
        return;
    text_line(t, "Check with calipers, %s", cc_unit_name(q->output.unit));
    position_init(&p);
    if (q->angle == NULL) {
        position_at(&p, q, 0);
        text_para(t, "  ", "    ", "neighbours: %s (as set %s to %s)", measure(a, sizeof a, q, p.chord_mm),
                  measure(b, sizeof b, q, s->least_chord_mm), measure(c, sizeof c, q, s->most_chord_mm));
        pin_lines(t, q, p.chord_mm);
        text_para(t, "  ", "    ", "across, 1 to %zu and so on: %s (as set %s to %s)", p.far_index + 1,
                  measure(a, sizeof a, q, p.far_mm), measure(b, sizeof b, q, s->least_far_mm),
                  measure(c, sizeof c, q, s->most_far_mm));
        pin_lines(t, q, p.far_mm);
    } else {
        for (size_t i = 0; i < q->count; i++) {
            position_at(&p, q, i);
            text_para(t, "  ", "    ", "%zu to %zu: %s (as set %s)", i + 1, (i + 1) % q->count + 1,
                      measure(a, sizeof a, q, p.chord_mm), measure(b, sizeof b, q, p.chord_set_mm));
            pin_lines(t, q, p.chord_mm);
        }
    }
    position_clear(&p);
}

static void write_card(struct cli *cli, const struct request *q)
{
    struct text t;
    struct summary s;

    summarise(&s, q);
    text_init(&t, cli->out, &q->output);
    card_setup(&t, q, &s);
    card_rows(&t, q);
    card_checks(&t, q, &s);
}

/* ---- csv and tsv ---- */

static void csv_mm(struct csv *csv, const struct request *q, double mm)
{
    char buf[400];
    csv_field(csv, fixed_text(buf, sizeof buf, in_unit(mm, q->output.unit), 6));
}

static void csv_setting(struct csv *csv, const struct request *q, const mpq_t mm)
{
    char buf[100];
    csv_field(csv, setting(buf, sizeof buf, q, mm));
}

static void csv_row(struct csv *csv, const struct request *q, const struct position *p)
{
    char buf[100];

    csv_number(csv, (long long)p->index + 1);
    csv_field(csv, p->label);
    csv_rational(csv, p->angle);
    csv_degrees(csv, p->angle);
    csv_setting(csv, q, p->here.x);
    csv_setting(csv, q, p->here.y);
    csv_mm(csv, q, p->here.error_x_mm);
    csv_mm(csv, q, p->here.error_y_mm);
    csv_mm(csv, q, p->here.off_mm);
    csv_mm(csv, q, p->here.along_mm);
    csv_mm(csv, q, p->here.out_mm);
    csv_field(csv, fixed_text(buf, sizeof buf, p->here.angle_error_arcsec, 3));
    csv_mm(csv, q, p->chord_mm);
    csv_mm(csv, q, p->chord_set_mm);
    csv_number(csv, (long long)p->far_index + 1);
    csv_mm(csv, q, p->far_mm);
    csv_mm(csv, q, p->far_set_mm);
    if (q->slots) {
        csv_setting(csv, q, p->slot.x);
        csv_setting(csv, q, p->slot.y);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
    csv_end_row(csv);
}

static void write_csv(struct cli *cli, const struct request *q)
{
    struct csv csv;
    struct position p;

    csv_init(&csv, cli->out, q->output.format == FORMAT_TSV);
    csv_header(&csv, q->output.unit == CC_INCH
                         ? "position,label,angle,angle_deg,x_in,y_in,error_x_in,error_y_in,off_in,along_in,out_in,"
                           "error_arcsec,chord_in,chord_set_in,across_to,across_in,across_set_in,end_x_in,end_y_in"
                         : "position,label,angle,angle_deg,x_mm,y_mm,error_x_mm,error_y_mm,off_mm,along_mm,out_mm,"
                           "error_arcsec,chord_mm,chord_set_mm,across_to,across_mm,across_set_mm,end_x_mm,end_y_mm");
    position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        position_at(&p, q, i);
        csv_row(&csv, q, &p);
    }
    position_clear(&p);
}

/* ---- JSON ---- */

/* KEY_mm or KEY_in. */
static const char *key_of(char *buf, size_t size, const struct request *q, const char *key)
{
    snprintf(buf, size, "%s_%s", key, cc_unit_name(q->output.unit));
    return buf;
}

static void json_length(struct json *json, const struct request *q, const char *key, double mm)
{
    char buf[64];
    json_double(json, key_of(buf, sizeof buf, q, key), in_unit(mm, q->output.unit), 6);
}

static void json_setting(struct json *json, const struct request *q, const char *key, const mpq_t mm)
{
    char buf[64];
    mpq_t value;

    mpq_init(value);
    in_unit_exact(value, mm, q->output.unit);
    json_decimal(json, key_of(buf, sizeof buf, q, key), value, 6);
    mpq_clear(value);
}

static void json_setting_or_null(struct json *json, const struct request *q, const char *key, bool given,
                                 const mpq_t mm)
{
    char buf[64];

    if (given)
        json_setting(json, q, key, mm);
    else
        json_null(json, key_of(buf, sizeof buf, q, key));
}

static void json_summary(struct cli *cli, const struct request *q)
{
    struct json json;
    struct summary s;
    char n[40];

    summarise(&s, q);
    json_open(&json, cli->out);
    json_string(&json, "record", "layout");
    json_number(&json, "schema", 1);
    json_string(&json, "command", "layout");
    snprintf(n, sizeof n, "%zu", q->count);
    json_string(&json, "divisions", q->angle == NULL ? n : NULL);
    json_number(&json, "positions", (long long)q->count);
    json_setting(&json, q, "diameter", q->layout.diameter);
    json_setting(&json, q, "resolution", q->layout.resolution);
    json_setting(&json, q, "centre_x", q->layout.centre_x);
    json_setting(&json, q, "centre_y", q->layout.centre_y);
    json_rational(&json, "start", q->layout.start);
    json_bool(&json, "clockwise", q->layout.clockwise);
    json_setting_or_null(&json, q, "slot_diameter", q->slots, q->slot.diameter);
    json_setting_or_null(&json, q, "pin", mpq_sgn(q->pin) > 0, q->pin);
    json_length(&json, q, "worst_off", s.off_mm);
    json_double(&json, "worst_error_arcsec", s.arcsec, 3);
    json_close(&json);
}

static void json_point(struct json *json, const struct request *q, const struct position *p)
{
    json_string(json, "record", "point");
    json_number(json, "position", (long long)p->index + 1);
    json_string(json, "label", p->label[0] != '\0' ? p->label : NULL);
    json_rational(json, "angle", p->angle);
    json_degrees(json, "angle_deg", p->angle);
    json_setting(json, q, "x", p->here.x);
    json_setting(json, q, "y", p->here.y);
    json_length(json, q, "error_x", p->here.error_x_mm);
    json_length(json, q, "error_y", p->here.error_y_mm);
    json_length(json, q, "off", p->here.off_mm);
    json_length(json, q, "along", p->here.along_mm);
    json_length(json, q, "out", p->here.out_mm);
    json_double(json, "error_arcsec", p->here.angle_error_arcsec, 3);
    json_length(json, q, "chord", p->chord_mm);
    json_length(json, q, "chord_set", p->chord_set_mm);
    json_number(json, "across_to", (long long)p->far_index + 1);
    json_length(json, q, "across", p->far_mm);
    json_length(json, q, "across_set", p->far_set_mm);
    json_setting_or_null(json, q, "end_x", q->slots, p->slot.x);
    json_setting_or_null(json, q, "end_y", q->slots, p->slot.y);
}

static void write_jsonl(struct cli *cli, const struct request *q)
{
    struct position p;
    struct json json;

    json_summary(cli, q);
    position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        position_at(&p, q, i);
        json_open(&json, cli->out);
        json_point(&json, q, &p);
        json_close(&json);
    }
    position_clear(&p);
}

/* ---- drawing ---- */

/* Millimetres throughout, true scale; the circle's centre lies at (half, half) of the sheet, whose Y grows downward. */
struct sheet {
    struct svg svg;
    const struct request *q;
    double half, height;
    double hole;            /* radius of what is drawn at a position */
};

#define SHEET_TEXT 2.8
#define SHEET_LINE 0.1
#define BAR_BELOW 14.0      /* height of the strip that holds the check bar */
#define LEAST_CHORD 4.0     /* between neighbours that are numbered */

static void lay_out_sheet(struct sheet *s, const struct request *q)
{
    double d = mpq_get_d(q->layout.diameter);

    if (q->slots)
        d = fmax(d, mpq_get_d(q->slot.diameter));
    s->q = q;
    s->half = fmax(d / 2 + 15, 32);
    s->height = 2 * s->half + BAR_BELOW;
    s->hole = mpq_sgn(q->pin) > 0 ? mpq_get_d(q->pin) / 2 : 0.75;
}

static double sheet_x(const struct sheet *s, double x)
{
    return s->half + x - mpq_get_d(s->q->layout.centre_x);
}

static double sheet_y(const struct sheet *s, double y)
{
    return s->half - (y - mpq_get_d(s->q->layout.centre_y));
}

static void draw_cross(struct svg *svg, double x, double y, double arm)
{
    svg_line(svg, x - arm, y, x + arm, y);
    svg_line(svg, x, y - arm, x, y + arm);
}

static void draw_bar(struct sheet *s)
{
    static const struct svg_text_style style = { SHEET_TEXT, SVG_MIDDLE, false };
    bool inches = s->q->output.unit == CC_INCH;
    double reach = (inches ? 50.8 : 50) / 2, y = s->height - 6;

    svg_group(&s->svg, "none", SHEET_LINE, NULL);
    svg_attr(&s->svg, "class", "bar");
    svg_line(&s->svg, s->half - reach, y, s->half + reach, y);
    svg_line(&s->svg, s->half - reach, y - 2, s->half - reach, y + 2);
    svg_line(&s->svg, s->half + reach, y - 2, s->half + reach, y + 2);
    svg_close(&s->svg);
    svg_text(&s->svg, s->half, y + 4.5, style, "this bar is %s when printed at true scale", inches ? "2 in" : "50 mm");
}

static void draw_position(struct sheet *s, const struct position *p)
{
    double x = sheet_x(s, p->here.true_x_mm), y = sheet_y(s, p->here.true_y_mm);

    if (s->q->slots)
        svg_line(&s->svg, x, y, sheet_x(s, p->slot.true_x_mm), sheet_y(s, p->slot.true_y_mm));
    draw_cross(&s->svg, x, y, 1);
    svg_open(&s->svg, "circle");
    svg_number(&s->svg, "data-position", (double)(p->index + 1));
    svg_number(&s->svg, "cx", x);
    svg_number(&s->svg, "cy", y);
    svg_number(&s->svg, "r", s->hole);
    svg_close(&s->svg);
}

/* Numbers stand outside the circle, where neighbours leave them room. */
static void number_position(struct sheet *s, const struct position *p)
{
    static const struct svg_text_style style = { SHEET_TEXT, SVG_MIDDLE, false };
    double x = sheet_x(s, p->here.true_x_mm) - s->half, y = sheet_y(s, p->here.true_y_mm) - s->half;
    double r = hypot(x, y);

    if (s->q->count == 1 || p->chord_mm > LEAST_CHORD)
        svg_text(&s->svg, s->half + x * (r + 5) / r, s->half + y * (r + 5) / r + 1, style, "%zu", p->index + 1);
}

static void each_position(struct sheet *s, void (*draw)(struct sheet *s, const struct position *p))
{
    struct position p;

    position_init(&p);
    for (size_t i = 0; i < s->q->count; i++) {
        position_at(&p, s->q, i);
        draw(s, &p);
    }
    position_clear(&p);
}

static void write_svg(struct cli *cli, const struct request *q)
{
    struct sheet s;
    char title[200];

    lay_out_sheet(&s, q);
    snprintf(title, sizeof title, "%zu positions on a circle of %.6g %s, true scale", q->count,
             in_unit(mpq_get_d(q->layout.diameter), q->output.unit), cc_unit_name(q->output.unit));
    svg_begin(&s.svg, cli->out, 2 * s.half, s.height, title,
              "A template at true scale: a cross and a hole at every position, numbered in order, the circle through them, "
              "and below it a bar to be measured after printing.");
    svg_group(&s.svg, "none", SHEET_LINE, "4 1 1 1");
    svg_circle(&s.svg, s.half, s.half, mpq_get_d(q->layout.diameter) / 2);
    svg_close(&s.svg);
    svg_group(&s.svg, "none", SHEET_LINE, NULL);
    draw_cross(&s.svg, s.half, s.half, 3);
    each_position(&s, draw_position);
    svg_close(&s.svg);
    each_position(&s, number_position);
    draw_bar(&s);
    svg_end(&s.svg);
}

/* ---- command ---- */

static int write_layout(struct cli *cli, struct request *q)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    switch (q->output.format) {
    case FORMAT_CSV:
    case FORMAT_TSV:
        write_csv(cli, q);
        break;
    case FORMAT_JSONL:
        write_jsonl(cli, q);
        break;
    case FORMAT_SVG:
        write_svg(cli, q);
        break;
    default:
        write_card(cli, q);
        break;
    }
    return output_end(&q->output, cli, EXIT_YES);
}

int cmd_layout(struct cli *cli, int argc, char **argv)
{
    struct request q;

    request_init(&q, argc);
    enum cc_status s = read_request(&q, argc, argv, &cli->err);
    int status = s == CC_OK ? write_layout(cli, &q) : EXIT_TROUBLE;
    request_clear(&q);
    return status;
}
