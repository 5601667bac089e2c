/* blame.h: the place before a message: "--arc: ...", "train.gears:12: ...". */
#ifndef CRANKCARD_CLI_BASE_BLAME_H
#define CRANKCARD_CLI_BASE_BLAME_H

#include "crankcard/status.h"

/* Where s is a failure, whose message err holds, put the place and ": " before the message. Returns s. */
enum cc_status blame(enum cc_status s, struct cc_error *err, const char *place, ...) CC_PRINTF(3, 4);

#endif
