/*
 * terminal.h: the whole screen and single keys, and the terminal as it was found on every way out:
 * return, exit, a signal, a stop and its continuation, a crash, lack of memory.
 */
#ifndef CRANKCARD_CLI_KEEP_TERMINAL_H
#define CRANKCARD_CLI_KEEP_TERMINAL_H

#include <stdbool.h>

enum terminal_key {         /* 0 ... 255 are bytes typed */
    KEY_OTHER = 256,        /* an arrow or another key that sends an escape sequence */
    KEY_ESCAPE,
    KEY_REDRAW,             /* the window changed, or the program was stopped and goes on */
    KEY_LEAVE               /* the terminal is gone, or a signal asks to end: see terminal_end_by_signal */
};

/* Whether standard input and output are a terminal that can place its cursor. */
bool terminal_usable(void);

/* Take the screen and the keys. Returns false where that fails; nothing has changed then. */
bool terminal_begin(void);

/* Give them back; harmless when they are not taken. */
void terminal_end(void);

/* After KEY_LEAVE and terminal_end: die of the signal that asked for it, if one did. */
void terminal_end_by_signal(void);

void terminal_size(unsigned *columns, unsigned *rows);

/* Wait for a key or an event. */
int terminal_read_key(void);

/* Milliseconds on a clock that only goes forward. */
unsigned long long terminal_clock(void);

#endif
