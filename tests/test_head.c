/* test_head.c: profiles read, refused and written back; which plate is on. */
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/head.h"
#include "support.h"

#define PLATE_A "[plate A]\nside 1 = 15 16 17\n"
#define SMALL "[head]\nworm = 40\n" PLATE_A
#define X10 "xxxxxxxxxx"
#define X50 X10 X10 X10 X10 X10
#define X170 X50 X50 X50 X10 X10

static enum cc_status read_text(struct cc_head *head, const char *text, struct cc_error *err)
{
    return cc_head_read(head, text, strlen(text), "test", "f.ini", err);
}

/* A head from a profile that must be good. */
static void read_good(struct cc_head *head, const char *text)
{
    struct cc_error err;

    cc_head_init(head);
    if (read_text(head, text, &err) != CC_OK)
        fail_msg("refused: %s\n%s", err.text, text);
}

/* ---- equality, field by field ---- */

static bool same_text(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

static bool same_names(const struct cc_head *a, const struct cc_head *b)
{
    if (a->direct_name == NULL || b->direct_name == NULL)
        return a->direct_name == b->direct_name;
    for (size_t i = 0; i < a->direct.n; i++)
        if (strcmp(a->direct_name[i], b->direct_name[i]) != 0)
            return false;
    return true;
}

static bool same_counts(const struct cc_counts *a, const struct cc_counts *b)
{
    return a->n == b->n && (a->n == 0 || memcmp(a->at, b->at, a->n * sizeof *a->at) == 0);
}

static bool same_plates(const struct cc_head *a, const struct cc_head *b)
{
    if (a->plate_count != b->plate_count || a->mounted_plate != b->mounted_plate ||
        a->mounted_side != b->mounted_side)
        return false;
    for (size_t i = 0; i < a->plate_count; i++)
        if (!same_text(a->plates[i].name, b->plates[i].name) || a->plates[i].detent != b->plates[i].detent ||
            !same_counts(&a->plates[i].side[0], &b->plates[i].side[0]) ||
            !same_counts(&a->plates[i].side[1], &b->plates[i].side[1]))
            return false;
    return true;
}

static bool same_reach(const struct cc_reach *a, const struct cc_reach *b)
{
    return a->low == b->low && a->high == b->high;
}

static bool same_bracket(const struct cc_bracket *a, const struct cc_bracket *b)
{
    return a->module == b->module && a->dp == b->dp && same_reach(&a->centres, &b->centres) &&
           same_reach(&a->lead_centres, &b->lead_centres) && same_reach(&a->short_centres, &b->short_centres) &&
           same_reach(&a->reach, &b->reach) && a->has_drop == b->has_drop && a->has_offset == b->has_offset &&
           a->lead_drop == b->lead_drop && a->lead_offset == b->lead_offset && a->slot == b->slot && a->studs == b->studs &&
           a->planes == b->planes && a->collar == b->collar && a->has_clear == b->has_clear && a->has_play == b->has_play &&
           a->clear == b->clear && a->play == b->play && a->spindle_most == b->spindle_most && a->worm_most == b->worm_most &&
           a->screw_most == b->screw_most && a->sleeve_least == b->sleeve_least;
}

static bool same_scales(const struct cc_head *a, const struct cc_head *b)
{
    return a->dial.lines == b->dial.lines && a->dial.vernier == b->dial.vernier && a->dial.fixed == b->dial.fixed &&
           (a->dial.lines == 0 || a->dial.numbered == b->dial.numbered) && a->dial.rises == b->dial.rises &&
           a->rim.lines == b->rim.lines && a->rim.vernier == b->rim.vernier && a->rim.rises == b->rim.rises;
}

static bool same_head(const struct cc_head *a, const struct cc_head *b)
{
    return same_text(a->name, b->name) && same_text(a->title, b->title) &&
           a->has_worm == b->has_worm && mpq_equal(a->worm, b->worm) && same_plates(a, b) &&
           a->has_tilt == b->has_tilt && mpq_equal(a->tilt_low, b->tilt_low) &&
           mpq_equal(a->tilt_high, b->tilt_high) && a->has_tilt_zero == b->has_tilt_zero && mpq_equal(a->tilt_zero, b->tilt_zero) &&
           a->spindle == b->spindle &&
           same_counts(&a->plate_pin_circles, &b->plate_pin_circles) &&
           same_counts(&a->crank_pin_circles, &b->crank_pin_circles) && a->plate_pin == b->plate_pin && a->plate_pin_stated == b->plate_pin_stated && same_text(a->nose, b->nose) &&
           same_text(a->taper, b->taper) && same_counts(&a->direct, &b->direct) &&
           same_counts(&a->vernier, &b->vernier) && same_names(a, b) && same_counts(&a->gears, &b->gears) &&
           a->reversed == b->reversed && a->least_sum == b->least_sum &&
           a->most_sum == b->most_sum && same_bracket(&a->bracket, &b->bracket) && a->has_worm_accuracy == b->has_worm_accuracy &&
           a->has_direct_accuracy == b->has_direct_accuracy &&
           mpq_equal(a->worm_accuracy, b->worm_accuracy) &&
           mpq_equal(a->direct_accuracy, b->direct_accuracy) && a->has_dial_accuracy == b->has_dial_accuracy &&
           mpq_equal(a->dial_accuracy, b->dial_accuracy) && same_scales(a, b);
}

/* Fail unless what cc_head_str writes reads back to an equal head; also in a buffer too small. */
static void assert_comes_back(const char *where, const struct cc_head *head)
{
    size_t need = cc_head_str(NULL, 0, head);
    char *text = malloc(need + 1), *part = malloc(need + 1);
    struct cc_head back;
    struct cc_error err;

    assert_non_null(text);
    assert_non_null(part);
    assert_int_equal(cc_head_str(text, need + 1, head), need);
    assert_int_equal(strlen(text), need);
    assert_int_equal(cc_head_str(part, need / 2, head), need);
    assert_memory_equal(part, text, need / 2 - 1);
    assert_int_equal(part[need / 2 - 1], '\0');
    cc_head_init(&back);
    if (cc_head_read(&back, text, need, head->name, "printed", &err) != CC_OK)
        fail_msg("%s: %s\n%s", where, err.text, text);
    if (!same_head(head, &back))
        fail_msg("%s: differs when read back:\n%s", where, text);
    cc_head_clear(&back);
    free(part);
    free(text);
}

/* ---- reading ---- */

static void default_head(void **state)
{
    struct cc_head head;
    size_t length;
    char *file = test_read_file("data/heads/small-tilting.ini", &length);
    (void)state;

    assert_int_equal(strlen(cc_default_profile), length);
    assert_memory_equal(cc_default_profile, file, length);
    free(file);

    cc_head_init(&head);
    assert_int_equal(cc_head_default(&head, NULL), CC_OK);
    assert_string_equal(head.name, "built-in");
    test_mpq_equal("worm", head.worm, "40");
    assert_int_equal(head.plate_count, 3);
    assert_int_equal(head.mounted_plate, 0);
    assert_int_equal(head.mounted_side, 1);
    assert_int_equal(test_circle_count(&head), 18);
    assert_int_equal(head.direct.n, 1);
    assert_int_equal(head.direct.at[0], 24);
    assert_int_equal(cc_direct_pins(&head, 0), 1);
    assert_null(cc_direct_name(&head, 24));
    assert_true(head.has_tilt);
    test_mpq_equal("tilt", head.tilt_high, "1/4");
    assert_int_equal(head.gears.n, 0);
    assert_null(cc_head_holds(&head, false));
    assert_null(cc_head_holds(&head, true));
    cc_head_clear(&head);
}

static void shipped_profiles(void **state)
{
    glob_t files;
    (void)state;

    assert_int_equal(glob("data/heads/*.ini", 0, NULL, &files), 0);
    assert_true(files.gl_pathc >= 8);
    for (size_t i = 0; i < files.gl_pathc; i++) {
        struct cc_head head;
        struct cc_error err;
        size_t length;
        char *text = test_read_file(files.gl_pathv[i], &length);
        cc_head_init(&head);
        if (cc_head_read(&head, text, length, "shipped", files.gl_pathv[i], &err) != CC_OK)
            fail_msg("%s", err.text);
        assert_string_not_equal(head.title, "Dividing head");   /* each has a title of its own */
        assert_comes_back(files.gl_pathv[i], &head);
        cc_head_clear(&head);
        free(text);
    }
    globfree(&files);
}

/* The published circles of a two-sided plate: tests/reference/hole_circles.tsv names the source. */
static void universal_plate_is_the_published_one(void **state)
{
    struct test_tsv t;
    struct cc_head head;
    unsigned long compared = 0;
    char *text = test_read_file("data/heads/universal-two-sided.ini", NULL);
    (void)state;

    read_good(&head, text);
    test_tsv_open(&t, "tests/reference/hole_circles.tsv");
    while (test_tsv_next(&t)) {
        char list[200] = "";
        if (strcmp(test_tsv_get(&t, "set"), "two-sided-24-66") != 0)
            continue;
        const struct cc_counts *side = &head.plates[0].side[test_tsv_count(&t, "side") - 1];
        for (size_t i = 0, used = 0; i < side->n; i++)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%u", i > 0 ? " " : "",
                                     side->at[i]);
        assert_string_equal(list, test_tsv_get(&t, "circles"));
        compared++;
    }
    assert_int_equal(compared, 2);
    test_tsv_close(&t);
    cc_head_clear(&head);
    free(text);
}

