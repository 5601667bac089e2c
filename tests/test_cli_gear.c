/*
 * test_cli_gear.c: the command gear as it is typed. The program is the one built beside the tests.
 */
#define _POSIX_C_SOURCE 200809L
#include "support.h"

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static char program[600], scratch[600];     /* the program; a folder for files, beside it */

struct run {
    char *out, *err;
    int status;
};

static void run_clear(struct run *r)
{
    free(r->out);
    free(r->err);
}

/* Run "crankcard gear ARGUMENTS", through the shell, input on its standard input. */
static struct run run_gear(const char *arguments, const char *input)
{
    struct run r;
    char command[4000], path[700];
    FILE *file;

    snprintf(path, sizeof path, "%s/in", scratch);
    file = fopen(path, "wb");
    assert_non_null(file);
    fputs(input, file);
    assert_int_equal(fclose(file), 0);
    snprintf(command, sizeof command,
             "env -u CRANKCARD_HEAD XDG_CONFIG_HOME=/nonexistent '%s' gear %s <'%s/in' >'%s/out' 2>'%s/err'", program,
             arguments, scratch, scratch, scratch);
    int status = system(command);
    assert_true(WIFEXITED(status));
    r.status = WEXITSTATUS(status);
    snprintf(path, sizeof path, "%s/out", scratch);
    r.out = test_read_file(path, NULL);
    snprintf(path, sizeof path, "%s/err", scratch);
    r.err = test_read_file(path, NULL);
    return r;
}

/* ---- what is refused, in one line ---- */

static void test_messages(void **state)
{
    static const struct {
        const char *arguments, *input, *message;
    } rows[] = {
        { "", "", "how many teeth?" },
        { "20", "", "20 teeth of what size? say --module MM or --dp P" },
        { "twenty --module 1", "", "'twenty' is not a range of counts: write 57, 20,24,127 or 2-400" },
        { "-- -5 --module 1", "", "'-5' is not a range of counts" },
        { "20 --module 1,5", "", "--module: '1,5' is not a length: write decimals with '.'" },
        { "20 --module 0", "", "--module: '0' must be more than 0" },
        { "20 --dp 0", "", "--dp: diametral pitch must be more than 0" },
        { "20 --module 5000", "", "20 teeth: module must be 1/1000 to 1000 mm" },
        { "20 --module 1 --dp 24", "", "give --module or --dp, not both" },
        { "20 --module 1 --pressure-angle 25", "", "pressure angle must be 14 1/2 or 20 degrees" },
        { "20 --module 1 --helix 90", "", "impossible helix" },
        { "20 --module 1 --helix -15", "", "say left or right hand instead" },
        { "20 --module 1 --helix 15 --bevel", "", "give one of --helix, --bevel and --spur" },
        { "20 --module 1 --hand left", "", "--hand needs --helix" },
        { "20 --module 1 --helix 15 --hand up", "", "--hand: 'up' is not one of these: right or left" },
        { "20 --module 1 --bevel", "", "a bevel gear needs the teeth of its mate" },
        { "20 --module 1 --bevel --mate 10 --shaft-angle 120", "", "the 20 would be a crown or internal bevel gear" },
        { "20 --module 1 --shaft-angle 60", "", "--shaft-angle needs --bevel" },
        { "20 --module 1 --face 3", "", "a face width belongs to bevel gears only" },
        { "20 --module 1 --pin 0", "", "--pin: '0' must be more than 0" },
        { "20 --module 1 --span 1", "", "--span: '1' is not a whole number from 2" },
        { "20 --module 1 --span 20", "", "span must be 2 teeth or more, and fewer than the gear has" },
        { "2 --module 1", "", "2 teeth: no root is left" },
        { "20 --module 1 --screw 0", "", "--screw: " },
        { "20 --module 1 --cutters 9", "", "--cutters: '9' is not one of these: 8 or 15" },
        { "20 --module 1 --tolerance -1", "", "--tolerance: '-1' is negative: write 0 or more" },
        { "20 --module 1 --format svg", "", "--format: 'svg' is not one of these: card, csv, tsv, jsonl or html" },
        { "20 --module 1 --modul 2", "", "unknown option '--modul': did you mean '--module'?" },
        { "20 --module 1 --name \"$(printf 'a\\033[1m')\"", "", "--name: a name is printable UTF-8 text; byte 2 is not" },
        { "20 --module 1 --name \"$(printf 'a\\300\\200')\"", "", "--name: a name is printable UTF-8 text; byte 2 is not" },
        { "--file /nonexistent", "", "cannot read '/nonexistent'" },
        { "--file -", "# none\n\n--module 1\n", "standard input names no gear" },
        { "--file -", "20 --module 1\n24 --modul 2\n", "standard input:2: unknown option '--modul'" },
        { "--file -", "20 --module \"1\n", "standard input:1: a quote \" is not closed" },
        { "--file -", "\n20 21 --module 1\n", "standard input:2: '21': one gear a line, then its options" },
        { "--file -", "20 --module 1 --head x\n", "standard input:1: --head belongs on the command line" },
        { "--file -", "20 --module 1 --helix 91\n", "standard input:1: 20 teeth: impossible helix" },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct run r = run_gear(rows[i].arguments, rows[i].input);
        const char *end = strchr(r.err, '\n');
        if (r.status != 2 || strstr(r.err, rows[i].message) == NULL)
            fail_msg("gear %s: status %d, '%s' is not '%s'", rows[i].arguments, r.status, r.err, rows[i].message);
        if (strncmp(r.err, "crankcard: ", 11) != 0 || end == NULL || end[1] != '\0' || r.out[0] != '\0')
            fail_msg("gear %s: not one line on standard error alone", rows[i].arguments);
        run_clear(&r);
    }
}

