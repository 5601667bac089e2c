/*
 * terminal.c: see terminal.h.
 *
 * The signals are blocked but while pselect waits, so that none comes between a look at its flag and
 * the wait. Handlers only set a flag, the crash handler apart, which calls what may be called there.
 */
#define _DEFAULT_SOURCE     /* SIGWINCH and the window size, beside POSIX.1-2008 */
#include "cli/keep/terminal.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/select.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include "cli/base/environment.h"
#include "cli/base/memory.h"

/* Another screen, cursor hidden; and back. */
#define TAKE_SCREEN "\033[?1049h\033[?25l"
#define GIVE_SCREEN "\033[?25h\033[?1049l"

static const int waited_for[] = { SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGTSTP, SIGCONT, SIGWINCH };
static const int crashes[] = { SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT };

static struct {
    volatile sig_atomic_t taken;
    struct termios found;
    sigset_t open_mask;         /* the mask while waiting: as the program found it */
    struct sigaction before[sizeof waited_for / sizeof waited_for[0]];
    struct sigaction before_crash[sizeof crashes / sizeof crashes[0]];
} terminal;

static volatile sig_atomic_t seen_end, seen_stop, seen_start, seen_change;

bool terminal_usable(void)
{
    const char *kind = environment_text("TERM");

    return isatty(STDIN_FILENO) && isatty(STDOUT_FILENO) && kind != NULL && strcmp(kind, "dumb") != 0;
}

/* ---- taking and giving back; both safe in a signal handler ---- */

static void write_screen(const char *text, size_t length)
{
    ssize_t n = write(STDOUT_FILENO, text, length);
    (void)n;    /* a screen that cannot be written is not to be saved */
}

static bool set_modes(const struct termios *modes, int when)
{
    int result;

    do
        result = tcsetattr(STDIN_FILENO, when, modes);
    while (result != 0 && errno == EINTR);
    return result == 0;
}

static bool take(void)
{
    struct termios modes = terminal.found;

    /* Keys at once and without echo; Ctrl-C, Ctrl-Z and Ctrl-\ stay signals. */
    modes.c_lflag &= ~(tcflag_t)(ICANON | ECHO | ECHONL | IEXTEN);
    modes.c_iflag &= ~(tcflag_t)(IXON | ICRNL | INLCR);
    modes.c_cc[VMIN] = 1;
    modes.c_cc[VTIME] = 0;
    if (!set_modes(&modes, TCSAFLUSH))  /* what was typed for something else is no key of ours */
        return false;
    terminal.taken = 1;
    write_screen(TAKE_SCREEN, sizeof TAKE_SCREEN - 1);
    return true;
}

static void give(void)
{
    if (!terminal.taken)
        return;
    terminal.taken = 0;
    write_screen(GIVE_SCREEN, sizeof GIVE_SCREEN - 1);
    set_modes(&terminal.found, TCSADRAIN);
}

static void note_signal(int number)
{
    if (number == SIGTSTP)
        seen_stop = 1;
    else if (number == SIGCONT)
        seen_start = 1;
    else if (number == SIGWINCH)
        seen_change = 1;
    else
        seen_end = number;
}

static void give_back_and_die(int number)
{
    give();
    raise(number);      /* SA_RESETHAND: its own action is in force again */
}

bool terminal_begin(void)
{
    static bool registered;
    struct sigaction action = { .sa_handler = note_signal };
    struct sigaction crash = { .sa_handler = give_back_and_die, .sa_flags = (int)SA_RESETHAND };
    sigset_t blocked;

    if (tcgetattr(STDIN_FILENO, &terminal.found) != 0)
        return false;
    if (!registered) {
        if (atexit(terminal_end) != 0)
            return false;
        memory_on_failure(give);
        registered = true;
    }
    sigemptyset(&blocked);
    sigemptyset(&action.sa_mask);
    sigemptyset(&crash.sa_mask);
    for (size_t i = 0; i < sizeof waited_for / sizeof waited_for[0]; i++)
        sigaddset(&blocked, waited_for[i]);
    sigprocmask(SIG_BLOCK, &blocked, &terminal.open_mask);
    for (size_t i = 0; i < sizeof waited_for / sizeof waited_for[0]; i++)
        sigaction(waited_for[i], &action, &terminal.before[i]);
    for (size_t i = 0; i < sizeof crashes / sizeof crashes[0]; i++)
        sigaction(crashes[i], &crash, &terminal.before_crash[i]);
    seen_end = seen_stop = seen_start = seen_change = 0;
    if (take())
        return true;
    terminal.taken = 1;     /* so that the signals are put back too */
    terminal_end();
    return false;
}

