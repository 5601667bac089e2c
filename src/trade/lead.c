/* lead.c: gears between the table screw and the head, for a helix. Derivations: docs/lead.md. */
#include "crankcard/lead.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/fit.h"
#include "crankcard/angle.h"
#include "crankcard/number.h"

void cc_lead_request_init(struct cc_lead_request *request)
{
    mpq_inits(request->lead, request->screw, request->diameter, request->length, NULL);
    request->hand = CC_RIGHT_HAND;
    request->geared_to = CC_TO_WORM;
    request->starts = 1;
    request->most_pairs = 2;
    request->most = 5;
}

void cc_lead_request_clear(struct cc_lead_request *request)
{
    mpq_clears(request->lead, request->screw, request->diameter, request->length, NULL);
}

void cc_gearing_list_init(struct cc_gearing_list *list)
{
    list->at = NULL;
    list->n = 0;
}

void cc_gearing_list_clear(struct cc_gearing_list *list)
{
    for (size_t i = 0; i < list->n; i++) {
        mpq_clears(list->at[i].lead, list->at[i].error, list->at[i].twist, NULL);
    }
    free(list->at);
    cc_gearing_list_init(list);
}

/* Digits, points, strokes and blanks in front of "tpi", at most this many bytes. */
#define MOST_TPI_TEXT 60
#define MOST_TPI 1000000

static enum cc_status parse_tpi(mpq_t mm, const char *text, size_t length, struct cc_error *err)
{
    char number[MOST_TPI_TEXT + 1];
    enum cc_status s;
    mpq_t inch;

    if (length > MOST_TPI_TEXT)
        return cc_fail(err, CC_ELIMIT, "'%.60s' is too long for threads to the inch", text);
    memcpy(number, text, length);
    number[length] = '\0';
    mpq_init(inch);
    s = cc_rational_parse(inch, number, err);
    if (s == CC_OK && mpq_sgn(inch) <= 0)
        s = cc_fail(err, CC_EDOM, "'%.60s' is no screw: threads to the inch must be greater than 0", text);
    if (s == CC_OK && (mpq_cmp_ui(inch, MOST_TPI, 1) > 0 || mpq_cmp_ui(inch, 1, MOST_TPI) < 0))
        s = cc_fail(err, CC_ELIMIT, "'%.60s' is no screw: at most %d threads to the inch, or inches to the thread", text,
                    MOST_TPI);
    if (s == CC_OK) {
        mpq_inv(inch, inch);
        mpz_mul_ui(mpq_numref(inch), mpq_numref(inch), 127);    /* 1 in = 127/5 mm */
        mpz_mul_ui(mpq_denref(inch), mpq_denref(inch), 5);
        mpq_canonicalize(inch);
        mpq_swap(mm, inch);
    }
    mpq_clear(inch);
    return s;
}

/* A bare number of whole inches to the thread: no screw has them, and threads to the inch are written so. */
static bool is_count_of_threads(const char *text, enum cc_unit bare_unit)
{
    mpq_t number;
    bool count;

    mpq_init(number);
    count = bare_unit == CC_INCH && cc_rational_parse(number, text, NULL) == CC_OK && mpq_cmp_ui(number, 1, 1) >= 0;
    mpq_clear(number);
    return count;
}

enum cc_status cc_pitch_parse(mpq_t mm, const char *text, enum cc_unit bare_unit,
                              struct cc_error *err)
{
    size_t length = strlen(text);
    enum cc_status s;
    mpq_t pitch;

    if (length >= 3 && strcmp(text + length - 3, "tpi") == 0)
        return parse_tpi(mm, text, length - 3, err);
    if (is_count_of_threads(text, bare_unit))
        return cc_fail(err, CC_EDOM, "'%.60s' without a unit is a pitch of as many inches: did you mean %.60stpi?", text,
                       text);
    mpq_init(pitch);
    s = cc_length_parse(pitch, text, bare_unit, err);
    if (s == CC_OK && mpq_sgn(pitch) <= 0)
        s = cc_fail(err, CC_EDOM, "'%.60s' is no screw: its pitch must be greater than 0", text);
    if (s == CC_OK)
        mpq_swap(mm, pitch);
    mpq_clear(pitch);
    return s;
}

enum cc_gear_use cc_lead_use(enum cc_geared_to geared_to)
{
    return geared_to == CC_TO_SPINDLE ? CC_FOR_SHORT_LEAD : CC_FOR_LEAD;
}

void cc_lead_of_machine(mpq_t mm, const mpq_t worm, const mpq_t screw, enum cc_geared_to geared_to)
{
    if (geared_to == CC_TO_SPINDLE)
        mpq_set(mm, screw);
    else
        mpq_mul(mm, worm, screw);
}

void cc_lead_of_train(mpq_t mm, const mpq_t lead_of_machine, const struct cc_train *train)
{
    mpq_t ratio;

    if (train->pairs == 0) {
        mpq_set_ui(mm, 0, 1);
        return;
    }
    mpq_init(ratio);
    cc_train_ratio(ratio, train);
    mpq_div(mm, lead_of_machine, ratio);
    mpq_clear(ratio);
}

