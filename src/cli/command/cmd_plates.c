/*
 * cmd_plates.c: what the head's plates leave out, which circles to drill, and how good a home-made plate gets:
 * arguments and flow.
 */
#include <inttypes.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/ranges.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/subject/plate_making.h"
#include "cli/subject/plates_job.h"

#define LARGEST_NUMBER 10000000UL

/* ---- reading the request ---- */

static bool add_range(struct number_list *list, const struct range *range, struct cc_error *err)
{
    if (range->first < 2 || range->last > LARGEST_NUMBER) {
        cc_fail(err, CC_EDOM, "'%" PRIu64 "' is not a whole number from 2 to %lu",
                range->first < 2 ? range->first : range->last, LARGEST_NUMBER);
        return false;
    }
    if (range->last - range->first >= CC_MAX_PLATE_NUMBERS - list->n) {
        cc_fail(err, CC_ELIMIT, "more than %d numbers", CC_MAX_PLATE_NUMBERS);
        return false;
    }
    for (unsigned long n = (unsigned long)range->first; n <= range->last; n++)
        number_list_add(list, n);
    return true;
}

/* The numbers that text names; what is RANGE or the option it stands behind. */
static bool add_items(struct number_list *list, const char *text, const char *what, struct cc_error *err)
{
    struct ranges ranges;

    ranges_init(&ranges);
    bool good = ranges_read(&ranges, text, NULL, err);
    if (good && ranges.n == 0) {
        cc_fail(err, CC_EPARSE, "'%.40s' names no number: write 57, 20,24,127 or 2-400", text);
        good = false;
    }
    for (size_t i = 0; good && i < ranges.n; i++)
        good = add_range(list, &ranges.at[i], err);
    if (!good)
        blame(err->status, err, "%s", what);
    ranges_clear(&ranges);
    return good;
}

static bool take_want(void *place, const struct option *option, struct cc_error *err)
{
    struct plates_job *q = place;
    return add_items(&q->want, option->text, "--want", err);
}

static bool take_method(void *place, const struct option *option, struct cc_error *err)
{
    struct plates_job *q = place;
    enum cc_method method;

    if (blame(cc_method_parse(&method, option->text, err), err, "--method") != CC_OK)
        return false;
    q->methods |= 1U << method;
    return true;
}

static const struct option_row plates_options[] = {
    { TO_COUNT(struct plates_job, circles, FROM(1, CC_MAX_NEW_CIRCLES)),
      0, "circles", "K", "circles on the new plate (default 6)" },
    { TO_COUNT(struct plates_job, least, FROM(CC_MIN_CIRCLE, CC_MAX_CIRCLE)),
      0, "least", "HOLES", "fewest holes of a circle (default 15)" },
    { TO_COUNT(struct plates_job, most, FROM(CC_MIN_CIRCLE, CC_MAX_CIRCLE)),
      0, "most", "HOLES", "most holes of a circle (default 66)" },
    { TO_TAKER(take_want), 0, "want", "N,N,...", "numbers that come before all others" },
    { TO_TAKER(take_method),
      'm', "method", "NAME", "what counts as served (may be given again; default direct and plain)" },
    { TO_COUNT(struct plates_job, make, FROM(CC_MIN_CIRCLE, CC_MAX_CIRCLE)),
      0, "make", "HOLES", "instead: drill a circle of so many holes on this head, and how good it gets" },
    { TO_ANGLE(struct plates_job, holds, NOT_NEGATIVE, GIVEN(struct plates_job, has_holds)),
      0, "holds", "ANGLE", "with --make: what the worm holds (default the profile's, else 1m)" },
    { TO_LENGTH(struct plates_job, drill, NOT_NEGATIVE, GIVEN(struct plates_job, has_drill)),
      0, "drill", "LENGTH", "with --make: how far a drilled hole may be off (default 0)" },
    { TO_LENGTH(struct plates_job, diameter, ABOVE_ZERO, GIVEN(struct plates_job, has_diameter)),
      'd', "diameter", "LENGTH", "with --drill: diameter of the hole circle" },
    OPTIONS_END
};

static const struct option_table plates_tables[] = {
    OWN_OPTIONS(plates_options), HEAD_OPTIONS(struct plates_job, choice), FORMAT_OPTIONS(struct plates_job, output),
    OUTPUT_OPTIONS(struct plates_job, output), UNIT_OPTIONS(struct plates_job, output), TABLES_END
};