/* ---- yes or no ---- */

static void test_status(void **state)
{
    static const struct {
        const char *arguments;
        int status;
        const char *says;
    } rows[] = {
        { "20 --module 1", 0, "cutter 6 (17-20)" },
        { "20 --module 1 --cutters 15", 0, "cutter 5 1/2 (19-20)" },
        { "200 --module 1", 0, "cutter 1 (135-rack)" },
        { "11 --module 1", 1, "no cutter of the series" },
        { "12 --module 1", 0, "a hob or rack would undercut it" },
        { "5 --mate 5 --module 1", 1, "do not mesh" },
        { "8 --helix 45 --module 1", 0, "cutter 5 (21-25)" },
        { "22 --module 1 --helix 15 --screw 4tpi", 1, "NONE FOR THIS LEAD: this head has no change gears" },
        { "22 --module 1 --helix 15 --hand left", 0, "left hand, 15°00′00″ wanted" },
        { "22 --module 1 --helix 15 --screw 4tpi --head data/heads/small-tilting-geared.ini", 0, "on the table screw" },
        { "127 --module 1", 0, "not exact" },
        { "127 --module 1 --tolerance 1s", 1, "NOT WITHIN TOLERANCE" },
        { "20 40 --bevel --mate 20 --module 2 --shaft-angle 60", 0, "tilt" },
        { "20 --units in --dp 10 --pin 0.1728 --ascii", 0, "over two 0.1728 pins" },
        { "20 --pin 0.1728 --dp 10 --ascii --units in", 0, "over two 0.1728 pins" },
    };
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char arguments[400];
        snprintf(arguments, sizeof arguments, "%s --width 200", rows[i].arguments);     /* no line breaks */
        struct run r = run_gear(arguments, "");
        if (r.status != rows[i].status || strstr(r.out, rows[i].says) == NULL || r.err[0] != '\0')
            fail_msg("gear %s: status %d\n%s%s", rows[i].arguments, r.status, r.out, r.err);
        run_clear(&r);
    }
}

/* "15°01′06″" as degrees. */
static double degrees_at(const char *text)
{
    double degrees = 0, minutes = 0, seconds = 0;

    assert_int_equal(sscanf(text, "%lf°%lf′%lf″", &degrees, &minutes, &seconds), 3);
    return degrees + minutes / 60 + seconds / 3600;
}

