/* cmd_check.c: what a setting found in a book or on an old note really does. */
#include <stdlib.h>
#include <string.h>

#include "crankcard/check.h"
#include "crankcard/number.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/out/draw_gears.h"
#include "cli/out/gears.h"
#include "cli/out/plan_records.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

struct check_question {
    struct job job;
    struct cc_setting setting;
    bool has_idlers;
    unsigned drivers, driven;   /* how many were given */
    mpz_t block;                /* 0 where not given */
    char *movement;             /* the operands after N, joined */
    bool has_right;             /* the job's plan is what the head itself would be set to */
};

static bool take_drivers(void *place, const struct option *option, struct cc_error *err)
{
    struct check_question *r = place;
    return value_teeth(r->setting.train.driver, &r->drivers, option->text, "--drivers", err);
}

static bool take_driven(void *place, const struct option *option, struct cc_error *err)
{
    struct check_question *r = place;
    return value_teeth(r->setting.train.driven, &r->driven, option->text, "--driven", err);
}

static const struct option_row check_options[] = {
    { TO_TAKER(take_drivers), 0, "drivers", "TEETH,...", "driving gears, the one on the spindle first" },
    { TO_TAKER(take_driven), 0, "driven", "TEETH,...", "driven gears, the one on the worm shaft last" },
    { TO_COUNT(struct check_question, setting.train.idlers, FROM(0, 8), GIVEN(struct check_question, has_idlers)),
      0, "idlers", "COUNT", "idlers between (default: so that the plate turns with the crank)" },
    { TO_BIG_COUNT(struct check_question, block),
      'k', "block", "K", "divisions in one movement (default: the nearest whole number)" },
    { TO_COUNT(struct check_question, job.request.by_eye, FROM(2, CC_MAX_BY_EYE)),
      0, "by-eye", "PARTS", "read the dial by eye to so many parts of what it shows" },
    { TO_TEXT(struct check_question, job.tolerance_text),
      't', "tolerance", "ANGLE|LENGTH", "the error that will do: 30s, 0.05mm with --radius (default a quarter of what the head holds)" },
    OPTIONS_END
};

static const struct option_table check_tables[] = {
    OWN_OPTIONS(check_options), HEAD_OPTIONS(struct check_question, job.choice),
    JOB_OPTIONS(radius_options, struct check_question, job), UNIT_OPTIONS(struct check_question, job.output),
    DRAWING_OPTIONS(struct check_question, job.output), OUTPUT_OPTIONS(struct check_question, job.output), TABLES_END
};

static void join(struct check_question *r, const char *word)
{
    size_t old = r->movement != NULL ? strlen(r->movement) : 0, more = strlen(word);

    r->movement = memory_resize(r->movement, old + more + 2);
    if (old > 0)
        r->movement[old++] = ' ';
    memcpy(r->movement + old, word, more + 1);
}

static int read_operands(struct check_question *r, const struct args *args, struct cli *cli)
{
    if (args->n > 0 && !value_count(r->job.request.divisions, args->operand[0].text, "divisions", &cli->err))
        return EXIT_TROUBLE;
    for (size_t i = 1; i < args->n; i++) {
        if (strcmp(args->operand[i].text, "for") == 0)
            return cli_trouble(cli, "the count comes first, without 'for': crankcard check 15 2 14/21");
        join(r, args->operand[i].text);
    }
    if (r->movement == NULL)
        return cli_trouble(cli, "a count and a movement are wanted: crankcard check 57 7/19+5/15");
    if (r->drivers != r->driven)
        return cli_trouble(cli, "%u drivers and %u driven gears: there must be as many of one as of the other",
                           r->drivers, r->driven);
    if (r->has_idlers && r->drivers == 0)
        return cli_trouble(cli, "--idlers without gears: name them with --drivers and --driven");
    if (r->job.output.format == FORMAT_SVG && r->drivers == 0)
        return cli_trouble(cli, "--format svg draws gears: name them with --drivers and --driven");
    r->setting.train.pairs = r->drivers;
    r->setting.by_eye = r->job.request.by_eye;
    return cli_status(cc_setting_parse(&r->setting, r->movement, &cli->err));
}

