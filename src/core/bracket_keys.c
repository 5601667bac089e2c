/* bracket_keys.c: [bracket] of a profile, read and written. Lengths become whole nanometres here, and stay that. */
#include "core/bracket_keys.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/head.h"
#include "crankcard/length.h"
#include "crankcard/number.h"

#define MOST_NM ((uint64_t)CC_MAX_BRACKET_MM * CC_NM_OF_MM)
#define MOST_MODULE ((uint64_t)CC_MAX_MODULE_MM * CC_NM_OF_MM)
#define LEAST_MODULE (CC_NM_OF_MM / 20)
#define NM_OF_INCH 25400000
#define MOST_DP 500
#define LONGEST_VALUE 190

void cc_bracket_init(struct cc_bracket *bracket)
{
    *bracket = (struct cc_bracket){ .planes = 0, .clear = 2 * CC_NM_OF_MM, .play = CC_NM_OF_MM / 10 };
}

/* ---- values ---- */

static enum cc_status read_length(uint64_t *nm, const char *text, uint64_t least, struct cc_error *err)
{
    mpq_t mm;

    mpq_init(mm);
    enum cc_status s = cc_length_parse(mm, text, CC_MM, err);
    if (s == CC_OK && (mpq_sgn(mm) < 0 || mpq_cmp_ui(mm, CC_MAX_BRACKET_MM, 1) > 0))
        s = cc_fail(err, CC_EDOM, "'%.60s' is out of range: at most %d mm, and not below 0", text, CC_MAX_BRACKET_MM);
    if (s == CC_OK) {
        mpz_mul_ui(mpq_numref(mm), mpq_numref(mm), CC_NM_OF_MM);
        mpq_canonicalize(mm);
        cc_rational_round(mpq_numref(mm), mm);
        uint64_t value = cc_get_u64(mpq_numref(mm));
        if (value < least)
            s = cc_fail(err, CC_EDOM, "'%.60s' is no size: leave the key out where it is not known", text);
        else
            *nm = value;
    }
    mpq_clear(mm);
    return s;
}

/* One length, or the least and the most with a blank between. Lengths may have blanks in them, so every blank is tried. */
static enum cc_status read_reach(struct cc_reach *reach, const char *value, struct cc_error *err)
{
    struct cc_reach both = { 0, 0 };
    char first[LONGEST_VALUE + 1];

    if (read_length(&both.low, value, 1, NULL) == CC_OK) {
        both.high = both.low;
    } else {
        const char *p = strchr(value, ' ');
        for (; p != NULL; p = strchr(p + 1, ' ')) {
            snprintf(first, sizeof first, "%.*s", (int)(p - value), value);
            if (read_length(&both.low, first, 1, NULL) == CC_OK && read_length(&both.high, p + 1, 1, NULL) == CC_OK)
                break;
        }
        if (p == NULL)
            return cc_fail(err, CC_EPARSE, "'%.60s' is neither a length nor two: write 120, or the least and the most, 110 130",
                           value);
    }
    if (both.low > both.high)
        return cc_fail(err, CC_EDOM, "'%.60s' is upside down: write the least first", value);
    *reach = both;
    return CC_OK;
}

static enum cc_status read_number(unsigned *out, const char *value, unsigned least, unsigned most, struct cc_error *err)
{
    size_t digits = strspn(value, "0123456789");
    unsigned n = 0;

    for (size_t i = 0; i < digits && n <= most; i++)
        n = n * 10 + (unsigned)(value[i] - '0');
    if (value[digits] != '\0' || n < least || n > most)
        return cc_fail(err, CC_EDOM, "'%.60s' is out of range: write a count from %u to %u", value, least, most);
    *out = n;
    return CC_OK;
}

static const char *const slots[] = { "worm", "spindle", "screw", "straight" };

static enum cc_status read_slot(enum cc_slot *slot, const char *value, struct cc_error *err)
{
    for (unsigned i = 0; i < sizeof slots / sizeof slots[0]; i++)
        if (strcmp(value, slots[i]) == 0) {
            *slot = (enum cc_slot)i;
            return CC_OK;
        }
    return cc_fail(err, CC_EDOM, "'%.60s' is not known: write worm, spindle or screw, the shaft about which it swings, or straight",
                   value);
}

static enum cc_status read_pitch(struct cc_bracket *b, bool dp, const char *value, struct cc_error *err)
{
    enum cc_status s;

    if (b->module != 0)
        return cc_fail(err, CC_EDOM, "module and dp say the same: keep one of them");
    if (!dp) {
        s = read_length(&b->module, value, LEAST_MODULE, err);
        if (s == CC_OK && b->module > MOST_MODULE)
            s = cc_fail(err, CC_EDOM, "'%.60s' is no module of change gears: at most %d mm", value, CC_MAX_MODULE_MM);
        return s;
    }
    s = read_number(&b->dp, value, 1, MOST_DP, err);
    if (s == CC_OK)
        b->module = ((uint64_t)NM_OF_INCH + b->dp / 2) / b->dp;
    return s;
}

static enum cc_status set_measure(struct cc_bracket *b, const char *key, const char *value, struct cc_error *err)
{
    const struct {
        const char *key;
        uint64_t *nm;
        bool *stated;
    } rows[] = {
        { "lead_drop", &b->lead_drop, &b->has_drop }, { "lead_offset", &b->lead_offset, &b->has_offset },
        { "clear", &b->clear, &b->has_clear },        { "play", &b->play, &b->has_play },
        { "collar", &b->collar, NULL },               { "spindle_most", &b->spindle_most, NULL },
        { "worm_most", &b->worm_most, NULL },         { "screw_most", &b->screw_most, NULL },
    };
    enum cc_status s = CC_OK;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(key, rows[i].key) != 0)
            continue;
        s = read_length(rows[i].nm, value, rows[i].stated != NULL ? 0 : 1, err);
        if (rows[i].stated != NULL)
            *rows[i].stated = s == CC_OK;
    }
    return s;
}

