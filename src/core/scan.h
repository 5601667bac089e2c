/*
 * scan.h: the piece of text reading that numbers, angles and lengths share. Not public.
 */
#ifndef CRANKCARD_CORE_SCAN_H
#define CRANKCARD_CORE_SCAN_H

#include <gmp.h>
#include <stdbool.h>

#include "crankcard/status.h"

/* Past blanks and tabs. */
const char *cci_skip_blanks(const char *p);

/* Whether the text at *p begins with word; if so *p moves past it. */
bool cci_take(const char **p, const char *word);

/* A sign: '+', '-' or U+2212. Returns true, and moves on, for a minus. */
bool cci_take_sign(const char **p);

/*
 * An unsigned number at *p, in the forms of cc_rational_parse; *p moves past it. *plain is
 * set to whether it was a whole number (digits only). whole names the complete text for messages,
 * what its kind ("an angle").
 */
enum cc_status cci_take_number(mpq_t value, bool *plain, const char **p, const char *whole,
                               const char *what, struct cc_error *err);

/* A refusal that says what stands at p, where whole was read up to there. */
enum cc_status cci_refuse(struct cc_error *err, const char *whole, const char *what, const char *p,
                          const char *right);

#endif
