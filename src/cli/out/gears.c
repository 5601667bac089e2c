/* gears.c: see gears.h. */
#include "cli/out/gears.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/out/quantities.h"

const char *first_shaft(enum cc_gear_use use)
{
    return use == CC_FOR_DIFFERENTIAL ? "spindle" : "table screw";
}

const char *last_shaft(enum cc_gear_use use)
{
    return use == CC_FOR_SHORT_LEAD ? "spindle" : "worm shaft";
}

/* As ruler and calipers tell it: to a tenth of a millimetre, or 5 thousandths of an inch. */
static const char *nm_text(char *buf, uint64_t nm, enum cc_unit unit)
{
    double mm = (double)nm / CC_NM_OF_MM;

    if (unit == CC_INCH)
        snprintf(buf, QUANTITY_SIZE, "%.3f", mm / 25.4);
    else
        snprintf(buf, QUANTITY_SIZE, "%.1f", mm);
    return buf;
}

/* A train's fit on the head, with its own idlers chosen anew: the best, as it names them. */
static bool fit_of(struct cc_fit *fit, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    return cc_train_fits(fit, train, head, use);
}

void fit_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use,
               enum cc_unit unit)
{
    char spare[QUANTITY_SIZE];
    struct cc_fit fit;

    buf[0] = '\0';
    if (!fit_of(&fit, train, head, use))
        return;
    if (!head->bracket.stated)
        snprintf(buf, size, "Fit not known: the profile has no [bracket].");
    else if (fit.key != CC_FIT_NOTHING)
        snprintf(buf, size, "Fit not known: [bracket] of the profile does not state %s%s.",
                 cc_fit_key_name(fit.key, use), fit.key == CC_FIT_REACH && head->bracket.reach.high != 0 ? " for this use" : "");
    else if (cc_fit_is_barely(&fit, head))
        snprintf(buf, size, "They BARELY go on the bracket: less than a hundredth of a module to spare. Measure again, and try.");
    else
        snprintf(buf, size, "They go on the bracket, with %s %s to spare.", nm_text(spare, fit.margin, unit), cc_unit_name(unit));
}

void unfit_why_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cc_train other = *train;
    struct cc_fit fit;

    buf[0] = '\0';
    if (!fit_of(&fit, train, head, use))
        cc_unfit_str(buf, size, &fit, cc_train_arrange(&other, head, use) ? &other : NULL);
}

/* "100,32" */
static const char *teeth_text(char *buf, const unsigned *teeth, unsigned n)
{
    size_t used = 0;

    for (unsigned i = 0; i < n && i < CC_MAX_PAIRS; i++)
        used += (size_t)snprintf(buf + used, 40 - used, "%s%u", i > 0 ? "," : "", teeth[i]);
    return buf;
}

static bool same_places(const struct cc_train *a, const struct cc_train *b)
{
    return memcmp(a->driver, b->driver, sizeof a->driver) == 0 && memcmp(a->driven, b->driven, sizeof a->driven) == 0;
}

void arrangements_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    const char *go = head->bracket.module == 0 ? "can stand" : "go on";
    char drivers[40], driven[40];
    struct cc_train best = *train;
    unsigned all, fitting;

    cc_train_arrangements(&all, &fitting, train, head, use);
    buf[0] = '\0';
    if (all < 2 || fitting == 0 || !cc_train_arrange(&best, head, use))
        return;
    if (fitting == 1)
        snprintf(buf, size, "No other of the %u arrangements of these gears does.", all);
    else if (same_places(&best, train))
        snprintf(buf, size, "%u of the %u arrangements of these gears %s; this one has the most room.", fitting, all, go);
    else
        snprintf(buf, size, "%u of the %u arrangements of these gears %s; drivers %s, driven %s have more room.", fitting, all, go,
                 teeth_text(drivers, best.driver, best.pairs), teeth_text(driven, best.driven, best.pairs));
}

