/* flats_record.c: rings of flats, and what is to come off each flat, for programs; docs/flats.md lists the fields. */
#include <math.h>

#include "cli/out/record.h"
#include "cli/subject/flats_job.h"

static const struct field flats_fields[] = {
    ANSWER_FIELDS("flats"),
    FIELD("head", TEXT, "title of the head's profile"),
    FIELD("ring", NUMBER, "from 1, in the order given"),
    FIELD("kind", TEXT, "flats, or holes that are keyed to them"),
    FIELD("count", NUMBER, "how many of them"),
    FIELD("at", REVOLUTIONS, "from flat 1 of ring 1 to the first of these, on the work"),
    FIELD("row", COUNT, "step in which the first of these is cut"),
    FIELD("across_mm", LENGTH, "twice the distance from the axis to a flat; like all below null for holes"),
    FIELD("stock_mm", LENGTH, "diameter of the round they are cut on"),
    FIELD("depth_mm", LENGTH, "below the round"),
    FIELD("full_corners", BOOLEAN, "whether the corners are full"),
    FIELD("full_stock_mm", LENGTH, "least stock that gives full corners; null below 3 flats"),
    FIELD("width_mm", LENGTH, "of a flat"),
    FIELD("land_mm", LENGTH, "round left between two flats, along the arc"),
    FIELD("over_corners_mm", LENGTH, "the most that is found over corners or round"),
    FIELD("over_round_mm", LENGTH, "over a flat and the round opposite, while nothing is cut there"),
    FIELD("over_far_mm", LENGTH, "over a flat and what is opposite when all are cut"),
    FIELD("shy_mm", LENGTH, "left on the first flat until it is measured"),
    FIELD("off_arcsec", ARCSEC, "what the head is taken to hold by this plan, or the plan's own error from neighbour to neighbour if larger; null "
                                "for one flat, like the next three"),
    FIELD("taper_mm", LENGTH, "two opposite flats, one wrong by that, lean so much over their width; null where no two are opposite"),
    FIELD("corner_shift_mm", LENGTH, "a corner moves so much"),
    FIELD("neighbours_mm", LENGTH, "the widths (or lands) beside it differ by so much"),
    FIELD("from_axis_mm", LENGTH, "with --over: from the spindle's axis to the flats measured; else null, like the rest"),
    FIELD("round_x_mm", LENGTH, "the round's axis from the spindle's, towards flat 1"),
    FIELD("round_y_mm", LENGTH, "and towards a flat a quarter turn on"),
    FIELD("disagreement_mm", LENGTH, "largest difference between a reading and what these say of it"),
    FIELDS_END
};
const struct form flats_form = { .name = "flats", .fields = flats_fields };

static const struct field flat_fields[] = {
    RECORD_FIELD("flat"),
    FIELD("flat", NUMBER, "its number in ring 1"),
    FIELD("at", REVOLUTIONS, "from flat 1, on the work"),
    FIELD("take_off_mm", LENGTH, "still to come off, so that it ends true to the round; below 0: it is too deep by that"),
    FIELDS_END
};
const struct form flat_form = { .name = "flat", .fields = flat_fields };

static void put_sizes(struct record *r, const struct flats_ring *ring, const struct cc_flats_sizes *sizes)
{
    bool flats = !ring->holes;

    record_length(r, "across", flats ? ring->flats.across : NULL);
    record_length(r, "stock", flats ? ring->flats.stock : NULL);
    record_length(r, "depth", flats ? sizes->depth : NULL);
    record_bool_if(r, flats, "full_corners", sizes->full);
    record_length_d(r, "full_stock", flats ? sizes->full_stock_mm : NAN);
    record_length_d(r, "width", flats ? sizes->width_mm : NAN);
    record_length_d(r, "land", flats ? sizes->land_mm : NAN);
    record_length_d(r, "over_corners", flats ? sizes->corners_mm : NAN);
    record_length(r, "over_round", flats ? sizes->over_round : NULL);
    record_length_d(r, "over_far", flats ? sizes->over_far_mm : NAN);
    record_length(r, "shy", flats ? ring->shy : NULL);
}

static void put_accuracy(struct record *r, const struct flats_ring *ring, const struct flats_figures *f)
{
    bool several = !ring->holes && ring->flats.n > 1;

    record_arcsec(r, "off_arcsec", several ? f->off : NULL);
    record_length_d(r, "taper", several && ring->flats.n % 2 == 0 ? cc_flats_taper(&f->sizes, f->off) : NAN);
    record_length_d(r, "corner_shift", several ? cc_flats_corner_shift(&ring->flats, &f->sizes, f->off) : NAN);
    record_length_d(r, "neighbours", several ? cc_flats_neighbours(&ring->flats, &f->sizes, f->off) : NAN);
}

static void put_centre(struct record *r, const struct flats_figures *f)
{
    bool has = f->has_centre;

    record_length_d(r, "from_axis", has ? f->centre.flat_mm : NAN);
    record_length_d(r, "round_x", has ? f->centre.x_mm : NAN);
    record_length_d(r, "round_y", has ? f->centre.y_mm : NAN);
    record_length_d(r, "disagreement", has ? f->centre.worst_mm : NAN);
}

static void put_flats(struct record *r, const struct flats_ring *ring, const struct cc_flats_centre *centre)
{
    mpq_t turn;

    mpq_init(turn);
    for (unsigned long k = 0; k < ring->flats.n; k++) {
        mpq_set_ui(turn, k, ring->flats.n);
        mpq_canonicalize(turn);
        record_begin(r, &flat_form, NULL);
        record_number(r, "flat", (long long)k + 1);
        record_rational(r, "at", turn);
        record_length_d(r, "take_off", cc_flats_take_off(centre, &ring->flats, (double)k / (double)ring->flats.n));
        record_end(r);
    }
    mpq_clear(turn);
}

void flats_write_records(FILE *out, const struct job *job)
{
    const struct flats_ask *ask = &job->flats;
    struct flats_figures figures;
    struct record r;

    record_init(&r, out, &job->output, &flats_form);
    for (size_t i = 0; i < ask->rings; i++) {
        const struct flats_ring *ring = &ask->ring[i];
        (void)flats_figures_of(&figures, job, i, NULL);     /* it was asked before anything was written */
        record_begin(&r, &flats_form, "flats");
        record_string(&r, "head", job->head.title);
        record_number(&r, "ring", (long long)i + 1);
        record_string(&r, "kind", ring->holes ? "holes" : "flats");
        record_number(&r, "count", (long long)ring->flats.n);
        record_rational(&r, "at", ring->at);
        record_count(&r, "row", ring->row);
        put_sizes(&r, ring, &figures.sizes);
        put_accuracy(&r, ring, &figures);
        put_centre(&r, &figures);
        record_end(&r);
        if (figures.has_centre)
            put_flats(&r, ring, &figures.centre);
        flats_figures_clear(&figures);
    }
    record_clear(&r);
}
