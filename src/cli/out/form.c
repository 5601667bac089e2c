/* form.c: see form.h. */
#include "cli/out/form.h"

#include <stdio.h>
#include <string.h>

static const struct {
    enum json_kind json;
    const char *words, *meaning;
} kinds[KINDS] = {
#define X(KIND, JSON, WORDS, MEANING) [KIND_##KIND] = { JSON_##JSON, WORDS, MEANING },
    FIELD_KINDS(X)
#undef X
};

enum json_kind kind_json(enum field_kind kind)
{
    return kinds[kind].json;
}

const char *kind_words(enum field_kind kind)
{
    return kinds[kind].words;
}

const char *kind_meaning(enum field_kind kind)
{
    return kinds[kind].meaning;
}

void field_name(char *buf, size_t size, const struct field *field, enum cc_unit unit)
{
    size_t stem = strlen(field->name) - (field->kind == KIND_LENGTH ? strlen("mm") : 0);

    snprintf(buf, size, "%.*s%s", (int)stem, field->name, field->kind == KIND_LENGTH ? cc_unit_name(unit) : "");
}

/* ---- columns ---- */

/* The field at the end of a path of n bytes, "movement.turns", or NULL. */
static const struct field *field_at(const struct field *fields, const char *path, size_t n)
{
    size_t first = strcspn(path, ".");
    bool inner = first < n;

    for (const struct field *f = fields; f != NULL && f->name != NULL; f++)
        if (strlen(f->name) == (inner ? first : n) && strncmp(f->name, path, inner ? first : n) == 0 && f->where != IN_JSON)
            return inner ? field_at(f->members, path + first + 1, n - first - 1) : f;
    return NULL;
}

static bool is_leading(const struct field *field)
{
    return strcmp(field->name, "record") == 0 || strcmp(field->name, "command") == 0;
}

/* The i-th of the fields that can be a cell. */
static const struct field *nth_cell(const struct form *form, size_t i)
{
    for (const struct field *f = form->fields; f->name != NULL; f++)
        if (f->where != IN_JSON && kinds[f->kind].json != JSON_ARRAY && !(form->columns != NULL && is_leading(f)) && i-- == 0)
            return f;
    return NULL;
}

const struct field *form_column(char *path, size_t size, const struct form *form, size_t i)
{
    const struct field *field;
    const char *at = form->columns;

    if (at == NULL || at[0] == '\0') {
        field = nth_cell(form, i);
        snprintf(path, size, "%s", field != NULL ? field->name : "");
        return field;
    }
    for (; i > 0 && at != NULL; i--) {
        at = strchr(at, ',');
        at += at != NULL;
    }
    if (at == NULL) {
        path[0] = '\0';
        return NULL;
    }
    size_t n = strcspn(at, ",");
    snprintf(path, size, "%.*s", (int)n, at);
    return field_at(form->fields, at, n);
}
