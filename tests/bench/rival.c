/*
 * rival.c: what crankcard table is measured by: the same search for the counts FIRST ... LAST in one file of plain 64-bit
 * C, as someone would write it who knows the subject and the language and needs nothing but this one table. All methods,
 * the same tolerance, the same order of plans, the same CSV, byte for byte; bench.py compares.
 *
 * usage: rival PROFILE FIRST LAST
 *
 * Nothing is shared with crankcard. What makes it quick is what such a person would think of: exact methods first, and
 * nothing else where one is found; then roundings, whose effort bounds the blocks worth trying; equal p C of the trains
 * once. It takes what fits: N up to about 20 000, no limits on the sum of teeth, no offset, arc, list or tolerance asked for.
 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef uint64_t u64;
typedef int64_t i64;
__extension__ typedef unsigned __int128 u128;

enum { DIRECT, PLAIN, DIAL, DIFFERENTIAL, COMPOUND, BY_BLOCKS, NEARLY, HOLE, TWO, READING, TRAIN };
static const char *const names[] = { "direct", "plain", "dial", "differential", "compound", "differential", "nearly-exact",
                                     "nearest-hole", "nearest-compound", "dial", "differential" };

struct circle { int plate, side; u64 holes; };
struct pair { int plate, side; u64 c1, c2, unit, s1, s2, inverse; };    /* s1, s2: without their common factor */
struct train { u64 num, den, spread, p, q; int pairs, idlers, back, negative; u64 driver[2], driven[2]; };
struct product { u64 pc; int train, circle; };

struct plan {
    int rank, exact, within, mounted, plate, side, forward, direct;
    u64 c1, c2, block, unit, p, q, move, larger, turns, travel, effort, time, err, err_of, pitch, pitch_of;
    i64 closing;            /* of err_of */
    i64 pin, second;        /* holes of one movement */
    const struct pair *pair;
    const struct train *train;
};

static struct {
    u64 p, q, n_direct, direct[64], pins, lines, parts, tolerance, tolerance_of;
    int mounted_plate, mounted_side, same, other, n_plates, n_circles, n_pairs, n_teeth, n_trains, n_products, n_whole, reversed;
    char plate[64][64];
    u64 side[64][2][64];
    int n_side[64][2];
    struct circle circle[4096];
    struct pair pair[16384];
    u64 teeth[64];
    struct train *train;
    struct product *product;    /* by p C */
    struct product *whole;      /* those with C p / q whole; pc is that number */
} h;

static struct plan best;
static int any;

static u64 gcd(u64 a, u64 b)
{
    while (b != 0) {
        u64 r = a % b;
        a = b;
        b = r;
    }
    return a;
}

/* ---- the profile ---- */

static u64 read_list(u64 *out, const char *text)
{
    u64 n = 0;
    for (char *end; (out[n] = strtoull(text, &end, 10)) > 0 && end != text; text = end)
        n++;
    return n;
}

static void read_angle(u64 *num, const char *text)
{
    char *end;
    *num = strtoull(text, &end, 10) * (*end == '\'' ? 60 : *end == '"' ? 1 : 3600);
}

