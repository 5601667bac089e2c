/*
 * main.c: the program around the commands: allocation, standard streams, the one line of a failure.
 */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "cli/ask/cli.h"
#include "cli/base/exit_status.h"
#include "cli/base/files.h"
#include "cli/base/memory.h"
#include "cli/command/command_table.h"
#include "cli/command/run.h"

/*
 * A standard stream that the caller closed leaves its number to the next file that is opened, a journal
 * perhaps, and what is printed would go into that. So the number is taken here, by a file that cannot
 * be used the way the stream is: reading and writing fail as they would have.
 */
static void hold_standard_streams(void)
{
    for (int fd = STDIN_FILENO; fd <= STDERR_FILENO; fd++)
        if (fcntl(fd, F_GETFD) < 0 && open("/dev/null", fd == STDIN_FILENO ? O_WRONLY : O_RDONLY) < 0)
            return;
}

int main(int argc, char **argv)
{
    struct cli cli = { .in = stdin, .commands = command_table };

    hold_standard_streams();
    memory_install();
    signal(SIGXFSZ, SIG_IGN);   /* a limit on file sizes is then an error like a full disk */
    cli.out = stream_to(STDOUT_FILENO);
    if (cli.out == NULL)
        memory_exhausted();
    int status = cli_run(&cli, argc - 1, argv + 1);

    /* Flushing is where a full disk shows, closing where a remote one does. */
    bool failed = !stream_flush(cli.out);
    int reason = errno;
    if (fclose(cli.out) != 0 && !failed) {
        failed = true;
        reason = errno;
    }
    if (cli.err.text[0] != '\0')
        fprintf(stderr, "crankcard: %s\n", cli.err.text);
    if (failed && (status != EXIT_TROUBLE || cli.err.text[0] == '\0')) {
        fprintf(stderr, "crankcard: cannot write to standard output: %s\n", strerror(reason));
        status = EXIT_TROUBLE;
    }
    return status;
}
