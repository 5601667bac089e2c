/* dial_reading.c: see dial.h. */
#include "plan/dial_reading.h"

#include "crankcard/angle.h"
#include "crankcard/number.h"

void cc_dial_reading_init(struct cc_dial_reading *reading)
{
    *reading = (struct cc_dial_reading){ .parts = 0 };
    mpq_inits(reading->dial, reading->rim, NULL);
}

void cc_dial_reading_clear(struct cc_dial_reading *reading)
{
    mpq_clears(reading->rim, reading->dial, NULL);
}

static bool is_against(enum cc_way rises, enum cc_way forward)
{
    return rises != CC_WAY_UNKNOWN && forward != CC_WAY_UNKNOWN && rises != forward;
}

bool cci_dial_falls(const struct cc_head *head, enum cc_way forward)
{
    return is_against(head->dial.rises, forward);
}

bool cci_rim_falls(const struct cc_head *head, enum cc_way forward)
{
    return is_against(head->rim.rises == CC_WAY_UNKNOWN ? head->dial.rises : head->rim.rises, forward);
}

unsigned cc_plan_by_eye(const struct cc_plan *plan)
{
    return (unsigned)(plan->unit / plan->dial.lines / plan->dial.vernier);
}

void cci_dial_value(mpq_t value, uint64_t parts, const struct cc_plan *plan)
{
    mpq_t turn;

    mpq_init(turn);
    if (plan->dial.numbered == CC_NUMBERED_LINES) {
        mpq_set_ui(turn, plan->dial.lines, 1);
    } else {
        mpq_set_ui(turn, 360, 1);
        mpq_div(turn, turn, plan->ratio);
    }
    cc_set_u64(mpq_numref(value), parts);
    cc_set_u64(mpq_denref(value), plan->unit);
    mpq_canonicalize(value);
    mpq_mul(value, value, turn);
    mpq_clear(turn);
}

/* Degrees within one turn. */
static void rim_at(mpq_t rim, const mpq_t angle, bool falls)
{
    mpq_set(rim, angle);
    if (falls)
        mpq_neg(rim, rim);
    mpz_fdiv_r(mpq_numref(rim), mpq_numref(rim), mpq_denref(rim));
    cc_angle_degrees(rim, rim);
}

void cc_dial_read(struct cc_dial_reading *reading, const struct cc_step *step, const struct cc_plan *plan,
                   const struct cc_head *head, enum cc_way forward)
{
    unsigned by_eye = cc_plan_by_eye(plan);
    mpz_t turns;

    mpz_init(turns);
    mpz_fdiv_q(turns, mpq_numref(step->crank), mpq_denref(step->crank));
    reading->turns = cc_get_i64(turns);
    mpz_clear(turns);
    reading->parts = cci_dial_falls(head, forward) && step->hole > 0 ? plan->unit - step->hole : step->hole;
    reading->eye = (unsigned)(reading->parts % by_eye);
    reading->vernier = (unsigned)(reading->parts / by_eye % plan->dial.vernier);
    reading->line = reading->parts / by_eye / plan->dial.vernier;
    cci_dial_value(reading->dial, reading->parts, plan);
    rim_at(reading->rim, step->angle, cci_rim_falls(head, forward));
}

/* What is wrong, and so many parts, as the dial is numbered. */
static enum cc_status refuse_reading(const char *what, uint64_t parts, const struct cc_plan *plan, struct cc_error *err)
{
    bool lines = plan->dial.numbered == CC_NUMBERED_LINES;
    char text[80];
    mpq_t value;

    mpq_init(value);
    cci_dial_value(value, parts, plan);
    if (lines) {
        cc_rational_str(text, sizeof text, value);
    } else {
        cc_rational_times(value, value, 1, 360);
        cc_angle_error_str(text, sizeof text, value, 2, CC_MARKS_UTF8);
    }
    bool one = mpq_cmp_ui(value, 1, 1) <= 0;
    mpq_clear(value);
    return cc_fail(err, CC_EDOM, "%s%s%s", what, text, !lines ? "" : one ? " line" : " lines");
}

enum cc_status cc_dial_find(uint64_t *hole, unsigned *more, const mpq_t dial, bool line_only, const struct cc_plan *plan,
                            const struct cc_head *head, enum cc_way forward, struct cc_error *err)
{
    uint64_t unit = plan->unit, beyond = line_only ? unit / plan->dial.lines - 1 : 0;
    mpq_t value, parts;
    mpz_t turn;

    mpq_inits(value, parts, NULL);
    mpz_init(turn);
    cci_dial_value(value, 1, plan);
    mpq_div(parts, dial, value);
    cc_set_u64(turn, unit);
    bool whole = mpz_cmp_ui(mpq_denref(parts), 1) == 0, within = mpq_sgn(parts) >= 0 && mpz_cmp(mpq_numref(parts), turn) < 0;
    uint64_t at = whole && within ? cc_get_u64(mpq_numref(parts)) : 0;
    mpz_clear(turn);
    mpq_clears(parts, value, NULL);
    if (!whole)
        return refuse_reading("no line, and no part of one, stands there: a reading stands every ", 1, plan, err);
    if (!within)
        return refuse_reading("the dial reads from 0 to below one turn of the crank, ", unit, plan, err);
    /* A reading that falls: the parts beyond the line come before it, forward. */
    *hole = cci_dial_falls(head, forward) ? (unit - at - beyond + unit) % unit : at;
    *more = (unsigned)beyond;
    return CC_OK;
}

void cc_rim_find(mpq_t angle, const mpq_t rim, const struct cc_head *head, enum cc_way forward)
{
    mpq_set(angle, rim);
    if (cci_rim_falls(head, forward))
        mpq_neg(angle, angle);
}
