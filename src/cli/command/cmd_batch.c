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
#include "cli/base/guard.h"
#include "cli/base/memory.h"
#include "cli/command/batch.h"
#include "cli/command/batch_pack.h"
#include "cli/out/record.h"

struct batch {
    const char *path;
    bool strict, as_pack;
    const struct command *const *commands;
    struct output output;
    struct pack *pack;      /* NULL: answers are records */
    pid_t worker;
    FILE *answers;          /* what it says */
    int reason;             /* errno where that could not be read to its end */
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

/* ---- starting and ending the worker ---- */

/* In the child: never returns. */
static void run_worker(const struct batch *batch, FILE *in, int fd, bool prompt)
{
    static char buffer[1 << 16];
    FILE *out = fdopen(fd, "w");

    if (out == NULL)
        _exit(EXIT_TROUBLE);
    setvbuf(out, buffer, _IOFBF, sizeof buffer);
    bool whole = batch_work(in, out, batch->commands, prompt, batch->pack != NULL);
    _exit(fflush(out) == 0 && whole ? EXIT_YES : EXIT_TROUBLE);
}

static bool start_worker(struct batch *batch, FILE *in, bool prompt)
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
        run_worker(batch, in, ends[1], prompt);
    }
    close(ends[1]);
    if (pid < 0) {
        close(ends[0]);
        return false;
    }
    batch->worker = pid;
    batch->answers = fdopen(ends[0], "r");
    if (batch->answers == NULL)
        memory_exhausted();
    return true;
}

static void end_worker(const struct batch *batch)
{
    fclose(batch->answers);
    kill(batch->worker, SIGTERM);       /* one that is through has left already */
    while (waitpid(batch->worker, NULL, 0) < 0 && errno == EINTR)
        continue;
}

/* ---- reading what it says ---- */

static void write_error(struct batch *batch, FILE *out, int status, const char *message)
{
    struct record r;

    batch->errors++;
    if (batch->pack != NULL) {
        pack_end_job(batch->pack, batch->line, status != EXIT_TROUBLE, message);
        return;
    }
    record_init(&r, out, &(struct output){ .format = FORMAT_JSONL }, &error_form);
    record_error(&r, batch->line, status, message, 0);
    record_clear(&r);
}

