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

#define BUFFER 131072       /* as much as cat writes at once: through a pipe each write costs a change of processes */
#define MOST_COUNT 999999999999999     /* of CSV_MOST_DIGITS digits; also below 2^53, beyond which JSON has strings */
#define MOST_ROW 1536       /* bytes of a row: some 20 fields of at most 41 bytes, a label, and their names */
#define SHORT 48            /* bytes that are copied at once: most of what is written again */

/* Fields of the last row, where they stand: mostly the next row has the same. */
struct span {
    const char *at;
    size_t n;
};

struct writer {
    const struct job *job;
    char start[SHORT];      /* what begins every row */
    size_t start_length;
    char circle[24], circle2[24];
    bool has_last, has_list, has_dial, has_rim;
    struct cc_row last;
    struct span movement, error;
    double per_turn;        /* at the radius, as long as the error of a turn */
    mpq_t exact;            /* an error */
};

/* ---- fields ---- */

static inline char *put_bytes(char *at, const char *bytes, size_t n)
{
    memcpy(at, bytes, n);
    return at + n;
}

/* For names: their length is known when this is compiled. */
#define PUT(at, literal) put_bytes(at, literal, sizeof literal - 1)

/* A number and an exact value of a row: as csv_whole and csv_fraction write them. */
static inline char *put_number(char *at, int64_t n, bool tabs)
{
    if (digits_size_of(n) > MOST_COUNT && !tabs)
        *at++ = '\'';
    return digits_signed(at, n);
}

static inline char *put_exact(char *at, struct cc_fraction f, bool tabs)
{
    if (tabs)
        return digits_fraction(at, f);
    bool kept = digits_size_of(f.num) > MOST_COUNT || f.den > MOST_COUNT;
    if (kept)
        *at++ = '\'';
    at = digits_signed(at, f.num);
    *at++ = ',';
    if (kept)
        *at++ = '\'';
    return digits_put(at, f.den);
}

static inline char *put_degrees(char *at, struct cc_fraction angle)
{
    return digits_decimal(at, angle, 360, 1000000000, 9);
}

static inline char *put_arcsec(char *at, struct cc_fraction error)
{
    return digits_decimal(at, error, CC_ARCSEC_PER_REV, 1000, 3);
}

/* The same digits from doubles of the numbers where they are sure to be, else by way of the fraction. */
static char *put_length(struct writer *w, char *at, struct cc_fraction error)
{
    size_t n = json_near_double_str(at, 64, w->per_turn * ((double)error.num / (double)error.den), 6);

    if (n > 0)
        return at + n;
    cc_fraction_get(w->exact, error);
    return at + json_double_str(at, 64, error_at_radius(w->job, w->exact), 6);
}

/* Whether no label of a list is long or has what one of the formats would quote. */
static bool are_plain(const struct cc_request *request)
{
    for (size_t i = 0; i < request->position_count; i++) {
        const char *label = request->label[i] != NULL ? request->label[i] : "";
        size_t n = 0;
        while (n < LABEL_SIZE && label[n] >= ' ' && label[n] <= '~' && strchr(",\"\\", label[n]) == NULL)
            n++;
        if (label[n] != '\0' || n == LABEL_SIZE)
            return false;
    }
    return true;
}

/* What stands beside the row, without anything that would need quoting (marks.c); NULL for nothing. */
static const char *label_of(const struct writer *w, const struct cc_row *row, char *buf)
{
    const struct marks *marks = &w->job->marks;

    if (w->has_list)
        return w->job->request.label[row->step - 1];
    return row->closing || !marks_given(marks) ? NULL : marks_label(marks, row->division, buf, LABEL_SIZE);
}

/* ---- what stands there already ---- */

static inline bool same(struct cc_fraction a, struct cc_fraction b)
{
    return a.num == b.num && a.den == b.den;
}

static bool moves_alike(const struct writer *w, const struct cc_row *row)
{
    return w->has_last && row->holes == w->last.holes && row->turns == w->last.turns && row->holes2 == w->last.holes2;
}

static bool errs_alike(const struct writer *w, const struct cc_row *row)
{
    return w->has_last && same(row->error, w->last.error);
}

/* n bytes again that stand at from, by way of registers: where they are few, more than n are moved. There is room behind both. */
static inline char *put_again(char *at, const char *from, size_t n)
{
    char bytes[SHORT];

    if (n > SHORT) {
        memcpy(at, from, n);
    } else {
        memcpy(bytes, from, SHORT);
        memcpy(at, bytes, SHORT);
    }
    return at + n;
}

static inline char *put_span(char *at, struct span *span)
{
    const char *from = span->at;

    span->at = at;
    return put_again(at, from, span->n);
}

static inline char *end_span(struct span *span, const char *from, char *at)
{
    *span = (struct span){ from, (size_t)(at - from) };
    return at;
}

/* ---- rows for spreadsheets and pipes ---- */

