/*
 * card_steps.c: the table of steps on a card. A row that does not fit the width takes two lines.
 */
#include <inttypes.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/job/job.h"
#include "cli/out/card.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

enum { STEP, DIVISION, MOVE, HOLE, ANGLE, ERROR, LENGTH, LABEL, CELLS };

#define CELL WORDS
#define SCANNED 2001    /* rows looked at for the widths of the columns */

struct table {
    const struct job *job;
    bool shown[CELLS];
    unsigned width[CELLS];
    int second_line;        /* the cell that begins the second line of a row; CELLS: rows have one line */
    char heading[CELLS][CELL];
};

typedef char cells[CELLS][CELL];

static void angle_cell(char *buf, const struct job *job, const struct cc_step *step)
{
    mpq_t angle;
    mpz_t turns;

    mpq_init(angle);
    mpz_init(turns);
    mpq_set(angle, step->angle);
    if (job->plan.block > 1) {      /* several turns of the work: the dial shows what is left over one */
        mpz_fdiv_q(turns, mpq_numref(angle), mpq_denref(angle));
        mpz_submul(mpq_numref(angle), turns, mpq_denref(angle));
    }
    if (job->view.decimal) {
        cc_angle_degrees(angle, angle);
        size_t n = cc_decimal_str(buf, CELL - 3, angle, 4);
        snprintf(buf + n, CELL - n, "°");
    } else {
        cc_angle_dms_str(buf, CELL, angle, 1, CC_MARKS_UTF8);
    }
    mpz_clear(turns);
    mpq_clear(angle);
}

static void fill_cells(cells row, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    char label[LABEL_SIZE];

    memset(row, 0, sizeof(cells));
    if (step->step == 0)
        snprintf(row[STEP], CELL, "start");
    else if (step->closing)
        snprintf(row[STEP], CELL, "close");
    else
        snprintf(row[STEP], CELL, "%" PRIu64, step->step);
    snprintf(row[DIVISION], CELL, "%" PRIu64, step->division);
    if (step->step > 0 || step->turns != 0 || step->holes != 0 || step->holes2 != 0)
        movement_notation(row[MOVE], CELL, plan, step->turns, step->holes, step->holes2);
    if (step->larger && plan->circle2 == 0)
        strcat(row[MOVE], " +1");
    hole_words(row[HOLE], CELL, plan, step);
    angle_cell(row[ANGLE], job, step);
    cc_angle_error_str(row[ERROR], CELL, step->error, 2, CC_MARKS_UTF8);
    if (job->view.has_radius)
        radius_words(row[LENGTH], CELL, job, step->error);
    const char *mark = job_label(job, step, label, sizeof label);
    if (mark != NULL)
        snprintf(row[LABEL], CELL, "%.*s", CELL - 1, mark);
}

static void measure(struct table *table, cells row)
{
    for (int c = 0; c < CELLS; c++) {
        unsigned n = text_columns(row[c]);
        if (n > table->width[c])
            table->width[c] = n;
    }
}

/* Columns of the cells before end. */
static unsigned width_to(const struct table *table, int end)
{
    unsigned total = 4;     /* the box */
    for (int c = 0; c < end; c++)
        if (table->shown[c])
            total += table->width[c] + (c > 0 ? 2 : 0);
    return total;
}

static void lay_out(struct table *table, const struct text *t, uint64_t first, uint64_t last)
{
    static const char *const names[CELLS] = { "step", "division", "movement", "hole", "angle",
                                              "error", "", "mark" };
    const struct job *job = table->job;
    const struct cc_plan *plan = &job->plan;
    struct cc_cursor cursor;
    struct cc_step step;
    cells row;

    for (int c = 0; c < CELLS; c++)
        snprintf(table->heading[c], CELL, "%s", names[c]);
    snprintf(table->heading[LENGTH], CELL, "%s", cc_unit_name(job->output.unit));
    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, &job->request);
    cc_cursor_seek(&cursor, first);
    for (unsigned n = 0; n < SCANNED && cc_cursor_next(&cursor, &step) && step.step <= last; n++) {
        fill_cells(row, job, &step);
        measure(table, row);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    table->shown[LABEL] = table->width[LABEL] > 0;
    table->shown[LENGTH] = job->view.has_radius;
    table->shown[DIVISION] = plan->block > 1;
    table->shown[STEP] = table->shown[MOVE] = table->shown[HOLE] = true;
    table->shown[ANGLE] = table->shown[ERROR] = true;
    for (int c = 0; c < CELLS; c++) {
        unsigned n = text_columns(table->heading[c]);
        if (n > table->width[c])
            table->width[c] = n;
    }
    if (width_to(table, CELLS) > t->width && plan->exact)   /* the title says that all errors are 0 */
        table->shown[ERROR] = table->shown[LENGTH] = false;
    table->second_line = width_to(table, CELLS) <= t->width   ? CELLS
                         : width_to(table, ANGLE) <= t->width ? ANGLE
                                                              : HOLE;
}