/* The end of a line's answer. Returns false where the batch stops here. */
static bool finish_line(struct batch *batch, FILE *out, const char *note)
{
    int status = note[0] - '0';
    const char *message = note[1] == ' ' ? note + 2 : "";

    if (status != EXIT_TROUBLE && batch->spoke_text) {
        status = EXIT_TROUBLE;
        message = batch->pack != NULL ? "this request answers in text: it has no page"
                                      : "this request answers in text, not in JSON Lines: it cannot stand in a batch";
    }
    if (status == EXIT_TROUBLE || *message != '\0')
        write_error(batch, out, status, message);
    else if (batch->pack != NULL)
        pack_end_job(batch->pack, batch->line, true, "");
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
    if (batch->pack != NULL) {
        batch->spoke_text = !pack_has_page(batch->pack);
        pack_text(batch->pack, text);
        return;
    }
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

/* A line of what the worker says. Returns false where there is no more to read. */
static bool read_note(struct batch *batch, FILE *out, char *text, size_t length, bool prompt)
{
    switch (text[0]) {
    case NOTE_BEGIN:
        begin_line(batch, text + 1);
        return true;
    case NOTE_DONE: {
        bool more = finish_line(batch, out, text + 1);
        return (!prompt || fflush(out) == 0) && more;
    }
    case NOTE_END:
        snprintf(batch->unread, sizeof batch->unread, "%s", text + 1);
        return false;
    case OUTPUT_PAGE:
        if (batch->pack != NULL)
            pack_name(batch->pack, text + 1);
        return true;
    default:
        pass_on(batch, out, text, length);
        return true;
    }
}

/* All that the worker says; false where it ends early. */
static bool read_answers(struct batch *batch, FILE *out, bool prompt)
{
    char *text = NULL;
    size_t room = 0;
    ssize_t length = 0;
    bool more = true;

    while (more && !ferror(out) && (length = getline(&text, &room, batch->answers)) > 0 && text[length - 1] == '\n') {
        text[--length] = '\0';          /* its newline */
        more = read_note(batch, out, text, (size_t)length, prompt);
    }
    batch->reason = ferror(batch->answers) ? errno : 0;
    free(text);
    if (length < 0 && !ferror(batch->answers) && !feof(batch->answers))
        memory_exhausted();
    return !more || ferror(out);
}

/* The worker ended early: at a line, or nobody knows where. */
static int report_lost(struct batch *batch, struct cli *cli)
{
    unsigned long line = batch->line;

    if (batch->reason != 0)
        return cli_trouble(cli, "batch: cannot read what a process of it answers, after %lu answers: %s", batch->answered,
                           strerror(batch->reason));
    if (line == 0)
        return cli_trouble(cli, "batch: the work ended early, after %lu answers: out of memory?", batch->answered);
    write_error(batch, cli->out, EXIT_TROUBLE, "the work on this line ended early: out of memory?");
    return cli_trouble(cli, "batch: the work on line %lu ended early: the lines behind it were not run", line);
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

static int work(struct batch *batch, struct cli *cli, FILE *in, bool prompt)
{
    int status;

    fflush(cli->out);       /* or the worker would have a copy of what waits there */
    if (!start_worker(batch, in, prompt))
        return cli_trouble(cli, "batch: cannot start a process: %s", strerror(errno));
    begin_progress(batch);
    if (!read_answers(batch, cli->out, prompt))
        status = report_lost(batch, cli);
    else if (batch->unread[0] != '\0')
        status = cli_trouble(cli, "cannot read '%.200s' to its end: %s", batch->path, batch->unread);
    else
        status = batch->worst;
    end_progress(batch);
    end_worker(batch);
    return status;
}

static int run_batch(struct batch *batch, struct cli *cli)
{
    bool prompt;
    FILE *in = open_lines(&prompt, batch, cli);

    if (in == NULL)
        return EXIT_TROUBLE;
    int status = output_begin(&batch->output, cli);
    if (status == EXIT_YES) {
        status = work(batch, cli, in, prompt);
        if (batch->pack != NULL && cli->err.text[0] == '\0')
            pack_write(batch->pack, cli->out, batch->path);
        /* Bad lines do not spoil the file: their records are part of it. */
        int kept = output_end(&batch->output, cli, cli->err.text[0] != '\0' ? EXIT_TROUBLE : EXIT_YES);
        status = kept == EXIT_YES ? status : kept;
    }
    if (in != cli->in)
        fclose(in);
    return status;
}

static const char *const formats[] = { "jsonl", "html", NULL };

static const struct option_row batch_options[] = {
    { TO_WORD(struct batch, as_pack, formats, false),
      'f', "format", "NAME", "jsonl, or html: a pack of pages, what is in it in front (default jsonl)" },
    { TO_SWITCH(struct batch, strict), 0, "strict", NULL, "stop at the first bad line" },
    OPTIONS_END
};

static const struct option_table batch_tables[] = { OWN_OPTIONS(batch_options), FILE_OPTIONS(struct batch, output), TABLES_END };

static bool read_arguments(struct batch *batch, struct cli *cli, int argc, char **argv)
{
    bool good = args_read_one(&batch->path, "batch takes one file, or -", batch, batch_tables, argc, argv, &cli->err);

    if (good && batch->path == NULL)
        cli_trouble(cli, "a file of requests is missing: crankcard batch FILE, or - for standard input");
    return good && batch->path != NULL;
}

static int run_command(struct cli *cli, int argc, char **argv)
{
    struct batch batch = { .worst = EXIT_YES, .commands = cli->commands };
    struct pack pack;

    output_init(&batch.output);
    if (!read_arguments(&batch, cli, argc, argv))
        return EXIT_TROUBLE;
    if (!batch.as_pack)
        return run_batch(&batch, cli);
    pack_init(&pack);
    batch.pack = &pack;
    int status = run_batch(&batch, cli);
    pack_clear(&pack);
    return status;
}

const struct command cmd_batch = {
    .name = "batch",
    .operands = "FILE",
    .options = batch_tables,
    .records = (const struct form *const[]){ &error_form, NULL },
    .run = run_command,
    .summary = "requests one a line, answers as JSON Lines or as a pack of pages",
    .about = "Reads requests as they are typed after crankcard, quotes as in a shell, # for comments; nothing\n"
             "is executed. Answers come in the order of the lines, each record with its line; a bad line gives an\n"
             "error record and the rest runs. The exit status is the worst line's. - reads standard input.\n"
             "--format html makes one document of the pages: a list of contents, then each job on pages of its own.\n",
    .examples = "  crankcard batch jobs.txt > answers.jsonl\n"
                "  printf '%s\\n' 'divide 57 --no-steps' 'angles 37d30m' | crankcard batch -\n",
};