enum cc_status cci_bracket_set(struct cc_bracket *b, const char *key, const char *value, struct cc_error *err)
{
    b->stated = true;
    const struct {
        const char *key;
        struct cc_reach *reach;
    } rows[] = {
        { "centres", &b->centres }, { "lead_centres", &b->lead_centres }, { "short_centres", &b->short_centres },
        { "reach", &b->reach },
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (strcmp(key, rows[i].key) == 0)
            return read_reach(rows[i].reach, value, err);
    if (strcmp(key, "module") == 0 || strcmp(key, "dp") == 0)
        return read_pitch(b, key[0] == 'd', value, err);
    if (strcmp(key, "slot") == 0)
        return read_slot(&b->slot, value, err);
    if (strcmp(key, "studs") == 0)
        return read_number(&b->studs, value, 1, CC_MAX_STUDS, err);
    if (strcmp(key, "planes") == 0)
        return read_number(&b->planes, value, 2, 3, err);
    if (strcmp(key, "sleeve_least") == 0)
        return read_number(&b->sleeve_least, value, 1, CC_MAX_TEETH, err);
    return set_measure(b, key, value, err);
}

enum cc_status cci_bracket_check(const struct cc_bracket *b, struct cc_error *err)
{
    if (b->has_drop != b->has_offset)
        return cc_fail(err, CC_EDOM, "lead_drop and lead_offset belong together: write both, or lead_centres");
    if (b->has_drop && b->lead_centres.high != 0)
        return cc_fail(err, CC_EDOM, "lead_centres and lead_drop with lead_offset say the same: keep one of them");
    if (b->has_drop && b->lead_drop == 0 && b->lead_offset == 0)
        return cc_fail(err, CC_EDOM, "lead_drop and lead_offset are both 0: the screw is not in the worm shaft");
    return CC_OK;
}

/* ---- writing ---- */

char *cci_out_at(const struct cci_out *out)
{
    return out->length < out->size ? out->buf + out->length : NULL;
}

size_t cci_out_left(const struct cci_out *out)
{
    return out->length < out->size ? out->size - out->length : 0;
}

void cci_put(struct cci_out *out, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    int n = vsnprintf(cci_out_at(out), cci_out_left(out), format, args);
    va_end(args);
    if (n > 0)
        out->length += (size_t)n;
}

/* Millimetres, with as many decimals as there are. */
static void put_nm(struct cci_out *o, uint64_t nm)
{
    char decimals[8];
    size_t n = (size_t)snprintf(decimals, sizeof decimals, ".%06u", (unsigned)(nm % CC_NM_OF_MM));

    while (n > 0 && (decimals[n - 1] == '0' || decimals[n - 1] == '.'))
        n--;
    cci_put(o, "%" PRIu64 "%.*s", nm / CC_NM_OF_MM, (int)n, decimals);
}

static void put_length(struct cci_out *o, const char *key, bool stated, uint64_t nm)
{
    if (!stated)
        return;
    cci_put(o, "%s = ", key);
    put_nm(o, nm);
    cci_put(o, "\n");
}

static void put_reach(struct cci_out *o, const char *key, const struct cc_reach *reach)
{
    if (reach->high == 0)
        return;
    cci_put(o, "%s = ", key);
    put_nm(o, reach->low);
    if (reach->high != reach->low) {
        cci_put(o, " ");
        put_nm(o, reach->high);
    }
    cci_put(o, "\n");
}

static void put_number(struct cci_out *o, const char *key, unsigned n)
{
    if (n != 0)
        cci_put(o, "%s = %u\n", key, n);
}

static void put_keys(struct cci_out *o, const struct cc_bracket *b)
{
    put_length(o, "module", b->dp == 0 && b->module != 0, b->module);
    put_number(o, "dp", b->dp);
    put_reach(o, "centres", &b->centres);
    put_reach(o, "lead_centres", &b->lead_centres);
    put_length(o, "lead_drop", b->has_drop, b->lead_drop);
    put_length(o, "lead_offset", b->has_offset, b->lead_offset);
    put_reach(o, "short_centres", &b->short_centres);
    cci_put(o, "slot = %s\n", slots[b->slot]);
    put_reach(o, "reach", &b->reach);
    put_number(o, "studs", b->studs);
    put_number(o, "planes", b->planes);
    put_length(o, "collar", b->collar != 0, b->collar);
    put_length(o, "clear", b->has_clear, b->clear);
    put_length(o, "play", b->has_play, b->play);
    put_length(o, "spindle_most", b->spindle_most != 0, b->spindle_most);
    put_length(o, "worm_most", b->worm_most != 0, b->worm_most);
    put_length(o, "screw_most", b->screw_most != 0, b->screw_most);
    put_number(o, "sleeve_least", b->sleeve_least);
}

size_t cc_bracket_str(char *buf, size_t size, const struct cc_bracket *bracket)
{
    struct cci_out o = { buf, size, 0 };

    if (size > 0)
        buf[0] = '\0';
    if (!bracket->stated)
        return 0;
    cci_put(&o, "\n[bracket]\n");
    put_keys(&o, bracket);
    return o.length;
}
