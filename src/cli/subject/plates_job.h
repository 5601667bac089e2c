/*
 * plates_job.h: what the files of the command plates share: the numbers asked for, those that the head does not serve,
 * and the plate that would serve most of them.
 */
#ifndef CRANKCARD_CLI_SUBJECT_PLATES_JOB_H
#define CRANKCARD_CLI_SUBJECT_PLATES_JOB_H

#include "crankcard/head.h"
#include "crankcard/plates.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/out/form.h"

struct number_list {
    unsigned long *at;
    size_t n, room;
};

struct plates_job {
    struct output output;
    struct head_choice choice;
    struct cc_head head;
    struct number_list numbers, want;
    unsigned methods;               /* bits of enum cc_method; 0: direct and plain */
    unsigned long circles, least, most, make;
    mpq_t drill, diameter, holds;   /* mm, mm, revolutions; 0 where not given */
    bool has_drill, has_diameter, has_holds;
    /* answers */
    struct number_list unserved;
    long long *weight;              /* of each unserved number */
    struct cc_new_plate plate;
    bool has_plate;
};

void plates_job_init(struct plates_job *q);
void plates_job_clear(struct plates_job *q);

/* ---- lists of numbers ---- */

void number_list_add(struct number_list *list, unsigned long number);
void number_list_sort(struct number_list *list);        /* each number once */
bool number_list_has(const struct number_list *list, unsigned long number);     /* list is sorted */

/* ---- answers ---- */

/* Fill q->unserved from q->numbers. */
enum cc_status plates_list_unserved(struct plates_job *q, struct cc_error *err);

/* The plate that serves most of q->unserved. */
enum cc_status plates_choose(struct plates_job *q, struct cc_error *err);

/* Whether a circle of the new plate serves the number. */
bool plates_new_serves(const struct plates_job *q, unsigned long number);

/* Half of what the head's dial reads, of the spindle: no position is further off; revolutions. */
void plates_dial_error(mpq_t half, const struct cc_head *head);

/* ---- writers ---- */

/* A text that grows, for lists of numbers; starts as { 0 }, and text is to be freed. */
struct grown {
    char *text;
    size_t used, room;
};

void grown_add(struct grown *g, const char *separator, unsigned long number);

void plates_write_card(FILE *out, const struct plates_job *q);
extern const struct form plates_form, circle_form, number_form;
void plates_write_records(FILE *out, const struct plates_job *q);       /* jsonl, csv and tsv */

#endif
