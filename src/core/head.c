/*
 * head.c: a head in memory: lifetime, which plate is on, and the profile written out.
 * profile.c reads it.
 */
#include "crankcard/head.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/bracket_keys.h"
#include "core/scan.h"
#include "crankcard/angle.h"
#include "crankcard/number.h"

/* ---- lifetime ---- */

void cc_head_init(struct cc_head *head)
{
    static const struct cc_head empty = { .has_worm = false };

    *head = empty;
    cc_bracket_init(&head->bracket);
    mpq_inits(head->worm, head->tilt_low, head->tilt_high, head->tilt_zero, head->worm_accuracy, head->direct_accuracy,
              head->dial_accuracy, NULL);
}

void cc_head_clear(struct cc_head *head)
{
    for (size_t i = 0; i < head->plate_count; i++) {
        free(head->plates[i].name);
        for (size_t side = 0; side < CC_MAX_SIDES; side++)
            free(head->plates[i].side[side].at);
    }
    free(head->plates);
    for (size_t i = 0; head->direct_name != NULL && i < head->direct.n; i++)
        free(head->direct_name[i]);
    free(head->direct_name);
    free(head->vernier.at);
    free(head->direct.at);
    free(head->plate_pin_circles.at);
    free(head->crank_pin_circles.at);
    free(head->gears.at);
    free(head->name);
    free(head->title);
    free(head->nose);
    free(head->taper);
    mpq_clears(head->dial_accuracy, head->direct_accuracy, head->worm_accuracy, head->tilt_zero, head->tilt_high,
               head->tilt_low, head->worm, NULL);
}

void cc_head_swap(struct cc_head *a, struct cc_head *b)
{
    struct cc_head tmp = *a;
    *a = *b;
    *b = tmp;
}

/* ---- which plate is on ---- */

static bool side_exists(const struct cc_head *head, size_t plate, unsigned side)
{
    return head->plates[plate].side[side - 1].n > 0;
}

/* The plate of that name (length bytes), or plate_count. */
static size_t find_plate(const struct cc_head *head, const char *name, size_t length)
{
    size_t i = 0;
    while (i < head->plate_count && (strlen(head->plates[i].name) != length ||
                                     memcmp(head->plates[i].name, name, length) != 0))
        i++;
    return i;
}

static size_t without_blanks_behind(const char *text, size_t length)
{
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
        length--;
    return length;
}

static enum cc_status no_such_plate(const char *text, const struct cc_head *head,
                                    struct cc_error *err)
{
    char list[200] = "";
    size_t used = 0;

    for (size_t i = 0; i < head->plate_count; i++)
        for (unsigned side = 1; side <= CC_MAX_SIDES; side++)
            if (side_exists(head, i, side) && used < sizeof list)
                used += (size_t)snprintf(list + used, sizeof list - used, "%s%s %u",
                                         used > 0 ? ", " : "", head->plates[i].name, side);
    if (used == 0)
        return cc_fail(err, CC_EDOM, "no plate '%.60s': this head has no plates", text);
    return cc_fail(err, CC_EDOM, "no plate '%.60s': this head has %s%s", text, list,
                   used >= sizeof list ? " ..." : "");
}

enum cc_status cc_head_mount(struct cc_head *head, const char *text, struct cc_error *err)
{
    const char *name = cci_skip_blanks(text);
    size_t length = without_blanks_behind(name, strlen(name));
    size_t plate = find_plate(head, name, length);
    unsigned side = 1;

    if (length == 4 && memcmp(name, "none", 4) == 0) {
        head->mounted_plate = head->plate_count;
        head->mounted_side = 0;
        return CC_OK;
    }
    if (plate < head->plate_count) {    /* the whole text is a name: the first side it has */
        while (side < CC_MAX_SIDES && !side_exists(head, plate, side))
            side++;
    } else if (length > 0 && (name[length - 1] == '1' || name[length - 1] == '2')) {
        side = (unsigned)(name[length - 1] - '0');
        plate = find_plate(head, name, without_blanks_behind(name, length - 1));
    }
    if (plate == head->plate_count || !side_exists(head, plate, side))
        return no_such_plate(text, head, err);
    head->mounted_plate = plate;
    head->mounted_side = side;
    return CC_OK;
}

/* ---- writing ---- */

