/* crankcard.h: the whole library, one include. */
#ifndef CRANKCARD_CRANKCARD_H
#define CRANKCARD_CRANKCARD_H

#include "crankcard/angle.h"
#include "crankcard/check.h"
#include "crankcard/gear.h"
#include "crankcard/head.h"
#include "crankcard/lead.h"
#include "crankcard/length.h"
#include "crankcard/number.h"
#include "crankcard/order.h"
#include "crankcard/plan.h"
#include "crankcard/status.h"
#include "crankcard/tilt.h"
#include "crankcard/train.h"

#endif
