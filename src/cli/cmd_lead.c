/* cmd_lead.c: gears between the table screw and the head for a helix, and how to set them up. */
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/commands.h"
#include "cli/figures.h"
#include "cli/memory.h"
#include "cli/record.h"
#include "cli/text.h"

enum {
    OPT_SCREW = OPT_OWN, OPT_HELIX, OPT_DIAMETER, OPT_LENGTH, OPT_HAND, OPT_STARTS, OPT_GEARS,
    OPT_MOST_GEARS, OPT_LIST, OPT_GEARED_TO, OPT_WITHIN
};

static const struct option_row lead_options[] = {
    { OPT_SCREW, 's', "screw", "PITCH", "pitch of the table screw: 5mm, 1/4in or 4tpi (needed)" },
    { OPT_HELIX, 0, "helix", "ANGLE", "helix angle to the axis, in place of LENGTH (needs --diameter)" },
    { OPT_DIAMETER, 'd', "diameter", "LENGTH", "diameter where the helix angle is taken" },
    { OPT_LENGTH, 'l', "length", "LENGTH", "length of the cut, over which the error in angle adds up" },
    { OPT_HAND, 0, "hand", "right|left", "hand of the helix (default right)" },
    { OPT_STARTS, 'n', "starts", "N", "flutes or starts, indexed plainly (default 1)" },
    { OPT_GEARS, 'g', "gears", "TEETH,...", "change gears to use in place of the head's own" },
    { OPT_MOST_GEARS, 0, "most-gears", "2|4|6", "gears in a train, most (default 4)" },
    { OPT_LIST, 0, "list", "COUNT", "trains to list, 1 to 1000 (default 5)" },
    { OPT_GEARED_TO, 0, "geared-to", "worm|spindle", "where the last gear sits; the spindle for short leads "
                                                     "(default worm)" },
    { OPT_WITHIN, 0, "within", "LENGTH", "largest error of the lead that will do; status 1 where no train holds it" },
    OPTIONS_END
};

const struct option_row *const lead_tables[] = { lead_options, head_options, output_options, NULL };

struct request {
    const char *lead;           /* the operand, or NULL */
    struct cc_lead_request ask;
    mpq_t helix, within;
    bool helix_given;
    const char *within_text;    /* the limit of the error as it was typed, or NULL */
    unsigned gears[CC_MAX_GEARS];
    size_t gear_count;          /* 0: the head's own */
    struct output output;
    const char *head, *mounted;
};

struct answer {
    struct cc_gearing_list list;
    struct cc_start_index index;
    mpq_t machine;              /* lead of the machine, mm */
};

static void request_init(struct request *r)
{
    *r = (struct request){ .lead = NULL };
    cc_lead_request_init(&r->ask);
    mpq_inits(r->helix, r->within, (mpq_ptr)NULL);
    output_init(&r->output);
}

static void request_clear(struct request *r)
{
    cc_lead_request_clear(&r->ask);
    mpq_clears(r->helix, r->within, (mpq_ptr)NULL);
}

/* One of two words; *second is set to whether it is the second. */
static bool read_word(bool *second, const struct args *args, const char *a, const char *b,
                      struct cc_error *err)
{
    *second = strcmp(args->text, b) == 0;
    if (*second || strcmp(args->text, a) == 0)
        return true;
    cc_fail(err, CC_EPARSE, "--%s: '%.40s' is neither %s nor %s", args->row->name, args->text, a, b);
    return false;
}

