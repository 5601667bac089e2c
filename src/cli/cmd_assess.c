/* cmd_assess.c: measurements in, findings, a budget of pitch errors and a verdict out. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/commands.h"
#include "cli/csv.h"
#include "cli/draw_assess.h"
#include "cli/figures.h"
#include "cli/files.h"
#include "cli/json.h"
#include "cli/memory.h"
#include "cli/text.h"

enum {
    OPT_DIVISIONS = OPT_OWN, OPT_LENGTH, OPT_CLASS, OPT_STANDARD, OPT_MODULE, OPT_BOTH_WAYS, OPT_HARMONICS,
    OPT_INDEXED, OPT_WRITE
};

static const struct option_row assess_options[] = {
    { OPT_RADIUS, 'r', "radius", "LENGTH", "radius of the work, for the budget" },
    { OPT_DIVISIONS, 'n', "divisions", "N", "divisions of the work, for the budget" },
    { OPT_LENGTH, 'l', "length", "LENGTH", "length of the work, for the footstock" },
    { OPT_TOLERANCE, 't', "tolerance", "ANGLE|LENGTH", "what pitch and cumulative pitch may be off: 1m, 0.02mm" },
    { OPT_CLASS, 0, "class", "CLASS", "take the tolerances of this flank class (with --module)" },
    { OPT_MODULE, 0, "module", "MM", "normal module, for --class" },
    { OPT_STANDARD, 0, "standard", "NAME", "iso2013, iso1995 or jis1976 (default iso2013)" },
    { OPT_BOTH_WAYS, 0, "both-ways", NULL, "positions are approached from both sides: backlash counts" },
    { OPT_HARMONICS, 0, "harmonics", "H", "highest harmonic of the runout to fit (default up to 5)" },
    { OPT_INDEXED, 0, "indexed", "HOW", "what the positions were indexed by: worm or direct (default worm)" },
    { OPT_WRITE, 0, "write", "FILE", "put the accuracy found into this profile" },
    OPTIONS_END
};

const struct option_row *const assess_tables[] = { assess_options, head_options, output_options, NULL };

struct request {
    struct output output;
    const char *file, *head_name, *mounted, *write;
    struct cc_head head;
    const char *radius_text, *length_text, *tolerance_text, *module_text;
    mpq_t radius, length;               /* mm; 0 where not given */
    unsigned long divisions, flank_class, harmonics;
    bool has_class, both_ways, direct;
    enum cc_flank_standard standard;
    /* answers */
    struct cc_measurements measured;
    struct cc_findings findings;
    bool has_budget, has_tolerance;
    bool plan_missing;                  /* the head has no plan for N */
    struct cc_budget budget;
    double pitch_mm, cumulative_mm;     /* tolerances */
    char tolerance_name[80];
    struct cc_judgement judgement;
};

/* ---- reading the request ---- */

static bool take_word(int *choice, const char *text, const char *const *words, const char *what,
                      struct cc_error *err)
{
    char all[120] = "";
    size_t used = 0;

    for (int i = 0; words[i] != NULL; i++) {
        if (strcmp(words[i], text) == 0) {
            *choice = i;
            return true;
        }
        used += (size_t)snprintf(all + used, sizeof all - used, "%s%s", i > 0 ? " or " : "", words[i]);
    }
    cc_fail(err, CC_EPARSE, "%s: '%.40s': write %s", what, text, all);
    return false;
}

static bool take_class(struct request *q, const char *text, struct cc_error *err)
{
    q->has_class = true;
    return read_number(&q->flank_class, text, "--class", 0, 12, err);
}

