/* assess_card.c: findings, budget and verdict in words. */
#include <math.h>

#include "cli/out/quantities.h"
#include "cli/out/text.h"
#include "cli/subject/assess_job.h"

/* Lengths on the card: a tenth of a micrometre, a hundred-thousandth of an inch. */
static const char *fine_text(char *buf, size_t size, const struct assess_job *q, double mm)
{
    return fixed_text(buf, size, in_unit(mm, q->output.unit), q->output.unit == CC_INCH ? 5 : 4);
}

/* A reading far from the others, where its table has one: distance and usual in words, then what the others are. */
static void card_stray(struct text *t, const struct assess_job *q, enum cc_measured kind, const char *others)
{
    const struct cc_stray *s = &q->findings.stray[kind];
    char far[100], usual[100], more[60] = "";

    if (s->count == 0)
        return;
    if (kind == CC_RUNOUT) {
        fine_text(far, sizeof far, q, s->distance);
        fine_text(usual, sizeof usual, q, s->usual);
    } else {
        snprintf(far, sizeof far, "%.1f″", s->distance);
        snprintf(usual, sizeof usual, "%.1f″", s->usual);
    }
    if (s->count > 1)
        snprintf(more, sizeof more, "; %zu readings are far off", s->count);
    text_para(t, "  ", "    ", "LOOK AGAIN at line %lu: %s from %s, where %s is usual%s", s->line, far, others, usual, more);
}

static void card_runout(struct text *t, const struct assess_job *q)
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
    card_stray(t, q, CC_RUNOUT, "a smooth curve through all");
}

static void card_direction(struct text *t, const struct cc_accuracy *a, enum cc_approach d)
{
    if (a->measured[d])
        text_para(t, "  ", "    ", "from %s: repeatability R %.1f″, systematic E %.1f″, accuracy A %.1f″",
                  d == CC_BACKWARD ? "-" : "+", a->repeatability_of[d], a->systematic_of[d], a->accuracy_of[d]);
}

static void card_worm(struct text *t, const struct assess_job *q)
{
    char ratio[80];

    if (!q->has_worm_share)
        return;
    fixed_text(ratio, sizeof ratio, mpq_get_d(q->head.worm), mpz_cmp_ui(mpq_denref(q->head.worm), 1) == 0 ? 0 : 3);
    if (assess_hides_worm(q))
        text_para(t, "  ", "    ", "NOT MEASURED: the worm's error within a crank turn. On %s:1 the targets fall where %.0f %% "
                  "of it is sure to show. Take some that end in thirds or fifths of a crank turn", ratio, q->worm_share * 100);
    else
        text_para(t, "  ", "    ", "on %s:1 the targets show %.0f %% or more of the worm's error within a crank turn",
                  ratio, floor(q->worm_share * 100 + 1e-6));
}

static void card_positions(struct text *t, const struct assess_job *q)
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
    if (a->measured[CC_FORWARD] && a->measured[CC_BACKWARD])
        text_para(t, "  ", "    ", "both: reversal B %.1f″ (mean %s″), R %.1f″, E %.1f″, M %.1f″, A %.1f″", a->reversal,
                  fixed_text((char[80]){ 0 }, 80, a->mean_reversal, 1), a->repeatability, a->systematic, a->mean_range,
                  a->accuracy);
    card_worm(t, q);
    card_stray(t, q, CC_POSITIONS, "the other runs there");
}

static void card_shift(struct text *t, const struct assess_job *q, const char *name, enum cc_measured kind,
                       const struct cc_shift *s)
{
    char a[80], b[80];

    if (q->measured.count[kind] == 0)
        return;
    text_blank(t);
    text_para(t, name, "  ", "%zu readings: mean %s %s (%s″), worst %.1f″, range %.1f″", s->readings,
              fine_text(a, sizeof a, q, s->mean_mm), cc_unit_name(q->output.unit),
              fixed_text(b, sizeof b, s->mean_arcsec, 1),
              s->worst_arcsec, s->range_arcsec);
    card_stray(t, q, kind, "the others");
}

static void card_footstock(struct text *t, const struct assess_job *q)
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

static const struct table_column budget_columns[] = {
    { "", 20, 0, true }, { "pitch", 9, 0, false }, { "cumulative", 11, 0, false },
};
static const struct table budget_table = { budget_columns, 3, false, 1 };      /* not in columns of rows */

