/*
 * plan_records.c: the machine formats of plans and steps. docs/output.md is the contract: names, order and
 * meaning change only with the major version.
 */
#include "cli/out/plan_records.h"

#include "cli/ask/output.h"
#include "cli/out/fast_rows.h"
#include "cli/out/words.h"

/* ---- plan ---- */

/* The columns of methods and table. */
#define PLAN_COLUMNS \
    "divisions,method,exact,within_tolerance,block,setting.plate,setting.side,setting.circle,movement.turns,movement.holes,"  \
    "setting.circle2,movement.holes2,gearing.drivers,gearing.driven,gearing.idlers,worst_error_arcsec,worst_pitch_arcsec,"    \
    "closing_error_arcsec,crank_turns/,steps,gearing.idlers_in,time_s,effort_s"

static void put_plate(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    bool direct = cc_plan_is_direct(plan);

    record_string(r, "plate", direct ? NULL : job->head.plates[plan->plate].name);
    record_number_if(r, !direct, "side", plan->side);
    record_number(r, "circle", plan->circle);
}

static void put_circle2(struct record *r, const struct cc_plan *plan)
{
    record_number_if(r, plan->circle2 != 0, "circle2", plan->circle2);
}

static void put_movement(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;

    if (!cc_plan_movement(&turns, &holes, &holes2, plan)) {
        record_null(r, "movement");
        return;
    }
    record_object(r, "movement");
    put_plate(r, job, plan);
    record_number(r, "turns", turns);
    record_number(r, "holes", holes);
    put_circle2(r, plan);
    record_number_if(r, plan->circle2 != 0, "holes2", holes2);
    record_object_end(r);
}

void record_train(struct record *r, const struct cc_train *train)
{
    record_counts(r, "drivers", train->driver, train->pairs);
    record_counts(r, "driven", train->driven, train->pairs);
    record_number(r, "idlers", train->idlers);
}

static void put_gearing(struct record *r, const struct cc_plan *plan)
{
    if (plan->train.pairs == 0) {
        record_null(r, "gearing");
        return;
    }
    record_object(r, "gearing");
    record_train(r, &plan->train);
    record_rational(r, "ratio", plan->plate_turns);
    record_number_if(r, plan->train.idlers > 0, "idlers_in", plan->train.pairs - plan->train.idlers_back);
    record_object_end(r);
}

static void put_step_size(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    mpq_t first, second;

    if (job->request.position_count > 0) {
        record_null(r, "step");
        return;
    }
    mpq_init(first);
    mpq_init(second);
    cc_request_nominal(first, &job->request, plan->block, 0);
    cc_request_nominal(second, &job->request, plan->block, 1);
    mpq_sub(second, second, first);
    record_rational(r, "step", second);
    mpq_clear(second);
    mpq_clear(first);
}

static void put_divisions(struct record *r, const struct job *job)
{
    if (job->request.position_count > 0)
        record_null(r, "divisions");
    else
        record_whole(r, "divisions", job->request.divisions);
    record_rational(r, "arc", job->request.position_count > 0 ? NULL : job->request.arc);
}

static void put_searched(struct record *r, const struct cc_answer *answer)
{
    record_bool_if(r, answer->exact != CC_UNPROVED, "exact_exists", answer->exact == CC_EXISTS);
    record_object(r, "searched");
    record_count(r, "circles", answer->searched.circles);
    record_count(r, "pairs", answer->searched.pairs);
    record_count(r, "trains", answer->searched.trains);
    record_count(r, "unfit", answer->searched.unfit);
    record_object_end(r);
}

static void put_way(struct record *r, const char *key, enum cc_way way)
{
    record_string(r, key, way == CC_WAY_UNKNOWN ? NULL : way == CC_CLOCKWISE ? "clockwise" : "counter");
}

void plan_records_init(struct record *r, FILE *out, const struct job *job)
{
    record_init(r, out, &job->output, PLAN_COLUMNS);
}

