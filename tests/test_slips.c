/*
 * test_slips.c: a simulated machinist who slips. Random jobs on every shipped head are gone through movement by movement in
 * the hands' terms, one slip made on the way; what could be seen then is reported, sometimes less of it, sometimes more.
 * The slip made must be among the answers. On short jobs every slip at every movement before every row is simulated, and
 * those whose outcome agrees with the report must be the answers, no more, with as many ways each; on long ones answers
 * are drawn and simulated. The simulation adds up turns and holes and knows nothing of congruences.
 */
#define _POSIX_C_SOURCE 200809L
#include <glob.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/crankcard.h"
#include "lost.h"
#include "support.h"

/* ---- the job as the hands make it ---- */

struct move {
    long turns, holes, holes2;
    unsigned long hole, hole2;      /* where the card says it lands */
};

struct bench {
    const struct cc_head *head;
    const struct cc_plan *plan;
    const struct cc_request *request;
    struct move *move;              /* to row 0, 1, ... */
    mpq_t *angle;                   /* of each row by the plan */
    mpq_t *cut;                     /* and as the hands made it */
    unsigned long rows, room;
    bool vernier, list;
};

struct lapse {                      /* one slip */
    enum cc_slip_kind kind;
    long by;
    unsigned circle;
    unsigned long k, row;
};

struct outcome {
    unsigned circle;
    unsigned long hole, hole2;
    long pin, plate;                /* in all; of a vernier the number of its pin */
    mpq_t angle;
};

static unsigned long modulo(long n, long m)
{
    return (unsigned long)(((n % m) + m) % m);
}

static long sign_of(long n)
{
    return (n > 0) - (n < 0);
}

static void bench_clear(struct bench *bench)
{
    for (unsigned long i = 0; i < bench->room; i++) {
        mpq_clear(bench->angle[i]);
        mpq_clear(bench->cut[i]);
    }
    free(bench->angle);
    free(bench->cut);
    free(bench->move);
}

static void bench_room(struct bench *bench, unsigned long room)
{
    if (room <= bench->room)
        return;
    bench->move = realloc(bench->move, room * sizeof *bench->move);
    bench->angle = realloc(bench->angle, room * sizeof *bench->angle);
    bench->cut = realloc(bench->cut, room * sizeof *bench->cut);
    assert_true(bench->move != NULL && bench->angle != NULL && bench->cut != NULL);
    for (; bench->room < room; bench->room++) {
        mpq_init(bench->angle[bench->room]);
        mpq_init(bench->cut[bench->room]);
    }
}

/* n / (a b) added to sum. */
static void add_part(mpq_t sum, long n, unsigned long a, unsigned long b)
{
    mpq_t part;

    mpq_init(part);
    mpz_set_si(mpq_numref(part), n);
    mpz_set_ui(mpq_denref(part), a);
    mpz_mul_ui(mpq_denref(part), mpq_denref(part), b);
    mpq_canonicalize(part);
    mpq_add(sum, sum, part);
    mpq_clear(part);
}

static bool moves_pin(const struct bench *bench, unsigned long j)
{
    return bench->move[j].turns != 0 || bench->move[j].holes != 0;
}

/* Where the arms stood for the movements before k; 0: at none. */
static long arms_before(const struct bench *bench, unsigned long k)
{
    while (k-- > 0)
        if (bench->move[k].holes != 0)
            return labs(bench->move[k].holes);
    return 0;
}

static bool is_dial(const struct bench *bench)
{
    return cc_plan_is_dial(bench->plan);
}

/* Parts of the dial from one of its lines to the next. */
static long dial_line(const struct bench *bench)
{
    return (long)(bench->plan->circle / bench->plan->dial.lines);
}

/* Go through the job with the slip (NULL: without one) up to a row. Returns false where it cannot be made so. */
static bool simulate(struct outcome *out, struct bench *bench, const struct lapse *lapse, unsigned long row)
{
    const struct cc_plan *plan = bench->plan;
    bool direct = cc_plan_is_direct(plan);
    long pin = 0, plate = 0, pin_number = 0, circle = (long)plan->circle;
    mpq_t crank;

    mpq_init(crank);
    bool made = lapse == NULL, up_to_reading = false;
    for (unsigned long j = 0; j <= row; j++) {
        struct move m = bench->move[j];
        long sign = sign_of(m.turns != 0 ? m.turns : m.holes);
        bool here = lapse != NULL && lapse->k == j, twice = false, none = false;
        if (here && lapse->kind == CC_SLIP_CIRCLE) {
            made = pin % circle == 0;
            pin = pin / circle * (long)lapse->circle;
            circle = (long)lapse->circle;
        } else if (here && lapse->kind == CC_SLIP_HOLE) {
            made = sign != 0;
            m.holes += lapse->by * sign * (long)(plan->detent > 1 ? plan->detent : 1);
        } else if (here && lapse->kind == CC_SLIP_HOLE2 && !bench->vernier) {
            made = m.holes2 != 0;
            m.holes2 += lapse->by * sign_of(m.holes2);
        } else if (here && lapse->kind == CC_SLIP_HOLE2) {
            long used = (long)m.hole2 + lapse->by;
            made = j == row && used >= 0 && used < (long)(plan->unit / plan->circle);
            m.hole2 = (unsigned long)used;
        } else if (here && (lapse->kind == CC_SLIP_LINE || lapse->kind == CC_SLIP_VERNIER)) {
            made = sign != 0;
            m.holes += lapse->by * dial_line(bench) / (lapse->kind == CC_SLIP_LINE ? 1 : (long)plan->dial.vernier);
        } else if (here && lapse->kind == CC_SLIP_TURN) {
            made = !direct && sign != 0 && (lapse->by > 0 || m.turns != 0);
            m.turns += lapse->by * sign;
        } else if (here && lapse->kind == CC_SLIP_TWICE) {
            made = is_dial(bench) ? m.turns != 0 : sign != 0 || (m.holes2 != 0 && !bench->vernier);
            twice = true;
        } else if (here && lapse->kind == CC_SLIP_LEFT_OUT) {
            made = sign != 0 || (m.holes2 != 0 && (!bench->vernier || j == row));
            none = true;
        } else if (here && lapse->kind == CC_SLIP_PART) {
            made = sign != 0 && m.holes2 != 0 && cc_plan_is_compound(plan);
            if (lapse->by == 1)
                m.turns = m.holes = 0;
            else
                m.holes2 = 0;
        } else if (here && lapse->kind == CC_SLIP_ARMS) {
            long before = arms_before(bench, j);
            made = !direct && before != 0 && m.holes != 0 && sign * before - m.holes == lapse->by;
            m.holes = sign * before;
        } else if (lapse != NULL && lapse->kind == CC_SLIP_COUNT && j >= lapse->k) {
            made = made || sign != 0;
            m.holes += lapse->by * sign;
        }
        if (is_dial(bench) && (twice || up_to_reading)) {       /* whole turns, and on until the dial reads what the row says */
            if (twice)
                pin += m.turns * circle + m.holes;
            long from = pin;
            for (pin += m.turns * circle; modulo(pin, circle) != m.hole; )
                pin += sign < 0 ? -1 : 1;
            add_part(crank, pin - from + (twice ? m.turns * circle + m.holes : 0), (unsigned long)circle, 1);
            twice = false;
            none = true;
        }
        up_to_reading = is_dial(bench) && here && lapse->kind == CC_SLIP_LEFT_OUT;
        for (int i = none ? 2 : twice ? 0 : 1; i < 2; i++) {
            pin += m.turns * circle + m.holes;
            plate += m.holes2;
            add_part(crank, m.turns * circle + m.holes, (unsigned long)circle, 1);
        }
        if (!none)
            pin_number = (long)m.hole2;
        mpq_set(bench->cut[j], crank);
        if (bench->vernier)
            add_part(bench->cut[j], pin_number, plan->circle, (unsigned long)(plan->unit / plan->circle));
        else if (plan->circle2 > 0)
            add_part(bench->cut[j], plate, plan->circle2, 1);
        mpq_div(bench->cut[j], bench->cut[j], plan->ratio);
    }
    mpq_clear(crank);
    if (!made)
        return false;
    out->pin = pin;
    out->plate = bench->vernier ? pin_number : plate;
    out->circle = (unsigned)circle;
    out->hole = modulo(pin, circle);
    out->hole2 = bench->vernier ? (unsigned long)pin_number : plan->circle2 > 0 ? modulo(plate, (long)plan->circle2) : 0;
    mpq_set(out->angle, bench->cut[row]);
    return true;
}

