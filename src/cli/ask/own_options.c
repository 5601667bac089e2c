/* own_options.c: see own_options.h. */
#include "cli/ask/own_options.h"

#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

void own_init(struct own_options *own, const struct option_row *rows, int argc, char **argv)
{
    *own = (struct own_options){ .rows = rows, .argc = argc, .argv = argv };
    own->rest = memory_get(((size_t)argc + 1) * sizeof *own->rest);
}

void own_clear(struct own_options *own)
{
    free(own->rest);
}

/* The row of a word like --name or --name=value; *value is what stands behind the '=', or NULL. */
static const struct option_row *find_row(const struct own_options *own, const char *word, const char **value)
{
    if (strncmp(word, "--", 2) != 0)
        return NULL;
    size_t length = strcspn(word + 2, "=");
    *value = word[2 + length] == '=' ? word + 3 + length : NULL;
    for (const struct option_row *row = own->rows; row->name != NULL; row++)
        if (strlen(row->name) == length && strncmp(row->name, word + 2, length) == 0)
            return row;
    return NULL;
}

enum arg_kind own_next(struct own_options *own, struct cc_error *err)
{
    while (own->at < own->argc) {
        char *word = own->argv[own->at++];
        const struct option_row *row = find_row(own, word, &own->text);
        if (row == NULL) {
            own->rest[own->rest_count++] = word;
            if (strcmp(word, "--") == 0)
                while (own->at < own->argc)
                    own->rest[own->rest_count++] = own->argv[own->at++];
            continue;
        }
        own->id = row->id;
        if (row->value == NULL && own->text != NULL) {
            cc_fail(err, CC_EPARSE, "--%s takes no value", row->name);
            return ARG_BAD;
        }
        if (row->value != NULL && own->text == NULL) {
            if (own->at == own->argc) {
                cc_fail(err, CC_EPARSE, "--%s needs a value: --%s %s", row->name, row->name, row->value);
                return ARG_BAD;
            }
            own->text = own->argv[own->at++];
        }
        return ARG_OPTION;
    }
    return ARG_END;
}
