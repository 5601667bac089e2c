/*
 * measure.c: reads tables of measurements; measure.h has the format.
 *
 * Values are read as exact rationals, brought to their unit exactly and become doubles last.
 */
#include "crankcard/measure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"

enum quantity { ANGLE, LENGTH, COUNT, DIRECTION };

enum column {
    COL_ANGLE,
    COL_INDICATOR,
    COL_TARGET,
    COL_DIRECTION,
    COL_RUN,
    COL_DEVIATION,
    COL_READING,
    COL_RADIUS,
    COL_UNCLAMPED,
    COL_CLAMPED,
    COL_PUSH,
    COL_PULL,
    COL_ALONG,
    COL_HEIGHT,
    COL_SIDE,
    COL_COUNT
};

static const struct {
    const char *name;
    enum quantity quantity;
} columns[COL_COUNT] = {
    [COL_ANGLE] = {"angle", ANGLE},
    [COL_INDICATOR] = {"indicator", LENGTH},
    [COL_TARGET] = {"target", ANGLE},
    [COL_DIRECTION] = {"direction", DIRECTION},
    [COL_RUN] = {"run", COUNT},
    [COL_DEVIATION] = {"deviation", ANGLE},
    [COL_READING] = {"reading", ANGLE},
    [COL_RADIUS] = {"radius", LENGTH},
    [COL_UNCLAMPED] = {"unclamped", LENGTH},
    [COL_CLAMPED] = {"clamped", LENGTH},
    [COL_PUSH] = {"push", LENGTH},
    [COL_PULL] = {"pull", LENGTH},
    [COL_ALONG] = {"along", LENGTH},
    [COL_HEIGHT] = {"height", LENGTH},
    [COL_SIDE] = {"side", LENGTH},
};

/* A unit is num/den of the library's own: revolutions, millimetres. */
static const struct unit {
    const char *name;
    enum quantity quantity;
    unsigned long num, den;
    bool inch;
} units[] = {
    {"deg", ANGLE, 1, 360, false},        {"arcmin", ANGLE, 1, 21600, false},
    {"arcsec", ANGLE, 1, 1296000, false}, {"rev", ANGLE, 1, 1, false},
    {"gon", ANGLE, 1, 400, false},        {"mm", LENGTH, 1, 1, false},
    {"um", LENGTH, 1, 1000, false},       {"in", LENGTH, 127, 5, true},
};

#define MAX_CELLS 5
#define BIT(c)    (1u << (c))

static const struct {
    const char *name;
    unsigned known, other; /* columns; where other is not 0 it is allowed in place of known */
    const char *spelled;   /* for messages */
} kinds[CC_MEASURED_KINDS] = {
    [CC_RUNOUT] = {"runout", BIT(COL_ANGLE) | BIT(COL_INDICATOR), 0, "angle, indicator"},
    [CC_POSITIONS] = {"positions",
                      BIT(COL_TARGET) | BIT(COL_DIRECTION) | BIT(COL_RUN) | BIT(COL_DEVIATION),
                      BIT(COL_TARGET) | BIT(COL_DIRECTION) | BIT(COL_RUN) | BIT(COL_READING),
                      "target, direction, run, deviation (or reading)"},
    [CC_CLAMP] = {"clamp", BIT(COL_RADIUS) | BIT(COL_UNCLAMPED) | BIT(COL_CLAMPED), 0,
                  "radius, unclamped, clamped"},
    [CC_PUSH_PULL] = {"push-pull", BIT(COL_RADIUS) | BIT(COL_PUSH) | BIT(COL_PULL), 0,
                      "radius, push, pull"},
    [CC_FOOTSTOCK] = {"footstock", BIT(COL_ALONG) | BIT(COL_HEIGHT) | BIT(COL_SIDE), 0,
                      "along, height, side"},
};

#define LINE_SIZE 400

/* What is being read: the place, the table whose rows follow, its columns. */
struct reader {
    const char *at, *end;
    const char *where;
    unsigned long line;
    char text[LINE_SIZE]; /* the line, cut into cells in place */
    char *cell[MAX_CELLS];
    size_t cells;
    char separator;
    bool in_table;
    enum cc_measured kind;
    enum column column[MAX_CELLS];
    const struct unit *unit[MAX_CELLS];
    size_t width;                   /* columns of the table */
    const struct unit *length_unit; /* first unit of length met, NULL before */
    unsigned long length_line;      /* and where */
    size_t total;                   /* rows read so far */
    struct cc_error *err;
};