static void bench_fill(struct bench *bench, const struct cc_head *head, const struct cc_plan *plan, const struct cc_request *request)
{
    struct cc_cursor cursor;
    struct cc_step step;
    struct outcome out;

    bench->head = head;
    bench->plan = plan;
    bench->request = request;
    bench->vernier = cc_plan_is_vernier(plan);
    bench->list = request->position_count > 0;
    bench->rows = (unsigned long)plan->steps + 1;
    bench_room(bench, bench->rows);
    cc_step_init(&step);
    cc_cursor_init(&cursor, plan, request);
    for (unsigned long i = 0; cc_cursor_next(&cursor, &step); i++)
        bench->move[i] = (struct move){ (long)step.turns, (long)step.holes, (long)step.holes2, (unsigned long)step.hole,
                                        (unsigned long)step.hole2 };
    cc_cursor_clear(&cursor);
    cc_step_clear(&step);
    mpq_init(out.angle);
    assert_true(simulate(&out, bench, NULL, bench->rows - 1));
    for (unsigned long i = 0; i < bench->rows; i++)
        mpq_set(bench->angle[i], bench->cut[i]);
    mpq_clear(out.angle);
}

/* ---- what is seen ---- */

static bool within(const mpq_t a, const mpq_t b, const mpq_t most)
{
    mpq_t apart, rest;

    mpq_init(apart);
    mpq_init(rest);
    mpq_sub(apart, a, b);
    mpz_fdiv_r(mpq_numref(apart), mpq_numref(apart), mpq_denref(apart));
    mpq_set_ui(rest, 1, 1);
    mpq_sub(rest, rest, apart);
    bool near = mpq_cmp(apart, most) <= 0 || mpq_cmp(rest, most) <= 0;
    mpq_clear(rest);
    mpq_clear(apart);
    return near;
}

static int compare_mpq(const void *a, const void *b)
{
    return mpq_cmp(*(const mpq_t *)a, *(const mpq_t *)b);
}

/* Places that show a cut: rows first ... last but the one left out, those from apart on not coming where one before does. */
static unsigned long places_cut(const struct bench *bench, long last, long left_out, unsigned long apart)
{
    static mpq_t *sorted;
    static size_t room;
    unsigned long n = 0, places = 0;
    long first = bench->list ? 1 : 0, end = bench->plan->has_closing ? (long)bench->plan->steps - 1 : (long)bench->plan->steps;

    if (room < bench->room) {
        sorted = realloc(sorted, bench->room * sizeof *sorted);
        for (; room < bench->room; room++)
            mpq_init(sorted[room]);
    }
    for (long i = first; i <= last && i <= end; i++) {
        if (i == left_out)
            continue;
        mpq_set(sorted[n], bench->cut[i]);
        mpz_fdiv_r(mpq_numref(sorted[n]), mpq_numref(sorted[n]), mpq_denref(sorted[n]));
        if ((unsigned long)i >= apart) {
            mpq_t away;
            mpq_init(away);
            mpq_set_ui(away, 2, 1);
            mpq_add(sorted[n], sorted[n], away);
            mpq_clear(away);
        }
        n++;
    }
    qsort(sorted, n, sizeof *sorted, compare_mpq);
    for (unsigned long i = 0; i < n; i++)
        places += i == 0 || !mpq_equal(sorted[i], sorted[i - 1]);
    return places;
}

/* Whether the count agrees, the row that stands cut or not yet. bench->cut is as the hands made it. */
static bool count_agrees(const struct bench *bench, const struct cc_seen *seen, unsigned long row, long left_out, unsigned long apart)
{
    if (!seen->has_cuts)
        return true;
    if (places_cut(bench, (long)row, left_out, apart) == seen->cuts)
        return true;
    if (bench->plan->has_closing && row == bench->plan->steps)
        return false;
    return places_cut(bench, (long)row - 1, left_out, apart) == seen->cuts;
}

static bool row_agrees(const struct cc_seen *seen, unsigned long row)
{
    return (!seen->has_row || row == seen->row) && (!seen->has_last || row >= seen->last) && (!seen->has_right || row >= seen->right);
}

static bool pins_agree(const struct bench *bench, const struct cc_seen *seen, const struct outcome *out)
{
    if (seen->pin_circle != 0 && seen->pin_circle != out->circle)
        return false;
    if (seen->has_hole && (seen->hole >= out->circle || modulo((long)out->hole - (long)seen->hole, (long)out->circle) > seen->more_holes))
        return false;
    return !seen->has_hole2 || (bench->plan->circle2 != 0 && seen->hole2 == out->hole2);
}

/* The outcome of a slip that moves pins, against all that is seen. */
static bool agrees(struct bench *bench, const struct cc_seen *seen, const struct lapse *lapse)
{
    struct outcome out;
    bool good = false;

    if (!row_agrees(seen, lapse->row) || (seen->has_right && lapse->k <= seen->right))
        return false;
    mpq_init(out.angle);
    if (simulate(&out, bench, lapse, lapse->row))
        good = pins_agree(bench, seen, &out) &&
               (!seen->has_reading || within(out.angle, seen->reading, seen->uncertainty)) &&
               count_agrees(bench, seen, lapse->row, -1, ULONG_MAX);
    mpq_clear(out.angle);
    return good;
}

