/*
 * fast_rows.c: see fast_rows.h. tests/fast_rows.py holds it to the bytes of plan_records.c.
 */
#include "cli/out/fast_rows.h"

#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/rows.h"
#include "cli/job/marks.h"
#include "cli/out/csv.h"
#include "cli/out/digits.h"
#include "cli/out/json.h"
#include "cli/out/words.h"

#define BUFFER 65536
#define MOST_COUNT 999999999999999     /* of CSV_MOST_DIGITS digits; also below 2^53, beyond which JSON has strings */
#define MOST_ROW 1536       /* bytes of a row: some 20 fields of at most 41 bytes, a label, and their names */

struct writer {
    FILE *out;
    const struct job *job;
    enum format format;
    char *at;               /* in buffer */
    char start[128];        /* what begins every row */
    char circle[24], circle2[24];
    mpq_t error;            /* for the length at a radius */
    char buffer[BUFFER];
};

/* ---- fields ---- */

static void put_text(struct writer *w, const char *text)
{
    w->at = digits_text(w->at, text);
}

/* For names: their length is known when this is compiled. */
#define PUT(w, literal) \
    (memcpy((w)->at, literal, sizeof literal - 1), (w)->at += sizeof literal - 1)

static void put_u64(struct writer *w, uint64_t n)
{
    w->at = digits_put(w->at, n);
}

static void put_i64(struct writer *w, int64_t n)
{
    w->at = digits_signed(w->at, n);
}

static void put_fraction(struct writer *w, struct cc_fraction f)
{
    put_i64(w, f.num);
    if (f.den != 1) {
        *w->at++ = '/';
        put_u64(w, f.den);
    }
}

/* A number and an exact value of a row: as csv_whole and csv_fraction write them. */
static void put_number(struct writer *w, int64_t n)
{
    if (digits_size_of(n) > MOST_COUNT && w->format == FORMAT_CSV)
        *w->at++ = '\'';
    put_i64(w, n);
}

static void put_exact(struct writer *w, struct cc_fraction f)
{
    if (w->format == FORMAT_TSV) {
        put_fraction(w, f);
        return;
    }
    bool kept = digits_size_of(f.num) > MOST_COUNT || f.den > MOST_COUNT;
    if (kept)
        *w->at++ = '\'';
    put_i64(w, f.num);
    *w->at++ = ',';
    if (kept)
        *w->at++ = '\'';
    put_u64(w, f.den);
}

static inline void put_decimal(struct writer *w, struct cc_fraction f, uint64_t scale, uint64_t power, unsigned decimals)
{
    w->at = digits_decimal(w->at, f, scale, power, decimals);
}

static double length_of(struct writer *w, struct cc_fraction f)
{
    cc_fraction_get(w->error, f);
    return error_at_radius(w->job, w->error);
}

/* What stands beside the row, without anything that would need quoting (marks.c); NULL for nothing. */
static const char *label_of(const struct writer *w, const struct cc_row *row, char *buf)
{
    const struct marks *marks = &w->job->marks;

    return row->closing || !marks_given(marks) ? NULL : marks_label(marks, row->division, buf, LABEL_SIZE);
}

/* ---- rows ---- */

static void put_csv(struct writer *w, const struct cc_row *row)
{
    const struct cc_plan *plan = &w->job->plan;
    char comma = w->format == FORMAT_TSV ? '\t' : ',', text[LABEL_SIZE];
    const char *label;

    put_text(w, w->start);
    put_u64(w, row->step);
    *w->at++ = comma;
    put_u64(w, row->division);
    *w->at++ = comma;
    if ((label = label_of(w, row, text)) != NULL) {
        if (comma == ',' && csv_would_be_spoilt(label))
            *w->at++ = '\'';
        put_text(w, label);
    }
    *w->at++ = comma;
    put_number(w, row->turns);
    *w->at++ = comma;
    put_number(w, row->holes);
    *w->at++ = comma;
    put_text(w, w->circle);
    *w->at++ = comma;
    put_u64(w, row->hole);
    *w->at++ = comma;
    if (plan->circle2 > 0)
        put_number(w, row->holes2);
    *w->at++ = comma;
    put_text(w, w->circle2);
    *w->at++ = comma;
    if (plan->circle2 > 0)
        put_u64(w, row->hole2);
    *w->at++ = comma;
    if (!cc_plan_is_direct(plan))
        put_exact(w, row->crank);
    else if (comma == ',')
        *w->at++ = ',';
    *w->at++ = comma;
    put_exact(w, row->angle);
    *w->at++ = comma;
    put_exact(w, row->nominal);
    *w->at++ = comma;
    put_decimal(w, row->angle, 360, 1000000000, 9);
    *w->at++ = comma;
    put_exact(w, row->error);
    *w->at++ = comma;
    put_decimal(w, row->error, CC_ARCSEC_PER_REV, 1000, 3);
    *w->at++ = comma;
    if (w->job->view.has_radius)
        w->at += json_double_str(w->at, 64, length_of(w, row->error), 6);
    if (comma == ',')
        PUT(w, ",,,,\r");       /* dial and rim: a numerator and a denominator each */
    else
        PUT(w, "\t\t");
    *w->at++ = '\n';
}

