/*
 * search.h: what the methods and the planner share. Not public.
 *
 * A method is a row of the planner's table: a function that offers every plan it has for a
 * request. Adding a method means one file and one row (planner.c).
 *
 * Sizes, so that 64 and 128 bits are enough (limits in head.h): worm P/Q with P, Q <= 10^6; circles
 * <= 10^4, so unit <= 10^8; gears <= 10^4, so R - e = p/q has p <= 2 * 10^14, q <= 10^14; unit * p <= 2 * 10^18 < 2^61.
 */
#ifndef CRANKCARD_PLAN_SEARCH_H
#define CRANKCARD_PLAN_SEARCH_H

#include "crankcard/number.h"
#include "core/fit.h"
#include "core/wide.h"
#include "crankcard/plan.h"

#define CCI_MOST_DIVISIONS (UINT64_C(1) << 61)

/* What splitting movements of one setting needs and does not depend on the movement. */
struct cci_splitter {
    bool single;            /* one circle: nothing to split */
    uint64_t c1, c2;        /* holes of the circles, their common factor taken out */
    uint64_t inverse;       /* of c1 modulo c2 */
};

/* Two circles that compound indexing can use together. */
struct cci_pair {
    size_t plate;
    unsigned side;          /* the crank pin's */
    unsigned circle, circle2;
    uint64_t lcm;
    struct cci_splitter splitter;
};

/* Where a crank pin can stand: one circle of one side of one plate. */
struct cci_spot {
    size_t plate;
    unsigned side, circle;
    unsigned parts;         /* of a hole space, that circle counts: 1, or those of a detent */
};

/* One side of a plate: where its circles and pairs, the crank pin here, stand in the planner's lists. */
struct cci_side {
    size_t first_spot, end_spot, first_pair, end_pair;
    uint64_t all;           /* a multiple of all their units, all P below 2^61; 0 where there is none so small */
    uint64_t finest;        /* the largest unit of its pairs, 0 without any */
};

/* Gears of the head's set that a train can be made of, as places in the set. Small, since 64 gears make 4 million. */
struct cci_choice {
    uint32_t num, den;      /* drivers / driven, products of two gears of at most 10^4 teeth each */
    uint32_t spread;        /* so that like gears come first */
    uint8_t driver[2], driven[2], pairs;
};

/* One signed ratio of the head's change gears, and the best train for it. */
struct cci_gearing {
    uint64_t q;             /* R - e = p/q in lowest terms; p > 0 stands in the planner's gearing_p */
    uint32_t choice;        /* the first of its ratio; once placed, its train's */
    union {                 /* from here on: where it is placed */
        struct {
            uint16_t driver[2], driven[2];
        };
        struct {            /* where none stands: from here to these none does, as cci_gearing_from and cci_gearing_before tell */
            uint32_t above, below;
        };
    };
    uint8_t pairs;          /* 0 where no train of the ratio stands so */
    uint8_t idlers, idlers_back;
    bool placed;
};

/* Of which requests the gearings are listed. */
enum cci_gearings_of {
    CCI_NO_GEARINGS,
    CCI_FIRST_GEARINGS,     /* those that can be exact for the first one */
    CCI_ALL_GEARINGS
};