/* ---- every slip there is ---- */

/* 1/d of a crank turn more than the uncertainty. */
static void wider(mpq_t give, const struct bench *bench, const struct cc_seen *seen, unsigned long d)
{
    mpq_set_ui(give, 1, d);
    mpq_div(give, give, bench->plan->ratio);
    mpq_add(give, give, seen->uncertainty);
}

/* What stands for the number of the hole can slip: the plate, or a dial that can be set. */
static bool can_slip(const struct bench *bench, bool dial)
{
    return dial ? is_dial(bench) && !bench->plan->dial.fixed : bench->plan->side != 0;
}

static unsigned long first_movement(const struct bench *bench)
{
    return moves_pin(bench, 0) || bench->move[0].holes2 != 0 ? 0 : 1;
}

/* The plate moved and the pin put back: holes that are wrong, a spindle that is right within half a hole. */
static bool plate_stood(struct bench *bench, const struct cc_seen *seen, unsigned long row, bool dial)
{
    const struct move *m = &bench->move[row];
    mpq_t give;

    if (!row_agrees(seen, row) || !can_slip(bench, dial) || (!seen->has_hole && !seen->has_hole2) || (!seen->has_reading && !seen->has_row) ||
        (seen->pin_circle != 0 && seen->pin_circle != bench->plan->circle))
        return false;
    if ((!seen->has_hole || modulo((long)m->hole - (long)seen->hole, (long)bench->plan->circle) <= seen->more_holes) && (!seen->has_hole2 || seen->hole2 == m->hole2))
        return false;
    mpq_init(give);
    wider(give, bench, seen, 2UL * bench->plan->circle);
    bool good = !seen->has_reading || within(bench->angle[row], seen->reading, give);
    mpq_clear(give);
    for (unsigned long i = 0; i <= row; i++)
        mpq_set(bench->cut[i], bench->angle[i]);
    return good && count_agrees(bench, seen, row, -1, ULONG_MAX);
}

static bool plate_moved_on(struct bench *bench, const struct cc_seen *seen, unsigned long row, unsigned long k, bool dial)
{
    struct outcome out = { .circle = bench->plan->circle, .hole = bench->move[row].hole, .hole2 = bench->move[row].hole2 };
    mpq_t give;

    if (!row_agrees(seen, row) || !can_slip(bench, dial) || (!seen->has_hole && !seen->has_hole2) || (!seen->has_reading && !seen->has_row) ||
        k < first_movement(bench) || (seen->has_right && k <= seen->right) || !pins_agree(bench, seen, &out))
        return false;
    mpq_init(give);
    wider(give, bench, seen, 1);
    bool good = !seen->has_reading || within(bench->angle[row], seen->reading, give);
    mpq_clear(give);
    for (unsigned long i = 0; i <= row; i++)
        mpq_set(bench->cut[i], bench->angle[i]);
    return good && count_agrees(bench, seen, row, -1, k);
}

/* The reading is right, the spindle off by the backlash: the last cut alone. */
static bool came_from_behind(struct bench *bench, const struct cc_seen *seen, unsigned long row, unsigned long k)
{
    struct outcome out = { .circle = bench->plan->circle, .hole = bench->move[row].hole };
    mpq_t give;

    if (!is_dial(bench) || k != row || !row_agrees(seen, row) || !seen->has_hole || k < first_movement(bench) ||
        (seen->has_right && k <= seen->right) || !pins_agree(bench, seen, &out))
        return false;
    mpq_init(give);
    wider(give, bench, seen, 10);
    bool good = !seen->has_reading || within(bench->angle[row], seen->reading, give);
    mpq_clear(give);
    for (unsigned long i = 0; i <= row; i++)
        mpq_set(bench->cut[i], bench->angle[i]);
    return good && count_agrees(bench, seen, row, -1, k);
}

static bool not_cut(struct bench *bench, const struct cc_seen *seen, unsigned long row, unsigned long k)
{
    struct outcome out;
    bool good = false;

    if (!seen->has_cuts || !row_agrees(seen, row) || (seen->has_right && k <= seen->right) || k >= row || (bench->list && k == 0))
        return false;
    mpq_init(out.angle);
    if (simulate(&out, bench, NULL, row))
        good = pins_agree(bench, seen, &out) && (!seen->has_reading || within(out.angle, seen->reading, seen->uncertainty)) &&
               count_agrees(bench, seen, row, (long)k, ULONG_MAX);
    mpq_clear(out.angle);
    return good;
}

static bool any_agrees(struct bench *bench, const struct cc_seen *seen, const struct lapse *lapse)
{
    switch (lapse->kind) {
    case CC_SLIP_PLATE: case CC_SLIP_DIAL:
        return plate_stood(bench, seen, lapse->row, lapse->kind == CC_SLIP_DIAL);
    case CC_SLIP_PLATE_ON: case CC_SLIP_DIAL_ON:
        return plate_moved_on(bench, seen, lapse->row, lapse->k, lapse->kind == CC_SLIP_DIAL_ON);
    case CC_SLIP_BACKLASH:
        return came_from_behind(bench, seen, lapse->row, lapse->k);
    case CC_SLIP_NOT_CUT:
        return not_cut(bench, seen, lapse->row, lapse->k);
    default:
        return agrees(bench, seen, lapse);
    }
}

/* The circles beside the pin's on its side, or the plunger's. */
static void neighbours(unsigned beside[2], const struct bench *bench)
{
    const struct cc_plan *plan = bench->plan;
    const struct cc_counts *circles = plan->side == 0 ? &bench->head->direct : &bench->head->plates[plan->plate].side[plan->side - 1];

    beside[0] = beside[1] = 0;
    for (size_t i = 0; !bench->vernier && !cc_plan_is_dial(plan) && plan->detent <= 1 && i < circles->n; i++) {
        if (circles->at[i] < plan->circle && circles->at[i] > beside[0])
            beside[0] = circles->at[i];
        if (circles->at[i] > plan->circle && (beside[1] == 0 || circles->at[i] < beside[1]))
            beside[1] = circles->at[i];
    }
}

/* Holes beyond whole turns that are counted each time: of rounded divisions at the commoner movement. */
static long holes_counted(const struct bench *bench)
{
    int64_t turns, holes, holes2;

    if (bench->plan->constant && !bench->vernier)
        return labs(bench->move[1].holes);
    cc_plan_rounded_movement(&turns, &holes, &holes2, bench->plan, cc_plan_usual_is_larger(bench->plan));
    return labs((long)holes);
}

