/*
 * plan.h: from a request and a head to plans, and from a plan to its steps.
 *
 * A request is N divisions (of a turn or of an arc, perhaps by blocks, perhaps offset) or a list of
 * positions. A plan is one complete way to serve it on one head. A cursor gives a plan's steps one
 * by one in constant memory.
 *
 * How a plan counts (docs/method.md derives it). Every setting moves in units of 1/unit of a crank
 * turn: unit is C for one circle, lcm(C1, C2) for compound. (Direct: units of a spindle turn, D holes
 * times V pins.) The spindle turns once in `ratio` crank turns relative to the plate: R, or R - e
 * for differential, or 1 for direct. So after m units the spindle stands at
 *
 *     angle = m / (unit * ratio)      revolutions, exact,
 *
 * and a position theta is met exactly when theta * unit * ratio is whole.
 *
 * Angles are revolutions, crank travel is crank turns, both mpq_t and canonical.
 */
#ifndef CRANKCARD_PLAN_H
#define CRANKCARD_PLAN_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/head.h"
#include "crankcard/status.h"
#include "crankcard/train.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- methods ---- */

enum cc_method {            /* stable: the order in which exact plans are preferred comes from the planner's table */
    CC_DIRECT = 0,
    CC_PLAIN = 1,
    CC_DIFFERENTIAL = 2,
    CC_COMPOUND = 3,
    CC_NEARLY_EXACT = 4,
    CC_NEAREST_HOLE = 5,
    CC_NEAREST_COMPOUND = 6,
    CC_DIAL = 7,
    CC_METHODS = 8          /* how many there are */
};

/* "direct", "plain", ... as in the output contract. */
const char *cc_method_name(enum cc_method method);

/* The method of that name. CC_EPARSE lists the names. */
enum cc_status cc_method_parse(enum cc_method *method, const char *name, struct cc_error *err);

/* ---- requests ---- */

#define CC_ALL_METHODS ((1U << CC_METHODS) - 1)
#define CC_MAX_REVOLUTIONS 1000     /* an offset, an arc or a position lies within this many turns */

struct cc_request {
    /* what is wanted: N divisions where position_count is 0, else the list */
    mpz_t divisions;        /* N >= 1; 0 for a list */
    mpq_t arc;              /* revolutions to divide, > 0; 1 is a full circle */
    mpz_t block;            /* k, divisions at a time, 1 or k < N and gcd(k, N) = 1; 0: the planner chooses (1 wherever it can) */
    mpq_t offset;           /* revolutions from the zero hole to the first position */
    mpq_t *position;        /* revolutions from the zero hole, in the order worked */
    char **label;           /* text or NULL, one for each position (cc_request_add fills both) */
    size_t position_count;
    /* what is allowed */
    unsigned methods;       /* bits 1 << enum cc_method; CC_ALL_METHODS */
    unsigned circle;        /* only this circle (one of the pair for compound); 0: any */
    bool has_tolerance;     /* asked for; else a quarter of what the head is taken to hold by its worm */
    mpq_t tolerance;        /* revolutions, >= 0 */
    unsigned by_eye;        /* parts that are read by eye between what dial or vernier shows; 0 and 1: none */
    mpq_t most_turns;       /* crank turns in one movement, most, where divisions are taken in blocks; 0: any */
};

void cc_request_init(struct cc_request *request);
void cc_request_clear(struct cc_request *request);

/*
 * Append a position (revolutions) with a label (copied; NULL for none).
 * Errors: CC_ENOMEM, CC_EDOM beyond CC_MAX_REVOLUTIONS.
 */
enum cc_status cc_request_add(struct cc_request *request, const mpq_t position, const char *label,
                              struct cc_error *err);

/* Whether every turn of the work is divided (not an arc, not a list). */
bool cc_request_is_circle(const struct cc_request *request);

/*
 * The position of row i, revolutions: offset + i * k / N (or i * arc / N), k the plan's block; for a list
 * row 0 is the start and row i position i - 1.
 */
void cc_request_nominal(mpq_t nominal, const struct cc_request *request, uint64_t block, uint64_t i);