double cc_helix_angle_deg(const mpq_t diameter, const mpq_t lead)
{
    mpq_t slope;

    mpq_init(slope);
    mpq_div(slope, diameter, lead);
    double angle = atan(CC_PI * mpq_get_d(slope)) * 180 / CC_PI;
    mpq_clear(slope);
    return angle;
}

enum cc_status cc_lead_of_helix(mpq_t lead, const mpq_t diameter, const mpq_t angle,
                                struct cc_error *err)
{
    mpq_t micro;

    if (mpq_sgn(diameter) <= 0)
        return cc_fail(err, CC_EDOM, "the diameter must be greater than 0 for a helix angle");
    if (mpq_sgn(angle) <= 0 || mpq_cmp_ui(angle, 1, 4) >= 0)
        return cc_fail(err, CC_EDOM, "a helix angle lies between 0 and 90 degrees: at 0 the cut is straight, "
                                     "at 90 it is a ring");
    double mm = CC_PI * mpq_get_d(diameter) / tan(2 * CC_PI * mpq_get_d(angle));
    if (!(mm >= 1e-6 && mm < 1e15))
        return cc_fail(err, CC_EDOM, "the lead of this helix is too short or too long for any gears");
    mpq_init(micro);
    mpq_set_d(micro, mm);
    mpz_mul_ui(mpq_numref(micro), mpq_numref(micro), 1000000);
    mpq_canonicalize(micro);
    cc_rational_round(mpq_numref(micro), micro);
    mpz_set_ui(mpq_denref(micro), 1000000);
    mpq_canonicalize(micro);
    mpq_swap(lead, micro);
    mpq_clear(micro);
    return CC_OK;
}

static enum cc_status check_request(const struct cc_lead_request *r, const struct cc_head *head,
                                    size_t gears, struct cc_error *err)
{
    if (mpq_sgn(r->lead) <= 0)
        return cc_fail(err, CC_EDOM, "a lead must be greater than 0; the hand says which way it winds");
    if (mpq_sgn(r->screw) <= 0)
        return cc_fail(err, CC_EDOM, "the pitch of the table screw must be greater than 0");
    if (mpq_sgn(r->diameter) < 0 || mpq_sgn(r->length) < 0)
        return cc_fail(err, CC_EDOM, "diameter and length cannot be negative");
    if (r->starts < 1)
        return cc_fail(err, CC_EDOM, "starts must be 1 or more");
    if (r->geared_to == CC_TO_WORM && !head->has_worm)
        return cc_fail(err, CC_ENOFIT, "this head has no worm to gear the table screw to");
    if (gears == 0)
        return cc_fail(err, CC_ENOFIT, "this head has no change gears: a lead needs a set of them, teeth = in [gears] of its profile");
    return CC_OK;
}

static void fill_gearing(struct cc_gearing *g, const struct cc_train *train, const mpq_t machine,
                         const struct cc_lead_request *r)
{
    mpq_t should;

    g->train = *train;
    mpq_inits(g->lead, g->error, g->twist, NULL);
    cc_lead_of_train(g->lead, machine, train);
    mpq_sub(g->error, g->lead, r->lead);
    mpq_init(should);
    mpq_div(should, r->length, r->lead);
    mpq_div(g->twist, r->length, g->lead);
    mpq_sub(g->twist, g->twist, should);
    mpq_clear(should);
    g->angle_deg = cc_helix_angle_deg(r->diameter, g->lead);
}

static enum cc_status publish(struct cc_gearing_list *list, const struct cc_train_list *trains,
                              const mpq_t machine, const struct cc_lead_request *r,
                              struct cc_error *err)
{
    struct cc_gearing *at = malloc(trains->n * sizeof *at);

    if (at == NULL)
        return cc_fail(err, CC_ENOMEM, "out of memory");
    for (size_t i = 0; i < trains->n; i++)
        fill_gearing(&at[i], &trains->at[i], machine, r);
    cc_gearing_list_clear(list);
    list->at = at;
    list->n = trains->n;
    return CC_OK;
}

enum cc_status cc_lead_find(struct cc_gearing_list *list, const struct cc_lead_request *request,
                            const struct cc_head *head, const unsigned *gears, size_t n,
                            struct cc_error *err)
{
    bool same_way = (request->hand == CC_RIGHT_HAND) != head->reversed;
    struct cc_train_search search = {
        .teeth = gears != NULL ? gears : head->gears.at,
        .n = gears != NULL ? n : head->gears.n,
        .least_sum = head->least_sum,
        .most_sum = head->most_sum,
        .least_pairs = 1,
        .most_pairs = request->most_pairs,
        .last_multiple = request->geared_to == CC_TO_SPINDLE ? request->starts : 0,
        .quotient = CC_DRIVEN_OVER_DRIVERS,
        .bracket = &head->bracket,
        .use = cc_lead_use(request->geared_to),
        .most = request->most,
    };
    enum cc_status s = check_request(request, head, search.n, err);
    struct cc_train_list trains;
    mpq_t machine, wanted;