/* Whether slips.h knows such a slip at all, apart from what the movement allows. */
static bool is_known(const struct bench *bench, const struct lapse *lapse)
{
    long holes = bench->list ? 0 : holes_counted(bench);
    unsigned long moved = 0;

    if (lapse->kind == CC_SLIP_CIRCLE) {
        for (unsigned long j = lapse->k; j <= lapse->row; j++)
            moved += (unsigned long)labs(bench->move[j].holes);
        return moved > 0 && lapse->k >= (moves_pin(bench, 0) ? 0 : 1);
    }
    if (lapse->kind == CC_SLIP_HOLE)
        return !is_dial(bench);
    if (lapse->kind == CC_SLIP_LINE || lapse->kind == CC_SLIP_VERNIER)
        return is_dial(bench) && lapse->k == lapse->row && (lapse->kind == CC_SLIP_LINE || bench->plan->dial.vernier > 1);
    if (lapse->kind != CC_SLIP_COUNT)
        return true;
    if (cc_plan_is_dial(bench->plan) || bench->plan->detent > 1 || lapse->k < 1)
        return false;
    for (unsigned long j = lapse->k; j <= lapse->row; j++)
        moved += moves_pin(bench, j);
    if (bench->list)
        return labs(lapse->by) == 1 && moves_pin(bench, lapse->k) && moved >= 2;
    if (holes + lapse->by < 0 || holes + lapse->by >= (long)bench->plan->circle)
        return false;
    return lapse->k == 1 ? moved >= (labs(lapse->by) == 1 ? 2 : 1) : labs(lapse->by) <= 2 && moved >= 2 && moves_pin(bench, lapse->k);
}

/* ---- answers held against simulations ---- */

struct found {              /* one answer as the simulation has it */
    struct lapse lapse;     /* k is left out where it is one of several ways */
    long pin, plate;        /* what it does, for slips made once */
    unsigned long first, last, ways;
    bool answered;
};

struct founds {
    struct found *at;
    size_t n, room;
};

/* The pins, or the crank, were moved amiss: not a plate or a dial, not a cut left out. */
static bool is_made_by_hand(enum cc_slip_kind kind)
{
    return kind < CC_SLIP_PLATE || kind == CC_SLIP_VERNIER || kind == CC_SLIP_LINE;
}

static bool is_since(enum cc_slip_kind kind)
{
    return kind == CC_SLIP_COUNT || kind == CC_SLIP_CIRCLE;
}

/* What a slip made once does in holes: the difference of pins and plate in all. */
static void effect_of(long *pin, long *plate, struct bench *bench, const struct lapse *lapse)
{
    struct outcome with, without;

    *pin = *plate = 0;
    if (is_since(lapse->kind) || !is_made_by_hand(lapse->kind))
        return;
    mpq_init(with.angle);
    mpq_init(without.angle);
    if (simulate(&without, bench, NULL, lapse->row) && simulate(&with, bench, lapse, lapse->row)) {
        *pin = with.pin - without.pin;
        *plate = with.plate - without.plate;
    }
    mpq_clear(without.angle);
    mpq_clear(with.angle);
}

static struct found *find_found(struct founds *founds, const struct lapse *lapse, long pin, long plate)
{
    for (size_t i = 0; i < founds->n; i++) {
        struct found *f = &founds->at[i];
        if (f->lapse.kind == lapse->kind && f->lapse.by == lapse->by && f->lapse.row == lapse->row && f->lapse.circle == lapse->circle &&
            f->pin == pin && f->plate == plate && (!is_since(lapse->kind) || f->first == lapse->k))
            return f;
    }
    return NULL;
}

static void note_found(struct founds *founds, struct bench *bench, const struct lapse *lapse)
{
    long pin, plate;

    effect_of(&pin, &plate, bench, lapse);
    struct found *f = find_found(founds, lapse, pin, plate);
    if (f == NULL) {
        if (founds->n == founds->room) {
            founds->room = 2 * founds->room + 64;
            founds->at = realloc(founds->at, founds->room * sizeof *founds->at);
            assert_non_null(founds->at);
        }
        f = &founds->at[founds->n++];
        *f = (struct found){ *lapse, pin, plate, lapse->k, lapse->k, 0, false };
    }
    f->last = lapse->k;
    f->ways++;
}

/* Whether all stays where it was: no slip at all. */
static bool does_nothing(struct bench *bench, const struct lapse *lapse)
{
    long pin, plate;
    mpq_t way;

    if (is_since(lapse->kind) || !is_made_by_hand(lapse->kind))
        return false;
    effect_of(&pin, &plate, bench, lapse);
    mpq_init(way);
    add_part(way, pin, bench->plan->circle, 1);
    if (plate != 0)
        add_part(way, plate, bench->plan->circle2, 1);
    mpq_div(way, way, bench->plan->ratio);
    bool still = mpz_cmp_ui(mpq_denref(way), 1) == 0 && modulo(pin, (long)bench->plan->circle) == 0 &&
                 (plate == 0 || modulo(plate, bench->vernier ? (long)(bench->plan->unit / bench->plan->circle) : (long)bench->plan->circle2) == 0);
    mpq_clear(way);
    return still;
}

static void try_lapse(struct founds *founds, struct bench *bench, const struct cc_seen *seen, struct lapse lapse)
{
    if (is_known(bench, &lapse) && !does_nothing(bench, &lapse) && any_agrees(bench, seen, &lapse))
        note_found(founds, bench, &lapse);
}

