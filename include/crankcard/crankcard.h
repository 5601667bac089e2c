/* crankcard.h: the whole library, one include. */
#ifndef CRANKCARD_CRANKCARD_H
#define CRANKCARD_CRANKCARD_H

#include "crankcard/accuracy.h"
#include "crankcard/angle.h"
#include "crankcard/arc.h"
#include "crankcard/assess.h"
#include "crankcard/check.h"
#include "crankcard/fit.h"
#include "crankcard/gear.h"
#include "crankcard/harmonic.h"
#include "crankcard/head.h"
#include "crankcard/layout.h"
#include "crankcard/lead.h"
#include "crankcard/length.h"
#include "crankcard/makeplate.h"
#include "crankcard/measure.h"
#include "crankcard/number.h"
#include "crankcard/order.h"
#include "crankcard/plan.h"
#include "crankcard/plates.h"
#include "crankcard/profile_set.h"
#include "crankcard/recover.h"
#include "crankcard/rows.h"
#include "crankcard/sheet.h"
#include "crankcard/status.h"
#include "crankcard/tilt.h"
#include "crankcard/tolerance.h"
#include "crankcard/train.h"
#include "crankcard/utf8.h"
#include "crankcard/way.h"

#endif
