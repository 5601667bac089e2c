/* marks.c: see marks.h. */
#include "cli/job/marks.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "crankcard/number.h"
#include "crankcard/rows.h"
#include "cli/ask/values.h"
#include "cli/base/plain_text.h"

static option_taker take_mark, take_worth;

const struct option_row marks_options[] = {
    { TO_TAKER(take_mark),
      0, "mark", "K=CLASS", "every K-th line is of this class, such as 5=mid, 10=long (may be given again)" },
    { TO_COUNT(struct marks, number, FROM(1, INT64_MAX)), 0, "number", "K", "a numeral at every K-th line" },
    { TO_TAKER(take_worth), 0, "value", "X", "what one division is worth, for the numerals (default 1)" },
    OPTIONS_END
};

void marks_init(struct marks *marks)
{
    memset(marks, 0, sizeof *marks);
    mpq_init(marks->value);
    mpq_set_ui(marks->value, 1, 1);
}

void marks_clear(struct marks *marks)
{
    mpq_clear(marks->value);
}

bool marks_given(const struct marks *marks)
{
    return marks->n > 0 || marks->number > 0;
}

/* Letters, digits, '-', '_' and anything beyond ASCII that does nothing to a terminal. */
static bool is_name(const char *name)
{
    for (const char *p = name; *p != '\0'; p++) {
        unsigned char c = (unsigned char)*p;
        bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
        if (!letter && c != '-' && c != '_' && c < 0x80)
            return false;
    }
    return *name != '\0' && strlen(name) <= MAX_MARK_NAME && is_plain_text(name);
}

static bool take_mark(void *place, const struct option *option, struct cc_error *err)
{
    struct marks *marks = place;
    const char *text = option->text;
    const char *equals = strchr(text, '=');
    char every[24];
    uint64_t number = 0;

    if (equals == NULL || (size_t)(equals - text) >= sizeof every || !is_name(equals + 1)) {
        cc_fail(err, CC_EPARSE, "--mark: '%.40s' is not a count and a class of line, such as 10=long", text);
        return false;
    }
    if (marks->n == MAX_MARKS) {
        cc_fail(err, CC_ELIMIT, "--mark: '%.40s' is one too many: at most %d classes of line", text, MAX_MARKS);
        return false;
    }
    memcpy(every, text, (size_t)(equals - text));
    every[equals - text] = '\0';
    if (!value_u64(&number, every, "--mark", 1, INT64_MAX, err))
        return false;
    for (size_t i = 0; i < marks->n; i++) {
        if (marks->at[i].every == number) {
            cc_fail(err, CC_EDOM, "--mark: every %" PRIu64 " is given twice, as %s and as %s", number,
                    marks->at[i].name, equals + 1);
            return false;
        }
    }
    marks->at[marks->n].every = number;
    strcpy(marks->at[marks->n].name, equals + 1);
    marks->n++;
    return true;
}

static bool take_worth(void *place, const struct option *option, struct cc_error *err)
{
    struct marks *marks = place;
    const char *text = option->text;
    const char *point = strchr(text, '.');

    if (cc_rational_parse(marks->value, text, err) != CC_OK) {
        cc_fail(err, CC_EPARSE, "--value: '%.40s' is not a number, such as 0.001", text);
        return false;
    }
    marks->has_value = true;
    marks->decimals = point == NULL ? 0 : (unsigned)strspn(point + 1, "0123456789");
    marks->fraction = point == NULL && mpz_cmp_ui(mpq_denref(marks->value), 1) != 0;
    return true;
}

bool marks_check(const struct marks *marks, struct cc_error *err)
{
    if (!marks->has_value || marks->number > 0)
        return true;
    cc_fail(err, CC_EPARSE, "--value is for numerals: give --number too, such as --number 10");
    return false;
}

static void numeral_str(char *buf, size_t size, const struct marks *marks, uint64_t index)
{
    mpq_t numeral;

    mpq_init(numeral);
    cc_set_u64(mpq_numref(numeral), index);
    mpq_mul(numeral, numeral, marks->value);
    if (marks->fraction)
        cc_rational_str(buf, size, numeral);
    else
        cc_decimal_str(buf, size, numeral, marks->decimals);
    mpq_clear(numeral);
}

/* The same for positive values and up to 9 decimals, without GMP; false where it is not of that kind. */
static bool numeral_in_words(char *buf, size_t size, const struct marks *marks, uint64_t index)
{
    uint64_t scale = 1, part;

    if (marks->fraction || marks->decimals > 9 || index >> 31 != 0 || mpq_sgn(marks->value) <= 0 ||
        mpz_sizeinbase(mpq_numref(marks->value), 2) > 31 || mpz_sizeinbase(mpq_denref(marks->value), 2) > 31)
        return false;
    for (unsigned i = 0; i < marks->decimals; i++)
        scale *= 10;
    struct cc_fraction f = { (int64_t)(index * mpz_get_ui(mpq_numref(marks->value))),
                             mpz_get_ui(mpq_denref(marks->value)) };
    uint64_t whole = cc_fraction_split(&part, f, scale);
    if (marks->decimals == 0)
        snprintf(buf, size, "%" PRIu64, whole + part);
    else
        snprintf(buf, size, "%" PRIu64 ".%0*" PRIu64, whole + part / scale, (int)marks->decimals, part % scale);
    return true;
}

const char *marks_label(const struct marks *marks, uint64_t index, char *buf, size_t size)
{
    const char *name = "";
    uint64_t widest = 0;
    size_t n;

    for (size_t i = 0; i < marks->n; i++) {
        if (marks->at[i].every > widest && index % marks->at[i].every == 0) {
            widest = marks->at[i].every;
            name = marks->at[i].name;
        }
    }
    n = strlen(name);       /* MAX_MARK_NAME at most */
    memcpy(buf, name, n + 1);
    if (marks->number > 0 && index % marks->number == 0) {
        if (n > 0)
            buf[n++] = ' ';
        if (!numeral_in_words(buf + n, size - n, marks, index + marks->first))
            numeral_str(buf + n, size - n, marks, index + marks->first);
        return buf;
    }
    return n > 0 ? buf : NULL;
}
