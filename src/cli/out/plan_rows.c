/* plan_rows.c: see plan_rows.h; docs/output.md lists the columns. */
#include "cli/out/plan_rows.h"

#define PLAN_HEADER \
    "divisions,method,exact,within_tolerance,block,plate,side,circle,turns,holes,circle2,holes2,drivers,driven,idlers,"  \
    "worst_error_arcsec,worst_pitch_arcsec,closing_error_arcsec,crank_turns/,steps,idlers_in,time_s,effort_s"

void plan_rows_begin(struct plan_rows *rows, FILE *out, bool tabs)
{
    csv_init(&rows->csv, out, tabs);
    csv_header(&rows->csv, PLAN_HEADER);
}

static void movement_fields(struct csv *csv, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;

    csv_number(csv, plan->circle);
    if (!cc_plan_movement(&turns, &holes, &holes2, plan)) {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
        if (plan->circle2 != 0)
            csv_number(csv, plan->circle2);
        else
            csv_field(csv, NULL);
        csv_field(csv, NULL);
        return;
    }
    csv_number(csv, turns);
    csv_number(csv, holes);
    if (plan->circle2 != 0) {
        csv_number(csv, plan->circle2);
        csv_number(csv, holes2);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
}

void plan_rows_add(struct plan_rows *rows, const struct job *job, const struct cc_plan *plan)
{
    struct csv *csv = &rows->csv;

    if (job->request.position_count > 0)
        csv_field(csv, NULL);
    else
        csv_number(csv, (long long)plan->steps);
    csv_field(csv, cc_method_name(plan->method));
    csv_bool(csv, plan->exact);
    csv_bool(csv, plan->within);
    csv_number(csv, (long long)plan->block);
    if (cc_plan_is_direct(plan)) {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    } else {
        csv_field(csv, job->head.plates[plan->plate].name);
        csv_number(csv, plan->side);
    }
    movement_fields(csv, plan);
    if (plan->train.pairs > 0) {
        csv_counts(csv, plan->train.driver, plan->train.pairs);
        csv_counts(csv, plan->train.driven, plan->train.pairs);
        csv_number(csv, plan->train.idlers);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
    csv_arcsec(csv, plan->worst_error);
    csv_arcsec(csv, plan->worst_pitch);
    if (plan->has_closing)
        csv_arcsec(csv, plan->closing_error);
    else
        csv_field(csv, NULL);
    csv_rational(csv, plan->travel);
    csv_number(csv, (long long)plan->steps);
    if (plan->train.idlers > 0)
        csv_number(csv, plan->train.pairs - plan->train.idlers_back);
    else
        csv_field(csv, NULL);
    csv_number(csv, (long long)cc_plan_seconds(plan->time));
    csv_number(csv, (long long)cc_plan_seconds(plan->effort));
    csv_end_row(csv);
}
