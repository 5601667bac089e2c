/*
 * profile.c: a head read from its profile. docs/profile.md lists the keys.
 *
 * inih splits the lines. It reports neither the line number nor an empty section to its handler,
 * and drops what it does not understand until the end, so the lines come from a reader of ours:
 * it counts them, refuses what cannot be a profile, and takes the '[section]' lines itself. inih
 * calls the handler right after it has read the key's line, so the reader's line is the key's.
 */
#include <ini.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/bracket_keys.h"
#include "core/scan.h"
#include "crankcard/angle.h"
#include "crankcard/head.h"
#include "crankcard/number.h"
#include "crankcard/utf8.h"

#define TEXT_OF(x) #x
#define DIGITS_OF(x) TEXT_OF(x)

#define MAX_LINE 190        /* inih as it is usually built has a buffer of 200 bytes for a line */
#define MAX_TEXT 160        /* bytes in a title, nose or taper: its line stays below MAX_LINE */
#define MAX_PLATE_NAME 40   /* likewise */
#define MAX_ENGRAVED 40     /* what is engraved at a circle */
#define MOST_KEYS 64        /* of all sections */

enum section { NO_SECTION, HEAD, DIRECT, PLATE, DIAL, RIM, GEARS, BRACKET, ACCURACY };

static const struct {
    const char *name;
    enum section section;
} sections[] = {
    { "head", HEAD }, { "direct", DIRECT }, { "dial", DIAL }, { "rim", RIM }, { "gears", GEARS }, { "bracket", BRACKET },
    { "accuracy", ACCURACY },
};

struct key;

struct reading {
    const char *at, *end;           /* text not yet read */
    const char *where;
    unsigned long line;             /* number of the line read last */
    struct cc_head head;
    enum section section;
    unsigned long section_line[ACCURACY + 1];       /* where each begins; 0: not there, as of keys */
    unsigned long key_line[MOST_KEYS], plate_line[CC_MAX_PLATES], bracket_line;
    uint64_t seen_keys;             /* of the section, a bit for each row of keys[] */
    const struct key *last_key;     /* of the section; NULL before the first */
    bool goes_on;                   /* the line read last goes on with last_key's list */
    bool waiting;                   /* for the handler: the line read last must hold a key */
    char **name;                    /* of the direct plate's circles, until they are known to be as many */
    size_t names;
    char mounted[MAX_LINE + 1];     /* looked up when all plates are known */
    enum cc_status status;
    struct cc_error *err;
};

/* ---- failing ---- */

/* Record the first error, at a line, or about the whole file where line is 0. */
static void fail_at(struct reading *r, unsigned long line, enum cc_status status, const char *text)
{
    if (r->status != CC_OK)
        return;
    if (line > 0)
        r->status = cc_fail(r->err, status, "%s:%lu: %s", r->where, line, text);
    else
        r->status = cc_fail(r->err, status, "%s: %s", r->where, text);
}

static enum cc_status no_memory(struct cc_error *err)
{
    return cc_fail(err, CC_ENOMEM, "out of memory");
}

/* ---- values ---- */

static char *copy_text(const char *text, size_t length)
{
    char *copy = malloc(length + 1);
    if (copy != NULL) {
        memcpy(copy, text, length);
        copy[length] = '\0';
    }
    return copy;
}

static enum cc_status read_text(char **out, const char *value, struct cc_error *err)
{
    size_t length = strlen(value);

    if (length > MAX_TEXT)
        return cc_fail(err, CC_ELIMIT, "text of %zu bytes is too long: at most %d", length, MAX_TEXT);
    *out = copy_text(value, length);
    return *out != NULL ? CC_OK : no_memory(err);
}

/* One of two words. */
static enum cc_status read_word(unsigned *out, const char *value, const char *const words[],
                                unsigned count, struct cc_error *err)
{
    char list[80] = "";
    size_t used = 0;

    for (unsigned i = 0; i < count; i++) {
        if (strcmp(value, words[i]) == 0) {
            *out = i;
            return CC_OK;
        }
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s",
                                 i == 0 ? "" : i + 1 < count ? ", " : " or ", words[i]);
    }
    return cc_fail(err, CC_EDOM, "'%.60s' is not known: write %s", value, list);
}

/* What may be counted: the limits, and the words for a refusal; and how many of them a list has at the most. */
struct counted {
    unsigned least, most;
    const char *one;    /* "circle" */
    const char *rule;   /* "a hole circle has 2 to 10000 holes" */
    size_t many;
    bool twice;         /* the same count may stand in a list again */
};

static const struct counted circle = {
    CC_MIN_CIRCLE, CC_MAX_CIRCLE, "circle",
    "a hole circle has " DIGITS_OF(CC_MIN_CIRCLE) " to " DIGITS_OF(CC_MAX_CIRCLE) " holes", CC_MAX_CIRCLES, false
};
static const struct counted gear = {
    CC_MIN_TEETH, CC_MAX_TEETH, "gear",
    "a change gear has " DIGITS_OF(CC_MIN_TEETH) " to " DIGITS_OF(CC_MAX_TEETH) " teeth", CC_MAX_GEARS, true
};
static const struct counted pins = {
    1, CC_MAX_VERNIER, "pins", "a fixture has 1 to " DIGITS_OF(CC_MAX_VERNIER) " pins", CC_MAX_CIRCLES, true
};
static const struct counted teeth_sum = {
    1, 2 * CC_MAX_TEETH, "sum", "two gears have 1 to 20000 teeth together", 1, false
};

