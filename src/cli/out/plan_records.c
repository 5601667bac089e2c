/*
 * plan_records.c: the machine formats of plans and steps. docs/output.md is the contract: names, order and
 * meaning change only with the major version.
 */
#include "cli/out/gears.h"
#include "cli/out/plan_records.h"

#include "crankcard/dial.h"
#include "cli/ask/output.h"
#include "cli/out/fast_plan.h"
#include "cli/out/fast_rows.h"
#include "cli/out/words.h"

/* ---- plan ---- */

#define SETTING_FIELDS \
    FIELD("plate", TEXT, "its name; null for direct and by the dial"), \
    FIELD("side", NUMBER, "the side in front; null for direct and by the dial"), \
    FIELD("circle", NUMBER, "holes of the crank pin's circle, or of the direct plate")
#define CIRCLE2_FIELD FIELD("circle2", NUMBER, "compound: holes of the second pin's circle; direct by pins: holes times pins; else null")

static const struct field movement_fields[] = {
    SETTING_FIELDS,
    FIELD("turns", NUMBER, "whole turns"),
    FIELD("holes", NUMBER, "and holes of circle"),
    CIRCLE2_FIELD,
    FIELD("holes2", NUMBER, "compound: the plate's holes of circle2; direct by pins: the pin's change; else null"),
    FIELDS_END
};

static const struct field gearing_fields[] = {
    TRAIN_FIELDS,
    FIELD("ratio", EXACT, "turns of the plate for one of the spindle, positive when it turns with the crank"),
    FIELD("idlers_in", NUMBER, "the pair between whose gears the idlers stand, 1 the first; null without idlers"),
    FIT_FIELDS,
    FIELDS_END
};

static const struct field searched_fields[] = {
    FIELD("circles", COUNT, "circles of the plates"),
    FIELD("pairs", COUNT, "pairs of circles; 0 where none were needed"),
    FIELD("trains", COUNT, "trains of gears, each arrangement and direction by itself; 0 where none were needed"),
    FIELD("unfit", COUNT, "how many of those cannot stand and were set aside"),
    FIELD("unfit_by", TEXT, "by what these fail, with how many: keys of [bracket], room the rule of any bracket; null where none do"),
    FIELDS_END
};

static const struct field setting_fields[] = { SETTING_FIELDS, CIRCLE2_FIELD, FIELDS_END };