static inline char *put_label(const struct writer *w, char *at, const struct cc_row *row, bool tabs)
{
    char text[LABEL_SIZE];
    const char *label = label_of(w, row, text);

    if (label == NULL)
        return at;
    if (!tabs && csv_would_be_spoilt(label))
        *at++ = '\'';
    return digits_text(at, label);
}

static inline char *put_movement(struct writer *w, char *at, const struct cc_row *row, bool tabs)
{
    const char comma = tabs ? '\t' : ',', *from = at;

    if (moves_alike(w, row))
        return put_span(at, &w->movement);
    at = put_number(at, row->turns, tabs);
    *at++ = comma;
    at = put_number(at, row->holes, tabs);
    *at++ = comma;
    at = digits_text(at, w->circle);
    *at++ = comma;
    return end_span(&w->movement, from, at);
}

static inline char *put_second(const struct writer *w, char *at, const struct cc_row *row, bool tabs)
{
    const char comma = tabs ? '\t' : ',';

    if (w->job->plan.circle2 == 0)
        return tabs ? PUT(at, "\t\t") : PUT(at, ",,");
    at = put_number(at, row->holes2, tabs);
    *at++ = comma;
    at = digits_text(at, w->circle2);
    *at++ = comma;
    return digits_put(at, row->hole2);
}

static inline char *put_error(struct writer *w, char *at, const struct cc_row *row, bool tabs)
{
    const char comma = tabs ? '\t' : ',', *from = at;

    if (errs_alike(w, row))
        return put_span(at, &w->error);
    at = put_exact(at, row->error, tabs);
    *at++ = comma;
    at = put_arcsec(at, row->error);
    *at++ = comma;
    if (w->job->view.has_radius)
        at = put_length(w, at, row->error);
    return end_span(&w->error, from, at);
}

static inline char *put_exact_if(char *at, bool is, struct cc_fraction reading, bool tabs)
{
    return is ? put_exact(at, reading, tabs) : tabs ? at : PUT(at, ",");
}

static inline char *put_row(struct writer *w, char *at, const struct cc_row *row, bool tabs)
{
    const char comma = tabs ? '\t' : ',', *from;

    memcpy(at, w->start, SHORT);
    from = at += w->start_length;
    at = digits_put(at, row->step);
    *at++ = comma;
    if (!w->has_list)
        at = row->division == row->step ? put_again(at, from, (size_t)(at - from) - 1) : digits_put(at, row->division);
    *at++ = comma;
    at = put_label(w, at, row, tabs);
    *at++ = comma;
    at = put_movement(w, at, row, tabs);
    at = digits_put(at, row->hole);
    *at++ = comma;
    at = put_second(w, at, row, tabs);
    *at++ = comma;
    at = put_exact_if(at, !cc_plan_is_direct(&w->job->plan), row->crank, tabs);
    *at++ = comma;
    from = at;
    at = put_exact(at, row->angle, tabs);
    *at++ = comma;
    at = same(row->nominal, row->angle) ? put_again(at, from, (size_t)(at - from) - 1) : put_exact(at, row->nominal, tabs);
    *at++ = comma;
    at = put_degrees(at, row->angle);
    *at++ = comma;
    at = put_error(w, at, row, tabs);
    *at++ = comma;
    at = put_exact_if(at, w->has_dial, row->dial, tabs);
    *at++ = comma;
    at = put_exact_if(at, w->has_rim, row->rim, tabs);
    return tabs ? PUT(at, "\n") : PUT(at, "\r\n");
}

static char *put_csv(struct writer *w, char *at, const struct cc_row *row)
{
    return put_row(w, at, row, false);
}

static char *put_tsv(struct writer *w, char *at, const struct cc_row *row)
{
    return put_row(w, at, row, true);
}

/* ---- JSON Lines ---- */

static char *json_movement(struct writer *w, char *at, const struct cc_row *row)
{
    const char *from = at;

    if (moves_alike(w, row))
        return put_span(at, &w->movement);
    at = digits_signed(PUT(at, ",\"turns\":"), row->turns);
    at = digits_signed(PUT(at, ",\"holes\":"), row->holes);
    at = digits_text(PUT(at, ",\"circle\":"), w->circle);
    return end_span(&w->movement, from, PUT(at, ",\"hole\":"));
}

static char *json_second(const struct writer *w, char *at, const struct cc_row *row)
{
    if (w->job->plan.circle2 == 0)
        return PUT(at, ",\"holes2\":null,\"circle2\":null,\"hole2\":null");
    at = digits_signed(PUT(at, ",\"holes2\":"), row->holes2);
    at = digits_text(PUT(at, ",\"circle2\":"), w->circle2);
    return digits_put(PUT(at, ",\"hole2\":"), row->hole2);
}

