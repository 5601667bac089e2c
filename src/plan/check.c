/* check.c: what a written-down setting really does, and which small slip would explain it. */
#include "crankcard/check.h"

#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/fit.h"
#include "core/scan.h"
#include "crankcard/fit.h"
#include "crankcard/number.h"
#include "plan/check_dial.h"
#include "plan/search.h"

/* ---- notation ---- */

static const char same_way[] = "turns and holes of one pin go the same way";
static const char right[] = "write it as 2 14/21, 7/19+5/15 or 10/39-10/49";

static bool take_whole(const char **p, int64_t *value)
{
    int64_t n = 0;
    const char *at = *p;

    if (*at < '0' || *at > '9')
        return false;
    for (; *at >= '0' && *at <= '9'; at++) {
        if (n > INT64_C(1000000000))
            return false;
        n = 10 * n + (*at - '0');
    }
    *value = n;
    *p = at;
    return true;
}

struct part {
    int64_t turns, holes, circle;   /* circle 0: whole turns only */
};

/* "2 14/21", "14/21" or "2", after its sign. */
static enum cc_status read_part(struct part *part, const char **p, const char *text,
                                struct cc_error *err)
{
    *part = (struct part){ 0, 0, 0 };
    if (!take_whole(p, &part->holes))
        return cci_refuse(err, text, "a movement", *p, right);
    const char *next = cci_skip_blanks(*p);
    if (*next >= '0' && *next <= '9') {
        part->turns = part->holes;
        *p = next;
        if (!take_whole(p, &part->holes) || **p != '/')
            return cci_refuse(err, text, "a movement", *p, right);
    }
    if (**p != '/') {
        part->turns = part->holes;
        part->holes = 0;
        return CC_OK;
    }
    (*p)++;
    if (!take_whole(p, &part->circle))
        return cci_refuse(err, text, "a movement", *p, right);
    if (part->circle < CC_MIN_CIRCLE || part->circle > CC_MAX_CIRCLE)
        return cc_fail(err, CC_EDOM, "'%.60s': a hole circle has %d to %d holes", text, CC_MIN_CIRCLE,
                       CC_MAX_CIRCLE);
    return CC_OK;
}

/* Put a signed part into the setting. */
static enum cc_status add_part(struct cc_setting *s, const struct part *part, bool negative,
                               const char *text, struct cc_error *err)
{
    int64_t sign = negative ? -1 : 1;

    if (part->turns != 0 && s->turns != 0)
        return cci_refuse(err, text, "a movement", "", right);
    if (part->circle == 0) {
        if (part->turns != 0 && s->holes != 0 && (s->holes < 0) != negative)
            return cci_refuse(err, text, "a movement", "", same_way);
        if (part->turns != 0)
            s->turns = sign * part->turns;
    } else if (s->circle == 0) {
        if (s->turns != 0 && (s->turns < 0) != negative)
            return cci_refuse(err, text, "a movement", "", same_way);
        if (part->turns != 0)
            s->turns = sign * part->turns;
        s->holes = sign * part->holes;
        s->circle = (unsigned)part->circle;
    } else if (s->circle2 == 0 && part->turns == 0) {
        s->holes2 = sign * part->holes;
        s->circle2 = (unsigned)part->circle;
    } else {
        return cci_refuse(err, text, "a movement", "", "at most two circles take part");
    }
    return CC_OK;
}

enum cc_status cc_setting_parse(struct cc_setting *setting, const char *text, struct cc_error *err)
{
    struct cc_setting s = { .train = setting->train, .by_eye = setting->by_eye };
    const char *p = cci_skip_blanks(text);
    enum cc_status status = CC_OK;

    if (cci_is_dial_notation(text))
        return cci_dial_parse(setting, text, err);
    do {
        struct part part;
        bool negative = cci_take_sign(&p);
        p = cci_skip_blanks(p);
        status = read_part(&part, &p, text, err);
        if (status == CC_OK)
            status = add_part(&s, &part, negative, text, err);
        p = cci_skip_blanks(p);
        if (status == CC_OK && *p != '\0' && *p != '+' && *p != '-' &&
            strncmp(p, "\xE2\x88\x92", 3) != 0)
            status = cci_refuse(err, text, "a movement", p, right);
    } while (status == CC_OK && *p != '\0');
    if (status == CC_OK)
        *setting = s;
    return status;
}

