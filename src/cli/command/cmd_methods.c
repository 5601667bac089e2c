/* cmd_methods.c: every way to do it on this head, side by side. */
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
#include "cli/base/exit_status.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"
#include "cli/out/plan_records.h"
#include "cli/out/circles.h"
#include "cli/out/text.h"
#include "cli/out/gears.h"
#include "cli/out/words.h"

static const struct option_row methods_options[] = {
    { TO_SWITCH(struct job, every), 'a', "all", NULL, "every setting, not only the best of each method" },
    OPTIONS_END
};

static const struct option_table methods_tables[] = {
    OWN_OPTIONS(methods_options), OWN_OPTIONS(divide_options), HEAD_OPTIONS(struct job, choice), OWN_OPTIONS(plan_options),
    OWN_OPTIONS(block_options), OWN_OPTIONS(radius_options), UNIT_OPTIONS(struct job, output), HTML_OPTIONS(struct job, output), OUTPUT_OPTIONS(struct job, output), TABLES_END
};

enum { NUMBER, METHOD, MOVE, WORST, CLOSING, CRANK, MOVES, TIME, CHANGE, CELLS };

typedef char method_cells[CELLS][2 * WORDS];

static void change_words(char *buf, size_t size, const struct cc_head *head, const struct cc_plan *plan)
{
    char gears[WORDS] = "";

    if (cc_plan_is_direct(plan)) {
        char circle[WORDS];
        direct_circle_words(circle, sizeof circle, head, plan);
        if (cc_plan_is_vernier(plan))
            snprintf(buf, size, "direct plate, %s and its pins", circle);
        else
            snprintf(buf, size, "%sdirect plate, %s", head->has_worm ? "worm out; " : "", circle);
        return;
    }
    if (cc_plan_is_dial(plan)) {
        setting_words(buf, size, head, plan);
        return;
    }
    short_gear_words(gears, sizeof gears, &plan->train);
    snprintf(buf, size, "plate %s%s%s%s%s%s", head->plates[plan->plate].name,
             plan->side == 2 ? " side 2" : "", plan->is_mounted ? " (on)" : "", plan->detent > 1 ? ", its detent" : "",
             gears[0] != '\0' ? "; gears " : "", gears);
}

static void fill(method_cells row, const struct job *job, const struct cc_plan *plan, size_t number)
{
    int64_t turns, holes, holes2;

    snprintf(row[NUMBER], sizeof row[0], "%zu", number);
    if (plan->block > 1)
        snprintf(row[METHOD], sizeof row[0], "%s/%" PRIu64, cc_method_name(plan->method), plan->block);
    else
        snprintf(row[METHOD], sizeof row[0], "%s", cc_method_name(plan->method));
    if (cc_plan_movement(&turns, &holes, &holes2, plan))
        movement_notation(row[MOVE], plan, turns, holes, holes2);
    else if (cc_plan_is_compound(plan))
        snprintf(row[MOVE], sizeof row[0], "varies (%u, %u)", plan->circle, plan->circle2);
    else
        snprintf(row[MOVE], sizeof row[0], "varies (%u)", cc_plan_holes(plan));
    cc_angle_error_str(row[WORST], sizeof row[0], plan->worst_error, 2, CC_MARKS_UTF8);
    if (plan->has_closing)
        cc_angle_error_str(row[CLOSING], sizeof row[0], plan->closing_error, 2, CC_MARKS_UTF8);
    else
        snprintf(row[CLOSING], sizeof row[0], "-");
    if (cc_plan_is_direct(plan))
        snprintf(row[CRANK], sizeof row[0], "-");
    else
        cc_decimal_short_str(row[CRANK], sizeof row[0], plan->travel, 1);
    snprintf(row[MOVES], sizeof row[0], "%" PRIu64, plan->steps);
    time_words(row[TIME], sizeof row[0], plan->time);
    memmove(row[TIME], row[TIME] + strlen("about "), strlen(row[TIME] + strlen("about ")) + 1);
    change_words(row[CHANGE], sizeof row[0], &job->head, plan);
}