void terminal_end(void)
{
    if (!terminal.taken)
        return;
    fflush(stdout);
    give();
    for (size_t i = 0; i < sizeof waited_for / sizeof waited_for[0]; i++)
        sigaction(waited_for[i], &terminal.before[i], NULL);
    for (size_t i = 0; i < sizeof crashes / sizeof crashes[0]; i++)
        sigaction(crashes[i], &terminal.before_crash[i], NULL);
    sigprocmask(SIG_SETMASK, &terminal.open_mask, NULL);
}

void terminal_end_by_signal(void)
{
    if (seen_end == 0)
        return;
    fflush(stdout);
    signal(seen_end, SIG_DFL);
    raise(seen_end);
}

/* ---- stopping and going on ---- */

static void stop(void)
{
    struct sigaction standard = { .sa_handler = SIG_DFL }, ours;
    sigset_t only;

    seen_stop = 0;
    fflush(stdout);
    give();
    sigemptyset(&standard.sa_mask);
    sigaction(SIGTSTP, &standard, &ours);
    raise(SIGTSTP);
    sigemptyset(&only);
    sigaddset(&only, SIGTSTP);
    sigprocmask(SIG_UNBLOCK, &only, NULL);      /* stops here, until SIGCONT */
    sigprocmask(SIG_BLOCK, &only, NULL);
    sigaction(SIGTSTP, &ours, NULL);
    take();
    seen_start = 0;
}

/* ---- keys ---- */

/* Wait for a byte, milliseconds < 0 for ever. 1: there is one; 0: time is up; -1: a signal came. */
static int wait_for_byte(long milliseconds)
{
    struct timespec limit = { milliseconds / 1000, milliseconds % 1000 * 1000000 };
    fd_set set;

    FD_ZERO(&set);
    FD_SET(STDIN_FILENO, &set);
    return pselect(STDIN_FILENO + 1, &set, NULL, NULL, milliseconds < 0 ? NULL : &limit,
                   &terminal.open_mask);
}

/* The next byte, or -1 at the end. */
static int read_byte(void)
{
    unsigned char byte;
    ssize_t n;

    do
        n = read(STDIN_FILENO, &byte, 1);
    while (n < 0 && errno == EINTR);
    return n == 1 ? byte : -1;
}

/* What follows an escape: nothing soon is the key itself; "[..." and "O." are a special key. */
static int after_escape(void)
{
    if (wait_for_byte(30) != 1)
        return KEY_ESCAPE;
    int byte = read_byte();
    if (byte != '[' && byte != 'O')
        return KEY_OTHER;
    do {
        if (wait_for_byte(30) != 1)
            break;
        byte = read_byte();
    } while (byte >= 0 && (byte < 0x40 || byte > 0x7E));
    return KEY_OTHER;
}

int terminal_read_key(void)
{
    for (;;) {
        if (seen_end != 0)
            return KEY_LEAVE;
        if (seen_stop != 0) {
            stop();
            return KEY_REDRAW;
        }
        if (seen_start != 0) {
            /* After a stop that could not be caught the shell has set the modes to its own liking. */
            seen_start = 0;
            take();
            return KEY_REDRAW;
        }
        if (seen_change != 0) {
            seen_change = 0;
            return KEY_REDRAW;
        }
        int ready = wait_for_byte(-1);
        if (ready < 0 && errno == EINTR)
            continue;
        int byte = ready > 0 ? read_byte() : -1;
        if (byte < 0)
            return KEY_LEAVE;
        return byte == '\033' ? after_escape() : byte;
    }
}

void terminal_size(unsigned *columns, unsigned *rows)
{
    struct winsize size;

    *columns = 80;
    *rows = 24;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 && size.ws_row > 0) {
        *columns = size.ws_col;
        *rows = size.ws_row;
    }
}

unsigned long long terminal_clock(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (unsigned long long)now.tv_sec * 1000 + (unsigned long long)now.tv_nsec / 1000000;
}