size_t cc_setting_str(char *buf, size_t size, const struct cc_setting *s)
{
    char first[64], second[64] = "";
    const char *sign = s->turns < 0 || s->holes < 0 ? "-" : "";

    if (s->dial != CC_DIAL_NONE) {
        char words[200];
        cci_dial_str(words, sizeof words, s);
        int length = snprintf(buf, size, "%s", words);
        return length < 0 ? 0 : (size_t)length;
    }
    /* With a second part even 0 holes are written: "4+5/15" would be read as one pin in the 15 circle. */
    if (s->circle == 0 || (s->holes == 0 && s->circle2 == 0))
        snprintf(first, sizeof first, "%s%lld", sign, llabs(s->turns));
    else if (s->turns == 0)
        snprintf(first, sizeof first, "%s%lld/%u", sign, llabs(s->holes), s->circle);
    else
        snprintf(first, sizeof first, "%s%lld %lld/%u", sign, llabs(s->turns), llabs(s->holes),
                 s->circle);
    if (s->circle2 != 0)
        snprintf(second, sizeof second, "%s%lld/%u", s->holes2 < 0 ? "-" : "+", llabs(s->holes2),
                 s->circle2);
    int n = snprintf(buf, size, "%s%s", first, second);
    return n < 0 ? 0 : (size_t)n;
}

/* ---- what it does ---- */

void cc_check_init(struct cc_check *check)
{
    memset(check, 0, sizeof *check);
    mpq_inits(check->crank, check->plate_turns, check->angle, check->divisions, check->error, check->closing, NULL);
    mpz_inits(check->block, check->common, NULL);
}

void cc_check_clear(struct cc_check *check)
{
    mpz_clears(check->common, check->block, NULL);
    mpq_clears(check->closing, check->error, check->divisions, check->angle, check->plate_turns, check->crank, NULL);
}

/* part = n/d, added to sum. */
static void add_fraction(mpq_t sum, int64_t n, unsigned d)
{
    mpq_t part;

    mpq_init(part);
    cci_set_fraction(part, n, d);
    mpq_add(sum, sum, part);
    mpq_clear(part);
}

/* Whether the plate turns against the crank: docs/method.md, "Direction". */
static bool is_negative(const struct cc_train *train, const struct cc_head *head)
{
    bool negative = (train->pairs + train->idlers) % 2 != 0;    /* every mesh turns the direction round */

    return negative != head->reversed;
}

/* crank, e and theta of a setting. False where the spindle would not go forward. */
static bool work_out(mpq_t crank, mpq_t plate_turns, mpq_t angle, const struct cc_setting *s,
                     const struct cc_head *head)
{
    mpq_set_ui(crank, 0, 1);
    add_fraction(crank, s->turns, 1);
    if (s->circle != 0)
        add_fraction(crank, s->holes, s->circle);
    if (s->circle2 != 0)
        add_fraction(crank, s->holes2, s->circle2);
    if (s->dial != CC_DIAL_NONE)
        cci_add_dial(crank, s, head);
    cc_train_ratio(plate_turns, &s->train);
    if (s->train.pairs > 0 && is_negative(&s->train, head))
        mpq_neg(plate_turns, plate_turns);
    mpq_sub(angle, head->worm, plate_turns);
    if (mpq_sgn(angle) <= 0 || mpq_sgn(crank) <= 0)
        return false;
    mpq_div(angle, crank, angle);
    return true;
}

/* N theta - k */
static void closing_of(mpq_t closing, const mpq_t angle, const mpz_t divisions, const mpz_t block)
{
    mpq_t k;

    mpq_init(k);
    mpq_set_z(k, divisions);
    mpq_mul(closing, angle, k);
    mpq_set_z(k, block);
    mpq_sub(closing, closing, k);
    mpq_clear(k);
}

/* ---- whether the head can be set so ---- */

static bool has_circle(const struct cc_counts *side, unsigned circle)
{
    for (size_t i = 0; i < side->n; i++)
        if (side->at[i] == circle)
            return true;
    return false;
}

