/* profile_set.c: one value of an INI text replaced, the rest copied byte for byte. */
#include "crankcard/profile_set.h"

#include <stdbool.h>
#include <string.h>

/* Output that counts what it has no room for. */
struct sink {
    char *buf;
    size_t size, used;
    char last;      /* byte written last, '\n' before the first */
    const char *line_end;
};

static void put(struct sink *s, const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (s->used + 1 < s->size)
            s->buf[s->used] = text[i];
        s->used++;
        s->last = text[i];
    }
}

static void put_text(struct sink *s, const char *text)
{
    put(s, text, strlen(text));
}

static void put_pair(struct sink *s, const char *key, const char *value)
{
    put_text(s, key);
    put_text(s, " = ");
    put_text(s, value);
    put_text(s, s->line_end);
}

/* As the first line ends: an editor that writes CRLF writes it everywhere. */
static const char *line_end_of(const char *text, size_t length)
{
    const char *newline = memchr(text, '\n', length);

    return newline != NULL && newline > text && newline[-1] == '\r' ? "\r\n" : "\n";
}

struct span {
    const char *at;
    size_t length;
};

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static struct span trim(struct span t)
{
    while (t.length > 0 && is_blank(t.at[0])) {
        t.at++;
        t.length--;
    }
    while (t.length > 0 && is_blank(t.at[t.length - 1]))
        t.length--;
    return t;
}

static bool equals(struct span t, const char *word)
{
    return t.length == strlen(word) && memcmp(t.at, word, t.length) == 0;
}

/* Whether the line is a section's header; *in says whether it is the one called section. */
static bool header(bool *in, struct span line, const char *section)
{
    if (line.length >= 3 && memcmp(line.at, "\xEF\xBB\xBF", 3) == 0)     /* a byte order mark, as in profile.c */
        line = (struct span){ line.at + 3, line.length - 3 };
    line = trim(line);
    const char *end = line.length > 0 && line.at[0] == '[' ? memchr(line.at, ']', line.length) : NULL;
    if (end == NULL)
        return false;
    *in = equals(trim((struct span){ line.at + 1, (size_t)(end - line.at) - 1 }), section);
    return true;
}

static bool has_key(struct span line, const char *key)
{
    size_t n = 0;
    while (n < line.length && line.at[n] != '=' && line.at[n] != ':')
        n++;
    return n < line.length && equals(trim((struct span){ line.at, n }), key);
}

/* The next line of text from *at on, without its end; *at moves past the end. */
static struct span next_line(const char **at, const char *end)
{
    const char *start = *at, *newline = memchr(start, '\n', (size_t)(end - start));

    *at = newline != NULL ? newline + 1 : end;
    return (struct span){ start, (size_t)((newline != NULL ? newline : end) - start) };
}

static bool key_exists(const char *text, size_t length, const char *section, const char *key)
{
    const char *at = text, *end = text + length;
    bool in = false;

    while (at < end) {
        struct span line = next_line(&at, end);
        if (!header(&in, line, section) && in && has_key(line, key))
            return true;
    }
    return false;
}

struct edit {
    struct sink out;
    const char *section, *key, *value;
    bool replace;       /* the key is there already */
    bool in;            /* the section */
    bool done;
};

static void put_value(struct edit *e)
{
    put_pair(&e->out, e->key, e->value);
    e->done = true;
}

/*
 * Copy one line (bytes: with its end), or write the new value in its place, or behind it where it is the section's
 * header.
 */
static void edit_line(struct edit *e, struct span line, struct span bytes)
{
    bool is_header = header(&e->in, line, e->section), here = e->in && !e->done;

    if (here && !is_header && e->replace && has_key(line, e->key)) {
        put_value(e);
        return;
    }
    put(&e->out, bytes.at, bytes.length);
    if (here && is_header && !e->replace) {
        if (e->out.last != '\n')
            put_text(&e->out, e->out.line_end);
        put_value(e);
    }
}

size_t cc_profile_set(char *buf, size_t size, const char *text, size_t length, const char *section,
                      const char *key, const char *value)
{
    struct edit e = { .out = { .buf = buf, .size = size, .last = '\n', .line_end = line_end_of(text, length) },
                      .section = section, .key = key, .value = value, .replace = key_exists(text, length, section, key) };
    const char *at = text, *end = text + length;

    while (at < end) {
        const char *start = at;
        struct span line = next_line(&at, end);
        edit_line(&e, line, (struct span){ start, (size_t)(at - start) });
    }
    if (!e.done) {
        if (e.out.last != '\n')
            put_text(&e.out, e.out.line_end);
        if (e.out.used > 0)
            put_text(&e.out, e.out.line_end);
        put_text(&e.out, "[");
        put_text(&e.out, section);
        put_text(&e.out, "]");
        put_text(&e.out, e.out.line_end);
        put_value(&e);
    }
    if (size > 0)
        buf[e.out.used < size ? e.out.used : size - 1] = '\0';
    return e.out.used;
}