/* "24,28 32": counts divided by commas or blanks. */
static bool read_gears(struct request *r, const char *text, struct cc_error *err)
{
    static const char dividers[] = ", \t";

    r->gear_count = 0;
    for (const char *p = text + strspn(text, dividers); *p != '\0'; p += strspn(p, dividers)) {
        size_t length = strcspn(p, dividers);
        char word[41];
        unsigned long teeth;
        if (r->gear_count == CC_MAX_GEARS) {
            cc_fail(err, CC_ELIMIT, "--gears: more than %d gears", CC_MAX_GEARS);
            return false;
        }
        snprintf(word, sizeof word, "%.*s", (int)(length < 40 ? length : 40), p);
        if (!read_number(&teeth, word, "--gears", CC_MIN_TEETH, CC_MAX_TEETH, err))
            return false;
        r->gears[r->gear_count++] = (unsigned)teeth;
        p += length;
    }
    if (r->gear_count == 0)
        cc_fail(err, CC_EPARSE, "--gears: '%.40s' lists no gears: write --gears 24,28,32", text);
    return r->gear_count > 0;
}

static bool read_most_gears(unsigned *pairs, const char *text, struct cc_error *err)
{
    unsigned long gears;

    if (!read_number(&gears, text, "--most-gears", 2, 6, err))
        return false;
    if (gears % 2 != 0) {
        cc_fail(err, CC_EDOM, "--most-gears: '%s' is odd: a train has 2, 4 or 6 gears, idlers apart", text);
        return false;
    }
    *pairs = (unsigned)gears / 2;
    return true;
}

static bool read_pitch(struct request *r, const struct args *args, struct cc_error *err)
{
    enum cc_status s = cc_pitch_parse(r->ask.screw, args->text, r->output.unit, err);

    if (s == CC_OK && !length_in_reach(r->ask.screw, args->text, err))
        s = CC_ELIMIT;
    if (s != CC_OK)
        cc_fail(err, s, "--screw: %s", err->text);
    return s == CC_OK;
}

static bool take_option(struct request *r, const struct args *args, struct cc_error *err)
{
    unsigned long number;
    bool second;

    switch (args->id) {
    case OPT_SCREW:
        return read_pitch(r, args, err);
    case OPT_HELIX:
        r->helix_given = true;
        return option_angle(r->helix, args, err);
    case OPT_DIAMETER:
        return option_size(r->ask.diameter, args, r->output.unit, err);
    case OPT_LENGTH:
        return option_size(r->ask.length, args, r->output.unit, err);
    case OPT_HAND:
        if (!read_word(&second, args, "right", "left", err))
            return false;
        r->ask.hand = second ? CC_LEFT_HAND : CC_RIGHT_HAND;
        return true;
    case OPT_STARTS:
        if (!read_number(&number, args->text, "--starts", 1, 1000000, err))
            return false;
        r->ask.starts = (unsigned)number;
        return true;
    case OPT_GEARS:
        return read_gears(r, args->text, err);
    case OPT_MOST_GEARS:
        return read_most_gears(&r->ask.most_pairs, args->text, err);
    case OPT_LIST:
        if (!read_number(&number, args->text, "--list", 1, CC_MAX_TRAINS, err))
            return false;
        r->ask.most = number;
        return true;
    case OPT_GEARED_TO:
        if (!read_word(&second, args, "worm", "spindle", err))
            return false;
        r->ask.geared_to = second ? CC_TO_SPINDLE : CC_TO_WORM;
        return true;
    case OPT_WITHIN:
        r->within_text = args->text;
        return option_size(r->within, args, r->output.unit, err);
    default:
        return head_option(&r->head, &r->mounted, args->id, args->text) ||
               output_option(&r->output, args->id, args->text, err);
    }
}

static bool read_request(struct request *r, int argc, char **argv, struct cc_error *err)
{
    struct args args;
    enum arg_kind kind;

    if (!output_units_first(&r->output, argc, argv, lead_tables, err))
        return false;
    args_init(&args, argc, argv, lead_tables);
    while ((kind = args_next(&args, err)) != ARG_END) {
        if (kind == ARG_BAD)
            return false;
        if (kind == ARG_OPTION) {
            if (!take_option(r, &args, err))
                return false;
        } else if (r->lead != NULL) {
            cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: quote a length with blanks, as "
                                    "'8 1/2in'", args.text);
            return false;
        } else {
            r->lead = args.text;
        }
    }
    return true;
}

