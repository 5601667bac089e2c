/*
 * read_flats.c: a request for flats, made into positions: N divisions where one ring has an odd number of flats, else a list
 * in the order of work.
 *
 * A ring with opposite flats goes: the first a little shy, the one opposite at the same dial, both measured, and from there to
 * size all the way round, so that the shy one is met again. What comes after the first ring goes on in the next turn.
 */
#include <string.h>

#include "crankcard/length.h"
#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/find_head.h"
#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/exit_status.h"
#include "cli/job/job.h"
#include "cli/job/read_job.h"

const struct option_table flats_tables[] = {
    FLATS_OPTIONS(struct job, flats), OWN_OPTIONS(hand_options), HEAD_OPTIONS(struct job, choice), OWN_OPTIONS(plan_options),
    OWN_OPTIONS(radius_options), OWN_OPTIONS(step_options), DRAWING_OPTIONS(struct job, output), OUTPUT_OPTIONS(struct job, output),
    UNIT_OPTIONS(struct job, output), TABLES_END
};

/* ---- sizes ---- */

static const char *in_words(char *buf, size_t size, const mpq_t mm, enum cc_unit unit)
{
    size_t n = cc_length_str(buf, size, mm, unit, unit == CC_INCH ? 4 : 3);

    snprintf(n < size ? buf + n : buf, n < size ? size - n : 0, " %s", cc_unit_name(unit));
    return buf;
}

/* "from 19.630 mm on", the stock that gives full corners; empty where there are none. */
static void full_corner_words(char *buf, size_t size, const struct cc_flats *flats, enum cc_unit unit)
{
    char words[60];
    mpq_t full;

    buf[0] = '\0';
    if (flats->n < 3 || mpq_sgn(flats->across) == 0)
        return;
    mpq_init(full);
    mpq_set_d(full, cc_flats_full_stock(flats));
    flats_round_up(full, unit);
    snprintf(buf, size, "; full corners come from %s on", in_words(words, sizeof words, full, unit));
    mpq_clear(full);
}

/* across and depth say the same of a stock: the one from the other. */
static bool settle_first(struct job *job, unsigned long n, struct cc_error *err)
{
    struct flats_ask *ask = &job->flats;
    struct cc_flats *flats = &ask->ring[0].flats;
    char full[100];

    flats->n = n;
    mpq_set(flats->across, ask->across);
    mpq_set(flats->stock, ask->stock);
    if ((mpq_sgn(ask->across) > 0) == (mpq_sgn(ask->depth) > 0)) {
        cc_fail(err, CC_EPARSE, mpq_sgn(ask->depth) > 0 ? "--across and --depth say the same: give one"
                                                        : "how far down is missing: --across LENGTH, or --depth LENGTH");
        return false;
    }
    if (mpq_sgn(ask->stock) == 0) {
        full_corner_words(full, sizeof full, flats, job->output.unit);
        cc_fail(err, CC_EPARSE, "the round that is there is missing: --stock LENGTH%s", full);
        return false;
    }
    if (mpq_sgn(ask->depth) > 0) {
        mpq_mul_2exp(flats->across, ask->depth, 1);
        mpq_sub(flats->across, flats->stock, flats->across);
        if (mpq_sgn(flats->across) <= 0) {
            cc_fail(err, CC_EDOM, "--depth: that is half the stock or more: a flat lies short of the axis");
            return false;
        }
    }
    return true;
}

/* What stays on the first flat: a fifth of a millimetre, and never more than half of what comes off. */
static void settle_shy(struct job *job, struct flats_ring *ring)
{
    mpq_t half;

    mpq_init(half);
    mpq_sub(half, ring->flats.stock, ring->flats.across);
    mpq_div_2exp(half, half, 2);
    if (mpq_sgn(job->flats.shy) > 0)
        mpq_set(ring->shy, job->flats.shy);
    else
        (void)cc_length_parse(ring->shy, job->output.unit == CC_INCH ? "0.01in" : "0.2mm", CC_MM, NULL);
    if (mpq_cmp(ring->shy, half) > 0)
        mpq_set(ring->shy, half);
    mpq_clear(half);
}