#define REFUSE(r, status, format, ...)                                                             \
    cc_fail((r)->err, status, "%.100s:%lu: " format, (r)->where, (r)->line, __VA_ARGS__)

void cc_measurements_init(struct cc_measurements *m)
{
    *m = (struct cc_measurements){.count = {0}};
}

void cc_measurements_clear(struct cc_measurements *m)
{
    for (size_t k = 0; k < CC_MEASURED_KINDS; k++)
        free(m->row[k]);
    cc_measurements_init(m);
}

/* ---- lines and cells ---- */

/* The next line into r->text without its line end; at the end of the text *more is false. */
static enum cc_status next_line(struct reader *r, bool *more)
{
    *more = r->at < r->end;
    if (!*more)
        return CC_OK;
    r->line++;
    const char *newline = memchr(r->at, '\n', (size_t)(r->end - r->at));
    size_t length = (size_t)((newline != NULL ? newline : r->end) - r->at);
    const char *start = r->at;
    r->at += length + (newline != NULL);
    if (length > 0 && start[length - 1] == '\r')
        length--;
    if (length >= LINE_SIZE)
        return REFUSE(r, CC_ELIMIT, "a line of %zu bytes; the most is %d", length, LINE_SIZE - 1);
    if (memchr(start, '\0', length) != NULL)
        return REFUSE(r, CC_EPARSE, "%s", "a zero byte; the file must be plain text");
    memcpy(r->text, start, length);
    r->text[length] = '\0';
    return CC_OK;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

/* Blanks, and one pair of quotation marks as spreadsheets write them, off both ends. */
static char *trim(char *cell)
{
    while (is_blank(*cell))
        cell++;
    size_t n = strlen(cell);
    while (n > 0 && is_blank(cell[n - 1]))
        n--;
    cell[n] = '\0';
    if (n >= 2 && cell[0] == '"' && cell[n - 1] == '"') {
        cell[n - 1] = '\0';
        cell++;
    }
    return cell;
}

/* Nothing but blanks and separators: spreadsheets write a blank row as ",,,". */
static bool blank_row(const char *text)
{
    return text[strspn(text, " \t\r,")] == '\0';
}

static enum cc_status split(struct reader *r)
{
    char *p = r->text;

    r->cells = 0;
    for (;;) {
        if (r->cells == MAX_CELLS)
            return REFUSE(r, CC_EPARSE, "more than %d cells; no table has so many columns",
                          MAX_CELLS);
        char *end = strchr(p, r->separator);
        if (end != NULL)
            *end = '\0';
        r->cell[r->cells++] = trim(p);
        if (end == NULL)
            return CC_OK;
        p = end + 1;
    }
}

/* ---- the row of column names ---- */

static const struct unit *find_unit(const char *name, enum quantity quantity)
{
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (units[i].quantity == quantity && strcmp(units[i].name, name) == 0)
            return &units[i];
    return NULL;
}

static const char *units_of(enum quantity quantity)
{
    return quantity == LENGTH ? "_mm, _um or _in" : "_deg, _arcmin, _arcsec, _rev or _gon";
}

static enum cc_status read_unit(struct reader *r, size_t i, const char *suffix)
{
    enum column c = r->column[i];
    enum quantity quantity = columns[c].quantity;

