/*
 * effort.c: what a plan costs the one who does it, in tenths of a second. Every assumption stands in this file;
 * docs/method.md, "Effort", says where each comes from.
 *
 * Time is what the hands take. Effort is that and the risk: how often a movement of this kind goes wrong, at an hour and a
 * half for a spoiled part. Effort orders plans (plan.c); time is what a card tells.
 */
#include "plan/search.h"

#define SECONDS 10      /* tenths */

struct cost {
    unsigned hands, risk;
};

/* ---- the movements ---- */

enum movement {
    DIRECT,             /* always the same count of holes, the spindle turned by hand */
    DIRECT_VARIES,      /* a count that differs from row to row */
    PINS,               /* a hole and one of the pins of a fixture */
    PLAIN,              /* to the far arm */
    NEAREST_HOLE,       /* to the far arm, a hole more or less now and then */
    LIST,               /* turns and holes counted anew for every row, without arms */
    DIFFERENTIAL,       /* to the far arm, the plate moving under the pin */
    DIFFERENTIAL_LIST,
    COMPOUND,           /* crank and plate, both forward */
    COMPOUND_BACK,      /* one of the two goes back */
    NEAREST_COMPOUND,   /* two movements of crank and plate that change about */
    COMPOUND_LIST,      /* both parts counted anew for every row */
    DIAL,               /* up to a line of the dial */
    DIAL_PARTS          /* to a part of its vernier, or by eye */
};

static const struct cost movement_cost[] = {
    [DIRECT] = { 7 * SECONDS, 3 * SECONDS },
    [DIRECT_VARIES] = { 14 * SECONDS, 12 * SECONDS },
    [PINS] = { 12 * SECONDS, 8 * SECONDS },
    [PLAIN] = { 10 * SECONDS, 4 * SECONDS },
    [NEAREST_HOLE] = { 14 * SECONDS, 12 * SECONDS },
    [LIST] = { 22 * SECONDS, 20 * SECONDS },
    [DIFFERENTIAL] = { 12 * SECONDS, 6 * SECONDS },
    [DIFFERENTIAL_LIST] = { 24 * SECONDS, 22 * SECONDS },
    [COMPOUND] = { 25 * SECONDS, 25 * SECONDS },
    [COMPOUND_BACK] = { 32 * SECONDS, 30 * SECONDS },
    [NEAREST_COMPOUND] = { 32 * SECONDS, 40 * SECONDS },
    [COMPOUND_LIST] = { 42 * SECONDS, 60 * SECONDS },
    [DIAL] = { 12 * SECONDS, 10 * SECONDS },
    [DIAL_PARTS] = { 16 * SECONDS, 10 * SECONDS },
};

static const struct cost whole_turn = { 2 * SECONDS, 2 * SECONDS };     /* each, in a movement */
static const struct cost by_blocks = { 5 * SECONDS, 10 * SECONDS };     /* more for a movement */

enum { MARK = 3 * SECONDS };    /* a light mark in the trial round, for each position */

/* ---- setting up ---- */

enum {
    WORM_OUT = 60 * SECONDS,
    WORM_IN = 150 * SECONDS,            /* in mesh again, and its backlash set: a direct job ends with it */
    CIRCLE_AND_ARMS = 75 * SECONDS,
    PLATE = 300 * SECONDS,              /* another plate, or its other side */
    SECOND_PIN = 180 * SECONDS,         /* the plate freed, the second pin set */
    ONE_IDLER = 900 * SECONDS,          /* gears: a simple train */
    TWO_IDLERS = 1200 * SECONDS,
    TWO_PAIRS = 1500 * SECONDS,
    TWO_PAIRS_IDLER = 1800 * SECONDS,
    GEARS_OFF = 600 * SECONDS           /* a geared job ends with it */
};

static uint64_t gears_set_up(const struct cc_train *train)
{
    if (train->pairs == 0)
        return 0;
    if (train->pairs == 1)
        return (train->idlers < 2 ? ONE_IDLER : TWO_IDLERS) + GEARS_OFF;
    return (train->idlers == 0 ? TWO_PAIRS : TWO_PAIRS_IDLER) + GEARS_OFF;
}

static uint64_t set_up(const struct cc_plan *plan, const struct cc_head *head)
{
    if (cc_plan_is_direct(plan))
        return head->has_worm ? WORM_OUT + WORM_IN : 0;
    if (cc_plan_is_dial(plan))
        return 0;       /* it is set to zero as a pin is set to its hole */
    return CIRCLE_AND_ARMS + (plan->is_mounted ? 0U : (uint64_t)PLATE) + (cc_plan_is_compound(plan) ? (uint64_t)SECOND_PIN : 0U) +
           gears_set_up(&plan->train);
}

/* ---- together ---- */

static enum movement direct_movement(const struct cc_plan *plan, bool list)
{
    if (cc_plan_is_vernier(plan))
        return PINS;
    return list || plan->method != CC_DIRECT ? DIRECT_VARIES : DIRECT;
}

static enum movement compound_movement(const struct cc_plan *plan, bool list)
{
    if (list)
        return COMPOUND_LIST;
    if (plan->method == CC_NEAREST_COMPOUND)
        return NEAREST_COMPOUND;
    return plan->forward ? COMPOUND : COMPOUND_BACK;
}

static enum movement movement_of(const struct cc_plan *plan, bool list)
{
    if (cc_plan_is_dial(plan))
        return plan->unit == plan->dial.lines ? DIAL : DIAL_PARTS;
    if (plan->detent > 1)
        return LIST;    /* holes counted and the detent set anew for every row */
    if (cc_plan_is_direct(plan))
        return direct_movement(plan, list);
    if (cc_plan_is_compound(plan))
        return compound_movement(plan, list);
    if (plan->train.pairs > 0)
        return list ? DIFFERENTIAL_LIST : DIFFERENTIAL;
    if (list)
        return LIST;
    return plan->method == CC_NEAREST_HOLE ? NEAREST_HOLE : PLAIN;
}

/* steps * each + turns * each_turn */
static cci_u128 add_up(uint64_t steps, unsigned each, cci_u128 turns, unsigned each_turn)
{
    return cci_wide_add(cci_wide_product(steps, each), cci_wide_times(turns, each_turn));
}

static uint64_t at_most_64_bits(cci_u128 n)
{
    return cci_wide_high(n) != 0 ? UINT64_MAX : cci_wide_low(n);
}

/* One round of hands for the trial, one for the work; the risk is the work's. */
void cci_plan_effort(struct cc_plan *plan, const struct cci_search *search, cci_u128 turns)
{
    struct cost one = movement_cost[movement_of(plan, search->request->position_count > 0)];

    if (plan->block > 1) {
        one.hands += by_blocks.hands;
        one.risk += by_blocks.risk;
    }
    if (cc_plan_is_direct(plan))
        turns = cci_wide(0);    /* a turn of the spindle is no turn of a crank */
    cci_u128 time = cci_wide_add(cci_wide(set_up(plan, search->head)),
                                 add_up(plan->steps, 2 * one.hands + MARK, turns, 2 * whole_turn.hands));

    plan->time = at_most_64_bits(time);
    plan->effort = at_most_64_bits(cci_wide_add(time, add_up(plan->steps, one.risk, turns, whole_turn.risk)));
}

uint64_t cc_plan_seconds(uint64_t tenths)
{
    return tenths / SECONDS + (tenths % SECONDS >= SECONDS / 2 ? 1 : 0);
}