/*
 * The smallest hole circle by which the request is exact with one division at a time, worm crank turns to one of the
 * spindle; all others are its multiples. 0 where it has more than CC_MAX_CIRCLE holes.
 */
uint64_t cc_request_least_circle(const struct cc_request *request, const mpq_t worm);

/* ---- plans ---- */

struct cc_plan {
    enum cc_method method;
    bool exact;             /* every position is met exactly */
    /* the setting */
    size_t plate;           /* index in the head's plates; plate_count for direct and by the dial */
    unsigned side;          /* 1 or 2; 0 for direct and by the dial */
    unsigned circle;        /* C: holes of the crank pin's circle, or of the direct plate; parts of the dial in one turn */
    unsigned circle2;       /* compound: holes of the second pin's circle; vernier: D * V; else 0 */
    unsigned detent;        /* circle counts so many parts of each hole space, by the pin's detent; 1 elsewhere */
    struct cc_dial dial;    /* the dial that is read; lines = 0 otherwise */
    struct cc_train train;  /* differential; pairs = 0 otherwise */
    mpq_t plate_turns;      /* e, signed; 0 otherwise */
    uint64_t block;         /* k, >= 1 */
    /* how it counts */
    uint64_t unit;          /* units in one crank turn (direct: in one spindle turn) */
    mpq_t ratio;            /* crank turns relative to the plate in one spindle turn; 1 for direct */
    bool constant;          /* the same movement every time, of move units; else each position is rounded */
    int64_t move;           /* constant: units; rounded: the smaller movement, units */
    int64_t start;          /* units from the zero hole to row 0 */
    uint64_t steps;         /* N, or positions in the list: rows after row 0 */
    uint64_t larger;        /* rounded divisions: how many of the movements are of move + 1 units */
    /* what it costs */
    bool forward;           /* no part of any movement goes back */
    bool is_mounted;        /* its plate and side are on now (always so without a plate) */
    mpq_t travel;           /* crank turns for the whole job, all parts counted forward; 0 for direct */
    uint64_t time;          /* of the hands, set-up and trial round with it, in tenths of a second (docs/method.md, "Effort") */
    uint64_t effort;        /* the same and the risk of a slip, valued in time: what orders plans */
    mpq_t worst_error;      /* largest |error| of any row, revolutions */
    mpq_t worst_pitch;      /* largest |error| of the space between neighbours, revolutions */
    bool has_closing;       /* a full circle has a closing row */
    mpq_t closing_error;    /* signed, revolutions */
    bool within;            /* worst_error <= tolerance, by arithmetic */
    bool holds;             /* what the head is taken to hold by this method is within an asked tolerance */
    unsigned rank;          /* row of the method in the planner's table: lower is preferred */
};

/* Set by the direct plate, on the spindle itself. */
static inline bool cc_plan_is_direct(const struct cc_plan *plan)
{
    return plan->side == 0 && plan->method != CC_DIAL;
}

/* Set by the reading of the dial on the crank, without pin and plate, exactly or not. */
static inline bool cc_plan_is_dial(const struct cc_plan *plan)
{
    return plan->method == CC_DIAL;
}

/* Set by the crank pin in a plate. */
static inline bool cc_plan_has_plate(const struct cc_plan *plan)
{
    return plan->side != 0;
}

/* Holes of the crank pin's circle, or of the direct plate: circle, a detent's parts left out. */
static inline unsigned cc_plan_holes(const struct cc_plan *plan)
{
    return plan->detent > 1 ? plan->circle / plan->detent : plan->circle;
}

/* What it sets the spindle by. */
static inline enum cc_index cc_plan_index(const struct cc_plan *plan)
{
    return cc_plan_is_direct(plan) ? CC_INDEX_DIRECT : cc_plan_is_dial(plan) ? CC_INDEX_DIAL : CC_INDEX_WORM;
}

/* Direct, with the pins of a vernier: circle2 counts in its divisions. */
static inline bool cc_plan_is_vernier(const struct cc_plan *plan)
{
    return plan->side == 0 && plan->circle2 != 0;
}