    r->unit[i] = NULL;
    if (quantity == COUNT || quantity == DIRECTION) {
        if (*suffix != '\0')
            return REFUSE(r, CC_EPARSE, "column '%.40s': %s has no unit", r->cell[i],
                          columns[c].name);
        return CC_OK;
    }
    if (*suffix == '\0')
        return REFUSE(r, CC_EPARSE, "column '%.40s' has no unit; end its name in %s", r->cell[i],
                      units_of(quantity));
    r->unit[i] = find_unit(suffix + 1, quantity);
    if (r->unit[i] == NULL)
        return REFUSE(r, CC_EPARSE, "column '%.40s': the unit must be %s", r->cell[i],
                      units_of(quantity));
    if (quantity != LENGTH)
        return CC_OK;
    if (r->length_unit == NULL) {
        r->length_unit = r->unit[i];
        r->length_line = r->line;
    }
    if (r->length_unit->inch != r->unit[i]->inch)
        return REFUSE(r, CC_EDOM,
                      "column '%.40s': mixed units; line %lu has lengths in %s, and a file keeps "
                      "to metric or to inches",
                      r->cell[i], r->length_line, r->length_unit->name);
    return CC_OK;
}

static enum cc_status read_name(struct reader *r, size_t i)
{
    const char *cell = r->cell[i];
    size_t n = strcspn(cell, "_");

    for (int c = 0; c < COL_COUNT; c++)
        if (strlen(columns[c].name) == n && strncmp(columns[c].name, cell, n) == 0) {
            r->column[i] = (enum column)c;
            return read_unit(r, i, cell + n);
        }
    return REFUSE(r, CC_EPARSE,
                  "'%.40s' is not a column name; a table begins with its column names, such as "
                  "angle_deg,indicator_mm",
                  cell);
}

static enum cc_status choose_kind(struct reader *r, unsigned have)
{
    size_t best = 0;
    int most = -1;

    for (size_t k = 0; k < CC_MEASURED_KINDS; k++) {
        if (have == kinds[k].known || have == kinds[k].other) {
            r->kind = (enum cc_measured)k;
            return CC_OK;
        }
        int common = 0;
        for (unsigned both = have & (kinds[k].known | kinds[k].other); both != 0; both >>= 1)
            common += (int)(both & 1);
        if (common > most) {
            most = common;
            best = k;
        }
    }
    return REFUSE(r, CC_EPARSE,
                  "these columns are no table; the nearest, %s, has the columns %s, no fewer and "
                  "no more",
                  kinds[best].name, kinds[best].spelled);
}

static enum cc_status read_header(struct reader *r, struct cc_measurements *m)
{
    enum cc_status s;
    unsigned have = 0;

    if (strpbrk(r->text, ",\t") == NULL && strchr(r->text, ';') != NULL)
        return REFUSE(r, CC_EPARSE, "%s", "columns are divided by ',' or tabs, not by ';'");
    r->separator = strchr(r->text, ',') == NULL && strchr(r->text, '\t') != NULL ? '\t' : ',';
    s = split(r);
    if (s != CC_OK)
        return s;
    for (size_t i = 0; i < r->cells; i++) {
        s = read_name(r, i);
        if (s != CC_OK)
            return s;
        if ((have & BIT(r->column[i])) != 0)
            return REFUSE(r, CC_EPARSE, "column '%s' is there twice", columns[r->column[i]].name);
        have |= BIT(r->column[i]);
    }
    s = choose_kind(r, have);
    if (s != CC_OK)
        return s;
    if (m->header_line[r->kind] != 0)
        return REFUSE(r, CC_EDOM, "a second %s table; the first begins on line %lu",
                      kinds[r->kind].name, m->header_line[r->kind]);
    m->header_line[r->kind] = r->line;
    r->width = r->cells;
    r->in_table = true;
    return CC_OK;
}

/* ---- rows ---- */

/* Angles and lengths past this many of their unit are slips of the pen. */
static const double most_value = 1e9;

static enum cc_status read_value(struct reader *r, size_t i, mpq_t value)
{
    struct cc_error why;

    if (cc_rational_parse(value, r->cell[i], &why) != CC_OK)
        return REFUSE(r, why.status, "%s: %.150s; the unit stands in the column name",
                      columns[r->column[i]].name, why.text);
    if (fabs(mpq_get_d(value)) > most_value)
        return REFUSE(r, CC_EDOM, "%s: '%.40s' is too large to be a measurement",
                      columns[r->column[i]].name, r->cell[i]);
    cc_rational_times(value, value, r->unit[i]->num, r->unit[i]->den);
    return CC_OK;
}

static enum cc_status read_direction(struct reader *r, size_t i, struct cc_reading *row)
{
    const char *cell = r->cell[i];

