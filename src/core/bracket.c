/*
 * bracket.c: whether a train goes on the bracket that a profile describes.
 *
 * The slot is straight and its line goes through the shaft about which it swings, so the studs stand on one ray from there, and
 * every one is fixed by the mesh with the one before it: the first at its gap, the next one gap on, and so to the last stud. (One
 * gap back is no place: two posts that mesh fill all between them.) That stud and the other shaft are a gap apart too, and so the
 * triangle of both shafts and that stud is known, and with it every distance. Squares of distances are rational; they are
 * compared, and roots are taken only to tell how much there is to spare.
 *
 * Bounds: lengths are at most 10 m, so below 2^35 doubled; a gap is at most 2 * 10^12 < 2^41, and below 2^37 where squares are
 * multiplied, for the triangle has been found to close by then. A product of a square and a length stays below 2^112.
 */
#include "core/bracket.h"

/* ---- made ready ---- */

static const struct {
    enum cc_fit_key key;
    const char *name[3];    /* for a differential, a lead, a short lead */
} key_names[] = {
    { CC_FIT_SUM, { "least-sum or most-sum", "least-sum or most-sum", "least-sum or most-sum" } },
    { CC_FIT_SLEEVE, { "sleeve_least", "sleeve_least", "sleeve_least" } },
    { CC_FIT_STUDS, { "studs", "studs", "studs" } },
    { CC_FIT_MOST, { "spindle_most or worm_most", "screw_most or worm_most", "screw_most or spindle_most" } },
    { CC_FIT_MODULE, { "module", "module", "module" } },
    { CC_FIT_COLLAR, { "collar", "collar", "collar" } },
    { CC_FIT_PLANES, { "planes", "planes", "planes" } },
    { CC_FIT_REACH, { "reach", "reach", "reach" } },
    { CC_FIT_CENTRES, { "centres", "lead_centres", "short_centres" } },
};

const char *cc_fit_key_name(enum cc_fit_key key, enum cc_gear_use use)
{
    for (size_t i = 0; i < sizeof key_names / sizeof key_names[0]; i++)
        if (key_names[i].key == key)
            return key_names[i].name[use];
    return NULL;
}

const char *cc_fit_key_why(enum cc_fit_key key)
{
    static const char *const why[CC_FIT_KEYS] = {
        [CC_FIT_NOTHING] = "",
        [CC_FIT_SUM] = "two of these gears do not reach each other on this head",
        [CC_FIT_ROOM] = "a gear on a stud would run into the next shaft",
        [CC_FIT_SLEEVE] = "a gear is too small for the sleeve of its stud",
        [CC_FIT_STUDS] = "the bracket has not so many studs",
        [CC_FIT_MOST] = "a gear on a shaft would touch table or head",
        [CC_FIT_MODULE] = "",
        [CC_FIT_COLLAR] = "a gear would touch a collar, nut or shaft",
        [CC_FIT_PLANES] = "two gears that do not mesh would touch",
        [CC_FIT_REACH] = "a stud would stand outside the slot's reach",
        [CC_FIT_CENTRES] = "the gears do not span the two shafts",
    };

    return why[key];
}

static cci_u128 square(uint64_t n)
{
    return cci_wide_product(n, n);
}

/* The largest whole number whose square is at most n, which is below 2^92. */
static uint64_t root(cci_u128 n)
{
    uint64_t r = 0;

    for (uint64_t bit = UINT64_C(1) << 45; bit > 0; bit >>= 1)
        if (!cci_wide_less(n, square(r + bit)))
            r += bit;
    return r;
}

static enum cci_pivot pivot_of(const struct cc_bracket *b, enum cc_gear_use use)
{
    static const enum cc_slot first[] = { CC_SLOT_SPINDLE, CC_SLOT_SCREW, CC_SLOT_SCREW };
    static const enum cc_slot last[] = { CC_SLOT_WORM, CC_SLOT_WORM, CC_SLOT_SPINDLE };