struct cc_planner {
    const struct cc_head *head;
    struct cci_search *search;          /* the one that runs, or ran last: making its numbers anew would be much of a short one */
    mpq_t own_tolerance;                /* where none is asked for */
    uint64_t worm_p, worm_q;            /* R; 0 where there is no worm */
    unsigned serving;                   /* methods that the head has something for, as bits */
    uint64_t apart;                     /* positions that its finest setting keeps apart, gears and the dial left out */
    struct cci_spot *spots;
    size_t spot_count;
    struct cci_spot *fine;              /* the same circles by the detents of their plates */
    size_t fine_count;
    struct cci_pair *pairs;
    size_t pair_count;
    struct cci_side *sides;
    size_t side_count;
    struct cci_gears gears;             /* the set, all of it left */
    struct cci_bracket bracket;
    enum cci_gearings_of gearings_of;
    struct cci_choice *choices;         /* by their ratios */
    size_t choice_count;
    struct cci_gearing *gearings;       /* R - e ascending, no value twice; whether they stand is asked when they are wanted */
    uint64_t *gearing_p;                /* p of each gearing, close together for the sieve */
    uint32_t *sieved;                   /* gearings that can be exact for sieved_den; room for all */
    size_t sieved_count;
    uint64_t most_p;                    /* largest gearing_p; 0 before it is asked for */
    uint32_t *by_p, *before;            /* 1 + the last gearing with this p, and 1 + the one before it; 0: none. NULL: not made */
    uint64_t sieved_den;                /* a request's grain_den; 0 before the first sieve */
    size_t gearing_count, gearings_with;        /* the first of them turn the plate with the crank */
    struct cc_searched counted;         /* its trains, where has_counted */
    bool has_counted;
    uint64_t examined;                  /* settings that were looked at one by one, of all its searches: tests bound the work */
    uint64_t in_fractions;              /* and those of them that were worked out in fractions */
    uint64_t arranged;                  /* choices of gears of which was asked whether they stand */
    bool long_way;                      /* every count searched, every candidate in exact fractions: tests hold what is quicker to it */
};

/* The positions of a list, made ready for the search (list.c). */
enum { CCI_NEARNESSES = 34 };
#define CCI_MOST_LIST_DENOMINATOR (UINT64_C(1) << 50)     /* so that 1000 turns of it stay under 2^60 */

struct cci_list {
    int64_t *at;            /* in 1/den of a turn; NULL where they are too fine for that, and for divisions */
    uint64_t den;
    cci_u128 turns;         /* of the crank: the whole ones from angle to angle, added up */
    size_t near[CCI_NEARNESSES];    /* movements that are not whole turns and less than 2^-j of one from that; [0]: all, whole ones too */
    uint32_t *by_nearness;  /* the positions they lead to, the nearest first */
};

/* What is kept of the plans that are offered. */
enum cci_keep {
    CCI_KEEP_FIRST,         /* the one that comes first */
    CCI_KEEP_ROWS,          /* the first of each row of the table */
    CCI_KEEP_ALL
};

/* How the figures of a candidate are worked out. */
enum cci_kind {
    CCI_EXACT,
    CCI_CONSTANT,           /* the same movement every time, not exact */
    CCI_ROUNDED             /* each position by itself */
};

/*
 * A candidate in words of 64 bits: all that its fractions follow from, and all that the order of plans asks of it
 * (ranking.c). Of plan only what is no fraction is used.
 */
struct cci_ranked {
    bool any;
    bool built;             /* it has been offered with its fractions */
    enum cci_kind kind;
    const struct cci_pair *pair;    /* the two circles; NULL for one */
    uint64_t p, q;          /* crank turns relative to the plate in one spindle turn, p/q */
    uint64_t off, of;       /* worst error: off/of revolutions */
    uint64_t travel;        /* pin travel of all movements, units */
    struct cc_plan plan;
};

/* What a candidate has to beat, in words (bound.c); all 0 where there is nothing yet. */
struct cci_mark {
    bool any, within, exact, holds;
    uint64_t effort;
    uint64_t off, of;       /* worst error: off/of revolutions, or a little more */
};

/* Divisions rounded one by one: what is the same for every circle and pair. Fractions of a whole, times 2^128. */
struct cci_rounding {
    bool ready;
    cci_u128 each, first;   /* of arc / (N Q), and of the offset / Q */
    uint64_t turns;         /* whole crank turns of a movement */
};

