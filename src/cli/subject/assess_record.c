/*
 * assess_record.c: findings, budget and verdict for programs; docs/assess.md lists the fields. The same items are
 * members of a JSON object and rows of a table.
 */
#include <math.h>

#include "cli/out/quantities.h"
#include "cli/out/record.h"
#include "cli/subject/assess_job.h"

/* ---- what is declared ---- */

static const struct field harmonic_fields[] = {
    FIELD("harmonic", NUMBER, "1 is the eccentricity, 2 an oval, ..."),
    FIELD("amplitude_mm", LENGTH, "half of what it sways"),
    FIELD("high_deg", ANGLE, "where it is highest"),
    FIELDS_END
};

static const struct field runout_fields[] = {
    FIELD("readings", NUMBER, "how many"),
    FIELD("eccentricity_mm", LENGTH, "of the test bar to the spindle's axis"),
    FIELD("high_deg", ANGLE, "where it is highest"),
    FIELD("range_mm", LENGTH, "largest less smallest reading"),
    FIELD("residual_rms_mm", LENGTH, "standard deviation of what the harmonics leave"),
    FIELD("residual_worst_mm", LENGTH, "the most that they leave"),
    FIELD("freedom", NUMBER, "readings less what is fitted"),
    MEMBERS("harmonics", OBJECTS, harmonic_fields, "what the readings are made of"),
    FIELDS_END
};

static const struct field position_fields[] = {
    FIELD("targets", NUMBER, "positions measured"),
    FIELD("least_runs", NUMBER, "fewest runs at any of them"),
    FIELD("reversal_arcsec", ARCSEC, "B, reversal value: the largest difference between the two directions"),
    FIELD("mean_reversal_arcsec", ARCSEC, "mean of those differences, with sign"),
    FIELD("repeatability_arcsec", ARCSEC, "R, repeatability"),
    FIELD("systematic_arcsec", ARCSEC, "E, systematic deviation"),
    FIELD("mean_range_arcsec", ARCSEC, "M, range of the mean deviation"),
    FIELD("accuracy_arcsec", ARCSEC, "A, accuracy"),
    FIELDS_END
};

static const struct field direction_fields[] = {
    FIELD("repeatability_arcsec", ARCSEC, "R of this direction"),
    FIELD("systematic_arcsec", ARCSEC, "E of this direction"),
    FIELD("accuracy_arcsec", ARCSEC, "A of this direction"),
    FIELDS_END
};

static const struct field shift_fields[] = {
    FIELD("readings", NUMBER, "how many"),
    FIELD("mean_mm", LENGTH, "mean shift"),
    FIELD("worst_mm", LENGTH, "largest shift"),
    FIELD("mean_arcsec", ARCSEC, "mean shift as an angle"),
    FIELD("worst_arcsec", ARCSEC, "largest shift as an angle"),
    FIELD("range_arcsec", ARCSEC, "largest less smallest"),
    FIELDS_END
};

static const struct field footstock_fields[] = {
    FIELD("readings", NUMBER, "how many"),
    FIELD("height_slope", DECIMAL, "rise of the centre line along the work"),
    FIELD("side_slope", DECIMAL, "the same sideways"),
    FIELD("angle_arcsec", ARCSEC, "between spindle and centre line"),
    FIELD("residual_mm", LENGTH, "what the line leaves of the readings"),
    FIELDS_END
};

static const struct field budget_fields[] = {
    FIELD("pitch_mm", LENGTH, "from one space to the next"),
    FIELD("cumulative_mm", LENGTH, "between any two"),
    FIELD("pitch_arcsec", ARCSEC, "from one space to the next"),
    FIELD("cumulative_arcsec", ARCSEC, "between any two"),
    FIELDS_END
};

