/*
 * slip_search.h: what the searches for slips share (slips.c asks them all). Not public.
 *
 * slip_once.c has the slips made at one movement, slip_since.c counts that are wrong from one movement on, slip_circle.c the
 * pin in another circle, slip_moved.c what moves by itself: a plate, a dial, a cut left out.
 */
#ifndef CRANKCARD_PLAN_SLIP_SEARCH_H
#define CRANKCARD_PLAN_SLIP_SEARCH_H

#include "crankcard/slips.h"
#include "plan/hunt.h"

/* Some of the movements, where a slip has one effect: k[0 ... n - 1], or all from low to high that are of a kind. */
struct cci_group {
    int64_t pin, plate;             /* the effect, in holes */
    const struct cci_moment *k;         /* NULL: by range */
    size_t n;
    uint64_t low, high;
    enum { ANY_MOVE, SMALLER_MOVE, LARGER_MOVE } which;
    bool at_last;                   /* it counts at the last movement alone */
    bool before_last;               /* and here at all but the last */
};

struct cci_moment {
    int64_t pin, plate;
    uint64_t k;
};

/* The count of cuts, as it would be with a slip at movement k. Rows are in order: as far as the places are too few or too many is found once. */
struct cci_counting {
    uint64_t n;             /* rows */
    uint64_t *plan, *slip;  /* their angles by the plan, and since the slip */
    struct {
        uint32_t of;        /* the question that it was counted for */
        struct cci_ends ends;
    } *at;                  /* of each k */
    uint32_t question, filled;      /* the one that is asked; that slip holds the angles of */
    struct cci_places places;
};

struct cci_slip_search {
    struct cc_hand_slips *slips;
    const struct cc_head *head;
    struct cci_hunt hunt;
    size_t most;
    uint64_t from;          /* the first movement at which a slip can have been made */
    uint64_t low, high;     /* rows that can stand */
    struct cc_hand_slip now;     /* what is looked for: kind, by, circle, first, last; its numbers are not initialised */
    struct cci_group group;
    uint64_t p;             /* of the spindle's places that are found, where not the plan's */
    struct cci_moment *moment;  /* room for one a movement, where rows are held */
    struct cci_counting counting;
    enum cc_status status;
};

/* A movement in the hands' terms. */
struct cci_movement {
    int64_t turns, holes, holes2;
    int64_t before;         /* holes that the arms stood at for the movement before; 0: none */
    int64_t turns_after, holes_after;   /* of the next movement */
};

static inline const struct cc_seen *seen_of(const struct cci_slip_search *search)
{
    return search->hunt.seen;
}

static inline bool is_direct(const struct cci_slip_search *search)
{
    return cc_plan_is_direct(search->hunt.plan);
}

static inline bool is_vernier(const struct cci_slip_search *search)
{
    return cc_plan_is_vernier(search->hunt.plan);
}

static inline bool is_dial(const struct cci_slip_search *search)
{
    return cc_plan_is_dial(search->hunt.plan);
}

/* A row is told by where it is, not by how far: what went wrong before it shows in other ways than by holes. */
static inline bool tells_places(const struct cci_slip_search *search)
{
    return is_vernier(search) || is_dial(search);
}

/* A pin whose detent takes it to parts of a hole: the plan's circle counts them. */
static inline bool has_detent(const struct cci_slip_search *search)
{
    return search->hunt.plan->detent > 1;
}

static inline bool is_list(const struct cci_slip_search *search)
{
    return search->hunt.request->position_count > 0;
}

static inline int sign_of(int64_t n)
{
    return (n > 0) - (n < 0);
}

static inline int compare_numbers(uint64_t a, uint64_t b)
{
    return (a > b) - (a < b);
}

/* In 10 000 of the movements at which it can be made, assumed. */
unsigned cci_slip_odds(enum cc_slip_kind kind);

/* Order of two slips, as qsort wants it. */
int cci_slips_compare(const void *a, const void *b);

/* A new question of search->now: the pins so many holes further on than the plan, found called for every row that fits. */
void cci_slip_begin(struct cci_slip_search *search, int64_t pin, int64_t plate, bool (*found)(struct cci_hunt *, uint64_t, uint64_t));

/* One more that fits: of `now`, at a row with the spindle at x/p, the pins so many holes further on than the plan. */
bool cci_slip_add(struct cci_slip_search *search, uint64_t row, uint64_t x, uint64_t odds, int64_t pin, int64_t plate);

/* The same of one that began at now.first. */
bool cci_slip_add_since(struct cci_slip_search *search, uint64_t row, uint64_t x, uint64_t odds, int64_t pin);

/* One row or movement more is looked at; false when there have been enough. */
bool cci_slip_spend(struct cci_slip_search *search);

/* The first movement at which a slip can have been made: from the zero hole to the start, where there is one. */
uint64_t cci_slip_first_movement(const struct cci_slip_search *search);

/* Where the pins of a row belong. */
void cci_slip_holes_of(uint64_t *hole, uint64_t *hole2, const struct cci_slip_search *search, uint64_t row);

/* The circles with the next fewer and the next more holes on the pin's side; 0 where there is none. */
void cci_slip_neighbours(unsigned neighbour[2], const struct cci_slip_search *search);

/* A movement in the hands' terms. */
struct cci_movement cci_movement_of(const struct cci_slip_search *search, struct cci_split split);
struct cci_movement cci_movement_of_units(const struct cci_slip_search *search, int64_t units);

/*
 * Whether the count is to be held against a slip at all, and then there is room for it; where it cannot be, *plainly is
 * whether it is possible.
 */
bool cci_slip_counts(struct cci_slip_search *search, uint64_t row, bool *plainly);

/* Another slip: what has been counted is not of it. */
void cci_slip_count_anew(struct cci_slip_search *search);

/* Whether the count is known for a slip at k; if not, slip is to be filled from k on, and then it is counted. */
bool cci_slip_is_counted(const struct cci_slip_search *search, uint64_t k);
void cci_slip_count(struct cci_slip_search *search, const struct cci_angles *angles);

/* The usual angles: slip against plan, in one unit. */
struct cci_angles cci_slip_angles(const struct cci_slip_search *search, uint64_t k);

/* Whether a slip at k, that is counted, fits the count of cuts with the hands at row. */
bool cci_slip_fits(const struct cci_slip_search *search, uint64_t k, uint64_t row);

void cci_slip_count_end(struct cci_slip_search *search);

/* Put into `now` how many moments from ... to fit, the first and the last of them. */
void cci_slip_take(struct cci_slip_search *search, uint64_t from, uint64_t to, uint64_t row,
                   bool (*fits)(struct cci_slip_search *, uint64_t k, uint64_t row));

/* ---- the questions ---- */

void cci_ask_once(struct cci_slip_search *search);
void cci_ask_counts(struct cci_slip_search *search);
void cci_ask_circles(struct cci_slip_search *search);
void cci_ask_plate(struct cci_slip_search *search);
void cci_ask_backlash(struct cci_slip_search *search);
void cci_ask_uncut(struct cci_slip_search *search);

#endif