static const struct counted detent = {
    2, CC_MAX_VERNIER, "parts", "a detent shifts the pin by 2 to " DIGITS_OF(CC_MAX_VERNIER) " parts of a hole space", 1, false
};
static const struct counted lines = {
    2, CC_MAX_LINES, "lines", "a scale has 2 to " DIGITS_OF(CC_MAX_LINES) " lines in one turn", 1, false
};
static const struct counted parts = {
    1, CC_MAX_VERNIER, "vernier", "a vernier reads a space to 1 to " DIGITS_OF(CC_MAX_VERNIER) " parts", 1, false
};

_Static_assert(2 * CC_MAX_TEETH == 20000, "teeth_sum's rule states the limit");

static enum cc_status read_count(unsigned *out, const char *text, size_t length,
                                 const struct counted *kind, struct cc_error *err)
{
    unsigned n = 0;

    for (size_t i = 0; i < length; i++) {
        if (text[i] < '0' || text[i] > '9')
            return cc_fail(err, CC_EPARSE, "'%.*s' is not a count: write digits only, as in 24",
                           length < 60 ? (int)length : 60, text);
        if (n <= kind->most)    /* past the limit nothing more needs to be known */
            n = n * 10 + (unsigned)(text[i] - '0');
    }
    if (n < kind->least || n > kind->most)
        return cc_fail(err, CC_EDOM, "%s '%.*s': %s", kind->one, length < 60 ? (int)length : 60,
                       text, kind->rule);
    *out = n;
    return CC_OK;
}

static bool holds(const struct cc_counts *counts, unsigned n)
{
    for (size_t i = 0; i < counts->n; i++)
        if (counts->at[i] == n)
            return true;
    return false;
}

static enum cc_status append(struct cc_counts *counts, unsigned n, struct cc_error *err)
{
    unsigned *more = realloc(counts->at, (counts->n + 1) * sizeof *more);
    if (more == NULL)
        return no_memory(err);
    counts->at = more;
    counts->at[counts->n++] = n;
    return CC_OK;
}

/* Append the counts of a value, divided by blanks or commas, to those already there. */
static enum cc_status read_counts(struct cc_counts *counts, const char *value, const struct counted *kind, struct cc_error *err)
{
    enum cc_status s = CC_OK;
    unsigned n = 0;

    for (const char *p = value + strspn(value, " ,"); s == CC_OK && *p != '\0'; ) {
        size_t length = strcspn(p, " ,");
        s = read_count(&n, p, length, kind, err);
        if (s == CC_OK && !kind->twice && holds(counts, n))
            s = cc_fail(err, CC_EDOM, "%s %u stands twice: name it once", kind->one, n);
        if (s == CC_OK && counts->n >= kind->many)
            s = cc_fail(err, CC_ELIMIT, "more than %zu %ss: that is the limit", kind->many, kind->one);
        if (s == CC_OK)
            s = append(counts, n, err);
        p += length;
        p += strspn(p, " ,");
    }
    if (s == CC_OK && counts->n == 0)
        s = cc_fail(err, CC_EPARSE, "no %s is named: write counts, as in 24 30 36", kind->one);
    return s;
}

static enum cc_status read_angle(mpq_t out, const char *text, struct cc_error *err)
{
    enum { MAX_BITS = 60 };     /* finer than 1e-9 second of arc; a fraction this long can be written */
    enum cc_status s = cc_angle_parse(out, text, err);

    if (s == CC_OK && (mpz_sizeinbase(mpq_denref(out), 2) > MAX_BITS ||
                       mpz_sizeinbase(mpq_numref(out), 2) > MAX_BITS))
        s = cc_fail(err, CC_ELIMIT, "'%.60s' has too many digits: no head is that exact", text);
    return s;
}

/* Two angles with a blank between. Angles may have blanks in them, so every blank is tried. */
static enum cc_status read_two_angles(mpq_t low, mpq_t high, const char *value, struct cc_error *err)
{
    char first[MAX_LINE + 1];

    for (const char *p = strchr(value, ' '); p != NULL; p = strchr(p + 1, ' ')) {
        snprintf(first, sizeof first, "%.*s", (int)(p - value), value);
        if (read_angle(low, first, NULL) == CC_OK && read_angle(high, p + 1, NULL) == CC_OK)
            return CC_OK;
    }
    return cc_fail(err, CC_EPARSE, "'%.60s' is not two angles: write lowest and highest, as in 0 90",
                   value);
}

/* ---- one function for each key ---- */

typedef enum cc_status set_key(struct reading *r, const char *value, struct cc_error *err);

struct key {
    enum section section;
    const char *name;
    set_key *set;
    bool list;              /* may go on in further lines */
    size_t at, stated;      /* in struct reading: what the key sets, and what says that it is set, where set asks for them; or the side */
    const struct counted *counted;
};