struct cci_search {
    struct cc_planner *planner;
    const struct cc_head *head;
    const struct cc_request *request;
    /* the request in 64 bits */
    uint64_t divisions;     /* N, or 0 for a list or beyond CCI_MOST_DIVISIONS */
    bool circle;            /* a full circle */
    bool too_many;          /* N is beyond CCI_MOST_DIVISIONS */
    uint64_t block;         /* k asked for, or 1 */
    bool free_block;        /* k may be chosen */
    bool fine;              /* the grain's denominator is beyond 64 bits: nothing can be exact */
    uint64_t grain_den;     /* where !fine */
    bool grain_one;         /* the grain is 1/grain_den, as it is for divisions of a circle from the zero hole */
    struct cci_list list;
    mpq_srcptr tolerance;
    /* what was found */
    unsigned rank;          /* of the row that is searching */
    enum cci_keep keep;
    struct cc_plans found;
    bool any_exact;         /* of those offered */
    bool holds[CC_INDEX_DIAL + 1];      /* what the head is taken to hold so is within an asked tolerance */
    bool first_in_hand;     /* it is the one that comes first, of those kept too */
    uint64_t ratio_p, ratio_q;      /* its ratio */
    const struct cci_pair *pair;    /* its two circles; NULL for one */
    bool in_words;          /* candidates are ranked in words of 64 bits: divisions of a circle from the zero hole */
    bool exact_in_words;    /* those that are exact, which no offset makes worse */
    uint64_t tolerance_p, tolerance_q;      /* or a little more where it does not fit */
    uint64_t odd;           /* where in_words: no odd number above 1 that divides N is smaller */
    struct cci_mark kept;   /* the best in found that is to be beaten; never any where all are kept, or the long way is gone */
    cci_u128 turns;         /* whole crank turns of its movements, all together; before its figures: no more than these */
    struct cc_answer answer;
    enum cc_status status;
    struct cc_error *err;
    /* what stays from one search to the next, and is set where it is needed */
    mpq_t step;             /* k / N or arc / N; 0 for a list */
    mpq_t grain;            /* every position is a whole multiple of it, and it is the largest such */
    struct cc_plan scratch; /* the candidate in hand */
    struct cci_ranked best; /* of those ranked in words, of this row where the first of each is kept */
    struct cci_rounding rounding;
};

/* The tolerance where none is asked for (request.c). */
void cci_own_tolerance(mpq_t tolerance, const struct cc_head *head);

/* ---- arithmetic (residue.c) ---- */

uint64_t cci_gcd(uint64_t a, uint64_t b);
uint64_t cci_odd_gcd(uint64_t a, uint64_t b);   /* b is odd */

/* Factors of 2 in n >= 1. */
static inline unsigned cci_twos(uint64_t n)
{
#if defined(__GNUC__)
    return (unsigned)__builtin_ctzll(n);
#else
    unsigned twos = 0;
    for (; (n & 1) == 0; n >>= 1)
        twos++;
    return twos;
#endif
}

/*
 * A number made ready to be tried as a divisor of many, with a multiplication and no division each.
 * (Granlund and Montgomery 1994, "Division by invariant integers using multiplication", section 9.)
 */
struct cci_divisor {
    uint64_t inverse;       /* of its odd part, modulo 2^64 */
    uint64_t most;          /* largest quotient there can be */
    unsigned twos;          /* factors of 2 */
};

/* n >= 1 */
void cci_divisor_set(struct cci_divisor *divisor, uint64_t n);

/*
 * Where n divides p, p times the inverse is the quotient by the odd part, with the twos below it; turned
 * right by the twos it is p/n. Otherwise the result is larger than any quotient.
 */
static inline bool cci_divides(const struct cci_divisor *divisor, uint64_t p)
{
    uint64_t x = p * divisor->inverse;

    x = x >> divisor->twos | x << (64 - divisor->twos) % 64;
    return x <= divisor->most;
}

/* The inverse of a modulo m (m >= 1, gcd(a, m) = 1); 0 for m = 1. */
uint64_t cci_inverse(uint64_t a, uint64_t m);

#define CCI_NO_HIT UINT64_MAX
/*
 * The smallest x >= from with low <= (a * x) mod m <= high, 0 <= low <= high < m < 2^62, or CCI_NO_HIT.
 * Steps: as many as Euclid's algorithm takes on (a, m).
 */
uint64_t cci_first_hit(uint64_t a, uint64_t m, uint64_t low, uint64_t high, uint64_t from);

/*
 * The smallest x >= from with (a * x) mod m at most most from 0 on either side, 2 * most <= m < 2^62; CCI_NO_HIT, or any
 * beyond last, where there is none up to last < 2^62.
 */
uint64_t cci_first_near(uint64_t a, uint64_t m, uint64_t most, uint64_t from, uint64_t last);

