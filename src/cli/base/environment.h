/* environment.h: what the user's environment says; nothing else asks it. */
#ifndef CRANKCARD_CLI_BASE_ENVIRONMENT_H
#define CRANKCARD_CLI_BASE_ENVIRONMENT_H

/* The value of a variable; NULL where it is not set, or empty. */

const char *environment_text(const char *name);

/*
 * A directory as the XDG Base Directory Specification finds it: the variable's, else the fallback below HOME; to be
 * freed. A path that is not absolute is ignored, as it says; NULL where neither is left.
 */
char *environment_directory(const char *variable, const char *fallback);

#endif
