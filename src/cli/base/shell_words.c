/* shell_words.c: see shell_words.h. */
#include "cli/base/shell_words.h"

#include "crankcard/utf8.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/memory.h"

void shell_words_clear(struct shell_words *words)
{
    free(words->argv);
    free(words->text);
    *words = (struct shell_words){ .argc = 0 };
}

static void add_word(struct shell_words *words, char *word)
{
    if (words->argc + 1 >= words->room) {
        words->room = words->room == 0 ? 32 : 2 * words->room;
        words->argv = memory_resize(words->argv, (size_t)words->room * sizeof *words->argv);
    }
    words->argv[words->argc++] = word;
    words->argv[words->argc] = NULL;
}

static bool refuse(struct cc_error *err, char c)
{
    cc_fail(err, CC_EPARSE, "'%c' means something to a shell, and nothing is executed here: put it between single quotes", c);
    return false;
}

static bool unclosed(struct cc_error *err, char quote)
{
    if (quote == '\'')
        cc_fail(err, CC_EPARSE, "the quote ' is not closed: minutes of arc need double quotes, \"37d30'\"");
    else
        cc_fail(err, CC_EPARSE, "the quote \" is not closed");
    return false;
}

/* Copy what stands between the double quotes; *from is left behind the closing one. */
static bool double_quoted(char **to, const char **from, struct cc_error *err)
{
    const char *p = *from;

    for (; *p != '"'; p++) {
        if (*p == '\0')
            return unclosed(err, '"');
        if (*p == '$' || *p == '`')
            return refuse(err, *p);
        if (*p == '\\' && p[1] != '\0' && strchr("$`\"\\", p[1]) != NULL)
            p++;
        *(*to)++ = *p;
    }
    *from = p + 1;
    return true;
}

static bool single_quoted(char **to, const char **from, struct cc_error *err)
{
    const char *end = strchr(*from, '\'');

    if (end == NULL)
        return unclosed(err, '\'');
    size_t n = (size_t)(end - *from);
    memcpy(*to, *from, n);
    *to += n;
    *from = end + 1;
    return true;
}

/* One word; *from stands at its first character, and is left at what ends it. */
static bool one_word(char **to, const char **from, struct cc_error *err)
{
    const char *p = *from;
    bool good = true;

    if (*p == '~') {
        cc_fail(err, CC_EPARSE, "'~' is not expanded here: write the whole path");
        return false;
    }
    while (good && *p != '\0' && *p != ' ' && *p != '\t') {
        char c = *p++;
        if (c == '\'') {
            good = single_quoted(to, &p, err);
        } else if (c == '"') {
            good = double_quoted(to, &p, err);
        } else if (c == '\\' && *p == '\0') {
            cc_fail(err, CC_EPARSE, "a line ends in a backslash: a request stands on one line");
            good = false;
        } else if (c == '\\') {
            *(*to)++ = *p++;
        } else if (strchr("$`|&;<>()", c) != NULL) {
            good = refuse(err, c);
        } else {
            *(*to)++ = c;
        }
    }
    *(*to)++ = '\0';
    *from = p;
    return good;
}

bool shell_words_split(struct shell_words *words, const char *line, struct cc_error *err)
{
    /* Words with their closing NULs are never longer than the line: each but the last has a blank behind it. */
    words->text = memory_resize(words->text, strlen(line) + 1);
    words->argc = 0;
    char *to = words->text;
    for (;;) {
        line += strspn(line, " \t");
        if (*line == '\0' || *line == '#')
            return true;
        add_word(words, to);
        if (!one_word(&to, &line, err))
            return false;
    }
}

bool shell_quote(char *buf, size_t size, const char *word)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-./,:=+%@";
    size_t length = strlen(word), used = 0;

    if (length > 0 && strspn(word, plain) == length)
        return (size_t)snprintf(buf, size, "%s", word) < size;
    if (size < 4 * length + 3)      /* as if every byte were a quote */
        return false;
    buf[used++] = '\'';
    for (; *word != '\0'; word++) {
        const char *as = *word == '\'' ? "'\\''" : (const char[]){ *word, '\0' };
        used += (size_t)snprintf(buf + used, size - used, "%s", as);
    }
    buf[used++] = '\'';
    buf[used] = '\0';
    return true;
}

void shell_words_join(char *buf, size_t size, char *const *words, size_t count)
{
    size_t used = 0;

    buf[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        if (used + 2 >= size || !shell_quote(buf + used + (i > 0), size - used - (i > 0), words[i])) {
            memcpy(buf + (used + 4 > size ? size - 4 : used), "...", 4);
            break;
        }
        if (i > 0)
            buf[used] = ' ';
        used += strlen(buf + used);
    }
    for (size_t i = 0, n; buf[i] != '\0'; i += n)
        if ((n = cc_utf8_shown(buf + i, 4)) == 0) {
            buf[i] = '?';
            n = 1;
        }
}
