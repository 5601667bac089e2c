/*
 * head_proof.c: see head_proof.h. In the order of a first acquaintance: clean, worm, plates, dial, direct plate, gears, axis.
 * docs/acquaintance.md gives the reasons; what is not derived there is common practice.
 */
#include "cli/subject/head_proof.h"

#include <string.h>

#include "crankcard/angle.h"
#include "crankcard/number.h"
#include "cli/out/readings.h"
#include "cli/out/words.h"

static unsigned largest_circle(const struct cc_head *head)
{
    unsigned largest = 0;

    for (size_t p = 0; p < head->plate_count; p++)
        for (unsigned s = 0; s < CC_MAX_SIDES; s++)
            for (size_t i = 0; i < head->plates[p].side[s].n; i++)
                if (head->plates[p].side[s].at[i] > largest)
                    largest = head->plates[p].side[s].at[i];
    return largest;
}

static void clean(struct text_list *list, const struct cc_head *head)
{
    text_item(list, "Clean: spindle nose and taper, base and keys, %s. Take burrs off with a stone, not a file.",
              head->plate_count > 0 ? "both faces of each plate, every hole of it"
              : head->direct.n > 0  ? "the direct plate and its holes"
                                    : "the dial and the rim");
}

static void worm_mesh(struct text_list *list)
{
    text_item(list, "Worm: bring it into mesh with as little play as lets the crank turn freely all the way round, and tighten its "
              "clamp. A tight spot in one place is the wheel's runout: set the mesh there.");
}

/* A pin's reading on an arm: 0.01 mm at 100 mm is 0.0001 of a radian. */
static void cross_arm(struct text_list *list)
{
    text_item(list, "Cross arm: clamp a straight bar across the work or chuck, square to the axis, and let an indicator touch its side at "
              "a stated radius. At 100 mm from the axis 0.01 mm is 20.6\xE2\x80\xB3. An indicator on a round bar on the axis sees no rotation.");
}

static void backlash(struct text_list *list, const struct cc_head *head)
{
    unsigned circle = largest_circle(head);
    char hole[64];
    mpq_t one;

    if (circle == 0) {
        text_item(list, "Backlash: spindle clamp off. Come forward to a line of the dial, indicator on the arm to zero. Turn back until the indicator "
                  "just moves, and read the dial: what lies between is the backlash. Half a turn back must be more than that.");
        return;
    }
    mpq_init(one);
    mpq_set_ui(one, 1, circle);
    mpq_div(one, one, head->worm);
    cc_angle_error_str(hole, sizeof hole, one, 1, CC_MARKS_UTF8);
    mpq_clear(one);
    text_item(list, "Backlash: spindle clamp off, direct plunger out. Go forward into a hole of the %u circle, indicator on the arm to zero. Pull the pin and turn back until the "
              "indicator just moves; count the holes. Each is %s of the spindle. Half a turn back must be more than that.", circle, hole);
}

static void ratio(struct text_list *list, const struct cc_head *head)
{
    char worm[64], turns[64], rounds[64];
    mpq_t whole;

    cc_rational_str(worm, sizeof worm, head->worm);
    /* P/Q: after P turns of the crank the spindle has gone round Q times. */
    mpq_init(whole);
    mpq_set_z(whole, mpq_numref(head->worm));
    cc_rational_str(turns, sizeof turns, whole);
    mpq_set_z(whole, mpq_denref(head->worm));
    cc_rational_str(rounds, sizeof rounds, whole);
    mpq_clear(whole);
    bool plate = head->plate_count > 0;
    text_item(list, plate ? "Worm ratio %s. Come forward into a hole, mark it; indicator on the arm to zero, and out of its way."
                          : "Worm ratio %s. Come forward to 0 of the dial; indicator on the arm to zero, and out of its way.", worm);
    text_item(list, plate ? "Turn forward exactly %s turn%s, counted aloud, into the marked hole: the spindle has gone round %s%s, and the "
                            "indicator brought back reads zero again."
                          : "Turn forward exactly %s turn%s, counted aloud, up to 0 of the dial: the spindle has gone round %s%s, and the "
                            "indicator brought back reads zero again.", turns, strcmp(turns, "1") == 0 ? "" : "s", strcmp(rounds, "1") == 0 ? "once" : rounds,
              strcmp(rounds, "1") == 0 ? "" : " times");
    text_para(list->text, "    ", "    ", "Far off: the ratio is another one. A small difference is what the head does not repeat, or a slack "
              "clamp. It is NOT its accuracy: worm, wheel and hole are all back where they were, and their errors cancel. Accuracy "
              "comes from positions all round: the command assess.");
}

