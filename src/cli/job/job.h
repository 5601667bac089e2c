/*
 * job.h: one request as typed: its head, what is wanted, the plan that serves it, how to show it.
 * divide, angles, methods, follow and recover are all jobs.
 */
#ifndef CRANKCARD_CLI_JOB_JOB_H
#define CRANKCARD_CLI_JOB_JOB_H

#include "crankcard/head.h"
#include "crankcard/plan.h"
#include "crankcard/way.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/job/flats_ask.h"
#include "cli/job/marks.h"

struct view {               /* which steps, and how */
    bool has_from, has_to;
    uint64_t from, to;
    bool no_steps, all_steps, tally, decimal, strip;
    bool brief;             /* without what a practised hand knows */
    bool working;           /* the arithmetic of the plan too */
    bool has_radius;
    mpq_t radius;           /* mm */
    enum cc_way grow;          /* asked for: which way positions follow each other on the work */
    unsigned long exaggeration;     /* of errors in a drawing; 0 where not asked for */
};

struct spacing {            /* how a list of angles is read */
    bool incremental, sort;
    unsigned long repeat;
};

struct job {
    const char *command;    /* "divide", "angles" */
    struct head_choice choice;
    struct cc_head head;
    struct cc_request request;
    struct cc_planner *planner;
    bool lent;              /* head and planner are a batch's: not ours to clear */
    struct cc_plan plan;
    struct cc_answer answer;
    struct view view;
    const char *tolerance_text;     /* as typed; job_load makes an angle of it */
    bool count_ends;        /* --ends: N counts marks */
    mpq_t lead;             /* the head is geared to the table for this lead, mm; 0: it is not */
    bool every;             /* --all of methods: every plan */
    struct spacing spacing; /* of angles */
    struct marks marks;     /* graduating: lengths of lines and numerals */
    struct output output;
    struct flats_ask flats;     /* of flats; no rings in it for others */
    bool mirrors;           /* the work is the same when it is mirrored: it has no hand */
    const char *note;       /* to stand on the card; NULL for none */
    char *const *words;     /* the request as typed, without the program's name; 0 where it is not known */
    size_t word_count;
};

/* Options into a struct job. */
extern const struct option_row plan_options[];
extern const struct option_row block_options[];    /* what holds where divisions are taken in blocks */
extern const struct option_row radius_options[];
extern const struct option_row step_options[];
extern const struct option_row drawn_options[];    /* how the picture of a plan is drawn */
extern const struct option_row hand_options[];  /* for work that would be wrong if it were mirrored */
extern const struct option_row helix_options[];
#define JOB_OPTIONS(rows, T, m) { (rows), PLACE(T, m, struct job), NULL }

/* Add a method by its name to those asked for; the first takes the place of all. */
bool job_add_method(unsigned *methods, const struct option *option, struct cc_error *err);

void job_init(struct job *job, const char *command);
void job_clear(struct job *job);

/* Load the head and make the planner; the head has what the request asks of it. Returns an exit status. */
int job_load(struct job *job, struct cli *cli);

/* The same, whatever the request asks. */
int job_load_head(struct job *job, struct cli *cli);

/* Whether positions were listed, and not divisions asked for. */
static inline bool job_is_list(const struct job *job)
{
    return job->request.position_count > 0;
}

/* The nominal angle of so many divisions; not of a list. */
void job_space(mpq_t angle, const struct job *job, uint64_t divisions);

/* Whether the head is geared to the table while it cuts. */
bool job_is_helix(const struct job *job);

/* Whether something on the work would come out mirrored if it went round the other way. */
bool job_has_hand(const struct job *job);

/* Load, and find the best plan. */
int job_plan(struct job *job, struct cli *cli);

/* The same where it is loaded. */
int job_plan_loaded(struct job *job, struct cli *cli);

/* cc_way_of_positions and cc_way_of_forward (way.h) of a plan for the way that was asked for. */
enum cc_way job_grow(const struct job *job, const struct cc_plan *plan);
enum cc_way job_forward(const struct job *job, const struct cc_plan *plan);

/* EXIT_YES, or EXIT_NO where a tolerance was asked for and the plan is not within it. */
int job_verdict(const struct job *job);

/* Check --from and --to against the plan; first and last row to show. */
bool job_rows(const struct job *job, uint64_t *first, uint64_t *last, struct cc_error *err);

#define LABEL_SIZE 256

/*
 * What stands beside a row: the label of a list's position, or a line's class and numeral. NULL for
 * nothing. buf is used where the text must be made.
 */
const char *job_label(const struct job *job, const struct cc_step *step, char *buf, size_t size);

#endif