/* Every slip that agrees, up to those whose k and row are tried. */
static void try_all(struct founds *founds, struct bench *bench, const struct cc_seen *seen)
{
    static const struct { enum cc_slip_kind kind; int by; } once[] = {
        { CC_SLIP_HOLE, 1 }, { CC_SLIP_HOLE, -1 }, { CC_SLIP_HOLE2, 1 }, { CC_SLIP_HOLE2, -1 }, { CC_SLIP_TURN, 1 }, { CC_SLIP_TURN, -1 },
        { CC_SLIP_TWICE, 1 }, { CC_SLIP_LEFT_OUT, 1 }, { CC_SLIP_PART, 1 }, { CC_SLIP_PART, 2 }, { CC_SLIP_PLATE, 0 },
        { CC_SLIP_PLATE_ON, 0 }, { CC_SLIP_NOT_CUT, 0 }, { CC_SLIP_VERNIER, 1 }, { CC_SLIP_VERNIER, -1 }, { CC_SLIP_LINE, 1 },
        { CC_SLIP_LINE, -1 }, { CC_SLIP_DIAL, 0 }, { CC_SLIP_DIAL_ON, 0 }, { CC_SLIP_BACKLASH, 0 },
    };
    unsigned circle = bench->plan->circle, beside[2];

    neighbours(beside, bench);
    for (unsigned long row = 0; row < bench->rows; row++) {
        if (!row_agrees(seen, row))
            continue;
        for (unsigned long k = 0; k <= row; k++) {
            for (size_t i = 0; i < sizeof once / sizeof once[0]; i++) {
                if ((once[i].kind == CC_SLIP_PLATE || once[i].kind == CC_SLIP_DIAL) && seen->has_right && k <= seen->right && k != row)
                    continue;       /* it stood at any row since, the one that stands too */
                if (once[i].kind == CC_SLIP_HOLE2 && bench->plan->circle2 == 0)
                    continue;
                try_lapse(founds, bench, seen, (struct lapse){ once[i].kind, once[i].by, circle, k, row });
            }
            if (bench->list && bench->plan->side != 0 && bench->plan->detent <= 1 && bench->move[k].holes != 0)
                try_lapse(founds, bench, seen, (struct lapse){ CC_SLIP_ARMS, sign_of(bench->move[k].holes) * arms_before(bench, k) -
                                                               bench->move[k].holes, circle, k, row });
            for (int i = 0; i < 2; i++)
                if (beside[i] != 0)
                    try_lapse(founds, bench, seen, (struct lapse){ CC_SLIP_CIRCLE, (long)beside[i] - (long)circle, beside[i], k, row });
            for (long by = -(long)circle + 1; by < (long)circle && !is_dial(bench); by++)
                if (by != 0 && (k == 1 || labs(by) <= 2))
                    try_lapse(founds, bench, seen, (struct lapse){ CC_SLIP_COUNT, by, circle, k, row });
        }
    }
}

static void describe(char *buf, size_t size, const struct lapse *lapse)
{
    snprintf(buf, size, "%s by %ld, circle %u, row %lu, at %lu", cc_hand_slip_name(lapse->kind), lapse->by, lapse->circle, lapse->row, lapse->k);
}

static struct lapse lapse_of(const struct cc_hand_slip *slip)
{
    return (struct lapse){ slip->kind, (long)slip->by, slip->circle, (unsigned long)slip->first, (unsigned long)slip->row };
}

/* The way back must lead from where the slip leaves the hands to where the row belongs; shift is exact. */
static void check_way_back(struct bench *bench, const struct cc_hand_slip *slip, const char *where)
{
    struct lapse lapse = lapse_of(slip);
    struct outcome out;
    mpq_t shift;
    char said[200];

    if (!slip->has_row || !is_made_by_hand(slip->kind))
        return;
    describe(said, sizeof said, &lapse);
    mpq_init(out.angle);
    mpq_init(shift);
    if (!simulate(&out, bench, &lapse, lapse.row))
        fail_msg("%s: %s cannot be made", where, said);
    mpq_sub(shift, out.angle, bench->angle[lapse.row]);
    if (!mpq_equal(shift, slip->shift))
        fail_msg("%s: %s: the shift is wrong", where, said);
    mpq_mul(shift, shift, bench->plan->ratio);
    mpq_neg(shift, shift);
    if (!mpq_equal(shift, slip->back))
        fail_msg("%s: %s: the way back is wrong", where, said);
    if (slip->hole != bench->move[lapse.row].hole || slip->hole2 != bench->move[lapse.row].hole2)
        fail_msg("%s: %s: the row does not belong in those holes", where, said);
    if (slip->kind != CC_SLIP_CIRCLE && modulo((long)out.hole + (long)slip->pin, (long)bench->plan->circle) != slip->hole)
        fail_msg("%s: %s: the way back does not end in the row's hole", where, said);
    mpq_clear(shift);
    mpq_clear(out.angle);
}

struct tally {
    unsigned long jobs, slips[CC_SLIPS], answers, whole, drawn, short_of, by_method[CC_METHODS];
};

static void check_order(const struct cc_hand_slips *slips, const char *where)
{
    for (size_t i = 1; i < slips->n; i++)
        if (slips->at[i].odds > slips->at[i - 1].odds)
            fail_msg("%s: a likelier slip stands behind", where);
}

/* Both lists are the same; answers of one kind, row and effect count together. */
static void check_whole(struct founds *founds, const struct cc_hand_slips *slips, const char *where)
{
    char said[200];

    for (size_t i = 0; i < slips->n; i++) {
        const struct cc_hand_slip *slip = &slips->at[i];
        struct lapse lapse = lapse_of(slip);
        if (!slip->has_row)
            continue;
        describe(said, sizeof said, &lapse);
        bool once = is_made_by_hand(slip->kind) && !is_since(slip->kind);
        struct found *f = find_found(founds, &lapse, once ? -(long)slip->pin : 0, once ? -(long)slip->plate : 0);
        if (f == NULL)
            fail_msg("%s: %s is answered and does not fit", where, said);
        if (slip->ways > f->ways || slip->first < f->first || slip->last > f->last)
            fail_msg("%s: %s: %lu ways from %lu to %lu, %llu from %llu to %llu answered", where, said, f->ways, f->first, f->last,
                     (unsigned long long)slip->ways, (unsigned long long)slip->first, (unsigned long long)slip->last);
        f->ways -= (unsigned long)slip->ways;
        f->answered = true;
    }
    for (size_t i = 0; i < founds->n; i++) {
        describe(said, sizeof said, &founds->at[i].lapse);
        if (!founds->at[i].answered || founds->at[i].ways != 0)
            fail_msg("%s: %s fits and is not answered, or %lu of its ways", where, said, founds->at[i].ways);
    }
}

/* One of many answers: some movement of those it names must lead to what is seen. */
static void check_answer(struct bench *bench, const struct cc_seen *seen, const struct cc_hand_slip *slip, const char *where)
{
    struct lapse lapse = lapse_of(slip);
    unsigned long ways = 0;
    char said[200];

    if (!slip->has_row)
        return;
    describe(said, sizeof said, &lapse);
    for (lapse.k = (unsigned long)slip->first; lapse.k <= slip->last && ways == 0; lapse.k++)
        ways += is_known(bench, &lapse) && any_agrees(bench, seen, &lapse);
    if (ways == 0)
        fail_msg("%s: %s is answered and does not fit", where, said);
}

static bool has_lapse(const struct cc_hand_slips *slips, const struct lapse *lapse)
{
    for (size_t i = 0; i < slips->n; i++) {
        const struct cc_hand_slip *slip = &slips->at[i];
        if (slip->kind == lapse->kind && !slip->has_row)
            return true;
        if (!slip->has_row && ((slip->kind == CC_SLIP_PLATE && lapse->kind == CC_SLIP_PLATE_ON) ||
                               (slip->kind == CC_SLIP_DIAL && lapse->kind == CC_SLIP_DIAL_ON)))
            return true;
        if (slip->kind == lapse->kind && slip->by == lapse->by && slip->circle == lapse->circle && slip->row == lapse->row &&
            slip->first <= lapse->k && lapse->k <= slip->last)
            return true;
    }
    return false;
}

