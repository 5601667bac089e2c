/*
 * gear_card.c: the job sheet: blanks first, then the cutters to fetch, then a short card for each gear in the
 * order that changes plates least.
 */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"
#include "cli/base/shell_words.h"
#include "cli/out/card.h"
#include "cli/out/gears.h"
#include "cli/out/setup.h"
#include "cli/out/text.h"
#include "cli/out/words.h"
#include "cli/subject/gear_job.h"

enum { REQUEST = HEAD_WORDS + 200 };

/* Everything that the parts of the sheet need, and room for the words of one line. */
struct sheet {
    struct text *text;
    const struct gear_job *job;
    enum cc_unit unit;
    enum cc_marks marks;
    struct cc_planner *planner;
};

/* ---- values in words ---- */

struct words {
    char s[160];
};

static struct words length_words(const struct sheet *sheet, const mpq_t mm)
{
    struct words w;

    cc_length_str(w.s, sizeof w.s, mm, sheet->unit, sheet->unit == CC_MM ? 3 : 4);
    return w;
}

static struct words mm_words(const struct sheet *sheet, double mm)
{
    struct words w;
    mpq_t exactly;

    mpq_init(exactly);
    mpq_set_d(exactly, mm);
    w = length_words(sheet, exactly);
    mpq_clear(exactly);
    return w;
}

static struct words degrees_words(const struct sheet *sheet, double degrees)
{
    struct words w;
    mpq_t angle;

    mpq_init(angle);
    mpq_set_d(angle, degrees);
    cc_rational_times(angle, angle, 1, 360);
    cc_angle_dms_str(w.s, sizeof w.s, angle, 0, sheet->marks);
    mpq_clear(angle);
    return w;
}

/* 1.25 where six decimals tell all, else 127/120. */
static struct words number_words(const mpq_t value)
{
    struct words w;

    if (mpz_cmp_ui(mpq_denref(value), 1000000) <= 0 && 1000000 % mpz_get_ui(mpq_denref(value)) == 0)
        cc_decimal_short_str(w.s, sizeof w.s, value, 6);
    else
        cc_rational_str(w.s, sizeof w.s, value);
    return w;
}

/* "module 1.25" or "24 DP". */
static struct words pitch_words(const struct gear_item *item)
{
    struct words w, number;
    mpq_t pitch;

    if (!item->by_pitch) {
        number = number_words(item->ask.module);
        snprintf(w.s, sizeof w.s, "module %.100s", number.s);
        return w;
    }
    mpq_init(pitch);
    mpq_set_ui(pitch, 127, 5);
    mpq_div(pitch, pitch, item->ask.module);
    number = number_words(pitch);
    mpq_clear(pitch);
    snprintf(w.s, sizeof w.s, "%.100s DP", number.s);
    return w;
}

/* "6 (17-20)" */
static struct words cutter_words(const struct cc_cutter *cutter)
{
    struct words w;
    char number[16], range[32];

    cc_cutter_str(number, sizeof number, cutter);
    cc_cutter_range_str(range, sizeof range, cutter);
    if (cutter->halves == 0)
        snprintf(w.s, sizeof w.s, "none");
    else
        snprintf(w.s, sizeof w.s, "%s (%s)", number, range);
    return w;
}

static const char *pressure_words(const struct gear_item *item)
{
    return mpq_cmp_ui(item->ask.pressure_angle, 1, 18) == 0 ? "20°" : "14.5°";
}

static const char *plural(uint64_t n)
{
    return n == 1 ? "" : "s";
}

/* ---- blanks and cutters ---- */

enum { NUMBER, TEETH, KIND, OUTSIDE, DEPTH, CUTTER, PITCH, CELLS };