    if (b->slot == CC_SLOT_STRAIGHT)
        return CCI_STRAIGHT;
    if (b->reach.high == 0)
        return CCI_ANYWHERE;
    return b->slot == first[use] ? CCI_ON_FIRST : b->slot == last[use] ? CCI_ON_LAST : CCI_ANYWHERE;
}

static void set_centres(struct cci_bracket *out, const struct cc_bracket *b)
{
    const struct cc_reach *of = out->use == CC_FOR_DIFFERENTIAL ? &b->centres
                                : out->use == CC_FOR_LEAD       ? &b->lead_centres
                                                                : &b->short_centres;

    out->low = 2 * of->low;
    out->high = 2 * of->high;
    out->low_square = square(out->low);
    out->high_square = square(out->high);
    if (out->use == CC_FOR_LEAD && b->has_drop && b->has_offset) {
        out->low_square = cci_wide_add(square(2 * b->lead_drop), square(2 * b->lead_offset));
        out->high_square = out->low_square;
        out->low = out->high = root(out->low_square);
    }
}

bool cci_bracket_prepare(struct cci_bracket *out, const struct cc_bracket *stated, enum cc_gear_use use)
{
    if (!stated->stated)
        return false;
    *out = (struct cci_bracket){ .stated = stated, .use = use, .pivot = pivot_of(stated, use),
                                 .planes = stated->planes == 0 ? 2 : stated->planes,
                                 .clear = 2 * stated->clear, .play = 2 * stated->play,
                                 .reach_low = 2 * stated->reach.low, .reach_high = 2 * stated->reach.high,
                                 .first_most = use == CC_FOR_DIFFERENTIAL ? stated->spindle_most : stated->screw_most,
                                 .last_most = use == CC_FOR_SHORT_LEAD ? stated->spindle_most : stated->worm_most };
    set_centres(out, stated);
    out->missing = stated->module == 0         ? CC_FIT_MODULE
                   : out->high == 0            ? CC_FIT_CENTRES
                   : out->reach_high == 0 || out->pivot == CCI_ANYWHERE ? CC_FIT_REACH
                   : stated->collar == 0       ? CC_FIT_COLLAR
                                               : CC_FIT_NOTHING;
    return true;
}

/* ---- the posts of a train ---- */

/* One post more, joined to the one before in that plane by gears of so many teeth. */
static void add_post(struct cci_posts *p, const struct cci_bracket *b, unsigned plane, unsigned teeth)
{
    unsigned before = p->n - 1;

    for (unsigned k = 0; k < CCI_MOST_PLANES; k++)
        p->tooth[p->n][k] = 0;
    p->tooth[p->n][plane] = teeth;
    p->plane[before] = plane;
    p->gap[before] = b->stated->module * (p->tooth[before][plane] + teeth) + b->play;
    p->at[p->n] = p->at[before] + p->gap[before];
    p->n++;
}

/* The mesh i comes in plane i, the third in the first plane again where there are two. */
void cci_posts_of(struct cci_posts *p, const struct cci_bracket *b, const struct cc_train *train)
{
    bool from_first = b->pivot == CCI_ON_FIRST;
    unsigned with = train->pairs - 1 - train->idlers_back, idlers = train->idlers;

    p->n = 1;
    p->at[0] = 0;
    for (unsigned k = 0; k < CCI_MOST_PLANES; k++)
        p->tooth[0][k] = 0;
    for (unsigned step = 0; step < train->pairs; step++) {
        unsigned i = from_first ? step : train->pairs - 1 - step, plane = i < b->planes ? i : 0;
        p->tooth[p->n - 1][plane] = from_first ? train->driver[i] : train->driven[i];
        for (unsigned k = 0; i == with && k < idlers; k++)
            add_post(p, b, plane, train->idler[from_first ? k : idlers - 1 - k]);
        add_post(p, b, plane, from_first ? train->driven[i] : train->driver[i]);
    }
}

