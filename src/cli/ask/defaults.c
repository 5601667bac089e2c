/* defaults.c: see defaults.h. */
#include "cli/ask/defaults.h"

#include <stdlib.h>
#include <string.h>

#include "cli/ask/output.h"
#include "cli/ask/values.h"
#include "cli/base/blame.h"
#include "cli/base/environment.h"
#include "cli/base/files.h"
#include "cli/base/look.h"
#include "cli/base/memory.h"
#include "cli/base/plain_text.h"

#define OWN "crankcard"     /* the folder of the user's that is ours */

struct defaults {
    unsigned long width;    /* 0: not said */
    const char *units, *paper;
};

static struct defaults loaded;
static bool have_loaded, is_there, is_bad;
static struct cc_error why_bad;

/* $XDG_CONFIG_HOME/crankcard/defaults.ini, to be freed, or NULL. */
static char *own_path(void)
{
    char *config = environment_directory("XDG_CONFIG_HOME", ".config");
    char *path = config != NULL ? memory_text("%s/" OWN "/defaults.ini", config) : NULL;

    free(config);
    return path;
}

static bool stands_once(bool twice, const char *key, struct cc_error *err)
{
    if (twice)
        cc_fail(err, CC_EPARSE, "%s stands twice: keep one of them", key);
    return !twice;
}

static bool set(struct defaults *defaults, const char *key, const char *value, struct cc_error *err)
{
    if (strcmp(key, "width") == 0)
        return stands_once(defaults->width != 0, key, err) &&
               value_number(&defaults->width, value, "width", OUTPUT_LEAST_WIDTH, OUTPUT_MOST_WIDTH, err);
    if (strcmp(key, "units") == 0) {
        if (!stands_once(defaults->units != NULL, key, err))
            return false;
        defaults->units = strcmp(value, "mm") == 0 ? "mm" : strcmp(value, "in") == 0 ? "in" : NULL;
        if (defaults->units == NULL)
            cc_fail(err, CC_EPARSE, "units: '%.40s' is neither mm nor in", value);
        return defaults->units != NULL;
    }
    if (strcmp(key, "paper") == 0) {
        if (!stands_once(defaults->paper != NULL, key, err))
            return false;
        defaults->paper = output_paper(value);
        if (defaults->paper == NULL)
            cc_fail(err, CC_EPARSE, "paper: '%.40s' is not known: a4, a5 or letter", value);
        return defaults->paper != NULL;
    }
    cc_fail(err, CC_EPARSE, "'%.40s' is not a key: units, width or paper", key);
    return false;
}

static char *trimmed(char *s)
{
    size_t n;

    s += strspn(s, " \t");
    for (n = strlen(s); n > 0 && strchr(" \t\r", s[n - 1]) != NULL; n--)
        continue;
    s[n] = '\0';
    return s;
}

/* One line, which it may write in: a key and its value, a comment behind ; or #, or nothing. */
static bool read_line(struct defaults *defaults, char *line, struct cc_error *err)
{
    line[strcspn(line, ";#")] = '\0';
    line = trimmed(line);
    if (*line == '\0')
        return true;
    char *sign = strchr(line, '=');
    if (sign == NULL) {
        cc_fail(err, CC_EPARSE, "'%.40s' is not of the form key = value", line);
        return false;
    }
    *sign = '\0';
    return set(defaults, trimmed(line), trimmed(sign + 1), err);
}

static bool read_text(struct defaults *defaults, char *text, size_t length, const char *path, struct cc_error *err)
{
    unsigned long number = 0;
    bool good = true;

    if (strlen(text) != length) {
        cc_fail(err, CC_EPARSE, "'%.200s' is not a text file", path);
        return false;
    }
    text += strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;      /* a byte order mark, as some editors write */
    for (char *line = text, *next; good && *line != '\0'; line = next) {
        size_t end = strcspn(line, "\n");
        next = line + end + (line[end] == '\n');
        line[end] = '\0';
        number++;
        good = read_line(defaults, line, err);
        if (!good)
            blame(err->status, err, "%.200s:%lu", path, number);
    }
    return good;
}

/* What the file says; nothing where there is none. */
static bool read_defaults(struct defaults *defaults, bool *there, const char *path, struct cc_error *err)
{
    char *text;
    size_t length;

    *there = false;
    if (look_for(there, path, OWN, err) != CC_OK)
        return false;
    if (!*there)
        return true;
    if (look_at_file(path, err) != CC_OK || read_file_now(&text, &length, path, stdin, err) != CC_OK)
        return false;
    bool good = read_text(defaults, text, length, path, err);
    free(text);
    return good;
}

bool defaults_load(struct cc_error *err)
{
    struct defaults read = { .width = 0 };
    char *path = have_loaded ? NULL : own_path();

    have_loaded = true;
    if (path != NULL) {
        is_bad = !read_defaults(&read, &is_there, path, &why_bad);
        loaded = is_bad ? loaded : read;
        output_defaults((unsigned)loaded.width, loaded.paper);
    }
    free(path);
    if (is_bad)
        *err = why_bad;
    return !is_bad;
}

const char *defaults_units(void)
{
    return loaded.units;
}

void defaults_where(FILE *out)
{
    char *path = own_path();

    fputs("\nDefaults of units, width and paper:\n   ", out);
    if (path == NULL) {
        fputs("your own defaults.ini: neither XDG_CONFIG_HOME nor HOME is set\n", out);
        return;
    }
    if (is_bad) {
        plain_line(out, why_bad.text);      /* it names the file */
    } else if (!is_there) {
        plain_put(out, path, strlen(path));
        fputs(": not there\n", out);
    } else {
        plain_put(out, path, strlen(path));
        fprintf(out, ": found: units %s, ", loaded.units != NULL ? loaded.units : "not said");
        if (loaded.width > 0)
            fprintf(out, "width %lu, ", loaded.width);
        else
            fputs("width not said, ", out);
        fprintf(out, "paper %s\n", loaded.paper != NULL ? loaded.paper : "not said");
    }
    free(path);
}