static bool take_option(struct request *q, const struct args *args, struct cc_error *err)
{
    static const char *const standards[] = { "iso2013", "iso1995", "jis1976", NULL };
    static const char *const ways[] = { "worm", "direct", NULL };
    int choice = 0;

    switch (args->id) {
    case OPT_HEAD:
        q->head_name = args->text;
        return true;
    case OPT_MOUNTED:
        q->mounted = args->text;
        return true;
    case OPT_RADIUS:
        q->radius_text = args->text;
        return true;
    case OPT_DIVISIONS:
        return read_number(&q->divisions, args->text, "--divisions", 2, 1000000000, err);
    case OPT_LENGTH:
        q->length_text = args->text;
        return true;
    case OPT_TOLERANCE:
        q->tolerance_text = args->text;
        return true;
    case OPT_CLASS:
        return take_class(q, args->text, err);
    case OPT_MODULE:
        q->module_text = args->text;
        return true;
    case OPT_STANDARD:
        if (!take_word(&choice, args->text, standards, "--standard", err))
            return false;
        q->standard = (enum cc_flank_standard)choice;
        return true;
    case OPT_BOTH_WAYS:
        q->both_ways = true;
        return true;
    case OPT_HARMONICS:
        return read_number(&q->harmonics, args->text, "--harmonics", 1, CC_MAX_HARMONIC, err);
    case OPT_INDEXED:
        if (!take_word(&choice, args->text, ways, "--indexed", err))
            return false;
        q->direct = choice == 1;
        return true;
    case OPT_WRITE:
        q->write = args->text;
        return true;
    default:
        return output_option(&q->output, args->id, args->text, err);
    }
}

#define LONGEST_MM 100000       /* of any length asked for */

static bool take_positive(mpq_t mm, const char *text, const char *what, enum cc_unit unit,
                          struct cc_error *err)
{
    struct cc_error why = { .status = CC_OK };

    if (text == NULL)
        return true;
    if (cc_length_parse(mm, text, unit, &why) == CC_OK && mpq_sgn(mm) <= 0)
        cc_fail(&why, CC_EDOM, "'%.40s' must be more than 0", text);
    if (why.status == CC_OK && mpq_cmp_ui(mm, LONGEST_MM, 1) > 0)
        cc_fail(&why, CC_ELIMIT, "'%.40s' is more than %d m", text, LONGEST_MM / 1000);
    if (why.status == CC_OK)
        return true;
    cc_fail(err, why.status, "%s: %.300s", what, why.text);
    return false;
}

static bool check_request(const struct request *q, const struct cli *cli, struct cc_error *err)
{
    bool budget = q->radius_text != NULL && q->divisions != 0;

    if (q->file == NULL)
        cc_fail(err, CC_EPARSE, "assess needs a FILE of measurements, or - for standard input");
    else if ((q->radius_text != NULL) != (q->divisions != 0))
        cc_fail(err, CC_EPARSE, "--radius and --divisions go together: both make the budget");
    else if ((q->tolerance_text != NULL || q->has_class) && !budget)
        cc_fail(err, CC_EPARSE, "a tolerance needs a budget to compare with: give --radius and --divisions");
    else if (q->tolerance_text != NULL && q->has_class)
        cc_fail(err, CC_EPARSE, "--tolerance and --class both say what is allowed: give one");
    else if (q->has_class != (q->module_text != NULL))
        cc_fail(err, CC_EPARSE, "--class and --module go together: a flank class depends on the module");
    else if (q->write != NULL && cli->in_batch)
        cc_fail(err, CC_EPARSE, "--write cannot stand in a batch line");
    else
        return true;
    return false;
}

static bool read_request(struct request *q, struct cli *cli, int argc, char **argv)
{
    struct args args;

    args_init(&args, argc, argv, assess_tables);
    for (enum arg_kind kind; (kind = args_next(&args, &cli->err)) != ARG_END;) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION) {
            if (!take_option(q, &args, &cli->err))
                return false;
        } else if (q->file != NULL) {
            cc_fail(&cli->err, CC_EPARSE, "'%.40s' is one operand too many: assess takes one FILE", args.text);
            return false;
        } else {
            q->file = args.text;
        }
    }
    return check_request(q, cli, &cli->err) &&
           take_positive(q->radius, q->radius_text, "--radius", q->output.unit, &cli->err) &&
           take_positive(q->length, q->length_text, "--length", q->output.unit, &cli->err);
}