static const struct field plan_fields[] = {
    ANSWER_FIELDS("plan"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("divisions", DIGITS, "N; null for a list of angles"),
    FIELD("arc", REVOLUTIONS, "what is divided: 1 for a full circle; null for a list"),
    FIELD("block", DIGITS, "divisions in one movement, k"),
    FIELD("worm", EXACT, "R, turns of the crank for one of the spindle; null for a head without a worm"),
    FIELD("method", TEXT, "direct, plain, differential, compound, nearly-exact, nearest-hole, nearest-compound or dial"),
    FIELD("exact", BOOLEAN, "every position is met exactly"),
    FIELD("within_tolerance", BOOLEAN, "the worst error is within the tolerance, by arithmetic only"),
    FIELD("tolerance_arcsec", ARCSEC, "the tolerance: as asked, or a quarter of what the head is taken to hold: by its worm as stated, else 2′; "
          "without a worm by its direct plate, else 5′"),
    MEMBERS("movement", OBJECT, movement_fields, "the movement that is always the same; null where movements differ"),
    MEMBERS("gearing", OBJECT, gearing_fields, "change gears of differential indexing; else null"),
    FIELD("step", REVOLUTIONS, "nominal angle of one movement; null for a list"),
    FIELD("worst_error_arcsec", ARCSEC, "largest error of any row, its size"),
    FIELD("closing_error_arcsec", ARCSEC, "signed error of the closing row; null where there is none (an arc, a list)"),
    FIELD("steps", COUNT, "movements after row 0"),
    FIELD("offset", REVOLUTIONS, "from the zero hole to the first position"),
    FIELD("worst_pitch_arcsec", ARCSEC, "largest error of the space between neighbours on the work"),
    FIELD("head_holds_arcsec", ARCSEC, "what the profile states that the head holds by this method; null where it states nothing"),
    FIELD("exact_exists", BOOLEAN, "this head has an exact setting; false is proved; null where options left something out"),
    MEMBERS("searched", OBJECT, searched_fields, "what was tried"),
    FIELD("positions", COUNT, "how many positions a list has; else null"),
    MEMBERS("setting", OBJECT, setting_fields, "what is put on the head, also where movement is null"),
    FIELD("crank_turns", TURNS, "of the whole job, parts that go back counted forward; 0 for direct"),
    FIELD("forward", TEXT, "which way forward is, of the crank, or of the spindle by hand for direct: clockwise or counter; by the dial null where the profile does not say which way its numbers rise"),
    FIELD("grow", TEXT, "which way positions then follow each other on the work, seen at the spindle nose: clockwise or counter; null where the "
          "profile does not say how the spindle turns"),
    FIELD("time_s", SECONDS, "by hand for the whole job, set-up and trial round with it"),
    FIELD("effort_s", SECONDS, "the same and the risk of a slip, valued in seconds: what orders plans"),
    FIELDS_END
};

const struct form plan_form = {
    .name = "plan",
    .fields = plan_fields,
    .columns =      /* of methods and table */
        "divisions,method,exact,within_tolerance,block,setting.plate,setting.side,setting.circle,movement.turns,movement.holes,"
        "setting.circle2,movement.holes2,gearing.drivers,gearing.driven,gearing.idlers,worst_error_arcsec,worst_pitch_arcsec,"
        "closing_error_arcsec,crank_turns,steps,gearing.idlers_in,time_s,effort_s,"
        "gearing.idler_teeth,gearing.fit,gearing.fit_key,gearing.room_mm"
};

static void put_plate(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    bool plate = cc_plan_has_plate(plan);

    record_string(r, "plate", plate ? job->head.plates[plan->plate].name : NULL);
    record_number_if(r, plate, "side", plan->side);
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

static void put_gearing(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    if (plan->train.pairs == 0) {
        record_null(r, "gearing");
        return;
    }
    record_object(r, "gearing");
    record_train(r, &plan->train);
    record_rational(r, "ratio", plan->plate_turns);
    record_number_if(r, plan->train.idlers > 0, "idlers_in", plan->train.pairs - plan->train.idlers_back);
    record_fit(r, &plan->train, &job->head, CC_FOR_DIFFERENTIAL);
    record_object_end(r);
}

static void put_step_size(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    mpq_t step;

    if (job->request.position_count > 0) {
        record_null(r, "step");
        return;
    }
    mpq_init(step);
    job_space(step, job, plan->block);
    record_rational(r, "step", step);
    mpq_clear(step);
}

static void put_divisions(struct record *r, const struct job *job)
{
    if (job->request.position_count > 0)
        record_null(r, "divisions");
    else
        record_whole(r, "divisions", job->request.divisions);
    record_rational(r, "arc", job->request.position_count > 0 ? NULL : job->request.arc);
}

/* "reach 2064, collar 130", by falling numbers. */
static void put_unfit_by(struct record *r, const struct cc_searched *searched)
{
    char words[UNFIT_WORDS];

    unfit_words(words, sizeof words, searched);
    record_string(r, "unfit_by", words[0] != '\0' ? words : NULL);
}

static void put_searched(struct record *r, const struct job *job)
{
    const struct cc_answer *answer = &job->answer;
    struct cc_searched searched = answer->searched;

    if (!r->table)      /* nobody counts what is not written */
        cc_planner_count_trains(&searched, job->planner);
    record_bool_if(r, answer->exact != CC_UNPROVED, "exact_exists", answer->exact == CC_EXISTS);
    record_object(r, "searched");
    record_count(r, "circles", searched.circles);
    record_count(r, "pairs", searched.pairs);
    record_count(r, "trains", searched.trains);
    record_count(r, "unfit", searched.unfit);
    put_unfit_by(r, &searched);
    record_object_end(r);
}

static void put_way(struct record *r, const char *key, enum cc_way way)
{
    record_string(r, key, way == CC_WAY_UNKNOWN ? NULL : way == CC_CLOCKWISE ? "clockwise" : "counter");
}

void plan_records_init(struct record *r, FILE *out, const struct job *job)
{
    record_init(r, out, &job->output, &plan_form);
}

void write_plan_record(struct record *r, const struct job *job, const struct cc_plan *plan)
{
    mpq_t tolerance;

    if (r->table && fast_plan(r->out, job, plan))
        return;
    mpq_init(tolerance);
    record_begin(r, &plan_form, job->command);
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
    put_gearing(r, job, plan);
    put_step_size(r, job, plan);
    record_arcsec(r, "worst_error_arcsec", plan->worst_error);
    record_arcsec(r, "closing_error_arcsec", plan->has_closing ? plan->closing_error : NULL);
    record_count(r, "steps", plan->steps);
    record_rational(r, "offset", job->request.offset);
    record_arcsec(r, "worst_pitch_arcsec", plan->worst_pitch);
    record_arcsec(r, "head_holds_arcsec", cc_plan_holds(plan, &job->head));
    put_searched(r, job);
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

static const struct field step_fields[] = {
    RECORD_FIELD("step"),
    FIELD_ONLY(IN_ROWS, "method", TEXT, "as in plan"),
    FIELD_ONLY(IN_ROWS, "exact", BOOLEAN, "as in plan"),
    FIELD("step", COUNT, "the row, from 0"),
    FIELD("division", COUNT, "which of the N positions the work is at, 0 to N - 1 (to N on an arc); 0 in the closing row; null for a list"),
    FIELD("turns", NUMBER, "turns of the movement from the row before"),
    FIELD("holes", NUMBER, "holes of it, of the same sign: of the crank pin in circle, or on the direct plate; parts of the dial"),
    FIELD("circle", NUMBER, "holes of that circle; by the dial the parts that it reads in a turn: its lines by vernier and eye"),
    FIELD("hole", COUNT, "where the pin stands now, counted from the start hole the way of the crank, from 0; parts of the dial past its zero"),
    FIELD("holes2", NUMBER, "compound: the plate's movement, in holes of circle2; direct by pins: the pin's change; else null"),
    FIELD("circle2", NUMBER, "compound: its circle; direct by pins: holes times pins; else null"),
    FIELD("hole2", COUNT, "compound: holes that the plate has been carried the way of the crank since the start, modulo circle2; direct by pins: the pin; else null"),
    FIELD("crank", TURNS, "crank travel since the start relative to the plate, both parts of a compound movement; null for direct"),
    FIELD("angle", REVOLUTIONS, "where the spindle truly is since the start, not reduced modulo 1"),
    FIELD("nominal", REVOLUTIONS, "where it should be: offset + i k/N, offset + i arc/N, or the position asked for"),
    FIELD("angle_deg", DEGREES, "angle"),
    FIELD("error", REVOLUTIONS, "angle less nominal"),
    FIELD("error_arcsec", ARCSEC, "the same"),
    FIELD("label", TEXT, "of a list's position; the class and numeral of a mark (--mark, --number); else null"),
    FIELD_ONLY(WHERE_ASKED, "error_mm", LENGTH, "the error along the arc at --radius"),
    FIELD("dial", EXACT, "by the dial: what it reads, as it is numbered: degrees of the spindle within a turn of the crank, or lines; else null"),
    FIELD("rim", EXACT, "by the dial: where the rim stands, degrees, from 0 to below 360; null without a rim, and by other methods"),
    FIELDS_END
};

const struct form step_form = {
    .name = "step",
    .fields = step_fields,
    .columns = "method,exact,step,division,label,turns,holes,circle,hole,holes2,circle2,hole2,crank,angle,nominal,angle_deg,error,"
               "error_arcsec,error_mm,dial,rim"
};
/* What dial and rim show, exactly; null where the crank is not set by its dial. */
static void put_readings(struct record *r, const struct job *job, const struct cc_step *step)
{
    struct cc_dial_reading reading;
    bool dial = cc_plan_is_dial(&job->plan);

    cc_dial_reading_init(&reading);
    if (dial)
        cc_dial_read(&reading, step, &job->plan, &job->head, job_forward(job, &job->plan));
    record_rational(r, "dial", dial ? reading.dial : NULL);
    record_rational(r, "rim", dial && job->head.rim.lines > 0 ? reading.rim : NULL);
    cc_dial_reading_clear(&reading);
}

static void write_step_record(struct record *r, const struct job *job, const struct cc_step *step)
{
    const struct cc_plan *plan = &job->plan;
    bool second = plan->circle2 > 0;
    char label[LABEL_SIZE];

    record_begin(r, &step_form, NULL);
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
    put_readings(r, job, step);
    record_end(r);
}

void write_step_records(FILE *out, const struct job *job, uint64_t first, uint64_t last)
{
    struct cc_cursor cursor;
    struct cc_step step;
    struct record record;

    record_init(&record, out, &job->output, &step_form);
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
