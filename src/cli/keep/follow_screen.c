/* follow_screen.c: following on the whole terminal, key by key. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/plain_text.h"
#include "cli/keep/follow.h"
#include "cli/keep/journal.h"
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
    const char *prompt;             /* what is being typed, or NULL */
    char typed[JOURNAL_NOTE + 1];
};

/* ---- drawing ---- */

static const char *keys_line(const struct screen *screen)
{
    if (screen->prompt != NULL)
        return "Enter: done   Esc: never mind";
    if (screen->follow->journal.adrift)
        return "s save beside   q leave";
    if (screen->follow->stage == FOLLOW_OFFER)
        return "Enter go on   q leave";
    if (screen->follow->stage == FOLLOW_ASK)
        return "c cut already   l later   n stay   q leave";
    if (!screen->follow->has_now)
        return "Enter leave   b back   g go to   q leave";
    if (screen->follow->now.closing)
        return "Enter made and checked   b back   g go to   m note   q leave";
    if (screen->follow->now.step == 0 && screen->follow->job.request.position_count > 0)
        return "Enter ready   g go to   m note   q leave";
    return "Enter made and cut   b back   g go to   m note   q leave";
}

/* The whole picture as text. */
static char *picture(const struct screen *screen, unsigned columns, struct follow_look look)
{
    const struct follow *follow = screen->follow;
    char *all = NULL;
    size_t length;
    FILE *out = open_memstream(&all, &length);
    struct text t;

    if (out == NULL)
        return NULL;
    text_init(&t, out, &follow->job.output);
    t.width = columns;
    follow_write(&t, follow, look);
    if (look.airy)
        text_blank(&t);
    if (screen->prompt != NULL)
        text_para(&t, "", "", "%s: %s_", screen->prompt, screen->typed);
    else if (follow->message[0] != '\0')
        text_para(&t, "", "", "[ %s ]", follow->message);
    text_para(&t, "", "", "%s", keys_line(screen));
    fclose(out);
    return all;
}

static unsigned count_lines(const char *text)
{
    unsigned n = 0;
    for (; *text != '\0'; text++)
        n += *text == '\n';
    return n;
}

/* The first of these that fits the screen is taken. */
static const struct follow_look looks[] = {
    { .large = true, .airy = true }, { .large = true }, { .airy = true }, { .large = false }, { .brief = true },
};

static void draw(const struct screen *screen)
{
    unsigned columns, rows;
    char *all = NULL;

    terminal_size(&columns, &rows);
    for (size_t i = 0; i < sizeof looks / sizeof looks[0]; i++) {
        free(all);
        all = picture(screen, columns > 1 ? columns - 1 : 1, looks[i]);
        if (all == NULL || count_lines(all) <= rows)
            break;
    }
    fputs("\033[H", stdout);
    for (char *line = all, *end; line != NULL && rows > 0 && (end = strchr(line, '\n')) != NULL; rows--) {
        *end = '\0';
        fprintf(stdout, "%s\033[K%s", line, rows > 1 && end[1] != '\0' ? "\r\n" : "");
        line = end + 1;
    }
    fputs("\033[J", stdout);
    fflush(stdout);
    free(all);
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
    screen->last_guarded = terminal_clock();    /* the Enter that ended the word */
}

static void obey(struct screen *screen, int key)
{
    struct follow *follow = screen->follow;
    bool at_work = follow->stage == FOLLOW_AT_WORK;
    enum follow_act act = FOLLOW_CONFIRM;

    if (is_enter(key) || key == ' ' || key == 'b') {
        follow_letter(&act, key);
        if (counts(screen))
            follow_do(follow, act, NULL);
    } else if (key == KEY_LEAVE) {
        follow_do(follow, FOLLOW_LEAVE, NULL);
    } else if ((key == 'g' || key == 'm') && at_work) {
        do_typed(screen, key == 'g' ? "Go to step" : "Note", key == 'g' ? FOLLOW_GO : FOLLOW_NOTE);
    } else if (follow_letter(&act, key)) {
        follow_do(follow, act, NULL);
    } else if (key != KEY_REDRAW) {
        follow_hint(follow);
    }
}

void follow_screen(struct follow *follow)
{
    struct screen screen = { .follow = follow, .last_guarded = terminal_clock() };

    if (!terminal_begin()) {
        follow_lines(follow);
        return;
    }
    while (follow->stage != FOLLOW_LEFT) {
        draw(&screen);
        obey(&screen, terminal_read_key());
    }
    terminal_end();
    plain_line(stdout, follow->message);
    terminal_end_by_signal();
}