static void read_profile(const char *path)
{
    char line[512], section[64] = "", mounted[64] = "", *value;
    u64 arcsec = 0, direct_arcsec = 0, unused;
    FILE *f = fopen(path, "r");

    if (f == NULL)
        exit(2);
    h.pins = h.parts = 1;
    h.same = 1;
    while (fgets(line, sizeof line, f) != NULL) {
        line[strcspn(line, ";\r\n")] = '\0';
        if (line[0] == '[') {
            sscanf(line, "[%63[^]]", section);
            if (strncmp(section, "plate ", 6) == 0)
                snprintf(h.plate[h.n_plates++], 64, "%s", section + 6);
            continue;
        }
        if ((value = strchr(line, '=')) == NULL)
            continue;
        *value++ = '\0';
        if (strncmp(line, "worm", 4) == 0 && strcmp(section, "head") == 0) {
            h.p = strtoull(value, &value, 10);
            h.q = *value == '/' ? strtoull(value + 1, NULL, 10) : 1;
        } else if (strncmp(line, "worm", 4) == 0) {
            read_angle(&arcsec, value);
        } else if (strncmp(line, "direct", 6) == 0 && strcmp(section, "accuracy") == 0) {
            read_angle(&direct_arcsec, value);
        } else if (strncmp(line, "mounted", 7) == 0) {
            sscanf(value, "%63s %d", mounted, &h.mounted_side);
        } else if (strncmp(line, "plate_pin", 9) == 0) {
            h.same = strstr(value, "same") != NULL;
            h.other = strstr(value, "other") != NULL;
        } else if (strncmp(line, "holes", 5) == 0) {
            h.n_direct = read_list(h.direct, value);
        } else if (strncmp(line, "vernier", 7) == 0) {
            *(strcmp(section, "direct") == 0 ? &h.pins : strcmp(section, "dial") == 0 ? &h.parts : &unused) = strtoull(value, NULL, 10);
        } else if (strncmp(line, "lines", 5) == 0 && strcmp(section, "dial") == 0) {
            h.lines = strtoull(value, NULL, 10);
        } else if (strncmp(line, "side", 4) == 0) {
            int side = atoi(line + 4) - 1, p = h.n_plates - 1;
            h.n_side[p][side] = (int)read_list(h.side[p][side], value);
        } else if (strncmp(line, "teeth", 5) == 0) {
            h.n_teeth = (int)read_list(h.teeth, value);
        } else if (strncmp(line, "reversed", 8) == 0) {
            h.reversed = strstr(value, "yes") != NULL;
        }
    }
    fclose(f);
    h.mounted_plate = -1;
    for (int p = 0; p < h.n_plates; p++)
        if (strcmp(h.plate[p], mounted) == 0)
            h.mounted_plate = p;
    h.tolerance = h.p > 0 ? (arcsec > 0 ? arcsec : 120) : direct_arcsec > 0 ? direct_arcsec : 300;
    h.tolerance_of = 4 * 1296000;
}

/* ---- settings ---- */

static void add_pair(int plate, int side, u64 c1, u64 c2)
{
    u64 g = gcd(c1, c2), inverse = 0;

    if (c1 % c2 == 0 || c2 % c1 == 0)
        return;
    while (c1 / g * inverse % (c2 / g) != 1 % (c2 / g))
        inverse++;
    h.pair[h.n_pairs++] = (struct pair){ plate, side, c1, c2, c1 / g * c2, c1 / g, c2 / g, inverse };
}

static void list_settings(void)
{
    for (int p = 0; p < h.n_plates; p++)
        for (int s = 0; s < 2; s++)
            for (int i = 0; i < h.n_side[p][s]; i++) {
                u64 c = h.side[p][s][i];
                h.circle[h.n_circles++] = (struct circle){ p, s + 1, c };
                for (int j = i + 1; h.same && j < h.n_side[p][s]; j++) {
                    u64 d = h.side[p][s][j];
                    add_pair(p, s + 1, c > d ? c : d, c > d ? d : c);
                }
                for (int j = 0; h.other && j < h.n_side[p][1 - s]; j++)
                    add_pair(p, s + 1, c, h.side[p][1 - s][j]);
            }
}

/* ---- trains ---- */

static u64 unlike(u64 a, u64 b)
{
    return ((a > b ? a : b) << 20) / (a > b ? b : a);
}

static u64 larger_of(u64 a, u64 b)
{
    return a > b ? a : b;
}

/* The largest gear that is left when the train's are taken. */
static u64 largest_left(const struct train *t)
{
    u64 used[4] = { t->driver[0], t->driven[0], t->pairs > 1 ? t->driver[1] : 0, t->pairs > 1 ? t->driven[1] : 0 }, largest = 0;

    for (int i = 0; i < h.n_teeth; i++) {
        int k = 0;
        while (k < 4 && used[k] != h.teeth[i])
            k++;
        if (k < 4)
            used[k] = 0;
        else
            largest = larger_of(largest, h.teeth[i]);
    }
    return largest;
}

