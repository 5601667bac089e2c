/* lead_record.c: trains and leads for programs; docs/lead.md lists the fields. */
#include <math.h>

#include "cli/out/gears.h"
#include "cli/out/record.h"
#include "cli/subject/lead_job.h"

#define BOTH(NAME, MEANING) FIELD(NAME, MILLIMETRES, MEANING), FIELD(NAME "_mm", LENGTH, "the same")

static const struct field lead_fields[] = {
    ANSWER_FIELDS("lead"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("rank", NUMBER, "1 is the best"),
    BOTH("wanted", "the lead asked for"),
    BOTH("screw", "lead of the table screw"),
    BOTH("machine", "lead of the machine: what equal gears give"),
    FIELD("geared_to", TEXT, "worm or spindle"),
    FIELD("hand", TEXT, "right or left"),
    FIELD("exact", BOOLEAN, "these gears give the lead exactly"),
    FIELD("drivers", COUNTS, "the first is on the table screw"),
    FIELD("driven", COUNTS, "the last is on the worm shaft, or the spindle"),
    FIELD("idlers", NUMBER, "between them"),
    BOTH("lead", "what these gears give"),
    BOTH("error", "lead less wanted"),
    FIELD("length_mm", LENGTH, "of the cut; null if not given"),
    FIELD("twist", REVOLUTIONS, "turn of the work over that length, less what it should be"),
    FIELD("twist_arcsec", ARCSEC, "the same"),
    FIELD("diameter_mm", LENGTH, "null if not given"),
    FIELD("helix_wanted_deg", DEGREES, "helix angle to the axis at that diameter, as wanted"),
    FIELD("helix_deg", DEGREES, "and as these gears give"),
    FIELD("starts", NUMBER, "flutes or starts"),
    FIELD("index_plate", TEXT, "plain indexing from start to start while geared to the worm, here and in the next four"),
    FIELD("index_side", NUMBER, "the side in front"),
    FIELD("index_circle", NUMBER, "holes of the circle"),
    FIELD("index_turns", NUMBER, "whole turns"),
    FIELD("index_holes", NUMBER, "and holes"),
    FIELD("slip_teeth", NUMBER, "geared to the spindle: teeth that the last gear is slipped for the next start"),
    FIELD("within", BOOLEAN, "the error of the lead is within --within; null if not given"),
    FIELD("idlers_in", NUMBER, "the pair between whose gears the idlers stand, 1 the first; null without idlers"),
    FIT_FIELDS,
    FIELDS_END
};
const struct form lead_form = { .name = "lead", .fields = lead_fields };

/* Exact in millimetres, and rounded in the unit asked for. */
static void record_both(struct record *rec, const char *key, const mpq_t mm)
{
    record_rational(rec, key, mm);
    record_length(rec, key, mm);
}

/* A length that may not have been given. */
static mpq_srcptr given(const mpq_t mm)
{
    return mpq_sgn(mm) != 0 ? mm : NULL;
}

static void record_work(struct record *rec, const struct lead_job *r, const struct cc_gearing *g)
{
    bool length = given(r->ask.length) != NULL, diameter = given(r->ask.diameter) != NULL;

    record_length(rec, "length", given(r->ask.length));
    record_rational(rec, "twist", length ? g->twist : NULL);
    record_arcsec(rec, "twist_arcsec", length ? g->twist : NULL);
    record_length(rec, "diameter", given(r->ask.diameter));
    record_double(rec, "helix_wanted_deg", diameter ? cc_helix_angle_deg(r->ask.diameter, r->ask.lead) : NAN, 9);
    record_double(rec, "helix_deg", diameter ? g->angle_deg : NAN, 9);
}

static bool slips(const struct lead_job *r)
{
    return r->ask.geared_to == CC_TO_SPINDLE && r->ask.starts > 1;
}

static void record_starts(struct record *rec, const struct lead_job *r, const struct lead_answer *a,
                          const struct cc_gearing *g, const struct cc_head *head)
{
    static const char *const keys[] = { "index_side", "index_circle", "index_turns", "index_holes" };
    const unsigned values[] = { a->index.side, a->index.circle, a->index.turns, a->index.holes };

    record_number(rec, "starts", r->ask.starts);
    record_string(rec, "index_plate",
                  lead_indexes_plainly(r) ? head->plates[a->index.plate].name : NULL);
    for (size_t i = 0; i < 4; i++)
        record_number_if(rec, lead_indexes_plainly(r), keys[i], values[i]);
    record_number_if(rec, slips(r), "slip_teeth", slips(r) ? lead_last_driven(&g->train) / r->ask.starts : 0);
}

void lead_write_records(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head)
{
    struct cc_head with = lead_head(r, head);
    struct record rec;

    record_init(&rec, out, &r->output, &lead_form);
    for (size_t i = 0; i < a->list.n; i++) {
        const struct cc_gearing *g = &a->list.at[i];
        record_begin(&rec, &lead_form, "lead");
        record_string(&rec, "head", head->title);
        record_number(&rec, "rank", (long long)i + 1);
        record_both(&rec, "wanted", r->ask.lead);
        record_both(&rec, "screw", r->ask.screw);
        record_both(&rec, "machine", a->machine);
        record_string(&rec, "geared_to", r->ask.geared_to == CC_TO_SPINDLE ? "spindle" : "worm");
        record_string(&rec, "hand", r->ask.hand == CC_LEFT_HAND ? "left" : "right");
        record_bool(&rec, "exact", mpq_sgn(g->error) == 0);
        record_counts(&rec, "drivers", g->train.driver, g->train.pairs);
        record_counts(&rec, "driven", g->train.driven, g->train.pairs);
        record_number(&rec, "idlers", g->train.idlers);
        record_both(&rec, "lead", g->lead);
        record_both(&rec, "error", g->error);
        record_work(&rec, r, g);
        record_starts(&rec, r, a, g, head);
        record_bool_if(&rec, r->within_text != NULL, "within", r->within_text != NULL && lead_is_within(r, g));
        record_number_if(&rec, g->train.idlers > 0, "idlers_in", g->train.pairs - g->train.idlers_back);
        record_fit(&rec, &g->train, &with, cc_lead_use(r->ask.geared_to));
        record_end(&rec);
    }
    record_clear(&rec);
}