/* Columns of the blanks, the last as wide as it must be. */
static unsigned make_columns(struct table_column *column, const struct sheet *sheet)
{
    static const struct table_column columns[CELLS] = {
        { "", 2, 0, false },        { "teeth", 7, 1, false }, { "kind", 7, 2, true },  { "outside", 10, 1, false },
        { "depth", 8, 1, false },   { "cutter", 15, 2, true }, { "pitch", 5, 1, true },
    };
    unsigned total = 4;

    memcpy(column, columns, sizeof columns);
    for (size_t i = 0; i < sheet->job->n; i++) {
        struct words pitch = pitch_words(&sheet->job->at[i]);
        if (text_columns(pitch.s) > column[PITCH].width)
            column[PITCH].width = text_columns(pitch.s);
    }
    for (int c = 0; c < CELLS; c++)
        total += column[c].gap + column[c].width;
    return total;
}

/* A row of the table; NULL: a sentence, where the page is too narrow for one. */
static void write_blank(const struct sheet *sheet, const struct table *table, size_t i)
{
    const struct gear_item *item = &sheet->job->at[i];
    struct words outside = length_words(sheet, item->gear.outside_diameter);
    struct words depth = length_words(sheet, item->gear.whole_depth);
    struct words cutter = cutter_words(gear_item_cutter(sheet->job, item)), pitch = pitch_words(item);
    char number[24], teeth[24];

    if (table == NULL) {
        text_tick(sheet->text, "%zu. %lu %s, %s: outside %s, depth %s, cutter %s", i + 1, item->ask.teeth,
                  gear_kind_name(item->ask.kind), pitch.s, outside.s, depth.s, cutter.s);
        return;
    }
    snprintf(number, sizeof number, "%zu", i + 1);
    snprintf(teeth, sizeof teeth, "%lu", item->ask.teeth);
    const char *const cells[CELLS] = { number, teeth, gear_kind_name(item->ask.kind), outside.s, depth.s, cutter.s, pitch.s };
    text_row(sheet->text, table, cells, "[ ]");
}

static void write_blanks(const struct sheet *sheet)
{
    struct table_column column[CELLS];
    const struct table table = { column, CELLS, true, sheet->job->n };
    bool fits = make_columns(column, sheet) <= sheet->text->width || text_is_html(sheet->text);

    text_heading(sheet->text, "Blanks, %s", cc_unit_name(sheet->unit));
    if (fits)
        text_table(sheet->text, &table);
    for (size_t i = 0; i < sheet->job->n; i++)
        write_blank(sheet, fits ? &table : NULL, i);
    text_blank(sheet->text);
}

static bool is_first_of_cutter(const struct gear_job *job, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (gear_same_cutter(job, &job->at[k], &job->at[i]))
            return false;
    return true;
}

/* The gears that the cutter of item i cuts: "20, 24 and 30" by their numbers of teeth. */
static void write_cutter(const struct sheet *sheet, size_t i)
{
    const struct gear_job *job = sheet->job;
    const struct gear_item *item = &job->at[i];
    struct words pitch = pitch_words(item), cutter = cutter_words(gear_item_cutter(job, item));
    size_t size = job->n * 12 + 1, used = 0;
    char *list = memory_get(size);

    list[0] = '\0';
    for (size_t k = i; k < job->n; k++)
        if (gear_same_cutter(job, item, &job->at[k]))
            used += (size_t)snprintf(list + used, size - used, "%s%lu", used > 0 ? ", " : "", job->at[k].ask.teeth);
    text_tick(sheet->text, "%s, %s, %snumber %s: for %s", pitch.s, pressure_words(item),
              item->ask.kind == CC_GEAR_BEVEL ? "bevel, " : "", cutter.s, list);
    free(list);
}

static void write_cutters(const struct sheet *sheet)
{
    bool by_module = false;

    text_heading(sheet->text, "Cutters, each once");
    for (size_t i = 0; i < sheet->job->n; i++) {
        if (gear_item_cutter(sheet->job, &sheet->job->at[i])->halves == 0 || !is_first_of_cutter(sheet->job, i))
            continue;
        by_module = by_module || !sheet->job->at[i].by_pitch;
        write_cutter(sheet, i);
    }
    text_para(sheet->text, "    ", "    ", "%sThe depth engraved on a cutter goes before the depth here.",
              by_module ? "Some module cutters are numbered the other way: go by the range of teeth. " : "");
    text_blank(sheet->text);
}

