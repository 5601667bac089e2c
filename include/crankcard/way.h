/*
 * way.h: which way the hand turns and which way positions follow each other on the work.
 *
 * Ways are seen from the operator's side: the crank from its own side, spindle and work at the spindle nose.
 */
#ifndef CRANKCARD_WAY_H
#define CRANKCARD_WAY_H

#include "crankcard/head.h"
#include "crankcard/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * Which way positions follow each other on the work: the way asked for; with asked = CC_WAY_UNKNOWN the way that comes
 * of turning forward. CC_WAY_UNKNOWN where that depends on how the head's worm is cut or its dial is numbered and its
 * profile does not say so (keys spindle, and rises of the dial).
 *
 * The cutter stands still. While the work turns clockwise under it, each next position comes up from the
 * counter-clockwise side: the two are always opposite.
 */
enum cc_way cc_way_of_positions(const struct cc_plan *plan, const struct cc_head *head, enum cc_way asked);

/*
 * Which way forward is, of the crank, or for direct indexing of the spindle turned by hand, so that positions follow
 * each other as asked: where nothing is asked clockwise, by a dial the way in which its readings rise.
 * CC_WAY_UNKNOWN as above.
 */
enum cc_way cc_way_of_forward(const struct cc_plan *plan, const struct cc_head *head, enum cc_way asked);

#ifdef __cplusplus
}
#endif

#endif