/* ---- random slips ---- */

/* Draw a slip that can be made before or at the row. */
static bool draw_lapse(struct lapse *lapse, struct bench *bench, gmp_randstate_t random)
{
    unsigned beside[2];

    *lapse = (struct lapse){ .kind = (enum cc_slip_kind)gmp_urandomm_ui(random, CC_SLIPS), .circle = bench->plan->circle };
    lapse->row = gmp_urandomm_ui(random, bench->rows);
    lapse->k = gmp_urandomm_ui(random, 3) == 0 ? lapse->row : gmp_urandomm_ui(random, lapse->row + 1);
    lapse->by = gmp_urandomm_ui(random, 2) == 0 ? 1 : -1;
    switch (lapse->kind) {
    case CC_SLIP_TWICE: case CC_SLIP_LEFT_OUT:
        lapse->by = 1;
        return true;
    case CC_SLIP_PART:
        lapse->by = 1 + (long)gmp_urandomm_ui(random, 2);
        return true;
    case CC_SLIP_HOLE2:
        return bench->plan->circle2 != 0;
    case CC_SLIP_COUNT:
        if (gmp_urandomm_ui(random, 2) == 0) {
            lapse->k = 1;
            lapse->by = (long)gmp_urandomm_ui(random, 2UL * bench->plan->circle) - (long)bench->plan->circle;
        } else if (gmp_urandomm_ui(random, 2) == 0) {
            lapse->by *= 2;
        }
        return lapse->by != 0 && lapse->k <= lapse->row && is_known(bench, lapse);
    case CC_SLIP_ARMS:
        lapse->by = sign_of(bench->move[lapse->k].holes) * arms_before(bench, lapse->k) - bench->move[lapse->k].holes;
        return bench->list && bench->plan->side != 0 && bench->plan->detent <= 1 && lapse->by != 0;
    case CC_SLIP_CIRCLE:
        neighbours(beside, bench);
        lapse->circle = beside[gmp_urandomm_ui(random, 2)];
        lapse->by = (long)lapse->circle - (long)bench->plan->circle;
        if (gmp_urandomm_ui(random, 2) == 0)
            lapse->k = moves_pin(bench, 0) ? 0 : 1;
        return lapse->circle != 0 && lapse->k <= lapse->row && is_known(bench, lapse);
    case CC_SLIP_PLATE: case CC_SLIP_DIAL:
        lapse->by = 0;
        return can_slip(bench, lapse->kind == CC_SLIP_DIAL);
    case CC_SLIP_PLATE_ON: case CC_SLIP_DIAL_ON:
        lapse->by = 0;
        return can_slip(bench, lapse->kind == CC_SLIP_DIAL_ON) && lapse->k >= first_movement(bench);
    case CC_SLIP_BACKLASH:
        lapse->by = 0;
        lapse->k = lapse->row;
        return is_dial(bench) && lapse->row >= first_movement(bench);
    case CC_SLIP_LINE: case CC_SLIP_VERNIER:
        lapse->k = lapse->row;
        return is_known(bench, lapse);
    case CC_SLIP_HOLE:
        return !is_dial(bench);
    case CC_SLIP_NOT_CUT:
        lapse->by = 0;
        return lapse->k < lapse->row && lapse->k >= (bench->list ? 1 : 0);
    default:
        return true;
    }
}

/* Where the slip leaves the hands, bench->cut as they cut; of what moves by itself a way is drawn. */
static bool make_lapse(struct outcome *out, struct bench *bench, const struct lapse *lapse, gmp_randstate_t random)
{
    bool stood = lapse->kind == CC_SLIP_PLATE || lapse->kind == CC_SLIP_DIAL, on = lapse->kind == CC_SLIP_PLATE_ON || lapse->kind == CC_SLIP_DIAL_ON;
    mpq_t way;

    if (!simulate(out, bench, is_made_by_hand(lapse->kind) ? lapse : NULL, lapse->row))
        return false;
    if (is_made_by_hand(lapse->kind) || lapse->kind == CC_SLIP_NOT_CUT)
        return true;
    mpq_init(way);
    mpq_set_si(way, (long)gmp_urandomm_ui(random, 2001) - 1000, 1000);     /* of a crank turn */
    if (stood) {
        out->hole = gmp_urandomm_ui(random, bench->plan->circle);
        mpz_mul_ui(mpq_denref(way), mpq_denref(way), 2UL * bench->plan->circle);
    } else if (lapse->kind == CC_SLIP_BACKLASH) {
        mpq_set_si(way, -(long)gmp_urandomm_ui(random, 101), 1000);
    }
    mpq_canonicalize(way);
    mpq_div(way, way, bench->plan->ratio);
    mpq_add(out->angle, out->angle, way);
    for (unsigned long i = lapse->k; !stood && i <= lapse->row; i++)
        mpq_add(bench->cut[i], bench->cut[i], way);
    mpq_clear(way);
    return on || lapse->kind == CC_SLIP_BACKLASH || out->hole != bench->move[lapse->row].hole;
}

/* What is told of it: pins often, the scale roughly, sometimes the row, what was right before, how many places are cut. */
static void report(struct cc_seen *seen, struct bench *bench, const struct lapse *lapse, const struct outcome *out,
                   gmp_randstate_t random)
{
    bool itself = !is_made_by_hand(lapse->kind), uncut = lapse->kind == CC_SLIP_NOT_CUT, apart = itself && lapse->kind != CC_SLIP_PLATE && lapse->kind != CC_SLIP_DIAL && !uncut;
    mpq_t error;

    seen->has_hole = itself || gmp_urandomm_ui(random, 5) > 0;
    seen->hole = out->hole;
    if (is_dial(bench) && !itself && gmp_urandomm_ui(random, 4) == 0) {  /* its line alone was read */
        seen->more_holes = (unsigned)dial_line(bench) - 1;
        seen->hole -= seen->hole % (unsigned long)dial_line(bench);
    }
    seen->has_hole2 = bench->plan->circle2 != 0 && (lapse->kind == CC_SLIP_HOLE2 || gmp_urandomm_ui(random, 3) > 0);
    seen->hole2 = out->hole2;
    seen->has_reading = gmp_urandomm_ui(random, 4) > 0 || (!seen->has_hole && !seen->has_hole2);
    mpq_set_ui(seen->uncertainty, gmp_urandomm_ui(random, 300), 36000);
    mpq_canonicalize(seen->uncertainty);
    mpq_init(error);
    mpq_set_si(error, (long)gmp_urandomm_ui(random, 129) - 64, 64);
    mpq_canonicalize(error);
    mpq_mul(error, error, seen->uncertainty);
    mpq_add(seen->reading, out->angle, error);
    mpq_clear(error);
    if (out->circle != bench->plan->circle && (out->hole >= bench->plan->circle || gmp_urandomm_ui(random, 2) == 0))
        seen->pin_circle = out->circle;
    seen->has_row = gmp_urandomm_ui(random, 2) == 0;
    seen->row = lapse->row;
    seen->has_last = gmp_urandomm_ui(random, 4) == 0;
    seen->last = gmp_urandomm_ui(random, lapse->row + 1);
    seen->has_right = lapse->k > 0 && gmp_urandomm_ui(random, 4) == 0;
    seen->right = lapse->k > 0 ? gmp_urandomm_ui(random, lapse->k) : 0;
    seen->has_cuts = uncut || gmp_urandomm_ui(random, 3) == 0;
    bool made = gmp_urandomm_ui(random, 3) > 0 || (bench->plan->has_closing && lapse->row == bench->plan->steps);
    seen->cuts = places_cut(bench, (long)lapse->row - (made ? 0 : 1), uncut ? (long)lapse->k : -1,
                            apart ? lapse->k : ULONG_MAX);
}

