/* fit.c: whether the gears of a train can stand side by side, and in which arrangement they have the most room. */
#include "core/fit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_TRIED_IDLERS CC_NAMED_IDLERS   /* more of them reach anywhere */

/* ---- the set ---- */

static int compare_teeth(const void *a, const void *b)
{
    unsigned x = *(const unsigned *)a, y = *(const unsigned *)b;
    return x < y ? -1 : x > y;
}

void cci_gears_init(struct cci_gears *gears, const unsigned *teeth, size_t n, unsigned least_sum, unsigned most_sum)
{
    unsigned sorted[CC_MAX_GEARS];

    gears->n = 0;
    gears->least_sum = least_sum;
    gears->most_sum = most_sum;
    gears->bracket = NULL;
    gears->any = false;
    memset(gears->unfit, 0, sizeof gears->unfit);
    if (n == 0)
        return;
    memcpy(sorted, teeth, n * sizeof sorted[0]);
    qsort(sorted, n, sizeof sorted[0], compare_teeth);
    for (size_t i = 0; i < n; i++) {
        if (gears->n > 0 && gears->tooth[gears->n - 1] == sorted[i]) {
            gears->left[gears->n - 1]++;
        } else {
            gears->tooth[gears->n] = sorted[i];
            gears->left[gears->n++] = 1;
        }
    }
}

static void move_gear(struct cci_gears *gears, unsigned tooth, bool take)
{
    for (size_t i = 0; i < gears->n; i++)
        if (gears->tooth[i] == tooth && (gears->left[i] > 0 || !take))
            gears->left[i] += take ? -1U : 1U;
}

void cci_gears_take(struct cci_gears *gears, const struct cc_train *train)
{
    for (unsigned i = 0; i < train->pairs; i++) {
        move_gear(gears, train->driver[i], true);
        move_gear(gears, train->driven[i], true);
    }
}

void cci_gears_put_back(struct cci_gears *gears, const struct cc_train *train)
{
    for (unsigned i = 0; i < train->pairs; i++) {
        move_gear(gears, train->driver[i], false);
        move_gear(gears, train->driven[i], false);
    }
}

bool cci_gears_lack(char *why, size_t size, const struct cc_train *train, const unsigned *teeth, size_t n)
{
    for (unsigned i = 0; i < 2 * train->pairs; i++) {
        unsigned tooth = i < train->pairs ? train->driver[i] : train->driven[i - train->pairs];
        size_t need = 0, have = 0;
        for (unsigned k = 0; k < train->pairs; k++)
            need += (train->driver[k] == tooth ? 1U : 0U) + (train->driven[k] == tooth ? 1U : 0U);
        for (size_t g = 0; g < n; g++)
            have += teeth[g] == tooth ? 1U : 0U;
        if (have >= need)
            continue;
        if (have < 2)
            snprintf(why, size, "this head has %s gear of %u teeth", have == 0 ? "no" : "only one", tooth);
        else
            snprintf(why, size, "this head has only %zu gears of %u teeth", have, tooth);
        return true;
    }
    if (2 * train->pairs + train->idlers <= n)
        return false;
    snprintf(why, size, "no gears are left for %u idler%s", train->idlers, train->idlers == 1 ? "" : "s");
    return true;
}

/* ---- one arrangement ---- */

static bool meshes(const struct cci_gears *gears, unsigned a, unsigned b)
{
    return (gears->least_sum == 0 || a + b >= gears->least_sum) && (gears->most_sum == 0 || a + b <= gears->most_sum);
}

bool cci_joins(struct cci_gears *gears, unsigned a, unsigned b, unsigned idlers, unsigned teeth)
{
    bool joined = false;

    if (idlers == 0)
        return teeth == 0 && meshes(gears, a, b);
    /* The largest first, so that the first that will do is soon found. */
    for (size_t i = gears->n; i > 0 && !joined; i--) {
        unsigned tooth = gears->tooth[i - 1];
        if (idlers == 1 && tooth < teeth)
            break;
        if (gears->left[i - 1] == 0 || !meshes(gears, a, tooth))
            continue;
        gears->left[i - 1]--;
        joined = cci_joins(gears, tooth, b, idlers - 1, teeth > tooth ? teeth - tooth : 0);
        gears->left[i - 1]++;
    }
    return joined;
}

/* Teeth by which the two shafts of mesh i stand further apart than the gears beside its own need; idlers left out. */
static int room_of(const struct cc_train *t, unsigned i)
{
    unsigned need = 0;

    if (i + 1 < t->pairs)
        need = t->driver[i + 1];
    if (i > 0 && t->driven[i - 1] > need)
        need = t->driven[i - 1];
    return t->pairs == 1 ? CC_FREE_ROOM : (int)(t->driver[i] + t->driven[i]) - (int)need - 2;
}