static void clamp_and_way(struct text_list *list, const struct cc_head *head)
{
    text_item(list, "Clamp: indicator on the arm to zero, spindle clamp on, off, on. What it moves, and which way, is for assess. "
              "Clamp off again.");
    if (head->has_worm)
        text_item(list, "Which way: crank clockwise, look at the spindle nose. spindle = with, or against, in the profile%s.",
                  head->spindle == CC_SPINDLE_UNKNOWN ? ", which does not say" : head->spindle == CC_SPINDLE_WITH ? ": with" : ": against");
}

static void circles(struct text_list *list, const struct cc_head *head)
{
    for (size_t p = 0; p < head->plate_count; p++) {
        for (unsigned s = 0; s < CC_MAX_SIDES; s++) {
            char words[2048];
            if (head->plates[p].side[s].n == 0)
                continue;
            counts_words(words, sizeof words, &head->plates[p].side[s]);
            size_t n = head->plates[p].side[s].n;
            text_item(list, "Plate %s, side %u: %zu circle%s. Put a dot of paint by one hole of %s "
                      "and count once round, the dot being number 1: %s. Try the pin in every hole: it drops to the same "
                      "depth and does not shake.", head->plates[p].name, s + 1, n, n == 1 ? "" : "s, from the smallest count to the largest",
                      n == 1 ? "it" : "each circle", words);
        }
    }
}

/* A space of a scale that divides turn, and what a vernier of it reads. */
static void scale_words(char *buf, size_t size, const mpq_t turn, unsigned lines, unsigned vernier)
{
    char space[64], part[64];
    mpq_t angle;

    mpq_init(angle);
    cc_rational_times(angle, turn, 1, lines);
    plain_angle_words(space, sizeof space, angle);
    cc_rational_times(angle, turn, 1, (unsigned long)lines * vernier);
    plain_angle_words(part, sizeof part, angle);
    mpq_clear(angle);
    snprintf(buf, size, "%u lines, %s each%s%s", lines, space, vernier > 1 ? "; the vernier reads " : "", vernier > 1 ? part : "");
}

static void try_vernier(struct text_list *list, const char *scale, unsigned vernier)
{
    if (vernier > 1)
        text_item(list, "Vernier of the %s: with its 0 in line with a line, its line %u is in line with another, and none between is. Each in "
                  "turn comes into line as the scale goes on by one part.", scale, vernier);
}

static void dial_and_rim(struct text_list *list, const struct cc_head *head)
{
    char words[200], turn[64];
    mpq_t one;

    if (!cc_head_has_dial(head))
        return;
    mpq_init(one);
    mpq_inv(one, head->worm);
    plain_angle_words(turn, sizeof turn, one);
    scale_words(words, sizeof words, one, head->dial.lines, head->dial.vernier);
    text_item(list, "Dial: count once round, the 0 being number 1: %s. Crank clockwise: its numbers %s.%s", words,
              head->dial.rises == CC_CLOCKWISE ? "rise" : head->dial.rises == CC_COUNTER ? "fall"
              : "rise or fall, and the profile does not say which: rises = clockwise, or counter",
              head->dial.fixed ? "" : " It can be let go, set to 0 and held again without moving the crank: try it.");
    try_vernier(list, "dial", head->dial.vernier);
    mpq_set_ui(one, 1, 1);
    if (head->rim.lines > 0) {
        scale_words(words, sizeof words, one, head->rim.lines, head->rim.vernier);
        text_item(list, "Rim: %s. Dial and rim at 0, both come up to forward. One turn of the crank, the dial at 0 again: the rim has gone on by "
                  "%s. After ten, by ten times that. If it does not, lines or ratio are others.", words, turn);
        try_vernier(list, "rim", head->rim.vernier);
    }
    mpq_clear(one);
}

