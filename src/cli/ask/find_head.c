/*
 * find_head.c: which profile is meant, and where profiles lie.
 *
 * The places follow the XDG Base Directory Specification; a relative path in its variables is
 * ignored, as it says.
 */
#define _POSIX_C_SOURCE 200809L
#include "cli/ask/find_head.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/ask/spelling.h"
#include "cli/base/environment.h"
#include "cli/base/files.h"
#include "cli/base/look.h"
#include "cli/base/memory.h"
#include "cli/base/names.h"
#include "cli/base/plain_text.h"
#include "cli/base/shell_words.h"

#define SUFFIX ".ini"
#define OWN "crankcard"         /* the folder in a place of the user's or the system's that is ours */
#define MAX_PLACES 32

const struct option_row head_options[] = {
    { TO_TEXT(struct head_choice, name),
      'H', "head", "NAME|FILE", "equipment profile (default: your own, else the built-in one)" },
    OPTIONS_END
};

const struct option_row mounted_options[] = {
    { TO_TEXT(struct head_choice, mounted),
      0, "mounted", "PLATE", "the plate (and side) that is on now: B, or B2 for its side 2" },
    OPTIONS_END
};

/* One option behind what stands in buf, whole or not at all. */
static void put_option(char *buf, size_t size, const char *option, const char *value)
{
    char quoted[HEAD_WORDS];
    size_t used = strlen(buf), need;

    if (value == NULL || !shell_quote(quoted, sizeof quoted, value))
        return;
    need = strlen(option) + strlen(quoted) + 2;
    if (used + need < size)
        snprintf(buf + used, size - used, " %s %s", option, quoted);
}

void put_head_words(char *buf, size_t size, const char *name, const char *mounted)
{
    buf[0] = '\0';
    put_option(buf, size, "--head", name);
    put_option(buf, size, "--mounted", mounted);
}

struct places {
    char *at[MAX_PLACES];
    const char *why[MAX_PLACES];
    size_t n;
};

/* base/rest as a place, if base is an absolute path. */
static void add_place(struct places *places, const char *base, size_t length, const char *rest,
                      const char *why)
{
    if (places->n == MAX_PLACES || length == 0 || base[0] != '/')
        return;
    char *path = memory_text("%.*s/%s", (int)length, base, rest);
    for (size_t i = 0; i < places->n; i++) {
        if (strcmp(places->at[i], path) == 0) {
            free(path);
            return;
        }
    }
    places->why[places->n] = why;
    places->at[places->n++] = path;
}

static void add_list(struct places *places, const char *list, const char *why)
{
    while (*list != '\0') {
        size_t n = strcspn(list, ":");
        add_place(places, list, n, "crankcard/heads", why);
        list += n + (list[n] == ':');
    }
}

/* path without its last part; false when there is none. */
static bool go_up(char *path)
{
    char *slash = strrchr(path, '/');
    if (slash == NULL)
        return false;
    *slash = '\0';
    return true;
}

/* The data beside the program itself: below the prefix it was installed or moved to, or in its build tree. */
static void add_beside_program(struct places *places)
{
    char path[PATH_MAX];
    ssize_t n = readlink("/proc/self/exe", path, sizeof path - 1);

    if (n <= 0)
        return;
    path[n] = '\0';
    if (!go_up(path) || !go_up(path))
        return;
    add_place(places, path, strlen(path), "share/crankcard/heads", "installed beside the program");
    add_place(places, path, strlen(path), "data/heads", "the program's build tree");
    if (go_up(path))        /* build/san/crankcard */
        add_place(places, path, strlen(path), "data/heads", "the program's build tree");
}

