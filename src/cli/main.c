/*
 * main.c: the program around the commands: allocation, standard streams, the one line of a failure.
 */
#include <errno.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/files.h"
#include "cli/memory.h"

int main(int argc, char **argv)
{
    struct cli cli = { .out = stdout, .in = stdin };
    static char buffer[1 << 16];

    memory_install();
    setvbuf(stdout, buffer, _IOFBF, sizeof buffer);
    int status = cli_run(&cli, argc - 1, argv + 1);

    /* Flushing is where a full disk shows, closing where a remote one does. */
    bool failed = !flush_stream(stdout);
    int reason = errno;
    if (fclose(stdout) != 0 && !failed) {
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
