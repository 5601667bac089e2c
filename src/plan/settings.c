/*
 * settings.c: what a planner keeps of its head: the circles a crank pin can stand in, and the pairs that compound
 * indexing can use together.
 */
#include <stdlib.h>

#include "plan/search.h"

static bool add_spot(struct cc_planner *planner, size_t plate, unsigned side, unsigned circle)
{
    size_t n = planner->spot_count;
    struct cci_spot *more = realloc(planner->spots, (n + 1) * sizeof *more);

    if (more == NULL)
        return false;
    planner->spots = more;
    more[n] = (struct cci_spot){ plate, side, circle, 1 };
    planner->spot_count++;
    return true;
}

static bool add_pair(struct cc_planner *planner, size_t plate, unsigned side, unsigned circle,
                     unsigned circle2)
{
    size_t n = planner->pair_count;
    struct cci_pair *more = realloc(planner->pairs, (n + 1) * sizeof *more);

    if (more == NULL)
        return false;
    planner->pairs = more;
    uint64_t g = cci_gcd(circle, circle2);
    more[n] = (struct cci_pair){ plate, side, circle, circle2, (uint64_t)circle / g * circle2, { 0 } };
    cci_splitter_of_pair(&more[n].splitter, circle, circle2);
    planner->pair_count++;
    return true;
}

/* Whether the two pins reach these circles. */
static bool pins_reach(const struct cc_head *head, unsigned crank, unsigned second)
{
    return cc_pin_reaches(&head->crank_pin_circles, crank) && cc_pin_reaches(&head->plate_pin_circles, second);
}

/* The pairs of one side with itself: the crank pin in the larger circle where the pins reach that way. */
static bool add_pairs_same(struct cc_planner *planner, size_t plate, unsigned side,
                           const struct cc_counts *c)
{
    bool good = true;
    for (size_t i = 0; i < c->n && good; i++)
        for (size_t j = i + 1; j < c->n && good; j++) {
            unsigned large = c->at[i] > c->at[j] ? c->at[i] : c->at[j], small = c->at[i] > c->at[j] ? c->at[j] : c->at[i];
            if (pins_reach(planner->head, large, small))
                good = add_pair(planner, plate, side, large, small);
            else if (pins_reach(planner->head, small, large))
                good = add_pair(planner, plate, side, small, large);
        }
    return good;
}

/* The crank pin on this side, the second pin in the circles of the other. */
static bool add_pairs_other(struct cc_planner *planner, size_t plate, unsigned side,
                            const struct cc_counts *front, const struct cc_counts *back)
{
    bool good = true;
    for (size_t i = 0; i < front->n && good; i++)
        for (size_t j = 0; j < back->n && good; j++)
            if (front->at[i] != back->at[j] && pins_reach(planner->head, front->at[i], back->at[j]))
                good = add_pair(planner, plate, side, front->at[i], back->at[j]);
    return good;
}

/* A circle of a plate with a detent: as one of so many times the holes. */
static bool add_fine(struct cc_planner *planner, size_t plate, unsigned side, unsigned circle)
{
    unsigned parts = planner->head->plates[plate].detent;

    if (parts < 2)
        return true;
    struct cci_spot *more = realloc(planner->fine, (planner->fine_count + 1) * sizeof *more);
    if (more == NULL)
        return false;
    planner->fine = more;
    more[planner->fine_count++] = (struct cci_spot){ plate, side, circle * parts, parts };
    return true;
}

/* The least common multiple of all and the counts, or 0 where all is 0 or that is beyond most. */
static uint64_t with_multiples(uint64_t all, const struct cc_counts *c, uint64_t most)
{
    for (size_t i = 0; i < c->n && all > 0; i++) {
        uint64_t times = c->at[i] / cci_gcd(all, c->at[i]);
        all = all > most / times ? 0 : all * times;
    }
    return all;
}

/* A side of which all circles and pairs have been listed. */
static struct cci_side whole_side(const struct cc_planner *planner, const struct cci_side *begun, const struct cc_counts *front,
                                  const struct cc_counts *back)
{
    uint64_t most = ((UINT64_C(1) << 61) - 1) / planner->worm_p;
    struct cci_side side = *begun;

    side.end_spot = planner->spot_count;
    side.end_pair = planner->pair_count;
    side.all = with_multiples(1, front, most);
    if (planner->head->plate_pin == CC_PIN_OTHER)
        side.all = with_multiples(side.all, back, most);
    for (size_t i = side.first_pair; i < side.end_pair; i++)
        if (planner->pairs[i].lcm > side.finest)
            side.finest = planner->pairs[i].lcm;
    return side;
}

static bool list_side(struct cc_planner *planner, size_t plate, unsigned s)
{
    const struct cc_head *head = planner->head;
    const struct cc_counts *side = head->plates[plate].side;
    struct cci_side now = { .first_spot = planner->spot_count, .first_pair = planner->pair_count };
    bool good = true;

    for (size_t i = 0; i < side[s].n && good; i++)
        if (cc_pin_reaches(&head->crank_pin_circles, side[s].at[i]))
            good = add_spot(planner, plate, s + 1, side[s].at[i]) && add_fine(planner, plate, s + 1, side[s].at[i]);
    if (good && head->plate_pin == CC_PIN_SAME)
        good = add_pairs_same(planner, plate, s + 1, &side[s]);
    if (good && head->plate_pin == CC_PIN_OTHER)
        good = add_pairs_other(planner, plate, s + 1, &side[s], &side[1 - s]);
    if (planner->spot_count > now.first_spot)       /* and no pair without a circle for the crank pin */
        planner->sides[planner->side_count++] = whole_side(planner, &now, &side[s], &side[1 - s]);
    return good;
}

