/* flats_card.c: the sizes of the flats, the order of work with what the caliper must show, and the card of the indexing behind it. */
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/base/memory.h"
#include "cli/base/shell_words.h"
#include "cli/out/card.h"
#include "cli/out/quantities.h"
#include "cli/subject/flats_job.h"

#define MOST_LISTED 60      /* flats whose take-off a card lists */

struct sheet {
    struct text *text;
    struct job *job;
    enum cc_unit unit;
};

struct length {
    char s[QUANTITY_SIZE];
};

static struct length shown(const struct sheet *s, double mm)
{
    struct length l;
    length_text_d(l.s, mm, s->unit);
    return l;
}

static struct length exactly(const struct sheet *s, const mpq_t mm)
{
    struct length l;
    length_text(l.s, mm, s->unit);
    return l;
}

static double rounded_up(const struct sheet *s, double mm)
{
    mpq_t least;

    mpq_init(least);
    mpq_set_d(least, isnan(mm) ? 0 : mm);
    flats_round_up(least, s->unit);
    mm = mpq_get_d(least);
    mpq_clear(least);
    return mm;
}

static struct length at_least(const struct sheet *s, double mm)
{
    return shown(s, rounded_up(s, mm));
}

static bool shows(const struct sheet *s, double mm)
{
    mpq_t exact;

    mpq_init(exact);
    mpq_set_d(exact, mm);
    bool more = length_shows(exact, s->unit);
    mpq_clear(exact);
    return more;
}

/* ---- sizes ---- */

static bool has_opposite(const struct flats_ring *ring)
{
    return flats_opposite(ring) != 0;
}

static void write_corners(const struct sheet *s, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    bool three = ring->flats.n >= 3;
    struct length full = at_least(s, sizes->full_stock_mm);

    if (sizes->full)
        text_labelled(s->text, "corners", "full, %s over them%s; stock of %s or more gives that", shown(s, sizes->corners_mm).s,
                      has_opposite(ring) ? "" : " at the most", full.s);
    else if (three && !shows(s, sizes->land_mm))
        text_labelled(s->text, "corners", "all but full, %s over the two farthest", shown(s, sizes->corners_mm).s);
    else if (ring->flats.n == 1)
        text_labelled(s->text, "round", "%s over what is left of it, along the flat", shown(s, sizes->corners_mm).s);
    else
        text_labelled(s->text, "corners", "%s: %s of round is left between two flats, %s over the two farthest of those%s%s", three ? "not full" : "none",
                      shown(s, sizes->land_mm).s, shown(s, sizes->corners_mm).s, three ? "; full ones need stock of " : "",
                      three ? full.s : "");
}

static void write_measures(const struct sheet *s, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    struct length round = exactly(s, sizes->over_round), far = shown(s, sizes->over_far_mm);

    if (has_opposite(ring))
        text_labelled(s->text, "measure", "%s over a flat and the round opposite, until that is cut; %s over two opposite flats", round.s,
                      exactly(s, ring->flats.across).s);
    else if (sizes->full)
        text_labelled(s->text, "measure", "%s over a flat and the round opposite, until that is cut; %s over a flat and the corner opposite", round.s, far.s);
    else
        text_labelled(s->text, "measure", "%s over a flat and the round opposite", round.s);
}

/* What the head can make of it. */
static void write_accuracy(const struct sheet *s, const struct flats_ring *ring, const struct flats_figures *f)
{
    const struct cc_flats_sizes *sizes = &f->sizes;
    char off[QUANTITY_SIZE], opposite[160] = "", corner[160] = "";

    if (ring->flats.n < 2)
        return;
    cc_angle_error_str(off, sizeof off, f->off, 0, CC_MARKS_UTF8);
    if (has_opposite(ring))
        snprintf(opposite, sizeof opposite, "it and the one opposite lean %s over their width, ", shown(s, cc_flats_taper(sizes, f->off)).s);
    if (sizes->full)
        snprintf(corner, sizeof corner, "a corner moves %s, ", shown(s, cc_flats_corner_shift(&ring->flats, sizes, f->off)).s);
    text_labelled(s->text, "head", "a flat %s wrong (what the head is taken to hold%s): %s%sthe %s beside it differ by %s", off,
                  f->stated ? "" : ", assumed", opposite, corner, sizes->full ? "widths" : "lands",
                  shown(s, cc_flats_neighbours(&ring->flats, sizes, f->off)).s);
}