/* What the key at hand sets. */
static void *place(struct reading *r)
{
    return (char *)r + r->last_key->at;
}

static enum cc_status set_text(struct reading *r, const char *value, struct cc_error *err)
{
    return read_text(place(r), value, err);
}

static enum cc_status set_count(struct reading *r, const char *value, struct cc_error *err)
{
    return read_count(place(r), value, strlen(value), r->last_key->counted, err);
}

static enum cc_status set_counts(struct reading *r, const char *value, struct cc_error *err)
{
    return read_counts(place(r), value, r->last_key->counted, err);
}

static enum cc_status set_worm(struct reading *r, const char *value, struct cc_error *err)
{
    enum cc_status s = cc_rational_parse(r->head.worm, value, err);

    if (s != CC_OK)
        return s;
    if (mpq_sgn(r->head.worm) <= 0)
        return cc_fail(err, CC_EDOM,
                       "'%.60s' is not a worm ratio: write the crank turns per spindle turn, as in 40",
                       value);
    if (mpz_cmp_ui(mpq_numref(r->head.worm), CC_MAX_WORM) > 0 ||
        mpz_cmp_ui(mpq_denref(r->head.worm), CC_MAX_WORM) > 0)
        return cc_fail(err, CC_ELIMIT, "'%.60s' is over the limit: at most %d above and below the line",
                       value, CC_MAX_WORM);
    r->head.has_worm = true;
    return CC_OK;
}

static enum cc_status set_mounted(struct reading *r, const char *value, struct cc_error *err)
{
    (void)err;
    snprintf(r->mounted, sizeof r->mounted, "%s", value);
    return CC_OK;
}

static enum cc_status set_tilt(struct reading *r, const char *value, struct cc_error *err)
{
    enum cc_status s = read_two_angles(r->head.tilt_low, r->head.tilt_high, value, err);

    if (s != CC_OK)
        return s;
    if (mpq_cmp(r->head.tilt_low, r->head.tilt_high) > 0)
        return cc_fail(err, CC_EDOM, "'%.60s' is upside down: write the lowest angle first", value);
    if (mpq_cmp_si(r->head.tilt_low, -1, 2) < 0 || mpq_cmp_si(r->head.tilt_high, 1, 2) > 0)
        return cc_fail(err, CC_EDOM, "'%.60s' is out of range: a head tilts from -180 to 180 degrees",
                       value);
    r->head.has_tilt = true;
    return CC_OK;
}

static enum cc_status set_tilt_zero(struct reading *r, const char *value, struct cc_error *err)
{
    enum cc_status s = cc_angle_parse(r->head.tilt_zero, value, err);

    if (s == CC_OK && (mpq_cmp_si(r->head.tilt_zero, -1, 2) < 0 || mpq_cmp_ui(r->head.tilt_zero, 1, 2) > 0))
        s = cc_fail(err, CC_EDOM, "'%.60s' is out of range: what the scale shows with the spindle level is half a turn at the most", value);
    r->head.has_tilt_zero = true;
    return s;
}

static enum cc_status set_spindle(struct reading *r, const char *value, struct cc_error *err)
{
    static const char *const words[] = { "with", "against" };
    unsigned word = 0;
    enum cc_status s = read_word(&word, value, words, 2, err);

    if (s == CC_OK)
        r->head.spindle = word == 0 ? CC_SPINDLE_WITH : CC_SPINDLE_AGAINST;
    return s;
}

static enum cc_status set_plate_pin(struct reading *r, const char *value, struct cc_error *err)
{
    static const char *const words[] = { "same", "other", "none" };
    unsigned word = CC_PIN_SAME;
    enum cc_status s = read_word(&word, value, words, 3, err);

    r->head.plate_pin = (enum cc_plate_pin)word;
    r->head.plate_pin_stated = s == CC_OK;
    return s;
}

static enum cc_status add_name(struct reading *r, const char *name, size_t length, struct cc_error *err)
{
    if (length > MAX_ENGRAVED)
        return cc_fail(err, CC_ELIMIT, "a name of %zu bytes is too long: at most %d", length, MAX_ENGRAVED);
    char **more = realloc(r->name, (r->names + 1) * sizeof *more);
    if (more == NULL)
        return no_memory(err);
    r->name = more;
    r->name[r->names] = copy_text(name, length);
    if (r->name[r->names] == NULL)
        return no_memory(err);
    r->names++;
    return CC_OK;
}

/* What is engraved at the circles of the direct plate: words, divided by blanks or commas. */
static enum cc_status set_names(struct reading *r, const char *value, struct cc_error *err)
{
    enum cc_status s = CC_OK;

    if (strlen(value) > MAX_TEXT)
        return cc_fail(err, CC_ELIMIT, "names of %zu bytes are too long: at most %d together", strlen(value), MAX_TEXT);
    for (const char *p = value + strspn(value, " ,"); s == CC_OK && *p != '\0'; p += strspn(p, " ,")) {
        size_t length = strcspn(p, " ,");
        s = add_name(r, p, length, err);
        p += length;
    }
    return s;
}

