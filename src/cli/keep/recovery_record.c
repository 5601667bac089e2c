/* recovery_record.c: the places that fit, and the slips, for programs. */

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

static const struct field slip_fields[] = {
    ANSWER_FIELDS("slip"),
    FIELD("place", COUNT, "1, 2, ... the likeliest first"),
    FIELD("fits", COUNT, "how many fit in all; --most limits how many are written, 10 unless told"),
    FIELD("cut_short", BOOLEAN, "true: not all could be looked for"),
    FIELD("slip", TEXT, "what slipped: the table above"),
    FIELD("by", NUMBER, "how much and which way: the table above"),
    FIELD("step", COUNT, "the step that you take yourself to be at; null where the plate moved and nothing tells"),
    FIELD("first", COUNT, "it happened at one of the movements from the one to this step on"),
    FIELD("last", COUNT, "and up to this one; not-cut: at one of these steps"),
    FIELD("ways", COUNT, "at how many of them it can have happened"),
    FIELD("odds", COUNT, "in 10 000, assumed, of one such movement; times ways"),
    FIELD("circle", NUMBER, "holes of the circle that the pin stands in"),
    FIELD("shift", REVOLUTIONS, "how far the spindle, and a cut of the step, stands further on than where it belongs; null where nobody knows"),
    FIELD("shift_arcsec", ARCSEC, "the same"),
    FIELD("off", REVOLUTIONS, "reading less where the slip leaves the spindle; null without a reading"),
    FIELD("off_arcsec", ARCSEC, "the same"),
    FIELD("turns", NUMBER, "the way back to where the step belongs: turns; null of circle and where nobody knows"),
    FIELD("holes", NUMBER, "and holes of the plan's circle"),
    FIELD("holes2", NUMBER, "and the second part of it"),
    FIELD("back", TURNS, "the same in crank turns, direct: in turns of the spindle"),
    FIELD("hole", COUNT, "where the pin belongs at the step"),
    FIELD("hole2", COUNT, "and the second pin"),
    FIELDS_END
};
const struct form slip_form = { .name = "slip", .fields = slip_fields, .columns = OWN_COLUMNS };

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

static void put_candidates(struct record *record, const struct recovery *q)
{
    struct cc_step here, next;

    cc_step_init(&here);
    cc_step_init(&next);
    for (size_t i = 0; i < q->places.n && i < q->most && !ferror(record->out); i++) {
        bool more = recovery_rows(&here, &next, q, i);
        put_candidate(record, q, i, &here);
        put_next(record, &next, more, q->job.plan.circle2 > 0);
        record_end(record);
    }
    cc_step_clear(&next);
    cc_step_clear(&here);
}

static void put_slip(struct record *r, const struct recovery *q, size_t i)
{
    const struct cc_hand_slip *slip = &q->slips.at[i];
    bool holes = slip->has_shift && slip->kind != CC_SLIP_CIRCLE, second = q->job.plan.circle2 > 0;
    mpq_srcptr shift = slip->has_shift ? slip->shift : NULL, off = q->seen.has_reading && slip->has_row ? slip->off : NULL;

    record_begin(r, &slip_form, "recover");
    record_count(r, "place", i + 1);
    record_count(r, "fits", q->slips.total);
    record_bool(r, "cut_short", q->slips.cut_short);
    record_string(r, "slip", cc_hand_slip_name(slip->kind));
    record_number(r, "by", slip->by);
    record_count_if(r, slip->has_row, "step", slip->row);
    record_count(r, "first", slip->first);
    record_count(r, "last", slip->last);
    record_count(r, "ways", slip->ways);
    record_count(r, "odds", slip->odds);
    record_number(r, "circle", slip->circle);
    record_rational(r, "shift", shift);
    record_arcsec(r, "shift_arcsec", shift);
    record_rational(r, "off", off);
    record_arcsec(r, "off_arcsec", off);
    record_number_if(r, holes, "turns", slip->pin / (int64_t)q->job.plan.circle);
    record_number_if(r, holes, "holes", slip->pin % (int64_t)q->job.plan.circle);
    record_number_if(r, holes && second, "holes2", slip->plate);
    record_rational(r, "back", slip->has_shift ? slip->back : NULL);
    record_count_if(r, slip->has_row, "hole", slip->hole);
    record_count_if(r, slip->has_row && second, "hole2", slip->hole2);
    record_end(r);
}

void recovery_records(FILE *out, const struct recovery *q)
{
    struct record record;

    record_init(&record, out, &q->job.output, q->all_slips ? &slip_form : &candidate_form);
    if (!record.table || !q->all_slips)
        put_candidates(&record, q);
    for (size_t i = 0; q->all_slips && i < q->slips.n && !ferror(out); i++)
        put_slip(&record, q, i);
    record_clear(&record);
}