/* "24 and 32" */
static const char *post_gears(char *buf, size_t size, const struct cc_post *post)
{
    size_t used = 0;

    buf[0] = '\0';
    for (unsigned plane = 0; plane < 3; plane++)
        if (post->tooth[plane] != 0 && used < size)
            used += (size_t)snprintf(buf + used, size - used, "%s%u", used > 0 ? " and " : "", post->tooth[plane]);
    return buf;
}

void post_words(char *buf, size_t size, const struct cc_post *post, bool placed, enum cc_gear_use use, enum cc_unit unit)
{
    char gears[40], last[QUANTITY_SIZE], first[QUANTITY_SIZE];

    post_gears(gears, sizeof gears, post);
    if (!placed)
        snprintf(buf, size, "%s", gears);
    else
        snprintf(buf, size, "%s, %s %s from the %s and %s from the %s", gears, nm_text(last, post->from_last, unit),
                 cc_unit_name(unit), last_shaft(use), nm_text(first, post->from_first, unit), first_shaft(use));
}

void stud_words(char *buf, size_t size, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use,
                enum cc_unit unit)
{
    struct cc_placing placing;
    size_t used = 0;

    buf[0] = '\0';
    if (!cc_train_place(&placing, train, head, use))
        return;
    for (unsigned i = placing.n - 2; i >= 1 && used < size; i--) {
        char stud[GEAR_WORDS / 4];
        post_words(stud, sizeof stud, &placing.post[i], true, use, unit);
        used += (size_t)snprintf(buf + used, size - used, "%s %s", used == 0 ? placing.n > 3 ? "Studs:" : "Stud:" : ";", stud);
    }
    if (used < size)
        snprintf(buf + used, size - used, ".");
}

/* "idler 48, then idler 24, then " */
static size_t put_idlers(char *buf, size_t size, const struct cc_train *t, bool from_first)
{
    size_t used = 0;

    for (unsigned k = 0; k < t->idlers && used < size; k++) {
        unsigned at = from_first ? k : t->idlers - 1 - k;
        if (at < CC_NAMED_IDLERS && t->idler[at] != 0)
            used += (size_t)snprintf(buf + used, size - used, "idler %u, then ", t->idler[at]);
        else
            used += (size_t)snprintf(buf + used, size - used, "an idler, then ");
    }
    return used;
}

/* The gears of the studs, from the last shaft to the first or the other way: "idler 48, then 24 and 32 on a sleeve, then ". */
static void studs_in_order(char *buf, size_t size, const struct cc_train *t, bool from_first)
{
    size_t used = 0;

    buf[0] = '\0';
    for (unsigned step = 0; step < t->pairs && used < size; step++) {
        unsigned i = from_first ? step : t->pairs - 1 - step, stud = from_first ? i : i - 1;
        if (i == t->pairs - 1 - t->idlers_back)
            used += put_idlers(buf + used, size - used, t, from_first);
        if (step + 1 < t->pairs && used < size)
            used += (size_t)snprintf(buf + used, size - used, "%u and %u on a sleeve, then ", t->driven[stud], t->driver[stud + 1]);
    }
}

void short_gear_words(char *buf, size_t size, const struct cc_train *t)
{
    size_t used = 0;

    buf[0] = '\0';
    for (unsigned i = 0; i < t->pairs && used < size; i++)
        used += (size_t)snprintf(buf + used, size - used, "%s%u:%u", i > 0 ? " " : "", t->driver[i], t->driven[i]);
    if (t->idlers == 0 || used >= size)
        return;
    if (t->idlers > CC_NAMED_IDLERS || t->idler[0] == 0)
        used += (size_t)snprintf(buf + used, size - used, ", %u idler%s", t->idlers, t->idlers == 1 ? "" : "s");
    else if (t->idlers == 1)
        used += (size_t)snprintf(buf + used, size - used, ", idler %u", t->idler[0]);
    else
        used += (size_t)snprintf(buf + used, size - used, ", idlers %u %u", t->idler[0], t->idler[1]);
    if (t->idlers_back > 0 && used < size)
        snprintf(buf + used, size - used, " in the first");
}