/* Every example of the profile's page is a profile. */
static void documented_profiles(void **state)
{
    static const char fence[] = "```ini\n";
    char *page = test_read_file("docs/profile.md", NULL);
    unsigned long read = 0;
    (void)state;

    for (char *at = page, *end; (at = strstr(at, fence)) != NULL; at = end + 1, read++) {
        struct cc_head head;
        at += strlen(fence);
        end = strstr(at, "\n```");
        assert_non_null(end);
        *end = '\0';
        read_good(&head, at);
        assert_comes_back("docs/profile.md", &head);
        cc_head_clear(&head);
    }
    assert_int_equal(read, 5);
    free(page);
}

static void every_key(void **state)
{
    struct cc_head head;
    (void)state;

    read_good(&head,
              "\xEF\xBB\xBF; a byte order mark, carriage returns, comments, tabs\r\n"
              "# another comment\r\n"
              "[ head ] ; the head\r\n"
              "\ttitle = Shop head; the old one ; a comment\r\n"
              "  worm = 77/2\r\n"
              "mounted = B2\r\n"
              "tilt = -5\xC2\xB0 90\xC2\xB0 30\xE2\x80\xB2\r\n"
              "spindle = against\r\n"
              "plate_pin = other\r\n"
              "plate_pin_circles = 24 30\r\n"
              "crank_pin_circles = 20, 21\r\n"
              "  25 28\r\n"
              "nose = 1 1/2-8\r\n"
              "taper = MT2\r\n"
              "[plate A-1.x]\r\n"
              "side 2 = 24,25, 28\r\n"
              "detent = 10\r\n"
              "[plate\tB]\r\n"
              "side 1 = 20 ; goes on\r\n"
              "   21 22 ; and\r\n"
              "\r\n"
              "23\r\n"
              "side\t2 = 30\r\n"
              "[direct]\r\n"
              "holes = 36 20\r\n"
              "vernier = 10, 5\r\n"
              "names = OUTER inner/20\r\n"
              "[dial]\r\n"
              "lines = 100\r\n"
              "vernier = 10\r\n"
              "numbered = lines\r\n"
              "zero = fixed\r\n"
              "rises = counter\r\n"
              "[rim]\r\n"
              "lines = 720\r\n"
              "vernier = 6\r\n"
              "rises = clockwise\r\n"
              "[gears]\r\n"
              "teeth = 100 24 48 24\r\n"
              "reversed = yes\r\n"
              "least-sum = 70\r\n"
              "most-sum = 150\r\n"
              "[bracket]\r\n"
              "dp = 24\r\n"
              "centres = 4 1/8in 110.5mm\r\n"
              "lead_drop = 0\r\n"
              "lead_offset = 3in\r\n"
              "short_centres = 1/64in\r\n"
              "slot = screw\r\n"
              "reach = 38 150.000001\r\n"
              "studs = 2\r\n"
              "planes = 3\r\n"
              "collar = 22\r\n"
              "clear = 0\r\n"
              "play = 0.05\r\n"
              "spindle_most = 5in\r\n"
              "worm_most = 128\r\n"
              "screw_most = 10000\r\n"
              "sleeve_least = 24\r\n"
              "[accuracy]\r\n"
              "worm = 1'\r\n"
              "direct = 0d05m00s\r\n"
              "dial = 40\"");
    assert_string_equal(head.name, "test");
    assert_string_equal(head.title, "Shop head; the old one");
    test_mpq_equal("worm", head.worm, "77/2");
    assert_int_equal(head.plate_count, 2);
    assert_string_equal(head.plates[0].name, "A-1.x");
    assert_int_equal(head.plates[0].side[0].n, 0);
    assert_int_equal(head.plates[0].side[1].n, 3);
    assert_int_equal(head.plates[1].side[0].n, 4);
    assert_int_equal(head.plates[1].side[0].at[3], 23);
    assert_int_equal(head.plates[0].detent, 10);
    assert_int_equal(head.plates[1].detent, 1);
    assert_int_equal(head.mounted_plate, 1);
    assert_int_equal(head.mounted_side, 2);
    test_mpq_equal("tilt", head.tilt_low, "-1/72");
    test_mpq_equal("tilt", head.tilt_high, "181/720");
    assert_int_equal(head.spindle, CC_SPINDLE_AGAINST);
    assert_int_equal(head.plate_pin, CC_PIN_OTHER);
    assert_int_equal(head.plate_pin_circles.n, 2);
    assert_int_equal(head.crank_pin_circles.n, 4);
    assert_true(cc_pin_reaches(&head.plate_pin_circles, 30));
    assert_false(cc_pin_reaches(&head.plate_pin_circles, 28));
    assert_true(cc_pin_reaches(&head.crank_pin_circles, 28));
    assert_string_equal(head.nose, "1 1/2-8");
    assert_string_equal(head.taper, "MT2");
    assert_int_equal(head.direct.at[0], 36);
    assert_int_equal(cc_direct_pins(&head, 0), 10);
    assert_int_equal(cc_direct_pins(&head, 1), 5);
    assert_string_equal(cc_direct_name(&head, 36), "OUTER");
    assert_string_equal(cc_direct_name(&head, 20), "inner/20");
    assert_null(cc_direct_name(&head, 24));
    assert_int_equal(head.gears.n, 4);
    assert_int_equal(head.gears.at[0], 24);
    assert_int_equal(head.gears.at[1], 24);
    assert_int_equal(head.gears.at[3], 100);
    assert_true(head.reversed);
    assert_int_equal(head.least_sum, 70);
    assert_int_equal(head.most_sum, 150);
    assert_int_equal(head.bracket.module, 1058333);     /* 25.4 mm / 24, rounded once */
    assert_int_equal(head.bracket.centres.low, 104775000);
    assert_int_equal(head.bracket.centres.high, 110500000);
    assert_true(head.bracket.has_drop && head.bracket.has_offset);
    assert_int_equal(head.bracket.lead_drop, 0);
    assert_int_equal(head.bracket.lead_offset, 76200000);
    assert_int_equal(head.bracket.short_centres.high, 396875);
    assert_int_equal(head.bracket.slot, CC_SLOT_SCREW);
    assert_int_equal(head.bracket.reach.low, 38000000);
    assert_true(head.bracket.reach.high == 150000001 && head.bracket.screw_most == UINT64_C(10000000000));
    assert_int_equal(head.bracket.studs, 2);
    assert_int_equal(head.bracket.planes, 3);
    assert_int_equal(head.bracket.collar, 22000000);
    assert_true(head.bracket.has_clear && head.bracket.clear == 0 && head.bracket.play == 50000);
    assert_int_equal(head.bracket.spindle_most, 127000000);
    assert_int_equal(head.bracket.sleeve_least, 24);
    test_mpq_equal("worm accuracy", cc_head_holds(&head, false), "1/21600");
    test_mpq_equal("direct accuracy", cc_head_holds(&head, true), "1/4320");
    test_mpq_equal("dial accuracy", cc_head_holds(&head, CC_INDEX_DIAL), "1/32400");
    assert_true(cc_head_has_dial(&head));
    assert_int_equal(head.dial.lines, 100);
    assert_int_equal(head.dial.vernier, 10);
    assert_int_equal(head.dial.numbered, CC_NUMBERED_LINES);
    assert_true(head.dial.fixed);
    assert_int_equal(head.dial.rises, CC_COUNTER);
    assert_int_equal(head.rim.lines, 720);
    assert_int_equal(head.rim.vernier, 6);
    assert_int_equal(head.rim.rises, CC_CLOCKWISE);
    assert_int_equal(test_circle_count(&head), 8);
    assert_comes_back("every key", &head);
    cc_head_clear(&head);
}