/* ---- the set-up of one gear ---- */

static void write_place(const struct sheet *sheet, const struct cc_plan *plan)
{
    const struct cc_head *head = &sheet->job->head;
    char gears[WORDS];

    if (cc_plan_is_direct(plan)) {
        text_labelled(sheet->text, "set up", "direct plate, %u holes%s; only plunger and clamp hold: light cuts, no climb "
                  "milling", plan->circle, head->has_worm ? "; worm out of mesh" : "");
        return;
    }
    if (cc_plan_is_dial(plan)) {
        char dial[WORDS];
        setting_words(dial, sizeof dial, head, plan);
        text_labelled(sheet->text, "set up", "%s", dial);
        return;
    }
    if (plan->circle2 != 0)
        text_labelled(sheet->text, "set up",
                  "%s: plate %s side %u%s, crank pin in circle %u, second pin in circle %u",
                  cc_method_name(plan->method), head->plates[plan->plate].name, plan->side,
                  plan->is_mounted ? " (on now)" : "", plan->circle, plan->circle2);
    else
        text_labelled(sheet->text, "set up", "%s: plate %s side %u%s, circle %u", cc_method_name(plan->method),
                  head->plates[plan->plate].name, plan->side, plan->is_mounted ? " (on now)" : "", cc_plan_holes(plan));
    if (plan->train.pairs > 0) {
        gear_words(gears, sizeof gears, &plan->train);
        text_labelled(sheet->text, "gears", "%s; plate stop out", gears);
    }
}

/* False where there is no one movement: also where the pins of a fixture take turns in equal spaces. */
static bool write_constant_movement(const struct sheet *sheet, const struct cc_plan *plan)
{
    int64_t turns, holes, holes2;
    char words[2 * WORDS];

    if (!cc_plan_movement(&turns, &holes, &holes2, plan))
        return false;
    movement_words(words, sizeof words, plan, turns, holes, holes2);
    text_labelled(sheet->text, "move", "%s; %" PRIu64 " times", words, plan->steps);
    if (plan->block > 1)
        text_labelled(sheet->text, "",
                  "Each movement passes %" PRIu64 " spaces; every space is cut once in %" PRIu64 " turns of the work.",
                  plan->block, plan->block);
    return true;
}

/* What of divide and follow asks for this very plan, behind the command's name: "57 -m plain -c 49 --head H". */
static void request_words(char *buf, size_t size, const struct sheet *sheet, const struct gear_item *item)
{
    char tolerance[80] = "", choice[WORDS];

    if (sheet->job->tolerance_text != NULL && !shell_quote(tolerance, sizeof tolerance, sheet->job->tolerance_text))
        tolerance[0] = '\0';
    choice_words(choice, sizeof choice, &item->work.plan, true);
    snprintf(buf, size, "%lu %s%s%s%s", item->ask.teeth, choice, tolerance[0] != '\0' ? " -t " : "", tolerance, sheet->job->head_words);
}

/* Movements differ: the commoner one, and after which spaces it is the other. */
static void write_rounded_movement(const struct sheet *sheet, const struct gear_item *item)
{
    enum { MOST_LISTED = 2000 };
    const struct cc_plan *plan = &item->work.plan;
    int64_t turns, holes, holes2;
    size_t size = 12 * (MOST_LISTED + 1), used = 0;
    char *list, usual[WORDS];
    bool larger = cc_plan_usual_is_larger(plan);
    struct cc_cursor cursor;
    struct cc_step step;

    cc_plan_rounded_movement(&turns, &holes, &holes2, plan, larger);
    holes_words(usual, sizeof usual, turns, holes, plan->circle);
    if (plan->circle2 != 0 || cc_plan_is_dial(plan) || plan->detent > 1 || plan->steps > MOST_LISTED) {
        char request[REQUEST];
        request_words(request, sizeof request, sheet, item);
        text_labelled(sheet->text, "move", "differs from space to space: crankcard divide %s", request);
        return;
    }
    list = memory_get(size);
    list[0] = '\0';
    cc_cursor_init(&cursor, plan, &item->work.divide);
    cc_step_init(&step);
    while (cc_cursor_next(&cursor, &step))
        if (cc_step_odd(&step, plan) != 0)
            used += (size_t)snprintf(list + used, size - used, "%s%" PRIu64, used > 0 ? " " : "", step.step);
    cc_step_clear(&step);
    cc_cursor_clear(&cursor);
    text_labelled(sheet->text, "move", "%s; %" PRIu64 " times; one hole %s at movements %s", usual,
              plan->steps, larger ? "less" : "more", list);
    free(list);
}

