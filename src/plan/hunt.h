/*
 * hunt.h: the rows of a plan where the pins stand in given holes and the spindle within a window. Not public.
 * recover.c and slips.c ask it, slips.c with pins that stand so many holes further on than the plan says.
 */
#ifndef CRANKCARD_PLAN_HUNT_H
#define CRANKCARD_PLAN_HUNT_H

#include "crankcard/recover.h"
#include "plan/search.h"

/* Angles that fit, in units of 1/p revolution: low ... low + count - 1, modulo p; count = p: all of the circle. */
struct cci_window {
    uint64_t low, count;
};

/*
 * Pins that go on by the same holes from row to row: row i stands in pin0 + i pin holes of circle and plate0 + i plate of
 * circle2 (0: one pin). A unit is 1/unit of a crank turn, and u units are u q / p revolutions of the spindle, which is
 * seen to stand within the window, in 1/p.
 */
struct cci_line {
    unsigned circle, circle2;
    uint64_t unit, p, q;
    struct cci_window window;
    int64_t pin0, plate0, pin, plate;
};

/* A row of a plan whose movements differ, as the hands make it. */
struct cci_row {
    int64_t turns, holes, holes2;
    uint32_t hole, hole2;
    uint64_t x;             /* the spindle, in 1/p revolution */
};

#define CCI_MOST_HELD 50000     /* rows of divisions that are held in memory; those of a list always are */

struct cci_hunt {
    const struct cc_plan *plan;
    const struct cc_request *request;
    const struct cc_seen *seen;
    bool has_line;
    struct cci_line line;           /* the plan's circles and window, and its pins where has_line */
    struct cci_row *row;            /* all of them where not NULL */
    uint32_t *in_hole, *hole_end;   /* rows by their hole; where in in_hole those of a hole end */
    uint64_t holes2;                /* what hole2 is counted to: circle2, or a vernier's pins; 0: one pin */
    /* one question */
    uint64_t low, high;             /* rows */
    uint64_t hole;                  /* of those that were seen to fit */
    int64_t pin, plate;             /* holes further on than the plan says */
    bool any_hole, any_angle;       /* holes, the window are not asked for */
    uint64_t budget;                /* rows and hits that may still be tried; 0: given up */
    bool (*found)(struct cci_hunt *, uint64_t row, uint64_t x);    /* false: enough */
    void *context;
};

/*
 * Check what was seen and make ready to look for it. low and high are the rows that what is known of the row leaves, in
 * high < low where it leaves none. Errors as cc_recover; nothing is held then.
 */
enum cc_status cci_hunt_begin(struct cci_hunt *hunt, const struct cc_plan *plan, const struct cc_request *request,
                              const struct cc_seen *seen, struct cc_error *err);
void cci_hunt_end(struct cci_hunt *hunt);

/* Give every row in low ... high that fits to found, in no order. */
void cci_hunt(struct cci_hunt *hunt);

/* The same of the rows of another line than the plan's. */
void cci_hunt_line(struct cci_hunt *hunt, const struct cci_line *line);

/* A line of these circles: its scale by the plan's ratio, its window by what is seen; the pins stand at 0. */
struct cci_line cci_line_of(unsigned circle, unsigned circle2, const struct cc_plan *plan, const struct cc_seen *seen);

/* Where the spindle stands at row i of a line, in 1/p revolution. */
uint64_t cci_line_spindle(const struct cci_line *line, uint64_t i);

/* Where it stands at row i of the plan, in 1/p of its line; a line or the rows are held. */
uint64_t cci_hunt_spindle(const struct cci_hunt *hunt, uint64_t i);

/* So many holes of both pins as a way of the spindle, in 1/p, modulo p. */
uint64_t cci_line_way(const struct cci_line *line, int64_t pin, int64_t plate);

/* The window that a reading and its uncertainty, both in revolutions, leave in units of 1/p. */
struct cci_window cci_window_of(const mpq_t reading, const mpq_t uncertainty, uint64_t p);
bool cci_in_window(const struct cci_window *window, uint64_t x, uint64_t p);

/* reading - x/p, above -1/2 and at most 1/2; 0 without a reading. */
void cci_find_off(mpq_t off, const struct cc_seen *seen, uint64_t x, uint64_t p);

/* n modulo m, 0 ... m - 1. */
uint64_t cci_modulo(int64_t n, uint64_t m);

/* i = first + every * j, j = 0, 1, ... are those with start + i * move congruent to hole modulo circle; false: none. */
bool cci_rows_at(uint64_t *first, uint64_t *every, int64_t start, int64_t move, uint64_t circle, uint64_t hole);

/* Where the spindle stands at so many units, in 1/p of its line. */
uint64_t cci_units_spindle(const struct cci_hunt *hunt, const mpz_t units);

/* Whether a hole is the one that was seen, or of the more that fit; true where none was. */
bool cci_hole_fits(const struct cci_hunt *hunt, uint64_t hole);

/* The first j >= from with j * stride in the count residues from low on, modulo p; CCI_NO_HIT: none. */
uint64_t cci_next_in(uint64_t stride, uint64_t p, uint64_t low, uint64_t count, uint64_t from);

/* Leave those of low ... high at which the work shows as many places cut as were seen. Errors: CC_ENOMEM. */
enum cc_status cci_rows_of_cuts(struct cci_hunt *hunt, struct cc_error *err);

/* Angles that are told apart, for cci_ends_of_cuts. */
struct cci_places {
    uint64_t *angle;
    uint32_t *of;           /* the question that each was put there for */
    size_t room;            /* a power of two, twice the angles of a question at least */
    uint32_t question;
};
bool cci_places_init(struct cci_places *places, size_t most);
void cci_places_free(struct cci_places *places);

/* Rows of a job in which something went wrong at row k. */
struct cci_angles {
    const uint64_t *plan, *slip;    /* in one unit: the angles of rows before k, and of those from k on */
    uint64_t scale;                 /* plan is to be taken so many times */
    uint64_t k, n;                  /* n: rows that are known, no more than most */
    bool left_out;                  /* row k is not cut */
};

/* With all rows before an end from low to high cut, the work shows as many places cut as were seen; low > high: with none. */
struct cci_ends {
    uint64_t low, high;
};
struct cci_ends cci_ends_of_cuts(struct cci_places *places, const struct cci_hunt *hunt, const struct cci_angles *angles);

/* Whether the hands may stand at row, which is cut or not yet. */
bool cci_ends_fit(const struct cci_ends *ends, const struct cci_hunt *hunt, uint64_t row);

/* The rows that are cut: 0 or, of a list, 1, up to the last, the closing row left out. */
uint64_t cci_first_cut(const struct cc_request *request);
uint64_t cci_last_cut(const struct cc_plan *plan);

#endif