static int least_room(const struct cc_train *t)
{
    int least = CC_FREE_ROOM;

    for (unsigned i = 0; i < t->pairs; i++) {
        int room = room_of(t, i);
        least = room < least ? room : least;
    }
    return least;
}

/* Whether the two gears of mesh with are joined by the idlers, of teeth teeth together or more; by many of them anyhow. */
static bool mesh_joins(const struct cc_train *t, struct cci_gears *gears, unsigned with, unsigned teeth)
{
    return t->idlers > MOST_TRIED_IDLERS || cci_joins(gears, t->driver[with], t->driven[with], t->idlers, teeth);
}

/*
 * Whether the idlers go into mesh with: the others keep limits and room by themselves, this one with the idlers' help. room holds
 * room_of each mesh.
 */
static bool fits_with(bool *reached, const struct cc_train *t, const int *room, struct cci_gears *gears, unsigned with)
{
    bool stands = true, reaches = mesh_joins(t, gears, with, 0);

    for (unsigned i = 0; i < t->pairs; i++)
        if (i != with) {
            reaches = reaches && meshes(gears, t->driver[i], t->driven[i]);
            stands = stands && room[i] > 0;
        }
    *reached = *reached || reaches;
    if (!reaches || !stands || room[with] > 0)
        return reaches && stands;
    return mesh_joins(t, gears, with, (unsigned)-room[with] / 2 + 1);      /* 2 T > -room */
}

/* ---- which idlers ---- */

/* A choice of idlers in hand, and the best so far. */
struct choosing {
    struct cc_train train;
    struct cci_gears *gears;
    unsigned with, least, most; /* the mesh they stand in, and their teeth together */
    bool placed;                /* where the studs stand is known, so that margins tell choices apart */
    unsigned middle;            /* else the gear in the middle of those left does */
    unsigned best_off;          /* by how much the best so far differ from it, together */
    uint64_t margin;            /* whatever the idlers are */
    bool tried, found;
    struct cc_fit *fit;         /* of the best so far */
};

static unsigned middle_gear(const struct cci_gears *gears)
{
    unsigned left = 0, passed = 0;

    for (size_t i = 0; i < gears->n; i++)
        left += gears->left[i];
    for (size_t i = 0; i < gears->n; i++) {
        passed += gears->left[i];
        if (2 * passed >= left && gears->left[i] > 0)
            return gears->tooth[i];
    }
    return 0;
}

/* The idlers of c->train: kept where they fit and are the best so far, else what they fail by. */
static void try_idlers(struct choosing *c)
{
    const struct cci_bracket *bracket = c->gears->bracket;
    struct cci_posts posts;
    uint64_t margin = c->margin;
    unsigned off = 0;

    c->tried = true;
    if (bracket != NULL) {
        cci_posts_of(&posts, bracket, &c->train);
        enum cc_fit_key key = cci_places_fail(c->gears->any ? NULL : &margin, bracket, &posts);
        if (key != CC_FIT_NOTHING) {
            if (!c->found && key > c->fit->key)     /* of many choices the one that comes furthest says why */
                c->fit->key = key;
            return;
        }
    }
    margin = c->placed ? margin : UINT64_MAX;
    for (unsigned k = 0; k < c->train.idlers; k++)
        off += c->train.idler[k] > c->middle ? c->train.idler[k] - c->middle : c->middle - c->train.idler[k];
    if (c->found && (margin < c->fit->margin || (margin == c->fit->margin && off >= c->best_off)))
        return;
    c->found = true;
    c->best_off = off;
    c->fit->margin = margin;
    memcpy(c->fit->idler, c->train.idler, sizeof c->fit->idler);
}

/* Every choice of the idlers from the k-th on. */
static void choose_idlers(struct choosing *c, unsigned k, unsigned teeth)
{
    struct cci_gears *gears = c->gears;
    unsigned before = k == 0 ? c->train.driver[c->with] : c->train.idler[k - 1];

    if (k == c->train.idlers) {
        if (teeth >= c->least && teeth <= c->most && meshes(gears, before, c->train.driven[c->with]))
            try_idlers(c);
        return;
    }
    for (size_t i = 0; i < gears->n && !(gears->any && c->found); i++) {
        unsigned tooth = gears->tooth[i];
        if (teeth + tooth > c->most)
            break;
        if (gears->left[i] == 0 || !meshes(gears, before, tooth))
            continue;
        if (k + 1 == c->train.idlers && teeth + tooth < c->least)
            continue;
        gears->left[i]--;
        c->train.idler[k] = tooth;
        choose_idlers(c, k + 1, teeth + tooth);
        gears->left[i]++;
    }
}