static void second_pin(struct text_list *list, const struct cc_head *head)
{
    if (head->plate_count == 0 || head->plate_pin == CC_PIN_NONE)
        return;
    text_item(list, "Second pin, for compound indexing. Crank pin in, plate's stop out: the plate must turn with the crank. A pin fixed to "
              "the head (it may be that stop) must then drop into circles of %s and hold the plate. If there is no such pin, or the "
              "plate is bolted fast: plate_pin = none; if it does: plate_pin = same, or other.",
              head->plate_pin == CC_PIN_OTHER ? "the plate's other side" : "the side that the crank pin uses");
}

/* Half a turn by the direct plate; in words at the first of its circles. */
static void half_turn(struct text_list *list, unsigned holes, unsigned pins, bool again)
{
    const char *plural = holes == 1 ? "" : "s", *pin = pins > 1 ? " with the same pin" : "";

    if (again)
        text_item(list, "Half a turn, %u hole%s%s, by the parallel as before.", holes, plural, pin);
    else
        text_item(list, "Half a turn, %u hole%s%s. A ground parallel in the vice or chuck: traverse its face with an indicator and set it "
                  "to zero slope. Clamp off, half a turn, plunger in, clamp on: traverse the other face. A slope there is what plate, plunger and clamp "
                  "do not hold; 0.01 mm in 100 mm is 20.6\xE2\x80\xB3. (A reading that differs from side to side, without slope, is only "
                  "a parallel off centre.)", holes, plural, pin);
}

static void direct_plate(struct text_list *list, const struct cc_head *head)
{
    bool halved = false;

    for (size_t i = 0; i < head->direct.n; i++) {
        unsigned holes = head->direct.at[i], pins = cc_direct_pins(head, i);
        if (pins > 1)
            text_item(list, "Direct plate: count %u holes and %u pins. With the first pin in, the last pin's hole must be out by one division "
                      "less: each pin in turn moves the spindle by 1/%u of a turn.", holes, pins, holes * pins);
        else
            text_item(list, "Direct plate: %sswing it round by hand, nothing heavy in it, and count %u holes back to the first.",
                      head->has_worm ? "worm out of mesh, " : "", holes);
        if (holes % 2 != 0)
            continue;
        half_turn(list, holes / 2, pins, halved);
        halved = true;
    }
}

static void gears(struct text_list *list, const struct cc_head *head)
{
    char words[2048];

    if (head->gears.n == 0)
        return;
    counts_words(words, sizeof words, &head->gears);
    text_item(list, "Change gears: count the teeth of each: %s.", words);
    text_item(list, "%s Handwheel off, guard off. Put on a train with the least room that a card calls good, a strip of thin paper in each mesh; "
              "turn it by hand a full round: no gear touches a shaft, a stud or the table. Then the guard back on, before power.",
              head->bracket.stated
                  ? "Bracket: measure again, with calipers, from shaft to shaft, a stud at either end of the slot, the largest collar, and compare with [bracket] of the profile."
                  : "Bracket: not in the profile. Measure the gears over their tips, from shaft to shaft, a stud at either end of the slot, the largest collar: docs/profile.md says how.");
}

static void axis(struct text_list *list, const struct cc_head *head)
{
    text_item(list, "Axis: a test bar in the taper, or between the centres. Traverse its top and its side over 100 mm: level with the table, "
              "along the slots. Then the footstock's centre, to the same height.");
    if (head->has_tilt)
        text_item(list, "Tilt: how its zero mark is found and tried, tilt --first; what it then shows when level is tilt_zero in the profile%s.",
                  head->has_tilt_zero ? "" : ", which does not say");
}

void head_proof(struct text *t, const struct cc_head *head)
{
    struct text_list items = { t, 0 }, *list = &items;

    text_para(t, "", "", "To prove: %s", head->title);
    text_line(t, "%s", "");
    text_para(t, "", "", "Machine spindle stopped and isolated, no cutter in. Local rules and the machine's own "
              "instructions come first.");
    text_line(t, "%s", "");
    clean(list, head);
    if (head->has_worm)
        worm_mesh(list);
    cross_arm(list);
    if (head->has_worm) {
        backlash(list, head);
        ratio(list, head);
    }
    clamp_and_way(list, head);
    circles(list, head);
    dial_and_rim(list, head);
    second_pin(list, head);
    direct_plate(list, head);
    gears(list, head);
    axis(list, head);
    text_line(t, "%s", "");
    text_para(t, "", "", "A count that differs: correct the profile before the first part. crankcard plans for the numbers it is told.");
}
