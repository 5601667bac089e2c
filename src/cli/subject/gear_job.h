/*
 * gear_job.h: what the files of the command gear share: one gear to be cut, and the list of them.
 */
#ifndef CRANKCARD_CLI_SUBJECT_GEAR_JOB_H
#define CRANKCARD_CLI_SUBJECT_GEAR_JOB_H

#include "crankcard/crankcard.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"
#include "cli/out/text.h"

struct gear_item {
    struct cc_gear_request ask;
    enum cc_hand hand;      /* of a helical gear; right unless given */
    bool has_hand;          /* it was given */
    bool by_pitch;          /* asked for by diametral pitch */
    char *name;             /* or NULL */
    struct cc_gear gear;    /* the answer */
    struct cc_sheet_item work;      /* its dividing, as asked for, and the plan for that */
    bool has_gearing;       /* helical, with --screw */
    struct cc_gearing gearing;
    char no_gearing[200];   /* why not; empty where none was asked for */
};

struct gear_job {
    struct cc_head head;
    struct gear_item *at;   /* in the order of work once planned */
    size_t n, room;
    enum cc_cutter_series series;
    size_t plate_changes;
    bool has_tolerance;
    mpq_t tolerance;
    mpq_t screw;            /* mm, of the table; 0 = not given */
    const char *tolerance_text;     /* as it was typed, or NULL */
    char head_words[HEAD_WORDS];    /* --head and --mounted as they were typed */
    char **words;           /* the options as they were typed, without teeth; not the job's own */
    size_t word_count;      /* 0 where they do not say all, as with a file */
};

void gear_job_init(struct gear_job *job);
void gear_job_clear(struct gear_job *job);

void gear_item_init(struct gear_item *item);
void gear_item_clear(struct gear_item *item);

/* to, which is initialised here, asks for the same as from. */
void gear_item_copy(struct gear_item *to, const struct gear_item *from);

/* Such a copy at the end of the job; the pointer lives until the next one. */
struct gear_item *gear_job_add(struct gear_job *job, const struct gear_item *from);

/* Plan every item and put them in the order of work. */
enum cc_status gear_job_plan(struct gear_job *job, struct cc_error *err);

/* The cutter of the series that the job uses. */
const struct cc_cutter *gear_item_cutter(const struct gear_job *job, const struct gear_item *item);

/* Whether both are cut with the same cutter. */
bool gear_same_cutter(const struct gear_job *job, const struct gear_item *a, const struct gear_item *b);

/* Whether the head tilts to the root angle of a bevel gear; true for other gears, and where the profile is silent. */
bool gear_can_tilt(const struct gear_job *job, const struct gear_item *item);

/* "spur", "helical" or "bevel". */
const char *gear_kind_name(enum cc_gear_kind kind);

/* "right" or "left". */
const char *gear_hand_name(enum cc_hand hand);

void gear_write_card(struct text *text, const struct gear_job *job, enum cc_unit unit);
extern const struct form gear_form;
void gear_write_records(FILE *out, const struct gear_job *job, const struct output *output);

#endif