static void append(char *line, size_t size, const char *cell, unsigned width, bool left)
{
    char padded[CELL + 64];
    size_t n = strlen(line);

    if (left)
        text_pad_right(padded, sizeof padded, cell, width);
    else
        text_pad_left(padded, sizeof padded, cell, width);
    snprintf(line + n, size - n, "%s", padded);
}

/* Returns the lines it took: two where the table is too wide, more on a very narrow card. */
static unsigned write_row(struct text *t, const struct table *table, cells row, const char *box)
{
    char line[CELLS * (CELL + 64)];
    unsigned lines = 1;

    snprintf(line, sizeof line, "%-4s", box);
    for (int c = 0; c < CELLS; c++) {
        if (!table->shown[c])
            continue;
        bool full = c > 0 && text_columns(line) + 2 + table->width[c] > t->width;
        if (c == table->second_line || full) {
            if (line[strspn(line, " ")] != '\0')    /* the start has no movement */
                text_line(t, "%s", line);
            snprintf(line, sizeof line, "      ");
            lines++;
        } else if (c > 0) {
            size_t n = strlen(line);
            snprintf(line + n, sizeof line - n, "  ");
        }
        append(line, sizeof line, row[c], table->width[c], c == MOVE || c == LABEL);
    }
    text_line(t, "%s", line);
    return lines;
}

static unsigned write_heading(struct text *t, struct table *table)
{
    return write_row(t, table, table->heading, "");
}

/* Crank travel as the hand counts it, turns and holes: "35 10/18"; by decimals where two circles share in it. */
static void travel_cell(char *buf, const struct cc_plan *plan, const struct cc_step *step)
{
    mpq_t holes;
    mpz_t turns, rest;

    if (plan->circle2 != 0) {
        cc_decimal_short_str(buf, CELL, step->crank, 3);
        return;
    }
    mpq_init(holes);
    mpz_init(turns);
    mpz_init(rest);
    mpq_set_ui(holes, plan->circle, 1);
    mpq_mul(holes, holes, step->crank);     /* a whole number: the pin stands in a hole */
    mpz_tdiv_qr_ui(turns, rest, mpq_numref(holes), plan->circle);
    movement_notation(buf, CELL, plan, cc_get_i64(turns), cc_get_i64(rest), 0);
    mpz_clear(rest);
    mpz_clear(turns);
    mpq_clear(holes);
}

/* After every tenth step: its number (with the start it is one cut more) and what the crank has turned in all. */
static void write_tally(struct text *t, const struct job *job, const struct cc_step *step)
{
    char travel[CELL];

    if (cc_plan_is_direct(&job->plan)) {
        text_line(t, "    ---- step %" PRIu64, step->step);
        return;
    }
    travel_cell(travel, &job->plan, step);
    text_line(t, "    ---- step %" PRIu64 ", crank %s turns in all", step->step, travel);
}

void card_steps(struct text *t, const struct job *job, uint64_t first, uint64_t last)
{
    struct table table = { .job = job };
    struct cc_cursor cursor;
    struct cc_step step;
    cells row;
    unsigned lines;

    lay_out(&table, t, first, last);
    if (job->view.strip)
        card_strip_key(t, job);
    lines = write_heading(t, &table);
    if (job->view.strip && !job->plan.exact)
        lines++;
    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, first);
    while (cc_cursor_next(&cursor, &step) && step.step <= last && !ferror(t->out)) {
        if (text_lines_left(t) < lines) {
            text_new_page(t);
            (void)write_heading(t, &table);
        }
        fill_cells(row, job, &step);
        (void)write_row(t, &table, row, "[ ]");
        if (job->view.strip)
            card_strip(t, job, &step);
        if (job->view.tally && step.step > 0 && step.step % 10 == 0)
            write_tally(t, job, &step);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}