static int check_request(struct cli *cli, struct request *r)
{
    enum cc_status s;

    if (r->lead == NULL && !r->helix_given)
        return cli_trouble(cli, "the lead is missing: crankcard lead 200mm --screw 5mm, or --helix 30 "
                                "--diameter 25mm in its place");
    if (r->lead != NULL && r->helix_given)
        return cli_trouble(cli, "'%.40s' and --helix both name a lead: leave one out", r->lead);
    if (mpq_sgn(r->ask.screw) == 0)
        return cli_trouble(cli, "the pitch of the table screw is missing: --screw 5mm, --screw 1/4in or "
                                "--screw 4tpi");
    if (r->helix_given && mpq_sgn(r->ask.diameter) == 0)
        return cli_trouble(cli, "--helix needs the diameter where the angle is taken: --diameter 25mm");
    if (r->output.format == FORMAT_SVG)
        return cli_trouble(cli, "--format: a lead has no drawing: card, csv, tsv or jsonl");
    if (r->helix_given)
        s = cc_lead_of_helix(r->ask.lead, r->ask.diameter, r->helix, &cli->err);
    else
        s = cc_length_parse(r->ask.lead, r->lead, r->output.unit, &cli->err);
    if (s == CC_OK && mpq_sgn(r->ask.lead) <= 0)
        return cli_trouble(cli, "a lead of '%.40s' cannot be: more than 0; --hand says which way it winds",
                           r->lead);
    if (s == CC_OK && !length_in_reach(r->ask.lead, r->lead != NULL ? r->lead : "the lead", &cli->err))
        s = CC_ELIMIT;
    return cli_status(s);
}

static enum cc_status work_out(struct answer *a, const struct request *r, const struct cc_head *head,
                               struct cc_error *err)
{
    enum cc_status s = cc_lead_find(&a->list, &r->ask, head, r->gear_count > 0 ? r->gears : NULL,
                                    r->gear_count, err);

    if (s == CC_OK && r->ask.geared_to == CC_TO_WORM && r->ask.starts > 1)
        s = cc_start_index_find(&a->index, head, r->ask.starts, err);
    cc_lead_of_machine(a->machine, head->worm, r->ask.screw, r->ask.geared_to);
    return s;
}

/* Whether the error is small enough: true where nothing was asked. */
static bool is_within(const struct request *r, const struct cc_gearing *g)
{
    mpq_t amount;

    mpq_init(amount);
    mpq_abs(amount, g->error);
    bool within = r->within_text == NULL || mpq_cmp(amount, r->within) <= 0;
    mpq_clear(amount);
    return within;
}

/* A lead that the gears miss by more than a hundredth is beyond them, or the request is mistaken. */
static bool is_near(const struct request *r, const struct cc_gearing *g)
{
    mpq_t part;

    mpq_init(part);
    mpq_div(part, g->error, r->ask.lead);
    mpq_abs(part, part);
    bool near = mpq_cmp_ui(part, 1, 100) <= 0;
    mpq_clear(part);
    return near;
}

/* ---- for programs ---- */

/* Exact in millimetres, and rounded in the unit asked for. */
static void record_both(struct record *rec, const char *key, enum cc_unit unit, const mpq_t mm)
{
    record_rational(rec, key, mm);
    record_length(rec, key, unit, mm);
}

/* A length that may not have been given. */
static void record_given(struct record *rec, const char *stem, enum cc_unit unit, const mpq_t mm)
{
    if (mpq_sgn(mm) != 0)
        record_length(rec, stem, unit, mm);
    else
        record_no_length(rec, stem, unit);
}

static void record_twist(struct record *rec, const struct request *r, const struct cc_gearing *g)
{
    record_given(rec, "length", r->output.unit, r->ask.length);
    if (mpq_sgn(r->ask.length) == 0) {
        record_null(rec, "twist");
        record_null(rec, "twist_arcsec");
        return;
    }
    record_rational(rec, "twist", g->twist);
    record_arcsec(rec, "twist_arcsec", g->twist);
}

