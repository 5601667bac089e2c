/*
 * fast_plan.c: see fast_plan.h. The columns are those of plan_form; tests/fast_rows.py holds them to the fields of the
 * JSON record.
 */
#include "cli/out/fast_plan.h"

#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/csv.h"
#include "cli/out/digits.h"
#include "cli/out/gears.h"

#define MOST_COUNT 999999999999999      /* of CSV_MOST_DIGITS digits */
#define MOST_WORD (INT64_C(1) << 60)    /* of a fraction */
#define MOST_NAME 64                    /* bytes of a plate's name */
#define MOST_LONG 64                    /* bytes of a decimal of any size */
#define MOST_ROW 1024                   /* some 24 cells of at most 21 bytes, three decimals, and the names */

struct row {
    char *at;               /* in bytes */
    char comma;
    bool good;              /* all fits so far */
    char bytes[MOST_ROW];
};

static void end_cell(struct row *row)
{
    *row->at++ = row->comma;
}

static void put_text(struct row *row, const char *text)
{
    row->at = digits_text(row->at, text);
    end_cell(row);
}

/* Longer ones are text to a spreadsheet. */
static void put_count(struct row *row, uint64_t n)
{
    row->good = row->good && n <= MOST_COUNT;
    row->at = digits_put(row->at, n);
    end_cell(row);
}

static void put_signed(struct row *row, int64_t n)
{
    row->good = row->good && digits_size_of(n) <= MOST_COUNT;
    row->at = digits_signed(row->at, n);
    end_cell(row);
}

static void put_count_if(struct row *row, bool applies, uint64_t n)
{
    if (applies)
        put_count(row, n);
    else
        end_cell(row);
}

/* A name without anything that wants quoting or that is not ASCII. */
static void put_name(struct row *row, const char *name)
{
    size_t n = 0;

    while (n < MOST_NAME && name[n] >= ' ' && name[n] <= '~' && name[n] != ',' && name[n] != '"')
        n++;
    row->good = row->good && name[n] == '\0';
    if (!row->good)
        return;
    if (row->comma == ',' && csv_would_be_spoilt(name))
        *row->at++ = '\'';
    put_text(row, name);
}

/* Whether the value fits words: it is f then. */
static bool fits_words(struct cc_fraction *f, mpq_srcptr value)
{
    *f = (struct cc_fraction){ cc_get_i64(mpq_numref(value)), cc_get_u64(mpq_denref(value)) };
    return f->num > -MOST_WORD && f->num < MOST_WORD && f->den < (uint64_t)MOST_WORD;
}

/* Of large trains it does not fit words, and is worked out in numbers of any size. */
static void put_long_arcsec(struct row *row, mpq_srcptr revolutions)
{
    mpq_t arcsec;

    mpq_init(arcsec);
    cc_angle_arcsec(arcsec, revolutions);
    size_t length = cc_decimal_short_str(row->at, MOST_LONG, arcsec, 3);
    row->good = row->good && length < MOST_LONG;
    row->at += row->good ? length : 0;
    mpq_clear(arcsec);
}

static void put_arcsec(struct row *row, mpq_srcptr revolutions)
{
    struct cc_fraction f;

    if (fits_words(&f, revolutions))
        row->at = digits_decimal(row->at, f, CC_ARCSEC_PER_REV, 1000, 3);
    else
        put_long_arcsec(row, revolutions);
    end_cell(row);
}

static void put_exact(struct row *row, mpq_srcptr value)
{
    struct cc_fraction f;

    row->good = fits_words(&f, value) && row->good;
    if (row->comma == ',') {
        put_signed(row, f.num);
        put_count(row, f.den);
        return;
    }
    row->at = digits_fraction(row->at, f);
    end_cell(row);
}

static void put_teeth(struct row *row, const unsigned *teeth, unsigned n)
{
    if (n > 0 && row->comma == ',')
        *row->at++ = '\'';      /* what looks like a date or a number */
    for (unsigned i = 0; i < n; i++) {
        if (i > 0)
            *row->at++ = ' ';
        row->at = digits_put(row->at, teeth[i]);
    }
    end_cell(row);
}

static void put_setting(struct row *row, const struct job *job, const struct cc_plan *plan)
{
    bool plate = cc_plan_has_plate(plan), second = plan->circle2 != 0;
    int64_t turns, holes, holes2;
    bool moves = cc_plan_movement(&turns, &holes, &holes2, plan);

    if (plate)
        put_name(row, job->head.plates[plan->plate].name);
    else
        end_cell(row);
    put_count_if(row, plate, plan->side);
    put_count(row, plan->circle);
    if (moves) {
        put_signed(row, turns);
        put_signed(row, holes);
    } else {
        end_cell(row);
        end_cell(row);
    }
    put_count_if(row, second, plan->circle2);
    if (moves && second)
        put_signed(row, holes2);
    else
        end_cell(row);
}

/* What is to spare: of whole nanometres no digit is lost. */
static void put_margin(struct row *row, uint64_t nm, enum cc_unit unit)
{
    const struct cc_fraction f = { (int64_t)nm, unit == CC_INCH ? 254 * CC_NM_OF_MM / 10 : CC_NM_OF_MM };

    row->good = row->good && nm < (uint64_t)MOST_WORD;
    if (row->good)
        row->at = digits_decimal(row->at, f, 1, CC_NM_OF_MM, 6);
    end_cell(row);
}

static void put_fit(struct row *row, const struct job *job, const struct cc_train *train)
{
    if (train->pairs == 0) {
        row->at = digits_text(row->at, row->comma == ',' ? ",,," : "\t\t\t");
        end_cell(row);
        return;
    }
    const struct fit_said said = fit_said(train, &job->head, CC_FOR_DIFFERENTIAL);
    put_teeth(row, train->idler, said.idlers);
    put_text(row, said.fit);
    put_text(row, said.key != NULL ? said.key : "");
    if (said.known)
        put_margin(row, said.margin, job->output.unit);
    else
        end_cell(row);
}

bool fast_plan(FILE *out, const struct job *job, const struct cc_plan *plan)
{
    struct row row;     /* not cleared: its bytes are many */
    const struct cc_train *train = &plan->train;

    if (job->request.position_count > 0)
        return false;
    row.at = row.bytes;
    row.comma = job->output.format == FORMAT_TSV ? '\t' : ',';
    row.good = true;
    put_count(&row, cc_get_u64(job->request.divisions));
    put_text(&row, cc_method_name(plan->method));
    put_text(&row, plan->exact ? "true" : "false");
    put_text(&row, plan->within ? "true" : "false");
    put_count(&row, plan->block);
    put_setting(&row, job, plan);
    put_teeth(&row, train->driver, train->pairs);
    put_teeth(&row, train->driven, train->pairs);
    put_count_if(&row, train->pairs > 0, train->idlers);
    put_arcsec(&row, plan->worst_error);
    put_arcsec(&row, plan->worst_pitch);
    if (plan->has_closing)
        put_arcsec(&row, plan->closing_error);
    else
        end_cell(&row);
    put_exact(&row, plan->travel);
    put_count(&row, plan->steps);
    put_count_if(&row, train->pairs > 0 && train->idlers > 0, train->pairs - train->idlers_back);
    put_count(&row, cc_plan_seconds(plan->time));
    put_count(&row, cc_plan_seconds(plan->effort));
    put_fit(&row, job, train);
    if (!row.good)
        return false;
    row.at--;
    row.at = digits_text(row.at, row.comma == ',' ? "\r\n" : "\n");
    fwrite(row.bytes, 1, (size_t)(row.at - row.bytes), out);
    return true;
}
