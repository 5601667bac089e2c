/* batch_worker.c: reads lines and runs them. See batch.h. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/base/exit_status.h"
#include "cli/base/memory.h"
#include "cli/base/plain_text.h"
#include "cli/base/shell_words.h"
#include "cli/command/batch.h"
#include "cli/command/run.h"
#include "cli/job/head_cache.h"

#define MOST_LINE (1UL << 20)   /* bytes */

/* Commands and words that cannot stand in a batch. */
static bool is_allowed(const struct shell_words *words, struct cc_error *err)
{
    const char *command = words->argv[0];

    if (strcmp(command, "batch") == 0)
        cc_fail(err, CC_EPARSE, "a batch cannot stand in a batch");
    else if (strcmp(command, "follow") == 0)
        cc_fail(err, CC_EPARSE, "follow goes step by step with a person: it cannot stand in a batch");
    else {
        for (int i = 0; i < words->argc; i++) {
            if (strcmp(words->argv[i], "-") == 0) {
                cc_fail(err, CC_EPARSE, "'-', standard input, cannot be read in a batch: name a file");
                return false;
            }
        }
        return true;
    }
    return false;
}

/* Returns false where the line is not text. */
static bool check_line(char *line, size_t length, struct cc_error *err)
{
    if (length > MOST_LINE)
        cc_fail(err, CC_ELIMIT, "a line of more than %lu bytes", MOST_LINE);
    else if (strlen(line) != length || !is_plain_text(line))
        cc_fail(err, CC_EPARSE, "the line holds control characters, or bytes that are not UTF-8 text");
    else
        return true;
    return false;
}

/* A message is one line, whatever text it quotes. */
static void write_done(FILE *out, int status, const char *message)
{
    fprintf(out, "\n%c%d ", NOTE_DONE, status);
    for (; *message != '\0'; message++)
        putc((unsigned char)*message < 0x20 ? '?' : *message, out);
    putc('\n', out);
}

/* Whether the command can be asked for a page; what is no command is for the run to say. */
static bool writes_page(const struct cli *cli, const char *name, struct cc_error *err)
{
    const struct command *command = command_find(cli->commands, name);

    if (command == NULL || command_takes(command, "format", "html"))
        return true;
    cc_fail(err, CC_EPARSE, "%s writes no page of HTML: it cannot stand in such a batch", name);
    return false;
}

static void run_line(struct cli *cli, struct shell_words *words, char *line, size_t length,
                     unsigned long number, bool pack)
{
    int status = EXIT_TROUBLE;

    cli->err.text[0] = '\0';
    bool good = check_line(line, length, &cli->err) && shell_words_split(words, line, &cli->err);
    if (good && words->argc == 0)
        return;
    fprintf(cli->out, "%c%lu\n", NOTE_BEGIN, number);
    cli->page = pack ? number : 0;
    if (good && is_allowed(words, &cli->err) && (!pack || writes_page(cli, words->argv[0], &cli->err)))
        status = cli_run(cli, words->argc, words->argv);
    write_done(cli->out, status, cli->err.text);
}

/*
 * The next line into line (MOST_LINE + 2 bytes), its end cut off. Of a longer line the rest is skipped, and *length
 * is over MOST_LINE. Returns false at the end of in and where it cannot be read.
 */
static bool next_line(char *line, size_t *length, FILE *in)
{
    size_t n = 0;
    int c;

    while ((c = getc_unlocked(in)) != EOF && c != '\n')
        if (n <= MOST_LINE)
            line[n++] = (char)c;
    if (c == EOF && (n == 0 || ferror(in)))
        return false;
    if (n > 0 && n <= MOST_LINE && line[n - 1] == '\r')
        n--;
    line[n] = '\0';
    *length = n;
    return true;
}

bool batch_work(FILE *in, FILE *out, const struct command *const *commands, bool prompt, bool pack)
{
    static const char mark[] = "\xEF\xBB\xBF";      /* a byte order mark */
    struct head_cache heads;
    struct shell_words words = { .argc = 0 };
    struct cli cli = { .out = out, .in = fopen("/dev/null", "r"), .in_batch = true, .heads = &heads,
                       .commands = commands };
    char *line = memory_get(MOST_LINE + 2);
    size_t length;

    head_cache_init(&heads);
    for (unsigned long number = 1; next_line(line, &length, in); number++) {
        size_t skipped = 0;
        if (number == 1 && strncmp(line, mark, 3) == 0)
            skipped = 3;
        run_line(&cli, &words, line + skipped, length - skipped, number, pack);
        if (prompt)
            fflush(out);
    }
    bool whole = !ferror(in);
    if (!ferror(out))       /* else an answer is lost: without its end the work is known not to be all */
        fprintf(out, "%c%s\n", NOTE_END, whole ? "" : strerror(errno));
    head_cache_clear(&heads);
    shell_words_clear(&words);
    free(line);
    if (cli.in != NULL)
        fclose(cli.in);
    return whole;
}
