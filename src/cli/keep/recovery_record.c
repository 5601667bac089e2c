/* recovery_record.c: the places that fit, for programs. */

#include <stdio.h>

#include "cli/job/job.h"
#include "cli/keep/recovery.h"
#include "cli/out/record.h"

static const struct field candidate_fields[] = {
    ANSWER_FIELDS("candidate"),
    FIELD("place", COUNT, "1, 2, ... the most likely first"),
    FIELD("fits", COUNT, "how many fit in all; --most limits how many are written, 10 unless told"),
    FIELD("between", BOOLEAN, "true: within the movement to next_step, and the fields up to angle_deg are of the row before, hole apart"),
    FIELD("step", COUNT, "the row that stands"),
    FIELD("division", COUNT, "of that row"),
    FIELD("label", TEXT, "of that row"),
    FIELD("hole", COUNT, "where the pin is"),
    FIELD("hole2", COUNT, "where the second pin is; null where there is one"),
    FIELD("angle", REVOLUTIONS, "of the row"),
    FIELD("angle_deg", DEGREES, "the same"),
    FIELD("off", REVOLUTIONS, "reading less place, above -1/2 and at most 1/2; null without a reading"),
    FIELD("off_arcsec", ARCSEC, "the same"),
    FIELD("circle", NUMBER, "holes of the plan's circle"),
    FIELD("circle2", NUMBER, "and of its second; else null"),
    FIELD("next_step", COUNT, "the next row; null after the last, like all that follows"),
    FIELD("turns", NUMBER, "the movement to it: turns"),
    FIELD("holes", NUMBER, "and holes"),
    FIELD("holes2", NUMBER, "and the second part of it"),
    FIELD("next_hole", COUNT, "where it lands"),
    FIELD("next_hole2", COUNT, "and the second pin"),
    FIELDS_END
};
const struct form candidate_form = { .name = "candidate", .fields = candidate_fields, .columns = OWN_COLUMNS };

/* The row after the one that stands, or nulls. */
static void put_next(struct record *r, const struct cc_step *next, bool more, bool second)
{
    record_count_if(r, more, "next_step", next->step);
    record_number_if(r, more, "turns", next->turns);
    record_number_if(r, more, "holes", next->holes);
    record_number_if(r, more && second, "holes2", next->holes2);
    record_count_if(r, more, "next_hole", next->hole);
    record_count_if(r, more && second, "next_hole2", next->hole2);
}

static void put_candidate(struct record *r, const struct recovery *q, size_t i, const struct cc_step *here)
{
    const struct cc_plan *plan = &q->job.plan;
    mpq_srcptr off = q->seen.has_reading ? q->places.at[i].off : NULL;
    bool second = plan->circle2 > 0;
    char label[LABEL_SIZE];

    record_begin(r, &candidate_form, "recover");
    record_count(r, "place", i + 1);
    record_count(r, "fits", q->places.total);
    record_bool(r, "between", q->between);
    record_count(r, "step", here->step);
    record_count(r, "division", here->division);
    record_string(r, "label", job_label(&q->job, here, label, sizeof label));
    record_count(r, "hole", q->between ? q->seen.hole : here->hole);
    record_count_if(r, second, "hole2", here->hole2);
    record_rational(r, "angle", here->angle);
    record_degrees(r, "angle_deg", here->angle);
    record_rational(r, "off", off);
    record_arcsec(r, "off_arcsec", off);
    record_number(r, "circle", plan->circle);
    record_number_if(r, second, "circle2", plan->circle2);
}

void recovery_records(FILE *out, const struct recovery *q)
{
    struct cc_step here, next;
    struct record record;

    record_init(&record, out, &q->job.output, &candidate_form);
    cc_step_init(&here);
    cc_step_init(&next);
    for (size_t i = 0; i < q->places.n && i < q->most && !ferror(out); i++) {
        bool more = recovery_rows(&here, &next, q, i);
        put_candidate(&record, q, i, &here);
        put_next(&record, &next, more, q->job.plan.circle2 > 0);
        record_end(&record);
    }
    cc_step_clear(&next);
    cc_step_clear(&here);
    record_clear(&record);
}