/* Set by the crank pin and a second pin on a circle of the same plate, exactly or not. */
static inline bool cc_plan_is_compound(const struct cc_plan *plan)
{
    return plan->side != 0 && plan->circle2 != 0;
}

void cc_plan_init(struct cc_plan *plan);
void cc_plan_clear(struct cc_plan *plan);
void cc_plan_swap(struct cc_plan *a, struct cc_plan *b);
void cc_plan_set(struct cc_plan *to, const struct cc_plan *from);

/* How good a plan is, arithmetic against what is wanted and against the head. */
enum cc_grade {
    CC_GRADE_EXACT,
    CC_GRADE_WITHIN,            /* within the tolerance */
    CC_GRADE_WITHIN_HEAD,       /* beyond it, but within what the head itself is taken to hold this way */
    CC_GRADE_BEYOND             /* beyond that too */
};

enum cc_grade cc_plan_grade(const struct cc_plan *plan, const struct cc_head *head);

/* Whole seconds of a plan's time or effort, half a second upwards. */
uint64_t cc_plan_seconds(uint64_t tenths);

/*
 * The constant movement of a plan in the hands' terms: turns and holes of the crank pin (both of one sign),
 * holes of the plate (compound, signed). Returns false where movements differ from step to step.
 */
bool cc_plan_movement(int64_t *turns, int64_t *holes, int64_t *holes2, const struct cc_plan *plan);

/* The same for the two movements of a rounded plan: larger = false gives the smaller one. */
void cc_plan_rounded_movement(int64_t *turns, int64_t *holes, int64_t *holes2,
                              const struct cc_plan *plan, bool larger);

/*
 * Whether the larger of a rounded plan's two movements occurs more often than the smaller: the sector arms stand at the
 * commoner one, at the smaller where both occur as often, and at none that does not occur.
 */
bool cc_plan_usual_is_larger(const struct cc_plan *plan);

/* ---- the planner ---- */

struct cc_searched {        /* what was really tried */
    uint64_t circles;       /* circles of the plates */
    uint64_t pairs;         /* pairs of circles for compound */
    bool geared;            /* trains of change gears; how many there are, cc_planner_count_trains says: */
    uint64_t trains;        /* arrangements of change gears that fit (fit.h), in either direction */
    uint64_t unfit;         /* and those that were set aside because they do not */
    uint64_t unfit_by[CC_FIT_KEYS]; /* these, by what they fail by */
};

enum cc_proof { CC_UNPROVED = 0, CC_EXISTS = 1, CC_ABSENT = 2 };

struct cc_answer {
    struct cc_searched searched;
    enum cc_proof exact;    /* whether an exact setting exists on this head; unproved where methods were left out */
};

/*
 * A planner belongs to one head, which must outlive it and stay unchanged. It keeps what does not
 * depend on the request (pairs of circles, gear trains), so one planner serves many requests. Not
 * to be used by two threads at once.
 */
struct cc_planner;

enum cc_status cc_planner_new(struct cc_planner **planner, const struct cc_head *head,
                              struct cc_error *err);
void cc_planner_free(struct cc_planner *planner);   /* NULL is allowed */

/*
 * The best plan for request in the order of docs/method.md, "Which plan comes first".
 *
 * Errors: CC_ENOFIT where no method keeps the positions apart (answer is filled all the same),
 * CC_EDOM for a request outside its domain, CC_ELIMIT, CC_ENOMEM. plan and answer are initialised;
 * answer may be NULL.
 */
enum cc_status cc_planner_best(struct cc_plan *plan, struct cc_answer *answer,
                               struct cc_planner *planner, const struct cc_request *request,
                               struct cc_error *err);

/*
 * Fill in the trains of an answer of this planner, 0 until then: a plan is found without asking of each whether it stands, so
 * counting them may take longer than the plan did; once for a planner.
 */
void cc_planner_count_trains(struct cc_searched *searched, struct cc_planner *planner);

/*
 * No setting of the head gives more divisions than this, whatever request->divisions: they could not be kept apart.
 * UINT64_MAX where that is not known beforehand: with change gears, and for an arc or a list.
 */