static void least_head(void **state)
{
    struct cc_head head;
    (void)state;

    read_good(&head, SMALL);
    assert_string_equal(head.title, "Dividing head");
    assert_int_equal(head.mounted_plate, head.plate_count);
    assert_int_equal(head.mounted_side, 0);
    assert_int_equal(head.spindle, CC_SPINDLE_UNKNOWN);
    assert_int_equal(head.plate_pin, CC_PIN_SAME);
    assert_true(cc_pin_reaches(&head.plate_pin_circles, 20));
    assert_null(head.nose);
    assert_false(head.has_tilt);
    assert_false(head.reversed);
    assert_false(head.bracket.stated);
    assert_int_equal(head.bracket.clear, 2000000);
    assert_int_equal(head.bracket.play, 100000);
    cc_head_clear(&head);

    read_good(&head, ";" X170 X10 "xxxxxxxxx\r\n[direct]\nholes = 24");     /* 190 bytes: a full line */
    assert_false(head.has_worm);
    assert_int_equal(mpq_sgn(head.worm), 0);
    assert_false(cc_head_has_dial(&head));
    cc_head_clear(&head);

    /* 240 lines in 360/90 degrees are minutes; 100 in 360/40 degrees are 5.4 of them each, and are numbered by themselves. */
    read_good(&head, "[head]\nworm = 90\n[dial]\nlines = 240");
    assert_int_equal(head.plate_count, 0);
    assert_int_equal(head.dial.vernier, 1);
    assert_int_equal(head.dial.numbered, CC_NUMBERED_ANGLE);
    assert_false(head.dial.fixed);
    assert_int_equal(head.dial.rises, CC_WAY_UNKNOWN);
    assert_int_equal(head.rim.lines, 0);
    cc_head_clear(&head);
    read_good(&head, "[head]\nworm = 40\n[dial]\nlines = 100");
    assert_int_equal(head.dial.numbered, CC_NUMBERED_LINES);
    cc_head_clear(&head);
}

