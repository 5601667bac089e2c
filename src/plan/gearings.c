/*
 * gearings.c: the change gears of a head as differential indexing asks for them: every R - e that a train of two or of four of its
 * gears gives, once, in order.
 *
 * Gears are chosen by their ratio alone. Whether, and in which arrangement, those of a ratio can stand is asked when a plan
 * wants that ratio: of thousands a count wants a few. For the first request only those are listed that it can be exact with, which
 * a multiplication or two for each choice tells; from the second on all of them, once for a head.
 */
#include <stdlib.h>
#include <string.h>

#include "plan/search.h"

/* ---- what a train can be exact with ---- */

/*
 * A train is exact with circle C only if the grain's denominator d divides C p, that is if d / gcd(d, C) divides p.
 * These values, one a circle, are tried on the p of every train, which costs a multiplication each and rules most
 * trains out. A value that is a multiple of another is left out: whatever it divides, the other divides too.
 */
struct sieve {
    uint64_t rest[CC_MAX_CIRCLES];      /* values of d / gcd(d, C), none a multiple of another */
    struct cci_divisor divisor[CC_MAX_CIRCLES];
    size_t n;
    bool any;                           /* there are more than the table holds, or no d */
};

static void add_rest(struct sieve *sieve, uint64_t rest)
{
    size_t kept = 0;

    for (size_t k = 0; k < sieve->n; k++)
        if (rest % sieve->rest[k] == 0)
            return;
    for (size_t k = 0; k < sieve->n; k++)
        if (sieve->rest[k] % rest != 0)
            sieve->rest[kept++] = sieve->rest[k];
    sieve->n = kept;
    sieve->any = sieve->n == CC_MAX_CIRCLES;
    if (!sieve->any)
        sieve->rest[sieve->n++] = rest;
}

static void make_sieve(struct sieve *sieve, const struct cci_search *search)
{
    const struct cc_planner *planner = search->planner;

    sieve->n = 0;
    sieve->any = mpq_sgn(search->grain) == 0;
    for (size_t i = 0; i < planner->spot_count && !sieve->any; i++)
        add_rest(sieve, search->grain_den / cci_gcd(search->grain_den, planner->spots[i].circle));
    for (size_t k = 0; k < sieve->n; k++)
        cci_divisor_set(&sieve->divisor[k], sieve->rest[k]);
}

/* Whether any of the first n values divides p. */
static bool passes_first(const struct sieve *sieve, size_t n, uint64_t p)
{
    for (size_t i = 0; i < n; i++)
        if (cci_divides(&sieve->divisor[i], p))
            return true;
    return false;
}

static bool passes(const struct sieve *sieve, uint64_t p)
{
    return sieve->any || passes_first(sieve, sieve->n, p);
}

/* ---- choosing gears ---- */

/* One gear or two of the set, on the shafts of one side of the line. */
struct side {
    uint32_t product;       /* of their teeth */
    uint8_t place[2];       /* in the set */
};

#define MOST_SIDES (CC_MAX_GEARS * (CC_MAX_GEARS + 1) / 2)

struct choosing {
    struct cc_planner *planner;
    const struct sieve *sieve;          /* of the choices that alone are wanted; NULL: all are */
    size_t room;                        /* of the planner's list */
    bool failed;
    struct cc_searched *searched;       /* what is counted */
};

static size_t list_sides(struct side *side, const struct cci_gears *gears, unsigned pairs)
{
    size_t count = 0;

    for (size_t i = 0; i < gears->n; i++)
        for (size_t j = i; j < (pairs == 1 ? i + 1 : gears->n); j++)
            if (pairs == 1 || i != j || gears->left[i] >= 2)
                side[count++] = (struct side){ gears->tooth[i] * (pairs == 1 ? 1 : gears->tooth[j]), { (uint8_t)i, (uint8_t)j } };
    return count;
}

/* Whether the set has the gears of both sides at once. */
static bool gears_suffice(const struct cci_gears *gears, const struct side *drivers, const struct side *driven, unsigned pairs)
{
    for (unsigned i = 0; i < pairs; i++) {
        unsigned place = drivers->place[i], same = 0;
        for (unsigned k = 0; k < pairs; k++)
            same += (drivers->place[k] == place ? 1U : 0U) + (driven->place[k] == place ? 1U : 0U);
        if (same > gears->left[place])
            return false;
    }
    return true;
}

