/* spelling.h: the name that a mistyped word was meant for. */
#ifndef CRANKCARD_CLI_ASK_SPELLING_H
#define CRANKCARD_CLI_ASK_SPELLING_H

/* The name in names (NULL at the end) that word most likely means, or NULL when none is near. */

const char *nearest_name(const char *word, const char *const *names);

#endif