/* ---- whether they can stand so ---- */

/* How far two posts must at least stand apart, and by which key: more than that, or a gear touches. */
static uint64_t need(enum cc_fit_key *key, const struct cci_bracket *b, const struct cci_posts *p, unsigned i, unsigned j)
{
    uint64_t module = b->stated->module, collar = b->stated->collar, most = 0;

    for (unsigned plane = 0; plane < b->planes; plane++) {
        unsigned x = p->tooth[i][plane], y = p->tooth[j][plane];
        uint64_t apart = 0;
        if (i + 1 == j && plane == p->plane[i])
            continue;
        if (x != 0 && y != 0)
            apart = module * (x + y + 4) + b->clear;
        else if (x != 0 || y != 0)
            apart = module * (x + y + 2) + (collar != 0 ? collar + b->clear : 0);
        if (apart > most) {
            most = apart;
            *key = x != 0 && y != 0 ? CC_FIT_PLANES : collar != 0 ? CC_FIT_COLLAR : CC_FIT_ROOM;
        }
    }
    return most;
}

/* ---- which idlers ---- */

/* What the posts of the other meshes need of each other, whatever the idlers are. */
static enum cc_fit_key other_meshes_fail(const struct cci_bracket *b, const struct cci_posts *p, unsigned with)
{
    enum cc_fit_key key = CC_FIT_NOTHING;

    for (unsigned i = 0; i + 1 < p->n; i++)
        if (i != with && p->gap[i] <= need(&key, b, p, i, i + 1))
            return key;
    return CC_FIT_NOTHING;
}

/* Teeth that an idler must have at least, so that what its neighbour i carries in other planes clears the idler's stud. */
static unsigned least_beside(const struct cci_bracket *b, const struct cci_posts *p, unsigned i, unsigned plane)
{
    uint64_t module = b->stated->module, most = 0, mesh = module * p->tooth[i][plane] + b->play;

    for (unsigned other = 0; other < b->planes; other++)
        if (other != plane && p->tooth[i][other] != 0) {
            uint64_t apart = module * (p->tooth[i][other] + 2) + (b->stated->collar != 0 ? b->stated->collar + b->clear : 0);
            most = apart > most ? apart : most;
        }
    return most < mesh ? 0 : (unsigned)((most - mesh) / module) + 1;
}

enum cc_fit_key cci_idler_window(unsigned *least, unsigned *most, const struct cci_bracket *b, const struct cc_train *train)
{
    struct cc_train bare = *train;
    struct cci_posts p;
    uint64_t module = b->stated->module, play = train->idlers * b->play;

    *least = 0;
    *most = UINT32_MAX;
    if (module == 0)
        return CC_FIT_NOTHING;
    bare.idlers = 0;
    cci_posts_of(&p, b, &bare);
    unsigned with = b->pivot == CCI_ON_FIRST ? train->pairs - 1 - train->idlers_back : train->idlers_back;
    enum cc_fit_key key = other_meshes_fail(b, &p, with);
    if (key != CC_FIT_NOTHING)
        return key;
    if (b->high != 0 && p.at[p.n - 1] + play < b->low)
        *least = (unsigned)((b->low - p.at[p.n - 1] - play + 2 * module - 1) / (2 * module));
    unsigned one = least_beside(b, &p, with, p.plane[with]), two = least_beside(b, &p, with + 1, p.plane[with]);
    unsigned beside = train->idlers > 1 ? one + two : one > two ? one : two;
    *least = beside > *least ? beside : *least;
    if (b->pivot == CCI_ANYWHERE || b->reach_high == 0)
        return CC_FIT_NOTHING;
    /* The last stud goes out by twice the idlers, or, where an idler is that stud, by them and the gear that they drive. */
    bool across = with == p.n - 2;
    uint64_t out = p.at[p.n - 2] + play + (across ? module * p.tooth[with][p.plane[with]] : 0);
    *most = out > b->reach_high ? 0 : (unsigned)((b->reach_high - out) / (across ? module : 2 * module));
    return CC_FIT_NOTHING;
}