static bool pin_can_stand(const struct cc_head *head, const struct cc_counts *side, unsigned circle)
{
    return has_circle(side, circle) && cc_pin_reaches(&head->crank_pin_circles, circle);
}

/* Parts of a hole space, by the detent of a plate that the pin alone uses. */
static bool detent_reaches(const struct cc_setting *s, const struct cc_head *head, const struct cc_plate *plate,
                           const struct cc_counts *side)
{
    return s->circle2 == 0 && s->train.pairs == 0 && s->circle % plate->detent == 0 &&
           pin_can_stand(head, side, s->circle / plate->detent);
}

static bool fits_plates(char *why, size_t size, const struct cc_setting *s, const struct cc_head *head)
{
    bool any_first = s->circle == 0;

    if (s->dial != CC_DIAL_NONE)
        return cci_dial_fits(why, size, s, head);
    if (s->circle2 != 0 && head->plate_pin == CC_PIN_NONE) {
        snprintf(why, size, "the plate is bolted fast: no compound indexing");
        return false;
    }
    for (size_t p = 0; p < head->plate_count; p++) {
        for (unsigned i = 0; i < CC_MAX_SIDES; i++) {
            const struct cc_counts *front = &head->plates[p].side[i];
            const struct cc_counts *second = head->plate_pin == CC_PIN_OTHER ? &head->plates[p].side[1 - i]
                                                                             : front;
            if (s->circle != 0 && !pin_can_stand(head, front, s->circle) && !detent_reaches(s, head, &head->plates[p], front))
                continue;
            any_first = true;
            if (s->circle2 == 0 ||
                (has_circle(second, s->circle2) && cc_pin_reaches(&head->plate_pin_circles, s->circle2)))
                return true;
        }
    }
    if (!any_first)
        snprintf(why, size, "it has no circle of %u holes%s", s->circle,
                 head->crank_pin_circles.n > 0 ? " that the crank pin reaches" : "");
    else
        snprintf(why, size, "no plate of this head has %u and %u where the two pins reach", s->circle,
                 s->circle2);
    return false;
}

/* Why gears that the head has cannot stand so; where another arrangement of them can, which. */
static bool fits_bracket(char *why, size_t size, const struct cc_train *train, const struct cc_head *head)
{
    struct cc_train other = *train;
    struct cc_fit fit;

    if (cc_train_fits(&fit, train, head, CC_FOR_DIFFERENTIAL))
        return true;
    cc_unfit_str(why, size, &fit, cc_train_arrange(&other, head, CC_FOR_DIFFERENTIAL) ? &other : NULL);
    return false;
}

static bool fits_gears(char *why, size_t size, const struct cc_setting *s, const struct cc_head *head)
{
    const struct cc_train *train = &s->train;

    if (train->pairs == 0)
        return true;
    return !cci_gears_lack(why, size, train, head->gears.at, head->gears.n) && fits_bracket(why, size, train, head);
}

static bool fits_head(char *why, size_t size, const struct cc_setting *s, const struct cc_head *head)
{
    why[0] = '\0';
    return fits_plates(why, size, s, head) && fits_gears(why, size, s, head);
}

/* ---- slips ---- */

struct slip_search {
    struct cc_check *check;
    const struct cc_head *head;
    mpz_srcptr divisions;
    mpz_t block;            /* with which it must be exact: the check's, or 1 where that never reaches all */
    mpq_t crank, plate_turns, angle, closing;   /* room to try in */
};

/* Note the changed setting if it is exact with the search's block. */
CC_PRINTF(3, 4)
static void try_slip(struct slip_search *search, const struct cc_setting *s, const char *format, ...)
{
    struct cc_check *check = search->check;
    va_list args;

    /* One pin's turns and holes go the same way: anything else could not be written down. */
    if (check->slips == CC_MAX_SLIPS || (s->turns > 0 && s->holes < 0) || (s->turns < 0 && s->holes > 0) ||
        !work_out(search->crank, search->plate_turns, search->angle, s, search->head))
        return;
    closing_of(search->closing, search->angle, search->divisions, search->block);
    if (mpq_sgn(search->closing) != 0)
        return;
    struct cc_slip *slip = &check->slip[check->slips++];
    char why[CC_WHY_NOT];
    slip->setting = *s;
    slip->fits_head = fits_head(why, sizeof why, s, search->head);
    if (slip->fits_head && s->train.pairs > 0)
        cc_train_name_idlers(&slip->setting.train, search->head, CC_FOR_DIFFERENTIAL);
    va_start(args, format);
    vsnprintf(slip->what, sizeof slip->what, format, args);
    va_end(args);
}

