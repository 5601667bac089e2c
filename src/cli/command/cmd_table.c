/* cmd_table.c: one row per N, like a page of a handbook, for the head on the bench. */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/ranges.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/out/draw_table.h"
#include "cli/out/plan_records.h"
#include "cli/out/text.h"
#include "cli/out/gears.h"
#include "cli/out/words.h"
#include "cli/subject/wall_job.h"

struct table_request {
    struct job job;
    bool gaps, wall;
};

static const struct option_row table_options[] = {
    { TO_SWITCH(struct table_request, gaps), 'g', "gaps", NULL, "only the counts that have no exact setting" },
    { TO_SWITCH(struct table_request, wall), 0, "wall", NULL, "a chart for the wall: every circle that serves, in columns that fill the page" },
    OPTIONS_END
};

static const struct option_table table_tables[] = {
    OWN_OPTIONS(table_options), HEAD_OPTIONS(struct table_request, job.choice),
    JOB_OPTIONS(plan_options, struct table_request, job), JOB_OPTIONS(block_options, struct table_request, job),
    JOB_OPTIONS(radius_options, struct table_request, job), UNIT_OPTIONS(struct table_request, job.output),
    DRAWING_OPTIONS(struct table_request, job.output),
    OUTPUT_OPTIONS(struct table_request, job.output), TABLES_END
};

static bool read_standard_input(struct ranges *ranges, struct cli *cli)
{
    char *data;
    size_t length;

    if (read_file(&data, &length, "-", cli->in, &cli->err) != CC_OK)
        return false;
    bool good = strlen(data) == length;
    if (!good)
        cli_trouble(cli, "standard input holds a NUL byte: write counts as text, such as 2-400");
    else
        good = ranges_read(ranges, data, "standard input", &cli->err);
    free(data);
    return good;
}

static int read_arguments(struct ranges *ranges, struct table_request *request, struct cli *cli, int argc, char **argv)
{
    struct args args;
    bool good = args_read(&args, request, table_tables, argc, argv, &cli->err);

    for (size_t i = 0; good && i < args.n; i++)
        good = strcmp(args.operand[i].text, "-") == 0 ? read_standard_input(ranges, cli)
                                                      : ranges_read(ranges, args.operand[i].text, NULL, &cli->err);
    args_clear(&args);
    if (good && ranges->n == 0)
        return cli_trouble(cli, "a range of counts is missing: crankcard table 2-400");
    return good ? EXIT_YES : EXIT_TROUBLE;
}

/* ---- text ---- */

struct tally {
    uint64_t by_method[CC_METHODS], blocks, geared, direct, none, total, exact, outside;
};

enum { N, METHOD, PLATE, CIRCLE, MOVEMENT, GEARS, WORST, CELLS };

/* Columns for a head; gears where it has any. */
static void make_columns(struct table_column *column, const struct job *job)
{
    unsigned gears = job->head.gears.n > 0 ? 24 : 0;

    column[N] = (struct table_column){ "N", 6, 0, false };
    column[METHOD] = (struct table_column){ "method", 17, 2, true };
    column[PLATE] = (struct table_column){ "plate", 5, 1, true };
    column[CIRCLE] = (struct table_column){ "circle", 7, 1, true };
    column[MOVEMENT] = (struct table_column){ "movement", 16, 1, true };
    column[GEARS] = (struct table_column){ "gears", gears, 1, true };
    column[WORST] = (struct table_column){ "worst error", 11, gears > 0 ? 0 : 1, true };
}