/* ---- what is to spare ---- */

/* What is left over of a length; the least so far is kept, where it is asked for. */
static void spare(uint64_t *margin, uint64_t length, uint64_t needed)
{
    if (margin != NULL && (length - needed) / 2 < *margin)
        *margin = (length - needed) / 2;
}

/* Two gears on one stud are joined by a sleeve. */
static bool sleeve_fails(const struct cci_bracket *b, const struct cc_train *train)
{
    for (unsigned i = 0; i + 1 < train->pairs; i++)
        if (train->driven[i] < b->stated->sleeve_least || train->driver[i + 1] < b->stated->sleeve_least)
            return true;
    return false;
}

/* Whether a gear on a shaft is larger than the largest that goes on there. */
static bool size_fails(uint64_t *margin, const struct cci_bracket *b, unsigned teeth, uint64_t most)
{
    uint64_t size = b->stated->module * (teeth + 2);

    if (most == 0 || b->stated->module == 0)
        return false;
    if (size > most)
        return true;
    spare(margin, most, size);
    return false;
}

enum cc_fit_key cci_sizes_fail(uint64_t *margin, const struct cci_bracket *b, const struct cc_train *train)
{
    if (sleeve_fails(b, train))
        return CC_FIT_SLEEVE;
    if (b->stated->studs != 0 && train->pairs - 1 + train->idlers > b->stated->studs)
        return CC_FIT_STUDS;
    if (size_fails(margin, b, train->driver[0], b->first_most) ||
        size_fails(margin, b, train->driven[train->pairs - 1], b->last_most))
        return CC_FIT_MOST;
    return CC_FIT_NOTHING;
}

/* Posts in line that do not mesh. */
static enum cc_fit_key line_fails(uint64_t *margin, const struct cci_bracket *b, const struct cci_posts *p, unsigned n)
{
    enum cc_fit_key key = CC_FIT_NOTHING;

    for (unsigned j = 1; j < n; j++)
        for (unsigned i = 0; i + 1 < j; i++) {
            uint64_t needed = need(&key, b, p, i, j), apart = p->at[j] - p->at[i];
            if (apart <= needed)
                return key;
            spare(margin, apart, needed);
        }
    return CC_FIT_NOTHING;
}

/* Posts that mesh in one plane may touch in another. */
static enum cc_fit_key neighbours_fail(uint64_t *margin, const struct cci_bracket *b, const struct cci_posts *p)
{
    enum cc_fit_key key = CC_FIT_NOTHING;

    for (unsigned i = 0; i + 1 < p->n; i++) {
        uint64_t needed = need(&key, b, p, i, i + 1);
        if (p->gap[i] <= needed)
            return key;
        spare(margin, p->gap[i], needed);
    }
    return CC_FIT_NOTHING;
}

static bool reach_fails(uint64_t *margin, const struct cci_bracket *b, const struct cci_posts *p)
{
    for (unsigned i = 1; i + 1 < p->n && b->reach_high != 0; i++) {
        if (p->at[i] < b->reach_low || p->at[i] > b->reach_high)
            return true;
        spare(margin, p->at[i], b->reach_low);
        spare(margin, b->reach_high, p->at[i]);
    }
    return false;
}

/*
 * Whether shafts so far apart as they can be close the triangle with the last stud, at from the shaft in line with it and gap
 * from the other. Every distance that a gear needs grows with that of the shafts, so they stand as far apart as they can.
 */
