/*
 * card_steps.c: the steps on a card, in as few lines as can be read at arm's length: what is the same in every row is said
 * once, and the rows stand in as many columns as the width has room for, to be read down each column, with a gap before
 * every ten. On a narrow card a row that does not fit takes two lines.
 */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "crankcard/rows.h"
#include "cli/base/memory.h"
#include "cli/job/job.h"
#include "cli/out/card.h"
#include "cli/out/readings.h"
#include "cli/out/text.h"
#include "cli/out/words.h"

enum { STEP, DIVISION, MOVE, HOLE, PART, RIM, ANGLE, ERROR, LENGTH, LABEL, CELLS };

#define CELL WORDS
#define SCANNED 2001    /* rows looked at for the widths of the columns */
#define TEN 10          /* rows between two gaps, so that tens are found at a glance */
#define MOST_ABREAST 8  /* rows side by side */
#define LINE (CELLS * (CELL + 64))      /* bytes of a row */
#define ABREAST (MOST_ABREAST * LINE)   /* of rows side by side */

typedef char cells[CELLS][CELL];

/* The rows looked at for the widths, so that none is worked out twice: for each whether it closes, and its cells. */
struct kept {
    uint64_t first, n;      /* rows */
    char *text;
    size_t used, room;
    size_t *at;             /* where each row begins in text */
};

struct grid {
    const struct job *job;
    struct kept kept;
    bool same;              /* the same movement in every row */
    unsigned decimals;      /* of a second, in angles */
    unsigned error_decimals;
    bool shown[CELLS];
    unsigned width[CELLS];
    unsigned gap;           /* blanks between two cells */
    unsigned columns;       /* rows side by side */
    int second_line;        /* the cell that begins the second line of a row; CELLS: rows have one line */
    cells heading;
    char *line;             /* ABREAST; not on the stack, where all of so much is touched at once */
};

/* ---- cells ---- */

static void angle_cell(char *buf, const struct grid *grid, const struct cc_step *step)
{
    mpq_t angle;
    mpz_t turns;

    mpq_init(angle);
    mpz_init(turns);
    mpq_set(angle, step->angle);
    if (grid->job->plan.block > 1) {    /* several turns of the work: the dial shows what is left over one */
        mpz_fdiv_q(turns, mpq_numref(angle), mpq_denref(angle));
        mpz_submul(mpq_numref(angle), turns, mpq_denref(angle));
    }
    if (grid->job->view.decimal) {
        cc_angle_degrees(angle, angle);
        size_t n = cc_decimal_str(buf, CELL - 3, angle, 4);
        snprintf(buf + n, CELL - n, "°");
    } else {
        cc_angle_dms_str(buf, CELL, angle, grid->decimals, CC_MARKS_UTF8);
    }
    mpz_clear(turns);
    mpq_clear(angle);
}

/* The movement: in a job with two of them, both told once, the letter of it or how it differs from what the arms say. */
static void move_cell(char *buf, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;

    if (step->step == 0)        /* its movement, with an offset, is told in the set-up */
        return;
    if (cc_plan_is_dial(plan)) {    /* whole turns alone: the reading says the rest */
        snprintf(buf, CELL, "%s%lld", step->turns < 0 || step->holes < 0 ? "-" : "", llabs(step->turns));
        return;
    }
    if (plan->detent > 1) {         /* from hole to hole; the detent stands in its own column */
        detent_notation(buf, plan, step);
        return;
    }
    if (!plan->constant && cc_plan_is_compound(plan) && !job_is_list(job)) {
        snprintf(buf, CELL, "%c", step->larger ? 'B' : 'A');
        return;
    }
    if (plan->constant || job_is_list(job)) {
        movement_notation(buf, plan, step->turns, step->holes, step->holes2);
        return;
    }
    int odd = cc_step_odd(step, plan);
    if (odd != 0)
        snprintf(buf, CELL, odd > 0 ? "+1" : "-1");
}