/* P/Q -+ num/den over Q den, not in lowest terms: the plate turns with the crank or (negative) against it. 0 where it overtakes it. */
static uint64_t gearing_of(const struct cc_planner *planner, uint64_t num, uint64_t den, bool negative)
{
    uint64_t plus = planner->worm_p * den, minus = planner->worm_q * num;

    return negative ? plus + minus : plus > minus ? plus - minus : 0;
}

/* Whether a choice may be exact, either way. (What divides p in lowest terms divides it here.) */
static bool may_be_exact(const struct choosing *choosing, uint64_t num, uint64_t den)
{
    uint64_t with = gearing_of(choosing->planner, num, den, false);

    return (with > 0 && passes(choosing->sieve, with)) || passes(choosing->sieve, gearing_of(choosing->planner, num, den, true));
}

/* Every choice that is wanted, in a fixed order. */
static void each_choice(struct choosing *choosing, unsigned pairs, void (*use)(struct choosing *, const struct cci_choice *))
{
    const struct cci_gears *gears = &choosing->planner->gears;
    struct side side[MOST_SIDES];
    size_t n = list_sides(side, gears, pairs);

    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n && !choosing->failed; j++) {
            struct cci_choice choice = { .num = side[i].product, .den = side[j].product, .pairs = (uint8_t)pairs };
            if (choosing->sieve != NULL && !may_be_exact(choosing, choice.num, choice.den))
                continue;
            if (!gears_suffice(gears, &side[i], &side[j], pairs))
                continue;
            memcpy(choice.driver, side[i].place, sizeof choice.driver);
            memcpy(choice.driven, side[j].place, sizeof choice.driven);
            use(choosing, &choice);
        }
}

/* Its gears out of those left, or back among them. */
static void move_choice(struct cci_gears *gears, const struct cci_choice *choice, unsigned by)
{
    for (unsigned i = 0; i < choice->pairs; i++) {
        gears->left[choice->driver[i]] += by;
        gears->left[choice->driven[i]] += by;
    }
}

/* Its gears taken from the set, and so many idlers more than the fewest. */
static void take_choice(struct cc_train *train, struct cci_gears *gears, const struct cci_choice *choice, unsigned more)
{
    *train = (struct cc_train){ .pairs = choice->pairs, .idlers = cc_train_idlers(choice->pairs, true) + more };
    for (unsigned i = 0; i < choice->pairs; i++) {
        train->driver[i] = gears->tooth[choice->driver[i]];
        train->driven[i] = gears->tooth[choice->driven[i]];
    }
    move_choice(gears, choice, -1U);
}

/* ---- the list ---- */

/* Below 2^32: CC_MAX_TEETH / CC_MIN_TEETH is below 2^11. */
static uint32_t spread_of(unsigned a, unsigned b)
{
    return (uint32_t)(((uint64_t)(a > b ? a : b) << 20) / (a > b ? b : a));
}

static uint32_t larger(uint32_t a, uint32_t b)
{
    return a > b ? a : b;
}

/* How unlike the gears of the widest pair are, paired as alike as they can be: a choice of gears is judged by it, not how it stands. */
static uint32_t least_spread(const struct cci_gears *gears, const struct cci_choice *choice)
{
    unsigned a = gears->tooth[choice->driver[0]], b = gears->tooth[choice->driven[0]];

    if (choice->pairs == 1)
        return spread_of(a, b);
    unsigned c = gears->tooth[choice->driver[1]], d = gears->tooth[choice->driven[1]];
    uint32_t straight = larger(spread_of(a, b), spread_of(c, d)), crossed = larger(spread_of(a, d), spread_of(c, b));
    return straight < crossed ? straight : crossed;
}

static void add_choice(struct choosing *choosing, const struct cci_choice *choice)
{
    struct cc_planner *planner = choosing->planner;

    if (planner->choice_count == choosing->room) {
        size_t room = choosing->room == 0 ? 256 : 2 * choosing->room;
        struct cci_choice *more = realloc(planner->choices, room * sizeof *more);
        choosing->failed = more == NULL;
        if (choosing->failed)
            return;
        planner->choices = more;
        choosing->room = room;
    }
    struct cci_choice *last = &planner->choices[planner->choice_count++];
    *last = *choice;
    last->spread = least_spread(&planner->gears, choice);
}