static void write_cutter(const struct sheet *s, const struct cc_flats_sizes *sizes, bool told)
{
    double have = mpq_get_d(s->job->flats.cutter), need = rounded_up(s, sizes->width_mm);
    struct length wide = shown(s, need);

    text_labelled(s->text, "cutter", "%s wide or more, %s", wide.s, told ? "as above" :
                  "fed along the work: the end of an end mill, or a side mill from above, touches off on top of the round; the side of an end mill "
                  "touches off at the side of the round, and so much of its edge must cut");
    if (have <= 0)
        return;
    double passes = ceil(need / have - 1e-12);      /* by the width that is said */
    if (passes <= 1 || strcmp(shown(s, have).s, wide.s) == 0)
        text_labelled(s->text, "", "%s covers a flat in one pass.", shown(s, have).s);
    else
        text_labelled(s->text, "", "%s does not cover a flat: %.0f passes at one depth, the first and the last %s to either side of the "
                      "middle.", shown(s, have).s, passes, at_least(s, (need - have) / 2).s);
}

static void write_sizes(const struct sheet *s, size_t which, const struct flats_figures *f)
{
    const struct flats_ring *ring = &s->job->flats.ring[which];
    char at[QUANTITY_SIZE], name[64] = "";

    cc_angle_dms_str(at, sizeof at, ring->at, 0, CC_MARKS_UTF8);
    if (s->job->flats.rings > 1)
        snprintf(name, sizeof name, which == 0 ? "Ring 1: " : "%s %zu: ", ring->holes ? "Circle" : "Ring", which + 1);
    if (ring->holes) {
        text_heading(s->text, "%s%lu hole%s, the first %s on from flat 1 of ring 1", name, ring->flats.n, ring->flats.n == 1 ? "" : "s", at);
        return;
    }
    text_say(s->text, which == 0 ? TEXT_TITLE : TEXT_HEADING, "%s%lu flat%s, %s across, on %s of stock%s%s", name, ring->flats.n, ring->flats.n == 1 ? "" : "s",
              exactly(s, ring->flats.across).s, exactly(s, ring->flats.stock).s, which > 0 ? ", the first on from flat 1 of ring 1 by " : "",
              which > 0 ? at : "");
    text_labelled(s->text, "depth", "%s below the round", exactly(s, f->sizes.depth).s);
    text_labelled(s->text, "flat", "%s wide%s", shown(s, f->sizes.width_mm).s,
                  has_opposite(ring) ? "" : "; across is twice the distance from axis to flat, no size that a caliper shows");
    write_corners(s, ring, &f->sizes);
    write_measures(s, ring, &f->sizes);
    write_cutter(s, &f->sizes, which > 0);
    write_accuracy(s, ring, f);
}

/* ---- order of work ---- */

/* What the caliper shows over a flat and the round while the flat is shy, its depth then, and over two shy flats. */
struct shy {
    struct length left, depth, over_round, over_flats, half_done;
};

static struct shy shy_of(const struct sheet *s, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    struct shy shy = { .left = exactly(s, ring->shy) };
    mpq_t mm;

    mpq_init(mm);
    mpq_sub(mm, sizes->depth, ring->shy);
    shy.depth = exactly(s, mm);
    mpq_add(mm, sizes->over_round, ring->shy);
    shy.over_round = exactly(s, mm);
    mpq_add(mm, ring->flats.across, ring->shy);
    shy.half_done = exactly(s, mm);
    mpq_add(mm, mm, ring->shy);
    shy.over_flats = exactly(s, mm);
    mpq_clear(mm);
    return shy;
}