static void put_row(struct text *t, const struct table *table, const struct job *job, const struct cc_plan *plan)
{
    char count[32], method[48], movement[2 * WORDS], circle[32], gears[64], error[WORDS] = "", worst[2 * WORDS];
    int64_t turns, holes, holes2;

    snprintf(count, sizeof count, "%" PRIu64, plan->steps);
    if (plan->block > 1)
        snprintf(method, sizeof method, "%s/%" PRIu64, cc_method_name(plan->method), plan->block);
    else
        snprintf(method, sizeof method, "%s", cc_method_name(plan->method));
    if (cc_plan_movement(&turns, &holes, &holes2, plan))
        movement_notation(movement, plan, turns, holes, holes2);
    else
        snprintf(movement, sizeof movement, "varies");
    if (cc_plan_is_compound(plan))
        snprintf(circle, sizeof circle, "%u %u", plan->circle, plan->circle2);
    else
        snprintf(circle, sizeof circle, "%u", cc_plan_is_dial(plan) ? plan->circle : cc_plan_holes(plan));
    short_gear_words(gears, sizeof gears, &plan->train);
    enum cc_grade grade = cc_plan_grade(plan, &job->head);
    if (!plan->exact)
        cc_angle_error_str(error, sizeof error, plan->worst_error, 2, CC_MARKS_UTF8);
    snprintf(worst, sizeof worst, "%s%s", error, grade == CC_GRADE_BEYOND        ? " NOT WITHIN TOLERANCE"
             : grade == CC_GRADE_WITHIN_HEAD ? " beyond the tolerance"
                                             : "");
    if (text_lines_left(t) < text_row_lines(t, table)) {
        text_new_page(t);
        text_table(t, table);
    }
    const char *const cells[CELLS] = { [N] = count, [METHOD] = method,
                                       [PLATE] = !cc_plan_has_plate(plan) ? "-" : job->head.plates[plan->plate].name,
                                       [CIRCLE] = circle, [MOVEMENT] = movement, [GEARS] = gears, [WORST] = worst };
    text_row(t, table, cells, "");
}

static void summary_words(char *line, size_t size, const struct tally *tally)
{
    size_t used = 0;

    used += (size_t)snprintf(line, size, "%" PRIu64 " count%s: %" PRIu64 " exact", tally->total,
                             tally->total == 1 ? "" : "s", tally->exact);
    for (int m = 0; m < CC_METHODS; m++)
        if (tally->by_method[m] > 0 && used < size)
            used += (size_t)snprintf(line + used, size - used, ", %" PRIu64 " %s",
                                     tally->by_method[m], cc_method_name((enum cc_method)m));
    if (tally->blocks > 0 && used < size)
        used += (size_t)snprintf(line + used, size - used, ", %" PRIu64 " of these by blocks",
                                 tally->blocks);
    if (tally->outside > 0 && used < size)
        used += (size_t)snprintf(line + used, size - used, ", %" PRIu64 " not within tolerance",
                                 tally->outside);
    if (tally->none > 0 && used < size)
        snprintf(line + used, size - used, ", %" PRIu64 " without any method", tally->none);
}

static void text_summary(struct text *t, const struct tally *tally)
{
    char line[512];

    summary_words(line, sizeof line, tally);
    text_para(t, "", "  ", "%s", line);
    text_para(t, "", "  ", "Worst error left blank: exact.%s%s%s",
              tally->direct > 0 ? " Plate -: the direct plate." : "",
              tally->blocks > 0 ? " plain/2: by blocks of 2 divisions, and so on." : "",
              tally->geared > 0 ? " Gears A:B C:D: A on the spindle drives B, and C on its stud drives D on the worm shaft; A:B "
                                  "alone: A drives B through the idlers. An idler of four gears stands between the last two, where "
                                  "nothing else is said." : "");
}

/* ---- one count after the other ---- */

struct table_run {
    struct job *job;
    struct cli *cli;
    bool gaps;
    enum { ROWS, RECORDS, FIELD, WALL } shape;
    struct text text;
    struct table_column column[CELLS];
    struct table table;
    struct record record;
    struct field_count *field;      /* for a picture */
    size_t field_count;
    struct wall wall;
    struct tally tally;
    int worst;
};

/* Keep a count for the picture; plan is NULL where there is none. */
static void keep_for_field(struct table_run *run, uint64_t n, const struct cc_plan *plan)
{
    run->field = memory_resize(run->field, (run->field_count + 1) * sizeof *run->field);
    run->field[run->field_count++] = (struct field_count){
        n, plan != NULL ? (unsigned)plan->method : CC_METHODS, plan != NULL && plan->block > 1,
        plan == NULL || plan->within, plan != NULL && plan->exact
    };
}