/* Second pins have an order of the hands that a sheet has no room for; of gears it is all there, for they can do harm. */
static void write_order_of_hands(const struct sheet *sheet, const struct gear_item *item)
{
    const struct cc_plan *plan = &item->work.plan;
    char request[REQUEST];

    if (!cc_plan_is_compound(plan) || !plan->constant)
        return;
    request_words(request, sizeof request, sheet, item);
    text_labelled(sheet->text, "", "The hands in their order: crankcard divide %s", request);
}

static void write_error(const struct sheet *sheet, const struct cc_plan *plan)
{
    char worst[64], pitch[64];

    if (plan->exact)
        return;
    cc_angle_error_str(worst, sizeof worst, plan->worst_error, 1, sheet->marks);
    cc_angle_error_str(pitch, sizeof pitch, plan->worst_pitch, 1, sheet->marks);
    text_labelled(sheet->text, "error", "not exact: %s at worst, %s between neighbours%s", worst, pitch,
              plan->within ? "" : "; NOT WITHIN TOLERANCE");
}

/* A gear as a job of divide, to say what divide says of the same plan. job_clear leaves head and planner alone. */
static void make_job(struct job *job, const struct sheet *sheet, const struct gear_item *item)
{
    const struct cc_request *ask = &item->work.divide;
    struct cc_plan best;

    job_init(job, "gear");
    cc_head_clear(&job->head);
    job->head = sheet->job->head;
    job->planner = sheet->planner;
    job->lent = true;
    mpz_set(job->request.divisions, ask->divisions);
    job->request.methods = ask->methods;
    job->request.circle = ask->circle;
    job->request.has_tolerance = ask->has_tolerance;
    mpq_set(job->request.tolerance, ask->tolerance);
    mpq_set(job->request.most_turns, ask->most_turns);
    cc_plan_init(&best);
    if (cc_planner_best(&best, &job->answer, job->planner, &job->request, NULL) == CC_ENOMEM)
        memory_exhausted();
    cc_plan_clear(&best);
    cc_plan_set(&job->plan, &item->work.plan);
}

/* Simpler and more exact ways, each with the command that asks for this gear so. */
static void write_choices(const struct sheet *sheet, struct job *job, const struct gear_item *item)
{
    char **words = memory_get((sheet->job->word_count + 2) * sizeof *words), teeth[24], gear[] = "gear";

    snprintf(teeth, sizeof teeth, "%lu", item->ask.teeth);
    words[0] = gear;
    words[1] = teeth;
    for (size_t i = 0; i < sheet->job->word_count; i++)
        words[i + 2] = sheet->job->words[i];
    job->words = words;
    job->word_count = sheet->job->word_count > 0 ? sheet->job->word_count + 2 : 0;
    card_choices(sheet->text, job);
    free(words);
}

/* A plate that turns with the work: all that the hands do, and what must be seen at the end, as divide has it. */
static void write_geared_plate(const struct sheet *sheet, const struct gear_item *item)
{
    struct text_list list = { sheet->text, 0 };
    struct setup setup;
    struct job job;

    if (!item->work.has_plan || item->work.plan.train.pairs == 0)
        return;
    make_job(&job, sheet, item);
    text_para(sheet->text, "  ", "  ", "The plate is geared to the spindle, and turns under the pin. Set up:");
    setup_make(&setup, &job);
    for (size_t i = 0; i < setup.n; i++)
        text_item(&list, "%s", setup.at[i].words);
    setup_clear(&setup);
    card_closing(sheet->text, &job);
    job_clear(&job);
}

