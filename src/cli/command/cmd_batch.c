/* cmd_batch.c: requests one a line, answers as JSON Lines in the same order. See batch.h. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "cli/ask/args.h"
#include "cli/ask/cli.h"
#include "cli/ask/command.h"
#include "cli/ask/output.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"
#include "cli/base/guard.h"
#include "cli/base/memory.h"
#include "cli/command/batch.h"
#include "cli/out/record.h"

#define MOST_JOBS 256

/* One worker, seen from here. */
struct worker {
    pid_t pid;
    int fd;                 /* the pipe's end to read from */
    int reason;             /* errno where it could not be read to its end */
    char *buffer;
    size_t from, to, room;  /* bytes read and not yet used */
};

struct batch {
    const char *path;
    bool strict;
    unsigned long jobs;
    const struct command *const *commands;
    struct output output;
    struct worker *workers;
    size_t count;
    /* the line whose answer is being read */
    unsigned long line;     /* 0 between lines */
    char suffix[40];        /* ,"line":12} */
    bool spoke_text;        /* it answered with something that is no record */
    int worst;
    char unread[100];       /* why the input could not be read to its end; empty: it was */
    /* what the progress line tells */
    unsigned long answered, errors;
    struct timespec begun, shown;
    bool on_terminal, has_shown;
};

/* ---- progress, for a person who waits ---- */

static long long milliseconds_since(const struct timespec *then)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (now.tv_sec - then->tv_sec) * 1000LL + (now.tv_nsec - then->tv_nsec) / 1000000;
}

static void begin_progress(struct batch *batch)
{
    batch->on_terminal = isatty(STDERR_FILENO) && !isatty(STDOUT_FILENO);
    clock_gettime(CLOCK_MONOTONIC, &batch->begun);
    batch->shown = batch->begun;
}

static void show_progress(struct batch *batch)
{
    if (!batch->on_terminal || milliseconds_since(&batch->begun) < 1000 || milliseconds_since(&batch->shown) < 250)
        return;
    fprintf(stderr, "\rline %lu: %lu answered, %lu bad", batch->line, batch->answered, batch->errors);
    clock_gettime(CLOCK_MONOTONIC, &batch->shown);
    batch->has_shown = true;
}

static void end_progress(const struct batch *batch)
{
    if (batch->has_shown)
        fprintf(stderr, "\r%70s\r", "");
}

/* ---- starting and ending workers ---- */

/* In the child: never returns. */
static void run_worker(const struct batch *batch, FILE *in, int fd, unsigned worker, bool prompt)
{
    static char buffer[1 << 16];
    FILE *out = fdopen(fd, "w");

    for (unsigned i = 0; i < worker; i++)
        close(batch->workers[i].fd);
    if (out == NULL || in == NULL)
        _exit(EXIT_TROUBLE);
    setvbuf(out, buffer, _IOFBF, sizeof buffer);
    bool whole = batch_work(in, out, batch->commands, worker, (unsigned)batch->jobs, prompt);
    _exit(fflush(out) == 0 && whole ? EXIT_YES : EXIT_TROUBLE);
}

static bool start_worker(struct batch *batch, FILE *in, char *data, size_t length, bool prompt)
{
    int ends[2];

    if (pipe(ends) != 0)
        return false;
    guard_hold();           /* no signal in the child before the parent's files are no more its own to remove */
    pid_t pid = fork();
    if (pid == 0)
        memory_leave_to_parent();
    guard_release();
    if (pid == 0) {
        close(ends[0]);
        /* Each worker needs a place of its own in the lines, so several read them from memory. */
        run_worker(batch, in != NULL ? in : fmemopen(data, length, "r"), ends[1], (unsigned)batch->count, prompt);
    }
    close(ends[1]);
    if (pid < 0) {
        close(ends[0]);
        return false;
    }
    batch->workers[batch->count++] = (struct worker){ .pid = pid, .fd = ends[0] };
    return true;
}

static void end_workers(struct batch *batch)
{
    for (size_t i = 0; i < batch->count; i++) {
        close(batch->workers[i].fd);
        kill(batch->workers[i].pid, SIGTERM);   /* those that are through have left already */
        while (waitpid(batch->workers[i].pid, NULL, 0) < 0 && errno == EINTR)
            continue;
        free(batch->workers[i].buffer);
    }
    free(batch->workers);
}

/* ---- reading what they say ---- */

/* Read more into the worker's buffer; false at the end. */
static bool read_more(struct worker *w)
{
    ssize_t n;

    if (w->from > 0) {
        memmove(w->buffer, w->buffer + w->from, w->to - w->from);
        w->to -= w->from;
        w->from = 0;
    }
    if (w->to == w->room) {
        w->room = w->room == 0 ? 1 << 16 : 2 * w->room;
        w->buffer = memory_resize(w->buffer, w->room);
    }
    do
        n = read(w->fd, w->buffer + w->to, w->room - w->to);
    while (n < 0 && errno == EINTR);
    if (n < 0)
        w->reason = errno;
    if (n > 0)
        w->to += (size_t)n;
    return n > 0;
}