static bool centres_fail(uint64_t *margin, const struct cci_bracket *b, struct cci_posts *p, uint64_t at, uint64_t gap)
{
    uint64_t far = at + gap, near = at > gap ? at - gap : gap - at;

    if (b->pivot == CCI_STRAIGHT)
        near = far;
    if (cci_wide_less(square(far), b->low_square) || cci_wide_less(b->high_square, square(near)))
        return true;
    spare(margin, far > b->low ? far : b->low, b->low);
    spare(margin, b->high > near ? b->high : near, near);
    p->across = cci_wide_less(square(far), b->high_square) ? square(far) : b->high_square;
    return false;
}

/*
 * From the other shaft to a stud at t, squared, times T: (T - t) D^2 + T t^2 + t g^2 - t T^2, with T the last stud's place, g its
 * gap to the shaft and D from shaft to shaft (two triangles with one angle). T is 0 for two gears alone: they are the shafts.
 */
static cci_u128 times_square(const struct cci_posts *p, unsigned i)
{
    uint64_t all = p->at[p->n - 2], t = p->at[i], gap = p->gap[p->n - 2];
    cci_u128 sum = cci_wide_times(p->across, all - t);

    sum = cci_wide_add(sum, cci_wide_times(square(t), all));
    sum = cci_wide_add(sum, cci_wide_times(square(gap), t));
    return cci_wide_sub(sum, cci_wide_times(square(all), t));
}

/* What the other shaft's gears need of all posts but the one that they mesh with, and the other way. */
static enum cc_fit_key across_fails(uint64_t *margin, const struct cci_bracket *b, const struct cci_posts *p)
{
    enum cc_fit_key key = CC_FIT_NOTHING;
    unsigned other = p->n - 1;

    for (unsigned i = 0; i + 2 < p->n; i++) {
        uint64_t needed = need(&key, b, p, i, other), last = p->at[other - 1];
        cci_u128 apart = times_square(p, i);
        if (!cci_wide_less(cci_wide_times(square(needed), last), apart))
            return key;
        /* A root only where it is less than the margin so far (which is at most a gap, so its square has room). */
        if (margin != NULL && (*margin == UINT64_MAX || cci_wide_less(apart, cci_wide_times(square(needed + 2 * *margin), last))))
            spare(margin, cci_post_distance(p, i, other), needed);
    }
    return CC_FIT_NOTHING;
}

uint64_t cci_post_distance(const struct cci_posts *p, unsigned i, unsigned j)
{
    unsigned other = p->n - 1, low = i < j ? i : j, high = i < j ? j : i;

    if (high < other)
        return p->at[high] - p->at[low];
    if (low + 1 == other)
        return p->gap[low];
    return root(cci_wide_quotient(times_square(p, low), cci_wide(p->at[other - 1])));
}

/* The longest row of posts does not reach from shaft to shaft; that is all there is to say where the studs stand freely. */
static bool row_fails(uint64_t *margin, const struct cci_bracket *b, const struct cci_posts *p)
{
    uint64_t row = p->at[p->n - 1];

    if (cci_wide_less(square(row), b->low_square))
        return true;
    spare(margin, row > b->low ? row : b->low, b->low);
    return false;
}

enum cc_fit_key cci_places_fail(uint64_t *margin, const struct cci_bracket *b, struct cci_posts *p)
{
    bool placed = b->pivot != CCI_ANYWHERE || p->n <= 3;
    enum cc_fit_key key;

    if (b->stated->module == 0)
        return CC_FIT_NOTHING;
    key = neighbours_fail(margin, b, p);
    if (key == CC_FIT_NOTHING && b->pivot != CCI_ANYWHERE && reach_fails(margin, b, p))
        key = CC_FIT_REACH;
    if (key == CC_FIT_NOTHING && placed)
        key = line_fails(margin, b, p, p->n - 1);
    if (key != CC_FIT_NOTHING || b->high == 0)
        return key;
    if (placed ? centres_fail(margin, b, p, p->at[p->n - 2], p->gap[p->n - 2]) : row_fails(margin, b, p))
        return CC_FIT_CENTRES;
    return placed ? across_fails(margin, b, p) : CC_FIT_NOTHING;
}