/* Whether the two pairs can stand, an idler (0: none) in the first mesh or, back = 0, in the last; room: without it. */
static int stands(i64 *room, const struct train *t, u64 idler, int back)
{
    i64 first = (i64)(t->driver[0] + t->driven[0]) - (i64)t->driver[1] - 2;
    i64 last = (i64)(t->driver[1] + t->driven[1]) - (i64)t->driven[0] - 2;

    *room = first < last ? first : last;
    return (back ? first + 2 * (i64)idler : first) > 0 && (back ? last : last + 2 * (i64)idler) > 0;
}

static int by_gears(const struct train *a, const struct train *b)
{
    int d = a->driver[0] != b->driver[0] ? (a->driver[0] < b->driver[0] ? -1 : 1) : a->driver[1] != b->driver[1] ? (a->driver[1] < b->driver[1] ? -1 : 1) : 0;
    if (d != 0)
        return d;
    return a->driven[0] != b->driven[0] ? (a->driven[0] < b->driven[0] ? -1 : 1) : a->driven[1] != b->driven[1] ? (a->driven[1] < b->driven[1] ? -1 : 1) : 0;
}

/* Sorted: equal ratios together, the preferred first. */
static int by_ratio(const void *va, const void *vb)
{
    const struct train *a = va, *b = vb;

    if (a->num != b->num)
        return a->num < b->num ? -1 : 1;
    if (a->den != b->den)
        return a->den < b->den ? -1 : 1;
    if (a->pairs != b->pairs)
        return a->pairs - b->pairs;
    if (a->spread != b->spread)
        return a->spread < b->spread ? -1 : 1;
    return by_gears(a, b);
}

static struct train *raw;
static int n_raw;

/* The choice of gears with so many idlers more than the fewest, as it stands best, if it does; negative says which. */
static void add_choice(const struct train *choice, int more)
{
    struct train kept = { 0 };
    i64 kept_room = 0, room = 0;
    int found = 0;

    if (2 * choice->pairs + (choice->pairs == 1) + more > h.n_teeth)
        return;
    for (int order = 0; order < (choice->pairs == 1 ? 1 : 4); order++) {
        struct train t = *choice;
        if (order & 1) {
            t.driver[0] = choice->driver[1];
            t.driver[1] = choice->driver[0];
        }
        if (order & 2) {
            t.driven[0] = choice->driven[1];
            t.driven[1] = choice->driven[0];
        }
        int back = 0, good = t.pairs == 1;
        for (int b = 0; !good && b <= more; b++) {
            good = stands(&room, &t, more ? largest_left(&t) : 0, b);
            back = b;
        }
        if (!good)
            continue;
        t.back = back;
        if (!found || t.back < kept.back || (t.back == kept.back && (room > kept_room || (room == kept_room && by_gears(&t, &kept) < 0)))) {
            kept = t;
            kept_room = room;
        }
        found = 1;
    }
    if (!found)
        return;
    u64 straight = unlike(kept.driver[0], kept.driven[0]);
    kept.num = kept.driver[0];
    kept.den = kept.driven[0];
    kept.spread = straight;
    if (kept.pairs == 2) {
        straight = larger_of(straight, unlike(kept.driver[1], kept.driven[1]));
        u64 crossed = larger_of(unlike(kept.driver[0], kept.driven[1]), unlike(kept.driver[1], kept.driven[0]));
        kept.spread = straight < crossed ? straight : crossed;
        kept.num *= kept.driver[1];
        kept.den *= kept.driven[1];
    }
    u64 g = gcd(kept.num, kept.den);
    kept.num /= g;
    kept.den /= g;
    kept.idlers = (kept.pairs == 1) + more;
    kept.negative = more != h.reversed;
    if (n_raw % 4096 == 0)
        raw = realloc(raw, (size_t)(n_raw + 4096) * sizeof *raw);
    raw[n_raw++] = kept;
}

static int by_teeth(const void *a, const void *b)
{
    u64 x = *(const u64 *)a, y = *(const u64 *)b;
    return x < y ? -1 : x > y;
}

static int by_product(const void *va, const void *vb)
{
    const struct product *a = va, *b = vb;
    return a->pc < b->pc ? -1 : a->pc > b->pc;
}

