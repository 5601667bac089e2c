/* args.c: one reader for every command's arguments, driven by the option tables. */
#include "cli/ask/args.h"

#include <stdlib.h>
#include <string.h>

#include "cli/ask/spelling.h"
#include "cli/base/memory.h"

/* An option and the table it is of. */
struct typed {
    struct option option;
    const struct option_table *table;
};

struct scan {
    int argc, at;
    char **argv;
    const struct option_table *tables;
    const char *cluster;            /* rest of -abc */
    bool ended;                     /* after -- */
    struct typed now;               /* the option just read */
};

enum item { ITEM_END, ITEM_OPERAND, ITEM_OPTION, ITEM_BAD };

/* ---- from words to options and operands ---- */

/* The row of a letter or, where name is not NULL, of a name. */
static bool find_row(struct scan *scan, char letter, const char *name, size_t length)
{
    for (const struct option_table *t = scan->tables; t->rows != NULL; t++) {
        for (const struct option_row *row = t->rows; row->name != NULL; row++) {
            if (name != NULL ? strncmp(row->name, name, length) == 0 && row->name[length] == '\0'
                             : row->letter == letter) {
                scan->now = (struct typed){ { row, NULL, CC_MM }, t };
                return true;
            }
        }
    }
    return false;
}

static enum item unknown_long(const struct scan *scan, const char *name, size_t length, struct cc_error *err)
{
    const char *names[128];
    size_t n = 0;
    char word[64];

    for (const struct option_table *t = scan->tables; t->rows != NULL; t++)
        for (const struct option_row *row = t->rows; row->name != NULL && n < 127; row++)
            names[n++] = row->name;
    names[n] = NULL;
    if (length >= sizeof word)
        length = sizeof word - 1;
    memcpy(word, name, length);
    word[length] = '\0';
    const char *near = nearest_name(word, names);
    if (near != NULL)
        cc_fail(err, CC_EPARSE, "unknown option '--%s': did you mean '--%s'?", word, near);
    else
        cc_fail(err, CC_EPARSE, "unknown option '--%s': see --help", word);
    return ITEM_BAD;
}

/* The option just found, with its value: what is attached to it, or the next word. */
static enum item with_value(struct scan *scan, const char *attached, const char *dashes, const char *name,
                            struct cc_error *err)
{
    struct option *option = &scan->now.option;

    if (scan->now.table->refuse != NULL) {
        cc_fail(err, CC_EPARSE, "--%s %s", option->row->name, scan->now.table->refuse);
        return ITEM_BAD;
    }
    if (option->row->value == NULL)
        return ITEM_OPTION;
    option->text = attached != NULL ? attached : scan->at < scan->argc ? scan->argv[scan->at++] : NULL;
    if (option->text != NULL)
        return ITEM_OPTION;
    cc_fail(err, CC_EPARSE, "%s%s needs a value: %s%s %s", dashes, name, dashes, name, option->row->value);
    return ITEM_BAD;
}

static enum item next_long(struct scan *scan, const char *name, struct cc_error *err)
{
    size_t length = strcspn(name, "=");
    const char *attached = name[length] == '=' ? name + length + 1 : NULL;

    if (!find_row(scan, 0, name, length))
        return unknown_long(scan, name, length, err);
    const struct option_row *row = scan->now.option.row;
    if (row->value == NULL && attached != NULL) {
        cc_fail(err, CC_EPARSE, "--%s takes no value", row->name);
        return ITEM_BAD;
    }
    return with_value(scan, attached, "--", row->name, err);
}

static enum item next_short(struct scan *scan, struct cc_error *err)
{
    const char letter[2] = { *scan->cluster, '\0' };

    if (!find_row(scan, letter[0], NULL, 0)) {
        cc_fail(err, CC_EPARSE, "unknown option '-%s': see --help", letter);
        return ITEM_BAD;
    }
    const char *rest = scan->cluster[1] != '\0' ? scan->cluster + 1 : NULL;
    scan->cluster = scan->now.option.row->value == NULL ? rest : NULL;
    return with_value(scan, rest, "-", letter, err);
}

/* "-", "-5", "-.5" and a word without a dash in front. */
static bool is_operand(const char *word)
{
    return word[0] != '-' || word[1] == '\0' || word[1] == '.' || (word[1] >= '0' && word[1] <= '9');
}

static enum item next_item(struct scan *scan, struct cc_error *err)
{
    if (scan->cluster != NULL)
        return next_short(scan, err);
    if (scan->at >= scan->argc)
        return ITEM_END;
    const char *word = scan->argv[scan->at++];
    if (scan->ended || is_operand(word)) {
        scan->now = (struct typed){ { NULL, word, CC_MM }, NULL };
        return ITEM_OPERAND;
    }
    if (strcmp(word, "--") == 0) {
        scan->ended = true;
        return next_item(scan, err);
    }
    if (word[1] == '-')
        return next_long(scan, word + 2, err);
    scan->cluster = word + 1;
    return next_short(scan, err);
}

