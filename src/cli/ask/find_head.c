/*
 * find_head.c: which profile is meant, and where profiles lie.
 *
 * The places follow the XDG Base Directory Specification; a relative path in its variables is
 * ignored, as it says.
 */
#define _POSIX_C_SOURCE 200809L
#include "cli/ask/find_head.h"

#include <dirent.h>
#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/ask/spelling.h"
#include "cli/base/environment.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"

#define SUFFIX ".ini"
#define MAX_PLACES 32

const struct option_row head_options[] = {
    { OPT_HEAD, 'H', "head", "NAME|FILE", "equipment profile (default: your own, else the built-in one)" },
    { OPT_MOUNTED, 0, "mounted", "PLATE", "the plate (and side) that is on now: B, or B2 for its side 2" },
    OPTIONS_END
};

bool head_option(const char **name, const char **mounted, int id, const char *text)
{
    if (id == OPT_HEAD)
        *name = text;
    else if (id == OPT_MOUNTED)
        *mounted = text;
    else
        return false;
    return true;
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
    size_t size = length + strlen(rest) + 2;
    char *path = memory_get(size);
    snprintf(path, size, "%.*s/%s", (int)length, base, rest);
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

/* $XDG_CONFIG_HOME/crankcard/head.ini, to be freed, or NULL. */
static char *own_head_path(void)
{
    char *config = environment_directory("XDG_CONFIG_HOME", ".config");
    if (config == NULL)
        return NULL;
    size_t size = strlen(config) + sizeof "/crankcard/head.ini";
    char *path = memory_get(size);
    snprintf(path, size, "%s/crankcard/head.ini", config);
    free(config);
    return path;
}

static bool is_file(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && !S_ISDIR(st.st_mode);
}

/* Whether something is there, usable or not: a profile that cannot be read is never passed over in silence. */
static bool is_there(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 || (errno != ENOENT && errno != ENOTDIR);
}

/* The file of a name like "rotary-table-90" in the first place that has it, to be freed, or NULL. */
static char *find_name(const char *name)
{
    struct places places;
    char *found = NULL;

    list_places(&places);
    for (size_t i = 0; i < places.n && found == NULL; i++) {
        size_t size = strlen(places.at[i]) + strlen(name) + sizeof SUFFIX + 1;
        found = memory_get(size);
        snprintf(found, size, "%s/%s" SUFFIX, places.at[i], name);
        if (!is_file(found)) {
            free(found);
            found = NULL;
        }
    }
    clear_places(&places);
    return found;
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
    enum cc_status s = read_file(&text, &length, path, stdin, err);

    if (s != CC_OK)
        return s;
    s = cc_head_read(head, text, length, name, path, err);
    free(text);
    return s;
}

struct name_list {
    char *names[128];
    size_t n;
};

static void collect_name(void *context, const char *name, const char *path)
{
    struct name_list *list = context;
    (void)path;
    if (list->n < 126)
        list->names[list->n++] = memory_copy(name);
}

static enum cc_status no_such_head(const char *option, struct cc_error *err)
{
    struct name_list list = { .n = 0 };

    enum cc_status s = find_head_each(collect_name, &list, err);
    list.names[list.n] = NULL;
    const char *near = nearest_name(option, (const char *const *)list.names);
    if (s == CC_OK && near != NULL)
        cc_fail(err, CC_EPARSE, "no head is called '%.60s': did you mean '%s'?", option, near);
    else if (s == CC_OK)
        cc_fail(err, CC_EPARSE,
                "no head is called '%.60s': see crankcard heads; a file needs its .ini", option);
    for (size_t i = 0; i < list.n; i++)
        free(list.names[i]);
    return CC_EPARSE;
}

static enum cc_status load_named(struct cc_head *head, const char *option, struct cc_error *err)
{
    if (is_path(option))
        return load_file(head, option, option, err);
    if (strcmp(option, "built-in") == 0)
        return cc_head_default(head, err);
    char *path = find_name(option);
    if (path == NULL)
        return no_such_head(option, err);
    enum cc_status s = load_file(head, path, option, err);
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
        if (own != NULL && is_there(own))
            s = load_file(head, own, own, err);
        else
            s = cc_head_default(head, err);
        free(own);
    }
    if (s == CC_OK && mounted != NULL)
        s = cc_head_mount(head, mounted, err);
    return s;
}