static void record_angles(struct record *rec, const struct request *r, const struct cc_gearing *g)
{
    record_given(rec, "diameter", r->output.unit, r->ask.diameter);
    if (mpq_sgn(r->ask.diameter) == 0) {
        record_null(rec, "helix_wanted_deg");
        record_null(rec, "helix_deg");
        return;
    }
    record_double(rec, "helix_wanted_deg", cc_helix_angle_deg(r->ask.diameter, r->ask.lead), 9);
    record_double(rec, "helix_deg", g->angle_deg, 9);
}

static bool indexes_plainly(const struct request *r)
{
    return r->ask.geared_to == CC_TO_WORM && r->ask.starts > 1;
}

static bool slips(const struct request *r)
{
    return r->ask.geared_to == CC_TO_SPINDLE && r->ask.starts > 1;
}

static unsigned last_driven(const struct cc_train *train)
{
    return train->driven[train->pairs - 1];
}

static void record_starts(struct record *rec, const struct request *r, const struct answer *a,
                          const struct cc_gearing *g, const struct cc_head *head)
{
    static const char *const keys[] = { "index_side", "index_circle", "index_turns", "index_holes" };
    const unsigned values[] = { a->index.side, a->index.circle, a->index.turns, a->index.holes };

    record_number(rec, "starts", r->ask.starts);
    record_string(rec, "index_plate",
                  indexes_plainly(r) ? head->plates[a->index.plate].name : NULL);
    for (size_t i = 0; i < 4; i++) {
        if (indexes_plainly(r))
            record_number(rec, keys[i], values[i]);
        else
            record_null(rec, keys[i]);
    }
    if (slips(r))
        record_number(rec, "slip_teeth", last_driven(&g->train) / r->ask.starts);
    else
        record_null(rec, "slip_teeth");
}

static void write_records(FILE *out, const struct request *r, const struct answer *a,
                          const struct cc_head *head)
{
    struct record rec;

    record_init(&rec, out, r->output.format);
    for (size_t i = 0; i < a->list.n; i++) {
        const struct cc_gearing *g = &a->list.at[i];
        while (record_begin(&rec, "lead")) {
            record_string(&rec, "command", "lead");
            record_string(&rec, "head", head->title);
            record_number(&rec, "rank", (long long)i + 1);
            record_both(&rec, "wanted", r->output.unit, r->ask.lead);
            record_both(&rec, "screw", r->output.unit, r->ask.screw);
            record_both(&rec, "machine", r->output.unit, a->machine);
            record_string(&rec, "geared_to", r->ask.geared_to == CC_TO_SPINDLE ? "spindle" : "worm");
            record_string(&rec, "hand", r->ask.hand == CC_LEFT_HAND ? "left" : "right");
            record_bool(&rec, "exact", mpq_sgn(g->error) == 0);
            record_counts(&rec, "drivers", g->train.driver, g->train.pairs);
            record_counts(&rec, "driven", g->train.driven, g->train.pairs);
            record_number(&rec, "idlers", g->train.idlers);
            record_both(&rec, "lead", r->output.unit, g->lead);
            record_both(&rec, "error", r->output.unit, g->error);
            record_twist(&rec, r, g);
            record_angles(&rec, r, g);
            record_starts(&rec, r, a, g, head);
            if (r->within_text != NULL)
                record_bool(&rec, "within", is_within(r, g));
            else
                record_null(&rec, "within");
            record_end(&rec);
        }
    }
}

/* ---- the card ---- */