/* The smallest x >= 1 with (a * x) mod m from 1 to most from 0 on either side, a < m < 2^62; CCI_NO_HIT where that is beyond last. */
uint64_t cci_first_close(uint64_t a, uint64_t m, uint64_t most, uint64_t last);

/* floor(p factor / q), and UINT64_MAX where that is 2^61 or more; p, factor < 2^62, q >= 1. */
uint64_t cci_floor_of(uint64_t p, uint64_t q, uint64_t factor);

/*
 * The same in numbers of any size, 0 <= a < m and 0 < low <= high < m, from 0: x is set, or false is returned; also
 * where the smallest x is 2^64 or more and the search was given up.
 */
bool cci_first_hit_fine(mpz_t x, const mpz_t a, const mpz_t m, const mpz_t low, const mpz_t high);

/* out = unit * ratio, canonical. */
void cci_scale(mpq_t out, uint64_t unit, const mpq_t ratio);

/* off/of, words below 2^61: q, or a little more where q does not fit. */
void cci_words_above(uint64_t *off, uint64_t *of, const mpq_t q);

/* ---- plans (plan.c) ---- */

/*
 * Asked of a candidate whose plate, block and train stand and whose travel and errors do not yet: true when best, the
 * plan kept so far, comes before it whatever these turn out to be. That is so when best is within the tolerance and
 * what the head holds, what is exact, the class or the least effort that the candidate can cost decides. The caller has
 * set these of both.
 */
bool cci_plan_is_outdone(const struct cc_plan *plan, const struct cc_plan *best);

/* |a| against |b|, as mpq_cmp. */
int cci_compare_sizes(const mpq_t a, const mpq_t b);

/* num/den, den > 0, in lowest terms. */
void cci_set_fraction(mpq_t out, int64_t num, int64_t den);

/* cc_plan_compare of two ranked candidates. */
int cci_ranked_compare(const struct cci_ranked *a, const struct cci_ranked *b);

/* All of from but its fractions. */
void cci_plan_set_words(struct cc_plan *to, const struct cc_plan *from);

/* One more plan at the end, a copy; false where memory ran out. */
bool cci_plans_append(struct cc_plans *plans, const struct cc_plan *plan);

/* ---- candidates (candidate.c), and offering them (figures.c works them out, offer.c keeps them) ---- */

/*
 * Begin the candidate in hand (search->scratch) with its setting filled in: circle i of the direct plate, the dial, one
 * circle, two circles. Counting is the caller's to fill; block is the request's.
 */
struct cc_plan *cci_direct_candidate(struct cci_search *search, size_t i, enum cc_method method);
struct cc_plan *cci_dial_candidate(struct cci_search *search);
struct cc_plan *cci_spot_candidate(struct cci_search *search, const struct cci_spot *spot,
                                   enum cc_method method);
struct cc_plan *cci_pair_candidate(struct cci_search *search, const struct cci_pair *pair,
                                   enum cc_method method);

/* Positions that a setting of unit keeps apart on the circle (settings.c). */
uint64_t cci_units_apart(const struct cc_planner *planner, uint64_t unit);

/* Parts in one crank turn to which the head's dial can be read: lines, vernier and eye. */
uint64_t cci_dial_parts(const struct cc_head *head, const struct cc_request *request);

/* One circle and gearing g of the planner, which has been placed. */
struct cc_plan *cci_geared_candidate(struct cci_search *search, const struct cci_spot *spot, size_t g);

/* The effort of the candidate in hand, a part that goes back left out, its movements of so many whole crank turns in all. */
uint64_t cci_least_effort(struct cci_search *search, cci_u128 turns);

/* The least effort of any train on a circle: a simple one with one idler. */
uint64_t cci_geared_effort(struct cci_search *search, const struct cci_spot *spot, cci_u128 turns);

/* Its fractions, as far as they follow from the setting alone; the others are 0. Before figures.c works on them. */
void cci_set_fractions(struct cci_search *search);

/* Whether two circles reach more together than one of them alone. */
static inline bool cci_pair_is_useful(const struct cci_pair *pair)
{
    return pair->lcm != pair->circle && pair->lcm != pair->circle2;
}