void find_head_where(FILE *out)
{
    struct places places;
    const char *variable = environment_text("CRANKCARD_HEAD");
    char *own = own_head_path();

    fprintf(out, "1. --head NAME or FILE: not given\n");
    fprintf(out, "2. CRANKCARD_HEAD: %s\n", variable != NULL ? variable : "not set");
    if (own != NULL)
        fprintf(out, "3. %s: %s\n", own, is_there(own) ? "found" : "not there");
    else
        fprintf(out, "3. your own head.ini: neither XDG_CONFIG_HOME nor HOME is set\n");
    fprintf(out, "4. the built-in head\n\nA NAME is looked for, with " SUFFIX ", in:\n");
    list_places(&places);
    for (size_t i = 0; i < places.n; i++) {
        struct stat st;
        bool there = stat(places.at[i], &st) == 0 && S_ISDIR(st.st_mode);
        fprintf(out, "   %s (%s): %s\n", places.at[i], places.why[i], there ? "found" : "not there");
    }
    clear_places(&places);
    free(own);
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static enum cc_status cannot_read(const char *path, struct cc_error *err)
{
    return cc_fail(err, CC_EPARSE, "cannot read '%.200s': %s", path, strerror(errno));
}

/*
 * The names of the profiles in a directory, sorted; to be freed one by one and whole. A directory that
 * is not there, or not open to us, has none.
 */
static enum cc_status names_in(char ***out, size_t *count, const char *directory, struct cc_error *err)
{
    DIR *dir = opendir(directory);
    struct dirent *entry;
    enum cc_status s = CC_OK;
    char **names = NULL;
    size_t n = 0;

    *out = NULL;
    *count = 0;
    if (dir == NULL)
        return errno == ENOENT || errno == ENOTDIR || errno == EACCES ? CC_OK : cannot_read(directory, err);
    while (errno = 0, (entry = readdir(dir)) != NULL) {
        size_t length = strlen(entry->d_name), suffix = sizeof SUFFIX - 1;
        if (length <= suffix || entry->d_name[0] == '.' ||
            strcmp(entry->d_name + length - suffix, SUFFIX) != 0)
            continue;
        names = memory_resize(names, (n + 1) * sizeof *names);
        names[n] = memory_get(length - suffix + 1);
        memcpy(names[n], entry->d_name, length - suffix);
        names[n++][length - suffix] = '\0';
    }
    if (errno != 0)
        s = cannot_read(directory, err);
    closedir(dir);
    if (n > 0)
        qsort(names, n, sizeof *names, compare_names);
    *out = names;
    *count = n;
    return s;
}

enum cc_status find_head_each(void (*visit)(void *context, const char *name, const char *path),
                              void *context, struct cc_error *err)
{
    struct places places;
    enum cc_status s = CC_OK;
    char **seen = NULL;
    size_t seen_count = 0;

    list_places(&places);
    for (size_t i = 0; i < places.n && s == CC_OK; i++) {
        size_t n;
        char **names;
        s = names_in(&names, &n, places.at[i], err);
        for (size_t k = 0; k < n; k++) {
            bool known = false;
            for (size_t j = 0; j < seen_count && !known; j++)
                known = strcmp(seen[j], names[k]) == 0;
            if (known) {
                free(names[k]);
                continue;
            }
            size_t size = strlen(places.at[i]) + strlen(names[k]) + sizeof SUFFIX + 1;
            char *path = memory_get(size);
            snprintf(path, size, "%s/%s" SUFFIX, places.at[i], names[k]);
            visit(context, names[k], path);
            free(path);
            seen = memory_resize(seen, (seen_count + 1) * sizeof *seen);
            seen[seen_count++] = names[k];
        }
        free(names);
    }
    for (size_t j = 0; j < seen_count; j++)
        free(seen[j]);
    free(seen);
    clear_places(&places);
    return s;
}