/* What is done in its first row; the opposite one, or then, says how it goes on. */
static void first_flat(const struct sheet *s, struct text_list *list, const struct flats_ring *ring, const struct shy *shy, const char *then)
{
    bool first = ring == &s->job->flats.ring[0];

    text_item(list, "Row %" PRIu64 ", flat 1%s: %scut %s deep, that is %s shy. Cutter stopped; deburr%s; measure over the flat and the round "
              "opposite: %s.%s", ring->row, first ? "" : " of the next ring", first ? "" : "touch off on its round; ", shy->depth.s, shy->left.s,
              first ? ", for a burr reads as flat" : "", shy->over_round.s, then);
}

static void order_of_even(const struct sheet *s, struct text_list *list, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    struct shy shy = shy_of(s, ring, sizes);
    unsigned long n = ring->flats.n, opposite = flats_opposite(ring);
    struct length across = exactly(s, ring->flats.across);
    uint64_t row = ring->row;

    first_flat(s, list, ring, &shy, "");
    text_item(list, "Row %" PRIu64 ", flat %lu, opposite: the same dial. Deburr, measure over both: %s. Half of what is over %s is still to "
              "come off each: so much deeper on the dial, and cut this flat again; over both it is then %s.", row + 1, opposite,
              shy.over_flats.s, across.s, shy.half_done.s);
    if (n == 2)
        text_item(list, "Row %" PRIu64 ": flat 1 again, at that dial; over both it must now be %s.", row + 2, across.s);
    else
        text_item(list, "Rows %" PRIu64 " to %" PRIu64 ", all at that dial: the other flats, and in row %" PRIu64 " flat 1 again. Over two "
                  "opposite flats it must then be %s.", row + 2, row + n, flats_row_of(ring, 1), across.s);
}

static void order_of_odd(const struct sheet *s, struct text_list *list, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    struct shy shy = shy_of(s, ring, sizes);
    unsigned long n = ring->flats.n;
    char then[200];

    snprintf(then, sizeof then, " Go deeper by all that is over %s, and cut this flat again.", exactly(s, sizes->over_round).s);
    first_flat(s, list, ring, &shy, then);
    if (n > 2)
        text_item(list, "Rows %" PRIu64 " to %" PRIu64 ", the other flats: the same dial.", ring->row + 1, ring->row + n - 1);
}

static void order_of_holes(struct text_list *list, const struct flats_ring *ring)
{
    unsigned long n = ring->flats.n;

    if (n == 1)
        text_item(list, "Row %" PRIu64 ": the hole, keyed to flat 1; the drill stands over the axis.", ring->row);
    else
        text_item(list, "Rows %" PRIu64 " to %" PRIu64 ": the holes, keyed to flat 1; the drill stands over the axis.", ring->row,
                  ring->row + n - 1);
}

static void prove(const struct sheet *s, struct text_list *list, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    unsigned long n = ring->flats.n;
    double difference = s->unit == CC_INCH ? 0.0508 : 0.05;
    char angle[QUANTITY_SIZE], pitch[QUANTITY_SIZE];
    mpq_t turn;

    if (n < 3)
        return;
    mpq_init(turn);
    mpq_set_ui(turn, 1, n);
    cc_angle_dms_str(pitch, sizeof pitch, turn, 0, CC_MARKS_UTF8);
    mpq_set_d(turn, cc_flats_neighbours_angle(&ring->flats, sizes, difference));
    cc_angle_error_str(angle, sizeof angle, turn, 0, CC_MARKS_UTF8);
    mpq_clear(turn);
    text_item(list, "Prove it: equal sizes %s prove the depth, and not the angle of %s. Compare the %s as well: the two beside a flat %s apart "
              "stand for %s.", n % 2 == 0 ? "over opposite flats" : "all round", pitch, sizes->full ? "widths of the flats" : "lands between them",
              shown(s, difference).s, angle);
}

