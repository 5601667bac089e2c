/* plan_rows.c: see plan_rows.h; docs/output.md lists the columns. */
#include "cli/plan_rows.h"

#include <inttypes.h>
#include <stdarg.h>

#define PLAN_HEADER \
    "divisions,method,exact,within_tolerance,block,plate,side,circle,turns,holes,circle2,holes2,drivers,driven,idlers,"  \
    "worst_error_arcsec,worst_pitch_arcsec,closing_error_arcsec,crank_turns,steps"

void plan_rows_begin(struct plan_rows *rows, FILE *out, bool tabs)
{
    csv_init(&rows->csv, out, tabs);
    csv_header(&rows->csv, PLAN_HEADER);
}

CC_PRINTF(2, 3)
static void field(struct csv *csv, const char *format, ...)
{
    char text[128];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    csv_field(csv, text);
}

static void teeth_field(struct csv *csv, const unsigned *teeth, unsigned count)
{
    char text[64] = "";
    size_t used = 0;

    for (unsigned i = 0; i < count; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%u", i > 0 ? " " : "", teeth[i]);
    csv_field(csv, text);
}

static void arcsec_field(struct csv *csv, const mpq_t revolutions)
{
    char text[128];
    mpq_t arcsec;

    mpq_init(arcsec);
    cc_angle_arcsec(arcsec, revolutions);
    cc_decimal_short_str(text, sizeof text, arcsec, 3);
    csv_field(csv, text);
    mpq_clear(arcsec);
}

static void movement_fields(struct csv *csv, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;

    field(csv, "%u", plan->circle);
    if (!cc_plan_movement(&turns, &holes, &holes2, plan)) {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
        if (plan->circle2 != 0)
            field(csv, "%u", plan->circle2);
        else
            csv_field(csv, NULL);
        csv_field(csv, NULL);
        return;
    }
    field(csv, "%" PRId64, turns);
    field(csv, "%" PRId64, holes);
    if (plan->circle2 != 0) {
        field(csv, "%u", plan->circle2);
        field(csv, "%" PRId64, holes2);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
}

void plan_rows_add(struct plan_rows *rows, const struct job *job, const struct cc_plan *plan)
{
    struct csv *csv = &rows->csv;
    char text[128];

    if (job->request.position_count > 0)
        csv_field(csv, NULL);
    else
        field(csv, "%" PRIu64, plan->steps);
    csv_field(csv, cc_method_name(plan->method));
    csv_field(csv, plan->exact ? "true" : "false");
    csv_field(csv, plan->within ? "true" : "false");
    field(csv, "%" PRIu64, plan->block);
    if (plan->side == 0) {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    } else {
        csv_field(csv, job->head.plates[plan->plate].name);
        field(csv, "%u", plan->side);
    }
    movement_fields(csv, plan);
    if (plan->train.pairs > 0) {
        teeth_field(csv, plan->train.driver, plan->train.pairs);
        teeth_field(csv, plan->train.driven, plan->train.pairs);
        field(csv, "%u", plan->train.idlers);
    } else {
        csv_field(csv, NULL);
        csv_field(csv, NULL);
        csv_field(csv, NULL);
    }
    arcsec_field(csv, plan->worst_error);
    arcsec_field(csv, plan->worst_pitch);
    if (plan->has_closing)
        arcsec_field(csv, plan->closing_error);
    else
        csv_field(csv, NULL);
    cc_rational_str(text, sizeof text, plan->travel);
    csv_field(csv, text);
    field(csv, "%" PRIu64, plan->steps);
    csv_end_row(csv);
}