uint64_t cc_planner_most_divisions(const struct cc_planner *planner, const struct cc_request *request);

struct cc_plans {
    struct cc_plan *at;     /* best first */
    size_t n, room;
};

void cc_plans_init(struct cc_plans *plans);
void cc_plans_clear(struct cc_plans *plans);

/* All plans, best first; with every = false the best one of each method (and of differential by blocks). */
enum cc_status cc_planner_all(struct cc_plans *plans, struct cc_answer *answer,
                              struct cc_planner *planner, const struct cc_request *request,
                              bool every, struct cc_error *err);

/*
 * The tolerance that applies: as asked, else a quarter of what the head is taken to hold (cc_head_taken_to_hold)
 * through the worm, by the direct plate where it has none; revolutions.
 */
void cc_request_tolerance(mpq_t tolerance, const struct cc_request *request,
                          const struct cc_head *head);

/*
 * Order of two plans for one request: negative where a comes first, never 0 for different settings.
 */
int cc_plan_compare(const struct cc_plan *a, const struct cc_plan *b);

/* ---- steps ---- */

struct cc_step {
    uint64_t step;          /* 0 is the start, 1 ... steps follow; for a circle the last is the closing row */
    uint64_t division;      /* which position, 0 ... N - 1 (0 ... N on an arc); 0 in the closing row */
    bool closing;           /* the closing row of a full circle */
    int64_t turns, holes;   /* the movement of the crank pin (or on the direct plate); both of one sign */
    int64_t holes2;         /* of the plate (compound), of the pin (vernier) */
    bool larger;            /* rounded plans: this movement is the larger of the two */
    uint64_t hole, hole2;   /* where crank pin and plate (or pin) stand now */
    mpq_t crank;            /* total crank travel since the start, turns; 0 for direct */
    mpq_t angle;            /* where the spindle truly is, revolutions, not reduced */
    mpq_t nominal;          /* where it should be */
    mpq_t error;            /* angle - nominal */
    const char *label;      /* of a list's position, or NULL */
};

void cc_step_init(struct cc_step *step);
void cc_step_clear(struct cc_step *step);

/* How many units the movement of a row is more than the one the sector arms stand at: -1, 0 or 1. */
int cc_step_odd(const struct cc_step *step, const struct cc_plan *plan);

struct cc_cursor {
    const struct cc_plan *plan;
    const struct cc_request *request;
    uint64_t next;          /* the row that cc_cursor_next gives */
    mpz_t at;               /* units where the spindle stands before it */
    mpz_t pin, plate;       /* holes of the crank pin and of the plate in all, before it */
    mpq_t scale;            /* unit * ratio */
};

/* A cursor before row 0. plan and request must outlive it. */
void cc_cursor_init(struct cc_cursor *cursor, const struct cc_plan *plan,
                    const struct cc_request *request);
void cc_cursor_clear(struct cc_cursor *cursor);

/* Go to row i, so that cc_cursor_next gives it next. Constant time for divisions, i steps for a list. */
void cc_cursor_seek(struct cc_cursor *cursor, uint64_t i);

/* The next row; false when there is none. */
bool cc_cursor_next(struct cc_cursor *cursor, struct cc_step *step);

/* Row i alone, at most plan->steps. */
void cc_step_at(struct cc_step *step, const struct cc_plan *plan, const struct cc_request *request, uint64_t i);

/* ---- what a plan adds to the errors of the work ---- */

#define CC_MOST_WALKED 20000

/*
 * The largest less the smallest error of the positions, revolutions: by so much one position can be off from another.
 * The closing row is left out, for it is the first position once more. A plan of more than CC_MOST_WALKED steps is
 * not walked: range is twice its worst error then, which is never too little.
 */
void cc_plan_error_range(mpq_t range, const struct cc_plan *plan, const struct cc_request *request);

/* What the head is stated to hold by the worm, the direct plate or the dial, whichever the plan uses: NULL where it is not. */
mpq_srcptr cc_plan_holds(const struct cc_plan *plan, const struct cc_head *head);

#ifdef __cplusplus
}
#endif

#endif
