/* follow_screen.c: following on the whole terminal, key by key. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/keep/follow.h"
#include "cli/keep/follow_stages.h"
#include "cli/keep/journal.h"
#include "cli/keep/large_move.h"
#include "cli/keep/terminal.h"
#include "cli/out/text.h"

/*
 * A key that confirms or goes back counts only when no such key came this long before it. A key held down
 * waits before its first repeat (250 to 660 ms are common) and then comes every 30 to 100 ms, so it counts once.
 */
#define GUARD_MS 800

struct screen {
    struct follow *follow;
    unsigned long long last_guarded;
    unsigned top;                   /* lines above the part that is shown, of a picture that is too tall */
    bool cut_off;                   /* more of it lies below */
    const char *prompt;             /* what is being typed, or NULL */
    char typed[JOURNAL_NOTE + 1];
};

/* ---- drawing ---- */

/* A line ends between two keys, never between a key and what it does; follow_keys puts two blanks between them. */
static void write_keys(struct text *t, const char *keys)
{
    char line[200] = "";

    while (*keys != '\0') {
        const char *end = strstr(keys, "  ");
        int length = (int)(end != NULL ? (size_t)(end - keys) : strlen(keys));
        if (line[0] != '\0' && text_columns(line) + 2 + (unsigned)length > t->width) {
            text_para(t, "", "", "%s", line);
            line[0] = '\0';
        }
        size_t used = strlen(line);
        snprintf(line + used, sizeof line - used, "%s%.*s", used > 0 ? "  " : "", length, keys);
        keys += length + (end != NULL ? 2 : 0);
    }
    text_para(t, "", "", "%s", line);
}

/* What is typed or was said, and the keys. */
static void write_foot(struct text *t, const struct screen *screen, struct follow_look look)
{
    char keys[200] = "Enter: done   Esc: never mind";

    if (screen->prompt != NULL)
        text_para(t, "", "", "%s: %s_", screen->prompt, screen->typed);
    else if (screen->follow->message[0] != '\0')
        text_para(t, "", "", "[ %s ]", screen->follow->message);
    if (screen->prompt == NULL)
        follow_keys(keys, sizeof keys, screen->follow, look.brief > 0);
    write_keys(t, keys);
}

/* The picture as text: its body, or its foot, which is always seen. */
static char *picture(const struct screen *screen, unsigned columns, struct follow_look look, bool foot)
{
    char *all = NULL;
    size_t length;
    FILE *out = open_memstream(&all, &length);
    struct text t;

    if (out == NULL)
        return NULL;
    text_init_screen(&t, out, &screen->follow->job.output);
    t.width = columns;
    if (foot) {
        write_foot(&t, screen, look);
    } else {
        follow_write(&t, screen->follow, look);
        if (look.airy)
            text_blank(&t);
    }
    fclose(out);
    return all;
}

static unsigned count_lines(const char *text)
{
    unsigned n = 0;

    for (; text != NULL && *text != '\0'; text++)
        n += *text == '\n';
    return n;
}

/*
 * The looks of a picture, the best first; the first that fits the window is taken. false behind the last. Figures that are
 * read from the machine go before what is the same for every movement.
 */
static bool nth_look(struct follow_look *look, unsigned n, bool items)
{
    const unsigned sizes = 2 * (LARGE_SIZES - 1), better = items ? 12 : sizes + 2;

    *look = (struct follow_look){ .airy = true };
    if (items && n < better)
        look->more = better - n;
    else if (n < sizes)
        *look = (struct follow_look){ .large = LARGE_SIZES - n / 2, .airy = n % 2 == 0 };
    else if (n < better)
        *look = (struct follow_look){ .large = 3 - (n - sizes), .brief = 1 };
    else if (n > better)
        *look = (struct follow_look){ .brief = n - better - 1 };
    return n <= better + 3;
}

struct parts {
    char *body, *foot;
};

static void free_parts(struct parts *parts)
{
    free(parts->body);
    free(parts->foot);
}

/* The best picture that fits, or else the shortest. */
static struct parts fitting_picture(const struct screen *screen, unsigned columns, unsigned rows)
{
    const struct follow *follow = screen->follow;
    bool items = follow->stage == FOLLOW_SET_UP || follow->stage == FOLLOW_READ;
    struct parts parts = { NULL, NULL };
    struct follow_look look;

    for (unsigned n = 0; nth_look(&look, n, items); n++) {
        free_parts(&parts);
        parts.body = picture(screen, columns > 1 ? columns - 1 : 1, look, false);
        parts.foot = picture(screen, columns > 1 ? columns - 1 : 1, look, true);
        if (parts.body == NULL || count_lines(parts.body) + count_lines(parts.foot) <= rows)
            break;
    }
    return parts;
}

/* Write rows lines of text from line top on; more: others come behind them. */
static void put_lines(char *text, unsigned top, unsigned rows, bool more)
{
    char *line = text, *end;

    for (; line != NULL && top > 0 && (end = strchr(line, '\n')) != NULL; top--)
        line = end + 1;
    for (; line != NULL && rows > 0 && (end = strchr(line, '\n')) != NULL; rows--) {
        *end = '\0';
        fprintf(stdout, "%s\033[K%s", line, more || (rows > 1 && end[1] != '\0') ? "\r\n" : "");
        line = end + 1;
    }
}

/*
 * A movement that is too tall loses what stands lowest of it, never its foot, and is still one key; anything else is read to its
 * end before a key acts.
 */