static void list_trains(void)
{
    u64 *z = h.teeth;
    int n = h.n_teeth;

    if (n < 3)
        return;
    qsort(z, (size_t)n, sizeof *z, by_teeth);
#define SAME(a) (a > 0 && z[a] == z[a - 1])
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            for (int more = 0; more < 2 && j != i; more++)
                add_choice(&(struct train){ .pairs = 1, .driver = { z[i] }, .driven = { z[j] } }, more);
    for (int i = 0; i < n; i++)
        for (int j = i + 1; j < n; j++)
            for (int k = 0; k < n; k++)
                for (int l = k + 1; l < n; l++)
                    for (int more = 0; more < 2 && k != i && k != j && l != i && l != j; more++)
                        add_choice(&(struct train){ .pairs = 2, .driver = { z[i], z[j] }, .driven = { z[k], z[l] } }, more);
    qsort(raw, (size_t)n_raw, sizeof *raw, by_ratio);
    h.train = malloc((size_t)n_raw * sizeof *raw);
    int seen[2] = { 0 };
    for (int i = 0; i < n_raw; i++) {
        struct train *t = &raw[i];
        if (i == 0 || t->num != t[-1].num || t->den != t[-1].den)
            seen[0] = seen[1] = 0;
        if (seen[t->negative])
            continue;
        seen[t->negative] = 1;
        if (!t->negative && h.p * t->den <= h.q * t->num)
            continue;
        t->p = t->negative ? h.p * t->den + h.q * t->num : h.p * t->den - h.q * t->num;
        t->q = h.q * t->den;
        u64 g = gcd(t->p, t->q);
        t->p /= g;
        t->q /= g;
        h.train[h.n_trains++] = *t;
    }
    h.product = malloc((size_t)(h.n_trains * h.n_circles) * sizeof *h.product);
    h.whole = malloc((size_t)(h.n_trains * h.n_circles) * sizeof *h.product);
    for (int t = 0; t < h.n_trains; t++)
        for (int c = 0; c < h.n_circles; c++) {
            u64 pc = h.train[t].p * h.circle[c].holes;
            h.product[h.n_products++] = (struct product){ pc, t, c };
            if (pc % h.train[t].q == 0)
                h.whole[h.n_whole++] = (struct product){ pc / h.train[t].q, t, c };
        }
    qsort(h.product, (size_t)h.n_products, sizeof *h.product, by_product);
    qsort(h.whole, (size_t)h.n_whole, sizeof *h.whole, by_product);
}

/* ---- what a plan costs, and which comes first ---- */

/* Units as holes of the two circles: forward if it can be, else the cheaper way. */
static void split(i64 *pin, i64 *second, const struct pair *at, u64 units)
{
    if (at == NULL) {
        *pin = (i64)units;
        *second = 0;
        return;
    }
    u64 b = units % at->s2 * at->inverse % at->s2;
    *second = (i64)b;
    *pin = ((i64)units - (i64)(b * at->s1)) / (i64)at->s2;
    u64 round = at->s1 * at->s2;
    if (b * at->s1 > units && round - b * at->s1 <= b * at->s1 - units) {
        *second = (i64)b - (i64)at->s2;
        *pin = (i64)((units + round - b * at->s1) / at->s2);
    }
}

static u64 travel_of(int *forward, const struct pair *at, u64 units)
{
    i64 pin, second;

    if (at == NULL)
        return units;
    split(&pin, &second, at, units);
    if (pin < 0 || second < 0)
        *forward = 0;
    return (u64)llabs(pin) * at->s2 + (u64)llabs(second) * at->s1;
}

static u64 set_up(const struct plan *a)
{
    u64 s = 75;

    if (a->side == 0)
        return a->direct && h.p > 0 ? 210 : 0;
    s += a->mounted ? 0 : 300;
    s += a->c2 > 0 ? 180 : 0;
    if (a->train != NULL)
        s += 600 + (a->train->pairs == 1 ? (a->train->idlers == 1 ? 900U : 1200U) : a->train->idlers == 0 ? 1500U : 1800U);
    return s;
}