/* In HTML: every movement, to be ticked. */
static void write_steps(const struct sheet *sheet, const struct gear_item *item)
{
    struct job job;
    char request[REQUEST];

    if (!text_is_html(sheet->text) || !item->work.has_plan)
        return;
    make_job(&job, sheet, item);
    text_heading(sheet->text, "Steps of %lu teeth", item->ask.teeth);
    request_words(request, sizeof request, sheet, item);
    if (job.plan.steps > CARD_STEPS)
        text_para(sheet->text, "  ", "  ", "Too many for this sheet: crankcard divide %s -f html --all-steps", request);
    else
        card_steps(sheet->text, &job, 0, job.plan.steps);
    job_clear(&job);
}

static void write_ways(const struct sheet *sheet, const struct gear_item *item)
{
    struct job job;
    char request[REQUEST];

    make_job(&job, sheet, item);
    write_choices(sheet, &job, item);
    struct words lead = mm_words(sheet, item->gear.lead_mm);
    bool helix = item->ask.kind == CC_GEAR_HELICAL;
    request_words(request, sizeof request, sheet, item);
    text_labelled(sheet->text, "follow", "keep the place: crankcard follow %s%s%s%s", request, helix ? " --lead " : "",
              helix ? lead.s : "", helix ? cc_unit_name(sheet->unit) : "");
    job_clear(&job);
}

static void write_plan(const struct sheet *sheet, const struct gear_item *item)
{
    if (!item->work.has_plan) {
        text_labelled(sheet->text, "set up", "NO PLAN: %s", item->work.no_plan);
        return;
    }
    write_place(sheet, &item->work.plan);
    if (!write_constant_movement(sheet, &item->work.plan))
        write_rounded_movement(sheet, item);
    write_order_of_hands(sheet, item);
    write_error(sheet, &item->work.plan);
    write_ways(sheet, item);
}

/* ---- one gear ---- */

static void write_sizes(const struct sheet *sheet, const struct gear_item *item)
{
    const struct cc_gear *gear = &item->gear;
    struct words outside = length_words(sheet, gear->outside_diameter), pitch = length_words(sheet, gear->pitch_diameter);
    struct words depth = length_words(sheet, gear->whole_depth), cutter = cutter_words(gear_item_cutter(sheet->job, item));

    text_labelled(sheet->text, "blank", "outside %s, pitch diameter %s %s", outside.s, pitch.s,
              cc_unit_name(sheet->unit));
    text_labelled(sheet->text, "cut", "%s %s, %s deep%s",
              gear_item_cutter(sheet->job, item)->halves == 0 ? "cutter:" : "cutter", cutter.s, depth.s,
              gear->kind == CC_GEAR_BEVEL ? " at the large end" : "");
    if (gear->kind != CC_GEAR_SPUR)
        text_labelled(sheet->text, "", "(cutter for %.2f formative teeth)", gear->formative_teeth);
}

/* The gears found for --screw, or how to find them. */
static void write_lead_gears(const struct sheet *sheet, const struct gear_item *item)
{
    const struct cc_gearing *g = &item->gearing;
    struct words geared;
    const char *unit = cc_unit_name(sheet->unit);
    char train[WORDS] = "", idlers[WORDS], fit[GEAR_WORDS];
    size_t used = 0;

    if (item->no_gearing[0] != '\0') {
        text_labelled(sheet->text, "gears", "NONE FOR THIS LEAD: %s", item->no_gearing);
        return;
    }
    if (!item->has_gearing) {
        text_labelled(sheet->text, "gears", "--screw with the pitch of the table screw finds them");
        return;
    }
    for (unsigned i = 0; i < g->train.pairs; i++)
        used += (size_t)snprintf(train + used, sizeof train - used, "%s%u drives %u", i > 0 ? ", on its stud " : "",
                                 g->train.driver[i], g->train.driven[i]);
    geared = length_words(sheet, g->lead);
    idler_words(idlers, sizeof idlers, &g->train);
    fit_words(fit, sizeof fit, &g->train, &sheet->job->head, CC_FOR_LEAD, sheet->unit);
    text_labelled(sheet->text, "gears",
              "%s (first on the table screw, last on the worm shaft), %s: lead %s %s. %s", train, idlers, geared.s, unit, fit);
}