static int read_request(struct check_question *r, struct cli *cli, int argc, char **argv)
{
    struct args args;
    bool good = args_read(&args, r, check_tables, argc, argv, &cli->err);
    int status = good ? read_operands(r, &args, cli) : EXIT_TROUBLE;

    args_clear(&args);
    return status;
}

/* ---- writing ---- */

static const struct field check_gearing_fields[] = {
    TRAIN_FIELDS, FIELD("ratio", EXACT, "turns of the plate for one of the spindle, positive when it turns with the crank"), FIT_FIELDS,
    FIELDS_END
};
static const struct field slip_gearing_fields[] = { TRAIN_FIELDS, FIT_FIELDS, FIELDS_END };

static const struct field slip_fields[] = {
    FIELD("what", TEXT, "the change, in words"),
    FIELD("movement", TEXT, "as it would be right"),
    MEMBERS("gearing", OBJECT, slip_gearing_fields, "as it would be right; null without gears"),
    FIELD("fits_head", BOOLEAN, "this head has the circles and gears"),
    FIELDS_END
};

static const struct field right_fields[] = {
    FIELD("method", TEXT, "as in plan"),
    FIELD("exact", BOOLEAN, "every position is met exactly"),
    FIELD("block", DIGITS, "divisions in one movement"),
    FIELD("movement", TEXT, "null where it differs from step to step"),
    MEMBERS("gearing", OBJECT, check_gearing_fields, "null without gears"),
    FIELD("worst_error_arcsec", ARCSEC, "largest error of any row, its size"),
    FIELDS_END
};