static enum cc_status set_side(struct reading *r, const char *value, struct cc_error *err)
{
    struct cc_plate *plate = &r->head.plates[r->head.plate_count - 1];
    return read_counts(&plate->side[r->last_key->at], value, &circle, err);
}

static enum cc_status set_reversed(struct reading *r, const char *value, struct cc_error *err)
{
    static const char *const words[] = { "no", "yes" };
    unsigned word = 0;
    enum cc_status s = read_word(&word, value, words, 2, err);

    r->head.reversed = word == 1;
    return s;
}

static enum cc_status set_sum(struct reading *r, const char *value, struct cc_error *err)
{
    enum cc_status s = set_count(r, value, err);

    if (s == CC_OK && r->head.most_sum > 0 && r->head.least_sum > r->head.most_sum)
        s = cc_fail(err, CC_EDOM, "least-sum %u is over most-sum %u: no two gears would mesh",
                    r->head.least_sum, r->head.most_sum);
    return s;
}

static enum cc_status set_bracket(struct reading *r, const char *value, struct cc_error *err);

static enum cc_status set_detent(struct reading *r, const char *value, struct cc_error *err)
{
    return read_count(&r->head.plates[r->head.plate_count - 1].detent, value, strlen(value), &detent, err);
}

static enum cc_status set_numbered(struct reading *r, const char *value, struct cc_error *err)
{
    static const char *const words[] = { "angle", "lines" };
    unsigned word = 0;
    enum cc_status s = read_word(&word, value, words, 2, err);

    r->head.dial.numbered = word == 0 ? CC_NUMBERED_ANGLE : CC_NUMBERED_LINES;
    return s;
}

static enum cc_status set_zero(struct reading *r, const char *value, struct cc_error *err)
{
    static const char *const words[] = { "settable", "fixed" };
    unsigned word = 0;
    enum cc_status s = read_word(&word, value, words, 2, err);

    r->head.dial.fixed = word == 1;
    return s;
}

static enum cc_status set_way(struct reading *r, const char *value, struct cc_error *err)
{
    static const char *const words[] = { "clockwise", "counter" };
    unsigned word = 0;
    enum cc_status s = read_word(&word, value, words, 2, err);

    *(enum cc_way *)place(r) = word == 0 ? CC_CLOCKWISE : CC_COUNTER;
    return s;
}

static enum cc_status set_accuracy(struct reading *r, const char *value, struct cc_error *err)
{
    mpq_ptr out = place(r);
    enum cc_status s = read_angle(out, value, err);

    if (s == CC_OK && (mpq_sgn(out) < 0 || mpq_cmp_ui(out, 1, 1) >= 0))
        s = cc_fail(err, CC_EDOM, "'%.60s' is out of range: write what the head holds, as in 1'",
                    value);
    *(bool *)((char *)r + r->last_key->stated) = s == CC_OK;
    return s;
}

#define AT(member) false, offsetof(struct reading, member), 0, NULL
#define STATED_AT(member, stated) false, offsetof(struct reading, member), offsetof(struct reading, stated), NULL
#define COUNT_AT(member, counted) false, offsetof(struct reading, member), 0, &counted
#define LIST_AT(member, counted) true, offsetof(struct reading, member), 0, &counted
#define BY_ITSELF false, 0, 0, NULL     /* set knows its place */