/* Dial, vernier and rim where the step ends. */
static void reading_cells(cells row, const struct job *job, const struct cc_step *step)
{
    struct cc_dial_reading reading;

    cc_dial_reading_init(&reading);
    cc_dial_read(&reading, step, &job->plan, &job->head, job_forward(job, &job->plan));
    dial_line_words(row[HOLE], CELL, &job->plan, reading.line);
    dial_part_words(row[PART], CELL, &job->plan, reading.vernier, reading.eye);
    if (row[PART][0] == '\0' && cc_plan_by_eye(&job->plan) > 1)
        snprintf(row[PART], CELL, "on");    /* the line itself */
    if (job->head.rim.lines > 0)
        rim_words(row[RIM], CELL, &job->head.rim, &reading);
    cc_dial_reading_clear(&reading);
}

static void fill_cells(cells row, const struct grid *grid, const struct cc_step *step)
{
    const struct job *job = grid->job;
    char label[LABEL_SIZE];

    for (int c = 0; c < CELLS; c++)
        row[c][0] = '\0';
    if (step->closing)
        snprintf(row[STEP], CELL, "end");
    else
        snprintf(row[STEP], CELL, "%" PRIu64, step->step);
    snprintf(row[DIVISION], CELL, "%" PRIu64, step->division);
    move_cell(row[MOVE], job, step);
    if (cc_plan_is_dial(&job->plan)) {
        reading_cells(row, job, step);
    } else if (job->plan.detent > 1) {
        snprintf(row[HOLE], CELL, "%" PRIu64, step->hole / job->plan.detent);
        snprintf(row[PART], CELL, "%" PRIu64, step->hole % job->plan.detent);
    } else {
        hole_words(row[HOLE], &job->plan, step);
    }
    angle_cell(row[ANGLE], grid, step);
    cc_angle_error_str(row[ERROR], CELL, step->error, grid->error_decimals, CC_MARKS_UTF8);
    if (job->view.has_radius)
        radius_words(row[LENGTH], CELL, job, step->error);
    const char *mark = job_label(job, step, label, sizeof label);
    if (mark != NULL)
        snprintf(row[LABEL], CELL, "%.*s", CELL - 1, mark);
}

/* ---- rows looked at ---- */

static void keep_row(struct kept *kept, cells row, bool closing)
{
    if (kept->used + sizeof(cells) >= kept->room) {
        kept->room = 2 * kept->room + 4 * sizeof(cells);
        kept->text = memory_resize(kept->text, kept->room);
    }
    kept->at[kept->n++] = kept->used;
    kept->text[kept->used++] = (char)closing;
    for (int c = 0; c < CELLS; c++) {
        size_t size = strlen(row[c]) + 1;
        memcpy(kept->text + kept->used, row[c], size);
        kept->used += size;
    }
}

/* Row i once more; false where it was not kept. */
static bool kept_row(cells row, bool *closing, const struct kept *kept, uint64_t i)
{
    if (i < kept->first || i - kept->first >= kept->n)
        return false;
    const char *text = kept->text + kept->at[i - kept->first];
    *closing = *text++ != 0;
    for (int c = 0; c < CELLS; c++) {
        size_t size = strlen(text) + 1;
        memcpy(row[c], text, size);
        text += size;
    }
    return true;
}

/* Rows from first on: the first by the cursor, the others in words where they fit (rows.h). */
struct source {
    struct cc_cursor cursor;
    struct cc_rows *rows;
    bool rounded;                       /* divisions: a movement is the larger one or the smaller */
    int64_t turns, holes, holes2;       /* the larger one */
};

static void source_begin(struct source *source, const struct job *job, uint64_t first)
{
    const struct cc_plan *plan = &job->plan;

    cc_cursor_init(&source->cursor, plan, &job->request);
    cc_cursor_seek(&source->cursor, first);
    source->rows = cc_plan_is_vernier(plan) ? NULL : cc_rows_new(plan, &job->request, first + 1);
    source->rounded = !plan->constant && job->request.position_count == 0;
    if (source->rows != NULL && source->rounded)
        cc_plan_rounded_movement(&source->turns, &source->holes, &source->holes2, plan, true);
}

static void source_end(struct source *source)
{
    cc_rows_free(source->rows);
    cc_cursor_clear(&source->cursor);
}