static void write_none(struct table_run *run, uint64_t n)
{
    char count[32], none[sizeof run->cli->err.text + 16];

    switch (run->shape) {
    case ROWS:
        snprintf(count, sizeof count, "%" PRIu64, n);
        snprintf(none, sizeof none, "no method: %s", run->cli->err.text);
        text_row(&run->text, &run->table, (const char *const[CELLS]){ count, none, "", "", "", "", "" }, "");
        break;
    case WALL:
        wall_add_none(&run->wall, n);
        break;
    case FIELD:
        keep_for_field(run, n, NULL);
        break;
    default:
        if (run->job->output.format == FORMAT_JSONL)
            record_error(&run->record, 0, EXIT_NO, run->cli->err.text, n);
    }
}

static void write_plan(struct table_run *run, uint64_t n)
{
    struct job *job = run->job;

    switch (run->shape) {
    case ROWS:
        put_row(&run->text, &run->table, job, &job->plan);
        break;
    case WALL:
        wall_add(&run->wall, job, n);
        break;
    case FIELD:
        keep_for_field(run, n, &job->plan);
        break;
    default:
        write_plan_record(&run->record, job, &job->plan);
    }
}

/* The best plan for the count in the request. Why there is none is only worked out where it is shown. */
static enum cc_status best_plan(struct table_run *run)
{
    struct job *job = run->job;
    bool shown = job->output.format != FORMAT_CSV && job->output.format != FORMAT_TSV;
    enum cc_status s = cc_planner_best(&job->plan, &job->answer, job->planner, &job->request, shown ? &run->cli->err : NULL);

    if (s != CC_OK && s != CC_ENOFIT && !shown)
        s = cc_planner_best(&job->plan, &job->answer, job->planner, &job->request, &run->cli->err);
    return s;
}

/* Plan and write one count; false when the search itself failed. */
static bool one_count(struct table_run *run, uint64_t n)
{
    struct job *job = run->job;

    cc_set_u64(job->request.divisions, n);
    enum cc_status s = best_plan(run);
    if (s == CC_ENOFIT) {
        run->tally.total++;
        run->tally.none++;
        run->worst = EXIT_NO;
        write_none(run, n);
        run->cli->err.text[0] = '\0';
        return true;
    }
    if (s != CC_OK)
        return false;
    run->tally.total++;
    run->tally.exact += job->plan.exact;
    run->tally.by_method[job->plan.method]++;
    run->tally.blocks += job->plan.block > 1;
    run->tally.geared += job->plan.train.pairs > 0;
    run->tally.direct += cc_plan_is_direct(&job->plan);
    run->tally.outside += !job->plan.within;
    if (job_verdict(job) != EXIT_YES)
        run->worst = EXIT_NO;
    if (!run->gaps || !job->plan.exact)
        write_plan(run, n);
    return true;
}

static bool draw_field(struct table_run *run)
{
    char summary[512];

    summary_words(summary, sizeof summary, &run->tally);
    return write_field(run->cli->out, run->job->head.title, summary, run->field, run->field_count, &run->cli->err);
}

/* Whether a picture or a chart has room for all counts asked for. */
static bool fits_page(const struct ranges *ranges, const struct table_request *request, struct cc_error *err)
{
    uint64_t total = 0, most = request->wall ? WALL_COUNTS : FIELD_MOST;

    if (!request->wall && request->job.output.format != FORMAT_SVG)
        return true;
    for (size_t i = 0; i < ranges->n && total <= most; i++)
        total += ranges->at[i].last - ranges->at[i].first + 1;
    if (total <= most)
        return true;
    cc_fail(err, CC_ELIMIT, "--%s %" PRIu64 " counts at most: give a shorter range", request->wall ? "wall has" : "format svg shows", most);
    return false;
}

static void begin_text(struct table_run *run, uint64_t first, uint64_t last)
{
    make_columns(run->column, run->job);
    run->table = (struct table){ run->column, CELLS, false, 0 };
    text_init(&run->text, run->cli->out, &run->job->output);
    if (first == last)
        text_head(&run->text, "Table of %" PRIu64 ", %s", first, run->job->head.title);
    else
        text_head(&run->text, "Table %" PRIu64 " to %" PRIu64 ", %s", first, last, run->job->head.title);
    text_title(&run->text, "%s", run->job->head.title);
    text_table(&run->text, &run->table);
}