static int compare_ratios(const struct cci_choice *a, const struct cci_choice *b)
{
    uint64_t left = (uint64_t)a->num * b->den, right = (uint64_t)b->num * a->den;

    return left < right ? -1 : left > right;
}

/* By value; of one ratio the best gears first, if they can stand. */
static int compare_choices(const void *va, const void *vb)
{
    const struct cci_choice *a = va, *b = vb;
    int c = compare_ratios(a, b);

    if (c == 0)
        c = a->pairs < b->pairs ? -1 : a->pairs > b->pairs;
    if (c == 0)
        c = a->spread < b->spread ? -1 : a->spread > b->spread;
    return c;
}

static bool begins_ratio(const struct cc_planner *planner, size_t i)
{
    return i == 0 || compare_ratios(&planner->choices[i - 1], &planner->choices[i]) != 0;
}

/* R - e for the ratio that begins there, the plate turning with the crank or (negative) against it. */
static void add_gearing(struct cc_planner *planner, size_t choice, bool negative)
{
    uint64_t den = planner->choices[choice].den, q = planner->worm_q * den;
    uint64_t p = gearing_of(planner, planner->choices[choice].num, den, negative);

    if (p == 0)
        return;
    uint64_t g = cci_gcd(p, q);
    planner->gearing_p[planner->gearing_count] = p / g;
    planner->gearings[planner->gearing_count++] = (struct cci_gearing){ .q = q / g, .choice = (uint32_t)choice };
}

/* Each ratio each way, R - e ascending: first with the crank, the largest ratio first, then against it. False where memory ran out. */
static bool add_gearings(struct cc_planner *planner)
{
    size_t ratios = 0;

    for (size_t i = 0; i < planner->choice_count; i++)
        ratios += begins_ratio(planner, i);
    if (ratios == 0)
        return true;
    planner->gearings = malloc(2 * ratios * sizeof *planner->gearings);
    planner->gearing_p = malloc(2 * ratios * sizeof *planner->gearing_p);
    planner->sieved = malloc(2 * ratios * sizeof *planner->sieved);
    if (planner->gearings == NULL || planner->gearing_p == NULL || planner->sieved == NULL)
        return false;
    for (size_t i = planner->choice_count; i-- > 0;)
        if (begins_ratio(planner, i))
            add_gearing(planner, i, false);
    planner->gearings_with = planner->gearing_count;
    for (size_t i = 0; i < planner->choice_count; i++)
        if (begins_ratio(planner, i))
            add_gearing(planner, i, true);
    return true;
}

void cci_clear_gearings(struct cc_planner *planner)
{
    free(planner->by_p);
    free(planner->sieved);
    free(planner->gearing_p);
    free(planner->gearings);
    free(planner->choices);
    planner->sieved = planner->by_p = planner->before = NULL;
    planner->most_p = 0;
    planner->gearing_p = NULL;
    planner->gearings = NULL;
    planner->choices = NULL;
    planner->choice_count = planner->gearing_count = planner->gearings_with = planner->sieved_count = 0;
    planner->sieved_den = 0;
    planner->gearings_of = CCI_NO_GEARINGS;
}

/* The set, its bracket, and whether there is a worm and a train to speak of. */
static bool prepare_gears(struct cc_planner *planner)
{
    const struct cc_head *head = planner->head;

    if (planner->worm_p == 0 || head->gears.n < 3)
        return false;
    cci_gears_init(&planner->gears, head->gears.at, head->gears.n, head->least_sum, head->most_sum);
    if (cci_bracket_prepare(&planner->bracket, &head->bracket, CC_FOR_DIFFERENTIAL))
        planner->gears.bracket = &planner->bracket;
    planner->gears.any = true;
    return true;
}

/* Those that the sieve lets through, of all where it is NULL, in place of what was listed. */
static enum cc_status list_gearings(struct cc_planner *planner, const struct sieve *sieve, struct cc_error *err)
{
    struct choosing choosing = { .planner = planner, .sieve = sieve };

    cci_clear_gearings(planner);
    if (prepare_gears(planner)) {
        each_choice(&choosing, 1, add_choice);
        each_choice(&choosing, 2, add_choice);
        if (planner->choice_count > 0)
            qsort(planner->choices, planner->choice_count, sizeof *planner->choices, compare_choices);
        if (choosing.failed || !add_gearings(planner)) {
            cci_clear_gearings(planner);
            return cc_fail(err, CC_ENOMEM, "out of memory");
        }
    }
    planner->gearings_of = sieve != NULL ? CCI_FIRST_GEARINGS : CCI_ALL_GEARINGS;
    return CC_OK;
}