static void put_rational(struct cci_out *o, const mpq_t value)
{
    o->length += cc_rational_str(cci_out_at(o), cci_out_left(o), value);
}

/* An angle without a blank in it: whole degrees, whole seconds, else a fraction of a degree. */
static void put_angle(struct cci_out *o, const mpq_t revolutions)
{
    mpq_t degrees, seconds;

    mpq_inits(degrees, seconds, NULL);
    cc_angle_degrees(degrees, revolutions);
    cc_angle_arcsec(seconds, revolutions);
    if (mpz_cmp_ui(mpq_denref(degrees), 1) != 0 && mpz_cmp_ui(mpq_denref(seconds), 1) == 0)
        o->length += cc_angle_error_str(cci_out_at(o), cci_out_left(o), revolutions, 0, CC_MARKS_ASCII);
    else
        put_rational(o, degrees);
    mpq_clears(seconds, degrees, NULL);
}

/* A list that is too long for one line goes on in further lines, each beginning with a digit. */
static void put_counts(struct cci_out *o, const char *key, const struct cc_counts *counts)
{
    enum { PER_LINE = 16 };

    if (counts->n == 0)
        return;
    cci_put(o, "%s =", key);
    for (size_t i = 0; i < counts->n; i++)
        cci_put(o, "%s %u", i > 0 && i % PER_LINE == 0 ? "\n   " : "", counts->at[i]);
    cci_put(o, "\n");
}

static void put_text(struct cci_out *o, const char *key, const char *text)
{
    /* A semicolon behind a blank would begin a comment. */
    if (text != NULL)
        cci_put(o, "%s =%s%s\n", key, text[0] == ';' ? "" : " ", text);
}

static void put_angle_key(struct cci_out *o, const char *key, bool given, const mpq_t revolutions)
{
    if (!given)
        return;
    cci_put(o, "%s = ", key);
    put_angle(o, revolutions);
    cci_put(o, "\n");
}

static void put_head_section(struct cci_out *o, const struct cc_head *head)
{
    cci_put(o, "[head]\n");
    put_text(o, "title", head->title);
    if (head->has_worm) {
        cci_put(o, "worm = ");
        put_rational(o, head->worm);
        cci_put(o, "\n");
    }
    if (head->mounted_plate < head->plate_count)
        cci_put(o, "mounted = %s %u\n", head->plates[head->mounted_plate].name, head->mounted_side);
    if (head->has_tilt) {
        cci_put(o, "tilt = ");
        put_angle(o, head->tilt_low);
        cci_put(o, " ");
        put_angle(o, head->tilt_high);
        cci_put(o, "\n");
    }
    if (head->has_tilt_zero) {
        cci_put(o, "tilt_zero = ");
        put_angle(o, head->tilt_zero);
        cci_put(o, "\n");
    }
    if (head->spindle != CC_SPINDLE_UNKNOWN)
        cci_put(o, "spindle = %s\n", head->spindle == CC_SPINDLE_WITH ? "with" : "against");
    if (head->plate_pin_stated)
        cci_put(o, "plate_pin = %s\n", head->plate_pin == CC_PIN_SAME ? "same" : head->plate_pin == CC_PIN_OTHER ? "other" : "none");
    put_counts(o, "plate_pin_circles", &head->plate_pin_circles);
    put_counts(o, "crank_pin_circles", &head->crank_pin_circles);
    put_text(o, "nose", head->nose);
    put_text(o, "taper", head->taper);
}

static void put_gears_section(struct cci_out *o, const struct cc_head *head)
{
    if (head->gears.n == 0 && !head->reversed && head->least_sum == 0 && head->most_sum == 0)
        return;
    cci_put(o, "\n[gears]\n");
    put_counts(o, "teeth", &head->gears);
    if (head->reversed)
        cci_put(o, "reversed = yes\n");
    if (head->least_sum > 0)
        cci_put(o, "least-sum = %u\n", head->least_sum);
    if (head->most_sum > 0)
        cci_put(o, "most-sum = %u\n", head->most_sum);
}

static const char *way_word(enum cc_way way)
{
    return way == CC_CLOCKWISE ? "clockwise" : "counter";
}

