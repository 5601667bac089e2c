/*
 * job.h: one request as typed: its head, what is wanted, the plan that serves it, how to show it.
 * divide, angles, methods, follow and recover are all jobs.
 */
#ifndef CRANKCARD_CLI_JOB_H
#define CRANKCARD_CLI_JOB_H

#include "cli/cli.h"
#include "cli/job/marks.h"

enum way { WAY_UNKNOWN = 0, WAY_CLOCKWISE = 1, WAY_COUNTER = 2 };

struct view {               /* which steps, and how */
    bool has_from, has_to;
    unsigned long from, to;
    bool no_steps, all_steps, tally, decimal, strip;
    bool has_radius;
    mpq_t radius;           /* mm */
    enum way grow;          /* asked for: which way positions follow each other on the work */
    unsigned long exaggeration;     /* of errors in a drawing; 0 where not asked for */
};

struct job {
    const char *command;    /* "divide", "angles" */
    const char *head_name, *mounted;
    struct cc_head head;
    struct cc_request request;
    struct cc_planner *planner;
    bool lent;              /* head and planner are a batch's: not ours to clear */
    struct cc_plan plan;
    struct cc_answer answer;
    struct view view;
    bool count_ends;        /* --ends: N counts marks */
    bool every;             /* --all of methods: every plan */
    struct marks marks;     /* graduating: lengths of lines and numerals */
    struct output output;
};

extern const struct option_row divide_options[];
extern const struct option_row plan_options[];
extern const struct option_row step_options[];
extern const struct option_row hand_options[];  /* for work that would be wrong if it were mirrored */

void job_init(struct job *job, const char *command);
void job_clear(struct job *job);

/* Take an option of head_options, plan_options, step_options, hand_options or output_options. */
bool job_option(struct job *job, int id, const char *text, struct cc_error *err);

/* Load the head and make the planner. Returns an exit status. */
int job_load(struct job *job, struct cli *cli);

/* Load, and find the best plan. */
int job_plan(struct job *job, struct cli *cli);

/*
 * Which way positions follow each other on the work, seen at the spindle nose: as asked, else as it comes with
 * forward clockwise; WAY_UNKNOWN where the profile does not say how the spindle turns. And which way forward is:
 * of the crank, or of the spindle by hand for direct.
 */
enum way job_grow(const struct job *job, const struct cc_plan *plan);
enum way job_forward(const struct job *job, const struct cc_plan *plan);

/* EXIT_YES, or EXIT_NO where a tolerance was asked for and the plan is not within it. */
int job_verdict(const struct job *job);

/* Check --from and --to against the plan; first and last row to show. */
bool job_rows(const struct job *job, uint64_t *first, uint64_t *last, struct cc_error *err);

/* Write plan and steps in the format asked for. Returns an exit status. */
int job_write(struct job *job, struct cli *cli);

/* A whole command: read the request, plan, write. Returns an exit status. */
int job_run(struct cli *cli, const char *command,
            int (*read)(struct job *job, struct cli *cli, int argc, char **argv), int argc, char **argv);

/* ---- readers for operands and option values ---- */

/* An angle; what ("--arc") is put before a message. */
bool read_angle(mpq_t revolutions, const char *text, const char *what, struct cc_error *err);

/* A count of something, 1 or more; the message says what is right whatever was typed. */
bool read_count(mpz_t count, const char *text, const char *what, struct cc_error *err);

/* One count with the options of the tables given (divide's own, job's and output's, and switches of no effect). */
int job_read_request(struct job *job, struct cli *cli, int argc, char **argv,
                     const struct option_row *const *tables);

/*
 * The request of divide from its arguments (options of all tables included). Returns an exit status.
 */
int job_read_divide(struct job *job, struct cli *cli, int argc, char **argv);

/* The same of angles. */
int job_read_angles(struct job *job, struct cli *cli, int argc, char **argv);

/* ---- writers ---- */

#define LABEL_SIZE 256

/*
 * What stands beside a row: the label of a list's position, or a line's class and numeral. NULL for
 * nothing. buf is used where the text must be made.
 */
const char *job_label(const struct job *job, const struct cc_step *step, char *buf, size_t size);

/* The plan record, without its opening: everything from "record" on, so that a caller may add fields. */
void write_plan_record(FILE *out, const struct job *job, const struct cc_plan *plan);

/* The step records (jsonl) or rows with their header (csv, tsv) first ... last. */
void write_step_records(FILE *out, const struct job *job, uint64_t first, uint64_t last);
void write_step_rows(FILE *out, const struct job *job, uint64_t first, uint64_t last, bool tabs);

void write_card(FILE *out, struct job *job);
void write_drawing(FILE *out, const struct job *job, uint64_t first, uint64_t last);

/* Error of a row at the radius, in the output's unit. */
double error_at_radius(const struct job *job, const mpq_t error);

#endif
