/* way.c: see way.h. */
#include "crankcard/way.h"

static enum cc_way opposite(enum cc_way way)
{
    return way == CC_WAY_UNKNOWN ? CC_WAY_UNKNOWN : way == CC_CLOCKWISE ? CC_COUNTER : CC_CLOCKWISE;
}

/* How the spindle turns while forward is clockwise. */
static enum cc_way spindle_way(const struct cc_plan *plan, const struct cc_head *head)
{
    if (cc_plan_is_direct(plan))
        return CC_CLOCKWISE;    /* forward is the spindle's own way */
    return head->spindle == CC_SPINDLE_UNKNOWN ? CC_WAY_UNKNOWN
           : head->spindle == CC_SPINDLE_WITH  ? CC_CLOCKWISE
                                               : CC_COUNTER;
}

enum cc_way cc_way_of_positions(const struct cc_plan *plan, const struct cc_head *head, enum cc_way asked)
{
    return asked != CC_WAY_UNKNOWN ? asked : opposite(spindle_way(plan, head));
}

enum cc_way cc_way_of_forward(const struct cc_plan *plan, const struct cc_head *head, enum cc_way asked)
{
    enum cc_way spindle = spindle_way(plan, head);

    if (asked == CC_WAY_UNKNOWN)
        return CC_CLOCKWISE;
    if (spindle == CC_WAY_UNKNOWN)
        return CC_WAY_UNKNOWN;
    return asked == opposite(spindle) ? CC_CLOCKWISE : CC_COUNTER;
}
