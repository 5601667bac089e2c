/* layout_job.c: see layout_job.h. */
#include "cli/subject/layout_job.h"

#include <math.h>
#include <stdlib.h>

#include "cli/base/memory.h"
#include "cli/out/quantities.h"

void layout_job_init(struct layout_job *q)
{
    *q = (struct layout_job){ .slots = false };
    output_init(&q->output);
    cc_layout_init(&q->layout);
    cc_layout_init(&q->slot);
    mpq_init(q->pin);
}

void layout_job_clear(struct layout_job *q)
{
    for (size_t i = 0; q->angle != NULL && i < q->count; i++)
        mpq_clear(q->angle[i]);
    free(q->angle);
    free(q->label);
    mpq_clear(q->pin);
    cc_layout_clear(&q->slot);
    cc_layout_clear(&q->layout);
}

/* ---- the positions ---- */

void layout_position_init(struct layout_position *p)
{
    mpq_init(p->angle);
    cc_layout_point_init(&p->here);
    cc_layout_point_init(&p->next);
    cc_layout_point_init(&p->far);
    cc_layout_point_init(&p->slot);
}

void layout_position_clear(struct layout_position *p)
{
    cc_layout_point_clear(&p->slot);
    cc_layout_point_clear(&p->far);
    cc_layout_point_clear(&p->next);
    cc_layout_point_clear(&p->here);
    mpq_clear(p->angle);
}

static void angle_of(mpq_t angle, const struct layout_job *q, size_t i)
{
    if (q->angle != NULL) {
        mpq_set(angle, q->angle[i]);
        return;
    }
    mpq_set_ui(angle, i, q->count);
    mpq_canonicalize(angle);
}

/* The chord from position i to k. */
static double chord_to(const struct layout_job *q, const mpq_t from, size_t k)
{
    mpq_t apart;

    mpq_init(apart);
    angle_of(apart, q, k);
    mpq_sub(apart, apart, from);
    double chord = cc_chord(mpq_get_d(q->layout.diameter), apart);
    mpq_clear(apart);
    return chord;
}

static size_t farthest(const struct layout_job *q, const mpq_t from, size_t i)
{
    size_t best = i;
    double longest = 0;

    if (q->angle == NULL)
        return (i + q->count / 2) % q->count;
    for (size_t k = 0; k < q->count; k++) {
        double chord = chord_to(q, from, k);
        if (chord > longest) {
            longest = chord;
            best = k;
        }
    }
    return best;
}

static void at_index(struct cc_layout_point *point, const struct layout_job *q, size_t i)
{
    mpq_t angle;

    mpq_init(angle);
    angle_of(angle, q, i);
    cc_layout_at(point, &q->layout, angle);
    mpq_clear(angle);
}

void layout_position_at(struct layout_position *p, const struct layout_job *q, size_t i)
{
    size_t next = (i + 1) % q->count;

    p->index = i;
    p->label = q->label != NULL ? q->label[i] : "";
    angle_of(p->angle, q, i);
    at_index(&p->here, q, i);
    at_index(&p->next, q, next);
    p->far_index = farthest(q, p->angle, i);
    at_index(&p->far, q, p->far_index);
    p->chord_mm = chord_to(q, p->angle, next);
    p->chord_set_mm = cc_layout_distance_mm(&p->here, &p->next);
    p->far_mm = chord_to(q, p->angle, p->far_index);
    p->far_set_mm = cc_layout_distance_mm(&p->here, &p->far);
    if (q->slots)
        cc_layout_at(&p->slot, &q->slot, p->angle);
}

void layout_summarise(struct layout_summary *s, const struct layout_job *q)
{
    struct layout_position p;

    *s = (struct layout_summary){ .least_chord_mm = HUGE_VAL, .least_far_mm = HUGE_VAL };
    layout_position_init(&p);
    for (size_t i = 0; i < q->count; i++) {
        layout_position_at(&p, q, i);
        s->off_mm = fmax(s->off_mm, p.here.off_mm);
        s->arcsec = fmax(s->arcsec, fabs(p.here.angle_error_arcsec));
        s->least_chord_mm = fmin(s->least_chord_mm, p.chord_set_mm);
        s->most_chord_mm = fmax(s->most_chord_mm, p.chord_set_mm);
        s->least_far_mm = fmin(s->least_far_mm, p.far_set_mm);
        s->most_far_mm = fmax(s->most_far_mm, p.far_set_mm);
    }
    layout_position_clear(&p);
}

/* ---- settings ---- */

unsigned layout_decimals(const struct layout_job *q)
{
    mpq_t r;
    unsigned decimals = 0;

    mpq_init(r);
    in_unit_exact(r, q->layout.resolution, q->output.unit);
    while (decimals < 6 && mpz_cmp_ui(mpq_denref(r), 1) != 0) {
        mpz_mul_ui(mpq_numref(r), mpq_numref(r), 10);
        mpq_canonicalize(r);
        decimals++;
    }
    mpq_clear(r);
    return decimals;
}

const char *layout_setting(char *buf, size_t size, const struct layout_job *q, const mpq_t mm)
{
    cc_length_str(buf, size, mm, q->output.unit, layout_decimals(q));
    return buf;
}