static bool next_step(struct source *source, struct cc_step *step, uint64_t first)
{
    struct cc_row row;

    if (source->rows == NULL || source->cursor.next == first)
        return cc_cursor_next(&source->cursor, step);
    if (!cc_rows_next(source->rows, &row))
        return false;
    step->larger = source->rounded && row.turns == source->turns && row.holes == source->holes &&
                   row.holes2 == source->holes2;
    step->step = row.step;
    step->label = source->cursor.request->position_count > 0 ? source->cursor.request->label[row.step - 1] : NULL;
    step->division = row.division;
    step->closing = row.closing;
    step->turns = row.turns;
    step->holes = row.holes;
    step->holes2 = row.holes2;
    step->hole = row.hole;
    step->hole2 = row.hole2;
    cc_fraction_get(step->crank, row.crank);
    cc_fraction_get(step->angle, row.angle);
    cc_fraction_get(step->nominal, row.nominal);
    cc_fraction_get(step->error, row.error);
    return true;
}

/* ---- layout ---- */

static void measure(struct grid *grid, cells row)
{
    for (int c = 0; c < CELLS; c++) {
        unsigned n = text_columns(row[c]);
        if (n > grid->width[c])
            grid->width[c] = n;
    }
}

/* Columns of the cells before end, the box in front of them. */
static unsigned width_to(const struct grid *grid, int end)
{
    unsigned total = 4;
    for (int c = 0; c < end; c++)
        if (grid->shown[c])
            total += grid->width[c] + (c > 0 ? grid->gap : 0);
    return total;
}

static unsigned columns_that_fit(const struct grid *grid, const struct text *t)
{
    unsigned one = width_to(grid, CELLS), n = (t->width + grid->gap) / (one + grid->gap);

    return n > MOST_ABREAST ? MOST_ABREAST : n;
}

/* Rows stand side by side where they can, closer together where that gains a column. */
static void choose_columns(struct grid *grid, const struct text *t, uint64_t rows)
{
    bool alone = grid->job->view.strip || grid->job->view.tally || rows <= TEN;

    grid->gap = 1;
    unsigned close = columns_that_fit(grid, t);
    grid->gap = 2;
    unsigned wide = columns_that_fit(grid, t);
    grid->columns = wide < 1 ? 1 : wide;
    if (alone) {
        grid->columns = 1;
    } else if (close > wide && close > 1) {
        grid->gap = 1;
        grid->columns = close;
    }
    grid->second_line = width_to(grid, CELLS) <= t->width   ? CELLS
                        : width_to(grid, ANGLE) <= t->width ? ANGLE
                                                             : HOLE;
}

/* Decimals of a second that tell two neighbours apart. */
static unsigned decimals_for(const struct job *job)
{
    mpq_t step;
    unsigned decimals;

    if (job_is_list(job))
        return 1;
    mpq_init(step);
    job_space(step, job, 1);
    decimals = mpq_cmp_ui(step, 1, 360 * 60) >= 0 ? 0 : 2;
    mpq_clear(step);
    return decimals;
}

static void head_readings(struct grid *grid)
{
    const struct cc_plan *plan = &grid->job->plan;

    snprintf(grid->heading[MOVE], CELL, "turns");
    snprintf(grid->heading[HOLE], CELL, "dial");
    snprintf(grid->heading[PART], CELL, "%s", plan->dial.vernier > 1 ? "v" : cc_plan_by_eye(plan) > 1 ? "eye" : "");
    snprintf(grid->heading[RIM], CELL, "rim");
}