/* The next line without its newline, or NULL at the end; good until the next call. */
static char *next_line(struct worker *w, size_t *length)
{
    size_t seen = 0;

    for (;;) {
        char *start = w->buffer != NULL ? w->buffer + w->from : NULL;
        char *end = w->to > w->from + seen ? memchr(start + seen, '\n', w->to - w->from - seen) : NULL;
        if (end != NULL) {
            *length = (size_t)(end - start);
            w->from += *length + 1;
            *end = '\0';
            return start;
        }
        seen = w->to - w->from;
        if (!read_more(w))
            return NULL;
    }
}

static void write_error(struct batch *batch, FILE *out, int status, const char *message)
{
    struct record r;

    record_init(&r, out, &(struct output){ .format = FORMAT_JSONL }, &error_form);
    record_error(&r, batch->line, status, message, 0);
    record_clear(&r);
    batch->errors++;
}

/* The end of a line's answer. Returns false where the batch stops here. */
static bool finish_line(struct batch *batch, FILE *out, const char *note)
{
    int status = note[0] - '0';
    const char *message = note[1] == ' ' ? note + 2 : "";

    if (status != EXIT_TROUBLE && batch->spoke_text) {
        status = EXIT_TROUBLE;
        message = "this request answers in text, not in JSON Lines: it cannot stand in a batch";
    }
    if (status == EXIT_TROUBLE || *message != '\0')
        write_error(batch, out, status, message);
    if (status > batch->worst)
        batch->worst = status;
    batch->answered++;
    show_progress(batch);
    batch->line = 0;
    return !(batch->strict && status == EXIT_TROUBLE);
}

static void begin_line(struct batch *batch, const char *note)
{
    batch->line = strtoul(note, NULL, 10);
    batch->spoke_text = false;
    snprintf(batch->suffix, sizeof batch->suffix, ",\"line\":%lu}\n", batch->line);
}

static void pass_on(struct batch *batch, FILE *out, const char *text, size_t length)
{
    if (length == 0)
        return;
    if (text[0] != '{' || text[length - 1] != '}') {
        batch->spoke_text = true;
        return;
    }
    /* table writes an error record of its own and goes on: it leaves "line" null, which is filled in here. */
    static const char open_line[] = "{\"record\":\"error\",\"line\":null";
    size_t n = sizeof open_line - 1;
    if (length > n && memcmp(text, open_line, n) == 0) {
        fprintf(out, "{\"record\":\"error\",\"line\":%lu", batch->line);
        fwrite(text + n, 1, length - n, out);
        putc('\n', out);
        return;
    }
    fwrite(text, 1, length - 1, out);
    fputs(batch->suffix, out);
}

enum turn { TURN_NEXT, TURN_END, TURN_STOP, TURN_LOST };

/* One block of one worker. */
static enum turn read_block(struct batch *batch, struct worker *w, FILE *out, bool prompt)
{
    char *text;
    size_t length;

    while ((text = next_line(w, &length)) != NULL) {
        switch (text[0]) {
        case NOTE_BEGIN:
            begin_line(batch, text + 1);
            break;
        case NOTE_DONE:
            if (!finish_line(batch, out, text + 1))
                return TURN_STOP;
            if (prompt)
                fflush(out);
            break;
        case NOTE_BLOCK:
            if (text[1] == '\0')
                return TURN_NEXT;
            if (strchr(text, ' ') != NULL)
                snprintf(batch->unread, sizeof batch->unread, "%s", strchr(text, ' ') + 1);
            return TURN_END;
        default:
            pass_on(batch, out, text, length);
        }
        if (ferror(out))
            return TURN_STOP;
    }
    return TURN_LOST;
}

static int read_answers(struct batch *batch, struct cli *cli, bool prompt)
{
    enum turn turn;
    size_t i = 0;

    while ((turn = read_block(batch, &batch->workers[i], cli->out, prompt)) == TURN_NEXT)
        i = (i + 1) % batch->count;
    if (turn == TURN_LOST) {
        unsigned long line = batch->line;
        int reason = batch->workers[i].reason;
        if (reason != 0)
            return cli_trouble(cli, "batch: cannot read what a process of it answers, after %lu answers: %s", batch->answered,
                               strerror(reason));
        if (line == 0)
            return cli_trouble(cli, "batch: the work ended early, after %lu answers: out of memory?",
                               batch->answered);
        write_error(batch, cli->out, EXIT_TROUBLE, "the work on this line ended early: out of memory?");
        return cli_trouble(cli, "batch: the work on line %lu ended early: the lines behind it were not run", line);
    }
    if (batch->unread[0] != '\0')
        return cli_trouble(cli, "cannot read '%.200s' to its end: %s", batch->path, batch->unread);
    return batch->worst;
}