void write_plan_record(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    mpq_t tolerance;

    mpq_init(tolerance);
    record_lead(r, "plan", job->command);
    record_string(r, "head", job->head.title);
    put_divisions(r, job);
    record_whole_if(r, true, "block", plan->block);
    record_rational(r, "worm", job->head.has_worm ? job->head.worm : NULL);
    record_string(r, "method", cc_method_name(plan->method));
    record_bool(r, "exact", plan->exact);
    record_bool(r, "within_tolerance", plan->within);
    cc_request_tolerance(tolerance, &job->request, &job->head);
    record_arcsec(r, "tolerance_arcsec", tolerance);
    put_movement(r, job, plan);
    put_gearing(r, plan);
    put_step_size(r, job, plan);
    record_arcsec(r, "worst_error_arcsec", plan->worst_error);
    record_arcsec(r, "closing_error_arcsec", plan->has_closing ? plan->closing_error : NULL);
    record_count(r, "steps", plan->steps);
    record_rational(r, "offset", job->request.offset);
    record_arcsec(r, "worst_pitch_arcsec", plan->worst_pitch);
    record_arcsec(r, "head_holds_arcsec", cc_plan_holds(plan, &job->head));
    put_searched(r, &job->answer);
    record_count_if(r, job->request.position_count > 0, "positions", job->request.position_count);
    record_object(r, "setting");
    put_plate(r, job, plan);
    put_circle2(r, plan);
    record_object_end(r);
    record_rational(r, "crank_turns", plan->travel);
    put_way(r, "forward", job_forward(job, plan));
    put_way(r, "grow", job_grow(job, plan));
    record_count(r, "time_s", cc_plan_seconds(plan->time));
    record_count(r, "effort_s", cc_plan_seconds(plan->effort));
    record_end(r);
    mpq_clear(tolerance);
}

/* ---- steps ---- */

#define STEP_COLUMNS \
    "method,exact,step,division,label,turns,holes,circle,hole,holes2,circle2,hole2,crank/,angle/,nominal/,angle_deg,error/," \
    "error_arcsec,"

static void write_step_record(struct record *r, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    bool second = plan->circle2 > 0;
    char label[LABEL_SIZE];

    record_begin(r, "step");
    if (r->table) {
        record_string(r, "method", cc_method_name(plan->method));
        record_bool(r, "exact", plan->exact);
    }
    record_count(r, "step", step->step);
    record_count_if(r, job->request.position_count == 0, "division", step->division);
    record_number(r, "turns", step->turns);
    record_number(r, "holes", step->holes);
    record_number(r, "circle", plan->circle);
    record_count(r, "hole", step->hole);
    record_number_if(r, second, "holes2", step->holes2);
    put_circle2(r, plan);
    record_count_if(r, second, "hole2", step->hole2);
    record_rational(r, "crank", cc_plan_is_direct(plan) ? NULL : step->crank);
    record_rational(r, "angle", step->angle);
    record_rational(r, "nominal", step->nominal);
    record_degrees(r, "angle_deg", step->angle);
    record_rational(r, "error", step->error);
    record_arcsec(r, "error_arcsec", step->error);
    record_string(r, "label", job_label(job, step, label, sizeof label));
    if (job->view.has_radius)
        record_measured(r, job->output.unit == CC_INCH ? "error_in" : "error_mm", error_at_radius(job, step->error), 6);
    record_end(r);
}

void write_step_records(FILE *out, const struct job *job, uint64_t first, uint64_t last)
{
    struct cc_cursor cursor;
    struct cc_step step;
    struct record record;

    record_init(&record, out, &job->output,
                job->output.unit == CC_INCH ? STEP_COLUMNS "error_in" : STEP_COLUMNS "error_mm");
    cc_step_init(&step);
    cc_cursor_init(&cursor, &job->plan, &job->request);
    cc_cursor_seek(&cursor, first);
    while (!job->view.no_steps && cc_cursor_next(&cursor, &step) && step.step <= last && !ferror(out)) {
        write_step_record(&record, job, &step);
        if (step.step == first && fast_rows(out, job, job->output.format, first + 1, last))
            break;
    }
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    record_clear(&record);
}