static const struct key keys[] = {
    { HEAD, "title", set_text, AT(head.title) },
    { HEAD, "worm", set_worm, BY_ITSELF },
    { HEAD, "mounted", set_mounted, BY_ITSELF },
    { HEAD, "tilt", set_tilt, BY_ITSELF },
    { HEAD, "tilt_zero", set_tilt_zero, BY_ITSELF },
    { HEAD, "spindle", set_spindle, BY_ITSELF },
    { HEAD, "plate_pin", set_plate_pin, BY_ITSELF },
    { HEAD, "plate_pin_circles", set_counts, LIST_AT(head.plate_pin_circles, circle) },
    { HEAD, "crank_pin_circles", set_counts, LIST_AT(head.crank_pin_circles, circle) },
    { HEAD, "nose", set_text, AT(head.nose) },
    { HEAD, "taper", set_text, AT(head.taper) },
    { DIRECT, "holes", set_counts, LIST_AT(head.direct, circle) },
    { DIRECT, "vernier", set_counts, LIST_AT(head.vernier, pins) },
    { DIRECT, "names", set_names, BY_ITSELF },
    { PLATE, "side 1", set_side, true, 0, 0, NULL },
    { PLATE, "side 2", set_side, true, 1, 0, NULL },
    { PLATE, "detent", set_detent, BY_ITSELF },
    { DIAL, "lines", set_count, COUNT_AT(head.dial.lines, lines) },
    { DIAL, "vernier", set_count, COUNT_AT(head.dial.vernier, parts) },
    { DIAL, "numbered", set_numbered, BY_ITSELF },
    { DIAL, "zero", set_zero, BY_ITSELF },
    { DIAL, "rises", set_way, AT(head.dial.rises) },
    { RIM, "lines", set_count, COUNT_AT(head.rim.lines, lines) },
    { RIM, "vernier", set_count, COUNT_AT(head.rim.vernier, parts) },
    { RIM, "rises", set_way, AT(head.rim.rises) },
    { GEARS, "teeth", set_counts, LIST_AT(head.gears, gear) },
    { GEARS, "reversed", set_reversed, BY_ITSELF },
    { GEARS, "least-sum", set_sum, COUNT_AT(head.least_sum, teeth_sum) },
    { GEARS, "most-sum", set_sum, COUNT_AT(head.most_sum, teeth_sum) },
    { BRACKET, "module", set_bracket, BY_ITSELF },
    { BRACKET, "dp", set_bracket, BY_ITSELF },
    { BRACKET, "centres", set_bracket, BY_ITSELF },
    { BRACKET, "lead_centres", set_bracket, BY_ITSELF },
    { BRACKET, "lead_drop", set_bracket, BY_ITSELF },
    { BRACKET, "lead_offset", set_bracket, BY_ITSELF },
    { BRACKET, "short_centres", set_bracket, BY_ITSELF },
    { BRACKET, "slot", set_bracket, BY_ITSELF },
    { BRACKET, "reach", set_bracket, BY_ITSELF },
    { BRACKET, "studs", set_bracket, BY_ITSELF },
    { BRACKET, "planes", set_bracket, BY_ITSELF },
    { BRACKET, "collar", set_bracket, BY_ITSELF },
    { BRACKET, "clear", set_bracket, BY_ITSELF },
    { BRACKET, "play", set_bracket, BY_ITSELF },
    { BRACKET, "spindle_most", set_bracket, BY_ITSELF },
    { BRACKET, "worm_most", set_bracket, BY_ITSELF },
    { BRACKET, "screw_most", set_bracket, BY_ITSELF },
    { BRACKET, "sleeve_least", set_bracket, BY_ITSELF },
    { ACCURACY, "worm", set_accuracy, STATED_AT(head.worm_accuracy, head.has_worm_accuracy) },
    { ACCURACY, "direct", set_accuracy, STATED_AT(head.direct_accuracy, head.has_direct_accuracy) },
    { ACCURACY, "dial", set_accuracy, STATED_AT(head.dial_accuracy, head.has_dial_accuracy) },
};
enum { KEY_COUNT = sizeof keys / sizeof keys[0] };
_Static_assert(KEY_COUNT <= MOST_KEYS, "seen_keys has a bit for each key");

static enum cc_status set_bracket(struct reading *r, const char *value, struct cc_error *err)
{
    r->bracket_line = r->line;
    return cci_bracket_set(&r->head.bracket, r->last_key->name, value, err);
}

/* ---- keys ---- */

static void unknown_key(struct reading *r, const char *name)
{
    char text[400], list[240] = "";
    size_t used = 0;

    for (size_t i = 0; i < KEY_COUNT; i++)
        if (keys[i].section == r->section)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "",
                                     keys[i].name);
    snprintf(text, sizeof text, "unknown key '%.60s': the keys here are %s", name, list);
    fail_at(r, r->line, CC_EPARSE, text);
}

static const struct key *key_of(enum section section, const char *name)
{
    for (size_t i = 0; i < KEY_COUNT; i++)
        if (keys[i].section == section && strcmp(keys[i].name, name) == 0)
            return &keys[i];
    return NULL;
}

/* Where a key stands. */
static unsigned long line_of(const struct reading *r, enum section section, const char *name)
{
    return r->key_line[key_of(section, name) - keys];
}

static const struct key *find_key(struct reading *r, const char *name)
{
    const struct key *key = key_of(r->section, name);

    if (key != NULL)
        return key;
    if (r->section == NO_SECTION)
        fail_at(r, r->line, CC_EPARSE, "a key before the first section: write [head] above it");
    else
        unknown_key(r, name);
    return NULL;
}

static void fail_key(struct reading *r, const char *name, enum cc_status status, const char *text)
{
    char message[sizeof r->err->text];
    snprintf(message, sizeof message, "%s: %.380s", name, text);
    fail_at(r, r->line, status, message);
}

/* Called by inih with each key and each line that goes on with a list. */
static int on_key(void *user, const char *section, const char *name, const char *value)
{
    struct reading *r = user;
    const struct key *key = r->goes_on ? r->last_key : find_key(r, name);
    struct cc_error inner;

    (void)section;
    r->waiting = false;
    if (key == NULL)
        return 0;
    uint64_t bit = UINT64_C(1) << (key - keys);
    if (r->goes_on && !key->list) {
        fail_key(r, key->name, CC_EPARSE, "only a list of counts goes on in a second line");
    } else if (!r->goes_on && (r->seen_keys & bit) != 0) {
        fail_key(r, key->name, CC_EPARSE, "stands twice in this section: keep one of them");
    } else if (*value == '\0') {
        fail_key(r, key->name, CC_EPARSE, "a value is missing: leave the key out if there is none");
    } else {
        r->seen_keys |= bit;
        r->last_key = key;
        r->key_line[key - keys] = r->line;
        enum cc_status s = key->set(r, value, &inner);
        if (s != CC_OK)
            fail_key(r, key->name, s, inner.text);
    }
    return r->status == CC_OK;
}