static bool check_request(const struct plates_job *q, struct cc_error *err)
{
    if (q->make != 0 && (q->numbers.n > 0 || q->want.n > 0))
        cc_fail(err, CC_EPARSE, "--make takes no RANGE and no --want: it is about one circle");
    else if (q->make == 0 && q->numbers.n == 0)
        cc_fail(err, CC_EPARSE, "plates needs a RANGE, such as 2-100, or --make HOLES");
    else if (q->make == 0 && (q->has_drill || q->has_diameter || q->has_holds))
        cc_fail(err, CC_EPARSE, "--holds, --drill and --diameter go with --make");
    else if (q->has_drill != q->has_diameter)
        cc_fail(err, CC_EPARSE, "--drill and --diameter go together: both make an angle");
    else if (q->least > q->most)
        cc_fail(err, CC_EDOM, "--least %lu is more than --most %lu", q->least, q->most);
    else if (q->most - q->least >= CC_MAX_CANDIDATES)
        cc_fail(err, CC_ELIMIT, "--least %lu to --most %lu: at most %d circles to choose from", q->least, q->most,
                CC_MAX_CANDIDATES);
    else
        return true;
    return false;
}

static int read_request(struct plates_job *q, struct cli *cli, int argc, char **argv)
{
    struct args args;

    bool good = args_read(&args, q, plates_tables, argc, argv, &cli->err);
    for (size_t i = 0; good && i < args.n; i++)
        good = add_items(&q->numbers, args.operand[i].text, "RANGE", &cli->err);
    args_clear(&args);
    if (!good || !check_request(q, &cli->err))
        return EXIT_TROUBLE;
    for (size_t i = 0; i < q->want.n; i++)
        number_list_add(&q->numbers, q->want.at[i]);
    number_list_sort(&q->want);
    number_list_sort(&q->numbers);
    return cli_status(find_head(&q->head, q->choice.name, q->choice.mounted, &cli->err));
}

/* ---- command ---- */

/* The plates that serve, or how one is made. */
static int write_answer(struct cli *cli, struct plates_job *q, const struct plate_making *making, int verdict)
{
    int status = output_begin(&q->output, cli);
    bool card = q->output.format == FORMAT_CARD;

    if (status != EXIT_YES)
        return status;
    if (making != NULL)
        (card ? plate_making_write_card : plate_making_write_records)(cli->out, q, making);
    else
        (card ? plates_write_card : plates_write_records)(cli->out, q);
    return output_end(&q->output, cli, verdict);
}

/* A new plate needs a worm to be used with. */
static int run_plates(struct cli *cli, struct plates_job *q)
{
    enum cc_status s = plates_list_unserved(q, &cli->err);

    if (s == CC_OK && q->unserved.n > 0 && q->head.has_worm)
        s = plates_choose(q, &cli->err);
    if (s != CC_OK && s != CC_ENOFIT)
        return EXIT_TROUBLE;
    cli->err = (struct cc_error){ .status = CC_OK };    /* card and records say it when no plate is found: that is no failure */
    return write_answer(cli, q, NULL, q->unserved.n == 0 || q->has_plate ? EXIT_YES : EXIT_NO);
}

static int run_make(struct cli *cli, struct plates_job *q)
{
    struct plate_making m;

    if (!q->head.has_worm)
        return cli_trouble(cli, "--make: this head has no worm, so nothing divides a plate's errors");
    plate_making_init(&m);
    enum cc_status s = plate_making_find(&m, q, &cli->err);
    int status = s == CC_OK ? write_answer(cli, q, &m, EXIT_YES) : cli_status(s);
    plate_making_clear(&m);
    return status;
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct plates_job q;

    plates_job_init(&q);
    int status = read_request(&q, cli, argc, argv);
    if (status == EXIT_YES)
        status = q.make != 0 ? run_make(cli, &q) : run_plates(cli, &q);
    plates_job_clear(&q);
    return status;
}

const struct command cmd_plates = {
    .name = "plates",
    .operands = "RANGE...",
    .options = plates_tables,
    .records = (const struct form *const[]){ &plates_form, &circle_form, &number_form, &make_form, &generation_form, NULL },
    .run = run_command,
    .summary = "numbers the head leaves out, the best circles for one more plate",
    .about = "Lists the numbers of a range without an exact direct or plain setting, and chooses the circles of a\n"
             "new plate that serve most of them. With --make, says how to drill a circle on this head and\n"
             "how good it gets, plate after plate.\n",
    .examples = "  crankcard plates 2-100 --circles 6 --least 15 --most 66\n"
                "  crankcard plates 2-200 --most 130 --want 127,125\n"
                "  crankcard plates --make 127 --drill 0.05 --diameter 120\n",
};