/* ---- refusing: a row for each message ---- */

#define REST_OF(section) "unknown key 'x': the keys here are " section

static const struct refusal {
    const char *text;
    enum cc_status status;
    const char *message;
} refusals[] = {
    { "", CC_EDOM, "f.ini: no worm and no direct plate: write worm = 40 in [head] or holes = 24 in [direct]" },
    { "[bracket]\nmodule = 1.25\ndp = 20\n", CC_EDOM, "f.ini:3: dp: module and dp say the same: keep one of them" },
    { "[bracket]\nmodule = 0\n", CC_EDOM, "f.ini:2: module: '0' is no size: leave the key out where it is not known" },
    { "[bracket]\nmodule = 101\n", CC_EDOM, "f.ini:2: module: '101' is no module of change gears: at most 100 mm" },
    { "[bracket]\ndp = 12.5\n", CC_EDOM, "f.ini:2: dp: '12.5' is out of range: write a count from 1 to 500" },
    { "[bracket]\ncentres = wide\n", CC_EPARSE,
      "f.ini:2: centres: 'wide' is neither a length nor two: write 120, or the least and the most, 110 130" },
    { "[bracket]\nreach = 150 38\n", CC_EDOM, "f.ini:2: reach: '150 38' is upside down: write the least first" },
    { "[bracket]\ncollar = 10001\n", CC_EDOM, "f.ini:2: collar: '10001' is out of range: at most 10000 mm, and not below 0" },
    { "[bracket]\nclear = -1\n", CC_EDOM, "f.ini:2: clear: '-1' is out of range: at most 10000 mm, and not below 0" },
    { "[bracket]\nslot = arm\n", CC_EDOM,
      "f.ini:2: slot: 'arm' is not known: write worm, spindle or screw, the shaft about which it swings, or straight" },
    { "[bracket]\nplanes = 4\n", CC_EDOM, "f.ini:2: planes: '4' is out of range: write a count from 2 to 3" },
    { SMALL "[bracket]\nlead_drop = 4\n", CC_EDOM,
      "f.ini:6: lead_drop and lead_offset belong together: write both, or lead_centres" },
    { SMALL "[bracket]\nlead_drop = 4\nlead_offset = 9\nlead_centres = 12\n", CC_EDOM,
      "f.ini:8: lead_centres and lead_drop with lead_offset say the same: keep one of them" },
    { SMALL "[bracket]\nlead_drop = 0\nlead_offset = 0\n", CC_EDOM,
      "f.ini:7: lead_drop and lead_offset are both 0: the screw is not in the worm shaft" },
    { "[head]\nworm = 40\n", CC_EDOM,
      "f.ini: a worm without a plate or a dial: write [plate A] with side 1 = its circles, or [dial] with lines = those of one turn" },
    { "[head]\nworm = 40\n[direct]\nholes = 24\n", CC_EDOM,
      "f.ini: a worm without a plate or a dial: write [plate A] with side 1 = its circles, or [dial] with lines = those of one turn" },
    { PLATE_A, CC_EDOM, "f.ini: plates without a worm: write worm = 40, its ratio, in [head]" },
    { "[head]\nworm = 40\n[plate A]\nside 1 = 20\ndetent = 1\n", CC_EDOM,
      "f.ini:5: detent: parts '1': a detent shifts the pin by 2 to 100 parts of a hole space" },
    { "[head]\nworm = 90\n[dial]\nvernier = 6\n", CC_EDOM,
      "f.ini:3: [dial] has no lines: write lines = those in one turn of the crank, as in 240" },
    { "[dial]\nlines = 240\n[direct]\nholes = 24\n", CC_EDOM,
      "f.ini:1: a dial without a worm: write worm = 90, its ratio, in [head]" },
    { "[head]\nworm = 90\n[dial]\nlines = 240\n[rim]\nvernier = 6\n", CC_EDOM,
      "f.ini:5: [rim] has no lines: write lines = those in one turn of the spindle, as in 360" },
    { "[head]\nworm = 90\n[dial]\nlines = 240\n[rim]\nlines = 360\nrises = counter\n", CC_EDOM,
      "f.ini:5: [rim] says which way its readings rise and [dial] does not: write rises in both" },
    { "[head]\nworm = 90\n[dial]\nlines = 1\n", CC_EDOM, "f.ini:4: lines: lines '1': a scale has 2 to 10000 lines in one turn" },
    { "[head]\nworm = 90\n[dial]\nlines = 240\nvernier = 101\n", CC_EDOM,
      "f.ini:5: vernier: vernier '101': a vernier reads a space to 1 to 100 parts" },
    { "[head]\nworm = 90\n[dial]\nlines = 240\nnumbered = minutes\n", CC_EDOM,
      "f.ini:5: numbered: 'minutes' is not known: write angle or lines" },
    { "[head]\nworm = 90\n[dial]\nlines = 240\nzero = no\n", CC_EDOM,
      "f.ini:5: zero: 'no' is not known: write settable or fixed" },
    { "[head]\nworm = 90\n[dial]\nlines = 240\nrises = up\n", CC_EDOM,
      "f.ini:5: rises: 'up' is not known: write clockwise or counter" },
    /* 1296000 / 90 / 7 = 14400/7 */
    { "[head]\nworm = 90\n[dial]\nlines = 7\nnumbered = angle\n", CC_EDOM,
      "f.ini:5: numbered: a space of this dial is 14400/7 seconds of the spindle, no whole number: write numbered = lines, or "
      "mend lines" },
    { "worm = 40\n", CC_EPARSE, "f.ini:1: a key before the first section: write [head] above it" },
    { "[head]\nx = 1\n", CC_EPARSE, "f.ini:2: " REST_OF("title, worm, mounted, tilt, tilt_zero, spindle, plate_pin, plate_pin_circles, crank_pin_circles, nose, taper") },
    { "[direct]\nx = 1\n", CC_EPARSE, "f.ini:2: " REST_OF("holes, vernier, names") },
    { "[plate A]\nx = 1\n", CC_EPARSE, "f.ini:2: " REST_OF("side 1, side 2, detent") },
    { "[gears]\nx = 1\n", CC_EPARSE, "f.ini:2: " REST_OF("teeth, reversed, least-sum, most-sum") },
    { "[accuracy]\n\n; c\nx = 1\n", CC_EPARSE, "f.ini:4: " REST_OF("worm, direct, dial") },
    { SMALL "[plat B]\n", CC_EPARSE, "f.ini:5: unknown section '[plat B]': write [head], [direct], [plate NAME], [dial], [rim], [gears], [bracket] or [accuracy]" },
    { SMALL "[]\n", CC_EPARSE, "f.ini:5: unknown section '[]': write [head], [direct], [plate NAME], [dial], [rim], [gears], [bracket] or [accuracy]" },
    { SMALL "[plate]\n", CC_EPARSE, "f.ini:5: unknown section '[plate]': write [head], [direct], [plate NAME], [dial], [rim], [gears], [bracket] or [accuracy]" },
    { SMALL "[gears\n", CC_EPARSE, "f.ini:5: not a section: write it as [head]" },
    { SMALL "[gears] teeth\n", CC_EPARSE, "f.ini:5: not a section: write it as [head]" },
    { SMALL "[gears ; ]\n", CC_EPARSE, "f.ini:5: not a section: write it as [head]" },
    { SMALL "[head]\n", CC_EPARSE, "f.ini:5: [head] stands twice: keep one of them" },
    { SMALL "[gears]\n[gears]\n", CC_EPARSE, "f.ini:6: [gears] stands twice: keep one of them" },
    { SMALL "[plate A]\n", CC_EPARSE, "f.ini:5: [plate A] stands twice: give every plate its own name" },
    { SMALL "[plate B C]\n", CC_EPARSE, "f.ini:5: not a plate's name: write [plate A], the name one word of letters and digits" },
    { SMALL "[plate none]\n", CC_EPARSE, "f.ini:5: not a plate's name: write [plate A], the name one word of letters and digits" },
    { SMALL "[plate a,b]\n", CC_EPARSE, "f.ini:5: not a plate's name: write [plate A], the name one word of letters and digits" },
    { SMALL "[plate " X50 "]\n", CC_ELIMIT, "f.ini:5: a plate's name of more than 40 bytes: shorten it" },
    { SMALL "[plate B]\n[gears]\n", CC_EDOM, "f.ini:5: [plate B] has no circles: write side 1 = 15 16 17" },
    { "[head]\nworm = 40\nworm = 90\n", CC_EPARSE, "f.ini:3: worm: stands twice in this section: keep one of them" },
    { SMALL "side 1 = 20\n", CC_EPARSE, "f.ini:5: side 1: stands twice in this section: keep one of them" },
    { "[head]\nworm =\n", CC_EPARSE, "f.ini:2: worm: a value is missing: leave the key out if there is none" },
    { "[head]\nnose = ; none\n", CC_EPARSE, "f.ini:2: nose: a value is missing: leave the key out if there is none" },
    { "[head]\nworm 40\n" PLATE_A, CC_EPARSE, "f.ini:2: not a key: write key = value" },
    { SMALL "side", CC_EPARSE, "f.ini:5: not a key: write key = value" },
    { "[gears]\n24 28\n", CC_EPARSE, "f.ini:2: not a key: write key = value" },
    { "[plate A]\nside 1 = 15\n[gears]\n24 28\n", CC_EPARSE, "f.ini:4: not a key: write key = value" },
    { "[plate A]\nside 1 = 15\n[gears]\n24 = 28\n", CC_EPARSE, "f.ini:4: unknown key '24': the keys here are teeth, reversed, least-sum, most-sum" },
    { "[head]\nworm = 40\n90\n", CC_EPARSE, "f.ini:3: worm: only a list of counts goes on in a second line" },
    { "\xEF\xBB\xBF\xEF\xBB\xBF[head]\n", CC_EPARSE, "f.ini:1: not a key: write key = value" },
    { "[head]\n; caf\xE9\n", CC_EPARSE, "f.ini:2: not UTF-8 text: save the profile as UTF-8" },
    { "[head]\ntitle = a\x01\n", CC_EPARSE, "f.ini:2: a control character: a profile is plain text" },
    { "[head]\rworm = 40\r", CC_EPARSE, "f.ini:1: a control character: a profile is plain text" },
    { "[head]\n;" X170 X10 X10 "\n", CC_ELIMIT, "f.ini:2: a line of more than 190 bytes: shorten it" },
    { "[head]\ntitle = " X170 "\n", CC_ELIMIT, "f.ini:2: title: text of 170 bytes is too long: at most 160" },
    { "[head]\nworm = 7,5\n", CC_EPARSE, "f.ini:2: worm: '7,5' is not a number: write decimals with '.'" },
    { "[head]\nworm = 1/0\n", CC_EDOM, "f.ini:2: worm: '1/0' divides by zero" },
    { "[head]\nworm = 0\n", CC_EDOM, "f.ini:2: worm: '0' is not a worm ratio: write the crank turns per spindle turn, as in 40" },
    { "[head]\nworm = -40\n", CC_EDOM, "f.ini:2: worm: '-40' is not a worm ratio: write the crank turns per spindle turn, as in 40" },
    { "[head]\nworm = 1000001\n", CC_ELIMIT, "f.ini:2: worm: '1000001' is over the limit: at most 1000000 above and below the line" },
    { "[head]\nworm = 1/1000001\n", CC_ELIMIT, "f.ini:2: worm: '1/1000001' is over the limit: at most 1000000 above and below the line" },
    { "[head]\nworm = 40\nmounted = B\n" PLATE_A, CC_EDOM, "f.ini:3: mounted: no plate 'B': this head has A 1" },
    { "[head]\nworm = 40\nmounted = A 2\n" PLATE_A, CC_EDOM, "f.ini:3: mounted: no plate 'A 2': this head has A 1" },
    { "[head]\nmounted = A\n[direct]\nholes = 24\n", CC_EDOM, "f.ini:2: mounted: no plate 'A': this head has no plates" },
    { "[head]\ntilt = 90\n", CC_EPARSE, "f.ini:2: tilt: '90' is not two angles: write lowest and highest, as in 0 90" },
    { "[head]\ntilt = 0 to 90\n", CC_EPARSE, "f.ini:2: tilt: '0 to 90' is not two angles: write lowest and highest, as in 0 90" },
    { "[head]\ntilt = 90 0\n", CC_EDOM, "f.ini:2: tilt: '90 0' is upside down: write the lowest angle first" },
    { "[head]\ntilt_zero = x\n", CC_EPARSE, "f.ini:2: tilt_zero: 'x' is not an angle: a number must stand first" },
    { "[head]\ntilt_zero = -181\n", CC_EDOM, "f.ini:2: tilt_zero: '-181' is out of range: what the scale shows with the spindle level is half a turn at the most" },
    { "[head]\ntilt = 0 181\n", CC_EDOM, "f.ini:2: tilt: '0 181' is out of range: a head tilts from -180 to 180 degrees" },
    { "[head]\nspindle = right\n", CC_EDOM, "f.ini:2: spindle: 'right' is not known: write with or against" },
    { "[head]\nworm = 40\nplate_pin_circles = 15 16\n[plate A]\nside 1 = 15 17\n[plate B]\nside 2 = 18\n", CC_EDOM,
      "f.ini:3: plate_pin_circles: no plate has a circle of 16 holes: name circles of the plates" },
    { "[head]\nworm = 40\ncrank_pin_circles = 15 15\n[plate A]\nside 1 = 15 17\n", CC_EDOM,
      "f.ini:3: crank_pin_circles: circle 15 stands twice: name it once" },
    { "[head]\nplate_pin = both\n", CC_EDOM, "f.ini:2: plate_pin: 'both' is not known: write same, other or none" },
    { "[gears]\nreversed = Yes\n", CC_EDOM, "f.ini:2: reversed: 'Yes' is not known: write no or yes" },
    { "[direct]\nholes = ,\n", CC_EPARSE, "f.ini:2: holes: no circle is named: write counts, as in 24 30 36" },
    { "[direct]\nholes = 24 x\n", CC_EPARSE, "f.ini:2: holes: 'x' is not a count: write digits only, as in 24" },
    { "[direct]\nholes = -24\n", CC_EPARSE, "f.ini:2: holes: '-24' is not a count: write digits only, as in 24" },
    { "[direct]\nholes = 24\n 24\n", CC_EDOM, "f.ini:3: holes: circle 24 stands twice: name it once" },
    { "[plate A]\nside 1 = 15 1\n", CC_EDOM, "f.ini:2: side 1: circle '1': a hole circle has 2 to 10000 holes" },
    { "[plate A]\nside 2 = 10001\n", CC_EDOM, "f.ini:2: side 2: circle '10001': a hole circle has 2 to 10000 holes" },
    { "[plate A]\nside 2 = 4294967312\n", CC_EDOM, "f.ini:2: side 2: circle '4294967312': a hole circle has 2 to 10000 holes" },
    { "[direct]\nholes = 36\nvernier = 0\n", CC_EDOM, "f.ini:3: vernier: pins '0': a fixture has 1 to 100 pins" },
    { "[direct]\nholes = 36\nvernier = 101\n", CC_EDOM, "f.ini:3: vernier: pins '101': a fixture has 1 to 100 pins" },
    { "[direct]\nholes = 24 36\nvernier = 10\n", CC_EDOM, "f.ini:3: vernier: the pins belong to circles: write a number for each, as in holes = 36 20 and vernier = 10 5" },
    { "[direct]\nholes = 24 36\nnames = A\n", CC_EDOM, "f.ini:3: names: write one for each circle of holes, without blanks in it" },
    { "[direct]\nvernier = 10\n", CC_EDOM, "f.ini:2: vernier: the pins belong to circles: write a number for each, as in holes = 36 20 and vernier = 10 5" },
    { "[gears]\nteeth = 24 4\n", CC_EDOM, "f.ini:2: teeth: gear '4': a change gear has 5 to 10000 teeth" },
    { "[gears]\nleast-sum = 0\n", CC_EDOM, "f.ini:2: least-sum: sum '0': two gears have 1 to 20000 teeth together" },
    { "[gears]\nmost-sum = 60\nleast-sum = 70\n", CC_EDOM, "f.ini:3: least-sum: least-sum 70 is over most-sum 60: no two gears would mesh" },
    { "[accuracy]\nworm = 1,5'\n", CC_EPARSE, "f.ini:2: worm: '1,5'' is not an angle: write decimals with '.'" },
    { "[accuracy]\nworm = -1'\n", CC_EDOM, "f.ini:2: worm: '-1'' is out of range: write what the head holds, as in 1'" },
    { "[accuracy]\ndirect = 360\n", CC_EDOM, "f.ini:2: direct: '360' is out of range: write what the head holds, as in 1'" },
    { "[accuracy]\ndirect = 0.1234567890123456789\n", CC_ELIMIT, "f.ini:2: direct: '0.1234567890123456789' has too many digits: no head is that exact" },
};

