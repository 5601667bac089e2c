/* way.c: see way.h. */
#include "crankcard/way.h"

static enum cc_way opposite(enum cc_way way)
{
    return way == CC_WAY_UNKNOWN ? CC_WAY_UNKNOWN : way == CC_CLOCKWISE ? CC_COUNTER : CC_CLOCKWISE;
}

/* How the spindle turns while the crank turns clockwise, or forward is clockwise where there is no crank. */
static enum cc_way spindle_way(const struct cc_plan *plan, const struct cc_head *head)
{
    if (cc_plan_is_direct(plan))
        return CC_CLOCKWISE;    /* forward is the spindle's own way */
    return head->spindle == CC_SPINDLE_UNKNOWN ? CC_WAY_UNKNOWN
           : head->spindle == CC_SPINDLE_WITH  ? CC_CLOCKWISE
                                               : CC_COUNTER;
}

/* Forward where no way is asked for: by a dial the way in which its readings rise. */
static enum cc_way own_forward(const struct cc_plan *plan, const struct cc_head *head)
{
    return cc_plan_is_dial(plan) ? head->dial.rises : CC_CLOCKWISE;
}

enum cc_way cc_way_of_positions(const struct cc_plan *plan, const struct cc_head *head, enum cc_way asked)
{
    enum cc_way forward = own_forward(plan, head), spindle = spindle_way(plan, head);

    if (asked != CC_WAY_UNKNOWN)
        return asked;
    if (forward == CC_WAY_UNKNOWN)
        return CC_WAY_UNKNOWN;
    return forward == CC_CLOCKWISE ? opposite(spindle) : spindle;
}

enum cc_way cc_way_of_forward(const struct cc_plan *plan, const struct cc_head *head, enum cc_way asked)
{
    enum cc_way spindle = spindle_way(plan, head);

    if (asked == CC_WAY_UNKNOWN)
        return own_forward(plan, head);
    if (spindle == CC_WAY_UNKNOWN)
        return CC_WAY_UNKNOWN;
    return asked == opposite(spindle) ? CC_CLOCKWISE : CC_COUNTER;
}