/* How far off a blank may lie before the first flat can come out too deep: the other half is for the touching off. */
static struct length half_shy(const struct sheet *s)
{
    struct length l;
    mpq_t half;

    mpq_init(half);
    mpq_div_2exp(half, s->job->flats.ring[0].shy, 1);
    l = exactly(s, half);
    mpq_clear(half);
    return l;
}

static void write_order(const struct sheet *s, const struct flats_figures *figures)
{
    const struct flats_ask *ask = &s->job->flats;
    struct text_list list = { s->text, 0 };

    text_heading(s->text, "Order of work (rows: of the steps below)");
    text_item(&list, "Before the zero: worm out of mesh, indicator on the round, spindle turned once by hand: half of the whole reading is how far the blank is off centre, and "
              "each flat will be off the round by that. Tap it true; never leave more than %s, half of what the first flat leaves. Once flats are "
              "cut, --over says where it lies.", half_shy(s).s);
    text_item(&list, "Touch off on the round with the cutter turning and a long strip of paper, fingers far from it: the machine's dial to 0 there, less the "
              "paper's thickness. Go down in as many passes as cutter and hold allow; a depth is what the dial shows. Clamp before every cut, stop "
              "before every measuring.");
    for (size_t i = 0; i < ask->rings; i++) {
        const struct flats_ring *ring = &ask->ring[i];
        if (ring->holes)
            order_of_holes(&list, ring);
        else if (has_opposite(ring))
            order_of_even(s, &list, ring, &figures[i].sizes);
        else
            order_of_odd(s, &list, ring, &figures[i].sizes);
        if (!ring->holes)
            prove(s, &list, ring, &figures[i].sizes);
    }
    text_blank(s->text);
}

/* ---- off centre ---- */

static void list_take_off(const struct sheet *s, const struct flats_ring *ring, const struct cc_flats_centre *centre)
{
    for (unsigned long k = 1; k <= ring->flats.n; k++) {
        double mm = cc_flats_take_off(centre, &ring->flats, (double)(k - 1) / (double)ring->flats.n);
        if (mm < -1e-9)
            text_para(s->text, "  ", "    ", "flat %lu: ALREADY %s TOO DEEP", k, shown(s, -mm).s);
        else
            text_para(s->text, "  ", "    ", "flat %lu: %s", k, shown(s, fabs(mm)).s);
    }
}

static void write_centre(const struct sheet *s, const struct flats_figures *f)
{
    const struct flats_ring *ring = &s->job->flats.ring[0];
    const struct cc_flats_centre *centre = &f->centre;
    char at[QUANTITY_SIZE];
    mpq_t where;

    if (!f->has_centre)
        return;
    mpq_init(where);
    mpq_set_d(where, centre->turn);
    cc_angle_dms_str(at, sizeof at, where, 0, CC_MARKS_UTF8);
    mpq_clear(where);
    text_heading(s->text, "Off centre");
    text_para(s->text, "  ", "  ", "The flats measured are %s from the spindle's axis. The round's axis lies %s off it, towards %s on from flat 1 in "
              "the order of the flats%s.", shown(s, centre->flat_mm).s, shown(s, centre->off_mm).s, at,
              centre->one_way ? " (what lies across that is not known)" : "");
    if (s->job->flats.readings > (ring->flats.n == 2 ? 2 : 3))
        text_para(s->text, "  ", "  ", "The readings agree to %s.", shown(s, centre->worst_mm).s);
    else
        text_para(s->text, "  ", "  ", "No reading more than that needs: one more would show a misreading.");
    text_para(s->text, "  ", "  ", "Still to come off, so that all end true to the round at %s across:", exactly(s, ring->flats.across).s);
    if (ring->flats.n <= MOST_LISTED)
        list_take_off(s, ring, centre);
    else
        text_para(s->text, "  ", "  ", "%lu flats: --format jsonl lists them.", ring->flats.n);
    if (flats_verdict(s->job) != 0)
        text_para(s->text, "  ", "  ", "Where too much is off, only smaller flats, or flats true to the spindle in place of the round, are left.");
    text_blank(s->text);
}