static void request_init(struct request *q)
{
    *q = (struct request){ .standard = CC_ISO_1328_2013 };
    output_init(&q->output);
    cc_head_init(&q->head);
    mpq_inits(q->radius, q->length, NULL);
    cc_measurements_init(&q->measured);
    cc_findings_init(&q->findings);
}

static void request_clear(struct request *q)
{
    cc_findings_clear(&q->findings);
    cc_measurements_clear(&q->measured);
    mpq_clears(q->radius, q->length, NULL);
    cc_head_clear(&q->head);
}

/* ---- working it out ---- */

static bool find(struct request *q, struct cli *cli)
{
    char *text;
    size_t length;
    const char *where = strcmp(q->file, "-") == 0 ? "standard input" : q->file;

    if (read_file(&text, &length, q->file, cli->in, &cli->err) != CC_OK)
        return false;
    enum cc_status s = cc_measurements_read(&q->measured, text, length, where, &cli->err);
    free(text);
    if (s == CC_OK)
        s = cc_findings_of(&q->findings, &q->measured, (unsigned)q->harmonics, where, &cli->err);
    if (s == CC_OK && q->output.format == FORMAT_SVG && !q->findings.has_runout && !q->findings.has_positions)
        s = cc_fail(&cli->err, CC_EDOM, "--format svg draws runout and positions, and '%.100s' has neither table", where);
    return s == CC_OK;
}

static double arcsec_of(const mpq_t revolutions)
{
    return mpq_get_d(revolutions) * CC_ARCSEC_PER_REV;
}

#define STEPS_TO_WALK 20000     /* of a plan, to see its largest and smallest error; else twice the worst is taken */

/* The largest less the smallest error of a plan's positions. */
static double plan_range(const struct cc_plan *plan, const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;
    double low = 0, high = 0;

    if (plan->steps > STEPS_TO_WALK)
        return 2 * arcsec_of(plan->worst_error);
    cc_cursor_init(&cursor, plan, request);
    cc_step_init(&step);
    while (cc_cursor_next(&cursor, &step)) {
        if (step.closing)
            continue;
        low = fmin(low, arcsec_of(step.error));
        high = fmax(high, arcsec_of(step.error));
    }
    cc_step_clear(&step);
    cc_cursor_clear(&cursor);
    return high - low;
}

/* What the head's plan for N adds, and what its profile says it holds by that method. */
static bool ask_plan(struct cc_budget_question *question, struct request *q, struct cc_error *err)
{
    struct cc_planner *planner = NULL;
    struct cc_request request;
    struct cc_plan plan;
    enum cc_status s = cc_planner_new(&planner, &q->head, err);

    cc_request_init(&request);
    cc_plan_init(&plan);
    mpz_set_ui(request.divisions, q->divisions);
    if (s == CC_OK)
        s = cc_planner_best(&plan, NULL, planner, &request, err);
    q->plan_missing = s == CC_ENOFIT;
    if (s == CC_OK) {
        mpq_srcptr holds = cc_head_holds(&q->head, plan.method == CC_DIRECT);
        question->plan_pitch_arcsec = arcsec_of(plan.worst_pitch);
        question->plan_cumulative_arcsec = plan_range(&plan, &request);
        question->holds_arcsec = holds != NULL ? arcsec_of(holds) : 0;
    }
    cc_plan_clear(&plan);
    cc_request_clear(&request);
    cc_planner_free(planner);
    if (q->plan_missing)
        *err = (struct cc_error){ .status = CC_OK };
    return s == CC_OK || q->plan_missing;
}

static bool ask_class(struct request *q, struct cc_error *err)
{
    struct cc_flank_tolerance t;
    mpq_t module;

    mpq_init(module);
    /* A module is a number of millimetres, whatever the other lengths are in. */
    bool good = take_positive(module, q->module_text, "--module", CC_MM, err) &&
                cc_flank_tolerance(&t, q->standard, (unsigned)q->flank_class, 2 * mpq_get_d(q->radius),
                                   mpq_get_d(module), err) == CC_OK;
    mpq_clear(module);
    if (!good)
        return false;
    q->pitch_mm = t.pitch_table_um / 1000;
    q->cumulative_mm = t.cumulative_table_um / 1000;
    snprintf(q->tolerance_name, sizeof q->tolerance_name, "%s class %lu", cc_flank_standard_name(q->standard),
             q->flank_class);
    return true;
}