/* Whether the idlers have been chosen, and only they are asked about. */
static bool is_named(const struct cc_train *train)
{
    return train->idlers > 0 && train->idlers <= CC_NAMED_IDLERS && train->idler[0] != 0;
}

/* How many teeth the idlers must have together; the key by which no idlers at all will do, or CC_FIT_NOTHING. */
static enum cc_fit_key bound_idlers(struct choosing *c)
{
    const struct cci_bracket *bracket = c->gears->bracket;
    int room = room_of(&c->train, c->with);
    unsigned bare = room > 0 || c->train.idlers == 0 ? 0 : (unsigned)-room / 2 + 1;     /* 2 T > -room */
    enum cc_fit_key key = CC_FIT_NOTHING;

    c->most = UINT32_MAX;
    if (bracket != NULL) {
        key = cci_sizes_fail(&c->margin, bracket, &c->train);
        if (key == CC_FIT_NOTHING && c->train.idlers > 0)
            key = cci_idler_window(&c->least, &c->most, bracket, &c->train);
    }
    c->least = bare > c->least ? bare : c->least;
    return key;
}

/* The best idlers for the mesh that fit->idlers_back says, into fit; false where none go on the bracket. */
static bool idlers_fit(struct cc_fit *fit, const struct cc_train *train, struct cci_gears *gears)
{
    struct choosing c = { .train = *train, .gears = gears, .with = train->pairs - 1 - fit->idlers_back,
                          .margin = UINT64_MAX, .fit = fit };

    c.train.idlers_back = fit->idlers_back;
    enum cc_fit_key key = bound_idlers(&c);
    if (key != CC_FIT_NOTHING) {
        fit->key = key > fit->key ? key : fit->key;
        return false;
    }
    c.placed = gears->bracket != NULL && (gears->bracket->missing == CC_FIT_NOTHING || gears->bracket->missing == CC_FIT_COLLAR);
    c.middle = c.placed ? 0 : middle_gear(gears);
    if (is_named(train))
        try_idlers(&c);
    else
        choose_idlers(&c, 0, 0);
    if (!c.tried && fit->key < CC_FIT_REACH)
        fit->key = c.most < c.least || c.most < gears->tooth[0] ? CC_FIT_REACH : CC_FIT_CENTRES;
    return c.found;
}

static bool fits(struct cc_fit *fit, const struct cc_train *train, struct cci_gears *gears)
{
    const struct cci_bracket *bracket = train->idlers > CC_NAMED_IDLERS ? NULL : gears->bracket;
    int room[CC_MAX_PAIRS];

    *fit = (struct cc_fit){ .room = CC_FREE_ROOM, .margin = UINT64_MAX };
    for (unsigned i = 0; i < train->pairs; i++) {
        room[i] = room_of(train, i);
        fit->room = room[i] < fit->room ? room[i] : fit->room;
    }
    for (unsigned back = is_named(train) ? train->idlers_back : 0; back < train->pairs; back++) {
        fit->idlers_back = back;
        if (fits_with(&fit->meshes, train, room, gears, train->pairs - 1 - back)) {
            if (bracket == NULL || idlers_fit(fit, train, gears)) {
                fit->key = bracket == NULL ? CC_FIT_MODULE : bracket->missing;
                return true;
            }
        } else if (fit->key == CC_FIT_NOTHING) {
            fit->key = fit->meshes ? CC_FIT_ROOM : CC_FIT_SUM;
        }
        if (train->idlers == 0 || is_named(train))
            break;
    }
    return false;
}

static bool name_idlers(struct cc_train *train, struct cci_gears *gears)
{
    struct cc_fit fit;

    memset(train->idler, 0, sizeof train->idler);      /* so that all are looked at */
    if (!fits(&fit, train, gears))
        return false;
    train->idlers_back = fit.idlers_back;
    if (train->idlers > 0 && train->idlers <= CC_NAMED_IDLERS &&
        (gears->bracket != NULL || idlers_fit(&fit, train, gears)))
        memcpy(train->idler, fit.idler, sizeof train->idler);
    return true;
}

/* ---- all of them ---- */