/* tan(angle) = pi d / lead, of the lead that the gears on the sheet give, d the pitch diameter z m / cos(helix). */
static void helical_table_as_the_gears_give(void **state)
{
    static const unsigned teeth[] = { 17, 22, 31, 43, 60 };
    const double pi = 3.14159265358979323846;
    unsigned apart = 0;
    (void)state;

    for (size_t i = 0; i < sizeof teeth / sizeof *teeth; i++) {
        char arguments[300];
        snprintf(arguments, sizeof arguments,
                 "%u --module 1 --helix 15 --screw 4tpi --width 200 --head data/heads/small-tilting-geared.ini", teeth[i]);
        struct run r = run_gear(arguments, "");
        const char *gears = strstr(r.out, "first on the table screw"), *table = strstr(r.out, "swung ");
        assert_true(gears != NULL && table != NULL);
        double lead = strtod(strstr(gears, "lead ") + 5, NULL), given = degrees_at(table + 6);
        double right = atan(pi * teeth[i] / cos(15 * pi / 180) / lead) * 180 / pi;
        assert_true(fabs(given - right) < 1.0 / 3600);
        apart += fabs(given - 15) > 10.0 / 3600;
        run_clear(&r);
    }
    assert_true(apart > 0);
}

/* A head that stops at 20 degrees cannot stand at a root angle of 23. */
static void test_tilt_of_head(void **state)
{
    char path[700], arguments[900];
    FILE *file;
    (void)state;

    snprintf(path, sizeof path, "%s/stiff.ini", scratch);
    file = fopen(path, "wb");
    assert_non_null(file);
    fputs("[head]\nworm = 40\ntilt = 0 20\n[plate A]\nside 1 = 18\n", file);
    assert_int_equal(fclose(file), 0);
    snprintf(arguments, sizeof arguments, "18 --bevel --mate 36 --module 2 --head '%s'", path);
    struct run r = run_gear(arguments, "");
    assert_int_equal(r.status, 1);
    assert_non_null(strstr(r.out, "THIS HEAD DOES NOT TILT SO FAR"));
    run_clear(&r);
    snprintf(arguments, sizeof arguments, "18 --bevel --mate 72 --module 2 --head '%s'", path);
    r = run_gear(arguments, "");
    assert_int_equal(r.status, 0);
    assert_null(strstr(r.out, "THIS HEAD"));
    run_clear(&r);
}

/* ---- records ---- */

static const char job[] = "# invented\n"
                          "--module 1\n"
                          "20\n"
                          "39 # a comment\n"
                          "21 --name 'the \"odd\" one, first'\n"
                          "127\n"
                          "--dp 10 --helix 15 --hand left\n"
                          "23 --mate 46\n"
                          "33 --hand right\n"
                          "24\n"
                          "--bevel --mate 36 --shaft-angle 75\n"
                          "18\n"
                          "127\n"
                          "--spur --profile-shift 0.3 --pressure-angle \"14 1/2\"\n"
                          "10\n";
enum { JOB_GEARS = 10 };

/* The lines of text, each parsed as an object. */
static size_t parse_lines(json_t **records, size_t most, char *text)
{
    size_t n = 0;

    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        json_error_t error;
        assert_true(n < most);
        records[n] = json_loads(line, 0, &error);
        if (records[n] == NULL)
            fail_msg("%s: %s", error.text, line);
        n++;
    }
    return n;
}

static long long whole(const json_t *record, const char *key)
{
    const json_t *value = json_object_get(record, key);

    if (!json_is_integer(value))
        fail_msg("'%s' is not a whole number", key);
    return json_integer_value(value);
}