static void price(struct plan *a, u64 n)
{
    u64 hands, risk;

    if (a->direct && a->c2 > 0)
        hands = 12, risk = 8;
    else if (a->side == 0 && !a->direct)
        hands = h.parts > 1 ? 16 : 12, risk = 10;
    else if (a->direct)
        hands = a->rank == DIRECT ? 7 : 14, risk = a->rank == DIRECT ? 3 : 12;
    else if (a->rank == TWO)
        hands = 32, risk = 40;
    else if (a->c2 > 0)
        hands = a->forward ? 25 : 32, risk = a->forward ? 25 : 30;
    else if (a->train != NULL)
        hands = 12, risk = 6;
    else
        hands = a->rank == HOLE ? 14 : 10, risk = a->rank == HOLE ? 12 : 4;
    if (a->block > 1)
        hands += 5, risk += 10;
    u64 turns = a->direct ? 0 : a->turns;
    a->time = set_up(a) + n * (2 * hands + 3) + 4 * turns;
    a->effort = a->time + n * risk + 2 * turns;
}

static int less_or_more(u64 a, u64 b)
{
    return a < b ? -1 : a > b;
}

static int compare(const struct plan *a, const struct plan *b)
{
    int d = b->within - a->within, error = less_or_more(a->err * b->err_of, b->err * a->err_of);

#define THEN(x) if (d == 0) d = (x)
    if (!a->within)
        THEN(error);
    THEN(b->exact - a->exact);
    if (a->exact) {
        THEN(a->rank - b->rank);
        THEN((a->block > 1) - (b->block > 1));
    }
    THEN(less_or_more(a->effort, b->effort));
    THEN(error);
    THEN(b->mounted - a->mounted);
    const struct train *s = a->train, *t = b->train;
    THEN((s != NULL ? s->pairs : 0) - (t != NULL ? t->pairs : 0));
    if (s != NULL && t != NULL) {
        THEN(less_or_more(a->block, b->block));
        THEN(less_or_more(s->num * t->den, t->num * s->den));
        THEN(s->idlers - t->idlers);
    }
    THEN(less_or_more(a->direct ? 0 : a->travel * b->unit, b->direct ? 0 : b->travel * a->unit));
    THEN(b->direct - a->direct);
    if (a->direct) {
        THEN(less_or_more(a->c1, b->c1));
        THEN(less_or_more(a->c2, b->c2));
    } else {
        THEN(less_or_more(b->c1, a->c1));
        THEN(less_or_more(b->c2, a->c2));
    }
    THEN(less_or_more((u64)(llabs(a->pin) + llabs(a->second)), (u64)(llabs(b->pin) + llabs(b->second))));
    THEN(a->rank - b->rank);
    THEN(less_or_more(a->block, b->block));
    THEN(a->plate - b->plate);
    THEN(a->side - b->side);
    THEN(less_or_more(a->move, b->move));
    for (int i = 0; i < 2 && s != NULL && t != NULL; i++) {
        THEN(less_or_more(s->driver[i], t->driver[i]));
        THEN(less_or_more(s->driven[i], t->driven[i]));
    }
    if (s != NULL && t != NULL)
        THEN(t->negative - s->negative);
#undef THEN
    return d;
}

static void offer(struct plan *a, u64 n)
{
    a->within = a->err * h.tolerance_of <= h.tolerance * a->err_of;
    price(a, n);
    if (any && (a->within < best.within || (a->within && best.within && a->exact == best.exact && a->rank >= best.rank && a->exact && a->effort > best.effort)))
        return;
    split(&a->pin, &a->second, a->pair, a->move);
    if (!any || compare(a, &best) < 0)
        best = *a;
    any = 1;
}

/* ---- the methods ---- */

static struct plan start(int rank, int plate, int side, u64 c1, u64 unit, u64 p, u64 q)
{
    return (struct plan){ .rank = rank, .plate = plate, .side = side, .c1 = c1, .unit = unit, .p = p, .q = q, .block = 1, .err_of = 1,
                          .pitch_of = 1, 
                          .forward = 1, .direct = side == 0 && rank != DIAL && rank != READING, .mounted = side == 0 || (plate == h.mounted_plate && side == h.mounted_side) };
}

static struct plan on_circle(int rank, int c, const struct train *t)
{
    const struct circle *at = &h.circle[c];
    struct plan a = start(rank, at->plate, at->side, at->holes, at->holes, t != NULL ? t->p : h.p, t != NULL ? t->q : h.q);

    a.train = t;
    return a;
}