#define MOST_ROWS_WHOLE 26
#define MOST_DRAWN 12

static void ask(struct bench *bench, const struct lapse *lapse, const struct cc_seen *seen, gmp_randstate_t random, struct tally *tally,
                const char *job)
{
    struct founds founds = { 0 };
    struct cc_hand_slips slips;
    struct cc_error err = { .text = "" };
    char said[200], where[1000];

    describe(said, sizeof said, lapse);
    snprintf(where, sizeof where, "%s: %s; hole %d %llu, hole2 %d %llu, reading %d, row %d, right %d %llu, cuts %d %llu", job, said, seen->has_hole,
             (unsigned long long)seen->hole, seen->has_hole2, (unsigned long long)seen->hole2, seen->has_reading, seen->has_row,
             seen->has_right, (unsigned long long)seen->right, seen->has_cuts, (unsigned long long)seen->cuts);
    cc_hand_slips_init(&slips);
    enum cc_status s = cc_hand_slips_find(&slips, bench->head, bench->plan, bench->request, seen, CC_MOST_HAND_SLIPS, &err);
    if (s != CC_OK && (s != CC_ENOFIT || !does_nothing(bench, lapse)))
        fail_msg("%s: %s", where, err.text);
    assert_int_equal(slips.n, slips.total);
    check_order(&slips, where);
    tally->short_of += slips.cut_short;
    if (!slips.cut_short && !does_nothing(bench, lapse) && !has_lapse(&slips, lapse))
        fail_msg("%s: the true slip is not among %zu answers", where, slips.n);
    if (bench->rows <= MOST_ROWS_WHOLE && (bench->plan->circle < 60 || is_dial(bench))) {
        try_all(&founds, bench, seen);
        check_whole(&founds, &slips, where);
        tally->whole++;
        free(founds.at);
    }
    for (size_t i = 0; i < MOST_DRAWN && slips.n > 0; i++) {
        const struct cc_hand_slip *slip = &slips.at[gmp_urandomm_ui(random, slips.n)];
        check_answer(bench, seen, slip, where);
        if (slip->kind != CC_SLIP_HOLE2 || !bench->vernier)
            check_way_back(bench, slip, where);
        tally->drawn++;
    }
    tally->answers += slips.n;
    tally->slips[lapse->kind]++;
    cc_hand_slips_clear(&slips);
}

static void one_slip(struct bench *bench, gmp_randstate_t random, struct tally *tally, const char *job)
{
    struct outcome out;
    struct lapse lapse;
    struct cc_seen seen;

    mpq_init(out.angle);
    cc_seen_init(&seen);
    if (draw_lapse(&lapse, bench, random) && make_lapse(&out, bench, &lapse, random)) {
        report(&seen, bench, &lapse, &out, random);
        ask(bench, &lapse, &seen, random, tally, job);
    }
    cc_seen_clear(&seen);
    mpq_clear(out.angle);
}

static void random_request(struct cc_request *request, gmp_randstate_t random)
{
    unsigned long kind = gmp_urandomm_ui(random, 8), n = kind < 2 ? 300 : kind < 4 ? 80 : 24;
    mpq_t position;

    if (kind == 7 || kind == 6) {
        mpq_init(position);
        for (unsigned long i = 1 + gmp_urandomm_ui(random, 20); i > 0; i--) {
            mpq_set_si(position, (long)gmp_urandomm_ui(random, 720) - 180, kind == 7 ? 360 : 97);
            mpq_canonicalize(position);
            assert_int_equal(cc_request_add(request, position, NULL, NULL), CC_OK);
        }
        mpq_clear(position);
    } else {
        mpz_set_ui(request->divisions, 1 + gmp_urandomm_ui(random, n));
        if (gmp_urandomm_ui(random, 5) == 0)
            mpq_set_ui(request->arc, 1 + gmp_urandomm_ui(random, 40), 24);
        if (gmp_urandomm_ui(random, 5) == 0)
            mpq_set_ui(request->offset, gmp_urandomm_ui(random, 360), 360);
        mpq_canonicalize(request->arc);
        mpq_canonicalize(request->offset);
        if (mpq_cmp_ui(request->arc, 1, 1) == 0 && gmp_urandomm_ui(random, 5) == 0 && mpz_odd_p(request->divisions) && mpz_cmp_ui(request->divisions, 3) >= 0)
            mpz_set_ui(request->block, 2);
    }
    if (gmp_urandomm_ui(random, 2) == 0)
        request->methods = 1U << gmp_urandomm_ui(random, CC_METHODS);
}

static void one_job(struct cc_planner *planner, const struct cc_head *head, struct bench *bench, gmp_randstate_t random, struct tally *tally,
                    const char *where)
{
    struct cc_request request;
    struct cc_plan plan;
    char job[360];

    cc_request_init(&request);
    cc_plan_init(&plan);
    random_request(&request, random);
    if (cc_planner_best(&plan, NULL, planner, &request, NULL) == CC_OK) {
        gmp_snprintf(job, sizeof job, "%s: divide %Zd (%zu positions), block %lu, %s", where, request.divisions, request.position_count,
                     (unsigned long)plan.block, cc_method_name(plan.method));
        bench_fill(bench, head, &plan, &request);
        tally->jobs++;
        tally->by_method[plan.method]++;
        for (int i = 0; i < 8; i++)
            one_slip(bench, random, tally, job);
    }
    cc_plan_clear(&plan);
    cc_request_clear(&request);
}