    if (s != CC_OK)
        return s;
    for (unsigned p = 1; p <= CC_MAX_PAIRS; p++)
        search.idlers[p - 1] = cc_train_idlers(p, same_way);
    mpq_inits(machine, wanted, NULL);
    cc_train_list_init(&trains);
    cc_lead_of_machine(machine, head->worm, request->screw, request->geared_to);
    mpq_div(wanted, request->lead, machine);
    s = cc_train_search(&trains, wanted, &search, err);
    if (s == CC_OK)
        s = publish(list, &trains, machine, request, err);
    cc_train_list_clear(&trains);
    mpq_clears(wanted, machine, NULL);
    return s;
}

enum cc_status cc_lead_of_gears(struct cc_gearing_list *list, const struct cc_lead_request *request, const struct cc_head *head,
                                const unsigned *gears, size_t n, const struct cc_train *train, struct cc_error *err)
{
    bool same_way = (train->pairs + train->idlers) % 2 == 0, right = same_way != head->reversed;
    const unsigned *set = gears != NULL ? gears : head->gears.at;
    struct cc_train given = *train;
    struct cc_train_list trains = { .at = &given, .n = 1 };
    char why[100];
    mpq_t machine;

    n = gears != NULL ? n : head->gears.n;
    enum cc_status s = check_request(request, head, n, err);
    if (s == CC_OK && cci_gears_lack(why, sizeof why, train, set, n))
        s = cc_fail(err, CC_ENOFIT, "%s", why);
    if (s == CC_OK && right != (request->hand == CC_RIGHT_HAND))
        s = cc_fail(err, CC_EDOM, "these gears with %u idler%s cut a %s-hand helix: one idler more or less, or --hand %s", train->idlers,
                    train->idlers == 1 ? "" : "s", right ? "right" : "left", right ? "right" : "left");
    if (s != CC_OK)
        return s;
    mpq_init(machine);
    cc_lead_of_machine(machine, head->worm, request->screw, request->geared_to);
    s = publish(list, &trains, machine, request, err);
    mpq_clear(machine);
    return s;
}

/* ---- starts ---- */

/* turns = whole + holes/circle; false where circle does not serve. */
static bool movement_on(struct cc_start_index *index, const mpq_t turns, unsigned circle)
{
    mpz_t whole, rest;
    bool serves;

    mpz_inits(whole, rest, NULL);
    mpz_fdiv_qr(whole, rest, mpq_numref(turns), mpq_denref(turns));
    mpz_mul_ui(rest, rest, circle);
    serves = mpz_divisible_p(rest, mpq_denref(turns)) != 0;
    if (serves) {
        mpz_divexact(rest, rest, mpq_denref(turns));
        index->turns = (unsigned)mpz_get_ui(whole);     /* at most R <= CC_MAX_WORM */
        index->holes = (unsigned)mpz_get_ui(rest);      /* below circle */
        index->circle = circle;
    }
    mpz_clears(whole, rest, NULL);
    return serves;
}

static bool is_mounted(const struct cc_head *head, size_t plate, unsigned side)
{
    return head->mounted_plate == plate && head->mounted_side == side;
}

/* Whether a circle comes before what was found so far. */
static bool comes_before(const struct cc_head *head, size_t plate, unsigned side, unsigned circle,
                         const struct cc_start_index *found)
{
    if (found->side == 0)
        return true;
    if (is_mounted(head, plate, side) != is_mounted(head, found->plate, found->side))
        return is_mounted(head, plate, side);
    return circle > found->circle;
}

static void find_circle(struct cc_start_index *found, const struct cc_head *head, const mpq_t turns)
{
    for (size_t p = 0; p < head->plate_count; p++)
        for (unsigned side = 1; side <= CC_MAX_SIDES; side++) {
            const struct cc_counts *circles = &head->plates[p].side[side - 1];
            for (size_t c = 0; c < circles->n; c++) {
                struct cc_start_index index = { .plate = p, .side = side };
                if (cc_pin_reaches(&head->crank_pin_circles, circles->at[c]) &&
                    comes_before(head, p, side, circles->at[c], found) &&
                    movement_on(&index, turns, circles->at[c]))
                    *found = index;
            }
        }
}

enum cc_status cc_start_index_find(struct cc_start_index *index, const struct cc_head *head,
                                   unsigned starts, struct cc_error *err)
{
    struct cc_start_index found = { .side = 0 };
    mpq_t turns;

    if (starts < 1)
        return cc_fail(err, CC_EDOM, "starts must be 1 or more");
    if (!head->has_worm)
        return cc_fail(err, CC_ENOFIT, "this head has no worm to index by");
    mpq_init(turns);
    cc_rational_times(turns, head->worm, 1, starts);
    find_circle(&found, head, turns);
    mpq_clear(turns);
    if (found.side == 0)
        return cc_fail(err, CC_ENOFIT,
                       "%u starts: no circle of this head indexes them plainly, and nothing else can be "
                       "used while it is geared to the table",
                       starts);
    *index = found;
    return CC_OK;
}