static void list_places(struct places *places)
{
    const char *dirs = environment_text("XDG_DATA_DIRS");
    char *config = environment_directory("XDG_CONFIG_HOME", ".config");
    char *data = environment_directory("XDG_DATA_HOME", ".local/share");

    places->n = 0;
    if (config != NULL)
        add_place(places, config, strlen(config), "crankcard/heads", "your own");
    if (data != NULL)
        add_place(places, data, strlen(data), "crankcard/heads", "your own data");
    add_beside_program(places);
    add_list(places, dirs != NULL ? dirs : "/usr/local/share:/usr/share",
             "XDG_DATA_DIRS");
    add_place(places, CRANKCARD_DATADIR, strlen(CRANKCARD_DATADIR), "heads", "installed");
    free(config);
    free(data);
}

static void clear_places(struct places *places)
{
    for (size_t i = 0; i < places->n; i++)
        free(places->at[i]);
}

/* place/name.ini, to be freed. */
static char *profile_path(const char *place, const char *name)
{
    return memory_text("%s/%s" SUFFIX, place, name);
}

/* $XDG_CONFIG_HOME/crankcard/head.ini, to be freed, or NULL. */
static char *own_head_path(void)
{
    char *config = environment_directory("XDG_CONFIG_HOME", ".config");
    char *path = config != NULL ? memory_text("%s/crankcard/head.ini", config) : NULL;
    free(config);
    return path;
}

/* The file of a name like "rotary-table-90" in the first place that has something of that name, to be freed, or NULL. */
static enum cc_status find_name(char **path, const char *name, struct cc_error *err)
{
    struct places places;
    enum cc_status s = CC_OK;
    bool there = false;

    *path = NULL;
    list_places(&places);
    for (size_t i = 0; i < places.n && s == CC_OK && !there; i++) {
        free(*path);
        *path = profile_path(places.at[i], name);
        s = look_for(&there, *path, OWN, err);
    }
    clear_places(&places);
    if (s != CC_OK || !there) {
        free(*path);
        *path = NULL;
    }
    return s;
}

static bool is_path(const char *option)
{
    size_t n = strlen(option);
    return strchr(option, '/') != NULL || strcmp(option, "-") == 0 ||
           (n > sizeof SUFFIX - 1 && strcmp(option + n - (sizeof SUFFIX - 1), SUFFIX) == 0);
}

static enum cc_status load_file(struct cc_head *head, const char *path, const char *name,
                                struct cc_error *err)
{
    char *text;
    size_t length;
    enum cc_status s = read_file_now(&text, &length, path, stdin, err);

    if (s != CC_OK)
        return s;
    s = cc_head_read(head, text, length, name, path, err);
    free(text);
    return s;
}

/* A profile that lies where profiles are looked for: an ordinary file, or it is refused. */
static enum cc_status load_found(struct cc_head *head, const char *path, const char *name, struct cc_error *err)
{
    enum cc_status s = look_at_file(path, err);

    return s == CC_OK ? load_file(head, path, name, err) : s;
}

static void collect_name(void *context, const char *name, const char *path)
{
    (void)path;
    names_add(context, name, strlen(name));
}

static enum cc_status no_such_head(const char *option, struct cc_error *err)
{
    struct names list = { .n = 0 };

    enum cc_status s = find_head_each(collect_name, &list, err);
    const char *near = list.n > 0 ? nearest_name(option, (const char *const *)list.at) : NULL;
    if (s == CC_OK && near != NULL)
        cc_fail(err, CC_EPARSE, "no head is called '%.60s': did you mean '%s'?", option, near);
    else if (s == CC_OK)
        cc_fail(err, CC_EPARSE,
                "no head is called '%.60s': see crankcard heads; a file needs its .ini", option);
    names_clear(&list);
    return CC_EPARSE;
}

static enum cc_status load_named(struct cc_head *head, const char *option, struct cc_error *err)
{
    if (is_path(option))
        return load_file(head, option, option, err);
    if (strcmp(option, "built-in") == 0)
        return cc_head_default(head, err);
    char *path;
    enum cc_status s = find_name(&path, option, err);
    if (s == CC_OK && path == NULL)
        return no_such_head(option, err);
    if (s == CC_OK)
        s = load_found(head, path, option, err);
    free(path);
    return s;
}

