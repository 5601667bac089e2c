/*
 * layout_job.h: what the files of the command layout share: the circle asked for, its positions, and what each is
 * checked by.
 */
#ifndef CRANKCARD_CLI_SUBJECT_LAYOUT_JOB_H
#define CRANKCARD_CLI_SUBJECT_LAYOUT_JOB_H

#include "crankcard/layout.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"

struct layout_job {
    struct output output;
    struct cc_layout layout, slot;      /* slot: the other ends, diameter 0 without slots */
    bool slots, angles, corner, has_centre, has_resolution;
    mpq_t pin;
    /* positions */
    size_t count;
    mpq_t *angle;                       /* of a list; NULL for equal divisions */
    const char **label;                 /* "" without one */
};

void layout_job_init(struct layout_job *q);
void layout_job_clear(struct layout_job *q);

/* ---- positions ---- */

/* One position and what it is checked by. */
struct layout_position {
    size_t index;
    const char *label;
    mpq_t angle;
    struct cc_layout_point here, next, far, slot;
    size_t far_index;           /* the position nearest opposite */
    double chord_mm, chord_set_mm;      /* to the next, round to the first: true and as set */
    double far_mm, far_set_mm;          /* across */
};

void layout_position_init(struct layout_position *p);
void layout_position_clear(struct layout_position *p);

/* Position i, from 0, of the job. */
void layout_position_at(struct layout_position *p, const struct layout_job *q, size_t i);

/* The worst of all positions, and the range of chords as set. */
struct layout_summary {
    double off_mm, arcsec;
    double least_chord_mm, most_chord_mm, least_far_mm, most_far_mm;
};

void layout_summarise(struct layout_summary *s, const struct layout_job *q);

/* ---- settings ---- */

/* Decimals that show every multiple of the resolution, 6 at most. */
unsigned layout_decimals(const struct layout_job *q);

/* A dial setting in the unit of the output, with that many decimals. */
const char *layout_setting(char *buf, size_t size, const struct layout_job *q, const mpq_t mm);

/* ---- writers ---- */

void layout_write_card(FILE *out, const struct layout_job *q);
extern const struct form layout_form, point_form;
void layout_write_records(FILE *out, const struct layout_job *q);        /* jsonl, csv and tsv */
void layout_write_drawing(FILE *out, const struct layout_job *q);

#endif