    if (strcmp(cell, "+") != 0 && strcmp(cell, "-") != 0)
        return REFUSE(r, CC_EPARSE, "direction '%.40s'; write + or -", cell);
    row->backward = cell[0] == '-';
    return CC_OK;
}

static enum cc_status read_run(struct reader *r, size_t i, struct cc_reading *row)
{
    enum cc_status s;
    mpz_t run;

    mpz_init(run);
    s = cc_count_parse(run, r->cell[i], NULL);
    if (s != CC_OK || mpz_cmp_ui(run, 1) < 0 || mpz_cmp_ui(run, 1000000) > 0)
        s = REFUSE(r, CC_EPARSE, "run '%.40s'; write a count, 1 or more", r->cell[i]);
    else
        row->run = mpz_get_ui(run);
    mpz_clear(run);
    return s;
}

/* reading - target within half a turn either way: a dial that has passed 360 degrees reads low. */
static void wrap(mpq_t difference)
{
    mpz_t turns;
    mpq_t whole;

    mpz_init(turns);
    mpq_init(whole);
    cc_rational_round(turns, difference);
    mpq_set_z(whole, turns);
    mpq_sub(difference, difference, whole);
    mpq_clear(whole);
    mpz_clear(turns);
}

static void store(struct cc_reading *row, const mpq_t *value, const bool *given)
{
    static const enum column at[] = {COL_ANGLE, COL_TARGET, COL_RADIUS, COL_ALONG};
    static const enum column first[] = {COL_INDICATOR, COL_UNCLAMPED, COL_PUSH, COL_HEIGHT};
    static const enum column second[] = {COL_CLAMPED, COL_PULL, COL_SIDE};
    mpq_t deviation;

    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++)
        if (given[at[i]])
            row->at = mpq_get_d(value[at[i]]);
    for (size_t i = 0; i < sizeof first / sizeof first[0]; i++)
        if (given[first[i]])
            row->first = mpq_get_d(value[first[i]]);
    for (size_t i = 0; i < sizeof second / sizeof second[0]; i++)
        if (given[second[i]])
            row->second = mpq_get_d(value[second[i]]);
    if (!given[COL_DEVIATION] && !given[COL_READING])
        return;
    mpq_init(deviation);
    if (given[COL_READING]) {
        mpq_sub(deviation, value[COL_READING], value[COL_TARGET]);
        wrap(deviation);
    } else {
        mpq_set(deviation, value[COL_DEVIATION]);
    }
    cc_angle_arcsec(deviation, deviation);
    row->first = mpq_get_d(deviation);
    mpq_clear(deviation);
}

static enum cc_status read_cells(struct reader *r, struct cc_reading *row)
{
    enum cc_status s = CC_OK;
    mpq_t value[COL_COUNT];
    bool given[COL_COUNT] = {false};

    for (size_t c = 0; c < COL_COUNT; c++)
        mpq_init(value[c]);
    for (size_t i = 0; s == CC_OK && i < r->cells; i++) {
        enum column c = r->column[i];
        given[c] = true;
        if (*r->cell[i] == '\0')
            s = REFUSE(r, CC_EPARSE, "%s is empty", columns[c].name);
        else if (columns[c].quantity == DIRECTION)
            s = read_direction(r, i, row);
        else if (columns[c].quantity == COUNT)
            s = read_run(r, i, row);
        else
            s = read_value(r, i, value[c]);
        if (s == CC_OK && c == COL_RADIUS && mpq_sgn(value[c]) <= 0)
            s = REFUSE(r, CC_EDOM, "radius '%.40s' must be more than 0", r->cell[i]);
    }
    if (s == CC_OK)
        store(row, (const mpq_t *)value, given);
    for (size_t c = 0; c < COL_COUNT; c++)
        mpq_clear(value[c]);
    return s;
}

/* Room for one more row: capacity doubles at each power of two. */
static enum cc_status add_row(struct reader *r, struct cc_measurements *m,
                              const struct cc_reading *row)
{
    size_t n = m->count[r->kind];

    if (r->total == CC_MAX_READINGS)
        return REFUSE(r, CC_ELIMIT, "more than %d rows", CC_MAX_READINGS);
    if ((n & (n - 1)) == 0) {
        struct cc_reading *more = realloc(m->row[r->kind], (n == 0 ? 1 : 2 * n) * sizeof *more);
        if (more == NULL)
            return cc_fail(r->err, CC_ENOMEM, "memory ran out reading %.100s", r->where);
        m->row[r->kind] = more;
    }
    m->row[r->kind][n] = *row;
    m->count[r->kind] = n + 1;
    r->total++;
    return CC_OK;
}