/* Orders of 3 things, in lexicographic order; the first 1, 2 or 6 are not those of fewer things, which stand in first. */
static const unsigned char orders[6][CC_MAX_PAIRS] = {
    { 0, 1, 2 }, { 1, 0, 2 }, { 0, 2, 1 }, { 1, 2, 0 }, { 2, 0, 1 }, { 2, 1, 0 },
};
static const unsigned order_count[CC_MAX_PAIRS + 1] = { 1, 1, 2, 6 };

int cci_compare_arrangements(const struct cc_train *a, const struct cc_train *b)
{
    for (unsigned i = 0; i < a->pairs; i++)
        if (a->driver[i] != b->driver[i])
            return a->driver[i] < b->driver[i] ? -1 : 1;
    for (unsigned i = 0; i < a->pairs; i++)
        if (a->driven[i] != b->driven[i])
            return a->driven[i] < b->driven[i] ? -1 : 1;
    return 0;
}

/* The arrangement in hand, and the best so far with the idlers asked for and with one more. */
struct arranging {
    struct cc_train other;
    struct cci_arranged *way;
    struct cc_fit best[2];
    unsigned ways, left;        /* gears left for idlers */
    bool free;                  /* no limits and no bracket: any gears mesh */
};

/* Idlers in the last mesh before any other; then more room on the bracket, and by the rule of any bracket. */
static bool comes_first(const struct cc_train *train, const struct cc_fit *fit, const struct cc_train *best,
                        const struct cc_fit *best_fit)
{
    if (fit->idlers_back != best_fit->idlers_back)
        return fit->idlers_back < best_fit->idlers_back;
    if (fit->margin != best_fit->margin)
        return fit->margin > best_fit->margin;
    if (fit->room != best_fit->room)
        return fit->room > best_fit->room;
    return cci_compare_arrangements(train, best) < 0;
}

/* Whether an order before this one puts the same counts in the same places. */
static bool is_repeat(const unsigned *value, unsigned n, unsigned order)
{
    if (n < 3)
        return order > 0 && value[0] == value[1];
    for (unsigned earlier = 0; earlier < order; earlier++) {
        bool same = true;
        for (unsigned k = 0; k < n && same; k++)
            same = value[orders[earlier][k]] == value[orders[order][k]];
        if (same)
            return true;
    }
    return false;
}

static void put_order(unsigned *out, const unsigned *in, unsigned n, unsigned order)
{
    for (unsigned k = 0; k < n; k++)
        out[k] = in[orders[order][k]];
}

/*
 * One arrangement more, each way: counted where it fits, kept where it is the best so far. With room by itself and no limits it
 * fits with whatever idlers there are.
 */
static void try_arrangement(struct arranging *a, struct cci_gears *gears)
{
    unsigned idlers = a->other.idlers;
    int room = a->free ? least_room(&a->other) : 0;

    for (unsigned w = 0; w < a->ways; w++) {
        struct cci_arranged *way = &a->way[w];
        struct cc_fit fit = { .meshes = true, .room = room, .margin = UINT64_MAX };
        a->other.idlers = idlers + w;
        if ((room <= 0 || a->left < idlers + w) && !fits(&fit, &a->other, gears)) {
            if (a->left >= idlers + w)
                gears->unfit[fit.key]++;
            continue;
        }
        if (way->fitting++ > 0 && !comes_first(&a->other, &fit, &way->train, &a->best[w]))
            continue;
        way->train = a->other;
        way->train.idlers_back = fit.idlers_back;
        memcpy(way->train.idler, fit.idler, sizeof fit.idler);
        a->best[w] = fit;
    }
    a->other.idlers = idlers;
}

unsigned cci_arrange_ways(struct cci_arranged *way, unsigned ways, const struct cc_train *train, struct cci_gears *gears,
                          unsigned last_multiple)
{
    struct arranging a = { .other = *train, .way = way, .ways = ways,
                           .free = gears->least_sum == 0 && gears->most_sum == 0 && gears->bracket == NULL };
    unsigned n = train->pairs, all = 0;

    memset(a.other.idler, 0, sizeof a.other.idler);
    for (size_t i = 0; i < gears->n; i++)
        a.left += gears->left[i];
    for (unsigned w = 0; w < ways; w++)
        way[w].fitting = 0;
    for (unsigned i = 0; i < order_count[n]; i++) {
        if (is_repeat(train->driver, n, i))
            continue;
        put_order(a.other.driver, train->driver, n, i);
        for (unsigned j = 0; j < order_count[n]; j++) {
            if (is_repeat(train->driven, n, j))
                continue;
            put_order(a.other.driven, train->driven, n, j);
            if (last_multiple != 0 && a.other.driven[n - 1] % last_multiple != 0)
                continue;
            try_arrangement(&a, gears);
            all++;
        }
    }
    return all;
}

