/*
 * args.h: the options a command has, and the one reader of what was typed after its name.
 *
 * A row of an option says where its value goes: it begins with one of the TO_ macros below, which name a member of the
 * struct that the table is for and check its type; a row without one does not compile. Reading, help, manual page,
 * completion and refusals follow from the rows.
 *
 *     static const struct option_row saw_options[] = {
 *         { TO_LENGTH(struct saw_job, kerf, ABOVE_ZERO), 'k', "kerf", "LENGTH", "width of the cut" },
 *         OPTIONS_END
 *     };
 *
 * All that was typed is read before any value is worked out; then values are taken in the order of the rows, the unit
 * of bare lengths first. So the order in which options were typed never matters, but where one is given again.
 */
#ifndef CRANKCARD_CLI_ASK_ARGS_H
#define CRANKCARD_CLI_ASK_ARGS_H

#include <gmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "crankcard/length.h"
#include "crankcard/status.h"

struct option_row;

/* An option as it was typed. */
struct option {
    const struct option_row *row;
    const char *text;           /* its value; NULL for a switch */
    enum cc_unit unit;          /* of lengths without one */
};

/* Work out the value and put it into its place; false with err filled where it is bad. */
typedef bool option_taker(void *place, const struct option *option, struct cc_error *err);

enum option_bound { BOUND_NONE, BOUND_NOT_NEGATIVE, BOUND_ABOVE_ZERO };

struct option_place {
    option_taker *take;
    unsigned at;                /* of the value, in the table's struct; no pointer fits: so a row that forgot its place fails */
    unsigned size;              /* of a count or a word */
    uint64_t low, high;         /* of a count; low is the value of the first word too */
    const char *const *words;   /* NULL at the end */
    enum option_bound bound;    /* of a number, an angle or a length */
    unsigned given;             /* of a bool that says the option was typed, and 1; 0 for none */
};

struct option_row {
    struct option_place to;
    char letter;                /* 'f' for -f, or 0; it means the same in all commands */
    const char *name;           /* "format" for --format */
    const char *value;          /* what the value is called in help: "NAME"; NULL for a switch */
    const char *help;           /* one line, no capital, no full stop */
};

#define OPTIONS_END { .name = NULL }

/* The offset of member m of struct T, if it is of that type. */
#define PLACE(T, m, type) (offsetof(T, m) + 0 * sizeof(_Generic(&((T *)0)->m, type *: 'x')))

/* ---- where a value goes: member m of struct T ---- */

#define TO_SWITCH(T, m)         { .take = take_switch, .at = PLACE(T, m, bool) }
#define TO_TEXT(T, m)           { .take = take_text, .at = PLACE(T, m, const char *) }
#define TO_BIG_COUNT(T, m)      { .take = take_big_count, .at = PLACE(T, m, mpz_t) }

/* unsigned, unsigned long, size_t or uint64_t, then FROM(least, most) */
#define TO_COUNT(T, m, ...) \
    { .take = take_count, .size = sizeof ((T *)0)->m, __VA_ARGS__, .at = offsetof(T, m) + 0 * sizeof(_Generic(((T *)0)->m, \
          unsigned: 'x', unsigned long: 'x', unsigned long long: 'x')) }

/* An enum, or a bool, whose values follow one another as the words do; the first word's value is first. */
#define TO_WORD(T, m, list, ...) \
    { .take = take_word, .size = sizeof ((T *)0)->m, .words = (list), .low = __VA_ARGS__, \
      .at = offsetof(T, m) + 0 * sizeof(char[sizeof ((T *)0)->m == 1 || sizeof ((T *)0)->m == sizeof(int) ? 1 : -1]) }
#define TO_UNIT(T, m)              { .take = take_unit, .at = PLACE(T, m, enum cc_unit) }

/* mpq_t, then ANY_SIGN, NOT_NEGATIVE or ABOVE_ZERO: a number; revolutions; millimetres */
#define TO_NUMBER(T, m, ...) { .take = take_number, .at = PLACE(T, m, mpq_t), __VA_ARGS__ }
#define TO_ANGLE(T, m, ...)  { .take = take_angle, .at = PLACE(T, m, mpq_t), __VA_ARGS__ }
#define TO_LENGTH(T, m, ...) { .take = take_length, .at = PLACE(T, m, mpq_t), __VA_ARGS__ }
#define TO_MODULE(T, m, ...) { .take = take_module, .at = PLACE(T, m, mpq_t), __VA_ARGS__ }   /* mm whatever --units says */
#define TO_PITCH(T, m)       { .take = take_pitch, .at = PLACE(T, m, mpq_t) }                 /* of a screw */

/* What a function of the command makes of it; it is handed the table's struct. */
#define TO_TAKER(...) { .take = __VA_ARGS__ }

/* It stays among the operands, in its place between them: struct operand. */
#define AMONG_OPERANDS { .take = take_among_operands }

#define FROM(least, most)   .low = (least), .high = (most)
#define ANY_SIGN            .bound = BOUND_NONE
#define NOT_NEGATIVE        .bound = BOUND_NOT_NEGATIVE
#define ABOVE_ZERO          .bound = BOUND_ABOVE_ZERO
#define GIVEN(T, m)         .given = 1 + PLACE(T, m, bool)

option_taker take_switch, take_text, take_count, take_big_count, take_word, take_unit, take_number, take_angle, take_length,
             take_module, take_pitch, take_among_operands;

/* ---- reading ---- */

/* Rows, and where their struct lies in the command's own. A command lists its tables, rows NULL at the end. */
struct option_table {
    const struct option_row *rows;
    size_t at;
    const char *refuse;         /* NULL, or why its options cannot stand here: "belongs on the command line" */
};

#define OWN_OPTIONS(rows)   { (rows), 0, NULL }
#define TABLES_END          { NULL, 0, NULL }

struct operand {
    const char *text;
    const struct option_row *row;       /* of an option that stays among the operands; else NULL */
};

struct args {
    struct operand *operand;            /* in the order typed */
    size_t n;
};

/*
 * Read what was typed into the command's struct. POSIX utility syntax with GNU long options, options and operands in
 * any order; a word like -5 or -37.5 is an operand; "-" is an operand. False with err filled where it cannot be taken.
 * args_clear in any case.
 */
bool args_read(struct args *args, void *into, const struct option_table *tables, int argc, char **argv,
               struct cc_error *err);
void args_clear(struct args *args);

/* The same of a command with one operand at the most, or NULL; one too many is refused, with what would be right. */
bool args_read_one(const char **operand, const char *right, void *into, const struct option_table *tables, int argc, char **argv,
                   struct cc_error *err);

/*
 * Read a command's own long options out of the words of a request. The other words gather in rest, which has room for
 * argc; they end where "--" ends options. Returns how many they are, or -1 with err filled.
 */
int args_read_own(char **rest, void *into, const struct option_row *rows, int argc, char **argv, struct cc_error *err);

#endif