static struct plan on_pair(int rank, const struct pair *at)
{
    struct plan a = start(rank, at->plate, at->side, at->c1, at->unit, h.p, h.q);

    a.c2 = at->c2;
    a.pair = at;
    return a;
}

/* The same movement every time, nearest to a block: N Q move - k P unit is what is left. */
static void constant(struct plan *a, u64 n, u64 k)
{
    u64 wanted = k * a->unit * a->p, each = n * a->q;

    a->block = k;
    a->move = (2 * wanted + each) / (2 * each);
    a->closing = (i64)(a->move * each) - (i64)wanted;
    a->err = (u64)llabs(a->closing);
    a->err_of = a->unit * a->p;
    a->exact = a->err == 0;
    a->turns = n * (a->move / a->unit);
    a->travel = n * travel_of(&a->forward, a->pair, a->move);
    offer(a, n);
}

/* The smallest block that p C / q N takes, or 0. */
static u64 exact_block(u64 n, u64 pc, u64 q)
{
    if (pc % n != 0)
        return 0;
    u64 k = q * n / gcd(q * n, pc);
    return k == 1 || (k < n && gcd(k, n) == 1) ? k : 0;
}

static void exact_methods(u64 n)
{
    for (u64 i = 0; i < h.n_direct; i++)
        if (h.direct[i] * h.pins % n == 0) {
            struct plan a = start(DIRECT, h.n_plates, 0, h.direct[i], h.direct[i] * h.pins, 1, 1);
            a.c2 = h.pins > 1 ? a.unit : 0;
            constant(&a, n, 1);
        }
    for (int c = 0; c < h.n_circles && !any; c++)
        if (exact_block(n, h.circle[c].holes * h.p, h.q) > 0) {
            for (; c < h.n_circles; c++) {
                u64 k = exact_block(n, h.circle[c].holes * h.p, h.q);
                struct plan a = on_circle(PLAIN, c, NULL);
                if (k > 0)
                    constant(&a, n, k);
            }
        }
    if (any)
        return;
    if (h.lines > 0 && h.lines * h.parts * h.p % (h.q * n) == 0) {
        struct plan a = start(DIAL, h.n_plates, 0, h.lines * h.parts, h.lines * h.parts, h.p, h.q);
        constant(&a, n, 1);
        return;
    }
    for (int i = 0; i < h.n_whole; i++)
        if (h.whole[i].pc % n == 0) {
            struct plan a = on_circle(DIFFERENTIAL, h.whole[i].circle, &h.train[h.whole[i].train]);
            constant(&a, n, 1);
        }
    if (any)
        return;
    for (int i = 0; i < h.n_pairs; i++) {
        u64 k = exact_block(n, h.pair[i].unit * h.p, h.q);
        struct plan a = on_pair(COMPOUND, &h.pair[i]);
        if (k > 0)
            constant(&a, n, k);
    }
    if (any)
        return;
    u64 last = 0;
    int fits = 0;
    for (int i = 0; i < h.n_products; i++) {
        const struct product *at = &h.product[i];
        if (at->pc != last) {
            fits = at->pc % n == 0;
            last = at->pc;
        }
        u64 k = fits ? exact_block(n, at->pc, h.train[at->train].q) : 0;
        struct plan a;
        if (k > 0) {
            a = on_circle(BY_BLOCKS, at->circle, &h.train[at->train]);
            constant(&a, n, k);
        }
    }
}