/*
 * The side that is on now goes last, where roundings begin, if half a unit of its finest pair is within the usual tolerance: it
 * costs least, and the others are then not looked at.
 */
static void put_mounted_last(struct cc_planner *planner)
{
    const struct cc_head *head = planner->head;
    mpq_t half;

    mpq_init(half);
    for (size_t i = 0; i < planner->side_count; i++) {
        struct cci_side side = planner->sides[i];
        const struct cci_spot *spot = &planner->spots[side.first_spot];
        cc_set_u64(mpq_numref(half), planner->worm_q);
        cc_set_u64(mpq_denref(half), 2 * side.finest * planner->worm_p);
        if (spot->plate != head->mounted_plate || spot->side != head->mounted_side || side.finest == 0 ||
            mpq_cmp(half, planner->own_tolerance) > 0)
            continue;
        planner->sides[i] = planner->sides[planner->side_count - 1];
        planner->sides[planner->side_count - 1] = side;
        break;
    }
    mpq_clear(half);
}

static bool list_settings(struct cc_planner *planner)
{
    const struct cc_head *head = planner->head;
    bool good = true;

    planner->sides = malloc((head->plate_count * CC_MAX_SIDES + 1) * sizeof *planner->sides);
    if (planner->sides == NULL)
        return false;
    for (size_t p = 0; p < head->plate_count && good; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES && good; s++)
            good = list_side(planner, p, s);
    put_mounted_last(planner);
    return good;
}

/*
 * How many positions the finest setting keeps apart: the units in one turn of the spindle. Where these are a fraction
 * p/q, the holes of one turn fall between those of the next, for q turns, and p positions are kept apart.
 */
uint64_t cci_units_apart(const struct cc_planner *planner, uint64_t unit)
{
    return unit / cci_gcd(unit, planner->worm_q) * planner->worm_p;
}

static void raise_to(uint64_t *most, uint64_t n)
{
    if (n > *most)
        *most = n;
}

static void set_apart(struct cc_planner *planner)
{
    const struct cc_head *head = planner->head;

    for (size_t i = 0; i < head->direct.n; i++)
        raise_to(&planner->apart, (uint64_t)head->direct.at[i] * cc_direct_pins(head, i));
    for (size_t i = 0; i < planner->spot_count; i++)
        raise_to(&planner->apart, cci_units_apart(planner, planner->spots[i].circle));
    for (size_t i = 0; i < planner->fine_count; i++)
        raise_to(&planner->apart, cci_units_apart(planner, planner->fine[i].circle));
    for (size_t i = 0; i < planner->pair_count; i++)
        raise_to(&planner->apart, cci_units_apart(planner, planner->pairs[i].lcm));
}

/* What a head has nothing for need not be asked, count after count. */
static void set_serving(struct cc_planner *planner)
{
    const struct cc_head *head = planner->head;
    const bool has[CC_METHODS] = {
        [CC_DIRECT] = head->direct.n > 0,
        [CC_PLAIN] = planner->spot_count > 0,
        [CC_DIAL] = cc_head_has_dial(head),
        [CC_DIFFERENTIAL] = head->gears.n > 0,
        [CC_COMPOUND] = planner->pair_count > 0,
        [CC_NEARLY_EXACT] = planner->pair_count > 0,
        [CC_NEAREST_HOLE] = head->direct.n > 0 || planner->spot_count > 0,
        [CC_NEAREST_COMPOUND] = planner->pair_count > 0,
    };

    for (unsigned method = 0; method < CC_METHODS; method++)
        if (has[method])
            planner->serving |= 1U << method;
}

enum cc_status cc_planner_new(struct cc_planner **planner, const struct cc_head *head,
                              struct cc_error *err)
{
    struct cc_planner *p = calloc(1, sizeof *p);

    if (p == NULL || (p->search = calloc(1, sizeof *p->search)) == NULL) {
        free(p);
        return cc_fail(err, CC_ENOMEM, "out of memory");
    }
    p->head = head;
    cc_plan_init(&p->search->scratch);
    mpq_inits(p->search->step, p->search->grain, p->own_tolerance, NULL);
    cci_own_tolerance(p->own_tolerance, head);
    if (head->has_worm) {
        p->worm_p = mpz_get_ui(mpq_numref(head->worm));
        p->worm_q = mpz_get_ui(mpq_denref(head->worm));
        if (!list_settings(p)) {
            cc_planner_free(p);
            return cc_fail(err, CC_ENOMEM, "out of memory");
        }
    }
    set_apart(p);
    set_serving(p);
    *planner = p;
    return CC_OK;
}

void cc_planner_free(struct cc_planner *planner)
{
    if (planner == NULL)
        return;
    mpq_clears(planner->own_tolerance, planner->search->grain, planner->search->step, NULL);
    cc_plan_clear(&planner->search->scratch);
    free(planner->search);
    cci_clear_gearings(planner);
    free(planner->sides);
    free(planner->pairs);
    free(planner->fine);
    free(planner->spots);
    free(planner);
}