/* ---- from options to values ---- */

/* Options as they were typed, each until its value is taken. */
struct all_typed {
    struct typed *at;
    size_t n, room;
};

static void keep_typed(struct all_typed *all, const struct typed *typed)
{
    all->at = memory_grow(all->at, all->n, &all->room, sizeof *all->at);
    all->at[all->n++] = *typed;
}

/* The value of every option of that row, in the order typed. */
static bool take_row(void *into, const struct option_table *table, const struct option_row *row, enum cc_unit unit,
                     const struct all_typed *all, struct cc_error *err)
{
    char *place = (char *)into + table->at;

    for (size_t i = 0; i < all->n; i++) {
        struct option option = all->at[i].option;
        if (option.row != row)
            continue;
        option.unit = unit;
        if (row->to.given != 0)
            *(bool *)(place + row->to.given - 1) = true;
        if (!row->to.take(place + row->to.at, &option, err))
            return false;
    }
    return true;
}

/* Take the unit of bare lengths, and say which it is now. */
static bool take_units(enum cc_unit *unit, void *into, const struct option_table *tables, const struct all_typed *all,
                       struct cc_error *err)
{
    for (const struct option_table *t = tables; t->rows != NULL; t++) {
        for (const struct option_row *row = t->rows; row->name != NULL; row++) {
            if (row->to.take != take_unit)
                continue;
            if (!take_row(into, t, row, CC_MM, all, err))
                return false;
            *unit = *(enum cc_unit *)(void *)((char *)into + t->at + row->to.at);
        }
    }
    return true;
}

static bool take_all(void *into, const struct option_table *tables, const struct all_typed *all, struct cc_error *err)
{
    enum cc_unit unit = CC_MM;

    if (!take_units(&unit, into, tables, all, err))
        return false;
    for (const struct option_table *t = tables; t->rows != NULL && all->n > 0; t++)
        for (const struct option_row *row = t->rows; row->name != NULL; row++)
            if (!take_row(into, t, row, unit, all, err))
                return false;
    return true;
}

bool args_read(struct args *args, void *into, const struct option_table *tables, int argc, char **argv,
               struct cc_error *err)
{
    struct scan scan = { .argc = argc, .argv = argv, .tables = tables };
    struct all_typed all = { NULL, 0, 0 };
    enum item item;

    *args = (struct args){ memory_get(((size_t)argc + 1) * sizeof *args->operand), 0 };
    while ((item = next_item(&scan, err)) == ITEM_OPERAND || item == ITEM_OPTION) {
        const struct option *now = &scan.now.option;
        if (item == ITEM_OPERAND || now->row->to.take == take_among_operands)
            args->operand[args->n++] = (struct operand){ now->text, now->row };
        else
            keep_typed(&all, &scan.now);
    }
    bool good = item == ITEM_END && take_all(into, tables, &all, err);
    free(all.at);
    return good;
}

void args_clear(struct args *args)
{
    free(args->operand);
}

bool args_read_one(const char **operand, const char *right, void *into, const struct option_table *tables, int argc, char **argv,
                   struct cc_error *err)
{
    struct args args;
    bool good = args_read(&args, into, tables, argc, argv, err);

    *operand = args.n > 0 ? args.operand[0].text : NULL;
    if (good && args.n > 1)
        good = cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: %s", args.operand[1].text, right) == CC_OK;
    args_clear(&args);
    return good;
}

/* ---- requests inside requests ---- */

int args_read_own(char **rest, void *into, const struct option_row *rows, int argc, char **argv, struct cc_error *err)
{
    const struct option_table tables[] = { OWN_OPTIONS(rows), TABLES_END };
    struct scan scan = { .argc = argc, .argv = argv, .tables = tables };
    struct all_typed all = { NULL, 0, 0 };
    int n = 0;
    bool good = true;

    while (scan.at < argc && good) {
        char *word = argv[scan.at++];
        if (!scan.ended && strncmp(word, "--", 2) == 0 && find_row(&scan, 0, word + 2, strcspn(word + 2, "="))) {
            good = next_long(&scan, word + 2, err) == ITEM_OPTION;
            keep_typed(&all, &scan.now);
            continue;
        }
        scan.ended = scan.ended || strcmp(word, "--") == 0;
        rest[n++] = word;
    }
    good = good && take_all(into, tables, &all, err);
    free(all.at);
    return good ? n : -1;
}