/* Each position rounded: a division is unit P / (N Q) units. */
static void rounded(struct plan *a, u64 n)
{
    u64 num = a->unit * a->p, den = n * a->q, g = gcd(num, den), b = den / g, f = num % den;

    if (num < den || b == 1)
        return;
    if (any && best.within) {       /* what it costs at least */
        a->turns = n * (num / den / a->unit);
        price(a, n);
        if (a->effort > best.effort)
            return;
    }
    u64 last = (2 * (n - 1) * num + den) / (2 * den), all = (2 * num + a->q) / (2 * a->q);
    if (b <= n + 1) {
        a->err = b / 2 * a->q;      /* of a unit / b; units to a turn are unit P / Q */
        a->err_of = b * num;
    } else {                        /* a turn is no whole number of units: not all fractions occur */
        a->err = 0;
        a->err_of = num * den;
        for (u64 i = 0; i <= n; i++) {
            u64 r = i * num % den, off = r < den - r ? r : den - r;
            a->err = larger_of(a->err, off * a->q);
        }
    }
    a->move = num / den;
    a->larger = all - n * a->move;
    /* Spaces: the floor, one more, and the one that closes the circle; all in 1/den of a unit. */
    u64 pitch = 0, more = last - (n - 1) * a->move;
    if (more < n - 1)
        pitch = f;
    if (more > 0)
        pitch = larger_of(pitch, den - f);
    pitch = larger_of(pitch, (u64)llabs((i64)((n - 1) * num) - (i64)(last * den)));
    a->pitch = pitch * a->q;
    a->pitch_of = den * num;
    a->closing = (i64)(all * a->q) - (i64)num;
    a->turns = (n - a->larger) * (a->move / a->unit) + a->larger * ((a->move + 1) / a->unit);
    a->travel = a->larger < n ? (n - a->larger) * travel_of(&a->forward, a->pair, a->move) : 0;
    a->travel += a->larger > 0 ? a->larger * travel_of(&a->forward, a->pair, a->move + 1) : 0;
    offer(a, n);
}

static void nearly(const struct pair *at, u64 n)
{
    u64 lp = at->unit * h.p, m = n * h.q, r = 0, step = lp % m, tolerated = h.tolerance * lp / h.tolerance_of;
    struct plan bound = on_pair(NEARLY, at);

    if (any && best.within && gcd(h.p, m) > tolerated)      /* what divides P and N Q divides r */
        return;
    bound.block = 2;
    for (u64 k = 1, turn = 0; k < n; k++) {
        r += step;
        if (r >= m)
            r -= m;
        if (k * h.p >= (turn + 1) * m || k == 1) {      /* one whole turn more: is any of it worth it? */
            turn = k * h.p / m;
            bound.turns = n * turn;
            price(&bound, n);
            if (k > 1 && best.within && any && bound.effort > best.effort)
                return;
        }
        u64 off = r < m - r ? r : m - r;
        if (off == 0 || off * (n - 1) >= lp || (any && best.within ? off > tolerated : any && off * best.err_of > best.err * lp))
            continue;
        if (gcd(k, n) != 1)
            continue;
        struct plan a = on_pair(NEARLY, at);
        constant(&a, n, k);
    }
}

static void nearest_train(u64 n)
{
    for (int t = 0; t < h.n_trains; t++) {
        const struct train *at = &h.train[t];
        for (int c = 0; c < h.n_circles; c++) {
            u64 pc = at->p * h.circle[c].holes, each = at->q * n, m = (2 * pc + each) / (2 * each);
            u64 off = m * each > pc ? m * each - pc : pc - m * each;
            if (m == 0 || off == 0 || off >= pc || off * (n > 1 ? n - 1 : 0) >= pc)
                continue;
            if (any && (best.within ? off * h.tolerance_of > h.tolerance * pc : off * best.err_of > best.err * pc))
                continue;
            struct plan a = on_circle(TRAIN, c, at);
            constant(&a, n, 1);
        }
    }
}

static void approximate(u64 n)
{
    for (u64 i = 0; i < h.n_direct; i++) {
        struct plan a = start(HOLE, h.n_plates, 0, h.direct[i], h.direct[i] * h.pins, 1, 1);
        a.c2 = h.pins > 1 ? a.unit : 0;
        rounded(&a, n);
    }
    for (int c = 0; c < h.n_circles; c++) {
        struct plan a = on_circle(HOLE, c, NULL);
        rounded(&a, n);
    }
    for (int i = 0; i < h.n_pairs; i++) {
        struct plan a = on_pair(TWO, &h.pair[i]);
        rounded(&a, n);
    }
    if (h.lines > 0) {
        struct plan a = start(READING, h.n_plates, 0, h.lines * h.parts, h.lines * h.parts, h.p, h.q);
        rounded(&a, n);
    }
    nearest_train(n);
    for (int i = 0; i < h.n_pairs; i++)
        nearly(&h.pair[i], n);
}

/* ---- CSV ---- */

