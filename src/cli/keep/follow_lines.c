/*
 * follow_lines.c: following by lines on standard input, for a pipe, a plain terminal, a test. Every
 * answer is written out before the next line is read.
 */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/base/plain_text.h"
#include "cli/keep/follow.h"
#include "cli/out/text.h"

static void show(struct follow *follow)
{
    struct text t;

    text_init_screen(&t, follow->cli->out, &follow->job.output);
    follow_write(&t, follow, (struct follow_look){ .brief = 0 });
    if (follow_asks(follow) != NULL)
        text_para(&t, "", "", "%s:", follow_asks(follow));
    text_blank(&t);
}

/* "g 12", "g12" -> "12"; blanks around do not count. */
static const char *argument(char *line)
{
    char *at = line + 1;

    while (*at == ' ' || *at == '\t')
        at++;
    for (size_t n = strlen(at); n > 0 && (at[n - 1] == ' ' || at[n - 1] == '\t'); n--)
        at[n - 1] = '\0';
    return at;
}

/* A line that answers what was asked. */
static void answer(struct follow *follow, char *line)
{
    size_t n = strlen(line);

    while (n > 0 && (line[n - 1] == ' ' || line[n - 1] == '\t'))
        line[--n] = '\0';
    if (strcmp(line, "q") == 0)
        follow_do(follow, FOLLOW_LEAVE, NULL);
    else
        follow_do(follow, FOLLOW_ANSWER, line + strspn(line, " \t"));
}

static void obey(struct follow *follow, char *line)
{
    const char *rest = line[0] != '\0' ? argument(line) : "", *typed;
    enum follow_act act;

    if (line[0] == '\0' || (line[0] == ' ' && *rest == '\0'))
        follow_do(follow, FOLLOW_CONFIRM, NULL);
    else if (follow_letter(&act, &typed, (unsigned char)line[0]) && (typed != NULL || *rest == '\0') && follow_takes(follow, act))
        follow_do(follow, act, typed != NULL ? rest : NULL);
    else if (follow->any_key)
        follow_do(follow, FOLLOW_CONFIRM, NULL);
    else
        follow_hint(follow);
}

void follow_lines(struct follow *follow)
{
    FILE *out = follow->cli->out;
    char *line = NULL;
    size_t room = 0;
    ssize_t n;

    if (follow->message[0] != '\0')
        plain_line(out, follow->message);
    while (follow->stage != FOLLOW_LEFT && !ferror(out)) {
        show(follow);
        if (fflush(out) != 0)
            break;      /* nobody reads it: no key can be an answer to it */
        if (follow_speak(follow))
            plain_line(out, follow->message);
        n = getline(&line, &room, follow->cli->in);
        if (n < 0) {
            follow_do(follow, FOLLOW_LEAVE, NULL);
        } else {
            while (n > 0 && (line[n - 1] == '\n' || line[n - 1] == '\r'))
                line[--n] = '\0';
            if (follow_asks(follow) != NULL)
                answer(follow, line);
            else
                obey(follow, line);
        }
        plain_line(out, follow->message);
        fflush(out);
    }
    free(line);
}