/* ---- sections ---- */

static bool is_name_char(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           strchr("-_.+", c) != NULL || (unsigned char)c >= 0x80;
}

/* Whether it can be the name of one more plate; says why not. */
static bool good_plate_name(struct reading *r, const char *name, size_t length)
{
    char text[200];

    for (size_t i = 0; i < length; i++)
        if (!is_name_char(name[i]))
            length = 0;
    if (length == 0 || (length == 4 && memcmp(name, "none", 4) == 0)) {
        fail_at(r, r->line, CC_EPARSE,
                "not a plate's name: write [plate A], the name one word of letters and digits");
        return false;
    }
    if (length > MAX_PLATE_NAME) {
        fail_at(r, r->line, CC_ELIMIT, "a plate's name of more than " DIGITS_OF(MAX_PLATE_NAME) " bytes: shorten it");
        return false;
    }
    if (r->head.plate_count == CC_MAX_PLATES) {
        fail_at(r, r->line, CC_ELIMIT, "more than " DIGITS_OF(CC_MAX_PLATES) " plates: that is the limit");
        return false;
    }
    for (size_t i = 0; i < r->head.plate_count; i++)
        if (strlen(r->head.plates[i].name) == length && memcmp(r->head.plates[i].name, name, length) == 0) {
            snprintf(text, sizeof text, "[plate %.*s] stands twice: give every plate its own name",
                     (int)length, name);
            fail_at(r, r->line, CC_EPARSE, text);
            return false;
        }
    return true;
}

static void add_plate(struct reading *r, const char *name, size_t length)
{
    struct cc_plate *plates;

    if (!good_plate_name(r, name, length))
        return;
    plates = realloc(r->head.plates, (r->head.plate_count + 1) * sizeof *plates);
    if (plates != NULL) {
        r->head.plates = plates;
        plates[r->head.plate_count] = (struct cc_plate){ .name = copy_text(name, length), .detent = 1 };
    }
    if (plates == NULL || plates[r->head.plate_count].name == NULL) {
        fail_at(r, 0, CC_ENOMEM, "out of memory");
        return;
    }
    r->plate_line[r->head.plate_count++] = r->line;
}

/* The section named by the length bytes at name, blanks around it gone. */
static void begin_section(struct reading *r, const char *name, size_t length)
{
    char text[200];

    r->seen_keys = 0;
    r->last_key = NULL;
    if (length > 6 && memcmp(name, "plate ", 6) == 0) {
        size_t blanks = strspn(name + 6, " ");
        r->section = PLATE;
        add_plate(r, name + 6 + blanks, length - 6 - blanks);
        return;
    }
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++) {
        if (strlen(sections[i].name) != length || memcmp(sections[i].name, name, length) != 0)
            continue;
        r->section = sections[i].section;
        if (r->section_line[r->section] > 0) {
            snprintf(text, sizeof text, "[%s] stands twice: keep one of them", sections[i].name);
            fail_at(r, r->line, CC_EPARSE, text);
        }
        r->section_line[r->section] = r->line;
        return;
    }
    snprintf(text, sizeof text,
             "unknown section '[%.*s]': write [head], [direct], [plate NAME], [dial], [rim], [gears], [bracket] or [accuracy]",
             length < 60 ? (int)length : 60, name);
    fail_at(r, r->line, CC_EPARSE, text);
}

/* A line that begins with '['. */
static void read_section(struct reading *r, const char *line)
{
    size_t length = strcspn(line, "]");
    const char *rest = line[length] == ']' ? line + length + 1 : NULL;
    const char *name = cci_skip_blanks(line + 1);

    if (rest == NULL || strcspn(line, ";") < length ||
        (*cci_skip_blanks(rest) != '\0' && !(*rest == ' ' && *cci_skip_blanks(rest) == ';'))) {
        fail_at(r, r->line, CC_EPARSE, "not a section: write it as [head]");
        return;
    }
    length = line + length > name ? (size_t)(line + length - name) : 0;
    while (length > 0 && name[length - 1] == ' ')
        length--;
    begin_section(r, name, length);
}

/* ---- lines ---- */

/* Refuse what cannot stand in a line of text; tabs become blanks, and what else cannot be shown question marks. */
static void clean_line(struct reading *r, char *line, size_t length)
{
    for (size_t i = 0, n; i < length; i += n) {
        n = cc_utf8_char(line + i, length - i);
        if (line[i] == '\t')
            line[i] = ' ';
        if (n == 0) {
            fail_at(r, r->line, CC_EPARSE, "not UTF-8 text: save the profile as UTF-8");
            return;
        }
        if ((unsigned char)line[i] < 0x20 || line[i] == 0x7F) {
            fail_at(r, r->line, CC_EPARSE, "a control character: a profile is plain text");
            return;
        }
        if (n > 1 && cc_utf8_shown(line + i, n) == 0)
            memset(line + i, '?', n);
    }
}

/* Cut a comment: a semicolon behind a blank. */
static void cut_comment(char *line)
{
    char *comment = strstr(line, " ;");
    if (comment != NULL)
        *comment = '\0';
}

