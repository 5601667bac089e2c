/* cmd_layout.c: holes and slots on a circle as dial settings and chords: arguments and flow. */
#include <string.h>

#include "crankcard/angle.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/subject/layout_job.h"

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

static const struct option_row *const layout_tables[] = { layout_options, output_options, NULL };

#define MOST_POSITIONS 1000000
#define MOST_ANGLES 500

/* ---- reading the request ---- */

static enum cc_status take_length(mpq_t mm, const char *text, const char *what,
                                  const struct layout_job *q, struct cc_error *err)
{
    return blame(cc_length_parse(mm, text, q->output.unit, err), err, "%s", what);
}

static enum cc_status take_centre(struct layout_job *q, struct cc_error *err)
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

static enum cc_status take_start(struct layout_job *q, struct cc_error *err)
{
    return blame(cc_angle_parse(q->layout.start, q->start, err), err, "--start");
}

static enum cc_status take_slot(struct layout_job *q, struct cc_error *err)
{
    enum cc_status s = take_length(q->slot.diameter, q->slot_text, "--slot", q, err);

    if (s == CC_OK && mpq_sgn(q->slot.diameter) <= 0)
        s = cc_fail(err, CC_EDOM, "--slot: '%.40s': the diameter must be more than 0", q->slot_text);
    if (s == CC_OK && mpq_equal(q->slot.diameter, q->layout.diameter))
        s = cc_fail(err, CC_EDOM, "--slot: '%.40s' is the circle itself: a slot ends on another circle", q->slot_text);
    q->slots = true;
    return s;
}

static enum cc_status take_pin(struct layout_job *q, struct cc_error *err)
{
    enum cc_status s = take_length(q->pin, q->pin_text, "--pin", q, err);

    if (s == CC_OK && mpq_sgn(q->pin) <= 0)
        s = cc_fail(err, CC_EDOM, "--pin: '%.40s': the diameter must be more than 0", q->pin_text);
    return s;
}

/* The option values, once all are known: --units may stand behind a length. */
static enum cc_status take_resolution(struct layout_job *q, struct cc_error *err)
{
    const char *fallback = q->output.unit == CC_INCH ? "0.001in" : "0.01mm";

    return take_length(q->layout.resolution, q->resolution != NULL ? q->resolution : fallback, "--resolution", q, err);
}

/* Where the centre lies, which --corner and --centre say. */
static enum cc_status take_place(struct layout_job *q, struct cc_error *err)
{
    if (q->corner && q->centre != NULL)
        return cc_fail(err, CC_EPARSE, "--corner and --centre both say where the centre lies: give one");
    if (q->corner) {
        mpq_div_2exp(q->layout.centre_x, q->layout.diameter, 1);
        mpq_set(q->layout.centre_y, q->layout.centre_x);
    }
    return q->centre != NULL ? take_centre(q, err) : CC_OK;
}

/* The circle of the slots' other ends lies as the first does. */
static enum cc_status place_slots(struct layout_job *q, struct cc_error *err)
{
    mpq_set(q->slot.resolution, q->layout.resolution);
    mpq_set(q->slot.centre_x, q->layout.centre_x);
    mpq_set(q->slot.centre_y, q->layout.centre_y);
    mpq_set(q->slot.start, q->layout.start);
    q->slot.clockwise = q->layout.clockwise;
    return cc_layout_check(&q->slot, err);
}

static enum cc_status take_values(struct layout_job *q, struct cc_error *err)
{
    enum cc_status s;

    if (q->diameter == NULL)
        return cc_fail(err, CC_EPARSE, "layout needs the circle: --diameter LENGTH");
    s = take_length(q->layout.diameter, q->diameter, "--diameter", q, err);
    if (s == CC_OK)
        s = take_resolution(q, err);
    if (s == CC_OK)
        s = take_place(q, err);
    if (s == CC_OK && q->start != NULL)
        s = take_start(q, err);
    if (s == CC_OK && q->slot_text != NULL)
        s = take_slot(q, err);
    if (s == CC_OK && q->pin_text != NULL)
        s = take_pin(q, err);
    if (s == CC_OK)
        s = cc_layout_check(&q->layout, err);
    return s == CC_OK && q->slots ? place_slots(q, err) : s;
}

static enum cc_status take_angles(struct layout_job *q, struct cc_error *err)
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

static enum cc_status take_operands(struct layout_job *q, struct cc_error *err)
{
    unsigned long n = 0;

    if (q->operands == 0)
        return cc_fail(err, CC_EPARSE, "layout needs a count, or --angles and the angles: crankcard layout 7 --diameter 80");
    if (q->angles)
        return take_angles(q, err);
    if (q->operands > 1)
        return cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: layout takes one N, or angles after --angles",
                       q->operand[1]);
    if (!value_number(&n, q->operand[0], "N", 1, MOST_POSITIONS, err))
        return err->status;
    q->count = n;
    return CC_OK;
}

static bool take_option(struct layout_job *q, const struct args *args, struct cc_error *err)
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

static enum cc_status read_request(struct layout_job *q, int argc, char **argv, struct cc_error *err)
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

/* ---- command ---- */

static int write_layout(struct cli *cli, struct layout_job *q)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    switch (q->output.format) {
    case FORMAT_CSV:
    case FORMAT_TSV:
        layout_write_rows(cli->out, q);
        break;
    case FORMAT_JSONL:
        layout_write_records(cli->out, q);
        break;
    case FORMAT_SVG:
        layout_write_drawing(cli->out, q);
        break;
    default:
        layout_write_card(cli->out, q);
        break;
    }
    return output_end(&q->output, cli, EXIT_YES);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct layout_job q;

    layout_job_init(&q, argc);
    enum cc_status s = read_request(&q, argc, argv, &cli->err);
    int status = s == CC_OK ? write_layout(cli, &q) : EXIT_TROUBLE;
    layout_job_clear(&q);
    return status;
}

const struct command cmd_layout = {
    .name = "layout",
    .operands = "N",
    .options = layout_tables,
    .run = run_command,
    .summary = "holes or slots on a circle by two dials, and chords to check them",
    .about = "Coordinates of N equal positions, or with --angles of a list, rounded to what the dials show, the\n"
             "error of each, and chords for calipers. --format svg draws them at true scale.\n",
    .examples = "  crankcard layout 7 --diameter 80\n"
                "  crankcard layout 12 --diameter 3in --units in --corner --format csv\n"
                "  crankcard layout --angles 0 '37d30m keyway' 180 --diameter 50 --start 90 --clockwise\n",
};