static void lay_out(struct grid *grid, const struct text *t, uint64_t first, uint64_t last)
{
    static const char *const names[CELLS] = { "no.", "division", "movement", "hole", "", "", "angle", "error", "", "mark" };
    const struct job *job = grid->job;
    const struct cc_plan *plan = &job->plan;
    struct source source;
    struct cc_step step;
    cells row;

    for (int c = 0; c < CELLS; c++)
        snprintf(grid->heading[c], CELL, "%s", names[c]);
    snprintf(grid->heading[LENGTH], CELL, "%s", cc_unit_name(job->output.unit));
    if (cc_plan_is_dial(plan))
        head_readings(grid);
    if (plan->detent > 1)
        snprintf(grid->heading[PART], CELL, "detent");
    grid->same = plan->constant && !job_is_list(job) && !cc_plan_is_dial(plan) && plan->detent <= 1;
    grid->decimals = decimals_for(job);
    grid->error_decimals = mpq_cmp_ui(plan->worst_error, 1, 360 * 60) >= 0 ? 1 : 2;
    uint64_t most = last - first < SCANNED ? last - first + 1 : SCANNED;
    grid->kept = (struct kept){ .first = first, .at = memory_get((size_t)most * sizeof *grid->kept.at) };
    cc_step_init(&step);
    source_begin(&source, job, first);
    while (grid->kept.n < most && next_step(&source, &step, first)) {
        fill_cells(row, grid, &step);
        measure(grid, row);
        keep_row(&grid->kept, row, step.closing);
    }
    source_end(&source);
    cc_step_clear(&step);
    grid->shown[LABEL] = grid->width[LABEL] > 0;
    grid->shown[LENGTH] = job->view.has_radius && !plan->exact;
    grid->shown[ERROR] = !plan->exact;
    grid->shown[DIVISION] = plan->block > 1;
    grid->shown[MOVE] = !grid->same;
    grid->shown[PART] = grid->width[PART] > 0;
    grid->shown[RIM] = grid->width[RIM] > 0;
    grid->shown[STEP] = grid->shown[HOLE] = grid->shown[ANGLE] = true;
    if (grid->width[MOVE] <= 2 && !cc_plan_is_dial(plan))                 /* A and B, +1 and -1 */
        snprintf(grid->heading[MOVE], CELL, "%s", "");
    measure(grid, grid->heading);
    choose_columns(grid, t, last - first + 1);
}

/* ---- rows ---- */

static void append(char *line, size_t size, const char *cell, unsigned width, bool left)
{
    size_t used = strlen(line), n = strlen(cell);
    unsigned have = text_columns(cell), blanks = have < width ? width - have : 0;

    if (used + n + blanks >= size)
        return;     /* LINE has room for all cells */
    line += used;
    if (!left)
        line = (char *)memset(line, ' ', blanks) + blanks;
    line = (char *)memcpy(line, cell, n) + n;
    if (left)
        line = (char *)memset(line, ' ', blanks) + blanks;
    *line = '\0';
}

static void append_row(char *line, size_t size, const struct grid *grid, cells row, const char *box)
{
    append(line, size, box, 4, true);
    for (int c = 0; c < CELLS; c++) {
        if (!grid->shown[c])
            continue;
        if (c > 0)
            append(line, size, "", grid->gap, false);
        append(line, size, row[c], grid->width[c], (c == MOVE && !cc_plan_is_dial(&grid->job->plan)) || c == LABEL);
    }
}

/* A row by itself. Returns the lines it took: two where it is too wide, more on a very narrow card. */
static unsigned write_row(struct text *t, const struct grid *grid, cells row, const char *box)
{
    char line[LINE];
    unsigned lines = 1;

    snprintf(line, sizeof line, "%-4s", box);
    for (int c = 0; c < CELLS; c++) {
        if (!grid->shown[c])
            continue;
        bool full = c > 0 && text_columns(line) + grid->gap + grid->width[c] > t->width;
        if (c == grid->second_line || full) {
            if (line[strspn(line, " ")] != '\0')
                text_plain_line(t, line);
            snprintf(line, sizeof line, "      ");
            lines++;
        } else if (c > 0) {
            append(line, sizeof line, "", grid->gap, false);
        }
        append(line, sizeof line, row[c], grid->width[c], (c == MOVE && !cc_plan_is_dial(&grid->job->plan)) || c == LABEL);
    }
    text_plain_line(t, line);
    return lines;
}

static unsigned write_heading(struct text *t, struct grid *grid, unsigned columns)
{
    char *line = grid->line;

    if (columns <= 1)
        return write_row(t, grid, grid->heading, "");
    line[0] = '\0';
    for (unsigned c = 0; c < columns; c++) {
        if (c > 0)
            append(line, ABREAST, "", grid->gap, false);
        append_row(line, ABREAST, grid, grid->heading, "");
    }
    text_plain_line(t, line);
    return 1;
}