static void test_jsonl(void **state)
{
    json_t *records[JOB_GEARS];
    struct run r = run_gear("--file - --format jsonl --head data/heads/small-tilting-geared.ini", job);
    size_t exact_plain = 0;
    (void)state;

    assert_int_equal(r.status, 1);      /* 10 teeth: no cutter */
    assert_int_equal(parse_lines(records, JOB_GEARS, r.out), JOB_GEARS);
    for (size_t i = 0; i < JOB_GEARS; i++) {
        const char *kind = json_string_value(json_object_get(records[i], "kind"));
        assert_string_equal(json_string_value(json_object_get(records[i], "record")), "gear");
        assert_int_equal(whole(records[i], "order"), i + 1);
        assert_int_equal(json_object_size(records[i]), json_object_size(records[0]));
        const char *method = json_string_value(json_object_get(records[i], "method"));
        if (strcmp(kind, "helical") == 0)       /* the head is geared to the table: 24 not by the direct plate */
            assert_string_equal(method, "plain");
        if (strcmp(kind, "bevel") == 0)         /* the head is tilted */
            assert_string_not_equal(method, "differential");
        if (strcmp(kind, "spur") == 0 && whole(records[i], "teeth") == 127)
            assert_string_equal(method, "differential");
        if (strcmp(method, "plain") != 0)
            continue;
        /* worm 40: (turns + holes / circle) * teeth = 40 turns for each turn of the work */
        long long circle = whole(records[i], "circle");
        assert_int_equal((whole(records[i], "turns") * circle + whole(records[i], "holes")) * whole(records[i], "teeth"),
                         40 * circle * atoll(json_string_value(json_object_get(records[i], "block"))));
        exact_plain++;
    }
    assert_true(exact_plain >= 4);
    for (size_t i = 0; i < JOB_GEARS; i++) {
        if (whole(records[i], "teeth") == 21)
            assert_string_equal(json_string_value(json_object_get(records[i], "name")), "the \"odd\" one, first");
        if (whole(records[i], "teeth") == 23) {
            /* 10 DP: module 127/50 mm exactly; 15 degrees are 1/24 of a turn */
            assert_string_equal(json_string_value(json_object_get(records[i], "module")), "127/50");
            assert_string_equal(json_string_value(json_object_get(records[i], "helix")), "1/24");
            assert_string_equal(json_string_value(json_object_get(records[i], "hand")), "left");
        }
        if (whole(records[i], "teeth") == 10) {     /* options of another kind above are dropped */
            assert_true(json_is_null(json_object_get(records[i], "mate")));
            assert_true(json_is_null(json_object_get(records[i], "hand")));
            assert_true(json_is_null(json_object_get(records[i], "cutter")));
            assert_string_equal(json_string_value(json_object_get(records[i], "pressure_angle")), "29/720");
        }
        json_decref(records[i]);
    }
    run_clear(&r);
}

/* With --screw: gears whose lead, by the rule of the handbooks, is what the record says, near the one wanted. */
static void test_gears_for_helix(void **state)
{
    json_t *record;
    struct run r = run_gear("22 --module 1.5 --helix 15 --screw 6mm --format jsonl --head data/heads/small-tilting-geared.ini", "");
    double lead = 40 * 6;       /* lead of the machine: worm ratio times screw */
    (void)state;

    assert_int_equal(r.status, 0);
    assert_int_equal(parse_lines(&record, 1, r.out), 1);
    const json_t *drivers = json_object_get(record, "lead_drivers"), *driven = json_object_get(record, "lead_driven");
    assert_true(json_array_size(drivers) > 0);
    for (size_t i = 0; i < json_array_size(drivers); i++)
        lead *= (double)json_integer_value(json_array_get(driven, i)) / (double)json_integer_value(json_array_get(drivers, i));
    double wanted = json_number_value(json_object_get(record, "lead_mm"));
    assert_true(fabs(lead - json_number_value(json_object_get(record, "geared_lead_mm"))) < 1e-5);
    assert_true(fabs(lead - wanted - json_number_value(json_object_get(record, "lead_error_mm"))) < 1e-5);
    assert_true(fabs(lead / wanted - 1) < 0.005);
    json_decref(record);
    run_clear(&r);
}