static void draw(struct screen *screen)
{
    unsigned columns, rows;

    terminal_size(&columns, &rows);
    struct parts parts = fitting_picture(screen, columns, rows);
    unsigned lines = count_lines(parts.body), foot = count_lines(parts.foot);
    bool pages = screen->follow->stage != FOLLOW_AT_WORK && screen->prompt == NULL && rows >= 3;

    if (!pages || lines + foot <= rows)
        screen->top = 0;
    screen->cut_off = pages && lines + foot > screen->top + rows;
    if (foot + 2 > rows && rows >= 3 && !screen->cut_off)
        foot = rows - 2;
    fputs("\033[H", stdout);
    put_lines(parts.body, screen->top, screen->cut_off ? rows - 1 : rows > foot ? rows - foot : 0, true);
    if (screen->cut_off)
        fputs("-- Enter: more of this --\033[K", stdout);
    else
        put_lines(parts.foot, 0, foot < rows ? foot : rows, false);
    fputs("\033[J", stdout);
    fflush(stdout);
    free_parts(&parts);
}

/* The next part of a picture that is too tall. */
static void show_more(struct screen *screen)
{
    unsigned columns, rows;

    terminal_size(&columns, &rows);
    screen->top += rows > 3 ? rows - 3 : 1;     /* two lines of what was seen stay */
}

/* ---- typing a word ---- */

static bool is_enter(int key)
{
    return key == '\r' || key == '\n';
}

static void erase_last(char *typed)
{
    size_t n = strlen(typed);
    while (n > 0 && ((unsigned char)typed[--n] & 0xC0) == 0x80)
        ;
    typed[n] = '\0';
}

/* Let a word be typed into screen->typed. Returns false where it is given up. */
static bool type_word(struct screen *screen, const char *prompt)
{
    bool done = false;

    screen->prompt = prompt;
    screen->typed[0] = '\0';
    for (;;) {
        draw(screen);
        int key = terminal_read_key();
        size_t n = strlen(screen->typed);
        done = is_enter(key);
        if (done || key == KEY_LEAVE || key == KEY_ESCAPE)
            break;
        if (key == '\b' || key == 0x7F) {
            erase_last(screen->typed);
        } else if (key >= ' ' && key < 256 && n + 1 < sizeof screen->typed) {
            screen->typed[n] = (char)key;
            screen->typed[n + 1] = '\0';
        }
    }
    screen->prompt = NULL;
    return done;
}

/* ---- keys ---- */

/* Whether a key that confirms or goes back counts. Each press starts the wait anew, so that a held key counts once. */
static bool counts(struct screen *screen)
{
    unsigned long long now = terminal_clock();
    bool good = now - screen->last_guarded >= GUARD_MS;

    screen->last_guarded = now;
    if (!good)
        snprintf(screen->follow->message, sizeof screen->follow->message,
                 "too quick after the last key: not counted; let go, and press again");
    return good;
}

static void do_typed(struct screen *screen, const char *prompt, enum follow_act act)
{
    if (type_word(screen, prompt))
        follow_do(screen->follow, act, screen->typed);
    else if (act == FOLLOW_ANSWER)
        follow_do(screen->follow, FOLLOW_NO, NULL);
    screen->last_guarded = terminal_clock();    /* the Enter that ended the word */
}

/* A key that confirms or goes back. */
static void do_guarded(struct screen *screen, enum follow_act act)
{
    if (!counts(screen))
        return;
    if (act == FOLLOW_CONFIRM && screen->cut_off) {
        show_more(screen);
        return;
    }
    screen->top = 0;
    follow_do(screen->follow, act, NULL);
}

/* A key that has no meaning here. */
static void do_other(struct screen *screen)
{
    if (screen->follow->any_key)
        do_guarded(screen, FOLLOW_CONFIRM);
    else
        follow_hint(screen->follow);
}

static void obey(struct screen *screen, int key)
{
    struct follow *follow = screen->follow;
    enum follow_act act;
    const char *typed;

    if (key == KEY_REDRAW)
        return;
    if (is_enter(key) || key == ' ') {
        do_guarded(screen, FOLLOW_CONFIRM);
    } else if (key == 'b') {
        do_guarded(screen, FOLLOW_BACK);
    } else if (key == KEY_LEAVE) {
        follow_do(follow, FOLLOW_LEAVE, NULL);
    } else if (key >= 256 || !follow_letter(&act, &typed, key) || !follow_takes(follow, act)) {
        do_other(screen);
    } else if (typed != NULL) {
        do_typed(screen, typed, act);
    } else {
        screen->top = 0;
        follow_do(follow, act, NULL);
    }
}

/* On the terminal as it is when the picture has gone: how the place is kept. */
static void write_last(const struct follow *follow)
{
    unsigned columns, rows;
    struct text t;

    terminal_size(&columns, &rows);
    text_init_screen(&t, stdout, &follow->job.output);
    t.width = columns;
    text_para(&t, "", "", "%s", follow->message);
}

void follow_screen(struct follow *follow)
{
    struct screen screen = { .follow = follow, .last_guarded = terminal_clock() };

    if (!terminal_begin()) {
        follow_lines(follow);
        return;
    }
    while (follow->stage != FOLLOW_LEFT) {
        follow_speak(follow);
        if (follow_asks(follow) != NULL) {
            do_typed(&screen, follow_asks(follow), FOLLOW_ANSWER);
        } else {
            draw(&screen);
            obey(&screen, terminal_read_key());
        }
    }
    terminal_end();
    write_last(follow);
    terminal_end_by_signal();
}
