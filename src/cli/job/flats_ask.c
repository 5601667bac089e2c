/* flats_ask.c: see flats_ask.h. */
#include "cli/job/flats_ask.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/length.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/memory.h"

static option_taker take_ring, take_holes, take_over;

const struct option_row flats_options[] = {
    { TO_LENGTH(struct flats_ask, across, ABOVE_ZERO), 0, "across", "LENGTH", "across flats: twice the distance from the axis to a flat" },
    { TO_LENGTH(struct flats_ask, stock, ABOVE_ZERO), 0, "stock", "LENGTH", "diameter of the round they are cut on (needed)" },
    { TO_LENGTH(struct flats_ask, depth, ABOVE_ZERO), 0, "depth", "LENGTH", "below the round, in place of --across" },
    { TO_LENGTH(struct flats_ask, shy, ABOVE_ZERO),
      0, "shy", "LENGTH", "left on the first flat until it has been measured (default 0.2mm, 0.01in)" },
    { TO_LENGTH(struct flats_ask, cutter, ABOVE_ZERO), 0, "cutter", "LENGTH", "width of the cutter that is there, or diameter of the end mill" },
    { TO_TAKER(take_ring), 0, "ring", "WORDS", "another ring, such as '4 across 12 stock 16 at 45' (may be given again)" },
    { TO_TAKER(take_holes), 0, "holes", "WORDS", "holes keyed to the flats, such as '3 at 30' (may be given again)" },
    { TO_TAKER(take_over),
      0, "over", "FLAT=LENGTH", "measured over a flat and the round opposite, or flats=LENGTH over two (may be given again)" },
    OPTIONS_END
};

void flats_ask_init(struct flats_ask *ask)
{
    memset(ask, 0, sizeof *ask);
    mpq_inits(ask->across, ask->stock, ask->depth, ask->shy, ask->cutter, (mpq_ptr)NULL);
}

void flats_ask_clear(struct flats_ask *ask)
{
    for (size_t i = 0; i < ask->rings; i++) {
        cc_flats_clear(&ask->ring[i].flats);
        mpq_clears(ask->ring[i].at, ask->ring[i].shy, (mpq_ptr)NULL);
    }
    free(ask->ring);
    for (size_t i = 0; i < ask->readings; i++)
        mpq_clear(ask->reading[i].mm);
    free(ask->reading);
    mpq_clears(ask->across, ask->stock, ask->depth, ask->shy, ask->cutter, (mpq_ptr)NULL);
}

unsigned long flats_opposite(const struct flats_ring *ring)
{
    return !ring->holes && ring->flats.n % 2 == 0 ? ring->flats.n / 2 + 1 : 0;
}

void flats_round_up(mpq_t mm, enum cc_unit unit)
{
    mpq_t place, slack;

    mpq_inits(place, slack, (mpq_ptr)NULL);
    mpq_set_ui(place, 254, unit == CC_INCH ? 100000 : 254000);
    mpq_canonicalize(place);
    mpq_set_ui(slack, 1, 1000000);      /* what is exact stays, whatever the last digit of a cosine */
    mpq_div(mm, mm, place);
    mpq_sub(mm, mm, slack);
    mpz_cdiv_q(mpq_numref(mm), mpq_numref(mm), mpq_denref(mm));
    mpz_set_ui(mpq_denref(mm), 1);
    mpq_mul(mm, mm, place);
    mpq_clears(place, slack, (mpq_ptr)NULL);
}

uint64_t flats_row_of(const struct flats_ring *ring, unsigned long k)
{
    unsigned long first = flats_opposite(ring);

    if (first == 0)
        return ring->row + k - 1;
    return ring->row + 1 + (k >= first ? k - first : k + ring->flats.n - first);    /* the shy flat has a row of its own */
}

/* ---- rings in words ---- */

static struct flats_ring *add_ring(struct flats_ask *ask)
{
    ask->ring = memory_resize(ask->ring, (ask->rings + 1) * sizeof *ask->ring);
    struct flats_ring *ring = &ask->ring[ask->rings++];
    memset(ring, 0, sizeof *ring);
    cc_flats_init(&ring->flats);
    mpq_inits(ring->at, ring->shy, (mpq_ptr)NULL);
    return ring;
}

/* Room for the first ring is kept in front of all others. */
void flats_ask_begin(struct flats_ask *ask)
{
    if (ask->rings == 0)
        (void)add_ring(ask);
}

/* "4 across 12 at 45": the words between the names, each in a place of its own; 0 is the count in front. */
enum { PART_COUNT, PART_ACROSS, PART_STOCK, PART_AT, PARTS };
#define PART_SIZE 80

static const char *const part_names[PARTS] = { "", "across", "stock", "at" };

