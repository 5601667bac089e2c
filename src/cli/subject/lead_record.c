/* lead_record.c: trains and leads for programs; docs/lead.md lists the fields. */
#include "cli/out/record.h"
#include "cli/subject/lead_job.h"

/* Exact in millimetres, and rounded in the unit asked for. */
static void record_both(struct record *rec, const char *key, enum cc_unit unit, const mpq_t mm)
{
    record_rational(rec, key, mm);
    record_length(rec, key, unit, mm);
}

/* A length that may not have been given. */
static void record_given(struct record *rec, const char *stem, enum cc_unit unit, const mpq_t mm)
{
    if (mpq_sgn(mm) != 0)
        record_length(rec, stem, unit, mm);
    else
        record_no_length(rec, stem, unit);
}

static void record_twist(struct record *rec, const struct lead_job *r, const struct cc_gearing *g)
{
    record_given(rec, "length", r->output.unit, r->ask.length);
    if (mpq_sgn(r->ask.length) == 0) {
        record_rational(rec, "twist", NULL);
        record_null(rec, "twist_arcsec");
        return;
    }
    record_rational(rec, "twist", g->twist);
    record_arcsec(rec, "twist_arcsec", g->twist);
}

static void record_angles(struct record *rec, const struct lead_job *r, const struct cc_gearing *g)
{
    record_given(rec, "diameter", r->output.unit, r->ask.diameter);
    if (mpq_sgn(r->ask.diameter) == 0) {
        record_null(rec, "helix_wanted_deg");
        record_null(rec, "helix_deg");
        return;
    }
    record_double(rec, "helix_wanted_deg", cc_helix_angle_deg(r->ask.diameter, r->ask.lead), 9);
    record_double(rec, "helix_deg", g->angle_deg, 9);
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
    for (size_t i = 0; i < 4; i++) {
        if (lead_indexes_plainly(r))
            record_number(rec, keys[i], values[i]);
        else
            record_null(rec, keys[i]);
    }
    if (slips(r))
        record_number(rec, "slip_teeth", lead_last_driven(&g->train) / r->ask.starts);
    else
        record_null(rec, "slip_teeth");
}

void lead_write_records(FILE *out, const struct lead_job *r, const struct lead_answer *a, const struct cc_head *head)
{
    struct record rec;

    record_init(&rec, out, r->output.format);
    for (size_t i = 0; i < a->list.n; i++) {
        const struct cc_gearing *g = &a->list.at[i];
        while (record_begin(&rec, "lead")) {
            record_string(&rec, "command", "lead");
            record_string(&rec, "head", head->title);
            record_number(&rec, "rank", (long long)i + 1);
            record_both(&rec, "wanted", r->output.unit, r->ask.lead);
            record_both(&rec, "screw", r->output.unit, r->ask.screw);
            record_both(&rec, "machine", r->output.unit, a->machine);
            record_string(&rec, "geared_to", r->ask.geared_to == CC_TO_SPINDLE ? "spindle" : "worm");
            record_string(&rec, "hand", r->ask.hand == CC_LEFT_HAND ? "left" : "right");
            record_bool(&rec, "exact", mpq_sgn(g->error) == 0);
            record_counts(&rec, "drivers", g->train.driver, g->train.pairs);
            record_counts(&rec, "driven", g->train.driven, g->train.pairs);
            record_number(&rec, "idlers", g->train.idlers);
            record_both(&rec, "lead", r->output.unit, g->lead);
            record_both(&rec, "error", r->output.unit, g->error);
            record_twist(&rec, r, g);
            record_angles(&rec, r, g);
            record_starts(&rec, r, a, g, head);
            if (r->within_text != NULL)
                record_bool(&rec, "within", lead_is_within(r, g));
            else
                record_null(&rec, "within");
            if (g->train.idlers > 0)
                record_number(&rec, "idlers_in", g->train.pairs - g->train.idlers_back);
            else
                record_null(&rec, "idlers_in");
            record_end(&rec);
        }
    }
}