/* ---- the card ---- */

/* In HTML: the section, beside the sizes. */
static void put_section(const struct sheet *s)
{
    FILE *picture = text_picture_begin(s->text);

    if (picture == NULL)
        return;
    flats_write_drawing(picture, s->job);
    text_picture_end(s->text);
}

/* How many of the words from word on are an option that follow does not take, and its value. */
static size_t not_for_follow(const char *word)
{
    static const struct {
        const char *name, *letter;      /* letter: NULL for none */
        bool value;
    } not_there[] = {
        { "--from", NULL, true }, { "--to", NULL, true }, { "--no-steps", NULL, false }, { "--all-steps", NULL, false },
        { "--brief", NULL, false }, { "--working", NULL, false }, { "--note", NULL, true }, { "--tally", NULL, false },
        { "--decimal", NULL, false }, { "--strip", NULL, false }, { "--format", "-f", true }, { "--output", "-o", true },
    };
    size_t length = strcspn(word, "=");

    for (size_t i = 0; i < sizeof not_there / sizeof not_there[0]; i++) {
        const char *letter = not_there[i].letter;
        if (letter != NULL && strncmp(word, letter, 2) == 0)
            return word[2] == '\0' ? 2 : 1;
        if (length > 3 && strncmp(word, not_there[i].name, length) == 0)
            return not_there[i].value && word[length] == '\0' ? 2 : 1;
    }
    return 0;
}

static void write_follow(const struct sheet *s)
{
    const struct job *job = s->job;
    char words[900], **kept = memory_get((job->word_count + 1) * sizeof *kept);
    size_t n = 0;

    for (size_t i = 0; i < job->word_count; i++) {
        size_t skip = not_for_follow(job->words[i]);
        if (skip == 0)
            kept[n++] = job->words[i];
        else
            i += skip - 1;
    }
    shell_words_join(words, sizeof words, kept, n);
    free(kept);
    const struct flats_ring *ring = &job->flats.ring[0];
    if (n > 0 && ring->flats.n > 1)
        text_labelled(s->text, "follow", "keep the place: crankcard follow %s --measure-after %" PRIu64, words, ring->row + has_opposite(ring));
}

static void write_head(const struct sheet *s)
{
    const struct cc_flats *flats = &s->job->flats.ring[0].flats;

    text_head(s->text, "%lu flat%s, %s across", flats->n, flats->n == 1 ? "" : "s", exactly(s, flats->across).s);
}

void flats_write_card(FILE *out, struct job *job)
{
    const struct flats_ask *ask = &job->flats;
    struct flats_figures figures[MOST_RINGS];
    struct text t;
    struct sheet s = { &t, job, job->output.unit };

    text_init(&t, out, &job->output);
    write_head(&s);
    for (size_t i = 0; i < ask->rings; i++) {
        (void)flats_figures_of(&figures[i], job, i, NULL);      /* it was asked before anything was written */
        write_sizes(&s, i, &figures[i]);
        if (i == 0)
            put_section(&s);
    }
    write_follow(&s);
    text_blank(&t);
    write_centre(&s, &figures[0]);
    bool one = ask->rings == 1 && ask->ring[0].flats.n == 1;
    if (one) {
        text_para(&t, "", "  ", "One flat needs no indexing: spindle clamp on, worm in mesh or plunger in, and cut.");
        text_blank(&t);
    } else {
        card_set_up(&t, job);
    }
    if (!job->view.brief)
        write_order(&s, figures);
    if (!one)
        card_run(&t, job);
    card_end(&t, job);
    text_end(&t);
    for (size_t i = 0; i < ask->rings; i++)
        flats_figures_clear(&figures[i]);
}
