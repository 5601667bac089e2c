/*
 * plan_records.c: the machine formats of plans and steps. docs/output.md is the contract: names, order and
 * meaning change only with the major version.
 */
#include "cli/out/plan_records.h"

#include <math.h>

#include "crankcard/number.h"
#include "cli/ask/output.h"
#include "cli/out/csv.h"
#include "cli/out/fast_rows.h"
#include "cli/out/json.h"
#include "cli/out/words.h"

/* ---- plan ---- */

static void put_plate(struct json *j, const struct job *job, const struct cc_plan *plan)
{
    if (cc_plan_is_direct(plan)) {
        json_null(j, "plate");
        json_null(j, "side");
    } else {
        json_string(j, "plate", job->head.plates[plan->plate].name);
        json_number(j, "side", plan->side);
    }
    json_number(j, "circle", plan->circle);
}

static void put_circle2(struct json *j, const char *key, const struct cc_plan *plan)
{
    if (plan->circle2 == 0)
        json_null(j, key);
    else
        json_number(j, key, plan->circle2);
}

static void put_movement(struct json *j, const struct job *job, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;

    if (!cc_plan_movement(&turns, &holes, &holes2, plan)) {
        json_null(j, "movement");
        return;
    }
    json_open_object(j, "movement");
    put_plate(j, job, plan);
    json_number(j, "turns", turns);
    json_number(j, "holes", holes);
    put_circle2(j, "circle2", plan);
    if (plan->circle2 == 0)
        json_null(j, "holes2");
    else
        json_number(j, "holes2", holes2);
    json_close_object(j);
}

static void put_gearing(struct json *j, const struct cc_plan *plan)
{
    if (plan->train.pairs == 0) {
        json_null(j, "gearing");
        return;
    }
    json_open_object(j, "gearing");
    json_open_array(j, "drivers");
    for (unsigned i = 0; i < plan->train.pairs; i++)
        json_number(j, NULL, plan->train.driver[i]);
    json_close_array(j);
    json_open_array(j, "driven");
    for (unsigned i = 0; i < plan->train.pairs; i++)
        json_number(j, NULL, plan->train.driven[i]);
    json_close_array(j);
    json_number(j, "idlers", plan->train.idlers);
    json_rational(j, "ratio", plan->plate_turns);
    if (plan->train.idlers > 0)
        json_number(j, "idlers_in", plan->train.pairs - plan->train.idlers_back);
    else
        json_null(j, "idlers_in");
    json_close_object(j);
}

static void put_whole(struct json *j, const char *key, uint64_t value)
{
    mpz_t n;

    mpz_init(n);
    cc_set_u64(n, value);
    json_count(j, key, n);
    mpz_clear(n);
}

static void put_step_size(struct json *j, const struct job *job, const struct cc_plan *plan)
{
    mpq_t first, second;

    if (job->request.position_count > 0) {
        json_null(j, "step");
        return;
    }
    mpq_init(first);
    mpq_init(second);
    cc_request_nominal(first, &job->request, plan->block, 0);
    cc_request_nominal(second, &job->request, plan->block, 1);
    mpq_sub(second, second, first);
    json_rational(j, "step", second);
    mpq_clear(second);
    mpq_clear(first);
}

/* "57" as a string, whatever its size. */
static void put_divisions(struct json *j, const struct job *job)
{
    mpq_t n;

    if (job->request.position_count > 0) {
        json_null(j, "divisions");
        json_null(j, "arc");
        return;
    }
    mpq_init(n);
    mpq_set_z(n, job->request.divisions);
    json_rational(j, "divisions", n);
    json_rational(j, "arc", job->request.arc);
    mpq_clear(n);
}

static void put_searched(struct json *j, const struct cc_answer *answer)
{
    if (answer->exact == CC_UNPROVED)
        json_null(j, "exact_exists");
    else
        json_bool(j, "exact_exists", answer->exact == CC_EXISTS);
    json_open_object(j, "searched");
    put_whole(j, "circles", answer->searched.circles);
    put_whole(j, "pairs", answer->searched.pairs);
    put_whole(j, "trains", answer->searched.trains);
    put_whole(j, "unfit", answer->searched.unfit);
    json_close_object(j);
}

static void put_way(struct json *j, const char *key, enum cc_way way)
{
    json_string(j, key, way == CC_WAY_UNKNOWN ? NULL : way == CC_CLOCKWISE ? "clockwise" : "counter");
}