bool cci_arrange(struct cc_train *train, struct cci_gears *gears, unsigned last_multiple)
{
    struct cci_arranged way;

    cci_arrange_ways(&way, 1, train, gears, last_multiple);
    if (way.fitting > 0)
        *train = way.train;
    return way.fitting > 0;
}

void cci_settle(struct cc_train *train, struct cci_gears *gears, unsigned last_multiple)
{
    gears->any = false;
    if (gears->bracket == NULL || !cci_arrange(train, gears, last_multiple))
        name_idlers(train, gears);
}

/* ---- a head's ---- */

void cci_gears_of_head(struct cci_gears *gears, struct cci_bracket *bracket, const struct cc_train *train,
                      const struct cc_head *head, enum cc_gear_use use)
{
    cci_gears_init(gears, head->gears.at, head->gears.n, head->least_sum, head->most_sum);
    if (cci_bracket_prepare(bracket, &head->bracket, use))
        gears->bracket = bracket;
    cci_gears_take(gears, train);
}

bool cc_train_fits(struct cc_fit *fit, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cci_gears gears;
    struct cci_bracket bracket;

    cci_gears_of_head(&gears, &bracket, train, head, use);
    return fits(fit, train, &gears);
}

bool cc_train_arrange(struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cci_gears gears;
    struct cci_bracket bracket;

    cci_gears_of_head(&gears, &bracket, train, head, use);
    if (!cci_arrange(train, &gears, 0))
        return false;
    name_idlers(train, &gears);
    return true;
}

bool cc_train_name_idlers(struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cci_gears gears;
    struct cci_bracket bracket;

    cci_gears_of_head(&gears, &bracket, train, head, use);
    return name_idlers(train, &gears);
}

void cc_train_arrangements(unsigned *all, unsigned *fitting, const struct cc_train *train, const struct cc_head *head,
                           enum cc_gear_use use)
{
    struct cci_gears gears;
    struct cci_bracket bracket;
    struct cci_arranged way;

    cci_gears_of_head(&gears, &bracket, train, head, use);
    *all = cci_arrange_ways(&way, 1, train, &gears, 0);
    *fitting = way.fitting;
}

size_t cc_unfit_str(char *buf, size_t size, const struct cc_fit *fit, const struct cc_train *would)
{
    char other[120] = "";
    size_t used = 0;

    for (unsigned i = 0; would != NULL && i < 2 * would->pairs; i++)
        used += (size_t)snprintf(other + used, sizeof other - used, "%s%u", i == 0 ? "; drivers " : i == would->pairs ? ", driven " : ",",
                                 i < would->pairs ? would->driver[i] : would->driven[i - would->pairs]);
    int n = snprintf(buf, size, "%s%s%s", cc_fit_key_why(fit->key), other, would != NULL ? " would do" : "");
    return n < 0 ? 0 : (size_t)n;
}

bool cc_fit_is_barely(const struct cc_fit *fit, const struct cc_head *head)
{
    return fit->margin < head->bracket.module / 100;
}

bool cc_train_place(struct cc_placing *placing, const struct cc_train *train, const struct cc_head *head, enum cc_gear_use use)
{
    struct cci_bracket bracket;
    struct cci_posts posts;
    uint64_t margin = UINT64_MAX;

    if (train->pairs == 0 || train->idlers > CC_NAMED_IDLERS || !cci_bracket_prepare(&bracket, &head->bracket, use) ||
        bracket.stated->module == 0 || bracket.high == 0)
        return false;
    cci_posts_of(&posts, &bracket, train);
    if ((bracket.pivot == CCI_ANYWHERE && posts.n > 3) || cci_places_fail(&margin, &bracket, &posts) != CC_FIT_NOTHING)
        return false;
    placing->n = posts.n;
    for (unsigned i = 0; i < posts.n; i++) {
        unsigned at = bracket.pivot == CCI_ON_FIRST ? i : posts.n - 1 - i;
        struct cc_post *post = &placing->post[at];
        uint64_t near = i == 0 ? 0 : cci_post_distance(&posts, 0, i) / 2;
        uint64_t far = i + 1 == posts.n ? 0 : cci_post_distance(&posts, i, posts.n - 1) / 2;
        post->from_first = bracket.pivot == CCI_ON_FIRST ? near : far;
        post->from_last = bracket.pivot == CCI_ON_FIRST ? far : near;
        memcpy(post->tooth, posts.tooth[i], sizeof post->tooth);
    }
    return true;
}
