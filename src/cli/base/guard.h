/* guard.h: files that are removed when the program ends before its time: the temporary ones that are being written. */
#ifndef CRANKCARD_CLI_BASE_GUARD_H
#define CRANKCARD_CLI_BASE_GUARD_H

/*
 * From now on path is removed when an interrupt, a hang-up or a request to end ends the program, or when memory runs out;
 * until it is forgotten. The text stays the caller's, who forgets it before freeing it. Signals that are ignored or
 * caught already stay so.
 */
void guard_file(const char *path);
void guard_forget(const char *path);

/* Hold such signals back, and let them come. */
void guard_hold(void);
void guard_release(void);

/* Remove all that is guarded; may be called from a signal handler. */
void guard_remove(void);

/* In a child process: the files are the parent's. */
void guard_leave_to_parent(void);

#endif