static bool which_part(int *part, const char *word, size_t length)
{
    for (int i = 1; i < PARTS; i++)
        if (strlen(part_names[i]) == length && strncmp(part_names[i], word, length) == 0) {
            *part = i;
            return true;
        }
    return false;
}

/* Sort words into their parts; false where one comes twice, is too long, or is missing behind its name. */
static bool cut_parts(char parts[PARTS][PART_SIZE], const char *text)
{
    bool seen[PARTS] = { true };
    int part = PART_COUNT, next;

    memset(parts, 0, PARTS * PART_SIZE);
    for (const char *p = text + strspn(text, " "); *p != '\0'; p += strspn(p, " ")) {
        size_t length = strcspn(p, " "), used = strlen(parts[part]);
        if (which_part(&next, p, length)) {
            if (used == 0 || seen[next])
                return false;
            seen[next] = true;
            part = next;
        } else {
            if (used + length + 2 > PART_SIZE)
                return false;
            snprintf(parts[part] + used, PART_SIZE - used, "%s%.*s", used > 0 ? " " : "", (int)length, p);
        }
        p += length;
    }
    return parts[part][0] != '\0';
}

static bool read_parts(struct flats_ring *ring, char parts[PARTS][PART_SIZE], const struct option *option, struct cc_error *err)
{
    bool good = value_number(&ring->flats.n, parts[PART_COUNT], ring->holes ? "holes" : "flats", 1, CC_MOST_FLATS, err);

    if (good && parts[PART_ACROSS][0] != '\0')
        good = cc_length_parse(ring->flats.across, parts[PART_ACROSS], option->unit, err) == CC_OK;
    if (good && parts[PART_STOCK][0] != '\0')
        good = cc_length_parse(ring->flats.stock, parts[PART_STOCK], option->unit, err) == CC_OK;
    if (good && parts[PART_AT][0] != '\0')
        good = cc_angle_parse(ring->at, parts[PART_AT], err) == CC_OK;
    if (!good)
        blame(err->status, err, "--%s", option->row->name);
    return good;
}

static bool take_parts(struct flats_ask *ask, const struct option *option, bool holes, struct cc_error *err)
{
    char parts[PARTS][PART_SIZE];
    bool cut = cut_parts(parts, option->text);

    if (!cut || holes != (parts[PART_ACROSS][0] == '\0') || (holes && parts[PART_STOCK][0] != '\0')) {
        cc_fail(err, CC_EPARSE, "--%s: '%.60s' is not understood: write it as in %s", option->row->name, option->text,
                holes ? "'3 at 30'" : "'4 across 12 stock 16 at 45', stock and at where they are needed");
        return false;
    }
    flats_ask_begin(ask);
    if (ask->rings == MOST_RINGS) {
        cc_fail(err, CC_ELIMIT, "--%s: more than %d rings and circles of holes", option->row->name, MOST_RINGS);
        return false;
    }
    struct flats_ring *ring = add_ring(ask);
    ring->holes = holes;
    return read_parts(ring, parts, option, err);
}

static bool take_ring(void *place, const struct option *option, struct cc_error *err)
{
    return take_parts(place, option, false, err);
}

static bool take_holes(void *place, const struct option *option, struct cc_error *err)
{
    return take_parts(place, option, true, err);
}

/* ---- readings ---- */

/* "3=18.62" or "flats=17.4" */
static bool read_over(struct flats_reading *reading, const struct option *option, struct cc_error *err)
{
    const char *equals = strchr(option->text, '=');
    char flat[24];

    if (equals == NULL || (size_t)(equals - option->text) >= sizeof flat) {
        cc_fail(err, CC_EPARSE, "--over: '%.40s' is not a flat and a length, such as 3=18.62 or flats=17.4", option->text);
        return false;
    }
    snprintf(flat, sizeof flat, "%.*s", (int)(equals - option->text), option->text);
    reading->flat = 0;
    if (strcmp(flat, "flats") != 0 && !value_number(&reading->flat, flat, "--over: the flat", 1, CC_MOST_FLATS, err))
        return false;
    if (blame(cc_length_parse(reading->mm, equals + 1, option->unit, err), err, "--over") != CC_OK)
        return false;
    if (mpq_sgn(reading->mm) > 0)
        return true;
    cc_fail(err, CC_EDOM, "--over: '%.40s' is no length that a caliper shows: more than 0", option->text);
    return false;
}

static bool take_over(void *place, const struct option *option, struct cc_error *err)
{
    struct flats_ask *ask = place;

    if (ask->readings == MOST_READINGS) {
        cc_fail(err, CC_ELIMIT, "--over: more than %d readings", MOST_READINGS);
        return false;
    }
    ask->reading = memory_resize(ask->reading, (ask->readings + 1) * sizeof *ask->reading);
    mpq_init(ask->reading[ask->readings].mm);
    return read_over(&ask->reading[ask->readings++], option, err);
}