enum cc_status cci_list_gearings(struct cc_planner *planner, struct cc_error *err)
{
    return planner->gearings_of == CCI_ALL_GEARINGS ? CC_OK : list_gearings(planner, NULL, err);
}

/* ---- which of them can be exact ---- */

#define MOST_INDEXED (UINT64_C(1) << 18)    /* p by which gearings are found: a megabyte */

/* Makes all gearings to be found by their p; false where that is too large, or memory ran out. */
static bool index_gearings(struct cc_planner *planner)
{
    size_t n = planner->gearing_count;

    for (size_t g = 0; g < n && planner->by_p == NULL; g++)
        if (planner->gearing_p[g] > planner->most_p)
            planner->most_p = planner->gearing_p[g];
    if (planner->by_p != NULL || planner->most_p > MOST_INDEXED)
        return planner->by_p != NULL;
    planner->by_p = calloc((size_t)planner->most_p + 1 + n, sizeof *planner->by_p);
    if (planner->by_p == NULL)
        return false;
    planner->before = planner->by_p + planner->most_p + 1;
    for (size_t g = 0; g < n; g++) {
        uint32_t *last = &planner->by_p[planner->gearing_p[g]];
        planner->before[g] = *last;
        *last = (uint32_t)g + 1;
    }
    return true;
}

/* The gearings that pass, among the multiples of the sieve's values; false where going through all gearings is less. */
static bool sieve_by_multiples(struct cc_planner *planner, const struct sieve *sieve)
{
    uint64_t steps = 0;

    for (size_t k = 0; k < sieve->n; k++)
        steps += planner->most_p / sieve->rest[k];
    if (sieve->any || steps > planner->gearing_count)
        return false;
    for (size_t k = 0; k < sieve->n; k++)
        for (uint64_t p = sieve->rest[k]; p <= planner->most_p; p += sieve->rest[k])
            for (uint32_t g = planner->by_p[p]; g > 0 && !passes_first(sieve, k, p); g = planner->before[g - 1])
                planner->sieved[planner->sieved_count++] = g - 1;
    return true;
}

enum cc_status cci_sieve_gearings(struct cci_search *search)
{
    struct cc_planner *planner = search->planner;
    struct sieve sieve;
    enum cc_status s = CC_OK;

    if (planner->sieved_den == search->grain_den && mpq_sgn(search->grain) != 0)
        return CC_OK;
    make_sieve(&sieve, search);
    if (planner->gearings_of == CCI_NO_GEARINGS && !sieve.any)
        s = list_gearings(planner, &sieve, search->err);
    else
        s = cci_list_gearings(planner, search->err);
    planner->sieved_count = 0;
    bool done = planner->gearings_of == CCI_ALL_GEARINGS && index_gearings(planner) && sieve_by_multiples(planner, &sieve);
    for (size_t g = 0; g < planner->gearing_count && !done; g++)
        if (passes(&sieve, planner->gearing_p[g]))
            planner->sieved[planner->sieved_count++] = (uint32_t)g;
    planner->sieved_den = s == CC_OK && mpq_sgn(search->grain) != 0 ? search->grain_den : 0;
    return s;
}

/* ---- which of them stand ---- */

/* The best arrangement of a choice that stands, with so many idlers more than the fewest; false where none does. */
static bool arrange_choice(struct cc_train *train, struct cc_planner *planner, const struct cci_choice *choice, unsigned more)
{
    planner->arranged++;
    take_choice(train, &planner->gears, choice, more);
    bool stands = cci_arrange(train, &planner->gears, 0);
    move_choice(&planner->gears, choice, 1);
    return stands;
}

/*
 * The best train of the ratio each way. The way follows from the idlers: a simple train with 1 and a compound one with 0 turn
 * the plate with the crank, one idler more reverses it, and a reversed head swaps the two.
 */