/* An angle (1m, 15s) or, where it is not one, a length with its unit. */
static bool ask_tolerance(struct request *q, struct cc_error *err)
{
    mpq_t value;

    mpq_init(value);
    if (cc_angle_parse(value, q->tolerance_text, NULL) == CC_OK)
        q->pitch_mm = arcsec_of(value) / q->budget.arcsec_per_mm;
    else if (cc_length_parse(value, q->tolerance_text, q->output.unit, NULL) == CC_OK)
        q->pitch_mm = mpq_get_d(value);
    else
        cc_fail(err, CC_EPARSE, "--tolerance: '%.40s' is neither an angle (15s, 1m30s) nor a length (0.02mm)",
                q->tolerance_text);
    if (err->status == CC_OK && mpq_sgn(value) <= 0)
        cc_fail(err, CC_EDOM, "--tolerance: '%.40s' must be more than 0", q->tolerance_text);
    mpq_clear(value);
    q->cumulative_mm = q->pitch_mm;
    snprintf(q->tolerance_name, sizeof q->tolerance_name, "%.60s", q->tolerance_text);
    return err->status == CC_OK;
}

static bool make_budget(struct request *q, struct cc_error *err)
{
    struct cc_budget_question question = {
        .radius_mm = mpq_get_d(q->radius),
        .divisions = (double)q->divisions,
        .both_ways = q->both_ways,
    };

    if (q->divisions == 0)
        return true;
    if (!ask_plan(&question, q, err) ||
        cc_budget_of(&q->budget, &q->findings, &question, err) != CC_OK)
        return false;
    q->has_budget = true;
    q->has_tolerance = q->has_class || q->tolerance_text != NULL;
    if (!q->has_tolerance)
        return true;
    if (!(q->has_class ? ask_class(q, err) : ask_tolerance(q, err)))
        return false;
    cc_budget_judge(&q->judgement, &q->budget, q->pitch_mm, q->cumulative_mm);
    return true;
}

/* ---- into the profile ---- */

/* The profile's text with the accuracy found, checked; to be freed. NULL with err filled. */
static char *new_profile(const struct request *q, const char *text, size_t length, size_t *new_length,
                         struct cc_error *err)
{
    char value[60];
    struct cc_head head;
    const char *key = q->direct ? "direct" : "worm";

    snprintf(value, sizeof value, "%.1fs", ceil(cc_findings_holds(&q->findings, q->both_ways) * 10 - 1e-6) / 10);
    *new_length = cc_profile_set(NULL, 0, text, length, "accuracy", key, value);
    char *all = memory_get(*new_length + 1);
    cc_profile_set(all, *new_length + 1, text, length, "accuracy", key, value);
    cc_head_init(&head);
    enum cc_status s = cc_head_read(&head, all, *new_length, q->write, q->write, err);
    cc_head_clear(&head);
    if (s == CC_OK)
        return all;
    free(all);
    return NULL;
}

static bool write_profile(const struct request *q, struct cli *cli)
{
    char *text, *all, *temp_path;
    size_t length, new_length;
    FILE *file;

    if (q->write == NULL)
        return true;
    if (!q->findings.has_positions) {
        cc_fail(&cli->err, CC_EDOM, "--write: '%.100s' has no positions table, so no accuracy was found", q->file);
        return false;
    }
    if (strcmp(q->write, "-") == 0) {
        cc_fail(&cli->err, CC_EPARSE, "--write: '-' is not a profile's file");
        return false;
    }
    if (read_file(&text, &length, q->write, cli->in, &cli->err) != CC_OK)
        return false;
    all = new_profile(q, text, length, &new_length, &cli->err);
    free(text);
    if (all == NULL)
        return false;
    file = start_file(&temp_path, q->write, &cli->err);
    bool good = file != NULL;
    if (good) {
        fwrite(all, 1, new_length, file);
        good = finish_file(file, temp_path, q->write, &cli->err) == CC_OK;
    }
    free(all);
    return good;
}