enum cc_status find_head(struct cc_head *head, const char *option, const char *mounted,
                         struct cc_error *err)
{
    enum cc_status s;

    if (option == NULL)
        option = environment_text("CRANKCARD_HEAD");
    if (option != NULL) {
        s = load_named(head, option, err);
    } else {
        char *own = own_head_path();
        bool there = false;
        s = own != NULL ? look_for(&there, own, OWN, err) : CC_OK;
        if (s == CC_OK)
            s = there ? load_found(head, own, own, err) : cc_head_default(head, err);
        free(own);
    }
    if (s == CC_OK && mounted != NULL)
        s = cc_head_mount(head, mounted, err);
    return s;
}

/* What was found at a path, in words; folder: it has to be a directory. */
static const char *found_words(struct cc_error *err, const char *path, bool folder)
{
    bool there;
    enum cc_status s = look_for(&there, path, OWN, err);

    if (s == CC_OK && !there)
        return "not there";
    if (s == CC_OK)
        s = folder ? look_at_folder(path, err) : look_at_file(path, err);
    return s == CC_OK ? "found" : err->text;
}

static void write_place(FILE *out, const char *mark, const char *path, const char *why, const char *found)
{
    fprintf(out, "%s", mark);
    plain_put(out, path, strlen(path));
    fprintf(out, "%s%s%s: %s\n", *why != '\0' ? " (" : "", why, *why != '\0' ? ")" : "", found);
}

void find_head_where(FILE *out)
{
    struct places places;
    struct cc_error err;
    const char *variable = environment_text("CRANKCARD_HEAD");
    char *own = own_head_path();

    fprintf(out, "1. --head NAME or FILE: not given\n");
    fprintf(out, "2. CRANKCARD_HEAD: ");
    plain_line(out, variable != NULL ? variable : "not set");
    if (own != NULL)
        write_place(out, "3. ", own, "", found_words(&err, own, false));
    else
        fprintf(out, "3. your own head.ini: neither XDG_CONFIG_HOME nor HOME is set\n");
    fprintf(out, "4. the built-in head\n\nA NAME is looked for, with " SUFFIX ", in:\n");
    list_places(&places);
    for (size_t i = 0; i < places.n; i++)
        write_place(out, "   ", places.at[i], places.why[i], found_words(&err, places.at[i], true));
    clear_places(&places);
    free(own);
}

/* The names of the profiles in a directory. */
static enum cc_status names_in(struct names *names, const char *directory, struct cc_error *err)
{
    bool there;
    enum cc_status s = look_for(&there, directory, OWN, err);

    if (s == CC_OK && there)
        s = look_at_folder(directory, err);
    if (s != CC_OK || !there)
        return s;
    DIR *dir = opendir(directory);
    if (dir == NULL || !names_of_files(names, dir, SUFFIX))
        return cc_fail(err, CC_EPARSE, "cannot read '%.200s': %s", directory, strerror(errno));
    return CC_OK;
}

enum cc_status find_head_each(void (*visit)(void *context, const char *name, const char *path),
                              void *context, struct cc_error *err)
{
    struct places places;
    enum cc_status s = CC_OK;
    struct names seen = { .n = 0 };
    struct cc_error why;

    list_places(&places);
    for (size_t i = 0; i < places.n; i++) {
        struct names names = { .n = 0 };
        enum cc_status found = names_in(&names, places.at[i], &why);
        if (found != CC_OK && s == CC_OK)
            s = cc_fail(err, found, "%s", why.text);
        for (size_t k = 0; k < names.n; k++) {
            if (names_have(&seen, names.at[k]))
                continue;
            char *path = profile_path(places.at[i], names.at[k]);
            visit(context, names.at[k], path);
            free(path);
            names_add(&seen, names.at[k], strlen(names.at[k]));
        }
        names_clear(&names);
    }
    names_clear(&seen);
    clear_places(&places);
    return s;
}
