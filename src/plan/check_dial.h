/* check_dial.h: a movement by the dial as it is written down, for check.c. Not public. */
#ifndef CRANKCARD_PLAN_CHECK_DIAL_H
#define CRANKCARD_PLAN_CHECK_DIAL_H

#include "crankcard/check.h"

/* Whether text is of that kind, and not in turns and holes of a plate. */
bool cci_is_dial_notation(const char *text);

/* As cc_setting_parse and cc_setting_str, for such a text. */
enum cc_status cci_dial_parse(struct cc_setting *setting, const char *text, struct cc_error *err);
void cci_dial_str(char *buf, size_t size, const struct cc_setting *setting);

/* crank += the turns of the dial's part on that head; nothing where lines are meant and it has none. */
void cci_add_dial(mpq_t crank, const struct cc_setting *setting, const struct cc_head *head);

/* Behind part of a line, v would count that part again: CC_EDOM, with what to write. The head has a dial. */
enum cc_status cci_dial_counts_once(const struct cc_setting *setting, const struct cc_head *head, struct cc_error *err);

/* Whether the dial can be set to its part; why not. */
bool cci_dial_fits(char *why, size_t size, const struct cc_setting *setting, const struct cc_head *head);

/* The same setting with so many parts of the dial more: of a space, of its vernier. False where it cannot be written. */
bool cci_dial_more(struct cc_setting *setting, const struct cc_head *head, int64_t spaces, int64_t parts);

#endif