/* ---- numbers as text ---- */

/* Lengths on the card: a tenth of a micrometre, a hundred-thousandth of an inch. */
static const char *fine_text(char *buf, size_t size, const struct request *q, double mm)
{
    return fixed_text(buf, size, in_unit(mm, q->output.unit), q->output.unit == CC_INCH ? 5 : 4);
}

static const char *verdict_name(enum cc_verdict verdict)
{
    static const char *const names[] = { "within", "likely", "outside" };
    return names[verdict];
}

/* ---- card ---- */

static void card_runout(struct text *t, const struct request *q)
{
    const struct cc_findings *f = &q->findings;
    const struct cc_harmonics *h = &f->runout;
    char a[80], b[80];

    if (!f->has_runout)
        return;
    text_blank(t);
    text_para(t, "Runout: ", "  ", "%zu readings, harmonics to %u, %s", q->measured.count[CC_RUNOUT], h->order,
              cc_unit_name(q->output.unit));
    text_para(t, "  ", "    ", "eccentricity %s, high at %s°; the indicator moved %s",
              fine_text(a, sizeof a, q, h->amplitude[1]),
              fixed_text(b, sizeof b, h->high_rev[1] * 360, 1),
              fine_text((char[80]){ 0 }, 80, q, f->indicator_range_mm));
    for (unsigned k = 2; k <= h->order; k++)
        text_para(t, "  ", "    ", "harmonic %u: %s", k, fine_text(a, sizeof a, q, h->amplitude[k]));
    if (h->freedom > 0)
        text_para(t, "  ", "    ", "left over: %s at worst; so a reading scatters by %s (standard deviation)",
                  fine_text(b, sizeof b, q, h->residual_worst), fine_text(a, sizeof a, q, h->residual_rms));
    else
        text_para(t, "  ", "    ", "as many readings as numbers fitted: nothing is left to judge the fit by");
}

static void card_direction(struct text *t, const struct cc_accuracy *a, enum cc_approach d)
{
    if (a->measured[d])
        text_para(t, "  ", "    ", "from %s: repeatability R %.1f″, systematic E %.1f″, accuracy A %.1f″",
                  d == CC_BACKWARD ? "-" : "+", a->repeatability_of[d], a->systematic_of[d], a->accuracy_of[d]);
}

static void card_positions(struct text *t, const struct request *q)
{
    const struct cc_accuracy *a = &q->findings.positions;

    if (!q->findings.has_positions)
        return;
    text_blank(t);
    text_para(t, "Positions: ", "  ", "%zu targets, %lu or more runs each way, as ISO 230-2 counts, coverage factor 2",
              a->targets, a->least_runs);
    if (a->least_runs < 5)
        text_para(t, "  ", "    ", "ISO 230-2 asks for 5 runs; with %lu the repeatability is a guess", a->least_runs);
    card_direction(t, a, CC_FORWARD);
    card_direction(t, a, CC_BACKWARD);
    if (!a->measured[CC_FORWARD] || !a->measured[CC_BACKWARD])
        return;
    text_para(t, "  ", "    ", "both: reversal B %.1f″ (mean %s″), R %.1f″, E %.1f″, M %.1f″, A %.1f″", a->reversal,
              fixed_text((char[80]){ 0 }, 80, a->mean_reversal, 1), a->repeatability, a->systematic, a->mean_range,
              a->accuracy);
}

static void card_shift(struct text *t, const struct request *q, const char *name, bool has, const struct cc_shift *s)
{
    char a[80], b[80];

    if (!has)
        return;
    text_blank(t);
    text_para(t, name, "  ", "%zu readings: mean %s %s (%s″), worst %.1f″, range %.1f″", s->readings,
              fine_text(a, sizeof a, q, s->mean_mm), cc_unit_name(q->output.unit),
              fixed_text(b, sizeof b, s->mean_arcsec, 1),
              s->worst_arcsec, s->range_arcsec);
}