/*
 * Whether a setting of unit and ratio p/q meets the request exactly, with the request's block.
 */
bool cci_is_exact(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q);

/*
 * Where a setting divides N exactly by blocks, and not one by one, the planner may choose the block: the least is k =
 * q N / gcd(q N, p unit), and it serves if gcd(k, N) = 1, 1 < k < N and the offset is a whole number of units. 0
 * where it does not serve, or a block was asked for.
 */
uint64_t cci_exact_block(const struct cci_search *search, uint64_t unit, uint64_t p, uint64_t q);

/* False where no circle and no pair of a side is exact, by blocks neither: asked before each of them is. */
bool cci_side_can_be_exact(const struct cci_search *search, const struct cci_side *side);

/* Whether the plate of the candidate in hand is on, what the head holds by it, and no part that goes back yet. */
void cci_set_standing(struct cci_search *search);

/*
 * The same of the candidate in hand (scratch, with exact set) and the best plan so far. The functions below ask this
 * first and give the candidate up without working out its figures.
 */
bool cci_is_outdone(struct cci_search *search);

/* Its first part, for which no fraction is needed, of a candidate that is not exact: the effort alone. */
bool cci_is_dearer(struct cci_search *search);

/* The same once the candidate's worst error stands, which may decide too. */
bool cci_is_outdone_by_error(struct cci_search *search);

/* Time and effort of a plan whose setting stands, is_mounted and forward too; turns: whole ones of the crank, in all. */
void cci_plan_effort(struct cc_plan *plan, const struct cci_search *search, cci_u128 turns);

/* Work out start, move and figures of the candidate whose setting stands and is exact, and offer it. */
void cci_offer_exact(struct cci_search *search);

/* The same for a constant movement of scratch.move units that is not exact. */
void cci_offer_constant(struct cci_search *search);

/* The same for rounding each position; nothing is offered where the divisions are not kept apart, or it would be exact. */
void cci_offer_rounded(struct cci_search *search);

/* ---- ranking in words (ranking.c) ---- */

/* Whether candidates of this request can be ranked in words; sets what that needs. */
void cci_prepare_ranking(struct cci_search *search);

/*
 * The candidate in hand against the best so far, without a fraction: true where that is settled, and it is forgotten or
 * the new best; false where its numbers do not fit, and fractions decide.
 */
bool cci_rank(struct cci_search *search, enum cci_kind kind);

/* Whether off/of revolutions are within the tolerance. */
bool cci_is_within(const struct cci_search *search, uint64_t off, uint64_t of);

/* The least unit, holes to a crank turn, with which a rounding of this effort can still come first; 0 where that is not known. */
uint64_t cci_least_unit(const struct cci_search *search, uint64_t effort);

/* ---- what comes after the best so far in any case (bound.c) ---- */

/* The best so far, in words or in found; not any where nothing is to be dropped. */
struct cci_mark cci_to_beat(const struct cci_search *search);

/*
 * The error, off/of revolutions, beyond which a candidate of this effort or more comes after the best so far; of = 0 where
 * there is no such. False where it comes after in any case.
 */
bool cci_error_left(uint64_t *off, uint64_t *of, const struct cci_search *search, bool holds, uint64_t effort);

/*
 * Whether any candidate of this effort or more that is not exact, and off by off/of or more, comes after the best so far; holds: as
 * in cc_plan.
 */
bool cci_is_hopeless(const struct cci_search *search, bool holds, uint64_t effort, uint64_t off, uint64_t of);

/*
 * Asked of divisions rounded one by one, the setting of the candidate in hand filled in: whether it surely comes after the best
 * so far. search->turns, where it does not: no more than its whole turns.
 */
bool cci_is_rounding_hopeless(struct cci_search *search);

/* The fractions of the best, which is the candidate in hand, from words; false where they do not fit. */
bool cci_set_figures(struct cci_search *search);

/* Work out the fractions of the best, where that has not been done, and offer it (figures.c). */
void cci_build_best(struct cci_search *search);

/* Work out what ranks the finished candidate, and keep it if it is the best (or all are wanted). */
void cci_offer(struct cci_search *search);

/* The last part of it. */
void cci_keep(struct cci_search *search);