/* The start of a list is no position: nothing is cut there. */
static void write_start_of_list(struct text *t, struct grid *grid)
{
    struct cc_step step;
    cells row;

    cc_step_init(&step);
    cc_step_at(&step, &grid->job->plan, &grid->job->request, 0);
    fill_cells(row, grid, &step);
    text_para(t, "  ", "  ", grid->job->plan.detent > 1 ? "Start in hole %s, the detent at 0; nothing is cut there."
                             : cc_plan_is_dial(&grid->job->plan) ? "Start with the dial at %s; nothing is cut there."
                                                               : "Start in hole %s; nothing is cut there.", row[HOLE]);
    cc_step_clear(&step);
}

/* Crank travel as the hand sees it, whole turns and holes; to a tenth of a turn where the plate moves too. */
static void travel_cell(char *buf, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    mpq_t turns;
    mpz_t whole, rest;

    mpq_init(turns);
    if (plan->circle2 != 0 || plan->train.pairs > 0) {
        mpq_mul(turns, job->head.worm, step->angle);
        cc_decimal_short_str(buf, CELL, turns, 1);
        mpq_clear(turns);
        return;
    }
    mpz_init(whole);
    mpz_init(rest);
    cc_rational_times(turns, step->crank, plan->circle, 1);     /* a whole number: the pin stands in a hole */
    mpz_tdiv_qr_ui(whole, rest, mpq_numref(turns), plan->circle);
    movement_notation(buf, plan, mpz_get_si(whole), mpz_get_si(rest), 0);
    mpz_clear(rest);
    mpz_clear(whole);
    mpq_clear(turns);
}

/* After every tenth step: its number (with the start it is one cut more) and what the crank has turned in all. */
static void write_tally(struct text *t, const struct job *job, const struct cc_step *step)
{
    char travel[CELL];

    if (cc_plan_is_direct(&job->plan)) {
        text_across(t, "---- step %" PRIu64, step->step);
        return;
    }
    travel_cell(travel, job, step);
    text_across(t, "---- step %" PRIu64 ", crank %s%s in all", step->step, travel, cc_plan_is_dial(&job->plan) || job->plan.detent > 1 ? "" : " turns");
}

static void after_row(struct text *t, const struct grid *grid, const struct cc_step *step)
{
    if (grid->job->view.strip && !text_is_html(t))
        card_strip(t, grid->job, step);
    if (grid->job->view.tally && step->step > 0 && step->step % TEN == 0)
        write_tally(t, grid->job, step);
}

/* ---- the grid ---- */

/*
 * Rows and the gaps between them are lines numbered from the first: row i is line 11 (i div 10) + i mod 10, and the line
 * behind every ten rows is a gap.
 */
static uint64_t line_of(uint64_t row)
{
    return row / TEN * (TEN + 1) + row % TEN;
}

static bool is_gap(uint64_t line)
{
    return line % (TEN + 1) == TEN;
}

/* The row on a line, or the one behind the gap. */
static uint64_t row_of(uint64_t line)
{
    return line / (TEN + 1) * TEN + line % (TEN + 1);
}

/* Lines of a column on this page; 0: no room, and the page is to be ended. */
static uint64_t lines_of_page(const struct text *t, const struct grid *grid, uint64_t lines, unsigned lines_each)
{
    uint64_t need = lines <= TEN ? lines : (lines + grid->columns - 1) / grid->columns;

    if (t->pages == 0)
        return need;
    uint64_t room = text_lines_left(t);
    room = room > lines_each ? (room - lines_each) / lines_each : 0;    /* less the heading */
    return need < room ? need : room < 3 ? 0 : room;
}

/* Row step alone on its line. */
static void write_single(struct text *t, struct grid *grid, const struct cc_step *step)
{
    cells row;

    fill_cells(row, grid, step);
    (void)write_row(t, grid, row, step->closing ? "( )" : "[ ]");
    after_row(t, grid, step);
}

/* Where the rows of a page's columns are taken from. */
struct columns {
    struct cc_cursor cursor[MOST_ABREAST];
    uint64_t first, lines;      /* first line of all; lines of a column */
    unsigned n;
};