static const struct field check_fields[] = {
    LEADING_FIELDS("check"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("divisions", DIGITS, "N as asked"),
    FIELD("block", DIGITS, "divisions that one movement takes: as asked, else the nearest whole number"),
    FIELD("worm", EXACT, "R, turns of the crank for one of the spindle"),
    FIELD("movement", TEXT, "as a handbook writes it"),
    MEMBERS("gearing", OBJECT, check_gearing_fields, "null without gears"),
    FIELD("crank", TURNS, "relative to the plate in one movement"),
    FIELD("angle", REVOLUTIONS, "what one movement turns the spindle"),
    FIELD("true_divisions", EXACT, "the divisions it really gives: block/angle, less the factor that block and N have in common"),
    FIELD("exact", BOOLEAN, "it gives N exactly, and reaches every division"),
    FIELD("within_tolerance", BOOLEAN, "the closing error is within the tolerance, and every division is reached; the status is 1 when not"),
    FIELD("tolerance_arcsec", ARCSEC, "as in plan"),
    FIELD("error", REVOLUTIONS, "of each movement: angle less block/N"),
    FIELD("error_arcsec", ARCSEC, "the same"),
    FIELD("closing_error", REVOLUTIONS, "after N movements: the largest error of the job"),
    FIELD("closing_error_arcsec", ARCSEC, "the same"),
    FIELD("reaches_all", BOOLEAN, "block and N have no common factor: every division is reached"),
    FIELD("fits_head", BOOLEAN, "this head has the circles and gears"),
    FIELD("why_not", TEXT, "if not, what it lacks; else null"),
    MEMBERS("slips", OBJECTS, slip_fields, "small changes that would make it exact, gears of the head left out among them"),
    FIELD_ONLY(IN_ROWS, "slip", TEXT, "the likeliest of them"),
    { .name = "right", .kind = KIND_OBJECT, .members = right_fields, .where = IN_JSON,
      .meaning = "what this head itself is set to for N; null where no setting gives N" },
    FIELD_ONLY(IN_ROWS, "right", TEXT, "the head's own movement for N"),
    FIELDS_END
};

static const struct form check_form = {
    .name = "check",
    .fields = check_fields,
    .columns = "divisions,block,movement,crank,angle,true_divisions,exact,within_tolerance,error,error_arcsec,closing_error,"
               "closing_error_arcsec,fits_head,slip,reaches_all,right"
};

/* The movement of the head's own setting, or nothing where it differs from step to step. */
static const char *right_movement(char *buf, const struct check_question *r, const struct job *job)
{
    int64_t turns, holes, holes2;

    if (!r->has_right || !cc_plan_movement(&turns, &holes, &holes2, &job->plan))
        return NULL;
    movement_notation(buf, &job->plan, turns, holes, holes2);
    return buf;
}

static void put_gearing(struct record *r, const struct job *job, const struct cc_train *train, mpq_srcptr plate_turns)
{
    if (train->pairs == 0) {
        record_null(r, "gearing");
        return;
    }
    record_object(r, "gearing");
    record_train(r, train);
    if (plate_turns != NULL)
        record_rational(r, "ratio", plate_turns);
    record_fit(r, train, &job->head, CC_FOR_DIFFERENTIAL);
    record_object_end(r);
}

static void put_slips(struct record *r, const struct job *job, const struct cc_check *check)
{
    char text[128];

    record_array(r, "slips");
    for (size_t i = 0; i < check->slips; i++) {
        const struct cc_slip *slip = &check->slip[i];
        record_object(r, NULL);
        record_string(r, "what", slip->what);
        cc_setting_str(text, sizeof text, &slip->setting);
        record_string(r, "movement", text);
        put_gearing(r, job, &slip->setting.train, NULL);
        record_bool(r, "fits_head", slip->fits_head);
        record_object_end(r);
    }
    record_array_end(r);
    if (r->table)
        record_string(r, "slip", check->slips > 0 ? check->slip[0].what : NULL);
}

static void put_right(struct record *r, const struct check_question *q, const struct job *job)
{
    char text[WORDS];

    if (r->table) {
        record_string(r, "right", right_movement(text, q, job));
        return;
    }
    if (!q->has_right) {
        record_null(r, "right");
        return;
    }
    record_object(r, "right");
    record_string(r, "method", cc_method_name(job->plan.method));
    record_bool(r, "exact", job->plan.exact);
    record_whole_if(r, true, "block", job->plan.block);
    record_string(r, "movement", right_movement(text, q, job));
    put_gearing(r, job, &job->plan.train, job->plan.plate_turns);
    record_arcsec(r, "worst_error_arcsec", job->plan.worst_error);
    record_object_end(r);
}

static void write_record(FILE *out, const struct check_question *q, const struct job *job, const struct cc_check *check)
{
    struct record record, *r = &record;
    char text[128];
    mpq_t tolerance;

    mpq_init(tolerance);
    record_init(r, out, &job->output, &check_form);
    record_begin(r, &check_form, NULL);
    record_string(r, "head", job->head.title);
    record_whole(r, "divisions", job->request.divisions);
    record_whole(r, "block", check->block);
    record_rational(r, "worm", job->head.worm);
    cc_setting_str(text, sizeof text, &q->setting);
    record_string(r, "movement", text);
    put_gearing(r, job, &q->setting.train, check->plate_turns);
    record_rational(r, "crank", check->crank);
    record_rational(r, "angle", check->angle);
    record_rational(r, "true_divisions", check->divisions);
    record_bool(r, "exact", check->exact);
    record_bool(r, "within_tolerance", cc_check_is_within(check, &job->request, &job->head));
    cc_request_tolerance(tolerance, &job->request, &job->head);
    record_arcsec(r, "tolerance_arcsec", tolerance);
    record_rational(r, "error", check->error);
    record_arcsec(r, "error_arcsec", check->error);
    record_rational(r, "closing_error", check->closing);
    record_arcsec(r, "closing_error_arcsec", check->closing);
    record_bool(r, "reaches_all", !check->repeats);
    record_bool(r, "fits_head", check->fits_head);
    record_string(r, "why_not", check->fits_head ? NULL : check->why_not);
    put_slips(r, job, check);
    put_right(r, q, job);
    record_end(r);
    record_clear(r);
    mpq_clear(tolerance);
}

#define LONG_WORDS (4 * CC_MAX_DIGITS)      /* bytes of what the longest counts come to */

/* What the setting gives, and how far off that is. */
static void write_verdict(struct text *t, const struct job *job, const struct cc_check *check)
{
    char divisions[LONG_WORDS], decimal[LONG_WORDS], closing[LONG_WORDS], each[LONG_WORDS];
    bool whole = mpz_cmp_ui(mpq_denref(check->divisions), 1) == 0;
    mpq_t common;

    cc_rational_str(divisions, sizeof divisions, check->divisions);
    if (check->exact) {
        text_para(t, "  ", "  ", "Right: it gives exactly %s division%s.", divisions, strcmp(divisions, "1") == 0 ? "" : "s");
        return;
    }
    cc_decimal_short_str(decimal, sizeof decimal, check->divisions, 6);
    text_para(t, "  ", "  ", "%sIt gives %s division%s%s%s%s.", check->repeats ? "WRONG. " : "", divisions,
              strcmp(divisions, "1") == 0 ? "" : "s", whole ? "" : " (", whole ? "" : decimal, whole ? "" : ")");
    if (check->repeats) {
        mpq_init(common);
        mpq_set_z(common, check->common);
        cc_rational_str(divisions, sizeof divisions, common);
        text_para(t, "  ", "  ", "Some divisions are never reached: the divisions in a movement and those of the job have the "
                  "factor %s in common.", divisions);
        mpq_clear(common);
    }
    if (mpq_sgn(check->closing) == 0)
        return;
    angle_words(each, sizeof each, job, check->error);
    angle_words(closing, sizeof closing, job, check->closing);
    text_para(t, "  ", "  ", "Error of each movement %s, closing error %s: %s.", each, closing,
              cc_check_is_within(check, &job->request, &job->head) ? "within tolerance" : "NOT WITHIN TOLERANCE");
}

/* The head's own setting for the count. */
static void write_right(struct text *t, const struct check_question *r, const struct job *job)
{
    char plan[2 * WORDS], movement[WORDS], gears[2 * WORDS] = "";
    const char *each = right_movement(movement, r, job);

    if (!r->has_right) {
        text_para(t, "  ", "  ", "No setting of this head gives so many divisions.");
        return;
    }
    plan_words(plan, sizeof plan, job, &job->plan);
    if (job->plan.train.pairs > 0)
        gear_words(gears, sizeof gears, &job->plan.train);
    text_para(t, "  On this head: ", "  ", "%s%s%s%s%s.", plan, each != NULL ? "; each movement " : "",
              each != NULL ? each : "", gears[0] != '\0' ? "; " : "", gears);
}

/* It can, and what is known of its gears on the bracket. */
static void write_can_be_set(struct text *t, const struct check_question *r, const struct job *job)
{
    const struct cc_train *train = &r->setting.train;
    char fit[GEAR_WORDS] = "", studs[GEAR_WORDS] = "", others[GEAR_WORDS] = "";

    if (train->pairs > 0) {
        fit_words(fit, sizeof fit, train, &job->head, CC_FOR_DIFFERENTIAL, job->output.unit);
        arrangements_words(others, sizeof others, train, &job->head, CC_FOR_DIFFERENTIAL);
        stud_words(studs, sizeof studs, train, &job->head, CC_FOR_DIFFERENTIAL, job->output.unit);
    }
    text_para(t, "  ", "  ", "This head can be set so.%s%s%s%s%s%s", fit[0] != '\0' ? " " : "", fit, others[0] != '\0' ? " " : "", others,
              studs[0] != '\0' ? " " : "", studs);
}

static void write_text(FILE *out, const struct check_question *r, const struct job *job,
                       const struct cc_check *check)
{
    struct text t;
    char movement[128], divisions[LONG_WORDS], gears[2 * WORDS];
    mpq_t n;

    mpq_init(n);
    mpq_set_z(n, job->request.divisions);
    text_init(&t, out, &job->output);
    cc_setting_str(movement, sizeof movement, &r->setting);
    cc_rational_str(divisions, sizeof divisions, n);
    text_title(&t, "%s for %s division%s on: %s", movement, divisions, strcmp(divisions, "1") == 0 ? "" : "s", job->head.title);
    if (r->setting.train.pairs > 0) {
        gear_words(gears, sizeof gears, &r->setting.train);
        text_para(&t, "  ", "  ", "Gears: %s.", gears);
    }
    if (mpz_cmp_ui(check->block, 1) > 0) {
        mpq_set_z(n, check->block);
        cc_rational_str(divisions, sizeof divisions, n);
        text_para(&t, "  ", "  ", "Each movement takes %s divisions.", divisions);
    }
    write_verdict(&t, job, check);
    if (check->fits_head)
        write_can_be_set(&t, r, job);
    else
        text_para(&t, "  ", "  ", "This head cannot be set so: %s.", check->why_not);
    for (size_t i = 0; i < check->slips; i++) {
        const struct cc_slip *slip = &check->slip[i];
        cc_setting_str(movement, sizeof movement, &slip->setting);
        text_para(&t, i == 0 ? "  Likely slip: " : "  or           ", "               ",
                  "%s (%s): exact%s", slip->what, movement, slip->fits_head ? "" : ", but not on this head");
        if (slip->setting.train.pairs > 0 && r->setting.train.pairs == 0) {
            gear_words(gears, sizeof gears, &slip->setting.train);
            text_para(&t, "               ", "               ", "%s", gears);
        }
    }
    write_right(&t, r, job);
    mpq_clear(n);
    text_end(&t);
}

/* The gears that were given, as they stand. */
static void write_picture(FILE *out, const struct check_question *r, const struct job *job)
{
    char movement[128], title[256], gears[2 * WORDS], subtitle[4 * WORDS];

    cc_setting_str(movement, sizeof movement, &r->setting);
    snprintf(title, sizeof title, "Gears for movements of %s", movement);
    gear_words(gears, sizeof gears, &r->setting.train);
    snprintf(subtitle, sizeof subtitle, "%s; %s", job->head.title, gears);
    write_gear_drawing(out, title, subtitle, &r->setting.train, &job->head, CC_FOR_DIFFERENTIAL, job->output.unit);
}

static int write_check(const struct check_question *r, struct job *job, struct cli *cli,
                       const struct cc_check *check)
{
    int status = output_begin(&job->output, cli);

    if (status != EXIT_YES)
        return status;
    if (job->output.format == FORMAT_SVG)
        write_picture(cli->out, r, job);
    else if (output_is_card(&job->output))
        write_text(cli->out, r, job, check);
    else
        write_record(cli->out, r, job, check);
    return output_end(&job->output, cli, cc_check_is_within(check, &job->request, &job->head) ? EXIT_YES : EXIT_NO);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct check_question r = { .movement = NULL };
    struct cc_check check;
    struct job *job = &r.job;
    int status;

    job_init(job, "check");
    mpz_init(r.block);
    cc_check_init(&check);
    status = read_request(&r, cli, argc, argv);
    if (status == EXIT_YES)
        status = job_load(job, cli);
    if (status == EXIT_YES && r.drivers > 0 && !r.has_idlers)
        r.setting.train.idlers = cc_train_idlers(r.drivers, !job->head.reversed);
    if (status == EXIT_YES)
        status = cli_status(cc_check_setting(&check, &r.setting, &job->head, job->request.divisions, r.block,
                                             &cli->err));
    if (status == EXIT_YES) {
        struct cc_error none;
        if (r.setting.train.pairs > 0)
            cc_train_name_idlers(&r.setting.train, &job->head, CC_FOR_DIFFERENTIAL);
        enum cc_status right = cc_planner_best(&job->plan, &job->answer, job->planner, &job->request, &none);
        if (right == CC_ENOMEM)
            memory_exhausted();
        r.has_right = right == CC_OK;
        status = write_check(&r, job, cli, &check);
    }
    cc_check_clear(&check);
    mpz_clear(r.block);
    free(r.movement);
    job_clear(job);
    return status;
}

const struct command cmd_check = {
    .name = "check",
    .operands = "N MOVEMENT",
    .options = check_tables,
    .records = (const struct form *const[]){ &check_form, NULL },
    .run = run_command,
    .summary = "what a setting from a book or an old note really does",
    .about = "The movement is written as in a handbook: 2 14/21 (turns and holes), 7/19+5/15 (compound),\n"
             "10/39-10/49; by a dial as 12 turns 3d25m40s, 2 turns 35 lines, 12 turns 3d25m v4 (v: the vernier). Gears that turn the plate meanwhile are given with --drivers and --driven. Status 1\n"
             "when the setting is wrong by more than the tolerance.\n",
    .examples = "  crankcard check 57 7/19+5/15\n"
                "  crankcard check 7 12 turns 3d25m40s --head dial-table-90\n"
                "  crankcard check 99 8/20 --drivers 32,28 --driven 40,56 --head small-tilting-geared\n",
};