static const char *error_text(char *buf, const mpq_t error, enum cc_unit unit)
{
    char size[FIGURE_SIZE];
    mpq_t amount;

    mpq_init(amount);
    mpq_abs(amount, error);
    length_text(size, amount, unit);
    /* An error too small for the figures shown is still no exact lead. */
    if (mpq_sgn(error) == 0)
        snprintf(buf, 2 * FIGURE_SIZE, "exact");
    else if (strspn(size, "0. ") >= strcspn(size, "mi"))
        snprintf(buf, 2 * FIGURE_SIZE, "not exact, but off by less than the last figure");
    else
        snprintf(buf, 2 * FIGURE_SIZE, "%s too %s", size, mpq_sgn(error) > 0 ? "long" : "short");
    mpq_clear(amount);
    return buf;
}

static const char *last_shaft(const struct request *r)
{
    return r->ask.geared_to == CC_TO_SPINDLE ? "spindle" : "worm shaft";
}

/* "24 on the screw drives 48; 28 on its stud drives 40 on the worm shaft" */
static void train_text(char *buf, size_t size, const struct cc_train *t, const char *last)
{
    size_t used = 0;

    for (unsigned i = 0; i < t->pairs && used < size; i++)
        used += (size_t)snprintf(buf + used, size - used, "%s%u %s drives %u%s%s", i > 0 ? "; " : "",
                                 t->driver[i], i == 0 ? "on the table screw" : "on its stud",
                                 t->driven[i], i + 1 == t->pairs ? " on the " : " on a stud",
                                 i + 1 == t->pairs ? last : "");
}

static const char *idlers_text(unsigned idlers)
{
    static const char *const names[] = { "no idler", "1 idler", "2 idlers" };
    return names[idlers];
}

static void write_gearing(struct text *t, const struct request *r, const struct cc_gearing *g, size_t rank)
{
    char train[300], first[32], length[FIGURE_SIZE], error[2 * FIGURE_SIZE], small[FIGURE_SIZE];

    train_text(train, sizeof train, &g->train, last_shaft(r));
    snprintf(first, sizeof first, "%3zu. ", rank);
    text_para(t, first, "     ", "%s; %s", train, idlers_text(g->train.idlers));
    text_para(t, "     ", "     ", "lead %s, %s", length_text(length, g->lead, r->output.unit),
              error_text(error, g->error, r->output.unit));
    if (mpq_sgn(g->twist) != 0) {
        mpq_t amount;
        mpq_init(amount);
        mpq_abs(amount, g->twist);
        cc_angle_error_str(small, sizeof small, amount, 1, CC_MARKS_UTF8);
        text_para(t, "     ", "     ", "over %s the work turns %s too %s",
                  length_text(length, r->ask.length, r->output.unit), small,
                  mpq_sgn(g->twist) > 0 ? "much" : "little");
        mpq_clear(amount);
    }
    if (mpq_sgn(r->ask.diameter) != 0) {
        mpq_t angle;
        mpq_init(angle);
        mpq_set_d(angle, g->angle_deg / 360);
        text_para(t, "     ", "     ", "helix angle %s", angle_text(small, angle));
        mpq_clear(angle);
    }
}

/* Where the table stops swinging on the machines that can swing at all (common practice). */
static const double most_swing_deg = 45;

static void write_swing(struct text *t, unsigned *step, const struct request *r, const struct cc_gearing *g)
{
    bool right = r->ask.hand == CC_RIGHT_HAND;
    char words[600], angle[FIGURE_SIZE] = "the helix angle";

    if (mpq_sgn(r->ask.diameter) != 0) {
        mpq_t rev;
        mpq_init(rev);
        mpq_set_d(rev, g->angle_deg / 360);
        angle_text(angle, rev);
        mpq_clear(rev);
    }
    if (mpq_sgn(r->ask.diameter) == 0 || g->angle_deg <= most_swing_deg)
        snprintf(words, sizeof words,
                 "Swing the table by %s: for a %s-hand helix push its %s end away from you (common "
                 "practice; the trial line below must lie along the cutter).",
                 angle, right ? "right" : "left", right ? "right" : "left");
    else
        snprintf(words, sizeof words, "The helix angle is %s, more than a table swings: turn the cutter instead, "
                                      "as below.", angle);
    text_step(t, step, words);
    text_para(t, "       ", "       ", "Where the table cannot swing: set a vertical head over by the same angle and cut "
              "at the side of the work, at the height of its axis, with a cutter on a stub arbor; or use an end "
              "mill upright above the axis, which needs no swing (common practice).");
}