static void begin_columns(struct columns *columns, const struct grid *grid, uint64_t first, uint64_t end, uint64_t lines)
{
    *columns = (struct columns){ .first = first, .lines = lines };
    for (; columns->n < grid->columns && first + columns->n * lines < end; columns->n++) {
        struct cc_cursor *cursor = &columns->cursor[columns->n];
        cc_cursor_init(cursor, &grid->job->plan, &grid->job->request);
        cc_cursor_seek(cursor, row_of(first + columns->n * lines));
    }
}

static void end_columns(struct columns *columns)
{
    for (unsigned c = 0; c < columns->n; c++)
        cc_cursor_clear(&columns->cursor[c]);
}

/* The cells of row i, which comes next in a column; false where there is none. */
static bool row_in_column(cells row, bool *closing, struct grid *grid, struct cc_cursor *cursor, uint64_t i)
{
    struct cc_step step;

    if (kept_row(row, closing, &grid->kept, i))
        return true;
    if (cursor->next != i)
        cc_cursor_seek(cursor, i);
    cc_step_init(&step);
    bool any = cc_cursor_next(cursor, &step);
    if (any) {
        fill_cells(row, grid, &step);
        *closing = step.closing;
    }
    cc_step_clear(&step);
    return any;
}

/* Line k of all columns, side by side. */
static void write_across(struct text *t, struct grid *grid, struct columns *columns, uint64_t k, uint64_t end)
{
    char *line = grid->line;
    cells row;
    bool closing;

    line[0] = '\0';
    for (unsigned c = 0; c < columns->n; c++) {
        uint64_t at = columns->first + c * columns->lines + k;
        if (at >= end)
            break;
        if (c > 0)
            append(line, ABREAST, "", grid->gap, false);
        if (is_gap(at) || !row_in_column(row, &closing, grid, &columns->cursor[c], row_of(at))) {
            append(line, ABREAST, "", width_to(grid, CELLS), false);
            continue;
        }
        append_row(line, ABREAST, grid, row, closing ? "( )" : "[ ]");
    }
    if (k + 1 < columns->lines || line[strspn(line, " ")] != '\0')     /* a gap behind the last row is none */
        text_plain_line(t, line);
}

static void write_down(struct text *t, struct grid *grid, struct columns *columns, uint64_t k)
{
    struct cc_step step;

    if (is_gap(columns->first + k)) {
        if (!grid->job->view.tally)
            text_blank(t);
        return;
    }
    cc_step_init(&step);
    if (cc_cursor_next(&columns->cursor[0], &step))
        write_single(t, grid, &step);
    cc_step_clear(&step);
}

/* Lines first ... end - 1 as far as they fit in columns of so many lines. */
static void write_block(struct text *t, struct grid *grid, uint64_t first, uint64_t end, uint64_t lines)
{
    struct columns columns;

    begin_columns(&columns, grid, first, end, lines);
    (void)write_heading(t, grid, columns.n);
    for (uint64_t k = 0; k < lines && first + k < end && !ferror(t->out); k++) {
        if (columns.n > 1)
            write_across(t, grid, &columns, k, end);
        else
            write_down(t, grid, &columns, k);
    }
    end_columns(&columns);
}

