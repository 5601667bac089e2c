/* args.c: one reader for every command's arguments, driven by the option tables. */
#include "cli/ask/args.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask/spelling.h"

static const struct option_row general_options[] = {
    { OPT_HELP, 'h', "help", NULL, "show this help" },
    { OPT_VERSION, 'V', "version", NULL, "show the version" },
    OPTIONS_END
};

void args_init(struct args *args, int argc, char **argv, const struct option_row *const *tables)
{
    *args = (struct args){ .argc = argc, .argv = argv, .tables = tables };
}

/* Call match on every row of the command's tables, then on the general ones; the first hit. */
static const struct option_row *find_row(const struct option_row *const *tables, char letter,
                                         const char *name, size_t length)
{
    const struct option_row *const general[] = { general_options, NULL };

    for (int pass = 0; pass < 2; pass++) {
        const struct option_row *const *t = pass == 0 ? tables : general;
        for (; t != NULL && *t != NULL; t++)
            for (const struct option_row *row = *t; row->name != NULL; row++)
                if (name != NULL ? strncmp(row->name, name, length) == 0 && row->name[length] == '\0'
                                 : row->letter == letter)
                    return row;
    }
    return NULL;
}

static enum arg_kind unknown_long(struct args *args, const char *name, size_t length,
                                  struct cc_error *err)
{
    const char *names[128];
    size_t n = 0;
    char word[64];

    for (const struct option_row *const *t = args->tables; t != NULL && *t != NULL; t++)
        for (const struct option_row *row = *t; row->name != NULL && n < 127; row++)
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
    return ARG_BAD;
}

static enum arg_kind next_long(struct args *args, const char *name, struct cc_error *err)
{
    const char *equals = strchr(name, '=');
    size_t length = equals != NULL ? (size_t)(equals - name) : strlen(name);
    const struct option_row *row = find_row(args->tables, 0, name, length);

    if (row == NULL)
        return unknown_long(args, name, length, err);
    args->row = row;
    args->id = row->id;
    args->text = NULL;
    if (row->value == NULL && equals != NULL) {
        cc_fail(err, CC_EPARSE, "--%s takes no value", row->name);
        return ARG_BAD;
    }
    if (row->value != NULL) {
        args->text = equals != NULL ? equals + 1
                     : args->at < args->argc ? args->argv[args->at++] : NULL;
        if (args->text == NULL) {
            cc_fail(err, CC_EPARSE, "--%s needs a value: --%s %s", row->name, row->name, row->value);
            return ARG_BAD;
        }
    }
    return ARG_OPTION;
}

static enum arg_kind next_short(struct args *args, struct cc_error *err)
{
    char letter = *args->cluster++;
    const struct option_row *row = find_row(args->tables, letter, NULL, 0);

    if (row == NULL) {
        cc_fail(err, CC_EPARSE, "unknown option '-%c': see --help", letter);
        return ARG_BAD;
    }
    args->row = row;
    args->id = row->id;
    args->text = NULL;
    if (row->value != NULL) {
        if (*args->cluster != '\0')
            args->text = args->cluster;
        else if (args->at < args->argc)
            args->text = args->argv[args->at++];
        args->cluster = NULL;
        if (args->text == NULL) {
            cc_fail(err, CC_EPARSE, "-%c needs a value: -%c %s", letter, letter, row->value);
            return ARG_BAD;
        }
    } else if (*args->cluster == '\0') {
        args->cluster = NULL;
    }
    return ARG_OPTION;
}

/* "-", "-5", "-.5" and a word without a dash in front. */
static bool is_operand(const char *word)
{
    return word[0] != '-' || word[1] == '\0' || word[1] == '.' || (word[1] >= '0' && word[1] <= '9');
}

enum arg_kind args_next(struct args *args, struct cc_error *err)
{
    if (args->cluster != NULL)
        return next_short(args, err);
    if (args->at >= args->argc)
        return ARG_END;
    const char *word = args->argv[args->at++];
    if (args->options_ended || is_operand(word)) {
        args->text = word;
        args->row = NULL;
        return ARG_OPERAND;
    }
    if (strcmp(word, "--") == 0) {
        args->options_ended = true;
        return args_next(args, err);
    }
    if (word[1] == '-')
        return next_long(args, word + 2, err);
    args->cluster = word + 1;
    return next_short(args, err);
}

bool args_only_operand(const char **operand, const struct args *args, const char *right, struct cc_error *err)
{
    if (*operand != NULL) {
        cc_fail(err, CC_EPARSE, "'%.40s' is one operand too many: %s", args->text, right);
        return false;
    }
    *operand = args->text;
    return true;
}