/* ---- the command ---- */

/* Open the lines to read: *prompt where they come from a person or a program that waits for each answer. */
static FILE *open_lines(bool *prompt, const struct batch *batch, struct cli *cli)
{
    bool standard = strcmp(batch->path, "-") == 0;
    FILE *in = standard ? cli->in : fopen(batch->path, "r");
    struct stat about;

    if (in == NULL) {
        cli_trouble(cli, "cannot read '%.200s': %s", batch->path, strerror(errno));
        return NULL;
    }
    bool known = fstat(fileno(in), &about) == 0;
    if (known && S_ISDIR(about.st_mode)) {
        fclose(in);
        cli_trouble(cli, "cannot read '%.200s': it is a directory", batch->path);
        return NULL;
    }
    *prompt = known && !S_ISREG(about.st_mode);
    return in;
}

/* Start the workers, each of which reads from in or, where that is NULL, from the data. */
static int run_workers(struct batch *batch, struct cli *cli, FILE *in, char *data, size_t length, bool prompt)
{
    bool started = true;

    fflush(cli->out);       /* or each worker would have a copy of what waits there */
    batch->workers = memory_get(batch->jobs * sizeof *batch->workers);
    while (started && batch->count < batch->jobs)
        started = start_worker(batch, in, data, length, prompt);
    begin_progress(batch);
    int status = started ? read_answers(batch, cli, prompt)
                         : cli_trouble(cli, "batch: cannot start a process: %s", strerror(errno));
    end_progress(batch);
    end_workers(batch);
    return status;
}

static int run_batch(struct batch *batch, struct cli *cli)
{
    bool prompt = false;
    char *data = NULL;
    size_t length = 0;
    FILE *in = NULL;

    if (batch->jobs > 1) {
        if (read_file(&data, &length, batch->path, cli->in, &cli->err) != CC_OK)
            return EXIT_TROUBLE;
        if (length == 0) {
            free(data);
            return EXIT_YES;
        }
    } else if ((in = open_lines(&prompt, batch, cli)) == NULL) {
        return EXIT_TROUBLE;
    }
    int status = output_begin(&batch->output, cli);
    if (status == EXIT_YES) {
        status = run_workers(batch, cli, in, data, length, prompt);
        /* Bad lines do not spoil the file: their records are part of it. */
        int kept = output_end(&batch->output, cli, cli->err.text[0] != '\0' ? EXIT_TROUBLE : EXIT_YES);
        status = kept == EXIT_YES ? status : kept;
    }
    if (in != NULL && in != cli->in)
        fclose(in);
    free(data);
    return status;
}

static const struct option_row batch_options[] = {
    { TO_SWITCH(struct batch, strict), 0, "strict", NULL, "stop at the first bad line" },
    { TO_COUNT(struct batch, jobs, FROM(1, MOST_JOBS)),
      'j', "jobs", "K", "work with K processes at once (default 1); the answers are the same" },
    OPTIONS_END
};

static const struct option_table batch_tables[] = { OWN_OPTIONS(batch_options), FILE_OPTIONS(struct batch, output), TABLES_END };

static bool read_arguments(struct batch *batch, struct cli *cli, int argc, char **argv)
{
    struct args args;
    bool good = args_read(&args, batch, batch_tables, argc, argv, &cli->err) &&
                args_only_operand(&batch->path, &args, "batch takes one file, or -", &cli->err);

    args_clear(&args);
    if (good && batch->path == NULL)
        cli_trouble(cli, "a file of requests is missing: crankcard batch FILE, or - for standard input");
    return good && batch->path != NULL;
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct batch batch = { .jobs = 1, .worst = EXIT_YES, .commands = cli->commands };

    output_init(&batch.output);
    if (!read_arguments(&batch, cli, argc, argv))
        return EXIT_TROUBLE;
    return run_batch(&batch, cli);
}

const struct command cmd_batch = {
    .name = "batch",
    .operands = "FILE",
    .options = batch_tables,
    .records = (const struct form *const[]){ &error_form, NULL },
    .run = run_command,
    .summary = "requests one a line, answers as JSON Lines",
    .about = "Reads requests as they are typed after crankcard, quotes as in a shell, # for comments; nothing\n"
             "is executed. Answers come in the order of the lines, each record with its line; a bad line gives an\n"
             "error record and the rest runs. The exit status is the worst line's. - reads standard input.\n",
    .examples = "  crankcard batch jobs.txt > answers.jsonl\n"
                "  printf '%s\\n' 'divide 57 --no-steps' 'angles 37d30m' | crankcard batch -\n",
};