/* A quarter turn of the work, or less where that is a long way for a table. */
static void trial_part(mpq_t travel, char *turn, size_t size, const mpq_t lead)
{
    static const struct {
        unsigned long parts;
        const char *name;
    } rows[] = { { 4, "a quarter" }, { 8, "an eighth" }, { 36, "10°" }, { 360, "1°" } };
    static const unsigned long long_way_mm = 200;
    mpq_t parts;

    mpq_init(parts);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mpq_set_ui(parts, rows[i].parts, 1);
        mpq_div(travel, lead, parts);
        snprintf(turn, size, "%s", rows[i].name);
        if (mpq_cmp_ui(travel, long_way_mm, 1) <= 0)
            break;
    }
    mpq_clear(parts);
}

static void write_trial(struct text *t, unsigned *step, const struct request *r, const struct cc_gearing *g)
{
    const char *hand = r->ask.hand == CC_RIGHT_HAND ? "right" : "left";
    char words[400], length[FIGURE_SIZE], turn[24];
    mpq_t travel;

    mpq_init(travel);
    trial_part(travel, turn, sizeof turn, g->lead);
    snprintf(words, sizeof words,
             "Trial, cutter clear: move the table by hand over %s and the work turns %s. Hold a pencil "
             "still on top of the work meanwhile: looked at from the end of the work, a %s-hand line runs away "
             "from you and to the %s. The wrong hand: one idler more, or one less.",
             length_text(length, travel, r->output.unit), turn, hand, hand);
    text_step(t, step, words);
    mpq_clear(travel);
}

static void write_set_up(struct text *t, const struct request *r, const struct answer *a)
{
    const struct cc_gearing *g = &a->list.at[0];
    bool worm = r->ask.geared_to == CC_TO_WORM;
    char words[600], train[300];
    unsigned step = 0;

    text_line(t, "Set up");
    text_step(t, &step, "Machine stopped and isolated. Head and tailstock in line with the table, the work held so "
                        "that it cannot slip: a driver without play, not friction alone.");
    train_text(train, sizeof train, &g->train, last_shaft(r));
    snprintf(words, sizeof words, "Gears: %s; %s between%s. A little play at each mesh, nuts tight, guard on.", train,
             idlers_text(g->train.idlers), g->train.idlers > 0 ? ", from those left" : "");
    text_step(t, &step, words);
    text_step(t, &step, worm ? "Worm in mesh. Crank pin IN, plate stop OUT: the gears turn the plate, the plate "
                               "turns the crank by its pin."
                             : "Worm OUT of mesh, crank left alone: the gears turn the spindle itself.");
    text_step(t, &step, "Spindle clamp OFF, direct pin out: the spindle turns during the cut. It stays off until "
                        "the gears are taken down.");
    write_swing(t, &step, r, g);
    write_trial(t, &step, r, g);
    text_step(t, &step, "Cut one way only, always from the same side, so that the play of the gears is taken up. "
                        "Return with the cutter CLEAR of the work: on the way back the play would spoil the "
                        "groove.");
}