/* A tab-separated row holds what the object holds, in the same order. */
static void test_tsv_agrees(void **state)
{
    json_t *records[JOB_GEARS];
    struct run lines = run_gear("--file - --format jsonl --units in", job);
    struct run rows = run_gear("--file - --format tsv --units in", job);
    char *at = rows.out, *header;
    (void)state;

    assert_int_equal(parse_lines(records, JOB_GEARS, lines.out), JOB_GEARS);
    header = at;
    at = strchr(at, '\n');
    *at++ = '\0';
    for (size_t i = 0; i < JOB_GEARS; i++) {
        char *names = header, *end = strchr(at, '\n');
        size_t fields = 0;
        assert_non_null(end);
        *end = '\0';
        for (void *it = json_object_iter(records[i]); it != NULL; it = json_object_iter_next(records[i], it)) {
            const char *key = json_object_iter_key(it);
            const json_t *value = json_object_iter_value(it);
            size_t name = strcspn(names, "\t"), cell = strcspn(at, "\t");
            char text[200];
            if (strcmp(key, "schema") == 0)
                continue;
            if (strncmp(names, key, name) != 0 || key[name] != '\0')
                fail_msg("column %zu is not '%s'", fields, key);
            snprintf(text, sizeof text, "%.*s", (int)cell, at);
            if (json_is_null(value))
                assert_string_equal(text, "");
            else if (json_is_string(value))
                assert_string_equal(text, json_string_value(value));
            else if (json_is_number(value))
                assert_true(fabs(strtod(text, NULL) - json_number_value(value)) < 1e-9);
            else if (json_is_boolean(value))
                assert_string_equal(text, json_is_true(value) ? "true" : "false");
            else
                fail_msg("'%s' is neither text, number, truth nor null", key);
            names += name + (names[name] != '\0');
            at += cell + (at[cell] != '\0');
            fields++;
        }
        assert_int_equal(*names, '\0');
        assert_int_equal(fields, json_object_size(records[i]) - 1);
        assert_ptr_equal(at, end);
        at = end + 1;
        json_decref(records[i]);
    }
    run_clear(&lines);
    run_clear(&rows);
}

/* ---- cards ---- */

/* Every line within the width; 7-bit on demand; every gear and every cutter there. */
static void test_card_fits(void **state)
{
    static const unsigned widths[] = { 32, 40, 65, 72, 100 };
    (void)state;

    for (size_t i = 0; i < 2 * sizeof widths / sizeof *widths; i++) {
        bool ascii = i % 2 == 1;
        char arguments[200];
        snprintf(arguments, sizeof arguments, "--file - --width %u %s", widths[i / 2], ascii ? "--ascii" : "");
        struct run r = run_gear(arguments, job);
        unsigned columns = 0;
        for (const unsigned char *p = (const unsigned char *)r.out; *p != '\0'; p++) {
            columns = *p == '\n' ? 0 : columns + ((*p & 0xC0) != 0x80);
            if (columns > widths[i / 2] || (ascii && *p > 0x7E))
                fail_msg("width %u: '%.60s'", widths[i / 2], (const char *)p);
        }
        assert_non_null(strstr(r.out, "Cutters, each once"));
        assert_non_null(strstr(r.out, "[ ] 10. "));
        run_clear(&r);
    }
}