static void card_footstock(struct text *t, const struct request *q)
{
    const struct cc_alignment *f = &q->findings.footstock;
    double length = mpq_sgn(q->length) > 0 ? mpq_get_d(q->length) : q->output.unit == CC_INCH ? 254.0 : 100.0;
    char a[80], b[80], c[80];

    if (!q->findings.has_footstock)
        return;
    text_blank(t);
    text_para(t, "Footstock: ", "  ", "%zu readings, the work %.1f″ out of line with the spindle", f->readings,
              f->angle_arcsec);
    text_para(t, "  ", "    ", "over %s %s: a cut is %s deeper or shallower at one end, and %s out of parallel",
              fixed_text(a, sizeof a, in_unit(length, q->output.unit), 1), cc_unit_name(q->output.unit),
              fine_text(b, sizeof b, q, fabs(f->height_slope) * length),
              fine_text(c, sizeof c, q, fabs(f->side_slope) * length));
}

static void budget_row(struct text *t, const struct request *q, const char *name, double pitch_mm,
                       double cumulative_mm)
{
    char a[80], b[80], pa[120], pb[120], pn[120];

    fine_text(a, sizeof a, q, pitch_mm);
    fine_text(b, sizeof b, q, cumulative_mm);
    text_line(t, "%s%s%s", text_pad_right(pn, sizeof pn, name, 20), text_pad_left(pa, sizeof pa, a, 9),
              text_pad_left(pb, sizeof pb, b, 11));
}

static void card_verdict(struct text *t, const struct request *q)
{
    const struct cc_judgement *j = &q->judgement;
    static const char *const words[] = {
        "WITHIN, even with everything at its worst at once",
        "LIKELY WITHIN: the root of the sum of squares is, the worst case is not",
        "OUTSIDE the tolerance",
    };

    budget_row(t, q, "allowed", q->pitch_mm, q->cumulative_mm);
    text_para(t, "  ", "  ", "(%s)", q->tolerance_name);
    text_blank(t);
    text_para(t, "Verdict: ", "  ", "%s.", words[j->verdict]);
}

/* What takes most of the figure that rules, and how far its removal goes. */
static void card_improvement(struct text *t, const struct request *q)
{
    const struct cc_judgement *j = &q->judgement;
    enum cc_budget_kind kind = q->budget.line[j->best].kind;
    char a[80], b[80];

    text_para(t, "Helps most: ", "  ", "%s: %s.", cc_budget_name(kind), cc_budget_advice(kind));
    text_para(t, "  ", "  ", "Without it the worst case is %s pitch, %s cumulative%s%s.",
              fine_text(a, sizeof a, q, j->without_pitch_mm), fine_text(b, sizeof b, q, j->without_cumulative_mm),
              q->has_tolerance ? ": " : "", q->has_tolerance ? verdict_name(j->then) : "");
}

static void card_budget(struct text *t, const struct request *q)
{
    const struct cc_budget *b = &q->budget;
    const char *unit = cc_unit_name(q->output.unit);
    char radius[400];

    if (!q->has_budget)
        return;
    text_blank(t);
    text_para(t, "", "  ", "Errors of %lu divisions at a radius of %s %s, as lengths in %s", q->divisions,
              fixed_text(radius, sizeof radius, in_unit(mpq_get_d(q->radius), q->output.unit), 3), unit, unit);
    if (q->plan_missing)
        text_para(t, "  ", "  ", "The head has no plan for so many divisions; this is about positions only.");
    if (!q->findings.has_positions)
        text_para(t, "  ", "  ", "No positions were measured: worm and plate are as the profile states, or left out "
                  "where it states nothing.");
    text_line(t, "%20s%9s%11s", "", "pitch", "cumulative");
    for (size_t i = 0; i < b->lines; i++)
        budget_row(t, q, cc_budget_name(b->line[i].kind), b->line[i].pitch_mm, b->line[i].cumulative_mm);
    budget_row(t, q, "worst case", b->worst_pitch_mm, b->worst_cumulative_mm);
    budget_row(t, q, "root of squares", b->rss_pitch_mm, b->rss_cumulative_mm);
    if (q->has_tolerance) {
        card_verdict(t, q);
        card_improvement(t, q);
    }
}