/*
 * Asked before the search turns to the next row of the table: true when no later row can bring a better plan. Rows of
 * exact plans stand first and by class, so one exact plan is enough, if the head holds it as well as it holds any. A
 * plan that is not exact settles nothing.
 */
bool cci_is_settled(const struct cci_search *search);

/* Whether the request's --circle allows this spot or pair. */
static inline bool cci_circle_allowed(const struct cci_search *search, unsigned circle, unsigned circle2)
{
    unsigned only = search->request->circle;

    return only == 0 || only == circle || only == circle2;
}

/* Whether one movement of so many units is within most_turns. */
bool cci_turns_allowed(const struct cci_search *search, const struct cc_plan *plan);

/* ---- splitting units into the hands' movement (step.c) ---- */

struct cci_split {
    int64_t pin;            /* holes of the crank pin's circle, in all */
    int64_t plate;          /* holes of the plate's circle (compound) */
};

/*
 * units of a plan as holes of one circle, or of two: least pin travel, forward if it can be. (A vernier's
 * pins are split by the cursor, which knows where they stand.)
 */
struct cci_split cci_split_units(const struct cc_plan *plan, int64_t units);

/* The same for many movements of one setting: what does not depend on the movement, worked out once. */
void cci_splitter_init(struct cci_splitter *splitter, const struct cc_plan *plan);
void cci_splitter_of_pair(struct cci_splitter *splitter, unsigned circle, unsigned circle2);
struct cci_split cci_split_with(const struct cci_splitter *splitter, int64_t units);

/* Units at which row i of a plan of constant movements stands: start + i * move. */
void cci_units_of_constant(mpz_t units, const struct cc_plan *plan, uint64_t i);

/* Pin travel of a split in units: all parts counted forward. */
uint64_t cci_split_travel(const struct cc_plan *plan, struct cci_split split);

/* ---- lists (list.c) ---- */

/* Fill search->list, once the grain is known. Errors: CC_ENOMEM. */
enum cc_status cci_list_prepare(struct cci_list *list, const struct cci_search *search,
                                struct cc_error *err);

void cci_list_clear(struct cci_list *list);

/*
 * Travel, worst error and pitch error of the list; plan->forward; search->turns. False, with none of these, where the plan comes
 * after the best so far.
 */
bool cci_list_figures(struct cc_plan *plan, struct cci_search *search);

/* ---- gears (gearings.c) ---- */

/* All gearings of the planner, once. Errors: CC_ENOMEM. */
enum cc_status cci_list_gearings(struct cc_planner *planner, struct cc_error *err);

/*
 * The gearings that can be exact for this request with some circle, as sieved; for a planner's first request no others are
 * listed. Two rows of the table ask for them in one search; the second finds them here. Errors: CC_ENOMEM.
 */
enum cc_status cci_sieve_gearings(struct cci_search *search);

/* The best train of gearing g that stands, once; false where none does. */
bool cci_place_gearing(struct cc_planner *planner, size_t g);

/*
 * The first gearing from g on, gearing_count where there is none, and 1 + the last one before g, 0 where there is none: those that
 * were found not to stand are passed over, in a few steps however many they are.
 */
size_t cci_gearing_from(struct cc_planner *planner, size_t g);
size_t cci_gearing_before(struct cc_planner *planner, size_t g);

/* Whether the train of a comes before that of b by its gears; both are placed. */
bool cci_gearing_is_better(const struct cc_planner *planner, size_t a, size_t b);

void cci_clear_gearings(struct cc_planner *planner);

/* ---- the methods ---- */

void cci_find_direct(struct cci_search *search);
void cci_find_plain(struct cci_search *search);
void cci_find_dial(struct cci_search *search);
void cci_find_differential(struct cci_search *search);
void cci_find_compound(struct cci_search *search);
void cci_find_differential_blocks(struct cci_search *search);
void cci_find_nearly_exact(struct cci_search *search);
void cci_find_nearest_hole(struct cci_search *search);
void cci_find_nearest_compound(struct cci_search *search);
void cci_find_nearest_reading(struct cci_search *search);
void cci_find_nearest_train(struct cci_search *search);  /* a differential that is not exact */

#endif
