/*
 * tilt_job.h: what the files of the command tilt share: the kinds of teeth, and the tilt asked for.
 */
#ifndef CRANKCARD_CLI_SUBJECT_TILT_JOB_H
#define CRANKCARD_CLI_SUBJECT_TILT_JOB_H

#include "crankcard/head.h"
#include "crankcard/tilt.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"

/* Which options a kind of teeth needs. */
enum { NEEDS_CUTTER = 1, NEEDS_CONE = 2, NEEDS_MATE = 4, TAKES_BORE = 8, TAKES_SHAFT = 16 };

struct tilt_kind {
    const char *name;
    enum cc_teeth_kind kind;
    unsigned needs;
    const char *title;
    const char *from;       /* what the angles are measured from */
    const char *cut;        /* how the cutter stands and how the cut is set */
};

enum { TILT_KINDS = 7 };
extern const struct tilt_kind tilt_kinds[TILT_KINDS];

/* What was measured; the lengths are those of the proofs. */
enum tilt_by { TILT_BY_TRAVEL, TILT_BY_BAR, TILT_BY_SINE };

/* What a measurement says. */
struct tilt_found {
    mpq_t at, off;          /* revolutions: where the spindle stands; less what it should be */
    mpq_t bar;              /* the bar against the spindle's axis; with a second reading alone */
    mpq_t zero;             /* of the scale, where it was read */
    double correction_mm;   /* by how much the reading must change */
};

struct tilt_job {
    const char *angle;          /* the operand, or NULL */
    const struct tilt_kind *kind;        /* or NULL */
    struct cc_teeth teeth;
    mpq_t bore, zero, travel, bar, sine;    /* lengths are 0 where not given */
    mpq_t tilt, scale;
    /* the way back */
    mpq_t reading, turned, shown;       /* mm as read, mm with the spindle turned half round, what the scale shows */
    bool has_reading, has_turned, has_shown, has_by;
    enum tilt_by by;
    const char *write;          /* the profile that the scale's zero goes into, or NULL */
    struct tilt_found found;
    bool first;                 /* how the scale's zero is found, the first time */
    bool zero_given, has_cutter, has_cone, has_mate, has_shaft, has_bore;
    unsigned given;             /* needs that were met */
    struct output output;
    struct head_choice choice;
};

void tilt_job_init(struct tilt_job *r);
void tilt_job_clear(struct tilt_job *r);

/* The tilt, what the scale shows for it, and lengths that were not given. */
enum cc_status tilt_work_out(struct tilt_job *r, const struct cc_head *head, struct cc_error *err);

/* The two readings whose worth as an angle is told, as lengths. */
enum { TILT_MISREADINGS = 2 };
extern const char *const tilt_misreadings[TILT_MISREADINGS];

/* The length that was measured over. */
mpq_srcptr tilt_length(const struct tilt_job *r);

/* What goes into the profile: the scale's zero to a second. */
void tilt_zero_text(char *buf, size_t size, const struct tilt_job *r);

/* Whether a stack of blocks would be too thin to be made, so that something else proves the angle. */
bool tilt_stack_is_thin(const struct tilt_job *r);

struct text;
void tilt_write_back(struct text *t, const struct tilt_job *r);      /* of a card: where the spindle stands */
void tilt_write_first(FILE *out, const struct tilt_job *r, const struct cc_head *head);      /* a card: the scale's zero */
void tilt_write_card(FILE *out, const struct tilt_job *r, const struct cc_head *head);
extern const struct form tilt_form;
void tilt_write_record(FILE *out, const struct tilt_job *r, const struct cc_head *head);

#endif