static void write_helix(const struct sheet *sheet, const struct gear_item *item)
{
    double given = item->has_gearing ? item->gearing.angle_deg : item->gear.helix_deg;
    struct words angle = degrees_words(sheet, item->gear.helix_deg), lead = mm_words(sheet, item->gear.lead_mm);
    struct words swing = degrees_words(sheet, given);

    text_labelled(sheet->text, "helix", "%s hand, %s wanted, lead %s %s", gear_hand_name(item->hand), angle.s,
              lead.s, cc_unit_name(sheet->unit));
    write_lead_gears(sheet, item);
    text_labelled(sheet->text, "table", "swung %s%s", swing.s,
              item->has_gearing ? ", as these gears give it" : "; with gears, by the angle that they give");
    text_labelled(sheet->text, "",
              "While it cuts: clamp off, plate stop out, crank pin in. Bring the table back with the cutter clear. "
              "Which way the table swings, the trial line that proves the hand, run-in, run-out and locks stand on the card of lead.");
}

static void write_bevel(const struct sheet *sheet, const struct gear_item *item)
{
    const struct cc_gear *gear = &item->gear;
    struct words root = degrees_words(sheet, gear->root_angle_deg), face = degrees_words(sheet, gear->face_angle_deg);
    struct words pitch = degrees_words(sheet, gear->pitch_angle_deg), crown = mm_words(sheet, gear->apex_to_crown_mm);
    struct words width = mm_words(sheet, gear->face_mm), cone = mm_words(sheet, gear->cone_distance_mm);

    text_labelled(sheet->text, "",
              "face angle %s from the axis, face width %s%s, apex to crown %s, cone distance %s", face.s,
              mpq_sgn(item->ask.face) == 0 ? "at most " : "", width.s, crown.s, cone.s);
    text_labelled(sheet->text, "tilt", "%s, spindle axis against the table (root angle; pitch angle %s). To set and prove it: crankcard tilt %.4f",
              root.s, pitch.s, gear->root_angle_deg);
    if (!gear_can_tilt(sheet->job, item))
        text_labelled(sheet->text, "", "%s: see crankcard heads.",
                  sheet->job->head.has_tilt ? "THIS HEAD DOES NOT TILT SO FAR" : "THIS HEAD DOES NOT TILT");
    struct words most = mm_words(sheet, gear->cutter_most_mm), over = mm_words(sheet, gear->cutter_most_mm / 2);
    struct words roll = degrees_words(sheet, gear->roll_deg);
    char crank[64] = "";
    if (sheet->job->head.has_worm)
        snprintf(crank, sizeof crank, " (%.2f turns of the crank, to the nearest hole)", gear->roll_deg / 360 * mpq_get_d(sheet->job->head.worm));
    text_labelled(sheet->text, "",
              "Cutter of the BEVEL series, of that number, no thicker than %s at the small end's pitch line: one of the plain "
              "series leaves too wide a space there.", most.s);
    text_labelled(sheet->text, "",
              "After the centre cuts trim both flanks. To start from: set the blank over by half the cutter's thickness at the small "
              "end's pitch line (%s at most) and roll it %s%s against that, going forward last; cut all round; then the same to the other "
              "side. Go on by trial until the large end measures right; file the small end (%.2f of the large).", over.s, roll.s,
              crank, gear->small_end);
    text_labelled(sheet->text, "",
              "Without such a cutter: teeth of equal depth, the head set to the pitch angle and a plain cutter for the small end; they "
              "carry at one end only and suit light work.");
}