static enum cc_status too_thin(const struct job *job, const struct cc_flats *flats, struct cc_error *err)
{
    enum cc_unit unit = job->output.unit;
    char across[60], stock[60], full[100];

    full_corner_words(full, sizeof full, flats, unit);
    in_words(across, sizeof across, flats->across, unit);
    return cc_fail(err, CC_ENOFIT, "%s across on %s of stock: nothing is cut: the stock must be over %s%s", across,
                   in_words(stock, sizeof stock, flats->stock, unit), across, full);
}

static int settle_rings(struct job *job, struct cc_error *err)
{
    struct flats_ask *ask = &job->flats;
    struct cc_flats_sizes sizes;
    enum cc_status s = CC_OK;

    cc_flats_sizes_init(&sizes);
    for (size_t i = 0; i < ask->rings && s == CC_OK; i++) {
        struct flats_ring *ring = &ask->ring[i];
        mpz_fdiv_r(mpq_numref(ring->at), mpq_numref(ring->at), mpq_denref(ring->at));      /* whole turns say nothing */
        if (ring->holes)
            continue;
        if (mpq_sgn(ring->flats.stock) == 0)
            mpq_set(ring->flats.stock, ask->stock);
        s = cc_flats_measure(&sizes, &ring->flats, err);
        if (s == CC_ENOFIT)
            s = too_thin(job, &ring->flats, err);
        settle_shy(job, ring);
    }
    cc_flats_sizes_clear(&sizes);
    return cli_status(s);
}

/* Readings name flats of the first ring, and wherever that lies none is more than its round. */
static bool check_readings(const struct flats_ask *ask, enum cc_unit unit, struct cc_error *err)
{
    const struct cc_flats *first = &ask->ring[0].flats;
    char stock[60];

    for (size_t i = 0; i < ask->readings; i++) {
        unsigned long flat = ask->reading[i].flat;
        if (flat == 0 && first->n % 2 != 0) {
            cc_fail(err, CC_EDOM, "--over: %lu flat%s no two opposite: measure from a flat to the round", first->n,
                    first->n == 1 ? " has" : "s have");
            return false;
        }
        if (flat > first->n) {
            cc_fail(err, CC_EDOM, "--over: there is no flat %lu: %lu flat%s", flat, first->n, first->n == 1 ? "" : "s");
            return false;
        }
        if (mpq_cmp(ask->reading[i].mm, first->stock) > 0) {
            cc_fail(err, CC_EDOM, "--over: no caliper shows more than the stock, %s, over %s: measure again, or mend --stock",
                    in_words(stock, sizeof stock, first->stock, unit), flat == 0 ? "two flats" : "a flat and the round");
            return false;
        }
    }
    return true;
}

/* ---- positions ---- */

static bool add_row(struct job *job, const struct flats_ring *ring, size_t which, unsigned long turns, unsigned long k, const char *what,
                    struct cc_error *err)
{
    char label[120], name[40] = "";
    mpq_t at;

    if (job->flats.rings > 1 && !ring->holes)
        snprintf(name, sizeof name, "ring %zu ", which + 1);
    snprintf(label, sizeof label, "%s%s %lu%s", name, ring->holes ? "hole" : "flat", k, what);
    mpq_init(at);
    mpq_set_ui(at, k - 1, ring->flats.n);
    mpq_canonicalize(at);
    mpq_add(at, at, ring->at);
    mpz_addmul_ui(mpq_numref(at), mpq_denref(at), turns);
    enum cc_status s = cc_request_add(&job->request, at, label, err);
    mpq_clear(at);
    return s == CC_OK;
}

/* ", shy: 1.300 mm": how deep the first flat goes until it has been measured. */
static void shy_words(char *buf, size_t size, const struct job *job, const struct flats_ring *ring)
{
    char words[60];
    mpq_t depth;

    mpq_init(depth);
    mpq_sub(depth, ring->flats.stock, ring->flats.across);
    mpq_div_2exp(depth, depth, 1);
    mpq_sub(depth, depth, ring->shy);
    snprintf(buf, size, ", shy: %s", in_words(words, sizeof words, depth, job->output.unit));
    mpq_clear(depth);
}