static void put_dial_section(struct cci_out *o, const struct cc_dial *dial)
{
    if (dial->lines == 0)
        return;
    cci_put(o, "\n[dial]\nlines = %u\n", dial->lines);
    if (dial->vernier > 1)
        cci_put(o, "vernier = %u\n", dial->vernier);
    cci_put(o, "numbered = %s\n", dial->numbered == CC_NUMBERED_ANGLE ? "angle" : "lines");
    if (dial->fixed)
        cci_put(o, "zero = fixed\n");
    if (dial->rises != CC_WAY_UNKNOWN)
        cci_put(o, "rises = %s\n", way_word(dial->rises));
}

static void put_rim_section(struct cci_out *o, const struct cc_rim *rim)
{
    if (rim->lines == 0)
        return;
    cci_put(o, "\n[rim]\nlines = %u\n", rim->lines);
    if (rim->vernier > 1)
        cci_put(o, "vernier = %u\n", rim->vernier);
    if (rim->rises != CC_WAY_UNKNOWN)
        cci_put(o, "rises = %s\n", way_word(rim->rises));
}

size_t cc_head_str(char *buf, size_t size, const struct cc_head *head)
{
    struct cci_out o = { buf, size, 0 };

    put_head_section(&o, head);
    if (head->direct.n > 0) {
        cci_put(&o, "\n[direct]\n");
        put_counts(&o, "holes", &head->direct);
        put_counts(&o, "vernier", &head->vernier);
        for (size_t i = 0; head->direct_name != NULL && i < head->direct.n; i++)
            cci_put(&o, "%s%s%s", i == 0 ? "names = " : " ", head->direct_name[i], i + 1 < head->direct.n ? "" : "\n");
    }
    for (size_t i = 0; i < head->plate_count; i++) {
        cci_put(&o, "\n[plate %s]\n", head->plates[i].name);
        if (head->plates[i].detent > 1)
            cci_put(&o, "detent = %u\n", head->plates[i].detent);
        put_counts(&o, "side 1", &head->plates[i].side[0]);
        put_counts(&o, "side 2", &head->plates[i].side[1]);
    }
    put_dial_section(&o, &head->dial);
    put_rim_section(&o, &head->rim);
    put_gears_section(&o, head);
    o.length += cc_bracket_str(cci_out_at(&o), cci_out_left(&o), &head->bracket);
    if (head->has_worm_accuracy || head->has_direct_accuracy || head->has_dial_accuracy) {
        cci_put(&o, "\n[accuracy]\n");
        put_angle_key(&o, "worm", head->has_worm_accuracy, head->worm_accuracy);
        put_angle_key(&o, "direct", head->has_direct_accuracy, head->direct_accuracy);
        put_angle_key(&o, "dial", head->has_dial_accuracy, head->dial_accuracy);
    }
    return o.length;
}

/* ---- questions ---- */

unsigned cc_direct_pins(const struct cc_head *head, size_t i)
{
    return i < head->vernier.n ? head->vernier.at[i] : 1;
}

const char *cc_direct_name(const struct cc_head *head, unsigned holes)
{
    for (size_t i = 0; head->direct_name != NULL && i < head->direct.n; i++)
        if (head->direct.at[i] == holes)
            return head->direct_name[i];
    return NULL;
}

bool cc_pin_reaches(const struct cc_counts *circles, unsigned holes)
{
    for (size_t i = 0; i < circles->n; i++)
        if (circles->at[i] == holes)
            return true;
    return circles->n == 0;
}

mpq_srcptr cc_head_holds(const struct cc_head *head, enum cc_index by)
{
    if (by == CC_INDEX_DIRECT)
        return head->has_direct_accuracy ? head->direct_accuracy : NULL;
    if (by == CC_INDEX_DIAL)
        return head->has_dial_accuracy ? head->dial_accuracy : NULL;
    return head->has_worm_accuracy ? head->worm_accuracy : NULL;
}

bool cc_head_taken_to_hold(mpq_t holds, const struct cc_head *head, enum cc_index by)
{
    mpq_srcptr stated = cc_head_holds(head, by);

    if (stated == NULL && by == CC_INDEX_DIAL) {
        (void)cc_head_taken_to_hold(holds, head, CC_INDEX_WORM);
        return false;
    }
    if (stated != NULL)
        mpq_set(holds, stated);
    else
        mpq_set_ui(holds, by == CC_INDEX_DIRECT ? 5 : 2, 21600);
    mpq_canonicalize(holds);
    return stated != NULL;
}