static void write_measures(const struct sheet *sheet, const struct gear_item *item)
{
    const struct cc_gear *gear = &item->gear;
    struct words thick = mm_words(sheet, gear->chordal_thickness_mm), down = mm_words(sheet, gear->chordal_addendum_mm);
    const char *first = "measure";

    if (gear->has_span) {
        struct words span = mm_words(sheet, gear->span_mm), face = mm_words(sheet, gear->span_face_mm);
        if (gear->kind == CC_GEAR_HELICAL)
            text_labelled(sheet->text, first, "%s over %lu teeth (needs %s of face)", span.s, gear->span_teeth, face.s);
        else
            text_labelled(sheet->text, first, "%s over %lu teeth", span.s, gear->span_teeth);
        first = "";
    }
    if (gear->has_pins) {
        struct words pin = mm_words(sheet, gear->pin_mm), over = mm_words(sheet, gear->over_pins_mm);
        bool balls = gear->kind == CC_GEAR_HELICAL && gear->teeth % 2 == 1;
        text_labelled(sheet->text, first, "%s over two %s %s", over.s, pin.s, balls ? "balls" : "pins");
        first = "";
    }
    text_labelled(sheet->text, first, "tooth %s thick, %s below the tip", thick.s, down.s);
    if (gear->has_pair && gear->kind != CC_GEAR_BEVEL) {
        struct words centres = length_words(sheet, gear->centre_distance);
        text_labelled(sheet->text, "mate", "%lu teeth%s, centre distance %s, contact ratio %.2f", gear->mate,
                  gear->kind == CC_GEAR_HELICAL ? " of the other hand" : "", centres.s, gear->contact_ratio);
    }
}

static void write_remarks(const struct sheet *sheet, const struct gear_item *item)
{
    char text[300];

    for (unsigned bit = 1; bit < 1u << CC_GEAR_REMARKS; bit <<= 1) {
        if (!(item->gear.remarks & bit))
            continue;
        cc_gear_remark_str(text, sizeof text, &item->gear, (enum cc_gear_remark)bit);
        text_labelled(sheet->text, "note", "%s", text);
    }
}

static void write_gear(const struct sheet *sheet, size_t i)
{
    const struct gear_item *item = &sheet->job->at[i];
    struct words pitch = pitch_words(item);

    if (text_lines_left(sheet->text) < 16)
        text_new_page(sheet->text);
    text_task(sheet->text, "%zu. %lu teeth, %s, %s, %s%s%s", i + 1, item->ask.teeth, pitch.s,
              pressure_words(item), gear_kind_name(item->ask.kind), item->name != NULL ? ": " : "",
              item->name != NULL ? item->name : "");
    write_sizes(sheet, item);
    if (item->ask.kind == CC_GEAR_BEVEL)
        write_bevel(sheet, item);
    if (item->ask.kind == CC_GEAR_HELICAL)
        write_helix(sheet, item);
    write_plan(sheet, item);
    write_measures(sheet, item);
    write_remarks(sheet, item);
    write_geared_plate(sheet, item);
    write_steps(sheet, item);
    text_blank(sheet->text);
}

/* ---- the sheet ---- */

/* How the hands go about it; common practice, but for the figures. */
static void write_practice(const struct sheet *sheet, bool helix)
{
    const struct gear_item *first = NULL;

    for (size_t i = 0; i < sheet->job->n && first == NULL; i++)
        if (sheet->job->at[i].gear.has_span)
            first = &sheet->job->at[i];
    text_para(sheet->text, "", "", "Blank running true. Cutter on centre%s. Cut towards the head. The depth engraved on the cutter goes "
              "before the depth here.", helix ? " before the table is swung; the pivot of the swing under the cutter" : "");
    text_para(sheet->text, "", "", "An undersized blank: take half of what its diameter lacks off the depth and off the height to the "
              "tip.");
    if (first != NULL)
        text_para(sheet->text, "", "", "Cut one space more than the span has teeth, a little shy of the depth, measure, and go deeper all the way "
                  "round by %.2f times what the span is too long. Backlash is yours to choose: each gear's span is shorter by half of it "
                  "times the cosine of the pressure angle.", first->gear.deepen);
}

