/* exit_status.h: how the program and each of its commands end. */
#ifndef CRANKCARD_CLI_BASE_EXIT_STATUS_H
#define CRANKCARD_CLI_BASE_EXIT_STATUS_H

enum exit_status {
    EXIT_YES = 0,       /* done */
    EXIT_NO = 1,        /* a valid question whose answer is no */
    EXIT_TROUBLE = 2    /* usage, malformed input, output that could not be written */
};

#endif
