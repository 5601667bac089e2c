/*
 * card_steps.c: the table of steps on a card. A row that does not fit the width takes two lines.
 */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/out/card.h"
#include "cli/out/digits.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

enum { STEP, DIVISION, MOVE, HOLE, ANGLE, ERROR, LENGTH, LABEL, CELLS };

#define CELL WORDS
#define SCANNED 2001    /* rows looked at for the widths of the columns, and kept */

struct table {
    const struct job *job;
    bool shown[CELLS];
    unsigned width[CELLS];
    int second_line;        /* the cell that begins the second line of a row; CELLS: rows have one line */
    char *kept;         /* cells of the first rows, as strings one behind the other */
    size_t kept_size, kept_room;
    unsigned kept_rows;
};

/* A row's cells: where each is, and room for those that are made. */
struct row {
    const char *cell[CELLS];
    char text[CELLS][CELL];
};

static void angle_cell(char *buf, const struct job *job, const struct cc_step *step)
{
    mpq_t angle;
    mpz_t turns;

    if (job->plan.block <= 1 && !job->view.decimal) {
        cc_angle_dms_str(buf, CELL, step->angle, 1, CC_MARKS_UTF8);
        return;
    }
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

static void fill_cells(struct row *out, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    char label[LABEL_SIZE], (*row)[CELL] = out->text;

    for (int c = 0; c < CELLS; c++) {
        out->cell[c] = row[c];
        row[c][0] = '\0';
    }
    if (step->step == 0)
        strcpy(row[STEP], "start");
    else if (step->closing)
        strcpy(row[STEP], "close");
    else
        *digits_put(row[STEP], step->step) = '\0';
    *digits_put(row[DIVISION], step->division) = '\0';
    if (step->step > 0 || step->turns != 0 || step->holes != 0 || step->holes2 != 0)
        movement_notation(row[MOVE], plan, step->turns, step->holes, step->holes2);
    int odd = cc_step_odd(step, plan);
    if (odd != 0 && plan->circle2 == 0)
        strcat(row[MOVE], odd > 0 ? " +1" : " -1");
    hole_words(row[HOLE], plan, step);
    angle_cell(row[ANGLE], job, step);
    cc_angle_error_str(row[ERROR], CELL, step->error, 2, CC_MARKS_UTF8);
    if (job->view.has_radius)
        radius_words(row[LENGTH], CELL, job, step->error);
    const char *mark = job_label(job, step, label, sizeof label);
    if (mark != NULL)
        snprintf(row[LABEL], CELL, "%.*s", CELL - 1, mark);
}

static void measure(struct table *table, const struct row *row)
{
    for (int c = 0; c < CELLS; c++) {
        unsigned n = text_columns(row->cell[c]);
        if (n > table->width[c])
            table->width[c] = n;
    }
}

static void keep(struct table *table, const struct row *row)
{
    for (int c = 0; c < CELLS; c++) {
        size_t length = strlen(row->cell[c]) + 1;
        if (table->kept_size + length > table->kept_room) {
            table->kept_room = 2 * table->kept_room + 4096;
            table->kept = memory_resize(table->kept, table->kept_room);
        }
        memcpy(table->kept + table->kept_size, row->cell[c], length);
        table->kept_size += length;
    }
    table->kept_rows++;
}

/* The kept row at *at, which goes on behind it. */
static void take_kept(struct row *row, const char **at)
{
    for (int c = 0; c < CELLS; c++) {
        row->cell[c] = *at;
        *at += strlen(*at) + 1;
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

static void head(struct row *heading, const struct job *job)
{
    static const char *const names[CELLS] = { "step", "division", "movement", "hole", "angle",
                                              "error", "", "mark" };

    memcpy(heading->cell, names, sizeof names);
    heading->cell[LENGTH] = cc_unit_name(job->output.unit);
}

static void lay_out(struct table *table, const struct text *t, const struct row *heading, uint64_t first, uint64_t last)
{
    const struct job *job = table->job;
    const struct cc_plan *plan = &job->plan;
    bool needs_step = job->view.strip || job->view.tally;   /* what a kept row has not */
    struct cc_cursor cursor;
    struct cc_step step;
    struct row row;

    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, &job->request);
    cc_cursor_seek(&cursor, first);
    for (unsigned n = 0; n < SCANNED && cc_cursor_next(&cursor, &step) && step.step <= last; n++) {
        fill_cells(&row, job, &step);
        measure(table, &row);
        if (!needs_step)
            keep(table, &row);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    table->shown[LABEL] = table->width[LABEL] > 0;
    table->shown[LENGTH] = job->view.has_radius;
    table->shown[DIVISION] = plan->block > 1;
    table->shown[STEP] = table->shown[MOVE] = table->shown[HOLE] = true;
    table->shown[ANGLE] = table->shown[ERROR] = true;
    measure(table, heading);
    if (width_to(table, CELLS) > t->width && plan->exact)   /* the title says that all errors are 0 */
        table->shown[ERROR] = table->shown[LENGTH] = false;
    table->second_line = width_to(table, CELLS) <= t->width   ? CELLS
                         : width_to(table, ANGLE) <= t->width ? ANGLE
                                                              : HOLE;
}

static char *put_blanks(char *at, unsigned n)
{
    memset(at, ' ', n);
    return at + n;
}

/* Returns the lines it took: two where the table is too wide, more on a very narrow card. */
static unsigned write_row(struct text *t, const struct table *table, const struct row *row, const char *box)
{
    char line[CELLS * 2 * CELL + 64];      /* a cell and its blanks: at most its bytes and its column's width */
    char *at = digits_text(line, box);
    unsigned lines = 1, taken = 4;     /* columns of this line */

    at = put_blanks(at, (unsigned)(line + taken - at));
    for (int c = 0; c < CELLS; c++) {
        if (!table->shown[c])
            continue;
        unsigned width = table->width[c], columns = text_columns(row->cell[c]);
        bool full = c > 0 && taken + 2 + width > t->width;
        if (c == table->second_line || full) {
            *at = '\0';
            if (line[strspn(line, " ")] != '\0')    /* the start has no movement */
                text_plain_line(t, line);
            at = put_blanks(line, 6);
            taken = 6;
            lines++;
        } else if (c > 0) {
            at = put_blanks(at, 2);
            taken += 2;
        }
        unsigned blanks = width > columns ? width - columns : 0;
        if (c != MOVE && c != LABEL)
            at = put_blanks(at, blanks);
        at = digits_text(at, row->cell[c]);
        if (c == MOVE || c == LABEL)
            at = put_blanks(at, blanks);
        taken += columns + blanks;
    }
    *at = '\0';
    text_plain_line(t, line);
    return lines;
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
    movement_notation(buf, plan, cc_get_i64(turns), cc_get_i64(rest), 0);
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

static bool all_kept(const struct table *table)
{
    return table->kept_rows > 0 && table->kept_rows < SCANNED;
}

/* The next row, of those kept or from the cursor; false behind the last. */
static bool next_row(struct row *row, struct cc_step *step, struct cc_cursor *cursor, const struct table *table,
                     const char **kept, uint64_t last)
{
    if (*kept < table->kept + table->kept_size) {
        take_kept(row, kept);
        return true;
    }
    if (all_kept(table) || !cc_cursor_next(cursor, step) || step->step > last)
        return false;
    fill_cells(row, table->job, step);
    return true;
}

void card_steps(struct text *t, const struct job *job, uint64_t first, uint64_t last)
{
    struct table table = { .job = job };
    struct cc_cursor cursor;
    struct cc_step step;
    struct row row, heading;
    unsigned lines;

    head(&heading, job);
    lay_out(&table, t, &heading, first, last);
    if (job->view.strip)
        card_strip_key(t, job);
    lines = write_row(t, &table, &heading, "");
    if (job->view.strip && !job->plan.exact)
        lines++;
    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    if (!all_kept(&table))
        cc_cursor_seek(&cursor, first + table.kept_rows);
    const char *kept = table.kept;
    while (next_row(&row, &step, &cursor, &table, &kept, last) && !ferror(t->out)) {
        if (text_lines_left(t) < lines) {
            text_new_page(t);
            (void)write_row(t, &table, &heading, "");
        }
        (void)write_row(t, &table, &row, "[ ]");
        if (job->view.strip)
            card_strip(t, job, &step);
        if (job->view.tally && step.step > 0 && step.step % 10 == 0)
            write_tally(t, job, &step);
    }
    free(table.kept);
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}