/* How the hands come to a place, of all ways that the sheet's gears need. */
static void hands_words(char *buf, size_t size, const struct sheet *sheet)
{
    bool plates = false, dial = false;

    for (size_t i = 0; i < sheet->job->n; i++) {
        const struct gear_item *item = &sheet->job->at[i];
        plates = plates || (item->work.has_plan && cc_plan_has_plate(&item->work.plan));
        dial = dial || (item->work.has_plan && cc_plan_is_dial(&item->work.plan));
    }
    snprintf(buf, size, "%s%s%s",
             plates ? "Set the sector arms to the holes of the movement, the pin's own hole not counted. Past the hole? Back half "
                      "a turn or more, two turns with change gears, and forward to it again; never step back to a hole. " : "",
             dial ? "By the dial come up to each reading from the same side; past it, back half a turn or more, and up to it again. " : "",
             plates || dial ? "" : "Always turn forward up to the hole. ");
}

static void write_end(const struct sheet *sheet)
{
    bool helix = false;
    char hands[600];

    hands_words(hands, sizeof hands, sheet);
    for (size_t i = 0; i < sheet->job->n; i++) {
        helix = helix || sheet->job->at[i].ask.kind == CC_GEAR_HELICAL;
    }
    write_practice(sheet, helix);
    text_para(sheet->text, "", "",
              "Before the first cut go once round and mark each space lightly: the last movement must fall on "
              "the first mark. %sClamp the spindle for the cut%s.",
              hands, helix ? ", but never for a helix" : "");
    text_para(sheet->text, "", "",
              "Sizes are nominal, without backlash. Stop the spindle to measure, and keep clear of cutter and "
              "chips; local rules and qualified instruction come first.");
}

/* What every page begins with: the teeth, and of a gear alone the plate. */
static void write_page_head(struct text *text, const struct gear_job *job)
{
    char teeth[120] = "", setting[2 * WORDS];
    size_t used = 0;

    for (size_t i = 0; i < job->n && used + 40 < sizeof teeth; i++)
        used += (size_t)snprintf(teeth + used, sizeof teeth - used, "%s%lu", i > 0 ? ", " : "", job->at[i].ask.teeth);
    snprintf(setting, sizeof setting, "%s", job->head.title);
    if (job->n == 1 && job->at[0].work.has_plan)
        setting_words(setting, sizeof setting, &job->head, &job->at[0].work.plan);
    text_head(text, "Gear%s of %s%s teeth, %s", plural(job->n), teeth, used + 40 < sizeof teeth ? "" : " ...", setting);
}

void gear_write_card(struct text *text, const struct gear_job *job, enum cc_unit unit)
{
    struct sheet sheet = { text, job, unit, text->ascii ? CC_MARKS_ASCII : CC_MARKS_UTF8, NULL };
    struct cc_error err;

    if (cc_planner_new(&sheet.planner, &job->head, &err) != CC_OK)
        memory_exhausted();     /* the sheet was planned on this head: nothing else can be wrong with it */

    write_page_head(text, job);
    if (job->n == 1)
        text_title(text, "GEAR on %s", job->head.title);
    else if (job->plate_changes == 0)
        text_title(text, "GEAR JOB: %zu gears on %s, no change of plate", job->n, job->head.title);
    else
        text_title(text, "GEAR JOB: %zu gears on %s, %zu change%s of plate", job->n, job->head.title,
                  job->plate_changes, plural(job->plate_changes));
    text_blank(text);
    if (job->n > 1) {
        write_blanks(&sheet);
        write_cutters(&sheet);
    }
    for (size_t i = 0; i < job->n; i++)
        write_gear(&sheet, i);
    text_keep_rest(text, 0);
    write_end(&sheet);
    cc_planner_free(sheet.planner);
}
