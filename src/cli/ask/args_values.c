/* args_values.c: the values of options, each kind into its place; see the TO_ macros of args.h. */
#include <stdio.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/lead.h"
#include "crankcard/number.h"
#include "cli/ask/args.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"

bool take_switch(void *place, const struct option *option, struct cc_error *err)
{
    (void)option;
    (void)err;
    *(bool *)place = true;
    return true;
}

bool take_text(void *place, const struct option *option, struct cc_error *err)
{
    (void)err;
    *(const char **)place = option->text;
    return true;
}

/* Never called: the reader leaves such an option where it stands. */
bool take_among_operands(void *place, const struct option *option, struct cc_error *err)
{
    (void)place;
    (void)option;
    (void)err;
    return true;
}

/* ---- counts and words ---- */

/* The option as messages name it. */
struct shown { char text[40]; };

static struct shown shown(const struct option *option)
{
    struct shown name;

    snprintf(name.text, sizeof name.text, "--%s", option->row->name);
    return name;
}

/* Into an unsigned type of that size. */
static void put(void *place, size_t size, uint64_t value)
{
    uint32_t word = (uint32_t)value;
    uint8_t byte = (uint8_t)value;

    memcpy(place, size == 1 ? (const void *)&byte : size == sizeof word ? (const void *)&word : (const void *)&value, size);
}

bool take_count(void *place, const struct option *option, struct cc_error *err)
{
    const struct option_place *to = &option->row->to;
    uint64_t value;

    if (!value_u64(&value, option->text, shown(option).text, to->low, to->high, err))
        return false;
    put(place, to->size, value);
    return true;
}

bool take_big_count(void *place, const struct option *option, struct cc_error *err)
{
    if (value_count(*(mpz_t *)place, option->text, "divisions", err))
        return true;
    blame(err->status, err, "--%s", option->row->name);
    return false;
}

/* The number of the word that text is. */
static bool which_word(int *which, const struct option *option, const char *const *words, struct cc_error *err)
{
    char all[120] = "";
    size_t used = 0;

    for (*which = 0; words[*which] != NULL; ++*which) {
        if (strcmp(words[*which], option->text) == 0)
            return true;
        const char *before = *which == 0 ? "" : words[*which + 1] == NULL ? " or " : ", ";
        used += (size_t)snprintf(all + used, sizeof all - used, "%s%s", before, words[*which]);
    }
    cc_fail(err, CC_EPARSE, "--%s: '%.40s' is not one of these: %s", option->row->name, option->text, all);
    return false;
}

bool take_word(void *place, const struct option *option, struct cc_error *err)
{
    const struct option_place *to = &option->row->to;
    int which;

    if (!which_word(&which, option, to->words, err))
        return false;
    put(place, to->size, to->low + (uint64_t)which);
    return true;
}

bool take_unit(void *place, const struct option *option, struct cc_error *err)
{
    static const char *const units[] = { "mm", "in", NULL };
    int which;

    if (!which_word(&which, option, units, err))
        return false;
    *(enum cc_unit *)place = which == 0 ? CC_MM : CC_INCH;
    return true;
}

/* ---- exact quantities ---- */

/* What reading it came to, and whether it is on the right side of 0. */
static bool is_bounded(enum cc_status s, const mpq_t value, const struct option *option, struct cc_error *err)
{
    enum option_bound bound = option->row->to.bound;

    if (s == CC_OK && bound == BOUND_ABOVE_ZERO && mpq_sgn(value) <= 0)
        s = cc_fail(err, CC_EDOM, "'%.40s' must be more than 0", option->text);
    else if (s == CC_OK && bound == BOUND_NOT_NEGATIVE && mpq_sgn(value) < 0)
        s = cc_fail(err, CC_EDOM, "'%.40s' is negative: write 0 or more", option->text);
    return blame(s, err, "--%s", option->row->name) == CC_OK;
}

bool take_number(void *place, const struct option *option, struct cc_error *err)
{
    mpq_t *value = place;
    return is_bounded(cc_rational_parse(*value, option->text, err), *value, option, err);
}

bool take_angle(void *place, const struct option *option, struct cc_error *err)
{
    mpq_t *value = place;
    return is_bounded(cc_angle_parse(*value, option->text, err), *value, option, err);
}

bool take_length(void *place, const struct option *option, struct cc_error *err)
{
    mpq_t *value = place;
    return is_bounded(cc_length_parse(*value, option->text, option->unit, err), *value, option, err);
}

bool take_module(void *place, const struct option *option, struct cc_error *err)
{
    mpq_t *value = place;
    return is_bounded(cc_length_parse(*value, option->text, CC_MM, err), *value, option, err);
}

bool take_pitch(void *place, const struct option *option, struct cc_error *err)
{
    mpq_t *value = place;
    return is_bounded(cc_pitch_parse(*value, option->text, option->unit, err), *value, option, err);
}
