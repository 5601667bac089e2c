/* stray.h: readings far from the others. Not public. */
#ifndef CRANKCARD_TRADE_STRAY_H
#define CRANKCARD_TRADE_STRAY_H

#include "crankcard/assess.h"

/* Look through every table of m but the footstock's. Errors: CC_ENOMEM, stray is then undefined. */
enum cc_status cci_strays_find(struct cc_stray stray[CC_MEASURED_KINDS], const struct cc_measurements *m,
                               struct cc_error *err);

#endif
