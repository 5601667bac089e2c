/* test_record.c: a record that is not what its form declares is not written: the program ends. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "cli/out/record.h"

static const struct field inner[] = { FIELD("deep", NUMBER, ""), FIELDS_END };
static const struct field fields[] = {
    RECORD_FIELD("r"), FIELD("first", NUMBER, ""), FIELD_ONLY(WHERE_ASKED, "maybe", TEXT, ""), FIELD("wide_mm", LENGTH, ""),
    FIELD("half", EXACT, ""), MEMBERS("in", OBJECT, inner, ""), MEMBERS("all", OBJECTS, inner, ""), FIELDS_END
};
static const struct form form = { .name = "r", .fields = fields };
static const struct form listed = { .name = "r", .fields = fields, .columns = "in.deep,wide_mm,half" };
static const struct form unknown = { .name = "r", .fields = fields, .columns = "first,second" };

/* What a record is written with; each of the faults leaves the rest as it should be. */
enum fault { NONE, MAYBE, UNKNOWN, EARLY, KIND, UNIT, SHORT_OBJECT, LEFT_OUT, FAULTS };

static void write_record(struct record *r, enum fault fault)
{
    record_begin(r, &form, NULL);
    if (fault == UNKNOWN)
        record_number(r, "zeroth", 0);
    if (fault == KIND)
        record_string(r, "first", "1");
    else if (fault != EARLY)
        record_number(r, "first", 1);
    if (fault == MAYBE)
        record_string(r, "maybe", "yes");
    if (fault == UNIT)
        record_double(r, "wide_in", 3, 6);
    else
        record_length_d(r, "wide", 25.4);
    record_rational(r, "half", NULL);
    record_object(r, "in");
    if (fault != SHORT_OBJECT)
        record_number(r, "deep", 2);
    record_object_end(r);
    if (fault != LEFT_OUT) {
        record_array(r, "all");
        for (int i = 0; i < 2; i++) {
            record_object(r, NULL);
            record_number(r, "deep", i);
            record_object_end(r);
        }
        record_array_end(r);
    }
    record_end(r);
}

/* All that comes out, into text. */
static void output_of(char *text, size_t size, enum format format, enum cc_unit unit, const struct form *columns, enum fault fault)
{
    FILE *out = tmpfile();
    struct output output = { .format = format, .unit = unit };
    struct record r;

    record_init(&r, out, &output, columns);
    write_record(&r, fault);
    record_clear(&r);
    rewind(out);
    text[fread(text, 1, size - 1, out)] = '\0';
    fclose(out);
}

static void test_written(void **state)
{
    char text[500];

    (void)state;
    output_of(text, sizeof text, FORMAT_JSONL, CC_MM, &form, NONE);
    assert_string_equal(text, "{\"record\":\"r\",\"first\":1,\"wide_mm\":25.4,\"half\":null,\"in\":{\"deep\":2},\"all\":[{\"deep\":0},{\"deep\":1}]}\n");
    output_of(text, sizeof text, FORMAT_JSONL, CC_INCH, &form, MAYBE);
    assert_string_equal(text, "{\"record\":\"r\",\"first\":1,\"maybe\":\"yes\",\"wide_in\":1,\"half\":null,\"in\":{\"deep\":2},\"all\":[{\"deep\":0},{\"deep\":1}]}\n");
    output_of(text, sizeof text, FORMAT_CSV, CC_INCH, &listed, NONE);
    assert_string_equal(text, "deep,wide_in,half_num,half_den\r\n2,1,,\r\n");
}

/* Whether a child that does it is ended by abort(). */
static bool is_refused(const struct form *columns, enum format format, enum fault fault)
{
    int status;
    char text[500];
    pid_t child = fork();

    if (child == 0) {
        if (freopen("/dev/null", "w", stderr) == NULL)
            _exit(1);
        signal(SIGABRT, SIG_DFL);
        output_of(text, sizeof text, format, CC_MM, columns, fault);
        _exit(0);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    return WIFSIGNALED(status) && WTERMSIG(status) == SIGABRT;
}

static void test_refused(void **state)
{
    (void)state;
    for (enum fault fault = NONE; fault < FAULTS; fault++)
        assert_int_equal(is_refused(&form, FORMAT_JSONL, fault), fault > MAYBE);
    assert_true(is_refused(&unknown, FORMAT_CSV, NONE));
    assert_false(is_refused(&listed, FORMAT_TSV, NONE));
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(test_written), cmocka_unit_test(test_refused) };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