/* The plates follow each other: one that was taken off does not come back, and none is changed without need. */
static void test_plate_order(void **state)
{
    /* 19: plate A only; 23, 29, 31: B only; 41, 43: C only; 40: any circle of any plate, so the one that is on */
    json_t *records[8];
    struct run r = run_gear("41 23 19 43 31 40 29 40 --module 1 --format jsonl --mounted B", "");
    const char *order = "";
    char seen[9] = "";
    (void)state;

    assert_int_equal(r.status, 0);
    assert_int_equal(parse_lines(records, 8, r.out), 8);
    for (size_t i = 0; i < 8; i++) {
        const char *plate = json_string_value(json_object_get(records[i], "plate"));
        if (plate != NULL && strcmp(plate, order) != 0) {
            assert_null(strstr(seen, plate));
            strcat(seen, plate);
            order = plate;
        }
        if (whole(records[i], "teeth") == 40)
            assert_string_equal(plate, "B");
    }
    assert_string_equal(seen, "BAC");
    for (size_t i = 0; i < 8; i++)
        json_decref(records[i]);
    run_clear(&r);

    r = run_gear("41 23 19 --module 1 --mounted B --width 100", "");
    const char *now = strstr(r.out, "(on now)");
    assert_non_null(now);
    assert_memory_equal(now - 15, "plate B side 1 ", 15);
    assert_null(strstr(now + 1, "(on now)"));
    assert_non_null(strstr(r.out, "2 changes of plate"));
    run_clear(&r);
}

/* The example, from its file to the finished sheet. */
static void test_example(void **state)
{
    char command[2000], path[700];
    (void)state;

    snprintf(command, sizeof command, "CRANKCARD='%s' OUTPUT='%s' sh examples/change-wheels.sh", program, scratch);
    assert_int_equal(system(command), 0);
    snprintf(path, sizeof path, "%s/change-wheels.txt", scratch);
    char *sheet = test_read_file(path, NULL);
    assert_non_null(strstr(sheet, "GEAR JOB: 13 gears"));
    assert_non_null(strstr(sheet, "127 teeth, module 1, 20°, spur: inch threads"));
    assert_non_null(strstr(sheet, "\f"));
    free(sheet);
    snprintf(path, sizeof path, "%s/change-wheels.csv", scratch);
    char *rows = test_read_file(path, NULL);
    size_t lines = 0;
    for (const char *p = rows; (p = strstr(p, "\r\n")) != NULL; p += 2)
        lines++;
    assert_int_equal(lines, 14);
    free(rows);
}

/* On one plate gears follow cutter by cutter, in the order in which each is asked for first: 6 for 17 to 20 teeth, 4 for 26 to 34. */
static void test_cutter_order(void **state)
{
    json_t *records[6];
    struct run r = run_gear("20 30 18 12 32 17 --module 1 --format jsonl", "");
    (void)state;

    assert_int_equal(parse_lines(records, 6, r.out), 6);
    size_t place[33] = { 0 };
    for (size_t i = 0; i < 6; i++)
        place[whole(records[i], "teeth")] = i;
    assert_true(place[20] < place[18] && place[18] < place[17] && place[17] < place[30] && place[30] < place[32]);
    for (size_t i = 0; i < 6; i++)
        json_decref(records[i]);
    run_clear(&r);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_messages),
        cmocka_unit_test(test_status),
        cmocka_unit_test(helical_table_as_the_gears_give),
        cmocka_unit_test(test_tilt_of_head),
        cmocka_unit_test(test_jsonl),
        cmocka_unit_test(test_gears_for_helix),
        cmocka_unit_test(test_tsv_agrees),
        cmocka_unit_test(test_card_fits),
        cmocka_unit_test(test_plate_order),
        cmocka_unit_test(test_cutter_order),
        cmocka_unit_test(test_example),
    };
    const char *slash = argc > 0 ? strrchr(argv[0], '/') : NULL;
    char folder[500], here[500] = "";

    /* build/tests/test_cli_gear runs build/crankcard */
    snprintf(folder, sizeof folder, "%.*s", slash != NULL ? (int)(slash - argv[0]) : 1, slash != NULL ? argv[0] : ".");
    if (folder[0] != '/' && getcwd(here, sizeof here) == NULL)
        return 1;
    snprintf(program, sizeof program, "%.90s%s%.400s/../crankcard", here, here[0] != '\0' ? "/" : "", folder);
    snprintf(scratch, sizeof scratch, "%.500s/gear-XXXXXX", folder);
    if (mkdtemp(scratch) == NULL)
        return 1;
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    char command[700];
    snprintf(command, sizeof command, "rm -rf '%s'", scratch);
    return system(command) != 0 || failed != 0;
}
