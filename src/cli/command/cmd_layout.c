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

static option_taker take_centre;

static const struct option_row layout_options[] = {
    { TO_LENGTH(struct layout_job, layout.diameter, ABOVE_ZERO),
      'd', "diameter", "LENGTH", "diameter of the circle of centres (needed)" },
    { TO_SWITCH(struct layout_job, angles), 0, "angles", NULL, "the operands are angles, each with a label if you like" },
    { TO_LENGTH(struct layout_job, layout.resolution, ANY_SIGN, GIVEN(struct layout_job, has_resolution)),
      0, "resolution", "LENGTH", "what the dials or the readout show (default 0.01mm, 0.001in)" },
    { TO_SWITCH(struct layout_job, corner),
      0, "corner", NULL, "count from the lower left corner of the square around the circle" },
    { TO_TAKER(take_centre), 0, "centre", "X,Y", "where the centre lies from the corner counted from" },
    { TO_ANGLE(struct layout_job, layout.start, ANY_SIGN),
      0, "start", "ANGLE", "first direction, counter-clockwise from the X axis (default 0)" },
    { TO_SWITCH(struct layout_job, layout.clockwise), 0, "clockwise", NULL, "positions follow one another clockwise" },
    { TO_LENGTH(struct layout_job, slot.diameter, ABOVE_ZERO, GIVEN(struct layout_job, slots)),
      0, "slot", "LENGTH", "slots: the diameter of the circle of their other ends" },
    { TO_LENGTH(struct layout_job, pin, ABOVE_ZERO), 0, "pin", "LENGTH", "diameter of the pins for checking with calipers" },
    OPTIONS_END
};

static const struct option_table layout_tables[] = {
    OWN_OPTIONS(layout_options), DRAWING_OPTIONS(struct layout_job, output), OUTPUT_OPTIONS(struct layout_job, output),
    UNIT_OPTIONS(struct layout_job, output), TABLES_END
};

#define MOST_POSITIONS 1000000
#define MOST_ANGLES 500

/* ---- reading the request ---- */

static bool take_centre(void *place, const struct option *option, struct cc_error *err)
{
    struct layout_job *q = place;
    char x[100];
    const char *comma = strchr(option->text, ',');

    if (comma == NULL || strchr(comma + 1, ',') != NULL || (size_t)(comma - option->text) >= sizeof x) {
        cc_fail(err, CC_EPARSE, "--centre: '%.60s' is not two lengths: write X,Y", option->text);
        return false;
    }
    memcpy(x, option->text, (size_t)(comma - option->text));
    x[comma - option->text] = '\0';
    enum cc_status s = cc_length_parse(q->layout.centre_x, x, option->unit, err);
    if (s == CC_OK)
        s = cc_length_parse(q->layout.centre_y, comma + 1, option->unit, err);
    q->has_centre = true;
    return blame(s, err, "--centre") == CC_OK;
}

/* Where the centre lies, which --corner and --centre say. */
static enum cc_status take_place(struct layout_job *q, struct cc_error *err)
{
    if (q->corner && q->has_centre)
        return cc_fail(err, CC_EPARSE, "--corner and --centre both say where the centre lies: give one");
    if (q->corner) {
        mpq_div_2exp(q->layout.centre_x, q->layout.diameter, 1);
        mpq_set(q->layout.centre_y, q->layout.centre_x);
    }
    return CC_OK;
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

static enum cc_status check_values(struct layout_job *q, struct cc_error *err)
{
    if (mpq_sgn(q->layout.diameter) == 0)
        return cc_fail(err, CC_EPARSE, "layout needs the circle: --diameter LENGTH");
    if (!q->has_resolution)
        cc_length_parse(q->layout.resolution, q->output.unit == CC_INCH ? "0.001in" : "0.01mm", CC_MM, NULL);
    if (q->slots && mpq_equal(q->slot.diameter, q->layout.diameter))
        return cc_fail(err, CC_EDOM, "--slot: this is the circle itself: a slot ends on another circle");
    enum cc_status s = take_place(q, err);
    if (s == CC_OK)
        s = cc_layout_check(&q->layout, err);
    return s == CC_OK && q->slots ? place_slots(q, err) : s;
}

static enum cc_status take_angles(struct layout_job *q, const struct args *args, struct cc_error *err)
{
    if (args->n > MOST_ANGLES)
        return cc_fail(err, CC_ELIMIT, "%zu angles: at most %d", args->n, MOST_ANGLES);
    q->angle = memory_get(args->n * sizeof *q->angle);
    q->label = memory_get(args->n * sizeof *q->label);
    for (size_t i = 0; i < args->n; i++) {
        mpq_init(q->angle[i]);
        q->count = i + 1;
        enum cc_status s = cc_angle_parse_prefix(q->angle[i], &q->label[i], args->operand[i].text, err);
        if (s != CC_OK)
            return s;
    }
    return CC_OK;
}

static enum cc_status take_operands(struct layout_job *q, const struct args *args, struct cc_error *err)
{
    unsigned long n = 0;

    if (args->n == 0)
        return cc_fail(err, CC_EPARSE, "layout needs a count, or --angles and the angles: crankcard layout 7 --diameter 80");
    if (q->angles)
        return take_angles(q, args, err);
    if (args->n > 1)
        return cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: layout takes one N, or angles after --angles",
                       args->operand[1].text);
    if (!value_number(&n, args->operand[0].text, "N", 1, MOST_POSITIONS, err))
        return err->status;
    q->count = n;
    return CC_OK;
}

static enum cc_status read_request(struct layout_job *q, int argc, char **argv, struct cc_error *err)
{
    struct args args;
    enum cc_status s = args_read(&args, q, layout_tables, argc, argv, err) ? take_operands(q, &args, err) : err->status;

    args_clear(&args);
    return s == CC_OK ? check_values(q, err) : s;
}

/* ---- command ---- */

static int write_layout(struct cli *cli, struct layout_job *q)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    if (q->output.format == FORMAT_SVG)
        layout_write_drawing(cli->out, q);
    else if (output_is_card(&q->output))
        layout_write_card(cli->out, q);
    else
        layout_write_records(cli->out, q);
    return output_end(&q->output, cli, EXIT_YES);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct layout_job q;

    layout_job_init(&q);
    enum cc_status s = read_request(&q, argc, argv, &cli->err);
    int status = s == CC_OK ? write_layout(cli, &q) : EXIT_TROUBLE;
    layout_job_clear(&q);
    return status;
}

const struct command cmd_layout = {
    .name = "layout",
    .operands = "N",
    .options = layout_tables,
    .records = (const struct form *const[]){ &layout_form, &point_form, NULL },
    .run = run_command,
    .summary = "holes or slots on a circle by two dials, and chords to check them",
    .about = "Coordinates of N equal positions, or with --angles of a list, rounded to what the dials show, the\n"
             "error of each, and chords for calipers. --format svg draws them at true scale.\n",
    .examples = "  crankcard layout 7 --diameter 80\n"
                "  crankcard layout 12 --diameter 3in --units in --corner --format csv\n"
                "  crankcard layout --angles 0 '37d30m keyway' 180 --diameter 50 --start 90 --clockwise\n",
};