/* The same holes counted in another circle of the head. */
static void try_circles(struct slip_search *search, const struct cc_setting *s)
{
    unsigned tried[CC_MAX_CIRCLES];
    size_t n = 0;

    for (size_t p = 0; p < search->head->plate_count; p++) {
        for (unsigned side = 0; side < CC_MAX_SIDES; side++) {
            const struct cc_counts *c = &search->head->plates[p].side[side];
            for (size_t i = 0; i < c->n; i++) {
                bool seen = false;
                for (size_t k = 0; k < n && !seen; k++)
                    seen = tried[k] == c->at[i];
                if (seen || n == CC_MAX_CIRCLES)
                    continue;
                tried[n++] = c->at[i];
                struct cc_setting other = *s;
                other.circle = c->at[i];
                if (s->circle != 0 && c->at[i] != s->circle && c->at[i] != s->circle2)
                    try_slip(search, &other, "%u circle instead of %u", c->at[i], s->circle);
                other = *s;
                other.circle2 = c->at[i];
                if (s->circle2 != 0 && c->at[i] != s->circle2 && c->at[i] != s->circle)
                    try_slip(search, &other, "%u circle instead of %u", c->at[i], s->circle2);
            }
        }
    }
}

static void try_counts(struct slip_search *search, const struct cc_setting *s)
{
    struct cc_setting other = *s;

    if (s->circle2 != 0) {
        other.holes2 = -s->holes2;
        try_slip(search, &other, "the second part %s", other.holes2 < 0 ? "back" : "forward");
    }
    for (int d = -1; d <= 1; d += 2) {
        other = *s;
        other.holes += d;
        if (s->circle != 0)
            try_slip(search, &other, "%lld holes of %u instead of %lld", llabs(other.holes), s->circle,
                     llabs(s->holes));
        other = *s;
        other.holes2 += d;
        if (s->circle2 != 0)
            try_slip(search, &other, "%lld holes of %u instead of %lld", llabs(other.holes2), s->circle2,
                     llabs(s->holes2));
        other = *s;
        other.turns += d;
        try_slip(search, &other, "%lld turns instead of %lld", llabs(other.turns), llabs(s->turns));
    }
}

/* A line or a part of the vernier misread; tens of lines, which are numbered alike. */
static void try_readings(struct slip_search *search, const struct cc_setting *s)
{
    static const int64_t spaces[] = { 1, 5, 10 };
    struct cc_setting other;

    if (s->dial == CC_DIAL_NONE || !cc_head_has_dial(search->head))
        return;
    for (int d = -1; d <= 1; d += 2) {
        for (size_t i = 0; i < sizeof spaces / sizeof spaces[0]; i++) {
            other = *s;
            if (cci_dial_more(&other, search->head, d * spaces[i], 0))
                try_slip(search, &other, "%lld line%s %s", (long long)spaces[i], spaces[i] == 1 ? "" : "s", d < 0 ? "less" : "more");
        }
        other = *s;
        if (search->head->dial.vernier > 1 && cci_dial_more(&other, search->head, 0, d))
            try_slip(search, &other, "a part of the vernier %s", d < 0 ? "less" : "more");
    }
}

static const char *idler_word(unsigned idlers)
{
    static const char *const words[] = { "no idler",    "one idler",   "two idlers",   "three idlers", "four idlers",
                                         "five idlers", "six idlers", "seven idlers", "eight idlers" };
    const unsigned most = sizeof words / sizeof words[0];

    return idlers < most ? words[idlers] : "more idlers";
}

static void swap_teeth(unsigned *a, unsigned *b)
{
    unsigned t = *a;
    *a = *b;
    *b = t;
}

