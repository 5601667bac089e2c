/* guard.c: see guard.h. */
#define _POSIX_C_SOURCE 200809L
#include "cli/base/guard.h"

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <unistd.h>

#define MOST_FILES 4

static const int ends[] = { SIGINT, SIGTERM, SIGHUP, SIGQUIT };
static const char *volatile guarded[MOST_FILES];
static volatile sig_atomic_t in_child;
static sigset_t mask_before;

void guard_remove(void)
{
    for (size_t i = 0; i < MOST_FILES && !in_child; i++)
        if (guarded[i] != NULL)
            unlink(guarded[i]);
}

static void remove_and_end(int number)
{
    guard_remove();
    raise(number);      /* SA_RESETHAND: its own action is in force again */
}

static void catch_signals(void)
{
    static bool caught;
    struct sigaction action = { .sa_handler = remove_and_end, .sa_flags = (int)SA_RESETHAND }, old;

    if (caught)
        return;
    caught = true;
    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++)
        if (sigaction(ends[i], NULL, &old) == 0 && old.sa_handler == SIG_DFL)
            sigaction(ends[i], &action, NULL);
}

void guard_file(const char *path)
{
    catch_signals();
    for (size_t i = 0; i < MOST_FILES; i++)
        if (guarded[i] == NULL) {
            guarded[i] = path;
            return;
        }
}

void guard_forget(const char *path)
{
    for (size_t i = 0; i < MOST_FILES; i++)
        if (guarded[i] == path)
            guarded[i] = NULL;
}

void guard_hold(void)
{
    sigset_t all;

    sigemptyset(&all);
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++)
        sigaddset(&all, ends[i]);
    sigprocmask(SIG_BLOCK, &all, &mask_before);
}

void guard_release(void)
{
    sigprocmask(SIG_SETMASK, &mask_before, NULL);
}

void guard_leave_to_parent(void)
{
    in_child = 1;
}