void write_plan_record(FILE *out, const struct job *job, const struct cc_plan *plan)
{
    struct json json, *j = &json;
    mpq_t tmp;

    mpq_init(tmp);
    json_open(j, out);
    json_string(j, "record", "plan");
    json_number(j, "schema", 1);
    json_string(j, "command", job->command);
    json_string(j, "head", job->head.title);
    put_divisions(j, job);
    cc_set_u64(mpq_numref(tmp), plan->block);
    json_rational(j, "block", tmp);
    if (job->head.has_worm)
        json_rational(j, "worm", job->head.worm);
    else
        json_null(j, "worm");
    json_string(j, "method", cc_method_name(plan->method));
    json_bool(j, "exact", plan->exact);
    json_bool(j, "within_tolerance", plan->within);
    cc_request_tolerance(tmp, &job->request, &job->head);
    json_arcsec(j, "tolerance_arcsec", tmp);
    put_movement(j, job, plan);
    put_gearing(j, plan);
    put_step_size(j, job, plan);
    json_arcsec(j, "worst_error_arcsec", plan->worst_error);
    json_arcsec(j, "closing_error_arcsec", plan->has_closing ? plan->closing_error : NULL);
    put_whole(j, "steps", plan->steps);
    json_rational(j, "offset", job->request.offset);
    json_arcsec(j, "worst_pitch_arcsec", plan->worst_pitch);
    json_arcsec(j, "head_holds_arcsec", cc_plan_holds(plan, &job->head));
    put_searched(j, &job->answer);
    if (job->request.position_count > 0)
        put_whole(j, "positions", job->request.position_count);
    else
        json_null(j, "positions");
    json_open_object(j, "setting");
    put_plate(j, job, plan);
    put_circle2(j, "circle2", plan);
    json_close_object(j);
    json_rational(j, "crank_turns", plan->travel);
    put_way(j, "forward", job_forward(job, plan));
    put_way(j, "grow", job_grow(job, plan));
    put_whole(j, "time_s", cc_plan_seconds(plan->time));
    put_whole(j, "effort_s", cc_plan_seconds(plan->effort));
    json_close(j);
    mpq_clear(tmp);
}

/* ---- steps as JSON Lines ---- */

static void write_step_record(FILE *out, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    struct json json, *j = &json;
    char label[LABEL_SIZE];

    json_open(j, out);
    json_string(j, "record", "step");
    put_whole(j, "step", step->step);
    if (job->request.position_count > 0)
        json_null(j, "division");
    else
        put_whole(j, "division", step->division);
    json_number(j, "turns", step->turns);
    json_number(j, "holes", step->holes);
    json_number(j, "circle", plan->circle);
    put_whole(j, "hole", step->hole);
    if (plan->circle2 == 0) {
        json_null(j, "holes2");
        json_null(j, "circle2");
        json_null(j, "hole2");
    } else {
        json_number(j, "holes2", step->holes2);
        json_number(j, "circle2", plan->circle2);
        put_whole(j, "hole2", step->hole2);
    }
    if (cc_plan_is_direct(plan))
        json_null(j, "crank");
    else
        json_rational(j, "crank", step->crank);
    json_rational(j, "angle", step->angle);
    json_rational(j, "nominal", step->nominal);
    json_degrees(j, "angle_deg", step->angle);
    json_rational(j, "error", step->error);
    json_arcsec(j, "error_arcsec", step->error);
    json_string(j, "label", job_label(job, step, label, sizeof label));
    if (job->view.has_radius)
        json_double(j, job->output.unit == CC_INCH ? "error_in" : "error_mm",
                    error_at_radius(job, step->error), 6);
    json_close(j);
}

void write_step_records(FILE *out, const struct job *job, uint64_t first, uint64_t last)
{
    struct cc_cursor cursor;
    struct cc_step step;

    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, first);
    while (cc_cursor_next(&cursor, &step) && step.step <= last && !ferror(out)) {
        write_step_record(out, job, &step);
        if (step.step == first && fast_rows(out, job, FORMAT_JSONL, first + 1, last))
            break;
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}

/* ---- steps as rows ---- */

#define STEP_HEADER "method,exact,step,division,label,turns,holes,circle,hole,holes2,circle2,hole2,crank/,angle/,nominal/,angle_deg,error/,error_arcsec,"

/* The error at the radius, as json_double writes it; empty without a radius, or beyond what a double holds. */
static void length_field(struct csv *csv, const struct job *job, const mpq_t error)
{
    char text[400];
    double length = job->view.has_radius ? error_at_radius(job, error) : NAN;

    if (isfinite(length))
        json_double_str(text, sizeof text, length, 6);
    csv_digits(csv, isfinite(length) ? text : NULL);
}

static void write_step_row(struct csv *csv, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    char label[LABEL_SIZE];

    csv_field(csv, cc_method_name(plan->method));
    csv_bool(csv, plan->exact);
    csv_number(csv, (long long)step->step);
    if (job->request.position_count > 0)
        csv_field(csv, NULL);
    else
        csv_number(csv, (long long)step->division);
    csv_field(csv, job_label(job, step, label, sizeof label));
    csv_number(csv, step->turns);
    csv_number(csv, step->holes);
    csv_number(csv, plan->circle);
    csv_number(csv, (long long)step->hole);
    if (plan->circle2 > 0) {
        csv_number(csv, step->holes2);
        csv_number(csv, plan->circle2);
        csv_number(csv, (long long)step->hole2);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
    csv_rational(csv, cc_plan_is_direct(plan) ? NULL : step->crank);
    csv_rational(csv, step->angle);
    csv_rational(csv, step->nominal);
    csv_degrees(csv, step->angle);
    csv_rational(csv, step->error);
    csv_arcsec(csv, step->error);
    length_field(csv, job, step->error);
    csv_end_row(csv);
}

void write_step_rows(FILE *out, const struct job *job, uint64_t first, uint64_t last, bool tabs)
{
    struct cc_cursor cursor;
    struct cc_step step;
    struct csv csv;

    csv_init(&csv, out, tabs);
    csv_header(&csv, job->output.unit == CC_INCH ? STEP_HEADER "error_in" : STEP_HEADER "error_mm");
    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, first);
    while (!job->view.no_steps && cc_cursor_next(&cursor, &step) && step.step <= last && !ferror(out)) {
        write_step_row(&csv, job, &step);
        if (step.step == first && fast_rows(out, job, tabs ? FORMAT_TSV : FORMAT_CSV, first + 1, last))
            break;
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
}