static void place(struct cc_planner *planner, size_t g)
{
    struct cci_gearing *gearing = &planner->gearings[g];
    const struct cci_choice *first = &planner->choices[gearing->choice], *end = planner->choices + planner->choice_count, *best = NULL;
    unsigned more = (g >= planner->gearings_with) != planner->head->reversed ? 1 : 0;
    struct cc_train train, stands = { .pairs = 0 };

    for (const struct cci_choice *c = first; c < end && compare_ratios(c, first) == 0; c++) {
        if (best != NULL && compare_choices(best, c) != 0)
            break;
        if (!arrange_choice(&train, planner, c, more) || (best != NULL && cci_compare_arrangements(&stands, &train) < 0))
            continue;
        stands = train;
        best = c;
    }
    gearing->placed = true;
    gearing->pairs = (uint8_t)stands.pairs;
    gearing->idlers = (uint8_t)stands.idlers;
    gearing->idlers_back = more > 0 ? (uint8_t)stands.idlers_back : 0;
    for (unsigned i = 0; i < stands.pairs; i++) {
        gearing->driver[i] = (uint16_t)stands.driver[i];
        gearing->driven[i] = (uint16_t)stands.driven[i];
    }
    if (best != NULL) {
        gearing->choice = (uint32_t)(best - planner->choices);
    } else {
        gearing->above = (uint32_t)g + 1;
        gearing->below = (uint32_t)g;
    }
}

bool cci_place_gearing(struct cc_planner *planner, size_t g)
{
    if (!planner->gearings[g].placed)
        place(planner, g);
    return planner->gearings[g].pairs > 0;
}

static bool has_fallen(const struct cci_gearing *gearing)
{
    return gearing->placed && gearing->pairs == 0;
}

/* Each on the way is led straight to its end. */
size_t cci_gearing_from(struct cc_planner *planner, size_t g)
{
    struct cci_gearing *at = planner->gearings;
    size_t end = g;

    while (end < planner->gearing_count && has_fallen(&at[end]))
        end = at[end].above;
    while (g < end) {
        size_t next = at[g].above;
        at[g].above = (uint32_t)end;
        g = next;
    }
    return end;
}

size_t cci_gearing_before(struct cc_planner *planner, size_t g)
{
    struct cci_gearing *at = planner->gearings;
    size_t end = g;

    while (end > 0 && has_fallen(&at[end - 1]))
        end = at[end - 1].below;
    while (g > end) {
        size_t next = at[g - 1].below;
        at[g - 1].below = (uint32_t)end;
        g = next;
    }
    return end;
}

bool cci_gearing_is_better(const struct cc_planner *planner, size_t a, size_t b)
{
    const struct cci_gearing *x = &planner->gearings[a], *y = &planner->gearings[b];
    int c = compare_choices(&planner->choices[x->choice], &planner->choices[y->choice]);

    for (unsigned i = 0; i < x->pairs && c == 0; i++)
        c = x->driver[i] - y->driver[i];
    for (unsigned i = 0; i < x->pairs && c == 0; i++)
        c = x->driven[i] - y->driven[i];
    return c < 0;
}

/* ---- how many stand ---- */

/* The gears of a choice, with the fewest idlers and with one more: each arrangement is counted. */
static void count_choice(struct choosing *choosing, const struct cci_choice *choice)
{
    struct cci_gears *gears = &choosing->planner->gears;
    struct cci_arranged way[2];
    struct cc_train train;

    take_choice(&train, gears, choice, 0);
    cci_arrange_ways(way, 2, &train, gears, 0);
    move_choice(gears, choice, 1);
    choosing->searched->trains += way[0].fitting + way[1].fitting;
}

void cc_planner_count_trains(struct cc_searched *searched, struct cc_planner *planner)
{
    struct choosing choosing = { .planner = planner, .searched = &planner->counted };

    if (!searched->geared || !(planner->has_counted || prepare_gears(planner)))
        return;
    if (!planner->has_counted) {
        each_choice(&choosing, 1, count_choice);
        each_choice(&choosing, 2, count_choice);
        memcpy(planner->counted.unfit_by, planner->gears.unfit, sizeof planner->gears.unfit);
        for (unsigned key = 0; key < CC_FIT_KEYS; key++)
            planner->counted.unfit += planner->gears.unfit[key];
        planner->has_counted = true;
    }
    searched->trains = planner->counted.trains;
    searched->unfit = planner->counted.unfit;
    memcpy(searched->unfit_by, planner->counted.unfit_by, sizeof searched->unfit_by);
}
