/* recovery_record.c: the places that fit, for programs. */

#include <stdio.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/ask/output.h"
#include "cli/job/job.h"
#include "cli/keep/recovery.h"
#include "cli/out/csv.h"
#include "cli/out/json.h"

static void put_count(struct json *j, const char *key, uint64_t value)
{
    mpz_t n;

    mpz_init(n);
    cc_set_u64(n, value);
    json_count(j, key, n);
    mpz_clear(n);
}

static void put_record(FILE *out, const struct recovery *r, size_t i, const struct cc_step *here,
                       const struct cc_step *next)
{
    const struct cc_plan *plan = &r->job.plan;
    const struct cc_place *place = &r->places.at[i];
    bool second = plan->circle2 > 0;
    struct json json, *j = &json;
    char label[LABEL_SIZE];
    mpq_t value;

    mpq_init(value);
    json_open(j, out);
    json_string(j, "record", "candidate");
    json_number(j, "schema", 1);
    json_string(j, "command", "recover");
    put_count(j, "place", i + 1);
    put_count(j, "fits", r->places.total);
    json_bool(j, "between", r->between);
    put_count(j, "step", here->step);
    put_count(j, "division", here->division);
    json_string(j, "label", job_label(&r->job, here, label, sizeof label));
    put_count(j, "hole", r->between ? r->seen.hole : here->hole);
    second ? put_count(j, "hole2", here->hole2) : json_null(j, "hole2");
    json_rational(j, "angle", here->angle);
    cc_angle_degrees(value, here->angle);
    json_decimal(j, "angle_deg", value, 9);
    if (r->seen.has_reading) {
        json_rational(j, "off", place->off);
        cc_angle_arcsec(value, place->off);
        json_decimal(j, "off_arcsec", value, 3);
    } else {
        json_null(j, "off");
        json_null(j, "off_arcsec");
    }
    json_number(j, "circle", plan->circle);
    second ? json_number(j, "circle2", plan->circle2) : json_null(j, "circle2");
    if (next == NULL) {
        static const char *const keys[] = { "next_step", "turns", "holes", "holes2", "next_hole", "next_hole2" };
        for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++)
            json_null(j, keys[k]);
    } else {
        put_count(j, "next_step", next->step);
        json_number(j, "turns", next->turns);
        json_number(j, "holes", next->holes);
        second ? json_number(j, "holes2", next->holes2) : json_null(j, "holes2");
        put_count(j, "next_hole", next->hole);
        second ? put_count(j, "next_hole2", next->hole2) : json_null(j, "next_hole2");
    }
    json_close(j);
    mpq_clear(value);
}

#define CANDIDATE_HEADER \
    "place,fits,between,step,division,label,hole,hole2,angle/,angle_deg,off/,off_arcsec,circle,circle2,next_step," \
    "turns,holes,holes2,next_hole,next_hole2"

static void field_number(struct csv *csv, bool present, long long value)
{
    if (present)
        csv_number(csv, value);
    else
        csv_field(csv, NULL);
}

static void put_row(struct csv *csv, const struct recovery *r, size_t i, const struct cc_step *here,
                    const struct cc_step *next)
{
    const struct cc_plan *plan = &r->job.plan;
    const struct cc_place *place = &r->places.at[i];
    bool second = plan->circle2 > 0, more = next != NULL, read = r->seen.has_reading;
    char label[LABEL_SIZE];

    field_number(csv, true, (long long)i + 1);
    field_number(csv, true, (long long)r->places.total);
    csv_field(csv, r->between ? "true" : "false");
    field_number(csv, true, (long long)here->step);
    field_number(csv, true, (long long)here->division);
    csv_field(csv, job_label(&r->job, here, label, sizeof label));
    field_number(csv, true, (long long)(r->between ? r->seen.hole : here->hole));
    field_number(csv, second, (long long)here->hole2);
    csv_rational(csv, here->angle);
    csv_degrees(csv, here->angle);
    csv_rational(csv, read ? place->off : NULL);
    if (read)
        csv_arcsec(csv, place->off);
    else
        csv_field(csv, NULL);
    field_number(csv, true, plan->circle);
    field_number(csv, second, plan->circle2);
    field_number(csv, more, more ? (long long)next->step : 0);
    field_number(csv, more, more ? next->turns : 0);
    field_number(csv, more, more ? next->holes : 0);
    field_number(csv, more && second, more ? next->holes2 : 0);
    field_number(csv, more, more ? (long long)next->hole : 0);
    field_number(csv, more && second, more ? (long long)next->hole2 : 0);
    csv_end_row(csv);
}

void recovery_records(FILE *out, const struct recovery *r)
{
    struct cc_step here, next;
    struct csv csv;
    bool json = r->job.output.format == FORMAT_JSONL;

    csv_init(&csv, out, r->job.output.format == FORMAT_TSV);
    if (!json)
        csv_header(&csv, CANDIDATE_HEADER);
    cc_step_init(&here);
    cc_step_init(&next);
    for (size_t i = 0; i < r->places.n && i < r->most && !ferror(out); i++) {
        bool more = recovery_rows(&here, &next, r, i);
        if (json)
            put_record(out, r, i, &here, more ? &next : NULL);
        else
            put_row(&csv, r, i, &here, more ? &next : NULL);
    }
    cc_step_clear(&next);
    cc_step_clear(&here);
}
