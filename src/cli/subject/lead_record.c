/* lead_record.c: trains and leads for programs; docs/lead.md lists the fields. */
#include <math.h>

#include "cli/out/record.h"
#include "cli/subject/lead_job.h"

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
    struct record rec;

    record_init(&rec, out, &r->output, NULL);
    for (size_t i = 0; i < a->list.n; i++) {
        const struct cc_gearing *g = &a->list.at[i];
        record_lead(&rec, "lead", "lead");
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
        record_end(&rec);
    }
    record_clear(&rec);
}