/* num/den of a turn as seconds of arc, three decimals and no more than needed. */
static void put_arcsec(i64 num, u64 den)
{
    u64 thousandths = (u64)(((u128)(u64)llabs(num) * 2592000000U + den) / ((u128)2 * den));
    unsigned part = (unsigned)(thousandths % 1000);

    printf(",%s%" PRIu64, num < 0 && thousandths > 0 ? "-" : "", thousandths / 1000);
    if (part > 0)
        printf(part % 100 == 0 ? ".%.1u" : part % 10 == 0 ? ".%.2u" : ".%.3u", part % 100 == 0 ? part / 100 : part % 10 == 0 ? part / 10 : part);
}

static void put_gears(const u64 *z, int n)
{
    if (n == 1)
        printf(",'%" PRIu64, z[0]);
    else
        printf(",'%" PRIu64 " %" PRIu64, z[0], z[1]);
}

static void put_row(u64 n)
{
    struct plan *a = &best;
    int varies = a->rank == HOLE || a->rank == TWO || a->rank == READING;

    if (!varies && a->err > 0) {      /* neighbours are j rows apart, j k = 1 modulo N */
        u64 j = 0;
        while (j * a->block % n != 1 % n)
            j++;
        a->pitch = n > 1 ? a->err * (n - j > j ? n - j : j) : 0;
        a->pitch_of = a->err_of * n;
    }
    varies = varies || (a->direct && a->move % h.pins != 0);     /* holes and pins differ from row to row */
    printf("%" PRIu64 ",%s,%s,%s,%" PRIu64, n, names[a->rank], a->exact ? "true" : "false", a->within ? "true" : "false", a->block);
    if (a->side == 0)
        printf(",,,%" PRIu64, a->c1);
    else
        printf(",%s,%d,%" PRIu64, h.plate[a->plate], a->side, a->c1);
    if (varies)
        fputs(",,", stdout);
    else if (a->direct)
        printf(",%" PRIu64 ",%" PRIu64, a->move / a->unit, a->move % a->unit / h.pins);
    else {
        i64 c = (i64)a->c1;
        printf(",%" PRId64 ",%" PRId64, a->pin / c, a->pin % c);
    }
    if (a->c2 == 0)
        fputs(",,", stdout);
    else if (varies)
        printf(",%" PRIu64 ",", a->c2);
    else
        printf(",%" PRIu64 ",%" PRId64, a->c2, a->direct ? 0 : a->second);
    if (a->train != NULL) {
        put_gears(a->train->driver, a->train->pairs);
        put_gears(a->train->driven, a->train->pairs);
        printf(",%d", a->train->idlers);
    } else {
        fputs(",,,", stdout);
    }
    put_arcsec((i64)a->err, a->err_of);
    put_arcsec((i64)a->pitch, a->pitch_of);
    put_arcsec(a->closing, a->unit * a->p);
    u64 travel = a->direct ? 0 : a->travel, g = gcd(travel, a->unit);
    printf(",%" PRIu64 ",%" PRIu64 ",%" PRIu64 ",", travel / g, a->unit / g, n);
    if (a->train != NULL && a->train->idlers > 0)
        printf("%d", a->train->pairs - a->train->back);
    printf(",%" PRIu64 ",%" PRIu64 "\r\n", a->time, a->effort);
}

int main(int argc, char **argv)
{
    if (argc != 4) {
        fputs("usage: rival PROFILE FIRST LAST\n", stderr);
        return 2;
    }
    read_profile(argv[1]);
    if (h.p > 0) {
        list_settings();
        list_trains();
    }
    puts("divisions,method,exact,within_tolerance,block,plate,side,circle,turns,holes,circle2,holes2,drivers,driven,idlers,"
         "worst_error_arcsec,worst_pitch_arcsec,closing_error_arcsec,crank_turns_num,crank_turns_den,steps,idlers_in,time_s,effort_s\r");
    for (u64 n = strtoull(argv[2], NULL, 10), last = strtoull(argv[3], NULL, 10); n <= last; n++) {
        any = 0;
        exact_methods(n);
        if (!any)
            approximate(n);
        if (any)
            put_row(n);
    }
    return 0;
}
