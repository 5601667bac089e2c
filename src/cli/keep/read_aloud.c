/*
 * read_aloud.c: see read_aloud.h. A process of its own watches over the program, which has a process group of its own, so
 * that all it has started is stopped with it.
 */
#define _POSIX_C_SOURCE 200809L
#include "cli/keep/read_aloud.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define LONGEST 10          /* seconds */

bool read_aloud_init(struct read_aloud *aloud, const char *command, struct cc_error *err)
{
    memset(aloud, 0, sizeof *aloud);
    if (!shell_words_split(&aloud->command, command, err))
        return false;
    if (aloud->command.argc == 0)
        cc_fail(err, CC_EPARSE, "a program that reads its standard input aloud is missing");
    return aloud->command.argc > 0;
}

void read_aloud_clear(struct read_aloud *aloud)
{
    shell_words_clear(&aloud->command);
}

/* ---- in the process that watches ---- */

static volatile pid_t program;

static void stop_program(int number)
{
    (void)number;
    if (program > 0)
        kill(-program, SIGKILL);
    _exit(0);           /* stopped by us is no failure */
}

/* Standard input from fd, and nothing to be seen of what it prints. */
static void become_program(char **argv, int fd)
{
    int none = open("/dev/null", O_WRONLY);

    setpgid(0, 0);
    if (none < 0 || dup2(fd, STDIN_FILENO) < 0 || dup2(none, STDOUT_FILENO) < 0 || dup2(none, STDERR_FILENO) < 0)
        _exit(127);
    if (none > STDERR_FILENO)
        close(none);
    execvp(argv[0], argv);
    _exit(127);
}

static void hand_over(int fd, const char *line)
{
    size_t length = strlen(line);

    while (length > 0) {
        ssize_t n = write(fd, line, length);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return;     /* it does not read to the end: its own affair */
        line += n;
        length -= (size_t)n;
    }
    (void)!write(fd, "\n", 1);
}

/* Run the program, and wait for its end. SIGTERM is blocked until there is something to be stopped by it. */
static void watch(char **argv, const char *line)
{
    struct sigaction stop = { .sa_handler = stop_program }, ignore = { .sa_handler = SIG_IGN }, standard = { .sa_handler = SIG_DFL };
    sigset_t none;
    int ends[2], status;

    setpgid(0, 0);      /* the keys of the terminal are not for it */
    sigemptyset(&none);
    sigemptyset(&stop.sa_mask);
    sigaction(SIGPIPE, &standard, NULL);
    if (pipe(ends) != 0 || fcntl(ends[1], F_SETFD, FD_CLOEXEC) != 0)
        _exit(127);
    program = fork();
    if (program == 0) {
        sigprocmask(SIG_SETMASK, &none, NULL);
        become_program(argv, ends[0]);
    }
    if (program < 0)
        _exit(127);
    setpgid(program, program);      /* here too, whoever comes first */
    close(ends[0]);
    sigaction(SIGPIPE, &ignore, NULL);
    sigaction(SIGALRM, &stop, NULL);
    sigaction(SIGTERM, &stop, NULL);
    sigprocmask(SIG_SETMASK, &none, NULL);
    alarm(LONGEST);
    hand_over(ends[1], line);
    close(ends[1]);
    while (waitpid(program, &status, 0) < 0)
        if (errno != EINTR)
            _exit(127);
    _exit(WIFEXITED(status) ? WEXITSTATUS(status) : 1);
}

/* ---- in follow ---- */

bool read_aloud_has_failed(struct read_aloud *aloud)
{
    int status;

    if (aloud->process == 0 || waitpid((pid_t)aloud->process, &status, WNOHANG) != (pid_t)aloud->process)
        return false;
    aloud->process = 0;
    bool first = !aloud->failed && WIFEXITED(status) && WEXITSTATUS(status) != 0;
    aloud->failed = aloud->failed || first;
    return first;
}

void read_aloud_line(struct read_aloud *aloud, const char *line)
{
    sigset_t stops, before;

    if (aloud->process != 0) {
        kill((pid_t)aloud->process, SIGTERM);
        (void)waitpid((pid_t)aloud->process, NULL, 0);
    }
    sigemptyset(&stops);
    sigaddset(&stops, SIGTERM);
    sigprocmask(SIG_BLOCK, &stops, &before);
    aloud->process = fork();
    if (aloud->process == 0)
        watch(aloud->command.argv, line);
    sigprocmask(SIG_SETMASK, &before, NULL);
    if (aloud->process < 0)
        aloud->process = 0;         /* it is silent this time */
}
