/* profile_file.c: see profile_file.h. */
#include "cli/ask/profile_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crankcard/head.h"
#include "crankcard/profile_set.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"

/* Whether the head has what key of [accuracy] speaks of; err says what it lacks. */
static bool serves(const struct cc_head *head, const char *path, const char *section, const char *key, struct cc_error *err)
{
    const char *lacks = strcmp(section, "accuracy") != 0                           ? NULL
                        : strcmp(key, "worm") == 0 && !head->has_worm              ? "worm"
                        : strcmp(key, "dial") == 0 && !cc_head_has_dial(head)      ? "dial"
                        : strcmp(key, "direct") == 0 && head->direct.n == 0        ? "direct plate"
                                                                                   : NULL;

    if (lacks != NULL)
        cc_fail(err, CC_EDOM, "--write: the head of '%.100s' has no %s, so it cannot hold anything by one", path, lacks);
    return lacks == NULL;
}

/* The profile's text with the value in it, checked; to be freed. NULL with err filled. */
static char *new_text(size_t *new_length, const char *path, const char *text, size_t length, const char *section, const char *key,
                      const char *value, struct cc_error *err)
{
    struct cc_head head;

    *new_length = cc_profile_set(NULL, 0, text, length, section, key, value);
    char *all = memory_get(*new_length + 1);
    cc_profile_set(all, *new_length + 1, text, length, section, key, value);
    cc_head_init(&head);
    bool good = cc_head_read(&head, all, *new_length, path, path, err) == CC_OK && serves(&head, path, section, key, err);
    cc_head_clear(&head);
    if (good)
        return all;
    free(all);
    return NULL;
}

bool profile_file_set(struct cli *cli, const char *path, const char *section, const char *key, const char *value)
{
    char *text, *all;
    size_t length, new_length;
    struct new_file file;

    if (strcmp(path, "-") == 0) {
        cc_fail(&cli->err, CC_EPARSE, "--write: '-' is not a profile's file");
        return false;
    }
    if (read_file(&text, &length, path, cli->in, &cli->err) != CC_OK)
        return false;
    all = new_text(&new_length, path, text, length, section, key, value, &cli->err);
    free(text);
    if (all == NULL)
        return false;
    bool good = new_file_begin(&file, path, &cli->err) == CC_OK;
    if (good) {
        fwrite(all, 1, new_length, file.stream);
        good = new_file_end(&file, &cli->err) == CC_OK;
    }
    free(all);
    return good;
}