/* The handler did not take the line before: inih found no key in it. */
static void check_waiting(struct reading *r)
{
    if (r->waiting)
        fail_at(r, r->line, CC_EPARSE, "not a key: write key = value");
}

/* The next line of the text, without its end; r->at moves past that. */
static const char *cut_line(struct reading *r, size_t *length)
{
    const char *start = r->at, *newline = memchr(start, '\n', (size_t)(r->end - start));
    const char *stop = newline != NULL ? newline : r->end;

    r->at = newline != NULL ? newline + 1 : r->end;
    r->line++;
    if (r->line == 1 && stop - start >= 3 && memcmp(start, "\xEF\xBB\xBF", 3) == 0)
        start += 3;     /* a byte order mark, as some editors write */
    if (stop > start && stop[-1] == '\r')
        stop--;
    *length = (size_t)(stop - start);
    return start;
}

/*
 * Copy the next line into line. inih takes any line that begins with a blank for more of the value above, so blanks
 * in front are dropped; a line that begins with a digit does go on with the list above it, and gets one blank.
 */
static void take_line(struct reading *r, char *line, size_t size)
{
    size_t length;
    const char *start = cut_line(r, &length);

    if (length > MAX_LINE || length + 2 > size) {
        fail_at(r, r->line, CC_ELIMIT, "a line of more than " DIGITS_OF(MAX_LINE) " bytes: shorten it");
        return;
    }
    while (length > 0 && (*start == ' ' || *start == '\t')) {
        start++;
        length--;
    }
    r->goes_on = r->last_key != NULL && length > 0 && *start >= '0' && *start <= '9';
    line[0] = ' ';
    memcpy(line + r->goes_on, start, length);
    line[length + r->goes_on] = '\0';
    clean_line(r, line, length + r->goes_on);
    if (r->goes_on)     /* inih takes comments off the other lines */
        cut_comment(line);
}

/* inih's reader: the next line, or NULL at the end and after an error. */
static char *next_line(char *line, int size, void *stream)
{
    struct reading *r = stream;

    check_waiting(r);
    if (r->status != CC_OK || r->at == r->end)
        return NULL;
    take_line(r, line, (size_t)size);
    if (r->status == CC_OK && line[0] == '[')
        read_section(r, line);
    r->waiting = strchr("[;#", line[0]) == NULL;     /* finds the '\0' of an empty line as well */
    return r->status == CC_OK ? line : NULL;
}

/* ---- the whole ---- */

static int by_size(const void *a, const void *b)
{
    unsigned x = *(const unsigned *)a, y = *(const unsigned *)b;
    return (x > y) - (x < y);
}

static void check_plates(struct reading *r)
{
    char text[200];

    for (size_t i = 0; i < r->head.plate_count; i++) {
        if (r->head.plates[i].side[0].n > 0 || r->head.plates[i].side[1].n > 0)
            continue;
        snprintf(text, sizeof text, "[plate %s] has no circles: write side 1 = 15 16 17",
                 r->head.plates[i].name);
        fail_at(r, r->plate_line[i], CC_EDOM, text);
    }
    if (r->head.has_worm && r->head.plate_count == 0 && !cc_head_has_dial(&r->head))
        fail_at(r, 0, CC_EDOM, "a worm without a plate or a dial: write [plate A] with side 1 = its circles, or [dial] with "
                "lines = those of one turn");
    if (!r->head.has_worm && r->head.plate_count > 0)
        fail_at(r, 0, CC_EDOM, "plates without a worm: write worm = 40, its ratio, in [head]");
}

/* Each circle that a pin is said to reach is on some plate. */
static void check_reach(struct reading *r, const char *key, const struct cc_counts *reached)
{
    char text[100];

    for (size_t i = 0; i < reached->n; i++) {
        bool found = false;
        for (size_t p = 0; p < r->head.plate_count; p++)
            found = found || holds(&r->head.plates[p].side[0], reached->at[i]) ||
                    holds(&r->head.plates[p].side[1], reached->at[i]);
        if (found)
            continue;
        snprintf(text, sizeof text, "%s: no plate has a circle of %u holes: name circles of the plates", key, reached->at[i]);
        fail_at(r, line_of(r, HEAD, key), CC_EDOM, text);
    }
}

static void check_direct(struct reading *r)
{
    bool plain = true;

    if (r->head.vernier.n > 0 && r->head.vernier.n != r->head.direct.n)
        fail_at(r, line_of(r, DIRECT, "vernier"), CC_EDOM,
                "vernier: the pins belong to circles: write a number for each, as in holes = 36 20 and vernier = 10 5");
    if (r->names > 0 && r->names != r->head.direct.n)
        fail_at(r, line_of(r, DIRECT, "names"), CC_EDOM, "names: write one for each circle of holes, without blanks in it");
    for (size_t i = 0; i < r->head.vernier.n; i++)
        plain = plain && r->head.vernier.at[i] == 1;
    if (plain)
        r->head.vernier.n = 0;
    if (r->status == CC_OK && r->names > 0) {
        r->head.direct_name = r->name;
        r->name = NULL;
        r->names = 0;
    }
    if (!r->head.has_worm && r->head.direct.n == 0)
        fail_at(r, 0, CC_EDOM,
                "no worm and no direct plate: write worm = 40 in [head] or holes = 24 in [direct]");
}