static void try_gears(struct slip_search *search, const struct cc_setting *s)
{
    struct cc_setting other = *s;
    unsigned pairs = s->train.pairs;
    unsigned least = pairs == 1 ? 1 : 0;

    if (pairs == 0)
        return;
    other.train.idlers = s->train.idlers > least ? s->train.idlers - 1 : s->train.idlers + 1;
    try_slip(search, &other, "%s instead of %s", idler_word(other.train.idlers),
             idler_word(s->train.idlers));
    for (unsigned flip = 0; flip < 2; flip++) {     /* each exchange alone, and with the other direction */
        const char *also = flip == 0 ? "" : ", and the idler";
        struct cc_setting base = flip == 0 ? *s : other;
        struct cc_setting swapped = base;
        for (unsigned i = 0; i < pairs; i++)
            swap_teeth(&swapped.train.driver[i], &swapped.train.driven[i]);
        try_slip(search, &swapped, "drivers and driven exchanged%s", also);
        for (unsigned i = 0; i < pairs && pairs > 1; i++)
            for (unsigned k = 0; k < pairs; k++) {
                swapped = base;
                swap_teeth(&swapped.train.driver[i], &swapped.train.driven[k]);
                try_slip(search, &swapped, "gears %u and %u exchanged%s", s->train.driver[i],
                         s->train.driven[k], also);
            }
    }
}

/* The movement of one division, where the setting takes k of them and so misses some. */
static void try_shorter(struct slip_search *search, const struct cc_setting *s)
{
    struct cc_setting other = *s;

    if (!search->check->repeats || s->dial != CC_DIAL_NONE || mpz_cmp_ui(search->check->block, UINT_MAX) > 0)
        return;
    int64_t k = (int64_t)mpz_get_ui(search->check->block);
    int64_t holes = s->turns * (s->circle != 0 ? s->circle : 1) + s->holes;
    if (holes % k != 0 || s->holes2 % k != 0)
        return;
    other.turns = s->circle != 0 ? holes / k / s->circle : holes / k;
    other.holes = s->circle != 0 ? holes / k % s->circle : 0;
    other.holes2 = s->holes2 / k;
    try_slip(search, &other, "%lld times too long", (long long)k);
}

/* The head's gears that turn the plate e > 0 times for the spindle's one, with the crank or against it. */
static bool gears_for(struct cc_train *train, const mpq_t e, const struct cc_head *head, bool with)
{
    struct cc_train_search search = {
        .teeth = head->gears.at, .n = head->gears.n, .least_sum = head->least_sum, .most_sum = head->most_sum,
        .least_pairs = 1, .most_pairs = 2, .quotient = CC_DRIVERS_OVER_DRIVEN, .most = 1,
    };
    struct cc_train_list list;
    bool found = false;
    mpq_t ratio;

    for (unsigned pairs = 1; pairs <= CC_MAX_PAIRS; pairs++)
        search.idlers[pairs - 1] = cc_train_idlers(pairs, with != head->reversed);
    mpq_init(ratio);
    cc_train_list_init(&list);
    if (cc_train_search(&list, e, &search, NULL) == CC_OK) {
        cc_train_ratio(ratio, &list.at[0]);
        found = mpq_equal(ratio, e);
        *train = list.at[0];
    }
    cc_train_list_clear(&list);
    mpq_clear(ratio);
    return found;
}

/*
 * Gears of the head that were not named: the movement t gives N with e = R - N t/k, if they give this e.
 */
static void try_missing_gears(struct slip_search *search, const struct cc_setting *s)
{
    const struct cc_head *head = search->head;
    struct cc_setting other = *s;
    mpq_t e, part;

    if (s->train.pairs > 0 || s->dial != CC_DIAL_NONE || head->gears.n == 0)
        return;
    mpq_inits(e, part, NULL);
    mpq_set_z(part, search->block);
    mpq_set_z(e, search->divisions);
    mpq_div(e, e, part);
    mpq_mul(e, e, search->check->crank);
    mpq_sub(e, head->worm, e);
    bool with = mpq_sgn(e) > 0;
    mpq_abs(e, e);
    if (mpq_sgn(e) != 0 && gears_for(&other.train, e, head, with))
        try_slip(search, &other, "the gears were left out");
    mpq_clears(part, e, NULL);
}