static void assert_refused(const char *text, size_t length, enum cc_status status, const char *message)
{
    struct cc_head head, before;
    struct cc_error err;

    cc_head_init(&head);
    cc_head_init(&before);
    assert_int_equal(cc_head_default(&head, NULL), CC_OK);
    assert_int_equal(cc_head_default(&before, NULL), CC_OK);
    enum cc_status s = cc_head_read(&head, text, length, "test", "f.ini", &err);
    if (s != status)
        fail_msg("status %d, expected %d, for\n%s", (int)s, (int)status, text);
    assert_string_equal(err.text, message);
    assert_int_equal(cc_head_read(&head, text, length, "test", "f.ini", NULL), status);
    assert_true(same_head(&head, &before));
    cc_head_clear(&before);
    cc_head_clear(&head);
}

static void refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++)
        assert_refused(refusals[i].text, strlen(refusals[i].text), refusals[i].status,
                       refusals[i].message);
    assert_refused("[head]\nworm\0 = 40\n", 18, CC_EPARSE,
                   "f.ini:2: a control character: a profile is plain text");
}

/* A profile of before and then count numbers from first, each between left and right. */
static void refuse_many(const char *before, unsigned first, unsigned count, const char *left,
                        const char *right, const char *message)
{
    char *text = malloc(40 * count + 200);
    size_t used = 0;

    assert_non_null(text);
    used += (size_t)sprintf(text, "%s", before);
    for (unsigned i = 0; i < count; i++)
        used += (size_t)sprintf(text + used, "%s%u%s", left, first + i, right);
    assert_refused(text, used, CC_ELIMIT, message);
    free(text);
}