static char *json_error(struct writer *w, char *at, const struct cc_row *row)
{
    const char *from = at;

    if (errs_alike(w, row))
        return put_span(at, &w->error);
    at = digits_fraction(PUT(at, ",\"error\":\""), row->error);
    at = put_arcsec(PUT(at, "\",\"error_arcsec\":"), row->error);
    return end_span(&w->error, from, at);
}

static char *json_label(const struct writer *w, char *at, const struct cc_row *row)
{
    char text[LABEL_SIZE];
    const char *label = label_of(w, row, text);

    return label == NULL ? PUT(at, ",\"label\":null") : PUT(digits_text(PUT(at, ",\"label\":\""), label), "\"");
}

static char *put_json(struct writer *w, char *at, const struct cc_row *row)
{
    const char *from;

    at = digits_put(PUT(at, "{\"record\":\"step\",\"step\":"), row->step);
    at = PUT(at, ",\"division\":");
    at = w->has_list ? PUT(at, "null") : digits_put(at, row->division);
    at = json_movement(w, at, row);
    at = digits_put(at, row->hole);
    at = json_second(w, at, row);
    if (cc_plan_is_direct(&w->job->plan))
        at = PUT(at, ",\"crank\":null");
    else
        at = PUT(digits_fraction(PUT(at, ",\"crank\":\""), row->crank), "\"");
    from = at = PUT(at, ",\"angle\":\"");
    at = PUT(digits_fraction(at, row->angle), "\",\"nominal\":\"");
    at = same(row->nominal, row->angle)
           ? put_again(at, from, (size_t)(at - from) - sizeof "\",\"nominal\":\"" + 1)
           : digits_fraction(at, row->nominal);
    at = put_degrees(PUT(at, "\",\"angle_deg\":"), row->angle);
    at = json_error(w, at, row);
    at = json_label(w, at, row);
    if (w->job->view.has_radius) {
        at = digits_text(at, w->job->output.unit == CC_INCH ? ",\"error_in\":" : ",\"error_mm\":");
        at = put_length(w, at, row->error);
    }
    if (!w->has_dial)
        return PUT(at, ",\"dial\":null,\"rim\":null}\n");
    at = digits_fraction(PUT(at, ",\"dial\":\""), row->dial);
    if (!w->has_rim)
        return PUT(at, "\",\"rim\":null}\n");
    return PUT(digits_fraction(PUT(at, "\",\"rim\":\""), row->rim), "\"}\n");
}

static void writer_init(struct writer *w, const struct job *job, enum format format)
{
    const struct cc_plan *plan = &job->plan;
    char comma = format == FORMAT_TSV ? '\t' : ',';

    *w = (struct writer){ .job = job, .has_dial = cc_plan_is_dial(plan) };
    w->has_list = job->request.position_count > 0;
    w->has_rim = w->has_dial && job->head.rim.lines > 0;
    mpq_init(w->exact);
    w->start_length = (size_t)snprintf(w->start, sizeof w->start, "%s%c%s%c", cc_method_name(plan->method), comma,
                                       plan->exact ? "true" : "false", comma);
    snprintf(w->circle, sizeof w->circle, "%u", plan->circle);
    if (plan->circle2 > 0)
        snprintf(w->circle2, sizeof w->circle2, "%u", plan->circle2);
    if (job->view.has_radius) {
        mpq_set_ui(w->exact, 1, 1);
        w->per_turn = error_at_radius(job, w->exact);
    }
}

bool fast_rows(FILE *out, const struct job *job, enum format format, uint64_t from, uint64_t last)
{
    const struct cc_plan *plan = &job->plan;
    char *(*put)(struct writer *, char *, const struct cc_row *) =
        format == FORMAT_JSONL ? put_json : format == FORMAT_TSV ? put_tsv : put_csv;
    static char buffer[BUFFER];     /* not on the stack, which is touched page by page when it grows */
    char *at = buffer;
    struct cc_rows *rows;
    struct cc_row row;
    struct writer w;

    /* Long counts are texts; a huge radius makes a long number. */
    if (plan->steps > MOST_COUNT || (job->view.has_radius && mpq_cmp_ui(job->view.radius, 1000000000, 1) > 0) ||
        !are_plain(&job->request) || (rows = cc_rows_new(plan, &job->request, from)) == NULL)
        return false;
    if (cc_plan_is_dial(plan) && !cc_rows_read_dial(rows, &job->head, job_forward(job, plan))) {
        cc_rows_free(rows);
        return false;
    }
    writer_init(&w, job, format);
    while (cc_rows_next(rows, &row) && row.step <= last) {
        at = put(&w, at, &row);
        w.last = row;
        w.has_last = true;
        if (at > buffer + BUFFER - MOST_ROW) {
            fwrite(buffer, 1, (size_t)(at - buffer), out);
            at = buffer;
            if (ferror(out))
                break;
        }
    }
    fwrite(buffer, 1, (size_t)(at - buffer), out);
    cc_rows_free(rows);
    mpq_clear(w.exact);
    return true;
}