static void find_slips(struct cc_check *check, const struct cc_setting *s, const struct cc_head *head,
                       const mpz_t divisions)
{
    struct slip_search search = { .check = check, .head = head, .divisions = divisions };

    mpz_init_set(search.block, check->block);
    if (check->repeats)
        mpz_set_ui(search.block, 1);
    mpq_inits(search.crank, search.plate_turns, search.angle, search.closing, NULL);
    try_shorter(&search, s);
    try_missing_gears(&search, s);
    try_gears(&search, s);
    try_circles(&search, s);
    try_counts(&search, s);
    try_readings(&search, s);
    mpq_clears(search.closing, search.angle, search.plate_turns, search.crank, NULL);
    mpz_clear(search.block);
}

/* The whole number nearest to N theta, at least 1. */
static void nearest_block(mpz_t block, const mpq_t angle, const mpz_t divisions)
{
    mpq_t turns;

    mpq_init(turns);
    mpq_set_z(turns, divisions);
    mpq_mul(turns, turns, angle);
    cc_rational_round(block, turns);
    if (mpz_sgn(block) <= 0)
        mpz_set_ui(block, 1);
    mpq_clear(turns);
}

/* What the dial goes on by must mean something on that head, and one thing. */
static enum cc_status check_dial_part(const struct cc_setting *setting, const struct cc_head *head, struct cc_error *err)
{
    if (setting->dial == CC_DIAL_NONE)
        return CC_OK;
    if (!cc_head_has_dial(head) && (setting->dial == CC_DIAL_LINES || setting->part_num != 0))
        return cc_fail(err, CC_EDOM, "lines of a dial that the profile does not describe: write [dial] with lines in it, or give an angle");
    return cci_dial_counts_once(setting, head, err);
}

enum cc_status cc_check_setting(struct cc_check *check, const struct cc_setting *setting,
                                const struct cc_head *head, const mpz_t divisions, const mpz_t block,
                                struct cc_error *err)
{
    if (!head->has_worm)
        return cc_fail(err, CC_EDOM, "this head has no worm: there is no crank to move");
    if (mpz_sgn(divisions) <= 0)
        return cc_fail(err, CC_EDOM, "divisions must be 1 or more");
    if (setting->train.pairs == 1 && setting->train.idlers == 0)
        return cc_fail(err, CC_EDOM, "two gears without an idler do not reach each other: give one or two idlers");
    if (setting->dial != CC_DIAL_NONE && setting->train.pairs > 0)
        return cc_fail(err, CC_EDOM, "gears turn a plate, and by the dial there is none: leave out one of the two");
    enum cc_status s = check_dial_part(setting, head, err);
    if (s != CC_OK)
        return s;
    if (!work_out(check->crank, check->plate_turns, check->angle, setting, head))
        return cc_fail(err, CC_EDOM, "the spindle does not go forward with this setting");
    if (mpz_sgn(block) > 0)
        mpz_set(check->block, block);
    else
        nearest_block(check->block, check->angle, divisions);
    closing_of(check->closing, check->angle, divisions, check->block);
    mpz_gcd(check->common, check->block, divisions);
    check->repeats = mpz_cmp_ui(check->common, 1) != 0;
    check->exact = mpq_sgn(check->closing) == 0 && !check->repeats;

    mpq_set_z(check->divisions, check->block);      /* (k / common) / theta */
    mpz_divexact(mpq_numref(check->divisions), mpq_numref(check->divisions), check->common);
    mpq_div(check->divisions, check->divisions, check->angle);
    mpq_set_z(check->error, divisions);             /* closing / N */
    mpq_div(check->error, check->closing, check->error);

    check->fits_head = fits_head(check->why_not, sizeof check->why_not, setting, head);
    check->slips = 0;
    if (!check->exact)
        find_slips(check, setting, head, divisions);
    return CC_OK;
}

bool cc_check_is_within(const struct cc_check *check, const struct cc_request *request, const struct cc_head *head)
{
    mpq_t allowed, size;

    mpq_inits(allowed, size, NULL);
    cc_request_tolerance(allowed, request, head);
    mpq_abs(size, check->closing);
    bool within = !check->repeats && mpq_cmp(size, allowed) <= 0;
    mpq_clears(size, allowed, NULL);
    return within;
}