static void write_starts(struct text *t, const struct request *r, const struct answer *a,
                         const struct cc_head *head)
{
    const struct cc_start_index *i = &a->index;
    const char *name = indexes_plainly(r) ? head->plates[i->plate].name : "";

    if (r->ask.starts == 1)
        return;
    text_blank(t);
    text_line(t, "From start to start: %u", r->ask.starts);
    if (indexes_plainly(r) && i->holes > 0)
        text_para(t, "  ", "  ", "Plate %s, side %u, circle %u: %u turns and %u holes. Sector arms %u holes apart, "
                                 "the pin's own hole not counted.",
                  name, i->side, i->circle, i->turns, i->holes, i->holes);
    else if (indexes_plainly(r))
        text_para(t, "  ", "  ", "Plate %s, side %u, circle %u: %u whole turns.", name, i->side, i->circle, i->turns);
    else
        text_para(t, "  ", "  ", "Mark the mesh, take the %u on the spindle out of mesh, turn the work on by %u "
                                 "of its teeth and mesh again. (For another train of the list: its last gear "
                                 "over %u.)",
                  last_driven(&a->list.at[0].train), last_driven(&a->list.at[0].train) / r->ask.starts,
                  r->ask.starts);
    text_para(t, "  ", "  ", "Table back at its start, cutter clear, and nothing but the %s moved. Compound, differential and "
                             "direct indexing are out while the head is geared to the table.",
              indexes_plainly(r) ? "crank" : "work");
}

static void write_card(FILE *out, const struct request *r, const struct answer *a, const struct cc_head *head)
{
    char lead[FIGURE_SIZE], screw[FIGURE_SIZE], machine[FIGURE_SIZE], error[2 * FIGURE_SIZE];
    struct text t;

    text_init(&t, out, &r->output);
    text_para(&t, "", "  ", "Lead %s, %s hand: %s", length_text(lead, r->ask.lead, r->output.unit),
              r->ask.hand == CC_LEFT_HAND ? "left" : "right",
              error_text(error, a->list.at[0].error, r->output.unit));
    if (!is_within(r, &a->list.at[0]))
        text_para(&t, "", "  ", "NOT WITHIN %s, which was asked for: no train of these gears comes nearer.",
                  r->within_text);
    if (!is_near(r, &a->list.at[0]))
        text_para(&t, "", "  ", "NOT NEAR: these gears miss the lead by more than 1 in 100; more gears in a train "
                                "(--most-gears 6) or other gears might reach it.");
    text_para(&t, "", "  ", "%s; table screw %s, lead of the machine %s", head->title,
              length_text(screw, r->ask.screw, r->output.unit),
              length_text(machine, a->machine, r->output.unit));
    text_blank(&t);
    text_line(&t, "Gears, best first");
    for (size_t i = 0; i < a->list.n; i++)
        write_gearing(&t, r, &a->list.at[i], i + 1);
    text_blank(&t);
    write_set_up(&t, r, a);
    write_starts(&t, r, a, head);
    text_blank(&t);
    text_para(&t, "", "", "Fingers and sleeves away from the gears: the table feed turns them. Leads much below that of the "
                          "machine load the gears and the screw: feed by hand, and slowly (common practice). "
                          "Local rules and the machine's own instructions come first.");
}

int cmd_lead(struct cli *cli, int argc, char **argv)
{
    struct request *r = memory_get(sizeof *r);
    struct answer a = { .index = { .side = 0 } };
    struct cc_head head;
    int status = EXIT_TROUBLE;

    request_init(r);
    cc_gearing_list_init(&a.list);
    mpq_init(a.machine);
    cc_head_init(&head);
    if (read_request(r, argc, argv, &cli->err))
        status = check_request(cli, r);
    if (status == EXIT_YES)
        status = cli_status(find_head(&head, r->head, r->mounted, &cli->err));
    if (status == EXIT_YES)
        status = cli_status(work_out(&a, r, &head, &cli->err));
    if (status == EXIT_YES)
        status = output_begin(&r->output, cli);
    if (status == EXIT_YES) {
        if (r->output.format == FORMAT_CARD)
            write_card(cli->out, r, &a, &head);
        else
            write_records(cli->out, r, &a, &head);
        status = output_end(&r->output, cli, is_within(r, &a.list.at[0]) ? EXIT_YES : EXIT_NO);
    }
    cc_head_clear(&head);
    mpq_clear(a.machine);
    cc_gearing_list_clear(&a.list);
    request_clear(r);
    free(r);
    return status;
}