static void put_json(struct writer *w, const struct cc_row *row)
{
    const struct cc_plan *plan = &w->job->plan;
    char text[LABEL_SIZE];

    PUT(w, "{\"record\":\"step\",\"step\":");
    put_u64(w, row->step);
    PUT(w, ",\"division\":");
    put_u64(w, row->division);
    PUT(w, ",\"turns\":");
    put_i64(w, row->turns);
    PUT(w, ",\"holes\":");
    put_i64(w, row->holes);
    PUT(w, ",\"circle\":");
    put_text(w, w->circle);
    PUT(w, ",\"hole\":");
    put_u64(w, row->hole);
    if (plan->circle2 == 0) {
        PUT(w, ",\"holes2\":null,\"circle2\":null,\"hole2\":null");
    } else {
        PUT(w, ",\"holes2\":");
        put_i64(w, row->holes2);
        PUT(w, ",\"circle2\":");
        put_text(w, w->circle2);
        PUT(w, ",\"hole2\":");
        put_u64(w, row->hole2);
    }
    if (cc_plan_is_direct(plan)) {
        PUT(w, ",\"crank\":null,\"angle\":\"");
    } else {
        PUT(w, ",\"crank\":\"");
        put_fraction(w, row->crank);
        PUT(w, "\",\"angle\":\"");
    }
    put_fraction(w, row->angle);
    PUT(w, "\",\"nominal\":\"");
    put_fraction(w, row->nominal);
    PUT(w, "\",\"angle_deg\":");
    put_decimal(w, row->angle, 360, 1000000000, 9);
    PUT(w, ",\"error\":\"");
    put_fraction(w, row->error);
    PUT(w, "\",\"error_arcsec\":");
    put_decimal(w, row->error, CC_ARCSEC_PER_REV, 1000, 3);
    const char *label = label_of(w, row, text);
    if (label == NULL) {
        PUT(w, ",\"label\":null");
    } else {
        PUT(w, ",\"label\":\"");
        put_text(w, label);
        PUT(w, "\"");
    }
    if (w->job->view.has_radius) {
        put_text(w, w->job->output.unit == CC_INCH ? ",\"error_in\":" : ",\"error_mm\":");
        w->at += json_double_str(w->at, 64, length_of(w, row->error), 6);
    }
    PUT(w, ",\"dial\":null,\"rim\":null}\n");
}

static void flush(struct writer *w)
{
    fwrite(w->buffer, 1, (size_t)(w->at - w->buffer), w->out);
    w->at = w->buffer;
}

bool fast_rows(FILE *out, const struct job *job, enum format format, uint64_t from, uint64_t last)
{
    const struct cc_plan *plan = &job->plan;
    struct cc_rows *rows;
    struct cc_row row;
    struct writer w = { .out = out, .job = job, .format = format };
    char comma = format == FORMAT_TSV ? '\t' : ',';

    /* Long counts are texts; a huge radius makes a long number; readings are not written here. */
    if (plan->steps > MOST_COUNT || cc_plan_is_dial(plan) ||
        (job->view.has_radius && mpq_cmp_ui(job->view.radius, 1000000000, 1) > 0) ||
        (rows = cc_rows_new(plan, &job->request, from)) == NULL)
        return false;
    w.at = w.buffer;
    mpq_init(w.error);
    snprintf(w.start, sizeof w.start, "%s%c%s%c", cc_method_name(plan->method), comma,
             plan->exact ? "true" : "false", comma);
    snprintf(w.circle, sizeof w.circle, "%u", plan->circle);
    if (plan->circle2 > 0)
        snprintf(w.circle2, sizeof w.circle2, "%u", plan->circle2);
    while (cc_rows_next(rows, &row) && row.step <= last) {
        if (w.at > w.buffer + BUFFER - MOST_ROW) {
            flush(&w);
            if (ferror(out))
                break;
        }
        if (format == FORMAT_JSONL)
            put_json(&w, &row);
        else
            put_csv(&w, &row);
    }
    flush(&w);
    cc_rows_free(rows);
    mpq_clear(w.error);
    return true;
}