static void put_heading(struct text *t, const struct job *job)
{
    char divisions[64];

    if (gmp_snprintf(divisions, sizeof divisions, "%Zd", job->request.divisions) >= (int)sizeof divisions)
        snprintf(divisions, sizeof divisions, "very many");
    text_title(t, "%s division%s%s on: %s", divisions, strcmp(divisions, "1") == 0 ? "" : "s",
              cc_request_is_circle(&job->request) ? "" : " of an arc", job->head.title);
    if (job->answer.exact == CC_ABSENT) {
        char words[2 * WORDS];
        proof_words(words, sizeof words, job);
        text_para(t, "", "  ", "%s", words);
        write_wanted_circles(t, "  ", job);
    }
}

/* Columns as wide as their cells. */
static void make_columns(struct table_column *column, const struct job *job, const struct cc_plans *plans)
{
    static const char *const headings[CELLS] = { "", "method", "movement", "worst", "closing", "turns", "moves", "time", "on the head" };
    method_cells row;

    for (int c = 0; c < CELLS; c++)
        column[c] = (struct table_column){ headings[c], text_columns(headings[c]), c > 0 ? 2 : 0,
                                           c == METHOD || c == MOVE || c == CHANGE };
    for (size_t i = 0; i < plans->n; i++) {
        fill(row, job, &plans->at[i], i + 1);
        for (int c = 0; c < CELLS; c++)
            if (text_columns(row[c]) > column[c].width)
                column[c].width = text_columns(row[c]);
    }
}

static bool write_rows(struct text *t, const struct job *job, const struct cc_plans *plans)
{
    struct table_column column[CELLS];
    const struct table table = { column, CELLS, false, plans->n };
    method_cells row;
    const char *cell[CELLS];
    bool blocks = false;

    make_columns(column, job, plans);
    text_table(t, &table);
    for (size_t i = 0; i < plans->n; i++) {
        fill(row, job, &plans->at[i], i + 1);
        for (int c = 0; c < CELLS; c++)
            cell[c] = row[c];
        text_row(t, &table, cell, "");
        blocks = blocks || plans->at[i].block > 1;
    }
    return blocks;
}

static void write_text(FILE *out, const struct job *job, const struct cc_plans *plans)
{
    struct text t;

    text_init(&t, out, &job->output);
    put_heading(&t, job);
    bool blocks = write_rows(&t, job, plans);
    if (!job->every)
        for (size_t i = 0; i < plans->n; i++)
            if (plans->at[i].method == CC_PLAIN)
                write_equal_circles(&t, "", job, &plans->at[i]);
    text_para(&t, "", "  ", "turns: of the crank, in all; time: about, set-up and trial round with it.%s A card: divide in place of methods, and --method NAME.",
              blocks ? " NAME/4: by blocks of 4 divisions." : "");
    text_end(&t);
}

static void write_plans(FILE *out, struct job *job, const struct cc_plans *plans)
{
    struct record record;

    if (output_is_card(&job->output)) {
        write_text(out, job, plans);
        return;
    }
    plan_records_init(&record, out, job);
    for (size_t i = 0; i < plans->n; i++)
        write_plan_record(&record, job, &plans->at[i]);
    record_clear(&record);
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct job job;
    struct cc_plans plans;
    int status;

    job_init(&job, "methods");
    cc_plans_init(&plans);
    status = job_read_request(&job, cli, argc, argv, methods_tables);
    if (status == EXIT_YES)
        status = job_load(&job, cli);
    if (status == EXIT_YES)
        status = cli_status(cc_planner_all(&plans, &job.answer, job.planner, &job.request, job.every, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&job.output, cli);
    if (status == EXIT_YES) {
        write_plans(cli->out, &job, &plans);
        bool within = !job.request.has_tolerance || plans.at[0].within;
        status = output_end(&job.output, cli, within ? EXIT_YES : EXIT_NO);
    }
    cc_plans_clear(&plans);
    job_clear(&job);
    return status;
}

const struct command cmd_methods = {
    .name = "methods",
    .operands = "N",
    .options = methods_tables,
    .records = (const struct form *const[]){ &plan_form, NULL },
    .run = run_command,
    .summary = "every way to do it on this head, side by side, best first",
    .about = "One line a method: the movement, how far off the worst position and the closing are, the\n"
             "crank turns of the whole job, and what has to be changed on the head.\n",
    .examples = "  crankcard methods 127 --head small-tilting-geared\n"
                "  crankcard methods 127 --all --format jsonl\n",
};