static void write_card(struct cli *cli, const struct request *q)
{
    struct text t;

    text_init(&t, cli->out, &q->output);
    text_para(&t, "", "  ", "Measured: %s", q->file);
    if (q->has_budget)
        text_para(&t, "", "  ", "Head: %s", q->head.title);
    card_runout(&t, q);
    card_positions(&t, q);
    card_shift(&t, q, "Spindle clamp: ", q->findings.has_clamp, &q->findings.clamp);
    card_shift(&t, q, "Push and pull: ", q->findings.has_push_pull, &q->findings.push_pull);
    card_footstock(&t, q);
    card_budget(&t, q);
    if (q->write != NULL) {
        text_blank(&t);
        text_para(&t, "", "  ", "Accuracy written into %s, as %s.", q->write, q->direct ? "direct" : "worm");
    }
}

/* ---- records: the same items as JSON members and as CSV rows ---- */

struct items {
    const struct request *q;
    struct json *json;      /* NULL: rows into csv */
    struct csv *csv;
    const char *part;       /* name of the part for rows */
};

static void item(struct items *o, const char *key, const char *unit, double value, unsigned decimals)
{
    char buf[400];

    if (o->json != NULL) {
        snprintf(buf, sizeof buf, "%s%s%s", key, unit[0] != '\0' ? "_" : "", unit);
        json_double(o->json, buf, value, decimals);
        return;
    }
    csv_field(o->csv, o->part);
    csv_field(o->csv, key);
    csv_field(o->csv, fixed_text(buf, sizeof buf, value, decimals));
    csv_field(o->csv, unit);
    csv_end_row(o->csv);
}

static void item_length(struct items *o, const char *key, double mm)
{
    item(o, key, cc_unit_name(o->q->output.unit), in_unit(mm, o->q->output.unit), 6);
}

static void item_arcsec(struct items *o, const char *key, double arcsec)
{
    item(o, key, "arcsec", arcsec, 3);
}

static void item_count(struct items *o, const char *key, double count)
{
    item(o, key, "", count, 0);
}

static void item_ratio(struct items *o, const char *key, double ratio)
{
    item(o, key, "", ratio, 9);
}

/* Begin a part; false where it is absent (JSON: null). */
static bool part_begin(struct items *o, const char *part, bool present)
{
    o->part = part;
    if (o->json != NULL && present)
        json_open_object(o->json, part);
    else if (o->json != NULL)
        json_null(o->json, part);
    return present;
}

static void part_end(struct items *o)
{
    if (o->json != NULL)
        json_close_object(o->json);
}

static void harmonic_items(struct items *o, const struct cc_harmonics *h)
{
    char name[40];

    if (o->json != NULL)
        json_open_array(o->json, "harmonics");
    for (unsigned k = 1; k <= h->order; k++) {
        if (o->json != NULL)
            json_open_object(o->json, NULL);
        snprintf(name, sizeof name, "harmonic %u", k);
        o->part = name;
        item_count(o, "harmonic", k);
        item_length(o, "amplitude", h->amplitude[k]);
        item(o, "high", "deg", h->high_rev[k] * 360, 3);
        if (o->json != NULL)
            json_close_object(o->json);
    }
    if (o->json != NULL)
        json_close_array(o->json);
}