static const struct field far_fields[] = {
    FIELD("table", TEXT, "of the file"),
    FIELD("line", NUMBER, "line of the farthest"),
    FIELD("readings", NUMBER, "how many are far"),
    FIELD_ONLY(WHERE_ASKED, "distance_mm", LENGTH, "of runout: how far the farthest is from the others"),
    FIELD_ONLY(WHERE_ASKED, "usual_mm", LENGTH, "of runout: and how far they usually are"),
    FIELD_ONLY(WHERE_ASKED, "distance_arcsec", ARCSEC, "else: how far the farthest is from the others"),
    FIELD_ONLY(WHERE_ASKED, "usual_arcsec", ARCSEC, "else: and how far they usually are"),
    FIELDS_END
};

static const struct field assess_fields[] = {
    ANSWER_FIELDS("assess"),
    FIELD("file", TEXT, "the measurements"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("divisions", DIGITS, "N; null without --divisions"),
    FIELD("radius_mm", LENGTH, "of the work; null without a budget"),
    FIELD("both_ways", BOOLEAN, "positions are approached from both sides: --both-ways"),
    MEMBERS("runout", OBJECT, runout_fields, "null where it was not measured, like the next six"),
    MEMBERS("positions", OBJECT, position_fields, "quantities of ISO 230-2, over both directions; docs/assess.md has the formulas"),
    MEMBERS("forward", OBJECT, direction_fields, "of the one direction"),
    MEMBERS("backward", OBJECT, direction_fields, "of the other"),
    MEMBERS("clamp", OBJECT, shift_fields, "what clamping shifts"),
    MEMBERS("push_pull", OBJECT, shift_fields, "play"),
    MEMBERS("footstock", OBJECT, footstock_fields, "alignment of the centres"),
    MEMBERS("budget_plan", OBJECT, budget_fields, "a line of the budget, like the next eight: the plan's arithmetic; null where there is none"),
    MEMBERS("budget_indexing", OBJECT, budget_fields, "worm and plate"),
    MEMBERS("budget_repeatability", OBJECT, budget_fields, "repeatability"),
    MEMBERS("budget_backlash", OBJECT, budget_fields, "backlash"),
    MEMBERS("budget_eccentricity", OBJECT, budget_fields, "eccentricity"),
    MEMBERS("budget_form", OBJECT, budget_fields, "roundness, spindle"),
    MEMBERS("budget_clamp", OBJECT, budget_fields, "clamp"),
    MEMBERS("budget_play", OBJECT, budget_fields, "play"),
    MEMBERS("budget_footstock", OBJECT, budget_fields, "footstock"),
    MEMBERS("worst_case", OBJECT, budget_fields, "the sum of the lines; null without a budget"),
    MEMBERS("root_of_squares", OBJECT, budget_fields, "the root of the sum of their squares; null without a budget"),
    MEMBERS("tolerance", OBJECT, budget_fields, "what is allowed; null without a tolerance, like the next"),
    MEMBERS("without_best", OBJECT, budget_fields, "the worst case without the line that helps most"),
    FIELD("tolerance_name", TEXT, "what it is called; null without a tolerance, like the next three"),
    FIELD("verdict", TEXT, "within, likely, outside, or within-measured: within, and not_measured is not empty"),
    FIELD("best_improvement", TEXT, "the line that helps most"),
    FIELD("verdict_then", TEXT, "the verdict without it"),
    FIELD("written", TEXT, "the profile that was written, or null"),
    FIELD("not_measured", TEXTS, "what the verdict leaves open: worm and plate, the worm's error within a crank turn, runout, clamp, play; null "
          "without a budget"),
    FIELD("worm_share", DECIMAL, "how much of the worm's error within a crank turn the targets are sure to show, 0 to 1, to 3 decimals; null without "
          "positions or a worm"),
    MEMBERS("far_readings", OBJECTS, far_fields, "one for each table that has readings far from the others"),
    FIELDS_END
};
const struct form assess_form = { .name = "assess", .fields = assess_fields };

static const struct field item_fields[] = {
    FIELD_ONLY(IN_ROWS, "part", TEXT, "an object of assess; verdict, worm, harmonic N, far_reading TABLE"),
    FIELD_ONLY(IN_ROWS, "quantity", TEXT, "a member of it, without its unit"),
    FIELD_ONLY(IN_ROWS, "value", TEXT, "a number, or a word of the verdict"),
    FIELD_ONLY(IN_ROWS, "unit", TEXT, "mm, in, arcsec, deg or empty"),
    FIELDS_END
};
const struct form item_form = { .name = "item", .fields = item_fields };

/* ---- what is written ---- */

struct items {
    const struct assess_job *q;
    struct record *r;       /* of a table: one record an item */
    const char *part;       /* name of the part for rows */
};

static void row_begin(struct items *o, const char *quantity)
{
    record_begin(o->r, &item_form, NULL);
    record_string(o->r, "part", o->part);
    record_string(o->r, "quantity", quantity);
}

static void item(struct items *o, const char *key, const char *unit, double value, unsigned decimals)
{
    char name[64];

    if (o->r->table) {
        row_begin(o, key);
        record_measured(o->r, "value", value, decimals);
        record_string(o->r, "unit", unit);
        record_end(o->r);
    } else {
        snprintf(name, sizeof name, "%s%s%s", key, unit[0] != '\0' ? "_" : "", unit);
        record_measured(o->r, name, value, decimals);
    }
}

/* A text of the verdict, if there is one. */
static void word(struct items *o, const char *key, const char *text)
{
    if (!o->r->table) {
        record_string(o->r, key, text);
    } else if (text != NULL) {
        o->part = "verdict";
        row_begin(o, key);
        record_string(o->r, "value", text);
        record_end(o->r);
    }
}

static void item_length(struct items *o, const char *key, double mm)
{
    item(o, key, cc_unit_name(o->q->output.unit), in_unit(mm, o->q->output.unit), 6);
}

static void item_arcsec(struct items *o, const char *key, double arcsec)
{
    item(o, key, "arcsec", arcsec, 3);
}

static void item_count(struct items *o, const char *key, size_t count)
{
    if (o->r->table)
        item(o, key, "", (double)count, 0);
    else
        record_number(o->r, key, (long long)count);
}

static void item_ratio(struct items *o, const char *key, double ratio)
{
    item(o, key, "", ratio, 9);
}

/* Begin a part; false where it is absent (JSON: null). */
static bool part_begin(struct items *o, const char *part, bool present)
{
    o->part = part;
    if (!o->r->table && present)
        record_object(o->r, part);
    else if (!o->r->table)
        record_null(o->r, part);
    return present;
}

static void part_end(struct items *o)
{
    if (!o->r->table)
        record_object_end(o->r);
}

static void list_begin(struct items *o, const char *key)
{
    if (!o->r->table)
        record_array(o->r, key);
}

static void list_end(struct items *o)
{
    if (!o->r->table)
        record_array_end(o->r);
}

/* An item of a list, ended by part_end; part: what its rows are called. */
static void element_begin(struct items *o, const char *part)
{
    o->part = part;
    if (!o->r->table)
        record_object(o->r, NULL);
}

static void harmonic_items(struct items *o, const struct cc_harmonics *h)
{
    char name[40];

    list_begin(o, "harmonics");
    for (unsigned k = 1; k <= h->order; k++) {
        snprintf(name, sizeof name, "harmonic %u", k);
        element_begin(o, name);
        item_count(o, "harmonic", k);
        item_length(o, "amplitude", h->amplitude[k]);
        item(o, "high", "deg", h->high_rev[k] * 360, 3);
        part_end(o);
    }
    list_end(o);
}

static void runout_items(struct items *o)
{
    const struct cc_findings *f = &o->q->findings;

    if (!part_begin(o, "runout", f->has_runout))
        return;
    item_count(o, "readings", o->q->measured.count[CC_RUNOUT]);
    item_length(o, "eccentricity", f->runout.amplitude[1]);
    item(o, "high", "deg", f->runout.high_rev[1] * 360, 3);
    item_length(o, "range", f->indicator_range_mm);
    item_length(o, "residual_rms", f->runout.residual_rms);
    item_length(o, "residual_worst", f->runout.residual_worst);
    item_count(o, "freedom", f->runout.freedom);
    harmonic_items(o, &f->runout);
    part_end(o);
}

static void direction_items(struct items *o, const struct cc_accuracy *a, enum cc_approach d)
{
    if (!part_begin(o, d == CC_FORWARD ? "forward" : "backward", o->q->findings.has_positions && a->measured[d]))
        return;
    item_arcsec(o, "repeatability", a->repeatability_of[d]);
    item_arcsec(o, "systematic", a->systematic_of[d]);
    item_arcsec(o, "accuracy", a->accuracy_of[d]);
    part_end(o);
}

static void position_items(struct items *o)
{
    const struct cc_accuracy *a = &o->q->findings.positions;

    if (part_begin(o, "positions", o->q->findings.has_positions)) {
        item_count(o, "targets", a->targets);
        item_count(o, "least_runs", a->least_runs);
        item_arcsec(o, "reversal", a->reversal);
        item_arcsec(o, "mean_reversal", a->mean_reversal);
        item_arcsec(o, "repeatability", a->repeatability);
        item_arcsec(o, "systematic", a->systematic);
        item_arcsec(o, "mean_range", a->mean_range);
        item_arcsec(o, "accuracy", a->accuracy);
        part_end(o);
    }
    direction_items(o, a, CC_FORWARD);
    direction_items(o, a, CC_BACKWARD);
}

static void shift_items(struct items *o, const char *part, bool present, const struct cc_shift *s)
{
    if (!part_begin(o, part, present))
        return;
    item_count(o, "readings", s->readings);
    item_length(o, "mean", s->mean_mm);
    item_length(o, "worst", s->worst_mm);
    item_arcsec(o, "mean", s->mean_arcsec);
    item_arcsec(o, "worst", s->worst_arcsec);
    item_arcsec(o, "range", s->range_arcsec);
    part_end(o);
}

static void footstock_items(struct items *o)
{
    const struct cc_alignment *f = &o->q->findings.footstock;

    if (!part_begin(o, "footstock", o->q->findings.has_footstock))
        return;
    item_count(o, "readings", f->readings);
    item_ratio(o, "height_slope", f->height_slope);
    item_ratio(o, "side_slope", f->side_slope);
    item_arcsec(o, "angle", f->angle_arcsec);
    item_length(o, "residual", f->residual_mm);
    part_end(o);
}

static void budget_items(struct items *o, const char *part, bool present, double pitch_mm, double cumulative_mm)
{
    double k = o->q->budget.arcsec_per_mm;

    if (!part_begin(o, part, present))
        return;
    item_length(o, "pitch", pitch_mm);
    item_length(o, "cumulative", cumulative_mm);
    item_arcsec(o, "pitch", pitch_mm * k);
    item_arcsec(o, "cumulative", cumulative_mm * k);
    part_end(o);
}

static const struct cc_budget_line *line_of(const struct assess_job *q, enum cc_budget_kind kind)
{
    for (size_t i = 0; q->has_budget && i < q->budget.lines; i++)
        if (q->budget.line[i].kind == kind)
            return &q->budget.line[i];
    return NULL;
}

static void all_items(struct items *o)
{
    static const char *const parts[CC_BUDGET_KINDS] = {
        "budget_plan", "budget_indexing", "budget_repeatability", "budget_backlash", "budget_eccentricity",
        "budget_form", "budget_clamp", "budget_play", "budget_footstock"
    };
    const struct assess_job *q = o->q;
    const struct cc_budget *b = &q->budget;

    runout_items(o);
    position_items(o);
    shift_items(o, "clamp", q->findings.has_clamp, &q->findings.clamp);
    shift_items(o, "push_pull", q->findings.has_push_pull, &q->findings.push_pull);
    footstock_items(o);
    for (int k = 0; k < CC_BUDGET_KINDS; k++) {
        const struct cc_budget_line *line = line_of(q, (enum cc_budget_kind)k);
        budget_items(o, parts[k], line != NULL, line != NULL ? line->pitch_mm : 0,
                     line != NULL ? line->cumulative_mm : 0);
    }
    budget_items(o, "worst_case", q->has_budget, b->worst_pitch_mm, b->worst_cumulative_mm);
    budget_items(o, "root_of_squares", q->has_budget, b->rss_pitch_mm, b->rss_cumulative_mm);
    budget_items(o, "tolerance", q->has_tolerance, q->pitch_mm, q->cumulative_mm);
    budget_items(o, "without_best", q->has_tolerance, q->judgement.without_pitch_mm,
                 q->judgement.without_cumulative_mm);
}

static const char *const tables[CC_MEASURED_KINDS] = { "runout", "positions", "clamp", "push_pull", "footstock" };

static const char *stray_unit(const struct assess_job *q, enum cc_measured kind)
{
    return kind == CC_RUNOUT ? cc_unit_name(q->output.unit) : "arcsec";
}

static double stray_size(const struct assess_job *q, enum cc_measured kind, double size)
{
    return kind == CC_RUNOUT ? in_unit(size, q->output.unit) : size;
}

static void far_items(struct items *o)
{
    const struct assess_job *q = o->q;
    char part[40];

    list_begin(o, "far_readings");
    for (enum cc_measured k = CC_RUNOUT; k < CC_MEASURED_KINDS; k++) {
        const struct cc_stray *s = &q->findings.stray[k];
        if (s->count == 0)
            continue;
        snprintf(part, sizeof part, "far_reading %s", tables[k]);
        element_begin(o, part);
        if (!o->r->table)
            record_string(o->r, "table", tables[k]);
        item_count(o, "line", s->line);
        item_count(o, "readings", s->count);
        item(o, "distance", stray_unit(q, k), stray_size(q, k, s->distance), k == CC_RUNOUT ? 6 : 3);
        item(o, "usual", stray_unit(q, k), stray_size(q, k, s->usual), k == CC_RUNOUT ? 6 : 3);
        part_end(o);
    }
    list_end(o);
}

static void unmeasured_items(struct items *o)
{
    const struct assess_job *q = o->q;
    char missing[UNMEASURED_SIZE];

    if (o->r->table || !q->has_budget) {
        word(o, "not_measured", q->has_budget ? assess_unmeasured(missing, q) : NULL);
        return;
    }
    record_array(o->r, "not_measured");
    for (unsigned k = 0; k < CC_UNMEASURED_KINDS; k++)
        if ((q->budget.unmeasured & 1u << k) != 0)
            record_string(o->r, NULL, cc_unmeasured_name((enum cc_unmeasured)(1u << k)));
    record_array_end(o->r);
}

static void verdict_items(struct items *o)
{
    const struct assess_job *q = o->q;
    const struct cc_judgement *j = &q->judgement;
    bool judged = q->has_tolerance;

    word(o, "verdict", judged ? assess_verdict_name(j->verdict) : NULL);
    word(o, "best_improvement", judged ? cc_budget_name(q->budget.line[j->best].kind) : NULL);
    word(o, "verdict_then", judged ? assess_verdict_name(j->then) : NULL);
}

static void put_question(struct record *r, const struct assess_job *q)
{
    record_string(r, "file", q->file);
    record_string(r, "head", q->head.title);
    record_whole_if(r, q->divisions != 0, "divisions", q->divisions);
    record_length(r, "radius", q->has_budget ? q->radius : NULL);
    record_bool(r, "both_ways", q->both_ways);
}

void assess_write_records(FILE *out, const struct assess_job *q)
{
    struct record record;
    struct items o = { .q = q, .r = &record };

    record_init(&record, out, &q->output, &item_form);
    if (!record.table) {
        record_begin(&record, &assess_form, "assess");
        put_question(&record, q);
    }
    all_items(&o);
    if (!record.table)
        record_string(&record, "tolerance_name", q->has_tolerance ? q->tolerance_name : NULL);
    verdict_items(&o);
    if (!record.table)
        record_string(&record, "written", q->write);
    unmeasured_items(&o);
    o.part = "worm";
    if (q->has_worm_share || !record.table)
        item(&o, "worm_share", "", q->has_worm_share ? q->worm_share : NAN, 3);
    far_items(&o);
    if (!record.table)
        record_end(&record);
    record_clear(&record);
}