/* Whole turns of the work before the first of a ring, so that it lies behind the last row there is. */
static unsigned long turns_before(const struct job *job, const struct flats_ring *ring)
{
    size_t n = job->request.position_count;
    unsigned long turns = 0;
    mpq_t at;

    mpq_init(at);
    for (mpq_set(at, ring->at); n > 0 && mpq_cmp(at, job->request.position[n - 1]) < 0; turns++)
        mpz_add(mpq_numref(at), mpq_numref(at), mpq_denref(at));
    mpq_clear(at);
    return turns;
}

static bool add_ring_rows(struct job *job, size_t which, struct cc_error *err)
{
    struct flats_ring *ring = &job->flats.ring[which];
    unsigned long n = ring->flats.n, opposite = flats_opposite(ring), turns = turns_before(job, ring);
    char shy[60] = "";
    bool good = true;

    if (!ring->holes)
        shy_words(shy, sizeof shy, job, ring);
    ring->row = job->request.position_count + 1;
    if (opposite == 0) {
        for (unsigned long k = 1; k <= n && good; k++)
            good = add_row(job, ring, which, turns, k, k > 1 || ring->holes ? "" : shy, err);
        return good;
    }
    good = add_row(job, ring, which, turns, 1, shy, err) && add_row(job, ring, which, turns, opposite, ", same, to size", err);
    for (unsigned long k = opposite + 1; k <= n && good; k++)
        good = add_row(job, ring, which, turns, k, "", err);
    for (unsigned long k = 1; k < opposite && good; k++)
        good = add_row(job, ring, which, turns + 1, k, k == 1 ? ", to size" : "", err);
    return good;
}

static bool add_rows(struct job *job, struct cc_error *err)
{
    struct flats_ask *ask = &job->flats;
    bool good = true;

    if (ask->rings == 1 && ask->ring[0].flats.n % 2 == 1 && ask->ring[0].flats.n > 1) {
        mpz_set_ui(job->request.divisions, ask->ring[0].flats.n);
        strcpy(job->marks.at[0].name, "flat");
        job->marks.n = 1;
        job->marks.at[0].every = job->marks.number = job->marks.first = 1;
        return true;
    }
    for (size_t i = 0; i < ask->rings && good; i++)
        good = add_ring_rows(job, i, err);
    return good;
}

/* ---- the request ---- */

static bool read_words(struct job *job, unsigned long *n, int argc, char **argv, const struct option_table *tables, struct cc_error *err)
{
    const char *count;
    bool good = args_read_one(&count, "flats takes one count", job, tables, argc, argv, err);

    if (good && count == NULL) {
        cc_fail(err, CC_EPARSE, "how many flats is missing: crankcard flats 6 --across 17 --stock 20");
        return false;
    }
    return good && value_number(n, count, "flats", 1, CC_MOST_FLATS, err);
}

int job_read_flat_words(struct job *job, struct cli *cli, int argc, char **argv, const struct option_table *tables)
{
    struct flats_ask *ask = &job->flats;
    unsigned long n = 0;

    if (!read_words(job, &n, argc, argv, tables, &cli->err))
        return EXIT_TROUBLE;
    flats_ask_begin(ask);
    if (!settle_first(job, n, &cli->err))
        return EXIT_TROUBLE;
    int status = settle_rings(job, &cli->err);
    if (status == EXIT_YES && !(check_readings(ask, job->output.unit, &cli->err) && add_rows(job, &cli->err)))
        status = EXIT_TROUBLE;
    job->mirrors = ask->rings == 1;
    if (!job->view.has_radius)
        mpq_div_2exp(job->view.radius, ask->ring[0].flats.stock, 1);
    job->view.has_radius = true;
    return status;
}

int job_read_flats(struct job *job, struct cli *cli, int argc, char **argv)
{
    return job_read_flat_words(job, cli, argc, argv, flats_tables);
}