static void limits(void **state)
{
    (void)state;
    refuse_many("[plate A]\nside 1 = 10\n", 11, CC_MAX_CIRCLES, "", "\n",
                "f.ini:202: side 1: more than 200 circles: that is the limit");
    refuse_many("[gears]\nteeth = 10\n", 11, CC_MAX_GEARS, "", "\n",
                "f.ini:66: teeth: more than 64 gears: that is the limit");
    refuse_many("", 1, CC_MAX_PLATES + 1, "[plate ", "]\nside 1 = 20\n",
                "f.ini:129: more than 64 plates: that is the limit");
}

/* ---- mounting ---- */

static void mounting(void **state)
{
    static const struct {
        const char *text;
        size_t plate;       /* 3 is none */
        unsigned side;      /* 9: refused */
    } rows[] = {
        { "B", 0, 1 }, { "B 1", 0, 1 }, { "B1", 0, 1 }, { " B  1 ", 0, 1 }, { "B2", 1, 1 },
        { "B2 1", 1, 1 }, { "B21", 1, 1 }, { "B 2", 0, 2 }, { "C", 2, 2 }, { "C2", 2, 2 },
        { "none", 3, 0 }, { "B22", 0, 9 }, { "C1", 0, 9 }, { "", 0, 9 }, { "1", 0, 9 }, { "b", 0, 9 },
        { "B 3", 0, 9 },
    };
    struct cc_head head;
    struct cc_error err;
    (void)state;

    read_good(&head, "[head]\nworm=40\n[plate B]\nside 1 = 15\nside 2 = 16\n[plate B2]\nside 1 = 17\n"
                     "[plate C]\nside 2 = 18\n");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char want[200];
        assert_int_equal(cc_head_mount(&head, "B2", NULL), CC_OK);
        enum cc_status s = cc_head_mount(&head, rows[i].text, &err);
        if (s != (rows[i].side == 9 ? CC_EDOM : CC_OK))
            fail_msg("'%s': status %d", rows[i].text, (int)s);
        if (s == CC_OK) {
            assert_int_equal(head.mounted_plate, rows[i].plate);
            assert_int_equal(head.mounted_side, rows[i].side);
            continue;
        }
        snprintf(want, sizeof want, "no plate '%s': this head has B 1, B 2, B2 1, C 2", rows[i].text);
        assert_string_equal(err.text, want);
        assert_int_equal(head.mounted_plate, 1);
        assert_int_equal(head.mounted_side, 1);
    }
    cc_head_clear(&head);
}