static void runout_items(struct items *o)
{
    const struct cc_findings *f = &o->q->findings;

    if (!part_begin(o, "runout", f->has_runout))
        return;
    item_count(o, "readings", (double)o->q->measured.count[CC_RUNOUT]);
    item_length(o, "eccentricity", f->runout.amplitude[1]);
    item(o, "high", "deg", f->runout.high_rev[1] * 360, 3);
    item_length(o, "range", f->indicator_range_mm);
    item_length(o, "residual_rms", f->runout.residual_rms);
    item_length(o, "residual_worst", f->runout.residual_worst);
    item_count(o, "freedom", (double)f->runout.freedom);
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
        item_count(o, "targets", (double)a->targets);
        item_count(o, "least_runs", (double)a->least_runs);
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
    item_count(o, "readings", (double)s->readings);
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
    item_count(o, "readings", (double)f->readings);
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

static const struct cc_budget_line *line_of(const struct request *q, enum cc_budget_kind kind)
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
    const struct request *q = o->q;
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

static void write_jsonl(struct cli *cli, const struct request *q)
{
    struct json json;
    struct items o = { .q = q, .json = &json };
    const struct cc_judgement *j = &q->judgement;
    char n[40], key[40];

    json_open(&json, cli->out);
    json_string(&json, "record", "assess");
    json_number(&json, "schema", 1);
    json_string(&json, "command", "assess");
    json_string(&json, "file", q->file);
    json_string(&json, "head", q->head.title);
    snprintf(n, sizeof n, "%lu", q->divisions);
    json_string(&json, "divisions", q->divisions != 0 ? n : NULL);
    snprintf(key, sizeof key, "radius_%s", cc_unit_name(q->output.unit));
    if (q->has_budget)
        json_double(&json, key, in_unit(mpq_get_d(q->radius), q->output.unit), 6);
    else
        json_null(&json, key);
    json_bool(&json, "both_ways", q->both_ways);
    all_items(&o);
    json_string(&json, "tolerance_name", q->has_tolerance ? q->tolerance_name : NULL);
    json_string(&json, "verdict", q->has_tolerance ? verdict_name(j->verdict) : NULL);
    json_string(&json, "best_improvement",
                q->has_tolerance ? cc_budget_name(q->budget.line[j->best].kind) : NULL);
    json_string(&json, "verdict_then", q->has_tolerance ? verdict_name(j->then) : NULL);
    json_string(&json, "written", q->write);
    json_close(&json);
}

static void verdict_row(struct csv *csv, const char *name, const char *value)
{
    csv_field(csv, "verdict");
    csv_field(csv, name);
    csv_field(csv, value);
    csv_field(csv, "");
    csv_end_row(csv);
}

static void write_csv(struct cli *cli, const struct request *q)
{
    struct csv csv;
    struct items o = { .q = q, .csv = &csv };
    const struct cc_judgement *j = &q->judgement;

    csv_init(&csv, cli->out, q->output.format == FORMAT_TSV);
    csv_header(&csv, "part,quantity,value,unit");
    all_items(&o);
    if (!q->has_tolerance)
        return;
    verdict_row(&csv, "verdict", verdict_name(j->verdict));
    verdict_row(&csv, "best_improvement", cc_budget_name(q->budget.line[j->best].kind));
    verdict_row(&csv, "verdict_then", verdict_name(j->then));
}

static void write_svg(struct cli *cli, const struct request *q)
{
    struct assess_picture picture = {
        .file = q->file, .head = q->head.title, .measured = &q->measured, .findings = &q->findings,
        .unit = q->output.unit, .divisions = q->divisions,
    };

    write_assess_drawing(cli->out, &picture);
}

/* ---- command ---- */

static int write_assess(struct cli *cli, struct request *q)
{
    int status = output_begin(&q->output, cli);

    if (status != EXIT_YES)
        return status;
    switch (q->output.format) {
    case FORMAT_JSONL:
        write_jsonl(cli, q);
        break;
    case FORMAT_CSV:
    case FORMAT_TSV:
        write_csv(cli, q);
        break;
    case FORMAT_SVG:
        write_svg(cli, q);
        break;
    default:
        write_card(cli, q);
        break;
    }
    return output_end(&q->output, cli,
                      q->has_tolerance && q->judgement.verdict != CC_WITHIN ? EXIT_NO : EXIT_YES);
}

int cmd_assess(struct cli *cli, int argc, char **argv)
{
    struct request q;
    int status = EXIT_TROUBLE;

    request_init(&q);
    if (read_request(&q, cli, argc, argv) &&
        find_head(&q.head, q.head_name, q.mounted, &cli->err) == CC_OK && find(&q, cli) &&
        make_budget(&q, &cli->err) && write_profile(&q, cli))
        status = write_assess(cli, &q);
    request_clear(&q);
    return status;
}