void gear_order_words(char *buf, size_t size, const struct cc_train *t, const struct cc_head *head, enum cc_gear_use use)
{
    static const enum cc_slot first_slot[] = { CC_SLOT_SPINDLE, CC_SLOT_SCREW, CC_SLOT_SCREW };
    bool from_first = head->bracket.slot == first_slot[use], straight = head->bracket.slot == CC_SLOT_STRAIGHT;
    unsigned a = t->driver[0], z = t->driven[t->pairs - 1];
    char studs[300];

    studs_in_order(studs, sizeof studs, t, from_first);
    snprintf(buf, size, "Order: %u on the %s, from there outward %s%u on the %s; %s. A strip of thin paper in each mesh while you "
             "tighten, then out with it.",
             from_first ? a : z, from_first ? first_shaft(use) : last_shaft(use), studs, from_first ? z : a,
             from_first ? last_shaft(use) : first_shaft(use),
             straight ? "shift the head until the last two mesh" : "swing the bracket until the last two mesh");
}

void unfit_words(char *buf, size_t size, const struct cc_searched *searched)
{
    uint64_t left[CC_FIT_KEYS];
    size_t used = 0;

    buf[0] = '\0';
    memcpy(left, searched->unfit_by, sizeof left);
    for (;;) {
        unsigned most = 0;
        for (unsigned key = 1; key < CC_FIT_KEYS; key++)
            if (left[key] > left[most])
                most = key;
        if (left[most] == 0 || used >= size)
            return;
        const char *name = cc_fit_key_name((enum cc_fit_key)most, CC_FOR_DIFFERENTIAL);
        used += (size_t)snprintf(buf + used, size - used, "%s%s %" PRIu64, used > 0 ? ", " : "", name != NULL ? name : "room",
                                 left[most]);
        left[most] = 0;
    }
}

/* ---- for programs ---- */

const struct field stud_fields[] = {
    FIELD("stud_gears", COUNTS, "teeth of the gears on it"),
    FIELD("from_first_mm", LENGTH, "its middle from the train's first shaft, the spindle or the table screw"),
    FIELD("from_last_mm", LENGTH, "and from the last, the worm shaft or the spindle"),
    FIELDS_END
};

static void put_studs(struct record *r, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cc_placing placing;

    if (r->table)
        return;
    if (!cc_train_place(&placing, train, head, use)) {
        record_null(r, "studs");
        return;
    }
    record_array(r, "studs");
    for (unsigned i = 1; i + 1 < placing.n; i++) {
        const struct cc_post *post = &placing.post[i];
        unsigned tooth[3], n = 0;
        for (unsigned plane = 0; plane < 3; plane++)
            if (post->tooth[plane] != 0)
                tooth[n++] = post->tooth[plane];
        record_object(r, NULL);
        record_counts(r, "stud_gears", tooth, n);
        record_length_d(r, "from_first", (double)post->from_first / CC_NM_OF_MM);
        record_length_d(r, "from_last", (double)post->from_last / CC_NM_OF_MM);
        record_object_end(r);
    }
    record_array_end(r);
}

struct fit_said fit_said(const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cc_fit fit;
    bool fits = fit_of(&fit, train, head, use), known = fits && fit.key == CC_FIT_NOTHING;

    return (struct fit_said){
        .idlers = train->idlers <= CC_NAMED_IDLERS && train->idler[0] != 0 ? train->idlers : 0,
        .fit = !fits ? "no" : !known ? "unknown" : cc_fit_is_barely(&fit, head) ? "barely" : "yes",
        .key = cc_fit_key_name(fit.key, use),
        .known = known,
        .margin = fit.margin,
    };
}

void record_fit(struct record *r, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    const struct fit_said said = fit_said(train, head, use);

    record_counts(r, "idler_teeth", train->idler, said.idlers);
    record_string(r, "fit", said.fit);
    record_string(r, "fit_key", said.key);
    record_length_d(r, "room", said.known ? (double)said.margin / CC_NM_OF_MM : NAN);
    put_studs(r, train, head, use);
}