static void budget_row(struct text *t, const struct assess_job *q, const char *name, double pitch_mm,
                       double cumulative_mm)
{
    char a[80], b[80];
    const char *const cells[] = { name, fine_text(a, sizeof a, q, pitch_mm), fine_text(b, sizeof b, q, cumulative_mm) };

    text_row(t, &budget_table, cells, "");
}

static void card_verdict(struct text *t, const struct assess_job *q)
{
    const struct cc_judgement *j = &q->judgement;
    static const char *const words[] = {
        "WITHIN, even with everything at its worst at once",
        "LIKELY WITHIN: the root of the sum of squares is, the worst case is not",
        "OUTSIDE the tolerance",
        "WITHIN AS FAR AS MEASURED, with all of that at its worst at once",
    };
    char missing[UNMEASURED_SIZE];

    budget_row(t, q, "allowed", q->pitch_mm, q->cumulative_mm);
    text_para(t, "  ", "  ", "(%s)", q->tolerance_name);
    text_blank(t);
    text_para(t, "Verdict: ", "  ", "%s.", words[j->verdict]);
    if (q->budget.unmeasured != 0)
        text_para(t, "Not measured: ", "  ", "%s.", assess_unmeasured(missing, q));
}

/* What takes most of the figure that rules, and how far its removal goes. */
static void card_improvement(struct text *t, const struct assess_job *q)
{
    const struct cc_judgement *j = &q->judgement;
    enum cc_budget_kind kind = q->budget.line[j->best].kind;
    static const char *const then[] = { "within", "likely", "outside", "within as far as measured" };
    char a[80], b[80];

    text_para(t, "Helps most: ", "  ", "%s: %s.", cc_budget_name(kind), cc_budget_advice(kind));
    text_para(t, "  ", "  ", "Without it the worst case is %s pitch, %s cumulative%s%s.",
              fine_text(a, sizeof a, q, j->without_pitch_mm), fine_text(b, sizeof b, q, j->without_cumulative_mm),
              q->has_tolerance ? ": " : "", q->has_tolerance ? then[j->then] : "");
}

static void card_budget(struct text *t, const struct assess_job *q)
{
    const struct cc_budget *b = &q->budget;
    const char *unit = cc_unit_name(q->output.unit);
    char radius[400];

    if (!q->has_budget)
        return;
    text_blank(t);
    text_heading(t, "Errors of %lu divisions at a radius of %s %s, as lengths in %s", q->divisions,
              fixed_text(radius, sizeof radius, in_unit(mpq_get_d(q->radius), q->output.unit), 3), unit, unit);
    if (q->plan_missing)
        text_para(t, "  ", "  ", "The head has no plan for so many divisions; this is about positions only.");
    if (!q->findings.has_positions)
        text_para(t, "  ", "  ", "No positions were measured: worm and plate are as the profile states, or left out "
                  "where it states nothing.");
    text_table(t, &budget_table);
    for (size_t i = 0; i < b->lines; i++)
        budget_row(t, q, cc_budget_name(b->line[i].kind), b->line[i].pitch_mm, b->line[i].cumulative_mm);
    budget_row(t, q, "worst case", b->worst_pitch_mm, b->worst_cumulative_mm);
    budget_row(t, q, "root of squares", b->rss_pitch_mm, b->rss_cumulative_mm);
    if (q->has_tolerance) {
        card_verdict(t, q);
        card_improvement(t, q);
    }
}

/* In HTML: what there is a picture of. */
static void put_picture(struct text *t, const struct assess_job *q)
{
    FILE *picture = q->findings.has_runout || q->findings.has_positions ? text_picture_begin(t) : NULL;

    if (picture == NULL)
        return;
    assess_write_drawing(picture, q);
    text_picture_end(t);
}

void assess_write_card(FILE *out, const struct assess_job *q)
{
    struct text t;

    text_init(&t, out, &q->output);
    text_title(&t, "Measured: %s", q->file);
    if (q->has_budget)
        text_para(&t, "", "  ", "Head: %s", q->head.title);
    put_picture(&t, q);
    card_runout(&t, q);
    card_positions(&t, q);
    card_shift(&t, q, "Spindle clamp: ", CC_CLAMP, &q->findings.clamp);
    card_shift(&t, q, "Push and pull: ", CC_PUSH_PULL, &q->findings.push_pull);
    card_footstock(&t, q);
    card_budget(&t, q);
    if (q->write != NULL) {
        text_blank(&t);
        text_para(&t, "", "  ", "Accuracy written into %s, as %s.", q->write, assess_indexed_by[q->indexed]);
    }
    text_end(&t);
}