/* Seconds of the spindle from line to line, when the crank goes once round in worm of its turns. */
static void space_of_dial(mpq_t seconds, const struct cc_head *head)
{
    mpq_set_ui(seconds, CC_ARCSEC_PER_REV, head->dial.lines);
    mpq_canonicalize(seconds);
    mpq_div(seconds, seconds, head->worm);
}

/* What is engraved counts angles where a space is whole minutes, unless it is said. */
static void settle_numbers(struct reading *r)
{
    char text[240], space[80];
    mpq_t seconds;

    mpq_init(seconds);
    space_of_dial(seconds, &r->head);
    bool whole = mpz_cmp_ui(mpq_denref(seconds), 1) == 0;
    if (line_of(r, DIAL, "numbered") == 0 && (!whole || !mpz_divisible_ui_p(mpq_numref(seconds), 60)))
        r->head.dial.numbered = CC_NUMBERED_LINES;
    if (r->head.dial.numbered == CC_NUMBERED_ANGLE && !whole) {
        cc_rational_str(space, sizeof space, seconds);
        snprintf(text, sizeof text, "numbered: a space of this dial is %s seconds of the spindle, no whole number: write numbered = lines, "
                 "or mend lines", space);
        fail_at(r, line_of(r, DIAL, "numbered"), CC_EDOM, text);
    }
    mpq_clear(seconds);
}

static void check_scales(struct reading *r)
{
    if (r->section_line[DIAL] > 0 && r->head.dial.lines == 0)
        fail_at(r, r->section_line[DIAL], CC_EDOM, "[dial] has no lines: write lines = those in one turn of the crank, as in 240");
    if (r->section_line[RIM] > 0 && r->head.rim.lines == 0)
        fail_at(r, r->section_line[RIM], CC_EDOM, "[rim] has no lines: write lines = those in one turn of the spindle, as in 360");
    if (r->section_line[DIAL] > 0 && !r->head.has_worm)
        fail_at(r, r->section_line[DIAL], CC_EDOM, "a dial without a worm: write worm = 90, its ratio, in [head]");
    if (r->head.rim.rises != CC_WAY_UNKNOWN && cc_head_has_dial(&r->head) && r->head.dial.rises == CC_WAY_UNKNOWN)
        fail_at(r, r->section_line[RIM], CC_EDOM, "[rim] says which way its readings rise and [dial] does not: write rises in both");
    if (r->head.dial.vernier == 0)
        r->head.dial.vernier = 1;
    if (r->head.rim.vernier == 0)
        r->head.rim.vernier = 1;
    if (r->status == CC_OK && cc_head_has_dial(&r->head))
        settle_numbers(r);
}

static void finish(struct reading *r, const char *name)
{
    struct cc_error inner;

    check_scales(r);
    check_plates(r);
    check_direct(r);
    if (cci_bracket_check(&r->head.bracket, &inner) != CC_OK)
        fail_at(r, r->bracket_line, CC_EDOM, inner.text);
    check_reach(r, "plate_pin_circles", &r->head.plate_pin_circles);
    check_reach(r, "crank_pin_circles", &r->head.crank_pin_circles);
    r->head.mounted_plate = r->head.plate_count;
    if (r->status == CC_OK && line_of(r, HEAD, "mounted") > 0) {
        enum cc_status s = cc_head_mount(&r->head, r->mounted, &inner);
        char text[sizeof inner.text];
        if (s != CC_OK) {
            snprintf(text, sizeof text, "mounted: %.380s", inner.text);
            fail_at(r, line_of(r, HEAD, "mounted"), s, text);
        }
    }
    if (r->head.gears.n > 0)
        qsort(r->head.gears.at, r->head.gears.n, sizeof *r->head.gears.at, by_size);
    if (r->head.title == NULL)
        r->head.title = copy_text("Dividing head", strlen("Dividing head"));
    r->head.name = copy_text(name, strlen(name));
    if (r->head.title == NULL || r->head.name == NULL)
        fail_at(r, 0, CC_ENOMEM, "out of memory");
}

enum cc_status cc_head_read(struct cc_head *head, const char *text, size_t length, const char *name,
                            const char *where, struct cc_error *err)
{
    struct reading r = { .at = text, .end = text + length, .where = where, .err = err };

    cc_head_init(&r.head);
    if (ini_parse_stream(next_line, &r, on_key, &r) < 0)
        fail_at(&r, 0, CC_ENOMEM, "out of memory");
    if (r.status == CC_OK)
        finish(&r, name);
    if (r.status == CC_OK)
        cc_head_swap(head, &r.head);
    cc_head_clear(&r.head);
    for (size_t i = 0; i < r.names; i++)
        free(r.name[i]);
    free(r.name);
    return r.status;
}

enum cc_status cc_head_default(struct cc_head *head, struct cc_error *err)
{
    return cc_head_read(head, cc_default_profile, strlen(cc_default_profile), "built-in", "built-in",
                        err);
}