/* The one movement of the job, or the two. */
static void movements_once(char *buf, size_t size, const struct job *job)
{
    const struct cc_plan *plan = &job->plan;
    char a[CELL], b[CELL];
    int64_t turns, holes, holes2;
    bool larger = cc_plan_usual_is_larger(plan);

    buf[0] = '\0';
    if (job_is_list(job))
        return;
    if (cc_plan_movement(&turns, &holes, &holes2, plan)) {
        movement_notation(a, plan, turns, holes, holes2);
        snprintf(buf, size, "Each movement %s. ", a);
        return;
    }
    if (cc_plan_is_vernier(plan)) {     /* the pin that comes next decides how far */
        snprintf(buf, size, "Each row says the hole and the pin. ");
        return;
    }
    cc_plan_rounded_movement(&turns, &holes, &holes2, plan, larger);
    movement_notation(a, plan, turns, holes, holes2);
    if (cc_plan_is_dial(plan) || plan->detent > 1) {
        bool differs = plan->larger > 0 && plan->larger < plan->steps;
        snprintf(buf, size, "Each movement %s%s, to the row's %s. ", a, !differs ? "" : larger ? " or a part less" : " or a part more",
                 plan->detent > 1 ? "hole and detent" : "reading");
        return;
    }
    cc_plan_rounded_movement(&turns, &holes, &holes2, plan, !larger);
    movement_notation(b, plan, turns, holes, holes2);
    if (cc_plan_is_compound(plan))
        snprintf(buf, size, "Movement A: %s. B: %s. ", larger ? b : a, larger ? a : b);
    else
        snprintf(buf, size, "Each movement %s; where a row says %s, one hole %s. ", a, larger ? "-1" : "+1", larger ? "less" : "more");
}

/* What is the same in all rows, once. */
static void write_once(struct text *t, const struct job *job, bool to_end)
{
    char words[4 * CELL];

    movements_once(words, sizeof words, job);
    if (job->plan.exact)
        strcat(words, "Error 0″ in every row. ");
    if (to_end && job->plan.has_closing)
        strcat(words, "( ) is a check, no cut. ");
    if (words[0] != '\0')
        text_para(t, "  ", "  ", "%s", words);
}

bool card_starts_at_first(const struct job *job)
{
    return job_is_list(job) && mpq_sgn(job->request.position[0]) == 0 && mpq_sgn(job->request.offset) == 0;
}

/* In HTML: one table, whose columns of rows the browser makes. */
static void write_table(struct text *t, struct grid *grid, uint64_t first, uint64_t last)
{
    struct table_column column[CELLS];
    const struct table table = { column, CELLS, true, (size_t)(last - first + 1) };
    struct cc_cursor cursor;
    struct cc_step step;
    cells row;
    const char *cell[CELLS];

    for (int c = 0; c < CELLS; c++) {
        column[c] = (struct table_column){ grid->heading[c], grid->shown[c] ? grid->width[c] : 0, 1, c == MOVE || c == LABEL };
        cell[c] = row[c];
    }
    text_table(t, &table);
    cc_step_init(&step);
    cc_cursor_init(&cursor, &grid->job->plan, &grid->job->request);
    cc_cursor_seek(&cursor, first);
    while (cc_cursor_next(&cursor, &step) && step.step <= last && !ferror(t->out)) {
        fill_cells(row, grid, &step);
        text_row(t, &table, cell, step.closing ? "( )" : "[ ]");
        after_row(t, grid, &step);
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

/* In plain text: as many columns of rows as the card has room for, page by page. */
static void write_blocks(struct text *t, struct grid *grid, uint64_t first, uint64_t last)
{
    unsigned lines_each = (grid->second_line == CELLS ? 1U : 2U) + (grid->job->view.strip && !grid->job->plan.exact ? 1U : 0U);
    uint64_t at = line_of(first), end = line_of(last) + 1;
    while (at < end && !ferror(t->out)) {
        uint64_t lines = lines_of_page(t, grid, end - at, lines_each);
        if (lines == 0 && t->line > 1) {
            text_new_page(t);
            continue;
        }
        if (lines == 0)
            lines = TEN;
        write_block(t, grid, at, end, lines);
        at += lines * grid->columns;
        if (is_gap(at))
            at++;
    }
}

void card_steps(struct text *t, const struct job *job, uint64_t first, uint64_t last)
{
    struct grid grid = { .job = job, .line = memory_get(ABREAST) };

    lay_out(&grid, t, first, last);
    write_once(t, job, last == job->plan.steps);
    if (job->view.strip && !text_is_html(t))
        card_strip_key(t, job);
    if (first == 0 && job_is_list(job)) {
        if (!card_starts_at_first(job))
            write_start_of_list(t, &grid);
        first = 1;
    }
    if (text_is_html(t))
        write_table(t, &grid, first, last);
    else
        write_blocks(t, &grid, first, last);
    free(grid.line);
    free(grid.kept.at);
    free(grid.kept.text);
}