static void begin_shape(struct table_run *run, const struct ranges *ranges)
{
    uint64_t first = ranges->at[0].first, last = ranges->at[0].last;

    for (size_t i = 1; i < ranges->n; i++) {
        first = ranges->at[i].first < first ? ranges->at[i].first : first;
        last = ranges->at[i].last > last ? ranges->at[i].last : last;
    }
    if (run->shape == ROWS)
        begin_text(run, first, last);
    else if (run->shape == WALL)
        wall_init(&run->wall, run->job, first, last);
    else if (run->shape == RECORDS)
        plan_records_init(&run->record, run->cli->out, run->job);
}

static bool write_wall(struct table_run *run)
{
    wall_end(&run->wall);
    if (run->job->output.format == FORMAT_SVG)
        return wall_write_drawing(run->cli->out, &run->wall, &run->cli->err);
    wall_write_card(run->cli->out, &run->wall);
    return true;
}

/* What stands behind the last count, if all went well. */
static bool end_shape(struct table_run *run, bool good)
{
    switch (run->shape) {
    case ROWS:
        if (good)
            text_summary(&run->text, &run->tally);
        text_end(&run->text);
        return good;
    case WALL:
        good = good && write_wall(run);
        wall_clear(&run->wall);
        return good;
    case FIELD:
        return good && draw_field(run);
    default:
        record_clear(&run->record);
        return good;
    }
}

/* Where a refusal writes nothing the counts behind this one need not be gone through: the head gives none of them. */
static uint64_t last_to_try(const struct table_run *run)
{
    const struct job *job = run->job;
    bool quiet = run->shape == RECORDS && job->output.format != FORMAT_JSONL && mpz_sgn(job->request.block) == 0;

    return quiet ? cc_planner_most_divisions(job->planner, &job->request) : UINT64_MAX;
}

static int write_table(struct table_run *run, const struct ranges *ranges)
{
    uint64_t most = last_to_try(run);
    bool good = true;

    begin_shape(run, ranges);
    for (size_t i = 0; i < ranges->n && good; i++)
        for (uint64_t n = ranges->at[i].first; n <= ranges->at[i].last && good && !ferror(run->cli->out); n++) {
            good = one_count(run, n);
            if (n > most)
                break;
        }
    return end_shape(run, good) ? run->worst : EXIT_TROUBLE;
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct table_request request = { .gaps = false };
    struct job *job = &request.job;
    struct ranges ranges;
    struct table_run run = { .job = job, .cli = cli };
    int status;

    ranges_init(&ranges);
    job_init(job, "table");
    status = read_arguments(&ranges, &request, cli, argc, argv);
    run.gaps = request.gaps;
    if (status == EXIT_YES && !fits_page(&ranges, &request, &cli->err))
        status = EXIT_TROUBLE;
    if (status == EXIT_YES)
        status = job_load(job, cli);
    if (status == EXIT_YES)
        status = output_begin(&job->output, cli);
    bool drawn = job->output.format == FORMAT_SVG, card = output_is_card(&job->output);
    if (status == EXIT_YES && request.wall && !drawn && !card) {
        status = cli_trouble(cli, "--wall is a card, html or svg: leave it out for records");
        (void)output_end(&job->output, cli, status);
    }
    run.shape = request.wall ? WALL : card ? ROWS : drawn ? FIELD : RECORDS;
    if (status == EXIT_YES)
        status = output_end(&job->output, cli, write_table(&run, &ranges));
    ranges_clear(&ranges);
    free(run.field);
    job_clear(job);
    return status;
}

const struct command cmd_table = {
    .name = "table",
    .operands = "RANGE...",
    .options = table_tables,
    .records = (const struct form *const[]){ &plan_form, &error_form, NULL },
    .run = run_command,
    .summary = "one row per count, for a range or a list",
    .about = "Ranges are 57, 2-400, 20,24,127 or any mix; - reads them from standard input.\n",
    .examples = "  crankcard table 2-400 --head small-tilting-geared\n"
                "  crankcard table 2-400 --gaps\n"
                "  crankcard table 2-100 --wall --pages a4\n"
                "  crankcard table 20,24,30,127 --format csv --output gears.csv\n",
};