/* ---- writing ---- */

static size_t random_counts(char *text, const char *key, gmp_randstate_t random, bool twice)
{
    unsigned n = 5 + (unsigned)gmp_urandomm_ui(random, 40);
    size_t used = (size_t)sprintf(text, "%s = %u", key, n);
    for (unsigned long i = gmp_urandomm_ui(random, 60); i > 0; i--) {
        n += (unsigned)gmp_urandomm_ui(random, 40) + (twice ? 0 : 1);
        used += (size_t)sprintf(text + used, "%s%u", i % 20 == 0 || gmp_urandomm_ui(random, 9) == 0 ? "\n" : " ", n);
    }
    return used + (size_t)sprintf(text + used, "\n");
}

/* A profile in which every key is there or not by chance, at random values. */
static void random_profile(char *t, gmp_randstate_t random)
{
#define RND(n) gmp_urandomm_ui(random, n)
    bool worm = RND(5) > 0;
    unsigned long plates = worm ? 1 + RND(4) : 0;

    t += sprintf(t, "[head]\n");
    if (worm)
        t += sprintf(t, "worm = %lu/%lu\n", 1 + RND(1000000), 1 + RND(1000000));
    if (plates > 0 && RND(2) == 0)
        t += sprintf(t, "mounted = P%lu 2\n", RND(plates));
    if (RND(2) == 0)
        t += sprintf(t, "tilt = -%lu/%lu %lu.%lu\n", RND(90), 1 + RND(900), RND(180), RND(100000));
    if (RND(3) == 0)
        t += sprintf(t, "tilt_zero = %s%lud%lum%lus\n", RND(2) == 0 ? "-" : "", RND(3), RND(60), RND(60));
    if (RND(2) == 0)
        t += sprintf(t, "title =%s%lu; text = \xC2\xB0 \"x\" [y] #\n", RND(2) ? " " : ";", RND(1000));
    if (RND(2) == 0)
        t += sprintf(t, "spindle = %s\nnose = M%lu : x\n", RND(2) ? "with" : "against", RND(100));
    if (RND(2) == 0)
        t += sprintf(t, "plate_pin = %s\ntaper = #%lu\n", RND(2) ? "other" : "none", RND(7));
    for (unsigned long i = 0; i < plates; i++) {
        t += sprintf(t, "[plate P%lu]\n", i);
        if (RND(2) == 0)
            t += random_counts(t, "side 1", random, false);
        t += random_counts(t, "side 2", random, false);
    }
    if (!worm || RND(2) == 0) {
        t += sprintf(t, "[direct]\n");
        if (RND(2) == 0)
            t += sprintf(t, "holes = %lu\nvernier = %lu\n", 2 + RND(100), 1 + RND(100));
        else
            t += random_counts(t, "holes", random, false);
    }
    t += sprintf(t, "[gears]\n");
    if (RND(2) == 0)
        t += random_counts(t, "teeth", random, true);
    if (RND(2) == 0)
        t += sprintf(t, "reversed = %s\nleast-sum = %lu\n", RND(2) ? "yes" : "no", 1 + RND(100));
    if (RND(2) == 0)
        t += sprintf(t, "most-sum = %lu\n", 100 + RND(100));
    t += sprintf(t, "[bracket]\n");
    if (RND(2) == 0)
        t += sprintf(t, RND(2) ? "dp = %lu\n" : "module = %lu\n", 1 + RND(100));
    if (RND(2) == 0)
        t += sprintf(t, "centres = %lu.%06lu\nreach = %lu/8in %lu.5\n", RND(200), 1 + RND(999999), 1 + RND(200), 700 + RND(200));
    if (RND(2) == 0)
        t += sprintf(t, "lead_drop = %lu/64in\nlead_offset = %lu\ncollar = %lu.%lu\n", RND(300), 1 + RND(100), 1 + RND(30),
                     RND(100));
    if (RND(2) == 0)
        t += sprintf(t, "studs = %lu\nslot = straight\nworm_most = %lucm\n", 1 + RND(9), 1 + RND(30));
    t += sprintf(t, "[accuracy]\n");
    if (RND(2) == 0)
        t += sprintf(t, "worm = %lu.%lus\n", RND(4000), RND(1000));
    if (RND(2) == 0)
        t += sprintf(t, "direct = %lu/%lurev\n", RND(50), 51 + RND(1000));
#undef RND
}