static enum cc_status read_row(struct reader *r, struct cc_measurements *m)
{
    struct cc_reading row = {.line = r->line};
    enum cc_status s = split(r);

    if (s != CC_OK)
        return s;
    if (r->cells != r->width)
        return REFUSE(r, CC_EPARSE,
                      "%zu cells where the table has %zu columns (decimals are "
                      "written with '.')",
                      r->cells, r->width);
    s = read_cells(r, &row);
    if (s != CC_OK)
        return s;
    return add_row(r, m, &row);
}

/* ---- whole tables ---- */

static double angle_fraction(double revolutions)
{
    return revolutions - floor(revolutions);
}

static size_t different_angles(const struct cc_reading *row, size_t count)
{
    size_t n = 0;
    for (size_t i = 0; i < count && n < 3; i++) {
        bool seen = false;
        for (size_t k = 0; k < i && !seen; k++)
            seen = fabs(angle_fraction(row[k].at) - angle_fraction(row[i].at)) < 1e-9;
        n += !seen;
    }
    return n;
}

/* What a table needs to mean anything; messages point at its last row. */
static enum cc_status check_table(struct reader *r, const struct cc_measurements *m,
                                  enum cc_measured kind)
{
    size_t n = m->count[kind];

    r->line = n == 0 ? m->header_line[kind] : m->row[kind][n - 1].line;
    if (n < 2)
        return REFUSE(r, CC_EDOM, "the %s table has %s; %s", kinds[kind].name,
                      n == 0 ? "no rows" : "only one row",
                      kind == CC_FOOTSTOCK ? "read at two places along the bar or more"
                                           : "one reading has no scatter: take two or more");
    if (kind == CC_RUNOUT && different_angles(m->row[kind], n) < 3)
        return REFUSE(r, CC_EDOM, "%s",
                      "the runout table has fewer than 3 different angles; read round the whole "
                      "turn");
    if (kind == CC_FOOTSTOCK) {
        size_t i = 1;
        while (i < n && m->row[kind][i].at == m->row[kind][0].at)
            i++;
        if (i == n)
            return REFUSE(r, CC_EDOM, "%s",
                          "the footstock readings are all at one place; read at "
                          "two places along the bar or more");
    }
    return CC_OK;
}

static enum cc_status read_all(struct reader *r, struct cc_measurements *m)
{
    enum cc_status s = CC_OK;
    bool more = true;

    if (r->end - r->at >= 3 && memcmp(r->at, "\xEF\xBB\xBF", 3) == 0)
        r->at += 3; /* byte order mark */
    while (s == CC_OK) {
        s = next_line(r, &more);
        if (s != CC_OK || !more)
            break;
        if (r->text[strspn(r->text, " \t")] == '#')
            continue;
        if (blank_row(r->text))
            r->in_table = false;
        else if (r->in_table)
            s = read_row(r, m);
        else
            s = read_header(r, m);
    }
    size_t tables = 0;
    for (int k = 0; s == CC_OK && k < CC_MEASURED_KINDS; k++)
        if (m->header_line[k] != 0) {
            tables++;
            s = check_table(r, m, (enum cc_measured)k);
        }
    if (s == CC_OK && tables == 0)
        s = cc_fail(r->err, CC_EPARSE,
                    "%.100s: no table; write column names such as angle_deg,indicator_mm and then "
                    "the readings",
                    r->where);
    return s;
}

enum cc_status cc_measurements_read(struct cc_measurements *m, const char *text, size_t length,
                                    const char *where, struct cc_error *err)
{
    struct reader r = {.at = text, .end = text + length, .where = where, .err = err};
    struct cc_measurements work;
    enum cc_status s;

    cc_measurements_init(&work);
    s = read_all(&r, &work);
    if (s == CC_OK) {
        cc_measurements_clear(m);
        *m = work;
    } else {
        cc_measurements_clear(&work);
    }
    return s;
}