static void test_machinist(void **state)
{
    struct tally tally = { 0 };
    struct bench bench = { 0 };
    gmp_randstate_t random;
    char where[200];
    glob_t heads;
    (void)state;

    assert_int_equal(glob("data/heads/*.ini", 0, NULL, &heads), 0);
    test_random_init(random);
    for (size_t h = 0; h < heads.gl_pathc; h++) {
        struct cc_planner *planner;
        struct cc_head head;
        test_head_load(&head, heads.gl_pathv[h]);
        assert_int_equal(cc_planner_new(&planner, &head, NULL), CC_OK);
        for (unsigned long i = 0; i < test_rounds(20); i++) {
            snprintf(where, sizeof where, "seed %lu, %s, job %lu", test_seed(), heads.gl_pathv[h], i);
            one_job(planner, &head, &bench, random, &tally, where);
        }
        cc_planner_free(planner);
        cc_head_clear(&head);
    }
    bench_clear(&bench);
    gmp_randclear(random);
    globfree(&heads);
    for (int k = 0; k < CC_SLIPS; k++)
        if (tally.slips[k] < 2)
            fail_msg("only %lu slips of the kind %s", tally.slips[k], cc_hand_slip_name((enum cc_slip_kind)k));
    for (int m = 0; m < CC_METHODS; m++)
        assert_true(tally.by_method[m] > 0);
    print_message("%lu jobs; slips", tally.jobs);
    for (int k = 0; k < CC_SLIPS; k++)
        print_message(" %s %lu", cc_hand_slip_name((enum cc_slip_kind)k), tally.slips[k]);
    print_message("; %lu answers, %lu questions whole, %lu answers drawn, %lu cut short\n", tally.answers, tally.whole, tally.drawn, tally.short_of);
}

/* ---- by hand ---- */

static enum cc_status find(struct fixture *f, struct cc_error *err)
{
    return cc_hand_slips_find(&f->slips, &f->head, &f->plan, &f->request, &f->seen, 100, err);
}

static const struct cc_hand_slip *of_kind(const struct fixture *f, enum cc_slip_kind kind)
{
    for (size_t i = 0; i < f->slips.n; i++)
        if (f->slips.at[i].kind == kind)
            return &f->slips.at[i];
    return NULL;
}

static void test_by_hand(void **state)
{
    struct fixture f;
    struct cc_error err;
    (void)state;

    /* Row 41 belongs in hole 41 x 8 = 328 = 5 (mod 19), at 41 x 360/95 = 155.37 degrees. Seen: hole 6, 155 degrees within 1. One hole is
     * 360/(19 x 40) = 0.474 degrees, 1/760 of a turn. The 18 circle from where the pin last stood in hole 0, row 38 (38 x 8 = 16 x 19): 3
     * movements of 8/18 are 24/18 = 1 turn and 6 holes, 24/18 - 24/19 = 4/57 of a turn too far. */
    begin(&f, 95, CC_ALL_METHODS, 19);     /* 8 holes each, 40/95 = 8/19 */
    f.seen.has_hole = f.seen.has_reading = f.seen.has_row = true;
    f.seen.hole = 6;
    f.seen.row = 41;
    mpq_set_ui(f.seen.reading, 155, 360);
    mpq_canonicalize(f.seen.reading);
    mpq_set_ui(f.seen.uncertainty, 1, 360);
    assert_int_equal(find(&f, &err), CC_OK);
    assert_int_equal(f.slips.total, 3);
    const struct cc_hand_slip *slip = &f.slips.at[0];
    assert_int_equal(slip->kind, CC_SLIP_HOLE);
    assert_int_equal(slip->by, 1);
    assert_int_equal(slip->first, 1);
    assert_int_equal(slip->last, 41);
    assert_int_equal(slip->ways, 41);
    assert_int_equal(slip->pin, -1);
    assert_int_equal(slip->hole, 5);
    test_mpq_equal("shift", slip->shift, "1/760");
    test_mpq_equal("back", slip->back, "-1/19");
    assert_non_null(of_kind(&f, CC_SLIP_PLATE));
    slip = of_kind(&f, CC_SLIP_CIRCLE);
    assert_non_null(slip);
    assert_int_equal(slip->circle, 18);
    assert_int_equal(slip->first, 39);
    test_mpq_equal("back", slip->back, "-4/57");

    /* All was right at row 39: the circle was not wrong before, and the hole was miscounted at one of two movements. */
    f.seen.has_right = true;
    f.seen.right = 39;
    assert_int_equal(find(&f, &err), CC_OK);
    assert_null(of_kind(&f, CC_SLIP_CIRCLE));
    assert_int_equal(of_kind(&f, CC_SLIP_HOLE)->ways, 2);

    /* A movement left out leaves one place fewer: rows 0 to 40 show 40, in hole 39 x 8 = 8 (mod 19) at 147.8 degrees. */
    f.seen.has_right = false;
    f.seen.has_cuts = true;
    f.seen.cuts = 40;
    f.seen.row = 40;
    f.seen.hole = 8;
    mpq_set_ui(f.seen.reading, 148, 360);
    mpq_canonicalize(f.seen.reading);
    assert_int_equal(find(&f, &err), CC_OK);
    assert_non_null(of_kind(&f, CC_SLIP_LEFT_OUT));
    f.seen.cuts = 42;
    assert_int_equal(find(&f, &err), CC_ENOFIT);
    end(&f);
}

static void refused(struct fixture *f, enum cc_status status, const char *text)
{
    struct cc_error err;

    assert_int_equal(find(f, &err), status);
    assert_string_equal(err.text, text);
}

static void test_refusals(void **state)
{
    struct fixture f;
    (void)state;

    begin(&f, 95, CC_ALL_METHODS, 19);     /* 8 holes each, 40/95 = 8/19 */
    refused(&f, CC_ENOFIT, "no slip that is known fits what is seen");     /* for nothing is */
    f.seen.has_hole = true;
    f.seen.hole = 19;
    refused(&f, CC_EDOM, "hole 19: the circle has 19 holes, counted from 0 to 18");
    f.seen.pin_circle = 20;     /* 8 holes each time: 19 is never met, 16 is */
    refused(&f, CC_ENOFIT, "no slip that is known fits what is seen");
    f.seen.hole = 16;
    assert_int_equal(find(&f, NULL), CC_OK);
    assert_int_equal(f.slips.at[0].kind, CC_SLIP_CIRCLE);
    f.seen.pin_circle = 37;     /* on another plate */
    refused(&f, CC_EDOM, "circle 37 is not the one of this job, 19, nor beside it on its plate");
    f.seen.pin_circle = 0;
    f.seen.hole = 3;
    f.seen.has_right = true;
    f.seen.right = 96;
    refused(&f, CC_EDOM, "step 96 is beyond the last step, 95");
    end(&f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand), cmocka_unit_test(test_refusals), cmocka_unit_test(test_machinist),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