static void written_profile_reads_back(void **state)
{
    static char text[20000];
    gmp_randstate_t random;
    (void)state;

    test_random_init(random);
    for (unsigned long i = 0, n = test_rounds(500); i < n; i++) {
        struct cc_head head;
        char where[60];
        random_profile(text, random);
        snprintf(where, sizeof where, "seed %lu, round %lu", test_seed(), i);
        read_good(&head, text);
        assert_comes_back(where, &head);
        cc_head_clear(&head);
    }
    gmp_randclear(random);
}

static void swapped(void **state)
{
    struct cc_head a, b;
    (void)state;

    read_good(&a, SMALL);
    read_good(&b, "[direct]\nholes = 24\n");
    cc_head_swap(&a, &b);
    assert_false(a.has_worm);
    assert_int_equal(a.direct.at[0], 24);
    assert_int_equal(b.plate_count, 1);
    test_mpq_equal("worm", b.worm, "40");
    cc_head_clear(&a);
    cc_head_clear(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(default_head),
        cmocka_unit_test(shipped_profiles),
        cmocka_unit_test(universal_plate_is_the_published_one),
        cmocka_unit_test(documented_profiles),
        cmocka_unit_test(every_key),
        cmocka_unit_test(least_head),
        cmocka_unit_test(refused),
        cmocka_unit_test(limits),
        cmocka_unit_test(mounting),
        cmocka_unit_test(written_profile_reads_back),
        cmocka_unit_test(swapped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
